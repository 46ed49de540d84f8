//! Text to a number in a unit of a wanted kind.
//!
//! Read: `4in`, `4 in`, `1/4 in`, `3 1/2 in`, `4 ft 6 in`, `2 days 12 h`, `73 degF`, `73 °F`, `3 lb/1000 ft2/24 h`, `$35/day`, `35 EUR/day`.
//! Units are compared by their factors above and below the slash, so the order of factors and the way of writing powers do not matter.
//! Capitals count only where two units differ by them alone.

use super::table::{CURRENCIES, Kind, UNITS, Unit};

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
    let names: Vec<&str> = kind.units().map(|unit| unit.name).collect();
    let [us, si] = kind.examples();
    let example = if us == si {
        format!("\"{us}\"")
    } else {
        format!("\"{us}\" or \"{si}\"")
    };
    format!(
        "Write {} as text with its unit, for example {example}. Units: {}.",
        kind.with_article(),
        names.join(", ")
    )
}

/// The fault for a number without a unit.
#[must_use]
pub fn bare_number(kind: Kind, number: &str) -> UnitFault {
    UnitFault {
        message: format!("{} has no unit.", cut(number)),
        help: allowed(kind),
    }
}

/// Reads `text` as a quantity of `kind`.
///
/// # Errors
/// [`UnitFault`] if there is no number, no unit, a unit of another kind, or a number beyond what a computer number holds.
pub fn parse(kind: Kind, text: &str) -> Result<Amount, UnitFault> {
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
    let mut rest = text.trim();
    let mut currency_before = None;
    if kind.is_money()
        && let Some((row, after)) = leading_currency(rest)
    {
        currency_before = Some(row);
        rest = after;
    }
    let Some((number, after)) =
        leading_number(rest).map_err(|why| fault(format!("\"{shown}\": {why}")))?
    else {
        return Err(fault(format!("\"{shown}\" does not start with a number.")));
    };
    let unit_text = after.trim();
    if unit_text.is_empty() && currency_before.is_none() {
        return Err(bare_number(kind, &format!("\"{}\"", text.trim())));
    }
    let simple = if kind.is_money() {
        money_unit(kind, unit_text, currency_before)
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

/// Splits off a leading number: decimal, fraction (`1/4`) or mixed (`3 1/2`).
fn leading_number(text: &str) -> Result<Option<(f64, &str)>, String> {
    let Some((first, after)) = decimal(text)? else {
        return Ok(None);
    };
    if after.starts_with(',') && after[1..].starts_with(|c: char| c.is_ascii_digit()) {
        return Err(
            "a comma in a number can mean two things; write 1500 or 1.5 without it.".to_owned(),
        );
    }
    if let Some((bottom, rest)) = slash_whole(after) {
        return over(first, bottom).map(|value| Some((value, rest)));
    }
    let gap = after.trim_start();
    if gap.len() < after.len()
        && let Some((top, rest)) = whole(gap)
        && let Some((bottom, rest)) = slash_whole(rest)
    {
        let part = over(top, bottom)?;
        let sign = if text.starts_with('-') { -1.0 } else { 1.0 };
        return Ok(Some((first + sign * part, rest)));
    }
    Ok(Some((first, after)))
}

fn over(top: f64, bottom: f64) -> Result<f64, String> {
    if bottom == 0.0 {
        Err("a fraction cannot be over zero.".to_owned())
    } else {
        Ok(top / bottom)
    }
}

fn slash_whole(text: &str) -> Option<(f64, &str)> {
    whole(text.strip_prefix('/')?)
}

fn whole(text: &str) -> Option<(f64, &str)> {
    let end = text
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(text.len());
    let (digits, rest) = text.split_at(end);
    Some((digits.parse().ok()?, rest))
}

fn decimal(text: &str) -> Result<Option<(f64, &str)>, String> {
    let bytes = text.as_bytes();
    let digits_from = |mut at: usize| {
        while bytes.get(at).is_some_and(u8::is_ascii_digit) {
            at += 1;
        }
        at
    };
    let start = usize::from(matches!(bytes.first(), Some(b'+' | b'-')));
    let mut end = digits_from(start);
    let mut digits = end - start;
    if bytes.get(end) == Some(&b'.') {
        let after = digits_from(end + 1);
        digits += after - end - 1;
        end = after;
    }
    if digits == 0 {
        return Ok(None);
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let after = digits_from(end + 1 + sign);
        if after > end + 1 + sign {
            end = after;
        }
    }
    let (number, rest) = text.split_at(end);
    let value: f64 = number
        .parse()
        .map_err(|_| "this is not a number.".to_owned())?;
    if !value.is_finite() {
        return Err("this number is too large.".to_owned());
    }
    let mantissa = number.split(['e', 'E']).next().unwrap_or(number);
    if value == 0.0 && mantissa.contains(|c: char| ('1'..='9').contains(&c)) {
        return Err("this number is too small.".to_owned());
    }
    Ok(Some((value, rest)))
}

/// A unit as the sorted factors above and below its slash.
#[derive(PartialEq, Eq, Debug)]
struct Factors {
    above: Vec<String>,
    below: Vec<String>,
}

impl Factors {
    fn of(text: &str) -> Self {
        let mut clean = String::with_capacity(text.len() + 8);
        for c in text.chars() {
            match c {
                '\u{b2}' => clean.push('2'),
                '\u{b3}' => clean.push('3'),
                '\u{b0}' | '\u{ba}' => clean.push_str("deg"),
                '\u{2103}' => clean.push_str("degC"),
                '\u{2109}' => clean.push_str("degF"),
                '\u{b7}' | '\u{22c5}' | '*' | '(' | ')' | '\u{a0}' | '\u{202f}' | '-' => {
                    clean.push(' ');
                }
                '^' => {}
                other => clean.push(other),
            }
        }
        let clean = clean.replace(" per ", "/");
        let mut parts = clean.split('/');
        let mut above = Self::atoms(parts.next().unwrap_or(""));
        let mut below: Vec<String> = parts.flat_map(Self::atoms).collect();
        if above.len() == 1 && above.first().is_some_and(|atom| atom == "1") {
            above.clear();
        }
        above.sort_unstable();
        below.sort_unstable();
        Self { above, below }
    }

    /// Splits at blanks and where digits lead into letters (`24h`), but not after letters (`ft2`).
    fn atoms(text: &str) -> Vec<String> {
        let mut atoms = Vec::new();
        for word in text.split_whitespace() {
            let end = word
                .find(|c: char| !c.is_ascii_digit())
                .unwrap_or(word.len());
            let (digits, letters) = word.split_at(end);
            atoms.extend(
                [digits, letters]
                    .into_iter()
                    .filter(|part| !part.is_empty())
                    .map(str::to_owned),
            );
        }
        atoms
    }

    fn lower(&self) -> Self {
        let lower = |atoms: &[String]| {
            let mut atoms: Vec<String> = atoms.iter().map(|atom| atom.to_lowercase()).collect();
            atoms.sort_unstable();
            atoms
        };
        Self {
            above: lower(&self.above),
            below: lower(&self.below),
        }
    }
}

/// The unit of `kind` spelt `text`.
fn find(kind: Kind, text: &str) -> Option<&'static Unit> {
    let wanted = Factors::of(text);
    if wanted.above.is_empty() && wanted.below.is_empty() {
        return None;
    }
    let spelt = |test: &dyn Fn(&Factors) -> bool| {
        kind.units()
            .filter(|unit| {
                std::iter::once(&unit.name)
                    .chain(unit.also)
                    .any(|spelling| test(&Factors::of(spelling)))
            })
            .collect::<Vec<_>>()
    };
    if let Some(unit) = spelt(&|factors| *factors == wanted).first() {
        return Some(unit);
    }
    let lower = wanted.lower();
    match spelt(&|factors| factors.lower() == lower).as_slice() {
        [unit] => Some(unit),
        _ => None,
    }
}

/// A money unit: the currency may stand before the number or in the unit, once.
fn money_unit(kind: Kind, text: &str, before: Option<usize>) -> Option<(&'static Unit, usize)> {
    let (currency, rest) = match before {
        Some(currency) => (currency, text),
        None => leading_currency(text)?,
    };
    Some((find(kind, &format!("$ {rest}"))?, currency))
}

/// `4 ft 6 in`, `2 days 12 h`: larger unit first, whole number there; the sum is kept in the smaller unit.
fn compound(kind: Kind, first: f64, text: &str) -> Option<Amount> {
    if !matches!(kind, Kind::Length | Kind::Duration) || first < 0.0 || first.fract() != 0.0 {
        return None;
    }
    let end = text.find(|c: char| c.is_ascii_digit())?;
    let (large, rest) = text.split_at(end);
    let large = find(
        kind,
        large.trim_end_matches(|c: char| c.is_whitespace() || c == '-'),
    )?;
    let (second, small) = leading_number(rest).ok()??;
    let small = find(kind, small.trim())?;
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
