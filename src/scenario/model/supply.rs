//! What the site has to plug machines into.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::gear::Phases;
use crate::units::{ApparentPower, Current, Power, Voltage};

/// Circuits, a generator, or both.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SitePower {
    /// Circuits that are free for the gear.
    #[schemars(extend("minItems" = 1, "maxItems" = 50))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub circuits: Option<Vec<Circuit>>,
    /// A generator for what the circuits do not carry.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub generator: Option<Generator>,
}

/// Circuits of one kind.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Circuit {
    /// Voltage, between phases if there are three.
    #[schemars(extend("x-limit" = "voltage"))]
    pub voltage: Voltage,
    /// Rating of the breaker. Machines that run for hours load it to 80 % at most.
    #[schemars(extend("x-limit" = "breaker"))]
    pub breaker: Current,
    /// Phases. Default: single.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub phases: Option<Phases>,
    /// How many such circuits. Default 1.
    #[schemars(extend("x-limit" = "count"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub count: Option<u32>,
}

/// A generator. Give `power` or `apparent_power`, not both.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Generator {
    /// Rating in kW.
    #[schemars(extend("x-limit" = "generator power"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub power: Option<Power>,
    /// Rating in kVA; 0.8 of it counts as kW.
    #[schemars(extend("x-limit" = "generator apparent power"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub apparent_power: Option<ApparentPower>,
}
