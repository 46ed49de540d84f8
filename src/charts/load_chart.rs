//! Loads stacked by source against what the gear can take.

use super::Chart;
use super::axis::{self, XAxis};
use super::canvas::{Canvas, Stroke};
use super::frame::{Key, Size};
use super::geometry::{clip_area, clip_line, drawable, extent, runs, thin};
use super::line_chart::{staircase, y_range};
use super::marks::Mark;
use super::plot::{EndLabel, Limit, Plot, lay_out};
use super::style::{GROUND, INK, series_look};

/// One source of load.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Layer {
    /// Shown at the right end or in the legend.
    pub name: String,
    /// One value for each `x` of the chart. A negative value stacks downward from zero.
    pub values: Vec<f64>,
}

/// Stacked areas or steps, with a line of capacity over them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LoadChart {
    /// States the finding.
    pub title: String,
    /// What is shown.
    pub subtitle: String,
    /// Name of the horizontal axis with its unit.
    pub x_label: String,
    /// Name of the vertical axis with its unit.
    pub y_label: String,
    /// Numbers or dates.
    pub x_axis: XAxis,
    /// Places of the values, in rising order.
    pub x: Vec<f64>,
    /// Sources, bottom first. Where one of them has no value the whole stack has a gap: a total would be wrong.
    pub layers: Vec<Layer>,
    /// What the gear can take: name and one value for each `x`.
    pub capacity: Option<Layer>,
    /// Each value holds until the next.
    pub steps: bool,
    /// Level limits.
    pub limits: Vec<Limit>,
    /// Dates or events.
    pub x_marks: Vec<Mark>,
    /// Lines below the chart.
    pub footer: Vec<String>,
}

/// How much of its hue a layer's ground keeps.
const TINT: f64 = 0.45;

/// Lower and upper edge of each layer at each x; None where the stack is unknown.
fn stack(chart: &LoadChart) -> Vec<Vec<Option<(f64, f64)>>> {
    let mut edges = vec![vec![None; chart.x.len()]; chart.layers.len()];
    for (index, &x) in chart.x.iter().enumerate() {
        let values: Option<Vec<f64>> = chart
            .layers
            .iter()
            .map(|layer| layer.values.get(index).copied().filter(|&v| drawable(v)))
            .collect();
        let Some(values) = values.filter(|_| drawable(x)) else {
            continue;
        };
        let (mut above, mut below) = (0.0, 0.0);
        for (layer, value) in values.into_iter().enumerate() {
            let base = if value < 0.0 { &mut below } else { &mut above };
            let from = *base;
            *base += value;
            edges[layer][index] = Some((from, *base));
        }
    }
    edges
}

impl Chart for LoadChart {
    fn draw(&self, size: Size) -> String {
        let edges = stack(self);
        let capacity: Vec<(f64, f64)> = self
            .capacity
            .iter()
            .flat_map(|line| self.x.iter().copied().zip(line.values.iter().copied()))
            .collect();
        let known = || edges.iter().flatten().flatten();
        let sound = || {
            capacity
                .iter()
                .filter(|(x, y)| drawable(*x) && drawable(*y))
        };
        let heights = known()
            .flat_map(|&(from, to)| [from, to])
            .chain(sound().map(|p| p.1))
            .chain([0.0]);
        let xs = self
            .x
            .iter()
            .copied()
            .chain(self.x_marks.iter().map(|mark| mark.x));
        let x_range = axis::widened(extent(xs).unwrap_or((0.0, 1.0)));
        let y_range = y_range(None, extent(heights), &self.limits);

        let mut canvas = Canvas::default();
        let mut ends = Vec::new();
        // The legend reads from top to bottom, as the stack does.
        for (index, layer) in self.layers.iter().enumerate().rev() {
            let look = series_look(index);
            let fill = canvas.texture(
                look.hatch,
                look.colour,
                look.colour.toward(GROUND, 1.0 - TINT),
            );
            let last = edges[index]
                .iter()
                .enumerate()
                .rev()
                .find_map(|(at, edge)| edge.map(|edge| (at, edge)));
            ends.push(EndLabel {
                name: layer.name.clone(),
                end: last.map(|(at, (from, to))| (self.x[at], f64::midpoint(from, to))),
                colour: look.colour,
                words: look.words,
                strong: false,
                key: Key::Fill(fill, Some(Stroke::solid(look.colour, 1.0))),
            });
        }
        if let Some(line) = &self.capacity {
            ends.insert(
                0,
                EndLabel {
                    name: line.name.clone(),
                    end: sound().next_back().copied(),
                    colour: INK,
                    words: INK,
                    strong: true,
                    key: Key::Capacity,
                },
            );
        }
        let plot = Plot {
            title: &self.title,
            subtitle: &self.subtitle,
            x_label: &self.x_label,
            y_label: &self.y_label,
            footer: &self.footer,
            x_axis: self.x_axis,
            x_range,
            y_range,
            limits: &self.limits,
            marks: &self.x_marks,
            ends,
            more: Vec::new(),
        };
        let laid = lay_out(&plot, size);
        laid.draw_under(&mut canvas);
        if known().next().is_none() && sound().next().is_none() {
            laid.say_empty(&mut canvas);
        }
        for (index, layer) in edges.iter().enumerate() {
            let look = series_look(index);
            let fill = canvas.texture(
                look.hatch,
                look.colour,
                look.colour.toward(GROUND, 1.0 - TINT),
            );
            let points: Vec<(f64, Option<(f64, f64)>)> =
                self.x.iter().copied().zip(layer.iter().copied()).collect();
            for run in points.split(|(_, edge)| edge.is_none()) {
                let side = |upper: bool| {
                    let pixels: Vec<(f64, f64)> = run
                        .iter()
                        .filter_map(|&(x, edge)| {
                            edge.map(|(from, to)| (x, if upper { to } else { from }))
                        })
                        .map(|(x, y)| (laid.x.at(x), laid.y.at(y)))
                        .collect();
                    thin(&if self.steps {
                        staircase(&pixels)
                    } else {
                        pixels
                    })
                };
                let upper = side(true);
                let mut outline = upper.clone();
                let mut lower = side(false);
                lower.reverse();
                outline.extend(lower);
                canvas.polygon(&clip_area(&outline, &laid.area), &fill, 1.0);
                for part in clip_line(&upper, &laid.area) {
                    canvas.polyline(&part, Stroke::solid(look.colour, 1.4));
                }
            }
        }
        for run in runs(&capacity) {
            let pixels: Vec<(f64, f64)> = run
                .iter()
                .map(|&(x, y)| (laid.x.at(x), laid.y.at(y)))
                .collect();
            let corners = if self.steps {
                staircase(&pixels)
            } else {
                pixels
            };
            for part in clip_line(&thin(&corners), &laid.area) {
                canvas.polyline(&part, Stroke::solid(GROUND, laid.look.strong_line + 2.5));
                canvas.polyline(&part, Stroke::solid(INK, laid.look.strong_line));
            }
        }
        laid.draw_over(&mut canvas);
        laid.finish(canvas, &self.title)
    }
}
