//! Reader of dated hourly weather in a plain CSV of our own.
//!
//! The first line that is neither empty nor a comment (`#`) names the columns, in any order:
//!
//! | column | content |
//! |---|---|
//! | `time` | `2026-01-05 13:00` or `2026-01-05T13:00`, site local standard time, whole hours; `24:00` is the next midnight |
//! | `temperature_c` or `temperature_f` | dry-bulb temperature at that time |
//! | `dew_point_c` or `dew_point_f` | dew point over water; preferred if both are given |
//! | `relative_humidity_percent` | relative humidity over water |
//! | `pressure_pa` or `pressure_hpa` | station pressure, not reduced to sea level (may be left out) |
//! | `wind_speed_m_s` or `wind_speed_mph` | wind speed (may be left out) |
//! | `rain_mm` or `rain_in` | rain in the hour that ends at that time (may be left out) |
//!
//! Rows are in order of time. An empty field is a missing value.

use jiff::civil::DateTime;

use super::fault::{Faults, Notices, Position};
use super::raw::{Completion, RawHour};
use super::reading::{ReadResult, Reading, Record, after};
use super::text::{Column, Missing, Quantity, fields, lines, shown};
use super::{LIMITS, WeatherFault};
use crate::units::{INCH, RANKINE};

const TIME: &str = "time";

/// Name, quantity, factor and offset to degC, fraction, Pa, m/s, mm (exact definitions of foot, inch and mile).
const COLUMNS: [(&str, Quantity, f64, f64); 11] = [
    ("temperature_c", Quantity::Temperature, 1.0, 0.0),
    (
        "temperature_f",
        Quantity::Temperature,
        RANKINE,
        -32.0 * RANKINE,
    ),
    ("dew_point_c", Quantity::DewPoint, 1.0, 0.0),
    ("dew_point_f", Quantity::DewPoint, RANKINE, -32.0 * RANKINE),
    (
        "relative_humidity_percent",
        Quantity::RelativeHumidity,
        0.01,
        0.0,
    ),
    ("pressure_pa", Quantity::Pressure, 1.0, 0.0),
    ("pressure_hpa", Quantity::Pressure, 100.0, 0.0),
    ("wind_speed_m_s", Quantity::WindSpeed, 1.0, 0.0),
    ("wind_speed_mph", Quantity::WindSpeed, 0.447_04, 0.0),
    ("rain_mm", Quantity::Rain, 1.0, 0.0),
    ("rain_in", Quantity::Rain, 1e3 * INCH, 0.0),
];

/// Reads dated hourly weather in the CSV described at the head of this file.
///
/// # Errors
/// Every fault found, with line and column, up to a limit.
pub fn read_hourly_csv(name: &str, bytes: &[u8]) -> ReadResult {
    let mut faults = Faults::new(name);
    let mut notices = Notices::new(name);
    let mut lines = lines(bytes)
        .map_err(|message| vec![WeatherFault::of(name, message)])?
        .filter(|(_, text)| !text.trim().is_empty() && !text.starts_with('#'));

    let Some((line, header)) = lines.next() else {
        return Err(vec![WeatherFault::of(
            name,
            "The file holds only comments. Add a line of column names and hourly rows.",
        )]);
    };
    let Some((time, columns, width)) = header_columns(&header, line, &mut faults) else {
        return Err(faults.into_list());
    };

    let mut begin: Option<DateTime> = None;
    let mut hours: Vec<RawHour> = Vec::new();
    for (line, text) in lines {
        let fields = fields(&text);
        if fields.len() != width {
            faults.add(
                || Position::line(line),
                || format!("The row has {} comma-separated fields, but the line of column names has {width}. Complete or remove it.", fields.len()),
            );
            continue;
        }
        let moment = moment(
            fields.get(time).copied().unwrap_or_default().trim(),
            time,
            line,
            &mut faults,
        );
        let mut row = RawHour {
            line,
            ..RawHour::default()
        };
        for column in &columns {
            row.set(column.quantity, column.read(&fields, line, &mut faults));
        }
        let Some(moment) = moment else { continue };
        let start = *begin.get_or_insert(moment);
        // The first row opens the series; every other one follows the last.
        let last = hours.len().saturating_sub(1);
        let ahead =
            moment.duration_since(start).as_hours() - i64::try_from(last).unwrap_or(i64::MAX);
        if hours.is_empty() {
            hours.push(row);
        } else if ahead < 1 {
            faults.add(
                || Position::field(line, time + 1, TIME),
                || format!("{moment} does not follow the row before it. Sort the rows by time and leave out doubles."),
            );
        } else if ahead as usize - 1 > LIMITS.longest_gap_hours {
            faults.add(
                || Position::field(line, time + 1, TIME),
                || {
                    format!(
                        "The rows for {} h before {moment} are missing, and gaps of up to {} h are filled. Put the rows in, or use another source.",
                        ahead - 1,
                        LIMITS.longest_gap_hours
                    )
                },
            );
            // Read on from here, so that one gap is one fault.
            begin = after(moment, 0);
            hours.clear();
            hours.push(row);
        } else if hours.len() + ahead as usize > LIMITS.longest_season_hours {
            faults.add(
                || Position::line(line),
                || "The file holds more than twenty years. Cut it to the season.".to_owned(),
            );
            return Err(faults.into_list());
        } else {
            hours.resize(hours.len() + ahead as usize - 1, RawHour::default());
            hours.push(row);
        }
    }
    let Some(begin) = begin else {
        faults.add(Position::default, || {
            "No row could be read. Add hourly rows below the column names.".to_owned()
        });
        return Err(faults.into_list());
    };
    if !faults.none() {
        return Err(faults.into_list());
    }
    let samples = Completion {
        hours: &hours,
        columns: &columns,
        cyclic: false,
        faults: &mut faults,
        notices: &mut notices,
    }
    .samples();
    if !faults.none() {
        return Err(faults.into_list());
    }
    let complete: Vec<_> = samples.iter().copied().flatten().collect();
    if complete.len() != samples.len() {
        return Err(vec![WeatherFault::of(
            name,
            "Some hours lack a value. Fill in the rows, or use another source.",
        )]);
    }
    Ok((
        Reading::new(name, None, Record::Dated(begin, complete)),
        notices.into_list(),
    ))
}

/// Index of the time column, the other columns, and the number of columns.
fn header_columns(
    header: &str,
    line: usize,
    faults: &mut Faults<'_>,
) -> Option<(usize, Vec<Column>, usize)> {
    let names: Vec<String> = fields(header)
        .iter()
        .map(|name| name.trim().to_ascii_lowercase())
        .collect();
    if let [only] = names.as_slice()
        && let Some(separator) = only.chars().find(|c| [';', '\t', '|'].contains(c))
    {
        faults.add(
            || Position::line(line),
            || {
                format!(
                    "The columns are separated by {separator:?}. Separate them by commas, and write numbers with a decimal point."
                )
            },
        );
        return None;
    }
    let allowed = || {
        COLUMNS
            .iter()
            .map(|(name, ..)| *name)
            .collect::<Vec<_>>()
            .join(", ")
    };
    let mut time = None;
    let mut columns: Vec<Column> = Vec::new();
    for (index, name) in names.iter().enumerate() {
        let position = || Position::field(line, index + 1, &shown(name));
        if name == TIME {
            if time.replace(index).is_some() {
                faults.add(position, || {
                    "The column is there twice. Leave one out.".to_owned()
                });
            }
        } else if let Some((_, quantity, factor, offset)) =
            COLUMNS.iter().find(|(known, ..)| known == name)
        {
            if let Some(double) = columns.iter().find(|column| column.quantity == *quantity) {
                faults.add(position, || {
                    format!(
                        "The {} is already in column {}. Leave one out.",
                        quantity.name(),
                        double.index + 1
                    )
                });
                continue;
            }
            columns.push(Column {
                quantity: *quantity,
                index,
                name: name.clone(),
                factor: *factor,
                offset: *offset,
                missing: Missing::Empty,
            });
        } else {
            faults.add(position, || {
                format!(
                    "This is not the name of a column. Allowed are time, {}.",
                    allowed()
                )
            });
        }
    }
    let has = |quantity| columns.iter().any(|column| column.quantity == quantity);
    for (there, wanted) in [
        (time.is_some(), "time"),
        (has(Quantity::Temperature), "temperature_c or temperature_f"),
        (
            has(Quantity::DewPoint) || has(Quantity::RelativeHumidity),
            "dew_point_c, dew_point_f or relative_humidity_percent",
        ),
    ] {
        if !there {
            faults.add(
                || Position::line(line),
                || {
                    format!(
                        "The line of column names has no {wanted}. Add it. Allowed are time, {}.",
                        allowed()
                    )
                },
            );
        }
    }
    if faults.none() {
        Some((time?, columns, names.len()))
    } else {
        None
    }
}

/// The moment a row stands at.
fn moment(text: &str, index: usize, line: usize, faults: &mut Faults<'_>) -> Option<DateTime> {
    let parsed = parse_moment(text);
    if let Err(message) = parsed {
        faults.add(
            || Position::field(line, index + 1, TIME),
            || format!("\"{}\" {message}", shown(text)),
        );
    }
    parsed.ok()
}

fn parse_moment(text: &str) -> Result<DateTime, &'static str> {
    const FORM: &str = "is not a time. Write site local standard time, such as 2026-01-05 13:00.";
    let (day, clock) = text.split_once([' ', 'T']).ok_or(FORM)?;
    if clock.ends_with(['Z', 'z']) || clock.contains(['+', '-', '[']) {
        return Err(
            "names a time zone. Convert to the site's local standard time and write it as 2026-01-05 13:00.",
        );
    }
    let date: jiff::civil::Date = day.parse().map_err(|_| FORM)?;
    let mut parts = clock.trim().split(':');
    let hour = parts
        .next()
        .and_then(|hour| hour.parse::<i8>().ok())
        .filter(|hour| (0..=24).contains(hour))
        .ok_or(FORM)?;
    let minutes_and_seconds: Vec<&str> = parts.collect();
    if minutes_and_seconds.is_empty() || minutes_and_seconds.len() > 2 {
        return Err(FORM);
    }
    if minutes_and_seconds.iter().any(|part| *part != "00") {
        return Err("is not a whole hour. Give one row per hour, at the full hour.");
    }
    let midnight = date.at(0, 0, 0, 0);
    after(midnight, usize::try_from(hour).unwrap_or(0)).ok_or(FORM)
}
