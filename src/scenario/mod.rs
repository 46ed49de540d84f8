//! What the user wrote: JSON model, units, faults with their place.
//!
//! [`read`] gives the [`Scenario`] or every [`Fault`] at once. It goes in three steps: text to a tree with places, the tree against the
//! schema made from the model's types, and the checks no schema can say. Only a text without a fault becomes a [`Scenario`].

pub mod coating_window;
mod faults;
mod finding_checks;
mod findings_csv;
mod json;
mod keys;
pub mod model;
mod schema_words;
mod sense;
mod shape;
mod starter;
mod summary;
mod taken;

pub use faults::{Fault, Faults};
pub use findings_csv::{MOST_FINDINGS, read_findings};
pub use model::Scenario;
pub use starter::{Answers, starter};
pub use summary::{Understood, understood};
pub(crate) use taken::WATER_CEMENT_RATIO;

use std::sync::LazyLock;

pub(crate) use faults::{Collector, either, nearest};
use sense::Sense;
use shape::Shape;

/// Reads a scenario from the bytes of a file. `display_name` is how faults call the file.
///
/// # Errors
/// Every fault found, in the order of the file.
pub fn read_bytes(bytes: &[u8], display_name: &str) -> Result<Scenario, Faults> {
    match std::str::from_utf8(bytes) {
        Ok(text) => read(text, display_name),
        Err(error) => {
            let good = error.valid_up_to();
            let text =
                std::str::from_utf8(bytes.get(..good).unwrap_or_default()).unwrap_or_default();
            let mut faults = Collector::new(text);
            let message = if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
                "The file is written in UTF-16.".to_owned()
            } else {
                format!(
                    "The file is not UTF-8 text: byte {} cannot be read.",
                    good + 1
                )
            };
            faults.add(
                "",
                &(good..good),
                message,
                "Save it as UTF-8 in the editor.",
            );
            Err(faults.finish(display_name))
        }
    }
}

/// Reads a scenario. `display_name` is how faults call the file.
///
/// # Errors
/// Every fault found, in the order of the file.
pub fn read(text: &str, display_name: &str) -> Result<Scenario, Faults> {
    let mut faults = Collector::new(if text.len() > json::LARGEST_BYTES {
        ""
    } else {
        text
    });
    let tree = match json::read(text) {
        Ok(tree) => tree,
        Err(fault) => {
            faults.add("", &fault.span, fault.message, fault.help);
            return Err(faults.finish(display_name));
        }
    };
    Shape {
        faults: &mut faults,
        money: None,
    }
    .walk(&tree);
    Sense::of(&tree, &mut faults).check();
    if !faults.is_empty() {
        return Err(faults.finish(display_name));
    }
    match serde_path_to_error::deserialize(tree.to_json()) {
        Ok(scenario) => Ok(scenario),
        Err(error) => {
            // The schema and the types come from one source, so this should not happen; if it does, it is still a fault with a path.
            faults.add(
                &error.path().to_string(),
                &tree.span,
                error.inner().to_string(),
                "Compare this key with the schema: `coatday schema`.",
            );
            Err(faults.finish(display_name))
        }
    }
}

/// The JSON Schema of a scenario, for editors and for reading.
#[must_use]
pub fn schema() -> serde_json::Value {
    schema_of_scenario().clone()
}

/// The same, made once.
pub(crate) fn schema_of_scenario() -> &'static serde_json::Value {
    static SCHEMA: LazyLock<serde_json::Value> = LazyLock::new(|| {
        let mut schema = schemars::schema_for!(Scenario).to_value();
        tell_defaults(&mut schema);
        schema
    });
    &SCHEMA
}

/// Says the default of each key at the end of its description, for editors that show no more.
fn tell_defaults(schema: &mut serde_json::Value) {
    match schema {
        serde_json::Value::Object(members) => {
            let text = |key: &str| members.get(key).and_then(serde_json::Value::as_str);
            let value = match members.get("default") {
                Some(serde_json::Value::String(text)) => Some(text.replace('_', " ")),
                Some(other) if other.is_number() => Some(other.to_string()),
                _ => text("x-without").map(str::to_owned),
            };
            let why = text("x-why").filter(|why| !why.is_empty());
            let words = match (value, why) {
                (Some(value), Some(why)) => format!(" Default {value}: {why}."),
                (Some(value), None) => format!(" Default {value}."),
                (None, Some(why)) => format!(" Default: {why}."),
                (None, None) => String::new(),
            };
            if let (false, Some(help)) = (words.is_empty(), text("description")) {
                let help = format!("{help}{words}");
                members.insert("description".to_owned(), help.into());
            }
            members.values_mut().for_each(tell_defaults);
        }
        serde_json::Value::Array(items) => items.iter_mut().for_each(tell_defaults),
        _ => {}
    }
}
