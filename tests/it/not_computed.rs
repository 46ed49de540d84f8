//! A setup on which the solver gives up has no figures, and the others are what they are without it.

use coatday::{Answer, OpenJob, Sampling, System};
use serde::Serialize;
use serde_json::{Value, json};
use std::path::Path;
use tempfile::TempDir;

const ONE_RUN: Sampling = Sampling {
    samples: 0,
    seed: 1,
};
const WITH_ODDS: Sampling = Sampling {
    samples: 4,
    seed: 1,
};

/// A room of 3 m3: to dry it is a matter of one small heater, and a thousand of the largest desiccants are beyond the solver.
fn scenario(setups: &[&str]) -> Value {
    let of = |name: &str| {
        let gear = match name {
            "Heat" => {
                json!([{ "heater": { "class": "electric_1500w", "thermostat": { "setpoint": "25 degC" } } }])
            }
            "Huge" => Value::from(vec![
                json!({ "desiccant": { "class": "desiccant_8500_burner", "count": 1000 } });
                50
            ]),
            _ => json!([]),
        };
        json!({ "name": name, "gear": gear })
    };
    let setups: Vec<Value> = setups.iter().map(|name| of(name)).collect();
    json!({
        "name": "Tiny room",
        "site": { "weather": { "constant": { "temperature": "15 degC", "relative_humidity": "50 %" } } },
        "slab": { "area": "1 m2", "thickness": "100 mm", "placed": "2026-09-01" },
        "room": { "height": "3 m" },
        "gear_on": "2026-09-29",
        "needed_by": "2026-12-20",
        "give_up_after": "120 days",
        "targets": [{ "relative_humidity_at_depth": { "limit": "85 %" } }],
        "setups": setups
    })
}

fn walked(setups: &[&str]) -> Value {
    let mut scenario = scenario(setups);
    scenario["walk"] = json!({
        "areas": [{ "name": "Hall", "substrate": "concrete", "size": "1 m2" }],
        "findings": []
    });
    scenario
}

fn written(folder: &Path, scenario: &Value) -> std::path::PathBuf {
    let path = folder.join("tiny.json");
    std::fs::write(&path, scenario.to_string()).expect("a file");
    path
}

fn open(scenario: &Value) -> OpenJob {
    let folder = TempDir::new().expect("a folder");
    coatday::open(written(folder.path(), scenario)).expect("a sound scenario")
}

fn value(data: &impl Serialize) -> Value {
    serde_json::to_value(data).expect("JSON")
}

fn setups(data: &Value) -> &[Value] {
    data["setups"].as_array().expect("setups")
}

/// All that may be said: the name, why, and what the gear alone says.
fn has_no_figure(setup: &Value, told: &[&str]) {
    let why = setup["never_reason"].as_str().expect("a reason");
    assert!(why.starts_with("Not computed: "), "{why}");
    for (key, value) in setup.as_object().expect("an object") {
        if key == "verdict" {
            for figure in ["date", "days", "range", "chance_by_needed_by"] {
                assert!(value[figure].is_null(), "{figure}: {value}");
            }
            assert_eq!(
                (&value["state"], &value["timing"]),
                (&json!("not_computed"), &json!("not_said"))
            );
        } else if !told.contains(&key.as_str()) {
            assert!(value.is_null(), "{key}: {value}");
        }
    }
}

fn cells_without_figure(row: &[String]) {
    assert_eq!(row[0], "Huge");
    assert!(row.contains(&"not computed".to_owned()), "{row:?}");
    for cell in &row[1..] {
        assert!(!cell.contains(|c: char| c.is_ascii_digit()), "{row:?}");
    }
}

#[test]
fn analytic_what_was_not_computed_stands_last_and_has_no_figure() {
    let (with, without) = (
        open(&scenario(&["Huge", "Nothing", "Heat"])),
        open(&scenario(&["Nothing", "Heat"])),
    );
    for sampling in [ONE_RUN, WITH_ODDS] {
        let (found, alone) = (
            coatday::compare(&with, sampling),
            coatday::compare(&without, sampling),
        );
        assert_eq!(found.compared.outcomes, alone.compared.outcomes);
        assert_eq!(found.compared.outcomes.len(), 2);
        assert_eq!(found.compared.outcomes[0].name, "Heat");
        let gave_up = &found.compared.not_computed;
        assert_eq!(gave_up.len(), 1);
        assert_eq!(gave_up[0].setup, "Huge");

        let (told, told_alone) = (value(&found.data()), value(&alone.data()));
        let (told, told_alone) = (setups(&told), setups(&told_alone));
        assert_eq!(told[..2], *told_alone);
        let may = ["name", "never_reason", "cost_incomplete", "notes"];
        has_no_figure(&told[2], &may);
        let keys = |setup: &Value| -> Vec<String> {
            setup
                .as_object()
                .expect("an object")
                .keys()
                .cloned()
                .collect()
        };
        assert_eq!(keys(&told[2]), keys(&told[0]));
        assert_eq!(told[2]["name"], "Huge");
        assert_eq!(told[2]["notes"], json!([]));

        let table = coatday::results::compare::table(&found, System::Si);
        assert_eq!(table.rows.len(), 3);
        cells_without_figure(&table.rows[2]);
        let table_alone = coatday::results::compare::table(&alone, System::Si);
        assert_eq!(table.rows[..2], *table_alone.rows);
    }
}

/// Nothing is known of it, so none may be called the only one or the last.
#[test]
fn analytic_no_setup_is_spoken_of_that_was_not_computed() {
    let headline = |names: &[&str]| {
        let open = open(&scenario(names));
        let found = coatday::compare(&open, ONE_RUN);
        coatday::results::compare::headline(&found.verdicts, System::Si)
    };
    assert_eq!(headline(&["Huge", "Heat"]), headline(&["Heat"]));
    let told = headline(&["Huge"]);
    assert!(told.starts_with("Huge: not computed: "), "{told}");
    let mut never = scenario(&["Huge", "Nothing"]);
    never["give_up_after"] = json!("30 days");
    never["needed_by"] = json!("2026-10-20");
    let open = open(&never);
    let found = coatday::compare(&open, ONE_RUN);
    let told = coatday::results::compare::headline(&found.verdicts, System::Si);
    assert!(told.starts_with("Nothing: not dry by "), "{told}");
}

#[test]
fn analytic_the_gear_that_was_not_computed_has_no_load() {
    let open = open(&scenario(&["Huge", "Heat"]));
    let found = coatday::size(&open).expect("a check");
    assert_eq!(found.checked.setups.len(), 1);
    let data = value(&found.data());
    let setup = &setups(&data)[1];
    assert_eq!(setup["name"], "Huge");
    assert_eq!(setup["verdict"], "not computed");
    for key in ["days_to_target", "fits", "tried", "peak_week", "whole_run"] {
        assert!(setup[key].is_null(), "{key}");
    }
    for key in ["weeks", "dehumidifiers"] {
        assert_eq!(setup[key], json!([]), "{key}");
    }
    let table = coatday::results::size::table(&found.checked, System::Si);
    let row = &table.rows[1];
    let load = table.columns.len() - 1;
    cells_without_figure(&row[..load]);
}

#[test]
fn analytic_a_prepared_floor_has_no_day_for_what_was_not_computed() {
    let (with, without) = (
        open(&walked(&["Huge", "Nothing", "Heat"])),
        open(&walked(&["Nothing", "Heat"])),
    );
    let data = |open: &OpenJob| value(&coatday::prep(open, ONE_RUN).expect("a walk").data());
    let (told, told_alone) = (data(&with), data(&without));
    assert_eq!(told["coating_day"], told_alone["coating_day"]);
    assert_eq!(setups(&told)[..2], *setups(&told_alone));
    let may = [
        "name",
        "never_reason",
        "no_coating_day_reason",
        "cost_incomplete",
    ];
    has_no_figure(&setups(&told)[2], &may);
}

/// Only a solver that gave up on all is a failure of the command.
#[test]
fn analytic_a_command_fails_when_nothing_was_computed() {
    let folder = TempDir::new().expect("a folder");
    let code = |command: &str, scenario: &Value| {
        let path = written(folder.path(), scenario);
        let mut run = assert_cmd::Command::cargo_bin("coatday").expect("the program");
        let run = run.arg(command).arg(path).args(["--json", "--no-charts"]);
        let run = if command == "size" {
            run
        } else {
            run.args(["--samples", "0"])
        };
        run.output().expect("a run").status.code()
    };
    for command in ["compare", "size", "prep"] {
        assert_eq!(code(command, &walked(&["Huge"])), Some(3), "{command}");
        assert_eq!(
            code(command, &walked(&["Huge", "Heat"])),
            Some(0),
            "{command}"
        );
    }
}
