//! Machines that change the air of a room, and their controls.
//!
//! Each kind of machine is a plain struct with public fields; [`classes`] holds generic ones ready made. A machine is a pure function
//! of its [`Surroundings`]: [`Machine::effect`] gives an [`Effect`], continuous in temperature and humidity (kinks occur), cheap and
//! without allocation, so a solver may call it at every iteration.
//!
//! * [`refrigerant`], [`desiccant`]: dehumidifiers; [`coil`]: the cold coil in the first
//! * [`heater`], [`fuel`]: heaters and what they burn
//! * [`fan`]: air speed over the floor
//! * [`exchange`], [`opening`]: outside air let in under a rule, by fans or by wind and warmth
//! * [`assumed`]: air as a schedule assumed it, to measure a delay against
//! * [`rental`]: what a machine costs to rent
//! * [`controls`]: thermostats, humidistats, hours of the day
//!
//! Numbers here are for planning. The machine's own data sheet, local codes and licensed practice come first.

pub mod assumed;
pub mod classes;
pub mod coil;
pub mod controls;
pub mod desiccant;
mod effect;
pub mod exchange;
pub mod fan;
pub mod fuel;
pub mod heater;
mod machine;
pub mod opening;
pub mod refrigerant;
pub mod rental;
mod supply;

pub use effect::{Condition, Effect};
pub use machine::Machine;
pub use rental::Rental;
pub use supply::{Circuit, Generator, SitePower, Supply};

use crate::air::MoistAir;
use crate::units::{GRAINS_PER_POUND, HOUR, MINUTE};

/// Pounds of standard air (0.075 lb/ft3) per hour in one cubic foot per minute.
const POUNDS_PER_HOUR_PER_CUBIC_FOOT_PER_MINUTE: f64 = 0.075 * HOUR / MINUTE;

/// What a machine finds around it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surroundings {
    /// Air in the room.
    pub inside: MoistAir,
    /// Air outside.
    pub outside: MoistAir,
    /// Wind at the weather station, m/s.
    pub wind_speed: f64,
    /// Local time, hours after midnight, 0 to 24.
    pub hour_of_day: f64,
}

/// Water removed, lb/h, from `flow` ft3/min of standard air by a grain depression in grains per pound: `flow x depression x 4.5 / 7000`,
/// the trade's formula (common in restoration handbooks; follows from standard air of 0.075 lb/ft3).
#[must_use]
pub fn pounds_per_hour_from_grain_depression(flow: f64, grain_depression: f64) -> f64 {
    flow * grain_depression * POUNDS_PER_HOUR_PER_CUBIC_FOOT_PER_MINUTE / GRAINS_PER_POUND
}
