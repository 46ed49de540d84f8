//! Charts of a search.

use crate::charts::{Limit, Mark, Row, RowBar, RowChart, TestChart, XAxis};
use crate::evaluate::Outcome;
use crate::evaluate::odds::SHARES;
use crate::job::Job;
use crate::results::Figure;
use crate::results::compare::charts::{look, looks, needed_by as mark_needed_by, readings};
use crate::results::limits::footer;
use crate::results::verdict;
use crate::search::{Candidate, Found, Instead, Judged};
use crate::units::DAY;
use crate::units::System;
use crate::units::format::{capital, counted, date, days, percent, short_date};
use crate::verdict::{HOPELESS, Timing, Verdict};

/// The chance of a plan to make the date.
pub(super) fn chance(plan: &Judged) -> String {
    plan.odds.in_time.map_or("-".into(), percent)
}

/// The date to make.
pub(super) fn needed_by(job: &Job, system: System) -> String {
    job.needed_by
        .map_or_else(|| "the date".into(), |day| date(day, system))
}

/// Plans that no other beats in both days and cost, soonest first (inputs as stated).
pub(super) fn front(found: &Found) -> Vec<(f64, f64, &Candidate)> {
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

/// The plans that are named with their days, odds and costs; and what the test should read with them.
pub(super) fn figures(
    job: &Job,
    found: &Found,
    verdict: Option<&Verdict>,
    system: System,
) -> impl Iterator<Item = Figure> {
    let title = heading(job, found, verdict, system);
    let plan = Figure::new("plan", named_plans(job, found, &title, system));
    let named = readings_of_named(job, found, title, system);
    let named = named.map(|chart| Figure::new("plan-moisture", chart));
    std::iter::once(plan).chain(named)
}

/// The plans that are named: what each is called here.
fn named(found: &Found) -> Vec<(&'static str, &Judged)> {
    let Some(plan) = found.chosen() else {
        return Vec::new();
    };
    let others = [
        ("Next best", &found.runner_up),
        ("Cheaper, too often late", &found.cheaper),
    ];
    let others = others.into_iter();
    let others = others.filter_map(|(name, plan)| Some((name, plan.as_ref()?)));
    std::iter::once(("Chosen", plan)).chain(others).collect()
}

/// Readings of the first target with the plans that are named.
fn readings_of_named(job: &Job, found: &Found, title: String, system: System) -> Option<TestChart> {
    let plan = found.chosen()?;
    let outcomes: Vec<Outcome> = named(found)
        .into_iter()
        .map(|(name, plan)| Outcome {
            name: name.into(),
            odds: Some(plan.odds.clone()),
            ..plan.outcome.clone()
        })
        .collect();
    let mut chart = readings(job, &outcomes, 0, system)?;
    chart.title = title;
    chart.subtitle = format!("{}. {}", capital(plan.name.of(system)), chart.subtitle);
    let second = plan.candidate.second.as_ref().zip(job.inventory.as_ref());
    let exchange = second.and_then(|((k, _), all)| all.swap_after.get(*k));
    chart.x_marks.extend(exchange.map(|after| Mark {
        x: after / DAY,
        label: "exchange".into(),
    }));
    Some(chart)
}

/// The finding, for titles: the verdict on the plan, and its cost.
fn heading(job: &Job, found: &Found, verdict: Option<&Verdict>, system: System) -> String {
    let (Some(v), Some(plan)) = (verdict, found.chosen()) else {
        return "No plan gets this floor dry".into();
    };
    let cost = job.prices.currency.money(plan.costs.total());
    let title = verdict::title(v, system);
    match &found.instead {
        Some((Instead::AboveBudget, _)) => {
            format!("{title}; {cost} is above the budget")
        }
        Some((Instead::RunOnce, _)) => format!("Broken off. {title}, for {cost}"),
        _ => format!("{title}, for {cost}"),
    }
}

/// Rows of the plans that are named. Days, chance and costs of a row are all of the same sampled cases.
fn named_plans(job: &Job, found: &Found, title: &str, system: System) -> RowChart {
    let plans = named(found);
    let wanted = job.inventory.as_ref().map_or(1.0, |all| all.confidence);
    let timing = |plan: &Judged| match plan.odds.in_time {
        None => Timing::NotSaid,
        Some(chance) if chance >= wanted => Timing::InTime,
        Some(chance) if chance >= HOPELESS => Timing::MayBeLate,
        Some(_) => Timing::Late,
    };
    let row = |(name, plan): &(&str, &Judged)| {
        let once = plan.odds.samples.is_empty();
        let middle = if once {
            plan.outcome.days_to_target
        } else {
            plan.odds.days(SHARES[1])
        };
        let dry = middle.map(|middle| {
            let date = job.date(job.gear_on + middle * DAY);
            format!("{}, {}", short_date(date, system), days(middle))
        });
        let dry = dry.unwrap_or_else(|| "not dry in most cases".into());
        let odds = if once {
            "one run".to_owned()
        } else {
            format!("{} in time", chance(plan))
        };
        let early = plan.odds.days(SHARES[0]).filter(|_| middle.is_some());
        Row {
            name: (*name).into(),
            note: plan.name.of(system).to_owned(),
            label: [dry, odds, job.prices.currency.money(plan.costs.total())].join(", "),
            bar: middle.map_or(RowBar::Open, |middle| {
                RowBar::Bar(0.0, middle, look(timing(plan)))
            }),
            range: early.map(|early| (early, plan.odds.days(SHARES[2]))),
        }
    };
    let tried = counted(found.screened.len(), "plan");
    RowChart {
        title: title.to_owned(),
        subtitle: format!(
            "Days to dry, chance by the date and cost with rental, delivery, energy and delay, in {}: {}",
            job.prices.currency.name(),
            job.name
        ),
        rows: plans.iter().map(row).collect(),
        x_axis: XAxis::Dates {
            start: job.date(job.gear_on),
            system,
        },
        limit: mark_needed_by(job, system).map(|Mark { x, label }| Limit { value: x, label }),
        looks: looks(plans.iter().map(|(_, plan)| timing(plan))),
        range_label: verdict::in_range(),
        footer: std::iter::once(format!("{tried} tried; these cost least for their days."))
            .chain(footer(job))
            .collect(),
        ..RowChart::default()
    }
}
