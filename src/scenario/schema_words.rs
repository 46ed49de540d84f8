//! Reading the schema: what a part of it wants, in words.

use serde_json::Value as Json;

use super::faults::cut;
use super::schema::schema_of_scenario;
use crate::units::{self, Kind, ranges};

/// A part of the schema.
pub(crate) type Schema = &'static Json;

/// A fact of a key in words.
pub(crate) fn fact(described: Schema, name: &str) -> Option<&'static str> {
    described.get(name)?.as_str()
}

/// What a part of the schema refers to, and what it may be beside nothing.
pub(crate) fn follow(described: Schema) -> Schema {
    let mut schema = described;
    // References in this schema are never deeper than a few; the bound keeps a cycle from hanging.
    for _ in 0..8 {
        let next = if let Some(name) = fact(schema, "$ref") {
            name.strip_prefix("#/$defs/")
                .and_then(|name| schema_of_scenario().get("$defs")?.get(name))
        } else {
            schema
                .get("anyOf")
                .and_then(Json::as_array)
                .and_then(|choices| {
                    choices
                        .iter()
                        .find(|choice| fact(choice, "type") != Some("null"))
                })
        };
        match next {
            Some(found) => schema = found,
            None => break,
        }
    }
    schema
}

pub(crate) fn join(path: &str, key: &str) -> String {
    let key = cut(key);
    if path.is_empty() {
        key
    } else {
        format!("{path}.{key}")
    }
}

pub(crate) fn keys_in_words(schema: &Json) -> String {
    let order = schema.get("x-order").and_then(Json::as_array);
    let keys = order.into_iter().flatten().filter_map(Json::as_str);
    let keys: Vec<&str> = keys.filter(|key| *key != "schema").collect();
    keys.join(", ")
}

pub(crate) fn allows_null(schema: &Json) -> bool {
    let is_null = |json: &Json| json.as_str() == Some("null");
    let typed = |schema: &Json| {
        schema.get("type").is_some_and(|kind| {
            is_null(kind)
                || kind
                    .as_array()
                    .is_some_and(|kinds| kinds.iter().any(is_null))
        })
    };
    typed(schema)
        || schema
            .get("anyOf")
            .and_then(Json::as_array)
            .is_some_and(|choices| choices.iter().any(typed))
}

pub(crate) fn main_type(schema: &Json) -> &str {
    match schema.get("type") {
        Some(Json::String(kind)) => kind,
        Some(Json::Array(kinds)) => kinds
            .iter()
            .filter_map(Json::as_str)
            .find(|kind| *kind != "null")
            .unwrap_or(""),
        _ => "",
    }
}

pub(crate) fn quantity_kind(schema: &Json) -> Option<Kind> {
    Kind::named(schema.get("x-quantity")?.as_str()?)
}

/// An example of a kind that the limit allows.
pub(crate) fn quantity_example(kind: Kind, limit: Option<&str>) -> String {
    let examples = kind.examples();
    let [first, _] = examples;
    let Some(limit) = limit.and_then(ranges::find) else {
        return first.to_owned();
    };
    let fits = |text: &&str| units::parse(kind, text).is_ok_and(|amount| limit.holds(amount.si()));
    match examples.into_iter().find(|text| fits(text)) {
        Some(text) => text.to_owned(),
        // Between the ends, in the middle of their orders of magnitude where that exists.
        None if limit.min > 0.0 => format!("{:.0} {}", (limit.min * limit.max).sqrt(), limit.unit),
        None => format!("{} {}", f64::midpoint(limit.min, limit.max), limit.unit),
    }
}

/// The words of one alternative, with the schema of the value if the word is a key.
pub(crate) fn choice_words(choice: &Json) -> Vec<(&str, Option<&Json>)> {
    if let Some(words) = choice.get("enum").and_then(Json::as_array) {
        return words
            .iter()
            .filter_map(Json::as_str)
            .map(|word| (word, None))
            .collect();
    }
    choice_word(choice).into_iter().collect()
}

pub(crate) fn choice_word(choice: &Json) -> Option<(&str, Option<&Json>)> {
    if let Some(word) = choice.get("const").and_then(Json::as_str) {
        return Some((word, None));
    }
    let key = choice.get("required")?.get(0)?.as_str()?;
    Some((key, Some(choice.get("properties")?.get(key)?)))
}

/// What a missing key could look like.
pub(crate) fn example(schema: Option<Schema>) -> String {
    let Some(schema) = schema else {
        return "...".to_owned();
    };
    let limit = fact(schema, "x-limit");
    let schema = follow(schema);
    if let Some(kind) = quantity_kind(schema) {
        return format!("\"{}\"", quantity_example(kind, limit));
    }
    if let Some(example) = schema.get("examples").and_then(|examples| examples.get(0)) {
        return example.to_string();
    }
    match main_type(schema) {
        "object" => example_object(schema),
        "array" => match schema.get("items") {
            Some(items) if main_type(follow(items)) == "object" => {
                format!("[{}]", example(Some(items)))
            }
            _ => "[ ... ]".to_owned(),
        },
        "number" => "0.5".to_owned(),
        "integer" => "1".to_owned(),
        "string" => "\"...\"".to_owned(),
        _ => match schema
            .get("oneOf")
            .and_then(Json::as_array)
            .and_then(|choices| choices.first())
        {
            Some(choice) => example_choice(choice),
            None => "...".to_owned(),
        },
    }
}

/// An object with the keys it cannot do without.
fn example_object(schema: Schema) -> String {
    let required = schema
        .get("required")
        .and_then(Json::as_array)
        .into_iter()
        .flatten();
    let keys: Vec<String> = required
        .filter_map(Json::as_str)
        .map(|key| {
            let inner = schema
                .get("properties")
                .and_then(|properties| properties.get(key));
            format!("\"{key}\": {}", example(inner))
        })
        .collect();
    if keys.is_empty() {
        "{}".to_owned()
    } else {
        format!("{{{}}}", keys.join(", "))
    }
}

fn example_choice(choice: Schema) -> String {
    match choice_words(choice).first() {
        Some((word, None)) => format!("\"{word}\""),
        Some((word, Some(inner))) => format!("{{\"{word}\": {}}}", example(Some(inner))),
        None => "...".to_owned(),
    }
}
