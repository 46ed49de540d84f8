//! Conditions of a day, and the coating's limits on them.

use std::collections::BTreeSet;

use coatday::evaluate::Accuracy;
use coatday::job::{self, Job};
use coatday::preparation::calendar::{DAY, WorkingTime};
use coatday::preparation::coating::{HeldBy, NoDay};
use coatday::preparation::conditions::{Against, Conditions, Watch};
use coatday::preparation::{Depth, Prepared, prepare_floor};
use coatday::scenario::coating_window::CoatingWindow;
use serde_json::{Value, json};

use super::{hall, near, read, with_walk};

const HOUR: f64 = 3600.0;

fn hours(from: f64, to: f64) -> WorkingTime {
    WorkingTime {
        from: from * HOUR,
        to: to * HOUR,
        weekdays: [true; 7],
        first_weekday: 0,
        days_off: BTreeSet::new(),
    }
}

fn air(margin: f64) -> Conditions {
    Conditions {
        margin,
        coldest: 15.0 + margin,
        warmest: 16.0 + margin,
        relative_humidity: 0.5,
        wet_until: f64::NEG_INFINITY,
    }
}

/// Moments every six hours miss the hours from 8 to 11 altogether; the line between them gives both ends. Day 0: from 4 K at 6 h to 10 K
/// at 12 h it is 6 K at 8 h and 9 K at 11 h. Day 1: a dip to 1 K at 9 h lies inside. Day 2 is cut off at 10 h and not known.
#[test]
fn analytic_hours_between_moments() {
    let mut watch = Watch::new(&hours(8.0, 11.0), 0.0);
    for (hour, margin) in [
        (0.0, 4.0),
        (6.0, 4.0),
        (12.0, 10.0),
        (18.0, 10.0),
        (30.0, 5.0),
        (33.0, 1.0),
        (36.0, 5.0),
        (58.0, 5.0),
    ] {
        watch.see(hour * HOUR, air(margin));
    }
    let days = watch.days();
    assert_eq!(days.keys().copied().collect::<Vec<_>>(), [0, 1]);
    near(days[&0].margin, 6.0);
    near(days[&0].coldest, 21.0);
    near(days[&0].warmest, 25.0);
    near(days[&1].margin, 1.0);
}

/// With 24 h of cure behind 8 to 11 h, a dip at 3 h of the next night counts for both days, one at noon of it only for the second.
#[test]
fn analytic_the_cure_counts() {
    let at = |dip: f64| {
        let mut watch = Watch::new(&hours(8.0, 11.0), DAY);
        for hour in 0..=96 {
            let margin = if f64::from(hour) == dip { 1.0 } else { 5.0 };
            watch.see(f64::from(hour) * HOUR, air(margin));
        }
        let days = watch.days();
        assert_eq!(days.len(), 3);
        [days[&0].margin, days[&1].margin, days[&2].margin]
    };
    assert_eq!(at(27.0), [1.0, 5.0, 5.0]);
    assert_eq!(at(34.0), [1.0, 1.0, 5.0]);
    assert_eq!(at(36.0), [5.0, 1.0, 5.0]);
}

#[test]
fn analytic_limits() {
    let window = CoatingWindow::of(None);
    let good = Conditions {
        margin: 3.0,
        coldest: 10.0,
        warmest: 32.0,
        relative_humidity: 0.85,
        wet_until: 0.0,
    };
    let against = |c: Conditions| c.against(&window, DAY);
    assert_eq!(against(good), None);
    for (bad, why) in [
        (
            Conditions {
                margin: 2.9,
                ..good
            },
            Against::DewPoint,
        ),
        (
            Conditions {
                coldest: 9.9,
                ..good
            },
            Against::Cold,
        ),
        (
            Conditions {
                warmest: 32.1,
                ..good
            },
            Against::Warm,
        ),
        (
            Conditions {
                relative_humidity: 0.86,
                ..good
            },
            Against::MoistAir,
        ),
        (
            Conditions {
                wet_until: HOUR,
                ..good
            },
            Against::Water,
        ),
    ] {
        assert_eq!(against(bad), Some(why));
    }
}

/// A hall with these changes, with its drying.
fn dried(change: impl Fn(&mut Value)) -> Prepared {
    let mut scenario = with_walk(&hall(&json!([])));
    scenario["walk"]["method"] = json!("vacuum_grinding");
    change(&mut scenario);
    let scenario = read(&scenario);
    let (weather, _) = job::weather(&scenario, &|_| Err("no file".into())).unwrap();
    let job = Job::of(&scenario, weather);
    let walk = scenario.walk.as_ref().unwrap();
    prepare_floor(
        &scenario,
        walk,
        &[],
        Depth::Drying(&job, Accuracy::default()),
    )
    .unwrap()
}

/// Hours that lie between two records of the run: every day is known all the same, and the air, which is the same all day, gives the
/// same coating day as long hours do.
#[test]
fn short_hours_are_known() {
    let long = dried(|_| {});
    let short = dried(|s| s["walk"]["working_time"] = json!({"from": 8, "to": 11}));
    let run = &short.setups[0].run;
    let (first, last) = (
        *run.days.keys().next().unwrap(),
        *run.days.keys().next_back().unwrap(),
    );
    assert_eq!(run.days.len() as i64, last - first + 1, "no day is missing");
    let day = short.day.as_ref().unwrap();
    assert!(day.passed_over.is_empty());
    let ready = short.way.schedule.ready;
    assert!((day.day as f64 * DAY - ready).abs() < 2.0 * DAY);
    let margin = |p: &Prepared| p.day.as_ref().unwrap().conditions.unwrap().margin;
    assert!((margin(&short) - margin(&long)).abs() < 0.5);
}

/// The product's limits are those of the day, and are said.
#[test]
fn the_product_sheet_wins() {
    // 15 degC at 50 %: the dew point is 4.7 degC (Magnus), and the face near 15 degC.
    let usual = dried(|_| {});
    let margin = usual.day.as_ref().unwrap().conditions.unwrap().margin;
    assert!((9.0..11.0).contains(&margin), "{margin}");
    for (coating, why) in [
        (json!({"dew_point_margin": "12 K"}), Against::DewPoint),
        (json!({"lowest_temperature": "18 degC"}), Against::Cold),
        (json!({"highest_temperature": "12 degC"}), Against::Warm),
        (
            json!({"highest_relative_humidity": "40 %"}),
            Against::MoistAir,
        ),
    ] {
        let p = dried(|s| s["coating"] = coating.clone());
        assert_eq!(p.day, Err(NoDay::Conditions(why)), "{coating}");
    }
    let old = dried(|s| s["coating"] = json!({"concrete_age": "100 days"}));
    let day = old.day.as_ref().unwrap();
    assert_eq!((day.held_by, day.day), (HeldBy::Age, 100));

    let sheet = dried(|s| s["coating"] = json!({"dew_point_margin": "5 K"}));
    let said = crate::plain(
        coatday::results::prep::notes(&sheet, sheet.currency, coatday::units::System::Si)
            .join("\n"),
    );
    assert!(
        said.contains("Surface at least 5 K above the dew point (the scenario's \"coating\")"),
        "{said}"
    );
    assert!(sheet.checklist.iter().any(|c| {
        crate::plain(c.how.of(coatday::units::System::Si)).contains("at least 5 K above")
    }));
}

/// Ten days without water behind washing, instead of one, move the coating day by nine or, over a weekend, up to three more.
#[test]
fn dry_time_after_wet_work() {
    let wash = |coating: Value| {
        dried(|s| {
            s["walk"]["wash"] = json!("power_wash");
            s["coating"] = coating.clone();
            s["walk"]["working_time"] = json!({"days": "every_day"});
        })
    };
    let usual = wash(json!({}));
    let long = wash(json!({"dry_time_after_wetting": "30 days"}));
    let washed = |p: &Prepared| {
        let place = p
            .way
            .tasks
            .tasks
            .iter()
            .position(|t| t.name == "Power wash");
        p.way.schedule.slots[place.unwrap()].end
    };
    near(long.way.schedule.ready, washed(&long) + 30.0 * DAY);
    assert!(usual.way.schedule.ready < long.way.schedule.ready);
    assert!(long.day.unwrap().day > usual.day.unwrap().day + 5);
}

/// A wetting of the scenario on what would be the coating day puts it off: the floor must be free of water for a day.
#[test]
fn water_on_the_floor_puts_the_day_off() {
    // Nobody works for two weeks after the floor is dry, so that the water comes when a week of passed tests is over.
    let off = |s: &mut Value, from: jiff::civil::Date| {
        let days: Vec<String> = (0..14)
            .map(|d| {
                from.checked_add(jiff::Span::new().days(d))
                    .unwrap()
                    .to_string()
            })
            .collect();
        s["walk"]["working_time"] = json!({"days": "every_day", "days_off": days});
    };
    let first = dried(|_| {});
    let from = first.date(first.day.as_ref().unwrap().day);
    let p = dried(|s| off(s, from));
    let usual = p.day.clone().unwrap();
    let wet = p.date(usual.day).to_string();
    let found = dried(|s| {
        off(s, from);
        s["slab"]["wettings"] = json!([{"date": wet, "water_depth": "2 mm", "kind": "washing"}]);
    });
    let day = found.day.unwrap();
    assert!(day.passed_over.contains(&(usual.day, Against::Water)));
    assert!(day.day > usual.day + 1, "{} {}", day.day, usual.day);
    assert!(matches!(
        day.held_by,
        HeldBy::Conditions(Against::Water) | HeldBy::Drying
    ));
}

/// Dry, then wetted while nobody works, and dry again: the day counts from the second time. With the flux from the face as the target,
/// which water on the face raises at once.
#[test]
fn a_floor_that_gets_wet_again_is_not_dry() {
    let flux = |s: &mut Value| {
        // Any slab of its age passes at this depth.
        s["targets"] = json!([{"surface_flux": {"limit": "40 g/m2/day"}}, {"relative_humidity_at_depth": {"limit": "96 %"}}]);
        let off: Vec<String> = (6..=31).map(|day| format!("2026-10-{day:02}")).collect();
        s["walk"]["working_time"] = json!({"days": "every_day", "days_off": off});
    };
    let dry = dried(flux);
    let day = dry.day.as_ref().unwrap();
    // 1 November is day 90.
    assert_eq!(day.day, 90);
    let first = day.dry_from.unwrap();
    let wet = dried(|s| {
        flux(s);
        s["slab"]["wettings"] =
            json!([{"date": "2026-10-30", "water_depth": "3 mm", "kind": "washing"}]);
    });
    let run = &wet.setups[0].run;
    near(run.dry_from().unwrap(), first);
    assert!(run.dry.len() >= 2, "{:?}", run.dry);
    let washed = 88.0 * DAY;
    let day = wet.day.as_ref().unwrap();
    assert!(day.dry_from.unwrap() > washed, "{day:?}");
    assert!(day.day as f64 * DAY > washed + DAY);
    near(wet.setups[0].dry_from().unwrap(), day.dry_from.unwrap());
}
