//! A limit that nobody gave, and one beyond the published drying times, are named wherever a date rests on them.

use super::{floor, run_beside, with};
use assert_cmd::Command;
use serde_json::{Value, json};
use std::fs;
use tempfile::TempDir;

const NOT_GIVEN: &str = "No limit is given, so 75 % relative humidity at depth is assumed.";
const BELOW: &str = "is below all published drying times. They end at 85 %. The date is less sure";

/// Commands that show a date, with what makes them quick.
const WITH_A_DATE: [(&str, &[&str]); 6] = [
    ("compare", &["--samples", "0"]),
    ("plan", &["--samples", "8"]),
    ("forecast", &["--samples", "16"]),
    ("explain", &[]),
    ("size", &[]),
    ("prep", &["--samples", "0"]),
];

/// A floor with gear on hand and a walk, with these targets or none.
fn with_targets(targets: Option<Value>) -> Value {
    let mut scenario = with(&[
        (
            "/plan",
            json!({ "swap_after": [], "on_hand": [{ "gear": { "fan": { "class": "fan_axial_large", "rent": ["9 $/day"] } } }] }),
        ),
        (
            "/promised",
            json!({ "name": "as bid", "water_cement_ratio": 0.4 }),
        ),
        ("/needed_by", json!("2026-07-20")),
        ("/give_up_after", json!("700 days")),
        (
            "/setups/0/gear",
            json!([{ "dehumidifier": { "class": "low_grain_medium" } }]),
        ),
        (
            "/walk",
            json!({ "areas": [{ "name": "Hall", "substrate": "concrete", "size": "100 m2" }], "findings": [], "wanted_profile": 2, "method": "vacuum_grinding" }),
        ),
    ]);
    let object = scenario.as_object_mut().expect("an object");
    match targets {
        Some(targets) => object.insert("targets".into(), targets),
        None => object.remove("targets"),
    };
    scenario
}

fn humidity(limit: &str) -> Value {
    json!([{ "relative_humidity_at_depth": { "limit": limit } }])
}

/// What people read in the terminal, on one line.
pub(super) fn text(command: &str, scenario: &Value, more: &[&str]) -> String {
    let folder = TempDir::new().expect("a folder");
    fs::write(folder.path().join("floor.json"), scenario.to_string()).expect("a file");
    let output = Command::cargo_bin("coatday")
        .expect("the program")
        .current_dir(folder.path())
        .args([command, "floor.json"])
        .args(more)
        .output()
        .expect("a run");
    let words = crate::plain(&output.stdout);
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn said(command: &str, scenario: &Value, more: &[&str]) -> (String, String) {
    let more = [&["--no-charts"], more].concat();
    let object = run_beside(command, scenario, &[], &more);
    let limits: Vec<&str> = object["limits"]
        .as_array()
        .unwrap_or_else(|| panic!("{command}: {object:#}"))
        .iter()
        .filter_map(Value::as_str)
        .collect();
    (
        text(command, scenario, &more),
        crate::plain(limits.join(" ")),
    )
}

#[test]
fn every_date_says_that_no_limit_was_given_and_that_it_lies_below_the_fitted_range() {
    for (command, more) in WITH_A_DATE {
        let (words, limits) = said(command, &with_targets(None), more);
        for shown in [words, limits] {
            assert!(shown.contains(NOT_GIVEN), "{command}: {shown}");
            assert!(shown.contains(BELOW), "{command}: {shown}");
        }
    }
}

#[test]
fn limits_that_are_given_and_within_the_fitted_range_need_no_word() {
    for (command, more) in WITH_A_DATE {
        let (words, limits) = said(command, &with_targets(Some(humidity("88 %"))), more);
        assert_eq!(limits, "", "{command}");
        assert!(
            !words.contains("No limit is given") && !words.contains("less sure"),
            "{command}: {words}"
        );
    }
    let (_, limits) = said(
        "compare",
        &with_targets(Some(humidity("84.9 %"))),
        &["--samples", "0"],
    );
    assert!(
        limits.contains(BELOW) && !limits.contains(NOT_GIVEN),
        "{limits}"
    );
}

/// Whether a floor may be coated rests on the limit too, though no date is shown.
#[test]
fn tests_of_the_floor_say_that_no_limit_was_given() {
    let air = [
        "--air-temperature",
        "20 degC",
        "--air-relative-humidity",
        "50 %",
        "--slab-temperature",
        "20 degC",
    ];
    for (command, more) in [("today", &air[..]), ("readings", &[])] {
        let (words, limits) = (
            text(command, &with_targets(None), more),
            text(command, &floor(), more),
        );
        assert!(words.contains(NOT_GIVEN), "{command}: {words}");
        assert!(!limits.contains("No limit is given"), "{command}: {limits}");
    }
}

#[test]
fn page_one_of_the_report_names_the_limit_taken() {
    let folder = TempDir::new().expect("a folder");
    let page = |scenario: &Value| {
        fs::write(folder.path().join("floor.json"), scenario.to_string()).expect("a file");
        let output = Command::cargo_bin("coatday")
            .expect("the program")
            .current_dir(folder.path())
            .args([
                "report",
                "floor.json",
                "--date",
                "2026-04-20",
                "--samples",
                "0",
            ])
            .output()
            .expect("a run");
        assert!(
            output.status.code().is_some_and(|code| code < 2),
            "{output:?}"
        );
        let html = fs::read_to_string(folder.path().join("plots/floor-report.html")).expect("HTML");
        let first = html
            .split("<div class=\"first\">")
            .nth(1)
            .expect("a first page");
        let end = first.find("class=\"release\"").expect("its end");
        crate::plain(&first[..end])
    };
    let bare = page(&with_targets(None));
    assert!(
        bare.contains("No limit is given, so 75 %") && bare.contains("The date is less sure"),
        "{bare}"
    );
    assert!(!page(&with_targets(Some(humidity("88 %")))).contains("No limit is given"));
}

/// The first thing that `check` asks for is the limit; what stands in the scenario is not asked for.
#[test]
fn check_asks_for_the_limit_first() {
    let questions = |scenario: &Value| -> Vec<String> {
        let asked = run_beside("check", scenario, &[], &[])["open_questions"].clone();
        serde_json::from_value(asked).expect("questions")
    };
    let bare = with_targets(None);
    let asked = questions(&bare);
    assert!(
        asked[0].starts_with("What moisture limit does the coating's data sheet give?"),
        "{asked:?}"
    );
    let words = text("check", &bare, &[]);
    let place = |part: &str| {
        words
            .find(part)
            .unwrap_or_else(|| panic!("{part}: {words}"))
    };
    assert!(place("What moisture limit") < place("slab: thickness"));
    let asked = questions(&floor());
    assert!(
        asked.len() == 1 && asked[0].starts_with("How warm and how damp"),
        "{asked:?}"
    );
    let known = with(&[(
        "/service",
        json!({ "temperature": "20 degC", "relative_humidity": "45 %" }),
    )]);
    assert!(questions(&known).is_empty());
}
