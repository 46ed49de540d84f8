//! Reader of EPW files (an open text format for typical-year weather).
//!
//! Eight header lines, then one row per hour with 35 comma-separated fields (32 in older files, which end before the
//! rain). Used: month (2), day (3), hour (4), dry bulb (7, degC, missing from 99.9), dew point (8, degC, 99.9), relative
//! humidity (9, %, 999), station pressure (10, Pa, 999999), wind speed (22, m/s, 999), liquid precipitation (34, mm, 999)
//! and the hours it was collected over (35, 99). A number at or above the missing code means missing.
//!
//! Not used: the year (typical years are put together from several), and the minute, which files write as 0 or 60 for the
//! same thing: a row stands at the end of its hour.
//!
//! Source: the format's published data dictionary.

use super::fault::{Faults, Notices, Position};
use super::raw::RawHour;
use super::reading::ReadResult;
use super::text::{Column, Missing, Quantity, fields, lines, number, shown};
use super::year_file::{YearRows, place, whole_number};
use super::{LIMITS, WeatherFault};

/// Beginnings of the header lines, in order. Files end the fifth in SAVING or SAVINGS.
const HEADER: [&str; 8] = [
    "LOCATION",
    "DESIGN CONDITIONS",
    "TYPICAL/EXTREME PERIODS",
    "GROUND TEMPERATURES",
    "HOLIDAYS/DAYLIGHT SAVING",
    "COMMENTS 1",
    "COMMENTS 2",
    "DATA PERIODS",
];
const FEWEST_FIELDS: usize = 32;
const ALL_FIELDS: usize = 35;
/// Field 35, counted from 0, and the code for missing.
const RAIN_HOURS: (usize, f64) = (34, 99.0);

fn columns() -> [Column; 6] {
    let column = |quantity, field: usize, name: &str, factor, missing| Column {
        quantity,
        index: field - 1,
        name: name.to_owned(),
        factor,
        offset: 0.0,
        missing: Missing::AtLeast(missing),
    };
    [
        column(Quantity::Temperature, 7, "dry bulb temperature", 1.0, 99.9),
        column(Quantity::DewPoint, 8, "dew point temperature", 1.0, 99.9),
        column(
            Quantity::RelativeHumidity,
            9,
            "relative humidity",
            0.01,
            999.0,
        ),
        column(
            Quantity::Pressure,
            10,
            "atmospheric station pressure",
            1.0,
            999_999.0,
        ),
        column(Quantity::WindSpeed, 22, "wind speed", 1.0, 999.0),
        column(Quantity::Rain, 34, "liquid precipitation depth", 1.0, 999.0),
    ]
}

/// Reads an EPW file as a typical year.
///
/// # Errors
/// Every fault found, with line and field, up to a limit.
pub fn read_epw(name: &str, bytes: &[u8]) -> ReadResult {
    let mut faults = Faults::new(name);
    let notices = Notices::new(name);
    let mut lines = lines(bytes).map_err(|message| vec![WeatherFault::of(name, message)])?;

    let mut site = None;
    for expected in HEADER {
        let Some((line, text)) = lines.next() else {
            faults.add(Position::default, || {
                format!("The file ends before the header line {expected}. Use a complete file.")
            });
            return Err(faults.into_list());
        };
        let fields = fields(&text);
        let keyword = fields
            .first()
            .copied()
            .unwrap_or_default()
            .trim()
            .to_ascii_uppercase();
        if !keyword.starts_with(expected) {
            faults.add(
                || Position::field(line, 1, expected),
                || format!("An EPW file has {expected} here, but this line begins with \"{}\". Use an unchanged EPW file.", shown(&keyword)),
            );
            // Without its header the file is something else; its rows would only repeat that.
            return Err(faults.into_list());
        }
        if expected == "LOCATION" {
            let city = fields.get(1).copied().unwrap_or_default().trim().to_owned();
            site = Some(place(city, &fields, [6, 7, 8, 9], &mut faults));
        }
        if expected == "DATA PERIODS" {
            let per_hour = fields.get(2).copied().unwrap_or_default().trim();
            if number(per_hour) != Some(1.0) {
                faults.add(
                    || Position::field(line, 3, "records per hour"),
                    || format!("The file has \"{}\" records per hour; only 1 can be read. Use an hourly file.", shown(per_hour)),
                );
                return Err(faults.into_list());
            }
        }
    }

    let columns = columns();
    let mut rows = YearRows::new();
    let mut width = None;
    for (line, text) in lines {
        if text.trim().is_empty() {
            continue;
        }
        let fields = fields(&text);
        let width = *width.get_or_insert(fields.len().clamp(FEWEST_FIELDS, ALL_FIELDS));
        if fields.len() != width {
            faults.add(
                || Position::line(line),
                || {
                    let count = if fields.len() > LIMITS.most_fields { "too many".to_owned() } else { fields.len().to_string() };
                    format!("The row has {count} comma-separated fields instead of {width}. Complete or remove it.")
                },
            );
            continue;
        }
        let month = whole_number(&fields, 1, "month", (1, 12), line, &mut faults);
        let day = whole_number(&fields, 2, "day", (1, 31), line, &mut faults);
        let hour = whole_number(&fields, 3, "hour", (1, 24), line, &mut faults);
        whole_number(&fields, 4, "minute", (0, 60), line, &mut faults);
        let mut row = RawHour {
            line,
            ..RawHour::default()
        };
        for column in &columns {
            row.set(column.quantity, column.read(&fields, line, &mut faults));
        }
        let (index, missing) = RAIN_HOURS;
        row.rain_hours = fields
            .get(index)
            .and_then(|text| number(text.trim()))
            .filter(|hours| (0.0..missing).contains(hours))
            .map_or(1, |hours| hours as usize);
        if let (Some(month), Some(day), Some(hour)) = (month, day, hour) {
            rows.put(month, day, hour, row, &mut faults);
        }
    }
    match site {
        Some(site) => rows.finish(name, site, &columns, faults, notices),
        None => Err(faults.into_list()),
    }
}
