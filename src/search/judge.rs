//! Plans run in sampled worlds, and the bounds that spare most of the runs. Equations: see the head of `search`.

use super::candidates::{Candidate, setup};
use crate::air::{MoistAir, STANDARD_PRESSURE};
use crate::column::Skin;
use crate::evaluate::money::{days_late, delay, rental};
use crate::evaluate::odds::{Draw, Odds, Sample, sample};
use crate::evaluate::{Accuracy, prepare, run_without_film};
use crate::job::{Inventory, Job, Setup};
use crate::moisture_tests::{CONDITIONING, Service, Target, depth_limit};
use crate::simulation::{Climate, Progress as Step, Simulation, SimulationFault, Snapshot};
use crate::units::DAY;
use rayon::prelude::*;
use std::ops::{AddAssign, ControlFlow, Div, Sub};

/// Ideal air \[degC, relative humidity, m/s\]: hotter, drier and faster than any room with people in it.
const IDEAL_AIR: (f64, f64, f64) = (60.0, 0.01, 15.0);
/// Coldest slab \[degC\].
const COLDEST: f64 = -20.0;
/// Samples run between two looks at the bounds; a fixed number, so that threads do not matter.
pub(super) const CHUNK: usize = 8;

/// Means closer than this share of them differ by rounding only.
const HAIR: f64 = 1e-12;

/// What a plan costs, in one world or on average.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Costs {
    /// Rental and delivery.
    pub rental: f64,
    /// Electricity and fuel.
    pub energy: f64,
    /// Days of delay.
    pub delay: f64,
}

impl Costs {
    /// Without delay: what the budget limits.
    #[must_use]
    pub fn spent(&self) -> f64 {
        self.rental + self.energy
    }

    /// With delay: what plans are ranked by.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.spent() + self.delay
    }
}

impl AddAssign for Costs {
    fn add_assign(&mut self, other: Self) {
        self.rental += other.rental;
        self.energy += other.energy;
        self.delay += other.delay;
    }
}

impl Sub for Costs {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self {
            rental: self.rental - other.rental,
            energy: self.energy - other.energy,
            delay: self.delay - other.delay,
        }
    }
}

impl Div<f64> for Costs {
    type Output = Self;

    fn div(self, by: f64) -> Self {
        Self {
            rental: self.rental / by,
            energy: self.energy / by,
            delay: self.delay / by,
        }
    }
}

/// One sampled world, ready to run plans in.
pub(super) struct World {
    job: Job,
    start: Simulation,
    /// Days under ideal air.
    fewest_days: f64,
}

/// The worlds of these numbers; those whose slab the solver gives up on are left out.
///
/// # Errors
/// When there is no other.
pub(super) fn worlds(
    job: &Job,
    indices: std::ops::Range<u32>,
    seed: u32,
    accuracy: Accuracy,
) -> Result<Vec<World>, SimulationFault> {
    let tried: Vec<Result<World, SimulationFault>> = indices
        .into_par_iter()
        .map(|index| {
            let job = Draw::new(job, index, seed).apply(job);
            let start = prepare(&job, accuracy)?;
            let fewest_days = fewest_days(&job, &start);
            Ok(World {
                job,
                start,
                fewest_days,
            })
        })
        .collect();
    let mut worlds = Vec::with_capacity(tried.len());
    let mut first_fault = None;
    for world in tried {
        match world {
            Ok(world) => worlds.push(world),
            Err(fault) => first_fault = first_fault.or(Some(fault)),
        }
    }
    match first_fault {
        Some(fault) if worlds.is_empty() => Err(fault),
        _ => Ok(worlds),
    }
}

/// What a run of a plan costs when the floor is dry after so many days; infinite when it never is.
pub(super) fn costs(job: &Job, (rental, energy): (f64, f64), days: f64) -> Costs {
    Costs {
        rental,
        energy,
        delay: delay(job, days).unwrap_or(0.0),
    }
}

/// Whether the date is missed.
pub(super) fn missed(job: &Job, days: f64) -> bool {
    days.is_infinite() || days_late(job, days).is_some_and(|late| late > 0.0)
}

fn least(job: &Job, setup: &Setup, days: f64) -> Costs {
    let rent = rental(job, setup, job.gear_on + days * DAY);
    costs(job, (rent, 0.0), days)
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
    least(job, &setup, fewest_days).total()
}

/// Whether a slab as dry as this could pass a target in any room. Warm concrete reads a higher humidity than cold concrete
/// of the same water, `ln h` going with `1/T` at equal capillary pressure: the reading is taken as cold as can be. About tests
/// of the face ideal air says nothing.
fn passes_ideally(target: &Target, slab: &Snapshot<'_>, service: &Service) -> bool {
    let mut coldest = *service;
    if matches!(target, Target::HumidityAtDepth { .. }) {
        coldest.temperature = COLDEST;
    }
    target
        .as_it_lies(slab, &coldest)
        .is_none_or(|reading| reading <= target.limit())
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
    // No target passes a slab that stands too high at depth.
    let mut targets = job.targets.clone();
    targets.push(Target::HumidityAtDepth {
        limit: depth_limit(&job.targets),
        depth_share: None,
    });
    let mut met = f64::INFINITY;
    let mut watch = |slab: &Snapshot<'_>, p: &Step| {
        let passes = targets
            .iter()
            .all(|t| passes_ideally(t, slab, &job.tester.service));
        if passes {
            // The step in which they were met began earlier.
            met = (slab.time() - p.length - job.gear_on) / DAY;
            return ControlFlow::Break(());
        }
        ControlFlow::Continue(())
    };
    let ran = spot.advance(job.give_up, Climate::Given { air, air_speed }, &mut watch);
    // The first moment at which readings count; a slab that passes then needs no wait, and its copy has dried on since.
    let first = (job.targets_from - job.gear_on).max(0.0) / DAY;
    match ran {
        Ok(_) if met.is_finite() => {
            if met <= first + CONDITIONING / DAY {
                first
            } else {
                met
            }
        }
        // Where the ideal run says nothing the bound says nothing.
        _ => 0.0,
    }
}

/// What became of a plan in one world.
struct Lived {
    costs: Costs,
    missed: bool,
    sample: Sample,
    failed: bool,
}

impl World {
    /// The inventory as this world has it: its room leaks otherwise.
    fn inventory<'a>(&'a self, stated: &'a Inventory) -> &'a Inventory {
        self.job.inventory.as_ref().unwrap_or(stated)
    }

    fn run(&self, inventory: &Inventory, candidate: &Candidate) -> Lived {
        let (job, inventory) = (&self.job, self.inventory(inventory));
        let setup = setup(job, inventory, candidate);
        let Ok(outcome) = run_without_film(job, &setup, &self.start) else {
            // Nothing is known of it but its bound.
            let costs = least(job, &setup, self.fewest_days);
            return Lived {
                costs,
                missed: true,
                sample: Sample {
                    days: f64::INFINITY,
                    cost: costs.spent(),
                    course: Vec::new(),
                },
                failed: true,
            };
        };
        let mut sample = sample(&outcome);
        let paid = (outcome.rental, outcome.cost - outcome.rental);
        let costs = costs(job, paid, sample.days);
        sample.cost = costs.spent();
        Lived {
            costs,
            missed: missed(job, sample.days),
            sample,
            failed: false,
        }
    }
}

/// What the worlds say about a plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ranked {
    /// Mean costs.
    pub costs: Costs,
    /// Share of the worlds in time.
    pub in_time: f64,
}

impl Ranked {
    /// Whether two plans come to the same: as a rule they differ by an exchange that no world gets to.
    pub(super) fn same(&self, other: &Self) -> bool {
        let (a, b) = (self.costs.total(), other.costs.total());
        (a - b).abs() <= HAIR * a.abs() && (self.in_time - other.in_time).abs() <= HAIR
    }
}

pub(super) enum Verdict {
    Feasible(Ranked),
    /// Share of the worlds missed of those run until it was given up.
    Late(f64),
    TooDear,
    OverBudget(Ranked),
}

/// Worlds that may be missed.
fn misses_allowed(confidence: f64, worlds: usize) -> usize {
    // A hair above, so that 80 % of 5 is 4 in spite of rounding.
    ((1.0 - confidence) * worlds as f64 + 1e-9).floor() as usize
}

/// Judges a plan over the worlds, stopping as soon as a bound decides. Mean costs above `most` are too dear.
pub(super) fn judge(
    inventory: &Inventory,
    candidate: &Candidate,
    worlds: &[World],
    most: f64,
) -> Verdict {
    let n = worlds.len() as f64;
    let allowed_misses = misses_allowed(inventory.confidence, worlds.len());
    let bounds: Vec<f64> = worlds
        .iter()
        .map(|w| lower_bound(&w.job, w.inventory(inventory), candidate, w.fewest_days))
        .collect();
    // Summed from the end, so that with the last world the rest is exactly nothing.
    let mut rests = vec![0.0];
    for chunk in bounds.chunks(CHUNK).rev() {
        let after = rests.last().copied().unwrap_or(0.0);
        rests.push(after + chunk.iter().sum::<f64>());
    }
    let too_dear = |sum: f64, rest: f64| (sum + rest) / n > most * (1.0 + HAIR);
    if too_dear(0.0, rests.pop().unwrap_or(0.0)) {
        return Verdict::TooDear;
    }
    let (mut sum, mut misses, mut run) = (Costs::default(), 0, 0);
    for some in worlds.chunks(CHUNK) {
        let lived: Vec<(Costs, bool)> = some
            .par_iter()
            .map(|w| {
                let lived = w.run(inventory, candidate);
                (lived.costs, lived.missed)
            })
            .collect();
        for (costs, missed) in lived {
            sum += costs;
            misses += usize::from(missed);
        }
        run += some.len();
        if misses > allowed_misses {
            return Verdict::Late(misses as f64 / run as f64);
        }
        if too_dear(sum.total(), rests.pop().unwrap_or(0.0)) {
            return Verdict::TooDear;
        }
    }
    let ranked = Ranked {
        costs: sum / n,
        in_time: 1.0 - misses as f64 / n,
    };
    if inventory
        .budget
        .is_some_and(|most| ranked.costs.spent() > most)
    {
        return Verdict::OverBudget(ranked);
    }
    Verdict::Feasible(ranked)
}

/// A plan in all of the worlds. A run that the solver gave up on counts as one that never gets dry.
pub(super) fn in_all(
    job: &Job,
    inventory: &Inventory,
    candidate: &Candidate,
    worlds: &[World],
) -> (Ranked, Odds) {
    let lived: Vec<Lived> = worlds
        .par_iter()
        .map(|w| w.run(inventory, candidate))
        .collect();
    let n = lived.len().max(1) as f64;
    let mut sum = Costs::default();
    let (mut misses, mut failed) = (0usize, 0);
    for l in &lived {
        sum += l.costs;
        misses += usize::from(l.missed);
        failed += usize::from(l.failed);
    }
    let in_time = 1.0 - misses as f64 / n;
    let odds = Odds {
        samples: lived.into_iter().map(|l| l.sample).collect(),
        failed,
        in_time: job.needed_by.map(|_| in_time),
    };
    let costs = sum / n;
    (Ranked { costs, in_time }, odds)
}
