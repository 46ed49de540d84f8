//! What each command found: one record for programs, one [`Document`] for people.

pub mod air;
pub mod chance;
pub mod check;
pub mod compare;
pub mod decide;
mod document;
pub mod explain;
pub mod forecast;
mod limits;
pub mod plan;
pub mod prep;
pub mod readings;
mod record;
pub mod report;
pub mod size;
pub mod today;
pub mod verdict;
pub mod weather;

use crate::units::System;
use serde::Serialize;

pub use document::{
    Block, Document, Figure, FirstPage, Head, Logo, NoLogo, Part, Section, Side, TextTable,
};
pub(crate) use document::{Columns, ISOLATE, ISOLATE_END, or_dash, plain};
use record::{finite, record};

/// What every chart says below.
pub(crate) const ESTIMATE: &str =
    "Estimate. A floor is released by its moisture tests, never by this program.";
/// The last note under every estimate.
pub(crate) const RELEASE: &str =
    "Estimates: tests, product sheet and the person responsible release the floor.";

/// What a command found.
pub trait Answer {
    /// For programs: one versioned object, numbers in the unit that their key names, days and times as RFC 3339 writes them, no
    /// number that is none.
    type Data: Serialize;

    /// The object.
    fn data(&self) -> Self::Data;

    /// What people read, in the units of a system.
    fn document(&self, system: System) -> Document;
}
