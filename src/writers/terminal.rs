//! Tables for the terminal: a line under the head, none between rows, no boxes.

use comfy_table::{
    Attribute, Cell, CellAlignment, ContentArrangement, ContentLineStyle, LineStyle, Table,
    TableStyle,
};

use crate::results::{Side, TextTable};

/// Width where the terminal tells none, such as into a file.
pub const WIDTH_WITHOUT_TERMINAL: u16 = 100;
/// Narrowest table that is still laid out.
const LEAST_WIDTH: u16 = 20;

const LOOK: TableStyle = TableStyle::new()
    .header_lines(ContentLineStyle::none().junction(' '))
    .header_separator(LineStyle::none().fill('─').junction(' '))
    .content_lines(ContentLineStyle::none().junction(' '));

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
        // Ends of lines carry no blanks, so that copies and comparisons stay clean.
        table
            .lines()
            .map(|line| line.trim_end().to_string() + "\n")
            .collect()
    }
}
