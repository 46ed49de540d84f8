//! Tests of the `plan` room: what comes under a film, what wettings and assumptions are worth.

use approx::assert_relative_eq;
use coatday::air::MoistAir;
use coatday::concrete::{FactorSlab, factor_method};
use coatday::evaluate::{
    Accuracy, Outcome, Record, advice, assumptions, compare, handbook_days, under_film,
    wetting_costs,
};
use coatday::gear::Machine;
use coatday::job::{self, Action, Job};
use coatday::moisture_tests::{CONDITIONING, Target};
use coatday::scenario::{Scenario, read};
use coatday::units::DAY;
use coatday::units::System;
use serde_json::{Value, json};

fn scenario(change: impl Fn(&mut Value)) -> Scenario {
    let mut value = json!({
        "name": "Store room",
        "site": { "weather": { "constant": { "temperature": "15 degC", "relative_humidity": "60 %" } } },
        "slab": { "area": "100 m2", "thickness": "100 mm", "water_cement_ratio": 0.5, "placed": "2026-10-05",
                  "finish": "floated", "curing": { "wet": { "lasts": "7 days" } }, "cement_content": "370 kg/m3",
                  "underside": "sealed" },
        "room": { "height": "3 m", "air_changes_per_hour": 0.5, "u_value": "1 W/(m2 K)" },
        "gear_on": "2026-11-02",
        "targets": [ { "relative_humidity_at_depth": { "limit": "85 %" } } ],
        "setups": [ { "name": "Heat", "gear": [
            { "heater": { "class": "electric_15kw", "thermostat": { "setpoint": "22 degC" } } } ] } ]
    });
    change(&mut value);
    read(&value.to_string(), "test.json").expect("a sound scenario")
}

fn job(scenario: &Scenario) -> Job {
    let (weather, _) = job::weather(scenario, &|_| Err("no file".into())).expect("weather");
    Job::of(scenario, weather)
}

fn best(job: &Job) -> Outcome {
    compare(job, Accuracy::default()).outcomes.remove(0)
}

/// A sealed slab loses nothing and evens out: in the end the humidity under the film is that of its mean water.
#[test]
fn analytic_under_a_film_the_mean_water_rules() {
    let scenario = scenario(|_| ());
    let job = job(&scenario);
    let start = coatday::evaluate::prepare(&job, Accuracy::default()).expect("a slab");
    let equilibrium = start.snapshot().equilibrium_humidity(20.0);
    let film = under_film(&start).expect("a film");
    // Hydration goes on under the film and lowers the humidity, so the peak is not above the mean at the start.
    assert!(
        film.peak
            <= start
                .snapshot()
                .profile()
                .map(|(_, h, ..)| h)
                .fold(0.0, f64::max)
    );
    assert!(film.peak > equilibrium - 0.03, "{film:?} {equilibrium}");
}

/// The probe at 40 % of the depth stands for the evened-out slab (ASTM F2170): the peak comes within 2 % RH of it.
#[test]
fn ref_probe_depth_foretells_the_film() {
    let job = job(&scenario(|_| ()));
    let outcome = best(&job);
    let film = outcome.under_film.expect("a film");
    assert!((film.peak - 0.85).abs() < 0.02, "{film:?}");
    assert!(film.days > 10.0 && !film.still_rising, "{film:?}");
}

/// A face that dries fast passes a flux target long before the depth has dried: the warning must come.
#[test]
fn analytic_compare_warns_of_what_comes_back() {
    let job = job(&scenario(|v| {
        v["targets"] = json!([
            { "relative_humidity_at_depth": { "limit": "85 %", "depth_fraction": 0.1 } } ]);
    }));
    let outcome = best(&job);
    assert!(outcome.under_film.expect("a film").peak > 0.86);
    let notes = advice(&job, &[outcome]);
    assert!(
        notes
            .iter()
            .any(|n| n.text.of(System::Si).contains("Under a tight coating")),
        "{notes:?}"
    );
}

#[test]
fn analytic_wettings_cost_days() {
    let wet = scenario(|v| {
        v["slab"]["wettings"] = json!([
            { "date": "2026-11-20", "water_depth": "5 mm", "kind": "rain" },
            { "date": "2027-09-20", "water_depth": "5 mm", "kind": "washing" } ]);
    });
    let job = job(&wet);
    let days = best(&job).days_to_target.expect("a day");
    let costs = wetting_costs(&wet, &job.weather, "Heat", days, Accuracy::default());
    let cost: Vec<f64> = costs.iter().map(|c| c.days.expect("a cost")).collect();
    assert_eq!(costs.len(), 3);
    assert!(cost[0] > 1.0, "{cost:?} {days}");
    // Every millimetre is a kilogram on a square metre: a depth of 5 mm in 4 h is 5/14400 kg/(m2 s).
    let rates: Vec<f64> = job
        .events
        .iter()
        .filter_map(|e| match e.action {
            Action::Water(rate) => Some(rate),
            _ => None,
        })
        .collect();
    assert_relative_eq!(rates[0], 5.0 / 14_400.0, max_relative = 1e-12);
    // Water after the target was met costs nothing, and all together cost what the first one does.
    assert_relative_eq!(cost[1], 0.0, epsilon = 1e-9);
    assert_relative_eq!(cost[2], cost[0], epsilon = 1e-9);
}

#[test]
fn analytic_assumptions_are_costed_both_ways() {
    let all = scenario(|_| ());
    assert!(assumptions(&all, &job(&all).weather, "Heat", 1.0, Accuracy::default()).is_empty());
    let open = scenario(|v| {
        let slab = v["slab"].as_object_mut().expect("a slab");
        slab.remove("water_cement_ratio");
    });
    let job = job(&open);
    let days = best(&job).days_to_target.expect("a day");
    let found = assumptions(&open, &job.weather, "Heat", days, Accuracy::default());
    let [only] = found.as_slice() else {
        panic!("{found:?}")
    };
    let later: Vec<f64> = only
        .instead
        .iter()
        .map(|of| of.later.days().expect("a day"))
        .collect();
    assert!(later[0] < -1.0 && later[1] > 1.0, "{found:?}");
}

/// Fuel is charged at the price of the fuel that burns, also in steps at whose end the thermostat has switched the burner off.
#[test]
fn analytic_fuel_costs_what_it_is() {
    let job = job(&scenario(|v| {
        v["site"]["weather"] = json!({ "by_month": {
            "mean_temperature": ["5 degC", "5 degC", "8 degC", "12 degC", "16 degC", "20 degC", "22 degC", "21 degC", "17 degC", "13 degC", "9 degC", "6 degC"],
            "relative_humidity": ["75 %", "72 %", "68 %", "65 %", "66 %", "68 %", "70 %", "72 %", "72 %", "71 %", "74 %", "76 %"],
            "daily_swing": "14 K" } });
        v["gear_on"] = json!("2027-05-01");
        // Not dry after a winter in the shell.
        v["targets"] = json!([ { "relative_humidity_at_depth": { "limit": "78 %" } } ]);
        v["prices"] = json!({ "diesel": "1 $/L", "electricity": "0.2 $/kWh" });
        v["setups"] = json!([ { "name": "Heat", "gear": [ { "heater": {
            "class": "indirect_fired_50kw", "thermostat": { "setpoint": "19 degC" }, "rent": ["10 $/day"] } } ] } ]);
    }));
    let outcome = best(&job);
    assert!(outcome.days_to_target.is_some() && !outcome.cost_incomplete);
    // Diesel is the last of the fuels.
    let [.., diesel] = outcome.energy.fuels;
    assert!(diesel > 0.0);
    assert_relative_eq!(outcome.energy.fuel(), diesel, max_relative = 1e-12);
    let [.., price] = job.prices.fuels;
    let cost = outcome.rental
        + diesel * price.expect("a price")
        + outcome.energy.electricity * job.prices.electricity.expect("a price");
    assert_relative_eq!(outcome.cost, cost, max_relative = 1e-12);
}

/// A target is met when the test is over of which the reading, on the straight line between those of two days, comes down to its limit.
#[test]
fn analytic_targets_are_met_between_two_readings() {
    let unreachable = 1e-12;
    // As warm outside as inside, so that the readings fall steadily.
    let mut job = job(&scenario(|v| {
        v["site"]["weather"]["constant"]["temperature"] = json!("22 degC");
    }));
    let targets = |limit| {
        vec![
            Target::SurfaceFlux { limit },
            // Not the depth: any slab passes this.
            Target::HumidityAtDepth {
                limit: 0.999,
                depth_share: None,
            },
        ]
    };
    job.targets = targets(unreachable);
    job.give_up = job.gear_on + 28.0 * DAY;
    let start = coatday::evaluate::prepare(&job, Accuracy::default()).expect("a slab");
    let mut tests: Vec<(f64, f64)> = Vec::new();
    let run = coatday::evaluate::run_observed(&job, &job.setups[0], &start, &mut |slab, _| {
        let day = (tests.len() + 1) as f64;
        if slab.time() >= job.gear_on + day * DAY {
            let readings = job.tester.read(&job.targets, slab).expect("readings");
            tests.push((slab.time(), readings[0]));
        }
    });
    run.expect("computed");
    let ((before, old), (time, new)) = (tests[9], tests[10]);
    let mut met = job.clone();
    // A quarter of the way.
    let limit = 0.75 * old + 0.25 * new;
    assert!(new < old && tests[..10].iter().all(|(_, reading)| *reading > limit));
    met.targets = targets(limit);
    let begun = before + 0.25 * (time - before);
    let outcome =
        coatday::evaluate::run_without_film(&met, &met.setups[0], &start).expect("computed");
    assert_relative_eq!(
        outcome.days_to_target.expect("a day"),
        (begun + CONDITIONING - job.gear_on) / DAY,
        max_relative = 1e-9
    );
}

/// One note says what a dehumidifier gives where no data are published: eight in ten of its kind, at the mean air of that time, in whole pints; and
/// none of a desiccant's words come with it.
#[test]
fn analytic_note_gives_a_range_outside_of_published_data() {
    let job = job(&scenario(|v| {
        v["setups"][0]["gear"] = json!([
            { "heater": { "class": "electric_15kw", "thermostat": { "setpoint": "18 degC" } } },
            { "dehumidifier": { "class": "refrigerant_commercial" } } ]);
    }));
    let outcome = best(&job);
    let (t, r) = outcome.air_outside_range.expect("air colder than 21 degC");
    assert!(
        (15.0..20.0).contains(&t) && (0.3..0.6).contains(&r),
        "{t} {r}"
    );
    let room = &job.setups[0].room;
    let machine = room.machines.iter().find_map(|m| match &m.machine {
        Machine::Refrigerant(machine) => Some(*machine),
        _ => None,
    });
    let inlet = MoistAir::from_relative_humidity(t, r, room.pressure);
    let (low, high) = machine.expect("a dehumidifier").removal_range(&inlet);
    // A US pint of water is 0.473176 kg.
    let pints = |rate: f64| (rate * DAY / 0.473_176).round();
    assert!(pints(low) < pints(high));
    let wanted = format!("takes {} to {} pints/day there", pints(low), pints(high));
    let notes = advice(&job, &[outcome]);
    let said: Vec<_> = notes
        .iter()
        .filter(|n| n.text.of(System::Si).contains("published"))
        .collect();
    assert!(
        said.len() == 1 && crate::plain(said[0].text.of(System::Us)).contains(&wanted),
        "{wanted}: {said:?}"
    );
    assert!(!said[0].text.of(System::Si).contains("low output"));
}

/// A heater that never reaches its thermostat runs all the time, so the air is the same whatever the thermostat asks for: a room 3 K colder than
/// that is told, with the thermostat of a heater that has left the site forgotten; a little less is not.
#[test]
fn analytic_heat_that_cannot_hold_its_thermostat_is_told() {
    let cold_hours = |setpoint: f64, lasts: bool| {
        let job = job(&scenario(|v| {
            v["site"]["weather"]["constant"]["temperature"] = json!("-10 degC");
            v["room"]["air_changes_per_hour"] = json!(4.0);
            let gear = &mut v["setups"][0]["gear"];
            gear[0]["heater"]["thermostat"]["setpoint"] = json!(format!("{setpoint} degC"));
            if !lasts {
                gear[0]["heater"]["until"] = json!("2026-11-03");
                let second = json!({ "heater": { "class": "electric_15kw",
                    "thermostat": { "setpoint": "5 degC" }, "from": "2026-11-04" } });
                gear.as_array_mut().expect("gear").push(second);
            }
        }));
        let outcome = best(&job);
        let told = advice(&job, std::slice::from_ref(&outcome));
        let told = told.iter().map(|n| crate::plain(n.text.of(System::Us)));
        let told = told.filter(|text| text.contains("does not hold its thermostat"));
        (outcome, told.collect::<Vec<_>>())
    };
    let (outcome, told) = cold_hours(30.0, true);
    let air = outcome.records.iter().skip_while(|r| r.day < 31.0);
    let air: Vec<f64> = air.map(|r| r.air_temperature).collect();
    let low = air.iter().copied().fold(f64::INFINITY, f64::min);
    let high = air.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    assert!(high - low < 2.0 && high < 27.0, "{low} {high}");
    assert!(outcome.hours.cold > 0.9 * outcome.hours.total);
    assert!(
        told.len() == 1 && told[0].contains("more than 5 °F too cold"),
        "{told:?}"
    );
    let (outcome, told) = cold_hours(high + 3.2, true);
    assert!(outcome.hours.cold > 0.9 * outcome.hours.total && told.len() == 1);
    let (outcome, told) = cold_hours(low + 2.8, true);
    assert!(outcome.hours.cold < 0.05 * outcome.hours.total && told.is_empty());
    let (outcome, told) = cold_hours(30.0, false);
    assert!(outcome.hours.cold < 72.0 && told.is_empty(), "{told:?}");
}

/// The handbook's days stand beside a date where the method says something, in the air that the setup made; drier air counts as 35 %.
#[test]
fn analytic_handbook_days() {
    let of = |change: &dyn Fn(&mut Value)| {
        let job = job(&scenario(|v| {
            v["give_up_after"] = json!("900 days");
            change(v);
        }));
        let outcome = best(&job);
        let dry = outcome.days_to_target.expect("a day");
        let air: Vec<&Record> = outcome.records.iter().filter(|r| r.day <= dry).collect();
        let mean =
            |of: fn(&Record) -> f64| air.iter().map(|r| of(r)).sum::<f64>() / air.len() as f64;
        let slab = FactorSlab {
            water_cement_ratio: job.slab.concrete.mix().water_cement_ratio,
            thickness: job.slab.thickness,
            both_faces: false,
        };
        let humidity = mean(|r| r.air_humidity).max(0.35);
        let factors = factor_method(slab, 0.85, mean(|r| r.air_temperature), humidity);
        (handbook_days(&job, &outcome), factors)
    };
    for setpoint in ["22 degC", "28 degC"] {
        let (found, factors) = of(&|v| {
            v["setups"][0]["gear"][0]["heater"]["thermostat"]["setpoint"] = json!(setpoint);
        });
        let (found, factors) = (found.expect("days"), factors.expect("days"));
        assert!(
            (found / factors - 1.0).abs() < 0.02,
            "{setpoint}: {found} {factors}"
        );
    }
    let limit = |limit: &str| {
        let target = json!([{ "relative_humidity_at_depth": { "limit": limit } }]);
        of(&|v| v["targets"] = target.clone()).0
    };
    assert_eq!(limit("86 %"), None);
    assert_eq!(
        of(&|v| v["slab"]["aggregate"] = json!("lightweight")).0,
        None
    );
}
