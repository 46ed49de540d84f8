//! The solver: what water carries with it.

use coatday::column::{
    Column, Link, Material, Node, Potential, Skin, Storage, Tolerance, Transport,
};
use std::sync::Arc;

/// Takes in and leads liquid water alone, and hardly any heat.
#[derive(Debug)]
struct Wick;

/// Water from dry to full \[kg/m3\].
const CAPACITY: f64 = 100.0;
/// \[m2/s\]
const DIFFUSIVITY: f64 = 1e-9;

impl Material for Wick {
    fn storage(&self, humidity: f64, _: f64, _: f64) -> Storage {
        Storage {
            water: CAPACITY * humidity,
            water_by_humidity: CAPACITY,
            ..Storage::default()
        }
    }
    fn transport(&self, humidity: f64, _: f64) -> Transport {
        let conductivity = CAPACITY * DIFFUSIVITY;
        Transport {
            liquid_conductivity: conductivity,
            potential: Some(Potential {
                value: conductivity * humidity,
                slope: conductivity,
                factor: 1.0,
                factor_by_temperature: 0.0,
            }),
            ..Transport::default()
        }
    }
    fn thermal_conductivity(&self, _: f64) -> f64 {
        1e-3
    }
    fn heat_capacity(&self) -> f64 {
        2e6
    }
}

/// Liquid water that moves within a body of one temperature, shut off from everything, leaves that temperature as it was: what it
/// takes from one place in heat it brings to the next. Without the enthalpy of the moving water the places that it leaves
/// warm up and those that it reaches cool down, here by `c_w dM T / (rho c + c_w M)`, some tenths of a kelvin, while the books of heat
/// still close, since what leaves one node enters the next either way.
#[test]
fn analytic_moving_water_keeps_its_temperature() {
    const TEMPERATURE: f64 = 30.0;
    const CELLS: usize = 8;
    const THICKNESS: f64 = 5e-3;
    let nodes = vec![
        Node::Cell {
            material: 0,
            thickness: THICKNESS
        };
        CELLS
    ];
    let links = vec![
        Link::Body {
            material: 0,
            distance: THICKNESS,
            skin: Skin::default()
        };
        CELLS - 1
    ];
    let wet_below = |i: usize| if i < CELLS / 2 { 0.9 } else { 0.5 };
    let states: Vec<(f64, f64)> = (0..CELLS).map(|i| (wet_below(i), TEMPERATURE)).collect();
    let mut column = Column::new(vec![Arc::new(Wick)], nodes, links, &states);
    let tolerance = Tolerance {
        humidity: 1e-3,
        temperature: 1e-3,
        newton: 1e-6,
    };
    for _ in 0..200 {
        let step = column.step(&|_: f64, _: f64| [0.0, 0.0], 1e3, &tolerance);
        step.expect("a step");
    }
    let moved = CAPACITY * (0.9 - column.state(0).0);
    assert!(moved > 5.0, "{moved} kg/m3");
    for i in 0..CELLS {
        let (_, temperature) = column.state(i);
        assert!(
            (temperature - TEMPERATURE).abs() < 1e-6,
            "cell {i}: {temperature} degC"
        );
    }
}
