//! Open doors, windows and vents through which wind and warmth drive air.
//!
//! Computes the outside air that comes in through an opening; as much room air leaves.
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | A | free area: of the one opening, or of the smaller of inlet and outlet | m2 |
//! | H | height of the one opening, or between the middles of a low and a high one | m |
//! | `t_i`, `t_o` | temperature inside and outside; `T_i` the same absolute | degC, K |
//! | U | wind at the weather station, 10 m above open ground | m/s |
//! | Q | flow, measured outside | m3/s |
//!
//! # Equations
//! ```text
//! one side      Q = 1/2 A sqrt( 0.01 + 0.001 U^2 + 0.0035 H |t_i - t_o| )                     [1]
//! two openings  Q_w = C_v A (0.6 U)         Q_s = C_d A sqrt( g H |t_i - t_o| / T_i )          [2]
//!               Q = sqrt( Q_w^2 + Q_s^2 )
//! ```
//! The second form of `Q_s` is the orifice equation `C_d A sqrt(2 g (H/2) |t_i - t_o| / T_i)` with the neutral level halfway
//! between two equal openings: half of the pressure `rho g H |t_i - t_o| / T_i` falls at each. Wind and stack are added as
//! squares \[2\]. Against the neutral level found with both densities, the inflow is 2 % high at a difference of 20 K.
//!
//! # Valid range
//! Any finite state. Wind direction, neighbours and the shape of the building are not known: expect a factor of two. Openings that
//! are nearly shut and pressure from fans are left out.
//!
//! # Sources
//! 1. EN 15242:2007, airing through openings on one side: constants for turbulence, wind and stack (from memory).
//! 2. American Society of Heating, Refrigerating and Air-Conditioning Engineers, Handbook: Fundamentals, chapter Ventilation and
//!    Infiltration (from memory): orifice coefficient 0.65; `C_v` 0.5 to 0.6 for wind on the opening and 0.25 to 0.35 for wind at an
//!    angle. 0.3 is taken, since the wind turns. Wind at the height of a door in suburban surroundings is
//!    `(270/10)^0.14 (5/370)^0.22 = 0.6` of that at the station.
//!
//! # Proof of accuracy
//! `analytic_opening_*` and `ref_opening_*` in `tests/it/gear/openings.rs`.

use crate::air::{GRAVITY, KELVIN_AT_ZERO_CELSIUS};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// EN 15242: half of the area takes air in.
const INWARD_SHARE: f64 = 0.5;
/// EN 15242: turbulence, (m/s)2; wind; stack, m/(s2 K).
const TURBULENCE: f64 = 0.01;
const WIND: f64 = 0.001;
const STACK: f64 = 0.0035;
/// Discharge coefficient of an orifice (source 2).
const DISCHARGE: f64 = 0.65;
/// Effectiveness of openings in wind at an angle (source 2).
const EFFECTIVENESS: f64 = 0.3;
/// Wind at the opening over wind at the station (source 2).
const WIND_AT_OPENING: f64 = 0.6;
/// Square of the air speed, (m/s)2, that stays in two openings in a calm without a temperature difference. A root without it has an
/// infinite slope there, which no solver likes; 1 cm/s is below what people or doors stir up.
const CALM: f64 = 1e-4;

/// Where the air goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Path {
    /// In and out through openings on one side of the room.
    OneSide,
    /// In on one side or low, out on another or high.
    Through,
}

/// An opening, or several that work as one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opening {
    /// Free area, m2; of the smaller of inlet and outlet if the air goes through.
    pub area: f64,
    /// Height of the opening on one side, or between the middles of inlet and outlet, m.
    pub height: f64,
    /// Where the air goes.
    pub path: Path,
}

impl Opening {
    /// Flow, m3/s measured outside, with temperatures in degC and the station's wind in m/s.
    #[must_use]
    pub fn flow(&self, inside: f64, outside: f64, wind_speed: f64) -> f64 {
        let difference = (inside - outside).abs();
        let speed_squared = match self.path {
            Path::OneSide => {
                INWARD_SHARE
                    * INWARD_SHARE
                    * (TURBULENCE
                        + WIND * wind_speed * wind_speed
                        + STACK * self.height * difference)
            }
            Path::Through => {
                let wind = EFFECTIVENESS * WIND_AT_OPENING * wind_speed;
                let stack = GRAVITY * self.height * difference / (inside + KELVIN_AT_ZERO_CELSIUS);
                CALM + wind * wind + DISCHARGE * DISCHARGE * stack
            }
        };
        self.area * speed_squared.max(0.0).sqrt()
    }
}
