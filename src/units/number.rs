//! The number at the start of a quantity, as people write it: `5,000`, `5-1/2`, `5 1/2`, `1/4`, `5½`, `.14`, `1e-3`.
//!
//! A comma counts only between groups of three digits. In `1,5` or `12,34` it can mean two things, so both are offered and neither is taken.

use std::borrow::Cow;

/// Why there is no number, and what it may mean.
#[derive(Debug)]
pub(super) struct NumberFault {
    /// The end of a sentence that starts with the text.
    pub(super) why: &'static str,
    /// The number written so that it means one thing, for each thing it may mean.
    pub(super) readings: Vec<String>,
    /// What follows the number.
    pub(super) after: String,
}

impl NumberFault {
    fn of(why: &'static str) -> Self {
        Self {
            why,
            readings: Vec::new(),
            after: String::new(),
        }
    }
}

/// Fractions that are one character.
const FRACTIONS: [(char, &str); 15] = [
    ('\u{bd}', "1/2"),
    ('\u{bc}', "1/4"),
    ('\u{be}', "3/4"),
    ('\u{2153}', "1/3"),
    ('\u{2154}', "2/3"),
    ('\u{215b}', "1/8"),
    ('\u{215c}', "3/8"),
    ('\u{215d}', "5/8"),
    ('\u{215e}', "7/8"),
    ('\u{2155}', "1/5"),
    ('\u{2156}', "2/5"),
    ('\u{2157}', "3/5"),
    ('\u{2158}', "4/5"),
    ('\u{2159}', "1/6"),
    ('\u{215a}', "5/6"),
];

/// The text with the marks of a word processor replaced by those of a keyboard.
pub(super) fn plain(text: &str) -> Cow<'_, str> {
    if text.is_ascii() && !text.contains("''") {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\u{2212}' | '\u{2010}'..='\u{2013}' => out.push('-'),
            '\u{2044}' => out.push('/'),
            '\u{2018}' | '\u{2019}' | '\u{2032}' | '\u{b4}' => out.push('\''),
            '\u{201c}' | '\u{201d}' | '\u{2033}' => out.push('"'),
            '\u{a0}' | '\u{202f}' | '\u{2009}' => out.push(' '),
            other => match FRACTIONS.iter().find(|(mark, _)| *mark == other) {
                Some((_, fraction)) => {
                    if out.ends_with(|c: char| c.is_ascii_digit()) {
                        out.push(' ');
                    }
                    out.push_str(fraction);
                }
                None => out.push(other),
            },
        }
    }
    Cow::Owned(out.replace("''", "\""))
}

/// Splits off a leading number: decimal, in groups of three, fraction (`1/4`) or mixed (`3 1/2`, `3-1/2`).
/// Money comes in no fractions: in `$5/1000 ft3` the slash belongs to the unit.
pub(super) fn leading(text: &str, fractions: bool) -> Result<Option<(f64, &str)>, NumberFault> {
    if let Some((number, after)) = grouped(text)? {
        return Ok(Some((number, after)));
    }
    let Some((first, after)) = decimal(text)? else {
        return Ok(None);
    };
    if !fractions {
        return Ok(Some((first, after)));
    }
    if let Some((bottom, rest)) = slash_whole(after) {
        return over(first, bottom).map(|value| Some((value, rest)));
    }
    let gap = after.trim_start_matches([' ', '-']);
    if gap.len() < after.len()
        && first.fract() == 0.0
        && let Some((top, rest)) = whole(gap)
        && let Some((bottom, rest)) = slash_whole(rest)
    {
        let part = over(top, bottom)?;
        let sign = if text.starts_with('-') { -1.0 } else { 1.0 };
        return Ok(Some((first + sign * part, rest)));
    }
    Ok(Some((first, after)))
}

/// `5,000`, `1,234,567.8` or `16 500`. A comma in another place is a fault.
fn grouped(text: &str) -> Result<Option<(f64, &str)>, NumberFault> {
    let bytes = text.as_bytes();
    let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let start = usize::from(matches!(bytes.first(), Some(b'+' | b'-')));
    let head = (start..bytes.len()).take_while(|at| digit(*at)).count();
    let mark = match bytes.get(start + head) {
        Some(mark @ (b',' | b' ')) if head > 0 && digit(start + head + 1) => *mark,
        _ => return Ok(None),
    };
    let mut end = start + head;
    let mut groups = 0;
    while bytes.get(end) == Some(&mark) && (1..=3).all(|more| digit(end + more)) && !digit(end + 4)
    {
        end += 4;
        groups += 1;
    }
    let whole_groups = groups > 0 && head <= 3 && bytes.get(start) != Some(&b'0') && {
        let more = bytes.get(end) == Some(&b',') && digit(end + 1);
        // After a blank it can be a fraction: "5 100/200".
        !more && (mark != b' ' || bytes.get(end) != Some(&b'/'))
    };
    if whole_groups {
        let (number, after) = text.split_at(end);
        let joined: String = number.chars().filter(|c| *c != char::from(mark)).collect();
        let (tail, after) = match after.strip_prefix('.') {
            Some(rest) => {
                let digits = rest.find(|c: char| !c.is_ascii_digit());
                rest.split_at(digits.unwrap_or(rest.len()))
            }
            None => ("", after),
        };
        let value = format!("{joined}.{tail}0").parse();
        return match value {
            Ok(value) => Ok(Some((value, after))),
            Err(_) => Err(NumberFault::of("this is not a number.")),
        };
    }
    if mark != b',' {
        return Ok(None);
    }
    let (number, after) = {
        let digits = (start + head..bytes.len())
            .take_while(|at| digit(*at) || (bytes.get(*at) == Some(&b',') && digit(at + 1)))
            .count();
        text.split_at(start + head + digits)
    };
    let joined = number.replace(',', "");
    let mut readings = Vec::new();
    if number.matches(',').count() == 1 {
        readings.push(number.replace(',', "."));
    }
    // Nobody starts a whole number with a zero.
    if bytes.get(start) != Some(&b'0') {
        readings.push(joined);
    }
    Err(NumberFault {
        why: "the comma can mean two things.",
        readings,
        after: after.trim().to_owned(),
    })
}

fn over(top: f64, bottom: f64) -> Result<f64, NumberFault> {
    if bottom == 0.0 {
        Err(NumberFault::of("a fraction cannot be over zero."))
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

fn decimal(text: &str) -> Result<Option<(f64, &str)>, NumberFault> {
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
        .map_err(|_| NumberFault::of("this is not a number."))?;
    if !value.is_finite() {
        return Err(NumberFault::of("this number is too large."));
    }
    let mantissa = number.split(['e', 'E']).next().unwrap_or(number);
    if value == 0.0 && mantissa.contains(|c: char| ('1'..='9').contains(&c)) {
        return Err(NumberFault::of("this number is too small."));
    }
    Ok(Some((value, rest)))
}
