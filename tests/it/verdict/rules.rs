//! Each rule of the pure function, held against evidence made at random.

use coatday::moisture_tests::Target;
use coatday::verdict::{
    Basis, Counts, Evidence, HOPELESS, Hold, Next, Reading, Ready, Run, Spread, State, Timing,
    verdict,
};
use jiff::civil::{Date, date};
use proptest::prelude::*;

fn day(offset: i64) -> Date {
    date(2026, 11, 1)
        .checked_add(jiff::Span::new().days(offset))
        .expect("a day")
}

fn ready(offset: i64) -> Ready {
    Ready {
        days: offset as f64,
        date: day(offset),
    }
}

fn hold() -> Hold {
    Hold {
        what: "Hall: A crack that moves is not filled rigid.".into(),
        lifted_by: "an engineer",
    }
}

fn reading() -> Reading {
    Reading {
        target: Target::HumidityAtDepth {
            limit: 0.9,
            depth_share: None,
        },
        value: Some(0.84),
    }
}

fn runs() -> impl Strategy<Value = Run> {
    prop_oneof![
        Just(Run::NotComputed {
            fault: "it gave up".into()
        }),
        (0i64..400).prop_map(|d| Run::Ready(ready(d))),
        Just(Run::NotReady {
            why: "The air is too humid.".into()
        }),
        (0i64..40).prop_map(|d| Run::AlreadyDry {
            reading: Some(reading()),
            ready: Some(ready(d)),
            why: None
        }),
        Just(Run::AlreadyDry {
            reading: Some(reading()),
            ready: None,
            why: Some("No working day keeps the limits.".into())
        }),
    ]
}

fn spreads() -> impl Strategy<Value = Spread> {
    (
        proptest::option::of(0i64..300),
        proptest::option::of(0i64..60),
        proptest::option::of(0i64..60),
        0.0..=1.0f64,
        10usize..1000,
    )
        .prop_map(|(low, middle, high, in_time, cases)| {
            let middle = low.zip(middle).map(|(low, more)| low + more);
            let high = middle.zip(high).map(|(middle, more)| middle + more);
            Spread {
                ready: [low, middle, high].map(|d| d.map(ready)),
                get_there: 1.0,
                in_time: Some(in_time),
                cases,
            }
        })
}

fn evidence() -> impl Strategy<Value = Evidence> {
    (
        runs(),
        proptest::option::of(spreads()),
        proptest::option::of(spreads()),
        prop_oneof![Just(Counts::Drying), Just(Counts::DryingAndWork)],
        any::<bool>(),
        proptest::option::of(0i64..400),
        0.5..0.99f64,
    )
        .prop_map(
            |(run, mut sampled, mut read, counts, held, needed, wanted)| {
                let needed_by = needed.map(day);
                for spread in [&mut sampled, &mut read].into_iter().flatten() {
                    spread.in_time = spread.in_time.filter(|_| needed_by.is_some());
                }
                Evidence {
                    setup: "Heat".into(),
                    run,
                    sampled,
                    read,
                    counts,
                    holds: if held { vec![hold()] } else { Vec::new() },
                    needed_by,
                    wanted,
                    horizon: day(400),
                    held_by: Some("What holds it: the depth.".into()),
                }
            },
        )
}

/// The cases that the verdict must rest on.
fn best(e: &Evidence) -> (Basis, Option<&Spread>) {
    if matches!(e.run, Run::NotComputed { .. }) {
        return (Basis::OneRun, None);
    }
    match (&e.read, &e.sampled) {
        (Some(read), _) => (Basis::Readings, Some(read)),
        (None, Some(sampled)) => (Basis::SampledCases, Some(sampled)),
        (None, None) => (Basis::OneRun, None),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    /// Readings come before samples, samples before the one run; date, range and chance are of the same cases.
    #[test]
    fn analytic_the_best_cases_give_date_range_and_chance(e in evidence()) {
        let v = verdict(e.clone());
        let (basis, spread) = best(&e);
        prop_assert_eq!(v.basis, basis);
        if let Some(spread) = spread {
            prop_assert_eq!(v.ready, spread.ready[1]);
            prop_assert_eq!(v.range, Some([spread.ready[0], spread.ready[2]]));
            prop_assert_eq!(v.chance, spread.in_time);
            prop_assert_eq!(v.cases, spread.cases);
        } else {
            let once = match &e.run {
                Run::Ready(ready) | Run::AlreadyDry { ready: Some(ready), .. } => Some(*ready),
                _ => None,
            };
            prop_assert_eq!((v.ready, v.range, v.chance, v.cases), (once, None, None, 1));
        }
    }

    /// In time from the wanted chance on, late below one in five, and between them neither; without cases never in time.
    #[test]
    fn analytic_timing_follows_the_chance(e in evidence()) {
        let v = verdict(e.clone());
        let (_, spread) = best(&e);
        let wanted = match (e.needed_by, spread.and_then(|s| s.in_time)) {
            (None, _) => Timing::NotSaid,
            _ if matches!(e.run, Run::NotComputed { .. }) => Timing::NotSaid,
            (_, Some(chance)) if chance >= e.wanted => Timing::InTime,
            (_, Some(chance)) if chance < HOPELESS => Timing::Late,
            (_, Some(_)) => Timing::MayBeLate,
            (Some(by), None) => match v.ready {
                Some(ready) if ready.date <= by => Timing::MayBeLate,
                _ => Timing::Late,
            },
        };
        prop_assert_eq!(v.timing, wanted);
        let once = spread.is_none() && wanted == Timing::MayBeLate;
        prop_assert_eq!(v.makes_it(), v.ready.is_some() && (once || matches!(wanted, Timing::NotSaid | Timing::InTime)));
    }

    /// What holds the floor is never lost, and is what comes next unless nothing could be computed.
    #[test]
    fn analytic_holds_are_kept_and_come_first(e in evidence()) {
        let v = verdict(e.clone());
        prop_assert_eq!(&v.holds, &e.holds);
        prop_assert_eq!(v.on_hold(), !e.holds.is_empty());
        let computed = !matches!(e.run, Run::NotComputed { .. });
        prop_assert_eq!(v.next == Next::LiftHolds, v.on_hold() && computed);
    }

    /// A date and the state agree; a floor that is dry already shows its reading, and only such a floor does.
    #[test]
    fn analytic_the_state_says_whether_there_is_a_date(e in evidence()) {
        let v = verdict(e.clone());
        let has_date = matches!(v.state, State::AlreadyDry | State::GetsReady);
        prop_assert_eq!(v.ready.is_some(), has_date);
        prop_assert_eq!(v.reading.is_some(), v.state == State::AlreadyDry);
        prop_assert_eq!(v.state == State::NotComputed, matches!(e.run, Run::NotComputed { .. }));
        if v.state == State::AlreadyDry {
            let dry = matches!(&e.run, Run::AlreadyDry { ready: Some(r), .. } if Some(r.date) == v.date());
            prop_assert!(dry, "{:?}", v);
        }
        if v.state == State::DoesNotGetReady && !v.on_hold() {
            prop_assert_eq!(v.next, Next::ChangeThePlan);
        }
    }
}

/// Cases that dry later than the one run, which is dry already, are not told to be dry already.
#[test]
fn analytic_one_dry_run_does_not_speak_for_wetter_cases() {
    let base = Evidence {
        setup: "Heat".into(),
        run: Run::AlreadyDry {
            reading: Some(reading()),
            ready: Some(ready(0)),
            why: None,
        },
        sampled: None,
        read: None,
        counts: Counts::Drying,
        holds: Vec::new(),
        needed_by: None,
        wanted: 0.8,
        horizon: day(400),
        held_by: None,
    };
    let spread = |middle: i64| Spread {
        ready: [Some(ready(0)), Some(ready(middle)), Some(ready(60))],
        get_there: 1.0,
        in_time: None,
        cases: 32,
    };
    assert_eq!(verdict(base.clone()).state, State::AlreadyDry);
    assert_eq!(verdict(base.clone()).next, Next::Test);
    let same = Evidence {
        sampled: Some(spread(0)),
        ..base.clone()
    };
    assert_eq!(verdict(same).state, State::AlreadyDry);
    let wetter = Evidence {
        sampled: Some(spread(20)),
        ..base
    };
    let v = verdict(wetter);
    assert_eq!((v.state, v.date()), (State::GetsReady, Some(day(20))));
    assert_eq!(v.next, Next::KeepOn);
}

/// The limits themselves: 80 % is in time, a hair less is not; 20 % may be late, a hair less is late. The day needed itself is made.
#[test]
fn analytic_the_edges_of_the_timing() {
    let at = |chance: Option<f64>, date: i64, needed: i64| {
        let sampled = chance.map(|chance| Spread {
            ready: [Some(ready(date)); 3],
            get_there: 1.0,
            in_time: Some(chance),
            cases: 32,
        });
        let v = verdict(Evidence {
            setup: "Heat".into(),
            run: Run::Ready(ready(date)),
            sampled,
            read: None,
            counts: Counts::Drying,
            holds: Vec::new(),
            needed_by: Some(day(needed)),
            wanted: 0.8,
            horizon: day(400),
            held_by: None,
        });
        (v.timing, v.next)
    };
    assert_eq!(at(Some(0.8), 5, 10), (Timing::InTime, Next::KeepOn));
    assert_eq!(at(Some(0.799), 5, 10), (Timing::MayBeLate, Next::WinDays));
    assert_eq!(at(Some(0.2), 15, 10), (Timing::MayBeLate, Next::WinDays));
    assert_eq!(at(Some(0.199), 15, 10), (Timing::Late, Next::WinDays));
    assert_eq!(at(None, 10, 10), (Timing::MayBeLate, Next::KeepOn));
    assert_eq!(at(None, 11, 10), (Timing::Late, Next::WinDays));
}
