//! Moist air: pure functions of state, no allocation, no clock, no files.
//!
//! * [`saturation_pressure`] and its relatives: vapour pressure at saturation over water and ice, and the exact inverses.
//! * [`humidity_ratio`], [`enthalpy`], [`wet_bulb`], [`specific_volume`] and others: mixtures of dry air and vapour.
//! * [`MoistAir`]: one state, held as temperature, humidity ratio and pressure.
//! * [`states`]: a state from any two known quantities.
//! * [`evaporation`]: evaporation of free water from a wet face.
//!
//! Temperatures are in degC, pressures in Pa, humidity ratios in kg of vapour per kg of dry air, enthalpies in J per kg of
//! dry air, relative humidities from 0 to 1.
//!
//! # Conventions
//! * **No enhancement factor.** Vapour in air is taken to saturate at the pressure at which pure water does, as in common
//!   handbook psychrometrics. Real air holds about 0.45 % more vapour at 101 325 Pa and room temperature (enhancement factor
//!   1.0045, from memory, of the form published with the World Meteorological Organization's guide No. 8, annex 4.B). It
//!   enters vapour pressures on both sides of every difference here, so it moves a drying rate by the same 0.45 % and a dew
//!   point found from a relative humidity not at all.
//! * **Relative humidity is over water at and above 0 degC and over ice below**, as in handbook psychrometrics. Weather
//!   stations report it over water at every temperature; use [`MoistAir::from_relative_humidity_over_water`] for those.
//! * **Dew point is always over water, frost point always over ice**; [`condensation_point`] is the one that comes first on
//!   a cooled face: the frost point below 0 degC, the dew point above.

pub mod evaporation;
mod mixture;
mod moist_air;
mod root;
mod saturation;
pub mod states;

pub use mixture::{
    GAS_CONSTANT_DRY_AIR, GAS_CONSTANT_VAPOUR, GRAVITY, KELVIN_AT_ZERO_CELSIUS,
    LATENT_HEAT_AT_ZERO, RATIO_OF_MOLAR_MASSES, SPECIFIC_HEAT_DRY_AIR, SPECIFIC_HEAT_ICE,
    SPECIFIC_HEAT_VAPOUR, SPECIFIC_HEAT_WATER, STANDARD_PRESSURE, SUBLIMATION_HEAT_AT_ZERO,
    absolute_humidity, density_of_dry_air, density_of_moist_air, enthalpy, humidity_ratio,
    humidity_ratio_from_wet_bulb, latent_heat, pressure_at_elevation, saturation_humidity_ratio,
    specific_volume, sublimation_heat, temperature_from_enthalpy, vapour_pressure,
    vapour_pressure_deficit, wet_bulb,
};
pub use moist_air::MoistAir;
pub(crate) use root::bracketed_root;
pub use saturation::{
    condensation_point, dew_point, frost_point, saturation_pressure, saturation_pressure_and_slope,
    saturation_pressure_over_ice, saturation_pressure_over_water, saturation_pressure_slope,
};
