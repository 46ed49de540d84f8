//! The coating's limits as taken: given in the scenario, or usual ones, each with its source.

use super::model::Coating;

/// Condensation margin on the coating day \[K\]: ISO 8502-4.
pub const DEW_POINT_MARGIN: f64 = 3.0;

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
        let coating = coating.cloned().unwrap_or_default();
        macro_rules! taken {
            ($key:ident) => {
                Taken {
                    value: coating.$key().si(),
                    source: if coating.$key.is_some() {
                        "the scenario's \"coating\""
                    } else {
                        Coating::why(stringify!($key))
                    },
                    given: coating.$key.is_some(),
                }
            };
        }
        Self {
            lowest_temperature: taken!(lowest_temperature),
            highest_temperature: taken!(highest_temperature),
            highest_relative_humidity: taken!(highest_relative_humidity),
            dew_point_margin: taken!(dew_point_margin),
            cure_time: taken!(cure_time),
            concrete_age: taken!(concrete_age),
            dry_time_after_wetting: taken!(dry_time_after_wetting),
            test_validity: taken!(test_validity),
        }
    }

    /// Where the two ends of the temperatures come from.
    #[must_use]
    pub fn temperature_source(&self) -> &'static str {
        match (
            self.lowest_temperature.given,
            self.highest_temperature.given,
        ) {
            (true, true) | (false, false) => self.lowest_temperature.source,
            _ => "the scenario's \"coating\", the other end common practice",
        }
    }
}
