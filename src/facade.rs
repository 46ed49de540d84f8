//! What the commands answer, as functions: a job and plain values in, one answer out.
//!
//! Every answer has [`Answer::data`](crate::Answer::data), the record that `--json` prints, and
//! [`Answer::document`](crate::Answer::document), what people read. The commands call these functions and nothing else, so a program comes
//! to the same figures.

use crate::coating_day::{Conditions, CureHours, Tested, coating_day};
use crate::delay::{self, ExplainFault, actions};
use crate::evaluate::odds::{Draw, Odds, USUAL_SAMPLES, USUAL_SEED, add_odds, sampling_accuracy};
use crate::evaluate::size::{Sized, size as check_gear};
use crate::evaluate::{
    self, Accuracy, Compared, Outcome, Way, advice, advice_without_run, assumptions, judge_ways,
    other_limits, run_for_targets, target, wetting_costs,
};
use crate::job::{Job, seconds_between};
use crate::moisture_log::forecast::{Forecast, forecast as sharpen};
use crate::moisture_log::{Log, Reading, floor_tests, judge};
use crate::moisture_tests::Target;
use crate::open::{OpenFault, OpenJob, informing};
use crate::preparation::with_wet_work;
use crate::results::Document;
use crate::results::check::Check;
use crate::results::compare::{Comparison, Worth};
use crate::results::decide::Decisions;
use crate::results::explain::Explained;
use crate::results::forecast::ForecastFound;
use crate::results::plan::PlanFound;
use crate::results::prep::PreparedFloor;
use crate::results::report::{Report, document};
use crate::results::size::SizeCheck;
use crate::results::today::Today;
use crate::search::{Progress, search, search_ways};
use crate::simulation::SimulationFault;
use crate::units::{HOUR, MINUTE, System};
pub use crate::verdict::WORTH_TESTING;
use crate::verdict::{Floor, Verdict};
use jiff::civil::{Date, DateTime};
use std::collections::BTreeSet;
use std::path::Path;

/// How many cases are sampled for odds, and which: the same seed samples the same cases.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sampling {
    /// How many; 0 for no odds.
    pub samples: u32,
    /// Which.
    pub seed: u32,
}

impl Default for Sampling {
    fn default() -> Self {
        Self {
            samples: USUAL_SAMPLES,
            seed: USUAL_SEED,
        }
    }
}

/// Least number of cases sampled where there are readings: enough that some agree with a month of them.
const LEAST_WITH_READINGS: u32 = 128;

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoAnswer {
    /// The scenario lacks something that the answer needs.
    #[error("{0}")]
    Missing(String),
    /// No setup has this name.
    #[error("There is no setup \"{name}\". Write one of: {known}.")]
    NoSetup {
        /// The name.
        name: String,
        /// Those that there are.
        known: String,
    },
    /// No setup gets there.
    #[error("{0}")]
    NeverDry(String),
    /// The solver gave up.
    #[error("{0}")]
    NotComputed(String),
}

impl NoAnswer {
    /// The slab's past could not be computed, so that no setup can be.
    fn no_start(fault: &SimulationFault) -> Self {
        Self::NotComputed(format!(
            "The slab could not be computed up to the day the gear goes on: {fault}."
        ))
    }
}

impl From<ExplainFault> for NoAnswer {
    fn from(fault: ExplainFault) -> Self {
        let text = fault.to_string();
        match fault {
            ExplainFault::NoSetup(_) => Self::Missing(text),
            ExplainFault::NeverPromised(_) => Self::NeverDry(text),
            ExplainFault::Solver(_) => Self::NotComputed(text),
        }
    }
}

/// A scenario as understood: what was given, what stands in for what was not, and what that is worth in days with the setup that is dry
/// first.
///
/// # Errors
/// Every fault of the scenario and of the files that it names: whatever would stop another command.
///
/// ```
/// use coatday::Answer;
/// let found = coatday::check("scenarios/winter_warehouse.json")?;
/// assert_eq!(found.data().scenario, found.scenario.name);
/// # Ok::<(), coatday::OpenFault>(())
/// ```
pub fn check(path: impl AsRef<Path>) -> Result<Check, OpenFault> {
    let open = crate::open::checked(path.as_ref())?;
    let compared = evaluate::compare(&open.job, Accuracy::default());
    let dry = compared
        .outcomes
        .iter()
        .filter(|o| o.days_to_target.is_some());
    let days = |o: &Outcome| o.days_to_target.unwrap_or(f64::INFINITY);
    let setup = dry.min_by(|a, b| days(a).total_cmp(&days(b)));
    let setup = setup.map(|o| o.name.clone());
    let mut assumptions = worth(&open, &compared.outcomes, setup.as_deref()).assumptions;
    // What moves the date most comes first. What keeps the floor from drying at all moves it most.
    assumptions.sort_by(|a, b| b.moves().total_cmp(&a.moves()));
    let notices = open.weather_notices().to_vec();
    Ok(Check {
        scenario: open.scenario,
        notices,
        setup,
        assumptions,
    })
}

/// The setups of a job side by side, best first.
///
/// ```
/// use coatday::{Answer, Sampling};
/// let job = coatday::open("scenarios/winter_warehouse.json")?;
/// let found = coatday::compare(&job, Sampling { samples: 0, seed: 1 }).data();
/// let best = &found.setups[0];
/// assert!(best.days_to_target.is_some());
/// # Ok::<(), coatday::OpenFault>(())
/// ```
#[must_use]
pub fn compare(open: &OpenJob, sampling: Sampling) -> Comparison<'_> {
    let cases = Cases::of(open, 0, &open.readings, sampling);
    let found = ranked(open, &cases);
    let best = found.0.outcomes.first().map(|o| o.name.clone());
    let mut decisions = decisions(
        open,
        (&found.0, best.as_deref()),
        None,
        &cases,
        sampling,
        &|| true,
    );
    decisions.on_hold = found.1.first().is_some_and(Verdict::on_hold);
    comparison(open, found, best.as_deref(), decisions)
}

/// How far a comparison is that is still being made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    /// Cases sampled so far.
    pub sampled: usize,
    /// Cases that will have been sampled in the end.
    pub of: usize,
    /// Whether this is the answer that [`compare`] gives.
    pub last: bool,
}

/// Cases sampled between two answers: a few, so that what is out of date ends soon.
const CASES_A_STEP: usize = 4;

/// As [`compare`], in steps: first every setup by one run, then what single things are worth, then the odds as their cases come. `show` is
/// told each answer so far; the last is that of [`compare`]. Ends without it when `keep_going` says no.
///
/// ```
/// use coatday::{Answer, Sampling};
/// let job = coatday::open("scenarios/showroom_plan.json")?;
/// let steps = std::cell::Cell::new(0);
/// coatday::compare_watched(&job, Sampling { samples: 0, seed: 1 }, &|_, _| steps.set(steps.get() + 1), &|| true);
/// assert_eq!(steps.get(), 2);
/// # Ok::<(), coatday::OpenFault>(())
/// ```
pub fn compare_watched<'a>(
    open: &'a OpenJob,
    sampling: Sampling,
    show: &dyn Fn(&Comparison<'a>, Step),
    keep_going: &(dyn Fn() -> bool + Sync),
) {
    let job = &open.job;
    let none = Sampling {
        samples: 0,
        ..sampling
    };
    let whole = |found: (Compared, Vec<Verdict>), cases: &Cases, sampling: Sampling| {
        let best = found.0.outcomes.first().map(|o| o.name.clone());
        let of = (&found.0, best.as_deref());
        let mut decisions = decisions(open, of, None, cases, sampling, keep_going);
        decisions.on_hold = found.1.first().is_some_and(Verdict::on_hold);
        keep_going().then(|| comparison(open, found, best.as_deref(), decisions))
    };
    let step = |sampled: usize, last: bool| Step {
        sampled,
        of: sampling.samples as usize,
        last,
    };
    let single = Cases::of(open, 0, &[], none);
    let compared = evaluate::compare(job, Accuracy::default());
    let bare = |found| comparison(open, found, None, Decisions::default());
    let first = in_order(open, compared.clone(), &single);
    show(&bare(first.clone()), step(0, false));
    if !keep_going() {
        return;
    }
    // Nothing is asked of the sampler here.
    let Some(told) = whole(first, &single, none) else {
        return;
    };
    if !keep_going() {
        return;
    }
    show(&told, step(0, sampling.samples == 0));
    if sampling.samples == 0 {
        return;
    }
    let Comparison {
        worth, decisions, ..
    } = told;
    let cases = Cases::of(open, 0, &open.readings, sampling);
    let mut sampled = compared.clone();
    let mut done = 0;
    for draws in cases.draws.chunks(CASES_A_STEP) {
        if !keep_going() {
            return;
        }
        let mut more = compared.clone();
        add_odds(job, &mut more.outcomes, draws, sampling_accuracy());
        for (outcome, more) in sampled.outcomes.iter_mut().zip(more.outcomes) {
            outcome.odds = joined(outcome.odds.take(), more.odds);
        }
        done += draws.len();
        let mut found = bare(in_order(open, sampled.clone(), &cases));
        found.worth = worth.clone();
        found.decisions = decisions.clone();
        show(&found, step(done, false));
    }
    if let Some(found) = whole(in_order(open, sampled, &cases), &cases, sampling)
        && keep_going()
    {
        show(&found, step(done, true));
    }
}

/// The odds of some cases and of those that come after them.
fn joined(first: Option<Odds>, more: Option<Odds>) -> Option<Odds> {
    let (Some(mut all), Some(more)) = (first.clone(), more.clone()) else {
        return first.or(more);
    };
    let good = |odds: &Odds| {
        let share = odds.in_time?;
        Some((share * odds.samples.len() as f64).round())
    };
    let in_time = good(&all).zip(good(&more)).map(|(a, b)| a + b);
    all.samples.extend(more.samples);
    all.failed += more.failed;
    all.in_time = in_time.map(|good| good / all.samples.len().max(1) as f64);
    Some(all)
}

/// What may be said of a setup with each of some limits of the humidity at depth, by one run. `setup` is by name; without one the first.
///
/// # Errors
/// No such setup; the solver gives up.
///
/// ```
/// let job = coatday::open("scenarios/winter_warehouse.json")?;
/// let found = coatday::limits(&job, Some("Heat"), &[0.85, 0.90])?;
/// let days: Vec<_> = found.iter().filter_map(|verdict| verdict.date()).collect();
/// assert!(days.len() == 2 && days[1] < days[0]); // the looser limit is met first
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn limits(
    open: &OpenJob,
    setup: Option<&str>,
    limits: &[f64],
) -> Result<Vec<Verdict>, NoAnswer> {
    let job = &open.job;
    let (place, _) = setup_of(job, setup)?;
    let setup = job.setups.get(place);
    let setup = setup.ok_or_else(|| NoAnswer::Missing("The scenario has no setup.".into()))?;
    let targets: Vec<[Target; 1]> = limits.iter().map(|l| [target(job, *l)]).collect();
    let sets: Vec<&[Target]> = targets.iter().map(<[Target; 1]>::as_slice).collect();
    let start = evaluate::prepare(job, Accuracy::default());
    let start = start.map_err(|fault| NoAnswer::no_start(&fault))?;
    let outcomes = run_for_targets(job, setup, &start, &sets, 0.0);
    let outcomes = outcomes.map_err(|fault| NoAnswer::NotComputed(format!("{fault}.")))?;
    let said = |outcome: &Outcome| floor(open).of_setup(outcome, None, false);
    Ok(outcomes.iter().map(said).collect())
}

/// What to decide beside the gear, the limits told of one setup.
fn decisions(
    open: &OpenJob,
    (compared, setup): (&Compared, Option<&str>),
    today: Option<Date>,
    cases: &Cases,
    sampling: Sampling,
    keep_going: &(dyn Fn() -> bool + Sync),
) -> Decisions {
    let job = &open.job;
    let mut setups = job.setups.iter();
    let place = setups.position(|s| Some(s.name.as_str()) == setup);
    // What was read is past.
    let read = open.readings.iter().map(|reading| reading.seconds);
    let last = read.fold(None, |last: Option<f64>, time| {
        Some(last.map_or(time, |l| l.max(time)))
    });
    let today = today.or(last.map(|time| job.date(time)));
    // What is no longer wanted is left out soon: it costs no cases and no ways.
    let draws = |job: &Job| {
        if keep_going() {
            cases.of_limit(job, sampling)
        } else {
            Vec::new()
        }
    };
    let accuracy = (Accuracy::default(), sampling_accuracy());
    let known = compared
        .outcomes
        .iter()
        .find(|o| Some(o.name.as_str()) == setup);
    let limits = place
        .zip(known)
        .map(|known| other_limits(job, known, today, &draws, accuracy));
    let mut ways = Way::all(job, open.scenario.alternatives.as_deref());
    if !keep_going() {
        ways.clear();
    }
    Decisions {
        setup: setup.unwrap_or_default().to_owned(),
        // A run that the solver gives up on is told with the setups.
        limits: limits.and_then(Result::ok).unwrap_or_default(),
        on_hold: false,
        ways: judge_ways(job, &ways, &compared.outcomes, today, &draws, accuracy)
            .unwrap_or_default(),
    }
}

/// The cases that dates rest on.
struct Cases {
    /// Sampled; as far as the readings leave them, where there are some.
    draws: Vec<Draw>,
    /// What the readings make of the setup on site, and its name.
    on_site: Option<(String, Forecast)>,
}

impl Cases {
    /// Cases for a job with the setup at `place` on site.
    fn of(open: &OpenJob, place: usize, readings: &[Reading], sampling: Sampling) -> Self {
        let job = &open.job;
        let Sampling { samples, seed } = sampling;
        let read = (samples > 0 && !readings.is_empty())
            .then(|| sharpened(job, place, readings, sampling))
            .filter(Forecast::is_read);
        let setup = job.setups.get(place).map(|setup| setup.name.clone());
        match (read, setup) {
            (Some(forecast), Some(setup)) => Self {
                draws: forecast.draws(samples),
                on_site: Some((setup, forecast)),
            },
            _ => Self {
                draws: Draw::first(job, samples, seed),
                on_site: None,
            },
        }
    }

    /// Cases for the same job with another limit: how unsure the concrete is depends on it, unless readings say.
    fn of_limit(&self, job: &Job, Sampling { samples, seed }: Sampling) -> Vec<Draw> {
        match self.on_site {
            Some(_) => self.draws.clone(),
            None => Draw::first(job, samples, seed),
        }
    }

    /// What may be said of an outcome with these cases as its odds.
    fn verdict(&self, open: &OpenJob, outcome: &Outcome) -> Verdict {
        let on_site = self.on_site.as_ref();
        let own = on_site.filter(|(setup, _)| *setup == outcome.name);
        let own = own.map(|(_, forecast)| forecast);
        floor(open).of_setup(outcome, own, on_site.is_some())
    }
}

fn floor(open: &OpenJob) -> Floor<'_> {
    Floor {
        job: &open.job,
        prepared: open.prepared.as_ref(),
    }
}

/// The setups of a job run, with what may be said of each: those that are ready first, then the cheaper.
fn ranked(open: &OpenJob, cases: &Cases) -> (Compared, Vec<Verdict>) {
    let job = &open.job;
    let mut compared = evaluate::compare(job, Accuracy::default());
    add_odds(
        job,
        &mut compared.outcomes,
        &cases.draws,
        sampling_accuracy(),
    );
    in_order(open, compared, cases)
}

/// Setups that were run in their order, with what may be said of each.
fn in_order(open: &OpenJob, mut compared: Compared, cases: &Cases) -> (Compared, Vec<Verdict>) {
    let judged = compared.outcomes.into_iter().map(|outcome| {
        let verdict = cases.verdict(open, &outcome);
        (outcome, verdict)
    });
    let mut all: Vec<(Outcome, Verdict)> = judged.collect();
    let days = |v: &Verdict| v.ready.map_or(f64::INFINITY, |ready| ready.days);
    // Of those that never get ready the one nearest to its targets stays first.
    all.sort_by(|(a, of_a), (b, of_b)| {
        let by_days = days(of_a).total_cmp(&days(of_b));
        by_days.then_with(|| match of_a.ready {
            Some(_) => a.cost.total_cmp(&b.cost),
            None => std::cmp::Ordering::Equal,
        })
    });
    let (outcomes, mut verdicts): (Vec<_>, Vec<_>) = all.into_iter().unzip();
    compared.outcomes = outcomes;
    let gave_up = compared.not_computed.iter();
    verdicts.extend(gave_up.map(|gave_up| floor(open).not_computed(gave_up)));
    (compared, verdicts)
}

/// One setup run, with what may be said of it, and what the readings make of the one on site.
fn standing(
    open: &OpenJob,
    (site, about): (usize, usize),
    readings: &[Reading],
    sampling: Sampling,
) -> Option<(Verdict, Option<Forecast>)> {
    let cases = Cases::of(open, site, readings, sampling);
    let mut job = open.job.clone();
    job.setups = vec![job.setups.get(about)?.clone()];
    let mut compared = evaluate::compare(&job, Accuracy::default());
    if cases.on_site.is_none() || site != about {
        add_odds(
            &job,
            &mut compared.outcomes,
            &cases.draws,
            sampling_accuracy(),
        );
    }
    let verdict = match compared.outcomes.first() {
        Some(outcome) => cases.verdict(open, outcome),
        None => floor(open).not_computed(compared.not_computed.first()?),
    };
    Some((verdict, cases.on_site.map(|(_, forecast)| forecast)))
}

/// What single things are worth is told of one setup.
fn comparison<'a>(
    open: &'a OpenJob,
    (compared, verdicts): (Compared, Vec<Verdict>),
    about: Option<&str>,
    decisions: Decisions,
) -> Comparison<'a> {
    let mut notes = advice(&open.job, &compared.outcomes);
    notes.extend(advice_without_run(&open.job, &compared.not_computed));
    Comparison {
        advice: notes,
        worth: worth(open, &compared.outcomes, about),
        decisions,
        job: &open.job,
        compared,
        verdicts,
        notices: &open.notices,
    }
}

fn worth(open: &OpenJob, outcomes: &[Outcome], setup: Option<&str>) -> Worth {
    let mut of_setup = outcomes.iter().filter(|o| Some(o.name.as_str()) == setup);
    let found = of_setup.find_map(|o| Some((o.name.as_str(), o.days_to_target?)));
    // A calendar of work moves along with every change; what single things are worth then is for `prep` to say.
    let Some((setup, days)) = found.filter(|_| open.scenario.walk.is_none()) else {
        return Worth::default();
    };
    let (scenario, weather, accuracy) = (&open.scenario, &open.job.weather, Accuracy::default());
    Worth {
        wettings: wetting_costs(scenario, weather, setup, days, accuracy),
        assumptions: assumptions(scenario, weather, setup, days, accuracy),
    }
}

/// The cheapest gear on hand that makes the date.
///
/// # Errors
/// Where the scenario names no gear to choose from or no date, and when the solver gives up on the slab's past.
///
/// ```
/// use coatday::{Answer, Sampling};
/// let job = coatday::open("scenarios/showroom_plan.json")?;
/// let found = coatday::plan(&job, Sampling { samples: 4, seed: 1 })?.data();
/// assert!(found.best.is_some());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn plan(open: &OpenJob, sampling: Sampling) -> Result<PlanFound<'_>, NoAnswer> {
    plan_watched(open, sampling, &|_| {}, &|| true)
}

/// As [`plan`]: `progress` is told after each step, and the search ends with the best so far when `keep_going` says no.
///
/// # Errors
/// As [`plan`].
pub fn plan_watched<'a>(
    open: &'a OpenJob,
    Sampling { samples, seed }: Sampling,
    progress: &dyn Fn(Progress<'_>),
    keep_going: &(dyn Fn() -> bool + Sync),
) -> Result<PlanFound<'a>, NoAnswer> {
    let job = &open.job;
    let missing = |what: &str| NoAnswer::Missing(what.to_owned());
    let inventory = job.inventory.as_ref().ok_or_else(|| missing(
        "\"plan\" is missing: there is no gear to choose from. Add \"plan\": { \"on_hand\": [ { \"gear\": { \"fan\": { \"count\": 4 } } } ] }.",
    ))?;
    if job.needed_by.is_none() {
        return Err(missing(
            "\"needed_by\" is missing: a plan needs a date to make. Add \"needed_by\": \"2027-03-01\", with your date.",
        ));
    }
    let accuracy = sampling_accuracy();
    let found = search(
        job, inventory, samples, seed, accuracy, progress, keep_going,
    )
    .map_err(|fault| NoAnswer::no_start(&fault))?;
    let verdict = found.chosen().map(|plan| {
        let outcome = Outcome {
            name: plan.name.of(System::Si).to_owned(),
            odds: Some(plan.odds.clone()),
            ..plan.outcome.clone()
        };
        floor(open).of_setup(&outcome, None, false)
    });
    let ways = Way::all(job, open.scenario.alternatives.as_deref());
    let others = ways.get(1..).unwrap_or_default();
    let ways = search_ways(
        job,
        inventory,
        others,
        (samples, seed),
        accuracy,
        keep_going,
    );
    Ok(PlanFound {
        job,
        inventory,
        // The slab's past could be computed a moment ago.
        ways: ways.unwrap_or_default(),
        found,
        verdict,
        notices: &open.notices,
    })
}

/// Whether the dehumidifiers, burners and power of each setup are enough.
///
/// # Errors
/// When the solver gives up on the slab's past.
///
/// ```
/// use coatday::Answer;
/// let job = coatday::open("scenarios/winter_warehouse.json")?;
/// let found = coatday::size(&job)?.data();
/// assert_eq!(found.setups.len(), job.scenario.setups.len());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn size(open: &OpenJob) -> Result<SizeCheck<'_>, NoAnswer> {
    let checked = check_gear(&open.job, Accuracy::default());
    Ok(SizeCheck {
        job: &open.job,
        verdict: standing(open, (0, 0), &open.readings, Sampling::default())
            .map(|(verdict, _)| verdict),
        checked: checked.map_err(|fault| NoAnswer::no_start(&fault))?,
        notices: &open.notices,
        paths: false,
    })
}

/// Where the days of a setup go against what was promised, and what would buy some back from a day on. `setup` is by name; without one the
/// first, which is the one on site.
///
/// # Errors
/// No such setup; nothing promised ever dries; the solver gives up.
///
/// ```
/// use coatday::{Answer, Sampling};
/// let job = coatday::open("scenarios/late_floor.json")?;
/// let found = coatday::explain(&job, None, None, Sampling::default())?.data();
/// assert!(!found.causes.is_empty());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn explain<'a>(
    open: &'a OpenJob,
    setup: Option<&str>,
    from: Option<Date>,
    sampling: Sampling,
) -> Result<Explained<'a>, NoAnswer> {
    let (scenario, weather, work) = (&open.scenario, &open.job.weather, open.work.as_ref());
    let (place, setup) = setup_of(&open.job, setup)?;
    let explanation = delay::explain(scenario, weather, &setup, work)?;
    let list = actions(scenario, weather, &setup, work, from);
    Ok(Explained {
        scenario,
        explanation,
        actions: list.map_err(ExplainFault::Solver)?,
        from: from.unwrap_or(scenario.gear_on),
        verdict: standing(open, (place, place), &open.readings, sampling)
            .map(|(verdict, _)| verdict),
        notices: &open.notices,
    })
}

/// The walk over the floor, prepared: repairs, methods, material, calendar and the day to coat, with odds where enough cases are sampled.
///
/// # Errors
/// Where the scenario has no walk.
///
/// ```
/// use coatday::{Answer, Sampling};
/// let job = coatday::open("scenarios/wash_first.json")?;
/// let found = coatday::prep(&job, Sampling { samples: 0, seed: 1 })?.data();
/// assert!(!found.calendar.is_empty());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn prep(open: &OpenJob, sampling: Sampling) -> Result<PreparedFloor<'_>, NoAnswer> {
    let prepared = open
        .prepared
        .as_ref()
        .ok_or_else(|| NoAnswer::Missing("\"walk\" is missing.".to_owned()))?;
    let job = open.work.as_ref().map(|_| &open.job);
    let mut setups = open.job.setups.iter();
    let best = prepared.setups.first().map(|s| &s.run.outcome.name);
    let place = best.and_then(|best| setups.position(|setup| setup.name == *best));
    let found = place.and_then(|place| standing(open, (0, place), &open.readings, sampling));
    Ok(PreparedFloor {
        name: &open.scenario.name,
        verdict: found.map_or_else(|| floor(open).by_work(prepared), |(verdict, _)| verdict),
        prepared: prepared.clone(),
        job,
        all_findings: false,
        notices: match job {
            Some(_) => open.weather_notices(),
            None => &[],
        },
    })
}

/// The date of a setup sharpened by the readings of a log up to a moment, and when the next test passes with a `wanted` chance.
///
/// # Errors
/// No such setup, or no sampled case could be computed.
///
/// ```
/// use coatday::{Answer, Log, Sampling, WORTH_TESTING};
/// let job = coatday::open("scenarios/winter_warehouse.json")?;
/// let now = jiff::civil::date(2026, 12, 1).at(8, 0, 0, 0);
/// let sampling = Sampling { samples: 4, seed: 1 };
/// let found = coatday::forecast(&job, None, &Log::default(), now, WORTH_TESTING, sampling)?.data();
/// assert_eq!(found.places.len(), 1);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn forecast<'a>(
    open: &'a OpenJob,
    setup: Option<&str>,
    log: &Log,
    now: DateTime,
    wanted: f64,
    sampling: Sampling,
) -> Result<ForecastFound<'a>, NoAnswer> {
    let (place, setup) = setup_of(&open.job, setup)?;
    let used = informing(judge(&log.readings, &open.scenario, now), now);
    let (verdict, forecast) = standing(open, (place, place), &used, sampling)
        .ok_or_else(|| NoAnswer::Missing("The scenario has no setup.".into()))?;
    let forecast = forecast.unwrap_or_else(|| sharpened(&open.job, place, &used, sampling));
    if forecast.worlds.is_empty() {
        return Err(NoAnswer::NotComputed(
            "No simulated case could be computed. Look for extreme values in the scenario.".into(),
        ));
    }
    Ok(ForecastFound {
        job: &open.job,
        setup,
        forecast,
        verdict,
        wanted,
        now: seconds_since(open.scenario.slab.placed, now),
        readings: used,
        notices: &open.notices,
    })
}

fn sharpened(job: &Job, place: usize, readings: &[Reading], sampling: Sampling) -> Forecast {
    let Sampling { samples, seed } = sampling;
    let samples = match readings {
        [] => samples,
        _ => samples.max(LEAST_WITH_READINGS),
    };
    sharpen(job, place, readings, samples, seed, sampling_accuracy())
}

/// Seconds from midnight of `placed` to a moment.
fn seconds_since(placed: Date, now: DateTime) -> f64 {
    seconds_between(placed, now.date())
        + f64::from(now.hour()) * HOUR
        + f64::from(now.minute()) * MINUTE
}

/// Whether the floor may be coated at a moment, by every rule: what the walk holds and its work has left open, air, slab and tests. With
/// `date` the date that the readings leave is told, too.
///
/// ```
/// use coatday::{Answer, Conditions, Log};
/// let job = coatday::open("scenarios/winter_warehouse.json")?;
/// let (log, now) = (Log::default(), jiff::civil::date(2026, 12, 1).at(8, 0, 0, 0));
/// let conditions = Conditions::fill([Some(16.0), Some(0.7), Some(13.0)], &log.readings, now);
/// let found = coatday::today(&job, &log, now, conditions.expect("all three are given"), None, None);
/// assert_ne!(found.data().says, "go"); // no test of the floor is in the log
/// # Ok::<(), coatday::OpenFault>(())
/// ```
#[must_use]
pub fn today<'a>(
    open: &'a OpenJob,
    log: &'a Log,
    now: DateTime,
    conditions: Conditions,
    cure: Option<CureHours>,
    date: Option<Sampling>,
) -> Today<'a> {
    let (scenario, prepared) = (&open.scenario, open.prepared.as_ref());
    let judged = judge(&log.readings, &with_wet_work(scenario, prepared, now), now);
    let tests = floor_tests(&judged, scenario);
    let faults = log.faults.iter().flat_map(|faults| &faults.faults);
    let unread = faults
        .map(|fault| fault.line)
        .collect::<BTreeSet<_>>()
        .len();
    let day = coating_day(
        scenario,
        prepared,
        now,
        &conditions,
        Tested {
            tests: &tests,
            judged: &judged,
            unread_lines: unread,
        },
        cure.as_ref(),
    );
    Today {
        scenario,
        now,
        conditions,
        day,
        verdict: date.and_then(|sampling| {
            let open = open.clone().with_readings(log, now);
            Some(standing(&open, (0, 0), &open.readings, sampling)?.0)
        }),
        cure,
        notices: &log.notices,
    }
}

/// All of it as one document, for people who wait for the floor.
///
/// # Errors
/// No such setup, or a logo that cannot be shown.
///
/// ```
/// use coatday::{Log, Sampling};
/// let job = coatday::open("scenarios/late_floor.json")?;
/// let made = jiff::civil::date(2026, 11, 16);
/// let none = Sampling { samples: 0, seed: 1 };
/// let page = coatday::report(&job, None, None, made, none, coatday::System::Us)?;
/// assert!(page.first.is_some());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn report(
    open: &OpenJob,
    setup: Option<&str>,
    log: Option<&Log>,
    made: Date,
    sampling: Sampling,
    system: System,
) -> Result<Document, NoAnswer> {
    let (job, scenario, work) = (&open.job, &open.scenario, open.work.as_ref());
    let now = made.at(23, 59, 59, 0);
    let (place, setup) = setup_of(job, setup)?;
    let logo = open.logo().map_err(NoAnswer::Missing)?;
    let wetted = with_wet_work(scenario, open.prepared.as_ref(), now);
    let judged = log.map(|log| judge(&log.readings, &wetted, now));
    let readings = informing(judged.clone().unwrap_or_default(), now);
    let cases = Cases::of(open, place, &readings, sampling);
    let found = ranked(open, &cases);
    let verdict = found.1.iter().find(|v| v.setup == setup).cloned();
    let verdict = verdict.ok_or_else(|| NoAnswer::Missing("The scenario has no setup.".into()))?;
    let mut decisions = decisions(
        open,
        (&found.0, Some(&setup)),
        Some(made),
        &cases,
        sampling,
        &|| true,
    );
    decisions.on_hold = verdict.on_hold();
    let forecast = cases.on_site.map(|(_, forecast)| ForecastFound {
        job,
        setup: setup.clone(),
        forecast,
        verdict: verdict.clone(),
        wanted: WORTH_TESTING,
        now: seconds_since(scenario.slab.placed, now),
        readings,
        notices: &open.notices,
    });
    // A report without a promise to be late against is still a report.
    let (explanation, unexplained) = match delay::explain(scenario, &job.weather, &setup, work) {
        Ok(explanation) => (Some(explanation), None),
        Err(fault) => (None, Some(fault.to_string())),
    };
    let mut notices = open.notices.clone();
    let list = actions(scenario, &job.weather, &setup, work, Some(made)).unwrap_or_else(|fault| {
        notices.push(format!("What would buy days back could not be computed: {fault}.").into());
        Vec::new()
    });
    let mut comparison = comparison(open, found, Some(&setup), decisions);
    comparison.notices = &notices;
    Ok(document(&Report {
        scenario,
        sized: gear_of(job, &setup),
        comparison,
        explanation,
        unexplained,
        actions: list,
        readings: judged.map(|judged| {
            let tests = floor_tests(&judged, scenario);
            (judged, tests)
        }),
        forecast,
        verdict,
        prepared: open.prepared.as_ref(),
        setup,
        logo,
        made,
        system,
    }))
}

fn gear_of(job: &Job, setup: &str) -> Option<Sized> {
    let mut one = job.clone();
    one.setups.retain(|s| s.name == setup);
    check_gear(&one, Accuracy::default()).ok()?.setups.pop()
}

/// Place and name of the setup that was asked for, or of the first: the one on site.
fn setup_of(job: &Job, asked: Option<&str>) -> Result<(usize, String), NoAnswer> {
    let mut setups = job.setups.iter().map(|s| s.name.as_str()).enumerate();
    setups
        .find(|(_, name)| asked.is_none_or(|asked| asked == *name))
        .map(|(place, name)| (place, name.to_owned()))
        .ok_or_else(|| {
            let known: Vec<&str> = job.setups.iter().map(|s| s.name.as_str()).collect();
            NoAnswer::NoSetup {
                name: asked.unwrap_or_default().to_owned(),
                known: known.join("; "),
            }
        })
}
