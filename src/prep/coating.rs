//! The coating day: the first day on which tasks, drying and conditions all agree.

use std::collections::BTreeMap;

use super::calendar::{DAY, WorkingTime};
use super::rules::DEW_POINT_MARGIN;

/// From so many runs on the spread of the days is told; with fewer, quantiles would be the runs themselves.
pub const ENOUGH_RUNS: usize = 10;

/// What holds the coating day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeldBy {
    /// Tasks and the waits behind them.
    Tasks,
    /// The drying target.
    Drying,
    /// The face is too near the dew point on the days before.
    Conditions,
    /// The age of the concrete.
    Age,
}

impl HeldBy {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Tasks => "tasks and their waits",
            Self::Drying => "drying",
            Self::Conditions => "dew point",
            Self::Age => "age of the concrete",
        }
    }
}

/// What is known when a coating day is looked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Question<'a> {
    /// When all tasks and waits are over \[s\].
    pub ready: f64,
    /// When the concrete is old enough \[s\]; `None` without concrete.
    pub old_enough: Option<f64>,
    /// From when on the floor is dry \[s\]; `None` where no drying is claimed.
    pub dry_from: Option<f64>,
    /// Least distance from the dew point by day \[K\]; `None` where conditions are not known.
    pub margins: Option<&'a BTreeMap<i64, f64>>,
}

/// A coating day.
#[derive(Clone, Debug, PartialEq)]
pub struct CoatingDay {
    /// Number of the day.
    pub day: i64,
    /// What held it.
    pub held_by: HeldBy,
    /// Working days passed over because of the dew point.
    pub passed_over: Vec<i64>,
    /// Distance from the dew point on the day \[K\], where it is known.
    pub margin: Option<f64>,
}

/// Why there is no coating day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoDay {
    /// It does not get dry in the time looked at.
    NotDry,
    /// The work ends after the time looked at.
    WorkBeyond,
    /// No day looked at keeps the distance from the dew point.
    Conditions,
    /// No working day in reach.
    NoWorkingDay,
}

/// Looks for the coating day. Coating starts with the working hours of a day.
///
/// # Errors
/// Why there is none.
pub fn coating_day(question: &Question<'_>, time: &WorkingTime) -> Result<CoatingDay, NoDay> {
    let mut needed = question.ready;
    let mut held_by = HeldBy::Tasks;
    for (other, cause) in [
        (question.dry_from, HeldBy::Drying),
        (question.old_enough, HeldBy::Age),
    ] {
        if let Some(other) = other.filter(|t| *t > needed) {
            needed = other;
            // Only what moves the day holds it.
            if first_morning(needed, time) != first_morning(question.ready, time) {
                held_by = cause;
            }
        }
    }
    let mut day = first_morning(needed, time).ok_or(NoDay::NoWorkingDay)?;
    let mut passed_over = Vec::new();
    let Some(margins) = question.margins else {
        return Ok(CoatingDay {
            day,
            held_by,
            passed_over,
            margin: None,
        });
    };
    let last = margins.keys().next_back().copied().unwrap_or(i64::MIN);
    while day <= last {
        match margins.get(&day) {
            Some(margin) if *margin >= DEW_POINT_MARGIN => {
                if !passed_over.is_empty() {
                    held_by = HeldBy::Conditions;
                }
                return Ok(CoatingDay {
                    day,
                    held_by,
                    passed_over,
                    margin: Some(*margin),
                });
            }
            _ => passed_over.push(day),
        }
        day = first_morning((day + 1) as f64 * DAY, time).ok_or(NoDay::NoWorkingDay)?;
    }
    Err(NoDay::Conditions)
}

/// The first working day whose hours begin at or after a moment.
fn first_morning(needed: f64, time: &WorkingTime) -> Option<i64> {
    let next = time.next(needed)?;
    let day = (next / DAY).floor();
    if next > day * DAY + time.from {
        let tomorrow = time.next((day + 1.0) * DAY)?;
        return Some((tomorrow / DAY).floor() as i64);
    }
    Some(day as i64)
}

/// How coating days spread over runs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Odds {
    /// Too few runs to tell: the day of the first run.
    OneRun(Result<i64, NoDay>),
    /// Days by which the share of runs is ready; `None` where so many are not ready in the time looked at.
    Spread {
        /// A tenth of the runs.
        p10: Option<i64>,
        /// Half.
        p50: Option<i64>,
        /// Nine tenths.
        p90: Option<i64>,
        /// Runs.
        runs: usize,
        /// Runs without a coating day.
        never: usize,
    },
}

/// The spread of coating days over sampled drying: one entry for each run, the time from which on the floor is dry, or `None` for a run in
/// which it never is. Quantiles are days of the runs, of rank (n + 1) p rounded up, so that a new run is ready by them with at least
/// that probability.
#[must_use]
pub fn odds(question: &Question<'_>, dry: &[Option<f64>], time: &WorkingTime) -> Odds {
    let day_of = |dry_from: Option<f64>| {
        dry_from.ok_or(NoDay::NotDry).and_then(|dry_from| {
            coating_day(
                &Question {
                    dry_from: Some(dry_from),
                    ..*question
                },
                time,
            )
            .map(|c| c.day)
        })
    };
    if dry.len() < ENOUGH_RUNS {
        return Odds::OneRun(day_of(dry.first().copied().flatten()));
    }
    let mut days: Vec<i64> = dry.iter().filter_map(|d| day_of(*d).ok()).collect();
    days.sort_unstable();
    let rank = |share: f64| {
        let place = (share * (dry.len() + 1) as f64 - 1e-9).ceil().max(1.0) as usize;
        days.get(place - 1).copied()
    };
    Odds::Spread {
        p10: rank(0.1),
        p50: rank(0.5),
        p90: rank(0.9),
        runs: dry.len(),
        never: dry.len() - days.len(),
    }
}
