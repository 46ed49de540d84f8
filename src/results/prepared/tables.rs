//! Tables and sentences for the terminal.

use std::collections::BTreeMap;

use super::{moment, no_day};
use crate::job::Job;
use crate::preparation::checklist::margin;
use crate::preparation::coating::{self, CoatingDay, NoDay, Odds};
use crate::preparation::survey::Ground;
use crate::preparation::{Prepared, materials, takeoff};
use crate::results::{Side, TextTable};
use crate::scenario::coating_window::CoatingWindow;
use crate::scenario::model::{Dust, Order};
use crate::units::System;
use crate::units::{DAY, HOUR};

fn columns(heads: &[(&str, Side)]) -> Vec<(String, Side)> {
    heads.iter().map(|(h, s)| ((*h).into(), *s)).collect()
}

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
#[must_use]
pub fn headline(prepared: &Prepared, job: Option<&Job>) -> String {
    let with = prepared
        .setups
        .first()
        .map(|s| format!(" with the setup \"{}\"", s.run.outcome.name))
        .unwrap_or_default();
    let weekday = |day: i64| prepared.date(day).strftime("%a").to_string();
    let found = match &prepared.day {
        Ok(day) => format!(
            "{} {}{with}, held by {}",
            weekday(day.day),
            prepared.date(day.day),
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
        text.push_str(&format!(" Needed by {by}, so too late."));
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
            format!("by {}", prepared.date(d))
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
#[must_use]
pub fn holds(prepared: &Prepared) -> Vec<String> {
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
#[must_use]
pub fn findings(prepared: &Prepared, system: System) -> TextTable {
    TextTable {
        columns: columns(&[
            ("No", Side::Right),
            ("Area", Side::Left),
            ("Finding", Side::Left),
            ("Measures", Side::Left),
            ("Note", Side::Left),
        ]),
        rows: prepared
            .survey
            .findings
            .iter()
            .map(|f| {
                vec![
                    f.number.to_string(),
                    area_name(prepared, f.area),
                    f.what.kind().into(),
                    f.what.measures(system),
                    f.note.clone().unwrap_or_default(),
                ]
            })
            .collect(),
        strong_row: None,
    }
}

/// Findings counted by kind.
#[must_use]
pub fn findings_by_kind(prepared: &Prepared) -> TextTable {
    let mut counts: BTreeMap<(usize, &str), usize> = BTreeMap::new();
    for finding in &prepared.survey.findings {
        *counts
            .entry((finding.area, finding.what.kind()))
            .or_default() += 1;
    }
    TextTable {
        columns: columns(&[
            ("Area", Side::Left),
            ("Finding", Side::Left),
            ("Count", Side::Right),
        ]),
        rows: counts
            .into_iter()
            .map(|((area, kind), count)| {
                vec![area_name(prepared, area), kind.into(), count.to_string()]
            })
            .collect(),
        strong_row: None,
    }
}

/// The shopping list.
#[must_use]
pub fn shopping(prepared: &Prepared, system: System) -> TextTable {
    let us = system == System::Us;
    let way = &prepared.way;
    let mut rows: Vec<Vec<String>> = way
        .shopping
        .iter()
        .map(|line| {
            vec![
                materials::name(line.material).into(),
                takeoff::quantity(line.material, line.need, us),
                format!("{:.0} %", line.pack.waste * 100.0),
                takeoff::quantity(line.material, line.pack.holds, us),
                line.packs.to_string(),
                line.cost.map_or("-".into(), |cost| format!("{cost:.2}")),
            ]
        })
        .collect();
    let more = |name: String, need: String, cost: String| {
        let blank = String::new;
        vec![name, need, blank(), blank(), blank(), cost]
    };
    let money = |cost: Option<f64>| cost.map_or("-".into(), |cost| format!("{cost:.2}"));
    rows.push(more(
        "Labour".into(),
        format!("{:.1} h", way.labour / HOUR),
        money(way.wages),
    ));
    if let Some(facts) = way.method.filter(|_| way.hire_days > 0) {
        rows.push(more(
            format!("Hire for {}", facts.name),
            match way.hire_days {
                1 => "1 day".into(),
                days => format!("{days} days"),
            },
            money(way.hire),
        ));
    }
    rows.push(more(
        "Together".into(),
        String::new(),
        format!(
            "{:.2}{}",
            way.cost,
            if way.cost_incomplete { "+" } else { "" }
        ),
    ));
    TextTable {
        columns: columns(&[
            ("To buy", Side::Left),
            ("Need", Side::Right),
            ("Waste", Side::Right),
            ("A pack holds", Side::Right),
            ("Packs", Side::Right),
            ("Cost", Side::Right),
        ]),
        strong_row: Some(rows.len() - 1),
        rows,
    }
}

/// The shopping list as CSV: SI quantities, one material a line.
#[must_use]
pub fn shopping_csv(prepared: &Prepared) -> String {
    let mut out = String::from(
        "material,pack,counted_by,need_si,waste_share,pack_holds_si,packs,price_per_pack,cost\n",
    );
    for line in &prepared.way.shopping {
        let word = serde_json::to_value(line.material)
            .ok()
            .and_then(|v| v.as_str().map(str::to_owned))
            .unwrap_or_default();
        let money = |m: Option<f64>| m.map_or(String::new(), |m| format!("{m:.2}"));
        // No name in the table holds a comma or a quote.
        out.push_str(&format!(
            "{word},{},{},{:.6},{},{:.6},{},{},{}\n",
            materials::name(line.material),
            line.material.measure().key(),
            line.need,
            line.pack.waste,
            line.pack.holds,
            line.packs,
            money(line.pack.price),
            money(line.cost)
        ));
    }
    out
}

/// Batches of patching mix.
#[must_use]
pub fn patching(prepared: &Prepared, system: System) -> TextTable {
    let us = system == System::Us;
    let rows = prepared
        .survey
        .areas
        .iter()
        .zip(&prepared.way.tasks.passes)
        .flat_map(|(area, passes)| {
            passes.iter().map(move |pass| {
                let volume = |v: f64| {
                    takeoff::quantity(crate::scenario::model::Material::PatchingMix, v, us)
                };
                vec![
                    area.name.clone(),
                    format!("{} of {}", pass.layer, passes.len()),
                    volume(pass.volume),
                    pass.batches.to_string(),
                    volume(pass.batch),
                    // Not a minute more for a rounding.
                    format!("{:.0} min", (pass.batch_time / 60.0 - 1e-6).ceil()),
                ]
            })
        })
        .collect();
    TextTable {
        columns: columns(&[
            ("Patching in", Side::Left),
            ("Layer", Side::Left),
            ("Volume", Side::Right),
            ("Batches", Side::Right),
            ("One batch", Side::Right),
            ("Placed in", Side::Right),
        ]),
        rows,
        strong_row: None,
    }
}

fn day_cell(prepared: &Prepared, day: Option<&Result<CoatingDay, NoDay>>) -> String {
    match day {
        Some(Ok(day)) => prepared.date(day.day).to_string(),
        Some(Err(_)) => "none".into(),
        None => "-".into(),
    }
}

/// Methods side by side.
#[must_use]
pub fn methods(prepared: &Prepared) -> TextTable {
    let chosen = prepared.way.method.map(|m| m.method);
    let rows: Vec<Vec<String>> = prepared
        .choices
        .iter()
        .map(|choice| {
            let is_chosen = chosen == Some(choice.facts.method);
            let fits = match (choice.against.is_empty(), is_chosen) {
                (true, true) => "taken",
                (true, false) => "fits",
                (false, true) => "NO, but named",
                (false, false) => "NO",
            };
            vec![
                choice.facts.name.into(),
                fits.into(),
                format!(
                    "CSP {} to {}",
                    choice.facts.profile.0, choice.facts.profile.1
                ),
                choice.facts.dust_words.into(),
                choice.way.as_ref().map_or("-".into(), |w| {
                    format!("{:.1}", (w.schedule.ready - prepared.start) / DAY)
                }),
                choice.way.as_ref().map_or("-".into(), |w| {
                    format!("{:.0}{}", w.cost, if w.cost_incomplete { "+" } else { "" })
                }),
                choice
                    .added_drying
                    // Rounded first, so that there is no minus zero.
                    .map_or("-".into(), |days| {
                        format!("{:+.1}", (10.0 * days).round() / 10.0 + 0.0)
                    }),
                day_cell(prepared, choice.day.as_ref()),
            ]
        })
        .collect();
    TextTable {
        columns: columns(&[
            ("Method", Side::Left),
            ("Fits", Side::Left),
            ("Profile", Side::Left),
            ("Dust", Side::Left),
            ("Work and waits, days", Side::Right),
            ("Cost", Side::Right),
            ("Drying, days", Side::Right),
            ("Coating day", Side::Left),
        ]),
        strong_row: prepared
            .choices
            .iter()
            .position(|c| chosen == Some(c.facts.method)),
        rows,
    }
}

/// The calendar.
#[must_use]
pub fn calendar(prepared: &Prepared) -> TextTable {
    let way = &prepared.way;
    let rows = way
        .tasks
        .tasks
        .iter()
        .zip(&way.schedule.slots)
        .enumerate()
        .map(|(index, (task, slot))| {
            let step = way.tasks.steps.get(index);
            let (from, start) = moment(prepared, slot.start);
            let (to, end) = moment(prepared, slot.end);
            let waits: Vec<String> = step
                .iter()
                .flat_map(|s| &s.after)
                .filter(|(_, wait)| *wait > 0.0)
                .map(|(before, wait)| format!("{} + {:.0} h", before + 1, wait / HOUR))
                .collect();
            let mut slab = Vec::new();
            if task.effect.is_some_and(|e| e.wets()) {
                slab.push("wets");
            }
            if task.effect.is_some_and(|e| e.opens()) {
                slab.push("opens");
            }
            vec![
                (index + 1).to_string(),
                format!("{from} {start}"),
                if to == from {
                    end
                } else {
                    format!("{to} {end}")
                },
                task.name.clone(),
                area_name(prepared, task.area),
                waits.join(", "),
                slab.join(", "),
                if way.schedule.critical.contains(&index) {
                    "*".into()
                } else {
                    String::new()
                },
            ]
        })
        .collect();
    TextTable {
        columns: columns(&[
            ("No", Side::Right),
            ("Start", Side::Left),
            ("End", Side::Left),
            ("Task", Side::Left),
            ("Area", Side::Left),
            ("Waits for", Side::Left),
            ("Slab", Side::Left),
            ("Rules", Side::Left),
        ]),
        rows,
        strong_row: None,
    }
}

/// Setups with their coating days.
#[must_use]
pub fn setups(prepared: &Prepared) -> TextTable {
    TextTable {
        columns: columns(&[
            ("Setup", Side::Left),
            ("Dry from", Side::Left),
            ("Coating day", Side::Left),
            ("Held by", Side::Left),
            ("Over dew point, K", Side::Right),
        ]),
        rows: prepared
            .setups
            .iter()
            .map(|s| {
                vec![
                    s.run.outcome.name.clone(),
                    s.dry_from().map_or_else(
                        || {
                            if s.run.outcome.computed() {
                                "never"
                            } else {
                                "not computed"
                            }
                            .into()
                        },
                        |t| {
                            let (date, clock) = moment(prepared, t);
                            format!("{date} {clock}")
                        },
                    ),
                    day_cell(prepared, Some(&s.day)),
                    s.day
                        .as_ref()
                        .map_or("-".into(), |d| d.held_by.words().into()),
                    s.day
                        .as_ref()
                        .ok()
                        .and_then(|d| d.conditions)
                        .map_or("-".into(), |c| format!("{:.1}", c.margin)),
                ]
            })
            .collect(),
        strong_row: prepared.day.is_ok().then_some(0),
    }
}

/// What the coating asks of its day, as taken.
fn limits(window: &CoatingWindow) -> String {
    let degrees = |celsius: f64| {
        format!(
            "{celsius:.0} degC ({:.0} degF)",
            crate::units::fahrenheit(celsius)
        )
    };
    format!(
        "Limits taken for the working hours of the coating day and {:.0} h of cure: face {} above the dew point [{}], face and air {} to {} [{}], air up to {:.0} % [{}]; {:.0} h free of water [{}]; concrete {:.0} days old [{}]. Put the product's into \"coating\".",
        window.cure_time.value / HOUR,
        margin(window),
        window.dew_point_margin.source,
        degrees(window.lowest_temperature.value),
        degrees(window.highest_temperature.value),
        window.temperature_source(),
        100.0 * window.highest_relative_humidity.value,
        window.highest_relative_humidity.source,
        window.dry_time_after_wetting.value / HOUR,
        window.dry_time_after_wetting.source,
        window.concrete_age.value / DAY,
        window.concrete_age.source,
    )
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
    if let Some(other) = &prepared.other {
        let word = |order: Order| match order {
            Order::WashFirst => "washing first",
            Order::WashLast => "washing last",
        };
        let told = match (&prepared.day, &other.day) {
            (Ok(day), Ok(other_day)) if other_day.day != day.day => {
                let days = other_day.day - day.day;
                format!(
                    "Order: {} as planned; {} would move the coating day from {} to {}, {} {}.",
                    word(prepared.way.order),
                    word(other.order),
                    prepared.date(day.day),
                    prepared.date(other_day.day),
                    if days.abs() == 1 {
                        "one day".into()
                    } else {
                        format!("{} days", days.abs())
                    },
                    if days > 0 { "later" } else { "sooner" }
                )
            }
            (Ok(_), Ok(_)) => format!(
                "Order: {} would lead to the same coating day.",
                word(other.order)
            ),
            (_, Err(why)) => format!(
                "Order: {} leads to no coating day. {}",
                word(other.order),
                no_day(*why)
            ),
            (Err(_), Ok(day)) => format!(
                "Order: {} would lead to {}.",
                word(other.order),
                prepared.date(day.day)
            ),
        };
        let more = other.cost - prepared.way.cost;
        let cost = if more.abs() < 0.5 {
            "It costs the same.".to_owned()
        } else {
            format!("It costs {more:+.0}.")
        };
        notes.push(format!("{told} {cost}"));
    }
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
    if !dust_allowed
        && prepared
            .way
            .tasks
            .tasks
            .iter()
            .any(|task| crate::preparation::tasks::dusty(task.work))
    {
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
        .any(|t| t.effect == Some(crate::preparation::tasks::Effect::WetsSpots));
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
#[must_use]
pub fn rules(prepared: &Prepared) -> Vec<String> {
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
#[must_use]
pub fn checklist(prepared: &Prepared) -> TextTable {
    TextTable {
        columns: columns(&[
            ("Ready to coat?", Side::Left),
            ("How to check", Side::Left),
            ("Source", Side::Left),
        ]),
        rows: prepared
            .checklist
            .iter()
            .map(|c| vec![format!("[ ] {}", c.what), c.how.clone(), c.source.into()])
            .collect(),
        strong_row: None,
    }
}
