//! Faults in a scenario, each with its place, and how they are shown.

use std::fmt;
use std::ops::Range;

use crate::units::format::is_wild;
use serde::Serialize;

/// Characters of a source line that are shown; longer lines are cut around the fault.
const LINE_SHOWN: usize = 100;
/// Characters before the fault that are kept when a line is cut.
const BEFORE_FAULT: usize = 40;
/// Faults that are shown; more would hide the first.
const MOST_SHOWN: usize = 40;

/// Faults that are collected; a file with more is not a scenario, and each one costs time on long lines.
const MOST_COLLECTED: usize = 200;

/// One fault.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Fault {
    /// The key path, such as `setups[2].gear[0].heater.output`; empty for the whole file.
    pub path: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// What is wrong.
    pub message: String,
    /// What to do.
    pub help: String,
    /// The source line, cut if it is long.
    #[serde(skip)]
    excerpt: String,
    /// Where the marks stand under the excerpt, in characters, and how many.
    #[serde(skip)]
    marks: Range<usize>,
    /// Byte offset, for the order of faults.
    #[serde(skip)]
    at: usize,
}

/// Every fault of a scenario, in the order of the file. Never empty when returned as an error.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Faults {
    /// The name of the file, as shown.
    pub file: String,
    /// The faults.
    pub faults: Vec<Fault>,
}

/// Collects faults against one text.
#[derive(Debug)]
pub(crate) struct Collector<'a> {
    text: &'a str,
    /// Byte offsets of line starts.
    lines: Vec<usize>,
    faults: Vec<Fault>,
}

impl<'a> Collector<'a> {
    pub(crate) fn new(text: &'a str) -> Self {
        let mut lines = vec![0];
        lines.extend(
            text.bytes()
                .enumerate()
                .filter(|(_, byte)| *byte == b'\n')
                .map(|(at, _)| at + 1),
        );
        Self {
            text,
            lines,
            faults: Vec::new(),
        }
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.faults.is_empty()
    }

    /// The line of a byte, from 1.
    pub(crate) fn line_of(&self, at: usize) -> usize {
        self.lines.partition_point(|start| *start <= at).max(1)
    }

    /// How many so far.
    pub(crate) fn count(&self) -> usize {
        self.faults.len()
    }

    /// Whether it makes no sense to go on looking.
    pub(crate) fn is_full(&self) -> bool {
        self.faults.len() >= MOST_COLLECTED
    }

    pub(crate) fn add(
        &mut self,
        path: &str,
        span: &Range<usize>,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        if self.is_full() {
            return;
        }
        let row = self
            .lines
            .partition_point(|start| *start <= span.start)
            .saturating_sub(1);
        let start = self.lines.get(row).copied().unwrap_or(0);
        let end = self
            .lines
            .get(row + 1)
            .map_or(self.text.len(), |next| next - 1);
        let line = self
            .text
            .get(start..end)
            .unwrap_or_default()
            .trim_end_matches('\r');
        let line_text = line.strip_prefix('\u{feff}').unwrap_or(line);
        let skipped = line.len() - line_text.len();
        let before = self
            .text
            .get((start + skipped).min(span.start)..span.start)
            .unwrap_or_default()
            .chars()
            .count();
        let marked = self
            .text
            .get(span.start..span.end.min(end).max(span.start))
            .unwrap_or_default()
            .chars()
            .count()
            .max(1);
        let length = line_text.chars().count();
        let (from, ahead) = if length <= LINE_SHOWN {
            (0, "")
        } else {
            (before.saturating_sub(BEFORE_FAULT), "...")
        };
        let ahead = if from == 0 { "" } else { ahead };
        let mut excerpt = ahead.to_owned();
        excerpt.extend(
            line_text
                .chars()
                .skip(from)
                .take(LINE_SHOWN)
                .map(|c| if is_wild(c) { ' ' } else { c }),
        );
        if length > from + LINE_SHOWN {
            excerpt.push_str("...");
        }
        let mark = ahead.len() + before - from;
        let marks = mark..mark + marked.min(LINE_SHOWN - (before - from).min(LINE_SHOWN - 1));
        self.faults.push(Fault {
            path: path.to_owned(),
            line: row + 1,
            column: before + 1,
            message: message.into(),
            help: help.into(),
            excerpt,
            marks,
            at: span.start,
        });
    }

    pub(crate) fn finish(mut self, file: &str) -> Faults {
        self.faults.sort_by_key(|fault| fault.at);
        Faults {
            file: file.to_owned(),
            faults: self.faults,
        }
    }
}

/// Place, path, message, source line with marks, help: plain text that reads without colour.
impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (number, fault) in self.faults.iter().take(MOST_SHOWN).enumerate() {
            if number > 0 {
                writeln!(f)?;
            }
            write!(f, "{}:{}:{}", self.file, fault.line, fault.column)?;
            if !fault.path.is_empty() {
                write!(f, ": {}", fault.path)?;
            }
            writeln!(f, "\n  {}", fault.message)?;
            let line = fault.line.to_string();
            writeln!(f, "{}", format!("  {line} | {}", fault.excerpt).trim_end())?;
            writeln!(
                f,
                "  {:line$} | {:start$}{}",
                "",
                "",
                "^".repeat(fault.marks.len()),
                line = line.len(),
                start = fault.marks.start
            )?;
            if !fault.help.is_empty() {
                writeln!(f, "  {}", fault.help)?;
            }
        }
        let more = self.faults.len().saturating_sub(MOST_SHOWN);
        match (self.faults.len(), more) {
            (1, _) => write!(f, "\n1 fault in {}.", self.file),
            (all, 0) => write!(f, "\n{all} faults in {}.", self.file),
            (all, more) => write!(
                f,
                "\n{all} faults in {}; the last {more} are not shown.",
                self.file
            ),
        }
    }
}

impl std::error::Error for Faults {}

/// "a", "a or b", "a, b or c", each in quotes.
pub(crate) fn either<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    let quoted: Vec<String> = words
        .into_iter()
        .map(|word| format!("\"{word}\""))
        .collect();
    match quoted.split_last() {
        None => String::new(),
        Some((only, [])) => only.clone(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
    }
}

/// The nearest known word, if one is near.
pub(crate) fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    /// Longer words are not looked at, so that hostile ones cost nothing.
    const LONGEST_WORD: usize = 60;
    /// Similarity from which a word is offered: one or two slips in a word of eight letters.
    const NEAR: f64 = 0.6;
    if word.len() > LONGEST_WORD {
        return None;
    }
    let plain = |word: &str| word.to_lowercase().replace([' ', '-'], "_");
    let wanted = plain(word);
    known
        .into_iter()
        .map(|known| {
            (
                strsim::normalized_damerau_levenshtein(&wanted, &plain(known)),
                known,
            )
        })
        .filter(|(near, _)| *near >= NEAR)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, known)| known)
}

/// Shortens a word from the file for a message.
pub(crate) fn cut(text: &str) -> String {
    const SHOWN: usize = 40;
    let clean: String = text
        .chars()
        .take(SHOWN)
        .map(|c| if is_wild(c) { ' ' } else { c })
        .collect();
    if text.chars().count() > SHOWN {
        format!("{clean}...")
    } else {
        clean
    }
}
