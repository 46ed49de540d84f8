//! The answer beside the form, told step by step while it is computed.

use super::draft::system;
use super::refusal::Refusal;
use super::shared::Shared;
use crate::computer::logbook;
use crate::evaluate::odds::USUAL_SEED;
use crate::facade::{self, Sampling, Step};
use crate::open::{OpenJob, open_text};
use crate::results::compare::Comparison;
use crate::results::verdict::{sentence, title};
use crate::results::{Answer, Block, Document};
use crate::units::System;
use crate::units::format::{counted, date, percent};
use crate::verdict::Verdict;
use crate::writers::html::{Shown, body};
use axum::Json;
use axum::extract::State;
use axum::response::sse::{Event, KeepAlive, Sse};
use futures_util::stream::{Stream, unfold};
use maud::{Markup, html};
use serde::Deserialize;
use serde_json::json;
use std::cell::Cell;
use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::mpsc::{Sender, channel};

/// Steps that may wait for the browser.
const WAITING: usize = 8;
/// A sign of life while a step takes long, which also tells whether the browser still listens.
const SIGN: Duration = Duration::from_secs(2);
/// The limits that the slider has, in percent.
const LIMITS: std::ops::RangeInclusive<u32> = 75..=99;

/// A text to compute.
#[derive(Debug, Deserialize)]
pub(super) struct Asked {
    /// The file it belongs to.
    pub(super) file: String,
    /// Its text.
    pub(super) text: String,
    pub(super) units: Option<String>,
    /// Cases to sample; the usual number if left out.
    pub(super) samples: Option<u32>,
}

/// Most cases that the page samples.
const MOST_SAMPLES: u32 = 256;

impl Asked {
    /// How many cases are sampled.
    pub(super) fn sampling(&self) -> Sampling {
        let usual = Sampling::default();
        Sampling {
            samples: self.samples.map_or(usual.samples, |n| n.min(MOST_SAMPLES)),
            seed: USUAL_SEED,
        }
    }
}

/// The job of a draft with the readings beside its file.
pub(super) fn opened(shared: &Shared, file: &str, text: &str) -> Result<OpenJob, Refusal> {
    let path = shared.folder.path_of(file)?;
    let scenario = crate::open::parse(text.as_bytes(), file);
    let scenario = scenario.map_err(|faults| Refusal::told(faults.to_string()))?;
    shared.folder.holds(&scenario)?;
    let open = open_text(&path, text).map_err(|fault| Refusal::told(fault.to_string()))?;
    Ok(logbook::with_readings(open, &path)?)
}

pub(super) async fn answer(
    State(shared): State<Arc<Shared>>,
    Json(asked): Json<Asked>,
) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    let (sender, receiver) = channel(WAITING);
    tokio::spawn(async move {
        let Ok(turn) = shared.computing.clone().acquire_owned().await else {
            return;
        };
        // Whoever has changed the draft meanwhile has gone.
        if sender.is_closed() {
            return;
        }
        let work = tokio::task::spawn_blocking(move || {
            let _turn = turn;
            compute(&shared, &asked, &sender);
        });
        let _ = work.await;
    });
    let events = unfold(receiver, |mut receiver| async {
        let event: Event = receiver.recv().await?;
        Some((Ok(event), receiver))
    });
    Sse::new(events).keep_alive(KeepAlive::new().interval(SIGN))
}

/// Sends an event; what nobody listens to is dropped.
fn tell(sender: &Sender<Event>, name: &str, data: &serde_json::Value) {
    let _ = sender.blocking_send(Event::default().event(name).data(data.to_string()));
}

fn compute(shared: &Shared, asked: &Asked, sender: &Sender<Event>) {
    let units = system(asked.units.as_deref(), shared.system);
    let open = match opened(shared, &asked.file, &asked.text) {
        Ok(open) => open,
        Err(refusal) => return tell(sender, "fault", &json!({ "fault": refusal.1 })),
    };
    let told = Cell::new(false);
    let show = |found: &Comparison<'_>, step: Step| {
        let (top, rest) = answered(found, step, units);
        let verdict = found.verdicts.first();
        tell(
            sender,
            "answer",
            &json!({
                "top": top.into_string(), "rest": rest.into_string(), "sampled": step.sampled, "of": step.of, "last": step.last,
                "says": verdict.map(|v| title(v, units)),
            }),
        );
        if !told.replace(true) && !sender.is_closed() {
            limits(&open, verdict, units, sender);
        }
    };
    facade::compare_watched(&open, asked.sampling(), &show, &|| !sender.is_closed());
}

/// The dates at every limit of the slider.
fn limits(open: &OpenJob, best: Option<&Verdict>, units: System, sender: &Sender<Event>) {
    let Some(best) = best else { return };
    let shares: Vec<f64> = LIMITS.map(|limit| f64::from(limit) / 100.0).collect();
    let Ok(found) = facade::limits(open, Some(&best.setup), &shares) else {
        return;
    };
    let rows = shares.iter().zip(&found).map(|(share, v)| {
        json!({ "limit": percent(*share), "says": day(v, units), "meaning": against(v, units) })
    });
    let own = open
        .scenario
        .targets()
        .iter()
        .find_map(|target| match target {
            crate::scenario::model::Target::RelativeHumidityAtDepth(at) => Some(at.limit.si()),
            _ => None,
        });
    tell(
        sender,
        "limits",
        &json!({
            "rows": rows.collect::<Vec<_>>(), "setup": best.setup,
            "own": own.map(percent),
        }),
    );
}

/// The date, or that there is none.
fn day(v: &Verdict, units: System) -> String {
    match v.date() {
        Some(day) => date(day, units),
        None => format!("Not dry by {}", date(v.horizon, units)),
    }
}

/// The verdict in words without its setup.
fn against(v: &Verdict, units: System) -> String {
    title(v, units)
}

/// A verdict as it stands at the top of a page.
pub(super) fn headline(v: &Verdict, units: System) -> Markup {
    let state = if v.on_hold() { "hold" } else { "verdict" };
    html! {
        div.verdict data-state=(state) {
            @if v.on_hold() { p.held { "ON HOLD" } }
            p.date { (day(v, units)) }
            p.sentence { (sentence(v, units)) }
        }
    }
}

/// The answer so far: what stands above the slider of the limit, and what stands below it.
fn answered(found: &Comparison<'_>, step: Step, units: System) -> (Markup, Markup) {
    let document = found.document(units);
    let mut blocks: Vec<Block> = document.blocks().cloned().collect();
    // The headline stands at the top already.
    if matches!(blocks.first(), Some(Block::Text(_))) {
        blocks.remove(0);
    }
    let (lists, rest): (Vec<Block>, Vec<Block>) =
        split(blocks, |block| matches!(block, Block::List(_)));
    let (figures, rest) = split(rest, |block| matches!(block, Block::Figure(_)));
    let (asides, rest) = split(rest, |block| {
        matches!(block, Block::Details(_) | Block::DetailTable(_))
    });
    let part = |blocks: Vec<Block>| maud::PreEscaped(shown(&blocks));
    let mut figures = figures.into_iter();
    let first: Vec<Block> = figures.by_ref().take(1).collect();
    let top = html! {
        @if let Some(v) = found.verdicts.first() { (headline(v, units)) }
        @if !step.last {
            p.progress role="status" {
                @if step.sampled == 0 { "One run with the inputs as stated. The odds are coming." }
                @else { (step.sampled) " of " (counted(step.of, "case")) }
                progress max=(step.of.max(1)) value=(step.sampled) aria-label="Cases sampled" {}
            }
        }
        (part(lists))
        (part(first))
    };
    let rest = html! {
        (part(figures.collect()))
        (part(rest))
        @if !asides.is_empty() {
            details.aside { summary { "Other limits, other ways to coat, and details" } (part(asides)) }
        }
    };
    (top, rest)
}

fn split(blocks: Vec<Block>, first: impl Fn(&Block) -> bool) -> (Vec<Block>, Vec<Block>) {
    blocks.into_iter().partition(first)
}

/// Blocks as HTML.
pub(super) fn shown(blocks: &[Block]) -> String {
    document_html(&Document::new("", blocks.to_vec()))
}

/// A document as HTML for the page, whose policy allows no style in an element.
pub(super) fn document_html(document: &Document) -> String {
    let html = body(document, Shown::All);
    let mut out = String::with_capacity(html.len());
    let mut rest = html.as_str();
    // Words of a document never hold a tag, so what starts with "<svg " is a drawing.
    while let Some(at) = rest.find("<svg ") {
        let (before, drawing) = rest.split_at(at);
        out.push_str(before);
        let end = drawing.find('>').unwrap_or(drawing.len());
        let (tag, after) = drawing.split_at(end);
        match tag.split_once(" style=\"") {
            Some((head, tail)) => {
                out.push_str(head);
                out.push_str(tail.split_once('"').map_or("", |(_, more)| more));
            }
            None => out.push_str(tag),
        }
        rest = after;
    }
    out.push_str(rest);
    out
}
