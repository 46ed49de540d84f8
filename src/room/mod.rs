//! The air of a room as the last node of the column: outside air, envelope, machines, other wet materials and people.
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
//! M dW/dt = g A + m (W_out - W) + machines + sources - condensation          m = n rho V + machines
//! d(M H + C T)/dt = q A + m (H_out - H) + UA (T_out - T) + machines + sources - liquid that leaves
//! ```
//! One node stands for all the air of the room: well mixed, as in single-zone energy calculation. Water that
//! the air cannot hold settles on the envelope as liquid. Radiant exchange of the slab is with surroundings at
//! air temperature. Where a tent or a partition closes off a part, the node is the air of that part and the rest of the room
//! follows in balance ([`Rest`]).
//!
//! Source: single-zone balances as in the engineering reference of the US Department of Energy's building
//! energy program; heat transfer at the floor from the evaporation law by Lewis' analogy.
//!
//! Accuracy: `analytic_steady_room` in `tests/it/room.rs`, the closed form of a ventilated room over a wet floor.

use crate::air::{self, MoistAir, evaporation};
use crate::column::{AirStore, Link};
use crate::gear::controls::Thermostat;
use crate::gear::fan::FloorAir;
use crate::gear::{Effect, Machine, Rental, Surroundings};
use crate::units::{DAY, HOUR};
use crate::weather::OutsideAir;
use std::cell::OnceCell;
use std::ops::{AddAssign, Mul};

mod rest;
pub mod source;

pub use rest::Rest;
pub use source::{Given, Source};

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
    /// Start and end of the time in which they are on site \[s on the job's clock\].
    pub present: (f64, f64),
    /// What one of them costs to rent, which the room does not use.
    pub rental: Rental,
}

/// Part of an envelope that borders on a place whose temperature holds: a heated storey, the ground.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Neighbour {
    /// Its share of the heat loss, 0 to 1.
    pub share: f64,
    /// Temperature there \[degC\].
    pub temperature: f64,
}

impl Neighbour {
    /// Temperature to which the envelope as a whole loses its heat \[degC\].
    #[must_use]
    pub fn beyond_envelope(&self, outside: f64) -> f64 {
        outside + self.share * (self.temperature - outside)
    }
}

/// Heating that belongs to the building: it costs the job nothing and stays on whatever is rented.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OwnHeat {
    /// Its thermostat.
    pub thermostat: Thermostat,
    /// Full output \[W\].
    pub power: f64,
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
    /// Heat loss of the envelope to the outside, without the slab and without leakage \[W/K\].
    pub heat_loss: f64,
    /// What of the envelope borders on something other than the outside.
    pub neighbour: Neighbour,
    /// Heat of the building's own.
    pub own_heat: Option<OwnHeat>,
    /// Leakage of outside air \[1/h\].
    pub air_changes_per_hour: f64,
    /// Machines.
    pub machines: Vec<Installed>,
    /// Other wet materials and people.
    pub sources: Vec<Source>,
    /// The rest of the room, where this is a part of it.
    pub rest: Option<Rest>,
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
        ActiveRoom {
            room: self,
            machines,
            floor_air: OnceCell::new(),
        }
    }
}

/// A room with the machines present during one stretch of time.
#[derive(Clone, Debug)]
pub struct ActiveRoom<'a> {
    room: &'a Room,
    machines: Vec<&'a Installed>,
    /// Worked out when it is asked for: fans are integrated over the floor.
    floor_air: OnceCell<FloorAir>,
}

/// What passes between the room's air and everything but the slab.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Exchange {
    /// Water vapour into the air \[kg/s\]: the sum of all that follow.
    pub vapour: f64,
    /// Enthalpy into the air \[W\].
    pub enthalpy: f64,
    /// Water vapour that outside air brings, leakage included, and air from the rest of the room where a part of it is closed off
    /// \[kg/s\]; negative when it carries water off.
    pub by_outside_air: f64,
    /// Water vapour from other wet materials and from people \[kg/s\].
    pub by_sources: f64,
    /// Water that settles on the envelope \[kg/s\], never negative.
    pub condensed: f64,
    /// Outside air by which gases are thinned \[kg/s of dry air\].
    pub fresh_air: f64,
    /// Carbon dioxide of people \[kg/s\]; that of burners is with the machines.
    pub carbon_dioxide_of_people: f64,
    /// Sum over the machines.
    pub machines: Effect,
}

impl AddAssign for Exchange {
    fn add_assign(&mut self, other: Self) {
        self.vapour += other.vapour;
        self.enthalpy += other.enthalpy;
        self.by_outside_air += other.by_outside_air;
        self.by_sources += other.by_sources;
        self.condensed += other.condensed;
        self.fresh_air += other.fresh_air;
        self.carbon_dioxide_of_people += other.carbon_dioxide_of_people;
        self.machines += other.machines;
    }
}

impl Mul<f64> for Exchange {
    type Output = Self;

    fn mul(self, weight: f64) -> Self {
        Self {
            vapour: self.vapour * weight,
            enthalpy: self.enthalpy * weight,
            by_outside_air: self.by_outside_air * weight,
            by_sources: self.by_sources * weight,
            condensed: self.condensed * weight,
            fresh_air: self.fresh_air * weight,
            carbon_dioxide_of_people: self.carbon_dioxide_of_people * weight,
            machines: self.machines * weight,
        }
    }
}

impl<'a> ActiveRoom<'a> {
    fn floor_air(&self) -> &FloorAir {
        self.floor_air.get_or_init(|| {
            let fans: Vec<_> = self
                .machines
                .iter()
                .filter_map(|m| match m.machine {
                    Machine::Fan(fan) => Some((fan, m.count)),
                    _ => None,
                })
                .collect();
            FloorAir::new(&fans, self.room.area)
        })
    }

    /// The room during a step from `from` to `until` \[s on the season's clock\], with the mean outside air of that time. What does
    /// not hang on the room's own state is worked out here once.
    #[must_use]
    pub fn during(&self, outside: &OutsideAir, from: f64, until: f64) -> RoomStep<'_> {
        let room = self.room;
        let air = MoistAir {
            temperature: outside.temperature,
            humidity_ratio: outside.humidity_ratio,
            pressure: room.pressure,
        };
        let mut given = Given::default();
        for source in &room.sources {
            given += source.mean(from, until);
        }
        RoomStep {
            active: self,
            outside: air,
            outside_enthalpy: air.enthalpy(),
            wind_speed: outside.wind_speed,
            hour_of_day: (0.5 * (from + until)).rem_euclid(DAY) / HOUR,
            leakage: room.air_changes_per_hour / HOUR * room.volume * air.density_of_dry_air(),
            given,
        }
    }

    /// Machines present, one entry for each kind.
    #[must_use]
    pub fn machines(&self) -> &[&'a Installed] {
        &self.machines
    }
}

/// A room during one step: a function of the state of its air, cheap and without allocation.
#[derive(Clone, Copy, Debug)]
pub struct RoomStep<'a> {
    active: &'a ActiveRoom<'a>,
    outside: MoistAir,
    outside_enthalpy: f64,
    wind_speed: f64,
    hour_of_day: f64,
    leakage: f64,
    given: Given,
}

impl RoomStep<'_> {
    fn surroundings(&self, temperature: f64, humidity_ratio: f64) -> Surroundings {
        Surroundings {
            inside: MoistAir {
                temperature,
                humidity_ratio,
                pressure: self.active.room.pressure,
            },
            outside: self.outside,
            wind_speed: self.wind_speed,
            hour_of_day: self.hour_of_day,
        }
    }

    /// All exchanges of the air at a state.
    #[must_use]
    pub fn exchange(&self, temperature: f64, humidity_ratio: f64) -> Exchange {
        let s = self.surroundings(temperature, humidity_ratio);
        let room = self.active.room;
        let machines: Effect = self
            .active
            .machines
            .iter()
            .map(|m| m.machine.effect(&s) * m.count)
            .sum();
        let inside_enthalpy = s.inside.enthalpy();
        let fresh = self.leakage + machines.outside_air;
        let mut by_outside_air = fresh * (self.outside.humidity_ratio - humidity_ratio);
        let mut enthalpy = machines.enthalpy
            + fresh * (self.outside_enthalpy - inside_enthalpy)
            + room.heat_loss
                * (room.neighbour.beyond_envelope(self.outside.temperature) - temperature)
            + room
                .own_heat
                .map_or(0.0, |own| own.power * own.thermostat.duty(temperature));
        let mut fresh_air = fresh;
        if let Some(rest) = &room.rest {
            let beside = rest.state(&s.inside, &self.outside, fresh);
            let exchange = rest.exchange * s.inside.density_of_dry_air();
            by_outside_air += exchange * (beside.humidity_ratio - humidity_ratio);
            enthalpy += exchange * (beside.enthalpy() - inside_enthalpy)
                + rest.conductance * (beside.temperature - temperature);
            fresh_air = rest.thinning(&s.inside, &self.outside, fresh);
        }
        let excess = (humidity_ratio - s.inside.saturation_humidity_ratio()).max(0.0);
        let condensed = excess * s.inside.density_of_dry_air() * room.volume / CONDENSATION_TIME;
        let given = &self.given;
        let by_sources = given.from_materials + given.from_people;
        // A material's water comes as liquid at room temperature, so its evaporation cools the air; a person's comes as vapour.
        enthalpy += given.sensible
            + given.from_people
                * (air::LATENT_HEAT_AT_ZERO + air::SPECIFIC_HEAT_VAPOUR * temperature)
            + (given.from_materials - condensed) * air::SPECIFIC_HEAT_WATER * temperature;
        Exchange {
            vapour: machines.vapour + by_outside_air + by_sources - condensed,
            enthalpy,
            by_outside_air,
            by_sources,
            condensed,
            fresh_air,
            carbon_dioxide_of_people: given.carbon_dioxide,
            machines,
        }
    }

    /// The supply of the column's last node, per area of slab.
    #[must_use]
    pub fn supply(&self, temperature: f64, humidity_ratio: f64) -> [f64; 2] {
        let e = self.exchange(temperature, humidity_ratio);
        let area = self.active.room.area;
        [e.vapour / area, e.enthalpy / area]
    }

    /// Mean air speed over the floor \[m/s\].
    #[must_use]
    pub fn floor_air_speed(&self, temperature: f64, humidity_ratio: f64) -> f64 {
        self.active
            .floor_air()
            .speed(&self.surroundings(temperature, humidity_ratio))
    }

    /// The effect of each entry of [`ActiveRoom::machines`] by itself, its count included.
    pub fn effects(
        &self,
        temperature: f64,
        humidity_ratio: f64,
    ) -> impl Iterator<Item = Effect> + '_ {
        let s = self.surroundings(temperature, humidity_ratio);
        self.active
            .machines
            .iter()
            .map(move |m| m.machine.effect(&s) * m.count)
    }
}

/// The link between a face and air that moves over it at a speed \[m/s\].
#[must_use]
pub fn face_link(air_speed: f64, surface_transfer_factor: f64) -> Link {
    // Lewis' analogy at 20 degC: h_c = beta rho c_p R_v T Le^(2/3), with rho c_p R_v T = 1.633e8 Pa J/(kg K) and
    // Le^(2/3) = 0.906 for vapour in air.
    const RHO_CP_RV_T: f64 = 1.633e8;
    const LEWIS: f64 = 0.906;
    let vapour_transfer =
        surface_transfer_factor * evaporation::vapour_transfer_coefficient(air_speed);
    Link::Exchange {
        vapour_transfer,
        convection: vapour_transfer * RHO_CP_RV_T * LEWIS,
        emissivity: EMISSIVITY,
    }
}
