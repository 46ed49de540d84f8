//! Steps of work in working hours: when each one starts and ends, and which of them rule.
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | s, e | start and end of a step | s since midnight of day 0 |
//! | w | work of a step, counted in working hours only | s |
//! | d | wait behind a step that it follows, counted on the clock | s |
//!
//! s = next working moment at or after the latest of: the start of the calendar, e + d of every step it follows, e of the step that the
//! same crew did before it. A step that is done in one go starts at the next working moment from which it ends the same day, or,
//! if it is longer than a working day, with the next working day. Each crew does its steps in the order in which they are given. The maps
//! "next working moment" and "end of w seconds of work" are monotone in the moment and in w, so the earliest schedule is unique, and
//! neither leaving a step out nor shortening one makes another later; a rule that lets a crew pick its next step has no such property
//! (Graham 1969, Bounds on multiprocessing timing anomalies).
//!
//! A step that is done ended when it was finished, and is taken to have gone on for its work before. What its crew has still to do comes
//! after the last that it has finished. Every wait behind a step that is done holds the coating, even where what follows is done too.
//!
//! Valid range: work that ends within [`LONGEST`] days. Accuracy: `tests/it/preparation/calendar.rs`, against a plain search and as properties.

use std::collections::BTreeSet;

pub use crate::units::DAY;

/// Calendars longer than this are refused \[days\]: nobody plans a floor over so many years.
pub const LONGEST: f64 = 3650.0;
/// Work shorter than this has ended \[s\]: far below what anybody times, far above rounding.
const NOTHING: f64 = 1e-6;

/// When people work.
#[derive(Clone, Debug, PartialEq)]
pub struct WorkingTime {
    /// Start of work \[s of the day\].
    pub from: f64,
    /// End of work \[s of the day\], after `from`.
    pub to: f64,
    /// Working days of the week, Monday first; at least one.
    pub weekdays: [bool; 7],
    /// Weekday of day 0, Monday 0.
    pub first_weekday: usize,
    /// Numbers of days on which nobody works.
    pub days_off: BTreeSet<i64>,
}

impl WorkingTime {
    /// Whether people work on a day.
    #[must_use]
    pub fn works_on(&self, day: i64) -> bool {
        let weekday = (day + self.first_weekday as i64).rem_euclid(7) as usize;
        self.weekdays[weekday] && !self.days_off.contains(&day)
    }

    /// The first working moment at or after a time.
    #[must_use]
    pub fn next(&self, time: f64) -> Option<f64> {
        let today = (time / DAY).floor() as i64;
        // Each day off can cost a week where one weekday is worked.
        let reach = 7 * (self.days_off.len() as i64 + 1);
        (today..=today + reach).find_map(|day| {
            let start = day as f64 * DAY + self.from;
            let end = day as f64 * DAY + self.to;
            (self.works_on(day) && time < end).then_some(time.max(start))
        })
    }

    /// The first working moment at or after a time from which so many seconds of work end on the same day. Work that is longer than a
    /// working day starts with one, so that more work never starts earlier.
    #[must_use]
    pub fn next_whole(&self, time: f64, work: f64) -> Option<f64> {
        let start = self.next(time)?;
        let close = (start / DAY).floor() * DAY + self.to;
        if start + work.min(self.to - self.from) <= close + NOTHING {
            Some(start)
        } else {
            self.next(close)
        }
    }

    /// The end of so many seconds of work that start at or after a time.
    #[must_use]
    pub fn end(&self, start: f64, work: f64) -> Option<f64> {
        let mut now = self.next(start)?;
        let mut left = work;
        let limit = start + (LONGEST + 1.0) * DAY;
        while left > NOTHING {
            let close = (now / DAY).floor() * DAY + self.to;
            let today = close - now;
            if left <= today {
                return Some(now + left);
            }
            left -= today;
            now = self.next(close)?;
            if now > limit {
                return None;
            }
        }
        Some(now)
    }
}

impl WorkingTime {
    /// The parts of a span in which people work, one a day.
    #[must_use]
    pub fn pieces(&self, start: f64, end: f64) -> Vec<(f64, f64)> {
        let mut pieces = Vec::new();
        let mut now = self.next(start);
        while let Some(from) = now.filter(|from| *from < end) {
            let close = (from / DAY).floor() * DAY + self.to;
            pieces.push((from, close.min(end)));
            now = self.next(close);
        }
        pieces
    }
}

/// A step of work.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Working time it takes its crew \[s\].
    pub work: f64,
    /// Whether it is done in one go: it starts on a day on which it also ends, if a working day is long enough for it.
    pub whole: bool,
    /// The crew that does it, from 0.
    pub crew: usize,
    /// Steps that it follows, by index below its own, each with the wait behind it \[s\].
    pub after: Vec<(usize, f64)>,
    /// Wait behind it before the floor can be coated \[s\].
    pub then: f64,
    /// When it was finished, where it is done \[s\]: what follows counts from there.
    pub finished: Option<f64>,
}

/// Why a step does not start earlier.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cause {
    /// The calendar starts.
    Start,
    /// This step and the wait behind it.
    After(usize),
    /// The crew is busy with this step.
    Crew(usize),
}

/// When a step is done.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slot {
    /// Start \[s\].
    pub start: f64,
    /// End \[s\].
    pub end: f64,
    /// What ruled the start.
    pub cause: Cause,
}

/// All steps with their times.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Schedule {
    /// One for each step.
    pub slots: Vec<Slot>,
    /// When all are done and all waits are over \[s\].
    pub ready: f64,
    /// The steps that rule `ready`, first to last.
    pub critical: Vec<usize>,
}

/// Why there is no schedule.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CalendarFault {
    /// It would be longer than [`LONGEST`].
    #[error(
        "The preparation would take more than ten years. Check the sizes and units of the findings, the people and the working hours."
    )]
    TooLong,
    /// A step follows one that comes later.
    #[error(
        "Step {0} follows a step that is not before it; give the steps in the order of the work."
    )]
    Order(usize),
}

/// The earliest schedule.
///
/// # Errors
/// When it would be too long, or a step follows a later one.
pub fn schedule(steps: &[Step], time: &WorkingTime, start: f64) -> Result<Schedule, CalendarFault> {
    let mut slots: Vec<Slot> = Vec::with_capacity(steps.len());
    let crews = steps.iter().map(|step| step.crew + 1).max().unwrap_or(0);
    let mut last: Vec<Option<usize>> = vec![None; crews];
    // What a crew has finished last: what it has still to do comes later.
    let mut behind: Vec<Option<(usize, f64)>> = vec![None; crews];
    for (index, step) in steps.iter().enumerate() {
        if let (Some(end), Some(entry)) = (step.finished, behind.get_mut(step.crew))
            && entry.is_none_or(|(_, latest)| end > latest)
        {
            *entry = Some((index, end));
        }
    }
    for (index, step) in steps.iter().enumerate() {
        if let Some(end) = step.finished {
            if end > start + LONGEST * DAY {
                return Err(CalendarFault::TooLong);
            }
            slots.push(Slot {
                start: end - step.work,
                end,
                cause: Cause::Start,
            });
            continue;
        }
        let mut earliest = start;
        let mut cause = Cause::Start;
        for &(before, wait) in &step.after {
            let slot = slots.get(before).ok_or(CalendarFault::Order(index + 1))?;
            if slot.end + wait > earliest {
                earliest = slot.end + wait;
                cause = Cause::After(before);
            }
        }
        if let Some(before) = last.get(step.crew).copied().flatten()
            && let Some(slot) = slots.get(before)
            && slot.end > earliest
        {
            earliest = slot.end;
            cause = Cause::Crew(before);
        }
        if let Some((before, end)) = behind.get(step.crew).copied().flatten()
            && end > earliest
        {
            earliest = end;
            cause = Cause::Crew(before);
        }
        let begin = if step.whole {
            time.next_whole(earliest, step.work)
        } else {
            time.next(earliest)
        }
        .ok_or(CalendarFault::TooLong)?;
        let end = time.end(begin, step.work).ok_or(CalendarFault::TooLong)?;
        if end > start + LONGEST * DAY {
            return Err(CalendarFault::TooLong);
        }
        if let Some(entry) = last.get_mut(step.crew) {
            *entry = Some(index);
        }
        slots.push(Slot {
            start: begin,
            end,
            cause,
        });
    }
    let mut ready = start;
    let mut at = None;
    for (index, (slot, step)) in slots.iter().zip(steps).enumerate() {
        let wait = match step.finished {
            Some(_) => wait_behind(steps, index),
            None => step.then,
        };
        if slot.end + wait > ready {
            ready = slot.end + wait;
            at = Some(index);
        }
    }
    let mut critical = Vec::new();
    while let Some(index) = at {
        critical.push(index);
        at = match slots.get(index).map(|slot| slot.cause) {
            Some(Cause::After(before) | Cause::Crew(before)) => Some(before),
            _ => None,
        };
    }
    critical.reverse();
    Ok(Schedule {
        slots,
        ready,
        critical,
    })
}

/// The longest wait behind a step, before the coating or before a step that follows it \[s\].
#[must_use]
pub fn wait_behind(steps: &[Step], index: usize) -> f64 {
    let followers = steps.iter().flat_map(|step| &step.after);
    let waits = followers.filter(|(before, _)| *before == index);
    let own = steps.get(index).map_or(0.0, |step| step.then);
    waits.map(|(_, wait)| *wait).fold(own, f64::max)
}
