//! A document as lines of a terminal. Prose wraps at words. Tables have a line under the head, none between rows, no boxes; where one is
//! wider than the screen it drops columns by rank, and where even the others do not fit its rows are stacked.

use comfy_table::{
    Attribute, Cell, CellAlignment, ColumnConstraint, ContentArrangement, ContentLineStyle,
    LineStyle, Table, TableStyle, Width,
};
use textwrap::core::display_width;
use textwrap::{Options, WordSeparator, WordSplitter};

use crate::results::{Block, Document, ISOLATE, ISOLATE_END, Side, TextTable};
use crate::units::format::is_wild;

/// Width where the terminal tells none, such as into a file.
pub const WIDTH_WITHOUT_TERMINAL: u16 = 100;
/// Narrowest table that is still laid out.
const LEAST_WIDTH: u16 = 20;
/// Blanks that a cell has at its two sides, and signs between two columns.
const CELL_PADDING: usize = 2;
const BETWEEN_COLUMNS: usize = 1;
/// Cells of at most so many letters stay on one line, and a table rather drops columns: names, figures, dates and ranges.
const NAME: usize = 30;
/// Cells of at most so many letters stay on one line where there is room: figures and dates.
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
    /// What there is for those who ask for more.
    pub hints: Vec<String>,
    /// For those who ask for more.
    pub details: Vec<String>,
}

impl Document {
    /// The document in lines, a blank line between its pieces; drawings are files. `styled` adds bold type as terminal codes.
    #[must_use]
    pub fn lines(&self, width: u16, styled: bool) -> Lines {
        let mut lines = Lines::default();
        let mut pieces: Vec<String> = Vec::new();
        let wrapped = |text: &str| wrap(&tame(text), width);
        for section in &self.sections {
            if !section.heading.is_empty() {
                let heading = wrapped(&section.heading);
                pieces.push(if styled {
                    format!("\u{1b}[1m{heading}\u{1b}[0m")
                } else {
                    heading
                });
            }
            for block in &section.blocks {
                match block {
                    Block::Text(text) => pieces.push(wrapped(text)),
                    Block::List(items) => {
                        let items: Vec<String> = items.iter().map(|item| wrapped(item)).collect();
                        pieces.push(items.join("\n"));
                    }
                    Block::Table(table) => pieces.push(table.text(width, styled)),
                    Block::DetailTable(table) => {
                        let text = table.text(width, styled);
                        lines
                            .details
                            .push(format!("\n{}", text.trim_end_matches('\n')));
                    }
                    Block::Figure(_) => {}
                    Block::Caution { about, text } => {
                        let line = Block::caution_line(about.as_deref(), text);
                        lines.cautions.push(wrapped(&line));
                    }
                    Block::Notes(notes) => {
                        lines.notes.extend(notes.iter().map(|note| wrapped(note)));
                    }
                    Block::Hints(hints) => {
                        lines.hints.extend(hints.iter().map(|hint| wrapped(hint)));
                    }
                    Block::Details(details) => {
                        lines
                            .details
                            .extend(details.iter().map(|line| wrapped(line)));
                    }
                }
            }
        }
        let pieces: Vec<&str> = pieces.iter().map(|p| p.trim_end_matches('\n')).collect();
        lines.result = pieces.join("\n\n");
        lines
    }
}

/// A text in lines of at most `width` columns, broken at blanks; a number keeps its unit. Only a word that is longer than a line is broken.
#[must_use]
pub fn wrap(text: &str, width: u16) -> String {
    let look = Options::new(usize::from(width.max(LEAST_WIDTH)))
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation);
    // Each line for itself, so that the indents of a list stay.
    let lines = text.lines().map(|line| {
        let indent: String = line.chars().take_while(|c| *c == ' ').collect();
        let body = line.trim_start_matches(' ');
        let look = look
            .clone()
            .initial_indent(&indent)
            .subsequent_indent(&indent);
        textwrap::fill(body, look)
    });
    lines.collect::<Vec<_>>().join("\n")
}

/// A fault in lines of at most `width` columns. A line of the file and the marks below it stay together: both are cut to the part with the
/// marks.
#[must_use]
pub fn wrap_fault(text: &str, width: u16) -> String {
    let lines: Vec<&str> = text.lines().collect();
    let mut out: Vec<String> = Vec::with_capacity(lines.len());
    let mut at = 0;
    while let Some(line) = lines.get(at) {
        let excerpt = lines.get(at + 1).and_then(|marks| Excerpt::of(line, marks));
        if let Some(excerpt) = excerpt {
            out.extend(excerpt.cut(usize::from(width.max(LEAST_WIDTH))));
            at += 2;
        } else {
            out.push(wrap(line, width));
            at += 1;
        }
    }
    out.join("\n")
}

/// A line of a file with its marks, as a fault shows it: `  12 | text` over `     | ^^^`.
struct Excerpt<'a> {
    /// Number and bar, and the blanks that stand below them.
    before: [&'a str; 2],
    text: Vec<char>,
    /// Place of the first mark in the text, and how many.
    marks: (usize, usize),
}

impl<'a> Excerpt<'a> {
    fn of(line: &'a str, marks: &'a str) -> Option<Self> {
        const BAR: &str = " | ";
        let (number, text) = line.split_once(BAR)?;
        let (blanks, marked) = marks.split_once(BAR)?;
        let digits = number.trim_start();
        let is_number = !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit());
        let is_marked = marked.trim_start().bytes().all(|b| b == b'^');
        (is_number && is_marked && blanks.trim().is_empty()).then(|| Self {
            before: [number, blanks],
            text: text.chars().collect(),
            marks: (
                marked.len() - marked.trim_start().len(),
                marked.trim().len(),
            ),
        })
    }

    fn cut(&self, width: usize) -> [String; 2] {
        const CUT: &str = "...";
        const BAR: &str = " | ";
        let room = width.saturating_sub(self.before[0].len() + BAR.len());
        let (first, count) = self.marks;
        let (mut from, mut ahead, mut behind) = (0, "", "");
        if self.text.len() > room && first + count > room.saturating_sub(CUT.len()) {
            // The marks stand in the middle of what is left, or at its start where there are many.
            from = (first + count / 2).saturating_sub(room / 2).min(first);
            ahead = CUT;
        }
        let left = room.saturating_sub(ahead.len());
        let shown = if self.text.len() - from.min(self.text.len()) > left {
            behind = CUT;
            left.saturating_sub(CUT.len())
        } else {
            left
        };
        let text: String = self.text.iter().skip(from).take(shown).collect();
        let start = ahead.len() + first - from;
        let marks = count.min(room.saturating_sub(start)).max(1);
        [
            format!("{}{BAR}{ahead}{text}{behind}", self.before[0]),
            format!(
                "{}{BAR}{}{}",
                self.before[1],
                " ".repeat(start),
                "^".repeat(marks)
            ),
        ]
    }
}

/// A text whose characters that move the cursor or turn the direction of writing are shown escaped, so that a
/// name cannot pass itself off as something else. Marks that this program set around a name are left out.
#[must_use]
pub fn tame(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            ISOLATE | ISOLATE_END => {}
            c if is_wild(c) => out.extend(c.escape_default()),
            c => out.push(c),
        }
    }
    out
}

impl TextTable {
    /// The table in at most `width` columns. `styled` adds bold type as terminal codes; without it (`NO_COLOR`, a file, a pipe) the text is
    /// plain.
    #[must_use]
    pub fn text(&self, width: u16, styled: bool) -> String {
        if self.columns.is_empty() {
            return String::new();
        }
        let table = self.tamed();
        let width = width.max(LEAST_WIDTH);
        let Some((shown, widths)) = table.fit(usize::from(width)) else {
            return table.stacked(width, styled);
        };
        let dropped = table.columns.len() - shown.len();
        let mut text = table.only(&shown).laid_out(width, styled, widths);
        if dropped > 0 {
            let hidden = (0..table.columns.len()).filter(|column| !shown.contains(column));
            let heads: Vec<&str> = hidden
                .map(|column| table.columns[column].0.as_str())
                .collect();
            text += &wrap(
                &format!("A wider screen also shows: {}.", heads.join("; ")),
                width,
            );
            text.push('\n');
        }
        text
    }

    /// The same with nothing in it that moves the cursor.
    fn tamed(&self) -> Self {
        let row = |row: &Vec<String>| row.iter().map(|cell| tame(cell)).collect();
        Self {
            columns: self
                .columns
                .iter()
                .map(|(head, side)| (tame(head), *side))
                .collect(),
            rows: self.rows.iter().map(row).collect(),
            ..self.clone()
        }
    }

    /// The table with some of its columns.
    fn only(&self, columns: &[usize]) -> Self {
        let cell = |row: &Vec<String>, column: usize| row.get(column).cloned().unwrap_or_default();
        let row = |row: &Vec<String>| columns.iter().map(|column| cell(row, *column)).collect();
        Self {
            columns: columns.iter().map(|c| self.columns[*c].clone()).collect(),
            ranks: Vec::new(),
            rows: self.rows.iter().map(row).collect(),
            strong_row: self.strong_row,
        }
    }

    /// The columns that fit and their widths: as many as keep names, figures and dates on one line; else those that are never dropped, with
    /// names on several lines. None where a word would be broken.
    fn fit(&self, width: usize) -> Option<(Vec<usize>, Vec<u16>)> {
        let rank = |column: usize| self.ranks.get(column).copied().unwrap_or(0);
        let mut levels: Vec<u8> = (0..self.columns.len()).map(rank).chain([0]).collect();
        levels.sort_unstable();
        levels.dedup();
        let upto = |level: u8| -> Vec<usize> {
            let all = 0..self.columns.len();
            all.filter(|column| rank(*column) <= level).collect()
        };
        let whole = levels.iter().rev().filter(|level| **level > 0);
        let whole = whole.map(|level| (*level, NAME));
        // Columns of the first rank are worth names on several lines.
        let first = levels.contains(&1).then_some((1, SHORT));
        let broken = [(0, NAME), (0, SHORT), (0, 0)];
        whole.chain(first).chain(broken).find_map(|(level, whole)| {
            let columns = upto(level);
            let widths = self.only(&columns).widths(width, whole)?;
            Some((columns, widths))
        })
    }

    /// Row by row, a line for each cell.
    fn stacked(&self, width: u16, styled: bool) -> String {
        let mut out = String::new();
        for (index, row) in self.rows.iter().enumerate() {
            let mut cells = self.columns.iter().zip(row);
            if let Some((_, name)) = cells.next() {
                let name = wrap(name, width);
                out += &match self.strong_row {
                    Some(strong) if strong == index && styled => {
                        format!("\u{1b}[1m{name}\u{1b}[0m\n")
                    }
                    _ => name + "\n",
                };
            }
            for ((head, _), cell) in cells.filter(|(_, cell)| !cell.is_empty()) {
                out += &wrap(&format!("  {head}: {cell}"), width);
                out.push('\n');
            }
        }
        out
    }

    fn laid_out(&self, width: u16, styled: bool, widths: Vec<u16>) -> String {
        let mut table = Table::new();
        table.load_style(LOOK);
        table.set_content_arrangement(ContentArrangement::Dynamic);
        table.set_width(width);
        if styled {
            table.enforce_styling();
        } else {
            table.force_no_tty();
        }
        let cell = |text: &str, side: Side, bold: bool| {
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
        for (column, width) in table.column_iter_mut().zip(widths) {
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
        let word = |text: &str| text.split(' ').map(letters).max().unwrap_or(0);
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
    display_width(text)
}
