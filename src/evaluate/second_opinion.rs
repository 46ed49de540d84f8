//! What the handbook's factors give for a setup, beside its date.

use super::outcome::Outcome;
use crate::concrete::{Aggregate, FactorSlab, factor_method};
use crate::job::Job;
use crate::moisture_tests::Target;
use crate::simulation::Underside;

/// Drier air counts as this, the driest of the handbook's tables: from 50 % to here its factors hardly change.
const DRIEST: f64 = 0.35;

/// Days from the 28th on, by [`factor_method`], in the mean of the air that the setup made until the slab was dry. `None` where the method
/// says nothing: another test or limit, soaked aggregate, ground that feeds the slab, a setup that is never dry, or outside of its tables.
#[must_use]
pub fn handbook_days(job: &Job, outcome: &Outcome) -> Option<f64> {
    let slab = &job.slab;
    let mix = slab.concrete.mix();
    let [
        Target::HumidityAtDepth {
            limit,
            depth_share: None,
        },
    ] = job.targets[..]
    else {
        return None;
    };
    if mix.aggregate != Aggregate::NormalWeight || slab.underside == Underside::BareGround {
        return None;
    }
    let (temperature, relative_humidity) = mean_air(outcome)?;
    let as_listed = FactorSlab {
        water_cement_ratio: mix.water_cement_ratio,
        thickness: slab.thickness,
        both_faces: slab.dries_from_two_sides(),
    };
    factor_method(as_listed, limit, temperature, relative_humidity.max(DRIEST))
}

/// Mean temperature \[degC\] and relative humidity of the room until the slab was dry.
fn mean_air(outcome: &Outcome) -> Option<(f64, f64)> {
    let end = outcome.days_to_target?;
    let mut sums = [0.0; 3];
    for pair in outcome.records.windows(2).filter(|pair| pair[1].day <= end) {
        let days = pair[1].day - pair[0].day;
        let mean = |of: fn(&super::Record) -> f64| f64::midpoint(of(&pair[0]), of(&pair[1]));
        sums[0] += days;
        sums[1] += days * mean(|r| r.air_temperature);
        sums[2] += days * mean(|r| r.air_humidity);
    }
    (sums[0] > 0.0).then(|| (sums[1] / sums[0], sums[2] / sums[0]))
}
