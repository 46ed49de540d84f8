//! Frame of the charts with a horizontal axis of numbers or dates: ranges, ticks, limits, marks, labels at the ends.

use super::axis::{self, Scale, Tick, XAxis};
use super::canvas::{Anchor, Canvas, Stroke, Type, words_area};
use super::frame::{self, Entry, Key, Legend, Size, Stack, limit_stroke, mark_stroke};
use super::geometry::drawable;
use super::labels::{Rect, push_apart};
use super::marks::{Mark, Marks, place_marks};
use super::measure::{self, Weight};
use super::style::{ASCENT, AXIS, Colour, DESCENT, GRID, INK, LEADING, Look, MIDDLE, SOFT_INK};

/// A level that values are held against, drawn as a labelled dashed line.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// In the unit of the axis.
    pub value: f64,
    /// For example "Limit 75 %".
    pub label: String,
}

/// Name of a series at its right end.
#[derive(Debug, Clone)]
pub(crate) struct EndLabel {
    pub(crate) name: String,
    /// Where the series ends; None if it has no point to show.
    pub(crate) end: Option<(f64, f64)>,
    pub(crate) colour: Colour,
    pub(crate) words: Colour,
    pub(crate) strong: bool,
    pub(crate) key: Key,
}

/// Everything but the series themselves.
#[derive(Debug)]
pub(crate) struct Plot<'a> {
    pub(crate) title: &'a str,
    pub(crate) subtitle: &'a str,
    pub(crate) x_label: &'a str,
    pub(crate) y_label: &'a str,
    pub(crate) footer: &'a [String],
    pub(crate) x_axis: XAxis,
    pub(crate) x_range: (f64, f64),
    pub(crate) y_range: (f64, f64),
    pub(crate) limits: &'a [Limit],
    pub(crate) marks: &'a [Mark],
    pub(crate) ends: Vec<EndLabel>,
    /// Legend entries beyond the names of the series.
    pub(crate) more: Vec<Entry>,
}

/// Most names beside the chart; more go into a legend below.
const MOST_END_LABELS: usize = 9;
/// Stands for an empty name where there are several series.
const UNNAMED: &str = "(no name)";
/// Widest column of names as a share of the chart.
const COLUMN_SHARE: f64 = 0.26;
/// Least height of the plotting area.
const LEAST_PLOT: f64 = 170.0;
/// Between the plotting area and the names.
const COLUMN_GAP: f64 = 16.0;
/// Height of one x tick row's start below the axis.
const TICK_DROP: f64 = 9.0;

/// Words placed beside the chart: lines, wished middle, anchor point of the leader.
#[derive(Debug)]
struct Beside {
    lines: Vec<String>,
    weight: Weight,
    words: Colour,
    /// Pixel where the series ends; None for a limit, whose line reaches the edge.
    from: (f64, f64),
    colour: Colour,
    middle: f64,
}

/// A laid-out frame: the caller draws into `area` with `x` and `y`, between `draw_under` and `draw_over`.
#[derive(Debug)]
pub(crate) struct Laid {
    pub(crate) look: Look,
    pub(crate) area: Rect,
    pub(crate) x: Scale,
    pub(crate) y: Scale,
    width: f64,
    height: f64,
    header: Stack,
    y_name: Stack,
    y_name_top: f64,
    x_name: String,
    x_ticks: Vec<Tick>,
    y_ticks: Vec<Tick>,
    second_row: bool,
    /// Left end, baseline, words.
    mark_labels: Vec<(f64, f64, String)>,
    mark_lines: Vec<(f64, f64)>,
    limit_lines: Vec<f64>,
    /// Limit labels inside the area: baseline and words.
    inside: Vec<(f64, String)>,
    beside: Vec<Beside>,
    legend: Legend,
    legend_top: f64,
    footer: Stack,
    footer_top: f64,
}

/// Lays the frame out, with names beside the chart if they fit, else below.
pub(crate) fn lay_out(plot: &Plot, size: Size) -> Laid {
    let (width, height) = size.sound();
    let look = Look::for_width(width);
    let count = plot.ends.len()
        + plot
            .limits
            .iter()
            .filter(|limit| drawable(limit.value))
            .count();
    let names_beside = !look.narrow && count > 0 && count <= MOST_END_LABELS;
    arrange(plot, width, height, look, names_beside)
}

fn arrange(plot: &Plot, width: f64, height: f64, look: Look, names_beside: bool) -> Laid {
    let room = width - 2.0 * look.margin;
    let header = frame::header(plot.title, plot.subtitle, &look, room);
    let footer = frame::footer(plot.footer, &look, room);
    let y_name = frame::axis_name(plot.y_label, &look, room);
    let limits: Vec<&Limit> = plot
        .limits
        .iter()
        .filter(|limit| drawable(limit.value))
        .collect();

    // Left and right edges.
    let y_range = axis::widened(plot.y_range);
    let y_ticks: Vec<Tick> = axis::number_ticks(y_range, (height / 75.0).clamp(3.0, 8.0));
    let tick_width = y_ticks
        .iter()
        .map(|tick| measure::width(&tick.label, look.tick, Weight::Regular))
        .fold(0.0, f64::max);
    let left = look.margin + tick_width.min(width * 0.3) + 8.0;
    let mut beside: Vec<Beside> = Vec::new();
    let mut column = 0.0_f64;
    if names_beside {
        let most = width * COLUMN_SHARE;
        let mut add = |name: &str, weight: Weight, from: (f64, f64), colours: (Colour, Colour)| {
            let lines = measure::wrap(name, look.label, weight, most, 2);
            column = lines
                .iter()
                .map(|line| measure::width(line, look.label, weight))
                .fold(column, f64::max);
            if !lines.is_empty() {
                let (colour, words) = colours;
                beside.push(Beside {
                    lines,
                    weight,
                    words,
                    from,
                    colour,
                    middle: 0.0,
                });
            }
        };
        for end in &plot.ends {
            let weight = if end.strong {
                Weight::Bold
            } else {
                Weight::Regular
            };
            if let Some(place) = end.end {
                let name = measure::clean(&end.name);
                let name = if name.is_empty() && plot.ends.len() > 1 {
                    UNNAMED
                } else {
                    &name
                };
                add(name, weight, place, (end.colour, end.words));
            }
        }
        for limit in &limits {
            add(
                &limit.label,
                Weight::Regular,
                (f64::INFINITY, limit.value),
                (INK, INK),
            );
        }
    }
    let right = if column > 0.0 {
        width - look.margin - column - COLUMN_GAP
    } else {
        width - look.margin - 4.0
    };
    let x = Scale::new(axis::widened(plot.x_range), left, right);

    let (x_ticks, second_row) =
        choose_x_ticks(plot.x_axis, plot.x_range, &x, &look, (width, right - left));
    let Marks {
        packed,
        lines: mark_lines,
        unplaced,
    } = place_marks(plot.marks, plot.x_axis, &x, &look, (left, right));

    // Legend.
    let mut entries: Vec<Entry> = Vec::new();
    for end in &plot.ends {
        let shown = end.end.is_some();
        if !names_beside || !shown {
            let text = if shown {
                measure::clean(&end.name)
            } else {
                format!("{} (no values)", measure::clean(&end.name))
            };
            let text = if text.is_empty() && plot.ends.len() > 1 {
                UNNAMED.to_string()
            } else {
                text
            };
            entries.push(Entry {
                key: end.key.clone(),
                text,
                strong: end.strong,
            });
        }
    }
    entries.extend(plot.more.iter().cloned());
    entries.extend(unplaced);
    let line = look.label * LEADING;
    let needs_inside = !names_beside && !limits.is_empty();
    // Labels of limits inside the area need its height, which needs the legend: enough height is claimed first.
    let least_plot = if needs_inside {
        LEAST_PLOT.max(limits.len() as f64 * (line + 2.0) + line)
    } else {
        LEAST_PLOT
    };
    let legend = Legend::new(entries, &look, room);

    // Top and bottom edges.
    let rows = packed.iter().map(|&(row, _, _)| row + 1).max().unwrap_or(0);
    let mut top = look.margin + header.height() + if header.height() > 0.0 { 12.0 } else { 0.0 };
    let y_name_top = top;
    top += y_name.height() + 10.0 + rows as f64 * look.tick * LEADING;
    let x_name = measure::fit(plot.x_label, look.tick, Weight::Regular, room);
    let tick_rows = if x_ticks.is_empty() {
        0.0
    } else if second_row {
        2.0
    } else {
        1.0
    };
    let below_ticks = TICK_DROP
        + tick_rows * look.tick * LEADING
        + if x_name.is_empty() {
            0.0
        } else {
            look.tick * LEADING + 2.0
        };
    let below = below_ticks
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
    let height = height.max(top + least_plot + below);
    let area = Rect {
        left,
        top,
        right,
        bottom: height - below,
    };
    let y = Scale::new(y_range, area.bottom, area.top);

    // Names beside, pushed apart.
    if !beside.is_empty() {
        let wishes: Vec<(f64, f64)> = beside
            .iter()
            .map(|label| {
                (
                    y.at(label.from.1).clamp(area.top, area.bottom),
                    label.lines.len() as f64 * line,
                )
            })
            .collect();
        let Some(places) = push_apart(&wishes, area.top - 4.0, area.bottom + 4.0) else {
            return arrange(plot, width, height, look, false);
        };
        for (label, middle) in beside.iter_mut().zip(places) {
            label.middle = middle;
            label.from = (
                x.at(label.from.0.min(plot.x_range.1)).clamp(left, right),
                wished(&y, label.from.1, &area),
            );
        }
    }

    let inside = if needs_inside {
        limit_labels(&limits, &y, &area, &look)
    } else {
        Vec::new()
    };

    let mark_labels = packed
        .into_iter()
        .map(|(row, left, text)| {
            let baseline = area.top - 5.0 - DESCENT * look.tick - row as f64 * look.tick * LEADING;
            (left, baseline, text)
        })
        .collect();
    let mark_lines = mark_lines
        .into_iter()
        .map(|(at, row)| {
            (
                at,
                area.top - row.map_or(0.0, |row| 4.0 + row as f64 * look.tick * LEADING),
            )
        })
        .collect();
    let limit_lines = limits.iter().map(|limit| y.at(limit.value)).collect();
    let legend_top = area.bottom + below_ticks + 10.0;
    let footer_top = height - look.margin * 0.8 - footer.height();
    Laid {
        look,
        area,
        x,
        y,
        width,
        height,
        header,
        y_name,
        y_name_top,
        x_name,
        x_ticks,
        y_ticks,
        second_row,
        mark_labels,
        mark_lines,
        limit_lines,
        inside,
        beside,
        legend,
        legend_top,
        footer,
        footer_top,
    }
}

/// Baselines and words of limit labels inside the area: above their lines, or below where another limit is close above.
fn limit_labels(limits: &[&Limit], y: &Scale, area: &Rect, look: &Look) -> Vec<(f64, String)> {
    let line = look.label * LEADING;
    let levels: Vec<f64> = limits
        .iter()
        .map(|limit| wished(y, limit.value, area))
        .collect();
    let wishes: Vec<(f64, f64)> = levels
        .iter()
        .map(|level| {
            let close_above = levels
                .iter()
                .any(|other| other < level && level - other < line);
            let shift = line / 2.0 + 1.0;
            (
                if close_above {
                    level + shift
                } else {
                    level - shift
                },
                line + 1.0,
            )
        })
        .collect();
    let places = push_apart(&wishes, area.top + 1.0, area.bottom - 1.0).unwrap_or_default();
    let room = area.width() - 10.0;
    places
        .into_iter()
        .zip(limits)
        .map(|(middle, limit)| {
            let text = measure::fit(&limit.label, look.label, Weight::Regular, room);
            (middle + MIDDLE * look.label, text)
        })
        .collect()
}

fn wished(y: &Scale, value: f64, area: &Rect) -> f64 {
    y.at(value).clamp(area.top, area.bottom)
}

/// Left and right end of a tick label, kept inside the drawing.
pub(crate) fn tick_room(x: f64, text: &str, look: &Look, width: f64) -> (f64, f64) {
    let half = measure::width(text, look.tick, Weight::Regular) / 2.0;
    let edge = look.margin / 2.0;
    let middle = x.clamp(edge + half, (width - edge - half).max(edge + half));
    (middle - half, middle + half)
}

/// Ticks of a horizontal axis whose words do not touch, and whether some have a second row.
pub(crate) fn choose_x_ticks(
    x_axis: XAxis,
    x_range: (f64, f64),
    x: &Scale,
    look: &Look,
    (width, room): (f64, f64),
) -> (Vec<Tick>, bool) {
    let most = (room / if look.narrow { 46.0 } else { 62.0 })
        .clamp(1.0, 14.0)
        .floor();
    let apart = |texts: Vec<(f64, &str)>| {
        texts.windows(2).all(|pair| {
            let before = tick_room(x.at(pair[0].0), pair[0].1, look, width);
            let after = tick_room(x.at(pair[1].0), pair[1].1, look, width);
            before.1 + 8.0 <= after.0
        })
    };
    let fits = |ticks: &[Tick]| {
        let mut shown: Option<&String> = None;
        let mut seconds = Vec::new();
        for tick in ticks {
            if let Some(second) = tick.second.as_ref()
                && shown != Some(second)
            {
                seconds.push((tick.value, second.as_str()));
                shown = Some(second);
            }
        }
        apart(
            ticks
                .iter()
                .map(|tick| (tick.value, tick.label.as_str()))
                .collect(),
        ) && apart(seconds)
    };
    let ticks = axis::x_ticks(x_axis, axis::widened(x_range), most, fits);
    let second_row = ticks.iter().any(|tick| tick.second.is_some());
    (ticks, second_row)
}

impl Laid {
    /// Title, grid, marks, axis: what lies under the series.
    pub(crate) fn draw_under(&self, canvas: &mut Canvas) {
        let look = &self.look;
        self.header.draw(canvas, look.margin, look.margin);
        self.y_name.draw(canvas, look.margin, self.y_name_top);
        for tick in &self.y_ticks {
            let y = self.y.at(tick.value);
            canvas.line(
                (self.area.left, y),
                (self.area.right, y),
                Stroke::solid(GRID, 1.0),
            );
            let text = measure::fit(
                &tick.label,
                look.tick,
                Weight::Regular,
                self.area.left - look.margin - 6.0,
            );
            let kind = Type::new(look.tick).colour(SOFT_INK).anchor(Anchor::End);
            canvas.words(self.area.left - 8.0, y + MIDDLE * look.tick, &text, kind);
        }
        for &(x, top) in &self.mark_lines {
            canvas.line((x, top), (x, self.area.bottom), mark_stroke());
        }
        for (left, baseline, text) in &self.mark_labels {
            canvas.words_on_patch(
                *left,
                *baseline,
                text,
                Type::new(look.tick).colour(SOFT_INK),
            );
        }
        canvas.line(
            (self.area.left, self.area.bottom),
            (self.area.right, self.area.bottom),
            Stroke::solid(AXIS, 1.2),
        );
        let first = self.area.bottom + TICK_DROP + ASCENT * look.tick;
        for tick in &self.x_ticks {
            let x = self.x.at(tick.value);
            canvas.line(
                (x, self.area.bottom),
                (x, self.area.bottom + 5.0),
                Stroke::solid(AXIS, 1.2),
            );
            let kind = Type::new(look.tick).colour(SOFT_INK);
            canvas.words(
                tick_room(x, &tick.label, look, self.width).0,
                first,
                &tick.label,
                kind,
            );
            if let Some(second) = &tick.second {
                let start = tick_room(x, second, look, self.width).0;
                canvas.words(start, first + look.tick * LEADING, second, kind);
            }
        }
        if !self.x_name.is_empty() {
            let rows = if self.x_ticks.is_empty() {
                0.0
            } else if self.second_row {
                2.0
            } else {
                1.0
            };
            let width = measure::width(&self.x_name, look.tick, Weight::Regular);
            let middle = f64::midpoint(self.area.left, self.area.right);
            let start = (middle - width / 2.0).clamp(
                look.margin,
                (self.width - look.margin - width).max(look.margin),
            );
            let baseline = first + rows * look.tick * LEADING + 2.0;
            canvas.words(
                start,
                baseline,
                &self.x_name,
                Type::new(look.tick).colour(SOFT_INK),
            );
        }
    }

    /// Limits, names, legend, footer: what lies over the series.
    pub(crate) fn draw_over(&self, canvas: &mut Canvas) {
        let look = &self.look;
        for &y in &self.limit_lines {
            let end = if self.beside.is_empty() {
                self.area.right
            } else {
                self.area.right + COLUMN_GAP - 8.0
            };
            canvas.line((self.area.left, y), (end, y), limit_stroke(INK));
        }
        for (baseline, text) in &self.inside {
            canvas.words_on_patch(self.area.left + 6.0, *baseline, text, Type::new(look.label));
        }
        for label in &self.beside {
            let start = self.area.right + COLUMN_GAP;
            let moved = (label.middle - label.from.1).abs() > 3.0;
            let early = label.from.0 < self.area.right - 10.0;
            if moved || early {
                let stroke = Stroke {
                    colour: label.colour,
                    width: 0.9,
                    dash: &[1.5, 2.5],
                };
                let mut path = vec![(label.from.0.max(self.area.left), label.from.1)];
                if early {
                    path.push((self.area.right, label.from.1));
                }
                path.push((start - 4.0, label.middle));
                canvas.polyline(&path, stroke);
            }
            let line = look.label * LEADING;
            let first =
                label.middle - (label.lines.len() as f64 - 1.0) * line / 2.0 + MIDDLE * look.label;
            for (index, text) in label.lines.iter().enumerate() {
                let kind = Type::new(look.label)
                    .weight(label.weight)
                    .colour(label.words);
                canvas.words(start, first + index as f64 * line, text, kind);
            }
        }
        self.legend.draw(canvas, look.margin, self.legend_top, look);
        self.footer.draw(canvas, look.margin, self.footer_top);
    }

    /// Says that there is nothing to draw.
    pub(crate) fn say_empty(&self, canvas: &mut Canvas) {
        let kind = Type::new(self.look.label);
        let taken: Vec<Rect> = self
            .inside
            .iter()
            .map(|(baseline, text)| words_area(self.area.left + 6.0, *baseline, text, kind))
            .collect();
        frame::say_empty(canvas, &self.area, &taken, &self.look);
    }

    /// The finished picture.
    pub(crate) fn finish(&self, canvas: Canvas, title: &str) -> String {
        canvas.finish(self.width, self.height, &measure::clean(title))
    }
}
