//! Forms of the permeability below the fitted rows, and the days that they give.

use crate::concrete::rows::{carry, given, young};
use coatday::column::{Skin, Tolerance};
use coatday::concrete::Constants;
use coatday::simulation::Resolution;
use coatday::units::DAY;
use std::ops::ControlFlow;

/// Age at which moist curing ends \[s\].
const CURED: f64 = 7.0 * DAY;
/// A slab that takes longer than this is given up \[s\].
const LONGEST: f64 = 3000.0 * DAY;

/// Forms of the permeability: share of its lowest value in its highest, middle and exponent of the S-shape. The last is the model's with twice its
/// vapour permeability, still less than half of the highest measured in dry concrete (IEA Annex 24 catalogue).
pub(super) const FORMS: [(&str, f64, f64, f64); 5] = [
    (
        "fib Model Code 2010 section 5.1.13, from memory",
        0.05,
        0.80,
        15.0,
    ),
    (
        "Bazant & Najjar 1972, lowest exponent, from memory",
        0.05,
        0.75,
        6.0,
    ),
    (
        "Bazant & Najjar 1972, highest exponent, from memory",
        0.05,
        0.75,
        16.0,
    ),
    (
        "fit to concrete of w/c 0.5 in a doctoral thesis on dried concrete",
        0.02,
        0.83,
        8.0,
    ),
    (
        "the model with twice its vapour permeability",
        0.1,
        0.777,
        16.0,
    ),
];

/// Days of drying in air of 20 degC and 50 % until the probe in a slab of 100 mm reads each of some humidities, the highest first.
pub(super) fn days_to(constants: &Constants, water_cement_ratio: f64, limits: &[f64]) -> Vec<f64> {
    const THICKNESS: f64 = 0.1;
    let (temperature, relative_humidity) = (20.0, 0.5);
    let numerics = (Resolution::default(), Tolerance::default());
    let mut s = young(
        water_cement_ratio,
        THICKNESS,
        temperature,
        Skin::default(),
        constants,
        numerics,
    );
    s.keep_wet(true);
    carry(&mut s, CURED, temperature, 1.0).expect("curing");
    s.keep_wet(false);
    let mut days = Vec::new();
    let _ = s
        .advance(
            LONGEST,
            given(temperature, relative_humidity),
            &mut |slab, _| {
                while limits
                    .get(days.len())
                    .is_some_and(|l| slab.humidity_at(0.4 * THICKNESS) <= *l)
                {
                    days.push((slab.time() - CURED) / DAY);
                }
                if days.len() == limits.len() {
                    ControlFlow::Break(())
                } else {
                    ControlFlow::Continue(())
                }
            },
        )
        .expect("drying");
    days
}
