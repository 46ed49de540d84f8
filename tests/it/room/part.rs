//! A part of a room under a tent or behind a partition.

use super::{near, outside, room, run, simulation, start};
use coatday::air::{self, MoistAir, STANDARD_PRESSURE};
use coatday::gear::Rental;
use coatday::gear::classes::class;
use coatday::room::{Installed, Neighbour, Rest, Room};
use coatday::units::DAY;
use coatday::weather::Hourly;

const REST: Rest = Rest {
    exchange: 0.1,
    conductance: 300.0,
    leakage: 0.4,
    heat_loss: 900.0,
    neighbour: Neighbour {
        share: 0.0,
        temperature: 0.0,
    },
    water: 5e-4,
};

fn air_at(temperature: f64, relative_humidity: f64) -> MoistAir {
    MoistAir::from_relative_humidity(temperature, relative_humidity, STANDARD_PRESSURE)
}

/// Both balances of the rest, summed by hand at the state that is given, leave nothing.
#[test]
fn analytic_rest_in_balance() {
    for (part, out, fresh) in [
        (air_at(25.0, 0.35), air_at(-5.0, 0.8), 0.0),
        (air_at(18.0, 0.6), air_at(28.0, 0.5), 0.3),
        // Warm, humid air meets a cold hall: fog.
        (air_at(30.0, 0.9), air_at(-5.0, 0.9), 0.3),
    ] {
        let s = REST.state(&part, &out, fresh);
        let foggy = part.temperature == 30.0;
        let leaks = REST.leakage * out.density_of_dry_air();
        let from_part = REST.exchange * part.density_of_dry_air() + fresh;
        let water = leaks * (out.humidity_ratio - s.humidity_ratio)
            + from_part * (part.humidity_ratio - s.humidity_ratio)
            + REST.water;
        if foggy {
            assert!(water > 1e-3, "{water} kg/s");
            near(s.humidity_ratio, s.saturation_humidity_ratio(), 1e-12);
        } else {
            assert!(water.abs() < 1e-12, "{water} kg/s");
        }
        let heat = leaks * (out.enthalpy() - s.enthalpy())
            + from_part * (part.enthalpy() - s.enthalpy())
            + REST.heat_loss * (out.temperature - s.temperature)
            + REST.conductance * (part.temperature - s.temperature)
            + (REST.water - water) * air::SPECIFIC_HEAT_WATER * s.temperature;
        let accuracy = if foggy { 1e-3 } else { 1e-8 };
        assert!(heat.abs() < accuracy, "{heat} W");
    }
}

/// Without leakage or loss to the outside the rest is as the part; without exchange with the part it is as the outside air; with
/// neither it is taken as outside air. Fog is not carried.
#[test]
fn analytic_rest_limits() {
    let (part, out) = (air_at(25.0, 0.35), air_at(5.0, 0.8));
    let closed = Rest {
        leakage: 0.0,
        heat_loss: 0.0,
        water: 0.0,
        ..REST
    };
    let s = closed.state(&part, &out, 0.0);
    near(s.temperature, part.temperature, 1e-12);
    near(s.humidity_ratio, part.humidity_ratio, 1e-12);
    let apart = Rest {
        exchange: 0.0,
        conductance: 0.0,
        water: 0.0,
        ..REST
    };
    let s = apart.state(&part, &out, 0.0);
    near(s.temperature, out.temperature, 1e-9);
    near(s.humidity_ratio, out.humidity_ratio, 1e-12);
    let none = Rest {
        leakage: 0.0,
        ..apart
    };
    assert_eq!(none.state(&part, &out, 0.0), out);
    let wet = Rest { water: 1.0, ..REST };
    let s = wet.state(&part, &out, 0.0);
    near(s.humidity_ratio, s.saturation_humidity_ratio(), 1e-12);
}

/// A gas given off in the part: the two balances `0 = S + x (c - c_p) + f (0 - c_p)` and `0 = (x + f)(c_p - c) - m c` solved by hand
/// give `c_p = S / thinning`.
#[test]
fn analytic_rest_thins_gases() {
    let (part, out, fresh) = (air_at(22.0, 0.4), air_at(0.0, 0.8), 0.05);
    let x = REST.exchange * part.density_of_dry_air();
    let m = REST.leakage * out.density_of_dry_air();
    let source = 1e-4;
    // Cramer's rule on [-(x+f), x; x+f, -(x+f+m)] [c_p, c] = [-S, 0].
    let determinant = (x + fresh) * (x + fresh + m) - x * (x + fresh);
    let in_part = source * (x + fresh + m) / determinant;
    near(REST.thinning(&part, &out, fresh), source / in_part, 1e-12);
}

/// A heated tent in a cold hall: the books close, the hall's air is between tent and outside, and the tent takes less heat than it
/// would take in the open.
#[test]
fn analytic_rest_books_close() {
    let heater = Installed {
        machine: class("electric_9kw").expect("a class"),
        count: 1.0,
        present: (0.0, f64::INFINITY),
        rental: Rental::default(),
    };
    let tent = Room {
        rest: Some(REST),
        machines: vec![heater.clone()],
        ..room()
    };
    let bare = Room {
        heat_loss: REST.conductance,
        air_changes_per_hour: REST.exchange / tent.volume * 3600.0,
        machines: vec![heater],
        ..room()
    };
    let weather = Hourly::steady(start(), 40.0 * DAY, outside(0.0, 0.8)).expect("a series");
    let mut used = Vec::new();
    for room in [&tent, &bare] {
        let mut simulation = simulation(room, 15.0);
        let sums = run(&mut simulation, room, &weather, 20.0);
        let (water_error, heat_error) = simulation.balance_errors();
        assert!(
            water_error.abs() < 1e-6 && heat_error.abs() < 1e-6,
            "{water_error:e} {heat_error:e}"
        );
        used.push(sums.machines.electricity);
    }
    assert!(used[0] < 0.95 * used[1], "{used:?} J");
}
