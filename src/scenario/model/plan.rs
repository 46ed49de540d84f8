//! What `coatday plan` may choose from, and within which limits.

use super::gear::Gear;
use crate::gear::controls::Hours;
use crate::scenario::keys::keys;
use crate::units::{Duration, Fraction, Money, Power};

/// Chance with which a date is to be made where the scenario names none (common practice, no published source).
pub const USUAL_CONFIDENCE: f64 = 0.8;

keys! {
    /// Gear to choose from and limits to keep.
    #[schemars(extend("x-section" = true))]
    Plan {
        /// Gear that can be had; `count` says how many.
        on_hand: Vec<OnHand> [least 1, most 12, label "can be had"],
        /// Chance with which the plan must make `needed_by`.
        confidence: Option<Fraction> [
            limit "wanted chance",
            label "wanted chance of making the date",
            default Fraction::of(100.0 * USUAL_CONFIDENCE, "%") => "common practice, no published source"
        ],
        /// Rental, delivery, energy and fuel must stay below this on average.
        budget: Option<Money> [limit "budget"],
        /// All machines that run together must stay below this. Circuits and generators stand under `site.power`.
        power_limit: Option<Power> [limit "most power", label "most electrical power"],
        /// Hours of the day in which machines that burn fuel may run, for noise or because somebody must watch them. Hours of a machine's own
        /// must lie within. Default: all day.
        working_hours: Option<Hours> [label "machines that burn fuel run"],
        /// Times after the gear goes on at which gear may be exchanged once.
        swap_after: Option<Vec<Duration>> [
            most 12, limit "time limit",
            label "gear may be exchanged after",
            default [14.0, 28.0, 42.0].map(|days| Duration::of(days, "days")).to_vec() => "common practice, no published source"
        ],
    }
}

keys! {
    /// One kind of gear that can be had.
    OnHand {
        /// The gear. Its `from` and `until` are for the plan to choose.
        gear: Gear,
    }
}
