//! The walk by tapping: a plan of the floor, and the finding that a tap begins.

use super::draft::system;
use super::refusal::Refusal;
use super::shared::Shared;
use crate::scenario::edit::Edit;
use crate::scenario::form::{Control, Field, Word, form};
use crate::scenario::model::{FloorArea, Scenario};
use crate::units::format::{capital, fixed, with_unit};
use crate::units::{Kind, System};
use axum::Json;
use axum::extract::State;
use maud::{Markup, html};
use serde::Deserialize;
use serde_json::{Value, json};
use std::sync::Arc;

/// A draft, and where something was found.
#[derive(Debug, Deserialize)]
pub(super) struct Asked {
    file: String,
    text: String,
    units: Option<String>,
    /// What was found; the plan is asked for where it is left out.
    kind: Option<String>,
    /// In which area.
    #[serde(default)]
    area: String,
    /// Where on the drawing of the plan.
    spot: Option<[f64; 2]>,
}

pub(super) async fn walk(
    State(shared): State<Arc<Shared>>,
    Json(asked): Json<Asked>,
) -> Result<Json<Value>, Refusal> {
    let units = system(asked.units.as_deref(), shared.system);
    let found = tokio::task::spawn_blocking(move || found(&asked, units)).await;
    found.map_err(|_| Refusal::told("The plan could not be drawn. Reload the page."))?
}

fn found(asked: &Asked, units: System) -> Result<Json<Value>, Refusal> {
    let read = crate::open::parse(asked.text.as_bytes(), &asked.file);
    let scenario = read.map_err(|faults| Refusal::told(faults.to_string()))?;
    let Some(walk) = &scenario.walk else {
        return Err(Refusal::told(
            "The job has no walk yet. Under Job, open Walk and press \"Give: Walk\". Name the areas of the floor there.",
        ));
    };
    let words = kinds(&asked.text, &asked.file);
    let Some(kind) = &asked.kind else {
        let html = page(&scenario, &walk.areas, &words, units).into_string();
        return Ok(Json(json!({ "html": html })));
    };
    let word = words.iter().find(|word| word.word == *kind);
    let mut value = word
        .map(|word| word.value.clone())
        .ok_or_else(|| Refusal::told("There is no such finding. Reload the page."))?;
    if let Some(keys) = value.get_mut(kind.as_str()) {
        let name = Some(asked.area.as_str()).filter(|area| !area.is_empty());
        let first = walk.areas.first().map(|area| area.name.as_str());
        keys["area"] = json!(name.or(first).unwrap_or_default());
        if let Some([x, y]) = asked.spot {
            // On the drawing down is positive, on the plan up.
            let text = |value: f64| with_unit(&fixed(value, 1), unit(units));
            keys["x"] = json!(text(x));
            keys["y"] = json!(text(-y));
        }
    }
    let edit = match &walk.findings {
        Some(_) => json!({ "path": "walk.findings[+]", "value": value }),
        None => json!({ "path": "walk.findings", "value": [value] }),
    };
    // What stands in the list of edits is an edit.
    serde_json::from_value::<Edit>(edit.clone()).map_err(|e| Refusal::told(e.to_string()))?;
    Ok(Json(json!({ "edits": [edit] })))
}

/// What may be found, from the declaration of the key.
fn kinds(text: &str, file: &str) -> Vec<Word> {
    let Ok(form) = form(text, file) else {
        return Vec::new();
    };
    let fields = form.groups.iter().flat_map(|group| &group.fields);
    let walk = fields.filter(|field| field.path == "walk");
    let below = walk.flat_map(|field| match &field.control {
        Control::Object { fields, .. } => fields.as_slice(),
        _ => &[],
    });
    let list = below
        .into_iter()
        .find(|field: &&Field| field.path == "walk.findings");
    match list.map(|field| &field.control) {
        Some(Control::List { new, .. }) => new.clone(),
        _ => Vec::new(),
    }
}

fn page(scenario: &Scenario, areas: &[FloorArea], words: &[Word], units: System) -> Markup {
    html! {
        (plan(scenario, areas, units))
        div.field {
            label for="area" { "Area" }
            select id="area" name="area" { @for area in areas { option value=(area.name) { (area.name) } } }
        }
        p.said-spot role="status" { "Tap the spot on the plan, or choose an area. Then say what you found." }
        div.add {
            @for word in words {
                button type="button" data-finding=(word.word) { (capital(word.label.shown(units))) }
            }
        }
    }
}

/// The outlines of the areas with what was found so far; nothing where no area has an outline.
fn plan(scenario: &Scenario, areas: &[FloorArea], units: System) -> Markup {
    let number = |metres: f64| metres / scale(units);
    let outlines: Vec<(&str, Vec<(f64, f64)>)> = areas
        .iter()
        .map(|area| {
            let corners = area.corners().into_iter();
            (
                area.name.as_str(),
                corners.map(|(x, y)| (number(x), -number(y))).collect(),
            )
        })
        .filter(|(_, corners): &(_, Vec<_>)| corners.len() > 2)
        .collect();
    let all: Vec<(f64, f64)> = outlines
        .iter()
        .flat_map(|(_, corners)| corners.clone())
        .collect();
    let end = |pick: fn(&(f64, f64)) -> f64, best: fn(f64, f64) -> f64, from: f64| {
        all.iter().map(pick).fold(from, best)
    };
    if all.is_empty() {
        return html! { p.help { "No area has an outline, so there is no plan to tap on. Give the corners of an area under Job: Walk." } };
    }
    let (left, right) = (
        end(|c| c.0, f64::min, f64::INFINITY),
        end(|c| c.0, f64::max, f64::NEG_INFINITY),
    );
    let (top, bottom) = (
        end(|c| c.1, f64::min, f64::INFINITY),
        end(|c| c.1, f64::max, f64::NEG_INFINITY),
    );
    let (width, height) = (right - left, bottom - top);
    let edge = 0.04 * width.max(height);
    let view = format!(
        "{} {} {} {}",
        left - edge,
        top - edge,
        width + 2.0 * edge,
        height + 2.0 * edge
    );
    let spots = scenario
        .walk
        .iter()
        .flat_map(|walk| walk.findings.iter().flatten());
    let spots = spots.filter_map(|finding| {
        let value = serde_json::to_value(finding).ok()?;
        let keys = value.as_object()?.values().next()?.clone();
        let at = |key: &str| {
            let amount = crate::units::parse(Kind::Length, keys.get(key)?.as_str()?).ok()?;
            Some(number(amount.si()))
        };
        Some((at("x")?, -at("y")?))
    });
    html! {
        svg.plan viewBox=(view) role="img" aria-label="Plan of the floor" preserveAspectRatio="xMidYMid meet" {
            @for (name, corners) in &outlines {
                polygon points=(points(corners)) data-area=(name) fill="#f4f5f6" stroke="#262a2e" stroke-width=(edge / 10.0) { title { (name) } }
            }
            @for (x, y) in spots { circle cx=(x) cy=(y) r=(edge / 3.0) fill="#565d65" {} }
            circle.spot visibility="hidden" r=(edge / 2.0) fill="none" stroke="#a3230f" stroke-width=(edge / 6.0) {}
        }
    }
}

/// The unit of the drawing.
fn unit(units: System) -> &'static str {
    match units {
        System::Us | System::Both => "ft",
        System::Si => "m",
    }
}

/// Metres in it.
fn scale(units: System) -> f64 {
    let one = crate::units::parse(Kind::Length, &with_unit("1", unit(units)));
    one.map_or(1.0, |amount| amount.si())
}

fn points(corners: &[(f64, f64)]) -> String {
    let all: Vec<String> = corners.iter().map(|(x, y)| format!("{x},{y}")).collect();
    all.join(" ")
}
