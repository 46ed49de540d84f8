//! Memory that every step uses anew, so that no step asks the system for any.

use super::block::BlockTridiagonal;
use super::link::Flux;
use super::material::Transport;
use super::node::NodeState;
use nalgebra::{Matrix2, Vector2};

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

impl Balance {
    pub(super) fn new(nodes: usize) -> Self {
        Self {
            net: vec![Vector2::zeros(); nodes],
            ..Self::default()
        }
    }
}

/// What the surroundings bring into the air node, and its derivatives with respect to the node's two unknowns.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct AirSupply {
    pub(super) inflow: Vector2<f64>,
    /// The inflow after the last update.
    pub(super) updated: Vector2<f64>,
    pub(super) by_unknowns: Matrix2<f64>,
}

impl AirSupply {
    /// The inflow after a change of the air's unknowns, by the derivatives.
    pub(super) fn carried(&self, change: &Vector2<f64>) -> Vector2<f64> {
        self.inflow + self.by_unknowns * change
    }
}

/// Memory of a step. Only the estimate of Newton's contraction outlives it.
#[derive(Clone, Debug, Default)]
pub(super) struct Work {
    pub(super) matrix: BlockTridiagonal,
    pub(super) states: Vec<NodeState>,
    pub(super) transports: Vec<Transport>,
    pub(super) fluxes: Vec<Flux>,
    pub(super) right: Vec<Vector2<f64>>,
    pub(super) trial: Vec<Vector2<f64>>,
    pub(super) trial_ages: Vec<f64>,
    pub(super) rates: Vec<f64>,
    pub(super) maturities: Vec<f64>,
    pub(super) base: Vec<Vector2<f64>>,
    pub(super) last_change: Vec<f64>,
    /// Change of each link's flow of water by Newton's last update \[kg/(m2 s)\].
    pub(super) flow_changes: Vec<f64>,
    pub(super) supply: AirSupply,
    /// What is left after one of Newton's updates over the square of that update, both in units of the tolerance.
    pub(super) contraction: f64,
    /// Flows of the latest evaluation, at the start of the step, and at the end of its first stage.
    pub(super) balance: Balance,
    pub(super) start: Balance,
    pub(super) first: Balance,
}

impl Work {
    /// Memory for a chain of so many nodes.
    pub(super) fn new(nodes: usize) -> Self {
        let links = nodes.saturating_sub(1);
        Self {
            matrix: BlockTridiagonal::new(nodes),
            states: vec![NodeState::default(); nodes],
            transports: vec![Transport::default(); nodes],
            fluxes: vec![Flux::default(); links],
            right: vec![Vector2::zeros(); nodes],
            trial: vec![Vector2::zeros(); nodes],
            trial_ages: vec![0.0; nodes],
            rates: vec![0.0; nodes],
            maturities: vec![0.0; nodes],
            base: vec![Vector2::zeros(); nodes],
            last_change: vec![0.0; nodes],
            flow_changes: vec![0.0; links],
            supply: AirSupply::default(),
            contraction: f64::INFINITY,
            balance: Balance::new(nodes),
            start: Balance::new(nodes),
            first: Balance::new(nodes),
        }
    }
}
