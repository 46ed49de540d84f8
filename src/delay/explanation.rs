//! Cases between what was promised and what is, and the split of the days between the two.

use super::attribution::{Attribution, AttributionFault, attribute};
use super::causes::{self, Cause};
use super::run::{horizon, run};
use crate::evaluate::{NotDryReason, Outcome};
use crate::job::Job;
use crate::job::change::{Case, Change, FloorWork};
use crate::scenario::Scenario;
use crate::units::DAY;
use crate::weather::Hourly;
use jiff::civil::Date;

/// Interaction gets a bar of its own from this share of the delay ...
const LARGE_SHARE: f64 = 0.1;
/// ... and from so many days: less is below what anyone plans with.
const LARGE_DAYS: f64 = 1.0;
/// Less than this is no main cause.
const HALF_A_DAY: f64 = 0.5;

/// The moment of readiness \[days since placing\]; the horizon if it never comes.
fn ready(job: &Job, outcome: &Outcome) -> f64 {
    outcome
        .days_to_target
        .map_or(job.give_up / DAY, |days| job.gear_on / DAY + days)
}

/// Why nothing can be explained.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ExplainFault {
    /// No such setup.
    #[error("There is no setup \"{0}\". Give one of the names under \"setups\".")]
    NoSetup(String),
    /// Even the promise never dries.
    #[error(
        "The floor is not dry on the last day simulated even in the case to compare with ({0}). So no delay can be told. Give under \"promised\" what the schedule assumed, or raise \"give_up_after\"."
    )]
    NeverPromised(String),
    /// The solver gave up.
    #[error("One of the runs could not be computed: {0}.")]
    Solver(String),
}

/// A delay and where its days go.
#[derive(Clone, Debug, PartialEq)]
pub struct Explanation {
    /// What the reference course is called.
    pub reference: String,
    /// Whether the scenario gives it; otherwise the air of the building in use.
    pub promise_given: bool,
    /// The setup.
    pub setup: String,
    /// The causes.
    pub causes: Vec<Cause>,
    /// The split, in days.
    pub attribution: Attribution,
    /// The day on which the reference is dry.
    pub promised: Date,
    /// The day on which the floor is dry as things are; `None` when not in the time simulated.
    pub expected: Option<Date>,
    /// Why it never is.
    pub not_dry: Option<NotDryReason>,
    /// Last day simulated.
    pub horizon: Date,
    /// Sets of causes with which the floor was not dry by then: they count as dry on that day, so their causes weigh too little.
    pub capped: usize,
}

impl Explanation {
    /// Whether the interaction deserves a bar.
    #[must_use]
    pub fn large_interaction(&self) -> bool {
        let a = &self.attribution;
        a.interaction().abs() > LARGE_DAYS.max(LARGE_SHARE * a.delay().abs())
    }

    /// Places of the causes, the costliest first; equal ones in the order in which they are told.
    #[must_use]
    pub fn by_share(&self) -> Vec<usize> {
        let shares = &self.attribution.shares;
        let mut order: Vec<usize> = (0..shares.len()).collect();
        order.sort_by(|a, b| shares[*b].total_cmp(&shares[*a]));
        order
    }

    /// The days of a cause as a bar shows them: its share, or its days by itself where the interaction has a bar of its own.
    /// With that bar, either sums to the delay.
    #[must_use]
    pub fn bar_days(&self, place: usize) -> f64 {
        let a = &self.attribution;
        let days = if self.large_interaction() {
            &a.alone
        } else {
            &a.shares
        };
        days.get(place).copied().unwrap_or(0.0)
    }

    /// The cause with the longest bar, if it costs at least half a day.
    #[must_use]
    pub fn main_cause(&self) -> Option<(&Cause, f64)> {
        let longest = |a: &usize, b: &usize| {
            // Of equal ones the first that is told.
            self.bar_days(*a)
                .total_cmp(&self.bar_days(*b))
                .then(b.cmp(a))
        };
        let place = (0..self.causes.len()).max_by(longest)?;
        let days = self.bar_days(place);
        (days >= HALF_A_DAY).then(|| (&self.causes[place], days))
    }
}

/// Explains the delay of one setup against what was promised. The work on the floor, with its days as they are in the calendar, is a
/// cause like any other: it wets the slab, opens its face, and holds the floor until it is over.
///
/// # Errors
/// An unknown setup, a promise that is never met, a solver that gives up.
pub fn explain(
    scenario: &Scenario,
    weather: &Hourly,
    setup: &str,
    work: Option<&FloorWork>,
) -> Result<Explanation, ExplainFault> {
    if !scenario.setups.iter().any(|s| s.name == setup) {
        return Err(ExplainFault::NoSetup(setup.to_owned()));
    }
    let case = Case::of(scenario, setup, work);
    let end = horizon(scenario);
    let list: Vec<(Cause, Vec<Change>)> = causes::causes(&case);
    let reference = match &scenario.promised {
        Some(p) => p.name.clone().unwrap_or_else(|| "as promised".into()),
        None => "the same slab in a building in use".into(),
    };
    // The causes of the set stay; all others are taken back.
    let with = |set: u32| {
        let back = list.iter().enumerate();
        let back = back.filter(|(place, _)| set & (1 << place) == 0);
        case.with(back.flat_map(|(_, (_, changes))| changes))
    };
    // The two ends first: without a promised date nothing else need be computed.
    let run_set = |set: u32| run(&with(set), weather, end).map_err(ExplainFault::Solver);
    let all = ((1_u64 << list.len()) - 1) as u32;
    let (job, outcome) = run_set(0)?;
    if outcome.days_to_target.is_none() {
        return Err(ExplainFault::NeverPromised(reference));
    }
    let first = ready(&job, &outcome);
    let promised = job.date(first * DAY);
    let (job, outcome) = run_set(all)?;
    let last = ready(&job, &outcome);
    let split = attribute(list.len(), |set| match set {
        0 => Ok(first),
        set if set == all => Ok(last),
        set => run_set(set).map(|(job, outcome)| ready(&job, &outcome)),
    });
    let attribution = split.map_err(|fault| match fault {
        AttributionFault::Set(fault) => fault,
        too_many @ AttributionFault::TooMany(_) => ExplainFault::Solver(too_many.to_string()),
    })?;
    let at_the_end = end / DAY;
    Ok(Explanation {
        reference,
        promise_given: scenario.promised.is_some(),
        setup: setup.to_owned(),
        causes: list.into_iter().map(|(cause, _)| cause).collect(),
        promised,
        expected: outcome.date,
        not_dry: outcome.not_dry,
        horizon: job.date(end),
        capped: attribution
            .computed
            .values()
            .filter(|days| **days >= at_the_end - 1e-9)
            .count(),
        attribution,
    })
}
