//! The cold coil of a refrigerant dehumidifier with its compressor, its hot coil and, in low-grain machines, the heat exchanger
//! in front.
//!
//! Computes the water taken and the electricity drawn by one machine over those at its rating point, from physics that holds outside
//! of the range in which machines were measured.
//!
//! # Symbols
//! All flows are per kg of dry air through the machine. Index r is the rating point.
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | T, W | air at the inlet | degC, kg/kg |
//! | `T_1`, `T_2`, `T_3` | air before the coil, behind it, and before the condenser | degC |
//! | `T_s`, `W_s` | apparatus dew point: mean temperature of the coil's surface, and saturation there | degC, kg/kg |
//! | b | bypass factor: share of the air that leaves as if it had not met the coil | 1 |
//! | e | effectiveness of the exchanger in front; 0 without one | 1 |
//! | d | water taken | kg/kg |
//! | q | duty of the coil | J/kg |
//! | `T_e`, `T_c` | evaporating and condensing temperature | degC |
//! | `R` | resistance between refrigerant and surface | K kg/J |
//! | a, g | capacity of the compressor per kelvin of `T_e` and `T_c` | 1/K |
//! | k | effectiveness of the condenser | 1 |
//! | n | share of the ideal (Carnot) cycle that the compressor reaches | 1 |
//! | p, P | electricity of the compressor, and of compressor and fan | J/kg |
//! | s | share of the rated electricity that the fan draws | 1 |
//! | f | share of the capacity that frost takes per kelvin of `T_e` below 0 degC | 1/K |
//! | F | share that frost leaves | 1 |
//! | h, `c_p`, `c_w` | enthalpy of moist air; specific heats of air and water | J/kg, J/(kg K) |
//!
//! # Equations
//! ```text
//! T_1 = T - e (T - T_2)         T_2 = b T_1 + (1 - b) T_s        T_3 = T_2 + (T - T_1)
//! d   = (1 - b) max(W - W_s(T_s), 0)                                              [1, 2]
//! q   = h(T_1, W) - h(T_2, W - d) - c_w T_s d                                     sensible and latent
//! T_e = T_s - R q
//! q   = q_r exp( a (T_e - T_e,r) - g (T_c - T_c,r) )                              [3, 4]
//! p   = q (T_c - T_e) / (n (T_e + 273.15))                                        Carnot's cycle times n
//! T_c = T_3 + (q + p) / (k c_p)
//! P / P_r = s + (1 - s) p / p_r
//! F   = max(1 - f max(-T_e, 0), 0)
//! ```
//! One unknown, `T_s`: the coil takes from the air what the compressor carries off. A coil warmer than the dew point takes no water. The
//! heat that frost gives up as it forms comes back as it melts; what defrosting costs is in F, apart from the rest.
//!
//! # What is fitted
//! Given: the drying at the rating point, 3.6 g/kg \[5\]; a and g from two refrigerants' vapour tables \[4\]; k, a middling value of finned
//! coils (common practice, no published source). Fitted to the surfaces of water removal and energy factor of the six
//! units \[5\] inside of their range: b, the approach `T_s - T_e` at the rating point, s and f. The example `dehumidifier_coil` repeats the
//! fit and prints its residuals. f has a twin in the published data alone: without it the coil gives a quarter too
//! much in the cold dry corner of the range, where it evaporates below 0 degC.
//!
//! # Valid range
//! Fitted for 21 to 32.2 degC and 40 to 80 % relative humidity. Outside of it the equations go on to hold; the constants are carried on. Air
//! is taken at sea level. The table that machines use spans -10 to 45 degC and ends in its edge's values.
//!
//! # Sources
//! 1. W. H. Carrier, R. E. Cherne, W. A. Grant, Modern air conditioning, heating and ventilating (1940): apparatus dew point and bypass factor (from
//!    memory).
//! 2. U.S. Department of Energy, building energy simulation, engineering reference: cooling coils (bypass factor
//!    `(h_out - h_adp)/(h_in - h_adp)`, apparatus dew point; from memory).
//! 3. AHRI Standard 540: capacity of a compressor as a function of evaporating and condensing temperature (the form from memory; here its
//!    logarithm, to first order).
//! 4. Vapour tables of R-134a (R. Tillner-Roth, H. D. Baehr, Journal of Physical and Chemical Reference Data 23 (1994) 657-729),
//!    R-22, R-32, R-290 and R-410A: the refrigerating effect times the density of the vapour drawn in, -15 to 15 degC evaporating and 30
//!    to 60 degC condensing, changes by 3.3 to 4.5 % and 0.9 to 1.7 % per kelvin, without and with 4 % clearance of the cylinder.
//! 5. J. Winkler, D. Christensen, J. Tomerlin, Laboratory test report for six ENERGY STAR dehumidifiers, NREL/TP-5500-52791 (2011): the
//!    surfaces; air flow of 2.75 cfm per pint a day, stated as test data in published simulation input files, from which 3.6 g/kg follow.
//!
//! # Proof of accuracy
//! `analytic_coil_*` and `ref_coil_*` in `tests/it/gear/coil.rs`.

use crate::air::{
    self, KELVIN_AT_ZERO_CELSIUS, SPECIFIC_HEAT_DRY_AIR, SPECIFIC_HEAT_VAPOUR, SPECIFIC_HEAT_WATER,
    STANDARD_PRESSURE,
};

/// A coil is never colder than this, degC: the lower end of the search for its temperature.
const COLDEST_SURFACE: f64 = -90.0;
/// To this much, K, is the temperature of the coil found.
const TOLERANCE: f64 = 1e-10;
/// Keeps the condensing temperature finite at trial values far from any solution.
const LEAST_HEADROOM: f64 = 0.2;
/// The same for the exponent of the compressor's capacity.
const WIDEST_EXPONENT: f64 = 8.0;

/// How a machine is built. Symbols: see the head of the file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Design {
    /// Water taken from a kg of dry air at the rating point, kg/kg.
    pub rated_drying: f64,
    /// Energy factor at the rating point, kg/J.
    pub energy_factor: f64,
    /// Bypass factor of the coil, 0 to 1.
    pub bypass_factor: f64,
    /// Surface over evaporating temperature at the rating point, K.
    pub approach: f64,
    /// Relative gain of the compressor's capacity per kelvin of evaporating temperature, 1/K.
    pub evaporating_gain: f64,
    /// Relative loss of it per kelvin of condensing temperature, 1/K.
    pub condensing_loss: f64,
    /// Effectiveness of the condenser, 0 to 1.
    pub condenser_effectiveness: f64,
    /// Share of the rated electricity that the fan draws, 0 to 1.
    pub fan_share: f64,
    /// Share of the capacity lost per kelvin of evaporating temperature below 0 degC, 1/K.
    pub frost_loss: f64,
    /// Effectiveness of the exchanger that cools the air on its way to the coil with the air that comes from it, 0 to 1.
    pub exchanger_effectiveness: f64,
}

impl Design {
    /// The six tested units (source 5).
    pub const SIX_UNITS: Self = Self {
        rated_drying: 3.6e-3,
        // Middle of the bands of common machines, 1.3 to 3.3 L/kWh; of little weight, as all is over the rating point.
        energy_factor: 1.8 / 3.6e6,
        bypass_factor: 0.300,
        approach: 7.1,
        evaporating_gain: 0.038,
        condensing_loss: 0.013,
        condenser_effectiveness: 0.65,
        fan_share: 0.174,
        frost_loss: 0.026,
        exchanger_effectiveness: 0.0,
    };

    /// A low-grain machine: the same coil behind a heat exchanger. ASSUMPTION: its effectiveness, middling for a plate exchanger with air on both
    /// sides. Drying and energy factor follow from the flow and the energy factor of the low-grain classes (from memory).
    pub const LOW_GRAIN: Self = Self {
        rated_drying: 4.3e-3,
        energy_factor: 2.9 / 3.6e6,
        exchanger_effectiveness: 0.5,
        ..Self::SIX_UNITS
    };
}

/// One state of a coil. Flows are per kg of dry air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoilState {
    /// Temperature of the surface, the apparatus dew point, degC.
    pub surface: f64,
    /// Evaporating temperature, degC.
    pub evaporating: f64,
    /// Condensing temperature, degC.
    pub condensing: f64,
    /// Air before and behind the coil, degC.
    pub air: (f64, f64),
    /// Water taken, kg/kg.
    pub drying: f64,
    /// Sensible part of the duty, J/kg.
    pub sensible: f64,
    /// Latent part of the duty, J/kg.
    pub latent: f64,
    /// Electricity of the compressor, J/kg.
    pub compressor: f64,
}

impl CoilState {
    /// Heat that the coil takes, J/kg.
    #[must_use]
    pub fn duty(&self) -> f64 {
        self.sensible + self.latent
    }
}

/// A coil, sized by its rating point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coil {
    design: Design,
    rated: CoilState,
    /// R.
    resistance: f64,
    /// n.
    cycle_share: f64,
}

impl Coil {
    /// The coil that takes the design's water from air of `temperature` degC and `relative_humidity` 0 to 1, its rating point.
    ///
    /// Only a `rated_drying` that leaves the air wetter than saturated at some temperature above absolute zero makes sense; others give
    /// figures without meaning.
    #[must_use]
    pub fn new(design: Design, temperature: f64, relative_humidity: f64) -> Self {
        let humidity_ratio = humidity_ratio(temperature, relative_humidity);
        let at_surface = humidity_ratio - design.rated_drying / (1.0 - design.bypass_factor);
        let surface = air::condensation_point(air::vapour_pressure(at_surface, STANDARD_PRESSURE));
        let mut coil = Self {
            design,
            rated: CoilState {
                surface,
                evaporating: surface - design.approach,
                condensing: 0.0,
                air: (0.0, 0.0),
                drying: 0.0,
                sensible: 0.0,
                latent: 0.0,
                compressor: 0.0,
            },
            resistance: 0.0,
            cycle_share: 1.0,
        };
        let air_side = coil.air_side(temperature, humidity_ratio, surface);
        let duty = air_side.duty();
        let compressor = (1.0 - design.fan_share) * design.rated_drying / design.energy_factor;
        let evaporating = surface - design.approach;
        let condensing = before_condenser(temperature, air_side.air)
            + (duty + compressor) / coil.condenser(humidity_ratio - air_side.drying);
        coil.resistance = design.approach / duty;
        coil.cycle_share = duty * (condensing - evaporating)
            / (compressor * (evaporating + KELVIN_AT_ZERO_CELSIUS));
        coil.rated = CoilState {
            evaporating,
            condensing,
            compressor,
            ..air_side
        };
        coil
    }

    /// How it is built.
    #[must_use]
    pub fn design(&self) -> &Design {
        &self.design
    }

    /// Its state at the rating point.
    #[must_use]
    pub fn rated(&self) -> &CoilState {
        &self.rated
    }

    /// Capacity of the condenser's air per kelvin of condensing over inlet temperature, J/(kg K).
    fn condenser(&self, humidity_ratio: f64) -> f64 {
        self.design.condenser_effectiveness
            * (SPECIFIC_HEAT_DRY_AIR + SPECIFIC_HEAT_VAPOUR * humidity_ratio)
    }

    /// What the air gives to a surface of some temperature.
    fn air_side(&self, temperature: f64, humidity_ratio: f64, surface: f64) -> CoilState {
        let (b, e) = (
            self.design.bypass_factor,
            self.design.exchanger_effectiveness,
        );
        // The two lines for T_1 and T_2, solved.
        let before = temperature - e * (1.0 - b) * (temperature - surface) / (1.0 - e * b);
        let behind = b * before + (1.0 - b) * surface;
        let at_surface = air::saturation_humidity_ratio(surface, STANDARD_PRESSURE);
        let drying = (1.0 - b) * (humidity_ratio - at_surface).max(0.0);
        let vapour = air::LATENT_HEAT_AT_ZERO + SPECIFIC_HEAT_VAPOUR * behind;
        CoilState {
            surface,
            evaporating: surface,
            condensing: surface,
            air: (before, behind),
            drying,
            sensible: (SPECIFIC_HEAT_DRY_AIR + SPECIFIC_HEAT_VAPOUR * humidity_ratio)
                * (before - behind),
            latent: drying * (vapour - SPECIFIC_HEAT_WATER * surface),
            compressor: 0.0,
        }
    }

    /// The state that belongs to a temperature of the surface, whether or not the compressor can hold it there.
    #[must_use]
    fn with_surface(&self, temperature: f64, humidity_ratio: f64, surface: f64) -> CoilState {
        let air_side = self.air_side(temperature, humidity_ratio, surface);
        let duty = air_side.duty();
        let evaporating = surface - self.resistance * duty;
        let per_lift = duty / (self.cycle_share * (evaporating + KELVIN_AT_ZERO_CELSIUS));
        let condenser = self.condenser(humidity_ratio - air_side.drying);
        let rejected = duty - per_lift * evaporating;
        let condensing = (before_condenser(temperature, air_side.air) + rejected / condenser)
            / (1.0 - per_lift / condenser).max(LEAST_HEADROOM);
        CoilState {
            evaporating,
            condensing,
            compressor: per_lift * (condensing - evaporating),
            ..air_side
        }
    }

    /// What the compressor carries off at a state, J/kg.
    fn compressor_capacity(&self, state: &CoilState) -> f64 {
        let exponent = self.design.evaporating_gain * (state.evaporating - self.rated.evaporating)
            - self.design.condensing_loss * (state.condensing - self.rated.condensing);
        self.rated.duty() * exponent.clamp(-WIDEST_EXPONENT, WIDEST_EXPONENT).exp()
    }

    /// The state with air of `temperature` degC and `relative_humidity` 0 to 1 at the inlet.
    #[must_use]
    pub fn state(&self, temperature: f64, relative_humidity: f64) -> CoilState {
        let humidity_ratio = humidity_ratio(temperature, relative_humidity);
        let surface = air::bracketed_root(
            |surface| {
                let state = self.with_surface(temperature, humidity_ratio, surface);
                state.duty() - self.compressor_capacity(&state)
            },
            COLDEST_SURFACE,
            temperature,
            TOLERANCE,
        );
        // The duty falls from far above the capacity to nothing across the bracket, so there is a root.
        self.with_surface(temperature, humidity_ratio, surface.unwrap_or(temperature))
    }

    /// Water taken over that at the rating point, without frost.
    #[must_use]
    pub fn removal(&self, state: &CoilState) -> f64 {
        state.drying / self.rated.drying
    }

    /// Electricity of compressor and fan over that at the rating point.
    #[must_use]
    pub fn power(&self, state: &CoilState) -> f64 {
        let fan = self.design.fan_share;
        fan + (1.0 - fan) * state.compressor / self.rated.compressor
    }

    /// Share of the capacity that frost leaves, 0 to 1.
    #[must_use]
    pub fn frost_share(&self, state: &CoilState) -> f64 {
        (1.0 - self.design.frost_loss * (-state.evaporating).max(0.0)).max(0.0)
    }
}

fn humidity_ratio(temperature: f64, relative_humidity: f64) -> f64 {
    let pressure = relative_humidity.clamp(0.0, 1.0) * air::saturation_pressure(temperature);
    air::humidity_ratio(pressure, STANDARD_PRESSURE)
}

/// Temperature of the air that reaches the condenser: the exchanger gives back what it took, degC.
fn before_condenser(temperature: f64, (before, behind): (f64, f64)) -> f64 {
    behind + temperature - before
}

/// A coil with the temperatures of its surface in a table, straight between nodes: within 0.1 K of [`Coil::state`] and quick enough for a
/// solver.
#[derive(Clone, Debug)]
pub struct CoilTable {
    coil: Coil,
    /// Row by row of equal temperature.
    surfaces: Vec<f64>,
}

/// Axes of the table: first node, step, nodes.
const TEMPERATURES: (f64, f64, usize) = (-10.0, 1.0, 56);
const HUMIDITIES: (f64, f64, usize) = (0.0, 0.005, 201);

/// Node below a value and the way from it to the next, 0 to 1; the ends hold beyond them.
fn place(value: f64, (first, step, nodes): (f64, f64, usize)) -> (usize, f64) {
    let steps = ((value - first) / step).clamp(0.0, (nodes - 1) as f64);
    let node = (steps as usize).min(nodes - 2);
    (node, steps - node as f64)
}

fn node((first, step, _): (f64, f64, usize), i: usize) -> f64 {
    first + step * i as f64
}

impl CoilTable {
    /// Tabulates a coil.
    #[must_use]
    pub fn new(coil: Coil) -> Self {
        let surfaces = (0..TEMPERATURES.2)
            .flat_map(|i| (0..HUMIDITIES.2).map(move |j| (i, j)))
            .map(|(i, j)| {
                coil.state(node(TEMPERATURES, i), node(HUMIDITIES, j))
                    .surface
            })
            .collect();
        Self { coil, surfaces }
    }

    /// The coil.
    #[must_use]
    pub fn coil(&self) -> &Coil {
        &self.coil
    }

    /// The state with air of `temperature` degC and `relative_humidity` 0 to 1 at the inlet.
    #[must_use]
    pub fn state(&self, temperature: f64, relative_humidity: f64) -> CoilState {
        let last = |axis: (f64, f64, usize)| node(axis, axis.2 - 1);
        let t = temperature.clamp(TEMPERATURES.0, last(TEMPERATURES));
        let (i, x) = place(t, TEMPERATURES);
        let (j, y) = place(relative_humidity, HUMIDITIES);
        let at = |i: usize, j: usize| self.surfaces[i * HUMIDITIES.2 + j];
        let row = |i: usize| at(i, j) + y * (at(i, j + 1) - at(i, j));
        let surface = row(i) + x * (row(i + 1) - row(i));
        self.coil
            .with_surface(t, humidity_ratio(t, relative_humidity), surface)
    }
}
