//! `coatday explain`: where the days go, and what buys some back.

use super::arguments::Output;
use super::printer::Printer;
use super::{Ending, files};
use crate::explain::{ExplainFault, actions, explain};
use crate::report::explained;
use crate::scenario::build::Job;
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

/// The setup that was asked for, or the first of the job: the one on site.
pub(super) fn setup_of(job: &Job, asked: Option<&String>) -> Result<String, ExplainFault> {
    match asked {
        Some(name) if job.setups.iter().any(|s| s.name == *name) => Ok(name.clone()),
        Some(name) => Err(ExplainFault::NoSetup(name.clone())),
        None => job
            .setups
            .first()
            .map(|first| first.name.clone())
            .ok_or_else(|| ExplainFault::NoSetup(String::new())),
    }
}

pub(super) fn run(arguments: &ExplainArguments, printer: &Printer) -> Ending {
    let ready = match arguments.output.ready(&arguments.scenario) {
        Ok(ready) => ready,
        Err(faults) => {
            printer.fault(&faults);
            return Ending::Fault;
        }
    };
    let files::Ready {
        scenario,
        job,
        work,
        notices,
        ..
    } = ready;
    let work = work.as_ref();
    let explained = setup_of(&job, arguments.setup.as_ref())
        .and_then(|setup| explain(&scenario, &job.weather, &setup, work))
        .and_then(|e| {
            let list = actions(&scenario, &job.weather, &e.setup, work, arguments.from);
            list.map(|list| (e, list)).map_err(ExplainFault::Solver)
        });
    let (explanation, list) = match explained {
        Ok(explained) => explained,
        Err(fault) => {
            printer.fault(&fault.to_string());
            return match fault {
                ExplainFault::NoSetup(_) => Ending::Fault,
                ExplainFault::NeverPromised(_) => Ending::NoneMeets,
                ExplainFault::Solver(_) => Ending::GaveUp,
            };
        }
    };
    if arguments.output.json {
        let object = explained::json(&scenario, &explanation, &list, &notices);
        printer.data(&format!("{object:#}"));
    } else {
        printer.data(&format!("{}\n", explained::headline(&explanation)));
        printer.table(&explained::table(&explanation, printer.system));
        printer.data("");
        if list.is_empty() {
            printer.data("Nothing is left to buy: the floor is dry before that day.");
        } else {
            printer.table(&explained::actions_table(&list));
        }
        printer.note("");
        for remark in explained::remarks(&explanation) {
            printer.note(&remark);
        }
        printer.note("Each action is computed by itself: two together do not gain the sum. A + after a cost means that some price is not given. Whether the power, the people and the air allow it is not looked at here: see compare and size.");
        for notice in &notices {
            printer.note(notice);
        }
        printer.note(
            "Estimates: release the floor by its moisture tests, the product's data sheet and the person responsible.",
        );
    }
    let draw = || explained::charts(&scenario, &explanation, printer.system);
    if let Err(fault) = arguments
        .output
        .charts
        .write(&arguments.scenario, printer, draw)
    {
        printer.fault(&fault);
        return Ending::Fault;
    }
    Ending::Good
}
