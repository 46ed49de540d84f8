//! What may be said of a floor: one date, its range, the chance of making the date, what stops the floor, and why. Every output prints this and
//! nothing else, so no two of them can disagree.
//!
//! [`verdict`] is a pure function of [`Evidence`]. Its rules:
//!
//! 1. The date is the best estimate there is: after the readings, else over the sampled cases, else of the one run.
//! 2. Range and chance come from the same source as the date, never from another.
//! 3. "In time" needs the wanted chance; down to [`HOPELESS`] the floor may be late; below that it is late.
//! 4. One run has no chance: it can be late, but never in time.
//! 5. "Late" is only said against the day the floor is needed.
//! 6. A hold stands before any date: the date is then what it would be once the hold is cleared.
//! 7. A floor that is dry already needs no drying, and one that does not dry has no date.

use jiff::civil::Date;

/// At or below this chance a floor is late, not just maybe late: one case in five (common practice, no published source).
pub const HOPELESS: f64 = 0.2;

/// Days that many cases of the floor come to, as a distribution.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// Days by which a tenth, half and nine tenths of the cases are ready; `None` where that lies beyond the time simulated.
    pub days: [Option<Date>; 3],
    /// Share of cases ready by the day the floor is needed; `None` without such a day.
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
    pub lifted_by: String,
}

/// How the floor stands with the setup in mind.
#[derive(Clone, Debug, PartialEq)]
pub enum Drying {
    /// The solver gave up: nothing may be said.
    NotComputed {
        /// Why.
        fault: String,
    },
    /// Every target is met when drying starts.
    AlreadyDry {
        /// The reading that rules and its limit, in words.
        reading: String,
    },
    /// The one run gets there.
    Dries {
        /// Its day.
        date: Date,
    },
    /// The one run does not get there.
    DoesNot {
        /// Why, as a sentence.
        why: String,
    },
}

/// All that a verdict rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Evidence {
    /// The setup in mind.
    pub setup: String,
    /// What the run with the inputs as stated says.
    pub drying: Drying,
    /// Sampled cases without readings.
    pub sampled: Option<Spread>,
    /// Sampled cases weighted by the readings of the worst place.
    pub read: Option<Spread>,
    /// What stops the floor.
    pub holds: Vec<Hold>,
    /// The day the floor is needed.
    pub needed_by: Option<Date>,
    /// Wanted chance of making it.
    pub wanted: f64,
    /// The last day simulated.
    pub horizon: Date,
    /// What makes it late or slow, as a sentence.
    pub reason: Option<String>,
    /// What to do next, as a sentence.
    pub next: Option<String>,
}

/// What the date rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// The run with the inputs as stated.
    OneRun,
    /// Sampled cases.
    SampledCases,
    /// Sampled cases and the readings of the floor.
    Readings,
}

/// The date against the day the floor is needed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Timing {
    /// No day is given.
    NoDateGiven,
    /// With the wanted chance or more.
    InTime,
    /// Less than the wanted chance, but not hopeless.
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
    /// Dry when drying starts.
    AlreadyDry,
    /// Dries within the time simulated.
    Dries,
    /// Does not.
    DoesNotDry,
}

/// What may be said of the floor.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// The setup in mind.
    pub setup: String,
    /// How the floor stands.
    pub state: State,
    /// The date to show.
    pub date: Option<Date>,
    /// What it rests on.
    pub basis: Basis,
    /// Days between which eight cases in ten are ready; `None` for an end beyond the horizon. `None` in all without cases.
    pub range: Option<[Option<Date>; 2]>,
    /// Chance of being ready by the day the floor is needed.
    pub chance: Option<f64>,
    /// Against the day the floor is needed.
    pub timing: Timing,
    /// The day the floor is needed.
    pub needed_by: Option<Date>,
    /// What stops the floor; the date then is what it would be once these are cleared.
    pub holds: Vec<Hold>,
    /// How many cases date, range and chance rest on; 1 for the one run.
    pub cases: usize,
    /// Why, as a sentence.
    pub reason: Option<String>,
    /// What to do next, as a sentence.
    pub next: Option<String>,
    /// The last day simulated.
    pub horizon: Date,
}

impl Verdict {
    /// Whether something stops the floor.
    #[must_use]
    pub fn on_hold(&self) -> bool {
        !self.holds.is_empty()
    }
}

/// What may be said.
#[must_use]
pub fn verdict(evidence: Evidence) -> Verdict {
    let e = evidence;
    let (state, once, reason) = match e.drying {
        Drying::NotComputed { fault } => (State::NotComputed, None, Some(fault)),
        Drying::AlreadyDry { reading } => (State::AlreadyDry, None, Some(reading)),
        Drying::Dries { date } => (State::Dries, Some(date), e.reason),
        Drying::DoesNot { why } => (State::DoesNotDry, None, Some(why)),
    };
    let (basis, spread) = match (e.read, e.sampled) {
        _ if state == State::NotComputed => (Basis::OneRun, None),
        (Some(read), _) => (Basis::Readings, Some(read)),
        (None, Some(sampled)) => (Basis::SampledCases, Some(sampled)),
        (None, None) => (Basis::OneRun, None),
    };
    let date = match &spread {
        Some(spread) => spread.days[1],
        None => once,
    };
    let state = match (state, &spread) {
        // Cases and readings know more than the one run.
        (State::Dries | State::DoesNotDry, Some(_)) if date.is_some() => State::Dries,
        (State::Dries, Some(_)) => State::DoesNotDry,
        (state, _) => state,
    };
    let chance = spread.as_ref().and_then(|s| s.in_time);
    let timing = match (e.needed_by, state, chance) {
        (None, ..) => Timing::NoDateGiven,
        (Some(_), State::NotComputed, _) => Timing::MayBeLate,
        (Some(_), _, Some(chance)) if chance >= e.wanted => Timing::InTime,
        (Some(_), _, Some(chance)) if chance > HOPELESS => Timing::MayBeLate,
        (Some(_), _, Some(_)) => Timing::Late,
        (Some(by), _, None) => match date {
            Some(date) if date <= by => Timing::MayBeLate,
            None if state == State::AlreadyDry => Timing::MayBeLate,
            _ => Timing::Late,
        },
    };
    Verdict {
        setup: e.setup,
        state,
        date,
        basis,
        range: spread.as_ref().map(|s| [s.days[0], s.days[2]]),
        chance,
        timing,
        needed_by: e.needed_by,
        holds: e.holds,
        cases: spread.as_ref().map_or(1, |s| s.cases),
        reason,
        next: e.next,
        horizon: e.horizon,
    }
}
