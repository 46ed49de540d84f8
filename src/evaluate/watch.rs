//! Follows one run step by step: energy, water, hours, what charts show, and when its targets are met.

use super::limits::{CARBON_DIOXIDE, HOT, TOO_COLD};
use super::outcome::{Energy, Hours, Record};
use super::tracker::TargetTracker;
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
/// What is summed up until the targets are met.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Tally {
    pub(super) energy: Energy,
    /// Water that left the slab \[kg\].
    pub(super) water: f64,
    /// Time with a difference of humidity between depth and air, and the same weighed with the share of it at the face \[s\].
    pub(super) face_share: (f64, f64),
    pub(super) hours: Hours,
    /// Sums over the hours outside of a published range: temperature and relative humidity times hours.
    outside_range: (f64, f64),
}

impl Tally {
    /// Mean air of the room while some machine was outside the published range of its data.
    pub(super) fn air_outside_range(&self) -> Option<(f64, f64)> {
        let hours = self.hours.outside_range;
        let (temperature, humidity) = self.outside_range;
        (hours > 0.0).then(|| (temperature / hours, humidity / hours))
    }

    /// Between two tallies.
    fn between(self, later: &Self, share: f64) -> Self {
        let mix = |a: f64, b: f64| a + share * (b - a);
        let (e, h) = (&self.energy, &self.hours);
        let (f, g) = (&later.energy, &later.hours);
        Self {
            energy: Energy {
                electricity: mix(e.electricity, f.electricity),
                fuels: std::array::from_fn(|k| mix(e.fuels[k], f.fuels[k])),
            },
            water: mix(self.water, later.water),
            face_share: (
                mix(self.face_share.0, later.face_share.0),
                mix(self.face_share.1, later.face_share.1),
            ),
            hours: Hours {
                total: mix(h.total, g.total),
                near_dew_point: mix(h.near_dew_point, g.near_dew_point),
                outside_range: mix(h.outside_range, g.outside_range),
                dehumidifier: mix(h.dehumidifier, g.dehumidifier),
                frozen: mix(h.frozen, g.frozen),
                starved: mix(h.starved, g.starved),
                cold: mix(h.cold, g.cold),
                hot: mix(h.hot, g.hot),
                carbon_dioxide: mix(h.carbon_dioxide, g.carbon_dioxide),
            },
            outside_range: (
                mix(self.outside_range.0, later.outside_range.0),
                mix(self.outside_range.1, later.outside_range.1),
            ),
        }
    }
}

/// Collects what a run shows.
pub(super) struct Watch<'a> {
    pub(super) job: &'a Job,
    pub(super) setup: &'a Setup,
    pub(super) targets: &'a [Target],
    tracker: TargetTracker<'a>,
    pub(super) reached: Option<f64>,
    /// The slab on the day on which the targets were met.
    pub(super) dry: Option<Simulation>,
    end: f64,
    /// It goes on to this time at least \[s\].
    at_least: f64,
    /// Whether it has seen enough.
    pub(super) over: bool,
    pub(super) tally: Tally,
    /// The tally after each step since it has been open whether the floor is dry.
    tallies: Vec<(f64, Tally)>,
    pub(super) recent: Recent,
    pub(super) records: Vec<Record>,
    next_record: f64,
    pub(super) profiles: Vec<(f64, Vec<(f64, f64)>)>,
    next_profile: f64,
    pub(super) fault: Option<SimulationFault>,
}

/// Sums over the last 30 days before the horizon, or all days if there are fewer.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Recent {
    pub(super) time: f64,
    pub(super) evaporation: f64,
    pub(super) from_ground: f64,
    pub(super) air_humidity: f64,
    pub(super) first_reading: Option<f64>,
}

impl<'a> Watch<'a> {
    /// For a setup of a job, whose floor must show these targets.
    pub(super) fn new(job: &'a Job, setup: &'a Setup, targets: &'a [Target]) -> Self {
        Self {
            job,
            setup,
            targets,
            tracker: TargetTracker::new(job, targets),
            reached: None,
            dry: None,
            end: job.give_up,
            at_least: 0.0,
            over: false,
            tally: Tally::default(),
            tallies: Vec::new(),
            recent: Recent::default(),
            records: Vec::new(),
            next_record: 0.0,
            profiles: Vec::new(),
            next_profile: 0.0,
            fault: None,
        }
    }

    /// The same, going on to a time at least \[s\].
    pub(super) fn until(mut self, time: f64) -> Self {
        self.at_least = time;
        self
    }

    pub(super) fn day(&self, time: f64) -> f64 {
        (time - self.job.gear_on) / DAY
    }

    pub(super) fn ruling(&self) -> f64 {
        self.tracker.ruling()
    }

    /// The first moment at which readings count, once all that happens at it is done.
    pub(super) fn first_moment(&mut self, slab: &Snapshot<'_>) {
        let read = self.tracker.first_moment(slab);
        self.fault = self.fault.take().or(read.err());
    }

    pub(super) fn see(&mut self, slab: &Snapshot<'_>, p: &Progress) -> ControlFlow<()> {
        let time = slab.time();
        let before = self.reached.is_none();
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
            self.tallies.push((time, self.tally));
        }
        let day = self.day(time);
        let kept = day >= self.next_record || self.records.is_empty();
        match self.tracker.see(slab, kept) {
            Ok(()) if before => self.look_for_target(),
            Ok(()) => {}
            Err(fault) => self.fault = Some(fault),
        }
        if kept {
            self.next_record = (day / RECORD_EVERY).floor() * RECORD_EVERY + RECORD_EVERY;
            self.records.push(Record {
                day,
                // They are known when the run is over.
                readings: Vec::new(),
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

    fn look_for_target(&mut self) {
        let Some(moment) = self.tracker.reached() else {
            let open = self.tracker.open_since();
            let over = self.tallies.partition_point(|(time, _)| *time < open);
            self.tallies.drain(..over.saturating_sub(1));
            return;
        };
        self.reached = Some(moment);
        self.dry = self.tracker.slab_from(moment);
        self.tally = self.tally_at(moment);
        self.tallies = Vec::new();
        let days = self.day(moment);
        let glow = (AFTERGLOW.0 * days + AFTERGLOW.1) * DAY;
        let enough = moment + glow.max(self.job.look_on);
        self.end = self.end.min(enough.max(self.at_least));
    }

    fn tally_at(&self, moment: f64) -> Tally {
        let place = self.tallies.partition_point(|(time, _)| *time < moment);
        let after = self.tallies.get(place);
        let before = place.checked_sub(1).and_then(|p| self.tallies.get(p));
        match (before, after) {
            (Some((t0, a)), Some((t1, b))) => a.between(b, (moment - t0) / (t1 - t0)),
            // Nothing is counted before the first step.
            (None, Some(_)) => Tally::default(),
            _ => self.tally,
        }
    }

    /// Ends the run, the slab being as it is now.
    pub(super) fn finish(&mut self, slab: &Simulation) {
        if self.fault.is_none() {
            self.fault = self.tracker.finish().err();
        }
        if self.reached.is_none() {
            self.look_for_target();
        }
        if self.reached.is_some() && self.dry.is_none() {
            self.dry = Some(slab.clone());
        }
        for (record, readings) in self.records.iter_mut().zip(self.tracker.course()) {
            record.readings = readings;
        }
    }

    fn count(&mut self, slab: &Snapshot<'_>, p: &Progress, air: &MoistAir, at_face: f64) {
        let room = &self.setup.room;
        let machines = &p.exchange.machines;
        let hours = p.length / HOUR;
        self.tally.water += p.evaporation * p.length * room.area;
        self.tally.energy.electricity += machines.electricity * p.length;
        if machines.fuel > 0.0 {
            self.add_fuels(slab, p);
        }
        // Share of the way from depth to air that lies outside the topmost cell.
        let top = slab.profile().next().map_or(0.0, |(_, h, ..)| h);
        let depth = slab.humidity_at(crate::moisture_tests::probe_depth(slab, None));
        if depth > at_face {
            let share = ((top - at_face) / (depth - at_face)).clamp(0.0, 1.0);
            self.tally.face_share.0 += share * p.length;
            self.tally.face_share.1 += p.length;
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
        let h = &mut self.tally.hours;
        h.total += hours;
        let when = |holds: bool, counter: &mut f64| {
            if holds {
                *counter += hours;
            }
        };
        let c = machines.condition;
        let middle = slab.time() - 0.5 * p.length;
        let present = room
            .machines
            .iter()
            .filter(|m| m.present.0 <= middle && middle < m.present.1);
        when(
            present.clone().any(|m| m.machine.dries_air()),
            &mut h.dehumidifier,
        );
        when(
            present
                .filter_map(|m| m.machine.heat_wanted())
                .any(|wanted| air.temperature < wanted - TOO_COLD),
            &mut h.cold,
        );
        when(
            face_temperature < air.condensation_point() + super::DEW_POINT_MARGIN,
            &mut h.near_dew_point,
        );
        if c.contains(Condition::OUTSIDE_PUBLISHED_RANGE) {
            h.outside_range += hours;
            self.tally.outside_range.0 += hours * air.temperature;
            self.tally.outside_range.1 += hours * air.relative_humidity();
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
        for (total, part) in self.tally.energy.fuels.iter_mut().zip(parts) {
            *total += part / sum * p.exchange.machines.fuel * p.length;
        }
    }
}
