//! Tests of the `season` room: the ground under a slab against the closed form.

use coatday::air::{self, MoistAir};
use coatday::column::{AirStore, Node, Skin, Tolerance};
use coatday::concrete::{Concrete, Constants, Mix};
use coatday::simulation::{Climate, Resolution, Simulation, Slab, Underside};
use coatday::units::DAY;
use std::ops::ControlFlow;

/// erfc by the series of the error function, good up to 4; beyond it is nothing.
fn erfc(x: f64) -> f64 {
    if x > 4.0 {
        return 0.0;
    }
    let (mut term, mut sum) = (x, x);
    for n in 1..80_i32 {
        term *= -x * x / f64::from(n);
        sum += term / f64::from(2 * n + 1);
    }
    1.0 - 2.0 / std::f64::consts::PI.sqrt() * sum
}

/// A thin slab is warmed by 10 K and kept so. The ground below follows the half-space (Carslaw & Jaeger 1959, from memory):
/// `T - T0 = 10 erfc(z / (2 sqrt(D t)))`, with a flux `10 k / sqrt(pi D t) exp(-z2 / (4 D t))`, over half a year.
#[test]
fn analytic_ground_step() {
    const STEP: f64 = 10.0;
    const CONDUCTIVITY: f64 = 2.0;
    const DIFFUSIVITY: f64 = 1e-6;
    let concrete = Concrete::new(Mix::of_ratio(0.5), &Constants::default());
    let slab = Slab {
        area: 1.0,
        thickness: 0.02,
        concrete,
        underside: Underside::Retarder {
            resistance: f64::INFINITY,
        },
        ground_temperature: 10.0,
        start_humidity: 0.6,
        start_temperature: 10.0,
    };
    let store = AirStore {
        dry_air: 1.0,
        furnishings: 0.0,
        pressure: air::STANDARD_PRESSURE,
    };
    let sealed = Skin::tight(f64::INFINITY);
    let tolerance = Tolerance::default();
    let mut s = Simulation::new(&slab, store, sealed, Resolution::default(), tolerance);
    s.set_surface_transfer_factor(1e4);
    let climate = Climate::Given {
        air: MoistAir::from_relative_humidity(10.0 + STEP, 0.6, store.pressure),
        air_speed: 1.0,
    };
    let start = s.time();
    for days in [30.0, 90.0, 180.0] {
        let _ = s
            .advance(start + days * DAY, climate, &mut |_, _| {
                ControlFlow::Continue(())
            })
            .expect("the solver gets there");
        let spread = (DIFFUSIVITY * days * DAY).sqrt();
        let column = s.column();
        let layers: Vec<f64> = column
            .nodes()
            .iter()
            .filter_map(|node| match node {
                Node::Soil { thickness, .. } => Some(*thickness),
                _ => None,
            })
            .collect();
        let mut depth = 0.0;
        // The lowest keeps its temperature.
        for (i, thickness) in layers.iter().enumerate().skip(1).rev() {
            let wanted = STEP * erfc((depth + 0.5 * thickness) / (2.0 * spread));
            let found = column.state(i).1 - 10.0;
            assert!(
                (found - wanted).abs() < 0.05 * STEP,
                "{days} days, {depth} m: {found} {wanted}"
            );
            depth += thickness;
        }
        let top = layers.len() - 1;
        let apart = 0.5 * (layers[top] + layers[top - 1]);
        let flux = CONDUCTIVITY * (column.state(top).1 - column.state(top - 1).1) / apart;
        let decay = (-(layers[top] / (2.0 * spread)).powi(2)).exp();
        let wanted = CONDUCTIVITY * STEP / (std::f64::consts::PI.sqrt() * spread) * decay;
        assert!(
            (flux / wanted - 1.0).abs() < 0.05,
            "{days} days: {flux} {wanted} W/m2"
        );
    }
}
