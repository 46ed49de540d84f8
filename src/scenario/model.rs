//! The scenario as types: what may stand in the file, and nothing else.
//!
//! Quantities are text with a unit, counts and ratios plain numbers, dates `2026-11-02`. A kind is the single key of an object
//! (`{"fan": {...}}`), so that a fault has an exact place. Whatever an installer may not know is an `Option`; what is taken then stands in
//! [`super::defaults`]. `x-limit` names the row of [`crate::units::ranges::LIMITS`] that bounds a field; `x-words` names a list of
//! words the caller gives when reading.

mod coating;
mod findings;
mod gear;
mod plan;
mod promised;
mod room;
mod supply;
mod walk;

use std::borrow::Cow;

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use coating::Coating;
pub use findings::{
    Broken, CoatingState, Crack, CrackState, Damp, DampState, Delamination, Finding, Joint,
    JointState, OldLayer, Remark, Rust, RustState, Spot, Stain, StainState,
};
pub use gear::{
    AirPath, AirSource, Curve, Defrost, Dehumidifier, Desiccant, Direction, ExchangeRule, Fan,
    Fuel, Gear, Heater, HeaterKind, HoursOfDay, Humidistat, MachineSupply, Opening, OutsideAir,
    Phases, RatingCondition, SecondStage, Thermostat,
};
pub use plan::{OnHand, Plan};
pub use room::{
    Construction, DryingMaterial, Part, Partition, People, Room, SteadyMaterial, Tent, WetMaterial,
    Work,
};
pub use supply::{Circuit, Generator, SitePower};
pub use walk::{
    Corner, Dust, FloorArea, Hire, Material, MaterialChoice, Method, OldCoating, Order, SiteLimits,
    SiteWork, Substrate, Ventilation, Walk, Wash, Water, Wood, WoodKind, WorkRate, WorkingDays,
    WorkingTime,
};

pub use promised::Promised;

use crate::units::{
    Area, Density, DieselPrice, Duration, Fraction, KerosenePrice, Length, MassFlux, MoneyPerDay,
    MoneyPerEnergy, NaturalGasPrice, Permeance, PropanePrice, RelativeHumidity, Speed, Strength,
    Temperature, TemperatureDifference, VapourResistance, WaterDepth,
};

/// A slab, its room and weather, what "dry" means, and the setups of gear to compare.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Scenario {
    /// Where the schema lies, for completion in editors. Not used otherwise.
    #[serde(rename = "$schema")]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub schema: Option<String>,
    /// A name for the job.
    pub name: String,
    /// Anything worth remembering.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// Where the building stands and what the weather is like.
    pub site: Site,
    /// The concrete.
    pub slab: Slab,
    /// The room above the slab.
    pub room: Room,
    /// The day on which the gear is switched on.
    #[schemars(with = "DateText")]
    pub drying_starts: Date,
    /// The day by which the floor must be ready to coat.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<DateText>")]
    pub needed_by: Option<Date>,
    /// How long after `drying_starts` to go on looking. Default 365 days.
    #[schemars(extend("x-limit" = "time limit"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub give_up_after: Option<Duration>,
    /// What the floor must show before it is coated; every one must be met. The limit is on the coating's data sheet. Default: 75 % relative
    /// humidity at 40 % depth.
    #[schemars(extend("minItems" = 1, "maxItems" = 8))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub targets: Option<Vec<Target>>,
    /// The air of the building in use, in which the floor is tested.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub service: Option<Service>,
    /// What the coating's data sheet asks of the day it is laid; used by `coatday today` and `coatday readings`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coating: Option<Coating>,
    /// What the schedule assumed when the floor was promised; used by `coatday explain` and `coatday report`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub promised: Option<Promised>,
    /// What energy, fuel and delay cost.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub prices: Option<Prices>,
    /// Gear to choose from and limits to keep, for `coatday plan`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plan: Option<Plan>,
    /// The setups to compare.
    #[schemars(extend("minItems" = 1, "maxItems" = 200))]
    pub setups: Vec<Setup>,
    /// What was found on the walk over the floor, and how it is to be prepared.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub walk: Option<Walk>,
}

/// Where the building stands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Site {
    /// Height above sea level; it sets the air pressure. Default 0 m.
    #[schemars(extend("x-limit" = "site elevation"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub elevation: Option<Length>,
    /// Outdoor air through the season.
    pub weather: Weather,
    /// What the site has to plug machines into. Without it setups are not checked against it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub power: Option<SitePower>,
}

/// Outdoor air, one of five ways. Files are looked for beside the scenario.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Weather {
    /// The same air all the time.
    Constant(ConstantWeather),
    /// Monthly means, January first.
    MonthlyNormals(Box<MonthlyNormals>),
    /// A table with one row per hour.
    HourlyCsv(WeatherFile),
    /// An EPW weather file.
    Epw(WeatherFile),
    /// A TMY3 weather file.
    #[serde(rename = "tmy3_csv")]
    Tmy3Csv(WeatherFile),
}

/// The same outdoor air all the time.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ConstantWeather {
    /// Air temperature.
    #[schemars(extend("x-limit" = "outdoor temperature"))]
    pub temperature: Temperature,
    /// Relative humidity.
    #[schemars(extend("x-limit" = "outdoor relative humidity"))]
    pub relative_humidity: RelativeHumidity,
    /// Wind speed. Default 3 m/s.
    #[schemars(extend("x-limit" = "wind speed"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wind_speed: Option<Speed>,
}

/// Monthly means, January first. Give `relative_humidity` or `dew_point`, not both.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MonthlyNormals {
    /// Mean air temperature of each month.
    #[schemars(extend("x-limit" = "outdoor temperature"))]
    pub mean_temperature: [Temperature; 12],
    /// Mean difference between the warmest and the coldest hour of a day, the same for all months. Default 10 K.
    #[schemars(extend("x-limit" = "daily temperature swing"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub daily_swing: Option<TemperatureDifference>,
    /// Mean relative humidity of each month.
    #[schemars(extend("x-limit" = "outdoor relative humidity"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub relative_humidity: Option<[RelativeHumidity; 12]>,
    /// Mean dew point of each month.
    #[schemars(extend("x-limit" = "outdoor dew point"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dew_point: Option<[Temperature; 12]>,
    /// Wind speed. Default 3 m/s.
    #[schemars(extend("x-limit" = "wind speed"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wind_speed: Option<Speed>,
}

/// A weather file beside the scenario.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WeatherFile {
    /// Its path, seen from the scenario's folder.
    pub file: String,
}

/// The concrete slab.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Slab {
    /// Floor area.
    #[schemars(extend("x-limit" = "slab area"))]
    pub area: Area,
    /// Thickness.
    #[schemars(extend("x-limit" = "slab thickness"))]
    pub thickness: Length,
    /// Mass of water per mass of cement in the mix. Default: from `strength` if given, else 0.5.
    #[schemars(extend("x-limit" = "water-cement ratio"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water_cement_ratio: Option<f64>,
    /// Specified compressive strength at 28 days; stands in for an unknown water-cement ratio.
    #[schemars(extend("x-limit" = "compressive strength"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub strength: Option<Strength>,
    /// Cement in the mix. Default: from the water-cement ratio and 185 kg/m3 of mixing water.
    #[schemars(extend("x-limit" = "cement content"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cement_content: Option<Density>,
    /// Its stone. Default: normal weight.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub aggregate: Option<Aggregate>,
    /// The day the concrete was placed.
    #[schemars(with = "DateText")]
    pub placed: Date,
    /// How it was cured. Default: 7 days wet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub curing: Option<Curing>,
    /// How the top was finished. Default: steel-trowelled.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub finish: Option<Finish>,
    /// Vapour resistance of the top skin; takes the place of the one that goes with `finish`.
    #[schemars(extend("x-limit" = "surface resistance"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub surface_resistance: Option<VapourResistance>,
    /// A later preparation that opens the top.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub prepared: Option<Preparation>,
    /// What lies under the slab. Default: sealed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub underside: Option<Underside>,
    /// Temperature of the ground below, for slabs on ground. Default: the mean of the weather over the year.
    #[schemars(extend("x-limit" = "ground temperature"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ground_temperature: Option<Temperature>,
    /// Times at which water came or will come onto the floor.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(extend("maxItems" = 1000))]
    pub wettings: Option<Vec<Wetting>>,
}

/// The stone of a mix.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Aggregate {
    /// Dense stone.
    NormalWeight,
    /// Porous stone that was soaked before mixing; its water has to dry out too.
    Lightweight,
}

/// How the concrete was kept moist at first.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Curing {
    /// Not at all.
    None,
    /// Under water or wet cloth.
    Wet(WetCuring),
    /// Under a sheet.
    Sheet(SheetCuring),
    /// Under a sprayed film that stays until the top is ground or blasted.
    CuringCompound(CuringCompound),
}

/// Curing under water or wet cloth.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WetCuring {
    /// For how long.
    #[schemars(extend("x-limit" = "curing time"))]
    pub lasts: Duration,
}

/// Curing under a sheet.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SheetCuring {
    /// For how long.
    #[schemars(extend("x-limit" = "curing time"))]
    pub lasts: Duration,
    /// Vapour resistance of the sheet. Default: tight.
    #[schemars(extend("x-limit" = "curing layer resistance"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub resistance: Option<VapourResistance>,
}

/// Curing under a sprayed film.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CuringCompound {
    /// Vapour resistance of the film. Default `10 GPa s m2/kg`.
    #[schemars(extend("x-limit" = "curing layer resistance"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub resistance: Option<VapourResistance>,
}

/// The state of the top.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Finish {
    /// Floated.
    Floated,
    /// Steel-trowelled.
    SteelTrowelled,
    /// Ground.
    Ground,
    /// Shot-blasted.
    ShotBlasted,
}

/// A preparation of the top after it has hardened.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Preparation {
    /// The day it is done.
    #[schemars(with = "DateText")]
    pub date: Date,
    /// The finish it leaves.
    pub leaves: Finish,
}

/// What lies under the slab.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Underside {
    /// Nothing passes.
    Sealed,
    /// A sheet on the ground.
    VapourRetarder(VapourRetarder),
    /// The ground itself.
    BareGround,
    /// A steel deck left in place.
    MetalDeck(MetalDeck),
    /// Free air below, as in a suspended slab.
    OpenAir(OpenAir),
}

/// A vapour retarder under the slab.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct VapourRetarder {
    /// Its permeance. Default 0.1 perm.
    #[schemars(extend("x-limit" = "vapour retarder permeance"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub permeance: Option<Permeance>,
}

/// A steel deck left in place.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MetalDeck {
    /// Open share of the deck. Default 0 %: unvented.
    #[schemars(extend("x-limit" = "metal deck open share"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub open_share: Option<Fraction>,
}

/// Free air under the slab.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OpenAir {
    /// Its temperature.
    #[schemars(extend("x-limit" = "air temperature"))]
    pub temperature: Temperature,
    /// Its relative humidity.
    #[schemars(extend("x-limit" = "relative humidity of air"))]
    pub relative_humidity: RelativeHumidity,
}

/// Water on the floor. Give `water_depth` or `lasts`, not both.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Wetting {
    /// The day.
    #[schemars(with = "DateText")]
    pub date: Date,
    /// Where the water came from.
    pub kind: WettingKind,
    /// Depth of water left lying, which then dries away.
    #[schemars(extend("x-limit" = "water depth"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water_depth: Option<WaterDepth>,
    /// Time for which the floor is kept wet.
    #[schemars(extend("x-limit" = "wetting time"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lasts: Option<Duration>,
}

/// Where water on the floor came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum WettingKind {
    /// Rain or snow.
    Rain,
    /// Washing down.
    Washing,
    /// Rinsing after acid etching.
    EtchRinse,
}

/// The air of the building in use. Moisture tests are read after the floor has been in it for 48 h (ASTM F1869 and F2170).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Service {
    /// Its temperature. Default 73 degF (22.8 degC).
    #[schemars(extend("x-limit" = "service temperature"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub temperature: Option<Temperature>,
    /// Its relative humidity. Default 50 %.
    #[schemars(extend("x-limit" = "service relative humidity"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub relative_humidity: Option<RelativeHumidity>,
}

/// What the floor must show before it is coated.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Target {
    /// Relative humidity by a probe in a hole at a given depth.
    RelativeHumidityAtDepth(HumidityAtDepth),
    /// Relative humidity the slab would settle to under a tight cover.
    EquilibriumRelativeHumidity(EquilibriumHumidity),
    /// Emission rate by a dish of drying salt under a cover.
    EmissionRate(EmissionRate),
    /// Water leaving the bare surface into the room.
    SurfaceFlux(SurfaceFlux),
    /// Water in the top layer as a share of its dry mass.
    MassPercent(MassPercent),
    /// No water shows under a plastic sheet left overnight.
    PlasticSheet(PlasticSheet),
}

/// Relative humidity by a probe in a hole.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HumidityAtDepth {
    /// At most this.
    #[schemars(extend("x-limit" = "humidity limit in the slab"))]
    pub limit: RelativeHumidity,
    /// Depth over thickness. Default 0.4, or 0.2 if the slab dries from both sides.
    #[schemars(extend("x-limit" = "depth fraction"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub depth_fraction: Option<f64>,
}

/// Relative humidity under a tight cover.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EquilibriumHumidity {
    /// At most this.
    #[schemars(extend("x-limit" = "humidity limit in the slab"))]
    pub limit: RelativeHumidity,
}

/// Emission rate by a dish test.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EmissionRate {
    /// At most this.
    #[schemars(extend("x-limit" = "emission limit"))]
    pub limit: MassFlux,
}

/// Water leaving the bare surface.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SurfaceFlux {
    /// At most this.
    #[schemars(extend("x-limit" = "emission limit"))]
    pub limit: MassFlux,
}

/// Water in the top layer as a share of its dry mass.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MassPercent {
    /// At most this.
    #[schemars(extend("x-limit" = "mass percent limit"))]
    pub limit: Fraction,
    /// Thickness of the layer that is sampled. Default 20 mm.
    #[schemars(extend("x-limit" = "sampled layer"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub layer: Option<Length>,
}

/// No water under a plastic sheet; it shows presence only, never a rate.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlasticSheet {
    /// How long it lies. Default 16 h.
    #[schemars(extend("x-limit" = "time under a plastic sheet"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lasts: Option<Duration>,
}

/// What energy, fuel and delay cost. What is not given is not counted, and the results say so. All in one currency.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Prices {
    /// Electricity.
    #[schemars(extend("x-limit" = "price of electricity"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub electricity: Option<MoneyPerEnergy>,
    /// Propane, per volume or per gross heat.
    #[schemars(extend("x-limit" = "price of propane"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub propane: Option<PropanePrice>,
    /// Natural gas, per volume or per gross heat.
    #[schemars(extend("x-limit" = "price of natural gas"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub natural_gas: Option<NaturalGasPrice>,
    /// Kerosene, per volume or per gross heat.
    #[schemars(extend("x-limit" = "price of kerosene"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kerosene: Option<KerosenePrice>,
    /// Diesel or heating oil, per volume or per gross heat.
    #[schemars(extend("x-limit" = "price of diesel"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub diesel: Option<DieselPrice>,
    /// What each day costs in which the floor is not ready: site costs, penalties.
    #[schemars(extend("x-limit" = "price of a day of delay"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub day_of_delay: Option<MoneyPerDay>,
}

/// One choice of gear.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Setup {
    /// A short name, its own among the setups.
    pub name: String,
    /// Anything worth remembering.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// The machines; an empty list is the room left to itself.
    #[schemars(extend("maxItems" = 100))]
    pub gear: Vec<Gear>,
}

/// Stands for [`Date`] in the schema.
struct DateText;

impl JsonSchema for DateText {
    fn schema_name() -> Cow<'static, str> {
        "Date".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "string",
            "format": "date",
            "description": "A day, year-month-day.",
            "pattern": r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$",
            "examples": ["2026-11-02"],
        })
    }
}
