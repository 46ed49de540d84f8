//! The air of a room as the last node of the column: outside air, envelope and machines.
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | `W` | humidity ratio | kg/kg dry air |
//! | `H` | enthalpy of moist air per mass of dry air | J/kg |
//! | `m` | outside air drawn in, as dry air | kg/s |
//! | `n` | air changes by leakage | 1/s |
//! | `UA` | heat loss of the envelope without the slab | W/K |
//!
//! ```text
//! M dW/dt = g A + m (W_out - W) + machines - condensation          m = n rho V + machines
//! d(M H + C T)/dt = q A + m (H_out - H) + UA (T_out - T) + machines - liquid that leaves
//! ```
//! One node stands for all the air of the room: well mixed, as in single-zone energy calculation. Water that
//! the air cannot hold settles on the envelope as liquid. Radiant exchange of the slab is with surroundings at
//! air temperature.
//!
//! Source: single-zone balances as in the engineering reference of the US Department of Energy's building
//! energy program; heat transfer at the floor from the evaporation law by Lewis' analogy.
//!
//! Accuracy: `analytic_steady_room` in `tests/it/room.rs`, the closed form of a ventilated room over a wet floor.

use crate::air::{self, MoistAir, evaporation};
use crate::column::{AirStore, Link};
use crate::gear::fan::FloorAir;
use crate::gear::{Effect, Machine, Surroundings};
use crate::weather::OutsideAir;

/// Time in which air above saturation gives up its excess to the envelope \[s\]: fog clears in minutes
/// (engineering judgement; the result does not depend on it as long as it is short against an hour).
const CONDENSATION_TIME: f64 = 300.0;
/// Effective emissivity between concrete and building surfaces, 0.9 each (engineering judgement, from memory).
const EMISSIVITY: f64 = 0.82;
/// Heat capacity that follows the air of a room, as a multiple of the air's own: partitions, stored goods, the
/// inner skin of the envelope (engineering judgement; a buffer of hours, not of days).
const FURNISHINGS: f64 = 10.0;

/// Machines of one kind, and when they run.
#[derive(Clone, Debug, PartialEq)]
pub struct Installed {
    /// One machine.
    pub machine: Machine,
    /// How many.
    pub count: f64,
    /// Start and end of the time in which they are on site \[s on the season's clock\].
    pub present: (f64, f64),
}

/// A closed room over a slab.
#[derive(Clone, Debug, PartialEq)]
pub struct Room {
    /// Area of the slab \[m2\].
    pub area: f64,
    /// Volume \[m3\].
    pub volume: f64,
    /// Air pressure \[Pa\].
    pub pressure: f64,
    /// Heat loss of the envelope, without the slab and without leakage \[W/K\].
    pub heat_loss: f64,
    /// Leakage \[1/h\].
    pub air_changes_per_hour: f64,
    /// Machines.
    pub machines: Vec<Installed>,
}

impl Room {
    /// The store that the column's last node needs.
    #[must_use]
    pub fn store(&self) -> AirStore {
        let dry_air = MoistAir::from_relative_humidity(20.0, 0.5, self.pressure)
            .density_of_dry_air()
            * self.volume
            / self.area;
        AirStore {
            dry_air,
            furnishings: FURNISHINGS * dry_air * air::SPECIFIC_HEAT_DRY_AIR,
            pressure: self.pressure,
        }
    }

    /// The machines present at a time, with the air speed that their fans make.
    #[must_use]
    pub fn at(&self, time: f64) -> ActiveRoom<'_> {
        let machines: Vec<&Installed> = self
            .machines
            .iter()
            .filter(|m| m.present.0 <= time && time < m.present.1)
            .collect();
        let fans: Vec<_> = machines
            .iter()
            .filter_map(|m| match m.machine {
                Machine::Fan(fan) => Some((fan, m.count)),
                _ => None,
            })
            .collect();
        ActiveRoom {
            room: self,
            machines,
            floor_air: FloorAir::new(&fans, self.area),
        }
    }
}

/// A room with the machines present during one stretch of time.
#[derive(Clone, Debug)]
pub struct ActiveRoom<'a> {
    room: &'a Room,
    machines: Vec<&'a Installed>,
    floor_air: FloorAir,
}

/// What passes between the room's air and everything but the slab.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Exchange {
    /// Water vapour into the air \[kg/s\].
    pub vapour: f64,
    /// Enthalpy into the air \[W\].
    pub enthalpy: f64,
    /// Water vapour that outside air brings, leakage included \[kg/s\]; negative when it carries water off.
    pub by_outside_air: f64,
    /// Sum over the machines.
    pub machines: Effect,
}

impl ActiveRoom<'_> {
    fn surroundings(
        &self,
        temperature: f64,
        humidity_ratio: f64,
        outside: &OutsideAir,
        hour_of_day: f64,
    ) -> Surroundings {
        let state = |temperature, humidity_ratio| MoistAir {
            temperature,
            humidity_ratio,
            pressure: self.room.pressure,
        };
        Surroundings {
            inside: state(temperature, humidity_ratio),
            outside: state(outside.temperature, outside.humidity_ratio),
            hour_of_day,
        }
    }

    /// All exchanges of the air at a state.
    #[must_use]
    pub fn exchange(
        &self,
        temperature: f64,
        humidity_ratio: f64,
        outside: &OutsideAir,
        hour_of_day: f64,
    ) -> Exchange {
        let s = self.surroundings(temperature, humidity_ratio, outside, hour_of_day);
        let machines: Effect = self
            .machines
            .iter()
            .map(|m| m.machine.effect(&s) * m.count)
            .sum();
        let room = self.room;
        let leakage =
            room.air_changes_per_hour / 3600.0 * room.volume * s.outside.density_of_dry_air();
        let fresh = leakage + machines.outside_air;
        let by_outside_air = fresh * (s.outside.humidity_ratio - humidity_ratio);
        let excess = (humidity_ratio - s.inside.saturation_humidity_ratio()).max(0.0);
        let condensed = excess * s.inside.density_of_dry_air() * room.volume / CONDENSATION_TIME;
        Exchange {
            vapour: machines.vapour + by_outside_air - condensed,
            enthalpy: machines.enthalpy
                + fresh * (s.outside.enthalpy() - s.inside.enthalpy())
                + room.heat_loss * (outside.temperature - temperature)
                - condensed * air::SPECIFIC_HEAT_WATER * temperature,
            by_outside_air,
            machines,
        }
    }

    /// The supply of the column's last node, per area of slab.
    #[must_use]
    pub fn supply(
        &self,
        temperature: f64,
        humidity_ratio: f64,
        outside: &OutsideAir,
        hour_of_day: f64,
    ) -> [f64; 2] {
        let e = self.exchange(temperature, humidity_ratio, outside, hour_of_day);
        [e.vapour / self.room.area, e.enthalpy / self.room.area]
    }

    /// Mean air speed over the floor \[m/s\].
    #[must_use]
    pub fn floor_air_speed(
        &self,
        temperature: f64,
        humidity_ratio: f64,
        outside: &OutsideAir,
        hour_of_day: f64,
    ) -> f64 {
        self.floor_air
            .speed(&self.surroundings(temperature, humidity_ratio, outside, hour_of_day))
    }

    /// Machines present, one entry for each kind.
    #[must_use]
    pub fn machines(&self) -> &[&Installed] {
        &self.machines
    }

    /// The effect of each entry of [`Self::machines`] by itself, its count included.
    pub fn effects(
        &self,
        temperature: f64,
        humidity_ratio: f64,
        outside: &OutsideAir,
        hour_of_day: f64,
    ) -> impl Iterator<Item = Effect> + '_ {
        let s = self.surroundings(temperature, humidity_ratio, outside, hour_of_day);
        self.machines
            .iter()
            .map(move |m| m.machine.effect(&s) * m.count)
    }
}

/// The link between a face and air that moves over it at a speed \[m/s\].
#[must_use]
pub fn face_link(air_speed: f64, film_factor: f64) -> Link {
    // Lewis' analogy at 20 degC: h_c = beta rho c_p R_v T Le^(2/3), with rho c_p R_v T = 1.633e8 Pa/K and
    // Le^(2/3) = 0.906 for vapour in air.
    const RHO_CP_RV_T: f64 = 1.633e8;
    const LEWIS: f64 = 0.906;
    let vapour_transfer = film_factor * evaporation::vapour_transfer_coefficient(air_speed);
    Link::Exchange {
        vapour_transfer,
        convection: vapour_transfer * RHO_CP_RV_T * LEWIS,
        emissivity: EMISSIVITY,
    }
}
