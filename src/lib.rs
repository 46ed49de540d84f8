//! Says when a concrete slab will be dry enough to coat, and which gear gets it there.
//!
//! The rooms below are in the order in which data flows; each uses only rooms above it.

pub mod air;
pub mod charts;
#[cfg(feature = "command")]
pub mod cli;
pub mod coating_day;
pub mod column;
pub mod concrete;
pub mod delay;
pub mod evaluate;
pub mod gear;
pub mod job;
pub mod moisture_log;
pub mod moisture_tests;
pub mod open;
pub mod preparation;
pub mod results;
pub mod room;
pub mod scenario;
pub mod search;
pub mod simulation;
pub mod units;
pub mod weather;
pub mod writers;
