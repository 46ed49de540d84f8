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
    description: &'static str,
    /// True flow, m3/s.
    flow: f64,
    /// m2.
    outlet_area: f64,
    /// W.
    power: f64,
}

/// The row that stands for a fan of which only what it does is known.
#[rustfmt::skip]
const USUAL_FAN: FanRow = FanRow { name: "fan_axial_large", description: "large axial fan, 1.42 m3/s (3000 cfm)", flow: 1.42, outlet_area: 0.13, power: 325.0 };

#[rustfmt::skip]
const FANS: &[FanRow] = &[
    FanRow { name: "fan_low_profile", description: "low-profile centrifugal fan, 0.38 m3/s (800 cfm)", flow: 0.38, outlet_area: 0.035, power: 235.0 },
    FanRow { name: "fan_centrifugal", description: "standard centrifugal fan, 0.58 m3/s (1200 cfm)", flow: 0.58, outlet_area: 0.045, power: 470.0 },
    FanRow { name: "fan_axial_small", description: "small axial fan, 0.47 m3/s (1000 cfm)", flow: 0.47, outlet_area: 0.09, power: 175.0 },
    USUAL_FAN,
    FanRow { name: "fan_drum_small", description: "drum fan of 0.6 m, 2.5 m3/s (5300 cfm)", flow: 2.5, outlet_area: 0.33, power: 250.0 },
    FanRow { name: "fan_drum_large", description: "drum fan of 1.2 m, 6 m3/s (12,700 cfm)", flow: 6.0, outlet_area: 1.1, power: 750.0 },
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
            description: self.description,
            source: "currents and flows from trade pages; outlet area estimated from memory",
            machine: Machine::Fan(self.machine()),
        }
    }
}

struct ExchangeRow {
    name: &'static str,
    description: &'static str,
    /// m3/h.
    flow_per_hour: f64,
    /// W; 0 for openings.
    power: f64,
}

/// The row that stands for an exchange of which only the flow is known.
#[rustfmt::skip]
const USUAL_OPENINGS: ExchangeRow = ExchangeRow { name: "openings_1000", description: "openings without a fan, 1000 m3/h, open while outside air is drier", flow_per_hour: 1000.0, power: 0.0 };

#[rustfmt::skip]
const EXCHANGES: &[ExchangeRow] = &[
    ExchangeRow { name: "outside_air_500", description: "exhaust fan, 500 m3/h (300 cfm), runs while outside air is drier", flow_per_hour: 500.0, power: 60.0 },
    ExchangeRow { name: "outside_air_2000", description: "exhaust fan, 2000 m3/h (1200 cfm), runs while outside air is drier", flow_per_hour: 2000.0, power: 250.0 },
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
            description: self.description,
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
