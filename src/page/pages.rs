//! The other pages: what a command says of a draft, the report, the file for the phone.

use super::answer::{Asked, document_html, opened};
use super::draft::system;
use super::refusal::Refusal;
use super::shared::Shared;
use crate::computer::{clock, logbook};
use crate::facade::{self, NoAnswer};
use crate::moisture_log::Log;
use crate::open::OpenJob;
use crate::results::Answer;
use crate::units::System;
use crate::writers::html::html as file_of;
use crate::writers::letter::letter;
use crate::writers::pdf::{Paper, pdf};
use axum::Json;
use axum::body::Body;
use axum::extract::{Path as Named, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Serialize;
use serde_json::json;
use std::sync::Arc;

/// HTML of a page.
#[derive(Debug, Serialize)]
pub(super) struct Page {
    html: String,
}

impl Page {
    pub(super) fn of(html: impl Into<String>) -> Self {
        Self { html: html.into() }
    }
}

impl From<NoAnswer> for Refusal {
    fn from(fault: NoAnswer) -> Self {
        Self::told(fault.to_string())
    }
}

/// Computes beside the server, one of a few at a time.
pub(super) async fn beside<T: Send + 'static>(
    shared: Arc<Shared>,
    work: impl FnOnce(&Shared) -> Result<T, Refusal> + Send + 'static,
) -> Result<T, Refusal> {
    let gone = |_| {
        Refusal(
            StatusCode::INTERNAL_SERVER_ERROR,
            "This could not be computed. Look for extreme values in the job.".into(),
        )
    };
    let turn = shared.computing.clone().acquire_owned().await;
    let turn = turn.map_err(|_| Refusal::told("The page is closing."))?;
    let found = tokio::task::spawn_blocking(move || {
        let _turn = turn;
        work(&shared)
    });
    found.await.map_err(gone)?
}

/// What a command says of a draft.
pub(super) async fn show(
    State(shared): State<Arc<Shared>>,
    Named(what): Named<String>,
    Json(asked): Json<Asked>,
) -> Result<Json<Page>, Refusal> {
    beside(shared, move |shared| {
        let units = system(asked.units.as_deref(), shared.system);
        let open = opened(shared, &asked.file, &asked.text)?;
        let sampling = asked.sampling();
        let document = match what.as_str() {
            "compare" => facade::compare(&open, sampling).document(units),
            "size" => facade::size(&open)?.document(units),
            "plan" => facade::plan(&open, sampling)?.document(units),
            "explain" => facade::explain(&open, None, None, sampling)?.document(units),
            "prep" => facade::prep(&open, sampling)?.document(units),
            "forecast" => {
                let log = log_of(shared, &asked.file, &open)?;
                let now = clock::now();
                facade::forecast(&open, None, &log, now, facade::WORTH_TESTING, sampling)?
                    .document(units)
            }
            _ => {
                return Err(Refusal(
                    StatusCode::NOT_FOUND,
                    "There is no such page.".into(),
                ));
            }
        };
        Ok(Json(Page::of(document_html(&document))))
    })
    .await
}

/// The log beside a job.
pub(super) fn log_of(shared: &Shared, file: &str, open: &OpenJob) -> Result<Log, Refusal> {
    let path = shared.folder.path_of(file)?;
    let (_, log) = logbook::log(&path, None, open.scenario.slab.placed)?;
    Ok(log.unwrap_or_default())
}

/// A job without what its drying costs.
pub(super) fn quickly(shared: &Shared, file: &str, text: &str) -> Result<OpenJob, Refusal> {
    let path = shared.folder.path_of(file)?;
    let scenario = crate::open::parse(text.as_bytes(), file);
    let scenario = scenario.map_err(|faults| Refusal::told(faults.to_string()))?;
    shared.folder.holds(&scenario)?;
    let open = crate::open::without_drying(&path, scenario);
    open.map_err(|fault| Refusal::told(fault.to_string()))
}
/// A report as a file or as a page.
pub(super) async fn report(
    State(shared): State<Arc<Shared>>,
    Named(kind): Named<String>,
    Json(asked): Json<Asked>,
) -> Result<Response, Refusal> {
    beside(shared, move |shared| {
        let units = system(asked.units.as_deref(), shared.system);
        let open = opened(shared, &asked.file, &asked.text)?;
        let path = shared.folder.path_of(&asked.file)?;
        let (_, log) = logbook::log(&path, None, open.scenario.slab.placed)?;
        if let Some(faults) = log.as_ref().and_then(|log| log.faults.as_ref()) {
            return Err(Refusal::told(faults.to_string()));
        }
        let made = clock::now().date();
        let sampling = asked.sampling();
        let document = facade::report(&open, None, log.as_ref(), made, sampling, units)?;
        let paper = match units {
            System::Us | System::Both => Paper::Letter,
            System::Si => Paper::A4,
        };
        let printed =
            |document| pdf(document, paper).map_err(|fault| Refusal::told(fault.to_string()));
        let (media, bytes) = match kind.as_str() {
            "preview" => {
                return Ok(Json(json!({ "html": document_html(&document) })).into_response());
            }
            "report.html" => ("text/html; charset=utf-8", file_of(&document).into_bytes()),
            "report.pdf" => ("application/pdf", printed(&document)?),
            "letter.pdf" => ("application/pdf", printed(&document.letter())?),
            "letter.txt" => (
                "text/plain; charset=utf-8",
                letter(&document.letter()).into_bytes(),
            ),
            _ => {
                return Err(Refusal(
                    StatusCode::NOT_FOUND,
                    "There is no such report.".into(),
                ));
            }
        };
        Ok(([(header::CONTENT_TYPE, media)], Body::from(bytes)).into_response())
    })
    .await
}

/// The file for the phone.
pub(super) async fn pocket(
    State(shared): State<Arc<Shared>>,
    Json(asked): Json<Asked>,
) -> Result<Response, Refusal> {
    beside(shared, move |shared| {
        let units = system(asked.units.as_deref(), shared.system);
        let open = opened(shared, &asked.file, &asked.text)?;
        let file = super::pocket::pocket(&open, asked.sampling(), clock::now(), units);
        Ok((
            [(header::CONTENT_TYPE, "text/html; charset=utf-8")],
            Body::from(file),
        )
            .into_response())
    })
    .await
}
