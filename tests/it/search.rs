//! Tests of the search for a plan.

use coatday::plan::odds::{Draw, days_allowed, odds, sampling_accuracy};
use coatday::plan::search::{
    Candidate, candidates, delivery, fewest_days, lower_bound, search, setup,
};
use coatday::plan::{prepare, run_setup};
use coatday::scenario::build::{self, Job};
use coatday::scenario::{Classes, read};
use coatday::season::DAY;
use proptest::prelude::*;
use serde_json::{Value, json};
use std::sync::LazyLock;

const SAMPLES: u32 = 10;

fn job(change: impl Fn(&mut Value)) -> Job {
    let mut value = json!({
        "name": "Invented store",
        "site": { "weather": { "monthly_normals": {
            "mean_temperature": ["2 degC", "3 degC", "7 degC", "12 degC", "17 degC", "21 degC", "23 degC", "22 degC", "18 degC", "13 degC", "8 degC", "4 degC"],
            "relative_humidity": ["75 %", "72 %", "68 %", "65 %", "66 %", "68 %", "70 %", "72 %", "72 %", "71 %", "74 %", "76 %"] } } },
        "slab": { "area": "100 m2", "thickness": "80 mm", "water_cement_ratio": 0.42, "placed": "2026-04-01", "finish": "floated",
                  "underside": "sealed" },
        "room": { "height": "3 m", "air_changes_per_hour": 0.3 },
        "drying_starts": "2026-04-20", "needed_by": "2026-05-15", "give_up_after": "150 days",
        "targets": [ { "relative_humidity_at_depth": { "limit": "88 %" } } ],
        "prices": { "electricity": "0.2 $/kWh", "day_of_delay": "150 $/day" },
        "plan": { "confidence": "70 %", "exchange_after": ["8 days"], "on_hand": [
            { "gear": { "heater": { "class": "electric_15kw", "thermostat": { "setpoint": "26 degC" }, "price_per_day": "40 $/day" } }, "delivery": "60 $" },
            { "gear": { "fan": { "class": "fan_axial_large", "count": 2, "price_per_day": "15 $/day" } }, "delivery": "10 $" } ] },
        "setups": [ { "name": "Nothing", "gear": [] } ]
    });
    change(&mut value);
    let scenario =
        read(&value.to_string(), "t.json", &Classes::default()).expect("a sound scenario");
    let (weather, _) = build::weather(&scenario, &|_| Err("no file".into())).expect("weather");
    build::job(&scenario, weather)
}

/// Expected cost and share in time of every plan, by running each in every world without any bound.
fn enumerate(job: &Job) -> Vec<(Candidate, f64, f64)> {
    let inventory = job.inventory.as_ref().expect("an inventory");
    let all = candidates(job, inventory).all;
    let mut every = job.clone();
    every.setups = all.iter().map(|c| setup(job, inventory, c)).collect();
    let allowed = days_allowed(job).expect("a date");
    let price = job.prices.day_of_delay.unwrap_or(0.0);
    let last = (job.give_up - job.drying_starts) / DAY;
    odds(&every, SAMPLES, 1, sampling_accuracy())
        .into_iter()
        .zip(all)
        .map(|(odds, candidate)| {
            let late: f64 = odds
                .samples
                .iter()
                .map(|s| (s.days.min(last) - allowed).ceil().max(0.0) * price)
                .sum::<f64>()
                / odds.samples.len() as f64;
            let cost = odds.mean_cost() + delivery(inventory, &candidate) + late;
            (candidate, cost, odds.in_time.expect("a date"))
        })
        .collect()
}

fn find(job: &Job) -> coatday::plan::search::Found {
    let inventory = job.inventory.as_ref().expect("an inventory");
    search(
        job,
        inventory,
        SAMPLES,
        1,
        sampling_accuracy(),
        &|_| (),
        &|| true,
    )
}

#[test]
fn analytic_search_equals_enumeration() {
    for (needed_by, confidence) in [
        ("2026-05-15", "70 %"),
        ("2026-05-28", "90 %"),
        ("2026-04-24", "70 %"),
    ] {
        let job = job(|v| {
            v["needed_by"] = json!(needed_by);
            v["plan"]["confidence"] = json!(confidence);
        });
        let wanted = job.inventory.as_ref().expect("an inventory").confidence;
        let best = enumerate(&job)
            .into_iter()
            .filter(|(_, _, chance)| *chance >= wanted - 1e-9)
            .min_by(|a, b| a.1.total_cmp(&b.1).then_with(|| a.0.cmp(&b.0)));
        let found = find(&job);
        assert!(!found.candidates.left_out && found.passed_over == 0);
        match (best, &found.best) {
            (Some((candidate, cost, _)), Some(plan)) => {
                assert_eq!(plan.candidate, candidate);
                // A plan may cost nothing.
                assert!((plan.expected() - cost).abs() <= 1e-6 * cost);
            }
            (None, None) => assert!(found.soonest.is_some()),
            (a, b) => panic!("{a:?} against {:?}", b.as_ref().map(|p| &p.name)),
        }
    }
}

#[test]
fn analytic_limits_are_kept() {
    let no_heater = find(&job(|v| v["plan"]["most_power"] = json!("2 kW")));
    assert!(no_heater.candidates.too_much_power > 0);
    assert!(no_heater.screened.iter().all(|s| s.candidate.first[0] == 0));
    let poor = find(&job(|v| v["plan"]["budget"] = json!("1 $")));
    assert!(poor.best.is_none_or(|plan| plan.cost <= 1.0));
}

#[test]
fn analytic_broken_off_says_so() {
    let job = job(|_| ());
    let inventory = job.inventory.as_ref().expect("an inventory");
    let found = search(&job, inventory, 4, 1, sampling_accuracy(), &|_| (), &|| {
        false
    });
    assert!(found.stopped && found.best.is_none());
}

static BASE: LazyLock<Job> = LazyLock::new(|| job(|_| ()));

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]
    /// The bound that lets a plan be dropped holds in every world: no plan is quicker than ideal air, none cheaper than its bound.
    #[test]
    fn analytic_bounds_hold(number in 0usize..18, index in 0u32..200, seed in 0u32..5) {
        let inventory = BASE.inventory.as_ref().expect("an inventory");
        let all = candidates(&BASE, inventory).all;
        let candidate = &all[number % all.len()];
        let world = Draw::new(&BASE, index, seed).apply(&BASE);
        let inventory = world.inventory.as_ref().expect("an inventory");
        let start = prepare(&world, sampling_accuracy()).expect("a slab");
        let fewest = fewest_days(&world, &start);
        let outcome = run_setup(&world, &setup(&world, inventory, candidate), &start);
        let days = outcome.days_to_target.unwrap_or(f64::INFINITY);
        prop_assert!(fewest <= days, "{fewest} against {days}");
        let allowed = days_allowed(&world).expect("a date");
        let last = (world.give_up - world.drying_starts) / DAY;
        let late = (days.min(last) - allowed).ceil().max(0.0) * world.prices.day_of_delay.unwrap_or(0.0);
        let cost = outcome.cost + delivery(inventory, candidate) + late;
        let bound = lower_bound(&world, inventory, candidate, fewest);
        prop_assert!(bound <= cost + 1e-9, "{bound} against {cost}");
    }
}
