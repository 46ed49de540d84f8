//! Drying times by the handbook's factors: Hedenblad 1995 and 1997, most of them from memory (`tests/fixtures/concrete/README.md`).
//!
//! ```text
//! days = standard(limit, wc) * thickness(wc, L) * faces(wc) * climate(T, RH)
//! ```
//! The clock starts four weeks after placing, on a slab of Portland cement that was rained on for two of them. The factors were mostly
//! calculated, not measured, and do not agree with diffusion for thick slabs and for one face: they stand beside a date as a second
//! opinion, and nothing is computed from them.

/// Water-cement ratios of the tables.
const RATIOS: [f64; 4] = [0.4, 0.5, 0.6, 0.7];
/// Days of a slab of 180 mm that dries from both faces at 18 degC and 60 %, to 85 % and to 90 %.
const STANDARD: [(f64, [f64; 4]); 2] = [
    (0.85, [50.0, 90.0, 135.0, 180.0]),
    (0.90, [20.0, 45.0, 65.0, 95.0]),
];
/// Thicknesses of the table \[m\].
const THICKNESSES: [f64; 5] = [0.1, 0.15, 0.18, 0.2, 0.25];
/// Factor of the thickness, by water-cement ratio.
const OF_THICKNESS: [[f64; 5]; 4] = [
    [0.4, 0.8, 1.0, 1.1, 1.3],
    [0.4, 0.8, 1.0, 1.1, 1.4],
    [0.4, 0.8, 1.0, 1.1, 1.5],
    [0.4, 0.7, 1.0, 1.2, 1.8],
];
/// Factor of a slab that dries from one face, by water-cement ratio.
const ONE_FACE: [f64; 4] = [2.0, 2.3, 2.6, 3.2];
/// Temperatures of the table \[degC\].
const TEMPERATURES: [f64; 4] = [10.0, 18.0, 25.0, 30.0];
/// Relative humidities of the table.
const HUMIDITIES: [f64; 5] = [0.35, 0.5, 0.6, 0.7, 0.8];
/// Factor of the climate, by relative humidity.
const CLIMATE: [[f64; 4]; 5] = [
    [1.2, 0.8, 0.7, 0.6],
    [1.2, 0.9, 0.7, 0.6],
    [1.3, 1.0, 0.8, 0.7],
    [1.4, 1.1, 0.8, 0.7],
    [1.7, 1.2, 1.0, 0.9],
];

/// A slab as the handbook sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FactorSlab {
    /// Mass of mixing water per mass of cement.
    pub water_cement_ratio: f64,
    /// Thickness \[m\].
    pub thickness: f64,
    /// Whether both faces dry.
    pub both_faces: bool,
}

/// Days from the 28th on until the slab reads `limit` in air of a temperature \[degC\] and relative humidity; between the tables' places by
/// straight lines, the thickness on a logarithmic scale. `None` outside of the tables.
#[must_use]
pub fn factor_method(
    slab: FactorSlab,
    limit: f64,
    temperature: f64,
    relative_humidity: f64,
) -> Option<f64> {
    /// Limits are written in whole per cents.
    const SAME: f64 = 1e-6;
    let (_, standard) = STANDARD.iter().find(|(l, _)| (l - limit).abs() < SAME)?;
    let ratio = place_in(&RATIOS, slab.water_cement_ratio)?;
    let thickness = place_in(&THICKNESSES.map(f64::ln), slab.thickness.ln())?;
    let faces = if slab.both_faces {
        1.0
    } else {
        ratio.of(&ONE_FACE)
    };
    let of_thickness = OF_THICKNESS.map(|factors| thickness.of(&factors.map(f64::ln)).exp());
    let warmth = place_in(&TEMPERATURES, temperature)?;
    let dampness = place_in(&HUMIDITIES, relative_humidity)?;
    let climate = dampness.of(&CLIMATE.map(|factors| warmth.of(&factors)));
    Some(ratio.of(standard) * ratio.of(&of_thickness) * faces * climate)
}

/// Where a value lies between two neighbours of a rising list.
#[derive(Clone, Copy)]
struct Place {
    below: usize,
    share: f64,
}

impl Place {
    /// A table's value there, on the straight line between its neighbours.
    fn of<const N: usize>(self, values: &[f64; N]) -> f64 {
        let above = values.get(self.below + 1).unwrap_or(&values[self.below]);
        values[self.below] + self.share * (above - values[self.below])
    }
}

/// The place of a value in a rising list, `None` outside of it.
fn place_in<const N: usize>(list: &[f64; N], value: f64) -> Option<Place> {
    /// Units converted to and fro leave so much of an end of the list.
    const ROUNDING: f64 = 1e-9;
    let inside = |[low, high]: [f64; 2]| low - ROUNDING <= value && value <= high + ROUNDING;
    let mut pairs = list.windows(2).map(|pair| [pair[0], pair[1]]).zip(0..);
    let ([low, high], below) = pairs.find(|(pair, _)| inside(*pair))?;
    Some(Place {
        below,
        share: (value - low) / (high - low),
    })
}
