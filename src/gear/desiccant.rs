//! Desiccant dehumidifiers: a turning wheel takes vapour from the process air, hot regeneration air carries it out of the building.
//!
//! Computes water removed, heat into the room, regeneration energy and the outside air that a regeneration with room air draws in.
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | T, W | temperature and humidity ratio of the process air at the inlet | degC, kg/kg |
//! | V | face velocity of the process air | m/s |
//! | `T_out`, `W_out` | process air at the outlet | degC, kg/kg |
//! | q | regeneration energy per water removed | J/kg |
//! | `V_r` | face velocity of the regeneration air | m/s |
//! | `T_r` | temperature of the air that enters the regeneration heater | degC |
//! | `m_p`, `m_r` | dry air of process and regeneration | kg/s |
//! | k | capacity factor | 1 |
//!
//! # Equations
//! ```text
//! W_out, T_out, q, V_r = C0 + C1 T + C2 W + C3 V + C4 T W + C5 T V + C6 W V + C7 T^2 + C8 W^2 + C9 V^2
//!                      + C10 T^2 W^2 + C11 T^2 V^2 + C12 W^2 V^2 + C13 ln T + C14 ln W + C15 ln V          [1]
//! W_out >= 0.000857 (6 grains per pound)
//! water       = k m_p (W - W_out)
//! heater      = q k m_p (W - W_out) (121 - T_r) / (121 - T)
//! m_r         = m_p (90/245) V_r / V
//! m_p         = flow p / (R_a (T + 273.15))     dry air at the inlet's temperature; the vapour's own volume, 1 %, is neglected
//! heat gained = m_p ( h(T + k (T_out - T), W - k (W - W_out)) - h(T, W) )
//! ```
//!
//! # Valid range
//! 1.67 to 48.9 degC and 0.002857 to 0.02857 kg/kg \[1\]. The published rule switches the machine off outside. Real wheels go on, so
//! here the edge of the range stands for all beyond it, flagged, always on the safe side: never more water than at the edge, never
//! below 6 grains per pound, never less regeneration energy than at the edge while it runs.
//!
//! Inside the range the fit takes, in hot dry air (above 30 degC, below some 4 g/kg), up to 0.1 g/kg MORE from drier air: an artefact.
//! The humidity ratio at which `W - W_out` is least at the given T and V is the root of a quadratic; below it the value there is
//! used. So drier air never gives more water. The upper root is treated alike.
//!
//! The curve knows nothing of the humidity of the regeneration air.
//!
//! # Sources
//! 1. U.S. Department of Energy, building energy simulation, engineering reference: solid desiccant dehumidifier, default curves
//!    (a commercial wheel of the early 1990s, developed for the Gas Research Institute by W. W. Worek, University of Illinois at
//!    Chicago); nominal regeneration 121 degC.
//! 2. Capacity factor 0.75 for plug-in machines: from memory (catalogue removal is typically 70 to 80 % of the curve).
//!
//! # Proof of accuracy
//! `ref_desiccant_*` in `tests/it/gear.rs`.

use super::controls::{Control, rise};
use super::effect::{Condition, Effect};
use super::fuel::Fuel;
use super::{Supply, Surroundings};
use crate::air::{self, GAS_CONSTANT_DRY_AIR, KELVIN_AT_ZERO_CELSIUS, MoistAir};
use crate::units::format::Shown;
use crate::units::{Kind, System};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Coefficients C0 to C15 of one curve.
type Curve = [f64; 16];

const LEAVING_HUMIDITY_RATIO: Curve = [
    0.014_888_082_432_380_6,
    -0.000_283_393_198_398_211,
    -0.878_021_689_405_47,
    -0.000_713_615_831_236_411,
    0.031_126_118_887_462_2,
    1.517_388_921_424_85e-6,
    0.028_725_019_828_102_1,
    4.947_969_032_315_58e-6,
    24.077_113_965_282_6,
    0.000_122_270_283_927_978,
    -0.015_165_718_956_647_4,
    3.916_413_932_303_22e-8,
    0.126_032_651_553_348,
    0.000_391_653_854_431_574,
    0.002_160_537_360_507,
    0.001_327_328_442_115_93,
];
const LEAVING_TEMPERATURE: Curve = [
    -38.778_284_198_944_9,
    2.012_765_583_762_8,
    5_212.493_602_160_97,
    15.236_253_678_266_5,
    -80.491_041_975_918_1,
    -0.105_014_122_001_509,
    -229.668_673_645_144,
    -0.015_424_703_743_461,
    -69_440.068_983_184_7,
    -1.668_606_469_432_2,
    38.585_571_897_759_2,
    0.000_196_395_381_206_009,
    386.179_386_548_324,
    -0.801_959_614_172_614,
    -3.330_809_868_187_45,
    -15.203_438_606_571_4,
];
const REGENERATION_ENERGY: Curve = [
    -27_794_046.629_110_7,
    -235_725.171_759_615,
    975_461_343.331_328,
    -686_069.373_946_731,
    -17_717_307.376_626_6,
    31_482.253_966_248_9,
    55_296_552.826_074_3,
    6_195.360_700_238_68,
    -8_304_781_359.404_35,
    -188_987.543_809_419,
    3_933_449.409_658_46,
    -6.661_228_765_586_34,
    -349_102_295.417_547,
    83_672.179_730_172,
    -6_059_524.331_705_38,
    1_220_523.395_251_62,
];
const REGENERATION_VELOCITY: Curve = [
    -4.673_589_080_914_88,
    0.065_432_309_546_833_8,
    396.950_518_702_316,
    1.526_101_654_267_36,
    -11.395_586_843_032_8,
    0.005_206_939_061_044_37,
    57.783_645_385_621,
    -0.000_464_800_668_311_693,
    -5_958.786_132_126_02,
    -0.205_375_818_291_012,
    5.267_626_754_428_45,
    -8.884_525_530_550_39e-5,
    -182.382_479_369_311,
    -0.100_289_774_002_047,
    -0.486_980_507_964_251,
    -0.972_715_425_435_447,
];

/// Range of the curves (source 1): degC and kg/kg.
const COLDEST: f64 = 1.67;
const HOTTEST: f64 = 48.9;
const DRIEST: f64 = 0.002_857;
const DAMPEST: f64 = 0.028_57;
/// Reading the range's edge at exactly its printed value must not raise the flag through rounding.
const RANGE_ROUNDING: f64 = 1e-9;
/// Least humidity ratio at the outlet, kg/kg: 6 grains per pound (source 1).
const LEAST_LEAVING_HUMIDITY_RATIO: f64 = 0.000_857;
/// Nominal temperature of the regeneration air, degC (source 1).
const REGENERATION_TEMPERATURE: f64 = 121.0;
/// Share of the wheel's face for regeneration over that for process: degrees of the circle (source 1).
const REGENERATION_SECTOR: f64 = 90.0 / 245.0;
/// The published rule switches the machine off when the outlet is as damp as the inlet. Its heat fades out over the last 0.5 g/kg
/// of drying so that nothing jumps.
const FADE: f64 = 0.5e-3;
/// Slowest face velocity for which the curves are evaluated, m/s: they contain its logarithm.
const SLOWEST_FACE: f64 = 0.5;
/// A machine that dries by less than this, kg/kg, is reported as starved.
const STARVED_BELOW: f64 = 0.3e-3;

/// Where air is drawn from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum AirSource {
    /// From the room. Outside air leaks in to replace regeneration air, which leaves the building.
    Room,
    /// From outside. Regeneration so leaves the room alone; process air so is pushed in and as much room air leaves.
    Outside,
}

/// What heats the regeneration air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RegenerationHeat {
    /// Electric elements.
    Electric,
    /// A burner in the regeneration air; its exhaust leaves with it.
    Burner {
        /// What it burns.
        fuel: Fuel,
        /// Heat in the regeneration air over gross fuel, 0 to 1.
        efficiency: f64,
    },
}

/// What the wheel does to one kilogram of dry process air, by the published curves and rules.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wheel {
    /// Water taken, kg/kg, never negative.
    pub drying: f64,
    /// Water taken at the point of the curves' range nearest the inlet, kg/kg, never negative: what the regeneration is run for.
    pub drying_regenerated: f64,
    /// Warming of the process air, K, never negative.
    pub warming: f64,
    /// Regeneration energy per water taken, J/kg, with regeneration air that enters as warm as the process air.
    pub regeneration_energy: f64,
    /// Regeneration air over process air, by mass, never negative.
    pub regeneration_ratio: f64,
    /// Process air temperature at which the curves were read, degC.
    evaluated_at: f64,
}

/// Terms of the curves that all four share.
fn terms(t: f64, w: f64, v: f64) -> Curve {
    let (t2, w2, v2) = (t * t, w * w, v * v);
    [
        1.0,
        t,
        w,
        v,
        t * w,
        t * v,
        w * v,
        t2,
        w2,
        v2,
        t2 * w2,
        t2 * v2,
        w2 * v2,
        t.ln(),
        w.ln(),
        v.ln(),
    ]
}

fn value(curve: &Curve, terms: &Curve) -> f64 {
    curve
        .iter()
        .zip(terms)
        .map(|(coefficient, term)| coefficient * term)
        .sum()
}

/// Humidity ratios between which the curve takes more from damper air, at `t` degC and `v` m/s: the roots of
/// `d W_out / d W = 1`, a quadratic once multiplied by W.
fn monotone_range(t: f64, v: f64) -> (f64, f64) {
    let c = &LEAVING_HUMIDITY_RATIO;
    let square = 2.0 * (c[8] + c[10] * t * t + c[12] * v * v);
    let linear = c[2] + c[4] * t + c[6] * v - 1.0;
    let constant = c[14];
    let discriminant = linear * linear - 4.0 * square * constant;
    if discriminant <= 0.0 {
        return (DRIEST, DAMPEST);
    }
    // With the linear term negative (always, in range) this form loses no digits and also holds where the square term vanishes.
    let sum = -linear + discriminant.sqrt();
    let least = 2.0 * constant / sum;
    let greatest = if square > 0.0 {
        sum / (2.0 * square)
    } else {
        DAMPEST
    };
    let low = least.clamp(DRIEST, DAMPEST);
    (low, greatest.clamp(low, DAMPEST))
}

impl Wheel {
    /// Reads the curves for process air of `temperature` degC and `humidity_ratio` kg/kg at a `face_velocity` m/s.
    #[must_use]
    pub fn at(temperature: f64, humidity_ratio: f64, face_velocity: f64) -> Self {
        let t = temperature.clamp(COLDEST, HOTTEST);
        let v = face_velocity.max(SLOWEST_FACE);
        let (low, high) = monotone_range(t, v);
        let w = humidity_ratio.clamp(low, high);
        let terms = terms(t, w, v);
        let leaving = value(&LEAVING_HUMIDITY_RATIO, &terms).max(LEAST_LEAVING_HUMIDITY_RATIO);
        let drying_regenerated = (w - leaving).max(0.0);
        let drying = drying_regenerated
            .min(humidity_ratio - LEAST_LEAVING_HUMIDITY_RATIO)
            .max(0.0);
        // Air drier than the range gives less water than the wheel was warmed for: warming in proportion to the water.
        let share = if drying_regenerated > 0.0 {
            drying / drying_regenerated
        } else {
            0.0
        };
        let on = rise(drying_regenerated, 0.0, FADE);
        Self {
            drying,
            drying_regenerated,
            warming: share * on * (value(&LEAVING_TEMPERATURE, &terms) - t).max(0.0),
            regeneration_energy: value(&REGENERATION_ENERGY, &terms).max(0.0),
            regeneration_ratio: on
                * REGENERATION_SECTOR
                * value(&REGENERATION_VELOCITY, &terms).max(0.0)
                / v,
            evaluated_at: t,
        }
    }
}

/// A desiccant dehumidifier with a rotating wheel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Desiccant {
    /// Process air, m3/s.
    pub process_flow: f64,
    /// Face velocity of the process air at the wheel, m/s. The checks of the curves lie between 2 and 3.
    pub face_velocity: f64,
    /// Share of the curve's drying that this machine reaches, 0 to 1. 0.75 for plug-in machines (from memory).
    pub capacity_factor: f64,
    /// Where the process air is drawn from. From outside, the dried air is pushed in and as much room air leaves.
    pub process_air: AirSource,
    /// Where the regeneration air is drawn from. From the room, outside air replaces what leaves.
    pub regeneration_air: AirSource,
    /// What heats it.
    pub regeneration_heat: RegenerationHeat,
    /// Power of the process fan, W; it warms the process air.
    pub process_fan_power: f64,
    /// Power of the regeneration fan and the wheel's motor, W; it leaves with the regeneration air.
    pub regeneration_fan_power: f64,
    /// Nameplate electrical power, W.
    pub rated_power: f64,
    /// Electrical supply.
    pub supply: Supply,
    /// When it runs.
    pub control: Control,
}

/// Flows of one machine in full run.
struct FullRun {
    wheel: Wheel,
    dry_air: f64,
    water: f64,
    process_gain: f64,
    heater: f64,
    regeneration_dry_air: f64,
}

impl Desiccant {
    fn intake(source: AirSource, surroundings: &Surroundings) -> &MoistAir {
        match source {
            AirSource::Room => &surroundings.inside,
            AirSource::Outside => &surroundings.outside,
        }
    }

    fn full_run(&self, surroundings: &Surroundings) -> FullRun {
        let inlet = Self::intake(self.process_air, surroundings);
        let regeneration_inlet = Self::intake(self.regeneration_air, surroundings);
        let wheel = Wheel::at(inlet.temperature, inlet.humidity_ratio, self.face_velocity);
        let dry_air = self.process_flow * inlet.pressure
            / (GAS_CONSTANT_DRY_AIR * (inlet.temperature + KELVIN_AT_ZERO_CELSIUS));
        let factor = self.capacity_factor;
        let drying = factor * wheel.drying;
        let leaving = air::enthalpy(
            inlet.temperature + factor * wheel.warming,
            inlet.humidity_ratio - drying,
        );
        let lift = (REGENERATION_TEMPERATURE - regeneration_inlet.temperature).max(0.0)
            / (REGENERATION_TEMPERATURE - wheel.evaluated_at);
        FullRun {
            wheel,
            dry_air,
            water: dry_air * drying,
            process_gain: dry_air * (leaving - inlet.enthalpy()),
            heater: wheel.regeneration_energy * dry_air * factor * wheel.drying_regenerated * lift,
            regeneration_dry_air: dry_air * wheel.regeneration_ratio,
        }
    }

    /// Process air as it leaves the machine in full run, the fan's warmth included.
    #[must_use]
    pub fn outlet(&self, surroundings: &Surroundings) -> MoistAir {
        let inlet = Self::intake(self.process_air, surroundings);
        let run = self.full_run(surroundings);
        if run.dry_air <= 0.0 {
            return *inlet;
        }
        let humidity_ratio = inlet.humidity_ratio - run.water / run.dry_air;
        let enthalpy = inlet.enthalpy() + (run.process_gain + self.process_fan_power) / run.dry_air;
        MoistAir {
            temperature: air::temperature_from_enthalpy(enthalpy, humidity_ratio),
            humidity_ratio,
            pressure: inlet.pressure,
        }
    }

    /// Regeneration air as it leaves the machine in full run: warm and wet, so that its duct must slope and drain outside.
    /// `None` when none flows. Combustion water of a burner is not in it.
    #[must_use]
    pub fn regeneration_exhaust(&self, surroundings: &Surroundings) -> Option<MoistAir> {
        let inlet = Self::intake(self.regeneration_air, surroundings);
        let run = self.full_run(surroundings);
        if run.regeneration_dry_air <= 0.0 {
            return None;
        }
        let humidity_ratio = inlet.humidity_ratio + run.water / run.regeneration_dry_air;
        let carried = run.heater + self.regeneration_fan_power - run.process_gain;
        let enthalpy = inlet.enthalpy() + carried / run.regeneration_dry_air;
        Some(MoistAir {
            temperature: air::temperature_from_enthalpy(enthalpy, humidity_ratio),
            humidity_ratio,
            pressure: inlet.pressure,
        })
    }

    /// What the machine does.
    #[must_use]
    pub fn effect(&self, surroundings: &Surroundings) -> Effect {
        let duty = self.control.duty(surroundings);
        if duty <= 0.0 {
            return Effect::default();
        }
        let run = self.full_run(surroundings);
        let (heater_electricity, fuel) = match self.regeneration_heat {
            RegenerationHeat::Electric => (run.heater, 0.0),
            RegenerationHeat::Burner { efficiency, .. } => (0.0, run.heater / efficiency),
        };
        let burner_loss = fuel + heater_electricity - run.heater;
        let drawn = |source: AirSource, dry_air: f64, from: AirSource| {
            if source == from { dry_air } else { 0.0 }
        };
        // Process air from outside is pushed in; regeneration air from the room is pulled out. Both let outside air in.
        let outside_air = drawn(self.process_air, run.dry_air, AirSource::Outside).max(drawn(
            self.regeneration_air,
            run.regeneration_dry_air,
            AirSource::Room,
        ));
        Effect {
            vapour: -duty * run.water,
            enthalpy: duty * (run.process_gain + self.process_fan_power),
            outside_air: duty * outside_air,
            electricity: duty
                * (heater_electricity + self.process_fan_power + self.regeneration_fan_power),
            fuel: duty * fuel,
            expelled: duty
                * (run.heater - run.process_gain + self.regeneration_fan_power + burner_loss),
            duty,
            condition: self.condition(surroundings, &run.wheel),
            ..Effect::default()
        }
    }

    fn condition(&self, surroundings: &Surroundings, wheel: &Wheel) -> Condition {
        let inlet = Self::intake(self.process_air, surroundings);
        let in_range = (COLDEST - RANGE_ROUNDING..=HOTTEST + RANGE_ROUNDING)
            .contains(&inlet.temperature)
            && (DRIEST - RANGE_ROUNDING..=DAMPEST + RANGE_ROUNDING).contains(&inlet.humidity_ratio);
        Condition::OUTSIDE_PUBLISHED_RANGE.when(!in_range)
            | Condition::STARVED.when(wheel.drying < STARVED_BELOW)
    }

    /// The range of the data, for warnings.
    #[must_use]
    pub fn published_range(&self, system: System) -> String {
        let degrees = Shown::of(Kind::Temperature, system).between(COLDEST, HOTTEST, 0);
        let ratio = Shown::of(Kind::HumidityRatio, system).between(DRIEST, DAMPEST, 0);
        format!("{degrees} and {ratio}")
    }
}
