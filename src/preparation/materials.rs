//! Usual packs, waste and working rates. All are common practice, no published source; packs and rates of the scenario replace them.

use crate::scenario::model::{Material, SiteWork, Walk};
use crate::units::{FLUID_OUNCE, FT3};
pub(super) use crate::units::{FOOT as FT, FT2, GALLON};

/// A material as it is bought.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pack {
    /// What one pack holds, makes, covers or serves \[m3, m2 or m\].
    pub holds: f64,
    /// Share bought on top.
    pub waste: f64,
    /// Price of a pack; `None` where the scenario gives none.
    pub price: Option<f64>,
}

/// What is bought on top where something is spilt or left in the tube.
const LITTLE: f64 = 0.05;
/// The same where shapes vary.
const SOME: f64 = 0.1;

fn usual(material: Material) -> (&'static str, f64, f64) {
    use Material as M;
    match material {
        M::CrackFiller => ("tube of crack filler", 8.6 * FLUID_OUNCE, SOME),
        M::JointSealer => ("cartridge of joint sealer", 10.1 * FLUID_OUNCE, SOME),
        M::BackerRod => ("roll of foam rod", 100.0 * FT, LITTLE),
        M::PatchingMix => ("bag of patching mix", 0.4 * FT3, SOME),
        M::EtchSolution => ("container of etch solution", GALLON, SOME),
        M::Neutraliser => ("pack of neutralizer", 500.0 * FT2, LITTLE),
        M::Degreaser => ("container of degreaser", GALLON, SOME),
        M::Stripper => ("container of stripper", GALLON, SOME),
        M::RinseWater => ("tank of water", 100.0 * GALLON, 0.0),
        M::Sheeting => ("roll of sheeting", 1000.0 * FT2, SOME),
        M::Tape => ("roll of tape", 180.0 * FT, SOME),
        M::GrindingDiscs => ("set of grinding discs", 5000.0 * FT2, 0.0),
        M::EdgeDiscs => ("disc of a hand grinder", 500.0 * FT, 0.0),
        M::VacuumFilters => ("vacuum filter", 10_000.0 * FT2, 0.0),
        M::SteelShot => ("bag of steel shot", 3000.0 * FT2, 0.0),
        M::ScarifierCutters => ("set of cutters", 2000.0 * FT2, 0.0),
        M::WoodFiller => ("tub of wood filler", GALLON / 4.0, SOME),
        M::SandingDiscs => ("pack of sanding discs", 300.0 * FT2, 0.0),
        M::WireBrushes => ("wire brush", 100.0 * FT2, 0.0),
        M::MetalPrimer => ("can of metal primer", 300.0 * FT2, SOME),
    }
}

/// The name of a pack.
#[must_use]
pub fn name(material: Material) -> &'static str {
    usual(material).0
}

/// The pack of a material: that of the scenario, else the usual one.
#[must_use]
pub fn pack(material: Material, walk: &Walk) -> Pack {
    let (_, holds, waste) = usual(material);
    let choice = walk
        .materials
        .iter()
        .flatten()
        .find(|choice| choice.material == material);
    let Some(choice) = choice else {
        return Pack {
            holds,
            waste,
            price: None,
        };
    };
    let given = choice
        .volume
        .map(|v| v.si())
        .or(choice.area.map(|v| v.si()))
        .or(choice.length.map(|v| v.si()));
    Pack {
        holds: given.unwrap_or(holds),
        waste: choice.waste.map_or(waste, |w| w.si()),
        price: choice.price.map(|p| p.si()),
    }
}

/// Use of materials by floor area or edge, where it does not follow from a shape.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Use {
    /// Etch solution as bought \[m3/m2\]: a gallon on 200 ft2.
    pub etch: f64,
    /// Degreaser \[m3/m2\]: a gallon on 100 ft2 of stain.
    pub degreaser: f64,
    /// Stripper \[m3/m2\]: a gallon on 75 ft2.
    pub stripper: f64,
    /// Water for power washing \[m3/m2\]: 4 gal/min and 800 ft2 an hour.
    pub wash_water: f64,
    /// Water for three rinses after etching \[m3/m2\].
    pub etch_rinse: f64,
    /// Water to rinse degreaser or stripper off \[m3/m2\].
    pub spot_rinse: f64,
    /// Height of sheeting along edges \[m\].
    pub sheet_height: f64,
    /// Width of the strip that a hand grinder takes \[m\].
    pub hand_strip: f64,
    /// Runs of tape along edges: at the top and at the bottom of the sheet.
    pub tape_runs: f64,
}

/// The use reckoned with.
pub const USE: Use = Use {
    etch: GALLON / (200.0 * FT2),
    degreaser: GALLON / (100.0 * FT2),
    stripper: GALLON / (75.0 * FT2),
    wash_water: 4.0 * 60.0 * GALLON / (800.0 * FT2),
    etch_rinse: 15e-3,
    spot_rinse: 5e-3,
    sheet_height: 2.0,
    hand_strip: 0.1,
    tape_runs: 2.0,
};

/// Time in which a crew sets up and clears away for a task \[s\], besides its work.
pub const SETTING_UP: f64 = 15.0 * 60.0;

/// What one person does in an hour \[m2, m or m3\]: that of the scenario, else the usual.
#[must_use]
pub fn rate(work: SiteWork, walk: &Walk) -> f64 {
    let given = walk
        .work_rates
        .iter()
        .flatten()
        .find(|rate| rate.work == work)
        .and_then(|rate| {
            rate.area
                .map(|v| v.si())
                .or(rate.length.map(|v| v.si()))
                .or(rate.volume.map(|v| v.si()))
        });
    given.unwrap_or(match work {
        SiteWork::Masking => 30.0,
        SiteWork::Stripping | SiteWork::CrackFilling => 10.0,
        SiteWork::Degreasing | SiteWork::Grinding | SiteWork::Priming => 20.0,
        SiteWork::PowerWashing => 70.0,
        SiteWork::Etching => 25.0,
        SiteWork::SquaringEdges => 1.5,
        SiteWork::Patching => 0.04,
        SiteWork::JointSealing => 12.0,
        SiteWork::EdgeGrinding => 8.0,
        SiteWork::SpotGrinding => 4.0,
        SiteWork::ShotBlasting => 50.0,
        SiteWork::Scarifying | SiteWork::Sanding => 15.0,
        SiteWork::Vacuuming => 100.0,
        SiteWork::Brushing => 5.0,
    })
}
