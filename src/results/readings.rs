//! Readings, whether they count as tests, and what the tests of the floor come to.

use super::limits;
use super::{Answer, Block, Columns, Document, TextTable, record};
use crate::moisture_log::{
    Addition, FloorTest, Judged, Log, Method, PlaceResult, Shortfall, Status,
};
use crate::scenario::{Fault, Scenario};
use crate::units::DAY;
use crate::units::format::{Said, Shown, capital, counted, date, fine_percent, moment, whole};
use crate::units::{Kind, System};
use jiff::civil::DateTime;
use std::collections::BTreeMap;

/// Lines named one by one; more are counted.
const LINES_NAMED: usize = 12;
const RELEASE: &str =
    "Tests done as their standards say, and the person responsible, release the floor.";

/// The readings of a log, judged.
#[derive(Clone, Copy, Debug)]
pub struct Readings<'a> {
    /// Their scenario.
    pub scenario: &'a Scenario,
    /// The moment as of which they are judged.
    pub now: DateTime,
    /// The log.
    pub log: &'a Log,
    /// Its readings, judged.
    pub judged: &'a [Judged],
    /// What they come to.
    pub tests: &'a [FloorTest],
    /// The file that the log would be in, if there is none yet.
    pub missing: Option<&'a str>,
}

/// Readings just added.
#[derive(Clone, Copy, Debug)]
pub struct Added<'a> {
    /// The file of the log.
    pub log: &'a str,
    /// What was added.
    pub addition: &'a Addition,
    /// The same, judged.
    pub judged: &'a [Judged],
}

record! {
    /// A log of readings: `coatday/readings/1`.
    ReadingsData(r: &Readings<'_>) {
        schema: &'static str = "coatday/readings/1",
        scenario: String = r.scenario.name.clone(),
        as_of: DateTime = r.now,
        limits: Vec<String> = limits::missing(r.scenario).into_iter().collect(),
        readings: Vec<ReadingData> = r.judged.iter().map(ReadingData::of).collect(),
        tests: Vec<TestData> = r.tests.iter().map(TestData::of).collect(),
        faults: Vec<Fault> = r.log.faults.as_ref().map(|f| f.faults.clone()).unwrap_or_default(),
    }

    /// What was added to a log: `coatday/readings-added/1`.
    AddedData(a: &Added<'_>) {
        schema: &'static str = "coatday/readings-added/1",
        log: String = a.log.to_owned(),
        added: Vec<ReadingData> = a.judged.iter().map(ReadingData::of).collect(),
        there_already: usize = a.addition.there_already,
    }

    /// A reading.
    ReadingData(judged: &Judged) where [r = &judged.reading] {
        line: usize = r.line,
        time: DateTime = r.time,
        seconds_since_placing: f64 = r.seconds,
        place: String = r.place.clone(),
        method: &'static str = r.method.word(),
        depth_m: Option<f64> = r.depth,
        value: f64 = r.value,
        value_unit: &'static str = r.method.si_unit(),
        value_as_typed: String = r.typed.clone(),
        standard_deviation: Option<f64> = r.spread.map(|s| s.standard_deviation),
        standard_deviation_source: Option<&'static str> = r.spread.map(|s| s.source),
        slab_temperature_c: Option<f64> = r.slab_temperature,
        air_temperature_c: Option<f64> = r.air_temperature,
        air_relative_humidity: Option<f64> = r.air_relative_humidity,
        exposure_s: Option<f64> = r.exposure,
        conditioned_s: Option<f64> = r.conditioned,
        ground_side_m: Option<f64> = r.ground_side,
        concrete: Option<&'static str> = r.concrete.map(|kind| kind.word()),
        note: String = r.note.clone(),
        counts: bool = judged.counts(),
        reasons: Vec<ReasonData> = shortfalls(judged).iter().map(ReasonData::of).collect(),
        not_stated: Vec<String> = not_stated(judged, System::Si),
        informs: bool = judged.informs(),
        limit: Option<f64> = judged.limit,
        meets_limit: Option<bool> = judged.meets(),
    }

    /// Why a reading does not count.
    ReasonData(s: &Shortfall) {
        why: String = s.why.of(System::Si).to_owned(),
        spoils_value: bool = s.spoils_value,
    }

    /// What the readings of one method come to.
    TestData(t: &FloorTest) {
        method: &'static str = t.method.word(),
        standard: Option<&'static str> = t.method.standard(),
        unit: &'static str = t.method.si_unit(),
        limit: Option<f64> = t.limit,
        wanted: bool = t.wanted,
        places_needed: usize = t.needed,
        places_counting: usize = t.places.len(),
        readings: usize = t.readings,
        meets_limit: Option<bool> = t.meets(),
        spread_between_places: Option<f64> = t.spread(),
        places: Vec<PlaceData> = t.places.iter().map(PlaceData::of).collect(),
    }

    /// The reading that counts at a place.
    PlaceData(p: &PlaceResult) {
        place: String = p.place.clone(),
        line: usize = p.line,
        time: DateTime = p.time,
        value: f64 = p.value,
        meets_limit: Option<bool> = p.meets,
    }
}

fn shortfalls(judged: &Judged) -> &[Shortfall] {
    match &judged.status {
        Status::Counts => &[],
        Status::DoesNotCount(shortfalls) => shortfalls,
    }
}

/// An emission rate.
pub(super) fn rate(flux: f64, system: System) -> String {
    let decimals = if system == System::Si { 1 } else { 2 };
    Shown::of(Kind::MassFlux, system).text(flux, decimals)
}

/// A value of a method.
pub(super) fn value(method: Method, value: f64, system: System) -> String {
    match method {
        Method::Dish => rate(value, system),
        Method::PlasticSheet => if value > 0.0 { "moist" } else { "dry" }.to_owned(),
        Method::Probe | Method::Hood | Method::MassPercent => fine_percent(value),
    }
}

fn depth(metres: f64, system: System) -> String {
    let decimals = if system == System::Si { 0 } else { 2 };
    Shown::of(Kind::Length, system).text(metres, decimals)
}

/// What the log does not say of a reading.
fn not_stated(judged: &Judged, system: System) -> Vec<String> {
    let all = judged.not_stated.iter();
    all.map(|what| Said::both(what).of(system).to_owned())
        .collect()
}

/// Whether a reading counts and why not, in one text.
fn status(judged: &Judged, system: System) -> String {
    let parts = shortfalls(judged).iter();
    let mut parts: Vec<String> = parts.map(|s| s.why.of(system).to_owned()).collect();
    if judged.counts() && !judged.not_stated.is_empty() {
        parts.push(format!(
            "Not in the log, so make sure of it: {}.",
            not_stated(judged, system).join("; ")
        ));
    }
    parts.join(" ")
}

/// One row a reading.
#[must_use]
pub fn table(judged: &[Judged], system: System) -> TextTable {
    let shown = |j: &Judged| value(j.reading.method, j.reading.value, system);
    let day = |j: &Judged| whole((j.reading.seconds / DAY).floor());
    Columns::new()
        .right("Line", |j: &&Judged| j.reading.line.to_string())
        .left("Time", |j| moment(j.reading.time, system))
        .rank(2)
        .right("Day", |j| day(j))
        .rank(4)
        .left("Place", |j| j.reading.place.clone())
        .left("Test", |j| j.reading.method.word().to_owned())
        .right("Depth", |j| {
            j.reading
                .depth
                .map_or_else(String::new, |d| depth(d, system))
        })
        .rank(3)
        .right("Value", |j| shown(j))
        .left("Counts", |j| if j.counts() { "yes" } else { "NO" }.into())
        .rows(judged)
}

/// Why readings do not count, and what the log leaves unsaid.
#[must_use]
pub fn reasons(judged: &[Judged], system: System) -> Vec<String> {
    let not_counting = judged.iter().filter(|judged| !judged.counts());
    let mut out: Vec<String> = not_counting
        .map(|judged| {
            let r = &judged.reading;
            let method = r.method.word();
            let why = status(judged, system);
            format!(
                "Line {} ({}, {method}) does not count: {why}",
                r.line, r.place
            )
        })
        .collect();
    let mut unsaid: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for judged in judged.iter().filter(|judged| judged.counts()) {
        for what in not_stated(judged, system) {
            unsaid
                .entry(what)
                .or_default()
                .push(judged.reading.line.to_string());
        }
    }
    out.extend(unsaid.into_iter().map(|(what, lines)| {
        let lines = if lines.len() > LINES_NAMED {
            counted(lines.len(), "line")
        } else {
            format!("line {}", lines.join(", "))
        };
        format!("Not in the log, so make sure of it: {what} ({lines}).")
    }));
    out
}

/// What the tests of the floor come to, one sentence or two a method.
#[must_use]
pub fn sentences(tests: &[FloorTest], scenario: &Scenario, system: System) -> Vec<String> {
    let area = Shown::of(Kind::Area, system).text(scenario.slab.area.si(), 0);
    tests
        .iter()
        .map(|test| sentence(test, &area, system))
        .collect()
}

fn sentence(test: &FloorTest, area: &str, system: System) -> String {
    let standard = test.method.standard();
    let mut text = format!(
        "{}: {} of the {} needed on {area} have a reading that counts ({}).",
        capital(test.method.name()),
        test.places.len(),
        counted(test.needed, "place"),
        standard.unwrap_or("common practice, no published source"),
    );
    let Some(worst) = test.worst() else {
        return text;
    };
    let shown = |x: f64| value(test.method, x, system);
    let (read, day) = (shown(worst.value), date(worst.time.date(), system));
    text += &format!(" Worst place: {}, {read} on {day}", worst.place);
    text += &test.limit.map_or_else(
        || ".".to_owned(),
        |limit| {
            let met = worst.meets == Some(true);
            let how = if met { "within" } else { "ABOVE" };
            format!(", {how} the limit of {}.", shown(limit))
        },
    );
    if let Some(spread) = test.spread()
        && test.places.len() > 1
        && test.method != Method::PlasticSheet
    {
        text += &format!(" The places differ by {}.", shown(spread));
    }
    text
}

impl Answer for Readings<'_> {
    type Data = ReadingsData;

    fn data(&self) -> ReadingsData {
        ReadingsData::of(self)
    }

    fn document(&self, system: System) -> Document {
        let mut notes = self.log.notices.clone();
        notes.extend(self.missing.map(|name| {
            format!(
                "There is no log {name} yet. To add a reading: coatday readings SCENARIO add --help"
            )
        }));
        notes.push(RELEASE.into());
        let listed = if self.judged.is_empty() {
            Block::text("No readings yet.")
        } else {
            Block::Table(table(self.judged, system))
        };
        let mut said = reasons(self.judged, system);
        said.extend(sentences(self.tests, self.scenario, system));
        Document::new(
            &self.scenario.name,
            vec![
                Block::List(limits::missing(self.scenario).into_iter().collect()),
                listed,
                Block::List(said),
                Block::Notes(notes),
            ],
        )
    }
}

/// Readings as they are confirmed: their lines, or that they were there.
#[must_use]
pub fn confirmed(log: &str, addition: &Addition, system: System) -> Vec<String> {
    let mut lines: Vec<String> = addition
        .readings
        .iter()
        .map(|r| {
            let (time, method) = (moment(r.time, system), r.method.word());
            format!(
                "Added line {}: {time}, {}, {method}, {}",
                r.line, r.place, r.typed
            )
        })
        .collect();
    if addition.there_already > 0 && lines.is_empty() {
        let which = match addition.there_already {
            1 => "this reading".to_owned(),
            all => format!("all {all} readings"),
        };
        lines.push(format!("Nothing added: {log} has {which} already."));
    }
    lines
}

/// What became of the rows of an export.
#[must_use]
pub fn imported(log: &str, addition: &Addition) -> String {
    let there = addition.there_already;
    match (addition.readings.first(), addition.readings.last()) {
        (Some(first), Some(last)) => format!(
            "Added {}, lines {} to {} of {log}. Already there: {there}.",
            counted(addition.readings.len(), "reading"),
            first.line,
            last.line,
        ),
        _ if there == 1 => format!("The one reading was in {log} already."),
        _ => format!("All {there} readings were in {log} already."),
    }
}

impl Answer for Added<'_> {
    type Data = AddedData;

    fn data(&self) -> AddedData {
        AddedData::of(self)
    }

    fn document(&self, system: System) -> Document {
        let verdict = |judged: &Judged| {
            let head = if judged.counts() {
                "Counts as a test."
            } else {
                "Does not count as a test."
            };
            format!("{head} {}", status(judged, system))
                .trim_end()
                .to_owned()
        };
        Document::new(
            "Readings",
            vec![
                Block::List(confirmed(self.log, self.addition, system)),
                Block::Notes(self.judged.iter().map(verdict).collect()),
            ],
        )
    }
}
