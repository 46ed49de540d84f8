//! The first page of a document as a letter in plain text, for an e-mail.

use crate::results::{Document, plain};
use textwrap::{Options, wrap};

/// Characters in a line of an e-mail (RFC 5322 asks for no more than 78).
const WIDTH: usize = 72;

/// The letter; empty for a document without a first page.
#[must_use]
pub fn letter(document: &Document) -> String {
    let Some(page) = &document.first else {
        return String::new();
    };
    let head = &page.head;
    let mut lines: Vec<String> = Vec::new();
    for text in [&head.company, &head.address].into_iter().flatten() {
        say(&mut lines, "", text);
    }
    lines.push(String::new());
    say(&mut lines, "", &format!("Job: {}", document.title));
    for (name, text) in head.lines() {
        say(&mut lines, "", &format!("{name}: {text}"));
    }
    lines.push(String::new());
    say(&mut lines, "", &page.date);
    say(&mut lines, "", &page.meaning);
    for part in &page.parts {
        lines.push(String::new());
        say(&mut lines, "", &format!("{}:", part.name));
        for line in &part.lines {
            say(&mut lines, "- ", line);
        }
    }
    lines.push(String::new());
    say(&mut lines, "", &page.release);
    lines.join("\n").trim_start().to_owned() + "\n"
}

/// A paragraph behind a mark.
fn say(lines: &mut Vec<String>, mark: &str, text: &str) {
    // An e-mail may be read in any type: blanks that hold a number to its unit would show as signs.
    let text = plain(text).replace('\u{a0}', " ");
    let rest = " ".repeat(mark.len());
    let options = Options::new(WIDTH)
        .initial_indent(mark)
        .subsequent_indent(&rest);
    lines.extend(
        wrap(&text, options)
            .into_iter()
            .map(|l| l.trim_end().to_owned()),
    );
}
