//! `coatday forecast`: the date sharpened by readings, and when to test next.

use super::arguments::{MOST_SAMPLES, Output, whole};
use super::ending::{Ending, Fault};
use super::printer::Printer;
use crate::computer::clock::moment;
use crate::computer::logbook;
use crate::facade::{self, Sampling, WORTH_TESTING};
use std::path::PathBuf;

/// Arguments of `forecast`.
#[derive(Debug, clap::Args)]
pub(super) struct ForecastArguments {
    /// The scenario, a JSON file; - is standard input
    scenario: PathBuf,
    /// Name of the setup that is on site. Default: the first of the scenario
    #[arg(long, value_name = "NAME")]
    setup: Option<String>,
    /// The log. Default: the scenario's name with -readings.csv, beside it
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    /// Forecast as of this day and time, without later readings. Default: now
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// Chance to pass that makes a test worth its day, in percent
    #[arg(long, value_name = "PERCENT", default_value_t = (100.0 * WORTH_TESTING) as u32, value_parser = whole(1, 99))]
    wanted: u32,
    /// Simulated cases. With readings at least 128, so that enough of them agree
    #[arg(long, value_name = "N", default_value_t = Sampling::default().samples, value_parser = whole(1, MOST_SAMPLES))]
    samples: u32,
    /// Seed of the random draws: the same seed gives the same forecast
    #[arg(long, value_name = "N", default_value_t = Sampling::default().seed, value_parser = whole(0, u32::MAX))]
    seed: u32,
    #[command(flatten)]
    output: Output,
}

pub(super) fn run(arguments: &ForecastArguments, printer: &Printer) -> Result<Ending, Fault> {
    let now = moment("at", arguments.at.as_deref())?;
    let ready = arguments.output.ready(&arguments.scenario)?;
    let asked = arguments.log.as_deref();
    let placed = ready.scenario.slab.placed;
    let (_, log) = logbook::log(&arguments.scenario, asked, placed)?;
    let log = log.unwrap_or_default();
    let sampling = Sampling {
        samples: arguments.samples,
        seed: arguments.seed,
    };
    let wanted = f64::from(arguments.wanted) / 100.0;
    let setup = arguments.setup.as_deref();
    let found = facade::forecast(&ready, setup, &log, now, wanted, sampling)
        .map_err(|fault| Fault::no_answer(&arguments.scenario, &fault))?;
    arguments
        .output
        .write(&arguments.scenario, printer, &found)?;
    if let Some(faults) = &log.faults {
        // What could be read was used; what could not must be put right.
        return Err(faults.to_string().into());
    }
    Ok(Ending::of(&found.verdict))
}
