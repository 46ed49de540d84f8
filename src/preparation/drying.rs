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

use crate::units::HOUR;
use std::collections::BTreeMap;

use rayon::prelude::*;

use super::calendar::{DAY, Schedule, WorkingTime};
use super::coating::Span;
use super::conditions::{Conditions, Watch};
use super::survey::{Ground, Survey};
use super::tasks::{Effect, Tasks};
use crate::column::Skin;
use crate::evaluate::{Accuracy, NotComputed, Outcome, prepare, run_observed};
use crate::job::change::FloorWork;
use crate::job::{Action, Event, Job, Setup};
use crate::scenario::model::SiteWork;
use crate::simulation::{Simulation, SimulationFault};

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
    washing: 2.0 * HOUR,
    etching: 4.0 * HOUR,
    cleaning: 2.0 * HOUR,
};
/// Longest step of runs whose conditions are looked at \[s\]: a cold morning must not vanish in the mean of half a day.
const CONDITIONS_STEP: f64 = 2.0 * HOUR;
/// Time over which the film that is left is put down in the simulation \[s\].
const LAYING_DOWN: f64 = 60.0;
/// How long days are looked at after the floor is dry and ready \[s\], besides the cure of the last.
const WATCHED: f64 = 30.0 * DAY;

/// Events of a calendar. `without` leaves out what this work does to the slab. `own` says that the scenario has a preparation of its
/// own for the time of the calendar: work that opens the face takes its place, even where it is left out.
#[must_use]
pub fn on_the_slab(
    survey: &Survey,
    tasks: &Tasks,
    schedule: &Schedule,
    water_left: f64,
    without: Option<SiteWork>,
    own: bool,
) -> FloorWork {
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
    let replaces = own && effects().any(|(_, _, effect)| effect.opens());
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
    let starts = schedule.slots.iter().map(|slot| slot.start);
    let begins = starts.fold(f64::INFINITY, f64::min);
    FloorWork {
        events,
        begins: begins.min(schedule.ready),
        ready: schedule.ready,
        replaces,
        watched: WATCHED,
    }
}

/// What one setup makes of the slab.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// The result of the simulation.
    pub outcome: Outcome,
    /// When the floor is within every target, in order of time, as far as that lies after the work.
    pub dry: Vec<Span>,
    /// Conditions by day.
    pub days: BTreeMap<i64, Conditions>,
}

impl Run {
    /// When the floor is dry first \[s since placing\]; `None` if never in the time simulated.
    #[must_use]
    pub fn dry_from(&self) -> Option<f64> {
        self.dry.first().map(|(from, _)| *from)
    }
}

/// All setups of a job with a calendar in it, in their order, as far as the solver can compute them. The air of a day is followed for `cure`
/// behind its working hours \[s\].
#[must_use]
pub fn run_all(
    job: &Job,
    time: &WorkingTime,
    cure: f64,
    accuracy: Accuracy,
) -> Vec<Result<Run, NotComputed>> {
    let accuracy = Accuracy {
        longest_step: accuracy.longest_step.min(CONDITIONS_STEP),
        ..accuracy
    };
    let start = prepare(job, accuracy);
    job.setups
        .par_iter()
        .map(|setup| {
            let start = start.as_ref().map_err(Clone::clone);
            start
                .and_then(|start| run(job, setup, start, Watch::new(time, cure)))
                .map_err(|fault| NotComputed {
                    setup: setup.name.clone(),
                    fault,
                })
        })
        .collect()
}

fn run(
    job: &Job,
    setup: &Setup,
    start: &Simulation,
    mut watch: Watch,
) -> Result<Run, SimulationFault> {
    let pressure = setup.room.pressure;
    let outcome = run_observed(job, setup, start, &mut |slab, _| {
        watch.see(slab.time(), Conditions::of(slab, pressure));
    })?;
    Ok(Run {
        dry: dry_spans(job, &outcome),
        outcome,
        days: watch.days(),
    })
}

/// When the floor is within every target: from the moment at which it met them, and after that by the records of the run, linear between
/// them.
fn dry_spans(job: &Job, outcome: &Outcome) -> Vec<Span> {
    let moment = |day: f64| job.gear_on + day * DAY;
    let Some(reached) = outcome.days_to_target.map(moment) else {
        return Vec::new();
    };
    // Share by which the worst reading lies above its limit.
    let course = outcome
        .records
        .iter()
        .map(|record| {
            let above = record
                .readings
                .iter()
                .zip(&job.targets)
                .map(|(r, t)| r / t.limit() - 1.0)
                .fold(f64::NEG_INFINITY, f64::max);
            (moment(record.day), above)
        })
        .filter(|(time, _)| *time > reached);
    let mut spans = Vec::new();
    let mut since = Some(reached);
    let mut before = (reached, 0.0);
    for (time, above) in course {
        let crossing = before.0 + (time - before.0) * before.1 / (before.1 - above);
        let crossing = if crossing.is_finite() { crossing } else { time };
        match (since, above <= 0.0) {
            (None, true) => since = Some(crossing),
            (Some(from), false) => {
                spans.push((from, crossing));
                since = None;
            }
            _ => {}
        }
        before = (time, above);
    }
    spans.extend(since.map(|from| (from, f64::INFINITY)));
    spans
}
