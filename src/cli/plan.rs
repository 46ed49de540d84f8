//! `coatday plan`: the cheapest gear that makes the date.

use super::arguments::Output;
use super::printer::{Printer, RELEASE};
use super::{Ending, files};
use crate::evaluate::odds::{USUAL_SAMPLES, USUAL_SEED, sampling_accuracy};
use crate::results::planned;
use crate::search::{Progress, search};
use std::io::IsTerminal;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Arguments of `plan`.
#[derive(Debug, clap::Args)]
pub(super) struct PlanArguments {
    /// The scenario, a JSON file with gear to choose from under "plan"
    scenario: PathBuf,
    /// Worlds to sample for the odds of each plan
    #[arg(long, value_name = "N", default_value_t = USUAL_SAMPLES, value_parser = clap::value_parser!(u32).range(1..=10_000))]
    samples: u32,
    /// Seed of the samples: the same seed gives the same plan
    #[arg(long, value_name = "N", default_value_t = USUAL_SEED)]
    seed: u32,
    #[command(flatten)]
    output: Output,
}

pub(super) fn run(arguments: &PlanArguments, printer: &Printer) -> Ending {
    let (job, notices) = match arguments.output.ready(&arguments.scenario) {
        Ok(ready) => (ready.job, ready.notices),
        Err(faults) => {
            printer.fault(&faults);
            return Ending::Fault;
        }
    };
    let missing = match (&job.inventory, job.needed_by) {
        (None, _) => Some(
            "plan: the scenario names no gear to choose from. Give \"plan\": { \"on_hand\": [ { \"gear\": { \"fan\": { \"count\": 4 } } } ] }.",
        ),
        (_, None) => Some("needed_by: a plan needs a date to make. Give \"needed_by\"."),
        _ => None,
    };
    let (Some(inventory), None) = (&job.inventory, missing) else {
        let why = missing.unwrap_or_default();
        printer.fault(&format!("{}: {why}", files::shown(&arguments.scenario)));
        return Ending::Fault;
    };
    let stop = Arc::new(AtomicBool::new(false));
    let asked = Arc::clone(&stop);
    // A second handler cannot be set; then Ctrl-C ends the program as usual.
    let _ = ctrlc::set_handler(move || asked.store(true, Ordering::Relaxed));
    let bar = if std::io::stderr().is_terminal() && !printer.is_quiet() {
        indicatif::ProgressBar::new(0)
    } else {
        indicatif::ProgressBar::hidden()
    };
    bar.set_style(
        indicatif::ProgressStyle::with_template("{wide_bar} {percent} %  {msg}")
            .unwrap_or_else(|_| indicatif::ProgressStyle::default_bar()),
    );
    let tell = |p: Progress<'_>| {
        bar.set_length(p.done.1 as u64);
        bar.set_position(p.done.0 as u64);
        if let Some(best) = p.best {
            let by = if best.judged { "" } else { " by one run" };
            bar.set_message(format!("best so far{by} {:.0}: {}", best.cost, best.name));
        }
    };
    let found = search(
        &job,
        inventory,
        arguments.samples,
        arguments.seed,
        sampling_accuracy(),
        &tell,
        &|| !stop.load(Ordering::Relaxed),
    );
    bar.finish_and_clear();
    let found = match found {
        Ok(found) => found,
        Err(fault) => {
            printer.fault(&format!(
                "The slab could not be computed up to the day drying starts: {fault}."
            ));
            return Ending::GaveUp;
        }
    };
    if arguments.output.json {
        let object = planned::json(&job, inventory, &found, &notices);
        printer.data(&format!("{object:#}"));
    } else {
        for sentence in planned::sentences(&job, inventory, &found) {
            printer.data(&sentence);
        }
        if let Some(plan) = found.chosen() {
            let calendar = planned::table(&job, inventory, plan);
            if !calendar.rows.is_empty() {
                printer.table(&calendar);
            }
            printer.table(&planned::trade_off(&job, inventory, &found));
            for note in planned::notes(&job, inventory, plan) {
                if note.caution {
                    // People can come to harm: said even to those who want no notes.
                    printer.fault(&format!("CAUTION: {}", note.text));
                } else {
                    printer.note(&note.text);
                }
            }
        }
        for notice in &notices {
            printer.note(notice);
        }
        printer.note(&format!(
            "{RELEASE} Burners, electrical loads and fuel come under local codes and licensed trades."
        ));
    }
    let draw = || planned::charts(&job, &found, printer.system);
    let ending = if found.best.is_some() {
        Ending::Good
    } else {
        Ending::NoneMeets
    };
    arguments
        .output
        .charts
        .finish(&arguments.scenario, printer, draw, ending)
}
