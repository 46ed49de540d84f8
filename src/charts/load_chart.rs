//! Loads stacked by source against what the gear can take.

use super::Chart;
use super::axis::{self, XAxis};
use super::canvas::{Fill, Stroke};
use super::element::Element;
use super::frame::{Key, Size};
use super::geometry::{drawable, extent, runs};
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
/// A layer thinner than this share of the axis is not there: no line is drawn for it.
const NOTHING: f64 = 2e-3;

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

impl LoadChart {
    fn fill(index: usize) -> Fill {
        let look = series_look(index);
        let ground = look.colour.toward(GROUND, 1.0 - TINT);
        Fill::hatched(look.hatch, look.colour, ground)
    }

    /// Corners of a run of points, as steps where each value holds until the next.
    fn corners(&self, run: impl Iterator<Item = (f64, f64)>) -> Vec<(f64, f64)> {
        let run: Vec<(f64, f64)> = run.collect();
        if self.steps { staircase(&run) } else { run }
    }
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
        let xs = self.x.iter().copied();
        let xs = xs.chain(self.x_marks.iter().map(|mark| mark.x));
        let x_range = axis::widened(extent(xs).unwrap_or((0.0, 1.0)));
        let y_range = y_range(None, extent(heights), &self.limits);
        let nothing = NOTHING * (y_range.1 - y_range.0);

        let mut ends = Vec::new();
        // The legend reads from top to bottom, as the stack does.
        for (index, layer) in self.layers.iter().enumerate().rev() {
            let look = series_look(index);
            let mut places = self.x.iter().zip(&edges[index]).rev();
            let last = places.find_map(|(x, edge)| edge.map(|(a, b)| (*x, f64::midpoint(a, b))));
            ends.push(EndLabel {
                name: layer.name.clone(),
                end: last,
                curve: Vec::new(),
                colour: look.colour,
                words: look.words,
                strong: false,
                key: Key::Fill(Self::fill(index), Some(Stroke::solid(look.colour, 1.0))),
            });
        }
        if let Some(line) = &self.capacity {
            let end = EndLabel {
                name: line.name.clone(),
                end: sound().next_back().copied(),
                curve: capacity.clone(),
                colour: INK,
                words: INK,
                strong: true,
                key: Key::Capacity,
            };
            ends.insert(0, end);
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
            notes: Vec::new(),
            more: Vec::new(),
        };
        let laid = lay_out(&plot, size);
        let mut elements = Vec::new();
        for (index, layer) in edges.iter().enumerate() {
            let line = Stroke::solid(series_look(index).colour, 1.4);
            let points: Vec<(f64, f64, f64)> = self
                .x
                .iter()
                .zip(layer)
                .map(|(x, edge)| edge.map_or((*x, f64::NAN, f64::NAN), |(a, b)| (*x, a, b)))
                .collect();
            for run in points.split(|point| point.1.is_nan()) {
                let upper = self.corners(run.iter().map(|p| (p.0, p.2)));
                let lower = self.corners(run.iter().map(|p| (p.0, p.1)));
                let outline: Vec<_> = upper.into_iter().chain(lower.into_iter().rev()).collect();
                elements.push(Element::area(&outline, &laid.ends, Self::fill(index), 1.0));
            }
            for run in points.split(|p| p.1.is_nan() || (p.2 - p.1).abs() <= nothing) {
                let upper = self.corners(run.iter().map(|p| (p.0, p.2)));
                elements.extend(Element::lines(&upper, &laid.ends, line));
            }
        }
        for run in runs(&capacity) {
            let corners = self.corners(run.into_iter());
            for (colour, more) in [(GROUND, 2.5), (INK, 0.0)] {
                let line = Stroke::solid(colour, laid.look.strong_line + more);
                elements.extend(Element::lines(&corners, &laid.ends, line));
            }
        }
        laid.draw(
            elements,
            known().next().is_none() && sound().next().is_none(),
        )
    }
}
