//! Level bars in the given order, with a limit.

use super::Chart;
use super::axis::{self, Scale};
use super::canvas::{Anchor, Canvas, Stroke, Type};
use super::frame::{self, Entry, Key, Legend, Size, limit_stroke, say_empty};
use super::geometry::{drawable, extent};
use super::labels::Rect;
use super::measure::{self, Weight};
use super::plot::Limit;
use super::style::{AXIS, Colour, GROUND, HUES, Hatch, INK, LEADING, Look, MIDDLE, SOFT_INK};

/// One bar.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Bar {
    /// Left of the bar, or above it when narrow.
    pub name: String,
    /// Length; None or a value that is not finite draws no bar, words only.
    pub value: Option<f64>,
    /// Words at the end of the bar, with the unit: "41 days".
    pub value_label: String,
    /// Second line under the name, in grey.
    pub note: String,
    /// How it is drawn.
    pub look: BarLook,
}

/// How a bar is drawn. The words of the key say what each stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum BarLook {
    /// Filled.
    #[default]
    Filled,
    /// Light, with a strong edge.
    Light,
    /// Hatched.
    Hatched,
    /// Without a length: an open bar over the whole width with `value_label` in it.
    Open,
}

/// Words for the key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BarWords {
    /// For filled bars.
    pub filled: String,
    /// For light bars.
    pub light: String,
    /// For hatched bars.
    pub hatched: String,
    /// For open bars.
    pub open: String,
}

impl Default for BarWords {
    fn default() -> BarWords {
        BarWords {
            filled: "meets the limit".to_string(),
            light: "may miss the limit".to_string(),
            hatched: "misses the limit".to_string(),
            open: "never gets there".to_string(),
        }
    }
}

/// Level bars, top to bottom.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BarChart {
    /// States the finding.
    pub title: String,
    /// What is shown, with the unit.
    pub subtitle: String,
    /// Bars in the order they are drawn.
    pub bars: Vec<Bar>,
    /// Upright dashed line.
    pub limit: Option<Limit>,
    /// Words of the key; only kinds that occur are shown, and none if all bars are alike.
    pub words: BarWords,
    /// Lines below the chart.
    pub footer: Vec<String>,
}

/// Share of the width for names beside the bars.
const NAME_SHARE: f64 = 0.32;
/// Thickness of a bar over the type size.
const THICKNESS: f64 = 1.55;
/// Free space between rows over the type size.
const ROW_GAP: f64 = 0.75;

struct Row<'a> {
    bar: &'a Bar,
    name: Vec<String>,
    note: Vec<String>,
    height: f64,
}

impl Bar {
    fn length(&self) -> Option<f64> {
        self.value
            .filter(|&value| drawable(value) && self.look != BarLook::Open)
    }
}

/// Fill and edge of one kind of bar.
fn paint(canvas: &mut Canvas, look: BarLook) -> (String, Option<Stroke>) {
    let strong = HUES[0];
    let weak = HUES[1];
    match look {
        BarLook::Filled => (strong.hex(), None),
        BarLook::Light => (
            strong.toward(GROUND, 0.7).hex(),
            Some(Stroke::solid(strong, 1.5)),
        ),
        BarLook::Hatched => {
            let fill = canvas.texture(Hatch::Rising, weak, weak.toward(GROUND, 0.8));
            (fill, Some(Stroke::solid(weak, 1.0)))
        }
        BarLook::Open => {
            let fill = canvas.texture(Hatch::Falling, Colour(222, 225, 228), GROUND);
            (
                fill,
                Some(Stroke {
                    colour: AXIS,
                    width: 1.0,
                    dash: &[4.0, 3.0],
                }),
            )
        }
    }
}

impl Chart for BarChart {
    fn draw(&self, size: Size) -> String {
        let (width, wished_height) = size.sound();
        let look = Look::for_width(width);
        let room = width - 2.0 * look.margin;
        let mut canvas = Canvas::default();
        let header = frame::header(&self.title, &self.subtitle, &look, room);
        let footer = frame::footer(&self.footer, &look, room);
        let legend = Legend::new(self.key(&mut canvas), &look, room);

        let (rows, left) = self.rows(&look, width);
        let right = width - look.margin;
        let limit = self.limit.as_ref().filter(|limit| drawable(limit.value));
        let lengths = self.bars.iter().filter_map(Bar::length);
        let (low, high) = extent(lengths.chain(limit.map(|limit| limit.value)).chain([0.0]))
            .unwrap_or((0.0, 1.0));
        // Room at the right for the longest value label, so that labels mostly stand outside their bars.
        let widest = rows
            .iter()
            .filter(|row| row.bar.length().is_some())
            .map(|row| {
                measure::width(
                    &measure::clean(&row.bar.value_label),
                    look.label,
                    Weight::Bold,
                )
            })
            .fold(0.0, f64::max);
        let bar_end = right - (widest + 8.0).min((right - left) * 0.35);
        let scale = Scale::new(axis::widened((low, high)), left, bar_end);

        let limit_label = limit
            .map(|limit| measure::fit(&limit.label, look.label, Weight::Regular, right - left))
            .filter(|label| !label.is_empty());
        let line = look.label * LEADING;
        let mut top = look.margin + header.height() + 14.0;
        let strip = top;
        if limit_label.is_some() {
            top += line + 4.0;
        }
        let rows_height: f64 = rows.iter().map(|row| row.height).sum();
        let below =
            8.0 + if legend.height() > 0.0 {
                legend.height() + 10.0
            } else {
                0.0
            } + if footer.height() > 0.0 {
                footer.height() + 10.0
            } else {
                0.0
            } + look.margin * 0.8;
        // Bars keep their thickness; a wish for more height spreads the rows, up to half as much again.
        let spare = (wished_height - top - rows_height - below).max(0.0);
        let spread = (spare / rows.len().max(1) as f64).min(look.label * 1.2);
        let bottom = top
            + if rows.is_empty() {
                60.0
            } else {
                rows_height + spread * rows.len() as f64
            };
        let height = bottom + below;

        header.draw(&mut canvas, look.margin, look.margin);
        if rows.is_empty() {
            say_empty(
                &mut canvas,
                &Rect {
                    left: look.margin,
                    top,
                    right,
                    bottom,
                },
                &[],
                &look,
            );
        }
        let zero = scale.at(0.0);
        let mut y = top;
        let limit_at = limit.map(|limit| scale.at(limit.value));
        let mut labels: Vec<Over> = Vec::new();
        for row in &rows {
            let end = y + row.height + spread;
            let edges = Edges {
                names: look.margin,
                left,
                right,
                limit: limit_at,
            };
            let bar_top = draw_row(
                &mut canvas,
                row,
                &look,
                edges,
                (y, end),
                &scale,
                &mut labels,
            );
            if look.narrow {
                let bar_bottom = bar_top + look.label * THICKNESS;
                canvas.line(
                    (zero, bar_top - 2.0),
                    (zero, bar_bottom + 2.0),
                    Stroke::solid(AXIS, 1.2),
                );
            }
            y = end;
        }
        if !rows.is_empty() && !look.narrow {
            canvas.line((zero, top), (zero, bottom), Stroke::solid(AXIS, 1.2));
        }
        if let (Some(limit), Some(label)) = (limit, limit_label) {
            let x = scale.at(limit.value);
            let half = measure::width(&label, look.label, Weight::Regular) / 2.0;
            canvas.line((x, strip + line + 1.0), (x, bottom), limit_stroke(INK));
            let middle = x.clamp(
                left.min(right - half) + half.min((right - left) / 2.0),
                right - half,
            );
            canvas.words(
                middle - half,
                strip + line * 0.8,
                &label,
                Type::new(look.label),
            );
        }
        for label in labels {
            if label.kind.colour == GROUND {
                canvas.words(label.x, label.baseline, &label.text, label.kind);
            } else {
                canvas.words_on_patch(label.x, label.baseline, &label.text, label.kind);
            }
        }
        legend.draw(&mut canvas, look.margin, bottom + 18.0, &look);
        footer.draw(
            &mut canvas,
            look.margin,
            height - look.margin * 0.8 - footer.height(),
        );
        canvas.finish(width, height, &measure::clean(&self.title))
    }
}

impl BarChart {
    fn key(&self, canvas: &mut Canvas) -> Vec<Entry> {
        let kinds = [
            (BarLook::Filled, &self.words.filled),
            (BarLook::Light, &self.words.light),
            (BarLook::Hatched, &self.words.hatched),
            (BarLook::Open, &self.words.open),
        ];
        let present: Vec<_> = kinds
            .into_iter()
            .filter(|(look, _)| self.bars.iter().any(|bar| bar.look == *look))
            .collect();
        if present.len() < 2 {
            return Vec::new();
        }
        present
            .into_iter()
            .map(|(look, words)| {
                let (fill, edge) = paint(canvas, look);
                Entry {
                    key: Key::Fill(fill, edge),
                    text: words.clone(),
                    strong: false,
                }
            })
            .collect()
    }

    /// Rows with their heights, and the left end of the bars.
    fn rows(&self, look: &Look, width: f64) -> (Vec<Row<'_>>, f64) {
        let room = width - 2.0 * look.margin;
        let most = if look.narrow {
            room
        } else {
            width * NAME_SHARE
        };
        let line = look.label * LEADING;
        let note_line = look.note * LEADING;
        let mut widest = 0.0_f64;
        let rows: Vec<Row> = self
            .bars
            .iter()
            .map(|bar| {
                let name = measure::wrap_evenly(&bar.name, look.label, Weight::Bold, most, 2);
                let note = measure::wrap(&bar.note, look.note, Weight::Regular, most, 2);
                for text in &name {
                    widest = widest.max(measure::width(text, look.label, Weight::Bold));
                }
                for text in &note {
                    widest = widest.max(measure::width(text, look.note, Weight::Regular));
                }
                let words = name.len() as f64 * line + note.len() as f64 * note_line;
                let bar_height = look.label * THICKNESS;
                let inner = if look.narrow {
                    words + bar_height + 3.0
                } else {
                    words.max(bar_height)
                };
                Row {
                    bar,
                    name,
                    note,
                    height: inner + look.label * ROW_GAP,
                }
            })
            .collect();
        let left = if look.narrow {
            look.margin
        } else {
            look.margin + widest + 14.0
        };
        (rows, left)
    }
}

/// Left end of names, ends of the bar room, place of the limit.
#[derive(Debug, Clone, Copy)]
struct Edges {
    names: f64,
    left: f64,
    right: f64,
    limit: Option<f64>,
}

/// Words that must lie over the limit line.
struct Over {
    x: f64,
    baseline: f64,
    text: String,
    kind: Type,
}

/// Draws the bar and, into `over`, its words; gives back the top of the bar.
fn draw_row(
    canvas: &mut Canvas,
    row: &Row,
    look: &Look,
    edges: Edges,
    (top, bottom): (f64, f64),
    scale: &Scale,
    over: &mut Vec<Over>,
) -> f64 {
    let line = look.label * LEADING;
    let note_line = look.note * LEADING;
    let words = row.name.len() as f64 * line + row.note.len() as f64 * note_line;
    let thickness = look.label * THICKNESS;
    let middle = f64::midpoint(top, bottom);
    let (mut y, bar_top) = if look.narrow {
        let block = words + thickness + 3.0;
        (middle - block / 2.0, middle - block / 2.0 + words + 3.0)
    } else {
        (middle - words / 2.0, middle - thickness / 2.0)
    };
    let bold = Type::new(look.label).weight(Weight::Bold);
    let mut say = |x: f64, baseline: f64, text: String, kind: Type| {
        over.push(Over {
            x,
            baseline,
            text,
            kind,
        });
    };
    for text in &row.name {
        say(
            edges.names,
            y + line / 2.0 + MIDDLE * look.label,
            text.clone(),
            bold,
        );
        y += line;
    }
    for text in &row.note {
        let kind = Type::new(look.note).colour(SOFT_INK);
        say(
            edges.names,
            y + note_line / 2.0 + MIDDLE * look.note,
            text.clone(),
            kind,
        );
        y += note_line;
    }
    let baseline = bar_top + thickness / 2.0 + MIDDLE * look.label;
    let room = edges.right - edges.left;
    let (fill, edge) = paint(canvas, row.bar.look);
    if row.bar.look == BarLook::Open {
        let area = Rect {
            left: edges.left,
            top: bar_top,
            right: edges.right,
            bottom: bar_top + thickness,
        };
        canvas.rect(area, &fill, 1.0, edge);
        let text = measure::fit(&row.bar.value_label, look.label, Weight::Bold, room - 20.0);
        say(edges.left + 10.0, baseline, text, bold);
        return bar_top;
    }
    let Some(value) = row.bar.length() else {
        let text = measure::fit(
            &row.bar.value_label,
            look.label,
            Weight::Regular,
            room - 10.0,
        );
        say(
            edges.left + 6.0,
            baseline,
            text,
            Type::new(look.label).colour(SOFT_INK),
        );
        return bar_top;
    };
    let (start, end) = (scale.at(0.0), scale.at(value));
    let area = Rect {
        left: start.min(end),
        top: bar_top,
        right: start.max(end),
        bottom: bar_top + thickness,
    };
    canvas.rect(area, &fill, 1.0, edge);
    let text = measure::fit(&row.bar.value_label, look.label, Weight::Bold, room - 16.0);
    let width = measure::width(&text, look.label, Weight::Bold);
    let fits = |x: f64| x + width <= edges.right;
    let beside = area.right + 7.0;
    let straddles = edges
        .limit
        .is_some_and(|at| at > beside - 5.0 && at < beside + width + 5.0);
    // Words that would straddle the limit line go into a filled bar, else beyond the line.
    if straddles && row.bar.look == BarLook::Filled && width + 16.0 <= area.width() {
        say(
            area.right - 8.0,
            baseline,
            text,
            bold.anchor(Anchor::End).colour(GROUND),
        );
    } else if let Some(x) = edges
        .limit
        .map(|at| at + 7.0)
        .filter(|&x| straddles && fits(x))
    {
        say(x, baseline, text, bold);
    } else if fits(beside) {
        say(beside, baseline, text, bold);
    } else {
        let inside = (area.right - 8.0)
            .max(edges.left + width + 8.0)
            .min(edges.right - 4.0);
        say(inside, baseline, text, bold.anchor(Anchor::End));
    }
    bar_top
}
