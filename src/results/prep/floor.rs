//! A prepared floor with its names for moments and reasons.

use crate::job::Job;
use crate::preparation::Prepared;
use crate::verdict::Verdict;
use jiff::civil::Date;

/// Seconds in a minute.
const MINUTE: f64 = 60.0;
/// A floor, prepared.
#[derive(Clone, Debug)]
pub struct PreparedFloor<'a> {
    /// Name of the scenario.
    pub name: &'a str,
    /// What was found.
    pub prepared: Prepared,
    /// What may be said of it.
    pub verdict: Verdict,
    /// Its job, where drying is computed.
    pub job: Option<&'a Job>,
    /// Whether every finding is listed, however many.
    pub all_findings: bool,
    /// Notes about the weather.
    pub notices: &'a [String],
}

/// A moment to the minute: date and time of day.
pub(super) fn moment(prepared: &Prepared, time: f64) -> (Date, String) {
    let minutes = (time / MINUTE).round();
    let date = prepared.date_of(minutes * MINUTE + 1.0);
    let of_day = minutes.rem_euclid(24.0 * 60.0) as u32;
    (date, format!("{:02}:{:02}", of_day / 60, of_day % 60))
}
