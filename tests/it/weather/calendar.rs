//! Typical years laid over the calendar.

use std::fmt::Write as _;

use approx::assert_relative_eq;
use coatday::weather::{Reading, read_epw};
use jiff::civil::{DateTime, date};

use super::{HOUR, epw, moment, shown};

/// Temperatures that name their hour of the year.
fn numbered_year() -> Reading {
    let mut k = 0;
    let bytes = epw(|_, _, _, row| {
        k += 1;
        row[6] = format!("{}", f64::from(k) / 1000.0);
        row[7] = "-20".into();
        true
    });
    read_epw("year.epw", &bytes).unwrap().0
}

#[test]
fn analytic_leap_day_takes_the_weather_of_the_day_before() {
    let season = numbered_year()
        .season(moment(2028, 2, 28, 0), moment(2028, 3, 2, 0), None)
        .unwrap();
    let t = |hours: i32| season.at(f64::from(hours) * HOUR).temperature;
    for hour in 1..=24 {
        assert_eq!(t(hour), t(24 + hour), "{hour}");
        assert_relative_eq!(t(hour), f64::from(58 * 24 + hour) / 1000.0, epsilon = 1e-12);
        assert_relative_eq!(
            t(48 + hour),
            f64::from(59 * 24 + hour) / 1000.0,
            epsilon = 1e-12
        );
    }
    let common = numbered_year()
        .season(moment(2027, 2, 28, 0), moment(2027, 3, 2, 0), None)
        .unwrap();
    assert_relative_eq!(
        common.at(25.0 * HOUR).temperature,
        f64::from(59 * 24 + 1) / 1000.0,
        epsilon = 1e-12
    );
    // Rows of 29 February in the file are left out, with a notice.
    let mut text = String::from_utf8(epw(|_, _, _, _| true)).unwrap();
    let leap = text
        .lines()
        .find(|line| line.starts_with("1990,2,28,5,"))
        .unwrap()
        .replace("1990,2,28", "1988,2,29");
    writeln!(text, "{leap}").unwrap();
    let (_, notices) = read_epw("year.epw", text.as_bytes()).unwrap();
    assert_eq!((notices.len(), notices[0].hours), (1, 1), "{notices:?}");
}

#[test]
fn analytic_season_runs_across_new_year_and_starts_within_an_hour() {
    let start = date(2026, 12, 31).at(21, 15, 0, 0);
    let season = numbered_year()
        .season(start, date(2027, 1, 1).at(2, 30, 0, 0), None)
        .unwrap();
    assert_eq!((season.start(), season.duration()), (start, 5.25 * HOUR));
    assert_relative_eq!(season.at(0.0).temperature, 8.757_25, epsilon = 1e-12);
    assert_relative_eq!(season.at(2.75 * HOUR).temperature, 8.760, epsilon = 1e-12);
    assert_relative_eq!(season.at(3.75 * HOUR).temperature, 0.001, epsilon = 1e-12);
    assert_relative_eq!(season.at(1e9).temperature, 0.0025, epsilon = 1e-12);
    assert_relative_eq!(
        season.mean(0.0, 0.5 * HOUR).temperature,
        8.7575,
        epsilon = 1e-12
    );
}

#[test]
fn regress_impossible_seasons_are_faults() {
    let year = numbered_year();
    let start = moment(2026, 1, 1, 0);
    assert!(shown(&year.season(start, start, None).unwrap_err()).contains("before it has begun"));
    assert!(
        shown(&year.season(start, moment(2100, 1, 1, 0), None).unwrap_err())
            .contains("twenty years")
    );
    assert!(year.season(DateTime::MIN, DateTime::MAX, None).is_err());
    assert!(
        year.season(moment(9999, 12, 30, 0), DateTime::MAX, None)
            .is_ok()
    );
    assert!(
        year.season(DateTime::MIN, DateTime::MIN.tomorrow().unwrap(), None)
            .is_ok()
    );
}
