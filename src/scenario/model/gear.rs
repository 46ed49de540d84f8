//! The machines of a setup.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::DateText;
use crate::units::{
    AirFlow, Area, Current, EnergyFactor, Fraction, HumidityRatio, Length, MoneyPerDay, Power,
    RelativeHumidity, Speed, Temperature, TemperatureDifference, Voltage, WaterRate,
};

/// One machine, or several alike.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Gear {
    /// A refrigerant dehumidifier.
    Dehumidifier(Dehumidifier),
    /// A desiccant dehumidifier.
    Desiccant(Desiccant),
    /// A heater.
    Heater(Heater),
    /// A fan that moves the room's air over the floor.
    Fan(Fan),
    /// A fan or opening that exchanges room air for outside air.
    OutsideAir(OutsideAir),
}

/// A refrigerant dehumidifier: a class, whose values the other keys replace, or `capacity` and `energy_factor`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Dehumidifier {
    /// A class of machine.
    #[schemars(extend("x-words" = "dehumidifier class"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub class: Option<String>,
    /// How many of them. Default 1.
    #[schemars(extend("x-limit" = "count"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub count: Option<u32>,
    /// Water removed at the rating condition, per machine.
    #[schemars(extend("x-limit" = "water removal rating"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub capacity: Option<WaterRate>,
    /// The air at which the capacity was rated. Default 80 degF and 60 %.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rating_condition: Option<RatingCondition>,
    /// Water removed per electricity at the rating condition.
    #[schemars(extend("x-limit" = "energy factor"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub energy_factor: Option<EnergyFactor>,
    /// Air through one machine.
    #[schemars(extend("x-limit" = "machine air flow"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub air_flow: Option<AirFlow>,
    /// It stops below this air temperature.
    #[schemars(extend("x-limit" = "lowest inlet temperature"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lowest_inlet: Option<Temperature>,
    /// It stops when the room is drier than this. Default: as the class.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub humidistat: Option<Humidistat>,
    /// It stops above this air temperature.
    #[schemars(extend("x-limit" = "highest inlet temperature"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub highest_inlet: Option<Temperature>,
    /// The laboratory curve that describes it. Default: as the class.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub curve: Option<Curve>,
    /// How it frees its coil of frost. Default: as the class.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub defrost: Option<Defrost>,
    /// Hours of the day in which it may run. Default: all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hours: Option<HoursOfDay>,
    /// What it plugs into. Default: as the class, with the current of its power.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub supply: Option<MachineSupply>,
    /// Rent of one machine.
    #[schemars(extend("x-limit" = "price per day"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub price_per_day: Option<MoneyPerDay>,
    /// First day it runs. Default: the day drying starts.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<DateText>")]
    pub from: Option<Date>,
    /// Last day it runs. Default: to the end.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<DateText>")]
    pub until: Option<Date>,
}

/// The air at which a dehumidifier was rated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum RatingCondition {
    /// 80 degF (26.7 degC) and 60 %.
    #[serde(rename = "80F_60")]
    At80F60,
    /// 65 degF (18.3 degC) and 60 %.
    #[serde(rename = "65F_60")]
    At65F60,
    /// 27 degC and 60 %.
    #[serde(rename = "27C_60")]
    At27C60,
    /// 30 degC and 80 %.
    #[serde(rename = "30C_80")]
    At30C80,
}

/// A desiccant dehumidifier.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Desiccant {
    /// A class of machine.
    #[schemars(extend("x-words" = "desiccant class"))]
    pub class: String,
    /// How many of them. Default 1.
    #[schemars(extend("x-limit" = "count"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub count: Option<u32>,
    /// Where the air comes from that carries the water away. Default: as the class.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub regeneration_air: Option<AirSource>,
    /// Process air through one machine.
    #[schemars(extend("x-limit" = "machine air flow"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub air_flow: Option<AirFlow>,
    /// Removal as a share of the published curve. Default: as the class.
    #[schemars(extend("x-limit" = "capacity factor"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub capacity_factor: Option<Fraction>,
    /// It stops when the room is drier than this. Default: as the class.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub humidistat: Option<Humidistat>,
    /// Where the air comes from that it dries. Default: the room.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub process_air: Option<AirSource>,
    /// What its regeneration burns; only for classes with a burner. Default: propane.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fuel: Option<Fuel>,
    /// Heat in the regeneration air per gross heat of the fuel; only for classes with a burner.
    #[schemars(extend("x-limit" = "heater efficiency"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub efficiency: Option<Fraction>,
    /// Speed of the process air at the rotor's face.
    #[schemars(extend("x-limit" = "face velocity"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub face_velocity: Option<Speed>,
    /// Power of the process fan; it warms the dried air.
    #[schemars(extend("x-limit" = "fan power"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub process_fan_power: Option<Power>,
    /// Power of the regeneration fan and the rotor's motor.
    #[schemars(extend("x-limit" = "fan power"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub regeneration_fan_power: Option<Power>,
    /// Nameplate electrical power, for the check of the site's supply.
    #[schemars(extend("x-limit" = "electrical power"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub electrical_power: Option<Power>,
    /// Hours of the day in which it may run. Default: all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hours: Option<HoursOfDay>,
    /// What it plugs into. Default: as the class, with the current of its power.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub supply: Option<MachineSupply>,
    /// Rent of one machine.
    #[schemars(extend("x-limit" = "price per day"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub price_per_day: Option<MoneyPerDay>,
    /// First day it runs. Default: the day drying starts.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<DateText>")]
    pub from: Option<Date>,
    /// Last day it runs. Default: to the end.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<DateText>")]
    pub until: Option<Date>,
}

/// Where a desiccant machine takes air.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum AirSource {
    /// From outside. Regeneration so leaves the room alone; process air so is pushed in and as much room air leaves.
    Outside,
    /// From the room. Outside air leaks in to replace regeneration air, which leaves the building.
    Room,
}

/// A laboratory curve of refrigerant dehumidifiers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Curve {
    /// Published fit over six tested machines.
    SixUnits,
    /// Published curve of one older machine.
    OlderUnit,
    /// Assumed curve of low-grain machines.
    LowGrain,
}

/// How a dehumidifier frees its coil of frost.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Defrost {
    /// Hot gas melts it.
    HotGas,
    /// It stops in the cold.
    None,
}

/// What a machine plugs into.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MachineSupply {
    /// Voltage on the nameplate, between phases if there are three.
    #[schemars(extend("x-limit" = "voltage"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub voltage: Option<Voltage>,
    /// Current on the nameplate, per phase. Default: power over voltage.
    #[schemars(extend("x-limit" = "current"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub current: Option<Current>,
    /// Phases. Default: as the class.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub phases: Option<Phases>,
}

/// Phases of a supply.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Phases {
    /// One.
    Single,
    /// Three.
    Three,
}

/// Which way a fan moves air.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Direction {
    /// Outside air is blown in.
    In,
    /// Room air is drawn out.
    Out,
}

/// An opening, or several that work as one, through which wind and warmth drive the air.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Opening {
    /// Free area; of the smaller of inlet and outlet if the air goes through.
    #[schemars(extend("x-limit" = "opening area"))]
    pub area: Area,
    /// Height of the opening, or between the middles of inlet and outlet.
    #[schemars(extend("x-limit" = "opening height"))]
    pub height: Length,
    /// Where the air goes. Default: in and out on one side.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub path: Option<AirPath>,
}

/// Where the air of an opening goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum AirPath {
    /// In and out on one side of the room.
    OneSide,
    /// In on one side or low, out on another or high.
    Through,
}

/// A heater: a class, whose values the other keys replace, or `kind` and `output`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Heater {
    /// A class of machine.
    #[schemars(extend("x-words" = "heater class"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub class: Option<String>,
    /// How many of them. Default 1.
    #[schemars(extend("x-limit" = "count"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub count: Option<u32>,
    /// How its heat comes into the room.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kind: Option<HeaterKind>,
    /// What it burns.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fuel: Option<Fuel>,
    /// Rated output, per machine: electricity of an electric heater, heat to the air before ducts of an indirect-fired one, gross heat
    /// of the fuel of a burner without a flue.
    #[schemars(extend("x-limit" = "heater output"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub output: Option<Power>,
    /// Heat to the air per gross heat of the fuel; only for indirect-fired heaters.
    #[schemars(extend("x-limit" = "heater efficiency"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub efficiency: Option<Fraction>,
    /// Its own fan and pump, per machine; not for electric heaters, whose output it is in.
    #[schemars(extend("x-limit" = "electrical power"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub electrical_power: Option<Power>,
    /// Outside air it brings into the room; only for indirect-fired heaters (default none) and make-up air.
    #[schemars(extend("x-limit" = "machine air flow"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub air_flow: Option<AirFlow>,
    /// When it heats. Default: as the class.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub thermostat: Option<Thermostat>,
    /// Share of the heat that ducts outside lose; only for indirect-fired heaters.
    #[schemars(extend("x-limit" = "duct loss"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub duct_loss: Option<Fraction>,
    /// Hottest air it blows out; only for make-up air.
    #[schemars(extend("x-limit" = "discharge temperature"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub highest_discharge: Option<Temperature>,
    /// Hours of the day in which it may run. Default: all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hours: Option<HoursOfDay>,
    /// What it plugs into. Default: as the class, with the current of its power.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub supply: Option<MachineSupply>,
    /// Rent of one machine.
    #[schemars(extend("x-limit" = "price per day"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub price_per_day: Option<MoneyPerDay>,
    /// First day it runs. Default: the day drying starts.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<DateText>")]
    pub from: Option<Date>,
    /// Last day it runs. Default: to the end.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<DateText>")]
    pub until: Option<Date>,
}

/// How a heater's heat comes into the room.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum HeaterKind {
    /// Electric.
    Electric,
    /// The flame's gases go outside.
    IndirectFired,
    /// The flame's gases, with their water, go into the room.
    DirectFired,
    /// Outside air blown through a flame into the room.
    MakeUpAir,
}

/// A fuel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Fuel {
    /// Propane.
    Propane,
    /// Natural gas.
    NaturalGas,
    /// Kerosene.
    Kerosene,
    /// Diesel or heating oil.
    Diesel,
}

/// A fan: a class, whose values the other keys replace, or `floor_air_speed` and `power`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Fan {
    /// A class of machine.
    #[schemars(extend("x-words" = "fan class"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub class: Option<String>,
    /// How many of them. Default 1.
    #[schemars(extend("x-limit" = "count"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub count: Option<u32>,
    /// Mean air speed over the floor with all of these fans on, if it was measured.
    #[schemars(extend("x-limit" = "floor air speed"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub floor_air_speed: Option<Speed>,
    /// Power of one fan.
    #[schemars(extend("x-limit" = "fan power"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub power: Option<Power>,
    /// True flow of one fan, for the air speed over the floor; not beside `floor_air_speed`.
    #[schemars(extend("x-limit" = "fan air flow"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub air_flow: Option<AirFlow>,
    /// Area of its outlet, for the air speed over the floor; not beside `floor_air_speed`.
    #[schemars(extend("x-limit" = "outlet area"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outlet_area: Option<Area>,
    /// Hours of the day in which it may run. Default: all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hours: Option<HoursOfDay>,
    /// What it plugs into. Default: as the class, with the current of its power.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub supply: Option<MachineSupply>,
    /// Rent of one machine.
    #[schemars(extend("x-limit" = "price per day"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub price_per_day: Option<MoneyPerDay>,
    /// First day it runs. Default: the day drying starts.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<DateText>")]
    pub from: Option<Date>,
    /// Last day it runs. Default: to the end.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<DateText>")]
    pub until: Option<Date>,
}

/// Exchange of room air for outside air: a class, whose values the other keys replace, or one of `air_flow` and `air_changes_per_hour`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OutsideAir {
    /// A class of machine.
    #[schemars(extend("x-words" = "outside air class"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub class: Option<String>,
    /// How many of them. Default 1.
    #[schemars(extend("x-limit" = "count"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub count: Option<u32>,
    /// Flow of one fan or opening.
    #[schemars(extend("x-limit" = "fan air flow"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub air_flow: Option<AirFlow>,
    /// Flow of all of them as room volumes per hour.
    #[schemars(extend("x-limit" = "air changes per hour"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub air_changes_per_hour: Option<f64>,
    /// When it runs. Default: only while the outside air is drier.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rule: Option<ExchangeRule>,
    /// Power of one fan. Default 0 W: an opening.
    #[schemars(extend("x-limit" = "fan power"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fan_power: Option<Power>,
    /// By how much the outside air must be drier under the rule `only_while_drier`. Default: 0 with that rule, as the class without a rule.
    #[schemars(extend("x-limit" = "drier by"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drier_by: Option<HumidityRatio>,
    /// Which way a fan moves the air. Default: as the class, or out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub direction: Option<Direction>,
    /// An opening through which wind and warmth drive the air, in place of a given flow.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub opening: Option<Opening>,
    /// What it plugs into. Default: as the class, with the current of its power.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub supply: Option<MachineSupply>,
    /// Rent of one machine.
    #[schemars(extend("x-limit" = "price per day"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub price_per_day: Option<MoneyPerDay>,
    /// First day it runs. Default: the day drying starts.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<DateText>")]
    pub from: Option<Date>,
    /// Last day it runs. Default: to the end.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<DateText>")]
    pub until: Option<Date>,
}

/// When outside air is let in.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ExchangeRule {
    /// All the time.
    Always,
    /// Only while the outside air holds less water than the room's.
    OnlyWhileDrier,
    /// In these hours of every day.
    Hours(HoursOfDay),
}

/// A part of the day. `from` later than `to` goes through midnight.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HoursOfDay {
    /// First hour, 0 to 24.
    #[schemars(extend("x-limit" = "hour of the day"))]
    pub from: f64,
    /// Last hour, 0 to 24.
    #[schemars(extend("x-limit" = "hour of the day"))]
    pub to: f64,
}

/// Holds a temperature.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Thermostat {
    /// Middle of the band.
    #[schemars(extend("x-limit" = "thermostat setting"))]
    pub setpoint: Temperature,
    /// Difference between full output and none. Default 2 K.
    #[schemars(extend("x-limit" = "thermostat band"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub band: Option<TemperatureDifference>,
}

/// Holds a humidity. Give `setpoint` or `dew_point`, not both.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Humidistat {
    /// Relative humidity in the middle of the band.
    #[schemars(extend("x-limit" = "humidistat setting"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub setpoint: Option<RelativeHumidity>,
    /// Difference between full output and none. Default 5 %.
    #[schemars(extend("x-limit" = "humidistat band"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub band: Option<RelativeHumidity>,
    /// Dew point in the middle of the band.
    #[schemars(extend("x-limit" = "humidistat dew point"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dew_point: Option<Temperature>,
    /// Difference of dew points between full output and none. Default 2 K.
    #[schemars(extend("x-limit" = "humidistat dew point band"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dew_point_band: Option<TemperatureDifference>,
    /// A second stage that joins at a higher humidity.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub second_stage: Option<SecondStage>,
}

/// A second stage of a humidistat. Give `above` beside a `setpoint`, `dew_point_above` beside a `dew_point`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SecondStage {
    /// How far above the first setpoint its own lies.
    #[schemars(extend("x-limit" = "humidistat band"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub above: Option<RelativeHumidity>,
    /// The same for a dew point.
    #[schemars(extend("x-limit" = "humidistat dew point band"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dew_point_above: Option<TemperatureDifference>,
    /// Share of the capacity that the first stage runs. Default 50 %.
    #[schemars(extend("x-limit" = "share of the first stage"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub first_share: Option<Fraction>,
}
