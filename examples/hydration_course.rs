//! Prints the course of hydration beside the measured one, and the humidity of sealed concrete beside what is published.
//!
//! `cargo run --release --example hydration_course [FOLDER]`; with a folder it draws the course there, too.

#[path = "../tests/it/concrete/hydration.rs"]
mod published;
#[path = "../tests/it/concrete/rows.rs"]
#[allow(dead_code)]
mod rows;

use coatday::charts::{Join, LineChart, Series, Size, png, svg};
use coatday::column::Tolerance;
use coatday::concrete::{Concrete, Constants, Mix};
use coatday::simulation::Resolution;
use coatday::units::DAY;

/// Days of one month in Persson's formula.
const MONTH: f64 = 30.4;
/// Water-cement ratio of the measured paste.
const MEASURED_RATIO: f64 = 0.5;

fn concrete(ratio: f64) -> Concrete {
    Concrete::new(Mix::of_ratio(ratio), &Constants::default())
}

fn course() {
    let c = concrete(MEASURED_RATIO);
    println!("Hydration at w/c 0.5, 20 degC, moist: De Weerdt et al. 2011 and this program");
    println!("   days   clinker reacted, %       belite reacted, %");
    println!("          measured  computed       measured  computed");
    for (days, clinker, belite) in published::measured() {
        println!(
            "  {days:>5.0} {:>11.1} {:>9.1} {:>14.0} {:>9.0}",
            100.0 * clinker,
            100.0 * c.hydration(days * DAY),
            100.0 * belite,
            100.0 * c.belite_reacted(days * DAY)
        );
    }
    println!(
        "\nClinker reacted by water-cement ratio, %, and water that it binds after 28 days, kg/m3"
    );
    println!("    w/c     1 d     7 d    28 d    90 d   180 d   365 d   in the end   bound later");
    for ratio in [0.35, 0.4, 0.45, 0.5, 0.6, 0.7, 1.0] {
        let c = concrete(ratio);
        print!("  {ratio:>5.2}");
        for days in [1.0, 7.0, 28.0, 90.0, 180.0, 365.0] {
            print!(" {:>7.1}", 100.0 * c.hydration(days * DAY));
        }
        let later = c.ultimate_hydration() - c.hydration(28.0 * DAY);
        println!(
            " {:>12.1} {:>13.1}",
            100.0 * c.ultimate_hydration(),
            Constants::default().hydration.bound * c.mix().cement_content * later
        );
    }
}

fn sealed() {
    println!("\nRelative humidity of sealed concrete at 20 degC, %");
    println!(
        "  Persson 1997 from memory; in the end: EN 1992-1-1:2023 formula B.32 at a usual strength"
    );
    println!(
        "    w/c    28 d    90 d   180 d   450 d   Persson 1 month, 15 months   standard, at MPa"
    );
    let numerics = (Resolution::default(), Tolerance::default());
    for (ratio, strength) in published::STRENGTH {
        print!("  {ratio:>5.2}");
        for days in [28.0, 90.0, 180.0, 450.0] {
            match rows::sealed_humidity(ratio, days, &Constants::default(), numerics) {
                Ok(h) => print!(" {:>7.1}", 100.0 * h),
                Err(why) => print!(" {why}"),
            }
        }
        println!(
            " {:>17.1} {:>10.1} {:>11.1} {strength:>6.0}",
            100.0 * published::persson_sealed(ratio, 28.0 / MONTH),
            100.0 * published::persson_sealed(ratio, 15.0),
            100.0 * published::standard_sealed(strength)
        );
    }
}

fn chart() -> LineChart {
    let c = concrete(MEASURED_RATIO);
    let measured = published::measured();
    let last = measured.last().map_or(1.0, |m| m.0);
    let curve = |of: &dyn Fn(f64) -> f64| -> Vec<(f64, f64)> {
        (1..=last as u32)
            .map(|day| (f64::from(day), 100.0 * of(f64::from(day) * DAY)))
            .collect()
    };
    let line = |name: &str, points| Series {
        name: name.into(),
        points,
        ..Series::default()
    };
    let points = |name: &str, points| Series {
        join: Join::Points,
        ..line(name, points)
    };
    let of = |value: fn(&(f64, f64, f64)) -> f64| {
        measured.iter().map(|m| (m.0, 100.0 * value(m))).collect()
    };
    LineChart {
        title: "Cement goes on reacting for months, the belite most of all".into(),
        subtitle: "Share that has reacted at w/c 0.5, 20 degC, moist: computed and measured".into(),
        x_label: "days after mixing".into(),
        y_label: "reacted, %".into(),
        series: vec![
            line("clinker", curve(&|age| c.hydration(age))),
            points("clinker, measured", of(|m| m.1)),
            line("belite", curve(&|age| c.belite_reacted(age))),
            points("belite, measured", of(|m| m.2)),
        ],
        y_range: Some((0.0, 100.0)),
        footer: vec!["Measured: De Weerdt et al. 2011, Portland cement of 450 m2/kg.".into()],
        ..LineChart::default()
    }
}

fn main() {
    course();
    sealed();
    if let Some(folder) = std::env::args().nth(1) {
        for (size, name) in [(Size::WIDE, ""), (Size::NARROW, "-narrow")] {
            let path = std::path::Path::new(&folder).join(format!("hydration_course{name}.png"));
            let written = png(&svg(&chart(), size), 2.0)
                .map_err(|e| e.to_string())
                .and_then(|bytes| std::fs::write(&path, bytes).map_err(|e| e.to_string()));
            if let Err(why) = written {
                eprintln!("{}: {why}", path.display());
            }
        }
    }
}
