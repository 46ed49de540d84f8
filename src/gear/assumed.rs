//! Air held as a schedule assumed it: no machine on any site, but the yardstick that a delay is measured against.
//!
//! Computes heat and vapour that keep a room at least at one temperature and at most at one relative humidity.
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | `T`, `T_s` | temperature of the room, temperature assumed | degC |
//! | `h`, `h_s` | relative humidity of the room, relative humidity assumed | 1 |
//! | `q` | greatest heat over the floor | W/m2 |
//! | `g` | greatest water removal over the floor | kg/(m2 s) |
//!
//! # Equations
//! ```text
//! heat    = q A clamp(1 + (T_s - T) / band, 0, 1)
//! removal = g A clamp(1 + (h - h_s) / band, 0, 1)
//! ```
//! In full at the assumption, and off one band to its good side: the room is held at the assumption or better.
//! Water leaves as vapour of the room's temperature, so removing it neither warms nor cools the room: cold and damp can then be told
//! apart as causes. It takes no electricity and costs nothing, since nobody pays for an assumption.
//!
//! # Valid range
//! Any finite state. The powers are far above what a slab or its leakage ask, so the room stays
//! within one band of the assumption, on its good side, where it would be worse by itself.
//!
//! # Sources
//! A definition, no measured machine.
//!
//! # Proof of accuracy
//! `analytic_assumed_air_*` in `tests/it/delay.rs`.

use super::controls::ramp;
use super::effect::Effect;
use super::{Supply, Surroundings};
use crate::air;

/// Greatest heat over the floor, W/m2: holds 20 degC against deep frost in a shell without insulation.
const HEAT: f64 = 400.0;
/// Greatest removal over the floor, kg/(m2 s): several times what leaves fresh wet concrete under a fan.
const REMOVAL: f64 = 3e-4;
/// Band of the temperature, K: narrow against what a slab can feel, wide for the solver.
const BAND_TEMPERATURE: f64 = 0.5;
/// Band of the relative humidity, for the same reason.
const BAND_HUMIDITY: f64 = 0.01;

/// Air kept at an assumption.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AssumedAir {
    /// Not colder than this, degC.
    pub temperature: Option<f64>,
    /// Not damper than this, 0 to 1.
    pub relative_humidity: Option<f64>,
    /// Floor, m2.
    pub area: f64,
}

impl AssumedAir {
    /// The supply: none.
    pub(super) const SUPPLY: Supply = Supply::NONE;

    /// What it does in these surroundings.
    #[must_use]
    pub fn effect(&self, surroundings: &Surroundings) -> Effect {
        let inside = surroundings.inside;
        let warming = self.temperature.map_or(0.0, |set| {
            // Held from the assumption upwards: the middle of the band lies half a band above it, as below it in the drying.
            ramp(
                set + 0.5 * BAND_TEMPERATURE - inside.temperature,
                BAND_TEMPERATURE,
            )
        });
        let drying = self.relative_humidity.map_or(0.0, |set| {
            ramp(
                inside.relative_humidity() - set + 0.5 * BAND_HUMIDITY,
                BAND_HUMIDITY,
            )
        });
        let removal = drying * REMOVAL * self.area;
        let carried =
            removal * (air::LATENT_HEAT_AT_ZERO + air::SPECIFIC_HEAT_VAPOUR * inside.temperature);
        let enthalpy = warming * HEAT * self.area - carried;
        Effect {
            vapour: -removal,
            enthalpy,
            expelled: -enthalpy,
            duty: warming.max(drying),
            ..Effect::default()
        }
    }
}
