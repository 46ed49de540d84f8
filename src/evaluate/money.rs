//! Rent and delay, charged alike wherever runs are compared.

use crate::job::{Job, Setup, seconds_between};
use crate::units::DAY;

/// Rent and delivery up to a time \[s since placing\]. A machine that would come later is neither brought nor charged.
pub(crate) fn rental(job: &Job, setup: &Setup, end: f64) -> f64 {
    setup
        .room
        .machines
        .iter()
        .map(|m| {
            let days = (m.present.1.min(end) - m.present.0.max(job.gear_on)) / DAY;
            let delivery = if days > 0.0 { m.rental.delivery } else { 0.0 };
            m.count * (m.rental.rent(days) + delivery)
        })
        // Not `sum`, which makes minus zero of nothing.
        .fold(0.0, |total, rent| total + rent)
}

/// Calendar days after `needed_by` on which a floor is dry after so many days of drying; infinite when it never is, `None`
/// without a date to keep.
pub(crate) fn days_late(job: &Job, days: f64) -> Option<f64> {
    let needed = seconds_between(job.placed, job.needed_by?) / DAY;
    let dry = ((job.gear_on + days * DAY) / DAY).floor();
    Some((dry - needed).max(0.0))
}

/// What the delay costs. Never counts as the horizon. `None` without a date or the price of a day.
pub(crate) fn delay(job: &Job, days: f64) -> Option<f64> {
    let days = days.min((job.give_up - job.gear_on) / DAY);
    Some(days_late(job, days)? * job.prices.day_of_delay?)
}
