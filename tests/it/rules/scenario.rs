//! Input that would make a coating day of a wet face.

use super::with;
use coatday::scenario::read;
use serde_json::{Value, json};

fn faults(coating: Value) -> Vec<String> {
    let scenario = with(&[("/coating", coating)]);
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
