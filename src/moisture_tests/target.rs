//! Targets, and how they are read.

use super::instruments::{DISH_EXPOSURE, dish, plastic_sheet, probe_depth};
use super::service::{CONDITIONING, Copies, Face, Service};
use crate::air::KELVIN_AT_ZERO_CELSIUS;
use crate::simulation::{SimulationFault, Snapshot};

/// Top layer whose water counts as mass percent when no depth is given \[m\]: a chipped sample (common practice, no
/// published source).
pub const SAMPLE_LAYER: f64 = 0.02;
/// Relative humidity at depth that most floor goods ask for (ASTM F710, from memory).
pub const HUMIDITY_LIMIT: f64 = 0.75;
/// How far the humidity at the standard depth may stand above the humidity limit while another target passes the floor: more
/// than two probes in one slab differ (ASTM F2170 asks for 2 %; the rest is judgement).
pub const DEPTH_MARGIN: f64 = 0.05;

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
    /// Evaporation from the bare face at the end of the time at service conditions.
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
    /// No water shows under a plastic sheet. It can veto, and never passes a floor by itself.
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

    /// The target on the slab as it lies, at the temperature of the service conditions; `None` for tests that take days. Concrete that
    /// warms up and keeps its water reads a higher humidity: `ln h` goes with `1/T` at equal capillary pressure.
    #[must_use]
    pub fn as_it_lies(&self, slab: &Snapshot<'_>, service: &Service) -> Option<f64> {
        match *self {
            Self::HumidityAtDepth { depth_share, .. } => {
                let depth = probe_depth(slab, depth_share);
                let kelvin = |celsius: f64| celsius + KELVIN_AT_ZERO_CELSIUS;
                let power = kelvin(slab.temperature_at(depth)) / kelvin(service.temperature);
                Some(slab.humidity_at(depth).powf(power))
            }
            Self::EquilibriumHumidity { .. } => {
                Some(slab.equilibrium_humidity(service.temperature))
            }
            Self::MassPercent { layer, .. } => Some(slab.mass_share(layer)),
            Self::EmissionRate { .. } | Self::SurfaceFlux { .. } | Self::PlasticSheet { .. } => {
                None
            }
        }
    }

    /// Time from the beginning of a test to its reading \[s\].
    #[must_use]
    pub fn takes(&self) -> f64 {
        match *self {
            Self::EmissionRate { .. } => CONDITIONING + DISH_EXPOSURE,
            Self::PlasticSheet { exposure } => exposure,
            Self::HumidityAtDepth { .. }
            | Self::EquilibriumHumidity { .. }
            | Self::SurfaceFlux { .. }
            | Self::MassPercent { .. } => CONDITIONING,
        }
    }
}

/// Whether a floor can pass by these targets at all: a plastic sheet alone never passes one.
#[must_use]
pub fn can_pass(targets: &[Target]) -> bool {
    targets
        .iter()
        .any(|t| !matches!(t, Target::PlasticSheet { .. }))
}

/// Humidity at the standard depth above which no floor passes: [`DEPTH_MARGIN`] above the limit of the humidity.
#[must_use]
pub fn depth_limit(targets: &[Target]) -> f64 {
    humidity_limit(targets) + DEPTH_MARGIN
}

/// The lowest humidity limit among the targets, or the usual one where none of them is a humidity.
#[must_use]
pub fn humidity_limit(targets: &[Target]) -> f64 {
    let lowest = targets
        .iter()
        .filter(|t| t.is_humidity())
        .map(Target::limit)
        .fold(f64::INFINITY, f64::min);
    if lowest.is_finite() {
        lowest
    } else {
        HUMIDITY_LIMIT
    }
}

/// How tests are made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tester {
    /// The air in which floors are tested.
    pub service: Service,
    /// What dishes read over what the simulated dish reads; 1 unless a world is drawn with another.
    pub dish_factor: f64,
}

impl Default for Tester {
    fn default() -> Self {
        Self {
            service: Service::default(),
            dish_factor: 1.0,
        }
    }
}

impl Tester {
    /// What tests begun now on a slab would read: one value for each target, as its standard reads it.
    ///
    /// # Errors
    /// When the simulation of a test gives up.
    pub fn read(
        &self,
        targets: &[Target],
        slab: &Snapshot<'_>,
    ) -> Result<Vec<f64>, SimulationFault> {
        let mut copies = Copies::of(slab, self.service);
        targets
            .iter()
            .map(|target| match *target {
                Target::EmissionRate { .. } => {
                    let spot = copies.with(Face::Ground)?.slab.snapshot();
                    Ok(self.dish_factor * dish(&spot)?)
                }
                Target::SurfaceFlux { .. } => Ok(copies.with(Face::Bare)?.flux.max(0.0)),
                Target::PlasticSheet { exposure } => plastic_sheet(slab, exposure),
                Target::HumidityAtDepth { depth_share, .. } => {
                    let after = copies.with(Face::AsItIs)?.slab.snapshot();
                    Ok(after.humidity_at(probe_depth(&after, depth_share)))
                }
                Target::EquilibriumHumidity { .. } => Ok(copies
                    .with(Face::AsItIs)?
                    .slab
                    .snapshot()
                    .equilibrium_humidity(self.service.temperature)),
                Target::MassPercent { layer, .. } => {
                    Ok(copies.with(Face::AsItIs)?.slab.snapshot().mass_share(layer))
                }
            })
            .collect()
    }
}
