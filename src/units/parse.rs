//! Text to a number in a unit of a wanted kind.
//!
//! Read: `4in`, `5,000 ft2`, `1/4 in`, `3-1/2 in`, `6'-0"`, `4 ft 6 in`, `2 days 12 h`, `73F`, `73 °F`, `3 lb/1000 ft2/24 h`, `$1,900/month`,
//! `35 EUR per day`, `15 cents/kWh`. A bare number is refused with what it may have meant. How numbers and units are spelt: `number.rs`,
//! `spelling.rs`.

use super::number::{self, NumberFault};
use super::spelling::find;
use super::table::{CURRENCIES, Kind, System, UNITS, Unit};

/// Longest quantity text that is looked at; longer ones are refused unread.
const LONGEST_TEXT: usize = 80;

/// A number in one of the table's units.
#[derive(Clone, Copy, Debug)]
pub struct Amount {
    /// The number as typed.
    pub number: f64,
    /// Its unit.
    pub unit: &'static Unit,
    /// Row of [`CURRENCIES`]; 0 for anything that is not money.
    pub currency: usize,
}

impl Amount {
    /// The value in SI.
    #[must_use]
    pub fn si(&self) -> f64 {
        (self.number - self.unit.zero) * self.unit.factor
    }
}

/// Why a text is not a quantity of the wanted kind.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct UnitFault {
    /// What is wrong.
    pub message: String,
    /// What to write instead.
    pub help: String,
}

/// The allowed units of a kind with an example, as every unit fault says it.
#[must_use]
pub fn allowed(kind: Kind) -> String {
    let [us, si] = kind.examples().map(typed_name);
    let example = if us == si {
        format!("\"{us}\"")
    } else {
        format!("\"{us}\" or \"{si}\"")
    };
    format!(
        "Write {} as text with its unit, for example {example}. {}",
        kind.with_article(),
        units_of(kind)
    )
}

fn units_of(kind: Kind) -> String {
    let names = kind.units().map(|unit| typed_name(unit.name));
    let names: Vec<String> = names.collect();
    format!("Units: {}.", names.join(", "))
}

/// A unit as people type it: F for degF.
fn typed_name(name: &str) -> String {
    name.replace("degF", "F").replace("degC", "C")
}

/// The fault for a number without a unit. The units offered are the likeliest whose value `fits`.
#[must_use]
pub fn bare_number(kind: Kind, number: &str, fits: &dyn Fn(f64) -> bool) -> UnitFault {
    let number = number.trim();
    let readings = readings(kind, number, fits);
    let quoted: Vec<String> = readings.iter().map(|text| format!("\"{text}\"")).collect();
    UnitFault {
        message: format!("\"{}\" has no unit.", cut(number)),
        help: if readings.is_empty() {
            allowed(kind)
        } else {
            format!("Write {}. {}", quoted.join(" or "), units_of(kind))
        },
    }
}

/// Texts that a bare number may have meant: one in each system, or the two likeliest of a kind that both systems share.
fn readings(kind: Kind, number: &str, fits: &dyn Fn(f64) -> bool) -> Vec<String> {
    let share = matches!(kind, Kind::RelativeHumidity | Kind::Fraction);
    let per_cent = match number.parse::<f64>() {
        Ok(value) if share && value > 0.0 && value <= 1.0 => {
            format!("{}", (value * 1e6).round() / 1e4)
        }
        _ => number.to_owned(),
    };
    let text_in = |unit: &Unit| with_unit(&per_cent, unit);
    let possible =
        |unit: &&'static Unit| parse(kind, &text_in(unit)).is_ok_and(|amount| fits(amount.si()));
    let of = |system: System| kind.units().filter(move |unit| unit.system == system);
    let fitting: Vec<&Unit> = [(System::Us, 1), (System::Si, 1), (System::Both, 2)]
        .into_iter()
        .flat_map(|(system, most)| of(system).filter(possible).take(most))
        .collect();
    let mut units = if fitting.is_empty() {
        let first = [(System::Us, 1), (System::Si, 1), (System::Both, 2)];
        first
            .into_iter()
            .flat_map(|(system, most)| of(system).take(most))
            .filter(|unit| parse(kind, &text_in(unit)).is_ok())
            .collect()
    } else {
        fitting
    };
    units.truncate(2);
    units.into_iter().map(text_in).collect()
}

/// A number with a unit as people type it.
pub(super) fn with_unit(number: &str, unit: &Unit) -> String {
    match unit.name {
        "degF" => format!("{number} F"),
        "degC" => format!("{number} C"),
        name => match name.strip_prefix('$') {
            Some(rest) => format!("${}{rest}", number.trim_start_matches('$')),
            None => format!("{number} {name}"),
        },
    }
}

/// Reads `text` as a quantity of `kind`.
///
/// # Errors
/// [`UnitFault`] if there is no number, no unit, a unit of another kind, or a number beyond what a computer number holds.
pub fn parse(kind: Kind, text: &str) -> Result<Amount, UnitFault> {
    parse_fitting(kind, text, &|_| true)
}

/// The same for a place where only values count that `fits` \[SI\]: what a number without a unit may have meant is among those.
///
/// # Errors
/// As [`parse`]. A value that does not fit is no fault here.
pub fn parse_fitting(
    kind: Kind,
    text: &str,
    fits: &dyn Fn(f64) -> bool,
) -> Result<Amount, UnitFault> {
    let fault = |message: String| UnitFault {
        message,
        help: allowed(kind),
    };
    if text.len() > LONGEST_TEXT {
        return Err(fault(format!(
            "This {} has {} characters, too many to be one.",
            kind.name(),
            text.chars().count()
        )));
    }
    let shown = cut(text);
    let plain = number::plain(text);
    let mut rest = plain.trim();
    let mut currency = None;
    if kind.is_money()
        && let Some((row, after)) = leading_currency(rest)
    {
        currency = Some(row);
        rest = after;
    }
    let leading = number::leading(rest, !kind.is_money())
        .map_err(|why| bad_number(kind, &shown, currency, why, fits))?;
    let Some((mut number, after)) = leading else {
        return Err(fault(format!("\"{shown}\" does not start with a number.")));
    };
    let mut unit_text = after.trim();
    if unit_text.is_empty() && (currency.is_none() || kind != Kind::Money) {
        return Err(bare_number(kind, &plain, fits));
    }
    if kind.is_money()
        && currency.is_none()
        && let Some(after) = cents(unit_text)
    {
        number /= 100.0;
        currency = Some(0);
        unit_text = after;
    }
    let simple = if kind.is_money() {
        money_unit(kind, unit_text, currency)
    } else {
        find(kind, unit_text).map(|unit| (unit, 0))
    };
    let amount = match simple {
        Some((unit, currency)) => Some(Amount {
            number,
            unit,
            currency,
        }),
        None => compound(kind, number, unit_text),
    };
    let Some(amount) = amount else {
        return Err(fault(unknown_unit(kind, unit_text)));
    };
    if !amount.si().is_finite() {
        return Err(fault(format!("\"{shown}\" is too large a number.")));
    }
    Ok(amount)
}

/// The fault of a number that cannot be read, with all that it may have meant.
fn bad_number(
    kind: Kind,
    shown: &str,
    currency: Option<usize>,
    fault: NumberFault,
    fits: &dyn Fn(f64) -> bool,
) -> UnitFault {
    let NumberFault {
        why,
        readings: numbers,
        after,
    } = fault;
    let currency = currency.and_then(|row| CURRENCIES.get(row));
    let before = match currency {
        Some(("$", _)) => "$".to_owned(),
        Some((name, _)) => format!("{name} "),
        None => String::new(),
    };
    let gap = if after.is_empty() || after.starts_with('/') {
        ""
    } else {
        " "
    };
    let mut possible: Vec<String> = Vec::new();
    for number in &numbers {
        let text = format!("{before}{number}{gap}{after}");
        if parse(kind, &text).is_ok() {
            possible.push(text);
        } else if after.is_empty() {
            possible.extend(readings(kind, number, fits).into_iter().next());
        }
    }
    let quoted: Vec<String> = possible.iter().map(|text| format!("\"{text}\"")).collect();
    UnitFault {
        message: format!("\"{shown}\": {why}"),
        help: if quoted.is_empty() {
            allowed(kind)
        } else {
            format!("Write {}.", quoted.join(" or "))
        },
    }
}

/// Shortens text for a message.
fn cut(text: &str) -> String {
    const SHOWN: usize = 40;
    if text.chars().count() <= SHOWN {
        text.to_owned()
    } else {
        let start: String = text.chars().take(SHOWN).collect();
        format!("{start}...")
    }
}

fn leading_currency(text: &str) -> Option<(usize, &str)> {
    CURRENCIES
        .iter()
        .enumerate()
        .find_map(|(row, (name, also))| {
            std::iter::once(name)
                .chain(also.iter())
                .find_map(|spelling| Some((row, text.strip_prefix(spelling)?.trim_start())))
        })
}

/// A money unit: the currency may stand before the number or in the unit, once.
fn money_unit(kind: Kind, text: &str, before: Option<usize>) -> Option<(&'static Unit, usize)> {
    let (currency, rest) = match before {
        Some(currency) => (currency, text),
        None => leading_currency(text)?,
    };
    Some((find(kind, &format!("$ {rest}"))?, currency))
}

/// What follows "cents", the hundredth part of the currency written `$`.
fn cents(text: &str) -> Option<&str> {
    ["cents", "cent", "\u{a2}"]
        .into_iter()
        .find_map(|word| text.strip_prefix(word))
}

/// `4 ft 6 in`, `6'-0"`, `5'6`, `2 days 12 h`: larger unit first, whole number there; the sum is kept in the smaller unit.
fn compound(kind: Kind, first: f64, text: &str) -> Option<Amount> {
    if !matches!(kind, Kind::Length | Kind::Duration) || first < 0.0 || first.fract() != 0.0 {
        return None;
    }
    let end = text.find(|c: char| c.is_ascii_digit())?;
    let (large_text, rest) = text.split_at(end);
    let large_text = large_text.trim_end_matches(|c: char| c.is_whitespace() || c == '-');
    let large = find(kind, large_text)?;
    let (second, small) = number::leading(rest, true).ok()??;
    // After the mark for feet the one for inches is often left out.
    let small = match small.trim() {
        "" if large_text == "'" => "in",
        small => small,
    };
    let small = find(kind, small)?;
    let ratio = (large.factor / small.factor).round();
    if large.factor <= small.factor || second >= ratio {
        return None;
    }
    Some(Amount {
        number: first * ratio + second,
        unit: small,
        currency: 0,
    })
}

fn unknown_unit(kind: Kind, text: &str) -> String {
    let shown = cut(text);
    let other = UNITS
        .iter()
        .map(|unit| unit.kind)
        .find(|other| *other != kind && find(*other, text).is_some());
    if let Some(other) = other {
        return format!(
            "\"{shown}\" is a unit of {}, but {} is needed here.",
            other.name(),
            kind.with_article()
        );
    }
    let near = kind
        .units()
        .flat_map(|unit| {
            std::iter::once(&unit.name)
                .chain(unit.also)
                .map(move |spelling| (unit, spelling))
        })
        .map(|(unit, spelling)| (strsim::damerau_levenshtein(spelling, text), unit, spelling))
        .filter(|(distance, _, spelling)| {
            *distance <= 2 && *distance * 2 <= spelling.chars().count()
        })
        .min_by_key(|(distance, _, _)| *distance);
    match near {
        Some((_, unit, _)) => format!(
            "\"{shown}\" is not a unit of {}. Did you mean \"{}\"?",
            kind.name(),
            unit.name
        ),
        None => format!("\"{shown}\" is not a unit of {}.", kind.name()),
    }
}
