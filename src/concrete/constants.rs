//! Every number of the concrete model, each with its source or the word "fitted".

/// All constants of the model.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Constants {
    /// How cement hydrates.
    pub hydration: HydrationConstants,
    /// How pores hold water.
    pub isotherm: IsothermConstants,
    /// How pores let water through.
    pub transport: TransportConstants,
}

/// Hydration.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HydrationConstants {
    /// Time constant \[s\] (fitted).
    pub time: f64,
    /// Exponent (fitted).
    pub exponent: f64,
    /// Activation temperature \[K\]: CEB-FIP Model Code 1990.
    pub activation: f64,
    /// Strength of the slow-down in drying pores, `1/(1 + (a - a h)^4)`: Bazant & Najjar 1972, from memory.
    pub drying: f64,
    /// Bound water per hydrated cement \[kg/kg\]: Powers.
    pub bound: f64,
    /// Chemical shrinkage per hydrated cement \[l/kg\]: Powers, from memory.
    pub shrinkage: f64,
    /// Heat of complete hydration \[J/kg\]: typical Portland cement, from memory.
    pub heat: f64,
}

impl Default for HydrationConstants {
    fn default() -> Self {
        Self {
            time: 12.5 * 3600.0,
            exponent: 0.69,
            activation: 4000.0,
            drying: 7.5,
            bound: 0.23,
            shrinkage: 0.064,
            heat: 450e3,
        }
    }
}

/// Desorption isotherm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IsothermConstants {
    /// Pressure scale `a` \[Pa\] at w/c 0.487: Baroghel-Bouny et al. 1999, from memory.
    pub pressure: f64,
    /// Change of `ln a` per unit of w/c: log-linear through the two published isotherms (ours).
    pub pressure_slope: f64,
    /// Exponent `b` at w/c 0.487: Baroghel-Bouny et al. 1999, from memory.
    pub exponent: f64,
    /// Change of `b` per unit of w/c: linear through the two published isotherms (ours).
    pub exponent_slope: f64,
    /// Factor on the pressure (fitted; 1 is the published curve).
    pub pressure_factor: f64,
    /// Factor on the exponent (fitted; 1 is the published curve).
    pub exponent_factor: f64,
}

/// Water-cement ratio of the published concrete.
pub(super) const ISOTHERM_RATIO: f64 = 0.487;

impl Default for IsothermConstants {
    fn default() -> Self {
        Self {
            pressure: 18.6237e6,
            // (ln 18.6237 - ln 37.5479) / (0.487 - 0.34)
            pressure_slope: -4.7698,
            exponent: 2.2748,
            // (2.2748 - 2.1684) / (0.487 - 0.34)
            exponent_slope: 0.7238,
            pressure_factor: 1.27,
            exponent_factor: 1.03,
        }
    }
}

/// Transport. With `x = wc - 0.5`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TransportConstants {
    /// `K1` at w/c 0.5 \[kg/(m s)\] (fitted).
    pub scale: f64,
    /// Change of `ln K1` with `x` (fitted).
    pub scale_slope: f64,
    /// Change of `ln K1` with `x^2` (fitted).
    pub scale_curvature: f64,
    /// Dry part `a0` at w/c 0.5 (fitted; the dry vapour permeability that follows is 1.4e-12 kg/(m s Pa), within
    /// the values measured in the IEA Annex 24 catalogue, 1.2e-12 to 6e-12).
    pub dry: f64,
    /// Change of `ln a0` with `x` (fitted).
    pub dry_slope: f64,
    /// Middle `hc` of the S-shape (fitted; 0.75 to 0.83 published).
    pub middle: f64,
    /// Exponent `n` of the S-shape (fitted; 6 to 16 published).
    pub steepness: f64,
    /// Factor of the power law near saturation (fitted).
    pub capillary: f64,
    /// Exponent of the power law near saturation (fitted).
    pub capillary_exponent: f64,
    /// Activation temperature of liquid transport \[K\] (fitted; 2700 Bazant & Thonguthai 1978, 4700 Bazant &
    /// Najjar 1972, the latter from memory).
    pub activation: f64,
}

impl Default for TransportConstants {
    fn default() -> Self {
        Self {
            scale: 5.5e-8,
            scale_slope: 1.06,
            scale_curvature: -6.6,
            dry: 0.061,
            dry_slope: -4.2,
            middle: 0.775,
            steepness: 17.7,
            capillary: 109.0,
            capillary_exponent: 54.0,
            activation: 2550.0,
        }
    }
}
