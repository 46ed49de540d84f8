//! Reader of the log of readings, a plain CSV beside the scenario, and of loggers' exports.
//!
//! The first line that is neither empty nor a comment (`#`) names the columns, in any order; each further line is one reading.
//! Quantities are text with a unit (`82 %`, `2 in`), days and hours `2026-11-20 08:30`, site local standard time. A line that
//! cannot be read is a fault with its place and takes no other line with it. Nothing here fails or panics, whatever the bytes.

use super::columns::{Column, Layout, Placed, not_one_of, standard_header};
use super::method::{AS_GIVEN, ConcreteKind, Method, Reading, Spread, emission_rate};
use super::parts::{Cell, MOST_CELLS, shown, split};
use crate::scenario::{Collector, Faults};
use crate::units::ranges::Limit;
use crate::units::{self, Kind};
use jiff::civil::{Date, DateTime};
use std::ops::Range;

/// Years a reading may have.
const YEARS: std::ops::RangeInclusive<i16> = 1950..=2150;
/// Longest name of a place, in characters: it stands in tables.
const LONGEST_PLACE: usize = 40;

const fn limit(
    name: &'static str,
    kind: Kind,
    unit: &'static str,
    (min, max): (f64, f64),
    why: &'static str,
) -> Limit {
    Limit {
        name,
        kind: Some(kind),
        unit,
        min,
        max,
        why,
    }
}

const HUMIDITY: Limit = limit(
    "relative humidity read in concrete",
    Kind::RelativeHumidity,
    "%",
    (1.0, 100.0),
    "a reading beyond is a broken or wet sensor",
);
const RATE: Limit = limit(
    "emission rate read",
    Kind::MassFlux,
    "lb/1000 ft2/24 h",
    (0.0, 60.0),
    "wet concrete gives no more",
);
const GAIN: Limit = limit(
    "gain in mass of the dish",
    Kind::Mass,
    "g",
    (0.0, 100.0),
    "the salt takes no more",
);
const MASS_SHARE: Limit = limit(
    "water per dry mass",
    Kind::Fraction,
    "%",
    (0.0, 20.0),
    "concrete holds no more",
);
const DEPTH: Limit = limit(
    "depth of the reading",
    Kind::Length,
    "mm",
    (0.0, 1500.0),
    "no floor is thicker",
);
const TEMPERATURE: Limit = limit(
    "temperature on site",
    Kind::Temperature,
    "degC",
    (-40.0, 60.0),
    "people do not stand more",
);
const AIR_HUMIDITY: Limit = limit(
    "relative humidity of the air",
    Kind::RelativeHumidity,
    "%",
    (1.0, 100.0),
    "air is neither free of water nor above saturation",
);
const TIME: Limit = limit(
    "time before or in the test",
    Kind::Duration,
    "days",
    (0.0, 3650.0),
    "a longer one is a slip",
);
const SIDE: Limit = limit(
    "side of the ground square",
    Kind::Length,
    "mm",
    (0.0, 10_000.0),
    "the spot, not the floor, is meant",
);
const DISH_AREA: Limit = limit(
    "floor area under the dome",
    Kind::Area,
    "m2",
    (0.002, 1.0),
    "domes lie near 0.05 m2 (0.5 ft2)",
);
const SHARE_OF_READING: Limit = limit(
    "standard deviation as a share of the reading",
    Kind::Fraction,
    "%",
    (0.1, 100.0),
    "beyond it is no measurement",
);

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

/// A row whose cells are being read.
struct Row<'a, 'b, 'c> {
    layout: &'a Layout,
    cells: &'a [Cell<'a>],
    faults: &'b mut Collector<'c>,
    good: bool,
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
                        "{name}: columns passed over: {}.",
                        found.unknown.join(", ")
                    ));
                }
                continue;
            };
            let Some(reading) = self.row(number, line, place.start, whole, layout, &mut faults)
            else {
                continue;
            };
            if !whole && !self.export {
                log.notices.push(format!(
                    "{name}:{number}: The last line has no line end; all its fields are there, so it is taken as it is. Look whether its end is missing."
                ));
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
                "{torn}The row has {} fields, the line of column names {}.",
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
                "Complete or remove it. An empty field still needs its comma; a text with commas needs double quotes around it.",
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
            row.missing(Column::Time, "Write day and time, like 2026-11-20 08:30.");
            return None;
        };
        match parse_moment(&text) {
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
            Err(why) => {
                let message = format!("\"{}\" {why}", shown(&text));
                row.fault(
                    Column::Time,
                    &span,
                    message,
                    "Write day and time in the site's local standard time, like 2026-11-20 08:30.",
                );
                None
            }
        }
    }
}

impl Row<'_, '_, '_> {
    fn fault(
        &mut self,
        column: Column,
        span: &Range<usize>,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.good = false;
        self.faults.add(column.name(), span, message, help);
    }

    fn missing(&mut self, column: Column, help: &str) {
        let span = self
            .layout
            .find(column)
            .and_then(|placed| self.cells.get(placed.index))
            .or(self.cells.first())
            .map_or(0..0, |cell| cell.span.clone());
        let message = format!("The {} is missing.", column.name().replace('_', " "));
        self.fault(column, &span, message, help);
    }

    /// Text, place and column of a cell that is not empty.
    fn given(&self, column: Column) -> Option<(String, Range<usize>, Placed)> {
        let placed = *self.layout.find(column)?;
        let cell = self.cells.get(placed.index)?;
        let text = cell.text.trim();
        (!text.is_empty()).then(|| (text.to_owned(), cell.span.clone(), placed))
    }

    fn text(&self, column: Column) -> String {
        self.given(column).map_or_else(String::new, |(text, ..)| {
            text.chars().filter(|c| !c.is_control()).collect()
        })
    }

    fn place(&mut self, default: Option<&str>) -> Option<String> {
        let (text, span) = match (self.given(Column::Place), default) {
            (Some((text, span, _)), _) => (text, span),
            (None, Some(text)) => (text.trim().to_owned(), 0..0),
            (None, None) => {
                self.missing(Column::Place, "Name the spot, like \"A\" or \"grid C4\".");
                return None;
            }
        };
        if text.chars().count() > LONGEST_PLACE {
            let message =
                format!("The name of the place is longer than {LONGEST_PLACE} characters.");
            self.fault(
                Column::Place,
                &span,
                message,
                "Shorten it and put the rest in the note.",
            );
            return None;
        }
        if text.chars().any(char::is_control) {
            self.fault(
                Column::Place,
                &span,
                "The name of the place contains control characters.",
                "Write it anew.",
            );
            return None;
        }
        Some(text)
    }

    fn method(&mut self, default: Option<&str>) -> Option<Method> {
        let words = Method::ALL.map(Method::word);
        let (text, span) = match (self.given(Column::Method), default) {
            (Some((text, span, _)), _) => (text, span),
            (None, Some(text)) => (text.to_owned(), 0..0),
            (None, None) => {
                let help = format!("Write {}.", crate::scenario::either(words));
                self.missing(Column::Method, &help);
                return None;
            }
        };
        let plain = text.trim().to_lowercase().replace([' ', '-'], "_");
        let found = Method::ALL
            .into_iter()
            .find(|method| method.word() == plain);
        if found.is_none() {
            self.good = false;
            not_one_of(Column::Method.name(), &span, &text, &words, self.faults);
        }
        found
    }

    fn concrete(&mut self) -> Option<ConcreteKind> {
        let (text, span, _) = self.given(Column::Concrete)?;
        match text.to_lowercase().replace([' ', '-'], "_").as_str() {
            "normal_weight" => Some(ConcreteKind::NormalWeight),
            "lightweight" => Some(ConcreteKind::Lightweight),
            _ => {
                self.good = false;
                let words = ["normal_weight", "lightweight"];
                not_one_of(Column::Concrete.name(), &span, &text, &words, self.faults);
                None
            }
        }
    }

    /// A quantity, none if the cell is empty or, with a fault, wrong.
    fn amount(&mut self, column: Column, limit: &Limit) -> Option<f64> {
        let (text, span, placed) = self.given(column)?;
        match quantity(&with_unit(&text, placed), limit) {
            Ok(si) => Some(si),
            Err((message, help)) => {
                self.fault(column, &span, message, help);
                None
            }
        }
    }

    fn value(
        &mut self,
        method: Method,
        dish_area: Option<f64>,
        exposure: Option<f64>,
    ) -> Option<f64> {
        let Some((text, span, placed)) = self.given(Column::Value) else {
            self.missing(Column::Value, example(method));
            return None;
        };
        let text = with_unit(&text, placed);
        let read = match method {
            Method::Probe | Method::Hood => quantity(&text, &HUMIDITY),
            Method::MassPercent => quantity(&text, &MASS_SHARE),
            Method::PlasticSheet => match text.to_lowercase().as_str() {
                "dry" => Ok(0.0),
                "moist" => Ok(1.0),
                _ => Err((
                    format!(
                        "\"{}\" is not what a plastic sheet shows.",
                        shown(&text)
                    ),
                    "Write \"dry\" or \"moist\" (drops under it, or darker concrete). The sheet never gives an amount.".to_owned(),
                )),
            },
            Method::Dish => dish(&text, dish_area, exposure),
        };
        match read {
            Ok(value) => Some(value),
            Err((message, help)) => {
                self.fault(Column::Value, &span, message, help);
                None
            }
        }
    }

    fn spread(&mut self, method: Method, value: f64) -> Option<Spread> {
        let usual = method.usual_spread(value);
        let Some((text, span, placed)) = self.given(Column::StandardDeviation) else {
            return usual;
        };
        let text = with_unit(&text, placed);
        let read = match method {
            Method::PlasticSheet => Err((
                "A plastic sheet has no standard deviation.".to_owned(),
                "Leave the field empty.".to_owned(),
            )),
            Method::Dish if units::parse(Kind::MassFlux, &text).is_err() => {
                quantity(&text, &SHARE_OF_READING).map(|share| share * value)
            }
            Method::Dish => quantity(&text, &RATE),
            Method::Probe | Method::Hood => quantity(&text, &SHARE_OF_READING),
            Method::MassPercent => quantity(&text, &MASS_SHARE),
        };
        match read {
            Ok(deviation) if deviation > 0.0 => Some(Spread {
                standard_deviation: deviation,
                source: AS_GIVEN,
            }),
            Ok(_) => {
                self.fault(
                    Column::StandardDeviation,
                    &span,
                    "No instrument reads without an error.",
                    "Give what its sheet or certificate says, or leave the field empty.",
                );
                None
            }
            Err((message, help)) => {
                self.fault(Column::StandardDeviation, &span, message, help);
                None
            }
        }
    }
}

type Read = Result<f64, (String, String)>;

/// The text of a cell, with the unit of its column if it is a plain number.
fn with_unit(text: &str, placed: Placed) -> String {
    match placed.unit {
        Some(unit) if text.parse::<f64>().is_ok() => format!("{text} {unit}"),
        _ => text.to_owned(),
    }
}

fn quantity(text: &str, limit: &Limit) -> Read {
    let kind = limit.kind.unwrap_or(Kind::Fraction);
    let si = units::parse(kind, text)
        .map_err(|fault| (fault.message, fault.help))?
        .si();
    if limit.holds(si) {
        Ok(si)
    } else {
        Err((
            format!("\"{}\" is beyond what is accepted.", shown(text)),
            format!("The {}", limit.in_words()),
        ))
    }
}

/// A rate, or a gain in mass to be divided by area and time.
fn dish(text: &str, area: Option<f64>, exposure: Option<f64>) -> Read {
    let Ok(gain) = units::parse(Kind::Mass, text) else {
        return quantity(text, &RATE).map_err(|(message, help)| {
            (
                message,
                format!(
                    "{help} Or give the gain in mass of the dish, such as \"1.6 g\", with dish_area and exposure."
                ),
            )
        });
    };
    let gain = if GAIN.holds(gain.si()) {
        gain.si()
    } else {
        return quantity(text, &GAIN);
    };
    let (Some(area), Some(exposure)) = (area, exposure) else {
        return Err((
            "A gain in mass is no rate yet.".to_owned(),
            "Give dish_area (floor under the dome) and exposure too, or the rate itself."
                .to_owned(),
        ));
    };
    let rate = emission_rate(gain, area, exposure)
        .filter(|rate| RATE.holds(*rate))
        .ok_or_else(|| {
            (
                "Gain, area and exposure give no rate that concrete can have.".to_owned(),
                format!("Check the three. The {}", RATE.in_words()),
            )
        })?;
    Ok(rate)
}

fn example(method: Method) -> &'static str {
    match method {
        Method::Probe | Method::Hood => "Write the relative humidity, like \"82 %\".",
        Method::MassPercent => "Write the water per dry mass, like \"4.2 %\".",
        Method::PlasticSheet => "Write \"dry\" or \"moist\".",
        Method::Dish => {
            "Write the rate, like \"3.4 lb/1000 ft2/24 h\", or the gain in mass, like \"1.6 g\"."
        }
    }
}

/// A moment, `2026-11-20 08:30` or `2026-11-20T08:30:00`, site local standard time.
///
/// # Errors
/// The end of a sentence that starts with the text.
pub fn parse_moment(text: &str) -> Result<DateTime, String> {
    const FORM: &str = "is not a day and time.";
    let (day, clock) = text
        .trim()
        .split_once([' ', 'T'])
        .ok_or_else(|| FORM.to_owned())?;
    if clock.contains(['Z', 'z', '+', '-', '[']) {
        return Err("names a time zone.".to_owned());
    }
    let date: Date = match day.len() {
        10 => day.parse().map_err(|_| FORM.to_owned())?,
        _ => return Err(FORM.to_owned()),
    };
    if !YEARS.contains(&date.year()) {
        return Err(format!(
            "is not in the years {} to {}.",
            YEARS.start(),
            YEARS.end()
        ));
    }
    let mut parts = clock.trim().split(':').map(|part| {
        (part.len() <= 2 && part.bytes().all(|b| b.is_ascii_digit()))
            .then(|| part.parse::<i8>().ok())
            .flatten()
    });
    let (hour, minute, second) = (parts.next(), parts.next(), parts.next());
    match (hour, minute, second, parts.next()) {
        (
            Some(Some(hour @ 0..=23)),
            Some(Some(minute @ 0..=59)),
            None | Some(Some(0..=59)),
            None,
        ) => Ok(date.at(hour, minute, second.flatten().unwrap_or(0), 0)),
        _ => Err(FORM.to_owned()),
    }
}
