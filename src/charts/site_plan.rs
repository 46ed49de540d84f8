//! The floor as a plan, to scale, with numbered findings.

use std::collections::BTreeSet;

use super::Chart;
use super::axis;
use super::canvas::{Anchor, Canvas, Stroke, Type};
use super::frame::{self, Entry, Key, Legend, Size, say_empty};
use super::geometry::{drawable, extent};
use super::labels::Rect;
use super::measure::{self, Weight};
use super::style::{AXIS, BLANK, INK, LEADING, Look, MIDDLE, SOFT_INK, SeriesLook, series_look};

/// An area with its corners.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outline {
    /// Written in it.
    pub name: String,
    /// In the unit of the plan, y upward.
    pub corners: Vec<(f64, f64)>,
}

/// A numbered spot.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Spot {
    /// Written beside it.
    pub number: usize,
    /// Place.
    pub at: (f64, f64),
    /// Index of its kind.
    pub kind: usize,
}

/// A plan.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SitePlan {
    /// States the finding.
    pub title: String,
    /// What is shown.
    pub subtitle: String,
    /// Areas.
    pub outlines: Vec<Outline>,
    /// Kinds of spots, for the key.
    pub kinds: Vec<String>,
    /// Spots.
    pub spots: Vec<Spot>,
    /// Unit of the plan, for the bar of its scale.
    pub unit: String,
    /// Lines below the plan.
    pub footer: Vec<String>,
}

/// Tallest plan over its width.
const TALLEST: f64 = 1.3;
/// Room round the outlines \[px\], for numbers at the edge.
const EDGE: f64 = 14.0;

impl SitePlan {
    fn look_of(kind: usize) -> SeriesLook {
        series_look(kind)
    }

    fn frame(&self) -> Option<((f64, f64), (f64, f64))> {
        let points = || {
            self.outlines
                .iter()
                .flat_map(|o| o.corners.iter().copied())
                .chain(self.spots.iter().map(|s| s.at))
                .filter(|(x, y)| drawable(*x) && drawable(*y))
        };
        Some((
            axis::widened(extent(points().map(|p| p.0))?),
            axis::widened(extent(points().map(|p| p.1))?),
        ))
    }
}

impl Chart for SitePlan {
    fn draw(&self, size: Size) -> String {
        let (width, _) = size.sound();
        let look = Look::for_width(width);
        let room = width - 2.0 * look.margin;
        let mut canvas = Canvas::default();
        let header = frame::header(&self.title, &self.subtitle, &look, room);
        let present: BTreeSet<usize> = self.spots.iter().map(|s| s.kind).collect();
        let entries = present
            .iter()
            .filter_map(|kind| {
                Some(Entry {
                    key: Key::Points(Self::look_of(*kind)),
                    text: self.kinds.get(*kind)?.clone(),
                    strong: false,
                })
            })
            .collect();
        let legend = Legend::new(entries, &look, room);
        let top = look.margin + header.height() + 14.0;
        header.draw(&mut canvas, look.margin, look.margin);
        let Some((xs, ys)) = self.frame() else {
            let area = Rect {
                left: look.margin,
                top,
                right: width - look.margin,
                bottom: top + 120.0,
            };
            say_empty(&mut canvas, &area, &[], &look);
            return canvas.finish(width, top + 140.0, &measure::clean(&self.title));
        };
        let inner = room - 2.0 * EDGE;
        let scale = (inner / (xs.1 - xs.0)).min(inner * TALLEST / (ys.1 - ys.0));
        let drawn = ((xs.1 - xs.0) * scale, (ys.1 - ys.0) * scale);
        let left = look.margin + EDGE + (inner - drawn.0) / 2.0;
        let plan_top = top + EDGE;
        let at = |(x, y): (f64, f64)| (left + (x - xs.0) * scale, plan_top + (ys.1 - y) * scale);
        let sound = |p: &(f64, f64)| drawable(p.0) && drawable(p.1);
        for outline in &self.outlines {
            let mut points: Vec<(f64, f64)> = outline
                .corners
                .iter()
                .filter(|p| sound(p))
                .map(|p| at(*p))
                .collect();
            canvas.polygon(&points, &BLANK.hex(), 1.0);
            if let Some(first) = points.first().copied() {
                points.push(first);
            }
            canvas.polyline(&points, Stroke::solid(AXIS, 1.6));
        }
        let mut taken: Vec<Rect> = Vec::new();
        // Cells of a coarse grid that hold words, so that thousands of spots stay quick.
        let mut cells: BTreeSet<(i64, i64)> = BTreeSet::new();
        let cell = |p: (f64, f64)| ((p.0 / 24.0).floor() as i64, (p.1 / 14.0).floor() as i64);
        let mut unnumbered = 0_usize;
        for spot in self.spots.iter().filter(|s| sound(&s.at)) {
            let place = at(spot.at);
            let kind = Self::look_of(spot.kind);
            canvas.marker(place, kind.marker, look.marker * 1.25, kind.colour);
            let text = spot.number.to_string();
            let kind = Type::new(look.note).weight(Weight::Bold).colour(INK);
            let words = measure::width(&text, look.note, Weight::Bold);
            let gap = look.marker * 1.25 + 2.0;
            let beside = [
                (place.0 + gap, place.1 + MIDDLE * look.note),
                (place.0 - gap - words, place.1 + MIDDLE * look.note),
                (place.0 - words / 2.0, place.1 - gap - 2.0),
                (place.0 - words / 2.0, place.1 + gap + look.note),
            ];
            let free = beside.into_iter().find(|(x, baseline)| {
                let corner = cell((*x, *baseline));
                *x >= look.margin / 2.0
                    && x + words <= width - look.margin / 2.0
                    && (0..=1).all(|dx| {
                        (0..=1).all(|dy| !cells.contains(&(corner.0 + dx, corner.1 - dy)))
                    })
            });
            match free {
                Some((x, baseline)) => {
                    cells.insert(cell((x, baseline)));
                    cells.insert(cell((x + words, baseline)));
                    canvas.words_on_patch(x, baseline, &text, kind);
                    if taken.len() < 400 {
                        taken.push(Rect {
                            left: x,
                            top: baseline - look.note,
                            right: x + words,
                            bottom: baseline + 2.0,
                        });
                    }
                }
                None => unnumbered += 1,
            }
        }
        for outline in &self.outlines {
            let points: Vec<(f64, f64)> = outline
                .corners
                .iter()
                .filter(|p| sound(p))
                .map(|p| at(*p))
                .collect();
            let (Some(across), Some(down)) = (
                extent(points.iter().map(|p| p.0)),
                extent(points.iter().map(|p| p.1)),
            ) else {
                continue;
            };
            let name = measure::fit(
                &outline.name,
                look.label,
                Weight::Bold,
                (across.1 - across.0 - 12.0).max(0.0),
            );
            let words = measure::width(&name, look.label, Weight::Bold);
            // At the top left, else lower, wherever no number stands.
            let baseline = (0..)
                .map(|step| down.0 + look.label * (1.3 + 0.5 * f64::from(step)))
                .take_while(|baseline| *baseline < down.1 - 4.0)
                .take(60)
                .find(|baseline| {
                    let area = Rect {
                        left: across.0 + 6.0,
                        top: baseline - look.label,
                        right: across.0 + 6.0 + words,
                        bottom: baseline + 3.0,
                    };
                    taken.iter().all(|other| !other.meets(&area))
                });
            if let Some(baseline) = baseline {
                canvas.words(
                    across.0 + 6.0,
                    baseline,
                    &name,
                    Type::new(look.label).weight(Weight::Bold).colour(SOFT_INK),
                );
            }
        }
        // Bar of the scale.
        let length = axis::nice_step(xs.1 - xs.0, 5.0);
        let bar_top = plan_top + drawn.1 + EDGE + 10.0;
        let start = look.margin;
        let end = start + length * scale;
        canvas.line((start, bar_top), (end, bar_top), Stroke::solid(INK, 1.6));
        for x in [start, end] {
            canvas.line(
                (x, bar_top - 4.0),
                (x, bar_top + 4.0),
                Stroke::solid(INK, 1.6),
            );
        }
        let label = format!("{} {}", axis::number(length, length), self.unit);
        canvas.words(
            end + 8.0,
            bar_top + MIDDLE * look.tick,
            &label,
            Type::new(look.tick).colour(SOFT_INK).anchor(Anchor::Start),
        );
        let legend_top = bar_top + 14.0;
        legend.draw(&mut canvas, look.margin, legend_top, &look);
        let mut notes = self.footer.clone();
        if unnumbered > 0 {
            notes.push(format!(
                "{unnumbered} numbers are left out where they would lie over others."
            ));
        }
        let footer = frame::footer(&notes, &look, room);
        let footer_top = legend_top + legend.height() + 10.0;
        footer.draw(&mut canvas, look.margin, footer_top);
        let height = footer_top + footer.height() + look.margin * 0.8 + LEADING;
        canvas.finish(width, height, &measure::clean(&self.title))
    }
}
