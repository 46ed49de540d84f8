//! What may be said of a floor: one date, its range, the chance of making the day it is needed, what stops it, and what to do next. Every
//! output prints this and nothing else, so no two of them can disagree.
//!
//! [`verdict`] is a pure function of [`Evidence`]; [`Floor`] collects the evidence from a job, its runs, its readings and its walk.
//! The rules:
//!
//! 1. The date is the best estimate there is: after the readings, else over the sampled cases, else of the one run. On a floor that was
//!    walked over it is the day to coat, else the day on which the targets are met.
//! 2. Range and chance come from the same cases as the date, never from others.
//! 3. "In time" needs the wanted chance; down to [`HOPELESS`] the floor may be late; below that it is late.
//! 4. One run has no chance: it can be late, but never in time.
//! 5. "Late" is only said against the day the floor is needed.
//! 6. What stops the floor stands before any date: the date is then what it would be once that is cleared.
//! 7. A floor that is dry already needs no drying, and one that does not dry in most cases has no date.

mod evidence;

pub use evidence::{ENOUGH_CASES, Floor};

use crate::moisture_tests::Target;
use jiff::civil::Date;

/// Down to this chance a floor may be late; below it, it is late: one case in five (common practice, no published source).
pub const HOPELESS: f64 = 0.2;

/// Chance to pass that makes a test worth its day (common practice, no published source).
pub const WORTH_TESTING: f64 = 0.7;

/// When the floor is ready: to coat where it was walked over, else dry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ready {
    /// Days of drying until then.
    pub days: f64,
    /// The day.
    pub date: Date,
}

/// How many cases of the floor come out.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// When a tenth, half and nine tenths of the cases are ready; `None` where that lies beyond the time simulated.
    pub ready: [Option<Ready>; 3],
    /// Share of the cases that are ready within the time simulated.
    pub get_there: f64,
    /// Share of the cases that are ready by the day the floor is needed; `None` without such a day.
    pub in_time: Option<f64>,
    /// How many cases.
    pub cases: usize,
}

/// Something that stops the floor, whatever its moisture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hold {
    /// What it is, as a sentence.
    pub what: String,
    /// Who can lift it.
    pub lifted_by: &'static str,
}

/// A test and what it reads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// The test with its limit.
    pub target: Target,
    /// What it reads; `None` where the test takes longer than the run.
    pub value: Option<f64>,
}

/// What the run with the inputs as stated says.
#[derive(Clone, Debug, PartialEq)]
pub enum Run {
    /// The solver gave up: nothing may be said.
    NotComputed {
        /// Why.
        fault: String,
    },
    /// The targets are met from the first moment at which they count.
    AlreadyDry {
        /// The reading nearest to its limit.
        reading: Option<Reading>,
        /// When the floor is ready; `None` where something but drying keeps it from that, as `why` says.
        ready: Option<Ready>,
        /// Why it is not ready, as a sentence.
        why: Option<String>,
    },
    /// The floor gets ready.
    Ready(Ready),
    /// It does not within the time simulated.
    NotReady {
        /// Why, as a sentence.
        why: String,
    },
}

/// All that a verdict rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Evidence {
    /// The setup in mind.
    pub setup: String,
    /// The one run.
    pub run: Run,
    /// Sampled cases without readings.
    pub sampled: Option<Spread>,
    /// Sampled cases as far as the readings of the worst place leave them.
    pub read: Option<Spread>,
    /// What the date is of.
    pub counts: Counts,
    /// What stops the floor.
    pub holds: Vec<Hold>,
    /// The day the floor is needed.
    pub needed_by: Option<Date>,
    /// Wanted chance of making it.
    pub wanted: f64,
    /// The last day simulated.
    pub horizon: Date,
    /// What keeps it from being ready sooner, as a sentence.
    pub held_by: Option<String>,
}

/// What the date is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Counts {
    /// Drying: the day on which every target is met.
    Drying,
    /// Drying and the work on the floor: the first day to coat.
    DryingAndWork,
    /// The work alone, where no drying is computed: the first day to coat.
    WorkAlone,
}

/// What the date rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// The run with the inputs as stated.
    OneRun,
    /// Sampled cases.
    SampledCases,
    /// Sampled cases as far as the readings of the floor leave them.
    Readings,
}

/// The date against the day the floor is needed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Timing {
    /// No day is given, or nothing may be said.
    NotSaid,
    /// With the wanted chance or more.
    InTime,
    /// Less than the wanted chance, but not hopeless; or one run alone makes it.
    MayBeLate,
    /// Late.
    Late,
}

/// How the floor stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum State {
    /// The solver gave up.
    NotComputed,
    /// Dry from the first moment at which the targets count.
    AlreadyDry,
    /// Ready within the time simulated.
    GetsReady,
    /// Not ready within the time simulated, more likely than not.
    DoesNotGetReady,
}

/// What to do next.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Next {
    /// Have the holds lifted.
    LiftHolds,
    /// Put extreme values of the scenario right.
    CheckInputs,
    /// Test the floor now.
    Test,
    /// Other gear, another system or another date: as things are it does not get ready.
    ChangeThePlan,
    /// A primer that stops the water from the ground, or another floor: no gear dries it.
    StopGroundMoisture,
    /// Look for days to win back.
    WinDays,
    /// Keep on as it is, and test as the standards say.
    KeepOn,
}

/// What may be said of the floor.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// The setup in mind.
    pub setup: String,
    /// How the floor stands.
    pub state: State,
    /// When it is ready: the best estimate.
    pub ready: Option<Ready>,
    /// What that rests on.
    pub basis: Basis,
    /// When a tenth and nine tenths of the cases are ready; `None` for an end beyond the horizon, `None` in all for one run.
    pub range: Option<[Option<Ready>; 2]>,
    /// Share of the cases that get ready at all; `None` for one run.
    pub get_there: Option<f64>,
    /// Chance of being ready by the day the floor is needed.
    pub chance: Option<f64>,
    /// Against the day the floor is needed.
    pub timing: Timing,
    /// The day the floor is needed.
    pub needed_by: Option<Date>,
    /// What the date is of.
    pub counts: Counts,
    /// What stops the floor.
    pub holds: Vec<Hold>,
    /// How many cases date, range and chance rest on; 1 for the one run.
    pub cases: usize,
    /// The reading of a floor that is dry already.
    pub reading: Option<Reading>,
    /// What keeps it, as a sentence.
    pub reason: Option<String>,
    /// What to do next.
    pub next: Next,
    /// The last day simulated.
    pub horizon: Date,
}

impl Verdict {
    /// Whether something stops the floor.
    #[must_use]
    pub fn on_hold(&self) -> bool {
        !self.holds.is_empty()
    }

    /// Whether the floor gets ready, and in time where a day is given: with the wanted chance, or in the one run where no more was computed.
    #[must_use]
    pub fn makes_it(&self) -> bool {
        let once = self.basis == Basis::OneRun && self.timing == Timing::MayBeLate;
        self.ready.is_some() && (once || matches!(self.timing, Timing::NotSaid | Timing::InTime))
    }

    /// Whether the date is a day to coat, with the work on the floor in it.
    #[must_use]
    pub fn to_coat(&self) -> bool {
        self.counts != Counts::Drying
    }

    /// The day.
    #[must_use]
    pub fn date(&self) -> Option<Date> {
        self.ready.map(|ready| ready.date)
    }
}

/// What may be said.
#[must_use]
pub fn verdict(evidence: Evidence) -> Verdict {
    let e = evidence;
    let (mut state, once, mut reading, why) = match e.run {
        Run::NotComputed { fault } => (State::NotComputed, None, None, Some(fault)),
        Run::AlreadyDry {
            reading,
            ready: Some(ready),
            ..
        } => (State::AlreadyDry, Some(ready), reading, None),
        Run::AlreadyDry { why, .. } => (State::DoesNotGetReady, None, None, why),
        Run::Ready(ready) => (State::GetsReady, Some(ready), None, None),
        Run::NotReady { why } => (State::DoesNotGetReady, None, None, Some(why)),
    };
    let (basis, spread) = match (e.read, e.sampled) {
        _ if state == State::NotComputed => (Basis::OneRun, None),
        (Some(read), _) => (Basis::Readings, Some(read)),
        (None, Some(sampled)) => (Basis::SampledCases, Some(sampled)),
        (None, None) => (Basis::OneRun, None),
    };
    let ready = match &spread {
        Some(spread) => spread.ready[1],
        None => once,
    };
    // Cases and readings know more than the one run.
    if spread.is_some() {
        let same_day = ready.map(|r| r.date) == once.map(|r| r.date);
        state = match (ready, state) {
            (Some(_), State::AlreadyDry) if same_day => State::AlreadyDry,
            (Some(_), _) => State::GetsReady,
            (None, _) => State::DoesNotGetReady,
        };
        reading = reading.filter(|_| state == State::AlreadyDry);
    }
    let chance = spread.as_ref().and_then(|s| s.in_time);
    let timing = match (e.needed_by, chance) {
        _ if state == State::NotComputed => Timing::NotSaid,
        (None, _) => Timing::NotSaid,
        (Some(_), Some(chance)) if chance >= e.wanted => Timing::InTime,
        (Some(_), Some(chance)) if chance >= HOPELESS => Timing::MayBeLate,
        (Some(by), None) if ready.is_some_and(|r| r.date <= by) => Timing::MayBeLate,
        (Some(_), _) => Timing::Late,
    };
    let next = match (state, timing) {
        (State::NotComputed, _) => Next::CheckInputs,
        _ if !e.holds.is_empty() => Next::LiftHolds,
        (State::DoesNotGetReady, _) => Next::ChangeThePlan,
        (_, Timing::Late) => Next::WinDays,
        (_, Timing::MayBeLate) if basis != Basis::OneRun => Next::WinDays,
        (State::AlreadyDry, _) => Next::Test,
        _ => Next::KeepOn,
    };
    Verdict {
        setup: e.setup,
        state,
        ready,
        basis,
        range: spread.as_ref().map(|s| [s.ready[0], s.ready[2]]),
        get_there: spread.as_ref().map(|s| s.get_there),
        chance,
        timing,
        needed_by: e.needed_by,
        counts: e.counts,
        holds: e.holds,
        cases: spread.as_ref().map_or(1, |s| s.cases),
        reading,
        reason: why.or(e.held_by),
        next,
        horizon: e.horizon,
    }
}
