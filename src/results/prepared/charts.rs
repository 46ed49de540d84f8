//! Charts of a prepared floor: the plan with its findings, and the calendar over the drying.

use crate::charts::site_plan::{Outline, SitePlan, Spot};
use crate::charts::work_chart::{Course, WorkBar, WorkChart, WorkKind, WorkRow};
use crate::charts::{Limit, Mark, Size, svg};
use crate::job::Job;
use crate::preparation::Prepared;
use crate::preparation::coating::Odds;
use crate::preparation::survey::What;
use crate::results::compared::test_name;
use crate::results::words::{ESTIMATE, capital};
use crate::scenario::model::SiteWork;
use crate::units::{DAY, FOOT, POUND_PER_1000_FT2_DAY, System};

/// Feet in a metre.
const FEET: f64 = 1.0 / FOOT;

/// Charts as file stem and SVG text, each wide and narrow: `plan` where something is drawn on it, and `calendar`.
#[must_use]
pub fn charts(
    name: &str,
    prepared: &Prepared,
    job: Option<&Job>,
    system: System,
) -> Vec<(String, String)> {
    let mut out = Vec::new();
    let mut add = |stem: &str, draw: &dyn Fn(Size) -> String| {
        out.push((stem.to_owned(), draw(Size::WIDE)));
        out.push((format!("{stem}-narrow"), draw(Size::NARROW)));
    };
    if let Some(plan) = plan(name, prepared, system) {
        add("plan", &|size| svg(&plan, size));
    }
    let calendar = calendar(name, prepared, job, system);
    add("calendar", &|size| svg(&calendar, size));
    out
}

fn plan(name: &str, prepared: &Prepared, system: System) -> Option<SitePlan> {
    let (factor, unit) = if system == System::Us {
        (FEET, "ft")
    } else {
        (1.0, "m")
    };
    let place = |(x, y): (f64, f64)| (x * factor, y * factor);
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
    let found = format!("{count} finding{}", if count == 1 { "" } else { "s" });
    let mut footer = Vec::new();
    if unplaced > 0 {
        footer.push(format!(
            "{unplaced} of the findings have no place on the plan."
        ));
    }
    footer.push("Numbers are those of the list of findings.".into());
    Some(SitePlan {
        title: match holds {
            0 => format!("{found}, none holds the coating"),
            1 => format!("{found}; one matter holds the coating"),
            n => format!("{found}; {n} matters hold the coating"),
        },
        subtitle: format!("Findings of the walk: {name}"),
        outlines,
        kinds: What::KINDS.iter().map(|k| (*k).to_owned()).collect(),
        spots,
        unit: unit.into(),
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

fn calendar(name: &str, prepared: &Prepared, job: Option<&Job>, system: System) -> WorkChart {
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
    let mut marks = vec![Mark {
        x: day(way.schedule.ready),
        label: "work and waits over".into(),
    }];
    if let Ok(found) = &prepared.day {
        let hour = prepared.working_time.from / DAY;
        marks.push(Mark {
            x: found.day as f64 - zero / DAY + hour,
            label: format!(
                "coating day {}",
                prepared.date(found.day).strftime("%-d %b")
            ),
        });
    }
    if let Some(Odds::Spread { p90: Some(day), .. }) = prepared.odds {
        marks.push(Mark {
            x: day as f64 - zero / DAY + prepared.working_time.from / DAY,
            label: format!("nine in ten by {}", prepared.date(day).strftime("%-d %b")),
        });
    }
    let title = match (&prepared.day, prepared.judged.holds.is_empty()) {
        (Ok(day), true) => format!(
            "Coat on {}, held by {}",
            prepared.date(day.day).strftime("%-d %B"),
            day.held_by.words()
        ),
        (Ok(day), false) => format!(
            "On hold; otherwise coat on {}",
            prepared.date(day.day).strftime("%-d %B")
        ),
        (Err(_), _) => "No coating day in the time looked at".into(),
    };
    let with = prepared
        .setups
        .first()
        .map(|s| format!(", drying with \"{}\"", s.run.outcome.name))
        .unwrap_or_default();
    WorkChart {
        title,
        subtitle: format!("{name}: work{with}"),
        start: prepared.date_of(zero + 1.0),
        rows: rows.into_iter().map(|(_, row)| row).collect(),
        course: job.and_then(|job| course(prepared, job, system, zero)),
        marks,
        footer: vec![
            ESTIMATE.into(),
            if prepared.claims_drying() {
                "The curve is one run.".into()
            } else {
                "Work alone: no drying is claimed.".into()
            },
        ],
    }
}

/// The reading of the first target with the best setup.
fn course(prepared: &Prepared, job: &Job, system: System, zero: f64) -> Option<Course> {
    let best = prepared.setups.first()?;
    let target = job.targets.first()?;
    let (factor, unit) = match (target.is_flux(), system) {
        (false, _) => (100.0, "%"),
        (true, System::Us) => (1.0 / POUND_PER_1000_FT2_DAY, "lb/1000 ft2/24 h"),
        (true, _) => (8.64e7, "g/m2/day"),
    };
    let what = capital(test_name(target));
    let limit = target.limit() * factor;
    Some(Course {
        name: format!("{what}, {unit}"),
        points: best
            .run
            .outcome
            .records
            .iter()
            .filter_map(|record| {
                let reading = *record.readings.first()?;
                let day = (job.drying_starts - zero) / DAY + record.day;
                reading.is_finite().then_some((day, reading * factor))
            })
            .collect(),
        limit: Some(Limit {
            value: limit,
            label: format!("limit {limit:.3} {unit}").replace(".000", ""),
        }),
    })
}
