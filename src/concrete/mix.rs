//! A mix, and the material that it makes. Symbols, sources and accuracy stand with [`crate::concrete`].
//!
//! ```text
//! m = [wc/(0.194 + wc)] / [0.5/(0.194 + 0.5)]    A = min(1, A0 m)      B = min(1, B0 m^3)
//! x = ln(wc / 0.487)   a = a0 f exp(a1 x)          b = g (b0 + b1 x)
//! y = ln(wc / 0.5)     K = [ K1 exp(k1 y + k2 y^2) / (1 + ((1-h)/(1-hc))^n) + K2 exp(k3 y) h^m ] exp(E (1/293.15 - 1/T))
//!                      delta = delta0 exp(d1 y) (T/293.15)^0.81
//! ```
//! The first part of `K` is transport through gel and adsorbed films (the S-shape of Bazant & Najjar 1972), the
//! second flow through capillary pores, which joins near saturation.

use super::constants::{Constants, HYDRATION_RATIO, ISOTHERM_RATIO, TRANSPORT_RATIO};
use crate::air;
use crate::column::{Feeding, Material, Storage, Transport, Wetting};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Density of water times the gas constant of vapour \[Pa/K\].
const SUCTION_PER_KELVIN: f64 = 1000.0 * air::GAS_CONSTANT_VAPOUR;
/// Reference temperature of transport and hydration \[K\].
pub(super) const REFERENCE: f64 = 293.15;
/// Temperature at which the coarse pores are told from the fine ones \[degC\].
const ROOM_TEMPERATURE: f64 = REFERENCE - air::KELVIN_AT_ZERO_CELSIUS;
/// Exponent of vapour permeability with temperature (EN 15026, from memory).
const VAPOUR_TEMPERATURE_EXPONENT: f64 = 0.81;
/// Above this relative humidity storage goes on as a straight line, so that full pores still have a state.
pub(super) const FULL: f64 = 0.9999;
/// Below this relative humidity the curves are not evaluated; a slab never gets there.
pub(super) const DRY: f64 = 1e-4;

/// The stone of a mix.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Aggregate {
    /// Dense stone; its own water is left out.
    #[schemars(extend("x-label" = "normal weight"))]
    NormalWeight,
    /// Porous stone that was soaked before mixing; its water has to dry out too.
    #[schemars(extend("x-label" = "lightweight, soaked: its water has to dry out too (an estimate, not fitted to any table)"))]
    Lightweight,
}

/// Water in soaked lightweight aggregate \[kg/m3 of concrete\]: some 450 kg of it with 15 % of its mass in water
/// (common practice, no published source).
const AGGREGATE_WATER: f64 = 65.0;
/// Pressure scale of lightweight aggregate \[Pa\]: leaves 15 % of its water at 94 % RH and 23 degC (ASTM C1761, from memory).
const AGGREGATE_PRESSURE: f64 = 1.28e6;
/// Dry densities \[kg/m3\]: EN ISO 10456 for plain concrete (from memory); structural lightweight concrete, the middle of
/// 1600 to 1850 (ACI 213, from memory).
const DRY_DENSITY: (f64, f64) = (2200.0, 1725.0);

/// Density of Portland cement \[kg/m3\] (from memory).
const CEMENT_DENSITY: f64 = 3150.0;

/// What went into the concrete.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mix {
    /// Mass of mixing water per mass of cement.
    pub water_cement_ratio: f64,
    /// Cement \[kg/m3\].
    pub cement_content: f64,
    /// Its stone.
    pub aggregate: Aggregate,
}

/// Mixing water when only the water-cement ratio is known \[kg/m3\]: a usual pumpable mix with 20 mm aggregate
/// (common practice, no published source).
pub const USUAL_MIXING_WATER: f64 = 185.0;

impl Mix {
    /// A mix of the given ratio with the usual amount of mixing water.
    #[must_use]
    pub fn of_ratio(water_cement_ratio: f64) -> Self {
        Self {
            water_cement_ratio,
            cement_content: USUAL_MIXING_WATER / water_cement_ratio,
            aggregate: Aggregate::NormalWeight,
        }
    }

    /// Share of the volume that is paste: mixing water and cement.
    #[must_use]
    pub fn paste_share(&self) -> f64 {
        self.cement_content * (self.water_cement_ratio / 1000.0 + 1.0 / CEMENT_DENSITY)
    }

    /// Mills' ultimate degree of hydration (1966), as a ratio to that at w/c 0.5.
    fn mills_ratio(&self) -> f64 {
        let mills = |ratio: f64| ratio / (0.194 + ratio);
        mills(self.water_cement_ratio) / mills(HYDRATION_RATIO)
    }
}

/// Hardened concrete of a mix.
#[derive(Clone, Copy, Debug)]
pub struct Concrete {
    mix: Mix,
    constants: Constants,
    fast_degree: f64,
    belite_degree: f64,
    isotherm_pressure: f64,
    isotherm_exponent: f64,
    /// Degree of saturation on the drying curve at which the coarse pores are empty.
    coarse_saturation: f64,
    liquid: f64,
    capillary: f64,
    refilling: f64,
    vapour_permeability: f64,
}

impl Concrete {
    /// Concrete of `mix` with the given constants.
    #[must_use]
    pub fn new(mix: Mix, constants: &Constants) -> Self {
        let i = &constants.isotherm;
        let t = &constants.transport;
        let from_published = (mix.water_cement_ratio / ISOTHERM_RATIO).ln();
        let x = (mix.water_cement_ratio / TRANSPORT_RATIO).ln();
        let h = &constants.hydration;
        let mills = mix.mills_ratio();
        let mut concrete = Self {
            mix,
            constants: *constants,
            coarse_saturation: 1.0,
            fast_degree: (h.fast_degree * mills).min(1.0),
            belite_degree: (h.belite_degree * mills.powf(h.belite_ratio_power)).min(1.0),
            isotherm_pressure: i.pressure
                * i.pressure_factor
                * (i.pressure_slope * from_published).exp(),
            isotherm_exponent: i.exponent_factor * (i.exponent + i.exponent_slope * from_published),
            liquid: t.liquid * (t.liquid_slope * x + t.liquid_curvature * x * x).exp(),
            capillary: t.capillary * (t.capillary_slope * x).exp(),
            refilling: t.refilling * (t.refilling_slope * x).exp(),
            vapour_permeability: t.vapour * (t.vapour_slope * x).exp(),
        };
        concrete.coarse_saturation = concrete.saturation(i.coarse_from, ROOM_TEMPERATURE).0;
        concrete
    }

    /// The mix.
    #[must_use]
    pub fn mix(&self) -> &Mix {
        &self.mix
    }

    /// Degree of hydration at an equivalent age \[s\] at 20 degC: the share of the clinker that has reacted.
    #[must_use]
    pub fn hydration(&self, equivalent_age: f64) -> f64 {
        if equivalent_age <= 0.0 {
            return 0.0;
        }
        self.hydration_at_logarithm(equivalent_age.ln()).0
    }

    /// Share of the belite that has reacted at an equivalent age \[s\] at 20 degC.
    #[must_use]
    pub fn belite_reacted(&self, equivalent_age: f64) -> f64 {
        let h = &self.constants.hydration;
        self.belite_degree * -(-equivalent_age.max(0.0) / h.belite_time).exp_m1()
    }

    /// Degree of hydration that the concrete tends to.
    #[must_use]
    pub fn ultimate_hydration(&self) -> f64 {
        let share = self.constants.hydration.belite_share;
        (1.0 - share) * self.fast_degree + share * self.belite_degree
    }

    /// Water that fills the pores \[kg/m3\].
    #[must_use]
    pub fn pore_water(&self, equivalent_age: f64) -> f64 {
        self.pores(self.hydration(equivalent_age))
    }

    /// Water that fills the pores at a degree of hydration \[kg/m3\].
    fn pores(&self, hydration: f64) -> f64 {
        let h = &self.constants.hydration;
        self.mix.cement_content
            * (self.mix.water_cement_ratio - (h.bound - h.shrinkage) * hydration)
    }

    /// Degree of saturation and its derivatives with respect to relative humidity and temperature.
    fn saturation(&self, humidity: f64, temperature: f64) -> (f64, f64, f64) {
        let h = humidity.clamp(DRY, FULL);
        let kelvin = temperature + air::KELVIN_AT_ZERO_CELSIUS;
        let pressure = -SUCTION_PER_KELVIN * kelvin * h.ln();
        let b = self.isotherm_exponent;
        let m = b / (b - 1.0);
        let power = (pressure / self.isotherm_pressure).powf(m);
        let saturation = (1.0 + power).powf(-1.0 / b);
        let by_pressure = -saturation * m / b * power / (pressure * (1.0 + power));
        let by_humidity = -by_pressure * SUCTION_PER_KELVIN * kelvin / h;
        let by_temperature = by_pressure * pressure / kelvin;
        if humidity > FULL {
            (
                saturation + by_humidity * (humidity - FULL),
                by_humidity,
                by_temperature,
            )
        } else {
            (saturation, by_humidity, by_temperature)
        }
    }

    /// What pores hold whose lowest degree of saturation so far is `driest`, from their degree of saturation on the drying curve with its
    /// derivatives at a humidity, and from the water in the aggregate.
    pub(super) fn stored_after(
        &self,
        hydration: f64,
        (humidity, drying): (f64, (f64, f64, f64)),
        driest: f64,
        aggregate: (f64, f64, f64),
    ) -> Storage {
        Storage {
            parting: Some(humidity - (drying.0 - driest) / drying.1),
            ..self.stored(hydration, self.after(drying, driest), aggregate)
        }
    }

    /// The degree of saturation, with its derivatives, of pores whose lowest degree so far is `driest`.
    fn after(&self, drying: (f64, f64, f64), driest: f64) -> (f64, f64, f64) {
        if drying.0 <= driest {
            return drying;
        }
        let fine = self.constants.isotherm.wetting_slope;
        let (coarse, by_drying) = self.coarse(drying.0, driest);
        let left = (1.0 - fine) * (1.0 - driest);
        let slope = fine + left * by_drying;
        (
            driest + fine * (drying.0 - driest) + left * coarse,
            slope * drying.1,
            slope * drying.2,
        )
    }

    /// Share of the coarse pores that are full again, and its derivative with respect to the degree of saturation on the drying curve.
    fn coarse(&self, drying: f64, driest: f64) -> (f64, f64) {
        let from = self.coarse_saturation.max(driest);
        let width = 1.0 - from;
        if drying <= from || width <= 0.0 {
            return (0.0, 0.0);
        }
        let full = (drying - from) / width;
        (full * full, 2.0 * full / width)
    }

    /// Relative humidity that belongs to a degree of saturation on the drying curve, at a temperature \[degC\].
    #[must_use]
    pub fn humidity_when_drying(&self, saturation: f64, temperature: f64) -> f64 {
        let b = self.isotherm_exponent;
        let saturation = saturation.clamp(1e-6, 1.0 - 1e-12);
        let pressure = self.isotherm_pressure * (saturation.powf(-b) - 1.0).powf(1.0 - 1.0 / b);
        (-pressure / (SUCTION_PER_KELVIN * (temperature + air::KELVIN_AT_ZERO_CELSIUS))).exp()
    }

    /// Water in the aggregate \[kg/m3\] and its derivatives with respect to relative humidity and temperature.
    pub(super) fn aggregate_water(&self, humidity: f64, temperature: f64) -> (f64, f64, f64) {
        if self.mix.aggregate == Aggregate::NormalWeight {
            return (0.0, 0.0, 0.0);
        }
        let h = humidity.clamp(DRY, FULL);
        let kelvin = temperature + air::KELVIN_AT_ZERO_CELSIUS;
        let ratio = -SUCTION_PER_KELVIN * kelvin * h.ln() / AGGREGATE_PRESSURE;
        let square = 1.0 + ratio * ratio;
        let water = AGGREGATE_WATER / square.sqrt();
        let by_ratio = -water * ratio / square;
        let by_humidity = -by_ratio * SUCTION_PER_KELVIN * kelvin / (AGGREGATE_PRESSURE * h);
        let beyond = (humidity - FULL).max(0.0);
        (
            water + by_humidity * beyond,
            by_humidity,
            by_ratio * ratio / kelvin,
        )
    }

    /// Dry density \[kg/m3\].
    #[must_use]
    pub fn dry_density(&self) -> f64 {
        match self.mix.aggregate {
            Aggregate::NormalWeight => DRY_DENSITY.0,
            Aggregate::Lightweight => DRY_DENSITY.1,
        }
    }

    /// Degree of hydration and its slope at a logarithm of the equivalent age in seconds.
    pub(super) fn hydration_at_logarithm(&self, logarithm: f64) -> (f64, f64) {
        let h = &self.constants.hydration;
        let power = (h.fast_exponent * (h.fast_time.ln() - logarithm)).exp();
        let fast = (1.0 - h.belite_share) * self.fast_degree * (-power).exp();
        let ages = logarithm.exp() / h.belite_time;
        let belite = h.belite_share * self.belite_degree;
        (
            fast - belite * (-ages).exp_m1(),
            fast * h.fast_exponent * power + belite * ages * (-ages).exp(),
        )
    }

    /// Degree of saturation and its slope at `z = sqrt(-ln h T/T0)`.
    pub(super) fn saturation_at_root(&self, z: f64) -> (f64, f64) {
        let b = self.isotherm_exponent;
        let m = b / (b - 1.0);
        let power = (SUCTION_PER_KELVIN * REFERENCE * z * z / self.isotherm_pressure).powf(m);
        let saturation = (1.0 + power).powf(-1.0 / b);
        let slope = if z > 0.0 {
            -saturation * 2.0 * m / b * power / (z * (1.0 + power))
        } else {
            0.0
        };
        (saturation, slope)
    }

    /// What concrete of a degree of hydration stores at a degree of saturation and with water in its aggregate \[kg/m3\],
    /// both given with their derivatives.
    pub(super) fn stored(
        &self,
        hydration: f64,
        saturation: (f64, f64, f64),
        aggregate: (f64, f64, f64),
    ) -> Storage {
        let pores = self.pores(hydration);
        let c = &self.constants.hydration;
        let hydrated = self.mix.cement_content * hydration;
        Storage {
            water: pores * saturation.0 + aggregate.0,
            water_by_humidity: pores * saturation.1 + aggregate.1,
            water_by_temperature: pores * saturation.2 + aggregate.2,
            bound_water: c.bound * hydrated,
            heat_released: c.heat * hydrated,
            parting: None,
        }
    }

    /// Liquid conductivity \[kg/(m s)\] at the reference temperature and its slope with relative humidity.
    fn conductivity_and_slope(&self, humidity: f64) -> (f64, f64) {
        let t = &self.constants.transport;
        let h = humidity.clamp(DRY, 1.0);
        let power = ((1.0 - h) / (1.0 - t.middle)).powf(t.steepness);
        let s_shape = self.liquid / (1.0 + power);
        let s_slope = if h < 1.0 {
            s_shape * t.steepness * power / ((1.0 - h) * (1.0 + power))
        } else {
            0.0
        };
        let capillary = self.capillary * h.powf(t.capillary_exponent);
        (
            s_shape + capillary,
            s_slope + t.capillary_exponent * capillary / h,
        )
    }

    /// Liquid conductivity \[kg/(m s)\] at the reference temperature.
    pub(super) fn conductivity(&self, humidity: f64) -> f64 {
        self.conductivity_and_slope(humidity).0
    }

    /// With their slopes: the factors that temperature puts on liquid conductivity and on the speed of hydration, and
    /// the vapour permeability \[kg/(m s Pa)\].
    pub(super) fn temperature_factors(&self, temperature: f64) -> [(f64, f64); 3] {
        let kelvin = temperature + air::KELVIN_AT_ZERO_CELSIUS;
        let arrhenius = |activation: f64| {
            let factor = (activation * (1.0 / REFERENCE - 1.0 / kelvin)).exp();
            (factor, factor * activation / (kelvin * kelvin))
        };
        let vapour =
            self.vapour_permeability * (kelvin / REFERENCE).powf(VAPOUR_TEMPERATURE_EXPONENT);
        [
            arrhenius(self.constants.transport.activation),
            arrhenius(self.constants.hydration.activation),
            (vapour, vapour * VAPOUR_TEMPERATURE_EXPONENT / kelvin),
        ]
    }

    /// Permeability of saturated paste to water \[m/s\] at a degree of hydration.
    #[must_use]
    pub fn paste_permeability(&self, hydration: f64) -> f64 {
        let t = &self.constants.transport;
        let open = t.filled_by_hydration * (self.ultimate_hydration() - hydration);
        t.paste * (t.paste_slope * (self.mix.water_cement_ratio + open - TRANSPORT_RATIO)).exp()
    }

    /// What full pores on water let through instead of the capillary part of the drying curve: the saturated permeability of the paste in
    /// a share of the volume, the stone letting nothing through.
    pub(super) fn feeding(&self, hydration: f64) -> Feeding {
        let saturated = self.mix.paste_share()
            * self.paste_permeability(hydration)
            * SUCTION_PER_KELVIN
            * REFERENCE
            / air::GRAVITY;
        Feeding {
            change: (saturated - self.liquid).max(0.0) - self.capillary,
            exponent: self.constants.transport.capillary_exponent,
        }
    }

    /// Factor that drying pores put on the speed of hydration.
    pub(super) fn ageing_in_pores(&self, humidity: f64) -> f64 {
        let h = &self.constants.hydration;
        let dryness = (1.0 - humidity.clamp(0.0, 1.0)) / (1.0 - h.half_speed_humidity);
        1.0 / (1.0 + dryness.powf(h.humidity_exponent))
    }

    /// Evaporable water \[kg/m3\] at a relative humidity, temperature \[degC\] and equivalent age \[s\].
    #[must_use]
    pub fn water(&self, humidity: f64, temperature: f64, equivalent_age: f64) -> f64 {
        self.pore_water(equivalent_age) * self.saturation(humidity, temperature).0
            + self.aggregate_water(humidity, temperature).0
    }

    /// Relative humidity one day after placing.
    #[must_use]
    pub fn young_humidity(&self) -> f64 {
        self.constants.isotherm.young_humidity
    }

    /// Vapour permeability of the dry material at 20 degC \[kg/(m s Pa)\].
    #[must_use]
    pub fn dry_vapour_permeability(&self) -> f64 {
        self.vapour_permeability
    }
}

impl Material for Concrete {
    /// The degree of hydration.
    fn maturity(&self, age: f64) -> f64 {
        self.hydration(age)
    }

    fn storage(&self, humidity: f64, temperature: f64, hydration: f64) -> Storage {
        self.stored(
            hydration,
            self.saturation(humidity, temperature),
            self.aggregate_water(humidity, temperature),
        )
    }

    fn storage_after(
        &self,
        humidity: f64,
        temperature: f64,
        hydration: f64,
        driest: f64,
    ) -> Storage {
        self.stored_after(
            hydration,
            (humidity, self.saturation(humidity, temperature)),
            driest,
            self.aggregate_water(humidity, temperature),
        )
    }

    fn saturation_when_drying(&self, humidity: f64, temperature: f64) -> f64 {
        self.saturation(humidity.min(1.0), temperature).0
    }

    /// Coarse pores that were emptied, as far as they were, fill again and add their own.
    fn wetting(&self, humidity: f64, temperature: f64, driest: f64) -> Option<Wetting> {
        // Below, nothing fills: that costs nothing to say.
        let from = self.constants.isotherm.coarse_from;
        if humidity <= from || self.saturation(humidity.min(1.0), temperature).0 <= driest {
            return None;
        }
        let emptied = (1.0 - driest) / (1.0 - self.coarse_saturation);
        Some(Wetting {
            conductivity: self.refilling * emptied.min(1.0),
            from: self.humidity_when_drying(driest, temperature).max(from),
        })
    }

    fn transport(&self, humidity: f64, temperature: f64) -> Transport {
        let [(factor, _), _, (vapour_permeability, _)] = self.temperature_factors(temperature);
        let (conductivity, slope) = self.conductivity_and_slope(humidity);
        Transport {
            vapour_permeability,
            vapour_permeability_by_humidity: 0.0,
            liquid_conductivity: factor * conductivity,
            liquid_conductivity_by_humidity: factor * slope,
            potential: None,
        }
    }

    /// EN ISO 10456 gives 1.65 W/(m K) for plain concrete of 2200 kg/m3 and 2.3 for reinforced concrete in use
    /// (from memory); a straight line over the evaporable water joins them, the latter at 80 kg/m3.
    /// Lightweight: 0.086 exp(0.00125 density) when dry (ACI 122R, from memory), wetter alike.
    fn thermal_conductivity(&self, water: f64) -> f64 {
        let dry = match self.mix.aggregate {
            Aggregate::NormalWeight => 1.65,
            Aggregate::Lightweight => 0.74,
        };
        dry * (1.0 + 0.65 / 1.65 / 80.0 * water)
    }

    /// EN ISO 10456: 1000 J/(kg K) of dry concrete (from memory).
    fn heat_capacity(&self) -> f64 {
        1000.0 * self.dry_density()
    }

    fn ageing_rate(&self, humidity: f64, temperature: f64) -> f64 {
        let [_, (factor, _), _] = self.temperature_factors(temperature);
        factor * self.ageing_in_pores(humidity)
    }
}
