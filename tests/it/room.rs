//! Tests of the `room` room.

mod part;
mod sources;

use coatday::air::{
    self, GAS_CONSTANT_VAPOUR, KELVIN_AT_ZERO_CELSIUS, MoistAir, STANDARD_PRESSURE, evaporation,
};
use coatday::column::Tolerance;
use coatday::concrete::{Concrete, Constants, Mix};
use coatday::gear::classes::class;
use coatday::gear::controls::Control;
use coatday::gear::fan::STILL_AIR;
use coatday::gear::{Effect, Machine, Rental};
use coatday::room::{Installed, Room};
use coatday::simulation::{Climate, Resolution, Simulation, Slab, Underside};
use coatday::units::{DAY, HOUR};
use coatday::weather::{Hourly, OutsideAir};
use std::ops::ControlFlow;

fn outside(temperature: f64, relative_humidity: f64) -> OutsideAir {
    OutsideAir {
        temperature,
        humidity_ratio: MoistAir::from_relative_humidity(
            temperature,
            relative_humidity,
            STANDARD_PRESSURE,
        )
        .humidity_ratio,
        pressure: STANDARD_PRESSURE,
        wind_speed: 0.0,
        rain: 0.0,
    }
}

fn start() -> jiff::civil::DateTime {
    jiff::civil::date(2027, 1, 1).at(0, 0, 0, 0)
}

fn room() -> Room {
    Room {
        area: 100.0,
        volume: 300.0,
        pressure: STANDARD_PRESSURE,
        heat_loss: 0.0,
        neighbour: coatday::room::Neighbour::default(),
        own_heat: None,
        air_changes_per_hour: 0.0,
        machines: Vec::new(),
        sources: Vec::new(),
        rest: None,
    }
}

fn simulation(room: &Room, temperature: f64) -> Simulation {
    let slab = Slab {
        area: room.area,
        thickness: 0.1,
        concrete: Concrete::new(
            Mix {
                cement_content: 350.0,
                ..Mix::of_ratio(0.5)
            },
            &Constants::default(),
        ),
        underside: Underside::Sealed,
        ground_temperature: temperature,
        start_humidity: 0.98,
        start_temperature: temperature,
    };
    let mut simulation = Simulation::new(
        &slab,
        room.store(),
        coatday::column::Skin::default(),
        Resolution::default(),
        Tolerance::default(),
    );
    let air = MoistAir::from_relative_humidity(temperature, 0.6, STANDARD_PRESSURE);
    simulation.enter_room(room, temperature, air.humidity_ratio);
    simulation
}

/// What went on in a run, integrated over its steps.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    evaporation: f64,
    by_outside_air: f64,
    sources: f64,
    settled: f64,
    condensed: f64,
    vapour: f64,
    settled_while_outside_is_warmer: f64,
    machines: Effect,
    colder_hours: f64,
}

fn run(simulation: &mut Simulation, room: &Room, weather: &Hourly, days: f64) -> Sums {
    let mut sums = Sums::default();
    let until = simulation.time() + days * DAY;
    let _ = simulation
        .advance(until, Climate::Room(room, weather), &mut |slab, p| {
            let e = &p.exchange;
            let settled =
                (e.machines.vapour + e.by_outside_air + e.by_sources - e.vapour) * p.length;
            sums.sources += e.by_sources * p.length;
            sums.evaporation += p.evaporation * room.area * p.length;
            sums.by_outside_air += e.by_outside_air * p.length;
            sums.settled += settled;
            sums.condensed += e.condensed * p.length;
            sums.vapour += e.vapour * p.length;
            sums.machines += e.machines * p.length;
            let (temperature, _) = slab.air();
            if p.outside.is_some_and(|o| o.temperature > temperature) {
                sums.settled_while_outside_is_warmer += settled;
            } else {
                sums.colder_hours += p.length / HOUR;
            }
            ControlFlow::Continue(())
        })
        .expect("the solver gets there");
    sums
}

#[track_caller]
fn near(found: f64, wanted: f64, share: f64) {
    assert!(
        (found - wanted).abs() <= share * wanted.abs(),
        "found {found}, wanted {wanted} within {share}"
    );
}

/// A ventilated room over a wet floor, at rest. Closed form of the well-mixed balance
/// `d rho/dt = n (rho_o - rho) + (beta A/V) (p_s - p)`, in which `rho = p/(R_v T)`:
/// `p = (n V/(R_v T) p_o + beta A p_s) / (n V/(R_v T) + beta A)`. It takes the vapour's own volume as nothing, which in
/// cold air (2 degC) is under 0.1 %; with dry air as the carrier, `n V rho_da (W - W_o) = beta A (p_s - p)`, it is exact,
/// and then a quadratic in the vapour pressure.
#[test]
fn analytic_steady_room() {
    for (changes, humidity) in [(0.3, 0.5), (1.0, 0.7), (4.0, 0.4)] {
        let room = Room {
            air_changes_per_hour: changes,
            // The air is kept at the outside temperature, as the closed form has it.
            heat_loss: 1e7,
            ..room()
        };
        let (t, o) = (2.0, outside(2.0, humidity));
        let weather = Hourly::steady(start(), 100.0 * DAY, o).expect("a series");
        let mut simulation = simulation(&room, t);
        simulation.keep_wet(true);
        let _ = run(&mut simulation, &room, &weather, 60.0);
        let snapshot = simulation.snapshot();
        let (air_temperature, w) = snapshot.air();
        near(air_temperature, t, 1e-3);
        let found = air::vapour_pressure(w, STANDARD_PRESSURE);
        let at_face = air::saturation_pressure(snapshot.face().1);
        let vapour_transfer = evaporation::vapour_transfer_coefficient(STILL_AIR) * room.area;
        let flow = changes / HOUR * room.volume;
        let (p, p_o) = (
            STANDARD_PRESSURE,
            air::vapour_pressure(o.humidity_ratio, STANDARD_PRESSURE),
        );
        let by_volume = flow / (GAS_CONSTANT_VAPOUR * (t + KELVIN_AT_ZERO_CELSIUS));
        near(
            found,
            (by_volume * p_o + vapour_transfer * at_face) / (by_volume + vapour_transfer),
            1e-3,
        );
        // W = e x/(p - x): m e x - (m W_o + B (p_s - x)) (p - x) = 0 is a x^2 + b x + c = 0 in the vapour pressure x.
        let m = flow * air::density_of_dry_air(t, o.humidity_ratio, p);
        let e = air::RATIO_OF_MOLAR_MASSES;
        let carried = m * o.humidity_ratio + vapour_transfer * at_face;
        let (a, b, c) = (
            -vapour_transfer,
            m * e + carried + vapour_transfer * p,
            -carried * p,
        );
        let exact = (-b + (b * b - 4.0 * a * c).sqrt()) / (2.0 * a);
        near(found, exact, 1e-5);
    }
}

/// A closed, insulated room with a dehumidifier that always runs. Over the machine: the sensible heat it gives the air
/// is its electricity and the latent heat of what it takes. Over the whole: water and heat balance to 1e-6 of what went
/// through, and what the slab gave is in the tank or in the air.
#[test]
fn analytic_closed_room_with_dehumidifier() {
    let Some(Machine::Refrigerant(mut machine)) = class("refrigerant_large") else {
        panic!("refrigerant_large is a class");
    };
    machine.control = Control::ALWAYS;
    let room = Room {
        machines: vec![Installed {
            machine: Machine::Refrigerant(machine),
            count: 1.0,
            present: (0.0, f64::INFINITY),
            rental: Rental::default(),
        }],
        ..room()
    };
    let weather = Hourly::steady(start(), 100.0 * DAY, outside(-5.0, 0.9)).expect("a series");
    let mut simulation = simulation(&room, 20.0);
    let before = simulation.snapshot().air();
    let sums = run(&mut simulation, &room, &weather, 14.0);
    let after = simulation.snapshot().air();

    let m = sums.machines;
    assert!(m.condensate > 10.0, "{} kg taken", m.condensate);
    assert!(after.0 > before.0, "the room warms");
    let stored = room.store().dry_air * room.area * (after.1 - before.1);
    let water = sums.evaporation - m.condensate - stored;
    assert!(water.abs() < 1e-6 * sums.evaporation, "{water} kg");
    assert_eq!(sums.by_outside_air, 0.0);

    // Electricity + latent heat = sensible heat, at states over the machine's range.
    for (t, r) in [(16.0, 0.8), (20.0, 0.5), (26.7, 0.6), (35.0, 0.4)] {
        let air = MoistAir::from_relative_humidity(t, r, STANDARD_PRESSURE);
        let e = room
            .at(2.0 * DAY)
            .during(&outside(-5.0, 0.9), 0.0, HOUR)
            .exchange(t, air.humidity_ratio);
        let taken = -e.vapour;
        assert!(taken > 0.0, "{t} {r}");
        let enthalpy_of_vapour = air::LATENT_HEAT_AT_ZERO + air::SPECIFIC_HEAT_VAPOUR * t;
        near(
            e.enthalpy + taken * enthalpy_of_vapour,
            e.machines.electricity + taken * air::latent_heat(t),
            1e-6,
        );
    }
    // Over the run the room keeps all electricity but the warmth of the condensate.
    near(m.electricity - m.expelled, m.enthalpy, 1e-6);
    let (water_error, heat_error) = simulation.balance_errors();
    assert!(
        water_error.abs() < 1e-6 && heat_error.abs() < 1e-6,
        "{water_error:e} {heat_error:e}"
    );
}

/// Warm wet days and cold nights: at night the envelope is colder than the dew point of the room, and water settles on it.
/// None is lost or made: what the slab and the outside air bring is in the air or on the envelope.
#[test]
fn analytic_night_condensation_conserves_water() {
    let room = Room {
        air_changes_per_hour: 0.2,
        heat_loss: 800.0,
        ..room()
    };
    let hours = (0..30 * 24)
        .map(|h| {
            let swing = (f64::from(h) / 24.0 * std::f64::consts::TAU).cos();
            outside(12.0 - 12.0 * swing, 0.8)
        })
        .collect();
    let weather = Hourly::new(start(), hours).expect("a series");
    let mut simulation = simulation(&room, 20.0);
    simulation.keep_wet(true);
    let before = simulation.snapshot().air().1;
    let sums = run(&mut simulation, &room, &weather, 20.0);
    let after = simulation.snapshot().air().1;
    assert!(sums.settled > 1.0, "{} kg settled", sums.settled);
    assert!(sums.colder_hours > 100.0);
    assert!(
        sums.settled_while_outside_is_warmer < 0.1 * sums.settled,
        "{sums:?}"
    );
    let stored = room.store().dry_air * room.area * (after - before);
    let water = sums.evaporation + sums.by_outside_air - sums.settled - stored;
    assert!(
        water.abs() < 1e-6 * (sums.evaporation.abs() + sums.by_outside_air.abs()),
        "{water} kg of {sums:?}"
    );
    let (water_error, heat_error) = simulation.balance_errors();
    assert!(
        water_error.abs() < 1e-6 && heat_error.abs() < 1e-6,
        "{water_error:e} {heat_error:e}"
    );
}

/// Water that the air cannot hold leaves it within minutes (300 s), as liquid at the air's temperature; air below
/// saturation loses none.
#[test]
fn analytic_excess_settles() {
    let room = room();
    let active = room.at(2.0 * DAY);
    let still = |t: f64, w: f64| active.during(&outside(t, 0.5), 0.0, HOUR).exchange(t, w);
    for t in [-5.0, 5.0, 20.0] {
        let saturated = MoistAir::from_relative_humidity(t, 1.0, STANDARD_PRESSURE);
        assert_eq!(still(t, 0.999 * saturated.humidity_ratio).vapour, 0.0);
        let foggy = MoistAir {
            humidity_ratio: 1.02 * saturated.humidity_ratio,
            ..saturated
        };
        let e = still(t, foggy.humidity_ratio);
        let air_mass = room.volume * foggy.density_of_dry_air();
        near(
            -e.vapour,
            air_mass * 0.02 * saturated.humidity_ratio / 300.0,
            1e-9,
        );
        near(e.enthalpy, e.vapour * air::SPECIFIC_HEAT_WATER * t, 1e-9);
    }
}
