//! The slab and what lies under it, as a chain of nodes.

use super::START_AGE;
use crate::air::MoistAir;
use crate::column::{AirStore, Column, Grid, Link, Node, Refinement, Skin};
use crate::concrete::{Concrete, Tabulated};
use crate::room::face_link;
use std::sync::Arc;

/// What lies under the slab.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Underside {
    /// Nothing passes, neither water nor heat.
    Sealed,
    /// Ground behind a layer of the given resistance to vapour \[m2 s Pa/kg\].
    Retarder {
        /// Resistance \[m2 s Pa/kg\].
        resistance: f64,
    },
    /// Wet ground in contact with the slab.
    BareGround,
    /// Still air of a given state; `open_share` of the area lets vapour through (1 for bare concrete, less for
    /// a perforated metal deck).
    Air {
        /// Temperature \[degC\].
        temperature: f64,
        /// Relative humidity.
        relative_humidity: f64,
        /// Share of the underside that is open to vapour.
        open_share: f64,
    },
}

/// A slab.
#[derive(Clone, Debug)]
pub struct Slab {
    /// Area \[m2\].
    pub area: f64,
    /// Thickness \[m\].
    pub thickness: f64,
    /// Its concrete.
    pub concrete: Concrete,
    /// What lies under it.
    pub underside: Underside,
    /// Temperature of the ground at depth \[degC\].
    pub ground_temperature: f64,
    /// Relative humidity one day after placing. Young concrete is near saturation.
    pub start_humidity: f64,
    /// Temperature one day after placing \[degC\].
    pub start_temperature: f64,
}

/// How finely the slab is cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Resolution {
    /// Cells through a slab that dries from one face; half as many more where both faces are refined.
    pub cells: usize,
    /// Thickness of the cell at a drying face, as a share of the slab's.
    pub first: f64,
}

impl Default for Resolution {
    /// Against 128 cells the drying times of the shipped scenarios move by 0.1 % in the root mean square and by 0.25 % at
    /// most. A thicker first cell dries too late, since the profile bends within it; a thinner one leaves the deep cells
    /// too thick.
    fn default() -> Self {
        Self {
            cells: 24,
            first: 0.005,
        }
    }
}

/// Soil under a slab on ground: layers from the bottom up \[m\]. The lowest keeps its temperature; of a change at the top a tenth is
/// felt there, 9.4 m down, after half a year (`analytic_ground_step` in `tests/it/simulation.rs`).
const SOIL: [f64; 6] = [6.4, 3.2, 1.6, 0.8, 0.4, 0.2];
/// EN ISO 13370, sand and gravel (from memory).
const SOIL_CONDUCTIVITY: f64 = 2.0;
/// EN ISO 13370, sand and gravel (from memory).
const SOIL_HEAT_CAPACITY: f64 = 2.0e6;

/// Depth over which the coarse pores that draw in water fall to a third \[m\]: water rises by the root of time for hours and much slower after days
/// (Martys & Ferraris 1996, abstract read), and concrete is most open where it was finished (engineering judgement).
const COVER: f64 = 0.010;

/// Where the parts of the chain are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Layout {
    pub(super) first_cell: usize,
    pub(super) cells: usize,
    pub(super) face: usize,
    pub(super) air: usize,
}

impl Slab {
    /// Whether both faces dry.
    #[must_use]
    pub fn dries_from_two_sides(&self) -> bool {
        matches!(self.underside, Underside::Air { open_share, .. } if open_share >= 0.5)
    }

    /// The chain from the ground to the air, with the air held for the time being.
    pub(super) fn column(
        &self,
        resolution: Resolution,
        store: AirStore,
        skin: Skin,
    ) -> (Column, Layout) {
        // What a retarder lets through makes no steep profile: thin cells are for faces that dry or take up water.
        let refinement = match self.underside {
            Underside::Sealed | Underside::Retarder { .. } => Refinement::Top,
            Underside::BareGround | Underside::Air { .. } => Refinement::BothFaces,
        };
        let cells = match refinement {
            Refinement::BothFaces => resolution.cells + resolution.cells / 2,
            Refinement::Top => resolution.cells,
        };
        let grid = Grid::new(
            self.thickness,
            cells,
            self.thickness * resolution.first,
            refinement,
        );
        let t = grid.thicknesses();
        let (mut nodes, mut links, mut states) = (Vec::new(), Vec::new(), Vec::new());
        let soil_resistance = |thickness: f64| 0.5 * thickness / SOIL_CONDUCTIVITY;
        let mut held = Vec::new();
        match self.underside {
            Underside::Sealed => {}
            Underside::Retarder { .. } | Underside::BareGround => {
                for (i, &thickness) in SOIL.iter().enumerate() {
                    nodes.push(Node::Soil {
                        thickness,
                        conductivity: SOIL_CONDUCTIVITY,
                        heat_capacity: SOIL_HEAT_CAPACITY,
                    });
                    states.push((1.0, self.ground_temperature));
                    let next = SOIL.get(i + 1).copied();
                    links.push(Link::Ground {
                        vapour_resistance: match (next, self.underside) {
                            (None, Underside::Retarder { resistance }) => resistance,
                            _ => f64::INFINITY,
                        },
                        thermal_resistance: soil_resistance(thickness)
                            + next.map_or(0.0, soil_resistance),
                    });
                }
                held.push((0, Some(1.0), Some(self.ground_temperature)));
                if matches!(self.underside, Underside::BareGround) {
                    held.push((nodes.len(), Some(1.0), None));
                }
                nodes.push(Node::Face);
                states.push((self.start_humidity, self.start_temperature));
                links.push(body(0.5 * t[0], Skin::default()));
            }
            Underside::Air {
                temperature,
                relative_humidity,
                open_share,
            } => {
                let below = MoistAir::from_relative_humidity(
                    temperature,
                    relative_humidity,
                    store.pressure,
                );
                nodes.push(Node::Air(store));
                states.push((below.humidity_ratio, temperature));
                held.push((0, Some(below.humidity_ratio), Some(temperature)));
                let mut link = face_link(crate::gear::fan::STILL_AIR, 1.0);
                if let Link::Exchange {
                    vapour_transfer, ..
                } = &mut link
                {
                    *vapour_transfer *= open_share;
                }
                links.push(link);
                nodes.push(Node::Face);
                states.push((self.start_humidity, self.start_temperature));
                links.push(body(0.5 * t[0], Skin::default()));
            }
        }
        let first_cell = nodes.len();
        for (i, &thickness) in t.iter().enumerate() {
            nodes.push(Node::Cell {
                material: 0,
                thickness,
            });
            states.push((self.start_humidity, self.start_temperature));
            let next = t.get(i + 1).copied();
            links.push(body(
                0.5 * (thickness + next.unwrap_or(0.0)),
                if next.is_none() {
                    skin
                } else {
                    Skin::default()
                },
            ));
        }
        let face = nodes.len();
        nodes.push(Node::Face);
        states.push((self.start_humidity, self.start_temperature));
        links.push(face_link(crate::gear::fan::STILL_AIR, 1.0));
        let air = nodes.len();
        nodes.push(Node::Air(store));
        let start = MoistAir::from_relative_humidity(self.start_temperature, 0.6, store.pressure);
        states.push((start.humidity_ratio, self.start_temperature));

        let concrete = Tabulated::new(self.concrete);
        let concrete = match self.underside {
            Underside::BareGround => concrete.on_water(),
            _ => concrete,
        };
        let mut column = Column::new(vec![Arc::new(concrete)], nodes, links, &states);
        let mut depth = 0.0;
        for (i, thickness) in t.iter().enumerate().rev() {
            let middle = depth + 0.5 * thickness;
            column.set_cover(first_cell + i, (-middle / COVER).exp());
            depth += thickness;
        }
        for (index, moisture, temperature) in held {
            column.hold(index, moisture, temperature);
        }
        column.hold(
            air,
            Some(start.humidity_ratio),
            Some(self.start_temperature),
        );
        column.set_age(START_AGE);
        (
            column,
            Layout {
                first_cell,
                cells: t.len(),
                face,
                air,
            },
        )
    }
}

fn body(distance: f64, skin: Skin) -> Link {
    Link::Body {
        material: 0,
        distance,
        skin,
    }
}
