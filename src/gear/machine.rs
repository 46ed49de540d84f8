//! One machine of any kind.
//!
//! Computes nothing of its own: it hands each question to the kind of machine it holds. Symbols, equations, ranges, sources and tests
//! stand in the files of the kinds.

use super::assumed::AssumedAir;
use super::controls::Control;
use super::desiccant::{Desiccant, RegenerationHeat};
use super::effect::Effect;
use super::exchange::{ExchangeRule, OutsideAirExchange};
use super::fan::{Fan, Footprint, STILL_AIR};
use super::fuel::Fuel;
use super::heater::{DirectFired, Electric, IndirectFired, MakeUpAir};
use super::refrigerant::Refrigerant;
use super::{Supply, Surroundings};
use crate::units::System;

/// One machine of any kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Machine {
    /// Refrigerant dehumidifier.
    Refrigerant(Refrigerant),
    /// Desiccant dehumidifier.
    Desiccant(Desiccant),
    /// Electric heater.
    Electric(Electric),
    /// Indirect-fired heater.
    IndirectFired(IndirectFired),
    /// Direct-fired heater.
    DirectFired(DirectFired),
    /// Make-up-air heater.
    MakeUpAir(MakeUpAir),
    /// Fan.
    Fan(Fan),
    /// Outside-air exchange.
    OutsideAirExchange(OutsideAirExchange),
    /// Air held as a schedule assumed it; on no site.
    AssumedAir(AssumedAir),
}

impl Machine {
    /// Whether it is a heater of any kind.
    #[must_use]
    pub fn is_heater(&self) -> bool {
        matches!(
            self,
            Self::Electric(_) | Self::IndirectFired(_) | Self::DirectFired(_) | Self::MakeUpAir(_)
        )
    }

    /// What one machine does to the room's air in these surroundings.
    #[must_use]
    pub fn effect(&self, surroundings: &Surroundings) -> Effect {
        match self {
            Self::Refrigerant(machine) => machine.effect(surroundings),
            Self::Desiccant(machine) => machine.effect(surroundings),
            Self::Electric(machine) => machine.effect(surroundings),
            Self::IndirectFired(machine) => machine.effect(surroundings),
            Self::DirectFired(machine) => machine.effect(surroundings),
            Self::MakeUpAir(machine) => machine.effect(surroundings),
            Self::Fan(machine) => machine.effect(surroundings),
            Self::OutsideAirExchange(machine) => machine.effect(surroundings),
            Self::AssumedAir(assumed) => assumed.effect(surroundings),
        }
    }

    /// Mean air speed over the floor that one fan serves in full run, m/s; still air for other machines. Integrates: call it when a
    /// setup is built. For several fans on one floor use [`FloorAir`](super::fan::FloorAir).
    #[must_use]
    pub fn floor_air_speed(&self, footprint: Footprint) -> f64 {
        match self {
            Self::Fan(fan) => fan.mean_floor_air_speed(footprint),
            _ => STILL_AIR,
        }
    }

    /// Whether it is a dehumidifier.
    #[must_use]
    pub fn dries_air(&self) -> bool {
        matches!(self, Self::Refrigerant(_) | Self::Desiccant(_))
    }

    /// The temperature that a heater's thermostat asks for \[degC\]; `None` for other machines and without a thermostat.
    #[must_use]
    pub fn heat_wanted(&self) -> Option<f64> {
        let control = match self {
            Self::Electric(machine) => &machine.control,
            Self::IndirectFired(machine) => &machine.control,
            Self::DirectFired(machine) => &machine.control,
            Self::MakeUpAir(machine) => &machine.control,
            _ => return None,
        };
        control.thermostat.map(|thermostat| thermostat.setpoint)
    }

    /// The machine without thermostat and humidistat; a clock stays.
    #[must_use]
    pub fn in_full_run(mut self) -> Self {
        if let Some(control) = self.control_mut() {
            control.thermostat = None;
            control.humidistat = None;
        }
        self
    }

    /// The fuel that it burns; `None` for machines without a burner.
    #[must_use]
    pub fn fuel(&self) -> Option<Fuel> {
        match self {
            Self::IndirectFired(heater) => Some(heater.fuel),
            Self::DirectFired(heater) => Some(heater.fuel),
            Self::MakeUpAir(heater) => Some(heater.fuel),
            Self::Desiccant(wheel) => match wheel.regeneration_heat {
                RegenerationHeat::Burner { fuel, .. } => Some(fuel),
                RegenerationHeat::Electric => None,
            },
            _ => None,
        }
    }

    /// Electrical power in full run by the rating, W.
    #[must_use]
    pub fn rated_power(&self) -> f64 {
        match self {
            Self::Refrigerant(machine) => machine.rated_power(),
            Self::Desiccant(machine) => machine.rated_power,
            Self::Electric(machine) => machine.power,
            Self::IndirectFired(machine) => machine.electric_power,
            Self::DirectFired(machine) => machine.electric_power,
            Self::MakeUpAir(machine) => machine.electric_power,
            Self::Fan(machine) => machine.power,
            Self::OutsideAirExchange(machine) => machine.power,
            Self::AssumedAir(_) => 0.0,
        }
    }

    /// Electrical supply.
    #[must_use]
    pub fn supply(&self) -> Supply {
        match self {
            Self::Refrigerant(machine) => machine.supply,
            Self::Desiccant(machine) => machine.supply,
            Self::Electric(machine) => machine.supply,
            Self::IndirectFired(machine) => machine.supply,
            Self::DirectFired(machine) => machine.supply,
            Self::MakeUpAir(machine) => machine.supply,
            Self::Fan(machine) => machine.supply,
            Self::OutsideAirExchange(machine) => machine.supply,
            Self::AssumedAir(_) => AssumedAir::SUPPLY,
        }
    }

    /// Replaces the electrical supply.
    pub fn set_supply(&mut self, supply: Supply) {
        match self {
            Self::Refrigerant(machine) => machine.supply = supply,
            Self::Desiccant(machine) => machine.supply = supply,
            Self::Electric(machine) => machine.supply = supply,
            Self::IndirectFired(machine) => machine.supply = supply,
            Self::DirectFired(machine) => machine.supply = supply,
            Self::MakeUpAir(machine) => machine.supply = supply,
            Self::Fan(machine) => machine.supply = supply,
            Self::OutsideAirExchange(machine) => machine.supply = supply,
            Self::AssumedAir(_) => {}
        }
    }

    /// Voltage, V; 0 without a plug.
    #[must_use]
    pub fn volts(&self) -> f64 {
        self.supply().volts
    }

    /// Current per phase in full run, A.
    #[must_use]
    pub fn amperes(&self) -> f64 {
        self.supply().amperes
    }

    /// Its control, to read or to set; `None` for an outside-air exchange, which follows its rule, and for assumed air.
    pub fn control_mut(&mut self) -> Option<&mut Control> {
        match self {
            Self::Refrigerant(machine) => Some(&mut machine.control),
            Self::Desiccant(machine) => Some(&mut machine.control),
            Self::Electric(machine) => Some(&mut machine.control),
            Self::IndirectFired(machine) => Some(&mut machine.control),
            Self::DirectFired(machine) => Some(&mut machine.control),
            Self::MakeUpAir(machine) => Some(&mut machine.control),
            Self::Fan(machine) => Some(&mut machine.control),
            Self::OutsideAirExchange(_) | Self::AssumedAir(_) => None,
        }
    }

    /// Hours of the day at which the clock switches it: a solver should end a step there.
    #[must_use]
    pub fn switching_hours(&self) -> Option<[f64; 2]> {
        match self {
            Self::Refrigerant(machine) => machine.control.switching_hours(),
            Self::Desiccant(machine) => machine.control.switching_hours(),
            Self::Electric(machine) => machine.control.switching_hours(),
            Self::IndirectFired(machine) => machine.control.switching_hours(),
            Self::DirectFired(machine) => machine.control.switching_hours(),
            Self::MakeUpAir(machine) => machine.control.switching_hours(),
            Self::Fan(machine) => machine.control.switching_hours(),
            Self::OutsideAirExchange(machine) => match machine.rule {
                ExchangeRule::Hours(hours) => Some([hours.from, hours.until]),
                ExchangeRule::Always | ExchangeRule::WhenOutsideDrier { .. } => None,
            },
            Self::AssumedAir(_) => None,
        }
    }

    /// The range in which the data behind a machine were measured, for a warning; `None` where there is no such limit.
    #[must_use]
    pub fn published_range(&self, system: System) -> Option<String> {
        match self {
            Self::Refrigerant(machine) => Some(machine.map.published_range(system)),
            Self::Desiccant(machine) => Some(machine.published_range(system)),
            _ => None,
        }
    }
}
