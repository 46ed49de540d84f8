//! The one table of units: every spelling the program reads, its factor to SI, and when it is shown.
//!
//! A number `n` typed in a unit is `(n - zero) * factor` in SI. Definitions are exact unless a note says otherwise.
//!
//! Sources
//! 1. NIST Special Publication 811 (2008), appendix B: inch, pound, gallon, pint, Btu (International Table), psi, inch of mercury (conventional), perm.
//! 2. U.S. Energy Information Administration, heat contents (gross): propane 3.836 MMBtu/bbl, kerosene 5.670 MMBtu/bbl,
//!    distillate 5.770 MMBtu/bbl, natural gas 1,030 Btu/ft3.
//! 3. Water removed by machines is rated by volume; 1 L counts as 1 kg (0.3 % high at 25 degC), as the rating tests do (common practice, no published source).

use super::factors::{
    BTU, CFM, DAY, FLUID_OUNCE, FOOT, FT2, FT3, GALLON, GRAINS_PER_POUND, HOUR, INCH, INHG, KWH,
    LITRE, MILE, MINUTE, MMHG, PINT, POUND, POUND_PER_1000_FT2_DAY, PSI, RANKINE, WATER, YARD,
};

/// Hands every kind of quantity to a macro: what it is and its SI unit, name, words, an example of the US trade and one in SI.
macro_rules! every_kind {
    ($then:ident) => {
        $then! {
            /// A length, m.
            Length "length" "5 in" "125 mm",
            /// An area, m2.
            Area "area" "5000 ft2" "450 m2",
            /// A volume, m3.
            Volume "volume" "900 ft3" "25 m3",
            /// A mass, kg.
            Mass "mass" "20 lb" "9 kg",
            /// A temperature, degC.
            Temperature "temperature" "73 degF" "23 degC",
            /// A difference of temperatures, K.
            TemperatureDifference "temperature difference" "5 degF" "3 K",
            /// A pressure, Pa.
            Pressure "pressure" "29.9 inHg" "1013 hPa",
            /// A relative humidity, 0 to 1.
            RelativeHumidity "relative humidity" "75 %" "75 %",
            /// A humidity ratio, kg of water per kg of dry air.
            HumidityRatio "humidity ratio" "50 gr/lb" "7 g/kg",
            /// A share, 0 to 1.
            Fraction "share" "80 %" "80 %",
            /// A length of time, s.
            Duration "length of time" "7 days" "12 h",
            /// A speed, m/s.
            Speed "speed" "5 mph" "2 m/s",
            /// A volume of air per time, m3/s.
            AirFlow "air flow" "300 cfm" "500 m3/h",
            /// A power, W.
            Power "power" "150000 Btu/h" "45 kW",
            /// An energy, J.
            Energy "energy" "100000 Btu" "30 kWh",
            /// A voltage, V.
            Voltage "voltage" "120 V" "230 V",
            /// An electric current, A.
            Current "current" "20 A" "16 A",
            /// An apparent power, VA.
            ApparentPower "apparent power" "30 kVA" "30 kVA",
            /// Water per time, kg/s.
            WaterRate "water rate" "130 pint/day" "60 L/day",
            /// Water per area and time, kg/(m2 s).
            MassFlux "moisture emission rate" "3 lb/1000 ft2/24 h" "15 g/m2/day",
            /// A vapour permeance, kg/(m2 s Pa).
            Permeance "vapor permeance" "0.1 perm" "6 ng/(s m2 Pa)",
            /// A vapour resistance, m2 s Pa/kg.
            VapourResistance "vapor resistance" "1 1/perm" "0.5 GPa s m2/kg",
            /// A mass per volume, kg/m3.
            Density "content" "600 lb/yd3" "350 kg/m3",
            /// A heat transmittance, W/(m2 K).
            UValue "U-value" "0.2 Btu/(h ft2 degF)" "1.1 W/(m2 K)",
            /// A heat loss per temperature difference, W/K.
            HeatLoss "heat loss" "1000 Btu/(h degF)" "500 W/K",
            /// A depth of water, m.
            WaterDepth "water depth" "0.25 in" "6 mm",
            /// A compressive strength, Pa.
            Strength "strength" "4000 psi" "30 MPa",
            /// Water removed per electricity, kg/J.
            EnergyFactor "energy factor" "5.9 pint/kWh" "2.8 L/kWh",
            /// Money, in the scenario's currency.
            Money "money" "350 $" "350 $",
            /// Money per time, currency/s.
            MoneyPerDay "price per day" "35 $/day" "35 $/day",
            /// A price of electricity, currency/J.
            MoneyPerEnergy "price of energy" "0.15 $/kWh" "0.15 $/kWh",
            /// A price per floor area, currency/m2.
            MoneyPerArea "price per area" "6 $/ft2" "65 $/m2",
            /// A price of propane, currency/J of gross heat.
            PropanePrice "price of propane" "2.8 $/gal" "0.10 $/kWh",
            /// A price of natural gas, currency/J of gross heat.
            NaturalGasPrice "price of natural gas" "1.2 $/therm" "0.04 $/kWh",
            /// A price of kerosene, currency/J of gross heat.
            KerosenePrice "price of kerosene" "5 $/gal" "1.3 $/L",
            /// A price of diesel or heating oil, currency/J of gross heat.
            DieselPrice "price of diesel" "4 $/gal" "1.1 $/L",
        }
    };
}
pub(super) use every_kind;

macro_rules! kinds {
    ($($(#[$doc:meta])* $name:ident $words:literal $us:literal $si:literal,)+) => {
        /// What a number with a unit measures.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        pub enum Kind { $($(#[$doc])* $name,)+ }

        impl Kind {
            /// Every kind.
            pub const ALL: [Self; [$(Self::$name),+].len()] = [$(Self::$name),+];

            /// The kind in words, as errors say it.
            #[must_use]
            pub fn name(self) -> &'static str {
                match self { $(Self::$name => $words,)+ }
            }

            /// An example a user can copy: US trade, then SI.
            #[must_use]
            pub fn examples(self) -> [&'static str; 2] {
                match self { $(Self::$name => [$us, $si],)+ }
            }
        }
    };
}

every_kind!(kinds);

/// The system a unit belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum System {
    /// Units of the US trade.
    Us,
    /// SI and the units used with it.
    Si,
    /// Used in both.
    Both,
}

/// One unit of one kind.
#[derive(Debug)]
pub struct Unit {
    /// What it measures.
    pub kind: Kind,
    /// Its system.
    pub system: System,
    /// The spelling that is printed. `$` stands for whichever currency was typed.
    pub name: &'static str,
    /// SI units per unit.
    pub factor: f64,
    /// The number in this unit at the SI zero (only temperatures have one).
    pub zero: f64,
    /// Used for showing numbers of at least this size; `NEVER` for units that are read but not chosen for showing.
    pub shown_from: f64,
    /// Other spellings that are read.
    pub also: &'static [&'static str],
}

impl Kind {
    /// The kind in words with its article.
    #[must_use]
    pub fn with_article(self) -> String {
        let name = self.name();
        match self {
            // Said "you value", so not "an".
            Self::UValue => format!("a {name}"),
            Self::Money => name.to_owned(),
            _ if name.starts_with(['a', 'e', 'i', 'o', 'u']) => format!("an {name}"),
            _ => format!("a {name}"),
        }
    }

    /// The kind with this name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.name() == name)
    }

    /// Its units, in table order.
    pub fn units(self) -> impl Iterator<Item = &'static Unit> {
        UNITS.iter().filter(move |unit| unit.kind == self)
    }

    /// Whether its text carries a currency.
    #[must_use]
    pub fn is_money(self) -> bool {
        self.units().any(|unit| unit.name.starts_with('$'))
    }

    /// Its unit of this name. Only for constants: there a name that is no unit of the kind does not compile.
    pub(super) const fn unit(self, name: &str) -> &'static Unit {
        let mut row = 0;
        while row < UNITS.len() {
            if UNITS[row].kind as u8 == self as u8 && same(UNITS[row].name, name) {
                return &UNITS[row];
            }
            row += 1;
        }
        panic!("not a unit of this kind")
    }
}

const fn same(a: &str, b: &str) -> bool {
    let (a, b) = (a.as_bytes(), b.as_bytes());
    let mut at = 0;
    while at < a.len() && at < b.len() && a[at] == b[at] {
        at += 1;
    }
    at == a.len() && at == b.len()
}

/// Marks a unit that is read but never chosen for showing.
pub const NEVER: f64 = f64::INFINITY;

const GRAIN: f64 = POUND / GRAINS_PER_POUND;
const PERM: f64 = GRAIN / (HOUR * FT2 * INHG);
/// A ton of refrigeration, 12,000 Btu/h (source 1).
const TON: f64 = 12_000.0 * BTU / HOUR;
/// Cement in a US sack, 94 lb (ASTM C150, from memory).
const SACK: f64 = 94.0 * POUND;
/// Days in a month of hire: rental houses bill by four weeks (common practice, no published source). A calendar month of 30.4 days would
/// make a day of hire 8 % cheaper than the bill.
const RENTAL_MONTH: f64 = 28.0;
/// Cubic metres in 42 gallons.
const BARREL: f64 = 42.0 * GALLON;

/// Gross heat of liquid propane, J/m3 (source 2).
pub const PROPANE_GROSS_HEAT: f64 = 3.836e6 * BTU / BARREL;
/// Gross heat of natural gas at delivery conditions, J/m3 (source 2).
pub const NATURAL_GAS_GROSS_HEAT: f64 = 1_030.0 * BTU / FT3;
/// Gross heat of kerosene, J/m3 (source 2).
pub const KEROSENE_GROSS_HEAT: f64 = 5.670e6 * BTU / BARREL;
/// Gross heat of diesel and distillate heating oil, J/m3 (source 2).
pub const DIESEL_GROSS_HEAT: f64 = 5.770e6 * BTU / BARREL;

const fn unit(
    kind: Kind,
    system: System,
    name: &'static str,
    factor: f64,
    shown_from: f64,
    also: &'static [&'static str],
) -> Unit {
    Unit {
        kind,
        system,
        name,
        factor,
        zero: 0.0,
        shown_from,
        also,
    }
}

const fn temperature(
    system: System,
    name: &'static str,
    factor: f64,
    zero: f64,
    shown_from: f64,
    also: &'static [&'static str],
) -> Unit {
    Unit {
        kind: Kind::Temperature,
        system,
        name,
        factor,
        zero,
        shown_from,
        also,
    }
}

use Kind as K;
use System::{Both, Si, Us};

/// Every unit. The first unit of a kind and system is the one shown for small numbers.
#[rustfmt::skip]
pub static UNITS: &[Unit] = &[
    unit(K::Length, Us, "in", INCH, 0.0, &["inch", "inches", "ins", "\"", "\u{2033}"]),
    unit(K::Length, Us, "ft", FOOT, 3.0, &["foot", "feet", "'", "\u{2032}"]),
    unit(K::Length, Us, "yd", YARD, NEVER, &["yard", "yards"]),
    unit(K::Length, Si, "mm", 1e-3, 0.0, &["millimetre", "millimetres", "millimeter", "millimeters"]),
    unit(K::Length, Si, "cm", 1e-2, NEVER, &["centimetre", "centimetres", "centimeter", "centimeters"]),
    unit(K::Length, Si, "m", 1.0, 1.0, &["metre", "metres", "meter", "meters"]),
    unit(K::Length, Si, "km", 1e3, NEVER, &[]),
    unit(K::Area, Us, "ft2", FT2, 0.0, &["sq ft", "sqft", "sf", "square feet", "square foot"]),
    unit(K::Area, Us, "yd2", YARD * YARD, NEVER, &["sq yd", "sqyd", "square yards"]),
    unit(K::Area, Si, "m2", 1.0, 0.0, &["sq m", "sqm", "square metres", "square meters"]),
    unit(K::Volume, Us, "ft3", FT3, 0.0, &["cu ft", "cuft", "cf", "cubic feet"]),
    unit(K::Volume, Us, "yd3", YARD * YARD * YARD, NEVER, &["cu yd", "cuyd", "cubic yards"]),
    unit(K::Volume, Us, "gal", GALLON, NEVER, &["gallon", "gallons"]),
    unit(K::Volume, Us, "fl oz", FLUID_OUNCE, NEVER, &["floz", "fluid ounce", "fluid ounces"]),
    unit(K::Volume, Us, "pint", PINT, NEVER, &["pints", "pt"]),
    unit(K::Volume, Si, "m3", 1.0, 0.0, &["cubic metres", "cubic meters"]),
    unit(K::Volume, Si, "L", LITRE, NEVER, &["l", "litre", "litres", "liter", "liters"]),
    unit(K::Volume, Si, "mL", 1e-6, NEVER, &["ml", "millilitre", "millilitres", "milliliter", "milliliters"]),
    unit(K::Mass, Us, "lb", POUND, 0.0, &["lbs", "pound", "pounds"]),
    unit(K::Mass, Si, "kg", 1.0, 0.0, &["kilogram", "kilograms"]),
    unit(K::Mass, Si, "g", 1e-3, NEVER, &["gram", "grams"]),
    temperature(Us, "degF", RANKINE, 32.0, 0.0, &["F", "deg F", "fahrenheit", "degrees F"]),
    temperature(Si, "degC", 1.0, 0.0, 0.0, &["C", "deg C", "celsius", "degrees C"]),
    temperature(Si, "K", 1.0, 273.15, NEVER, &["kelvin"]),
    unit(K::TemperatureDifference, Us, "degF", RANKINE, 0.0, &["F", "deg F", "degrees F"]),
    unit(K::TemperatureDifference, Si, "K", 1.0, 0.0, &["kelvin", "degC", "C", "deg C", "degrees C"]),
    unit(K::Pressure, Us, "inHg", INHG, 0.0, &["in Hg"]),
    unit(K::Pressure, Us, "inH2O", 249.0889, NEVER, &["in H2O", "in wc", "inwc", "iwc"]),
    unit(K::Pressure, Us, "psf", POUND * 9.806_65 / FT2, NEVER, &["lb/ft2"]),
    unit(K::Pressure, Us, "psi", PSI, NEVER, &[]),
    unit(K::Pressure, Si, "Pa", 1.0, 0.0, &["pascal"]),
    unit(K::Pressure, Si, "hPa", 100.0, 100.0, &["mbar", "mb"]),
    unit(K::Pressure, Si, "kPa", 1000.0, NEVER, &[]),
    unit(K::RelativeHumidity, Both, "%", 0.01, 0.0, &["% RH", "%RH", "percent", "% rh", "%rh"]),
    unit(K::HumidityRatio, Us, "gr/lb", 1.0 / GRAINS_PER_POUND, 0.0, &["grains/lb", "grain/lb", "grains/pound", "gpp"]),
    unit(K::HumidityRatio, Us, "lb/lb", 1.0, NEVER, &[]),
    unit(K::HumidityRatio, Si, "g/kg", 1e-3, 0.0, &[]),
    unit(K::HumidityRatio, Si, "kg/kg", 1.0, NEVER, &[]),
    unit(K::Fraction, Both, "%", 0.01, 0.0, &["percent"]),
    unit(K::Duration, Both, "h", HOUR, 0.0, &["hr", "hrs", "hour", "hours"]),
    unit(K::Duration, Both, "days", DAY, 2.0, &["day", "d"]),
    unit(K::Duration, Both, "weeks", 7.0 * DAY, NEVER, &["week", "wk"]),
    unit(K::Duration, Both, "min", MINUTE, NEVER, &["minute", "minutes"]),
    unit(K::Duration, Both, "s", 1.0, NEVER, &["sec", "second", "seconds"]),
    unit(K::Speed, Us, "mph", MILE / HOUR, 0.0, &["mi/h", "miles/hour"]),
    unit(K::Speed, Us, "ft/min", FOOT / MINUTE, NEVER, &["fpm", "feet/minute"]),
    unit(K::Speed, Us, "kn", 1852.0 / HOUR, NEVER, &["kt", "knot", "knots"]),
    unit(K::Speed, Si, "m/s", 1.0, 0.0, &[]),
    unit(K::Speed, Si, "km/h", 1000.0 / HOUR, NEVER, &["kph"]),
    unit(K::AirFlow, Us, "cfm", CFM, 0.0, &["ft3/min", "CFM"]),
    unit(K::AirFlow, Si, "m3/h", 1.0 / HOUR, 0.0, &["m3/hr", "cmh"]),
    unit(K::AirFlow, Si, "L/s", LITRE, NEVER, &["l/s"]),
    unit(K::AirFlow, Si, "m3/s", 1.0, NEVER, &[]),
    unit(K::Power, Us, "Btu/h", BTU / HOUR, 0.0, &["BTU/h", "Btu/hr", "BTU/hr", "BTUH", "Btuh", "btu/hour"]),
    unit(K::Power, Us, "kBtu/h", 1e3 * BTU / HOUR, 10.0, &["kBtuh", "MBH"]),
    unit(K::Power, Us, "MMBtu/h", 1e6 * BTU / HOUR, NEVER, &["MMBtuh"]),
    unit(K::Power, Us, "tons", TON, NEVER, &["ton", "tons of refrigeration", "ton of refrigeration"]),
    unit(K::Power, Us, "hp", 745.699_871_582_270_2, NEVER, &["horsepower"]),
    unit(K::Power, Si, "W", 1.0, 0.0, &["watt", "watts"]),
    unit(K::Power, Si, "kW", 1e3, 1.0, &["kilowatt", "kilowatts"]),
    unit(K::Power, Si, "MW", 1e6, NEVER, &[]),
    unit(K::Energy, Us, "Btu", BTU, 0.0, &["BTU"]),
    unit(K::Energy, Us, "kBtu", 1e3 * BTU, NEVER, &[]),
    unit(K::Energy, Us, "MMBtu", 1e6 * BTU, 1.0, &[]),
    unit(K::Energy, Us, "therm", 1e5 * BTU, NEVER, &["therms"]),
    unit(K::Energy, Si, "kWh", KWH, 0.0, &["kilowatt-hours", "kilowatt-hour", "kW-h"]),
    unit(K::Energy, Si, "MJ", 1e6, NEVER, &[]),
    unit(K::Energy, Si, "MWh", 1e3 * KWH, NEVER, &[]),
    unit(K::Energy, Si, "J", 1.0, NEVER, &["joule", "joules"]),
    unit(K::Voltage, Both, "V", 1.0, 0.0, &["volt", "volts"]),
    unit(K::Current, Both, "A", 1.0, 0.0, &["amp", "amps", "ampere", "amperes"]),
    unit(K::ApparentPower, Both, "kVA", 1e3, 0.0, &["KVA"]),
    unit(K::ApparentPower, Both, "VA", 1.0, NEVER, &[]),
    unit(K::WaterRate, Us, "pint/day", PINT * WATER / DAY, 0.0, &["pints/day", "pt/day", "ppd", "pint"]),
    unit(K::WaterRate, Us, "gal/day", GALLON * WATER / DAY, NEVER, &["gallons/day", "gal/d", "gpd"]),
    unit(K::WaterRate, Us, "lb/h", POUND / HOUR, NEVER, &["lb/hr", "lbs/h", "lbs/hr"]),
    unit(K::WaterRate, Us, "lb/day", POUND / DAY, NEVER, &["lbs/day"]),
    unit(K::WaterRate, Si, "L/day", LITRE * WATER / DAY, 0.0, &["l/day", "L/d", "l/d", "L"]),
    unit(K::WaterRate, Si, "kg/day", 1.0 / DAY, NEVER, &["kg/d", "kg/24 h"]),
    unit(K::WaterRate, Si, "kg/h", 1.0 / HOUR, NEVER, &["kg/hr"]),
    unit(K::WaterRate, Si, "g/h", 1e-3 / HOUR, NEVER, &["g/hr"]),
    unit(K::WaterRate, Si, "kg/s", 1.0, NEVER, &[]),
    unit(K::MassFlux, Us, "lb/1000 ft2/24 h", POUND_PER_1000_FT2_DAY, 0.0, &["lb", "lb MVER"]),
    unit(K::MassFlux, Us, "lb/ft2/h", POUND / (FT2 * HOUR), NEVER, &["lb/(ft2 h)", "lb/ft2/hr"]),
    unit(K::MassFlux, Si, "g/m2/day", 1e-3 / DAY, 0.0, &["g/(m2 day)", "g/(m2 d)", "g/m2/24 h"]),
    unit(K::MassFlux, Si, "g/m2/h", 1e-3 / HOUR, NEVER, &["g/(m2 h)"]),
    unit(K::MassFlux, Si, "kg/m2/h", 1.0 / HOUR, NEVER, &["kg/(m2 h)"]),
    unit(K::MassFlux, Si, "kg/(m2 s)", 1.0, NEVER, &[]),
    unit(K::Permeance, Us, "perm", PERM, 0.0, &["perms", "gr/(h ft2 inHg)"]),
    unit(K::Permeance, Si, "ng/(s m2 Pa)", 1e-12, 0.0, &[]),
    unit(K::Permeance, Si, "metric perm", 1e-3 / (DAY * MMHG), NEVER, &["metric perms", "g/(m2 day mmHg)"]),
    unit(K::Permeance, Si, "kg/(m2 s Pa)", 1.0, NEVER, &[]),
    unit(K::VapourResistance, Us, "1/perm", 1.0 / PERM, 0.0, &["rep", "reps", "/perm"]),
    unit(K::VapourResistance, Si, "GPa s m2/kg", 1e9, 0.0, &[]),
    unit(K::VapourResistance, Si, "MN s/g", 1e9, NEVER, &["MNs/g"]),
    unit(K::VapourResistance, Si, "m2 s Pa/kg", 1.0, NEVER, &[]),
    unit(K::Density, Us, "lb/yd3", POUND / (YARD * YARD * YARD), 0.0, &["lbs/yd3", "lb/cu yd", "pcy"]),
    unit(K::Density, Us, "sack/yd3", SACK / (YARD * YARD * YARD), NEVER, &[]),
    unit(K::Density, Us, "lb/ft3", POUND / FT3, NEVER, &["lbs/ft3", "lb/cu ft", "pcf"]),
    unit(K::Density, Us, "gal/yd3", GALLON * WATER / (YARD * YARD * YARD), NEVER, &["gal/cu yd", "gallons/yd3"]),
    unit(K::Density, Si, "kg/m3", 1.0, 0.0, &[]),
    unit(K::UValue, Us, "Btu/(h ft2 degF)", BTU / (HOUR * FT2 * RANKINE), 0.0, &["Btu/(h ft2 F)", "BTU/(h ft2 F)", "Btu/(hr ft2 F)"]),
    unit(K::UValue, Si, "W/(m2 K)", 1.0, 0.0, &["W/m2K", "W/(m2K)"]),
    unit(K::HeatLoss, Us, "Btu/(h degF)", BTU / (HOUR * RANKINE), 0.0, &["Btu/(h F)", "BTU/(h F)", "Btu/(hr F)"]),
    unit(K::HeatLoss, Si, "W/K", 1.0, 0.0, &[]),
    unit(K::HeatLoss, Si, "kW/K", 1e3, NEVER, &[]),
    unit(K::WaterDepth, Us, "in", INCH, 0.0, &["inch", "inches", "\""]),
    unit(K::WaterDepth, Si, "mm", 1e-3, 0.0, &["millimetre", "millimetres", "L/m2"]),
    unit(K::WaterDepth, Si, "cm", 1e-2, NEVER, &[]),
    unit(K::WaterDepth, Si, "m", 1.0, NEVER, &[]),
    unit(K::Strength, Us, "psi", PSI, 0.0, &["PSI"]),
    unit(K::Strength, Us, "ksi", 1e3 * PSI, NEVER, &[]),
    unit(K::Strength, Si, "MPa", 1e6, 0.0, &["N/mm2"]),
    unit(K::EnergyFactor, Us, "pint/kWh", PINT * WATER / KWH, 0.0, &["pints/kWh", "pt/kWh"]),
    unit(K::EnergyFactor, Si, "L/kWh", LITRE * WATER / KWH, 0.0, &["l/kWh", "litres/kWh", "liters/kWh"]),
    unit(K::EnergyFactor, Si, "kg/kWh", 1.0 / KWH, NEVER, &[]),
    unit(K::Money, Both, "$", 1.0, 0.0, &[]),
    unit(K::MoneyPerDay, Both, "$/day", 1.0 / DAY, 0.0, &["$/d", "$/24 h"]),
    unit(K::MoneyPerDay, Both, "$/week", 1.0 / (7.0 * DAY), NEVER, &["$/wk"]),
    unit(K::MoneyPerDay, Both, "$/28 days", 1.0 / (RENTAL_MONTH * DAY), NEVER, &["$/month", "$/4 weeks"]),
    unit(K::MoneyPerDay, Both, "$/h", 1.0 / HOUR, NEVER, &["$/hr", "$/hour"]),
    unit(K::MoneyPerEnergy, Both, "$/kWh", 1.0 / KWH, 0.0, &[]),
    unit(K::MoneyPerEnergy, Both, "$/MWh", 1e-3 / KWH, NEVER, &[]),
    unit(K::MoneyPerEnergy, Both, "$/MJ", 1e-6, NEVER, &[]),
    unit(K::MoneyPerArea, Us, "$/ft2", 1.0 / FT2, 0.0, &["$/sf", "$/sq ft", "$/sqft"]),
    unit(K::MoneyPerArea, Si, "$/m2", 1.0, 0.0, &["$/sq m", "$/sqm"]),
    unit(K::PropanePrice, Us, "$/gal", 1.0 / (GALLON * PROPANE_GROSS_HEAT), 0.0, &["$/gallon"]),
    unit(K::PropanePrice, Us, "$/MMBtu", 1e-6 / BTU, NEVER, &[]),
    unit(K::PropanePrice, Si, "$/kWh", 1.0 / KWH, 0.0, &[]),
    unit(K::PropanePrice, Si, "$/L", 1.0 / (LITRE * PROPANE_GROSS_HEAT), NEVER, &["$/l", "$/litre", "$/liter"]),
    unit(K::NaturalGasPrice, Us, "$/therm", 1e-5 / BTU, 0.0, &[]),
    unit(K::NaturalGasPrice, Us, "$/MMBtu", 1e-6 / BTU, NEVER, &[]),
    unit(K::NaturalGasPrice, Us, "$/1000 ft3", 1e-3 / (FT3 * NATURAL_GAS_GROSS_HEAT), NEVER, &["$/Mcf"]),
    unit(K::NaturalGasPrice, Si, "$/kWh", 1.0 / KWH, 0.0, &[]),
    unit(K::NaturalGasPrice, Si, "$/m3", 1.0 / NATURAL_GAS_GROSS_HEAT, NEVER, &[]),
    unit(K::KerosenePrice, Us, "$/gal", 1.0 / (GALLON * KEROSENE_GROSS_HEAT), 0.0, &["$/gallon"]),
    unit(K::KerosenePrice, Us, "$/MMBtu", 1e-6 / BTU, NEVER, &[]),
    unit(K::KerosenePrice, Si, "$/L", 1.0 / (LITRE * KEROSENE_GROSS_HEAT), 0.0, &["$/l", "$/litre", "$/liter"]),
    unit(K::KerosenePrice, Si, "$/kWh", 1.0 / KWH, NEVER, &[]),
    unit(K::DieselPrice, Us, "$/gal", 1.0 / (GALLON * DIESEL_GROSS_HEAT), 0.0, &["$/gallon"]),
    unit(K::DieselPrice, Us, "$/MMBtu", 1e-6 / BTU, NEVER, &[]),
    unit(K::DieselPrice, Si, "$/L", 1.0 / (LITRE * DIESEL_GROSS_HEAT), 0.0, &["$/l", "$/litre", "$/liter"]),
    unit(K::DieselPrice, Si, "$/kWh", 1.0 / KWH, NEVER, &[]),
];

/// Currencies that may stand where the table says `$`: the spelling printed, then others read.
/// Their rates are never converted; a scenario keeps to one.
pub static CURRENCIES: &[(&str, &[&str])] = &[
    ("$", &["USD", "usd", "US$", "dollars", "dollar"]),
    ("EUR", &["\u{20ac}", "euros", "euro", "eur"]),
    ("GBP", &["\u{a3}", "gbp"]),
    ("CAD", &["C$", "cad"]),
    ("AUD", &["A$", "aud"]),
    ("NZD", &["NZ$", "nzd"]),
    ("CHF", &["chf"]),
    ("SEK", &["sek"]),
    ("NOK", &["nok"]),
    ("DKK", &["dkk"]),
    ("PLN", &["pln"]),
    ("JPY", &["\u{a5}", "jpy"]),
];
