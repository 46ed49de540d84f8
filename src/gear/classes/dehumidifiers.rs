//! Generic refrigerant and desiccant dehumidifiers. Sources and tests: see the room's `classes`.

use super::super::Machine;
use super::super::controls::{Control, Humidistat, HumiditySetpoint};
use super::super::desiccant::{AirSource, Desiccant, RegenerationHeat};
use super::super::fuel::Fuel;
use super::super::refrigerant::{CapacityMap, Defrost, Refrigerant};
use super::{Class, supply_for};
use crate::units::{DAY, HOUR, KWH};

/// Dehumidifiers run down to this relative humidity unless told otherwise (common practice, no published source).
const DRYING: Humidistat = Humidistat {
    setpoint: HumiditySetpoint::RelativeHumidity(0.35),
    band: 0.05,
    second_stage: None,
};

const REFRIGERANT_SOURCE: &str = "capacity and energy factor within published bands for 26.7 degC and 60 %; inlet limits from memory";
const LOW_GRAIN_SOURCE: &str = "capacity and energy factor from common trade figures (from memory); its curve is an assumption";

struct RefrigerantRow {
    name: &'static str,
    label: &'static str,
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

/// The class that stands for a machine of which only the rating is known.
#[rustfmt::skip]
const USUAL: RefrigerantRow = RefrigerantRow { name: "low_grain_medium", label: "low-grain dehumidifier, {130 pints/day|61 L/day}", litres_per_day: 61.0, litres_per_kilowatt_hour: 2.9, air_per_hour: 510.0, kind: LowGrain };

#[rustfmt::skip]
const REFRIGERANTS: &[RefrigerantRow] = &[
    RefrigerantRow { name: "refrigerant_small", label: "small dehumidifier, {30 pints/day|14 L/day}", litres_per_day: 14.0, litres_per_kilowatt_hour: 2.0, air_per_hour: 140.0, kind: Portable },
    RefrigerantRow { name: "refrigerant_medium", label: "dehumidifier, {50 pints/day|24 L/day}", litres_per_day: 24.0, litres_per_kilowatt_hour: 2.1, air_per_hour: 240.0, kind: Portable },
    RefrigerantRow { name: "refrigerant_large", label: "large dehumidifier, {70 pints/day|33 L/day}", litres_per_day: 33.0, litres_per_kilowatt_hour: 2.25, air_per_hour: 320.0, kind: Portable },
    RefrigerantRow { name: "refrigerant_commercial", label: "commercial dehumidifier, {100 pints/day|47 L/day}", litres_per_day: 47.0, litres_per_kilowatt_hour: 1.8, air_per_hour: 475.0, kind: Commercial },
    RefrigerantRow { name: "refrigerant_trailer", label: "trailer dehumidifier, {845 pints/day|400 L/day}", litres_per_day: 400.0, litres_per_kilowatt_hour: 2.5, air_per_hour: 4000.0, kind: Commercial },
    RefrigerantRow { name: "low_grain_compact", label: "compact low-grain dehumidifier, {75 pints/day|36 L/day}", litres_per_day: 36.0, litres_per_kilowatt_hour: 2.55, air_per_hour: 285.0, kind: LowGrain },
    USUAL,
    RefrigerantRow { name: "low_grain_large", label: "large low-grain dehumidifier, {180 pints/day|85 L/day}", litres_per_day: 85.0, litres_per_kilowatt_hour: 2.95, air_per_hour: 700.0, kind: LowGrain },
];

impl RefrigerantRow {
    fn source(&self) -> &'static str {
        match self.kind {
            Portable | Commercial => REFRIGERANT_SOURCE,
            LowGrain => LOW_GRAIN_SOURCE,
        }
    }

    fn machine(&self) -> Refrigerant {
        let rated_removal = self.litres_per_day / DAY;
        let energy_factor = self.litres_per_kilowatt_hour / KWH;
        // Inlet limits, degC, from memory: portable units without defrost, hot-gas units from 5, low-grain units from 1.
        let (map, defrost, lowest_inlet) = match self.kind {
            Portable => (CapacityMap::SixUnits, Defrost::None, 5.0),
            Commercial => (CapacityMap::SixUnits, Defrost::HotGas, 5.0),
            LowGrain => (CapacityMap::LowGrain, Defrost::HotGas, 1.0),
        };
        Refrigerant {
            rated_removal,
            energy_factor,
            air_flow: self.air_per_hour / HOUR,
            map,
            defrost,
            output_deviation: 0.0,
            lowest_inlet,
            highest_inlet: 38.0,
            supply: supply_for(rated_removal / energy_factor),
            control: Control::humidistat(DRYING),
        }
    }

    fn class(&self) -> Class {
        Class {
            name: self.name,
            label: self.label,
            source: self.source(),
            machine: Machine::Refrigerant(self.machine()),
        }
    }
}

/// A middling machine, for one of which only the rating is known.
#[must_use]
pub fn usual() -> Refrigerant {
    USUAL.machine()
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
    label: &'static str,
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

#[rustfmt::skip]
const DESICCANTS: &[DesiccantRow] = &[
    DesiccantRow { name: "desiccant_150", label: "portable desiccant, {90 cfm|150 m3/h}", flow_per_hour: 150.0, fan_power: 120.0, rated_power: 1400.0, heat: RegenerationHeat::Electric, regeneration_air: AirSource::Room },
    DesiccantRow { name: "desiccant_400", label: "portable desiccant, {235 cfm|400 m3/h}", flow_per_hour: 400.0, fan_power: 300.0, rated_power: 3600.0, heat: RegenerationHeat::Electric, regeneration_air: AirSource::Room },
    DesiccantRow { name: "desiccant_1000", label: "desiccant, {600 cfm|1,000 m3/h}", flow_per_hour: 1000.0, fan_power: 800.0, rated_power: 8800.0, heat: RegenerationHeat::Electric, regeneration_air: AirSource::Outside },
    DesiccantRow { name: "desiccant_2000", label: "desiccant, {1,200 cfm|2,000 m3/h}", flow_per_hour: 2000.0, fan_power: 1600.0, rated_power: 17_500.0, heat: RegenerationHeat::Electric, regeneration_air: AirSource::Outside },
    DesiccantRow { name: "desiccant_4000", label: "desiccant, {2,350 cfm|4,000 m3/h}", flow_per_hour: 4000.0, fan_power: 2500.0, rated_power: 35_000.0, heat: RegenerationHeat::Electric, regeneration_air: AirSource::Outside },
    DesiccantRow { name: "desiccant_4000_burner", label: "propane-fired desiccant, {2,350 cfm|4,000 m3/h}", flow_per_hour: 4000.0, fan_power: 2500.0, rated_power: 3000.0, heat: BURNER, regeneration_air: AirSource::Outside },
    DesiccantRow { name: "desiccant_8500_burner", label: "propane-fired desiccant trailer, {5,000 cfm|8,500 m3/h}", flow_per_hour: 8500.0, fan_power: 9000.0, rated_power: 9500.0, heat: BURNER, regeneration_air: AirSource::Outside },
];

/// Share of a desiccant's fan power that the process fan takes: it moves the greater part of the air (from memory).
const PROCESS_FAN_SHARE: f64 = 0.7;

impl DesiccantRow {
    fn class(&self) -> Class {
        let process_flow = self.flow_per_hour / HOUR;
        Class {
            name: self.name,
            label: self.label,
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

pub(super) fn classes() -> impl Iterator<Item = Class> {
    REFRIGERANTS
        .iter()
        .map(RefrigerantRow::class)
        .chain(DESICCANTS.iter().map(DesiccantRow::class))
}
