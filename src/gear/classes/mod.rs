//! Generic classes of machines, ready to use and to override.
//!
//! Every class is a complete machine with middling values of its kind; a scenario overrides any field. None stands for a product.
//!
//! # Where the numbers come from
//! * Refrigerant: capacities in common use; energy factors inside the bands that U.S. energy rules and public lists of certified models
//!   span (1.3 to 3.3 L/kWh), turned to 26.7 degC and 60 %. Air flow of portable and conventional ones 2.75 cfm per pint per day, stated
//!   as test data in published simulation input files; low-grain, trailer: from memory.
//! * Desiccant: 0.75 of the published curve at 20 degC and 60 %, fans and currents from memory.
//! * Heaters: sizes on the rental market (trade pages), electricity and air flow from memory.
//! * Fans: currents and flows from trade pages; outlet areas are estimates from memory.
//!
//! The currents are power over voltage; a nameplate may be higher and decides. Continuous load on a circuit stays at or below 80 % of
//! its breaker by common code practice (from memory): local codes and a licensed electrician come first.
//!
//! # Proof of accuracy
//! `ref_class_*` in `tests/it/gear.rs` holds the classes against the bands above.

mod dehumidifiers;
mod heaters;
mod movers;
mod named;

pub use dehumidifiers::usual as usual_refrigerant;
pub use heaters::usual as usual_heater;
pub use movers::{usual_fan, usual_openings};
pub use named::{Catalogued, ClassOf, Heater};

use super::{Machine, Supply};
use crate::units::format::Said;

/// A class in the catalogue.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Class {
    /// Its name in scenarios.
    pub name: &'static str,
    /// What it is and how large, in the trade's words: [`Said::both`] reads it.
    label: &'static str,
    /// Where its numbers come from; "from memory" where they are recalled.
    pub source: &'static str,
    /// The machine itself.
    pub machine: Machine,
}

const HOUSEHOLD: f64 = 115.0;
const SINGLE_230: f64 = 230.0;
const THREE_PHASE: f64 = 400.0;
/// Larger than this, W, needs three phases; between, 230 V; below the first, a household plug.
const HOUSEHOLD_LIMIT: f64 = 1600.0;
const SINGLE_PHASE_LIMIT: f64 = 5000.0;

fn supply_for(power: f64) -> Supply {
    if power <= HOUSEHOLD_LIMIT {
        Supply::single_phase(HOUSEHOLD, power)
    } else if power <= SINGLE_PHASE_LIMIT {
        Supply::single_phase(SINGLE_230, power)
    } else {
        Supply::three_phase(THREE_PHASE, power)
    }
}

/// The supply of a machine of `power` W that a class gives as `supply`: the class's own voltage and phases as long as machines of that
/// power are sold for them, else those that are usual.
#[must_use]
pub fn supply_at(power: f64, supply: &Supply) -> Supply {
    let limit = match (supply.phases, supply.volts) {
        (3, _) => f64::INFINITY,
        (_, volts) if volts <= 0.0 => 0.0,
        (_, volts) if volts < SINGLE_230 => HOUSEHOLD_LIMIT,
        _ => SINGLE_PHASE_LIMIT,
    };
    if power <= 0.0 {
        Supply::NONE
    } else if power <= limit {
        supply.with_power(power)
    } else {
        supply_for(power)
    }
}

/// Every class, kind by kind.
pub fn catalogue() -> impl Iterator<Item = Class> {
    dehumidifiers::classes()
        .chain(heaters::classes())
        .chain(movers::classes())
}

impl Class {
    /// What it is and how large, in the trade's words.
    #[must_use]
    pub fn label(&self) -> Said {
        Said::both(self.label)
    }
}

/// What the class with this name is called; the name itself if there is none.
#[must_use]
pub fn label(name: &str) -> Said {
    catalogue()
        .find(|class| class.name == name)
        .map_or_else(|| name.into(), |class| class.label())
}

/// The machine of the class with this name.
#[must_use]
pub fn class(name: &str) -> Option<Machine> {
    catalogue()
        .find(|class| class.name == name)
        .map(|class| class.machine)
}

/// Names of every class, kind by kind.
pub fn class_names() -> impl Iterator<Item = &'static str> {
    catalogue().map(|class| class.name)
}
