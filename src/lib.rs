//! Says when a concrete slab will be dry enough to coat, and which gear gets it there.
//!
//! The rooms below are in the order in which data flows; each uses only rooms above it.

pub mod air;
pub mod cli;
pub mod column;
pub mod concrete;
pub mod explain;
pub mod floor_tests;
pub mod gear;
pub mod plan;
pub mod prep;
pub mod report;
pub mod room;
pub mod scenario;
pub mod season;
pub mod site;
pub mod units;
pub mod weather;
