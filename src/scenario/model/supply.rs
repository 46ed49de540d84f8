//! What the site has to plug machines into.

use super::gear::Phases;
use crate::scenario::keys::keys;
use crate::units::{ApparentPower, Current, Power, Voltage};

keys! {
    /// Circuits, a generator, or both.
    #[schemars(extend("x-section" = true))]
    SitePower {
        /// Circuits that are free for the gear.
        circuits: Option<Vec<Circuit>> [least 1, most 50, label "circuit"],
        /// A generator for what the circuits do not carry.
        generator: Option<Generator>,
    }
}

keys! {
    /// Circuits of one kind.
    Circuit {
        /// Voltage, between phases if there are three.
        voltage: Voltage [limit "voltage"],
        /// Rating of the breaker. Machines that run for hours load it to 80 % at most.
        breaker: Current [limit "breaker"],
        /// Phases.
        phases: Option<Phases> [default Phases::Single => "usual"],
        /// How many such circuits.
        count: Option<u32> [limit "count", default 1 => "one entry, one circuit"],
    }
}

keys! {
    /// A generator. Give `power` or `apparent_power`, not both.
    #[schemars(extend("x-one-of" = ["power", "apparent_power"]))]
    Generator {
        /// Rating in kW.
        power: Option<Power> [limit "generator power"],
        /// Rating in kVA; 0.8 of it counts as kW.
        apparent_power: Option<ApparentPower> [limit "generator apparent power"],
    }
}
