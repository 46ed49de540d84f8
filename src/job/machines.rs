//! The machines of a setup, when they are there and what they cost.

use super::{Rental, Setup};
use crate::room::{Installed, Room};
use crate::scenario::model;
use crate::units::DAY;
use jiff::civil::Date;

pub(super) fn setup(
    setup: &model::Setup,
    room: &Room,
    drying_starts: f64,
    at: &impl Fn(Date) -> f64,
) -> Setup {
    let mut room = room.clone();
    // One rental for each entry of the room's machines; what always stands open costs nothing.
    let mut rentals: Vec<Rental> = room
        .machines
        .iter()
        .map(|m| Rental {
            per_day: 0.0,
            present: m.present,
            fuel: None,
        })
        .collect();
    let mut unpriced = false;
    for gear in &setup.gear {
        unpriced |= gear.shared().price_per_day.is_none();
        let (machine, rental) = installed(gear, room.volume, drying_starts, at);
        rentals.push(rental);
        room.machines.push(machine);
    }
    Setup {
        name: setup.name.clone(),
        room,
        rentals,
        unpriced,
    }
}

/// The machines of an entry in a room of this volume \[m3\], and what they cost.
pub(super) fn installed(
    gear: &model::Gear,
    volume: f64,
    drying_starts: f64,
    at: &impl Fn(Date) -> f64,
) -> (Installed, Rental) {
    let shared = gear.shared();
    let machine = gear.machine(volume);
    let count = f64::from(shared.count());
    let present = (
        shared.from.map_or(drying_starts, at),
        shared.until.map_or(f64::INFINITY, |d| at(d) + DAY),
    );
    let rental = Rental {
        per_day: shared.price_per_day.map_or(0.0, |p| p.si() * DAY) * count,
        present,
        fuel: machine.fuel(),
    };
    let installed = Installed {
        machine,
        count,
        present,
    };
    (installed, rental)
}
