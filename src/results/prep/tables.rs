//! Sentences and tables of a prepared floor.

use super::data::word;
use super::floor::moment;
use crate::evaluate::NotComputed;
use crate::preparation::calendar::Slot;
use crate::preparation::checklist::{Check, margin};
use crate::preparation::coating::{self, CoatingDay, NoDay};
use crate::preparation::repairs::{Lifted, numbers};
use crate::preparation::survey::{Area, Ground, Numbered};
use crate::preparation::takeoff::{Line, Pass};
use crate::preparation::tasks::{Effect, Task, dusty};
use crate::preparation::{Choice, Prepared, SetupDay, Way, materials, takeoff};
use crate::results::{Columns, TextTable, or_dash};
use crate::scenario::coating_window::CoatingWindow;
use crate::scenario::model::{Dust, Material, Order};
use crate::units::DAY;
use crate::units::System;
use crate::units::format::{
    self, Currency, clock, counted, date, days, fixed, hours, moved_by, percent, plus_or_minus,
    short_date, whole,
};
use std::collections::BTreeMap;

fn area_name(prepared: &Prepared, area: usize) -> String {
    prepared
        .survey
        .areas
        .get(area)
        .map_or_else(String::new, |a| a.name.clone())
}

/// Holds that were lifted, and by whom.
pub(super) fn lifted(prepared: &Prepared, system: System) -> Vec<String> {
    let line = |lifted: &Lifted| {
        let note = lifted.note.as_ref().map(|note| format!(" {note}"));
        format!(
            "Lifted, {}: {}, by {} on {}.{}",
            lifted.place(),
            lifted.rule.hold(),
            lifted.by,
            date(lifted.on, system),
            note.unwrap_or_default()
        )
    };
    prepared.judged.lifted.iter().map(line).collect()
}

/// Every finding.
pub(super) fn findings(prepared: &Prepared, system: System) -> TextTable {
    Columns::new()
        .right("No", |f: &&Numbered| f.number.to_string())
        .left("Area", |f| area_name(prepared, f.area))
        .left("Finding", |f| f.what.kind().into())
        .left("Measures", |f| f.what.measures(system))
        .left("Note", |f| f.note.clone().unwrap_or_default())
        .rank(3)
        .rows(&prepared.survey.findings)
}

/// Findings counted by kind.
pub(super) fn findings_by_kind(prepared: &Prepared) -> TextTable {
    let mut counts: BTreeMap<(usize, &str), usize> = BTreeMap::new();
    for finding in &prepared.survey.findings {
        *counts
            .entry((finding.area, finding.what.kind()))
            .or_default() += 1;
    }
    Columns::new()
        .left("Area", |((area, _), _): &((usize, &str), usize)| {
            area_name(prepared, *area)
        })
        .left("Finding", |((_, kind), _)| (*kind).to_owned())
        .right("Count", |(_, count)| count.to_string())
        .rows(counts)
}

/// The shopping list.
#[must_use]
pub fn shopping(prepared: &Prepared, currency: Currency, system: System) -> TextTable {
    let way = &prepared.way;
    let quantity = |line: &Line, amount: f64| takeoff::quantity(line.material, amount, system);
    let price = |cost: Option<f64>| or_dash(cost.map(|cost| currency.bill(cost)));
    let mut table = Columns::new()
        .left("To buy", |line: &&Line| {
            materials::name(line.material).into()
        })
        .right("Need", |line| quantity(line, line.need))
        .right("Waste", |line| percent(line.pack.waste))
        .rank(3)
        .right("A pack holds", |line| quantity(line, line.pack.holds))
        .rank(2)
        .right("Packs", |line| line.packs.to_string())
        .right("Cost", |line| price(line.cost))
        .rows(&way.shopping);
    let mut more = |name: String, need: String, cost: String| {
        let blank = String::new;
        table
            .rows
            .push(vec![name, need, blank(), blank(), blank(), cost]);
    };
    let labour = format::fine_hours(way.labour);
    more("Labor".into(), labour, price(way.wages));
    if let Some(facts) = way.method.filter(|_| way.hire_days > 0) {
        let days = counted(way.hire_days, "day");
        more(format!("Rental for {}", facts.name), days, price(way.hire));
    }
    let sum = currency.bill(way.cost) + if way.cost_incomplete { "+" } else { "" };
    more("Total".into(), String::new(), sum);
    table.with_sum()
}

/// The shopping list as CSV: SI quantities, one material a line.
#[must_use]
pub fn shopping_csv(prepared: &Prepared) -> String {
    let mut out = String::from(
        "material,pack,counted_by,need_si,waste_share,pack_holds_si,packs,price_per_pack,cost\n",
    );
    for line in &prepared.way.shopping {
        let price = |m: Option<f64>| m.map_or(String::new(), |m| format!("{m:.2}"));
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
    let volume = |v: f64| takeoff::quantity(Material::PatchingMix, v, system);
    // Not a minute more for a rounding.
    let minutes = |pass: &Pass| whole((pass.batch_time / crate::units::MINUTE - 1e-6).ceil());
    let areas = prepared.survey.areas.iter().zip(&prepared.way.tasks.passes);
    let passes = areas.flat_map(|(area, passes)| {
        let of = passes.len();
        passes.iter().map(move |pass| (area, pass, of))
    });
    Columns::new()
        .left("Patching in", |(area, ..): &(&Area, &Pass, usize)| {
            area.name.clone()
        })
        .left("Layer", |(_, pass, of)| format!("{} of {of}", pass.layer))
        .right("Volume", |(_, pass, _)| volume(pass.volume))
        .right("Batches", |(_, pass, _)| pass.batches.to_string())
        .right("One batch", |(_, pass, _)| volume(pass.batch))
        .right("Placed in", |(_, pass, _)| {
            format::with_unit(&minutes(pass), "min")
        })
        .rows(passes)
}

fn day_cell(
    prepared: &Prepared,
    day: Option<&Result<CoatingDay, NoDay>>,
    system: System,
) -> String {
    match day {
        Some(Ok(day)) => short_date(prepared.date(day.day), system),
        Some(Err(_)) => "none".into(),
        None => "-".into(),
    }
}

/// Methods side by side.
#[must_use]
pub fn methods(prepared: &Prepared, currency: Currency, system: System) -> TextTable {
    let chosen = prepared.way.method.map(|m| m.method);
    let is_taken = |choice: &Choice| chosen == Some(choice.facts.method);
    let fits = |choice: &Choice| match (choice.against.is_empty(), is_taken(choice)) {
        (true, true) => "chosen",
        (true, false) => "fits",
        (false, true) => "NO, but chosen",
        (false, false) => "NO",
    };
    let profile = |(from, to): (u32, u32)| format!("CSP {from} to {to}");
    let days = |way: &Way| fixed((way.schedule.ready - prepared.start) / DAY, 1);
    let cost = |way: &Way| currency.money_at_least(way.cost, way.cost_incomplete);
    let table = Columns::new()
        .left("Method", |c: &&Choice| c.facts.name.into())
        .left("Fits", |c| fits(c).into())
        .left("Profile", |c| profile(c.facts.profile))
        .rank(4)
        .left("Dust", |c| c.facts.dust_words.into())
        .rank(4)
        .right("Work and waits, days", |c| {
            or_dash(c.way.as_ref().map(days))
        })
        .rank(2)
        .right("Cost", |c| or_dash(c.way.as_ref().map(cost)))
        .right("Moves drying, days", |c| {
            or_dash(c.added_drying.map(plus_or_minus))
        })
        .rank(3)
        .left("Coat on, one run", |c| {
            day_cell(prepared, c.day.as_ref(), system)
        })
        .rows(&prepared.choices);
    table.strong(prepared.choices.iter().position(is_taken))
}

/// The calendar.
pub(super) fn calendar(prepared: &Prepared, system: System) -> TextTable {
    let way = &prepared.way;
    let at = |time: f64| {
        let moment = format::to_five_minutes(moment(prepared, time));
        let day = format::day_and_month(moment.date(), system);
        (day, clock(moment, system))
    };
    let start = |slot: &Slot| {
        let (day, clock) = at(slot.start);
        format!("{day}, {clock}")
    };
    let end = |slot: &Slot| match (at(slot.start), at(slot.end)) {
        ((from, _), (to, clock)) if from == to => clock,
        (_, (to, clock)) => format!("{to}, {clock}"),
    };
    let waits = |index: usize| {
        let step = way.tasks.steps.get(index);
        let waits = step
            .iter()
            .flat_map(|s| &s.after)
            .filter(|(_, wait)| *wait > 0.0);
        let told = |(before, wait): &(usize, f64)| {
            format!("{} after {}", hours(wait / crate::units::HOUR), before + 1)
        };
        waits.map(told).collect::<Vec<_>>().join(", ")
    };
    let slab = |task: &Task| match task.effect.map(|e| (e.wets(), e.opens())) {
        Some((true, true)) => "wets, opens",
        Some((true, false)) => "wets",
        Some((false, true)) => "opens",
        _ => "",
    };
    let critical = |index: &usize| way.schedule.critical.contains(index);
    let done = |index: usize| {
        let step = way.tasks.steps.get(index);
        step.is_some_and(|step| step.finished.is_some())
    };
    let tasks = way.tasks.tasks.iter().zip(&way.schedule.slots).enumerate();
    let table = Columns::new()
        .right("No", |(i, _): &(usize, (&Task, &Slot))| (i + 1).to_string())
        .left("Start", |(_, (_, slot))| start(slot))
        .left("End", |(_, (_, slot))| end(slot))
        .left("Task", |(_, (task, _))| task.name.clone())
        .left("Area", |(_, (task, _))| area_name(prepared, task.area))
        .left("Waits for", |(i, _)| waits(*i))
        .rank(3)
        .left("Slab", |(_, (task, _))| slab(task).into())
        .rank(4)
        .left("Sets the finish", |(i, _)| {
            if critical(i) { "*" } else { "" }.into()
        })
        .rank(2);
    if !way.tasks.steps.iter().any(|step| step.finished.is_some()) {
        return table.rows(tasks);
    }
    table
        .left("Done", |(i, _)| if done(*i) { "done" } else { "" }.into())
        .rows(tasks)
}

/// Setups with their coating days; none where no drying is claimed.
pub(super) fn setups(prepared: &Prepared, system: System) -> TextTable {
    type Row<'a> = Result<&'a SetupDay, &'a NotComputed>;
    let dry_from = |s: &SetupDay| {
        s.dry_from().map_or("not dry".into(), |t| {
            format::moment(moment(prepared, t), system)
        })
    };
    let day = |row: &Row<'_>| row.ok()?.day.as_ref().ok().cloned();
    Columns::new()
        .left("Setup", |row: &Row<'_>| {
            let name = row.map_or_else(|gave_up| &gave_up.setup, |s| &s.run.outcome.name);
            name.clone()
        })
        .left("Dry from", |row| {
            row.map_or("not computed".into(), dry_from)
        })
        .left("Coat on, one run", |row| {
            day_cell(prepared, row.ok().map(|s| &s.day), system)
        })
        .left("Sets the date", |row| {
            day(row).map_or("-", |d| d.held_by.words()).into()
        })
        .right("Above dew point", |row| {
            let conditions = day(row).and_then(|d| d.conditions);
            or_dash(conditions.map(|c| format::warmer_by(c.margin, system)))
        })
        .rank(3)
        .rows(prepared.all())
        .strong(prepared.day.is_ok().then_some(0))
}

/// What the coating asks of its day, one sentence for each limit.
fn limits(window: &CoatingWindow, system: System) -> Vec<String> {
    let degrees = |celsius: f64| format::temperature(celsius, system);
    let hours = |seconds: f64| hours(seconds / crate::units::HOUR);
    vec![
        format!(
            "Assumed for the coating day and {} of cure. Put your product's limits under \"coating\".",
            hours(window.cure_time.value)
        ),
        format!(
            "Surface at least {} above the dew point ({}).",
            margin(window, system),
            window.dew_point_margin.source
        ),
        format!(
            "Surface and air at {} to {} ({}).",
            degrees(window.lowest_temperature.value),
            degrees(window.highest_temperature.value),
            window.temperature_source()
        ),
        format!(
            "Air at {} or less ({}).",
            percent(window.highest_relative_humidity.value),
            window.highest_relative_humidity.source
        ),
        format!(
            "No water for {} before ({}).",
            hours(window.dry_time_after_wetting.value),
            window.dry_time_after_wetting.source
        ),
        format!(
            "Concrete {} old or more ({}).",
            days(window.concrete_age.value / DAY),
            window.concrete_age.source
        ),
    ]
}

/// What the other order of washing and opening the face would come to.
fn other_order(prepared: &Prepared, currency: Currency, system: System) -> Option<String> {
    let other = prepared.other.as_ref()?;
    let word = |order: Order| match order {
        Order::WashFirst => "washing first",
        Order::WashLast => "washing last",
    };
    let (taken, order) = (word(prepared.way.order), word(other.order));
    let on = |day: &CoatingDay| date(prepared.date(day.day), system);
    let told = match (&prepared.day, &other.day) {
        (Ok(day), Ok(other_day)) if other_day.day != day.day => {
            let moved = other_day.day - day.day;
            format!(
                "Order: {taken}, as planned. With {order} the coating day moves from {} to {}, {}.",
                on(day),
                on(other_day),
                moved_by(moved as f64)
            )
        }
        (Ok(_), Ok(_)) => format!("Order: {order} gives the same coating day."),
        (_, Err(why)) => format!("Order: {order} gives no coating day. {}", why.words()),
        (Err(_), Ok(day)) => format!("Order: {order} gives {}.", on(day)),
    };
    let more = other.cost - prepared.way.cost;
    let cost = match currency.signed_money(more).as_str() {
        "0" => "It costs the same.".to_owned(),
        _ if more < 0.0 => format!("It saves {}.", currency.money(-more)),
        _ => format!("It costs {} more.", currency.money(more)),
    };
    Some(format!("{told} {cost}"))
}

/// What is to be said about method, order and drying.
#[must_use]
pub fn notes(prepared: &Prepared, currency: Currency, system: System) -> Vec<String> {
    let mut notes = Vec::new();
    for choice in prepared.choices.iter().filter(|c| !c.against.is_empty()) {
        notes.push(format!(
            "{} does not fit: {}",
            format::capital(choice.facts.name),
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
            "Each method is compared with the setup that is best for it: {}.",
            with.join(", ")
        ));
    }
    if prepared.way.method.is_none() && prepared.survey.concrete() > 0.0 {
        notes.push("No method gives the wanted profile and keeps within what the site allows, so the calendar leaves the profile out. Change walk.wanted_profile or walk.site, or name a method.".into());
    }
    notes.extend(other_order(prepared, currency, system));
    if prepared.claims_drying() {
        notes.extend(limits(&prepared.window, system));
    }
    if let Ok(day) = &prepared.day
        && !day.passed_over.is_empty()
    {
        let reasons: Vec<String> = coating::reasons(&day.passed_over)
            .into_iter()
            .map(|(against, count)| format!("{count} for {}", against.words()))
            .collect();
        notes.push(format!("Working days skipped: {}.", reasons.join(", ")));
    }
    let dust_allowed = prepared.dust_allowed != Dust::None;
    if !dust_allowed && prepared.way.tasks.tasks.iter().any(|task| dusty(task.work)) {
        notes.push("No dust is allowed here, but squaring patches and grinding spots by hand makes some. Work wet, or ask first and use shroud and vacuum, or leave them out.".into());
    }
    if prepared
        .survey
        .areas
        .iter()
        .any(|a| a.ground != Ground::Concrete)
    {
        notes.push("Wood and metal: only the tasks are planned, no drying is computed. Check moisture content and dew point on the day.".into());
    }
    let spots = prepared
        .way
        .tasks
        .tasks
        .iter()
        .any(|t| t.effect == Some(Effect::WetsSpots));
    if spots && prepared.claims_drying() {
        notes.push("Cleaning and stripping wet the slab in spots. The simulation leaves that out. Make one moisture test there.".into());
    }
    for setup in &prepared.setups {
        if let (Some(reason), true) = (
            &setup.run.outcome.not_dry,
            setup.day != Err(NoDay::WorkBeyond),
        ) {
            notes.push(format!("{}: {}", setup.run.outcome.name, reason.sentence()));
        }
    }
    for gave_up in &prepared.not_computed {
        notes.push(format!("{}: {}", gave_up.setup, gave_up.sentence()));
    }
    if prepared.way.cost_incomplete {
        notes.push(
            "Some prices are not given, and the cost leaves them out. Give them under walk.materials, walk.labour and walk.hire.".into(),
        );
    }
    notes
}

/// The rules that were used.
pub(super) fn rules(prepared: &Prepared, system: System) -> Vec<String> {
    prepared
        .judged
        .rules
        .iter()
        .map(|(id, findings)| {
            let rule = id.rule();
            let used = if findings.is_empty() {
                String::new()
            } else {
                let word = if findings.len() == 1 {
                    "Finding"
                } else {
                    "Findings"
                };
                format!(" {word} {}.", numbers(findings))
            };
            format!("{}{used} [{}]", rule.said().of(system), rule.source)
        })
        .collect()
}

/// The ready-to-coat checklist.
pub(super) fn checklist(prepared: &Prepared, system: System) -> TextTable {
    Columns::new()
        .left("Ready to coat?", |c: &&Check| format!("[ ] {}", c.what))
        .left("How to check", move |c| c.how.of(system).to_owned())
        .left("Source", |c| c.source.into())
        .rank(3)
        .rows(&prepared.checklist)
}
