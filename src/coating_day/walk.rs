//! Rules of the walk: nothing holds the floor, its preparation is finished, the waits behind it are over, wood and metal are fit.
//!
//! Limits and waits are those of [`crate::preparation`]; they count from the moment at which a task was really finished.

use super::rule::{About, COMMON, Figure, Rule, Says};
use crate::preparation::Prepared;
use crate::preparation::progress::{Progress, Waiting, seconds_to};
use crate::preparation::repairs::Hold;
use crate::preparation::rules::RuleId;
use crate::preparation::survey::{Area, Ground};
use crate::scenario::Scenario;
use crate::units::DAY;
use crate::units::System;
use crate::units::format::{Said, days, moment, short_date};
use jiff::civil::{Date, DateTime};

/// Open tasks that are named one by one.
const NAMED: usize = 3;
/// How a hold is lifted in the scenario.
const WRITTEN: &str =
    "Then write it down under walk.lifted, with \"hold\", \"area\", \"by\" and \"on\".";

/// The rules of a scenario's walk; none without one.
pub(super) fn rules(scenario: &Scenario, prepared: Option<&Prepared>, now: DateTime) -> Vec<Rule> {
    let Some(prepared) = prepared else {
        let why = "The walk over the floor was not read. Check again with its findings.";
        let unseen = |_| {
            rule(
                "walk over the floor",
                Figure::Nothing,
                Figure::Nothing,
                COMMON,
            )
            .unless(true, Says::Wait, why)
        };
        return scenario.walk.iter().map(unseen).collect();
    };
    let walk = Walk {
        prepared,
        seconds: seconds_to(prepared.placed, now),
        holds: prepared.judged.holds_on(now.date()),
    };
    let mut rules = walk.holds();
    for area in &prepared.survey.areas {
        match area.ground {
            Ground::Concrete => {}
            Ground::Metal => rules.push(walk.metal(area)),
            Ground::Wood {
                moisture,
                measured,
                limit,
                ..
            } => rules.push(walk.wood(area, moisture, measured, limit)),
        }
    }
    let progress = prepared.progress(walk.seconds);
    rules.extend(walk.method(&progress));
    rules.push(walk.tasks(&progress));
    rules.extend(walk.waits(&progress));
    rules
}

fn rule(name: impl Into<String>, value: Figure, limit: Figure, source: &str) -> Rule {
    Rule {
        name: name.into(),
        about: About::Work,
        says: Says::Go,
        value,
        limit,
        at_most: true,
        source: source.to_owned(),
        short: Said::default(),
        why: Said::default(),
    }
}

impl Rule {
    /// The same, which says this where it is broken.
    fn unless(mut self, broken: bool, says: Says, why: impl Into<Said>) -> Self {
        if broken {
            self.says = says;
            self.why = why.into();
        }
        self
    }

    /// The same with these words for the first line.
    fn short(mut self, words: impl Into<Said>) -> Self {
        self.short = words.into();
        self
    }
}

fn words(text: impl Into<String>) -> Figure {
    Figure::Words(text.into())
}

/// A hold in the first line: what, where, and who can lift it.
fn held(rule: RuleId, place: &str) -> String {
    let who = rule.lifted_by().unwrap_or_default();
    format!("{} in {place}, to be lifted by {who}", rule.hold())
}

/// Who can lift a hold, as the end of a reason.
fn lift(rule: RuleId) -> String {
    rule.lifted_by()
        .map_or_else(String::new, |who| format!("Who can lift it: {who}."))
}

struct Walk<'a> {
    prepared: &'a Prepared,
    seconds: f64,
    holds: Vec<Hold>,
}

impl Walk<'_> {
    fn area(&self, index: usize) -> &str {
        let area = self.prepared.survey.areas.get(index);
        area.map_or("", |area| area.name.as_str())
    }

    /// A moment of the walk's clock, to the minute, rounded up so that no wait ends early.
    fn at(&self, seconds: f64, system: System) -> String {
        let minutes = (seconds / 60.0 - 1e-6).ceil();
        let start = self.prepared.placed.at(0, 0, 0, 0);
        let time = start.checked_add(jiff::Span::new().minutes(minutes as i64));
        time.map_or_else(|_| String::new(), |time| moment(time, system))
    }

    /// What holds the floor, besides what wood and metal say themselves.
    fn holds(&self) -> Vec<Rule> {
        let own = |hold: &&Hold| {
            !matches!(
                hold.rule,
                RuleId::MetalFailing | RuleId::WoodMoisture | RuleId::WoodNotMeasured
            )
        };
        let mut rules: Vec<Rule> = self
            .holds
            .iter()
            .filter(own)
            .map(|hold| {
                let why = format!("{}. {} {WRITTEN}", hold.place(), lift(hold.rule));
                rule(
                    format!("hold ({})", hold.rule.hold()),
                    words(hold.place()),
                    words("lifted"),
                    hold.rule.rule().source,
                )
                .unless(true, Says::No, why)
                .short(held(hold.rule, &hold.place()))
            })
            .collect();
        if rules.is_empty() {
            rules.push(rule(
                "holds of the walk",
                words("none"),
                words("none"),
                COMMON,
            ));
        }
        rules
    }

    fn metal(&self, area: &Area) -> Rule {
        let holds =
            |hold: &&Hold| hold.rule == RuleId::MetalFailing && hold.areas.contains(&area.name);
        let failing = self.holds.iter().find(holds);
        let why = failing
            .map(|hold| format!("{} is failing. {} {WRITTEN}", hold.place(), lift(hold.rule)));
        rule(
            format!("metal in {}", area.name),
            words(if failing.is_some() {
                "failing"
            } else {
                "no sign of failing"
            }),
            words("sound"),
            COMMON,
        )
        .unless(failing.is_some(), Says::No, why.unwrap_or_default())
        .short(failing.map_or_else(String::new, |hold| held(hold.rule, &hold.place())))
    }

    fn wood(&self, area: &Area, moisture: Option<f64>, measured: Option<Date>, limit: f64) -> Rule {
        let value = moisture.map_or(Figure::Nothing, Figure::MoistureContent);
        let validity = self.prepared.window.test_validity;
        let age = measured.map(|day| {
            let read = seconds_to(self.prepared.placed, day.at(0, 0, 0, 0));
            (day, self.seconds - read)
        });
        let how = "Write reading and day into the area, as \"moisture_content\" and \"measured\".";
        let (says, why) = match (moisture, age) {
            (None, _) => (
                Says::No,
                Said::from(format!(
                    "Its moisture is not measured. {} {how}",
                    lift(RuleId::WoodNotMeasured)
                )),
            ),
            (Some(moisture), _) if moisture > limit => (
                Says::No,
                format!("It is too wet. {} {how}", lift(RuleId::WoodMoisture)).into(),
            ),
            (Some(_), None) => (
                Says::Wait,
                format!("The day of the reading is missing. {how}").into(),
            ),
            (Some(_), Some((day, age))) if age < 0.0 => (
                Says::Wait,
                Said::new(|system| {
                    let day = short_date(day, system);
                    format!("Its reading is dated {day}, which is still to come. Correct the day.")
                }),
            ),
            (Some(_), Some((day, age))) if age > validity.value => (
                Says::Wait,
                Said::new(|system| {
                    format!(
                        "It was measured on {}, more than {} ago ({}). Measure again.",
                        short_date(day, system),
                        days(validity.value / DAY),
                        validity.source
                    )
                }),
            ),
            (Some(_), Some(_)) => (Says::Go, Said::default()),
        };
        rule(
            format!("wood moisture in {}", area.name),
            value,
            Figure::MoistureContent(limit),
            COMMON,
        )
        .unless(says != Says::Go, says, why)
        .short(match moisture {
            None => held(RuleId::WoodNotMeasured, &area.name),
            Some(moisture) if moisture > limit => held(RuleId::WoodMoisture, &area.name),
            Some(_) => String::new(),
        })
    }

    /// Concrete gets its profile by one method, and everybody knows which.
    fn method(&self, progress: &Progress) -> Option<Rule> {
        let how = "Name it under walk.method, or tick off its task.";
        let (value, why) = if self.prepared.without_profile() {
            let why = "No method gives the wanted profile and keeps within what the site allows. Change walk.wanted_profile or walk.site, or name a method.";
            ("none fits".to_owned(), why.to_owned())
        } else if progress.undecided.is_empty() {
            return None;
        } else {
            let names = progress.undecided.join(" or ");
            (names.clone(), format!("Not decided yet: {names}. {how}"))
        };
        let rule = rule(
            "method for the surface profile",
            words(value),
            words("one of them"),
            COMMON,
        );
        Some(rule.unless(true, Says::Wait, why))
    }

    fn tasks(&self, progress: &Progress) -> Rule {
        let missing = progress.open.len() + progress.later.len();
        let all = missing + progress.done.len();
        let name = |(task, area): &(String, usize)| format!("\"{task}\" ({})", self.area(*area));
        let mut why = String::new();
        if !progress.open.is_empty() {
            let named: Vec<String> = progress.open.iter().take(NAMED).map(name).collect();
            let more = progress.open.len().saturating_sub(NAMED);
            let more = if more > 0 {
                format!(" and {more} more")
            } else {
                String::new()
            };
            why = format!(
                "Still to do: {}{more}. Tick off what is done under walk.done, with its \"task\", \"area\" and \"finished\".",
                named.join(", ")
            );
        }
        if let Some(first) = progress.later.first() {
            let gap = if why.is_empty() { "" } else { " " };
            why += &format!(
                "{gap}{} ticked off for a time still to come, the first: {}.",
                match progress.later.len() {
                    1 => "1 task is".to_owned(),
                    many => format!("{many} tasks are"),
                },
                name(first)
            );
        }
        rule(
            "preparation",
            words(format!("{} of {all} tasks done", progress.done.len())),
            words("all done"),
            COMMON,
        )
        .unless(missing > 0, Says::Wait, why)
        .short(format!(
            "preparation not finished, {} of {all} tasks done",
            progress.done.len()
        ))
    }

    /// One rule for each wait that is not over; else one for the last that was.
    fn waits(&self, progress: &Progress) -> Vec<Rule> {
        let waits = || progress.done.iter().filter(|task| task.wait > 0.0);
        let name =
            |task: &Waiting| format!("wait behind \"{}\" in {}", task.task, self.area(task.area));
        let told = |task: &Waiting| {
            let why = Said::new(|system| {
                format!(
                    "It was finished on {}. The wait behind it ends on {}.",
                    self.at(task.finished, system),
                    self.at(task.over(), system)
                )
            });
            let mut rule = rule(
                name(task),
                Figure::Time(self.seconds - task.finished),
                Figure::Time(task.wait),
                COMMON,
            );
            rule.at_most = false;
            let until = Said::new(|system| {
                format!("{} until {}", name(task), self.at(task.over(), system))
            });
            rule.unless(self.seconds < task.over(), Says::Wait, why)
                .short(until)
        };
        let mut running: Vec<&Waiting> = waits().filter(|t| self.seconds < t.over()).collect();
        running.sort_by(|a, b| b.over().total_cmp(&a.over()));
        if running.is_empty() {
            let last = waits().max_by(|a, b| a.over().total_cmp(&b.over()));
            return last.into_iter().map(told).collect();
        }
        running.into_iter().map(told).collect()
    }
}
