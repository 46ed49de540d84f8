//! The library and the command give the same figures, and a fault in one is a fault in the other.

use assert_cmd::Command;
use coatday::units::format::Said;
use coatday::{Answer, Log, Sampling, System};
use serde::Serialize;
use serde_json::Value;

fn command(arguments: &[&str]) -> Value {
    let output = Command::cargo_bin("coatday")
        .expect("the program")
        .args(arguments)
        .output()
        .expect("a run");
    let faults = String::from_utf8_lossy(&output.stderr);
    serde_json::from_slice(&output.stdout).unwrap_or_else(|_| panic!("{faults}"))
}

/// As a program reads it.
fn value(data: &impl Serialize) -> Value {
    let text = serde_json::to_string(data).expect("JSON");
    serde_json::from_str(&text).expect("JSON")
}

const FEW: Sampling = Sampling {
    samples: 4,
    seed: 1,
};

/// With a walk too, whose work is in the drying: a library that left it out was a day and a hundred dollars off.
#[test]
fn regress_library_and_command_compare_alike() {
    for name in ["winter_warehouse", "grind_or_etch"] {
        let path = format!("scenarios/{name}.json");
        let job = coatday::open(&path).expect("a sound scenario");
        let found = value(&coatday::compare(&job, FEW).data());
        let told = command(&["compare", &path, "--json", "--no-charts", "--samples", "4"]);
        assert_eq!(found, told, "{name}");
    }
}

#[test]
fn regress_library_and_command_answer_alike() {
    let path = "scenarios/wash_first.json";
    let job = coatday::open(path).expect("a sound scenario");
    let none = Sampling {
        samples: 0,
        seed: 1,
    };
    let prep = coatday::prep(&job, none).expect("a walk");
    let told = command(&["prep", path, "--json", "--no-charts", "--samples", "0"]);
    assert_eq!(value(&prep.data()), told);
    let points_to_prep = |notices: &[Said]| {
        let mut said = notices.iter().map(|n| n.of(System::Us));
        said.any(|n| n.contains("coatday prep"))
    };
    assert!(points_to_prep(&job.notices) && !points_to_prep(prep.notices));
    let size = coatday::size(&job).expect("a check");
    assert_eq!(
        value(&size.data()),
        command(&["size", path, "--json", "--no-charts"])
    );
    let explain = coatday::explain(&job, None, None, Sampling::default()).expect("an explanation");
    assert_eq!(
        value(&explain.data()),
        command(&["explain", path, "--json", "--no-charts"])
    );
    let check = coatday::check(path).expect("a sound scenario");
    assert_eq!(value(&check.data()), command(&["check", path, "--json"]));
}

#[test]
fn regress_a_class_that_is_not_there_opens_no_job() {
    let text = std::fs::read_to_string("scenarios/winter_warehouse.json").expect("the file");
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("job.json");
    std::fs::write(&path, text.replace("low_grain_large", "no_such_thing")).expect("written");
    let fault = coatday::open(&path).expect_err("a fault").to_string();
    assert!(fault.contains("no_such_thing"), "{fault}");
}

#[test]
fn analytic_what_is_not_there_is_said() {
    let job = coatday::open("scenarios/late_floor.json").expect("a sound scenario");
    let fault = coatday::explain(&job, Some("Nobody"), None, FEW).expect_err("no such setup");
    assert!(fault.to_string().contains("no setup \"Nobody\""), "{fault}");
    let fault = coatday::plan(&job, FEW).expect_err("no gear to choose from");
    assert!(
        fault.to_string().starts_with("\"plan\" is missing"),
        "{fault}"
    );
    let fault = coatday::prep(&job, FEW).expect_err("no walk");
    assert!(fault.to_string().contains("walk"), "{fault}");
    let made = jiff::civil::date(2026, 11, 16);
    let page = coatday::report(&job, None, Some(&Log::default()), made, FEW, System::Si);
    assert!(page.expect("a report").first.is_some());
}
