//! What a caller gives to a step: what the surroundings bring into the air node.

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
