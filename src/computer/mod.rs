//! The computer that the command and the page run on: its files, the log beside a scenario, and its clock.

pub(crate) mod clock;
pub(crate) mod files;
pub(crate) mod logbook;
