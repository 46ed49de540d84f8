//! Words that several reports share.

use crate::scenario::build::Job;

/// What every chart says below.
pub(super) const ESTIMATE: &str =
    "Estimate. A floor is released by its moisture tests, never by this program.";

/// A share of one in whole per cent.
pub(super) fn percent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

/// The date after so many days of drying.
pub(super) fn date(job: &Job, days: Option<f64>) -> String {
    days.map_or("later than was looked at".into(), |d| {
        job.date_after(d).to_string()
    })
}
