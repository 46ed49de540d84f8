//! Charts of a prepared floor: the plan with its findings, and the calendar over the drying.

use super::floor::PreparedFloor;
use crate::charts::Mark;
use crate::charts::site_plan::{Outline, SitePlan, Spot};
use crate::charts::work_chart::{ReadingCurve, WorkBar, WorkChart, WorkKind, WorkRow};
use crate::evaluate::odds::SHARES;
use crate::job::{Job, seconds_between};
use crate::preparation::Prepared;
use crate::preparation::survey::What;
use crate::results::compare::charts::reading;
use crate::results::{ESTIMATE, Figure};
use crate::results::{limits, verdict};
use crate::scenario::model::SiteWork;
use crate::units::DAY;
use crate::units::format::{Shown, counted, day_and_month, percent};
use crate::units::{Kind, System};
use jiff::civil::Date;

/// The charts: `plan` where something is drawn on it, and `calendar`.
pub(super) fn figures(
    floor: &PreparedFloor<'_>,
    system: System,
) -> impl Iterator<Item = Figure> + use<> {
    let plan = plan(floor.name, &floor.prepared, system);
    let calendar = calendar(floor, system);
    plan.map(|plan| Figure::new("plan", plan))
        .into_iter()
        .chain([Figure::new("calendar", calendar)])
}

fn plan(name: &str, prepared: &Prepared, system: System) -> Option<SitePlan> {
    let length = if system == System::Us { "ft" } else { "m" };
    let length = Shown::named(Kind::Length, length);
    let place = |(x, y): (f64, f64)| (length.number(x), length.number(y));
    let survey = &prepared.survey;
    let outlines: Vec<Outline> = survey
        .areas
        .iter()
        .filter(|area| !area.corners.is_empty())
        .map(|area| Outline {
            name: area.name.clone(),
            corners: area.corners.iter().map(|c| place(*c)).collect(),
        })
        .collect();
    let spots: Vec<Spot> = survey
        .findings
        .iter()
        .filter_map(|finding| {
            Some(Spot {
                number: finding.number,
                at: place(finding.position?),
                kind: finding.what.place(),
            })
        })
        .collect();
    if outlines.is_empty() && spots.is_empty() {
        return None;
    }
    let unplaced = survey.findings.len() - spots.len();
    let holds = prepared.judged.holds.len();
    let count = survey.findings.len();
    let found = counted(count, "finding");
    let mut footer = Vec::new();
    if unplaced > 0 {
        footer.push(format!(
            "{unplaced} of the findings have no place on the plan."
        ));
    }
    footer.push("Numbers are those of the list of findings.".into());
    Some(SitePlan {
        title: match holds {
            0 => format!("{found}, none stops the coating"),
            1 => format!("{found}, one stops the coating"),
            n => format!("{found}, {n} matters stop the coating"),
        },
        subtitle: format!("Findings of the walk: {name}"),
        outlines,
        kinds: What::KINDS.iter().map(|k| (*k).to_owned()).collect(),
        spots,
        unit: length.unit(),
        footer,
    })
}

/// The name of the row of a work.
fn row_name(work: SiteWork) -> &'static str {
    match work {
        SiteWork::Masking => "Mask",
        SiteWork::Stripping => "Strip",
        SiteWork::Degreasing => "Degrease",
        SiteWork::PowerWashing => "Power wash",
        SiteWork::Etching => "Etch and rinse",
        SiteWork::SquaringEdges => "Square patch edges",
        SiteWork::Patching => "Patch in layers",
        SiteWork::CrackFilling => "Fill cracks",
        SiteWork::JointSealing => "Seal joints",
        SiteWork::Grinding => "Grind with vacuum",
        SiteWork::EdgeGrinding => "Grind edges",
        SiteWork::SpotGrinding => "Grind spots flush",
        SiteWork::ShotBlasting => "Shot blast",
        SiteWork::Scarifying => "Scarify",
        SiteWork::Vacuuming => "Vacuum, wipe test",
        SiteWork::Sanding => "Sand wood",
        SiteWork::Brushing => "Brush metal",
        SiteWork::Priming => "Prime metal",
    }
}

fn calendar(floor: &PreparedFloor<'_>, system: System) -> WorkChart {
    let (name, prepared, job) = (floor.name, &floor.prepared, floor.job);
    let zero = (prepared.start / DAY).floor() * DAY;
    let day = |time: f64| (time - zero) / DAY;
    let way = &prepared.way;
    let mut rows: Vec<(SiteWork, WorkRow)> = Vec::new();
    for (index, (task, slot)) in way.tasks.tasks.iter().zip(&way.schedule.slots).enumerate() {
        // The longest wait that anything has behind this task.
        let wait = way
            .tasks
            .steps
            .iter()
            .flat_map(|step| &step.after)
            .filter(|(before, _)| *before == index)
            .map(|(_, wait)| *wait)
            .chain(way.tasks.steps.get(index).map(|step| step.then))
            .fold(0.0, f64::max);
        let pieces = prepared.working_time.pieces(slot.start, slot.end);
        let bars = pieces.iter().map(|(from, to)| WorkBar {
            start: day(*from),
            end: day(*to),
            wait_end: if *to >= slot.end {
                day(slot.end + wait)
            } else {
                day(*to)
            },
            kind: match task.effect {
                Some(effect) if effect.wets() => WorkKind::Wet,
                Some(effect) if effect.opens() => WorkKind::Opens,
                _ => WorkKind::Plain,
            },
            rules: way.schedule.critical.contains(&index),
        });
        match rows.iter_mut().find(|(work, _)| *work == task.work) {
            Some((_, row)) => row.bars.extend(bars),
            None => rows.push((
                task.work,
                WorkRow {
                    name: row_name(task.work).into(),
                    bars: bars.collect(),
                },
            )),
        }
    }
    let mut marks = Vec::new();
    let morning =
        |date: Date| day(seconds_between(prepared.placed, date) + prepared.working_time.from);
    if let Some(found) = floor.verdict.ready {
        marks.push(Mark {
            x: morning(found.date),
            label: format!("coating day {}", day_and_month(found.date, system)),
        });
    }
    if let Some([_, Some(late)]) = floor.verdict.range {
        marks.push(Mark {
            x: morning(late.date),
            label: format!(
                "{} chance by {}",
                percent(SHARES[2]),
                day_and_month(late.date, system)
            ),
        });
    }
    let title = verdict::title(&floor.verdict, system);
    let with = prepared
        .setups
        .first()
        .map(|s| format!(", drying with \"{}\"", s.run.outcome.name))
        .unwrap_or_default();
    WorkChart {
        title,
        subtitle: format!("{name}: work{with}"),
        start: prepared.date_of(zero + 1.0),
        system,
        rows: rows.into_iter().map(|(_, row)| row).collect(),
        course: job.and_then(|job| course(prepared, job, system, zero)),
        over: Some(Mark {
            x: day(way.schedule.ready),
            label: "work and waits over".into(),
        }),
        marks,
        footer: [
            job.map_or_else(|| vec![ESTIMATE.into()], limits::footer),
            vec![if prepared.claims_drying() {
                "The curve is one run.".into()
            } else {
                "Work alone: no drying is claimed.".into()
            }],
        ]
        .concat(),
    }
}

/// The reading of the first target with the best setup.
fn course(prepared: &Prepared, job: &Job, system: System, zero: f64) -> Option<ReadingCurve> {
    let best = prepared.setups.first()?;
    let target = job.targets.first()?;
    let shown = reading(target, system);
    Some(ReadingCurve {
        name: shown.name(target),
        points: best
            .run
            .outcome
            .records
            .iter()
            .filter_map(|record| {
                let value = *record.readings.first()?;
                let day = (job.gear_on - zero) / DAY + record.day;
                value.is_finite().then_some((day, shown.number(value)))
            })
            .collect(),
        limit: Some(shown.limit(target)),
    })
}
