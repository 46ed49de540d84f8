//! The room above the slab, and what is in it.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::DateText;
use super::gear::{HoursOfDay, Opening};
use crate::units::{
    Area, Duration, HeatLoss, Length, Mass, MassFlux, Temperature, UValue, WaterRate,
};

/// The room above the slab.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Room {
    /// Clear height.
    #[schemars(extend("x-limit" = "room height"))]
    pub height: Length,
    /// The day the building was closed in; before it the slab lies in outside air under a roof. Default: the day drying starts.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<DateText>")]
    pub closed_in: Option<Date>,
    /// How far the building is built, which says how much it leaks. Or give `air_changes_per_hour`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub construction: Option<Construction>,
    /// Leakage of the closed room with no fan on. Default 0.5 per hour.
    #[schemars(extend("x-limit" = "air changes per hour"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub air_changes_per_hour: Option<f64>,
    /// Heat lost per degree of difference, without air leakage. Or give `u_value`.
    #[schemars(extend("x-limit" = "heat loss of the room"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heat_loss: Option<HeatLoss>,
    /// Mean U-value of walls and roof. Default 2 W/(m2 K): an unfinished shell.
    #[schemars(extend("x-limit" = "U-value"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub u_value: Option<UValue>,
    /// Area of walls and roof to the outside. Default: from floor area and height, as a square room with its own roof.
    #[schemars(extend("x-limit" = "envelope area"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub envelope_area: Option<Area>,
    /// Room temperature on the day drying starts. Default: as outside.
    #[schemars(extend("x-limit" = "air temperature"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub start_temperature: Option<Temperature>,
    /// Openings that always stand open, through which wind and warmth drive the air. Doors that are opened for drying belong to a setup,
    /// as `outside_air` with an `opening`.
    #[schemars(extend("maxItems" = 50))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub openings: Option<Vec<Opening>>,
    /// Other wet materials that give water to the room's air: fresh plaster, wet boards, stacked timber.
    #[schemars(extend("maxItems" = 50))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wet_materials: Option<Vec<WetMaterial>>,
    /// People who work in the room.
    #[schemars(extend("maxItems" = 50))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub people: Option<Vec<People>>,
    /// A part of the room that is closed off and dried by itself from the day drying starts. Default: the whole room is dried.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub part: Option<Part>,
}

/// How far a building is built.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Construction {
    /// A side or large parts of the walls are missing: 10 air changes per hour.
    PartlyOpen,
    /// Openings hung with film or sheeting: 2 air changes per hour.
    SheetedOpenings,
    /// Doors and windows are in, joints are not sealed: 0.5 air changes per hour.
    ClosedShell,
    /// Finished and sealed: 0.2 air changes per hour.
    SealedShell,
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

/// A wet material that dries with a time constant.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DryingMaterial {
    /// What it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// Water that it will give off.
    #[schemars(extend("x-limit" = "water in a material"))]
    pub water: Mass,
    /// Time in which it gives 63 % of it; after three times as long 95 % is out.
    #[schemars(extend("x-limit" = "drying time constant"))]
    pub time_constant: Duration,
    /// The day on which it starts. Default: the day drying starts.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<DateText>")]
    pub from: Option<Date>,
}

/// Water given evenly.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SteadyMaterial {
    /// What it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// Water given off.
    #[schemars(extend("x-limit" = "water given evenly"))]
    pub rate: WaterRate,
    /// For how long. Default: to the end.
    #[schemars(extend("x-limit" = "length of giving"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lasts: Option<Duration>,
    /// The day on which it starts. Default: the day drying starts.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<DateText>")]
    pub from: Option<Date>,
}

/// People who work in the room every day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct People {
    /// How many.
    #[schemars(extend("x-limit" = "people"))]
    pub count: u32,
    /// Their work. Default: light.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub work: Option<Work>,
    /// When they are there. Default: from 7 to 16.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hours: Option<HoursOfDay>,
    /// First day. Default: the day drying starts.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<DateText>")]
    pub from: Option<Date>,
    /// Last day. Default: to the end.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<DateText>")]
    pub until: Option<Date>,
}

/// How hard people work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Work {
    /// Standing and light work with the hands.
    Light,
    /// Heavy work.
    Heavy,
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

/// A tent over a part of the floor.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Tent {
    /// Floor under it.
    #[schemars(extend("x-limit" = "slab area"))]
    pub area: Area,
    /// Its height.
    #[schemars(extend("x-limit" = "room height"))]
    pub height: Length,
    /// Air exchanged with the rest of the room, as tent volumes per hour. Default 2 per hour: film, taped and weighted.
    #[schemars(extend("x-limit" = "air changes per hour"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub air_changes_per_hour: Option<f64>,
    /// U-value of its skin. Default 4 W/(m2 K): one layer of film.
    #[schemars(extend("x-limit" = "U-value"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub u_value: Option<UValue>,
    /// Water that the rest of the slab gives meanwhile. Default 5 lb/1000 ft2/24 h.
    #[schemars(extend("x-limit" = "water from the rest of the slab"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rest_gives: Option<MassFlux>,
}

/// A curtain or wall that cuts the room in two.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Partition {
    /// Floor on the side that is dried. Leakage and heat loss of the room are shared by floor area.
    #[schemars(extend("x-limit" = "slab area"))]
    pub area: Area,
    /// Length of the partition. Default: one side of a square of that floor.
    #[schemars(extend("x-limit" = "partition length"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub length: Option<Length>,
    /// Air exchanged with the rest of the room, as volumes of the part per hour. Default 2 per hour: film, taped and weighted.
    #[schemars(extend("x-limit" = "air changes per hour"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub air_changes_per_hour: Option<f64>,
    /// U-value of the partition. Default 4 W/(m2 K): one layer of film.
    #[schemars(extend("x-limit" = "U-value"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub u_value: Option<UValue>,
    /// Water that the rest of the slab gives meanwhile. Default 5 lb/1000 ft2/24 h.
    #[schemars(extend("x-limit" = "water from the rest of the slab"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rest_gives: Option<MassFlux>,
}
