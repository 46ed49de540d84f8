//! Prints published drying times of concrete beside the simulated ones.
//!
//! `cargo run --release --example published_tables`

#[path = "../tests/it/concrete/rows.rs"]
#[allow(dead_code)]
mod rows;

use coatday::column::Tolerance;
use coatday::concrete::Constants;
use coatday::season::Resolution;
use rayon::prelude::*;
use rows::Table;

fn main() {
    let rows = rows::all();
    let constants = Constants::default();
    let numerics = (Resolution::default(), Tolerance::default());
    let simulated: Vec<Result<f64, String>> = rows
        .par_iter()
        .map(|row| rows::simulate(row, &constants, numerics))
        .collect();
    for table in Table::ALL {
        println!("{}", table.title());
        println!(
            "  {:>4} {:>6} {:>5} {:>5} {:>6} {:>10} {:>10} {:>8}  mark",
            "w/c", "mm", "degC", "RH %", "to %", "published", "simulated", "error %"
        );
        let mut errors = Vec::new();
        for (row, days) in rows
            .iter()
            .zip(&simulated)
            .filter(|(r, _)| r.table == table)
        {
            let target = match row.target {
                rows::Target::ThreePounds => "3 lb".to_owned(),
                rows::Target::Humidity(h) => format!("{:.0}", 100.0 * h),
            };
            print!(
                "  {:>4.2} {:>6.1} {:>5.0} {:>5.0} {target:>6} {:>10.1}",
                row.water_cement_ratio,
                1000.0 * row.thickness,
                row.temperature,
                100.0 * row.relative_humidity,
                row.days
            );
            match days {
                Ok(d) => {
                    let error = 100.0 * (d / row.days - 1.0);
                    errors.push(error.abs());
                    println!(" {d:>10.1} {error:>+8.1}  {}", row.mark);
                }
                Err(why) => println!("  {why}"),
            }
        }
        errors.sort_by(f64::total_cmp);
        if let (Some(worst), Some(median)) = (errors.last(), errors.get(errors.len() / 2)) {
            println!("  median {median:.1} %, worst {worst:.1} %\n");
        }
    }
}
