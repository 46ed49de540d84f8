//! One case run to the moment at which its floor is ready.

use crate::evaluate::{Accuracy, Outcome, prepare, run_without_film};
use crate::job::change::Case;
use crate::job::{Job, seconds_between};
use crate::scenario::Scenario;
use crate::weather::Hourly;

/// What comes of a case simulated until `end` \[s since placing\].
pub(super) fn run(case: &Case, weather: &Hourly, end: f64) -> Result<(Job, Outcome), String> {
    let job = case.job(weather, end);
    let setup = job
        .setups
        .first()
        .ok_or_else(|| format!("no setup \"{}\"", case.setup))?;
    let start = prepare(&job, Accuracy::default()).map_err(|fault| fault.to_string())?;
    let outcome = run_without_film(&job, setup, &start).map_err(|fault| fault.to_string())?;
    Ok((job, outcome))
}

/// The last moment simulated \[s since placing\].
pub(super) fn horizon(scenario: &Scenario) -> f64 {
    seconds_between(scenario.slab.placed, scenario.gear_on) + scenario.give_up_after().si()
}
