//! The rest of a room of which a tent or a partition closes off the part that is dried.
//!
//! Computes the state of the rest's air from that of the part and of the outside air.
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | `W`, `H`, `T` | humidity ratio, enthalpy, temperature of the rest's air; indices o outside, p part | kg/kg, J/kg, degC |
//! | `m_o` | outside air that leaks into the rest, as dry air | kg/s |
//! | `m_x` | air exchanged with the part, as dry air | kg/s |
//! | `m_f` | outside air that leakage and machines bring into the part; it leaves through the rest | kg/s |
//! | `UA_o`, `UA_x` | conductance to the outside and to the part | W/K |
//! | g | water that the rest's slab gives | kg/s |
//!
//! # Equations
//! ```text
//! 0 = m_o (W_o - W) + (m_x + m_f) (W_p - W) + g
//! 0 = m_o (H_o - H) + (m_x + m_f) (H_p - H) + UA_o (T_o - T) + UA_x (T_p - T) + g c_w T
//! ```
//! Both are linear in W and then in T, so the state is a closed form. Where it lies above saturation, W is that of saturation at T, what
//! is too much leaves as liquid at T, and T comes from the second balance by bisection: the heat given off by the fog warms the rest.
//!
//! # Valid range
//! The rest is in balance at every moment: its air follows within hours, a slab within weeks. Heat that the rest's slab stores or
//! brings from the ground is left out, which makes the rest a little too cold in winter.
//!
//! # Sources
//! Two-zone balances, elementary.
//!
//! # Proof of accuracy
//! `analytic_rest_*` in `tests/it/room/part.rs`.

use super::Neighbour;
use crate::air::{
    LATENT_HEAT_AT_ZERO, MoistAir, SPECIFIC_HEAT_DRY_AIR, SPECIFIC_HEAT_VAPOUR, SPECIFIC_HEAT_WATER,
};

/// The rest of a room beside the part that is dried.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rest {
    /// Air exchanged between the part and the rest \[m3/s\].
    pub exchange: f64,
    /// Heat conductance between them \[W/K\].
    pub conductance: f64,
    /// Outside air that leaks into the rest \[m3/s\].
    pub leakage: f64,
    /// Heat loss of the rest to the outside \[W/K\].
    pub heat_loss: f64,
    /// What of its envelope borders on something other than the outside.
    pub neighbour: Neighbour,
    /// Water that its slab gives \[kg/s\].
    pub water: f64,
}

/// Below this flow of dry air, kg/s, the rest has no balance of its own and is taken as outside air.
const NO_FLOW: f64 = 1e-9;

/// Halvings of the span between a foggy temperature and the dew point: some 20 K come down to 1e-8 K.
const BISECTIONS: u32 = 32;

impl Rest {
    /// State of the rest's air, with `fresh` kg/s of outside air brought into the part by its leakage and by machines.
    #[must_use]
    pub fn state(&self, part: &MoistAir, outside: &MoistAir, fresh: f64) -> MoistAir {
        let leakage = self.leakage * outside.density_of_dry_air();
        let from_part = self.exchange * part.density_of_dry_air() + fresh;
        let flow = leakage + from_part;
        if flow < NO_FLOW {
            return *outside;
        }
        let water = leakage * outside.humidity_ratio + from_part * part.humidity_ratio + self.water;
        let heat = leakage * outside.enthalpy()
            + from_part * part.enthalpy()
            + self.heat_loss * self.neighbour.beyond_envelope(outside.temperature)
            + self.conductance * part.temperature;
        // The temperature that closes the heat balance with so much water in the air, the rest of it as liquid.
        let closes = |humidity_ratio: f64| {
            let liquid = self.water - (water - flow * humidity_ratio);
            let capacity = flow * (SPECIFIC_HEAT_DRY_AIR + humidity_ratio * SPECIFIC_HEAT_VAPOUR)
                + self.heat_loss
                + self.conductance
                - liquid * SPECIFIC_HEAT_WATER;
            (heat - flow * humidity_ratio * LATENT_HEAT_AT_ZERO) / capacity
        };
        let at = |temperature, humidity_ratio| MoistAir {
            temperature,
            humidity_ratio,
            pressure: part.pressure,
        };
        let most = water / flow;
        let mut cold = closes(most);
        if most <= at(cold, most).saturation_humidity_ratio() {
            return at(cold, most);
        }
        let mut warm = at(cold, most).dew_point().max(cold);
        for _ in 0..BISECTIONS {
            let middle = f64::midpoint(cold, warm);
            if closes(at(middle, most).saturation_humidity_ratio()) > middle {
                cold = middle;
            } else {
                warm = middle;
            }
        }
        at(cold, at(cold, most).saturation_humidity_ratio())
    }

    /// Outside air that thins a gas given off in the part as much as exchange and leakage do together \[kg/s of dry air\].
    #[must_use]
    pub fn thinning(&self, part: &MoistAir, outside: &MoistAir, fresh: f64) -> f64 {
        let leakage = self.leakage * outside.density_of_dry_air();
        let exchange = self.exchange * part.density_of_dry_air();
        let flow = leakage + exchange + fresh;
        if flow < NO_FLOW {
            return 0.0;
        }
        fresh + exchange * leakage / flow
    }
}
