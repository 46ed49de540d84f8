//! The bytes that put readings at the end of a log.
//!
//! Whatever state a crash or an editor left the end of the log in, what is there stays as it is and no new reading is joined to
//! it. The last field of every line written here is the note, in quotation marks: a line that was cut short anywhere then lacks a
//! field, the closing mark or at most the note, and can never pass for a reading with another value.

use super::columns::{Column, Layout, standard_header};
use super::log::{is_cut_header, lines, read_log, says_nothing, text_of};
use super::method::{AS_GIVEN, Method, Reading};
use crate::scenario::{Collector, Faults};
use jiff::civil::{Date, DateTime};
use std::collections::BTreeSet;

/// One reading as text, column by column; columns left out are empty.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Entry(pub Vec<(Column, String)>);

/// What to put at the end of a log.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Addition {
    /// The bytes; empty if all is there already.
    pub bytes: Vec<u8>,
    /// The new readings, with the lines they will stand on.
    pub readings: Vec<Reading>,
    /// Number of readings that were in the log already, word for word.
    pub there_already: usize,
}

/// What is known of a log before something is added.
struct End {
    layout: Layout,
    /// Its line of names.
    header: String,
    /// What must come before the first new line: what is missing of the line of names, or the missing line end.
    head: String,
}

/// The bytes that add `entries` to a log that holds `existing`; `name` is how faults call it.
///
/// # Errors
/// Every fault: of the log's line of names, or of an entry (line and column are those that it would have in the log).
pub fn addition(
    name: &str,
    existing: &[u8],
    entries: &[Entry],
    placed: Date,
) -> Result<Addition, Faults> {
    let text = text_of(existing);
    let end = end(name, &text)?;
    let mut known: BTreeSet<String> = read_log(name, existing, placed)
        .readings
        .iter()
        .map(Reading::fingerprint)
        .collect();
    let mut number = 1 + (text.matches('\n').count() + end.head.matches('\n').count());
    let mut added = Addition::default();
    let mut bytes = String::new();
    let mut faults: Option<Faults> = None;
    for entry in entries {
        let line = end.line(entry);
        // Read back, so that what is written is what will be read.
        let mut log = read_log(name, format!("{}\n{line}\n", end.header).as_bytes(), placed);
        if let Some(mut found) = log.faults.take() {
            for fault in &mut found.faults {
                fault.line = number;
            }
            match &mut faults {
                Some(faults) => faults.faults.append(&mut found.faults),
                None => faults = Some(found),
            }
        }
        let Some(mut reading) = log.readings.pop() else {
            continue;
        };
        if !known.insert(reading.fingerprint()) {
            added.there_already += 1;
            continue;
        }
        reading.line = number;
        number += 1;
        added.readings.push(reading);
        bytes.push_str(&line);
        bytes.push('\n');
    }
    if let Some(faults) = faults {
        return Err(faults);
    }
    if !bytes.is_empty() {
        added.bytes = (end.head + &bytes).into_bytes();
    }
    Ok(added)
}

fn end(name: &str, text: &str) -> Result<End, Faults> {
    let standard = standard_header();
    if is_cut_header(text) {
        let missing = standard.get(text.len()..).unwrap_or_default();
        return Ok(End {
            layout: Layout::standard(),
            head: format!("{missing}\n"),
            header: standard,
        });
    }
    let needed = [Column::Time, Column::Place, Column::Method, Column::Value];
    let mut faults = Collector::new(text);
    let place = lines(text)
        .map(|(_, place, _)| place)
        .find(|place| !says_nothing(text.get(place.clone()).unwrap_or_default()));
    let Some(place) = place else {
        faults.add(
            "",
            &(0..0),
            "The log has no line of column names.",
            format!("Put this line first: {standard}. Or name another log."),
        );
        return Err(faults.finish(name));
    };
    let header = text.get(place.clone()).unwrap_or_default().to_owned();
    let layout = Layout::read(&header, place.start, &needed, false, &mut faults);
    let note_is_last = layout.as_ref().is_some_and(|layout| {
        layout
            .find(Column::Note)
            .is_some_and(|note| note.index + 1 == layout.width)
    });
    if layout.is_some() && !note_is_last {
        // A line cut just before its last field looks like one in which that field is empty. Of a note nothing hangs on it.
        faults.add(
            "",
            &(place.end..place.end),
            "The last column is not \"note\". Readings are added only where it is, so that a line cut short can be told.",
            "Add \",note\" to this line and a comma to each row below.",
        );
        return Err(faults.finish(name));
    }
    match layout {
        Some(layout) => Ok(End {
            layout,
            header,
            head: if text.ends_with('\n') { "" } else { "\n" }.to_owned(),
        }),
        None => Err(faults.finish(name)),
    }
}

impl End {
    /// The line of an entry, without its line end.
    fn line(&self, entry: &Entry) -> String {
        let last = self.layout.width.saturating_sub(1);
        let cells: Vec<String> = (0..self.layout.width)
            .map(|index| {
                let column = self.layout.at(index).map(|placed| placed.column);
                let text = column.and_then(|c| entry.get(c)).unwrap_or_default();
                cell(text, column, index == last)
            })
            .collect();
        cells.join(",")
    }
}

/// A moment as the log writes it.
#[must_use]
pub fn written(time: DateTime) -> String {
    let seconds = if time.second() == 0 {
        String::new()
    } else {
        format!(":{:02}", time.second())
    };
    format!(
        "{} {:02}:{:02}{seconds}",
        time.date(),
        time.hour(),
        time.minute()
    )
}

/// A number without the last digits that come from changing units.
fn plain(number: f64) -> f64 {
    (number * 1e6).round() / 1e6
}

impl Entry {
    /// A reading as text, in SI units but for the value, which stays as it was typed.
    #[must_use]
    pub fn of(reading: &Reading) -> Self {
        let mut cells = vec![
            (Column::Time, written(reading.time)),
            (Column::Place, reading.place.clone()),
            (Column::Method, reading.method.word().to_owned()),
            (Column::Value, reading.typed.clone()),
        ];
        let degrees = |t: f64| format!("{} degC", plain(t));
        let percent = |share: f64| format!("{} %", plain(share * 100.0));
        let hours = |s: f64| format!("{} h", plain(s / crate::units::HOUR));
        let millimetres = |m: f64| format!("{} mm", plain(m * 1e3));
        let optional = [
            (Column::Depth, reading.depth.map(millimetres)),
            (
                Column::SlabTemperature,
                reading.slab_temperature.map(degrees),
            ),
            (Column::AirTemperature, reading.air_temperature.map(degrees)),
            (
                Column::AirRelativeHumidity,
                reading.air_relative_humidity.map(percent),
            ),
            (Column::Exposure, reading.exposure.map(hours)),
            (Column::Conditioned, reading.conditioned.map(hours)),
            (Column::GroundSide, reading.ground_side.map(millimetres)),
            (
                Column::DishArea,
                reading.dish_area.map(|a| format!("{} m2", plain(a))),
            ),
            (
                Column::Concrete,
                reading.concrete.map(|kind| kind.word().to_owned()),
            ),
            (
                Column::StandardDeviation,
                reading
                    .spread
                    .filter(|spread| spread.source == AS_GIVEN)
                    .map(|spread| match reading.method {
                        Method::Dish => format!("{:e} kg/(m2 s)", spread.standard_deviation),
                        _ => percent(spread.standard_deviation),
                    }),
            ),
            (
                Column::Note,
                Some(reading.note.clone()).filter(|note| !note.is_empty()),
            ),
        ];
        cells.extend(
            optional
                .into_iter()
                .filter_map(|(column, text)| Some((column, text?))),
        );
        Self(cells)
    }

    /// The text of a column, if it has any.
    #[must_use]
    pub fn get(&self, column: Column) -> Option<&str> {
        self.0
            .iter()
            .find(|(own, _)| *own == column)
            .map(|(_, text)| text.trim())
            .filter(|text| !text.is_empty())
    }

    /// Columns that have a text but no place in a log with these bytes.
    #[must_use]
    pub fn without_place(&self, existing: &[u8]) -> Vec<&'static str> {
        let Ok(end) = end("", &text_of(existing)) else {
            return Vec::new();
        };
        Column::ALL
            .into_iter()
            .filter(|column| self.get(*column).is_some() && end.layout.find(*column).is_none())
            .map(Column::name)
            .collect()
    }
}

/// A text as a cell: on one line, in quotation marks where it could be mistaken and in the last column always.
fn cell(text: &str, column: Option<Column>, last: bool) -> String {
    let plain: String = text
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    // Inches may be written with a mark; in a note it is only a mark, and a single one cannot look like the closing one
    // where the line is cut.
    let plain = if column == Some(Column::Note) {
        plain.replace('"', "'")
    } else {
        plain
    };
    if last || plain.contains([',', '"']) || plain.starts_with('#') {
        format!("\"{}\"", plain.replace('"', "\"\""))
    } else {
        plain
    }
}
