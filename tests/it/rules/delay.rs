//! Actions that buy days back: what they gain and what they cost.

use super::{run, with};
use serde_json::{Value, json};

/// One more fan is charged with what two fans cost more than one, and gains the days by which two are sooner.
#[test]
fn analytic_an_action_costs_what_it_costs_more() {
    let fans = |count: u32| {
        let fan =
            json!({ "fan": { "class": "fan_axial_large", "count": count, "rent": ["10 $/day"] } });
        with(&[
            ("/setups/0/gear", json!([fan])),
            ("/prices", json!({ "electricity": "0.2 $/kWh" })),
            ("/targets/0/relative_humidity_at_depth/limit", json!("88 %")),
        ])
    };
    let of = |count: u32| run("compare", &fans(count), &["--samples", "0"])["setups"][0].clone();
    let (one, two) = (of(1), of(2));
    let more = |key: &str| {
        let number = |setup: &Value| setup[key].as_f64().expect("a number");
        number(&two) - number(&one)
    };
    assert!(more("cost") > 1.0, "{}", more("cost"));
    let explained = run("explain", &fans(1), &[]);
    let mut actions = explained["actions"].as_array().expect("actions").iter();
    let fan = actions
        .rfind(|action| {
            action["action"]
                .as_str()
                .is_some_and(|name| name.starts_with("One more fan"))
        })
        .expect("one more fan");
    let number = |key: &str| fan[key].as_f64().expect("a number");
    assert!(
        (number("cost") - more("cost")).abs() < 1e-6 * more("cost"),
        "{fan:#} {}",
        more("cost")
    );
    assert!(
        (number("days_gained") + more("days_to_target")).abs() < 1e-6,
        "{fan:#}"
    );
}
