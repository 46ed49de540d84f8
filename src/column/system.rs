//! The semi-discrete system that the steps solve, for other solvers of ordinary differential equations.
//!
//! ```text
//! dS/dy dy/dt + dS/dt by ageing = F(y)       da/dt = r(y)
//! ```
//! `y` holds two unknowns for each node, `S` stored water and heat, `F` the inflow from neighbours and surroundings, `a`
//! the ages of the cells. Where a node stores nothing (a face without a film) its rows of `dS/dy` are zero and `F = 0` is
//! an algebraic equation. Rows of given unknowns are those of `dy/dt = 0`.
//!
//! Symbols and sources stand in [`super`]. `benches/against_bdf` hands this system to a general-purpose solver, and so
//! checks the steps as well: both give the same drying time.

use super::chain::Column;
use super::node::{Memory, Node};
use super::supply::Supply;
use nalgebra::Vector2;

/// One node's part of the system.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct NodeEquation {
    /// Inflow of water \[kg/(m2 s)\] and heat \[W/m2\], `F`.
    pub inflow: [f64; 2],
    /// Derivatives of stored water and heat (rows) with respect to the node's unknowns (columns), `dS/dy`.
    pub storage: [[f64; 2]; 2],
    /// What ageing adds to stored water \[kg/(m2 s)\] and heat \[W/m2\] at a given state.
    pub by_ageing: [f64; 2],
    /// How fast the age grows.
    pub ageing_rate: f64,
}

impl Column {
    /// The equations at a state: `unknowns` and `ages`, one for each node, into `equations`.
    ///
    /// The effect of ageing is a difference quotient over a hundredth of the age; all else is exact.
    ///
    /// # Panics
    /// When the lengths do not fit: a fault of the caller, not of input.
    pub fn equations(
        &mut self,
        unknowns: &[(f64, f64)],
        ages: &[f64],
        supply: &impl Supply,
        equations: &mut Vec<NodeEquation>,
    ) {
        /// Share of the age over which its effect is measured.
        const SHARE: f64 = 0.01;
        let n = self.nodes.len();
        assert!(unknowns.len() == n && ages.len() == n);
        let mut work = std::mem::take(&mut self.work);
        for (trial, &(u, t)) in work.trial.iter_mut().zip(unknowns) {
            *trial = Vector2::new(u, t);
        }
        for (i, node) in self.nodes.iter().enumerate() {
            if let Node::Cell { material, .. } = *node {
                work.maturities[i] = self.materials[material].maturity(ages[i]);
            }
        }
        self.evaluate(&mut work);
        self.supply_to_air(&mut work, supply, false);
        self.gather(&mut work);
        equations.clear();
        for (i, node) in self.nodes.iter().enumerate() {
            let s = &work.states[i];
            let (u, t) = unknowns[i];
            let mut equation = NodeEquation {
                inflow: work.balance.net[i].into(),
                storage: [
                    [s.water_by_unknown, s.water_by_temperature],
                    [s.heat_by_unknown, s.heat_by_temperature],
                ],
                ..NodeEquation::default()
            };
            if let Node::Cell { material, .. } = *node {
                let m = &self.materials[material];
                equation.ageing_rate = m.ageing_rate(u, t);
                let older = m.maturity(ages[i] * (1.0 + SHARE));
                let memory = Memory {
                    maturity: older,
                    driest: self.driest[i],
                };
                let later = node.evaluate(&self.materials, u, t, memory);
                let per_second = equation.ageing_rate / (SHARE * ages[i]).max(f64::MIN_POSITIVE);
                equation.by_ageing = [
                    (later.water - s.water) * per_second,
                    (later.heat - s.heat) * per_second,
                ];
            }
            for (k, held) in self.held[i].into_iter().enumerate() {
                if held {
                    equation.inflow[k] = 0.0;
                    equation.by_ageing[k] = 0.0;
                    equation.storage[k] = [0.0; 2];
                    equation.storage[k][k] = 1.0;
                }
            }
            equations.push(equation);
        }
        self.work = work;
    }
}
