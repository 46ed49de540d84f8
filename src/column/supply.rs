//! What a caller gives to a step: what the surroundings bring into the air node.

use nalgebra::{Matrix2, Vector2};

/// What the surroundings bring into the air node: water vapour \[kg/(m2 s)\] and enthalpy \[W/m2\], per area
/// of slab, at an air temperature \[degC\] and humidity ratio \[kg/kg\].
pub trait Supply {
    /// Evaluates the supply; must be continuous.
    fn supply(&self, temperature: f64, humidity_ratio: f64) -> [f64; 2];
}

impl<F: Fn(f64, f64) -> [f64; 2]> Supply for F {
    fn supply(&self, temperature: f64, humidity_ratio: f64) -> [f64; 2] {
        self(temperature, humidity_ratio)
    }
}

/// The supply at the air's unknowns: humidity ratio and temperature.
pub(super) fn supply_at(supply: &impl Supply, air: &Vector2<f64>) -> Vector2<f64> {
    supply.supply(air[1], air[0]).into()
}

/// Its derivatives by the unknowns, where it is known. By small differences: machines are polynomials with kinks. Steps of about the root of
/// rounding times the size.
pub(super) fn supply_slope(
    supply: &impl Supply,
    air: &Vector2<f64>,
    there: &Vector2<f64>,
) -> Matrix2<f64> {
    const STEPS: [f64; 2] = [1e-9, 1e-5];
    let along = |k: usize| {
        let mut moved = *air;
        moved[k] += STEPS[k];
        (supply_at(supply, &moved) - there) / STEPS[k]
    };
    Matrix2::from_columns(&[along(0), along(1)])
}
