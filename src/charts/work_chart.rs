//! Work on bars over the calendar, with the course of a reading below on the same axis of time.

use super::Chart;
use super::axis::{self, Scale, Tick, XAxis};
use super::canvas::{Anchor, Canvas, Stroke, Type};
use super::frame::{self, Entry, Key, Legend, Size, limit_stroke, mark_stroke, say_empty};
use super::geometry::{clip_line, drawable, extent, runs, thin};
use super::labels::Rect;
use super::line_chart::y_range;
use super::marks::Mark;
use super::marks::place_marks;
use super::measure::{self, Weight};
use super::plot::Limit;
use super::style::{
    ASCENT, AXIS, Colour, DESCENT, GRID, GROUND, HUES, Hatch, INK, LEADING, Look, MIDDLE, SOFT_INK,
};

/// What a bar stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum WorkKind {
    /// Dry work that leaves the face as it is.
    #[default]
    Plain,
    /// It wets the slab.
    Wet,
    /// It opens the face.
    Opens,
}

/// One piece of work; days since day zero of the axis.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WorkBar {
    /// Start.
    pub start: f64,
    /// End.
    pub end: f64,
    /// End of the wait behind it.
    pub wait_end: f64,
    /// What it does.
    pub kind: WorkKind,
    /// Whether it rules the day.
    pub rules: bool,
}

/// A named row of bars.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WorkRow {
    /// Shown at the left, or above the row where it is narrow.
    pub name: String,
    /// In order of time.
    pub bars: Vec<WorkBar>,
}

/// The reading below.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ReadingCurve {
    /// Shown over it, with its unit.
    pub name: String,
    /// (day, value).
    pub points: Vec<(f64, f64)>,
    /// What it is held against.
    pub limit: Option<Limit>,
}

/// Rows of work over a course of a reading.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkChart {
    /// States the finding.
    pub title: String,
    /// What is shown.
    pub subtitle: String,
    /// Day zero.
    pub start: jiff::civil::Date,
    /// How days are written.
    pub system: crate::units::System,
    /// Rows, top to bottom.
    pub rows: Vec<WorkRow>,
    /// The reading; `None` where none is claimed.
    pub course: Option<ReadingCurve>,
    /// Days worth a line through all.
    pub marks: Vec<Mark>,
    /// Lines below the chart.
    pub footer: Vec<String>,
}

/// A bar is never thinner than this \[px\]: an hour in a month must still be seen.
const LEAST_BAR: f64 = 6.0;
/// Height of the reading's panel \[px\].
const PANEL: f64 = 150.0;
/// Share of the width for names beside the bars.
const NAME_SHARE: f64 = 0.24;

fn paint(canvas: &mut Canvas, kind: WorkKind) -> (String, Colour) {
    let (colour, hatch) = match kind {
        WorkKind::Plain => (HUES[6], Hatch::Plain),
        WorkKind::Wet => (HUES[0], Hatch::Rising),
        WorkKind::Opens => (HUES[1], Hatch::Dots),
    };
    let ground = match kind {
        WorkKind::Plain => colour.toward(GROUND, 0.45),
        _ => colour.toward(GROUND, 0.65),
    };
    (canvas.texture(hatch, colour, ground), colour)
}

/// Where things stand.
struct Frame {
    look: Look,
    x: Scale,
    left: f64,
    right: f64,
    /// Top of the rows.
    top: f64,
    row: f64,
    /// Room for the name above each bar when narrow.
    name_above: f64,
}

impl WorkChart {
    fn range(&self) -> (f64, f64) {
        let bars = || self.rows.iter().flat_map(|row| &row.bars);
        let days = bars()
            .flat_map(|bar| [bar.start, bar.end, bar.wait_end])
            .chain(self.marks.iter().map(|mark| mark.x));
        let (low, high) = extent(days.chain([0.0])).unwrap_or((0.0, 1.0));
        axis::widened((low, high + (high - low) * 0.03))
    }

    fn key(&self, canvas: &mut Canvas) -> Vec<Entry> {
        let bars = || self.rows.iter().flat_map(|row| &row.bars);
        let mut entries = Vec::new();
        for (kind, words) in [
            (WorkKind::Wet, "wets the slab"),
            (WorkKind::Opens, "opens the face"),
            (WorkKind::Plain, "other work"),
        ] {
            if bars().any(|bar| bar.kind == kind) {
                let (fill, colour) = paint(canvas, kind);
                entries.push(Entry {
                    key: Key::Fill(fill, Some(Stroke::solid(colour, 1.0))),
                    text: words.into(),
                    strong: false,
                });
            }
        }
        if bars().any(|bar| bar.rules) {
            entries.push(Entry {
                key: Key::Fill(GROUND.hex(), Some(Stroke::solid(INK, 2.0))),
                text: "edged: rules the end of the work".into(),
                strong: false,
            });
        }
        if bars().any(|bar| bar.wait_end > bar.end) {
            entries.push(Entry {
                key: Key::Fill(GRID.hex(), None),
                text: "wait behind it".into(),
                strong: false,
            });
        }
        entries
    }

    fn draw_rows(&self, canvas: &mut Canvas, frame: &Frame) {
        let look = &frame.look;
        let bar_height = look.label;
        for (index, row) in self.rows.iter().enumerate() {
            let top = frame.top + index as f64 * frame.row;
            let middle = top + frame.name_above + (frame.row - frame.name_above) / 2.0;
            let (x, baseline, room) = if look.narrow {
                (
                    frame.left,
                    top + ASCENT * look.tick,
                    frame.right - frame.left,
                )
            } else {
                (
                    look.margin,
                    middle + MIDDLE * look.label,
                    frame.left - look.margin - 10.0,
                )
            };
            let size = if look.narrow { look.tick } else { look.label };
            let name = measure::fit(&row.name, size, Weight::Regular, room);
            canvas.line(
                (frame.left, middle),
                (frame.right, middle),
                Stroke::solid(GRID, 1.0),
            );
            let place = |day: f64| frame.x.at(day).clamp(frame.left, frame.right);
            for bar in row
                .bars
                .iter()
                .filter(|b| drawable(b.end) && b.wait_end > b.end)
            {
                canvas.rect(
                    Rect {
                        left: place(bar.end),
                        top: middle - bar_height * 0.2,
                        right: place(bar.wait_end),
                        bottom: middle + bar_height * 0.2,
                    },
                    &GRID.hex(),
                    1.0,
                    None,
                );
            }
            // Those that rule over the others.
            let mut bars: Vec<&WorkBar> = row.bars.iter().filter(|b| drawable(b.start)).collect();
            bars.sort_by_key(|bar| (bar.rules, bar.kind));
            for bar in bars {
                let (fill, colour) = paint(canvas, bar.kind);
                let start = place(bar.start);
                let area = Rect {
                    left: start,
                    top: middle - bar_height / 2.0,
                    right: place(bar.end).max(start + LEAST_BAR),
                    bottom: middle + bar_height / 2.0,
                };
                let edge = if bar.rules {
                    Stroke::solid(INK, 1.4)
                } else {
                    Stroke::solid(colour, 0.8)
                };
                canvas.rect(area, &fill, 1.0, Some(edge));
            }
            if look.narrow {
                canvas.words_on_patch(x, baseline, &name, Type::new(size));
            } else {
                canvas.words(x, baseline, &name, Type::new(size));
            }
        }
    }

    fn draw_course(&self, canvas: &mut Canvas, frame: &Frame, course: &ReadingCurve, area: &Rect) {
        let look = &frame.look;
        let (low, high) = self.range();
        let inside = course
            .points
            .iter()
            .filter(|(x, y)| *x >= low && *x <= high && drawable(*y))
            .map(|p| p.1);
        let limits: Vec<Limit> = course.limit.iter().cloned().collect();
        let y_range = y_range(None, extent(inside), &limits);
        let y = Scale::new(y_range, area.bottom, area.top);
        for tick in axis::number_ticks(y_range, 4.0) {
            let at = y.at(tick.value);
            canvas.line((area.left, at), (area.right, at), Stroke::solid(GRID, 1.0));
            let kind = Type::new(look.tick).colour(SOFT_INK);
            if look.narrow {
                canvas.words_on_patch(area.left + 2.0, at - 2.0, &tick.label, kind);
            } else {
                canvas.words(
                    area.left - 8.0,
                    at + MIDDLE * look.tick,
                    &tick.label,
                    kind.anchor(Anchor::End),
                );
            }
        }
        let mut drawn = false;
        for run in runs(&course.points) {
            let pixels: Vec<(f64, f64)> = run
                .iter()
                .map(|&(day, value)| (frame.x.at(day), y.at(value)))
                .collect();
            for part in clip_line(&thin(&pixels), area) {
                drawn = true;
                canvas.polyline(&part, Stroke::solid(HUES[0], look.strong_line));
            }
        }
        if !drawn {
            say_empty(canvas, area, &[], look);
        }
        if let Some(limit) = &course.limit {
            let at = y.at(limit.value).clamp(area.top, area.bottom);
            canvas.line((area.left, at), (area.right, at), limit_stroke(INK));
            let label = measure::fit(
                &limit.label,
                look.label,
                Weight::Regular,
                area.width() - 10.0,
            );
            let below = at - area.top < look.label * LEADING + 4.0;
            let baseline = if below {
                at + 3.0 + ASCENT * look.label
            } else {
                at - 4.0 - DESCENT * look.label
            };
            // At the end at which the curve is further from its limit; clear of the tick's number when narrow.
            let width = measure::width(&label, look.label, Weight::Regular);
            let shown = || {
                let points = course.points.iter();
                points.filter(|(x, y)| *x >= low && *x <= high && drawable(*y))
            };
            let far = |point: Option<&(f64, f64)>| point.map_or(0.0, |p| (p.1 - limit.value).abs());
            let start = if far(shown().next()) > far(shown().next_back()) {
                area.left + if look.narrow { 30.0 } else { 6.0 }
            } else {
                area.right - width - 4.0
            };
            canvas.words_on_patch(start, baseline, &label, Type::new(look.label));
        }
    }
}

impl Chart for WorkChart {
    fn draw(&self, size: Size) -> String {
        let (width, _) = size.sound();
        let look = Look::for_width(width);
        let room = width - 2.0 * look.margin;
        let mut canvas = Canvas::default();
        let header = frame::header(&self.title, &self.subtitle, &look, room);
        let footer = frame::footer(&self.footer, &look, room);
        let names = self
            .rows
            .iter()
            .map(|row| measure::width(&measure::clean(&row.name), look.label, Weight::Regular))
            .fold(0.0, f64::max)
            .min(width * NAME_SHARE);
        let left = if look.narrow {
            look.margin
        } else {
            look.margin + names.max(30.0) + 12.0
        };
        let right = width - look.margin - 4.0;
        let range = self.range();
        let x = Scale::new(range, left, right);
        let x_axis = XAxis::Dates {
            start: self.start,
            system: self.system,
        };
        let marks = place_marks(&self.marks, x_axis, &x, &look, (left, right));
        let mut entries = self.key(&mut canvas);
        entries.extend(marks.unplaced.iter().cloned());
        let legend = Legend::new(entries, &look, room);

        let mark_rows = marks.packed.iter().map(|p| p.0 + 1).max().unwrap_or(0) as f64;
        let line = look.tick * LEADING;
        let top = look.margin + header.height() + 14.0 + mark_rows * line + 4.0;
        let name_above = if look.narrow { line } else { 0.0 };
        let row = name_above + look.label * 1.7;
        let rows_bottom = top + (row * self.rows.len() as f64).max(40.0);
        let course_name = self
            .course
            .as_ref()
            .map(|course| frame::axis_name(&course.name, &look, room));
        let (panel, bottom) = match &course_name {
            Some(name) => {
                let panel_top = rows_bottom + 14.0 + name.height() + 8.0;
                let area = Rect {
                    left,
                    top: panel_top,
                    right,
                    bottom: panel_top + PANEL,
                };
                (Some(area), area.bottom)
            }
            None => (None, rows_bottom),
        };
        let most = ((right - left) / if look.narrow { 46.0 } else { 62.0 })
            .clamp(1.0, 14.0)
            .floor();
        let half = |text: &str| measure::width(text, look.tick, Weight::Regular) / 2.0;
        let fits = |ticks: &[Tick]| {
            ticks.windows(2).all(|pair| {
                let words =
                    |tick: &Tick| half(&tick.label).max(tick.second.as_deref().map_or(0.0, half));
                x.at(pair[0].value) + words(&pair[0]) + 8.0 <= x.at(pair[1].value) - words(&pair[1])
            })
        };
        let ticks = axis::x_ticks(x_axis, range, most, fits);
        let tick_rows = if ticks.iter().any(|t| t.second.is_some()) {
            2.0
        } else {
            1.0
        };
        let mut height = bottom + 9.0 + tick_rows * line + 12.0;
        let legend_top = height;
        height += legend.height() + 10.0;
        let footer_top = height;
        height += footer.height() + look.margin * 0.8;

        header.draw(&mut canvas, look.margin, look.margin);
        for tick in &ticks {
            let at = x.at(tick.value);
            canvas.line((at, top), (at, bottom), Stroke::solid(GRID, 0.8));
        }
        let frame = Frame {
            look,
            x,
            left,
            right,
            top,
            row,
            name_above,
        };
        if self.rows.is_empty() {
            let area = Rect {
                left,
                top,
                right,
                bottom: rows_bottom,
            };
            say_empty(&mut canvas, &area, &[], &look);
        }
        for (at, in_row) in &marks.lines {
            let from = top - in_row.map_or(0.0, |r| 4.0 + r as f64 * line);
            canvas.line((*at, from), (*at, bottom), mark_stroke());
        }
        self.draw_rows(&mut canvas, &frame);
        for (in_row, start, text) in &marks.packed {
            let baseline = top - 6.0 - DESCENT * look.tick - *in_row as f64 * line;
            canvas.words_on_patch(
                *start,
                baseline,
                text,
                Type::new(look.tick).colour(SOFT_INK),
            );
        }
        canvas.line(
            (left, rows_bottom),
            (right, rows_bottom),
            Stroke::solid(AXIS, 1.0),
        );
        if let (Some(course), Some(area), Some(name)) = (&self.course, &panel, &course_name) {
            name.draw(&mut canvas, look.margin, rows_bottom + 14.0);
            self.draw_course(&mut canvas, &frame, course, area);
            canvas.line((left, bottom), (right, bottom), Stroke::solid(AXIS, 1.2));
        }
        let first = bottom + 9.0 + ASCENT * look.tick;
        for tick in &ticks {
            let at = frame.x.at(tick.value);
            canvas.line((at, bottom), (at, bottom + 5.0), Stroke::solid(AXIS, 1.2));
            let kind = Type::new(look.tick).colour(SOFT_INK);
            let start = |text: &str| {
                let half = half(text);
                at.clamp(
                    look.margin / 2.0 + half,
                    (width - look.margin / 2.0 - half).max(look.margin / 2.0 + half),
                ) - half
            };
            canvas.words(start(&tick.label), first, &tick.label, kind);
            if let Some(second) = &tick.second {
                canvas.words(start(second), first + line, second, kind);
            }
        }
        legend.draw(&mut canvas, look.margin, legend_top, &look);
        footer.draw(&mut canvas, look.margin, footer_top);
        canvas.finish(width, height, &measure::clean(&self.title))
    }
}
