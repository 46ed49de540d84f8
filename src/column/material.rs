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
    /// Relative humidity, to first order, at which the curve of wetting parts from the drying curve; none without hysteresis.
    pub parting: Option<f64>,
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

/// What coarse pores that fill again add to the liquid conductivity where a material is wetted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wetting {
    /// When they are full, at the reference temperature \[kg/(m s)\].
    pub conductivity: f64,
    /// Relative humidity at which they begin to fill; what they add goes with the square of the way from there to full pores.
    pub from: f64,
}

impl Wetting {
    /// Integral of it over relative humidity up to `humidity`, and its derivative \[kg/(m s)\].
    pub(super) fn potential(&self, humidity: f64) -> (f64, f64) {
        let filled = (humidity.min(1.0) - self.from).max(0.0);
        if filled == 0.0 {
            return (0.0, 0.0);
        }
        let share = filled / (1.0 - self.from);
        let conductivity = self.conductivity * share * share;
        let beyond = (humidity - 1.0).max(0.0);
        (conductivity * (filled / 3.0 + beyond), conductivity)
    }
}

/// How pores that stand on water let it through, other than on the drying curve: the change goes with a power of relative humidity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Feeding {
    /// Change of the liquid conductivity of full pores at the reference temperature \[kg/(m s)\].
    pub change: f64,
    /// Exponent of relative humidity.
    pub exponent: f64,
}

impl Feeding {
    /// Integral of the change over relative humidity up to `humidity`, and its derivative \[kg/(m s)\].
    pub(super) fn potential(&self, humidity: f64) -> (f64, f64) {
        let h = humidity.clamp(0.0, 1.0);
        let slope = self.change * h.powf(self.exponent);
        (slope * (h / (self.exponent + 1.0) + (humidity - h)), slope)
    }
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
    /// The same in pores that have been drier: `driest` is the lowest degree of saturation that they have had. Materials without
    /// hysteresis hold what they hold.
    fn storage_after(
        &self,
        humidity: f64,
        temperature: f64,
        maturity: f64,
        _driest: f64,
    ) -> Storage {
        self.storage(humidity, temperature, maturity)
    }
    /// Degree of saturation on the drying curve, 0..1; what hysteresis remembers.
    fn saturation_when_drying(&self, _humidity: f64, _temperature: f64) -> f64 {
        1.0
    }
    /// What pores add that have been drier and are wetted again: `driest` is the lowest degree of saturation that they have had. None on the
    /// drying curve and without hysteresis; asked for only where there is a potential.
    fn wetting(&self, _humidity: f64, _temperature: f64, _driest: f64) -> Option<Wetting> {
        None
    }
    /// What stands on water lets it through otherwise than what only dries, at a maturity; none where nothing feeds it. Asked for only
    /// where there is a potential.
    fn feeding(&self, _maturity: f64) -> Option<Feeding> {
        None
    }
    /// Transport coefficients on the drying curve.
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
