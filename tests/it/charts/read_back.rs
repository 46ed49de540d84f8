//! What is drawn is read back by the SVG library, which shapes the words with the same fonts on its own.

use resvg::usvg;

fn read_back(drawing: &str) -> usvg::Tree {
    let mut fonts = usvg::fontdb::Database::new();
    fonts.load_font_data(dejavu::sans_condensed::regular().to_vec());
    fonts.load_font_data(dejavu::sans_condensed::bold().to_vec());
    fonts.set_sans_serif_family("DejaVu Sans");
    let options = usvg::Options {
        fontdb: std::sync::Arc::new(fonts),
        ..usvg::Options::default()
    };
    usvg::Tree::from_str(drawing, &options).expect("a drawing is well-formed SVG")
}

pub(super) fn texts(drawing: &str) -> Vec<(String, usvg::Rect)> {
    fn collect(group: &usvg::Group, out: &mut Vec<(String, usvg::Rect)>) {
        for node in group.children() {
            match node {
                usvg::Node::Text(text) => {
                    let words = text
                        .chunks()
                        .iter()
                        .map(usvg::TextChunk::text)
                        .collect::<String>();
                    out.push((words, text.abs_bounding_box()));
                }
                usvg::Node::Group(group) => collect(group, out),
                _ => {}
            }
        }
    }
    let mut out = Vec::new();
    collect(read_back(drawing).root(), &mut out);
    out
}

/// Faults of a drawing: words out of the frame or on other words, numbers that are none.
pub(super) fn faults(drawing: &str) -> Vec<String> {
    // Rounding of coordinates to hundredths and of glyph widths to font units.
    const SLACK: f32 = 0.75;
    let mut out = Vec::new();
    let tree = read_back(drawing);
    let size = tree.size();
    let texts = texts(drawing);
    for (index, (words, place)) in texts.iter().enumerate() {
        if place.left() < -SLACK
            || place.top() < -SLACK
            || place.right() > size.width() + SLACK
            || place.bottom() > size.height() + SLACK
        {
            out.push(format!("{words:?} leaves the frame {size:?}: {place:?}"));
        }
        for (other_words, other) in &texts[index + 1..] {
            let wide = place.right().min(other.right()) - place.left().max(other.left());
            let high = place.bottom().min(other.bottom()) - place.top().max(other.top());
            if wide > SLACK && high > SLACK {
                out.push(format!(
                    "{words:?} {place:?} lies on {other_words:?} {other:?}"
                ));
            }
        }
    }
    let numbers_only = strip_words(drawing);
    if numbers_only.contains("NaN") || numbers_only.contains("inf") {
        out.push("a coordinate is not a number".to_string());
    }
    out
}

/// The drawing without words, so that a series named NaN is no fault.
fn strip_words(drawing: &str) -> String {
    let mut out = String::new();
    for line in drawing.lines().filter(|line| !line.starts_with("<svg")) {
        match (line.starts_with("<text"), line.find('>')) {
            (true, Some(end)) => out.push_str(&line[..end]),
            _ => out.push_str(line),
        }
    }
    out
}

/// Smallest type on paper that people can be asked to read \[pt\].
const LEAST_POINTS: f64 = 7.0;
/// Points of paper for a pixel of a wide chart: 760 px on the 499 points between the margins of A4.
const POINTS_PER_PIXEL: f64 = 499.28 / 760.0;
/// Lowest contrast of words: WCAG 2.1 success criterion 1.4.3.
const LEAST_CONTRAST: f64 = 4.5;

/// Corners, colour and opacity of what was filled.
type Area = (Vec<(f64, f64)>, [f64; 3], f64);

fn rgb(hex: &str) -> Option<[f64; 3]> {
    let value = u32::from_str_radix(hex.strip_prefix('#')?, 16).ok()?;
    Some([16, 8, 0].map(|shift| f64::from((value >> shift) & 255)))
}

fn contrast(a: [f64; 3], b: [f64; 3]) -> f64 {
    let luminance = |colour: [f64; 3]| {
        let [r, g, b] = colour.map(|c| {
            let c = c / 255.0;
            if c <= 0.039_28 {
                c / 12.92
            } else {
                ((c + 0.055) / 1.055).powf(2.4)
            }
        });
        0.2126 * r + 0.7152 * g + 0.0722 * b
    };
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

fn within((x, y): (f64, f64), corners: &[(f64, f64)]) -> bool {
    let mut inside = false;
    for (index, to) in corners.iter().enumerate() {
        let from = corners[(index + corners.len() - 1) % corners.len()];
        if (from.1 > y) != (to.1 > y)
            && x < (to.0 - from.0) * (y - from.1) / (to.1 - from.1) + from.0
        {
            inside = !inside;
        }
    }
    inside
}

/// What a print or a bright yard would hide: type below 7 points, words that stand out too little from what lies under
/// their middle.
pub(super) fn print_faults(drawing: &str) -> Vec<String> {
    let tree = usvg::roxmltree::Document::parse(drawing).expect("SVG");
    let mut places = texts(drawing).into_iter();
    let mut areas: Vec<Area> = Vec::new();
    let mut out = Vec::new();
    for node in tree.descendants().filter(|n| n.is_element()) {
        let number = |name: &str| node.attribute(name).and_then(|v| v.parse::<f64>().ok());
        let fill = node.attribute("fill").unwrap_or_default();
        // Of a texture the ground counts: words never stand on its lines but on a patch.
        let ground = match fill.strip_prefix("url(#").and_then(|f| f.strip_suffix(')')) {
            Some(name) => {
                let pattern = tree.descendants().find(|n| n.attribute("id") == Some(name));
                let rect = pattern.and_then(|p| p.children().find(|c| c.has_tag_name("rect")));
                rect.and_then(|r| rgb(r.attribute("fill")?))
            }
            None => rgb(fill),
        };
        let opacity = number("fill-opacity").unwrap_or(1.0);
        match (node.tag_name().name(), ground) {
            ("rect", Some(colour)) if !node.parent().is_some_and(|p| p.has_tag_name("pattern")) => {
                let (x, y) = (number("x").unwrap_or(0.0), number("y").unwrap_or(0.0));
                let (w, h) = (
                    number("width").unwrap_or(0.0),
                    number("height").unwrap_or(0.0),
                );
                let corners = vec![(x, y), (x + w, y), (x + w, y + h), (x, y + h)];
                areas.push((corners, colour, opacity));
            }
            ("polygon", Some(colour)) => {
                let points = node.attribute("points").unwrap_or_default();
                let point = |pair: &str| {
                    let (x, y) = pair.split_once(',')?;
                    Some((x.parse().ok()?, y.parse().ok()?))
                };
                areas.push((
                    points.split(' ').filter_map(point).collect(),
                    colour,
                    opacity,
                ));
            }
            ("text", Some(colour)) => {
                let words = node.text().unwrap_or_default();
                let size = number("font-size").unwrap_or(0.0);
                if size * POINTS_PER_PIXEL < LEAST_POINTS {
                    out.push(format!("{words:?} is {size} px high, below 7 pt on paper"));
                }
                // Words of spaces only have no place.
                if words.trim().is_empty() {
                    continue;
                }
                let Some((_, place)) = places.next() else {
                    continue;
                };
                let middle = (
                    f64::from(place.left() + place.right()) / 2.0,
                    f64::from(place.top() + place.bottom()) / 2.0,
                );
                let mut under = [255.0; 3];
                for (_, fill, opacity) in areas.iter().filter(|a| within(middle, &a.0)) {
                    for channel in 0..3 {
                        under[channel] += (fill[channel] - under[channel]) * opacity;
                    }
                }
                let found = contrast(colour, under);
                if found < LEAST_CONTRAST {
                    out.push(format!("{words:?} has a contrast of {found:.1} only"));
                }
            }
            _ => {}
        }
    }
    out
}
