//! Tests of the `units` room.

use approx::assert_relative_eq;
use coatday::units::table::{UNITS, Unit};
use coatday::units::{
    AirFlow, Amount, Area, DieselPrice, Duration, EnergyFactor, HeatLoss, HumidityRatio, Kind,
    Length, MassFlux, MoneyPerDay, MoneyPerEnergy, Permeance, Power, PropanePrice,
    RelativeHumidity, Strength, System, Temperature, TemperatureDifference, UValue,
    VapourResistance, WaterRate, dates, parse, parse_fitting, ranges,
};
use jiff::civil::date;
use proptest::prelude::*;

fn si(kind: Kind, text: &str) -> f64 {
    match parse(kind, text) {
        Ok(amount) => amount.si(),
        Err(fault) => panic!("{text}: {} {}", fault.message, fault.help),
    }
}

/// Factors of NIST Special Publication 811 (2008), appendix B.8, as printed there (six to seven digits).
#[test]
fn ref_factors_of_sp_811() {
    for (kind, text, expected) in [
        (Kind::Length, "1 in", 2.54e-2),
        (Kind::Length, "1 ft", 3.048e-1),
        (Kind::Length, "1 yd", 9.144e-1),
        (Kind::Area, "1 ft2", 9.290_304e-2),
        (Kind::Volume, "1 ft3", 2.831_685e-2),
        (Kind::Volume, "1 gal", 3.785_412e-3),
        (Kind::Volume, "1 pint", 4.731_765e-4),
        (Kind::Volume, "1 yd3", 7.645_549e-1),
        (Kind::Mass, "1 lb", 4.535_924e-1),
        (Kind::Pressure, "1 inHg", 3.386_389e3),
        (Kind::Pressure, "1 psi", 6.894_757e3),
        (Kind::Speed, "1 mph", 4.4704e-1),
        (Kind::Speed, "1 ft/min", 5.08e-3),
        (Kind::Speed, "1 kn", 5.144_444e-1),
        (Kind::AirFlow, "1 cfm", 4.719_474e-4),
        (Kind::Power, "1 Btu/h", 2.930_711e-1),
        (Kind::Power, "1 hp", 7.456_999e2),
        (Kind::Energy, "1 Btu", 1.055_056e3),
        (Kind::Density, "1 lb/ft3", 1.601_846e1),
        (Kind::Density, "1 lb/yd3", 5.932_764e-1),
        (Kind::UValue, "1 Btu/(h ft2 degF)", 5.678_263),
    ] {
        assert_relative_eq!(si(kind, text), expected, max_relative = 5e-7);
    }
    // SP 811 prints perm at 0 degC, where its inch of mercury is 3386.38 Pa: five digits agree.
    assert_relative_eq!(
        si(Kind::Permeance, "1 perm"),
        5.721_35e-11,
        max_relative = 5e-6
    );
    assert_relative_eq!(si(Kind::Temperature, "68 degF"), 20.0, epsilon = 1e-12);
    assert_relative_eq!(si(Kind::Temperature, "-40 degF"), -40.0, epsilon = 1e-12);
}

/// Worked by hand from the definitions.
#[test]
fn analytic_compound_units() {
    // ASTM F1869 gives 1 lb/1000 ft2/24 h as 56.51 micrograms per second and square metre (from memory).
    assert_relative_eq!(
        si(Kind::MassFlux, "1 lb/1000 ft2/24 h"),
        56.51e-9,
        max_relative = 1e-4
    );
    assert_relative_eq!(
        si(Kind::MassFlux, "3 lb/1000 ft2/24 h"),
        3.0 * 0.453_592_37 / (1000.0 * 0.3048 * 0.3048) / 86_400.0,
        max_relative = 1e-14
    );
    assert_relative_eq!(
        si(Kind::WaterRate, "70 pint/day") * 86_400.0,
        33.122_353,
        max_relative = 1e-7
    );
    assert_relative_eq!(
        si(Kind::EnergyFactor, "2.8 L/kWh"),
        2.8 / 3.6e6,
        max_relative = 1e-14
    );
    assert_relative_eq!(
        si(Kind::HumidityRatio, "70 gr/lb"),
        0.010,
        max_relative = 1e-14
    );
    assert_relative_eq!(
        si(Kind::HeatLoss, "1000 Btu/(h degF)"),
        527.527_926,
        max_relative = 1e-8
    );
    assert_relative_eq!(
        si(Kind::VapourResistance, "2 1/perm"),
        2.0 / si(Kind::Permeance, "1 perm"),
        max_relative = 1e-14
    );
    assert_relative_eq!(
        si(Kind::MoneyPerDay, "7 $/week"),
        7.0 / 604_800.0,
        max_relative = 1e-14
    );
}

/// Gross heats of the U.S. Energy Information Administration: 91,333 Btu/gal propane, 135,000 kerosene, 137,381 diesel, 1,030 Btu/ft3 gas.
#[test]
fn ref_fuel_prices_per_gross_heat() {
    for (kind, text, btu) in [
        (Kind::PropanePrice, "1 $/gal", 91_333.0),
        (Kind::KerosenePrice, "1 $/gal", 135_000.0),
        (Kind::DieselPrice, "1 $/gal", 137_381.0),
        (Kind::NaturalGasPrice, "1 $/1000 ft3", 1_030_000.0),
        (Kind::NaturalGasPrice, "1 $/therm", 100_000.0),
    ] {
        assert_relative_eq!(si(kind, text), 1.0 / (btu * 1_055.056), max_relative = 5e-6);
    }
}

#[test]
fn regress_spellings_that_are_read() {
    for (kind, text, expected) in [
        (Kind::Length, "4in", 0.1016),
        (Kind::Length, " 4 in ", 0.1016),
        (Kind::Length, "4 Inches", 0.1016),
        (Kind::Length, "4\"", 0.1016),
        (Kind::Length, "1/4 in", 0.00635),
        (Kind::Length, "3 1/2 in", 0.0889),
        (Kind::Length, "4 ft 6 in", 1.3716),
        (Kind::Length, "4' 6 1/2\"", 1.3843),
        (Kind::Length, "4'-6\"", 1.3716),
        (Kind::Length, "1e2 mm", 0.1),
        (Kind::Length, ".5 m", 0.5),
        (Kind::Length, "-5 m", -5.0),
        (Kind::Area, "5000 sq ft", 464.5152),
        (Kind::Area, "5000 sf", 464.5152),
        (Kind::Area, "5000 ft^2", 464.5152),
        (Kind::Area, "450 m\u{b2}", 450.0),
        (Kind::Temperature, "73 degF", (73.0 - 32.0) / 1.8),
        (Kind::Temperature, "73 F", (73.0 - 32.0) / 1.8),
        (Kind::Temperature, "73 \u{b0}F", (73.0 - 32.0) / 1.8),
        (Kind::Temperature, "73 deg F", (73.0 - 32.0) / 1.8),
        (Kind::Temperature, "23 \u{b0}C", 23.0),
        (Kind::Temperature, "23\u{2103}", 23.0),
        (Kind::TemperatureDifference, "9 degF", 5.0),
        (Kind::TemperatureDifference, "5 degC", 5.0),
        (Kind::RelativeHumidity, "75 %", 0.75),
        (Kind::RelativeHumidity, "75%", 0.75),
        (Kind::RelativeHumidity, "75 %RH", 0.75),
        (Kind::RelativeHumidity, "75 % rh", 0.75),
        (Kind::Duration, "7 days", 604_800.0),
        (Kind::Duration, "1 day", 86_400.0),
        (Kind::Duration, "2 days 12 h", 216_000.0),
        (Kind::Duration, "90 min", 5_400.0),
        (
            Kind::WaterRate,
            "70 pints per day",
            70.0 * 0.473_176_473 / 86_400.0,
        ),
        (Kind::WaterRate, "70 PPD", 70.0 * 0.473_176_473 / 86_400.0),
        (Kind::Power, "45 KW", 45_000.0),
        (Kind::Power, "1000 BTU/hr", 293.071_070_172_222),
        (Kind::Permeance, "6 ng/(s\u{b7}m\u{b2}\u{b7}Pa)", 6e-12),
        (Kind::Permeance, "6 ng/(Pa s m2)", 6e-12),
        (Kind::VapourResistance, "0.5 GPa s m2/kg", 5e8),
        (Kind::VapourResistance, "0.5 m2 s GPa/kg", 5e8),
        (Kind::UValue, "1.1 W/m2K", 1.1),
        (Kind::UValue, "1.1 W/m2/K", 1.1),
        (Kind::MoneyPerDay, "$35/day", 35.0 / 86_400.0),
        (Kind::MoneyPerDay, "35 $/day", 35.0 / 86_400.0),
        (Kind::MoneyPerDay, "35 EUR per day", 35.0 / 86_400.0),
        (Kind::MoneyPerDay, "\u{20ac} 35/day", 35.0 / 86_400.0),
        (Kind::Money, "$350", 350.0),
        (Kind::MoneyPerEnergy, "0.15 USD/kWh", 0.15 / 3.6e6),
    ] {
        assert_relative_eq!(si(kind, text), expected, max_relative = 1e-9);
    }
}

/// What people of the trade type, and what is read: the echo in the unit's one spelling.
#[test]
fn regress_what_people_type_and_its_echo() {
    for (kind, text, echo) in [
        (Kind::Area, "5,000 ft2", "5000 ft2"),
        (Kind::Area, "1,234,567 sq ft", "1234567 ft2"),
        (Kind::Area, "12,500.5 SF", "12500.5 ft2"),
        (Kind::Area, "5000 sq. ft.", "5000 ft2"),
        (Kind::Area, "16 500 m2", "16500 m2"),
        (Kind::Area, "500 square feet", "500 ft2"),
        (Kind::Length, "6'-0\"", "72 in"),
        (Kind::Length, "5'6", "66 in"),
        (Kind::Length, "5'6\"", "66 in"),
        (Kind::Length, "5' 6 1/2\"", "66.5 in"),
        (Kind::Length, "5'-6-1/2\"", "66.5 in"),
        (Kind::Length, "6\u{2019}\u{2013}2\u{201d}", "74 in"),
        (Kind::Length, "6 ft 2 in", "74 in"),
        (Kind::Length, "18'", "18 ft"),
        (Kind::Length, "5-1/2 in", "5.5 in"),
        (Kind::Length, "5 1/2\"", "5.5 in"),
        (Kind::Length, "5\u{bd} in.", "5.5 in"),
        (Kind::Length, "1/2\"", "0.5 in"),
        (Kind::Length, "3/4-inch", "0.75 in"),
        (Kind::WaterDepth, "1/4\"", "0.25 in"),
        (Kind::Temperature, "70F", "70 degF"),
        (Kind::Temperature, "70 F", "70 degF"),
        (Kind::Temperature, "70\u{b0}F", "70 degF"),
        (Kind::Temperature, "70 deg. F", "70 degF"),
        (Kind::Temperature, "\u{2212}5 C", "-5 degC"),
        (Kind::Power, "250 kBtu/h", "250 kBtu/h"),
        (Kind::Power, "150,000 BTU/hr", "150000 Btu/h"),
        (Kind::Power, "170 MBH", "170 kBtu/h"),
        (Kind::Power, "5 tons", "5 tons"),
        (Kind::Power, "1.2 MMBtu/h", "1.2 MMBtu/h"),
        (Kind::Energy, "12 therms", "12 therm"),
        (Kind::Energy, "100 kBtu", "100 kBtu"),
        (Kind::Volume, "500 gals", "500 gal"),
        (Kind::AirFlow, "2,000 CFM", "2000 cfm"),
        (Kind::Speed, "400 fpm", "400 ft/min"),
        (Kind::WaterRate, "130 pt/day", "130 pint/day"),
        (Kind::WaterRate, "130 ppd", "130 pint/day"),
        (Kind::WaterRate, "130 pints a day", "130 pint/day"),
        (Kind::WaterRate, "130 pints per 24 hours", "130 pint/day"),
        (Kind::WaterRate, "130 pints", "130 pint/day"),
        (Kind::MassFlux, "3 lbs", "3 lb/1000 ft2/24 h"),
        (
            Kind::MassFlux,
            "3 lb per 1,000 sq. ft. per 24 hours",
            "3 lb/1000 ft2/24 h",
        ),
        (Kind::MassFlux, "3 lbs/1000sf/24hr", "3 lb/1000 ft2/24 h"),
        (Kind::Pressure, "0.5 in wc", "0.5 inH2O"),
        (Kind::Pressure, "2 psf", "2 psf"),
        (Kind::Density, "6 sacks/cy", "6 sack/yd3"),
        (Kind::UValue, "0.2 Btu/hr-ft2-F", "0.2 Btu/(h ft2 degF)"),
        (Kind::Fraction, "80 pct", "80 %"),
        (Kind::MoneyPerDay, "$120/day", "120 $/day"),
        (Kind::MoneyPerDay, "$120 a day", "120 $/day"),
        (Kind::MoneyPerDay, "120 dollars per day", "120 $/day"),
        (Kind::MoneyPerDay, "$1,900/month", "1900 $/28 days"),
        (Kind::MoneyPerDay, "$1,900/mo", "1900 $/28 days"),
        (Kind::MoneyPerDay, "$500 per week", "500 $/week"),
        (Kind::MoneyPerDay, "$500 weekly", "500 $/week"),
        (Kind::MoneyPerDay, "$45/hr", "45 $/h"),
        (Kind::MoneyPerEnergy, "$0.15/kWh", "0.15 $/kWh"),
        (Kind::MoneyPerEnergy, "15 cents/kWh", "0.15 $/kWh"),
        (Kind::MoneyPerEnergy, "$.15 per kWh", "0.15 $/kWh"),
        (Kind::PropanePrice, "$2.80/gal", "2.8 $/gal"),
        (Kind::NaturalGasPrice, "$1.20 per therm", "1.2 $/therm"),
        (Kind::Money, "$1,900", "1900 $"),
        (Kind::MoneyPerDay, "$475/28 days", "475 $/28 days"),
        (Kind::NaturalGasPrice, "$5/1000 ft3", "5 $/1000 ft3"),
        (Kind::Money, "1,900 euros", "1900 EUR"),
        (Kind::MoneyPerArea, "$6/sq ft", "6 $/ft2"),
    ] {
        assert_eq!(echo_of(kind, text), echo, "{text}");
        // The echo is read as itself.
        assert_eq!(echo_of(kind, echo), echo);
    }
    // A month of hire is four weeks (common practice, no published source).
    let month: MoneyPerDay = "$1,900/month".parse().unwrap();
    let week: MoneyPerDay = "$475/week".parse().unwrap();
    assert_relative_eq!(month.si(), week.si(), max_relative = 1e-14);
    // 12,000 Btu/h to the ton (SP 811: 3.516 853 E+03 W).
    assert_relative_eq!(si(Kind::Power, "1 ton"), 3.516_853e3, max_relative = 5e-7);
    assert_relative_eq!(si(Kind::Pressure, "1 psf"), 47.880_26, max_relative = 5e-7);
}

/// Every kind as its type prints it.
macro_rules! echoes {
    ($kind:expr, $text:expr, $($name:ident),+ $(,)?) => {
        match $kind {
            $(Kind::$name => $text.parse::<coatday::units::$name>().map(|read| read.to_string()),)+
        }
    };
}

fn echo_of(kind: Kind, text: &str) -> String {
    echo(kind, text).unwrap_or_else(|fault| panic!("{text}: {} {}", fault.message, fault.help))
}

fn echo(kind: Kind, text: &str) -> Result<String, coatday::units::UnitFault> {
    echoes!(
        kind,
        text,
        Length,
        Area,
        Volume,
        Mass,
        Temperature,
        TemperatureDifference,
        Pressure,
        RelativeHumidity,
        HumidityRatio,
        Fraction,
        Duration,
        Speed,
        AirFlow,
        Power,
        Energy,
        Voltage,
        Current,
        ApparentPower,
        WaterRate,
        MassFlux,
        Permeance,
        VapourResistance,
        Density,
        UValue,
        HeatLoss,
        WaterDepth,
        Strength,
        EnergyFactor,
        Money,
        MoneyPerDay,
        MoneyPerEnergy,
        MoneyPerArea,
        PropanePrice,
        NaturalGasPrice,
        KerosenePrice,
        DieselPrice,
    )
}

/// Days as people write them.
#[test]
fn regress_days_and_moments_that_are_read() {
    for text in [
        "2027-03-15",
        "2027/3/15",
        "3/15/2027",
        "15/3/2027",
        "15.3.2027",
        "Mar 15 2027",
        "Mar. 15, 2027",
        "MARCH 15 2027",
        "March 15th, 2027",
        "15 Mar 2027",
        "15. March 2027",
        "15-Mar-2027",
        "15th of March 2027",
        "Mon Mar 15, 2027",
        "Monday, 15 March 2027",
    ] {
        assert_eq!(dates::date(text).unwrap(), date(2027, 3, 15), "{text}");
    }
    // The same day either way; a day of the week that settles the order.
    assert_eq!(dates::date("3/3/2027").unwrap(), date(2027, 3, 3));
    assert_eq!(dates::date("Mon 3/1/2027").unwrap(), date(2027, 3, 1));
    assert_eq!(dates::date("Sun 3/1/2027").unwrap(), date(2027, 1, 3));
    for (text, hour, minute, second) in [
        ("2027-03-15 15:00", 15, 0, 0),
        ("2027-03-15T08:30:15", 8, 30, 15),
        ("Mar 15 2027, 3 pm", 15, 0, 0),
        ("Mar 15 2027 at 3:30 PM", 15, 30, 0),
        ("3/15/2027 12:05am", 0, 5, 0),
        ("15 Mar 2027 12 pm", 12, 0, 0),
    ] {
        assert_eq!(
            dates::moment(text).unwrap(),
            date(2027, 3, 15).at(hour, minute, second, 0),
            "{text}"
        );
    }
}

/// What can be two days is refused with both; what is none says how to write one.
#[test]
fn regress_days_that_are_refused() {
    for (text, help) in [
        ("3/1/2027", "Write \"Mar 1 2027\" or \"3 Jan 2027\"."),
        ("03-01-2027", "Write \"Mar 1 2027\" or \"3 Jan 2027\"."),
        ("1.12.2026", "Write \"Jan 12 2026\" or \"1 Dec 2026\"."),
        ("Tue 3/1/2027", "Write \"Mar 1 2027\" or \"3 Jan 2027\"."),
        ("2/30/2027", dates::DATE_HELP),
        ("2027-13-01", dates::DATE_HELP),
        ("13/13/2027", dates::DATE_HELP),
        ("tomorrow", dates::DATE_HELP),
        ("", dates::DATE_HELP),
        ("Mar 15", "Write the year too, such as \"Nov 2 2026\"."),
        ("3/15/27", "Write the year in full, such as \"Nov 2 2026\"."),
        (
            "Tue Mar 15, 2027",
            "Write \"Mon Mar 15 2027\", or correct the date.",
        ),
        ("Mar 15 1066", "The year must lie between 1900 and 2150."),
    ] {
        assert_eq!(dates::date(text).unwrap_err().help, help, "{text}");
    }
    for (text, help) in [
        (
            "3/1/2027 3 pm",
            "Write \"Mar 1 2027 3 pm\" or \"3 Jan 2027 3 pm\".",
        ),
        ("2027-03-15", dates::MOMENT_HELP),
        ("2027-03-15 25:00", dates::MOMENT_HELP),
        ("2027-03-15 13 pm", dates::MOMENT_HELP),
        (
            "Mar 15 08:30",
            "Write the year too, such as \"Nov 2 2026\".",
        ),
        (
            "2027-03-15 15:00Z",
            "Write the site's local standard time, such as \"2026-11-20 15:00\".",
        ),
    ] {
        assert_eq!(dates::moment(text).unwrap_err().help, help, "{text}");
    }
}

fn fault(kind: Kind, text: &str) -> String {
    match parse(kind, text) {
        Ok(amount) => panic!("{text} was read as {amount:?}"),
        Err(fault) => format!("{} {}", fault.message, fault.help),
    }
}

#[test]
fn regress_texts_of_faults() {
    const LENGTH: &str = "Write a length as text with its unit, for example \"5 in\" or \"125 mm\". Units: in, ft, yd, mm, cm, m, km.";
    for (kind, text, message) in [
        (Kind::Length, "", "\"\" does not start with a number."),
        (
            Kind::Length,
            "five in",
            "\"five in\" does not start with a number.",
        ),
        (
            Kind::Length,
            "NaN m",
            "\"NaN m\" does not start with a number.",
        ),
        (
            Kind::Length,
            "inf m",
            "\"inf m\" does not start with a number.",
        ),
        (
            Kind::Length,
            "1e400 m",
            "\"1e400 m\": this number is too large.",
        ),
        (
            Kind::Length,
            "1e308 km",
            "\"1e308 km\" is too large a number.",
        ),
        (
            Kind::Length,
            "1e-400 m",
            "\"1e-400 m\": this number is too small.",
        ),
        (
            Kind::Length,
            "1/0 in",
            "\"1/0 in\": a fraction cannot be over zero.",
        ),
        (
            Kind::Length,
            "5 parsec",
            "\"parsec\" is not a unit of length.",
        ),
        (
            Kind::Length,
            "5 inchs",
            "\"inchs\" is not a unit of length. Did you mean \"in\"?",
        ),
        (
            Kind::Length,
            "5 degF",
            "\"degF\" is a unit of temperature, but a length is needed here.",
        ),
        (
            Kind::Length,
            "4 ft 14 in",
            "\"ft 14 in\" is not a unit of length.",
        ),
        (
            Kind::Length,
            "4 in 6 ft",
            "\"in 6 ft\" is not a unit of length.",
        ),
    ] {
        assert_eq!(fault(kind, text), format!("{message} {LENGTH}"));
    }
    assert_eq!(
        fault(Kind::RelativeHumidity, "0.75"),
        "\"0.75\" has no unit. Write \"75 %\". Units: %."
    );
    assert_eq!(
        fault(Kind::AirFlow, "5 mph"),
        "\"mph\" is a unit of speed, but an air flow is needed here. \
         Write an air flow as text with its unit, for example \"300 cfm\" or \"500 m3/h\". Units: cfm, m3/h, L/s, m3/s."
    );
    assert!(
        fault(Kind::Length, &"9".repeat(5000))
            .starts_with("This length has 5000 characters, too many to be one.")
    );
    assert!(
        fault(Kind::MoneyPerDay, "$35 $/day")
            .starts_with("\"$/day\" is not a unit of price per day.")
    );
    // Texts that can mean two things, and numbers without a unit: both readings, ready to paste.
    for (kind, text, whole) in [
        (
            Kind::Length,
            "5",
            "\"5\" has no unit. Write \"5 in\" or \"5 mm\".",
        ),
        (
            Kind::Length,
            "1,5 m",
            "\"1,5 m\": the comma can mean two things. Write \"1.5 m\" or \"15 m\".",
        ),
        (
            Kind::Area,
            "12,34 ft2",
            "\"12,34 ft2\": the comma can mean two things. Write \"12.34 ft2\" or \"1234 ft2\".",
        ),
        (
            Kind::Length,
            "0,125 m",
            "\"0,125 m\": the comma can mean two things. Write \"0.125 m\".",
        ),
        (
            Kind::Area,
            "1234,567 ft2",
            "\"1234,567 ft2\": the comma can mean two things. Write \"1234.567 ft2\" or \"1234567 ft2\".",
        ),
        (
            Kind::Area,
            "1,2345 ft2",
            "\"1,2345 ft2\": the comma can mean two things. Write \"1.2345 ft2\" or \"12345 ft2\".",
        ),
        (
            Kind::NaturalGasPrice,
            "$5",
            "\"$5\" has no unit. Write \"$5/therm\" or \"$5/kWh\".",
        ),
        (
            Kind::Area,
            "1,234,56 ft2",
            "\"1,234,56 ft2\": the comma can mean two things. Write \"123456 ft2\".",
        ),
        (
            Kind::MoneyPerDay,
            "$1,5/day",
            "\"$1,5/day\": the comma can mean two things. Write \"$1.5/day\" or \"$15/day\".",
        ),
        (
            Kind::Temperature,
            "70",
            "\"70\" has no unit. Write \"70 F\" or \"70 C\".",
        ),
        (
            Kind::MoneyPerDay,
            "$120",
            "\"$120\" has no unit. Write \"$120/day\" or \"$120/week\".",
        ),
        (
            Kind::MoneyPerEnergy,
            "0.15",
            "\"0.15\" has no unit. Write \"$0.15/kWh\" or \"$0.15/MWh\".",
        ),
        (
            Kind::Duration,
            "7",
            "\"7\" has no unit. Write \"7 h\" or \"7 days\".",
        ),
        (
            Kind::MassFlux,
            "3",
            "\"3\" has no unit. Write \"3 lb/1000 ft2/24 h\" or \"3 g/m2/day\".",
        ),
        (
            Kind::Money,
            "1,900",
            "\"1,900\" has no unit. Write \"$1,900\".",
        ),
        (
            Kind::Power,
            "5,000",
            "\"5,000\" has no unit. Write \"5,000 Btu/h\" or \"5,000 W\".",
        ),
    ] {
        let said = fault(kind, text);
        assert!(said.starts_with(whole), "{said}");
        // What is offered can be pasted.
        for offered in whole.split("Write ").nth(1).unwrap().split(" or ") {
            let offered = offered.trim_end_matches('.').trim_matches('"');
            assert!(parse(kind, offered).is_ok(), "{offered}");
        }
    }
    // Of the units only those whose value can be meant at the place.
    let thin = |metres: f64| (0.02..=1.5).contains(&metres);
    let offered = |number: &str| parse_fitting(Kind::Length, number, &thin).unwrap_err().help;
    assert!(
        offered("5").starts_with("Write \"5 in\" or \"5 cm\"."),
        "{}",
        offered("5")
    );
    assert!(
        offered("150").starts_with("Write \"150 mm\"."),
        "{}",
        offered("150")
    );
}

#[test]
fn regress_shown_in_both_systems() {
    let length: Length = "5 in".parse().unwrap();
    assert_eq!(
        [length.in_us(), length.in_si(), length.to_string()],
        ["5 in", "127 mm", "5 in"]
    );
    let height: Length = "4 m".parse().unwrap();
    assert_eq!([height.in_us(), height.in_si()], ["13.12 ft", "4 m"]);
    let typed: Length = "123.456789 mm".parse().unwrap();
    assert_eq!(
        [typed.in_us(), typed.in_si()],
        ["4.861 in", "123.456789 mm"]
    );
    let warm: Temperature = "73 F".parse().unwrap();
    assert_eq!(
        [warm.in_us(), warm.in_si()],
        ["73 \u{b0}F", "22.78 \u{b0}C"]
    );
    let spread: TemperatureDifference = "3 K".parse().unwrap();
    assert_eq!(spread.in_us(), "5.4 \u{b0}F");
    let flux: MassFlux = "3 lb/1000 ft2/24 h".parse().unwrap();
    assert_eq!(flux.in_si(), "14.65 g/m2/day");
    let rent: MoneyPerDay = "\u{20ac}35/day".parse().unwrap();
    assert_eq!(
        [rent.to_string(), rent.in_us()],
        ["35 EUR/day", "35 EUR/day"]
    );
    let fuel: PropanePrice = "2.8 $/gal".parse().unwrap();
    assert_eq!([fuel.in_us(), fuel.in_si()], ["$2.8/gal", "$0.1046/kWh"]);
    let floor: Area = "5000 ft2".parse().unwrap();
    assert_eq!([floor.in_us(), floor.in_si()], ["5,000 ft2", "464.5 m2"]);
    let power: Power = "150000 Btu/h".parse().unwrap();
    assert_eq!(power.in_si(), "43.96 kW");
    let rate: WaterRate = "130 pint/day".parse().unwrap();
    assert_eq!(rate.in_si(), "61.51 L/day");
    assert_eq!(Length::from_si(1.0).to_string(), "1 m");
    assert_eq!(RelativeHumidity::from_si(0.75).to_string(), "75 %");
    let zero: Length = "0 m".parse().unwrap();
    assert_eq!(zero.in_us(), "0 in");
    let large: HeatLoss = "123456 W/K".parse().unwrap();
    assert_eq!(large.in_us(), "234,027 Btu/(h degF)");
}

#[test]
fn regress_serde_as_text() {
    let length: Length = serde_json::from_str("\"5 in\"").unwrap();
    assert_eq!(serde_json::to_string(&length).unwrap(), "\"5 in\"");
    let error = serde_json::from_str::<Length>("5").unwrap_err().to_string();
    assert!(
        error.starts_with("\"5\" has no unit. Write \"5 in\" or \"5 mm\". Units: in,"),
        "{error}"
    );
    assert!(serde_json::from_str::<Duration>("null").is_err());
    assert!(serde_json::from_str::<UValue>("[]").is_err());
}

#[test]
fn regress_table_is_complete() {
    for kind in Kind::ALL {
        assert_eq!(Kind::named(kind.name()), Some(kind));
        for system in [System::Us, System::Si] {
            let shown = |unit: &Unit| {
                (unit.system == system || unit.system == System::Both) && unit.shown_from == 0.0
            };
            assert_eq!(
                kind.units().filter(|unit| shown(unit)).count(),
                1,
                "{kind:?} {system:?}"
            );
        }
        for example in kind.examples() {
            assert!(parse(kind, example).is_ok(), "{kind:?} {example}");
        }
        for unit in kind.units() {
            for spelling in std::iter::once(&unit.name).chain(unit.also) {
                let amount = parse(kind, &format!("2.5 {spelling}"))
                    .unwrap_or_else(|fault| panic!("{kind:?} {spelling}: {fault}"));
                assert_eq!(amount.unit.name, unit.name, "{kind:?} {spelling}");
            }
        }
    }
    let mut seen = std::collections::BTreeSet::new();
    for unit in UNITS {
        assert!(unit.factor.is_finite() && unit.factor > 0.0);
        assert!(
            seen.insert((unit.kind.name(), unit.name)),
            "{} twice",
            unit.name
        );
    }
}

#[test]
fn regress_limits_are_sound() {
    let mut seen = std::collections::BTreeSet::new();
    for limit in ranges::LIMITS {
        assert!(seen.insert(limit.name), "{} twice", limit.name);
        assert!(limit.min < limit.max, "{}", limit.name);
        assert!(
            limit.holds(limit.min_si()) && limit.holds(limit.max_si()),
            "{}",
            limit.name
        );
        assert!(!limit.holds(f64::NAN) && !limit.holds(f64::INFINITY));
        assert!(!limit.why.is_empty() && !limit.in_words().contains("NaN"));
        if let Some(kind) = limit.kind {
            assert!(
                kind.units().any(|unit| unit.name == limit.unit),
                "{}",
                limit.name
            );
            assert!(limit.holds(si(kind, &format!("{} {}", limit.min, limit.unit))));
        }
    }
    let thickness = ranges::find("slab thickness").unwrap();
    assert_eq!(
        thickness.in_words(),
        "0.788 in to 4.92 ft (20 mm to 1,500 mm): thinner is a topping, thicker is mass concrete."
    );
}

/// What a fault tells people to type is accepted, in whatever unit they typed.
#[test]
fn regress_a_limit_says_a_value_that_it_accepts() {
    for limit in ranges::LIMITS {
        let span = limit.max_si() - limit.min_si();
        let Some(kind) = limit.kind else {
            let fault = limit.fault(limit.min - 1.0, None);
            assert!(
                fault
                    .help
                    .starts_with(&format!("Write {} or more", limit.min)),
                "{}",
                fault.help
            );
            continue;
        };
        for unit in kind.units() {
            for beyond in [limit.min_si() - span, limit.max_si() + span] {
                let amount = Amount {
                    number: beyond / unit.factor + unit.zero,
                    unit,
                    currency: 0,
                };
                let fault = limit.fault(amount.si(), Some(&amount));
                for text in fault.help.split('"').skip(1).step_by(2) {
                    let typed = parse(kind, text);
                    let typed = typed.unwrap_or_else(|why| panic!("{}: {text}: {why}", limit.name));
                    assert!(limit.holds(typed.si()), "{}: {text}", limit.name);
                }
            }
        }
    }
    let says = |text: &str| {
        let amount = parse(Kind::Length, text).unwrap();
        let limit = ranges::find("slab thickness").unwrap();
        limit.fault(amount.si(), Some(&amount)).help
    };
    let why = "thinner is a topping, thicker is mass concrete.";
    assert_eq!(
        says("5 mm"),
        format!("Did you mean \"5 in\"? Write \"20 mm\" or more: {why}")
    );
    assert_eq!(
        says("120 in"),
        format!("Did you mean \"120 mm\"? Write \"59 in\" or less: {why}")
    );
    assert_eq!(
        says("2000 mm"),
        format!("Write \"1,500 mm\" or less: {why}")
    );
}

/// A number with its printed form in any unit of the table.
fn typed() -> impl Strategy<Value = (usize, f64)> {
    (
        0..UNITS.len(),
        prop_oneof![
            -1e6..1e6_f64,
            -1.0..1.0_f64,
            1e-12..1e-6_f64,
            1e6..1e20_f64,
            Just(0.0),
            // Small enough in one unit to lose digits in another.
            Just(0.010_320_820_273_235_224)
        ],
    )
}

macro_rules! same_after_printing {
    ($text:expr, $($kind:ident),+) => {$(
        if let Ok(first) = $text.parse::<$kind>() {
            let second: $kind = first.to_string().parse().unwrap();
            prop_assert_eq!(first.si().to_bits(), second.si().to_bits());
            prop_assert_eq!(first, second);
            let third: $kind = serde_json::from_str(&serde_json::to_string(&first).unwrap()).unwrap();
            prop_assert_eq!(first, third);
            for shown in [first.in_us(), first.in_si()] {
                // Shown values are rounded to three digits.
                let again: $kind = shown.parse().unwrap();
                let zero = $kind::KIND == Kind::Temperature;
                prop_assert!((again.si() - first.si()).abs() <= 6e-4 * first.si().abs() + if zero { 0.2 } else { 1e-30 }, "{} {}", first, shown);
            }
        }
    )+};
}

proptest! {
    #[test]
    fn regress_printing_loses_nothing((row, number) in typed()) {
        let text = format!("{number} {}", UNITS[row].name);
        let amount = parse(UNITS[row].kind, &text).unwrap();
        prop_assert_eq!(amount.number.to_bits(), number.to_bits());
        same_after_printing!(
            text, Length, Temperature, TemperatureDifference, RelativeHumidity, Duration, AirFlow, Power, WaterRate, MassFlux, Permeance,
            VapourResistance, UValue, HeatLoss, Strength, EnergyFactor, HumidityRatio, MoneyPerDay, MoneyPerEnergy, PropanePrice, DieselPrice
        );
    }

    /// Every day in every way of writing it, and its echo.
    #[test]
    fn regress_every_day_is_read_in_every_form(days in 0_i32..73_000) {
        let day = date(1950, 1, 1).checked_add(jiff::Span::new().days(days)).unwrap();
        for form in ["%F", "%b %-d %Y", "%B %-d, %Y", "%-d %b %Y", "%a %b %-d, %Y", "%A, %-d %B %Y", "%a %-m/%-d/%Y"] {
            let text = day.strftime(form).to_string();
            match dates::date(&text) {
                Ok(read) => prop_assert_eq!(read, day, "{}", text),
                // Both readings can fall on the same day of the week.
                Err(fault) => prop_assert!(form.ends_with("%-m/%-d/%Y") && fault.message.contains("two days"), "{}", text),
            }
        }
        let numbers = day.strftime("%-m/%-d/%Y").to_string();
        let clear = day.day() > 12 || i16::from(day.day()) == i16::from(day.month());
        prop_assert_eq!(dates::date(&numbers).is_ok(), clear, "{}", numbers);
        let now = day.at(15, 30, 0, 0);
        prop_assert_eq!(dates::moment(&now.strftime("%b %-d, %Y %-I:%M %p").to_string()), Ok(now));
    }

    #[test]
    fn regress_no_text_panics(text in "\\PC{0,90}", near in "([-+0-9./eE' \"$%,()a-zA-Z]{0,20}|[0-9]{1,3}(,[0-9]{3}){0,2}( in|'|\"| ft2| F|/day| kBtu/h|'-[0-9]{1,2}\"))") {
        for text in [&text, &near] {
            let _ = (dates::date(text), dates::moment(text));
        }
        for kind in Kind::ALL {
            let _ = parse(kind, &text);
            if let Ok(echoed) = echo(kind, &near) {
                prop_assert_eq!(echo(kind, &echoed), Ok(echoed));
            }
            if let Ok(amount) = parse(kind, &near) {
                prop_assert!(amount.si().is_finite());
            }
        }
    }
}
