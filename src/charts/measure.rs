//! Widths of words, and words made to fit a width.
//!
//! Widths come from the very font the raster uses (`DejaVu` Sans Condensed), so what fits here fits there. A browser
//! without that font takes a narrower one.

use crate::units::format::HOLD;
use std::sync::Once;

use plotters::style::{FontStyle, IntoFont, register_font};

/// Weight of the type.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Weight {
    /// Text.
    Regular,
    /// Titles and emphasised names.
    Bold,
}

/// Name under which the faces are registered, for measuring and for the words of axes.
pub(crate) const FACE: &str = "chart sans";
/// Size at which words are measured; widths come back as whole pixels, so it is large.
const MEASURE_SIZE: f64 = 10_000.0;
/// The measuring library takes a size as ascent plus descent; this turns it into an em (`DejaVu`: 2384 of 2048 units).
const BOX_PER_EM: f64 = 2384.0 / 2048.0;
/// Width in em when the font cannot be read: wider than any common text.
const FALLBACK_ADVANCE: f64 = 0.7;
/// Emoji and East Asian signs come from another font, about one em and a third wide with its spacing.
const WIDE_ADVANCE: f64 = 1.35;
/// Longest text looked at; nothing on a chart shows more.
const MOST_CHARACTERS: usize = 600;
/// Most accents stacked on one letter; more would climb out of the line.
const MOST_ACCENTS: usize = 2;

static FACES: Once = Once::new();

/// Width of cleaned words in pixels.
pub(crate) fn width(text: &str, size: f64, weight: Weight) -> f64 {
    FACES.call_once(|| {
        // A failure leaves the face unknown; measuring then takes the fallback.
        let _ = register_font(FACE, FontStyle::Normal, dejavu::sans_condensed::regular());
        let _ = register_font(FACE, FontStyle::Bold, dejavu::sans_condensed::bold());
    });
    let style = match weight {
        Weight::Regular => FontStyle::Normal,
        Weight::Bold => FontStyle::Bold,
    };
    let narrow: String = text.chars().filter(|&c| !is_wide(c)).collect();
    let wide = text.chars().filter(|&c| is_wide(c)).count() as f64;
    let narrow_width = (FACE, MEASURE_SIZE, style)
        .into_font()
        .layout_box(&narrow)
        .map_or_else(
            |_| narrow.chars().count() as f64 * FALLBACK_ADVANCE,
            |((left, _), (right, _))| f64::from(right - left) / MEASURE_SIZE * BOX_PER_EM,
        );
    (narrow_width + wide * WIDE_ADVANCE) * size
}

/// Signs that the font lacks and that stand on a full em elsewhere.
fn is_wide(c: char) -> bool {
    matches!(u32::from(c), 0x1100..=0x115F | 0x2E80..=0xA4CF | 0xAC00..=0xD7A3 | 0xF900..=0xFAFF | 0xFE30..=0xFE6F
        | 0xFF00..=0xFF60 | 0xFFE0..=0xFFE6 | 0x1F000..=0x1FBFF | 0x20000..=0x3FFFF)
}

/// A sign that the font lacks, as it is drawn where no other font is at hand: never as an empty box.
#[cfg(feature = "pictures")]
pub(crate) fn in_our_font(c: char) -> Option<char> {
    match u32::from(c) {
        // Joiners and variants of signs mean nothing without them.
        0x200D | 0xFE00..=0xFE0F | 0x1F3FB..=0x1F3FF | 0xE0000..=0xE01EF => None,
        // Scripts of India, Tibet, Burma and Ethiopia, Khmer and Mongolian.
        0x0900..=0x0E7F | 0x0F00..=0x109F | 0x1200..=0x139F | 0x1780..=0x18AF => Some('?'),
        _ if is_wide(c) => Some('?'),
        _ => Some(c),
    }
}

/// Accents and other signs that add no width of their own.
fn is_accent(c: char) -> bool {
    matches!(u32::from(c), 0x0300..=0x036F | 0x0483..=0x0489 | 0x0591..=0x05BD | 0x064B..=0x065F | 0x1AB0..=0x1AFF
        | 0x1DC0..=0x1DFF | 0x20D0..=0x20FF | 0xFE00..=0xFE0F | 0xFE20..=0xFE2F | 0xE0100..=0xE01EF)
}

/// Signs that XML forbids, or that turn the direction of whatever follows.
pub(crate) fn is_unsafe(c: char) -> bool {
    matches!(u32::from(c), 0x200B | 0x200E..=0x200F | 0x202A..=0x202E | 0x2060..=0x206F | 0xFEFF | 0xFFF9..=0xFFFF
        | 0xE0000..=0xE007F)
}

/// One line of printable words: controls and line breaks become spaces, direction overrides go, accents stack two high.
pub(crate) fn clean(text: &str) -> String {
    let mut out = String::new();
    let mut accents = 0;
    let mut space = false;
    for c in text
        .chars()
        .filter(|&c| !is_unsafe(c))
        .take(MOST_CHARACTERS)
    {
        if (c.is_whitespace() && c != HOLD) || c.is_control() {
            space = true;
            continue;
        }
        accents = if is_accent(c) { accents + 1 } else { 0 };
        if accents > MOST_ACCENTS {
            continue;
        }
        if space && !out.is_empty() {
            out.push(' ');
        }
        space = false;
        out.push(c);
    }
    out
}

/// Cleaned words cut to a width, with an ellipsis where something is missing; empty if not even that fits.
pub(crate) fn fit(text: &str, size: f64, weight: Weight, room: f64) -> String {
    let text = clean(text);
    if width(&text, size, weight) <= room {
        return text;
    }
    let characters: Vec<char> = text.chars().collect();
    let cut = |count: usize| -> String {
        let mut kept: String = characters.iter().take(count).collect();
        // A joiner or an open bracket of an emoji sequence left at the end would bind the ellipsis.
        while kept.ends_with(['\u{200D}', ' ']) {
            kept.pop();
        }
        kept.push('…');
        kept
    };
    let (mut low, mut high) = (0, characters.len());
    while low < high {
        let middle = (low + high).div_ceil(2);
        if width(&cut(middle), size, weight) <= room {
            low = middle;
        } else {
            high = middle - 1;
        }
    }
    if low == 0 { String::new() } else { cut(low) }
}

/// Cleaned words in at most `most_lines` lines; the last ends in an ellipsis if words are left over.
pub(crate) fn wrap(
    text: &str,
    size: f64,
    weight: Weight,
    room: f64,
    most_lines: usize,
) -> Vec<String> {
    let text = clean(text);
    let words: Vec<&str> = text.split(' ').filter(|word| !word.is_empty()).collect();
    let mut lines: Vec<String> = Vec::new();
    let mut next = 0;
    while next < words.len() && lines.len() < most_lines {
        let rest = words[next..].join(" ");
        if lines.len() + 1 == most_lines {
            lines.push(fit(&rest, size, weight, room));
            break;
        }
        let mut line = String::new();
        let mut taken = 0;
        for word in &words[next..] {
            let longer = if line.is_empty() {
                (*word).to_string()
            } else {
                format!("{line} {word}")
            };
            if width(&longer, size, weight) > room {
                break;
            }
            line = longer;
            taken += 1;
        }
        if taken == 0 {
            // One word wider than the line: it is cut here rather than broken at a random letter.
            lines.push(fit(words[next], size, weight, room));
            next += 1;
        } else {
            lines.push(line);
            next += taken;
        }
    }
    lines.retain(|line| !line.is_empty());
    lines
}

/// As [`wrap`], with lines of about equal length: no single word is left on the last line.
pub(crate) fn wrap_evenly(
    text: &str,
    size: f64,
    weight: Weight,
    room: f64,
    most_lines: usize,
) -> Vec<String> {
    let lines = wrap(text, size, weight, room, most_lines);
    if lines.len() < 2 || lines.iter().any(|line| line.ends_with('…')) {
        return lines;
    }
    let (mut low, mut high) = (room / lines.len() as f64, room);
    let mut best = lines;
    while high - low > 2.0 {
        let middle = f64::midpoint(low, high);
        let trial = wrap(text, size, weight, middle, best.len());
        if trial.iter().any(|line| line.ends_with('…')) {
            low = middle;
        } else {
            high = middle;
            best = trial;
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `DejaVu` Sans Condensed, hmtx table: digits are 1172 of 2048 units wide.
    #[test]
    fn ref_width_of_digits() {
        assert!((width("0000", 20.48, Weight::Regular) - 4.0 * 11.72).abs() < 0.1);
    }

    #[test]
    fn fit_keeps_the_room() {
        for room in [0.0, 3.0, 10.0, 50.0, 200.0] {
            let cut = fit(
                &"Heater and desiccant ".repeat(30),
                13.0,
                Weight::Bold,
                room,
            );
            assert!(width(&cut, 13.0, Weight::Bold) <= room || cut.is_empty());
        }
        assert_eq!(fit("short", 13.0, Weight::Regular, 400.0), "short");
    }

    #[test]
    fn wrap_keeps_words_and_lines() {
        let lines = wrap(
            "one two three four five six seven",
            13.0,
            Weight::Regular,
            70.0,
            2,
        );
        assert_eq!(lines.len(), 2);
        assert!(lines[1].ends_with('…'));
        assert_eq!(
            wrap("", 13.0, Weight::Regular, 70.0, 2),
            Vec::<String>::new()
        );
    }

    #[test]
    fn even_lines_leave_no_orphan() {
        let text = "The core is still wet when the face reads dry";
        let room = width(
            "The core is still wet when the face reads",
            16.0,
            Weight::Bold,
        ) + 1.0;
        let lines = wrap_evenly(text, 16.0, Weight::Bold, room, 2);
        assert_eq!(lines, ["The core is still wet", "when the face reads dry"]);
    }

    #[cfg(feature = "pictures")]
    #[test]
    fn what_the_font_lacks_is_a_question_mark() {
        let drawn: String = "Heat 除湿 🔥\u{FE0F} Сушка é"
            .chars()
            .filter_map(in_our_font)
            .collect();
        assert_eq!(drawn, "Heat ?? ? Сушка é");
    }

    #[test]
    fn clean_takes_out_what_breaks_a_line() {
        assert_eq!(clean(" a\u{0}\n\tb\u{202E}c\u{FFFF} "), "a bc");
        assert_eq!(clean("e\u{301}\u{301}\u{301}\u{301}").chars().count(), 3);
    }
}
