//! `coatday check` reads all that the scenario names, and says what the open questions are worth.

use std::fs;
use std::process::Command;

use serde_json::{Value, json};
use tempfile::TempDir;

struct Place(TempDir);

impl Place {
    fn with(files: &[(&str, &str)]) -> Self {
        let place = Self(TempDir::new().unwrap());
        for (name, text) in files {
            fs::write(place.0.path().join(name), text).unwrap();
        }
        place
    }

    /// Exit code, standard output, standard error.
    fn run(&self, arguments: &[&str]) -> (i32, String, String) {
        self.run_at("100", arguments)
    }

    /// The same on a screen of another width.
    fn run_at(&self, columns: &str, arguments: &[&str]) -> (i32, String, String) {
        let output = Command::new(env!("CARGO_BIN_EXE_coatday"))
            .args(arguments)
            .current_dir(self.0.path())
            .env("COLUMNS", columns)
            .env("NO_COLOR", "1")
            .output()
            .unwrap();
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        let code = output.status.code().unwrap_or(-1);
        (code, text(output.stdout), text(output.stderr))
    }
}

fn hall() -> Value {
    json!({
        "name": "Hall",
        "site": { "weather": { "constant": { "temperature": "15 degC", "relative_humidity": "50 %" } } },
        "slab": { "area": "500 m2", "thickness": "100 mm", "placed": "2026-10-01" },
        "room": { "height": "4 m" },
        "gear_on": "2026-11-02",
        "setups": [{ "name": "Heat", "gear": [
            { "heater": { "class": "indirect_fired_50kw" } }, { "dehumidifier": { "class": "low_grain_large", "count": 2 } }
        ] }]
    })
}

fn with_walk() -> Value {
    let mut hall = hall();
    hall["walk"] = json!({
        "areas": [{ "name": "A", "substrate": "concrete", "size": "500 m2" }],
        "findings_csv": "findings.csv"
    });
    hall
}

#[test]
fn regress_check_reads_every_file_that_is_named() {
    // A fault in the findings and none in the scenario: what `prep` refuses, `check` refuses.
    let place = Place::with(&[
        ("a.json", &with_walk().to_string()),
        (
            "findings.csv",
            "kind,area,size,depth\nbroken,B,2 ft2,1/2 in\nbroken,A,2,1/2 in\n",
        ),
    ]);
    let (code, out, err) = place.run(&["check", "a.json"]);
    assert_eq!((code, out.as_str()), (2, ""), "{err}");
    for part in [
        "findings.csv:2:8",
        "There is no area \"B\"",
        "findings.csv:3:10",
        "Write \"2 ft2\" or \"2 m2\".",
    ] {
        assert!(err.contains(part), "{part}: {err}");
    }
    assert_eq!(place.run(&["prep", "a.json"]).0, 2);
    // Weather and findings in one answer.
    let mut both = with_walk();
    both["site"]["weather"] = json!({ "epw": { "file": "none.epw" } });
    let place = Place::with(&[
        ("a.json", &both.to_string()),
        ("findings.csv", "kind,area\ncrack,B\n"),
    ]);
    let (code, _, err) = place.run(&["check", "a.json"]);
    assert_eq!(code, 2);
    for part in ["none.epw", "findings.csv:2:7"] {
        assert!(err.contains(part), "{part}: {err}");
    }
    // The log beside it.
    let log = "time,place,method,depth,value\n2026-11-20 08:30,A,probe,40 mm,84\n";
    let place = Place::with(&[("a.json", &hall().to_string()), ("a-readings.csv", log)]);
    let (code, out, err) = place.run(&["check", "a.json"]);
    assert_eq!((code, out.as_str()), (2, ""), "{err}");
    assert!(
        err.contains("a-readings.csv:2:") && err.contains("Write \"84 %\"."),
        "{err}"
    );
    let good = log.replace(",84", ",84 %");
    let place = Place::with(&[("a.json", &hall().to_string()), ("a-readings.csv", &good)]);
    let (code, _, err) = place.run(&["check", "a.json"]);
    assert_eq!(code, 0, "{err}");
    assert!(
        err.contains("No faults, and 1 reading in the log."),
        "{err}"
    );
}

#[test]
fn regress_open_questions_stand_in_the_order_of_their_worth() {
    let mut hall = hall();
    hall["targets"] = json!([{ "relative_humidity_at_depth": { "limit": "85 %" } }]);
    let place = Place::with(&[("a.json", &hall.to_string())]);
    let (code, out, err) = place.run(&["check", "a.json", "--json"]);
    assert_eq!(code, 0, "{err}");
    let found: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(found["assumptions_with"], "Heat");
    let worth: Vec<f64> = found["assumptions"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| {
            let instead = one["instead"].as_array().unwrap().iter();
            instead
                .map(|other| other["days_later"].as_f64().map_or(f64::INFINITY, f64::abs))
                .fold(0.0, f64::max)
        })
        .collect();
    assert!(worth.len() > 4, "{out}");
    assert!(worth.is_sorted_by(|a, b| a >= b), "{worth:?}");
    let (_, text, _) = place.run(&["check", "a.json"]);
    assert!(text.contains("Assumed with Heat: "), "{text}");
    // The machine by its size, not by its key.
    let (_, wide, _) = place.run_at("1000", &["check", "a.json"]);
    assert!(
        wide.contains("indirect-fired heater, 170\u{a0}kBtu/h")
            || wide.contains("indirect-fired heater, 170 kBtu/h"),
        "{wide}"
    );
}

/// Names of an earlier version are read as the new ones; every command says so once.
#[test]
fn regress_old_names_are_read_with_one_notice() {
    let mut new = hall();
    new["site"]["weather"] = json!({ "by_month": {
        "mean_temperature": vec!["10 degC"; 12], "relative_humidity": vec!["70 %"; 12]
    } });
    new["room"]["enclosed"] = json!("2026-10-20");
    new["needed_by"] = json!("2027-03-15");
    new["promised"] = json!({ "enclosed": "2026-10-12", "gear_on": "2026-10-12" });
    new["plan"] = json!({
        "on_hand": [{ "gear": { "heater": { "class": "indirect_fired_50kw", "rent": ["95 $/day"] } } }],
        "power_limit": "20 kW",
        "swap_after": ["14 days"]
    });
    let new = new.to_string();
    let mut old = new.clone();
    for (name, now) in coatday::scenario::renamed() {
        assert!(new.contains(&format!("\"{now}\"")), "{now} is not tested");
        old = old.replace(&format!("\"{now}\""), &format!("\"{name}\""));
    }
    let read = |text: &str| {
        coatday::scenario::read(text, "a.json").unwrap_or_else(|faults| panic!("{faults}"))
    };
    assert_eq!(read(&old), read(&new));
    assert_eq!(coatday::scenario::old_names(&new), [""; 0]);
    assert_eq!(
        coatday::scenario::old_names(&old).len(),
        coatday::scenario::renamed().count()
    );
    let place = Place::with(&[("old.json", &old), ("new.json", &new)]);
    for command in ["check", "weather"] {
        let (_, _, err) = place.run(&[command, "old.json"]);
        for (name, now) in coatday::scenario::renamed() {
            let said = format!("\"{name}\" is now called \"{now}\".");
            assert_eq!(err.matches(&said).count(), 1, "{command}: {err}");
        }
        let (_, _, err) = place.run(&[command, "new.json"]);
        assert!(!err.contains("is now called"), "{err}");
    }
    // Old and new together are one key twice.
    let both = new.replace(
        "\"gear_on\":\"2026-11-02\"",
        "\"gear_on\":\"2026-11-02\",\"drying_starts\":\"2026-11-02\"",
    );
    let faults = coatday::scenario::read(&both, "a.json").unwrap_err();
    assert_eq!(
        faults.faults[0].message,
        "\"drying_starts\" is the same key as \"gear_on\" on line 1."
    );
}
