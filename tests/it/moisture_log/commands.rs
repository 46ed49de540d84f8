//! The commands `readings` and `today` as people and programs see them.

use std::fs;
use std::process::Command;

use serde_json::{Value, json};
use tempfile::TempDir;

use super::floor;

struct Place(TempDir);

struct Ran {
    code: i32,
    out: String,
    err: String,
}

impl Place {
    fn new(scenario: &Value) -> Self {
        let place = Self(TempDir::new().unwrap());
        place.write("floor.json", &scenario.to_string());
        place
    }

    fn write(&self, name: &str, text: &str) {
        fs::write(self.0.path().join(name), text).unwrap();
    }

    fn log(&self) -> String {
        fs::read_to_string(self.0.path().join("floor-readings.csv")).unwrap()
    }

    fn run(&self, arguments: &[&str]) -> Ran {
        let output = Command::new(env!("CARGO_BIN_EXE_coatday"))
            .args(arguments)
            .current_dir(self.0.path())
            .env("COLUMNS", "1000")
            .env("NO_COLOR", "1")
            .output()
            .unwrap();
        let ran = Ran {
            code: output.status.code().unwrap_or(-1),
            out: crate::plain(&output.stdout),
            err: crate::plain(&output.stderr),
        };
        assert!(!ran.err.contains("panicked"), "{}", ran.err);
        ran
    }

    /// Rows from standard input.
    fn stream(&self, rows: &str) -> Ran {
        let mut command = assert_cmd::Command::new(env!("CARGO_BIN_EXE_coatday"));
        let output = command
            .args(["readings", "floor.json", "--from", "-", "--place", "A"])
            .args(["--method", "probe", "--depth", "40 mm"])
            .current_dir(self.0.path())
            .env("NO_COLOR", "1")
            .write_stdin(rows)
            .output()
            .unwrap();
        Ran {
            code: output.status.code().unwrap_or(-1),
            out: crate::plain(&output.stdout),
            err: crate::plain(&output.stderr),
        }
    }

    fn add(&self, place: &str, value: &str) -> Ran {
        self.run(&[
            "readings",
            "floor.json",
            "add",
            "--place",
            place,
            "--method",
            "probe",
            "--depth",
            "40 mm",
            "--value",
            value,
            "--exposure",
            "26 h",
            "--conditioned",
            "3 days",
            "--time",
            "2026-11-24 08:30",
            "--slab-temperature",
            "14 degC",
            "--air-temperature",
            "17 degC",
            "--air-relative-humidity",
            "52 %",
            "--at",
            "2026-11-25",
        ])
    }

    fn today(&self, more: &[&str]) -> Ran {
        let mut arguments = vec![
            "today",
            "floor.json",
            "--no-date",
            "--at",
            "2026-11-25 07:30",
            "--units",
            "si",
        ];
        arguments.extend(more);
        self.run(&arguments)
    }
}

const MILD: [&str; 6] = [
    "--air-temperature",
    "18 degC",
    "--air-relative-humidity",
    "50 %",
    "--slab-temperature",
    "16 degC",
];

#[test]
fn regress_readings_are_added_listed_and_judged() {
    let place = Place::new(&floor());
    let empty = place.run(&["readings", "floor.json"]);
    assert_eq!(empty.code, 0);
    assert!(
        empty
            .err
            .contains("There is no log floor-readings.csv yet.")
    );
    let added = place.add("A", "84 %");
    assert_eq!(
        (added.code, added.out.as_str()),
        (0, "Added line 2: Nov 24, 2026, 8:30 am, A, probe, 84 %\n")
    );
    assert!(added.err.contains("Counts as a test."));
    assert!(place.add("A", "84 %").out.starts_with("Nothing added: "));
    place.run(&[
        "readings",
        "floor.json",
        "add",
        "--place",
        "B",
        "--method",
        "probe",
        "--value",
        "86 %",
        "--time",
        "2026-11-24 09:00",
        "--note",
        "too early",
    ]);
    assert_eq!(place.log().lines().count(), 3);
    let listed = place.run(&[
        "readings",
        "floor.json",
        "--at",
        "2026-11-25",
        "--units",
        "si",
    ]);
    insta::assert_snapshot!(listed.out, @r#"
     Line   Time                 Day   Place   Test    Depth   Value   Counts
    ────── ──────────────────── ───── ─────── ─────── ─────── ─────── ────────
        2   24 Nov 2026, 08:30    84   A       probe   40 mm    84 %   yes
        3   24 Nov 2026, 09:00    84   B       probe            86 %   NO

    Line 3 (B, probe) does not count: The depth is missing. It must be 40 mm (40 % of the thickness, ASTM F2170). The time in the hole is missing. It must be at least 24 h (ASTM F2170).
    Humidity probe: 1 of the 3 places needed on 90 m2 have a reading that counts (ASTM F2170). Worst place: A, 84 % on 24 Nov 2026, within the limit of 85 %.
    "#);
    let read: Value = serde_json::from_str(
        &place
            .run(&["readings", "floor.json", "--at", "2026-11-25", "--json"])
            .out,
    )
    .unwrap();
    assert_eq!(read["schema"], "coatday/readings/1");
    assert_eq!(read["readings"][0]["counts"], json!(true));
    assert_eq!(read["readings"][1]["counts"], json!(false));
    assert_eq!(read["tests"][0]["places_needed"], json!(3));
}

#[test]
fn regress_every_fault_of_an_addition_is_said() {
    let place = Place::new(&floor());
    let ran = place.run(&[
        "readings",
        "floor.json",
        "add",
        "--place",
        "A",
        "--method",
        "probe",
        "--value",
        "84",
        "--depth",
        "2 lb",
        "--time",
        "yesterday",
    ]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    for part in [
        "--time: \"yesterday\"",
        "--depth: \"lb\"",
        "--value: \"84\" has no unit.",
        "Nothing was added.",
    ] {
        assert!(ran.err.contains(part), "{part}: {}", ran.err);
    }
    assert!(fs::metadata(place.0.path().join("floor-readings.csv")).is_err());
    // A log made by hand with fewer columns.
    place.write("floor-readings.csv", "time,place,method,value,note\n");
    let ran = place.add("A", "84 %");
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("has no column for"), "{}", ran.err);
    for (arguments, part) in [
        (&["readings", "floor.json", "--log", "."][..], "not a file"),
        (
            &[
                "readings",
                "floor.json",
                "--log",
                "/dev/null",
                "add",
                "--place",
                "A",
                "--method",
                "probe",
                "--value",
                "84 %",
            ],
            "not a file",
        ),
        (
            &["readings", "floor.json", "--from", "none.csv"],
            "no such file",
        ),
        (
            &[
                "readings",
                "floor.json",
                "--from",
                "none.csv",
                "--method",
                "prob",
                "--depth",
                "2",
            ],
            "--method",
        ),
        (&["readings", "floor.json", "--at", "noon"], "--at"),
        (&["today", "floor.json", "--log", "none.csv"], "no such log"),
        (
            &["today", "floor.json", "--slab-temperature", "13"],
            "has no unit",
        ),
        (
            &["today", "floor.json", "--air-relative-humidity", "130 %"],
            "This is too high. Write \"100 %\" or less",
        ),
    ] {
        let ran = place.run(arguments);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{arguments:?}");
        assert!(ran.err.contains(part), "{arguments:?}: {}", ran.err);
    }
}

#[test]
fn regress_a_malformed_export_says_where_and_loses_nothing_else() {
    let place = Place::new(&floor());
    place.write(
        "logger.csv",
        "time,relative_humidity_percent,volts\n2026-11-24 08:30,84.1,3\n2026-11-24 09:30,eighty,3\n2026-11-24 10:30,84.2,3\n",
    );
    let arguments = [
        "readings",
        "floor.json",
        "--from",
        "logger.csv",
        "--place",
        "A",
        "--method",
        "probe",
        "--depth",
        "40 mm",
        "--since",
        "2026-11-23 08:00",
    ];
    let ran = place.run(&arguments);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("logger.csv:3:18: value"), "{}", ran.err);
    assert_eq!(
        ran.out,
        "Added 2 readings, lines 2 to 3 of floor-readings.csv. Already there: 0.\n"
    );
    assert!(place.run(&arguments).out.starts_with("All 2 readings"));
    assert_eq!(place.log().lines().count(), 3);
}

/// An export may end in the middle of a number, and a column may be mistyped: 84.1 cut to 8 must not go in unseen.
#[test]
fn regress_an_export_that_may_be_cut_is_pointed_out() {
    let place = Place::new(&floor());
    let rows = "time,relative_humidity_percent,slab_temprature_c\n2026-11-24 08:30,84.1,13\n2026-11-24 09:30,84.2,13";
    place.write("logger.csv", rows);
    let arguments = "readings floor.json --from logger.csv --place A --method probe";
    let arguments: Vec<&str> = arguments.split(' ').collect();
    for ran in [place.run(&arguments), place.stream(rows)] {
        assert_eq!(ran.code, 0, "{}", ran.err);
        assert!(
            ran.err.contains(":3: The last line has no line end"),
            "{}",
            ran.err
        );
        let passed_over = "columns not used: slab_temprature_c.";
        assert_eq!(ran.err.matches(passed_over).count(), 1, "{}", ran.err);
    }
    let whole = place.stream(&format!("{rows}\n"));
    assert!(!whole.err.contains("no line end"), "{}", whole.err);
}

/// A line is one line, however many faults stand in it.
#[test]
fn regress_today_counts_lines_that_cannot_be_read() {
    let place = Place::new(&floor());
    place.add("A", "84 %");
    let log = place.log() + "2026-11-24 25:30,B,prove,40 lb,84 %,,,,,,,,,,\"\"\n";
    place.write("floor-readings.csv", &log);
    let mut arguments = MILD.to_vec();
    arguments.push("--json");
    let ran = place.today(&arguments);
    assert!(
        ran.err.matches("floor-readings.csv:3:").count() >= 3,
        "{}",
        ran.err
    );
    let read: Value = serde_json::from_str(&ran.out).unwrap();
    let rules = read["rules"].as_array().unwrap();
    let unread = rules
        .iter()
        .find(|rule| rule["name"] == "lines of the log that cannot be read")
        .unwrap();
    assert_eq!(unread["value"], json!("1"));
}

/// The time that a reading gets by default is standard time: a clock set to summer time is an hour ahead of it.
#[test]
fn analytic_the_clock_of_now_is_standard_time() {
    let today = jiff::Timestamp::now().to_zoned_datetime(jiff::tz::TimeZone::UTC);
    let day = i32::from(today.day_of_year());
    // Summer time from ten days ago to ten days from now, five hours west.
    let rule = format!("STD5DST,{},{}", (day + 355) % 365, (day + 9) % 365);
    let place = Place::new(&floor());
    let ran = Command::new(env!("CARGO_BIN_EXE_coatday"))
        .args(["readings", "floor.json", "add", "--place", "A"])
        .args(["--method", "probe", "--value", "84 %", "--units", "si"])
        .current_dir(place.0.path())
        .env("TZ", rule)
        .output()
        .unwrap();
    let out = crate::plain(&ran.stdout);
    let written = out
        .split_once(": ")
        .unwrap()
        .1
        .split(", A, ")
        .next()
        .unwrap();
    let written = jiff::civil::DateTime::strptime("%d %b %Y, %H:%M", written).unwrap();
    let standard = today.datetime() - jiff::Span::new().hours(5);
    let minutes = standard.duration_since(written).as_secs_f64() / 60.0;
    assert!((0.0..10.0).contains(&minutes), "{out} at {standard}");
}

/// A line cut short by a crash or an editor is shown with its place; what is added later stands on a line of its own.
#[test]
fn regress_a_torn_line_is_reported() {
    let place = Place::new(&floor());
    place.add("A", "84 %");
    let torn = place.log() + "2026-11-24 08:30,B,probe,40 m";
    place.write("floor-readings.csv", &torn);
    let ran = place.add("C", "83 %");
    assert_eq!(ran.code, 0);
    assert!(ran.out.starts_with("Added line 4:"), "{}", ran.out);
    assert!(ran.err.contains("floor-readings.csv:3:"), "{}", ran.err);
    assert!(place.log().starts_with(&torn));
    let ran = place.run(&["readings", "floor.json", "--at", "2026-11-25"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("floor-readings.csv:3:30"), "{}", ran.err);
    assert!(
        ran.out.contains(" A ") && ran.out.contains(" C "),
        "{}",
        ran.out
    );
    // The check of the day says so too and is no go.
    let day = place.today(&MILD);
    assert_eq!(day.code, 2);
    assert!(day.out.contains("lines of the log that cannot be read"));
}

/// 16 degC and 71 % have their dew point near 10.7 degC: a slab at 13 degC is less than 3 K above it (ISO 8502-4).
#[test]
fn ref_today_says_no_and_why_on_a_cold_slab() {
    let place = Place::new(&floor());
    let arguments = [
        "--air-temperature",
        "16 degC",
        "--air-relative-humidity",
        "71 %",
        "--slab-temperature",
        "13 degC",
    ];
    let ran = place.today(&arguments);
    assert_eq!(ran.code, 1);
    assert!(
        ran.out
            .starts_with("NO at 25 Nov 2026, 07:30: dew-point spread now (2.3 K, at least 3 K)"),
        "{}",
        ran.out
    );
    assert!(ran.out.contains("ISO 8502-4") && ran.out.contains("too near the dew point"));
    assert!(ran.out.contains("This check does not release the floor"));
    let mut with_json = arguments.to_vec();
    with_json.push("--json");
    let read: Value = serde_json::from_str(&place.today(&with_json).out).unwrap();
    assert_eq!(
        (&read["schema"], &read["says"]),
        (&json!("coatday/today/2"), &json!("no"))
    );
    assert_eq!(read["rules"][0]["says"], "no");
    assert_eq!(read["rules"][0]["limit"], json!(3.0));
    for rule in read["rules"].as_array().unwrap() {
        for key in ["name", "says", "source", "why"] {
            assert!(rule[key].is_string(), "{rule}");
        }
        assert_ne!(rule["source"], "");
    }
}

#[test]
fn regress_today_goes_with_good_tests_and_takes_the_rest_from_the_log() {
    let place = Place::new(&floor());
    let missing = place.today(&[]).err;
    let missing = missing.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        missing.contains("Add --air-temperature \"16 C\" --air-relative-humidity \"71 %\" --slab-temperature \"16 C\"."),
        "{missing}"
    );
    for name in ["A", "B", "C"] {
        place.add(name, "82 %");
    }
    let ran = place.today(&MILD);
    assert_eq!(ran.code, 0, "{}", ran.out);
    assert!(
        ran.out
            .starts_with("GO at 25 Nov 2026, 07:30 by the rules that were checked. 3 were not.")
    );
    // What is left out comes from the log, is said to, and is too old.
    let ran = place.today(&MILD[..4]);
    assert_eq!(ran.code, 1);
    assert!(
        ran.out
            .contains("Slab 14 °C (line 4 of the log, 24 Nov 2026, 08:30)"),
        "{}",
        ran.out
    );
    assert!(
        ran.out.starts_with(
            "WAIT at 25 Nov 2026, 07:30: age of these measurements (23 h, at most 2 h)."
        ),
        "{}",
        ran.out
    );
}

#[test]
fn regress_today_looks_through_the_hours_of_cure() {
    let place = Place::new(&floor());
    for name in ["A", "B", "C"] {
        place.add(name, "82 %");
    }
    let forecast = |humidity: &dyn Fn(usize) -> f64, hours: usize| {
        let mut text = String::from("time,temperature_c,relative_humidity_percent\n");
        for hour in 0..hours {
            text.push_str(&format!(
                "2026-11-{:02} {:02}:00,17,{}\n",
                25 + (hour + 7) / 24,
                (hour + 7) % 24,
                humidity(hour)
            ));
        }
        text
    };
    let mut arguments = MILD.to_vec();
    arguments.extend(["--forecast", "forecast.csv"]);
    place.write("forecast.csv", &forecast(&|_| 50.0, 30));
    let ran = place.today(&arguments);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(
        ran.out
            .starts_with("GO at 25 Nov 2026, 07:30 by every rule below."),
        "{}",
        ran.out
    );
    // A moist evening.
    place.write(
        "forecast.csv",
        &forecast(&|hour| if hour == 12 { 92.0 } else { 50.0 }, 30),
    );
    let ran = place.today(&arguments);
    assert_eq!(ran.code, 1);
    assert!(
        ran.out.contains("dew-point spread through the cure") && ran.out.contains("h from now"),
        "{}",
        ran.out
    );
    assert!(
        ran.out.contains("too damp before the coating has set"),
        "{}",
        ran.out
    );
    arguments.push("--hold-temperatures");
    assert_eq!(place.today(&arguments).code, 1);
    // A forecast that ends too early, or is none.
    place.write("forecast.csv", &forecast(&|_| 50.0, 20));
    let ran = place.today(&arguments);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("the forecast goes from"), "{}", ran.err);
    place.write(
        "forecast.csv",
        "time,temperature_c\n2026-11-25 07:00,warm\n",
    );
    let ran = place.today(&arguments);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("line 1"), "{}", ran.err);
}
