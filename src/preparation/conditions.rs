//! Air and face on each day, and whether a coating can be laid then and cure.
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | `t_s`, `t_d` | temperature of the face, dew point of the air (frost point below 0 degC) | degC |
//! | m | margin, `t_s - t_d` | K |
//!
//! A day is the span from the start of its working hours to their end and the cure behind it. Its conditions are the least margin, the
//! lowest and highest temperature of face and air, the highest relative humidity of the air and the last moment at which water lay on the
//! face, over every step of the simulation in that span and, linear between steps, at both its ends. A day that was not simulated from
//! end to end has none.
//!
//! Valid range: that of the simulation; steps are two hours at most. Sources: the limits name theirs, see [`CoatingWindow`]. Accuracy:
//! the extremes against cases worked by hand in `tests/it/preparation/conditions.rs`.

use std::collections::BTreeMap;

use super::calendar::{DAY, WorkingTime};
use crate::air::MoistAir;
use crate::scenario::coating_window::CoatingWindow;
use crate::simulation::Snapshot;

/// Why a day is no coating day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Against {
    /// It was not simulated from end to end.
    NotKnown,
    /// Water lay on the floor too short a time before, or comes onto it.
    Water,
    /// The face comes too near the dew point.
    DewPoint,
    /// Face or air are too cold.
    Cold,
    /// Face or air are too warm.
    Warm,
    /// The air is too moist.
    MoistAir,
}

impl Against {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::NotKnown => "conditions not simulated",
            Self::Water => "water on the floor",
            Self::DewPoint => "dew point",
            Self::Cold => "cold",
            Self::Warm => "heat",
            Self::MoistAir => "moist air",
        }
    }
}

/// The worst over a span.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditions {
    /// Least distance of the face above the dew point \[K\].
    pub margin: f64,
    /// Lowest temperature of face and air \[degC\].
    pub coldest: f64,
    /// Highest temperature of face and air \[degC\].
    pub warmest: f64,
    /// Highest relative humidity of the air, 0 to 1.
    pub relative_humidity: f64,
    /// When water was last seen on the face \[s since placing\]; minus infinity for never.
    pub wet_until: f64,
}

impl Conditions {
    /// Of nothing.
    const EMPTY: Self = Self {
        margin: f64::INFINITY,
        coldest: f64::INFINITY,
        warmest: f64::NEG_INFINITY,
        relative_humidity: f64::NEG_INFINITY,
        wet_until: f64::NEG_INFINITY,
    };

    /// At a moment of the simulation; `pressure` is that of the room \[Pa\].
    #[must_use]
    pub fn of(slab: &Snapshot<'_>, pressure: f64) -> Self {
        let (temperature, humidity_ratio) = slab.air();
        let air = MoistAir {
            temperature,
            humidity_ratio,
            pressure,
        };
        let (wetness, face) = slab.face();
        Self {
            margin: face - air.condensation_point(),
            coldest: face.min(temperature),
            warmest: face.max(temperature),
            relative_humidity: air.relative_humidity(),
            // A face with a film, or one that is kept wet, stands at 1.
            wet_until: if wetness >= 1.0 {
                slab.time()
            } else {
                f64::NEG_INFINITY
            },
        }
    }

    fn with(self, other: Self) -> Self {
        Self {
            margin: self.margin.min(other.margin),
            coldest: self.coldest.min(other.coldest),
            warmest: self.warmest.max(other.warmest),
            relative_humidity: self.relative_humidity.max(other.relative_humidity),
            wet_until: self.wet_until.max(other.wet_until),
        }
    }

    fn towards(self, other: Self, share: f64) -> Self {
        if share >= 1.0 {
            return other;
        }
        let mix = |a: f64, b: f64| a + share * (b - a);
        Self {
            margin: mix(self.margin, other.margin),
            coldest: mix(self.coldest, other.coldest),
            warmest: mix(self.warmest, other.warmest),
            relative_humidity: mix(self.relative_humidity, other.relative_humidity),
            wet_until: self.wet_until,
        }
    }

    /// The first of the coating's limits that is not kept on a day whose work starts at `opens` \[s\].
    #[must_use]
    pub fn against(&self, window: &CoatingWindow, opens: f64) -> Option<Against> {
        let broken = [
            (
                self.wet_until + window.dry_time_after_wetting.value > opens,
                Against::Water,
            ),
            (
                self.margin < window.dew_point_margin.value,
                Against::DewPoint,
            ),
            (
                self.coldest < window.lowest_temperature.value,
                Against::Cold,
            ),
            (
                self.warmest > window.highest_temperature.value,
                Against::Warm,
            ),
            (
                self.relative_humidity > window.highest_relative_humidity.value,
                Against::MoistAir,
            ),
        ];
        broken
            .into_iter()
            .find_map(|(is, against)| is.then_some(against))
    }
}

/// Collects the conditions of each day from the moments of a run.
#[derive(Clone, Debug)]
pub struct Watch {
    /// Start of work, and end of work and cure \[s from the midnight of the day\].
    span: (f64, f64),
    first: f64,
    last: Option<(f64, Conditions)>,
    days: BTreeMap<i64, Conditions>,
}

impl Watch {
    /// For days of these hours with so long a cure behind them \[s\].
    #[must_use]
    pub fn new(time: &WorkingTime, cure: f64) -> Self {
        Self {
            span: (time.from, time.to + cure),
            first: f64::INFINITY,
            last: None,
            days: BTreeMap::new(),
        }
    }

    /// Takes in a moment after those before \[s since placing\].
    pub fn see(&mut self, time: f64, now: Conditions) {
        let (before, was) = self.last.unwrap_or((time, now));
        self.first = self.first.min(time);
        let now = Conditions {
            wet_until: now.wet_until.max(was.wet_until),
            ..now
        };
        self.last = Some((time, now));
        let number = |moment: f64| (moment / DAY).floor() as i64;
        for day in number(before - self.span.1)..=number(time - self.span.0) {
            let midnight = day as f64 * DAY;
            let from = before.max(midnight + self.span.0);
            let to = time.min(midnight + self.span.1);
            if from > to {
                continue;
            }
            let length = time - before;
            let at = |moment: f64| {
                let share = if length > 0.0 {
                    (moment - before) / length
                } else {
                    1.0
                };
                was.towards(now, share)
            };
            let of_day = self.days.entry(day).or_insert(Conditions::EMPTY);
            *of_day = of_day.with(at(from)).with(at(to));
        }
    }

    /// The days that were seen from end to end, by number.
    #[must_use]
    pub fn days(self) -> BTreeMap<i64, Conditions> {
        let (first, last) = (self.first, self.last.map_or(f64::NEG_INFINITY, |l| l.0));
        let (from, to) = self.span;
        let mut days = self.days;
        days.retain(|day, _| {
            let midnight = *day as f64 * DAY;
            first <= midnight + from && midnight + to <= last
        });
        days
    }
}
