//! What may be said of a floor, in words: the same for every output.

use super::record;
use crate::evaluate::odds::SHARES;
use crate::units::format::{
    HOLD, Shown, capital, counted, date, dates_between, days, days_between, fine_percent, held,
    percent, short_date, whole,
};
use crate::units::{Kind, System};
use crate::verdict::{Basis, Counts, Hold, Next, Reading, Ready, State, Timing, Verdict};
use jiff::civil::Date;

record! {
    /// What may be said of the floor.
    VerdictData(v: &Verdict) {
        setup: String = v.setup.clone(),
        state: State = v.state,
        date: Option<Date> = v.date(),
        days: Option<f64> = v.ready.map(|ready| ready.days),
        date_counts: Counts = v.counts,
        basis: Basis = v.basis,
        cases: usize = v.cases,
        range: Option<RangeData> = v.range.map(RangeData::of),
        chance_by_needed_by: Option<f64> = v.chance,
        needed_by: Option<Date> = v.needed_by,
        timing: Timing = v.timing,
        on_hold: bool = v.on_hold(),
        holds: Vec<HoldData> = v.holds.iter().map(HoldData::of).collect(),
        reason: Option<String> = v.reason.clone(),
        next: Next = v.next,
        last_day_simulated: Date = v.horizon,
        sentence: String = sentence(v, System::Si),
    }

    /// When a tenth and nine tenths of the cases are ready; null for an end beyond the last day simulated.
    RangeData(range: [Option<Ready>; 2]) {
        from: Option<Date> = range[0].map(|ready| ready.date),
        to: Option<Date> = range[1].map(|ready| ready.date),
    }

    /// What stops the floor.
    HoldData(hold: &Hold) {
        what: String = hold.what.clone(),
        lifted_by: &'static str = hold.lifted_by,
    }
}

/// All of it in a few sentences: what stops the floor, the date, its range, and how it stands against the day needed.
#[must_use]
pub fn sentence(v: &Verdict, system: System) -> String {
    let mut parts: Vec<String> = Vec::new();
    if v.on_hold() {
        let held = counted(v.holds.len(), "matter");
        parts.push(format!("ON HOLD: {held} must be cleared first."));
        if v.ready.is_some() {
            parts.push("Once cleared:".into());
        }
    }
    parts.push(day(v, system));
    parts.extend(range(v, system).map(|range| format!("{range}.")));
    parts.extend(against(v, system));
    parts.join(" ")
}

/// What stops the floor, a line each.
pub(super) fn holds(v: &Verdict) -> Vec<String> {
    let line = |hold: &Hold| format!("HOLD, {} Who can lift it: {}.", hold.what, hold.lifted_by);
    v.holds.iter().map(line).collect()
}

/// Why, and what to do next.
pub(super) fn reason_and_next(v: &Verdict) -> Vec<String> {
    let reason = v.reason.clone().filter(|_| v.state != State::NotComputed);
    let reason = reason.filter(|_| v.state != State::DoesNotGetReady);
    reason
        .into_iter()
        .chain([next(v.next).to_owned()])
        .collect()
}

/// The date with what it rests on.
fn day(v: &Verdict, system: System) -> String {
    let setup = &v.setup;
    let end = date(v.horizon, system);
    let ready = |r: Ready| {
        let day = date(r.date, system);
        if v.to_coat() {
            format!("the first coating day is {day}")
        } else {
            format!("dry on {day}, after {}", days(r.days))
        }
    };
    match (v.state, v.ready) {
        (State::NotComputed, _) => format!(
            "{setup}: not computed: {}.",
            v.reason.as_deref().unwrap_or("the solver gave up")
        ),
        (State::AlreadyDry, found) => {
            let mut text = no_drying(v.reading.as_ref(), v.basis, system);
            if let Some(found) = found.filter(|_| v.to_coat()) {
                text += &format!(" {}, when its work is done.", capital(&ready(found)));
            }
            text
        }
        (_, Some(found)) => format!("{setup}: {}{}.", ready(found), basis(v)),
        (_, None) => {
            let not = if v.to_coat() {
                "no coating day"
            } else {
                "not dry"
            };
            let share = v.get_there.unwrap_or(0.0);
            let text = match v.basis {
                Basis::OneRun => format!("{setup}: {not} by {end}."),
                _ if share == 0.0 => {
                    format!("{setup}: {not} by {end} in any of {}.", cases(v))
                }
                _ => format!(
                    "{setup}: probably {not} by {end}. {} of the cases get there.",
                    percent(share)
                ),
            };
            match &v.reason {
                Some(why) => format!("{text} {why}"),
                None => text,
            }
        }
    }
}

/// That a floor needs no drying, with the reading that says so: one that nobody took is told as such.
fn no_drying(reading: Option<&Reading>, basis: Basis, system: System) -> String {
    let reads = match basis {
        Basis::Readings => "the slab already reads",
        Basis::OneRun | Basis::SampledCases => "a test now should read",
    };
    let shown = reading.and_then(|r| {
        let value = r.value?;
        let text = |si: f64| {
            if r.target.is_flux() {
                Shown::of(Kind::MassFlux, system).text(si, 3)
            } else {
                fine_percent(si)
            }
        };
        Some((text(value), text(r.target.limit())))
    });
    match shown {
        Some((value, limit)) => {
            format!("No drying needed: {reads} {value}, limit {limit}.")
        }
        None => "No drying needed: every target is met already.".into(),
    }
}

fn cases(v: &Verdict) -> String {
    match v.basis {
        Basis::OneRun => "1 run".into(),
        Basis::SampledCases => counted(v.cases, "simulated case"),
        Basis::Readings => format!("{} that the readings leave", counted(v.cases, "case")),
    }
}

fn basis(v: &Verdict) -> String {
    match v.basis {
        _ if v.counts == Counts::WorkAlone => ": no drying is claimed".into(),
        Basis::OneRun => ", by one run with the inputs as stated".into(),
        _ => format!(", the middle of {}", cases(v)),
    }
}

/// The share of the cases between the two ends of a range.
pub(super) fn in_range() -> String {
    format!("{} chance", percent(SHARES[2] - SHARES[0]))
}

/// The dates between which eight cases in ten lie.
pub(super) fn range(v: &Verdict, system: System) -> Option<String> {
    // Of a floor that most cases never get ready the range says nothing more.
    let [low, high] = v.range.filter(|_| v.ready.is_some())?;
    // Cases that all come to one day have no range.
    if low.map(|r| r.date) == high.map(|r| r.date) {
        return None;
    }
    let low = low?.date;
    let dates = match high {
        Some(high) => dates_between(low, high.date, system),
        None => format!(
            "{} to after {}",
            short_date(low, system),
            short_date(v.horizon, system)
        ),
    };
    Some(format!("{}: {dates}", in_range()))
}

/// How the date stands against the day the floor is needed.
fn against(v: &Verdict, system: System) -> Option<String> {
    let by = date(v.needed_by?, system);
    let chance = v.chance.map(percent);
    Some(match (v.timing, chance) {
        (Timing::NotSaid, _) => return None,
        (Timing::InTime, chance) => {
            format!("In time for {by}: {} chance.", chance.unwrap_or_default())
        }
        (Timing::MayBeLate, Some(chance)) => {
            format!("May be late for {by}: {chance} chance to make it.")
        }
        (Timing::MayBeLate, None) => {
            format!("This run makes {by}. How sure that is was not computed.")
        }
        (Timing::Late, Some(chance)) => format!("Late for {by}: {chance} chance to make it."),
        (Timing::Late, None) => format!("Late for {by}."),
    })
}

/// What to do next, as a sentence.
fn next(next: Next) -> &'static str {
    match next {
        Next::LiftHolds => "Next: get the holds lifted by those who can.",
        Next::CheckInputs => "Next: look for extreme values in the scenario.",
        Next::Test => "Next: test the floor as its standard says. Only the tests release it.",
        Next::ChangeThePlan => {
            "Next: change the gear, pick a coating rated for this moisture, or move the date."
        }
        Next::StopGroundMoisture => {
            "Next: ask for a mitigation layer rated for this moisture, or plan another floor. No gear dries this slab."
        }
        Next::WinDays => {
            "Next: win days (coatday explain, coatday plan) or agree on a later date now."
        }
        Next::KeepOn => "Next: keep the gear on, keep water off the floor, and test it.",
    }
}

/// The timing in a word or two with its chance, for tables.
pub(super) fn timing(v: &Verdict) -> String {
    let word = match (v.timing, v.basis) {
        (Timing::NotSaid, _) => return "-".into(),
        (Timing::InTime, _) => "yes",
        (Timing::MayBeLate, Basis::OneRun) => "not sure",
        (Timing::MayBeLate, _) => "maybe",
        (Timing::Late, _) => "LATE",
    };
    match v.chance {
        Some(chance) => format!("{word}{HOLD}{}", percent(chance)),
        None => word.into(),
    }
}

/// The finding, for titles.
#[must_use]
pub fn title(v: &Verdict, system: System) -> String {
    let setup = &v.setup;
    let date = |day: Date| short_date(day, system);
    let what = match (v.state, v.ready) {
        (State::NotComputed, _) => return format!("{setup}: not computed"),
        (State::AlreadyDry, Some(ready)) if v.to_coat() => {
            format!("No drying needed: first coating day {}", date(ready.date))
        }
        (State::AlreadyDry, _) => "No drying needed".into(),
        (_, None) if v.to_coat() => format!("{setup}: no coating day by {}", date(v.horizon)),
        (_, None) => format!("{setup}: not dry by {}", date(v.horizon)),
        (_, Some(ready)) if v.to_coat() => {
            format!("{setup}: first coating day {}", date(ready.date))
        }
        (_, Some(ready)) => format!("{setup}: dry on {}", date(ready.date)),
    };
    let by = v.needed_by.map(date).unwrap_or_default();
    let chance = v
        .chance
        .map(|chance| format!(" ({} chance to make it)", percent(chance)));
    let chance = chance.unwrap_or_default();
    let timing = match v.timing {
        Timing::NotSaid => String::new(),
        Timing::InTime => format!(", in time for {by}{chance}"),
        Timing::MayBeLate if v.basis == Basis::OneRun => String::new(),
        Timing::MayBeLate => format!(", may be late for {by}{chance}"),
        Timing::Late => format!(", late for {by}{chance}"),
    };
    let hold = if v.on_hold() { "ON HOLD. " } else { "" };
    format!("{hold}{what}{timing}")
}

/// What stands in place of the days of a setup without any.
pub(super) fn no_days(v: &Verdict) -> &'static str {
    match v.state {
        State::NotComputed => "not computed",
        _ => "not dry",
    }
}

/// Days of drying to the date, for tables.
pub(super) fn days_cell(v: &Verdict) -> String {
    v.ready
        .map_or_else(|| no_days(v).into(), |ready| whole(ready.days))
}

/// Days between which eight cases in ten lie.
pub(super) fn range_in_days(v: &Verdict) -> Option<String> {
    let [low, high] = v.range?;
    Some(match (low, high) {
        (Some(low), Some(high)) => days_between(low.days, high.days),
        (Some(low), None) => format!("over {}", days(low.days)),
        (None, _) => return None,
    })
}

/// The same without the unit, for tables that have it in the head.
pub(super) fn days_range(v: &Verdict) -> Option<String> {
    let text = range_in_days(v)?;
    let number = text.rfind(HOLD).map_or(text.as_str(), |at| &text[..at]);
    Some(held(number))
}
