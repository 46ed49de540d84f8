//! Sentences and tables of a prepared floor.

use super::data::word;
use super::floor::{moment, no_day};
use crate::job::Job;
use crate::preparation::checklist::margin;
use crate::preparation::coating::{self, CoatingDay, NoDay, Odds};
use crate::preparation::survey::Ground;
use crate::preparation::tasks::{Effect, dusty};
use crate::preparation::{Choice, Prepared, SetupDay, materials, takeoff};
use crate::results::{TextTable, left, right};
use crate::scenario::coating_window::CoatingWindow;
use crate::scenario::model::{Dust, Material, Order};
use crate::simulation::DAY;
use crate::units::format::{
    bill, both, counted, date, days, fixed, money_at_least, percent, signed, weekday, whole,
};
use crate::units::{Kind, System};
use std::collections::BTreeMap;

fn area_name(prepared: &Prepared, area: usize) -> String {
    prepared
        .survey
        .areas
        .get(area)
        .map_or_else(String::new, |a| a.name.clone())
}

/// Numbers as "1, 4, 7", the first few of many.
fn numbers(list: &[usize]) -> String {
    const SHOWN: usize = 12;
    let mut text: Vec<String> = list.iter().take(SHOWN).map(usize::to_string).collect();
    if list.len() > SHOWN {
        text.push(format!("and {} more", list.len() - SHOWN));
    }
    text.join(", ")
}

/// The sentence that states the result.
pub(super) fn headline(prepared: &Prepared, job: Option<&Job>) -> String {
    let with = prepared
        .setups
        .first()
        .map(|s| format!(" with the setup \"{}\"", s.run.outcome.name))
        .unwrap_or_default();
    let found = match &prepared.day {
        Ok(day) => format!(
            "{} {}{with}, held by {}",
            weekday(prepared.date(day.day)),
            date(prepared.date(day.day)),
            day.held_by.words()
        ),
        Err(why) => {
            let holds = if prepared.judged.holds.is_empty() {
                ""
            } else {
                " It is on hold besides."
            };
            return format!("No coating day{with}. {}{holds}", no_day(*why));
        }
    };
    let mut text = if prepared.judged.holds.is_empty() {
        format!("First coating day: {found}.")
    } else {
        format!(
            "On hold: {} below must be cleared first. By tasks{} alone the first coating day would be {found}.",
            if prepared.judged.holds.len() == 1 {
                "one matter"
            } else {
                "the matters"
            },
            if prepared.claims_drying() {
                " and drying"
            } else {
                ""
            },
        )
    };
    if prepared.claims_drying() {
        text.push_str(&format!(" {}", odds(prepared)));
    } else {
        text.push_str(" By tasks alone: no drying is claimed.");
    }
    if let (Some(by), Ok(day)) = (job.and_then(|j| j.needed_by), &prepared.day)
        && prepared.date(day.day) > by
    {
        text.push_str(&format!(" Needed by {}, so too late.", date(by)));
    }
    text
}

/// The odds of the day, as a sentence.
fn odds(prepared: &Prepared) -> String {
    let Some(Odds::Spread {
        p10,
        p50,
        p90,
        runs,
        ..
    }) = prepared.odds
    else {
        return "One run of the drying, so no odds.".into();
    };
    let by = |day: Option<i64>| {
        day.map_or("later than looked at".into(), |d| {
            format!("by {}", date(prepared.date(d)))
        })
    };
    format!(
        "Odds by work and drying, from {runs} sampled worlds: one in ten {}, half {}, nine in ten {}.",
        by(p10),
        by(p50),
        by(p90)
    )
}

/// What holds the coating.
pub(super) fn holds(prepared: &Prepared) -> Vec<String> {
    prepared
        .judged
        .holds
        .iter()
        .map(|hold| {
            let found = if hold.findings.is_empty() {
                String::new()
            } else {
                format!(" (finding {})", numbers(&hold.findings))
            };
            format!(
                "HOLD, {}{found}: {}",
                hold.areas.join(", "),
                hold.rule.rule().text
            )
        })
        .collect()
}

/// Every finding.
pub(super) fn findings(prepared: &Prepared, system: System) -> TextTable {
    let columns = [
        right("No"),
        left("Area"),
        left("Finding"),
        left("Measures"),
        left("Note"),
    ];
    let rows = prepared.survey.findings.iter().map(|f| {
        vec![
            f.number.to_string(),
            area_name(prepared, f.area),
            f.what.kind().into(),
            f.what.measures(system),
            f.note.clone().unwrap_or_default(),
        ]
    });
    TextTable::new(columns, rows)
}

/// Findings counted by kind.
pub(super) fn findings_by_kind(prepared: &Prepared) -> TextTable {
    let mut counts: BTreeMap<(usize, &str), usize> = BTreeMap::new();
    for finding in &prepared.survey.findings {
        *counts
            .entry((finding.area, finding.what.kind()))
            .or_default() += 1;
    }
    let rows = counts.into_iter().map(|((area, kind), count)| {
        vec![area_name(prepared, area), kind.into(), count.to_string()]
    });
    TextTable::new([left("Area"), left("Finding"), right("Count")], rows)
}

/// The shopping list.
#[must_use]
pub fn shopping(prepared: &Prepared, system: System) -> TextTable {
    let us = system == System::Us;
    let way = &prepared.way;
    let price = |cost: Option<f64>| cost.map_or("-".into(), bill);
    let lines = way.shopping.iter().map(|line| {
        vec![
            materials::name(line.material).into(),
            takeoff::quantity(line.material, line.need, us),
            percent(line.pack.waste),
            takeoff::quantity(line.material, line.pack.holds, us),
            line.packs.to_string(),
            price(line.cost),
        ]
    });
    let more = |name: &str, need: String, cost: String| {
        let blank = String::new;
        vec![name.to_owned(), need, blank(), blank(), blank(), cost]
    };
    let labour = format!("{} h", fixed(way.labour / 3600.0, 1));
    let sum = bill(way.cost) + if way.cost_incomplete { "+" } else { "" };
    let hire = way.method.filter(|_| way.hire_days > 0).map(|facts| {
        let days = counted(way.hire_days, "day");
        more(&format!("Hire for {}", facts.name), days, price(way.hire))
    });
    let columns = [
        left("To buy"),
        right("Need"),
        right("Waste"),
        right("A pack holds"),
        right("Packs"),
        right("Cost"),
    ];
    let rows = lines
        .chain([more("Labour", labour, price(way.wages))])
        .chain(hire)
        .chain([more("Together", String::new(), sum)]);
    TextTable::new(columns, rows).with_sum()
}

/// The shopping list as CSV: SI quantities, one material a line.
#[must_use]
pub fn shopping_csv(prepared: &Prepared) -> String {
    let mut out = String::from(
        "material,pack,counted_by,need_si,waste_share,pack_holds_si,packs,price_per_pack,cost\n",
    );
    for line in &prepared.way.shopping {
        let price = |m: Option<f64>| m.map_or(String::new(), bill);
        // No name in the table holds a comma or a quote.
        out.push_str(&format!(
            "{},{},{},{:.6},{},{:.6},{},{},{}\n",
            word(&line.material),
            materials::name(line.material),
            line.material.measure().key(),
            line.need,
            line.pack.waste,
            line.pack.holds,
            line.packs,
            price(line.pack.price),
            price(line.cost)
        ));
    }
    out
}

/// Batches of patching mix.
pub(super) fn patching(prepared: &Prepared, system: System) -> TextTable {
    let volume = |v: f64| takeoff::quantity(Material::PatchingMix, v, system == System::Us);
    let areas = prepared.survey.areas.iter().zip(&prepared.way.tasks.passes);
    let rows = areas.flat_map(|(area, passes)| {
        passes.iter().map(move |pass| {
            vec![
                area.name.clone(),
                format!("{} of {}", pass.layer, passes.len()),
                volume(pass.volume),
                pass.batches.to_string(),
                volume(pass.batch),
                // Not a minute more for a rounding.
                format!("{} min", whole((pass.batch_time / 60.0 - 1e-6).ceil())),
            ]
        })
    });
    let columns = [
        left("Patching in"),
        left("Layer"),
        right("Volume"),
        right("Batches"),
        right("One batch"),
        right("Placed in"),
    ];
    TextTable::new(columns, rows)
}

fn day_cell(prepared: &Prepared, day: Option<&Result<CoatingDay, NoDay>>) -> String {
    match day {
        Some(Ok(day)) => date(prepared.date(day.day)),
        Some(Err(_)) => "none".into(),
        None => "-".into(),
    }
}

/// Methods side by side.
#[must_use]
pub fn methods(prepared: &Prepared) -> TextTable {
    let chosen = prepared.way.method.map(|m| m.method);
    let row = |choice: &Choice| {
        let fits = match (
            choice.against.is_empty(),
            chosen == Some(choice.facts.method),
        ) {
            (true, true) => "taken",
            (true, false) => "fits",
            (false, true) => "NO, but named",
            (false, false) => "NO",
        };
        let (from, to) = choice.facts.profile;
        let way = choice.way.as_ref();
        let days = way.map(|w| fixed((w.schedule.ready - prepared.start) / DAY, 1));
        let cost = way.map(|w| money_at_least(w.cost, w.cost_incomplete));
        let drying = choice.added_drying.map(|days| signed(days, 1));
        vec![
            choice.facts.name.into(),
            fits.into(),
            format!("CSP {from} to {to}"),
            choice.facts.dust_words.into(),
            days.unwrap_or("-".into()),
            cost.unwrap_or("-".into()),
            drying.unwrap_or("-".into()),
            day_cell(prepared, choice.day.as_ref()),
        ]
    };
    let columns = [
        left("Method"),
        left("Fits"),
        left("Profile"),
        left("Dust"),
        right("Work and waits, days"),
        right("Cost"),
        right("Drying, days"),
        left("Coating day"),
    ];
    let choices = &prepared.choices;
    let taken = choices.iter().position(|c| chosen == Some(c.facts.method));
    TextTable::new(columns, choices.iter().map(row)).strong(taken)
}

/// The calendar.
pub(super) fn calendar(prepared: &Prepared) -> TextTable {
    let way = &prepared.way;
    let tasks = way.tasks.tasks.iter().zip(&way.schedule.slots).enumerate();
    let rows = tasks.map(|(index, (task, slot))| {
        let (from, start) = moment(prepared, slot.start);
        let (to, end) = moment(prepared, slot.end);
        let step = way.tasks.steps.get(index);
        let waits = step
            .iter()
            .flat_map(|s| &s.after)
            .filter(|(_, wait)| *wait > 0.0);
        let waits =
            waits.map(|(before, wait)| format!("{} + {} h", before + 1, whole(wait / 3600.0)));
        let wets = task.effect.is_some_and(|e| e.wets()).then_some("wets");
        let opens = task.effect.is_some_and(|e| e.opens()).then_some("opens");
        let critical = way.schedule.critical.contains(&index);
        vec![
            (index + 1).to_string(),
            format!("{} {start}", date(from)),
            if to == from {
                end
            } else {
                format!("{} {end}", date(to))
            },
            task.name.clone(),
            area_name(prepared, task.area),
            waits.collect::<Vec<_>>().join(", "),
            wets.into_iter().chain(opens).collect::<Vec<_>>().join(", "),
            if critical { "*" } else { "" }.into(),
        ]
    });
    let columns = [
        right("No"),
        left("Start"),
        left("End"),
        left("Task"),
        left("Area"),
        left("Waits for"),
        left("Slab"),
        left("Rules"),
    ];
    TextTable::new(columns, rows)
}

/// Setups with their coating days; none where no drying is claimed.
pub(super) fn setups(prepared: &Prepared) -> TextTable {
    let row = |s: &SetupDay| {
        let outcome = &s.run.outcome;
        let never = if outcome.computed() {
            "never"
        } else {
            "not computed"
        };
        let dry = s.dry_from().map(|t| {
            let (day, clock) = moment(prepared, t);
            format!("{} {clock}", date(day))
        });
        let day = s.day.as_ref().ok();
        let margin = day.and_then(|d| d.conditions).map(|c| fixed(c.margin, 1));
        vec![
            outcome.name.clone(),
            dry.unwrap_or(never.into()),
            day_cell(prepared, Some(&s.day)),
            day.map_or("-", |d| d.held_by.words()).into(),
            margin.unwrap_or("-".into()),
        ]
    };
    let columns = [
        left("Setup"),
        left("Dry from"),
        left("Coating day"),
        left("Held by"),
        right("Over dew point, K"),
    ];
    let strong = prepared.day.is_ok().then_some(0);
    TextTable::new(columns, prepared.setups.iter().map(row)).strong(strong)
}

/// What the coating asks of its day, as taken.
fn limits(window: &CoatingWindow) -> String {
    let degrees = |celsius: f64| both(Kind::Temperature, celsius, (0, 0));
    let hours = |seconds: f64| whole(seconds / 3600.0);
    format!(
        "Limits taken for the working hours of the coating day and {} h of cure: face {} above the dew point [{}], face and air {} to {} [{}], air up to {} [{}]; {} h free of water [{}]; concrete {} old [{}]. Put the product's into \"coating\".",
        hours(window.cure_time.value),
        margin(window),
        window.dew_point_margin.source,
        degrees(window.lowest_temperature.value),
        degrees(window.highest_temperature.value),
        window.temperature_source(),
        percent(window.highest_relative_humidity.value),
        window.highest_relative_humidity.source,
        hours(window.dry_time_after_wetting.value),
        window.dry_time_after_wetting.source,
        days(window.concrete_age.value / DAY),
        window.concrete_age.source,
    )
}

/// What the other order of washing and opening the face would come to.
fn other_order(prepared: &Prepared) -> Option<String> {
    let other = prepared.other.as_ref()?;
    let word = |order: Order| match order {
        Order::WashFirst => "washing first",
        Order::WashLast => "washing last",
    };
    let (taken, order) = (word(prepared.way.order), word(other.order));
    let on = |day: &CoatingDay| date(prepared.date(day.day));
    let told = match (&prepared.day, &other.day) {
        (Ok(day), Ok(other_day)) if other_day.day != day.day => {
            let moved = other_day.day - day.day;
            format!(
                "Order: {taken} as planned; {order} would move the coating day from {} to {}, {} {}.",
                on(day),
                on(other_day),
                counted(moved.abs(), "day"),
                if moved > 0 { "later" } else { "sooner" }
            )
        }
        (Ok(_), Ok(_)) => format!("Order: {order} would lead to the same coating day."),
        (_, Err(why)) => format!("Order: {order} leads to no coating day. {}", no_day(*why)),
        (Err(_), Ok(day)) => format!("Order: {order} would lead to {}.", on(day)),
    };
    let cost = match signed(other.cost - prepared.way.cost, 0).as_str() {
        "0" => "It costs the same.".to_owned(),
        more => format!("It costs {more}."),
    };
    Some(format!("{told} {cost}"))
}

/// What is to be said about method, order and drying.
#[must_use]
pub fn notes(prepared: &Prepared) -> Vec<String> {
    let mut notes = Vec::new();
    for choice in prepared.choices.iter().filter(|c| !c.against.is_empty()) {
        notes.push(format!(
            "Not {}: {}",
            choice.facts.name,
            choice.against.join(" ")
        ));
    }
    let with = prepared.choices.iter().filter_map(|c| {
        let name = c.setup.as_ref()?;
        Some(format!("{} \"{name}\"", c.facts.name))
    });
    let with: Vec<String> = with.collect();
    if with.len() > 1 && prepared.setups.len() > 1 {
        notes.push(format!(
            "Methods are compared each with the setup that is best for it: {}.",
            with.join(", ")
        ));
    }
    if prepared.way.method.is_none() && prepared.survey.concrete() > 0.0 {
        notes.push("No method fits what is wanted and what the site allows: the calendar has no profile in it. Change walk.wanted_profile or walk.site, or name a method.".into());
    }
    notes.extend(other_order(prepared));
    if prepared.claims_drying() {
        notes.push(limits(&prepared.window));
    }
    if let Ok(day) = &prepared.day
        && !day.passed_over.is_empty()
    {
        let reasons: Vec<String> = coating::reasons(&day.passed_over)
            .into_iter()
            .map(|(against, count)| format!("{count} for {}", against.words()))
            .collect();
        notes.push(format!("Working days passed over: {}.", reasons.join(", ")));
    }
    let dust_allowed = prepared.dust_allowed != Dust::None;
    if !dust_allowed && prepared.way.tasks.tasks.iter().any(|task| dusty(task.work)) {
        notes.push("No dust is allowed here, but patches are squared and spots ground by hand, which makes some: work wet, or with shroud and vacuum after asking, or leave them out.".into());
    }
    if prepared
        .survey
        .areas
        .iter()
        .any(|a| a.ground != Ground::Concrete)
    {
        notes.push("Wood and metal: tasks alone, no drying is claimed for them. Check moisture content and dew point on the day.".into());
    }
    let spots = prepared
        .way
        .tasks
        .tasks
        .iter()
        .any(|t| t.effect == Some(Effect::WetsSpots));
    if spots && prepared.claims_drying() {
        notes.push("Stains and stripped parts are wetted in spots: that is not in the simulated slab. Make one moisture test there.".into());
    }
    for setup in &prepared.setups {
        if let (Some(never), true) = (
            &setup.run.outcome.never,
            setup.day != Err(NoDay::WorkBeyond),
        ) {
            notes.push(format!("{}: {}", setup.run.outcome.name, never.sentence()));
        }
    }
    if prepared.way.cost_incomplete {
        notes.push(
            "Some prices are not given; the cost counts only those that are (walk.materials, walk.labour, walk.hire).".into(),
        );
    }
    notes
}

/// The rules that were used.
pub(super) fn rules(prepared: &Prepared) -> Vec<String> {
    prepared
        .judged
        .rules
        .iter()
        .map(|(id, findings)| {
            let rule = id.rule();
            let used = if findings.is_empty() {
                String::new()
            } else {
                format!(" Findings {}.", numbers(findings))
            };
            format!("{}{used} [{}]", rule.text, rule.source)
        })
        .collect()
}

/// The ready-to-coat checklist.
pub(super) fn checklist(prepared: &Prepared) -> TextTable {
    let rows = prepared
        .checklist
        .iter()
        .map(|c| vec![format!("[ ] {}", c.what), c.how.clone(), c.source.into()]);
    TextTable::new(["Ready to coat?", "How to check", "Source"].map(left), rows)
}
