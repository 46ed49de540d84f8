//! The command `prep` as people and programs meet it.

use std::path::PathBuf;

use assert_cmd::Command;
use serde_json::{Value, json};
use tempfile::TempDir;

use super::{hall, with_walk};

struct Ran {
    code: i32,
    out: String,
    err: String,
}

fn run(folder: &TempDir, arguments: &[&str]) -> Ran {
    let output = Command::new(env!("CARGO_BIN_EXE_coatday"))
        .args(arguments)
        .current_dir(folder.path())
        .env("COLUMNS", "1000")
        .env("NO_COLOR", "1")
        .output()
        .unwrap();
    Ran {
        code: output.status.code().unwrap(),
        out: crate::plain(&output.stdout),
        err: crate::plain(&output.stderr),
    }
}

fn place(scenario: &Value) -> TempDir {
    let folder = TempDir::new().unwrap();
    std::fs::write(folder.path().join("job.json"), scenario.to_string()).unwrap();
    folder
}

fn some() -> Value {
    with_walk(&hall(&json!([
        {"crack": {"area": "Hall", "length": "3 m", "width": "2 mm", "depth": "20 mm"}},
        {"broken": {"area": "Hall", "size": "1 m2", "depth": "10 mm"}}
    ])))
}

#[test]
fn tables_cautions_and_charts() {
    let folder = place(&some());
    let ran = run(
        &folder,
        &[
            "prep",
            "job.json",
            "--out",
            "charts",
            "--units",
            "si",
            "--samples",
            "0",
        ],
    );
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("first coating day is "), "{}", ran.out);
    assert!(!ran.out.contains("cases"), "{}", ran.out);
    for words in [
        "Fill cracks",
        "bag of patching mix",
        "Ready to coat?",
        "Above dew point",
        "CSP 1 to 3",
    ] {
        assert!(ran.out.contains(words), "{words}: {}", ran.out);
    }
    for words in [
        "silica",
        "Power tools",
        "Ventilate",
        "product sheet",
        "common practice, no published source",
    ] {
        assert!(ran.err.contains(words), "{words}: {}", ran.err);
    }
    let mut charts: Vec<String> = std::fs::read_dir(folder.path().join("charts"))
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    charts.sort();
    assert_eq!(
        charts,
        [
            "job-calendar-narrow.png",
            "job-calendar-narrow.svg",
            "job-calendar.png",
            "job-calendar.svg"
        ]
    );
    let few = run(
        &folder,
        &["prep", "job.json", "--no-charts", "--samples", "5"],
    );
    assert!(
        few.out.contains("first coating day is")
            && !few.out.contains("cases")
            && few.err.contains("--samples 5 is too few")
    );
    // Cautions stay when notes are not wanted.
    let quiet = run(&folder, &["-q", "prep", "job.json", "--no-charts"]);
    assert!(
        quiet
            .out
            .contains("No drying needed: a test now should read 92.3 %, limit 95 %."),
        "{}",
        quiet.out
    );
    assert!(quiet.err.contains("CAUTION") && !quiet.err.contains("Rules used"));
}

#[test]
fn json_is_one_object_without_notes() {
    let folder = place(&some());
    let ran = run(&folder, &["prep", "job.json", "--json", "--no-charts"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let object: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(object["schema"], "coatday/prep/1");
    assert_eq!(object["drying_claimed"], true);
    let odds = &object["odds"];
    assert_eq!((&odds["samples"], &odds["never"]), (&json!(32), &json!(0)));
    let date = |key: &str| odds[key].as_str().unwrap().to_owned();
    assert!(date("p10") <= date("p50") && date("p50") <= date("p90"));
    let again = run(&folder, &["prep", "job.json", "--json", "--no-charts"]);
    assert_eq!(again.out, ran.out, "the same seed gives the same answer");
    assert_eq!(object["on_hold"], false);
    assert!(object["coating_day"]["date"].is_string());
    assert!(
        object["setups"][0]["water_balance_error"]
            .as_f64()
            .unwrap()
            .abs()
            < 1e-6
    );
    assert!(object["cautions"].as_array().unwrap().len() >= 3);
    let margin = &object["coating_limits"]["dew_point_margin_kelvin"];
    assert_eq!(margin, &json!({"value": 3.0, "source": "ISO 8502-4"}));
    for task in object["calendar"].as_array().unwrap() {
        assert!(task["start"].as_str().unwrap() <= task["end"].as_str().unwrap());
    }
}

#[test]
fn shopping_list_as_csv() {
    let folder = place(&some());
    let ran = run(&folder, &["prep", "job.json", "--csv"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let mut reader = csv::Reader::from_reader(ran.out.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert!(rows.len() > 5 && rows.iter().all(|r| r.len() == 9));
    assert!(rows.iter().any(|r| &r[0] == "patching_mix" && &r[6] == "1"));
}

#[test]
fn no_drying_is_claimed_without_it() {
    let folder = place(&some());
    let ran = run(
        &folder,
        &["prep", "job.json", "--tasks-only", "--json", "--no-charts"],
    );
    let object: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(object["drying_claimed"], false);
    assert_eq!(object["setups"], json!([]));
    assert!(object["methods"][0]["added_drying_days"].is_null());
    let wood = place(&with_walk(&json!({
        "areas": [{"name": "Deck", "substrate": {"wood": {"moisture_content": "9 %"}}, "size": "20 m2"}]
    })));
    let ran = run(&wood, &["prep", "job.json", "--no-charts"]);
    assert_eq!(ran.code, 0);
    assert!(ran.out.contains("no drying is claimed"), "{}", ran.out);
    assert!(!ran.out.contains("Dry from"));
}

#[test]
fn a_hold_holds() {
    let folder = place(&with_walk(&hall(
        &json!([{"damp": {"area": "Hall", "state": "water"}}]),
    )));
    let ran = run(&folder, &["prep", "job.json", "--no-charts"]);
    assert_eq!(ran.code, 1);
    assert!(ran.out.starts_with("ON HOLD: "), "{}", ran.out);
    assert!(
        ran.out
            .contains("HOLD, Hall (finding 1): No coating on signs of damp")
    );
    let ran = run(&folder, &["prep", "job.json", "--no-charts", "--json"]);
    let object: Value = serde_json::from_str(&ran.out).unwrap();
    assert!(object["coating_day"].is_null());
    assert!(object["coating_day_once_holds_are_cleared"]["date"].is_string());
}

#[test]
fn faults_say_what_to_do() {
    let mut scenario = some();
    scenario.as_object_mut().unwrap().remove("walk");
    let folder = place(&scenario);
    let ran = run(&folder, &["prep", "job.json", "--no-charts"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(
        ran.err.contains("\"walk\" is missing. Add \"walk\""),
        "{}",
        ran.err
    );

    let mut scenario = some();
    scenario["walk"]["findings_csv"] = json!("more.csv");
    let folder = place(&scenario);
    let ran = run(&folder, &["prep", "job.json", "--no-charts"]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.err
            .contains("more.csv cannot be read: there is no such file"),
        "{}",
        ran.err
    );
    let path: PathBuf = folder.path().join("more.csv");
    std::fs::write(path, "kind,area,size\nstain,Hall,2 m2\nstain,Hell,2\n").unwrap();
    let ran = run(&folder, &["prep", "job.json", "--no-charts"]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.err.contains("more.csv:3:7: finding 2.stain.area"),
        "{}",
        ran.err
    );
    assert!(
        ran.err.contains("more.csv:3:12: finding 2.stain.size"),
        "{}",
        ran.err
    );
    assert!(ran.err.contains("2 faults in more.csv."));

    let mut scenario = some();
    scenario["walk"]["work_rates"] = json!([{"work": "vacuuming", "area": "0.01 m2"}]);
    let slow = place(&scenario);
    let ran = run(&slow, &["prep", "job.json", "--no-charts"]);
    assert_eq!(ran.code, 1);
    assert!(ran.out.contains("Raise \"give_up_after\""), "{}", ran.out);
    scenario["walk"]["work_rates"] = json!([
        {"work": "vacuuming", "area": "0.01 m2"}, {"work": "grinding", "area": "0.01 m2"},
        {"work": "edge_grinding", "length": "0.01 m"}
    ]);
    scenario["walk"]["method"] = json!("vacuum_grinding");
    scenario["walk"]["crew"] = json!(1);
    let folder = place(&scenario);
    let ran = run(&folder, &["prep", "job.json", "--no-charts"]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.err.contains("more than ten years"),
        "{} {}",
        ran.out,
        ran.err
    );
}
