//! What flows into every node at a state, from its neighbours and from outside the chain, with the derivatives
//! that Newton's matrix needs.
//!
//! Symbols, equations and sources stand in [`super`].

use super::chain::Column;
use super::link::Past;
use super::node::{Memory, Node};
use super::supply::{Supply, supply_at, supply_slope};
use super::work::Work;
use crate::air;
use nalgebra::{Matrix2, Vector2};

impl Column {
    /// State and transport coefficients of a node at `work.trial`.
    pub(super) fn evaluate_node(&self, work: &mut Work, i: usize) {
        let node = &self.nodes[i];
        let (u, t) = (work.trial[i][0], work.trial[i][1]);
        let memory = Memory {
            maturity: work.maturities[i],
            driest: self.driest[i],
        };
        node.evaluate_into(&self.materials, u, t, memory, &mut work.states[i]);
        if let Node::Cell { material, .. } = *node {
            work.transports[i] = self.materials[material].transport(u, t);
        }
    }

    /// Fluxes over a link between two evaluated nodes.
    pub(super) fn evaluate_link(&self, work: &mut Work, i: usize) {
        let end = |k: usize| {
            let past = Past {
                driest: self.driest[k],
                cover: self.cover[k],
                maturity: work.maturities[k],
            };
            (&self.nodes[k], &work.states[k], &work.transports[k], past)
        };
        work.fluxes[i] = self.links[i].flux(&self.materials, end(i), end(i + 1));
    }

    /// States, transport coefficients and fluxes at `work.trial`.
    pub(super) fn evaluate(&self, work: &mut Work) {
        for i in 0..self.nodes.len() {
            self.evaluate_node(work, i);
        }
        for i in 0..self.links.len() {
            self.evaluate_link(work, i);
        }
    }

    /// The supply at the air's state in `work.trial`, with its derivatives when they are wanted.
    pub(super) fn supply_to_air(&self, work: &mut Work, supply: &impl Supply, derivatives: bool) {
        let Some(air) = self.free_air() else { return };
        let at = supply_at(supply, &work.trial[air]);
        work.supply.inflow = at;
        if derivatives {
            work.supply.by_unknowns = supply_slope(supply, &work.trial[air], &at);
        }
    }

    /// The air node whose state is not given, if there is one: the last node of the chain.
    pub(super) fn free_air(&self) -> Option<usize> {
        let last = self.nodes.len().checked_sub(1)?;
        let free = matches!(self.nodes[last], Node::Air(_)) && self.held[last] != [true, true];
        free.then_some(last)
    }

    fn top_face(&self) -> Option<usize> {
        self.nodes
            .iter()
            .rposition(|node| matches!(node, Node::Face))
            .filter(|&i| !self.held[i][0])
    }

    /// Inflow of every node from `work.fluxes`, `work.supply` and the state in `work.trial`, into `work.balance`.
    pub(super) fn gather(&self, work: &mut Work) {
        let balance = &mut work.balance;
        balance.external = [Vector2::zeros(); 3];
        balance.from_below = 0.0;
        let mut from_below = Vector2::zeros();
        for (net, f) in balance.net.iter_mut().zip(&work.fluxes) {
            let flow = Vector2::new(f.water, f.heat);
            *net = from_below - flow;
            from_below = flow;
        }
        balance.evaporation = from_below[0];
        if let Some(last) = balance.net.last_mut() {
            *last = from_below;
        }
        if let Some(air) = self.free_air() {
            balance.net[air] += work.supply.inflow;
            balance.external[0] += work.supply.inflow;
        }
        let c_w = air::SPECIFIC_HEAT_WATER;
        if let Some(face) = self.top_face() {
            let inflow = Vector2::new(self.rain, c_w * self.rain * self.rain_temperature);
            balance.net[face] += inflow;
            balance.external[2] += inflow;
        }
        let upper = self
            .nodes
            .iter()
            .rposition(|node| matches!(node, Node::Face));
        for (i, held) in self.held.iter().enumerate() {
            if held[0] {
                // What a node of given humidity passes on comes from outside the chain, as liquid water at the
                // node's temperature.
                let water = -balance.net[i][0];
                balance.external[1][0] += water;
                balance.net[i][0] = 0.0;
                // A wet-kept upper face is fed from above.
                if !matches!(self.nodes[i], Node::Air(_)) && Some(i) != upper {
                    balance.from_below += water;
                }
                if self.is_fed(i) {
                    let heat = water * c_w * work.trial[i][1];
                    balance.external[1][1] += heat;
                    balance.net[i][1] += heat;
                }
            }
            if held[1] {
                balance.external[1][1] -= balance.net[i][1];
                balance.net[i][1] = 0.0;
            }
        }
    }

    /// Newton's matrix, `dS/dy - scale dF/dy`, from the fluxes and states of the last evaluation; rows of given
    /// unknowns become those of the identity, and `work.right` zero there.
    pub(super) fn assemble(&self, work: &mut Work, scale: f64) {
        let m = &mut work.matrix;
        for (m, s) in m.diagonal.iter_mut().zip(&work.states) {
            *m = Matrix2::new(
                s.water_by_unknown,
                s.water_by_temperature,
                s.heat_by_unknown,
                s.heat_by_temperature,
            );
        }
        for (i, f) in work.fluxes.iter().enumerate() {
            let below = f.by_below() * scale;
            let above = f.by_above() * scale;
            m.diagonal[i] += below;
            m.upper[i] = above;
            m.lower[i + 1] = -below;
            m.diagonal[i + 1] -= above;
        }
        if let Some(air) = self.free_air() {
            m.diagonal[air] -= work.supply.by_unknowns * scale;
        }
        let c_w = air::SPECIFIC_HEAT_WATER;
        for (i, held) in self.held.iter().enumerate() {
            if self.is_fed(i) {
                // Water that the node passes on, as liquid at the node's temperature.
                let by_flow = c_w * work.trial[i][1] * scale;
                if let Some(up) = work.fluxes.get(i) {
                    m.diagonal[i][(1, 1)] -= up.water * c_w * scale;
                    add_to_heat(&mut m.diagonal[i], &up.by_below(), -by_flow);
                    add_to_heat(&mut m.upper[i], &up.by_above(), -by_flow);
                }
                if let Some(down) = i.checked_sub(1).map(|k| &work.fluxes[k]) {
                    m.diagonal[i][(1, 1)] += down.water * c_w * scale;
                    add_to_heat(&mut m.diagonal[i], &down.by_above(), by_flow);
                    add_to_heat(&mut m.lower[i], &down.by_below(), by_flow);
                }
            }
            for k in 0..2 {
                if held[k] {
                    for j in 0..2 {
                        m.lower[i][(k, j)] = 0.0;
                        m.upper[i][(k, j)] = 0.0;
                        m.diagonal[i][(k, j)] = if j == k { 1.0 } else { 0.0 };
                    }
                    work.right[i][k] = 0.0;
                }
            }
        }
    }

    /// Whether the water that a node passes on is fed to it from outside, as liquid at its temperature.
    fn is_fed(&self, i: usize) -> bool {
        self.held[i] == [true, false] && !matches!(self.nodes[i], Node::Air(_))
    }

    /// Carries fluxes along the last update in `work.right`, by their derivatives, and gathers them and the supply. What
    /// leaves one node still enters the next exactly, and no material is asked again.
    pub(super) fn carry_flows(&self, work: &mut Work) {
        for (i, f) in work.fluxes.iter_mut().enumerate() {
            let change = f.by_below() * work.right[i] + f.by_above() * work.right[i + 1];
            f.water += change[0];
            f.heat += change[1];
            work.flow_changes[i] = change[0];
        }
        work.supply.inflow = work.supply.updated;
        self.gather(work);
        // The heat of water that a node is fed is a product: its part of second order is not in the linearization.
        for i in (0..self.nodes.len()).filter(|&i| self.is_fed(i)) {
            let up = work.flow_changes.get(i).copied().unwrap_or(0.0);
            let down = i.checked_sub(1).map_or(0.0, |k| work.flow_changes[k]);
            let beyond = (up - down) * air::SPECIFIC_HEAT_WATER * work.right[i][1];
            work.balance.net[i][1] -= beyond;
            work.balance.external[1][1] -= beyond;
        }
    }
}

/// Adds the derivatives of a flow of water, times a factor, to those of a node's heat.
fn add_to_heat(of_heat: &mut Matrix2<f64>, of_flow: &Matrix2<f64>, factor: f64) {
    for column in 0..2 {
        of_heat[(1, column)] += of_flow[(0, column)] * factor;
    }
}
