//! Tests of the `prep` room and of the command `prep`.
//!
//! Quantities are held against cases worked by hand; the calendar against a plain search and as properties. Waits, rates and packs are
//! common practice, no published source, and are not checked here beyond being used as they stand.

mod calendar;
mod coating;
mod command;
mod conditions;
mod methods;
mod scenarios;
mod survey;
mod takeoff;

use coatday::preparation::{Depth, Prepared, prepare_floor};
use coatday::scenario::{self, Scenario};
use serde_json::{Value, json};

/// A job with this walk; the slab is 100 m2 of 150 mm.
fn with_walk(walk: &Value) -> Value {
    json!({
        "name": "Hall",
        "site": {"weather": {"constant": {"temperature": "15 degC", "relative_humidity": "50 %"}}},
        "slab": {"area": "100 m2", "thickness": "150 mm", "placed": "2026-08-03"},
        "room": {"height": "4 m"},
        // A Monday.
        "gear_on": "2026-10-05",
        "give_up_after": "200 days",
        "targets": [{"relative_humidity_at_depth": {"limit": "95 %"}}],
        "setups": [{"name": "Plain", "gear": []}],
        "walk": walk
    })
}

fn read(scenario: &Value) -> Scenario {
    let text = serde_json::to_string_pretty(scenario).unwrap();
    scenario::read(&text, "hall.json").unwrap_or_else(|faults| panic!("{faults}"))
}

/// Every fault of a scenario with this walk: path, message.
fn faults(walk: &Value) -> Vec<(String, String)> {
    let text = serde_json::to_string_pretty(&with_walk(walk)).unwrap();
    let faults = scenario::read(&text, "hall.json").expect_err("has faults");
    faults
        .faults
        .iter()
        .map(|f| {
            assert!(f.line > 0 && f.column > 0);
            (f.path.clone(), f.message.clone())
        })
        .collect()
}

/// One concrete hall of 100 m2 with these findings.
fn hall(findings: &Value) -> Value {
    json!({
        "areas": [{"name": "Hall", "substrate": "concrete", "size": "100 m2", "perimeter": "40 m"}],
        "findings": findings,
        "wanted_profile": 2
    })
}

/// Tasks alone.
fn prepared(walk: &Value) -> Prepared {
    let scenario = read(&with_walk(walk));
    let walk = scenario.walk.clone().unwrap();
    prepare_floor(&scenario, &walk, &[], Depth::Tasks).unwrap()
}

#[track_caller]
fn near(found: f64, wanted: f64) {
    assert!(
        (found - wanted).abs() <= 1e-9 * wanted.abs().max(1.0),
        "found {found}, wanted {wanted}"
    );
}
