//! The plan found: calendar of the gear, trade-off of cost and days, and why the others lost.

use super::compared::course;
use super::words::{ESTIMATE, capital, date, percent, whole};
use super::{Side, TextTable};
use crate::charts::{Join, LineChart, Mark, Series, Size, svg};
use crate::evaluate::odds::{SHARES, days_allowed};
use crate::evaluate::{Advice, LimitedBy, Outcome, advice};
use crate::job::{Inventory, Job};
use crate::search::{Candidate, Costs, Found, Instead, Judged, describe, setup};
use crate::simulation::DAY;
use crate::units::System;
use serde_json::{Value, json};
use std::fmt::Write as _;

/// Rows of the table of cost against days.
const MOST_ROWS: usize = 6;

/// Plans are drawn up to this share of the days allowed, or of the late end of the chosen plan's odds.
const BEYOND: f64 = 1.2;

/// What to bring and take away on one day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Errand {
    /// The day.
    pub date: jiff::civil::Date,
    /// "bring 2 x fan axial large".
    pub what: String,
}

fn some(count: u32, name: &str) -> String {
    if count == 1 {
        name.to_owned()
    } else {
        format!("{count} x {name}")
    }
}

/// The plan as a calendar.
#[must_use]
pub fn calendar(job: &Job, inventory: &Inventory, plan: &Judged) -> Vec<Errand> {
    let mut errands = Vec::new();
    let candidate = &plan.candidate;
    let mut add = |date, verb: &str, items: Vec<String>| {
        if !items.is_empty() {
            errands.push(Errand {
                date,
                what: format!("{verb} {}", items.join(", ")),
            });
        }
    };
    let names = || inventory.items.iter().map(|i| i.name.as_str());
    let all = |counts: &[u32]| -> Vec<String> {
        let present = counts.iter().zip(names()).filter(|(c, _)| **c > 0);
        present.map(|(c, name)| some(*c, name)).collect()
    };
    add(job.date(job.drying_starts), "bring", all(&candidate.first));
    let mut last = &candidate.first;
    if let Some((exchange, second)) = &candidate.second {
        let after = inventory.exchange_after.get(*exchange).copied();
        let day = after.unwrap_or(0.0) / DAY;
        // An exchange after the floor is dry does not take place.
        if plan.odds.days(SHARES[1]).is_none_or(|dry| dry > day) {
            let moves = |up: bool| -> Vec<String> {
                candidate
                    .first
                    .iter()
                    .zip(second)
                    .zip(names())
                    .filter_map(|((a, b), name)| {
                        let more = if up {
                            b.checked_sub(*a)
                        } else {
                            a.checked_sub(*b)
                        };
                        more.filter(|m| *m > 0).map(|m| some(m, name))
                    })
                    .collect()
            };
            add(job.date_after(day), "take away", moves(false));
            add(job.date_after(day), "bring", moves(true));
            last = second;
        }
    }
    if let Some(days) = plan.odds.days(SHARES[1]) {
        let date = job.date_after(days);
        add(date, "when the tests pass, take away", all(last));
    }
    errands
}

/// Whether some price that matters is missing.
fn incomplete(inventory: &Inventory, plan: &Judged) -> &'static str {
    if inventory
        .items
        .iter()
        .any(|item| item.machine.rent.is_none())
    {
        " (some gear has no price)"
    } else if plan.outcome.cost_incomplete {
        " (some prices are not given and not in it)"
    } else {
        ""
    }
}

/// Chance and dates of a plan.
fn odds(job: &Job, plan: &Judged) -> String {
    let day = |share| date(job, plan.odds.days(share));
    format!(
        "Odds {}, even odds {}, eight in ten chances from {} to {}",
        chance(plan),
        day(SHARES[1]),
        day(SHARES[0]),
        day(SHARES[2])
    )
}

fn chance(plan: &Judged) -> String {
    plan.odds.in_time.map_or("-".into(), percent)
}

/// The parts of a cost, each by `show`; those that are nothing are left out.
fn parts(costs: &Costs, show: impl Fn(f64) -> String) -> String {
    let parts: Vec<String> = [
        ("rental and delivery", costs.rental),
        ("energy", costs.energy),
        ("delay", costs.delay),
    ]
    .into_iter()
    .filter(|(_, cost)| whole(*cost) != "0")
    .map(|(what, cost)| format!("{what} {}", show(cost)))
    .collect();
    parts.join(", ")
}

fn expected(inventory: &Inventory, plan: &Judged) -> String {
    let parts = parts(&plan.costs, whole);
    format!(
        "Expected cost {}{}{}",
        whole(plan.costs.total()),
        if parts.is_empty() {
            String::new()
        } else {
            format!(": {parts}")
        },
        incomplete(inventory, plan)
    )
}

/// "120 more (rental and delivery +300, energy -180)", by the worlds that both were ranked in.
fn against(plan: &Judged, best: &Judged) -> String {
    let more = plan.ranked.costs - best.ranked.costs;
    let total = whole(more.total().abs());
    let sign = if more.total() < 0.0 { "less" } else { "more" };
    let parts = parts(&more, |cost| {
        format!("{}{}", if cost > 0.0 { "+" } else { "" }, whole(cost))
    });
    match (total.as_str(), parts.is_empty()) {
        ("0", true) => "the same".into(),
        ("0", false) => format!("the same in all ({parts})"),
        (_, true) => format!("{total} {sign}"),
        (_, false) => format!("{total} {sign} ({parts})"),
    }
}

/// The result in sentences.
#[must_use]
pub fn sentences(job: &Job, inventory: &Inventory, found: &Found) -> Vec<String> {
    let mut out = Vec::new();
    let wanted = percent(inventory.confidence);
    let by = job
        .needed_by
        .map_or_else(|| "the date".into(), |d| d.to_string());
    // Of plans that were not all judged none may be said to be the only one.
    let none = if found.candidates.left_out || found.passed_over > 0 {
        "No plan was found that makes"
    } else {
        "No plan makes"
    };
    match (&found.best, &found.instead) {
        (Some(best), _) => {
            out.push(format!(
                "Cheapest plan that makes {by} with at least {wanted}: {}. {}. {}.",
                best.name,
                odds(job, best),
                expected(inventory, best)
            ));
            out.extend(flattered(inventory, best));
        }
        (None, Some((Instead::AboveBudget, plan))) => out.push(format!(
            "{none} {by} with {wanted} within the budget of {}. Above it the cheapest is: {}. {}. {}.",
            whole(inventory.budget.unwrap_or(0.0)),
            plan.name,
            odds(job, plan),
            expected(inventory, plan)
        )),
        (None, Some((Instead::Soonest, plan))) => out.push(format!(
            "{none} {by} with {wanted}. The soonest is: {}. {}. {}. What limits it is the {}.",
            plan.name,
            odds(job, plan),
            expected(inventory, plan),
            match plan.outcome.limited_by {
                LimitedBy::Depth => "depth of the concrete: only more warmth or time helps",
                LimitedBy::Face => "face: more moving air or a ground face would help",
                LimitedBy::Ground => "ground: water keeps coming up, and no gear stops it",
            }
        )),
        (None, Some((Instead::RunOnce, plan))) => out.push(format!(
            "Broken off before {}. The best of those run once is: {}. {}. {}.",
            if found.judged == 0 {
                "any plan was judged".into()
            } else {
                format!("a plan was found that makes {by} with {wanted}")
            },
            plan.name,
            odds(job, plan),
            expected(inventory, plan)
        )),
        (None, None) if found.stopped => {
            out.push("Broken off before any plan had got the floor dry.".into());
        }
        (None, None) if found.screened.is_empty() => out.push(
            "No plan could be computed: the gear, alone or together, may be far too big for the room.".into(),
        ),
        (None, None) => out.push("No plan gets this floor dry in the time looked at.".into()),
    }
    if let Some(best) = &found.best {
        if let Some(next) = &found.runner_up {
            out.push(format!(
                "Runner-up: {}. It lost because it costs {}; odds {}.",
                next.name,
                against(next, best),
                chance(next)
            ));
        }
        if let Some(cheaper) = &found.cheaper {
            out.push(format!(
                "Cheaper, but too often late: {}. It costs {} and makes the date with {} only, where the plan above made it with {}.",
                cheaper.name,
                against(cheaper, best),
                percent(cheaper.ranked.in_time),
                percent(best.ranked.in_time)
            ));
        }
    }
    out.push(search_in_words(found));
    out
}

/// A plan that looked better in the worlds it was chosen by than it is.
fn flattered(inventory: &Inventory, best: &Judged) -> Option<String> {
    let seen = best.odds.in_time.filter(|c| *c < inventory.confidence)?;
    Some(format!(
        "In the worlds that it was chosen by it made the date with {}, in those the search had not seen with {}, short of the wanted {}: it stands on the edge. Ask for more --samples or a higher confidence to be on the safe side.",
        percent(best.ranked.in_time),
        percent(seen),
        percent(inventory.confidence)
    ))
}

/// How far the search went.
fn search_in_words(found: &Found) -> String {
    let mut text = format!(
        "{} plans run with the inputs as stated, {} of them judged over {} sampled worlds",
        found.screened.len(),
        found.judged,
        found.samples
    );
    if found.passed_over > 0 {
        let _ = write!(
            text,
            ", {} passed over because their single run was late or dear",
            found.passed_over
        );
    }
    text += ".";
    if found.chosen().is_some() {
        text += " Odds, dates and costs of the plans named are from as many worlds again, which the search has not seen; comparisons of cost are from its own.";
    }
    if found.not_computed > 0 {
        let _ = write!(
            text,
            " The solver gave up on {} more worlds, which are left out.",
            found.not_computed
        );
    }
    let lost = found.chosen().map_or(0, |plan| plan.odds.failed);
    if lost > 0 {
        let _ = write!(
            text,
            " It gave up on {lost} runs of the first plan named, which count as late."
        );
    }
    if found.candidates.left_out {
        text += " There are more plans: only some counts, kinds together or exchanges were tried.";
    }
    if found.candidates.too_much_power > 0 {
        let _ = write!(
            text,
            " {} combinations of the gear on hand ask for more power than there is and were left out.",
            found.candidates.too_much_power
        );
    }
    if found.stopped {
        text += " Broken off: this is the best so far.";
    }
    text
}

/// What sooner costs: the plans that no other beats in both, soonest first.
#[must_use]
pub fn trade_off(job: &Job, inventory: &Inventory, found: &Found) -> TextTable {
    let front = front(found);
    let shown = front.len().min(MOST_ROWS);
    let rows = (0..shown).filter_map(|k| {
        // Evenly along the list, both ends with it.
        let place = k * (front.len() - 1) / (shown - 1).max(1);
        let (days, cost, candidate) = front.get(place)?;
        Some(vec![
            format!("{days:.1}"),
            job.date_after(*days).to_string(),
            whole(*cost),
            describe(inventory, candidate),
        ])
    });
    TextTable {
        columns: vec![
            ("Days".into(), Side::Right),
            ("Dry on".into(), Side::Left),
            ("Cost".into(), Side::Right),
            (
                "What sooner costs, one run with the inputs as stated".into(),
                Side::Left,
            ),
        ],
        rows: rows.collect(),
        strong_row: None,
    }
}

/// Cautions and notes on a plan.
#[must_use]
pub fn notes(job: &Job, inventory: &Inventory, plan: &Judged) -> Vec<Advice> {
    let mut alone = job.clone();
    alone.setups = vec![setup(job, inventory, &plan.candidate)];
    let mut outcome = plan.outcome.clone();
    // A plan's costs have the delay in them.
    outcome.delay_cost = None;
    advice(&alone, &[outcome])
}

/// The calendar as a table.
#[must_use]
pub fn table(job: &Job, inventory: &Inventory, plan: &Judged) -> TextTable {
    TextTable {
        columns: vec![("Day".into(), Side::Left), ("What".into(), Side::Left)],
        rows: calendar(job, inventory, plan)
            .into_iter()
            .map(|e| vec![e.date.to_string(), e.what])
            .collect(),
        strong_row: None,
    }
}

fn judged(job: &Job, inventory: &Inventory, plan: &Judged) -> Value {
    let days = SHARES.map(|share| plan.odds.days(share));
    let date = |d: Option<f64>| d.map(|d| job.date_after(d).to_string());
    json!({
        "plan": plan.name,
        "days_p10": days[0],
        "days_p50": days[1],
        "days_p90": days[2],
        "date_p10": date(days[0]),
        "date_p50": date(days[1]),
        "date_p90": date(days[2]),
        "chance_in_time": plan.odds.in_time,
        "mean_cost": plan.costs.spent(),
        "mean_rental_and_delivery_cost": plan.costs.rental,
        "mean_energy_cost": plan.costs.energy,
        "mean_delay_cost": plan.costs.delay,
        "not_computed": plan.odds.failed,
        "in_the_search": {
            "chance_in_time": plan.ranked.in_time,
            "mean_cost": plan.ranked.costs.spent(),
            "mean_delay_cost": plan.ranked.costs.delay,
        },
        "limited_by": plan.outcome.limited_by.word(),
        "cost_incomplete": plan.outcome.cost_incomplete,
        "notes": notes(job, inventory, plan)
            .iter()
            .map(|a| json!({"caution": a.caution, "text": a.text}))
            .collect::<Vec<_>>(),
        "calendar": calendar(job, inventory, plan)
            .iter()
            .map(|e| json!({"date": e.date.to_string(), "what": e.what}))
            .collect::<Vec<_>>(),
    })
}

/// The search as JSON: `coatday/plan/1`.
#[must_use]
pub fn json(job: &Job, inventory: &Inventory, found: &Found, notices: &[String]) -> Value {
    let plan = |p: &Option<Judged>| p.as_ref().map(|p| judged(job, inventory, p));
    let instead = |why: Instead| {
        let plan = found.instead.as_ref().filter(|(is, _)| *is == why);
        plan.map(|(_, p)| judged(job, inventory, p))
    };
    json!({
        "schema": "coatday/plan/1",
        "scenario": job.name,
        "needed_by": job.needed_by.map(|d| d.to_string()),
        "confidence": inventory.confidence,
        "best": plan(&found.best),
        "runner_up": plan(&found.runner_up),
        "cheaper_but_late": plan(&found.cheaper),
        "above_budget": instead(Instead::AboveBudget),
        "soonest": instead(Instead::Soonest),
        "best_of_single_runs": instead(Instead::RunOnce),
        "plans_tried": found.screened.len(),
        "plans_judged": found.judged,
        "plans_passed_over": found.passed_over,
        "samples": found.samples,
        "samples_not_computed": found.not_computed,
        "plans_left_out": found.candidates.left_out,
        "plans_above_power": found.candidates.too_much_power,
        "broken_off": found.stopped,
        "trade_off": front(found).iter().map(|(days, cost, candidate)| json!({
            "plan": describe(inventory, candidate),
            "days": days,
            "cost": cost,
        })).collect::<Vec<_>>(),
        "notices": notices,
    })
}

/// Plans that no other beats in both days and cost, soonest first (inputs as stated).
fn front(found: &Found) -> Vec<(f64, f64, &Candidate)> {
    let mut all: Vec<_> = found
        .screened
        .iter()
        .filter_map(|s| Some((s.days?, s.cost, &s.candidate)))
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.total_cmp(&b.1)));
    let mut cheapest = f64::INFINITY;
    all.retain(|(_, cost, _)| {
        let better = *cost < cheapest;
        cheapest = cheapest.min(*cost);
        better
    });
    all
}

/// Cost against days of every plan with the odds of the chosen one; and the readings of the plans named through time.
#[must_use]
pub fn charts(job: &Job, found: &Found, system: System) -> Vec<(String, String)> {
    let mut out = Vec::new();
    let mut add = |name: &str, chart: &LineChart| {
        out.push((name.to_owned(), svg(chart, Size::WIDE)));
        out.push((format!("{name}-narrow"), svg(chart, Size::NARROW)));
    };
    add("plan", &cost_against_days(job, found));
    if let (Some(plan), Some(target)) = (found.chosen(), job.targets.first()) {
        let others = [&found.runner_up, &found.cheaper];
        let named: Vec<Outcome> = std::iter::once(plan)
            .chain(others.into_iter().flatten())
            .zip(["chosen", "runner-up", "cheaper, too often late"])
            .map(|(plan, name)| Outcome {
                name: name.into(),
                odds: Some(plan.odds.clone()),
                ..plan.outcome.clone()
            })
            .collect();
        let mut chart = course(job, &named, 0, target, system);
        chart.title = heading(job, found);
        chart.subtitle = format!("{}. {}", capital(&plan.name), chart.subtitle);
        chart.band_label = "shaded: eight in ten chances of the chosen".into();
        let inventory = job.inventory.as_ref();
        let second = plan.candidate.second.as_ref().zip(inventory);
        if let Some(after) = second.and_then(|((k, _), all)| all.exchange_after.get(*k)) {
            chart.x_marks.push(Mark {
                x: after / DAY,
                label: "exchange".into(),
            });
        }
        add("plan-moisture", &chart);
    }
    out
}

/// The finding, for titles.
fn heading(job: &Job, found: &Found) -> String {
    let by = job
        .needed_by
        .map_or_else(|| "the date".into(), |d| d.to_string());
    match (&found.best, &found.instead) {
        (Some(best), _) => format!(
            "Dry by {by} for {}, odds {}",
            whole(best.costs.total()),
            chance(best)
        ),
        (None, Some((Instead::AboveBudget, plan))) => format!(
            "Dry by {by} only above the budget: {}, odds {}",
            whole(plan.costs.total()),
            chance(plan)
        ),
        (None, Some((Instead::Soonest, plan))) => {
            format!("Not by {by}: the soonest has odds of {}", chance(plan))
        }
        (None, Some((Instead::RunOnce, plan))) => {
            format!("Broken off; the best so far has odds of {}", chance(plan))
        }
        (None, None) => "No plan gets this floor dry".into(),
    }
}

fn cost_against_days(job: &Job, found: &Found) -> LineChart {
    let points = |name: &str, points: Vec<(f64, f64)>, join: Join| Series {
        name: name.into(),
        points,
        join,
        ..Series::default()
    };
    let chosen = found.chosen();
    // Plans that are hopelessly late would press all others together.
    let wanted = days_allowed(job).unwrap_or(0.0);
    let latest = chosen
        .and_then(|plan| plan.odds.days(SHARES[2]))
        .map_or(f64::INFINITY, |days| BEYOND * days.max(wanted));
    let (tried, later): (Vec<_>, Vec<_>) = found
        .screened
        .iter()
        .filter_map(|s| Some((s.days?, s.cost)))
        .partition(|(days, _)| *days <= latest);
    let name = if later.is_empty() {
        "plans tried".to_owned()
    } else {
        format!("plans tried ({} later ones not drawn)", later.len())
    };
    let mut series = vec![
        points(&name, tried, Join::Points),
        points(
            "cheapest for its days",
            front(found).iter().map(|(d, c, _)| (*d, *c)).collect(),
            Join::Line,
        ),
    ];
    let single = chosen.and_then(|plan| {
        let screened = found.screened.iter();
        let mut same = screened.filter(|s| s.candidate == plan.candidate);
        same.find_map(|s| Some((plan, s.days?, s.cost)))
    });
    if let Some((plan, days, cost)) = single {
        if let (Some(early), Some(late)) = (plan.odds.days(SHARES[0]), plan.odds.days(SHARES[2])) {
            series.push(points(
                "eight in ten chances of it",
                vec![(early, cost), (late, cost)],
                Join::Line,
            ));
        }
        series.push(Series {
            emphasis: true,
            ..points("chosen", vec![(days, cost)], Join::Points)
        });
    }
    LineChart {
        title: heading(job, found),
        subtitle: chosen.map_or_else(
            || format!("Every plan run once, inputs as stated: {}", job.name),
            |plan| {
                format!(
                    "{}. Every plan run once, inputs as stated: {}",
                    capital(&plan.name),
                    job.name
                )
            },
        ),
        x_label: "days of drying".into(),
        y_label: "rental, delivery, energy and delay".into(),
        series,
        x_marks: days_allowed(job)
            .zip(job.needed_by)
            .map(|(days, by)| Mark {
                x: days,
                label: format!("needed by {by}"),
            })
            .into_iter()
            .collect(),
        footer: vec![ESTIMATE.into()],
        ..LineChart::default()
    }
}
