//! How far what is published bears the readings: the range in which the concrete was fitted, and what is known of dishes.
//!
//! **Below the fitted range.** The lowest published drying times that the concrete was fitted to are those to 85 % and to
//! 3 lb/1000 ft2 in 24 h. Published forms of the permeability that are fitted to the same time to 85 % part below it: the S-shapes of
//! Model Code 2010, of Bazant & Najjar 1972 with either end of its exponent and of a doctoral thesis on concrete of w/c 0.5, and a vapour permeability
//! twice as high, well within what was measured. Their days to 80, 75 and 70 % scatter by 0.11, 0.22 and 0.24 in the logarithm (root mean
//! square about the model): some 0.02 for each point. Test: `ref_forms_part_below_the_fitted_rows` in `tests/it/concrete.rs`.
//!
//! **Dish against probe.** No pair of readings on one slab could be found, and testers report next to no correlation. What is published is
//! pairs of limits, and the simulated dish (`examples/dish_against_probe.rs`) stands beside them so:
//!
//! | | published | simulated, w/c 0.4 to 0.7 |
//! |---|---|---|
//! | 75 % (limits of resin floors and of coatings) | 3 and 5 lb | 2.9 to 3.2 lb |
//! | 90 % (limits of floor coverings) | 5 lb | 5.0 to 5.8 lb |
//!
//! With anhydrous salt, which dries the air to 1 %, it read twice as much: a slab that had lain five years in air of 50 % gave 6.6 lb, all
//! but 0.2 of it from the water of its top millimetres. A dish of which the top turns to a solution stands at 30 %.
//! Both are possible, so the logarithm is given half of that factor of two as its standard deviation.

use super::target::Target;

/// Lowest relative humidity at depth of the published drying times that the concrete was fitted to.
pub const LOWEST_FITTED: f64 = 0.85;
/// Lowest flux of the same \[kg/(m2 s)\]: 3 lb/1000 ft2 in 24 h.
const LOWEST_FITTED_FLUX: f64 = 3.0 * 0.453_592_37 / 92.903_04 / 86_400.0;
/// Standard deviation of the logarithm of the days for each unit of relative humidity below the fitted range: 0.02 a point.
const PER_HUMIDITY: f64 = 2.0;
/// Relative humidity by which a slab is drier for each unit of the logarithm by which its flux is lower (w/c 0.5, 100 mm, from 3 lb at
/// 85 % to 1.1 lb at 79 %: simulated).
const HUMIDITY_PER_FLUX: f64 = 0.067;
/// Standard deviation for tests that no published drying time was found for: that of 75 %, the limit that data sheets set beside them.
const NEVER_FITTED: f64 = 0.2;
/// Standard deviation of the logarithm of what dishes read about the simulated dish: two of it reach a dish of which the salt stays
/// anhydrous, which reads twice as much.
pub const DISH_SPREAD: f64 = 0.35;

/// Whether a target lies beyond the published drying times that the concrete was fitted to: a humidity below 85 %, a flux below
/// 3 lb/1000 ft2 in 24 h, any dish and any mass percent.
#[must_use]
pub fn beyond_fitted_range(target: &Target) -> bool {
    extrapolation(target) > 0.0
}

/// Standard deviation of the logarithm of the days to a target, beside the scatter about the fitted rows; zero within their range.
#[must_use]
pub fn extrapolation(target: &Target) -> f64 {
    match *target {
        Target::HumidityAtDepth { limit, .. } | Target::EquilibriumHumidity { limit } => {
            PER_HUMIDITY * (LOWEST_FITTED - limit).max(0.0)
        }
        Target::SurfaceFlux { limit } => {
            let logarithm = (LOWEST_FITTED_FLUX / limit).ln().max(0.0);
            PER_HUMIDITY * HUMIDITY_PER_FLUX * logarithm
        }
        Target::EmissionRate { .. } | Target::MassPercent { .. } => NEVER_FITTED,
        Target::PlasticSheet { .. } => 0.0,
    }
}
