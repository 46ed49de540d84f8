//! A document as lines of a terminal. Tables have a line under the head, none between rows, no boxes.

use comfy_table::{
    Attribute, Cell, CellAlignment, ColumnConstraint, ContentArrangement, ContentLineStyle,
    LineStyle, Table, TableStyle, Width,
};

use crate::results::{Block, Document, Side, TextTable};

/// Width where the terminal tells none, such as into a file.
pub const WIDTH_WITHOUT_TERMINAL: u16 = 100;
/// Narrowest table that is still laid out.
const LEAST_WIDTH: u16 = 20;
/// Blanks that a cell has at its two sides, and signs between two columns.
const CELL_PADDING: usize = 2;
const BETWEEN_COLUMNS: usize = 1;
/// Cells of at most so many letters are figures, dates and ranges: they stay on one line where there is room.
const SHORT: usize = 12;

const LOOK: TableStyle = TableStyle::new()
    .header_lines(ContentLineStyle::none().junction(' '))
    .header_separator(LineStyle::none().fill('─').junction(' '))
    .content_lines(ContentLineStyle::none().junction(' '));

/// A document in lines, by where they go.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Lines {
    /// The result.
    pub result: String,
    /// What people can come to harm by.
    pub cautions: Vec<String>,
    /// How the result is to be read.
    pub notes: Vec<String>,
    /// For those who ask for more.
    pub details: Vec<String>,
}

impl Document {
    /// The document in lines, a blank line between its pieces; drawings are files. `styled` adds bold type as terminal codes.
    #[must_use]
    pub fn lines(&self, width: u16, styled: bool) -> Lines {
        let mut lines = Lines::default();
        let mut pieces: Vec<String> = Vec::new();
        for section in &self.sections {
            if !section.heading.is_empty() {
                pieces.push(if styled {
                    format!("\u{1b}[1m{}\u{1b}[0m", section.heading)
                } else {
                    section.heading.clone()
                });
            }
            for block in &section.blocks {
                match block {
                    Block::Text(text) => pieces.push(text.clone()),
                    Block::List(items) => pieces.push(items.join("\n")),
                    Block::Table(table) => pieces.push(table.text(width, styled)),
                    Block::Figure(_) => {}
                    Block::Caution { about, text } => {
                        let line = Block::caution_line(about.as_deref(), text);
                        lines.cautions.push(line);
                    }
                    Block::Notes(notes) => lines.notes.extend(notes.iter().cloned()),
                    Block::Details(details) => lines.details.extend(details.iter().cloned()),
                }
            }
        }
        let pieces: Vec<&str> = pieces.iter().map(|p| p.trim_end_matches('\n')).collect();
        lines.result = pieces.join("\n\n");
        lines
    }
}

/// Marks that turn the direction of text and with it the rest of a row (Unicode Standard Annex 9).
fn turns_text(c: char) -> bool {
    matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

impl TextTable {
    /// The table in at most `width` columns, cells wrapped where needed. `styled` adds bold type as terminal codes;
    /// without it (`NO_COLOR`, a file, a pipe) the text is plain.
    #[must_use]
    pub fn text(&self, width: u16, styled: bool) -> String {
        if self.columns.is_empty() {
            return String::new();
        }
        let mut table = Table::new();
        table.load_style(LOOK);
        table.set_content_arrangement(ContentArrangement::Dynamic);
        table.set_width(width.max(LEAST_WIDTH));
        if styled {
            table.enforce_styling();
        } else {
            table.force_no_tty();
        }
        let cell = |text: &str, side: Side, bold: bool| {
            let text: String = text
                .chars()
                .filter(|c| (!c.is_control() || *c == '\n') && !turns_text(*c))
                .collect();
            let cell = Cell::new(text).set_alignment(match side {
                Side::Left => CellAlignment::Left,
                Side::Right => CellAlignment::Right,
            });
            if bold && styled {
                cell.add_attribute(Attribute::Bold)
            } else {
                cell
            }
        };
        table.set_header(
            self.columns
                .iter()
                .map(|(name, side)| cell(name, *side, true))
                .collect::<Vec<_>>(),
        );
        for (index, row) in self.rows.iter().enumerate() {
            let strong = self.strong_row == Some(index);
            let cells = self.columns.iter().enumerate().map(|(column, (_, side))| {
                cell(row.get(column).map_or("", String::as_str), *side, strong)
            });
            table.add_row(cells.collect::<Vec<_>>());
        }
        let width = usize::from(width);
        let widths = [SHORT, 0]
            .iter()
            .find_map(|whole| self.widths(width, *whole));
        for (column, width) in table.column_iter_mut().zip(widths.unwrap_or_default()) {
            column.set_constraint(ColumnConstraint::Absolute(Width::Fixed(width)));
        }
        // Ends of lines carry no blanks, so that copies and comparisons stay clean.
        table
            .lines()
            .map(|line| line.trim_end().to_string() + "\n")
            .collect()
    }

    /// Widths of the columns in a table of `width` in which no word is broken, nor a cell of at most `whole` letters. What is left goes to the
    /// lines of the cells and then to those of the heads, in equal shares, the least in want first. None where that does not fit.
    fn widths(&self, width: usize, whole: usize) -> Option<Vec<u16>> {
        let line = |text: &str| text.lines().map(letters).max().unwrap_or(0);
        let word = |text: &str| text.split_whitespace().map(letters).max().unwrap_or(0);
        let least = |text: &str| match line(text) {
            short if short <= whole => short,
            _ => word(text),
        };
        let cells = |column: usize, of: &dyn Fn(&str) -> usize| {
            let cells = self.rows.iter().filter_map(|row| row.get(column));
            cells.map(|text| of(text)).max().unwrap_or(0)
        };
        let heads = || {
            self.columns
                .iter()
                .map(|(head, _)| head.as_str())
                .enumerate()
        };
        let mut widths: Vec<usize> = heads()
            .map(|(column, head)| word(head).max(cells(column, &least)))
            .collect();
        let between =
            (widths.len() * (CELL_PADDING + BETWEEN_COLUMNS)).saturating_sub(BETWEEN_COLUMNS);
        let mut spare = width.checked_sub(between + widths.iter().sum::<usize>())?;
        let of_cells = heads().map(|(column, _)| cells(column, &line)).collect();
        let of_heads = heads().map(|(_, head)| line(head)).collect();
        for lines in [of_cells, of_heads] as [Vec<usize>; 2] {
            let more = |(line, width): (&usize, &usize)| line.saturating_sub(*width);
            let mut wants: Vec<(usize, usize)> =
                lines.iter().zip(&widths).map(more).zip(0..).collect();
            wants.sort_unstable();
            for (served, (want, column)) in wants.iter().enumerate() {
                let given = (*want).min(spare.div_ceil(wants.len() - served));
                widths[*column] += given;
                spare -= given;
            }
        }
        let padded = widths.iter().map(|w| u16::try_from(w + CELL_PADDING));
        padded.collect::<Result<_, _>>().ok()
    }
}

fn letters(text: &str) -> usize {
    text.chars().count()
}
