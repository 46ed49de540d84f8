//! Tests of the sizing check and of the command `size`.

use assert_cmd::Command;
use coatday::charts::psychrometric::PsychrometricChart;
use coatday::charts::{Size, png, svg};
use coatday::evaluate::Accuracy;
use coatday::evaluate::size::{CONFINED, PINT_PER_DAY, SAME, Sized, Verdict, size};
use coatday::gear::controls::Hours;
use coatday::job::{self, Job};
use coatday::results::size as sized;
use coatday::room::Source;
use coatday::room::source::{Kind, Work};
use coatday::scenario;
use coatday::units::DAY;
use coatday::units::System;
use serde_json::{Value, json};

/// A small humid job: 1000 ft2 and 10 ft, so 10 000 ft3, in a constant climate.
fn job(outside: (&str, &str), changes: f64, setups: &Value) -> Job {
    let text = json!({
        "name": "Store",
        "site": {"weather": {"constant": {"temperature": outside.0, "relative_humidity": outside.1}}},
        "slab": {
            "area": "1000 ft2", "thickness": "2 in", "water_cement_ratio": 0.45, "placed": "2027-06-01",
            "finish": "floated", "curing": "none"
        },
        "room": {"height": "10 ft", "air_changes_per_hour": changes, "u_value": "1 W/(m2 K)"},
        "gear_on": "2027-06-15",
        "give_up_after": "200 days",
        "targets": [{"relative_humidity_at_depth": {"limit": "80 %"}}],
        "setups": setups
    })
    .to_string();
    let scenario =
        scenario::read_bytes(text.as_bytes(), "store").unwrap_or_else(|faults| panic!("{faults}"));
    let none = |_: &str| Err("no file".to_owned());
    let (weather, _) = job::weather(&scenario, &none).unwrap_or_else(|f| panic!("{f:?}"));
    Job::of(&scenario, weather)
}

fn sized(job: &Job) -> Vec<Sized> {
    let checked = size(job, Accuracy::default()).expect("computed up to the start");
    assert_eq!(checked.not_computed, []);
    checked.setups
}

#[track_caller]
fn near(found: f64, wanted: f64, tolerance: f64) {
    assert!(
        (found - wanted).abs() <= tolerance,
        "found {found}, wanted {wanted} within {tolerance}"
    );
}

/// Every kilogram: slab + outside air + burners + envelope = taken by the machines + what the air stores, to 1e-6 of what
/// went through; burners, machines and condensation together in one room.
#[test]
fn analytic_load_balance() {
    let job = job(
        ("5 degC", "90 %"),
        0.4,
        &json!([
            {"name": "All", "gear": [
                {"heater": {"class": "direct_fired_30kw", "thermostat": {"setpoint": "20 degC"}}},
                {"dehumidifier": {"class": "low_grain_medium"}},
                {"desiccant": {"class": "desiccant_150"}}
            ]},
            {"name": "Nothing", "gear": []}
        ]),
    );
    for s in sized(&job) {
        let room = &job.setups[0].room;
        let dry_air = room.store().dry_air * room.area;
        let (mut net, mut through, mut burnt) = (0.0, 0.0, 0.0);
        for step in &s.steps {
            net += step.length
                * (step.slab + step.outside_air + step.combustion + step.other + step.envelope
                    - step.removed);
            through += step.length
                * (step.slab.abs() + step.outside_air.abs() + step.combustion + step.removed);
            burnt += step.length * step.combustion;
            assert!(
                step.envelope <= 1e-12
                    && step.other == 0.0
                    && step.removed >= 0.0
                    && step.capacity >= 0.0
            );
            // The capacity is the mean of the step's two ends, what is taken that of its stages: a tenth lies between them where the
            // room changes fast.
            assert!(
                step.removed <= step.capacity * 1.1 + 1e-6,
                "more taken than full run gives: {step:?}"
            );
        }
        // The first step starts from outside air at 5 degC and 90 %.
        let first = job.weather.at(job.gear_on).humidity_ratio;
        let last = s.steps.last().expect("steps").humidity_ratio;
        let residual = net - dry_air * (last - first);
        assert!(
            residual.abs() < 1e-6 * through,
            "{}: {residual} of {through} kg",
            s.outcome.name
        );
        assert_eq!(burnt > 1.0, s.outcome.name == "All");
    }
}

/// Wet materials and people are a source of their own in the load: 12 kg a day and four men at heavy work for nine hours (255 W latent
/// each, ASHRAE from memory, is 0.379 kg/h) are 25.6 kg a day; the balance closes with them.
#[test]
fn analytic_load_of_materials_and_people() {
    let mut job = job(
        ("15 degC", "70 %"),
        0.3,
        &json!([{"name": "One", "gear": [{"dehumidifier": {"class": "low_grain_large"}}]}]),
    );
    let present = (job.gear_on, f64::INFINITY);
    job.setups[0].room.sources = vec![
        Source {
            kind: Kind::Steady(12.0 / DAY),
            present,
        },
        Source {
            kind: Kind::People {
                count: 4.0,
                work: Work::Heavy,
                hours: Hours {
                    from: 7.0,
                    until: 16.0,
                },
            },
            present,
        },
    ];
    let s = &sized(&job)[0];
    let given: f64 = s.steps.iter().map(|p| p.other * p.length).sum();
    let days = (s.steps.last().expect("steps").time - job.gear_on) / DAY;
    let worked = 9.0 * days.floor() + ((days - days.floor()) * 24.0 - 7.0).clamp(0.0, 9.0);
    near(given, 12.0 * days + 4.0 * worked * 0.378_87, 1e-4 * given);
    let room = &job.setups[0].room;
    let (mut net, mut through) = (0.0, 0.0);
    for step in &s.steps {
        net += step.length
            * (step.slab + step.outside_air + step.other + step.envelope - step.removed);
        through += step.length * (step.slab.abs() + step.outside_air.abs() + step.removed);
    }
    let first = job.weather.at(job.gear_on).humidity_ratio;
    let last = s.steps.last().expect("steps").humidity_ratio;
    let residual = net - room.store().dry_air * room.area * (last - first);
    assert!(
        residual.abs() < 1e-6 * through,
        "{residual} of {through} kg"
    );
    let words = sized::sentences(s).join(" ");
    assert!(words.contains("other materials and people 2"), "{words}");
}

/// Derived: 61 L/day at 26.7 degC and 60 % is 61 x 0.283 / 0.987 = 17.5 L/day at 20 degC and 40 % by the published
/// six-unit surface (NREL/TP-5500-52791). That state lies a kelvin outside of the surface's range, where the coil carries it 3.4 % higher, to 18.1.
/// The check says so in words, with the range of eight cases in ten, also for the low-grain class of which no measurements are published.
#[test]
fn ref_61_litres_give_18_in_words() {
    let job = job(
        ("20 degC", "40 %"),
        0.5,
        &json!([
            {"name": "Ordinary", "gear": [{"dehumidifier": {"class": "refrigerant_commercial", "capacity": "61 L/day", "energy_factor": "2.9 L/kWh"}}]},
            {"name": "Low-grain", "gear": [{"dehumidifier": {"class": "low_grain_medium"}}]}
        ]),
    );
    let all = sized(&job);
    near(
        all[0].dehumidifiers[0].at_typical_end * DAY,
        17.5 * 1.034,
        0.05,
    );
    let published = all[1].dehumidifiers[0]
        .at_typical_end_by_published_map
        .expect("its own curve is an assumption");
    near(published * DAY, 17.5 * 1.034, 0.05);
    for s in &all {
        near(s.dehumidifiers[0].rated * DAY, 61.0, 1e-9);
        let words = sized::sentences(s).join(" ");
        for part in [
            "rated 61.0 L/day (129 pint/day)",
            "20.0 degC (68 degF) and 40 %",
            "18.1 L/day",
            "at the room's mean state in eight cases of ten",
        ] {
            assert!(words.contains(part), "no \"{part}\" in: {words}");
        }
    }
    assert!(sized::sentences(&all[1])[1].contains("computed from the rating"));
}

/// Grain depression of a refrigerant machine at its rating: 3.6 g/kg (25 gr/lb), derived from the 2.75 ft3/min per pint a
/// day that published simulation inputs give as test data, standard air. The class `refrigerant_medium` follows it.
#[test]
fn ref_grain_depression_at_the_rating() {
    let job = job(
        ("26.7 degC", "60 %"),
        10.0,
        &json!([{"name": "One", "gear": [{"dehumidifier": {
            "class": "refrigerant_medium", "capacity": "1 L/day", "energy_factor": "2.1 L/kWh", "air_flow": "10 m3/h"}}]}]),
    );
    let d = sized(&job)[0].dehumidifiers[0]
        .on_site
        .expect("on site all the time");
    // The room is near its outside air: ten air changes an hour against 1 L/day.
    near(d.mean_state.0, 26.7, 1.0);
    near(d.mean_state.1, 0.60, 0.03);
    near(1e3 * d.depression, 3.6, 0.25);
}

/// A dehumidifier that comes after the floor is dry finds no state, and none is made up.
#[test]
fn analytic_not_on_site_has_no_state() {
    let job = job(
        ("20 degC", "40 %"),
        0.5,
        &json!([{"name": "Late", "gear": [{"dehumidifier": {"class": "low_grain_medium", "from": "2027-12-24"}}]}]),
    );
    let late = &sized(&job)[0];
    assert!(late.outcome.days_to_target.is_some());
    assert_eq!(late.dehumidifiers[0].on_site, None);
    let words = sized::sentences(late).join(" ");
    assert!(
        words.contains("Not on site before the floor is dry"),
        "{words}"
    );
}

/// ANSI/IICRC S500 simple calculation, class 4 (factors from memory): 10 000 ft3 over 50 is 200 pints a day; two air
/// changes are 20 000 ft3/h = 333 cfm.
#[test]
fn ref_volume_rule() {
    let job = job(
        ("20 degC", "50 %"),
        0.5,
        &json!([{"name": "One", "gear": [{"dehumidifier": {"class": "refrigerant_large"}}, {"desiccant": {"class": "desiccant_400"}}]}]),
    );
    let s = &sized(&job)[0];
    let rule = s.volume_rule.expect("a rule");
    near(rule.removal / PINT_PER_DAY, 200.0, 1e-6);
    near(rule.process_air * 3600.0 / 1.699_011, 333.33, 0.01);
    near(rule.installed_removal * DAY, 33.0, 1e-9);
    near(rule.installed_process_air * 3600.0, 400.0, 1e-9);
    assert!(rule.ordinary);
    let words = sized::rules(s).join(" ");
    for part in ["Rule of thumb", "S500", "from memory", "It differs because"] {
        assert!(words.contains(part), "{words}");
    }
}

/// Derived from combustion and a well-mixed room, 5000 ppm (OSHA) and 420 ppm outside: propane asks for 26 m3/h of outside
/// air per kW gross, and its water then lifts the room by 3.8 g/kg. US fuel gas code as heater manuals quote it: 50 ft3
/// per 1000 Btu/h is 4.8 m3 per kW.
#[test]
fn ref_ventilation_rule() {
    let job = job(
        ("0 degC", "80 %"),
        0.5,
        &json!([
            {"name": "Flame", "gear": [{"heater": {"class": "direct_fired_60kw", "fuel": "propane", "output": "60 kW", "thermostat": {"setpoint": "18 degC"}}}]},
            {"name": "Flue", "gear": [{"heater": {"class": "indirect_fired_50kw", "thermostat": {"setpoint": "18 degC"}}}]}
        ]),
    );
    let all = sized(&job);
    let rule = all[0].ventilation_rule.expect("a rule");
    near(rule.input, 60e3, 1e-6);
    near(rule.flow * 3600.0 / 60.0, 26.0, 0.6);
    near(1e3 * rule.lift, 3.8, 0.1);
    near(CONFINED * 1e3, 4.8, 0.05);
    // 283 m3 and 60 kW.
    assert!(rule.confined);
    near(rule.available * 3600.0, 0.5 * 283.17, 0.01);
    assert!(sized::rules(&all[0]).join(" ").contains("OSHA"));
    assert!(!sized::cautions(&all[0]).is_empty());
    assert_eq!(all[1].ventilation_rule, None);
    assert_eq!(all[0].verdict, Verdict::NoDehumidifier);
}

/// In a humid climate a toy machine is too small and a crowd is more than needed, and the number that is called fitting
/// keeps what is said of it: as soon as twice as many, later with one less.
#[test]
fn analytic_verdict_by_other_numbers() {
    let gear = |count: u32, capacity: &str| {
        json!([{"dehumidifier": {
            "class": "refrigerant_medium", "count": count, "capacity": capacity, "energy_factor": "2 L/kWh",
            "humidistat": {"setpoint": "45 %"}}}])
    };
    let job = job(
        ("24 degC", "80 %"),
        0.2,
        &json!([
            {"name": "Toy", "gear": gear(1, "4 L/day")},
            {"name": "Crowd", "gear": gear(12, "24 L/day")},
            {"name": "Nothing", "gear": []}
        ]),
    );
    let all = sized(&job);
    assert_eq!(all[0].verdict, Verdict::TooSmall, "{:?}", all[0].search);
    assert_eq!(
        all[1].verdict,
        Verdict::MoreThanNeeded,
        "{:?}",
        all[1].search
    );
    assert_eq!(all[2].verdict, Verdict::NoDehumidifier);
    for s in &all[..2] {
        let f = s.search.as_ref().expect("searched");
        let days = |count: f64| {
            f.tried
                .iter()
                .find(|(c, _)| *c == count)
                .and_then(|(_, d)| *d)
                .unwrap_or(f64::INFINITY)
        };
        let most = f.tried.last().expect("tried").0;
        let same = days(most) + SAME.0.max(SAME.1 * days(most));
        assert!(days(f.fits) <= same, "{f:?}");
        assert!(f.fits == 0.0 || days(f.fits - 1.0) > same, "{f:?}");
        assert!(
            f.tried
                .windows(2)
                .all(|p| days(p[1].0) <= days(p[0].0) + 0.05),
            "more machines are later: {f:?}"
        );
    }
    // A crowd in a small room runs little.
    let duty = all[1].whole.duty().expect("capacity");
    assert!(duty < 0.3, "{duty}");
    assert!(all[1].whole.short_cycling_hours > 0.5 * all[1].whole.present_hours);
    assert!(all[0].whole.duty().expect("capacity") > 0.9);
}

/// Currents are power over voltage: 61 L/day at 2.9 L/kWh is 876 W, 7.6 A at 115 V. A 20 A circuit carries 16 A for long
/// (80 %, US electrical code, from memory): two of them each, so three need two circuits, and a fan of 2 A fits beside
/// the third.
#[test]
fn ref_power_and_circuits() {
    let job = job(
        ("20 degC", "50 %"),
        0.5,
        &json!([{"name": "Three", "gear": [
            {"dehumidifier": {"class": "low_grain_medium", "count": 3}},
            {"fan": {"class": "fan_low_profile"}},
            {"heater": {"class": "electric_9kw", "thermostat": {"setpoint": "20 degC"}}}
        ]}]),
    );
    let s = &sized(&job)[0];
    let medium = 61.0 / 24.0 / 2.9 * 1e3;
    near(s.power.watts, 3.0 * medium + 235.0 + 9000.0, 1e-6);
    assert_eq!(s.power.circuits, 2.0);
    let plugs = s
        .power
        .supplies
        .iter()
        .find(|l| l.volts == 115.0)
        .expect("plugs");
    near(plugs.amperes, (3.0 * medium + 235.0) / 115.0, 1e-6);
    let phases = s.power.supplies.iter().find(|l| l.phases == 3);
    near(phases.expect("the heater").amperes, 12.99, 0.01);
}

#[test]
fn regress_size_command() {
    let scenario = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("scenarios")
        .join("summer_store.json");
    let folder = tempfile::tempdir().expect("a folder");
    let output = Command::cargo_bin("coatday")
        .expect("the program is built")
        .arg("size")
        .arg(&scenario)
        .arg("--json")
        .arg("--out")
        .arg(folder.path())
        .output()
        .expect("the program runs");
    assert_eq!(output.status.code(), Some(0));
    let object: Value = serde_json::from_slice(&output.stdout).expect("valid JSON");
    assert_eq!(object["schema"], "coatday/size/1");
    let setups = object["setups"].as_array().expect("setups");
    assert!(setups.iter().any(|s| s["verdict"] == "no dehumidifier"));
    for s in setups {
        let weeks = s["weeks"].as_array().expect("weeks");
        let days: f64 = weeks.iter().filter_map(|w| w["days"].as_f64()).sum();
        near(days, s["whole_run"]["days"].as_f64().expect("days"), 1e-6);
        assert!(!s["notes"].as_array().expect("notes").is_empty());
    }
    for end in ["svg", "png"] {
        assert!(
            folder
                .path()
                .join(format!("summer_store-load-3.{end}"))
                .exists()
        );
    }
}

/// Whatever the path (nothing, one point, no numbers, wild numbers), the chart is drawn and is a picture.
#[test]
fn regress_path_chart_of_odd_data() {
    let paths = [
        vec![],
        vec![(0.0, 20.0, 0.007)],
        vec![(0.0, f64::NAN, 0.007), (1.0, f64::INFINITY, -1.0)],
        vec![(0.0, -40.0, 0.0), (1.0, 60.0, 0.4), (2.0, 1e9, 1e9)],
        (0..400)
            .map(|d| (f64::from(d), 20.0 + f64::from(d % 7), 0.007))
            .collect(),
    ];
    for path in paths {
        for system in [System::Us, System::Si] {
            for size in [Size::WIDE, Size::NARROW] {
                let chart = PsychrometricChart {
                    title: "A & B <c>".into(),
                    subtitle: String::new(),
                    system,
                    pressure: 101_325.0,
                    path: path.clone(),
                    footer: Vec::new(),
                };
                let text = svg(&chart, size);
                assert!(!text.contains("NaN") && !text.contains("inf"), "{path:?}");
                assert!(png(&text, 1.0).is_ok(), "{path:?}");
            }
        }
    }
}
