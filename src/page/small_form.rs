//! Small forms: a few questions, each with its fault below it.

use maud::{Markup, html};
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// What a text of a field came to, with the field in the fault.
pub(super) type Typed = BTreeMap<String, String>;

/// Faults by their fields.
#[derive(Default)]
pub(super) struct ByField(pub(super) BTreeMap<String, String>);

impl ByField {
    pub(super) fn take<T>(&mut self, field: &str, found: Result<T, String>) -> Option<T> {
        found
            .map_err(|fault| self.0.insert(field.to_owned(), fault))
            .ok()
    }

    pub(super) fn json(self) -> Value {
        json!({ "faults": self.0 })
    }
}

/// One question of a small form.
pub(super) struct Question {
    key: &'static str,
    label: String,
    example: &'static str,
    needed: bool,
}

pub(super) fn question(
    key: &'static str,
    label: &str,
    example: &'static str,
    needed: bool,
) -> Question {
    Question {
        key,
        label: label.to_owned(),
        example,
        needed,
    }
}

pub(super) fn questions(of: &[Question], send: &str, name: &str) -> Markup {
    html! {
        form.questions data-send=(name) {
            @for one in of {
                div.field {
                    label for={ (name) "-" (one.key) } { (one.label) @if one.needed { span.must { " (needed)" } } }
                    input id={ (name) "-" (one.key) } name=(one.key) placeholder={ "such as " (one.example) } autocomplete="off" spellcheck="false"
                        aria-describedby={ (name) "-" (one.key) "-note" };
                    p.note id={ (name) "-" (one.key) "-note" } data-fault=(one.key) {}
                }
            }
            button.main type="submit" { (send) }
            p.said role="status" {}
        }
    }
}
