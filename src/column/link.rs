//! The links of the chain: water and heat from one node to the next.

use super::material::{Material, Potential, Transport};
use super::node::{Node, NodeState};
use crate::air;
use nalgebra::Matrix2;

/// Stefan-Boltzmann constant \[W/(m2 K4)\].
const STEFAN_BOLTZMANN: f64 = 5.670_374e-8;

/// Panels of Simpson's rule over a link to a face; 1 elsewhere.
const FACE_PANELS: usize = 4;

/// Film of water that covers a face \[kg/m2\], a twentieth of a millimetre: thinner ones cover a part of it (engineering judgement;
/// it makes the change from dry to covered smooth).
pub(super) const COVERING_WATER: f64 = 0.05;

/// Resistances to vapour on a face \[m2 s Pa/kg\].
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Skin {
    /// Of a skin of the concrete itself, such as a trowelled one. Its pores draw in liquid water, so that it does not resist where a
    /// film of water covers it.
    pub porous: f64,
    /// Of what lets no liquid through: curing compound, sheet, coating. Infinite when nothing passes.
    pub tight: f64,
}

impl Skin {
    /// A porous skin and nothing on it.
    #[must_use]
    pub const fn porous(resistance: f64) -> Self {
        Self {
            porous: resistance,
            tight: 0.0,
        }
    }

    /// Something tight on an open face.
    #[must_use]
    pub const fn tight(resistance: f64) -> Self {
        Self {
            porous: 0.0,
            tight: resistance,
        }
    }

    /// Resistance at a face, and its derivative with respect to the face's unknown.
    fn at(&self, face: &NodeState) -> (f64, f64) {
        let dry = (1.0 - face.water / COVERING_WATER).max(0.0);
        let by_unknown = if dry > 0.0 {
            -self.porous * face.water_by_unknown / COVERING_WATER
        } else {
            0.0
        };
        (self.tight + self.porous * dry, by_unknown)
    }
}

/// How two neighbours exchange water and heat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Link {
    /// Through porous material, between two cell centres or between a cell centre and a face.
    Body {
        /// Index into the column's materials.
        material: usize,
        /// Distance \[m\].
        distance: f64,
        /// What lies on a face, in series.
        skin: Skin,
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
        (node_below, below, transport_below, past_below): (&Node, &NodeState, &Transport, Past),
        (node_above, above, transport_above, past_above): (&Node, &NodeState, &Transport, Past),
    ) -> Flux {
        match *self {
            Self::Body {
                material,
                distance,
                skin,
            } => {
                let m = materials[material].as_ref();
                let (resistance, by_face) = match (node_below, node_above) {
                    (Node::Face, _) => skin.at(below),
                    (_, Node::Face) => skin.at(above),
                    _ => (0.0, 0.0),
                };
                let (at_a, at_b);
                let ta = if matches!(node_below, Node::Face) {
                    at_a = m.transport(below.humidity, below.temperature);
                    &at_a
                } else {
                    transport_below
                };
                let tb = if matches!(node_above, Node::Face) {
                    at_b = m.transport(above.humidity, above.temperature);
                    &at_b
                } else {
                    transport_above
                };
                let Some((pa, pb)) = ta.potential.as_ref().zip(tb.potential.as_ref()) else {
                    let panels = match (node_below, node_above) {
                        (Node::Face, _) | (_, Node::Face) => FACE_PANELS,
                        _ => 1,
                    };
                    let means = simpson(m, panels, (below, ta), (above, tb));
                    let through = passes(resistance, distance, below, above, &means);
                    return body(distance, through, &means, below, above);
                };
                let past = |node: &Node, past| matches!(node, Node::Cell { .. }).then_some(past);
                let a = (below, ta, pa, past(node_below, past_below));
                let b = (above, tb, pb, past(node_above, past_above));
                if resistance > 0.0 && resistance.is_finite() {
                    let skin = (resistance, by_face);
                    return match node_below {
                        Node::Face => under_skin(m, distance, skin, b, below).reversed(),
                        _ => under_skin(m, distance, skin, a, above),
                    };
                }
                let means = kirchhoff(m, a, b);
                let through = passes(resistance, distance, below, above, &means);
                body(distance, through, &means, below, above)
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

/// Mean coefficients of a link and their derivatives with respect to the humidities at its ends.
struct Means {
    vapour: f64,
    vapour_by: [f64; 2],
    /// Liquid flux times distance, positive from `a` to `b`.
    liquid: f64,
    liquid_by: [f64; 2],
    liquid_by_temperature: [f64; 2],
}

/// What a cell's past decides of the liquid that it lets through.
#[derive(Clone, Copy, Debug)]
pub(super) struct Past {
    /// The lowest degree of saturation so far.
    pub(super) driest: f64,
    /// Share of the coarse pores that draw in water.
    pub(super) cover: f64,
    /// What its age decides, as the material measures it.
    pub(super) maturity: f64,
}

/// An end of a link: its state, transport coefficients, potential, and past where it is a cell.
type End<'a> = (&'a NodeState, &'a Transport, &'a Potential, Option<Past>);

/// Simpson's rule over the states between the ends. A steep material needs more than one panel where the states lie far
/// apart, as they do at a face: with one, the flux can fall while the face dries.
fn simpson(
    m: &dyn Material,
    panels: usize,
    (a, ta): (&NodeState, &Transport),
    (b, tb): (&NodeState, &Transport),
) -> Means {
    let (mut delta, mut k) = (0.0, 0.0);
    let (mut delta_by, mut k_by) = ([0.0; 2], [0.0; 2]);
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
        for (end, share) in [1.0 - share, share].into_iter().enumerate() {
            delta_by[end] += weight * share * t.vapour_permeability_by_humidity;
            k_by[end] += weight * share * t.liquid_conductivity_by_humidity;
        }
    }
    let dh = a.humidity - b.humidity;
    Means {
        vapour: delta,
        vapour_by: delta_by,
        liquid: k * dh,
        liquid_by: [k_by[0] * dh + k, k_by[1] * dh - k],
        liquid_by_temperature: [0.0; 2],
    }
}

/// Kirchhoff's potential for the liquid, at the mean factor of temperature; the mean permeability for vapour. Where the wetter end is wetted
/// again, its coarse pores add to the flow. A face has the past of the cell beneath it.
fn kirchhoff(m: &dyn Material, (a, ta, pa, past_a): End, (b, tb, pb, past_b): End) -> Means {
    let factor = 0.5 * (pa.factor + pb.factor);
    let mut difference = pa.value - pb.value;
    let mut slopes = [pa.slope, -pb.slope];
    let (wetter, past) = if b.humidity > a.humidity {
        (b, past_b.or(past_a))
    } else {
        (a, past_a.or(past_b))
    };
    let on_the_way_down = |parting| wetter.humidity <= parting;
    if !wetter.parting.is_some_and(on_the_way_down)
        && let Some(past) = past
        && let Some(w) = m.wetting(wetter.humidity, wetter.temperature, past.driest)
    {
        let (coarse_a, by_a) = w.potential(a.humidity);
        let (coarse_b, by_b) = w.potential(b.humidity);
        difference += past.cover * (coarse_a - coarse_b);
        slopes[0] += past.cover * by_a;
        slopes[1] -= past.cover * by_b;
    }
    if let Some(maturity) = mean_maturity(past_a, past_b)
        && let Some(fed) = m.feeding(maturity)
    {
        let (fed_a, by_a) = fed.potential(a.humidity);
        let (fed_b, by_b) = fed.potential(b.humidity);
        difference += fed_a - fed_b;
        slopes[0] += by_a;
        slopes[1] -= by_b;
    }
    Means {
        vapour: 0.5 * (ta.vapour_permeability + tb.vapour_permeability),
        vapour_by: [
            0.5 * ta.vapour_permeability_by_humidity,
            0.5 * tb.vapour_permeability_by_humidity,
        ],
        liquid: factor * difference,
        liquid_by: slopes.map(|slope| factor * slope),
        liquid_by_temperature: [
            0.5 * pa.factor_by_temperature * difference,
            0.5 * pb.factor_by_temperature * difference,
        ],
    }
}

/// Maturity between two cells, or of the one that there is.
fn mean_maturity(a: Option<Past>, b: Option<Past>) -> Option<f64> {
    match (a, b) {
        (Some(a), Some(b)) => Some(f64::midpoint(a.maturity, b.maturity)),
        (one, other) => one.or(other).map(|past| past.maturity),
    }
}

/// For a material without a potential: share of the flux that a skin in series lets pass, in terms of vapour pressure, where the material's own conductance
/// for both parts is `(delta + K/psat)/d`; with its derivatives with respect to the humidities.
fn passes(skin: f64, d: f64, a: &NodeState, b: &NodeState, means: &Means) -> (f64, [f64; 2]) {
    /// Below this difference of humidity the ratio of two differences has no digits left.
    const SMALL: f64 = 1e-7;
    if skin == 0.0 {
        return (1.0, [0.0; 2]);
    }
    if skin.is_infinite() {
        return (0.0, [0.0; 2]);
    }
    let dh = a.humidity - b.humidity;
    let (k, k_by) = if dh.abs() > SMALL {
        let k = means.liquid / dh;
        (
            k,
            [(means.liquid_by[0] - k) / dh, (means.liquid_by[1] + k) / dh],
        )
    } else {
        (0.5 * (means.liquid_by[0] - means.liquid_by[1]), [0.0; 2])
    };
    let saturation = 0.5 * (a.saturation + b.saturation);
    let passes = 1.0 / (1.0 + skin * (means.vapour + k / saturation) / d);
    let slope = -passes * passes * skin / d;
    (
        passes,
        [0, 1].map(|end| slope * (means.vapour_by[end] + k_by[end] / saturation)),
    )
}

/// From a cell `c` to a face `f` under a skin. The humidity between material and skin, where both pass the same flux, is
/// eliminated, so that the skin acts alike however thick the cell is. `skin` is the resistance with its derivative with respect to
/// the face's unknown.
fn under_skin(
    m: &dyn Material,
    d: f64,
    (skin, skin_by_face): (f64, f64),
    cell: End,
    f: &NodeState,
) -> Flux {
    /// Iterations and accuracy for the humidity under the skin: its equation is monotone and convex, so that Newton's
    /// method from above cannot fail.
    const ITERATIONS: u32 = 30;
    const ACCURACY: f64 = 1e-14;
    let c = cell.0;
    let mut inner = NodeState {
        humidity: c.humidity.max(f.humidity),
        humidity_by_unknown: 1.0,
        vapour_pressure_by_unknown: f.saturation,
        ..*f
    };
    let through_skin = f.saturation / skin;
    let slope = f.vapour_pressure_by_temperature / f.humidity;
    let mut flux = Flux::default();
    let mut by_inner = -through_skin;
    for _ in 0..ITERATIONS {
        inner.vapour_pressure = inner.humidity * f.saturation;
        inner.vapour_pressure_by_temperature = inner.humidity * slope;
        let ti = m.transport(inner.humidity, inner.temperature);
        let Some(pi) = ti.potential else { break };
        let means = kirchhoff(m, cell, (&inner, &ti, &pi, None));
        flux = body(d, (1.0, [0.0; 2]), &means, c, &inner);
        by_inner = flux.water_by_above[0] - through_skin;
        let excess = flux.water - (inner.humidity - f.humidity) * through_skin;
        let change = -excess / by_inner;
        inner.humidity += change;
        if change.abs() < ACCURACY {
            break;
        }
    }
    // Derivatives of the humidity under the skin, by the rule for implicit functions.
    let by_face_temperature = flux.water_by_above[1] - (inner.humidity - f.humidity) * slope / skin;
    let inner_by_cell = flux.water_by_below.map(|by| -by / by_inner);
    let inner_by_face = [
        -(through_skin * f.humidity_by_unknown
            + (inner.humidity - f.humidity) * through_skin / skin * skin_by_face)
            / by_inner,
        -by_face_temperature / by_inner,
    ];
    let [water, heat] = [flux.water_by_above, flux.heat_by_above];
    for k in 0..2 {
        flux.water_by_below[k] += water[0] * inner_by_cell[k];
        flux.heat_by_below[k] += heat[0] * inner_by_cell[k];
    }
    flux.water_by_above = [
        water[0] * inner_by_face[0],
        water[1] + water[0] * inner_by_face[1],
    ];
    flux.heat_by_above = [
        heat[0] * inner_by_face[0],
        heat[1] + heat[0] * inner_by_face[1],
    ];
    flux
}

/// Vapour by vapour pressure, liquid by relative humidity, heat by conduction and with the water. `passes` is the share
/// that a skin lets pass, with its derivatives with respect to the humidities.
fn body(
    d: f64,
    (passes, passes_by): (f64, [f64; 2]),
    means: &Means,
    a: &NodeState,
    b: &NodeState,
) -> Flux {
    let middle_temperature = 0.5 * (a.temperature + b.temperature);
    let per_distance = 1.0 / d;
    let through = passes * per_distance;
    let dp = (a.vapour_pressure - b.vapour_pressure) * per_distance;
    let vapour = passes * means.vapour * dp;
    let liquid = through * means.liquid;
    let vapour_by = |end: usize, sign: f64, s: &NodeState| {
        [
            (passes * means.vapour_by[end] + passes_by[end] * means.vapour)
                * dp
                * s.humidity_by_unknown
                + sign * through * means.vapour * s.vapour_pressure_by_unknown,
            sign * through * means.vapour * s.vapour_pressure_by_temperature,
        ]
    };
    let (vapour_by_a, vapour_by_b) = (vapour_by(0, 1.0, a), vapour_by(1, -1.0, b));
    let liquid_by = |end: usize, s: &NodeState| {
        [
            (through * means.liquid_by[end] + passes_by[end] * means.liquid * per_distance)
                * s.humidity_by_unknown,
            through * means.liquid_by_temperature[end],
        ]
    };
    let (liquid_by_a, liquid_by_b) = (liquid_by(0, a), liquid_by(1, b));

    let lambda = match (a.conductivity > 0.0, b.conductivity > 0.0) {
        (true, true) => 0.5 * (a.conductivity + b.conductivity),
        (true, false) => a.conductivity,
        _ => b.conductivity,
    };
    let conductance = lambda * per_distance;
    let c_w = air::SPECIFIC_HEAT_WATER;
    let h_v = vapour_enthalpy(middle_temperature);
    let h_l = c_w * middle_temperature;
    let carried = 0.5 * (vapour * air::SPECIFIC_HEAT_VAPOUR + liquid * c_w);
    Flux {
        water: vapour + liquid,
        heat: conductance * (a.temperature - b.temperature) + vapour * h_v + liquid * h_l,
        water_by_below: [
            vapour_by_a[0] + liquid_by_a[0],
            vapour_by_a[1] + liquid_by_a[1],
        ],
        water_by_above: [
            vapour_by_b[0] + liquid_by_b[0],
            vapour_by_b[1] + liquid_by_b[1],
        ],
        heat_by_below: [
            vapour_by_a[0] * h_v + liquid_by_a[0] * h_l,
            conductance + vapour_by_a[1] * h_v + liquid_by_a[1] * h_l + carried,
        ],
        heat_by_above: [
            vapour_by_b[0] * h_v + liquid_by_b[0] * h_l,
            -conductance + vapour_by_b[1] * h_v + liquid_by_b[1] * h_l + carried,
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
    // Of the mean temperature's third power.
    let bend =
        6.0 * emissivity * STEFAN_BOLTZMANN * kelvin * kelvin * (s.temperature - a.temperature);
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
            h + bend + by_s[1] * h_v + water * air::SPECIFIC_HEAT_VAPOUR,
        ],
        heat_by_above: [by_a[0] * h_v, bend - h + by_a[1] * h_v],
    }
}
