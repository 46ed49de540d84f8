//! May the floor be coated now: the work of the walk, dew point, air, slab and tests, rule by rule, each with its limit, value and source.
//!
//! No files and no clock here: callers give the measured conditions and the present moment, site local standard time.

mod cure;
mod rule;
mod rules;
mod walk;

pub use cure::{CureHours, cure_hours, slab_temperature_after};
pub use rule::{About, Figure, Rule, Says};
pub use rules::{CoatingDay, Conditions, Given, Tested, coating_day};
