//! The coating day behind the work: which end of its range is which.

use super::{run, with};
use serde_json::{Value, json};

/// One sampled floor in ten is ready by the first date, nine in ten by the last.
#[test]
fn analytic_the_coating_day_has_its_early_end_first() {
    let walk = json!({
        "areas": [{ "name": "Hall", "substrate": "concrete", "size": "100 m2", "perimeter": "40 m" }],
        "findings": [],
        "wanted_profile": 2
    });
    let scenario = with(&[
        ("/walk", walk),
        ("/needed_by", Value::Null),
        ("/targets/0/relative_humidity_at_depth/limit", json!("88 %")),
    ]);
    let prepared = run("prep", &scenario, &["--samples", "12"]);
    let date = |end: &str| {
        prepared["odds"][end]
            .as_str()
            .unwrap_or_else(|| panic!("{prepared:#}"))
    };
    assert!(
        date("p10") < date("p50") && date("p50") < date("p90"),
        "{:#}",
        prepared["odds"]
    );
}
