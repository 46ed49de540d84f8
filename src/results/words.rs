//! Words that several reports share.

use crate::job::Job;

/// What every chart says below.
pub(super) const ESTIMATE: &str =
    "Estimate. A floor is released by its moisture tests, never by this program.";

/// A whole number, never "-0".
pub(super) fn whole(value: f64) -> String {
    let text = format!("{value:.0}");
    if text == "-0" { "0".into() } else { text }
}

/// The same text with a capital at its start.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}

/// A share of one in whole per cent.
pub(super) fn percent(share: f64) -> String {
    format!("{} %", whole(100.0 * share))
}

/// The date after so many days of drying.
pub(super) fn date(job: &Job, days: Option<f64>) -> String {
    days.map_or("later than was looked at".into(), |d| {
        job.date_after(d).to_string()
    })
}
