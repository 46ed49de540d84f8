//! What the coating's data sheet asks of the day on which it is laid.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::{Duration, RelativeHumidity, Temperature, TemperatureDifference};

/// Limits of the coating's data sheet for the day it is laid. What is not given is taken as usual; the product's own sheet rules.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Coating {
    /// Lowest temperature of slab and air while the coating is laid and cures. Default 10 degC (50 degF).
    #[schemars(extend("x-limit" = "coating temperature"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lowest_temperature: Option<Temperature>,
    /// Highest temperature of slab and air while the coating is laid and cures. Default 32 degC (90 degF).
    #[schemars(extend("x-limit" = "coating temperature"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub highest_temperature: Option<Temperature>,
    /// Highest relative humidity of the air. Default 85 %.
    #[schemars(extend("x-limit" = "air humidity for coating"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub highest_relative_humidity: Option<RelativeHumidity>,
    /// How far the slab's face must stay above the dew point of the air. Default 3 K.
    #[schemars(extend("x-limit" = "dew-point margin"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dew_point_margin: Option<TemperatureDifference>,
    /// How long the coating needs these conditions once it is laid. Default 24 h.
    #[schemars(extend("x-limit" = "cure time"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cure_time: Option<Duration>,
    /// Least age of the concrete. Default 28 days.
    #[schemars(extend("x-limit" = "concrete age for coating"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub concrete_age: Option<Duration>,
    /// How long the floor must have been free of water that came onto it. Default 24 h.
    #[schemars(extend("x-limit" = "dry time after wetting"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dry_time_after_wetting: Option<Duration>,
    /// How old a moisture test may be. Default 30 days.
    #[schemars(extend("x-limit" = "test validity"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub test_validity: Option<Duration>,
    /// How long a probe must have been in its hole. Default 24 h; 72 h for tests made before 2018.
    #[schemars(extend("x-limit" = "probe time in hole"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub probe_time_in_hole: Option<Duration>,
}
