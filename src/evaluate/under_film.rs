//! What comes under a coating: the slab with its top sealed on the day its targets were met.
//!
//! The face dries first; what is left at depth spreads once nothing leaves through the top. The peak under the film is
//! what the coating's adhesive bond has to stand.

use crate::air::MoistAir;
use crate::column::Skin;
use crate::simulation::{Climate, Progress, Simulation, SimulationFault, Snapshot};
use crate::units::DAY;
use std::ops::ControlFlow;

/// Air of the building in use \[degC, relative humidity\] (common practice, no published source).
const SERVICE_AIR: (f64, f64) = (20.0, 0.5);
/// Air speed over a floor in use \[m/s\] (common practice, no published source).
const SERVICE_AIR_SPEED: f64 = 0.1;
/// Days followed. A slab that is still rising then says so.
const LOOK_AHEAD: f64 = 365.0;
/// Closer to the peak than this counts as being there: the last of a profile evens out for ever.
const AT_THE_PEAK: f64 = 0.002;
/// A rise above [`AT_THE_PEAK`] over the last days \[days\] counts as still rising.
const LAST_DAYS: f64 = 30.0;

/// The humidity under a film.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UnderFilm {
    /// Highest relative humidity of the concrete just below the film.
    pub peak: f64,
    /// Days after coating on which it has come, to within 0.2 % RH.
    pub days: f64,
    /// Whether it was still rising at the end of the days followed.
    pub still_rising: bool,
}

/// Seals the top now and follows the slab for a year in a building in use.
///
/// # Errors
/// When the solver gives up.
pub fn under_film(slab: &Simulation) -> Result<UnderFilm, SimulationFault> {
    under_layer(slab, 0.0)
}

/// The same under a layer that lets something pass: its permeance \[kg/(m2 s Pa)\].
///
/// # Errors
/// When the solver gives up.
pub fn under_layer(slab: &Simulation, permeance: f64) -> Result<UnderFilm, SimulationFault> {
    let mut sealed = slab.clone();
    let (temperature, humidity) = SERVICE_AIR;
    let air =
        MoistAir::from_relative_humidity(temperature, humidity, crate::air::STANDARD_PRESSURE);
    sealed.set_skin(Skin::tight(1.0 / permeance));
    sealed.hold_air();
    sealed.set_rain(0.0, temperature);
    let start = sealed.time();
    let mut course: Vec<(f64, f64)> = Vec::new();
    let mut watch = |slab: &Snapshot<'_>, _: &Progress| {
        let humidity = slab.profile().next().map_or(0.0, |(_, h, ..)| h);
        course.push(((slab.time() - start) / DAY, humidity));
        ControlFlow::Continue(())
    };
    let climate = Climate::Given {
        air,
        air_speed: SERVICE_AIR_SPEED,
    };
    let _ = sealed.advance(start + LOOK_AHEAD * DAY, climate, &mut watch)?;
    let peak = course.iter().map(|(_, h)| *h).fold(0.0, f64::max);
    let there = |(_, h): &&(f64, f64)| *h >= peak - AT_THE_PEAK;
    let days = course.iter().find(there).map_or(0.0, |(day, _)| *day);
    Ok(UnderFilm {
        peak,
        days,
        still_rising: days > LOOK_AHEAD - LAST_DAYS,
    })
}
