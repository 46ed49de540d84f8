//! What flows into every node at a state, from its neighbours and from outside the chain, with the derivatives
//! that Newton's matrix needs.
//!
//! Symbols, equations and sources stand in [`super`].

use super::chain::{Column, Work};
use super::node::Node;
use super::step::Supply;
use crate::air;
use nalgebra::{Matrix2, Vector2};

/// Time over which the excess runs off \[s\].
const RUN_OFF_TIME: f64 = 600.0;
/// A film deeper than this runs off \[kg/m2\]; it is what a flat floor holds in its texture.
const FILM_LIMIT: f64 = 2.0;
/// Fluxes into every node at a state, and what came from outside the chain.
#[derive(Clone, Debug, Default)]
pub(super) struct Balance {
    pub(super) net: Vec<Vector2<f64>>,
    /// Inflow from outside by channel: supply to the air, nodes with given humidity or temperature, rain and
    /// run-off.
    pub(super) external: [Vector2<f64>; 3],
    pub(super) evaporation: f64,
    pub(super) from_below: f64,
}
impl Column {
    /// States, transport coefficients and fluxes at the given unknowns, into `work`.
    pub(super) fn evaluate(&self, work: &mut Work, unknowns: &[Vector2<f64>], ages: &[f64]) {
        for (i, node) in self.nodes.iter().enumerate() {
            let (u, t) = (unknowns[i][0], unknowns[i][1]);
            work.states[i] = node.evaluate(&self.materials, u, t, ages[i]);
            if let Node::Cell { material, .. } = *node {
                work.transports[i] = self.materials[material].transport(u, t, ages[i]);
            }
        }
        for (i, link) in self.links.iter().enumerate() {
            let end = |k: usize| {
                (
                    &self.nodes[k],
                    &work.states[k],
                    &work.transports[k],
                    ages[k],
                )
            };
            work.fluxes[i] = link.flux(&self.materials, end(i), end(i + 1));
        }
    }

    /// Inflow of every node, and with a matrix also its derivative times `-scale` added to the blocks.
    pub(super) fn balance(
        &self,
        work: &mut Work,
        supply: &impl Supply,
        scale: Option<f64>,
    ) -> Balance {
        let n = self.nodes.len();
        let mut balance = Balance {
            net: vec![Vector2::zeros(); n],
            ..Balance::default()
        };
        for (i, f) in work.fluxes.iter().enumerate() {
            let flow = Vector2::new(f.water, f.heat);
            balance.net[i] -= flow;
            balance.net[i + 1] += flow;
        }
        if let Some(scale) = scale {
            let m = &mut work.matrix;
            for (i, f) in work.fluxes.iter().enumerate() {
                let below = Matrix2::new(
                    f.water_by_below[0],
                    f.water_by_below[1],
                    f.heat_by_below[0],
                    f.heat_by_below[1],
                ) * scale;
                let above = Matrix2::new(
                    f.water_by_above[0],
                    f.water_by_above[1],
                    f.heat_by_above[0],
                    f.heat_by_above[1],
                ) * scale;
                m.diagonal[i] += below;
                m.upper[i] = above;
                m.lower[i + 1] = -below;
                m.diagonal[i + 1] -= above;
            }
        }
        if let Some(f) = work.fluxes.last() {
            balance.evaporation = f.water;
        }
        self.add_external(work, supply, scale, &mut balance);
        balance
    }

    fn add_external(
        &self,
        work: &mut Work,
        supply: &impl Supply,
        scale: Option<f64>,
        balance: &mut Balance,
    ) {
        let n = self.nodes.len();
        let c_w = air::SPECIFIC_HEAT_WATER;
        let top_face = self
            .nodes
            .iter()
            .rposition(|node| matches!(node, Node::Face));
        for i in 0..n {
            let s = work.states[i];
            if matches!(self.nodes[i], Node::Air(_)) && !(self.held[i][0] && self.held[i][1]) {
                // The supply's derivative by small differences: machines are polynomials with kinks.
                let (t, w) = (s.temperature, s.unknown);
                let at = supply.supply(t, w);
                let inflow = Vector2::new(at[0], at[1]);
                balance.net[i] += inflow;
                balance.external[0] += inflow;
                if let Some(scale) = scale {
                    let (dt, dw) = (1e-5, 1e-9);
                    let by_t = supply.supply(t + dt, w);
                    let by_w = supply.supply(t, w + dw);
                    work.matrix.diagonal[i] -= Matrix2::new(
                        (by_w[0] - at[0]) / dw,
                        (by_t[0] - at[0]) / dt,
                        (by_w[1] - at[1]) / dw,
                        (by_t[1] - at[1]) / dt,
                    ) * scale;
                }
            }
            if Some(i) == top_face && !self.held[i][0] {
                let over = s.water - FILM_LIMIT;
                let run_off = over.max(0.0) / RUN_OFF_TIME;
                let inflow = Vector2::new(
                    self.rain - run_off,
                    c_w * (self.rain * self.rain_temperature - run_off * s.temperature),
                );
                balance.net[i] += inflow;
                balance.external[2] += inflow;
                if let Some(scale) = scale.filter(|_| over > 0.0) {
                    let slope = -s.water_by_unknown / RUN_OFF_TIME;
                    work.matrix.diagonal[i] -=
                        Matrix2::new(slope, 0.0, slope * c_w * s.temperature, -run_off * c_w)
                            * scale;
                }
            }
            if self.held[i][0] {
                // What a node of given humidity passes on comes from outside the chain, as liquid water at the
                // node's temperature.
                let water = -balance.net[i][0];
                balance.external[1][0] += water;
                balance.net[i][0] = 0.0;
                // A wet-kept upper face is fed from above.
                if !matches!(self.nodes[i], Node::Air(_)) && Some(i) != top_face {
                    balance.from_below += water;
                }
                if !self.held[i][1] && !matches!(self.nodes[i], Node::Air(_)) {
                    let heat = water * c_w * s.temperature;
                    balance.external[1][1] += heat;
                    balance.net[i][1] += heat;
                    if let Some(scale) = scale {
                        work.matrix.diagonal[i][(1, 1)] -= water * c_w * scale;
                    }
                }
            }
            if self.held[i][1] {
                balance.external[1][1] -= balance.net[i][1];
                balance.net[i][1] = 0.0;
            }
        }
    }
}
