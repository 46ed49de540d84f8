//! May the floor be coated now: what the rules say, each of them, and what they rest on.

use super::limits;
use super::readings::rate;
use super::verdict::{self, HoldData, VerdictData};
use super::{Answer, Block, Columns, Document, TextTable, record};
use crate::coating_day::{About, CoatingDay, Conditions, CureHours, Figure, Given, Rule, Says};
use crate::scenario::Scenario;
use crate::units::format::{
    Shown, capital, counted, fine_percent, fine_temperature as temperature, hours as told_hours,
    moment, short_date, whole,
};
use crate::units::{Kind, System};
use crate::verdict::Verdict;
use jiff::civil::DateTime;
use serde::Serialize;

/// What this check cannot take away from people.
pub const RELEASE: &str = "This check does not release the floor. Its tests, the product sheet and the person responsible do. Local codes come first.";
/// Times from here on are told in days \[h\].
const TOLD_IN_DAYS: f64 = 48.0;

/// The check of a moment.
#[derive(Clone, Debug)]
pub struct Today<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// The moment.
    pub now: DateTime,
    /// Air and slab.
    pub conditions: Conditions,
    /// What the rules say.
    pub day: CoatingDay,
    /// What may be said of the date, after the readings; `None` where it was not asked for.
    pub verdict: Option<Verdict>,
    /// The hours of cure, where a forecast of the weather was given.
    pub cure: Option<CureHours>,
    /// Notes about the log.
    pub notices: &'a [String],
}

record! {
    /// The check of a moment: `coatday/today/2`.
    TodayData(t: &Today<'_>) {
        schema: &'static str = "coatday/today/2",
        scenario: String = t.scenario.name.clone(),
        at: DateTime = t.now,
        says: &'static str = key(t.day.says),
        verdict: Option<VerdictData> = t.verdict.as_ref().map(VerdictData::of),
        holds: Vec<HoldData> = t.day.holds.iter().map(|hold| HoldData::of(&hold.into())).collect(),
        limits: Vec<String> = limits::missing(t.scenario).into_iter().collect(),
        air_temperature_c: GivenData = GivenData::of(&t.conditions.air_temperature),
        air_relative_humidity: GivenData = GivenData::of(&t.conditions.air_relative_humidity),
        slab_temperature_c: GivenData = GivenData::of(&t.conditions.slab_temperature),
        dew_point_c: f64 = t.day.dew_point,
        spread_k: f64 = t.day.spread,
        cure: Option<CureData> = t.cure.as_ref().map(CureData::of),
        rules: Vec<RuleData> = t.day.rules.iter().map(RuleData::of).collect(),
        release: &'static str = RELEASE,
    }

    /// A measurement and where it comes from.
    GivenData(given: &(f64, Given)) where [log = log_line(&given.1)] {
        value: f64 = given.0,
        from: &'static str = if log.is_some() { "log" } else { "given" },
        #[serde(skip_serializing_if = "Option::is_none")]
        line: Option<usize> = log.map(|(line, _)| line),
        #[serde(skip_serializing_if = "Option::is_none")]
        time: Option<DateTime> = log.map(|(_, time)| time),
    }

    /// The hours of cure.
    CureData(c: &CureHours) {
        hours: usize = c.hours,
        temperatures_held: bool = c.held,
        least_spread_k: f64 = c.least_spread,
        least_spread_after_h: f64 = c.least_spread_after / crate::units::HOUR,
        lowest_temperature_c: f64 = c.lowest_temperature,
        highest_temperature_c: f64 = c.highest_temperature,
        highest_air_relative_humidity: f64 = c.highest_relative_humidity,
    }

    /// What one rule says.
    RuleData(rule: &Rule) {
        name: String = rule.name.clone(),
        about: &'static str = match rule.about {
            About::Work => "work",
            About::Day => "day",
        },
        says: &'static str = key(rule.says),
        value: FigureData = FigureData::of(&rule.value),
        value_unit: &'static str = si_unit(&rule.value),
        limit: FigureData = FigureData::of(&rule.limit),
        limit_unit: &'static str = si_unit(&rule.limit),
        bound: &'static str = match rule.limit {
            Figure::TemperatureRange(..) => "between",
            _ if rule.at_most => "at_most",
            _ => "at_least",
        },
        source: String = rule.source.clone(),
        why: String = rule.why.of(System::Si).to_owned(),
    }
}

/// A value or limit as a program reads it: a number, two numbers, words, or nothing.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(untagged)]
pub enum FigureData {
    /// No value.
    Nothing,
    /// In the unit beside it.
    Number(f64),
    /// From and to.
    Range([f64; 2]),
    /// In words.
    Words(String),
}

impl FigureData {
    fn of(figure: &Figure) -> Self {
        match figure {
            Figure::Nothing => Self::Nothing,
            Figure::TemperatureRange(low, high) => Self::Range([*low, *high]),
            Figure::Temperature(x)
            | Figure::Difference(x)
            | Figure::Humidity(x)
            | Figure::MoistureContent(x)
            | Figure::Rate(x)
            | Figure::Time(x) => Self::Number(*x),
            Figure::Day(day) => Self::Words(day.to_string()),
            Figure::Words(words) => Self::Words(words.clone()),
        }
    }
}

fn si_unit(figure: &Figure) -> &'static str {
    match figure {
        Figure::Nothing | Figure::Words(_) | Figure::Day(_) => "",
        Figure::Temperature(_) | Figure::TemperatureRange(..) => "degC",
        Figure::Difference(_) => "K",
        Figure::Humidity(_) | Figure::MoistureContent(_) => "1",
        Figure::Rate(_) => "kg/(m2 s)",
        Figure::Time(_) => "s",
    }
}

fn key(says: Says) -> &'static str {
    match says {
        Says::NotChecked => "not_checked",
        Says::Go => "go",
        Says::Wait => "wait",
        Says::No => "no",
    }
}

fn log_line(given: &Given) -> Option<(usize, DateTime)> {
    match given {
        Given::Typed => None,
        Given::Log { line, time } => Some((*line, *time)),
    }
}

fn difference(kelvin: f64, system: System) -> String {
    Shown::of(Kind::TemperatureDifference, system).text(kelvin, 1)
}

fn time(seconds: f64) -> String {
    let hours = seconds / crate::units::HOUR;
    if hours.abs() < TOLD_IN_DAYS {
        Shown::of(Kind::Duration, System::Si).text(seconds, 1)
    } else {
        // Rounded down: a day that is not over does not count.
        counted(whole((hours / 24.0).floor()), "day")
    }
}

fn figure(figure: &Figure, system: System) -> String {
    match figure {
        Figure::Nothing => String::new(),
        Figure::Temperature(t) => temperature(*t, system),
        Figure::TemperatureRange(low, high) => {
            Shown::of(Kind::Temperature, system).between(*low, *high, 1)
        }
        Figure::Difference(d) => difference(*d, system),
        Figure::Humidity(h) | Figure::MoistureContent(h) => fine_percent(*h),
        Figure::Rate(r) => rate(*r, system),
        Figure::Time(t) => time(*t),
        Figure::Day(day) => short_date(*day, system),
        Figure::Words(words) => words.clone(),
    }
}

fn limit(rule: &Rule, system: System) -> String {
    let text = figure(&rule.limit, system);
    match rule.limit {
        Figure::Nothing | Figure::TemperatureRange(..) | Figure::Words(_) | Figure::Day(_) => text,
        _ if rule.at_most => format!("at most {text}"),
        _ => format!("at least {text}"),
    }
}

/// What a rule says in a word.
fn word(says: Says) -> &'static str {
    match says {
        Says::NotChecked => "not checked",
        Says::Go => "go",
        Says::Wait => "WAIT",
        Says::No => "NO",
    }
}

/// Whether a rule of the work on the floor stands against coating.
fn work_against(rule: &&Rule) -> bool {
    rule.about == About::Work && rule.says >= Says::Wait
}

/// What stands against coating, in a few words.
fn against(rule: &Rule, system: System) -> String {
    let (value, limit) = (figure(&rule.value, system), limit(rule, system));
    let short = rule.short.of(system);
    if !short.is_empty() {
        short.to_owned()
    } else if value.is_empty() {
        rule.name.clone()
    } else {
        let name = rule.name.trim_start_matches("tests: ");
        format!("{name} ({value}, {limit})")
    }
}

/// What the rules say, in one sentence: the work on the floor first, whatever the air does.
fn headline(day: &CoatingDay, now: DateTime, system: System) -> String {
    let mut work: Vec<&Rule> = day.rules.iter().filter(work_against).collect();
    work.sort_by_key(|rule| std::cmp::Reverse(rule.says));
    let deciding = |rule: &&Rule| rule.says == day.says && !work_against(rule);
    let against: Vec<String> = work
        .into_iter()
        .chain(day.rules.iter().filter(deciding))
        .map(|rule| against(rule, system))
        .collect();
    let when = moment(now, system);
    let unchecked = |rule: &&Rule| rule.says == Says::NotChecked;
    match (day.says, day.rules.iter().filter(unchecked).count()) {
        (Says::No | Says::Wait, _) => {
            format!("{} at {when}: {}.", word(day.says), against.join("; "))
        }
        (Says::Go, 0) => format!("GO at {when} by every rule below."),
        (Says::Go, 1) => format!("GO at {when} by the rules that were checked. 1 was not."),
        (Says::Go, unchecked) => {
            format!("GO at {when} by the rules that were checked. {unchecked} were not.")
        }
        (Says::NotChecked, _) => format!("Nothing could be checked at {when}."),
    }
}

/// One row a rule.
fn table(day: &CoatingDay, system: System) -> TextTable {
    Columns::new()
        .left("Rule", |rule: &&Rule| rule.name.clone())
        .left("Says", |rule| word(rule.says).to_owned())
        .left("Value", |rule| figure(&rule.value, system))
        .left("Limit", |rule| limit(rule, system))
        .left("Source", |rule| rule.source.clone())
        .rank(3)
        .rows(&day.rules)
}

/// The reasons of rules that say anything but go, the strictest first: those of the work on the floor, or the others.
fn reasons(day: &CoatingDay, work: bool, system: System) -> Vec<String> {
    let told = |rule: &&Rule| !rule.why.of(system).is_empty() && work_against(rule) == work;
    let mut rules: Vec<&Rule> = day.rules.iter().filter(told).collect();
    rules.sort_by_key(|rule| std::cmp::Reverse(rule.says));
    let mut out: Vec<String> = Vec::new();
    for rule in rules {
        // Rules that were not checked for one reason say it once.
        let why = rule.why.of(system).to_owned();
        if rule.says != Says::NotChecked {
            out.push(format!("{}: {why}", capital(&rule.name)));
        } else if !out.contains(&why) {
            out.push(why);
        }
    }
    out
}

/// Where the values of now come from, and the dew point.
fn measured(conditions: &Conditions, day: &CoatingDay, system: System) -> Vec<String> {
    let from = |given: &Given| match log_line(given) {
        None => "as given".to_owned(),
        Some((line, time)) => format!("line {line} of the log, {}", moment(time, system)),
    };
    vec![
        format!(
            "Air {} ({}), {} relative humidity ({}). Slab {} ({}).",
            temperature(conditions.air_temperature.0, system),
            from(&conditions.air_temperature.1),
            fine_percent(conditions.air_relative_humidity.0),
            from(&conditions.air_relative_humidity.1),
            temperature(conditions.slab_temperature.0, system),
            from(&conditions.slab_temperature.1),
        ),
        format!(
            "The dew point of the air is {}. The slab is {} {} it.",
            temperature(day.dew_point, system),
            difference(day.spread.abs(), system),
            if day.spread < 0.0 { "below" } else { "above" }
        ),
    ]
}

/// How the hours of cure were looked at.
fn how_cured(cure: &CureHours) -> String {
    let how = if cure.held {
        "heating holds today's temperatures, with the dew point of the forecast's outside air."
    } else {
        "the room's air is the forecast's outside air, and the slab follows it slowly. For a heated room use --hold-temperatures."
    };
    format!("Through {} of cure: {how}", told_hours(cure.hours as f64))
}

impl Answer for Today<'_> {
    type Data = TodayData;

    fn data(&self) -> TodayData {
        TodayData::of(self)
    }

    fn document(&self, system: System) -> Document {
        let mut notes: Vec<String> = self.cure.as_ref().map(how_cured).into_iter().collect();
        notes.extend(self.notices.iter().cloned());
        let date = self.verdict.iter();
        let date = date.map(|v| format!("Forecast: {}", verdict::sentence(v, system)));
        Document::new(
            &self.scenario.name,
            vec![
                Block::text(headline(&self.day, self.now, system)),
                Block::List(reasons(&self.day, true, system)),
                Block::List(date.collect()),
                Block::List(limits::missing(self.scenario).into_iter().collect()),
                Block::List(measured(&self.conditions, &self.day, system)),
                Block::Table(table(&self.day, system)),
                Block::List(reasons(&self.day, false, system)),
                // Said even to those who want no notes: people rely on it.
                Block::text(RELEASE),
                Block::Notes(notes),
            ],
        )
    }
}
