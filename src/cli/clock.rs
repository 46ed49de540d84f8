//! The present, and moments that are typed in: site local standard time.

use crate::moisture_log::parse_moment;
use jiff::civil::DateTime;

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

/// A moment from an option: day and time, or a day, whose noon is taken; now if it was left out.
pub(super) fn moment(option: &str, text: Option<&str>) -> Result<DateTime, String> {
    let Some(text) = text else {
        let now = standard_time(&jiff::ZonedDateTime::now());
        return Ok(now.date().at(now.hour(), now.minute(), 0, 0));
    };
    parse_moment(text)
        .or_else(|_| parse_moment(&format!("{} 12:00", text.trim())))
        .map_err(|_| {
            format!(
                "--{option}: \"{text}\" is not a day and time. Write it like \"2026-11-20 08:30\"."
            )
        })
}
