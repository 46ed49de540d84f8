//! What people read of a result: headings, text, lists, tables, drawings, cautions and notes. The writers turn it into lines of a terminal,
//! HTML or PDF; none of them adds words of its own.

use crate::charts::measure;
use crate::charts::{Chart, Size};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use std::fmt;
use std::sync::Arc;

/// Marks that keep a name's direction of writing to itself (Unicode Standard Annex 9).
pub(crate) const ISOLATE: char = '\u{2068}';
/// The end of an isolated name.
pub(crate) const ISOLATE_END: char = '\u{2069}';

/// Side to which a column is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Side {
    /// Words.
    #[default]
    Left,
    /// Numbers.
    Right,
}

/// A table of text.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TextTable {
    /// Head and side of each column.
    pub columns: Vec<(String, Side)>,
    /// Which columns a narrow screen drops, the highest first; 0 and those that are missing here stay.
    pub ranks: Vec<u8>,
    /// Rows; short ones are filled with blanks, surplus cells are left out.
    pub rows: Vec<Vec<String>>,
    /// Row set in bold where styles are wanted, such as the best setup. Mark it in its words too.
    pub strong_row: Option<usize>,
}

/// What stands in a column for one item.
type Cell<'a, T> = Box<dyn Fn(&T) -> String + 'a>;

/// Columns of a table of `T`: each with its head and what stands under it, so that the two cannot be mixed up.
pub(crate) struct Columns<'a, T> {
    heads: Vec<(String, Side)>,
    ranks: Vec<u8>,
    cells: Vec<Cell<'a, T>>,
}

impl<'a, T> Columns<'a, T> {
    pub(crate) fn new() -> Self {
        Self {
            heads: Vec::new(),
            ranks: Vec::new(),
            cells: Vec::new(),
        }
    }

    fn add(&mut self, head: String, side: Side, cell: impl Fn(&T) -> String + 'a) {
        self.heads.push((head, side));
        self.ranks.push(0);
        self.cells.push(Box::new(cell));
    }

    /// With a column of words.
    pub(crate) fn left(
        mut self,
        head: impl Into<String>,
        cell: impl Fn(&T) -> String + 'a,
    ) -> Self {
        self.add(head.into(), Side::Left, cell);
        self
    }

    /// With a column of numbers.
    pub(crate) fn right(
        mut self,
        head: impl Into<String>,
        cell: impl Fn(&T) -> String + 'a,
    ) -> Self {
        self.add(head.into(), Side::Right, cell);
        self
    }

    /// The last column may be dropped where the screen is narrow, that of the highest rank first.
    pub(crate) fn rank(mut self, rank: u8) -> Self {
        if let Some(last) = self.ranks.last_mut() {
            *last = rank;
        }
        self
    }

    /// With other columns, if they are wanted.
    pub(crate) fn when(self, wanted: bool, more: impl FnOnce(Self) -> Self) -> Self {
        if wanted { more(self) } else { self }
    }

    /// A row for each of the items.
    pub(crate) fn rows(self, items: impl IntoIterator<Item = T>) -> TextTable {
        let row = |item: T| self.cells.iter().map(|cell| cell(&item)).collect();
        TextTable {
            rows: items.into_iter().map(row).collect(),
            columns: self.heads,
            ranks: self.ranks,
            strong_row: None,
        }
    }
}

/// A text, or a dash in its place.
pub(crate) fn or_dash(text: Option<String>) -> String {
    text.unwrap_or_else(|| "-".into())
}

impl TextTable {
    /// With a row in bold.
    #[must_use]
    pub fn strong(mut self, row: Option<usize>) -> Self {
        self.strong_row = row;
        self
    }

    /// With its last row in bold, which sums the others up.
    #[must_use]
    pub fn with_sum(self) -> Self {
        let last = self.rows.len().checked_sub(1);
        self.strong(last)
    }
}

/// A chart with the name of its file.
#[derive(Clone)]
pub struct Figure {
    /// Name of its file, behind that of the scenario; another of the same name is never in the same document.
    pub name: String,
    chart: Arc<dyn Chart + Send + Sync>,
}

impl Figure {
    /// A chart under a name.
    #[must_use]
    pub fn new(name: impl Into<String>, chart: impl Chart + Send + Sync + 'static) -> Self {
        Self {
            name: name.into(),
            chart: Arc::new(chart),
        }
    }

    /// A chart that is drawn already: SVG text wide and narrow.
    #[must_use]
    pub fn drawn(name: impl Into<String>, wide: String, narrow: String) -> Self {
        Self::new(name, Drawn { wide, narrow })
    }

    /// SVG text for a page column.
    #[must_use]
    pub fn wide(&self) -> String {
        self.chart.draw(Size::WIDE)
    }

    /// SVG text for a phone.
    #[must_use]
    pub fn narrow(&self) -> String {
        self.chart.draw(Size::NARROW)
    }
}

struct Drawn {
    wide: String,
    narrow: String,
}

impl Chart for Drawn {
    fn draw(&self, size: Size) -> String {
        if size == Size::WIDE {
            &self.wide
        } else {
            &self.narrow
        }
        .clone()
    }
}

impl fmt::Debug for Figure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Figure({})", self.name)
    }
}

/// One piece of a section.
#[derive(Clone, Debug)]
pub enum Block {
    /// A paragraph.
    Text(String),
    /// A list, an item a line.
    List(Vec<String>),
    /// A table.
    Table(TextTable),
    /// A chart.
    Figure(Figure),
    /// Something people can come to harm by: shown even to those who want no notes.
    Caution {
        /// The setup that it is about, if not all.
        about: Option<String>,
        /// What can happen, to whom, and what to do.
        text: String,
    },
    /// How the result is to be read and what it rests on.
    Notes(Vec<String>),
    /// What there is for those who ask for more, told to those who did not.
    Hints(Vec<String>),
    /// For those who ask for more.
    Details(Vec<String>),
    /// A table for those who ask for more.
    DetailTable(TextTable),
}

impl Block {
    /// A paragraph.
    #[must_use]
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// One note.
    #[must_use]
    pub fn note(text: impl Into<String>) -> Self {
        Self::Notes(vec![text.into()])
    }

    /// A caution about everything.
    #[must_use]
    pub fn caution(text: impl Into<String>) -> Self {
        Self::Caution {
            about: None,
            text: text.into(),
        }
    }

    /// A chart under a name.
    #[must_use]
    pub fn figure(name: impl Into<String>, chart: impl Chart + Send + Sync + 'static) -> Self {
        Self::Figure(Figure::new(name, chart))
    }

    /// Whether nothing would be shown of it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        match self {
            Self::Text(text) => text.is_empty(),
            Self::List(items) | Self::Notes(items) | Self::Hints(items) | Self::Details(items) => {
                items.is_empty()
            }
            Self::Table(table) | Self::DetailTable(table) => {
                table.columns.is_empty() || table.rows.is_empty()
            }
            Self::Figure(_) | Self::Caution { .. } => false,
        }
    }

    /// A caution as it is written everywhere.
    #[must_use]
    pub fn caution_line(about: Option<&str>, text: &str) -> String {
        about.map_or_else(
            || format!("CAUTION: {text}"),
            |about| format!("CAUTION, {about}: {text}"),
        )
    }
}

/// What stands under one heading.
#[derive(Clone, Debug, Default)]
pub struct Section {
    /// The heading; empty where none is needed.
    pub heading: String,
    /// What stands under it.
    pub blocks: Vec<Block>,
}

/// A company's logo: a picture that is shown in the head of a report.
#[derive(Clone, Debug)]
pub struct Logo {
    /// The picture as an address that holds all of it (RFC 2397).
    pub(crate) address: String,
}

/// Why a file is no logo, as the end of a sentence that begins with its name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoLogo {
    /// Too many bytes.
    #[error("is larger than 1 MB. Save the logo smaller, or as SVG.")]
    TooLarge,
    /// Too many pixels.
    #[error("has more than 4,000 pixels on a side. Save the logo smaller, or as SVG.")]
    TooManyPixels,
    /// None of the three kinds.
    #[error("is no PNG, JPEG or SVG picture. Save the logo as one of these.")]
    UnknownKind,
    /// One of the three kinds, but nothing of it shows.
    #[error("is broken or empty: nothing of it can be shown. Save the logo again.")]
    Broken,
}

impl Logo {
    /// Most bytes of its file.
    const LARGEST: usize = 1024 * 1024;
    /// Most pixels on a side.
    const MOST_PIXELS: usize = 4_000;

    /// A logo of the bytes of its file.
    ///
    /// # Errors
    /// Bytes that are none.
    pub fn new(bytes: &[u8]) -> Result<Self, NoLogo> {
        if bytes.len() > Self::LARGEST {
            return Err(NoLogo::TooLarge);
        }
        let kind = match bytes {
            [0x89, b'P', b'N', b'G', ..] => "png",
            [0xff, 0xd8, 0xff, ..] => "jpeg",
            other => {
                let text = std::str::from_utf8(other).unwrap_or_default();
                let text = text.trim_start_matches('\u{feff}').trim_start();
                if !text.starts_with('<') || !text.contains("<svg") {
                    return Err(NoLogo::UnknownKind);
                }
                "svg+xml"
            }
        };
        if kind != "svg+xml" {
            let size = imagesize::blob_size(bytes).map_err(|_| NoLogo::Broken)?;
            if size.width.max(size.height) > Self::MOST_PIXELS {
                return Err(NoLogo::TooManyPixels);
            }
        }
        let coded = STANDARD.encode(bytes);
        let logo = Self {
            address: format!("data:image/{kind};base64,{coded}"),
        };
        #[cfg(feature = "pictures")]
        if !crate::charts::raster::shows(&logo.drawing(150.0, 50.0)) {
            return Err(NoLogo::Broken);
        }
        Ok(logo)
    }

    /// SVG text of it, as large as fits, at the upper right.
    #[cfg(feature = "pictures")]
    pub(crate) fn drawing(&self, width: f64, height: f64) -> String {
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\"><image width=\"{width}\" height=\"{height}\" preserveAspectRatio=\"xMaxYMin meet\" href=\"{}\"/></svg>",
            self.address
        )
    }
}

/// Who hands the document to whom, about which floor.
#[derive(Clone, Debug, Default)]
pub struct Head {
    /// The company that hands it out.
    pub company: Option<String>,
    /// Its address.
    pub address: Option<String>,
    /// Its logo.
    pub logo: Option<Logo>,
    /// Who made it.
    pub prepared_by: Option<String>,
    /// Who gets it.
    pub prepared_for: Option<String>,
    /// Where the floor is.
    pub job_address: Option<String>,
    /// Its area.
    pub area: String,
    /// The day on which the document is made.
    pub made: String,
}

impl Head {
    /// What it says beside the company, each with its name.
    pub(crate) fn lines(&self) -> Vec<(&'static str, &str)> {
        let lines = [
            ("Prepared for", self.prepared_for.as_deref()),
            ("Prepared by", self.prepared_by.as_deref()),
            ("Job address", self.job_address.as_deref()),
            ("Floor area", Some(self.area.as_str())),
            ("Date", Some(self.made.as_str())),
        ];
        let there = lines.into_iter().filter_map(|(name, text)| {
            let text = text.filter(|text| !plain(text).is_empty())?;
            Some((name, text))
        });
        there.collect()
    }
}

/// A few sentences under one name.
#[derive(Clone, Debug, Default)]
pub struct Part {
    /// The name.
    pub name: &'static str,
    /// The sentences.
    pub lines: Vec<String>,
}

/// The page that stands alone.
#[derive(Clone, Debug, Default)]
pub struct FirstPage {
    /// Who hands it to whom.
    pub head: Head,
    /// The date, or that there is none.
    pub date: String,
    /// What the date is, and whether it is in time.
    pub meaning: String,
    /// What the reader must know and do, most important first; none is empty.
    pub parts: Vec<Part>,
    /// The chart that answers the question, where there is room for it.
    pub chart: Option<Figure>,
    /// Who decides.
    pub release: String,
}

/// A document.
#[derive(Clone, Debug, Default)]
pub struct Document {
    /// Name of the job.
    pub title: String,
    /// What this is; empty where the command says it.
    pub subtitle: String,
    /// The page that stands alone, where the document is to be handed on.
    pub first: Option<FirstPage>,
    /// The rest.
    pub sections: Vec<Section>,
}

impl Document {
    /// A document that begins without a heading.
    #[must_use]
    pub fn new(title: &str, blocks: Vec<Block>) -> Self {
        let document = Self {
            title: plain(title),
            ..Self::default()
        };
        document.with("", blocks)
    }

    /// With another section; left out if there is nothing in it.
    #[must_use]
    pub fn with(mut self, heading: &str, mut blocks: Vec<Block>) -> Self {
        blocks.retain(|block| !block.is_empty());
        if !blocks.is_empty() {
            self.sections.push(Section {
                heading: heading.to_owned(),
                blocks,
            });
        }
        self
    }

    /// Its first page alone, without the chart: what a letter holds.
    #[must_use]
    pub fn letter(&self) -> Self {
        let first = self.first.clone();
        Self {
            sections: Vec::new(),
            first: first.map(|first| FirstPage {
                chart: None,
                ..first
            }),
            ..self.clone()
        }
    }

    /// All pieces in their order.
    pub fn blocks(&self) -> impl Iterator<Item = &Block> {
        self.sections.iter().flat_map(|section| &section.blocks)
    }

    /// All charts in the order in which they are read.
    pub fn figures(&self) -> impl Iterator<Item = &Figure> {
        self.blocks().filter_map(|block| match block {
            Block::Figure(figure) => Some(figure),
            _ => None,
        })
    }
}

/// Words fit for any document: controls and marks of direction are gone, spaces single.
pub(crate) fn plain(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars().filter(|&c| !measure::is_unsafe(c)) {
        if c.is_whitespace() || c.is_control() {
            if !out.is_empty() && !out.ends_with(' ') {
                out.push(' ');
            }
        } else {
            out.push(c);
        }
    }
    out.truncate(out.trim_end().len());
    out
}

/// A name, kept apart from the direction of the words around it.
pub(crate) fn isolated(name: &str) -> String {
    format!("{ISOLATE}{}{ISOLATE_END}", plain(name))
}

/// Written from right to left (Hebrew, Arabic and their neighbours; Unicode blocks).
fn turns(text: &str) -> bool {
    text.chars()
        .any(|c| matches!(u32::from(c), 0x0590..=0x08FF | 0xFB1D..=0xFDFF | 0xFE70..=0xFEFF | 0x10800..=0x10FFF | 0x1E800..=0x1EFFF))
}

impl Document {
    /// Keeps names written from right to left apart from the words around them, wherever they stand.
    #[must_use]
    pub(crate) fn with_isolated<'a>(mut self, names: impl Iterator<Item = &'a str>) -> Self {
        let names: Vec<String> = names.filter(|name| turns(name)).map(plain).collect();
        let apart = |text: &mut String| {
            for name in &names {
                if !text.contains(ISOLATE) && text.contains(name.as_str()) {
                    *text = text.replace(name.as_str(), &isolated(name));
                }
            }
        };
        if let Some(first) = &mut self.first {
            apart(&mut first.meaning);
            let lines = first.parts.iter_mut().flat_map(|part| &mut part.lines);
            lines.for_each(apart);
        }
        for block in self.sections.iter_mut().flat_map(|s| &mut s.blocks) {
            match block {
                Block::Text(text) => apart(text),
                Block::Caution { about, text } => {
                    about.iter_mut().for_each(apart);
                    apart(text);
                }
                Block::List(items)
                | Block::Notes(items)
                | Block::Hints(items)
                | Block::Details(items) => {
                    items.iter_mut().for_each(apart);
                }
                Block::Table(table) | Block::DetailTable(table) => {
                    table.rows.iter_mut().flatten().for_each(apart);
                }
                Block::Figure(_) => {}
            }
        }
        self
    }
}
