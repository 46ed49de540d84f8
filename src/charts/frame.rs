//! What surrounds every chart: title and subtitle above; legend, notes and footer below. And the mesh of plotters in
//! our look.

use std::cell::RefCell;
use std::rc::Rc;

use plotters::chart::{ChartBuilder, ChartContext, LabelAreaPosition};
use plotters::coord::cartesian::Cartesian2d;
use plotters::style::{Color as _, IntoFont as _, RGBColor, ShapeStyle, TextStyle};

use super::axis::Axis;
use super::backend::units;
use super::canvas::{Anchor, Canvas, Fill, Stroke, Type, words_area};
use super::element::{Area, place, sure};
use super::labels::Rect;
use super::measure::{self, Weight};
use super::style::{
    ASCENT, AXIS, Colour, GRID, GROUND, INK, LEADING, LIMIT_DASH, Look, MIDDLE, Marker, SOFT_INK,
    SeriesLook,
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

/// Title (three lines at most, five when narrow: the end of a finding is often its number) and subtitle (two, three).
pub(crate) fn header(title: &str, subtitle: &str, look: &Look, room: f64) -> Stack {
    let mut stack = Stack::default();
    let title_type = Type::new(look.title).weight(Weight::Bold);
    stack.add(
        0.0,
        measure::wrap_evenly(
            title,
            look.title,
            Weight::Bold,
            room,
            if look.narrow { 5 } else { 3 },
        ),
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
    /// A sign of the drawing, with a list behind it that may take several lines.
    Sign(Marker, Colour),
    /// Line of capacity.
    Capacity,
    /// Thin upright line.
    Mark,
    /// Filled box: fill and edge.
    Fill(Fill, Option<Stroke>),
    /// A line between two ends.
    Range,
    /// An expected reading with its range.
    Tag(Colour),
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
/// Most lines of a list in the legend.
const MOST_LISTED: usize = 12;

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
                if matches!(entry.key, Key::Sign(..)) {
                    MOST_LISTED
                } else {
                    2
                },
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
        Key::Sign(marker, colour) => {
            canvas.marker((middle, y), *marker, look.marker * 1.25, *colour);
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
            let paint = fill.paint(canvas);
            canvas.rect(area, &paint, 1.0, *edge);
        }
        Key::Tag(colour) => {
            let area = Rect {
                left: middle - 5.0,
                top: y - 6.5,
                right: middle + 5.0,
                bottom: y + 6.5,
            };
            let tint = colour.toward(GROUND, 0.68).hex();
            canvas.rect(area, &tint, 1.0, Some(Stroke::solid(*colour, 0.8)));
            let line = Stroke::solid(*colour, 3.0);
            canvas.line((area.left - 2.0, y), (area.right + 2.0, y), line);
        }
        Key::Range => {
            canvas.line((left, y), (right, y), Stroke::solid(INK, 1.6));
            for x in [left, right] {
                canvas.line((x, y - 4.5), (x, y + 4.5), Stroke::solid(INK, 1.6));
            }
        }
    }
}

/// A drawing parted from the top down into header, body, legend and footer.
#[derive(Debug)]
pub(crate) struct Sheet {
    pub(crate) look: Look,
    pub(crate) width: f64,
    title: String,
    header: Stack,
    legend: Legend,
    footer: Stack,
}

/// Between the header and the body.
const BELOW_HEADER: f64 = 12.0;
/// Over the legend and over the footer.
const OVER: f64 = 10.0;

impl Sheet {
    pub(crate) fn new(size: Size, title: &str, subtitle: &str) -> Sheet {
        let (width, _) = size.sound();
        let look = Look::for_width(width);
        let mut sheet = Sheet {
            look,
            width,
            title: measure::clean(title),
            header: Stack::default(),
            legend: Legend::default(),
            footer: Stack::default(),
        };
        sheet.header = header(title, subtitle, &look, sheet.room());
        sheet
    }

    /// With a legend in place of the one before.
    pub(crate) fn with_legend(mut self, entries: Vec<Entry>) -> Sheet {
        self.legend = Legend::new(entries, &self.look, self.room());
        self
    }

    pub(crate) fn with_footer(mut self, notes: &[String]) -> Sheet {
        self.footer = footer(notes, &self.look, self.room());
        self
    }

    /// Width between the margins.
    pub(crate) fn room(&self) -> f64 {
        self.width - 2.0 * self.look.margin
    }

    /// Right edge of the room.
    pub(crate) fn right(&self) -> f64 {
        self.width - self.look.margin
    }

    /// Height above the body.
    pub(crate) fn above(&self) -> f64 {
        self.look.margin + self.header.height() + BELOW_HEADER
    }

    fn below(&self) -> f64 {
        let over = |height: f64| if height > 0.0 { height + OVER } else { 0.0 };
        over(self.legend.height()) + over(self.footer.height()) + self.look.margin * 0.8
    }

    /// Height of the body: at least this, or what the wished size leaves.
    pub(crate) fn body(&self, least: f64, size: Size) -> f64 {
        least.max(size.sound().1 - self.above() - self.below())
    }

    /// The finished picture, with a body of this height.
    pub(crate) fn draw(&self, body: f64, draw: impl FnOnce(&Area)) -> String {
        let height = self.above() + body + self.below();
        let canvas = Rc::new(RefCell::new(Canvas::sized(self.width, height)));
        let root = Area::from(&canvas);
        let (top, rest) = root.split_vertically(units(self.above()));
        let (middle, under) = rest.split_vertically(units(body));
        let margin = self.look.margin;
        place(&top, |canvas, (x, y)| {
            self.header.draw(canvas, x + margin, y + margin);
        });
        draw(&middle);
        place(&under, |canvas, (x, y)| {
            self.legend.draw(canvas, x + margin, y + OVER, &self.look);
            let footer = height - margin * 0.8 - self.footer.height();
            self.footer.draw(canvas, x + margin, footer);
        });
        drop((root, top, rest, middle, under));
        let canvas = Rc::into_inner(canvas).map(RefCell::into_inner);
        canvas
            .unwrap_or_default()
            .finish(self.width, height, &self.title)
    }
}

/// A chart of plotters on our axes.
pub(crate) type Axes<'a> = ChartContext<'a, Canvas, Cartesian2d<Axis, Axis>>;

/// Which lines of the grid are drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Grid {
    /// Level ones.
    Level,
    /// Upright ones.
    Upright,
    /// None.
    Off,
}

/// Where the words of the axes go, over and beside the plotting area.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Around {
    /// The plotting area in pixels of the whole drawing.
    pub(crate) plot: Rect,
    /// Names of columns stand above and not below.
    pub(crate) names_above: bool,
    pub(crate) grid: Grid,
}

/// Words of ticks end or begin this far from the plotting area.
pub(crate) const TICK_GAP: f64 = 8.0;

/// Draws grid, axis line, ticks and their words, and gives the axes for the series.
pub(crate) fn axes<'a>(
    area: &Area,
    look: &Look,
    around: Around,
    (x, y): (Axis, Axis),
) -> Option<Axes<'a>> {
    let (left, top) = area.get_base_pixel();
    let (width, height) = area.dim_in_pixel();
    let plot = around.plot;
    let mut chart = ChartBuilder::on(area);
    let along = if around.names_above {
        LabelAreaPosition::Top
    } else {
        LabelAreaPosition::Bottom
    };
    let whole = |side: u32| i32::try_from(side).unwrap_or(i32::MAX);
    let mut sides = [
        units(plot.top) - top,
        top + whole(height) - units(plot.bottom),
        units(plot.left) - left,
        left + whole(width) - units(plot.right),
    ];
    // Room beside the plotting area is all for words of the axes: plotters puts them next to it.
    chart.set_label_area_size(LabelAreaPosition::Left, std::mem::take(&mut sides[2]));
    let side = usize::from(!around.names_above);
    chart.set_label_area_size(along, std::mem::take(&mut sides[side]).max(1));
    chart
        .margin_top(sides[0])
        .margin_bottom(sides[1])
        .margin_right(sides[3]);
    let mut chart = sure(chart.build_cartesian_2d(x, y))?;
    let words = || -> TextStyle<'static> {
        TextStyle {
            color: rgb(SOFT_INK).to_backend_color(),
            ..TextStyle::from((measure::FACE, look.tick).into_font())
        }
    };
    let line = |colour: Colour, width: f64| ShapeStyle {
        color: rgb(colour).to_rgba(),
        filled: false,
        stroke_width: units(width).unsigned_abs(),
    };
    let hidden = ShapeStyle {
        color: rgb(AXIS).mix(0.0),
        ..line(AXIS, 1.0)
    };
    // Half of the distance to the words is the length of a tick.
    let tick = units(TICK_GAP / 2.0);
    let mut level = chart.configure_mesh();
    level
        .disable_x_axis()
        .bold_line_style(line(GRID, 1.0))
        .axis_style(hidden)
        .label_style(words())
        .set_all_tick_mark_size(tick);
    match around.grid {
        Grid::Level => level.disable_x_mesh(),
        Grid::Upright => level.disable_y_mesh(),
        Grid::Off => level.disable_mesh(),
    };
    sure(level.draw());
    let mut upright = chart.configure_mesh();
    upright
        .disable_mesh()
        .disable_y_axis()
        .axis_style(if around.names_above {
            hidden
        } else {
            line(AXIS, 1.2)
        })
        .label_style(words())
        .set_all_tick_mark_size(tick);
    sure(upright.draw());
    Some(chart)
}

fn rgb(Colour(r, g, b): Colour) -> RGBColor {
    RGBColor(r, g, b)
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
