//! The dates and counts of machines, whatever their kind.

use crate::scenario::model::Gear;
use jiff::civil::Date;

/// First day.
pub(crate) fn from(gear: &Gear) -> Option<Date> {
    gear.shared().from
}

/// Last day.
pub(crate) fn until(gear: &Gear) -> Option<Date> {
    gear.shared().until
}

/// How many.
pub(crate) fn count(gear: &Gear) -> u32 {
    gear.shared().count()
}

/// Sets the first day.
pub(crate) fn set_from(gear: &mut Gear, date: Option<Date>) {
    gear.shared_mut().from = date;
}

/// Sets the last day.
pub(crate) fn set_until(gear: &mut Gear, date: Option<Date>) {
    gear.shared_mut().until = date;
}

/// Sets how many.
pub(crate) fn set_count(gear: &mut Gear, count: u32) {
    gear.shared_mut().count = Some(count);
}

/// What it is, in words.
pub(crate) fn word(gear: &Gear) -> &'static str {
    match gear {
        Gear::Dehumidifier(_) => "dehumidifier",
        Gear::Desiccant(_) => "desiccant dehumidifier",
        Gear::Heater(_) => "heater",
        Gear::Fan(_) => "fan",
        Gear::OutsideAir(_) => "outside-air fan or opening",
    }
}

/// The same machine, whenever it is there.
pub(crate) fn alike(one: &Gear, other: &Gear) -> bool {
    let timeless = |gear: &Gear| {
        let mut gear = gear.clone();
        set_from(&mut gear, None);
        set_until(&mut gear, None);
        gear
    };
    timeless(one) == timeless(other)
}

/// The gear without times in which a machine was down: where the same machine leaves and comes back later, it stays.
pub(crate) fn without_gaps(gear: &[Gear]) -> Vec<Gear> {
    let mut out: Vec<Gear> = Vec::new();
    let mut sorted: Vec<&Gear> = gear.iter().collect();
    sorted.sort_by_key(|machine| from(machine));
    for machine in sorted {
        let before = out.iter_mut().find(|earlier| {
            alike(earlier, machine)
                && until(earlier).is_some_and(|left| from(machine).is_some_and(|back| back > left))
        });
        match before {
            Some(earlier) => set_until(earlier, until(machine)),
            None => out.push(machine.clone()),
        }
    }
    out
}

/// Whether a machine of the gear is the return of one that was down.
pub(crate) fn returns(gear: &[Gear], machine: &Gear) -> bool {
    gear.iter().any(|earlier| {
        alike(earlier, machine)
            && until(earlier).is_some_and(|left| from(machine).is_some_and(|back| back > left))
    })
}

/// The gear with every machine there from the start that is not the return of one that was down.
pub(crate) fn from_the_start(gear: &[Gear]) -> Vec<Gear> {
    gear.iter()
        .map(|machine| {
            let mut changed = machine.clone();
            if !returns(gear, machine) {
                set_from(&mut changed, None);
            }
            changed
        })
        .collect()
}
