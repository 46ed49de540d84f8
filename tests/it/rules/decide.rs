//! What another limit is worth, and other ways to coat: each figure against runs of its own.

use super::limits::text;
use super::{job, run, with};
use coatday::evaluate::odds::{Draw, Odds, add_odds, odds, sampling_accuracy};
use coatday::evaluate::{
    Accuracy, JudgedWay, Outcome, USUAL_LIMITS, Way, WayKind, compare, judge_ways, other_limits,
};
use coatday::job::Job;
use coatday::moisture_tests::Target;
use coatday::scenario::model::Alternative;
use coatday::search::job_of_way;
use coatday::units::{DAY, FT2};
use serde_json::{Value, json};

const SAMPLES: u32 = 12;

fn draws(job: &Job) -> Vec<Draw> {
    Draw::first(job, SAMPLES, 1)
}

/// The setups of a job with their odds.
fn dried(job: &Job) -> Vec<Outcome> {
    let mut outcomes = compare(job, Accuracy::default()).outcomes;
    add_odds(job, &mut outcomes, &draws(job), sampling_accuracy());
    outcomes
}

fn accuracies() -> (Accuracy, Accuracy) {
    (Accuracy::default(), sampling_accuracy())
}

/// A job that asks for this humidity at depth and nothing else.
fn asking(job: &Job, limit: f64) -> Job {
    let mut job = job.clone();
    job.targets = vec![Target::HumidityAtDepth {
        limit,
        depth_share: None,
    }];
    job
}

fn days(odds: &Odds) -> Vec<f64> {
    odds.samples.iter().map(|sample| sample.days).collect()
}

/// A thin floor that dries from below too is dry to every limit within the time, so that every limit has its day.
#[test]
fn analytic_limits_of_one_run_are_those_of_separate_runs() {
    let job = job(&with(&[("/give_up_after", json!("400 days"))]));
    let found =
        other_limits(&job, (0, &dried(&job)[0]), None, &draws, accuracies()).expect("computed");
    assert_eq!(
        found.limits.len(),
        USUAL_LIMITS.len() + 1,
        "88 % is the scenario's own"
    );
    for at in &found.limits {
        let alone = asking(&job, at.limit);
        let outcome = &compare(&alone, Accuracy::default()).outcomes[0];
        assert_eq!(
            at.outcome.days_to_target, outcome.days_to_target,
            "{}",
            at.limit
        );
        assert_eq!(at.outcome.cost, outcome.cost);
        assert_eq!(at.own, at.limit == 0.88);
        if at.limit < 0.85 {
            assert!(at.outcome.odds.is_none(), "long runs that few people want");
            continue;
        }
        let of_alone = &odds(&alone, &draws(&alone), sampling_accuracy())[0];
        let shared = at.outcome.odds.as_ref().expect("odds");
        assert_eq!(days(shared), days(of_alone), "{}", at.limit);
        assert_eq!(shared.in_time, of_alone.in_time);
    }
    assert!(found.limits.is_sorted_by(|a, b| a.limit < b.limit));
}

/// What a probe should read on a day is what the cases read at its start, beyond the day on which they are dry too.
#[test]
fn analytic_expected_readings_are_the_middle_of_the_cases() {
    let job = job(&with(&[("/give_up_after", json!("400 days"))]));
    let today = jiff::civil::date(2026, 5, 2);
    let found = other_limits(
        &job,
        (0, &dried(&job)[0]),
        Some(today),
        &draws,
        accuracies(),
    )
    .expect("computed");
    let days: Vec<String> = found.readings.iter().map(|e| e.date.to_string()).collect();
    let expected = [
        "2026-04-20",
        "2026-05-02",
        "2026-05-15",
        "2026-05-18",
        "2026-06-15",
        "2026-07-13",
    ];
    assert_eq!(days, expected);
    // Cases that look on for a year read the same on these days.
    let mut far = asking(&job, 0.88);
    far.targets = vec![Target::HumidityAtDepth {
        limit: 0.7,
        depth_share: None,
    }];
    let cases: Vec<Draw> = draws(&asking(&job, 0.88));
    let course = odds(&far, &cases, sampling_accuracy())[0].course();
    for (day, reading) in [0usize, 12, 25, 28, 56, 84]
        .into_iter()
        .zip(&found.readings)
    {
        let (low, high) = reading.range.expect("a range");
        let (_, [a, b, c]) = course[day];
        for (found, expected) in [(low, a), (reading.middle, b), (high, c)] {
            assert!(
                (found - expected).abs() < 2e-3,
                "day {day}: {found} for {expected}"
            );
        }
        assert!(low <= reading.middle && reading.middle <= high);
    }
    let falling = found.readings.windows(2);
    assert!(
        falling
            .into_iter()
            .all(|pair| pair[1].middle < pair[0].middle)
    );
}

/// A floor with a heater to choose and these alternatives, needed by a day.
fn floor(needed_by: &str, limit: &str, rent: &str, others: Value) -> Value {
    with(&[
        ("/needed_by", json!(needed_by)),
        ("/targets/0/relative_humidity_at_depth/limit", json!(limit)),
        ("/give_up_after", json!("400 days")),
        ("/alternatives", others),
        (
            "/prices",
            json!({ "electricity": "0.1 $/kWh", "day_of_delay": "1000 $/day" }),
        ),
        (
            "/setups",
            json!([
                { "name": "Plain", "gear": [] },
                { "name": "Heat", "gear": [{ "heater": { "class": "electric_15kw", "thermostat": { "setpoint": "30 degC" },
                                                         "rent": [rent] } }] }
            ]),
        ),
    ])
}

fn ways(scenario: &Value) -> (Job, Vec<JudgedWay>) {
    let others: Vec<Alternative> =
        serde_json::from_value(scenario["alternatives"].clone()).expect("alternatives");
    let job = job(scenario);
    let ways = Way::all(&job, Some(&others));
    let found =
        judge_ways(&job, &ways, &dried(&job), None, &draws, accuracies()).expect("computed");
    (job, found)
}

/// A layer at 95 %, a coating at 90 %, both at once price.
fn others(layer: &str, coating: &str) -> Value {
    json!([
        { "mitigation_layer": { "limit": "95 %", "cost": layer, "cost_up_to": layer, "takes": "3 days", "least_age": "14 days" } },
        { "other_coating": { "name": "Tougher floor", "limit": "90 %", "cost": coating } }
    ])
}

/// Every way, with every setup, run on its own: the ranking is that of enumeration, and so is every figure.
#[test]
fn analytic_ways_are_those_of_enumeration() {
    let scenario = floor(
        "2026-05-15",
        "84 %",
        "40 $/day",
        others("60 $/m2", "25 $/m2"),
    );
    let (job, found) = ways(&scenario);
    assert_eq!(found.len(), 3);
    for judged in &found {
        let alone = asking(&job, judged.way.limit());
        let mut best: Option<(bool, f64, f64, String)> = None;
        for (setup, odds) in
            alone
                .setups
                .iter()
                .zip(odds(&alone, &draws(&alone), sampling_accuracy()))
        {
            let (work, age) = match judged.way.kind {
                WayKind::MitigationLayer => (3.0, 14.0),
                _ => (0.0, 0.0),
            };
            let price = match judged.way.kind {
                WayKind::MitigationLayer => 60.0 * 100.0,
                WayKind::OtherCoating => 25.0 * 100.0,
                _ => 0.0,
            };
            // The slab is 19 days old when the gear goes on, and May 15 is the 25th day after it.
            let ready = |days: f64| f64::max(days, age - 19.0) + work;
            let late = |days: f64| (ready(days).floor() - 25.0).clamp(0.0, 400.0 - 25.0);
            let n = odds.samples.len() as f64;
            let made = odds.samples.iter().filter(|s| late(s.days) == 0.0).count() as f64 / n;
            let cost: f64 = odds
                .samples
                .iter()
                .map(|s| s.cost + 1000.0 * late(s.days))
                .sum();
            let mean = price + cost / n;
            let rank = if made >= 0.8 {
                (false, mean)
            } else {
                (true, -made)
            };
            let new = (rank.0, rank.1, mean, setup.name.clone());
            let better = best
                .as_ref()
                .is_none_or(|b| (new.0, new.1, new.2) < (b.0, b.1, b.2));
            if better {
                best = Some(new);
            }
        }
        let (late, _, mean, setup) = best.expect("a setup");
        assert_eq!(
            judged.setup.as_deref(),
            Some(setup.as_str()),
            "{:?}",
            judged.way.kind
        );
        assert_eq!(judged.makes_it, !late);
        let cost = judged.expected_cost().expect("a cost");
        assert!(
            (cost - mean).abs() < 1e-6 * mean.max(1.0),
            "{cost} for {mean}"
        );
    }
    let made = found.iter().take_while(|way| way.makes_it).count();
    assert!(found[made..].iter().all(|way| !way.makes_it));
    let costs: Vec<f64> = found[..made]
        .iter()
        .filter_map(JudgedWay::expected_cost)
        .collect();
    assert!(costs.is_sorted());
}

/// Where heat is cheap drying wins; where it is dear and the layer cheap the layer wins; where the tougher floor is cheap that wins; and
/// where only heat brings the slab below the layer's limit in time, some weeks of heat and then the layer.
#[test]
fn analytic_each_way_wins_where_it_should() {
    let winner = |scenario: &Value| {
        let (_, found) = ways(scenario);
        let best = &found[0];
        assert!(best.makes_it, "{found:?}");
        (best.way.kind, best.setup.clone().expect("a setup"))
    };
    let cheap_heat = floor(
        "2026-06-15",
        "88 %",
        "1 $/day",
        others("60 $/m2", "25 $/m2"),
    );
    assert_eq!(winner(&cheap_heat).0, WayKind::DryToTheLimit);
    let soon = floor(
        "2026-05-01",
        "80 %",
        "400 $/day",
        others("10 $/m2", "90 $/m2"),
    );
    assert_eq!(winner(&soon), (WayKind::MitigationLayer, "Plain".into()));
    let tough = floor(
        "2026-06-15",
        "80 %",
        "400 $/day",
        others("60 $/m2", "2 $/m2"),
    );
    assert_eq!(winner(&tough).0, WayKind::OtherCoating);
    let both =
        json!([{ "mitigation_layer": { "limit": "90 %", "cost": "30 $/m2", "takes": "2 days" } }]);
    let both = floor("2026-05-10", "80 %", "40 $/day", both);
    assert_eq!(winner(&both), (WayKind::MitigationLayer, "Heat".into()));
}

/// A layer waits for the slab's age, its work comes on top, and its price goes with the area.
#[test]
fn analytic_age_work_and_price_of_a_layer() {
    let layer = |age: &str| json!([{ "mitigation_layer": { "limit": "99 %", "cost": "3 $/ft2", "cost_up_to": "5 $/ft2", "takes": "2.5 days", "least_age": age } }]);
    let of_layer = |age: &str| {
        let (_, found) = ways(&floor("2026-06-15", "80 %", "40 $/day", layer(age)));
        let mut layers = found.into_iter();
        let layer = layers.find(|way| way.way.kind == WayKind::MitigationLayer);
        layer.expect("the layer")
    };
    let young = of_layer("10 days");
    assert_eq!(young.days, Some(2.5), "99 % is there on the first day");
    assert_eq!(of_layer("30 days").days, Some(30.0 - 19.0 + 2.5));
    let (low, high) = young.layer_cost.expect("a price");
    let area = 100.0 / FT2;
    assert!((low - 3.0 * area).abs() < 1e-6 && (high - 5.0 * area).abs() < 1e-6);
    let peak = young.under_film.expect("a peak").peak;
    // What lets vapor pass keeps less of it below.
    let open = json!([{ "breathable_finish": { "limit": "99 %", "permeance": "50 perm" } }]);
    let (_, found) = ways(&floor("2026-06-15", "80 %", "40 $/day", open));
    let finish = found
        .iter()
        .find(|way| way.way.kind == WayKind::BreathableFinish);
    let below = finish.and_then(|way| way.under_film).expect("a peak").peak;
    assert!(below < peak - 0.005, "{below} and {peak}");
    // Another coating may ask for an older slab than the planned one, which wants 28 days, but not for a younger.
    for (age, days) in [("40 days", 21.0), ("7 days", 9.0)] {
        let old =
            json!([{ "other_coating": { "limit": "99 %", "cost": "1 $/m2", "least_age": age } }]);
        let (_, found) = ways(&floor("2026-06-15", "80 %", "40 $/day", old));
        let coating = found
            .iter()
            .find(|way| way.way.kind == WayKind::OtherCoating);
        assert_eq!(coating.and_then(|way| way.days), Some(days), "{age}");
    }
    assert!(peak > 0.85 && peak < 0.99, "{peak}");
}

/// A usual way that asks for no less than the planned coating is not offered, prices in dollars are not taken for another currency, and no
/// way is offered where the scenario says so.
#[test]
fn analytic_usual_ways_are_offered_where_they_help() {
    use WayKind::{MitigationLayer, OtherCoating, TolerantPrimer};
    let kinds = |limit: &str, more: &[(&str, Value)]| -> Vec<(WayKind, bool)> {
        let mut changes = vec![("/targets/0/relative_humidity_at_depth/limit", json!(limit))];
        changes.extend_from_slice(more);
        let job = job(&with(&changes));
        let all = Way::all(&job, None).into_iter().skip(1);
        all.map(|way| (way.kind, way.price.is_some())).collect()
    };
    let all = [
        (OtherCoating, true),
        (TolerantPrimer, true),
        (MitigationLayer, true),
    ];
    assert_eq!(kinds("80 %", &[]), all);
    assert_eq!(kinds("85 %", &[]), all[1..]);
    assert_eq!(kinds("96 %", &[]), all[2..]);
    let euro = [("/prices", json!({ "electricity": "0.3 EUR/kWh" }))];
    assert_eq!(
        kinds("90 %", &euro),
        [(TolerantPrimer, false), (MitigationLayer, false)]
    );
    let job = job(&with(&[]));
    assert_eq!(Way::all(&job, Some(&[])).len(), 1);
    assert!(job.gear_on > 18.0 * DAY);
}

/// A way is searched on a job that needs the slab by as many days earlier as its work takes, and not at all where the slab is too young.
#[test]
fn analytic_a_way_is_searched_for_its_own_day() {
    let layer = json!([{ "mitigation_layer": { "limit": "97 %", "takes": "2.5 days", "least_age": "30 days" } }]);
    let of_way = |needed_by: &str| {
        let scenario = floor(needed_by, "80 %", "40 $/day", layer.clone());
        let others: Vec<Alternative> =
            serde_json::from_value(scenario["alternatives"].clone()).expect("alternatives");
        let job = job(&scenario);
        job_of_way(&job, &Way::all(&job, Some(&others))[1])
    };
    let found = of_way("2026-05-15").expect("old enough");
    assert_eq!(found.needed_by, Some(jiff::civil::date(2026, 5, 12)));
    assert_eq!(found.targets[0].limit(), 0.97);
    assert!(
        (found.targets_from - 30.0 * DAY).abs() < 1e-6,
        "the layer's age, not the coating's"
    );
    // Placed on April 1 it is 30 days old on May 1, and three days of work end on May 4.
    assert!(of_way("2026-05-04").is_some());
    assert!(of_way("2026-05-03").is_none());
}

/// No other way is told where none was looked at, none on a floor that is on hold, no chance under ten cases, and no cost without a sign that a
/// price is missing.
#[test]
fn analytic_what_is_not_known_of_a_way_is_not_told() {
    let told = |scenario: &Value, samples: &str| {
        let text = text("compare", scenario, &["--samples", samples]);
        let line = text
            .split("heat to coat not counted")
            .next()
            .unwrap_or_default();
        let told =
            text.contains("heat to coat not counted") || text.contains("None of the other ways");
        (told, line.to_owned())
    };
    let scenario = floor(
        "2026-05-01",
        "80 %",
        "400 $/day",
        others("10 $/m2", "90 $/m2"),
    );
    let (is_told, line) = told(&scenario, "10");
    assert!(
        is_told && line.contains("Cheapest for") && line.contains("% chance, $1,000"),
        "{line}"
    );
    let mut none = scenario.clone();
    none["alternatives"] = json!([]);
    assert!(!told(&none, "10").0);
    let mut held = scenario.clone();
    held["walk"] = json!({ "areas": [{ "name": "Hall", "substrate": "concrete", "size": "100 m2" }],
        "findings": [{ "crack": { "area": "Hall", "length": "2 m", "width": "2 mm", "depth": "10 mm", "state": "moving" } }] });
    assert!(!told(&held, "10").0);
    let few = run("compare", &scenario, &["--samples", "9"]);
    assert_eq!(few["ways"][0]["chance_in_time"], Value::Null);
    assert!(
        few["other_limits"]
            .as_array()
            .into_iter()
            .flatten()
            .all(|at| at["odds"].is_null())
    );
    assert!(few["expected_readings"][0]["low_percent"].is_null());
    // Only heat makes the layer's limit in time, and nobody said what power costs.
    let both =
        json!([{ "mitigation_layer": { "limit": "90 %", "cost": "30 $/m2", "takes": "2 days" } }]);
    let mut unpriced = floor("2026-05-10", "80 %", "40 $/day", both);
    unpriced["prices"] = json!({ "day_of_delay": "1000 $/day" });
    let (_, line) = told(&unpriced, "10");
    assert!(
        line.contains("Possible for") && line.contains('+'),
        "{line}"
    );
}

/// No work begins in the past, and what it makes late is late.
#[test]
fn analytic_no_way_begins_in_the_past() {
    let layer = json!([{ "mitigation_layer": { "limit": "99 %", "takes": "3 days", "least_age": "10 days" } }]);
    let scenario = floor("2026-05-15", "80 %", "40 $/day", layer);
    let others: Vec<Alternative> =
        serde_json::from_value(scenario["alternatives"].clone()).expect("alternatives");
    let job = job(&scenario);
    let all = Way::all(&job, Some(&others));
    let layer = |today: &str| {
        let today = Some(today.parse().expect("a day"));
        let found = judge_ways(&job, &all, &dried(&job), today, &draws, accuracies());
        let mut found = found.expect("computed").into_iter();
        found
            .find(|way| way.way.kind == WayKind::MitigationLayer)
            .expect("the layer")
    };
    // May 10 is the 20th day, and three days of work end in time for the 15th; from May 14 on they do not.
    let soon = layer("2026-05-10");
    assert_eq!((soon.days, soon.makes_it), (Some(23.0), true));
    assert!(!layer("2026-05-14").makes_it);
}

/// The command says which way makes the date, and what the floor should read on it.
#[test]
fn regress_compare_tells_the_ways() {
    let scenario = floor(
        "2026-05-01",
        "80 %",
        "400 $/day",
        others("10 $/m2", "90 $/m2"),
    );
    let found = run("compare", &scenario, &["--samples", "10"]);
    assert_eq!(found["ways"][0]["kind"], json!("mitigation_layer"));
    assert_eq!(found["ways"][0]["makes_needed_by"], json!(true));
    assert_eq!(found["other_limits"].as_array().map(Vec::len), Some(6));
    let own = found["other_limits"].as_array().into_iter().flatten();
    let own: Vec<&Value> = own.filter(|at| at["own"] == json!(true)).collect();
    assert_eq!(own.len(), 1);
    assert_eq!(
        own[0]["days_to_target"],
        found["setups"][0]["days_to_target"]
    );
    let by = found["expected_readings"].as_array().into_iter().flatten();
    assert!(by.clone().any(|e| e["date"] == json!("2026-05-01")));
}
