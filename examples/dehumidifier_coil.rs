//! Fits the coil model of dehumidifiers to the published surfaces and shows what it gives where none are published.
//!
//! `cargo run --release --example dehumidifier_coil [FOLDER]`; with a folder it draws the charts there, too.
//!
//! Least squares by Levenberg and Marquardt's method. Residuals are the water removed over the rating less that of the surface, and the
//! electricity over that of the surface less one, at 36 states inside of the published range. Published pairs of ratings are predicted only.

#![allow(clippy::expect_used)]

#[path = "../tests/it/gear/coil_views.rs"]
#[allow(dead_code)]
mod views;

use coatday::charts::{Join, LineChart, Series, Size, png, svg};
use coatday::gear::coil::{Coil, Design};
use coatday::gear::refrigerant::{CapacityMap, Defrost, Performance, Rating};
use nalgebra::{DMatrix, DVector};
use views::View;

/// Published range: degC and relative humidity.
const TEMPERATURES: (f64, f64) = (21.0, 32.22);
const HUMIDITIES: (f64, f64) = (0.40, 0.80);
/// States along each side of it that the fit looks at, and those that the residuals are told for.
const FITTED: u32 = 6;
const TOLD: u32 = 23;

/// A constant that the fit may move: name, place, least and most.
type Parameter = (&'static str, fn(&mut Design) -> &mut f64, f64, f64);
const FROST: Parameter = ("loss by frost, 1/K", |d| &mut d.frost_loss, 0.0, 0.2);
const PARAMETERS: [Parameter; 4] = [
    ("bypass factor", |d| &mut d.bypass_factor, 0.05, 0.6),
    ("approach, K", |d| &mut d.approach, 1.0, 14.0),
    ("share of the fan", |d| &mut d.fan_share, 0.02, 0.35),
    FROST,
];

fn coil(design: Design) -> Coil {
    let rating = Rating::AT_80F_60;
    Coil::new(design, rating.temperature, rating.relative_humidity)
}

fn by_coil(coil: &Coil, (t, r): (f64, f64)) -> Performance {
    let state = coil.state(t, r);
    Performance {
        removal: coil.removal(&state) * coil.frost_share(&state),
        power: coil.power(&state),
    }
}

fn by_surface(map: CapacityMap, (t, r): (f64, f64)) -> Performance {
    map.by_surfaces(t, r).expect("a map with surfaces")
}

/// States of the published range, so many along each side.
fn states(side: u32) -> impl Iterator<Item = (f64, f64)> {
    let along = move |(from, to): (f64, f64), i: u32| {
        from + (to - from) * f64::from(i) / f64::from(side - 1)
    };
    (0..side * side).map(move |k| (along(TEMPERATURES, k / side), along(HUMIDITIES, k % side)))
}

/// Differences from a map's surfaces: water over the rating, electricity as a share.
fn differences(design: Design, map: CapacityMap, side: u32) -> Vec<[f64; 2]> {
    let coil = coil(design);
    states(side)
        .map(|state| {
            let (model, surface) = (by_coil(&coil, state), by_surface(map, state));
            [
                model.removal - surface.removal,
                model.power / surface.power - 1.0,
            ]
        })
        .collect()
}

fn residuals(design: Design, map: CapacityMap) -> DVector<f64> {
    let all = differences(design, map, FITTED);
    DVector::from_iterator(2 * all.len(), all.into_iter().flatten())
}

fn fit(mut design: Design, map: CapacityMap, parameters: &[Parameter]) -> Design {
    let mut damping = 1e-3;
    let mut now = residuals(design, map);
    while damping < 1e9 {
        let mut slopes = DMatrix::zeros(now.len(), parameters.len());
        for (k, (_, place, low, high)) in parameters.iter().enumerate() {
            let mut moved = design;
            let value = place(&mut moved);
            let small = 1e-4 * (high - low);
            let small = if *value + small > *high {
                -small
            } else {
                small
            };
            *value += small;
            slopes.set_column(k, &((residuals(moved, map) - &now) / small * (high - low)));
        }
        let mut normal = slopes.transpose() * &slopes;
        for k in 0..parameters.len() {
            normal[(k, k)] = normal[(k, k)] * (1.0 + damping) + 1e-12;
        }
        let Some(inverse) = normal.try_inverse() else {
            break;
        };
        let step = -inverse * slopes.transpose() * &now;
        let mut tried = design;
        for (k, (_, place, low, high)) in parameters.iter().enumerate() {
            let value = place(&mut tried);
            *value = (*value + step[k] * (high - low)).clamp(*low, *high);
        }
        let then = residuals(tried, map);
        let gain = now.norm_squared() - then.norm_squared();
        if gain > 0.0 {
            (design, now) = (tried, then);
            damping *= 0.3;
            if gain < 1e-12 {
                break;
            }
        } else {
            damping *= 5.0;
        }
    }
    design
}

fn tell_residuals(name: &str, design: Design, map: CapacityMap) {
    let all = differences(design, map, TOLD);
    let count = all.len() as f64;
    let mean_square = |k: usize| (all.iter().map(|d| d[k] * d[k]).sum::<f64>() / count).sqrt();
    let worst = |k: usize| all.iter().map(|d| d[k].abs()).fold(0.0, f64::max);
    println!(
        "  {name:<34} {:>7.1} {:>7.1} {:>9.1} {:>7.1}",
        100.0 * mean_square(0),
        100.0 * worst(0),
        100.0 * mean_square(1),
        100.0 * worst(1)
    );
}

fn tell_fit() {
    let shipped = Design::SIX_UNITS;
    let map = CapacityMap::SixUnits;
    let fitted = fit(shipped, map, &PARAMETERS);
    println!("Constants of the coil");
    println!("  {:<34} {:>8} {:>8}", "", "fitted", "shipped");
    for (name, place, ..) in PARAMETERS {
        let (mut a, mut b) = (fitted, shipped);
        println!(
            "  {name:<34} {:>8.4} {:>8.4}",
            *place(&mut a),
            *place(&mut b)
        );
    }
    for (name, rated) in [
        ("six units", *coil(shipped).rated()),
        ("low-grain", *coil(Design::LOW_GRAIN).rated()),
    ] {
        println!(
            "  {name} at 26.7 degC, 60 %: coil at {:.1}, evaporating at {:.1}, condensing at {:.1} degC; {:.0} % of the duty is latent",
            rated.surface,
            rated.evaporating,
            rated.condensing,
            100.0 * rated.latent / rated.duty()
        );
    }
    println!("\nResiduals inside of the published range, % (root mean square, worst)");
    println!(
        "  {:<34} {:>15} {:>17}",
        "", "water of rating", "electricity"
    );
    tell_residuals("coil as shipped", shipped, map);
    let free = &PARAMETERS[..3];
    let unfrosted = Design {
        frost_loss: 0.0,
        ..shipped
    };
    tell_residuals("fitted without frost", fit(unfrosted, map, free), map);
    let older = CapacityMap::OlderUnit;
    tell_residuals(
        "fitted to the older unit instead",
        fit(shipped, older, &PARAMETERS),
        older,
    );
}

fn percent(share: f64) -> String {
    format!("{:.0}", 100.0 * share)
}

fn tell_outside() {
    println!("\nWhat a machine gives outside, % of its rating at 26.7 degC (80 degF) and 60 %");
    println!(
        "  {:>4} {:>5} | {:>7} {:>6} {:>14} | {:>9} {:>14} {:>18}",
        "degC",
        "RH %",
        "surface",
        "coil",
        "8 of 10 between",
        "low-grain",
        "8 of 10 between",
        "before (shifted)"
    );
    for (t, r) in [
        (26.7, 0.6),
        (26.7, 0.4),
        (26.7, 0.3),
        (26.7, 0.2),
        (21.0, 0.4),
        (20.0, 0.5),
        (20.0, 0.4),
        (20.0, 0.35),
        (20.0, 0.3),
        (20.0, 0.25),
        (20.0, 0.2),
        (15.0, 0.6),
        (15.0, 0.4),
        (10.0, 0.6),
        (10.0, 0.5),
        (5.0, 0.6),
    ] {
        let surface = by_surface(CapacityMap::SixUnits, (t, r)).removal;
        let shifted = by_surface(CapacityMap::SixUnits, (t, r + 0.08)).removal
            / by_surface(CapacityMap::SixUnits, (26.7, 0.68)).removal;
        let derate = Defrost::HotGas.derate(t);
        let [ordinary, low_grain] = [CapacityMap::SixUnits, CapacityMap::LowGrain]
            .map(|map| [0.0, -TENTH, TENTH].map(|z| map.performance(t, r, derate, z).removal));
        let range = |x: [f64; 3]| format!("{} to {}", percent(x[1]), percent(x[2]));
        println!(
            "  {t:>4.1} {:>5} | {:>7} {:>6} {:>14} | {:>9} {:>14} {:>18}",
            percent(r),
            percent(derate * surface.max(0.0)),
            percent(ordinary[0]),
            range(ordinary),
            percent(low_grain[0]),
            range(low_grain),
            percent(derate * shifted.max(0.0)),
        );
    }
}

/// Standard deviations beyond which a tenth lies.
const TENTH: f64 = 1.2816;

fn tell_views(name: &str, views: &[View]) {
    println!("\n{name}: other views, % of the rating; the way is the logarithm of what is carried");
    println!(
        "  {:<32} {:>4} {:>5} {:>6} {:>6} {:>6} {:>11}",
        "", "degC", "RH %", "map", "view", "way", "difference"
    );
    for v in views {
        println!(
            "  {:<32} {:>4.1} {:>5} {:>6} {:>6} {:>6.2} {:>+11.2}",
            v.source,
            v.state.0,
            percent(v.state.1),
            percent(v.map),
            percent(v.gives),
            v.way(),
            v.difference()
        );
    }
    println!(
        "  spread of the way, one standard deviation of its logarithm: {:.2}",
        views::spread(views)
    );
}

fn curve(name: &str, points: impl Iterator<Item = (f64, f64)>) -> Series {
    Series {
        name: name.into(),
        points: points.collect(),
        ..Series::default()
    }
}

/// A map's output along one axis, with its band.
fn banded(name: &str, map: CapacityMap, path: &[(f64, (f64, f64))]) -> Series {
    let at = |(t, r): (f64, f64), z: f64| 100.0 * map.performance(t, r, 1.0, z).removal;
    Series {
        band: Some(
            path.iter()
                .map(|(x, state)| (*x, at(*state, -TENTH), at(*state, TENTH)))
                .collect(),
        ),
        emphasis: true,
        ..curve(name, path.iter().map(|(x, state)| (*x, at(*state, 0.0))))
    }
}

const FOOTER: &str = "Surface: Winkler, Christensen, Tomerlin 2011, published for 21 to 32 degC and 40 to 80 % RH and drawn on beyond as it is.";

fn by_humidity() -> LineChart {
    let path: Vec<(f64, (f64, f64))> = (20..=80)
        .map(|r| (f64::from(r), (20.0, f64::from(r) / 100.0)))
        .collect();
    let surface = path.iter().map(|(x, state)| {
        (
            *x,
            (100.0 * by_surface(CapacityMap::SixUnits, *state).removal).max(0.0),
        )
    });
    LineChart {
        title: {
            let dry = (20.0, 0.3);
            format!(
                "At 20 degC and 30 % the coil gives {} % of its rating, the surface {} %",
                percent(
                    CapacityMap::SixUnits
                        .performance(dry.0, dry.1, 1.0, 0.0)
                        .removal
                ),
                percent(by_surface(CapacityMap::SixUnits, dry).removal)
            )
        },
        subtitle: "Water removed at 20 degC (68 degF)".into(),
        x_label: "relative humidity, %".into(),
        y_label: "% of the rating at 26.7 degC, 60 %".into(),
        series: vec![
            curve("surface of ordinary machines", surface),
            banded(
                "ordinary, carried by the coil",
                CapacityMap::SixUnits,
                &path,
            ),
            banded("low-grain, by the coil", CapacityMap::LowGrain, &path),
        ],
        band_label: "shaded: eight machines of ten".into(),
        footer: vec![FOOTER.into()],
        ..LineChart::default()
    }
}

fn by_temperature() -> LineChart {
    let path: Vec<(f64, (f64, f64))> = (8..=70)
        .map(|half| (0.5 * f64::from(half), (0.5 * f64::from(half), 0.6)))
        .collect();
    let surface = path.iter().map(|(x, state)| {
        (
            *x,
            (100.0 * by_surface(CapacityMap::SixUnits, *state).removal).max(0.0),
        )
    });
    LineChart {
        title: "Published pairs of ratings lie about the coil, within its band".into(),
        subtitle: "Water removed at 60 % relative humidity; the coil was not fitted to the pairs"
            .into(),
        x_label: "temperature, degC".into(),
        y_label: "% of the rating at 26.7 degC, 60 %".into(),
        series: vec![
            curve("surface of ordinary machines", surface),
            banded(
                "ordinary, carried by the coil",
                CapacityMap::SixUnits,
                &path,
            ),
            Series {
                join: Join::Points,
                ..curve(
                    "published pairs",
                    views::PAIRS
                        .iter()
                        .map(|(_, t, _, share)| (*t, 100.0 * share)),
                )
            },
        ],
        band_label: "shaded: eight machines of ten".into(),
        footer: vec![FOOTER.into()],
        ..LineChart::default()
    }
}

fn main() {
    tell_fit();
    tell_outside();
    tell_views("Ordinary machines", &views::ordinary());
    tell_views("Low-grain machines", &views::low_grain());
    let Some(folder) = std::env::args().nth(1) else {
        return;
    };
    for (chart, name) in [
        (by_humidity(), "dehumidifier_coil"),
        (by_temperature(), "dehumidifier_coil-ratings"),
    ] {
        let path = std::path::Path::new(&folder).join(format!("{name}.png"));
        let written = png(&svg(&chart, Size::WIDE), 2.0)
            .map_err(|e| e.to_string())
            .and_then(|bytes| std::fs::write(&path, bytes).map_err(|e| e.to_string()));
        if let Err(why) = written {
            eprintln!("{}: {why}", path.display());
        }
    }
}
