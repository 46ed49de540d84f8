//! A prepared floor with its names for moments and reasons.

use crate::job::Job;
use crate::preparation::Prepared;
use crate::units::format::Said;
use crate::verdict::Verdict;
use jiff::civil::DateTime;

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
    pub notices: &'a [Said],
}

/// A moment to the minute.
pub(super) fn moment(prepared: &Prepared, time: f64) -> DateTime {
    let minutes = (time / MINUTE).round();
    let date = prepared.date_of(minutes * MINUTE + 1.0);
    let of_day = minutes.rem_euclid(24.0 * 60.0) as i64;
    date.at((of_day / 60) as i8, (of_day % 60) as i8, 0, 0)
}
