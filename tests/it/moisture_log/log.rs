//! The log as text: what is read, what is a fault and where, what is written after a torn end.

use approx::assert_relative_eq;
use coatday::moisture_log::{
    Column, Defaults, Entry, Method, Reading, addition, read_export, read_log,
};
use jiff::civil::{Date, date};
use proptest::prelude::*;

const PLACED: Date = date(2026, 9, 1);

fn entry(place: &str, value: &str) -> Entry {
    Entry(vec![
        (Column::Time, "2026-11-20 08:30".into()),
        (Column::Place, place.into()),
        (Column::Method, "probe".into()),
        (Column::Depth, "2\"".into()),
        (Column::Value, value.into()),
        (Column::Exposure, "26 h".into()),
        (Column::Note, "read, by \"hand\"".into()),
    ])
}

fn bytes(existing: &[u8], entries: &[Entry]) -> Vec<u8> {
    let added = addition("log.csv", existing, entries, PLACED).unwrap_or_else(|f| panic!("{f}"));
    [existing, &added.bytes].concat()
}

fn places(bytes: &[u8]) -> Vec<String> {
    read_log("log.csv", bytes, PLACED)
        .readings
        .into_iter()
        .map(|r| r.place)
        .collect()
}

#[test]
fn regress_what_is_written_is_read() {
    let log = bytes(b"", &[entry("A", "84 %"), entry("#2, left", "81.5 %")]);
    let read = read_log("log.csv", &log, PLACED);
    assert!(read.faults.is_none() && read.notices.is_empty());
    let [first, second] = read.readings.as_slice() else {
        panic!()
    };
    assert_eq!((first.line, first.method), (2, Method::Probe));
    assert_relative_eq!(first.seconds, (80.0 * 24.0 + 8.5) * 3600.0);
    assert_relative_eq!(first.value, 0.84, max_relative = 1e-12);
    assert_relative_eq!(first.depth.unwrap(), 0.0508, max_relative = 1e-12);
    assert_relative_eq!(first.spread.unwrap().standard_deviation, 0.02);
    assert_eq!(
        first.spread.unwrap().source,
        "common practice, no published source"
    );
    assert_eq!(second.place, "#2, left");
    // The same again is not added twice.
    let again = addition("log.csv", &log, &[entry("A", "84 %")], PLACED).unwrap();
    assert_eq!((again.bytes.len(), again.there_already), (0, 1));
}

#[test]
fn regress_columns_of_loggers_and_both_unit_systems() {
    let text = "relative_humidity_percent,slab_temperature_f,time,battery\n84.5,55.4,2026-11-20T08:30:00,99\n84.4,55.4,2026-11-20 09:30,99\n";
    let defaults = Defaults {
        place: Some("B".into()),
        method: Some("probe".into()),
        depth: Some("2 in".into()),
        since: Some(date(2026, 11, 19).at(8, 30, 0, 0)),
    };
    let export = read_export("logger.csv", text.as_bytes(), PLACED, &defaults);
    assert!(export.faults.is_none());
    assert_eq!(export.notices, ["logger.csv: columns not used: battery."]);
    let reading = &export.readings[0];
    assert_relative_eq!(reading.slab_temperature.unwrap(), 13.0, epsilon = 1e-9);
    assert_relative_eq!(reading.exposure.unwrap(), 86_400.0);
    assert_relative_eq!(reading.value, 0.845, max_relative = 1e-12);
    // Through the log and back nothing changes.
    let entries: Vec<Entry> = export.readings.iter().map(Entry::of).collect();
    let log = read_log("log.csv", &bytes(b"", &entries), PLACED);
    for (own, other) in export.readings.iter().zip(&log.readings) {
        assert_relative_eq!(own.value, other.value, max_relative = 1e-9);
        assert_relative_eq!(
            own.slab_temperature.unwrap(),
            other.slab_temperature.unwrap(),
            epsilon = 1e-6
        );
        assert_relative_eq!(own.depth.unwrap(), other.depth.unwrap(), epsilon = 1e-9);
        assert_eq!((own.time, &own.place), (other.time, &other.place));
    }
    // A dish by its gain: 52.91 x 1.6 / (0.5 x 66) = 2.565 lb/1000 ft2/24 h (ASTM F1869).
    let dish = "time,place,method,value,dish_area,exposure,standard_deviation\n2026-11-20 08:30,A,dish,1.6 g,0.5 ft2,66 h,5 %\n2026-11-20 08:30,B,dish,15 g/m2/day,,66 h,\n";
    let dishes = read_log("log.csv", dish.as_bytes(), PLACED).readings;
    assert_relative_eq!(dishes[0].value / 5.651e-8, 2.565, max_relative = 1e-3);
    assert_relative_eq!(
        dishes[0].spread.unwrap().standard_deviation,
        0.05 * dishes[0].value
    );
    assert_relative_eq!(
        dishes[1].spread.unwrap().standard_deviation,
        0.10 * dishes[1].value
    );
}

/// Line, column, name of the column and beginning of the message of each fault.
fn faults(text: &[u8]) -> Vec<(usize, usize, String, String)> {
    read_log("log.csv", text, PLACED)
        .faults
        .map(|faults| {
            faults
                .faults
                .into_iter()
                .map(|f| (f.line, f.column, f.path, f.message))
                .collect()
        })
        .unwrap_or_default()
}

#[test]
fn regress_all_faults_at_once_with_line_and_column() {
    let text = b"time,place,method,depth,value,air_temperature,note\n\
2026-11-20 08:30,A,probe,40 mm,84 %,,good\n\
2026-11-20 25:30,B,prove,40 lb,84,99 degC,\n\
2026-11-20 08:30,C,probe,40 mm\n\
# a comment, and an empty line\n\
\n\
2026-08-20 08:30,D,probe,40 mm,84 %,,\n\
2026-11-20 08:30,E,probe,40 mm,184 %,,\"open\n\
2026-11-20 08:30,,dish,,1.6 g,,\n\
\xff\xfe\x00,F,probe,40 mm,84 %,,\n\
2026-11-20 08:30Z,G,plastic_sheet,,soggy,,\n\
2026-11-20 08:30,H,probe,40 mm,84 %,,good too\n";
    assert_eq!(
        places(text),
        ["A", "H"],
        "a fault in one line takes no other with it"
    );
    let found = faults(text);
    let expected = [
        (3, 1, "time", "\"2026-11-20 25:30\" is not a day and time."),
        (3, 20, "method", "\"prove\" is not known here."),
        (3, 26, "depth", "\"lb\" is a unit of mass"),
        (3, 35, "air_temperature", "This is too high."),
        (
            4,
            31,
            "",
            "The row has 4 fields, but the line of column names has 7.",
        ),
        (7, 1, "time", "2026-08-20 is before the day"),
        (
            8,
            39,
            "",
            "The quotation mark that opens here is not closed",
        ),
        (9, 18, "place", "The place is missing."),
        (9, 25, "value", "A gain in mass alone gives no rate."),
        (
            10,
            1,
            "time",
            "\"\u{fffd}\u{fffd} \" is not a day and time.",
        ),
        (11, 1, "time", "\"2026-11-20 08:30Z\" names a time zone."),
        (
            11,
            36,
            "value",
            "\"soggy\" is not what a plastic sheet shows.",
        ),
    ];
    assert_eq!(found.len(), expected.len(), "{found:#?}");
    for ((line, column, path, message), expected) in found.iter().zip(expected) {
        assert_eq!(
            (*line, *column, path.as_str()),
            (expected.0, expected.1, expected.2),
            "{message}"
        );
        assert!(message.starts_with(expected.3), "{message}");
    }
}

#[test]
fn regress_lines_of_names_that_are_wrong() {
    for (text, part) in [
        ("time;place;method;value\n", "separated by ';'"),
        ("time,place,valu,method\n", "not the name of a column"),
        ("time,place,value\n", "has no method"),
        ("time,place,method,value,place\n", "is in column 2 already"),
        (
            "2026-11-20 08:30,A,probe,84 %\n",
            "not the name of a column",
        ),
    ] {
        let found = faults(text.as_bytes());
        assert!(
            found.iter().any(|f| f.0 == 1 && f.3.contains(part)),
            "{text}: {found:?}"
        );
        // Nothing is added to a log that cannot be read.
        assert!(addition("log.csv", text.as_bytes(), &[entry("A", "84 %")], PLACED).is_err());
    }
    // Without the note in the last place a line cut before its last field could not be told: read, but not added to.
    let other = b"time,place,note,method,value\n";
    assert!(faults(other).is_empty());
    let refused = addition("log.csv", other, &[entry("A", "84 %")], PLACED).unwrap_err();
    assert!(
        refused
            .to_string()
            .contains("The last column is not \"note\"")
    );
    // No log yet, or one whose making was cut short: no fault.
    let header = String::from_utf8(bytes(b"", &[entry("A", "84 %")])).unwrap();
    let header = header.lines().next().unwrap().to_owned();
    for cut in 0..=header.len() {
        let start = &header.as_bytes()[..cut];
        assert!(faults(start).is_empty(), "{cut}");
        assert_eq!(places(&bytes(start, &[entry("A", "84 %")])), ["A"], "{cut}");
    }
}

/// Whatever a crash leaves of the last line, the next reading stands on a line of its own, no earlier one is lost, and the rest
/// never passes for a reading that was not made.
#[test]
fn regress_a_torn_line_is_never_merged_nor_misread() {
    // Also in logs that were made by hand, with the value or the depth as the last but the note.
    for header in [
        "",
        "time,place,method,depth,exposure,value,note\n",
        "place,value,exposure,time,method,depth,note\n",
    ] {
        let one = bytes(header.as_bytes(), &[entry("A", "84 %")]);
        let two = bytes(&one, &[entry("B", "81.25 %")]);
        let whole = read_log("log.csv", &two, PLACED).readings;
        for cut in one.len()..two.len() {
            let torn = &two[..cut];
            let log = read_log("log.csv", torn, PLACED);
            assert_eq!(log.readings[0], whole[0]);
            match log.readings.get(1) {
                Some(reading) => assert!(
                    // All but the note, which may be missing where the line was cut just before it.
                    Reading {
                        note: whole[1].note.clone(),
                        ..reading.clone()
                    } == whole[1]
                        && (reading.note.is_empty() || reading.note == whole[1].note)
                        && !log.notices.is_empty(),
                    "{cut}: {reading:?}"
                ),
                None => assert!(
                    cut == one.len()
                        || faults(torn)
                            .iter()
                            .any(|f| f.0 == 3 && f.3.contains("no line end")),
                    "{cut}: {:?}",
                    faults(torn)
                ),
            }
            let after = bytes(torn, &[entry("C", "80 %")]);
            assert_eq!(&after[..cut], torn, "what is there stays");
            let found = read_log("log.csv", &after, PLACED).readings;
            let strip = |r: &Reading| (r.place.clone(), r.value);
            let mut expected = vec![strip(&whole[0])];
            expected.extend(log.readings.get(1).map(strip));
            expected.push(("C".into(), 0.80));
            assert_eq!(
                found.iter().map(strip).collect::<Vec<_>>(),
                expected,
                "{cut}"
            );
            // The very reading that was torn can be added again.
            let again = bytes(torn, &[entry("B", "81.25 %")]);
            let mut places = places(&again);
            places.dedup();
            assert_eq!(places, ["A", "B"], "{cut}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn regress_no_bytes_panic_nor_take_good_lines_along(noise in proptest::collection::vec(proptest::collection::vec(any::<u8>(), 0..60), 0..6)) {
        let mut text = bytes(b"", &[entry("A", "84 %")]);
        for (number, mut line) in noise.into_iter().enumerate() {
            line.retain(|byte| *byte != b'\n');
            text.extend(line);
            text.push(b'\n');
            text = bytes(&text, &[entry(&format!("P{number}"), "84 %")]);
        }
        let lines = text.split(|b| *b == b'\n').count() - 1;
        let good = places(&text);
        let expected = (lines - 2) / 2;
        prop_assert!(good.iter().filter(|p| p.starts_with('P')).count() >= expected);
    }

    #[test]
    fn regress_no_text_panics(text in "[time,placemethodvalue0-9 \":%\n#-]{0,200}") {
        let _ = read_log("log.csv", text.as_bytes(), PLACED);
        let _ = addition("log.csv", text.as_bytes(), &[entry("A", "84 %")], PLACED);
    }
}
