//! `coatday explain`: where the days go, and what buys some back.

use super::arguments::{Output, setup_of};
use super::printer::{Printer, RELEASE};
use super::{Ending, files};
use crate::delay::{ExplainFault, actions, explain};
use crate::results::explained;
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
    let setup = match setup_of(&job, arguments.setup.as_deref()) {
        Ok((_, setup)) => setup,
        Err(fault) => {
            printer.fault(&fault);
            return Ending::Fault;
        }
    };
    let explained = explain(&scenario, &job.weather, &setup, work).and_then(|e| {
        let list = actions(&scenario, &job.weather, &setup, work, arguments.from);
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
            let from = arguments.from.unwrap_or(scenario.drying_starts);
            printer.data(explained::nothing_left(&explanation, from));
        } else {
            printer.table(&explained::actions_table(&list));
        }
        printer.note("");
        for remark in explained::remarks(&explanation) {
            printer.note(&remark);
        }
        if !list.is_empty() {
            printer.note(explained::EACH_BY_ITSELF);
        }
        for notice in &notices {
            printer.note(notice);
        }
        printer.note(RELEASE);
    }
    let draw = || explained::charts(&scenario, &explanation, printer.system);
    arguments
        .output
        .charts
        .finish(&arguments.scenario, printer, draw, Ending::Good)
}
