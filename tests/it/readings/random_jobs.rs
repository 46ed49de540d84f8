//! What must hold for any job: slab, climate, gear and target at random.

use super::{POUND, air, dry, job, probe};
use coatday::evaluate::{Accuracy, prepare, run_observed};
use coatday::job::Job;
use coatday::moisture_tests::{CONDITIONING, Target, depth_limit, probe_depth, testable};
use coatday::units::DAY;
use proptest::prelude::*;
use serde_json::{Value, json};

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
                v["gear_on"] = json!(
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

/// Days of drying between which a floor gets dry when every day is read: the last that fails, or none, and the first of a week that passes.
fn read_every_day(job: &Job) -> Option<(f64, f64)> {
    let start = prepare(job, Accuracy::default()).expect("a slab");
    let mut targets = job.targets.clone();
    targets.push(probe(depth_limit(&job.targets)));
    let mut days: Vec<(f64, bool)> = Vec::new();
    let run = run_observed(job, &job.setups[0], &start, &mut |slab, _| {
        let day = (slab.time() - job.gear_on) / DAY;
        let tests = testable(slab).is_ok();
        if days
            .last()
            .is_some_and(|(last, _)| day < last.floor() + 1.0)
            && tests
        {
            return;
        }
        let passes = tests && slab.time() > job.targets_from && {
            let mut readings = job.tester.read(&targets, slab).expect("readings");
            let lies = slab.humidity_at(probe_depth(slab, None));
            let depth = readings.last_mut().expect("the depth");
            *depth = depth.max(lies);
            readings.iter().zip(&targets).all(|(r, t)| *r <= t.limit())
        };
        days.push((day, passes));
    });
    run.expect("computed");
    let last = days.last()?.0;
    let place = (0..days.len()).find(|&place| {
        let week = days[place].0 + 7.0;
        let after = days[place..].iter().take_while(|(day, _)| *day <= week);
        week <= last + 1.5 && after.into_iter().all(|(_, passes)| *passes)
    })?;
    let before = place.checked_sub(1).map_or(0.0, |before| days[before].0);
    Some((before, days[place].0))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    /// Readings are skipped where they decide nothing: the floor is dry on the day on which it would be if every day were read.
    #[test]
    fn what_is_not_read_decides_nothing(draw in draws()) {
        let job = draw.in_its_room();
        let found = dry(&job).days;
        let takes = job.targets.iter().map(Target::takes).fold(CONDITIONING, f64::max) / DAY;
        let end = (job.give_up - job.gear_on) / DAY;
        let first = (job.targets_from - job.gear_on).max(0.0) / DAY;
        match read_every_day(&job) {
            // A floor that passes at the first moment needs no wait.
            _ if (found - first).abs() < 1e-9 => {}
            Some((fails, passes)) => {
                prop_assert!(found >= fails + takes - 0.01, "{found} days, not dry before {}", fails + takes);
                prop_assert!(found <= passes + takes + 0.01, "{found} days, dry after {}", passes + takes);
            }
            None => prop_assert!(found > end - 10.0, "{found} days, and no week of days that pass"),
        }
    }
}
