//! Electrical load against what the site has.

use assert_cmd::Command;
use coatday::evaluate::Accuracy;
use coatday::evaluate::power::{Power, power};
use coatday::evaluate::size::size;
use coatday::job::{self, Job};
use coatday::results::{Answer, size as sized};
use coatday::scenario;
use coatday::units::System;
use serde_json::{Value, json};

fn text(site_power: &Value, gear: &Value) -> String {
    json!({
        "name": "Store",
        "site": {
            "weather": {"constant": {"temperature": "15 degC", "relative_humidity": "50 %"}},
            "power": site_power
        },
        "slab": {"area": "100 m2", "thickness": "60 mm", "placed": "2027-06-01", "curing": "none", "finish": "floated"},
        "room": {"height": "3 m"},
        "gear_on": "2027-06-15",
        "give_up_after": "20 days",
        "setups": [{"name": "Only", "gear": gear}]
    })
    .to_string()
}

fn job(site_power: &Value, gear: &Value) -> Job {
    let text = text(site_power, gear);
    let scenario = scenario::read(&text, "store").unwrap_or_else(|faults| panic!("{faults}"));
    let (weather, _) = job::weather(&scenario, &|_| Err("no file".into())).expect("weather");
    Job::of(&scenario, weather)
}

fn of(site_power: &Value, gear: &Value) -> Power {
    let job = job(site_power, gear);
    power(&job.setups[0].room, job.site_power.as_ref())
}

fn fits(site_power: &Value, gear: &Value) -> bool {
    of(site_power, gear).site.expect("the site is given").fits()
}

#[track_caller]
fn near(found: f64, wanted: f64) {
    assert!(
        (found - wanted).abs() <= 1e-9 * wanted.abs(),
        "found {found}, wanted {wanted}"
    );
}

/// 80 % of a breaker for continuous load (NEC 210.20(A), from memory): a 20 A circuit carries 16 A. Two machines of 8 A fit, a third does
/// not; 16 A fits alone, 16.1 A does not.
#[test]
fn analytic_power_80_percent_of_the_breaker() {
    let one = json!({"circuits": [{"voltage": "120 V", "breaker": "20 A"}]});
    let heaters = |amperes: &str, count: u32| json!([{"heater": {"class": "electric_1500w", "count": count, "supply": {"current": amperes}}}]);
    assert!(fits(&one, &heaters("8 A", 2)));
    assert!(!fits(&one, &heaters("8 A", 3)));
    assert!(fits(&one, &heaters("16 A", 1)));
    assert!(!fits(&one, &heaters("16.1 A", 1)));
    let check = of(&one, &heaters("8 A", 3)).site.expect("given");
    assert_eq!(check.left_out.len(), 1);
    assert_eq!(check.left_out[0].count, 1.0);
    near(check.circuits[0].amperes, 16.0);
    near(check.circuits[0].carries(), 16.0);
}

/// A machine hangs on one circuit: three of 10 A need three circuits of 16 A though their sum is 30 A of 32 A.
#[test]
fn analytic_power_a_machine_is_not_split() {
    let site =
        |count: u32| json!({"circuits": [{"voltage": "120 V", "breaker": "20 A", "count": count}]});
    let three =
        json!([{"heater": {"class": "electric_1500w", "count": 3, "supply": {"current": "10 A"}}}]);
    assert!(!fits(&site(2), &three));
    assert!(fits(&site(3), &three));
    // Falling currents: 12 and 4, 12 and 4 on two circuits, whichever order they are written in.
    let mixed = json!([
        {"fan": {"class": "fan_low_profile", "count": 2, "supply": {"current": "4 A"}}},
        {"heater": {"class": "electric_1500w", "count": 2, "supply": {"current": "12 A"}}}
    ]);
    assert!(fits(&site(2), &mixed));
}

/// Voltage and phases have to match; 115 V machines run on 120 V circuits and 230 V ones on 240 V, but not on 120 V.
#[test]
fn analytic_power_voltage_and_phases() {
    let plug = json!([{"fan": {"class": "fan_low_profile"}}]);
    let heavy = json!([{"heater": {"class": "electric_9kw"}}]);
    let site = |voltage: &str, phases: &str| json!({"circuits": [{"voltage": voltage, "breaker": "63 A", "phases": phases}]});
    assert!(fits(&site("120 V", "single"), &plug));
    assert!(!fits(&site("240 V", "single"), &plug));
    assert!(!fits(&site("400 V", "single"), &heavy));
    assert!(fits(&site("400 V", "three"), &heavy));
    assert!(!fits(&site("208 V", "three"), &heavy));
    let check = of(&site("208 V", "three"), &heavy).site.expect("given");
    assert!(!check.left_out[0].has_such_circuits);
    assert!(
        check.sentence().contains("the site has no such circuit"),
        "{}",
        check.sentence()
    );
    // The same heater made for 208 V: 9000 / (sqrt(3) 208) = 25 A.
    let made = json!([{"heater": {"class": "electric_9kw", "supply": {"voltage": "208 V"}}}]);
    let p = of(&site("208 V", "three"), &made);
    assert!(
        p.site
            .as_ref()
            .is_some_and(coatday::evaluate::power::SiteCheck::fits)
    );
    near(p.supplies[0].amperes, 9000.0 / (3.0_f64.sqrt() * 208.0));
}

/// A generator of 20 kVA is one of 16 kW (power factor 0.8) and carries 12.8 kW for long, of any voltage.
#[test]
fn analytic_power_generator() {
    let generator = json!({"generator": {"apparent_power": "20 kVA"}});
    let load = |extra: &str| json!([{"heater": {"class": "electric_9kw"}}, {"heater": {"class": "electric_5kw", "output": extra}}]);
    assert!(fits(&generator, &load("3.8 kW")));
    assert!(!fits(&generator, &load("3.81 kW")));
    let check = of(&generator, &load("3 kW")).site.expect("given");
    assert_eq!(check.generator, Some((12_000.0, 12_800.0)));
    // The generator takes what the circuits leave.
    let both = json!({
        "circuits": [{"voltage": "400 V", "breaker": "20 A", "phases": "three"}],
        "generator": {"power": "5 kW"}
    });
    assert!(fits(&both, &load("4 kW")));
    assert!(!fits(&both, &load("4.1 kW")));
}

/// Machines count together only while they are on site together.
#[test]
fn analytic_power_at_the_same_time() {
    let one = json!({"circuits": [{"voltage": "120 V", "breaker": "20 A"}]});
    let gear = |from: &str| {
        json!([
            {"heater": {"class": "electric_1500w", "until": "2027-06-20"}},
            {"heater": {"class": "electric_1500w", "from": from}}
        ])
    };
    assert!(fits(&one, &gear("2027-06-21")));
    assert!(!fits(&one, &gear("2027-06-20")));
}

/// The current follows an output or a capacity that the scenario replaces; what the scenario gives comes first.
#[test]
fn analytic_power_follows_replaced_fields() {
    let none = json!({"circuits": [{"voltage": "120 V", "breaker": "20 A"}]});
    let supply = |gear: Value| {
        let job = job(&none, &json!([gear]));
        job.setups[0].room.machines[0].machine.supply()
    };
    let s = supply(json!({"heater": {"class": "electric_5kw", "output": "4 kW"}}));
    assert_eq!((s.volts, s.phases), (240.0, 1));
    near(s.amperes, 4000.0 / 240.0);
    // More than a single-phase heater is sold for: three phases.
    let s = supply(json!({"heater": {"class": "electric_5kw", "output": "12 kW"}}));
    assert_eq!((s.volts, s.phases), (400.0, 3));
    near(s.amperes, 12_000.0 / (3.0_f64.sqrt() * 400.0));
    // Twice the capacity at the same energy factor is twice the power and the current.
    let s =
        supply(json!({"dehumidifier": {"class": "low_grain_medium", "capacity": "30.5 L/day"}}));
    near(s.amperes, 30.5 / 24.0 / 2.9 * 1e3 / 115.0);
    let s = supply(
        json!({"dehumidifier": {"class": "low_grain_medium", "supply": {"voltage": "230 V"}}}),
    );
    near(s.amperes, 61.0 / 24.0 / 2.9 * 1e3 / 230.0);
    let s = supply(
        json!({"dehumidifier": {"class": "low_grain_medium", "supply": {"current": "9.2 A"}}}),
    );
    assert_eq!((s.volts, s.amperes), (115.0, 9.2));
    let s = supply(json!({"fan": {"class": "fan_low_profile", "power": "0 W"}}));
    assert_eq!(s.amperes, 0.0);
}

/// A setup that does not fit is marked in both commands and dropped from neither.
#[test]
fn analytic_power_marks_and_keeps() {
    let site = json!({"circuits": [{"voltage": "120 V", "breaker": "15 A"}]});
    let gear = json!([{"dehumidifier": {"class": "low_grain_medium", "count": 3}}]);
    let job = job(&site, &gear);
    let all = size(&job, Accuracy::default()).expect("computed");
    let table = sized::table(&all, System::Si);
    assert_eq!(table.rows[0].last().expect("a cell"), "NO");
    assert_eq!(table.columns.len(), table.rows[0].len());
    let words = sized::power(&all.setups[0].power).expect("a load");
    assert!(words.contains("DOES NOT FIT"), "{words}");
    let check = sized::SizeCheck {
        job: &job,
        checked: all,
        verdict: None,
        notices: &[],
        paths: false,
    };
    let object = serde_json::to_value(check.data()).expect("an object");
    assert_eq!(object["setups"][0]["power"]["fits_site"], false);
    assert_eq!(
        object["setups"][0]["power"]["without_a_place"][0]["count"],
        2.0
    );

    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("store.json");
    std::fs::write(&path, text(&site, &gear)).expect("written");
    let output = Command::cargo_bin("coatday")
        .expect("the program is built")
        .args(["compare", "--json", "--no-charts"])
        .arg(&path)
        .output()
        .expect("the program runs");
    let object: Value = serde_json::from_slice(&output.stdout).expect("valid JSON");
    let setup = &object["setups"][0];
    assert_eq!(setup["fits_power"], false);
    let notes = setup["notes"].to_string();
    assert!(notes.contains("DOES NOT FIT the site's power"), "{notes}");
}
