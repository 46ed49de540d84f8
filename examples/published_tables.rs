//! Prints published drying times of concrete beside the simulated ones.
//!
//! `cargo run --release --example published_tables [FOLDER]`; with a folder it draws the rows there, too.

#[path = "../tests/it/concrete/rows.rs"]
#[allow(dead_code)]
mod rows;

use coatday::charts::{Join, LineChart, Series, Size, png, svg};
use coatday::column::Tolerance;
use coatday::concrete::Constants;
use coatday::simulation::Resolution;
use rayon::prelude::*;
use rows::{Row, Table};

/// Published and simulated days of the first row that `choose` picks.
fn pair(
    rows: &[Row],
    simulated: &[Result<f64, String>],
    choose: impl Fn(&Row) -> bool,
) -> Option<(f64, f64)> {
    let (row, days) = rows.iter().zip(simulated).find(|(r, _)| choose(r))?;
    days.as_ref().ok().map(|d| (row.days, *d))
}

/// Where the model and the factor method part, and why.
fn differences(rows: &[Row], simulated: &[Result<f64, String>]) {
    println!("Where model and handbook part");
    println!("  w/c   power of the thickness, 100 to 250 mm    one face / two faces");
    println!("              published   simulated               published   simulated");
    for ratio in [0.4, 0.5, 0.6, 0.7] {
        let thick = |t: f64| {
            pair(rows, simulated, |r| {
                r.table == Table::Thickness
                    && r.water_cement_ratio == ratio
                    && (r.thickness - t).abs() < 1e-6
            })
        };
        let of = |table| {
            pair(rows, simulated, |r| {
                r.table == table && r.water_cement_ratio == ratio
            })
        };
        if let (Some(thin), Some(thick), Some(two), Some(one)) = (
            thick(0.1),
            thick(0.25),
            of(Table::Standard85),
            of(Table::OneSided),
        ) {
            let power = |thin: f64, thick: f64| (thick / thin).ln() / 2.5f64.ln();
            println!(
                "  {ratio:.1} {:>20.2} {:>11.2} {:>23.2} {:>11.2}",
                power(thin.0, thick.0),
                power(thin.1, thick.1),
                one.0 / two.0,
                one.1 / two.1
            );
        }
    }
    println!(
        "  Diffusion goes with the square of the thickness, and a slab open on one face is half of one twice as\n  \
         thick, so that the factor for one face is 4. Self-desiccation lowers both, more at a low water-cement\n  \
         ratio. The handbook goes lower still. The model is slower than the handbook for thick slabs, for one\n  \
         face and in air of 80 %, and quicker for thin slabs and to 90 %."
    );
}

/// Short name of a table for the chart.
fn short(table: Table) -> &'static str {
    match table {
        Table::Emission => "3 lb, one face, 102 mm",
        Table::Standard85 => "85 %, two faces, 180 mm",
        Table::Standard90 => "90 %, two faces, 180 mm",
        Table::Climate => "climate, 35 to 70 % RH",
        Table::ClimateHumid => "climate, 80 % RH",
        Table::Thickness => "thickness",
        Table::OneSided => "one face, 180 mm",
    }
}

/// How far simulated days lie from the published ones.
fn chart(rows: &[Row], simulated: &[Result<f64, String>]) -> LineChart {
    let mut series = Vec::new();
    let (mut longest, mut close, mut all) = (0.0f64, 0, 0);
    for table in Table::ALL {
        let points: Vec<(f64, f64)> = rows
            .iter()
            .zip(simulated)
            .filter(|(r, _)| r.table == table)
            .filter_map(|(r, d)| {
                let days = d.as_ref().ok()?;
                Some((r.days, 100.0 * (days / r.days - 1.0)))
            })
            .collect();
        for (published, error) in &points {
            longest = longest.max(*published);
            all += 1;
            close += usize::from(error.abs() <= 20.0);
        }
        series.push(Series {
            name: short(table).into(),
            points,
            join: Join::Points,
            ..Series::default()
        });
    }
    series.push(Series {
        name: "as published".into(),
        points: vec![(0.0, 0.0), (longest, 0.0)],
        band: Some(vec![(0.0, -20.0, 20.0), (longest, -20.0, 20.0)]),
        ..Series::default()
    });
    LineChart {
        title: format!("{close} of {all} published drying times are met within 20 %"),
        subtitle: "Simulated against published: above zero the model is slower".into(),
        x_label: "published days".into(),
        y_label: "difference, %".into(),
        series,
        band_label: "shaded: within 20 %".into(),
        footer: vec![
            "Brewer 1965; Hedenblad 1995 and 1997, most rows from memory. Diffusion is slower through one face than the handbook.".into(),
        ],
        ..LineChart::default()
    }
}

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
    println!(
        "Scatter of the fitted rows, root mean square of ln(simulated/published): {:.3}\n",
        rows::scatter(&rows, &simulated)
    );
    differences(&rows, &simulated);
    if let Some(folder) = std::env::args().nth(1) {
        let chart = chart(&rows, &simulated);
        for (size, name) in [(Size::WIDE, ""), (Size::NARROW, "-narrow")] {
            let path = std::path::Path::new(&folder).join(format!("published_tables{name}.png"));
            let written = png(&svg(&chart, size), 2.0)
                .map_err(|e| e.to_string())
                .and_then(|bytes| std::fs::write(&path, bytes).map_err(|e| e.to_string()));
            if let Err(why) = written {
                eprintln!("{}: {why}", path.display());
            }
        }
    }
}
