//! Other ways to coat a slab that is not dry in time, beside drying it to the limit: what each costs, when the coating can start, and the
//! chance to make the date.
//!
//! A way is a limit that the slab must reach with some gear once it is old enough, work on top of that, and a price per area. With `d_k` the
//! days to its limit in case `k`, `t` those up to today and `w` the days of its work
//!
//! ```text
//! ready_k = max(d_k, t) + w
//! cost_k  = gear and energy up to its limit + price per area x area + delay of ready_k
//! ```
//! Every way is tried with every setup and without gear, in the same cases. Of each way the setup is kept that makes the date with the
//! wanted chance at the least mean cost, else the likeliest to make it; the ways are ranked alike.
//!
//! What is usual for a kind ([`usual`]): its table has the source of each value. The data sheets of the coating and of the layer decide, and the
//! specifier.

use super::compare::{Accuracy, prepare, run_for_targets, slab_when_dry};
use super::money::{days_late, delay};
use super::odds::{Draw, ENOUGH_CASES, Odds, odds_for_targets};
use super::other_limits::target;
use super::outcome::Outcome;
use super::under_film::{UnderFilm, under_layer};
use crate::job::{Job, Setup, seconds_between};
use crate::moisture_tests::{Target, extrapolation, humidity_limit};
use crate::scenario::model::{self, Terms, USUAL_CONFIDENCE};
use crate::simulation::SimulationFault;
use crate::units::{DAY, FT2};
use jiff::civil::Date;

/// The kinds of ways.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WayKind {
    /// The slab is dried to the limit of the planned coating.
    DryToTheLimit,
    /// See [`model::Alternative`].
    OtherCoating,
    /// See [`model::Alternative`].
    TolerantPrimer,
    /// See [`model::Alternative`].
    MitigationLayer,
    /// See [`model::Alternative`].
    BreathableFinish,
    /// See [`model::Alternative`].
    SheetAndTopping,
}

/// What a way asks for and costs.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// Its kind.
    pub kind: WayKind,
    /// What the scenario calls it.
    pub name: Option<String>,
    /// Targets that the slab must meet.
    pub targets: Vec<Target>,
    /// Price per area beyond the planned coating, low and high \[money/m2\]; `None` where no price is known.
    pub price: Option<(f64, f64)>,
    /// Whether the price is the scenario's and not the usual one.
    pub own_price: bool,
    /// Days of work that it adds.
    pub work: f64,
    /// The slab must be so old \[days\].
    pub least_age: f64,
    /// What passes the layer that goes on the slab \[kg/(m2 s Pa)\]; zero for a tight one.
    pub permeance: f64,
}

/// What is usual for a kind.
struct Usual {
    limit: f64,
    /// $/ft2.
    price: Option<(f64, f64)>,
    /// Days of work, and area that a further day of it covers \[ft2\].
    work: (f64, f64),
    /// Days.
    least_age: f64,
    /// kg/(m2 s Pa).
    permeance: f64,
}

/// Permeance allowed for a mitigation layer: 0.1 perm, water method of ASTM E96 (ASTM F3010).
const F3010_PERMEANCE: f64 = 5.7e-12;

/// | kind | limit | price, $/ft2 | work | age | permeance |
/// |---|---|---|---|---|---|
/// | other coating | 85 %: polyurethane cement (trade guide) | 3 to 6 more (from memory) | none | none | tight |
/// | tolerant primer | 95 % (from memory) | 0.5 to 2 (from memory) | a day (common practice) | none | tight |
/// | mitigation layer | 99 % (trade page; data sheets 95 to 100 %) | 3.5 to 7 with blasting (from memory) | two days, and one for 7,500 ft2 of blasting (common practice) | 14 days (from memory) | 0.1 perm (ASTM F3010) |
/// | breathable finish | 95 % | no source: give yours | none | none | 10 perm (common practice, no published source) |
/// | sheet and topping | 99 % | no source: give yours | three days (common practice) | none | 0.1 perm (common practice, no published source) |
fn usual(kind: WayKind) -> Usual {
    let none = Usual {
        limit: 1.0,
        price: None,
        work: (0.0, f64::INFINITY),
        least_age: 0.0,
        permeance: 0.0,
    };
    match kind {
        WayKind::DryToTheLimit => none,
        WayKind::OtherCoating => Usual {
            limit: 0.85,
            price: Some((3.0, 6.0)),
            ..none
        },
        WayKind::TolerantPrimer => Usual {
            limit: 0.95,
            price: Some((0.5, 2.0)),
            work: (1.0, f64::INFINITY),
            ..none
        },
        WayKind::MitigationLayer => Usual {
            limit: 0.99,
            price: Some((3.5, 7.0)),
            work: (2.0, 7500.0),
            least_age: 14.0,
            permeance: F3010_PERMEANCE,
        },
        WayKind::BreathableFinish => Usual {
            limit: 0.95,
            permeance: 100.0 * F3010_PERMEANCE,
            ..none
        },
        WayKind::SheetAndTopping => Usual {
            limit: 0.99,
            work: (3.0, f64::INFINITY),
            permeance: F3010_PERMEANCE,
            ..none
        },
    }
}

impl WayKind {
    fn of(alternative: &model::Alternative) -> Self {
        match alternative {
            model::Alternative::OtherCoating(_) => Self::OtherCoating,
            model::Alternative::TolerantPrimer(_) => Self::TolerantPrimer,
            model::Alternative::MitigationLayer(_) => Self::MitigationLayer,
            model::Alternative::BreathableFinish(_) => Self::BreathableFinish,
            model::Alternative::SheetAndTopping(_) => Self::SheetAndTopping,
        }
    }
}

/// The ways that are usual beside drying. A breathable finish and a topping are other floors: they count where the scenario names them.
const USUAL_WAYS: [WayKind; 3] = [
    WayKind::OtherCoating,
    WayKind::TolerantPrimer,
    WayKind::MitigationLayer,
];

impl Way {
    /// Drying to the targets of a job.
    #[must_use]
    pub fn drying(job: &Job) -> Self {
        Self {
            kind: WayKind::DryToTheLimit,
            name: None,
            targets: job.targets.clone(),
            price: Some((0.0, 0.0)),
            own_price: true,
            work: 0.0,
            least_age: 0.0,
            permeance: 0.0,
        }
    }

    fn of(job: &Job, kind: WayKind, terms: &Terms) -> Self {
        let usual = usual(kind);
        let own = terms.cost.map(|cost| {
            let low = cost.si();
            (low, terms.cost_up_to.map_or(low, |most| most.si().max(low)))
        });
        // The usual prices are in dollars.
        let in_dollars = usual.price.filter(|_| job.prices.currency.is_dollar());
        let in_dollars = in_dollars.map(|(low, high)| (low / FT2, high / FT2));
        let (first, covers) = usual.work;
        let days = first + (job.room.area / FT2 / covers).ceil();
        Self {
            kind,
            name: terms.name.clone(),
            targets: vec![target(
                job,
                terms.limit.map_or(usual.limit, |limit| limit.si()),
            )],
            price: own.or(in_dollars),
            own_price: own.is_some(),
            work: terms.takes.map_or(days, |time| time.si() / DAY),
            least_age: terms
                .least_age
                .map_or(usual.least_age, |age| age.si() / DAY),
            permeance: terms
                .permeance
                .map_or(usual.permeance, |permeance| permeance.si()),
        }
    }

    /// Drying, then those that a scenario names, or the usual ones; a usual one that asks for no less than the planned coating is left out.
    #[must_use]
    pub fn all(job: &Job, named: Option<&[model::Alternative]>) -> Vec<Self> {
        let drying = Self::drying(job);
        let others: Vec<Self> = match named {
            Some(named) => named
                .iter()
                .map(|other| Self::of(job, WayKind::of(other), other.terms()))
                .collect(),
            None => USUAL_WAYS
                .iter()
                .map(|kind| Self::of(job, *kind, &Terms::default()))
                .filter(|way| way.limit() > drying.limit())
                .collect(),
        };
        std::iter::once(drying).chain(others).collect()
    }

    /// The humidity at depth that it stands; of several targets the lowest humidity, and the usual limit where none is one.
    #[must_use]
    pub fn limit(&self) -> f64 {
        humidity_limit(&self.targets)
    }

    fn is_drying(&self) -> bool {
        self.kind == WayKind::DryToTheLimit
    }

    /// The job with what this way asks for. What goes on the slab as a layer of its own has its own least age, and the coating's counts no more.
    #[must_use]
    pub fn job(&self, job: &Job) -> Job {
        let mut job = job.clone();
        job.targets.clone_from(&self.targets);
        job.known.targets |= !self.is_drying();
        let own_layer = matches!(
            self.kind,
            WayKind::MitigationLayer | WayKind::SheetAndTopping
        );
        let from = if own_layer {
            job.cured
        } else {
            job.targets_from
        };
        job.targets_from = from.max(self.least_age * DAY);
        job
    }

    /// Days of drying after which the coating can start, where the limit takes so many.
    #[must_use]
    pub fn ready(&self, days: f64) -> f64 {
        days + self.work
    }
}

/// A way with the setup that suits it best.
#[derive(Clone, Debug)]
pub struct JudgedWay {
    /// The way.
    pub way: Way,
    /// Name of the setup; `None` for none of the scenario's: the room left to itself.
    pub setup: Option<String>,
    /// Whether it has any gear.
    pub geared: bool,
    /// Days until the coating can start: the middle of the cases or, without cases, of one run. `None` where that lies beyond the horizon.
    pub days: Option<f64>,
    /// Chance to make the date; `None` without a date or cases.
    pub chance: Option<f64>,
    /// Whether the date is made with the wanted chance or, without cases, by the one run.
    pub makes_it: bool,
    /// Rent, delivery and energy up to its limit, on average.
    pub gear_cost: f64,
    /// Whether some price is missing in that.
    pub gear_cost_incomplete: bool,
    /// What the layer or the other system costs more, low and high.
    pub layer_cost: Option<(f64, f64)>,
    /// What the days after the date needed cost, on average.
    pub delay_cost: f64,
    /// What comes under the film, for a slab as stated; `None` where the limit is not reached.
    pub under_film: Option<UnderFilm>,
}

impl JudgedWay {
    /// Everything that it is expected to cost, a price range by its middle; `None` where no price is known.
    #[must_use]
    pub fn expected_cost(&self) -> Option<f64> {
        let (low, high) = self.layer_cost?;
        Some(self.gear_cost + f64::midpoint(low, high) + self.delay_cost)
    }

    /// What decides between two: the date first, then the expected cost.
    fn key(&self) -> (bool, f64, f64) {
        let cost = self.expected_cost().unwrap_or(f64::INFINITY);
        if self.makes_it {
            (false, cost, 0.0)
        } else {
            let chance = self.chance.unwrap_or(0.0);
            let days = self.days.unwrap_or(f64::INFINITY);
            // Of two that are equally unlikely the sooner.
            (true, -chance, if chance > 0.0 { cost } else { days })
        }
    }
}

fn by_key(a: &JudgedWay, b: &JudgedWay) -> std::cmp::Ordering {
    let ((late_a, first_a, then_a), (late_b, first_b, then_b)) = (a.key(), b.key());
    late_a
        .cmp(&late_b)
        .then(first_a.total_cmp(&first_b))
        .then(then_a.total_cmp(&then_b))
}

/// Every way with its best setup, the best first; `dried` are the setups of the job as they are known to dry to its own targets. `draws` gives the
/// sampled cases of a job; none for one run with the inputs as stated. No work begins before `today`.
///
/// # Errors
/// When the solver gives up on the slab's past.
pub fn judge_ways(
    job: &Job,
    ways: &[Way],
    dried: &[Outcome],
    today: Option<Date>,
    draws: &dyn Fn(&Job) -> Vec<Draw>,
    (accuracy, sampling): (Accuracy, Accuracy),
) -> Result<Vec<JudgedWay>, SimulationFault> {
    let wanted = job
        .inventory
        .as_ref()
        .map_or(USUAL_CONFIDENCE, |i| i.confidence);
    let first = today.map_or(0.0, |day| {
        (seconds_between(job.placed, day) - job.gear_on) / DAY
    });
    let start = prepare(job, accuracy)?;
    let setups = setups(job);
    let mut found: Vec<Option<JudgedWay>> = vec![None; ways.len()];
    for (place, way) in ways.iter().enumerate().filter(|(_, way)| way.is_drying()) {
        for outcome in dried {
            let judged = judged(job, way, outcome, outcome.odds.as_ref(), (wanted, first));
            take(&mut found, place, judged, Some(&outcome.name));
        }
    }
    for (group, members) in groups(job, ways) {
        let Some(mut of_group) = members.first().map(|way| way.job(job)) else {
            continue;
        };
        let targets: Vec<&[Target]> = members.iter().map(|way| way.targets.as_slice()).collect();
        // What a slab has been through is the same for all setups.
        of_group.setups = setups.iter().map(|(_, setup)| setup.clone()).collect();
        let cases = draws(&of_group);
        let odds = odds_for_targets(&of_group, &targets, &cases, 0.0, sampling);
        for ((named, setup), odds) in setups.iter().zip(&odds) {
            let Ok(outcomes) = run_for_targets(&of_group, setup, &start, &targets, 0.0) else {
                continue;
            };
            for (at, (way, outcome)) in members.iter().zip(&outcomes).enumerate() {
                let judged = judged(job, way, outcome, odds.get(at), (wanted, first));
                take(&mut found, group + at, judged, named.then_some(&setup.name));
            }
        }
    }
    let mut found: Vec<JudgedWay> = found.into_iter().flatten().collect();
    for judged in &mut found {
        let setup = setups
            .iter()
            .find(|(_, setup)| judged.setup.as_ref().map_or(NO_GEAR, String::as_str) == setup.name);
        if let Some((_, setup)) = setup {
            let of_way = judged.way.job(job);
            let dry = slab_when_dry(&of_way, setup, &start, &of_way.targets);
            let under = |slab| under_layer(&slab, judged.way.permeance).ok();
            judged.geared = !bare(job, setup);
            judged.under_film = dry.ok().flatten().and_then(under);
        }
    }
    found.sort_by(by_key);
    Ok(found)
}

/// Keeps a way with this setup if it suits it better than what was found so far.
fn take(
    found: &mut [Option<JudgedWay>],
    place: usize,
    mut judged: JudgedWay,
    setup: Option<&String>,
) {
    judged.setup = setup.cloned();
    if let Some(best) = found.get_mut(place)
        && best
            .as_ref()
            .is_none_or(|best| by_key(&judged, best).is_lt())
    {
        *best = Some(judged);
    }
}

/// The name of the room left to itself among the setups.
const NO_GEAR: &str = "";

/// The setups of a job and, where none of them is without gear, the room left to itself; whether each has a name.
fn setups(job: &Job) -> Vec<(bool, Setup)> {
    let left_alone = (!job.setups.iter().any(|setup| bare(job, setup))).then(|| {
        let setup = Setup {
            name: NO_GEAR.into(),
            room: job.room.clone(),
        };
        (false, setup)
    });
    let named = job.setups.iter().map(|setup| (true, setup.clone()));
    named.chain(left_alone).collect()
}

/// Neighbouring ways beside drying whose sampled cases are the same, each with its first place.
fn groups<'w>(job: &Job, ways: &'w [Way]) -> Vec<(usize, &'w [Way])> {
    let spread = |way: &Way| way.targets.iter().map(extrapolation).fold(0.0, f64::max);
    let from = |way: &Way| way.job(job).targets_from;
    let alike = |a: &Way, b: &Way| spread(a) == spread(b) && from(a) == from(b);
    let mut first = ways.iter().take_while(|way| way.is_drying()).count();
    let others = ways.get(first..).unwrap_or_default();
    others
        .chunk_by(|a, b| alike(a, b))
        .map(|members| {
            let at = first;
            first += members.len();
            (at, members)
        })
        .collect()
}

/// Whether a setup has no gear.
fn bare(job: &Job, setup: &Setup) -> bool {
    setup.room.machines.len() == job.room.machines.len()
}

fn judged(
    job: &Job,
    way: &Way,
    outcome: &Outcome,
    odds: Option<&Odds>,
    (wanted, first): (f64, f64),
) -> JudgedWay {
    let odds = odds.filter(|odds| odds.samples.len() >= ENOUGH_CASES);
    let area = job.room.area;
    let stated = outcome.days_to_target.unwrap_or(f64::INFINITY);
    let one = [(stated, outcome.cost)];
    let cases: Vec<(f64, f64)> = match odds {
        Some(odds) => odds.samples.iter().map(|s| (s.days, s.cost)).collect(),
        None => one.to_vec(),
    };
    let ready: Vec<f64> = cases
        .iter()
        .map(|(days, _)| way.ready(days.max(first)))
        .collect();
    let number = cases.len().max(1) as f64;
    let mean = |values: &mut dyn Iterator<Item = f64>| values.sum::<f64>() / number;
    let in_time = |days: &&f64| days.is_finite() && days_late(job, **days) == Some(0.0);
    let share = ready.iter().filter(in_time).count() as f64 / number;
    let middle = match odds {
        Some(odds) => odds.days(0.5).map(|days| way.ready(days.max(first))),
        None => Some(way.ready(stated.max(first))).filter(|days| days.is_finite()),
    };
    let dated = job.needed_by.is_some();
    JudgedWay {
        way: way.clone(),
        setup: None,
        geared: false,
        days: middle,
        chance: odds.filter(|_| dated).map(|_| share),
        makes_it: dated && share >= if odds.is_some() { wanted } else { 1.0 },
        gear_cost: mean(&mut cases.iter().map(|(_, cost)| *cost)),
        gear_cost_incomplete: outcome.cost_incomplete,
        layer_cost: way.price.map(|(low, high)| (low * area, high * area)),
        delay_cost: mean(&mut ready.iter().map(|days| delay(job, *days).unwrap_or(0.0))),
        under_film: None,
    }
}
