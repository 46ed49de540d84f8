//! Writes SVG: the only place that knows its syntax. `backend.rs` makes a drawing backend of plotters of it.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::labels::Rect;
use super::measure::{self, Weight};
use super::style::{ASCENT, Colour, DESCENT, GROUND, Hatch, INK, Marker};

/// Which point of the words stands at `x`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Anchor {
    /// Left end.
    Start,
    /// Middle.
    Middle,
    /// Right end.
    End,
}

/// How words look.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Type {
    pub(crate) size: f64,
    pub(crate) weight: Weight,
    pub(crate) colour: Colour,
    pub(crate) anchor: Anchor,
}

impl Type {
    /// Regular dark words from the left.
    pub(crate) fn new(size: f64) -> Type {
        Type {
            size,
            weight: Weight::Regular,
            colour: INK,
            anchor: Anchor::Start,
        }
    }

    /// In this colour.
    pub(crate) fn colour(mut self, colour: Colour) -> Type {
        self.colour = colour;
        self
    }

    /// In this weight.
    pub(crate) fn weight(mut self, weight: Weight) -> Type {
        self.weight = weight;
        self
    }

    /// Anchored here.
    pub(crate) fn anchor(mut self, anchor: Anchor) -> Type {
        self.anchor = anchor;
        self
    }
}

/// How a line looks.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stroke {
    pub(crate) colour: Colour,
    pub(crate) width: f64,
    pub(crate) dash: &'static [f64],
}

impl Stroke {
    /// Unbroken line.
    pub(crate) fn solid(colour: Colour, width: f64) -> Stroke {
        Stroke {
            colour,
            width,
            dash: &[],
        }
    }
}

/// How an area is filled: evenly, or with a texture on a ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Fill {
    hatch: Hatch,
    colour: Colour,
    ground: Colour,
}

impl Fill {
    /// One colour.
    pub(crate) fn even(colour: Colour) -> Fill {
        Fill::hatched(Hatch::Plain, colour, colour)
    }

    /// Lines or dots of a colour on a ground.
    pub(crate) fn hatched(hatch: Hatch, colour: Colour, ground: Colour) -> Fill {
        Fill {
            hatch,
            colour,
            ground,
        }
    }

    /// What the canvas fills with.
    pub(crate) fn paint(self, canvas: &mut Canvas) -> String {
        canvas.texture(self.hatch, self.colour, self.ground)
    }
}

/// Fonts in order of wish. The first carries the widths; the others are narrower, so nothing grows beyond its room.
const FONT_STACK: &str = "'DejaVu Sans Condensed', 'Segoe UI', 'Helvetica Neue', Helvetica, Arial, 'Noto Sans', sans-serif";

/// A chart keeps its colours where a browser turns pages dark or saves ink, and its page where it prints.
const STYLE: &str =
    "color-scheme:only light;forced-color-adjust:none;print-color-adjust:exact;break-inside:avoid";

/// Opacity of the patch behind words: a line behind it fades but can still be followed.
const PATCH: f64 = 0.88;

/// A drawing in the making.
#[derive(Debug, Default)]
pub(crate) struct Canvas {
    /// Width and height in pixels, where they are known before the end.
    pub(crate) size: (f64, f64),
    body: String,
    /// Textures by a name made from their content, so that two charts on one page may repeat it.
    textures: BTreeMap<String, String>,
}

impl Canvas {
    /// A drawing of this size.
    pub(crate) fn sized(width: f64, height: f64) -> Canvas {
        Canvas {
            size: (width, height),
            ..Canvas::default()
        }
    }

    /// Straight line.
    pub(crate) fn line(&mut self, from: (f64, f64), to: (f64, f64), stroke: Stroke) {
        let _ = write!(
            self.body,
            "<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"",
            Num(from.0),
            Num(from.1),
            Num(to.0),
            Num(to.1)
        );
        self.stroke(stroke);
        self.body.push_str("/>\n");
    }

    /// Open line through points.
    pub(crate) fn polyline(&mut self, points: &[(f64, f64)], stroke: Stroke) {
        if points.len() < 2 {
            return;
        }
        self.body
            .push_str("<polyline fill=\"none\" stroke-linejoin=\"round\" points=\"");
        self.points(points);
        self.body.push('"');
        self.stroke(stroke);
        self.body.push_str("/>\n");
    }

    /// Filled area without an edge.
    pub(crate) fn polygon(&mut self, points: &[(f64, f64)], fill: &str, opacity: f64) {
        if points.len() < 3 {
            return;
        }
        self.body.push_str("<polygon points=\"");
        self.points(points);
        let _ = write!(self.body, "\" fill=\"{fill}\"");
        if opacity < 1.0 {
            let _ = write!(self.body, " fill-opacity=\"{}\"", Num(opacity));
        }
        self.body.push_str("/>\n");
    }

    /// Rectangle with a fill (a colour or a texture) and perhaps an edge.
    pub(crate) fn rect(&mut self, area: Rect, fill: &str, opacity: f64, edge: Option<Stroke>) {
        let _ = write!(
            self.body,
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{fill}\"",
            Num(area.left),
            Num(area.top),
            Num(area.width().max(0.0)),
            Num(area.height().max(0.0))
        );
        if opacity < 1.0 {
            let _ = write!(self.body, " fill-opacity=\"{}\"", Num(opacity));
        }
        if let Some(stroke) = edge {
            self.stroke(stroke);
        }
        self.body.push_str("/>\n");
    }

    /// Point of a series: filled with a thin white rim so that it stands off its line, or open.
    pub(crate) fn marker(&mut self, (x, y): (f64, f64), marker: Marker, half: f64, colour: Colour) {
        let (fill, edge, width) = if marker.is_open() {
            (GROUND.hex(), colour, 1.6)
        } else {
            (colour.hex(), GROUND, 1.0)
        };
        let edge = edge.hex();
        let (h, tall, flat) = (half * 0.9, half * 1.25, half * 0.55);
        let corners: &[(f64, f64)] = match marker {
            Marker::Circle | Marker::Ring => {
                let _ = writeln!(
                    self.body,
                    "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"{fill}\" stroke=\"{edge}\" stroke-width=\"{width}\"/>",
                    Num(x),
                    Num(y),
                    Num(half * if marker == Marker::Ring { 0.9 } else { 1.0 })
                );
                return;
            }
            Marker::Cross | Marker::Plus => {
                let arms = if marker == Marker::Cross {
                    [(-half, -half), (half, half), (-half, half), (half, -half)]
                } else {
                    [(-tall, 0.0), (tall, 0.0), (0.0, -tall), (0.0, tall)]
                };
                for arm in arms.chunks(2) {
                    let end = |i: usize| (x + arm[i].0, y + arm[i].1);
                    self.line(end(0), end(1), Stroke::solid(colour, 2.0));
                }
                return;
            }
            Marker::Square | Marker::OpenSquare => &[(-h, -h), (h, -h), (h, h), (-h, h)],
            Marker::Triangle | Marker::OpenTriangle => &[(0.0, -tall), (tall, half), (-tall, half)],
            Marker::TriangleDown => &[(0.0, tall), (tall, -half), (-tall, -half)],
            Marker::Diamond | Marker::OpenDiamond => {
                &[(0.0, -tall), (tall, 0.0), (0.0, tall), (-tall, 0.0)]
            }
            Marker::Onward => &[(-half, -tall), (tall, 0.0), (-half, tall)],
            Marker::Bar => &[(-tall, -flat), (tall, -flat), (tall, flat), (-tall, flat)],
        };
        self.body.push_str("<path d=\"");
        for (index, (dx, dy)) in corners.iter().enumerate() {
            let command = if index == 0 { 'M' } else { 'L' };
            let _ = write!(self.body, "{command}{} {}", Num(x + dx), Num(y + dy));
        }
        let _ = writeln!(
            self.body,
            "Z\" fill=\"{fill}\" stroke=\"{edge}\" stroke-width=\"{width}\"/>"
        );
    }

    /// One line of words on a baseline.
    pub(crate) fn words(&mut self, x: f64, baseline: f64, text: &str, kind: Type) {
        if text.is_empty() {
            return;
        }
        let anchor = match kind.anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let _ = write!(
            self.body,
            "<text x=\"{}\" y=\"{}\" font-size=\"{}\" text-anchor=\"{anchor}\" fill=\"{}\"",
            Num(x),
            Num(baseline),
            Num(kind.size),
            kind.colour.hex()
        );
        if kind.weight == Weight::Bold {
            self.body.push_str(" font-weight=\"700\"");
        }
        self.body.push('>');
        escape(&mut self.body, text);
        self.body.push_str("</text>\n");
    }

    /// Words on a nearly opaque white patch, where lines may run behind.
    pub(crate) fn words_on_patch(&mut self, x: f64, baseline: f64, text: &str, kind: Type) {
        if text.is_empty() {
            return;
        }
        let area = words_area(x, baseline, text, kind).grown(2.0, 0.0);
        self.rect(area, &GROUND.hex(), PATCH, None);
        self.words(x, baseline, text, kind);
    }

    /// Fill for an area: a tint of the colour with its texture.
    fn texture(&mut self, hatch: Hatch, colour: Colour, ground: Colour) -> String {
        let lines = match hatch {
            Hatch::Plain => return ground.hex(),
            Hatch::Rising => "M-2 2L2 -2M0 8L8 0M6 10L10 6",
            Hatch::Falling => "M-2 6L2 10M0 0L8 8M6 -2L10 2",
            Hatch::Level => "M0 4L8 4",
            Hatch::Upright => "M4 0L4 8",
            Hatch::Crossed => "M-2 2L2 -2M0 8L8 0M6 10L10 6M-2 6L2 10M0 0L8 8M6 -2L10 2",
            Hatch::Dots => "M2 2L2.01 2M6 6L6.01 6",
        };
        let width = if hatch == Hatch::Dots { "2.2" } else { "1.2" };
        let name = format!(
            "fill-{hatch:?}-{}-{}",
            &colour.hex()[1..],
            &ground.hex()[1..]
        )
        .to_lowercase();
        let content = format!(
            "<pattern id=\"{name}\" width=\"8\" height=\"8\" patternUnits=\"userSpaceOnUse\">\
             <rect width=\"8\" height=\"8\" fill=\"{}\"/><path d=\"{lines}\" fill=\"none\" stroke=\"{}\" \
             stroke-width=\"{width}\" stroke-linecap=\"round\"/></pattern>\n",
            ground.hex(),
            colour.hex()
        );
        let fill = format!("url(#{name})");
        self.textures.insert(name, content);
        fill
    }

    /// The finished picture; `title` is read out by screen readers.
    pub(crate) fn finish(self, width: f64, height: f64, title: &str) -> String {
        let mut out = String::with_capacity(self.body.len() + 600);
        let _ = write!(
            out,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}\" height=\"{h}\" viewBox=\"0 0 {w} {h}\" \
             font-family=\"{FONT_STACK}\" style=\"{STYLE}\" role=\"img\" aria-label=\"",
            w = Num(width),
            h = Num(height)
        );
        escape(&mut out, title);
        out.push_str("\">\n");
        if !self.textures.is_empty() {
            out.push_str("<defs>\n");
            self.textures
                .values()
                .for_each(|texture| out.push_str(texture));
            out.push_str("</defs>\n");
        }
        let _ = writeln!(
            out,
            "<rect width=\"{}\" height=\"{}\" fill=\"{}\"/>",
            Num(width),
            Num(height),
            GROUND.hex()
        );
        out.push_str(&self.body);
        out.push_str("</svg>\n");
        out
    }

    fn points(&mut self, points: &[(f64, f64)]) {
        for (index, (x, y)) in points.iter().enumerate() {
            let gap = if index == 0 { "" } else { " " };
            let _ = write!(self.body, "{gap}{},{}", Num(*x), Num(*y));
        }
    }

    fn stroke(&mut self, stroke: Stroke) {
        let _ = write!(
            self.body,
            " stroke=\"{}\" stroke-width=\"{}\"",
            stroke.colour.hex(),
            Num(stroke.width)
        );
        if !stroke.dash.is_empty() {
            self.body.push_str(" stroke-dasharray=\"");
            for (index, part) in stroke.dash.iter().enumerate() {
                let gap = if index == 0 { "" } else { " " };
                let _ = write!(self.body, "{gap}{}", Num(*part));
            }
            self.body.push('"');
        }
    }
}

/// Room that words take.
pub(crate) fn words_area(x: f64, baseline: f64, text: &str, kind: Type) -> Rect {
    let width = measure::width(text, kind.size, kind.weight);
    let left = match kind.anchor {
        Anchor::Start => x,
        Anchor::Middle => x - width / 2.0,
        Anchor::End => x - width,
    };
    Rect {
        left,
        top: baseline - ASCENT * kind.size,
        right: left + width,
        bottom: baseline + DESCENT * kind.size,
    }
}

/// A coordinate with two decimals at most. Coordinates are finite by construction; zero keeps a slip from breaking the file.
#[derive(Clone, Copy)]
struct Num(f64);

impl std::fmt::Display for Num {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        debug_assert!(self.0.is_finite(), "a coordinate must be finite");
        let hundredths = if self.0.is_finite() {
            (self.0 * 100.0).round()
        } else {
            0.0
        };
        // Adding zero turns -0 into 0.
        write!(out, "{}", hundredths / 100.0 + 0.0)
    }
}

/// Words as XML character data, valid in attributes too; signs that XML 1.0 forbids are left out.
pub(crate) fn escape(out: &mut String, text: &str) {
    for c in text.chars() {
        match c {
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '&' => out.push_str("&amp;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&apos;"),
            '\u{FFFE}' | '\u{FFFF}' => {}
            c if c.is_control() => {}
            c => out.push(c),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn coordinates_are_short_and_plain() {
        assert_eq!(Num(1.005_6).to_string(), "1.01");
        assert_eq!(Num(-0.0).to_string(), "0");
        assert_eq!(Num(120.0).to_string(), "120");
    }

    #[test]
    fn escape_leaves_no_markup() {
        let mut out = String::new();
        escape(&mut out, "<a href='x'>&\"\u{1}");
        assert_eq!(out, "&lt;a href=&apos;x&apos;&gt;&amp;&quot;");
    }
}
