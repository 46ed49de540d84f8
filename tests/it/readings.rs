//! Tests of how a run reads its targets: under service conditions, not while curing, and never a wet floor.

use coatday::evaluate::{Accuracy, prepare, run_observed};
use coatday::job::{self, Job};
use coatday::moisture_tests::{
    CONDITIONING, DEPTH_MARGIN, Target, depth_limit, probe_depth, testable,
};
use coatday::scenario::{Scenario, read};
use coatday::units::{DAY, HOUR};
use proptest::prelude::*;
use serde_json::{Value, json};

/// 1 lb/1000 ft2 in 24 h \[kg/(m2 s)\].
const POUND: f64 = 5.651e-8;

/// A 4-in. slab, 28 days old when drying starts, in a shed as leaky as the open air.
fn base() -> Value {
    json!({
        "name": "Shed",
        "site": { "weather": { "constant": { "temperature": "20 degC", "relative_humidity": "50 %" } } },
        "slab": { "area": "100 m2", "thickness": "4 in", "water_cement_ratio": 0.5, "placed": "2026-04-01",
                  "finish": "floated", "curing": { "wet": { "lasts": "7 days" } } },
        "room": { "height": "3 m", "air_changes_per_hour": 20 },
        "drying_starts": "2026-04-29",
        "give_up_after": "400 days",
        "setups": [ { "name": "Open", "gear": [] } ]
    })
}

fn scenario(change: impl FnOnce(&mut Value)) -> Scenario {
    let mut value = base();
    change(&mut value);
    read(&value.to_string(), "t.json").expect("a sound scenario")
}

fn job(change: impl FnOnce(&mut Value), targets: &[Target]) -> Job {
    let scenario = scenario(change);
    let (weather, _) = job::weather(&scenario, &|_| Err("no file".into())).expect("weather");
    let mut job = Job::of(&scenario, weather);
    job.targets = targets.to_vec();
    job
}

fn air(temperature: f64, humidity: f64) -> impl FnOnce(&mut Value) {
    move |v| {
        v["site"]["weather"]["constant"] = json!({
            "temperature": format!("{temperature} degC"), "relative_humidity": format!("{humidity} %") });
    }
}

const FLUX: Target = Target::SurfaceFlux { limit: 3.0 * POUND };
const DISH: Target = Target::EmissionRate { limit: 5.0 * POUND };
const SHEET: Target = Target::PlasticSheet {
    exposure: 16.0 * HOUR,
};
const fn probe(limit: f64) -> Target {
    Target::HumidityAtDepth {
        limit,
        depth_share: None,
    }
}

/// What became of a floor.
#[derive(Debug)]
struct Dry {
    /// Days of drying; infinite when never.
    days: f64,
    /// Age of the concrete \[days\].
    age: f64,
    /// Humidity at the standard depth when it was dry, as the slab lay.
    depth: f64,
}

fn dry(job: &Job) -> Dry {
    let start = prepare(job, Accuracy::default()).expect("a slab");
    let mut depths = vec![(
        0.0,
        start
            .snapshot()
            .humidity_at(probe_depth(&start.snapshot(), None)),
    )];
    let outcome = run_observed(job, &job.setups[0], &start, &mut |slab, _| {
        let day = (slab.time() - job.drying_starts) / DAY;
        depths.push((day, slab.humidity_at(probe_depth(slab, None))));
    });
    assert!(outcome.computed(), "{:?}", outcome.never);
    let days = outcome.days_to_target.unwrap_or(f64::INFINITY);
    let after = depths.partition_point(|(day, _)| *day < days);
    Dry {
        days,
        age: job.drying_starts / DAY + days,
        depth: depths.get(after).or(depths.last()).map_or(0.0, |d| d.1),
    }
}

/// A slab that lies in its service conditions reads, begun now, what it reads as it lies when the test is over: the reading of
/// published drying times, which were measured in the air of their own laboratories, is that of the slab as it lay there.
#[test]
fn analytic_a_reading_in_its_own_air_is_that_of_two_days_later() {
    let (temperature, humidity) = (23.0, 0.5);
    let target = [probe(0.85), Target::EquilibriumHumidity { limit: 0.85 }];
    let mut job = job(air(temperature, 100.0 * humidity), &target);
    job.tester.service.temperature = temperature;
    job.tester.service.relative_humidity = humidity;
    let mut slab = prepare(&job, Accuracy::default()).expect("a slab");
    let climate = coatday::simulation::Climate::Given {
        air: coatday::air::MoistAir::from_relative_humidity(
            temperature,
            humidity,
            slab.snapshot().air_pressure(),
        ),
        air_speed: 0.1,
    };
    slab.hold_air();
    let carry = |slab: &mut coatday::simulation::Simulation, time: f64| {
        let until = slab.time() + time;
        let _ = slab
            .advance(until, climate, &mut |_, _| {
                std::ops::ControlFlow::Continue(())
            })
            .expect("drying");
    };
    carry(&mut slab, 20.0 * DAY);
    let begun = job
        .tester
        .read(&target, &slab.snapshot())
        .expect("readings");
    carry(&mut slab, CONDITIONING);
    for (target, reading) in target.iter().zip(begun) {
        let lies = target
            .as_it_lies(&slab.snapshot(), &job.tester.service)
            .expect("a reading");
        assert!(
            (reading - lies).abs() < 1e-4,
            "{target:?}: {reading} against {lies}"
        );
    }
}

/// The flux in cold air is small because it is cold, in damp air because it is damp. Read as the air of the moment had it, 3 lb came after
/// 52 days at 50 degF and 113 at 90 degF, after 52 in air of 80 % and 114 in air of 10 %.
#[test]
fn warm_and_dry_air_do_not_put_off_a_flux() {
    let days = |t: f64, h: f64| dry(&job(air(t, h), &[FLUX])).days;
    let (cold, warm) = (days(10.0, 50.0), days(32.2, 50.0));
    assert!(warm < cold, "{warm} days at 90 degF, {cold} at 50 degF");
    let (damp, arid) = (days(21.0, 80.0), days(21.0, 10.0));
    assert!(
        arid < damp,
        "{arid} days in air of 10 %, {damp} in air of 80 %"
    );
}

/// A slab of 28 days at 4 degC and 80 % stands at 92 % under a film and passed at once by the flux of the moment.
#[test]
fn a_cold_young_slab_passes_nothing() {
    for target in [
        FLUX,
        DISH,
        Target::EmissionRate { limit: 3.0 * POUND },
        probe(0.85),
    ] {
        let found = dry(&job(
            |v| {
                air(4.0, 80.0)(v);
                v["give_up_after"] = json!("60 days");
            },
            &[target],
        ));
        assert!(found.days.is_infinite(), "{target:?}: {found:?}");
    }
}

/// Young slabs of w/c 0.6, 2 to 8 days old: nine of ten passed the sheet within a minute. It passes none now, however old.
#[test]
fn a_sheet_alone_passes_no_floor() {
    for age in [2, 8, 300] {
        let found = dry(&job(
            |v| {
                v["slab"]["water_cement_ratio"] = json!(0.6);
                v["slab"]["curing"] = json!("none");
                v["drying_starts"] = json!(
                    jiff::civil::date(2026, 4, 1)
                        .checked_add(jiff::Span::new().days(age))
                        .unwrap()
                        .to_string()
                );
                v["give_up_after"] = json!("60 days");
            },
            &[SHEET],
        ));
        assert!(found.days.is_infinite(), "{age} days: {found:?}");
    }
    // Beside a probe it can only make the day later.
    let alone = dry(&job(|_| (), &[probe(0.88)])).days;
    let both = dry(&job(|_| (), &[probe(0.88), SHEET])).days;
    assert!(both >= alone, "{both} with a sheet, {alone} without");
}

/// The check refuses what cannot pass a floor, in a sentence with its place.
#[test]
fn check_refuses_a_sheet_or_a_dish_alone() {
    let faults = |targets: Value| {
        let mut value = base();
        value["targets"] = targets;
        match read(&value.to_string(), "t.json") {
            Ok(_) => String::new(),
            Err(faults) => faults.to_string(),
        }
    };
    let dish = json!({ "emission_rate": { "limit": "3 lb/1000 ft2/24 h" } });
    let sheet = json!({ "plastic_sheet": {} });
    let humid = json!({ "relative_humidity_at_depth": { "limit": "75 %" } });
    let text = faults(json!([sheet]));
    assert!(
        text.contains("targets[0].plastic_sheet")
            && text.contains("A plastic sheet cannot pass a floor"),
        "{text}"
    );
    for list in [json!([dish]), json!([sheet, dish])] {
        let text = faults(list);
        assert!(
            text.contains("emission_rate") && text.contains("A dish cannot be the only test"),
            "{text}"
        );
    }
    assert_eq!(faults(json!([humid, dish, sheet])), "");
}

/// Under wet curing, under its sheet and before its age the concrete passes nothing, whatever the limit.
#[test]
fn nothing_passes_while_curing_or_too_young() {
    let easy = [
        Target::SurfaceFlux {
            limit: 30.0 * POUND,
        },
        Target::EmissionRate {
            limit: 30.0 * POUND,
        },
        probe(0.999),
        Target::MassPercent {
            limit: 0.12,
            layer: 0.02,
        },
    ];
    let with = |change: &dyn Fn(&mut Value), target: Target| {
        let mut job = job(
            |v| {
                v["drying_starts"] = json!("2026-04-02");
                v["give_up_after"] = json!("60 days");
                // The limit at depth takes no part here.
                change(v);
            },
            &[target],
        );
        // Any slab passes at depth.
        job.targets.push(probe(0.999));
        dry(&job).age
    };
    for target in easy {
        let usual = with(&|_| (), target);
        assert!((28.0..29.0).contains(&usual), "{target:?}: {usual}");
        let wet = |v: &mut Value| {
            v["slab"]["curing"] = json!({ "wet": { "lasts": "35 days" } });
        };
        let wet = with(&wet, target);
        assert!((35.0..45.0).contains(&wet), "{target:?}: {wet}");
        let covered = |v: &mut Value| {
            v["slab"]["curing"] = json!({ "sheet": { "lasts": "40 days" } });
        };
        let covered = with(&covered, target);
        assert!((40.0..50.0).contains(&covered), "{target:?}: {covered}");
        let old = |v: &mut Value| v["coating"] = json!({ "concrete_age": "50 days" });
        let old = with(&old, target);
        assert!((50.0..51.0).contains(&old), "{target:?}: {old}");
    }
}

/// Water on the floor: no reading counts while it lies there, and none that was made before it stands.
#[test]
fn free_water_puts_a_dry_floor_off() {
    let at = |wetting: Value| {
        dry(&job(
            |v| {
                v["slab"]["wettings"] = wetting;
                v["drying_starts"] = json!("2026-12-01");
            },
            &[probe(0.97)],
        ))
        .days
    };
    assert!(at(json!([])) < 0.01);
    // Three days later the floor is washed for half a day: what passed before does not hold for a week.
    let washed = at(json!([{ "date": "2026-12-04", "lasts": "12 h", "kind": "washing" }]));
    assert!((3.5..7.0).contains(&washed), "{washed}");
    let rained = at(json!([{ "date": "2026-12-04", "water_depth": "3 mm", "kind": "rain" }]));
    assert!((3.5..9.0).contains(&rained), "{rained}");
}

/// A slab at 20 degF passed the dish on the first day. Frozen, it passes nothing.
#[test]
fn a_frozen_slab_passes_nothing() {
    for target in [DISH, FLUX, probe(0.97)] {
        let found = dry(&job(
            |v| {
                air(-6.7, 70.0)(v);
                v["drying_starts"] = json!("2026-12-01");
                v["slab"]["ground_temperature"] = json!("-5 degC");
                v["site"]["weather"]["constant"]["temperature"] = json!("20 degF");
                v["give_up_after"] = json!("60 days");
            },
            &[target],
        ));
        assert!(found.days.is_infinite(), "{target:?}: {found:?}");
    }
}

/// Anything a random job may have.
#[derive(Clone, Debug)]
struct Draw {
    thickness: f64,
    ratio: f64,
    age: i64,
    temperature: f64,
    humidity: f64,
    finish: &'static str,
    curing: Value,
    underside: Value,
    gear: Value,
    target: usize,
    limit: f64,
}

fn draws() -> impl Strategy<Value = Draw> {
    let curing = prop_oneof![
        Just(json!("none")),
        (2u32..20).prop_map(|d| json!({ "wet": { "lasts": format!("{d} days") } })),
        (2u32..20).prop_map(|d| json!({ "sheet": { "lasts": format!("{d} days") } })),
        Just(json!({ "curing_compound": {} })),
    ];
    let underside = prop_oneof![
        Just(json!("sealed")),
        Just(json!({ "vapour_retarder": {} })),
        Just(json!({ "open_air": { "temperature": "15 degC", "relative_humidity": "60 %" } })),
    ];
    let gear = prop_oneof![
        Just(json!([])),
        Just(json!([{ "fan": { "class": "fan_axial_small" } }])),
        Just(
            json!([{ "heater": { "class": "electric_15kw", "thermostat": { "setpoint": "24 degC" } } }])
        ),
        Just(json!([{ "dehumidifier": { "class": "low_grain_large" } }])),
    ];
    (
        (
            0.075..0.2f64,
            0.38..0.72f64,
            1i64..90,
            -2.0..32.0f64,
            15.0..85.0f64,
        ),
        prop_oneof![Just("floated"), Just("steel_trowelled")],
        curing,
        underside,
        gear,
        0usize..4,
        0.0..1.0f64,
    )
        .prop_map(
            |(
                (thickness, ratio, age, temperature, humidity),
                finish,
                curing,
                underside,
                gear,
                target,
                limit,
            )| Draw {
                thickness,
                ratio,
                age,
                temperature,
                humidity,
                finish,
                curing,
                underside,
                gear,
                target,
                limit,
            },
        )
}

impl Draw {
    /// A target of one kind, with a limit in the usual range of its kind.
    fn target(&self) -> Target {
        let between = |low: f64, high: f64| low + self.limit * (high - low);
        match self.target {
            0 => Target::SurfaceFlux {
                limit: between(1.5, 8.0) * POUND,
            },
            1 => Target::EmissionRate {
                limit: between(2.5, 9.0) * POUND,
            },
            2 => probe(between(0.75, 0.95)),
            _ => Target::MassPercent {
                limit: between(0.03, 0.06),
                layer: 0.02,
            },
        }
    }

    /// In a room whose air is that of outside, also under a slab that dries from both sides, so that nothing but its warmth and dryness
    /// changes.
    fn in_open_air(&self) -> Job {
        let mut draw = self.clone();
        if self.underside.get("open_air").is_some() {
            draw.underside = json!({ "open_air": {
                "temperature": format!("{} degC", self.temperature), "relative_humidity": format!("{} %", self.humidity) } });
        }
        draw.job(60.0, &json!([]))
    }

    fn in_its_room(&self) -> Job {
        self.job(1.0, &self.gear)
    }

    fn job(&self, air_changes: f64, gear: &Value) -> Job {
        job(
            |v| {
                air(self.temperature, self.humidity)(v);
                let slab = v["slab"].as_object_mut().expect("a slab");
                slab["thickness"] = json!(format!("{} mm", 1e3 * self.thickness));
                slab["water_cement_ratio"] = json!(self.ratio);
                slab["finish"] = json!(self.finish);
                slab["curing"] = self.curing.clone();
                slab.insert("underside".into(), self.underside.clone());
                v["room"]["air_changes_per_hour"] = json!(air_changes);
                v["drying_starts"] = json!(
                    jiff::civil::date(2026, 4, 1)
                        .checked_add(jiff::Span::new().days(self.age))
                        .expect("a date")
                        .to_string()
                );
                v["give_up_after"] = json!("200 days");
                v["setups"][0]["gear"] = gear.clone();
            },
            &[self.target()],
        )
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    /// A warmer room of the same relative humidity or a drier room of the same warmth makes no floor later by more than a day. The exception is
    /// warmth where other air lies below the slab, and it goes both ways. Over colder air the face is colder than the room, and warm air
    /// of the same relative humidity is damper there. And a test brings the room above to service conditions, not the air below: a slab that
    /// is warmer from below gives off more.
    #[test]
    fn warmer_or_drier_is_never_later(draw in draws(), warmer in 1.0..8.0f64, drier in 3.0..20.0f64) {
        prop_assume!(draw.target < 3);
        let days = dry(&draw.in_open_air()).days;
        if draw.underside.get("open_air").is_none() {
            let warm = dry(&Draw { temperature: draw.temperature + warmer, ..draw.clone() }.in_open_air()).days;
            prop_assert!(warm <= days + 1.0, "{warm} days warmer, {days} as it is");
        }
        let arid = dry(&Draw { humidity: (draw.humidity - drier).max(5.0), ..draw.clone() }.in_open_air()).days;
        prop_assert!(arid <= days + 1.0, "{arid} days drier, {days} as it is");
    }

    /// No floor passes by any target alone while its humidity at depth stands 5 points above the limit, nor before its age.
    #[test]
    fn no_wet_or_young_floor_passes(draw in draws()) {
        let job = draw.in_its_room();
        let found = dry(&job);
        if found.days.is_finite() {
            let limit = depth_limit(&job.targets);
            prop_assert!(found.depth <= limit + 0.001, "{found:?}, limit {limit}");
            prop_assert!(found.age >= 28.0 - 1e-9, "{found:?}");
        }
    }
}

/// The limit at depth is five points above the lowest humidity among the targets, or above the usual 75 %.
#[test]
fn the_limit_at_depth() {
    assert!((depth_limit(&[FLUX]) - 0.8).abs() < 1e-12);
    assert!((depth_limit(&[FLUX, probe(0.9), probe(0.85)]) - 0.9).abs() < 1e-12);
    assert!((DEPTH_MARGIN - 0.05).abs() < 1e-12);
}

/// A slab as it comes from its moulds may be tested; one under water may not.
#[test]
fn a_slab_under_water_is_not_tested() {
    let mut slab = prepare(&job(|_| (), &[FLUX]), Accuracy::default()).expect("a slab");
    assert_eq!(testable(&slab.snapshot()), Ok(()));
    slab.keep_wet(true);
    assert!(testable(&slab.snapshot()).is_err());
}
