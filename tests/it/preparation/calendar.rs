//! The calendar: cases worked by hand, and what must hold of any.

use std::collections::BTreeSet;

use coatday::preparation::calendar::{
    CalendarFault, Cause, DAY, Schedule, Step, WorkingTime, schedule,
};
use proptest::prelude::*;

use super::near;

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

fn step(hours: f64, after: &[(usize, f64)]) -> Step {
    Step {
        work: hours * HOUR,
        whole: false,
        crew: 0,
        after: after.iter().map(|(s, h)| (*s, h * HOUR)).collect(),
        then: 0.0,
        finished: None,
    }
}

/// Twelve hours from Thursday 10 h: five on Thursday, seven of eight on Friday, to 14 h. Then 24 h of wait reach into the weekend, so the
/// next starts on Monday at 7 h.
#[test]
fn analytic_weekend() {
    let time = week();
    let steps = [step(12.0, &[]), step(1.0, &[(0, 24.0)])];
    let s = schedule(&steps, &time, 3.0 * DAY + 10.0 * HOUR).unwrap();
    near(s.slots[0].start, 3.0 * DAY + 10.0 * HOUR);
    near(s.slots[0].end, 4.0 * DAY + 14.0 * HOUR);
    near(s.slots[1].start, 7.0 * DAY + 7.0 * HOUR);
    near(s.ready, 7.0 * DAY + 8.0 * HOUR);
    assert_eq!(s.critical, [0, 1]);
    assert_eq!(s.slots[1].cause, Cause::After(0));
}

/// With Monday off it is Tuesday.
#[test]
fn analytic_day_off() {
    let time = WorkingTime {
        days_off: BTreeSet::from([7]),
        ..week()
    };
    let steps = [step(12.0, &[]), step(1.0, &[(0, 24.0)])];
    let s = schedule(&steps, &time, 3.0 * DAY + 10.0 * HOUR).unwrap();
    near(s.slots[1].start, 8.0 * DAY + 7.0 * HOUR);
}

/// One crew does one thing at a time; a second crew does not wait for it.
#[test]
fn analytic_crews() {
    let time = week();
    let mut steps = [step(3.0, &[]), step(2.0, &[])];
    let one = schedule(&steps, &time, 0.0).unwrap();
    near(one.slots[1].start, 10.0 * HOUR);
    assert_eq!(one.slots[1].cause, Cause::Crew(0));
    steps[1].crew = 1;
    let two = schedule(&steps, &time, 0.0).unwrap();
    near(two.slots[1].start, 7.0 * HOUR);
    near(two.ready, 10.0 * HOUR);
}

/// What is done in one go is not begun at half past two if it takes an hour; what takes longer than a day is begun in the morning.
#[test]
fn analytic_in_one_go() {
    let time = week();
    let mut steps = [step(7.5, &[]), step(1.0, &[])];
    steps[1].whole = true;
    let s = schedule(&steps, &time, 0.0).unwrap();
    near(s.slots[1].start, DAY + 7.0 * HOUR);
    steps[1].work = 20.0 * HOUR;
    let long = schedule(&steps, &time, 0.0).unwrap();
    near(long.slots[1].start, DAY + 7.0 * HOUR);
}

/// The wait before coating counts, but holds no work.
#[test]
fn analytic_cure_before_coating() {
    let mut steps = [step(1.0, &[]), step(1.0, &[])];
    steps[0].then = 48.0 * HOUR;
    let s = schedule(&steps, &week(), 0.0).unwrap();
    near(s.ready, 8.0 * HOUR + 48.0 * HOUR);
    assert_eq!(s.critical, [0]);
}

#[test]
fn faults_are_sentences() {
    let back = [step(1.0, &[(1, 0.0)]), step(1.0, &[])];
    assert_eq!(schedule(&back, &week(), 0.0), Err(CalendarFault::Order(1)));
    let long = [step(1e6, &[])];
    let fault = schedule(&long, &week(), 0.0).unwrap_err();
    assert_eq!(fault, CalendarFault::TooLong);
    assert!(fault.to_string().ends_with('.'));
    assert!(schedule(&[], &week(), 5.0).unwrap().critical.is_empty());
}

fn times() -> impl Strategy<Value = WorkingTime> {
    (
        0.0..20.0_f64,
        0.5..4.0_f64,
        prop::array::uniform7(any::<bool>()),
        0..7_usize,
        prop::collection::btree_set(0..40_i64, 0..8),
    )
        .prop_map(|(from, length, mut weekdays, first_weekday, days_off)| {
            weekdays[first_weekday] = true;
            WorkingTime {
                from: from * HOUR,
                to: (from + length) * HOUR,
                weekdays,
                first_weekday,
                days_off,
            }
        })
}

fn steps() -> impl Strategy<Value = Vec<Step>> {
    let one = (
        0.0..9.0_f64,
        any::<bool>(),
        0..3_usize,
        prop::collection::vec((any::<prop::sample::Index>(), 0.0..50.0_f64), 0..3),
        0.0..50.0_f64,
    );
    prop::collection::vec(one, 0..25).prop_map(|list| {
        list.into_iter()
            .enumerate()
            .map(|(index, (work, whole, crew, after, then))| Step {
                work: work * HOUR,
                whole,
                crew,
                after: if index == 0 {
                    Vec::new()
                } else {
                    after
                        .into_iter()
                        .map(|(at, wait)| (at.index(index), wait * HOUR))
                        .collect()
                },
                then: then * HOUR,
                finished: None,
            })
            .collect()
    })
}

/// The list without one step; what followed it follows what it followed, as after a finding that is struck off.
fn without(steps: &[Step], gone: usize, bridged: bool) -> Vec<Step> {
    let mut out = Vec::new();
    for (index, step) in steps.iter().enumerate() {
        if index == gone {
            continue;
        }
        let mut after = Vec::new();
        for (before, wait) in &step.after {
            if *before == gone {
                if bridged {
                    after.extend(steps[gone].after.iter().copied());
                }
            } else {
                after.push((*before, *wait));
            }
        }
        for (before, _) in &mut after {
            if *before > gone {
                *before -= 1;
            }
        }
        out.push(Step {
            after,
            ..step.clone()
        });
    }
    out
}

/// The end of work second by second of a coarse clock would be slow; this counts the working seconds between two times instead.
fn worked(time: &WorkingTime, from: f64, to: f64) -> f64 {
    let mut sum = 0.0;
    let mut day = (from / DAY).floor() as i64;
    while (day as f64) * DAY < to {
        if time.works_on(day) {
            let open = day as f64 * DAY + time.from;
            let close = day as f64 * DAY + time.to;
            sum += (close.min(to) - open.max(from)).max(0.0);
        }
        day += 1;
    }
    sum
}

fn inside(time: &WorkingTime, moment: f64) -> bool {
    let day = (moment / DAY).floor() as i64;
    let of_day = moment - day as f64 * DAY;
    time.works_on(day) && of_day >= time.from - 1e-3 && of_day <= time.to + 1e-3
}

/// Whether a step that may start at `from` starts as early as it can: no working time is passed over before, or for work in one go only
/// ends of days that are too short for it. Counted in working time alone.
fn as_early_as_can_be(time: &WorkingTime, step: &Step, from: f64, start: f64) -> bool {
    let needed = if step.whole {
        step.work.min(time.to - time.from)
    } else {
        0.0
    };
    let (first, last) = ((from / DAY).floor() as i64, (start / DAY).floor() as i64);
    (first..=last).all(|day| {
        let midnight = day as f64 * DAY;
        let passed = worked(time, from.max(midnight), start.min(midnight + DAY));
        passed < 1e-3 || (day < last && passed < needed + 1e-6)
    })
}

fn check(
    steps: &[Step],
    time: &WorkingTime,
    start: f64,
    s: &Schedule,
) -> Result<(), TestCaseError> {
    for (index, (step, slot)) in steps.iter().zip(&s.slots).enumerate() {
        prop_assert!(slot.start >= start);
        let mut from = start;
        for (before, wait) in &step.after {
            prop_assert!(
                slot.start >= s.slots[*before].end + wait - 1e-6,
                "{index} starts before what it waits for"
            );
            from = from.max(s.slots[*before].end + wait);
        }
        for other in 0..index {
            if steps[other].crew == step.crew {
                prop_assert!(
                    slot.start >= s.slots[other].end - 1e-6,
                    "a crew is in two places"
                );
                from = from.max(s.slots[other].end);
            }
        }
        prop_assert!(
            as_early_as_can_be(time, step, from, slot.start),
            "{index} could start earlier"
        );
        prop_assert!(
            inside(time, slot.start),
            "{index} starts outside working hours"
        );
        prop_assert!(inside(time, slot.end), "{index} ends outside working hours");
        let hours = worked(time, slot.start, slot.end);
        prop_assert!(
            (hours - step.work).abs() < 1e-3,
            "{index}: {hours} for {}",
            step.work
        );
        if step.whole && step.work <= time.to - time.from {
            prop_assert_eq!(
                (slot.start / DAY).floor(),
                ((slot.end - 1e-3).max(slot.start) / DAY).floor()
            );
        }
        let pieces: f64 = time
            .pieces(slot.start, slot.end)
            .iter()
            .map(|(a, b)| b - a)
            .sum();
        prop_assert!((pieces - step.work).abs() < 1e-3);
    }
    // Every step starts as early as those before it allow, so the last end with its wait is that of the longest path.
    let last = steps
        .iter()
        .zip(&s.slots)
        .map(|(step, slot)| slot.end + step.then);
    prop_assert!((s.ready - last.fold(start, f64::max)).abs() < 1e-6);
    // The critical path: each step starts as soon as the one before allows, the last ends the whole.
    for pair in s.critical.windows(2) {
        let [one, two] = [pair[0], pair[1]];
        let from = match s.slots[two].cause {
            Cause::After(before) => {
                prop_assert_eq!(before, one);
                steps[two]
                    .after
                    .iter()
                    .filter(|(b, _)| *b == one)
                    .map(|(_, w)| s.slots[one].end + w)
                    .fold(0.0, f64::max)
            }
            Cause::Crew(before) => {
                prop_assert_eq!(before, one);
                s.slots[one].end
            }
            Cause::Start => return Err(TestCaseError::fail("the path begins in the middle")),
        };
        prop_assert!(as_early_as_can_be(
            time,
            &steps[two],
            from,
            s.slots[two].start
        ));
    }
    if let (Some(first), Some(last)) = (s.critical.first(), s.critical.last()) {
        prop_assert_eq!(s.slots[*first].cause, Cause::Start);
        prop_assert!((s.slots[*last].end + steps[*last].then - s.ready).abs() < 1e-6);
    }
    Ok(())
}

proptest! {
    /// No step before what it waits for, none outside working hours, the critical path is the longest.
    #[test]
    fn analytic_any_calendar(steps in steps(), time in times(), start in 0.0..10.0_f64) {
        let start = start * DAY;
        let s = schedule(&steps, &time, start).unwrap();
        check(&steps, &time, start, &s)?;
    }

    /// Leaving a step out never makes it later, whether what followed it is freed or follows what it followed.
    #[test]
    fn analytic_less_work_is_never_later(
        steps in steps(), time in times(), gone in any::<prop::sample::Index>(), bridged in any::<bool>()
    ) {
        prop_assume!(!steps.is_empty());
        let gone = gone.index(steps.len());
        let whole = schedule(&steps, &time, 0.0).unwrap();
        let less = schedule(&without(&steps, gone, bridged), &time, 0.0).unwrap();
        prop_assert!(less.ready <= whole.ready + 1e-6);
        for (index, slot) in less.slots.iter().enumerate() {
            let was = if index < gone { index } else { index + 1 };
            prop_assert!(slot.end <= whole.slots[was].end + 1e-6);
        }
    }

    /// Less work in a step never makes any later, however long the step and whether or not it is done in one go.
    #[test]
    fn analytic_shorter_work_is_never_later(
        steps in steps(), time in times(), shorter in any::<prop::sample::Index>(), share in 0.0..1.0_f64
    ) {
        prop_assume!(!steps.is_empty());
        let whole = schedule(&steps, &time, 0.0).unwrap();
        let mut less = steps.clone();
        less[shorter.index(steps.len())].work *= share;
        let less = schedule(&less, &time, 0.0).unwrap();
        prop_assert!(less.ready <= whole.ready + 1e-6);
        for (now, was) in less.slots.iter().zip(&whole.slots) {
            prop_assert!(now.end <= was.end + 1e-6);
        }
    }
}
