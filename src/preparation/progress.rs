//! What is done on the floor and what is not: tasks that are ticked off, the waits behind them, and names that mean nothing here.
//!
//! The method need not be named. Then the tasks that are ticked off decide it as far as they can: a way of doing the work that lacks one of
//! them is not the way of this floor.

use super::calendar::{CalendarFault, Step, wait_behind};
use super::repairs::{Judged, findings_held, lifted_by};
use super::rules::RuleId;
use super::survey::Survey;
use super::tasks::{Task, Tasks};
use crate::scenario::model::{LiftableHold, LiftedHold, Walk};
use crate::scenario::{Unknown, either, nearest};
use crate::units::{HOUR, MINUTE};
use jiff::civil::{Date, DateTime};
use std::collections::BTreeSet;

/// Names that a fault lists.
const LISTED: usize = 40;

/// Why a floor cannot be prepared.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PrepareFault {
    /// There is no calendar.
    #[error(transparent)]
    Calendar(#[from] CalendarFault),
    /// Entries of the walk name tasks or holds that this floor does not have.
    #[error("{}", .0.iter().map(|u| format!("walk.{}[{}].{}: {} {}", u.list, u.entry, u.key, u.message, u.help)).collect::<Vec<_>>().join("\n"))]
    Unknown(Vec<Unknown>),
}

/// A task that is ticked off.
#[derive(Clone, Debug, PartialEq)]
pub struct Done {
    /// Its name.
    pub task: String,
    /// Index of its area.
    pub area: usize,
    /// When it was finished \[s since midnight of the day of placing\].
    pub finished: f64,
}

impl Done {
    fn is(&self, task: &Task) -> bool {
        self.area == task.area && self.task.eq_ignore_ascii_case(&task.name)
    }
}

/// Seconds from midnight of the day of placing to a moment.
#[must_use]
pub fn seconds_to(placed: Date, moment: DateTime) -> f64 {
    let days = crate::job::seconds_between(placed, moment.date());
    days + f64::from(moment.hour()) * HOUR
        + f64::from(moment.minute()) * MINUTE
        + f64::from(moment.second())
}

/// What the walk ticks off, in its order.
#[must_use]
pub(super) fn ticked(walk: &Walk, survey: &Survey, placed: Date) -> Vec<Done> {
    let find = |name: &str| survey.areas.iter().position(|a| a.name == name.trim());
    walk.done
        .iter()
        .flatten()
        .map(|entry| Done {
            task: entry.task.trim().to_owned(),
            // A name that is no area's was refused when it was read.
            area: find(&entry.area).unwrap_or(usize::MAX),
            finished: seconds_to(placed, entry.finished.0),
        })
        .collect()
}

/// Puts the moments of what is done to its steps.
pub(super) fn put_in(done: &[Done], tasks: &mut Tasks) {
    for (task, step) in tasks.tasks.iter().zip(&mut tasks.steps) {
        if let Some(one) = done.iter().find(|one| one.is(task)) {
            step.finished = Some(one.finished);
        }
    }
}

/// The names of tasks that are done and not of this way.
pub(super) fn not_of(done: &[Done], tasks: &Tasks) -> Vec<String> {
    done.iter()
        .filter(|one| !tasks.tasks.iter().any(|task| one.is(task)))
        .map(|one| format!("\"{}\"", one.task))
        .collect()
}

/// What is ticked off and is no task of any of these ways.
fn unknown_tasks(done: &[Done], survey: &Survey, ways: &[&Tasks]) -> Vec<Unknown> {
    let all = || ways.iter().flat_map(|way| &way.tasks);
    done.iter()
        .enumerate()
        .filter(|(_, one)| !all().any(|task| one.is(task)))
        .map(|(entry, one)| {
            let area = survey.areas.get(one.area);
            let area = area.map_or("", |area| area.name.as_str());
            let here: BTreeSet<&str> = all()
                .filter(|task| task.area == one.area)
                .map(|task| task.name.as_str())
                .collect();
            let near = nearest(&one.task, here.iter().copied())
                .map(|near| format!("Did you mean \"{near}\"? "))
                .unwrap_or_default();
            let list: Vec<String> = here
                .iter()
                .take(LISTED)
                .map(|t| format!("\"{t}\""))
                .collect();
            Unknown {
                list: "done",
                entry,
                key: "task",
                message: format!("\"{area}\" has no task \"{}\".", short(&one.task)),
                help: format!("{near}Its tasks: {}.", list.join(", ")),
            }
        })
        .collect()
}

/// Every task that is ticked off is one of these ways, and one way has them all. `unknown` is what is wrong besides.
pub(super) fn all_known(
    done: &[Done],
    survey: &Survey,
    ways: &[&Tasks],
    mut unknown: Vec<Unknown>,
) -> Result<(), PrepareFault> {
    let tasks = unknown_tasks(done, survey, ways);
    if tasks.is_empty() {
        unknown.extend(mixed(done, ways));
    }
    unknown.extend(tasks);
    if unknown.is_empty() {
        Ok(())
    } else {
        Err(PrepareFault::Unknown(unknown))
    }
}

/// A fault where no one way has all that is ticked off.
fn mixed(done: &[Done], ways: &[&Tasks]) -> Option<Unknown> {
    if ways.iter().any(|way| not_of(done, way).is_empty()) {
        return None;
    }
    let of_all = |one: &Done| {
        let one = std::slice::from_ref(one);
        ways.iter().all(|way| not_of(one, way).is_empty())
    };
    Some(Unknown {
        list: "done",
        entry: done.iter().position(|one| !of_all(one))?,
        key: "task",
        message: "The tasks that are done belong to more than one method.".to_owned(),
        help: "Keep those of the method that was used, and name that method under walk.method."
            .to_owned(),
    })
}

/// What is said to be lifted and does not hold, or not clearly.
pub(super) fn unknown_holds(walk: &Walk, judged: &Judged, survey: &Survey) -> Vec<Unknown> {
    walk.lifted
        .iter()
        .flatten()
        .enumerate()
        .filter(|(_, one)| lifted_by(one, judged, survey).is_empty())
        .map(|(entry, one)| unknown_hold(entry, one, judged, survey))
        .collect()
}

fn unknown_hold(entry: usize, one: &LiftedHold, judged: &Judged, survey: &Survey) -> Unknown {
    let rule = RuleId::of(one.hold);
    let held = findings_held(rule, &one.area, judged, survey);
    let list: Vec<String> = held.iter().take(LISTED).map(usize::to_string).collect();
    let (list, hold, area) = (list.join(", "), rule.hold(), one.area.trim());
    let (key, message, help) = match (held.is_empty(), one.finding) {
        (false, Some(number)) => (
            "finding",
            format!("Finding {number} is no {hold} in \"{area}\"."),
            format!("This hold comes from finding {list} there."),
        ),
        (false, None) => (
            "hold",
            format!(
                "In \"{area}\" this hold comes from {} findings: {list}.",
                held.len()
            ),
            "Write an entry for each one lifted, with its \"finding\".".to_owned(),
        ),
        (true, _) => {
            let there: Vec<&str> = [
                (LiftableHold::MovingCrack, "moving_crack"),
                (LiftableHold::StructuralCrack, "structural_crack"),
                (LiftableHold::Damp, "damp"),
                (LiftableHold::FailingMetal, "failing_metal"),
            ]
            .into_iter()
            .filter(|(kind, _)| {
                !findings_held(RuleId::of(*kind), &one.area, judged, survey).is_empty()
            })
            .map(|(_, word)| word)
            .collect();
            let help = if there.is_empty() {
                "There is no hold there to lift. Take this entry out.".to_owned()
            } else {
                format!("The holds there: {}.", either(there))
            };
            (
                "hold",
                format!("\"{area}\" has no hold for a {hold}."),
                help,
            )
        }
    };
    Unknown {
        list: "lifted",
        entry,
        key,
        message,
        help,
    }
}

fn short(text: &str) -> String {
    text.chars().take(LISTED).collect()
}

/// A wait behind a task that is done.
#[derive(Clone, Debug, PartialEq)]
pub struct Waiting {
    /// The task.
    pub task: String,
    /// Index of its area.
    pub area: usize,
    /// When it was finished \[s\].
    pub finished: f64,
    /// How long the wait is \[s\].
    pub wait: f64,
    /// Whether the task wets the whole area.
    pub wets: bool,
}

impl Waiting {
    /// When the wait is over \[s\].
    #[must_use]
    pub fn over(&self) -> f64 {
        self.finished + self.wait
    }
}

/// How far the preparation is at a moment.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Progress {
    /// Tasks that are finished by then, with the waits behind them.
    pub done: Vec<Waiting>,
    /// Tasks that are not, by name and index of area, in the order of the work.
    pub open: Vec<(String, usize)>,
    /// Tasks that are ticked off for later, by name and index of area.
    pub later: Vec<(String, usize)>,
    /// Methods that may still be the one, where there is more than one.
    pub undecided: Vec<&'static str>,
}

/// How far these ways are by `now` \[s\], each with the name of its method: the tasks that all of them have.
#[must_use]
pub(super) fn progress(ways: &[(&'static str, &Tasks)], now: f64) -> Progress {
    let mut out = Progress::default();
    let Some(((_, first), rest)) = ways.split_first() else {
        return out;
    };
    let same = |a: &Task, b: &Task| a.area == b.area && a.name == b.name;
    for (index, (task, step)) in first.tasks.iter().zip(&first.steps).enumerate() {
        let in_all = |(_, way): &(&str, &Tasks)| way.tasks.iter().any(|other| same(task, other));
        match step.finished {
            Some(finished) if finished <= now => {
                let own = wait_behind(&first.steps, index);
                let wait = rest
                    .iter()
                    .map(|(_, way)| wait_of(task, way))
                    .fold(own, f64::max);
                out.done.push(Waiting {
                    task: task.name.clone(),
                    area: task.area,
                    finished,
                    wait,
                    wets: task.effect.is_some_and(|effect| effect.wets()),
                });
            }
            Some(_) => out.later.push((task.name.clone(), task.area)),
            None if rest.iter().all(in_all) => out.open.push((task.name.clone(), task.area)),
            None => {}
        }
    }
    if !rest.is_empty() {
        out.undecided = ways.iter().map(|(name, _)| *name).collect();
    }
    out
}

fn wait_of(task: &Task, way: &Tasks) -> f64 {
    let place = way
        .tasks
        .iter()
        .position(|other| other.area == task.area && other.name == task.name);
    let steps: &[Step] = &way.steps;
    place.map_or(0.0, |index| wait_behind(steps, index))
}
