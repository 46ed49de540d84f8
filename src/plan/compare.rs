//! Runs the setups of a job side by side and ranks them.

use super::outcome::{Energy, Hours, LimitedBy, Never, Outcome, Record};
use super::under_film::under_film;
use crate::air::{self, MoistAir};
use crate::column::Tolerance;
use crate::floor_tests::Target;
use crate::gear::Condition;
use crate::scenario::build::{Action, Event, Job, Setup, fuel_index};
use crate::season::{
    Climate, DAY, HOUR, LONGEST_STEP, Progress, Resolution, SeasonFault, Simulation, Snapshot,
    Underside,
};
use rayon::prelude::*;
use std::ops::ControlFlow;

/// Condensation margin on the coating day \[K\]: ISO 8502-4.
pub const DEW_POINT_MARGIN: f64 = crate::scenario::coating_window::DEW_POINT_MARGIN;
/// Air in which people should not work without heat precautions \[degC\] (engineering judgement; codes decide).
const HOT: f64 = 35.0;
/// Carbon dioxide limit for workers, 5000 ppm by volume (OSHA PEL), as kg per m3 at room temperature.
const CARBON_DIOXIDE_LIMIT: f64 = 5000e-6 * 1.83;
/// Carbon dioxide of outside air, 420 ppm by volume, in the same unit.
const CARBON_DIOXIDE_OUTSIDE: f64 = 420e-6 * 1.83;
/// The lines of a chart go on a little beyond the target: share of the days, and days.
const AFTERGLOW: (f64, f64) = (0.08, 2.0);
/// Interval of records for charts \[days\].
const RECORD_EVERY: f64 = 0.25;
/// Span over which the end of a run is judged \[s\].
const LAST_SPAN: f64 = 30.0 * DAY;
/// A share from which something is called the cause.
const MOST: f64 = 0.5;
/// How far above its air's relative humidity a slab stays for a season (engineering judgement, for the words only).
const DRIEST_ABOVE_AIR: f64 = 0.03;
/// A costly test is not simulated while the plain surface flux is this many times its limit.
const WORTH_A_DISH: f64 = 5.0;

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

/// Runs every setup and returns the outcomes, best first: soonest, then cheapest; those that never get there
/// last, the one nearest to its targets first.
#[must_use]
pub fn compare(job: &Job, accuracy: Accuracy) -> Vec<Outcome> {
    let prepared = prepare(job, accuracy);
    let mut outcomes: Vec<Outcome> = job
        .setups
        .par_iter()
        .map(|setup| match &prepared {
            Ok(start) => run_setup(job, setup, start),
            Err(fault) => failed(job, setup, fault),
        })
        .collect();
    outcomes.sort_by(|a, b| {
        let key = |o: &Outcome| o.days_to_target.unwrap_or(f64::INFINITY);
        key(a).total_cmp(&key(b)).then_with(|| {
            if a.days_to_target.is_some() {
                a.cost.total_cmp(&b.cost)
            } else {
                let left = |o: &Outcome| {
                    o.records
                        .last()
                        .map_or(f64::INFINITY, |r| ruling(&r.readings, &job.targets))
                };
                left(a).total_cmp(&left(b))
            }
        })
    });
    outcomes
}

/// The slab on the day drying starts: cured, exposed, wetted as the scenario says.
///
/// # Errors
/// When the solver gives up.
pub fn prepare(job: &Job, accuracy: Accuracy) -> Result<Simulation, SeasonFault> {
    let bare = &job.room;
    let mut simulation = Simulation::new(
        &job.slab,
        bare.store(),
        job.first_skin,
        accuracy.resolution,
        accuracy.tolerance,
    );
    simulation.set_longest_step(accuracy.longest_step);
    simulation.set_film_factor(job.film_factor);
    let mut closed = false;
    let mut ignore = |_: &Snapshot<'_>, _: &Progress| ControlFlow::Continue(());
    for event in &job.events {
        if event.time > job.drying_starts {
            break;
        }
        let _ = advance(&mut simulation, event.time, closed, job, bare, &mut ignore)?;
        apply(&mut simulation, *event, &mut closed, job, bare);
    }
    let _ = advance(
        &mut simulation,
        job.drying_starts,
        closed,
        job,
        bare,
        &mut ignore,
    )?;
    Ok(simulation)
}

/// The ruling reading: the one furthest above its limit, as a share of the limit.
fn ruling(readings: &[f64], targets: &[Target]) -> f64 {
    readings
        .iter()
        .zip(targets)
        .map(|(r, t)| r / t.limit())
        .fold(0.0, f64::max)
}

fn advance(
    simulation: &mut Simulation,
    until: f64,
    closed: bool,
    job: &Job,
    room: &crate::room::Room,
    observe: &mut dyn FnMut(&Snapshot<'_>, &Progress) -> ControlFlow<()>,
) -> Result<ControlFlow<()>, SeasonFault> {
    let climate = if closed {
        Climate::Room(room, &job.weather)
    } else {
        Climate::OpenShell(&job.weather)
    };
    simulation.advance(until, climate, observe)
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

/// Collects what a run shows.
struct Watch<'a> {
    job: &'a Job,
    setup: &'a Setup,
    readings: Vec<f64>,
    previous: Option<(f64, Vec<f64>)>,
    next_costly: f64,
    reached: Option<f64>,
    /// The slab after the step in which the targets were met.
    dry: Option<Simulation>,
    end: f64,
    energy: Energy,
    water: f64,
    face_share: (f64, f64),
    recent: Recent,
    hours: Hours,
    records: Vec<Record>,
    next_record: f64,
    profiles: Vec<(f64, Vec<(f64, f64)>)>,
    next_profile: f64,
    fault: Option<SeasonFault>,
}

/// Sums over the last 30 days of the look-out, or all of it if it is shorter.
#[derive(Clone, Copy, Debug, Default)]
struct Recent {
    time: f64,
    evaporation: f64,
    from_ground: f64,
    air_humidity: f64,
    first_reading: Option<f64>,
}

impl Watch<'_> {
    fn day(&self, time: f64) -> f64 {
        (time - self.job.drying_starts) / DAY
    }

    fn ruling(&self) -> f64 {
        ruling(&self.readings, &self.job.targets)
    }

    fn read(&mut self, slab: &Snapshot<'_>, evaporation: f64) {
        let time = slab.time();
        let costly_now = time >= self.next_costly;
        for (k, target) in self.job.targets.iter().enumerate() {
            let value = if target.is_costly() {
                if !costly_now {
                    continue;
                }
                if evaporation > WORTH_A_DISH * target.limit() {
                    Ok(evaporation)
                } else {
                    target.read(slab, evaporation)
                }
            } else {
                target.read(slab, evaporation)
            };
            match value {
                Ok(v) => self.readings[k] = v,
                Err(fault) => self.fault = Some(fault),
            }
        }
        if costly_now {
            self.next_costly = time + DAY;
        }
    }

    fn look_for_target(&mut self, time: f64) {
        if self.reached.is_some() {
            return;
        }
        let passes = self
            .readings
            .iter()
            .zip(&self.job.targets)
            .all(|(r, t)| *r <= t.limit())
            && time >= self.job.targets_from;
        if passes {
            // Linear between the last two readings, for the target that passed last.
            let mut moment = time;
            if let Some((before, old)) = &self.previous {
                moment = *before;
                for ((new, old), target) in self.readings.iter().zip(old).zip(&self.job.targets) {
                    let limit = target.limit();
                    if *old > limit {
                        let share = (old - limit) / (old - new);
                        moment = moment.max(before + share * (time - before));
                    }
                }
            }
            moment = moment.max(self.job.targets_from);
            self.reached = Some(moment);
            let days = self.day(moment);
            let glow = (AFTERGLOW.0 * days + AFTERGLOW.1) * DAY;
            self.end = self.end.min(moment + glow.max(self.job.look_on));
        }
        let costly = self.job.targets.iter().any(Target::is_costly);
        if !costly || time + DAY >= self.next_costly {
            self.previous = Some((time, self.readings.clone()));
        }
    }

    fn see(&mut self, slab: &Snapshot<'_>, p: &Progress) -> ControlFlow<()> {
        let time = slab.time();
        let before = self.reached.is_none();
        self.read(slab, p.evaporation);
        let (t, w) = slab.air();
        let room = &self.setup.room;
        let air = MoistAir {
            temperature: t,
            humidity_ratio: w,
            pressure: room.pressure,
        };
        let (_, face_temperature) = slab.face();
        let at_face = air.vapour_pressure() / air::saturation_pressure(face_temperature);
        if before {
            self.count(slab, p, &air, at_face);
        }
        self.look_for_target(time);
        if before && self.reached.is_some() {
            self.dry = Some(slab.fork());
        }
        let day = self.day(time);
        if day >= self.next_record || self.records.is_empty() {
            self.next_record = (day / RECORD_EVERY).floor() * RECORD_EVERY + RECORD_EVERY;
            self.records.push(Record {
                day,
                readings: self.readings.clone(),
                air_temperature: t,
                air_humidity: air.relative_humidity(),
                dew_point: air.dew_point(),
                face_temperature,
                evaporation: p.evaporation,
            });
        }
        if day >= self.next_profile {
            self.profiles
                .push((day, slab.profile().map(|(x, h, ..)| (x, h)).collect()));
            self.next_profile = day + (day * 0.1).max(1.0);
        }
        if self.fault.is_some() || time >= self.end {
            return ControlFlow::Break(());
        }
        ControlFlow::Continue(())
    }

    fn count(&mut self, slab: &Snapshot<'_>, p: &Progress, air: &MoistAir, at_face: f64) {
        let room = &self.setup.room;
        let machines = &p.exchange.machines;
        let hours = p.length / HOUR;
        self.water += p.evaporation * p.length * room.area;
        self.energy.electricity += machines.electricity * p.length;
        if machines.fuel > 0.0 {
            self.add_fuels(slab, p);
        }
        // Share of the way from depth to air that lies outside the topmost cell.
        let top = slab.profile().next().map_or(0.0, |(_, h, ..)| h);
        let depth = slab.humidity_at(crate::floor_tests::probe_depth(slab, None));
        if depth > at_face {
            let share = ((top - at_face) / (depth - at_face)).clamp(0.0, 1.0);
            self.face_share.0 += share * p.length;
            self.face_share.1 += p.length;
        }
        if self.job.give_up - slab.time() <= LAST_SPAN {
            let ruling = self.ruling();
            let r = &mut self.recent;
            r.time += p.length;
            r.evaporation += p.evaporation * p.length;
            r.from_ground += p.from_ground * p.length;
            r.air_humidity += at_face * p.length;
            r.first_reading.get_or_insert(ruling);
        }
        let (_, face_temperature) = slab.face();
        let h = &mut self.hours;
        h.total += hours;
        let when = |holds: bool, counter: &mut f64| {
            if holds {
                *counter += hours;
            }
        };
        let c = machines.condition;
        when(
            face_temperature < air.condensation_point() + DEW_POINT_MARGIN,
            &mut h.near_dew_point,
        );
        when(
            c.contains(Condition::OUTSIDE_PUBLISHED_RANGE),
            &mut h.outside_range,
        );
        when(
            c.contains(Condition::FROSTED) || c.contains(Condition::STOPPED),
            &mut h.frozen,
        );
        when(c.contains(Condition::STARVED), &mut h.starved);
        when(air.temperature > HOT, &mut h.hot);
        // Well-mixed balance of the carbon dioxide of burners and people against all outside air.
        let carbon_dioxide = machines.carbon_dioxide + p.exchange.carbon_dioxide_of_people;
        if carbon_dioxide > 0.0 {
            let flow = p.exchange.fresh_air / air.density_of_dry_air();
            let density = CARBON_DIOXIDE_OUTSIDE + carbon_dioxide / flow.max(1e-9);
            when(density > CARBON_DIOXIDE_LIMIT, &mut h.carbon_dioxide);
        }
    }

    /// Shares the fuel among the kinds of burner present.
    fn add_fuels(&mut self, slab: &Snapshot<'_>, p: &Progress) {
        let Some(outside) = p.outside else { return };
        let (from, until) = (slab.time() - p.length, slab.time());
        let (t, w) = slab.air();
        let active = self.setup.room.at(0.5 * (from + until));
        let room = active.during(&outside, from, until);
        let mut by_kind = [0.0; 4];
        for (installed, effect) in active.machines().iter().zip(room.effects(t, w)) {
            let entry = self
                .setup
                .room
                .machines
                .iter()
                .position(|m| std::ptr::eq(m, *installed));
            let fuel = entry
                .and_then(|k| self.setup.rentals.get(k))
                .and_then(|r| r.fuel);
            if let Some(fuel) = fuel {
                by_kind[fuel_index(fuel)] += effect.fuel;
            }
        }
        let sum: f64 = by_kind.iter().sum();
        for (total, part) in self.energy.fuels.iter_mut().zip(by_kind) {
            let share = if sum > 0.0 { part / sum } else { 0.25 };
            *total += share * p.exchange.machines.fuel * p.length;
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
    times.retain(|t| *t > job.drying_starts && *t <= job.give_up);
    times.sort_by(f64::total_cmp);
    times.dedup();
    times
}

/// Runs one setup from the prepared slab.
#[must_use]
pub fn run_setup(job: &Job, setup: &Setup, start: &Simulation) -> Outcome {
    let (mut outcome, dry) = follow(job, setup, start, &mut |_, _| {});
    match dry.as_ref().map(under_film).transpose() {
        Ok(film) => outcome.under_film = film,
        Err(fault) => return failed(job, setup, &fault),
    }
    outcome
}

/// Runs one setup from the prepared slab, without what would come under a film: less than half the work.
#[must_use]
pub fn run_without_film(job: &Job, setup: &Setup, start: &Simulation) -> Outcome {
    follow(job, setup, start, &mut |_, _| {}).0
}

/// As [`run_without_film`]; `also` sees every step.
#[must_use]
pub fn run_observed(
    job: &Job,
    setup: &Setup,
    start: &Simulation,
    also: &mut dyn FnMut(&Snapshot<'_>, &Progress),
) -> Outcome {
    follow(job, setup, start, also).0
}

/// The outcome, and the slab as it was when the targets were met.
fn follow(
    job: &Job,
    setup: &Setup,
    start: &Simulation,
    also: &mut dyn FnMut(&Snapshot<'_>, &Progress),
) -> (Outcome, Option<Simulation>) {
    let mut simulation = start.clone();
    let outside = job.weather.at(job.drying_starts);
    let temperature = job.start_temperature.unwrap_or(outside.temperature);
    let saturated = MoistAir::from_relative_humidity(temperature, 1.0, setup.room.pressure);
    simulation.enter_room(
        &setup.room,
        temperature,
        outside.humidity_ratio.min(saturated.humidity_ratio),
    );
    let mut watch = Watch {
        job,
        setup,
        readings: vec![f64::INFINITY; job.targets.len()],
        previous: None,
        next_costly: 0.0,
        reached: None,
        dry: None,
        end: job.give_up,
        energy: Energy::default(),
        water: 0.0,
        face_share: (0.0, 0.0),
        recent: Recent::default(),
        hours: Hours::default(),
        records: Vec::new(),
        next_record: 0.0,
        profiles: Vec::new(),
        next_profile: 0.0,
        fault: None,
    };
    let mut fault = None;
    let mut closed = true;
    for time in boundaries(job, setup) {
        let run = simulation.advance(
            time,
            Climate::Room(&setup.room, &job.weather),
            &mut |slab, progress| {
                also(slab, progress);
                watch.see(slab, progress)
            },
        );
        match run {
            Ok(ControlFlow::Break(())) => break,
            Ok(ControlFlow::Continue(())) => {}
            Err(f) => {
                fault = Some(f);
                break;
            }
        }
        for event in job.events.iter().filter(|e| e.time == time) {
            if event.action != Action::CloseIn {
                apply(&mut simulation, *event, &mut closed, job, &setup.room);
            }
        }
    }
    let fault = fault.or_else(|| watch.fault.take());
    if let Some(fault) = fault {
        return (failed(job, setup, &fault), None);
    }
    let dry = watch.dry.take();
    (conclude(watch, &simulation), dry)
}

fn conclude(watch: Watch<'_>, simulation: &Simulation) -> Outcome {
    let (job, setup) = (watch.job, watch.setup);
    let (water_balance_error, heat_balance_error) = simulation.balance_errors();
    let reached = watch.reached;
    let end = reached.unwrap_or(simulation.time());
    let face_share = watch.face_share.0 / watch.face_share.1.max(1.0);
    // A share of what evaporates means something only while water evaporates.
    let ground_share = if watch.recent.evaporation > 0.0 {
        watch.recent.from_ground / watch.recent.evaporation
    } else {
        0.0
    };
    let never = reached.is_none().then(|| never(&watch, ground_share));
    let limited_by = if matches!(never, Some(Never::WetGround { .. })) {
        LimitedBy::Ground
    } else if face_share > MOST {
        LimitedBy::Face
    } else {
        LimitedBy::Depth
    };
    let rental = setup
        .rentals
        .iter()
        .map(|r| {
            let days = ((r.present.1.min(end) - r.present.0.max(job.drying_starts)) / DAY).ceil();
            r.per_day * days.max(0.0)
        })
        // Not `sum`, which makes minus zero of nothing.
        .fold(0.0, |total, rent| total + rent);
    let mut cost = rental;
    let mut cost_incomplete = setup.unpriced;
    let mut charge = |energy: f64, price: Option<f64>| {
        if energy > 0.0 {
            match price {
                Some(p) => cost += energy * p,
                None => cost_incomplete = true,
            }
        }
    };
    charge(watch.energy.electricity, job.prices.electricity);
    for (energy, price) in watch.energy.fuels.iter().zip(job.prices.fuels) {
        charge(*energy, price);
    }
    let date = reached.map(|t| job.date(t));
    Outcome {
        name: setup.name.clone(),
        days_to_target: reached.map(|t| watch.day(t)),
        date,
        meets_needed_by: job.needed_by.map(|by| date.is_some_and(|d| d <= by)),
        never,
        energy: watch.energy,
        cost,
        rental,
        delay_cost: delay_cost(job, date),
        cost_incomplete,
        water_removed: watch.water,
        limited_by,
        face_share,
        water_balance_error,
        heat_balance_error,
        hours: watch.hours,
        odds: None,
        under_film: None,
        records: watch.records,
        profiles: watch.profiles,
        work: simulation.work(),
    }
}

fn delay_cost(job: &Job, date: Option<jiff::civil::Date>) -> Option<f64> {
    let (date, by, price) = (date?, job.needed_by?, job.prices.day_of_delay?);
    let late = crate::scenario::build::seconds_between(by, date) / DAY;
    Some(late.max(0.0) * price)
}

fn never(watch: &Watch<'_>, ground_share: f64) -> Never {
    let r = &watch.recent;
    let humidity = r.air_humidity / r.time.max(1.0);
    let frozen = watch.hours.frozen / watch.hours.total.max(1e-9);
    let humidity_limit = watch
        .job
        .targets
        .iter()
        .filter(|t| t.is_humidity())
        .map(Target::limit)
        .fold(f64::INFINITY, f64::min);
    let humid = humidity > humidity_limit - DRIEST_ABOVE_AIR;
    // On bare ground the ground comes first: dry air would not help. Behind a retarder damp air does: little evaporates,
    // and the little that the retarder lets through is a large share of it.
    let bare = matches!(watch.job.slab.underside, Underside::BareGround);
    if frozen > MOST {
        Never::FrozenMachine { share: frozen }
    } else if ground_share > MOST && (bare || !humid) {
        Never::WetGround {
            share: ground_share,
        }
    } else if humid {
        Never::HumidAir {
            humidity,
            last_days: r.time / DAY,
        }
    } else {
        Never::OutOfTime {
            days: (watch.job.give_up - watch.job.drying_starts) / DAY,
            recent_drop: r.first_reading.unwrap_or(0.0) - watch.ruling(),
            last_days: r.time / DAY,
        }
    }
}

/// The outcome of a setup that was not computed, with the fault in it.
pub(crate) fn failed(job: &Job, setup: &Setup, fault: &SeasonFault) -> Outcome {
    Outcome {
        name: setup.name.clone(),
        days_to_target: None,
        date: None,
        meets_needed_by: job.needed_by.map(|_| false),
        never: Some(Never::Solver(fault.to_string())),
        energy: Energy::default(),
        cost: 0.0,
        rental: 0.0,
        delay_cost: None,
        cost_incomplete: false,
        water_removed: 0.0,
        limited_by: LimitedBy::Depth,
        face_share: 0.0,
        water_balance_error: 0.0,
        heat_balance_error: 0.0,
        hours: Hours::default(),
        odds: None,
        under_film: None,
        records: Vec::new(),
        profiles: Vec::new(),
        work: (0, 0),
    }
}
