//! What the solver asks of a material.

/// What one cubic metre of a material holds at a state.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Storage {
    /// Evaporable water \[kg/m3\].
    pub water: f64,
    /// Derivative of the evaporable water with respect to relative humidity \[kg/m3\].
    pub water_by_humidity: f64,
    /// Derivative of the evaporable water with respect to temperature \[kg/(m3 K)\].
    pub water_by_temperature: f64,
    /// Chemically bound water \[kg/m3\]; depends on maturity alone.
    pub bound_water: f64,
    /// Heat released by chemical reactions since mixing \[J/m3\]; depends on maturity alone.
    pub heat_released: f64,
}

/// How a material lets water through at a state.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Transport {
    /// Vapour permeability, driven by vapour pressure \[kg/(m s Pa)\].
    pub vapour_permeability: f64,
    /// Its derivative with respect to relative humidity.
    pub vapour_permeability_by_humidity: f64,
    /// Liquid conductivity, driven by relative humidity \[kg/(m s)\].
    pub liquid_conductivity: f64,
    /// Its derivative with respect to relative humidity; asked for only where there is no potential.
    pub liquid_conductivity_by_humidity: f64,
    /// The integral of the conductivity, where the material knows it.
    pub potential: Option<Potential>,
}

/// Kirchhoff's potential of a material whose liquid conductivity is a function of relative humidity times one of
/// temperature. Its difference gives the flux between two states exactly, however steep the conductivity is between
/// them; without it the links take Simpson's rule.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Potential {
    /// Integral of the conductivity over relative humidity at the reference temperature \[kg/(m s)\].
    pub value: f64,
    /// Its derivative: the conductivity at the reference temperature \[kg/(m s)\].
    pub slope: f64,
    /// Factor of temperature.
    pub factor: f64,
    /// Its derivative \[1/K\].
    pub factor_by_temperature: f64,
}

/// A porous material as the column sees it. Relative humidity is 0..1 (the solver may ask slightly above
/// 1, where storage must keep rising), temperature is degC, `age` is the equivalent age \[s\] (zero for materials that
/// do not age).
pub trait Material: Send + Sync + std::fmt::Debug {
    /// What the age alone decides, in whatever measure [`Self::storage`] wants it (a degree of hydration): the solver
    /// asks once for a stage of a step, not at every iteration.
    fn maturity(&self, age: f64) -> f64 {
        age
    }
    /// Water and heat held, at a maturity from [`Self::maturity`].
    fn storage(&self, humidity: f64, temperature: f64, maturity: f64) -> Storage;
    /// Transport coefficients.
    fn transport(&self, humidity: f64, temperature: f64) -> Transport;
    /// Thermal conductivity \[W/(m K)\] at an evaporable water content \[kg/m3\].
    fn thermal_conductivity(&self, water: f64) -> f64;
    /// Heat capacity of the dry material \[J/(m3 K)\].
    fn heat_capacity(&self) -> f64;
    /// How fast `age` grows per second of time (equivalent age of a hydrating material).
    fn ageing_rate(&self, _humidity: f64, _temperature: f64) -> f64 {
        0.0
    }
}
