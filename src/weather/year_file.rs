//! What the typical-year formats (EPW, TMY3) share: rows by month, day and hour, in any order and from any years.

use super::LIMITS;
use super::fault::{Faults, Notices, Position};
use super::raw::{Completion, RawHour};
use super::reading::{DAY_HOURS, Place, ReadResult, Reading, Record, YEAR_HOURS, year_index};
use super::text::{Column, number, shown};
use jiff::civil::Date;

/// A year without 29 February, to check month and day with.
const COMMON_YEAR: i16 = 2023;

/// The rows of a typical year as they are read.
pub(super) struct YearRows {
    pub(super) hours: Vec<RawHour>,
    rows: usize,
    leap_rows: usize,
    first_leap_line: usize,
}

impl YearRows {
    pub(super) fn new() -> Self {
        Self {
            hours: vec![RawHour::default(); YEAR_HOURS],
            rows: 0,
            leap_rows: 0,
            first_leap_line: 0,
        }
    }

    /// Puts a row in its place; `hour` is 1 to 24 and names the hour that ends then.
    pub(super) fn put(
        &mut self,
        month: i8,
        day: i8,
        hour: i8,
        row: RawHour,
        faults: &mut Faults<'_>,
    ) {
        let line = row.line;
        if month == 2 && day == 29 {
            self.leap_rows += 1;
            self.first_leap_line = if self.first_leap_line == 0 {
                line
            } else {
                self.first_leap_line
            };
            return;
        }
        let Ok(date) = Date::new(COMMON_YEAR, month, day) else {
            faults.add(
                || Position::line(line),
                || format!("There is no day {day} in month {month}. Correct the date of this row."),
            );
            return;
        };
        self.rows += 1;
        if let Some(slot) = self.hours.get_mut(year_index(date, hour)) {
            if slot.line > 0 {
                let before = slot.line;
                faults.add(
                    || Position::line(line),
                    || {
                        format!(
                            "Month {month}, day {day}, hour {hour} was already given on line {before}. \
                             Leave one of the two out; a file may hold one year only."
                        )
                    },
                );
            } else {
                *slot = row;
            }
        }
    }

    /// Fills gaps and wraps up.
    pub(super) fn finish<'a>(
        self,
        name: &str,
        place: Place,
        columns: &[Column],
        mut faults: Faults<'a>,
        mut notices: Notices<'a>,
    ) -> ReadResult {
        if self.rows == 0 {
            faults.add(Position::default, || {
                "The file has no hourly rows. Use a complete file.".to_owned()
            });
            return Err(faults.into_list());
        }
        // Gaps are only looked for in rows that could be read: an unreadable value is not a missing one.
        if !faults.none() {
            return Err(faults.into_list());
        }
        if self.leap_rows > 0 {
            notices.add(
                Position::line(self.first_leap_line),
                self.leap_rows,
                "The rows of 29 February are left out. In a leap year that day gets the weather of 28 February.",
            );
        }
        let samples = Completion {
            hours: &self.hours,
            columns,
            cyclic: true,
            faults: &mut faults,
            notices: &mut notices,
        }
        .samples();
        if !faults.none() {
            return Err(faults.into_list());
        }
        let empty = samples.iter().filter(|sample| sample.is_none()).count();
        if empty > 0 {
            notices.add(
                Position::default(),
                empty,
                format!("The file covers {} of {YEAR_HOURS} h. Seasons outside them cannot be computed.", YEAR_HOURS - empty),
            );
        }
        tell_time_zone(&place, &mut notices);
        Ok((
            Reading::new(name, Some(place), Record::TypicalYear(samples)),
            notices.into_list(),
        ))
    }
}

/// Some files give their hours in universal time and say time zone 0 for places far from Greenwich.
fn tell_time_zone(place: &Place, notices: &mut Notices<'_>) {
    /// The Earth turns by this many degrees in an hour.
    const DEGREES_PER_HOUR: f64 = 15.0;
    let by_the_sun = place.longitude / DEGREES_PER_HOUR;
    let mut off = (place.time_zone_hours - by_the_sun).abs();
    // The date line: +12 and -12 are the same clock.
    off = off.min((off - DAY_HOURS as f64).abs());
    if off > LIMITS.most_zone_offset_hours {
        notices.add(
            Position::line(1),
            0,
            format!(
                "The time zone is {} h but the longitude {} degrees means about {by_the_sun:.1} h: the hours may be universal time. \
                 They are used as local standard time; shift them if they are not.",
                place.time_zone_hours, place.longitude
            ),
        );
    }
}

/// A whole number in a field, within limits; else a fault.
pub(super) fn whole_number(
    fields: &[&str],
    index: usize,
    name: &str,
    (low, high): (i8, i8),
    line: usize,
    faults: &mut Faults<'_>,
) -> Option<i8> {
    let text = fields.get(index).copied().unwrap_or_default().trim();
    let value = text
        .parse::<i8>()
        .ok()
        .filter(|value| (low..=high).contains(value));
    if value.is_none() {
        faults.add(
            || Position::field(line, index + 1, name),
            || {
                format!(
                    "\"{}\" is not a {name}. Write a whole number from {low} to {high}.",
                    shown(text)
                )
            },
        );
    }
    value
}

/// The place in the first line of a file; `order` holds the fields (from 0) of latitude, longitude, time zone and elevation.
pub(super) fn place(
    name: String,
    fields: &[&str],
    order: [usize; 4],
    faults: &mut Faults<'_>,
) -> Place {
    let (lowest, highest) = LIMITS.elevation;
    let [latitude, longitude, time_zone, elevation] = order;
    let mut get = |index: usize, what: &str, low: f64, high: f64| {
        let text = fields.get(index).copied().unwrap_or_default().trim();
        number(text)
            .filter(|x| (low..=high).contains(x))
            .unwrap_or_else(|| {
                faults.add(
                    || Position::field(1, index + 1, what),
                    || {
                        format!(
                            "\"{}\" is not a {what}. Write a number from {low} to {high}.",
                            shown(text)
                        )
                    },
                );
                0.0
            })
    };
    Place {
        latitude: get(latitude, "latitude", -90.0, 90.0),
        longitude: get(longitude, "longitude", -180.0, 180.0),
        time_zone_hours: get(time_zone, "time zone", -12.0, 14.0),
        elevation: get(elevation, "elevation", lowest, highest),
        name,
    }
}
