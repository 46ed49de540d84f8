//! A scenario as a document for people who do not know vapour pressure: what `report` hands on. Sections are those of the commands;
//! parts that are not there are left out.

use super::compare::{self, Comparison, charts};
use super::document::{Block, Columns, Document, Figure, FirstPage, isolated, plain};
use super::forecast::{self, ForecastFound};
use super::{explain, limits, prep, readings, size, today, verdict};
use crate::delay::{Action, Explanation};
use crate::evaluate::Outcome;
use crate::evaluate::size::Sized;
use crate::moisture_log::{FloorTest, Judged};
use crate::preparation::Prepared;
use crate::scenario::model::Target;
use crate::scenario::{Scenario, Understood, understood};
use crate::units::format::{
    Shown, all_said, counted, date, date_in_words, days, echoed, fine_percent, lower,
    weekday_and_date,
};
use crate::units::{Kind, System};
use crate::verdict::{Basis, State, Verdict};
use jiff::civil::Date;

const RELEASE: &str = "This forecast does not release the floor. Its moisture tests, the coating's data sheet and the person responsible do. Local codes come first.";
const NO_ODDS: &str = "Not computed. Real slabs scatter by tens of per cent, and the weather will differ from the one assumed. Take the date as open by as much, and go by the tests.";
const NO_READINGS: &str = "This job has no readings yet. Only tests on the slab itself, done as their standards say, release the floor.";
const HOW_A_SLAB_DRIES: &str = "Concrete gives off its mixing water for months. The surface dries first, the core follows slowly, and the core is what a test reads. Warm concrete dries faster. Air takes water only while it is drier than the concrete.";
const CAUTIONS: [&str; 4] = [
    "Burners without a flue give off carbon monoxide, which can kill. Ventilate, monitor and keep clear as local codes and the heater's sheet say. Keep them off fresh concrete.",
    "Hot, dry air can crack or curl a young slab. Start drying after curing.",
    "Electric loads, fuel storage and temporary heat can burn and kill. Leave them to licensed trades under local codes.",
    "Dust from grinding and blasting concrete ruins lungs. Use extraction and respirators as the local rules on silica say.",
];
const LIMITS: [&str; 6] = [
    "It computes one slab in one well-mixed room, drying straight up or down. Joints, edges, wet corners and goods in the way are left out.",
    "Its concrete is fitted to published drying times. Real slabs scatter by tens of per cent with mix and finish.",
    "A typical year or monthly means are not next winter's weather.",
    "It does not know the coating. Adhesion, cure and limits are on its data sheet.",
    "The split of a delay says what the simulated floor would have done without each cause. It proves neither what happened on site nor who was responsible.",
    "Nothing here has been checked against this floor. Trust it as far as the readings agree.",
];

/// What a report is made from. What is `None` or empty is left out.
#[derive(Clone, Debug)]
pub struct Report<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// The setup that the report is about.
    pub setup: String,
    /// All setups compared; what things are worth is with the setup of the report.
    pub comparison: Comparison<'a>,
    /// Where the days of the setup go.
    pub explanation: Option<Explanation>,
    /// Why that could not be told.
    pub unexplained: Option<String>,
    /// What buys days back.
    pub actions: Vec<Action>,
    /// The gear of the setup, checked.
    pub sized: Option<Sized>,
    /// Readings in the log, judged, and the tests of the floor.
    pub readings: Option<(Vec<Judged>, Vec<FloorTest>)>,
    /// What the readings make of the date.
    pub forecast: Option<ForecastFound<'a>>,
    /// What may be said of the floor with the setup.
    pub verdict: Verdict,
    /// The walk over the floor, prepared.
    pub prepared: Option<&'a Prepared>,
    /// The day on which it is made.
    pub made: Date,
    /// Units.
    pub system: System,
}

/// The report as a document.
#[must_use]
pub fn document(r: &Report<'_>) -> Document {
    let c = &r.comparison;
    let own = c.compared.outcomes.iter().find(|o| o.name == r.setup);
    let document = Document {
        title: plain(&r.scenario.name),
        subtitle: format!(
            "When the floor is dry enough to coat. Forecast made on {}.",
            date_in_words(r.made, r.system)
        ),
        first: Some(first_page(r, own)),
        sections: Vec::new(),
    };
    let prepared = r.prepared;
    let prepared = prepared.map(|prepared| prep::report_blocks(prepared, r.system));
    let forecast = r.forecast.as_ref();
    let forecast = forecast.map(|found| forecast::blocks(found, r.system));
    let gear = r
        .sized
        .as_ref()
        .map(|s| size::blocks(c.job, s, 0, r.system));
    let names = r.scenario.setups.iter().map(|s| s.name.as_str());
    document
        .with("Where the days go", delay(r))
        .with(
            "What would buy days back",
            explain::action_blocks(&r.actions, c.job.prices.currency, r.system),
        )
        .with("The setups compared", setups(r))
        .with(
            "Other ways to coat, and what the limit is worth",
            c.decisions.blocks(c.job, r.system),
        )
        .with("The odds", odds(r, own))
        .with("How the slab dries", course(r, own))
        .with("Tests of the floor", tests(r))
        .with(
            "Readings against the forecast",
            forecast.unwrap_or_default(),
        )
        .with("Gear and power", gear.unwrap_or_default())
        .with("Preparation of the floor", prepared.unwrap_or_default())
        .with(
            "Water on the floor",
            vec![Block::List(c.worth.of_wettings(&r.setup, r.system))],
        )
        .with("What is assumed", taken(r, own))
        .with("Cautions", cautions(r))
        .with("What this forecast cannot know", vec![list(&LIMITS)])
        .with_isolated(std::iter::once(r.scenario.name.as_str()).chain(names))
}

fn list(items: &[&str]) -> Block {
    Block::List(items.iter().map(|item| (*item).to_owned()).collect())
}

/// What the tests are to show, in words.
fn target_words(r: &Report<'_>) -> String {
    let flux = |si: f64| Shown::of(Kind::MassFlux, r.system).text(si, 2);
    let words = r.scenario.targets();
    let words = words.iter().map(|target| match target {
        Target::RelativeHumidityAtDepth(t) => {
            format!(
                "a probe in the concrete reads {} at most",
                fine_percent(t.limit.si())
            )
        }
        Target::EquilibriumRelativeHumidity(t) => format!(
            "the concrete under a tight cover settles at {} humidity at most",
            fine_percent(t.limit.si())
        ),
        Target::EmissionRate(t) => {
            format!("a dish of drying salt shows {} at most", flux(t.limit.si()))
        }
        Target::SurfaceFlux(t) => {
            format!("the bare floor gives off {} at most", flux(t.limit.si()))
        }
        Target::MassPercent(t) => {
            format!(
                "the top layer holds {} water by weight at most",
                fine_percent(t.limit.si())
            )
        }
        Target::PlasticSheet(_) => "no water shows under a plastic sheet overnight".into(),
    });
    words.collect::<Vec<_>>().join(", and ")
}

fn first_page(r: &Report<'_>, own: Option<&Outcome>) -> FirstPage {
    let v = &r.verdict;
    let date = match (v.on_hold(), v.state, v.date()) {
        (true, ..) => "On hold".to_owned(),
        (_, State::AlreadyDry, _) if !v.to_coat() => "No drying needed".into(),
        (.., Some(day)) => weekday_and_date(day, r.system),
        (.., None) => "No date".into(),
    };
    let mut meaning = verdict::sentence(v, r.system);
    meaning.push_str(&format!(" Dry enough means: {}.", target_words(r)));
    FirstPage {
        date,
        meaning,
        odds: odds_in_words(v),
        limits: limits::of_job(r.comparison.job),
        cause: r.explanation.as_ref().map(|e| cause(e, r.system)),
        to_do: to_do(r, own),
        chart: Some(chart(r)),
        release: RELEASE.into(),
    }
}

/// What date, range and chance rest on.
fn odds_in_words(v: &Verdict) -> String {
    match v.basis {
        Basis::OneRun => NO_ODDS.to_owned(),
        Basis::SampledCases => format!(
            "From {} with other weather, concrete and building, as far as these are not known. No reading of the floor is in them yet. What nobody thought of is not in them either.",
            counted(v.cases, "simulated case")
        ),
        Basis::Readings => format!(
            "From {}, each weighed by how well it fits the readings of the floor. What nobody thought of is not in them.",
            counted(v.cases, "simulated case")
        ),
    }
}

/// The main cause of a delay, in a sentence or two.
fn cause(e: &Explanation, system: System) -> String {
    let delay = e.attribution.delay();
    let promised = date_in_words(e.promised, system);
    if delay.abs() < explain::WORTH_BUYING {
        return format!("It takes as long as {} ({promised}).", e.reference);
    }
    if delay < 0.0 {
        return format!(
            "It takes {} less than {} ({promised}).",
            days(-delay),
            e.reference
        );
    }
    let at_least = if e.expected.is_none() {
        "At least "
    } else {
        ""
    };
    let late = format!(
        "{at_least}{} longer than {} ({promised})",
        days(delay),
        e.reference
    );
    match e.main_cause() {
        Some((cause, most)) => format!(
            "{late}. Main cause: {} ({}), {}{}.",
            lower(cause.kind.name()),
            cause.detail.of(system),
            days(most),
            explain::by_itself(e)
        ),
        None => format!("{late}. No single cause stands out."),
    }
}

/// The delay over its causes if there is one, else the setups.
fn chart(r: &Report<'_>) -> Figure {
    let late = |e: &&Explanation| {
        e.attribution.delay().abs() >= explain::WORTH_BUYING || e.expected.is_none()
    };
    match r.explanation.as_ref().filter(late) {
        Some(e) => Figure::new("delay", explain::waterfall(r.scenario, e, r.system)),
        None => charts::days_by_setup(r.comparison.job, &r.comparison.verdicts, r.system),
    }
}

fn to_do(r: &Report<'_>, own: Option<&Outcome>) -> Vec<String> {
    let mut list: Vec<String> = verdict::holds(&r.verdict);
    let best = r.comparison.verdicts.first().filter(|v| v.ready.is_some());
    let currency = r.comparison.job.prices.currency;
    let by = r.scenario.needed_by;
    if !explain::some_action_makes(&r.actions, by) {
        let decisions = &r.comparison.decisions;
        list.extend(decisions.sentences(r.comparison.job, r.system));
    }
    if let Some(action) = explain::first_action(&r.actions, by, currency, r.system) {
        list.push(action);
        let saving = explain::saving_action(&r.actions, currency, r.system);
        list.extend(saving.map(|other| format!("Or: {other}")));
    } else if r.actions.is_empty()
        && let Some(best) = best.filter(|b| b.setup != r.setup)
    {
        list.push(format!(
            "Look at {}. Of the setups compared it would have been dry first.",
            isolated(&best.setup)
        ));
    }
    if own.is_some_and(|o| o.date.is_some()) {
        list.push("Keep the gear running and the room closed until the tests pass.".into());
    }
    list.push("Keep water off the floor.".into());
    let tested = |(_, tests): &(_, Vec<FloorTest>)| tests.iter().any(|t| t.wanted && t.enough());
    list.push(if r.readings.as_ref().is_some_and(tested) {
        "Keep testing at the same places. Trust this forecast as far as the readings follow it."
            .into()
    } else {
        "Test the floor as its standard says, early enough to see whether it follows this forecast."
            .into()
    });
    list
}

fn delay(r: &Report<'_>) -> Vec<Block> {
    let Some(e) = &r.explanation else {
        return r.unexplained.iter().map(Block::text).collect();
    };
    let mut blocks = explain::delay_blocks(r.scenario, e, r.system);
    // Its chart is on the first page.
    blocks.retain(|block| !matches!(block, Block::Figure(_)));
    blocks
}

fn setups(r: &Report<'_>) -> Vec<Block> {
    let c = &r.comparison;
    let [headline, _, _, table, notes] = compare::ranking(c, r.system);
    let from = date(r.scenario.gear_on, r.system);
    let slowest = compare::slowest_parts(c);
    let how = format!("Each setup as if it ran from {from} on. {slowest}");
    let mut blocks = vec![headline, table, Block::Text(how)];
    if c.verdicts.len() > 1 {
        blocks.push(Block::Figure(charts::days_by_setup(
            c.job,
            &c.verdicts,
            r.system,
        )));
    }
    blocks.push(notes);
    blocks
}

fn odds(r: &Report<'_>, own: Option<&Outcome>) -> Vec<Block> {
    let mut how = odds_in_words(&r.verdict);
    let lost = own
        .and_then(|o| o.odds.as_ref())
        .map_or(0, |odds| odds.failed);
    if lost > 0 {
        how.push_str(&format!(
            " {} could not be computed.",
            counted(lost, "more case")
        ));
    }
    vec![Block::Text(how)]
}

fn course(r: &Report<'_>, own: Option<&Outcome>) -> Vec<Block> {
    let c = &r.comparison;
    // The inside of the slab and the room are those of the setup that the report is about.
    let inside = own.map(|o| {
        [
            charts::profile(c.job, o, r.system),
            charts::room(c.job, o, r.system),
        ]
    });
    let figures =
        charts::moisture(c.job, &c.compared.outcomes, &c.verdicts, 0, r.system).into_iter();
    let figures = figures.chain(inside.into_iter().flatten());
    let text = Block::text(HOW_A_SLAB_DRIES);
    std::iter::once(text)
        .chain(figures.map(Block::Figure))
        .collect()
}

fn tests(r: &Report<'_>) -> Vec<Block> {
    let Some((judged, tests)) = &r.readings else {
        return vec![Block::text(NO_READINGS)];
    };
    vec![
        Block::List(readings::sentences(tests, r.scenario, r.system)),
        Block::Table(readings::table(judged, r.system)),
        Block::List(readings::reasons(judged, r.system)),
    ]
}

fn taken(r: &Report<'_>, own: Option<&Outcome>) -> Vec<Block> {
    let mut blocks = Vec::new();
    let moving = r.comparison.worth.of_assumptions(&r.setup, r.system);
    blocks.push(Block::List(moving));
    blocks.extend(
        own.and_then(|o| compare::second_opinion(r.comparison.job, o))
            .map(Block::Text),
    );
    let si = r.system == System::Si;
    let table = Columns::new()
        .left("What", |line: &Understood| line.label.clone())
        .left("Value", |line| echoed(if si { &line.si } else { &line.us }))
        .left("Why", |line| {
            echoed(line.note.as_deref().unwrap_or_default())
        })
        .rows(understood(r.scenario));
    blocks.push(Block::Table(table));
    blocks.push(Block::List(all_said(r.comparison.notices, r.system)));
    blocks
}

fn cautions(r: &Report<'_>) -> Vec<Block> {
    let mut blocks = compare::cautions(&r.comparison.advice, r.system);
    blocks.push(list(&CAUTIONS));
    blocks.push(Block::text(today::RELEASE));
    blocks
}
