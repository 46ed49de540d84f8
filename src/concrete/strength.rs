//! Water-cement ratio and compressive strength.
//!
//! ```text
//! f = A / B^wc      Abrams' form; A = 125 MPa and B = 14.6, cylinders at 28 days
//! ```
//! The two constants follow from two rows of the ACI 211.1 table for concrete without entrained air (from
//! memory). Strength depends on cement, aggregate and age as well: the ratio from the delivery ticket is better
//! than any strength class.

/// Strength at a ratio of 0.82 and at 0.41 \[MPa\] (ACI 211.1, from memory).
const ROWS: [(f64, f64); 2] = [(0.41, 41.4), (0.82, 13.8)];
/// Range in which the table is used.
const RATIOS: (f64, f64) = (0.35, 1.0);

fn law() -> (f64, f64) {
    let [(r0, f0), (r1, f1)] = ROWS;
    let slope = (f1 / f0).ln() / (r1 - r0);
    (f0 * (-slope * r0).exp(), slope)
}

/// Compressive strength at 28 days \[MPa\] that a water-cement ratio usually gives.
#[must_use]
pub fn strength_of_ratio(water_cement_ratio: f64) -> f64 {
    let (at_zero, slope) = law();
    at_zero * (slope * water_cement_ratio).exp()
}

/// Water-cement ratio that a compressive strength \[Pa\] usually stands for, within 0.35 to 1.0.
#[must_use]
pub fn ratio_of_strength(strength: f64) -> f64 {
    let (at_zero, slope) = law();
    ((strength / 1e6 / at_zero).ln() / slope).clamp(RATIOS.0, RATIOS.1)
}
