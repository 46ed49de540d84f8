//! The walk over the floor: areas, findings, and how the preparation is to be done.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::DateText;
use super::findings::Finding;
use crate::units::{Area, Fraction, Length, Money, MoneyPerDay, Power, Volume, WaterDepth};

/// What was found on the walk, and how the floor is to be prepared.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Walk {
    /// The areas of the floor. Concrete areas are parts of the scenario's slab.
    #[schemars(extend("minItems" = 1, "maxItems" = 200))]
    pub areas: Vec<FloorArea>,
    /// What was found.
    #[schemars(extend("maxItems" = 20_000))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub findings: Option<Vec<Finding>>,
    /// A table of more findings, one a line, looked for beside the scenario.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub findings_csv: Option<String>,
    /// Concrete surface profile class (CSP) that the product sheet asks for. Default 3.
    #[schemars(extend("x-limit" = "surface profile class"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wanted_profile: Option<u32>,
    /// How the concrete gets its profile. Default: the one that fits and leads to the earliest coating day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub method: Option<Method>,
    /// Whether the whole floor is washed. Default: no.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wash: Option<Wash>,
    /// Whether washing comes before or after the face is opened. Default: before.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub order: Option<Order>,
    /// What is done about an old coating. Default: removed by the machine that gives the profile.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub old_coating: Option<OldCoating>,
    /// Depth of water that washing or rinsing leaves on the floor after it is vacuumed up. Default 1 mm.
    #[schemars(extend("x-limit" = "water left on the floor"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water_left: Option<WaterDepth>,
    /// What the site allows.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub site: Option<SiteLimits>,
    /// First day of the work. Default: the day drying starts.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<DateText>")]
    pub preparation_starts: Option<Date>,
    /// When people work. Default: Monday to Friday, 7 to 15.5 h.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub working_time: Option<WorkingTime>,
    /// People in a crew. Default 2.
    #[schemars(extend("x-limit" = "people in a crew"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crew: Option<u32>,
    /// Crews; each takes areas of its own. Default 1.
    #[schemars(extend("x-limit" = "crews"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crews: Option<u32>,
    /// What a person costs, as a price per hour: `45 $/h`.
    #[schemars(extend("x-limit" = "labour price"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub labour: Option<MoneyPerDay>,
    /// What the machines for the profile cost to hire.
    #[schemars(extend("maxItems" = 10))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hire: Option<Vec<Hire>>,
    /// Packs, prices and waste of materials that differ from the usual ones.
    #[schemars(extend("maxItems" = 100))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub materials: Option<Vec<MaterialChoice>>,
    /// Work that goes faster or slower than usual.
    #[schemars(extend("maxItems" = 100))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub work_rates: Option<Vec<WorkRate>>,
}

/// One area of the floor.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FloorArea {
    /// A short name, its own among the areas.
    pub name: String,
    /// What it is made of.
    pub substrate: Substrate,
    /// Its size. Default: from the outline.
    #[schemars(extend("x-limit" = "floor area"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub size: Option<Area>,
    /// Length of its edges at walls. Default: from the outline, else that of a square.
    #[schemars(extend("x-limit" = "edge length"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub perimeter: Option<Length>,
    /// Its corners in order, on the plan's axes.
    #[schemars(extend("minItems" = 3, "maxItems" = 200))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outline: Option<Vec<Corner>>,
    /// Anything worth remembering.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// A corner of an outline.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Corner {
    /// To the right.
    #[schemars(extend("x-limit" = "position on the plan"))]
    pub x: Length,
    /// Upward on the plan.
    #[schemars(extend("x-limit" = "position on the plan"))]
    pub y: Length,
}

/// What an area is made of.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Substrate {
    /// Concrete: a part of the scenario's slab.
    Concrete,
    /// Wood.
    Wood(Wood),
    /// Metal.
    Metal,
}

/// A floor of wood. No drying is computed for it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Wood {
    /// Boards or plywood. Default: plywood.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kind: Option<WoodKind>,
    /// Moisture content as the meter reads it, mass of water over dry mass.
    #[schemars(extend("x-limit" = "moisture content of wood"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub moisture_content: Option<Fraction>,
    /// Highest moisture content that the product sheet allows. Default 12 %.
    #[schemars(extend("x-limit" = "moisture content of wood"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub moisture_limit: Option<Fraction>,
}

/// Kinds of wood floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum WoodKind {
    /// Plywood.
    Plywood,
    /// Old, dry plywood, which drinks more coats.
    OldDryPlywood,
    /// Boards.
    Boards,
}

/// Ways to give concrete its profile.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Method {
    /// Diamond grinding with a shrouded machine on a vacuum.
    VacuumGrinding,
    /// Blasting with steel shot in a closed head.
    ShotBlasting,
    /// Cutting with a drum of loose cutters.
    Scarifying,
    /// Acid, neutralised and rinsed off.
    ChemicalEtch,
}

/// The hire of the machines of one method.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Hire {
    /// The method.
    pub method: Method,
    /// Price for each day from the first to the last on which it is used, with its vacuum and edge tools.
    #[schemars(extend("x-limit" = "price per day"))]
    pub price_per_day: MoneyPerDay,
}

/// Washing of the whole floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Wash {
    /// Not at all.
    None,
    /// With a power washer.
    PowerWash,
}

/// Order of washing and opening the face.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Order {
    /// Washed first, as early as can be.
    WashFirst,
    /// The profile first, washed last.
    WashLast,
}

/// What is done about an old coating.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum OldCoating {
    /// The machine that gives the profile takes it off.
    ByMachine,
    /// A stripper takes it off first.
    ByStripper,
}

/// What the site allows. What is not given is allowed.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SiteLimits {
    /// How much dust. Default: with a vacuum.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dust: Option<Dust>,
    /// Whether fumes can be carried off. Default: yes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ventilation: Option<Ventilation>,
    /// Whether water can be used and taken away. Default: yes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water: Option<Water>,
    /// Electric power at the floor for one machine. Default: enough.
    #[schemars(extend("x-limit" = "electrical power"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub power: Option<Power>,
}

/// How much dust the site allows.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Dust {
    /// None: wet work only.
    None,
    /// What a vacuum with a fine filter lets by.
    WithVacuum,
    /// Any, with people kept away.
    Any,
}

/// Whether fumes can be carried off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Ventilation {
    /// Open doors or fans to the outside.
    Good,
    /// Neither.
    Poor,
}

/// Whether water can be used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Water {
    /// It can be used, caught and taken away.
    Allowed,
    /// It cannot.
    NotAllowed,
}

/// When people work.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WorkingTime {
    /// Hour of the day at which work begins. Default 7.
    #[schemars(extend("x-limit" = "hour of the day"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<f64>,
    /// Hour of the day at which it ends. Default 15.5.
    #[schemars(extend("x-limit" = "hour of the day"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to: Option<f64>,
    /// Days of the week. Default: Monday to Friday.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub days: Option<WorkingDays>,
    /// Days on which nobody works.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<Vec<DateText>>", extend("maxItems" = 400))]
    pub days_off: Option<Vec<Date>>,
}

/// Days of the week on which people work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum WorkingDays {
    /// Five days.
    MondayToFriday,
    /// Six days.
    MondayToSaturday,
    /// Seven days.
    EveryDay,
}

/// A material on the shopping list.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Material {
    /// Stiff filler for cracks that do not move, in tubes; a pack holds a volume.
    CrackFiller,
    /// Flexible sealer for joints, in cartridges; a pack holds a volume.
    JointSealer,
    /// Foam rod behind the sealer of joints that move; a pack holds a length.
    BackerRod,
    /// Patching mix, in bags; a pack makes a volume.
    PatchingMix,
    /// Acid for etching, as bought; a pack holds a volume.
    EtchSolution,
    /// Neutraliser after etching; a pack serves an area.
    Neutraliser,
    /// Degreaser, as bought; a pack holds a volume.
    Degreaser,
    /// Stripper for old coatings, wax and varnish; a pack holds a volume.
    Stripper,
    /// Rinse and wash water; a pack holds a volume.
    RinseWater,
    /// Plastic sheeting for walls and goods; a pack covers an area.
    Sheeting,
    /// Masking tape; a pack holds a length.
    Tape,
    /// A set of diamond discs; it serves an area.
    GrindingDiscs,
    /// Discs of the edge grinder; one serves a length.
    EdgeDiscs,
    /// Fine filters of the vacuum; one serves an area.
    VacuumFilters,
    /// Steel shot, used up; a pack serves an area.
    SteelShot,
    /// A set of cutters; it serves an area.
    ScarifierCutters,
    /// Filler for wood; a pack holds a volume.
    WoodFiller,
    /// Sanding discs for wood; a pack serves an area.
    SandingDiscs,
    /// Wire brushes for metal; one serves an area.
    WireBrushes,
    /// Primer for metal; a pack covers an area.
    MetalPrimer,
}

/// A material with other packs, price or waste than usual.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MaterialChoice {
    /// Which.
    pub material: Material,
    /// What one pack holds or makes, for materials counted by volume.
    #[schemars(extend("x-limit" = "volume of a pack"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub volume: Option<Volume>,
    /// What one pack covers, for materials counted by area.
    #[schemars(extend("x-limit" = "area of a pack"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub area: Option<Area>,
    /// What one pack reaches for, for materials counted by length.
    #[schemars(extend("x-limit" = "length of a pack"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub length: Option<Length>,
    /// Price of one pack.
    #[schemars(extend("x-limit" = "price of a pack"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub price: Option<Money>,
    /// Share bought on top for waste. Default: by material.
    #[schemars(extend("x-limit" = "waste"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub waste: Option<Fraction>,
}

/// A kind of work.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum SiteWork {
    /// Masking walls and goods, by length of edge.
    Masking,
    /// Stripping an old coating, by area.
    Stripping,
    /// Degreasing stains, by area.
    Degreasing,
    /// Power washing, by area.
    PowerWashing,
    /// Etching, neutralising and rinsing, by area.
    Etching,
    /// Squaring the edges of broken areas, by area.
    SquaringEdges,
    /// Patching, by volume.
    Patching,
    /// Cleaning and filling cracks, by length.
    CrackFilling,
    /// Cleaning and sealing joints, by length.
    JointSealing,
    /// Grinding with the floor machine, by area.
    Grinding,
    /// Grinding along edges by hand, by length.
    EdgeGrinding,
    /// Grinding high spots and patches flush by hand, by area.
    SpotGrinding,
    /// Shot blasting, by area.
    ShotBlasting,
    /// Scarifying, by area.
    Scarifying,
    /// Vacuuming the floor, by area.
    Vacuuming,
    /// Sanding wood, by area.
    Sanding,
    /// Brushing metal, by area.
    Brushing,
    /// Priming metal, by area.
    Priming,
}

/// What one person does in an hour. Give the key that goes with the work: `area`, `length` or `volume`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WorkRate {
    /// Which.
    pub work: SiteWork,
    /// Area done by one person in an hour.
    #[schemars(extend("x-limit" = "area done in an hour"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub area: Option<Area>,
    /// Length done by one person in an hour.
    #[schemars(extend("x-limit" = "length done in an hour"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub length: Option<Length>,
    /// Volume placed by one person in an hour.
    #[schemars(extend("x-limit" = "volume done in an hour"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub volume: Option<Volume>,
}
