//! `coatday prep`: from the walk over the floor to the coating day.

use super::arguments::{Output, Samples};
use super::ending::{Ending, Fault};
use super::printer::Printer;
use crate::computer::{files, logbook};
use crate::facade::{self, Sampling};
use crate::results::prep::shopping_csv;
use std::path::PathBuf;

/// Arguments of `prep`.
#[derive(Debug, clap::Args)]
#[allow(clippy::struct_excessive_bools)] // switches of a command line
pub(super) struct PrepArguments {
    /// The scenario, a JSON file with a "walk"
    scenario: PathBuf,
    /// The shopping list alone, as CSV on standard output
    #[arg(long, conflicts_with = "json")]
    csv: bool,
    /// Tasks and takeoff alone, without computing the drying
    #[arg(long)]
    tasks_only: bool,
    #[command(flatten)]
    odds: Samples,
    #[command(flatten)]
    output: Output,
}

pub(super) fn run(arguments: &PrepArguments, printer: &Printer) -> Result<Ending, Fault> {
    let path = &arguments.scenario;
    let scenario = files::scenario(path)?;
    let Some(walk) = &scenario.walk else {
        Err(format!(
            "{}: \"walk\" is missing. Add \"walk\": {{\"areas\": [{{\"name\": \"Hall\", \"substrate\": \"concrete\", \"size\": \"{}\"}}], \"findings\": []}}. More: coatday help walk.",
            files::shown(path),
            scenario.slab.area
        ))?
    };
    if !arguments.csv {
        arguments.output.folder()?;
    }
    let tasks_only = arguments.tasks_only || !files::has_concrete(walk);
    let open = if tasks_only {
        files::without_drying(path, scenario)?
    } else {
        logbook::with_readings(files::ready(path)?, path)?
    };
    let sampling: Sampling = if tasks_only || arguments.csv {
        Sampling {
            samples: 0,
            ..arguments.odds.into()
        }
    } else {
        arguments.odds.noted(printer).into()
    };
    let mut found =
        facade::prep(&open, sampling).map_err(|fault| Fault::no_answer(path, &fault))?;
    if arguments.csv {
        printer.data(&shopping_csv(&found.prepared));
        return Ok(Ending::Good);
    }
    found.all_findings = printer.verbose;
    arguments.output.write(path, printer, &found)?;
    Ok(Ending::of(&found.verdict))
}
