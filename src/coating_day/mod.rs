//! May the floor be coated now: dew point, air, slab and tests, rule by rule, each with its limit, value and source.
//!
//! No files and no clock here: callers give the measured conditions and the present moment, site local standard time.

mod cure;
mod rules;

pub use cure::{CureHours, cure_hours, slab_temperature_after};
pub use rules::{CoatingDay, Conditions, Figure, Given, Rule, Verdict, coating_day};
