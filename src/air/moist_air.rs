//! One state of moist air.
//!
//! Computes nothing of its own: every method is one of the room's functions at this state. Symbols, equations, range and sources
//! stand with those functions; the proof of accuracy is theirs and `ref_worked_states` in `tests/it/air.rs`.
//!
//! | field | meaning | unit |
//! |---|---|---|
//! | temperature | dry bulb | degC |
//! | `humidity_ratio` | mass of vapour per mass of dry air | kg/kg |
//! | pressure | total pressure | Pa |

use super::{
    absolute_humidity, condensation_point, density_of_dry_air, density_of_moist_air, dew_point,
    enthalpy, humidity_ratio, saturation_humidity_ratio, saturation_pressure,
    saturation_pressure_over_water, specific_volume, vapour_pressure, wet_bulb,
};
use crate::units::GRAINS_PER_POUND;

/// Moist air: dry bulb, humidity ratio and total pressure. Plain numbers, not checked; [`states`](super::states) checks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MoistAir {
    /// Dry bulb, degC.
    pub temperature: f64,
    /// Humidity ratio, kg of vapour per kg of dry air.
    pub humidity_ratio: f64,
    /// Total pressure, Pa.
    pub pressure: f64,
}

impl MoistAir {
    /// Air at `temperature` degC and `relative_humidity` (0 to 1; over ice below 0 degC) at a total `pressure` Pa.
    #[must_use]
    pub fn from_relative_humidity(temperature: f64, relative_humidity: f64, pressure: f64) -> Self {
        Self::from_vapour_pressure(
            temperature,
            relative_humidity * saturation_pressure(temperature),
            pressure,
        )
    }

    /// Air at `temperature` degC and a `relative_humidity` (0 to 1) that counts over water at every temperature, as weather
    /// stations report it, at a total `pressure` Pa.
    ///
    /// In frost this air may hold more vapour than ice allows (fog of supercooled drops); nothing is taken away.
    #[must_use]
    pub fn from_relative_humidity_over_water(
        temperature: f64,
        relative_humidity: f64,
        pressure: f64,
    ) -> Self {
        Self::from_vapour_pressure(
            temperature,
            relative_humidity * saturation_pressure_over_water(temperature),
            pressure,
        )
    }

    /// Air at `temperature` degC with `vapour_pressure` Pa at a total `pressure` Pa.
    #[must_use]
    pub fn from_vapour_pressure(temperature: f64, vapour_pressure: f64, pressure: f64) -> Self {
        Self {
            temperature,
            humidity_ratio: humidity_ratio(vapour_pressure, pressure),
            pressure,
        }
    }

    /// Air at `temperature` degC whose dew point over water is `dew_point` degC, at a total `pressure` Pa.
    #[must_use]
    pub fn from_dew_point(temperature: f64, dew_point: f64, pressure: f64) -> Self {
        Self::from_vapour_pressure(
            temperature,
            saturation_pressure_over_water(dew_point),
            pressure,
        )
    }

    /// Vapour pressure, Pa.
    #[must_use]
    pub fn vapour_pressure(&self) -> f64 {
        vapour_pressure(self.humidity_ratio, self.pressure)
    }

    /// Relative humidity, 0 to 1: over water at and above 0 degC, over ice below.
    #[must_use]
    pub fn relative_humidity(&self) -> f64 {
        self.vapour_pressure() / saturation_pressure(self.temperature)
    }

    /// Vapour pressure the air lacks to saturation, Pa; negative in fog.
    #[must_use]
    pub fn vapour_pressure_deficit(&self) -> f64 {
        saturation_pressure(self.temperature) - self.vapour_pressure()
    }

    /// Dew point over water, degC.
    #[must_use]
    pub fn dew_point(&self) -> f64 {
        dew_point(self.vapour_pressure())
    }

    /// Temperature of a cooled face at which dew (at and above 0 degC) or frost (below) first forms, degC.
    #[must_use]
    pub fn condensation_point(&self) -> f64 {
        condensation_point(self.vapour_pressure())
    }

    /// Wet bulb, degC; see [`wet_bulb`].
    #[must_use]
    pub fn wet_bulb(&self) -> f64 {
        wet_bulb(self.temperature, self.humidity_ratio, self.pressure)
    }

    /// Enthalpy, J/kg dry air.
    #[must_use]
    pub fn enthalpy(&self) -> f64 {
        enthalpy(self.temperature, self.humidity_ratio)
    }

    /// Volume, m3 per kg of dry air.
    #[must_use]
    pub fn specific_volume(&self) -> f64 {
        specific_volume(self.temperature, self.humidity_ratio, self.pressure)
    }

    /// Mass of dry air and vapour per volume, kg/m3.
    #[must_use]
    pub fn density(&self) -> f64 {
        density_of_moist_air(self.temperature, self.humidity_ratio, self.pressure)
    }

    /// Mass of dry air per volume of moist air, kg/m3.
    #[must_use]
    pub fn density_of_dry_air(&self) -> f64 {
        density_of_dry_air(self.temperature, self.humidity_ratio, self.pressure)
    }

    /// Mass of vapour per volume, kg/m3.
    #[must_use]
    pub fn absolute_humidity(&self) -> f64 {
        absolute_humidity(self.vapour_pressure(), self.temperature)
    }

    /// Humidity ratio at saturation at this temperature and pressure, kg/kg.
    #[must_use]
    pub fn saturation_humidity_ratio(&self) -> f64 {
        saturation_humidity_ratio(self.temperature, self.pressure)
    }

    /// Humidity ratio in grains of vapour per pound of dry air.
    #[must_use]
    pub fn grains_per_pound(&self) -> f64 {
        GRAINS_PER_POUND * self.humidity_ratio
    }
}
