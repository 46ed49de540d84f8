//! The chain itself: its nodes, links and state, what can be read of it, and its books of water and heat.
//!
//! Symbols, equations and sources stand in [`super`].

use super::link::Link;
use super::material::Material;
use super::node::{FREE_WATER_SCALE, Memory, Node, NodeState};
use super::work::Work;
use nalgebra::Vector2;
use std::sync::Arc;

/// Throughput that the balance is held against at least, as a share of what is stored.
const LEAST_SHARE: f64 = 1e-6;

/// Water and heat that crossed the boundary since the start, for the balance.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Books {
    pub(super) start: [f64; 2],
    pub(super) external: [f64; 2],
    pub(super) throughput: [f64; 2],
}

/// A chain of nodes with its state.
#[derive(Clone, Debug)]
pub struct Column {
    pub(super) materials: Vec<Arc<dyn Material>>,
    pub(super) nodes: Vec<Node>,
    pub(super) links: Vec<Link>,
    /// Whether moisture or temperature of a node is given.
    pub(super) held: Vec<[bool; 2]>,
    pub(super) unknowns: Vec<Vector2<f64>>,
    pub(super) ages: Vec<f64>,
    /// Lowest degree of saturation on the drying curve that each cell has had.
    pub(super) driest: Vec<f64>,
    /// Share of each cell's coarse pores that draw in water.
    pub(super) cover: Vec<f64>,
    /// Free water that falls on the topmost face \[kg/(m2 s)\].
    pub rain: f64,
    /// Temperature of that water \[degC\].
    pub rain_temperature: f64,
    pub(super) books: Books,
    /// What the books say each node holds. Newton's method leaves a small difference to what its state holds; the next
    /// step starts from the books, so that the differences never add up.
    pub(super) booked: Vec<Vector2<f64>>,
    /// Water and heat over each link at the end of the last step.
    pub(super) last_fluxes: Vec<[f64; 2]>,
    /// Whether `last_fluxes` belong to the present state and links, but for the topmost link.
    pub(super) fresh: bool,
    pub(super) work: Work,
}

impl Column {
    /// A chain from `nodes` (bottom up), the `links` between them (one fewer), and the initial unknowns.
    ///
    /// # Panics
    /// When the lengths do not fit: a fault of the caller, not of input.
    #[must_use]
    pub fn new(
        materials: Vec<Arc<dyn Material>>,
        nodes: Vec<Node>,
        links: Vec<Link>,
        initial: &[(f64, f64)],
    ) -> Self {
        assert!(nodes.len() == initial.len() && links.len() + 1 == nodes.len());
        let n = nodes.len();
        let held = nodes
            .iter()
            .map(|node| [matches!(node, Node::Soil { .. }), false])
            .collect();
        let mut column = Self {
            materials,
            nodes,
            links,
            held,
            unknowns: initial.iter().map(|&(u, t)| Vector2::new(u, t)).collect(),
            ages: vec![0.0; n],
            driest: vec![1.0; n],
            cover: vec![1.0; n],
            rain: 0.0,
            rain_temperature: 10.0,
            books: Books::default(),
            booked: vec![Vector2::zeros(); n],
            last_fluxes: vec![[0.0; 2]; n - 1],
            fresh: false,
            work: Work::new(n),
        };
        for i in 0..n {
            column.forget(i);
        }
        column.open_books();
        column
    }

    /// Gives the moisture and temperature of node `index` a fixed value, or frees them with `None`.
    pub fn hold(&mut self, index: usize, unknown: Option<f64>, temperature: Option<f64>) {
        self.held[index] = [unknown.is_some(), temperature.is_some()];
        if let Some(u) = unknown {
            self.unknowns[index][0] = u;
        }
        if let Some(t) = temperature {
            self.unknowns[index][1] = t;
        }
        self.open_books();
    }

    /// Changes the values of a node whose moisture and temperature are both given; the books go on.
    pub fn drive(&mut self, index: usize, unknown: f64, temperature: f64) {
        debug_assert!(self.held[index] == [true, true]);
        self.unknowns[index] = Vector2::new(unknown, temperature);
        // The topmost link is evaluated anew in every step.
        self.fresh &= index + 1 == self.nodes.len();
    }

    /// Gives Newton's method another start for a face without a film, which stores nothing; the books go on.
    pub fn start_from(&mut self, face: usize, humidity: f64) {
        if matches!(self.nodes[face], Node::Face) && self.unknowns[face][0] < 1.0 {
            self.unknowns[face][0] = humidity.min(1.0);
            self.fresh = false;
        }
    }

    /// Sets the unknowns of one node; the books start anew.
    pub fn set(&mut self, index: usize, unknown: f64, temperature: f64) {
        self.unknowns[index] = Vector2::new(unknown, temperature);
        self.forget(index);
        self.open_books();
    }

    /// Sets the share of a cell's coarse pores that draw in water, 0..1.
    pub fn set_cover(&mut self, index: usize, share: f64) {
        self.cover[index] = share;
    }

    /// Lets a cell start on the drying curve.
    fn forget(&mut self, index: usize) {
        self.driest[index] = 1.0;
        self.remember(index);
    }

    /// Notes how dry a cell is.
    pub(super) fn remember(&mut self, index: usize) {
        if let Node::Cell { material, .. } = self.nodes[index] {
            let u = self.unknowns[index];
            let saturation = self.materials[material].saturation_when_drying(u[0], u[1]);
            self.driest[index] = self.driest[index].min(saturation);
        }
    }

    /// Sets the age of every cell \[s\].
    pub fn set_age(&mut self, age: f64) {
        self.ages.fill(age);
        self.open_books();
    }

    /// Starts the balance of water and heat anew.
    pub fn open_books(&mut self) {
        for i in 0..self.nodes.len() {
            let s = self.state_of(i);
            self.booked[i] = Vector2::new(s.water, s.heat);
        }
        self.fresh = false;
        self.books = Books {
            start: self.stored(),
            ..Books::default()
        };
    }

    /// The nodes, bottom up.
    #[must_use]
    pub fn nodes(&self) -> &[Node] {
        &self.nodes
    }

    /// The links, bottom up.
    #[must_use]
    pub fn links(&self) -> &[Link] {
        &self.links
    }

    /// The links, to change a face or a film coefficient between steps.
    pub fn links_mut(&mut self) -> &mut [Link] {
        self.fresh = false;
        &mut self.links
    }

    /// Replaces the topmost link, the one to the air: between steps, at less cost than [`Self::links_mut`].
    pub fn set_topmost_link(&mut self, link: Link) {
        if let Some(last) = self.links.last_mut() {
            *last = link;
        }
    }

    /// Replaces the air node's store (another room, another pressure).
    pub fn set_node(&mut self, index: usize, node: Node) {
        self.nodes[index] = node;
        self.open_books();
    }

    /// The materials.
    #[must_use]
    pub fn materials(&self) -> &[Arc<dyn Material>] {
        &self.materials
    }

    /// Moisture unknown and temperature of a node.
    #[must_use]
    pub fn state(&self, index: usize) -> (f64, f64) {
        (self.unknowns[index][0], self.unknowns[index][1])
    }

    /// Relative humidity of a cell or face, capped at 1 (above it the pores are merely full).
    #[must_use]
    pub fn humidity(&self, index: usize) -> f64 {
        self.unknowns[index][0].min(1.0)
    }

    /// Free water on a face \[kg/m2\].
    #[must_use]
    pub fn free_water(&self, index: usize) -> f64 {
        (self.unknowns[index][0] - 1.0).max(0.0) * FREE_WATER_SCALE
    }

    /// Age of a cell \[s\].
    #[must_use]
    pub fn age(&self, index: usize) -> f64 {
        self.ages[index]
    }

    /// Evaporable water of a cell \[kg/m3\]; `None` for other nodes.
    #[must_use]
    pub fn water(&self, index: usize) -> Option<f64> {
        match self.nodes[index] {
            Node::Cell { material, .. } => {
                let [u, t] = [self.unknowns[index][0], self.unknowns[index][1]];
                Some(self.water_of(index, material, u, t))
            }
            _ => None,
        }
    }

    /// Evaporable water that a cell would hold at another state \[kg/m3\]; `None` for other nodes.
    #[must_use]
    pub fn water_at(&self, index: usize, humidity: f64, temperature: f64) -> Option<f64> {
        match self.nodes[index] {
            Node::Cell { material, .. } => {
                Some(self.water_of(index, material, humidity, temperature))
            }
            _ => None,
        }
    }

    fn water_of(&self, index: usize, material: usize, humidity: f64, temperature: f64) -> f64 {
        let m = &self.materials[material];
        let maturity = m.maturity(self.ages[index]);
        m.storage_after(humidity, temperature, maturity, self.driest[index])
            .water
    }

    pub(super) fn state_of(&self, i: usize) -> NodeState {
        let maturity = match self.nodes[i] {
            Node::Cell { material, .. } => self.materials[material].maturity(self.ages[i]),
            _ => 0.0,
        };
        let memory = Memory {
            maturity,
            driest: self.driest[i],
        };
        let u = self.unknowns[i];
        self.nodes[i].evaluate(&self.materials, u[0], u[1], memory)
    }

    /// Water and heat in all nodes whose state is not given \[kg/m2, J/m2\].
    pub(super) fn stored(&self) -> [f64; 2] {
        let mut sum = [0.0; 2];
        for i in 0..self.nodes.len() {
            let s = self.state_of(i);
            if !self.held[i][0] {
                sum[0] += s.water;
            }
            if !self.held[i][1] {
                sum[1] += s.heat;
            }
        }
        sum
    }

    /// Residual of the water and heat balance since the books were opened, as a share of the throughput.
    #[must_use]
    pub fn balance_errors(&self) -> (f64, f64) {
        let now = self.stored();
        let share = |k: usize| {
            let residual = now[k] - self.books.start[k] - self.books.external[k];
            // Where next to nothing passes, rounding of what is stored would stand against nothing.
            let least = LEAST_SHARE * now[k].abs().max(self.books.start[k].abs());
            let throughput = self.books.throughput[k]
                .max((now[k] - self.books.start[k]).abs())
                .max(least);
            if throughput > 0.0 {
                (residual / throughput).abs()
            } else {
                residual.abs()
            }
        };
        (share(0), share(1))
    }
}
