//! `coatday compare`: the main job.

use super::Ending;
use super::arguments::{Output, Samples};
use super::printer::{Printer, RELEASE};
use crate::evaluate::odds::{add_odds, sampling_accuracy};
use crate::evaluate::{Accuracy, Never, Outcome, advice, assumptions, compare, wetting_costs};
use crate::job::Job;
use crate::results::compared;
use crate::scenario::Scenario;
use std::fmt::Write as _;
use std::path::PathBuf;

/// Arguments of `compare`.
#[derive(Debug, clap::Args)]
pub(super) struct CompareArguments {
    /// The scenario, a JSON file
    scenario: PathBuf,
    #[command(flatten)]
    odds: Samples,
    #[command(flatten)]
    output: Output,
}

pub(super) fn run(arguments: &CompareArguments, printer: &Printer) -> Ending {
    let (scenario, job, notices) = match arguments.output.ready(&arguments.scenario) {
        Ok(ready) => (ready.scenario, ready.job, ready.notices),
        Err(faults) => {
            printer.fault(&faults);
            return Ending::Fault;
        }
    };
    let mut outcomes = compare(&job, Accuracy::default());
    if arguments.odds.samples > 0 {
        add_odds(
            &job,
            &mut outcomes,
            arguments.odds.samples,
            arguments.odds.seed,
            sampling_accuracy(),
        );
    }
    let notes = advice(&job, &outcomes);
    let worth = worth(&scenario, &job, &outcomes);
    if arguments.output.json {
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
        for line in compared::left_out(&outcomes) {
            let _ = writeln!(text, "{line}");
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
        printer.note(RELEASE);
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
    let draw = || compared::charts(&job, &outcomes, printer.system);
    let ending = ending(&outcomes);
    arguments
        .output
        .charts
        .finish(&arguments.scenario, printer, draw, ending)
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
