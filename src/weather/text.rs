//! Bytes to lines, lines to fields, fields to numbers: what all text formats share.
//!
//! Everything here is linear in the length of the input, whatever the input is.

use std::borrow::Cow;

use super::LIMITS;
use super::fault::{Faults, Position};

/// A quantity that a source may give for each hour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Quantity {
    Temperature,
    DewPoint,
    RelativeHumidity,
    Pressure,
    WindSpeed,
    Rain,
}

/// Number of quantities.
pub(super) const QUANTITIES: usize = 6;

/// Depth of rain that no hour has exceeded, mm: the one-hour record of the World Meteorological Organization's archive
/// of weather extremes is 305 mm (from memory).
pub(super) const MOST_RAIN_IN_AN_HOUR: f64 = 305.0;

impl Quantity {
    /// Lowest and highest value accepted, in the units of [`super::raw::RawHour`].
    ///
    /// Source: the valid ranges in the data dictionary of the EPW format (the same for every format, so that a slipped
    /// unit shows); rain as noted at [`MOST_RAIN_IN_AN_HOUR`].
    pub(super) fn range(self) -> (f64, f64) {
        match self {
            Self::Temperature | Self::DewPoint => (-70.0, 70.0),
            Self::RelativeHumidity => (0.0, 1.1),
            Self::Pressure => (31_000.0, 120_000.0),
            Self::WindSpeed => (0.0, 40.0),
            Self::Rain => (0.0, MOST_RAIN_IN_AN_HOUR),
        }
    }

    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Temperature => "temperature",
            Self::DewPoint => "dew point",
            Self::RelativeHumidity => "relative humidity",
            Self::Pressure => "pressure",
            Self::WindSpeed => "wind speed",
            Self::Rain => "rain",
        }
    }
}

/// How a format marks a missing value, besides leaving the field empty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Missing {
    /// Only an empty field.
    Empty,
    /// This number or a higher one.
    AtLeast(f64),
    /// This number or a lower one.
    AtMost(f64),
}

/// One column of a file: where it is and how to read it.
#[derive(Clone, Debug)]
pub(super) struct Column {
    pub(super) quantity: Quantity,
    /// Counted from 0.
    pub(super) index: usize,
    pub(super) name: String,
    /// `value = number * factor + offset`.
    pub(super) factor: f64,
    pub(super) offset: f64,
    pub(super) missing: Missing,
}

impl Column {
    pub(super) fn position(&self, line: usize) -> Position {
        Position::field(line, self.index + 1, &self.name)
    }

    /// The value in this column; none (and possibly a fault) if there is none.
    pub(super) fn read(
        &self,
        fields: &[&str],
        line: usize,
        faults: &mut Faults<'_>,
    ) -> Option<f64> {
        let text = fields.get(self.index).copied().unwrap_or_default().trim();
        if text.is_empty() {
            return None;
        }
        let Some(number) = number(text) else {
            faults.add(
                || self.position(line),
                || format!("\"{}\" is not a number. Write a number with a decimal point, or leave the field empty.", shown(text)),
            );
            return None;
        };
        match self.missing {
            Missing::AtLeast(code) if number >= code => return None,
            Missing::AtMost(code) if number <= code => return None,
            _ => {}
        }
        let value = number * self.factor + self.offset;
        let (low, high) = self.quantity.range();
        if !(low..=high).contains(&value) {
            faults.add(
                || self.position(line),
                || {
                    let (low, high) = ((low - self.offset) / self.factor, (high - self.offset) / self.factor);
                    format!(
                        "{number} is outside {} to {}, the range allowed for {} here. Check the value and its unit.",
                        rounded(low),
                        rounded(high),
                        self.quantity.name()
                    )
                },
            );
            return None;
        }
        Some(value)
    }
}

/// A limit as shown in a message, without digits that only come from converting units.
fn rounded(x: f64) -> f64 {
    (x * 100.0).round() / 100.0
}

/// A finite number.
pub(super) fn number(text: &str) -> Option<f64> {
    text.parse::<f64>().ok().filter(|x| x.is_finite())
}

/// The beginning of a text for a message: short, on one line, without control characters.
pub(super) fn shown(text: &str) -> String {
    let mut out: String = text
        .chars()
        .take(LIMITS.shown_characters)
        .flat_map(char::escape_debug)
        .collect();
    if text.chars().nth(LIMITS.shown_characters).is_some() {
        out.push_str("...");
    }
    out
}

/// Lines with their number, counted from 1, without line ends and byte-order mark.
///
/// # Errors
/// What is wrong if the bytes are no text at all.
pub(super) fn lines(
    bytes: &[u8],
) -> Result<impl Iterator<Item = (usize, Cow<'_, str>)>, &'static str> {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err("The file is empty. Give an hourly CSV, an EPW or a TMY3 file.");
    }
    if bytes.contains(&0) {
        return Err(
            "The file is not plain text: it holds zero bytes, as a spreadsheet, a compressed file or UTF-16 text does. \
             Unpack it, or save it as comma-separated text in UTF-8.",
        );
    }
    // Files from very old systems end lines with a carriage return alone.
    let end = if bytes.contains(&b'\n') { b'\n' } else { b'\r' };
    Ok(bytes
        .split(move |byte| *byte == end)
        .enumerate()
        .map(|(i, line)| {
            let line = line.strip_suffix(b"\r").unwrap_or(line);
            (i + 1, String::from_utf8_lossy(line))
        }))
}

/// Comma-separated fields of a line; a field in double quotes may hold commas. At most `LIMITS.most_fields + 1` of them,
/// so that a line of nothing but commas takes no memory.
pub(super) fn fields(line: &str) -> Vec<&str> {
    let mut out = Vec::new();
    let mut rest = line;
    loop {
        let (field, next) = first_field(rest);
        out.push(field);
        match next {
            Some(next) if out.len() <= LIMITS.most_fields => rest = next,
            _ => return out,
        }
    }
}

/// The first field and what follows its comma.
fn first_field(text: &str) -> (&str, Option<&str>) {
    if let Some(quoted) = text.trim_start().strip_prefix('"')
        && let Some((inside, after)) = quoted.split_once('"')
        && let Some((rest, next)) = match after.split_once(',') {
            Some((rest, next)) => Some((rest, Some(next))),
            None => Some((after, None)),
        }
        && rest.trim().is_empty()
    {
        return (inside, next);
    }
    match text.split_once(',') {
        Some((field, next)) => (field, Some(next)),
        None => (text, None),
    }
}
