//! Evaporation of free water from a wet face: the evaporation nomograph and the transfer coefficient behind it.
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | g | evaporation | kg/(m2 s) |
//! | p_s, p_a | vapour pressure at the wet face and in the air | Pa |
//! | v | air speed | m/s |
//! | beta | vapour transfer coefficient | s/m |
//!
//! # Equations
//! ```text
//! g = beta(v) (p_s - p_a),   beta = b0 + b1 v,   b0 = 2.11e-8, b1 = 1.90e-8
//! W = 0.44 (e_s - e_a)(0.253 + 0.096 V)          lb/(ft2 h), e in psi, V in mph     [1]
//! ```
//! The first line is [1] in SI units.
//!
//! # Valid range
//! Air speeds of 0 to about 11 m/s (25 mph). Measured rates scatter by about 40 % around it [2].
//!
//! # Sources
//! 1. C. A. Menzel 1954, behind the evaporation nomograph of ACI 305R (constants as printed in secondary sources).
//! 2. K. C. Hover, abstract of a 2020 paper on evaporation from concrete surfaces.
//!
//! # Proof of accuracy
//! `ref_evaporation_*` in `tests/it/air.rs`, against worked values of the nomograph.

/// Transfer coefficient of still air [s/m].
pub const STILL_AIR: f64 = 2.11e-8;
/// Growth of the transfer coefficient with air speed [s2/m2].
pub const PER_AIR_SPEED: f64 = 1.90e-8;

/// Vapour transfer coefficient [s/m] over a wet horizontal face at an air speed [m/s].
#[must_use]
pub fn vapour_transfer_coefficient(air_speed: f64) -> f64 {
    STILL_AIR + PER_AIR_SPEED * air_speed.max(0.0)
}

/// Convective heat transfer coefficient [W/(m2 K)] that belongs to [`vapour_transfer_coefficient`] by Lewis' analogy:
/// h_c = beta rho c_p R_v T Le^(2/3), with Le^(2/3) = 0.906 for vapour in air and 1.633e8 Pa/K for the product at 20 degC.
#[must_use]
pub fn convective_heat_transfer_coefficient(air_speed: f64) -> f64 {
    const RHO_CP_RV_T: f64 = 1.633e8;
    const LEWIS_TO_TWO_THIRDS: f64 = 0.906;
    vapour_transfer_coefficient(air_speed) * RHO_CP_RV_T * LEWIS_TO_TWO_THIRDS
}
