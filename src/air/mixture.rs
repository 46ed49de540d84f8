//! Mixtures of dry air and water vapour: humidity ratio, enthalpy, wet bulb, volume, density, pressure at elevation.
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | t, T | temperature | degC, K |
//! | t* | wet bulb (thermodynamic, that of adiabatic saturation) | degC |
//! | p, `p_v`, `p_s` | total pressure, vapour pressure, vapour pressure at saturation | Pa |
//! | W, `W_s` | humidity ratio, humidity ratio at saturation | kg/kg dry air |
//! | h | enthalpy, zero for dry air and for liquid water at 0 degC | J/kg dry air |
//! | v | volume per mass of dry air | m3/kg dry air |
//! | eps | ratio of the molar masses of water and dry air, 0.621945 | 1 |
//! | `R_a`, `R_v` | gas constants of dry air and of vapour | J/(kg K) |
//! | `c_a`, `c_v`, `c_w`, `c_i` | specific heats of dry air, vapour, water, ice | J/(kg K) |
//! | `L_0`, `S_0` | heat of evaporation and of sublimation at 0 degC | J/kg |
//! | z | elevation above sea level | m |
//!
//! # Equations \[1\]
//! ```text
//! W  = eps p_v / (p - p_v)                       p_v = p W / (eps + W)
//! h  = c_a t + W (L_0 + c_v t)
//! v  = R_a T (1 + W / eps) / p
//! W  = ( (L_0 + (c_v - c_w) t*) W_s(t*) - c_a (t - t*) ) / ( L_0 + c_v t - c_w t* )       wet wick, t* >= 0
//! W  = ( (S_0 + (c_v - c_i) t*) W_s(t*) - c_a (t - t*) ) / ( S_0 + c_v t - c_i t* )       iced wick, t* < 0
//! p  = 101325 (1 - 2.25577e-5 z)^5.2559
//! ```
//!
//! # Valid range
//! -40 to 50 degC at the pressures of inhabited places, as long as the vapour pressure is below the total pressure. No
//! enhancement factor (see the room's page).
//!
//! # Sources
//! 1. American Society of Heating, Refrigerating and Air-Conditioning Engineers, Handbook: Fundamentals (2017), chapter 1,
//!    Psychrometrics. Its heat of sublimation, 2830 kJ/kg, is kept so that results agree with its tables; it is 0.16 % below
//!    the 2834.5 kJ/kg of pure ice (from memory).
//!
//! # Proof of accuracy
//! `ref_*` in `tests/it/air.rs`: the handbook's values and two general reference libraries.

use super::root::bracketed_root;
use super::saturation::{condensation_point, saturation_pressure};

/// Standard atmospheric pressure at sea level, Pa.
pub const STANDARD_PRESSURE: f64 = 101_325.0;
/// Molar mass of water over that of dry air.
pub const RATIO_OF_MOLAR_MASSES: f64 = 0.621_945;
/// 0 degC in K.
pub const KELVIN_AT_ZERO_CELSIUS: f64 = 273.15;
/// Standard gravity, m/s2.
pub const GRAVITY: f64 = 9.806_65;
/// Gas constant of dry air, J/(kg K).
pub const GAS_CONSTANT_DRY_AIR: f64 = 287.042;
/// Gas constant of water vapour, J/(kg K), 461.52.
pub const GAS_CONSTANT_VAPOUR: f64 = GAS_CONSTANT_DRY_AIR / RATIO_OF_MOLAR_MASSES;
/// Specific heat of dry air, J/(kg K).
pub const SPECIFIC_HEAT_DRY_AIR: f64 = 1006.0;
/// Specific heat of water vapour, J/(kg K).
pub const SPECIFIC_HEAT_VAPOUR: f64 = 1860.0;
/// Specific heat of liquid water, J/(kg K).
pub const SPECIFIC_HEAT_WATER: f64 = 4186.0;
/// Specific heat of ice, J/(kg K).
pub const SPECIFIC_HEAT_ICE: f64 = 2100.0;
/// Heat of evaporation of water at 0 degC, J/kg.
pub const LATENT_HEAT_AT_ZERO: f64 = 2.501e6;
/// Heat of sublimation of ice at 0 degC, J/kg, as in the handbook's equation for the iced wet bulb.
pub const SUBLIMATION_HEAT_AT_ZERO: f64 = 2.830e6;

/// Wet bulbs are found to this many K: far below any thermometer, far above rounding.
const WET_BULB_TOLERANCE: f64 = 1e-10;
/// No wet bulb of any state in range is colder, degC; there ice has practically no vapour pressure.
const COLDEST_WET_BULB: f64 = -250.0;

/// Heat of evaporation of water, J/kg, at `temperature` degC, consistent with [`enthalpy`] and [`SPECIFIC_HEAT_WATER`]:
/// `2.501e6 - 2326 t`. Within 0.15 % of IAPWS-95 from 0 to 50 degC.
#[must_use]
pub fn latent_heat(temperature: f64) -> f64 {
    LATENT_HEAT_AT_ZERO + (SPECIFIC_HEAT_VAPOUR - SPECIFIC_HEAT_WATER) * temperature
}

/// Heat of sublimation of ice, J/kg, at `temperature` degC, consistent with [`enthalpy`] and [`SPECIFIC_HEAT_ICE`].
#[must_use]
pub fn sublimation_heat(temperature: f64) -> f64 {
    SUBLIMATION_HEAT_AT_ZERO + (SPECIFIC_HEAT_VAPOUR - SPECIFIC_HEAT_ICE) * temperature
}

/// Pressure of the standard atmosphere, Pa, at `elevation_m` metres above sea level (valid -5000 to 11 000 m).
#[must_use]
pub fn pressure_at_elevation(elevation_m: f64) -> f64 {
    STANDARD_PRESSURE * (1.0 - 2.255_77e-5 * elevation_m).max(0.0).powf(5.2559)
}

/// Humidity ratio, kg/kg, of air with `vapour_pressure` Pa at a total `pressure` Pa.
///
/// Infinite when the vapour pressure reaches the total pressure: then there is no dry air left.
#[must_use]
pub fn humidity_ratio(vapour_pressure: f64, pressure: f64) -> f64 {
    if vapour_pressure >= pressure {
        return f64::INFINITY;
    }
    RATIO_OF_MOLAR_MASSES * vapour_pressure / (pressure - vapour_pressure)
}

/// Humidity ratio at saturation, kg/kg, at `temperature` degC (over ice below 0 degC) and a total `pressure` Pa.
///
/// Infinite at and above the boiling point.
#[must_use]
pub fn saturation_humidity_ratio(temperature: f64, pressure: f64) -> f64 {
    humidity_ratio(saturation_pressure(temperature), pressure)
}

/// Vapour pressure, Pa, of air with `humidity_ratio` kg/kg at a total `pressure` Pa.
#[must_use]
pub fn vapour_pressure(humidity_ratio: f64, pressure: f64) -> f64 {
    pressure * humidity_ratio / (RATIO_OF_MOLAR_MASSES + humidity_ratio)
}

/// Enthalpy, J/kg dry air, at `temperature` degC and `humidity_ratio` kg/kg; zero for dry air at 0 degC.
#[must_use]
pub fn enthalpy(temperature: f64, humidity_ratio: f64) -> f64 {
    SPECIFIC_HEAT_DRY_AIR * temperature
        + humidity_ratio * (LATENT_HEAT_AT_ZERO + SPECIFIC_HEAT_VAPOUR * temperature)
}

/// Temperature, degC, of air with `enthalpy` J/kg dry air and `humidity_ratio` kg/kg: the inverse of [`enthalpy`].
#[must_use]
pub fn temperature_from_enthalpy(enthalpy: f64, humidity_ratio: f64) -> f64 {
    (enthalpy - humidity_ratio * LATENT_HEAT_AT_ZERO)
        / (SPECIFIC_HEAT_DRY_AIR + humidity_ratio * SPECIFIC_HEAT_VAPOUR)
}

/// What the wick of a wet bulb holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Wick {
    Wet,
    Iced,
}

impl Wick {
    pub(super) fn at(wet_bulb: f64) -> Self {
        if wet_bulb < 0.0 {
            Self::Iced
        } else {
            Self::Wet
        }
    }

    /// Enthalpy of what the wick holds, J/kg, at the wet bulb.
    fn enthalpy(self, wet_bulb: f64) -> f64 {
        match self {
            Self::Wet => SPECIFIC_HEAT_WATER * wet_bulb,
            Self::Iced => {
                LATENT_HEAT_AT_ZERO - SUBLIMATION_HEAT_AT_ZERO + SPECIFIC_HEAT_ICE * wet_bulb
            }
        }
    }

    /// Dry bulb, degC, at which air of `humidity_ratio` kg/kg has this `wet_bulb` degC; the equation is linear in it.
    pub(super) fn dry_bulb(self, humidity_ratio: f64, wet_bulb: f64, pressure: f64) -> f64 {
        let at_wick = saturation_humidity_ratio(wet_bulb, pressure);
        let heat = LATENT_HEAT_AT_ZERO - self.enthalpy(wet_bulb);
        ((heat + SPECIFIC_HEAT_VAPOUR * wet_bulb) * at_wick + SPECIFIC_HEAT_DRY_AIR * wet_bulb
            - heat * humidity_ratio)
            / (SPECIFIC_HEAT_DRY_AIR + SPECIFIC_HEAT_VAPOUR * humidity_ratio)
    }

    fn humidity_ratio(self, temperature: f64, wet_bulb: f64, pressure: f64) -> f64 {
        let at_wick = saturation_humidity_ratio(wet_bulb, pressure);
        let heat = LATENT_HEAT_AT_ZERO - self.enthalpy(wet_bulb);
        ((heat + SPECIFIC_HEAT_VAPOUR * wet_bulb) * at_wick
            - SPECIFIC_HEAT_DRY_AIR * (temperature - wet_bulb))
            / (heat + SPECIFIC_HEAT_VAPOUR * temperature)
    }
}

/// Humidity ratio, kg/kg, of air at `temperature` degC with a `wet_bulb` degC at a total `pressure` Pa.
///
/// The wick is wet at and above 0 degC and iced below. Negative when the wet bulb is colder than that of dry air: such a
/// pair of readings is impossible, and [`states`](super::states) says so.
#[must_use]
pub fn humidity_ratio_from_wet_bulb(temperature: f64, wet_bulb: f64, pressure: f64) -> f64 {
    Wick::at(wet_bulb).humidity_ratio(temperature, wet_bulb, pressure)
}

/// Wet bulb, degC, of air at `temperature` degC with `humidity_ratio` kg/kg at a total `pressure` Pa. At or beyond saturation
/// it is the temperature itself. NaN when an argument is not finite or no bracket exists.
///
/// Near 0 degC a wick has two steady readings: one wet, just above 0 degC, and one iced, just below (apart by 0.07 K for each
/// degree of the dry bulb, so by a third of a kelvin at 5 degC). The wet one is given wherever it exists. So the inverse of [`humidity_ratio_from_wet_bulb`] is exact except
/// for iced readings in that narrow band, where the same air also has the wet reading that is returned.
#[must_use]
pub fn wet_bulb(temperature: f64, humidity_ratio: f64, pressure: f64) -> f64 {
    if !(temperature.is_finite() && humidity_ratio.is_finite() && pressure.is_finite()) {
        return f64::NAN;
    }
    if humidity_ratio >= saturation_humidity_ratio(temperature, pressure) {
        return temperature;
    }
    let wick = if temperature >= 0.0
        && humidity_ratio >= Wick::Wet.humidity_ratio(temperature, 0.0, pressure)
    {
        Wick::Wet
    } else {
        Wick::Iced
    };
    let (low, high) = match wick {
        Wick::Wet => (0.0, temperature.min(condensation_point(pressure))),
        Wick::Iced => (COLDEST_WET_BULB, temperature.min(0.0)),
    };
    // At the boiling point the ratio at the wick is infinite; vapour pressures stay finite and have the same root.
    let wanted = vapour_pressure(humidity_ratio, pressure);
    let excess = |wet_bulb: f64| {
        let ratio = wick.humidity_ratio(temperature, wet_bulb, pressure);
        let found = if ratio == f64::INFINITY {
            pressure
        } else {
            vapour_pressure(ratio, pressure)
        };
        found - wanted
    };
    bracketed_root(excess, low, high, WET_BULB_TOLERANCE).unwrap_or(f64::NAN)
}

/// Volume, m3 per kg of dry air, at `temperature` degC, `humidity_ratio` kg/kg and `pressure` Pa.
#[must_use]
pub fn specific_volume(temperature: f64, humidity_ratio: f64, pressure: f64) -> f64 {
    GAS_CONSTANT_DRY_AIR
        * (temperature + KELVIN_AT_ZERO_CELSIUS)
        * (1.0 + humidity_ratio / RATIO_OF_MOLAR_MASSES)
        / pressure
}

/// Mass of dry air per volume of moist air, kg/m3, at `temperature` degC, `humidity_ratio` kg/kg and `pressure` Pa.
#[must_use]
pub fn density_of_dry_air(temperature: f64, humidity_ratio: f64, pressure: f64) -> f64 {
    1.0 / specific_volume(temperature, humidity_ratio, pressure)
}

/// Mass of dry air and vapour per volume, kg/m3, at `temperature` degC, `humidity_ratio` kg/kg and `pressure` Pa.
#[must_use]
pub fn density_of_moist_air(temperature: f64, humidity_ratio: f64, pressure: f64) -> f64 {
    (1.0 + humidity_ratio) / specific_volume(temperature, humidity_ratio, pressure)
}

/// Mass of vapour per volume, kg/m3, at `vapour_pressure` Pa and `temperature` degC.
#[must_use]
pub fn absolute_humidity(vapour_pressure: f64, temperature: f64) -> f64 {
    vapour_pressure / (GAS_CONSTANT_VAPOUR * (temperature + KELVIN_AT_ZERO_CELSIUS))
}

/// Vapour pressure that air at `temperature` degC and `relative_humidity` (0 to 1) lacks to saturation, Pa.
#[must_use]
pub fn vapour_pressure_deficit(temperature: f64, relative_humidity: f64) -> f64 {
    saturation_pressure(temperature) * (1.0 - relative_humidity)
}
