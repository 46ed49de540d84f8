//! The scenario as types: what may stand in the file, and nothing else.
//!
//! Quantities are text with a unit, counts and ratios plain numbers, dates `2026-11-02`. A kind is the single key of an object
//! (`{"fan": {...}}`), so that a fault has an exact place. Whatever an installer may not know is an `Option`; what is taken then stands
//! beside it. How a key is described: `keys.rs`.

mod alternatives;
mod coating;
mod document;
mod findings;
mod gear;
mod measure;
mod plan;
mod promised;
mod room;
mod supply;
mod walk;

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use alternatives::{Alternative, Terms};
pub use coating::Coating;
pub use document::DocumentHead;
pub use findings::{
    Broken, CoatingState, Crack, CrackState, Damp, DampState, Delamination, Finding, Joint,
    JointState, OldLayer, Remark, Rust, RustState, Spot, Stain, StainState,
};
pub use gear::{
    Dehumidifier, Desiccant, ExchangeRule, Fan, Gear, Heater, Humidistat, MachineSupply, Opening,
    OutsideAir, Phases, RatingCondition, SecondStage, Shared, Thermostat,
};
pub use measure::Measure;
pub use plan::{OnHand, Plan, USUAL_CONFIDENCE};
pub use room::{
    Building, Construction, DryingMaterial, LivedIn, Part, Partition, People, Room, SteadyMaterial,
    Tent, WetMaterial,
};
pub use supply::{Circuit, Generator, SitePower};
pub use walk::{
    Corner, DoneTask, Dust, FloorArea, Hire, LiftableHold, LiftedHold, Material, MaterialChoice,
    Method, OldCoating, Order, SiteLimits, SiteWork, Substrate, Ventilation, Walk, Wash, Water,
    Wood, WoodKind, WorkRate, WorkingDays, WorkingTime,
};

pub use promised::Promised;

pub use crate::concrete::Aggregate;
use crate::moisture_tests::{HUMIDITY_LIMIT, SAMPLE_LAYER, SHEET_EXPOSURE};

use crate::scenario::keys::{keys, words};
use crate::units::{
    Area, Density, DieselPrice, Duration, Fraction, KerosenePrice, Length, MassFlux, MoneyPerDay,
    MoneyPerEnergy, NaturalGasPrice, Permeance, PropanePrice, RelativeHumidity, Speed, Strength,
    Temperature, TemperatureDifference, VapourResistance, WaterDepth,
};

keys! {
    /// A slab, its room and weather, what "dry" means, and the setups of gear to compare.
    #[schemars(extend("x-section" = true))]
    Scenario {
        /// Where the schema lies, for completion in editors. Not used otherwise.
        #[serde(rename = "$schema")]
        schema: Option<String>,
        /// A name for the job.
        name: String [group "Floor"],
        /// Anything worth remembering.
        note: Option<String> [group "Document"],
        /// Where the building stands and what the weather is like.
        site: Site [group "Place and building"],
        /// The concrete.
        slab: Slab [group "Floor"],
        /// The room above the slab.
        room: Room [group "Place and building"],
        /// The day on which the gear is switched on.
        gear_on: Date [group "Dates and limit"],
        /// The day by which the floor must be ready to coat.
        needed_by: Option<Date> [group "Dates and limit", without "no date" => "setups are compared without a deadline"],
        /// How many days after `gear_on` to stop looking.
        give_up_after: Option<Duration> [group "Dates and limit",
            limit "time limit",
            default GIVE_UP_AFTER => "longer than any plan worth making"
        ],
        /// What the floor must show before it is coated. Every one must be met. The limit is on the coating's data sheet.
        targets: Option<Vec<Target>> [group "Dates and limit",
            least 1, most 8,
            label "target",
            default usual_targets() => "what most floor goods ask for (ASTM F710, from memory)"
        ],
        /// The air of the building in use, in which the floor is tested.
        service: Option<Service> [group "Dates and limit", default Service::default() => ""],
        /// What the coating's data sheet asks for on the day it is laid. For `coatday today` and `coatday readings`.
        coating: Option<Coating> [group "Dates and limit"],
        /// What the schedule assumed when the floor was promised. For `coatday explain` and `coatday report`.
        promised: Option<Promised> [group "Promised"],
        /// What energy, fuel and delay cost.
        prices: Option<Prices> [group "Prices", label "price", default Prices::default() => ""],
        /// Gear to choose from and limits to keep, for `coatday plan`.
        plan: Option<Plan> [group "Gear"],
        /// Other ways to coat the slab than to dry it to the limit. Left out, the usual ones stand beside the setups; an empty list leaves them out.
        alternatives: Option<Vec<Alternative>> [group "Prices", most 12, label "alternative"],
        /// The setups to compare.
        setups: Vec<Setup> [group "Gear", least 1, most 200, label "setup"],
        /// What was found on the walk over the floor, and how it is to be prepared.
        walk: Option<Walk> [group "Walk"],
        /// Who hands the report to whom. For `coatday report`.
        document: Option<DocumentHead> [group "Document"],
    }
}

keys! {
    /// Where the building stands.
    #[schemars(extend("x-section" = true))]
    Site {
        /// Height above sea level. It sets the air pressure.
        elevation: Option<Length> [limit "site elevation", without "that of the place or weather file, else sea level" => ""],
        /// Outdoor air through the season.
        weather: Weather,
        /// What the site has to plug machines into. Without it setups are not checked against it.
        power: Option<SitePower> [without "not checked" => "no setup is checked against it"],
    }
}

/// Outdoor air, one of six ways. A file must lie beside the scenario.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Weather {
    /// Monthly means of a town that the program knows, such as "Tulsa, OK", or of the one nearest to a latitude and longitude, such as
    /// "36.15, -95.99".
    Place(#[schemars(extend("examples" = ["Tulsa, OK", "36.15, -95.99"]))] String),
    /// The same air all the time.
    Constant(ConstantWeather),
    /// Monthly means, January first.
    ByMonth(Box<MonthlyNormals>),
    /// A table with one row per hour.
    HourlyCsv(WeatherFile),
    /// An EPW weather file.
    Epw(WeatherFile),
    /// A TMY3 weather file.
    #[serde(rename = "tmy3_csv")]
    Tmy3Csv(WeatherFile),
}

keys! {
    /// The same outdoor air all the time.
    #[schemars(extend("x-section" = true))]
    ConstantWeather {
        /// Air temperature.
        temperature: Temperature [limit "outdoor temperature"],
        /// Relative humidity.
        relative_humidity: RelativeHumidity [limit "outdoor relative humidity"],
        /// Wind speed.
        wind_speed: Option<Speed> [
            limit "wind speed",
            default Speed::from_si(crate::weather::ASSUMED.wind_speed) => "a moderate mean inland (common practice, no published source)"
        ],
    }
}

keys! {
    /// Monthly means, January first. Give `relative_humidity` or `dew_point`, not both.
    #[schemars(extend("x-section" = true))]
    #[schemars(extend("x-one-of" = ["relative_humidity", "dew_point"]))]
    MonthlyNormals {
        /// Mean air temperature of each month.
        mean_temperature: [Temperature; 12] [limit "outdoor temperature"],
        /// Mean difference between the warmest and the coldest hour of a day, the same for all months.
        daily_swing: Option<TemperatureDifference> [
            limit "daily temperature swing",
            default TemperatureDifference::of(10.0, "K") => "common practice, no published source"
        ],
        /// Mean relative humidity of each month.
        relative_humidity: Option<[RelativeHumidity; 12]> [limit "outdoor relative humidity"],
        /// Mean dew point of each month.
        dew_point: Option<[Temperature; 12]> [limit "outdoor dew point"],
        /// Wind speed.
        wind_speed: Option<Speed> [
            limit "wind speed",
            default Speed::from_si(crate::weather::ASSUMED.wind_speed) => "a moderate mean inland (common practice, no published source)"
        ],
    }
}

keys! {
    /// A weather file beside the scenario.
    WeatherFile {
        /// Its path, seen from the scenario's folder.
        file: String,
    }
}

keys! {
    /// The concrete slab.
    #[schemars(extend("x-section" = true))]
    Slab {
        /// Floor area.
        area: Area [limit "slab area"],
        /// Thickness.
        thickness: Length [limit "slab thickness"],
        /// Mass of water per mass of cement in the mix.
        water_cement_ratio: Option<f64> [
            limit "water-cement ratio",
            label "water-cement ratio",
            derived "from the ticket's water and cement, else from the strength, else usual for floor concrete (common practice, no published source)"
        ],
        /// Water in the mix as on the ticket, with ice, the free water of the aggregate and what was added on site; it stands beside
        /// `cement_content`.
        mixing_water: Option<Density> [limit "mixing water"],
        /// Specified compressive strength at 28 days, for when the water-cement ratio is not known. A mix is designed well above it.
        strength: Option<Strength> [limit "compressive strength", note "used only where neither the water-cement ratio nor the ticket is given"],
        /// Whether air was entrained, which takes a lower water-cement ratio for the same strength.
        air: Option<Air> [with strength, default Air::NotEntrained => "usual under a steel-troweled finish (ACI 302, from memory)"],
        /// Cement in the mix, with slag and fly ash.
        cement_content: Option<Density> [limit "cement content", derived "from the water-cement ratio and the usual mixing water"],
        /// Share of slag in the cement.
        slag: Option<Fraction> [limit "share of slag"],
        /// Share of fly ash in the cement.
        fly_ash: Option<Fraction> [limit "share of fly ash"],
        /// Its stone.
        aggregate: Option<Aggregate> [default Aggregate::NormalWeight => "usual"],
        /// The day the concrete was placed.
        placed: Date,
        /// How it was cured.
        curing: Option<Curing> [
            default Curing::Wet(WetCuring { lasts: WET_CURING }) => "the usual time for ordinary cement (ACI 308, from memory)"
        ],
        /// How the top was finished.
        finish: Option<Finish> [default Finish::SteelTrowelled => "usual under a coating (common practice, no published source)"],
        /// Vapor resistance of the top skin. It replaces the one that goes with `finish`.
        surface_resistance: Option<VapourResistance> [limit "surface resistance", note "replaces the one that goes with the finish"],
        /// A later preparation that opens the top.
        prepared: Option<Preparation>,
        /// What lies under the slab.
        underside: Option<Underside> [default Underside::Sealed => "usual"],
        /// Temperature of the ground below, for slabs on ground.
        ground_temperature: Option<Temperature> [limit "ground temperature", without "the mean of the weather over the year" => ""],
        /// Times at which water came or will come onto the floor.
        wettings: Option<Vec<Wetting>> [most 1000, label "wetting"],
    }
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

keys! {
    /// Curing under water or wet cloth.
    WetCuring {
        /// For how long.
        lasts: Duration [limit "curing time"],
    }
}

keys! {
    /// Curing under a sheet.
    SheetCuring {
        /// For how long.
        lasts: Duration [limit "curing time"],
        /// Vapor resistance of the sheet.
        resistance: Option<VapourResistance> [limit "curing layer resistance", without "tight" => ""],
    }
}

keys! {
    /// Curing under a sprayed film.
    CuringCompound {
        /// Vapor resistance of the film.
        resistance: Option<VapourResistance> [
            limit "curing layer resistance",
            default VapourResistance::of(10.0, "GPa s m2/kg") => "from memory"
        ],
    }
}

words! {
    /// Entrained air.
    Air {
        /// None but what every mix has.
        NotEntrained "not entrained",
        /// By an admixture, against frost.
        Entrained,
    }
}

words! {
    /// The state of the top.
    Finish {
        /// Floated.
        Floated,
        /// Steel-troweled.
        SteelTrowelled "steel-troweled",
        /// Ground.
        Ground,
        /// Shot-blasted.
        ShotBlasted "shot-blasted",
    }
}

keys! {
    /// A preparation of the top after it has hardened.
    Preparation {
        /// The day it is done.
        date: Date,
        /// The finish it leaves.
        leaves: Finish,
    }
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

keys! {
    /// A vapor retarder under the slab.
    VapourRetarder {
        /// Its permeance.
        permeance: Option<Permeance> [
            limit "vapor retarder permeance",
            default Permeance::from_si(5.72e-12) => "0.1 perm, the usual class for floors (ASTM E1745, from memory)"
        ],
    }
}

keys! {
    /// A steel deck left in place.
    MetalDeck {
        /// Open share of the deck.
        open_share: Option<Fraction> [limit "metal deck open share", default Fraction::of(0.0, "%") => "unvented"],
    }
}

keys! {
    /// Free air under the slab.
    OpenAir {
        /// Its temperature.
        temperature: Temperature [limit "air temperature"],
        /// Its relative humidity.
        relative_humidity: RelativeHumidity [limit "relative humidity of air"],
    }
}

keys! {
    /// Water on the floor. Give `water_depth` or `lasts`, not both.
    #[schemars(extend("x-one-of" = ["water_depth", "lasts"]))]
    Wetting {
        /// The day.
        date: Date,
        /// Where the water came from.
        kind: WettingKind,
        /// Depth of water left lying, which then dries away.
        water_depth: Option<WaterDepth> [limit "water depth"],
        /// Time for which the floor is kept wet.
        lasts: Option<Duration> [limit "wetting time"],
    }
}

words! {
    /// Where water on the floor came from.
    WettingKind {
        /// Rain or snow.
        Rain,
        /// Washing down.
        Washing,
        /// Rinsing after acid etching.
        EtchRinse,
    }
}

keys! {
    /// The air of the building in use. Moisture tests are read after the floor has been in it for 48 h (ASTM F1869 and F2170).
    #[derive(Default)]
    #[schemars(extend("x-section" = true))]
    Service {
        /// Its temperature.
        temperature: Option<Temperature> [
            limit "service temperature",
            default Temperature::of(73.0, "degF") => "a heated building, within what ASTM F1869 and F2170 allow where the use is not known"
        ],
        /// Its relative humidity.
        relative_humidity: Option<RelativeHumidity> [
            limit "service relative humidity",
            default RelativeHumidity::of(50.0, "%") => "the middle of what ASTM F1869 and F2170 allow where the use is not known"
        ],
    }
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

keys! {
    /// Relative humidity by a probe in a hole.
    HumidityAtDepth {
        /// At most this.
        limit: RelativeHumidity [limit "humidity limit in the slab"],
        /// Depth over thickness.
        depth_fraction: Option<f64> [
            limit "depth fraction",
            derived "0.4 of the thickness, or 0.2 if the slab dries from both sides (ASTM F2170)"
        ],
    }
}

keys! {
    /// Relative humidity under a tight cover.
    EquilibriumHumidity {
        /// At most this.
        limit: RelativeHumidity [limit "humidity limit in the slab"],
    }
}

keys! {
    /// Emission rate by a dish test.
    EmissionRate {
        /// At most this.
        limit: MassFlux [limit "emission limit"],
    }
}

keys! {
    /// Water leaving the bare surface.
    SurfaceFlux {
        /// At most this.
        limit: MassFlux [limit "emission limit"],
    }
}

keys! {
    /// Water in the top layer as a share of its dry mass.
    MassPercent {
        /// At most this.
        limit: Fraction [limit "mass percent limit"],
        /// Thickness of the layer that is sampled.
        layer: Option<Length> [limit "sampled layer", default Length::from_si(SAMPLE_LAYER) => "usual"],
    }
}

keys! {
    /// No water under a plastic sheet; it shows presence only, never a rate.
    PlasticSheet {
        /// How long it lies.
        lasts: Option<Duration> [
            limit "time under a plastic sheet",
            default Duration::from_si(SHEET_EXPOSURE) => "the least that the standard asks for"
        ],
    }
}

keys! {
    /// What energy, fuel and delay cost. What is not given is not counted, and the results say so. All in one currency.
    #[derive(Default)]
    #[schemars(extend("x-section" = true))]
    Prices {
        /// Electricity.
        electricity: Option<MoneyPerEnergy> [limit "price of electricity", without "none" => "costs leave it out"],
        /// Propane, per volume or per gross heat.
        propane: Option<PropanePrice> [limit "price of propane", without "none" => "costs leave it out"],
        /// Natural gas, per volume or per gross heat.
        natural_gas: Option<NaturalGasPrice> [limit "price of natural gas", without "none" => "costs leave it out"],
        /// Kerosene, per volume or per gross heat.
        kerosene: Option<KerosenePrice> [limit "price of kerosene", without "none" => "costs leave it out"],
        /// Diesel or heating oil, per volume or per gross heat.
        diesel: Option<DieselPrice> [limit "price of diesel", without "none" => "costs leave it out"],
        /// What each day costs in which the floor is not ready: site costs, penalties.
        day_of_delay: Option<MoneyPerDay> [limit "price of a day of delay", without "none" => "costs leave it out"],
    }
}

/// How long to go on looking.
pub(crate) const GIVE_UP_AFTER: Duration = Duration::of(365.0, "days");
/// How long floors are kept wet at first.
pub(crate) const WET_CURING: Duration = Duration::of(7.0, "days");

/// The targets where none are given.
pub(crate) fn usual_targets() -> Vec<Target> {
    vec![Target::RelativeHumidityAtDepth(HumidityAtDepth {
        limit: RelativeHumidity::from_si(HUMIDITY_LIMIT),
        depth_fraction: None,
    })]
}

keys! {
    /// One choice of gear.
    Setup {
        /// A short name, its own among the setups.
        name: String,
        /// Anything worth remembering.
        note: Option<String>,
        /// The machines; an empty list is the room left to itself.
        gear: Vec<Gear> [most 100],
    }
}
