//! The present, and moments that are typed in: site local standard time.

use crate::units::dates;
use jiff::civil::{Date, DateTime};

/// The computer's clock without summer time: that of the last time before now when it was not in force.
fn standard_time(now: &jiff::ZonedDateTime) -> DateTime {
    let (zone, moment) = (now.time_zone(), now.timestamp());
    let info = zone.to_offset_info(moment);
    let mut before = zone.preceding(moment);
    let standard = if info.dst().is_dst() {
        before.find(|change| !change.dst().is_dst())
    } else {
        None
    };
    standard
        .map_or(info.offset(), |change| change.offset())
        .to_datetime(moment)
}

/// The minute of now.
pub(crate) fn now() -> DateTime {
    let now = standard_time(&jiff::ZonedDateTime::now());
    now.date().at(now.hour(), now.minute(), 0, 0)
}

/// A moment from an option: day and time, or a day, whose noon is taken; now if it was left out.
pub(crate) fn moment(option: &str, text: Option<&str>) -> Result<DateTime, String> {
    let Some(text) = text else {
        return Ok(now());
    };
    match dates::date(text) {
        Ok(day) => Ok(day.at(12, 0, 0, 0)),
        Err(no_day) => dates::moment(text).map_err(|no_moment| {
            let why = if no_day.help == dates::DATE_HELP {
                no_moment
            } else {
                no_day
            };
            format!("--{option}: {why}")
        }),
    }
}

/// A day from an option.
pub(crate) fn day(text: &str) -> Result<Date, String> {
    dates::date(text).map_err(|fault| fault.to_string())
}
