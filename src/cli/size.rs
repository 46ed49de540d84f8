//! `coatday size`: are the dehumidifiers of each setup the right size?

use super::Ending;
use super::arguments::Output;
use super::printer::Printer;
use crate::evaluate::Accuracy;
use crate::evaluate::size::{Verdict, size};
use crate::results::sized;
use std::path::PathBuf;

/// Arguments of `size`.
#[derive(Debug, clap::Args)]
pub(super) struct SizeArguments {
    /// The scenario, a JSON file
    scenario: PathBuf,
    #[command(flatten)]
    output: Output,
}

pub(super) fn run(arguments: &SizeArguments, printer: &Printer) -> Ending {
    let (job, notices) = match arguments.output.ready(&arguments.scenario) {
        Ok(ready) => (ready.job, ready.notices),
        Err(faults) => {
            printer.fault(&faults);
            return Ending::Fault;
        }
    };
    let checked = match size(&job, Accuracy::default()) {
        Ok(checked) => checked,
        Err(fault) => {
            printer.fault(&format!(
                "The slab could not be computed up to the day drying starts: {fault}."
            ));
            return Ending::GaveUp;
        }
    };
    if arguments.output.json {
        printer.data(&format!("{:#}", sized::json(&job, &checked, &notices)));
    } else {
        printer.table(&sized::table(&checked, printer.system));
        for s in &checked {
            printer.data(&format!("\n{}", s.outcome.name));
            printer.table(&sized::weeks(s, printer.system));
            for sentence in sized::sentences(s).into_iter().chain(sized::power(s)) {
                printer.data(&sentence);
            }
            // People can come to harm: said even to those who want no notes.
            for caution in sized::cautions(s) {
                printer.fault(&format!("CAUTION, {}: {caution}", s.outcome.name));
            }
            for rule in sized::rules(s) {
                printer.note(&format!("{}: {rule}", s.outcome.name));
            }
        }
        for notice in &notices {
            printer.note(notice);
        }
        printer.note(
            "Estimates: the machine's data sheet, local codes and the person responsible come first.",
        );
    }
    let draw = || sized::charts(&job, &checked, printer.system);
    let ending = ending(checked.iter().map(|s| s.verdict));
    arguments
        .output
        .charts
        .finish(&arguments.scenario, printer, draw, ending)
}

/// The check is done whatever it says; only a solver that gave up on every setup is a failure.
fn ending(verdicts: impl Iterator<Item = Verdict>) -> Ending {
    let verdicts: Vec<Verdict> = verdicts.collect();
    if verdicts.iter().all(|v| *v == Verdict::NotComputed) {
        Ending::GaveUp
    } else {
        Ending::Good
    }
}
