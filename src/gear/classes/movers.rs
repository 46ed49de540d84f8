//! Generic fans and outside-air exchanges. Sources and tests: see the room's `classes`.

use super::super::controls::Control;
use super::super::exchange::{Direction, ExchangeRule, Flow, OutsideAirExchange};
use super::super::fan::{Fan, FloorSpeed};
use super::super::{Machine, Supply};
use super::{Class, supply_for};
use crate::units::HOUR;

/// Outside air must be drier by this, kg/kg, before it is let in (common practice, no published source).
const DRIER_MARGIN: f64 = 0.5e-3;

struct FanRow {
    name: &'static str,
    label: &'static str,
    /// True flow, m3/s.
    flow: f64,
    /// m2.
    outlet_area: f64,
    /// W.
    power: f64,
}

/// The row that stands for a fan of which only what it does is known.
#[rustfmt::skip]
const USUAL_FAN: FanRow = FanRow { name: "fan_axial_large", label: "large axial fan, {3,000 cfm|5,110 m3/h}", flow: 1.42, outlet_area: 0.13, power: 325.0 };

#[rustfmt::skip]
const FANS: &[FanRow] = &[
    FanRow { name: "fan_low_profile", label: "low-profile fan, {800 cfm|1,370 m3/h}", flow: 0.38, outlet_area: 0.035, power: 235.0 },
    FanRow { name: "fan_centrifugal", label: "centrifugal fan, {1,200 cfm|2,090 m3/h}", flow: 0.58, outlet_area: 0.045, power: 470.0 },
    FanRow { name: "fan_axial_small", label: "small axial fan, {1,000 cfm|1,690 m3/h}", flow: 0.47, outlet_area: 0.09, power: 175.0 },
    USUAL_FAN,
    FanRow { name: "fan_drum_small", label: "small drum fan, {5,300 cfm|9,000 m3/h}", flow: 2.5, outlet_area: 0.33, power: 250.0 },
    FanRow { name: "fan_drum_large", label: "large drum fan, {12,700 cfm|21,600 m3/h}", flow: 6.0, outlet_area: 1.1, power: 750.0 },
];

impl FanRow {
    fn machine(&self) -> Fan {
        Fan {
            floor_speed: FloorSpeed::Jet {
                flow: self.flow,
                outlet_area: self.outlet_area,
            },
            power: self.power,
            supply: supply_for(self.power),
            control: Control::ALWAYS,
        }
    }

    fn class(&self) -> Class {
        Class {
            name: self.name,
            label: self.label,
            source: "currents and flows from trade pages; outlet area estimated from memory",
            machine: Machine::Fan(self.machine()),
        }
    }
}

struct ExchangeRow {
    name: &'static str,
    label: &'static str,
    /// m3/h.
    flow_per_hour: f64,
    /// W; 0 for openings.
    power: f64,
}

/// The row that stands for an exchange of which only the flow is known.
#[rustfmt::skip]
const USUAL_OPENINGS: ExchangeRow = ExchangeRow { name: "openings_1000", label: "openings, {600 cfm|1,000 m3/h}", flow_per_hour: 1000.0, power: 0.0 };

#[rustfmt::skip]
const EXCHANGES: &[ExchangeRow] = &[
    ExchangeRow { name: "outside_air_500", label: "exhaust fan, {300 cfm|500 m3/h}", flow_per_hour: 500.0, power: 60.0 },
    ExchangeRow { name: "outside_air_2000", label: "exhaust fan, {1,200 cfm|2,000 m3/h}", flow_per_hour: 2000.0, power: 250.0 },
    USUAL_OPENINGS,
];

impl ExchangeRow {
    fn machine(&self) -> OutsideAirExchange {
        OutsideAirExchange {
            flow: Flow::Given(self.flow_per_hour / HOUR),
            direction: Direction::Exhaust,
            power: self.power,
            rule: ExchangeRule::WhenOutsideDrier {
                margin: DRIER_MARGIN,
            },
            supply: if self.power > 0.0 {
                supply_for(self.power)
            } else {
                Supply::NONE
            },
        }
    }

    fn class(&self) -> Class {
        Class {
            name: self.name,
            label: self.label,
            source: "round sizes; fan power about 0.12 W per m3/h, from memory",
            machine: Machine::OutsideAirExchange(self.machine()),
        }
    }
}

/// A middling fan, for one of which only what it does over the floor is known.
#[must_use]
pub fn usual_fan() -> Fan {
    USUAL_FAN.machine()
}

/// Openings, for an exchange of which only the flow is known.
#[must_use]
pub fn usual_openings() -> OutsideAirExchange {
    USUAL_OPENINGS.machine()
}

pub(super) fn classes() -> impl Iterator<Item = Class> {
    FANS.iter()
        .map(FanRow::class)
        .chain(EXCHANGES.iter().map(ExchangeRow::class))
}
