//! Humidity through the depth of a slab: the drying surface is on top, depth runs down.

use super::Chart;
use super::axis::{self, Axis, Scale, XAxis};
use super::backend::inside;
use super::canvas::{Stroke, Type, words_area};
use super::crowd::{Crowd, Label, NOBODY};
use super::element::{Element, place, sure};
use super::frame::{
    self, Around, Entry, Grid, Key, Sheet, Size, TICK_GAP, limit_stroke, say_empty,
};
use super::geometry::{drawable, extent, runs};
use super::labels::Rect;
use super::measure::{self, Weight};
use super::plot::{Limit, choose_x_ticks};
use super::style::{INK, LEADING, SOFT_INK, series_look};

/// The profile of one day.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ProfileCurve {
    /// Written below: "12 Jan" or "day 30: 88 % at test depth".
    pub name: String,
    /// (depth from the drying surface, value).
    pub points: Vec<(f64, f64)>,
    /// Drawn stronger.
    pub emphasis: bool,
}

/// Values over depth, one curve a day.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ProfileChart {
    /// States the finding.
    pub title: String,
    /// What is shown.
    pub subtitle: String,
    /// Name of the depth with its unit.
    pub depth_label: String,
    /// Name of the horizontal axis with its unit.
    pub x_label: String,
    /// Curves in order of time.
    pub curves: Vec<ProfileCurve>,
    /// Upright dashed line.
    pub limit: Option<Limit>,
    /// Depth of the test, and its label: "40 % depth".
    pub test_depth: Option<Limit>,
    /// Lines below the chart.
    pub footer: Vec<String>,
}

/// Least height of the plotting area.
const LEAST_PLOT: f64 = 200.0;

impl Chart for ProfileChart {
    fn draw(&self, size: Size) -> String {
        let sound = || {
            let all = self.curves.iter().flat_map(|curve| &curve.points);
            all.filter(|(d, v)| drawable(*d) && drawable(*v))
        };
        let test = self.test_depth.as_ref().filter(|test| drawable(test.value));
        let limit = self.limit.as_ref().filter(|limit| drawable(limit.value));
        let depths = sound()
            .map(|p| p.0)
            .chain(test.map(|test| test.value))
            .chain([0.0]);
        let depth = axis::widened(extent(depths).unwrap_or((0.0, 1.0)));
        // Whole tens and no more: what lies outside of the curves is empty.
        let values = sound().map(|p| p.1).chain(limit.map(|limit| limit.value));
        let range = axis::nice_range(extent(values).unwrap_or((0.0, 1.0)), 10.0);

        let mut sheet = Sheet::new(size, &self.title, &self.subtitle).with_footer(&self.footer);
        let look = sheet.look;
        let line = look.tick * LEADING;
        let mut ticks = axis::number_ticks(depth, 8.0);
        for tick in &mut ticks {
            tick.label = measure::fit(&tick.label, look.tick, Weight::Regular, sheet.width * 0.2);
        }
        let widest = ticks
            .iter()
            .map(|tick| measure::width(&tick.label, look.tick, Weight::Regular))
            .fold(0.0, f64::max);
        let left = look.margin + widest + TICK_GAP;
        let right = sheet.right() - 8.0;
        let x = Scale::new(range, left, right);
        let room = (sheet.width, right - left);
        let (x_ticks, _) = choose_x_ticks(XAxis::Numbers, range, &x, &look, room);
        let y_name = frame::axis_name(&self.depth_label, &look, sheet.room());
        let limit_label = limit
            .map(|limit| measure::fit(&limit.label, look.label, Weight::Regular, right - left));
        let limit_row = limit_label
            .as_ref()
            .map_or(0.0, |_| look.label * LEADING + 4.0);
        let over = y_name.height() + 10.0 + limit_row;
        let x_name = measure::fit(&self.x_label, look.tick, Weight::Regular, sheet.room());
        let below = TICK_GAP + line + if x_name.is_empty() { 0.0 } else { line + 2.0 };

        let entries = (0..self.curves.len()).map(|index| self.entry(index));
        sheet = sheet.with_legend(entries.collect());
        let body = sheet.body(over + LEAST_PLOT + below, size);
        let area = Rect {
            left,
            top: sheet.above() + over,
            right,
            bottom: sheet.above() + body - below,
        };
        let y = Scale::new(depth, area.top, area.bottom);
        let label = test.and_then(|test| self.depth_name(test, look.label, &area, (&x, &y)));

        let ends = Rect {
            left: range.0,
            top: depth.0,
            right: range.1,
            bottom: depth.1,
        };
        let mut elements = Vec::new();
        let surface = Stroke::solid(INK, 2.0);
        elements.extend(Element::lines(
            &[(range.0, 0.0), (range.1, 0.0)],
            &ends,
            surface,
        ));
        if let Some(test) = test {
            let stroke = Stroke {
                colour: SOFT_INK,
                width: 1.2,
                dash: &[2.0, 3.0],
            };
            let level = [(range.0, test.value), (range.1, test.value)];
            elements.extend(Element::lines(&level, &ends, stroke));
        }
        if let Some(limit) = limit {
            let upright = [(limit.value, depth.0), (limit.value, depth.1)];
            elements.extend(Element::lines(&upright, &ends, limit_stroke(INK)));
        }
        for (index, curve) in self.curves.iter().enumerate() {
            let series = series_look(index);
            let stroke = Stroke {
                colour: series.colour,
                width: if curve.emphasis {
                    look.strong_line
                } else {
                    look.line
                },
                dash: series.dash,
            };
            let turned = turned(curve);
            elements.extend(Element::lines(&turned, &ends, stroke));
            let lone = runs(&turned)
                .into_iter()
                .filter(|run| run.len() == 1)
                .flatten();
            let marker = (series.marker, look.marker, series.colour);
            elements.push(Element::markers(lone, &ends, marker));
            // One marker a curve, where the test would read it.
            let read = test.and_then(|test| crossing(&turned, test.value));
            let marker = (series.marker, look.marker * 1.15, series.colour);
            elements.push(Element::markers(read, &ends, marker));
        }
        let around = Around {
            plot: area,
            names_above: false,
            grid: Grid::Level,
        };
        let axes = (
            Axis::new(range, x_ticks),
            // Depth runs down.
            Axis::new((depth.1, depth.0), ticks),
        );
        sheet.draw(body, |on| {
            let chart = frame::axes(on, &look, around, axes);
            if let Some(mut chart) = chart {
                sure(chart.draw_series(elements).map(drop));
            }
            place(on, |canvas, _| {
                y_name.draw(canvas, look.margin, sheet.above());
                let soft = Type::new(look.tick).colour(SOFT_INK);
                let wide = measure::width(&x_name, look.tick, Weight::Regular);
                let middle = f64::midpoint(left, right) - wide / 2.0;
                let baseline = area.bottom + TICK_GAP + 2.0 * line;
                canvas.words(inside(middle, wide, sheet.width), baseline, &x_name, soft);
                if let (Some(limit), Some(label)) = (limit, &limit_label) {
                    let at = x.at(limit.value);
                    canvas.line((at, area.top - 5.0), (at, area.top), limit_stroke(INK));
                    let wide = measure::width(label, look.label, Weight::Regular);
                    let start = (at - wide / 2.0).clamp(left, (right - wide).max(left));
                    canvas.words(start, area.top - 8.0, label, Type::new(look.label));
                }
                if sound().next().is_none() {
                    let rooms = label.iter();
                    let rooms = rooms.map(|l| words_area(l.left, l.baseline, &l.text, l.kind));
                    say_empty(canvas, &area, &rooms.collect::<Vec<_>>(), &look);
                }
                if let Some(label) = &label {
                    canvas.words_on_patch(label.left, label.baseline, &label.text, label.kind);
                }
            });
        })
    }
}

/// The points of a curve as the chart has them: value across, depth down.
fn turned(curve: &ProfileCurve) -> Vec<(f64, f64)> {
    curve
        .points
        .iter()
        .map(|&(depth, value)| (value, depth))
        .collect()
}

/// Where a line crosses a height; nothing across a gap.
fn crossing(points: &[(f64, f64)], at: f64) -> Option<(f64, f64)> {
    points.windows(2).find_map(|pair| {
        let [from, to] = [pair[0], pair[1]];
        let sound = [from, to].iter().all(|p| drawable(p.0) && drawable(p.1));
        let within = (from.1 <= at && at <= to.1) || (to.1 <= at && at <= from.1);
        if !(sound && within) {
            return None;
        }
        let share = if to.1 == from.1 {
            0.0
        } else {
            (at - from.1) / (to.1 - from.1)
        };
        Some((from.0 + share * (to.0 - from.0), at))
    })
}

impl ProfileChart {
    /// Names stand below in the order of time: on the lines, which lie close, they would not be in order.
    fn entry(&self, index: usize) -> Entry {
        let curve = &self.curves[index];
        let width = if curve.emphasis { 3.0 } else { 1.8 };
        Entry {
            key: Key::Line(series_look(index), width, true),
            text: curve.name.clone(),
            strong: curve.emphasis,
        }
    }

    /// The name of the test depth, over or under its line at the end where the curves are not.
    fn depth_name(
        &self,
        test: &Limit,
        type_size: f64,
        area: &Rect,
        (x, y): (&Scale, &Scale),
    ) -> Option<Label> {
        let inner = area.grown(-3.0, -3.0);
        let mut crowd = Crowd::new(inner);
        for (index, curve) in self.curves.iter().enumerate() {
            for run in runs(&turned(curve)) {
                crowd.line(index, run.iter().map(|p| (x.at(p.0), y.at(p.1))).collect());
            }
        }
        if let Some(limit) = self.limit.as_ref().filter(|limit| drawable(limit.value)) {
            let at = x.at(limit.value);
            crowd.line(NOBODY, vec![(at, area.top), (at, area.bottom)]);
        }
        let at = y.at(test.value);
        crowd.line(NOBODY, vec![(area.left, at), (area.right, at)]);
        let kind = Type::new(type_size).colour(SOFT_INK);
        let text = measure::fit(&test.label, type_size, Weight::Regular, inner.width() * 0.6);
        let half = measure::width(&text, type_size, Weight::Regular) / 2.0;
        let ends = [(inner.left + half, at), (inner.right - half, at)];
        crowd.place(NOBODY, &text, kind, &ends)
    }
}
