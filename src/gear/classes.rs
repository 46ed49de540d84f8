//! Generic classes of machines, ready to use and to override.
//!
//! Every class is a complete machine with middling values of its kind; a scenario overrides any field. None stands for a product.
//!
//! # Where the numbers come from
//! * Refrigerant: capacities in common use; energy factors inside the bands that U.S. energy rules and public lists of certified models
//!   span (1.3 to 3.3 L/kWh), turned to 26.7 degC and 60 %. Air flow of portable and conventional ones 2.75 cfm per pint per day, stated
//!   as test data in published simulation input files; low-grain, trailer: from memory.
//! * Desiccant: 0.75 of the published curve at 20 degC and 60 %, fans and currents from memory.
//! * Heaters: sizes on the rental market (trade pages), electricity and air flow from memory.
//! * Fans: currents and flows from trade pages; outlet areas are estimates from memory.
//!
//! The currents are power over voltage; a nameplate may be higher and decides. Continuous load on a circuit stays at or below 80 % of
//! its breaker by common code practice (from memory): local codes and a licensed electrician come first.
//!
//! # Proof of accuracy
//! `ref_class_*` in `tests/it/gear.rs` holds the classes against the bands above.

use super::controls::{Control, Humidistat, HumiditySetpoint, Thermostat};
use super::desiccant::{AirSource, Desiccant, RegenerationHeat};
use super::exchange::{Direction, ExchangeRule, OutsideAirExchange};
use super::fan::{Fan, FloorSpeed};
use super::fuel::Fuel;
use super::heater::{DirectFired, Electric, IndirectFired, MakeUpAir};
use super::refrigerant::{CapacityMap, Defrost, Refrigerant};
use super::{Machine, Supply};

/// A class in the catalogue.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Class {
    /// Its name in scenarios.
    pub name: &'static str,
    /// What it is, in plain words.
    pub description: &'static str,
    /// Where its numbers come from; "from memory" where they are recalled.
    pub source: &'static str,
    /// The machine itself.
    pub machine: Machine,
}

const SECONDS_PER_HOUR: f64 = 3600.0;
const SECONDS_PER_DAY: f64 = 86_400.0;
const JOULES_PER_KILOWATT_HOUR: f64 = 3.6e6;
const WATTS_PER_KILOWATT: f64 = 1000.0;

/// Heaters hold the room here unless told otherwise: the temperature of most coating and floor tests, degC (common practice).
const HEATING: Thermostat = Thermostat {
    setpoint: 20.0,
    band: 2.0,
};
/// Dehumidifiers run down to this relative humidity unless told otherwise (common practice, no published source).
const DRYING: Humidistat = Humidistat {
    setpoint: HumiditySetpoint::RelativeHumidity(0.35),
    band: 0.05,
    second_stage: None,
};
/// Outside air must be drier by this, kg/kg, before it is let in (common practice, no published source).
const DRIER_MARGIN: f64 = 0.5e-3;

const HOUSEHOLD: f64 = 115.0;
const SINGLE_230: f64 = 230.0;
const SINGLE_240: f64 = 240.0;
const THREE_PHASE: f64 = 400.0;
/// Larger than this, W, needs three phases; between, 230 V; below the first, a household plug.
const HOUSEHOLD_LIMIT: f64 = 1600.0;
const SINGLE_PHASE_LIMIT: f64 = 5000.0;

fn supply_for(power: f64) -> Supply {
    if power <= HOUSEHOLD_LIMIT {
        Supply::single_phase(HOUSEHOLD, power)
    } else if power <= SINGLE_PHASE_LIMIT {
        Supply::single_phase(SINGLE_230, power)
    } else {
        Supply::three_phase(THREE_PHASE, power)
    }
}

const REFRIGERANT_SOURCE: &str = "capacity and energy factor within published bands for 26.7 degC and 60 %; inlet limits from memory";
const LOW_GRAIN_SOURCE: &str = "capacity and energy factor from common trade figures (from memory); its curve is an assumption";

struct RefrigerantRow {
    name: &'static str,
    description: &'static str,
    litres_per_day: f64,
    litres_per_kilowatt_hour: f64,
    air_per_hour: f64,
    kind: RefrigerantKind,
}

#[derive(Clone, Copy)]
enum RefrigerantKind {
    Portable,
    Commercial,
    LowGrain,
}

use RefrigerantKind::{Commercial, LowGrain, Portable};

const REFRIGERANTS: [RefrigerantRow; 8] = [
    RefrigerantRow {
        name: "refrigerant_small",
        description: "small portable dehumidifier, 14 L (30 pints) a day",
        litres_per_day: 14.0,
        litres_per_kilowatt_hour: 2.0,
        air_per_hour: 140.0,
        kind: Portable,
    },
    RefrigerantRow {
        name: "refrigerant_medium",
        description: "portable dehumidifier, 24 L (50 pints) a day",
        litres_per_day: 24.0,
        litres_per_kilowatt_hour: 2.1,
        air_per_hour: 240.0,
        kind: Portable,
    },
    RefrigerantRow {
        name: "refrigerant_large",
        description: "large portable dehumidifier, 33 L (70 pints) a day",
        litres_per_day: 33.0,
        litres_per_kilowatt_hour: 2.25,
        air_per_hour: 320.0,
        kind: Portable,
    },
    RefrigerantRow {
        name: "refrigerant_commercial",
        description: "commercial dehumidifier with hot-gas defrost, 47 L (100 pints) a day",
        litres_per_day: 47.0,
        litres_per_kilowatt_hour: 1.8,
        air_per_hour: 475.0,
        kind: Commercial,
    },
    RefrigerantRow {
        name: "refrigerant_trailer",
        description: "trailer or crane-lift refrigerant unit, 400 L a day",
        litres_per_day: 400.0,
        litres_per_kilowatt_hour: 2.5,
        air_per_hour: 4000.0,
        kind: Commercial,
    },
    RefrigerantRow {
        name: "low_grain_compact",
        description: "compact low-grain dehumidifier, 36 L (75 pints) a day",
        litres_per_day: 36.0,
        litres_per_kilowatt_hour: 2.55,
        air_per_hour: 285.0,
        kind: LowGrain,
    },
    RefrigerantRow {
        name: "low_grain_medium",
        description: "medium low-grain dehumidifier, 61 L (130 pints) a day",
        litres_per_day: 61.0,
        litres_per_kilowatt_hour: 2.9,
        air_per_hour: 510.0,
        kind: LowGrain,
    },
    RefrigerantRow {
        name: "low_grain_large",
        description: "large low-grain dehumidifier, 85 L (180 pints) a day",
        litres_per_day: 85.0,
        litres_per_kilowatt_hour: 2.95,
        air_per_hour: 700.0,
        kind: LowGrain,
    },
];

impl RefrigerantRow {
    fn class(&self) -> Class {
        let rated_removal = self.litres_per_day / SECONDS_PER_DAY;
        let energy_factor = self.litres_per_kilowatt_hour / JOULES_PER_KILOWATT_HOUR;
        // Inlet limits, degC, from memory: portable units without defrost, hot-gas units from 5, low-grain units from 1.
        let (map, defrost, lowest_inlet, source) = match self.kind {
            Portable => (
                CapacityMap::SixUnits,
                Defrost::None,
                5.0,
                REFRIGERANT_SOURCE,
            ),
            Commercial => (
                CapacityMap::SixUnits,
                Defrost::HotGas,
                5.0,
                REFRIGERANT_SOURCE,
            ),
            LowGrain => (
                CapacityMap::LowGrain,
                Defrost::HotGas,
                1.0,
                LOW_GRAIN_SOURCE,
            ),
        };
        Class {
            name: self.name,
            description: self.description,
            source,
            machine: Machine::Refrigerant(Refrigerant {
                rated_removal,
                energy_factor,
                air_flow: self.air_per_hour / SECONDS_PER_HOUR,
                map,
                defrost,
                lowest_inlet,
                highest_inlet: 38.0,
                supply: supply_for(rated_removal / energy_factor),
                control: Control::humidistat(DRYING),
            }),
        }
    }
}

/// Face velocity, m/s, for which the classes' capacities at 20 degC and 60 % hold.
const FACE_VELOCITY: f64 = 2.5;
/// Share of the published curve that the classes reach (from memory).
const CAPACITY_FACTOR: f64 = 0.75;
/// Heat in the regeneration air over gross fuel: burner in the stream, less casing and turn-down losses (from memory).
const BURNER_EFFICIENCY: f64 = 0.80;
/// The wheel's motor, W per m3/s of process air (published example of the source of the curves).
const WHEEL_MOTOR: f64 = 10.0;

struct DesiccantRow {
    name: &'static str,
    description: &'static str,
    flow_per_hour: f64,
    fan_power: f64,
    rated_power: f64,
    heat: RegenerationHeat,
    regeneration_air: AirSource,
}

const BURNER: RegenerationHeat = RegenerationHeat::Burner {
    fuel: Fuel::Propane,
    efficiency: BURNER_EFFICIENCY,
};

const DESICCANTS: [DesiccantRow; 7] = [
    DesiccantRow {
        name: "desiccant_150",
        description: "portable desiccant, 150 m3/h (90 cfm), regenerated with room air",
        flow_per_hour: 150.0,
        fan_power: 120.0,
        rated_power: 1400.0,
        heat: RegenerationHeat::Electric,
        regeneration_air: AirSource::Room,
    },
    DesiccantRow {
        name: "desiccant_400",
        description: "portable desiccant, 400 m3/h (235 cfm), regenerated with room air",
        flow_per_hour: 400.0,
        fan_power: 300.0,
        rated_power: 3600.0,
        heat: RegenerationHeat::Electric,
        regeneration_air: AirSource::Room,
    },
    DesiccantRow {
        name: "desiccant_1000",
        description: "desiccant, 1000 m3/h (600 cfm), regenerated with outside air",
        flow_per_hour: 1000.0,
        fan_power: 800.0,
        rated_power: 8800.0,
        heat: RegenerationHeat::Electric,
        regeneration_air: AirSource::Outside,
    },
    DesiccantRow {
        name: "desiccant_2000",
        description: "desiccant, 2000 m3/h (1200 cfm), regenerated with outside air",
        flow_per_hour: 2000.0,
        fan_power: 1600.0,
        rated_power: 17_500.0,
        heat: RegenerationHeat::Electric,
        regeneration_air: AirSource::Outside,
    },
    DesiccantRow {
        name: "desiccant_4000",
        description: "desiccant, 4000 m3/h (2350 cfm), regenerated with outside air",
        flow_per_hour: 4000.0,
        fan_power: 2500.0,
        rated_power: 35_000.0,
        heat: RegenerationHeat::Electric,
        regeneration_air: AirSource::Outside,
    },
    DesiccantRow {
        name: "desiccant_4000_burner",
        description: "desiccant, 4000 m3/h (2350 cfm), regenerated by a propane burner with outside air",
        flow_per_hour: 4000.0,
        fan_power: 2500.0,
        rated_power: 3000.0,
        heat: BURNER,
        regeneration_air: AirSource::Outside,
    },
    DesiccantRow {
        name: "desiccant_8500_burner",
        description: "desiccant trailer, 8500 m3/h (5000 cfm), regenerated by a propane burner with outside air",
        flow_per_hour: 8500.0,
        fan_power: 9000.0,
        rated_power: 9500.0,
        heat: BURNER,
        regeneration_air: AirSource::Outside,
    },
];

/// Share of a desiccant's fan power that the process fan takes: it moves the greater part of the air (from memory).
const PROCESS_FAN_SHARE: f64 = 0.7;

impl DesiccantRow {
    fn class(&self) -> Class {
        let process_flow = self.flow_per_hour / SECONDS_PER_HOUR;
        Class {
            name: self.name,
            description: self.description,
            source: "0.75 of the published wheel curve; fans and current from memory",
            machine: Machine::Desiccant(Desiccant {
                process_flow,
                face_velocity: FACE_VELOCITY,
                capacity_factor: CAPACITY_FACTOR,
                process_air: AirSource::Room,
                regeneration_air: self.regeneration_air,
                regeneration_heat: self.heat,
                process_fan_power: PROCESS_FAN_SHARE * self.fan_power,
                regeneration_fan_power: (1.0 - PROCESS_FAN_SHARE) * self.fan_power
                    + WHEEL_MOTOR * process_flow,
                rated_power: self.rated_power,
                supply: supply_for(self.rated_power),
                control: Control::humidistat(DRYING),
            }),
        }
    }
}

/// Name, description, kW, supply at that power.
const ELECTRIC: [(&str, &str, f64); 7] = [
    (
        "electric_1500w",
        "electric heater, 1.5 kW, household plug",
        1.5,
    ),
    ("electric_3kw", "electric heater, 3 kW", 3.0),
    ("electric_5kw", "electric heater, 5 kW", 5.0),
    ("electric_9kw", "electric heater, 9 kW, three phases", 9.0),
    (
        "electric_15kw",
        "electric heater, 15 kW, three phases",
        15.0,
    ),
    (
        "electric_22kw",
        "electric heater, 22 kW, three phases",
        22.0,
    ),
    (
        "electric_36kw",
        "electric heater, 36 kW, three phases",
        36.0,
    ),
];

fn electric(&(name, description, kilowatts): &(&'static str, &'static str, f64)) -> Class {
    let power = WATTS_PER_KILOWATT * kilowatts;
    // The sizes are sold for these voltages: 1.5 kW at 120 V (12.5 A), 3 kW at 230 V (13 A), 5 kW at 240 V (21 A).
    let supply = match kilowatts {
        k if k <= 1.5 => Supply::single_phase(120.0, power),
        k if k <= 3.0 => Supply::single_phase(SINGLE_230, power),
        k if k <= 5.0 => Supply::single_phase(SINGLE_240, power),
        _ => Supply::three_phase(THREE_PHASE, power),
    };
    Class {
        name,
        description,
        source: "common sizes and currents, from memory",
        machine: Machine::Electric(Electric {
            power,
            supply,
            control: Control::thermostat(HEATING),
        }),
    }
}

/// Name, description, gross kW, fan W.
const DIRECT_FIRED: [(&str, &str, f64, f64); 5] = [
    (
        "direct_fired_15kw",
        "direct-fired heater without flue, 15 kW (50,000 Btu/h)",
        15.0,
        60.0,
    ),
    (
        "direct_fired_30kw",
        "direct-fired heater without flue, 30 kW (100,000 Btu/h)",
        30.0,
        150.0,
    ),
    (
        "direct_fired_60kw",
        "direct-fired heater without flue, 60 kW (200,000 Btu/h)",
        60.0,
        350.0,
    ),
    (
        "direct_fired_150kw",
        "large direct-fired heater without flue, 150 kW (500,000 Btu/h)",
        150.0,
        800.0,
    ),
    (
        "direct_fired_300kw",
        "large direct-fired heater without flue, 300 kW (1,000,000 Btu/h)",
        300.0,
        1500.0,
    ),
];

fn direct_fired(
    &(name, description, kilowatts, electric_power): &(&'static str, &'static str, f64, f64),
) -> Class {
    Class {
        name,
        description,
        source: "sizes on the rental market (trade pages); fan power from memory",
        machine: Machine::DirectFired(DirectFired {
            fuel: Fuel::Propane,
            fuel_power: WATTS_PER_KILOWATT * kilowatts,
            electric_power,
            supply: supply_for(electric_power),
            control: Control::thermostat(HEATING),
        }),
    }
}

/// Heat to the air over gross fuel of the indirect-fired classes: the lower published figure (trade page).
const INDIRECT_EFFICIENCY: f64 = 0.80;
/// Loss of the ducts of a heater that stands outside (trade page of low quality).
const DUCT_LOSS: f64 = 0.075;

/// Name, description, kW to the air before duct loss, electricity in W.
const INDIRECT_FIRED: [(&str, &str, f64, f64); 3] = [
    (
        "indirect_fired_50kw",
        "indirect-fired heater outside, 50 kW (170,000 Btu/h) output",
        50.0,
        1000.0,
    ),
    (
        "indirect_fired_110kw",
        "indirect-fired heater outside, 110 kW (375,000 Btu/h) output",
        110.0,
        2200.0,
    ),
    (
        "indirect_fired_225kw",
        "indirect-fired heater outside, 225 kW (770,000 Btu/h) output",
        225.0,
        4500.0,
    ),
];

fn indirect_fired(
    &(name, description, kilowatts, electric_power): &(&'static str, &'static str, f64, f64),
) -> Class {
    Class {
        name,
        description,
        source: "output and electricity from memory; efficiency and duct loss from trade pages",
        machine: Machine::IndirectFired(IndirectFired {
            fuel: Fuel::Diesel,
            fuel_power: WATTS_PER_KILOWATT * kilowatts / INDIRECT_EFFICIENCY,
            efficiency: INDIRECT_EFFICIENCY,
            duct_loss: DUCT_LOSS,
            electric_power,
            outside_air_flow: 0.0,
            supply: supply_for(electric_power),
            control: Control::thermostat(HEATING),
        }),
    }
}

/// Name, description, gross kW, outside air in m3/h (for a rise of some 50 K), fan W.
const MAKE_UP_AIR: [(&str, &str, f64, f64, f64); 2] = [
    (
        "make_up_air_100kw",
        "direct-fired make-up air, 100 kW (340,000 Btu/h), 5500 m3/h",
        100.0,
        5500.0,
        1500.0,
    ),
    (
        "make_up_air_300kw",
        "direct-fired make-up air, 300 kW (1,000,000 Btu/h), 16 500 m3/h",
        300.0,
        16_500.0,
        5000.0,
    ),
];
/// Highest discharge of make-up air, degC (160 degF; from memory).
const HIGHEST_DISCHARGE: f64 = 71.0;

fn make_up_air(
    &(name, description, kilowatts, flow_per_hour, electric_power): &(
        &'static str,
        &'static str,
        f64,
        f64,
        f64,
    ),
) -> Class {
    Class {
        name,
        description,
        source: "sizes, air flow for a rise of 50 K and fan power from memory",
        machine: Machine::MakeUpAir(MakeUpAir {
            fuel: Fuel::Propane,
            fuel_power: WATTS_PER_KILOWATT * kilowatts,
            outside_air_flow: flow_per_hour / SECONDS_PER_HOUR,
            highest_discharge: HIGHEST_DISCHARGE,
            electric_power,
            supply: supply_for(electric_power),
            control: Control::thermostat(HEATING),
        }),
    }
}

/// Name, description, true flow in m3/s, outlet area in m2, W.
const FANS: [(&str, &str, f64, f64, f64); 6] = [
    (
        "fan_low_profile",
        "low-profile centrifugal fan, 0.38 m3/s (800 cfm)",
        0.38,
        0.035,
        235.0,
    ),
    (
        "fan_centrifugal",
        "standard centrifugal fan, 0.58 m3/s (1200 cfm)",
        0.58,
        0.045,
        470.0,
    ),
    (
        "fan_axial_small",
        "small axial fan, 0.47 m3/s (1000 cfm)",
        0.47,
        0.09,
        175.0,
    ),
    (
        "fan_axial_large",
        "large axial fan, 1.42 m3/s (3000 cfm)",
        1.42,
        0.13,
        325.0,
    ),
    (
        "fan_drum_small",
        "drum fan of 0.6 m, 2.5 m3/s (5300 cfm)",
        2.5,
        0.33,
        250.0,
    ),
    (
        "fan_drum_large",
        "drum fan of 1.2 m, 6 m3/s (12,700 cfm)",
        6.0,
        1.1,
        750.0,
    ),
];

fn fan(
    &(name, description, flow, outlet_area, power): &(&'static str, &'static str, f64, f64, f64),
) -> Class {
    Class {
        name,
        description,
        source: "currents and flows from trade pages; outlet area estimated from memory",
        machine: Machine::Fan(Fan {
            floor_speed: FloorSpeed::Jet { flow, outlet_area },
            power,
            supply: supply_for(power),
            control: Control::ALWAYS,
        }),
    }
}

/// Name, description, flow in m3/h, W.
const EXCHANGES: [(&str, &str, f64, f64); 3] = [
    (
        "outside_air_500",
        "exhaust fan, 500 m3/h (300 cfm), runs while outside air is drier",
        500.0,
        60.0,
    ),
    (
        "outside_air_2000",
        "exhaust fan, 2000 m3/h (1200 cfm), runs while outside air is drier",
        2000.0,
        250.0,
    ),
    (
        "openings_1000",
        "openings without a fan, 1000 m3/h, open while outside air is drier",
        1000.0,
        0.0,
    ),
];

fn exchange(
    &(name, description, flow_per_hour, power): &(&'static str, &'static str, f64, f64),
) -> Class {
    Class {
        name,
        description,
        source: "round sizes; fan power about 0.12 W per m3/h, from memory",
        machine: Machine::OutsideAirExchange(OutsideAirExchange {
            flow: flow_per_hour / SECONDS_PER_HOUR,
            direction: Direction::Exhaust,
            power,
            rule: ExchangeRule::WhenOutsideDrier {
                margin: DRIER_MARGIN,
            },
            supply: if power > 0.0 {
                supply_for(power)
            } else {
                Supply::NONE
            },
        }),
    }
}

/// Every class, kind by kind.
pub fn catalogue() -> impl Iterator<Item = Class> {
    let dehumidifiers = REFRIGERANTS
        .iter()
        .map(RefrigerantRow::class)
        .chain(DESICCANTS.iter().map(DesiccantRow::class));
    let heaters = ELECTRIC
        .iter()
        .map(electric)
        .chain(DIRECT_FIRED.iter().map(direct_fired))
        .chain(INDIRECT_FIRED.iter().map(indirect_fired))
        .chain(MAKE_UP_AIR.iter().map(make_up_air));
    let movers = FANS.iter().map(fan).chain(EXCHANGES.iter().map(exchange));
    dehumidifiers.chain(heaters).chain(movers)
}

/// The machine of the class with this name.
#[must_use]
pub fn class(name: &str) -> Option<Machine> {
    catalogue()
        .find(|class| class.name == name)
        .map(|class| class.machine)
}

/// Names of every class, kind by kind.
pub fn class_names() -> impl Iterator<Item = &'static str> {
    catalogue().map(|class| class.name)
}
