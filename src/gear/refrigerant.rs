//! Refrigerant dehumidifiers: a cold coil takes the water, the hot coil gives the heat back.
//!
//! Computes water removed, electricity and heat of one machine from the state of the room.
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | t, R | temperature and relative humidity (in percent, as published) at the inlet | degC, % |
//! | f, g | surfaces of water removal and of energy factor | 1 |
//! | c, p | water and electricity of the coil model, over the rating point | 1 |
//! | m, `m_r` | water removed, and at the rating point | kg/s |
//! | `E_r` | energy factor at the rating point | kg/J |
//! | P | electricity | W |
//! | y | duty (part-load ratio) | 1 |
//! | F | part-load fraction | 1 |
//! | D | share that frost leaves | 1 |
//! | s, z | spread over a way of one; place in it in standard deviations | 1 |
//! | r, l | output over that at B, and the way carried as a length | 1 |
//! | `c_w` | specific heat of water | J/(kg K) |
//!
//! # Equations
//! ```text
//! f, g = a + b t + c t^2 + d R + e R^2 + f t R                         [1, 2]
//! x = (t, R),  B = x moved to the edge of the published range,  f' = f / f(26.7, 60)
//! inside of the range, ordinary machines:      m = y m_r f'(x)            P = y/F (m_r/E_r) f'(x) / g'(x)
//! outside:                                     m = y m_r f'(B) r exp(s z l),   r = c(x) D(x) / (c(B) D(B))
//!                                              P = y/F (m_r/E_r) f'(B)/g'(B) p(x)/p(B)
//! low-grain machines: as outside, with the rating point for B
//! F = 0.90 + 0.10 y  (six units [1])        F = 0.95 + 0.05 y  (older unit [2])
//! l = 2 (1 - sqrt(min(r, 1/r))),   |s z| <= 1
//! enthalpy to the room = P - c_w t m        (latent heat and all electricity come back as warmth; the condensate leaves)
//! ```
//! c and p are water and electricity of the coil model (`gear::coil`) over its rating point, so that nothing jumps at the edge. The raw surfaces give
//! 0.987 and 0.985 (six units) at their own rating point, so both are divided by their value there, as the published notes to them
//! advise.
//!
//! # Surface or coil
//! Inside of the range the published surface stays: the coil meets it within 1.2 % of the rating (root mean square), but misses it by up to 4 % in
//! the corners. The older unit's surface is met by no coil within the bounds of physics (9 %), so the coil of the six units carries it.
//!
//! # Frost
//! Two causes, and the greater counts, not both: the inlet's temperature (`Defrost::derate`, from memory), and the coil's evaporating temperature
//! below 0 degC as fitted with the coil. So the pair of a small unit at 40 degF is met within its half.
//!
//! # How sure it is
//! Inside of the range one machine may differ from the surface; that is the rating's matter. Outside, and for low-grain machines everywhere, the output
//! is carried, and the further the less sure. Its logarithm is unsure by s l. The length l is the logarithm of what is carried while that is little, and
//! never above two. z is the place of one machine in that spread. The output stays as it is at B, falls to nothing where the coil's does, and
//! damper air never gives less. s is the scatter of other views of the same output about this one, over their ways: published pairs of
//! ratings \[5\], the surfaces carried on as they are, the coil built otherwise. The example `dehumidifier_coil` prints them.
//!
//! # Valid range
//! The older unit's surface is published for 21 to 32.2 degC and 40 to 80 % relative humidity \[2\]; the six-unit fit came without
//! a stated range, so the same one is used. Outside it, and always for low-grain machines, the result is flagged.
//!
//! # Sources
//! 1. J. Winkler, D. Christensen, J. Tomerlin, Laboratory test report for six ENERGY STAR dehumidifiers, NREL/TP-5500-52791
//!    (2011): generic coefficients and part-load fraction.
//! 2. U.S. Department of Energy, building energy simulation, engineering reference: zone dehumidifier (example curves, range,
//!    equations).
//! 3. Frost derate: slope from memory; "compressor units ice up and stop below about 12 degC" is common trade advice.
//! 4. Low-grain class: no published map was found. ASSUMPTION: the six units' coil behind a heat exchanger.
//! 5. Rating points: AHAM DH-1 (80 degF, 60 %); U.S. DOE portable test since 2019 (65 degF, 60 %); catalogue points 30 degC/80 %
//!    and 27 degC/60 % (trade pages). Pairs of ratings: labels of the same machines fell from 30, 50, 70 to 20, 30, 50 pints a day with the test of
//!    2019; one small unit gives 45, 20 and 6 pints a day at 80, 60 and 40 degF (trade pages).
//!
//! # Proof of accuracy
//! `ref_refrigerant_*` in `tests/it/gear.rs`.

mod map;

pub use map::{CapacityMap, Performance, Rating, SPREAD, SPREAD_LOW_GRAIN, Surface, way};

use super::controls::{Control, rise};
use super::effect::{Condition, Effect};
use super::{Supply, Surroundings};
use crate::air::{self, MoistAir, SPECIFIC_HEAT_WATER};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The range that is shown spans eight machines in ten: standard deviations on either side.
const SHOWN_DEVIATION: f64 = 1.2816;

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
    /// Share of capacity that frost leaves by the temperature of the inlet alone, `temperature` degC, 0 to 1.
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
    /// Where its output lies among what is known, where no data are published: in standard deviations from the middle, 0 for the middle itself.
    pub output_deviation: f64,
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
        let at = self.performance(rating.temperature, rating.relative_humidity);
        if at.removal > 0.0 && at.power > 0.0 {
            self.rated_removal = removal / at.removal;
            self.energy_factor = energy_factor / at.energy_factor();
        }
        self
    }

    /// Water and electricity in full run over the rating point, as far as the inlet's limits allow it to run.
    fn performance(&self, temperature: f64, relative_humidity: f64) -> Performance {
        self.map.performance(
            temperature,
            relative_humidity,
            self.defrost.derate(temperature),
            self.output_deviation,
        )
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

    /// Water removed, kg/s, and electricity, W, in full run with `inlet` air.
    fn full_run(&self, inlet: &MoistAir) -> (f64, f64) {
        let t = inlet.temperature;
        let allowed = self.allowed(t);
        if allowed <= 0.0 {
            return (0.0, 0.0);
        }
        let at = self.performance(t, inlet.relative_humidity());
        (
            allowed * self.rated_removal * at.removal,
            allowed * self.defrost.power_share(t) * self.rated_power() * at.power,
        )
    }

    /// Water removed in full run from `inlet` air, kg/s.
    #[must_use]
    pub fn full_removal(&self, inlet: &MoistAir) -> f64 {
        self.full_run(inlet).0
    }

    /// Electricity in full run with `inlet` air, W.
    #[must_use]
    pub fn full_power(&self, inlet: &MoistAir) -> f64 {
        self.full_run(inlet).1
    }

    /// Water removed in full run from `inlet` air by the machines that give less and more than eight in ten of their kind with this rating, kg/s.
    /// The two are equal where data are published.
    #[must_use]
    pub fn removal_range(&self, inlet: &MoistAir) -> (f64, f64) {
        let at = |output_deviation| {
            Self {
                output_deviation,
                ..*self
            }
            .full_removal(inlet)
        };
        (at(-SHOWN_DEVIATION), at(SHOWN_DEVIATION))
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
        let (removal, power) = self.full_run(inlet);
        let humidity_ratio = inlet.humidity_ratio - removal / dry_air;
        let gain = power - SPECIFIC_HEAT_WATER * inlet.temperature * removal;
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
        if duty <= 0.0 {
            return Effect::default();
        }
        let (full_removal, full_power) = self.full_run(inside);
        let removal = duty * full_removal;
        let run_time = duty / self.map.part_load_fraction(duty);
        let electricity = run_time * full_power;
        // The condensate is taken at room temperature: a few kelvin either way are below 1 % of the latent heat.
        let warmth = SPECIFIC_HEAT_WATER * inside.temperature * removal;
        Effect {
            vapour: -removal,
            enthalpy: electricity - warmth,
            electricity,
            condensate: removal,
            expelled: warmth,
            duty,
            condition: self.condition(inside, full_removal),
            ..Effect::default()
        }
    }

    fn condition(&self, inside: &MoistAir, full_removal: f64) -> Condition {
        let (t, r) = (inside.temperature, inside.relative_humidity());
        let stopped = self.allowed(t) < 1.0 || (self.defrost == Defrost::None && t < BLOCKING_FROM);
        let starved = full_removal < STARVED_BELOW * self.rated_removal && !stopped;
        Condition::FROSTED.when(self.defrost.derate(t) < 1.0)
            | Condition::OUTSIDE_PUBLISHED_RANGE.when(!self.map.is_published(t, r))
            | Condition::STARVED.when(starved)
            | Condition::STOPPED.when(stopped)
    }
}
