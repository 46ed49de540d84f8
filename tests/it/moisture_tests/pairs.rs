//! The dish beside the probe, and the forms of the permeability below the fitted rows. Shared by the tests and the printed comparison.

use super::rows::{carry, given, young};
use coatday::column::{Skin, Tolerance};
use coatday::concrete::Constants;
use coatday::moisture_tests::{Service, Target, Tester};
use coatday::simulation::Resolution;
use coatday::units::DAY;
use std::ops::ControlFlow;

/// 1 lb/1000 ft2 in 24 h \[kg/(m2 s)\].
pub(crate) const POUND: f64 = 5.651e-8;
/// Age at which moist curing ends \[s\].
const CURED: f64 = 7.0 * DAY;
/// A slab that takes longer than this is given up \[s\].
const LONGEST: f64 = 3000.0 * DAY;

/// Pairs of limits on data sheets and in standards of the trade: relative humidity at depth, dish in lb/1000 ft2 in 24 h, whose they are.
/// They are no pairs of readings; none on one slab was found.
pub(crate) const PAIRS_OF_LIMITS: [(f64, f64, &str); 3] = [
    (0.75, 3.0, "resin floors, a specification of 2014"),
    (0.75, 5.0, "coatings, a text of the trade"),
    (0.90, 5.0, "floor coverings, a text of the trade"),
];

/// Probe and dish side by side under service conditions: days of drying, relative humidity at depth, dish in lb/1000 ft2 in 24 h.
/// A slab of 4 in. over a sealed underside, moist for a week, then in air of 23 degC and 50 %, until the probe reads `lowest`.
pub(crate) fn probe_and_dish(
    water_cement_ratio: f64,
    lowest: f64,
    numerics: (Resolution, Tolerance),
) -> Result<Vec<(f64, f64, f64)>, String> {
    const THICKNESS: f64 = 0.1016;
    /// The next look comes so much later.
    const LATER: f64 = 1.25;
    let (temperature, relative_humidity) = (23.0, 0.5);
    let mut s = young(
        water_cement_ratio,
        THICKNESS,
        temperature,
        Skin::default(),
        &Constants::default(),
        numerics,
    );
    s.keep_wet(true);
    carry(&mut s, CURED, temperature, 1.0)?;
    s.keep_wet(false);
    let tester = Tester {
        service: Service {
            temperature,
            relative_humidity,
        },
        ..Tester::default()
    };
    let targets = [
        Target::HumidityAtDepth {
            limit: 1.0,
            depth_share: None,
        },
        Target::EmissionRate { limit: 1.0 },
    ];
    let mut course = Vec::new();
    let mut days = 7.0;
    while days * DAY < LONGEST {
        carry(&mut s, CURED + days * DAY, temperature, relative_humidity)?;
        let read = tester
            .read(&targets, &s.snapshot())
            .map_err(|fault| fault.to_string())?;
        course.push((days, read[0], read[1] / POUND));
        if read[0] <= lowest {
            break;
        }
        days *= LATER;
    }
    Ok(course)
}

/// The dish when the probe reads a humidity, linear between two looks.
pub(crate) fn dish_at(course: &[(f64, f64, f64)], humidity: f64) -> Option<f64> {
    course.windows(2).find_map(|pair| match pair {
        [(_, a, dish), (_, b, later)] if *b <= humidity && humidity <= *a => {
            Some(dish + (a - humidity) / (a - b) * (later - dish))
        }
        _ => None,
    })
}

/// Forms of the permeability: share of its lowest value in its highest, middle and exponent of the S-shape. The last is the model's with twice its
/// vapour permeability, still less than half of the highest measured in dry concrete (IEA Annex 24 catalogue).
pub(crate) const FORMS: [(&str, f64, f64, f64); 5] = [
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
pub(crate) fn days_to(constants: &Constants, water_cement_ratio: f64, limits: &[f64]) -> Vec<f64> {
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
