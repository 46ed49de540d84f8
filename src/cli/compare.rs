//! `coatday compare`: the main job.

use super::arguments::{Output, Samples};
use super::ending::{Ending, Fault};
use super::printer::Printer;
use crate::evaluate::Outcome;
use crate::facade;
use std::path::PathBuf;

/// Arguments of `compare`.
#[derive(Debug, clap::Args)]
pub(super) struct CompareArguments {
    /// The scenario, a JSON file
    scenario: PathBuf,
    #[command(flatten)]
    odds: Samples,
    #[command(flatten)]
    output: Output,
}

pub(super) fn run(arguments: &CompareArguments, printer: &Printer) -> Result<Ending, Fault> {
    let ready = arguments.output.ready(&arguments.scenario)?;
    let found = facade::compare(&ready, arguments.odds.into());
    arguments
        .output
        .write(&arguments.scenario, printer, &found)?;
    Ok(ending(&found.compared.outcomes))
}

fn ending(outcomes: &[Outcome]) -> Ending {
    if outcomes
        .iter()
        .any(|o| o.days_to_target.is_some() && o.meets_needed_by != Some(false))
    {
        Ending::Good
    } else if outcomes.is_empty() {
        Ending::GaveUp
    } else {
        Ending::NoneMeets
    }
}
