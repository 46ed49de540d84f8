//! `coatday air`: a state of moist air from any two known quantities.

use super::Ending;
use super::printer::Printer;
use crate::air::states::{Known, Quantity, from_two};
use crate::air::{self, MoistAir};
use crate::results::{Side, TextTable};
use crate::units::{
    self, FT3, GRAINS_PER_POUND, INHG, Kind, POUND, RANKINE, System, fahrenheit, ranges,
};
use serde_json::{Value, json};

/// J/kg in a Btu/lb: exact for the International Table Btu.
const BTU_PER_POUND: f64 = 2326.0;
/// Enthalpies in US units count dry air from 0 degF, those in SI from 0 degC \[J/kg\]; both count liquid water from the
/// freezing point (Handbook: Fundamentals, chapter Psychrometrics, of the American society of air-conditioning engineers).
const ENTHALPY_OF_DRY_AIR_FROM_0_DEGF: f64 = air::SPECIFIC_HEAT_DRY_AIR * 32.0 * RANKINE;
/// kg/m3 in a grain per cubic foot.
const GRAIN_PER_CUBIC_FOOT: f64 = POUND / GRAINS_PER_POUND / FT3;
/// m3/kg in a cubic foot per pound.
const CUBIC_FOOT_PER_POUND: f64 = FT3 / POUND;

/// Arguments of `air`. Give two of the first six.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example: coatday air --dry-bulb \"70 degF\" --relative-humidity \"50 %\" --elevation \"5000 ft\""
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

pub(super) fn run(arguments: &AirArguments, printer: &Printer) -> Ending {
    match state(arguments) {
        Ok((state, known)) => {
            if arguments.json {
                printer.data(&format!("{:#}", as_json(&state, known)));
            } else {
                printer.table(&table(&state, printer.system));
                for note in notes(&state) {
                    printer.note(&note);
                }
            }
            Ending::Good
        }
        Err(faults) => {
            for fault in faults {
                printer.fault(&fault);
            }
            Ending::Fault
        }
    }
}

/// The state asked for with the two quantities given, or all that is wrong.
fn state(arguments: &AirArguments) -> Result<(MoistAir, [Known; 2]), Vec<String>> {
    type Given<'a> = (&'a str, &'a Option<String>, Known, &'a dyn Fn(&str) -> Read);
    let temperature = |text: &str| si(Kind::Temperature, text);
    let humidity = |text: &str| si(Kind::RelativeHumidity, text);
    let ratio = |text: &str| si(Kind::HumidityRatio, text);
    let given: [Given<'_>; 6] = [
        (
            "dry-bulb",
            &arguments.dry_bulb,
            Known::DryBulb(0.0),
            &temperature,
        ),
        (
            "wet-bulb",
            &arguments.wet_bulb,
            Known::WetBulb(0.0),
            &temperature,
        ),
        (
            "dew-point",
            &arguments.dew_point,
            Known::DewPoint(0.0),
            &temperature,
        ),
        (
            "relative-humidity",
            &arguments.relative_humidity,
            Known::RelativeHumidity(0.0),
            &humidity,
        ),
        (
            "humidity-ratio",
            &arguments.humidity_ratio,
            Known::HumidityRatio(0.0),
            &ratio,
        ),
        (
            "enthalpy",
            &arguments.enthalpy,
            Known::Enthalpy(0.0),
            &enthalpy,
        ),
    ];
    let mut faults = Vec::new();
    let mut known = Vec::new();
    let mut count = 0;
    for (option, text, kind, read) in given {
        let Some(text) = text else { continue };
        count += 1;
        match read(text).map(|value| with_value(kind, value)) {
            Ok(quantity) => match quantity.check() {
                Ok(()) => known.push(quantity),
                Err(fault) => faults.push(format!("--{option}: {fault}")),
            },
            Err(fault) => faults.push(format!("--{option}: {fault}")),
        }
    }
    if count != 2 {
        faults.push(format!(
            "{} given. Give exactly two of --dry-bulb, --wet-bulb, --dew-point, --relative-humidity, --humidity-ratio and --enthalpy.",
            match count {
                0 => "No quantity is".to_owned(),
                1 => "Only one quantity is".to_owned(),
                n => format!("{n} quantities are"),
            }
        ));
    }
    let pressure = match pressure(arguments) {
        Ok(p) => p,
        Err(fault) => {
            faults.push(fault);
            air::STANDARD_PRESSURE
        }
    };
    match (faults.is_empty(), known.as_slice()) {
        (true, &[one, two]) => from_two(one, two, pressure)
            .map(|state| (state, [one, two]))
            .map_err(|fault| vec![fault.to_string()]),
        _ => Err(faults),
    }
}

type Read = Result<f64, String>;

fn si(kind: Kind, text: &str) -> Read {
    units::parse(kind, text)
        .map(|amount| amount.si())
        .map_err(|fault| format!("{} {}", fault.message, fault.help))
}

/// Enthalpy in J/kg from `41 kJ/kg` or `25.3 Btu/lb`. The two count dry air from different zeros, so this is no mere
/// change of unit.
fn enthalpy(text: &str) -> Read {
    let help = "Write an enthalpy as a number with its unit, for example \"25.3 Btu/lb\" or \"41 kJ/kg\". Units: Btu/lb (dry air from 0 degF), kJ/kg and J/kg (dry air from 0 degC).";
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

fn with_value(kind: Known, value: f64) -> Known {
    match kind {
        Known::DryBulb(_) => Known::DryBulb(value),
        Known::WetBulb(_) => Known::WetBulb(value),
        Known::DewPoint(_) => Known::DewPoint(value),
        Known::RelativeHumidity(_) => Known::RelativeHumidity(value),
        Known::HumidityRatio(_) => Known::HumidityRatio(value),
        Known::Enthalpy(_) => Known::Enthalpy(value),
    }
}

fn pressure(arguments: &AirArguments) -> Read {
    if let Some(text) = &arguments.pressure {
        let value = si(Kind::Pressure, text).map_err(|e| format!("--pressure: {e}"))?;
        Quantity::Pressure
            .check(value)
            .map_err(|e| format!("--pressure: {e}"))?;
        return Ok(value);
    }
    let elevation =
        si(Kind::Length, &arguments.elevation).map_err(|e| format!("--elevation: {e}"))?;
    match ranges::find("site elevation") {
        Some(limit) if !limit.holds(elevation) => {
            Err(format!("--elevation: The {}", limit.in_words()))
        }
        _ => Ok(air::pressure_at_elevation(elevation)),
    }
}

/// Rows: name, US, SI.
fn rows(state: &MoistAir) -> Vec<[String; 3]> {
    let temperature = |name: &str, t: f64| {
        [
            name.to_owned(),
            format!("{:.1} degF", fahrenheit(t)),
            format!("{t:.1} degC"),
        ]
    };
    let pressure = |name: &str, p: f64| {
        [
            name.to_owned(),
            format!("{:.3} inHg", p / INHG),
            format!("{:.3} kPa", p / 1e3),
        ]
    };
    let saturation = air::saturation_pressure(state.temperature);
    let vapour = state.vapour_pressure();
    let mut rows = vec![
        temperature("Dry bulb", state.temperature),
        temperature("Wet bulb", state.wet_bulb()),
    ];
    if vapour > 0.0 {
        rows.push(temperature("Dew point", state.dew_point()));
        if state.condensation_point() < 0.0 {
            rows.push(temperature("Frost point", state.condensation_point()));
        }
    }
    let humidity = format!("{:.1} %", 100.0 * state.relative_humidity());
    rows.push(["Relative humidity".into(), humidity.clone(), humidity]);
    rows.push([
        "Humidity ratio".into(),
        format!("{:.1} gr/lb", state.humidity_ratio * GRAINS_PER_POUND),
        format!("{:.2} g/kg", state.humidity_ratio * 1e3),
    ]);
    rows.push([
        "Enthalpy".into(),
        format!("{:.2} Btu/lb", us_enthalpy(state)),
        format!("{:.2} kJ/kg", state.enthalpy() / 1e3),
    ]);
    rows.push(pressure("Vapour pressure", vapour));
    rows.push(pressure("Saturation vapour pressure", saturation));
    rows.push(pressure("Vapour pressure deficit", saturation - vapour));
    let absolute = air::absolute_humidity(vapour, state.temperature);
    rows.push([
        "Absolute humidity".into(),
        format!("{:.2} gr/ft3", absolute / GRAIN_PER_CUBIC_FOOT),
        format!("{:.2} g/m3", absolute * 1e3),
    ]);
    let volume = state.specific_volume();
    rows.push([
        "Specific volume".into(),
        format!("{:.2} ft3/lb", volume / CUBIC_FOOT_PER_POUND),
        format!("{volume:.4} m3/kg"),
    ]);
    rows.push(pressure("Air pressure", state.pressure));
    rows
}

fn us_enthalpy(state: &MoistAir) -> f64 {
    (state.enthalpy() + ENTHALPY_OF_DRY_AIR_FROM_0_DEGF) / BTU_PER_POUND
}

fn table(state: &MoistAir, system: System) -> TextTable {
    let us_first = system != System::Si;
    let heads = if us_first { ["US", "SI"] } else { ["SI", "US"] };
    TextTable {
        columns: vec![
            ("Moist air".into(), Side::Left),
            (heads[0].into(), Side::Right),
            (heads[1].into(), Side::Right),
        ],
        rows: rows(state)
            .into_iter()
            .map(|[name, us, si]| {
                if us_first {
                    vec![name, us, si]
                } else {
                    vec![name, si, us]
                }
            })
            .collect(),
        strong_row: None,
    }
}

fn notes(state: &MoistAir) -> Vec<String> {
    let mut notes = vec![
        "Per mass of dry air. Enthalpies in Btu/lb count dry air from 0 degF, in kJ/kg from 0 degC."
            .to_owned(),
    ];
    if state.temperature < 0.0 {
        notes.push(
            "Below freezing the relative humidity is over ice; weather stations give it over water, which is lower.".into(),
        );
    }
    notes
}

fn as_json(state: &MoistAir, known: [Known; 2]) -> Value {
    let finite = |x: f64| if x.is_finite() { json!(x) } else { Value::Null };
    let vapour = state.vapour_pressure();
    let saturation = air::saturation_pressure(state.temperature);
    let (dew, condensation) = if vapour > 0.0 {
        (state.dew_point(), state.condensation_point())
    } else {
        (f64::NAN, f64::NAN)
    };
    let absolute = air::absolute_humidity(vapour, state.temperature);
    json!({
        "schema": "coatday/air/1",
        "known": known.map(|k| k.quantity().to_string()),
        "dry_bulb_degc": finite(state.temperature),
        "dry_bulb_degf": finite(fahrenheit(state.temperature)),
        "wet_bulb_degc": finite(state.wet_bulb()),
        "wet_bulb_degf": finite(fahrenheit(state.wet_bulb())),
        "dew_point_degc": finite(dew),
        "dew_point_degf": finite(fahrenheit(dew)),
        "condensation_point_degc": finite(condensation),
        "condensation_point_degf": finite(fahrenheit(condensation)),
        "relative_humidity_percent": finite(100.0 * state.relative_humidity()),
        "humidity_ratio_g_per_kg": finite(1e3 * state.humidity_ratio),
        "humidity_ratio_gr_per_lb": finite(GRAINS_PER_POUND * state.humidity_ratio),
        "enthalpy_kj_per_kg": finite(state.enthalpy() / 1e3),
        "enthalpy_btu_per_lb": finite(us_enthalpy(state)),
        "vapour_pressure_pa": finite(vapour),
        "vapour_pressure_inhg": finite(vapour / INHG),
        "saturation_vapour_pressure_pa": finite(saturation),
        "vapour_pressure_deficit_pa": finite(saturation - vapour),
        "absolute_humidity_g_per_m3": finite(1e3 * absolute),
        "absolute_humidity_gr_per_ft3": finite(absolute / GRAIN_PER_CUBIC_FOOT),
        "specific_volume_m3_per_kg": finite(state.specific_volume()),
        "specific_volume_ft3_per_lb": finite(state.specific_volume() / CUBIC_FOOT_PER_POUND),
        "pressure_pa": finite(state.pressure),
        "pressure_inhg": finite(state.pressure / INHG),
    })
}
