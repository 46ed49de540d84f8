//! Curves over a number or the calendar, with limits, marks and bands of doubt.

use super::Chart;
use super::axis::{self, XAxis};
use super::canvas::{Canvas, Stroke};
use super::frame::{Entry, Key, Size};
use super::geometry::{clip_area, clip_line, drawable, extent, runs, thin};
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

impl Chart for LineChart {
    fn draw(&self, size: Size) -> String {
        let points = || {
            self.series
                .iter()
                .flat_map(|series| &series.points)
                .filter(|(x, y)| drawable(*x) && drawable(*y))
        };
        let bands = || {
            let bands = self
                .series
                .iter()
                .filter_map(|series| series.band.as_ref())
                .flatten();
            bands.filter(|(x, low, high)| drawable(*x) && drawable(*low) && drawable(*high))
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
            let mut banded = self
                .series
                .iter()
                .enumerate()
                .filter(|(_, series)| series.band.is_some());
            let colour = match (banded.next(), banded.next()) {
                (Some((index, _)), None) => series_look(index).colour,
                _ => SOFT_INK,
            };
            let tint = colour.toward(GROUND, 1.0 - BAND_OPACITY * 1.6).hex();
            let edge = Some(Stroke::solid(colour, 0.6));
            more.push(Entry {
                key: Key::Fill(tint, edge),
                text: self.band_label.clone(),
                strong: false,
            });
        }
        let ends = self
            .series
            .iter()
            .enumerate()
            .map(|(index, series)| self.end_label(index, series))
            .collect();
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
            more,
        };
        let laid = lay_out(&plot, size);
        let mut canvas = Canvas::default();
        laid.draw_under(&mut canvas);
        if points().next().is_none() && bands().next().is_none() {
            laid.say_empty(&mut canvas);
        }
        for (index, series) in self.series.iter().enumerate() {
            draw_band(&mut canvas, &laid, series, series_look(index));
        }
        // Strong curves over the others, measured readings over all curves.
        let rank = |series: &Series| (series.join == Join::Points, series.emphasis);
        let mut order: Vec<(usize, &Series)> = self.series.iter().enumerate().collect();
        order.sort_by_key(|(_, series)| rank(series));
        for (index, series) in order {
            draw_series(&mut canvas, &laid, series, index, self.marked(series));
        }
        laid.draw_over(&mut canvas);
        laid.finish(canvas, &self.title)
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
        let sound = series
            .points
            .iter()
            .filter(|(x, y)| drawable(*x) && drawable(*y));
        curves > 1 || sound.take(FEW_POINTS + 1).count() <= FEW_POINTS
    }

    fn end_label(&self, index: usize, series: &Series) -> EndLabel {
        let look = series_look(index);
        let last = series
            .points
            .iter()
            .rev()
            .find(|(x, y)| drawable(*x) && drawable(*y))
            .copied();
        let band_end = series.band.as_ref().and_then(|band| {
            let mut sound = band
                .iter()
                .rev()
                .filter(|(x, low, high)| drawable(*x) && drawable(*low) && drawable(*high));
            sound
                .next()
                .map(|&(x, low, high)| (x, f64::midpoint(low, high)))
        });
        let width = if series.emphasis { 3.0 } else { 1.8 };
        EndLabel {
            name: series.name.clone(),
            end: last.or(band_end),
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

fn draw_band(canvas: &mut Canvas, laid: &Laid, series: &Series, look: SeriesLook) {
    let Some(band) = &series.band else { return };
    let sound =
        |(x, low, high): &(f64, f64, f64)| drawable(*x) && drawable(*low) && drawable(*high);
    for run in band.split(|point| !sound(point)) {
        let edge = |pick: fn(&(f64, f64, f64)) -> f64| {
            let pixels: Vec<(f64, f64)> = run
                .iter()
                .map(|point| (laid.x.at(point.0), laid.y.at(pick(point))))
                .collect();
            thin(&pixels)
        };
        let mut outline = edge(|point| point.1.max(point.2));
        let mut lower = edge(|point| point.1.min(point.2));
        lower.reverse();
        outline.extend(lower);
        canvas.polygon(
            &clip_area(&outline, &laid.area),
            &look.colour.hex(),
            BAND_OPACITY,
        );
    }
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

fn draw_series(canvas: &mut Canvas, laid: &Laid, series: &Series, index: usize, marked: bool) {
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
    let room = laid.area.grown(0.5, 0.5);
    let mut spots: Vec<(f64, f64)> = Vec::new();
    let runs = runs(&series.points);
    let total: usize = runs.iter().map(Vec::len).sum();
    for run in &runs {
        let pixels: Vec<(f64, f64)> = run
            .iter()
            .map(|&(x, y)| (laid.x.at(x), laid.y.at(y)))
            .collect();
        if series.join == Join::Points || total <= FEW_POINTS || run.len() == 1 {
            spots.extend(pixels.iter().filter(|&&p| room.holds(p)));
        } else if marked {
            spots.extend(
                along(&pixels, laid, index)
                    .into_iter()
                    .filter(|&p| room.holds(p)),
            );
        }
        if series.join != Join::Points {
            let corners = if series.join == Join::Steps {
                staircase(&pixels)
            } else {
                pixels
            };
            for part in clip_line(&thin(&corners), &laid.area) {
                canvas.polyline(&part, stroke);
            }
        }
    }
    // Markers that cover each other add nothing but bytes.
    let mut seen = std::collections::HashSet::new();
    spots.retain(|(x, y)| seen.insert(((x / 1.5).round() as i64, (y / 1.5).round() as i64)));
    for spot in spots {
        canvas.marker(spot, look.marker, half, look.colour);
    }
}

/// Real points nearest to even steps across the chart, staggered from series to series.
fn along(pixels: &[(f64, f64)], laid: &Laid, index: usize) -> Vec<(f64, f64)> {
    let step = laid.area.width() / MARKERS_ALONG as f64;
    let shift = (index % 4) as f64 * 0.25 * step + step * 0.1;
    let (first, last) = match (pixels.first(), pixels.last()) {
        (Some(first), Some(last)) => (first.0.min(last.0), first.0.max(last.0)),
        _ => return Vec::new(),
    };
    (0..MARKERS_ALONG)
        .map(|k| laid.area.left + shift + k as f64 * step)
        .filter(|&wish| wish >= first && wish <= last)
        .filter_map(|wish| {
            pixels
                .iter()
                .copied()
                .min_by(|a, b| (a.0 - wish).abs().total_cmp(&(b.0 - wish).abs()))
        })
        .collect()
}
