//! The one look of every chart: colours, sizes, dashes, markers.
//!
//! Hues are those of Okabe and Ito (Color Universal Design, 2008, an open published palette), without its yellow,
//! which vanishes on white. Colour never stands alone: each series also has its own dash and marker.
//! Contrast follows the relative-luminance formula of WCAG 2.1 (W3C Recommendation, 2018).

/// One sRGB colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Colour(pub(crate) u8, pub(crate) u8, pub(crate) u8);

/// White ground of every chart.
pub(crate) const GROUND: Colour = Colour(255, 255, 255);
/// Words on coloured cells.
const BLACK: Colour = Colour(0, 0, 0);
/// Dark grey of titles, labels and limits.
pub(crate) const INK: Colour = Colour(38, 42, 46);
/// Grey of second-rank words; 6:1 on white.
pub(crate) const SOFT_INK: Colour = Colour(86, 93, 101);
/// Grid lines: seen, never read.
pub(crate) const GRID: Colour = Colour(224, 228, 231);
/// Axis lines and ticks.
pub(crate) const AXIS: Colour = Colour(140, 147, 154);
/// Cells and bars without a value.
pub(crate) const BLANK: Colour = Colour(242, 243, 245);
/// Lowest contrast of words on white: WCAG 2.1 success criterion 1.4.3 asks for 4.5 to 1.
pub(crate) const WORD_CONTRAST: f64 = 4.5;

/// More contrast for words that may stand on a tint.
const ON_TINT: f64 = 0.6;

/// Hues in the order in which series take them; neighbours differ in lightness too.
pub(crate) const HUES: [Colour; 7] = [
    Colour(0, 114, 178),
    Colour(213, 94, 0),
    Colour(0, 158, 115),
    Colour(204, 121, 167),
    Colour(86, 180, 233),
    Colour(230, 159, 0),
    Colour(74, 80, 88),
];

/// Dash patterns; eight against seven hues and seven markers, so pairs repeat only after 56 series.
const DASHES: [&[f64]; 8] = [
    &[],
    &[8.0, 4.0],
    &[2.5, 3.0],
    &[11.0, 3.0, 2.5, 3.0],
    &[15.0, 4.0],
    &[5.0, 2.5],
    &[8.0, 3.0, 2.0, 3.0, 2.0, 3.0],
    &[1.5, 5.0],
];

/// Dash of limit lines, kept apart from those of the series.
pub(crate) const LIMIT_DASH: &[f64] = &[5.0, 4.0];

/// Shape of a point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Marker {
    /// Filled circle.
    Circle,
    /// Filled square.
    Square,
    /// Triangle, point up.
    Triangle,
    /// Diamond.
    Diamond,
    /// Triangle, point down.
    TriangleDown,
    /// Open circle.
    Ring,
    /// Diagonal cross.
    Cross,
    /// Upright cross.
    Plus,
    /// Open square.
    OpenSquare,
    /// Open triangle, point up.
    OpenTriangle,
    /// Open diamond.
    OpenDiamond,
    /// Level bar.
    Bar,
    /// Triangle, point to the right: it goes on beyond the axis.
    Onward,
}

impl Marker {
    /// Whether it has an edge and no fill.
    pub(crate) fn is_open(self) -> bool {
        use Marker::{OpenDiamond, OpenSquare, OpenTriangle, Ring};
        matches!(self, Ring | OpenSquare | OpenTriangle | OpenDiamond)
    }
}

/// Markers of series.
const MARKERS: [Marker; 7] = [
    Marker::Circle,
    Marker::Square,
    Marker::Triangle,
    Marker::Diamond,
    Marker::TriangleDown,
    Marker::Ring,
    Marker::Cross,
];

/// Signs that differ without colour, one for each kind of finding on a floor, and one over.
pub(crate) const SIGNS: [Marker; 12] = [
    Marker::Circle,
    Marker::Square,
    Marker::Triangle,
    Marker::Diamond,
    Marker::TriangleDown,
    Marker::Ring,
    Marker::Cross,
    Marker::Plus,
    Marker::OpenSquare,
    Marker::OpenTriangle,
    Marker::OpenDiamond,
    Marker::Bar,
];

/// Fill texture, so that areas differ without colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Hatch {
    /// Even tint.
    Plain,
    /// Lines rising to the right.
    Rising,
    /// Dots.
    Dots,
    /// Lines falling to the right.
    Falling,
    /// Level lines.
    Level,
    /// Upright lines.
    Upright,
    /// Both diagonals.
    Crossed,
}

const HATCHES: [Hatch; 7] = [
    Hatch::Plain,
    Hatch::Rising,
    Hatch::Dots,
    Hatch::Falling,
    Hatch::Level,
    Hatch::Upright,
    Hatch::Crossed,
];

/// How one series looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SeriesLook {
    pub(crate) colour: Colour,
    pub(crate) words: Colour,
    pub(crate) dash: &'static [f64],
    pub(crate) marker: Marker,
    pub(crate) hatch: Hatch,
}

/// Look of the series at this place in its chart.
pub(crate) fn series_look(index: usize) -> SeriesLook {
    let colour = HUES[index % HUES.len()];
    SeriesLook {
        colour,
        words: colour.readable(),
        dash: DASHES[index % DASHES.len()],
        marker: MARKERS[index % MARKERS.len()],
        hatch: HATCHES[index % HATCHES.len()],
    }
}

impl Colour {
    /// `#rrggbb`.
    pub(crate) fn hex(self) -> String {
        format!("#{:02x}{:02x}{:02x}", self.0, self.1, self.2)
    }

    /// Part `share` (0..1) of the way to `other`.
    pub(crate) fn toward(self, other: Colour, share: f64) -> Colour {
        let share = share.clamp(0.0, 1.0);
        let blend =
            |a: u8, b: u8| (f64::from(a) + (f64::from(b) - f64::from(a)) * share).round() as u8;
        Colour(
            blend(self.0, other.0),
            blend(self.1, other.1),
            blend(self.2, other.2),
        )
    }

    /// Relative luminance, WCAG 2.1.
    fn luminance(self) -> f64 {
        let linear = |channel: u8| {
            let c = f64::from(channel) / 255.0;
            if c <= 0.039_28 {
                c / 12.92
            } else {
                ((c + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * linear(self.0) + 0.7152 * linear(self.1) + 0.0722 * linear(self.2)
    }

    /// Contrast ratio, WCAG 2.1.
    pub(crate) fn contrast(self, other: Colour) -> f64 {
        let (a, b) = (self.luminance(), other.luminance());
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    /// The same hue, dark enough for words on white, and on a tint that shines through their patch.
    pub(crate) fn readable(self) -> Colour {
        (0..=20)
            .map(|step| self.toward(INK, f64::from(step) / 20.0))
            .find(|colour| colour.contrast(GROUND) >= WORD_CONTRAST + ON_TINT)
            .unwrap_or(INK)
    }

    /// Black or white words, whichever reads better on this colour. Black and not the dark grey of other words: the
    /// better of black and white never falls below the square root of 21, 4.58; with the grey it could be 3.8.
    pub(crate) fn words_on(self) -> Colour {
        if self.contrast(BLACK) >= self.contrast(GROUND) {
            BLACK
        } else {
            GROUND
        }
    }
}

/// Blue for low, orange for high, near white between: both ends stay apart in every common kind of colour blindness.
/// `place` runs from -1 to 1.
pub(crate) fn diverging(place: f64) -> Colour {
    const LOW: [Colour; 3] = [
        Colour(247, 247, 247),
        Colour(103, 169, 207),
        Colour(5, 84, 138),
    ];
    const HIGH: [Colour; 3] = [
        Colour(247, 247, 247),
        Colour(240, 152, 70),
        Colour(160, 62, 0),
    ];
    let stops = if place < 0.0 { LOW } else { HIGH };
    let far = place.abs().clamp(0.0, 1.0) * 2.0;
    if far <= 1.0 {
        stops[0].toward(stops[1], far)
    } else {
        stops[1].toward(stops[2], far - 1.0)
    }
}

/// Sizes in pixels for one layout.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Look {
    /// Phone width: labels go below the chart.
    pub(crate) narrow: bool,
    /// Free edge around everything.
    pub(crate) margin: f64,
    /// Title.
    pub(crate) title: f64,
    /// Subtitle.
    pub(crate) subtitle: f64,
    /// Labels of series, limits and bars.
    pub(crate) label: f64,
    /// Ticks and axis names.
    pub(crate) tick: f64,
    /// Footer.
    pub(crate) note: f64,
    /// Common line.
    pub(crate) line: f64,
    /// Emphasised line.
    pub(crate) strong_line: f64,
    /// Half the size of a marker.
    pub(crate) marker: f64,
}

/// Smallest type [px]: 7 points on paper, where a wide chart of 760 px fills the 499 points between the margins of A4.
pub(crate) const LEAST_TYPE: f64 = 10.7;
/// Below this width the narrow layout is used: between a phone held upright (about 380) and a page column (760).
const NARROW_BELOW: f64 = 560.0;

impl Look {
    /// Sizes for a chart this wide.
    pub(crate) fn for_width(width: f64) -> Look {
        if width < NARROW_BELOW {
            Look {
                narrow: true,
                margin: 12.0,
                title: 16.0,
                subtitle: 13.0,
                label: 13.0,
                tick: 12.0,
                note: 11.0,
                line: 1.8,
                strong_line: 3.0,
                marker: 3.4,
            }
        } else {
            Look {
                narrow: false,
                margin: 20.0,
                title: 19.0,
                subtitle: 14.0,
                label: 13.0,
                tick: 12.5,
                note: 11.5,
                line: 1.7,
                strong_line: 3.0,
                marker: 3.6,
            }
        }
    }
}

/// Height of a line of words over its type size; the font's own box is 1.164 high, so lines never touch.
pub(crate) const LEADING: f64 = 1.28;
/// Height above the baseline over type size (`DejaVu`: 1901 of 2048 units).
pub(crate) const ASCENT: f64 = 0.93;
/// Depth below the baseline over type size (`DejaVu`: 483 of 2048 units).
pub(crate) const DESCENT: f64 = 0.24;
/// Baseline below the middle of the letters over type size.
pub(crate) const MIDDLE: f64 = 0.36;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_read_on_white() {
        for index in 0..60 {
            assert!(series_look(index).words.contrast(GROUND) >= WORD_CONTRAST);
        }
        assert!(SOFT_INK.contrast(GROUND) >= WORD_CONTRAST);
        assert!(INK.contrast(GROUND) >= WORD_CONTRAST);
    }

    #[test]
    fn no_type_is_too_small_to_print() {
        for width in [380.0, 760.0] {
            let look = Look::for_width(width);
            let sizes = [look.title, look.subtitle, look.label, look.tick, look.note];
            assert!(sizes.iter().all(|size| *size >= LEAST_TYPE));
        }
    }

    #[test]
    fn words_read_on_every_cell() {
        for step in -20..=20 {
            let cell = diverging(f64::from(step) / 20.0);
            assert!(
                cell.contrast(cell.words_on()) >= WORD_CONTRAST,
                "{step}: {}",
                cell.contrast(cell.words_on())
            );
        }
    }

    /// WCAG 2.1: black on white is 21 to 1.
    #[test]
    fn ref_contrast_of_black_and_white() {
        assert!((Colour(0, 0, 0).contrast(GROUND) - 21.0).abs() < 1e-9);
    }

    #[test]
    fn no_two_of_56_series_look_alike() {
        for a in 0..56 {
            for b in 0..a {
                assert_ne!(series_look(a), series_look(b), "{a} and {b}");
            }
        }
    }
}
