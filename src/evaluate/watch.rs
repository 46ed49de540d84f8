//! Follows one run step by step: readings, energy, water, hours and what charts show.

use super::limits::{CARBON_DIOXIDE, HOT};
use super::outcome::{Energy, Hours, Record};
use crate::air::{self, MoistAir};
use crate::gear::Condition;
use crate::job::{Job, Setup, fuel_index};
use crate::moisture_tests::Target;
use crate::room::Room;
use crate::simulation::{Progress, Simulation, SimulationFault, Snapshot};
use crate::units::{DAY, HOUR};
use std::ops::ControlFlow;

/// Carbon dioxide at 20 degC and 101 325 Pa \[kg/m3\]: molar mass over the molar volume of an ideal gas.
const CARBON_DIOXIDE_DENSITY: f64 = 1.83;
/// The lines of a chart go on a little beyond the target: share of the days, and days.
const AFTERGLOW: (f64, f64) = (0.08, 2.0);
/// Interval of records for charts \[days\].
const RECORD_EVERY: f64 = 0.25;
/// Span over which the end of a run is judged \[s\].
const LAST_SPAN: f64 = 30.0 * DAY;
/// The dish is not simulated while the face gives the room this many times its limit. The salt is drier than any room and
/// its spot is ground, so that it draws as much as the face gives until the dome holds it back, and the dome lets a wet face
/// of 20 degC give some 125 g/(m2 day): more than any limit that is asked for (15 to 25 g/(m2 day)).
const WORTH_A_DISH: f64 = 5.0;

/// The readings of one target.
#[derive(Clone, Copy, Debug)]
struct Course {
    /// Time and value of the last reading.
    last: Option<(f64, f64)>,
    /// Since when readings have been at or below the limit: where the straight line between the two readings crosses it.
    met: Option<f64>,
}

impl Course {
    fn add(&mut self, time: f64, value: f64, limit: f64) {
        self.met = (value <= limit).then(|| match (self.met, self.last) {
            (Some(met), _) => met,
            (None, Some((before, old))) => before + (old - limit) / (old - value) * (time - before),
            (None, None) => time,
        });
        self.last = Some((time, value));
    }

    fn value(&self) -> f64 {
        self.last.map_or(f64::INFINITY, |(_, value)| value)
    }
}

/// Collects what a run shows.
pub(super) struct Watch<'a> {
    pub(super) job: &'a Job,
    pub(super) setup: &'a Setup,
    /// One for each target.
    courses: Vec<Course>,
    next_costly: f64,
    pub(super) reached: Option<f64>,
    /// The slab after the step in which the targets were met.
    pub(super) dry: Option<Simulation>,
    end: f64,
    pub(super) energy: Energy,
    pub(super) water: f64,
    pub(super) face_share: (f64, f64),
    pub(super) recent: Recent,
    pub(super) hours: Hours,
    /// Sums over the hours outside of a published range: temperature and relative humidity times hours.
    outside_range: (f64, f64),
    pub(super) records: Vec<Record>,
    next_record: f64,
    pub(super) profiles: Vec<(f64, Vec<(f64, f64)>)>,
    next_profile: f64,
    pub(super) fault: Option<SimulationFault>,
}

/// Sums over the last 30 days of the look-out, or all of it if it is shorter.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Recent {
    pub(super) time: f64,
    pub(super) evaporation: f64,
    pub(super) from_ground: f64,
    pub(super) air_humidity: f64,
    pub(super) first_reading: Option<f64>,
}

/// The ruling reading: the one furthest above its limit, as a share of the limit.
pub(super) fn ruling(readings: impl Iterator<Item = f64>, targets: &[Target]) -> f64 {
    readings
        .zip(targets)
        .map(|(r, t)| r / t.limit())
        .fold(0.0, f64::max)
}

impl<'a> Watch<'a> {
    pub(super) fn new(job: &'a Job, setup: &'a Setup) -> Self {
        let unread = Course {
            last: None,
            met: None,
        };
        Self {
            job,
            setup,
            courses: vec![unread; job.targets.len()],
            next_costly: 0.0,
            reached: None,
            dry: None,
            end: job.give_up,
            energy: Energy::default(),
            water: 0.0,
            face_share: (0.0, 0.0),
            recent: Recent::default(),
            hours: Hours::default(),
            outside_range: (0.0, 0.0),
            records: Vec::new(),
            next_record: 0.0,
            profiles: Vec::new(),
            next_profile: 0.0,
            fault: None,
        }
    }

    pub(super) fn day(&self, time: f64) -> f64 {
        (time - self.job.drying_starts) / DAY
    }

    /// Mean air of the room while some machine was outside the published range of its data.
    pub(super) fn air_outside_range(&self) -> Option<(f64, f64)> {
        let hours = self.hours.outside_range;
        let (temperature, humidity) = self.outside_range;
        (hours > 0.0).then(|| (temperature / hours, humidity / hours))
    }

    pub(super) fn ruling(&self) -> f64 {
        ruling(self.courses.iter().map(Course::value), &self.job.targets)
    }

    fn read(&mut self, slab: &Snapshot<'_>, evaporation: f64) {
        let time = slab.time();
        let costly_now = time >= self.next_costly;
        for (target, course) in self.job.targets.iter().zip(&mut self.courses) {
            if target.is_costly() && !costly_now {
                continue;
            }
            let value = match *target {
                Target::EmissionRate { limit } if evaporation > WORTH_A_DISH * limit => {
                    Ok(evaporation)
                }
                _ => target.read(slab, evaporation),
            };
            match value {
                Ok(value) => course.add(time, value, target.limit()),
                Err(fault) => self.fault = Some(fault),
            }
        }
        if costly_now {
            self.next_costly = time + DAY;
        }
    }

    fn look_for_target(&mut self, time: f64) {
        if self.reached.is_some() || time < self.job.targets_from {
            return;
        }
        // All are met from the moment at which the last of them was.
        let mut moment = self.job.targets_from;
        for course in &self.courses {
            let Some(met) = course.met else { return };
            moment = moment.max(met);
        }
        self.reached = Some(moment);
        let days = self.day(moment);
        let glow = (AFTERGLOW.0 * days + AFTERGLOW.1) * DAY;
        self.end = self.end.min(moment + glow.max(self.job.look_on));
    }

    pub(super) fn see(&mut self, slab: &Snapshot<'_>, p: &Progress) -> ControlFlow<()> {
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
                readings: self.courses.iter().map(Course::value).collect(),
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
        let depth = slab.humidity_at(crate::moisture_tests::probe_depth(slab, None));
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
        let middle = slab.time() - 0.5 * p.length;
        when(
            room.machines
                .iter()
                .any(|m| m.machine.dries_air() && m.present.0 <= middle && middle < m.present.1),
            &mut h.dehumidifier,
        );
        when(
            face_temperature < air.condensation_point() + super::DEW_POINT_MARGIN,
            &mut h.near_dew_point,
        );
        if c.contains(Condition::OUTSIDE_PUBLISHED_RANGE) {
            h.outside_range += hours;
            self.outside_range.0 += hours * air.temperature;
            self.outside_range.1 += hours * air.relative_humidity();
        }
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
            let (limit, outside) = CARBON_DIOXIDE;
            let share = outside + carbon_dioxide / flow.max(1e-9) / CARBON_DIOXIDE_DENSITY;
            when(share > limit, &mut h.carbon_dioxide);
        }
    }

    /// Shares the fuel of a step among the kinds of burner present: as they burn at its end; where all are off by then, by
    /// their full fire; where that is nothing, evenly.
    fn add_fuels(&mut self, slab: &Snapshot<'_>, p: &Progress) {
        let Some(outside) = p.outside else { return };
        let (from, until) = (slab.time() - p.length, slab.time());
        let (t, w) = slab.air();
        let by_kind = |room: &Room, even: bool| -> [f64; 4] {
            let mut by_kind = [0.0; 4];
            let active = room.at(f64::midpoint(from, until));
            let step = active.during(&outside, from, until);
            for (installed, effect) in active.machines().iter().zip(step.effects(t, w)) {
                if let Some(fuel) = installed.machine.fuel() {
                    by_kind[fuel_index(fuel)] += if even { 1.0 } else { effect.fuel };
                }
            }
            by_kind
        };
        let burns = |by_kind: &[f64; 4]| by_kind.iter().any(|part| *part > 0.0);
        let mut parts = by_kind(&self.setup.room, false);
        if !burns(&parts) {
            let mut full = self.setup.room.clone();
            for m in &mut full.machines {
                m.machine = m.machine.in_full_run();
            }
            parts = by_kind(&full, false);
        }
        if !burns(&parts) {
            parts = by_kind(&self.setup.room, true);
        }
        let sum: f64 = parts.iter().sum();
        for (total, part) in self.energy.fuels.iter_mut().zip(parts) {
            *total += part / sum * p.exchange.machines.fuel * p.length;
        }
    }
}
