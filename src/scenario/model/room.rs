//! The room above the slab, and what is in it.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::gear::Opening;
use crate::gear::controls::Hours;
use crate::room::source::Work;
use crate::scenario::keys::{keys, words};
use crate::units::{
    Area, Duration, Fraction, HeatLoss, Length, Mass, MassFlux, Temperature, UValue, WaterRate,
};

keys! {
    /// The room above the slab.
    #[schemars(extend("x-section" = true))]
    Room {
        /// Clear height.
        height: Length [limit "room height"],
        /// The day the building was enclosed; before it the slab lies in outside air under a roof.
        enclosed: Option<Date> [derived "the day the gear goes on; where the air that the slab has lived in is known, the day of placing"],
        /// What kind of building it is: the usual air that its slab has lain in, its leakage and its heat loss, where these are not given.
        building: Option<Building> [default Building::Shell => "usual on site"],
        /// Air that has stood over the slab since the building was enclosed, on average over the year.
        lived_in: Option<LivedIn> [without "as the building and the weather make it" => ""],
        /// How far the building is built, which says how much it leaks. Or give `air_changes_per_hour`.
        construction: Option<Construction>,
        /// Leakage of the closed room with no fan on.
        air_changes_per_hour: Option<f64> [
            limit "air changes per hour",
            derived "from the construction or the kind of building (common practice, no published source)"
        ],
        /// Heat lost per degree of difference, without air leakage. Or give `u_value`.
        heat_loss: Option<HeatLoss> [limit "heat loss of the room"],
        /// Mean U-value of walls and roof.
        u_value: Option<UValue> [
            limit "U-value",
            label "U-value of walls and roof",
            unless heat_loss,
            derived "usual for the kind of building (common practice, no published source)"
        ],
        /// Area of walls and roof to the outside.
        envelope_area: Option<Area> [
            limit "envelope area",
            label "area of walls and roof",
            unless heat_loss,
            derived "a square room of this floor area under its own roof"
        ],
        /// Room temperature on the day the gear goes on.
        start_temperature: Option<Temperature> [limit "air temperature", label "temperature at the start", without "as before the gear goes on" => ""],
        /// Openings that always stand open, through which wind and warmth drive the air. Doors that are opened for drying belong to a setup,
        /// as `outside_air` with an `opening`.
        openings: Option<Vec<Opening>> [most 50, label "always open"],
        /// Other wet materials that give water to the room's air: fresh plaster, wet boards, stacked lumber.
        wet_materials: Option<Vec<WetMaterial>> [most 50, label "wet material"],
        /// People who work in the room.
        people: Option<Vec<People>> [most 50],
        /// A part of the room that is closed off and dried by itself from the day the gear goes on. Default: the whole room is dried.
        part: Option<Part>,
    }
}

words! {
    /// What kind of building a slab lies in.
    Building {
        /// Not finished: nothing holds its climate. 2 W/(m2 K), a closed shell.
        Shell,
        /// One sheet of film against the outside: 6 W/(m2 K) and 2 air changes per hour.
        Tent,
        /// Finished, heated to 20 °C all year by heat of its own: 0.5 W/(m2 K), sealed, 50 % relative humidity.
        HeatedBuilding,
        /// Under a heated storey, half of its walls against the ground: 1 W/(m2 K), sealed, 15 °C and 75 % relative humidity.
        Basement,
        /// Finished and insulated, cooled to 4 °C until the job: 0.3 W/(m2 K), sealed, 85 % relative humidity.
        ColdStore,
    }
}

keys! {
    /// Air of a mean state.
    LivedIn {
        /// Its temperature.
        temperature: Temperature [limit "air temperature"],
        /// Its relative humidity.
        relative_humidity: Fraction [limit "relative humidity of air"],
    }
}

words! {
    /// How far a building is built.
    Construction {
        /// A side or large parts of the walls are missing: 10 air changes per hour.
        PartlyOpen "partly open",
        /// Openings hung with film or sheeting: 2 air changes per hour.
        SheetedOpenings,
        /// Doors and windows are in, joints are not sealed: 0.5 air changes per hour.
        ClosedShell,
        /// Finished and sealed: 0.2 air changes per hour.
        SealedShell,
    }
}

/// A wet material other than the slab.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum WetMaterial {
    /// It dries: fast at first, then ever slower.
    Drying(DryingMaterial),
    /// It gives water evenly.
    Steady(SteadyMaterial),
}

keys! {
    /// A wet material that dries with a time constant.
    DryingMaterial {
        /// What it is.
        note: Option<String>,
        /// Water that it will give off.
        water: Mass [limit "water in a material"],
        /// Time in which it gives 63 % of it; after three times as long 95 % is out.
        time_constant: Duration [limit "drying time constant"],
        /// The day on which it starts.
        from: Option<Date> [without "the day the gear goes on" => ""],
    }
}

keys! {
    /// Water given evenly.
    SteadyMaterial {
        /// What it is.
        note: Option<String>,
        /// Water given off.
        rate: WaterRate [limit "water given evenly"],
        /// For how long.
        lasts: Option<Duration> [limit "length of giving", without "to the end" => ""],
        /// The day on which it starts.
        from: Option<Date> [without "the day the gear goes on" => ""],
    }
}

keys! {
    /// People who work in the room every day.
    People {
        /// How many.
        count: u32 [limit "people"],
        /// Their work.
        work: Option<Work> [default Work::Light => "usual on site"],
        /// When they are there.
        hours: Option<Hours> [default WORKING_HOURS => "a working day on site (common practice)"],
        /// First day.
        from: Option<Date> [without "the day the gear goes on" => ""],
        /// Last day.
        until: Option<Date> [without "to the end" => ""],
    }
}

/// A part of the room that is closed off and dried by itself.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// A tent with a roof of its own.
    Tent(Tent),
    /// A curtain or wall up to the room's ceiling.
    Partition(Partition),
}

/// Hours of a working day on site.
const WORKING_HOURS: Hours = Hours {
    from: 7.0,
    until: 16.0,
};
/// Air between a tent or partition and the rest of the room, volumes of the part per hour.
const PART_AIR_CHANGES: f64 = 2.0;

/// 0.13 m2 K/W of air film on either side, rounded up.
const fn plastic_sheet_u_value() -> UValue {
    UValue::of(4.0, "W/(m2 K)")
}

const fn rest_gives() -> MassFlux {
    MassFlux::of(5.0, "lb/1000 ft2/24 h")
}

keys! {
    /// What stands between a part that is dried and the rest of the room.
    Apart {
        /// Air exchanged with the rest of the room, as volumes of the part per hour.
        air_changes_per_hour: Option<f64> [
            limit "air changes per hour",
            default PART_AIR_CHANGES => "film, taped and weighted down (common practice, no published source)"
        ],
        /// U-value of the film or wall between them.
        u_value: Option<UValue> [
            limit "U-value",
            label "U-value",
            default plastic_sheet_u_value() => "one layer of film indoors (EN ISO 6946, from memory)"
        ],
        /// Water that the rest of the slab gives meanwhile.
        rest_gives: Option<MassFlux> [
            limit "water from the rest of the slab",
            label "water from the rest of the slab",
            default rest_gives() => "a slab that is not dry yet (engineering judgment)"
        ],
    }
}

keys! {
    /// A tent over a part of the floor.
    #[schemars(extend("x-section" = true))]
    Tent {
        /// Floor under it.
        area: Area [limit "slab area"],
        /// Its height.
        height: Length [limit "room height"],
        ..apart: Apart,
    }
}

keys! {
    /// A curtain or wall that cuts the room in two.
    #[schemars(extend("x-section" = true))]
    Partition {
        /// Floor on the side that is dried. Leakage and heat loss of the room are shared by floor area.
        area: Area [limit "slab area"],
        /// Length of the partition.
        length: Option<Length> [limit "partition length", without "one side of a square of that floor" => ""],
        ..apart: Apart,
    }
}
