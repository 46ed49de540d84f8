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
            drying: 3.5,
            bound: 0.23,
            shrinkage: 0.064,
            heat: 450e3,
        }
    }
}

/// Desorption isotherm. With `x = ln(wc / 0.487)`: a power law in the water-cement ratio joins the two published
/// isotherms and carries on from them more gently than an exponential would.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IsothermConstants {
    /// Pressure scale `a` \[Pa\] at w/c 0.487: Baroghel-Bouny et al. 1999, from memory.
    pub pressure: f64,
    /// Change of `ln a` with `x`: through the two published isotherms (the form is ours).
    pub pressure_slope: f64,
    /// Exponent `b` at w/c 0.487: Baroghel-Bouny et al. 1999, from memory.
    pub exponent: f64,
    /// Change of `b` with `x`: through the two published isotherms (the form is ours).
    pub exponent_slope: f64,
    /// Factor on the pressure (fitted; 1 is the published curve).
    pub pressure_factor: f64,
    /// Factor on the exponent (fitted; 1 is the published curve).
    pub exponent_factor: f64,
    /// Relative humidity one day after placing (fitted). Dissolved alkalis and the first day's hydration keep it
    /// below 1.
    pub young_humidity: f64,
}

/// Water-cement ratio of the published concrete.
pub(super) const ISOTHERM_RATIO: f64 = 0.487;
/// Water-cement ratio at which the transport constants hold.
pub(super) const TRANSPORT_RATIO: f64 = 0.5;

impl Default for IsothermConstants {
    fn default() -> Self {
        Self {
            pressure: 18.6237e6,
            // (ln 18.6237 - ln 37.5479) / (ln 0.487 - ln 0.34)
            pressure_slope: -1.9516,
            exponent: 2.2748,
            // (2.2748 - 2.1684) / (ln 0.487 - ln 0.34)
            exponent_slope: 0.2961,
            pressure_factor: 1.325,
            exponent_factor: 1.059,
            young_humidity: 0.995,
        }
    }
}

/// Transport. With `x = ln(wc / 0.5)`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TransportConstants {
    /// Vapour permeability `delta` at w/c 0.5 and 20 degC \[kg/(m s Pa)\] (fitted; measured in the IEA Annex 24
    /// catalogue: 1.0e-12 to 6.8e-12 in dry concrete).
    pub vapour: f64,
    /// Change of `ln delta` with `x` (fitted).
    pub vapour_slope: f64,
    /// Liquid conductivity `K1` on the plateau of the S-shape at w/c 0.5 \[kg/(m s)\] (fitted).
    pub liquid: f64,
    /// Change of `ln K1` with `x` (fitted).
    pub liquid_slope: f64,
    /// Change of `ln K1` with `x^2` (fitted).
    pub liquid_curvature: f64,
    /// Middle `hc` of the S-shape (fitted; 0.75 to 0.83 published).
    pub middle: f64,
    /// Exponent `n` of the S-shape (fitted; 6 to 16 published).
    pub steepness: f64,
    /// Liquid conductivity `K2` of full pores at w/c 0.5 \[kg/(m s)\] (fitted).
    pub capillary: f64,
    /// Change of `ln K2` with `x` (fitted).
    pub capillary_slope: f64,
    /// Exponent of the power law near saturation (fitted).
    pub capillary_exponent: f64,
    /// Activation temperature of liquid transport \[K\] (fitted; 2700 Bazant & Thonguthai 1978, 4700 Bazant &
    /// Najjar 1972, the latter from memory).
    pub activation: f64,
}

impl Default for TransportConstants {
    fn default() -> Self {
        Self {
            vapour: 1.39e-12,
            vapour_slope: -0.23,
            liquid: 5.56e-8,
            liquid_slope: 0.06,
            liquid_curvature: -1.9,
            middle: 0.779,
            steepness: 16.0,
            capillary: 1.42e-6,
            capillary_slope: 1.5,
            capillary_exponent: 49.0,
            activation: 3120.0,
        }
    }
}
