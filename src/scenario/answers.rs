//! Answers to the questions of `coatday new`: what people type, as values.
//!
//! Each function takes the text of one answer. "Don't know" is `None`, and its key stays out of the scenario, so that the default counts and
//! `check` says so. A fault is a whole sentence that says what to type.

use jiff::ToSpan;
use jiff::civil::Date;
use std::str::FromStr;

use super::model::{EmissionRate, HumidityAtDepth, Target, usual_targets};
use super::nearest;
use crate::units::{
    Amount, Area, Length, MassFlux, RelativeHumidity, Strength, Temperature, UnitFault,
};
use crate::units::{dates, ranges};
use crate::weather::places;

/// Years ahead within which the pour and the day needed are taken.
const FARTHEST_YEARS: i32 = 5;

/// What is known of the mix.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum MixAnswer {
    /// Water-cement ratio.
    Ratio(f64),
    /// Strength at 28 days.
    Strength(Strength),
}

/// Whether the building is heated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Heating {
    /// It is not.
    None,
    /// It is kept at this temperature.
    Held(Temperature),
}

/// Machines of one kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Machines {
    /// How many.
    pub count: u32,
    /// What they are.
    pub kind: &'static MachineKind,
}

/// A kind of machine as people call it, and the class that stands for it.
#[derive(Debug, PartialEq, Eq)]
pub struct MachineKind {
    /// Its name, for one.
    pub name: &'static str,
    /// What else people call it.
    others: &'static [&'static str],
    /// Its key in a setup.
    pub key: &'static str,
    /// Its class.
    pub class: &'static str,
}

/// The kinds that an answer may name.
#[rustfmt::skip]
pub const MACHINE_KINDS: &[MachineKind] = &[
    MachineKind { name: "fan", others: &["air mover", "floor fan", "blower"], key: "fan", class: "fan_axial_large" },
    MachineKind { name: "dehumidifier", others: &["dehu", "refrigerant dehumidifier"], key: "dehumidifier", class: "low_grain_medium" },
    MachineKind { name: "desiccant", others: &["desiccant dehumidifier"], key: "desiccant", class: "desiccant_1000" },
    MachineKind { name: "electric heater", others: &[], key: "heater", class: "electric_9kw" },
    MachineKind { name: "propane heater", others: &["direct-fired heater", "direct heater", "torpedo heater"], key: "heater", class: "direct_fired_60kw" },
    MachineKind { name: "indirect heater", others: &["indirect-fired heater", "diesel heater"], key: "heater", class: "indirect_fired_110kw" },
    MachineKind { name: "exhaust fan", others: &[], key: "outside_air", class: "outside_air_2000" },
];

/// Small letters, single blanks, straight apostrophes.
fn plain(text: &str) -> String {
    let text = text.to_lowercase().replace('\u{2019}', "'");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Whether an answer says that the matter is not known.
#[must_use]
pub fn is_unknown(text: &str) -> bool {
    let text = plain(text);
    let text = text.trim_end_matches(['.', '!']);
    matches!(
        text,
        "" | "?"
            | "don't know"
            | "dont know"
            | "do not know"
            | "i don't know"
            | "unknown"
            | "not known"
            | "not sure"
            | "no idea"
    )
}

fn is_none(text: &str) -> bool {
    matches!(
        plain(text).as_str(),
        "no" | "none" | "nothing" | "0" | "not heated" | "no gear"
    )
}

/// A place as it is written in the scenario.
///
/// # Errors
/// What is near, if none is meant or several are.
pub fn place(text: &str) -> Result<String, String> {
    let found = places::find(text).map_err(|fault| fault.to_string())?;
    Ok(match found.distance {
        Some(_) => text.trim().to_owned(),
        None => found.place.label(),
    })
}

fn beyond(fault: &UnitFault) -> String {
    format!("{} {}", fault.message, fault.help)
}

/// A quantity within the limit of that name.
fn within<Q: FromStr<Err = UnitFault> + Copy>(
    text: &str,
    limit: &str,
    typed: fn(&Q) -> Amount,
) -> Result<Q, String> {
    let quantity: Q = text
        .parse()
        .map_err(|fault: UnitFault| format!("{} {}", fault.message, fault.help))?;
    let amount = typed(&quantity);
    match ranges::find(limit) {
        Some(limit) if !limit.holds(amount.si()) => {
            Err(beyond(&limit.fault(amount.si(), Some(&amount))))
        }
        _ => Ok(quantity),
    }
}

/// The size of the floor.
///
/// # Errors
/// No area, or one beyond the limits.
pub fn area(text: &str) -> Result<Area, String> {
    within(text, "slab area", |area: &Area| area.typed())
}

/// The thickness of the slab.
///
/// # Errors
/// No length, or one beyond the limits.
pub fn thickness(text: &str) -> Result<Length, String> {
    within(text, "slab thickness", |length: &Length| length.typed())
}

/// A day of the calendar.
///
/// # Errors
/// Any other text.
pub fn day(text: &str) -> Result<Date, String> {
    dates::date(text).map_err(|fault| fault.to_string())
}

/// The day of the pour, past or planned.
///
/// # Errors
/// No day, or one too far ahead.
pub fn poured(text: &str, today: Date) -> Result<Date, String> {
    let day = day(text)?;
    let last = today.checked_add(FARTHEST_YEARS.years());
    if last.is_ok_and(|last| day > last) {
        return Err(format!(
            "This day is too far from today, {today}. Give a day up to {FARTHEST_YEARS} years ahead."
        ));
    }
    Ok(day)
}

/// The day on which the floor must be ready; none if there is no such day.
///
/// # Errors
/// No day, or one that is not after the start of drying.
pub fn needed_by(text: &str, gear_on: Date) -> Result<Option<Date>, String> {
    if is_unknown(text) || is_none(text) {
        return Ok(None);
    }
    let day = day(text)?;
    if day <= gear_on {
        return Err(format!(
            "The gear goes on {gear_on}. Give a later day, or \"don't know\"."
        ));
    }
    if gear_on
        .checked_add(FARTHEST_YEARS.years())
        .is_ok_and(|last| day >= last)
    {
        return Err(format!("Give a day within {FARTHEST_YEARS} years."));
    }
    Ok(Some(day))
}

/// The mix.
///
/// # Errors
/// Neither a ratio nor a strength.
pub fn mix(text: &str) -> Result<Option<MixAnswer>, String> {
    if is_unknown(text) {
        return Ok(None);
    }
    let plain = plain(text);
    let bare = plain.trim_start_matches(['w', '/', 'c', 'm', ' ', '=']);
    if let Ok(number) = bare.parse::<f64>() {
        return match ranges::find("water-cement ratio") {
            Some(limit) if limit.holds(number) => Ok(Some(MixAnswer::Ratio(number))),
            _ if number >= 10.0 => Err(format!(
                "{bare} has no unit. Write \"{bare} psi\" or \"{bare} MPa\", or a water-cement ratio such as 0.45."
            )),
            Some(limit) => Err(beyond(&limit.fault(number, None))),
            None => Ok(Some(MixAnswer::Ratio(number))),
        };
    }
    within(text, "compressive strength", |strength: &Strength| {
        strength.typed()
    })
    .map(|strength| Some(MixAnswer::Strength(strength)))
    .map_err(|fault| {
        format!("{fault} Or write a water-cement ratio such as 0.45, or \"don't know\".")
    })
}

/// Whether the building is heated, and to what.
///
/// # Errors
/// Neither a temperature nor a no.
pub fn heating(text: &str) -> Result<Option<Heating>, String> {
    if is_unknown(text) {
        return Ok(None);
    }
    if is_none(text) {
        return Ok(Some(Heating::None));
    }
    if matches!(plain(text).as_str(), "yes" | "y") {
        return Err("Write the temperature it is kept at, such as \"65 F\" or \"18 C\".".into());
    }
    within(text, "thermostat setting", |t: &Temperature| t.typed())
        .map(|held| Some(Heating::Held(held)))
        .map_err(|fault| format!("{fault} Or write \"no\" or \"don't know\"."))
}

/// Parts of a list: separated by commas, semicolons or "and".
fn parts(text: &str) -> Vec<String> {
    let text = plain(text)
        .replace(" and ", ",")
        .replace([';', '+', '&'], ",");
    let parts = text.split(',').map(|part| part.trim().to_owned());
    parts.filter(|part| !part.is_empty()).collect()
}

/// What the coating asks of the slab: a probe, a dish, or both. A dish alone passes no floor, so the usual limit of the probe comes with it.
///
/// # Errors
/// Neither a humidity nor an emission rate.
pub fn limits(text: &str) -> Result<Option<Vec<Target>>, String> {
    if is_unknown(text) {
        return Ok(None);
    }
    let mut targets = Vec::new();
    for part in parts(text) {
        if part.parse::<f64>().is_ok() {
            return Err(format!(
                "{part} has no unit. Write \"{part} %\" for a probe in the slab or \"{part} lb\" for a dish."
            ));
        }
        let humidity = part.trim_end_matches("rh").trim_end();
        if humidity.ends_with(['%', 't']) {
            let limit = within(
                humidity,
                "humidity limit in the slab",
                |h: &RelativeHumidity| h.typed(),
            )?;
            targets.push(Target::RelativeHumidityAtDepth(HumidityAtDepth {
                limit,
                depth_fraction: None,
            }));
            continue;
        }
        let pounds = part
            .trim_end_matches(['s', '.'])
            .strip_suffix("lb")
            .or_else(|| part.strip_suffix("pounds"));
        let rate = pounds.map_or_else(
            || part.clone(),
            |number| format!("{} lb/1000 ft2/24 h", number.trim()),
        );
        let limit =
            within(&rate, "emission limit", |rate: &MassFlux| rate.typed()).map_err(|fault| {
                format!("{fault} Or write \"85 %\" for a probe, or \"don't know\".")
            })?;
        targets.push(Target::EmissionRate(EmissionRate { limit }));
    }
    if targets.is_empty() {
        return Ok(None);
    }
    let has_probe = |target: &Target| matches!(target, Target::RelativeHumidityAtDepth(_));
    if !targets.iter().any(has_probe) {
        targets.extend(usual_targets());
    }
    Ok(Some(targets))
}

/// The gear on hand; an empty list is none.
///
/// # Errors
/// A machine that is not known, or a count beyond the limits.
pub fn gear(text: &str) -> Result<Option<Vec<Machines>>, String> {
    if is_unknown(text) {
        return Ok(None);
    }
    if is_none(text) {
        return Ok(Some(Vec::new()));
    }
    parts(text)
        .iter()
        .map(|part| machines(part))
        .collect::<Result<_, _>>()
        .map(Some)
}

fn machines(part: &str) -> Result<Machines, String> {
    const NUMBERS: [&str; 13] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    let (first, rest) = part.split_once(' ').unwrap_or((part, ""));
    let digits = first.trim_end_matches('x');
    let number = match (first, NUMBERS.iter().position(|number| *number == first)) {
        ("a" | "an", _) => Some(1.0),
        (_, Some(number)) => Some(number as f64),
        _ => digits.parse::<f64>().ok(),
    };
    let (count, name) = match number {
        Some(number) => (number, rest.trim_start_matches("x ")),
        None => (1.0, part),
    };
    if count.fract() != 0.0 || ranges::find("count").is_some_and(|limit| !limit.holds(count)) {
        return Err(format!(
            "\"{part}\" needs a whole number from 1 to 1000, such as \"2 {name}\"."
        ));
    }
    let singular = name.strip_suffix('s').unwrap_or(name).replace('-', " ");
    let names =
        |kind: &'static MachineKind| std::iter::once(kind.name).chain(kind.others.iter().copied());
    let found = MACHINE_KINDS
        .iter()
        .find(|kind| names(kind).any(|known| known.replace('-', " ") == singular));
    match found {
        Some(kind) => Ok(Machines {
            count: count as u32,
            kind,
        }),
        None if singular == "heater" => Err(
            "Which heater? Write \"electric heater\", \"propane heater\" or \"indirect heater\"."
                .into(),
        ),
        None => {
            let near = nearest(&singular, MACHINE_KINDS.iter().flat_map(names));
            let near = near.map_or_else(String::new, |near| format!(" Did you mean \"{near}\"?"));
            let all: Vec<&str> = MACHINE_KINDS.iter().map(|kind| kind.name).collect();
            Err(format!(
                "\"{name}\" is not a machine this program knows.{near} It knows: {}.",
                all.join(", ")
            ))
        }
    }
}
