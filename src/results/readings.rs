//! Words, table and JSON of readings and of the floor's tests.

use super::words::capital;
use crate::moisture_log::{Addition, FloorTest, Judged, Method, Status, written};
use crate::results::{Side, TextTable};
use crate::scenario::{Faults, Scenario};
use crate::units::{DAY, INCH, POUND_PER_1000_FT2_DAY, System};
use jiff::civil::DateTime;
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// Lines named one by one; more are counted.
const LINES_NAMED: usize = 12;
/// kg/(m2 s) in g/m2/day.
const GRAM_RATE: f64 = 1e-3 / DAY;

/// A number with at most so many decimals.
pub(super) fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    if text == "-0" { "0" } else { text }.to_owned()
}

/// A share of one, in per cent.
pub(super) fn percent(share: f64) -> String {
    format!("{} %", number(share * 100.0, 1))
}

/// An emission rate.
pub(super) fn rate(flux: f64, system: System) -> String {
    match system {
        System::Si => format!("{} g/m2/day", number(flux / GRAM_RATE, 1)),
        _ => format!(
            "{} lb/1000 ft2/24 h",
            number(flux / POUND_PER_1000_FT2_DAY, 2)
        ),
    }
}

/// A value of a method.
fn value(method: Method, value: f64, system: System) -> String {
    match method {
        Method::Dish => rate(value, system),
        Method::PlasticSheet => if value > 0.0 { "moist" } else { "dry" }.to_owned(),
        Method::Probe | Method::Hood | Method::MassPercent => percent(value),
    }
}

fn depth(metres: f64, system: System) -> String {
    match system {
        System::Si => format!("{} mm", number(metres * 1e3, 0)),
        _ => format!("{} in", number(metres / INCH, 2)),
    }
}

/// Whether a reading counts and why not, in one text.
fn status(judged: &Judged) -> String {
    let mut parts: Vec<String> = match &judged.status {
        Status::Counts => Vec::new(),
        Status::DoesNotCount(shortfalls) => shortfalls.iter().map(|s| s.why.clone()).collect(),
    };
    if judged.counts() && !judged.not_stated.is_empty() {
        parts.push(format!("Not stated: {}.", judged.not_stated.join("; ")));
    }
    parts.join(" ")
}

/// A reading just added, as it is judged.
#[must_use]
pub fn verdict(judged: &Judged) -> String {
    let head = if judged.counts() {
        "Counts as a test."
    } else {
        "Does not count as a test."
    };
    format!("{head} {}", status(judged)).trim_end().to_owned()
}

/// One row a reading.
#[must_use]
pub fn table(judged: &[Judged], system: System) -> TextTable {
    let columns = [
        ("Line", Side::Right),
        ("Time", Side::Left),
        ("Day", Side::Right),
        ("Place", Side::Left),
        ("Test", Side::Left),
        ("Depth", Side::Right),
        ("Value", Side::Right),
        ("Counts", Side::Left),
    ];
    TextTable {
        columns: columns.map(|(name, side)| (name.to_owned(), side)).to_vec(),
        rows: judged
            .iter()
            .map(|judged| {
                let r = &judged.reading;
                vec![
                    r.line.to_string(),
                    written(r.time),
                    number((r.seconds / DAY).floor(), 0),
                    r.place.clone(),
                    r.method.word().to_owned(),
                    r.depth.map(|d| depth(d, system)).unwrap_or_default(),
                    value(r.method, r.value, system),
                    if judged.counts() { "yes" } else { "NO" }.to_owned(),
                ]
            })
            .collect(),
        strong_row: None,
    }
}

/// Why readings do not count, and what the log leaves unsaid.
#[must_use]
pub fn reasons(judged: &[Judged]) -> Vec<String> {
    let mut out: Vec<String> = judged
        .iter()
        .filter(|judged| !judged.counts())
        .map(|judged| {
            let r = &judged.reading;
            format!(
                "Line {} ({}, {}) does not count: {}",
                r.line,
                r.place,
                r.method.word(),
                status(judged)
            )
        })
        .collect();
    let mut unsaid: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for judged in judged.iter().filter(|judged| judged.counts()) {
        for what in &judged.not_stated {
            unsaid
                .entry(what)
                .or_default()
                .push(judged.reading.line.to_string());
        }
    }
    out.extend(unsaid.into_iter().map(|(what, lines)| {
        let lines = if lines.len() > LINES_NAMED {
            format!("{} lines", lines.len())
        } else {
            format!("line {}", lines.join(", "))
        };
        format!("Not stated, to be made sure of: {what} ({lines}).")
    }));
    out
}

fn area(scenario: &Scenario, system: System) -> String {
    let area = scenario.slab.area;
    match system {
        System::Si => area.in_si(),
        _ => area.in_us(),
    }
}

/// What the tests of the floor come to, one sentence or two a method.
#[must_use]
pub fn sentences(tests: &[FloorTest], scenario: &Scenario, system: System) -> Vec<String> {
    tests
        .iter()
        .map(|test| {
            let source = test
                .method
                .standard()
                .unwrap_or("common practice, no published source");
            let mut text = format!(
                "{}: {} of the {} places needed on {} ({source}) have a reading that counts.",
                capital(test.method.name()),
                test.places.len(),
                test.needed,
                area(scenario, system)
            );
            if let Some(worst) = test.worst() {
                text.push_str(&format!(
                    " Worst place: {}, {} on {}",
                    worst.place,
                    value(test.method, worst.value, system),
                    worst.time.date()
                ));
                match test.limit {
                    Some(limit) => text.push_str(&format!(
                        "; {} the limit of {}.",
                        if worst.meets == Some(true) {
                            "within"
                        } else {
                            "ABOVE"
                        },
                        value(test.method, limit, system)
                    )),
                    None => text.push('.'),
                }
                if let Some(spread) = test.spread()
                    && test.places.len() > 1
                    && test.method != Method::PlasticSheet
                {
                    text.push_str(&format!(
                        " The places differ by {}.",
                        value(test.method, spread, system)
                    ));
                }
            }
            text
        })
        .collect()
}

fn reading_json(judged: &Judged) -> Value {
    let r = &judged.reading;
    let reasons: Vec<Value> = match &judged.status {
        Status::Counts => Vec::new(),
        Status::DoesNotCount(shortfalls) => shortfalls
            .iter()
            .map(|s| json!({ "why": s.why, "spoils_value": s.spoils_value }))
            .collect(),
    };
    json!({
        "line": r.line,
        "time": r.time.to_string(),
        "seconds_since_placing": r.seconds,
        "place": r.place,
        "method": r.method.word(),
        "depth_m": r.depth,
        "value": r.value,
        "value_unit": r.method.si_unit(),
        "value_as_typed": r.typed,
        "standard_deviation": r.spread.map(|s| s.standard_deviation),
        "standard_deviation_source": r.spread.map(|s| s.source),
        "slab_temperature_c": r.slab_temperature,
        "air_temperature_c": r.air_temperature,
        "air_relative_humidity": r.air_relative_humidity,
        "exposure_s": r.exposure,
        "conditioned_s": r.conditioned,
        "ground_side_m": r.ground_side,
        "concrete": r.concrete.map(|kind| kind.word()),
        "note": r.note,
        "counts": judged.counts(),
        "reasons": reasons,
        "not_stated": judged.not_stated,
        "informs": judged.informs(),
        "limit": judged.limit,
        "meets_limit": judged.meets(),
    })
}

fn test_json(test: &FloorTest) -> Value {
    json!({
        "method": test.method.word(),
        "standard": test.method.standard(),
        "unit": test.method.si_unit(),
        "limit": test.limit,
        "wanted": test.wanted,
        "places_needed": test.needed,
        "places_counting": test.places.len(),
        "readings": test.readings,
        "meets_limit": test.meets(),
        "spread_between_places": test.spread(),
        "places": test.places.iter().map(|p| json!({
            "place": p.place,
            "line": p.line,
            "time": p.time.to_string(),
            "value": p.value,
            "meets_limit": p.meets,
        })).collect::<Vec<_>>(),
    })
}

/// All of it as one object.
#[must_use]
pub fn json(
    scenario: &Scenario,
    now: DateTime,
    judged: &[Judged],
    tests: &[FloorTest],
    faults: Option<&Faults>,
) -> Value {
    json!({
        "schema": "coatday/readings/1",
        "scenario": scenario.name,
        "as_of": now.to_string(),
        "readings": judged.iter().map(reading_json).collect::<Vec<_>>(),
        "tests": tests.iter().map(test_json).collect::<Vec<_>>(),
        "faults": faults.map(|f| f.faults.as_slice()).unwrap_or_default(),
    })
}

/// What was added, as one object.
#[must_use]
pub fn added_json(log: &str, addition: &Addition, judged: &[Judged]) -> Value {
    json!({
        "schema": "coatday/readings-added/1",
        "log": log,
        "added": judged.iter().map(reading_json).collect::<Vec<_>>(),
        "there_already": addition.there_already,
    })
}
