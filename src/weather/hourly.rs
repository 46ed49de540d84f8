//! The hourly series of outside air that the rest of the program reads.
//!
//! What it computes: state and exact time means of outside air between hourly values.
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | `x_i` | temperature, humidity ratio, pressure or wind speed at the whole hour `i` | its own |
//! | `r_i` | rain during the hour that begins at `i` | kg/(m2 s) |
//! | `h` | one hour | s |
//! | `S_i` | integral of the series from hour 0 to hour `i` | unit x s |
//!
//! Equations: linear between whole hours, `x(t) = x_i + (x_{i+1} - x_i) (t - i h)/h`; rain constant within its
//! hour. `S_{i+1} = S_i + h (x_i + x_{i+1})/2` (rain: `S_i + h r_i`), so the mean over any interval takes two
//! partial hours and one difference of sums. An interval inside one hour is integrated without the sums, so
//! short time steps lose no digits.
//!
//! Valid range: any finite values. Outside its span the series holds its first or last value.
//!
//! Source: elementary calculus (trapezium rule, exact for a piecewise linear function).
//!
//! Proof of accuracy: `analytic_mean_equals_brute_force` in `tests/it/weather/series.rs`.

use crate::air::MoistAir;
use jiff::civil::DateTime;

use super::WeatherFault;

pub(super) use crate::units::HOUR;

/// State of the outside air at one moment, or its mean over an interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutsideAir {
    /// Dry-bulb temperature, degC.
    pub temperature: f64,
    /// Humidity ratio, kg of water vapour per kg of dry air.
    pub humidity_ratio: f64,
    /// Station pressure (not reduced to sea level), Pa.
    pub pressure: f64,
    /// Wind speed as the source gives it (weather stations: 10 m above open ground), m/s.
    pub wind_speed: f64,
    /// Rain, kg/(m2 s); 1 mm in an hour is 1/3600.
    pub rain: f64,
}

impl OutsideAir {
    const NONE: Self = Self {
        temperature: 0.0,
        humidity_ratio: 0.0,
        pressure: 0.0,
        wind_speed: 0.0,
        rain: 0.0,
    };

    /// `self + other * factor`, field by field.
    fn plus(self, other: Self, factor: f64) -> Self {
        Self {
            temperature: self.temperature + other.temperature * factor,
            humidity_ratio: self.humidity_ratio + other.humidity_ratio * factor,
            pressure: self.pressure + other.pressure * factor,
            wind_speed: self.wind_speed + other.wind_speed * factor,
            rain: self.rain + other.rain * factor,
        }
    }

    /// A fraction `u` of the way to `next`; the rain is that of the hour begun.
    fn towards(self, next: Self, u: f64) -> Self {
        let between = |a: f64, b: f64| a + (b - a) * u;
        Self {
            temperature: between(self.temperature, next.temperature),
            humidity_ratio: between(self.humidity_ratio, next.humidity_ratio),
            pressure: between(self.pressure, next.pressure),
            wind_speed: between(self.wind_speed, next.wind_speed),
            rain: self.rain,
        }
    }

    /// The air alone.
    #[must_use]
    pub fn air(&self) -> MoistAir {
        MoistAir {
            temperature: self.temperature,
            humidity_ratio: self.humidity_ratio,
            pressure: self.pressure,
        }
    }

    fn is_finite(self) -> bool {
        [
            self.temperature,
            self.humidity_ratio,
            self.pressure,
            self.wind_speed,
            self.rain,
        ]
        .iter()
        .all(|x| x.is_finite())
    }
}

/// Outside air through a season: hourly values, linear in between; rain constant within its hour.
///
/// Times are seconds after [`Hourly::start`]. Before the first and after the last value the series holds its
/// first and last value. No argument makes a function panic; a time that is not a number counts as the start.
#[derive(Clone, Debug, PartialEq)]
pub struct Hourly {
    start: DateTime,
    /// Seconds from `start` to the first moment covered.
    since: f64,
    /// Seconds from the first whole hour to the first moment covered, 0 to 3600.
    lead: f64,
    /// Seconds covered.
    span: f64,
    /// Values at whole hours; the rain of each is that of the hour which begins there. Never empty.
    hours: Vec<OutsideAir>,
    /// Integral from the first whole hour to each whole hour.
    sums: Vec<OutsideAir>,
}

impl Hourly {
    /// A series whose first value is at `start` and whose further values follow each other by one hour.
    ///
    /// The rain of a value is that of the hour which begins at it.
    ///
    /// # Errors
    /// A fault if `hours` is empty or holds a number that is not finite.
    pub fn new(start: DateTime, hours: Vec<OutsideAir>) -> Result<Self, WeatherFault> {
        let span = hours.len().saturating_sub(1) as f64 * HOUR;
        Self::with_lead("hourly outside air", start, 0.0, span, hours)
    }

    /// The same outside air from `start` for `duration` seconds (and beyond, since the end value is held).
    ///
    /// # Errors
    /// A fault if a number is not finite or the duration is negative or longer than the longest season.
    pub fn steady(start: DateTime, duration: f64, air: OutsideAir) -> Result<Self, WeatherFault> {
        let longest = super::LIMITS.longest_season_hours as f64 * HOUR;
        if !(0.0..=longest).contains(&duration) {
            return Err(WeatherFault::of(
                "steady outside air",
                format!("A season of {duration} s was asked for. Give 0 to {longest} s."),
            ));
        }
        let hours = (duration / HOUR).ceil() as usize;
        Self::with_lead(
            "steady outside air",
            start,
            0.0,
            duration,
            vec![air; hours + 1],
        )
    }

    /// As [`Hourly::new`], with the first value `lead` seconds before `start` and `span` seconds covered after it.
    pub(super) fn with_lead(
        name: &str,
        start: DateTime,
        lead: f64,
        span: f64,
        hours: Vec<OutsideAir>,
    ) -> Result<Self, WeatherFault> {
        if hours.is_empty() {
            return Err(WeatherFault::of(
                name,
                "The series holds no hour. Give at least one.",
            ));
        }
        if let Some(i) = hours.iter().position(|air| !air.is_finite()) {
            return Err(WeatherFault::of(
                name,
                format!(
                    "Hour {i} of the series holds a value that is not a finite number. Correct or leave out that hour."
                ),
            ));
        }
        let sums = integrals(&hours);
        Ok(Self {
            start,
            since: 0.0,
            lead,
            span,
            hours,
            sums,
        })
    }

    /// Moment from which times are counted, site local standard time.
    #[must_use]
    pub fn start(&self) -> DateTime {
        self.start
    }

    /// The same air with its times counted from an earlier moment; one that is not earlier changes nothing.
    #[must_use]
    pub fn counted_from(self, start: DateTime) -> Self {
        let earlier = self.start.duration_since(start).as_secs_f64();
        if earlier <= 0.0 {
            return self;
        }
        Self {
            start,
            since: self.since + earlier,
            ..self
        }
    }

    /// The first moment covered \[s after the start\].
    #[must_use]
    pub fn since(&self) -> f64 {
        self.since
    }

    /// Seconds covered.
    #[must_use]
    pub fn duration(&self) -> f64 {
        self.span
    }

    /// Mean of all that is covered.
    #[must_use]
    pub fn overall_mean(&self) -> OutsideAir {
        self.mean(self.since, self.since + self.span)
    }

    /// Outside air `seconds` after the start.
    #[must_use]
    pub fn at(&self, seconds: f64) -> OutsideAir {
        self.value_at(self.inside(seconds))
    }

    /// Exact mean between two times (seconds after the start, in either order).
    ///
    /// Only the part of the interval inside the span counts; if there is none, or if the times are equal, this is
    /// [`Hourly::at`]. Constant cost.
    #[must_use]
    pub fn mean(&self, from_seconds: f64, to_seconds: f64) -> OutsideAir {
        let (from, to) = (self.inside(from_seconds), self.inside(to_seconds));
        let (from, to) = if to < from { (to, from) } else { (from, to) };
        if to <= from {
            return self.value_at(from);
        }
        let (first, u) = self.locate(from);
        let (last, v) = self.locate(to);
        if first == last {
            return self
                .hour(first)
                .towards(self.hour(first + 1), f64::midpoint(u, v));
        }
        let head = part_of_hour(self.hour(first), self.hour(first + 1), u, 1.0);
        let tail = part_of_hour(self.hour(last), self.hour(last + 1), 0.0, v);
        let whole = self.sum(last).plus(self.sum(first + 1), -1.0);
        // Divided by the very weights that were added up: far from the start the difference of the two times has fewer
        // digits than they do.
        let seconds = ((1.0 - u) + (last - first - 1) as f64 + v) * HOUR;
        if seconds <= 0.0 {
            return self.value_at(from);
        }
        OutsideAir::NONE.plus(head.plus(tail, 1.0).plus(whole, 1.0), 1.0 / seconds)
    }

    /// Number of hourly values.
    pub(super) fn len(&self) -> usize {
        self.hours.len()
    }

    /// The value at whole hour `i`, or the last one.
    pub(super) fn value(&self, i: usize) -> OutsideAir {
        self.hour(i)
    }

    /// The same span with other values.
    pub(super) fn remade(&self, value: impl Fn(usize) -> OutsideAir) -> Self {
        let hours: Vec<OutsideAir> = (0..self.hours.len()).map(value).collect();
        Self {
            sums: integrals(&hours),
            hours,
            ..*self
        }
    }

    /// Seconds after the first moment covered.
    fn inside(&self, seconds: f64) -> f64 {
        if seconds.is_nan() {
            0.0
        } else {
            (seconds - self.since).clamp(0.0, self.span)
        }
    }

    /// The value so many seconds after the first moment covered.
    fn value_at(&self, inside: f64) -> OutsideAir {
        let (cell, u) = self.locate(inside);
        self.hour(cell).towards(self.hour(cell + 1), u)
    }

    /// Index of the hour that holds a time after the first moment covered, and the fraction of that hour gone by (0 to 1).
    fn locate(&self, inside: f64) -> (usize, f64) {
        let hours = (inside + self.lead) / HOUR;
        let last_cell = self.hours.len().saturating_sub(2);
        let cell = (hours.floor() as usize).min(last_cell);
        (cell, (hours - cell as f64).clamp(0.0, 1.0))
    }

    /// The value at whole hour `i`, or the last one.
    fn hour(&self, i: usize) -> OutsideAir {
        self.hours
            .get(i)
            .or(self.hours.last())
            .copied()
            .unwrap_or(OutsideAir::NONE)
    }

    fn sum(&self, i: usize) -> OutsideAir {
        self.sums
            .get(i)
            .or(self.sums.last())
            .copied()
            .unwrap_or(OutsideAir::NONE)
    }
}

/// Integral from the first hour to each.
fn integrals(hours: &[OutsideAir]) -> Vec<OutsideAir> {
    let mut sums = Vec::with_capacity(hours.len());
    let mut sum = OutsideAir::NONE;
    sums.push(sum);
    for pair in hours.windows(2) {
        if let [a, b] = pair {
            sum = sum.plus(part_of_hour(*a, *b, 0.0, 1.0), 1.0);
            sums.push(sum);
        }
    }
    sums
}

/// Integral over the part `u..v` (fractions) of the hour from `a` to `b`, unit x s.
fn part_of_hour(a: OutsideAir, b: OutsideAir, u: f64, v: f64) -> OutsideAir {
    // The mean of a linear function is its value in the middle.
    OutsideAir::NONE.plus(a.towards(b, f64::midpoint(u, v)), (v - u) * HOUR)
}
