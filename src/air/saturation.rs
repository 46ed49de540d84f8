//! Vapour pressure at saturation over water and over ice, its slope, and its exact inverses.
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | t | temperature | degC |
//! | `p_s` | vapour pressure at saturation | Pa |
//! | `p_0` | vapour pressure at saturation at 0 degC, 611.21 | Pa |
//! | b, c | coefficients of the form | 1, degC |
//!
//! # Equations
//! ```text
//! p_s(t)   = p_0 exp( b t / (c + t) )                over water: b = 17.502, c = 240.97   [1]
//!                                                    over ice:   b = 22.46,  c = 272.62   [2]
//! dp_s/dt  = p_s b c / (c + t)^2
//! t(p)     = c L / (b - L),   L = ln(p / p_0)
//! ```
//!
//! # Why these coefficients
//! Magnus' form has an inverse in closed form, so every dew point round-trips to rounding and costs one logarithm. Over water
//! the coefficients of \[1\] stay within 0.10 % of the reference formulation \[3\] from 0 to 40 degC and within 0.14 % to
//! 50 degC, the range of a job site; the other published sets compared (Sonntag, Alduchov and Eskridge, Tetens, Bolton, EN ISO 13788)
//! reach 0.13 to 0.32 % from 0 to 40 degC. Over ice those of \[2\] stay within 0.08 % of the sublimation pressure \[4\] from -40 to 0 degC. The one departure:
//! \[2\] is published with a leading value of 611.2 Pa; here it takes the 611.21 Pa of \[1\], 0.002 % more, so that
//! the two meet at 0 degC and no solver sees a step.
//!
//! # Valid range
//! -40 to 50 degC within 0.35 % for [`saturation_pressure`]. Over *supercooled* water, used only for dew points below 0 degC
//! and for relative humidities that weather stations report in frost, the error grows to 0.8 % at -40 degC, which
//! is less than 0.1 K of dew point. Outside the range the functions stay finite, positive and monotonic, not accurate.
//!
//! # Sources
//! 1. A. L. Buck, New equations for computing vapor pressure and enhancement factor, Journal of Applied Meteorology 20
//!    (1981) 1527-1532 (coefficients from memory).
//! 2. D. Sonntag, Important new values of the physical constants of 1986, vapour pressure formulations based on the ITS-90,
//!    and psychrometer formulae, Zeitschrift für Meteorologie 40 (1990) 340-344.
//! 3. W. Wagner, A. Pruss, The IAPWS formulation 1995 for the thermodynamic properties of ordinary water substance,
//!    Journal of Physical and Chemical Reference Data 31 (2002) 387-535.
//! 4. IAPWS R14-08(2011), Revised release on the pressure along the melting and sublimation curves.
//!
//! # Proof of accuracy
//! `ref_saturation_pressure_*` in `tests/it/air.rs`, against \[3\] and \[4\].

/// Coefficients of Magnus' form on one side of the melting point.
struct Magnus {
    b: f64,
    c: f64,
}

/// Vapour pressure at saturation at 0 degC, Pa, shared by both sides so that they meet.
const AT_ZERO: f64 = 611.21;
const WATER: Magnus = Magnus {
    b: 17.502,
    c: 240.97,
};
const ICE: Magnus = Magnus {
    b: 22.46,
    c: 272.62,
};

impl Magnus {
    fn pressure(&self, temperature: f64) -> f64 {
        // At and below t = -c the form has a pole and would come back from infinity; the limit from above is zero.
        if temperature <= -self.c {
            return 0.0;
        }
        AT_ZERO * (self.b * temperature / (self.c + temperature)).exp()
    }

    fn slope(&self, temperature: f64) -> f64 {
        if temperature <= -self.c {
            return 0.0;
        }
        let denominator = self.c + temperature;
        self.pressure(temperature) * self.b * self.c / (denominator * denominator)
    }

    fn temperature(&self, pressure: f64) -> f64 {
        if pressure <= 0.0 {
            return -self.c;
        }
        let logarithm = (pressure / AT_ZERO).ln();
        // The form never exceeds p_0 exp(b), some 20 GPa: no temperature belongs to such a pressure.
        if logarithm >= self.b {
            return f64::INFINITY;
        }
        self.c * logarithm / (self.b - logarithm)
    }
}

/// Vapour pressure at saturation, Pa, at `temperature` degC: over water at and above 0 degC, over ice below.
///
/// Continuous at 0 degC; the slope is not, as in nature (ice to the left, water to the right).
#[must_use]
pub fn saturation_pressure(temperature: f64) -> f64 {
    if temperature < 0.0 {
        ICE.pressure(temperature)
    } else {
        WATER.pressure(temperature)
    }
}

/// Vapour pressure at saturation over water, Pa, at `temperature` degC; below 0 degC over supercooled water.
#[must_use]
pub fn saturation_pressure_over_water(temperature: f64) -> f64 {
    WATER.pressure(temperature)
}

/// Vapour pressure at saturation over ice, Pa, at `temperature` degC. Meaningful at and below 0 degC.
#[must_use]
pub fn saturation_pressure_over_ice(temperature: f64) -> f64 {
    ICE.pressure(temperature)
}

/// Exact derivative of [`saturation_pressure`], Pa/K, at `temperature` degC; at 0 degC the one over water.
#[must_use]
pub fn saturation_pressure_slope(temperature: f64) -> f64 {
    if temperature < 0.0 {
        ICE.slope(temperature)
    } else {
        WATER.slope(temperature)
    }
}

/// [`saturation_pressure`] and its slope together, for the price of one exponential.
#[must_use]
pub fn saturation_pressure_and_slope(temperature: f64) -> (f64, f64) {
    let side = if temperature < 0.0 { ICE } else { WATER };
    let denominator = side.c + temperature;
    if denominator <= 0.0 {
        return (0.0, 0.0);
    }
    let per_denominator = 1.0 / denominator;
    let pressure = AT_ZERO * (side.b * temperature * per_denominator).exp();
    (
        pressure,
        pressure * side.b * side.c * per_denominator * per_denominator,
    )
}

/// Dew point over water, degC, of air with `vapour_pressure` Pa: the inverse of [`saturation_pressure_over_water`].
///
/// Without vapour there is no dew point; the lower limit of the form, -240.97 degC, stands for it.
#[must_use]
pub fn dew_point(vapour_pressure: f64) -> f64 {
    WATER.temperature(vapour_pressure)
}

/// Frost point, degC, of air with `vapour_pressure` Pa: the inverse of [`saturation_pressure_over_ice`].
///
/// Without vapour there is no frost point; the lower limit of the form, -272.62 degC, stands for it.
#[must_use]
pub fn frost_point(vapour_pressure: f64) -> f64 {
    ICE.temperature(vapour_pressure)
}

/// Temperature, degC, at which vapour of `vapour_pressure` Pa first condenses on a cooled face: the frost point below 0 degC,
/// the dew point at and above. The exact inverse of [`saturation_pressure`].
#[must_use]
pub fn condensation_point(vapour_pressure: f64) -> f64 {
    if vapour_pressure < AT_ZERO {
        frost_point(vapour_pressure)
    } else {
        dew_point(vapour_pressure)
    }
}
