//! The least expected cost that makes the date with the wanted chance.
//!
//! Every plan is judged over the same sampled worlds (see [`super::odds`]). With `c_k` the cost of a plan in world `k` (rental,
//! delivery, energy, fuel, days of delay) and `n` worlds:
//!
//! ```text
//! feasible:      at least share of worlds in time, and mean cost without delay within the budget
//! lower bound:   c_k >= delivery + rental of the first D_k days + delay of D_k days
//! D_k:           days of the same slab under ideal air (60 degC, nearly dry, fast), which no room beats
//! stop early:    misses so far > (1 - confidence) n           the plan cannot be feasible any more
//!                sum so far + bounds of the rest > best n      the plan cannot be the cheapest any more
//! ```
//! Both stops are exact: up to [`JUDGE_ALL`] candidates the result is that of full enumeration. Candidates come in the order
//! of the cost of one run with the inputs as stated, so that a good plan is found early. Of more candidates only those are
//! judged whose single run comes near: in time, and not much dearer than the best so far; the result says how many.
//!
//! Accuracy: `tests/it/search.rs` (equal to enumeration, bounds by property test).

mod candidates;

pub use candidates::{
    Candidate, Candidates, MOST_CANDIDATES, candidates, delivery, describe, setup,
};

use super::compare::{Accuracy, prepare, run_setup, run_without_film};
use super::odds::{Draw, Odds, days_allowed, from_samples, sample};
use super::outcome::Outcome;
use crate::air::{MoistAir, STANDARD_PRESSURE};
use crate::column::Skin;
use crate::floor_tests::Target;
use crate::scenario::build::{Inventory, Job, Setup};
use crate::season::{Climate, DAY, Progress as Step, Simulation, Snapshot};
use rayon::prelude::*;
use std::ops::ControlFlow;

/// Ideal air \[degC, relative humidity, m/s\]: hotter, drier and faster than any room with people in it.
const IDEAL_AIR: (f64, f64, f64) = (60.0, 0.01, 15.0);
/// Up to so many candidates every one is judged over the worlds.
pub const JUDGE_ALL: usize = 60;
/// Of more, those whose single run is later than this share of the days allowed are passed over: a plan that is late with the
/// inputs as stated is late in about half of the worlds.
const LATE: f64 = 1.05;
/// And those whose single run costs more than this share of the best expected cost so far.
const DEAR: f64 = 1.1;
/// Single runs of a search are followed for this share of the days allowed.
const FOLLOWED: f64 = 1.6;
/// Coldest slab \[degC\].
const COLDEST: f64 = -20.0;
/// Samples run between two looks at the bounds; a fixed number, so that threads do not matter.
const CHUNK: usize = 8;

/// One sampled world, ready to run plans in.
struct World {
    job: Job,
    start: Simulation,
    /// Days under ideal air.
    fewest_days: f64,
}

impl World {
    /// The inventory as this world has it: its room leaks otherwise.
    fn inventory<'a>(&'a self, stated: &'a Inventory) -> &'a Inventory {
        self.job.inventory.as_ref().unwrap_or(stated)
    }
}

/// What one run with the inputs as stated says about a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Screened {
    /// The plan.
    pub candidate: Candidate,
    /// Days; `None` when never in the time looked at.
    pub days: Option<f64>,
    /// Cost with delivery and delay.
    pub cost: f64,
}

/// A plan run in all worlds.
#[derive(Clone, Debug)]
pub struct Judged {
    /// The plan.
    pub candidate: Candidate,
    /// In words.
    pub name: String,
    /// Its odds.
    pub odds: Odds,
    /// Mean of rental, delivery, energy and fuel.
    pub cost: f64,
    /// Mean cost of the days of delay.
    pub delay: f64,
    /// The run with the inputs as stated.
    pub outcome: Outcome,
}

impl Judged {
    /// Mean cost with delay.
    #[must_use]
    pub fn expected(&self) -> f64 {
        self.cost + self.delay
    }
}

/// How a search ended.
#[derive(Clone, Debug)]
pub struct Found {
    /// The cheapest plan that makes the date with the wanted chance.
    pub best: Option<Judged>,
    /// The next cheapest that makes it.
    pub runner_up: Option<Judged>,
    /// A cheaper plan that does not make the date often enough, the nearest to it.
    pub cheaper: Option<Judged>,
    /// When none makes the date: the soonest.
    pub soonest: Option<Judged>,
    /// Every plan tried, with the inputs as stated.
    pub screened: Vec<Screened>,
    /// Plans that may be tried.
    pub candidates: Candidates,
    /// Plans judged over all worlds, or until a bound stopped them.
    pub judged: usize,
    /// Plans passed over after their single run, of a large number only.
    pub passed_over: usize,
    /// Whether it was broken off.
    pub stopped: bool,
    /// Sampled worlds.
    pub samples: usize,
}

/// What a search tells while it runs.
#[derive(Clone, Copy, Debug)]
pub struct Progress<'a> {
    /// Steps done and steps in all.
    pub done: (usize, usize),
    /// Best plan so far: words and expected cost.
    pub best: Option<(&'a str, f64)>,
}

/// Rental within a time after the start of drying \[days\], by whole days begun.
fn rental(job: &Job, setup: &Setup, days: f64) -> f64 {
    let end = job.drying_starts + days * DAY;
    setup
        .rentals
        .iter()
        .map(|r| {
            let stretch = (r.present.1.min(end) - r.present.0.max(job.drying_starts)) / DAY;
            r.per_day * stretch.ceil().max(0.0)
        })
        .fold(0.0, |total, rent| total + rent)
}

/// Days of delay at a date met after so many days; never counts as the end of the look-out.
fn delay(job: &Job, days: f64) -> f64 {
    let (Some(allowed), Some(price)) = (days_allowed(job), job.prices.day_of_delay) else {
        return 0.0;
    };
    let days = days.min((job.give_up - job.drying_starts) / DAY);
    (days - allowed).ceil().max(0.0) * price
}

/// Least cost that a plan can have in a world in which ideal air takes `fewest_days`.
#[must_use]
pub fn lower_bound(
    job: &Job,
    inventory: &Inventory,
    candidate: &Candidate,
    fewest_days: f64,
) -> f64 {
    let setup = setup(job, inventory, candidate);
    delivery(inventory, candidate) + rental(job, &setup, fewest_days) + delay(job, fewest_days)
}

/// Whether a slab as dry as this could pass a target in any room. Warm concrete reads a higher humidity than cold concrete
/// of the same water, `ln h` going with `1/T` at equal capillary pressure: the reading is taken as cold as can be. Tests of
/// the face are passed soonest in cold, humid air, so ideal air says nothing about them.
fn passes_ideally(target: &Target, slab: &Snapshot<'_>, evaporation: f64) -> bool {
    if target.is_costly() {
        return true;
    }
    let Ok(reading) = target.read(slab, evaporation) else {
        return true;
    };
    match target {
        Target::HumidityAtDepth { .. } => {
            let kelvin = |celsius: f64| celsius + crate::air::KELVIN_AT_ZERO_CELSIUS;
            reading.powf(kelvin(IDEAL_AIR.0) / kelvin(COLDEST)) <= target.limit()
        }
        Target::EquilibriumHumidity { .. } | Target::MassPercent { .. } => {
            reading <= target.limit()
        }
        Target::EmissionRate { .. } | Target::SurfaceFlux { .. } | Target::PlasticSheet { .. } => {
            true
        }
    }
}

/// Days from the start of drying to the targets under ideal air: no room is quicker.
#[must_use]
pub fn fewest_days(job: &Job, start: &Simulation) -> f64 {
    let (temperature, humidity, air_speed) = IDEAL_AIR;
    let mut spot = start.clone();
    let air = MoistAir::from_relative_humidity(temperature, humidity, STANDARD_PRESSURE);
    spot.hold_air();
    spot.set_rain(0.0, temperature);
    // A face that is opened later is open from the start here.
    spot.set_skin(Skin::default());
    let mut met = f64::INFINITY;
    let mut watch = |slab: &Snapshot<'_>, p: &Step| {
        let passes = job
            .targets
            .iter()
            .all(|t| passes_ideally(t, slab, p.evaporation));
        if passes {
            // The step in which they were met began earlier.
            met = (slab.time() - p.length - job.drying_starts) / DAY;
            return ControlFlow::Break(());
        }
        ControlFlow::Continue(())
    };
    let ran = spot.advance(job.give_up, Climate::Given { air, air_speed }, &mut watch);
    match ran {
        Ok(_) if met.is_finite() => met.max(0.0),
        // Where the ideal run says nothing the bound says nothing.
        _ => 0.0,
    }
}

/// Searches the plans of a job's inventory. `progress` is told after each step; `keep_going` is asked before the next.
#[must_use]
pub fn search(
    job: &Job,
    inventory: &Inventory,
    samples: u32,
    seed: u32,
    accuracy: Accuracy,
    progress: &dyn Fn(Progress<'_>),
    keep_going: &(dyn Fn() -> bool + Sync),
) -> Found {
    let candidates = candidates(job, inventory);
    let worlds: Vec<World> = (0..samples)
        .into_par_iter()
        .filter_map(|index| {
            let job = Draw::new(job, index, seed).apply(job);
            let start = prepare(&job, accuracy).ok()?;
            let fewest_days = fewest_days(&job, &start);
            Some(World {
                job,
                start,
                fewest_days,
            })
        })
        .collect();
    let mut found = Found {
        best: None,
        runner_up: None,
        cheaper: None,
        soonest: None,
        screened: Vec::new(),
        judged: 0,
        passed_over: 0,
        stopped: false,
        samples: worlds.len(),
        candidates,
    };
    let steps = 2 * found.candidates.all.len();
    screen(job, inventory, accuracy, &mut found, progress, keep_going);
    let mut order: Vec<Screened> = found.screened.clone();
    order.sort_by(|a, b| {
        a.cost
            .total_cmp(&b.cost)
            .then_with(|| a.candidate.cmp(&b.candidate))
    });
    let mut good: Vec<(f64, Candidate)> = Vec::new();
    let mut failed: Vec<(usize, f64, Candidate)> = Vec::new();
    let judge_all = found.candidates.all.len() <= JUDGE_ALL;
    let allowed = days_allowed(job).unwrap_or(f64::INFINITY);
    for screened in &order {
        if !keep_going() {
            found.stopped = true;
            break;
        }
        let best = good.first().map_or(f64::INFINITY, |(cost, _)| *cost);
        let near = screened.days.is_some_and(|days| days <= LATE * allowed)
            && screened.cost <= DEAR * best;
        if !judge_all && !near {
            found.passed_over += 1;
            continue;
        }
        match judge(inventory, &screened.candidate, &worlds, best) {
            Verdict::Feasible(cost) => {
                good.push((cost, screened.candidate.clone()));
                good.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.cmp(&b.1)));
            }
            Verdict::Late(misses) => {
                failed.push((misses, screened.cost, screened.candidate.clone()));
            }
            Verdict::TooDear | Verdict::OverBudget => {}
        }
        found.judged += 1;
        let words = good
            .first()
            .map(|(cost, c)| (describe(inventory, c), *cost));
        progress(Progress {
            done: (
                found.candidates.all.len() + found.judged + found.passed_over,
                steps,
            ),
            best: words.as_ref().map(|(name, cost)| (name.as_str(), *cost)),
        });
    }
    let full = |candidate: &Candidate| whole(job, inventory, candidate, &worlds, accuracy);
    found.best = good.first().and_then(|(_, c)| full(c));
    found.runner_up = good.get(1).and_then(|(_, c)| full(c));
    if let Some((cost, _)) = good.first() {
        // The dearest of the cheaper ones that fail is the one that lost most narrowly.
        failed.retain(|(_, screened, _)| screened < cost);
        failed.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| b.1.total_cmp(&a.1)));
        found.cheaper = failed.first().and_then(|(_, _, c)| full(c));
    } else {
        let soonest = order
            .iter()
            .filter_map(|s| Some((s.days?, &s.candidate)))
            .min_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.cmp(b.1)));
        found.soonest = soonest.and_then(|(_, c)| full(c));
    }
    found
}

/// One run of every plan with the inputs as stated.
fn screen(
    job: &Job,
    inventory: &Inventory,
    accuracy: Accuracy,
    found: &mut Found,
    progress: &dyn Fn(Progress<'_>),
    keep_going: &(dyn Fn() -> bool + Sync),
) {
    let Ok(start) = prepare(job, accuracy) else {
        return;
    };
    // Plans that are far too late need not be followed to their end, unless all of them are.
    let mut short = job.clone();
    if let Some(allowed) = days_allowed(job) {
        short.give_up = job
            .give_up
            .min(job.drying_starts + FOLLOWED * allowed * DAY);
    }
    run_each(&short, inventory, &start, found, progress, keep_going);
    if found.screened.iter().all(|s| s.days.is_none()) && short.give_up < job.give_up {
        found.screened.clear();
        run_each(job, inventory, &start, found, progress, keep_going);
    }
}

fn run_each(
    job: &Job,
    inventory: &Inventory,
    start: &Simulation,
    found: &mut Found,
    progress: &dyn Fn(Progress<'_>),
    keep_going: &(dyn Fn() -> bool + Sync),
) {
    let steps = 2 * found.candidates.all.len();
    for some in found.candidates.all.chunks(4 * CHUNK) {
        if !keep_going() {
            found.stopped = true;
            return;
        }
        let ran: Vec<Option<Screened>> = some
            .par_iter()
            .map(|candidate| {
                let outcome = run_without_film(job, &setup(job, inventory, candidate), start);
                outcome.computed().then(|| {
                    let days = outcome.days_to_target;
                    Screened {
                        cost: outcome.cost
                            + delivery(inventory, candidate)
                            + delay(job, days.unwrap_or(f64::INFINITY)),
                        candidate: candidate.clone(),
                        days,
                    }
                })
            })
            .collect();
        found.screened.extend(ran.into_iter().flatten());
        progress(Progress {
            done: (found.screened.len(), steps),
            best: None,
        });
    }
}

enum Verdict {
    /// Expected cost.
    Feasible(f64),
    /// Worlds missed when it was given up.
    Late(usize),
    TooDear,
    OverBudget,
}

/// Judges a plan over the worlds, stopping as soon as a bound decides.
fn judge(inventory: &Inventory, candidate: &Candidate, worlds: &[World], best: f64) -> Verdict {
    let n = worlds.len();
    let allowed_misses = misses_allowed(inventory.confidence, n);
    let bounds: Vec<f64> = worlds
        .iter()
        .map(|w| lower_bound(&w.job, w.inventory(inventory), candidate, w.fewest_days))
        .collect();
    let mut rest: f64 = bounds.iter().sum();
    if rest > best * n as f64 {
        return Verdict::TooDear;
    }
    let (mut sum, mut spent, mut misses) = (0.0, 0.0, 0);
    for (some, bounds) in worlds.chunks(CHUNK).zip(bounds.chunks(CHUNK)) {
        let costs: Vec<(f64, f64, bool)> = some
            .par_iter()
            .map(|w| in_world(inventory, candidate, w))
            .collect();
        for ((cost, late, missed), bound) in costs.into_iter().zip(bounds) {
            spent += cost;
            sum += cost + late;
            misses += usize::from(missed);
            rest -= bound;
        }
        if misses > allowed_misses {
            return Verdict::Late(misses);
        }
        if sum + rest > best * n as f64 {
            return Verdict::TooDear;
        }
    }
    let mean = |x: f64| x / n.max(1) as f64;
    if inventory.budget.is_some_and(|most| mean(spent) > most) {
        return Verdict::OverBudget;
    }
    Verdict::Feasible(mean(sum))
}

/// Worlds that may be missed.
fn misses_allowed(confidence: f64, worlds: usize) -> usize {
    // A hair above, so that 80 % of 5 is 4 in spite of rounding.
    ((1.0 - confidence) * worlds as f64 + 1e-9).floor() as usize
}

/// Cost without delay, cost of delay, and whether the date is missed.
fn in_world(inventory: &Inventory, candidate: &Candidate, world: &World) -> (f64, f64, bool) {
    let job = &world.job;
    let outcome = run_without_film(
        job,
        &setup(job, world.inventory(inventory), candidate),
        &world.start,
    );
    let days = outcome.days_to_target.unwrap_or(f64::INFINITY);
    let missed = days_allowed(job).is_some_and(|allowed| days > allowed) || days.is_infinite();
    (
        outcome.cost + delivery(inventory, candidate),
        delay(job, days),
        missed,
    )
}

/// A plan in all worlds, with everything that is shown of it.
fn whole(
    job: &Job,
    inventory: &Inventory,
    candidate: &Candidate,
    worlds: &[World],
    accuracy: Accuracy,
) -> Option<Judged> {
    let runs: Vec<_> = worlds
        .par_iter()
        .map(|w| {
            let outcome = run_without_film(
                &w.job,
                &setup(&w.job, w.inventory(inventory), candidate),
                &w.start,
            );
            sample(&outcome)
        })
        .collect();
    let mut odds = from_samples(job, runs);
    let extra = delivery(inventory, candidate);
    for sample in &mut odds.samples {
        sample.cost += extra;
    }
    let late: f64 = odds.samples.iter().map(|s| delay(job, s.days)).sum();
    let start = prepare(job, accuracy).ok()?;
    Some(Judged {
        name: describe(inventory, candidate),
        cost: odds.mean_cost(),
        delay: late / odds.samples.len().max(1) as f64,
        outcome: run_setup(job, &setup(job, inventory, candidate), &start),
        odds,
        candidate: candidate.clone(),
    })
}
