//! Input that would make a coating day of a wet face, or one that has passed before it can come.

use super::with;
use coatday::scenario::read;
use serde_json::{Value, json};

fn faults(coating: Value) -> Vec<String> {
    places(&with(&[("/coating", coating)]))
}

/// The places of a scenario's faults.
fn places(scenario: &Value) -> Vec<String> {
    match read(&scenario.to_string(), "floor.json") {
        Ok(_) => Vec::new(),
        Err(faults) => faults.faults.into_iter().map(|fault| fault.path).collect(),
    }
}

/// No product allows a face below the dew point, air full of water, or a floor that is still wet: a margin or a time below nothing and a
/// humidity beyond saturation are slips, and are refused with their place.
#[test]
fn analytic_limits_of_a_coating_stay_on_the_safe_side() {
    for (key, good, bad) in [
        ("dew_point_margin", "0 K", "-0.1 K"),
        ("highest_relative_humidity", "99 %", "100 %"),
        ("concrete_age", "0 days", "-1 days"),
        ("dry_time_after_wetting", "0 h", "-1 h"),
        ("test_validity", "365 days", "366 days"),
        ("cure_time", "1 h", "0.9 h"),
    ] {
        assert_eq!(faults(json!({ key: good })), [""; 0], "{key} {good}");
        assert_eq!(
            faults(json!({ key: bad })),
            [format!("coating.{key}")],
            "{key} {bad}"
        );
    }
}

/// A slab is placed, dries, and is coated, in this order; one day out of order is a fault of the later date. The same day will do.
#[test]
fn analytic_the_days_of_a_job_come_in_their_order() {
    let job = |placed: &str, starts: &str, needed: &str| {
        places(&with(&[
            ("/slab/placed", json!(placed)),
            ("/gear_on", json!(starts)),
            ("/needed_by", json!(needed)),
        ]))
    };
    let none = [""; 0];
    assert_eq!(job("2026-04-01", "2026-04-20", "2026-04-20"), none);
    assert_eq!(job("2026-04-01", "2026-04-20", "2026-04-19"), ["needed_by"]);
    assert_eq!(job("2026-04-21", "2026-04-20", "2026-05-15"), ["gear_on"]);
}
