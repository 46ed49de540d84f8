//! `coatday prep`: from the walk over the floor to the coating day.

use super::arguments::{Output, Samples};
use super::printer::Printer;
use super::{Ending, files};
use crate::job::Job;
use crate::preparation::coating::ENOUGH_RUNS;
use crate::preparation::{Prepared, sample_day, work_on_the_slab};
use crate::results::prepared as shown;
use crate::scenario::Scenario;
use crate::scenario::model::Walk;
use std::path::PathBuf;

/// Findings that are listed one by one; more are counted by kind.
const LISTED: usize = 40;

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

struct Ready {
    scenario: Scenario,
    walk: Walk,
    job: Option<Job>,
    notices: Vec<String>,
}

fn read(arguments: &PrepArguments) -> Result<Ready, String> {
    let scenario = files::scenario(&arguments.scenario)?;
    let Some(walk) = scenario.walk.clone() else {
        return Err(format!(
            "{}: \"walk\" is missing. Add \"walk\": {{\"areas\": [{{\"name\": \"Hall\", \"substrate\": \"concrete\", \"size\": \"{}\"}}], \"findings\": []}}; README.md shows more.",
            files::shown(&arguments.scenario),
            scenario.slab.area
        ));
    };
    let (job, notices) = if arguments.tasks_only || !files::has_concrete(&walk) {
        (None, Vec::new())
    } else {
        let (job, notices) = files::job(&arguments.scenario, &scenario)?;
        (Some(job), notices)
    };
    // Before the long run, so that a bad folder costs no waiting.
    if !arguments.csv {
        arguments.output.charts.folder()?;
    }
    Ok(Ready {
        scenario,
        walk,
        job,
        notices,
    })
}

pub(super) fn run(arguments: &PrepArguments, printer: &Printer) -> Ending {
    let ready = match read(arguments) {
        Ok(ready) => ready,
        Err(faults) => {
            printer.fault(&faults);
            return Ending::Fault;
        }
    };
    let job = ready.job.as_ref();
    let mut prepared = match files::prepared(&arguments.scenario, &ready.scenario, &ready.walk, job)
    {
        Ok(prepared) => prepared,
        Err(fault) => {
            printer.fault(&fault);
            return Ending::Fault;
        }
    };
    if arguments.csv {
        printer.data(&shown::shopping_csv(&prepared));
        return Ending::Good;
    }
    if let Some(job) = job.filter(|_| arguments.odds.samples as usize >= ENOUGH_RUNS) {
        let work = work_on_the_slab(&prepared, &ready.scenario, &ready.walk);
        let Samples { samples, seed } = arguments.odds;
        prepared.odds = sample_day(&prepared, &job.with_work(&work), samples, seed);
    }
    if job.is_some() && (1..ENOUGH_RUNS as u32).contains(&arguments.odds.samples) {
        printer.note(&format!(
            "--samples {} is too few to tell odds from: give {ENOUGH_RUNS} or more, or 0 for none.",
            arguments.odds.samples
        ));
    }
    if arguments.output.json {
        let object = shown::json(&ready.scenario.name, &prepared, job, &ready.notices);
        printer.data(&format!("{object:#}"));
    } else {
        print(&prepared, &ready, printer);
    }
    let draw = || shown::charts(&ready.scenario.name, &prepared, job, printer.system);
    let ending = ending(&prepared, job);
    arguments
        .output
        .charts
        .finish(&arguments.scenario, printer, draw, ending)
}

fn print(prepared: &Prepared, ready: &Ready, printer: &Printer) {
    let system = printer.system;
    printer.data(&format!(
        "{}\n",
        shown::headline(prepared, ready.job.as_ref())
    ));
    for hold in shown::holds(prepared) {
        printer.data(&hold);
    }
    if !prepared.judged.holds.is_empty() {
        printer.data("");
    }
    if prepared.survey.findings.len() <= LISTED || printer.verbose {
        printer.table(&shown::findings(prepared, system));
    } else {
        printer.table(&shown::findings_by_kind(prepared));
    }
    printer.data("");
    if !prepared.choices.is_empty() {
        printer.table(&shown::methods(prepared));
        printer.data("");
    }
    printer.table(&shown::calendar(prepared));
    printer.data("");
    if prepared.claims_drying() {
        printer.table(&shown::setups(prepared));
        printer.data("");
    }
    printer.table(&shown::shopping(prepared, system));
    printer.data("");
    if prepared.way.tasks.passes.iter().any(|p| !p.is_empty()) {
        printer.table(&shown::patching(prepared, system));
        printer.data("");
    }
    printer.table(&shown::checklist(prepared));
    // People can come to harm: said even to those who want no notes.
    let cautions: Vec<String> = prepared
        .cautions
        .iter()
        .map(|c| format!("CAUTION: {c}"))
        .collect();
    printer.fault(&format!("\n{}\n", cautions.join("\n")));
    for note in shown::notes(prepared) {
        printer.note(&note);
    }
    for notice in &ready.notices {
        printer.note(notice);
    }
    for line in &prepared.way.shopping {
        if printer.verbose {
            printer.note(&format!(
                "{}: {}",
                crate::preparation::materials::name(line.material),
                line.basis
            ));
        }
    }
    printer.note("\nRules used; the product sheet always wins:");
    for rule in shown::rules(prepared) {
        printer.note(&format!("* {rule}"));
    }
    printer.note(
        "Estimates: packs, rates and waits are common practice until walk.materials and walk.work_rates give yours. Release the floor by its tests, the product's data sheet and the person responsible.",
    );
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
