//! What can be tried: counts of each kind of gear, before and after one exchange.

use crate::evaluate::power::{SiteCheck, power};
use crate::job::{Inventory, Job, Setup};
use crate::room::Installed;
use crate::units::DAY;
use crate::units::System;
use crate::units::format::{Said, whole};

/// Plans beyond this many are not all tried.
pub const MOST_CANDIDATES: usize = 1000;

/// One plan: counts of every item in the first and in the second stretch.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Candidate {
    /// Counts from the start.
    pub first: Vec<u32>,
    /// Number of the exchange time and counts after it; `None` keeps the gear all the time.
    pub second: Option<(usize, Vec<u32>)>,
}

/// Everything that may be tried.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidates {
    /// The plans within the limits of power.
    pub all: Vec<Candidate>,
    /// Plans that ask for more power than there is.
    pub too_much_power: usize,
    /// Whether plans were left out because there are too many: then only some counts, only plans of some kinds at a time, or
    /// only some exchanges are tried.
    pub left_out: bool,
}

/// Every way to take one of each list.
fn combinations(levels: &[Vec<u32>]) -> Vec<Vec<u32>> {
    levels.iter().fold(vec![Vec::new()], |lists, level| {
        lists
            .iter()
            .flat_map(|list| {
                level.iter().map(move |count| {
                    let mut list = list.clone();
                    list.push(*count);
                    list
                })
            })
            .collect()
    })
}

/// All counts; where they are more than `most`, some: none, half and all of a kind, from the most numerous kind on; then none
/// and all; then of so few kinds at a time that they are no more.
fn counts(inventory: &Inventory, most: usize) -> (Vec<Vec<u32>>, bool) {
    let mut levels: Vec<Vec<u32>> = inventory
        .items
        .iter()
        .map(|i| (0..=i.most).collect())
        .collect();
    let number = |levels: &[Vec<u32>]| levels.iter().map(|l| l.len() as f64).product::<f64>();
    let left_out = number(&levels) > most as f64;
    while number(&levels) > most as f64 {
        let longest = levels.iter_mut().max_by_key(|l| l.len());
        let Some(longest) = longest.filter(|l| l.len() > 2) else {
            break;
        };
        let last = longest.last().copied().unwrap_or(0);
        *longest = if longest.len() > 3 {
            vec![0, last / 2, last]
        } else {
            vec![0, last]
        };
    }
    let mut lists = combinations(&levels);
    let kinds = |list: &Vec<u32>| list.iter().filter(|count| **count > 0).count();
    let mut at_a_time = levels.len();
    while lists.len() > most && at_a_time > 1 {
        at_a_time -= 1;
        lists.retain(|list| kinds(list) <= at_a_time);
    }
    (lists, left_out)
}

/// Whether the machines of a stretch can be fed.
fn fits(job: &Job, inventory: &Inventory, counts: &[u32]) -> bool {
    let setup = setup(
        job,
        inventory,
        &Candidate {
            first: counts.to_vec(),
            second: None,
        },
    );
    let load = power(&setup.room, job.site_power.as_ref());
    inventory.power_limit.is_none_or(|most| load.watts <= most)
        && load.site.as_ref().is_none_or(SiteCheck::fits)
}

/// Every plan that may be tried.
#[must_use]
pub fn candidates(job: &Job, inventory: &Inventory) -> Candidates {
    let exchanges = inventory.swap_after.len();
    // Half of the room is for plans with an exchange.
    let most = MOST_CANDIDATES / if exchanges > 0 { 2 } else { 1 };
    let (lists, mut left_out) = counts(inventory, most);
    let before = lists.len();
    let lists: Vec<Vec<u32>> = lists
        .into_iter()
        .filter(|counts| fits(job, inventory, counts))
        .collect();
    let too_much_power = before - lists.len();
    let number = lists.len() + lists.len() * lists.len().saturating_sub(1) * exchanges;
    let every = number <= MOST_CANDIDATES;
    let differ = |(first, second): &(&Vec<u32>, &Vec<u32>)| {
        let kinds = first.iter().zip(*second).filter(|(a, b)| a != b).count();
        kinds == 1 || (every && kinds > 0)
    };
    // Of too many, those that change one kind of gear; of those, if need be, some at an even stride.
    let pairs: Vec<(&Vec<u32>, &Vec<u32>)> = lists
        .iter()
        .flat_map(|first| lists.iter().map(move |second| (first, second)))
        .filter(differ)
        .collect();
    let mut all: Vec<Candidate> = lists
        .iter()
        .map(|first| Candidate {
            first: first.clone(),
            second: None,
        })
        .collect();
    let possible = pairs.len() * exchanges;
    let taken = possible.min(MOST_CANDIDATES - all.len().min(MOST_CANDIDATES));
    all.extend((0..taken).filter_map(|k| {
        let place = k * possible / taken;
        let (first, second) = pairs.get(place % pairs.len())?;
        Some(Candidate {
            first: (*first).clone(),
            second: Some((place / pairs.len(), (*second).clone())),
        })
    }));
    left_out |= !every;
    Candidates {
        all,
        too_much_power,
        left_out,
    }
}

/// The plan as a setup that can be run.
#[must_use]
pub fn setup(job: &Job, inventory: &Inventory, candidate: &Candidate) -> Setup {
    let mut room = inventory.room.clone();
    let start = job.gear_on;
    let mut add = |item: usize, count: u32, present: (f64, f64)| {
        let Some(item) = inventory.items.get(item).filter(|_| count > 0) else {
            return;
        };
        room.machines.push(Installed {
            count: f64::from(count),
            present,
            ..item.machine.clone()
        });
    };
    for (item, &first) in candidate.first.iter().enumerate() {
        match &candidate.second {
            None => add(item, first, (start, f64::INFINITY)),
            Some((exchange, second)) => {
                let after = inventory.swap_after.get(*exchange).copied();
                let time = start + after.unwrap_or(0.0);
                let second = second.get(item).copied().unwrap_or(0);
                let both = first.min(second);
                add(item, both, (start, f64::INFINITY));
                add(item, first - both, (start, time));
                add(item, second - both, (time, f64::INFINITY));
            }
        }
    }
    Setup {
        name: describe(inventory, candidate).of(System::Si).to_owned(),
        room,
    }
}

fn list(inventory: &Inventory, counts: &[u32], system: System) -> String {
    let parts: Vec<String> = counts
        .iter()
        .zip(&inventory.items)
        .filter(|(count, _)| **count > 0)
        .map(|(count, item)| {
            let name = item.name.of(system);
            if *count == 1 {
                name.to_owned()
            } else {
                format!("{count} x {name}")
            }
        })
        .collect();
    if parts.is_empty() {
        "no gear".into()
    } else {
        parts.join(" + ")
    }
}

/// A plan in words.
#[must_use]
pub fn describe(inventory: &Inventory, candidate: &Candidate) -> Said {
    Said::new(|system| {
        let first = list(inventory, &candidate.first, system);
        match &candidate.second {
            None => first,
            Some((exchange, second)) => {
                let days = inventory.swap_after.get(*exchange).map_or(0.0, |t| t / DAY);
                format!(
                    "{first}; from day {}: {}",
                    whole(days),
                    list(inventory, second, system)
                )
            }
        }
    })
}
