//! A document as one PDF: text that can be selected, the type embedded, charts as drawings.
//!
//! A page is laid out as a drawing like any chart, in points, and turned into PDF as a whole; so one writer measures, shapes and
//! escapes all words, whatever their direction.

use crate::charts::canvas::{Canvas, Stroke, Type};
use crate::charts::labels::Rect;
use crate::charts::measure::{self, Weight};
use crate::charts::raster;
use crate::charts::style::{ASCENT, GRID, GROUND, INK, LEADING, LEAST_TYPE, SOFT_INK};
use crate::results::{Block, Document, Figure, FirstPage, Side, TextTable, plain};
use krilla::geom::{Size, Transform};
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla_svg::{SurfaceExt, SvgSettings};
use resvg::usvg::Tree;

/// Size of the paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// 8.5 in by 11 in.
    #[default]
    Letter,
    /// 210 mm by 297 mm.
    A4,
}

impl Paper {
    /// Width and height in points.
    #[must_use]
    pub fn points(self) -> (f64, f64) {
        match self {
            Self::Letter => (612.0, 792.0),
            Self::A4 => (595.28, 841.89),
        }
    }
}

/// Why there is no PDF.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PdfFault {
    /// A page could not be drawn.
    #[error("A page could not be drawn ({0}). Use the HTML file instead.")]
    Page(String),
    /// The file could not be put together.
    #[error("The PDF could not be put together ({0}). Use the HTML file instead.")]
    File(String),
}

/// Free edge of the paper [pt]: 0.67 in, what every printer can reach and a hole punch leaves.
const MARGIN: f64 = 48.0;
/// Room for the foot of the page [pt].
const FOOT: f64 = 22.0;
/// Text [pt].
const TEXT: f64 = 10.0;
/// Text of tables [pt].
const SMALL: f64 = 8.5;
/// Headings [pt].
const HEADING: f64 = 14.0;
/// The date on the first page [pt].
const DATE: f64 = 27.0;
/// Least width of a table column [pt].
const LEAST_COLUMN: f64 = 34.0;
/// Between columns [pt].
const GUTTER: f64 = 9.0;
/// Highest chart as a share of the room of a page, if its type stays readable.
const CHART_SHARE: f64 = 0.45;
/// Least type on paper \[pt\].
const LEAST_PRINT: f64 = 7.0;
/// The first page is set smaller by these factors, the first by which it fits.
const TIGHTER: [f64; 4] = [1.0, 0.92, 0.84, 0.74];
/// The same, to make room for its chart.
const WITH_A_CHART: [f64; 4] = [1.0, 0.95, 0.9, 0.86];
/// Room for the logo \[pt\].
const LOGO: (f64, f64) = (150.0, 44.0);

/// A page in the making.
#[derive(Default)]
struct Page {
    canvas: Canvas,
    charts: Vec<(f64, f64, f64, String)>,
}

struct Layout {
    width: f64,
    height: f64,
    pages: Vec<Page>,
    page: Page,
    y: f64,
    /// Size of the text \[pt\].
    text: f64,
    /// Drawings that wait for the next page: its SVG text, and its size in its own units.
    waiting: Vec<(String, f64, f64)>,
}

impl Layout {
    fn new(paper: Paper) -> Self {
        let (width, height) = paper.points();
        Self {
            width,
            height,
            pages: Vec::new(),
            page: Page::default(),
            y: MARGIN,
            text: TEXT,
            waiting: Vec::new(),
        }
    }

    fn room(&self) -> f64 {
        self.width - 2.0 * MARGIN
    }

    fn bottom(&self) -> f64 {
        self.height - MARGIN - FOOT
    }

    fn next_page(&mut self) {
        self.pages.push(std::mem::take(&mut self.page));
        self.y = MARGIN;
        for (svg, w, h) in std::mem::take(&mut self.waiting) {
            self.drawing(svg, w, h);
        }
    }

    /// Sets a drawing, at once or on the next page: what follows it then fills this one.
    fn drawing(&mut self, svg: String, w: f64, h: f64) {
        let page = self.bottom() - MARGIN;
        // The type stays readable, whatever that takes of the page.
        let readable = LEAST_PRINT / LEAST_TYPE;
        let most = (page * CHART_SHARE / h).max(readable);
        let scale = (self.room() / w).min(most).min(page / h).min(1.0);
        let height = h * scale + 8.0;
        if self.y + height > self.bottom() && self.y > MARGIN {
            self.waiting.push((svg, w, h));
        } else {
            self.place(svg, w, h, scale);
        }
    }

    fn place(&mut self, svg: String, w: f64, h: f64, scale: f64) {
        let left = MARGIN + (self.room() - w * scale) / 2.0;
        self.page.charts.push((left, self.y, scale, svg));
        self.y += h * scale + 8.0;
    }

    /// Starts a page if so much does not fit on this one, unless nothing stands on it yet.
    fn need(&mut self, height: f64) {
        if self.y + height > self.bottom() && self.y > MARGIN {
            self.next_page();
        }
    }

    /// Lines from the left, going on over the page's end.
    fn lines(&mut self, lines: &[String], indent: f64, kind: Type) {
        for line in lines {
            self.need(kind.size * LEADING);
            let baseline = self.y + ASCENT * kind.size;
            self.page
                .canvas
                .words(MARGIN + indent, baseline, line, kind);
            self.y += kind.size * LEADING;
        }
    }

    fn text(&mut self, text: &str, indent: f64, kind: Type) {
        let lines = flow(text, kind.size, kind.weight, self.room() - indent);
        self.lines(&lines, indent, kind);
    }

    fn item(&mut self, mark: &str, text: &str) {
        let kind = Type::new(TEXT);
        let lines = flow(text, TEXT, Weight::Regular, self.room() - 16.0);
        self.need(TEXT * LEADING * lines.len().min(3) as f64);
        let baseline = self.y + ASCENT * TEXT;
        self.page.canvas.words(MARGIN, baseline, mark, kind);
        self.lines(&lines, 16.0, kind);
        self.y += 3.0;
    }

    /// A head and sentences with a bar at their left.
    fn key(&mut self, head: &str, lines: &[String]) {
        let top = self.y;
        let page = self.pages.len();
        let kind = Type::new(self.text);
        self.lines(&[head.to_owned()], 12.0, kind.weight(Weight::Bold));
        for line in lines {
            self.text(line, 12.0, kind);
        }
        // Words that ran over the page have no bar.
        if self.pages.len() == page {
            self.bar(top);
        }
        self.y += 0.7 * self.text;
    }

    fn bar(&mut self, top: f64) {
        let area = Rect {
            left: MARGIN,
            top,
            right: MARGIN + 3.0,
            bottom: self.y,
        };
        self.page.canvas.rect(area, &INK.hex(), 1.0, None);
    }

    fn heading(&mut self, text: &str) {
        // A heading does not stand at the foot of a page.
        self.need(HEADING * LEADING + 14.0 + 4.0 * TEXT * LEADING);
        if self.y > MARGIN {
            self.y += 14.0;
        }
        let (from, to) = ((MARGIN, self.y), (self.width - MARGIN, self.y));
        self.page.canvas.line(from, to, Stroke::solid(INK, 1.2));
        self.y += 6.0;
        self.text(text, 0.0, Type::new(HEADING).weight(Weight::Bold));
        self.y += 4.0;
    }

    fn caution(&mut self, line: &str) {
        let lines = flow(line, TEXT, Weight::Regular, self.room() - 16.0);
        let height = lines.len() as f64 * TEXT * LEADING + 10.0;
        self.need(height);
        let area = Rect {
            left: MARGIN,
            top: self.y,
            right: self.width - MARGIN,
            bottom: self.y + height,
        };
        self.page
            .canvas
            .rect(area, &GROUND.hex(), 1.0, Some(Stroke::solid(INK, 1.2)));
        self.y += 5.0;
        self.lines(&lines, 8.0, Type::new(TEXT));
        self.y += 11.0;
    }

    /// The wide layout.
    fn figure(&mut self, figure: &Figure) -> Result<(), PdfFault> {
        let svg = figure.wide();
        let (w, h) = size_of(&svg)?;
        self.drawing(svg, w, h);
        Ok(())
    }

    fn table(&mut self, table: &TextTable) {
        let widths = columns(table, self.room());
        if widths.is_empty() {
            return;
        }
        let head: Vec<String> = table.columns.iter().map(|(h, _)| h.clone()).collect();
        let cells = |row: &[String], weight: Weight| -> Vec<Vec<String>> {
            widths
                .iter()
                .enumerate()
                .map(|(i, width)| {
                    flow(row.get(i).map_or("", String::as_str), SMALL, weight, *width)
                })
                .collect()
        };
        let head = cells(&head, Weight::Bold);
        let height = |cells: &[Vec<String>]| {
            cells.iter().map(Vec::len).max().unwrap_or(1).max(1) as f64 * SMALL * LEADING + 5.0
        };
        let first = table
            .rows
            .first()
            .map_or(0.0, |row| height(&cells(row, Weight::Regular)));
        self.need(height(&head) + first);
        self.row(table, &widths, &head, Weight::Bold, 1.2);
        for (place, row) in table.rows.iter().enumerate() {
            let weight = if table.strong_row == Some(place) {
                Weight::Bold
            } else {
                Weight::Regular
            };
            let lines = cells(row, weight);
            if self.y + height(&lines) > self.bottom() && self.y > MARGIN {
                self.next_page();
                self.row(table, &widths, &head, Weight::Bold, 1.2);
            }
            self.row(table, &widths, &lines, weight, 0.5);
        }
        self.y += 8.0;
    }

    /// One row; a cell too high for a page is cut there, with an ellipsis.
    fn row(
        &mut self,
        table: &TextTable,
        widths: &[f64],
        cells: &[Vec<String>],
        weight: Weight,
        rule: f64,
    ) {
        let line = SMALL * LEADING;
        let most = ((self.bottom() - self.y) / line).floor().max(1.0) as usize;
        let mut left = MARGIN;
        let mut height = line;
        for ((lines, width), (_, side)) in cells.iter().zip(widths).zip(&table.columns) {
            for (place, text) in lines.iter().take(most).enumerate() {
                let baseline = self.y + 2.0 + place as f64 * line + ASCENT * SMALL;
                let cut = place + 1 == most && lines.len() > most;
                let text = if cut { "…" } else { text.as_str() };
                let x = match side {
                    Side::Left => left,
                    Side::Right => left + width - measure::width(text, SMALL, weight),
                };
                let kind = Type::new(SMALL).weight(weight);
                self.page.canvas.words(x, baseline, text, kind);
            }
            height = height.max(lines.len().min(most) as f64 * line);
            left += width + GUTTER;
        }
        self.y += height + 5.0;
        let colour = if rule > 1.0 { INK } else { GRID };
        let (from, to) = ((MARGIN, self.y - 1.5), (self.width - MARGIN, self.y - 1.5));
        self.page
            .canvas
            .line(from, to, Stroke::solid(colour, rule.max(0.8)));
    }
}

/// Widths of columns: as wide as their words where that fits; else the wide ones give way.
fn columns(table: &TextTable, room: f64) -> Vec<f64> {
    let count = table.columns.len();
    if count == 0 {
        return Vec::new();
    }
    let room = room - GUTTER * (count - 1) as f64;
    let wished: Vec<f64> = table
        .columns
        .iter()
        .enumerate()
        .map(|(i, (head, _))| {
            table
                .rows
                .iter()
                .filter_map(|row| row.get(i))
                .chain([head])
                .map(|text| measure::width(&measure::clean(text), SMALL, Weight::Bold) + 1.0)
                .fold(LEAST_COLUMN, f64::max)
        })
        .collect();
    // Columns narrower than an even share of what is left keep their width; the others share the rest.
    let mut widths = vec![None; count];
    loop {
        let used: f64 = widths.iter().flatten().sum();
        let open = widths.iter().filter(|w| w.is_none()).count();
        if open == 0 {
            break;
        }
        let share = (room - used) / open as f64;
        let mut settled = false;
        for (width, wish) in widths.iter_mut().zip(&wished) {
            if width.is_none() && *wish <= share {
                *width = Some(*wish);
                settled = true;
            }
        }
        if !settled {
            for width in widths.iter_mut().filter(|w| w.is_none()) {
                *width = Some(share.max(1.0));
            }
        }
    }
    widths.into_iter().flatten().collect()
}

/// Words in lines, as many as it takes; a word wider than a line is broken.
fn flow(text: &str, size: f64, weight: Weight, room: f64) -> Vec<String> {
    let text = plain(text);
    let space = measure::width("n n", size, weight) - measure::width("nn", size, weight);
    let mut lines = Vec::new();
    let (mut line, mut used) = (String::new(), 0.0);
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let width = measure::width(word, size, weight);
        if !line.is_empty() && used + space + width > room {
            lines.push(std::mem::take(&mut line));
            used = 0.0;
        }
        if width <= room {
            if !line.is_empty() {
                line.push(' ');
                used += space;
            }
            line.push_str(word);
            used += width;
            continue;
        }
        for c in word.chars() {
            let step = measure::width(c.encode_utf8(&mut [0; 4]), size, weight);
            if used + step > room && !line.is_empty() {
                lines.push(std::mem::take(&mut line));
                used = 0.0;
            }
            line.push(c);
            used += step;
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

fn tree(svg: &str) -> Result<Tree, PdfFault> {
    raster::tree(svg).map_err(|fault| PdfFault::Page(fault.to_string()))
}

/// Width and height of a drawing in its own units.
fn size_of(svg: &str) -> Result<(f64, f64), PdfFault> {
    let size = tree(svg)?.size();
    Ok((f64::from(size.width()), f64::from(size.height())))
}

/// The whole file.
///
/// # Errors
/// A page or the file that could not be put together.
pub fn pdf(document: &Document, paper: Paper) -> Result<Vec<u8>, PdfFault> {
    let mut layout = match &document.first {
        Some(first) => first_page(paper, document, first)?,
        None => Layout::new(paper),
    };
    for section in &document.sections {
        if !section.heading.is_empty() {
            layout.heading(&section.heading);
        }
        for block in &section.blocks {
            match block {
                Block::Text(text) => {
                    layout.text(text, 0.0, Type::new(TEXT));
                    layout.y += 5.0;
                }
                Block::Caution { about, text } => {
                    layout.caution(&Block::caution_line(about.as_deref(), text));
                }
                Block::Hints(_) | Block::Details(_) | Block::DetailTable(_) => {}
                Block::List(items) | Block::Notes(items) => {
                    for item in items {
                        layout.item("•", item);
                    }
                    layout.y += 4.0;
                }
                Block::Table(table) => layout.table(table),
                Block::Figure(figure) => layout.figure(figure)?,
            }
        }
    }
    while layout.y > MARGIN || !layout.waiting.is_empty() || layout.pages.is_empty() {
        layout.next_page();
    }
    write(layout, document)
}

/// The first page: set as large as fits on one, with its chart if that takes no type too small.
fn first_page(paper: Paper, document: &Document, first: &FirstPage) -> Result<Layout, PdfFault> {
    let chart = first.chart.as_ref().map(|chart| {
        let svg = chart.wide();
        size_of(&svg).map(|(w, h)| (svg, w, h))
    });
    let chart = chart.transpose()?;
    let set = |tighter: f64| {
        let mut layout = Layout::new(paper);
        layout.text = TEXT * tighter;
        layout.first_page(document, first);
        layout
    };
    let release = flow(
        &first.release,
        SMALL,
        Weight::Regular,
        Layout::new(paper).room(),
    );
    let below = release.len() as f64 * SMALL * LEADING + 8.0;
    // What is left under the text; less than nothing where it does not fit.
    let left = |layout: &Layout| match layout.pages.len() {
        0 => layout.bottom() - layout.y - below,
        _ => f64::NEG_INFINITY,
    };
    let scale = |layout: &Layout| {
        let (_, w, h) = chart.as_ref()?;
        let scale = (layout.room() / w).min((left(layout) - 8.0) / h).min(1.0);
        (scale >= LEAST_PRINT / LEAST_TYPE).then_some(scale)
    };
    let drawn = WITH_A_CHART.into_iter().map(set);
    let drawn = drawn
        .into_iter()
        .find_map(|layout| Some((scale(&layout)?, layout)));
    let mut layout = if let Some((scale, mut layout)) = drawn {
        if let Some((svg, w, h)) = chart {
            layout.place(svg, w, h, scale);
        }
        layout
    } else {
        let mut sizes = TIGHTER.into_iter().map(set);
        let fits = sizes.find(|layout| left(layout) >= 0.0);
        let mut layout = fits.unwrap_or_else(|| set(TIGHTER[TIGHTER.len() - 1]));
        layout.waiting.extend(chart);
        layout
    };
    layout.lines(&release, 0.0, Type::new(SMALL).colour(SOFT_INK));
    layout.text = TEXT;
    layout.next_page();
    Ok(layout)
}

impl Layout {
    fn first_page(&mut self, document: &Document, first: &FirstPage) {
        let size = self.text;
        let soft = Type::new(size).colour(SOFT_INK);
        self.letter_head(first);
        self.text(
            &document.title,
            0.0,
            Type::new(HEADING).weight(Weight::Bold),
        );
        self.text(&document.subtitle, 0.0, soft);
        let facts = first.head.lines().into_iter();
        let facts: Vec<String> = facts
            .map(|(name, text)| format!("{name}: {text}"))
            .collect();
        self.text(&facts.join("  ·  "), 0.0, soft);
        self.y += size;
        self.text(&first.date, 0.0, Type::new(DATE).weight(Weight::Bold));
        self.y += 2.0;
        self.text(&first.meaning, 0.0, Type::new(size + 1.0));
        self.y += 0.9 * size;
        for part in &first.parts {
            self.key(part.name, &part.lines);
        }
    }

    /// Company and address at the left, the logo at the right, a line below.
    fn letter_head(&mut self, first: &FirstPage) {
        let head = &first.head;
        let top = self.y;
        if let Some(company) = &head.company {
            let company = measure::fit(company, 12.0, Weight::Bold, self.room() - LOGO.0 - 12.0);
            self.lines(&[company], 0.0, Type::new(12.0).weight(Weight::Bold));
        }
        if let Some(address) = &head.address {
            let room = self.room() - LOGO.0 - 12.0;
            let lines = flow(address, SMALL, Weight::Regular, room);
            self.lines(&lines, 0.0, Type::new(SMALL));
        }
        if let Some(logo) = &head.logo {
            let left = self.width - MARGIN - LOGO.0;
            let drawing = logo.drawing(LOGO.0, LOGO.1);
            self.page.charts.push((left, top, 1.0, drawing));
            self.y = self.y.max(top + LOGO.1);
        }
        if self.y > top {
            self.y += 4.0;
            let (from, to) = ((MARGIN, self.y), (self.width - MARGIN, self.y));
            self.page.canvas.line(from, to, Stroke::solid(INK, 1.2));
            self.y += 8.0;
        }
    }
}

fn write(layout: Layout, document: &Document) -> Result<Vec<u8>, PdfFault> {
    let (width, height) = (layout.width, layout.height);
    let count = layout.pages.len();
    let mut file = krilla::Document::new();
    file.set_metadata(
        Metadata::new()
            .title(plain(&document.title))
            .language("en".into()),
    );
    let size = |w: f64, h: f64| {
        Size::from_wh(w as f32, h as f32)
            .ok_or_else(|| PdfFault::Page("a drawing without size".into()))
    };
    for (place, mut page) in layout.pages.into_iter().enumerate() {
        let foot = format!("Page {} of {count}", place + 1);
        let kind = Type::new(SMALL).colour(SOFT_INK);
        let baseline = height - MARGIN + 2.0;
        let right = width - MARGIN - measure::width(&foot, SMALL, Weight::Regular);
        page.canvas.words(right, baseline, &foot, kind);
        let title = measure::fit(
            &document.title,
            SMALL,
            Weight::Regular,
            right - MARGIN - 20.0,
        );
        page.canvas.words(MARGIN, baseline, &title, kind);

        let settings = PageSettings::from_wh(width as f32, height as f32)
            .ok_or_else(|| PdfFault::Page("paper without size".into()))?;
        let mut sheet = file.start_page_with(settings);
        let mut surface = sheet.surface();
        let drawn = tree(&page.canvas.finish(width, height, ""))?;
        let settings = SvgSettings::default();
        let words = surface.draw_svg(&drawn, size(width, height)?, settings);
        words.ok_or_else(|| PdfFault::Page(format!("page {}", place + 1)))?;
        for (left, top, scale, svg) in &page.charts {
            let chart = tree(svg)?;
            let (w, h) = (
                f64::from(chart.size().width()),
                f64::from(chart.size().height()),
            );
            surface.push_transform(&Transform::from_translate(*left as f32, *top as f32));
            let done = surface.draw_svg(&chart, size(w * scale, h * scale)?, settings);
            surface.pop();
            done.ok_or_else(|| PdfFault::Page(format!("a chart on page {}", place + 1)))?;
        }
        surface.finish();
        sheet.finish();
    }
    file.finish()
        .map_err(|fault| PdfFault::File(format!("{fault:?}")))
}
