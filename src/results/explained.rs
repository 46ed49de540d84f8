//! A delay and its causes as a sentence, tables, a waterfall and one JSON object.

use super::words::{ESTIMATE, capital};
use super::{Side, TextTable};
use crate::charts::{Mark, Size, XAxis, svg};
use crate::charts::{Step, Waterfall};
use crate::delay::{Action, Explanation, good_conditions};
use crate::evaluate::Never;
use crate::job::seconds_between;
use crate::scenario::Scenario;
use crate::simulation::DAY;
use crate::units::System;
use jiff::civil::Date;
use serde_json::{Value, json};

/// Below this a share is said to be nothing: no schedule knows a twentieth of a day.
const NOTHING: f64 = 0.05;
/// Actions that gain less are listed last, without days to buy.
const WORTH_BUYING: f64 = 0.5;

/// How actions are to be read.
pub const EACH_BY_ITSELF: &str = "Each action is computed by itself: two together do not gain the sum. A + after a cost means that some price is not given. Whether the people and the air allow it is not looked at here, the power only where the scenario says what the site has.";

/// Days with their sign.
#[must_use]
pub fn signed_days(days: f64) -> String {
    if days.abs() < NOTHING {
        "0 days".into()
    } else {
        let unit = if (days.abs() - 1.0).abs() < NOTHING {
            "day"
        } else {
            "days"
        };
        format!("{days:+.1} {unit}").replace('-', "\u{2212}")
    }
}

fn detail(detail: &[String; 2], system: System) -> &str {
    match system {
        System::Si => &detail[1],
        _ => &detail[0],
    }
}

/// One sentence or two: how late, and what for the most part.
#[must_use]
pub fn headline(e: &Explanation) -> String {
    let delay = e.attribution.delay();
    let mut text = match e.expected {
        None => format!(
            "With {} the floor is not dry by {}, the end of the look-out: at least {delay:.0} days after {}, {}.",
            e.setup, e.look_out, e.promised, e.reference
        ),
        Some(date) if delay.abs() < WORTH_BUYING => {
            format!(
                "With {} the floor is dry on {date}, {}.",
                e.setup, e.reference
            )
        }
        Some(date) => format!(
            "With {} the floor is dry on {date}, {} {} than {} ({}).",
            e.setup,
            match delay.abs().round() {
                1.0 => "1 day".into(),
                days => format!("{days:.0} days"),
            },
            if delay > 0.0 { "later" } else { "sooner" },
            e.reference,
            e.promised
        ),
    };
    if let Some((cause, days)) = e.main_cause().filter(|_| delay >= WORTH_BUYING) {
        text.push_str(&format!(
            " {} is {}: {days:.0} days{}.",
            if days > 0.5 * delay {
                "Most of it"
            } else {
                "The largest part"
            },
            lower(cause.kind.name()),
            by_itself(e)
        ));
    }
    text
}

/// What the days of a bar are, where they are not the share.
pub(super) fn by_itself(e: &Explanation) -> &'static str {
    if e.large_interaction() {
        " by itself"
    } else {
        ""
    }
}

fn lower(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().collect::<String>() + letters.as_str()
    })
}

/// Remarks on how the split is to be read.
#[must_use]
pub fn remarks(e: &Explanation) -> Vec<String> {
    let mut out = Vec::new();
    out.push(format!(
        "\"Share\" is the mean over {} in which the causes can come; the shares sum to the delay. \"By itself\" are the days of the cause with no other, \"without it\" how the date moves if it alone goes away.",
        if e.attribution.standard_errors.is_some() {
            "a sample of the orders"
        } else {
            "all orders"
        }
    ));
    if e.large_interaction() {
        let i = e.attribution.interaction();
        out.push(format!(
            "The causes together cost {:.1} days {} than the sum of each by itself; the chart shows this as a bar of its own.",
            i.abs(),
            if i > 0.0 { "more" } else { "less" }
        ));
    }
    if e.capped > 0 {
        out.push(format!(
            "With {} of the {} combinations the floor is not dry by {}: they count as dry on that day, so the causes in them weigh too little.",
            e.capped,
            e.attribution.computed.len(),
            e.look_out
        ));
    }
    if let Some(never) = &e.never {
        out.push(never.sentence());
    }
    if !e.promise_given {
        out.push(format!(
            "The scenario does not say what was promised, so good conditions stand in: {}. Give \"promised\" to compare with your schedule.",
            good_conditions()
        ));
    }
    out
}

/// Causes with their days, the costliest first.
#[must_use]
pub fn table(e: &Explanation, system: System) -> TextTable {
    let a = &e.attribution;
    let number = |days: f64| {
        if days.abs() < NOTHING {
            "0".to_owned()
        } else {
            format!("{days:+.1}")
        }
    };
    let mut columns = vec![
        ("Cause".to_owned(), Side::Left),
        ("As it is".to_owned(), Side::Left),
        ("Share, days".to_owned(), Side::Right),
    ];
    if a.standard_errors.is_some() {
        columns.push(("Standard error".into(), Side::Right));
    }
    columns.push(("By itself".into(), Side::Right));
    columns.push(("Without it".into(), Side::Right));
    let mut rows: Vec<Vec<String>> = e
        .by_share()
        .into_iter()
        .map(|i| {
            let cause = &e.causes[i];
            let mut row = vec![
                cause.kind.name().to_owned(),
                detail(&cause.detail, system).to_owned(),
                number(a.shares[i]),
            ];
            if let Some(errors) = &a.standard_errors {
                row.push(format!("{:.1}", errors[i]));
            }
            row.push(number(a.alone[i]));
            row.push(number(-a.last[i]));
            row
        })
        .collect();
    rows.push(vec![
        "All together".into(),
        format!("against {}", e.reference),
        number(a.delay()),
    ]);
    TextTable {
        columns,
        strong_row: Some(rows.len() - 1),
        rows,
    }
}

/// A cost against now.
fn cost(action: &Action) -> String {
    let plus = if action.cost_incomplete { "+" } else { "" };
    if action.cost.abs() < 0.5 && action.cost_incomplete {
        "not priced".into()
    } else {
        // Rounded first: what rounds to nothing has no sign.
        format!("{:+.0}{plus}", action.cost.round() + 0.0)
    }
}

/// What is said where no action is left from a day on.
#[must_use]
pub fn nothing_left(e: &Explanation, from: Date) -> &'static str {
    if e.expected.is_some_and(|day| day < from) {
        "Nothing is left to buy: the floor is dry before that day."
    } else {
        "Nothing that this program knows of is left to change."
    }
}

/// Whether the site can feed what is on site after an action.
fn fed(action: &Action) -> bool {
    action.fits_power != Some(false)
}

/// What would buy days back; with a column for the site's power where the scenario gives it.
#[must_use]
pub fn actions_table(actions: &[Action]) -> TextTable {
    let power = actions.iter().any(|a| a.fits_power.is_some());
    let mut columns = vec![
        ("What would buy days back".to_owned(), Side::Left),
        ("Days".into(), Side::Right),
        ("Dry on".into(), Side::Left),
        ("Cost against now".into(), Side::Right),
    ];
    if power {
        columns.push(("Site's power".into(), Side::Left));
    }
    TextTable {
        columns,
        rows: actions
            .iter()
            .map(|a| {
                let mut row = vec![
                    a.name.clone(),
                    match a.days_gained {
                        Some(days) if days.abs() < NOTHING => "0".into(),
                        // Less time is a gain: shown as on a schedule, minus is sooner.
                        Some(days) => format!("{:+.1}", -days),
                        None => "never dry".into(),
                    },
                    a.date.map_or_else(|| "-".into(), |d| d.to_string()),
                    cost(a),
                ];
                if power {
                    row.push(if fed(a) { "fits" } else { "DOES NOT FIT" }.into());
                }
                row
            })
            .collect(),
        strong_row: actions
            .first()
            .filter(|a| a.days_gained.is_some_and(|d| d >= WORTH_BUYING))
            .map(|_| 0),
    }
}

/// The action that gains most of those that the site can feed, in a sentence; none if nothing gains half a day.
#[must_use]
pub fn first_action(actions: &[Action]) -> Option<String> {
    in_a_sentence(actions.iter().find(|a| fed(a))?)
}

/// The action that gains most among those that save money, with every price known; none if that is the first of all.
#[must_use]
pub fn saving_action(actions: &[Action]) -> Option<String> {
    let saves = |a: &&Action| a.cost < 0.0 && !a.cost_incomplete;
    let mut fed = actions.iter().filter(|a| fed(a));
    if fed.clone().next().as_ref().is_some_and(saves) {
        return None;
    }
    in_a_sentence(fed.find(saves)?)
}

fn in_a_sentence(best: &Action) -> Option<String> {
    let days = best.days_gained.filter(|d| *d >= WORTH_BUYING)?;
    let cost = if best.cost.abs() < 0.5 && best.cost_incomplete {
        "not priced".to_owned()
    } else {
        format!(
            "costs {:.0} {}{}",
            best.cost.abs(),
            if best.cost < 0.0 { "less" } else { "more" },
            if best.cost_incomplete {
                ", some prices missing"
            } else {
                ""
            }
        )
    };
    let date = best
        .date
        .map_or_else(String::new, |d| format!(", dry on {d}"));
    Some(format!(
        "{}: gains {days:.0} days{date}, {cost}.",
        best.name
    ))
}

/// From the promised to the expected day.
#[must_use]
pub fn waterfall(scenario: &Scenario, e: &Explanation, system: System) -> Waterfall {
    let a = &e.attribution;
    let together = e.large_interaction();
    let days = |i: usize| e.bar_days(i);
    let mut order: Vec<usize> = (0..e.causes.len()).collect();
    order.sort_by(|x, y| days(*y).total_cmp(&days(*x)));
    let (shown, small): (Vec<usize>, Vec<usize>) = order
        .into_iter()
        .partition(|i| days(*i).abs() >= WORTH_BUYING);
    let mut steps: Vec<Step> = shown
        .into_iter()
        .map(|i| Step {
            name: e.causes[i].kind.name().to_owned(),
            note: detail(&e.causes[i].detail, system).to_owned(),
            days: days(i),
            label: signed_days(days(i)),
            together: false,
        })
        .collect();
    if !small.is_empty() {
        let sum: f64 = small.iter().map(|i| days(*i)).sum();
        let names: Vec<String> = small
            .iter()
            .map(|i| lower(e.causes[*i].kind.name()))
            .collect();
        steps.push(Step {
            name: "Less than half a day each".into(),
            note: names.join(", "),
            days: sum,
            label: signed_days(sum),
            together: false,
        });
    }
    if together {
        steps.push(Step {
            name: "Causes together".into(),
            note: if a.interaction() > 0.0 {
                "they make each other worse".into()
            } else {
                "they partly cost the same days".into()
            },
            days: a.interaction(),
            label: signed_days(a.interaction()),
            together: true,
        });
    }
    let delay = a.delay();
    let title = match (e.expected, e.main_cause()) {
        (None, Some((cause, _))) => format!(
            "Not dry in the time looked at; {} weighs most",
            lower(cause.kind.name())
        ),
        (None, None) => "Not dry in the time looked at".into(),
        (Some(_), _) if delay.abs() < WORTH_BUYING => "The floor is dry as promised".into(),
        (Some(_), Some((cause, days))) if delay > 0.0 => format!(
            "{delay:.0} days late; {} costs {days:.0}{}",
            lower(cause.kind.name()),
            by_itself(e)
        ),
        (Some(_), _) if delay > 0.0 => format!("{delay:.0} days late"),
        (Some(_), _) => format!("{:.0} days sooner than promised", -delay),
    };
    let by = scenario.needed_by.map(|by| Mark {
        x: seconds_between(scenario.slab.placed, by) / DAY + 1.0 - a.none,
        label: format!("needed by {by}"),
    });
    let mut footer = Vec::new();
    if e.capped > 0 {
        footer.push(format!(
            "Courses not dry by {} count as dry on that day; the causes in them weigh too little.",
            e.look_out
        ));
    }
    footer.push(ESTIMATE.into());
    Waterfall {
        title,
        subtitle: format!(
            "Days from {} to as it is, with setup \"{}\": {}",
            e.reference, e.setup, scenario.name
        ),
        first: (capital(&e.reference), e.promised.to_string()),
        steps,
        last: (
            "As it is".into(),
            e.expected
                .map_or_else(|| format!("not by {}", e.look_out), |d| d.to_string()),
        ),
        x_axis: XAxis::Dates { start: e.promised },
        mark: by,
        open_end: e.expected.is_none(),
        footer,
    }
}

/// The waterfall as file stem and SVG text, wide and narrow.
#[must_use]
pub fn charts(scenario: &Scenario, e: &Explanation, system: System) -> Vec<(String, String)> {
    let chart = waterfall(scenario, e, system);
    vec![
        ("delay".to_owned(), svg(&chart, Size::WIDE)),
        ("delay-narrow".to_owned(), svg(&chart, Size::NARROW)),
    ]
}

/// The explanation as JSON: `coatday/explain/1`.
#[must_use]
pub fn json(scenario: &Scenario, e: &Explanation, actions: &[Action], notices: &[String]) -> Value {
    let a = &e.attribution;
    json!({
        "schema": "coatday/explain/1",
        "scenario": scenario.name,
        "setup": e.setup,
        "reference": e.reference,
        "reference_given": e.promise_given,
        "promised_date": e.promised.to_string(),
        "expected_date": e.expected.map(|d| d.to_string()),
        "never_reason": e.never.as_ref().map(Never::sentence),
        "look_out_ends": e.look_out.to_string(),
        "delay_days": a.delay(),
        "delay_is_at_least": e.expected.is_none(),
        "interaction_days": a.interaction(),
        "combinations_computed": a.computed.len(),
        "combinations_not_dry": e.capped,
        "causes": e.by_share().into_iter().map(|i| json!({
            "cause": e.causes[i].kind.key(),
            "name": e.causes[i].kind.name(),
            "as_it_is_us": e.causes[i].detail[0],
            "as_it_is_si": e.causes[i].detail[1],
            "share_days": a.shares[i],
            "standard_error_days": a.standard_errors.as_ref().map(|s| s[i]),
            "by_itself_days": a.alone[i],
            "saved_without_it_days": a.last[i],
        })).collect::<Vec<_>>(),
        "actions": actions.iter().map(|x| json!({
            "action": x.name,
            "days_gained": x.days_gained,
            "date": x.date.map(|d| d.to_string()),
            "cost": x.cost,
            "cost_incomplete": x.cost_incomplete,
            "fits_power": x.fits_power,
        })).collect::<Vec<_>>(),
        "notices": notices,
    })
}
