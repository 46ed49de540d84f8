//! The machines of a setup, when they are there and their rent.

use super::Setup;
use crate::gear::Rental;
use crate::gear::rental::Rate;
use crate::room::{Installed, Room};
use crate::scenario::model;
use crate::units::{DAY, MoneyPerDay};
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
        rental: Rental {
            rates: rates(shared.rent.iter().flatten()),
            least_days: shared.least_rental.map_or(0.0, |t| t.si() / DAY),
            delivery: shared.delivery.map_or(0.0, |money| money.si()),
        },
    }
}

/// Rates as typed: a price per week is charged by the week.
pub(crate) fn rates<'r>(rent: impl Iterator<Item = &'r MoneyPerDay>) -> Vec<Rate> {
    rent.map(|price| Rate::new(price.si(), 1.0 / price.typed().unit.factor))
        .collect()
}
