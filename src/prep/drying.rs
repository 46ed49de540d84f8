//! The drying simulation inside the calendar: wet work wets the simulated slab, work that opens the face takes its skin away.
//!
//! The simulated spot lies in the concrete area that the calendar treats last, which is the slowest to dry. While it is washed or
//! etched its face is kept wet; then a film is left lying, which the slab soaks up and gives to the air. Opening the face takes the
//! trowelled skin and any curing compound off: its resistance is zero from then on. Etching is credited with the same opening as
//! grinding, so that the difference between the two is the water alone, the least that etching costs. How long a spot stays wet is
//! common practice, no published source.
//!
//! Readings count from the time when all tasks and waits are over, so that a floor which was dry before it was washed is not called
//! dry.

use std::collections::BTreeMap;

use super::calendar::{DAY, Schedule, WorkingTime};
use super::survey::{Ground, Survey};
use super::tasks::{Effect, Tasks};
use crate::column::Skin;
use crate::plan::{Accuracy, Outcome, compare, prepare, run_setup};
use crate::scenario::build::{Action, Event, Job};
use crate::scenario::model::SiteWork;

/// How long a spot stays under water \[s\].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WetFor {
    /// Power washing until the water is vacuumed up.
    pub washing: f64,
    /// Acid, neutraliser and three rinses.
    pub etching: f64,
    /// Degreasing or stripping of most of an area.
    pub cleaning: f64,
}

/// What is reckoned with (common practice, no published source).
pub const WET_FOR: WetFor = WetFor {
    washing: 2.0 * 3600.0,
    etching: 4.0 * 3600.0,
    cleaning: 2.0 * 3600.0,
};
/// Time over which the film that is left is put down in the simulation \[s\].
const LAYING_DOWN: f64 = 60.0;
/// How long conditions are watched after the floor is dry and ready \[s\].
const WATCHED: f64 = 30.0 * DAY;

/// What the calendar does to the slab, for one way of doing the work.
#[derive(Clone, Debug, PartialEq)]
pub struct OnTheSlab {
    /// Events, in order of time.
    pub events: Vec<Event>,
    /// When all tasks and waits are over \[s\].
    pub ready: f64,
    /// Time of the scenario's own preparation, whose place the calendar takes \[s\]; `None` where there is none.
    pub replaces: Option<f64>,
}

impl OnTheSlab {
    /// Whether some work opens the face.
    #[must_use]
    pub fn opens(&self) -> bool {
        self.events
            .iter()
            .any(|e| matches!(e.action, Action::Skin(_)))
    }

    /// The job with the calendar in it.
    #[must_use]
    pub fn in_job(&self, job: &Job) -> Job {
        let mut job = job.clone();
        if let Some(time) = self.replaces.filter(|_| self.opens()) {
            job.events
                .retain(|e| !(e.time == time && matches!(e.action, Action::Skin(_))));
        }
        let start = crate::season::START_AGE;
        job.events.extend(self.events.iter().map(|e| Event {
            time: e.time.max(start),
            ..*e
        }));
        job.events.sort_by(|a, b| a.time.total_cmp(&b.time));
        job.targets_from = self.ready;
        job.look_on = WATCHED;
        job
    }
}

/// Events of a calendar. `without` leaves out what this work does to the slab; `replaces` goes into the result.
#[must_use]
pub fn on_the_slab(
    survey: &Survey,
    tasks: &Tasks,
    schedule: &Schedule,
    water_left: f64,
    without: Option<SiteWork>,
    replaces: Option<f64>,
) -> OnTheSlab {
    let effects = || {
        tasks
            .tasks
            .iter()
            .zip(&schedule.slots)
            .filter(|(task, _)| {
                survey
                    .areas
                    .get(task.area)
                    .is_some_and(|area| area.ground == Ground::Concrete)
            })
            .filter_map(|(task, slot)| {
                let effect = task.effect.filter(|e| *e != Effect::WetsSpots)?;
                Some((task, slot, effect))
            })
    };
    // The area that is wetted last; without wet work, the one that is opened last.
    let spot = effects()
        .max_by(|a, b| {
            let key = |e: &(_, &super::calendar::Slot, Effect)| (e.2.wets(), e.1.end);
            let (a, b) = (key(a), key(b));
            a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
        })
        .map(|(task, ..)| task.area);
    let mut events = Vec::new();
    for (task, slot, effect) in effects() {
        if Some(task.area) != spot || without == Some(task.work) {
            continue;
        }
        if effect.wets() {
            let lasts = match task.work {
                SiteWork::PowerWashing => WET_FOR.washing,
                SiteWork::Etching => WET_FOR.etching,
                _ => WET_FOR.cleaning,
            };
            let from = (slot.end - lasts).max(slot.start);
            let mut add = |time, action| events.push(Event { time, action });
            add(from, Action::KeepWet(true));
            add(slot.end, Action::KeepWet(false));
            add(slot.end, Action::Water(water_left / LAYING_DOWN));
            add(slot.end + LAYING_DOWN, Action::Water(0.0));
        }
        if effect.opens() {
            events.push(Event {
                time: slot.end,
                action: Action::Skin(Skin::default()),
            });
        }
    }
    events.sort_by(|a, b| a.time.total_cmp(&b.time));
    OnTheSlab {
        events,
        ready: schedule.ready,
        replaces,
    }
}

/// What one setup makes of the slab.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// The result of the simulation.
    pub outcome: Outcome,
    /// From this time on the floor stays within every target \[s since placing\]; `None` if never in the time looked at.
    pub dry_from: Option<f64>,
    /// Least distance of the face from the dew point during working hours, by day \[K\].
    pub margins: BTreeMap<i64, f64>,
}

/// All setups of a job with a calendar in it, best first.
#[must_use]
pub fn run_all(job: &Job, time: &WorkingTime, accuracy: Accuracy) -> Vec<Run> {
    compare(job, accuracy)
        .into_iter()
        .map(|outcome| run(job, time, outcome))
        .collect()
}

/// One setup by its name; `None` if there is no such setup or the solver gave up before drying starts.
#[must_use]
pub fn run_one(job: &Job, setup: &str, time: &WorkingTime, accuracy: Accuracy) -> Option<Run> {
    let setup = job.setups.iter().find(|s| s.name == setup)?;
    let start = prepare(job, accuracy).ok()?;
    Some(run(job, time, run_setup(job, setup, &start)))
}

fn run(job: &Job, time: &WorkingTime, outcome: Outcome) -> Run {
    let moment = |day: f64| job.drying_starts + day * DAY;
    let mut margins: BTreeMap<i64, f64> = BTreeMap::new();
    for record in &outcome.records {
        let at = moment(record.day);
        let of_day = at.rem_euclid(DAY);
        if of_day >= time.from && of_day <= time.to {
            let margin = record.face_temperature - record.dew_point;
            margins
                .entry((at / DAY).floor() as i64)
                .and_modify(|least| *least = least.min(margin))
                .or_insert(margin);
        }
    }
    Run {
        dry_from: outcome
            .days_to_target
            .map(|days| dry_from(job, &outcome, moment(days))),
        outcome,
        margins,
    }
}

/// The moment from which on the floor stays dry: that at which the targets were met, or an earlier one if they were met all the time
/// since then.
fn dry_from(job: &Job, outcome: &Outcome, reached: f64) -> f64 {
    if reached > job.targets_from {
        return reached;
    }
    let above = |readings: &[f64]| {
        readings
            .iter()
            .zip(&job.targets)
            .map(|(r, t)| r / t.limit() - 1.0)
            .fold(f64::NEG_INFINITY, f64::max)
    };
    let mut since = job.drying_starts.min(reached);
    for pair in outcome.records.windows(2) {
        let (one, two) = (above(&pair[0].readings), above(&pair[1].readings));
        let at = |day: f64| job.drying_starts + day * DAY;
        if at(pair[1].day) > reached {
            break;
        }
        if one > 0.0 && two <= 0.0 && one.is_finite() {
            since = at(pair[0].day + (pair[1].day - pair[0].day) * one / (one - two));
        } else if two > 0.0 || one > 0.0 {
            since = at(pair[1].day);
        }
    }
    since.min(reached)
}
