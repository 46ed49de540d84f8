//! What the coating's data sheet asks of the day on which it is laid.

use crate::scenario::coating_window::DEW_POINT_MARGIN;
use crate::scenario::keys::keys;
use crate::units::{Duration, RelativeHumidity, Temperature, TemperatureDifference};

keys! {
    /// Limits of the coating's data sheet for the day it is laid. Usual limits are assumed for what is not given. The product's own sheet rules.
    #[derive(Default)]
    #[schemars(extend("x-section" = true))]
    Coating {
        /// Lowest temperature of slab and air while the coating is laid and cures.
        lowest_temperature: Option<Temperature> [
            limit "coating temperature",
            default Temperature::of(10.0, "degC") => "common practice, no published source"
        ],
        /// Highest temperature of slab and air while the coating is laid and cures.
        highest_temperature: Option<Temperature> [
            limit "coating temperature",
            default Temperature::of(32.0, "degC") => "common practice, no published source"
        ],
        /// Highest relative humidity of the air.
        highest_relative_humidity: Option<RelativeHumidity> [
            limit "air humidity for coating",
            default RelativeHumidity::of(85.0, "%") => "usual limit of resin floors, beside ISO 8502-4"
        ],
        /// How far the slab's surface must stay above the dew point of the air.
        dew_point_margin: Option<TemperatureDifference> [limit "dew-point margin", default TemperatureDifference::of(DEW_POINT_MARGIN, "K") => "ISO 8502-4"],
        /// How long the coating needs these conditions once it is laid.
        cure_time: Option<Duration> [limit "cure time", default Duration::of(24.0, "h") => "common practice, no published source"],
        /// Least age of the concrete.
        concrete_age: Option<Duration> [
            limit "concrete age for coating",
            default Duration::of(28.0, "days") => "common practice, no published source"
        ],
        /// How long the floor must have been free of water that came onto it.
        dry_time_after_wetting: Option<Duration> [
            limit "dry time after wetting",
            default Duration::of(24.0, "h") => "common practice, no published source"
        ],
        /// How old a moisture test may be.
        test_validity: Option<Duration> [limit "test validity", default Duration::of(30.0, "days") => "common practice, no published source"],
        /// How long a probe must have been in its hole.
        probe_time_in_hole: Option<Duration> [limit "probe time in hole", without "24 h, 72 h for tests made before 2018" => "ASTM F2170"],
    }
}
