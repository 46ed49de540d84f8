//! Exchange with outside air by a fan or by openings, under a rule.
//!
//! Computes the outside air drawn in and the fan's power.
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | W, `W_o` | humidity ratio inside and outside | kg/kg |
//! | M | margin by which the outside air must be drier | kg/kg |
//! | y | duty | 1 |
//!
//! # Equations
//! ```text
//! outside air = y flow rho_dry        y = clamp( (W - W_o - M) / DRIER_BAND, 0, 1 )      while the outside air is drier
//! ```
//!
//! # Valid range
//! Any finite state. Compare humidity ratios, never relative humidities: damp cold air can be dry air once warmed.
//!
//! # Sources
//! Open up only while the outside humidity ratio is below that inside: common practice in drying work (trade pages).
//!
//! # Proof of accuracy
//! `analytic_exchange_*` in `tests/it/gear.rs`.

use super::controls::Hours;
use super::effect::Effect;
use super::opening::Opening;
use super::{Supply, Surroundings};
use crate::weather::helps::share_that_helps;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use crate::weather::helps::DRIER_BAND;

/// When outside air is let in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ExchangeRule {
    /// All the time.
    Always,
    /// In these hours of the day.
    Hours(Hours),
    /// Only while the outside humidity ratio is below that inside.
    WhenOutsideDrier {
        /// By at least this much, kg/kg.
        margin: f64,
    },
}

/// Which way the fan moves air. Without power it only says where a given flow is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Direction {
    /// Outside air is blown in: the flow is measured outside and the fan's warmth comes in.
    #[serde(rename = "in")]
    Supply,
    /// Room air is drawn out: the flow is measured inside and the fan's warmth leaves.
    #[serde(rename = "out")]
    Exhaust,
}

/// How much outside air comes in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Flow {
    /// This much, m3/s: a fan, or openings of which the flow is known.
    Given(f64),
    /// As wind and warmth drive it.
    Opening(Opening),
}

/// A fan or opening that exchanges room air for outside air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutsideAirExchange {
    /// Flow in full run.
    pub flow: Flow,
    /// Which way.
    pub direction: Direction,
    /// Power in full run, W. 0 for openings.
    pub power: f64,
    /// When it runs.
    pub rule: ExchangeRule,
    /// Electrical supply.
    pub supply: Supply,
}

impl OutsideAirExchange {
    /// Share of the full flow, 0 to 1.
    #[must_use]
    pub fn duty(&self, surroundings: &Surroundings) -> f64 {
        match self.rule {
            ExchangeRule::Always => 1.0,
            ExchangeRule::Hours(hours) => {
                f64::from(u8::from(hours.contains(surroundings.hour_of_day)))
            }
            ExchangeRule::WhenOutsideDrier { margin } => share_that_helps(
                surroundings.inside.humidity_ratio,
                surroundings.outside.humidity_ratio,
                margin,
            ),
        }
    }

    /// Flow in full run, m3/s.
    #[must_use]
    pub fn full_flow(&self, surroundings: &Surroundings) -> f64 {
        match self.flow {
            Flow::Given(flow) => flow,
            Flow::Opening(opening) => opening.flow(
                surroundings.inside.temperature,
                surroundings.outside.temperature,
                surroundings.wind_speed,
            ),
        }
    }

    /// What the machine does.
    #[must_use]
    pub fn effect(&self, surroundings: &Surroundings) -> Effect {
        let duty = self.duty(surroundings);
        let electricity = duty * self.power;
        let (measured, enthalpy) = match (self.flow, self.direction) {
            (Flow::Opening(_), _) | (_, Direction::Supply) => (&surroundings.outside, electricity),
            (_, Direction::Exhaust) => (&surroundings.inside, 0.0),
        };
        Effect {
            enthalpy,
            outside_air: duty * self.full_flow(surroundings) * measured.density_of_dry_air(),
            electricity,
            expelled: electricity - enthalpy,
            duty,
            ..Effect::default()
        }
    }
}
