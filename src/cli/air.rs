//! `coatday air`: a state of moist air from any two known quantities.

use super::arguments::quantity;
use super::ending::{Ending, Fault, Gathered};
use super::printer::Printer;
use crate::air;
use crate::air::states::{
    BTU_PER_POUND, ENTHALPY_OF_DRY_AIR_FROM_0_DEGF, Known, Quantity, from_two,
};
use crate::results::air::AirState;
use crate::units::{Kind, System};

/// Arguments of `air`. Give two of the first six.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example: coatday air --dry-bulb \"70 F\" --relative-humidity \"50 %\" --elevation \"5000 ft\""
)]
pub(super) struct AirArguments {
    /// Temperature of the air, such as "70 degF"
    #[arg(long, allow_hyphen_values = true)]
    dry_bulb: Option<String>,
    /// Wet bulb, such as "58 degF"; the wick is iced below freezing
    #[arg(long, allow_hyphen_values = true)]
    wet_bulb: Option<String>,
    /// Dew point over water, such as "50 degF"
    #[arg(long, allow_hyphen_values = true)]
    dew_point: Option<String>,
    /// Relative humidity, such as "50 %"; over ice where the air is below freezing
    #[arg(long, allow_hyphen_values = true)]
    relative_humidity: Option<String>,
    /// Water per dry air, such as "54 gr/lb" or "7.7 g/kg"
    #[arg(long, allow_hyphen_values = true)]
    humidity_ratio: Option<String>,
    /// Enthalpy per dry air, such as "25.3 Btu/lb" or "41 kJ/kg"
    #[arg(long, allow_hyphen_values = true)]
    enthalpy: Option<String>,
    /// Height above the sea, which sets the air pressure
    #[arg(
        long,
        allow_hyphen_values = true,
        default_value = "0 ft",
        conflicts_with = "pressure"
    )]
    elevation: String,
    /// Air pressure at the place itself, such as "24.9 inHg", instead of the elevation
    #[arg(long, allow_hyphen_values = true)]
    pressure: Option<String>,
    /// The state as one JSON object
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &AirArguments, printer: &Printer) -> Result<Ending, Fault> {
    printer.answer(&state(arguments, printer.system)?, arguments.json)?;
    Ok(Ending::Good)
}

/// The state of the two quantities given, or all that is wrong.
fn state(arguments: &AirArguments, system: System) -> Result<AirState, Fault> {
    type Read<'a> = &'a dyn Fn(&str, &str) -> Result<f64, String>;
    type Given<'a> = (&'a str, &'a Option<String>, fn(f64) -> Known, Read<'a>);
    let temperature = |option: &str, text: &str| quantity(option, Kind::Temperature, text, None);
    let humidity = |option: &str, text: &str| quantity(option, Kind::RelativeHumidity, text, None);
    let ratio = |option: &str, text: &str| quantity(option, Kind::HumidityRatio, text, None);
    let heat =
        |option: &str, text: &str| enthalpy(text).map_err(|fault| format!("--{option}: {fault}"));
    let a = arguments;
    let given: [Given<'_>; 6] = [
        ("dry-bulb", &a.dry_bulb, Known::DryBulb, &temperature),
        ("wet-bulb", &a.wet_bulb, Known::WetBulb, &temperature),
        ("dew-point", &a.dew_point, Known::DewPoint, &temperature),
        (
            "relative-humidity",
            &a.relative_humidity,
            Known::RelativeHumidity,
            &humidity,
        ),
        (
            "humidity-ratio",
            &a.humidity_ratio,
            Known::HumidityRatio,
            &ratio,
        ),
        ("enthalpy", &a.enthalpy, Known::Enthalpy, &heat),
    ];
    let mut faults = Gathered::default();
    let mut known = Vec::new();
    let mut count = 0;
    for (option, text, kind, read) in given {
        let Some(text) = text else { continue };
        count += 1;
        known.extend(faults.take(read(option, text).and_then(|value| {
            let quantity = kind(value);
            let checked = quantity.check().map(|()| quantity);
            checked.map_err(|fault| format!("--{option}: {}", fault.words(system)))
        })));
    }
    if count != 2 {
        faults.add(format!(
            "{} given. Give two of --dry-bulb, --wet-bulb, --dew-point, --relative-humidity, --humidity-ratio and --enthalpy.",
            match count {
                0 => "No quantity is".to_owned(),
                1 => "Only one quantity is".to_owned(),
                n => format!("{n} quantities are"),
            }
        ));
    }
    let pressure = faults.take(pressure(arguments, system));
    match (known.as_slice(), pressure) {
        (&[one, two], Some(pressure)) if count == 2 => from_two(one, two, pressure)
            .map(|state| AirState {
                state,
                known: [one, two],
            })
            .map_err(|fault| fault.words(system).into()),
        _ => Err(faults.fault()),
    }
}

/// Enthalpy in J/kg from `41 kJ/kg` or `25.3 Btu/lb`. The two count dry air from different zeros, so this is no mere
/// change of unit.
fn enthalpy(text: &str) -> Result<f64, String> {
    let help = "Write an enthalpy as a number with its unit, for example \"25.3 Btu/lb\" or \"41 kJ/kg\". Units: Btu/lb (dry air from 0 °F), kJ/kg and J/kg (dry air from 0 °C).";
    let text = text.trim();
    let split = text
        .find(|c: char| c.is_ascii_alphabetic() && !matches!(c, 'e' | 'E'))
        .unwrap_or(text.len());
    let (number, unit) = text.split_at(split);
    let value: f64 = number
        .trim()
        .parse()
        .ok()
        .filter(|v: &f64| v.is_finite())
        .ok_or_else(|| format!("The enthalpy does not start with a number. {help}"))?;
    match unit.trim().to_ascii_lowercase().as_str() {
        "btu/lb" => Ok(value * BTU_PER_POUND - ENTHALPY_OF_DRY_AIR_FROM_0_DEGF),
        "kj/kg" => Ok(value * 1e3),
        "j/kg" => Ok(value),
        "" => Err(format!("The enthalpy has no unit. {help}")),
        _ => Err(format!("The enthalpy's unit is not known. {help}")),
    }
}

fn pressure(arguments: &AirArguments, system: System) -> Result<f64, String> {
    if let Some(text) = &arguments.pressure {
        let value = quantity("pressure", Kind::Pressure, text, None)?;
        let checked = Quantity::Pressure.check(value).map(|()| value);
        return checked.map_err(|fault| format!("--pressure: {}", fault.words(system)));
    }
    let elevation = &arguments.elevation;
    quantity("elevation", Kind::Length, elevation, Some("site elevation"))
        .map(air::pressure_at_elevation)
}
