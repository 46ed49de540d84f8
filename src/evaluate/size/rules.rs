//! Rules of thumb beside the check. Sources: see the head of `size`.

use crate::air::MoistAir;
use crate::evaluate::limits::CARBON_DIOXIDE;
use crate::evaluate::outcome::Outcome;
use crate::gear::Machine;
use crate::gear::exchange::Flow;
use crate::gear::fuel::Fuel;
use crate::gear::refrigerant::CapacityMap;
use crate::job::Setup;
use crate::room::Installed;
use crate::units::{BTU, DAY, FT3, HOUR, PINT, WATER};

/// State in which drying jobs end up, for the plain warning about ratings: degC and relative humidity.
pub const TYPICAL_END: (f64, f64) = (20.0, 0.40);
/// A pint a day in kg/s (1 L of water counts as 1 kg, as the rating tests do).
pub const PINT_PER_DAY: f64 = PINT * WATER / DAY;

/// Cubic feet over this give a low-grain machine's rated pints a day, class 4 (source 2).
pub const VOLUME_FACTOR: f64 = 50.0;
/// Process air of desiccants, air changes per hour, class 4 (source 2).
pub const DESICCANT_AIR_CHANGES: f64 = 2.0;
/// Room volume per burner input below which a space counts as confined \[m3/W\] (source 4).
pub const CONFINED: f64 = 50.0 * FT3 / (1000.0 * BTU / HOUR);

/// Restoration's volume rule (source 2).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VolumeRule {
    /// Rated removal of refrigerant machines that it asks for \[kg/s\].
    pub removal: f64,
    /// Rated removal installed \[kg/s\].
    pub installed_removal: f64,
    /// Process air of desiccants that it asks for \[m3/s\].
    pub process_air: f64,
    /// Process air installed \[m3/s\].
    pub installed_process_air: f64,
    /// Whether ordinary refrigerant machines are among those installed, for which the rule has no factor.
    pub ordinary: bool,
}

/// Ventilation for the carbon dioxide of burners without a flue (sources 3 and 4), at full fire.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VentilationRule {
    /// Gross burner input \[W\].
    pub input: f64,
    /// Outside air that it asks for \[m3/s\].
    pub flow: f64,
    /// Outside air of leakage, exchanges and make-up air in full run \[m3/s\].
    pub available: f64,
    /// By how much the burners' water lifts the room's humidity ratio at the flow asked for \[kg/kg\].
    pub lift: f64,
    /// Whether the room counts as confined.
    pub confined: bool,
    /// Hours of the run with well-mixed carbon dioxide above the limit.
    pub hours_above: f64,
}

/// Fuel and gross power, count included, of burners whose gases stay in the room.
pub(super) fn burners<'a>(machines: &'a [&Installed]) -> impl Iterator<Item = (Fuel, f64)> + 'a {
    machines.iter().filter_map(|m| match m.machine {
        Machine::DirectFired(h) => Some((h.fuel, h.fuel_power * m.count)),
        Machine::MakeUpAir(h) => Some((h.fuel, h.fuel_power * m.count)),
        _ => None,
    })
}

pub(super) fn volume_rule(setup: &Setup) -> VolumeRule {
    let volume = setup.room.volume;
    let mut rule = VolumeRule {
        removal: volume / FT3 / VOLUME_FACTOR * PINT_PER_DAY,
        installed_removal: 0.0,
        process_air: volume * DESICCANT_AIR_CHANGES / HOUR,
        installed_process_air: 0.0,
        ordinary: false,
    };
    for m in &setup.room.machines {
        match m.machine {
            Machine::Refrigerant(r) => {
                rule.installed_removal += r.rated_removal * m.count;
                rule.ordinary |= r.map != CapacityMap::LowGrain;
            }
            Machine::Desiccant(d) => rule.installed_process_air += d.process_flow * m.count,
            _ => {}
        }
    }
    rule
}

pub(super) fn ventilation_rule(setup: &Setup, outcome: &Outcome) -> Option<VentilationRule> {
    let room = &setup.room;
    let machines: Vec<&Installed> = room.machines.iter().collect();
    let (limit, outside) = CARBON_DIOXIDE;
    let (mut input, mut flow, mut water) = (0.0, 0.0, 0.0);
    for (fuel, power) in burners(&machines) {
        input += power;
        flow += power * fuel.carbon_dioxide_ventilation(limit, outside);
        water += power * fuel.water_per_gross_energy();
    }
    if input <= 0.0 {
        return None;
    }
    let brought: f64 = machines
        .iter()
        .map(|m| match m.machine {
            Machine::OutsideAirExchange(e) => {
                m.count
                    * match e.flow {
                        Flow::Given(flow) => flow,
                        // People breathe on still days too.
                        Flow::Opening(opening) => opening.flow(TYPICAL_END.0, TYPICAL_END.0, 0.0),
                    }
            }
            Machine::IndirectFired(h) => h.outside_air_flow * m.count,
            Machine::MakeUpAir(h) => h.outside_air_flow * m.count,
            _ => 0.0,
        })
        .sum();
    let dry_air = MoistAir::from_relative_humidity(TYPICAL_END.0, TYPICAL_END.1, room.pressure)
        .density_of_dry_air();
    Some(VentilationRule {
        input,
        flow,
        available: room.air_changes_per_hour / HOUR * room.volume
            + room.rest.map_or(0.0, |r| r.exchange.min(r.leakage))
            + brought,
        lift: water / (flow * dry_air),
        confined: room.volume < CONFINED * input,
        hours_above: outcome.hours.carbon_dioxide,
    })
}
