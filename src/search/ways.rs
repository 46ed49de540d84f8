//! The cheapest gear on hand for every other way to coat: gear for some weeks and then a layer is a plan too.
//!
//! A way is searched like the planned coating, on a job that asks for the way's limit and needs the slab by as many days earlier as its work
//! takes. Its price per area is the same for every plan of it, so that the cheapest plan of a way is the cheapest in all.
//!
//! Accuracy: `tests/it/rules/decide.rs` (equal to searching each way by itself).

use super::cheapest::{Judged, Progress, search};
use crate::evaluate::{Accuracy, Way};
use crate::job::{Inventory, Job};
use crate::simulation::SimulationFault;
use crate::units::DAY;
use jiff::ToSpan;

/// The cheapest plan of a way.
#[derive(Clone, Debug)]
pub struct WayPlan {
    /// The way.
    pub way: Way,
    /// Its plan: the cheapest that makes the date or, without one, what comes nearest.
    pub plan: Judged,
    /// Whether it makes the date with the wanted chance.
    pub makes_it: bool,
    /// What the layer or the other system costs more, low and high; `None` where no price is known.
    pub layer_cost: Option<(f64, f64)>,
}

impl WayPlan {
    /// Everything that it is expected to cost, a price range by its middle.
    #[must_use]
    pub fn expected_cost(&self) -> Option<f64> {
        let (low, high) = self.layer_cost?;
        Some(self.plan.costs.total() + f64::midpoint(low, high))
    }
}

/// The job as a way needs it; `None` without a date, or where the slab is not old enough for the way by then.
#[must_use]
pub fn job_of_way(job: &Job, way: &Way) -> Option<Job> {
    let by = job.needed_by?;
    let by = by.checked_sub((way.work.ceil() as i64).days()).ok()?;
    let old_enough = crate::job::seconds_between(job.placed, by) / DAY;
    if old_enough < way.least_age || by < job.date(job.gear_on) {
        return None;
    }
    let mut of_way = way.job(job);
    of_way.needed_by = Some(by);
    Some(of_way)
}

/// The cheapest plan of each way that can make the date, the cheapest first.
///
/// # Errors
/// When the solver gives up on the slab's past.
pub fn search_ways(
    job: &Job,
    inventory: &Inventory,
    ways: &[Way],
    (samples, seed): (u32, u32),
    accuracy: Accuracy,
    keep_going: &(dyn Fn() -> bool + Sync),
) -> Result<Vec<WayPlan>, SimulationFault> {
    let mut plans = Vec::new();
    for way in ways {
        let Some(of_way) = job_of_way(job, way) else {
            continue;
        };
        let quiet = |_: Progress<'_>| {};
        let found = search(
            &of_way, inventory, samples, seed, accuracy, &quiet, keep_going,
        )?;
        let makes_it = found.best.is_some();
        let Some(plan) = found.chosen().filter(|_| !found.stopped) else {
            continue;
        };
        plans.push(WayPlan {
            plan: plan.clone(),
            makes_it,
            layer_cost: way
                .price
                .map(|(low, high)| (low * job.room.area, high * job.room.area)),
            way: way.clone(),
        });
    }
    let key = |plan: &WayPlan| {
        let cost = plan.expected_cost().unwrap_or(f64::INFINITY);
        (!plan.makes_it, cost)
    };
    plans.sort_by(|a, b| {
        let ((late_a, cost_a), (late_b, cost_b)) = (key(a), key(b));
        late_a.cmp(&late_b).then(cost_a.total_cmp(&cost_b))
    });
    Ok(plans)
}

/// Days of drying after which the coating of a way can start.
#[must_use]
pub fn ready(plan: &WayPlan) -> Option<f64> {
    let days = plan.plan.odds.days(0.5)?;
    Some(plan.way.ready(days))
}
