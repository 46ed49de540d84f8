//! `coatday plan`: the cheapest gear that makes the date.

use super::arguments::{MOST_SAMPLES, Output, whole};
use super::ending::{Ending, Fault};
use super::printer::Printer;
use crate::evaluate::odds::{USUAL_SAMPLES, USUAL_SEED};
use crate::facade::{Sampling, plan_watched};
use crate::search::Progress;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Arguments of `plan`.
#[derive(Debug, clap::Args)]
pub(super) struct PlanArguments {
    /// The scenario, a JSON file with gear to choose from under "plan"
    scenario: PathBuf,
    /// Simulated cases behind the range and the chance of each plan
    #[arg(long, value_name = "N", default_value_t = USUAL_SAMPLES, value_parser = whole(1, MOST_SAMPLES))]
    samples: u32,
    /// Seed of the random draws: the same seed gives the same plan
    #[arg(long, value_name = "N", default_value_t = USUAL_SEED, value_parser = whole(0, u32::MAX))]
    seed: u32,
    #[command(flatten)]
    output: Output,
}

pub(super) fn run(arguments: &PlanArguments, printer: &Printer) -> Result<Ending, Fault> {
    let ready = arguments.output.ready(&arguments.scenario)?;
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
            let cost = ready.job.prices.currency.money(best.cost);
            let name = best.name.of(printer.system);
            bar.set_message(format!("best so far{by} {cost}: {name}"));
        }
    };
    let sampling = Sampling {
        samples: arguments.samples,
        seed: arguments.seed,
    };
    let found = plan_watched(&ready, sampling, &tell, &|| !stop.load(Ordering::Relaxed));
    bar.finish_and_clear();
    let found = found.map_err(|fault| Fault::no_answer(&arguments.scenario, &fault))?;
    arguments
        .output
        .write(&arguments.scenario, printer, &found)?;
    Ok(match found.found.best {
        Some(_) => Ending::Good,
        None => Ending::NoneMeets,
    })
}
