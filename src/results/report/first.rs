//! The first page: what a general contractor has to know and to decide. Every line follows from the scenario or from what was computed.

use super::{Report, cause, target_words};
use crate::delay::Action;
use crate::evaluate::Outcome;
use crate::evaluate::power::{BREAKER, power};
use crate::job::gear_dates;
use crate::job::seconds_between;
use crate::moisture_log::FloorTest;
use crate::results::document::{FirstPage, Head, Part, isolated};
use crate::results::{explain, forecast, limits, size, verdict};
use crate::scenario::model::{DocumentHead, Gear, Setup};
use crate::units::format::{
    Shown, capital, counted, date, kilowatts, listed, lower, percent, temperature,
    weekday_and_date, whole,
};
use crate::units::{Kind, System};
use crate::verdict::{Hold, State, Timing, WORTH_TESTING};
use jiff::civil::Date;

/// Most holds and cautions in full.
const MOST: usize = 3;

pub(super) fn first_page(r: &Report<'_>, own: Option<&Outcome>) -> FirstPage {
    let v = &r.verdict;
    let day = match (v.on_hold(), v.state, v.date()) {
        (true, ..) => "On hold".to_owned(),
        (_, State::AlreadyDry, _) if !v.to_coat() => "No drying needed".into(),
        (.., Some(day)) => weekday_and_date(day, r.system),
        (.., None) => "No date".into(),
    };
    let mut meaning = verdict::sentence(v, r.system);
    meaning.push_str(&format!(" Dry enough means: {}.", target_words(r)));
    let parts = [
        ("Clear this first", holds(&v.holds)),
        ("Why", why(r)),
        ("What we need from you", needs(r)),
        ("Your decision", decision(r)),
        ("Next test", next_test(r, own)),
        ("If the date cannot be made", others(r)),
        ("Safety", safety(r)),
        ("The limit", limits::of_job(r.comparison.job)),
    ];
    let parts = parts.into_iter().filter(|(_, lines)| !lines.is_empty());
    FirstPage {
        head: head(r),
        date: day,
        meaning,
        parts: parts.map(|(name, lines)| Part { name, lines }).collect(),
        chart: Some(super::chart(r)),
        release: super::RELEASE.into(),
    }
}

fn head(r: &Report<'_>) -> Head {
    let none = DocumentHead::default();
    let given = r.scenario.document.as_ref().unwrap_or(&none);
    Head {
        company: given.company.clone(),
        address: given.address.clone(),
        logo: r.logo.clone(),
        prepared_by: given.prepared_by.clone(),
        prepared_for: given.prepared_for.clone(),
        job_address: given.job_address.clone(),
        area: Shown::of(Kind::Area, r.system).text(r.scenario.slab.area.si(), 0),
        made: date(r.made, r.system),
    }
}

/// What stops the floor.
fn holds(holds: &[Hold]) -> Vec<String> {
    let line = |hold: &Hold| format!("HOLD, {} Who can lift it: {}.", hold.what, hold.lifted_by);
    let mut lines: Vec<String> = holds.iter().map(line).collect();
    let left = lines.len().saturating_sub(MOST);
    if left > 0 {
        lines.truncate(MOST);
        lines.push(format!(
            "{} more. See \"Preparation of the floor\".",
            whole(left as f64)
        ));
    }
    lines
}

/// Why the date is as it is.
fn why(r: &Report<'_>) -> Vec<String> {
    let cause = r.explanation.as_ref().map(|e| cause(e, r.system));
    let reason = verdict::reason_and_next(&r.verdict).into_iter().next();
    let reason = reason.filter(|_| r.verdict.reason.is_some() && r.verdict.date().is_some());
    cause.into_iter().chain(reason).collect()
}

/// When something is needed that begins on a day.
fn by_when(day: Date, made: Date, system: System) -> String {
    if day > made {
        format!("from {} on", date(day, system))
    } else {
        "from now on".into()
    }
}

/// What the general contractor has to see to, as far as the setup and its dates ask for it.
fn needs(r: &Report<'_>) -> Vec<String> {
    let (s, made) = (r.scenario, r.made);
    let setup = s.setups.iter().find(|setup| setup.name == r.setup);
    let job = r.comparison.job;
    let installed = job.setups.iter().find(|setup| setup.name == r.setup);
    let mut lines = Vec::new();
    let enclosed = s.enclosed();
    let until = "until the tests pass";
    let geared = setup.is_some_and(|setup| !setup.gear.is_empty());
    if enclosed > made {
        let day = date(enclosed, r.system);
        lines.push(format!(
            "Enclose the building by {day} and keep it closed {until}."
        ));
    } else if geared {
        let by = by_when(s.gear_on, made, r.system);
        lines.push(format!("Keep the building closed {by}, {until}."));
    }
    if let Some(load) = installed.map(|setup| power(&setup.room, job.site_power.as_ref()))
        && load.watts > 0.0
    {
        let by = by_when(s.gear_on, made, r.system);
        let amperes = Shown::of(Kind::Current, System::Us).text(BREAKER.0, 0);
        let circuits = (load.circuits > 0.0).then(|| {
            let circuits = counted(whole(load.circuits), "circuit");
            format!(", {circuits} of {amperes} for the plug-in machines")
        });
        let watts = kilowatts(load.watts);
        lines.push(format!(
            "Power day and night {by}: {watts}{}.{}",
            circuits.unwrap_or_default(),
            match &load.site {
                Some(site) if !site.fits() => format!(" {}", site.sentence()),
                _ => String::new(),
            }
        ));
    }
    lines.extend(setup.and_then(|setup| heat(r, setup)));
    if !matches!(r.verdict.state, State::NotComputed) {
        let wettings = s.slab.wettings.iter().flatten();
        let coming = wettings.filter(|w| w.date >= made).map(|w| w.date);
        let coming: Vec<String> = coming.take(MOST).map(|day| date(day, r.system)).collect();
        let expected = if coming.is_empty() {
            String::new()
        } else {
            format!(" This date still counts water on {}.", listed(&coming))
        };
        lines.push(format!("No water on the slab from now on.{expected}"));
    }
    lines
}

/// The heat that the setup holds, and since when.
fn heat(r: &Report<'_>, setup: &Setup) -> Option<String> {
    let mut held: Vec<(f64, Date)> = Vec::new();
    for machine in &setup.gear {
        let Gear::Heater(heater) = machine else {
            continue;
        };
        if gear_dates::until(machine).is_some_and(|last| last < r.made) {
            continue;
        }
        let from =
            gear_dates::from(machine).map_or(r.scenario.gear_on, |d| d.max(r.scenario.gear_on));
        if let Some(thermostat) = &heater.thermostat {
            held.push((thermostat.setpoint.si(), from));
        }
    }
    let (warmest, from) = held
        .into_iter()
        .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)))?;
    let by = by_when(from, r.made, r.system);
    let fuel = if fired(r) {
        " Keep its fuel on site."
    } else {
        ""
    };
    Some(format!(
        "Heat day and night {by}: the room at {}.{fuel}",
        temperature(warmest, r.system)
    ))
}

/// Whether a machine with a burner is on site, or still to come.
fn fired(r: &Report<'_>) -> bool {
    let job = r.comparison.job;
    let now = seconds_between(job.placed, r.made);
    let setup = job.setups.iter().find(|setup| setup.name == r.setup);
    let mut machines = setup.into_iter().flat_map(|setup| &setup.room.machines);
    machines.any(|m| m.machine.fuel().is_some() && m.present.1 > now)
}

/// What is to be decided, with its day, days and price; of what was computed alone.
fn decision(r: &Report<'_>) -> Vec<String> {
    let v = &r.verdict;
    let currency = r.comparison.job.prices.currency;
    let begins = r.made.max(r.scenario.gear_on);
    let told = |action: &Action| explain::in_a_sentence(action, begins, currency, r.system);
    let saving = explain::saving_action(&r.actions);
    if v.timing == Timing::InTime {
        let none = "None: the floor makes its date as planned.".to_owned();
        let saving = saving.map(|action| format!("To save money: {}", told(action)));
        return std::iter::once(none).chain(saving).collect();
    }
    let best = explain::first_action(&r.actions, r.scenario.needed_by);
    if let Some(best) = best {
        let other = saving.filter(|action| *action != best);
        let other = other.map(|action| format!("Or {}", lower(&told(action))));
        return std::iter::once(told(best)).chain(other).collect();
    }
    let first = r.comparison.verdicts.first();
    let first = first.filter(|best| best.setup != v.setup && best.ready.is_some());
    let look = first.map(|best| {
        format!(
            "Look at {}. Of the setups compared it would have been dry first.",
            isolated(&best.setup)
        )
    });
    let none = match r.scenario.needed_by {
        _ if v.on_hold() => None,
        Some(by) => Some(format!(
            "Nothing that was computed brings the date forward. Can {} move?",
            date(by, r.system)
        )),
        None => Some("Tell us the day on which you need the floor.".into()),
    };
    look.into_iter().chain(none).collect()
}

/// When to test next, and what for.
fn next_test(r: &Report<'_>, own: Option<&Outcome>) -> Vec<String> {
    let worst = r
        .forecast
        .as_ref()
        .and_then(|f| Some((f, f.forecast.places.first()?)));
    if let Some((found, place)) = worst {
        let tests = forecast::next_tests(found, r.system).into_iter();
        let chance = forecast::chance_of_a_test(found, place, r.system);
        return tests.map(|test| capital(&test)).chain([chance]).collect();
    }
    let tested = |(_, tests): &(_, Vec<FloorTest>)| tests.iter().any(|t| t.wanted && t.enough());
    if r.readings.as_ref().is_some_and(tested) {
        return vec!["Keep testing at the same places. Trust this forecast as far as the readings follow it.".into()];
    }
    let early = "Test the floor as its standard says, early enough to see whether it follows this forecast.";
    let likely = own
        .and_then(|o| o.odds.as_ref())
        .and_then(|odds| odds.days(WORTH_TESTING))
        .filter(|_| !r.verdict.on_hold())
        .map(|days| r.comparison.job.date_after(days))
        .filter(|day| *day > r.made)
        .map(|day| {
            format!(
                " From {} on {} of the simulated cases are dry.",
                date(day, r.system),
                percent(WORTH_TESTING)
            )
        });
    vec![format!("{early}{}", likely.unwrap_or_default())]
}

/// Other ways to coat, where nothing that can be approved makes the date.
fn others(r: &Report<'_>) -> Vec<String> {
    if explain::some_action_makes(&r.actions, r.scenario.needed_by) {
        return Vec::new();
    }
    let decisions = &r.comparison.decisions;
    decisions.sentences(r.comparison.job, r.system)
}

/// Where people can come to harm with this setup and this work.
fn safety(r: &Report<'_>) -> Vec<String> {
    let advice = &r.comparison.advice;
    let own = advice.iter().filter(|a| a.caution() && a.setup == r.setup);
    let mut lines: Vec<String> = own.map(|a| a.text.of(r.system).to_owned()).collect();
    if lines.is_empty() && fired(r) {
        lines.push("Burners give off carbon monoxide, which can kill. Vent them outside and use CO monitors, as local codes and the heater's sheet say.".into());
    }
    lines.extend(
        r.sized
            .iter()
            .flat_map(|sized| size::cautions(sized, r.system)),
    );
    lines.extend(
        r.prepared
            .iter()
            .flat_map(|p| p.cautions.iter().map(ToString::to_string)),
    );
    let mut once: Vec<String> = Vec::new();
    for line in lines {
        if !once.contains(&line) {
            once.push(line);
        }
    }
    let left = once.len().saturating_sub(MOST);
    if left > 0 {
        once.truncate(MOST);
        once.push(format!("{} more. See \"Cautions\".", whole(left as f64)));
    }
    once
}
