//! A scenario as a document for people who do not know vapour pressure: plain sections, written out by [`crate::writers::html`] and
//! [`crate::writers::pdf`]. Parts that are not there are left out.

use super::compared::{self, Worth};
use super::explained;
use super::readings as read;
use super::document::{Block, Document, Figure, FirstPage, TextTable, isolated, plain};
use super::today;
use super::words::percent;
use crate::delay::{Action, Explanation};
use crate::evaluate::odds::SHARES;
use crate::evaluate::{Advice, Never, Outcome};
use crate::job::Job;
use crate::moisture_log::{FloorTest, Judged};
use crate::scenario::model::Target;
use crate::scenario::{Scenario, understood};
use crate::units::System;
use jiff::civil::Date;

/// The odds of being ready, as far as they are known.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Odds {
    /// In a sentence or two for the first page.
    pub sentence: String,
    /// How they come about, with tables and charts.
    pub blocks: Vec<Block>,
}

impl Odds {
    /// The odds of an outcome's date, where worlds were sampled.
    #[must_use]
    pub fn of(job: &Job, outcome: &Outcome) -> Option<Self> {
        let odds = outcome.odds.as_ref().filter(|o| !o.samples.is_empty())?;
        let by = |share: f64| {
            odds.days(share).map_or_else(
                || "after the time looked at".to_owned(),
                |days| day(job.date_after(days)),
            )
        };
        let [early, middle, late] = SHARES.map(by);
        let mut sentence = format!(
            "Eight chances in ten lie between {early} and {late}; there is an even chance of {middle} or sooner."
        );
        if let (Some(needed), Some(chance)) = (job.needed_by, odds.in_time) {
            sentence.push_str(&format!(
                " The chance to be ready by {} is {}.",
                day(needed),
                percent(chance)
            ));
        }
        let mut how = format!(
            "The job was computed in {} worlds that differ in weather, concrete and building as far as these are not known; the date above is that of one run with everything as taken.",
            odds.samples.len() + odds.failed
        );
        if odds.failed > 0 {
            how.push_str(&format!(" {} of them could not be computed.", odds.failed));
        }
        how.push_str(" What nobody thought of is not in the odds.");
        Some(Self {
            sentence,
            blocks: vec![Block::Text(how)],
        })
    }
}

/// What a document is made from. What is `None` or empty is left out.
#[derive(Clone, Debug)]
pub struct Parts<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// Its job.
    pub job: &'a Job,
    /// Outcomes, best first.
    pub outcomes: &'a [Outcome],
    /// Notes on them.
    pub advice: &'a [Advice],
    /// What wettings and defaults are worth.
    pub worth: &'a Worth,
    /// The setup that the document is about.
    pub setup: &'a str,
    /// Where its days go.
    pub explanation: Option<&'a Explanation>,
    /// Why that could not be told.
    pub unexplained: Option<String>,
    /// What buys days back.
    pub actions: &'a [Action],
    /// The odds.
    pub odds: Option<Odds>,
    /// Gear and power.
    pub gear: Vec<Block>,
    /// Readings in the log, judged, and the tests of the floor.
    pub readings: Option<(&'a [Judged], &'a [FloorTest])>,
    /// Readings against the forecast.
    pub forecast: Vec<Block>,
    /// Preparation of the floor.
    pub prep: Vec<Block>,
    /// Notes on the weather.
    pub notices: &'a [String],
    /// The day on which it is made.
    pub made: Option<Date>,
    /// Units.
    pub system: System,
}

/// A day in words that no country reads the other way round.
fn in_words(date: Date) -> String {
    date.strftime("%A, %-d %B %Y").to_string()
}

fn day(date: Date) -> String {
    date.strftime("%-d %B %Y").to_string()
}

/// The document of a scenario.
#[must_use]
pub fn document(parts: &Parts<'_>) -> Document {
    let shown = parts.outcomes.iter().find(|o| o.name == parts.setup);
    let mut document = Document {
        title: plain(&parts.scenario.name),
        subtitle: match parts.made {
            Some(made) => format!(
                "When the floor is dry enough to coat. Forecast made on {}.",
                day(made)
            ),
            None => "When the floor is dry enough to coat: a forecast.".into(),
        },
        first: first_page(parts, shown),
        sections: Vec::new(),
    };
    let mut add = |heading: &str, blocks: Vec<Block>| {
        if !blocks.is_empty() {
            document.sections.push(Section {
                heading: heading.into(),
                blocks,
            });
        }
    };
    add("Where the days go", delay(parts));
    add("What would buy days back", buying(parts));
    add("The setups compared", setups(parts));
    if let Some(odds) = &parts.odds {
        add("The odds", odds.blocks.clone());
    }
    add("How the slab dries", course(parts));
    add("Tests of the floor", tests(parts));
    add("Readings against the forecast", parts.forecast.clone());
    add("Gear and power", parts.gear.clone());
    add("Preparation of the floor", parts.prep.clone());
    add("Water on the floor", wettings(parts));
    add("What was taken for granted", assumptions(parts));
    add("Cautions", cautions(parts));
    add("What this forecast cannot know", limits());
    let names = parts.scenario.setups.iter().map(|s| s.name.as_str());
    document.with_isolated(std::iter::once(parts.scenario.name.as_str()).chain(names))
}

fn target_words(parts: &Parts<'_>) -> String {
    let words: Vec<String> = parts
        .scenario
        .targets_taken()
        .iter()
        .map(|t| match t {
            Target::RelativeHumidityAtDepth(t) => {
                format!("a probe in the concrete reads at most {}", t.limit.in_si())
            }
            Target::EquilibriumRelativeHumidity(t) => format!(
                "the concrete under a tight cover settles at {} humidity at most",
                t.limit.in_si()
            ),
            Target::EmissionRate(t) => format!(
                "a dish of drying salt shows at most {}",
                if parts.system == System::Si {
                    t.limit.in_si()
                } else {
                    t.limit.in_us()
                }
            ),
            Target::SurfaceFlux(t) => format!(
                "the bare floor gives off at most {}",
                if parts.system == System::Si {
                    t.limit.in_si()
                } else {
                    t.limit.in_us()
                }
            ),
            Target::MassPercent(t) => {
                format!(
                    "the top layer holds at most {} water by weight",
                    t.limit.in_si()
                )
            }
            Target::PlasticSheet(_) => "no water shows under a plastic sheet overnight".into(),
        })
        .collect();
    words.join(", and ")
}

fn first_page(parts: &Parts<'_>, shown: Option<&Outcome>) -> FirstPage {
    let setup = isolated(parts.setup);
    let needed = parts.job.needed_by;
    let (date, mut meaning) = match shown {
        Some(o) if !o.computed() => (
            "No date".to_owned(),
            format!("The course with {setup} could not be computed."),
        ),
        Some(o) => match o.date {
            Some(date) => (
                in_words(date),
                format!(
                    "On this day the floor is expected to be dry enough to coat with {setup}: {}.",
                    target_words(parts)
                ),
            ),
            None => (
                "No date".to_owned(),
                format!(
                    "With {setup} the floor is not dry enough by {}. {}",
                    day(parts.job.date(parts.job.give_up)),
                    o.never.as_ref().map(Never::sentence).unwrap_or_default()
                ),
            ),
        },
        None => ("No date".to_owned(), "No setup was computed.".to_owned()),
    };
    if let (Some(by), Some(date)) = (needed, shown.and_then(|o| o.date)) {
        let late = crate::job::seconds_between(by, date) / crate::simulation::DAY;
        meaning.push_str(&match late {
            d if d > 0.0 => format!(" It is needed by {}: {d:.0} days too late.", day(by)),
            d if d < 0.0 => format!(" It is needed by {}: {:.0} days to spare.", day(by), -d),
            _ => format!(" It is needed on that very day, {}.", day(by)),
        });
    }
    let odds = parts.odds.as_ref().map_or_else(
        || {
            "Not computed. Drying times of real slabs scatter by tens of per cent, and the weather will not be the one assumed: hold the date as open by as much, and go by the tests.".into()
        },
        |odds| odds.sentence.clone(),
    );
    let cause = parts.explanation.map(|e| {
        let delay = e.attribution.delay();
        let at_least = if e.expected.is_none() {
            "At least "
        } else {
            ""
        };
        match e.main_cause() {
            _ if delay.abs() < 0.5 => {
                format!("The floor comes as it was promised ({}).", day(e.promised))
            }
            Some((cause, days)) if delay > 0.0 => format!(
                "{at_least}{delay:.0} days after {}, {}. Main cause: {} ({}), {days:.0} days{}.",
                day(e.promised),
                e.reference,
                cause.kind.name().to_lowercase(),
                cause.detail[usize::from(parts.system == System::Si)],
                explained::by_itself(e)
            ),
            _ if delay > 0.0 => format!(
                "{at_least}{delay:.0} days after {}, {}; no single cause stands out.",
                day(e.promised),
                e.reference
            ),
            _ => format!(
                "{:.0} days sooner than {} ({}).",
                -delay,
                e.reference,
                day(e.promised)
            ),
        }
    });
    let chart = parts
        .explanation
        .filter(|e| e.attribution.delay().abs() >= 0.5 || e.expected.is_none())
        .map(|e| {
            let chart = explained::waterfall(parts.scenario, e, parts.system);
            Figure::new("delay", chart)
        })
        .or_else(|| picked(parts, parts.outcomes, "days"));
    FirstPage {
        date,
        meaning,
        odds,
        cause,
        to_do: to_do(parts, shown),
        chart,
        release: "This forecast does not release the floor. Its moisture tests, the data sheet of the coating and the person responsible do; local codes come first.".into(),
    }
}

fn to_do(parts: &Parts<'_>, shown: Option<&Outcome>) -> Vec<String> {
    let mut list = Vec::new();
    let best = parts.outcomes.first().filter(|o| o.date.is_some());
    if let Some(action) = explained::first_action(parts.actions) {
        list.push(action);
        list.extend(explained::saving_action(parts.actions).map(|other| format!("Or: {other}")));
    } else if parts.actions.is_empty()
        && let Some(best) = best.filter(|b| b.name != parts.setup)
    {
        list.push(format!(
            "Look at {}: of the setups compared it would have been dry first.",
            isolated(&best.name)
        ));
    }
    if shown.is_some_and(|o| o.date.is_some()) {
        list.push("Keep the gear running and the room closed until the tests pass.".into());
    }
    list.push("Keep water off the floor.".into());
    list.push(match parts.readings {
        Some((_, tests)) if tests.iter().any(|t| t.wanted && t.enough()) => {
            "Keep testing where the floor was tested, and trust this forecast as far as the readings follow it.".into()
        }
        _ => "Test the floor as its standard says, early enough to see whether it follows this forecast.".into(),
    });
    list
}

/// A chart of some outcomes by its name.
fn picked(parts: &Parts<'_>, outcomes: &[Outcome], wanted: &str) -> Option<Figure> {
    let narrow = format!("{wanted}-narrow");
    let (mut wide, mut small) = (String::new(), String::new());
    for (name, svg) in compared::charts(parts.job, outcomes, parts.system) {
        if name == wanted {
            wide = svg;
        } else if name == narrow {
            small = svg;
        }
    }
    (!wide.is_empty()).then(|| Figure::drawn(wanted, wide, small))
}

fn delay(parts: &Parts<'_>) -> Vec<Block> {
    let Some(e) = parts.explanation else {
        return parts
            .unexplained
            .iter()
            .map(|why| Block::Text(why.clone()))
            .collect();
    };
    let mut blocks = vec![
        Block::Text(explained::headline(e)),
        Block::Table(explained::table(e, parts.system)),
    ];
    blocks.push(Block::List(explained::remarks(e)));
    blocks
}

fn buying(parts: &Parts<'_>) -> Vec<Block> {
    if parts.actions.is_empty() {
        return Vec::new();
    }
    vec![
        Block::Text(format!(
            "{} Minus days are days sooner.",
            explained::EACH_BY_ITSELF
        )),
        Block::Table(explained::actions_table(parts.actions)),
    ]
}

fn setups(parts: &Parts<'_>) -> Vec<Block> {
    let mut blocks = vec![
        Block::Text(compared::headline(parts.job, parts.outcomes)),
        Block::Table(compared::table(parts.job, parts.outcomes, parts.system)),
        Block::Text(
            format!(
                "Each setup as if it ran from {} on. ",
                day(parts.scenario.drying_starts)
            ) + "\"Held by\" is what keeps the floor from drying faster: the face (more air or a ground face helps), the depth of the concrete (only warmth and time help) or wet ground below.",
        ),
    ];
    if parts.outcomes.len() > 1
        && let Some(chart) = picked(parts, parts.outcomes, "days")
    {
        blocks.push(Block::Figure(chart));
    }
    let notes: Vec<String> = parts
        .outcomes
        .iter()
        .filter_map(|o| Some(format!("{}: {}", o.name, o.never.as_ref()?.sentence())))
        .chain(
            parts
                .advice
                .iter()
                .filter(|a| !a.caution)
                .map(|a| format!("{}: {}", a.setup, a.text)),
        )
        .collect();
    if !notes.is_empty() {
        blocks.push(Block::List(notes));
    }
    blocks
}

fn course(parts: &Parts<'_>) -> Vec<Block> {
    let mut blocks = vec![Block::Text(
        "Concrete gives off its mixing water for months. The face dries first; what a test finds in the depth follows slowly. Warm concrete gives it off faster, and air can only take it while it is drier than the concrete.".into(),
    )];
    blocks.extend(picked(parts, parts.outcomes, "moisture").map(Block::Figure));
    // The inside of the slab and the room are those of the setup that the document is about.
    if let Some(shown) = parts.outcomes.iter().find(|o| o.name == parts.setup) {
        for wanted in ["profile", "room"] {
            let one = std::slice::from_ref(shown);
            blocks.extend(picked(parts, one, wanted).map(Block::Figure));
        }
    }
    blocks
}

fn tests(parts: &Parts<'_>) -> Vec<Block> {
    let Some((judged, tests)) = parts.readings else {
        return vec![Block::Text(
            "No readings are kept with this job yet. Only tests on the slab itself, done as their standards say, release the floor.".into(),
        )];
    };
    let mut blocks = vec![Block::List(read::sentences(
        tests,
        parts.scenario,
        parts.system,
    ))];
    if !judged.is_empty() {
        blocks.push(Block::Table(read::table(judged, parts.system)));
    }
    let reasons = read::reasons(judged);
    if !reasons.is_empty() {
        blocks.push(Block::List(reasons));
    }
    blocks
}

fn wettings(parts: &Parts<'_>) -> Vec<Block> {
    if parts.worth.wettings.is_empty() {
        return Vec::new();
    }
    let lines = Worth {
        wettings: parts.worth.wettings.clone(),
        assumptions: Vec::new(),
    }
    .lines(parts.setup);
    vec![Block::List(lines)]
}

fn assumptions(parts: &Parts<'_>) -> Vec<Block> {
    let si = parts.system == System::Si;
    let mut blocks = Vec::new();
    let worth = Worth {
        wettings: Vec::new(),
        assumptions: parts.worth.assumptions.clone(),
    }
    .lines(parts.setup);
    if let [head, rest @ ..] = worth.as_slice() {
        blocks.push(Block::Text(format!(
            "{head} (days later, or sooner with a minus)"
        )));
        blocks.push(Block::List(
            rest.iter().map(|l| l.trim().to_owned()).collect(),
        ));
    }
    let rows = understood(parts.scenario)
        .into_iter()
        .map(|line| {
            vec![
                line.label,
                if si { line.si } else { line.us },
                line.note.unwrap_or_default(),
            ]
        })
        .collect();
    blocks.push(Block::Table(TextTable {
        columns: ["What", "Value", "Why"]
            .map(|c| (c.to_owned(), super::Side::Left))
            .to_vec(),
        rows,
        strong_row: None,
    }));
    if !parts.notices.is_empty() {
        blocks.push(Block::List(parts.notices.to_vec()));
    }
    blocks
}

fn cautions(parts: &Parts<'_>) -> Vec<Block> {
    let mut blocks: Vec<Block> = parts
        .advice
        .iter()
        .filter(|a| a.caution)
        .map(|a| Block::caution(format!("{}: {}", a.setup, a.text)))
        .collect();
    blocks.push(Block::List(vec![
        "Burners without a flue give off carbon monoxide, carbon dioxide and water. Ventilate, monitor and keep clear as local codes and the heater's sheet require; never over fresh concrete.".into(),
        "Hot, dry air can crack or curl a young slab. Do not dry before curing is over.".into(),
        "Electric loads, fuel storage and temporary heat come under local codes and licensed trades.".into(),
        "Grinding and blasting concrete make dust that harms lungs: extraction and respirators as the local rules on silica require.".into(),
        today::RELEASE.into(),
    ]));
    blocks
}

fn limits() -> Vec<Block> {
    vec![Block::List(
        [
            "It computes one slab in one well-mixed room, drying straight up or down: no joints, edges, wet corners or goods in the way.",
            "Its concrete is fitted to published drying times. Real slabs scatter by tens of per cent with mix and finish.",
            "A typical year or monthly means are not next winter's weather.",
            "It does not know the coating: adhesion, cure and limits are on its data sheet.",
            "The split of a delay says what the simulated floor would have done without each cause. It is no proof of what happened on site, and none of who was responsible.",
            "None of this has been checked against this floor. Trust it as far as the readings agree.",
        ]
        .map(String::from)
        .to_vec(),
    )]
}

