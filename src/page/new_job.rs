//! A new job: what `coatday new` asks, or an example.

use super::draft::system;
use super::folder::EXAMPLES;
use super::pages::Page;
use super::refusal::Refusal;
use super::shared::Shared;
use super::small_form::{ByField, Typed, question, questions};
use crate::computer::clock;
use crate::scenario::edit::{Edit, edited};
use crate::scenario::model::WET_CURING;
use crate::scenario::{Known, answers, written};
use crate::units::DAY;
use axum::Json;
use axum::extract::State;
use jiff::ToSpan;
use maud::html;
use serde::Deserialize;
use serde_json::{Value, json};
use std::sync::Arc;

/// The form for a new job: what `coatday new` asks.
pub(super) async fn new_form() -> Json<Page> {
    let all = [
        question("file", "File name", "north_wing.json", true),
        question("name", "Name of the job", "North wing", false),
        question("place", "Where is the job?", "Tulsa, OK", true),
        question("area", "How big is the floor?", "2,000 ft2", true),
        question("thickness", "How thick is the slab?", "5 1/2 in", true),
        question(
            "poured",
            "When was it poured, or when will it be?",
            "2026-11-02",
            true,
        ),
        question(
            "mix",
            "What mix? Leave it empty if you don't know",
            "0.45, or 4000 psi",
            false,
        ),
        question(
            "heating",
            "Is the building heated? Leave it empty if you don't know",
            "65 F, or no",
            false,
        ),
        question(
            "needed_by",
            "When must the floor be ready? Leave it empty if there is no date",
            "2027-03-01",
            false,
        ),
        question(
            "limits",
            "What does the coating's data sheet ask for? Leave it empty if you don't know",
            "85 %",
            false,
        ),
        question(
            "gear",
            "What gear is on hand? Leave it empty for an example",
            "4 fans, 2 dehumidifiers",
            false,
        ),
    ];
    let html = html! {
        (questions(&all, "Make the job", "new"))
        h2 { "Or start from an example" }
        div.add {
            @for (key, text) in EXAMPLES {
                button type="button" data-example=(key) { (super::folder::example_name(text)) }
            }
        }
    };
    Json(Page::of(html.into_string()))
}

/// A new job.
#[derive(Debug, Deserialize)]
pub(super) struct NewJob {
    #[serde(default)]
    typed: Typed,
    example: Option<String>,
    units: Option<String>,
}

/// Makes a job from answers or an example. Gives its file or what is wrong with each answer.
pub(super) async fn new_job(
    State(shared): State<Arc<Shared>>,
    Json(asked): Json<NewJob>,
) -> Result<Json<Value>, Refusal> {
    let units = system(asked.units.as_deref(), shared.system);
    if let Some(key) = &asked.example {
        let example = EXAMPLES.iter().find(|(name, _)| name == key);
        let (name, text) = example.ok_or_else(|| Refusal::told("There is no such example."))?;
        let file = format!("{name}.json");
        shared.folder.save(&file, None, text)?;
        return Ok(Json(json!({ "file": file })));
    }
    let text = |key: &str| asked.typed.get(key).map_or("", |text| text.trim());
    let today = clock::now().date();
    let mut faults = ByField::default();
    let mut file = text("file").to_owned();
    if !file.is_empty() && std::path::Path::new(&file).extension().is_none() {
        file += ".json";
    }
    let path = faults.take(
        "file",
        shared.folder.path_of(&file).map_err(|refusal| refusal.1),
    );
    let place = faults.take("place", answers::place(text("place")));
    let area = faults.take("area", answers::area(text("area")));
    let thickness = faults.take("thickness", answers::thickness(text("thickness")));
    let placed = faults.take("poured", answers::poured(text("poured"), today));
    let mix = faults.take("mix", answers::mix(text("mix")));
    let heating = faults.take("heating", answers::heating(text("heating")));
    let cured = placed.and_then(|placed| {
        placed
            .checked_add(((WET_CURING.si() / DAY) as i64).days())
            .ok()
    });
    let gear_on = cured.map_or(today, |cured| cured.max(today));
    let needed_by = faults.take("needed_by", answers::needed_by(text("needed_by"), gear_on));
    let targets = faults.take("limits", answers::limits(text("limits")));
    let gear = faults.take("gear", answers::gear(text("gear")));
    let known = (|| {
        Some(Known {
            place: place?,
            area: area?,
            thickness: thickness?,
            placed: placed?,
            gear_on,
            mix: mix?,
            underside: None,
            construction: None,
            heating: heating?,
            needed_by: needed_by?,
            targets: targets?,
            gear: gear?,
            system: units,
        })
    })();
    let (Some(known), Some(_)) = (known, path) else {
        return Ok(Json(faults.json()));
    };
    let (mut made, _) = written(&known)?;
    if !text("name").is_empty() {
        let edit = Edit {
            path: "name".into(),
            value: json!(text("name")),
        };
        made = edited(&made, &edit)?;
    }
    // What the answers say can be impossible together: then nothing is written.
    crate::open::parse(made.as_bytes(), &file).map_err(|faults| {
        let lines = faults
            .faults
            .iter()
            .map(|fault| format!("{} {}", fault.message, fault.help));
        lines.collect::<Vec<_>>().join(" ") + " Nothing was written."
    })?;
    match shared.folder.save(&file, None, &made) {
        Ok(_) => Ok(Json(json!({ "file": file }))),
        Err(refusal) => {
            faults.0.insert("file".into(), refusal.1);
            Ok(Json(faults.json()))
        }
    }
}
