//! `coatday compare`: the main job.

use super::printer::Printer;
use super::{Ending, charts, files};
use crate::plan::odds::{USUAL_SAMPLES, USUAL_SEED, add_odds, sampling_accuracy};
use crate::plan::{Accuracy, Never, Outcome, advice, assumptions, compare, wetting_costs};
use crate::report::compared;
use crate::scenario::Scenario;
use crate::scenario::build::Job;
use std::fmt::Write as _;
use std::path::PathBuf;

/// Arguments of `compare`.
#[derive(Debug, clap::Args)]
pub(super) struct CompareArguments {
    /// The scenario, a JSON file
    scenario: PathBuf,
    /// Results as one JSON object on standard output
    #[arg(long)]
    json: bool,
    /// Folder for the charts (SVG and PNG); made if need be
    #[arg(long, value_name = "FOLDER", default_value = "plots")]
    out: PathBuf,
    /// Worlds to sample for the odds of each date; 0 for a single run of each setup
    #[arg(long, value_name = "N", default_value_t = USUAL_SAMPLES, value_parser = clap::value_parser!(u32).range(0..=10_000))]
    samples: u32,
    /// Seed of the samples: the same seed gives the same odds
    #[arg(long, value_name = "N", default_value_t = USUAL_SEED)]
    seed: u32,
    /// No charts
    #[arg(long, conflicts_with = "out")]
    no_charts: bool,
}

pub(super) fn run(arguments: &CompareArguments, printer: &Printer) -> Ending {
    let prepared = files::scenario(&arguments.scenario)
        .and_then(|s| {
            let (job, notices) = files::job_with_calendar(&arguments.scenario, &s)?;
            Ok((s, job, notices))
        })
        // Before the long run, so that a bad folder costs no waiting.
        .and_then(|ready| {
            if !arguments.no_charts {
                charts::folder(&arguments.out)?;
            }
            Ok(ready)
        });
    let (scenario, job, notices) = match prepared {
        Ok(ready) => ready,
        Err(faults) => {
            printer.fault(&faults);
            return Ending::Fault;
        }
    };
    let mut outcomes = compare(&job, Accuracy::default());
    if arguments.samples > 0 {
        add_odds(
            &job,
            &mut outcomes,
            arguments.samples,
            arguments.seed,
            sampling_accuracy(),
        );
    }
    let notes = advice(&job, &outcomes);
    let worth = worth(&scenario, &job, &outcomes);
    if arguments.json {
        let object = compared::json(&job, &outcomes, &notes, &notices, &worth);
        printer.data(&format!("{object:#}"));
    } else {
        printer.data(&format!("{}\n", compared::headline(&job, &outcomes)));
        printer.table(&compared::table(&job, &outcomes, printer.system));
        let (mut text, mut cautions) = (String::new(), String::new());
        for o in &outcomes {
            if let Some(never) = &o.never {
                let _ = writeln!(text, "{}: {}", o.name, never.sentence());
            }
        }
        for note in &notes {
            if note.caution {
                let _ = writeln!(cautions, "CAUTION, {}: {}", note.setup, note.text);
            } else {
                let _ = writeln!(text, "{}: {}", note.setup, note.text);
            }
        }
        // People can come to harm: said even to those who want no notes.
        if !cautions.is_empty() {
            printer.fault(&format!("\n{cautions}"));
        }
        if !text.is_empty() {
            printer.note(&format!("\n{}", text.trim_end()));
        }
        if let Some(best) = outcomes.first() {
            for line in worth.lines(&best.name) {
                printer.note(&line);
            }
        }
        for notice in &notices {
            printer.note(notice);
        }
        printer.note(
            "Estimates: release the floor by its moisture tests, the product's data sheet and the person responsible.",
        );
    }
    if printer.verbose {
        for o in &outcomes {
            printer.note(&format!(
                "{}: {} steps, {} Newton iterations; balance errors: water {:.1e}, heat {:.1e}; {:.0} % of the humidity difference lies outside the face",
                o.name,
                o.work.0,
                o.work.1,
                o.water_balance_error,
                o.heat_balance_error,
                100.0 * o.face_share
            ));
        }
    }
    if !arguments.no_charts {
        let drawn = compared::charts(&job, &outcomes, printer.system);
        if let Err(fault) = charts::write(&arguments.scenario, &arguments.out, drawn, printer) {
            printer.fault(&fault);
            return Ending::Fault;
        }
    }
    ending(&outcomes)
}

/// What wettings and defaults are worth with the best setup, if it gets there.
fn worth(scenario: &Scenario, job: &Job, outcomes: &[Outcome]) -> compared::Worth {
    // With a walk the calendar moves along with every change; what single things are worth is for `prep` to say.
    if scenario.walk.is_some() {
        return compared::Worth::default();
    }
    let Some((best, days)) = outcomes
        .first()
        .and_then(|o| Some((o.name.as_str(), o.days_to_target?)))
    else {
        return compared::Worth::default();
    };
    let accuracy = Accuracy::default();
    compared::Worth {
        wettings: wetting_costs(scenario, &job.weather, best, days, accuracy),
        assumptions: assumptions(scenario, &job.weather, best, days, accuracy),
    }
}

fn ending(outcomes: &[Outcome]) -> Ending {
    if outcomes
        .iter()
        .any(|o| o.days_to_target.is_some() && o.meets_needed_by != Some(false))
    {
        Ending::Good
    } else if outcomes
        .iter()
        .all(|o| matches!(o.never, Some(Never::Solver(_))))
    {
        Ending::GaveUp
    } else {
        Ending::NoneMeets
    }
}
