//! The coating day: what must agree, and how days spread over runs.

use std::collections::{BTreeMap, BTreeSet};

use coatday::preparation::calendar::{DAY, WorkingTime};
use coatday::preparation::coating::{HeldBy, NoDay, Question, coating_day};
use coatday::preparation::conditions::{Against, Conditions};
use coatday::scenario::coating_window::CoatingWindow;

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
        dry: None,
        days: None,
    }
}

fn day(margin: f64) -> Conditions {
    Conditions {
        margin,
        coldest: 20.0,
        warmest: 20.0,
        relative_humidity: 0.5,
        wet_until: f64::NEG_INFINITY,
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
    let window = CoatingWindow::of(None);
    let days: BTreeMap<i64, Conditions> = (0..40).map(|number| (number, day(5.0))).collect();
    let from = |days: f64| [(days * DAY, f64::INFINITY)];
    let late = from(9.5);
    let all = Question {
        dry: Some(&late),
        days: Some((&days, &window)),
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
    // Dry later on the same day does not hold it, nor does an age that another cause has passed already.
    let same = from(1.9);
    let same = Question {
        dry: Some(&same),
        ..all
    };
    assert_eq!(coating_day(&same, &week()).unwrap().held_by, HeldBy::Tasks);
    let same_age = Question {
        old_enough: Some(9.4 * DAY),
        ..question(8.5)
    };
    let found = coating_day(&same_age, &week()).unwrap();
    assert_eq!((found.day, found.held_by), (10, HeldBy::Age));
    let same_age = Question {
        old_enough: Some(9.4 * DAY),
        ..question(9.5)
    };
    let found = coating_day(&same_age, &week()).unwrap();
    assert_eq!((found.day, found.held_by), (10, HeldBy::Tasks));
}

/// 2.9 K is too near the dew point, 3 K is enough; the weekend does not count; beyond what is known there is no day, and whether a limit
/// or the horizon is to blame is told apart.
#[test]
fn analytic_dew_point_passes_days_over() {
    let window = CoatingWindow::of(None);
    let mut days: BTreeMap<i64, Conditions> = (0..12).map(|number| (number, day(2.9))).collect();
    days.insert(8, day(3.0));
    let dry = [(0.0, f64::INFINITY)];
    let asked = |days: &BTreeMap<i64, Conditions>| {
        let asked = Question {
            days: Some((days, &window)),
            dry: Some(&dry),
            ..question(2.5)
        };
        coating_day(&asked, &week())
    };
    let found = asked(&days).unwrap();
    assert_eq!(found.day, 8);
    assert_eq!(found.held_by, HeldBy::Conditions(Against::DewPoint));
    assert_eq!(
        found.passed_over,
        [3, 4, 7].map(|number| (number, Against::DewPoint))
    );
    assert_eq!(found.conditions, Some(day(3.0)));
    days.remove(&8);
    assert_eq!(asked(&days), Err(NoDay::Conditions(Against::DewPoint)));
    // Day 3 is not known: it is passed over, and not for its dew point.
    days.remove(&3);
    days.insert(4, day(3.0));
    let found = asked(&days).unwrap();
    assert_eq!(found.passed_over, [(3, Against::NotKnown)]);
    // The horizon comes before the first day that it could be.
    let ended: BTreeMap<i64, Conditions> = (0..3).map(|number| (number, day(5.0))).collect();
    assert_eq!(asked(&ended), Err(NoDay::DaysBeyond));
    assert_eq!(asked(&BTreeMap::new()), Err(NoDay::DaysBeyond));
}

/// Dry from day 1 to Thursday noon, day 3, and from day 8 on: ready on Wednesday (day 2) at noon, the floor would be wet again in the
/// hours of Thursday, so it is the morning of day 8. Wet for good after Thursday there is no day.
#[test]
fn analytic_dry_through_the_day() {
    let spans = [(DAY, 3.5 * DAY), (8.0 * DAY, f64::INFINITY)];
    let asked = Question {
        dry: Some(&spans),
        ..question(2.5)
    };
    let found = coating_day(&asked, &week()).unwrap();
    assert_eq!((found.day, found.held_by), (8, HeldBy::Drying));
    assert_eq!(found.dry_from, Some(8.0 * DAY));
    let earlier = Question {
        ready: 2.0 * DAY,
        ..asked
    };
    let found = coating_day(&earlier, &week()).unwrap();
    assert_eq!((found.day, found.dry_from), (2, Some(DAY)));
    let once = Question {
        dry: Some(&spans[..1]),
        ..asked
    };
    assert_eq!(coating_day(&once, &week()), Err(NoDay::WetAgain));
    let never = Question {
        dry: Some(&[]),
        ..asked
    };
    assert_eq!(coating_day(&never, &week()), Err(NoDay::NotDry));
}
