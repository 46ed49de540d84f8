//! Prints the simulated dish test beside the simulated probe, and both beside the pairs of limits that are published.
//!
//! `cargo run --release --example dish_against_probe [FOLDER]`; with a folder it draws them there, too.

#[path = "../tests/it/moisture_tests/pairs.rs"]
mod pairs;
#[path = "../tests/it/concrete/rows.rs"]
#[allow(dead_code)]
mod rows;

use coatday::charts::{Join, LineChart, Series, Size, png, svg};
use coatday::column::Tolerance;
use coatday::moisture_tests::DISH_SPREAD;
use coatday::simulation::Resolution;
use rayon::prelude::*;

const RATIOS: [f64; 4] = [0.4, 0.5, 0.6, 0.7];
/// The ratio whose curve carries the band of doubt.
const BANDED: f64 = 0.5;
/// Lowest humidity at depth that is waited for.
const LOWEST: f64 = 0.7;

type Course = Vec<(f64, f64, f64)>;

fn chart(courses: &[(f64, Course)]) -> LineChart {
    let mut series: Vec<Series> = courses
        .iter()
        .map(|(ratio, course)| {
            // From dry to wet, so that the horizontal axis rises.
            let points: Vec<(f64, f64)> = course
                .iter()
                .rev()
                .map(|(_, h, lb)| (100.0 * h, *lb))
                .collect();
            let factor = DISH_SPREAD.exp();
            let band = (*ratio == BANDED).then(|| {
                points
                    .iter()
                    .map(|(h, lb)| (*h, lb / factor, lb * factor))
                    .collect()
            });
            Series {
                name: format!("w/c {ratio}"),
                points,
                band,
                ..Series::default()
            }
        })
        .collect();
    series.push(Series {
        name: "pairs of limits, published".into(),
        points: pairs::PAIRS_OF_LIMITS
            .iter()
            .map(|(h, lb, _)| (100.0 * h, *lb))
            .collect(),
        join: Join::Points,
        emphasis: true,
        ..Series::default()
    });
    LineChart {
        title: "The dish says little about the depth: 3 to 6 lb from 75 to 90 %".into(),
        subtitle: "Simulated dish and probe on one slab, 4 in., after 48 h at 23 degC and 50 %".into(),
        x_label: "relative humidity at 40 % depth, %".into(),
        y_label: "dish, lb/1000 ft2 in 24 h".into(),
        series,
        y_range: Some((0.0, 12.0)),
        band_label: format!("shaded: one standard deviation of the dish, w/c {BANDED}"),
        footer: vec![
            "No pairs of readings on one slab were found, only limits that the trade sets beside each other.".into(),
        ],
        ..LineChart::default()
    }
}

fn main() {
    let numerics = (Resolution::default(), Tolerance::default());
    let found: Vec<(f64, Result<Course, String>)> = RATIOS
        .par_iter()
        .map(|&ratio| (ratio, pairs::probe_and_dish(ratio, LOWEST, numerics)))
        .collect();
    let mut courses = Vec::new();
    println!(
        "Dish under service conditions, lb/1000 ft2 in 24 h, against the probe at 40 % depth\n"
    );
    for (ratio, course) in found {
        match course {
            Ok(course) => {
                println!("w/c {ratio}");
                println!("  {:>6} {:>8} {:>8}", "days", "probe %", "dish lb");
                for (days, humidity, lb) in &course {
                    println!("  {days:>6.0} {:>8.1} {lb:>8.2}", 100.0 * humidity);
                }
                courses.push((ratio, course));
            }
            Err(why) => println!("w/c {ratio}: {why}"),
        }
    }
    println!("\nPublished pairs of limits, and the simulated dish when the probe reads the same");
    for (humidity, lb, whose) in pairs::PAIRS_OF_LIMITS {
        let simulated: Vec<String> = courses
            .iter()
            .filter_map(|(ratio, course)| {
                let dish = pairs::dish_at(course, humidity)?;
                Some(format!("{dish:.1} (w/c {ratio})"))
            })
            .collect();
        println!(
            "  {:.0} % and {lb:.0} lb ({whose}): simulated {}",
            100.0 * humidity,
            simulated.join(", ")
        );
    }
    if let Some(folder) = std::env::args().nth(1) {
        let chart = chart(&courses);
        for (size, name) in [(Size::WIDE, ""), (Size::NARROW, "-narrow")] {
            let path = std::path::Path::new(&folder).join(format!("dish_against_probe{name}.png"));
            let written = png(&svg(&chart, size), 2.0)
                .map_err(|e| e.to_string())
                .and_then(|bytes| std::fs::write(&path, bytes).map_err(|e| e.to_string()));
            if let Err(why) = written {
                eprintln!("{}: {why}", path.display());
            }
        }
    }
}
