//! Charts of a forecast.

use super::found::{ForecastFound, named, narrow};
use crate::charts::{Expected, Limit, LineChart, Mark, Passed, Series, TestChart, XAxis};
use crate::evaluate::odds::SHARES;
use crate::job::Job;
use crate::moisture_log::forecast::{PlaceForecast, Range, weighted_quantile};
use crate::moisture_log::{Method, Reading};
use crate::moisture_tests::Target;
use crate::results::Figure;
use crate::results::compare::charts::{every, needed_by, reading, test_step};
use crate::results::limits::footer;
use crate::results::verdict;
use crate::units::DAY;
use crate::units::System;
use crate::units::format::{counted, day_and_month, days, whole};

/// How the range of the date narrowed, and the course with the readings.
pub(super) fn figures(f: &ForecastFound<'_>, system: System) -> Vec<Figure> {
    let Some(worst) = f.forecast.places.first() else {
        return Vec::new();
    };
    let mut figures = vec![Figure::new("forecast", fan(f.job, worst, system))];
    let target = f.job.targets.first().filter(|t| t.is_humidity());
    figures.extend(target.map(|target| {
        let chart = course(f, worst, target, system);
        Figure::new("forecast-moisture", chart)
    }));
    figures
}

fn fan(job: &Job, place: &PlaceForecast, system: System) -> LineChart {
    let last = (job.give_up - job.gear_on) / DAY;
    let day = |range: &Range| ((range.at - job.gear_on) / DAY).max(0.0);
    let end = |days: Option<f64>| days.unwrap_or(last);
    let width = |range: &Range| end(range.days[2]) - end(range.days[0]);
    let points = &place.history;
    let title = match (points.first(), points.last()) {
        (Some(first), Some(now)) if points.len() > 1 => {
            format!(
                "{} the range for {} from {} to {} wide",
                // A single reading acts alone.
                match points.len() - 1 {
                    1 => format!("1 reading {}s", narrow(width(first), width(now))),
                    _ => format!(
                        "{} {}",
                        counted(points.len() - 1, "reading"),
                        narrow(width(first), width(now))
                    ),
                },
                named(place),
                whole(width(first)),
                days(width(now))
            )
        }
        _ => "No reading yet: the range that the scenario alone gives".into(),
    };
    let band = |r: &Range| (day(r), end(r.days[0]), end(r.days[2]));
    LineChart {
        title,
        subtitle: format!("Days of drying forecast after each reading: {}", job.name),
        y_label: "days of drying until dry".into(),
        series: vec![Series {
            name: "as likely before as after".into(),
            points: points.iter().map(|r| (day(r), end(r.days[1]))).collect(),
            band: Some(points.iter().map(band).collect()),
            emphasis: true,
            ..Series::default()
        }],
        limits: needed_by(job, system)
            .map(|Mark { x, label }| Limit { value: x, label })
            .into_iter()
            .collect(),
        x_axis: XAxis::Dates {
            start: job.date(job.gear_on),
            system,
        },
        band_label: format!("shaded: {}", verdict::in_range()),
        footer: footer(job),
        ..LineChart::default()
    }
}

/// Whether a reading is of the quantity that a target's course is drawn in: relative humidity in the slab.
fn comparable(reading: &Reading, target: &Target) -> bool {
    target.is_humidity() && matches!(reading.method, Method::Probe | Method::Hood)
}

/// What the test should read on each test day, as far as the readings leave it open, and the readings.
fn course(
    f: &ForecastFound<'_>,
    place: &PlaceForecast,
    target: &Target,
    system: System,
) -> TestChart {
    let (job, worlds) = (f.job, &f.forecast.worlds);
    let shown = reading(target, system);
    let longest = worlds.iter().map(|w| w.course.len()).max().unwrap_or(0);
    let mut days = Vec::new();
    for day in 0..longest {
        let values: Vec<(f64, f64)> = worlds
            .iter()
            .zip(&place.weights)
            .filter_map(|(w, weight)| Some((*w.course.get(day).or(w.course.last())?, *weight)))
            .filter(|(value, _)| value.is_finite())
            .collect();
        let at = |share| weighted_quantile(&values, share).map(|v| v.max(target.limit()));
        if let (Some(a), Some(b), Some(c)) = (at(SHARES[0]), at(SHARES[1]), at(SHARES[2])) {
            days.push((day as f64, [a, b, c]));
            if c <= target.limit() {
                break;
            }
        }
    }
    let step = test_step(days.last().map_or(0.0, |(day, _)| *day));
    let tests = days
        .iter()
        .filter(|(day, _)| *day > 0.0 && day % step == 0.0);
    let expected = tests.map(|(day, [a, b, c])| Expected {
        day: *day,
        value: shown.number(*b),
        range: Some((shown.number(*a), shown.number(*c))),
        label: shown.rounded(target, shown.number(*b)),
    });
    let held = place.held.iter().filter_map(|held| f.reading(held));
    let (drawn, others): (Vec<_>, Vec<_>) = held.partition(|r| comparable(r, target));
    let point = |r: &&Reading| ((r.seconds - job.gear_on) / DAY, shown.number(r.value));
    let mut notes = Vec::new();
    if !others.is_empty() {
        notes.push(format!(
            "Not drawn: {} of tests in another unit.",
            counted(others.len(), "reading")
        ));
    }
    let (drawn, early): (Vec<_>, Vec<_>) =
        drawn.into_iter().partition(|r| r.seconds >= job.gear_on);
    if !early.is_empty() {
        notes.push(format!(
            "Not drawn: {} from before the gear went on.",
            counted(early.len(), "reading")
        ));
    }
    notes.extend(footer(job));
    let ready = f.verdict.ready.filter(|_| !f.verdict.to_coat());
    TestChart {
        title: verdict::title(&f.verdict, system),
        subtitle: format!("What the test should read {}: {}", every(step), job.name),
        y_label: shown.name(target),
        name: "forecast".into(),
        expected: expected.collect(),
        expected_label: format!("expected reading, {}", verdict::in_range()),
        passed: ready.map(|ready| Passed {
            day: ready.days,
            range: f
                .verdict
                .range
                .and_then(|[low, high]| Some((low?.days, high.map(|high| high.days)))),
            label: format!("passed {}", day_and_month(ready.date, system)),
        }),
        readings: Some(drawn.iter().map(point).collect()),
        limit: Some(shown.limit(target)),
        x_marks: needed_by(job, system).into_iter().collect(),
        x_axis: XAxis::Dates {
            start: job.date(job.gear_on),
            system,
        },
        footer: notes,
        ..TestChart::default()
    }
}
