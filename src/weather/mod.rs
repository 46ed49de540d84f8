//! Hourly outside air from any source.
//!
//! Text in, series out: a reader takes the bytes of a source and a display name, gives a [`Reading`] and the
//! [`Notice`]s the user should see, or every [`WeatherFault`] it found. [`Reading::season`] then lays the weather
//! over a calendar span as an [`Hourly`] series. There is no file access and no time zone here: all dates are the
//! site's local standard time.

mod fault;
mod hourly;

pub use fault::{Notice, Position, WeatherFault};
pub use hourly::{Hourly, OutsideAir};

/// Numbers that bound what the readers accept.
pub(crate) struct Limits {
    /// Faults listed before the rest is only counted: one screen.
    pub(crate) most_faults: usize,
    /// Longest season, h: twenty years, beyond any drying job and small enough for memory.
    pub(crate) longest_season_hours: usize,
    /// Longest gap filled linearly, h: a quarter of a day, so that the daily swing is not cut off.
    pub(crate) longest_gap_hours: usize,
}

pub(crate) const LIMITS: Limits = Limits {
    most_faults: 20,
    longest_season_hours: 20 * 8784,
    longest_gap_hours: 6,
};
