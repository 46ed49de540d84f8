//! `coatday size`: are the dehumidifiers of each setup the right size?

use super::arguments::Output;
use super::ending::{Ending, Fault};
use super::printer::Printer;
use crate::facade;
use std::path::PathBuf;

/// Arguments of `size`.
#[derive(Debug, clap::Args)]
pub(super) struct SizeArguments {
    /// The scenario, a JSON file; - is standard input
    scenario: PathBuf,
    #[command(flatten)]
    output: Output,
}

pub(super) fn run(arguments: &SizeArguments, printer: &Printer) -> Result<Ending, Fault> {
    let ready = arguments.output.ready(&arguments.scenario)?;
    let mut found =
        facade::size(&ready).map_err(|fault| Fault::no_answer(&arguments.scenario, &fault))?;
    // The path of the air is for those who read such charts.
    found.paths = printer.verbose;
    arguments
        .output
        .write(&arguments.scenario, printer, &found)?;
    // The check is done whatever it says; only a solver that gave up on every setup is a failure.
    Ok(if found.checked.setups.is_empty() {
        Ending::GaveUp
    } else {
        Ending::Good
    })
}
