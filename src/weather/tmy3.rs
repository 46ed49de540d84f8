//! Reader of TMY3 files (typical meteorological years as comma-separated text, United States public data).
//!
//! Line 1: station number, name, state, time zone, latitude, longitude, elevation in m. Line 2: names of the columns. Then
//! one row per hour, date `MM/DD/YYYY`, time `01:00` to `24:00` local standard time. Columns are found by name, so a file
//! may leave out those not used here. Used: `Dry-bulb (C)`, `Dew-point (C)`, `RHum (%)`, `Pressure (mbar)`,
//! `Wspd (m/s)`, `Lprecip depth (mm)` and `Lprecip quantity (hr)`. Missing: empty, or -9900 and below (from memory of the format's manual).
//!
//! Rain: some files hold tenths of a millimetre in the column headed millimetres. The numbers tell: rain gauges resolve
//! 0.25 mm and most wet hours bring less than 2 mm, so a file whose lightest wet hour of many is 2 or more, or in which an
//! hour exceeds the world record, is read as tenths, with a notice.
//!
//! Sources: the header lines of the files themselves; the format's manual (from memory).

use super::WeatherFault;
use super::fault::{Faults, Notices, Position};
use super::raw::RawHour;
use super::reading::ReadResult;
use super::text::{Column, MOST_RAIN_IN_AN_HOUR, Missing, Quantity, fields, lines, number, shown};
use super::year_file::{YearRows, place, whole_number};

/// Name of the first column, by which the format is known.
pub(super) const DATE: &str = "Date (MM/DD/YYYY)";
const TIME: &str = "Time (HH:MM)";
const RAIN_HOURS: &str = "Lprecip quantity (hr)";
const MISSING: f64 = -9900.0;

/// Columns by name, with the factor to degC, fraction, Pa, m/s, tenths of a mm.
const COLUMNS: [(Quantity, &str, f64); 6] = [
    (Quantity::Temperature, "Dry-bulb (C)", 1.0),
    (Quantity::DewPoint, "Dew-point (C)", 1.0),
    (Quantity::RelativeHumidity, "RHum (%)", 0.01),
    (Quantity::Pressure, "Pressure (mbar)", 100.0),
    (Quantity::WindSpeed, "Wspd (m/s)", 1.0),
    // Read as tenths first, so that the range check allows either unit; settled once all rows are known.
    (Quantity::Rain, "Lprecip depth (mm)", TENTH),
];
const TENTH: f64 = 0.1;

/// Wet hours below which the unit of the rain cannot be told from the numbers.
const FEWEST_WET_HOURS: usize = 20;
/// Lightest wet hour, as a number in the file, from which on the unit must be tenths of a millimetre.
const LIGHTEST_IN_TENTHS: f64 = 2.0;

/// Reads a TMY3 file as a typical year.
///
/// # Errors
/// Every fault found, with line and column, up to a limit.
pub fn read_tmy3(name: &str, bytes: &[u8]) -> ReadResult {
    let mut faults = Faults::new(name);
    let mut notices = Notices::new(name);
    let mut lines = lines(bytes).map_err(|message| vec![WeatherFault::of(name, message)])?;

    let first = lines.next().map(|(_, text)| text).unwrap_or_default();
    let Some((_, header)) = lines.next() else {
        faults.add(Position::default, || {
            "The file ends after its first line. Use a complete TMY3 file.".to_owned()
        });
        return Err(faults.into_list());
    };
    let names: Vec<&str> = fields(&header).into_iter().map(str::trim).collect();
    let index = |wanted: &str| {
        names
            .iter()
            .position(|name| name.eq_ignore_ascii_case(wanted))
    };
    let columns: Vec<Column> = COLUMNS
        .iter()
        .filter_map(|(quantity, name, factor)| {
            Some(Column {
                quantity: *quantity,
                index: index(name)?,
                name: (*name).to_owned(),
                factor: *factor,
                offset: 0.0,
                missing: Missing::AtMost(MISSING),
            })
        })
        .collect();
    let has = |quantity| columns.iter().any(|column| column.quantity == quantity);
    for (there, wanted) in [
        (index(DATE).is_some(), DATE),
        (index(TIME).is_some(), TIME),
        (has(Quantity::Temperature), "Dry-bulb (C)"),
        (
            has(Quantity::DewPoint) || has(Quantity::RelativeHumidity),
            "Dew-point (C) or RHum (%)",
        ),
    ] {
        if !there {
            faults.add(
                || Position::line(2),
                || format!("The second line of a TMY3 file names the columns, and {wanted} is not among them. Use an unchanged file."),
            );
        }
    }
    let (Some(date), Some(time)) = (index(DATE), index(TIME)) else {
        return Err(faults.into_list());
    };
    if !faults.none() {
        return Err(faults.into_list());
    }
    let first = fields(&first);
    let station = first.get(1).copied().unwrap_or_default().trim().to_owned();
    let site = place(station, &first, [4, 5, 3, 6], &mut faults);

    let rain_hours = index(RAIN_HOURS);
    let mut rows = YearRows::new();
    for (line, text) in lines {
        if text.trim().is_empty() {
            continue;
        }
        let fields = fields(&text);
        if fields.len() != names.len() {
            faults.add(
                || Position::line(line),
                || {
                    format!(
                        "The row has {} comma-separated fields, but the line of column names has {}. Complete or remove it.",
                        fields.len(),
                        names.len()
                    )
                },
            );
            continue;
        }
        let moment = moment(&fields, date, time, line, &mut faults);
        let mut row = RawHour {
            line,
            ..RawHour::default()
        };
        for column in &columns {
            row.set(column.quantity, column.read(&fields, line, &mut faults));
        }
        row.rain_hours = rain_hours
            .and_then(|index| fields.get(index))
            .and_then(|text| number(text.trim()))
            .filter(|hours| *hours >= 0.0)
            .map_or(1, |hours| hours as usize);
        if let Some((month, day, hour)) = moment {
            rows.put(month, day, hour, row, &mut faults);
        }
    }
    settle_rain_unit(&mut rows, &columns, &mut notices);
    rows.finish(name, site, &columns, faults, notices)
}

/// Month, day and hour (1 to 24) of a row.
fn moment(
    fields: &[&str],
    date: usize,
    time: usize,
    line: usize,
    faults: &mut Faults<'_>,
) -> Option<(i8, i8, i8)> {
    let text = fields.get(date).copied().unwrap_or_default().trim();
    let parts: Vec<&str> = text.splitn(4, '/').collect();
    let day = if parts.len() == 3 {
        let month = whole_number(&parts, 0, "month", (1, 12), line, faults);
        let day = whole_number(&parts, 1, "day", (1, 31), line, faults);
        month.zip(day)
    } else {
        faults.add(
            || Position::field(line, date + 1, DATE),
            || {
                format!(
                    "\"{}\" is not a date. Write it as MM/DD/YYYY, such as 01/31/1999.",
                    shown(text)
                )
            },
        );
        None
    };
    let text = fields.get(time).copied().unwrap_or_default().trim();
    let hour = text
        .split_once(':')
        .filter(|(_, minute)| *minute == "00")
        .and_then(|(hour, _)| hour.parse::<i8>().ok())
        .filter(|hour| (1..=24).contains(hour));
    if hour.is_none() {
        faults.add(
            || Position::field(line, time + 1, TIME),
            || {
                format!(
                    "\"{}\" is not a whole hour from 01:00 to 24:00. Correct the time of this row.",
                    shown(text)
                )
            },
        );
    }
    let (month, day) = day?;
    Some((month, day, hour?))
}

/// The rain was read as tenths of a millimetre; makes it millimetres unless the numbers say that it is tenths.
fn settle_rain_unit(rows: &mut YearRows, columns: &[Column], notices: &mut Notices<'_>) {
    let Some(column) = columns
        .iter()
        .find(|column| column.quantity == Quantity::Rain)
    else {
        return;
    };
    let mut lightest: Option<(f64, usize)> = None;
    let (mut heaviest, mut wet_hours) = (0.0_f64, 0);
    for hour in &rows.hours {
        if let Some(depth) = hour
            .get(Quantity::Rain)
            .map(|tenths| tenths / TENTH)
            .filter(|depth| *depth > 0.0)
        {
            wet_hours += 1;
            heaviest = heaviest.max(depth);
            if lightest.is_none_or(|(least, _)| depth < least) {
                lightest = Some((depth, hour.line));
            }
        }
    }
    let Some((least, line)) = lightest else {
        return;
    };
    if heaviest > MOST_RAIN_IN_AN_HOUR
        || (wet_hours >= FEWEST_WET_HOURS && least >= LIGHTEST_IN_TENTHS)
    {
        notices.add(
            column.position(line),
            wet_hours,
            format!(
                "The rain of {wet_hours} wet hours goes from {least:.1}, here, to {heaviest:.1}. Those cannot be millimeters, so they are \
                 read as tenths of a millimeter."
            ),
        );
    } else {
        for hour in &mut rows.hours {
            hour.set(
                Quantity::Rain,
                hour.get(Quantity::Rain).map(|tenths| tenths / TENTH),
            );
        }
    }
}
