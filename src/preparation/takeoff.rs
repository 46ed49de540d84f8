//! Quantities from shapes: what to buy, in whole packs, and batches of patching mix.
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | V | volume of cracks and joints, length x width x depth, overfilled by [`super::rules::OVERFILL`] | m3 |
//! | n | packs, the least whole number with n p >= q (1 + w) | |
//! | q, w, p | need, waste, content of a pack | m3, m2 or m |
//!
//! Valid for shapes that are boxes or, for low spots, paraboloids, which hold half their box. Accuracy: cases worked by hand in `tests/it/preparation/takeoff.rs`.

use std::collections::BTreeMap;

use super::materials::{self, GALLON, Pack, USE};
use super::methods::Facts;
use super::repairs::{Patch, Repairs};
use super::rules::{BATCH_TIME, OVERFILL, PATCH_LAYER, TUBE_COVERS};
use super::survey::{Ground, Survey};
use crate::scenario::model::Measure;
use crate::scenario::model::{Material, Method, SiteWork, Walk, Wash};
use crate::units::format::{Said, Shown, range_of};
use crate::units::{Kind, System};

/// Rounding of a division that must not buy one more pack.
const ROUNDING: f64 = 1e-9;

/// One line of the shopping list.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What.
    pub material: Material,
    /// Need without waste \[m3, m2 or m\].
    pub need: f64,
    /// Its pack.
    pub pack: Pack,
    /// Packs to buy.
    pub packs: u64,
    /// Their price, if one is given.
    pub cost: Option<f64>,
    /// How the need was reckoned, and the rule of the trade beside it.
    pub basis: Said,
}

/// Whole packs for a need.
#[must_use]
pub fn packs(need: f64, pack: &Pack) -> u64 {
    let wanted = need * (1.0 + pack.waste) / pack.holds;
    if wanted.is_finite() && wanted > 0.0 {
        (wanted - ROUNDING).ceil().max(1.0) as u64
    } else {
        0
    }
}

/// One pass of patching: a layer of every patch that is that deep.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pass {
    /// From 1, the lowest.
    pub layer: usize,
    /// Volume of this layer in all patches \[m3\].
    pub volume: f64,
    /// Batches it is made in.
    pub batches: u64,
    /// Volume of one batch \[m3\].
    pub batch: f64,
    /// Time in which a batch is placed \[s\].
    pub batch_time: f64,
}

/// What is ground by hand: high spots, patches and, where no machine goes over the floor, filled cracks and joints \[m2\].
#[must_use]
pub fn ground_by_hand(r: &Repairs, machine: Option<&Facts>) -> f64 {
    let lines = if machine.is_none() {
        (r.crack_length + r.joint_length) * USE.hand_strip
    } else {
        0.0
    };
    r.high + r.patch_size() + lines
}

/// Layers of patches, from the deepest point up. `placed` is the volume a crew places in a second \[m3/s\].
#[must_use]
pub fn passes(patches: &[Patch], placed: f64) -> Vec<Pass> {
    let mut volumes: Vec<f64> = Vec::new();
    for patch in patches {
        let layers = (patch.deepest / PATCH_LAYER - ROUNDING).ceil().max(1.0) as usize;
        if volumes.len() < layers {
            volumes.resize(layers, 0.0);
        }
        let mut below = 0.0;
        for (layer, volume) in volumes.iter_mut().take(layers).enumerate() {
            let up_to = if layer + 1 == layers {
                patch.size * patch.depth
            } else {
                patch.volume_below((layer + 1) as f64 * PATCH_LAYER)
            };
            *volume += up_to - below;
            below = up_to;
        }
    }
    volumes
        .into_iter()
        .enumerate()
        .map(|(index, volume)| {
            let batches = (volume / (placed * BATCH_TIME) - ROUNDING).ceil().max(1.0);
            let batch = volume / batches;
            Pass {
                layer: index + 1,
                volume,
                batches: batches as u64,
                batch,
                batch_time: batch / placed,
            }
        })
        .collect()
}

/// The shopping list for one way of doing the work.
#[must_use]
pub fn shopping(
    survey: &Survey,
    repairs: &[Repairs],
    method: Option<&Facts>,
    walk: &Walk,
) -> Vec<Line> {
    let mut needs = Needs::default();
    let washed = walk.wash == Some(Wash::PowerWash);
    for (area, r) in survey.areas.iter().zip(repairs) {
        let concrete = area.ground == Ground::Concrete;
        let wood = matches!(area.ground, Ground::Wood { .. });
        needs.add(
            Material::Sheeting,
            area.perimeter * USE.sheet_height,
            "edges x {6.6 ft|2 m} of height",
        );
        needs.add(
            Material::Tape,
            area.perimeter * USE.tape_runs,
            "edges, above and below",
        );
        needs.add(
            if wood {
                Material::WoodFiller
            } else {
                Material::CrackFiller
            },
            r.crack_volume * (1.0 + OVERFILL),
            "length x width x depth, overfilled by a tenth",
        );
        needs.add(
            Material::JointSealer,
            r.joint_volume * (1.0 + OVERFILL),
            "length x width x depth, overfilled by a tenth",
        );
        needs.add(Material::BackerRod, r.rod_length, "length of moving joints");
        needs.add(
            if wood {
                Material::WoodFiller
            } else {
                Material::PatchingMix
            },
            r.patch_volume(),
            "size x depth of patches",
        );
        let degreased = if area.ground == Ground::Metal {
            area.size
        } else {
            r.degrease
        };
        needs.add(
            Material::Degreaser,
            degreased * USE.degreaser,
            "{a gallon on 100 ft2|0.41 L/m2}",
        );
        needs.add(
            Material::Stripper,
            r.strip * USE.stripper,
            "{a gallon on 75 ft2|0.54 L/m2}",
        );
        needs.add(
            Material::RinseWater,
            (degreased + r.strip) * USE.spot_rinse,
            "by area washed and rinsed",
        );
        needs.add(
            Material::VacuumFilters,
            area.size,
            "floor area, vacuumed once",
        );
        if wood {
            needs.add(Material::SandingDiscs, area.size, "floor area");
        }
        if area.ground == Ground::Metal {
            needs.add(Material::WireBrushes, area.size, "floor area");
            needs.add(Material::MetalPrimer, area.size, "floor area, one coat");
        }
        if concrete && washed {
            needs.add(
                Material::RinseWater,
                area.size * USE.wash_water,
                "by area washed and rinsed",
            );
        }
        if !concrete {
            continue;
        }
        let machine = method.filter(|facts| !facts.wets);
        let edges = if method.is_some_and(|facts| facts.leaves_edges) {
            area.perimeter
        } else {
            0.0
        };
        needs.add(
            Material::EdgeDiscs,
            edges + (r.patch_size() + ground_by_hand(r, machine)) / USE.hand_strip,
            "length of edges; squared and ground spots in strips of {4 in|0.1 m}",
        );
        let Some(facts) = method else { continue };
        match facts.method {
            Method::VacuumGrinding => needs.add(Material::GrindingDiscs, area.size, "floor area"),
            Method::ShotBlasting => needs.add(Material::SteelShot, area.size, "floor area"),
            Method::Scarifying => needs.add(Material::ScarifierCutters, area.size, "floor area"),
            Method::ChemicalEtch => {
                needs.add(
                    Material::EtchSolution,
                    area.size * USE.etch,
                    "{a gallon on 200 ft2|0.20 L/m2}, as bought",
                );
                needs.add(Material::Neutraliser, area.size, "floor area");
                needs.add(
                    Material::RinseWater,
                    area.size * USE.etch_rinse,
                    "by area washed and rinsed",
                );
            }
        }
    }
    let wall: f64 = repairs.iter().map(|r| r.crack_wall).sum();
    needs
        .0
        .into_iter()
        .map(|(material, (need, basis))| {
            let pack = materials::pack(material, walk);
            let count = packs(need, &pack);
            let mut basis = basis.to_owned();
            if material == Material::CrackFiller {
                let tubes = |covers: f64| (wall / covers - ROUNDING).ceil().max(1.0);
                let covered = |unit, decimals| {
                    Shown::named(Kind::Area, unit).between(TUBE_COVERS.0, TUBE_COVERS.1, decimals)
                };
                basis.push_str(&format!(
                    ". Rule of the trade: a tube covers {{{}|{}}} of crack wall, {} for these cracks (common practice, no published source)",
                    covered("ft2", 0),
                    covered("m2", 2),
                    range_of(tubes(TUBE_COVERS.1), tubes(TUBE_COVERS.0), "tube")
                ));
            }
            Line {
                material,
                need,
                pack,
                packs: count,
                cost: pack.price.map(|price| price * count as f64),
                basis: Said::both(&basis),
            }
        })
        .collect()
}

#[derive(Default)]
struct Needs(BTreeMap<Material, (f64, &'static str)>);

impl Needs {
    fn add(&mut self, material: Material, amount: f64, basis: &'static str) {
        if amount > 0.0 {
            self.0.entry(material).or_insert((0.0, basis)).0 += amount;
        }
    }
}

/// Volume a crew places in a second \[m3/s\].
#[must_use]
pub fn placing(walk: &Walk) -> f64 {
    materials::rate(SiteWork::Patching, walk) * f64::from(walk.crew()) / crate::units::HOUR
}

/// A quantity of a material.
#[must_use]
pub fn quantity(material: Material, amount: f64, system: System) -> String {
    let us = system != System::Si;
    let (kind, unit, decimals) = match (material.measure(), us) {
        (Measure::Volume, true) if amount < GALLON => (Kind::Volume, "fl oz", 1),
        (Measure::Volume, true) => (Kind::Volume, "gal", 1),
        (Measure::Volume, false) if amount < 1e-3 => (Kind::Volume, "mL", 0),
        (Measure::Volume, false) => (Kind::Volume, "L", 1),
        (Measure::Area, true) => (Kind::Area, "ft2", 0),
        (Measure::Area, false) => (Kind::Area, "m2", 1),
        (Measure::Length, true) => (Kind::Length, "ft", 0),
        (Measure::Length, false) => (Kind::Length, "m", 1),
    };
    Shown::named(kind, unit).fixed_text(amount, decimals)
}
