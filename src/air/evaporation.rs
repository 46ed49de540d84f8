//! Evaporation of free water from a wet face: the nomograph of concrete practice.
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | g, E, w | evaporation rate | kg/(m2 s), kg/(m2 h), lb/(ft2 h) |
//! | `beta` | coefficient of vapour transfer, driven by vapour pressure | s/m, that is kg/(m2 s Pa) |
//! | v, V | air speed 0.5 m above the face (height from memory) | m/s, mph in \[1\], km/h in \[2\] |
//! | `e_0`, `e_a` | vapour pressure at the wet face, in the air | Pa, psi in \[1\] |
//! | `T_c`, `T_a` | temperature of the face, of the air | degC |
//! | r | relative humidity of the air | 0 to 1 |
//!
//! # Equations
//! ```text
//! w    = 0.44 (e_0 - e_a) (0.253 + 0.096 V)                                       [1]  lb/(ft2 h), psi, mph
//! E    = 5 ( (T_c + 18)^2.5 - r (T_a + 18)^2.5 ) (V + 4) 1e-6                     [2]  kg/(m2 h), degC, km/h
//! beta = b_0 + b_1 v,    g = beta (e_0 - e_a)                                     [3]
//! ```
//! \[1\] in these units is `beta = 2.190e-8 + 1.859e-8 v`. \[2\] replaces the vapour pressure by a power of the temperature, and at
//! 20 degC it is `beta = 2.11e-8 + 1.90e-8 v`: those are the numbers of \[3\], [`vapour_transfer_coefficient`]. The two part by
//! 3.6 % in still air, by less than 1 % from 1 to 4 m/s and by 1.4 % at 7 m/s.
//!
//! # Valid range
//! Water on the face, 0 to 40 degC, 0 to 11 m/s (25 mph). Measured rates scatter by about 40 % about the estimate \[4\], and
//! published forms for wet faces span a factor of 1.7, so this is an upper bound for a slab and no more exact than
//! that. A face that has begun to dry evaporates less: its own resistance then rules, and is not part of this file.
//!
//! # Sources
//! 1. C. A. Menzel, Causes and prevention of crack development in plastic concrete, Proceedings of the Portland Cement
//!    Association (1954) 130-136, as the equation behind the nomograph of ACI 305R.
//! 2. P. J. Uno, Plastic shrinkage cracking and evaporation formulas, ACI Materials Journal 95 (1998) 365-375.
//! 3. Derived here from \[2\] at 20 degC with the vapour pressure of this room.
//! 4. K. C. Hover, abstract of a 2020 review of the nomograph (from memory).
//!
//! # Proof of accuracy
//! `ref_nomograph_*` and `analytic_evaporation_*` in `tests/it/air.rs`.

use super::{MoistAir, saturation_pressure};
use crate::units::{FT2, HOUR, POUND};

/// Coefficient of vapour transfer over a wet face in still air, s/m: `b_0` of \[3\].
pub const STILL_AIR_COEFFICIENT: f64 = 2.11e-8;
/// Growth of the coefficient of vapour transfer with air speed, (s/m)/(m/s): `b_1` of \[3\].
pub const COEFFICIENT_PER_AIR_SPEED: f64 = 1.90e-8;

/// Pascals in a pound-force per square inch.
const PASCALS_PER_PSI: f64 = 6_894.757_293;
/// Metres per second in a mile per hour, exact.
const METRES_PER_SECOND_PER_MPH: f64 = 0.447_04;
/// kg/(m2 s) in a lb/(ft2 h): 0.453 592 37 kg over 0.3048^2 m2 and 3600 s, all exact.
const RATE_PER_POUND_PER_SQUARE_FOOT_HOUR: f64 = POUND / (FT2 * HOUR);
/// Seconds in an hour.
/// Metres in a kilometre.
const METRES_PER_KILOMETRE: f64 = 1000.0;

/// Coefficient of vapour transfer, s/m, of a wet face under air moving at `air_speed` m/s: equation \[3\].
///
/// A negative speed counts as still air. Times a difference of vapour pressures in Pa it gives kg/(m2 s).
#[must_use]
pub fn vapour_transfer_coefficient(air_speed: f64) -> f64 {
    STILL_AIR_COEFFICIENT + COEFFICIENT_PER_AIR_SPEED * air_speed.max(0.0)
}

/// Evaporation of free water, kg/(m2 s), from a wet face at `surface_temperature` degC into `air` moving at
/// `air_speed` m/s, by [`vapour_transfer_coefficient`]. Negative when the air wets the face (condensation).
#[must_use]
pub fn free_water_rate(surface_temperature: f64, air: &MoistAir, air_speed: f64) -> f64 {
    vapour_transfer_coefficient(air_speed)
        * (saturation_pressure(surface_temperature) - air.vapour_pressure())
}

/// Evaporation of free water, kg/(m2 s), by Menzel's equation \[1\] as published, from a `vapour_pressure_difference` in Pa between the
/// face and air that moves at `air_speed` m/s.
#[must_use]
pub fn menzel_rate(vapour_pressure_difference: f64, air_speed: f64) -> f64 {
    let psi = vapour_pressure_difference / PASCALS_PER_PSI;
    let mph = air_speed.max(0.0) / METRES_PER_SECOND_PER_MPH;
    0.44 * psi * (0.253 + 0.096 * mph) * RATE_PER_POUND_PER_SQUARE_FOOT_HOUR
}

/// Evaporation of free water, kg/(m2 s), by the metric fit of the nomograph \[2\] as published.
///
/// `surface_temperature` and `air_temperature` in degC (the fit ends at -18), `relative_humidity` from 0 to 1, `air_speed` in m/s.
#[must_use]
pub fn nomograph_rate(
    surface_temperature: f64,
    air_temperature: f64,
    relative_humidity: f64,
    air_speed: f64,
) -> f64 {
    let power = |temperature: f64| (temperature + 18.0).max(0.0).powf(2.5);
    let kilometres_per_hour = air_speed.max(0.0) * HOUR / METRES_PER_KILOMETRE;
    let per_hour = 5e-6
        * (power(surface_temperature) - relative_humidity * power(air_temperature))
        * (kilometres_per_hour + 4.0);
    per_hour / HOUR
}
