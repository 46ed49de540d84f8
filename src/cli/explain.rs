//! `coatday explain`: where the days go, and what buys some back.

use super::arguments::{Output, Samples};
use super::ending::{Ending, Fault};
use super::printer::Printer;
use crate::facade;
use jiff::civil::Date;
use std::path::PathBuf;

/// Arguments of `explain`.
#[derive(Debug, clap::Args)]
pub(super) struct ExplainArguments {
    /// The scenario, a JSON file; its "promised" says what the schedule assumed
    scenario: PathBuf,
    /// Name of the setup that is on site. Default: the first of the scenario
    #[arg(long, value_name = "NAME")]
    setup: Option<String>,
    /// First day on which you can still change something, such as 2026-12-01. Default: the day the gear goes on
    #[arg(long, value_name = "DATE", value_parser = crate::computer::clock::day)]
    from: Option<Date>,
    #[command(flatten)]
    odds: Samples,
    #[command(flatten)]
    output: Output,
}

pub(super) fn run(arguments: &ExplainArguments, printer: &Printer) -> Result<Ending, Fault> {
    let ready = arguments.output.ready(&arguments.scenario)?;
    let found = facade::explain(
        &ready,
        arguments.setup.as_deref(),
        arguments.from,
        arguments.odds.noted(printer).into(),
    )
    .map_err(|fault| Fault::no_answer(&arguments.scenario, &fault))?;
    arguments
        .output
        .write(&arguments.scenario, printer, &found)?;
    Ok(Ending::Good)
}
