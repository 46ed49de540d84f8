//! Refrigerant dehumidifiers: a cold coil takes the water, the hot coil gives the heat back.
//!
//! Computes water removed, electricity and heat of one machine from the state of the room.
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | t, R | temperature and relative humidity (in percent, as published) at the inlet | degC, % |
//! | f, g | surfaces of water removal and of energy factor | 1 |
//! | m, `m_r` | water removed, and at the rating point | kg/s |
//! | `E_r` | energy factor at the rating point | kg/J |
//! | P | electricity | W |
//! | y | duty (part-load ratio) | 1 |
//! | F | part-load fraction | 1 |
//! | D | derate for frost on the coil | 1 |
//! | `c_w` | specific heat of water | J/(kg K) |
//!
//! # Equations
//! ```text
//! f, g = a + b t + c t^2 + d R + e R^2 + f t R                         [1, 2]
//! m = y D m_r max(f(t, R), 0) / f(26.7, 60)
//! P = y / F (m_r / E_r) ( f(t, R)/f(26.7, 60) ) / ( g(t, R)/g(26.7, 60) )
//! F = 0.90 + 0.10 y  (six units [1])        F = 0.95 + 0.05 y  (older unit [2])
//! enthalpy to the room = P - c_w t m        (latent heat and all electricity come back as warmth; the condensate leaves)
//! ```
//! The raw surfaces give 0.987 and 0.985 (six units) at their own rating point, so both are divided by their value there, as the
//! published notes to them advise.
//!
//! # Valid range
//! The older unit's surface is published for 21 to 32.2 degC and 40 to 80 % relative humidity \[2\]; the six-unit fit came without
//! a stated range, so the same one is used. Outside it the result is flagged and held on the safe side: hotter or damper air gives
//! no more water than the edge of the range; colder or drier air follows the surface down to zero. Frost lowers it further.
//!
//! # Sources
//! 1. J. Winkler, D. Christensen, J. Tomerlin, Laboratory test report for six ENERGY STAR dehumidifiers, NREL/TP-5500-52791
//!    (2011): generic coefficients and part-load fraction.
//! 2. U.S. Department of Energy, building energy simulation, engineering reference: zone dehumidifier (example curves, range,
//!    equations).
//! 3. Frost derate: slope from memory; "compressor units ice up and stop below about 12 degC" is common trade advice.
//! 4. Low-grain class: no published map was found. ASSUMPTION: the six-unit surface with its humidity axis shifted by 8 points.
//! 5. Rating points: AHAM DH-1 (80 degF, 60 %); U.S. DOE portable test since 2019 (65 degF, 60 %); catalogue points 30 degC/80 %
//!    and 27 degC/60 % (trade pages).
//!
//! # Proof of accuracy
//! `ref_refrigerant_*` in `tests/it/gear.rs`.

use super::controls::{Control, rise};
use super::effect::{Condition, Effect};
use super::{Supply, Surroundings};
use crate::air::{self, MoistAir, SPECIFIC_HEAT_WATER};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Coefficients of a surface in temperature (degC) and relative humidity (percent).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surface {
    constant: f64,
    t: f64,
    t2: f64,
    r: f64,
    r2: f64,
    tr: f64,
}

impl Surface {
    /// Raw value at `temperature` degC and `relative_humidity` 0 to 1, as published: neither normalised nor limited.
    #[must_use]
    pub fn value(&self, temperature: f64, relative_humidity: f64) -> f64 {
        let r = PERCENT * relative_humidity;
        self.constant
            + temperature * (self.t + self.t2 * temperature + self.tr * r)
            + r * (self.r + self.r2 * r)
    }
}

const PERCENT: f64 = 100.0;

const SIX_UNITS_REMOVAL: Surface = Surface {
    constant: -1.162_525_707,
    t: 0.022_714_69,
    t2: -0.000_113_208,
    r: 0.021_110_538,
    r2: -0.000_069_303_4,
    tr: 0.000_378_843,
};
const SIX_UNITS_ENERGY_FACTOR: Surface = Surface {
    constant: -1.902_154_518,
    t: 0.063_466_565,
    t2: -0.000_622_839,
    r: 0.039_540_407,
    r2: -0.000_125_637,
    tr: -0.000_176_722,
};
const OLDER_UNIT_REMOVAL: Surface = Surface {
    constant: -2.724_878_664_080,
    t: 0.100_711_983_591,
    t2: -0.000_990_538_285,
    r: 0.050_053_043_874,
    r2: -0.000_203_629_282,
    tr: -0.000_341_750_531,
};
const OLDER_UNIT_ENERGY_FACTOR: Surface = Surface {
    constant: -2.388_319_068_955,
    t: 0.093_047_739_452,
    t2: -0.001_369_700_327,
    r: 0.066_533_716_758,
    r2: -0.000_343_198_063,
    tr: -0.000_562_490_295,
};

/// Point at which a capacity is rated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rating {
    /// Temperature at the inlet, degC.
    pub temperature: f64,
    /// Relative humidity at the inlet, 0 to 1.
    pub relative_humidity: f64,
}

impl Rating {
    /// 80 degF and 60 %, as in AHAM DH-1: the point to which the surfaces are normalised.
    pub const AT_80F_60: Self = Self {
        temperature: 26.7,
        relative_humidity: 0.60,
    };
    /// 65 degF and 60 %, the U.S. test of portable units since 2019.
    pub const AT_65F_60: Self = Self {
        temperature: 18.33,
        relative_humidity: 0.60,
    };
    /// 30 degC and 80 %, a common catalogue point that flatters a machine.
    pub const AT_30C_80: Self = Self {
        temperature: 30.0,
        relative_humidity: 0.80,
    };
    /// 27 degC and 60 %, a common catalogue point.
    pub const AT_27C_60: Self = Self {
        temperature: 27.0,
        relative_humidity: 0.60,
    };
}

/// Range of the laboratory data: temperatures in degC, relative humidity 0 to 1 (source 2).
struct PublishedBox {
    coldest: f64,
    hottest: f64,
    driest: f64,
    dampest: f64,
}

const PUBLISHED_BOX: PublishedBox = PublishedBox {
    coldest: 21.0,
    hottest: 32.22,
    driest: 0.40,
    dampest: 0.80,
};

/// Reading the range's edge at exactly its printed value must not raise the flag through rounding.
const BOX_ROUNDING: f64 = 1e-9;

/// Humidity shift of the low-grain class (source 4, an assumption).
const LOW_GRAIN_SHIFT: f64 = 0.08;

/// Limits of the power modifier. Near the humidity at which a surface reaches zero the quotient of the two fits loses its meaning
/// (0/0), while a compressor that runs still draws power. Over the published range the quotient spans 0.81 to 1.19 for the six units
/// and 0.83 to 1.20 with the low-grain shift. ASSUMPTION: a running machine draws at least 0.6 and at most 1.4 of its rated power.
const POWER_MODIFIER: (f64, f64) = (0.6, 1.4);
/// The same for the older unit, whose quotient spans 0.57 to 1.51 over the published range.
const POWER_MODIFIER_OLDER: (f64, f64) = (0.5, 1.6);
/// Keeps the quotient finite where the energy factor's fit falls to zero; the limits above decide there.
const LEAST_ENERGY_FACTOR: f64 = 1e-3;

/// A machine that gives less than this share of its rating is reported as starved.
const STARVED_BELOW: f64 = 0.05;

/// Frost: full capacity above `FROST_FROM` degC, the whole derate at and below `FROST_TO` (source 3, from memory).
const FROST_FROM: f64 = 18.0;
const FROST_TO: f64 = 12.0;
/// Capacity left at and below `FROST_TO` with hot-gas defrost (source 3, from memory).
const FROST_SHARE_HOT_GAS: f64 = 0.80;
/// Without defrost the coil starts to block here, degC, and has stopped the machine at `FROST_TO` (source 3).
const BLOCKING_FROM: f64 = 15.0;

/// A machine fades out over this many K above its lowest and below its highest inlet temperature, so that nothing jumps.
const INLET_FADE: f64 = 1.0;

/// Which laboratory map describes the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum CapacityMap {
    /// Fit over six tested units (source 1). The default choice.
    SixUnits,
    /// One older unit (source 2).
    OlderUnit,
    /// The six-unit fit with its humidity axis shifted: an assumption for machines with precooling (source 4).
    LowGrain,
}

impl CapacityMap {
    /// Raw published surface of water removal.
    #[must_use]
    pub fn removal_surface(self) -> &'static Surface {
        match self {
            Self::SixUnits | Self::LowGrain => &SIX_UNITS_REMOVAL,
            Self::OlderUnit => &OLDER_UNIT_REMOVAL,
        }
    }

    /// Raw published surface of the energy factor.
    #[must_use]
    pub fn energy_factor_surface(self) -> &'static Surface {
        match self {
            Self::SixUnits | Self::LowGrain => &SIX_UNITS_ENERGY_FACTOR,
            Self::OlderUnit => &OLDER_UNIT_ENERGY_FACTOR,
        }
    }

    fn shift(self) -> f64 {
        if self == Self::LowGrain {
            LOW_GRAIN_SHIFT
        } else {
            0.0
        }
    }

    fn relative_to_rating(
        self,
        surface: &Surface,
        temperature: f64,
        relative_humidity: f64,
    ) -> f64 {
        let shift = self.shift();
        // Never more than at the edge of the laboratory's range in the direction of gain.
        let t = temperature.min(PUBLISHED_BOX.hottest);
        let r = relative_humidity.clamp(0.0, PUBLISHED_BOX.dampest) + shift;
        let rating = Rating::AT_80F_60;
        (surface.value(t, r) / surface.value(rating.temperature, rating.relative_humidity + shift))
            .max(0.0)
    }

    /// Water removal over that at 26.7 degC and 60 %, without frost, at `temperature` degC and `relative_humidity` 0 to 1.
    #[must_use]
    pub fn removal_modifier(self, temperature: f64, relative_humidity: f64) -> f64 {
        self.relative_to_rating(self.removal_surface(), temperature, relative_humidity)
    }

    /// Energy factor over that at 26.7 degC and 60 %.
    #[must_use]
    pub fn energy_factor_modifier(self, temperature: f64, relative_humidity: f64) -> f64 {
        self.relative_to_rating(self.energy_factor_surface(), temperature, relative_humidity)
    }

    /// Least and most of the power modifier. No map reaches them inside of the published range.
    fn power_limits(self) -> (f64, f64) {
        match self {
            Self::SixUnits | Self::LowGrain => POWER_MODIFIER,
            Self::OlderUnit => POWER_MODIFIER_OLDER,
        }
    }

    /// Power over that at 26.7 degC and 60 %, running in full: the quotient of the two, within 0.6 to 1.4 (older unit 0.5 to 1.6),
    /// which matter outside of the published range only.
    #[must_use]
    pub fn power_modifier(self, temperature: f64, relative_humidity: f64) -> f64 {
        let removal = self.removal_modifier(temperature, relative_humidity);
        let energy_factor = self.energy_factor_modifier(temperature, relative_humidity);
        let (least, most) = self.power_limits();
        (removal / energy_factor.max(LEAST_ENERGY_FACTOR)).clamp(least, most)
    }

    /// Part-load fraction at a part-load ratio (duty) 0 to 1: run time is ratio over fraction.
    #[must_use]
    pub fn part_load_fraction(self, part_load_ratio: f64) -> f64 {
        match self {
            Self::SixUnits | Self::LowGrain => 0.90 + 0.10 * part_load_ratio,
            Self::OlderUnit => 0.95 + 0.05 * part_load_ratio,
        }
    }

    /// The range of the data, for warnings.
    #[must_use]
    pub fn published_range(self) -> &'static str {
        match self {
            Self::SixUnits => {
                "21 to 32.2 degC and 40 to 80 % relative humidity (stated for an older unit; the six-unit fit came without a range)"
            }
            Self::OlderUnit => "21 to 32.2 degC and 40 to 80 % relative humidity",
            Self::LowGrain => {
                "21 to 32.2 degC and 40 to 80 % relative humidity; the low-grain curve itself is an assumption, not published data"
            }
        }
    }
}

/// How the machine frees its coil of frost.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Defrost {
    /// Hot gas melts the frost: 1.0 of the capacity from 18 degC up, falling to 0.80 at 12 degC and below.
    HotGas,
    /// None: the coil blocks from 15 degC down and has stopped the machine at 12 degC.
    None,
}

impl Defrost {
    /// Share of capacity that frost leaves at `temperature` degC, 0 to 1.
    #[must_use]
    pub fn derate(self, temperature: f64) -> f64 {
        match self {
            Self::HotGas => {
                FROST_SHARE_HOT_GAS
                    + (1.0 - FROST_SHARE_HOT_GAS) * rise(temperature, FROST_TO, FROST_FROM)
            }
            Self::None => rise(temperature, FROST_TO, BLOCKING_FROM),
        }
    }

    /// Share of the power drawn: a hot-gas defrost costs power, a stopped machine draws none.
    fn power_share(self, temperature: f64) -> f64 {
        match self {
            Self::HotGas => 1.0,
            Self::None => self.derate(temperature),
        }
    }
}

/// A refrigerant dehumidifier that stands in the room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Refrigerant {
    /// Water removed at 26.7 degC and 60 % in full run, kg/s.
    pub rated_removal: f64,
    /// Energy factor there: water removed per electricity, kg/J (1 L/kWh is 2.78e-7 kg/J).
    pub energy_factor: f64,
    /// Air through the machine, m3/s.
    pub air_flow: f64,
    /// Which laboratory map describes it.
    pub map: CapacityMap,
    /// How it defrosts.
    pub defrost: Defrost,
    /// No run below this inlet temperature, degC.
    pub lowest_inlet: f64,
    /// No run above this inlet temperature, degC.
    pub highest_inlet: f64,
    /// Electrical supply.
    pub supply: Supply,
    /// When it runs.
    pub control: Control,
}

impl Refrigerant {
    /// Sets capacity and energy factor from a rating at another point: `removal` kg/s and `energy_factor` kg/J measured at `rating`.
    ///
    /// Without effect where the map gives nothing at that point.
    #[must_use]
    pub fn rated_at(mut self, removal: f64, energy_factor: f64, rating: Rating) -> Self {
        let removal_modifier = self
            .map
            .removal_modifier(rating.temperature, rating.relative_humidity);
        let energy_modifier = self
            .map
            .energy_factor_modifier(rating.temperature, rating.relative_humidity);
        if removal_modifier > 0.0 && energy_modifier > 0.0 {
            self.rated_removal = removal / removal_modifier;
            self.energy_factor = energy_factor / energy_modifier;
        }
        self
    }

    /// Electricity in full run at the rating point, W.
    #[must_use]
    pub fn rated_power(&self) -> f64 {
        self.rated_removal / self.energy_factor
    }

    /// Share of full run that the inlet temperature allows, 0 to 1.
    fn allowed(&self, temperature: f64) -> f64 {
        let cold = rise(
            temperature,
            self.lowest_inlet,
            self.lowest_inlet + INLET_FADE,
        );
        let hot = 1.0
            - rise(
                temperature,
                self.highest_inlet - INLET_FADE,
                self.highest_inlet,
            );
        cold.min(hot)
    }

    /// Water removed in full run from `inlet` air, kg/s.
    #[must_use]
    pub fn full_removal(&self, inlet: &MoistAir) -> f64 {
        self.allowed(inlet.temperature)
            * self.defrost.derate(inlet.temperature)
            * self.rated_removal
            * self
                .map
                .removal_modifier(inlet.temperature, inlet.relative_humidity())
    }

    /// Electricity in full run with `inlet` air, W.
    #[must_use]
    pub fn full_power(&self, inlet: &MoistAir) -> f64 {
        self.allowed(inlet.temperature)
            * self.defrost.power_share(inlet.temperature)
            * self.rated_power()
            * self
                .map
                .power_modifier(inlet.temperature, inlet.relative_humidity())
    }

    /// Air that leaves the machine in full run: the inlet's enthalpy plus electricity minus condensate, spread on its air flow.
    ///
    /// The difference of the humidity ratios is the grain depression. The inlet itself when no air flows.
    #[must_use]
    pub fn outlet(&self, inlet: &MoistAir) -> MoistAir {
        let dry_air = self.air_flow * inlet.density_of_dry_air();
        if dry_air <= 0.0 {
            return *inlet;
        }
        let removal = self.full_removal(inlet);
        let humidity_ratio = inlet.humidity_ratio - removal / dry_air;
        let gain = self.full_power(inlet) - SPECIFIC_HEAT_WATER * inlet.temperature * removal;
        let temperature =
            air::temperature_from_enthalpy(inlet.enthalpy() + gain / dry_air, humidity_ratio);
        MoistAir {
            temperature,
            humidity_ratio,
            pressure: inlet.pressure,
        }
    }

    /// What the machine does.
    #[must_use]
    pub fn effect(&self, surroundings: &Surroundings) -> Effect {
        let inside = &surroundings.inside;
        let duty = self.control.duty(surroundings);
        let full_removal = self.full_removal(inside);
        let removal = duty * full_removal;
        let run_time = duty / self.map.part_load_fraction(duty);
        let electricity = run_time * self.full_power(inside);
        // The condensate is taken at room temperature: a few kelvin either way are below 1 % of the latent heat.
        let warmth = SPECIFIC_HEAT_WATER * inside.temperature * removal;
        Effect {
            vapour: -removal,
            enthalpy: electricity - warmth,
            electricity,
            condensate: removal,
            expelled: warmth,
            duty,
            condition: if duty > 0.0 {
                self.condition(inside, full_removal)
            } else {
                Condition::NONE
            },
            ..Effect::default()
        }
    }

    fn condition(&self, inside: &MoistAir, full_removal: f64) -> Condition {
        let (t, r) = (inside.temperature, inside.relative_humidity());
        let in_box = (PUBLISHED_BOX.coldest - BOX_ROUNDING..=PUBLISHED_BOX.hottest + BOX_ROUNDING)
            .contains(&t)
            && (PUBLISHED_BOX.driest - BOX_ROUNDING..=PUBLISHED_BOX.dampest + BOX_ROUNDING)
                .contains(&r);
        let stopped = self.allowed(t) < 1.0 || (self.defrost == Defrost::None && t < BLOCKING_FROM);
        let starved = full_removal < STARVED_BELOW * self.rated_removal && !stopped;
        Condition::FROSTED.when(self.defrost.derate(t) < 1.0)
            | Condition::OUTSIDE_PUBLISHED_RANGE.when(!in_box)
            | Condition::STARVED.when(starved)
            | Condition::STOPPED.when(stopped)
    }
}
