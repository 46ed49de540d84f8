//! What we draw in charts of plotters: lines with dashes, textured areas and bars, markers, words on patches.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::element::{Drawable, PointCollection};
use plotters_backend::{BackendCoord, DrawingErrorKind};
use std::convert::Infallible;

use super::backend::pixels;
use super::canvas::{Canvas, Fill, Stroke, Type};
use super::geometry::{clip_area, clip_line, runs, thin};
use super::labels::Rect;
use super::style::{Colour, Marker};

/// A part of a drawing, without axes.
pub(crate) type Area = DrawingArea<Canvas, Shift>;

/// How the points of an element are drawn.
#[derive(Debug, Clone)]
pub(crate) enum Ink {
    /// A line through all.
    Line(Stroke),
    /// The area that they enclose, and its opacity.
    Area(Fill, f64),
    /// A marker at each, with half its size.
    Marker(Marker, f64, Colour),
    /// A bar from the first to the second point, half as high as this and never shorter than `least` pixels.
    Bar {
        /// Half its height in pixels.
        half: f64,
        /// Least length in pixels.
        least: f64,
        /// Its fill.
        fill: Fill,
        /// Its edge.
        edge: Option<Stroke>,
    },
    /// An upright bar from the first to the second point, half as wide as this, and never lower than a line.
    Tag(f64, Fill, Option<Stroke>),
    /// A cell with these two corners, grown by some pixels on each side.
    Cell(Fill, Option<Stroke>, f64),
    /// Words, shifted by some pixels from the point; on a patch if lines may run behind.
    Words {
        /// What they say.
        text: String,
        /// How they look.
        kind: Type,
        /// Right and down.
        shift: (f64, f64),
        /// On a patch.
        patch: bool,
    },
}

/// Points in the units of the axes, and how they are drawn.
#[derive(Debug, Clone)]
pub(crate) struct Element {
    pub(crate) points: Vec<(f64, f64)>,
    pub(crate) ink: Ink,
}

impl Element {
    pub(crate) fn new(points: impl Into<Vec<(f64, f64)>>, ink: Ink) -> Element {
        Element {
            points: points.into(),
            ink,
        }
    }

    /// Lines through points, with gaps where one is missing, cut at the ends of the axes (a rectangle of low and high
    /// values): what plotters gets beyond them it would push onto the edge.
    pub(crate) fn lines(points: &[(f64, f64)], ends: &Rect, stroke: Stroke) -> Vec<Element> {
        runs(points)
            .iter()
            .flat_map(|run| clip_line(run, ends))
            .map(|part| Element::new(part, Ink::Line(stroke)))
            .collect()
    }

    /// An area cut at the ends of the axes.
    pub(crate) fn area(outline: &[(f64, f64)], ends: &Rect, fill: Fill, opacity: f64) -> Element {
        Element::new(clip_area(outline, ends), Ink::Area(fill, opacity))
    }

    /// Markers at those points that lie within the ends of the axes.
    pub(crate) fn markers(
        points: impl IntoIterator<Item = (f64, f64)>,
        ends: &Rect,
        (marker, half, colour): (Marker, f64, Colour),
    ) -> Element {
        let slack = (ends.width() * 1e-9, ends.height() * 1e-9);
        let room = ends.grown(slack.0, slack.1);
        let points: Vec<(f64, f64)> = points.into_iter().filter(|&p| room.holds(p)).collect();
        Element::new(points, Ink::Marker(marker, half, colour))
    }
}

impl<'a> PointCollection<'a, (f64, f64)> for &'a Element {
    type Point = &'a (f64, f64);
    type IntoIter = std::slice::Iter<'a, (f64, f64)>;

    fn point_iter(self) -> Self::IntoIter {
        self.points.iter()
    }
}

impl Drawable<Canvas> for Element {
    fn draw<I: Iterator<Item = BackendCoord>>(
        &self,
        places: I,
        canvas: &mut Canvas,
        _: (u32, u32),
    ) -> Result<(), DrawingErrorKind<Infallible>> {
        let at: Vec<(f64, f64)> = places.map(pixels).collect();
        match &self.ink {
            Ink::Line(stroke) => canvas.polyline(&thin(&at), *stroke),
            Ink::Area(fill, opacity) => {
                let paint = fill.paint(canvas);
                canvas.polygon(&thin(&at), &paint, *opacity);
            }
            Ink::Marker(marker, half, colour) => {
                // Markers that cover each other add nothing but bytes.
                let mut seen = std::collections::HashSet::new();
                for (x, y) in at {
                    if seen.insert(((x / 1.5).round() as i64, (y / 1.5).round() as i64)) {
                        canvas.marker((x, y), *marker, *half, *colour);
                    }
                }
            }
            Ink::Bar {
                half,
                least,
                fill,
                edge,
            } => {
                if let [from, to] = at[..] {
                    let area = Rect {
                        left: from.0.min(to.0),
                        top: from.1 - half,
                        right: from.0.max(to.0).max(from.0.min(to.0) + least),
                        bottom: from.1 + half,
                    };
                    let paint = fill.paint(canvas);
                    canvas.rect(area, &paint, 1.0, *edge);
                }
            }
            Ink::Tag(half, fill, edge) => {
                if let [from, to] = at[..] {
                    let middle = f64::midpoint(from.1, to.1);
                    let tall = ((from.1 - to.1).abs() / 2.0).max(1.5);
                    let area = Rect {
                        left: from.0 - half,
                        top: middle - tall,
                        right: from.0 + half,
                        bottom: middle + tall,
                    };
                    let paint = fill.paint(canvas);
                    canvas.rect(area, &paint, 1.0, *edge);
                }
            }
            Ink::Cell(fill, edge, grown) => {
                if let [a, b] = at[..] {
                    let area = Rect {
                        left: a.0.min(b.0),
                        top: a.1.min(b.1),
                        right: a.0.max(b.0),
                        bottom: a.1.max(b.1),
                    };
                    let paint = fill.paint(canvas);
                    canvas.rect(area.grown(*grown, *grown), &paint, 1.0, *edge);
                }
            }
            Ink::Words {
                text,
                kind,
                shift,
                patch,
            } => {
                for (x, y) in at {
                    let (x, y) = (x + shift.0, y + shift.1);
                    if *patch {
                        canvas.words_on_patch(x, y, text, *kind);
                    } else {
                        canvas.words(x, y, text, *kind);
                    }
                }
            }
        }
        Ok(())
    }
}

/// What we laid out ourselves, drawn with the upper left corner of its area in pixels.
struct Placed<F: Fn(&mut Canvas, (f64, f64))>(F);

impl<'a, F: Fn(&mut Canvas, (f64, f64))> PointCollection<'a, (i32, i32)> for &'a Placed<F> {
    type Point = (i32, i32);
    type IntoIter = std::iter::Once<(i32, i32)>;

    fn point_iter(self) -> Self::IntoIter {
        std::iter::once((0, 0))
    }
}

impl<F: Fn(&mut Canvas, (f64, f64))> Drawable<Canvas> for Placed<F> {
    fn draw<I: Iterator<Item = BackendCoord>>(
        &self,
        places: I,
        canvas: &mut Canvas,
        _: (u32, u32),
    ) -> Result<(), DrawingErrorKind<Infallible>> {
        places.for_each(|at| (self.0)(canvas, pixels(at)));
        Ok(())
    }
}

/// Draws what we laid out ourselves into an area.
pub(crate) fn place(area: &Area, draw: impl Fn(&mut Canvas, (f64, f64))) {
    sure(area.draw(&Placed(draw)));
}

/// The backend never fails, and no two parts draw at the same time: there is no fault to report.
pub(crate) fn sure<T, E: std::fmt::Debug>(drawn: Result<T, E>) -> Option<T> {
    debug_assert!(drawn.is_ok(), "{:?}", drawn.err());
    drawn.ok()
}
