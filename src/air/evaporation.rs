//! Evaporation of free water from a wet face.
/// Coefficient of vapour transfer, s/m, of a wet face under air moving at `air_speed` m/s.
#[must_use]
pub fn vapour_transfer_coefficient(air_speed: f64) -> f64 {
    2.11e-8 + 1.90e-8 * air_speed
}
