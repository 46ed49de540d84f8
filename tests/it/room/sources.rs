//! Other wet materials and people.

use super::{near, outside, room, run, simulation, start};
use coatday::air::{self, STANDARD_PRESSURE};
use coatday::gear::controls::Hours;
use coatday::room::source::{Kind, Work};
use coatday::room::{Room, Source};
use coatday::units::{DAY, HOUR};
use coatday::weather::Hourly;

/// Uneven steps from 0 to some 60 days that fall on no hour.
fn steps() -> Vec<(f64, f64)> {
    let mut steps = Vec::new();
    let mut time = 0.0;
    for k in 0..700 {
        let length = 3600.0 * (0.2 + f64::from(k % 13) * 0.33);
        steps.push((time, time + length));
        time += length;
    }
    steps
}

/// What is released is `M (1 - exp(-t/tau))` whatever the steps are; nothing comes before the start.
#[test]
fn analytic_source_drying_material() {
    let (water, time_constant, from) = (400.0, 9.0 * DAY, 5.3 * DAY);
    let source = Source {
        kind: Kind::Drying {
            water,
            time_constant,
        },
        present: (from, f64::INFINITY),
    };
    let released: f64 = steps()
        .iter()
        .map(|(a, b)| source.mean(*a, *b).from_materials * (b - a))
        .sum();
    let end = steps().last().expect("steps").1;
    near(
        released,
        water * (1.0 - (-(end - from) / time_constant).exp()),
        1e-12,
    );
    assert_eq!(source.mean(0.0, from).from_materials, 0.0);
}

/// So many kilograms a day for so many days; so many people for so many hours, also over midnight.
#[test]
fn analytic_source_steady_and_people() {
    let steady = Source {
        kind: Kind::Steady(12.0 / DAY),
        present: (2.0 * DAY, 9.0 * DAY),
    };
    let total = |source: &Source, value: &dyn Fn(&Source, f64, f64) -> f64| -> f64 {
        steps()
            .iter()
            .map(|(a, b)| value(source, *a, *b) * (b - a))
            .sum()
    };
    near(
        total(&steady, &|s, a, b| s.mean(a, b).from_materials),
        84.0,
        1e-12,
    );
    for (from, until, hours) in [(7.0, 16.0, 9.0), (22.0, 6.0, 8.0), (0.0, 24.0, 24.0)] {
        let people = Source {
            kind: Kind::People {
                count: 4.0,
                work: Work::Light,
                hours: Hours { from, until },
            },
            present: (DAY, 31.0 * DAY),
        };
        let seconds = 30.0 * hours * HOUR * 4.0;
        near(
            total(&people, &|s, a, b| s.mean(a, b).sensible),
            seconds * 80.0,
            1e-10,
        );
        near(
            total(&people, &|s, a, b| s.mean(a, b).from_people),
            seconds * Work::Light.vapour(),
            1e-10,
        );
    }
}

/// ASHRAE Handbook: Fundamentals (from memory): light bench work 80 W sensible, 140 W latent; heavy work 170 W and 255 W. 140 W is some
/// 0.21 kg of water an hour. ASHRAE 62.1 (from memory): a person at 1.2 met breathes out 0.0052 L/s of carbon dioxide, which is 126 W of
/// heat.
#[test]
fn ref_people() {
    assert_eq!(Work::Light.heat(), (80.0, 140.0));
    assert_eq!(Work::Heavy.heat(), (170.0, 255.0));
    near(Work::Light.vapour() * HOUR, 0.208, 0.01);
    near(Work::Heavy.vapour() * HOUR, 0.379, 0.01);
    let per_heat = Work::Light.carbon_dioxide() / 220.0;
    let litres_per_second = per_heat * (1.2 * 58.2 * 1.8) / 1.83 * 1e3;
    near(litres_per_second, 0.0052, 0.02);
}

/// At rest, outside air carries off just what comes: `W = W_o + g/m`, and the warmth of people goes with it and through the envelope,
/// with the evaporation of the materials taken out.
#[test]
fn analytic_source_steady_room() {
    let rate = 2e-4;
    let room = Room {
        air_changes_per_hour: 1.0,
        heat_loss: 200.0,
        sources: vec![Source {
            kind: Kind::Steady(rate),
            present: (0.0, f64::INFINITY),
        }],
        ..room()
    };
    let outside = outside(10.0, 0.6);
    let active = room.at(0.0);
    let step = active.during(&outside, 0.0, HOUR);
    let flow = room.volume / 3600.0
        * air::density_of_dry_air(10.0, outside.humidity_ratio, STANDARD_PRESSURE);
    let humidity_ratio = outside.humidity_ratio + rate / flow;
    let e = step.exchange(20.0, humidity_ratio);
    assert!(e.vapour.abs() < 1e-15, "{e:?}");
    near(e.by_sources, rate, 1e-12);
    near(e.by_outside_air, -rate, 1e-9);
    let by_air =
        flow * (air::enthalpy(10.0, outside.humidity_ratio) - air::enthalpy(20.0, humidity_ratio));
    near(
        e.enthalpy,
        by_air - 200.0 * 10.0 + rate * air::SPECIFIC_HEAT_WATER * 20.0,
        1e-12,
    );
}

/// Water and heat close with materials and people in the room, and each source is in the sum.
#[test]
fn analytic_source_books_close() {
    let room = Room {
        air_changes_per_hour: 0.5,
        heat_loss: 150.0,
        sources: vec![
            Source {
                kind: Kind::Drying {
                    water: 150.0,
                    time_constant: 6.0 * DAY,
                },
                present: (3.0 * DAY, f64::INFINITY),
            },
            Source {
                kind: Kind::People {
                    count: 5.0,
                    work: Work::Heavy,
                    hours: Hours {
                        from: 7.0,
                        until: 16.0,
                    },
                },
                present: (2.0 * DAY, 12.0 * DAY),
            },
        ],
        ..room()
    };
    let weather = Hourly::steady(start(), 40.0 * DAY, outside(8.0, 0.7)).expect("a series");
    let mut simulation = simulation(&room, 15.0);
    let begin = simulation.time();
    let before = simulation.snapshot().air().1;
    let sums = run(&mut simulation, &room, &weather, 20.0);
    let after = simulation.snapshot().air().1;
    let end = simulation.time();
    let released = 150.0 * (1.0 - (-(end - 3.0 * DAY) / (6.0 * DAY)).exp());
    let breathed = 10.0 * 9.0 * HOUR * 5.0 * Work::Heavy.vapour();
    near(sums.sources, released + breathed, 1e-9);
    assert!((end - begin - 20.0 * DAY).abs() < 1.0);
    // What is said to settle is what came and did not stay.
    near(sums.condensed, sums.settled, 1e-6);
    let stored = room.store().dry_air * room.area * (after - before);
    let water = sums.evaporation + sums.by_outside_air + sums.sources - sums.settled - stored;
    assert!(
        water.abs() < 1e-6 * (sums.evaporation.abs() + sums.sources),
        "{water} kg of {sums:?}"
    );
    let (water_error, heat_error) = simulation.balance_errors();
    assert!(
        water_error.abs() < 1e-6 && heat_error.abs() < 1e-6,
        "{water_error:e} {heat_error:e}"
    );
}
