//! What another moisture limit would be worth, and what the floor is expected to read meanwhile.
//!
//! Which coating to buy is often the cheaper way to make a date than more gear. One run of a setup is read against every limit that floor
//! systems ask for ([`run_for_targets`]): each is watched on the same slab, so that a limit's days are those of a run of its own
//! (`analytic_limits_of_one_run_are_those_of_separate_runs`).
//!
//! A limit beyond the published drying times has a wider range ([`extrapolation`]), which is drawn: limits whose draws differ do not share
//! sampled runs.

use super::compare::{Accuracy, prepare, run_for_targets};
use super::odds::{Draw, ENOUGH_CASES, Odds, SHARES, Sample, odds_for_targets, quantile};
use super::outcome::Outcome;
use crate::job::{Job, Setup, seconds_between};
use crate::moisture_tests::{Target, extrapolation};
use crate::simulation::SimulationFault;
use crate::units::DAY;
use jiff::ToSpan;
use jiff::civil::Date;

/// A limit that floor systems ask for, and which do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SystemLimit {
    /// Highest relative humidity at depth (ASTM F2170).
    pub limit: f64,
    /// Systems with about this limit.
    pub systems: &'static str,
}

/// Limits of floor systems on the market (trade guides for 75 and 80 %; from memory for the others). The data sheet decides.
#[rustfmt::skip]
pub const USUAL_LIMITS: [SystemLimit; 6] = [
    SystemLimit { limit: 0.75, systems: "epoxy floors, glued resilient floors" },
    SystemLimit { limit: 0.80, systems: "cement-polymer overlays, some epoxy floors" },
    SystemLimit { limit: 0.85, systems: "polyurethane cement, some epoxy floors" },
    SystemLimit { limit: 0.90, systems: "some newer adhesives" },
    SystemLimit { limit: 0.95, systems: "moisture-tolerant primers" },
    SystemLimit { limit: 0.99, systems: "membrane-forming mitigation layers" },
];
/// Limits closer than this are one.
const SAME: f64 = 1e-6;
/// Weeks after the gear goes on for which a reading is told.
const WEEKS: [i64; 3] = [4, 8, 12];

/// What a setup comes to with one limit.
#[derive(Clone, Debug)]
pub struct AtLimit {
    /// The limit.
    pub limit: f64,
    /// Whether it is the scenario's.
    pub own: bool,
    /// Systems with about this limit; empty for one that is only the scenario's.
    pub systems: &'static str,
    /// What came of it, with its odds where cases were sampled.
    pub outcome: Outcome,
}

/// What a probe is expected to read on a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expected {
    /// The day.
    pub date: Date,
    /// With the inputs as stated or, where cases were sampled, the middle of them.
    pub middle: f64,
    /// Ends of the 80 % range, where cases were sampled.
    pub range: Option<(f64, f64)>,
}

/// What other limits are worth with one setup.
#[derive(Clone, Debug, Default)]
pub struct OtherLimits {
    /// From the strictest on.
    pub limits: Vec<AtLimit>,
    /// Readings at depth, in the order of the days.
    pub readings: Vec<Expected>,
}

/// A limit of the humidity at depth in the place of what a job asks for.
#[must_use]
pub(crate) fn target(job: &Job, limit: f64) -> Target {
    let depth_share = job.targets.iter().find_map(|target| match target {
        Target::HumidityAtDepth { depth_share, .. } => *depth_share,
        _ => None,
    });
    Target::HumidityAtDepth { limit, depth_share }
}

/// The scenario's limit, where it asks for the humidity at depth and nothing else.
fn own_limit(job: &Job) -> Option<f64> {
    match job.targets.as_slice() {
        [Target::HumidityAtDepth { limit, .. }] => Some(*limit),
        _ => None,
    }
}

/// A job with one setup and one limit, from which its cases are drawn.
pub(crate) fn with_limit(job: &Job, setup: &Setup, limit: f64) -> Job {
    let mut job = job.clone();
    job.targets = vec![target(&job, limit)];
    job.setups = vec![setup.clone()];
    job
}

/// What a setup of a job, by its place, comes to with every usual limit and its own, which is known already. `draws` gives the sampled cases
/// of a job; none for no odds. A limit below the scenario's takes long runs and is seldom wanted: it has one run with the inputs as stated and no odds.
/// `today` is among the days of the readings if it lies behind the first.
///
/// # Errors
/// When the solver gives up on the run with the inputs as stated.
pub fn other_limits(
    job: &Job,
    (place, known): (usize, &Outcome),
    today: Option<Date>,
    draws: &dyn Fn(&Job) -> Vec<Draw>,
    (accuracy, sampling): (Accuracy, Accuracy),
) -> Result<OtherLimits, SimulationFault> {
    let Some(setup) = job.setups.get(place) else {
        return Ok(OtherLimits::default());
    };
    let own = own_limit(job);
    let is_own = |limit: f64| own.is_some_and(|own| (own - limit).abs() < SAME);
    let mut limits: Vec<SystemLimit> = USUAL_LIMITS.to_vec();
    if let Some(limit) = own
        && !limits.iter().any(|usual| is_own(usual.limit))
    {
        limits.push(SystemLimit { limit, systems: "" });
    }
    limits.sort_by(|a, b| a.limit.total_cmp(&b.limit));
    let targets: Vec<[Target; 1]> = limits.iter().map(|l| [target(job, l.limit)]).collect();
    let sets: Vec<&[Target]> = targets.iter().map(<[Target; 1]>::as_slice).collect();
    let days = reading_days(job, today);
    let last = days.last().map_or(job.gear_on, |day| clock(job, *day));
    let until = last.min(job.give_up);
    let start = prepare(job, accuracy)?;
    let mut outcomes = run_for_targets(job, setup, &start, &sets, until)?;
    // Limits whose cases are the same share their runs. Readings are told by those of the scenario's own limit, else of the loosest.
    let tells = limits.iter().position(|l| is_own(l.limit));
    let tells = tells.unwrap_or(limits.len() - 1);
    let spread = |at: usize| targets.get(at).map(|[t]| extrapolation(t));
    let mut course = Vec::new();
    let mut from = 0;
    while let Some(strictest) = limits.get(from) {
        let mut to = from + 1;
        while to < limits.len() && spread(to) == spread(from) {
            to += 1;
        }
        let of_group = with_limit(job, setup, strictest.limit);
        let telling = (from..to).contains(&tells);
        let until = if telling { until } else { 0.0 };
        // What is known already is not run again, unless the readings hang on it.
        let alone = telling && to - from == 1;
        let wanted = |at: &usize| {
            let limit = limits[*at].limit;
            let stricter = own.is_some_and(|own| limit < own);
            (alone || !is_own(limit)) && (telling || !stricter)
        };
        let open: Vec<usize> = (from..to).filter(wanted).collect();
        let cases = if open.is_empty() {
            Vec::new()
        } else {
            draws(&of_group)
        };
        let asked: Vec<&[Target]> = open.iter().map(|at| sets[*at]).collect();
        let odds = odds_for_targets(&of_group, &asked, &cases, until, sampling);
        for (odds, at) in odds.into_iter().flatten().zip(open) {
            let enough = odds.samples.len() >= ENOUGH_CASES;
            if telling && enough {
                course.clone_from(&odds.samples);
            }
            outcomes[at].odds = enough.then_some(odds);
        }
        from = to;
    }
    for (limit, outcome) in limits.iter().zip(&mut outcomes) {
        if is_own(limit.limit) {
            let enough = |odds: &&Odds| odds.samples.len() >= ENOUGH_CASES;
            outcome.odds = known.odds.as_ref().filter(enough).cloned();
        }
    }
    let stated = outcomes.first().cloned();
    let readings = days
        .into_iter()
        .filter_map(|day| expected(job, day, stated.as_ref()?, &course))
        .collect();
    let limits = limits
        .into_iter()
        .zip(outcomes)
        .map(|(usual, outcome)| AtLimit {
            limit: usual.limit,
            own: is_own(usual.limit),
            systems: usual.systems,
            outcome,
        })
        .collect();
    Ok(OtherLimits { limits, readings })
}

/// Midnight at the start of a day, on the job's clock \[s\].
fn clock(job: &Job, day: Date) -> f64 {
    seconds_between(job.placed, day)
}

/// Days for which a reading is told: when the gear goes on, today, weeks later, and the date needed, in their order.
fn reading_days(job: &Job, today: Option<Date>) -> Vec<Date> {
    let first = job.date(job.gear_on);
    let weeks = WEEKS
        .iter()
        .filter_map(|weeks| first.checked_add(weeks.weeks()).ok());
    let mut days: Vec<Date> = std::iter::once(first)
        .chain(weeks)
        .chain(today)
        .chain(job.needed_by)
        .filter(|day| *day >= first && clock(job, *day) <= job.give_up)
        .collect();
    days.sort();
    days.dedup();
    days
}

/// The reading on a day: of the cases where there are some, else of the run with the inputs as stated.
fn expected(job: &Job, date: Date, stated: &Outcome, course: &[Sample]) -> Option<Expected> {
    let day = (clock(job, date) - job.gear_on) / DAY;
    let mut readings: Vec<f64> = course
        .iter()
        .filter_map(|sample| sample.course.get(day.round() as usize).copied())
        .filter(|reading| reading.is_finite())
        .collect();
    readings.sort_by(f64::total_cmp);
    let at = |share: f64| quantile(&readings, share);
    if let (Some(low), Some(middle), Some(high)) = (at(SHARES[0]), at(SHARES[1]), at(SHARES[2])) {
        return Some(Expected {
            date,
            middle,
            range: Some((low, high)),
        });
    }
    let record = stated.records.iter().find(|record| record.day >= day)?;
    let middle = record
        .readings
        .first()
        .copied()
        .filter(|reading| reading.is_finite())?;
    Some(Expected {
        date,
        middle,
        range: None,
    })
}
