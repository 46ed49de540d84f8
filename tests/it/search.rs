//! Tests of the search for a plan.

use crate::odds::odds_of;
use assert_cmd::Command;
use coatday::evaluate::odds::{Draw, sampling_accuracy};
use coatday::evaluate::{prepare, run_without_film};
use coatday::job::seconds_between;
use coatday::job::{self, Job};
use coatday::results::plan;
use coatday::scenario::read;
use coatday::search::{
    Candidate, Found, Instead, MOST_CANDIDATES, candidates, fewest_days, lower_bound, search, setup,
};
use coatday::units::DAY;
use proptest::prelude::*;
use proptest::sample::Index;
use serde_json::{Value, json};
use std::sync::LazyLock;
use std::sync::atomic::{AtomicUsize, Ordering};

const SAMPLES: u32 = 10;

fn value(change: impl Fn(&mut Value)) -> Value {
    let mut value = json!({
        "name": "Invented store",
        "site": { "weather": { "by_month": {
            "mean_temperature": ["2 degC", "3 degC", "7 degC", "12 degC", "17 degC", "21 degC", "23 degC", "22 degC", "18 degC", "13 degC", "8 degC", "4 degC"],
            "relative_humidity": ["75 %", "72 %", "68 %", "65 %", "66 %", "68 %", "70 %", "72 %", "72 %", "71 %", "74 %", "76 %"] } } },
        "slab": { "area": "100 m2", "thickness": "80 mm", "water_cement_ratio": 0.42, "placed": "2026-04-01", "finish": "floated",
                  "underside": "sealed" },
        "room": { "height": "3 m", "air_changes_per_hour": 0.3 },
        "gear_on": "2026-04-20", "needed_by": "2026-05-15", "give_up_after": "150 days",
        "targets": [ { "relative_humidity_at_depth": { "limit": "88 %" } } ],
        "prices": { "electricity": "0.2 $/kWh", "day_of_delay": "150 $/day" },
        "plan": { "confidence": "70 %", "swap_after": ["8 days"], "on_hand": [
            { "gear": { "heater": { "class": "electric_15kw", "thermostat": { "setpoint": "26 degC" }, "rent": ["40 $/day"], "delivery": "60 $" } } },
            { "gear": { "fan": { "class": "fan_axial_large", "count": 2, "rent": ["15 $/day"], "delivery": "10 $" } } } ] },
        "setups": [ { "name": "Nothing", "gear": [] } ]
    });
    change(&mut value);
    value
}

fn job(change: impl Fn(&mut Value)) -> Job {
    let scenario = read(&value(change).to_string(), "t.json").expect("a sound scenario");
    let (weather, _) = job::weather(&scenario, &|_| Err("no file".into())).expect("weather");
    Job::of(&scenario, weather)
}

/// What days of delay cost, by the calendar.
fn late(job: &Job, days: f64) -> f64 {
    let last = (job.give_up - job.gear_on) / DAY;
    let dry = job.date_after(days.min(last));
    let by = job.needed_by.expect("a date");
    let price = job.prices.day_of_delay.unwrap_or(0.0);
    (seconds_between(by, dry) / DAY).max(0.0) * price
}

/// Expected cost and share in time of every plan, by running each in every world without any bound; the cheapest first.
fn enumerate(job: &Job) -> Vec<(Candidate, f64, f64)> {
    let inventory = job.inventory.as_ref().expect("an inventory");
    let all = candidates(job, inventory).all;
    let mut every = job.clone();
    every.setups = all.iter().map(|c| setup(job, inventory, c)).collect();
    let mut plans: Vec<(Candidate, f64, f64)> = odds_of(&every, SAMPLES, 1)
        .into_iter()
        .zip(all)
        .map(|(odds, candidate)| {
            let cost: f64 = odds
                .samples
                .iter()
                .map(|s| s.cost + late(job, s.days))
                .sum();
            let mean = cost / odds.samples.len() as f64;
            (candidate, mean, odds.in_time.expect("a date"))
        })
        .collect();
    plans.sort_by(|a, b| a.1.total_cmp(&b.1).then_with(|| a.0.cmp(&b.0)));
    plans
}

fn find(job: &Job) -> Found {
    find_while(job, &|| true)
}

fn find_while(job: &Job, keep_going: &(dyn Fn() -> bool + Sync)) -> Found {
    let inventory = job.inventory.as_ref().expect("an inventory");
    search(
        job,
        inventory,
        SAMPLES,
        1,
        sampling_accuracy(),
        &|_| (),
        keep_going,
    )
    .expect("a slab")
}

fn words(job: &Job, found: &Found) -> String {
    let inventory = job.inventory.as_ref().expect("an inventory");
    crate::plain(plan::sentences(job, inventory, found, coatday::units::System::Si).join(" "))
}

/// The best and the runner-up are the first and the second of the enumeration. Plans that come to the same in every world
/// stand there as one.
#[test]
fn analytic_search_equals_enumeration() {
    let mut with_runner_up = 0;
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
        let mut feasible = enumerate(&job);
        feasible.retain(|(_, _, chance)| *chance >= wanted - 1e-9);
        feasible.dedup_by(|b, a| (a.1 - b.1).abs() <= 1e-9 * a.1);
        let found = find(&job);
        assert!(!found.candidates.left_out && found.passed_over == 0);
        for (place, plan) in [&found.best, &found.runner_up].into_iter().enumerate() {
            match (feasible.get(place), plan) {
                (Some((candidate, cost, chance)), Some(plan)) => {
                    assert_eq!(&plan.candidate, candidate);
                    // A plan may cost nothing.
                    let ranked = plan.ranked;
                    assert!((ranked.costs.total() - cost).abs() <= 1e-6 * cost);
                    assert!((ranked.in_time - chance).abs() < 1e-9);
                    with_runner_up += place;
                }
                (None, None) => {}
                (a, b) => panic!("{place}: {a:?} against {:?}", b.as_ref().map(|p| &p.name)),
            }
        }
        if feasible.is_empty() {
            let (why, _) = found.instead.as_ref().expect("a plan in its place");
            assert_eq!(*why, Instead::Soonest);
            assert!(
                words(&job, &found)
                    .contains("No plan makes 24 Apr 2026 with 70 % chance. The soonest")
            );
        }
        if let (Some(cheaper), Some(best)) = (&found.cheaper, &found.best) {
            assert!(cheaper.ranked.costs.total() < best.ranked.costs.total());
            assert!(cheaper.ranked.in_time < wanted);
        }
    }
    assert!(with_runner_up >= 2);
}

/// Odds and costs shown are those of worlds that the search has not seen: the next ones of the sequence.
#[test]
fn analytic_odds_shown_are_of_other_worlds() {
    let job = job(|_| ());
    let inventory = job.inventory.as_ref().expect("an inventory");
    let best = find(&job).best.expect("a plan");
    let mut one = job.clone();
    one.setups = vec![setup(&job, inventory, &best.candidate)];
    let twice = &odds_of(&one, 2 * SAMPLES, 1)[0];
    let days = |samples: &[coatday::evaluate::odds::Sample]| -> Vec<f64> {
        samples.iter().map(|s| s.days).collect()
    };
    assert_eq!(
        days(&best.odds.samples),
        days(&twice.samples[SAMPLES as usize..])
    );
    let cost: f64 = twice.samples[SAMPLES as usize..]
        .iter()
        .map(|s| s.cost + late(&job, s.days))
        .sum();
    assert!((best.costs.total() - cost / f64::from(SAMPLES)).abs() < 1e-6 * cost);
}

/// The same plans and the same numbers to the last digit with one and with two threads.
#[test]
fn analytic_threads_do_not_matter_to_the_search() {
    let job = job(|_| ());
    let with = |threads| {
        let found = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("threads")
            .install(|| find(&job));
        let plan = |p: &Option<coatday::search::Judged>| {
            p.as_ref()
                .map(|p| (p.candidate.clone(), p.odds.clone(), p.costs, p.ranked))
        };
        (
            plan(&found.best),
            plan(&found.runner_up),
            plan(&found.cheaper),
            found.screened,
            found.judged,
        )
    };
    assert_eq!(with(1), with(2));
}

#[test]
fn analytic_limits_are_kept() {
    let no_heater = job(|v| v["plan"]["power_limit"] = json!("2 kW"));
    let found = find(&no_heater);
    assert!(found.candidates.too_much_power > 0);
    assert!(found.screened.iter().all(|s| s.candidate.first[0] == 0));
    assert!(words(&no_heater, &found).contains("that need more power than the site has"));
    // Plans that make the date are there, but none for a dollar.
    let soon = |v: &mut Value| {
        v["needed_by"] = json!("2026-05-08");
        v["plan"]["confidence"] = json!("90 %");
    };
    let poor = job(|v| {
        soon(v);
        v["plan"]["budget"] = json!("1 $");
    });
    let found = find(&poor);
    assert!(found.best.is_none());
    let rich = find(&job(soon)).best.expect("a plan");
    let (why, plan) = found.instead.as_ref().expect("a plan in its place");
    assert_eq!(
        (*why, &plan.candidate),
        (Instead::AboveBudget, &rich.candidate)
    );
    assert!(words(&poor, &found).contains("within the budget of $1."));
}

/// Broken off after so many looks: two go by while plans are run once, then one for each plan judged.
#[test]
fn analytic_broken_off_says_so() {
    let job = job(|_| ());
    for (looks, judged) in [(0, 0), (1, 0), (2, 0), (3, 1), (20, 18)] {
        let left = AtomicUsize::new(looks);
        let keep_going = || {
            left.fetch_update(Ordering::Relaxed, Ordering::Relaxed, |n| n.checked_sub(1))
                .is_ok()
        };
        let found = find_while(&job, &keep_going);
        assert!(found.stopped);
        assert_eq!(found.judged, judged);
        let words = words(&job, &found);
        match (looks, &found.best, &found.instead) {
            (0, None, None) => assert!(words.contains("Stopped before any plan had")),
            (1 | 2, None, Some((Instead::RunOnce, _))) => {
                assert!(words.contains("Stopped before any plan was judged"));
            }
            (3.., Some(_), None) => assert!(words.contains("This is the best so far")),
            (3.., None, Some((Instead::RunOnce, _))) => {
                assert!(words.contains("Stopped before a plan turned up"));
            }
            other => panic!("{looks} {:?}", other.1.as_ref().map(|p| &p.name)),
        }
    }
}

/// Gear that comes by an exchange costs its delivery only if the floor is not dry before.
#[test]
fn analytic_what_never_comes_costs_no_delivery() {
    let job = job(|_| ());
    let inventory = job.inventory.as_ref().expect("an inventory");
    let plan = Candidate {
        first: vec![0, 1],
        second: Some((0, vec![1, 2])),
    };
    // The exchange is after 8 days. A heater is brought for 60 and costs 40 a day, a fan for 10 and 15.
    let (before, after) = (10.0 + 8.0 * 15.0, 80.0 + 9.0 * 15.0 + 40.0 + 15.0);
    for (days, cost) in [(7.9, before), (8.1, after)] {
        let paid = lower_bound(&job, inventory, &plan, days) - late(&job, days);
        assert!((paid - cost).abs() < 1e-9, "{paid} for {cost}");
    }
}

fn kinds(number: usize, count: u32, exchange: &[&str]) -> Job {
    let classes = ["electric_15kw", "fan_axial_large", "low_grain_large"];
    let gear = (0..number).map(|k| {
        let class = classes[k % classes.len()];
        let kind = ["heater", "fan", "dehumidifier"][k % classes.len()];
        json!({ "gear": { kind: { "class": class, "count": count, "rent": ["9 $/day"] } } })
    });
    let gear: Vec<Value> = gear.collect();
    job(|v| v["plan"] = json!({ "swap_after": exchange, "on_hand": gear }))
}

/// However much gear there is: the number is kept, what was left out is told, no gear is among the plans, and so is every kind
/// and every time of exchange.
#[test]
fn analytic_large_inventories_are_thinned_evenly() {
    let days = ["7 days", "14 days", "21 days"];
    for (number, count, exchange, left_out) in [
        (2, 2, &days[..1], false),
        // 32 and 32 x 31 make 1024.
        (5, 1, &days[..1], true),
        (4, 9, &days[..], true),
        (10, 1, &days[..], true),
        (12, 3, &days[..], true),
        (12, 1, &[][..], true),
    ] {
        let job = kinds(number, count, exchange);
        let found = candidates(&job, job.inventory.as_ref().expect("an inventory"));
        let all = &found.all;
        assert!(all.len() <= MOST_CANDIDATES, "{}", all.len());
        assert_eq!(found.left_out, left_out, "{number} x {count}");
        let mut different = all.clone();
        different.sort();
        different.dedup();
        assert_eq!(different.len(), all.len());
        let kept = |c: &&Candidate| c.second.is_none();
        assert!(
            all.iter()
                .filter(kept)
                .any(|c| c.first.iter().all(|n| *n == 0))
        );
        for kind in 0..number {
            assert!(all.iter().filter(kept).any(|c| c.first[kind] == count));
        }
        let by_time: Vec<usize> = (0..exchange.len())
            .map(|time| {
                let at = |c: &&Candidate| c.second.as_ref().is_some_and(|(k, _)| *k == time);
                all.iter().filter(at).count()
            })
            .collect();
        let most = by_time.iter().max().copied().unwrap_or(0);
        assert!(
            by_time.iter().all(|n| *n > 0 && most - n <= 1),
            "{by_time:?}"
        );
    }
}

/// Machines that burn fuel keep to the working hours; hours of their own must lie within.
#[test]
fn analytic_burners_keep_to_the_working_hours() {
    let hours = |own: Option<Value>| {
        value(|v| {
            v["plan"]["working_hours"] = json!({ "from": 7, "to": 18 });
            let mut burner = json!({ "class": "indirect_fired_50kw" });
            if let Some(own) = &own {
                burner["hours"] = own.clone();
            }
            let list = v["plan"]["on_hand"].as_array_mut().expect("a list");
            list.push(json!({ "gear": { "heater": burner } }));
        })
        .to_string()
    };
    let clocks = |text: &str| -> Vec<Option<[f64; 2]>> {
        let scenario = read(text, "t.json").expect("a sound scenario");
        let (weather, _) = job::weather(&scenario, &|_| Err("no file".into())).expect("weather");
        let job = Job::of(&scenario, weather);
        let inventory = job.inventory.expect("an inventory");
        let items = inventory.items.iter();
        items.map(|i| i.machine.machine.switching_hours()).collect()
    };
    assert_eq!(clocks(&hours(None)), [None, None, Some([7.0, 18.0])]);
    let own = json!({ "from": 8, "to": 12 });
    assert_eq!(clocks(&hours(Some(own))), [None, None, Some([8.0, 12.0])]);
    for own in [
        json!({ "from": 6, "to": 12 }),
        json!({ "from": 17, "to": 19 }),
        json!({ "from": 20, "to": 8 }),
    ] {
        let faults = read(&hours(Some(own)), "t.json").expect_err("a fault");
        assert!(faults.to_string().contains("beyond \"working_hours\""));
    }
}

/// Cautions of the plan named come even with `-q`, on standard error and in the JSON.
#[test]
fn regress_plan_tells_its_cautions() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("job.json");
    let text = value(|v| {
        v["prices"]["propane"] = json!("1 $/L");
        v["needed_by"] = json!("2026-05-04");
        v["plan"]["confidence"] = json!("90 %");
        v["plan"]["swap_after"] = json!([]);
        v["plan"]["on_hand"] = json!([ { "gear": { "heater": {
            "class": "direct_fired_30kw", "thermostat": { "setpoint": "26 degC" }, "rent": ["40 $/day"] } } } ]);
        v["room"]["air_changes_per_hour"] = json!(1.5);
    });
    std::fs::write(&file, text.to_string()).expect("a file");
    let run = |more: &[&str]| {
        let mut command = Command::cargo_bin("coatday").expect("the program");
        command
            .arg("plan")
            .arg(&file)
            .args(["--no-charts", "--samples", "4"]);
        command.args(more).output().expect("a run")
    };
    let plain = run(&["-q"]);
    let stderr = crate::plain(&plain.stderr);
    assert!(
        stderr.contains("CAUTION: Burners without a flue"),
        "{stderr}"
    );
    let object: Value = serde_json::from_slice(&run(&["--json"]).stdout).expect("JSON");
    assert_eq!(object["schema"], "coatday/plan/1");
    let plan = ["best", "soonest"].map(|key| &object[key]);
    let named = plan.into_iter().find(|p| p.is_object()).expect("a plan");
    assert_eq!(named["notes"][0]["caution"], true, "{named:#}");
}

/// Jobs with every kind of target for which ideal air says something, rain after the start, and a skin that is opened later.
static BASES: LazyLock<Vec<Job>> = LazyLock::new(|| {
    let targets = [
        json!([ { "relative_humidity_at_depth": { "limit": "88 %" } } ]),
        json!([ { "equilibrium_relative_humidity": { "limit": "85 %" } } ]),
        json!([ { "mass_percent": { "limit": "3.7 %" } } ]),
        json!([ { "relative_humidity_at_depth": { "limit": "88 %" } }, { "surface_flux": { "limit": "15 g/m2/day" } } ]),
    ];
    let mut jobs = Vec::new();
    for target in targets {
        for (wet, skin) in [(false, false), (true, true)] {
            jobs.push(job(|v| {
                v["targets"] = target.clone();
                if wet {
                    v["slab"]["wettings"] =
                        json!([ { "date": "2026-04-25", "water_depth": "4 mm", "kind": "rain" } ]);
                }
                if skin {
                    v["slab"]["finish"] = json!("steel_trowelled");
                    v["slab"]["prepared"] = json!({ "date": "2026-05-02", "leaves": "ground" });
                }
            }));
        }
    }
    jobs
});

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]
    /// The bound that lets a plan be dropped holds in every world: no plan is quicker than ideal air, none cheaper than its bound.
    #[test]
    fn analytic_bounds_hold(base in any::<Index>(), number in any::<Index>(), index in 0u32..200, seed in 0u32..5) {
        let base = base.get(&BASES[..]);
        let all = candidates(base, base.inventory.as_ref().expect("an inventory")).all;
        let candidate = number.get(&all);
        let world = Draw::new(base, index, seed).apply(base);
        let inventory = world.inventory.as_ref().expect("an inventory");
        let start = prepare(&world, sampling_accuracy()).expect("a slab");
        let fewest = fewest_days(&world, &start);
        let setup = setup(&world, inventory, candidate);
        let outcome = run_without_film(&world, &setup, &start).expect("computed");
        let days = outcome.days_to_target.unwrap_or(f64::INFINITY);
        prop_assert!(fewest <= days, "{fewest} against {days}");
        let cost = outcome.cost + late(&world, days);
        let bound = lower_bound(&world, inventory, candidate, fewest);
        prop_assert!(bound <= cost + 1e-9, "{bound} against {cost}");
    }
}

/// Ideal air must say something about the jobs above, or the test before this one would hold whatever it says.
#[test]
fn analytic_ideal_air_takes_days() {
    for base in BASES.iter() {
        let start = prepare(base, sampling_accuracy()).expect("a slab");
        assert!(fewest_days(base, &start) > 0.5, "{:?}", base.targets);
    }
}
