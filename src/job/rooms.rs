//! The room, what is in it beside the gear, and what the site has to plug gear into.

use crate::gear::exchange::{Direction, ExchangeRule, Flow, OutsideAirExchange};
use crate::gear::{Circuit, Generator, Machine, Rental, SitePower, Supply};
use crate::room::source::Kind;
use crate::room::{Installed, Rest, Room, Source};
use crate::scenario::model;
use crate::units::{DAY, HOUR};
use jiff::civil::Date;

/// Power factor at which generators are rated (common practice, from memory).
const GENERATOR_POWER_FACTOR: f64 = 0.8;

/// The whole room without the machines of a setup.
pub(super) fn whole(
    scenario: &model::Scenario,
    pressure: f64,
    gear_on: f64,
    at: &impl Fn(Date) -> f64,
) -> Room {
    let area = scenario.slab.area.si();
    let room = &scenario.room;
    Room {
        area,
        volume: area * room.height.si(),
        pressure,
        heat_loss: room.heat_loss(area),
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
                air_changes_per_hour: 0.0,
                rest: Some(Rest {
                    exchange: t.apart.air_changes_per_hour() / HOUR * volume,
                    conductance: t.apart.u_value().si() * (area + 4.0 * area.sqrt() * height),
                    leakage: leakage((whole.volume - volume).max(0.0)),
                    heat_loss: whole.heat_loss,
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
                rest: Some(Rest {
                    exchange: p.apart.air_changes_per_hour() / HOUR * share * whole.volume,
                    conductance: p.apart.u_value().si() * length * height,
                    leakage: leakage((1.0 - share) * whole.volume),
                    heat_loss: (1.0 - share) * whole.heat_loss,
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
