//! A text that is not saved yet: edits, its form, its faults.

use super::form_html;
use super::refusal::Refusal;
use super::shared::Shared;
use crate::scenario::edit::{Edit, edited};
use crate::scenario::form::{Control, Field, Form, form};
use crate::units::System;
use axum::Json;
use axum::extract::State;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// A draft and what is to change in it.
#[derive(Debug, Deserialize)]
pub(super) struct Asked {
    /// The file it belongs to.
    file: String,
    /// Its text.
    text: String,
    /// Changes, one after the other.
    #[serde(default)]
    edits: Vec<Edit>,
    /// Whether the form is wanted whatever has changed.
    #[serde(default)]
    whole: bool,
    units: Option<String>,
}

/// The draft after its changes.
#[derive(Debug, Serialize)]
pub(super) struct Draft {
    text: String,
    /// The form as HTML; none if only notes have changed.
    form: Option<String>,
    /// The notes under the fields by their paths.
    notes: Vec<(String, String)>,
    /// What each group says in a line.
    lines: Vec<String>,
    /// How many faults there are.
    faults: usize,
}

/// The units that a page shows.
pub(super) fn system(units: Option<&str>, usual: System) -> System {
    match units {
        Some("us") => System::Us,
        Some("si") => System::Si,
        _ => usual,
    }
}

pub(super) async fn draft(
    State(shared): State<Arc<Shared>>,
    Json(asked): Json<Asked>,
) -> Result<Json<Draft>, Refusal> {
    let units = system(asked.units.as_deref(), shared.system);
    let found = tokio::task::spawn_blocking(move || changed(&asked, units)).await;
    found.map_err(|_| Refusal::told("The change could not be made. Reload the page."))?
}

fn changed(asked: &Asked, units: System) -> Result<Json<Draft>, Refusal> {
    let mut text = asked.text.clone();
    for edit in &asked.edits {
        text = edited(&text, edit)?;
    }
    let read =
        |text: &str| form(text, &asked.file).map_err(|faults| Refusal::told(faults.to_string()));
    let new = read(&text)?;
    let whole = asked.whole || shape(&read(&asked.text)?) != shape(&new);
    let mut notes = Vec::new();
    for field in new.groups.iter().flat_map(|group| &group.fields) {
        each(field, &mut |field| {
            let html = form_html::note(field, units).into_string();
            notes.push((field.path.clone(), html));
        });
    }
    Ok(Json(Draft {
        form: whole.then(|| form_html::form(&new, units).into_string()),
        lines: new
            .groups
            .iter()
            .map(|group| form_html::line(group, units))
            .collect(),
        faults: new.faults.len(),
        notes,
        text,
    }))
}

/// Every field from the top down.
fn each(field: &Field, to: &mut dyn FnMut(&Field)) {
    to(field);
    let below = match &field.control {
        Control::Kind { fields, .. } | Control::Object { fields, .. } => fields,
        Control::List { entries, .. } => entries,
        Control::Text { .. } | Control::Words { .. } => return,
    };
    for field in below {
        each(field, to);
    }
}

/// What a form looks like without its notes and texts.
fn shape(form: &Form) -> Vec<(String, Option<String>, bool)> {
    let mut all = Vec::new();
    for field in form.groups.iter().flat_map(|group| &group.fields) {
        each(field, &mut |field| {
            let chosen = match &field.control {
                Control::Words { chosen, .. } | Control::Kind { chosen, .. } => chosen.clone(),
                _ => None,
            };
            let text = matches!(field.control, Control::Text { .. });
            all.push((field.path.clone(), chosen, field.given && !text));
        });
    }
    all
}
