//! Reading the schema: what a part of it wants, in words.

use serde_json::Value as Json;

use super::faults::cut;
use crate::units::{self, Kind, ranges};

pub(crate) fn join(path: &str, key: &str) -> String {
    let key = cut(key);
    if path.is_empty() {
        key
    } else {
        format!("{path}.{key}")
    }
}

pub(crate) fn keys_in_words(schema: &Json) -> String {
    let keys = schema
        .get("properties")
        .and_then(Json::as_object)
        .into_iter()
        .flatten()
        .map(|(key, _)| key.as_str());
    let keys: Vec<&str> = keys.filter(|key| *key != "$schema").collect();
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
