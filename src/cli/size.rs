//! `coatday size`: are the dehumidifiers of each setup the right size?

use super::arguments::Output;
use super::ending::{Ending, Fault};
use super::printer::Printer;
use crate::evaluate::Accuracy;
use crate::evaluate::size::{Verdict, size};
use crate::results::size::SizeCheck;
use std::path::PathBuf;

/// Arguments of `size`.
#[derive(Debug, clap::Args)]
pub(super) struct SizeArguments {
    /// The scenario, a JSON file
    scenario: PathBuf,
    #[command(flatten)]
    output: Output,
}

pub(super) fn run(arguments: &SizeArguments, printer: &Printer) -> Result<Ending, Fault> {
    let ready = arguments.output.ready(&arguments.scenario)?;
    let checked = size(&ready.job, Accuracy::default()).map_err(Fault::no_start)?;
    let found = SizeCheck {
        job: &ready.job,
        setups: &checked,
        notices: &ready.notices,
    };
    arguments
        .output
        .write(&arguments.scenario, printer, &found)?;
    // The check is done whatever it says; only a solver that gave up on every setup is a failure.
    let gave_up = checked.iter().all(|s| s.verdict == Verdict::NotComputed);
    Ok(if gave_up {
        Ending::GaveUp
    } else {
        Ending::Good
    })
}
