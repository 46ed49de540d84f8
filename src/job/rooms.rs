//! The room, what is in it beside the gear, and what the site has to plug gear into.

use crate::gear::controls::Thermostat;
use crate::gear::exchange::{Direction, ExchangeRule, Flow, OutsideAirExchange};
use crate::gear::{Circuit, Generator, Machine, Rental, SitePower, Supply};
use crate::room::source::Kind;
use crate::room::{Installed, Neighbour, OwnHeat, Rest, Room, Source};
use crate::scenario::model;
use crate::units::{DAY, HOUR};
use jiff::civil::Date;

/// Power factor at which generators are rated (common practice, from memory).
const GENERATOR_POWER_FACTOR: f64 = 0.8;

/// Band of the thermostat of a building's own heat \[K\].
const OWN_HEAT_BAND: f64 = 1.0;
/// Its full output holds the building at so many kelvins above its surroundings \[K\], and warms so much leaking air \[W/m2 of floor\] besides
/// (engineering judgement: it is there to hold its thermostat in a usual winter).
const OWN_HEAT_RESERVE: f64 = 40.0;
const OWN_HEAT_LEAST: f64 = 50.0;

/// The whole room without the machines of a setup.
pub(super) fn whole(
    scenario: &model::Scenario,
    pressure: f64,
    ground_temperature: f64,
    gear_on: f64,
    at: &impl Fn(Date) -> f64,
) -> Room {
    let area = scenario.slab.area.si();
    let room = &scenario.room;
    let heat_loss = room.heat_loss(area);
    Room {
        area,
        volume: area * room.height.si(),
        pressure,
        heat_loss,
        neighbour: room.neighbour(area, ground_temperature),
        own_heat: room.own_heat().map(|celsius| OwnHeat {
            thermostat: Thermostat {
                setpoint: celsius,
                band: OWN_HEAT_BAND,
            },
            power: OWN_HEAT_RESERVE * heat_loss + OWN_HEAT_LEAST * area,
        }),
        air_changes_per_hour: room.air_changes_per_hour(),
        machines: room.openings.iter().flatten().map(always_open).collect(),
        sources: sources(room, gear_on, at),
        rest: None,
    }
}

fn always_open(o: &model::Opening) -> Installed {
    Installed {
        machine: Machine::OutsideAirExchange(OutsideAirExchange {
            flow: Flow::Opening(o.built()),
            direction: Direction::Exhaust,
            power: 0.0,
            rule: ExchangeRule::Always,
            supply: Supply::NONE,
        }),
        count: 1.0,
        present: (f64::NEG_INFINITY, f64::INFINITY),
        rental: Rental::per_day(0.0),
    }
}

fn sources(room: &model::Room, gear_on: f64, at: &impl Fn(Date) -> f64) -> Vec<Source> {
    let start = |from: Option<Date>| from.map_or(gear_on, at);
    let materials = room.wet_materials.iter().flatten().map(|m| match m {
        model::WetMaterial::Drying(d) => Source {
            kind: Kind::Drying {
                water: d.water.si(),
                time_constant: d.time_constant.si(),
            },
            present: (start(d.from), f64::INFINITY),
        },
        model::WetMaterial::Steady(s) => Source {
            kind: Kind::Steady(s.rate.si()),
            present: (
                start(s.from),
                s.lasts.map_or(f64::INFINITY, |l| start(s.from) + l.si()),
            ),
        },
    });
    let people = room.people.iter().flatten().map(|p| Source {
        kind: Kind::People {
            count: f64::from(p.count),
            work: p.work(),
            hours: p.hours(),
        },
        present: (
            start(p.from),
            p.until.map_or(f64::INFINITY, |d| at(d) + DAY),
        ),
    });
    materials.chain(people).collect()
}

/// The room that is dried: the whole, or the part that is closed off.
pub(super) fn dried(scenario: &model::Scenario, whole: &Room) -> Room {
    // The building heats what is left of the room: the rest keeps near what its thermostat is set to.
    let neighbour = whole.own_heat.map_or(whole.neighbour, |own| Neighbour {
        share: 1.0,
        temperature: own.thermostat.setpoint,
    });
    let beside = |area: f64| (whole.area - area).max(0.0);
    let leakage = |volume: f64| whole.air_changes_per_hour / HOUR * volume;
    match &scenario.room.part {
        None => whole.clone(),
        Some(model::Part::Tent(t)) => {
            let (area, height) = (t.area.si(), t.height.si());
            let volume = area * height;
            Room {
                area,
                volume,
                heat_loss: 0.0,
                own_heat: None,
                air_changes_per_hour: 0.0,
                rest: Some(Rest {
                    exchange: t.apart.air_changes_per_hour() / HOUR * volume,
                    conductance: t.apart.u_value().si() * (area + 4.0 * area.sqrt() * height),
                    leakage: leakage((whole.volume - volume).max(0.0)),
                    heat_loss: whole.heat_loss,
                    neighbour,
                    water: t.apart.rest_gives().si() * beside(area),
                }),
                ..whole.clone()
            }
        }
        Some(model::Part::Partition(p)) => {
            let area = p.area.si();
            let share = area / whole.area;
            let height = whole.volume / whole.area;
            let length = p.length.map_or(area.sqrt(), |l| l.si());
            Room {
                area,
                volume: share * whole.volume,
                heat_loss: share * whole.heat_loss,
                own_heat: None,
                rest: Some(Rest {
                    exchange: p.apart.air_changes_per_hour() / HOUR * share * whole.volume,
                    conductance: p.apart.u_value().si() * length * height,
                    leakage: leakage((1.0 - share) * whole.volume),
                    heat_loss: (1.0 - share) * whole.heat_loss,
                    neighbour,
                    water: p.apart.rest_gives().si() * beside(area),
                }),
                ..whole.clone()
            }
        }
    }
}

/// What the site has to plug machines into.
pub(super) fn site_power(power: &model::SitePower) -> SitePower {
    SitePower {
        circuits: power
            .circuits
            .iter()
            .flatten()
            .map(|c| Circuit {
                volts: c.voltage.si(),
                breaker: c.breaker.si(),
                phases: c.phases().number(),
                count: c.count(),
            })
            .collect(),
        generator: power.generator.as_ref().map(|g| Generator {
            watts: g.power.map_or(0.0, |p| p.si())
                + g.apparent_power
                    .map_or(0.0, |p| p.si() * GENERATOR_POWER_FACTOR),
        }),
    }
}
