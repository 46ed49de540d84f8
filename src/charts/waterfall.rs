//! From one day to another, cause by cause: bars that each start where the one before ended.

use super::Chart;
use super::axis::{Scale, XAxis};
use super::canvas::{Canvas, Stroke, Type};
use super::frame::{self, Entry, Key, Legend, Size, limit_stroke, say_empty};
use super::geometry::{drawable, extent};
use super::labels::Rect;
use super::marks::Mark;
use super::measure::{self, Weight};
use super::plot::{choose_x_ticks, tick_room};
use super::style::{
    ASCENT, AXIS, GRID, GROUND, HUES, Hatch, INK, LEADING, Look, MIDDLE, Marker, SOFT_INK,
};

/// One bar.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Step {
    /// Left of the bar, or above it when narrow.
    pub name: String,
    /// Second line under the name, in grey.
    pub note: String,
    /// Days added; negative days are won. A value that is not finite draws no bar.
    pub days: f64,
    /// Words beside the bar.
    pub label: String,
    /// Not one cause but several together: dotted.
    pub together: bool,
}

/// Bars from a first to a last day.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Waterfall {
    /// States the finding.
    pub title: String,
    /// What is shown.
    pub subtitle: String,
    /// Name and date of the first day.
    pub first: (String, String),
    /// Bars in the order in which they are drawn.
    pub steps: Vec<Step>,
    /// Name and date of the last day.
    pub last: (String, String),
    /// Calendar of the axis, day 0 being the first day; plain numbers without.
    pub x_axis: XAxis,
    /// An upright dashed line, such as the day that was asked for.
    pub mark: Option<Mark>,
    /// The last day is only the horizon: an arrow shows that it goes on.
    pub open_end: bool,
    /// Lines below the chart.
    pub footer: Vec<String>,
}

/// Share of the width for names beside the bars.
const NAME_SHARE: f64 = 0.34;
/// Between the end of a bar and its words.
const GAP: f64 = 6.0;
/// From the centre of a diamond or an arrow to its end, over the size of markers.
const MARKER_ROOM: f64 = 2.4;
/// Thickness of a bar over the type size.
const THICKNESS: f64 = 1.45;
/// Free space between rows over the type size.
const ROW_GAP: f64 = 0.7;
/// Most bars; more say nothing, and their sum would not be seen. The rest is summed up by the caller.
const MOST_STEPS: usize = 40;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Lost,
    Won,
    Together,
}

struct Row {
    name: Vec<String>,
    note: Vec<String>,
    label: String,
    /// From and to in days, and the kind; an end has only its day.
    bar: Option<(f64, f64, Kind)>,
    day: f64,
    height: f64,
}

fn paint(canvas: &mut Canvas, kind: Kind) -> (String, Option<Stroke>) {
    match kind {
        Kind::Lost => (HUES[1].hex(), None),
        Kind::Won => {
            let fill = canvas.texture(Hatch::Rising, HUES[0], HUES[0].toward(GROUND, 0.8));
            (fill, Some(Stroke::solid(HUES[0], 1.0)))
        }
        Kind::Together => {
            let fill = canvas.texture(Hatch::Dots, HUES[6], HUES[6].toward(GROUND, 0.85));
            (fill, Some(Stroke::solid(HUES[6], 1.0)))
        }
    }
}

impl Waterfall {
    fn rows(&self, look: &Look, width: f64) -> (Vec<Row>, f64) {
        let most = if look.narrow {
            width - 2.0 * look.margin
        } else {
            width * NAME_SHARE
        };
        let mut widest = 0.0_f64;
        let mut day = 0.0;
        let mut row =
            |name: &str, note: &str, label: &str, bar: Option<(f64, f64, Kind)>, day: f64| {
                let name = measure::wrap_evenly(name, look.label, Weight::Bold, most, 2);
                let note = measure::wrap(note, look.note, Weight::Regular, most, 2);
                for text in &name {
                    widest = widest.max(measure::width(text, look.label, Weight::Bold));
                }
                for text in &note {
                    widest = widest.max(measure::width(text, look.note, Weight::Regular));
                }
                let words =
                    (name.len() as f64 * look.label + note.len() as f64 * look.note) * LEADING;
                let bar_height = look.label * THICKNESS;
                let inner = if look.narrow {
                    words + bar_height + 3.0
                } else {
                    words.max(bar_height)
                };
                Row {
                    name,
                    note,
                    label: label.to_owned(),
                    bar,
                    day,
                    height: inner + look.label * ROW_GAP,
                }
            };
        let mut rows = vec![row(&self.first.0, "", &self.first.1, None, 0.0)];
        for step in self.steps.iter().take(MOST_STEPS) {
            let days = if drawable(step.days) { step.days } else { 0.0 };
            let kind = match (step.together, days < 0.0) {
                (true, _) => Kind::Together,
                (false, true) => Kind::Won,
                (false, false) => Kind::Lost,
            };
            let bar = Some((day, day + days, kind));
            day += days;
            rows.push(row(&step.name, &step.note, &step.label, bar, day));
        }
        rows.push(row(&self.last.0, "", &self.last.1, None, day));
        let left = if look.narrow {
            look.margin
        } else {
            look.margin + widest + 14.0
        };
        (rows, left)
    }

    fn key(canvas: &mut Canvas, rows: &[Row]) -> Vec<Entry> {
        let kinds = [
            (Kind::Lost, "days lost"),
            (Kind::Won, "days won"),
            (Kind::Together, "causes together, beyond one by one"),
        ];
        let present: Vec<_> = kinds
            .into_iter()
            .filter(|(kind, _)| rows.iter().any(|r| r.bar.is_some_and(|b| b.2 == *kind)))
            .collect();
        if present.len() < 2 {
            return Vec::new();
        }
        present
            .into_iter()
            .map(|(kind, words)| {
                let (fill, edge) = paint(canvas, kind);
                Entry {
                    key: Key::Fill(fill, edge),
                    text: words.to_owned(),
                    strong: false,
                }
            })
            .collect()
    }
}

impl Chart for Waterfall {
    fn draw(&self, size: Size) -> String {
        let (width, wished_height) = size.sound();
        let look = Look::for_width(width);
        let room = width - 2.0 * look.margin;
        let mut canvas = Canvas::default();
        let header = frame::header(&self.title, &self.subtitle, &look, room);
        let footer = frame::footer(&self.footer, &look, room);
        let (rows, left) = self.rows(&look, width);
        let legend = Legend::new(Self::key(&mut canvas, &rows), &look, room);
        let right = width - look.margin;
        let mark = self.mark.as_ref().filter(|mark| drawable(mark.x));

        let widest = rows
            .iter()
            .map(|row| measure::width(&measure::clean(&row.label), look.label, Weight::Bold))
            .fold(0.0, f64::max)
            + GAP
            + look.marker * MARKER_ROOM
            + 2.0;
        let bar_end = right - widest.min((right - left) * 0.42);
        let days = rows.iter().map(|row| row.day).chain(mark.map(|m| m.x));
        let (low, high) = extent(days).unwrap_or((0.0, 1.0));
        // A delay of nothing still needs an axis with days on it.
        let range = (low, high.max(low + 4.0));
        let scale = Scale::new(range, left + 6.0, bar_end);
        let (ticks, second_row) =
            choose_x_ticks(self.x_axis, range, &scale, &look, (width, bar_end - left));

        let line = look.label * LEADING;
        let mark_label = mark
            .map(|mark| measure::fit(&mark.label, look.label, Weight::Regular, right - left))
            .filter(|label| !label.is_empty());
        let mut top = look.margin + header.height() + 12.0;
        let strip = top;
        if mark_label.is_some() {
            top += line + 4.0;
        }
        let rows_height: f64 = rows.iter().map(|row| row.height).sum();
        let tick_rows = if second_row { 2.0 } else { 1.0 };
        let below_axis = 9.0 + tick_rows * look.tick * LEADING;
        let block = |height: f64| if height > 0.0 { height + 10.0 } else { 0.0 };
        let below =
            below_axis + 8.0 + block(legend.height()) + block(footer.height()) + look.margin * 0.8;
        let spare = (wished_height - top - rows_height - below).max(0.0);
        let spread = (spare / rows.len() as f64).min(look.label);
        let bottom = top + rows_height + spread * rows.len() as f64;
        let height = bottom + below;

        header.draw(&mut canvas, look.margin, look.margin);
        for tick in &ticks {
            let x = scale.at(tick.value);
            canvas.line((x, top), (x, bottom), Stroke::solid(GRID, 1.0));
        }
        canvas.line((left, bottom), (right, bottom), Stroke::solid(AXIS, 1.2));
        let first = bottom + 9.0 + ASCENT * look.tick;
        let kind = Type::new(look.tick).colour(SOFT_INK);
        for tick in &ticks {
            let x = scale.at(tick.value);
            canvas.line((x, bottom), (x, bottom + 5.0), Stroke::solid(AXIS, 1.2));
            canvas.words(
                tick_room(x, &tick.label, &look, width).0,
                first,
                &tick.label,
                kind,
            );
            if let Some(second) = &tick.second {
                let start = tick_room(x, second, &look, width).0;
                canvas.words(start, first + look.tick * LEADING, second, kind);
            }
        }
        if let (Some(mark), Some(label)) = (mark, &mark_label) {
            let x = scale.at(mark.x);
            canvas.line((x, strip + line + 1.0), (x, bottom), limit_stroke(INK));
            let words = measure::width(label, look.label, Weight::Regular);
            let start = (x - words / 2.0).clamp(left.min(right - words), right - words);
            canvas.words(start, strip + line * 0.8, label, Type::new(look.label));
        }
        let mut y = top;
        let mut words: Vec<(f64, f64, String, Type)> = Vec::new();
        let mut before: Option<f64> = None;
        let thickness = look.label * THICKNESS;
        let last = rows.len() - 1;
        for (place, row) in rows.iter().enumerate() {
            let end = y + row.height + spread;
            let text_height =
                (row.name.len() as f64 * look.label + row.note.len() as f64 * look.note) * LEADING;
            let middle = f64::midpoint(y, end);
            let (mut text_top, bar_top) = if look.narrow {
                let whole = text_height + thickness + 3.0;
                (
                    middle - whole / 2.0,
                    middle - whole / 2.0 + text_height + 3.0,
                )
            } else {
                (middle - text_height / 2.0, middle - thickness / 2.0)
            };
            for (lines, size, weight, colour) in [
                (&row.name, look.label, Weight::Bold, INK),
                (&row.note, look.note, Weight::Regular, SOFT_INK),
            ] {
                for text in lines {
                    let baseline = text_top + size * (LEADING / 2.0 + MIDDLE);
                    let kind = Type::new(size).weight(weight).colour(colour);
                    words.push((look.margin, baseline, text.clone(), kind));
                    text_top += size * LEADING;
                }
            }
            let centre = bar_top + thickness / 2.0;
            // From the end of the bar before down to this one.
            if let (Some(from), false) = (before, place == 0) {
                let x = scale.at(row.bar.map_or(row.day, |bar| bar.0));
                let to = if row.bar.is_some() { bar_top } else { centre };
                canvas.line((x, from), (x, to), Stroke::solid(AXIS, 1.0));
            }
            let mut edge = scale.at(row.day);
            if let Some((from, to, kind)) = row.bar {
                let (a, b) = (scale.at(from.min(to)), scale.at(from.max(to)));
                let (fill, stroke) = paint(&mut canvas, kind);
                let area = Rect {
                    left: a,
                    top: bar_top,
                    // A bar of nothing is still seen as a line.
                    right: b.max(a + 1.5),
                    bottom: bar_top + thickness,
                };
                canvas.rect(area, &fill, 1.0, stroke);
                edge = area.right;
            } else {
                if place == last && self.open_end {
                    let (x, half) = (edge, look.marker * 1.8);
                    let points = [
                        (x, centre - half * 1.4),
                        (x + half * 1.6, centre),
                        (x, centre + half * 1.4),
                    ];
                    canvas.polygon(&points, &INK.hex(), 1.0);
                } else {
                    canvas.marker((edge, centre), Marker::Diamond, look.marker * 1.9, INK);
                }
                edge += look.marker * MARKER_ROOM;
            }
            let room = right - edge - GAP;
            let text = measure::fit(&row.label, look.label, Weight::Bold, room);
            let kind = Type::new(look.label).weight(Weight::Bold);
            words.push((edge + GAP, centre + MIDDLE * look.label, text, kind));
            before = Some(bar_top + thickness);
            y = end;
        }
        if self.steps.is_empty() {
            let area = Rect {
                left,
                top: bottom - 1.0,
                right,
                bottom,
            };
            say_empty(&mut canvas, &area, &[], &look);
        }
        for (x, baseline, text, kind) in words {
            canvas.words_on_patch(x, baseline, &text, kind);
        }
        legend.draw(&mut canvas, look.margin, bottom + below_axis + 8.0, &look);
        footer.draw(
            &mut canvas,
            look.margin,
            height - look.margin * 0.8 - footer.height(),
        );
        canvas.finish(width, height, &measure::clean(&self.title))
    }
}
