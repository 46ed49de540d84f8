//! One line of the echo for each machine.

use crate::scenario::defaults;
use crate::scenario::model::{
    AirPath, AirSource, Curve, Defrost, Dehumidifier, Desiccant, Direction, ExchangeRule, Fan,
    Fuel, Heater, HeaterKind, HoursOfDay, Humidistat, MachineSupply, Opening, OutsideAir, Phases,
    RatingCondition, SecondStage,
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
    pub(super) fn word(&mut self, text: impl Into<String>) {
        let text = text.into();
        self.us.push(text.clone());
        self.si.push(text);
    }

    pub(super) fn quantity(&mut self, label: &str, text: Option<[String; 2]>) {
        if let Some([us, si]) = text {
            self.us
                .push(format!("{label} {us}").trim_start().to_owned());
            self.si
                .push(format!("{label} {si}").trim_start().to_owned());
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

    pub(super) fn dates(
        &mut self,
        from: Option<jiff::civil::Date>,
        until: Option<jiff::civil::Date>,
    ) {
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
                if let Some(setpoint) = humidistat.setpoint {
                    self.quantity("humidistat", Some(both!(setpoint)));
                    match humidistat.band {
                        Some(band) => self.quantity("band", Some(both!(band))),
                        None => self.defaults.push(format!(
                            "humidistat band {}",
                            RelativeHumidity::from_si(defaults::HUMIDISTAT_BAND).in_si()
                        )),
                    }
                }
                if let Some(dew_point) = humidistat.dew_point {
                    self.quantity("humidistat at a dew point of", Some(both!(dew_point)));
                    match humidistat.dew_point_band {
                        Some(band) => self.quantity("band", Some(both!(band))),
                        None => self.defaults.push(format!(
                            "humidistat band {}",
                            TemperatureDifference::from_si(defaults::DEW_POINT_BAND).in_si()
                        )),
                    }
                }
                if let Some(stage) = &humidistat.second_stage {
                    self.second_stage(stage);
                }
            }
            None => self.defaults.push("humidistat as the class".to_owned()),
        }
    }

    fn second_stage(&mut self, stage: &SecondStage) {
        self.quantity("second stage above it by", stage.above.map(|a| both!(a)));
        self.quantity(
            "second stage above it by",
            stage.dew_point_above.map(|a| both!(a)),
        );
        match stage.first_share {
            Some(share) => self.quantity("first stage", Some(both!(share))),
            None => self.defaults.push("first stage 50 %".to_owned()),
        }
    }

    fn clock(&mut self, hours: Option<&HoursOfDay>) {
        if let Some(hours) = hours {
            self.word(format!("from {} h to {} h", hours.from, hours.to));
        }
    }

    fn supply(&mut self, supply: Option<&MachineSupply>) {
        let Some(supply) = supply else { return };
        self.quantity("at", supply.voltage.map(|v| both!(v)));
        self.quantity("drawing", supply.current.map(|a| both!(a)));
        match supply.phases {
            Some(Phases::Single) => self.word("single-phase"),
            Some(Phases::Three) => self.word("three-phase"),
            None => {}
        }
    }

    fn fuel(&mut self, fuel: Option<Fuel>) {
        if let Some(fuel) = fuel {
            self.word(match fuel {
                Fuel::Propane => "propane",
                Fuel::NaturalGas => "natural gas",
                Fuel::Kerosene => "kerosene",
                Fuel::Diesel => "diesel",
            });
        }
    }

    pub(super) fn opening(&mut self, opening: &Opening) {
        self.quantity("opening of", Some(both!(opening.area)));
        self.quantity("height", Some(both!(opening.height)));
        match opening.path {
            Some(AirPath::OneSide) => self.word("air in and out on one side"),
            Some(AirPath::Through) => self.word("air through"),
            None => self.defaults.push("air in and out on one side".to_owned()),
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
        self.quantity(
            "highest inlet",
            machine.highest_inlet.map(|inlet| both!(inlet)),
        );
        match machine.curve {
            Some(Curve::SixUnits) => self.word("curve of six tested machines"),
            Some(Curve::OlderUnit) => self.word("curve of one older machine"),
            Some(Curve::LowGrain) => self.word("assumed curve of low-grain machines"),
            None => {}
        }
        match machine.defrost {
            Some(Defrost::HotGas) => self.word("hot-gas defrost"),
            Some(Defrost::None) => self.word("no defrost"),
            None => {}
        }
        self.humidistat(machine.humidistat.as_ref());
        self.clock(machine.hours.as_ref());
        self.supply(machine.supply.as_ref());
        self.rent(machine.price_per_day);
        self.dates(machine.from, machine.until);
        "dehumidifier"
    }

    pub(super) fn desiccant(&mut self, machine: &Desiccant) -> &'static str {
        self.count_and_class(machine.count, Some(&machine.class));
        match machine.regeneration_air {
            Some(AirSource::Outside) => self.word("regeneration air from outside"),
            Some(AirSource::Room) => self.word("regeneration air from the room"),
            None => self
                .defaults
                .push("regeneration air as the class".to_owned()),
        }
        match machine.process_air {
            Some(AirSource::Outside) => self.word("process air from outside"),
            Some(AirSource::Room) => self.word("process air from the room"),
            None => {}
        }
        self.fuel(machine.fuel);
        self.quantity(
            "efficiency",
            machine.efficiency.map(|efficiency| both!(efficiency)),
        );
        self.quantity("face velocity", machine.face_velocity.map(|v| both!(v)));
        self.quantity("process fan", machine.process_fan_power.map(|p| both!(p)));
        self.quantity(
            "regeneration fan",
            machine.regeneration_fan_power.map(|p| both!(p)),
        );
        self.quantity(
            "electrical power",
            machine.electrical_power.map(|p| both!(p)),
        );
        self.quantity("process air", machine.air_flow.map(|flow| both!(flow)));
        self.quantity(
            "capacity factor",
            machine.capacity_factor.map(|factor| both!(factor)),
        );
        self.humidistat(machine.humidistat.as_ref());
        self.clock(machine.hours.as_ref());
        self.supply(machine.supply.as_ref());
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
        self.fuel(machine.fuel);
        self.quantity("output", machine.output.map(|output| both!(output)));
        self.quantity(
            "efficiency",
            machine.efficiency.map(|efficiency| both!(efficiency)),
        );
        self.quantity(
            "electrical power",
            machine.electrical_power.map(|power| both!(power)),
        );
        self.quantity("outside air", machine.air_flow.map(|flow| both!(flow)));
        self.quantity("duct loss", machine.duct_loss.map(|loss| both!(loss)));
        self.quantity(
            "highest discharge",
            machine.highest_discharge.map(|t| both!(t)),
        );
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
        self.clock(machine.hours.as_ref());
        self.supply(machine.supply.as_ref());
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
        self.quantity("air flow", machine.air_flow.map(|flow| both!(flow)));
        self.quantity("outlet area", machine.outlet_area.map(|area| both!(area)));
        self.clock(machine.hours.as_ref());
        self.supply(machine.supply.as_ref());
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
        if let Some(opening) = &machine.opening {
            self.opening(opening);
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
        self.quantity(
            "drier by at least",
            machine.drier_by.map(|margin| both!(margin)),
        );
        match machine.direction {
            Some(Direction::In) => self.word("blown in"),
            Some(Direction::Out) => self.word("drawn out"),
            None => {}
        }
        self.supply(machine.supply.as_ref());
        self.rent(machine.price_per_day);
        self.dates(machine.from, machine.until);
        "outside air"
    }
}
