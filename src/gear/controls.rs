//! When machines run: thermostats, humidistats and hours of the day.
//!
//! Computes the duty, 0 to 1: the share of its full capacity that a control asks of a machine.
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | s | setpoint, the middle of the band | degC or 1 |
//! | b | band, the whole width between "off" and "all" | K or 1 |
//! | x | the room's temperature, relative humidity or dew point | as s |
//! | y | duty | 1 |
//!
//! # Equations
//! ```text
//! y = clamp( 1/2 + (s - x) / b, 0, 1 )     heating
//! y = clamp( 1/2 + (x - s) / b, 0, 1 )     drying
//! ```
//!
//! # Why a continuous duty
//! A real control switches a machine on and off several times an hour. A slab answers in days: it feels only the mean over the
//! cycles, which is what a duty between 0 and 1 gives. Following the thousands of cycles of a season would cost thousands of steps
//! and carry no information for the slab. What cycling costs, a share of efficiency, is counted by the machines' part-load
//! curves, and the duty is reported so that too large a machine shows by its low duty. The same ramp keeps the equations continuous,
//! which the solver needs.
//!
//! # Valid range
//! Any finite state. A band narrower than [`NARROWEST_BAND_TEMPERATURE`] or [`NARROWEST_BAND_HUMIDITY`] is widened to it.
//!
//! # Sources
//! Proportional duty as the mean of a cycling machine: common practice in energy simulation, no single published source.
//!
//! # Proof of accuracy
//! `analytic_control_*` in `tests/it/gear.rs`.

use super::Surroundings;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A narrower temperature band than this, K, would be a step for the solver; no mechanical thermostat is finer.
pub const NARROWEST_BAND_TEMPERATURE: f64 = 0.1;
/// A narrower humidity band than this would be a step for the solver; no humidistat resolves half a percent.
pub const NARROWEST_BAND_HUMIDITY: f64 = 0.005;

/// 0 below `-band / 2`, 1 above `band / 2`, straight between.
pub(super) fn ramp(excess: f64, band: f64) -> f64 {
    (0.5 + excess / band).clamp(0.0, 1.0)
}

/// 0 below `from`, 1 above `to`, straight between. `to` must lie above `from`.
pub(super) fn rise(value: f64, from: f64, to: f64) -> f64 {
    ((value - from) / (to - from)).clamp(0.0, 1.0)
}

/// Asks for heat while the room is colder than the setpoint.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thermostat {
    /// Middle of the band, degC.
    pub setpoint: f64,
    /// Width from full duty to none, K.
    pub band: f64,
}

impl Thermostat {
    /// Duty, 0 to 1, at `temperature` degC.
    #[must_use]
    pub fn duty(&self, temperature: f64) -> f64 {
        ramp(
            self.setpoint - temperature,
            self.band.max(NARROWEST_BAND_TEMPERATURE),
        )
    }
}

/// What a humidistat measures, with its setpoint: the middle of its band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HumiditySetpoint {
    /// Relative humidity, 0 to 1.
    RelativeHumidity(f64),
    /// Dew point over water, degC.
    DewPoint(f64),
}

/// A second stage that joins at a higher humidity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SecondStage {
    /// How far above the first setpoint the second stage has its own, in the unit of the setpoint.
    pub offset: f64,
    /// Share of the machine's (or the group's) capacity that the first stage runs, 0 to 1; the second runs the rest.
    pub first_share: f64,
}

/// Asks for drying while the room is damper than the setpoint.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Humidistat {
    /// What is measured, and the middle of the band.
    pub setpoint: HumiditySetpoint,
    /// Width from no duty to full, in the unit of the setpoint.
    pub band: f64,
    /// A second stage, if there is one.
    pub second_stage: Option<SecondStage>,
}

impl Humidistat {
    /// Duty, 0 to 1, in these surroundings.
    #[must_use]
    pub fn duty(&self, surroundings: &Surroundings) -> f64 {
        let (excess, narrowest) = match self.setpoint {
            HumiditySetpoint::RelativeHumidity(setpoint) => (
                surroundings.inside.relative_humidity() - setpoint,
                NARROWEST_BAND_HUMIDITY,
            ),
            HumiditySetpoint::DewPoint(setpoint) => (
                surroundings.inside.dew_point() - setpoint,
                NARROWEST_BAND_TEMPERATURE,
            ),
        };
        let band = self.band.max(narrowest);
        let first = ramp(excess, band);
        match self.second_stage {
            None => first,
            Some(stage) => {
                let share = stage.first_share.clamp(0.0, 1.0);
                share * first + (1.0 - share) * ramp(excess - stage.offset, band)
            }
        }
    }
}

/// A part of the day in which a machine may run. `from` later than `to` goes through midnight.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(extend("x-order" = ["from", "to"]))]
pub struct Hours {
    /// First hour, 0 to 24.
    #[schemars(extend("x-limit" = "hour of the day"))]
    pub from: f64,
    /// Last hour, 0 to 24: the moment at which it ends. Equal to `from`: the whole day.
    #[schemars(extend("x-limit" = "hour of the day"))]
    #[serde(rename = "to")]
    pub until: f64,
}

impl Hours {
    /// Whether `hour_of_day` (0 to 24) lies within. The start belongs to the hours, the end does not.
    #[must_use]
    pub fn contains(&self, hour_of_day: f64) -> bool {
        if self.from < self.until {
            (self.from..self.until).contains(&hour_of_day)
        } else {
            !(self.until..self.from).contains(&hour_of_day)
        }
    }
}

/// All that decides when a machine runs. Each part that is given limits the duty; with none, the machine always runs in full.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Control {
    /// Heat on demand.
    pub thermostat: Option<Thermostat>,
    /// Drying on demand.
    pub humidistat: Option<Humidistat>,
    /// Hours of the day outside which the machine is off. They step in time: a solver should end a step at
    /// [`Control::switching_hours`].
    pub hours: Option<Hours>,
}

impl Control {
    /// Runs always and in full.
    pub const ALWAYS: Self = Self {
        thermostat: None,
        humidistat: None,
        hours: None,
    };

    /// Runs on this thermostat.
    #[must_use]
    pub const fn thermostat(thermostat: Thermostat) -> Self {
        Self {
            thermostat: Some(thermostat),
            ..Self::ALWAYS
        }
    }

    /// Runs on this humidistat.
    #[must_use]
    pub const fn humidistat(humidistat: Humidistat) -> Self {
        Self {
            humidistat: Some(humidistat),
            ..Self::ALWAYS
        }
    }

    /// Duty, 0 to 1: the product of what each part asks.
    #[must_use]
    pub fn duty(&self, surroundings: &Surroundings) -> f64 {
        if self
            .hours
            .is_some_and(|hours| !hours.contains(surroundings.hour_of_day))
        {
            return 0.0;
        }
        let heating = self.thermostat.map_or(1.0, |thermostat| {
            thermostat.duty(surroundings.inside.temperature)
        });
        let drying = self
            .humidistat
            .map_or(1.0, |humidistat| humidistat.duty(surroundings));
        heating * drying
    }

    /// Hours of the day at which the machine is switched by the clock.
    #[must_use]
    pub fn switching_hours(&self) -> Option<[f64; 2]> {
        self.hours.map(|hours| [hours.from, hours.until])
    }
}
