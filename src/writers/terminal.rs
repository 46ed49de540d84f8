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
        // Words stay whole where their columns fit side by side.
        let widths: Vec<usize> = self.longest_words().map(|w| w + CELL_PADDING).collect();
        if widths.iter().map(|w| w + BETWEEN_COLUMNS).sum::<usize>() <= usize::from(width) {
            for (column, least) in table.column_iter_mut().zip(widths) {
                let least = Width::Fixed(u16::try_from(least).unwrap_or(width));
                column.set_constraint(ColumnConstraint::LowerBoundary(least));
            }
        }
        // Ends of lines carry no blanks, so that copies and comparisons stay clean.
        table
            .lines()
            .map(|line| line.trim_end().to_string() + "\n")
            .collect()
    }

    /// Letters of the longest word of each column, its heading among them.
    fn longest_words(&self) -> impl Iterator<Item = usize> {
        self.columns.iter().enumerate().map(|(index, (name, _))| {
            let cells = self.rows.iter().filter_map(move |row| row.get(index));
            let words = cells.chain([name]).flat_map(|text| text.split_whitespace());
            words.map(|word| word.chars().count()).max().unwrap_or(0)
        })
    }
}
