//! What can be tried: counts of each kind of gear, before and after one exchange.

use crate::plan::power::{SiteCheck, power};
use crate::room::Installed;
use crate::scenario::build::{Inventory, Job, Rental, Setup};
use crate::season::DAY;

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
    /// Whether plans were left out because there are too many: an exchange then changes one kind of gear only.
    pub left_out: bool,
}

fn combinations(most: &[u32]) -> Vec<Vec<u32>> {
    most.iter().fold(vec![Vec::new()], |lists, most| {
        lists
            .iter()
            .flat_map(|list| {
                (0..=*most).map(move |count| {
                    let mut list = list.clone();
                    list.push(count);
                    list
                })
            })
            .collect()
    })
}

fn number_of_combinations(most: &[u32]) -> f64 {
    most.iter().map(|m| f64::from(*m) + 1.0).product()
}

/// All counts, or for a large inventory none, half and all of each kind.
fn counts(inventory: &Inventory) -> (Vec<Vec<u32>>, bool) {
    let most: Vec<u32> = inventory.items.iter().map(|i| i.most).collect();
    if number_of_combinations(&most) <= MOST_CANDIDATES as f64 {
        return (combinations(&most), false);
    }
    // Kinds are thinned from the most numerous on, until few enough are left.
    let mut levels: Vec<Vec<u32>> = most.iter().map(|m| (0..=*m).collect()).collect();
    let product = |levels: &[Vec<u32>]| levels.iter().map(|l| l.len() as f64).product::<f64>();
    while product(&levels) > MOST_CANDIDATES as f64 {
        let Some(longest) = levels.iter_mut().max_by_key(|l| l.len()) else {
            break;
        };
        let last = longest.last().copied().unwrap_or(0);
        *longest = if longest.len() > 3 {
            vec![0, last / 2, last]
        } else if longest.len() > 2 {
            vec![0, last]
        } else {
            vec![last]
        };
    }
    let indices: Vec<u32> = levels.iter().map(|l| l.len() as u32 - 1).collect();
    let lists = combinations(&indices)
        .into_iter()
        .map(|index| {
            index
                .iter()
                .zip(&levels)
                .filter_map(|(i, l)| l.get(*i as usize).copied())
                .collect()
        })
        .collect();
    (lists, true)
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
    inventory.most_power.is_none_or(|most| load.watts <= most)
        && load.site.as_ref().is_none_or(SiteCheck::fits)
}

/// Every plan that may be tried.
#[must_use]
pub fn candidates(job: &Job, inventory: &Inventory) -> Candidates {
    let (lists, mut left_out) = counts(inventory);
    let before = lists.len();
    let lists: Vec<Vec<u32>> = lists
        .into_iter()
        .filter(|counts| fits(job, inventory, counts))
        .collect();
    let too_much_power = before - lists.len();
    let mut all: Vec<Candidate> = lists
        .iter()
        .map(|first| Candidate {
            first: first.clone(),
            second: None,
        })
        .collect();
    let pairs = lists.len() * lists.len().saturating_sub(1);
    let every_pair = pairs.saturating_mul(inventory.exchange_after.len()) <= MOST_CANDIDATES;
    left_out |= !every_pair && !inventory.exchange_after.is_empty();
    'exchange: for exchange in 0..inventory.exchange_after.len() {
        for first in &lists {
            for second in &lists {
                let differ = first.iter().zip(second).filter(|(a, b)| a != b).count();
                if differ == 0 || (!every_pair && differ > 1) {
                    continue;
                }
                if all.len() >= MOST_CANDIDATES {
                    break 'exchange;
                }
                all.push(Candidate {
                    first: first.clone(),
                    second: Some((exchange, second.clone())),
                });
            }
        }
    }
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
    let start = job.drying_starts;
    let mut add = |item: usize, count: u32, present: (f64, f64)| {
        let Some(item) = inventory.items.get(item).filter(|_| count > 0) else {
            return;
        };
        unpriced |= item.unpriced;
        room.machines.push(Installed {
            count: f64::from(count),
            present,
            ..item.machine.clone()
        });
        rentals.push(Rental {
            per_day: item.rental.per_day * f64::from(count),
            present,
            ..item.rental
        });
    };
    for (item, &first) in candidate.first.iter().enumerate() {
        match &candidate.second {
            None => add(item, first, (start, f64::INFINITY)),
            Some((exchange, second)) => {
                let after = inventory.exchange_after.get(*exchange).copied();
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
        name: describe(inventory, candidate),
        room,
        rentals,
        unpriced,
    }
}

/// What delivery of all machines of a plan costs.
#[must_use]
pub fn delivery(inventory: &Inventory, candidate: &Candidate) -> f64 {
    let second = candidate.second.as_ref().map(|(_, counts)| counts);
    inventory
        .items
        .iter()
        .enumerate()
        .map(|(k, item)| {
            let of = |counts: &Vec<u32>| counts.get(k).copied().unwrap_or(0);
            f64::from(of(&candidate.first).max(second.map_or(0, of))) * item.delivery
        })
        // Not `sum`, which makes minus zero of nothing.
        .fold(0.0, |total, cost| total + cost)
}

fn list(inventory: &Inventory, counts: &[u32]) -> String {
    let parts: Vec<String> = counts
        .iter()
        .zip(&inventory.items)
        .filter(|(count, _)| **count > 0)
        .map(|(count, item)| {
            if *count == 1 {
                item.name.clone()
            } else {
                format!("{count} x {}", item.name)
            }
        })
        .collect();
    if parts.is_empty() {
        "no gear".into()
    } else {
        parts.join(", ")
    }
}

/// A plan in words.
#[must_use]
pub fn describe(inventory: &Inventory, candidate: &Candidate) -> String {
    let first = list(inventory, &candidate.first);
    match &candidate.second {
        None => first,
        Some((exchange, second)) => {
            let days = inventory
                .exchange_after
                .get(*exchange)
                .map_or(0.0, |t| t / DAY);
            format!("{first}; from day {days:.0} {}", list(inventory, second))
        }
    }
}
