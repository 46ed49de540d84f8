//! Water, heat and carbon dioxide that come into a room's air beside slab, machines and outside air: other wet materials and people.
//!
//! Computes means over a step, so that what is released adds up whatever the steps are.
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | M | water that a material holds to give off at the start | kg |
//! | τ | time constant of its drying | s |
//! | a, b | start and end of a step, counted from the material's start | s |
//! | S, L | sensible and latent heat of a person | W |
//! | `h_fg` | latent heat of sweat and breath | J/kg |
//!
//! # Equations
//! ```text
//! drying material     mean rate = M (exp(-a/τ) - exp(-b/τ)) / (b - a)          in all M
//! steady material     its rate, for the share of the step in which it gives
//! people              vapour = L / h_fg      heat = S      for the share of the step in which they are there
//! ```
//! A material takes the heat of evaporation from the room's air; a person brings it along.
//!
//! # Valid range
//! A material's release does not answer to the room's air: where the air is nearly saturated the real one is slower. Grown men and
//! women at work.
//!
//! # Sources
//! 1. Heat of people: American Society of Heating, Refrigerating and Air-Conditioning Engineers, Handbook: Fundamentals, table of heat
//!    and moisture given off by people in different states of activity, adjusted for a mixed group: light bench work 80 W sensible and
//!    140 W latent, heavy work 170 W and 255 W (from memory).
//! 2. Carbon dioxide: ASTM D6245, `0.00276 A M / (0.23 R + 0.77)` times R in L/s with A = 1.8 m2 of skin, R = 0.83 and M the metabolic
//!    rate in met (from memory); 1 met is 58.2 W/m2.
//! 3. First-order drying: an assumption; what dries by diffusion is faster at first and slower later.
//!
//! # Proof of accuracy
//! `analytic_source_*` and `ref_people` in `tests/it/room/sources.rs`.

use crate::gear::controls::Hours;
use crate::units::{DAY, HOUR};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::ops::AddAssign;

/// Latent heat of sweat and breath at some 33 degC, J/kg (handbook value, from memory).
const LATENT_HEAT_AT_SKIN: f64 = 2.423e6;
/// Carbon dioxide per heat of a person, kg/J: source 2 with the density of the gas at 20 degC.
const CARBON_DIOXIDE_PER_HEAT: f64 =
    0.00276 * 0.83 / (0.23 * 0.83 + 0.77) / 58.2 * 1e-3 * CARBON_DIOXIDE_DENSITY;
/// Carbon dioxide at 20 degC and 101 325 Pa, kg/m3 (ideal gas).
const CARBON_DIOXIDE_DENSITY: f64 = 1.83;

/// Work of the people in a room.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Work {
    /// Standing and light work with the hands.
    Light,
    /// Heavy work.
    Heavy,
}

impl Work {
    /// Sensible and latent heat of one person, W (source 1).
    #[must_use]
    pub fn heat(self) -> (f64, f64) {
        match self {
            Self::Light => (80.0, 140.0),
            Self::Heavy => (170.0, 255.0),
        }
    }

    /// Water vapour of one person, kg/s.
    #[must_use]
    pub fn vapour(self) -> f64 {
        self.heat().1 / LATENT_HEAT_AT_SKIN
    }

    /// Carbon dioxide of one person, kg/s.
    #[must_use]
    pub fn carbon_dioxide(self) -> f64 {
        let (sensible, latent) = self.heat();
        (sensible + latent) * CARBON_DIOXIDE_PER_HEAT
    }
}

/// What gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    /// A wet material that dries with a time constant.
    Drying {
        /// Water that it will give, kg.
        water: f64,
        /// Time in which it gives 63 % of it, s.
        time_constant: f64,
    },
    /// A wet material, or anything else, that gives water evenly, kg/s.
    Steady(f64),
    /// People.
    People {
        /// How many.
        count: f64,
        /// Their work.
        work: Work,
        /// When they are there, every day.
        hours: Hours,
    },
}

/// A source and when it is in the room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Source {
    /// What gives.
    pub kind: Kind,
    /// Start and end \[s on the season's clock\].
    pub present: (f64, f64),
}

/// What sources give, as means over a step.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Given {
    /// Vapour from wet materials \[kg/s\].
    pub from_materials: f64,
    /// Vapour from people \[kg/s\].
    pub from_people: f64,
    /// Dry heat of people \[W\].
    pub sensible: f64,
    /// Carbon dioxide of people \[kg/s\].
    pub carbon_dioxide: f64,
}

impl AddAssign for Given {
    fn add_assign(&mut self, other: Self) {
        self.from_materials += other.from_materials;
        self.from_people += other.from_people;
        self.sensible += other.sensible;
        self.carbon_dioxide += other.carbon_dioxide;
    }
}

/// Seconds within the hours of the day from the clock's zero to `time`.
fn within(hours: Hours, time: f64) -> f64 {
    let (from, until) = (hours.from * HOUR, hours.until * HOUR);
    let days = (time / DAY).floor();
    let moment = time - days * DAY;
    let (whole, today) = if from < until {
        (until - from, (moment - from).clamp(0.0, until - from))
    } else {
        (
            DAY - (from - until),
            moment.min(until) + (moment - from).max(0.0),
        )
    };
    days * whole + today
}

impl Source {
    /// Means from `from` to `until` \[s on the season's clock\].
    #[must_use]
    pub fn mean(&self, from: f64, until: f64) -> Given {
        let length = until - from;
        let (start, end) = (from.max(self.present.0), until.min(self.present.1));
        if length <= 0.0 || end <= start {
            return Given::default();
        }
        match self.kind {
            Kind::Drying {
                water,
                time_constant,
            } => {
                let elapsed = (start - self.present.0) / time_constant;
                let share = -(-(end - start) / time_constant).exp_m1();
                Given {
                    from_materials: water * (-elapsed).exp() * share / length,
                    ..Given::default()
                }
            }
            Kind::Steady(rate) => Given {
                from_materials: rate * (end - start) / length,
                ..Given::default()
            },
            Kind::People { count, work, hours } => {
                let there = count * (within(hours, end) - within(hours, start)) / length;
                Given {
                    from_people: there * work.vapour(),
                    sensible: there * work.heat().0,
                    carbon_dioxide: there * work.carbon_dioxide(),
                    ..Given::default()
                }
            }
        }
    }
}
