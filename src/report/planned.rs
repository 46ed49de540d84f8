//! The plan found: calendar of the gear, trade-off of cost and days, and why the others lost.

use super::words::{ESTIMATE, date, percent};
use super::{Join, LineChart, Mark, Series, Side, Size, TextTable, svg};
use crate::plan::odds::{SHARES, days_allowed};
use crate::plan::search::{Found, Judged};
use crate::scenario::build::{Inventory, Job};
use crate::season::DAY;
use serde_json::{Value, json};

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

fn money(x: f64) -> String {
    format!("{:.0}", x + 0.0)
}

/// Whether some price that matters is missing.
fn incomplete(plan: &Judged) -> &'static str {
    if plan.outcome.cost_incomplete {
        " (some prices are not given and not in it)"
    } else {
        ""
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
    let dates = |plan: &Judged| {
        let day = |share| date(job, plan.odds.days(share));
        format!(
            "eight in ten chances from {} to {}",
            day(SHARES[0]),
            day(SHARES[2])
        )
    };
    let chance = |plan: &Judged| plan.odds.in_time.map_or("-".into(), percent);
    if let Some(best) = &found.best {
        let more = inventory.items.iter().any(|item| item.unpriced);
        out.push(format!(
            "Cheapest plan that makes {by} with at least {wanted}: {}. Odds {}, {}. Expected cost {}{}{}.",
            best.name,
            chance(best),
            dates(best),
            money(best.expected()),
            if best.delay >= 0.5 {
                format!(", {} of it for delay", money(best.delay))
            } else {
                String::new()
            },
            if more { " (some gear has no price)" } else { incomplete(best) },
        ));
        if let Some(next) = &found.runner_up {
            out.push(format!(
                "Runner-up: {}. It lost because it costs {} more (odds {}).",
                next.name,
                money(next.expected() - best.expected()),
                chance(next)
            ));
        }
        if let Some(cheaper) = &found.cheaper {
            out.push(format!(
                "Cheaper, but too often late: {}. It costs {} less and makes the date with {} only.",
                cheaper.name,
                money(best.cost - cheaper.cost),
                chance(cheaper)
            ));
        }
    } else if let Some(soonest) = &found.soonest {
        out.push(format!(
            "No plan makes {by} with {wanted}. The soonest is: {}. Odds {}, {}. What limits it is the {}.",
            soonest.name,
            chance(soonest),
            dates(soonest),
            match soonest.outcome.limited_by.word() {
                "depth" => "depth of the concrete: only more warmth or time helps",
                "face" => "face: more moving air or a ground face would help",
                other => other,
            }
        ));
        if found.candidates.too_much_power > 0 {
            out.push(format!(
                "{} combinations of the gear on hand ask for more power than there is.",
                found.candidates.too_much_power
            ));
        }
    } else {
        out.push("No plan gets this floor dry in the time looked at.".into());
    }
    out.push(format!(
        "{} plans run with the inputs as stated, {} of them judged over {} sampled worlds.{}{}",
        found.screened.len(),
        found.judged,
        found.samples,
        if found.candidates.left_out {
            " There are more: only exchanges of one kind of gear at a time, or only some counts, were tried."
        } else {
            ""
        },
        if found.stopped { " Broken off: this is the best so far." } else { "" }
    ));
    out
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
        "date_p50": date(days[1]),
        "date_p90": date(days[2]),
        "chance_in_time": plan.odds.in_time,
        "mean_cost": plan.cost,
        "mean_delay_cost": plan.delay,
        "cost_incomplete": plan.outcome.cost_incomplete,
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
    json!({
        "schema": "coatday/plan/1",
        "scenario": job.name,
        "needed_by": job.needed_by.map(|d| d.to_string()),
        "confidence": inventory.confidence,
        "best": plan(&found.best),
        "runner_up": plan(&found.runner_up),
        "cheaper_but_late": plan(&found.cheaper),
        "soonest": plan(&found.soonest),
        "plans_tried": found.screened.len(),
        "plans_judged": found.judged,
        "samples": found.samples,
        "plans_left_out": found.candidates.left_out,
        "broken_off": found.stopped,
        "trade_off": front(found).iter().map(|(days, cost, name)| json!({
            "plan": crate::plan::search::describe(inventory, name),
            "days": days,
            "cost": cost,
        })).collect::<Vec<_>>(),
        "notices": notices,
    })
}

/// Plans that no other beats in both days and cost, soonest first (inputs as stated).
fn front(found: &Found) -> Vec<(f64, f64, &crate::plan::search::Candidate)> {
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

/// Cost against days: every plan, the best for its days, and the chosen one.
#[must_use]
pub fn charts(job: &Job, found: &Found) -> Vec<(String, String)> {
    let all: Vec<(f64, f64)> = found
        .screened
        .iter()
        .filter_map(|s| Some((s.days?, s.cost)))
        .collect();
    let chosen = found.best.as_ref().or(found.soonest.as_ref());
    let mut series = vec![
        Series {
            name: "plans tried".into(),
            points: all,
            join: Join::Points,
            ..Series::default()
        },
        Series {
            name: "cheapest for its days".into(),
            points: front(found).iter().map(|(d, c, _)| (*d, *c)).collect(),
            ..Series::default()
        },
    ];
    if let Some(plan) = chosen {
        let screened = found
            .screened
            .iter()
            .find(|s| s.candidate == plan.candidate);
        if let Some((days, cost)) = screened.and_then(|s| Some((s.days?, s.cost))) {
            series.push(Series {
                name: "chosen".into(),
                points: vec![(days, cost)],
                join: Join::Points,
                emphasis: true,
                ..Series::default()
            });
        }
    }
    let title = match (&found.best, &found.soonest) {
        (Some(best), _) => format!(
            "{} makes the date with {} for {}",
            best.name,
            best.odds.in_time.map_or("-".into(), percent),
            money(best.expected())
        ),
        (None, Some(soonest)) => format!("No plan makes the date; {} is soonest", soonest.name),
        (None, None) => "No plan gets this floor dry".into(),
    };
    let chart = LineChart {
        title,
        subtitle: format!(
            "Cost and days of every plan, inputs as stated: {}",
            job.name
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
    };
    vec![
        ("plan".into(), svg(&chart, Size::WIDE)),
        ("plan-narrow".into(), svg(&chart, Size::NARROW)),
    ]
}
