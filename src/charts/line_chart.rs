//! Curves over a number or the calendar, with limits, marks and bands of doubt.

use super::Chart;
use super::axis::{self, Scale, XAxis};
use super::canvas::{Fill, Stroke};
use super::element::Element;
use super::frame::{Entry, Key, Size};
use super::geometry::{drawable, extent, runs};
use super::labels::Rect;
use super::marks::Mark;
use super::plot::{EndLabel, Laid, Limit, Plot, lay_out};
use super::style::{GROUND, SOFT_INK, SeriesLook, series_look};

/// How the points of a series are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Join {
    /// Straight lines; a missing value leaves a gap.
    #[default]
    Line,
    /// Each value holds until the next.
    Steps,
    /// Points alone, for measured readings.
    Points,
}

/// One curve.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Series {
    /// Shown at its right end or in the legend.
    pub name: String,
    /// (x, y); points that are not finite are left out.
    pub points: Vec<(f64, f64)>,
    /// (x, low, high): drawn as a light area behind the curve.
    pub band: Option<Vec<(f64, f64, f64)>>,
    /// Drawn stronger, with a bold name.
    pub emphasis: bool,
    /// How points are joined.
    pub join: Join,
}

/// Curves with shared axes.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LineChart {
    /// States the finding.
    pub title: String,
    /// What is shown, under which conditions.
    pub subtitle: String,
    /// Name of the horizontal axis with its unit; may be empty for dates.
    pub x_label: String,
    /// Name of the vertical axis with its unit.
    pub y_label: String,
    /// Curves, in the order of their colours.
    pub series: Vec<Series>,
    /// Levels to meet.
    pub limits: Vec<Limit>,
    /// Dates or events.
    pub x_marks: Vec<Mark>,
    /// Vertical range (low, high); limits widen it if need be. None: taken from the data.
    pub y_range: Option<(f64, f64)>,
    /// Numbers or dates.
    pub x_axis: XAxis,
    /// What the bands mean, for the legend: "Shaded: 80 % of runs".
    pub band_label: String,
    /// Lines below the chart, such as the note that tests release a floor.
    pub footer: Vec<String>,
}

/// Points up to this count each get a marker; longer curves get a few along their way.
const FEW_POINTS: usize = 14;
/// Markers along a longer curve.
const MARKERS_ALONG: usize = 5;
/// Room beyond a limit as a share of the range.
const LIMIT_ROOM: f64 = 0.03;
/// Strength of the band's tint.
const BAND_OPACITY: f64 = 0.16;

/// Range of the vertical axis: a usable wish, or whole steps round the data; limits always inside.
pub(crate) fn y_range(
    wish: Option<(f64, f64)>,
    data: Option<(f64, f64)>,
    limits: &[Limit],
) -> (f64, f64) {
    let wish = wish.filter(|(low, high)| drawable(*low) && drawable(*high) && low != high);
    let join = |a: Option<(f64, f64)>, b: Option<(f64, f64)>| match (a, b) {
        (Some(a), Some(b)) => Some((a.0.min(b.0), a.1.max(b.1))),
        (one, other) => one.or(other),
    };
    // A limit on the very edge would be hidden by the axis: it gets a little room.
    let limit_range = extent(limits.iter().map(|limit| limit.value));
    let all = join(wish.or(data), limit_range);
    let room = all.map_or(0.0, |(low, high)| (high - low) * LIMIT_ROOM);
    let limit_range = limit_range.map(|(low, high)| (low - room, high + room));
    if let Some((a, b)) = wish {
        let wished = (a.min(b), a.max(b));
        let inside =
            limit_range.is_none_or(|(low, high)| low + room >= wished.0 && high - room <= wished.1);
        let widest = join(Some(wished), limit_range).unwrap_or(wished);
        return if inside {
            wished
        } else {
            axis::nice_range(widest, 5.0)
        };
    }
    axis::nice_range(join(data, limit_range).unwrap_or((0.0, 1.0)), 5.0)
}

fn sound((x, y): &(f64, f64)) -> bool {
    drawable(*x) && drawable(*y)
}

fn sound_band((x, low, high): &(f64, f64, f64)) -> bool {
    drawable(*x) && drawable(*low) && drawable(*high)
}

impl Chart for LineChart {
    fn draw(&self, size: Size) -> String {
        let points = || {
            let all = self.series.iter().flat_map(|series| &series.points);
            all.filter(|point| sound(point))
        };
        let bands = || {
            let all = self.series.iter().filter_map(|series| series.band.as_ref());
            all.flatten().filter(|band| sound_band(band))
        };
        let xs = points()
            .map(|p| p.0)
            .chain(bands().map(|b| b.0))
            .chain(self.x_marks.iter().map(|mark| mark.x));
        let ys = points()
            .map(|p| p.1)
            .chain(bands().flat_map(|b| [b.1, b.2]));
        let x_range = axis::widened(extent(xs).unwrap_or((0.0, 1.0)));
        let y_range = y_range(self.y_range, extent(ys), &self.limits);

        let mut more = Vec::new();
        if bands().next().is_some() && !self.band_label.is_empty() {
            // One band: its own colour; several: a grey that stands for all.
            let all = self.series.iter().enumerate();
            let mut banded = all.filter(|(_, series)| series.band.is_some());
            let colour = match (banded.next(), banded.next()) {
                (Some((index, _)), None) => series_look(index).colour,
                _ => SOFT_INK,
            };
            let tint = colour.toward(GROUND, 1.0 - BAND_OPACITY * 1.6);
            more.push(Entry {
                key: Key::Fill(Fill::even(tint), Some(Stroke::solid(colour, 0.6))),
                text: self.band_label.clone(),
                strong: false,
            });
        }
        let ends = self.series.iter().enumerate();
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
            ends: ends.map(|(index, s)| self.end_label(index, s)).collect(),
            notes: Vec::new(),
            more,
        };
        let laid = lay_out(&plot, size);
        let numbered = || self.series.iter().enumerate();
        let mut elements: Vec<Element> = numbered()
            .flat_map(|(index, series)| band(series, series_look(index), &laid.ends))
            .collect();
        // Strong curves over the others, measured readings over all curves.
        let rank = |series: &Series| (series.join == Join::Points, series.emphasis);
        let mut order: Vec<(usize, &Series)> = numbered().collect();
        order.sort_by_key(|(_, series)| rank(series));
        for (index, series) in order {
            elements.extend(drawn(&laid, series, index, self.marked(series)));
        }
        laid.draw(
            elements,
            points().next().is_none() && bands().next().is_none(),
        )
    }
}

impl LineChart {
    /// Whether a series carries markers: a lone curve of many points needs none to be told from others.
    fn marked(&self, series: &Series) -> bool {
        let curves = self
            .series
            .iter()
            .filter(|other| other.join != Join::Points)
            .count();
        let few = series.points.iter().filter(|point| sound(point));
        curves > 1 || few.take(FEW_POINTS + 1).count() <= FEW_POINTS
    }

    fn end_label(&self, index: usize, series: &Series) -> EndLabel {
        let look = series_look(index);
        let last = series
            .points
            .iter()
            .rev()
            .find(|point| sound(point))
            .copied();
        let band_end = series.band.as_ref().and_then(|band| {
            let last = band.iter().rev().find(|band| sound_band(band));
            last.map(|&(x, low, high)| (x, f64::midpoint(low, high)))
        });
        let width = if series.emphasis { 3.0 } else { 1.8 };
        EndLabel {
            name: series.name.clone(),
            end: last.or(band_end),
            curve: series.points.clone(),
            colour: look.colour,
            words: look.words,
            strong: series.emphasis && self.series.len() > 1,
            key: if series.join == Join::Points {
                Key::Points(look)
            } else {
                Key::Line(look, width, self.marked(series))
            },
        }
    }
}

/// The areas of a band, one for each unbroken run.
fn band(series: &Series, look: SeriesLook, ends: &Rect) -> Vec<Element> {
    let runs = series
        .band
        .iter()
        .flat_map(|band| band.split(|p| !sound_band(p)));
    runs.map(|run| {
        let upper = run.iter().map(|p| (p.0, p.1.max(p.2)));
        let lower = run.iter().rev().map(|p| (p.0, p.1.min(p.2)));
        let outline: Vec<(f64, f64)> = upper.chain(lower).collect();
        Element::area(&outline, ends, Fill::even(look.colour), BAND_OPACITY)
    })
    .collect()
}

/// Corners of a staircase.
pub(crate) fn staircase(run: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut out = Vec::with_capacity(run.len() * 2);
    for (index, &point) in run.iter().enumerate() {
        if index > 0 {
            out.push((point.0, run[index - 1].1));
        }
        out.push(point);
    }
    out
}

fn drawn(laid: &Laid, series: &Series, index: usize, marked: bool) -> Vec<Element> {
    let look = series_look(index);
    let width = if series.emphasis {
        laid.look.strong_line
    } else {
        laid.look.line
    };
    let stroke = Stroke {
        colour: look.colour,
        width,
        dash: look.dash,
    };
    let strong = series.emphasis || series.join == Join::Points;
    let half = laid.look.marker * if strong { 1.25 } else { 1.0 };
    let mut spots: Vec<(f64, f64)> = Vec::new();
    let mut elements = Vec::new();
    let runs = runs(&series.points);
    let total: usize = runs.iter().map(Vec::len).sum();
    for run in &runs {
        if series.join == Join::Points || total <= FEW_POINTS || run.len() == 1 {
            spots.extend(run);
        } else if marked {
            spots.extend(along(run, &laid.ends, index));
        }
        if series.join != Join::Points {
            let corners = if series.join == Join::Steps {
                staircase(run)
            } else {
                run.clone()
            };
            elements.extend(Element::lines(&corners, &laid.ends, stroke));
        }
    }
    let marker = (look.marker, half, look.colour);
    elements.push(Element::markers(spots, &laid.ends, marker));
    elements
}

/// Real points nearest to even steps across the chart, staggered from series to series.
fn along(run: &[(f64, f64)], ends: &Rect, index: usize) -> Vec<(f64, f64)> {
    // Shares of the width, so that values of any size have steps.
    let across = Scale::new((ends.left, ends.right), 0.0, 1.0);
    let step = 1.0 / MARKERS_ALONG as f64;
    let shift = (index % 4) as f64 * 0.25 * step + step * 0.1;
    let at = |point: &(f64, f64)| across.at(point.0);
    let Some((first, last)) = extent(run.iter().map(at)) else {
        return Vec::new();
    };
    (0..MARKERS_ALONG)
        .map(|k| shift + k as f64 * step)
        .filter(|&wish| wish >= first && wish <= last)
        .filter_map(|wish| {
            let near = |a: &&(f64, f64)| (at(a) - wish).abs();
            run.iter()
                .min_by(|a, b| near(a).total_cmp(&near(b)))
                .copied()
        })
        .collect()
}
