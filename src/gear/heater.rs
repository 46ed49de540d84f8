//! Heaters: electric, indirect-fired, direct-fired, and make-up air.
//!
//! Computes heat, water and carbon dioxide into the room, fuel and electricity, and the outside air a heater brings in.
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | P | gross power of the fuel in full run | W |
//! | E | electricity of fan and burner | W |
//! | w, d | water and carbon dioxide per gross energy | kg/J |
//! | n | heat to the air over gross fuel, indirect | 1 |
//! | l | share lost by ducts outside | 1 |
//! | y | duty | 1 |
//! | m | dry air of a make-up-air heater | kg/s |
//!
//! # Equations
//! ```text
//! electric         enthalpy = y E
//! direct-fired     enthalpy = y (P + E)                vapour = y w P        carbon dioxide = y d P
//! indirect-fired   enthalpy = y (n P + E) (1 - l)      nothing else
//! make-up air      as direct-fired, with y m of outside air; P turned down so that
//!                  t_out + net share x P / (m c_a) <= highest discharge temperature
//! ```
//! A direct-fired heater gives its whole gross heat as enthalpy because enthalpies count from liquid water: the vapour it makes takes
//! the difference between gross and net heat with it, and the air warms by the net heat.
//!
//! # Valid range
//! Complete combustion; the few per cent by which burning changes the amount of dry air are neglected.
//!
//! # Cautions
//! Fuel heaters without a flue can kill by carbon monoxide. Follow local codes, the heater's instructions and the ventilation they
//! ask for, and measure in the room. Carbon dioxide also softens the skin of concrete in its first day or so.
//!
//! # Sources
//! 1. Combustion: see `fuel`.
//! 2. Indirect-fired efficiency 0.80 to 0.85 and duct loss 7.5 % (trade pages of low quality; from memory).
//! 3. Highest discharge 71 degC (160 degF) of direct-fired make-up air: from memory, after North American product standards.
//!
//! # Proof of accuracy
//! `analytic_heater_*` and `ref_make_up_air_*` in `tests/it/gear.rs`.

use super::controls::Control;
use super::effect::Effect;
use super::fuel::Fuel;
use super::{Supply, Surroundings};
use crate::air::SPECIFIC_HEAT_DRY_AIR;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How a heater's heat comes into the room.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum HeaterKind {
    /// Electric.
    Electric,
    /// The flame's gases go outside.
    #[schemars(extend("x-label" = "indirect-fired"))]
    IndirectFired,
    /// The flame's gases, with their water, go into the room.
    #[schemars(extend("x-label" = "direct-fired"))]
    DirectFired,
    /// Outside air blown through a flame into the room.
    #[schemars(extend("x-label" = "make-up air"))]
    MakeUpAir,
}

/// Electric heater in the room: all its power becomes heat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Electric {
    /// Power in full run, fan included, W.
    pub power: f64,
    /// Electrical supply.
    pub supply: Supply,
    /// When it runs.
    pub control: Control,
}

impl Electric {
    /// What the machine does.
    #[must_use]
    pub fn effect(&self, surroundings: &Surroundings) -> Effect {
        let duty = self.control.duty(surroundings);
        let electricity = duty * self.power;
        Effect {
            enthalpy: electricity,
            electricity,
            duty,
            ..Effect::default()
        }
    }
}

/// Indirect-fired heater: a heat exchanger keeps the flue gas, with its water and carbon dioxide, out of the room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IndirectFired {
    /// What it burns.
    pub fuel: Fuel,
    /// Gross power of the fuel in full run, W.
    pub fuel_power: f64,
    /// Heat to the air over gross fuel, 0 to 1.
    pub efficiency: f64,
    /// Share of that heat lost by ducts outside the building, 0 to 1.
    pub duct_loss: f64,
    /// Electricity of burner and fan in full run, W; it warms the air too.
    pub electric_power: f64,
    /// Outside air that it blows in, m3/s, measured outside. 0: it warms room air only.
    pub outside_air_flow: f64,
    /// Electrical supply.
    pub supply: Supply,
    /// When it runs.
    pub control: Control,
}

impl IndirectFired {
    /// What the machine does.
    #[must_use]
    pub fn effect(&self, surroundings: &Surroundings) -> Effect {
        let duty = self.control.duty(surroundings);
        let fuel = duty * self.fuel_power;
        let electricity = duty * self.electric_power;
        let to_air = self.efficiency * fuel + electricity;
        let lost = self.duct_loss * to_air;
        Effect {
            enthalpy: to_air - lost,
            outside_air: duty * self.outside_air_flow * surroundings.outside.density_of_dry_air(),
            electricity,
            fuel,
            expelled: (1.0 - self.efficiency) * fuel + lost,
            duty,
            ..Effect::default()
        }
    }
}

/// Burning inside the air stream: all heat, water and carbon dioxide reach the room.
fn unvented(fuel: Fuel, fuel_power: f64, electricity: f64, duty: f64) -> Effect {
    Effect {
        vapour: fuel.water_per_gross_energy() * fuel_power,
        enthalpy: fuel_power + electricity,
        electricity,
        fuel: fuel_power,
        carbon_dioxide: fuel.carbon_dioxide_per_gross_energy() * fuel_power,
        duty,
        ..Effect::default()
    }
}

/// Direct-fired heater without a flue, in the room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DirectFired {
    /// What it burns.
    pub fuel: Fuel,
    /// Gross power of the fuel in full run, W.
    pub fuel_power: f64,
    /// Electricity of the fan in full run, W.
    pub electric_power: f64,
    /// Electrical supply.
    pub supply: Supply,
    /// When it runs.
    pub control: Control,
}

impl DirectFired {
    /// What the machine does. The outside air that its fumes call for is not in it: that is an exchange of its own.
    #[must_use]
    pub fn effect(&self, surroundings: &Surroundings) -> Effect {
        let duty = self.control.duty(surroundings);
        unvented(
            self.fuel,
            duty * self.fuel_power,
            duty * self.electric_power,
            duty,
        )
    }
}

/// Direct-fired heater that blows nothing but outside air through its flame into the room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MakeUpAir {
    /// What it burns.
    pub fuel: Fuel,
    /// Greatest gross power of the fuel, W.
    pub fuel_power: f64,
    /// Outside air in full run, m3/s, measured outside.
    pub outside_air_flow: f64,
    /// The burner is turned down so that the air leaves no hotter than this, degC.
    pub highest_discharge: f64,
    /// Electricity of the fan in full run, W.
    pub electric_power: f64,
    /// Electrical supply.
    pub supply: Supply,
    /// When it runs, fan and burner together.
    pub control: Control,
}

impl MakeUpAir {
    /// Gross power of the fuel in full run in these surroundings, W.
    #[must_use]
    pub fn full_fuel_power(&self, surroundings: &Surroundings) -> f64 {
        let dry_air = self.outside_air_flow * surroundings.outside.density_of_dry_air();
        let room_for_heat = (self.highest_discharge - surroundings.outside.temperature).max(0.0);
        self.fuel_power
            .min(dry_air * SPECIFIC_HEAT_DRY_AIR * room_for_heat / self.fuel.net_share())
    }

    /// What the machine does.
    #[must_use]
    pub fn effect(&self, surroundings: &Surroundings) -> Effect {
        let duty = self.control.duty(surroundings);
        let burnt = unvented(
            self.fuel,
            duty * self.full_fuel_power(surroundings),
            duty * self.electric_power,
            duty,
        );
        Effect {
            outside_air: duty * self.outside_air_flow * surroundings.outside.density_of_dry_air(),
            ..burnt
        }
    }
}
