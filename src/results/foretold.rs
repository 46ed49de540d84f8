//! The forecast from readings in sentences, as a table, as JSON and as charts.

use super::words::{ESTIMATE, date, percent};
use super::{Side, TextTable};
use crate::charts::{Join, Limit, LineChart, Mark, Series, Size, XAxis, svg};
use crate::evaluate::odds::{SHARES, days_allowed};
use crate::job::Job;
use crate::moisture_log::Reading;
use crate::moisture_log::forecast::{
    Forecast, LEAST_EFFECTIVE, PlaceForecast, Range, day_to_test, weighted_quantile, worth_of_test,
};
use crate::simulation::DAY;
use serde_json::{Value, json};

/// A move of an input below this many standard deviations is not worth a word.
const MOVED: f64 = 0.3;
/// A change of the date below this \[days\] is none.
const CHANGED: f64 = 0.5;

fn named(place: &PlaceForecast) -> String {
    if place.place.is_empty() {
        "the floor".into()
    } else {
        format!("\"{}\"", place.place)
    }
}

fn shown(job: &Job, range: &Range) -> String {
    let mut text = format!(
        "even odds {}, eight in ten chances from {} to {}",
        date(job, range.days[1]),
        date(job, range.days[0]),
        date(job, range.days[2])
    );
    if let (Some(by), Some(chance)) = (job.needed_by, range.in_time) {
        text += &format!("; odds of {by}: {}", percent(chance));
    }
    text
}

/// The result in sentences. `wanted` is the chance with which the next test should pass, `now` the present \[s since placing\].
#[must_use]
pub fn sentences(
    job: &Job,
    setup: &str,
    forecast: &Forecast,
    readings: &[Reading],
    wanted: f64,
    now: f64,
) -> Vec<String> {
    let mut out = Vec::new();
    let Some(worst) = forecast.places.first() else {
        return vec!["No world could be computed.".into()];
    };
    out.push(format!(
        "With {setup} on site, {} is dry last: {}.",
        named(worst),
        shown(job, &worst.now())
    ));
    if worst.held.is_empty() {
        out.push(
            "No reading counts for the forecast yet: this is what the scenario alone says.".into(),
        );
    }
    if let [.., before, after] = worst.history.as_slice() {
        out.push(change(job, worst, before, after, readings));
    }
    if let (Some(first), Some(last)) = (
        forecast.places.last().and_then(|p| p.now().days[1]),
        worst.now().days[1],
    ) && forecast.places.len() > 1
    {
        out.push(format!(
            "{} places: they differ by {:.0} days at even odds.",
            forecast.places.len(),
            last - first
        ));
    }
    for place in &forecast.places {
        of_place(place, readings, &mut out);
    }
    for place in &forecast.places {
        let day = day_to_test(forecast, place, wanted);
        let today = ((now - job.drying_starts) / DAY).max(0.0);
        let mut text = match day {
            Some(day) if day <= today => format!(
                "Test {} now: the chance to pass is at least {}.",
                named(place),
                percent(wanted)
            ),
            Some(day) => format!(
                "Test {} next on {}: from then on the chance to pass is at least {}.",
                named(place),
                job.date_after(day),
                percent(wanted)
            ),
            None => format!(
                "Within the time looked at the chance of {} to pass stays below {}.",
                named(place),
                percent(wanted)
            ),
        };
        if let Some((without, with)) = worth_of_test(job, forecast, place, today) {
            text += &format!(
                " A reading now would {} the range of its date from {without:.0} to about {with:.0} days.",
                narrow(without, with)
            );
        }
        out.push(text);
    }
    out
}

/// What becomes of a range: not every reading narrows it.
fn narrow(before: f64, after: f64) -> &'static str {
    if after < before { "narrow" } else { "change" }
}

fn change(
    job: &Job,
    place: &PlaceForecast,
    before: &Range,
    after: &Range,
    readings: &[Reading],
) -> String {
    let (Some(old), Some(new)) = (before.days[1], after.days[1]) else {
        return "The last reading moved the date into or out of the time looked at.".into();
    };
    let last = place.held.iter().max_by(|a, b| {
        let at = |h: &crate::moisture_log::forecast::Held| {
            readings.get(h.reading).map_or(0.0, |r| r.seconds)
        };
        at(a).total_cmp(&at(b))
    });
    let cause = last.map_or(String::new(), |held| {
        let typed = readings.get(held.reading).map_or("", |r| r.typed.as_str());
        let place = named(place);
        match held.off {
            off if off.abs() < 0.5 => {
                format!(" The reading of {typed} at {place} was as expected.")
            }
            off if off > 0.0 => {
                format!(" The reading of {typed} at {place} was higher than expected.")
            }
            _ => format!(" The reading of {typed} at {place} was lower than expected."),
        }
    });
    let by = new - old;
    if by.abs() < CHANGED {
        format!("The last reading left the date where it was.{cause}")
    } else {
        format!(
            "The last reading moved the date by {:.0} days {}, from {} to {}.{cause}",
            by.abs(),
            if by > 0.0 { "later" } else { "sooner" },
            date(job, before.days[1]),
            date(job, after.days[1])
        )
    }
}

fn of_place(place: &PlaceForecast, readings: &[Reading], out: &mut Vec<String>) {
    for held in place.held.iter().filter(|h| h.outlier) {
        if let Some(reading) = readings.get(held.reading) {
            out.push(format!(
                "Outlier: {} at {} in line {} lies {:.1} standard deviations from what the other readings make likely. It is kept with little weight; measure again.",
                reading.typed,
                named(place),
                reading.line,
                held.off.abs()
            ));
        }
    }
    if place.beyond_model {
        out.push(format!(
            "The readings of {} lie outside of what the model can explain: check slab data and instruments, and do not trust its date.",
            named(place)
        ));
    } else if !place.held.is_empty() && place.effective < LEAST_EFFECTIVE {
        out.push(format!(
            "Only {:.0} sampled worlds agree with the readings of {}: its range is rough.",
            place.effective,
            named(place)
        ));
    }
    if let Some(moved) = place
        .moved
        .first()
        .filter(|m| m.by.abs() >= MOVED && !place.held.is_empty())
    {
        out.push(format!(
            "The readings of {} moved the {} most: from {:.3} to {:.3}, {:+.1} standard deviations.",
            named(place),
            moved.input,
            moved.mean.0,
            moved.mean.1,
            moved.by
        ));
    }
}

/// One row a place.
#[must_use]
pub fn table(job: &Job, forecast: &Forecast) -> TextTable {
    TextTable {
        columns: vec![
            ("Place".into(), Side::Left),
            ("10 %".into(), Side::Left),
            ("50 %".into(), Side::Left),
            ("90 %".into(), Side::Left),
            ("Odds".into(), Side::Right),
            ("Readings".into(), Side::Right),
        ],
        rows: forecast
            .places
            .iter()
            .map(|p| {
                let now = p.now();
                let mut row = vec![if p.place.is_empty() {
                    "floor".into()
                } else {
                    p.place.clone()
                }];
                row.extend(now.days.map(|d| date(job, d)));
                row.push(now.in_time.map_or("-".into(), percent));
                row.push(p.held.len().to_string());
                row
            })
            .collect(),
        strong_row: Some(0),
    }
}

/// The forecast as JSON: `coatday/forecast/1`.
#[must_use]
pub fn json(
    job: &Job,
    setup: &str,
    forecast: &Forecast,
    readings: &[Reading],
    wanted: f64,
    now: f64,
) -> Value {
    let days_of = |range: &Range| {
        json!({
            "after_reading_on": job.date(range.at).to_string(),
            "days_p10": range.days[0],
            "days_p50": range.days[1],
            "days_p90": range.days[2],
            "date_p10": range.days[0].map(|d| job.date_after(d).to_string()),
            "date_p50": range.days[1].map(|d| job.date_after(d).to_string()),
            "date_p90": range.days[2].map(|d| job.date_after(d).to_string()),
            "chance_in_time": range.in_time,
        })
    };
    let today = ((now - job.drying_starts) / DAY).max(0.0);
    json!({
        "schema": "coatday/forecast/1",
        "scenario": job.name,
        "setup": setup,
        "needed_by": job.needed_by.map(|d| d.to_string()),
        "worlds": forecast.worlds.len(),
        "not_computed": forecast.failed,
        "places": forecast.places.iter().map(|p| json!({
            "place": p.place,
            "now": days_of(&p.now()),
            "history": p.history.iter().map(days_of).collect::<Vec<_>>(),
            "effective_worlds": p.effective,
            "beyond_model": p.beyond_model,
            "readings": p.held.iter().filter_map(|h| Some(json!({
                "line": readings.get(h.reading)?.line,
                "value": readings.get(h.reading)?.value,
                "expected": h.expected,
                "standard_deviations_off": h.off,
                "outlier": h.outlier,
            }))).collect::<Vec<_>>(),
            "moved": p.moved.iter().map(|m| json!({
                "input": m.input,
                "before": m.mean.0,
                "after": m.mean.1,
                "standard_deviations": m.by,
            })).collect::<Vec<_>>(),
            "test_next": {
                "chance": wanted,
                "date": day_to_test(forecast, p, wanted).map(|d| job.date_after(d).to_string()),
            },
            "range_days_without_and_with_a_reading_now": worth_of_test(job, forecast, p, today).map(|(a, b)| [a, b]),
        })).collect::<Vec<_>>(),
    })
}

/// How the range of the date narrowed, and the course with the readings; each wide and narrow.
#[must_use]
pub fn charts(job: &Job, forecast: &Forecast, readings: &[Reading]) -> Vec<(String, String)> {
    let Some(worst) = forecast.places.first() else {
        return Vec::new();
    };
    let mut charts = vec![("forecast", fan(job, worst))];
    if job.targets.first().is_some_and(|t| t.is_humidity()) {
        charts.push(("forecast-moisture", course(job, forecast, worst, readings)));
    }
    charts
        .into_iter()
        .flat_map(|(name, chart)| {
            [
                (name.to_owned(), svg(&chart, Size::WIDE)),
                (format!("{name}-narrow"), svg(&chart, Size::NARROW)),
            ]
        })
        .collect()
}

fn fan(job: &Job, place: &PlaceForecast) -> LineChart {
    let last = (job.give_up - job.drying_starts) / DAY;
    let day = |range: &Range| ((range.at - job.drying_starts) / DAY).max(0.0);
    let end = |days: Option<f64>| days.unwrap_or(last);
    let width = |range: &Range| end(range.days[2]) - end(range.days[0]);
    let points = &place.history;
    let title = match (points.first(), points.last()) {
        (Some(first), Some(now)) if points.len() > 1 => format!(
            "{} readings {} the range for {} from {:.0} to {:.0} days",
            points.len() - 1,
            narrow(width(first), width(now)),
            named(place),
            width(first),
            width(now)
        ),
        _ => "No reading yet: the range that the scenario alone gives".into(),
    };
    LineChart {
        title,
        subtitle: format!("Days of drying foretold after each reading: {}", job.name),
        x_label: String::new(),
        y_label: "days of drying until dry".into(),
        series: vec![Series {
            name: "even odds".into(),
            points: points.iter().map(|r| (day(r), end(r.days[1]))).collect(),
            band: Some(
                points
                    .iter()
                    .map(|r| (day(r), end(r.days[0]), end(r.days[2])))
                    .collect(),
            ),
            emphasis: true,
            ..Series::default()
        }],
        limits: days_allowed(job)
            .zip(job.needed_by)
            .map(|(days, by)| Limit {
                value: days,
                label: format!("needed by {by}"),
            })
            .into_iter()
            .collect(),
        x_axis: XAxis::Dates {
            start: job.date(job.drying_starts),
        },
        band_label: "shaded: eight in ten chances".into(),
        footer: vec![ESTIMATE.into()],
        ..LineChart::default()
    }
}

fn course(
    job: &Job,
    forecast: &Forecast,
    place: &PlaceForecast,
    readings: &[Reading],
) -> LineChart {
    let limit = job.targets.first().map_or(0.0, |t| t.limit());
    let longest = forecast
        .worlds
        .iter()
        .map(|w| w.course.len())
        .max()
        .unwrap_or(0);
    let mut middle = Vec::new();
    let mut band = Vec::new();
    for day in 0..longest {
        let values: Vec<(f64, f64)> = forecast
            .worlds
            .iter()
            .zip(&place.weights)
            .filter_map(|(w, weight)| Some((*w.course.get(day).or(w.course.last())?, *weight)))
            .filter(|(value, _)| value.is_finite())
            .collect();
        let at = |share| weighted_quantile(&values, share).map(|v| 100.0 * v.max(limit));
        if let (Some(a), Some(b), Some(c)) = (at(SHARES[0]), at(SHARES[1]), at(SHARES[2])) {
            middle.push((day as f64, b));
            band.push((day as f64, a, c));
            if c <= 100.0 * limit {
                break;
            }
        }
    }
    let points = place
        .held
        .iter()
        .filter_map(|h| readings.get(h.reading))
        .map(|r| ((r.seconds - job.drying_starts) / DAY, 100.0 * r.value))
        .collect();
    LineChart {
        title: format!(
            "{} is dry on {} at even odds",
            named(place),
            date(job, place.now().days[1])
        ),
        subtitle: format!(
            "First target's humidity, %, foretold and measured: {}",
            job.name
        ),
        series: vec![
            Series {
                name: "foretold".into(),
                points: middle,
                band: Some(band),
                emphasis: true,
                ..Series::default()
            },
            Series {
                name: "readings".into(),
                points,
                join: Join::Points,
                ..Series::default()
            },
        ],
        limits: vec![Limit {
            value: 100.0 * limit,
            label: format!("limit {:.0} %", 100.0 * limit),
        }],
        x_marks: days_allowed(job)
            .zip(job.needed_by)
            .map(|(days, by)| Mark {
                x: days,
                label: format!("needed by {by}"),
            })
            .into_iter()
            .collect(),
        x_axis: XAxis::Dates {
            start: job.date(job.drying_starts),
        },
        band_label: "shaded: eight in ten chances".into(),
        footer: vec![ESTIMATE.into()],
        ..LineChart::default()
    }
}
