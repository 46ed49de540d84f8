//! A prepared floor with its names for moments and reasons.

use crate::job::Job;
use crate::preparation::Prepared;
use crate::preparation::coating::NoDay;
use crate::preparation::conditions::Against;
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

/// Why there is no coating day, as a sentence.
pub(super) fn no_day(why: NoDay) -> &'static str {
    match why {
        NoDay::NotDry => "It does not get dry in the time simulated.",
        NoDay::NotComputed => "Its drying could not be computed.",
        NoDay::WorkBeyond => {
            "The work and its waits end after the last day simulated: raise \"give_up_after\", or plan more people."
        }
        NoDay::WetAgain => {
            "It gets dry, but is wet again before the work is over and the conditions are right. Keep drying, or plan more people."
        }
        NoDay::Conditions(Against::DewPoint) => {
            "No working day simulated keeps the coating's limits: most come too near the dew point. Warm the slab or dry the air."
        }
        NoDay::Conditions(Against::Cold) => {
            "No working day simulated keeps the coating's limits: most are too cold. Heat more, and through the cure."
        }
        NoDay::Conditions(Against::Warm) => {
            "No working day simulated keeps the coating's limits: most are too warm. Heat less, or wait for cooler weather."
        }
        NoDay::Conditions(Against::MoistAir) => {
            "No working day simulated keeps the coating's limits: on most the air is too moist. Dry the air."
        }
        NoDay::Conditions(Against::Water) => {
            "No working day simulated keeps the coating's limits: on most there is, or was not long ago, water on the floor. Keep water and dew off it."
        }
        NoDay::Conditions(Against::NotKnown) | NoDay::DaysBeyond => {
            "The days on which it could be coated lie after the last day simulated: raise \"give_up_after\"."
        }
        NoDay::NoWorkingDay => "No working day is in reach. Check the days off.",
    }
}
