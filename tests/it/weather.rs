//! Tests of the `weather` room: what they share; the tests are in one file per subject.

mod calendar;
mod epw;
mod hourly_csv;
mod malformed;
mod normals;
mod places;
mod series;
mod tmy3;
mod variation;

use std::fmt::Write as _;

use coatday::weather::{Notice, Reading, WeatherFault};
use jiff::civil::{DateTime, date};

pub(super) const HOUR: f64 = 3600.0;
pub(super) const QUIRKS_EPW: &[u8] = include_bytes!("../fixtures/weather/quirks.epw");
pub(super) const THREE_DAYS_CSV: &[u8] = include_bytes!("../fixtures/weather/three_days.csv");
pub(super) const TYPICAL_YEAR: &[u8] =
    include_bytes!("../../scenarios/weather/typical_year_723170.csv");

pub(super) fn moment(year: i16, month: i8, day: i8, hour: i8) -> DateTime {
    date(year, month, day).at(hour, 0, 0, 0)
}

/// Saturation vapor pressure over water, Pa: Sonntag (1990), Z. Meteorol. 40, 340, valid -100 to 100 degC; the reference
/// equation behind WMO guide No. 8.
pub(super) fn sonntag_over_water(t: f64) -> f64 {
    let k = t + 273.15;
    100.0
        * (-6096.9385 / k + 16.635_794 - 2.711_193e-2 * k
            + 1.673_952e-5 * k * k
            + 2.433_502 * k.ln())
        .exp()
}

pub(super) fn ratio(e: f64, p: f64) -> f64 {
    0.621_945 * e / (p - e)
}

pub(super) fn faults(
    result: Result<(Reading, Vec<Notice>), Vec<WeatherFault>>,
) -> Vec<WeatherFault> {
    result.expect_err("faults were expected")
}

pub(super) fn shown(list: &[WeatherFault]) -> String {
    list.iter()
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join("\n")
}

/// Fields of a data row of an invented EPW file.
pub(super) type Row = Vec<String>;

/// A full-year EPW file of invented numbers; `edit` may change or drop rows (month, day, hour, fields).
pub(super) fn epw(mut edit: impl FnMut(i8, i8, i8, &mut Row) -> bool) -> Vec<u8> {
    let mut text = String::from_utf8(QUIRKS_EPW.to_vec())
        .unwrap()
        .lines()
        .take(8)
        .fold(String::new(), |all, line| all + line + "\n");
    let mut day = date(2023, 1, 1);
    while day.year() == 2023 {
        for hour in 1..=24_i8 {
            let t = 10.0 + f64::from(day.month()) + f64::from(hour) / 10.0;
            let mut row: Row = format!(
                "1990,{},{},{hour},0,?,{t:.1},{:.1},60,96000",
                day.month(),
                day.day(),
                t - 6.0
            )
            .split(',')
            .map(str::to_owned)
            .collect();
            row.extend("9999,9999,9999,0,0,0,999900,999900,999900,9999,180,2.5,99,99,9999,99999,9,999999999,999,.999,999,99,999,0.0,1".split(',').map(str::to_owned));
            assert_eq!(row.len(), 35);
            if edit(day.month(), day.day(), hour, &mut row) {
                writeln!(text, "{}", row.join(",")).unwrap();
            }
        }
        day = day.tomorrow().unwrap();
    }
    text.into_bytes()
}
