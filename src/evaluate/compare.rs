//! Runs the setups of a job side by side and ranks them.

use super::money::{delay, rental};
use super::outcome::{LimitedBy, NotComputed, NotDryReason, Outcome};
use super::tracker::ruling;
use super::under_film::under_film;
use super::watch::Watch;
use crate::air::MoistAir;
use crate::column::Tolerance;
use crate::gear::fan::STILL_AIR;
use crate::job::{Action, Event, Job, Setup};
use crate::moisture_tests::Target;
use crate::simulation::{
    Climate, LONGEST_STEP, Progress, Resolution, Simulation, SimulationFault, Snapshot, Underside,
};
use crate::units::{DAY, HOUR};
use rayon::prelude::*;
use std::ops::ControlFlow;

/// Condensation margin on the coating day \[K\]: ISO 8502-4.
pub const DEW_POINT_MARGIN: f64 = crate::scenario::coating_window::DEW_POINT_MARGIN;
/// A share from which something is called the cause.
const MOST: f64 = 0.5;
/// How far above its air's relative humidity a slab stays for a season (engineering judgement, for the words only).
const DRIEST_ABOVE_AIR: f64 = 0.03;

/// Longest step under air of a known state \[s\]: the error of a step asks for shorter ones where something moves, and of thirty years some hundred
/// steps are left.
const LONGEST_HELD: f64 = 60.0 * DAY;

/// How finely to compute.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Accuracy {
    /// Cells.
    pub resolution: Resolution,
    /// Time steps.
    pub tolerance: Tolerance,
    /// Longest step under weather \[s\].
    pub longest_step: f64,
}

impl Default for Accuracy {
    fn default() -> Self {
        Self {
            resolution: Resolution::default(),
            tolerance: Tolerance::default(),
            longest_step: LONGEST_STEP,
        }
    }
}

/// What came of the setups of a job.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Compared {
    /// Those computed, best first: soonest, then cheapest; those that never get there last, the one nearest to its targets first.
    pub outcomes: Vec<Outcome>,
    /// Those on which the solver gave up, in the order of the job.
    pub not_computed: Vec<NotComputed>,
}

impl Compared {
    /// Every setup in the order in which it is shown: those computed, then the others.
    pub fn all(&self) -> impl Iterator<Item = Result<&Outcome, &NotComputed>> {
        let computed = self.outcomes.iter().map(Ok);
        computed.chain(self.not_computed.iter().map(Err))
    }
}

/// Runs every setup and ranks those that the solver could compute.
#[must_use]
pub fn compare(job: &Job, accuracy: Accuracy) -> Compared {
    let prepared = prepare(job, accuracy);
    let runs: Vec<Result<Outcome, NotComputed>> = job
        .setups
        .par_iter()
        .map(|setup| {
            let start = prepared.as_ref().map_err(Clone::clone);
            start
                .and_then(|start| run_setup(job, setup, start))
                .map_err(|fault| NotComputed {
                    setup: setup.name.clone(),
                    fault,
                })
        })
        .collect();
    let (mut outcomes, not_computed) = apart(runs);
    outcomes.sort_by(|a, b| {
        let key = |o: &Outcome| o.days_to_target.unwrap_or(f64::INFINITY);
        key(a).total_cmp(&key(b)).then_with(|| {
            if a.days_to_target.is_some() {
                a.cost.total_cmp(&b.cost)
            } else {
                let left = |o: &Outcome| {
                    o.records.last().map_or(f64::INFINITY, |r| {
                        ruling(r.readings.iter().copied(), &job.targets)
                    })
                };
                left(a).total_cmp(&left(b))
            }
        })
    });
    Compared {
        outcomes,
        not_computed,
    }
}

/// What was computed apart from what was not, each in its order.
pub(crate) fn apart<T>(runs: Vec<Result<T, NotComputed>>) -> (Vec<T>, Vec<NotComputed>) {
    let (mut computed, mut not_computed) = (Vec::new(), Vec::new());
    for run in runs {
        match run {
            Ok(run) => computed.push(run),
            Err(fault) => not_computed.push(fault),
        }
    }
    (computed, not_computed)
}

/// The slab on the day drying starts: cured, exposed, wetted as the scenario says.
///
/// # Errors
/// When the solver gives up.
pub fn prepare(job: &Job, accuracy: Accuracy) -> Result<Simulation, SimulationFault> {
    prepare_observed(job, accuracy, &[], &mut |_, _| {})
}

/// As [`prepare`]; `also` sees every step, and no step goes beyond one of the `stops` \[s since placing\].
///
/// # Errors
/// When the solver gives up.
pub fn prepare_observed(
    job: &Job,
    accuracy: Accuracy,
    stops: &[f64],
    also: &mut dyn FnMut(&Snapshot<'_>, &Progress),
) -> Result<Simulation, SimulationFault> {
    let bare = &job.room;
    let mut simulation = Simulation::new(
        &job.slab,
        bare.store(),
        job.first_skin,
        accuracy.resolution,
        accuracy.tolerance,
    );
    simulation.set_surface_transfer_factor(job.surface_transfer_factor);
    let mut closed = false;
    let changes = job.held.iter().flat_map(|held| [held.from, held.until]);
    let mut stops: Vec<f64> = changes.chain(stops.iter().copied()).collect();
    stops.sort_by(f64::total_cmp);
    let mut lie = |simulation: &mut Simulation, until: f64, closed: bool| {
        let now = simulation.time();
        let between = stops.iter().filter(|stop| now < **stop && **stop < until);
        let mut ends = between.chain([&until]);
        ends.try_for_each(|end| stand(simulation, *end, closed, job, accuracy, also))
    };
    for event in &job.events {
        if event.time > job.gear_on {
            break;
        }
        lie(&mut simulation, event.time, closed)?;
        apply(&mut simulation, *event, &mut closed, job, bare);
    }
    lie(&mut simulation, job.gear_on, closed)?;
    simulation.set_longest_step(accuracy.longest_step);
    Ok(simulation)
}

/// Lets the slab lie until a moment before drying starts, in the one air that stands over it until then.
fn stand(
    simulation: &mut Simulation,
    until: f64,
    closed: bool,
    job: &Job,
    accuracy: Accuracy,
    also: &mut dyn FnMut(&Snapshot<'_>, &Progress),
) -> Result<(), SimulationFault> {
    let now = simulation.time();
    let held = job.held.iter().find(|h| h.from <= now && now < h.until);
    let (climate, longest) = match held {
        Some(held) => (
            Climate::Given {
                air: held.air,
                air_speed: STILL_AIR,
            },
            LONGEST_HELD,
        ),
        None if closed => (
            Climate::Room(&job.room, &job.weather),
            accuracy.longest_step,
        ),
        None => (Climate::OpenShell(&job.weather), accuracy.longest_step),
    };
    simulation.set_longest_step(longest);
    let ending = simulation.advance(until, climate, &mut |slab, progress| {
        also(slab, progress);
        ControlFlow::Continue(())
    });
    ending.map(drop)
}

fn apply(
    simulation: &mut Simulation,
    event: Event,
    closed: &mut bool,
    job: &Job,
    room: &crate::room::Room,
) {
    let outside = job.weather.at(event.time);
    match event.action {
        Action::KeepWet(wet) => simulation.keep_wet(wet),
        Action::Skin(skin) | Action::Prepare(skin) => simulation.set_skin(skin),
        Action::Water(rate) => simulation.set_rain(rate, outside.temperature.max(5.0)),
        Action::CloseIn => {
            *closed = true;
            simulation.enter_room(room, outside.temperature, outside.humidity_ratio);
        }
    }
}

/// Times at which the run must stop and go on: events, machines that come and go, clocks.
fn boundaries(job: &Job, setup: &Setup) -> Vec<f64> {
    let mut times: Vec<f64> = job.events.iter().map(|e| e.time).collect();
    for m in &setup.room.machines {
        times.push(m.present.0);
        times.push(m.present.1);
        if let Some(hours) = m.machine.switching_hours() {
            let days = (job.give_up / DAY).ceil() as u32;
            for day in 0..=days {
                times.extend(hours.map(|h| f64::from(day) * DAY + h * HOUR));
            }
        }
    }
    times.push(job.targets_from);
    times.push(job.give_up);
    times.retain(|t| *t > job.gear_on && *t <= job.give_up);
    times.sort_by(f64::total_cmp);
    times.dedup();
    times
}

/// Runs one setup from the prepared slab.
///
/// # Errors
/// When the solver gives up.
pub fn run_setup(job: &Job, setup: &Setup, start: &Simulation) -> Result<Outcome, SimulationFault> {
    let (mut outcome, dry) = follow(job, setup, start, &mut |_, _| {})?;
    outcome.under_film = dry.as_ref().map(under_film).transpose()?;
    Ok(outcome)
}

/// Runs one setup from the prepared slab, without what would come under a film: less than half the work.
///
/// # Errors
/// When the solver gives up.
pub fn run_without_film(
    job: &Job,
    setup: &Setup,
    start: &Simulation,
) -> Result<Outcome, SimulationFault> {
    run_observed(job, setup, start, &mut |_, _| {})
}

/// As [`run_without_film`]; `also` sees every step.
///
/// # Errors
/// When the solver gives up.
pub fn run_observed(
    job: &Job,
    setup: &Setup,
    start: &Simulation,
    also: &mut dyn FnMut(&Snapshot<'_>, &Progress),
) -> Result<Outcome, SimulationFault> {
    follow(job, setup, start, also).map(|(outcome, _)| outcome)
}

/// The outcome, and the slab as it was when the targets were met.
fn follow(
    job: &Job,
    setup: &Setup,
    start: &Simulation,
    also: &mut dyn FnMut(&Snapshot<'_>, &Progress),
) -> Result<(Outcome, Option<Simulation>), SimulationFault> {
    let mut watches = [Watch::new(job, setup, &job.targets)];
    let simulation = run_watched(job, setup, start, &mut watches, also)?;
    let [mut watch] = watches;
    let dry = watch.dry.take();
    Ok((conclude(watch, &simulation), dry))
}

/// The slab as it is when it meets these targets; `None` where it never does.
pub(super) fn slab_when_dry(
    job: &Job,
    setup: &Setup,
    start: &Simulation,
    targets: &[Target],
) -> Result<Option<Simulation>, SimulationFault> {
    let mut watches = [Watch::new(job, setup, targets)];
    run_watched(job, setup, start, &mut watches, &mut |_, _| {})?;
    let [mut watch] = watches;
    Ok(watch.dry.take())
}

/// One run of a setup read against several sets of targets: an outcome for each. It ends when enough is seen for the last of them, and not
/// before `until` \[s\].
///
/// # Errors
/// When the solver gives up.
pub fn run_for_targets<'a>(
    job: &'a Job,
    setup: &'a Setup,
    start: &Simulation,
    targets: &[&'a [Target]],
    until: f64,
) -> Result<Vec<Outcome>, SimulationFault> {
    let watch = |targets: &&'a [Target]| Watch::new(job, setup, targets).until(until);
    let mut watches: Vec<Watch<'_>> = targets.iter().map(watch).collect();
    let simulation = run_watched(job, setup, start, &mut watches, &mut |_, _| {})?;
    let outcomes = watches.into_iter().map(|w| conclude(w, &simulation));
    Ok(outcomes.collect())
}

/// Runs a setup until every watch has seen enough.
fn run_watched(
    job: &Job,
    setup: &Setup,
    start: &Simulation,
    watches: &mut [Watch<'_>],
    also: &mut dyn FnMut(&Snapshot<'_>, &Progress),
) -> Result<Simulation, SimulationFault> {
    let mut simulation = start.clone();
    let outside = job.weather.at(job.gear_on).air();
    let lived_in = job.held.iter().find(|held| held.until >= job.gear_on);
    let air = lived_in.map_or(outside, |held| held.air);
    let temperature = job.start_temperature.unwrap_or(air.temperature);
    let saturated = MoistAir::from_relative_humidity(temperature, 1.0, setup.room.pressure);
    simulation.enter_room(
        &setup.room,
        temperature,
        air.humidity_ratio.min(saturated.humidity_ratio),
    );
    if job.targets_from <= job.gear_on {
        first_moment(watches, &simulation);
    }
    let mut closed = true;
    for time in boundaries(job, setup) {
        let run = simulation.advance(
            time,
            Climate::Room(&setup.room, &job.weather),
            &mut |slab, progress| {
                also(slab, progress);
                see(watches, slab, progress)
            },
        );
        if run?.is_break() {
            break;
        }
        for event in job.events.iter().filter(|e| e.time == time) {
            if event.action != Action::CloseIn {
                apply(&mut simulation, *event, &mut closed, job, &setup.room);
            }
        }
        if time == job.targets_from {
            first_moment(watches, &simulation);
        }
    }
    for watch in watches {
        watch.finish(&simulation);
        if let Some(fault) = watch.fault.take() {
            return Err(fault);
        }
    }
    Ok(simulation)
}

fn first_moment(watches: &mut [Watch<'_>], simulation: &Simulation) {
    for watch in watches {
        watch.first_moment(&simulation.snapshot());
    }
}

/// Shows a step to every watch that goes on.
fn see(watches: &mut [Watch<'_>], slab: &Snapshot<'_>, progress: &Progress) -> ControlFlow<()> {
    let mut all = ControlFlow::Break(());
    for watch in watches.iter_mut().filter(|watch| !watch.over) {
        match watch.see(slab, progress) {
            ControlFlow::Continue(()) => all = ControlFlow::Continue(()),
            ControlFlow::Break(()) => watch.over = true,
        }
    }
    all
}

fn conclude(watch: Watch<'_>, simulation: &Simulation) -> Outcome {
    let (job, setup) = (watch.job, watch.setup);
    let (water_balance_error, heat_balance_error) = simulation.balance_errors();
    let reached = watch.reached;
    let end = reached.unwrap_or(simulation.time());
    let face_share = watch.tally.face_share.0 / watch.tally.face_share.1.max(1.0);
    // A share of what evaporates means something only while water evaporates.
    let ground_share = if watch.recent.evaporation > 0.0 {
        watch.recent.from_ground / watch.recent.evaporation
    } else {
        0.0
    };
    let not_dry = reached.is_none().then(|| not_dry(&watch, ground_share));
    let limited_by = if matches!(not_dry, Some(NotDryReason::WetGround { .. })) {
        LimitedBy::Ground
    } else if face_share > MOST {
        LimitedBy::Face
    } else {
        LimitedBy::Depth
    };
    let rental = rental(job, setup, end);
    let mut cost = rental;
    let mut cost_incomplete = setup.unpriced();
    let mut charge = |energy: f64, price: Option<f64>| {
        if energy > 0.0 {
            match price {
                Some(p) => cost += energy * p,
                None => cost_incomplete = true,
            }
        }
    };
    charge(watch.tally.energy.electricity, job.prices.electricity);
    for (energy, price) in watch.tally.energy.fuels.iter().zip(job.prices.fuels) {
        charge(*energy, price);
    }
    let date = reached.map(|t| job.date(t));
    let days = reached.map(|t| watch.day(t));
    Outcome {
        name: setup.name.clone(),
        days_to_target: days,
        date,
        not_dry,
        energy: watch.tally.energy,
        cost,
        rental,
        delay_cost: days.and_then(|days| delay(job, days)),
        cost_incomplete,
        water_removed: watch.tally.water,
        limited_by,
        face_share,
        water_balance_error,
        heat_balance_error,
        air_outside_range: watch.tally.air_outside_range(),
        hours: watch.tally.hours,
        odds: None,
        under_film: None,
        records: watch.records,
        profiles: watch.profiles,
        work: simulation.work(),
    }
}

/// Why the target is not met.
fn not_dry(watch: &Watch<'_>, ground_share: f64) -> NotDryReason {
    let r = &watch.recent;
    let humidity = r.air_humidity / r.time.max(1.0);
    let hours = &watch.tally.hours;
    let humidity_limit = watch
        .targets
        .iter()
        .filter(|t| t.is_humidity())
        .map(Target::limit)
        .fold(f64::INFINITY, f64::min);
    let humid = humidity > humidity_limit - DRIEST_ABOVE_AIR;
    // On bare ground the ground comes first: dry air would not help. Behind a retarder damp air does: little evaporates,
    // and the little that the retarder lets through is a large share of it.
    let bare = matches!(watch.job.slab.underside, Underside::BareGround);
    // It is the cause only if it was frozen most of the run, not just most of a short stay.
    if hours.frozen > MOST * hours.total {
        NotDryReason::FrozenMachine {
            share: hours.frozen_share(),
        }
    } else if ground_share > MOST && (bare || !humid) {
        NotDryReason::WetGround {
            share: ground_share,
        }
    } else if humid {
        NotDryReason::HumidAir {
            humidity,
            last_days: r.time / DAY,
        }
    } else {
        NotDryReason::OutOfTime {
            days: (watch.job.give_up - watch.job.gear_on) / DAY,
            recent_drop: r.first_reading.unwrap_or(0.0) - watch.ruling(),
            last_days: r.time / DAY,
        }
    }
}
