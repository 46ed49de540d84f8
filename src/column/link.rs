//! The links of the chain: water and heat from one node to the next.

use super::material::{Material, Transport};
use super::node::{Node, NodeState};
use crate::air;
use nalgebra::Matrix2;

/// Stefan-Boltzmann constant \[W/(m2 K4)\].
const STEFAN_BOLTZMANN: f64 = 5.670_374e-8;

/// Panels of Simpson's rule over a link to a face; 1 elsewhere.
const FACE_PANELS: usize = 4;

/// How two neighbours exchange water and heat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Link {
    /// Through porous material, between two cell centres or between a cell centre and a face.
    Body {
        /// Index into the column's materials.
        material: usize,
        /// Distance \[m\].
        distance: f64,
        /// Extra resistance to vapour in series, at a face: trowelled skin, curing compound, sheet, coating
        /// \[m2 s Pa/kg\]. Infinite when nothing passes.
        skin: f64,
    },
    /// Between soil and what lies on it, or between two layers of soil.
    Ground {
        /// Resistance to vapour \[m2 s Pa/kg\]; infinite when nothing passes.
        vapour_resistance: f64,
        /// Resistance to heat \[m2 K/W\].
        thermal_resistance: f64,
    },
    /// Between a face and air.
    Exchange {
        /// Vapour transfer coefficient \[s/m\].
        vapour_transfer: f64,
        /// Convective heat transfer coefficient \[W/(m2 K)\].
        convection: f64,
        /// Effective emissivity of face and surroundings, 0..1; surroundings are at air temperature.
        emissivity: f64,
    },
}

/// Fluxes over a link, positive from the lower to the upper node, and their derivatives with respect to the
/// two unknowns below and the two above.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Flux {
    pub(super) water: f64,
    pub(super) heat: f64,
    pub(super) water_by_below: [f64; 2],
    pub(super) water_by_above: [f64; 2],
    pub(super) heat_by_below: [f64; 2],
    pub(super) heat_by_above: [f64; 2],
}

/// Specific enthalpy of water vapour \[J/kg\].
fn vapour_enthalpy(temperature: f64) -> f64 {
    air::LATENT_HEAT_AT_ZERO + air::SPECIFIC_HEAT_VAPOUR * temperature
}

impl Link {
    /// Evaluates the link. `below` and `above` are the states of its nodes; `transport` holds the coefficients of the
    /// two nodes where they are cells.
    pub(super) fn flux(
        &self,
        materials: &[std::sync::Arc<dyn Material>],
        (node_below, below, transport_below): (&Node, &NodeState, &Transport),
        (node_above, above, transport_above): (&Node, &NodeState, &Transport),
    ) -> Flux {
        match *self {
            Self::Body {
                material,
                distance,
                skin,
            } => {
                let m = materials[material].as_ref();
                let panels = match (node_below, node_above) {
                    (Node::Face, _) | (_, Node::Face) => FACE_PANELS,
                    _ => 1,
                };
                let at_face = |node: &Node, s: &NodeState, t: &Transport| match node {
                    Node::Face => m.transport(s.humidity, s.temperature),
                    _ => *t,
                };
                let a = at_face(node_below, below, transport_below);
                let b = at_face(node_above, above, transport_above);
                body(m, distance, skin, panels, (below, &a), (above, &b))
            }
            Self::Ground {
                vapour_resistance,
                thermal_resistance,
            } => ground(vapour_resistance, thermal_resistance, below, above),
            Self::Exchange {
                vapour_transfer,
                convection,
                emissivity,
            } => match node_below {
                Node::Air(_) => {
                    exchange(vapour_transfer, convection, emissivity, above, below).reversed()
                }
                _ => exchange(vapour_transfer, convection, emissivity, below, above),
            },
        }
    }
}

impl Flux {
    /// Derivatives with respect to the unknowns below.
    pub(super) fn by_below(&self) -> Matrix2<f64> {
        let (w, q) = (self.water_by_below, self.heat_by_below);
        Matrix2::new(w[0], w[1], q[0], q[1])
    }

    /// Derivatives with respect to the unknowns above.
    pub(super) fn by_above(&self) -> Matrix2<f64> {
        let (w, q) = (self.water_by_above, self.heat_by_above);
        Matrix2::new(w[0], w[1], q[0], q[1])
    }

    fn reversed(self) -> Self {
        let negate = |a: [f64; 2]| [-a[0], -a[1]];
        Self {
            water: -self.water,
            heat: -self.heat,
            water_by_below: negate(self.water_by_above),
            water_by_above: negate(self.water_by_below),
            heat_by_below: negate(self.heat_by_above),
            heat_by_above: negate(self.heat_by_below),
        }
    }
}

/// Vapour by vapour pressure, liquid by relative humidity, heat by conduction and with the water.
fn body(
    m: &dyn Material,
    d: f64,
    skin: f64,
    panels: usize,
    (a, ta): (&NodeState, &Transport),
    (b, tb): (&NodeState, &Transport),
) -> Flux {
    let middle_temperature = 0.5 * (a.temperature + b.temperature);
    // Simpson's rule over the states between the ends. A steep material needs more than one panel where the
    // states lie far apart, as they do at a face: with one, the flux can fall while the face dries.
    let (mut delta, mut k) = (0.0, 0.0);
    let (mut delta_a, mut delta_b, mut k_a, mut k_b) = (0.0, 0.0, 0.0, 0.0);
    let points = 2 * panels;
    for i in 0..=points {
        let share = i as f64 / points as f64;
        let weight = match i {
            _ if i == 0 || i == points => 1.0,
            _ if i % 2 == 1 => 4.0,
            _ => 2.0,
        } / (3.0 * points as f64);
        let between;
        let t = match i {
            0 => ta,
            _ if i == points => tb,
            _ => {
                between = m.transport(
                    a.humidity + share * (b.humidity - a.humidity),
                    a.temperature + share * (b.temperature - a.temperature),
                );
                &between
            }
        };
        delta += weight * t.vapour_permeability;
        k += weight * t.liquid_conductivity;
        delta_a += weight * (1.0 - share) * t.vapour_permeability_by_humidity;
        delta_b += weight * share * t.vapour_permeability_by_humidity;
        k_a += weight * (1.0 - share) * t.liquid_conductivity_by_humidity;
        k_b += weight * share * t.liquid_conductivity_by_humidity;
    }

    // A skin in series, in terms of vapour pressure: the material's own conductance for both parts is
    // (delta + K/psat)/d.
    let saturation = 0.5 * (a.saturation + b.saturation);
    let (passes, passes_a, passes_b) = if skin == 0.0 {
        (1.0, 0.0, 0.0)
    } else if skin.is_infinite() {
        (0.0, 0.0, 0.0)
    } else {
        let passes = 1.0 / (1.0 + skin * (delta + k / saturation) / d);
        let slope = -passes * passes * skin / d;
        (
            passes,
            slope * (delta_a + k_a / saturation),
            slope * (delta_b + k_b / saturation),
        )
    };

    let dp = (a.vapour_pressure - b.vapour_pressure) / d;
    let dh = (a.humidity - b.humidity) / d;
    let vapour = passes * delta * dp;
    let liquid = passes * k * dh;
    let vapour_by_a = [
        (passes * delta_a + passes_a * delta) * dp * a.humidity_by_unknown
            + passes * delta * a.vapour_pressure_by_unknown / d,
        passes * delta * a.vapour_pressure_by_temperature / d,
    ];
    let vapour_by_b = [
        (passes * delta_b + passes_b * delta) * dp * b.humidity_by_unknown
            - passes * delta * b.vapour_pressure_by_unknown / d,
        -passes * delta * b.vapour_pressure_by_temperature / d,
    ];
    let liquid_by_a = ((passes * k_a + passes_a * k) * dh + passes * k / d) * a.humidity_by_unknown;
    let liquid_by_b = ((passes * k_b + passes_b * k) * dh - passes * k / d) * b.humidity_by_unknown;

    let lambda = match (a.conductivity > 0.0, b.conductivity > 0.0) {
        (true, true) => 0.5 * (a.conductivity + b.conductivity),
        (true, false) => a.conductivity,
        _ => b.conductivity,
    };
    let c_w = air::SPECIFIC_HEAT_WATER;
    let h_v = vapour_enthalpy(middle_temperature);
    let h_l = c_w * middle_temperature;
    let carried = 0.5 * (vapour * air::SPECIFIC_HEAT_VAPOUR + liquid * c_w);
    Flux {
        water: vapour + liquid,
        heat: lambda * (a.temperature - b.temperature) / d + vapour * h_v + liquid * h_l,
        water_by_below: [vapour_by_a[0] + liquid_by_a, vapour_by_a[1]],
        water_by_above: [vapour_by_b[0] + liquid_by_b, vapour_by_b[1]],
        heat_by_below: [
            vapour_by_a[0] * h_v + liquid_by_a * h_l,
            lambda / d + vapour_by_a[1] * h_v + carried,
        ],
        heat_by_above: [
            vapour_by_b[0] * h_v + liquid_by_b * h_l,
            -lambda / d + vapour_by_b[1] * h_v + carried,
        ],
    }
}

/// Vapour through a retarder or none, heat through a resistance.
fn ground(vapour_resistance: f64, thermal_resistance: f64, a: &NodeState, b: &NodeState) -> Flux {
    let conductance = if vapour_resistance.is_finite() {
        1.0 / vapour_resistance
    } else {
        0.0
    };
    let u = 1.0 / thermal_resistance;
    let water = conductance * (a.vapour_pressure - b.vapour_pressure);
    let h_v = vapour_enthalpy(a.temperature);
    let by_a = [
        conductance * a.vapour_pressure_by_unknown,
        conductance * a.vapour_pressure_by_temperature,
    ];
    let by_b = [
        -conductance * b.vapour_pressure_by_unknown,
        -conductance * b.vapour_pressure_by_temperature,
    ];
    Flux {
        water,
        heat: u * (a.temperature - b.temperature) + water * h_v,
        water_by_below: by_a,
        water_by_above: by_b,
        heat_by_below: [
            by_a[0] * h_v,
            u + by_a[1] * h_v + water * air::SPECIFIC_HEAT_VAPOUR,
        ],
        heat_by_above: [by_b[0] * h_v, -u + by_b[1] * h_v],
    }
}

/// Evaporation, convection and radiation from a face `s` to air `a`.
fn exchange(beta: f64, convection: f64, emissivity: f64, s: &NodeState, a: &NodeState) -> Flux {
    let kelvin = 273.15 + 0.5 * (s.temperature + a.temperature);
    let h = convection + 4.0 * emissivity * STEFAN_BOLTZMANN * kelvin.powi(3);
    let water = beta * (s.vapour_pressure - a.vapour_pressure);
    let h_v = vapour_enthalpy(s.temperature);
    let by_s = [
        beta * s.vapour_pressure_by_unknown,
        beta * s.vapour_pressure_by_temperature,
    ];
    let by_a = [
        -beta * a.vapour_pressure_by_unknown,
        -beta * a.vapour_pressure_by_temperature,
    ];
    Flux {
        water,
        heat: h * (s.temperature - a.temperature) + water * h_v,
        water_by_below: by_s,
        water_by_above: by_a,
        heat_by_below: [
            by_s[0] * h_v,
            h + by_s[1] * h_v + water * air::SPECIFIC_HEAT_VAPOUR,
        ],
        heat_by_above: [by_a[0] * h_v, -h + by_a[1] * h_v],
    }
}
