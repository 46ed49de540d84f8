//! The split of a delay: its axioms, and what it says of whole scenarios.

use coatday::air::MoistAir;
use coatday::delay::{
    Action, Attribution, AttributionFault, CauseKind, EXACT, ExplainFault, MOST, actions,
    attribute, explain,
};
use coatday::evaluate::{Accuracy, compare};
use coatday::gear::assumed::AssumedAir;
use coatday::gear::{Machine, Surroundings};
use coatday::job::{self, Job};
use coatday::results::explain as told;
use coatday::scenario::{Scenario, read};
use coatday::units::System;
use coatday::units::format::{Currency, plus_or_minus};
use jiff::civil::Date;
use proptest::prelude::*;
use serde_json::{Value, json};

fn split(causes: usize, f: impl Fn(u32) -> f64 + Sync) -> Attribution {
    attribute(causes, |set| Ok::<f64, ()>(f(set))).expect("a split")
}

/// Days for every set of up to seven causes.
fn any_days() -> impl Strategy<Value = (usize, Vec<f64>)> {
    (1usize..=7).prop_flat_map(|n| {
        (
            Just(n),
            proptest::collection::vec(0.0..400.0f64, 1usize << n),
        )
    })
}

/// A shuffled list of causes.
fn shuffled(n: usize, mut seed: u64) -> Vec<usize> {
    let mut order: Vec<usize> = (0..n).collect();
    for i in (1..n).rev() {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        order.swap(i, ((seed >> 33) % (i as u64 + 1)) as usize);
    }
    order
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn analytic_attribution_sums_to_the_delay((n, days) in any_days()) {
        let a = split(n, |set| days[set as usize]);
        let delay = days[(1 << n) - 1] - days[0];
        prop_assert!((a.shares.iter().sum::<f64>() - delay).abs() < 1e-9);
        prop_assert!((a.delay() - delay).abs() < 1e-12);
        prop_assert!(a.standard_errors.is_none());
        let alone: f64 = a.alone.iter().sum();
        prop_assert!((a.interaction() + alone - delay).abs() < 1e-9);
    }

    #[test]
    fn analytic_attribution_gives_nothing_to_causes_that_do_nothing((n, days) in any_days(), which in 0usize..7) {
        let idle = which % (n + 1);
        // One more cause, anywhere among the others, that the days do not look at.
        let without = |set: u32| (set & ((1 << idle) - 1)) | ((set >> (idle + 1)) << idle);
        let a = split(n + 1, |set| days[without(set) as usize]);
        prop_assert_eq!(a.shares[idle], 0.0);
        prop_assert_eq!(a.alone[idle], 0.0);
        let others = split(n, |set| days[set as usize]);
        for i in 0..n {
            let place = if i < idle { i } else { i + 1 };
            prop_assert!((a.shares[place] - others.shares[i]).abs() < 1e-9);
        }
    }

    #[test]
    fn analytic_attribution_gives_equal_causes_equal_shares((n, days) in any_days()) {
        // The days see only how many of the last two causes are on.
        prop_assume!(n >= 2);
        let (a, b) = (1u32 << (n - 1), 1u32 << (n - 2));
        let seen = |set: u32| {
            let both = (set & a != 0, set & b != 0);
            let rest = set & !(a | b);
            match both {
                (true, true) => rest | a | b,
                (false, false) => rest,
                _ => rest | a,
            }
        };
        let split = split(n, |set| days[seen(set) as usize]);
        prop_assert!((split.shares[n - 1] - split.shares[n - 2]).abs() < 1e-9);
        prop_assert_eq!(split.alone[n - 1], split.alone[n - 2]);
    }

    #[test]
    fn analytic_attribution_does_not_see_the_order((n, days) in any_days(), seed in any::<u64>()) {
        let order = shuffled(n, seed);
        let back = |set: u32| {
            (0..n).filter(|i| set & (1 << i) != 0).fold(0u32, |all, i| all | 1 << order[i])
        };
        let one = split(n, |set| days[set as usize]);
        let other = split(n, |set| days[back(set) as usize]);
        for i in 0..n {
            prop_assert!((other.shares[i] - one.shares[order[i]]).abs() < 1e-9);
            prop_assert_eq!(other.last[i], one.last[order[i]]);
        }
        prop_assert!((one.interaction() - other.interaction()).abs() < 1e-9);
    }

    /// The definition itself: the mean over all orders, one by one.
    #[test]
    fn analytic_attribution_is_the_mean_over_all_orders(days in proptest::collection::vec(0.0..400.0f64, 16)) {
        let mut sums = [0.0; 4];
        let mut orders = 0.0;
        for a in 0..4usize { for b in 0..4 { for c in 0..4 { for d in 0..4 {
            let order = [a, b, c, d];
            if order.iter().fold(0u32, |all, i| all | 1 << i) != 15 { continue; }
            orders += 1.0;
            let mut set = 0usize;
            for i in order {
                sums[i] += days[set | 1 << i] - days[set];
                set |= 1 << i;
            }
        }}}}
        let split = split(4, |set| days[set as usize]);
        prop_assert_eq!(orders, 24.0);
        for i in 0..4 {
            prop_assert!((split.shares[i] - sums[i] / orders).abs() < 1e-9);
        }
    }

    #[test]
    fn analytic_attribution_by_sampling_sums_and_states_its_error(weights in proptest::collection::vec(0.0..20.0f64, 10), pull in 0.0..5.0f64) {
        // Alone they add up; a third-order term on the first three is shared equally by symmetry.
        let third = |set: u32| if set & 7 == 7 { pull } else { 0.0 };
        let f = |set: u32| (0..10).filter(|i| set & (1 << i) != 0).map(|i| weights[i]).sum::<f64>() + third(set);
        let a = split(10, f);
        prop_assert!((a.shares.iter().sum::<f64>() - (f(1023) - f(0))).abs() < 1e-9);
        let errors = a.standard_errors.clone().expect("sampled");
        for i in 3..10 {
            prop_assert!((a.shares[i] - weights[i]).abs() < 1e-9 && errors[i] < 1e-9);
        }
        for i in 0..3 {
            prop_assert!((a.shares[i] - weights[i] - pull / 3.0).abs() <= 4.0 * errors[i] + 1e-9);
        }
        prop_assert!(a.computed.len() < 1024);
        prop_assert_eq!(a, split(10, f));
    }
}

#[test]
fn analytic_attribution_of_two_causes_that_cost_the_same_days() {
    // Either costs ten days, both together ten: five each, and the interaction takes back ten.
    let a = split(2, |set| if set == 0 { 50.0 } else { 60.0 });
    assert_eq!(a.shares, [5.0, 5.0]);
    assert_eq!(a.alone, [10.0, 10.0]);
    assert_eq!(a.last, [0.0, 0.0]);
    assert_eq!(a.interaction(), -10.0);
}

#[test]
fn attribution_of_no_cause_and_of_too_many() {
    let a = split(0, |_| 30.0);
    assert!(a.shares.is_empty() && a.delay() == 0.0);
    assert_eq!(
        attribute(MOST + 1, |_| Ok::<f64, ()>(0.0)),
        Err(AttributionFault::TooMany(MOST + 1))
    );
    assert_eq!(
        attribute(2, |set| if set < 2 { Ok(0.0) } else { Err(set) }),
        Err(AttributionFault::Set(2))
    );
    assert_eq!(EXACT, 8);
}

fn surroundings(temperature: f64, humidity: f64) -> Surroundings {
    let air = |t, h| MoistAir::from_relative_humidity(t, h, 101_325.0);
    Surroundings {
        inside: air(temperature, humidity),
        outside: air(0.0, 0.8),
        wind_speed: 0.0,
        hour_of_day: 12.0,
    }
}

#[test]
fn analytic_assumed_air_acts_only_beyond_the_assumption() {
    let machine = Machine::AssumedAir(AssumedAir {
        temperature: Some(20.0),
        relative_humidity: Some(0.5),
        area: 100.0,
    });
    let cold = machine.effect(&surroundings(5.0, 0.4));
    assert!(cold.enthalpy > 0.0 && cold.vapour == 0.0);
    let damp = machine.effect(&surroundings(22.0, 0.8));
    assert!(damp.vapour < 0.0);
    // What leaves is vapour of the room's temperature and nothing else: the air neither warms nor cools.
    let vapour = 2.501e6 + 1860.0 * 22.0;
    assert!((damp.enthalpy - damp.vapour * vapour).abs() < 1e-6 * damp.enthalpy.abs());
    let fine = machine.effect(&surroundings(21.0, 0.45));
    assert_eq!((fine.enthalpy, fine.vapour, fine.duty), (0.0, 0.0, 0.0));
    // In full at the assumption, half of it in the middle of the band, off at its end on the good side.
    for (temperature, duty) in [(19.0, 1.0), (20.0, 1.0), (20.25, 0.5), (20.5, 0.0)] {
        let effect = machine.effect(&surroundings(temperature, 0.4));
        assert!((effect.duty - duty).abs() < 1e-9, "{temperature} degC");
        assert!((effect.enthalpy - duty * 400.0 * 100.0).abs() < 1e-3);
    }
    for (humidity, duty) in [(0.6, 1.0), (0.5, 1.0), (0.495, 0.5), (0.49, 0.0)] {
        let effect = machine.effect(&surroundings(22.0, humidity));
        assert!((effect.duty - duty).abs() < 1e-9, "{humidity}");
        assert!((effect.vapour + duty * 3e-4 * 100.0).abs() < 1e-9);
    }
    for effect in [cold, damp, fine] {
        assert!(
            (effect.electricity + effect.fuel - effect.enthalpy - effect.expelled).abs() < 1e-9
        );
    }
}

/// A job that dries within weeks, changed.
fn scenario(change: impl Fn(&mut Value)) -> Scenario {
    let mut value = json!({
        "name": "Store",
        "site": { "weather": { "constant": { "temperature": "10 degC", "relative_humidity": "70 %" } } },
        "slab": { "area": "100 m2", "thickness": "100 mm", "water_cement_ratio": 0.5, "placed": "2026-10-05",
                  "finish": "ground", "underside": "sealed" },
        "room": { "height": "4 m", "enclosed": "2026-10-19" },
        "gear_on": "2026-10-19",
        "targets": [ { "relative_humidity_at_depth": { "limit": "90 %" } } ],
        "promised": { "name": "as bid" },
        "setups": [
            { "name": "Heat", "gear": [ { "heater": { "class": "electric_15kw", "thermostat": { "setpoint": "20 degC" } } } ] },
            { "name": "Nothing", "gear": [] }
        ]
    });
    change(&mut value);
    read(&value.to_string(), "job").expect("a sound scenario")
}

fn weather(scenario: &Scenario) -> coatday::weather::Hourly {
    job::weather(scenario, &|_| Err(String::new()))
        .expect("weather")
        .0
}

fn kinds(e: &coatday::delay::Explanation) -> Vec<CauseKind> {
    e.causes.iter().map(|c| c.kind).collect()
}

#[test]
fn analytic_nothing_promised_otherwise_is_no_delay() {
    let s = scenario(|_| {});
    let e = explain(&s, &weather(&s), "Heat", None).expect("an explanation");
    assert!(e.causes.is_empty());
    assert_eq!(e.attribution.delay(), 0.0);
    assert_eq!(e.expected, Some(e.promised));
    assert_eq!(e.reference, "as bid");
    assert!(e.main_cause().is_none());
}

#[test]
fn analytic_one_cause_is_the_whole_delay() {
    let s = scenario(|v| {
        v["slab"]["thickness"] = json!("120 mm");
        v["promised"]["thickness"] = json!("100 mm");
    });
    let w = weather(&s);
    let e = explain(&s, &w, "Heat", None).expect("an explanation");
    assert_eq!(kinds(&e), [CauseKind::Thickness]);
    let days = |s: &Scenario| {
        compare(&Job::of(s, w.clone()), Accuracy::default())
            .outcomes
            .iter()
            .find(|o| o.name == "Heat")
            .and_then(|o| o.days_to_target)
            .expect("dry")
    };
    let mut bid = s.clone();
    bid.slab.thickness = coatday::units::Length::from_si(0.1);
    let delay = days(&s) - days(&bid);
    assert!(delay > 1.0);
    assert!((e.attribution.shares[0] - delay).abs() < 1e-9);
    assert!((e.attribution.delay() - delay).abs() < 1e-9);
    assert_eq!(e.attribution.interaction(), 0.0);
}

#[test]
fn analytic_all_causes_together_sum_to_the_delay() {
    let s = scenario(|v| {
        v["slab"]["thickness"] = json!("110 mm");
        v["slab"]["finish"] = json!("steel_trowelled");
        v["slab"]["wettings"] = json!([
            { "date": "2026-10-14", "kind": "rain", "lasts": "1 day" },
            { "date": "2026-10-30", "kind": "washing", "water_depth": "1 mm" }
        ]);
        v["room"]["enclosed"] = json!("2026-10-26");
        v["gear_on"] = json!("2026-10-28");
        v["promised"] = json!({
            "thickness": "100 mm", "finish": "ground", "enclosed": "2026-10-19", "gear_on": "2026-10-19",
            "room_temperature": "22 degC"
        });
    });
    let w = weather(&s);
    let e = explain(&s, &w, "Heat", None).expect("an explanation");
    assert_eq!(
        kinds(&e),
        [
            CauseKind::Thickness,
            CauseKind::Face,
            CauseKind::ClosedInLate,
            CauseKind::Cold,
            CauseKind::Rain,
            CauseKind::Washing,
            CauseKind::GearLate
        ]
    );
    let a = &e.attribution;
    assert_eq!(a.computed.len(), 128);
    assert!((a.shares.iter().sum::<f64>() - a.delay()).abs() < 1e-9);
    assert!(a.delay() > 5.0);
    let rain = a.shares[4];
    assert!(rain > 0.5, "{a:?}");
    // As it is, it is what `compare` says.
    let best = compare(&Job::of(&s, w.clone()), Accuracy::default())
        .outcomes
        .remove(0);
    assert_eq!(e.expected, best.date);
    assert_eq!(e, explain(&s, &w, "Heat", None).expect("the same again"));
}

#[test]
fn ref_bare_ground_is_no_retarder_and_one_face() {
    let s = scenario(|v| {
        v["slab"]["underside"] = json!("bare_ground");
        v["targets"] =
            json!([ { "relative_humidity_at_depth": { "limit": "92 %", "depth_fraction": 0.4 } } ]);
        v["give_up_after"] = json!("120 days");
        v["promised"] = json!({ "underside": { "open_air": { "temperature": "20 degC", "relative_humidity": "50 %" } } });
    });
    let e = explain(&s, &weather(&s), "Heat", None).expect("an explanation");
    assert_eq!(kinds(&e), [CauseKind::NoRetarder, CauseKind::OneSided]);
    let a = &e.attribution;
    assert!((a.shares.iter().sum::<f64>() - a.delay()).abs() < 1e-9);
    // Over wet ground a second open face cannot matter: without the ground kept out, the two courses are one.
    assert_eq!(a.computed[&0b01], a.computed[&0b11]);
}

#[test]
fn analytic_a_machine_that_was_down_is_a_cause() {
    let heater = |from: &str, until: &str| {
        let mut h = json!({ "class": "electric_15kw", "thermostat": { "setpoint": "20 degC" } });
        if !from.is_empty() {
            h["from"] = json!(from);
        }
        if !until.is_empty() {
            h["until"] = json!(until);
        }
        json!({ "heater": h })
    };
    let s = scenario(|v| {
        v["setups"][0]["gear"] =
            json!([heater("2026-10-22", "2026-10-25"), heater("2026-11-04", "")]);
        v["promised"]["setup"] = json!("Heat");
    });
    let e = explain(&s, &weather(&s), "Heat", None).expect("an explanation");
    assert_eq!(kinds(&e), [CauseKind::GearDown, CauseKind::GearLate]);
    assert!(e.attribution.shares[0] > e.attribution.shares[1]);
    assert!(e.attribution.shares[1] > 0.0);
    // The return on 4 November is the machine that was down, not gear that came late.
    assert_eq!(
        crate::plain(e.causes[1].detail.of(System::Si)),
        "some of it only from 22 Oct 2026"
    );
    assert_eq!(
        crate::plain(e.causes[0].detail.of(System::Us)),
        "Heater down Oct 26 to Nov 3"
    );
    let two = scenario(|v| {
        v["setups"][0]["gear"] = json!([
            heater("", "2026-10-25"),
            heater("2026-11-04", ""),
            { "fan": { "class": "fan_drum_small", "from": "2026-10-30" } },
            { "fan": { "class": "fan_axial_small", "from": "2026-10-24" } }
        ]);
    });
    let e = explain(&two, &weather(&two), "Heat", None).expect("an explanation");
    let late = e.causes.iter().find(|c| c.kind == CauseKind::GearLate);
    assert_eq!(
        crate::plain(late.expect("gear that came late").detail.of(System::Si)),
        "some of it only from 30 Oct 2026"
    );
    let other = scenario(|v| v["promised"]["setup"] = json!("Heat"));
    let e = explain(&other, &weather(&other), "Nothing", None).expect("an explanation");
    assert_eq!(kinds(&e), [CauseKind::OtherGear]);
}

#[test]
fn a_promise_that_never_dries_is_refused_and_a_floor_that_never_does_is_said_so() {
    let s = scenario(|v| {
        v["targets"] = json!([ { "relative_humidity_at_depth": { "limit": "55 %" } } ]);
        v["give_up_after"] = json!("60 days");
    });
    let w = weather(&s);
    assert_eq!(
        explain(&s, &w, "Heat", None),
        Err(ExplainFault::NeverPromised("as bid".into()))
    );
    assert_eq!(
        explain(&s, &w, "None such", None),
        Err(ExplainFault::NoSetup("None such".into()))
    );
    let s = scenario(|v| {
        v["give_up_after"] = json!("60 days");
        v["slab"]["thickness"] = json!("300 mm");
        v["promised"]["thickness"] = json!("80 mm");
        v["slab"]["finish"] = json!("steel_trowelled");
        v["promised"]["finish"] = json!("ground");
    });
    let e = explain(&s, &weather(&s), "Heat", None).expect("an explanation");
    assert_eq!(e.expected, None);
    assert!(e.capped >= 1 && e.not_dry.is_some());
    let a = &e.attribution;
    assert!((a.all - (14.0 + 60.0)).abs() < 1e-9);
    assert!((a.shares.iter().sum::<f64>() - a.delay()).abs() < 1e-9);
}

#[test]
fn without_a_promise_the_air_of_use_stands_in() {
    let s = scenario(|v| {
        v.as_object_mut().expect("an object").remove("promised");
        v["slab"]["finish"] = json!("steel_trowelled");
    });
    let e = explain(&s, &weather(&s), "Nothing", None).expect("an explanation");
    assert!(!e.promise_given);
    assert!(kinds(&e).contains(&CauseKind::Cold) && kinds(&e).contains(&CauseKind::HumidAir));
    let share =
        |kind| e.attribution.shares[kinds(&e).iter().position(|k| *k == kind).expect("there")];
    assert!(share(CauseKind::Cold) > 3.0);
    // Nobody promised another slab, another surface or other dates.
    let of_the_air = [CauseKind::Cold, CauseKind::HumidAir, CauseKind::Rain];
    assert!(
        kinds(&e).iter().all(|kind| of_the_air.contains(kind)),
        "{:?}",
        kinds(&e)
    );
}

#[test]
fn analytic_actions_gain_what_compare_says() {
    let s = scenario(|v| v["slab"]["finish"] = json!("steel_trowelled"));
    let w = weather(&s);
    let list = actions(&s, &w, "Nothing", None, Some(day("2026-10-12"))).expect("actions");
    let outcomes = compare(&Job::of(&s, w.clone()), Accuracy::default()).outcomes;
    let days = |name: &str| {
        let o = outcomes.iter().find(|o| o.name == name).expect("there");
        o.days_to_target.expect("dry")
    };
    let change = list
        .iter()
        .find(|a| a.name.of(System::Si) == "Change to setup \"Heat\"")
        .expect("there");
    assert!((change.days_gained.expect("dry") - (days("Nothing") - days("Heat"))).abs() < 1e-9);
    assert!(change.cost_incomplete);
    assert!(
        list.iter()
            .any(|a| a.name.of(System::Si).starts_with("Grind the surface open"))
    );
    assert!(list.iter().any(|a| {
        a.name
            .of(System::Si)
            .starts_with("Add a large dehumidifier")
    }));
    let gains: Vec<f64> = list.iter().filter_map(|a| a.days_gained).collect();
    let single = list.iter().filter(|a| a.things == 1).count();
    assert!(gains[..single].is_sorted_by(|a, b| a >= b));
    assert!(
        gains.iter().all(|gain| *gain >= 0.5),
        "nothing that costs days is offered"
    );
    // What is done together gains at least two days more than the best thing by itself.
    for limit in ["90 %", "88 %", "86 %"] {
        let s = scenario(|v| {
            v["slab"]["finish"] = json!("steel_trowelled");
            v["targets"] = json!([ { "relative_humidity_at_depth": { "limit": limit } } ]);
        });
        let list = actions(&s, &weather(&s), "Heat", None, None).expect("actions");
        let gain = |single: bool| {
            let of = list.iter().filter(|a| (a.things == 1) == single);
            of.filter_map(|a| a.days_gained).collect::<Vec<f64>>()
        };
        let most = gain(true).into_iter().fold(0.0, f64::max);
        assert!(
            gain(false).iter().all(|gain| *gain >= most + 2.0),
            "{limit}"
        );
    }
    // Later, what is past cannot be changed, and less is left to gain.
    let later = actions(
        &s,
        &w,
        "Nothing",
        None,
        Some("2026-11-10".parse().expect("a day")),
    )
    .expect("actions");
    assert!(
        !later
            .iter()
            .any(|a| a.name.of(System::Si).contains("a week earlier"))
    );
    let late = later.iter().find(|a| a.name == change.name).expect("there");
    assert!(late.days_gained < change.days_gained);
    let over = actions(
        &s,
        &w,
        "Heat",
        None,
        Some("2028-01-01".parse().expect("a day")),
    )
    .expect("actions");
    assert!(over.is_empty());
}

fn day(text: &str) -> Date {
    text.parse().expect("a day")
}

fn names(s: &Scenario, setup: &str, from: Option<&str>) -> Vec<String> {
    let list = actions(s, &weather(s), setup, None, from.map(day)).expect("actions");
    list.iter()
        .filter(|a| a.things == 1)
        .map(|a| crate::plain(a.name.of(System::Us)))
        .collect()
}

/// A week earlier is offered as long as that day is still to come.
#[test]
fn regress_actions_whose_day_is_past_are_not_offered() {
    let s = scenario(|v| v["room"]["enclosed"] = json!("2026-10-12"));
    let earlier = |from| {
        let list = names(&s, "Heat", from).into_iter();
        let mut list: Vec<String> = list.filter(|n| n.contains("a week earlier")).collect();
        list.sort();
        list
    };
    // Closed in on the day of placing is no choice, so only the gear is left.
    let start = ["Start the gear a week earlier, on Oct 12, 2026".to_owned()];
    // What was before the gear goes on is past, unless a day says otherwise.
    assert!(earlier(None).is_empty());
    assert_eq!(earlier(Some("2026-10-12")), start);
    assert!(earlier(Some("2026-10-13")).is_empty());
    assert!(earlier(Some("2026-10-19")).is_empty());
    let s = scenario(|_| {});
    // Neither gains a day without the other: the gear cannot start in an open shell.
    let both = |name: &String| {
        name.contains("Enclose the building a week earlier, on Oct 12, 2026")
            && name.contains("Start the gear a week earlier, on Oct 12, 2026")
    };
    let offered = |from| {
        let list = actions(&s, &weather(&s), "Heat", None, Some(day(from))).expect("actions");
        let names = list.iter().map(|a| crate::plain(a.name.of(System::Us)));
        names.filter(both).count()
    };
    assert!(offered("2026-10-12") > 0);
    assert_eq!(offered("2026-10-13"), 0);
}

/// What has left the site is no longer there, and an empty list is no proof of a dry floor.
#[test]
fn regress_machines_that_have_left_can_be_had_again() {
    let s = scenario(|v| {
        v["targets"] = json!([ { "relative_humidity_at_depth": { "limit": "85 %" } } ]);
        v["setups"][0]["gear"][0]["heater"]["until"] = json!("2026-10-25");
        v["setups"][0]["gear"].as_array_mut().expect("a list").push(
            json!({ "dehumidifier": { "class": "refrigerant_medium", "until": "2026-10-25" } }),
        );
    });
    let heat = |from| {
        let list = names(&s, "Heat", Some(from));
        (
            list.iter().any(|n| n.starts_with("Heat to 70 °F with")),
            list.iter().any(|n| n == "Add a large dehumidifier"),
        )
    };
    assert_eq!(heat("2026-10-25"), (false, false));
    assert_eq!(heat("2026-10-26"), (true, true));
    let e = explain(&s, &weather(&s), "Heat", None).expect("an explanation");
    let dry = e.expected.expect("dry");
    assert!(told::nothing_left(&e, dry.tomorrow().expect("a day")).contains("dry before"));
    assert!(told::nothing_left(&e, dry).contains("This program knows of nothing more"));
}

/// Heat is sized for the coldest 30 days in which it is on: a floor that dries in summer needs none of January's, one that would not be dry by
/// then does. 600 W/K and 134 W/K of leakage against 21.1 - 18 K are less than one heater of 15 kW, against 21.1 + 15 K nearly two.
#[test]
fn analytic_heat_is_sized_while_the_floor_dries() {
    let seasonal = |limit: &str| {
        scenario(|v| {
            v["site"]["weather"] = json!({ "by_month": {
                "mean_temperature": ["-15 degC", "-15 degC", "0 degC", "8 degC", "14 degC", "18 degC", "18 degC", "18 degC", "14 degC", "8 degC", "0 degC", "-15 degC"],
                "relative_humidity": vec!["60 %"; 12] } });
            v["slab"]["placed"] = json!("2026-05-20");
            v["room"] = json!({ "height": "4 m", "heat_loss": "600 W/K", "air_changes_per_hour": 1.0, "enclosed": "2026-06-01" });
            v["gear_on"] = json!("2026-06-01");
            v["targets"] = json!([ { "relative_humidity_at_depth": { "limit": limit } } ]);
            v["promised"] = json!({});
        })
    };
    let heater = |limit: &str| {
        let list = names(&seasonal(limit), "Nothing", None);
        let found = list.into_iter().find(|n| n.contains("electric"));
        found.expect("a heater")
    };
    let one = "Heat to 70 °F with 1 x electric heater, 15 kW";
    assert_eq!(heater("92 %"), one);
    assert_eq!(heater("83 %"), one.replace("1 x", "2 x"));
}

/// One circuit of 20 A feeds no heater of 15 kW: the action says so and is not the first thing to do.
#[test]
fn regress_actions_that_the_site_cannot_feed_say_so() {
    let with = |power: Value| {
        let s = scenario(|v| {
            if !power.is_null() {
                v["site"]["power"] = power.clone();
            }
        });
        actions(&s, &weather(&s), "Nothing", None, None).expect("actions")
    };
    let find = |list: &[Action], name: &str| {
        let found = list
            .iter()
            .find(|a| a.name.of(System::Si).starts_with(name));
        found.expect("there").fits_power
    };
    let unknown = with(Value::Null);
    assert!(unknown.iter().all(|a| a.fits_power.is_none()));
    assert_eq!(
        told::actions_table(&unknown, Currency::default(), System::Si)
            .columns
            .len(),
        3
    );
    let one = json!({ "circuits": [ { "voltage": "120 V", "breaker": "20 A" } ] });
    let list = with(one);
    assert_eq!(find(&list, "Heat to 21"), Some(false));
    assert_eq!(find(&list, "Add a large dehumidifier"), Some(true));
    assert_eq!(list[0].fits_power, Some(false), "{:?}", list[0].name);
    let table = told::actions_table(&list, Currency::default(), System::Si);
    assert_eq!(table.columns.len(), 4);
    assert_eq!(table.rows[0][3], "DOES NOT FIT");
    let first = told::first_action(&list, None).expect("something fits");
    assert_ne!(first.name, list[0].name);
}

#[test]
fn faults_of_a_promise_come_with_their_place() {
    let text = r#"{ "name": "x", "site": { "weather": { "constant": { "temperature": "10 degC", "relative_humidity": "70 %" } } },
        "slab": { "area": "100 m2", "thickness": "100 mm", "placed": "2026-10-05" }, "room": { "height": "4 m" },
        "gear_on": "2026-10-19", "setups": [ { "name": "a", "gear": [] } ],
        "promised": { "setup": "b", "enclosed": "2026-10-01", "gear_on": "2026-09-20", "thickness": "9 m" } }"#;
    let faults = read(text, "job").expect_err("faults").to_string();
    for part in [
        "promised.setup",
        "There is no setup of this name",
        "promised.enclosed",
        "promised.gear_on",
        "promised.thickness",
    ] {
        assert!(faults.contains(part), "{part} is missing in\n{faults}");
    }
}

/// The figures of the help on the shipped job, and the days that its actions gain.
#[test]
fn regress_the_late_floor_of_the_help() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = |name: &str| std::fs::read_to_string(root.join(name)).expect("shipped");
    let s = read(&text("scenarios/late_floor.json"), "job").expect("sound");
    let w = weather(&s);
    let setup = s.setups[0].name.clone();
    let e = explain(&s, &w, &setup, None).expect("an explanation");
    let help = text("src/cli/help/explain.txt");
    let words = help.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains(&format!("a delay of {:.0} days", e.attribution.delay())));
    let (main, days) = e.main_cause().expect("a cause");
    assert_eq!(main.kind, CauseKind::Thickness);
    assert!(days > 0.40 * e.attribution.delay());
    let list = actions(
        &s,
        &w,
        &setup,
        None,
        Some("2026-11-16".parse().expect("a day")),
    )
    .expect("actions");
    for action in list.iter().take(3) {
        let name = crate::plain(action.name.of(System::Us));
        let line = help.lines().find(|l| l.trim().starts_with(&name));
        let gained = crate::plain(plus_or_minus(-action.days_gained.expect("dry")));
        assert!(
            line.is_some_and(|l| l.contains(&gained)),
            "{name}: {gained}"
        );
    }
}

/// The cheapest single thing that makes the date is named first, else the cheapest combination that does, else what gains most by itself.
#[test]
fn analytic_the_first_thing_to_do() {
    let action = |name: &str, things: usize, gained: f64, date: &str, cost: f64| Action {
        name: name.into(),
        things,
        days_gained: Some(gained),
        date: Some(day(date)),
        cost,
        cost_incomplete: false,
        fits_power: None,
    };
    let list = [
        action("most", 1, 9.0, "2026-12-11", 900.0),
        action("dear", 1, 8.0, "2026-12-12", 800.0),
        action("cheap", 1, 7.0, "2026-12-13", 100.0),
        action("all", 3, 20.0, "2026-11-30", 2000.0),
        action("two", 2, 12.0, "2026-12-08", 1000.0),
    ];
    for (by, first) in [
        ("2026-12-13", "cheap"),
        ("2026-12-12", "dear"),
        ("2026-12-08", "two"),
        ("2026-12-01", "all"),
        ("2026-11-01", "most"),
    ] {
        let chosen = told::first_action(&list, Some(day(by))).expect("an action");
        assert_eq!(chosen.name.of(System::Si), first, "{by}");
    }
}
