//! The machines of a setup.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::DateText;
use crate::units::{
    AirFlow, EnergyFactor, Fraction, MoneyPerDay, Power, RelativeHumidity, Speed, Temperature,
    TemperatureDifference, WaterRate,
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
    /// Where the air comes from that carries the water away. Default: outside.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub regeneration_air: Option<RegenerationAir>,
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

/// Where a desiccant machine takes its regeneration air.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum RegenerationAir {
    /// From outside; the room is left alone.
    Outside,
    /// From the room; outside air leaks in to replace it.
    Room,
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
    /// Heat into the room at full output, per machine.
    #[schemars(extend("x-limit" = "heater output"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub output: Option<Power>,
    /// Heat into the room per gross heat of the fuel.
    #[schemars(extend("x-limit" = "heater efficiency"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub efficiency: Option<Fraction>,
    /// Its own fan and pump, per machine.
    #[schemars(extend("x-limit" = "electrical power"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub electrical_power: Option<Power>,
    /// Air it heats; for make-up air, the outside air it brings.
    #[schemars(extend("x-limit" = "machine air flow"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub air_flow: Option<AirFlow>,
    /// When it heats. Default: as the class.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub thermostat: Option<Thermostat>,
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
    #[schemars(extend("x-limit" = "electrical power"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub power: Option<Power>,
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
    #[schemars(extend("x-limit" = "electrical power"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fan_power: Option<Power>,
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

/// Holds a humidity.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Humidistat {
    /// Middle of the band.
    #[schemars(extend("x-limit" = "humidistat setting"))]
    pub setpoint: RelativeHumidity,
    /// Difference between full output and none. Default 5 %.
    #[schemars(extend("x-limit" = "humidistat band"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub band: Option<RelativeHumidity>,
}
