//! Reader of the log of readings, a plain CSV beside the scenario, and of loggers' exports.
//!
//! The first line that is neither empty nor a comment (`#`) names the columns, in any order; each further line is one reading.
//! Quantities are text with a unit (`82 %`, `2 in`), days and hours `2026-11-20 08:30`, site local standard time. A line that
//! cannot be read is a fault with its place and takes no other line with it. Nothing here fails or panics, whatever the bytes.

use super::columns::{Column, Layout, standard_header};
use super::method::Reading;
use super::parts::{MOST_CELLS, split};
use super::row::{AIR_HUMIDITY, DEPTH, DISH_AREA, Row, SIDE, TEMPERATURE, TIME, with_unit};
use crate::scenario::{Collector, Faults};
use crate::units::{self, Kind, dates};
use jiff::civil::{Date, DateTime};
use std::ops::Range;

/// What a log or an export holds.
#[derive(Debug, Default)]
pub struct Log {
    /// The readings, in the order of the lines.
    pub readings: Vec<Reading>,
    /// What could not be read; none if all could.
    pub faults: Option<Faults>,
    /// What should be known although it could be read.
    pub notices: Vec<String>,
}

/// What a logger's export leaves out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Defaults {
    /// Place of all rows without one.
    pub place: Option<String>,
    /// Method of all rows without one, a word of the log.
    pub method: Option<String>,
    /// Depth of all rows without one, text with unit.
    pub depth: Option<String>,
    /// When the probe was set, from which its time in the hole counts.
    pub since: Option<DateTime>,
}

/// Reads a log. `placed` is the day on which the concrete was placed, `name` how faults call the file.
#[must_use]
pub fn read_log(name: &str, bytes: &[u8], placed: Date) -> Log {
    let needed = [Column::Time, Column::Place, Column::Method, Column::Value];
    Reader::new(bytes, placed, Defaults::default(), false).read(name, &needed)
}

/// Reads a logger's export: as a log, but columns with other names are passed over, and what `defaults` gives may be left out.
#[must_use]
pub fn read_export(name: &str, bytes: &[u8], placed: Date, defaults: &Defaults) -> Log {
    let mut needed = vec![Column::Time, Column::Value];
    if defaults.place.is_none() {
        needed.push(Column::Place);
    }
    if defaults.method.is_none() {
        needed.push(Column::Method);
    }
    Reader::new(bytes, placed, defaults.clone(), true).read(name, &needed)
}

/// The text of bytes; what is no UTF-8 becomes the sign for that, so that only its own line suffers.
pub(super) fn text_of(bytes: &[u8]) -> String {
    let text = String::from_utf8_lossy(bytes).into_owned();
    match text.strip_prefix('\u{feff}') {
        Some(rest) => rest.to_owned(),
        None => text,
    }
}

/// Lines with their number and place \[bytes\], and whether a line end follows.
pub(super) fn lines(text: &str) -> impl Iterator<Item = (usize, Range<usize>, bool)> + '_ {
    let mut at = 0;
    text.split_inclusive('\n')
        .enumerate()
        .map(move |(number, line)| {
            let start = at;
            at += line.len();
            let whole = line.ends_with('\n');
            let bare = line.strip_suffix('\n').unwrap_or(line);
            let bare = bare.strip_suffix('\r').unwrap_or(bare);
            (number + 1, start..start + bare.len(), whole)
        })
}

pub(super) fn says_nothing(line: &str) -> bool {
    line.trim().is_empty() || line.trim_start().starts_with('#')
}

/// What is to be said of a whole line without a line end: its last field may be cut.
#[must_use]
pub fn unended(name: &str, number: usize) -> String {
    format!(
        "{name}:{number}: The last line has no line end. All its fields are there, so it counts. Check whether its end is missing."
    )
}

/// Whether the line of names itself was cut short while the log was being made: then no reading was in it yet.
pub(super) fn is_cut_header(text: &str) -> bool {
    !text.contains('\n') && standard_header().starts_with(text)
}

struct Reader {
    text: String,
    placed: Date,
    defaults: Defaults,
    export: bool,
}

impl Reader {
    fn new(bytes: &[u8], placed: Date, defaults: Defaults, export: bool) -> Self {
        Self {
            text: text_of(bytes),
            placed,
            defaults,
            export,
        }
    }

    fn read(&self, name: &str, needed: &[Column]) -> Log {
        let mut log = Log::default();
        let text = self.text.as_str();
        if !self.export && is_cut_header(text) {
            return log;
        }
        let mut faults = Collector::new(text);
        if text.trim().is_empty() {
            faults.add(
                "",
                &(0..0),
                "The file is empty.",
                "Give a line of column names and one line for each reading.",
            );
        }
        let mut layout: Option<Layout> = None;
        for (number, place, whole) in lines(text) {
            let line = text.get(place.clone()).unwrap_or_default();
            if says_nothing(line) {
                continue;
            }
            let Some(layout) = &layout else {
                layout = Layout::read(line, place.start, needed, self.export, &mut faults);
                let Some(found) = &layout else { break };
                if !found.unknown.is_empty() {
                    log.notices.push(format!(
                        "{name}: columns not used: {}.",
                        found.unknown.join(", ")
                    ));
                }
                continue;
            };
            let Some(reading) = self.row(number, line, place.start, whole, layout, &mut faults)
            else {
                continue;
            };
            if !whole {
                log.notices.push(unended(name, number));
            }
            log.readings.push(reading);
        }
        if !faults.is_empty() {
            log.faults = Some(faults.finish(name));
        }
        log
    }

    fn row(
        &self,
        number: usize,
        line: &str,
        start: usize,
        whole: bool,
        layout: &Layout,
        faults: &mut Collector<'_>,
    ) -> Option<Reading> {
        let torn = if whole {
            ""
        } else {
            "The last line has no line end and may have been cut short. "
        };
        let cells = match split(line, start) {
            Ok(cells) => cells,
            Err(fault) => {
                faults.add(
                    "",
                    &fault.span,
                    format!("{torn}{}", fault.message),
                    fault.help,
                );
                return None;
            }
        };
        if cells.len() != layout.width {
            let at = if cells.len() < layout.width {
                start + line.len()..start + line.len()
            } else {
                cells
                    .get(layout.width)
                    .map_or(start..start, |cell| cell.span.clone())
            };
            let message = format!(
                "{torn}The row has {} fields, but the line of column names has {}.",
                if cells.len() > MOST_CELLS {
                    format!("more than {MOST_CELLS}")
                } else {
                    cells.len().to_string()
                },
                layout.width
            );
            faults.add(
                "",
                &at,
                message,
                "Complete it or remove it. An empty field still needs its comma. A text with commas needs double quotes around it.",
            );
            return None;
        }
        let mut row = Row {
            layout,
            cells: &cells,
            faults,
            good: true,
        };
        let reading = self.reading(number, &mut row);
        if reading.is_none() && !torn.is_empty() {
            let end = start + line.len();
            faults.add(
                "",
                &(end..end),
                torn.trim_end(),
                "If it was, complete it from your notes or remove it.",
            );
        }
        reading
    }

    fn reading(&self, line: usize, row: &mut Row<'_, '_, '_>) -> Option<Reading> {
        let time = self.time(row);
        let place = row.place(self.defaults.place.as_deref());
        let method = row.method(self.defaults.method.as_deref());
        let depth = match (row.given(Column::Depth), &self.defaults.depth) {
            (None, Some(text)) => units::parse(Kind::Length, text).ok().map(|a| a.si()),
            _ => row.amount(Column::Depth, &DEPTH),
        };
        let slab_temperature = row.amount(Column::SlabTemperature, &TEMPERATURE);
        let air_temperature = row.amount(Column::AirTemperature, &TEMPERATURE);
        let air_relative_humidity = row.amount(Column::AirRelativeHumidity, &AIR_HUMIDITY);
        let exposure = row.amount(Column::Exposure, &TIME).or_else(|| {
            let (time, since) = (time?, self.defaults.since?);
            Some(time.duration_since(since).as_secs_f64()).filter(|s| *s >= 0.0)
        });
        let conditioned = row.amount(Column::Conditioned, &TIME);
        let ground_side = row.amount(Column::GroundSide, &SIDE);
        let dish_area = row.amount(Column::DishArea, &DISH_AREA);
        let concrete = row.concrete();
        let value = method.and_then(|method| row.value(method, dish_area, exposure));
        let spread = match (method, value) {
            (Some(method), Some(value)) => row.spread(method, value),
            _ => None,
        };
        let typed = row
            .given(Column::Value)
            .map_or_else(String::new, |(text, _, placed)| {
                with_unit(&text, placed)
                    .chars()
                    .filter(|c| !c.is_control())
                    .collect()
            });
        let note = row.text(Column::Note);
        if !row.good {
            return None;
        }
        let time = time?;
        Some(Reading {
            line,
            time,
            seconds: time
                .duration_since(self.placed.at(0, 0, 0, 0))
                .as_secs_f64(),
            place: place?,
            method: method?,
            depth,
            value: value?,
            typed,
            spread,
            slab_temperature,
            air_temperature,
            air_relative_humidity,
            exposure,
            conditioned,
            ground_side,
            dish_area,
            concrete,
            note,
        })
    }

    fn time(&self, row: &mut Row<'_, '_, '_>) -> Option<DateTime> {
        let Some((text, span, _)) = row.given(Column::Time) else {
            row.missing(
                Column::Time,
                "Write day and time, such as 2026-11-20 08:30.",
            );
            return None;
        };
        match dates::moment(&text) {
            Ok(time) if time.date() < self.placed => {
                let message = format!(
                    "{} is before the day on which the concrete was placed, {}.",
                    time.date(),
                    self.placed
                );
                row.fault(
                    Column::Time,
                    &span,
                    message,
                    "Correct this day, or \"placed\" in the scenario.",
                );
                None
            }
            Ok(time) => Some(time),
            Err(fault) => {
                row.fault(Column::Time, &span, fault.message, fault.help);
                None
            }
        }
    }
}
