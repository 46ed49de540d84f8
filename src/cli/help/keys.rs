//! What the schema of the scenario says of every key, as the text of a topic.

use crate::scenario::{nearest, schema};
use crate::units::{Kind, ranges};
use serde_json::Value as Json;
use std::collections::BTreeSet;

/// The heading of the whole file.
const TOP: &str = "Keys at the top of the file";

/// Every key of the scenario.
pub(super) fn all() -> String {
    text(parts().iter())
}

/// The keys of one part of the scenario, such as `slab`, and of what lies in it.
pub(super) fn part(path: &str) -> Result<String, String> {
    let parts = parts();
    let inside = |part: &&Part| {
        let rest = part.path.strip_prefix(path);
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    };
    let found: Vec<&Part> = parts.iter().filter(inside).collect();
    if !found.is_empty() {
        return Ok(text(found.into_iter()));
    }
    let paths = parts.iter().map(|part| part.path.as_str());
    let near = nearest(path, paths)
        .map(|near| format!(" Did you mean: {near}"))
        .unwrap_or_default();
    Err(format!("The scenario has no such part.{near}"))
}

/// The kinds of quantities with the units that are read.
pub(super) fn units() -> String {
    let mut names = BTreeSet::new();
    quantities(&schema(), &mut names);
    let mut table = "| quantity | units | example |\n|---|---|---|\n".to_owned();
    // In the order of the table of units.
    for kind in Kind::ALL.into_iter().filter(|k| names.contains(k.name())) {
        let units: Vec<&str> = kind.units().map(|unit| unit.name).collect();
        let [example, _] = kind.examples();
        table += &format!("| {} | {} | {example} |\n", kind.name(), units.join(", "));
    }
    table
}

fn quantities(schema: &Json, names: &mut BTreeSet<String>) {
    match schema {
        Json::Object(members) => {
            if let Some(name) = members.get("x-quantity").and_then(Json::as_str) {
                names.insert(name.to_owned());
            }
            members.values().for_each(|value| quantities(value, names));
        }
        Json::Array(items) => items.iter().for_each(|item| quantities(item, names)),
        _ => {}
    }
}

/// An object of the scenario.
struct Part {
    path: String,
    lines: Vec<String>,
}

fn text<'a>(parts: impl Iterator<Item = &'a Part>) -> String {
    let pages: Vec<String> = parts.map(|part| part.lines.join("\n")).collect();
    pages.join("\n\n")
}

fn parts() -> Vec<Part> {
    let schema = schema();
    let mut walk = Walk {
        definitions: &schema["$defs"],
        seen: Vec::new(),
        told: Vec::new(),
        parts: Vec::new(),
    };
    walk.object("", &schema);
    walk.parts
}

/// A way through the schema that tells every key once.
struct Walk<'a> {
    definitions: &'a Json,
    /// Definitions that were met, each with where.
    seen: Vec<(&'a Json, String)>,
    /// Keys that were told: of which part, name, what the schema says.
    told: Vec<(String, &'a str, &'a Json)>,
    parts: Vec<Part>,
}

impl<'a> Walk<'a> {
    /// What a part of the schema refers to, and whether it is a list of it.
    fn resolve(&self, schema: &'a Json) -> (&'a Json, bool) {
        let (mut schema, mut list) = (schema, false);
        loop {
            let choices = schema["anyOf"].as_array();
            let next = if let Some(name) = schema["$ref"].as_str() {
                &self.definitions[name.trim_start_matches("#/$defs/")]
            } else if let Some(choice) =
                choices.and_then(|c| c.iter().find(|c| c["type"] != "null"))
            {
                choice
            } else if schema["items"].is_object() {
                list = true;
                &schema["items"]
            } else {
                return (schema, list);
            };
            schema = next;
        }
    }

    /// Where a definition was met before. Else it is met here.
    fn met(&mut self, definition: &'a Json, path: &str) -> Option<String> {
        let is_it = |(seen, _): &&(&Json, String)| std::ptr::eq(*seen, definition);
        if let Some((_, place)) = self.seen.iter().find(is_it) {
            return Some(place.clone());
        }
        self.seen.push((definition, path.to_owned()));
        None
    }

    /// Tells an object and what lies in it.
    fn object(&mut self, path: &str, object: &'a Json) {
        let heading = if path.is_empty() {
            TOP.to_owned()
        } else {
            format!("Keys of {path}")
        };
        let mut lines = vec![format!("## {heading}"), String::new()];
        if let Some(words) = object["description"].as_str() {
            lines.extend([one_line(words), String::new()]);
        }
        let order = object["x-order"].as_array().into_iter().flatten();
        let properties = object["properties"].as_object();
        let keys: Vec<(&str, &Json)> = order
            .filter_map(Json::as_str)
            .filter_map(|key| properties?.get_key_value(key))
            .map(|(key, described)| (key.as_str(), described))
            .collect();
        let required: Vec<&str> = object["required"]
            .as_array()
            .into_iter()
            .flatten()
            .filter_map(Json::as_str)
            .collect();
        let mut inner = Vec::new();
        let mut elsewhere: Vec<(String, Vec<&str>)> = Vec::new();
        let parent = path.rsplit_once('.').map(|(parent, _)| parent);
        for (key, described) in keys {
            // A key that a neighbor has with the same meaning is told there.
            let same = self.told.iter().find(|(place, name, schema)| {
                let beside = place.rsplit_once('.').map(|(parent, _)| parent);
                parent.is_some() && beside == parent && *name == key && *schema == described
            });
            if let Some((place, _, _)) = same {
                match elsewhere.iter_mut().find(|(other, _)| other == place) {
                    Some((_, keys)) => keys.push(key),
                    None => elsewhere.push((place.clone(), vec![key])),
                }
                continue;
            }
            self.told.push((path.to_owned(), key, described));
            let below = if path.is_empty() {
                key.to_owned()
            } else {
                format!("{path}.{key}")
            };
            self.key(
                key,
                described,
                required.contains(&key),
                &below,
                &mut lines,
                &mut inner,
            );
        }
        for (place, keys) in elsewhere {
            lines.push(format!("* Also {}, as in `{place}`.", listed(&keys)));
        }
        self.parts.push(Part {
            path: path.to_owned(),
            lines,
        });
        // What a job cannot do without first.
        inner.sort_by_key(|(below, _)| {
            let inside = below.strip_prefix(path).unwrap_or(below);
            let key = inside.trim_start_matches('.').split('.').next();
            !key.is_some_and(|key| required.contains(&key))
        });
        for (path, object) in inner {
            self.object(&path, object);
        }
    }

    /// Tells a key. Objects in it are left for later.
    fn key(
        &mut self,
        key: &str,
        described: &'a Json,
        required: bool,
        path: &str,
        lines: &mut Vec<String>,
        inner: &mut Vec<(String, &'a Json)>,
    ) {
        let (value, list) = self.resolve(described);
        let mut facts = vec![match (list, value["x-quantity"].is_string()) {
            (true, true) => format!("list: {}", kind(value, true)),
            (true, false) => format!("list of {}", kind(value, true)),
            (false, _) => kind(value, false).to_owned(),
        }];
        if required {
            facts.push("required".to_owned());
        }
        let mut words = one_line(described["description"].as_str().unwrap_or_default());
        if let Some(limit) = described["x-limit"].as_str().and_then(ranges::find) {
            words += &format!(" {}", bounds(limit));
        }
        let line = format!("* `{key}` ({}): {words}", facts.join(", "));
        lines.push(line.trim_end().trim_end_matches(':').to_owned());
        if value["properties"].is_object() {
            match self.met(value, path) {
                Some(place) => lines.push(format!("  Keys as in `{place}`.")),
                None => inner.push((path.to_owned(), value)),
            }
        } else if let Some(names) = value["enum"].as_array() {
            let names: Vec<&str> = names.iter().filter_map(Json::as_str).collect();
            lines.push(format!("  One of {}.", listed(&names)));
        } else if let Some(choices) = value["oneOf"].as_array() {
            if let Some(place) = self.met(value, path) {
                lines.push(format!("  The same words as in `{place}`."));
                return;
            }
            for choice in choices {
                self.choice(choice, path, lines, inner);
            }
        }
    }

    /// Tells a word that a key may have, or a key that may stand in its object.
    fn choice(
        &mut self,
        choice: &'a Json,
        path: &str,
        lines: &mut Vec<String>,
        inner: &mut Vec<(String, &'a Json)>,
    ) {
        let words = one_line(choice["description"].as_str().unwrap_or_default());
        if let Some(word) = choice["const"].as_str() {
            lines.push(format!("  * `\"{word}\"`: {words}"));
            return;
        }
        let Some(word) = choice["required"][0].as_str() else {
            return;
        };
        let (value, _) = self.resolve(&choice["properties"][word]);
        let below = format!("{path}.{word}");
        let mut line = format!("  * `{{\"{word}\": ...}}`: {words}");
        if value["properties"].is_object() {
            match self.met(value, &below) {
                Some(place) => line += &format!(" Keys as in `{place}`."),
                None => inner.push((below, value)),
            }
        } else {
            // A text or a number: an example says more than its kind.
            match value["examples"]
                .get(0)
                .or_else(|| choice["properties"][word]["examples"].get(0))
            {
                Some(example) => line += &format!(" Such as `{example}`."),
                None => line += &format!(" A {}.", kind(value, false)),
            }
        }
        lines.push(line);
    }
}

/// What a value is, in a word or two.
fn kind(value: &Json, many: bool) -> &str {
    if let Some(quantity) = value["x-quantity"].as_str() {
        return quantity;
    }
    let named = |one: &'static str, more: &'static str| if many { more } else { one };
    if value["format"] == "date" {
        return named("day", "days");
    }
    if value["oneOf"].is_array() || value["enum"].is_array() {
        return named("choice", "choices");
    }
    let types = value["type"].as_array();
    let name = types.map_or(&value["type"], |types| {
        types.iter().find(|t| *t != "null").unwrap_or(&Json::Null)
    });
    match name.as_str() {
        Some("object") => named("object", "objects"),
        Some("integer") => named("whole number", "whole numbers"),
        Some("number") => named("number", "numbers"),
        Some("boolean") => named("true or false", "true or false"),
        _ => named("text", "texts"),
    }
}

/// The limit of a key in words, without its name.
fn bounds(limit: &ranges::Limit) -> String {
    format!("From {}", limit.in_words())
}

fn listed(names: &[&str]) -> String {
    let names: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    match names.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, others)) => format!("{} and {last}", others.join(", ")),
        None => String::new(),
    }
}

fn one_line(words: &str) -> String {
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}
