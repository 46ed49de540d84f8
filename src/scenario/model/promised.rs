//! What the schedule assumed when the floor was promised.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{DateText, Finish, Underside};
use crate::units::{Length, RelativeHumidity, Temperature};

/// What the schedule assumed; `coatday explain` splits the delay against it. What is not given was assumed as it is, but water on the
/// floor is never assumed. Without this key, good conditions stand in its place.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Promised {
    /// What to call it, such as "as bid". Default: as promised.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Thickness of the slab.
    #[schemars(extend("x-limit" = "slab thickness"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub thickness: Option<Length>,
    /// Mass of water per mass of cement in the mix.
    #[schemars(extend("x-limit" = "water-cement ratio"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water_cement_ratio: Option<f64>,
    /// What lies under the slab.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub underside: Option<Underside>,
    /// The face on which drying starts, with no curing compound on it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub finish: Option<Finish>,
    /// The day the building was to be closed in.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<DateText>")]
    pub closed_in: Option<Date>,
    /// The day the gear was to be switched on.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<DateText>")]
    pub drying_starts: Option<Date>,
    /// The room was to be no colder than this once closed in.
    #[schemars(extend("x-limit" = "air temperature"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub room_temperature: Option<Temperature>,
    /// The room was to be no damper than this once closed in.
    #[schemars(extend("x-limit" = "relative humidity of air"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub room_relative_humidity: Option<RelativeHumidity>,
    /// The setup that was planned, by its name among `setups`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub setup: Option<String>,
}

impl Finish {
    /// In words.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Floated => "floated",
            Self::SteelTrowelled => "steel-trowelled",
            Self::Ground => "ground",
            Self::ShotBlasted => "shot-blasted",
        }
    }
}

impl Underside {
    /// In words.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Self::Sealed => "sealed",
            Self::VapourRetarder(_) => "a vapour retarder",
            Self::BareGround => "bare ground",
            Self::MetalDeck(_) => "a metal deck",
            Self::OpenAir(_) => "open air",
        }
    }
}
