//! What the user wrote: JSON model, units, faults with their place.

pub mod build;
pub mod model;
