//! The canvas as a drawing backend of plotters: what plotters draws (grid, ticks, axis lines, their words) comes in here.
//!
//! Coordinates of plotters are whole numbers, so a pixel is cut into [`UNITS`] of them. Elements of our own get the
//! canvas itself and draw dashes, textures and patches on it, which the calls of plotters do not have.

use std::convert::Infallible;

use plotters_backend::text_anchor::{HPos, VPos};
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind,
    FontStyle,
};

use super::canvas::{Anchor, Canvas, Stroke, Type};
use super::measure::{self, Weight};
use super::style::{ASCENT, Colour, DESCENT, LEADING, MIDDLE};

/// Units of plotters in a pixel: rounding stays below what SVG files write down.
const UNITS: f64 = 64.0;
/// Words of plotters come no nearer to the left and right edge of a drawing [px].
pub(crate) const EDGE: f64 = 6.0;

type Drawn = Result<(), DrawingErrorKind<Infallible>>;

/// Pixels in units of plotters.
pub(crate) fn units(pixels: f64) -> i32 {
    // A cast of too much gives the largest number there is, far outside of any drawing.
    (pixels * UNITS).round() as i32
}

/// A place of plotters in pixels.
pub(crate) fn pixels((x, y): BackendCoord) -> (f64, f64) {
    (f64::from(x) / UNITS, f64::from(y) / UNITS)
}

fn colour(of: BackendColor) -> Colour {
    let (r, g, b) = of.rgb;
    Colour(r, g, b)
}

fn seen(style: &impl BackendStyle) -> bool {
    style.color().alpha > 0.0
}

fn stroke(style: &impl BackendStyle) -> Stroke {
    Stroke::solid(
        colour(style.color()),
        f64::from(style.stroke_width()) / UNITS,
    )
}

impl DrawingBackend for Canvas {
    type ErrorType = Infallible;

    fn get_size(&self) -> (u32, u32) {
        let side = |pixels: f64| units(pixels).unsigned_abs();
        (side(self.size.0), side(self.size.1))
    }

    fn ensure_prepared(&mut self) -> Drawn {
        Ok(())
    }

    fn present(&mut self) -> Drawn {
        Ok(())
    }

    fn draw_pixel(&mut self, point: BackendCoord, color: BackendColor) -> Drawn {
        let (x, y) = pixels(point);
        self.line(
            (x, y),
            (x + 1.0 / UNITS, y),
            Stroke::solid(colour(color), 1.0 / UNITS),
        );
        Ok(())
    }

    fn draw_line<S: BackendStyle>(
        &mut self,
        from: BackendCoord,
        to: BackendCoord,
        style: &S,
    ) -> Drawn {
        if seen(style) {
            self.line(pixels(from), pixels(to), stroke(style));
        }
        Ok(())
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        if seen(style) {
            let points: Vec<(f64, f64)> = path.into_iter().map(pixels).collect();
            self.polyline(&points, stroke(style));
        }
        Ok(())
    }

    /// Words of an axis: rows at line breaks, and none beyond the edge of the drawing.
    fn draw_text<T: BackendTextStyle>(&mut self, text: &str, style: &T, at: BackendCoord) -> Drawn {
        let size = style.size();
        let weight = match style.style() {
            FontStyle::Bold => Weight::Bold,
            _ => Weight::Regular,
        };
        let rows: Vec<&str> = text.split('\n').collect();
        let height = (rows.len() as f64 - 1.0) * LEADING * size;
        let (x, y) = pixels(at);
        let first = match style.anchor().v_pos {
            VPos::Top => y + ASCENT * size,
            VPos::Center => y + MIDDLE * size - height / 2.0,
            VPos::Bottom => y - DESCENT * size - height,
        };
        for (row, words) in rows.into_iter().enumerate() {
            let wide = measure::width(words, size, weight);
            let start = match style.anchor().h_pos {
                HPos::Left => x,
                HPos::Center => x - wide / 2.0,
                HPos::Right => x - wide,
            };
            let kind = Type::new(size)
                .weight(weight)
                .colour(colour(style.color()))
                .anchor(Anchor::Start);
            self.words(
                inside(start, wide, self.size.0),
                first + row as f64 * LEADING * size,
                words,
                kind,
            );
        }
        Ok(())
    }

    fn estimate_text_size<T: BackendTextStyle>(
        &self,
        text: &str,
        style: &T,
    ) -> Result<(u32, u32), DrawingErrorKind<Infallible>> {
        let size = style.size();
        let rows = text.split('\n').count() as f64;
        let wide = text
            .split('\n')
            .map(|row| measure::width(row, size, Weight::Regular))
            .fold(0.0, f64::max);
        Ok((
            units(wide).unsigned_abs(),
            units(rows * LEADING * size).unsigned_abs(),
        ))
    }
}

/// Left end of words in a drawing of this width: as wished, or moved in from the edge.
pub(crate) fn inside(start: f64, wide: f64, width: f64) -> f64 {
    start.clamp(EDGE, (width - EDGE - wide).max(EDGE))
}
