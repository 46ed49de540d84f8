//! `coatday plan`: the cheapest gear that makes the date.

use super::arguments::Output;
use super::ending::{Ending, Fault};
use super::files;
use super::printer::Printer;
use crate::evaluate::odds::{USUAL_SAMPLES, USUAL_SEED, sampling_accuracy};
use crate::results::plan::PlanFound;
use crate::search::{Progress, search};
use crate::units::format::money;
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

pub(super) fn run(arguments: &PlanArguments, printer: &Printer) -> Result<Ending, Fault> {
    let ready = arguments.output.ready(&arguments.scenario)?;
    let job = &ready.job;
    let missing = |what: &str| format!("{}: {what}", files::shown(&arguments.scenario));
    let inventory = job.inventory.as_ref().ok_or_else(|| missing(
        "plan: the scenario names no gear to choose from. Give \"plan\": { \"on_hand\": [ { \"gear\": { \"fan\": { \"count\": 4 } } } ] }.",
    ))?;
    if job.needed_by.is_none() {
        Err(missing(
            "needed_by: a plan needs a date to make. Give \"needed_by\".",
        ))?;
    }
    let stop = Arc::new(AtomicBool::new(false));
    let asked = Arc::clone(&stop);
    // A second handler cannot be set; then Ctrl-C ends the program as usual.
    let _ = ctrlc::set_handler(move || asked.store(true, Ordering::Relaxed));
    let bar = printer.progress();
    let tell = |p: Progress<'_>| {
        bar.set_length(p.done.1 as u64);
        bar.set_position(p.done.0 as u64);
        if let Some(best) = p.best {
            let by = if best.judged { "" } else { " by one run" };
            let cost = money(best.cost);
            bar.set_message(format!("best so far{by} {cost}: {}", best.name));
        }
    };
    let found = search(
        job,
        inventory,
        arguments.samples,
        arguments.seed,
        sampling_accuracy(),
        &tell,
        &|| !stop.load(Ordering::Relaxed),
    );
    bar.finish_and_clear();
    let found = found.map_err(Fault::no_start)?;
    let answer = PlanFound {
        job,
        inventory,
        found: &found,
        notices: &ready.notices,
    };
    arguments
        .output
        .write(&arguments.scenario, printer, &answer)?;
    Ok(match found.best {
        Some(_) => Ending::Good,
        None => Ending::NoneMeets,
    })
}
