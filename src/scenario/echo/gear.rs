//! One line of the echo for each machine.

use crate::scenario::defaults;
use crate::scenario::model::{
    Dehumidifier, Desiccant, ExchangeRule, Fan, Fuel, Heater, HeaterKind, Humidistat, OutsideAir,
    RatingCondition, RegenerationAir,
};
use crate::units::{MoneyPerDay, RelativeHumidity, TemperatureDifference};

/// The parts of one machine's line.
#[derive(Default)]
pub(super) struct Parts {
    pub(super) us: Vec<String>,
    pub(super) si: Vec<String>,
    pub(super) defaults: Vec<String>,
}

impl Parts {
    fn word(&mut self, text: impl Into<String>) {
        let text = text.into();
        self.us.push(text.clone());
        self.si.push(text);
    }

    fn quantity(&mut self, label: &str, text: Option<[String; 2]>) {
        if let Some([us, si]) = text {
            self.us.push(format!("{label} {us}"));
            self.si.push(format!("{label} {si}"));
        }
    }

    fn count_and_class(&mut self, count: Option<u32>, class: Option<&str>) {
        match count {
            Some(count) => self.word(format!("{count} x")),
            None => self.defaults.push("count 1".to_owned()),
        }
        if let Some(class) = class {
            self.word(class);
        }
    }

    fn dates(&mut self, from: Option<jiff::civil::Date>, until: Option<jiff::civil::Date>) {
        if let Some(from) = from {
            self.word(format!("from {from}"));
        }
        if let Some(until) = until {
            self.word(format!("until {until}"));
        }
    }

    fn rent(&mut self, rent: Option<MoneyPerDay>) {
        match rent {
            Some(rent) => self.quantity("rent", Some(both!(rent))),
            None => self.defaults.push("no rent is counted".to_owned()),
        }
    }

    fn humidistat(&mut self, humidistat: Option<&Humidistat>) {
        match humidistat {
            Some(humidistat) => {
                self.quantity("humidistat", Some(both!(humidistat.setpoint)));
                match humidistat.band {
                    Some(band) => self.quantity("band", Some(both!(band))),
                    None => self.defaults.push(format!(
                        "humidistat band {}",
                        RelativeHumidity::from_si(defaults::HUMIDISTAT_BAND).in_si()
                    )),
                }
            }
            None => self.defaults.push("humidistat as the class".to_owned()),
        }
    }

    pub(super) fn dehumidifier(&mut self, machine: &Dehumidifier) -> &'static str {
        self.count_and_class(machine.count, machine.class.as_deref());
        self.quantity("capacity", machine.capacity.map(|capacity| both!(capacity)));
        if machine.capacity.is_some() && machine.rating_condition.is_none() {
            self.defaults.push("rated at 80 degF and 60 %".to_owned());
        }
        if let Some(condition) = machine.rating_condition {
            self.word(match condition {
                RatingCondition::At80F60 => "rated at 80 degF and 60 %",
                RatingCondition::At65F60 => "rated at 65 degF and 60 %",
                RatingCondition::At27C60 => "rated at 27 degC and 60 %",
                RatingCondition::At30C80 => "rated at 30 degC and 80 %",
            });
        }
        self.quantity(
            "energy factor",
            machine.energy_factor.map(|factor| both!(factor)),
        );
        self.quantity("air flow", machine.air_flow.map(|flow| both!(flow)));
        self.quantity(
            "lowest inlet",
            machine.lowest_inlet.map(|inlet| both!(inlet)),
        );
        self.humidistat(machine.humidistat.as_ref());
        self.rent(machine.price_per_day);
        self.dates(machine.from, machine.until);
        "dehumidifier"
    }

    pub(super) fn desiccant(&mut self, machine: &Desiccant) -> &'static str {
        self.count_and_class(machine.count, Some(&machine.class));
        match machine.regeneration_air {
            Some(RegenerationAir::Outside) => self.word("regeneration air from outside"),
            Some(RegenerationAir::Room) => self.word("regeneration air from the room"),
            None => self
                .defaults
                .push("regeneration air from outside".to_owned()),
        }
        self.quantity("process air", machine.air_flow.map(|flow| both!(flow)));
        self.quantity(
            "capacity factor",
            machine.capacity_factor.map(|factor| both!(factor)),
        );
        self.humidistat(machine.humidistat.as_ref());
        self.rent(machine.price_per_day);
        self.dates(machine.from, machine.until);
        "desiccant"
    }

    pub(super) fn heater(&mut self, machine: &Heater) -> &'static str {
        self.count_and_class(machine.count, machine.class.as_deref());
        if let Some(kind) = machine.kind {
            self.word(match kind {
                HeaterKind::Electric => "electric",
                HeaterKind::IndirectFired => "indirect-fired",
                HeaterKind::DirectFired => "direct-fired",
                HeaterKind::MakeUpAir => "make-up air",
            });
        }
        if let Some(fuel) = machine.fuel {
            self.word(match fuel {
                Fuel::Propane => "propane",
                Fuel::NaturalGas => "natural gas",
                Fuel::Kerosene => "kerosene",
                Fuel::Diesel => "diesel",
            });
        }
        self.quantity("output", machine.output.map(|output| both!(output)));
        self.quantity(
            "efficiency",
            machine.efficiency.map(|efficiency| both!(efficiency)),
        );
        self.quantity(
            "electrical power",
            machine.electrical_power.map(|power| both!(power)),
        );
        self.quantity("air flow", machine.air_flow.map(|flow| both!(flow)));
        match &machine.thermostat {
            Some(thermostat) => {
                self.quantity("thermostat", Some(both!(thermostat.setpoint)));
                match thermostat.band {
                    Some(band) => self.quantity("band", Some(both!(band))),
                    None => self.defaults.push(format!(
                        "thermostat band {}",
                        TemperatureDifference::from_si(defaults::THERMOSTAT_BAND).in_si()
                    )),
                }
            }
            None => self.defaults.push("thermostat as the class".to_owned()),
        }
        self.rent(machine.price_per_day);
        self.dates(machine.from, machine.until);
        "heater"
    }

    pub(super) fn fan(&mut self, machine: &Fan) -> &'static str {
        self.count_and_class(machine.count, machine.class.as_deref());
        self.quantity(
            "floor air speed",
            machine.floor_air_speed.map(|speed| both!(speed)),
        );
        self.quantity("power", machine.power.map(|power| both!(power)));
        self.rent(machine.price_per_day);
        self.dates(machine.from, machine.until);
        "fan"
    }

    pub(super) fn outside_air(&mut self, machine: &OutsideAir) -> &'static str {
        self.count_and_class(machine.count, machine.class.as_deref());
        self.quantity("air flow", machine.air_flow.map(|flow| both!(flow)));
        if let Some(changes) = machine.air_changes_per_hour {
            self.word(format!("{changes} air changes per hour"));
        }
        match &machine.rule {
            Some(ExchangeRule::Always) => self.word("always"),
            Some(ExchangeRule::OnlyWhileDrier) => self.word("only while the outside air is drier"),
            Some(ExchangeRule::Hours(hours)) => {
                self.word(format!("from {} h to {} h", hours.from, hours.to));
            }
            None => self
                .defaults
                .push("only while the outside air is drier".to_owned()),
        }
        match machine.fan_power {
            Some(power) => self.quantity("fan power", Some(both!(power))),
            None if machine.class.is_none() => self.defaults.push("no fan power".to_owned()),
            None => {}
        }
        self.rent(machine.price_per_day);
        self.dates(machine.from, machine.until);
        "outside air"
    }
}
