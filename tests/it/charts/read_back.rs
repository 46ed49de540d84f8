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
