//! What the schedule assumed when the floor was promised.

use super::{Finish, Underside};
use crate::scenario::keys::keys;
use crate::units::{Length, RelativeHumidity, Temperature};
use jiff::civil::Date;

keys! {
    /// What the schedule assumed; `coatday explain` splits the delay against it. What is not given was assumed as it is, but water on the
    /// floor is never assumed. Without this key, good conditions stand in its place.
    #[schemars(extend("x-section" = true))]
    Promised {
        /// What to call it, such as "as bid".
        name: Option<String> [without "as promised" => ""],
        /// Thickness of the slab.
        thickness: Option<Length> [limit "slab thickness"],
        /// Mass of water per mass of cement in the mix.
        water_cement_ratio: Option<f64> [limit "water-cement ratio", label "water-cement ratio"],
        /// What lies under the slab.
        underside: Option<Underside>,
        /// The finish of the surface when the gear goes on, with no curing compound on it.
        finish: Option<Finish>,
        /// The day the building was to be enclosed.
        enclosed: Option<Date>,
        /// The day the gear was to be switched on.
        gear_on: Option<Date>,
        /// The room was to be no colder than this once enclosed.
        room_temperature: Option<Temperature> [limit "air temperature", label "room no colder than"],
        /// The room was to be no damper than this once enclosed.
        room_relative_humidity: Option<RelativeHumidity> [limit "relative humidity of air", label "room no damper than"],
        /// The setup that was planned, by its name among `setups`.
        setup: Option<String>,
    }
}

impl Finish {
    /// In words.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Floated => "floated",
            Self::SteelTrowelled => "steel-troweled",
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
            Self::VapourRetarder(_) => "a vapor retarder",
            Self::BareGround => "bare ground",
            Self::MetalDeck(_) => "a metal deck",
            Self::OpenAir(_) => "open air",
        }
    }
}
