//! What the shape of the walk cannot say.

use std::collections::BTreeMap;

use super::Sense;
use super::at::At;
use crate::scenario::faults::{cut, nearest};
use crate::scenario::finding_checks::{self, Place};
use crate::scenario::model::{Material, Measure, SiteWork, WorkingTime};
use crate::scenario::taken::enclosed;
use crate::units::format::Shown;
use crate::units::{self, Kind, System, dates};

/// A given size and that of the outline may differ by this share: people measure roughly.
const ROUGHLY: f64 = 0.1;
/// Areas that a fault lists.
const LISTED: usize = 20;

/// An area in the system in which one was typed.
fn as_typed(typed: &At<'_>, square_metres: f64) -> String {
    let typed = typed.text().and_then(|t| units::parse(Kind::Area, t).ok());
    let system = typed.map_or(System::Si, |amount| amount.unit.system);
    Shown::of(Kind::Area, system).text(square_metres, 1)
}

impl Sense<'_, '_, '_> {
    pub(super) fn walk(&mut self) {
        let Some(walk) = self.root.get("walk") else {
            return;
        };
        let placed = self.root.down("slab.placed");
        self.order(walk.get("preparation_starts"), placed.as_ref());
        let places = self.areas(&walk);
        self.choices(&walk);
        self.record(&walk, &places, placed.as_ref());
        let thickness = self.root.amount_of("slab.thickness", Kind::Length);
        for finding in walk.list("findings") {
            if self.faults.is_full() {
                return;
            }
            finding_checks::check(self.faults, &finding.path, finding.node, &places, thickness);
        }
        if let Some(table) = walk.get("findings_csv")
            && table.text().is_some_and(|text| text.trim().is_empty())
        {
            self.add(
                &table,
                "This file name is empty.",
                "Write the name of the table, or remove the key.",
            );
        }
    }

    fn areas(&mut self, walk: &At<'_>) -> Vec<Place> {
        let mut places = Vec::new();
        let mut concrete = 0.0;
        let mut last = None;
        for area in walk.list("areas") {
            let corners = self.outline(&area);
            let given = area.amount_of("size", Kind::Area);
            let drawn = (corners.len() >= 3).then(|| enclosed(&corners));
            if let (Some(given), Some(drawn), Some(size)) = (given, drawn, area.get("size"))
                && (given - drawn).abs() > ROUGHLY * given.max(drawn)
            {
                self.add(
                    &size,
                    format!(
                        "The outline encloses {}. That is not this size.",
                        as_typed(&size, drawn)
                    ),
                    "Correct one of the two, or leave out the size.",
                );
            }
            if !area.has("size") && !area.has("outline") {
                self.lacks(
                    &area,
                    "\"size\" or \"outline\" is missing.",
                    "Add \"size\": \"2400 ft2\", with your size, or the corners of the area.",
                );
            }
            let is = |word: &str| area.get("substrate").is_some_and(|what| what.is(word));
            let size = given.or(drawn);
            if is("concrete") {
                concrete += size.unwrap_or(0.0);
                let place = area.get("size").map_or(area.node, |size| size.node);
                last = Some(At {
                    path: area.path.clone(),
                    node: place,
                });
            }
            let name = area.get("name");
            places.push(Place {
                name: name
                    .as_ref()
                    .and_then(At::text)
                    .unwrap_or_default()
                    .trim()
                    .to_owned(),
                size,
                frame: finding_checks::frame(&corners),
                concrete: is("concrete"),
                metal: is("metal"),
            });
        }
        if let (Some(slab), Some(last)) = (self.root.amount_of("slab.area", Kind::Area), last)
            && concrete > slab * (1.0 + ROUGHLY)
        {
            self.add(
                &last,
                format!(
                    "The concrete areas add up to {}. That is more than slab.area, {}.",
                    as_typed(&last, concrete),
                    as_typed(&last, slab)
                ),
                "Correct the sizes, or write a scenario for each slab.",
            );
        }
        places
    }

    /// What is ticked off and lifted. Whether there is such a task or hold is known only once the floor is prepared.
    fn record(&mut self, walk: &At<'_>, places: &[Place], placed: Option<&At<'_>>) {
        let areas = || places.iter().map(|place| place.name.as_str());
        let mut taken: BTreeMap<(String, String), String> = BTreeMap::new();
        for entry in walk.list("done").into_iter().chain(walk.list("lifted")) {
            if self.faults.is_full() {
                return;
            }
            let text = |key: &str| entry.get(key).and_then(|at| at.text()).map(str::trim);
            if let (Some(area), Some(at)) = (text("area"), entry.get("area"))
                && !areas().any(|name| name == area)
            {
                let near = nearest(area, areas())
                    .map(|near| format!("Did you mean \"{}\"? ", cut(near)))
                    .unwrap_or_default();
                let list: Vec<String> = areas()
                    .take(LISTED)
                    .map(|area| format!("\"{}\"", cut(area)))
                    .collect();
                self.add(
                    &at,
                    format!("There is no area \"{}\".", cut(area)),
                    format!("{near}The areas: {}.", list.join(", ")),
                );
            }
            if let (Some(task), Some(area)) = (text("task"), text("area"))
                && let Some(first) =
                    taken.insert((task.to_lowercase(), area.to_owned()), entry.path.clone())
                && let Some(at) = entry.get("task")
            {
                self.add(
                    &at,
                    format!("{first} ticks this task off too."),
                    "Keep the one with the right time.",
                );
            }
            if let (Some(finished), Some(first)) =
                (entry.get("finished"), placed.and_then(At::date))
                && let Some(moment) = finished.text().and_then(|text| dates::moment(text).ok())
                && moment.date() < first
            {
                self.add(
                    &finished,
                    format!("{} is before slab.placed, {first}.", moment.date()),
                    "Correct one of the two.",
                );
            }
            if let Some(by) = entry.get("by") {
                self.name(&by);
            }
            self.order(entry.get("on"), placed);
        }
    }

    fn outline(&mut self, area: &At<'_>) -> Vec<(f64, f64)> {
        let corners = area.list("outline");
        let places: Vec<(f64, f64)> = corners
            .iter()
            .filter_map(|corner| {
                let along = |axis: &str| corner.amount_of(axis, Kind::Length);
                Some((along("x")?, along("y")?))
            })
            .collect();
        let Some(outline) = area.get("outline") else {
            return Vec::new();
        };
        if places.len() < corners.len() || places.len() < 3 {
            return Vec::new();
        }
        let message = if crosses_itself(&places) {
            "The outline crosses itself."
        } else if enclosed(&places) <= 0.0 {
            "The outline encloses nothing."
        } else {
            return places;
        };
        self.add(
            &outline,
            message,
            "Give the corners in order round the area.",
        );
        places
    }

    fn choices(&mut self, walk: &At<'_>) {
        if let Some(time) = walk.get("working_time") {
            let usual = WorkingTime::default();
            let hour = |key: &str| time.get(key)?.number();
            let from = hour("from").unwrap_or(usual.from());
            let to = hour("to").unwrap_or(usual.to());
            if from >= to {
                self.add(
                    &time,
                    format!("Work would end at hour {to}, not after it begins at {from}."),
                    "Give \"from\" and \"to\" as hours of one day, such as 7 and 15.5.",
                );
            }
        }
        let no_water = walk
            .down("site.water")
            .is_some_and(|water| water.is("not_allowed"));
        for (key, word, what) in [
            ("wash", "power_wash", "Washing"),
            ("method", "chemical_etch", "Etching"),
        ] {
            if let (true, Some(choice)) = (no_water, walk.get(key))
                && choice.is(word)
            {
                self.add(
                    &choice,
                    format!("{what} needs water, but walk.site.water is \"not_allowed\"."),
                    "Correct one of the two.",
                );
            }
        }
        self.once(walk, "hire", "method");
        self.once(walk, "materials", "material");
        self.once(walk, "work_rates", "work");
        for entry in walk.list("materials") {
            if let Some(material) = chosen::<Material>(&entry, "material") {
                self.measured(&entry, "material", material.measure());
            }
        }
        for entry in walk.list("work_rates") {
            let Some(work) = chosen::<SiteWork>(&entry, "work") else {
                continue;
            };
            let key = work.measure().key();
            self.measured(&entry, "work", work.measure());
            if let (false, Some(word)) = (entry.has(key), entry.get("work").and_then(|w| w.text()))
            {
                self.lacks(
                    &entry,
                    format!("\"{key}\" is missing."),
                    format!("Give what one person does in an hour of \"{word}\"."),
                );
            }
        }
    }

    /// Entries of a list name a thing once.
    fn once(&mut self, walk: &At<'_>, list: &str, key: &str) {
        let mut taken: BTreeMap<&str, String> = BTreeMap::new();
        for entry in walk.list(list) {
            let Some(thing) = entry.get(key) else {
                continue;
            };
            let Some(word) = thing.text() else { continue };
            if let Some(first) = taken.insert(word, entry.path) {
                self.add(
                    &thing,
                    format!("{first} is for \"{word}\" too."),
                    "Keep one of them.",
                );
            }
        }
    }

    /// An entry gives the key that its thing is counted by, and no other.
    fn measured(&mut self, entry: &At<'_>, key: &str, measure: Measure) {
        let thing = entry.get(key);
        let word = thing.as_ref().and_then(At::text).unwrap_or_default();
        for other in [Measure::Volume, Measure::Area, Measure::Length] {
            let Some(given) = entry.get(other.key()) else {
                continue;
            };
            if other != measure {
                self.add(
                    &given,
                    format!("\"{word}\" is not counted by {}.", other.key()),
                    format!("Give \"{}\".", measure.key()),
                );
            } else if given.amount(kind(measure)).is_some_and(|si| si <= 0.0) {
                self.add(&given, "This must be more than zero.", "Correct it.");
            }
        }
    }
}

/// The word under a key as what it stands for.
fn chosen<T: serde::de::DeserializeOwned>(entry: &At<'_>, key: &str) -> Option<T> {
    serde_json::from_value(entry.get(key)?.text()?.into()).ok()
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
