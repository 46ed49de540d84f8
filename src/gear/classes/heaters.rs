//! Generic heaters. Sources and tests: see the room's `classes`.

use super::super::controls::{Control, Thermostat};
use super::super::fuel::Fuel;
use super::super::heater::{DirectFired, Electric, HeaterKind, IndirectFired, MakeUpAir};
use super::super::{Machine, Supply};
use super::{Class, SINGLE_230, THREE_PHASE, supply_for};
use crate::units::HOUR;

const WATTS_PER_KILOWATT: f64 = 1000.0;
const SINGLE_120: f64 = 120.0;
const SINGLE_240: f64 = 240.0;

/// Heaters hold the room here unless told otherwise: the temperature of most coating and floor tests, degC (common practice, no
/// published source).
const HEATING: Thermostat = Thermostat {
    setpoint: 20.0,
    band: 2.0,
};
/// Heat to the air over gross fuel of the indirect-fired classes: the lower published figure (trade page).
const INDIRECT_EFFICIENCY: f64 = 0.80;
/// Loss of the ducts of a heater that stands outside (trade page of low quality).
const DUCT_LOSS: f64 = 0.075;
/// Highest discharge of make-up air, degC (160 degF; from memory).
const HIGHEST_DISCHARGE: f64 = 71.0;

struct HeaterRow {
    kind: HeaterKind,
    name: &'static str,
    label: &'static str,
    /// Electricity of an electric heater, heat to the air before ducts of an indirect-fired one, gross heat of the fuel of the others.
    kilowatts: f64,
    /// Fan and burner, W; none for electric heaters, whose fan is in their power.
    electric_power: f64,
    /// Outside air, m3/h, for a rise of some 50 K; only make-up air has any.
    air_per_hour: f64,
}

use HeaterKind::{
    DirectFired as Direct, Electric as Plug, IndirectFired as Indirect, MakeUpAir as MakeUp,
};

/// The rows that stand for a heater of which only kind and output are known.
#[rustfmt::skip]
const USUAL_ELECTRIC: HeaterRow = HeaterRow { kind: Plug, name: "electric_5kw", label: "electric heater, 5 kW", kilowatts: 5.0, electric_power: 0.0, air_per_hour: 0.0 };
#[rustfmt::skip]
const USUAL_DIRECT: HeaterRow = HeaterRow { kind: Direct, name: "direct_fired_30kw", label: "direct-fired heater, {100 kBtu/h|30 kW}", kilowatts: 30.0, electric_power: 150.0, air_per_hour: 0.0 };
#[rustfmt::skip]
const USUAL_INDIRECT: HeaterRow = HeaterRow { kind: Indirect, name: "indirect_fired_50kw", label: "indirect-fired heater, {170 kBtu/h|50 kW}", kilowatts: 50.0, electric_power: 1000.0, air_per_hour: 0.0 };
#[rustfmt::skip]
const USUAL_MAKE_UP: HeaterRow = HeaterRow { kind: MakeUp, name: "make_up_air_100kw", label: "make-up air heater, {340 kBtu/h|100 kW}", kilowatts: 100.0, electric_power: 1500.0, air_per_hour: 5500.0 };

#[rustfmt::skip]
const HEATERS: &[HeaterRow] = &[
    HeaterRow { kind: Plug, name: "electric_1500w", label: "electric heater, 1.5 kW", kilowatts: 1.5, electric_power: 0.0, air_per_hour: 0.0 },
    HeaterRow { kind: Plug, name: "electric_3kw", label: "electric heater, 3 kW", kilowatts: 3.0, electric_power: 0.0, air_per_hour: 0.0 },
    USUAL_ELECTRIC,
    HeaterRow { kind: Plug, name: "electric_9kw", label: "electric heater, 9 kW", kilowatts: 9.0, electric_power: 0.0, air_per_hour: 0.0 },
    HeaterRow { kind: Plug, name: "electric_15kw", label: "electric heater, 15 kW", kilowatts: 15.0, electric_power: 0.0, air_per_hour: 0.0 },
    HeaterRow { kind: Plug, name: "electric_22kw", label: "electric heater, 22 kW", kilowatts: 22.0, electric_power: 0.0, air_per_hour: 0.0 },
    HeaterRow { kind: Plug, name: "electric_36kw", label: "electric heater, 36 kW", kilowatts: 36.0, electric_power: 0.0, air_per_hour: 0.0 },
    HeaterRow { kind: Direct, name: "direct_fired_15kw", label: "direct-fired heater, {50 kBtu/h|15 kW}", kilowatts: 15.0, electric_power: 60.0, air_per_hour: 0.0 },
    USUAL_DIRECT,
    HeaterRow { kind: Direct, name: "direct_fired_60kw", label: "direct-fired heater, {200 kBtu/h|60 kW}", kilowatts: 60.0, electric_power: 350.0, air_per_hour: 0.0 },
    HeaterRow { kind: Direct, name: "direct_fired_150kw", label: "direct-fired heater, {500 kBtu/h|150 kW}", kilowatts: 150.0, electric_power: 800.0, air_per_hour: 0.0 },
    HeaterRow { kind: Direct, name: "direct_fired_300kw", label: "direct-fired heater, {1,000 kBtu/h|300 kW}", kilowatts: 300.0, electric_power: 1500.0, air_per_hour: 0.0 },
    USUAL_INDIRECT,
    HeaterRow { kind: Indirect, name: "indirect_fired_110kw", label: "indirect-fired heater, {375 kBtu/h|110 kW}", kilowatts: 110.0, electric_power: 2200.0, air_per_hour: 0.0 },
    HeaterRow { kind: Indirect, name: "indirect_fired_225kw", label: "indirect-fired heater, {770 kBtu/h|225 kW}", kilowatts: 225.0, electric_power: 4500.0, air_per_hour: 0.0 },
    USUAL_MAKE_UP,
    HeaterRow { kind: MakeUp, name: "make_up_air_300kw", label: "make-up air heater, {1,000 kBtu/h|300 kW}", kilowatts: 300.0, electric_power: 5000.0, air_per_hour: 16_500.0 },
];

/// The sizes are sold for these voltages: 1.5 kW at 120 V (12.5 A), 3 kW at 230 V (13 A), 5 kW at 240 V (21 A).
fn electric_supply(power: f64) -> Supply {
    match power {
        p if p <= 1500.0 => Supply::single_phase(SINGLE_120, power),
        p if p <= 3000.0 => Supply::single_phase(SINGLE_230, power),
        p if p <= 5000.0 => Supply::single_phase(SINGLE_240, power),
        _ => Supply::three_phase(THREE_PHASE, power),
    }
}

impl HeaterRow {
    fn machine(&self) -> Machine {
        let power = WATTS_PER_KILOWATT * self.kilowatts;
        let electric_power = self.electric_power;
        let supply = supply_for(electric_power);
        let control = Control::thermostat(HEATING);
        match self.kind {
            Plug => Machine::Electric(Electric {
                power,
                supply: electric_supply(power),
                control,
            }),
            Direct => Machine::DirectFired(DirectFired {
                fuel: Fuel::Propane,
                fuel_power: power,
                electric_power,
                supply,
                control,
            }),
            Indirect => Machine::IndirectFired(IndirectFired {
                fuel: Fuel::Diesel,
                fuel_power: power / INDIRECT_EFFICIENCY,
                efficiency: INDIRECT_EFFICIENCY,
                duct_loss: DUCT_LOSS,
                electric_power,
                outside_air_flow: 0.0,
                supply,
                control,
            }),
            MakeUp => Machine::MakeUpAir(MakeUpAir {
                fuel: Fuel::Propane,
                fuel_power: power,
                outside_air_flow: self.air_per_hour / HOUR,
                highest_discharge: HIGHEST_DISCHARGE,
                electric_power,
                supply,
                control,
            }),
        }
    }

    fn class(&self) -> Class {
        Class {
            name: self.name,
            label: self.label,
            source: match self.kind {
                Plug => "common sizes and currents, from memory",
                Direct => "sizes on the rental market (trade pages); fan power from memory",
                Indirect => {
                    "output and electricity from memory; efficiency and duct loss from trade pages"
                }
                MakeUp => "sizes, air flow for a rise of 50 K and fan power from memory",
            },
            machine: self.machine(),
        }
    }
}

/// A middling heater of a kind, for one of which only the output is known.
#[must_use]
pub fn usual(kind: HeaterKind) -> Machine {
    match kind {
        Plug => USUAL_ELECTRIC,
        Direct => USUAL_DIRECT,
        Indirect => USUAL_INDIRECT,
        MakeUp => USUAL_MAKE_UP,
    }
    .machine()
}

pub(super) fn classes() -> impl Iterator<Item = Class> {
    HEATERS.iter().map(HeaterRow::class)
}
