//! A text of a topic as lines of the terminal.
//!
//! The texts are written in a small part of Markdown: headings, paragraphs, lists, tables, indented lines and fenced blocks. Indented
//! lines and fenced blocks are commands, outputs and files: they stay as they are. Pictures are left out, links are their words.

use crate::results::{Block, Document, Side, TextTable};
use crate::units::format::signs_held;

/// Widest line of prose: wider ones are hard to read.
const WIDEST: usize = 80;
/// Narrowest line of prose.
const NARROWEST: usize = 20;
/// What stays as it is stands so far in.
const INDENT: &str = "    ";

/// The lines of a text, none wider than `width` except what stays as it is.
pub(super) fn lines(text: &str, width: usize, styled: bool) -> String {
    let page = Page {
        width: width.clamp(NARROWEST, WIDEST),
        styled,
    };
    let mut out: Vec<String> = Vec::new();
    let mut lines = text.lines().peekable();
    while let Some(line) = lines.next() {
        if let Some(kind) = line.strip_prefix("```") {
            // An example of a part of a scenario begins with its key.
            let mut key = kind
                .rsplit_once('/')
                .map_or(String::new(), |(_, key)| format!("\"{key}\": "));
            out.extend(
                lines
                    .by_ref()
                    .take_while(|line| !line.starts_with("```"))
                    .map(|line| {
                        let key = std::mem::take(&mut key);
                        format!("{INDENT}{key}{line}").trim_end().to_owned()
                    }),
            );
        } else if line.trim().is_empty() {
            if out.last().is_some_and(|last| !last.is_empty()) {
                out.push(String::new());
            }
        } else if line.starts_with("![") {
            // A terminal shows no pictures.
        } else if line.starts_with(INDENT) {
            out.push(line.trim_end().to_owned());
        } else if line.starts_with('#') {
            out.push(page.heading(line));
        } else if line.starts_with('|') {
            let mut rows = vec![line];
            while let Some(row) = lines.next_if(|line| line.starts_with('|')) {
                rows.push(row);
            }
            out.extend(page.table(&rows).lines().map(str::to_owned));
        } else {
            let mut whole = line.to_owned();
            while let Some(more) = lines.next_if(|line| goes_on(line)) {
                whole.push(' ');
                whole.push_str(more.trim());
            }
            out.extend(page.prose(&whole));
        }
    }
    while out.last().is_some_and(String::is_empty) {
        out.pop();
    }
    out.join("\n")
}

/// Whether a line goes on with the paragraph or the item of a list before it.
fn goes_on(line: &str) -> bool {
    let text = line.trim_start();
    !text.is_empty()
        && !text.starts_with("* ")
        && !["#", "|", "```", "![", INDENT]
            .iter()
            .any(|start| line.starts_with(start))
}

struct Page {
    width: usize,
    styled: bool,
}

impl Page {
    fn heading(&self, line: &str) -> String {
        let level = line.chars().take_while(|c| *c == '#').count();
        let words = line[level..].trim();
        let words = if level == 1 {
            words.to_uppercase()
        } else {
            words.to_owned()
        };
        if self.styled {
            format!("\u{1b}[1m{words}\u{1b}[0m")
        } else {
            words
        }
    }

    /// A paragraph, or an item of a list, whose further lines stand under its first word.
    fn prose(&self, text: &str) -> Vec<String> {
        let words = text.trim_start();
        let mut indent = " ".repeat(text.len() - words.len());
        let first = indent.clone();
        if words.starts_with("* ") {
            indent.push_str("  ");
        }
        let options = textwrap::Options::new(self.width)
            .initial_indent(&first)
            .subsequent_indent(&indent)
            .break_words(false);
        let words = self.words(words);
        textwrap::wrap(&words, options)
            .into_iter()
            .map(|line| line.trim_end_matches(' ').to_owned())
            .collect()
    }

    /// Words with their marks turned into type. A number stays beside its sign.
    fn words(&self, text: &str) -> String {
        let text = signs_held(&without_links(text));
        let strong = if self.styled {
            ["\u{1b}[1m", "\u{1b}[0m"]
        } else {
            ["", ""]
        };
        let code = if self.styled { strong } else { ["`", "`"] };
        between(&between(&text, "**", strong), "`", code)
    }

    fn table(&self, rows: &[&str]) -> String {
        let cells = |row: &str| -> Vec<String> {
            let row = row.trim().trim_start_matches('|').trim_end_matches('|');
            let plain = |cell: &str| without_links(cell.trim()).replace(['`', '*'], "");
            row.split('|').map(plain).collect()
        };
        let sides: Vec<Side> = rows.get(1).map_or(Vec::new(), |row| {
            let side = |cell: String| {
                if cell.ends_with(':') {
                    Side::Right
                } else {
                    Side::Left
                }
            };
            cells(row).into_iter().map(side).collect()
        });
        let table = TextTable {
            columns: cells(rows[0]).into_iter().zip(sides).collect(),
            ranks: Vec::new(),
            rows: rows.iter().skip(2).map(|row| cells(row)).collect(),
            strong_row: None,
        };
        let width = u16::try_from(self.width).unwrap_or(u16::MAX);
        Document::new("", vec![Block::Table(table)])
            .lines(width, self.styled)
            .result
    }
}

/// Links as their words.
fn without_links(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('[') {
        let link = after
            .split_once("](")
            .and_then(|(words, target)| Some((words, target.split_once(')')?.1)));
        out.push_str(before);
        if let Some((words, behind)) = link.filter(|(words, _)| !words.contains(']')) {
            out.push_str(words);
            rest = behind;
        } else {
            out.push('[');
            rest = after;
        }
    }
    out + rest
}

/// The text with every pair of marks turned into another.
fn between(text: &str, mark: &str, [start, end]: [&str; 2]) -> String {
    let pieces: Vec<&str> = text.split(mark).collect();
    let mut out = String::new();
    for (index, piece) in pieces.iter().enumerate() {
        if index > 0 {
            // A mark without a partner stays.
            out.push_str(match (index % 2, index + 1 == pieces.len()) {
                (1, true) => mark,
                (1, false) => start,
                _ => end,
            });
        }
        out.push_str(piece);
    }
    out
}
