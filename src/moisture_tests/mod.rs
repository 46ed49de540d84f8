//! The moisture tests as instruments on a simulated slab, and targets made of them.
//!
//! | test | what is read | source |
//! |---|---|---|
//! | humidity probe | relative humidity at 40 % of the thickness drying from one side, 20 % from two | ASTM F2170 |
//! | equilibrium humidity | mean water of the slab, through the desorption isotherm | BRANZ bulletin on moisture under coverings |
//! | dish test | mean flux into a dish over a ground spot in 60 to 72 h | ASTM F1869 |
//! | surface flux | evaporation as it is | none needed |
//! | mass percent | evaporable water of the top layer over its dry mass | drying at 105 degC, common practice |
//! | plastic sheet | relative humidity under a tight sheet after 16 h, at the sheet's temperature; water shows at 100 % | ASTM D4263 |
//!
//! The dish is simulated as a boundary condition on a copy of the slab: the air under the dish is kept near
//! 0 % by the salt, and the spot is ground, so that no skin but the still air of the dome stands in the way. It is the
//! dish of young concrete on its first desorption; old, carbonated faces hold and pass less, and real dishes on them read
//! a fraction of this. The sheet is a skin that lets nothing pass; lying loose, it takes the mean temperature of face
//! and air.
//!
//! Accuracy: `tests/it/concrete.rs` (drying times read with these instruments against published tables).

use crate::air::MoistAir;
use crate::column::{Skin, Tolerance};
use crate::simulation::{Climate, Progress, SimulationFault, Snapshot};
use crate::units::HOUR;
use std::ops::ControlFlow;

/// Depth of the probe as a share of the thickness, drying from one side (ASTM F2170).
pub const PROBE_ONE_SIDE: f64 = 0.4;
/// The same, drying from two sides (ASTM F2170).
pub const PROBE_TWO_SIDES: f64 = 0.2;
/// Temperature at which the equilibrium humidity under a cover is stated \[degC\]: a room in use.
const SERVICE_TEMPERATURE: f64 = 20.0;
/// Exposure of the dish \[s\]: the middle of the 60 to 72 h that ASTM F1869 allows.
const DISH_EXPOSURE: f64 = 66.0 * HOUR;
/// Relative humidity over anhydrous calcium chloride in the dish (engineering judgement); the standard treats it as zero.
const DISH_HUMIDITY: f64 = 0.01;
/// Resistance between the floor under the dome and the salt \[m2 s Pa/kg\], per area of floor: about 3 cm of still air
/// (2e-10 kg/(m s Pa)) in series with the narrowing from some 460 cm2 of floor to a dish of some 44 cm2 (sizes of the
/// common kit, from memory; the resistance is derived from them).
const DOME_RESISTANCE: f64 = 1.5e9;
/// Top layer whose water counts as mass percent when no depth is given \[m\]: a chipped sample (common practice, no
/// published source).
pub const SAMPLE_LAYER: f64 = 0.02;
/// Time under the plastic sheet \[s\] (ASTM D4263: at least 16 h).
pub const SHEET_EXPOSURE: f64 = 16.0 * HOUR;
/// Speed of the air under a dome or a sheet \[m/s\].
const STILL_AIR: f64 = 0.0;

/// One condition that the floor must meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Target {
    /// Relative humidity at a share of the thickness below the upper face; `None` takes the standard's depth.
    HumidityAtDepth {
        /// Highest relative humidity that passes.
        limit: f64,
        /// Depth over thickness.
        depth_share: Option<f64>,
    },
    /// Relative humidity to which the slab would even out under a tight cover.
    EquilibriumHumidity {
        /// Highest relative humidity that passes.
        limit: f64,
    },
    /// Dish test.
    EmissionRate {
        /// Highest rate that passes \[kg/(m2 s)\].
        limit: f64,
    },
    /// Evaporation from the face as it is.
    SurfaceFlux {
        /// Highest flux that passes \[kg/(m2 s)\].
        limit: f64,
    },
    /// Evaporable water over dry mass in the top layer.
    MassPercent {
        /// Highest share that passes.
        limit: f64,
        /// Thickness of the layer \[m\].
        layer: f64,
    },
    /// No water shows under a plastic sheet.
    PlasticSheet {
        /// Time that it lies \[s\].
        exposure: f64,
    },
}

impl Target {
    /// The limit, in the unit of the reading.
    #[must_use]
    pub fn limit(&self) -> f64 {
        match *self {
            Self::HumidityAtDepth { limit, .. }
            | Self::EquilibriumHumidity { limit }
            | Self::EmissionRate { limit }
            | Self::SurfaceFlux { limit }
            | Self::MassPercent { limit, .. } => limit,
            Self::PlasticSheet { .. } => 1.0,
        }
    }

    /// Whether readings are relative humidities inside the slab.
    #[must_use]
    pub fn is_humidity(&self) -> bool {
        matches!(
            self,
            Self::HumidityAtDepth { .. } | Self::EquilibriumHumidity { .. }
        )
    }

    /// Whether readings are fluxes rather than shares.
    #[must_use]
    pub fn is_flux(&self) -> bool {
        matches!(self, Self::EmissionRate { .. } | Self::SurfaceFlux { .. })
    }

    /// Whether a reading costs a simulation of its own, so that once a day is enough.
    #[must_use]
    pub fn is_costly(&self) -> bool {
        matches!(self, Self::EmissionRate { .. } | Self::PlasticSheet { .. })
    }

    /// What the test would read now. `evaporation` is the present flux from the face \[kg/(m2 s)\].
    ///
    /// # Errors
    /// When the simulation of the dish or the sheet gives up.
    pub fn read(&self, slab: &Snapshot<'_>, evaporation: f64) -> Result<f64, SimulationFault> {
        match *self {
            Self::HumidityAtDepth { depth_share, .. } => {
                Ok(slab.humidity_at(probe_depth(slab, depth_share)))
            }
            Self::EquilibriumHumidity { .. } => Ok(slab.equilibrium_humidity(SERVICE_TEMPERATURE)),
            Self::EmissionRate { .. } => dish(slab),
            Self::SurfaceFlux { .. } => Ok(evaporation.max(0.0)),
            Self::MassPercent { layer, .. } => Ok(slab.mass_share(layer)),
            Self::PlasticSheet { exposure } => plastic_sheet(slab, exposure),
        }
    }
}

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
        MoistAir::from_relative_humidity(temperature, DISH_HUMIDITY, crate::air::STANDARD_PRESSURE);
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
