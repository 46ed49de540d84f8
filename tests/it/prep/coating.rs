//! The coating day: what must agree, and how days spread over runs.

use std::collections::{BTreeMap, BTreeSet};

use coatday::prep::calendar::{DAY, WorkingTime};
use coatday::prep::coating::{HeldBy, NoDay, Odds, Question, coating_day, odds};

const HOUR: f64 = 3600.0;

/// Monday to Friday, 7 to 15 h; day 0 is a Monday.
fn week() -> WorkingTime {
    WorkingTime {
        from: 7.0 * HOUR,
        to: 15.0 * HOUR,
        weekdays: [true, true, true, true, true, false, false],
        first_weekday: 0,
        days_off: BTreeSet::new(),
    }
}

fn question(ready: f64) -> Question<'static> {
    Question {
        ready: ready * DAY,
        old_enough: None,
        dry_from: None,
        margins: None,
    }
}

/// Done on Tuesday at noon: Wednesday. Done on Friday at noon: Monday. Done on Tuesday at 6 h: the same day.
#[test]
fn analytic_tasks_alone() {
    for (ready, day) in [(1.5, 2), (4.5, 7), (1.25, 1)] {
        let found = coating_day(&question(ready), &week()).unwrap();
        assert_eq!((found.day, found.held_by), (day, HeldBy::Tasks), "{ready}");
    }
}

#[test]
fn analytic_what_holds_the_day() {
    let margins: BTreeMap<i64, f64> = (0..40).map(|day| (day, 5.0)).collect();
    let all = Question {
        dry_from: Some(9.5 * DAY),
        margins: Some(&margins),
        ..question(1.5)
    };
    let dry = coating_day(&all, &week()).unwrap();
    assert_eq!((dry.day, dry.held_by), (10, HeldBy::Drying));
    let young = Question {
        old_enough: Some(14.0 * DAY),
        ..all
    };
    let age = coating_day(&young, &week()).unwrap();
    assert_eq!((age.day, age.held_by), (14, HeldBy::Age));
    // Dry later on the same day does not hold it.
    let same = Question {
        dry_from: Some(1.9 * DAY),
        ..all
    };
    assert_eq!(coating_day(&same, &week()).unwrap().held_by, HeldBy::Tasks);
}

/// 2.9 K is too near the dew point, 3 K is enough; the weekend does not count; beyond what is known there is no day.
#[test]
fn analytic_dew_point_passes_days_over() {
    let mut margins: BTreeMap<i64, f64> = (0..12).map(|day| (day, 2.9)).collect();
    margins.insert(8, 3.0);
    let asked = Question {
        margins: Some(&margins),
        dry_from: Some(0.0),
        ..question(2.5)
    };
    let found = coating_day(&asked, &week()).unwrap();
    assert_eq!(found.day, 8);
    assert_eq!(found.held_by, HeldBy::Conditions);
    assert_eq!(found.passed_over, [3, 4, 7]);
    assert_eq!(found.margin, Some(3.0));
    margins.remove(&8);
    let asked = Question {
        margins: Some(&margins),
        ..question(2.5)
    };
    assert_eq!(coating_day(&asked, &week()), Err(NoDay::Conditions));
}

/// One run gives its day and no odds; twenty give quantiles of rank 21 p rounded up: of days 1 to 20 the third, eleventh and nineteenth.
#[test]
fn analytic_odds() {
    let every_day = WorkingTime {
        weekdays: [true; 7],
        ..week()
    };
    let base = question(0.0);
    assert_eq!(
        odds(&base, &[Some(2.5 * DAY)], &every_day),
        Odds::OneRun(Ok(3))
    );
    assert_eq!(
        odds(&base, &[None], &every_day),
        Odds::OneRun(Err(NoDay::NotDry))
    );
    let mut dry: Vec<Option<f64>> = (1..=20).map(|d| Some((f64::from(d) - 0.5) * DAY)).collect();
    dry.reverse();
    let Odds::Spread {
        p10,
        p50,
        p90,
        runs,
        never,
    } = odds(&base, &dry, &every_day)
    else {
        panic!("twenty runs are enough");
    };
    assert_eq!((p10, p50, p90), (Some(3), Some(11), Some(19)));
    assert_eq!((runs, never), (20, 0));
    // Four in twenty never dry: nine tenths never are in time.
    for entry in dry.iter_mut().take(4) {
        *entry = None;
    }
    let Odds::Spread {
        p50, p90, never, ..
    } = odds(&base, &dry, &every_day)
    else {
        panic!("twenty runs are enough");
    };
    assert_eq!((p50, p90, never), (Some(11), None, 4));
}
