//! The coating day: the first day on which tasks, drying and conditions all agree.

use std::collections::BTreeMap;

use super::calendar::{DAY, WorkingTime};
use super::conditions::{Against, Conditions};
use crate::scenario::coating_window::CoatingWindow;

/// A time in which the floor is dry, from and until \[s since placing\]; until infinity if it stays so as far as was looked.
pub type Span = (f64, f64);

/// What holds the coating day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeldBy {
    /// Tasks and the waits behind them.
    Tasks,
    /// The drying target.
    Drying,
    /// The conditions of the day before.
    Conditions(Against),
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
            Self::Conditions(against) => against.words(),
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
    /// When the floor is dry, in order of time; `None` where no drying is claimed.
    pub dry: Option<&'a [Span]>,
    /// Conditions by day and what they must keep; `None` where they are not looked at.
    pub days: Option<(&'a BTreeMap<i64, Conditions>, &'a CoatingWindow)>,
}

/// A coating day.
#[derive(Clone, Debug, PartialEq)]
pub struct CoatingDay {
    /// Number of the day.
    pub day: i64,
    /// What held it.
    pub held_by: HeldBy,
    /// Since when the floor has been dry on that day \[s\]; `None` where no drying is claimed.
    pub dry_from: Option<f64>,
    /// Working days passed over for their conditions, each with the first limit that it does not keep.
    pub passed_over: Vec<(i64, Against)>,
    /// Conditions of the day, where they are known.
    pub conditions: Option<Conditions>,
}

/// Why there is no coating day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoDay {
    /// It does not get dry in the time simulated.
    NotDry,
    /// The solver gave up on its drying.
    NotComputed,
    /// It gets dry, and wet again before everything else agrees.
    WetAgain,
    /// The work ends after the last day simulated.
    WorkBeyond,
    /// No day simulated keeps the coating's limits; this is the one that most of them miss.
    Conditions(Against),
    /// The days on which it could be were not looked at.
    DaysBeyond,
    /// No working day in reach.
    NoWorkingDay,
}

impl NoDay {
    /// As a sentence.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::NotDry => "It does not get dry in the time simulated.",
            Self::NotComputed => "Its drying could not be computed.",
            Self::WorkBeyond => {
                "The work and its waits end after the last day simulated. Raise \"give_up_after\", or plan more people."
            }
            Self::WetAgain => {
                "It gets dry, but it is wet again before the work is done and the conditions are right. Keep drying, or plan more people."
            }
            Self::Conditions(Against::DewPoint) => {
                "No working day simulated keeps the coating's limits: most come too near the dew point. Warm the slab or dry the air."
            }
            Self::Conditions(Against::Cold) => {
                "No working day simulated keeps the coating's limits: most are too cold. Heat more, and through the cure."
            }
            Self::Conditions(Against::Warm) => {
                "No working day simulated keeps the coating's limits: most are too warm. Heat less, or wait for cooler weather."
            }
            Self::Conditions(Against::MoistAir) => {
                "No working day simulated keeps the coating's limits: on most the air is too moist. Dry the air."
            }
            Self::Conditions(Against::Water) => {
                "No working day simulated keeps the coating's limits: on most, the floor is wet or was not long ago. Keep water and dew off it."
            }
            Self::Conditions(Against::NotKnown) | Self::DaysBeyond => {
                "The days to coat it come after the last day simulated. Raise \"give_up_after\"."
            }
            Self::NoWorkingDay => "No working day is in reach. Check the days off.",
        }
    }
}

/// Looks for the coating day. Coating starts with the working hours of a day and goes on until they end; the floor is dry all the while.
///
/// # Errors
/// Why there is none.
pub fn coating_day(question: &Question<'_>, time: &WorkingTime) -> Result<CoatingDay, NoDay> {
    let morning = |needed| first_morning(needed, time).ok_or(NoDay::NoWorkingDay);
    let mut day = morning(question.ready)?;
    // Only what moves the day holds it.
    let mut held_by = HeldBy::Tasks;
    if let Some(old_enough) = question.old_enough {
        let next = morning(old_enough)?;
        if next > day {
            (day, held_by) = (next, HeldBy::Age);
        }
    }
    let mut passed_over = Vec::new();
    loop {
        let opens = day as f64 * DAY + time.from;
        let closes = day as f64 * DAY + time.to;
        let mut dry_from = None;
        if let Some(dry) = question.dry {
            let (from, _) =
                *dry.iter()
                    .find(|(_, until)| *until >= closes)
                    .ok_or(if dry.is_empty() {
                        NoDay::NotDry
                    } else {
                        NoDay::WetAgain
                    })?;
            if from > opens {
                (day, held_by) = (morning(from)?, HeldBy::Drying);
                continue;
            }
            dry_from = Some(from);
        }
        let mut conditions = None;
        if let Some((days, window)) = question.days {
            if days.keys().next_back().is_none_or(|last| day > *last) {
                return Err(none_keeps(&passed_over));
            }
            conditions = days.get(&day).copied();
            let against =
                conditions.map_or(Some(Against::NotKnown), |day| day.against(window, opens));
            if let Some(against) = against {
                passed_over.push((day, against));
                let next = morning((day + 1) as f64 * DAY)?;
                (day, held_by) = (next, HeldBy::Conditions(against));
                continue;
            }
        }
        return Ok(CoatingDay {
            day,
            held_by,
            dry_from,
            passed_over,
            conditions,
        });
    }
}

/// What most of the days passed over miss, counted by reason, the first reason of equal ones.
#[must_use]
pub fn reasons(passed_over: &[(i64, Against)]) -> Vec<(Against, usize)> {
    let mut counts: BTreeMap<Against, usize> = BTreeMap::new();
    for (_, against) in passed_over {
        *counts.entry(*against).or_default() += 1;
    }
    let mut counts: Vec<_> = counts.into_iter().collect();
    counts.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    counts
}

fn none_keeps(passed_over: &[(i64, Against)]) -> NoDay {
    reasons(passed_over)
        .into_iter()
        .find(|(against, _)| *against != Against::NotKnown)
        .map_or(NoDay::DaysBeyond, |(against, _)| NoDay::Conditions(against))
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
