//! Service conditions: the air that a floor is brought to before it is tested, and the states in which no test counts.
//!
//! ASTM F1869 and F2170 read a floor after it has been at the temperature and humidity of its use for at least 48 h. The
//! reading of the moment is no substitute: a cold slab holds its water back, and air that is nearly saturated takes none,
//! so that both would pass a wet floor. A copy of the slab is brought there; gear, weather and water from above stay behind.
//!
//! Test: `tests/it/moisture_tests.rs` (a slab that lies in its service conditions reads what it would read 48 h later).

use crate::air::{MoistAir, saturation_pressure};
use crate::column::Skin;
use crate::simulation::{Climate, Progress, Simulation, SimulationFault, Snapshot};
use crate::units::HOUR;
use std::ops::ControlFlow;

/// Time at service conditions before a test \[s\] (ASTM F1869 and F2170: at least 48 h).
pub const CONDITIONING: f64 = 48.0 * HOUR;
/// Last part of the conditioning, over which the flux from the face is averaged \[s\].
const LAST_PART: f64 = HOUR;
/// Time before a dish test at which its spot is ground open \[s\] (ASTM F1869: at least 24 h, from memory).
const GROUND_BEFORE: f64 = 24.0 * HOUR;
/// Air speed over a floor in use \[m/s\] (common practice, no published source).
const AIR_SPEED: f64 = 0.1;
/// While a slab is colder than the dew point of the air, its air is looked at anew after this time \[s\], and holds this share of the vapour that
/// would condense on it.
const WARMING: f64 = 2.0 * HOUR;
const NO_DEW: f64 = 0.9;
/// Below this a slab is frozen \[degC\]. Ice does not move, and no test is made on it.
const FREEZING: f64 = 0.0;

/// The air of the building in use.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Service {
    /// Temperature \[degC\].
    pub temperature: f64,
    /// Relative humidity.
    pub relative_humidity: f64,
}

impl Default for Service {
    /// 73 degF and 50 %. Where the use is not known, ASTM F1869 and F2170 take 75 degF and 50 %, each give or take 10.
    fn default() -> Self {
        Self {
            temperature: (73.0 - 32.0) / 1.8,
            relative_humidity: 0.5,
        }
    }
}

/// Why no test counts now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Untestable {
    /// The face is kept wet, by curing or by work.
    KeptWet,
    /// Free water lies on the face.
    FreeWater,
    /// Some of the slab is frozen.
    Frozen,
}

/// Whether a test may be made on the slab as it lies.
///
/// # Errors
/// The reason why not.
pub fn testable(slab: &Snapshot<'_>) -> Result<(), Untestable> {
    if slab.is_kept_wet() {
        Err(Untestable::KeptWet)
    } else if slab.free_water() > 0.0 {
        Err(Untestable::FreeWater)
    } else if slab.coldest() < FREEZING {
        Err(Untestable::Frozen)
    } else {
        Ok(())
    }
}

/// A copy of a slab after its time at service conditions.
#[derive(Clone, Debug)]
pub(super) struct Conditioned {
    /// The slab.
    pub(super) slab: Simulation,
    /// Flux from its face at the end \[kg/(m2 s)\].
    pub(super) flux: f64,
}

/// Carries a copy on in the air of the building in use; its mean evaporation \[kg/(m2 s)\]. A building that comes into use is heated first, so
/// that no water condenses on a cold slab: until its face is above the dew point the air holds no more vapour than the face bears.
///
/// # Errors
/// When the solver gives up.
fn advance(copy: &mut Simulation, length: f64, service: &Service) -> Result<f64, SimulationFault> {
    let full = service.relative_humidity * saturation_pressure(service.temperature);
    let mut gone = 0.0;
    let end = copy.time() + length;
    let mut add = |_: &Snapshot<'_>, p: &Progress| {
        gone += p.evaporation * p.length;
        ControlFlow::Continue(())
    };
    while copy.time() < end {
        let slab = copy.snapshot();
        let bearable = NO_DEW * saturation_pressure(slab.face().1);
        let (vapour, until) = if bearable < full {
            (bearable, end.min(copy.time() + WARMING))
        } else {
            (full, end)
        };
        let climate = Climate::Given {
            air: MoistAir::from_vapour_pressure(service.temperature, vapour, slab.air_pressure()),
            air_speed: AIR_SPEED,
        };
        let _ = copy.advance(until, climate, &mut add)?;
    }
    Ok(gone / length)
}

/// What is done to the face before a test.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Face {
    /// Nothing.
    AsItIs,
    /// Curing compound or anything else tight is taken off at once.
    Bare,
    /// The spot is ground in time for a dish test.
    Ground,
}

impl Face {
    /// The same, where nothing lies on the face that it would take off.
    fn on(self, skin: Skin) -> Self {
        match self {
            Self::Bare if skin.tight == 0.0 => Self::AsItIs,
            Self::Ground if skin == Skin::default() => Self::AsItIs,
            face => face,
        }
    }
}

/// The copies of a slab at service conditions, made as they are asked for.
pub(super) struct Copies<'a> {
    slab: Snapshot<'a>,
    service: Service,
    made: Vec<(Face, Conditioned)>,
}

impl<'a> Copies<'a> {
    pub(super) fn of(slab: &Snapshot<'a>, service: Service) -> Self {
        Self {
            slab: *slab,
            service,
            made: Vec::new(),
        }
    }

    /// The copy with this face.
    ///
    /// # Errors
    /// When the solver gives up.
    pub(super) fn with(&mut self, face: Face) -> Result<&Conditioned, SimulationFault> {
        let face = face.on(self.slab.skin());
        let made = self.made.iter().position(|(made, _)| *made == face);
        let place = if let Some(place) = made {
            place
        } else {
            let copy = conditioned(&self.slab, &self.service, face)?;
            self.made.push((face, copy));
            self.made.len() - 1
        };
        Ok(&self.made[place].1)
    }
}

fn conditioned(
    slab: &Snapshot<'_>,
    service: &Service,
    face: Face,
) -> Result<Conditioned, SimulationFault> {
    let mut copy = slab.fork();
    copy.hold_air();
    copy.set_rain(0.0, service.temperature);
    let mut left = CONDITIONING;
    match face {
        Face::AsItIs => {}
        Face::Bare => copy.set_skin(Skin::porous(slab.skin().porous)),
        Face::Ground => {
            let _ = advance(&mut copy, left - GROUND_BEFORE, service)?;
            copy.set_skin(Skin::default());
            left = GROUND_BEFORE;
        }
    }
    let _ = advance(&mut copy, left - LAST_PART, service)?;
    let flux = advance(&mut copy, LAST_PART, service)?;
    Ok(Conditioned { slab: copy, flux })
}
