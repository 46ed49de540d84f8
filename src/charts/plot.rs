//! Frame of the charts with a horizontal axis of numbers or dates: ranges, ticks, limits, marks, names of the series.

use super::axis::{self, Axis, Scale, Tick, XAxis};
use super::backend::inside;
use super::canvas::{Canvas, Stroke, Type, words_area};
use super::crowd::{Crowd, Label, NOBODY};
use super::element::{Element, place};
use super::frame::{
    self, Around, Entry, Grid, Key, Sheet, Size, Stack, TICK_GAP, limit_stroke, mark_stroke,
};
use super::geometry::{drawable, thin};
use super::labels::{Rect, push_apart};
use super::marks::{Mark, Marks, place_marks};
use super::measure::{self, Weight};
use super::style::{Colour, DESCENT, INK, LEADING, Look, MIDDLE, SOFT_INK};

/// A level that values are held against, drawn as a labelled dashed line.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// In the unit of the axis.
    pub value: f64,
    /// For example "Limit 75 %".
    pub label: String,
}

/// Name of a series at its end.
#[derive(Debug, Clone)]
pub(crate) struct EndLabel {
    pub(crate) name: String,
    /// Where the series ends; None if it has no point to show.
    pub(crate) end: Option<(f64, f64)>,
    /// Its points, on which the name may stand if it ends early.
    pub(crate) curve: Vec<(f64, f64)>,
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
    /// Words in the plotting area that come before the names of the series.
    pub(crate) notes: Vec<Note>,
    /// Legend entries beyond the names of the series.
    pub(crate) more: Vec<Entry>,
}

/// Words in the plotting area.
#[derive(Debug, Clone)]
pub(crate) struct Note {
    /// In the units of the axes.
    pub(crate) at: (f64, f64),
    pub(crate) text: String,
    pub(crate) kind: Type,
    /// Over the point by so many pixels, else under this other level, else left out; None: beside the point.
    pub(crate) over: Option<(f64, f64)>,
}

/// Most names at their lines; more go into a legend below.
const MOST_END_LABELS: usize = 9;
/// Stands for an empty name where there are several series.
const UNNAMED: &str = "(no name)";
/// Widest column of names as a share of the chart.
const COLUMN_SHARE: f64 = 0.26;
/// Longest name on a line as a share of the plotting area.
const LABEL_SHARE: f64 = 0.4;
/// Places tried for a name along its line.
const PLACES: usize = 24;
/// Least height of the plotting area.
const LEAST_PLOT: f64 = 170.0;
/// Between the plotting area and the names.
const COLUMN_GAP: f64 = 16.0;
/// A series that ends this far from the right edge carries its name at its own end \[px\].
const EARLY: f64 = 10.0;

/// Words beside the chart: lines, wished middle, the end of the series.
#[derive(Debug)]
struct Beside {
    lines: Vec<String>,
    weight: Weight,
    words: Colour,
    from: (f64, f64),
    colour: Colour,
    middle: f64,
}

/// A laid-out frame, all in pixels of the whole drawing.
#[derive(Debug)]
pub(crate) struct Laid {
    pub(crate) look: Look,
    pub(crate) area: Rect,
    pub(crate) x: Scale,
    pub(crate) y: Scale,
    /// Ends of the axes, low and high values.
    pub(crate) ends: Rect,
    sheet: Sheet,
    body: f64,
    axes: (Axis, Axis),
    y_name: Stack,
    x_name: String,
    tick_rows: f64,
    mark_labels: Vec<(f64, f64, String)>,
    mark_lines: Vec<(f64, f64)>,
    limit_lines: Vec<f64>,
    beside: Vec<Beside>,
    on_lines: Vec<Label>,
}

/// Lays the frame out, with names at the lines if they fit, else below.
pub(crate) fn lay_out(plot: &Plot, size: Size) -> Laid {
    let few = plot.ends.len() + plot.limits.len() <= MOST_END_LABELS;
    // The last stands for the limits, whose labels then move onto their lines.
    let mut below = vec![!few; plot.ends.len() + 1];
    // A name that finds no place moves into the legend, which takes height from the plotting area.
    loop {
        let (laid, homeless) = arrange(plot, size, &below);
        if homeless.is_empty() {
            return laid;
        }
        let last = plot.ends.len();
        if laid.look.narrow {
            below.fill(true);
        }
        for index in homeless {
            below[index.min(last)] = true;
        }
    }
}

fn name_of(end: &EndLabel, several: bool) -> String {
    let name = measure::clean(&end.name);
    if name.is_empty() && several {
        UNNAMED.to_owned()
    } else {
        name
    }
}

fn weight_of(end: &EndLabel) -> Weight {
    if end.strong {
        Weight::Bold
    } else {
        Weight::Regular
    }
}

/// The frame with the names marked here below, and the numbers of those that found no place.
fn arrange(plot: &Plot, size: Size, below: &[bool]) -> (Laid, Vec<usize>) {
    let (_, height) = size.sound();
    let mut sheet = Sheet::new(size, plot.title, plot.subtitle).with_footer(plot.footer);
    let look = sheet.look;
    let width = sheet.width;
    let several = plot.ends.len() > 1;
    let y_name = frame::axis_name(plot.y_label, &look, sheet.room());
    let limits: Vec<&Limit> = plot
        .limits
        .iter()
        .filter(|limit| drawable(limit.value))
        .collect();

    // Left and right edges.
    let y_range = axis::widened(plot.y_range);
    let x_range = axis::widened(plot.x_range);
    let mut y_ticks = axis::number_ticks(y_range, (height / 75.0).clamp(3.0, 8.0));
    for tick in &mut y_ticks {
        tick.label = measure::fit(&tick.label, look.tick, Weight::Regular, width * 0.3);
    }
    let tick_width = y_ticks
        .iter()
        .map(|tick| measure::width(&tick.label, look.tick, Weight::Regular))
        .fold(0.0, f64::max);
    let left = look.margin + tick_width + TICK_GAP;
    // A series that reaches the right edge has its name beside it, where no line can run.
    let early = |end: (f64, f64)| {
        let edge = width - look.margin;
        let x = Scale::new(x_range, left, edge);
        x.at(end.0) < edge - EARLY
    };
    let mut beside: Vec<(usize, Beside)> = Vec::new();
    let mut column = 0.0_f64;
    let most = width * COLUMN_SHARE;
    let mut add = |index: usize,
                   name: &str,
                   weight: Weight,
                   from: (f64, f64),
                   (colour, words): (Colour, Colour)| {
        let lines = measure::wrap(name, look.label, weight, most, 2);
        column = lines
            .iter()
            .map(|line| measure::width(line, look.label, weight))
            .fold(column, f64::max);
        if !lines.is_empty() {
            let label = Beside {
                lines,
                weight,
                words,
                from,
                colour,
                middle: 0.0,
            };
            beside.push((index, label));
        }
    };
    let mut homeless = Vec::new();
    if !look.narrow {
        for (index, end) in plot.ends.iter().enumerate() {
            if let Some(place) = end.end.filter(|end| !below[index] && !early(*end)) {
                let colours = (end.colour, end.words);
                add(
                    index,
                    &name_of(end, several),
                    weight_of(end),
                    place,
                    colours,
                );
            }
        }
        if !below[plot.ends.len()] {
            for limit in &limits {
                let from = (f64::INFINITY, limit.value);
                add(NOBODY, &limit.label, Weight::Regular, from, (INK, INK));
            }
        }
    }
    let right = if column > 0.0 {
        width - look.margin - column - COLUMN_GAP
    } else {
        width - look.margin - 4.0
    };
    let x = Scale::new(x_range, left, right);
    let (x_ticks, second_row) =
        choose_x_ticks(plot.x_axis, plot.x_range, &x, &look, (width, right - left));
    let Marks {
        packed,
        lines: mark_lines,
        unplaced,
    } = place_marks(plot.marks, plot.x_axis, &x, &look, (left, right));

    let mut entries: Vec<Entry> = Vec::new();
    for (index, end) in plot.ends.iter().enumerate() {
        let text = name_of(end, several);
        let text = match end.end {
            Some(_) if below[index] => text,
            Some(_) => continue,
            None => format!("{text} (no values)"),
        };
        entries.push(Entry {
            key: end.key.clone(),
            text,
            strong: end.strong,
        });
    }
    entries.extend(plot.more.iter().cloned());
    entries.extend(unplaced);
    sheet = sheet.with_legend(entries);

    // Top and bottom edges.
    let line = look.label * LEADING;
    let limits_inside = beside.iter().all(|(index, _)| *index != NOBODY) && !limits.is_empty();
    let least_plot = if limits_inside {
        LEAST_PLOT.max(limits.len() as f64 * (line + 2.0) + line)
    } else {
        LEAST_PLOT
    };
    let rows = packed.iter().map(|&(row, _, _)| row + 1).max().unwrap_or(0);
    let top = sheet.above() + y_name.height() + 10.0 + rows as f64 * look.tick * LEADING;
    let x_name = measure::fit(plot.x_label, look.tick, Weight::Regular, sheet.room());
    let tick_rows = f64::from(u8::from(!x_ticks.is_empty()) + u8::from(second_row));
    let name_row = f64::from(u8::from(!x_name.is_empty()));
    let below_ticks =
        TICK_GAP + tick_rows * look.tick * LEADING + name_row * (look.tick * LEADING + 2.0);
    let over = top - sheet.above();
    let body = sheet.body(over + least_plot + below_ticks, size);
    let area = Rect {
        left,
        top,
        right,
        bottom: sheet.above() + body - below_ticks,
    };
    let y = Scale::new(y_range, area.bottom, area.top);
    let level = |value: f64| y.at(value).clamp(area.top, area.bottom);

    // Names beside, pushed apart.
    let wishes: Vec<(f64, f64)> = beside
        .iter()
        .map(|(_, label)| (level(label.from.1), label.lines.len() as f64 * line))
        .collect();
    match push_apart(&wishes, area.top - 4.0, area.bottom + 4.0) {
        Some(places) => {
            for ((_, label), middle) in beside.iter_mut().zip(places) {
                label.middle = middle;
                label.from = (
                    x.at(label.from.0.min(x_range.1)).clamp(left, right),
                    level(label.from.1),
                );
            }
        }
        None => homeless.extend(beside.iter().map(|(index, _)| *index)),
    }

    // Names on their lines.
    let mut crowd = Crowd::new(area);
    for limit in &limits {
        let at = level(limit.value);
        crowd.line(NOBODY, vec![(left, at), (right, at)]);
    }
    let pixels: Vec<Vec<(f64, f64)>> = plot
        .ends
        .iter()
        .map(|end| {
            let sound = end.curve.iter().filter(|p| drawable(p.0) && drawable(p.1));
            let all: Vec<_> = sound.map(|p| (x.at(p.0), y.at(p.1))).collect();
            thin(&all)
        })
        .collect();
    for (index, points) in pixels.iter().enumerate() {
        crowd.line(index, points.clone());
    }
    let mut on_lines = Vec::new();
    if limits_inside {
        on_lines.extend(limit_labels(&limits, &y, &area, &look));
        for label in &on_lines {
            let room = words_area(label.left, label.baseline, &label.text, label.kind);
            crowd.take(room.grown(3.0, 1.0));
        }
    }
    for note in &plot.notes {
        let at = (
            x.at(note.at.0),
            y.at(note.at.1).clamp(area.top, area.bottom),
        );
        let fit = |text| measure::fit(text, note.kind.size, note.kind.weight, area.width() * 0.6);
        let text = fit(&note.text);
        let half = measure::width(&text, note.kind.size, note.kind.weight) / 2.0;
        on_lines.extend(match note.over {
            Some((gap, level)) => {
                let under = y.at(level).clamp(area.top, area.bottom) + gap + note.kind.size;
                let places = [at.1 - gap, under].into_iter();
                let mut places = places.map(|baseline| (at.0 - half, baseline));
                places.find_map(|place| crowd.put(place, &text, note.kind))
            }
            None => crowd.place_anyhow(NOBODY, &text, note.kind, at),
        });
    }
    let at_ends = beside.iter().map(|(index, _)| *index).collect::<Vec<_>>();
    for (index, end) in plot.ends.iter().enumerate() {
        let name = name_of(end, several);
        if below[index] || end.end.is_none() || at_ends.contains(&index) || name.is_empty() {
            continue;
        }
        let kind = Type::new(look.label)
            .weight(weight_of(end))
            .colour(end.words);
        let fits = measure::width(&name, kind.size, kind.weight) <= area.width() * LABEL_SHARE;
        let label = fits
            .then(|| crowd.place(index, &name, kind, &along_line(&pixels[index], &area)))
            .flatten();
        match label {
            Some(label) => on_lines.push(label),
            None => homeless.push(index),
        }
    }

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
            let over = row.map_or(0.0, |row| 4.0 + row as f64 * look.tick * LEADING);
            (at, area.top - over)
        })
        .collect();
    let laid = Laid {
        look,
        area,
        x,
        y,
        ends: Rect {
            left: x_range.0,
            top: y_range.0,
            right: x_range.1,
            bottom: y_range.1,
        },
        limit_lines: limits.iter().map(|limit| y.at(limit.value)).collect(),
        sheet,
        body,
        axes: (Axis::new(x_range, x_ticks), Axis::new(y_range, y_ticks)),
        y_name,
        x_name,
        tick_rows,
        mark_labels,
        mark_lines,
        beside: beside.into_iter().map(|(_, label)| label).collect(),
        on_lines,
    };
    (laid, homeless)
}

/// Points of a line at which its name may stand: its end first, then even steps back.
pub(crate) fn along_line(pixels: &[(f64, f64)], area: &Rect) -> Vec<(f64, f64)> {
    let seen: Vec<(f64, f64)> = pixels.iter().copied().filter(|p| area.holds(*p)).collect();
    let step = (seen.len() / PLACES).max(1);
    seen.into_iter().rev().step_by(step).collect()
}

/// Labels of limits inside the area: above their lines, or below where another limit is close above.
fn limit_labels(limits: &[&Limit], y: &Scale, area: &Rect, look: &Look) -> Vec<Label> {
    let line = look.label * LEADING;
    let levels: Vec<f64> = limits
        .iter()
        .map(|limit| y.at(limit.value).clamp(area.top, area.bottom))
        .collect();
    let wishes: Vec<(f64, f64)> = levels
        .iter()
        .map(|level| {
            let close_above = levels
                .iter()
                .any(|other| other < level && level - other < line);
            let shift = line / 2.0 + 1.0;
            let middle = if close_above {
                level + shift
            } else {
                level - shift
            };
            (middle, line + 1.0)
        })
        .collect();
    let places = push_apart(&wishes, area.top + 1.0, area.bottom - 1.0).unwrap_or_default();
    places
        .into_iter()
        .zip(limits)
        .map(|(middle, limit)| Label {
            left: area.left + 6.0,
            baseline: middle + MIDDLE * look.label,
            text: measure::fit(
                &limit.label,
                look.label,
                Weight::Regular,
                area.width() - 10.0,
            ),
            kind: Type::new(look.label),
        })
        .collect()
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
    let span = |x: f64, text: &str| {
        let wide = measure::width(text, look.tick, Weight::Regular);
        let start = inside(x - wide / 2.0, wide, width);
        (start, start + wide)
    };
    let apart = |texts: Vec<(f64, &str)>| {
        texts.windows(2).all(|pair| {
            let before = span(x.at(pair[0].0), pair[0].1);
            let after = span(x.at(pair[1].0), pair[1].1);
            before.1 + 8.0 <= after.0
        })
    };
    let fits = |ticks: &[Tick]| {
        let seconds = ticks.iter();
        let seconds = seconds.filter_map(|tick| Some((tick.value, tick.second.as_deref()?)));
        let firsts = ticks.iter().map(|tick| (tick.value, tick.label.as_str()));
        apart(firsts.collect()) && apart(seconds.collect())
    };
    let ticks = axis::x_ticks(x_axis, axis::widened(x_range), most, fits);
    let second_row = ticks.iter().any(|tick| tick.second.is_some());
    (ticks, second_row)
}

impl Laid {
    /// The finished picture with its series; `empty` says that there is nothing to draw.
    pub(crate) fn draw(&self, series: Vec<Element>, empty: bool) -> String {
        self.draw_over(series, empty, |_| ())
    }

    /// The same with something over the series.
    pub(crate) fn draw_over(
        &self,
        series: Vec<Element>,
        empty: bool,
        over: impl Fn(&mut Canvas),
    ) -> String {
        let around = Around {
            plot: self.area,
            names_above: false,
            grid: Grid::Level,
        };
        self.sheet.draw(self.body, |body| {
            let axes = frame::axes(body, &self.look, around, self.axes.clone());
            place(body, |canvas, _| {
                self.words_of_axes(canvas);
                self.marks(canvas);
                if empty {
                    self.say_empty(canvas);
                }
            });
            if let Some(mut axes) = axes {
                super::element::sure(axes.draw_series(series).map(drop));
            }
            place(body, |canvas, _| {
                self.names(canvas);
                over(canvas);
            });
        })
    }

    fn words_of_axes(&self, canvas: &mut Canvas) {
        let look = &self.look;
        self.y_name.draw(canvas, look.margin, self.sheet.above());
        let wide = measure::width(&self.x_name, look.tick, Weight::Regular);
        let middle = f64::midpoint(self.area.left, self.area.right);
        let rows = self.tick_rows + 1.0;
        let baseline = self.area.bottom + TICK_GAP + rows * look.tick * LEADING;
        let kind = Type::new(look.tick).colour(SOFT_INK);
        let start = inside(middle - wide / 2.0, wide, self.sheet.width);
        canvas.words(start, baseline, &self.x_name, kind);
    }

    fn marks(&self, canvas: &mut Canvas) {
        for &(x, top) in &self.mark_lines {
            canvas.line((x, top), (x, self.area.bottom), mark_stroke());
        }
        let kind = Type::new(self.look.tick).colour(SOFT_INK);
        for (left, baseline, text) in &self.mark_labels {
            canvas.words_on_patch(*left, *baseline, text, kind);
        }
    }

    /// Limits and names: what lies over the series.
    fn names(&self, canvas: &mut Canvas) {
        let look = &self.look;
        for &y in &self.limit_lines {
            let end = if self.beside.is_empty() {
                self.area.right
            } else {
                self.area.right + COLUMN_GAP - 8.0
            };
            canvas.line((self.area.left, y), (end, y), limit_stroke(INK));
        }
        for label in &self.on_lines {
            canvas.words_on_patch(label.left, label.baseline, &label.text, label.kind);
        }
        for label in &self.beside {
            let start = self.area.right + COLUMN_GAP;
            if (label.middle - label.from.1).abs() > 3.0 {
                let stroke = Stroke {
                    colour: label.colour,
                    width: 0.9,
                    dash: &[1.5, 2.5],
                };
                let from = (label.from.0.max(self.area.left), label.from.1);
                canvas.polyline(&[from, (start - 4.0, label.middle)], stroke);
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
    }

    fn say_empty(&self, canvas: &mut Canvas) {
        let rooms = self
            .on_lines
            .iter()
            .map(|l| words_area(l.left, l.baseline, &l.text, l.kind));
        frame::say_empty(canvas, &self.area, &rooms.collect::<Vec<_>>(), &self.look);
    }
}
