//! `coatday explain`: where the days go, and what buys some back.

use super::arguments::{Output, setup_of};
use super::ending::{Ending, Fault};
use super::printer::Printer;
use crate::delay::{ExplainFault, actions, explain};
use crate::results::explain::Explained;
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
    /// First day on which something can still be changed, such as 2026-12-01; otherwise the day drying starts
    #[arg(long, value_name = "DATE")]
    from: Option<Date>,
    #[command(flatten)]
    output: Output,
}

pub(super) fn run(arguments: &ExplainArguments, printer: &Printer) -> Result<Ending, Fault> {
    let ready = arguments.output.ready(&arguments.scenario)?;
    let (scenario, weather, work) = (&ready.scenario, &ready.job.weather, ready.work.as_ref());
    let (_, setup) = setup_of(&ready.job, arguments.setup.as_deref())?;
    let explanation =
        explain(scenario, weather, &setup, work).map_err(|fault| not_explained(&fault))?;
    let list = actions(scenario, weather, &setup, work, arguments.from)
        .map_err(|fault| not_explained(&ExplainFault::Solver(fault)))?;
    let found = Explained {
        scenario,
        explanation: &explanation,
        actions: &list,
        from: arguments.from.unwrap_or(scenario.drying_starts),
        notices: &ready.notices,
    };
    arguments
        .output
        .write(&arguments.scenario, printer, &found)?;
    Ok(Ending::Good)
}

fn not_explained(fault: &ExplainFault) -> Fault {
    let text = fault.to_string();
    match fault {
        ExplainFault::NoSetup(_) => text.into(),
        ExplainFault::NeverPromised(_) => Fault::none_meets(text),
        ExplainFault::Solver(_) => Fault::gave_up(text),
    }
}
