//! The odds of a date: the job run in many worlds that it may meet.
//!
//! Samples follow an Owen-scrambled Sobol sequence (Owen 1995; Burley 2020), so that few of them fill the space of inputs
//! evenly; the same seed gives the same numbers whatever the number of threads. `inputs.rs` says what varies and how far.
//!
//! Accuracy: `tests/it/odds.rs` (32 and 128 samples against 4096, spread of weeks, coverage of synthetic jobs).

mod inputs;

pub use inputs::{Draw, PERMEABILITY, sampling_accuracy};

use super::compare::{Accuracy, prepare, run_without_film};
use super::money::days_late;
use super::outcome::Outcome;
use crate::job::{Job, seconds_between};
use crate::simulation::DAY;
use rayon::prelude::*;

/// Samples when none are asked for: the ends and the middle of the range are then good to a tenth of the days.
pub const USUAL_SAMPLES: u32 = 32;
/// Seed when none is given.
pub const USUAL_SEED: u32 = 1;
/// Shares at the ends and in the middle of the range shown.
pub const SHARES: [f64; 3] = [0.1, 0.5, 0.9];

/// One sampled run of one setup.
#[derive(Clone, Debug, PartialEq)]
pub struct Sample {
    /// Days until every target is met; infinite when never in the time looked at.
    pub days: f64,
    /// Rental and energy, as far as priced.
    pub cost: f64,
    /// First target's reading at the start of each day of drying.
    pub course: Vec<f64>,
}

/// What a setup's samples say.
#[derive(Clone, Debug, PartialEq)]
pub struct Odds {
    /// In the order of the sequence; those that the solver gave up on are left out.
    pub samples: Vec<Sample>,
    /// Samples that the solver gave up on.
    pub failed: usize,
    /// Share of samples in time; `None` without a date to keep.
    pub in_time: Option<f64>,
}

/// Quantile of values sorted in rising order: linear between the order statistics at `(n + 1) p` (Hyndman & Fan 1996, type
/// 6), so that a new value falls below it with probability `p` whatever the number of samples. Infinite where it falls
/// among infinite values; `None` without values.
#[must_use]
pub fn quantile(sorted: &[f64], share: f64) -> Option<f64> {
    let last = sorted.len().checked_sub(1)?;
    let place = (share * (last + 2) as f64 - 1.0).clamp(0.0, last as f64);
    let (low, part) = (place.floor() as usize, place.fract());
    let (a, b) = (*sorted.get(low)?, *sorted.get((low + 1).min(last))?);
    // Two infinite neighbours have no difference.
    Some(if part == 0.0 || a == b {
        a
    } else {
        a + part * (b - a)
    })
}

impl Odds {
    /// Days at a share of the samples; `None` when that lies beyond the time looked at.
    #[must_use]
    pub fn days(&self, share: f64) -> Option<f64> {
        let mut days: Vec<f64> = self.samples.iter().map(|s| s.days).collect();
        days.sort_by(f64::total_cmp);
        quantile(&days, share).filter(|d| d.is_finite())
    }

    /// Share of samples that are dry within so many days; zero without samples.
    #[must_use]
    pub fn within(&self, days: f64) -> f64 {
        let good = self.samples.iter().filter(|s| s.days <= days).count();
        good as f64 / self.samples.len().max(1) as f64
    }

    /// Mean cost.
    #[must_use]
    pub fn mean_cost(&self) -> f64 {
        let sum: f64 = self.samples.iter().map(|s| s.cost).sum();
        sum / self.samples.len().max(1) as f64
    }

    /// Readings of the first target by day: day, then the readings at [`SHARES`]. A sample that is done keeps its last
    /// reading, at the limit.
    #[must_use]
    pub fn course(&self) -> Vec<(f64, [f64; 3])> {
        let longest = self.samples.iter().map(|s| s.course.len()).max();
        let mut out = Vec::new();
        for day in 0..longest.unwrap_or(0) {
            let mut readings: Vec<f64> = self
                .samples
                .iter()
                .filter_map(|s| s.course.get(day).or(s.course.last()).copied())
                .filter(|r| r.is_finite())
                .collect();
            readings.sort_by(f64::total_cmp);
            let at = |share| quantile(&readings, share);
            if let (Some(a), Some(b), Some(c)) = (at(SHARES[0]), at(SHARES[1]), at(SHARES[2])) {
                out.push((day as f64, [a, b, c]));
            }
        }
        out
    }
}

/// Days from the start of drying to the end of the day needed by.
#[must_use]
pub fn days_allowed(job: &Job) -> Option<f64> {
    job.needed_by
        .map(|by| (seconds_between(job.placed, by) + DAY - job.drying_starts) / DAY)
}

/// Gives each outcome of a comparison its odds.
pub fn add_odds(job: &Job, outcomes: &mut [Outcome], samples: u32, seed: u32, accuracy: Accuracy) {
    let found = odds(job, samples, seed, accuracy);
    for (setup, odds) in job.setups.iter().zip(found) {
        let outcome = outcomes.iter_mut().find(|o| o.name == setup.name);
        if let Some(outcome) = outcome.filter(|o| o.computed()) {
            outcome.odds = Some(odds);
        }
    }
}

/// What a run adds to the odds; `None` when it was not computed.
pub(crate) fn sample(outcome: &Outcome) -> Option<Sample> {
    outcome.computed().then(|| {
        let mut course = Vec::new();
        for record in &outcome.records {
            if record.day >= course.len() as f64 {
                course.push(record.readings.first().copied().unwrap_or(f64::NAN));
            }
        }
        Sample {
            days: outcome.days_to_target.unwrap_or(f64::INFINITY),
            cost: outcome.cost,
            course,
        }
    })
}

/// Runs every setup of a job in `samples` worlds; odds in the order of the job's setups.
#[must_use]
pub fn odds(job: &Job, samples: u32, seed: u32, accuracy: Accuracy) -> Vec<Odds> {
    let runs: Vec<Vec<Option<Sample>>> = (0..samples)
        .into_par_iter()
        .map(|index| {
            let world = Draw::new(job, index, seed).apply(job);
            match prepare(&world, accuracy) {
                Ok(start) => world
                    .setups
                    .par_iter()
                    .map(|setup| sample(&run_without_film(&world, setup, &start)))
                    .collect(),
                Err(_) => vec![None; world.setups.len()],
            }
        })
        .collect();
    (0..job.setups.len())
        .map(|setup| {
            let of_setup = runs.iter().map(|r| r.get(setup)?.clone()).collect();
            from_samples(job, of_setup)
        })
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
