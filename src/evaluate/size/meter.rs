//! Follows the water in the room's air, step by step. Symbols and equations: see the head of `size`.

use super::load::LoadStep;
use super::rules::burners;
use crate::air::MoistAir;
use crate::gear::{Condition, Effect};
use crate::job::Setup;
use crate::room::Room;
use crate::simulation::{Progress, Snapshot};
use crate::weather::OutsideAir;

/// Follows the water in the room's air.
pub(super) struct Meter<'a> {
    room: &'a Room,
    /// The same room with its dehumidifiers alone, in full run.
    full: Room,
    before: Option<(f64, f64)>,
    pub(super) steps: Vec<LoadStep>,
}

impl<'a> Meter<'a> {
    pub(super) fn new(setup: &'a Setup) -> Self {
        let mut full = setup.room.clone();
        full.machines.retain(|m| m.machine.dries_air());
        for m in &mut full.machines {
            m.machine = m.machine.in_full_run();
        }
        Self {
            room: &setup.room,
            full,
            before: None,
            steps: Vec::new(),
        }
    }

    pub(super) fn read(&mut self, slab: &Snapshot<'_>, p: &Progress) {
        let Some(outside) = p.outside else { return };
        let (temperature, humidity_ratio) = slab.air();
        let middle = slab.time() - 0.5 * p.length;
        let here = (temperature, humidity_ratio);
        let vapour = p.exchange.machines.vapour;
        let combustion = self.combustion(p, here, &outside, slab.time());
        let active = self.full.at(middle);
        let full = active.during(&outside, slab.time() - p.length, slab.time());
        let capacity_at =
            |(t, w): (f64, f64)| -> f64 { -full.effects(t, w).map(|e| e.vapour).sum::<f64>() };
        let capacity = 0.5 * (capacity_at(self.before.unwrap_or(here)) + capacity_at(here));
        let present = !active.machines().is_empty();
        let by_outside_air = p.exchange.by_outside_air;
        self.steps.push(LoadStep {
            time: slab.time(),
            length: p.length,
            slab: p.evaporation * self.room.area,
            outside_air: by_outside_air,
            combustion,
            other: p.exchange.by_sources,
            envelope: -p.exchange.condensed,
            removed: (combustion - vapour).max(0.0),
            capacity,
            temperature,
            humidity_ratio,
            relative_humidity: MoistAir {
                temperature,
                humidity_ratio,
                pressure: self.room.pressure,
            }
            .relative_humidity(),
            condition: if present {
                p.exchange.machines.condition
            } else {
                Condition::NONE
            },
            present,
        });
        self.before = Some(here);
    }

    /// Vapour from burners: their carbon dioxide, which nothing else makes, times the ratio of the two at the end of the
    /// step. With one fuel the ratio is a constant and the result exact.
    fn combustion(&self, p: &Progress, (t, w): (f64, f64), outside: &OutsideAir, end: f64) -> f64 {
        let carbon_dioxide = p.exchange.machines.carbon_dioxide;
        if carbon_dioxide <= 0.0 {
            return 0.0;
        }
        let active = self.room.at(end - 0.5 * p.length);
        let now: Effect = active
            .during(outside, end - p.length, end)
            .effects(t, w)
            .filter(|e| e.carbon_dioxide > 0.0)
            .sum();
        let ratio = if now.carbon_dioxide > 0.0 {
            now.vapour / now.carbon_dioxide
        } else {
            // Off at the end of the step: the fuels by their full fire.
            let (water, gas) =
                burners(active.machines()).fold((0.0, 0.0), |(water, gas), (fuel, power)| {
                    (
                        water + power * fuel.water_per_gross_energy(),
                        gas + power * fuel.carbon_dioxide_per_gross_energy(),
                    )
                });
            if gas > 0.0 { water / gas } else { 0.0 }
        };
        carbon_dioxide * ratio
    }
}
