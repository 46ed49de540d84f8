//! No coating while the walk holds the floor, while work is open or inside its wait, and while wood or metal is not fit.
//!
//! The job is `scenarios/wash_first.json` with a log of good tests; each test spoils one thing. Waits and limits are common practice, no
//! published source, and are only checked for being used as they stand.

use serde_json::{Value, json};
use std::fs;
use tempfile::TempDir;

use assert_cmd::Command;

const LOG: &str = "time,place,method,depth,value,exposure,conditioned,note\n";
/// A morning with good tests and all work behind it.
const MORNING: &str = "2026-11-25 07:30";
const CRACK: &str = "/walk/findings/0/crack";
const WOOD: &str = "/walk/areas/2/substrate/wood";

struct Ran {
    code: i32,
    out: String,
    err: String,
}

impl Ran {
    fn data(&self) -> Value {
        serde_json::from_str(&self.out).unwrap_or_else(|_| panic!("{}", self.err))
    }
}

/// A folder with the job and its log.
struct Site(TempDir);

impl Site {
    fn new(scenario: &Value) -> Self {
        let site = Self(TempDir::new().expect("a folder"));
        site.write("floor.json", &scenario.to_string());
        site.log("2026-11-23", 80.0);
        site
    }

    fn write(&self, name: &str, text: &str) {
        fs::write(self.0.path().join(name), text).expect("a file");
    }

    /// The five probes that 220 m2 need (ASTM F2170), all of this day and this value.
    fn log(&self, day: &str, percent: f64) {
        let row = |place| format!("{day} 08:00,{place},probe,40 mm,{percent} %,26 h,3 days,\n");
        let rows = ["A", "B", "C", "D", "E"].map(row).concat();
        self.write("floor-readings.csv", &format!("{LOG}{rows}"));
    }

    fn run(&self, arguments: &[&str]) -> Ran {
        let output = Command::cargo_bin("coatday")
            .expect("the program")
            .current_dir(self.0.path())
            .env("COLUMNS", "1000")
            .env("NO_COLOR", "1")
            .args(arguments)
            .output()
            .expect("a run");
        Ran {
            code: output.status.code().expect("an end"),
            out: crate::plain(&output.stdout),
            err: crate::plain(&output.stderr),
        }
    }

    fn today(&self, at: &str, more: &[&str]) -> Ran {
        let mut arguments = vec![
            "today",
            "floor.json",
            "--no-date",
            "--units",
            "si",
            "--at",
            at,
        ];
        arguments.extend(["--air-temperature", "18 degC"]);
        arguments.extend(["--air-relative-humidity", "50 %"]);
        arguments.extend(["--slab-temperature", "17 degC"]);
        arguments.extend(more);
        self.run(&arguments)
    }

    /// What the day says, and the rule of this name.
    fn says(&self, at: &str, name: &str) -> (Value, Value) {
        let day = self.today(at, &["--json"]).data();
        let rules = day["rules"].as_array().expect("rules");
        let rule = rules.iter().find(|rule| rule["name"] == name);
        let rule = rule.unwrap_or_else(|| panic!("{name}: {day:#}")).clone();
        (day, rule)
    }
}

/// The shipped job; its wood was measured some days before the morning.
fn shipped() -> Value {
    let text = fs::read_to_string("scenarios/wash_first.json").expect("the scenario");
    let mut scenario: Value = serde_json::from_str(&text).expect("JSON");
    change(&mut scenario, WOOD)["measured"] = json!("2026-11-20");
    scenario
}

fn change<'a>(scenario: &'a mut Value, pointer: &str) -> &'a mut Value {
    scenario.pointer_mut(pointer).expect("it is there")
}

/// What `prep` says of the work alone.
fn prep(scenario: &Value) -> Value {
    let arguments = [
        "prep",
        "floor.json",
        "--tasks-only",
        "--no-charts",
        "--json",
    ];
    Site::new(scenario).run(&arguments).data()
}

/// Every task of a job, with its area, as `prep` prints them.
fn tasks(scenario: &Value) -> Vec<(String, String)> {
    let text = |task: &Value, key: &str| task[key].as_str().expect("text").to_owned();
    let data = prep(scenario);
    let calendar = data["calendar"].as_array().expect("tasks");
    calendar
        .iter()
        .map(|task| (text(task, "task"), text(task, "area")))
        .collect()
}

/// The job with all tasks ticked off at noon of 26 October, but for those with a time of their own here.
fn all_done(mut scenario: Value, others: &[(&str, &str, &str)]) -> Value {
    let done: Vec<Value> = tasks(&scenario)
        .into_iter()
        .map(|(task, area)| {
            let own = others.iter().find(|(t, a, _)| *t == task && *a == area);
            let finished = own.map_or("2026-10-26 12:00", |(_, _, at)| at);
            json!({"task": task, "area": area, "finished": finished})
        })
        .collect();
    scenario["walk"]["done"] = json!(done);
    scenario
}

fn moving_crack() -> Value {
    let mut scenario = shipped();
    change(&mut scenario, CRACK)["state"] = json!("moving");
    scenario
}

#[test]
fn regress_go_once_all_is_ticked_off() {
    let site = Site::new(&all_done(shipped(), &[]));
    let ran = site.today(MORNING, &[]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(ran.out.starts_with("GO at "), "{}", ran.out);
    let (day, rule) = site.says(MORNING, "preparation");
    assert_eq!((&day["says"], &rule["says"]), (&json!("go"), &json!("go")));
    assert_eq!(day["holds"], json!([]));
    // The library agrees.
    let job = coatday::open(site.0.path().join("floor.json")).expect("a job");
    let log = fs::read(site.0.path().join("floor-readings.csv")).expect("the log");
    let log = coatday::read_log("log", &log, job.scenario.slab.placed);
    let now = MORNING.parse().expect("a moment");
    let air =
        || coatday::Conditions::fill([Some(18.0), Some(0.5), Some(17.0)], &[], now).expect("all");
    let found = coatday::Answer::data(&coatday::today(&job, &log, now, air(), None, None));
    assert_eq!(found.says, "go");
    // A job whose walk was lost on the way is no go.
    let mut lost = job.clone();
    lost.prepared = None;
    let found = coatday::Answer::data(&coatday::today(&lost, &log, now, air(), None, None));
    assert_eq!(found.says, "wait");
}

#[test]
fn regress_no_go_under_hold() {
    let site = Site::new(&all_done(moving_crack(), &[]));
    let ran = site.today(MORNING, &[]);
    assert_eq!(ran.code, 1);
    let first = ran.out.lines().next().expect("a line");
    let who = "to be lifted by an engineer, or the person who decides on the joint detail";
    assert!(first.starts_with("NO at "), "{first}");
    assert!(
        first.contains(&format!("moving crack in Sales floor (finding 1), {who}")),
        "{first}"
    );
    let (day, rule) = site.says(MORNING, "hold (moving crack)");
    assert_eq!((&day["says"], &rule["says"]), (&json!("no"), &json!("no")));
    assert_eq!(
        day["holds"][0]["lifted_by"],
        "an engineer, or the person who decides on the joint detail"
    );
    let what = day["holds"][0]["what"].as_str().expect("text");
    assert!(
        what.starts_with("Sales floor (finding 1): Do not fill a moving crack rigid"),
        "{what}"
    );
    // The reason comes before the air, also where the air is a no of its own.
    let text = &ran.out;
    assert!(
        text.find("Who can lift it").expect("said") < text.find("Air 18").expect("said"),
        "{text}"
    );
    for (state, name) in [
        ("structural", "hold (structural crack)"),
        ("moving", "hold (moving crack)"),
    ] {
        let mut scenario = shipped();
        change(&mut scenario, CRACK)["state"] = json!(state);
        assert_eq!(
            Site::new(&all_done(scenario, &[])).says(MORNING, name).1["says"],
            "no"
        );
    }
    let mut damp = shipped();
    damp["walk"]["findings"][0] = json!({"damp": {"area": "Back room", "state": "salts"}});
    assert_eq!(
        Site::new(&all_done(damp, &[]))
            .says(MORNING, "hold (sign of damp)")
            .1["says"],
        "no"
    );
}

#[test]
fn regress_a_hold_is_lifted_by_somebody_from_that_day_on() {
    let mut scenario = all_done(moving_crack(), &[]);
    scenario["walk"]["lifted"] = json!([{"hold": "moving_crack", "area": "Sales floor", "by": "site engineer",
        "on": "2026-11-24", "note": "Treated as a joint."}]);
    let site = Site::new(&scenario);
    assert_eq!(site.today(MORNING, &[]).code, 0);
    let (before, rule) = site.says("2026-11-23 12:00", "hold (moving crack)");
    assert_eq!(
        (&before["says"], &rule["says"]),
        (&json!("no"), &json!("no"))
    );
    let prep = site.run(&[
        "prep",
        "floor.json",
        "--tasks-only",
        "--no-charts",
        "--units",
        "si",
    ]);
    assert!(
        prep.out.contains("the first coating day is"),
        "{}",
        prep.out
    );
    let lifted = "Lifted, Sales floor (finding 1): moving crack, by site engineer on ";
    assert!(
        prep.out.contains(lifted) && prep.out.contains("Treated as a joint."),
        "{}",
        prep.out
    );
    // A second crack of the kind is not lifted with the first.
    let lifted = scenario["walk"]["lifted"].clone();
    let mut scenario = moving_crack();
    change(&mut scenario, "/walk/findings/1/crack")["state"] = json!("moving");
    let mut scenario = all_done(scenario, &[]);
    scenario["walk"]["lifted"] = lifted;
    let two = Site::new(&scenario).today(MORNING, &[]);
    assert_eq!(two.code, 2);
    for words in ["walk.lifted[0].hold", "2 findings: 1, 2"] {
        assert!(two.err.contains(words), "{}", two.err);
    }
    scenario["walk"]["lifted"][0]["finding"] = json!(2);
    let (_, rule) = Site::new(&scenario).says(MORNING, "hold (moving crack)");
    assert_eq!(rule["value"], "Sales floor (finding 1)");
}

#[test]
fn regress_wood_is_measured_dry_and_lately() {
    let name = "wood moisture in Platform";
    for (reading, day, verdict) in [
        (json!("9 %"), json!("2026-11-20"), "go"),
        (json!("19 %"), json!("2026-11-20"), "no"),
        (Value::Null, Value::Null, "no"),
        (json!("9 %"), Value::Null, "wait"),
        (json!("9 %"), json!("2026-10-20"), "wait"),
        (json!("9 %"), json!("2026-11-26"), "wait"),
    ] {
        let mut scenario = shipped();
        let wood = change(&mut scenario, WOOD)
            .as_object_mut()
            .expect("an object");
        for (key, value) in [("moisture_content", &reading), ("measured", &day)] {
            wood.remove(key);
            if !value.is_null() {
                wood.insert(key.into(), value.clone());
            }
        }
        let site = Site::new(&all_done(scenario, &[]));
        let (found, rule) = site.says(MORNING, name);
        assert_eq!(
            (&rule["says"], &found["says"]),
            (&json!(verdict), &json!(verdict)),
            "{rule:#}"
        );
        if verdict == "no" {
            assert_eq!(found["holds"].as_array().map(Vec::len), Some(1));
            let out = site.today(MORNING, &[]).out;
            let first = out.lines().next().expect("a line");
            assert!(
                first.contains("in Platform, to be lifted by whoever "),
                "{first}"
            );
        }
    }
}

#[test]
fn regress_failing_metal_is_no_go() {
    let mut scenario = shipped();
    change(&mut scenario, "/walk/findings/8/rust")["state"] = json!("through");
    let mut scenario = all_done(scenario, &[]);
    let (day, rule) = Site::new(&scenario).says(MORNING, "metal in Ramp");
    assert_eq!((&day["says"], &rule["says"]), (&json!("no"), &json!("no")));
    scenario["walk"]["lifted"] = json!([{"hold": "failing_metal", "area": "Ramp", "by": "licensed welder", "on": "2026-11-02"}]);
    assert_eq!(Site::new(&scenario).today(MORNING, &[]).code, 0);
}

#[test]
fn regress_open_work_waits() {
    let site = Site::new(&shipped());
    let (day, rule) = site.says(MORNING, "preparation");
    assert_eq!(
        (&day["says"], &rule["says"]),
        (&json!("wait"), &json!("wait"))
    );
    let text = site.today(MORNING, &[]).out;
    assert!(
        text.starts_with("WAIT at 25 Nov 2026, 07:30: preparation not finished, 0 of "),
        "{text}"
    );
    // A cold slab is a no of its own; the work is said first all the same.
    let cold = site.run(&[
        "today",
        "floor.json",
        "--no-date",
        "--at",
        MORNING,
        "--air-temperature",
        "18 degC",
        "--air-relative-humidity",
        "60 %",
        "--slab-temperature",
        "11 degC",
    ]);
    let first = cold.out.lines().next().expect("a line");
    let (work, air) = (
        first.find("preparation not finished"),
        first.find("dew-point spread"),
    );
    assert!(
        first.starts_with("NO at ") && work < air && work.is_some(),
        "{first}"
    );
    let all = all_done(shipped(), &[]);
    for left in 0..tasks(&shipped()).len() {
        let mut scenario = all.clone();
        scenario["walk"]["done"]
            .as_array_mut()
            .expect("a list")
            .remove(left);
        let (_, rule) = Site::new(&scenario).says(MORNING, "preparation");
        assert_eq!(rule["says"], "wait", "{left}");
    }
    // Ticked off for the afternoon to come.
    let later = all_done(shipped(), &[("Prime", "Ramp", "2026-11-25 15:00")]);
    let (day, rule) = Site::new(&later).says(MORNING, "preparation");
    assert_eq!(day["says"], "wait");
    assert!(
        rule["why"]
            .as_str()
            .expect("text")
            .contains("still to come"),
        "{rule}"
    );
}

/// 24 h behind filler, sealer, patch and primer, from the moment they were really finished, whatever came after them.
#[test]
fn analytic_a_repair_waits_from_the_moment_it_was_finished() {
    let patch = tasks(&shipped())
        .into_iter()
        .rfind(|(task, _)| task.starts_with("Patch, layer"));
    let (patch, room) = patch.expect("a patch");
    for (task, area) in [
        ("Fill cracks", "Sales floor"),
        ("Seal joints", "Sales floor"),
        (patch.as_str(), room.as_str()),
        ("Prime", "Ramp"),
    ] {
        let site = Site::new(&all_done(shipped(), &[(task, area, "2026-11-24 15:00")]));
        let name = format!("wait behind \"{task}\" in {area}");
        for (at, verdict) in [("2026-11-25 14:59", "wait"), ("2026-11-25 15:00", "go")] {
            let (day, rule) = site.says(at, &name);
            assert_eq!(
                (&day["says"], &rule["says"]),
                (&json!(verdict), &json!(verdict)),
                "{rule:#}"
            );
            assert_eq!(rule["limit"], json!(24.0 * 3600.0));
        }
        let text = site.today(MORNING, &[]).out;
        let first = text.lines().next().expect("a line");
        assert!(
            first.starts_with("WAIT at ")
                && first.contains(&format!("{name} until 25 Nov 2026, 15:00")),
            "{first}"
        );
    }
}

#[test]
fn regress_a_test_from_before_the_wash_does_not_count() {
    // Washed two days after the tests, with all waits over by 2 December.
    let site = Site::new(&all_done(
        shipped(),
        &[("Power wash", "Back room", "2026-11-25 15:00")],
    ));
    let name = "tests: humidity probe";
    assert_eq!(site.says("2026-12-02 08:00", name).1["says"], "wait");
    let read = site
        .run(&["readings", "floor.json", "--json", "--at", "2026-12-02"])
        .data();
    assert_eq!(read["readings"][0]["counts"], false, "{read:#}");
    site.log("2026-11-30", 80.0);
    assert_eq!(site.says("2026-12-02 08:00", name).0["says"], "go");
}

#[test]
fn regress_tests_missing_old_or_above() {
    let site = Site::new(&all_done(shipped(), &[]));
    let name = "tests: humidity probe";
    site.write("floor-readings.csv", LOG);
    assert_eq!(site.says(MORNING, name).1["says"], "wait");
    site.log("2026-11-23", 86.0);
    assert_eq!(site.says(MORNING, name).1["says"], "no");
    // 32 days before, and after the wash.
    site.log("2026-10-27", 80.0);
    let (_, rule) = site.says("2026-11-28 09:00", name);
    assert_eq!(rule["says"], "wait");
    assert!(
        rule["why"].as_str().expect("text").contains("days old"),
        "{rule}"
    );
}

#[test]
fn regress_the_method_is_known_before_the_floor_is_coated() {
    let mut scenario = shipped();
    scenario["walk"]
        .as_object_mut()
        .expect("an object")
        .remove("method");
    let name = "method for the surface profile";
    let (day, rule) = Site::new(&scenario).says(MORNING, name);
    assert_eq!(
        (&day["says"], &rule["says"]),
        (&json!("wait"), &json!("wait"))
    );
    // What is ticked off says which it was.
    let mut done = all_done(shipped(), &[]);
    done["walk"]
        .as_object_mut()
        .expect("an object")
        .remove("method");
    let site = Site::new(&done);
    assert_eq!(site.today(MORNING, &[]).code, 0);
    // Two methods on one floor are for people to sort out.
    let mut mixed = scenario.clone();
    mixed["walk"]["done"] = json!([
        {"task": "Grind with vacuum", "area": "Sales floor", "finished": "2026-10-26 12:00"},
        {"task": "Etch, neutralize and rinse", "area": "Back room", "finished": "2026-10-26 12:00"}
    ]);
    let ran = Site::new(&mixed).today(MORNING, &[]);
    assert!(
        ran.err.contains("belong to more than one method"),
        "{}",
        ran.err
    );
    // Nothing fits and nothing is named: the concrete would get no profile.
    scenario["walk"]["wanted_profile"] = json!(9);
    scenario["walk"]["site"] = json!({"dust": "none"});
    let (_, rule) = Site::new(&all_done(scenario, &[])).says(MORNING, name);
    assert_eq!(rule["value"], "none fits");
}

#[test]
fn regress_names_and_times_that_mean_nothing_are_faults() {
    let mut scenario = shipped();
    scenario["walk"]["done"] = json!([
        {"task": "Fill crack", "area": "Sales floor", "finished": "2026-11-20 15:00"},
        {"task": "Prime", "area": "Sales floor", "finished": "2026-11-20 15:00"},
        {"task": "prime", "area": "Ramp", "finished": "2026-11-20T15:00"}
    ]);
    scenario["walk"]["lifted"] = json!([{"hold": "moving_crack", "area": "Back room", "by": "site engineer", "on": "2026-11-20"}]);
    for command in ["today", "prep"] {
        let site = Site::new(&scenario);
        let ran = if command == "today" {
            site.today(MORNING, &[])
        } else {
            site.run(&["prep", "floor.json", "--tasks-only", "--no-charts"])
        };
        assert_eq!((ran.code, ran.out.as_str()), (2, ""));
        for words in [
            "floor.json:1:",
            "walk.done[0].task",
            "\"Sales floor\" has no task \"Fill crack\".",
            "Did you mean \"Fill cracks\"? Its tasks: \"",
            "walk.done[1].task",
            "walk.lifted[0].hold",
            "\"Back room\" has no hold for a moving crack.",
            "3 faults in floor.json.",
        ] {
            assert!(ran.err.contains(words), "{words}: {}", ran.err);
        }
    }
    let mut scenario = shipped();
    scenario["walk"]["done"] = json!([
        {"task": "Prime", "area": "Ram", "finished": "2026-08-02 15:00"},
        {"task": "Prime", "area": "Ramp", "finished": "2026-11-20"},
        {"task": "Prime", "area": "Ramp", "finished": "2026-11-20 25:00"}
    ]);
    scenario["walk"]["lifted"] =
        json!([{"hold": "crack", "area": "Ramp", "by": " ", "on": "2026-08-01"}]);
    let ran = Site::new(&scenario).today(MORNING, &[]);
    for words in [
        "There is no area \"Ram\".",
        "Did you mean \"Ramp\"? The areas: \"Sales floor\", ",
        "2026-08-02 is before slab.placed, 2026-08-03.",
        "\"2026-11-20\" is not a day and time.",
        "\"2026-11-20 25:00\" is not a day and time.",
        "walk.done[1] ticks this task off too.",
        "walk.lifted[0].hold",
        "This name is empty.",
        "2026-08-01 is before slab.placed",
    ] {
        assert!(ran.err.contains(words), "{words}: {}", ran.err);
    }
}

/// What follows a task that is done counts from when it was really finished, and `prep` marks it.
#[test]
fn analytic_the_calendar_goes_on_from_what_is_done() {
    let calendar = |scenario: &Value| {
        let data = prep(scenario);
        let list = data["calendar"].as_array().expect("tasks").clone();
        (
            list,
            data["tasks_ready"].as_str().expect("a moment").to_owned(),
        )
    };
    let find = |list: &[Value], task: &str, area: &str| {
        let is_it = |t: &&Value| t["task"] == task && t["area"] == area;
        list.iter().find(is_it).expect("the task").clone()
    };
    let mut scenario = shipped();
    let (planned, _) = calendar(&scenario);
    assert!(planned.iter().all(|task| task["done"] == false));
    // A Friday evening three weeks after the plan.
    scenario["walk"]["done"] =
        json!([{"task": "Fill cracks", "area": "Sales floor", "finished": "2026-11-06 15:00"}]);
    let (late, _) = calendar(&scenario);
    let filled = find(&late, "Fill cracks", "Sales floor");
    assert_eq!(
        (&filled["done"], &filled["end"]),
        (&json!(true), &json!("2026-11-06T15:00"))
    );
    // Grinding follows by 24 h: not before Monday.
    let ground = find(&late, "Grind with vacuum", "Sales floor");
    assert!(
        ground["start"].as_str() >= Some("2026-11-09T07:00"),
        "{ground}"
    );
    // What the crew has still to do comes after what it has finished.
    for task in late.iter().filter(|task| task["done"] == false) {
        assert!(task["start"].as_str() >= Some("2026-11-06T15:00"), "{task}");
    }
    // Work that was done a week before the plan starts the calendar.
    scenario["walk"]["done"][0]["finished"] = json!("2026-10-05 15:00");
    let data = prep(&scenario);
    assert_eq!(data["preparation_starts"], "2026-10-05T00:00");
    assert!(data["other_order"].is_object());
    // Once the floor is washed nobody can wash it last.
    scenario["walk"]["done"][0] =
        json!({"task": "Power wash", "area": "Back room", "finished": "2026-10-13 12:00"});
    assert!(prep(&scenario)["other_order"].is_null());
    // All of it done: ready when the last wait is over.
    let done = all_done(shipped(), &[("Prime", "Ramp", "2026-11-24 15:00")]);
    let (list, ready) = calendar(&done);
    assert!(list.iter().all(|task| task["done"] == true));
    assert_eq!(ready, "2026-11-25T15:00");
    let text = Site::new(&done)
        .run(&["prep", "floor.json", "--tasks-only", "--no-charts"])
        .out;
    assert!(text.contains(" Done"), "{text}");
}
