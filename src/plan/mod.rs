//! Planning on top of the season: comparing setups.

mod advice;
mod compare;
mod outcome;
pub mod size;

pub use advice::{Advice, advice};
pub use compare::{Accuracy, DEW_POINT_MARGIN, compare, prepare, run_setup};
pub use outcome::{Energy, LimitedBy, Never, Outcome, Record};
