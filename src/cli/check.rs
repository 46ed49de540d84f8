//! `coatday check`: every fault, and what was understood.

use super::ending::{Ending, Fault};
use super::files;
use super::printer::Printer;
use crate::facade;
use std::path::PathBuf;

/// Arguments of `check`.
#[derive(Debug, clap::Args)]
pub(super) struct CheckArguments {
    /// The scenario, a JSON file
    scenario: PathBuf,
    /// What was understood as one JSON object
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &CheckArguments, printer: &Printer) -> Result<Ending, Fault> {
    let found = facade::check(&arguments.scenario)?;
    printer.answer(&found, arguments.json)?;
    if !arguments.json {
        let shown = files::shown(&arguments.scenario);
        printer.note(&format!(
            "No faults. To see how the setups do: coatday compare {shown}"
        ));
    }
    Ok(Ending::Good)
}
