//! Slab, room and gear carried through calendar time: curing, the open shell, the closed room, wetting events.
//!
//! Times are seconds on the job's clock, which starts at midnight of the day of placing. The simulation
//! starts one day later, when the concrete is hard, with the humidity of young concrete.
//!
//! Symbols, equations and sources stand with the parts: [`crate::column`], [`crate::concrete`], [`crate::room`].
//! Accuracy: the parts' own tests, and `tests/it/concrete.rs` for whole drying times.

mod run;
mod slab;

pub use run::{Climate, LONGEST_STEP, Progress, Simulation, SimulationFault, Snapshot};
pub use slab::{Resolution, Slab, Underside};

/// Age at which the simulation starts \[s\]: the concrete is hard and walkable (common practice).
pub const START_AGE: f64 = crate::units::DAY;
