//! EPW files: quirks, missing codes, faults.

use std::f64::consts::PI;

use approx::assert_relative_eq;
use coatday::units::System;
use coatday::weather::{read, read_epw};

use super::{HOUR, QUIRKS_EPW, epw, faults, moment, ratio, shown, sonntag_over_water};

#[test]
fn regress_epw_quirks_are_read() {
    let (reading, notices) = read("quirks.epw", QUIRKS_EPW).unwrap();
    let place = reading.place().unwrap();
    assert_eq!(
        (place.name.as_str(), place.elevation, place.time_zone_hours),
        ("Invented Valley", 400.0, 1.0)
    );
    // Three days only: said, and a season beyond them is a fault.
    assert!(
        notices.iter().any(|notice| notice
            .message
            .of(System::Si)
            .contains("covers 72 of 8760 h")),
        "{notices:?}"
    );
    let season = reading
        .season(moment(2027, 1, 1, 1), moment(2027, 1, 3, 23), None)
        .unwrap();
    let at = |day: i32, hour: i32| season.at(f64::from((day - 1) * 24 + hour - 1) * HOUR);
    // "-0.00" on 1 January 12:00; minute 60 on the first day, 0 on the second; a row stands at the end of its hour.
    assert_eq!(at(1, 12).temperature, 0.0);
    assert_relative_eq!(at(1, 15).temperature, 6.0);
    assert_relative_eq!(at(2, 15).temperature, 6.0);
    // Hour 24 is the midnight after.
    assert_relative_eq!(
        at(2, 0).temperature,
        2.0 + 4.0 * (2.0 * PI * 9.0 / 24.0).cos(),
        epsilon = 0.006
    );
    assert_relative_eq!(at(2, 0).wind_speed, 1.5 + 0.1 * 3.0, epsilon = 1e-12);
    // Pressures with and without decimals.
    assert_eq!((at(1, 9).pressure, at(2, 9).pressure), (96_600.0, 96_650.0));
    // 1.8 mm in the hour that ends on 2 January 05:00.
    assert_relative_eq!(at(2, 4).rain, 1.8 / 3600.0);
    assert_eq!((at(2, 3).rain, at(2, 5).rain), (0.0, 0.0));
    let list = reading
        .season(moment(2027, 1, 2, 0), moment(2027, 2, 1, 0), None)
        .unwrap_err();
    assert!(
        shown(&list).contains("first at 2027-01-04T01:00:00, last at 2027-02-01T00:00:00"),
        "{}",
        shown(&list)
    );
}

#[test]
fn regress_epw_both_header_spellings() {
    let text = String::from_utf8(QUIRKS_EPW.to_vec()).unwrap();
    let other = text.replace("HOLIDAYS/DAYLIGHT SAVINGS", "HOLIDAYS/DAYLIGHT SAVING");
    assert_ne!(text, other);
    assert_eq!(
        read_epw("a", text.as_bytes()).unwrap(),
        read_epw("a", other.as_bytes()).unwrap()
    );
    let wrong = text.replace("COMMENTS 2", "REMARKS");
    let list = faults(read_epw("a", wrong.as_bytes()));
    assert!(
        shown(&list).contains("a, line 7, column 1 (COMMENTS 2)"),
        "{}",
        shown(&list)
    );
    let half_hourly = text.replace("DATA PERIODS,1,1", "DATA PERIODS,1,2");
    assert!(
        shown(&faults(read_epw("a", half_hourly.as_bytes())))
            .contains("line 8, column 3 (records per hour)")
    );
}

/// WMO convention: below freezing, too, the dew point is over water. Over ice the vapour pressure at -12 degC would be 11 %
/// lower.
#[test]
fn ref_dew_point_below_freezing_is_over_water() {
    let bytes = epw(|month, _, _, row| {
        if month == 1 {
            row[6] = "-9.0".into();
            row[7] = "-12.0".into();
        }
        true
    });
    let (reading, notices) = read_epw("cold.epw", &bytes).unwrap();
    assert!(notices.is_empty(), "{notices:?}");
    let air = reading
        .season(moment(2026, 1, 10, 0), moment(2026, 1, 11, 0), Some(2000.0))
        .unwrap()
        .at(0.0);
    // The file's own pressure, not that of the site's elevation.
    assert_eq!(air.pressure, 96_000.0);
    assert_relative_eq!(
        air.humidity_ratio,
        ratio(sonntag_over_water(-12.0), 96_000.0),
        max_relative = 1e-3
    );
}

/// Each missing code, three hours long: temperature, dew point with humidity (then alone), pressure, wind, rain.
#[test]
fn analytic_short_gaps_are_filled_linearly() {
    let gap = |edits: &'static [(usize, &'static str)]| {
        epw(move |month, day, hour, row| {
            if (month, day) == (3, 5) && (10..=12).contains(&hour) {
                for (field, code) in edits {
                    row[field - 1] = (*code).to_owned();
                }
            }
            true
        })
    };
    let line = 8 + (31 + 28 + 4) * 24 + 10;
    let (whole, _) = read_epw("year.epw", &gap(&[])).unwrap();
    let (start, end) = (moment(2026, 3, 5, 0), moment(2026, 3, 6, 0));
    let whole = whole.season(start, end, Some(0.0)).unwrap();
    let read_gap = |edits| {
        let (reading, notices) = read_epw("year.epw", &gap(edits)).unwrap();
        assert_eq!(notices.len(), 1, "{edits:?} {notices:?}");
        assert_eq!(
            (notices[0].hours, notices[0].position.line),
            (3, Some(line)),
            "{notices:?}"
        );
        (reading.season(start, end, Some(0.0)).unwrap(), notices)
    };
    for code in ["99.9", "100", ""] {
        let edits: &'static [(usize, &'static str)] = match code {
            "99.9" => &[(7, "99.9")],
            "100" => &[(7, "100")],
            _ => &[(7, "")],
        };
        let (season, notices) = read_gap(edits);
        assert_eq!(notices[0].position.column, Some(7));
        // The invented temperature is linear through the day, so filling gives it back.
        for hour in [10.0, 11.0, 11.5, 12.0] {
            assert_relative_eq!(
                season.at(hour * HOUR).temperature,
                whole.at(hour * HOUR).temperature,
                epsilon = 1e-9
            );
        }
    }
    // Dew point alone: the relative humidity stands in.
    let (season, notices) = read_gap(&[(8, "99.9")]);
    assert!(
        notices[0]
            .message
            .of(System::Si)
            .contains("relative humidity is used"),
        "{notices:?}"
    );
    let air = season.at(11.0 * HOUR);
    assert_relative_eq!(
        air.humidity_ratio,
        ratio(0.6 * sonntag_over_water(air.temperature), 96_000.0),
        max_relative = 1e-3
    );
    // Both: the vapour pressure is filled.
    let (season, notices) = read_gap(&[(8, "99.9"), (9, "999")]);
    assert_eq!(notices[0].position.column, Some(8));
    let e = |hour: f64| {
        let air = season.at(hour * HOUR);
        coatday::air::vapour_pressure(air.humidity_ratio, air.pressure)
    };
    assert_relative_eq!(e(11.0), f64::midpoint(e(9.0), e(13.0)), max_relative = 1e-9);
    let (season, notices) = read_gap(&[(10, "999999")]);
    assert_eq!(notices[0].position.column, Some(10));
    assert_relative_eq!(season.at(11.0 * HOUR).pressure, 96_000.0);
    let (season, notices) = read_gap(&[(22, "999")]);
    assert_eq!(notices[0].position.column, Some(22));
    assert_relative_eq!(season.at(11.0 * HOUR).wind_speed, 2.5);
    let (season, notices) = read_gap(&[(34, "999")]);
    assert_eq!(notices[0].position.column, Some(34));
    assert_eq!(season.at(11.0 * HOUR).rain, 0.0);
}

#[test]
fn regress_gap_of_six_hours_is_filled_and_of_seven_is_a_fault() {
    for (last, column, fields) in [(17_i8, 7, vec![6]), (17, 8, vec![7, 8]), (17, 22, vec![21])] {
        let gap = |last: i8| {
            let fields = fields.clone();
            epw(move |month, day, hour, row| {
                if (month, day) == (12, 31) && (12..=last).contains(&hour) {
                    for field in &fields {
                        row[*field] = "999".to_owned();
                    }
                }
                true
            })
        };
        let (_, notices) = read_epw("year.epw", &gap(last)).unwrap();
        assert_eq!(notices[0].hours, 6);
        let list = faults(read_epw("year.epw", &gap(last + 1)));
        assert_eq!(list.len(), 1, "{}", shown(&list));
        assert_eq!(
            (list[0].position.line, list[0].position.column),
            (Some(8 + 364 * 24 + 12), Some(column))
        );
        assert!(list[0].message.contains("for 7 h"), "{}", shown(&list));
    }
}

#[test]
fn regress_missing_pressure_falls_back_to_the_elevation_and_is_said_once() {
    let bytes = epw(|_, _, _, row| {
        row[9] = "999999".to_owned();
        true
    });
    let (reading, notices) = read_epw("year.epw", &bytes).unwrap();
    assert_eq!((notices.len(), notices[0].hours), (1, 8760), "{notices:?}");
    let span = (moment(2026, 1, 1, 0), moment(2026, 1, 2, 0));
    // ISO 2533: 89 875 Pa at 1000 m, 96 611 Pa at 400 m (the elevation in the file).
    assert_relative_eq!(
        reading
            .season(span.0, span.1, Some(1000.0))
            .unwrap()
            .at(0.0)
            .pressure,
        89_875.0,
        max_relative = 2e-4
    );
    assert_relative_eq!(
        reading
            .season(span.0, span.1, None)
            .unwrap()
            .at(0.0)
            .pressure,
        96_611.0,
        max_relative = 2e-4
    );
    assert!(reading.season(span.0, span.1, Some(f64::NAN)).is_err());
    assert!(reading.season(span.0, span.1, Some(20_000.0)).is_err());
}

#[test]
fn regress_rain_collected_over_hours_is_spread_and_kept() {
    let bytes = epw(|month, day, hour, row| {
        if (month, day) == (4, 2) && (1..=6).contains(&hour) {
            let (depth, span) = if hour == 6 {
                ("12.0", "6")
            } else {
                ("999", "99")
            };
            row[33] = depth.into();
            row[34] = span.into();
        }
        true
    });
    let (reading, notices) = read_epw("year.epw", &bytes).unwrap();
    assert!(notices.is_empty(), "{notices:?}");
    let season = reading
        .season(moment(2026, 4, 1, 0), moment(2026, 4, 4, 0), None)
        .unwrap();
    assert_relative_eq!(season.at(26.5 * HOUR).rain, 2.0 / 3600.0);
    assert_relative_eq!(
        season.mean(0.0, 72.0 * HOUR).rain * 72.0 * HOUR,
        12.0,
        max_relative = 1e-12
    );
}

#[test]
fn regress_epw_row_faults_have_their_place() {
    let bytes = epw(|month, day, hour, row| {
        match (month, day, hour) {
            (1, 1, 1) => row[6] = "warm".into(),
            (1, 1, 2) => row[3] = "25".into(),
            (1, 1, 3) => row.truncate(12),
            (1, 1, 4) => row[9] = "960".into(),
            (1, 1, 5) => row[2] = "2".into(),
            (1, 1, 6) => row[7] = "40".into(),
            (1, 1, 7) => (row[1], row[2]) = ("4".into(), "31".into()),
            (1, 1, 8) => row[8] = "NaN".into(),
            _ => {}
        }
        true
    });
    let list = faults(read_epw("bad.epw", &bytes));
    let text = shown(&list);
    for part in [
        "line 9, column 7 (dry bulb temperature): \"warm\" is not a number",
        "line 10, column 4 (hour): \"25\" is not a hour. Write a whole number from 1 to 24",
        "line 11: The row has 12 comma-separated fields instead of 35",
        "line 12, column 10 (atmospheric station pressure): 960 is outside 31000 to 120000",
        "already given on line 13",
        "There is no day 31 in month 4",
        "line 16, column 9 (relative humidity): \"NaN\" is not a number",
    ] {
        assert!(text.contains(part), "{part}\n{text}");
    }
    // The dew point far above the temperature shows once the rest is right.
    let bytes = epw(|month, day, hour, row| {
        if (month, day, hour) == (1, 1, 6) {
            row[7] = "40".into();
        }
        true
    });
    let text = shown(&faults(read_epw("bad.epw", &bytes)));
    assert!(
        text.contains("line 14, column 8 (dew point temperature): The dew point is"),
        "{text}"
    );
}

#[test]
fn regress_fault_list_is_capped() {
    let bytes = epw(|_, _, _, row| {
        row[6] = "x".into();
        true
    });
    let list = faults(read_epw("bad.epw", &bytes));
    assert_eq!(list.len(), 21);
    assert!(list[20].message.contains("8740 more"), "{}", list[20]);
}

#[test]
fn regress_time_zone_far_from_the_sun_is_noticed() {
    let text = String::from_utf8(epw(|_, _, _, _| true))
        .unwrap()
        .replace("45.00,8.00,1.0", "45.00,-100.00,0.0");
    let (_, notices) = read_epw("year.epw", text.as_bytes()).unwrap();
    assert!(
        notices[0].message.of(System::Si).contains("universal time"),
        "{notices:?}"
    );
}
