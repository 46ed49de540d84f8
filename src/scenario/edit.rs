//! One value of a scenario's text put in, changed or taken out; everything else, with its order, spelling, blanks and comments, stays as it
//! stands.

use super::json::{self, Node, Value};
use super::spelling;
use jsonc_parser::ParseOptions;
use jsonc_parser::cst::{CstInputValue, CstNode, CstObject, CstRootNode};
use serde_json::Value as Json;

/// A change of one value.
#[derive(Clone, Debug, PartialEq, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Edit {
    /// Its key path, as faults and fields name it: `setups[1].gear[0].heater.output`. `setups[+]` is a new entry of a list.
    pub path: String,
    /// What stands there from now on; taken out if this is null.
    #[serde(default)]
    pub value: Json,
}

/// A part of a key path.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Step {
    Key(String),
    Entry(usize),
    New,
}

/// The text with a change.
///
/// # Errors
/// A path that does not lead to a place of the text, or a text that is not JSON.
pub fn edited(text: &str, edit: &Edit) -> Result<String, String> {
    let lost = || {
        format!(
            "There is no place \"{}\" in the scenario. Reload the page.",
            edit.path
        )
    };
    let steps = steps(&edit.path).ok_or_else(lost)?;
    let mut tree = json::read(text).map_err(|fault| format!("{} {}", fault.message, fault.help))?;
    spelling::canonical(&mut tree);
    let root = CstRootNode::parse(text, &ParseOptions::default())
        .map_err(|_| "The scenario's text is not JSON.".to_owned())?;
    let (last, before) = steps.split_last().ok_or_else(lost)?;
    let mut node = root.value().ok_or_else(lost)?;
    let mut known = Some(&tree);
    for step in before {
        node = match step {
            Step::Key(key) => {
                let object = node.as_object().ok_or_else(lost)?;
                match object.get(&typed(known, key)) {
                    Some(property) => property.value().ok_or_else(lost)?,
                    // What is to stand below a key that is not there yet brings the key along.
                    None => {
                        put(&object, key, &Json::Object(serde_json::Map::new())).ok_or_else(lost)?
                    }
                }
            }
            Step::Entry(at) => {
                let list = node.as_array().ok_or_else(lost)?;
                list.elements().get(*at).cloned().ok_or_else(lost)?
            }
            Step::New => return Err(lost()),
        };
        known = known.and_then(|known| match step {
            Step::Key(key) => known.get(key),
            Step::Entry(at) => known.items().get(*at),
            Step::New => None,
        });
    }
    match last {
        Step::Key(key) => {
            let object = node.as_object().ok_or_else(lost)?;
            let property = object.get(&typed(known, key));
            match (property, edit.value.is_null()) {
                (Some(property), true) => property.remove(),
                (Some(property), false) => property.set_value(input(&edit.value)),
                (None, true) => {}
                (None, false) => {
                    put(&object, key, &edit.value);
                }
            }
        }
        Step::Entry(at) => {
            let list = node.as_array().ok_or_else(lost)?;
            let entry = list.elements().get(*at).cloned().ok_or_else(lost)?;
            if edit.value.is_null() {
                entry.remove();
            } else {
                replace(&entry, &edit.value);
            }
        }
        Step::New => {
            node.as_array().ok_or_else(lost)?.append(input(&edit.value));
        }
    }
    Ok(root.to_string())
}

fn replace(node: &CstNode, value: &Json) {
    let new = input(value);
    match node {
        CstNode::Container(_) => {
            if let Some(object) = node.as_object() {
                object.replace_with(new);
            } else if let Some(list) = node.as_array() {
                list.replace_with(new);
            }
        }
        CstNode::Leaf(_) => {
            if let Some(text) = node.as_string_lit() {
                text.replace_with(new);
            } else if let Some(number) = node.as_number_lit() {
                number.replace_with(new);
            } else if let Some(truth) = node.as_boolean_lit() {
                truth.replace_with(new);
            } else if let Some(null) = node.as_null_keyword() {
                null.replace_with(new);
            }
        }
    }
}

/// Adds a key at the end of an object.
fn put(object: &CstObject, key: &str, value: &Json) -> Option<CstNode> {
    object.append(key, input(value)).value()
}

/// How a key is spelled in the text.
fn typed(known: Option<&Node>, key: &str) -> String {
    let members = match known.map(|node| &node.value) {
        Some(Value::Object(members)) => members.as_slice(),
        _ => &[],
    };
    let own = members.iter().find(|member| member.key == key);
    own.map_or_else(|| key.to_owned(), |member| member.typed.clone())
}

fn input(value: &Json) -> CstInputValue {
    match value {
        Json::Null => CstInputValue::Null,
        Json::Bool(truth) => CstInputValue::Bool(*truth),
        Json::Number(number) => CstInputValue::Number(number.to_string()),
        Json::String(text) => CstInputValue::String(text.clone()),
        Json::Array(items) => CstInputValue::Array(items.iter().map(input).collect()),
        Json::Object(members) => {
            let members = members.iter();
            CstInputValue::Object(members.map(|(key, of)| (key.clone(), input(of))).collect())
        }
    }
}

/// A key path in its parts; none if it is no path.
fn steps(path: &str) -> Option<Vec<Step>> {
    let mut steps = Vec::new();
    for part in path.split('.') {
        let mut pieces = part.split('[');
        let key = pieces.next()?;
        if key.is_empty() {
            return None;
        }
        steps.push(Step::Key(key.to_owned()));
        for piece in pieces {
            let inside = piece.strip_suffix(']')?;
            steps.push(if inside == "+" {
                Step::New
            } else {
                Step::Entry(inside.parse().ok()?)
            });
        }
    }
    Some(steps)
}
