//! `coatday compare`: the main job.

use super::arguments::{Output, Samples};
use super::ending::{Ending, Fault};
use super::printer::Printer;
use crate::evaluate::odds::{add_odds, sampling_accuracy};
use crate::evaluate::{Accuracy, Never, Outcome, advice, assumptions, compare, wetting_costs};
use crate::job::Job;
use crate::results::compare::{Comparison, Worth};
use crate::scenario::Scenario;
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

pub(super) fn run(arguments: &CompareArguments, printer: &Printer) -> Result<Ending, Fault> {
    let ready = arguments.output.ready(&arguments.scenario)?;
    let (scenario, job) = (&ready.scenario, &ready.job);
    let mut outcomes = compare(job, Accuracy::default());
    let Samples { samples, seed } = arguments.odds;
    if samples > 0 {
        add_odds(job, &mut outcomes, samples, seed, sampling_accuracy());
    }
    let best = outcomes.first().map(|o| o.name.clone());
    let found = Comparison {
        job,
        outcomes: &outcomes,
        advice: &advice(job, &outcomes),
        worth: &worth(
            scenario,
            job,
            &outcomes,
            scenario.walk.is_some(),
            best.as_deref(),
        ),
        notices: &ready.notices,
    };
    arguments
        .output
        .write(&arguments.scenario, printer, &found)?;
    Ok(ending(&outcomes))
}

/// What wettings and defaults are worth with a setup, if it gets there.
pub(super) fn worth(
    scenario: &Scenario,
    job: &Job,
    outcomes: &[Outcome],
    with_calendar: bool,
    setup: Option<&str>,
) -> Worth {
    let mut of_setup = outcomes.iter().filter(|o| Some(o.name.as_str()) == setup);
    let found = of_setup.find_map(|o| Some((o.name.as_str(), o.days_to_target?)));
    // A calendar of work moves along with every change; what single things are worth then is for `prep` to say.
    let Some((setup, days)) = found.filter(|_| !with_calendar) else {
        return Worth::default();
    };
    let accuracy = Accuracy::default();
    Worth {
        wettings: wetting_costs(scenario, &job.weather, setup, days, accuracy),
        assumptions: assumptions(scenario, &job.weather, setup, days, accuracy),
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
