//! Quantities against cases worked by hand.

use coatday::preparation::materials::{self, Pack};
use coatday::preparation::repairs::Patch;
use coatday::preparation::rules::{BATCH_TIME, PATCH_LAYER};
use coatday::preparation::takeoff::{packs, passes};
use coatday::scenario::model::Material;
use coatday::units::System;
use proptest::prelude::*;
use serde_json::json;

use super::{hall, near, prepared};

fn line(
    prepared: &coatday::preparation::Prepared,
    material: Material,
) -> &coatday::preparation::takeoff::Line {
    prepared
        .way
        .shopping
        .iter()
        .find(|line| line.material == material)
        .unwrap_or_else(|| panic!("{material:?} is not on the list"))
}

/// 12 ft x 1/8 in x 1 in = 144 x 0.125 x 1 = 18 in3; a tenth more is 19.8 in3. A US fluid ounce is 231/128 = 1.8047 in3, so 10.97 fl oz;
/// with 10 % of waste 12.07 fl oz, and tubes of 8.6 fl oz: 1.40, so 2. The wall is 12 ft x 1/12 ft = 1 ft2: by the rule of the trade,
/// 2 to 5 ft2 a tube, 1 tube.
#[test]
fn analytic_crack_filler() {
    let p = prepared(&hall(&json!([
        {"crack": {"area": "Hall", "length": "12 ft", "width": "1/8 in", "depth": "1 in"}}
    ])));
    let filler = line(&p, Material::CrackFiller);
    near(filler.need, 19.8 * 0.0254_f64.powi(3));
    assert_eq!(filler.packs, 2);
    let [us, si] = [System::Us, System::Si].map(|system| crate::plain(filler.basis.of(system)));
    assert!(
        us.contains("a tube covers 2 to 5 ft2 of crack wall"),
        "{us}"
    );
    assert!(
        si.contains("a tube covers 0.19 to 0.46 m2 of crack wall"),
        "{si}"
    );
    for basis in [us, si] {
        assert!(basis.contains("1 tube for these cracks"), "{basis}");
        assert!(
            basis.contains("common practice, no published source"),
            "{basis}"
        );
    }
}

/// The same in tubes of 5.5 fl oz without waste: 10.97 / 5.5 = 1.99, so 2; of 5 fl oz: 2.19, so 3.
#[test]
fn analytic_tubes_of_a_given_content() {
    for (content, tubes) in [("5.5 fl oz", 2), ("5 fl oz", 3)] {
        let mut walk = hall(&json!([
            {"crack": {"area": "Hall", "length": "12 ft", "width": "1/8 in", "depth": "1 in"}}
        ]));
        walk["materials"] = json!([{"material": "crack_filler", "volume": content, "waste": "0 %", "price": "9 $"}]);
        let p = prepared(&walk);
        let filler = line(&p, Material::CrackFiller);
        assert_eq!(filler.packs, tubes, "{content}");
        near(filler.cost.unwrap(), 9.0 * tubes as f64);
    }
}

/// A joint of 30 m x 6 mm x 25 mm holds 4.5 L; overfilled 4.95 L. One that moves needs 30 m of rod, one roll of 100 ft (30.48 m) only
/// without waste; with 5 % it is 31.5 m and two rolls.
#[test]
fn analytic_joint_sealer_and_rod() {
    let p = prepared(&hall(&json!([
        {"joint": {"area": "Hall", "length": "30 m", "width": "6 mm", "depth": "25 mm", "state": "moving"}}
    ])));
    near(line(&p, Material::JointSealer).need, 4.95e-3);
    near(line(&p, Material::BackerRod).need, 30.0);
    assert_eq!(line(&p, Material::BackerRod).packs, 2);
}

/// Two broken areas of 0.5 m2 and 20 mm make 20 L; a bowl of 2 m2 and 10 mm half of its box, 10 L; a crack of 2 m x 20 mm x 30 mm,
/// wider than half an inch, 1.2 L; a hollow part of 1 m2 the usual half inch, 12.7 L. Together 43.9 L.
#[test]
fn analytic_patching_mix() {
    let p = prepared(&hall(&json!([
        {"broken": {"area": "Hall", "size": "0.5 m2", "depth": "20 mm", "count": 2}},
        {"low_spot": {"area": "Hall", "size": "2 m2", "height": "10 mm"}},
        {"crack": {"area": "Hall", "length": "2 m", "width": "20 mm", "depth": "30 mm"}},
        {"delamination": {"area": "Hall", "size": "1 m2"}}
    ])));
    near(line(&p, Material::PatchingMix).need, 43.9e-3);
    let passes = &p.way.tasks.passes[0];
    near(passes.iter().map(|pass| pass.volume).sum(), 43.9e-3);
    // 30 mm in layers of 6.35 mm: five, the last of 4.6 mm in the crack alone.
    assert_eq!(passes.len(), 5);
    near(passes[4].volume, 2.0 * 0.02 * (0.03 - 4.0 * PATCH_LAYER));
    assert!(
        !p.way
            .shopping
            .iter()
            .any(|l| l.material == Material::CrackFiller),
        "a wide crack is patched"
    );
}

/// A bowl of 2 m2 that is 12 mm deep: a paraboloid holds half its box, 12 L. Its middle takes two layers: up to 6.35 mm it holds
/// 12 x (6.35 / 12)^2 = 3.36 L, the rest is 8.64 L.
#[test]
fn analytic_low_spot_in_layers() {
    let p = prepared(&hall(&json!([
        {"low_spot": {"area": "Hall", "size": "2 m2", "height": "12 mm"}}
    ])));
    let passes = &p.way.tasks.passes[0];
    assert_eq!(passes.len(), 2);
    near(passes[0].volume, 12e-3 * (6.35_f64 / 12.0).powi(2));
    near(passes[0].volume + passes[1].volume, 12e-3);
    near(line(&p, Material::PatchingMix).need, 12e-3);
}

/// Etching leaves repairs to the hand grinder: a patch of 0.5 m2 is squared and ground flush, in strips of 0.1 m 10 m; a crack of 3 m and
/// a joint of 6 m are 9 m more and 0.9 m2 of grinding, 1.4 m2 with the patch. A grinder that goes over the floor takes cracks and joints
/// with it; its edges are 40 m.
#[test]
fn analytic_what_is_ground_by_hand() {
    let mut walk = hall(&json!([
        {"broken": {"area": "Hall", "size": "0.5 m2", "depth": "5 mm"}},
        {"crack": {"area": "Hall", "length": "3 m", "width": "2 mm", "depth": "20 mm"}},
        {"joint": {"area": "Hall", "length": "6 m", "width": "6 mm", "depth": "25 mm"}}
    ]));
    let by = |walk: &serde_json::Value| {
        let p = prepared(walk);
        let tasks = p.way.tasks.tasks.iter();
        let spots: f64 = tasks
            .filter(|t| t.name == "Grind high spots and repairs flush")
            .map(|t| t.labour / 3600.0)
            .sum();
        (line(&p, Material::EdgeDiscs).need, spots)
    };
    walk["method"] = json!("chemical_etch");
    let (discs, hours) = by(&walk);
    near(discs, 10.0 + 9.0);
    near(hours, 1.4 / 4.0 + 2.0 * 0.25);
    walk["method"] = json!("vacuum_grinding");
    let (discs, hours) = by(&walk);
    near(discs, 10.0 + 40.0);
    near(hours, 0.5 / 4.0 + 2.0 * 0.25);
}

/// On metal an old coating is stripped, whatever is planned for concrete: 7 m2 at a gallon on 75 ft2 (6.968 m2), with 10 % two.
#[test]
fn analytic_stripper_on_metal() {
    let p = prepared(&json!({
        "areas": [{"name": "Ramp", "substrate": "metal", "size": "10 m2", "perimeter": "15 m"}],
        "findings": [{"coating": {"area": "Ramp", "size": "7 m2", "state": "paint"}}]
    }));
    assert_eq!(line(&p, Material::Stripper).packs, 2);
    assert!(
        p.way
            .tasks
            .tasks
            .iter()
            .any(|t| t.name == "Strip the old layer")
    );
}

/// What etching hires is paid by the day like any machine: 100 m2 at 25 m2 an hour and person are done on one day.
#[test]
fn analytic_hire_for_etching() {
    let mut walk = hall(&json!([]));
    walk["method"] = json!("chemical_etch");
    let p = prepared(&walk);
    assert_eq!((p.way.hire_days, p.way.hire), (0, Some(0.0)));
    walk["hire"] = json!([{"method": "chemical_etch", "rent": ["60 $/day"]}]);
    let p = prepared(&walk);
    assert_eq!(p.way.hire_days, 1);
    near(p.way.hire.unwrap(), 60.0);
    let table = coatday::results::prep::shopping(&p, p.currency, coatday::units::System::Si)
        .text(140, false);
    let table = crate::plain(table);
    assert!(
        table.contains("1 day ") && !table.contains("1 days"),
        "{table}"
    );
}

/// Sheeting: 40 m of edge x 2 m = 80 m2, with 10 % 88 m2, a roll of 92.9 m2: one. Tape: 40 m twice, 80 m, with 10 % 88 m, rolls of
/// 54.9 m: two. Discs: 100 m2, a set for 464.5 m2: one.
#[test]
fn analytic_sheeting_tape_and_discs() {
    let mut walk = hall(&json!([]));
    walk["method"] = json!("vacuum_grinding");
    let p = prepared(&walk);
    near(line(&p, Material::Sheeting).need, 80.0);
    assert_eq!(line(&p, Material::Sheeting).packs, 1);
    near(line(&p, Material::Tape).need, 80.0);
    assert_eq!(line(&p, Material::Tape).packs, 2);
    assert_eq!(line(&p, Material::GrindingDiscs).packs, 1);
    near(line(&p, Material::EdgeDiscs).need, 40.0);
}

/// Etching 100 m2: a gallon on 200 ft2 (18.58 m2) is 5.382 gal, with 10 % 5.92: six. Three rinses of 5 L/m2: 1.5 m3.
#[test]
fn analytic_etch() {
    let mut walk = hall(&json!([]));
    walk["method"] = json!("chemical_etch");
    let p = prepared(&walk);
    assert_eq!(line(&p, Material::EtchSolution).packs, 6);
    near(line(&p, Material::RinseWater).need, 1.5);
    assert_eq!(line(&p, Material::Neutraliser).packs, 3);
}

/// A ramp of 10 m2 with 15 m of edge: each task by its rate, plus a quarter of an hour of set-up for each of two people; 40 $ an hour.
#[test]
fn analytic_labour_and_cost() {
    let walk = json!({
        "areas": [{"name": "Ramp", "substrate": "metal", "size": "10 m2", "perimeter": "15 m"}],
        "labour": "40 $/h",
        "work_rates": [{"work": "brushing", "area": "2 m2"}]
    });
    let p = prepared(&walk);
    // Mask 15/30, degrease 10/20, brush 10/2, vacuum 10/100, prime 10/20 h; five set-ups of 0.25 h for two people.
    near(
        p.way.labour / 3600.0,
        0.5 + 0.5 + 5.0 + 0.1 + 0.5 + 5.0 * 0.5,
    );
    near(p.way.wages.unwrap(), 40.0 * 9.1);
    assert!(p.way.cost_incomplete, "the packs have no prices");
    near(p.way.cost, 40.0 * 9.1);
}

/// Whole packs, and no pack too many by rounding: 0.1 + 0.2 in packs of 0.1 is three.
#[test]
fn analytic_packs_round_up() {
    let pack = |holds, waste| Pack {
        holds,
        waste,
        price: None,
    };
    assert_eq!(packs(0.1 + 0.2, &pack(0.1, 0.0)), 3);
    assert_eq!(packs(0.3001, &pack(0.1, 0.0)), 4);
    assert_eq!(packs(1.0, &pack(1.0, 0.1)), 2);
    assert_eq!(packs(1e-9, &pack(1.0, 0.0)), 1);
    assert_eq!(packs(0.0, &pack(1.0, 0.0)), 0);
}

#[test]
fn regress_every_material_has_a_pack() {
    let scenario = super::read(&super::with_walk(&hall(&json!([]))));
    let walk = scenario.walk.unwrap();
    for word in [
        "crack_filler",
        "joint_sealer",
        "backer_rod",
        "patching_mix",
        "etch_solution",
        "neutraliser",
        "degreaser",
        "stripper",
        "rinse_water",
        "sheeting",
        "tape",
        "grinding_discs",
        "edge_discs",
        "vacuum_filters",
        "steel_shot",
        "scarifier_cutters",
        "wood_filler",
        "sanding_discs",
        "wire_brushes",
        "metal_primer",
    ] {
        let material: Material = serde_json::from_value(json!(word)).unwrap();
        assert!(materials::pack(material, &walk).holds > 0.0);
        assert!(!materials::name(material).contains(','));
    }
}

fn patches() -> impl Strategy<Value = Vec<Patch>> {
    prop::collection::vec(
        (1e-4..50.0_f64, 1e-4..0.3_f64, any::<bool>()).prop_map(|(size, depth, bowl)| {
            if bowl {
                Patch::bowl(size, depth)
            } else {
                Patch::flat(size, depth)
            }
        }),
        0..40,
    )
}

proptest! {
    /// Layers hold what the patches hold, batches what the layers hold; no batch takes longer than it may; no layer is thicker.
    #[test]
    fn analytic_volumes_conserve(patches in patches(), placed in 1e-7..1e-3_f64) {
        let whole: f64 = patches.iter().map(|p| p.size * p.depth).sum();
        let passes = passes(&patches, placed);
        let sum: f64 = passes.iter().map(|p| p.volume).sum();
        prop_assert!((sum - whole).abs() <= 1e-9 * whole.max(1e-9));
        for (index, pass) in passes.iter().enumerate() {
            prop_assert_eq!(pass.layer, index + 1);
            prop_assert!((pass.batch * pass.batches as f64 - pass.volume).abs() <= 1e-9 * pass.volume);
            prop_assert!(pass.batch_time <= BATCH_TIME * (1.0 + 1e-9));
            prop_assert!((pass.batch / placed - pass.batch_time).abs() <= 1e-6);
            // A patch goes on in this layer only where it is deeper than the layers below.
            let open: f64 = patches.iter().filter(|p| p.deepest > PATCH_LAYER * index as f64).map(|p| p.size).sum();
            prop_assert!(pass.volume <= open * PATCH_LAYER * (1.0 + 1e-9));
        }
        let deepest = patches.iter().map(|p| p.deepest).fold(0.0, f64::max);
        prop_assert!(passes.len() as f64 >= deepest / PATCH_LAYER - 1e-6);
        prop_assert!((passes.len() as f64) < deepest / PATCH_LAYER + 1.0 + 1e-6);
    }

    /// Packs cover the need with its waste, and one pack less would not.
    #[test]
    fn analytic_packs_cover(need in 1e-6..1e6_f64, holds in 1e-3..1e3_f64, waste in 0.0..2.0_f64) {
        let pack = Pack { holds, waste, price: None };
        let count = packs(need, &pack) as f64;
        let wanted = need * (1.0 + waste);
        prop_assert!(count * holds >= wanted * (1.0 - 1e-8) - holds * 1e-8);
        prop_assert!((count - 1.0) * holds < wanted);
    }
}
