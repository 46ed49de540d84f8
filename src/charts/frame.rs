//! What surrounds every chart: title and subtitle above; legend, notes and footer below.

use super::canvas::{Anchor, Canvas, Stroke, Type, words_area};
use super::labels::Rect;
use super::measure::{self, Weight};
use super::style::{
    ASCENT, AXIS, Colour, INK, LEADING, LIMIT_DASH, Look, MIDDLE, SOFT_INK, SeriesLook,
};

/// Wished size of a drawing in pixels. The width is kept (between 240 and 4000); a chart whose labels need more height
/// than wished becomes taller.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Size {
    /// Width; below 560 the narrow layout is used.
    pub width: u32,
    /// Least height.
    pub height: u32,
}

impl Size {
    /// A page column.
    pub const WIDE: Size = Size {
        width: 760,
        height: 430,
    };
    /// A phone held upright.
    pub const NARROW: Size = Size {
        width: 380,
        height: 440,
    };

    /// Width and height in the range that can be laid out.
    pub(crate) fn sound(self) -> (f64, f64) {
        (
            f64::from(self.width.clamp(240, 4000)),
            f64::from(self.height.clamp(160, 8000)),
        )
    }
}

/// Lines of words with one look.
#[derive(Debug)]
struct Block {
    lines: Vec<String>,
    kind: Type,
}

/// Words stacked from the top down, laid out before the height of the chart is known.
#[derive(Debug, Default)]
pub(crate) struct Stack {
    blocks: Vec<(f64, Block)>,
    height: f64,
}

impl Stack {
    fn add(&mut self, gap: f64, lines: Vec<String>, kind: Type) {
        if lines.is_empty() {
            return;
        }
        let gap = if self.height == 0.0 { 0.0 } else { gap };
        let top = self.height + gap;
        self.height = top + lines.len() as f64 * kind.size * LEADING;
        self.blocks.push((top, Block { lines, kind }));
    }

    pub(crate) fn height(&self) -> f64 {
        self.height
    }

    pub(crate) fn draw(&self, canvas: &mut Canvas, left: f64, top: f64) {
        for (offset, block) in &self.blocks {
            for (index, line) in block.lines.iter().enumerate() {
                let baseline =
                    top + offset + (index as f64 * LEADING + ASCENT + 0.05) * block.kind.size;
                canvas.words(left, baseline, line, block.kind);
            }
        }
    }
}

/// Title (two lines at most) and subtitle (two lines at most, three when narrow).
pub(crate) fn header(title: &str, subtitle: &str, look: &Look, room: f64) -> Stack {
    let mut stack = Stack::default();
    let title_type = Type::new(look.title).weight(Weight::Bold);
    stack.add(
        0.0,
        measure::wrap_evenly(title, look.title, Weight::Bold, room, 2),
        title_type,
    );
    let lines = if look.narrow { 3 } else { 2 };
    let subtitle_type = Type::new(look.subtitle).colour(SOFT_INK);
    stack.add(
        2.0,
        measure::wrap_evenly(subtitle, look.subtitle, Weight::Regular, room, lines),
        subtitle_type,
    );
    stack
}

/// Name of the vertical axis, level above it: nobody should have to turn the head.
pub(crate) fn axis_name(name: &str, look: &Look, room: f64) -> Stack {
    let mut stack = Stack::default();
    let kind = Type::new(look.tick).colour(SOFT_INK);
    stack.add(
        0.0,
        measure::wrap(name, look.tick, Weight::Regular, room, 2),
        kind,
    );
    stack
}

/// Footer lines, each wrapped to four lines at most: a caution must not lose its end.
pub(crate) fn footer(notes: &[String], look: &Look, room: f64) -> Stack {
    let mut stack = Stack::default();
    for note in notes {
        let kind = Type::new(look.note).colour(SOFT_INK);
        stack.add(
            2.0,
            measure::wrap(note, look.note, Weight::Regular, room, 4),
            kind,
        );
    }
    stack
}

/// The sign before a legend entry.
#[derive(Debug, Clone)]
pub(crate) enum Key {
    /// Line of this width, perhaps with its marker.
    Line(SeriesLook, f64, bool),
    /// Points only.
    Points(SeriesLook),
    /// Line of capacity.
    Capacity,
    /// Thin upright line.
    Mark,
    /// Filled box: fill and edge.
    Fill(String, Option<Stroke>),
}

/// One legend entry.
#[derive(Debug, Clone)]
pub(crate) struct Entry {
    pub(crate) key: Key,
    pub(crate) text: String,
    pub(crate) strong: bool,
}

/// Entries laid out in columns.
#[derive(Debug, Default)]
pub(crate) struct Legend {
    cells: Vec<(f64, f64, Key, Vec<String>, Weight)>,
    size: f64,
    height: f64,
}

/// Room of the key and its gap.
const KEY_WIDTH: f64 = 30.0;
const KEY_GAP: f64 = 7.0;
const COLUMN_GAP: f64 = 18.0;

impl Legend {
    pub(crate) fn new(entries: Vec<Entry>, look: &Look, room: f64) -> Legend {
        let size = look.label;
        let weight = |entry: &Entry| {
            if entry.strong {
                Weight::Bold
            } else {
                Weight::Regular
            }
        };
        let lead = KEY_WIDTH + KEY_GAP;
        let widest = entries
            .iter()
            .map(|entry| lead + measure::width(&measure::clean(&entry.text), size, weight(entry)))
            .fold(0.0, f64::max);
        let columns = ((room + COLUMN_GAP) / (widest + COLUMN_GAP))
            .floor()
            .clamp(1.0, 4.0);
        let columns = columns.min(entries.len().max(1) as f64);
        let column_width = if columns == 1.0 {
            room
        } else {
            widest + COLUMN_GAP
        };
        let mut legend = Legend {
            size,
            ..Legend::default()
        };
        let (mut column, mut top, mut row_height) = (0.0, 0.0, 0.0_f64);
        for entry in entries {
            let weight = weight(&entry);
            // The last column needs no gap behind it.
            let lines = measure::wrap(
                &entry.text,
                size,
                weight,
                (column_width - lead).min(room - lead),
                2,
            );
            if lines.is_empty() {
                continue;
            }
            if column >= columns {
                (column, top, row_height) = (0.0, top + row_height, 0.0);
            }
            row_height = row_height.max(lines.len() as f64 * size * LEADING);
            legend.height = top + row_height;
            legend
                .cells
                .push((column * column_width, top, entry.key, lines, weight));
            column += 1.0;
        }
        legend
    }

    pub(crate) fn height(&self) -> f64 {
        self.height
    }

    pub(crate) fn draw(&self, canvas: &mut Canvas, left: f64, top: f64, look: &Look) {
        for (x, y, key, lines, weight) in &self.cells {
            let (x, y) = (left + x, top + y);
            let middle = y + self.size * LEADING / 2.0;
            draw_key(canvas, key, x, middle, look);
            for (index, line) in lines.iter().enumerate() {
                let baseline = middle + self.size * (MIDDLE + index as f64 * LEADING);
                canvas.words(
                    x + KEY_WIDTH + KEY_GAP,
                    baseline,
                    line,
                    Type::new(self.size).weight(*weight),
                );
            }
        }
    }
}

fn draw_key(canvas: &mut Canvas, key: &Key, left: f64, y: f64, look: &Look) {
    let right = left + KEY_WIDTH;
    let middle = f64::midpoint(left, right);
    match key {
        Key::Line(series, width, marked) => {
            let stroke = Stroke {
                colour: series.colour,
                width: *width,
                dash: series.dash,
            };
            canvas.line((left, y), (right, y), stroke);
            if *marked {
                canvas.marker((middle, y), series.marker, look.marker, series.colour);
            }
        }
        Key::Points(series) => {
            canvas.marker((middle, y), series.marker, look.marker * 1.2, series.colour);
        }
        Key::Capacity => canvas.line((left, y), (right, y), Stroke::solid(INK, look.strong_line)),
        Key::Mark => canvas.line((middle, y - 6.0), (middle, y + 6.0), mark_stroke()),
        Key::Fill(fill, edge) => {
            let area = Rect {
                left,
                top: y - 5.5,
                right,
                bottom: y + 5.5,
            };
            canvas.rect(area, fill, 1.0, *edge);
        }
    }
}

/// Line of a limit.
pub(crate) fn limit_stroke(colour: Colour) -> Stroke {
    Stroke {
        colour,
        width: 1.4,
        dash: LIMIT_DASH,
    }
}

/// Thin upright line of a date or an event.
pub(crate) fn mark_stroke() -> Stroke {
    Stroke::solid(AXIS, 1.0)
}

/// Says that a chart is empty, at the height nearest to the middle where no other words stand; nothing if there is none.
pub(crate) fn say_empty(canvas: &mut Canvas, plot: &Rect, taken: &[Rect], look: &Look) {
    let text = measure::fit(
        "No values to draw",
        look.label,
        Weight::Regular,
        plot.width(),
    );
    let kind = Type::new(look.label)
        .colour(SOFT_INK)
        .anchor(Anchor::Middle);
    let x = f64::midpoint(plot.left, plot.right);
    let middle = f64::midpoint(plot.top, plot.bottom) + MIDDLE * look.label;
    let steps = (plot.height() / 2.0).max(0.0).floor() as usize;
    let place = (0..=steps)
        .flat_map(|step| [middle - step as f64, middle + step as f64])
        .find(|&baseline| {
            let room = words_area(x, baseline, &text, kind);
            plot.covers(&room) && taken.iter().all(|other| !other.meets(&room))
        });
    if let Some(baseline) = place {
        canvas.words(x, baseline, &text, kind);
    }
}
