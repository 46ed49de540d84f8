//! The one table of physical limits: what the program accepts for each quantity, and why not more.
//!
//! Errors quote it and test generators draw from it. A limit says where the models stop being meaningful or where a number is almost
//! surely a slip of the keyboard; it is not advice. Reasons without a source are common practice, no published source.

use super::parse::{Amount, UnitFault, with_unit};
use super::quantity::{belongs, best_unit, grouped};
use super::table::{Kind, System, Unit};

/// One limit.
#[derive(Debug, Clone, Copy)]
pub struct Limit {
    /// What it limits, in words.
    pub name: &'static str,
    /// What it measures; `None` for a plain number.
    pub kind: Option<Kind>,
    /// The unit of `min` and `max`, one of the kind's; empty for a plain number.
    pub unit: &'static str,
    /// Smallest accepted.
    pub min: f64,
    /// Largest accepted.
    pub max: f64,
    /// Why.
    pub why: &'static str,
}

impl Limit {
    fn si_of(&self, number: f64) -> f64 {
        let unit = self
            .kind
            .and_then(|kind| kind.units().find(|unit| unit.name == self.unit));
        unit.map_or(number, |unit| (number - unit.zero) * unit.factor)
    }

    /// Smallest accepted, SI.
    #[must_use]
    pub fn min_si(&self) -> f64 {
        self.si_of(self.min)
    }

    /// Largest accepted, SI.
    #[must_use]
    pub fn max_si(&self) -> f64 {
        self.si_of(self.max)
    }

    /// Whether an SI value lies within. The ends count, with room for the rounding of a unit conversion.
    #[must_use]
    pub fn holds(&self, si: f64) -> bool {
        /// Relative room: a few rounding errors of the conversion of a number typed at the limit.
        const ROUNDING: f64 = 1e-12;
        let (min, max) = (self.min_si(), self.max_si());
        si.is_finite() && si >= min - ROUNDING * min.abs() && si <= max + ROUNDING * max.abs()
    }

    /// The limit in words, in both systems where there is a unit.
    #[must_use]
    pub fn in_words(&self) -> String {
        let range = |system| {
            let [min, max] = [End::Lowest, End::Highest].map(|end| {
                let best = self.kind.and_then(|kind| {
                    let own = self.own_unit().filter(|own| belongs(own, system));
                    own.or_else(|| Some(best_unit(kind, system, self.si_of(self.number(end)))?.0))
                });
                self.end(end, best)
            });
            format!("{min} to {max}")
        };
        let (us, si) = (range(System::Us), range(System::Si));
        if us == si {
            format!("{us}: {}.", self.why)
        } else {
            format!("{us} ({si}): {}.", self.why)
        }
    }

    /// What is wrong with a value beyond the limit, and what to type instead: the nearest value that is accepted, in the unit in which
    /// the quantity was typed.
    #[must_use]
    pub fn fault(&self, si: f64, typed: Option<&Amount>) -> UnitFault {
        let low = si < self.min_si();
        let (message, end, more) = if low {
            ("This is too low.", End::Lowest, "more")
        } else {
            ("This is too high.", End::Highest, "less")
        };
        let unit = typed.map_or_else(|| self.own_unit(), |amount| Some(amount.unit));
        let quote = if self.kind.is_some() { "\"" } else { "" };
        let meant = typed.and_then(|amount| self.other_unit(amount));
        let meant = meant.map_or_else(String::new, |text| format!("Did you mean \"{text}\"? "));
        UnitFault {
            message: message.to_owned(),
            help: format!(
                "{meant}Write {quote}{}{quote} or {more}: {}.",
                self.end(end, unit),
                self.why
            ),
        }
    }

    /// The same number in the first unit of the other system, where that is within the limit.
    fn other_unit(&self, typed: &Amount) -> Option<String> {
        let other = match typed.unit.system {
            System::Us => System::Si,
            System::Si => System::Us,
            System::Both => return None,
        };
        let unit = self.kind?.units().find(|unit| unit.system == other)?;
        let si = (typed.number - unit.zero) * unit.factor;
        self.holds(si)
            .then(|| with_unit(&typed.number.to_string(), unit))
    }

    fn number(&self, end: End) -> f64 {
        match end {
            End::Lowest => self.min,
            End::Highest => self.max,
        }
    }

    fn own_unit(&self) -> Option<&'static Unit> {
        self.kind?.units().find(|unit| unit.name == self.unit)
    }

    /// An end of the limit as text that can be typed, in a unit. In another than its own it is rounded inward, so that it is accepted.
    fn end(&self, end: End, unit: Option<&'static Unit>) -> String {
        /// Figures of an end in another unit.
        const FIGURES: i32 = 3;
        /// Relative room: what differs by less differs by the rounding of the conversion.
        const ROUNDING: f64 = 1e-9;
        let number = self.number(end);
        let Some(unit) = unit else {
            return grouped(&number.to_string());
        };
        let converted = self.si_of(number) / unit.factor + unit.zero;
        if unit.name == self.unit || converted == 0.0 {
            let number = if unit.name == self.unit { number } else { 0.0 };
            return with_unit(&grouped(&number.to_string()), unit);
        }
        let decimals = FIGURES - 1 - converted.abs().log10().floor() as i32;
        let step = 10_f64.powi(-decimals);
        let inward = match end {
            End::Lowest => (converted / step - ROUNDING).ceil(),
            End::Highest => (converted / step + ROUNDING).floor(),
        };
        let places = usize::try_from(decimals).unwrap_or(0);
        let text = format!("{:.places$}", inward * step);
        let text = if text.contains('.') {
            text.trim_end_matches('0').trim_end_matches('.')
        } else {
            &text
        };
        with_unit(&grouped(text), unit)
    }
}

/// An end of a limit.
#[derive(Clone, Copy)]
enum End {
    Lowest,
    Highest,
}

/// The limit with this name.
#[must_use]
pub fn find(name: &str) -> Option<&'static Limit> {
    LIMITS.iter().find(|limit| limit.name == name)
}

const fn limit(
    name: &'static str,
    kind: Kind,
    unit: &'static str,
    min: f64,
    max: f64,
    why: &'static str,
) -> Limit {
    Limit {
        name,
        kind: Some(kind),
        unit,
        min,
        max,
        why,
    }
}

const fn plain(name: &'static str, min: f64, max: f64, why: &'static str) -> Limit {
    Limit {
        name,
        kind: None,
        unit: "",
        min,
        max,
        why,
    }
}

use Kind as K;

/// Every limit.
#[rustfmt::skip]
pub static LIMITS: &[Limit] = &[
    limit("site elevation", K::Length, "m", -430.0, 5000.0, "nobody builds lower or higher"),
    limit("outdoor temperature", K::Temperature, "degC", -60.0, 60.0, "no weather record of a town goes beyond that"),
    limit("daily temperature swing", K::TemperatureDifference, "K", 0.0, 40.0, "no month swings more than that anywhere"),
    limit("outdoor relative humidity", K::RelativeHumidity, "%", 1.0, 100.0, "air is never free of water and never above 100 %"),
    limit("outdoor dew point", K::Temperature, "degC", -70.0, 36.0, "no weather record goes beyond that"),
    limit("wind speed", K::Speed, "m/s", 0.0, 40.0, "in a storm no drying plan works"),
    limit("slab area", K::Area, "m2", 1.0, 200_000.0, "less is a sample, more is several buildings"),
    limit("slab thickness", K::Length, "mm", 20.0, 1500.0, "thinner is a topping, thicker is mass concrete"),
    plain("water-cement ratio", 0.35, 1.0, "the concrete was fitted to mixes of 0.4 to 1.0"),
    limit("mixing water", K::Density, "kg/m3", 80.0, 350.0, "floor concrete does not go beyond that"),
    limit("share of slag", K::Fraction, "%", 0.0, 80.0, "no floor has more"),
    limit("share of fly ash", K::Fraction, "%", 0.0, 60.0, "no floor has more"),
    limit("cement content", K::Density, "kg/m3", 150.0, 650.0, "floor concrete does not go beyond that"),
    limit("compressive strength", K::Strength, "MPa", 10.0, 100.0, "floor concrete does not go beyond that"),
    limit("curing time", K::Duration, "days", 0.0, 90.0, "nobody cures a floor longer"),
    limit("curing layer resistance", K::VapourResistance, "GPa s m2/kg", 0.0, 1000.0, "a film above that is a vapor barrier"),
    limit("surface resistance", K::VapourResistance, "GPa s m2/kg", 0.0, 1000.0, "a layer above that is a vapor barrier"),
    limit("vapor retarder permeance", K::Permeance, "perm", 0.0, 100.0, "a sheet above that holds no vapor back"),
    limit("metal deck open share", K::Fraction, "%", 0.0, 20.0, "slotted decks are open over a few percent of their area"),
    limit("ground temperature", K::Temperature, "degC", -10.0, 35.0, "ground under a building does not go beyond that"),
    limit("air temperature", K::Temperature, "degC", -40.0, 60.0, "neither people nor fresh concrete can take more"),
    limit("relative humidity of air", K::RelativeHumidity, "%", 1.0, 100.0, "air is never free of water and never above 100 %"),
    limit("water depth", K::WaterDepth, "mm", 0.0, 300.0, "more is a flood"),
    limit("wetting time", K::Duration, "h", 0.0, 720.0, "a floor under water for over a month is as good as new: change the day it was placed"),
    limit("room height", K::Length, "m", 1.5, 60.0, "people have to work in the room"),
    plain("air changes per hour", 0.0, 60.0, "beyond that the room is outdoors"),
    limit("heat loss of the room", K::HeatLoss, "W/K", 0.0, 1e7, "the largest open shell loses less"),
    limit("U-value", K::UValue, "W/(m2 K)", 0.05, 12.0, "that is from the best insulation to thin sheeting"),
    limit("envelope area", K::Area, "m2", 1.0, 500_000.0, "that is from a shed to the largest building"),
    limit("time limit", K::Duration, "days", 1.0, 1825.0, "a forecast over more than five years is no plan"),
    limit("service temperature", K::Temperature, "degC", 2.0, 40.0, "that is from a cold store to a hot works"),
    limit("service relative humidity", K::RelativeHumidity, "%", 5.0, 85.0, "drier is an oven, damper is no air for a coated floor"),
    limit("humidity limit in the slab", K::RelativeHumidity, "%", 40.0, 99.0, "concrete indoors never dries below 40 % and never starts above 99 %"),
    plain("depth fraction", 0.05, 0.95, "a probe needs concrete above and below it"),
    limit("emission limit", K::MassFlux, "lb/1000 ft2/24 h", 0.2, 30.0, "the dish reads no less, and wet concrete gives no more"),
    limit("mass percent limit", K::Fraction, "%", 1.0, 12.0, "concrete indoors holds no less, and no coating allows more"),
    limit("sampled layer", K::Length, "mm", 5.0, 200.0, "thinner cannot be chipped off, thicker is not the top"),
    limit("time under a plastic sheet", K::Duration, "h", 16.0, 72.0, "the standard asks for 16 h or more, and nobody waits over three days"),
    limit("coating temperature", K::Temperature, "degC", -20.0, 60.0, "no resin sets beyond that"),
    limit("air humidity for coating", K::RelativeHumidity, "%", 30.0, 99.0, "a stricter limit cannot be kept on site, a looser one is fog"),
    limit("dew-point margin", K::TemperatureDifference, "K", 0.0, 15.0, "no data sheet asks for more"),
    limit("cure time", K::Duration, "h", 1.0, 720.0, "no resin takes longer to set, and none sets within an hour"),
    limit("concrete age for coating", K::Duration, "days", 0.0, 730.0, "no data sheet asks for more"),
    limit("dry time after wetting", K::Duration, "h", 0.0, 2160.0, "after a quarter of a year the tests alone decide"),
    limit("test validity", K::Duration, "days", 1.0, 365.0, "a slab changes within a year"),
    limit("probe time in hole", K::Duration, "h", 1.0, 336.0, "by then the air in the hole is level with the concrete"),
    limit("wanted chance", K::Fraction, "%", 5.0, 99.0, "nothing on site is certain, and a plan that mostly fails is no plan"),
    limit("budget", K::Money, "$", 0.0, 1e9, "anything else is a typing slip"),
    limit("most power", K::Power, "kW", 0.1, 5000.0, "that is from one plug to a substation"),
    limit("delivery", K::Money, "$", 0.0, 1e7, "anything else is a typing slip"),
    limit("price of electricity", K::MoneyPerEnergy, "$/kWh", 0.0, 1000.0, "anything else is a typing slip"),
    limit("price of propane", K::PropanePrice, "$/kWh", 0.0, 1000.0, "anything else is a typing slip"),
    limit("price of natural gas", K::NaturalGasPrice, "$/kWh", 0.0, 1000.0, "anything else is a typing slip"),
    limit("price of kerosene", K::KerosenePrice, "$/kWh", 0.0, 1000.0, "anything else is a typing slip"),
    limit("price of diesel", K::DieselPrice, "$/kWh", 0.0, 1000.0, "anything else is a typing slip"),
    limit("price per area", K::MoneyPerArea, "$/ft2", 0.0, 1e5, "anything else is a typing slip"),
    limit("time of work", K::Duration, "days", 0.0, 365.0, "work of more than a year is no alternative"),
    limit("least age", K::Duration, "days", 0.0, 365.0, "no data sheet asks for more"),
    limit("permeance of a layer", K::Permeance, "perm", 0.0, 1000.0, "a layer above that holds nothing back"),
    limit("price of a day of delay", K::MoneyPerDay, "$/day", 0.0, 1e9, "anything else is a typing slip"),
    limit("price per day", K::MoneyPerDay, "$/day", 0.0, 1e7, "anything else is a typing slip"),
    plain("count", 1.0, 1000.0, "one entry stands for one to a thousand"),
    limit("water removal rating", K::WaterRate, "L/day", 1.0, 20_000.0, "that is from the smallest portable to the largest trailer"),
    limit("energy factor", K::EnergyFactor, "L/kWh", 0.3, 10.0, "no machine sold goes beyond that"),
    limit("machine air flow", K::AirFlow, "m3/h", 10.0, 200_000.0, "that is from the smallest portable to the largest trailer"),
    limit("lowest inlet temperature", K::Temperature, "degC", -20.0, 30.0, "beyond that the machine would never run"),
    limit("electrical power", K::Power, "W", 0.0, 200_000.0, "the largest trailer draws less"),
    limit("fan power", K::Power, "W", 0.0, 50_000.0, "the largest drum fan draws less"),
    limit("duct loss", K::Fraction, "%", 0.0, 60.0, "a heater that loses more heats the yard"),
    limit("discharge temperature", K::Temperature, "degC", 20.0, 150.0, "hotter air is for kilns"),
    limit("face velocity", K::Speed, "m/s", 0.5, 6.0, "the published curves of rotors do not reach beyond that"),
    limit("outlet area", K::Area, "m2", 0.001, 20.0, "that is from a hand-held blower to the largest drum fan"),
    limit("highest inlet temperature", K::Temperature, "degC", 20.0, 60.0, "below that the machine would never run, above it none does"),
    limit("humidistat dew point", K::Temperature, "degC", -40.0, 30.0, "no machine keeps air drier, and none need keep it damper"),
    limit("humidistat dew point band", K::TemperatureDifference, "K", 0.1, 15.0, "a narrower band chatters, a wider one controls nothing"),
    limit("share of the first stage", K::Fraction, "%", 1.0, 99.0, "with none or all of it there is only one stage"),
    limit("drier by", K::HumidityRatio, "g/kg", 0.0, 10.0, "outside air is hardly ever drier by more"),
    limit("voltage", K::Voltage, "V", 100.0, 700.0, "no low-voltage supply goes beyond that"),
    limit("current", K::Current, "A", 0.05, 2000.0, "that is from a small fan to a site's main breaker"),
    limit("breaker", K::Current, "A", 5.0, 2000.0, "that is from a lamp circuit to a site's main breaker"),
    limit("generator power", K::Power, "kW", 0.5, 5000.0, "that is from a portable to a container set"),
    limit("generator apparent power", K::ApparentPower, "kVA", 0.5, 6000.0, "that is from a portable to a container set"),
    limit("opening area", K::Area, "m2", 0.01, 500.0, "that is from a vent to hangar doors"),
    limit("opening height", K::Length, "m", 0.1, 60.0, "that is from a vent to a tall hall"),
    limit("water in a material", K::Mass, "kg", 0.1, 100_000.0, "less is not felt, more is a flood"),
    limit("water given evenly", K::WaterRate, "kg/day", 0.1, 20_000.0, "less is not felt, more is a flood"),
    limit("drying time constant", K::Duration, "days", 1.0, 1000.0, "what dries within hours is a wetting, what takes years gives nothing"),
    limit("length of giving", K::Duration, "days", 0.25, 1825.0, "that is from a shift to the longest forecast"),
    limit("partition length", K::Length, "m", 0.5, 1000.0, "that is from a closet to the longest hall"),
    plain("people", 1.0, 2000.0, "more is a stadium"),
    limit("water from the rest of the slab", K::MassFlux, "lb/1000 ft2/24 h", 0.0, 100.0, "a wet floor in still air gives about that"),
    limit("heater output", K::Power, "kW", 0.1, 5000.0, "that is from a plug-in heater to the largest burner"),
    limit("heater efficiency", K::Fraction, "%", 30.0, 100.0, "burners reach about 80 %, and none beats 100 % of the gross heat"),
    limit("capacity factor", K::Fraction, "%", 10.0, 150.0, "a rotor that far off the published curve is another machine"),
    limit("thermostat setting", K::Temperature, "degC", -10.0, 50.0, "people work in the room, and fresh concrete must not cook"),
    limit("thermostat band", K::TemperatureDifference, "K", 0.1, 15.0, "a narrower band chatters, a wider one controls nothing"),
    limit("humidistat setting", K::RelativeHumidity, "%", 5.0, 95.0, "no machine keeps air drier, and none need keep it damper"),
    limit("humidistat band", K::RelativeHumidity, "%", 0.5, 30.0, "a narrower band chatters, a wider one controls nothing"),
    limit("floor air speed", K::Speed, "m/s", 0.0, 15.0, "more would blow the tools away"),
    limit("fan air flow", K::AirFlow, "m3/h", 10.0, 500_000.0, "that is from a desk fan to the largest drum fan"),
    plain("hour of the day", 0.0, 24.0, "a day has 24 hours"),
    limit("floor area", K::Area, "m2", 0.1, 200_000.0, "less is a finding, more is several buildings"),
    limit("edge length", K::Length, "m", 0.0, 100_000.0, "the largest floor has less"),
    limit("position on the plan", K::Length, "m", -10_000.0, 10_000.0, "no building reaches farther"),
    limit("length of a finding", K::Length, "mm", 1.0, 10_000_000.0, "shorter is not seen, longer is several buildings"),
    limit("width of a finding", K::Length, "mm", 0.01, 1000.0, "a finer crack is not seen, a wider one is an opening"),
    limit("depth of a finding", K::Length, "mm", 0.1, 1500.0, "shallower is a scratch, deeper goes through the thickest slab"),
    limit("height of a spot", K::Length, "mm", 0.1, 500.0, "flatter is not felt, higher is a step"),
    limit("size of a finding", K::Area, "m2", 1e-6, 200_000.0, "less is not seen, more is several buildings"),
    plain("count of findings", 1.0, 100_000.0, "one line stands for one or more alike"),
    plain("number of a finding", 1.0, 100_000.0, "findings are numbered from 1, and no walk has more"),
    plain("surface profile class", 1.0, 10.0, "the classes run from CSP 1 to CSP 10"),
    limit("water left on the floor", K::WaterDepth, "mm", 0.0, 20.0, "more would run off or be vacuumed up"),
    limit("moisture content of wood", K::Fraction, "%", 0.0, 100.0, "above that the wood has lain in water"),
    plain("people in a crew", 1.0, 200.0, "more get into each other's way"),
    plain("crews", 1.0, 50.0, "more get into each other's way"),
    limit("labor price", K::MoneyPerDay, "$/h", 0.0, 1e5, "anything else is a typing slip"),
    limit("volume of a pack", K::Volume, "L", 0.01, 1e6, "that is from a sample to a tank"),
    limit("area of a pack", K::Area, "m2", 0.01, 1e6, "that is from a sample to a whole hall"),
    limit("length of a pack", K::Length, "m", 0.1, 1e5, "that is from a sample to a truckload"),
    limit("price of a pack", K::Money, "$", 0.0, 1e7, "anything else is a typing slip"),
    limit("waste", K::Fraction, "%", 0.0, 200.0, "more is a second purchase"),
    limit("area done in an hour", K::Area, "m2", 0.01, 1e5, "nobody is faster or slower"),
    limit("length done in an hour", K::Length, "m", 0.01, 1e5, "nobody is faster or slower"),
    limit("volume done in an hour", K::Volume, "L", 0.01, 1e6, "nobody is faster or slower"),
];
