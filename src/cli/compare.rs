//! `coatday compare`: the main job.

use super::arguments::{Output, Samples};
use super::ending::{Ending, Fault};
use super::printer::Printer;
use crate::facade;
use crate::verdict::Verdict;
use std::path::{Path, PathBuf};

/// Arguments of `compare`.
#[derive(Debug, clap::Args)]
pub(super) struct CompareArguments {
    /// The scenario, a JSON file; - is standard input
    scenario: PathBuf,
    #[command(flatten)]
    odds: Samples,
    #[command(flatten)]
    output: Output,
}

impl CompareArguments {
    /// The usual comparison of a scenario, without charts.
    pub(super) fn of(scenario: &Path) -> Self {
        Self {
            scenario: scenario.to_path_buf(),
            odds: Samples::default(),
            output: Output::on_the_terminal(),
        }
    }
}

pub(super) fn run(arguments: &CompareArguments, printer: &Printer) -> Result<Ending, Fault> {
    let ready = arguments.output.ready(&arguments.scenario)?;
    let found = facade::compare(&ready, arguments.odds.noted(printer).into());
    arguments
        .output
        .write(&arguments.scenario, printer, &found)?;
    Ok(ending(&found.verdicts))
}

fn ending(verdicts: &[Verdict]) -> Ending {
    let mut all = verdicts.iter().map(Ending::of);
    // The best comes first, those not computed last.
    all.clone()
        .find(|ending| *ending == Ending::Good)
        .or_else(|| all.next())
        .unwrap_or(Ending::NoneMeets)
}
