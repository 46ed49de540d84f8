//! Charts of a search.

use crate::charts::{Join, LineChart, Mark, Series};
use crate::evaluate::Outcome;
use crate::evaluate::odds::{SHARES, days_allowed};
use crate::job::Job;
use crate::results::Figure;
use crate::results::compare::charts::{course, needed_by as mark_needed_by};
use crate::results::limits::footer;
use crate::results::verdict;
use crate::search::{Candidate, Found, Instead, Judged};
use crate::units::DAY;
use crate::units::System;
use crate::units::format::{capital, date, percent};
use crate::verdict::Verdict;

/// Plans are drawn up to this share of the days allowed, or of the late end of the chosen plan's odds.
const BEYOND: f64 = 1.2;

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

/// Cost against days of every plan with the odds of the chosen one; and the readings of the plans named through time.
pub(super) fn figures(
    job: &Job,
    found: &Found,
    verdict: Option<&Verdict>,
    system: System,
) -> impl Iterator<Item = Figure> {
    let title = heading(job, found, verdict, system);
    let plan = cost_against_days(job, found, &title, system);
    let plan = Figure::new("plan", plan);
    let named = readings_of_named(job, found, title, system);
    let named = named.map(|chart| Figure::new("plan-moisture", chart));
    std::iter::once(plan).chain(named)
}

/// Readings of the first target with the plans that are named.
fn readings_of_named(job: &Job, found: &Found, title: String, system: System) -> Option<LineChart> {
    let plan = found.chosen()?;
    let others = [&found.runner_up, &found.cheaper];
    let plans = std::iter::once(plan).chain(others.into_iter().flatten());
    let plans = plans.zip(["chosen", "runner-up", "cheaper, too often late"]);
    let named: Vec<Outcome> = plans
        .map(|(plan, name)| Outcome {
            name: name.into(),
            odds: Some(plan.odds.clone()),
            ..plan.outcome.clone()
        })
        .collect();
    let mut chart = course(job, &named, 0, system)?;
    chart.title = title;
    chart.subtitle = format!("{}. {}", capital(plan.name.of(system)), chart.subtitle);
    chart.band_label = format!("shaded: {} of the chosen", verdict::in_range());
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

fn cost_against_days(job: &Job, found: &Found, title: &str, system: System) -> LineChart {
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
                &format!("{} of it", verdict::in_range()),
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
        title: title.to_owned(),
        subtitle: chosen.map_or_else(
            || format!("Every plan run once with your inputs: {}", job.name),
            |plan| {
                format!(
                    "{}. Every plan run once with your inputs: {}",
                    capital(plan.name.of(system)),
                    job.name
                )
            },
        ),
        x_label: "days of drying".into(),
        y_label: format!(
            "rental, delivery, energy and delay, {}",
            job.prices.currency.name()
        ),
        series,
        x_marks: mark_needed_by(job, system).into_iter().collect(),
        footer: footer(job),
        ..LineChart::default()
    }
}
