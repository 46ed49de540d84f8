//! The instruments: where a probe sits, a dish under its dome, a plastic sheet.
//!
//! The dish is simulated as a boundary condition on a copy of the slab: the salt keeps the air under the dome dry, and the
//! spot is ground, so that no skin but the still air of the dome stands in the way. The sheet is a skin that lets nothing
//! pass; lying loose, it takes the mean temperature of face and air.

use crate::air::MoistAir;
use crate::column::{Skin, Tolerance};
use crate::simulation::{Climate, Progress, SimulationFault, Snapshot};
use crate::units::HOUR;
use std::ops::ControlFlow;

/// Depth of the probe as a share of the thickness, drying from one side (ASTM F2170).
pub const PROBE_ONE_SIDE: f64 = 0.4;
/// The same, drying from two sides (ASTM F2170).
pub const PROBE_TWO_SIDES: f64 = 0.2;
/// Exposure of the dish \[s\]: the middle of the 60 to 72 h that ASTM F1869 allows.
pub(super) const DISH_EXPOSURE: f64 = 66.0 * HOUR;
/// Relative humidity over the salt in the dish: that of a saturated solution of calcium chloride, 31 % at 24.5 degC in older
/// handbook tables and 29 % at 25 degC in newer ones (both from memory). What the salt takes up in three days turns the top of it into
/// a solution.
const SALT_HUMIDITY: f64 = 0.3;
/// Resistance between the floor under the dome and the salt \[m2 s Pa/kg\], per area of floor: about 3 cm of still air
/// (2e-10 kg/(m s Pa)) in series with the narrowing from some 460 cm2 of floor to a dish of some 44 cm2 (sizes of the
/// common kit, from memory; the resistance is derived from them).
const DOME_RESISTANCE: f64 = 1.5e9;
/// Time under the plastic sheet \[s\] (ASTM D4263: at least 16 h).
pub const SHEET_EXPOSURE: f64 = 16.0 * HOUR;
/// Speed of the air under a dome or a sheet \[m/s\].
const STILL_AIR: f64 = 0.0;

/// Depth of the probe \[m\].
#[must_use]
pub fn probe_depth(slab: &Snapshot<'_>, depth_share: Option<f64>) -> f64 {
    let share = depth_share.unwrap_or(if slab.dries_from_two_sides() {
        PROBE_TWO_SIDES
    } else {
        PROBE_ONE_SIDE
    });
    share * slab.thickness()
}

/// Mean flux into a dish set on the slab now \[kg/(m2 s)\].
///
/// # Errors
/// When the simulation gives up.
pub fn dish(slab: &Snapshot<'_>) -> Result<f64, SimulationFault> {
    let mut spot = slab.fork();
    let (temperature, _) = slab.air();
    let air =
        MoistAir::from_relative_humidity(temperature, SALT_HUMIDITY, crate::air::STANDARD_PRESSURE);
    spot.set_skin(Skin::tight(DOME_RESISTANCE));
    spot.hold_air();
    spot.set_rain(0.0, temperature);
    spot.set_tolerance(Tolerance {
        humidity: 1e-3,
        ..Tolerance::default()
    });
    let mut gain = 0.0;
    let mut add = |_: &Snapshot<'_>, p: &Progress| {
        gain += p.evaporation * p.length;
        ControlFlow::Continue(())
    };
    let end = spot.time() + DISH_EXPOSURE;
    let _ = spot.advance(
        end,
        Climate::Given {
            air,
            air_speed: STILL_AIR,
        },
        &mut add,
    )?;
    Ok((gain / DISH_EXPOSURE).max(0.0))
}

/// Relative humidity under a plastic sheet after `exposure` \[s\], at the sheet's temperature; from 1 on, water shows.
///
/// # Errors
/// When the simulation gives up.
pub fn plastic_sheet(slab: &Snapshot<'_>, exposure: f64) -> Result<f64, SimulationFault> {
    let mut spot = slab.fork();
    let (temperature, humidity_ratio) = slab.air();
    let air = MoistAir {
        temperature,
        humidity_ratio,
        pressure: crate::air::STANDARD_PRESSURE,
    };
    spot.set_skin(Skin::tight(f64::INFINITY));
    spot.hold_air();
    spot.set_rain(0.0, temperature);
    let end = spot.time() + exposure;
    let climate = Climate::Given {
        air,
        air_speed: STILL_AIR,
    };
    let _ = spot.advance(end, climate, &mut |_, _| ControlFlow::Continue(()))?;
    let after = spot.snapshot();
    let Some((_, humidity, concrete_temperature, ..)) = after.profile().next() else {
        return Ok(0.0);
    };
    let sheet = f64::midpoint(after.face().1, temperature);
    let vapour = humidity * crate::air::saturation_pressure(concrete_temperature);
    Ok(vapour / crate::air::saturation_pressure(sheet))
}
