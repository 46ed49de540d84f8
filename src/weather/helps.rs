//! When outside air helps: the hours in which it is drier than the room, and what warming it costs.
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | W, `W_o` | humidity ratio inside and outside | kg/kg |
//! | M | margin by which the outside air must be drier | kg/kg |
//! | y | share of the full exchange | 1 |
//! | t, `t_o` | temperature inside and outside | degC |
//! | m | dry air exchanged per volume flow of room air: its density of dry air | kg/m3 |
//!
//! # Equations
//! ```text
//! y = clamp( (W - W_o - M) / DRIER_BAND, 0, 1 )                 the rule "only while it helps"
//! water carried off per volume of room air = y m (W - W_o)
//! heat to warm it = y m max( h(t, W_o) - h(t_o, W_o), 0 )       h as in the air room
//! ```
//! Humidity ratios are compared, never relative humidities: damp cold air is dry air once warmed. The room's humidity
//! ratio is that of its temperature and relative humidity at the pressure of the hour at the site.
//!
//! # Valid range
//! Any finite state.
//!
//! # Sources
//! 1. Open up only while the outside humidity ratio is below that inside: common practice in drying work (trade pages).
//! 2. Enthalpy: see the air room.
//!
//! # Proof of accuracy
//! `analytic_outside_air_*` and `ref_heating_outside_air` in `tests/it/air_command.rs`; the exchange that follows the rule:
//! `analytic_exchange_*` in `tests/it/gear.rs`.

use super::hourly::{HOUR, Hourly, OutsideAir};
use crate::air::{self, MoistAir};
use jiff::SignedDuration;

/// The exchange goes from nothing to all over this difference of humidity ratio, kg/kg: about the uncertainty of two good
/// humidity sensors, and wide enough for the solver to see a slope and not a step.
pub const DRIER_BAND: f64 = 0.2e-3;

/// Months of a year.
pub const MONTHS: usize = 12;
/// Hours of a day.
pub const HOURS: usize = 24;

/// Share of the full exchange, 0 to 1, that helps: none while the outside humidity ratio is not below that inside by the
/// margin (all in kg/kg), all when it is lower by [`DRIER_BAND`] more.
#[must_use]
pub fn share_that_helps(inside: f64, outside: f64, margin: f64) -> f64 {
    ((inside - outside - margin) / DRIER_BAND).clamp(0.0, 1.0)
}

/// Heat, J per kg of dry air, that brings outside air to the room's temperature; none where it is warmer than the room.
#[must_use]
pub fn heat_to_warm(outside: &OutsideAir, room_temperature: f64) -> f64 {
    (air::enthalpy(room_temperature, outside.humidity_ratio)
        - air::enthalpy(outside.temperature, outside.humidity_ratio))
    .max(0.0)
}

/// Sums over hours of one kind, such as those of one month or of one hour of the day. Flows are per m3/s of room air
/// exchanged while it helps.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Helping {
    /// Hours looked at.
    pub hours: f64,
    /// Hours in which outside air helps; an hour within the band counts in part.
    pub helping_hours: f64,
    /// Humidity ratio inside less that outside, times hours \[kg/kg h\].
    pub drier_by_hours: f64,
    /// Water carried off \[kg per m3/s\].
    pub water: f64,
    /// Heat to warm the air that is let in \[J per m3/s\].
    pub heat: f64,
    /// Outside temperature times hours \[degC h\].
    pub temperature_hours: f64,
}

impl Helping {
    /// Share of the hours in which outside air helps, 0 to 1; 0 without hours.
    #[must_use]
    pub fn share(&self) -> f64 {
        self.per_hour(self.helping_hours).unwrap_or(0.0)
    }

    /// Mean humidity ratio inside less that outside \[kg/kg\].
    #[must_use]
    pub fn drier_by(&self) -> Option<f64> {
        self.per_hour(self.drier_by_hours)
    }

    /// Mean outside temperature \[degC\].
    #[must_use]
    pub fn temperature(&self) -> Option<f64> {
        self.per_hour(self.temperature_hours)
    }

    /// Heat per water carried off \[J/kg\].
    #[must_use]
    pub fn heat_per_water(&self) -> Option<f64> {
        (self.water > 0.0).then(|| self.heat / self.water)
    }

    fn per_hour(&self, sum: f64) -> Option<f64> {
        (self.hours > 0.0).then(|| sum / self.hours)
    }

    fn add(&mut self, other: &Self) {
        self.hours += other.hours;
        self.helping_hours += other.helping_hours;
        self.drier_by_hours += other.drier_by_hours;
        self.water += other.water;
        self.heat += other.heat;
        self.temperature_hours += other.temperature_hours;
    }
}

/// The hours of a season by calendar month (January first) and hour of the day (from midnight).
#[derive(Clone, Debug, PartialEq)]
pub struct HelpingHours {
    cells: [[Helping; HOURS]; MONTHS],
}

impl HelpingHours {
    /// Looks at every hour from `from` to `until` (seconds on the clock of `weather`): outside air at its mean over the
    /// hour against room air of a constant temperature \[degC\] and relative humidity, with a margin \[kg/kg\].
    #[must_use]
    pub fn count(
        weather: &Hourly,
        (from, until): (f64, f64),
        (room_temperature, room_humidity): (f64, f64),
        margin: f64,
    ) -> Self {
        let mut cells = [[Helping::default(); HOURS]; MONTHS];
        let hours = ((until - from) / HOUR).floor().max(0.0) as u64;
        for hour in 0..hours {
            let start = from + hour as f64 * HOUR;
            let outside = weather.mean(start, start + HOUR);
            let inside =
                MoistAir::from_relative_humidity(room_temperature, room_humidity, outside.pressure);
            let middle = SignedDuration::from_secs((start + 0.5 * HOUR) as i64);
            // Beyond the calendar there is no weather either.
            let Ok(moment) = weather.start().checked_add(middle) else {
                break;
            };
            let month = usize::try_from(moment.month() - 1).unwrap_or(0);
            let hour_of_day = usize::try_from(moment.hour()).unwrap_or(0);
            let Some(cell) = cells.get_mut(month).and_then(|m| m.get_mut(hour_of_day)) else {
                continue;
            };
            let share = share_that_helps(inside.humidity_ratio, outside.humidity_ratio, margin);
            let drier_by = inside.humidity_ratio - outside.humidity_ratio;
            let dry_air = share * inside.density_of_dry_air() * HOUR;
            cell.add(&Helping {
                hours: 1.0,
                helping_hours: share,
                drier_by_hours: drier_by,
                water: dry_air * drier_by,
                heat: dry_air * heat_to_warm(&outside, room_temperature),
                temperature_hours: outside.temperature,
            });
        }
        Self { cells }
    }

    /// One month (0 to 11) at one hour of the day (0 to 23).
    #[must_use]
    pub fn cell(&self, month: usize, hour_of_day: usize) -> Helping {
        self.cells
            .get(month)
            .and_then(|m| m.get(hour_of_day))
            .copied()
            .unwrap_or_default()
    }

    /// One month, all hours of the day.
    #[must_use]
    pub fn month(&self, month: usize) -> Helping {
        self.sum(|m, _| m == month)
    }

    /// Hours of the day `from..until`, in one month or in all.
    #[must_use]
    pub fn hours_of_day(&self, month: Option<usize>, from: usize, until: usize) -> Helping {
        self.sum(|m, h| month.is_none_or(|wanted| wanted == m) && (from..until).contains(&h))
    }

    /// The whole season.
    #[must_use]
    pub fn season(&self) -> Helping {
        self.sum(|_, _| true)
    }

    fn sum(&self, wanted: impl Fn(usize, usize) -> bool) -> Helping {
        let mut total = Helping::default();
        for (m, month) in self.cells.iter().enumerate() {
            for (h, cell) in month.iter().enumerate() {
                if wanted(m, h) {
                    total.add(cell);
                }
            }
        }
        total
    }
}
