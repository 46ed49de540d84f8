//! A day or a moment from text: the one place in which a date that people type is read.
//!
//! Read: `2026-03-01`, `3/15/2027`, `Mar 15 2027`, `March 15th, 2027`, `15 Mar 2027`, `Mon Mar 15, 2027`; with a time of day behind it
//! `15:00`, `08:30:15`, `3 pm`, `3:30 pm`. Where two numbers can each be the month, both days are offered and none is taken.
//!
//! ```
//! use coatday::units::dates::date;
//! assert_eq!(date("Mon Mar 15, 2027").unwrap().to_string(), "2027-03-15");
//! assert_eq!(date("3/1/2027").unwrap_err().help, "Write \"Mar 1 2027\" or \"3 Jan 2027\".");
//! ```

use super::format::{MONTHS_OF_THE_YEAR, is_wild};
use jiff::civil::{Date, DateTime, Weekday};

/// Years a date may have: before it nobody cast floors to be coated now, after it nobody plans.
pub const YEARS: std::ops::RangeInclusive<i16> = 1900..=2150;
/// How to write a day.
pub const DATE_HELP: &str = "Write a date such as \"2026-11-02\" or \"Nov 2 2026\".";
/// How to write a moment.
pub const MOMENT_HELP: &str =
    "Write a day and a time of day, such as \"2026-11-20 15:00\" or \"Nov 20 2026 3 pm\".";
/// Longest text that is looked at.
const LONGEST_TEXT: usize = 60;
/// Letters from which a month or a day of the week is known.
const LEAST_LETTERS: usize = 3;
const WEEKDAYS: [(&str, Weekday); 7] = [
    ("monday", Weekday::Monday),
    ("tuesday", Weekday::Tuesday),
    ("wednesday", Weekday::Wednesday),
    ("thursday", Weekday::Thursday),
    ("friday", Weekday::Friday),
    ("saturday", Weekday::Saturday),
    ("sunday", Weekday::Sunday),
];

/// Why a text is not a day or moment.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{message} {help}")]
pub struct DateFault {
    /// What is wrong.
    pub message: String,
    /// What to write instead.
    pub help: String,
}

/// What a text says, before it is known to be a day.
enum Found {
    Day(Date),
    /// Month first, day first.
    Either(Date, Date),
}

/// A day.
///
/// # Errors
/// The text is no day, or more than one.
pub fn date(text: &str) -> Result<Date, DateFault> {
    match found(text)? {
        Found::Day(date) => Ok(date),
        Found::Either(us, other) => Err(two_days(text, us, other, "")),
    }
}

/// A day with its time of day.
///
/// # Errors
/// The text is no moment, or more than one, or names a time zone.
pub fn moment(text: &str) -> Result<DateTime, DateFault> {
    let not_one = || {
        fault(
            format!("\"{}\" is not a day and time.", cut(text)),
            MOMENT_HELP,
        )
    };
    let whole = text.trim();
    if whole.len() > LONGEST_TEXT {
        return Err(not_one());
    }
    let at = start_of_clock(whole).ok_or_else(not_one)?;
    let (day, clock) = whole.split_at(at);
    let day = day.trim_end_matches([' ', ',', '\u{a0}']);
    let day = day
        .strip_suffix('T')
        .or(day.strip_suffix(" at"))
        .unwrap_or(day);
    let (hour, minute, second) = match read_clock(clock.trim()) {
        Some(Ok(time)) => time,
        Some(Err(())) => {
            return Err(fault(
                format!("\"{}\" names a time zone.", cut(text)),
                "Write the site's local standard time, such as \"2026-11-20 15:00\".",
            ));
        }
        None => return Err(not_one()),
    };
    match found(day) {
        Ok(Found::Day(date)) => Ok(date.at(hour, minute, second, 0)),
        Ok(Found::Either(us, other)) => Err(two_days(text, us, other, clock.trim())),
        Err(why) if why.help == DATE_HELP => Err(not_one()),
        Err(why) => Err(why),
    }
}

fn fault(message: String, help: &str) -> DateFault {
    DateFault {
        message,
        help: help.to_owned(),
    }
}

fn two_days(text: &str, us: Date, other: Date, clock: &str) -> DateFault {
    let with = |day: String| match clock {
        "" => day,
        clock => format!("{day} {clock}"),
    };
    let us = with(us.strftime("%b %-d %Y").to_string());
    let other = with(other.strftime("%-d %b %Y").to_string());
    DateFault {
        message: format!(
            "\"{}\" can be two days: month first or day first.",
            cut(text)
        ),
        help: format!("Write \"{us}\" or \"{other}\"."),
    }
}

/// Short and without control characters.
fn cut(text: &str) -> String {
    const SHOWN: usize = 40;
    let clean = text.chars().map(|c| if is_wild(c) { ' ' } else { c });
    let short: String = clean.take(SHOWN).collect();
    if text.chars().nth(SHOWN).is_some() {
        format!("{short}...")
    } else {
        short
    }
}

/// A number with its count of digits, or a word in small letters.
enum Part {
    Number(i16, usize),
    Word(String),
}

/// Numbers and words of a text; none if something else stands in it.
fn parts(text: &str) -> Option<Vec<Part>> {
    let mut parts = Vec::new();
    let mut rest = text.trim();
    while let Some(first) = rest.chars().next() {
        let digit = first.is_ascii_digit();
        if digit || first.is_ascii_alphabetic() {
            let end = rest
                .find(|c: char| {
                    if digit {
                        !c.is_ascii_digit()
                    } else {
                        !c.is_ascii_alphabetic()
                    }
                })
                .unwrap_or(rest.len());
            let (part, after) = rest.split_at(end);
            rest = after;
            let small = part.to_ascii_lowercase();
            let behind_number = matches!(parts.last(), Some(Part::Number(..)));
            match small.as_str() {
                "st" | "nd" | "rd" | "th" | "of" if behind_number => {}
                _ if digit => parts.push(Part::Number(part.parse().ok()?, end)),
                _ => parts.push(Part::Word(small)),
            }
        } else if matches!(first, ' ' | ',' | '.' | '/' | '-' | '\u{a0}') {
            rest = &rest[first.len_utf8()..];
        } else {
            return None;
        }
    }
    Some(parts)
}

fn month_named(word: &str) -> Option<i8> {
    let named = |name: &str| {
        word.len() >= LEAST_LETTERS && name.to_ascii_lowercase().starts_with(word)
            || word == "sept" && name == "September"
    };
    let place = MONTHS_OF_THE_YEAR.iter().position(|name| named(name))?;
    i8::try_from(place + 1).ok()
}

fn weekday_named(word: &str) -> Option<Weekday> {
    let named = |name: &str| word.len() >= LEAST_LETTERS && name.starts_with(word);
    WEEKDAYS
        .iter()
        .find(|(name, _)| named(name))
        .map(|(_, day)| *day)
}

fn found(text: &str) -> Result<Found, DateFault> {
    let no_day = || {
        fault(
            format!("\"{}\" is not a day of the calendar.", cut(text)),
            DATE_HELP,
        )
    };
    if text.len() > LONGEST_TEXT {
        return Err(no_day());
    }
    let (mut numbers, mut month, mut weekday) = (Vec::new(), None, None);
    for part in parts(text).ok_or_else(no_day)? {
        match part {
            Part::Number(number, digits) => numbers.push((number, digits)),
            Part::Word(word) => {
                if let (None, Some(named)) = (month, month_named(&word)) {
                    month = Some(named);
                } else if let (None, Some(named)) = (weekday, weekday_named(&word)) {
                    weekday = Some(named);
                } else {
                    return Err(no_day());
                }
            }
        }
    }
    let day_of = |year: i16, month: i16, day: i16| {
        let (month, day) = (i8::try_from(month).ok()?, i8::try_from(day).ok()?);
        Date::new(year, month, day).ok()
    };
    let one = |date: Option<Date>| date.map(Found::Day).ok_or_else(no_day);
    let date = match (month, numbers.as_slice()) {
        (Some(month), &[(year, 4), (day, 1 | 2)] | &[(day, 1 | 2), (year, 4)]) => {
            one(day_of(year, month.into(), day))?
        }
        (Some(_), &[(_, 1 | 2)]) => {
            return Err(fault(
                format!("\"{}\" has no year.", cut(text)),
                "Write the year too, such as \"Nov 2 2026\".",
            ));
        }
        (None, &[(year, 4), (month, 1 | 2), (day, 1 | 2)]) => one(day_of(year, month, day))?,
        (None, &[(first, 1 | 2), (second, 1 | 2), (year, 4)]) => {
            match (day_of(year, first, second), day_of(year, second, first)) {
                (Some(us), Some(other)) if us != other => Found::Either(us, other),
                (us, other) => one(us.or(other))?,
            }
        }
        (None, &[(_, 1 | 2), (_, 1 | 2), (_, 2)]) | (Some(_), &[(_, 1 | 2), (_, 2)]) => {
            return Err(fault(
                format!("\"{}\" has a year of two digits.", cut(text)),
                "Write the year in full, such as \"Nov 2 2026\".",
            ));
        }
        _ => return Err(no_day()),
    };
    let (Found::Day(day) | Found::Either(day, _)) = date;
    if !YEARS.contains(&day.year()) {
        return Err(DateFault {
            message: format!("The year {} is a typing slip.", day.year()),
            help: format!(
                "The year must lie between {} and {}.",
                YEARS.start(),
                YEARS.end()
            ),
        });
    }
    // A day of the week settles the order, or shows a slip.
    match (weekday, date) {
        (None, date) => Ok(date),
        (Some(named), Found::Either(us, other)) => {
            match (us.weekday() == named, other.weekday() == named) {
                (true, false) => Ok(Found::Day(us)),
                (false, true) => Ok(Found::Day(other)),
                _ => Ok(Found::Either(us, other)),
            }
        }
        (Some(named), Found::Day(day)) if day.weekday() == named => Ok(Found::Day(day)),
        (Some(_), Found::Day(day)) => Err(DateFault {
            message: format!("\"{}\" has the wrong day of the week.", cut(text)),
            help: format!(
                "Write \"{}\", or correct the date.",
                day.strftime("%a %b %-d %Y")
            ),
        }),
    }
}

/// Where the time of day begins.
fn start_of_clock(text: &str) -> Option<usize> {
    let before = |end: usize| {
        let head = text.get(..end)?;
        let head = head.trim_end_matches(' ');
        let digits = head.trim_end_matches(|c: char| c.is_ascii_digit());
        (digits.len() < head.len()).then_some(digits.len())
    };
    if let Some(colon) = text.find(':') {
        return before(colon);
    }
    let half = text.len().checked_sub(2)?;
    let last = text.get(half..)?;
    (last.eq_ignore_ascii_case("am") || last.eq_ignore_ascii_case("pm")).then(|| before(half))?
}

/// Hour, minute and second; an inner error if a time zone follows.
fn read_clock(text: &str) -> Option<Result<(i8, i8, i8), ()>> {
    let small = text.to_ascii_lowercase();
    let (digits, noon) = match (small.strip_suffix("am"), small.strip_suffix("pm")) {
        (Some(digits), _) => (digits.trim_end(), Some(false)),
        (_, Some(digits)) => (digits.trim_end(), Some(true)),
        _ => (small.as_str(), None),
    };
    if digits.contains(['z', '+', '-', '[']) {
        return Some(Err(()));
    }
    let numbers: Vec<i8> = digits
        .split(':')
        .map(|part| {
            let plain = (1..=2).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
            plain.then(|| part.parse().ok()).flatten()
        })
        .collect::<Option<_>>()?;
    let (hour, minute, second) = match (numbers.as_slice(), noon) {
        (&[hour, minute], _) => (hour, minute, 0),
        (&[hour, minute, second], _) => (hour, minute, second),
        (&[hour], Some(_)) => (hour, 0, 0),
        _ => return None,
    };
    let hour = match (noon, hour) {
        (None, 0..=23) => hour,
        (Some(afternoon), 1..=12) => hour % 12 + if afternoon { 12 } else { 0 },
        _ => return None,
    };
    let good = (0..=59).contains(&minute) && (0..=59).contains(&second);
    good.then_some(Ok((hour, minute, second)))
}
