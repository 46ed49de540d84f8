//! `coatday check`: every fault of the scenario, its weather, its findings and its log, and what was understood.

use super::ending::{Ending, Fault};
use super::printer::Printer;
use crate::computer::{files, logbook};
use crate::facade;
use std::path::PathBuf;

/// Arguments of `check`.
#[derive(Debug, clap::Args)]
pub(super) struct CheckArguments {
    /// The scenario, a JSON file; - is standard input
    scenario: PathBuf,
    /// What was understood as one JSON object
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &CheckArguments, printer: &Printer) -> Result<Ending, Fault> {
    let found = facade::check(&arguments.scenario)?;
    let (_, log) = logbook::log(&arguments.scenario, None, found.scenario.slab.placed)?;
    if let Some(faults) = log.as_ref().and_then(|log| log.faults.as_ref()) {
        return Err(faults.to_string().into());
    }
    printer.answer(&found, arguments.json)?;
    if !arguments.json {
        let shown = files::shown(&arguments.scenario);
        let read = log.map_or_else(String::new, |log| {
            for notice in &log.notices {
                printer.note(notice);
            }
            match log.readings.len() {
                1 => ", and 1 reading in the log".to_owned(),
                many => format!(", and {many} readings in the log"),
            }
        });
        printer.note(&format!(
            "No faults{read}. To see how the setups do: coatday compare {shown}"
        ));
    }
    Ok(Ending::Good)
}
