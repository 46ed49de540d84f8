//! The measured course of hydration and what is published on sealed concrete. Shared by the tests and the example.

/// Belite in the cement before it met water, % of its dry mass.
const BELITE: f64 = 18.9;

/// One age of the measured course: days, share of the clinker and share of the belite that have reacted.
pub(crate) fn measured() -> Vec<(f64, f64, f64)> {
    include_str!("../../fixtures/concrete/hydration_course.csv")
        .lines()
        .skip(1)
        .map(|line| {
            let n: Vec<f64> = line
                .split(',')
                .map(|s| s.parse().expect("a number"))
                .collect();
            (n[0], n[1] / 100.0, 1.0 - n[2] / BELITE)
        })
        .collect()
}

/// Mean strength at 28 days in megapascals of usual concrete by water-cement ratio (common practice, no published source).
pub(crate) const STRENGTH: [(f64, f64); 4] =
    [(0.35, 70.0), (0.40, 60.0), (0.50, 45.0), (0.60, 35.0)];

/// Relative humidity of sealed concrete in the end: EN 1992-1-1:2023, annex B, formula B.32.
pub(crate) fn standard_sealed(strength: f64) -> f64 {
    (0.99 * (35.0 / strength).powf(0.1)).min(0.99)
}

/// Persson 1997, concrete without silica fume, 1 to 15 months (from memory, low confidence).
pub(crate) fn persson_sealed(water_cement_ratio: f64, months: f64) -> f64 {
    1.09 * water_cement_ratio.powf(0.17 * (1.0 + 0.0451 * months))
}
