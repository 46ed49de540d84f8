//! Dated hourly CSV.

use approx::assert_relative_eq;
use coatday::units::System;
use coatday::weather::read;
use jiff::civil::date;

use super::{HOUR, THREE_DAYS_CSV, faults, moment, ratio, shown, sonntag_over_water};

#[test]
fn analytic_csv_units_are_converted() {
    let (reading, notices) = read("three_days.csv", THREE_DAYS_CSV).unwrap();
    // Only the missing pressure is worth a word.
    assert_eq!(notices.len(), 1, "{notices:?}");
    assert!(notices[0].message.of(System::Si).contains("pressure"));
    assert_eq!(
        reading.dated_span(),
        Some((moment(2027, 1, 5, 0), moment(2027, 1, 8, 0)))
    );
    let season = reading
        .season(moment(2027, 1, 5, 3), moment(2027, 1, 8, 0), Some(0.0))
        .unwrap();
    let air = season.at(0.0);
    assert_relative_eq!(air.temperature, 0.0, epsilon = 1e-12);
    assert_relative_eq!(
        air.wind_speed,
        5.0 * 1609.344 / 3600.0,
        max_relative = 1e-12
    );
    // A dew point of 30 degF is -1.11 degC; standard pressure at sea level.
    assert_relative_eq!(
        air.humidity_ratio,
        ratio(sonntag_over_water(-10.0 / 9.0), 101_325.0),
        max_relative = 1e-3
    );
    // 0.1 in in the hour that ends at hour 30.
    assert_relative_eq!(
        season.at(26.5 * HOUR).rain,
        2.54 / 3600.0,
        max_relative = 1e-12
    );
    assert_eq!(season.at(27.5 * HOUR).rain, 0.0);
}

#[test]
fn regress_dated_weather_must_cover_the_season() {
    let (reading, _) = read("three_days.csv", THREE_DAYS_CSV).unwrap();
    let list = reading
        .season(moment(2027, 1, 4, 0), moment(2027, 2, 1, 0), None)
        .unwrap_err();
    assert_eq!(list.len(), 2);
    assert!(list[0].message.starts_with(
        "The weather begins on 2027-01-05T00:00:00 but the season already on 2027-01-04"
    ));
    assert!(list[1].message.starts_with(
        "The weather ends on 2027-01-08T00:00:00 but the season needs it until 2027-02-01"
    ));
    assert!(list[1].message.contains("typical year"));
    assert!(
        reading
            .season(moment(2027, 1, 5, 0), moment(2027, 1, 8, 0), None)
            .is_ok()
    );
    assert!(
        reading
            .season(moment(2027, 1, 5, 0), date(2027, 1, 8).at(0, 0, 1, 0), None)
            .is_err()
    );
}

#[test]
fn regress_csv_gaps() {
    let text = |hours: &[i32]| {
        hours.iter().fold(
            "time,temperature_c,relative_humidity_percent,wind_speed_m_s,pressure_pa,rain_mm\n"
                .to_owned(),
            |all, h| {
                all + &format!(
                    "2026-03-{:02} {:02}:00,{h},50,1,100000,0\n",
                    1 + h / 24,
                    h % 24
                )
            },
        )
    };
    let (reading, notices) = read("a.csv", text(&[0, 1, 8, 9]).as_bytes()).unwrap();
    assert!(
        notices.iter().all(|notice| notice.hours == 6) && !notices.is_empty(),
        "{notices:?}"
    );
    let season = reading
        .season(moment(2026, 3, 1, 0), moment(2026, 3, 1, 9), None)
        .unwrap();
    assert_relative_eq!(season.at(5.0 * HOUR).temperature, 5.0, epsilon = 1e-12);
    let list = faults(read("a.csv", text(&[0, 1, 9, 10, 30, 31]).as_bytes()));
    assert_eq!(
        list.iter()
            .map(|fault| fault.position.line)
            .collect::<Vec<_>>(),
        [Some(4), Some(6)],
        "{}",
        shown(&list)
    );
    assert!(
        list[0]
            .message
            .contains("for 7 h before 2026-03-01T09:00:00"),
        "{}",
        shown(&list)
    );
    // An hour without values at the end cannot be filled from both sides.
    let open = text(&[0, 1, 2]).replace("02:00,2,50", "02:00,,50");
    let list = faults(read("a.csv", open.as_bytes()));
    assert_eq!(
        (list[0].position.line, list[0].position.column),
        (Some(4), Some(2)),
        "{}",
        shown(&list)
    );
    // 24:00 is the next midnight.
    let midnight = text(&[23, 24, 25]).replace("2026-03-02 00:00", "2026-03-01T24:00");
    assert_eq!(
        read("a.csv", midnight.as_bytes())
            .unwrap()
            .0
            .dated_span()
            .unwrap()
            .0,
        moment(2026, 3, 1, 23)
    );
}

#[test]
fn regress_csv_faults_say_what_to_do() {
    let head = "time,temperature_c,dew_point_c\n";
    for (text, part) in [
        (
            "time;temperature_c;dew_point_c\n2026-01-01 00:00;3,5;1\n".to_owned(),
            "a.csv, line 1: The columns are separated by ';'. Separate them by commas",
        ),
        ("time\ttemperature_c\n".to_owned(), "separated by '\\t'"),
        (
            "time,temp,dew_point_c\n".to_owned(),
            "line 1, column 2 (temp): This is not the name of a column. Allowed are time, temperature_c, temperature_f,",
        ),
        (
            "temperature_c,dew_point_c,dew_point_f\n".to_owned(),
            "The dew point is already in column 2",
        ),
        ("temperature_c,dew_point_c\n".to_owned(), "has no time"),
        (
            "time,temperature_c\n".to_owned(),
            "has no dew_point_c, dew_point_f or relative_humidity_percent",
        ),
        (
            format!("{head}2026-01-01 00:00Z,1,0\n"),
            "line 2, column 1 (time): \"2026-01-01 00:00Z\" names a time zone",
        ),
        (
            format!("{head}2026-01-01T00:00-05:00,1,0\n"),
            "names a time zone",
        ),
        (
            format!("{head}01/02/2026 00:00,1,0\n"),
            "is not a time. Write site local standard time",
        ),
        (format!("{head}2026-02-29 00:00,1,0\n"), "is not a time"),
        (
            format!("{head}2026-01-01 00:53,1,0\n"),
            "is not a whole hour",
        ),
        (
            format!("{head}2026-01-01 01:00,1,0\n2026-01-01 01:00,1,0\n"),
            "line 3, column 1 (time): 2026-01-01T01:00:00 does not follow",
        ),
        (
            format!("{head}2026-01-01 01:00,1\n"),
            "line 2: The row has 2 comma-separated fields, but the line of column names has 3",
        ),
        (
            format!("{head}2026-01-01 01:00,\"3,5\",0\n"),
            "column 2 (temperature_c): \"3,5\" is not a number. Write a number with a decimal point",
        ),
        (
            format!("{head}2026-01-01 01:00,3.5,80\n"),
            "column 3 (dew_point_c): 80 is outside -70 to 70, the range allowed for dew point here",
        ),
        (head.to_owned(), "No row could be read"),
        ("# nothing\n".to_owned(), "only comments"),
        (format!("{head}9999-12-31 24:00,1,0\n"), "is not a time"),
        (
            "time,temperature_f,dew_point_f\n2026-01-01 01:00,300,0\n".to_owned(),
            "300 is outside -94 to 158",
        ),
    ] {
        let list = faults(read("a.csv", text.as_bytes()));
        assert!(
            shown(&list).contains(part),
            "{text}\n{part}\n{}",
            shown(&list)
        );
    }
}
