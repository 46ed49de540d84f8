//! What the shape of the walk cannot say.

use std::collections::BTreeMap;

use super::Sense;
use crate::scenario::finding_checks::{self, Place};
use crate::scenario::json::Node;
use crate::scenario::model::{Material, Measure, SiteWork, WorkingTime};
use crate::scenario::taken::enclosed;
use crate::units::Kind;

/// A given size and that of the outline may differ by this share: people measure roughly.
const ROUGHLY: f64 = 0.1;

impl<'a> Sense<'a, '_> {
    pub(super) fn walk(&mut self) {
        let Some(walk) = self.part("walk") else {
            return;
        };
        let placed = self.part("slab").and_then(|slab| slab.get("placed"));
        self.order(
            "walk.preparation_starts",
            walk.get("preparation_starts"),
            placed,
            "slab.placed",
        );
        let places = self.areas(walk);
        self.choices(walk);
        let thickness = self.slab_amount("thickness", Kind::Length);
        for (number, finding) in walk
            .get("findings")
            .map_or(&[][..], Node::items)
            .iter()
            .enumerate()
        {
            if self.faults.is_full() {
                return;
            }
            finding_checks::check(
                self.faults,
                &format!("walk.findings[{number}]"),
                finding,
                &places,
                thickness,
            );
        }
        if let Some(node) = walk.get("findings_csv")
            && node.text().is_some_and(|text| text.trim().is_empty())
        {
            self.add(
                "walk.findings_csv",
                node,
                "This file name is empty.",
                "Name the table, or remove the key.",
            );
        }
    }

    fn areas(&mut self, walk: &'a Node) -> Vec<Place> {
        let mut places = Vec::new();
        let mut taken: BTreeMap<String, usize> = BTreeMap::new();
        let mut concrete = 0.0;
        let mut last: Option<(String, &Node)> = None;
        for (number, area) in walk
            .get("areas")
            .map_or(&[][..], Node::items)
            .iter()
            .enumerate()
        {
            let path = format!("walk.areas[{number}]");
            let mut name = String::new();
            if let Some(node) = area.get("name") {
                self.name(&format!("{path}.name"), node);
                if let Some(text) = node.text() {
                    text.trim().clone_into(&mut name);
                    if let Some(first) = taken.insert(name.to_lowercase(), number) {
                        self.add(
                            &format!("{path}.name"),
                            node,
                            format!("walk.areas[{first}] has this name too."),
                            "Give every area a name of its own.",
                        );
                    }
                }
            }
            let corners = self.outline(area, &path);
            let given = area.get("size").and_then(|node| node.amount(Kind::Area));
            let drawn = (corners.len() >= 3).then(|| enclosed(&corners));
            if let (Some(given), Some(drawn), Some(node)) = (given, drawn, area.get("size"))
                && (given - drawn).abs() > ROUGHLY * given.max(drawn)
            {
                self.add(
                    &format!("{path}.size"),
                    node,
                    format!("The outline encloses {drawn:.1} m2, which is not this size."),
                    "Correct one of the two, or leave out the size.",
                );
            }
            if area.get("size").is_none() && area.get("outline").is_none() {
                self.lacks(
                    &path,
                    area,
                    "\"size\" or \"outline\" is missing.",
                    "Give the size, or the corners of the area.",
                );
            }
            let substrate = area.get("substrate");
            let is = |word: &str| substrate.and_then(Node::text) == Some(word);
            let size = given.or(drawn);
            if is("concrete") {
                concrete += size.unwrap_or(0.0);
                last = area.get("size").or(Some(area)).map(|n| (path.clone(), n));
            }
            places.push(Place {
                name,
                size,
                frame: finding_checks::frame(&corners),
                concrete: is("concrete"),
                metal: is("metal"),
            });
        }
        let slab = self.slab_amount("area", Kind::Area);
        if let (Some(slab), Some((path, node))) = (slab, last)
            && concrete > slab * (1.0 + ROUGHLY)
        {
            self.add(
                &path,
                node,
                format!(
                    "The concrete areas add up to {concrete:.1} m2, more than slab.area, {slab:.1} m2."
                ),
                "Correct the sizes, or write a scenario for each slab.",
            );
        }
        places
    }

    fn outline(&mut self, area: &Node, path: &str) -> Vec<(f64, f64)> {
        let Some(outline) = area.get("outline") else {
            return Vec::new();
        };
        let corners: Vec<(f64, f64)> = outline
            .items()
            .iter()
            .filter_map(|corner| {
                Some((
                    corner.get("x").and_then(|node| node.amount(Kind::Length))?,
                    corner.get("y").and_then(|node| node.amount(Kind::Length))?,
                ))
            })
            .collect();
        if corners.len() < outline.items().len() || corners.len() < 3 {
            return Vec::new();
        }
        let path = format!("{path}.outline");
        if crosses_itself(&corners) {
            self.add(
                &path,
                outline,
                "The outline crosses itself.",
                "Give the corners in order round the area.",
            );
        } else if enclosed(&corners) <= 0.0 {
            self.add(
                &path,
                outline,
                "The outline encloses nothing.",
                "Give the corners in order round the area.",
            );
        }
        corners
    }

    fn choices(&mut self, walk: &'a Node) {
        if let Some(time) = walk.get("working_time") {
            let usual = WorkingTime::default();
            let number = |key: &str| time.get(key)?.number();
            let from = number("from").unwrap_or(usual.from());
            let to = number("to").unwrap_or(usual.to());
            if from >= to {
                self.add(
                    "walk.working_time",
                    time,
                    format!("Work would end at hour {to}, not after it begins at {from}."),
                    "Give \"from\" and \"to\" as hours of one day, such as 7 and 15.5.",
                );
            }
        }
        let text = |node: Option<&'a Node>| node.and_then(Node::text);
        let no_water =
            text(walk.get("site").and_then(|site| site.get("water"))) == Some("not_allowed");
        for (key, word, what) in [
            ("wash", "power_wash", "Washing"),
            ("method", "chemical_etch", "Etching"),
        ] {
            if let (true, Some(node)) = (no_water, walk.get(key))
                && node.text() == Some(word)
            {
                self.add(
                    &format!("walk.{key}"),
                    node,
                    format!("{what} needs water, but walk.site.water is \"not_allowed\"."),
                    "Correct one of the two.",
                );
            }
        }
        self.hire(walk);
        self.lists(walk, "materials", "material", &|word| {
            let material: Material = serde_json::from_value(word.into()).ok()?;
            Some((material.measure(), false))
        });
        self.lists(walk, "work_rates", "work", &|word| {
            let work: SiteWork = serde_json::from_value(word.into()).ok()?;
            Some((work.measure(), true))
        });
    }

    fn hire(&mut self, walk: &'a Node) {
        let mut taken: BTreeMap<&str, usize> = BTreeMap::new();
        for (number, entry) in walk
            .get("hire")
            .map_or(&[][..], Node::items)
            .iter()
            .enumerate()
        {
            let Some(node) = entry.get("method") else {
                continue;
            };
            let Some(word) = node.text() else { continue };
            if let Some(first) = taken.insert(word, number) {
                self.add(
                    &format!("walk.hire[{number}].method"),
                    node,
                    format!("walk.hire[{first}] is for \"{word}\" too."),
                    "Keep one of them.",
                );
            }
        }
    }

    /// Entries that name a thing once and give the key that goes with it.
    fn lists(
        &mut self,
        walk: &'a Node,
        list: &str,
        key: &str,
        measure: &dyn Fn(&str) -> Option<(Measure, bool)>,
    ) {
        let mut taken: BTreeMap<&str, usize> = BTreeMap::new();
        for (number, entry) in walk
            .get(list)
            .map_or(&[][..], Node::items)
            .iter()
            .enumerate()
        {
            let path = format!("walk.{list}[{number}]");
            let Some(node) = entry.get(key) else { continue };
            let Some(word) = node.text() else { continue };
            let Some((measure, needed)) = measure(word) else {
                continue;
            };
            if let Some(first) = taken.insert(word, number) {
                self.add(
                    &format!("{path}.{key}"),
                    node,
                    format!("walk.{list}[{first}] is for \"{word}\" too."),
                    "Keep one of them.",
                );
            }
            for other in [Measure::Volume, Measure::Area, Measure::Length] {
                if let Some(node) = entry.get(other.key())
                    && other != measure
                {
                    self.add(
                        &format!("{path}.{}", other.key()),
                        node,
                        format!("\"{word}\" is not counted by {}.", other.key()),
                        format!("Give \"{}\".", measure.key()),
                    );
                }
            }
            if let Some(node) = entry.get(measure.key())
                && node.amount(kind(measure)).is_some_and(|si| si <= 0.0)
            {
                self.add(
                    &format!("{path}.{}", measure.key()),
                    node,
                    "This must be more than zero.",
                    "Correct it.",
                );
            }
            if needed && entry.get(measure.key()).is_none() {
                self.lacks(
                    &path,
                    entry,
                    format!("\"{}\" is missing.", measure.key()),
                    format!("Give what one person does in an hour of \"{word}\"."),
                );
            }
        }
    }
}

fn kind(measure: Measure) -> Kind {
    match measure {
        Measure::Volume => Kind::Volume,
        Measure::Area => Kind::Area,
        Measure::Length => Kind::Length,
    }
}

/// Whether two sides of a polygon that are no neighbours meet.
fn crosses_itself(corners: &[(f64, f64)]) -> bool {
    type Point = (f64, f64);
    let turn = |a: Point, b: Point, c: Point| {
        ((b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0)).signum()
    };
    let count = corners.len();
    let side = |index: usize| (corners[index], corners[(index + 1) % count]);
    (0..count).any(|i| {
        (i + 2..count)
            .filter(|j| !(i == 0 && *j == count - 1))
            .any(|j| {
                let ((a, b), (c, d)) = (side(i), side(j));
                let (one, two) = (turn(a, b, c), turn(a, b, d));
                let (three, four) = (turn(c, d, a), turn(c, d, b));
                one * two < 0.0 && three * four < 0.0
            })
    })
}
