//! What is brought before the verdict: cases, readings, work and the wanted chance.

use super::cases::{job, opened};
use coatday::evaluate::odds::{Draw, Odds, Sample};
use coatday::evaluate::{Accuracy, Outcome, compare};
use coatday::moisture_log::forecast::{Forecast, PlaceForecast, World};
use coatday::verdict::{Basis, ENOUGH_CASES, Floor, State, Timing, Verdict};
use coatday::{OpenJob, Sampling};
use jiff::civil::Weekday;
use serde_json::{Value, json};

fn first(open: &OpenJob) -> Outcome {
    compare(&open.job, Accuracy::default()).outcomes.remove(0)
}

fn said(open: &OpenJob, days: &[f64]) -> Verdict {
    let sample = |days: &f64| Sample {
        days: *days,
        cost: 0.0,
        course: Vec::new(),
    };
    let outcome = Outcome {
        odds: Some(Odds {
            samples: days.iter().map(sample).collect(),
            failed: 0,
            in_time: None,
        }),
        ..first(open)
    };
    let floor = Floor {
        job: &open.job,
        prepared: open.prepared.as_ref(),
    };
    floor.of_setup(&outcome, None, false)
}

/// Nine cases tell no range, ten do.
#[test]
fn analytic_few_cases_tell_no_range() {
    let open = opened(&job(|_| ()));
    let days: Vec<f64> = (0..ENOUGH_CASES).map(|k| 20.0 + k as f64).collect();
    assert_eq!(ENOUGH_CASES, 10);
    assert_eq!(said(&open, &days[1..]).basis, Basis::OneRun);
    assert_eq!(said(&open, &days).basis, Basis::SampledCases);
}

/// The chance that the scenario wants decides what is in time, 80 % where it wants none.
#[test]
fn analytic_the_wanted_chance_is_that_of_the_scenario() {
    let days: Vec<f64> = (0..20).map(|k| if k < 14 { 20.0 } else { 60.0 }).collect();
    let timing = |plan: Option<Value>| {
        let open = opened(&job(|v| {
            v["needed_by"] = json!("2026-11-20");
            if let Some(plan) = plan {
                v["plan"] = plan;
            }
        }));
        let v = said(&open, &days);
        assert_eq!(v.chance, Some(0.7));
        v.timing
    };
    let wanted = |share: &str| json!({ "on_hand": [ { "gear": { "fan": { "class": "fan_axial_small" } } } ], "confidence": share });
    assert_eq!(timing(None), Timing::MayBeLate);
    assert_eq!(timing(Some(wanted("60 %"))), Timing::InTime);
}

/// With a walk the date is a working day, and a floor that is dry on a Friday night is coated on Monday; the chance counts days to coat.
#[test]
fn analytic_a_floor_with_work_is_coated_on_a_working_day() {
    let open = opened(&job(|v| {
        // Sunday: dry on Saturday would be in time, coating on Monday is not.
        v["needed_by"] = json!("2026-11-15");
        v["walk"] = json!({ "areas": [ { "name": "Hall", "substrate": "concrete", "size": "100 m2" } ], "findings": [],
            "method": "vacuum_grinding" });
    }));
    // Friday, 13 November, at 22:00.
    let friday_night = 32.0 + 22.0 / 24.0;
    let v = said(&open, &[friday_night; 20]);
    let date = v.date().expect("a date");
    assert_eq!(date.weekday(), Weekday::Monday, "{date}");
    assert_eq!(date.to_string(), "2026-11-16");
    assert_eq!((v.chance, v.timing), (Some(0.0), Timing::Late));
    assert!(v.to_coat());
    // One hour of a working day earlier it is a Friday, in time.
    let v = said(&open, &[31.0 + 22.0 / 24.0; 20]);
    assert_eq!(
        v.date().map(|d| d.to_string()).as_deref(),
        Some("2026-11-13")
    );
    assert_eq!((v.chance, v.timing), (Some(1.0), Timing::InTime));
}

/// Cases that are never ready count against the chance and stretch the late end.
#[test]
fn analytic_cases_that_never_dry_are_not_in_time() {
    let open = opened(&job(|v| v["needed_by"] = json!("2026-12-20")));
    let mut days = vec![20.0; 10];
    days.extend([f64::INFINITY; 9]);
    let v = said(&open, &days);
    assert_eq!(v.state, State::GetsReady);
    assert!((v.get_there.expect("cases") - 10.0 / 19.0).abs() < 1e-12);
    assert_eq!(v.chance, v.get_there);
    assert_eq!(
        v.range.map(|[low, high]| (low.is_some(), high.is_some())),
        Some((true, false))
    );
}

fn forecast(open: &OpenJob, weights: &[&[f64]]) -> Forecast {
    let world = |(k, draw): (usize, Draw)| World {
        draw,
        days: 10.0 * (k + 1) as f64,
        course: Vec::new(),
        predicted: Vec::new(),
    };
    let place = |weights: &&[f64]| PlaceForecast {
        place: String::new(),
        history: Vec::new(),
        weights: weights.to_vec(),
        effective: 1.0,
        held: Vec::new(),
        moved: Vec::new(),
        beyond_model: false,
    };
    let draws = Draw::first(&open.job, weights[0].len() as u32, 1);
    Forecast {
        worlds: draws.into_iter().enumerate().map(world).collect(),
        places: weights.iter().map(place).collect(),
        failed: 0,
    }
}

/// The worlds stand among the cases as often as the worst place weighs them: of ten cases five, three and two.
#[test]
fn analytic_cases_stand_for_the_weights_of_the_worst_place() {
    let open = opened(&job(|_| ()));
    let found = forecast(&open, &[&[0.5, 0.0, 0.3, 0.2], &[0.0, 1.0, 0.0, 0.0]]);
    let draws = found.draws(10);
    let worlds: Vec<Draw> = found.worlds.iter().map(|w| w.draw).collect();
    let count = |k: usize| draws.iter().filter(|draw| **draw == worlds[k]).count();
    assert_eq!([count(0), count(1), count(2), count(3)], [5, 0, 3, 2]);
}

/// The place that is dry last rules, whatever the others say.
#[test]
fn analytic_the_worst_place_gives_the_date() {
    let open = opened(&job(|v| v["needed_by"] = json!("2026-11-08")));
    let outcome = first(&open);
    let floor = Floor {
        job: &open.job,
        prepared: None,
    };
    let found = forecast(&open, &[&[0.0, 0.0, 1.0], &[1.0, 0.0, 0.0]]);
    let v = floor.of_setup(&outcome, Some(&found), true);
    assert_eq!((v.basis, v.cases), (Basis::Readings, 3));
    assert_eq!(v.ready.map(|r| r.days), Some(30.0));
    assert_eq!((v.chance, v.timing), (Some(0.0), Timing::Late));
}

/// A floor that is dry when the gear goes on is told so only if it is within every target from the first moment.
#[test]
fn analytic_already_dry_is_from_the_first_moment() {
    let at = |limit: &str| {
        let open = opened(&job(|v| {
            v["targets"] = json!([{ "relative_humidity_at_depth": { "limit": limit } }]);
        }));
        let found = coatday::compare(
            &open,
            Sampling {
                samples: 0,
                seed: 1,
            },
        );
        (
            found.verdicts[0].state,
            found.compared.outcomes[0].days_to_target,
        )
    };
    let (state, days) = at("98 %");
    assert_eq!((state, days), (State::AlreadyDry, Some(0.0)));
    let (state, days) = at("90 %");
    assert!(
        state == State::GetsReady && days > Some(1.0),
        "{state:?} {days:?}"
    );
}
