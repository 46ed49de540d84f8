//! Rows with bars along one axis: days by setup with their ranges, and the way from one day to another cause by cause.

use super::Chart;
use super::axis::{self, Axis, Scale, XAxis};
use super::canvas::{Fill, Stroke, Type};
use super::element::{Element, Ink, place, sure};
use super::frame::{
    self, Around, Entry, Grid, Key, Sheet, Size, TICK_GAP, limit_stroke, say_empty,
};
use super::geometry::{drawable, extent};
use super::labels::Rect;
use super::measure::{self, Weight};
use super::plot::{Limit, choose_x_ticks};
use super::style::{
    AXIS, Colour, GROUND, HUES, Hatch, INK, LEADING, Look, MIDDLE, Marker, SOFT_INK,
};

/// What stands in a row.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum RowBar {
    /// Words only.
    #[default]
    None,
    /// A bar from one value to another.
    Bar(f64, f64, BarLook),
    /// A bar over the whole width: nothing ends it.
    Open,
    /// A diamond at a value.
    Point(f64),
    /// An arrow at a value: it goes on from there.
    Onward(f64),
}

/// How a bar is drawn, without colour too.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum BarLook {
    /// Filled.
    #[default]
    Solid,
    /// Light, with a strong edge.
    Light,
    /// Hatched.
    Hatched,
    /// Filled in the second colour.
    Lost,
    /// Hatched in the first colour.
    Won,
    /// Dotted.
    Dotted,
}

/// One row.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Row {
    /// Left of the bar, or above it when narrow.
    pub name: String,
    /// Second line under the name, in grey.
    pub note: String,
    /// Words at the bar.
    pub label: String,
    /// The bar.
    pub bar: RowBar,
    /// Between which values it may end; no second value where that is not known.
    pub range: Option<(f64, Option<f64>)>,
}

/// Rows from the top down.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RowChart {
    /// States the finding.
    pub title: String,
    /// What is shown, with the unit.
    pub subtitle: String,
    /// Rows in the order in which they are drawn.
    pub rows: Vec<Row>,
    /// Numbers or dates.
    pub x_axis: XAxis,
    /// Upright dashed line.
    pub limit: Option<Limit>,
    /// What the looks say, for the key; those that do not occur are left out.
    pub looks: Vec<(BarLook, String)>,
    /// What a range is, for the key.
    pub range_label: String,
    /// Each bar starts where the one before ended: a line leads there.
    pub joined: bool,
    /// Lines below the chart.
    pub footer: Vec<String>,
}

/// Share of the width for names beside the bars.
const NAME_SHARE: f64 = 0.32;
/// Thickness of a bar over the type size.
const THICKNESS: f64 = 1.35;
/// Free space between rows over the type size.
const ROW_GAP: f64 = 0.75;
/// Words wider than this share of the plotting area stand over their bars, not behind them; those of joined bars never
/// do, since nothing stands behind them.
const BEHIND_SHARE: f64 = 0.3;
/// Between a bar and its words \[px\].
const GAP: f64 = 7.0;
/// A range is shown up to so many times the longest bar or the limit.
const FARTHEST: f64 = 1.8;
/// Room for bars without an end beyond all others, as a share of the axis.
const BEYOND_ALL: f64 = 0.12;
/// From the centre of a diamond or an arrow to its end, over the size of markers.
const MARKER_ROOM: f64 = 2.4;

fn paint(look: BarLook) -> (Fill, Option<Stroke>) {
    let (strong, weak, grey) = (HUES[0], HUES[1], HUES[6]);
    let hatched = |hatch: Hatch, colour: Colour| {
        let fill = Fill::hatched(hatch, colour, colour.toward(GROUND, 0.82));
        (fill, Some(Stroke::solid(colour, 1.0)))
    };
    match look {
        BarLook::Solid => (Fill::even(strong), None),
        BarLook::Light => (
            Fill::even(strong.toward(GROUND, 0.7)),
            Some(Stroke::solid(strong, 1.5)),
        ),
        BarLook::Hatched => hatched(Hatch::Rising, weak),
        BarLook::Lost => (Fill::even(weak), None),
        BarLook::Won => hatched(Hatch::Rising, strong),
        BarLook::Dotted => hatched(Hatch::Dots, grey),
    }
}

/// A row with its words laid out and the pixels of its middle.
struct Laid<'a> {
    row: &'a Row,
    name: Vec<String>,
    note: Vec<String>,
    height: f64,
}

impl Row {
    /// All values that the row shows but the ends of its range.
    fn values(&self) -> impl Iterator<Item = f64> {
        let (a, b) = match self.bar {
            RowBar::None | RowBar::Open => (None, None),
            RowBar::Bar(from, to, _) => (Some(from), Some(to)),
            RowBar::Point(at) | RowBar::Onward(at) => (Some(at), None),
        };
        [a, b].into_iter().flatten().filter(|v| drawable(*v))
    }

    /// Whether its bar can be drawn.
    fn sound(&self) -> bool {
        match self.bar {
            RowBar::None => false,
            RowBar::Open => true,
            RowBar::Bar(from, to, _) => drawable(from) && drawable(to),
            RowBar::Point(at) | RowBar::Onward(at) => drawable(at),
        }
    }
}

impl RowChart {
    fn key(&self) -> Vec<Entry> {
        let has = |look: BarLook| {
            let mut bars = self.rows.iter().map(|row| row.bar);
            bars.any(|bar| matches!(bar, RowBar::Bar(.., l) if l == look))
        };
        let present: Vec<_> = self.looks.iter().filter(|(look, _)| has(*look)).collect();
        let mut entries: Vec<Entry> = present
            .iter()
            .map(|(look, words)| {
                let (fill, edge) = paint(*look);
                Entry {
                    key: Key::Fill(fill, edge),
                    text: words.clone(),
                    strong: false,
                }
            })
            .collect();
        if self.rows.iter().any(|row| row.range.is_some()) && !self.range_label.is_empty() {
            entries.push(Entry {
                key: Key::Range,
                text: self.range_label.clone(),
                strong: false,
            });
        }
        entries
    }

    /// Rows with their heights, and the width of the names.
    fn rows(&self, look: &Look, most: f64, over: bool) -> (Vec<Laid<'_>>, f64) {
        let (line, note_line) = (look.label * LEADING, look.note * LEADING);
        let mut widest = 0.0_f64;
        let rows = self.rows.iter().map(|row| {
            let name = measure::wrap_evenly(&row.name, look.label, Weight::Bold, most, 2);
            let note = measure::wrap(&row.note, look.note, Weight::Regular, most, 2);
            for text in &name {
                widest = widest.max(measure::width(text, look.label, Weight::Bold));
            }
            for text in &note {
                widest = widest.max(measure::width(text, look.note, Weight::Regular));
            }
            let words = name.len() as f64 * line + note.len() as f64 * note_line;
            let bar = look.label * THICKNESS + if over { line } else { 0.0 };
            let inner = if look.narrow {
                words + bar + 3.0
            } else {
                words.max(bar)
            };
            Laid {
                row,
                name,
                note,
                height: inner + look.label * ROW_GAP,
            }
        });
        (rows.collect(), widest)
    }

    /// Range of the axis: all bars and the limit, and of the ranges as much as does not press the rest together.
    fn range(&self, limit: Option<&Limit>) -> (f64, f64) {
        let values = self.rows.iter().flat_map(Row::values);
        let values = values.chain(limit.map(|limit| limit.value)).chain([0.0]);
        let (low, high) = extent(values).unwrap_or((0.0, 1.0));
        let ends = self.rows.iter().filter_map(|row| row.range);
        let ends = ends.flat_map(|(low, high)| [Some(low), high]).flatten();
        let (from, to) = extent(ends).unwrap_or((low, high));
        let farthest = low + (high - low) * FARTHEST;
        let high = if high > low {
            high.max(to.min(farthest))
        } else {
            high.max(to)
        };
        // What has no end goes on beyond everything else.
        let open = self.rows.iter().any(|row| row.bar == RowBar::Open);
        let high = if open {
            high + (high - low) * BEYOND_ALL
        } else {
            high
        };
        // A delay of nothing still needs an axis with days on it.
        axis::widened((low.min(from), high.max(low + 4.0)))
    }
}

impl Chart for RowChart {
    fn draw(&self, size: Size) -> String {
        let sheet = Sheet::new(size, &self.title, &self.subtitle)
            .with_footer(&self.footer)
            .with_legend(self.key());
        let look = sheet.look;
        let line = look.label * LEADING;
        let most = if look.narrow {
            sheet.room()
        } else {
            sheet.width * NAME_SHARE
        };
        let limit = self.limit.as_ref().filter(|limit| drawable(limit.value));
        let right = sheet.right();
        let bold = Type::new(look.label).weight(Weight::Bold);
        let label_width = |text: &str| {
            let gap = GAP + look.marker * MARKER_ROOM;
            measure::width(&measure::clean(text), look.label, Weight::Bold) + gap
        };
        let widest = self
            .rows
            .iter()
            .map(|row| label_width(&row.label))
            .fold(0.0, f64::max);
        // Words that would take much of the width stand over their bars.
        let (_, names) = self.rows(&look, most, false);
        let left = look.margin + if look.narrow { 0.0 } else { names + 14.0 };
        let over = !self.joined && widest > (right - left) * BEHIND_SHARE;
        let (rows, _) = self.rows(&look, most, over);
        let end = right
            - if over {
                4.0
            } else {
                widest.min((right - left) * 0.42)
            };
        let range = self.range(limit);
        let scale = Scale::new(range, left + 4.0, end);
        let (ticks, second_row) =
            choose_x_ticks(self.x_axis, range, &scale, &look, (sheet.width, end - left));

        let limit_label = limit
            .map(|limit| measure::fit(&limit.label, look.label, Weight::Regular, right - left))
            .filter(|label| !label.is_empty());
        let strip = if limit_label.is_some() {
            line + 4.0
        } else {
            0.0
        };
        let needed: f64 = rows.iter().map(|row| row.height).sum();
        let needed = if rows.is_empty() { 60.0 } else { needed };
        let tick_rows = 1.0 + f64::from(u8::from(second_row));
        let below = TICK_GAP + tick_rows * look.tick * LEADING;
        // Bars keep their thickness; a wish for more height spreads the rows a little.
        let spare = sheet.body(strip + needed + below, size) - strip - needed - below;
        let spread = (spare / rows.len().max(1) as f64).min(look.label);
        let high = needed + spread * rows.len() as f64;
        let top = sheet.above() + strip;
        let plot = Rect {
            left: left + 4.0,
            top,
            right: end,
            bottom: top + high,
        };

        // Middles of the rows and of their bars, in pixels below the top of the plotting area.
        let mut elements = Vec::new();
        let mut words: Vec<(f64, f64, String, Type)> = Vec::new();
        let mut joints: Vec<[(f64, f64); 2]> = Vec::new();
        let thickness = look.label * THICKNESS;
        let half = thickness / 2.0;
        let mut before: Option<f64> = None;
        let mut y = 0.0;
        for laid in &rows {
            let height = laid.height + spread;
            let middle = y + height / 2.0;
            y += height;
            let text_height =
                laid.name.len() as f64 * line + laid.note.len() as f64 * look.note * LEADING;
            let label_height = if over { line } else { 0.0 };
            let (mut text, mut bar) = (
                middle - text_height / 2.0,
                middle - f64::midpoint(label_height, thickness),
            );
            if look.narrow {
                text = middle - (text_height + 3.0 + label_height + thickness) / 2.0;
                bar = text + text_height + 3.0;
            }
            for (lines, kind) in [
                (&laid.name, bold),
                (&laid.note, Type::new(look.note).colour(SOFT_INK)),
            ] {
                for said in lines {
                    let baseline = text + kind.size * (LEADING / 2.0 + MIDDLE);
                    words.push((look.margin, top + baseline, said.clone(), kind));
                    text += kind.size * LEADING;
                }
            }
            let centre = bar + label_height + half;
            let edge = draw_row(laid.row, &look, (centre, half), range, &mut elements);
            let edge = scale.at(edge);
            if over {
                let room = right - left - 4.0;
                let said = measure::fit(&laid.row.label, look.label, Weight::Bold, room);
                let baseline = top + bar + line / 2.0 + MIDDLE * look.label - 1.0;
                words.push((left + 4.0, baseline, said, bold));
            } else {
                let point = matches!(laid.row.bar, RowBar::Point(_) | RowBar::Onward(_));
                let from = edge
                    + GAP
                    + if point {
                        look.marker * MARKER_ROOM
                    } else {
                        0.0
                    };
                let from = from
                    .min(right - label_width(&laid.row.label) + GAP)
                    .max(left + 4.0);
                let said = measure::fit(&laid.row.label, look.label, Weight::Bold, right - from);
                words.push((from, top + centre + MIDDLE * look.label, said, bold));
            }
            if let (true, Some(from), Some(start)) = (self.joined, before, laid.row.values().next())
            {
                joints.push([(start, from), (start, centre - half)]);
            }
            before = Some(centre + half);
        }
        if let Some(limit) = limit {
            let upright = [(limit.value, 0.0), (limit.value, high)];
            elements.push(Element::new(upright, Ink::Line(limit_stroke(INK))));
        }
        let joints = joints.into_iter();
        let joint = Ink::Line(Stroke::solid(AXIS, 1.0));
        let joints = joints.map(|ends| Element::new(ends, joint.clone()));
        let elements: Vec<Element> = joints.chain(elements).collect();
        let around = Around {
            plot,
            names_above: false,
            grid: Grid::Upright,
        };
        let axes = (Axis::new(range, ticks), Axis::new((high, 0.0), Vec::new()));
        sheet.draw(strip + high + below, |body| {
            if let Some(mut chart) = frame::axes(body, &look, around, axes) {
                sure(chart.draw_series(elements).map(drop));
            }
            place(body, |canvas, _| {
                if rows.is_empty() {
                    say_empty(canvas, &plot, &[], &look);
                }
                if let (Some(limit), Some(label)) = (limit, &limit_label) {
                    let x = scale.at(limit.value);
                    canvas.line((x, top - 4.0), (x, top), limit_stroke(INK));
                    let wide = measure::width(label, look.label, Weight::Regular);
                    let start = (x - wide / 2.0).clamp(left.min(right - wide), right - wide);
                    canvas.words(start, top - 7.0, label, Type::new(look.label));
                }
                for (x, baseline, text, kind) in &words {
                    canvas.words_on_patch(*x, *baseline, text, *kind);
                }
            });
        })
    }
}

/// Adds what is drawn of a row and gives the value at which it ends.
fn draw_row(
    row: &Row,
    look: &Look,
    (y, half): (f64, f64),
    (low, high): (f64, f64),
    elements: &mut Vec<Element>,
) -> f64 {
    let within = |value: f64| value.clamp(low, high);
    let mut end = low.max(0.0_f64.min(high));
    if !row.sound() {
        return end;
    }
    let bar = |from: f64, to: f64, fill: Fill, edge: Option<Stroke>| {
        // A bar of nothing is still seen as a line.
        let ink = Ink::Bar {
            half,
            least: 1.5,
            fill,
            edge,
        };
        Element::new([(within(from), y), (within(to), y)], ink)
    };
    let marker = |at: f64, marker: Marker, size: f64| {
        Element::new(
            [(within(at), y)],
            Ink::Marker(marker, look.marker * size, INK),
        )
    };
    match row.bar {
        RowBar::None => {}
        RowBar::Bar(from, to, kind) => {
            let (fill, edge) = paint(kind);
            elements.push(bar(from, to, fill, edge));
            end = from.max(to);
        }
        RowBar::Open => {
            let fill = Fill::hatched(Hatch::Falling, Colour(222, 225, 228), GROUND);
            let edge = Stroke {
                colour: AXIS,
                width: 1.0,
                dash: &[4.0, 3.0],
            };
            elements.push(bar(end, high, fill, Some(edge)));
            elements.push(marker(high, Marker::Onward, 1.5));
            end = high;
        }
        RowBar::Point(at) => {
            elements.push(marker(at, Marker::Diamond, 1.9));
            end = at;
        }
        RowBar::Onward(at) => {
            elements.push(marker(at, Marker::Onward, 1.9));
            end = at;
        }
    }
    if let Some((from, to)) = row.range.filter(|(from, _)| drawable(*from)) {
        let beyond = to.is_none_or(|to| to > high);
        let to = to.filter(|to| drawable(*to)).unwrap_or(high);
        for (colour, more) in [(GROUND, 2.0), (INK, 0.0)] {
            let line = Ink::Line(Stroke::solid(colour, 1.6 + more));
            elements.push(Element::new([(within(from), y), (within(to), y)], line));
            let cap = |at: f64| {
                let ink = Ink::Bar {
                    half: half * 0.62 + more / 2.0,
                    least: 1.6 + more,
                    fill: Fill::even(colour),
                    edge: None,
                };
                Element::new([(within(at), y), (within(at), y)], ink)
            };
            elements.push(cap(from));
            if !beyond {
                elements.push(cap(to));
            }
        }
        if beyond {
            elements.push(marker(high, Marker::Onward, 1.5));
        }
        end = end.max(within(to));
    }
    within(end)
}
