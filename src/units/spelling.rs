//! How units are spelt: the factors above and below the slash, each in one spelling.
//!
//! Units are compared by their factors, so the order of factors and the way of writing powers do not matter. Words for a factor stand here
//! once; the table of units has a unit's own names. Capitals count only where two units differ by them alone.

use super::table::{Kind, UNITS, Unit};
use std::sync::LazyLock;

/// Other words for a factor, in small letters, and the spelling that stands for them all.
const WORDS: &[(&str, &[&str])] = &[
    ("in", &["inch", "inches", "ins", "\""]),
    ("ft", &["foot", "feet", "'"]),
    ("yd", &["yard", "yards", "yds"]),
    ("ft2", &["sf", "sqft", "sft"]),
    ("yd2", &["sy", "sqyd"]),
    ("m2", &["sqm"]),
    ("ft3", &["cf", "cuft"]),
    ("yd3", &["cy", "cuyd"]),
    ("lb", &["lbs", "pound", "pounds"]),
    ("gr", &["grain", "grains"]),
    ("gal", &["gals", "gallon", "gallons"]),
    ("pint", &["pints", "pt", "pts"]),
    ("L", &["liter", "liters", "litre", "litres"]),
    ("kg", &["kilogram", "kilograms"]),
    ("g", &["gram", "grams"]),
    ("h", &["hr", "hrs", "hour", "hours"]),
    ("min", &["minute", "minutes", "mins"]),
    ("s", &["sec", "secs", "second", "seconds"]),
    ("day", &["d", "days"]),
    ("week", &["weeks", "wk", "wks"]),
    ("month", &["months", "mo", "mos"]),
    ("Btu", &["btus"]),
    ("therm", &["therms"]),
    ("sack", &["sacks", "bag", "bags"]),
    ("degF", &["f", "fahrenheit"]),
    ("degC", &["c", "celsius", "centigrade"]),
    ("%", &["percent", "pct"]),
    ("W", &["watt", "watts"]),
    ("kW", &["kilowatt", "kilowatts"]),
];

/// A unit as the sorted factors above and below its slash.
#[derive(Clone, PartialEq, Eq, Debug)]
struct Factors {
    above: Vec<String>,
    below: Vec<String>,
}

impl Factors {
    fn of(text: &str) -> Self {
        let clean = clean(text);
        let mut parts = clean.split('/');
        let mut above = atoms(parts.next().unwrap_or(""));
        let mut below: Vec<String> = parts.flat_map(atoms).collect();
        if above.len() == 1 && above.first().is_some_and(|atom| atom == "1") {
            above.clear();
        }
        // A day has 24 hours however it is written.
        if let (Some(count), Some(hours)) = (
            below.iter().position(|atom| atom == "24"),
            below.iter().position(|atom| atom == "h"),
        ) {
            below.remove(count.max(hours));
            below.remove(count.min(hours));
            below.push("day".to_owned());
        }
        above.sort_unstable();
        below.sort_unstable();
        Self { above, below }
    }

    fn is_empty(&self) -> bool {
        self.above.is_empty() && self.below.is_empty()
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

/// The text with one spelling of marks, powers and "per".
fn clean(text: &str) -> String {
    let mut clean = String::with_capacity(text.len() + 8);
    let mut letters = text.chars().peekable();
    let mut before = ' ';
    while let Some(c) = letters.next() {
        match c {
            '\u{b2}' => clean.push('2'),
            '\u{b3}' => clean.push('3'),
            '\u{b0}' | '\u{ba}' => clean.push_str("deg"),
            '\u{2103}' => clean.push_str("degC"),
            '\u{2109}' => clean.push_str("degF"),
            '\u{b7}' | '\u{22c5}' | '*' | '(' | ')' | '-' => clean.push(' '),
            '^' => {}
            // "sq. ft.", and 1,000 inside a unit.
            '.' if before.is_alphabetic() => {}
            ',' if before.is_ascii_digit() && letters.peek().is_some_and(char::is_ascii_digit) => {}
            other => clean.push(other),
        }
        before = c;
    }
    for word in [" per ", " Per ", " a ", " an "] {
        if clean.contains(word) {
            clean = clean.replace(word, "/");
        }
    }
    for (word, unit) in [
        ("daily", "/day"),
        ("weekly", "/week"),
        ("monthly", "/month"),
    ] {
        if let Some(before) = clean.strip_suffix(word) {
            clean = format!("{before}{unit}");
        }
    }
    clean
}

/// Splits at blanks and where digits lead into letters (`24h`), but not after letters (`ft2`).
fn atoms(text: &str) -> Vec<String> {
    let mut words = Vec::new();
    for word in text.split_whitespace() {
        let end = word
            .find(|c: char| !c.is_ascii_digit())
            .unwrap_or(word.len());
        let (digits, letters) = word.split_at(end);
        words.extend(
            [digits, letters]
                .into_iter()
                .filter(|part| !part.is_empty()),
        );
    }
    let mut atoms: Vec<String> = Vec::with_capacity(words.len());
    let mut at = 0;
    while let Some(word) = words.get(at) {
        let small = word.to_lowercase();
        let next = words.get(at + 1).map(|next| canonical(next));
        at += 1;
        let joined = match (small.as_str(), next) {
            ("sq" | "square", Some(next)) if is_length(&next) => Some(format!("{next}2")),
            ("cu" | "cubic", Some(next)) if is_length(&next) => Some(format!("{next}3")),
            ("deg" | "degree" | "degrees", Some(next)) if next.starts_with("deg") => Some(next),
            _ => None,
        };
        at += usize::from(joined.is_some());
        atoms.push(joined.unwrap_or_else(|| canonical(word)));
    }
    atoms
}

fn is_length(atom: &str) -> bool {
    ["in", "ft", "yd", "m", "mm", "cm"].contains(&atom)
}

/// The one spelling of a factor.
fn canonical(word: &str) -> String {
    if WORDS.iter().any(|(name, _)| *name == word) {
        return word.to_owned();
    }
    let small = word.to_lowercase();
    let found = WORDS
        .iter()
        .find(|(_, also)| also.contains(&small.as_str()));
    found.map_or_else(|| word.to_owned(), |(name, _)| (*name).to_owned())
}

/// One spelling of a unit.
struct Spelling {
    unit: &'static Unit,
    factors: Factors,
    lower: Factors,
}

fn spellings() -> &'static [Spelling] {
    static SPELLINGS: LazyLock<Vec<Spelling>> = LazyLock::new(|| {
        let of = |unit: &'static Unit| {
            std::iter::once(&unit.name)
                .chain(unit.also)
                .map(move |text| {
                    let factors = Factors::of(text);
                    let lower = factors.lower();
                    Spelling {
                        unit,
                        factors,
                        lower,
                    }
                })
        };
        UNITS.iter().flat_map(of).collect()
    });
    &SPELLINGS
}

/// The unit of `kind` spelt `text`.
pub(super) fn find(kind: Kind, text: &str) -> Option<&'static Unit> {
    let wanted = Factors::of(text);
    if wanted.is_empty() {
        return None;
    }
    let of_kind = || spellings().iter().filter(|one| one.unit.kind == kind);
    if let Some(one) = of_kind().find(|one| one.factors == wanted) {
        return Some(one.unit);
    }
    let lower = wanted.lower();
    let mut same = of_kind()
        .filter(|one| one.lower == lower)
        .map(|one| one.unit);
    let first = same.next()?;
    same.all(|unit| unit.name == first.name).then_some(first)
}
