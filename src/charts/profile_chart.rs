//! Humidity through the depth of a slab: the drying face is on top, depth runs down.

use super::Chart;
use super::axis::{self, Scale, XAxis};
use super::canvas::{Anchor, Canvas, Stroke, Type, words_area};
use super::frame::{self, Entry, Key, Legend, Size, limit_stroke, say_empty};
use super::geometry::{clip_line, drawable, extent, runs, thin};
use super::labels::Rect;
use super::measure::{self, Weight};
use super::plot::Limit;
use super::style::{
    ASCENT, AXIS, GRID, INK, LEADING, Look, MIDDLE, SOFT_INK, SeriesLook, series_look,
};

/// The profile of one day.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ProfileCurve {
    /// Written on the line: "12 Jan" or "day 30".
    pub name: String,
    /// (depth in mm from the drying face, value).
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
    /// Name of the horizontal axis with its unit.
    pub x_label: String,
    /// Curves in order of time.
    pub curves: Vec<ProfileCurve>,
    /// Upright dashed line.
    pub limit: Option<Limit>,
    /// Depth of the test in mm, and its label: "40 % depth".
    pub test_depth: Option<Limit>,
    /// Horizontal range; the limit widens it if need be. None: taken from the data.
    pub x_range: Option<(f64, f64)>,
    /// Lines below the chart.
    pub footer: Vec<String>,
}

const MM_PER_INCH: f64 = 1e3 * crate::units::INCH;
/// Places tried along each curve.
const PLACES: usize = 24;
/// Least height of the plotting area.
const LEAST_PLOT: f64 = 200.0;
/// Longest label on a line as a share of the plotting width.
const LABEL_SHARE: f64 = 0.3;
/// Curves beyond this count go into a legend.
const MOST_LABELS: usize = 8;

impl Chart for ProfileChart {
    fn draw(&self, size: Size) -> String {
        let (width, wished_height) = size.sound();
        let look = Look::for_width(width);
        let room = width - 2.0 * look.margin;
        let header = frame::header(&self.title, &self.subtitle, &look, room);
        let footer = frame::footer(&self.footer, &look, room);

        let sound = || {
            self.curves
                .iter()
                .flat_map(|curve| &curve.points)
                .filter(|(d, v)| drawable(*d) && drawable(*v))
        };
        let test = self.test_depth.as_ref().filter(|test| drawable(test.value));
        let limit = self.limit.as_ref().filter(|limit| drawable(limit.value));
        let depths = sound()
            .map(|p| p.0)
            .chain(test.map(|test| test.value))
            .chain([0.0]);
        let depth = axis::widened(extent(depths).unwrap_or((0.0, 1.0)));
        let limits: Vec<Limit> = limit.into_iter().cloned().collect();
        let range = axis::widened(super::line_chart::y_range(
            self.x_range,
            extent(sound().map(|p| p.1)),
            &limits,
        ));

        // Ticks: millimetres left, inches right.
        let mm = axis::number_ticks(depth, 8.0);
        let inches = axis::number_ticks((depth.0 / MM_PER_INCH, depth.1 / MM_PER_INCH), 6.0);
        let widest = |ticks: &[axis::Tick]| {
            let widths = ticks
                .iter()
                .map(|tick| measure::width(&tick.label, look.tick, Weight::Regular));
            widths.fold(0.0, f64::max).min(width * 0.2)
        };
        let left = look.margin + widest(&mm) + 8.0;
        let right = width - look.margin - widest(&inches).max(10.0) - 8.0;
        let x = Scale::new(range, left, right);

        let on_lines = self.curves.len() <= MOST_LABELS;
        // Labels are placed once the area is known; a legend's height must be known before. So the chart is laid out
        // first with all names on the lines, and again with a legend for those that found no place.
        let mut in_legend: Vec<usize> = if on_lines {
            Vec::new()
        } else {
            (0..self.curves.len()).collect()
        };
        let line = look.tick * LEADING;
        let top = look.margin + header.height() + 12.0;
        let limit_label = limit
            .map(|limit| measure::fit(&limit.label, look.label, Weight::Regular, right - left))
            .filter(|label| !label.is_empty());
        let area_top = top
            + line
            + 10.0
            + if limit_label.is_some() {
                look.label * LEADING + 2.0
            } else {
                0.0
            };
        let x_name = measure::fit(&self.x_label, look.tick, Weight::Regular, room);
        let below_axis = 9.0 + line + if x_name.is_empty() { 0.0 } else { line + 2.0 };
        let (area, y, height, legend, labels) = loop {
            let legend = Legend::new(
                in_legend.iter().map(|&index| self.entry(index)).collect(),
                &look,
                room,
            );
            let below = below_axis
                + if legend.height() > 0.0 {
                    legend.height() + 10.0
                } else {
                    0.0
                }
                + if footer.height() > 0.0 {
                    footer.height() + 10.0
                } else {
                    0.0
                }
                + look.margin * 0.8;
            let height = wished_height.max(area_top + LEAST_PLOT + below);
            let area = Rect {
                left,
                top: area_top,
                right,
                bottom: height - below,
            };
            let y = Scale::new(depth, area.top, area.bottom);
            let (labels, homeless) = self.place_labels(&look, &area, &x, &y, &in_legend);
            if homeless.is_empty() {
                break (area, y, height, legend, labels);
            }
            in_legend.extend(homeless);
            in_legend.sort_unstable();
        };

        let mut canvas = Canvas::default();
        header.draw(&mut canvas, look.margin, look.margin);
        let soft = Type::new(look.tick).colour(SOFT_INK);
        let baseline = top + ASCENT * look.tick;
        let inch_name = "inches";
        let inch_width = measure::width(inch_name, look.tick, Weight::Regular);
        let name = measure::fit(
            "Depth below the drying face, mm",
            look.tick,
            Weight::Regular,
            room - inch_width - 12.0,
        );
        canvas.words(look.margin, baseline, &name, soft);
        canvas.words(
            width - look.margin,
            baseline,
            inch_name,
            soft.anchor(Anchor::End),
        );
        for tick in &mm {
            let at = y.at(tick.value);
            canvas.line((left, at), (right, at), Stroke::solid(GRID, 1.0));
            let text = measure::fit(
                &tick.label,
                look.tick,
                Weight::Regular,
                left - look.margin - 6.0,
            );
            canvas.words(
                left - 8.0,
                at + MIDDLE * look.tick,
                &text,
                soft.anchor(Anchor::End),
            );
        }
        for tick in &inches {
            let at = y.at(tick.value * MM_PER_INCH);
            canvas.line((right, at), (right + 4.0, at), Stroke::solid(AXIS, 1.0));
            let text = measure::fit(
                &tick.label,
                look.tick,
                Weight::Regular,
                width - look.margin - right - 6.0,
            );
            canvas.words(right + 8.0, at + MIDDLE * look.tick, &text, soft);
        }
        let face = y.at(0.0).clamp(area.top, area.bottom);
        canvas.line((left, face), (right, face), Stroke::solid(INK, 2.0));
        canvas.line(
            (left, area.bottom),
            (right, area.bottom),
            Stroke::solid(AXIS, 1.2),
        );
        Self::draw_x_axis(&mut canvas, &look, &area, &x, (range, width), &x_name);

        if let Some(test) = test {
            let at = y.at(test.value);
            canvas.line(
                (left, at),
                (right, at),
                Stroke {
                    colour: SOFT_INK,
                    width: 1.2,
                    dash: &[2.0, 3.0],
                },
            );
        }
        if let (Some(limit), Some(label)) = (limit, &limit_label) {
            let at = x.at(limit.value);
            canvas.line((at, area.top - 5.0), (at, area.bottom), limit_stroke(INK));
            let half = measure::width(label, look.label, Weight::Regular) / 2.0;
            let middle = at.clamp(left + half, (right - half).max(left + half));
            canvas.words(middle - half, area.top - 8.0, label, Type::new(look.label));
        }
        if sound().next().is_none() {
            let taken: Vec<Rect> = labels
                .iter()
                .map(|(left, baseline, text, kind)| words_area(*left, *baseline, text, *kind))
                .collect();
            say_empty(&mut canvas, &area, &taken, &look);
        }
        for (index, curve) in self.curves.iter().enumerate() {
            draw_curve(
                &mut canvas,
                curve,
                series_look(index),
                &look,
                &area,
                (&x, &y),
                test.map(|test| test.value),
            );
        }
        for (left, baseline, text, kind) in labels {
            canvas.words_on_patch(left, baseline, &text, kind);
        }
        legend.draw(
            &mut canvas,
            look.margin,
            area.bottom + below_axis + 10.0,
            &look,
        );
        footer.draw(
            &mut canvas,
            look.margin,
            height - look.margin * 0.8 - footer.height(),
        );
        canvas.finish(width, height, &measure::clean(&self.title))
    }
}

fn draw_curve(
    canvas: &mut Canvas,
    curve: &ProfileCurve,
    series: SeriesLook,
    look: &Look,
    area: &Rect,
    (x, y): (&Scale, &Scale),
    test: Option<f64>,
) {
    let width = if curve.emphasis {
        look.strong_line
    } else {
        look.line
    };
    let stroke = Stroke {
        colour: series.colour,
        width,
        dash: series.dash,
    };
    let mut marked = false;
    for pixels in pixel_runs(curve, x, y) {
        for part in clip_line(&pixels, area) {
            canvas.polyline(&part, stroke);
        }
        if let [only] = pixels[..]
            && area.grown(0.5, 0.5).holds(only)
        {
            canvas.marker(only, series.marker, look.marker, series.colour);
        }
        // One marker a curve, where the test would read it.
        if let Some(at) = test.and_then(|test| crossing(&pixels, y.at(test)))
            && area.grown(0.5, 0.5).holds(at)
            && !marked
        {
            canvas.marker(at, series.marker, look.marker * 1.15, series.colour);
            marked = true;
        }
    }
}

/// Pixels of a curve, run by run, thinned along the depth.
fn pixel_runs(curve: &ProfileCurve, x: &Scale, y: &Scale) -> Vec<Vec<(f64, f64)>> {
    let swap = |points: Vec<(f64, f64)>| -> Vec<(f64, f64)> {
        points.into_iter().map(|(a, b)| (b, a)).collect()
    };
    runs(&curve.points)
        .into_iter()
        .map(|run| {
            swap(thin(
                &run.into_iter()
                    .map(|(depth, value)| (y.at(depth), x.at(value)))
                    .collect::<Vec<_>>(),
            ))
        })
        .collect()
}

/// Where a curve crosses a height.
fn crossing(pixels: &[(f64, f64)], at: f64) -> Option<(f64, f64)> {
    pixels.windows(2).find_map(|pair| {
        let [from, to] = [pair[0], pair[1]];
        let inside = (from.1 <= at && at <= to.1) || (to.1 <= at && at <= from.1);
        if !inside {
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
    fn entry(&self, index: usize) -> Entry {
        let curve = &self.curves[index];
        let width = if curve.emphasis { 3.0 } else { 1.8 };
        Entry {
            key: Key::Line(series_look(index), width, true),
            text: curve.name.clone(),
            strong: curve.emphasis,
        }
    }

    fn draw_x_axis(
        canvas: &mut Canvas,
        look: &Look,
        area: &Rect,
        x: &Scale,
        (range, width): ((f64, f64), f64),
        x_name: &str,
    ) {
        let soft = Type::new(look.tick).colour(SOFT_INK);
        let edge = look.margin / 2.0;
        let room = |tick: &axis::Tick| {
            let half = measure::width(&tick.label, look.tick, Weight::Regular) / 2.0;
            let middle = x
                .at(tick.value)
                .clamp(edge + half, (width - edge - half).max(edge + half));
            (middle - half, middle + half)
        };
        let most = (area.width() / 60.0).clamp(1.0, 10.0).floor();
        let ticks = axis::x_ticks(XAxis::Numbers, range, most, |ticks| {
            ticks
                .windows(2)
                .all(|pair| room(&pair[0]).1 + 8.0 <= room(&pair[1]).0)
        });
        let baseline = area.bottom + 9.0 + ASCENT * look.tick;
        for tick in &ticks {
            let at = x.at(tick.value);
            canvas.line(
                (at, area.bottom),
                (at, area.bottom + 5.0),
                Stroke::solid(AXIS, 1.2),
            );
            canvas.words(room(tick).0, baseline, &tick.label, soft);
        }
        let half = measure::width(x_name, look.tick, Weight::Regular) / 2.0;
        let middle = f64::midpoint(area.left, area.right);
        let left = (middle - half).clamp(
            look.margin,
            (width - look.margin - 2.0 * half).max(look.margin),
        );
        canvas.words(left, baseline + look.tick * LEADING + 2.0, x_name, soft);
    }

    /// Names on their lines where each covers least of the other curves, and the test depth's label; curves without
    /// a free place come back by number.
    #[allow(clippy::type_complexity)]
    fn place_labels(
        &self,
        look: &Look,
        area: &Rect,
        x: &Scale,
        y: &Scale,
        in_legend: &[usize],
    ) -> (Vec<(f64, f64, String, Type)>, Vec<usize>) {
        let curves: Vec<Vec<Vec<(f64, f64)>>> = self
            .curves
            .iter()
            .map(|curve| pixel_runs(curve, x, y))
            .collect();
        let inner = area.grown(-3.0, -3.0);
        let mut taken: Vec<Rect> = Vec::new();
        let mut labels = Vec::new();
        let mut homeless = Vec::new();
        let crowd = |room: &Rect, own: Option<usize>| -> f64 {
            let mut cost = 0.0;
            for (index, runs) in curves.iter().enumerate() {
                let weight = if own == Some(index) { 0.8 } else { 1.0 };
                for run in runs {
                    cost += weight * clip_line(run, &room.grown(2.0, 0.0)).len() as f64;
                }
            }
            if let Some(limit) = self.limit.as_ref().filter(|limit| drawable(limit.value)) {
                let at = x.at(limit.value);
                cost += if room.left - 2.0 <= at && at <= room.right + 2.0 {
                    1.0
                } else {
                    0.0
                };
            }
            if let Some(test) = self.test_depth.as_ref().filter(|test| drawable(test.value)) {
                let at = y.at(test.value);
                cost += if room.top - 3.0 <= at && at <= room.bottom + 3.0 {
                    0.6
                } else {
                    0.0
                };
            }
            cost
        };

        if let Some(test) = self.test_depth.as_ref().filter(|test| drawable(test.value)) {
            let text = measure::fit(
                &test.label,
                look.label,
                Weight::Regular,
                inner.width() * 0.6,
            );
            let kind = Type::new(look.label).colour(SOFT_INK);
            let width = measure::width(&text, look.label, Weight::Regular);
            let at = y.at(test.value);
            let best = [inner.left, inner.right - width]
                .into_iter()
                .flat_map(|left| {
                    [
                        (left, at - 0.36 * look.label),
                        (left, at + 1.1 * look.label),
                    ]
                })
                .map(|(left, baseline)| (left, baseline, words_area(left, baseline, &text, kind)))
                .filter(|(_, _, room)| area.covers(room))
                .min_by(|a, b| crowd(&a.2, None).total_cmp(&crowd(&b.2, None)));
            if let Some((left, baseline, room)) = best
                && !text.is_empty()
            {
                taken.push(room.grown(3.0, 1.0));
                labels.push((left, baseline, text, kind));
            }
        }

        for (index, curve) in self.curves.iter().enumerate() {
            if in_legend.contains(&index) {
                continue;
            }
            let weight = if curve.emphasis {
                Weight::Bold
            } else {
                Weight::Regular
            };
            let text = measure::fit(&curve.name, look.label, weight, inner.width() * LABEL_SHARE);
            if text.is_empty() {
                continue;
            }
            // A name cut short on its line is told in full below.
            if text != measure::clean(&curve.name) {
                homeless.push(index);
                continue;
            }
            let kind = Type::new(look.label)
                .weight(weight)
                .colour(series_look(index).words);
            let width = measure::width(&text, look.label, weight);
            let best = (0..=PLACES)
                .filter_map(|place| {
                    let at = inner.top + inner.height() * place as f64 / PLACES as f64;
                    curves[index].iter().find_map(|run| crossing(run, at))
                })
                .flat_map(|(at_x, at_y)| {
                    let baseline = at_y + MIDDLE * look.label;
                    let (right, left, up) = (at_x + 6.0, at_x - 6.0 - width, 0.8 * look.label);
                    // Beside the curve, else a little above or below where it runs flat.
                    [0.0, -up, up].into_iter().flat_map(move |shift| {
                        [(right, baseline + shift), (left, baseline + shift)]
                    })
                })
                .map(|(left, baseline)| (left, baseline, words_area(left, baseline, &text, kind)))
                .filter(|(_, _, room)| {
                    inner.covers(room) && taken.iter().all(|other| !room.meets(other))
                })
                .map(|(left, baseline, room)| (crowd(&room, Some(index)), left, baseline, room))
                .min_by(|a, b| a.0.total_cmp(&b.0));
            match best {
                Some((cost, left, baseline, room)) if cost < 2.0 => {
                    taken.push(room.grown(3.0, 1.0));
                    labels.push((left, baseline, text, kind));
                }
                _ => homeless.push(index),
            }
        }
        (labels, homeless)
    }
}
