//! The machines of a setup, when they are there and their rent.

use super::Setup;
use crate::room::{Installed, Room};
use crate::scenario::model;
use crate::units::DAY;
use jiff::civil::Date;

pub(super) fn setup(
    setup: &model::Setup,
    room: &Room,
    gear_on: f64,
    at: &impl Fn(Date) -> f64,
) -> Setup {
    let mut room = room.clone();
    for gear in &setup.gear {
        let machines = installed(gear, room.volume, gear_on, at);
        room.machines.push(machines);
    }
    Setup {
        name: setup.name.clone(),
        room,
    }
}

/// The machines of an entry in a room of this volume \[m3\].
pub(super) fn installed(
    gear: &model::Gear,
    volume: f64,
    gear_on: f64,
    at: &impl Fn(Date) -> f64,
) -> Installed {
    let shared = gear.shared();
    let machine = gear.machine(volume);
    Installed {
        machine,
        count: f64::from(shared.count()),
        present: (
            shared.from.map_or(gear_on, at),
            shared.until.map_or(f64::INFINITY, |d| at(d) + DAY),
        ),
        rent: shared.price_per_day.map(|p| p.si() * DAY),
    }
}
