//! What a test should read on each test day, until the day on which the limit is passed, beside what was read.

use super::Chart;
use super::axis::{self, XAxis};
use super::canvas::{Fill, Stroke, Type};
use super::element::{Element, Ink};
use super::frame::{Entry, Key, Size};
use super::geometry::{drawable, extent};
use super::line_chart::{Series, y_range};
use super::marks::Mark;
use super::measure::Weight;
use super::plot::{EndLabel, Limit, Note, Plot, lay_out};
use super::style::{GROUND, HUES, INK, Look, Marker, SOFT_INK, SeriesLook, series_look};

/// A band: (day, lowest, highest).
pub type Band = Vec<(f64, f64, f64)>;

/// What a test should read on one day.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Expected {
    /// Day of the test.
    pub day: f64,
    /// The reading.
    pub value: f64,
    /// Between which readings it may lie.
    pub range: Option<(f64, f64)>,
    /// The reading in words.
    pub label: String,
}

/// The day on which the limit is passed.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Passed {
    /// The day.
    pub day: f64,
    /// Between which days it may lie; no second day where that is not known.
    pub range: Option<(f64, Option<f64>)>,
    /// The day in words.
    pub label: String,
}

/// Expected readings against a limit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TestChart {
    /// States the finding.
    pub title: String,
    /// What is shown.
    pub subtitle: String,
    /// Name of the reading with its unit.
    pub y_label: String,
    /// Numbers or dates.
    pub x_axis: XAxis,
    /// Name of the setup that the expected readings are of.
    pub name: String,
    /// Its expected readings.
    pub expected: Vec<Expected>,
    /// What the tags are, for the key.
    pub expected_label: String,
    /// The day on which it passes.
    pub passed: Option<Passed>,
    /// Courses of other setups.
    pub others: Vec<Series>,
    /// The rest: its name and (day, lowest, highest).
    pub rest: Option<(String, Band)>,
    /// What was read: (day, reading); None where readings are not the matter.
    pub readings: Option<Vec<(f64, f64)>>,
    /// The limit.
    pub limit: Option<Limit>,
    /// Vertical range; None: taken from the data.
    pub y_range: Option<(f64, f64)>,
    /// Dates or events.
    pub x_marks: Vec<Mark>,
    /// Lines below the chart.
    pub footer: Vec<String>,
}

/// Half the width of a tag over the size of markers.
const TAG: f64 = 1.7;
/// Strength of the tint below the limit.
const PASSES: f64 = 0.09;

impl Expected {
    fn sound(&self) -> bool {
        drawable(self.day) && drawable(self.value)
    }

    fn range(&self) -> (f64, f64) {
        let range = self
            .range
            .filter(|(low, high)| drawable(*low) && drawable(*high));
        range.map_or((self.value, self.value), |(a, b)| (a.min(b), a.max(b)))
    }
}

impl TestChart {
    fn sound(&self) -> impl Iterator<Item = &Expected> {
        self.expected.iter().filter(|e| e.sound())
    }

    fn look_of(other: usize) -> SeriesLook {
        series_look(other + 1)
    }

    fn end(&self) -> EndLabel {
        let last = self.sound().last();
        EndLabel {
            name: self.name.clone(),
            end: last.map(|e| (e.day, e.value)),
            // Names keep off the tags too.
            curve: self
                .sound()
                .flat_map(|e| [e.value, e.range().1, e.range().0, e.value].map(|v| (e.day, v)))
                .collect(),
            colour: HUES[0],
            words: HUES[0].readable(),
            strong: !self.others.is_empty(),
            key: Key::Tag(HUES[0]),
        }
    }

    fn ends(&self) -> Vec<EndLabel> {
        let others = self.others.iter().enumerate().map(|(index, series)| {
            let look = Self::look_of(index);
            let sound = |p: &&(f64, f64)| drawable(p.0) && drawable(p.1);
            EndLabel {
                name: series.name.clone(),
                end: series.points.iter().rev().find(sound).copied(),
                curve: series.points.clone(),
                colour: look.colour,
                words: look.words,
                strong: false,
                key: Key::Line(look, 1.8, false),
            }
        });
        std::iter::once(self.end()).chain(others).collect()
    }

    /// Numbers over the tags, and the day on which the limit is passed.
    fn notes(&self, look: &Look) -> Vec<Note> {
        let bold = Type::new(look.label).weight(Weight::Bold);
        let passed = self
            .passed
            .iter()
            .zip(&self.limit)
            .map(|(passed, limit)| Note {
                at: (passed.day, limit.value),
                text: passed.label.clone(),
                kind: bold,
                over: None,
            });
        let small = Type::new(look.tick).colour(HUES[0].readable());
        let tags = self.sound().map(|e| Note {
            at: (e.day, e.range().1),
            text: e.label.clone(),
            kind: small,
            over: Some((5.0, e.range().0)),
        });
        passed.chain(tags).collect()
    }

    fn more(&self) -> Vec<Entry> {
        let mut more = Vec::new();
        let mut add = |present: bool, key: Key, text: &str| {
            if present && !text.is_empty() {
                more.push(Entry {
                    key,
                    text: text.to_owned(),
                    strong: false,
                });
            }
        };
        let ranged = self.sound().any(|e| e.range.is_some());
        add(ranged, Key::Tag(HUES[0]), &self.expected_label);
        let read = match &self.readings {
            Some(readings) if readings.is_empty() => "readings (no values)",
            _ => "readings",
        };
        add(self.readings.is_some(), Key::Sign(Marker::Cross, INK), read);
        if let Some((name, _)) = &self.rest {
            let grey = SOFT_INK.toward(GROUND, 0.75);
            add(true, Key::Fill(Fill::even(grey), None), name);
        }
        more
    }
}

impl Chart for TestChart {
    fn draw(&self, size: Size) -> String {
        let look = Look::for_width(size.sound().0);
        let curves = || self.others.iter().flat_map(|series| &series.points);
        let rest = || self.rest.iter().flat_map(|(_, band)| band);
        let known = || {
            curves()
                .chain(self.readings.iter().flatten())
                .copied()
                .filter(|p| drawable(p.0) && drawable(p.1))
        };
        let xs = known()
            .map(|p| p.0)
            .chain(self.sound().map(|e| e.day))
            .chain([0.0]);
        let xs = xs.chain(self.x_marks.iter().map(|mark| mark.x));
        let passed = self
            .passed
            .iter()
            .flat_map(|p| [Some(p.day), p.range.and_then(|r| r.1)]);
        let xs = xs.chain(passed.flatten()).chain(rest().map(|p| p.0));
        let ys = known().map(|p| p.1);
        let ys = ys.chain(
            self.sound()
                .flat_map(|e| [e.range().0, e.range().1, e.value]),
        );
        let ys = ys.chain(rest().flat_map(|p| [p.1, p.2]));
        let limits: Vec<Limit> = self
            .limit
            .iter()
            .filter(|l| drawable(l.value))
            .cloned()
            .collect();
        let (low, high) = axis::widened(extent(xs).unwrap_or((0.0, 1.0)));
        let y_range = y_range(self.y_range, extent(ys), &limits);
        let plot = Plot {
            title: &self.title,
            subtitle: &self.subtitle,
            x_label: "",
            y_label: &self.y_label,
            footer: &self.footer,
            x_axis: self.x_axis,
            x_range: (low, high + (high - low) * 0.03),
            y_range,
            limits: &limits,
            marks: &self.x_marks,
            ends: self.ends(),
            notes: self.notes(&look),
            more: self.more(),
        };
        let laid = lay_out(&plot, size);
        let ends = laid.ends;
        let mut elements = Vec::new();
        if let Some(limit) = limits.first() {
            // The ground below the limit is where a test passes.
            let level = limit.value;
            let below = [
                (ends.left, level),
                (ends.right, level),
                (ends.right, ends.top),
                (ends.left, ends.top),
            ];
            elements.push(Element::area(&below, &ends, Fill::even(HUES[2]), PASSES));
        }
        if let Some((_, band)) = &self.rest {
            let sound = |p: &&(f64, f64, f64)| drawable(p.0) && drawable(p.1) && drawable(p.2);
            let upper = band.iter().filter(sound).map(|p| (p.0, p.2));
            let lower = band.iter().rev().filter(sound).map(|p| (p.0, p.1));
            let outline: Vec<(f64, f64)> = upper.chain(lower).collect();
            elements.push(Element::area(&outline, &ends, Fill::even(SOFT_INK), 0.25));
        }
        for (index, series) in self.others.iter().enumerate() {
            let look = Self::look_of(index);
            let stroke = Stroke {
                colour: look.colour,
                width: laid.look.line,
                dash: look.dash,
            };
            elements.extend(Element::lines(&series.points, &ends, stroke));
        }
        let middle: Vec<(f64, f64)> = self.sound().map(|e| (e.day, e.value)).collect();
        elements.extend(Element::lines(&middle, &ends, Stroke::solid(HUES[0], 1.0)));
        let half = laid.look.marker * TAG;
        for expected in self.sound() {
            let (from, to) = expected.range();
            let within = |value: f64| value.clamp(ends.top, ends.bottom);
            let at = |value: f64| (expected.day, within(value));
            let tint = Fill::even(HUES[0].toward(GROUND, 0.68));
            let edge = Some(Stroke::solid(HUES[0], 0.8));
            elements.push(Element::new([at(from), at(to)], Ink::Tag(half, tint, edge)));
            if expected.value == within(expected.value) {
                let ink = Ink::Tag(half + 2.0, Fill::even(HUES[0]), None);
                elements.push(Element::new([at(expected.value), at(expected.value)], ink));
            }
        }
        let cross = (Marker::Cross, laid.look.marker * 1.3, INK);
        elements.push(Element::markers(
            self.readings.iter().flatten().copied(),
            &ends,
            cross,
        ));
        let spot = |day: f64, level: f64| {
            (
                laid.x.at(day.clamp(ends.left, ends.right)),
                laid.y.at(level),
            )
        };
        let sound = !middle.is_empty() || known().next().is_some();
        laid.draw_over(elements, !sound, |canvas| {
            let passed = self.passed.iter().filter(|passed| drawable(passed.day));
            for (passed, limit) in passed.zip(&limits) {
                if let Some((from, to)) = passed.range.filter(|(from, _)| drawable(*from)) {
                    let (left, y) = spot(from, limit.value);
                    let right = spot(to.unwrap_or(ends.right), limit.value).0;
                    canvas.line((left, y), (right, y), Stroke::solid(INK, 3.0));
                    canvas.line((left, y - 5.0), (left, y + 5.0), Stroke::solid(INK, 1.6));
                    if to.is_some() {
                        canvas.line((right, y - 5.0), (right, y + 5.0), Stroke::solid(INK, 1.6));
                    } else {
                        canvas.marker((right, y), Marker::Onward, laid.look.marker * 1.5, INK);
                    }
                }
                let at = spot(passed.day, limit.value);
                canvas.line(at, (at.0, laid.area.bottom), Stroke::solid(INK, 1.2));
                canvas.marker(at, Marker::Diamond, laid.look.marker * 1.9, INK);
            }
        })
    }
}
