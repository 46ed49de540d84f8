//! The machines of a setup: a class, with the values that the scenario gives put in place of its own.

use super::rooms::phases;
use super::{Rental, Setup};
use crate::gear::controls::{
    Control, Hours, Humidistat, HumiditySetpoint, SecondStage, Thermostat,
};
use crate::gear::desiccant::{AirSource, RegenerationHeat};
use crate::gear::exchange::{Direction, ExchangeRule, Flow};
use crate::gear::fan::FloorSpeed;
use crate::gear::fuel::Fuel;
use crate::gear::opening::{Opening, Path};
use crate::gear::refrigerant::{CapacityMap, Defrost, Rating};
use crate::gear::{Machine, classes};
use crate::room::{Installed, Room};
use crate::scenario::{defaults, model};
use crate::units::{DAY, HOUR};
use jiff::civil::Date;

pub(super) fn setup(
    setup: &model::Setup,
    room: &Room,
    drying_starts: f64,
    at: &impl Fn(Date) -> f64,
) -> Setup {
    let mut room = room.clone();
    // One rental for each entry of the room's machines; what always stands open costs nothing.
    let mut rentals: Vec<Rental> = room
        .machines
        .iter()
        .map(|m| Rental {
            per_day: 0.0,
            present: m.present,
            fuel: None,
        })
        .collect();
    let mut unpriced = false;
    for gear in &setup.gear {
        let (machine, count, price, from, until) = match gear {
            model::Gear::Dehumidifier(d) => {
                (dehumidifier(d), d.count, d.price_per_day, d.from, d.until)
            }
            model::Gear::Desiccant(d) => (wheel(d), d.count, d.price_per_day, d.from, d.until),
            model::Gear::Heater(h) => (heater(h), h.count, h.price_per_day, h.from, h.until),
            model::Gear::Fan(f) => (fan(f), f.count, f.price_per_day, f.from, f.until),
            model::Gear::OutsideAir(o) => {
                let machine = outside_air(o, room.volume);
                (machine, o.count, o.price_per_day, o.from, o.until)
            }
        };
        let Some(machine) = machine else { continue };
        let count = f64::from(count.unwrap_or(1));
        let present = (
            from.map_or(drying_starts, at),
            until.map_or(f64::INFINITY, |d| at(d) + DAY),
        );
        unpriced |= price.is_none();
        rentals.push(Rental {
            per_day: price.map_or(0.0, |p| p.si() * DAY) * count,
            present,
            fuel: burns(&machine),
        });
        room.machines.push(Installed {
            machine,
            count,
            present,
        });
    }
    Setup {
        name: setup.name.clone(),
        room,
        rentals,
        unpriced,
    }
}

fn burns(machine: &Machine) -> Option<Fuel> {
    match machine {
        Machine::IndirectFired(h) => Some(h.fuel),
        Machine::DirectFired(h) => Some(h.fuel),
        Machine::MakeUpAir(h) => Some(h.fuel),
        Machine::Desiccant(d) => match d.regeneration_heat {
            RegenerationHeat::Burner { fuel, .. } => Some(fuel),
            RegenerationHeat::Electric => None,
        },
        _ => None,
    }
}

fn fuel(fuel: model::Fuel) -> Fuel {
    match fuel {
        model::Fuel::Propane => Fuel::Propane,
        model::Fuel::NaturalGas => Fuel::NaturalGas,
        model::Fuel::Kerosene => Fuel::Kerosene,
        model::Fuel::Diesel => Fuel::Diesel,
    }
}

pub(super) fn hours(h: &model::HoursOfDay) -> Hours {
    Hours {
        from: h.from,
        until: h.to,
    }
}

pub(super) fn opening(o: &model::Opening) -> Opening {
    Opening {
        area: o.area.si(),
        height: o.height.si(),
        path: match o.path {
            None | Some(model::AirPath::OneSide) => Path::OneSide,
            Some(model::AirPath::Through) => Path::Through,
        },
    }
}

fn set_humidistat(control: &mut Control, humidistat: Option<&model::Humidistat>) {
    let Some(h) = humidistat else { return };
    let (setpoint, band) = match (h.dew_point, h.setpoint) {
        (Some(t), _) => (
            HumiditySetpoint::DewPoint(t.si()),
            h.dew_point_band
                .map_or(defaults::DEW_POINT_BAND, |b| b.si()),
        ),
        (None, Some(r)) => (
            HumiditySetpoint::RelativeHumidity(r.si()),
            h.band.map_or(defaults::HUMIDISTAT_BAND, |b| b.si()),
        ),
        // A fault in the scenario; the class's humidistat stays.
        (None, None) => return,
    };
    control.humidistat = Some(Humidistat {
        setpoint,
        band,
        second_stage: h.second_stage.as_ref().map(|s| SecondStage {
            offset: match setpoint {
                HumiditySetpoint::DewPoint(_) => s.dew_point_above.map_or(0.0, |t| t.si()),
                HumiditySetpoint::RelativeHumidity(_) => s.above.map_or(0.0, |r| r.si()),
            },
            first_share: s
                .first_share
                .map_or(defaults::FIRST_STAGE_SHARE, |f| f.si()),
        }),
    });
}

/// Puts the clock and the supply of a scenario in. Where the machine's power is no longer that of its class, the current follows.
fn finish(
    mut machine: Machine,
    class: &Machine,
    clock: Option<&model::HoursOfDay>,
    supply: Option<&model::MachineSupply>,
) -> Machine {
    if let (Some(h), Some(control)) = (clock, machine.control_mut()) {
        control.hours = Some(hours(h));
    }
    let power = machine.rated_power();
    let mut plug = class.supply();
    if power != class.rated_power() {
        plug = classes::supply_at(power, &plug);
    }
    if let Some(given) = supply {
        plug.volts = given.voltage.map_or(plug.volts, |v| v.si());
        plug.phases = given.phases.map_or(plug.phases, phases);
        if given.voltage.is_some() || given.phases.is_some() {
            plug = plug.with_power(power);
        }
        plug.amperes = given.current.map_or(plug.amperes, |a| a.si());
    }
    machine.set_supply(plug);
    machine
}

fn dehumidifier(d: &model::Dehumidifier) -> Option<Machine> {
    let name = d.class.as_deref().unwrap_or("low_grain_medium");
    let class = classes::class(name)?;
    let Machine::Refrigerant(mut m) = class else {
        return None;
    };
    m.map = match d.curve {
        None => m.map,
        Some(model::Curve::SixUnits) => CapacityMap::SixUnits,
        Some(model::Curve::OlderUnit) => CapacityMap::OlderUnit,
        Some(model::Curve::LowGrain) => CapacityMap::LowGrain,
    };
    let rating = match d.rating_condition {
        None | Some(model::RatingCondition::At80F60) => Rating::AT_80F_60,
        Some(model::RatingCondition::At65F60) => Rating::AT_65F_60,
        Some(model::RatingCondition::At27C60) => Rating::AT_27C_60,
        Some(model::RatingCondition::At30C80) => Rating::AT_30C_80,
    };
    if d.capacity.is_some() || d.energy_factor.is_some() {
        let scale = d.capacity.map_or(1.0, |c| c.si() / m.rated_removal);
        let removal = d.capacity.map_or(m.rated_removal, |c| c.si());
        let factor = d.energy_factor.map_or(m.energy_factor, |e| e.si());
        m = m.rated_at(removal, factor, rating);
        m.air_flow *= scale;
    }
    m.air_flow = d.air_flow.map_or(m.air_flow, |f| f.si());
    m.lowest_inlet = d.lowest_inlet.map_or(m.lowest_inlet, |t| t.si());
    m.highest_inlet = d.highest_inlet.map_or(m.highest_inlet, |t| t.si());
    m.defrost = match d.defrost {
        None => m.defrost,
        Some(model::Defrost::HotGas) => Defrost::HotGas,
        Some(model::Defrost::None) => Defrost::None,
    };
    set_humidistat(&mut m.control, d.humidistat.as_ref());
    Some(finish(
        Machine::Refrigerant(m),
        &class,
        d.hours.as_ref(),
        d.supply.as_ref(),
    ))
}

fn air_source(source: model::AirSource) -> AirSource {
    match source {
        model::AirSource::Outside => AirSource::Outside,
        model::AirSource::Room => AirSource::Room,
    }
}

fn wheel(d: &model::Desiccant) -> Option<Machine> {
    let class = classes::class(&d.class)?;
    let Machine::Desiccant(mut m) = class else {
        return None;
    };
    if let Some(flow) = d.air_flow {
        let scale = flow.si() / m.process_flow;
        m.process_flow = flow.si();
        m.process_fan_power *= scale;
        m.regeneration_fan_power *= scale;
        m.rated_power *= scale;
    }
    m.capacity_factor = d.capacity_factor.map_or(m.capacity_factor, |f| f.si());
    m.face_velocity = d.face_velocity.map_or(m.face_velocity, |v| v.si());
    m.process_fan_power = d.process_fan_power.map_or(m.process_fan_power, |p| p.si());
    m.regeneration_fan_power = d
        .regeneration_fan_power
        .map_or(m.regeneration_fan_power, |p| p.si());
    m.rated_power = d.electrical_power.map_or(m.rated_power, |p| p.si());
    m.regeneration_air = d.regeneration_air.map_or(m.regeneration_air, air_source);
    m.process_air = d.process_air.map_or(m.process_air, air_source);
    if let RegenerationHeat::Burner {
        fuel: burnt,
        efficiency,
    } = &mut m.regeneration_heat
    {
        *burnt = d.fuel.map_or(*burnt, fuel);
        *efficiency = d.efficiency.map_or(*efficiency, |e| e.si());
    }
    set_humidistat(&mut m.control, d.humidistat.as_ref());
    Some(finish(
        Machine::Desiccant(m),
        &class,
        d.hours.as_ref(),
        d.supply.as_ref(),
    ))
}

fn heater(h: &model::Heater) -> Option<Machine> {
    let name = match (&h.class, h.kind) {
        (Some(name), _) => name.as_str(),
        (None, Some(model::HeaterKind::Electric) | None) => "electric_5kw",
        (None, Some(model::HeaterKind::IndirectFired)) => "indirect_fired_50kw",
        (None, Some(model::HeaterKind::DirectFired)) => "direct_fired_30kw",
        (None, Some(model::HeaterKind::MakeUpAir)) => "make_up_air_100kw",
    };
    let class = classes::class(name)?;
    let mut machine = class;
    let burnt = h.fuel.map(fuel);
    let output = h.output.map(|p| p.si());
    let electricity = h.electrical_power.map(|p| p.si());
    match &mut machine {
        Machine::Electric(m) => m.power = output.unwrap_or(m.power),
        Machine::IndirectFired(m) => {
            // A heater keeps its output when only its efficiency is another.
            let output = output.unwrap_or(m.fuel_power * m.efficiency);
            m.fuel = burnt.unwrap_or(m.fuel);
            m.efficiency = h.efficiency.map_or(m.efficiency, |e| e.si());
            m.fuel_power = output / m.efficiency;
            m.duct_loss = h.duct_loss.map_or(m.duct_loss, |l| l.si());
            m.electric_power = electricity.unwrap_or(m.electric_power);
            m.outside_air_flow = h.air_flow.map_or(m.outside_air_flow, |f| f.si());
        }
        Machine::DirectFired(m) => {
            m.fuel = burnt.unwrap_or(m.fuel);
            m.fuel_power = output.unwrap_or(m.fuel_power);
            m.electric_power = electricity.unwrap_or(m.electric_power);
        }
        Machine::MakeUpAir(m) => {
            m.fuel = burnt.unwrap_or(m.fuel);
            m.fuel_power = output.unwrap_or(m.fuel_power);
            m.electric_power = electricity.unwrap_or(m.electric_power);
            m.outside_air_flow = h.air_flow.map_or(m.outside_air_flow, |f| f.si());
            m.highest_discharge = h.highest_discharge.map_or(m.highest_discharge, |t| t.si());
        }
        _ => return None,
    }
    if let (Some(t), Some(control)) = (&h.thermostat, machine.control_mut()) {
        control.thermostat = Some(Thermostat {
            setpoint: t.setpoint.si(),
            band: t.band.map_or(defaults::THERMOSTAT_BAND, |b| b.si()),
        });
    }
    Some(finish(machine, &class, h.hours.as_ref(), h.supply.as_ref()))
}

fn fan(f: &model::Fan) -> Option<Machine> {
    let name = f.class.as_deref().unwrap_or("fan_axial_large");
    let class = classes::class(name)?;
    let Machine::Fan(mut m) = class else {
        return None;
    };
    if let FloorSpeed::Jet { flow, outlet_area } = &mut m.floor_speed {
        *flow = f.air_flow.map_or(*flow, |a| a.si());
        *outlet_area = f.outlet_area.map_or(*outlet_area, |a| a.si());
    }
    if let Some(speed) = f.floor_air_speed {
        m.floor_speed = FloorSpeed::Given(speed.si());
    }
    m.power = f.power.map_or(m.power, |p| p.si());
    Some(finish(
        Machine::Fan(m),
        &class,
        f.hours.as_ref(),
        f.supply.as_ref(),
    ))
}

fn outside_air(o: &model::OutsideAir, volume: f64) -> Option<Machine> {
    let name = o.class.as_deref().unwrap_or("openings_1000");
    let class = classes::class(name)?;
    let Machine::OutsideAirExchange(mut m) = class else {
        return None;
    };
    if let Some(flow) = o.air_flow {
        m.flow = Flow::Given(flow.si());
    }
    if let Some(changes) = o.air_changes_per_hour {
        // The scenario gives the changes of all of them together.
        m.flow = Flow::Given(changes * volume / HOUR / f64::from(o.count.unwrap_or(1).max(1)));
    }
    if let Some(o) = &o.opening {
        m.flow = Flow::Opening(opening(o));
    }
    m.power = o.fan_power.map_or(m.power, |p| p.si());
    m.direction = match o.direction {
        None => m.direction,
        Some(model::Direction::In) => Direction::Supply,
        Some(model::Direction::Out) => Direction::Exhaust,
    };
    match &o.rule {
        Some(model::ExchangeRule::Always) => m.rule = ExchangeRule::Always,
        Some(model::ExchangeRule::Hours(h)) => m.rule = ExchangeRule::Hours(hours(h)),
        Some(model::ExchangeRule::OnlyWhileDrier) => {
            m.rule = ExchangeRule::WhenOutsideDrier { margin: 0.0 };
        }
        None => {}
    }
    if let (Some(by), ExchangeRule::WhenOutsideDrier { margin }) = (o.drier_by, &mut m.rule) {
        *margin = by.si();
    }
    Some(finish(
        Machine::OutsideAirExchange(m),
        &class,
        None,
        o.supply.as_ref(),
    ))
}
