//! The other pages: what a command says of a draft, a new job, readings, today, the report.

use super::answer::{Asked, document_html, opened};
use super::draft::system;
use super::folder::EXAMPLES;
use super::guard::Refusal;
use super::server::Shared;
use crate::coating_day::Conditions;
use crate::computer::{clock, files, logbook};
use crate::facade::{self, NoAnswer};
use crate::moisture_log::{
    Column, Defaults, Entry, Log, Method, floor_tests, judge, read_export, read_log, written,
};
use crate::open::OpenJob;
use crate::preparation::with_wet_work;
use crate::results::Answer;
use crate::results::readings::{Readings, imported};
use crate::scenario::model::WET_CURING;
use crate::scenario::{Faults, Known, answers, written as first_text};
use crate::units::format::capital;
use crate::units::{DAY, Kind, System, parse, ranges};
use crate::writers::html::html as file_of;
use crate::writers::letter::letter;
use crate::writers::pdf::{Paper, pdf};
use axum::Json;
use axum::body::Body;
use axum::extract::{Path as Named, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use jiff::ToSpan;
use maud::{Markup, html};
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::sync::Arc;

/// HTML of a page.
#[derive(Debug, Serialize)]
pub(super) struct Page {
    html: String,
}

type Found = Result<Json<Page>, Refusal>;

fn page(html: impl Into<String>) -> Found {
    Ok(Json(Page { html: html.into() }))
}

impl From<NoAnswer> for Refusal {
    fn from(fault: NoAnswer) -> Self {
        Self::told(fault.to_string())
    }
}

/// Computes beside the server, one of a few at a time.
async fn beside<T: Send + 'static>(
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
) -> Found {
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
        page(document_html(&document))
    })
    .await
}

/// The log beside a job.
fn log_of(shared: &Shared, file: &str, open: &OpenJob) -> Result<Log, Refusal> {
    let path = shared.folder.path_of(file)?;
    let (_, log) = logbook::log(&path, None, open.scenario.slab.placed)?;
    Ok(log.unwrap_or_default())
}

/// A job without what its drying costs.
fn quickly(shared: &Shared, file: &str, text: &str) -> Result<OpenJob, Refusal> {
    let path = shared.folder.path_of(file)?;
    let scenario = crate::open::parse(text.as_bytes(), file);
    let scenario = scenario.map_err(|faults| Refusal::told(faults.to_string()))?;
    shared.folder.holds(&scenario)?;
    let open = crate::open::without_drying(&path, scenario);
    open.map_err(|fault| Refusal::told(fault.to_string()))
}

/// What a text of a field came to, with the field in the fault.
type Typed = BTreeMap<String, String>;

/// Faults by their fields.
#[derive(Default)]
struct ByField(BTreeMap<String, String>);

impl ByField {
    fn take<T>(&mut self, field: &str, found: Result<T, String>) -> Option<T> {
        found
            .map_err(|fault| self.0.insert(field.to_owned(), fault))
            .ok()
    }

    fn json(self) -> Value {
        json!({ "faults": self.0 })
    }
}

/// One question of a small form.
struct Question {
    key: &'static str,
    label: String,
    example: &'static str,
    needed: bool,
}

fn question(key: &'static str, label: &str, example: &'static str, needed: bool) -> Question {
    Question {
        key,
        label: label.to_owned(),
        example,
        needed,
    }
}

fn questions(of: &[Question], send: &str, name: &str) -> Markup {
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

/// The form for a new job: what `coatday new` asks.
pub(super) async fn new_form() -> Found {
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
    page(html.into_string())
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
    let (mut made, _) = first_text(&known)?;
    if !text("name").is_empty() {
        let edit = crate::scenario::edit::Edit {
            path: "name".into(),
            value: json!(text("name")),
        };
        made = crate::scenario::edit::edited(&made, &edit)?;
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
    let now = clock::now();
    let mut said = String::new();
    if let Some(csv) = &asked.csv {
        let export = read_export("the text", csv.as_bytes(), placed, &Defaults::default());
        if let Some(faults) = export.faults {
            return Err(Refusal::told(format!("{faults}\nNothing was added.")));
        }
        let entries: Vec<Entry> = export.readings.iter().map(Entry::of).collect();
        if entries.is_empty() {
            return Err(Refusal::told(
                "There is no reading in this text. Copy it whole, with its line of names.",
            ));
        }
        let addition = logbook::add(&path, &entries, placed, &Faults::to_string)?;
        said = imported(&files::shown(&path), &addition);
    } else if !asked.typed.is_empty() {
        let mut faults = ByField::default();
        let entry = typed_entry(&asked.typed, &written(now));
        let found = logbook::add(&path, &[entry], placed, &|found| {
            serde_json::to_string(&found.faults).unwrap_or_default()
        });
        match found {
            Ok(addition) => said = imported(&files::shown(&path), &addition),
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
    let name = files::shown(&path);
    let missing = bytes.is_none().then_some(name.as_str());
    let log = read_log(&name, &bytes.unwrap_or_default(), placed);
    let wetted = with_wet_work(scenario, open.prepared.as_ref(), now);
    let judged = judge(&log.readings, &wetted, now);
    let found = Readings {
        scenario,
        now,
        log: &log,
        judged: &judged,
        tests: &floor_tests(&judged, scenario),
        missing,
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
