//! Lines to cells. A reading is one line, so that a fault in one line never touches another.

use crate::units::format::{Shown, is_wild};
use crate::units::{Kind, System};
use std::borrow::Cow;
use std::ops::Range;

/// Cells kept of one line: more than any log has, few enough that a line of commas costs nothing.
pub(super) const MOST_CELLS: usize = 64;
/// Characters of a wrong text in a message.
const SHOWN: usize = 40;

/// One cell with its place in the whole text \[bytes\].
#[derive(Debug)]
pub(super) struct Cell<'a> {
    pub(super) text: Cow<'a, str>,
    pub(super) span: Range<usize>,
}

/// Why a line has no cells.
#[derive(Debug)]
pub(super) struct SplitFault {
    pub(super) span: Range<usize>,
    pub(super) message: String,
    pub(super) help: String,
}

/// A text for a message: short and without control characters.
pub(super) fn shown(text: &str) -> String {
    let mut out: String = text
        .chars()
        .take(SHOWN)
        .map(|c| if is_wild(c) { ' ' } else { c })
        .collect();
    if text.chars().nth(SHOWN).is_some() {
        out.push_str("...");
    }
    out
}

/// Comma-separated cells of a line that starts at byte `base`. A cell in double quotes may hold commas; a doubled quote in it
/// stands for one.
pub(super) fn split(line: &str, base: usize) -> Result<Vec<Cell<'_>>, SplitFault> {
    let mut cells = Vec::new();
    let mut at = 0;
    loop {
        let rest = line.get(at..).unwrap_or_default();
        let blanks = rest.len() - rest.trim_start_matches([' ', '\t']).len();
        let (text, length) = if rest.get(blanks..).is_some_and(|r| r.starts_with('"')) {
            quoted(rest, blanks, base + at)?
        } else {
            let length = rest.find(',').unwrap_or(rest.len());
            (
                Cow::Borrowed(rest.get(..length).unwrap_or_default()),
                length,
            )
        };
        let raw = rest.get(..length).unwrap_or_default();
        let lead = raw.len() - raw.trim_start().len();
        let start = base + at + lead.min(length);
        cells.push(Cell {
            text,
            span: start..start + raw.trim().len(),
        });
        if rest.len() <= length || cells.len() > MOST_CELLS {
            return Ok(cells);
        }
        at += length + 1;
    }
}

/// A cell in quotes that open at `open` of `rest`, which starts at byte `base`: its text and length with blanks around.
fn quoted(rest: &str, open: usize, base: usize) -> Result<(Cow<'_, str>, usize), SplitFault> {
    let mut text = String::new();
    let mut from = open + 1;
    loop {
        let inside = rest.get(from..).unwrap_or_default();
        let Some(end) = inside.find('"') else {
            return Err(SplitFault {
                span: base + open..base + rest.len(),
                message: "The quotation mark that opens here is not closed on this line.".into(),
                help: "If the line was cut short, complete it from your notes, or remove it and add the reading again.".into(),
            });
        };
        text.push_str(inside.get(..end).unwrap_or_default());
        from += end + 1;
        let after = rest.get(from..).unwrap_or_default();
        if after.starts_with('"') {
            text.push('"');
            from += 1;
            continue;
        }
        let stop = after.find(',').unwrap_or(after.len());
        if after
            .get(..stop)
            .is_some_and(|rest| !rest.trim().is_empty())
        {
            return Err(SplitFault {
                span: base + from..base + from + stop,
                message: "Text follows the closing quotation mark.".into(),
                help: "Put a comma after the mark, or write a mark inside the text twice.".into(),
            });
        }
        return Ok((Cow::Owned(text), from + stop));
    }
}

/// A length in words.
pub(super) fn length(metres: f64, system: System) -> String {
    let decimals = usize::from(system != System::Si);
    Shown::of(Kind::Length, system).text(metres, decimals)
}

/// A length of time in words.
pub(super) fn hours(seconds: f64) -> String {
    Shown::of(Kind::Duration, System::Si).text(seconds, 1)
}
