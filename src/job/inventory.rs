//! The gear that a plan may choose from.

use super::{Rental, Setup, machines};
use crate::room::{Installed, Room};
use crate::scenario::model;
use crate::units::DAY;
use jiff::civil::Date;

/// Chance with which a plan must make its date when none is given (common practice, no published source).
pub(crate) const CONFIDENCE: f64 = 0.8;
/// Days after the start of drying at which gear may be exchanged when none are given.
pub(crate) const EXCHANGE_AFTER: [f64; 3] = [14.0, 28.0, 42.0];

/// One kind of gear that can be had.
#[derive(Clone, Debug)]
pub struct Item {
    /// One of it, for the whole time.
    pub machine: Installed,
    /// Its rental; `per_day` is for one.
    pub rental: Rental,
    /// What it is, in words.
    pub name: String,
    /// How many can be had.
    pub most: u32,
    /// Bringing and fetching one.
    pub delivery: f64,
    /// Whether its price per day is missing.
    pub unpriced: bool,
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
    pub most_power: Option<f64>,
    /// Times after the start of drying at which gear may be exchanged \[s\].
    pub exchange_after: Vec<f64>,
}

fn words(gear: &model::Gear) -> (String, u32) {
    let (kind, class, count) = match gear {
        model::Gear::Dehumidifier(g) => ("dehumidifier", g.class.clone(), g.count),
        model::Gear::Desiccant(g) => ("desiccant", Some(g.class.clone()), g.count),
        model::Gear::Heater(g) => ("heater", g.class.clone(), g.count),
        model::Gear::Fan(g) => ("fan", g.class.clone(), g.count),
        model::Gear::OutsideAir(g) => ("outside air", g.class.clone(), g.count),
    };
    let name = class.map_or_else(|| kind.to_owned(), |class| class.replace('_', " "));
    (name, count.unwrap_or(1))
}

pub(super) fn inventory(
    plan: &model::Plan,
    room: &Room,
    drying_starts: f64,
    at: &impl Fn(Date) -> f64,
) -> Inventory {
    let items = plan
        .on_hand
        .iter()
        .filter_map(|entry| {
            let one = model::Setup {
                name: String::new(),
                note: None,
                gear: vec![entry.gear.clone()],
            };
            let Setup {
                room: with,
                rentals,
                unpriced,
                ..
            } = machines::setup(&one, room, drying_starts, at);
            let mut machine = with.machines.last()?.clone();
            let mut rental = *rentals.last()?;
            if let (Some(hours), Some(_)) = (&plan.working_hours, rental.fuel)
                && let Some(control) = machine.machine.control_mut()
            {
                control.hours = control.hours.or(Some(machines::hours(hours)));
            }
            let (name, most) = words(&entry.gear);
            rental.per_day /= machine.count.max(1.0);
            Some(Item {
                machine: Installed {
                    count: 1.0,
                    ..machine
                },
                rental,
                name,
                most,
                delivery: entry.delivery.map_or(0.0, |m| m.si()),
                unpriced,
            })
        })
        .collect();
    let mut exchange_after: Vec<f64> = plan.exchange_after.as_ref().map_or_else(
        || EXCHANGE_AFTER.iter().map(|d| d * DAY).collect(),
        |times| times.iter().map(|t| t.si()).collect(),
    );
    exchange_after.sort_by(f64::total_cmp);
    exchange_after.dedup();
    Inventory {
        room: room.clone(),
        items,
        confidence: plan.confidence.map_or(CONFIDENCE, |c| c.si()),
        budget: plan.budget.map(|b| b.si()),
        most_power: plan.most_power.map(|p| p.si()),
        exchange_after,
    }
}
