//! The hours in which a coating cures, from a forecast of the outside air.
//!
//! What it computes: temperature of the slab and its distance from the dew point, hour by hour.
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | `T` | temperature of the slab, one value for its whole thickness | degC |
//! | `a + b t` | temperature of the air within an hour, linear | degC |
//! | `C` | heat capacity of the slab per area, thickness x volumetric heat capacity | J/(m2 K) |
//! | `h` | heat transfer from air to face, convection and radiation | W/(m2 K) |
//! | `tau` | `C / h` | s |
//!
//! Equation: `dT/dt = (a + b t - T) / tau`, exact over the hour:
//! `T(t) = a + b t - b tau + (T(0) - a + b tau) exp(-t / tau)`.
//! The room's air is taken to be as outside, or, where heating holds the temperatures of now, to have the outside air's dew
//! point at the room's temperature. The ground, the sun and the heat of the resin are left out.
//!
//! Valid range: slabs to about 0.2 m, in which one temperature stands for the whole (`h x thickness / conductivity` below 1). An
//! estimate for planning: on the day the slab is measured.
//!
//! Sources
//! 1. ISO 6946: internal surface resistance 0.13 m2 K/W (from memory).
//! 2. ISO 10456: concrete of medium density, 2300 kg/m3 x 1000 J/(kg K), rounded (from memory).
//!
//! Test: `analytic_slab_follows_the_air` in `tests/it/moisture_log.rs`.

use crate::air::MoistAir;
use crate::units::HOUR;
use crate::weather::Hourly;

/// Heat transfer from air to face \[W/(m2 K)\] (source 1).
const HEAT_TRANSFER: f64 = 1.0 / 0.13;
/// Volumetric heat capacity of concrete \[J/(m3 K)\] (source 2).
const HEAT_CAPACITY: f64 = 2.3e6;

/// Extremes of the hours of cure.
#[derive(Clone, Debug, PartialEq)]
pub struct CureHours {
    /// Least distance of the slab above the dew point \[K\].
    pub least_spread: f64,
    /// When that is, seconds from now.
    pub least_spread_after: f64,
    /// Lowest temperature of slab or air \[degC\].
    pub lowest_temperature: f64,
    /// Highest temperature of slab or air \[degC\].
    pub highest_temperature: f64,
    /// Highest relative humidity of the air, 0 to 1.
    pub highest_relative_humidity: f64,
    /// Length of the cure, full hours.
    pub hours: usize,
    /// Whether the temperatures of now are taken to be held by heating.
    pub held: bool,
}

/// Temperature of a slab of `thickness` \[m\] after `seconds` in which the air goes from `air.0` to `air.1` \[degC\].
#[must_use]
pub fn slab_temperature_after(start: f64, air: (f64, f64), seconds: f64, thickness: f64) -> f64 {
    if seconds <= 0.0 {
        return start;
    }
    let tau = thickness.max(f64::EPSILON) * HEAT_CAPACITY / HEAT_TRANSFER;
    let slope = (air.1 - air.0) / seconds;
    air.1 - slope * tau + (start - air.0 + slope * tau) * (-seconds / tau).exp()
}

/// The hours of cure from the start of `outside` for `cure_time` \[s\]. `now` is the temperature of the slab and of the room's air
/// \[degC\]; `held` says that heating keeps both.
#[must_use]
pub fn cure_hours(
    outside: &Hourly,
    cure_time: f64,
    now: (f64, f64),
    thickness: f64,
    held: bool,
) -> CureHours {
    let (mut slab, room) = now;
    let mut found = CureHours {
        least_spread: f64::INFINITY,
        least_spread_after: 0.0,
        lowest_temperature: f64::INFINITY,
        highest_temperature: f64::NEG_INFINITY,
        highest_relative_humidity: 0.0,
        hours: (cure_time / HOUR).ceil() as usize,
        held,
    };
    let times = times(outside, cure_time);
    let mut last = (0.0, outside.at(0.0).temperature);
    for time in times {
        let air = outside.at(time);
        if !held {
            let length = time - last.0;
            slab = slab_temperature_after(slab, (last.1, air.temperature), length, thickness);
        }
        last = (time, air.temperature);
        let state = MoistAir {
            temperature: if held { room } else { air.temperature },
            humidity_ratio: air.humidity_ratio,
            pressure: air.pressure,
        };
        let spread = slab - state.condensation_point();
        if spread < found.least_spread {
            found.least_spread = spread;
            found.least_spread_after = time;
        }
        found.lowest_temperature = found.lowest_temperature.min(slab.min(state.temperature));
        found.highest_temperature = found.highest_temperature.max(slab.max(state.temperature));
        found.highest_relative_humidity = found
            .highest_relative_humidity
            .max(state.relative_humidity().min(1.0));
    }
    found
}

/// Now, the full hours at which the forecast's values stand (between them extremes would be missed), and the end.
fn times(outside: &Hourly, cure_time: f64) -> Vec<f64> {
    let start = outside.start();
    let past_hour = f64::from(start.minute()) * 60.0 + f64::from(start.second());
    let mut times = vec![0.0];
    let mut time = HOUR - past_hour;
    while time < cure_time {
        times.push(time);
        time += HOUR;
    }
    times.push(cure_time);
    times
}
