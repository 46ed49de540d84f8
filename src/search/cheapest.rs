//! The least expected cost that makes the date with the wanted chance.
//!
//! Every plan is judged over the same sampled worlds (see [`crate::evaluate::odds`]). With `c_k` the cost of a plan in world `k` (rental,
//! delivery, energy, fuel, days of delay) and `n` worlds:
//!
//! ```text
//! feasible:      at least share of worlds in time, and mean cost without delay within the budget
//! lower bound:   c_k >= delivery and rental of the first D_k days + delay of D_k days
//! D_k:           days of the same slab under ideal air (60 degC, nearly dry, fast), which no room beats
//! stop early:    misses so far > (1 - confidence) n           the plan cannot be feasible any more
//!                sum so far + bounds of the rest > second n    the plan cannot be the second cheapest any more
//! ```
//! Both stops are exact: up to [`JUDGE_ALL`] candidates the best and the runner-up are those of full enumeration. Candidates
//! come in the order of the cost of one run with the inputs as stated, so that a good plan is found early. Of more candidates
//! only those are judged whose single run comes near: in time, and not much dearer than the best so far; the result says how
//! many were passed over.
//!
//! The cheapest of many over the same worlds looks better than it is: its luck in them was part of why it was taken. So the
//! plans reported are run in as many worlds again that the search has not seen, and their odds and costs are of those.
//!
//! Accuracy: `tests/it/search.rs` (equal to enumeration, bounds by property test).

use super::candidates::{Candidate, Candidates, candidates, describe, setup};
use super::judge::{CHUNK, Verdict, World, costs, in_all, judge, missed, worlds};
use super::judge::{Costs, Ranked};
use crate::evaluate::Outcome;
use crate::evaluate::odds::{Odds, days_allowed};
use crate::evaluate::{Accuracy, prepare, run_setup, run_without_film};
use crate::job::{Inventory, Job};
use crate::simulation::{Simulation, SimulationFault};
use crate::units::DAY;
use crate::units::format::Said;
use rayon::prelude::*;

/// Up to so many candidates every one is judged over the worlds.
pub const JUDGE_ALL: usize = 150;
/// Of more, those whose single run is later than this share of the days allowed are passed over: a plan that is late with the
/// inputs as stated is late in about half of the worlds.
const LATE: f64 = 1.05;
/// And those whose single run costs more than this share of the best expected cost so far.
const DEAR: f64 = 1.1;
/// Single runs of a search are followed for this share of the days allowed.
const FOLLOWED: f64 = 1.6;
/// Of the plans that are too often late so many, the nearest to the wanted chance, are looked at for a cheaper one.
const NEAREST: usize = 6;

/// What one run with the inputs as stated says about a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Screened {
    /// The plan.
    pub candidate: Candidate,
    /// Days; `None` when never in the time simulated.
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
    pub name: Said,
    /// Its odds in worlds that the search has not seen. Runs that the solver gave up on count as never dry.
    pub odds: Odds,
    /// Its mean costs in the same worlds.
    pub costs: Costs,
    /// What the worlds of the search say of it: by this plans are ranked.
    pub ranked: Ranked,
    /// The run with the inputs as stated.
    pub outcome: Outcome,
}

/// What is shown when no plan is known to make the date.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Instead {
    /// The cheapest that makes it, above the budget.
    AboveBudget,
    /// The soonest with the inputs as stated; it does not make it often enough.
    Soonest,
    /// The search was broken off: of the plans run once the cheapest in time, else the soonest.
    RunOnce,
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
    /// Without a best: what comes nearest.
    pub instead: Option<(Instead, Judged)>,
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
    /// Sampled worlds that plans were judged in.
    pub samples: usize,
    /// Worlds left out because the solver gave up on their slab.
    pub not_computed: usize,
    /// Plans that would have been named but for the solver, which gave up on the run that shows them.
    pub plans_left_out: usize,
}

impl Found {
    /// The best plan, or what is shown in its place.
    #[must_use]
    pub fn chosen(&self) -> Option<&Judged> {
        let instead = || self.instead.as_ref().map(|(_, plan)| plan);
        self.best.as_ref().or_else(instead)
    }
}

/// The best plan while a search runs.
#[derive(Clone, Copy, Debug)]
pub struct BestSoFar<'a> {
    /// In words.
    pub name: &'a Said,
    /// Its cost, delay included: expected, or that of its single run.
    pub cost: f64,
    /// Whether it has been judged over the worlds.
    pub judged: bool,
}

/// What a search tells while it runs.
#[derive(Clone, Copy, Debug)]
pub struct Progress<'a> {
    /// Steps done and steps in all.
    pub done: (usize, usize),
    /// Best plan so far.
    pub best: Option<BestSoFar<'a>>,
}

/// One search.
struct Search<'a> {
    job: &'a Job,
    inventory: &'a Inventory,
    /// The slab of the job as stated, ready to dry.
    start: Simulation,
    worlds: Vec<World>,
    progress: &'a dyn Fn(Progress<'_>),
    keep_going: &'a (dyn Fn() -> bool + Sync),
}

/// Searches the plans of a job's inventory. `progress` is told after each step; `keep_going` is asked before the next.
///
/// # Errors
/// When the solver gives up on the slab before any plan begins.
pub fn search(
    job: &Job,
    inventory: &Inventory,
    samples: u32,
    seed: u32,
    accuracy: Accuracy,
    progress: &dyn Fn(Progress<'_>),
    keep_going: &(dyn Fn() -> bool + Sync),
) -> Result<Found, SimulationFault> {
    let samples = samples.max(1);
    // Only the moment of readiness counts here.
    let stated = Job {
        look_on: 0.0,
        ..job.clone()
    };
    let search = Search {
        job: &stated,
        inventory,
        start: prepare(job, accuracy)?,
        worlds: worlds(job, 0..samples, seed, accuracy)?,
        progress,
        keep_going,
    };
    let mut found = Found {
        best: None,
        runner_up: None,
        cheaper: None,
        instead: None,
        screened: Vec::new(),
        candidates: candidates(job, inventory),
        judged: 0,
        passed_over: 0,
        stopped: false,
        samples: search.worlds.len(),
        not_computed: samples as usize - search.worlds.len(),
        plans_left_out: 0,
    };
    search.screen(&mut found);
    let standing = search.judge_all(&mut found);
    let fresh = worlds(job, samples..samples.saturating_mul(2), seed, accuracy)?;
    search.conclude(standing, &fresh, &mut found);
    Ok(found)
}

/// Plans that were judged, as far as they count.
#[derive(Default)]
struct Standing {
    /// Those that make the date within the budget, cheapest first; of the dearer ones not all.
    good: Vec<(Ranked, Candidate)>,
    /// Those that make it above the budget, as far as they were followed.
    above_budget: Vec<(Ranked, Candidate)>,
    /// Those too often late: share of misses, cost of the single run.
    late: Vec<(f64, f64, Candidate)>,
}

impl Standing {
    /// Takes in a plan that makes the date. Of plans that come to the same the simplest stands for all.
    fn admit(&mut self, ranked: Ranked, candidate: Candidate) {
        let twin = self.good.iter_mut().find(|(other, _)| other.same(&ranked));
        match twin {
            Some((_, kept)) if candidate < *kept => *kept = candidate,
            Some(_) => {}
            None => self.good.push((ranked, candidate)),
        }
        cheapest_first(&mut self.good);
    }
}

fn cheapest_first(plans: &mut [(Ranked, Candidate)]) {
    plans.sort_by(|(a, first), (b, second)| {
        let total = |ranked: &Ranked| ranked.costs.total();
        total(a)
            .total_cmp(&total(b))
            .then_with(|| first.cmp(second))
    });
}

impl Search<'_> {
    /// One run of every plan with the inputs as stated.
    fn screen(&self, found: &mut Found) {
        // Plans that are far too late need not be followed to their end, unless all of them are.
        let mut short = self.job.clone();
        if let Some(allowed) = days_allowed(self.job) {
            let followed = self.job.gear_on + FOLLOWED * allowed * DAY;
            short.give_up = self.job.give_up.min(followed);
        }
        self.run_each(&short, found);
        let none = found.screened.iter().all(|s| s.days.is_none());
        if none && !found.stopped && short.give_up < self.job.give_up {
            found.screened.clear();
            self.run_each(self.job, found);
        }
    }

    fn run_each(&self, job: &Job, found: &mut Found) {
        let steps = 2 * found.candidates.all.len();
        let (inventory, start) = (self.inventory, &self.start);
        for some in found.candidates.all.chunks(4 * CHUNK) {
            if !(self.keep_going)() {
                found.stopped = true;
                return;
            }
            let ran: Vec<Option<Screened>> = some
                .par_iter()
                .map(|candidate| {
                    let setup = setup(job, inventory, candidate);
                    let outcome = run_without_film(job, &setup, start).ok()?;
                    let days = outcome.days_to_target;
                    let paid = (outcome.rental, outcome.cost - outcome.rental);
                    let until = days.unwrap_or(f64::INFINITY);
                    Some(Screened {
                        cost: costs(job, paid, until).total(),
                        candidate: candidate.clone(),
                        days,
                    })
                })
                .collect();
            found.screened.extend(ran.into_iter().flatten());
            let best = self.best_once(found);
            let name = best.map(|s| describe(self.inventory, &s.candidate));
            (self.progress)(Progress {
                done: (found.screened.len(), steps),
                best: name.as_ref().zip(best).map(|(name, s)| BestSoFar {
                    name,
                    cost: s.cost,
                    judged: false,
                }),
            });
        }
    }

    /// Of the plans run once the cheapest in time, else the soonest.
    fn best_once<'f>(&self, found: &'f Found) -> Option<&'f Screened> {
        let key = |s: &Screened| {
            let days = s.days.unwrap_or(f64::INFINITY);
            let late = missed(self.job, days);
            (late, if late { days } else { s.cost })
        };
        let dry = found.screened.iter().filter(|s| s.days.is_some());
        dry.min_by(|a, b| {
            let (one, other) = (key(a), key(b));
            let by_value = one.1.total_cmp(&other.1);
            one.0.cmp(&other.0).then(by_value)
        })
    }

    /// Judges the plans over the worlds, in the order of their single runs.
    fn judge_all(&self, found: &mut Found) -> Standing {
        let all = found.candidates.all.len();
        let allowed = days_allowed(self.job).unwrap_or(f64::INFINITY);
        let mut order: Vec<&Screened> = found.screened.iter().collect();
        order.sort_by(|a, b| {
            let by_cost = a.cost.total_cmp(&b.cost);
            by_cost.then_with(|| a.candidate.cmp(&b.candidate))
        });
        let mut standing = Standing::default();
        for screened in order {
            if found.stopped || !(self.keep_going)() {
                found.stopped = true;
                break;
            }
            let good = |place: usize| {
                let plan = standing.good.get(place);
                plan.map_or(f64::INFINITY, |(ranked, _)| ranked.costs.total())
            };
            let (best, second) = (good(0), good(1));
            let near = screened.days.is_some_and(|days| days <= LATE * allowed)
                && screened.cost <= DEAR * best;
            if all > JUDGE_ALL && !near {
                found.passed_over += 1;
                continue;
            }
            let candidate = screened.candidate.clone();
            match judge(self.inventory, &candidate, &self.worlds, second) {
                Verdict::Feasible(ranked) => standing.admit(ranked, candidate),
                Verdict::OverBudget(ranked) => standing.above_budget.push((ranked, candidate)),
                Verdict::Late(misses) => standing.late.push((misses, screened.cost, candidate)),
                Verdict::TooDear => {}
            }
            found.judged += 1;
            let best = standing.good.first();
            let name = best.map(|(_, c)| describe(self.inventory, c));
            (self.progress)(Progress {
                done: (all + found.judged + found.passed_over, 2 * all),
                best: name
                    .as_ref()
                    .zip(best)
                    .map(|(name, (ranked, _))| BestSoFar {
                        name,
                        cost: ranked.costs.total(),
                        judged: true,
                    }),
            });
        }
        standing
    }

    /// A plan with everything that is shown of it; `None` when the solver gives up on that.
    fn full(&self, candidate: &Candidate, ranked: Ranked, fresh: &[World]) -> Option<Judged> {
        let setup = setup(self.job, self.inventory, candidate);
        let outcome = run_setup(self.job, &setup, &self.start).ok()?;
        let (seen, odds) = in_all(self.job, self.inventory, candidate, fresh);
        Some(Judged {
            candidate: candidate.clone(),
            name: describe(self.inventory, candidate),
            odds,
            costs: seen.costs,
            ranked,
            outcome,
        })
    }

    fn rank(&self, candidate: &Candidate) -> Ranked {
        in_all(self.job, self.inventory, candidate, &self.worlds).0
    }

    /// Fills in the plans that are shown.
    fn conclude(&self, mut standing: Standing, fresh: &[World], found: &mut Found) {
        let mut gave_up = 0;
        let mut full = |(ranked, candidate): &(Ranked, Candidate)| {
            let plan = self.full(candidate, *ranked, fresh);
            gave_up += usize::from(plan.is_none());
            plan
        };
        let mut good = standing.good.iter().filter_map(&mut full);
        found.best = good.next();
        found.runner_up = good.next();
        if let Some(best) = &found.best {
            // Those that lost most narrowly come first; of equals the dearer.
            standing
                .late
                .sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| b.1.total_cmp(&a.1)));
            let best = best.ranked.costs.total();
            let cheaper = standing.late.iter().filter(|(_, once, _)| *once < best);
            found.cheaper = cheaper
                .take(NEAREST)
                .map(|(_, _, candidate)| (self.rank(candidate), candidate))
                .filter(|(ranked, _)| ranked.costs.total() < best)
                .find_map(|(ranked, candidate)| full(&(ranked, candidate.clone())));
            found.plans_left_out = gave_up;
            return;
        }
        cheapest_first(&mut standing.above_budget);
        let above_budget = standing.above_budget.iter().find_map(&mut full);
        let mut once = |kind: Instead, plan: &Screened| {
            let ranked = self.rank(&plan.candidate);
            Some((kind, full(&(ranked, plan.candidate.clone()))?))
        };
        found.instead = if let Some(plan) = above_budget {
            Some((Instead::AboveBudget, plan))
        } else if found.stopped {
            self.best_once(found)
                .and_then(|s| once(Instead::RunOnce, s))
        } else {
            let dry = found
                .screened
                .iter()
                .filter_map(|s| Some((s.days?, s)))
                .min_by(|(a, first), (b, second)| {
                    a.total_cmp(b)
                        .then_with(|| first.candidate.cmp(&second.candidate))
                });
            dry.and_then(|(_, s)| once(Instead::Soonest, s))
        };
        found.plans_left_out = gave_up;
    }
}
