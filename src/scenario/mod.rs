//! What the user wrote: JSON model, units, faults with their place.
//!
//! [`read`] gives the [`Scenario`] or every [`Fault`] at once. It goes in three steps: text to a tree with places, the tree against the
//! schema made from the model's types, and the checks no schema can say. Only a text without a fault becomes a [`Scenario`].

mod american;
pub mod answers;
pub mod coating_window;
pub mod edit;
mod faults;
mod finding_checks;
mod findings_csv;
pub mod form;
mod json;
mod keys;
pub mod model;
mod moment;
mod schema;
mod schema_words;
mod sense;
mod shape;
mod spelling;
mod starter;
mod summary;
mod taken;

pub use faults::{Fault, Faults};
pub use findings_csv::{MOST_FINDINGS, read_findings};
pub use model::Scenario;
pub use moment::Moment;
pub use schema::schema;
pub(crate) use spelling::resolve;
pub use spelling::{aliases, renamed};
pub use starter::{Answers, Known, starter, written};
pub use summary::{Understood, understood};
pub(crate) use taken::hourly_from;
pub use taken::{RatioFrom, designed_strength};

pub(crate) use faults::{Collector, either, nearest};
use sense::Sense;
use shape::Shape;

/// An entry of a list of the walk whose name means nothing on this floor.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unknown {
    /// The list under `walk`.
    pub list: &'static str,
    /// Place in that list.
    pub entry: usize,
    /// The key that is at fault.
    pub key: &'static str,
    /// What is wrong.
    pub message: String,
    /// What to do.
    pub help: String,
}

/// Such entries as faults with their places in the text that they were read from.
pub(crate) fn placed_faults(text: &str, display_name: &str, unknown: &[Unknown]) -> Faults {
    let mut faults = Collector::new(text);
    let tree = json::read(text).ok().map(|mut tree| {
        spelling::canonical(&mut tree);
        tree
    });
    for one in unknown {
        let list = tree
            .as_ref()
            .and_then(|tree| tree.get("walk")?.get(one.list));
        let entry = list.and_then(|list| list.items().get(one.entry));
        let value = entry.and_then(|entry| entry.get(one.key));
        let span = value.or(entry).map_or(0..0, |node| node.span.clone());
        let path = format!("walk.{}[{}].{}", one.list, one.entry, one.key);
        faults.add(&path, &span, one.message.as_str(), one.help.as_str());
    }
    faults.finish(display_name)
}

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
    let mut tree = match json::read(text) {
        Ok(tree) => tree,
        Err(fault) => {
            faults.add("", &fault.span, fault.message, fault.help);
            return Err(faults.finish(display_name));
        }
    };
    spelling::canonical(&mut tree);
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

/// What to say of names of an earlier version that stand in a scenario's text: each is still read.
#[must_use]
pub fn old_names(text: &str) -> Vec<String> {
    let Ok(mut tree) = json::read(text) else {
        return Vec::new();
    };
    let old = spelling::canonical(&mut tree).into_iter();
    old.map(|(typed, new)| {
        format!(
            "\"{}\" is now called \"{new}\". The old name is read in this version only: change it in the file.",
            faults::cut(&typed)
        )
    })
    .collect()
}
