//! The odds of a date: the job run in many worlds that it may meet.
//!
//! Samples follow an Owen-scrambled Sobol sequence (Owen 1995; Burley 2020), so that few of them fill the space of inputs
//! evenly; the same seed gives the same numbers whatever the number of threads. `inputs.rs` says what varies and how far.
//!
//! Accuracy: `tests/it/odds.rs` (32 and 128 samples against 4096, spread of weeks, coverage of synthetic jobs).

mod inputs;

pub use super::samples::{Odds, SHARES, Sample, quantile};
pub use inputs::{Draw, PERMEABILITY, sampling_accuracy};

use super::compare::{Accuracy, prepare, run_for_targets};
use super::money::days_late;
use super::outcome::{Outcome, Record};
use crate::job::{Job, Setup, seconds_between};
use crate::moisture_tests::Target;
use crate::simulation::Simulation;
use crate::units::DAY;
use rayon::prelude::*;

/// Samples when none are asked for: the ends and the middle of the range are then good to a tenth of the days.
pub const USUAL_SAMPLES: u32 = 32;
/// From so many cases on a spread is told; with fewer, its ends would be the cases themselves.
pub const ENOUGH_CASES: usize = 10;
/// Seed when none is given.
pub const USUAL_SEED: u32 = 1;
/// Days from the start of drying to the end of the day needed by.
#[must_use]
pub fn days_allowed(job: &Job) -> Option<f64> {
    job.needed_by
        .map(|by| (seconds_between(job.placed, by) + DAY - job.gear_on) / DAY)
}

/// Gives each outcome of a comparison its odds.
pub fn add_odds(job: &Job, outcomes: &mut [Outcome], draws: &[Draw], accuracy: Accuracy) {
    let found = odds(job, draws, accuracy);
    for (setup, odds) in job.setups.iter().zip(found) {
        let outcome = outcomes.iter_mut().find(|o| o.name == setup.name);
        if let Some(outcome) = outcome {
            outcome.odds = Some(odds);
        }
    }
}

/// What a run adds to the odds.
pub(crate) fn sample(outcome: &Outcome) -> Sample {
    let first = |record: &Record| record.readings.first().copied().unwrap_or(f64::NAN);
    let course = by_whole_days(outcome.records.iter().map(|r| (r.day, first(r))));
    Sample {
        days: outcome.days_to_target.unwrap_or(f64::INFINITY),
        cost: outcome.cost,
        course,
    }
}

/// Values at the start of each day, from pairs of day and value in rising order: on the line between two pairs, or the next one's where there is none.
fn by_whole_days(values: impl Iterator<Item = (f64, f64)>) -> Vec<f64> {
    let mut course = Vec::new();
    let mut before: Option<(f64, f64)> = None;
    for (at, value) in values {
        while at >= course.len() as f64 {
            let day = course.len() as f64;
            course.push(match before {
                Some((from, old)) if old.is_finite() && from < day => {
                    old + (value - old) * (day - from) / (at - from)
                }
                _ => value,
            });
        }
        before = Some((at, value));
    }
    course
}

/// Runs every setup of a job in the worlds of these draws; odds in the order of the job's setups.
#[must_use]
pub fn odds(job: &Job, draws: &[Draw], accuracy: Accuracy) -> Vec<Odds> {
    let of_setups = odds_for_targets(job, &[&job.targets], draws, 0.0, accuracy);
    of_setups.into_iter().flatten().collect()
}

/// The same read against several sets of targets: odds by setup, then by set. No run ends before `until` \[s\].
#[must_use]
pub fn odds_for_targets(
    job: &Job,
    targets: &[&[Target]],
    draws: &[Draw],
    until: f64,
    accuracy: Accuracy,
) -> Vec<Vec<Odds>> {
    let run = |world: &Job, setup: &Setup, start: &Simulation| {
        let outcomes = run_for_targets(world, setup, start, targets, until).ok()?;
        Some(outcomes.iter().map(sample).collect::<Vec<Sample>>())
    };
    let runs: Vec<Vec<Option<Vec<Sample>>>> = draws
        .par_iter()
        .map(|draw| {
            let world = draw.apply(job);
            match prepare(&world, accuracy) {
                Ok(start) => world
                    .setups
                    .par_iter()
                    .map(|setup| run(&world, setup, &start))
                    .collect(),
                Err(_) => vec![None; world.setups.len()],
            }
        })
        .collect();
    let of = |setup: usize, set: usize| {
        let samples = runs
            .iter()
            .map(|run| run.get(setup)?.as_ref()?.get(set).cloned());
        from_samples(job, samples.collect())
    };
    (0..job.setups.len())
        .map(|setup| (0..targets.len()).map(|set| of(setup, set)).collect())
        .collect()
}

/// Odds of runs, `None` for those that the solver gave up on.
fn from_samples(job: &Job, runs: Vec<Option<Sample>>) -> Odds {
    let all = runs.len();
    let samples: Vec<Sample> = runs.into_iter().flatten().collect();
    let mut odds = Odds {
        failed: all - samples.len(),
        samples,
        in_time: None,
    };
    odds.in_time = job.needed_by.map(|_| {
        let good = |s: &&Sample| days_late(job, s.days) == Some(0.0);
        odds.samples.iter().filter(good).count() as f64 / odds.samples.len().max(1) as f64
    });
    odds
}

#[cfg(test)]
mod tests {
    use super::by_whole_days;

    #[test]
    fn a_day_between_two_records_lies_on_their_line() {
        let records = [(0.25, 0.9), (1.25, 0.8), (3.25, 0.6)];
        let course = by_whole_days(records.into_iter());
        let wanted = [0.9, 0.825, 0.725, 0.625];
        assert_eq!(course.len(), wanted.len());
        for (got, wanted) in course.iter().zip(wanted) {
            assert!((got - wanted).abs() < 1e-12, "{course:?}");
        }
    }

    #[test]
    fn what_was_not_read_yet_stands_in_no_mean() {
        let course = by_whole_days([(0.0, f64::NAN), (1.5, 0.8)].into_iter());
        assert!(course[0].is_nan());
        assert_eq!(course[1], 0.8);
    }
}
