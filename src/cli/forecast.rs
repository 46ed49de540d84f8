//! `coatday forecast`: the date sharpened by readings, and when to test next.

use super::arguments::{Output, setup_of};
use super::ending::{Ending, Fault};
use super::printer::Printer;
use super::readings::moment;
use super::{files, logbook};
use crate::evaluate::odds::{USUAL_SEED, sampling_accuracy};
use crate::job::seconds_between;
use crate::moisture_log::forecast::forecast;
use crate::moisture_log::{Reading, judge};
use crate::results::forecast::ForecastFound;
use jiff::civil::{Date, DateTime};
use std::path::PathBuf;

/// Worlds sampled when none are asked for: enough that some agree with a month of readings.
pub(super) const WORLDS: u32 = 128;
/// Chance to pass that makes a test worth its day, per cent (common practice, no published source).
pub(super) const WANTED: u8 = 70;

/// Arguments of `forecast`.
#[derive(Debug, clap::Args)]
pub(super) struct ForecastArguments {
    /// The scenario, a JSON file
    scenario: PathBuf,
    /// Name of the setup that is on site. Default: the first of the scenario
    #[arg(long, value_name = "NAME")]
    setup: Option<String>,
    /// The log. Default: <scenario>-readings.csv beside the scenario
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    /// Forecast as of this day and time; later readings are left out. Default: now
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// Chance to pass that makes a test worth its day, in per cent
    #[arg(long, value_name = "PER CENT", default_value_t = WANTED, value_parser = clap::value_parser!(u8).range(1..=99))]
    wanted: u8,
    /// Worlds to sample
    #[arg(long, value_name = "N", default_value_t = WORLDS, value_parser = clap::value_parser!(u32).range(1..=10_000))]
    samples: u32,
    /// Seed of the samples: the same seed gives the same forecast
    #[arg(long, value_name = "N", default_value_t = USUAL_SEED)]
    seed: u32,
    #[command(flatten)]
    output: Output,
}

pub(super) fn run(arguments: &ForecastArguments, printer: &Printer) -> Result<Ending, Fault> {
    let now = moment("at", arguments.at.as_deref())?;
    let files::Ready {
        scenario,
        job,
        notices,
        ..
    } = arguments.output.ready(&arguments.scenario)?;
    let (setup, name) = setup_of(&job, arguments.setup.as_deref())?;
    let asked = arguments.log.as_deref();
    let (_, log) = logbook::log(&arguments.scenario, asked, scenario.slab.placed)?;
    let log = log.unwrap_or_default();
    let judged = judge(&log.readings, &scenario, now).into_iter();
    let informing = judged.filter(|j| j.informs() && j.reading.time <= now);
    let readings: Vec<Reading> = informing.map(|j| j.reading).collect();
    let before = readings.iter().filter(|r| r.seconds <= job.drying_starts);
    let (samples, seed) = (arguments.samples, arguments.seed);
    let found = forecast(&job, setup, &readings, samples, seed, sampling_accuracy());
    if found.worlds.is_empty() {
        return Err(Fault::gave_up(
            "No sampled world could be computed: look for extreme values in the scenario.",
        ));
    }
    let answer = ForecastFound {
        job: &job,
        setup: &name,
        forecast: &found,
        readings: &readings,
        wanted: f64::from(arguments.wanted) / 100.0,
        now: seconds(scenario.slab.placed, now),
        before: before.count(),
        notices: &notices,
    };
    arguments
        .output
        .write(&arguments.scenario, printer, &answer)?;
    if let Some(faults) = &log.faults {
        // What could be read was used; what could not must be put right.
        return Err(faults.to_string().into());
    }
    let in_time = found.places.first().and_then(|p| p.now().in_time);
    Ok(if in_time.is_some_and(|chance| chance < 0.5) {
        Ending::NoneMeets
    } else {
        Ending::Good
    })
}

/// Seconds from placing to a moment, to the minute.
pub(super) fn seconds(placed: Date, now: DateTime) -> f64 {
    seconds_between(placed, now.date())
        + f64::from(now.hour()) * crate::units::HOUR
        + f64::from(now.minute()) * 60.0
}
