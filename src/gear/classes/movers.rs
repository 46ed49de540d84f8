//! Generic fans and outside-air exchanges. Sources and tests: see the room's `classes`.

use super::super::controls::Control;
use super::super::exchange::{Direction, ExchangeRule, Flow, OutsideAirExchange};
use super::super::fan::{Fan, FloorSpeed};
use super::super::{Machine, Supply};
use super::{Class, supply_for};
use crate::units::HOUR;

/// Outside air must be drier by this, kg/kg, before it is let in (common practice, no published source).
const DRIER_MARGIN: f64 = 0.5e-3;

/// Name, description, true flow in m3/s, outlet area in m2, W.
const FANS: [(&str, &str, f64, f64, f64); 6] = [
    (
        "fan_low_profile",
        "low-profile centrifugal fan, 0.38 m3/s (800 cfm)",
        0.38,
        0.035,
        235.0,
    ),
    (
        "fan_centrifugal",
        "standard centrifugal fan, 0.58 m3/s (1200 cfm)",
        0.58,
        0.045,
        470.0,
    ),
    (
        "fan_axial_small",
        "small axial fan, 0.47 m3/s (1000 cfm)",
        0.47,
        0.09,
        175.0,
    ),
    (
        "fan_axial_large",
        "large axial fan, 1.42 m3/s (3000 cfm)",
        1.42,
        0.13,
        325.0,
    ),
    (
        "fan_drum_small",
        "drum fan of 0.6 m, 2.5 m3/s (5300 cfm)",
        2.5,
        0.33,
        250.0,
    ),
    (
        "fan_drum_large",
        "drum fan of 1.2 m, 6 m3/s (12,700 cfm)",
        6.0,
        1.1,
        750.0,
    ),
];

fn fan(
    &(name, description, flow, outlet_area, power): &(&'static str, &'static str, f64, f64, f64),
) -> Class {
    Class {
        name,
        description,
        source: "currents and flows from trade pages; outlet area estimated from memory",
        machine: Machine::Fan(Fan {
            floor_speed: FloorSpeed::Jet { flow, outlet_area },
            power,
            supply: supply_for(power),
            control: Control::ALWAYS,
        }),
    }
}

/// Name, description, flow in m3/h, W.
const EXCHANGES: [(&str, &str, f64, f64); 3] = [
    (
        "outside_air_500",
        "exhaust fan, 500 m3/h (300 cfm), runs while outside air is drier",
        500.0,
        60.0,
    ),
    (
        "outside_air_2000",
        "exhaust fan, 2000 m3/h (1200 cfm), runs while outside air is drier",
        2000.0,
        250.0,
    ),
    (
        "openings_1000",
        "openings without a fan, 1000 m3/h, open while outside air is drier",
        1000.0,
        0.0,
    ),
];

fn exchange(
    &(name, description, flow_per_hour, power): &(&'static str, &'static str, f64, f64),
) -> Class {
    Class {
        name,
        description,
        source: "round sizes; fan power about 0.12 W per m3/h, from memory",
        machine: Machine::OutsideAirExchange(OutsideAirExchange {
            flow: Flow::Given(flow_per_hour / HOUR),
            direction: Direction::Exhaust,
            power,
            rule: ExchangeRule::WhenOutsideDrier {
                margin: DRIER_MARGIN,
            },
            supply: if power > 0.0 {
                supply_for(power)
            } else {
                Supply::NONE
            },
        }),
    }
}

pub(super) fn classes() -> impl Iterator<Item = Class> {
    FANS.iter().map(fan).chain(EXCHANGES.iter().map(exchange))
}
