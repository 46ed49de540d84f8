//! The only place that turns a number, a quantity, a share, a date or money into text for people. What programs read keeps every digit
//! and is not made here.
//!
//! Whatever differs between the US and SI takes the [`System`]. A number keeps to its unit and a date to itself: [`HOLD`] stands between
//! them, at which no line breaks.
//!
//! ```
//! use coatday::units::format::{Currency, Shown, counted, date, days, percent, signed};
//! use coatday::units::{Kind, System};
//! assert_eq!(days(0.9), "1\u{a0}day");
//! assert_eq!(counted(2, "place"), "2\u{a0}places");
//! assert_eq!(percent(0.594), "59\u{a0}%");
//! assert_eq!(signed(-0.04, 1), "0");
//! assert_eq!(Shown::of(Kind::Temperature, System::Us).text(20.0, 1), "68\u{a0}°F");
//! assert_eq!(date(jiff::civil::date(2027, 2, 15), System::Us), "Mon\u{a0}Feb\u{a0}15,\u{a0}2027");
//! assert_eq!(Currency::default().money(30_163.0), "$30,200");
//! ```

use super::table::{CURRENCIES, Kind, System, UNITS, Unit};
use jiff::civil::{Date, DateTime, DateTimeRound};

/// The blank at which no line breaks (U+00A0).
pub const HOLD: char = '\u{a0}';

/// Their names, January first.
pub const MONTHS_OF_THE_YEAR: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// Days up to which a tenth is told; beyond, nobody can use it.
const TENTHS_UP_TO: f64 = 3.0;
/// Figures of money and of amounts that are estimates.
const FIGURES: i32 = 3;

/// A text whose blanks do not break a line.
#[must_use]
pub fn held(text: &str) -> String {
    text.replace(' ', "\u{a0}")
}

/// Whether a character moves the cursor, ends a line or turns the direction of writing (Unicode Standard Annex 9): no name may print one.
#[must_use]
pub fn is_wild(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// A text whose signs stay beside their numbers.
#[must_use]
pub fn signs_held(text: &str) -> String {
    text.replace(" %", "\u{a0}%").replace(" °", "\u{a0}°")
}

/// A text with a comma after each thousand of its first number.
fn grouped(text: &str) -> String {
    let start = text.find(|c: char| c.is_ascii_digit()).unwrap_or(0);
    let digits = text[start..]
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(text.len() - start);
    let mut out = text[..start].to_owned();
    for (at, c) in text[start..start + digits].char_indices() {
        if at > 0 && (digits - at) % 3 == 0 {
            out.push(',');
        }
        out.push(c);
    }
    out + &text[start + digits..]
}

/// A number with exactly so many decimals, never "-0".
#[must_use]
pub fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    grouped(match text.strip_prefix('-') {
        Some(digits) if digits.chars().all(|c| matches!(c, '0' | '.')) => digits,
        _ => &text,
    })
}

/// A whole number, never "-0".
#[must_use]
pub fn whole(value: f64) -> String {
    fixed(value, 0)
}

/// A whole number of at most three figures that say something, for estimates: 30163 is "30,200".
#[must_use]
pub fn rounded(value: f64) -> String {
    let size = value.abs();
    if !(size >= 1.0 && size.is_finite()) {
        return whole(value);
    }
    let step = 10_f64.powi((size.log10().floor() as i32 + 1 - FIGURES).max(0));
    whole((value / step).round() * step)
}

/// A number with at most so many decimals: zeros at its end are left out.
#[must_use]
pub fn number(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// A number with its sign and so many decimals; "0" where it rounds to nothing.
#[must_use]
pub fn signed(value: f64, decimals: usize) -> String {
    if number(value, decimals) == "0" {
        "0".to_owned()
    } else {
        grouped(&format!("{value:+.decimals$}"))
    }
}

/// A number of a balance error or the like: two figures and a power of ten.
#[must_use]
pub fn tiny(value: f64) -> String {
    format!("{value:.1e}")
}

/// A share of one in whole per cent, such as "59 %".
#[must_use]
pub fn percent(share: f64) -> String {
    format!("{}{HOLD}%", whole(100.0 * share))
}

/// A share of one in per cent, to the tenth where there is one, as tests are read: "84.5 %".
#[must_use]
pub fn fine_percent(share: f64) -> String {
    format!("{}{HOLD}%", number(100.0 * share, 1))
}

/// A count with its noun: "1 circuit", "3 circuits".
#[must_use]
pub fn counted(count: impl std::fmt::Display, noun: &str) -> String {
    let count = count.to_string();
    let ending = if count == "1" { "" } else { "s" };
    format!("{count}{HOLD}{noun}{ending}")
}

/// From one count to another: "2 to 5 tubes", or the one where both are the same.
#[must_use]
pub fn range_of(low: f64, high: f64, noun: &str) -> String {
    let (low, high) = (whole(low), whole(high));
    if low == high {
        counted(high, noun)
    } else {
        format!("{low} to {}", counted(high, noun))
    }
}

/// Hours, whole: "2,684 h".
#[must_use]
pub fn hours(hours: f64) -> String {
    format!("{}{HOLD}h", whole(hours))
}

/// A length of time in whole days, such as "1 day" or "34 days".
#[must_use]
pub fn days(days: f64) -> String {
    counted(whole(days), "day")
}

/// Days from one number to another: whole where they lie more than three days apart, else to the tenth.
#[must_use]
pub fn days_between(low: f64, high: f64) -> String {
    let decimals = usize::from(high - low <= TENTHS_UP_TO);
    let (low, high) = (number(low, decimals), number(high, decimals));
    if low == high {
        counted(high, "day")
    } else {
        format!("{low} to {high}{HOLD}days")
    }
}

/// So many days, to the tenth up to three: "0.6 days", "14 days".
#[must_use]
pub fn some_days(days: f64) -> String {
    counted(number(days, usize::from(days.abs() <= TENTHS_UP_TO)), "day")
}

/// By how much a date moves: "2 days sooner", "14 days later" or "no difference".
#[must_use]
pub fn moved_by(days: f64) -> String {
    match some_days(days.abs()) {
        none if none.starts_with("0\u{a0}") => "no difference".into(),
        some => format!("{some} {}", if days < 0.0 { "sooner" } else { "later" }),
    }
}

/// A difference of days with its sign: to the tenth up to three, beyond whole: "+2.5", "-14".
#[must_use]
pub fn plus_or_minus(days: f64) -> String {
    signed(days, usize::from(days.abs() <= TENTHS_UP_TO))
}

/// The same with its unit, such as "+1.0 day" or "\u{2212}14 days".
#[must_use]
pub fn signed_days(days: f64) -> String {
    let text = plus_or_minus(days);
    let one = matches!(text.as_str(), "+1.0" | "-1.0");
    format!("{text}{HOLD}day{}", if one { "" } else { "s" }).replace('-', "\u{2212}")
}

fn is_us(system: System) -> bool {
    system != System::Si
}

fn dated(date: Date, system: System, us: &str, si: &str) -> String {
    held(
        &date
            .strftime(if is_us(system) { us } else { si })
            .to_string(),
    )
}

/// A day of the calendar: "Mon Feb 15, 2027" in the US, else "15 Feb 2027".
#[must_use]
pub fn date(date: Date, system: System) -> String {
    dated(date, system, "%a %b %-d, %Y", "%-d %b %Y")
}

/// The same without the day of the week, for tables and charts: "Feb 15, 2027" or "15 Feb 2027".
#[must_use]
pub fn short_date(date: Date, system: System) -> String {
    dated(date, system, "%b %-d, %Y", "%-d %b %Y")
}

/// Day and month, where the year stands beside: "Feb 15" or "15 Feb".
#[must_use]
pub fn day_and_month(date: Date, system: System) -> String {
    dated(date, system, "%b %-d", "%-d %b")
}

/// A day in full: "February 15, 2027" or "15 February 2027".
#[must_use]
pub fn date_in_words(date: Date, system: System) -> String {
    dated(date, system, "%B %-d, %Y", "%-d %B %Y")
}

/// The same with the day of the week in front, for the one date that a page is about.
#[must_use]
pub fn weekday_and_date(date: Date, system: System) -> String {
    dated(date, system, "%A, %B %-d, %Y", "%A, %-d %B %Y")
}

/// The month in three letters, for an axis.
#[must_use]
pub fn month(date: Date) -> String {
    date.strftime("%b").to_string()
}

/// From one day to another: "Jan 12 to Apr 5", with the years where they differ.
#[must_use]
pub fn dates_between(from: Date, to: Date, system: System) -> String {
    if from.year() == to.year() {
        let (from, to) = (day_and_month(from, system), day_and_month(to, system));
        format!("{from} to {to}")
    } else {
        let (from, to) = (short_date(from, system), short_date(to, system));
        format!("{from} to {to}")
    }
}

/// A time of day to the minute, with seconds where there are any: "7:05 am" or "07:05".
#[must_use]
pub fn clock(moment: DateTime, system: System) -> String {
    let pattern = match (is_us(system), moment.second()) {
        (true, 0) => "%-I:%M %P",
        (true, _) => "%-I:%M:%S %P",
        (false, 0) => "%H:%M",
        (false, _) => "%H:%M:%S",
    };
    held(&moment.strftime(pattern).to_string())
}

/// The nearest five minutes: no one plans work more finely.
#[must_use]
pub fn to_five_minutes(moment: DateTime) -> DateTime {
    let five = DateTimeRound::new()
        .smallest(jiff::Unit::Minute)
        .increment(5);
    // Only the last minutes of the calendar have no five minutes after them.
    moment.round(five).unwrap_or(moment)
}

/// A day and time to the minute.
#[must_use]
pub fn moment(moment: DateTime, system: System) -> String {
    let day = short_date(moment.date(), system);
    format!("{day},{HOLD}{}", clock(moment, system))
}

/// The currency of a scenario's prices: a row in the table of currencies.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Currency(usize);

impl Currency {
    /// The currency of a row of the table.
    #[must_use]
    pub fn row(row: usize) -> Self {
        Self(row)
    }

    /// Whether it is the dollar of the usual prices.
    #[must_use]
    pub fn is_dollar(self) -> bool {
        self.0 == 0
    }

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        CURRENCIES.get(self.0).map_or("$", |(name, _)| name)
    }

    fn with(self, number: &str) -> String {
        let (sign, number) = match number.strip_prefix(['-', '+']) {
            Some(rest) => (&number[..1], rest),
            None => ("", number),
        };
        match self.name() {
            "$" => format!("{sign}${number}"),
            name => format!("{sign}{name}{HOLD}{number}"),
        }
    }

    /// Money to three figures: "$30,200", "EUR 30,200".
    #[must_use]
    pub fn money(self, amount: f64) -> String {
        self.with(&rounded(amount))
    }

    /// Money as a sum of prices that some may be missing from, which a plus sign says.
    #[must_use]
    pub fn money_at_least(self, amount: f64, incomplete: bool) -> String {
        self.money(amount) + if incomplete { "+" } else { "" }
    }

    /// A difference of money with its sign: "+$4,130"; "0" where it is nothing.
    #[must_use]
    pub fn signed_money(self, amount: f64) -> String {
        match rounded(amount).as_str() {
            "0" => "0".into(),
            less if less.starts_with('-') => self.with(less),
            more => self.with(&format!("+{more}")),
        }
    }

    /// Money to the hundredth, as on a bill.
    #[must_use]
    pub fn bill(self, amount: f64) -> String {
        self.with(&fixed(amount, 2))
    }
}

/// The same text with a capital at its start.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}

/// The same text with a small letter at its start.
#[must_use]
pub fn lower(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().collect::<String>() + letters.as_str()
    })
}

/// Names one after the other: "A", "A and B", "A, B and C".
#[must_use]
pub fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// The same text as each system says it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Said([String; 2]);

impl Said {
    /// A text by system.
    #[must_use]
    pub fn new(text: impl Fn(System) -> String) -> Self {
        Self([text(System::Us), text(System::Si)])
    }

    /// A fixed text whose sizes stand in both systems: "cracks up to {1/2 in|13 mm} wide".
    #[must_use]
    pub fn both(text: &str) -> Self {
        Self::new(|system| {
            let mut out = String::with_capacity(text.len());
            let mut rest = text;
            while let Some((before, (us, si), after)) = rest.split_once('{').and_then(|(b, r)| {
                let (sizes, after) = r.split_once('}')?;
                Some((b, sizes.split_once('|')?, after))
            }) {
                out += before;
                out += &held(if is_us(system) { us } else { si });
                rest = after;
            }
            out + rest
        })
    }

    /// As a system says it.
    #[must_use]
    pub fn of(&self, system: System) -> &str {
        &self.0[usize::from(!is_us(system))]
    }
}

/// Texts as a system says them.
#[must_use]
pub fn all_said(texts: &[Said], system: System) -> Vec<String> {
    texts
        .iter()
        .map(|text| text.of(system).to_owned())
        .collect()
}

/// A text without units and dates.
impl From<String> for Said {
    fn from(text: String) -> Self {
        Self([text.clone(), text])
    }
}

impl From<&str> for Said {
    fn from(text: &str) -> Self {
        text.to_owned().into()
    }
}

/// A unit's name as people read it: °F for degF, pints for pint.
fn name_shown(name: &str) -> String {
    let name = name.replace("degF", "°F").replace("degC", "°C");
    held(&name.replace("pint/", "pints/"))
}

/// A quantity as a scenario has it, as people read it: °F for degF, and no line breaks between a number and its unit.
#[must_use]
pub fn echoed(text: &str) -> String {
    let text = text.replace("degF", "°F").replace("degC", "°C");
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        let number = out.ends_with(|c: char| c.is_ascii_digit());
        out.push(if c == ' ' && number { HOLD } else { c });
    }
    out
}

/// The unit in which a kind of quantity is shown: on an axis, in a table's head, behind a number.
#[derive(Clone, Copy, Debug)]
pub struct Shown(&'static Unit);

impl Shown {
    /// The usual unit of a kind in a system: the first that the table of units has.
    #[must_use]
    pub fn of(kind: Kind, system: System) -> Self {
        let wanted = |unit: &&Unit| {
            unit.kind == kind && (unit.system == system || unit.system == System::Both)
        };
        // Every kind has a unit in each system (tested), so the fallback is only there to avoid a panic.
        Self(UNITS.iter().find(wanted).unwrap_or(&UNITS[0]))
    }

    /// A unit by its name in the table, where the usual one is not wanted; the usual one of SI if there is none of that name.
    #[must_use]
    pub fn named(kind: Kind, name: &str) -> Self {
        let mut units = UNITS.iter().filter(|unit| unit.kind == kind);
        units
            .find(|unit| unit.name == name)
            .map_or_else(|| Self::of(kind, System::Si), Self)
    }

    /// Its name.
    #[must_use]
    pub fn unit(self) -> String {
        name_shown(self.0.name)
    }

    /// The number in this unit of a value in SI.
    #[must_use]
    pub fn number(self, si: f64) -> f64 {
        si / self.0.factor + self.0.zero
    }

    /// The number alone, with exactly so many decimals.
    #[must_use]
    pub fn fixed(self, si: f64, decimals: usize) -> String {
        fixed(self.number(si), decimals)
    }

    /// Number and unit, with exactly so many decimals.
    #[must_use]
    pub fn fixed_text(self, si: f64, decimals: usize) -> String {
        format!("{}{HOLD}{}", self.fixed(si, decimals), self.unit())
    }

    /// Number and unit, with at most so many decimals.
    #[must_use]
    pub fn text(self, si: f64, decimals: usize) -> String {
        format!("{}{HOLD}{}", number(self.number(si), decimals), self.unit())
    }

    /// From one number to another with the unit once: "16 to 32 pints/day".
    #[must_use]
    pub fn between(self, low: f64, high: f64, decimals: usize) -> String {
        let (low, high) = (self.number(low), self.number(high));
        let (low, high) = (number(low, decimals), number(high, decimals));
        if low == high {
            format!("{high}{HOLD}{}", self.unit())
        } else {
            format!("{low} to {high}{HOLD}{}", self.unit())
        }
    }
}

/// A temperature to the degree.
#[must_use]
pub fn temperature(celsius: f64, system: System) -> String {
    Shown::of(Kind::Temperature, system).text(celsius, 0)
}

/// A temperature to the tenth, as instruments read.
#[must_use]
pub fn fine_temperature(celsius: f64, system: System) -> String {
    Shown::of(Kind::Temperature, system).text(celsius, 1)
}

/// A difference of temperatures: "5 °F", "3 K".
#[must_use]
pub fn warmer_by(kelvin: f64, system: System) -> String {
    Shown::of(Kind::TemperatureDifference, system).text(kelvin, 0)
}

/// Water per day: "180 pints/day", "85 L/day"; small rates to the tenth.
#[must_use]
pub fn water_rate(rate: f64, system: System) -> String {
    water_rates(rate, rate, system)
}

/// Water per day from one rate to another.
#[must_use]
pub fn water_rates(low: f64, high: f64, system: System) -> String {
    let shown = Shown::of(Kind::WaterRate, system);
    shown.between(low, high, usize::from(shown.number(high).abs() < 10.0))
}

/// A power of electricity: "14.4 kW", in both systems.
#[must_use]
pub fn kilowatts(watts: f64) -> String {
    Shown::named(Kind::Power, "kW").text(watts, 1)
}

/// The power of a burner: "170 kBtu/h", "50 kW".
#[must_use]
pub fn burner(watts: f64, system: System) -> String {
    if is_us(system) {
        let shown = Shown::named(Kind::Power, "Btu/h");
        format!("{}{HOLD}kBtu/h", whole(shown.number(watts) / 1e3))
    } else {
        Shown::named(Kind::Power, "kW").text(watts, 0)
    }
}

/// The heat that warms air: "1,200 kBtu", "350 kWh".
#[must_use]
pub fn heat(joules: f64, system: System) -> String {
    let (number, unit) = heat_in(joules, system);
    format!("{}{HOLD}{unit}", rounded(number))
}

/// The number of a heat and its unit.
#[must_use]
pub fn heat_in(joules: f64, system: System) -> (f64, &'static str) {
    if is_us(system) {
        (
            Shown::named(Kind::Energy, "Btu").number(joules) / 1e3,
            "kBtu",
        )
    } else {
        (Shown::named(Kind::Energy, "kWh").number(joules), "kWh")
    }
}

/// A mass of water: "1,900 lb", "860 kg".
#[must_use]
pub fn water(kilograms: f64, system: System) -> String {
    let shown = Shown::of(Kind::Mass, system);
    format!("{}{HOLD}{}", rounded(shown.number(kilograms)), shown.unit())
}

/// An amount of fuel in the measure it is sold in, from its gross heat: gallons or therms in the US. `price` is the kind of its price.
#[derive(Clone, Copy, Debug)]
pub struct Fuel(Shown);

impl Fuel {
    /// How a fuel with a price of this kind is sold.
    #[must_use]
    pub fn sold(price: Kind, system: System) -> Self {
        Self(Shown::of(price, system))
    }

    /// Its measure: "gal", "therm", "L" or "kWh".
    #[must_use]
    pub fn unit(self) -> String {
        name_shown(self.0.0.name.trim_start_matches("$/"))
    }

    /// The number of it in a gross heat, to three figures.
    #[must_use]
    pub fn number(self, joules: f64) -> String {
        // A price per measure is its number times the factor per joule.
        rounded(joules * self.0.0.factor)
    }
}

/// A number with a unit that the table of units does not have, or that fits both systems.
#[must_use]
pub fn with_unit(number: &str, unit: &str) -> String {
    format!("{number}{HOLD}{unit}")
}

/// Hours to the tenth, from seconds: "7.5 h".
#[must_use]
pub fn fine_hours(seconds: f64) -> String {
    Shown::named(Kind::Duration, "h").text(seconds, 1)
}
