//! `coatday prep`: from the walk over the floor to the coating day.

use super::arguments::{Output, Samples};
use super::ending::{Ending, Fault};
use super::files;
use super::printer::Printer;
use crate::job::Job;
use crate::preparation::coating::ENOUGH_RUNS;
use crate::preparation::{Prepared, sample_day, work_on_the_slab};
use crate::results::prep::{PreparedFloor, shopping_csv};
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
            "{}: \"walk\" is missing. Add \"walk\": {{\"areas\": [{{\"name\": \"Hall\", \"substrate\": \"concrete\", \"size\": \"{}\"}}], \"findings\": []}}; README.md shows more.",
            files::shown(path),
            scenario.slab.area
        ))?
    };
    let (job, notices) = if arguments.tasks_only || !files::has_concrete(walk) {
        (None, Vec::new())
    } else {
        let (job, notices) = files::job(path, &scenario)?;
        (Some(job), notices)
    };
    let job = job.as_ref();
    if !arguments.csv {
        arguments.output.folder()?;
    }
    let mut prepared = files::prepared(path, &scenario, walk, job)?;
    if arguments.csv {
        printer.data(&shopping_csv(&prepared));
        return Ok(Ending::Good);
    }
    let Samples { samples, seed } = arguments.odds;
    if let Some(job) = job.filter(|_| samples as usize >= ENOUGH_RUNS) {
        let work = work_on_the_slab(&prepared, &scenario, walk);
        prepared.odds = sample_day(&prepared, &job.with_work(&work), samples, seed);
    }
    if job.is_some() && (1..ENOUGH_RUNS as u32).contains(&samples) {
        printer.note(&format!(
            "--samples {samples} is too few to tell odds from: give {ENOUGH_RUNS} or more, or 0 for none."
        ));
    }
    let found = PreparedFloor {
        name: &scenario.name,
        prepared: &prepared,
        job,
        all_findings: printer.verbose,
        notices: &notices,
    };
    arguments.output.write(path, printer, &found)?;
    Ok(ending(&prepared, job))
}

fn ending(prepared: &Prepared, job: Option<&Job>) -> Ending {
    let gave_up =
        !prepared.setups.is_empty() && prepared.setups.iter().all(|s| !s.run.outcome.computed());
    if gave_up {
        return Ending::GaveUp;
    }
    let in_time = match (&prepared.day, job.and_then(|j| j.needed_by)) {
        (Ok(day), Some(by)) => prepared.date(day.day) <= by,
        (Ok(_), None) => true,
        (Err(_), _) => false,
    };
    if in_time && prepared.judged.holds.is_empty() {
        Ending::Good
    } else {
        Ending::NoneMeets
    }
}
