//! The dish beside the probe. Shared by the tests and the printed comparison.

use super::rows::{carry, young};
use coatday::column::{Skin, Tolerance};
use coatday::concrete::Constants;
use coatday::moisture_tests::{Service, Target, Tester};
use coatday::simulation::Resolution;
use coatday::units::DAY;

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
