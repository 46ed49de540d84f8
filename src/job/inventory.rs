//! The gear that a plan may choose from.

use super::machines;
use crate::room::{Installed, Room};
use crate::scenario::model;
use crate::units::format::Said;
use jiff::civil::Date;

/// One kind of gear that can be had.
#[derive(Clone, Debug)]
pub struct Item {
    /// One of it, for the whole time.
    pub machine: Installed,
    /// What it is, in words.
    pub name: Said,
    /// How many can be had.
    pub most: u32,
}

/// Gear to choose from, and the limits of a plan.
#[derive(Clone, Debug)]
pub struct Inventory {
    /// The room without any of it.
    pub room: Room,
    /// What can be had.
    pub items: Vec<Item>,
    /// Wanted chance of making the date.
    pub confidence: f64,
    /// Most that rental, delivery, energy and fuel may cost on average.
    pub budget: Option<f64>,
    /// Most electrical power at a time \[W\].
    pub power_limit: Option<f64>,
    /// Times after the start of drying at which gear may be exchanged \[s\].
    pub swap_after: Vec<f64>,
}

pub(super) fn inventory(
    plan: &model::Plan,
    room: &Room,
    gear_on: f64,
    at: &impl Fn(Date) -> f64,
) -> Inventory {
    let items = plan
        .on_hand
        .iter()
        .map(|entry| {
            let mut machine = machines::installed(&entry.gear, room.volume, gear_on, at);
            if let (Some(hours), Some(_)) = (&plan.working_hours, machine.machine.fuel())
                && let Some(control) = machine.machine.control_mut()
            {
                control.hours = control.hours.or(Some(*hours));
            }
            Item {
                machine: Installed {
                    count: 1.0,
                    ..machine
                },
                name: entry.gear.label(),
                most: entry.gear.shared().count(),
            }
        })
        .collect();
    let mut swap_after: Vec<f64> = plan.swap_after().iter().map(|t| t.si()).collect();
    swap_after.sort_by(f64::total_cmp);
    swap_after.dedup();
    Inventory {
        room: room.clone(),
        items,
        confidence: plan.confidence().si(),
        budget: plan.budget.map(|b| b.si()),
        power_limit: plan.power_limit.map(|p| p.si()),
        swap_after,
    }
}
