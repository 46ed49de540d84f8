//! Hourly outside air from any source.
//!
//! Text in, series out: a reader takes the bytes of a source and a display name, gives a [`Reading`] and the
//! [`Notice`]s the user should see, or every [`WeatherFault`] it found. [`Reading::season`] then lays the weather
//! over a calendar span as an [`Hourly`] series. There is no file access and no time zone here: all dates are the
//! site's local standard time.
//!
//! Sources: [`constant`] air, [`monthly_normals`], the normals of a [`place`] in the program's own table, dated hourly CSV ([`read_hourly_csv`]), and the typical-year formats
//! EPW ([`read_epw`]) and TMY3 ([`read_tmy3`]). [`read`] tells the file formats apart by content.

mod epw;
mod fault;
pub mod helps;
mod hourly;
mod hourly_csv;
mod normals;
pub mod places;
mod raw;
mod reading;
mod regions;
mod text;
mod tmy3;
mod variation;
mod year_file;

use crate::units::Kind;
use crate::units::format::{Said, Shown};

pub use epw::read_epw;
pub use fault::{Notice, Position, WeatherFault};
pub use hourly::{Hourly, OutsideAir};
pub use hourly_csv::read_hourly_csv;
pub use normals::{MonthlyHumidity, MonthlyNormals, constant, monthly_normals};
pub use places::place;
pub use reading::{Place, ReadResult, Reading};
pub use tmy3::read_tmy3;

/// Reads a weather file, telling EPW, TMY3 and the hourly CSV apart by their first lines.
///
/// # Errors
/// Every fault found, with line and column, up to a limit.
pub fn read(name: &str, bytes: &[u8]) -> ReadResult {
    let mut lines = text::lines(bytes).map_err(|message| vec![WeatherFault::of(name, message)])?;
    let first = lines.next().map(|(_, text)| text).unwrap_or_default();
    let second = lines.next().map(|(_, text)| text).unwrap_or_default();
    drop(lines);
    let first_name = |line: &str| {
        text::fields(line)
            .first()
            .map(|name| name.trim().to_ascii_uppercase())
            .unwrap_or_default()
    };
    if first_name(&first) == "LOCATION" {
        read_epw(name, bytes)
    } else if first_name(&second) == tmy3::DATE.to_ascii_uppercase() {
        read_tmy3(name, bytes)
    } else {
        read_hourly_csv(name, bytes)
    }
}

/// Numbers that bound what the readers accept.
struct Limits {
    /// Faults listed before the rest is only counted: one screen.
    most_faults: usize,
    /// Longest season, h: twenty years, beyond any drying job and small enough for memory.
    longest_season_hours: usize,
    /// Longest gap filled linearly, h: a quarter of a day, so that the daily swing is not cut off.
    longest_gap_hours: usize,
    /// Longest time over which a depth of rain is spread, h: gauges are read at least once a day.
    longest_rain_collection_hours: usize,
    /// Dew point above the temperature taken as rounding, K: both are rounded, in fog a little more.
    most_supersaturation: f64,
    /// Lowest and highest site, m: from the shore of the Dead Sea to the highest peaks.
    elevation: (f64, f64),
    /// Highest humidity ratio, kg/kg: saturated air at 70 degC and sea level has 0.28.
    highest_humidity_ratio: f64,
    /// Largest mean daily swing of a month, K: the largest in dry highlands are about 25 K (common practice, no published
    /// source).
    most_daily_swing: f64,
    /// Time zone less solar time, h, beyond which a file's hours may be universal time: the widest real difference is
    /// about 3 h.
    most_zone_offset_hours: f64,
    /// Fields kept of one line; the widest format has 71.
    most_fields: usize,
    /// Characters of a wrong value shown in a message.
    shown_characters: usize,
    /// Differences below this are rounding (temperatures, fractions and speeds alike).
    rounding: f64,
}

const LIMITS: Limits = Limits {
    most_faults: 20,
    longest_season_hours: 20 * 8784,
    longest_gap_hours: 6,
    longest_rain_collection_hours: 24,
    most_supersaturation: 2.0,
    elevation: (-500.0, 9000.0),
    highest_humidity_ratio: 0.3,
    most_daily_swing: 40.0,
    most_zone_offset_hours: 3.0,
    most_fields: 256,
    shown_characters: 24,
    rounding: 1e-9,
};

/// Values taken where a source gives none.
pub(crate) struct Assumed {
    /// Wind speed, m/s: a usual yearly mean at stations in open country (common practice, no published source).
    pub(crate) wind_speed: f64,
    /// Elevation, m, if neither the site nor the source has one.
    pub(crate) site_elevation: f64,
}

pub(crate) const ASSUMED: Assumed = Assumed {
    wind_speed: 3.0,
    site_elevation: 0.0,
};

fn wind_is_assumed() -> Said {
    Said::new(|system| {
        let wind = Shown::of(Kind::Speed, system).text(ASSUMED.wind_speed, 0);
        format!("No wind speed is given. {wind} is assumed at all times.")
    })
}
