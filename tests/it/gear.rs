//! Tests of the `gear` room.
//!
//! Marks: "from memory" where a reference value is recalled; "derived" where it follows by arithmetic from the published equations named.

mod coil;
mod coil_views;
mod dehumidifiers;
mod everything;
mod heaters;
mod movers_and_controls;
mod openings;
mod rental;

use coatday::air::{MoistAir, STANDARD_PRESSURE};
use coatday::gear::classes::class;
use coatday::gear::controls::Control;
use coatday::gear::desiccant::Desiccant;
use coatday::gear::refrigerant::Refrigerant;
use coatday::gear::{Machine, Surroundings};

const KILOWATT_HOUR: f64 = 3.6e6;
const DAY: f64 = 86_400.0;
const HOUR: f64 = 3600.0;

fn state(temperature: f64, relative_humidity: f64) -> MoistAir {
    MoistAir::from_relative_humidity(temperature, relative_humidity, STANDARD_PRESSURE)
}

fn room(temperature: f64, relative_humidity: f64) -> Surroundings {
    Surroundings {
        inside: state(temperature, relative_humidity),
        outside: state(5.0, 0.8),
        hour_of_day: 12.0,
        wind_speed: 3.0,
    }
}

#[track_caller]
fn near(found: f64, wanted: f64, tolerance: f64) {
    assert!(
        (found - wanted).abs() <= tolerance,
        "found {found}, wanted {wanted} within {tolerance}"
    );
}

fn refrigerant(name: &str) -> Refrigerant {
    match class(name) {
        Some(Machine::Refrigerant(machine)) => Refrigerant {
            control: Control::ALWAYS,
            ..machine
        },
        other => panic!("{name} is {other:?}"),
    }
}

fn desiccant(name: &str) -> Desiccant {
    match class(name) {
        Some(Machine::Desiccant(machine)) => Desiccant {
            control: Control::ALWAYS,
            ..machine
        },
        other => panic!("{name} is {other:?}"),
    }
}

/// The machine of a class with its own control taken off.
fn always(mut machine: Machine) -> Machine {
    if let Some(control) = machine.control_mut() {
        *control = Control::ALWAYS;
    }
    machine
}
