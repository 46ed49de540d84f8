//! Prints what thickness and water on the face cost: drying times by thickness beside the handbook's factors and the trade's rule, and the cost of a
//! wet face and of standing water by water-cement ratio, with sorptivity and a slab on wet ground.
//!
//! `cargo run --release --example thickness_and_water`

#[path = "../tests/it/concrete/rows.rs"]
#[allow(dead_code)]
mod rows;

use coatday::column::Tolerance;
use coatday::concrete::{Constants, FactorSlab, factor_method};
use coatday::simulation::Resolution;
use rayon::prelude::*;
use rows::{Row, Table, Target};

/// One inch \[m\].
const INCH: f64 = 0.0254;
/// Rule of the trade (common practice, no published source).
const DAYS_AN_INCH: f64 = 30.0;
/// 70 degF.
const TEMPERATURE: f64 = 21.1;
const RELATIVE_HUMIDITY: f64 = 0.5;

fn numerics() -> (Resolution, Tolerance) {
    (Resolution::default(), Tolerance::default())
}

/// Days here and by the handbook's factors for a slab that dries from one face.
fn days(ratio: f64, inches: f64, limit: f64) -> (Result<f64, String>, Option<f64>) {
    let row = Row {
        table: Table::OneSided,
        target: Target::Humidity(limit),
        water_cement_ratio: ratio,
        thickness: inches * INCH,
        both_faces: false,
        temperature: TEMPERATURE,
        relative_humidity: RELATIVE_HUMIDITY,
        days: f64::NAN,
        mark: String::new(),
    };
    let slab = FactorSlab {
        water_cement_ratio: ratio,
        thickness: row.thickness,
        both_faces: false,
    };
    (
        rows::simulate(&row, &Constants::default(), numerics()),
        factor_method(slab, limit, TEMPERATURE, RELATIVE_HUMIDITY),
    )
}

fn thickness() {
    println!("Days after the 28th, one face, 70 degF, 50 %: here / by the handbook's factors");
    println!("  inches  days by     to 85 %, w/c                             to 90 %, w/c");
    println!(
        "          the inch      0.40         0.50         0.60           0.40         0.50         0.60"
    );
    let cases: Vec<(f64, f64, f64)> = [3.0, 4.0, 5.0, 6.0, 7.0, 8.0]
        .iter()
        .flat_map(|i| [0.85, 0.9].map(|limit| (*i, limit)))
        .flat_map(|(i, limit)| [0.4, 0.5, 0.6].map(|ratio| (i, limit, ratio)))
        .collect();
    let found: Vec<_> = cases
        .par_iter()
        .map(|(inches, limit, ratio)| days(*ratio, *inches, *limit))
        .collect();
    for (line, cells) in cases.chunks(6).zip(found.chunks(6)) {
        let inches = line[0].0;
        print!("  {inches:>6.0} {:>8.0}  ", DAYS_AN_INCH * inches);
        for (here, factors) in cells {
            let here = here.as_ref().map_or("-".into(), |d| format!("{d:.0}"));
            let factors = factors.map_or("-".into(), |d| format!("{d:.0}"));
            print!(" {:>12}", format!("{here} / {factors}"));
        }
        println!();
    }
}

fn water() {
    let constants = Constants::default();
    println!(
        "\nDays that water on the 28th day costs a slab of 100 mm to 85 %, one face, 18 degC, 60 %"
    );
    println!(
        "  w/c   wet for 4 h, then taken away   left standing: 3 mm   5 mm  10 mm  50 mm  200 mm"
    );
    for ratio in [0.4, 0.45, 0.55, 0.7] {
        let wet = rows::rinse_cost(ratio, 4.0, &constants, numerics());
        print!(
            "  {ratio:.2} {:>27.1}",
            wet.map_or(f64::NAN, |(_, cost)| cost)
        );
        for rain in [3.0, 5.0, 10.0, 50.0, 200.0] {
            let cost = rows::rain_cost(ratio, rain, &constants, numerics());
            print!(" {:>18.0}", cost.map_or(f64::NAN, |(dry, wet)| wet - dry));
        }
        println!();
    }
    println!(
        "\nSorptivity after drying to 50, 80 and 90 %, kg/(m2 s^0.5): 0.0116 at w/c 0.40 and 0.0219 at 0.60 were measured on dry concrete"
    );
    for ratio in [0.4, 0.5, 0.6] {
        print!("  {ratio:.2}");
        for humidity in [0.5, 0.8, 0.9] {
            let found = rows::sorptivity(ratio, humidity, &constants);
            print!(" {:>8.4}", found.unwrap_or(f64::NAN));
        }
        println!();
    }
    println!(
        "\nEmission of a 4-in. slab on wet ground after one, two and five years at 21 degC, 50 %, lb/1000 ft2/24 h"
    );
    for ratio in [0.4, 0.45, 0.5] {
        let found = rows::bare_ground(ratio, &constants, numerics());
        println!("  {ratio:.2} {:.1?}", found.unwrap_or([f64::NAN; 3]));
    }
}

fn main() {
    thickness();
    water();
}
