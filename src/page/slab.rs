//! At the slab: readings and the coating day.

use super::answer::document_html;
use super::draft::system;
use super::pages::{beside, log_of, quickly};
use super::refusal::Refusal;
use super::shared::Shared;
use super::small_form::{ByField, Question, Typed, question, questions};
use crate::coating_day::Conditions;
use crate::computer::{clock, files, logbook};
use crate::facade;
use crate::moisture_log::{
    Column, Defaults, Entry, Method, floor_tests, judge, read_export, read_log, written,
};
use crate::preparation::with_wet_work;
use crate::results::Answer;
use crate::results::readings::{Readings, imported};
use crate::scenario::Faults;
use crate::units::format::capital;
use crate::units::{Kind, System, parse, ranges};
use axum::Json;
use axum::extract::State;
use maud::html;
use serde::Deserialize;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::sync::Arc;

/// The readings of a job, judged, and what may be typed.
#[derive(Debug, Deserialize)]
pub(super) struct ReadingsAsked {
    file: String,
    text: String,
    units: Option<String>,
    /// A reading to add.
    #[serde(default)]
    typed: Typed,
    /// Rows of a file or a message to add.
    csv: Option<String>,
}

fn example(column: Column) -> &'static str {
    match column {
        Column::Time => "2026-11-20 08:30; empty for now",
        Column::Place => "A, or grid C4",
        Column::Method => "probe",
        Column::Depth => "2 in",
        Column::Value => "84 %",
        Column::StandardDeviation => "2 %",
        Column::SlabTemperature => "55 F",
        Column::AirTemperature => "61 F",
        Column::AirRelativeHumidity => "55 %",
        Column::Exposure => "26 h",
        Column::Conditioned => "3 days",
        Column::GroundSide => "20 in",
        Column::DishArea => "0.5 ft2",
        Column::Concrete => "normal_weight",
        Column::Note => "probe of the first shift",
    }
}

/// The fields of a reading: those that every test has.
const READING: [Column; 9] = [
    Column::Place,
    Column::Method,
    Column::Value,
    Column::Depth,
    Column::Exposure,
    Column::Time,
    Column::SlabTemperature,
    Column::AirTemperature,
    Column::AirRelativeHumidity,
];

pub(super) async fn readings(
    State(shared): State<Arc<Shared>>,
    Json(asked): Json<ReadingsAsked>,
) -> Result<Json<Value>, Refusal> {
    beside(shared, move |shared| readings_of(shared, &asked)).await
}

fn readings_of(shared: &Shared, asked: &ReadingsAsked) -> Result<Json<Value>, Refusal> {
    let units = system(asked.units.as_deref(), shared.system);
    let open = quickly(shared, &asked.file, &asked.text)?;
    let (scenario, placed) = (&open.scenario, open.scenario.slab.placed);
    let path = logbook::path(&shared.folder.path_of(&asked.file)?, None);
    let name = files::shown(std::path::Path::new(path.file_name().unwrap_or_default()));
    let now = clock::now();
    let mut said = String::new();
    if let Some(csv) = &asked.csv {
        let export = read_export("the text", csv.as_bytes(), placed, &Defaults::default());
        let entries: Vec<Entry> = export.readings.iter().map(Entry::of).collect();
        if entries.is_empty() {
            let why = export.faults.map_or_else(
                || {
                    "There is no reading in this text. Copy it whole, with its line of names."
                        .into()
                },
                |faults| faults.to_string(),
            );
            return Err(Refusal::told(why));
        }
        let addition = logbook::add(&path, &entries, placed, &Faults::to_string)?;
        said = imported(&name, &addition);
        // As for the command: good rows are taken in, and faulty ones can be sent again.
        if let Some(faults) = export.faults {
            said = format!("{said}\n{faults}");
        }
    } else if !asked.typed.is_empty() {
        let mut faults = ByField::default();
        let entry = typed_entry(&asked.typed, &written(now));
        let found = logbook::add(&path, &[entry], placed, &|found| {
            serde_json::to_string(&found.faults).unwrap_or_default()
        });
        match found {
            Ok(addition) => said = imported(&name, &addition),
            Err(text) => {
                let by_field: Vec<BTreeMap<String, Value>> =
                    serde_json::from_str(&text).unwrap_or_default();
                if by_field.is_empty() {
                    return Err(Refusal::told(text));
                }
                for fault in by_field {
                    let part = |key: &str| {
                        fault
                            .get(key)
                            .and_then(Value::as_str)
                            .unwrap_or_default()
                            .to_owned()
                    };
                    let words = format!("{} {}", part("message"), part("help"));
                    faults.0.insert(part("path"), words);
                }
                return Ok(Json(faults.json()));
            }
        }
    }
    let bytes = logbook::read(&path)?;
    let log = read_log(&name, &bytes.unwrap_or_default(), placed);
    let wetted = with_wet_work(scenario, open.prepared.as_ref(), now);
    let judged = judge(&log.readings, &wetted, now);
    let found = Readings {
        scenario,
        now,
        log: &log,
        judged: &judged,
        tests: &floor_tests(&judged, scenario),
        missing: None,
    };
    let of = |column: &Column| {
        let needed = matches!(column, Column::Place | Column::Method | Column::Value);
        let label = capital(&column.name().replace('_', " "));
        question(column.name(), &label, example(*column), needed)
    };
    let fields: Vec<Question> = READING.iter().map(of).collect();
    let html = html! {
        @if let Some(faults) = &log.faults { p.fault { (faults.to_string()) } }
        (maud::PreEscaped(document_html(&found.document(units))))
        details.group { summary { h2 { "Add a reading" } }
            p.help { "Method: " (Method::ALL.map(Method::word).join(", ")) "." }
            (questions(&fields, "Add the reading", "reading"))
        }
        details.group { summary { h2 { "Take in readings from a phone" } }
            form.questions data-send="csv" {
                div.field {
                    label for="csv-text" { "The text or CSV that the phone handed over" }
                    textarea id="csv-text" name="csv" rows="6" spellcheck="false" aria-describedby="csv-note" {}
                    p.note id="csv-note" data-fault="csv" {}
                }
                button.main type="submit" { "Take in" }
                p.said role="status" {}
            }
        }
        @if !judged.is_empty() { button type="button" data-show="forecast" { "Forecast with these readings" } div.shown {} }
    };
    Ok(Json(json!({ "html": html.into_string(), "said": said })))
}

fn typed_entry(typed: &Typed, now: &str) -> Entry {
    let cells = Column::ALL.into_iter().filter_map(|column| {
        let text = typed.get(column.name()).map(|text| text.trim().to_owned());
        let text = text.filter(|text| !text.is_empty());
        let text = text.or_else(|| (column == Column::Time).then(|| now.to_owned()));
        Some((column, text?))
    });
    Entry(cells.collect())
}

/// What is measured over the floor now.
#[derive(Debug, Deserialize)]
pub(super) struct TodayAsked {
    file: String,
    text: String,
    units: Option<String>,
    typed: Option<Typed>,
}

/// What is typed for today: its key, kind and limit, and examples for the US and SI.
const NOW: [(&str, Kind, &str, [&str; 2]); 3] = [
    (
        "air_temperature",
        Kind::Temperature,
        "air temperature",
        ["61 F", "16 C"],
    ),
    (
        "air_relative_humidity",
        Kind::RelativeHumidity,
        "relative humidity of air",
        ["71 %", "71 %"],
    ),
    (
        "slab_temperature",
        Kind::Temperature,
        "air temperature",
        ["55 F", "13 C"],
    ),
];

/// A quantity within a range of the table of ranges.
fn quantity(kind: Kind, text: &str, range: &str) -> Result<f64, String> {
    let said = |fault: crate::units::UnitFault| format!("{} {}", fault.message, fault.help);
    let amount = parse(kind, text).map_err(said)?;
    match ranges::find(range) {
        Some(range) if !range.holds(amount.si()) => {
            Err(said(range.fault(amount.si(), Some(&amount))))
        }
        _ => Ok(amount.si()),
    }
}

pub(super) async fn today(
    State(shared): State<Arc<Shared>>,
    Json(asked): Json<TodayAsked>,
) -> Result<Json<Value>, Refusal> {
    beside(shared, move |shared| {
        let units = system(asked.units.as_deref(), shared.system);
        let open = quickly(shared, &asked.file, &asked.text)?;
        let log = log_of(shared, &asked.file, &open)?;
        let fields: Vec<Question> = NOW
            .iter()
            .map(|(key, _, _, examples)| {
                let example = if units == System::Us {
                    examples[0]
                } else {
                    examples[1]
                };
                question(key, &capital(&key.replace('_', " ")), example, false)
            })
            .collect();
        let form = || questions(&fields, "Check now", "today").into_string();
        let mut faults = ByField::default();
        let empty = Typed::new();
        let typed = asked.typed.as_ref().unwrap_or(&empty);
        let read = NOW.map(|(key, kind, range, _)| {
            let text = typed
                .get(key)
                .map(|text| text.trim())
                .filter(|text| !text.is_empty())?;
            faults.take(key, quantity(kind, text, range))
        });
        if !faults.0.is_empty() {
            return Ok(Json(faults.json()));
        }
        let now = clock::now();
        let conditions = match Conditions::fill(read, &log.readings, now) {
            Ok(conditions) => conditions,
            Err(_) if asked.typed.is_none() => {
                return Ok(Json(json!({ "form": form(), "html": "" })));
            }
            Err(missing) => {
                for name in missing {
                    let words = "Not given, and not in the log. Measure it and type it here.";
                    faults.0.insert(name.replace(' ', "_"), words.into());
                }
                return Ok(Json(faults.json()));
            }
        };
        let found = facade::today(&open, &log, now, conditions, None, None);
        let says = serde_json::to_value(found.data()).unwrap_or_default()["says"].clone();
        let sign = match says.as_str() {
            Some("go") => "GO",
            Some("wait") => "WAIT",
            Some("no") => "NO",
            _ => "NOT CHECKED",
        };
        let html = html! {
            @if let Some(faults) = &log.faults { p.fault { (faults.to_string()) } }
            p.sign data-says=(says.as_str().unwrap_or_default()) { (sign) }
            (maud::PreEscaped(document_html(&found.document(units))))
        };
        Ok(Json(
            json!({ "form": form(), "html": html.into_string(), "says": sign }),
        ))
    })
    .await
}
