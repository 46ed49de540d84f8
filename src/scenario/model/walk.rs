//! The walk over the floor: areas, findings, and how the preparation is to be done.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::findings::Finding;
use crate::scenario::Moment;
use crate::scenario::keys::{keys, words};
use crate::units::{Area, Fraction, Length, Money, MoneyPerDay, Power, Volume, WaterDepth};

keys! {
    /// What was found on the walk, and how the floor is to be prepared.
    #[schemars(extend("x-section" = true))]
    Walk {
        /// The areas of the floor. Concrete areas are parts of the scenario's slab.
        areas: Vec<FloorArea> [least 1, most 200, label "area"],
        /// What was found.
        findings: Option<Vec<Finding>> [most 20_000, counted],
        /// A table of more findings, one a line, beside the scenario.
        findings_csv: Option<String>,
        /// Concrete surface profile class (CSP) that the product sheet asks for.
        wanted_profile: Option<u32> [
            limit "surface profile class",
            label "surface profile wanted (CSP)",
            default 3 => "for a thin resin coating (common practice, no published source); the product sheet decides"
        ],
        /// How the concrete gets its profile.
        method: Option<Method> [without "the one that fits and leads to the earliest coating day" => ""],
        /// Whether the whole floor is washed.
        wash: Option<Wash> [label "washing", default Wash::None => "usual"],
        /// Whether washing comes before or after the surface is opened.
        order: Option<Order> [default Order::WashFirst => "usual"],
        /// What is done about an old coating.
        old_coating: Option<OldCoating> [default OldCoating::ByMachine => "usual"],
        /// Depth of water that washing or rinsing leaves on the floor after it is vacuumed up.
        water_left: Option<WaterDepth> [
            limit "water left on the floor",
            label "water left by washing",
            default WaterDepth::of(1.0, "mm") => "what a wet vacuum leaves (common practice, no published source)"
        ],
        /// What the site allows.
        site: Option<SiteLimits> [default SiteLimits::default() => ""],
        /// First day of the work.
        preparation_starts: Option<Date> [derived "the day the gear goes on"],
        /// When people work.
        working_time: Option<WorkingTime> [default WorkingTime::default() => ""],
        /// People in a crew.
        crew: Option<u32> [limit "people in a crew", label "people in a crew", default 2 => "common practice, no published source"],
        /// Crews; each takes areas of its own.
        crews: Option<u32> [limit "crews", default 1 => "usual"],
        /// What a person costs, as a price per hour: `45 $/h`.
        labour: Option<MoneyPerDay> [limit "labor price", without "none" => "costs leave it out"],
        /// What the machines for the profile cost to rent.
        hire: Option<Vec<Hire>> [most 10, label "rental"],
        /// Packs, prices and waste of materials that differ from the usual ones.
        materials: Option<Vec<MaterialChoice>> [most 100, label "material"],
        /// Work that goes faster or slower than usual.
        work_rates: Option<Vec<WorkRate>> [most 100, label "one person in an hour"],
        /// Tasks that are done. A wait behind a task counts from the moment it was finished.
        done: Option<Vec<DoneTask>> [most 10_000],
        /// Holds that were lifted, with who lifted them and when. A hold on wood is lifted by its moisture reading instead.
        lifted: Option<Vec<LiftedHold>> [most 1000, label "hold lifted"],
    }
}

keys! {
    /// One area of the floor.
    FloorArea {
        /// A short name, its own among the areas.
        name: String,
        /// What it is made of.
        substrate: Substrate,
        /// Its size.
        size: Option<Area> [limit "floor area", derived "from the outline"],
        /// Length of its edges at walls.
        perimeter: Option<Length> [limit "edge length", label "edges", derived "from the outline, else that of a square"],
        /// Its corners in order, on the plan's axes.
        outline: Option<Vec<Corner>> [least 3, most 200, counted],
        /// Anything worth remembering.
        note: Option<String>,
    }
}

keys! {
    /// A corner of an outline.
    Corner {
        /// To the right.
        x: Length [limit "position on the plan"],
        /// Upward on the plan.
        y: Length [limit "position on the plan"],
    }
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

keys! {
    /// A floor of wood. No drying is computed for it.
    Wood {
        /// Boards or plywood.
        kind: Option<WoodKind> [default WoodKind::Plywood => "usual"],
        /// Moisture content as the meter reads it, mass of water over dry mass.
        moisture_content: Option<Fraction> [limit "moisture content of wood", without "not measured" => ""],
        /// The day of that reading.
        measured: Option<Date> [with moisture_content, without "no day" => "nobody knows how old the reading is"],
        /// Highest moisture content that the product sheet allows.
        moisture_limit: Option<Fraction> [
            limit "moisture content of wood",
            label "moisture content allowed",
            default Fraction::of(12.0, "%") => "common practice, no published source; the product sheet decides"
        ],
    }
}

words! {
    /// Kinds of wood floor.
    WoodKind {
        /// Plywood.
        Plywood,
        /// Old, dry plywood, which soaks up more coats.
        OldDryPlywood "old, dry plywood",
        /// Boards.
        Boards,
    }
}

words! {
    /// Ways to give concrete its profile.
    Method {
        /// Diamond grinding with a shrouded machine on a vacuum.
        VacuumGrinding,
        /// Blasting with steel shot in a closed head.
        ShotBlasting,
        /// Cutting with a drum of loose cutters.
        Scarifying,
        /// Acid, neutralized and rinsed off.
        ChemicalEtch,
    }
}

keys! {
    /// The rental of the machines of one method.
    Hire {
        /// The method.
        method: Method,
        /// Rent from the first to the last day on which it is used, with its vacuum and edge tools: each rate for the time it is charged by.
        /// The cheapest combination counts.
        rent: Vec<MoneyPerDay> [least 1, most 4, limit "price per day", label "rate"],
    }
}

words! {
    /// Washing of the whole floor.
    Wash {
        /// Not at all.
        None,
        /// With a power washer.
        PowerWash,
    }
}

words! {
    /// Order of washing and opening the surface.
    Order {
        /// Washed first, as early as can be.
        WashFirst "washed before the surface is opened",
        /// The profile first, washed last.
        WashLast "washed after the surface is opened",
    }
}

words! {
    /// What is done about an old coating.
    OldCoating {
        /// The machine that gives the profile takes it off.
        ByMachine "off by machine",
        /// A stripper takes it off first.
        ByStripper "off by stripper",
    }
}

keys! {
    /// What the site allows. What is not given is allowed.
    #[derive(Default)]
    #[schemars(extend("x-section" = true))]
    SiteLimits {
        /// How much dust.
        dust: Option<Dust> [label "dust allowed", default Dust::WithVacuum => "usual"],
        /// Whether fumes can be carried off.
        ventilation: Option<Ventilation> [default Ventilation::Good => "usual"],
        /// Whether water can be used and taken away.
        water: Option<Water> [default Water::Allowed => "usual"],
        /// Electric power at the floor for one machine.
        power: Option<Power> [limit "electrical power", label "power for one machine", without "enough" => ""],
    }
}

words! {
    /// How much dust the site allows.
    Dust {
        /// None: wet work only.
        None,
        /// What a vacuum with a fine filter lets by.
        WithVacuum "what a vacuum lets by",
        /// Any, with people kept away.
        Any,
    }
}

words! {
    /// Whether fumes can be carried off.
    Ventilation {
        /// Open doors or fans to the outside.
        Good,
        /// Neither.
        Poor,
    }
}

words! {
    /// Whether water can be used.
    Water {
        /// It can be used, caught and taken away.
        Allowed,
        /// It cannot.
        NotAllowed,
    }
}

keys! {
    /// When people work.
    #[derive(Default)]
    #[schemars(extend("x-section" = true))]
    WorkingTime {
        /// Hour of the day at which work begins.
        from: Option<f64> [limit "hour of the day", default 7.0 => "common practice, no published source"],
        /// Hour of the day at which it ends.
        to: Option<f64> [limit "hour of the day", default 15.5 => "common practice, no published source"],
        /// Days of the week.
        days: Option<WorkingDays> [default WorkingDays::MondayToFriday => "usual"],
        /// Days on which nobody works.
        days_off: Option<Vec<Date>> [most 400, counted],
    }
}

words! {
    /// Days of the week on which people work.
    WorkingDays {
        /// Five days.
        MondayToFriday "Monday to Friday",
        /// Six days.
        MondayToSaturday "Monday to Saturday",
        /// Seven days.
        EveryDay,
    }
}

words! {
    /// A material on the shopping list.
    Material {
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
        /// Neutralizer after etching; a pack serves an area.
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
}

keys! {
    /// A material with other packs, price or waste than usual.
    MaterialChoice {
        /// Which.
        material: Material,
        /// What one pack holds or makes, for materials counted by volume.
        volume: Option<Volume> [limit "volume of a pack"],
        /// What one pack covers, for materials counted by area.
        area: Option<Area> [limit "area of a pack"],
        /// What one pack reaches for, for materials counted by length.
        length: Option<Length> [limit "length of a pack"],
        /// Price of one pack.
        price: Option<Money> [limit "price of a pack"],
        /// Share bought on top for waste. Default: by material.
        waste: Option<Fraction> [limit "waste"],
    }
}

words! {
    /// A kind of work.
    SiteWork {
        /// Masking walls and goods, by length of edge.
        Masking,
        /// Stripping an old coating, by area.
        Stripping,
        /// Degreasing stains, by area.
        Degreasing,
        /// Power washing, by area.
        PowerWashing,
        /// Etching, neutralizing and rinsing, by area.
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
}

keys! {
    /// What one person does in an hour. Give the key that goes with the work: `area`, `length` or `volume`.
    WorkRate {
        /// Which.
        work: SiteWork,
        /// Area done by one person in an hour.
        area: Option<Area> [limit "area done in an hour"],
        /// Length done by one person in an hour.
        length: Option<Length> [limit "length done in an hour"],
        /// Volume placed by one person in an hour.
        volume: Option<Volume> [limit "volume done in an hour"],
    }
}

keys! {
    /// A task that is done.
    DoneTask {
        /// The task, as `coatday prep` prints it.
        task: String,
        /// Its area, by name.
        area: String,
        /// When it was finished.
        finished: Moment,
    }
}

keys! {
    /// A hold that somebody with the say has lifted.
    LiftedHold {
        /// What holds the coating.
        hold: LiftableHold,
        /// The area in which it holds, by name.
        area: String,
        /// The finding, by its number in `coatday prep`. Needed where the same hold rests on more than one finding of the area.
        finding: Option<u32> [limit "number of a finding"],
        /// Who lifted it: a name or a role.
        by: String,
        /// The day it was lifted.
        on: Date,
        /// What was decided.
        note: Option<String>,
    }
}

words! {
    /// Holds that a decision lifts.
    LiftableHold {
        /// A crack that moves.
        MovingCrack,
        /// A structural crack.
        StructuralCrack,
        /// A sign of damp.
        Damp "sign of damp",
        /// Metal with holes, or weak to the touch.
        FailingMetal,
    }
}
