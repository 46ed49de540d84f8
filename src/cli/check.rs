//! `coatday check`: every fault, and what was understood.

use super::printer::Printer;
use super::{Ending, files};
use crate::results::{Side, TextTable};
use crate::scenario::understood;
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

pub(super) fn run(arguments: &CheckArguments, printer: &Printer) -> Ending {
    let scenario = match files::scenario(&arguments.scenario) {
        Ok(s) => s,
        Err(faults) => {
            printer.fault(&faults);
            return Ending::Fault;
        }
    };
    let notices = match files::job(&arguments.scenario, &scenario) {
        Ok((_, notices)) => notices,
        Err(faults) => {
            printer.fault(&faults);
            return Ending::Fault;
        }
    };
    let lines = understood(&scenario);
    if arguments.json {
        let object = serde_json::json!({
            "schema": "coatday/check/1",
            "scenario": scenario.name,
            "understood": lines,
            "notices": notices,
        });
        printer.data(&format!("{object:#}"));
        return Ending::Good;
    }
    let table = TextTable {
        columns: ["What", "US", "SI", "Note"]
            .map(|c| (c.to_owned(), Side::Left))
            .to_vec(),
        rows: lines
            .into_iter()
            .map(|l| vec![l.label, l.us, l.si, l.note.unwrap_or_default()])
            .collect(),
        strong_row: None,
    };
    printer.table(&table);
    for notice in notices {
        printer.note(&notice);
    }
    let shown = files::shown(&arguments.scenario);
    printer.note(&format!(
        "No faults. To see how the setups do: coatday compare {shown}"
    ));
    Ending::Good
}
