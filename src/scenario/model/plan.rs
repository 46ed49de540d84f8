//! What `coatday plan` may choose from, and within which limits.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::gear::{Gear, HoursOfDay};
use crate::units::{Duration, Fraction, Money, Power};

/// Gear to choose from and limits to keep.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// Gear that can be had; `count` says how many.
    #[schemars(extend("minItems" = 1, "maxItems" = 12))]
    pub on_hand: Vec<OnHand>,
    /// Chance with which the plan must make `needed_by`. Default 80 %.
    #[schemars(extend("x-limit" = "wanted chance"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub confidence: Option<Fraction>,
    /// Rental, delivery, energy and fuel must stay below this on average.
    #[schemars(extend("x-limit" = "budget"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub budget: Option<Money>,
    /// All machines that run together must stay below this. Circuits and generators stand under `site.power`.
    #[schemars(extend("x-limit" = "most power"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most_power: Option<Power>,
    /// Hours of the day in which machines that burn fuel may run, for noise or because somebody must watch them. Hours of a machine's
    /// own must lie within. Default: all day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub working_hours: Option<HoursOfDay>,
    /// Times after the start of drying at which gear may be exchanged once. Default 14, 28 and 42 days; an empty list keeps one set of gear
    /// all the time.
    #[schemars(extend("maxItems" = 12))]
    #[schemars(extend("x-limit" = "time limit"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exchange_after: Option<Vec<Duration>>,
}

/// One kind of gear that can be had.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OnHand {
    /// The gear. Its `from` and `until` are for the plan to choose.
    pub gear: Gear,
    /// Bringing and fetching one of them, once. Default: nothing.
    #[schemars(extend("x-limit" = "delivery"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub delivery: Option<Money>,
}
