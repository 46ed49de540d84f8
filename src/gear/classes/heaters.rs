//! Generic heaters. Sources and tests: see the room's `classes`.

use super::super::controls::{Control, Thermostat};
use super::super::fuel::Fuel;
use super::super::heater::{DirectFired, Electric, IndirectFired, MakeUpAir};
use super::super::{Machine, Supply};
use super::{Class, SINGLE_230, THREE_PHASE, supply_for};
use crate::units::HOUR;

const WATTS_PER_KILOWATT: f64 = 1000.0;
const SINGLE_240: f64 = 240.0;

/// Heaters hold the room here unless told otherwise: the temperature of most coating and floor tests, degC (common practice, no
/// published source).
const HEATING: Thermostat = Thermostat {
    setpoint: 20.0,
    band: 2.0,
};

/// Name, description, kW.
const ELECTRIC: [(&str, &str, f64); 7] = [
    (
        "electric_1500w",
        "electric heater, 1.5 kW, household plug",
        1.5,
    ),
    ("electric_3kw", "electric heater, 3 kW", 3.0),
    ("electric_5kw", "electric heater, 5 kW", 5.0),
    ("electric_9kw", "electric heater, 9 kW, three phases", 9.0),
    (
        "electric_15kw",
        "electric heater, 15 kW, three phases",
        15.0,
    ),
    (
        "electric_22kw",
        "electric heater, 22 kW, three phases",
        22.0,
    ),
    (
        "electric_36kw",
        "electric heater, 36 kW, three phases",
        36.0,
    ),
];

fn electric(&(name, description, kilowatts): &(&'static str, &'static str, f64)) -> Class {
    let power = WATTS_PER_KILOWATT * kilowatts;
    // The sizes are sold for these voltages: 1.5 kW at 120 V (12.5 A), 3 kW at 230 V (13 A), 5 kW at 240 V (21 A).
    let supply = match kilowatts {
        k if k <= 1.5 => Supply::single_phase(120.0, power),
        k if k <= 3.0 => Supply::single_phase(SINGLE_230, power),
        k if k <= 5.0 => Supply::single_phase(SINGLE_240, power),
        _ => Supply::three_phase(THREE_PHASE, power),
    };
    Class {
        name,
        description,
        source: "common sizes and currents, from memory",
        machine: Machine::Electric(Electric {
            power,
            supply,
            control: Control::thermostat(HEATING),
        }),
    }
}

/// Name, description, gross kW, fan W.
const DIRECT_FIRED: [(&str, &str, f64, f64); 5] = [
    (
        "direct_fired_15kw",
        "direct-fired heater without flue, 15 kW (50,000 Btu/h)",
        15.0,
        60.0,
    ),
    (
        "direct_fired_30kw",
        "direct-fired heater without flue, 30 kW (100,000 Btu/h)",
        30.0,
        150.0,
    ),
    (
        "direct_fired_60kw",
        "direct-fired heater without flue, 60 kW (200,000 Btu/h)",
        60.0,
        350.0,
    ),
    (
        "direct_fired_150kw",
        "large direct-fired heater without flue, 150 kW (500,000 Btu/h)",
        150.0,
        800.0,
    ),
    (
        "direct_fired_300kw",
        "large direct-fired heater without flue, 300 kW (1,000,000 Btu/h)",
        300.0,
        1500.0,
    ),
];

fn direct_fired(
    &(name, description, kilowatts, electric_power): &(&'static str, &'static str, f64, f64),
) -> Class {
    Class {
        name,
        description,
        source: "sizes on the rental market (trade pages); fan power from memory",
        machine: Machine::DirectFired(DirectFired {
            fuel: Fuel::Propane,
            fuel_power: WATTS_PER_KILOWATT * kilowatts,
            electric_power,
            supply: supply_for(electric_power),
            control: Control::thermostat(HEATING),
        }),
    }
}

/// Heat to the air over gross fuel of the indirect-fired classes: the lower published figure (trade page).
const INDIRECT_EFFICIENCY: f64 = 0.80;
/// Loss of the ducts of a heater that stands outside (trade page of low quality).
const DUCT_LOSS: f64 = 0.075;

/// Name, description, kW to the air before duct loss, electricity in W.
const INDIRECT_FIRED: [(&str, &str, f64, f64); 3] = [
    (
        "indirect_fired_50kw",
        "indirect-fired heater outside, 50 kW (170,000 Btu/h) output",
        50.0,
        1000.0,
    ),
    (
        "indirect_fired_110kw",
        "indirect-fired heater outside, 110 kW (375,000 Btu/h) output",
        110.0,
        2200.0,
    ),
    (
        "indirect_fired_225kw",
        "indirect-fired heater outside, 225 kW (770,000 Btu/h) output",
        225.0,
        4500.0,
    ),
];

fn indirect_fired(
    &(name, description, kilowatts, electric_power): &(&'static str, &'static str, f64, f64),
) -> Class {
    Class {
        name,
        description,
        source: "output and electricity from memory; efficiency and duct loss from trade pages",
        machine: Machine::IndirectFired(IndirectFired {
            fuel: Fuel::Diesel,
            fuel_power: WATTS_PER_KILOWATT * kilowatts / INDIRECT_EFFICIENCY,
            efficiency: INDIRECT_EFFICIENCY,
            duct_loss: DUCT_LOSS,
            electric_power,
            outside_air_flow: 0.0,
            supply: supply_for(electric_power),
            control: Control::thermostat(HEATING),
        }),
    }
}

/// Name, description, gross kW, outside air in m3/h (for a rise of some 50 K), fan W.
const MAKE_UP_AIR: [(&str, &str, f64, f64, f64); 2] = [
    (
        "make_up_air_100kw",
        "direct-fired make-up air, 100 kW (340,000 Btu/h), 5500 m3/h",
        100.0,
        5500.0,
        1500.0,
    ),
    (
        "make_up_air_300kw",
        "direct-fired make-up air, 300 kW (1,000,000 Btu/h), 16 500 m3/h",
        300.0,
        16_500.0,
        5000.0,
    ),
];
/// Highest discharge of make-up air, degC (160 degF; from memory).
const HIGHEST_DISCHARGE: f64 = 71.0;

fn make_up_air(
    &(name, description, kilowatts, flow_per_hour, electric_power): &(
        &'static str,
        &'static str,
        f64,
        f64,
        f64,
    ),
) -> Class {
    Class {
        name,
        description,
        source: "sizes, air flow for a rise of 50 K and fan power from memory",
        machine: Machine::MakeUpAir(MakeUpAir {
            fuel: Fuel::Propane,
            fuel_power: WATTS_PER_KILOWATT * kilowatts,
            outside_air_flow: flow_per_hour / HOUR,
            highest_discharge: HIGHEST_DISCHARGE,
            electric_power,
            supply: supply_for(electric_power),
            control: Control::thermostat(HEATING),
        }),
    }
}

pub(super) fn classes() -> impl Iterator<Item = Class> {
    ELECTRIC
        .iter()
        .map(electric)
        .chain(DIRECT_FIRED.iter().map(direct_fired))
        .chain(INDIRECT_FIRED.iter().map(indirect_fired))
        .chain(MAKE_UP_AIR.iter().map(make_up_air))
}
