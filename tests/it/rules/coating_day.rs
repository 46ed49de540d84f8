//! May this floor be coated today: tests that are too old, weather that leaves the window, the strictest of the limits.

use super::{run_beside, with};
use serde_json::{Value, json};

const LOG: &str = "floor-readings.csv";
/// 80 mm dry from one face, so a probe stands at 32 mm.
const HEAD: &str = "time,place,method,depth,value,exposure,conditioned,note\n";

/// 90 m2 need three tests (ASTM F2170).
fn scenario(changes: &[(&str, Value)]) -> Value {
    let mut all = vec![("/slab/area", json!("90 m2"))];
    all.extend_from_slice(changes);
    with(&all)
}

/// A probe that meets every rule of its standard.
fn probe(day: &str, place: &str, percent: f64) -> String {
    format!("{day} 08:00,{place},probe,32 mm,{percent} %,26 h,3 days,\n")
}

/// The rule of this name at noon of 24 June with mild air over a mild slab.
fn rule(scenario: &Value, files: &[(&str, &str)], more: &[&str], name: &str) -> Value {
    let mut arguments = vec!["--at", "2026-06-24 12:00"];
    arguments.extend([
        "--air-temperature",
        "18 degC",
        "--air-relative-humidity",
        "50 %",
    ]);
    arguments.extend(["--slab-temperature", "17 degC"]);
    arguments.extend(more);
    arguments.push("--no-date");
    let day = run_beside("today", scenario, files, &arguments);
    let rules = day["rules"].as_array().expect("rules");
    let found = rules.iter().find(|rule| rule["name"] == name);
    found.unwrap_or_else(|| panic!("{day:#}")).clone()
}

/// A test says how the floor was on its day, for 30 days: the oldest of those that the verdict stands on decides, not the latest.
#[test]
fn analytic_the_oldest_test_decides() {
    // 29 and 31 days before 24 June.
    for (oldest, verdict) in [("2026-05-26", "go"), ("2026-05-24", "wait")] {
        for old in ["A", "B", "C"] {
            let day = |place: &str| if place == old { oldest } else { "2026-06-23" };
            let rows = ["A", "B", "C"].map(|place| probe(day(place), place, 85.0));
            let log = format!("{HEAD}{}", rows.concat());
            let rule = rule(&scenario(&[]), &[(LOG, &log)], &[], "tests: humidity probe");
            assert_eq!(rule["says"], verdict, "{rule:#}");
        }
    }
}

/// Of two limits for one test the stricter one holds, in whatever order they stand.
#[test]
fn analytic_the_strictest_limit_holds() {
    let limit = |percent: &str| json!({ "relative_humidity_at_depth": { "limit": percent } });
    let log = format!(
        "{HEAD}{}",
        ["A", "B", "C"]
            .map(|place| probe("2026-06-23", place, 87.0))
            .concat()
    );
    for targets in [
        json!([limit("90 %"), limit("85 %")]),
        json!([limit("85 %"), limit("90 %")]),
    ] {
        let scenario = scenario(&[("/targets", targets)]);
        let rule = rule(&scenario, &[(LOG, &log)], &[], "tests: humidity probe");
        assert_eq!(
            (&rule["says"], &rule["limit"]),
            (&json!("no"), &json!(0.85)),
            "{rule:#}"
        );
        let read = run_beside(
            "readings",
            &scenario,
            &[(LOG, &log)],
            &["--at", "2026-06-24"],
        );
        assert_eq!(read["tests"][0]["meets_limit"], json!(false));
    }
}

/// A hot afternoon and a cold night before the coating has set are both outside the window of 10 to 32 degC.
#[test]
fn analytic_heat_and_cold_through_the_cure() {
    let verdict = |hour_15: f64| {
        let mut forecast = String::from("time,temperature_c,relative_humidity_percent\n");
        for hour in 11..40 {
            let temperature = if hour == 15 { hour_15 } else { 18.0 };
            forecast += &format!(
                "2026-06-{:02} {:02}:00,{temperature},40\n",
                24 + hour / 24,
                hour % 24
            );
        }
        let files = [("forecast.csv", forecast.as_str())];
        let more = ["--forecast", "forecast.csv"];
        rule(
            &scenario(&[]),
            &files,
            &more,
            "temperature through the cure",
        )["says"]
            .clone()
    };
    assert_eq!(verdict(18.0), "go");
    assert_eq!(verdict(34.0), "wait");
    assert_eq!(verdict(8.0), "wait");
}
