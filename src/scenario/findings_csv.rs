//! Findings as a table, one a line, for typing on site.
//!
//! The first line names the columns: `kind`, and any of the keys of a finding (`area`, `length`, `width`, `depth`, `size`, `height`,
//! `count`, `state`, `x`, `y`, `note`). Cells that do not apply stay empty. Commas, semicolons or tabs part the cells, whichever the
//! first line uses; quotes as RFC 4180 has them, except that none reaches over the end of a line, so that a forgotten one takes no other line with it. Blank
//! lines and lines that start with `#` are passed over.
//!
//! Each line is made into the same tree as a finding of the scenario, with the place of every cell, and held against the same schema,
//! so that the two forms cannot drift apart and a fault names line and column.

use std::ops::Range;

use super::faults::{Collector, Faults, cut, either, nearest};
use super::finding_checks::{self, Place};
use super::json::{self, Member, Node, Value};
use super::model::{Finding, Walk};
use super::shape::Shape;
use super::spelling::{canonical_at, resolve};

/// Columns that are known.
const COLUMNS: [&str; 12] = [
    "kind", "area", "length", "width", "depth", "size", "height", "count", "state", "x", "y",
    "note",
];
/// Most findings in one table.
pub const MOST_FINDINGS: usize = 20_000;

struct Cell {
    span: Range<usize>,
    text: String,
}

/// Reads a table of findings. `display_name` is how faults call the file; `thickness` is that of the slab \[m\].
///
/// # Errors
/// Every fault found, with line and column.
pub fn read_findings(
    bytes: &[u8],
    display_name: &str,
    walk: &Walk,
    thickness: f64,
) -> Result<Vec<Finding>, Faults> {
    let text = match std::str::from_utf8(bytes) {
        Ok(text) if text.len() <= json::LARGEST_BYTES => text,
        other => {
            let (at, message, help) = match other {
                Ok(text) => (
                    0,
                    format!(
                        "The table has {} bytes; at most {} are read.",
                        text.len(),
                        json::LARGEST_BYTES
                    ),
                    "Check that this is the table of findings, or split the job in two.",
                ),
                Err(error) => (
                    error.valid_up_to(),
                    format!(
                        "The table is not UTF-8 text: byte {} cannot be read.",
                        error.valid_up_to() + 1
                    ),
                    "Save it as UTF-8 text with commas.",
                ),
            };
            let good = std::str::from_utf8(bytes.get(..at).unwrap_or_default()).unwrap_or_default();
            let mut faults = Collector::new(good);
            faults.add("", &(at..at), message, help);
            return Err(faults.finish(display_name));
        }
    };
    let places: Vec<Place> = walk
        .areas
        .iter()
        .map(|area| Place {
            name: area.name.clone(),
            size: Some(area.size()),
            frame: finding_checks::frame(&area.corners()),
            concrete: area.is_concrete(),
            metal: matches!(area.substrate, super::model::Substrate::Metal),
        })
        .collect();
    let mut faults = Collector::new(text);
    let found = table(text, &places, thickness, &mut faults);
    if faults.is_empty() {
        Ok(found)
    } else {
        Err(faults.finish(display_name))
    }
}

fn table(text: &str, places: &[Place], thickness: f64, faults: &mut Collector<'_>) -> Vec<Finding> {
    let start = if text.starts_with('\u{feff}') {
        '\u{feff}'.len_utf8()
    } else {
        0
    };
    let first = text
        .get(start..)
        .unwrap_or_default()
        .lines()
        .find(|line| !line.trim().is_empty() && !line.starts_with('#'))
        .unwrap_or_default();
    let parted_by = [',', ';', '\t']
        .into_iter()
        .max_by_key(|mark| (first.matches(*mark).count(), *mark == ','))
        .unwrap_or(',');
    let mut rows = rows(text, start, parted_by, faults).into_iter();
    let Some(head) = rows.next() else {
        faults.add(
            "",
            &(start..start),
            "The table is empty.",
            format!(
                "Write the names of the columns on the first line: {}.",
                COLUMNS.join(",")
            ),
        );
        return Vec::new();
    };
    let columns = columns(&head, faults);
    let mut found = Vec::new();
    for (number, row) in rows.enumerate() {
        if faults.is_full() {
            break;
        }
        if number >= MOST_FINDINGS {
            if let Some(cell) = row.first() {
                faults.add(
                    "",
                    &cell.span,
                    format!("There are more than {MOST_FINDINGS} findings."),
                    "Split the job.",
                );
            }
            break;
        }
        let path = format!("finding {}", number + 1);
        let Some(mut node) = node(&row, &columns, &path, faults) else {
            continue;
        };
        canonical_at(&mut node, "Finding");
        let before = faults.count();
        Shape {
            faults,
            money: None,
        }
        .walk_at(&node, &path, "Finding");
        finding_checks::check(faults, &path, &node, places, Some(thickness));
        if faults.count() == before {
            match serde_json::from_value(node.to_json()) {
                Ok(finding) => found.push(finding),
                Err(error) => faults.add(
                    &path,
                    &node.span,
                    error.to_string(),
                    "Compare this line with the schema: `coatday schema`.",
                ),
            }
        }
    }
    found
}

/// The known column of each place in the head.
fn columns(head: &[Cell], faults: &mut Collector<'_>) -> Vec<Option<&'static str>> {
    let mut columns: Vec<Option<&'static str>> = Vec::new();
    for cell in head {
        let known = resolve(&cell.text, &COLUMNS);
        match known {
            Some(name) if columns.contains(&Some(name)) => faults.add(
                name,
                &cell.span,
                format!("The column \"{name}\" is there twice."),
                "Keep one of them.",
            ),
            None => {
                let near = nearest(cell.text.trim(), COLUMNS)
                    .map(|near| format!("Did you mean \"{near}\"? "))
                    .unwrap_or_default();
                faults.add(
                    "",
                    &cell.span,
                    format!("\"{}\" is not a column here.", cut(&cell.text)),
                    format!("{near}Known: {}.", either(COLUMNS)),
                );
            }
            Some(_) => {}
        }
        columns.push(known);
    }
    for needed in ["kind", "area"] {
        if !columns.contains(&Some(needed)) {
            let at = head.first().map_or(0, |cell| cell.span.start);
            faults.add(
                "",
                &(at..at),
                format!("The column \"{needed}\" is missing."),
                "Add it to the first line.",
            );
        }
    }
    columns
}

/// A line as the tree of a finding.
fn node(
    row: &[Cell],
    columns: &[Option<&'static str>],
    path: &str,
    faults: &mut Collector<'_>,
) -> Option<Node> {
    let whole = row.first()?.span.start..row.last()?.span.end;
    if row.len() != columns.len() {
        let (at, message) = if row.len() < columns.len() {
            (
                row.last()?.span.clone(),
                format!(
                    "This line has {} cells, but the first line names {} columns.",
                    row.len(),
                    columns.len()
                ),
            )
        } else {
            (
                row.get(columns.len())?.span.clone(),
                format!(
                    "This line has {} cells, but the first line names only {} columns.",
                    row.len(),
                    columns.len()
                ),
            )
        };
        faults.add(
            path,
            &at,
            message,
            "Two cells may have run together, or a cell has a comma in it. Split them, leave cells empty that do not apply, or put the cell in quotes.",
        );
        return None;
    }
    let mut kind: Option<&Cell> = None;
    let mut members = Vec::new();
    for (cell, column) in row.iter().zip(columns) {
        let (Some(column), false) = (column, cell.text.trim().is_empty()) else {
            continue;
        };
        if *column == "kind" {
            kind = Some(cell);
            continue;
        }
        let text = cell.text.trim().to_owned();
        let value = match (*column, text.parse::<f64>()) {
            ("count", Ok(number)) if number.is_finite() => Value::Number(text, number),
            _ => Value::Text(text),
        };
        members.push(Member {
            key: (*column).to_owned(),
            typed: (*column).to_owned(),
            key_span: cell.span.clone(),
            value: Node {
                span: cell.span.clone(),
                value,
            },
        });
    }
    let Some(kind) = kind else {
        if columns.contains(&Some("kind")) {
            faults.add(
                path,
                &(whole.start..whole.start),
                "This line has no \"kind\".",
                "Write what it is, such as crack or stain.",
            );
        }
        return None;
    };
    let inner = Node {
        span: whole.clone(),
        value: Value::Object(members),
    };
    Some(Node {
        span: whole,
        value: Value::Object(vec![Member {
            key: kind.text.trim().to_owned(),
            typed: kind.text.trim().to_owned(),
            key_span: kind.span.clone(),
            value: inner,
        }]),
    })
}

/// Lines of cells with their places. A quote that is not closed on its line is a fault where it opens.
fn rows(text: &str, start: usize, parted_by: char, faults: &mut Collector<'_>) -> Vec<Vec<Cell>> {
    let mut rows = Vec::new();
    let mut row: Vec<Cell> = Vec::new();
    let mut cell = String::new();
    let mut cell_start = start;
    let mut quote: Option<usize> = None;
    let mut was_quoted = false;
    let mut comment = false;
    let mut letters = text
        .get(start..)
        .unwrap_or_default()
        .char_indices()
        .peekable();
    loop {
        let (at, letter) = match letters.next() {
            Some((offset, letter)) => (start + offset, Some(letter)),
            None => (text.len(), None),
        };
        if comment && letter.is_some_and(|c| c != '\n') {
            continue;
        }
        match letter {
            Some('"') if quote.is_some() => {
                if letters.peek().is_some_and(|(_, next)| *next == '"') {
                    letters.next();
                    cell.push('"');
                } else {
                    quote = None;
                }
            }
            // Inches are written with this mark too, so it opens a quoted cell only at the cell's start.
            Some('"') if cell.trim().is_empty() && !was_quoted => {
                cell.clear();
                quote = Some(at);
                was_quoted = true;
            }
            Some(letter) if quote.is_some() && letter != '\n' => cell.push(letter),
            Some('#') if row.is_empty() && cell.is_empty() => comment = true,
            Some(letter) if letter != '\n' && letter != parted_by => cell.push(letter),
            end => {
                if let Some(opened) = quote.take() {
                    faults.add(
                        "",
                        &(opened..opened + 1),
                        "A quote opens here and is not closed on its line.",
                        "Close it, or write inches as \"in\".",
                    );
                }
                if !comment {
                    let taken = cell.trim_end_matches('\r').len();
                    cell.truncate(taken);
                    row.push(Cell {
                        span: cell_start..at.max(cell_start),
                        text: std::mem::take(&mut cell),
                    });
                }
                was_quoted = false;
                cell_start = at + 1;
                if end != Some(parted_by) || comment {
                    let blank = row.iter().all(|cell| cell.text.trim().is_empty());
                    let done = std::mem::take(&mut row);
                    // A line of separators alone says nothing; spreadsheets write them below the table.
                    if !blank {
                        rows.push(done);
                    }
                    comment = false;
                }
                if end.is_none() {
                    return rows;
                }
            }
        }
    }
}
