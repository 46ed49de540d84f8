//! Work on bars over the calendar of the work, and below it the course of a reading over the calendar of the drying.

use super::Chart;
use super::axis::{self, Axis, Scale, Tick, XAxis};
use super::canvas::{Canvas, Fill, Stroke, Type, words_area};
use super::crowd::{Crowd, NOBODY};
use super::element::{Area, Element, Ink, place, sure};
use super::frame::{
    self, Around, Entry, Grid, Key, Sheet, Size, TICK_GAP, limit_stroke, mark_stroke, say_empty,
};
use super::geometry::{drawable, extent, runs};
use super::labels::Rect;
use super::line_chart::y_range;
use super::marks::{Mark, Marks, place_marks};
use super::measure::{self, Weight};
use super::plot::{Limit, choose_x_ticks};
use super::style::{
    ASCENT, AXIS, Colour, DESCENT, GRID, GROUND, HUES, Hatch, INK, LEADING, MIDDLE, SOFT_INK,
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
    /// The end of work and waits: no bar goes beyond it.
    pub over: Option<Mark>,
    /// Days worth a line through the drying, or through the work where there is no drying.
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
/// Between the panel of the work and that of the reading \[px\].
const BETWEEN: f64 = 16.0;

fn paint(kind: WorkKind) -> (Fill, Colour) {
    let (colour, hatch, light) = match kind {
        WorkKind::Plain => (HUES[6], Hatch::Plain, 0.45),
        WorkKind::Wet => (HUES[0], Hatch::Rising, 0.65),
        WorkKind::Opens => (HUES[1], Hatch::Dots, 0.65),
    };
    (
        Fill::hatched(hatch, colour, colour.toward(GROUND, light)),
        colour,
    )
}

/// One of the two panels: its plotting area, its axis of time and its marks.
struct Panel {
    plot: Rect,
    x: Scale,
    range: (f64, f64),
    ticks: Vec<Tick>,
    /// Height of ticks and their words below.
    below: f64,
    marks: Marks,
}

impl WorkChart {
    fn x_axis(&self) -> XAxis {
        XAxis::Dates {
            start: self.start,
            system: self.system,
        }
    }

    fn bars(&self) -> impl Iterator<Item = &WorkBar> {
        self.rows.iter().flat_map(|row| &row.bars)
    }

    /// Days of the work, up to the end of the last wait.
    fn work_range(&self) -> (f64, f64) {
        let days = self
            .bars()
            .flat_map(|bar| [bar.start, bar.end, bar.wait_end])
            .chain(self.over.as_ref().map(|mark| mark.x));
        let alone = self.marks.iter().filter(|_| self.course.is_none());
        let (low, high) = extent(days.chain(alone.map(|m| m.x))).unwrap_or((0.0, 1.0));
        axis::widened((low, high + (high - low) * 0.02))
    }

    /// Days of the drying: all of the work, and on to the last mark.
    fn drying_range(&self) -> (f64, f64) {
        let (low, high) = self.work_range();
        let days = self.marks.iter().map(|mark| mark.x);
        let (first, last) = extent(days).unwrap_or((low, high));
        let (low, high) = (low.min(first).min(0.0), high.max(last));
        axis::widened((low, high + (high - low) * 0.03))
    }

    fn key(&self) -> Vec<Entry> {
        let mut entries = Vec::new();
        let mut add = |present: bool, (fill, edge): (Fill, Option<Stroke>), text: &str| {
            if present {
                entries.push(Entry {
                    key: Key::Fill(fill, edge),
                    text: text.into(),
                    strong: false,
                });
            }
        };
        for (kind, words) in [
            (WorkKind::Wet, "wets the slab"),
            (WorkKind::Opens, "opens the surface"),
            (WorkKind::Plain, "other work"),
        ] {
            let (fill, colour) = paint(kind);
            let edge = Some(Stroke::solid(colour, 1.0));
            add(self.bars().any(|bar| bar.kind == kind), (fill, edge), words);
        }
        let edge = Some(Stroke::solid(INK, 2.0));
        let rules = self.bars().any(|bar| bar.rules);
        add(
            rules,
            (Fill::even(GROUND), edge),
            "edged: sets the finish date",
        );
        let waits = self.bars().any(|bar| bar.wait_end > bar.end);
        add(waits, (Fill::even(AXIS), None), "wait behind it");
        entries
    }

    /// Bars and waits, cut at the end of all work; `y` counts rows from the top.
    fn elements(&self, size: f64, end: f64) -> Vec<Element> {
        let mut elements = Vec::new();
        let bar = |from: f64, to: f64, y: f64, half: f64, least: f64, fill: Fill, edge| {
            let ink = Ink::Bar {
                half,
                least,
                fill,
                edge,
            };
            Element::new([(from.min(end), y), (to.min(end), y)], ink)
        };
        for (index, row) in self.rows.iter().enumerate() {
            let y = index as f64;
            let sound = |b: &&WorkBar| drawable(b.start) && drawable(b.end);
            for wait in row.bars.iter().filter(sound).filter(|b| b.wait_end > b.end) {
                elements.push(bar(
                    wait.end,
                    wait.wait_end,
                    y,
                    size * 0.14,
                    0.0,
                    Fill::even(AXIS),
                    None,
                ));
            }
            // Those that rule over the others.
            let mut bars: Vec<&WorkBar> = row.bars.iter().filter(sound).collect();
            bars.sort_by_key(|bar| (bar.rules, bar.kind));
            for one in bars {
                let (fill, colour) = paint(one.kind);
                let edge = if one.rules {
                    Stroke::solid(INK, 1.4)
                } else {
                    Stroke::solid(colour, 0.8)
                };
                elements.push(bar(
                    one.start,
                    one.end,
                    y,
                    size / 2.0,
                    LEAST_BAR,
                    fill,
                    Some(edge),
                ));
            }
        }
        elements
    }

    fn panel(
        &self,
        sheet: &Sheet,
        range: (f64, f64),
        (left, right): (f64, f64),
        marks: &[Mark],
    ) -> Panel {
        let look = &sheet.look;
        let x = Scale::new(range, left, right);
        let room = (sheet.width, right - left);
        let (ticks, second) = choose_x_ticks(self.x_axis(), range, &x, look, room);
        let rows = 1.0 + f64::from(u8::from(second));
        Panel {
            plot: Rect {
                left,
                top: 0.0,
                right,
                bottom: 0.0,
            },
            x,
            range,
            ticks,
            below: TICK_GAP + rows * look.tick * LEADING,
            marks: place_marks(marks, self.x_axis(), &x, look, (left, right)),
        }
    }
}

impl Panel {
    /// Height of the words of its marks.
    fn over(&self, line: f64) -> f64 {
        let rows = self.marks.packed.iter().map(|mark| mark.0 + 1).max();
        rows.unwrap_or(0) as f64 * line + 6.0
    }

    fn set(&mut self, top: f64, height: f64) {
        self.plot.top = top;
        self.plot.bottom = top + height;
    }

    fn draw_marks(&self, canvas: &mut Canvas, size: f64) {
        let line = size * LEADING;
        for (at, row) in &self.marks.lines {
            let from = self.plot.top - row.map_or(0.0, |r| 4.0 + r as f64 * line);
            canvas.line((*at, from), (*at, self.plot.bottom), mark_stroke());
        }
        for (row, start, text) in &self.marks.packed {
            let baseline = self.plot.top - 5.0 - DESCENT * size - *row as f64 * line;
            canvas.words_on_patch(*start, baseline, text, Type::new(size).colour(SOFT_INK));
        }
    }
}

impl Chart for WorkChart {
    fn draw(&self, size: Size) -> String {
        let mut sheet = Sheet::new(size, &self.title, &self.subtitle).with_footer(&self.footer);
        let look = sheet.look;
        let line = look.tick * LEADING;
        let room = sheet.room();
        let names = self
            .rows
            .iter()
            .map(|row| measure::width(&measure::clean(&row.name), look.label, Weight::Regular))
            .fold(0.0, f64::max)
            .min(sheet.width * NAME_SHARE);
        let left = look.margin
            + if look.narrow {
                0.0
            } else {
                names.max(30.0) + 12.0
            };
        let right = sheet.right() - 4.0;
        let course = self.course.as_ref();
        let over = self.over.clone().into_iter();
        let alone = self.marks.iter().filter(|_| course.is_none()).cloned();
        let work_marks: Vec<Mark> = over.chain(alone).collect();
        let mut work = self.panel(&sheet, self.work_range(), (left, right), &work_marks);

        let limits: Vec<Limit> = course.iter().filter_map(|c| c.limit.clone()).collect();
        let drying = course.map(|course| {
            let range = self.drying_range();
            let points = course.points.iter();
            let shown = points.filter(|(x, y)| *x >= range.0 && *x <= range.1 && drawable(*y));
            let y_range = axis::widened(y_range(None, extent(shown.map(|p| p.1)), &limits));
            let ticks = axis::number_ticks(y_range, 4.0);
            let widths = ticks.iter();
            let widths = widths.map(|t| measure::width(&t.label, look.tick, Weight::Regular));
            let own = look.margin + widths.fold(0.0, f64::max) + TICK_GAP;
            let panel = self.panel(&sheet, range, (left.max(own), right), &self.marks);
            let name = frame::axis_name(&course.name, &look, room);
            (course, panel, Axis::new(y_range, ticks), name)
        });

        let mut entries = self.key();
        entries.extend(work.marks.unplaced.iter().cloned());
        entries.extend(
            drying
                .iter()
                .flat_map(|(_, p, ..)| p.marks.unplaced.iter().cloned()),
        );
        sheet = sheet.with_legend(entries);

        let name_above = if look.narrow { line } else { 0.0 };
        let count = self.rows.len();
        let rows_height = ((name_above + look.label * 1.7) * count as f64).max(40.0);
        let row_height = rows_height / count.max(1) as f64;
        work.set(sheet.above() + work.over(line), rows_height);
        let work_body = work.over(line) + rows_height + work.below;
        let mut body = work_body;
        let drying = drying.map(|(course, mut panel, y_axis, name)| {
            let top = sheet.above() + work_body + BETWEEN;
            let plot_top = top + name.height() + panel.over(line);
            panel.set(plot_top, PANEL);
            body = plot_top + PANEL + panel.below - sheet.above();
            (course, panel, y_axis, name, top)
        });

        let end = self.over.as_ref().map_or(work.range.1, |mark| mark.x);
        let elements = self.elements(look.label, end);
        // Rows count from the middle of the first; a name above a bar moves all bars down.
        let shift = name_above / row_height / 2.0;
        let rows_axis = if count == 0 {
            (1.0, 0.0)
        } else {
            (count as f64 - 0.5 - shift, -0.5 - shift)
        };
        let around = |plot: Rect, grid: Grid| Around {
            plot,
            names_above: false,
            grid,
        };
        sheet.draw(body, |on| {
            let (upper, lower) = on.split_vertically(super::backend::units(work_body));
            let axes = (
                Axis::new(work.range, work.ticks.clone()),
                Axis::new(rows_axis, Vec::new()),
            );
            let chart = frame::axes(&upper, &look, around(work.plot, Grid::Upright), axes);
            place(&upper, |canvas, _| {
                work.draw_marks(canvas, look.tick);
                for index in 0..count {
                    let middle =
                        work.plot.top + (index as f64 + 0.5) * row_height + name_above / 2.0;
                    let level = Stroke::solid(GRID, 1.0);
                    canvas.line((work.plot.left, middle), (work.plot.right, middle), level);
                }
            });
            if let Some(mut chart) = chart {
                sure(chart.draw_series(elements).map(drop));
            }
            place(&upper, |canvas, _| {
                if count == 0 {
                    say_empty(canvas, &work.plot, &[], &look);
                }
                for (index, row) in self.rows.iter().enumerate() {
                    let top = work.plot.top + index as f64 * row_height;
                    let middle = top + row_height / 2.0;
                    let (size, baseline, width) = if look.narrow {
                        (look.tick, top + ASCENT * look.tick, room)
                    } else {
                        (
                            look.label,
                            middle + MIDDLE * look.label,
                            left - look.margin - 10.0,
                        )
                    };
                    let name = measure::fit(&row.name, size, Weight::Regular, width);
                    canvas.words_on_patch(look.margin, baseline, &name, Type::new(size));
                }
            });
            if let Some((course, panel, y_axis, name, top)) = drying {
                place(&lower, |canvas, _| name.draw(canvas, look.margin, top));
                draw_course(&lower, &sheet, course, &panel, y_axis);
            }
        })
    }
}

/// The course of the reading with its limit.
fn draw_course(area: &Area, sheet: &Sheet, course: &ReadingCurve, panel: &Panel, y_axis: Axis) {
    let look = &sheet.look;
    let plot = panel.plot;
    let y = Scale::new((y_axis.low, y_axis.high), plot.bottom, plot.top);
    let ends = Rect {
        left: panel.range.0,
        top: y_axis.low,
        right: panel.range.1,
        bottom: y_axis.high,
    };
    let elements = Element::lines(
        &course.points,
        &ends,
        Stroke::solid(HUES[0], look.strong_line),
    );
    let around = Around {
        plot,
        names_above: false,
        grid: Grid::Level,
    };
    let axes = (Axis::new(panel.range, panel.ticks.clone()), y_axis);
    let chart = frame::axes(area, look, around, axes);
    place(area, |canvas, _| panel.draw_marks(canvas, look.tick));
    let empty = elements.is_empty();
    if let Some(mut chart) = chart {
        sure(chart.draw_series(elements).map(drop));
    }
    let mut crowd = Crowd::new(plot);
    for run in runs(&course.points) {
        crowd.line(
            0,
            run.iter().map(|p| (panel.x.at(p.0), y.at(p.1))).collect(),
        );
    }
    place(area, |canvas, _| {
        let mut taken = Vec::new();
        let limit = course.limit.as_ref().filter(|limit| drawable(limit.value));
        if let Some(limit) = limit {
            let at = y.at(limit.value).clamp(plot.top, plot.bottom);
            canvas.line((plot.left, at), (plot.right, at), limit_stroke(INK));
            let kind = Type::new(look.label);
            let text = measure::fit(
                &limit.label,
                look.label,
                Weight::Regular,
                plot.width() - 10.0,
            );
            let half = measure::width(&text, look.label, Weight::Regular) / 2.0 + 5.0;
            // Over or under its line, at the end where the curve is not.
            let mut crowd = crowd.clone();
            crowd.line(NOBODY, vec![(plot.left, at), (plot.right, at)]);
            let spots = [(plot.right - half, at), (plot.left + half, at)];
            if let Some(label) = crowd.place(NOBODY, &text, kind, &spots) {
                canvas.words_on_patch(label.left, label.baseline, &label.text, kind);
                taken.push(words_area(label.left, label.baseline, &label.text, kind));
            }
        }
        if empty {
            say_empty(canvas, &plot, &taken, look);
        }
    });
}
