//! What is shown of the odds: the early end stands first, and eight chances in ten lie between the ends.

use super::{job, run, with};
use crate::odds::odds_of;
use coatday::evaluate::odds::{Odds, Sample, USUAL_SEED};
use serde_json::{Value, json};

const SAMPLES: u32 = 16;

/// Days below which a share of the samples lies: between the order statistics at `(n + 1) p` (Hyndman & Fan 1996, type 6).
fn by_hand(mut days: Vec<f64>, share: f64) -> f64 {
    days.sort_by(f64::total_cmp);
    let place = share * (days.len() + 1) as f64;
    let (below, part) = (place.floor() as usize, place.fract());
    days[below - 1] + part * (days[below] - days[below - 1])
}

fn number(value: &Value, key: &str) -> f64 {
    value[key]
        .as_f64()
        .unwrap_or_else(|| panic!("{key}: {value:#}"))
}

/// The early end, the middle and the late end of an object with odds, in days and in dates.
fn in_order(odds: &Value) {
    let [early, middle, late] = ["p10", "p50", "p90"];
    let days = |end: &str| number(odds, &format!("days_{end}"));
    assert!(
        days(early) < days(middle) && days(middle) < days(late),
        "{odds:#}"
    );
    let date = |end: &str| {
        odds[format!("date_{end}")]
            .as_str()
            .expect("a date")
            .to_owned()
    };
    assert!(date(early) < date(late), "{odds:#}");
    assert!(
        date(early) <= date(middle) && date(middle) <= date(late),
        "{odds:#}"
    );
}

/// `compare` shows the tenth, half and nine tenths of its own samples, and the date needed is kept by those that are dry on it.
#[test]
fn analytic_compare_shows_the_ends_of_its_samples() {
    let samples = SAMPLES.to_string();
    let scenario = with(&[]);
    let found = &odds_of(&job(&scenario), SAMPLES, USUAL_SEED)[0];
    let days: Vec<f64> = found.samples.iter().map(|s| s.days).collect();
    let shown = |scenario: &Value| {
        run("compare", scenario, &["--samples", &samples])["setups"][0]["odds"].clone()
    };
    let object = shown(&scenario);
    in_order(&object);
    for (key, share) in [("days_p10", 0.1), ("days_p50", 0.5), ("days_p90", 0.9)] {
        let (found, wanted) = (number(&object, key), by_hand(days.clone(), share));
        assert!(
            (found - wanted).abs() < 1e-9 * wanted,
            "{key}: {found} {wanted}"
        );
    }
    // The last sample but two is one day late: it does not count.
    let job = job(&scenario);
    let dates: Vec<_> = days.iter().map(|d| job.date_after(*d)).collect();
    let mut sorted = dates.clone();
    sorted.sort();
    let late = sorted[sorted.len() - 3];
    let needed = late.yesterday().expect("a day");
    let in_time = dates.iter().filter(|d| **d <= needed).count();
    let object = shown(&with(&[("/needed_by", json!(needed.to_string()))]));
    let chance = number(&object, "chance_in_time");
    assert!(
        (chance - in_time as f64 / f64::from(SAMPLES)).abs() < 1e-12,
        "{chance}"
    );
}

#[test]
fn analytic_plans_and_forecasts_put_the_early_end_first() {
    let on_hand =
        json!([{ "gear": { "fan": { "class": "fan_axial_large", "rent": ["9 $/day"] } } }]);
    let scenario = with(&[
        ("/needed_by", json!("2026-07-20")),
        (
            "/plan",
            json!({ "confidence": "5 %", "swap_after": [], "on_hand": on_hand }),
        ),
    ]);
    let plan = run("plan", &scenario, &["--samples", "8"]);
    in_order(&plan["best"]);
    let forecast = run("forecast", &scenario, &["--samples", "16"]);
    let places = forecast["places"].as_array().expect("places");
    for place in places {
        in_order(&place["now"]);
    }
    assert!(!places.is_empty());
}

/// The band of a chart: of nine readings on a day the lowest is the lower edge and the highest the upper, since with nine the tenth
/// and nine tenths lie at the order statistics `(9 + 1) 0.1` and `(9 + 1) 0.9`.
#[test]
fn analytic_the_band_has_its_low_edge_below() {
    let samples = (1..=9_u32)
        .map(|k| Sample {
            days: f64::from(k),
            cost: 0.0,
            course: vec![0.80 + 0.01 * f64::from(k), 0.70 + 0.01 * f64::from(k)],
        })
        .collect();
    let odds = Odds {
        samples,
        failed: 0,
        in_time: None,
    };
    let course = odds.course();
    assert_eq!(course.len(), 2);
    for ((day, [low, middle, high]), (number, top)) in
        course.into_iter().zip([(0.0, 0.8), (1.0, 0.7)])
    {
        assert_eq!(day, number);
        for (found, wanted) in [(low, top + 0.01), (middle, top + 0.05), (high, top + 0.09)] {
            assert!(
                (found - wanted).abs() < 1e-12,
                "day {day}: {found} {wanted}"
            );
        }
    }
}
