//! Scales and ticks: numbers in steps of 1, 2 or 5, dates in calendar steps.

use std::ops::Range;

use plotters::coord::ranged1d::{KeyPointHint, NoDefaultFormatting, Ranged, ValueFormatter};

use crate::units::System;
use crate::units::format::{HOLD, day_and_month, month};
use jiff::ToSpan as _;
use jiff::civil::Date;

/// What the horizontal axis counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum XAxis {
    /// Plain numbers.
    #[default]
    Numbers,
    /// Days since midnight of this date; ticks read "Jan 12" in the US, else "12 Jan".
    Dates {
        /// Day zero.
        start: Date,
        /// How days are written.
        system: System,
    },
}

/// Straight map from values to pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Scale {
    low: f64,
    high: f64,
    from: f64,
    to: f64,
}

impl Scale {
    /// `low` lands on pixel `from`, `high` on `to`; `low < high` is the caller's duty (see [`widened`]).
    pub(crate) fn new((low, high): (f64, f64), from: f64, to: f64) -> Scale {
        Scale {
            low,
            high,
            from,
            to,
        }
    }

    pub(crate) fn at(&self, value: f64) -> f64 {
        self.from + (value - self.low) / (self.high - self.low) * (self.to - self.from)
    }
}

/// One tick: its place, its words, and a second line where the year or the day changes.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Tick {
    pub(crate) value: f64,
    pub(crate) label: String,
    pub(crate) second: Option<String>,
}

/// An axis of plotters with ticks of our own; it runs backward where `low` is above `high`.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Axis {
    pub(crate) low: f64,
    pub(crate) high: f64,
    pub(crate) ticks: Vec<Tick>,
}

impl Axis {
    pub(crate) fn new((low, high): (f64, f64), ticks: Vec<Tick>) -> Axis {
        Axis { low, high, ticks }
    }
}

impl Ranged for Axis {
    type FormatOption = NoDefaultFormatting;
    type ValueType = f64;

    fn map(&self, value: &f64, (from, to): (i32, i32)) -> i32 {
        let scale = Scale::new((self.low, self.high), f64::from(from), f64::from(to));
        // Half of the whole numbers is left free, so that plotters can add to a place far outside.
        let most = f64::from(i32::MAX / 2);
        scale.at(*value).clamp(-most, most).round() as i32
    }

    /// Every tick for the bold lines; between them there are none.
    fn key_points<Hint: KeyPointHint>(&self, hint: Hint) -> Vec<f64> {
        if hint.weight().allow_light_points() {
            return Vec::new();
        }
        self.ticks.iter().map(|tick| tick.value).collect()
    }

    fn range(&self) -> Range<f64> {
        self.low..self.high
    }
}

impl ValueFormatter<f64> for Axis {
    fn format_ext(&self, value: &f64) -> String {
        let tick = self.ticks.iter().find(|tick| tick.value == *value);
        tick.map_or_else(String::new, |tick| match &tick.second {
            Some(second) => format!("{}\n{second}", tick.label),
            None => tick.label.clone(),
        })
    }
}

/// Smallest range over the size of its ends; below it ticks would all read the same.
const LEAST_RELATIVE_RANGE: f64 = 1e-9;
/// Ranges with fewer ticks than this are left alone; more than this is never asked for.
const MOST_TICKS: f64 = 400.0;

/// The range itself, or one with some room if its ends coincide.
pub(crate) fn widened((low, high): (f64, f64)) -> (f64, f64) {
    let size = low.abs().max(high.abs());
    if high - low > size * LEAST_RELATIVE_RANGE && high - low > f64::MIN_POSITIVE * 1e6 {
        return (low, high);
    }
    let room = if size == 0.0 { 1.0 } else { size * 0.05 };
    (low - room, high + room)
}

/// Step of 1, 2 or 5 times a power of ten that gives about `count` ticks.
pub(crate) fn nice_step(range: f64, count: f64) -> f64 {
    let rough = range / count.max(1.0);
    let power = 10f64.powf(rough.log10().floor());
    let factor = [1.0, 2.0, 5.0]
        .into_iter()
        .find(|factor| factor * power >= rough * 0.999)
        .unwrap_or(10.0);
    factor * power
}

/// Range widened to whole steps.
pub(crate) fn nice_range((low, high): (f64, f64), count: f64) -> (f64, f64) {
    let (low, high) = widened((low, high));
    let step = nice_step(high - low, count);
    (
        (low / step + 1e-9).floor() * step,
        (high / step - 1e-9).ceil() * step,
    )
}

/// Ticks at whole steps inside the range.
pub(crate) fn number_ticks((low, high): (f64, f64), count: f64) -> Vec<Tick> {
    let step = nice_step(high - low, count);
    if !step.is_finite() || step <= 0.0 || (high - low) / step > MOST_TICKS {
        return Vec::new();
    }
    let first = (low / step - 1e-6).ceil();
    let last = (high / step + 1e-6).floor();
    let mut ticks = Vec::new();
    let mut index = first;
    while index <= last && (ticks.len() as f64) < MOST_TICKS {
        let value = index * step;
        ticks.push(Tick {
            value,
            label: number(value, step),
            second: None,
        });
        let next = index + 1.0;
        if next == index {
            break;
        }
        index = next;
    }
    ticks
}

/// A number with the decimals its step needs, thousands parted by commas, and a true minus sign.
pub(crate) fn number(value: f64, step: f64) -> String {
    let size = value.abs();
    if value != 0.0 && size < step * 1e-6 {
        return number(0.0, step);
    }
    if size >= 1e7 || (step < 1e-4 && value != 0.0) {
        let digits = (size.log10().floor() - step.log10().floor()).clamp(0.0, 6.0) as usize;
        let text = format!("{size:.digits$e}");
        let (mantissa, power) = text.split_once('e').unwrap_or((&text, "0"));
        let mantissa = if mantissa.contains('.') {
            mantissa.trim_end_matches('0').trim_end_matches('.')
        } else {
            mantissa
        };
        let sign = if value < 0.0 { "−" } else { "" };
        return format!("{sign}{mantissa}e{}", power.replace('-', "−"));
    }
    let decimals = (-step.log10().floor()).clamp(0.0, 6.0) as usize;
    let decimals = if value == 0.0 && step < 1e-4 {
        0
    } else {
        decimals
    };
    let text = format!("{size:.decimals$}");
    let (whole, part) = text.split_once('.').unwrap_or((&text, ""));
    let mut out = String::new();
    if value < 0.0 {
        out.push('−');
    }
    let digits = whole.len();
    for (index, digit) in whole.chars().enumerate() {
        if index > 0 && (digits - index) % 3 == 0 {
            out.push(',');
        }
        out.push(digit);
    }
    if !part.is_empty() {
        out.push('.');
        out.push_str(part);
    }
    out
}

/// Ticks of the horizontal axis: the finest steps that `fits` accepts.
pub(crate) fn x_ticks(
    axis: XAxis,
    range: (f64, f64),
    most: f64,
    fits: impl Fn(&[Tick]) -> bool,
) -> Vec<Tick> {
    if let XAxis::Dates { start, system } = axis
        && let Some(ticks) = date_ticks((start, system), range, most, &fits)
    {
        return ticks;
    }
    let mut count = most;
    while count >= 1.0 {
        let ticks = number_ticks(range, count);
        if fits(&ticks) {
            return ticks;
        }
        count -= 1.0;
    }
    Vec::new()
}

/// Calendar steps, finest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Step {
    Hours(i32),
    Days(i32),
    Months(i32),
    Years(i32),
}

const STEPS: [Step; 21] = [
    Step::Hours(1),
    Step::Hours(2),
    Step::Hours(3),
    Step::Hours(6),
    Step::Hours(12),
    Step::Days(1),
    Step::Days(2),
    Step::Days(7),
    Step::Days(14),
    Step::Months(1),
    Step::Months(2),
    Step::Months(3),
    Step::Months(6),
    Step::Years(1),
    Step::Years(2),
    Step::Years(5),
    Step::Years(10),
    Step::Years(20),
    Step::Years(50),
    Step::Years(100),
    Step::Years(1000),
];

impl Step {
    /// Length in days, near enough to count ticks.
    fn days(self) -> f64 {
        match self {
            Step::Hours(n) => f64::from(n) / 24.0,
            Step::Days(n) => f64::from(n),
            Step::Months(n) => f64::from(n) * 30.44,
            Step::Years(n) => f64::from(n) * 365.24,
        }
    }
}

/// The day that lies `days` after `start`; None beyond the calendar.
pub(crate) fn day_after(start: Date, days: f64) -> Option<Date> {
    // A cast of what is no number, or of too much, gives a span that the calendar refuses.
    let span = jiff::Span::new().try_days(days.floor() as i64).ok()?;
    days.is_finite().then(|| start.checked_add(span).ok())?
}

fn days_between(start: Date, date: Date) -> f64 {
    start
        .until(date)
        .map_or(0.0, |span| f64::from(span.get_days()))
}

/// A day on an axis, where nothing wraps.
fn day_label(date: Date, system: System) -> String {
    day_and_month(date, system).replace(HOLD, " ")
}

fn date_ticks(
    (start, system): (Date, System),
    (low, high): (f64, f64),
    most: f64,
    fits: &impl Fn(&[Tick]) -> bool,
) -> Option<Vec<Tick>> {
    let (first, last) = (day_after(start, low)?, day_after(start, high)?);
    for step in STEPS {
        if (high - low) / step.days() > most + 0.5 {
            continue;
        }
        let mut ticks = match step {
            Step::Hours(hours) => hour_ticks((start, system), (low, high), f64::from(hours)),
            Step::Days(days) => day_ticks((start, system), (first, last), days),
            Step::Months(months) => month_ticks(start, first, last, months),
            Step::Years(years) => year_ticks(start, first, last, years),
        };
        ticks.retain(|tick| tick.value >= low - 1e-9 && tick.value <= high + 1e-9);
        if !ticks.is_empty() && fits(&ticks) {
            return Some(name_years(ticks));
        }
    }
    // Between two coarse steps nothing may fall inside: name the first day alone.
    let only = Tick {
        value: low,
        label: day_label(first, system),
        second: Some(first.year().to_string()),
    };
    Some(if fits(std::slice::from_ref(&only)) {
        vec![only]
    } else {
        Vec::new()
    })
}

/// The second line is kept where it differs from that of the tick before.
fn name_years(mut ticks: Vec<Tick>) -> Vec<Tick> {
    let mut before: Option<String> = None;
    for tick in &mut ticks {
        if tick.second == before {
            tick.second = None;
        } else {
            before.clone_from(&tick.second);
        }
    }
    ticks
}

fn hour_ticks((start, system): (Date, System), (low, high): (f64, f64), hours: f64) -> Vec<Tick> {
    let mut ticks = Vec::new();
    let mut index = (low * 24.0 / hours - 1e-9).ceil();
    while index * hours / 24.0 <= high + 1e-9 && (ticks.len() as f64) < MOST_TICKS {
        let value = index * hours / 24.0;
        let Some(date) = day_after(start, value + 1e-9) else {
            break;
        };
        let hour = ((value + 1e-9).rem_euclid(1.0) * 24.0).floor();
        ticks.push(Tick {
            value,
            label: format!("{hour:02}:00"),
            second: Some(day_label(date, system)),
        });
        index += 1.0;
    }
    ticks
}

fn day_tick(start: Date, date: Date, system: System) -> Tick {
    Tick {
        value: days_between(start, date),
        label: day_label(date, system),
        second: Some(date.year().to_string()),
    }
}

fn day_ticks((start, system): (Date, System), (first, last): (Date, Date), days: i32) -> Vec<Tick> {
    let mut ticks = Vec::new();
    // Weeks start on Monday; other steps count from the first day in view.
    let back = if days % 7 == 0 {
        i64::from(first.weekday().to_monday_zero_offset())
    } else {
        0
    };
    let mut date = first.checked_sub(back.days()).unwrap_or(first);
    while date <= last && (ticks.len() as f64) < MOST_TICKS {
        ticks.push(day_tick(start, date, system));
        match date.checked_add(days.days()) {
            Ok(next) => date = next,
            Err(_) => break,
        }
    }
    ticks
}

fn month_ticks(start: Date, first: Date, last: Date, months: i32) -> Vec<Tick> {
    let mut ticks = Vec::new();
    let back = (i32::from(first.month()) - 1) % months;
    let mut date = first.first_of_month();
    date = date.checked_sub(back.months()).unwrap_or(date);
    while date <= last && (ticks.len() as f64) < MOST_TICKS {
        ticks.push(Tick {
            value: days_between(start, date),
            label: month(date),
            second: Some(date.year().to_string()),
        });
        match date.checked_add(months.months()) {
            Ok(next) => date = next,
            Err(_) => break,
        }
    }
    ticks
}

fn year_ticks(start: Date, first: Date, last: Date, years: i32) -> Vec<Tick> {
    let mut ticks = Vec::new();
    let mut year = i32::from(first.year()).div_euclid(years) * years;
    while year <= i32::from(last.year()) && (ticks.len() as f64) < MOST_TICKS {
        if let Some(date) = i16::try_from(year)
            .ok()
            .and_then(|year| Date::new(year, 1, 1).ok())
        {
            ticks.push(Tick {
                value: days_between(start, date),
                label: year.to_string(),
                second: None,
            });
        }
        year += years;
    }
    ticks
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn labels(ticks: &[Tick]) -> Vec<String> {
        ticks
            .iter()
            .map(|tick| {
                tick.second.as_ref().map_or(tick.label.clone(), |second| {
                    format!("{} {second}", tick.label)
                })
            })
            .collect()
    }

    #[test]
    fn steps_are_one_two_or_five() {
        assert_eq!(nice_step(10.0, 5.0), 2.0);
        assert_eq!(nice_step(37.0, 5.0), 10.0);
        assert_eq!(nice_step(0.4, 5.0), 0.1);
        assert_eq!(
            labels(&number_ticks((0.0, 1.0), 5.0)),
            ["0.0", "0.2", "0.4", "0.6", "0.8", "1.0"]
        );
    }

    #[test]
    fn numbers_read_plainly() {
        assert_eq!(number(12_345.0, 1000.0), "12,345");
        assert_eq!(number(-0.5, 0.1), "−0.5");
        assert_eq!(number(2e9, 1e9), "2e9");
        assert_eq!(number(1e-17, 0.1), "0.0");
    }

    #[test]
    fn dates_step_by_the_calendar() {
        let start = jiff::civil::date(2026, 12, 10);
        let system = System::Si;
        let axis = XAxis::Dates { start, system };
        let weeks = x_ticks(axis, (0.0, 40.0), 8.0, |_| true);
        assert_eq!(
            labels(&weeks),
            [
                "14 Dec 2026",
                "21 Dec",
                "28 Dec",
                "4 Jan 2027",
                "11 Jan",
                "18 Jan"
            ]
        );
        let months = x_ticks(axis, (0.0, 200.0), 8.0, |_| true);
        assert_eq!(
            labels(&months),
            ["Jan 2027", "Feb", "Mar", "Apr", "May", "Jun"]
        );
        let hours = x_ticks(axis, (0.5, 1.5), 8.0, |_| true);
        assert_eq!(
            labels(&hours),
            [
                "12:00 10 Dec",
                "15:00",
                "18:00",
                "21:00",
                "00:00 11 Dec",
                "03:00",
                "06:00",
                "09:00",
                "12:00"
            ]
        );
        let years = x_ticks(axis, (0.0, 4000.0), 6.0, |_| true);
        assert_eq!(labels(&years), ["2028", "2030", "2032", "2034", "2036"]);
    }

    proptest! {
        #[test]
        fn ticks_lie_in_range(low in -1e12..1e12f64, range in 0.0..1e12f64, dates in any::<bool>()) {
            let range = widened((low, low + range));
            let start = jiff::civil::date(2026, 3, 1);
            let axis = if dates { XAxis::Dates { start, system: System::Us } } else { XAxis::Numbers };
            let ticks = x_ticks(axis, range, 8.0, |_| true);
            prop_assert!(ticks.len() <= 20);
            let slack = (range.1 - range.0) * 1e-4;
            for tick in ticks {
                prop_assert!(tick.value >= range.0 - slack && tick.value <= range.1 + slack);
            }
        }
    }
}
