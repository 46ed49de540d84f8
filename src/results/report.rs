//! A scenario as a document for people who do not know vapour pressure: what `report` hands on. Sections are those of the commands;
//! parts that are not there are left out.

mod first;

use super::compare::{self, Comparison, charts};
use super::document::{Block, Document, Figure, Logo, plain};
use super::forecast::{self, ForecastFound};
use super::{explain, prep, readings, size, verdict};
use crate::delay::{Action, Explanation};
use crate::evaluate::Outcome;
use crate::evaluate::size::Sized;
use crate::moisture_log::{FloorTest, Judged};
use crate::preparation::Prepared;
use crate::scenario::Scenario;
use crate::scenario::model::Target;
use crate::units::format::{
    Shown, all_said, counted, date, date_in_words, days, fine_percent, lower, whole,
};
use crate::units::{Kind, System};
use crate::verdict::{Basis, Verdict};
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

/// Most readings that stand in the report; the log has the others.
const MOST_READINGS: usize = 16;

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
    /// The logo of the company that hands it out.
    pub logo: Option<Logo>,
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
        subtitle: "When the floor is dry enough to coat.".into(),
        first: Some(first::first_page(r, own)),
        sections: Vec::new(),
    };
    let prepared = r.prepared;
    let prepared = prepared.map(|prepared| prep::report_blocks(prepared, r.system));
    let names = r.scenario.setups.iter().map(|s| s.name.as_str());
    document
        .with("Where the days go", delay(r))
        .with(
            "What would buy days back",
            explain::action_blocks(&r.actions, c.job.prices.currency, r.system),
        )
        .with("The setups compared", setups(r, own))
        .with("Other ways to coat", ways(r))
        .with("How the slab dries", course(r))
        .with("Tests of the floor", tests(r))
        .with("Readings against the forecast", read(r))
        .with("Gear and power", gear(r))
        .with("Preparation of the floor", prepared.unwrap_or_default())
        .with("What the date rests on", rests(r, own))
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

/// The setups against the date; with one setup the delay over its causes, if there is one.
fn chart(r: &Report<'_>) -> Figure {
    match (r.comparison.verdicts.len(), waterfall(r)) {
        (0 | 1, Some(delay)) => delay,
        _ => charts::days_by_setup(r.comparison.job, &r.comparison.verdicts, r.system),
    }
}

/// The delay over its causes, if there is one.
fn waterfall(r: &Report<'_>) -> Option<Figure> {
    let e = r.explanation.as_ref()?;
    let late = e.attribution.delay().abs() >= explain::WORTH_BUYING || e.expected.is_none();
    late.then(|| Figure::new("delay", explain::waterfall(r.scenario, e, r.system)))
}

fn delay(r: &Report<'_>) -> Vec<Block> {
    let Some(e) = &r.explanation else {
        return r.unexplained.iter().map(Block::text).collect();
    };
    let mut blocks = explain::delay_blocks(r.scenario, e, r.system);
    // A chart stands once, and a delay of no days needs none.
    let drawn = waterfall(r).is_some() && chart(r).name != "delay";
    blocks.retain(|block| drawn || !matches!(block, Block::Figure(_)));
    blocks
}

fn setups(r: &Report<'_>, own: Option<&Outcome>) -> Vec<Block> {
    let c = &r.comparison;
    let [headline, _, _, table, _] = compare::ranking(c, r.system);
    let from = date(r.scenario.gear_on, r.system);
    let slowest = compare::slowest_parts(c);
    let how = format!("Each setup as if it ran from {from} on. {slowest}");
    let mut blocks = vec![headline, table, Block::Text(how)];
    let mut odds = odds_in_words(&r.verdict);
    let lost = own
        .and_then(|o| o.odds.as_ref())
        .map_or(0, |odds| odds.failed);
    if lost > 0 {
        odds.push_str(&format!(
            " {} could not be computed.",
            counted(lost, "more case")
        ));
    }
    blocks.push(Block::text(format!("The odds: {odds}")));
    blocks
}

/// Other ways to coat, and what the slab should read.
fn ways(r: &Report<'_>) -> Vec<Block> {
    let (job, decisions) = (r.comparison.job, &r.comparison.decisions);
    let mut blocks = Vec::new();
    if decisions.ways.len() > 1 {
        blocks.push(Block::Table(decisions.ways_table(job, r.system)));
        blocks.push(Block::List(decisions.conditions()));
    }
    blocks.extend(decisions.reading(job, r.system).map(Block::Text));
    blocks
}

fn course(r: &Report<'_>) -> Vec<Block> {
    let c = &r.comparison;
    let figure = charts::moisture(c.job, &c.compared.outcomes, &c.verdicts, 0, r.system);
    std::iter::once(Block::text(HOW_A_SLAB_DRIES))
        .chain(figure.map(Block::Figure))
        .collect()
}

fn tests(r: &Report<'_>) -> Vec<Block> {
    let Some((judged, tests)) = &r.readings else {
        return vec![Block::text(NO_READINGS)];
    };
    let earlier = judged.len().saturating_sub(MOST_READINGS);
    let last = judged.get(earlier..).unwrap_or_default();
    let mut blocks = vec![Block::List(readings::sentences(
        tests, r.scenario, r.system,
    ))];
    if earlier > 0 {
        blocks.push(Block::text(format!(
            "The last {} of {}:",
            whole(last.len() as f64),
            counted(judged.len(), "reading")
        )));
    }
    blocks.push(Block::Table(readings::table(last, r.system)));
    blocks.push(Block::List(readings::reasons(last, r.system)));
    blocks
}

/// The forecast without what the first page says of it, and without the tests to come of every place.
fn read(r: &Report<'_>) -> Vec<Block> {
    let found = r.forecast.as_ref();
    let mut blocks = found.map_or_else(Vec::new, |found| forecast::blocks(found, r.system));
    let mut drawn = false;
    blocks.retain_mut(|block| match block {
        Block::List(lines) => {
            // The verdict stands on the first page.
            let said = verdict::sentence(&r.verdict, r.system);
            lines.retain(|line| *line != said);
            true
        }
        Block::Table(table) => table.columns.first().is_none_or(|(head, _)| head != "Test"),
        Block::Figure(_) => !std::mem::replace(&mut drawn, true),
        _ => true,
    });
    blocks
}

/// Whether the gear is enough, in sentences; `size` has the weeks and the chart.
fn gear(r: &Report<'_>) -> Vec<Block> {
    let Some(sized) = &r.sized else {
        return Vec::new();
    };
    let lines = size::sentences(sized, r.system).into_iter();
    vec![Block::List(
        lines.chain(size::power(&sized.power)).collect(),
    )]
}

/// What moves the date: water, assumptions, the weather.
fn rests(r: &Report<'_>, own: Option<&Outcome>) -> Vec<Block> {
    let c = &r.comparison;
    let mut lines = c.worth.of_wettings(&r.setup, r.system);
    lines.extend(c.worth.of_assumptions(&r.setup, r.system));
    lines.extend(own.and_then(|o| compare::second_opinion(c.job, o)));
    lines.extend(all_said(c.notices, r.system));
    lines.push("Every value that was used: coatday check.".into());
    vec![Block::List(lines)]
}

fn cautions(r: &Report<'_>) -> Vec<Block> {
    let mut blocks = compare::cautions(&r.comparison.advice, r.system);
    let of_work = r.prepared.iter().flat_map(|prepared| &prepared.cautions);
    let all = CAUTIONS.iter().map(|line| (*line).to_owned());
    blocks.push(Block::List(all.chain(of_work.cloned()).collect()));
    blocks
}
