//! What the shape of a finding cannot say: its area must exist, it must fit into it, and it must suit what the area is made of.
//!
//! Works on the tree, for findings in the scenario and for lines of the CSV form alike.

use super::faults::{Collector, cut, nearest};
use super::json::{Node, Value};
use super::schema_words::join;
use crate::units::Kind;

/// What is known of an area.
#[derive(Clone, Debug)]
pub(crate) struct Place {
    pub(crate) name: String,
    /// m2.
    pub(crate) size: Option<f64>,
    /// Left, bottom, right, top, m.
    pub(crate) frame: Option<[f64; 4]>,
    pub(crate) concrete: bool,
    pub(crate) metal: bool,
}

/// Room round an outline in which a finding may still lie, as a share of its larger side: people measure roughly.
const ROUGHLY: f64 = 0.05;

pub(crate) fn frame(corners: &[(f64, f64)]) -> Option<[f64; 4]> {
    corners.iter().fold(None, |frame, &(x, y)| {
        let [left, bottom, right, top] = frame.unwrap_or([x, y, x, y]);
        Some([left.min(x), bottom.min(y), right.max(x), top.max(y)])
    })
}

/// Checks one finding, `{"kind": {...}}`.
pub(crate) fn check(
    faults: &mut Collector<'_>,
    path: &str,
    finding: &Node,
    places: &[Place],
    thickness: Option<f64>,
) {
    let Value::Object(members) = &finding.value else {
        return;
    };
    let [member] = members.as_slice() else { return };
    let kind = member.key.as_str();
    let node = &member.value;
    let path = join(path, kind);
    let mut add = |key: &str, at: &Node, message: String, help: &str| {
        faults.add(&join(&path, key), &at.span, message, help);
    };
    match (node.get("x"), node.get("y")) {
        (Some(one), None) => add(
            "x",
            one,
            "\"x\" is given without \"y\".".into(),
            "Give both, or neither.",
        ),
        (None, Some(one)) => add(
            "y",
            one,
            "\"y\" is given without \"x\".".into(),
            "Give both, or neither.",
        ),
        _ => {}
    }
    let length = node
        .get("length")
        .and_then(|node| node.amount(Kind::Length));
    let width = node.get("width").and_then(|node| node.amount(Kind::Length));
    let depth = node.get("depth").and_then(|node| node.amount(Kind::Length));
    let size = node.get("size").and_then(|node| node.amount(Kind::Area));
    if let (Some(length), Some(width), Some(at)) = (length, width, node.get("width"))
        && width > length
    {
        add(
            "width",
            at,
            format!("This {} is wider than it is long.", words(kind)),
            "Check the units, or swap length and width.",
        );
    }
    let Some(at) = node.get("area") else { return };
    let Some(name) = at.text() else { return };
    let Some(place) = places.iter().find(|p| p.name.trim() == name.trim()) else {
        let near = nearest(name, places.iter().map(|p| p.name.as_str()))
            .map(|near| format!("Did you mean \"{}\"? ", cut(near)))
            .unwrap_or_default();
        add(
            "area",
            at,
            format!("There is no area \"{}\".", cut(name)),
            &format!("{near}Write the name of an area under walk.areas."),
        );
        return;
    };
    if kind == "rust" && !place.metal {
        add(
            "area",
            at,
            format!("\"{}\" is not metal.", cut(&place.name)),
            "For a rust stain write the kind \"stain\" with the state \"rust\". Otherwise correct the area.",
        );
    }
    if let (Some(depth), Some(thickness), Some(at), true) =
        (depth, thickness, node.get("depth"), place.concrete)
        && depth > thickness
    {
        add(
            "depth",
            at,
            format!("This {} is deeper than the slab is thick.", words(kind)),
            "Check the units, or correct slab.thickness.",
        );
    }
    if let Some(whole) = place.size {
        let count = match node.get("count").map(|n| &n.value) {
            Some(Value::Number(_, n)) => n.max(1.0),
            _ => 1.0,
        };
        if let (Some(size), Some(at)) = (size, node.get("size"))
            && size * count > whole
        {
            add(
                "size",
                at,
                format!(
                    "This {} is larger than its area \"{}\".",
                    words(kind),
                    cut(&place.name)
                ),
                "Check the units, or correct the size of the area.",
            );
        }
        let across = place
            .frame
            .map_or(whole.sqrt(), |[l, b, r, t]| (r - l).max(t - b));
        if let (Some(width), Some(at)) = (width, node.get("width"))
            && (width > across || length.is_some_and(|length| length * width > whole))
        {
            add(
                "width",
                at,
                format!(
                    "This {} is too wide for its area \"{}\".",
                    words(kind),
                    cut(&place.name)
                ),
                "Check the units of length and width, or correct the size of the area.",
            );
        }
    }
    if let (Some([left, bottom, right, top]), Some(x), Some(y), Some(at)) = (
        place.frame,
        node.get("x").and_then(|node| node.amount(Kind::Length)),
        node.get("y").and_then(|node| node.amount(Kind::Length)),
        node.get("x"),
    ) {
        let room = ROUGHLY * (right - left).max(top - bottom);
        if x < left - room || x > right + room || y < bottom - room || y > top + room {
            add(
                "x",
                at,
                format!("This place lies outside \"{}\".", cut(&place.name)),
                "Correct \"x\" and \"y\", the outline, or the area.",
            );
        }
    }
}

/// A kind in words.
fn words(kind: &str) -> String {
    match kind {
        "broken" => "broken area".into(),
        _ => cut(kind).replace('_', " "),
    }
}
