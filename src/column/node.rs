//! The nodes of the chain: what each holds, and the vapour pressure it shows to its neighbours.

use super::material::Material;
use crate::air;
use nalgebra::{Matrix2, Vector2};
use std::sync::Arc;

/// Water of the film on a face per unit of its unknown above 1 \[kg/m2\]; a scale only.
pub(super) const FREE_WATER_SCALE: f64 = 1.0;

/// The air of a room, per square metre of slab.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirStore {
    /// Mass of dry air \[kg/m2\].
    pub dry_air: f64,
    /// Heat capacity of what stands in the room and follows its air \[J/(m2 K)\].
    pub furnishings: f64,
    /// Air pressure \[Pa\].
    pub pressure: f64,
}

/// What a cell's past decides of what it holds.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Memory {
    /// See [`Material::maturity`].
    pub(super) maturity: f64,
    /// The lowest degree of saturation so far.
    pub(super) driest: f64,
}

/// One node. Its moisture unknown is the relative humidity in a cell and in soil, the wetness of a face,
/// and the humidity ratio of air \[kg/kg\]; its second unknown is always the temperature \[degC\].
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Node {
    /// A slice of porous material.
    Cell {
        /// Index into the column's materials.
        material: usize,
        /// Thickness \[m\].
        thickness: f64,
    },
    /// A face without thickness. Up to 1 its wetness is the relative humidity of the surface; beyond 1 the
    /// face is at saturation and carries a film of `wetness - 1` kg/m2 of free water. One unknown for both
    /// lets rain, condensation and drying of the film happen inside the implicit step, and conserves water.
    Face,
    /// Soil under the slab: stores heat; its humidity is given.
    Soil {
        /// Thickness \[m\].
        thickness: f64,
        /// Thermal conductivity \[W/(m K)\].
        conductivity: f64,
        /// Heat capacity \[J/(m3 K)\].
        heat_capacity: f64,
    },
    /// The air above (or below) the slab.
    Air(AirStore),
}

/// Everything that links and balances need of a node at one iterate.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct NodeState {
    pub(super) temperature: f64,
    pub(super) humidity: f64,
    pub(super) humidity_by_unknown: f64,
    pub(super) saturation: f64,
    pub(super) vapour_pressure: f64,
    pub(super) vapour_pressure_by_unknown: f64,
    pub(super) vapour_pressure_by_temperature: f64,
    pub(super) conductivity: f64,
    pub(super) water: f64,
    pub(super) heat: f64,
    pub(super) water_by_unknown: f64,
    pub(super) water_by_temperature: f64,
    pub(super) heat_by_unknown: f64,
    pub(super) heat_by_temperature: f64,
    /// See [`super::material::Storage::parting`].
    pub(super) parting: Option<f64>,
}

impl NodeState {
    /// Change of the unknowns that adds so much water and heat to what is stored, by the derivatives. What is `held` does not
    /// change; `None` where the derivatives say nothing.
    pub(super) fn change_for(&self, more: &Vector2<f64>, held: [bool; 2]) -> Option<Vector2<f64>> {
        let mut more = *more;
        let mut by = Matrix2::new(
            self.water_by_unknown,
            self.water_by_temperature,
            self.heat_by_unknown,
            self.heat_by_temperature,
        );
        for (k, held) in held.into_iter().enumerate() {
            if held {
                more[k] = 0.0;
                by.set_row(k, &Matrix2::identity().row(k));
            }
        }
        by.try_inverse().map(|inverse| inverse * more)
    }
}

impl Node {
    /// Stored water \[kg/m2\] and heat \[J/m2\] with their derivatives, and the vapour pressure.
    pub(super) fn evaluate(
        &self,
        materials: &[Arc<dyn Material>],
        unknown: f64,
        temperature: f64,
        memory: Memory,
    ) -> NodeState {
        let mut s = NodeState::default();
        self.evaluate_into(materials, unknown, temperature, memory, &mut s);
        s
    }

    /// [`Self::evaluate`] in place: the solver spends its time here.
    #[inline]
    pub(super) fn evaluate_into(
        &self,
        materials: &[Arc<dyn Material>],
        unknown: f64,
        temperature: f64,
        memory: Memory,
        s: &mut NodeState,
    ) {
        *s = NodeState {
            temperature,
            humidity: unknown,
            humidity_by_unknown: 1.0,
            ..NodeState::default()
        };
        if let Self::Face = self {
            s.humidity = unknown.min(1.0);
            s.humidity_by_unknown = if unknown < 1.0 { 1.0 } else { 0.0 };
        }
        let c_w = air::SPECIFIC_HEAT_WATER;
        match *self {
            Self::Air(store) => {
                let ratio = air::RATIO_OF_MOLAR_MASSES;
                s.vapour_pressure = air::vapour_pressure(unknown, store.pressure);
                s.vapour_pressure_by_unknown = store.pressure * ratio / (ratio + unknown).powi(2);
                s.water = store.dry_air * unknown;
                s.water_by_unknown = store.dry_air;
                s.heat = store.dry_air * air::enthalpy(temperature, unknown)
                    + store.furnishings * temperature;
                s.heat_by_unknown = store.dry_air
                    * (air::LATENT_HEAT_AT_ZERO + air::SPECIFIC_HEAT_VAPOUR * temperature);
                s.heat_by_temperature = store.dry_air
                    * (air::SPECIFIC_HEAT_DRY_AIR + air::SPECIFIC_HEAT_VAPOUR * unknown)
                    + store.furnishings;
                return;
            }
            Self::Cell {
                material,
                thickness,
            } => {
                let m = &materials[material];
                let storage = m.storage_after(unknown, temperature, memory.maturity, memory.driest);
                let total = storage.water + storage.bound_water;
                s.parting = storage.parting;
                s.conductivity = m.thermal_conductivity(storage.water);
                s.water = thickness * total;
                s.water_by_unknown = thickness * storage.water_by_humidity;
                s.water_by_temperature = thickness * storage.water_by_temperature;
                let dry = m.heat_capacity();
                s.heat = thickness * ((dry + c_w * total) * temperature - storage.heat_released);
                s.heat_by_unknown = c_w * temperature * s.water_by_unknown;
                s.heat_by_temperature =
                    thickness * (dry + c_w * total) + c_w * temperature * s.water_by_temperature;
            }
            Self::Face => {
                let water = (unknown - 1.0).max(0.0) * FREE_WATER_SCALE;
                s.water = water;
                s.water_by_unknown = if unknown < 1.0 { 0.0 } else { FREE_WATER_SCALE };
                s.heat = c_w * water * temperature;
                s.heat_by_unknown = c_w * temperature * s.water_by_unknown;
                s.heat_by_temperature = c_w * water;
            }
            Self::Soil {
                thickness,
                conductivity,
                heat_capacity,
            } => {
                s.conductivity = conductivity;
                s.heat = thickness * heat_capacity * temperature;
                s.heat_by_temperature = thickness * heat_capacity;
            }
        }
        let (saturation, slope) = air::saturation_pressure_and_slope(temperature);
        s.saturation = saturation;
        s.vapour_pressure = s.humidity * s.saturation;
        s.vapour_pressure_by_unknown = s.humidity_by_unknown * s.saturation;
        s.vapour_pressure_by_temperature = s.humidity * slope;
    }
}
