//! One type per kind of quantity, holding what was typed and giving SI.

use std::borrow::Cow;
use std::fmt;
use std::str::FromStr;

use super::parse::{self, Amount, UnitFault};
use super::table::{CURRENCIES, Kind, System, Unit};

/// Digits shown when a quantity is converted for reading. Typed numbers are printed in full.
const DIGITS_SHOWN: i32 = 4;
/// Power of ten below which a number is written with an exponent: nobody counts more zeros.
const SMALLEST_WRITTEN_OUT: i32 = -9;

/// Loose on purpose: a number first, then something that is not a number. The units are checked when the scenario is read.
pub(crate) const PATTERN: &str =
    r"^\s*(?:[^0-9.+\-\s]{1,4}\s*[0-9.].*|[-+]?[0-9.][0-9.eE/ ]*[^0-9.eE/\s].*)$";

fn with_unit(number: &str, amount: &Amount) -> String {
    let currency = CURRENCIES
        .get(amount.currency)
        .map_or("$", |(name, _)| name);
    format!(
        "{number} {}",
        if amount.unit.kind.is_money() {
            amount.unit.name.replace('$', currency)
        } else {
            amount.unit.name.to_owned()
        }
    )
}

fn full(number: f64) -> String {
    let size = number.abs();
    if size != 0.0 && !(1e-6..1e15).contains(&size) {
        format!("{number:e}")
    } else {
        format!("{number}")
    }
}

/// A number rounded to [`DIGITS_SHOWN`] significant digits, whole numbers in full, without trailing zeros.
fn rounded(number: f64) -> String {
    if number == 0.0 || !number.is_finite() {
        return "0".to_owned();
    }
    let leading = number.abs().log10().floor() as i32;
    if leading < SMALLEST_WRITTEN_OUT {
        let digits = (DIGITS_SHOWN - 1) as usize;
        return format!("{number:.digits$e}");
    }
    let decimals = (DIGITS_SHOWN - 1 - leading).max(0) as usize;
    let text = format!("{number:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

pub(super) fn belongs(unit: &Unit, system: System) -> bool {
    unit.system == system || unit.system == System::Both
}

/// A number with a comma after each thousand.
pub(super) fn grouped(number: &str) -> String {
    let start = usize::from(number.starts_with('-'));
    let digits = number.get(start..).unwrap_or_default();
    let whole = digits.find(|c: char| !c.is_ascii_digit());
    let whole = whole.unwrap_or(digits.len());
    let mut out = String::with_capacity(number.len() + 4);
    for (at, c) in number.char_indices() {
        if at > start && at < start + whole && (start + whole - at) % 3 == 0 {
            out.push(',');
        }
        out.push(c);
    }
    out
}

/// Number and unit as people read them: `5,000 ft2`, `70 °F`, `$120/day`.
fn for_people(number: &str, amount: &Amount) -> String {
    let number = if number.contains('e') {
        number.to_owned()
    } else {
        grouped(number)
    };
    let unit = amount.unit;
    match (unit.name, unit.name.strip_prefix('$')) {
        ("degF", _) => format!("{number} \u{b0}F"),
        ("degC", _) => format!("{number} \u{b0}C"),
        (_, Some(per)) if amount.currency == 0 && !number.starts_with('-') => {
            format!("${number}{per}")
        }
        _ => with_unit(&number, amount),
    }
}

/// The amount as shown in a system: as typed if it was typed in it, else converted and rounded for reading.
pub(crate) fn shown(amount: &Amount, system: System) -> String {
    if belongs(amount.unit, system) {
        return for_people(&full(amount.number), amount);
    }
    match best_unit(amount.unit.kind, system, amount.si()) {
        Some((unit, number)) => for_people(
            &rounded(number),
            &Amount {
                number,
                unit,
                currency: amount.currency,
            },
        ),
        None => for_people(&full(amount.number), amount),
    }
}

/// The unit of a system in which a value reads best, with the number in it.
pub(super) fn best_unit(kind: Kind, system: System, si: f64) -> Option<(&'static Unit, f64)> {
    kind.units()
        .filter(|unit| belongs(unit, system))
        .map(|unit| (unit, si / unit.factor + unit.zero))
        .filter(|(unit, number)| unit.shown_from == 0.0 || number.abs() >= unit.shown_from)
        .max_by(|a, b| a.0.factor.total_cmp(&b.0.factor))
}

/// An amount of a kind from SI, in the unit SI text would use.
pub(crate) fn from_si(kind: Kind, si: f64) -> Amount {
    // Every kind has a unit in each system (tested), so the fallback is only there to avoid a panic path.
    let (unit, number) = best_unit(kind, System::Si, si).unwrap_or((&super::table::UNITS[0], si));
    Amount {
        number,
        unit,
        currency: 0,
    }
}

macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident $words:literal $us:literal $si:literal,)+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy)]
        pub struct $name(Amount);

        impl $name {
            /// What it measures.
            pub const KIND: Kind = Kind::$name;

            /// So many of a unit of its kind, for constants.
            #[must_use]
            #[allow(dead_code)] // not every kind has a constant
            pub(crate) const fn of(number: f64, unit: &str) -> Self {
                Self(Amount {
                    number,
                    unit: Self::KIND.unit(unit),
                    currency: 0,
                })
            }

            /// From an SI value (the unit named at the type).
            #[must_use]
            pub fn from_si(si: f64) -> Self {
                Self(from_si(Self::KIND, si))
            }

            /// The value in SI (the unit named at the type).
            #[must_use]
            pub fn si(self) -> f64 {
                self.0.si()
            }

            /// The number and unit as typed.
            #[must_use]
            pub fn typed(self) -> Amount {
                self.0
            }

            /// As text in units of the US trade; in full if typed so, else rounded to four digits.
            #[must_use]
            pub fn in_us(self) -> String {
                shown(&self.0, System::Us)
            }

            /// As text in SI units; in full if typed so, else rounded to four digits.
            #[must_use]
            pub fn in_si(self) -> String {
                shown(&self.0, System::Si)
            }
        }

        impl FromStr for $name {
            type Err = UnitFault;

            fn from_str(text: &str) -> Result<Self, UnitFault> {
                parse::parse(Self::KIND, text).map(Self)
            }
        }

        /// As typed, without loss: reading it back gives the same value.
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&with_unit(&full(self.0.number), &self.0))
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, concat!(stringify!($name), "({})"), self)
            }
        }

        /// Equal SI values; `1 ft` equals `12 in` as far as rounding allows.
        impl PartialEq for $name {
            fn eq(&self, other: &Self) -> bool {
                self.si() == other.si() && self.0.currency == other.0.currency
            }
        }

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                deserializer.deserialize_any(TextVisitor(Self::KIND)).map(Self)
            }
        }

        impl schemars::JsonSchema for $name {
            fn schema_name() -> Cow<'static, str> {
                stringify!($name).into()
            }

            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                let [us, si] = Self::KIND.examples();
                let examples = if us == si { vec![us] } else { vec![us, si] };
                schemars::json_schema!({
                    "type": "string",
                    "description": parse::allowed(Self::KIND),
                    "pattern": PATTERN,
                    "examples": examples,
                    "x-quantity": Self::KIND.name(),
                })
            }
        }
    )+};
}

struct TextVisitor(Kind);

impl serde::de::Visitor<'_> for TextVisitor {
    type Value = Amount;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} as text with its unit", self.0.with_article())
    }

    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Amount, E> {
        parse::parse(self.0, text)
            .map_err(|fault| E::custom(format!("{} {}", fault.message, fault.help)))
    }

    fn visit_f64<E: serde::de::Error>(self, number: f64) -> Result<Amount, E> {
        let fault = parse::bare_number(self.0, &number.to_string(), &|_| true);
        Err(E::custom(format!("{} {}", fault.message, fault.help)))
    }

    fn visit_u64<E: serde::de::Error>(self, number: u64) -> Result<Amount, E> {
        self.visit_f64(number as f64)
    }

    fn visit_i64<E: serde::de::Error>(self, number: i64) -> Result<Amount, E> {
        self.visit_f64(number as f64)
    }
}

super::table::every_kind!(quantities);
