//! The coating's limits as taken: given in the scenario, or usual ones, each with its source.

use super::model::Coating;
use crate::units::{DAY, Duration, HOUR};

/// Condensation margin on the coating day \[K\]: ISO 8502-4.
pub const DEW_POINT_MARGIN: f64 = 3.0;

const COMMON: &str = "common practice, no published source";

/// A limit and where it comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Taken {
    /// The limit, SI.
    pub value: f64,
    /// Its source, in words.
    pub source: &'static str,
    /// Whether the scenario gives it.
    pub given: bool,
}

/// What the coating asks of the day on which it is laid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoatingWindow {
    /// Lowest temperature of slab and air \[degC\].
    pub lowest_temperature: Taken,
    /// Highest temperature of slab and air \[degC\].
    pub highest_temperature: Taken,
    /// Highest relative humidity of the air, 0 to 1.
    pub highest_relative_humidity: Taken,
    /// Least distance of the slab's face above the dew point \[K\].
    pub dew_point_margin: Taken,
    /// Time for which all this must hold \[s\].
    pub cure_time: Taken,
    /// Least age of the concrete \[s\].
    pub concrete_age: Taken,
    /// Least time since water was on the floor \[s\].
    pub dry_time_after_wetting: Taken,
    /// Greatest age of a moisture test \[s\].
    pub test_validity: Taken,
}

impl CoatingWindow {
    /// The limits of a scenario's `coating`, filled up with the usual ones.
    #[must_use]
    pub fn of(coating: Option<&Coating>) -> Self {
        let taken = |given: Option<f64>, usual: f64, source: &'static str| Taken {
            value: given.unwrap_or(usual),
            source: if given.is_some() {
                "the scenario's \"coating\""
            } else {
                source
            },
            given: given.is_some(),
        };
        let time =
            |pick: fn(&Coating) -> Option<Duration>| coating.and_then(pick).map(Duration::si);
        Self {
            lowest_temperature: taken(
                coating.and_then(|c| c.lowest_temperature).map(|t| t.si()),
                10.0,
                COMMON,
            ),
            highest_temperature: taken(
                coating.and_then(|c| c.highest_temperature).map(|t| t.si()),
                32.0,
                COMMON,
            ),
            highest_relative_humidity: taken(
                coating
                    .and_then(|c| c.highest_relative_humidity)
                    .map(|h| h.si()),
                0.85,
                "usual limit of resin floors, beside ISO 8502-4",
            ),
            dew_point_margin: taken(
                coating.and_then(|c| c.dew_point_margin).map(|d| d.si()),
                DEW_POINT_MARGIN,
                "ISO 8502-4",
            ),
            cure_time: taken(time(|c| c.cure_time), 24.0 * HOUR, COMMON),
            concrete_age: taken(time(|c| c.concrete_age), 28.0 * DAY, COMMON),
            dry_time_after_wetting: taken(time(|c| c.dry_time_after_wetting), 24.0 * HOUR, COMMON),
            test_validity: taken(time(|c| c.test_validity), 30.0 * DAY, COMMON),
        }
    }

    /// Where the two ends of the temperatures come from.
    #[must_use]
    pub fn temperature_source(&self) -> &'static str {
        match (
            self.lowest_temperature.given,
            self.highest_temperature.given,
        ) {
            (true, true) => self.lowest_temperature.source,
            (false, false) => COMMON,
            _ => "the scenario's \"coating\", the other end common practice",
        }
    }
}
