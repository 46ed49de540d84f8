//! Rules whose breaking hurts people, money or dates, each broken by hand once to see its test fail (DEVELOPERS.md, Tests).
//!
//! They go through the command line and its JSON where they can, so that they hold whatever the rooms look like inside.

mod coating_day;
mod column;
mod decide;
mod delay;
mod evaluate;
mod job;
mod limits;
mod log;
mod preparation;
mod results;
mod scenario;
mod search;
mod simulation;
mod work_on_the_day;

use assert_cmd::Command;
use coatday::job::Job;
use coatday::scenario::read;
use serde_json::{Value, json};
use std::fs;
use tempfile::TempDir;

/// A thin floor in steady air, dry within weeks, with no gear.
fn floor() -> Value {
    json!({
        "name": "Invented floor",
        "site": {"weather": {"constant": {"temperature": "15 degC", "relative_humidity": "50 %", "wind_speed": "3 m/s"}}},
        "slab": {"area": "100 m2", "thickness": "80 mm", "water_cement_ratio": 0.45, "placed": "2026-04-01",
                 "finish": "floated", "underside": "sealed"},
        "room": {"height": "3 m", "air_changes_per_hour": 0.5},
        "gear_on": "2026-04-20", "needed_by": "2026-05-15", "give_up_after": "120 days",
        "targets": [{"relative_humidity_at_depth": {"limit": "88 %"}}],
        "setups": [{"name": "Plain", "gear": []}]
    })
}

/// [`floor`] with the value at each of these places put in.
fn with(changes: &[(&str, Value)]) -> Value {
    let mut scenario = floor();
    for (pointer, value) in changes {
        let (parent, key) = pointer.rsplit_once('/').expect("a place");
        let parent = scenario.pointer_mut(parent).expect("what it lies in");
        parent[key] = value.clone();
    }
    scenario
}

/// What a command says about a scenario as JSON.
fn run(command: &str, scenario: &Value, more: &[&str]) -> Value {
    let mut arguments = vec!["--no-charts"];
    arguments.extend(more);
    run_beside(command, scenario, &[], &arguments)
}

/// The same with files beside the scenario, by name and content.
fn run_beside(command: &str, scenario: &Value, files: &[(&str, &str)], more: &[&str]) -> Value {
    let folder = TempDir::new().expect("a folder");
    fs::write(folder.path().join("floor.json"), scenario.to_string()).expect("a file");
    for (name, content) in files {
        fs::write(folder.path().join(name), content).expect("a file");
    }
    let output = Command::cargo_bin("coatday")
        .expect("the program")
        .current_dir(folder.path())
        .args([command, "floor.json", "--json"])
        .args(more)
        .output()
        .expect("a run");
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&output.stderr)))
}

fn job(scenario: &Value) -> Job {
    let scenario =
        read(&scenario.to_string(), "floor.json").unwrap_or_else(|faults| panic!("{faults}"));
    let (weather, _) =
        coatday::job::weather(&scenario, &|_| Err("no file".into())).expect("weather");
    Job::of(&scenario, weather)
}
