//! What may be said of a floor, in words: the same for every output.

use super::record;
use crate::units::format::{
    Shown, capital, counted, date, days, fine_percent, percent, weekday, whole,
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
        let held = match v.holds.len() {
            1 => "1 matter must be cleared first".to_owned(),
            n => format!("{n} matters must be cleared first"),
        };
        parts.push(format!("ON HOLD: {held}."));
        if v.ready.is_some() {
            parts.push("The date below is what it would be once that is done.".into());
        }
    }
    parts.push(day(v, system));
    parts.extend(range(v).map(|range| format!("{}.", capital(&range))));
    parts.extend(against(v));
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
    let end = date(v.horizon);
    let ready = |r: Ready| {
        if v.to_coat() {
            format!(
                "the first coating day is {} {}",
                weekday(r.date),
                date(r.date)
            )
        } else {
            format!("dry on {}, after {}", date(r.date), days(r.days))
        }
    };
    match (v.state, v.ready) {
        (State::NotComputed, _) => format!(
            "{setup}: not computed: {}.",
            v.reason.as_deref().unwrap_or("the solver gave up")
        ),
        (State::AlreadyDry, found) => {
            let mut text = no_drying(v.reading.as_ref(), system);
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
                    "{setup}: probably {not} by {end}; {} of the cases get there.",
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

/// That a floor needs no drying, with the reading that says so.
fn no_drying(reading: Option<&Reading>, system: System) -> String {
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
            format!("No drying needed: the slab already reads {value}, limit {limit}.")
        }
        None => "No drying needed: the slab already meets every target.".into(),
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

/// The dates between which eight cases in ten lie.
pub(super) fn range(v: &Verdict) -> Option<String> {
    // Of a floor that most cases never get ready the range says nothing more.
    let [low, high] = v.range.filter(|_| v.ready.is_some())?;
    // Cases that all come to one day have no range.
    if low.map(|r| r.date) == high.map(|r| r.date) {
        return None;
    }
    let low = low.map(|r| date(r.date))?;
    Some(match high {
        Some(high) => format!("eight cases in ten: {low} to {}", date(high.date)),
        None => format!("eight cases in ten: {low} to after {}", date(v.horizon)),
    })
}

/// How the date stands against the day the floor is needed.
fn against(v: &Verdict) -> Option<String> {
    let by = date(v.needed_by?);
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
            format!("This run makes {by}; how sure that is was not computed.")
        }
        (Timing::Late, Some(chance)) => format!("Late for {by}: {chance} chance to make it."),
        (Timing::Late, None) => format!("Late for {by}."),
    })
}

/// What to do next, as a sentence.
fn next(next: Next) -> &'static str {
    match next {
        Next::LiftHolds => "Next: have the holds lifted by those who can.",
        Next::CheckInputs => "Next: look for extreme values in the scenario.",
        Next::Test => "Next: test the floor as its standard says. Only the tests release it.",
        Next::ChangeThePlan => {
            "Next: compare other gear, ask the coating's maker for a system that takes this moisture, or move the date."
        }
        Next::WinDays => {
            "Next: see what would buy days back (coatday explain, coatday plan), or agree on another day now."
        }
        Next::KeepOn => {
            "Next: keep the gear running and water off the floor, and test as the standard says."
        }
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
        Some(chance) => format!("{word} {}", percent(chance)),
        None => word.into(),
    }
}

/// The finding, for titles.
#[must_use]
pub fn title(v: &Verdict) -> String {
    let setup = &v.setup;
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
        .map(|chance| format!(" ({} chance)", percent(chance)));
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
        _ => "never",
    }
}

/// Days of drying to the date, for tables.
pub(super) fn days_cell(v: &Verdict) -> String {
    v.ready
        .map_or_else(|| no_days(v).into(), |ready| whole(ready.days))
}

/// Days between which eight cases in ten lie, for tables and bars.
pub(super) fn days_range(v: &Verdict) -> Option<String> {
    let [low, high] = v.range?;
    Some(match (low, high) {
        (Some(low), Some(high)) => format!("{} to {}", whole(low.days), whole(high.days)),
        (Some(low), None) => format!("{} to never", whole(low.days)),
        (None, _) => return None,
    })
}
