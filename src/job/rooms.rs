//! The room, what is in it beside the gear, and what the site has to plug gear into.

use super::machines::{hours, opening};
use crate::gear::exchange::{Direction, ExchangeRule, Flow, OutsideAirExchange};
use crate::gear::{Circuit, Generator, Machine, SitePower, Supply};
use crate::room::source::{Kind, Work};
use crate::room::{Installed, Rest, Room, Source};
use crate::scenario::{defaults, model};
use crate::units::{DAY, HOUR};
use jiff::civil::Date;

/// The whole room without the machines of a setup.
pub(super) fn whole(
    scenario: &model::Scenario,
    pressure: f64,
    drying_starts: f64,
    at: &impl Fn(Date) -> f64,
) -> Room {
    let area = scenario.slab.area.si();
    let room = &scenario.room;
    Room {
        area,
        volume: area * room.height.si(),
        pressure,
        heat_loss: room.heat_loss_taken(area),
        air_changes_per_hour: room.air_changes_per_hour_taken(),
        machines: room.openings.iter().flatten().map(always_open).collect(),
        sources: sources(room, drying_starts, at),
        rest: None,
    }
}

fn always_open(o: &model::Opening) -> Installed {
    Installed {
        machine: Machine::OutsideAirExchange(OutsideAirExchange {
            flow: Flow::Opening(opening(o)),
            direction: Direction::Exhaust,
            power: 0.0,
            rule: ExchangeRule::Always,
            supply: Supply::NONE,
        }),
        count: 1.0,
        present: (f64::NEG_INFINITY, f64::INFINITY),
    }
}

fn sources(room: &model::Room, drying_starts: f64, at: &impl Fn(Date) -> f64) -> Vec<Source> {
    let start = |from: Option<Date>| from.map_or(drying_starts, at);
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
            work: match p.work {
                None | Some(model::Work::Light) => Work::Light,
                Some(model::Work::Heavy) => Work::Heavy,
            },
            hours: p.hours.as_ref().map_or(defaults::WORKING_HOURS, hours),
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
    let skin = |u: Option<crate::units::UValue>| u.map_or(defaults::FILM_U_VALUE, |u| u.si());
    let gives = |flux: Option<crate::units::MassFlux>, area: f64| {
        flux.map_or(defaults::REST_GIVES, |f| f.si()) * (whole.area - area).max(0.0)
    };
    let leakage = |volume: f64| whole.air_changes_per_hour / HOUR * volume;
    let changes = |n: Option<f64>| n.unwrap_or(defaults::PART_AIR_CHANGES) / HOUR;
    match &scenario.room.part {
        None => whole.clone(),
        Some(model::Part::Tent(t)) => {
            let (area, height) = (t.area.si(), t.height.si());
            let volume = area * height;
            Room {
                area,
                volume,
                heat_loss: 0.0,
                air_changes_per_hour: 0.0,
                rest: Some(Rest {
                    exchange: changes(t.air_changes_per_hour) * volume,
                    conductance: skin(t.u_value) * (area + 4.0 * area.sqrt() * height),
                    leakage: leakage((whole.volume - volume).max(0.0)),
                    heat_loss: whole.heat_loss,
                    water: gives(t.rest_gives, area),
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
                rest: Some(Rest {
                    exchange: changes(p.air_changes_per_hour) * share * whole.volume,
                    conductance: skin(p.u_value) * length * height,
                    leakage: leakage((1.0 - share) * whole.volume),
                    heat_loss: (1.0 - share) * whole.heat_loss,
                    water: gives(p.rest_gives, area),
                }),
                ..whole.clone()
            }
        }
    }
}

pub(super) fn phases(phases: model::Phases) -> u8 {
    match phases {
        model::Phases::Single => 1,
        model::Phases::Three => 3,
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
                phases: phases(c.phases.unwrap_or(model::Phases::Single)),
                count: c.count.unwrap_or(1),
            })
            .collect(),
        generator: power.generator.as_ref().map(|g| Generator {
            watts: g.power.map_or(0.0, |p| p.si())
                + g.apparent_power
                    .map_or(0.0, |p| p.si() * defaults::GENERATOR_POWER_FACTOR),
        }),
    }
}
