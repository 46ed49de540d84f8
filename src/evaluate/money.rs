//! Rent and delay, charged alike wherever runs are compared.

use crate::job::{Job, Setup, seconds_between};
use crate::units::DAY;

/// Rental up to a time \[s since placing\], by whole days begun.
pub(crate) fn rental(job: &Job, setup: &Setup, end: f64) -> f64 {
    setup
        .room
        .machines
        .iter()
        .map(|m| {
            let stretch = (m.present.1.min(end) - m.present.0.max(job.gear_on)) / DAY;
            m.rent.unwrap_or(0.0) * m.count * stretch.ceil().max(0.0)
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
