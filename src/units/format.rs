//! The only place that turns a number, a quantity, a share, a date or money into text for people. What programs read keeps every digit
//! and is not made here.
//!
//! ```
//! use coatday::units::format::{Shown, counted, days, percent, signed};
//! use coatday::units::{Kind, System};
//! assert_eq!(days(0.9), "1 day");
//! assert_eq!(counted(2, "place"), "2 places");
//! assert_eq!(percent(0.594), "59 %");
//! assert_eq!(signed(-0.04, 1), "0");
//! assert_eq!(Shown::of(Kind::Temperature, System::Us).text(20.0, 1), "68 degF");
//! ```

use super::table::{Kind, System, UNITS, Unit};
use jiff::civil::{Date, DateTime};

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

/// A number with exactly so many decimals, never "-0".
#[must_use]
pub fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(digits) if digits.chars().all(|c| matches!(c, '0' | '.')) => digits.to_owned(),
        _ => text,
    }
}

/// A whole number, never "-0".
#[must_use]
pub fn whole(value: f64) -> String {
    fixed(value, 0)
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
        format!("{value:+.decimals$}")
    }
}

/// A share of one in whole per cent, such as "59 %".
#[must_use]
pub fn percent(share: f64) -> String {
    format!("{} %", whole(100.0 * share))
}

/// A share of one in per cent, to the tenth where there is one, as tests are read: "84.5 %".
#[must_use]
pub fn fine_percent(share: f64) -> String {
    format!("{} %", number(100.0 * share, 1))
}

/// A count with its noun: "1 circuit", "3 circuits".
#[must_use]
pub fn counted(count: impl std::fmt::Display, noun: &str) -> String {
    let count = count.to_string();
    format!("{count} {noun}{}", if count == "1" { "" } else { "s" })
}

/// A length of time in whole days, such as "1 day" or "34 days".
#[must_use]
pub fn days(days: f64) -> String {
    counted(whole(days), "day")
}

/// A difference of days with its sign and a tenth, such as "+1.0 day" or "\u{2212}3.5 days".
#[must_use]
pub fn signed_days(days: f64) -> String {
    let text = signed(days, 1);
    let one = matches!(text.as_str(), "+1.0" | "-1.0");
    format!("{text} day{}", if one { "" } else { "s" }).replace('-', "\u{2212}")
}

/// A day of the calendar.
#[must_use]
pub fn date(date: Date) -> String {
    date.to_string()
}

/// A day in words that no country reads the other way round, such as "20 November 2026".
#[must_use]
pub fn date_in_words(date: Date) -> String {
    date.strftime("%-d %B %Y").to_string()
}

/// The same with the day of the week in front.
#[must_use]
pub fn weekday_and_date(date: Date) -> String {
    date.strftime("%A, %-d %B %Y").to_string()
}

/// Day and month, for labels on a chart that shows the year.
#[must_use]
pub fn day_and_month(date: Date) -> String {
    date.strftime("%-d %b").to_string()
}

/// Day and month in full, for titles.
#[must_use]
pub fn day_and_month_in_words(date: Date) -> String {
    date.strftime("%-d %B").to_string()
}

/// The day of the week, such as "Mon".
#[must_use]
pub fn weekday(date: Date) -> String {
    date.strftime("%a").to_string()
}

/// A day and time to the minute; with seconds where there are any.
#[must_use]
pub fn moment(moment: DateTime) -> String {
    let seconds = match moment.second() {
        0 => String::new(),
        seconds => format!(":{seconds:02}"),
    };
    let (hour, minute) = (moment.hour(), moment.minute());
    format!("{} {hour:02}:{minute:02}{seconds}", date(moment.date()))
}

/// Money in whole units of its currency.
#[must_use]
pub fn money(amount: f64) -> String {
    whole(amount)
}

/// Money as a sum of prices that some may be missing from, which a plus sign says.
#[must_use]
pub fn money_at_least(amount: f64, incomplete: bool) -> String {
    money(amount) + if incomplete { "+" } else { "" }
}

/// Money to the hundredth, as on a bill.
#[must_use]
pub fn bill(amount: f64) -> String {
    fixed(amount, 2)
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
    pub fn unit(self) -> &'static str {
        self.0.name
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
        format!("{} {}", self.fixed(si, decimals), self.unit())
    }

    /// Number and unit, with at most so many decimals.
    #[must_use]
    pub fn text(self, si: f64, decimals: usize) -> String {
        format!("{} {}", number(self.number(si), decimals), self.unit())
    }
}

/// A value of a kind in both systems, such as "20.0 degC (68 degF)": in SI with so many decimals, in US units with so many.
#[must_use]
pub fn both(kind: Kind, si: f64, (si_decimals, us_decimals): (usize, usize)) -> String {
    format!(
        "{} ({})",
        Shown::of(kind, System::Si).fixed_text(si, si_decimals),
        Shown::of(kind, System::Us).fixed_text(si, us_decimals)
    )
}
