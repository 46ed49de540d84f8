//! Words, table and JSON of the check of the coating day.

use super::readings::{number, percent, rate};
use crate::coating_day::{CoatingDay, Conditions, CureHours, Figure, Given, Rule, Verdict};
use crate::moisture_log::written;
use crate::results::{Side, TextTable};
use crate::scenario::Scenario;
use crate::units::{HOUR, System, fahrenheit, fahrenheit_difference};
use jiff::civil::DateTime;
use serde_json::{Value, json};

/// What this check cannot take away from people.
pub const RELEASE: &str = "This check does not release the floor: its tests, the product's data sheet and the person responsible do. Local codes come first.";

fn temperature(degrees: f64, system: System) -> String {
    match system {
        System::Si => format!("{} degC", number(degrees, 1)),
        _ => format!("{} degF", number(fahrenheit(degrees), 1)),
    }
}

fn difference(kelvin: f64, system: System) -> String {
    match system {
        System::Si => format!("{} K", number(kelvin, 1)),
        _ => format!("{} degF", number(fahrenheit_difference(kelvin), 1)),
    }
}

fn time(seconds: f64) -> String {
    let hours = seconds / HOUR;
    if hours.abs() < 48.0 {
        format!("{} h", number(hours, 1))
    } else {
        // Rounded down: a day that is not over does not count.
        format!("{} days", number((hours / 24.0).floor(), 0))
    }
}

fn figure(figure: &Figure, system: System) -> String {
    match figure {
        Figure::Nothing => String::new(),
        Figure::Temperature(t) => temperature(*t, system),
        Figure::TemperatureRange(low, high) => {
            let (low, high) = (temperature(*low, system), temperature(*high, system));
            format!("{low} to {high}")
        }
        Figure::Difference(d) => difference(*d, system),
        Figure::Humidity(h) => percent(*h),
        Figure::Rate(r) => rate(*r, system),
        Figure::Time(t) => time(*t),
        Figure::Words(words) => words.clone(),
    }
}

fn limit(rule: &Rule, system: System) -> String {
    let text = figure(&rule.limit, system);
    match rule.limit {
        Figure::Nothing | Figure::TemperatureRange(..) | Figure::Words(_) => text,
        _ if rule.at_most => format!("at most {text}"),
        _ => format!("at least {text}"),
    }
}

/// A verdict in a word.
fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::NotChecked => "not checked",
        Verdict::Go => "go",
        Verdict::Wait => "WAIT",
        Verdict::No => "NO",
    }
}

/// The verdict in one or two sentences, with what stands against coating.
#[must_use]
pub fn headline(day: &CoatingDay, now: DateTime, system: System) -> String {
    let against: Vec<String> = day
        .rules
        .iter()
        .filter(|rule| rule.verdict == day.verdict)
        .map(|rule| {
            let (value, limit) = (figure(&rule.value, system), limit(rule, system));
            if value.is_empty() {
                rule.name.clone()
            } else {
                format!("{} ({value}; {limit})", rule.name)
            }
        })
        .collect();
    let when = written(now);
    match day.verdict {
        Verdict::No => format!("NO at {when}: {}.", against.join("; ")),
        Verdict::Wait => format!("WAIT at {when}: {}.", against.join("; ")),
        Verdict::Go => {
            let unchecked = day
                .rules
                .iter()
                .filter(|rule| rule.verdict == Verdict::NotChecked)
                .count();
            if unchecked == 0 {
                format!("GO at {when} by every rule below.")
            } else {
                format!("GO at {when} by the rules that were checked; {unchecked} were not.")
            }
        }
        Verdict::NotChecked => format!("Nothing could be checked at {when}."),
    }
}

/// One row a rule.
#[must_use]
pub fn table(day: &CoatingDay, system: System) -> TextTable {
    TextTable {
        columns: ["Rule", "Says", "Value", "Limit", "Source"]
            .map(|name| (name.to_owned(), Side::Left))
            .to_vec(),
        rows: day
            .rules
            .iter()
            .map(|rule| {
                vec![
                    rule.name.clone(),
                    word(rule.verdict).to_owned(),
                    figure(&rule.value, system),
                    limit(rule, system),
                    rule.source.clone(),
                ]
            })
            .collect(),
        strong_row: None,
    }
}

/// The reasons of rules that say anything but go, the strictest first.
#[must_use]
pub fn reasons(day: &CoatingDay) -> Vec<String> {
    let mut rules: Vec<&Rule> = day.rules.iter().filter(|r| !r.why.is_empty()).collect();
    rules.sort_by_key(|rule| std::cmp::Reverse(rule.verdict));
    let mut out: Vec<String> = Vec::new();
    for rule in rules {
        // Rules that were not checked for one reason say it once.
        if rule.verdict == Verdict::NotChecked {
            if !out.contains(&rule.why) {
                out.push(rule.why.clone());
            }
        } else {
            out.push(format!("{}: {}", rule.name, rule.why));
        }
    }
    out
}

/// Where the values of now come from, and the dew point.
#[must_use]
pub fn conditions(conditions: &Conditions, day: &CoatingDay, system: System) -> Vec<String> {
    let from = |given: &Given| match given {
        Given::Typed => "as given".to_owned(),
        Given::Log { line, time } => format!("from line {line} of the log, {}", written(*time)),
    };
    vec![
        format!(
            "Air {} ({}), {} relative humidity ({}); slab {} ({}).",
            temperature(conditions.air_temperature.0, system),
            from(&conditions.air_temperature.1),
            percent(conditions.air_relative_humidity.0),
            from(&conditions.air_relative_humidity.1),
            temperature(conditions.slab_temperature.0, system),
            from(&conditions.slab_temperature.1),
        ),
        format!(
            "Dew point of the air {}; the slab is {} {} it.",
            temperature(day.dew_point, system),
            difference(day.spread.abs(), system),
            if day.spread < 0.0 { "below" } else { "above" }
        ),
    ]
}

/// How the hours of cure were looked at.
#[must_use]
pub fn cure(cure: &CureHours) -> String {
    if cure.held {
        format!(
            "Through {} h of cure: the temperatures of now held by heating, with the dew point of the forecast's outside air.",
            cure.hours
        )
    } else {
        format!(
            "Through {} h of cure: the room's air as the forecast's outside air, the slab following it slowly. For a heated room use --hold-temperatures.",
            cure.hours
        )
    }
}

fn figure_json(figure: &Figure) -> (Value, &'static str) {
    match figure {
        Figure::Nothing => (Value::Null, ""),
        Figure::Temperature(t) => (json!(t), "degC"),
        Figure::TemperatureRange(low, high) => (json!([low, high]), "degC"),
        Figure::Difference(d) => (json!(d), "K"),
        Figure::Humidity(h) => (json!(h), "1"),
        Figure::Rate(r) => (json!(r), "kg/(m2 s)"),
        Figure::Time(t) => (json!(t), "s"),
        Figure::Words(words) => (json!(words), ""),
    }
}

fn verdict_json(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::NotChecked => "not_checked",
        Verdict::Go => "go",
        Verdict::Wait => "wait",
        Verdict::No => "no",
    }
}

/// The check as one object.
#[must_use]
pub fn json(
    scenario: &Scenario,
    now: DateTime,
    conditions: &Conditions,
    day: &CoatingDay,
    cure: Option<&CureHours>,
) -> Value {
    let given = |(value, given): &(f64, Given)| match given {
        Given::Typed => json!({ "value": value, "from": "given" }),
        Given::Log { line, time } => {
            json!({ "value": value, "from": "log", "line": line, "time": time.to_string() })
        }
    };
    let rules: Vec<Value> = day
        .rules
        .iter()
        .map(|rule| {
            let (value, value_unit) = figure_json(&rule.value);
            let (limit, limit_unit) = figure_json(&rule.limit);
            json!({
                "name": rule.name,
                "verdict": verdict_json(rule.verdict),
                "value": value,
                "value_unit": value_unit,
                "limit": limit,
                "limit_unit": limit_unit,
                "bound": match rule.limit {
                    Figure::TemperatureRange(..) => "between",
                    _ if rule.at_most => "at_most",
                    _ => "at_least",
                },
                "source": rule.source,
                "why": rule.why,
            })
        })
        .collect();
    json!({
        "schema": "coatday/today/1",
        "scenario": scenario.name,
        "at": now.to_string(),
        "verdict": verdict_json(day.verdict),
        "air_temperature_c": given(&conditions.air_temperature),
        "air_relative_humidity": given(&conditions.air_relative_humidity),
        "slab_temperature_c": given(&conditions.slab_temperature),
        "dew_point_c": day.dew_point,
        "spread_k": day.spread,
        "cure": cure.map(|c| json!({
            "hours": c.hours,
            "temperatures_held": c.held,
            "least_spread_k": c.least_spread,
            "least_spread_after_h": c.least_spread_after / HOUR,
            "lowest_temperature_c": c.lowest_temperature,
            "highest_temperature_c": c.highest_temperature,
            "highest_air_relative_humidity": c.highest_relative_humidity,
        })),
        "rules": rules,
        "release": RELEASE,
    })
}
