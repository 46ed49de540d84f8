//! A comparison as one versioned JSON object, as a table and as charts.

use super::words::{ESTIMATE, capital, date, percent, whole};
use super::{Side, TextTable};
use crate::charts::{
    Bar, BarChart, BarWords, Limit, LineChart, Mark, ProfileChart, ProfileCurve, Series, Size,
    XAxis, svg,
};
use crate::evaluate::odds::{Odds, SHARES, days_allowed};
use crate::evaluate::power::power;
use crate::evaluate::{Advice, Assumption, DEW_POINT_MARGIN, Never, Outcome, Record, WettingCost};
use crate::job::Job;
use crate::moisture_tests::Target;
use crate::scenario::model::WettingKind;
use crate::units::{KWH, POUND_PER_1000_FT2_DAY, System, fahrenheit};
use serde_json::{Value, json};
use std::fmt::Write as _;

/// Setups drawn in one line chart; more are told apart by nobody.
const MOST_LINES: usize = 8;

/// What single things are worth in days, with the best setup.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Worth {
    /// Water on the floor.
    pub wettings: Vec<WettingCost>,
    /// What was not given.
    pub assumptions: Vec<Assumption>,
}

impl Worth {
    /// In words, a line each; empty without any.
    #[must_use]
    pub fn lines(&self, setup: &str) -> Vec<String> {
        let mut lines = Vec::new();
        for w in &self.wettings {
            let what = match (w.kind, w.date) {
                (Some(kind), Some(date)) => format!("{} on {date}", capital(wetting_word(kind))),
                _ => "All water on the floor together".into(),
            };
            lines.push(match w.days {
                Some(days) => format!("{what} costs {} with {setup}.", in_days(days)),
                None => format!("{what}: no cost in days, since there is no day without it."),
            });
        }
        if !self.assumptions.is_empty() {
            lines.push(format!("Not given, taken, and worth in days with {setup}:"));
        }
        for a in &self.assumptions {
            let instead: Vec<String> = a
                .instead
                .iter()
                .map(|(what, days)| match days {
                    Some(days) if days.abs() < 0.05 => format!("{what}: no difference"),
                    Some(days) => format!("{what}: {days:+.1}"),
                    None => format!("{what}: never dry in the time looked at"),
                })
                .collect();
            lines.push(format!("  {} ({})", a.taken, instead.join("; ")));
        }
        lines
    }
}

fn in_days(days: f64) -> String {
    if days.abs() < 0.05 {
        "nothing".into()
    } else {
        format!("{days:.1} days")
    }
}

fn wetting_word(kind: WettingKind) -> &'static str {
    match kind {
        WettingKind::Rain => "rain",
        WettingKind::Washing => "washing",
        WettingKind::EtchRinse => "etch rinse",
    }
}

/// The comparison as JSON: `coatday/compare/1`. Not a number and infinity never occur.
#[must_use]
pub fn json(
    job: &Job,
    outcomes: &[Outcome],
    advice: &[Advice],
    notices: &[String],
    worth: &Worth,
) -> Value {
    let setups: Vec<Value> = outcomes
        .iter()
        .map(|o| {
            // Figures of a setup that was not computed are null.
            let finite = |x: f64| {
                if o.computed() && x.is_finite() {
                    json!(x)
                } else {
                    Value::Null
                }
            };
            json!({
                "name": o.name,
                "days_to_target": o.days_to_target,
                "date": o.date.map(|d| d.to_string()),
                "meets_needed_by": o.meets_needed_by,
                "never_reason": o.never.as_ref().map(Never::sentence),
                "energy_kwh": finite(o.energy.electricity / KWH),
                "fuel_kwh": finite(o.energy.fuel() / KWH),
                "cost": finite(o.cost),
                "rental_cost": finite(o.rental),
                "delay_cost": o.delay_cost,
                "cost_incomplete": o.cost_incomplete,
                "water_removed_kg": finite(o.water_removed),
                "fits_power": job
                    .setups
                    .iter()
                    .find(|s| s.name == o.name)
                    .and_then(|s| power(&s.room, job.site_power.as_ref()).site)
                    .map(|site| site.fits()),
                "limited_by": o.computed().then(|| o.limited_by.word()),
                "face_share": finite(o.face_share),
                "water_balance_error": finite(o.water_balance_error),
                "heat_balance_error": finite(o.heat_balance_error),
                "odds": o.odds.as_ref().map(|odds| odds_json(job, odds)),
                "under_film": o.under_film.map(|f| json!({
                    "peak_relative_humidity_percent": 100.0 * f.peak,
                    "days_after_coating": f.days,
                    "still_rising": f.still_rising,
                })),
                "final_readings": o.records.last().map(|r| readings(job, r)),
                "notes": advice
                    .iter()
                    .filter(|a| a.setup == o.name)
                    .map(|a| json!({"caution": a.caution, "text": a.text}))
                    .collect::<Vec<_>>(),
            })
        })
        .collect();
    json!({
        "schema": "coatday/compare/1",
        "scenario": job.name,
        "drying_starts": job.date(job.drying_starts).to_string(),
        "needed_by": job.needed_by.map(|d| d.to_string()),
        "notices": notices,
        "wetting_costs": worth.wettings.iter().map(|w| json!({
            "date": w.date.map(|d| d.to_string()),
            "kind": w.kind.map(wetting_word),
            "days": w.days,
        })).collect::<Vec<_>>(),
        "assumptions": worth.assumptions.iter().map(|a| json!({
            "taken": a.taken,
            "instead": a.instead.iter().map(|(what, days)| json!({
                "what": what,
                "days_later": days,
            })).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "setups": setups,
    })
}

fn odds_json(job: &Job, odds: &Odds) -> Value {
    let days = SHARES.map(|share| odds.days(share));
    let date = |days: Option<f64>| days.map(|d| job.date_after(d).to_string());
    json!({
        "samples": odds.samples.len(),
        "not_computed": odds.failed,
        "days_p10": days[0],
        "days_p50": days[1],
        "days_p90": days[2],
        "date_p10": date(days[0]),
        "date_p50": date(days[1]),
        "date_p90": date(days[2]),
        "chance_in_time": odds.in_time,
        "mean_cost": odds.mean_cost(),
    })
}

fn readings(job: &Job, record: &Record) -> Vec<Value> {
    job.targets
        .iter()
        .zip(&record.readings)
        .map(|(t, r)| {
            let (unit, factor) = if t.is_flux() {
                ("g_per_m2_day", 8.64e7)
            } else {
                ("percent", 100.0)
            };
            json!({
                "test": test_name(t),
                format!("reading_{unit}"): r.is_finite().then_some(r * factor),
                format!("limit_{unit}"): t.limit() * factor,
            })
        })
        .collect()
}

pub(super) fn test_name(target: &Target) -> &'static str {
    match target {
        Target::HumidityAtDepth { .. } => "relative humidity at depth",
        Target::EquilibriumHumidity { .. } => "equilibrium relative humidity",
        Target::EmissionRate { .. } => "moisture vapour emission rate",
        Target::SurfaceFlux { .. } => "surface flux",
        Target::MassPercent { .. } => "mass percent of the top layer",
        Target::PlasticSheet { .. } => "relative humidity under a plastic sheet",
    }
}

/// A figure, or a dash for a setup that was not computed.
fn shown(outcome: &Outcome, figure: String) -> String {
    if outcome.computed() {
        figure
    } else {
        "-".into()
    }
}

/// Columns of the table without odds.
const IN_TIME: usize = 3;
const WATER: usize = 7;

/// The ranking as a table.
#[must_use]
pub fn table(job: &Job, outcomes: &[Outcome], system: System) -> TextTable {
    let us = system == System::Us;
    let sampled = outcomes.iter().any(|o| o.odds.is_some());
    let mut heads = vec![
        ("Setup", Side::Left),
        ("Days", Side::Right),
        ("Date", Side::Left),
        ("In time", Side::Left),
        ("kWh", Side::Right),
        ("Fuel kWh", Side::Right),
        ("Cost", Side::Right),
        (if us { "Water, lb" } else { "Water, kg" }, Side::Right),
        ("Held by", Side::Left),
    ];
    let rows = outcomes
        .iter()
        .map(|o| {
            let mut row = vec![
                o.name.clone(),
                o.days_to_target.map_or_else(
                    || {
                        if o.computed() {
                            "never"
                        } else {
                            "not computed"
                        }
                        .into()
                    },
                    |d| format!("{d:.1}"),
                ),
                o.date.map_or("-".into(), |d| d.to_string()),
                match (o.meets_needed_by, job.needed_by) {
                    (Some(true), _) => "yes".into(),
                    (Some(false), _) => "NO".into(),
                    (None, _) => "-".into(),
                },
                shown(o, format!("{:.0}", o.energy.electricity / KWH)),
                shown(o, format!("{:.0}", o.energy.fuel() / KWH)),
                shown(
                    o,
                    format!("{:.0}{}", o.cost, if o.cost_incomplete { "+" } else { "" }),
                ),
                shown(o, whole(o.water_removed * if us { 2.204_62 } else { 1.0 })),
                shown(o, o.limited_by.word().into()),
            ];
            if sampled {
                let odds = o.odds.as_ref();
                row.insert(2, odds.map_or("-".into(), three));
                let chance = odds.and_then(|odds| odds.in_time);
                // The odds take the place of the word whether it is in time.
                row[IN_TIME + 1] = chance.map_or("-".into(), percent);
                row.remove(WATER + 1);
            }
            row
        })
        .collect();
    if sampled {
        heads.insert(2, ("10, 50, 90 %", Side::Left));
        heads[IN_TIME + 1] = ("In time", Side::Right);
        heads.remove(WATER + 1);
    }
    TextTable {
        columns: heads.iter().map(|(h, s)| ((*h).into(), *s)).collect(),
        rows,
        strong_row: outcomes
            .first()
            .filter(|o| o.days_to_target.is_some())
            .map(|_| 0),
    }
}

fn day(odds: &Odds, share: f64) -> String {
    let days = odds.days(share);
    days.map_or("never".into(), |d| format!("{d:.0}"))
}

/// The days below which one, five and nine samples in ten lie.
fn three(odds: &Odds) -> String {
    SHARES.map(|share| day(odds, share)).join(", ")
}

/// The days between which eight samples in ten lie.
fn range(odds: &Odds) -> String {
    let [low, _, high] = SHARES.map(|share| day(odds, share));
    match (odds.days(SHARES[0]), odds.days(SHARES[2])) {
        (None, _) => low,
        (_, None) => format!("{low} days to {high}"),
        _ => format!("{low} to {high} days"),
    }
}

/// Setups with sampled worlds that are not in their odds.
#[must_use]
pub fn left_out(outcomes: &[Outcome]) -> Vec<String> {
    let lost = |o: &Outcome| {
        let odds = o.odds.as_ref().filter(|odds| odds.failed > 0)?;
        Some(format!(
            "{}: the solver gave up on {} of {} sampled worlds; they are not in its odds.",
            o.name,
            odds.failed,
            odds.failed + odds.samples.len()
        ))
    };
    outcomes.iter().filter_map(lost).collect()
}

/// One sentence that states the result.
#[must_use]
pub fn headline(job: &Job, outcomes: &[Outcome]) -> String {
    let Some(best) = outcomes.first() else {
        return "No setup.".into();
    };
    if !outcomes.iter().any(Outcome::computed) {
        return "No setup could be computed.".into();
    }
    let Some(days) = best.days_to_target else {
        return "No setup gets this floor dry in the time looked at.".into();
    };
    let mut text = format!("{} is dry first, after {days:.0} days", best.name);
    if let Some(date) = best.date {
        let _ = write!(text, " ({date})");
    }
    if let Some(next) = outcomes.get(1).and_then(|o| o.days_to_target) {
        let gain = next - days;
        if gain >= 0.5 {
            let _ = write!(text, ", {gain:.0} days before the next");
        }
    }
    if let (Some(by), Some(false)) = (job.needed_by, best.meets_needed_by) {
        let _ = write!(text, "; needed by {by}, so too late");
    }
    text.push('.');
    if let Some(odds) = &best.odds {
        let day = |share| date(job, odds.days(share));
        let _ = write!(
            text,
            " Even odds are {}, eight in ten chances lie between {} and {}",
            day(SHARES[1]),
            day(SHARES[0]),
            day(SHARES[2])
        );
        if let (Some(by), Some(chance)) = (job.needed_by, odds.in_time) {
            let _ = write!(text, "; the odds of {by} are {}", percent(chance));
        }
        text.push('.');
    }
    text
}

/// All charts of a comparison, as file stem and SVG text, in the order to be read; every one also in a narrow
/// layout.
#[must_use]
pub fn charts(job: &Job, outcomes: &[Outcome], system: System) -> Vec<(String, String)> {
    let mut out = Vec::new();
    let mut add = |name: &str, draw: &dyn Fn(Size) -> String| {
        out.push((name.to_owned(), draw(Size::WIDE)));
        out.push((format!("{name}-narrow"), draw(Size::NARROW)));
    };
    for (k, target) in job.targets.iter().enumerate() {
        let chart = course(job, outcomes, k, target, system);
        let name = if k == 0 {
            "moisture".to_owned()
        } else {
            format!("moisture-{}", k + 1)
        };
        add(&name, &|size| svg(&chart, size));
    }
    let bars = bars(job, outcomes);
    add("days", &|size| svg(&bars, size));
    if let Some(best) = outcomes.first() {
        let profile = profiles(job, best);
        add("profile", &|size| svg(&profile, size));
        let room = room(job, best, system);
        add("room", &|size| svg(&room, size));
    }
    out
}

fn footer() -> Vec<String> {
    vec![ESTIMATE.into()]
}

/// (a) The reading of one target against time, all setups.
pub(super) fn course(
    job: &Job,
    outcomes: &[Outcome],
    k: usize,
    target: &Target,
    system: System,
) -> LineChart {
    let flux = |x: f64| {
        if system == System::Us {
            x / POUND_PER_1000_FT2_DAY
        } else {
            x * 8.64e7
        }
    };
    let scale = |x: f64| {
        if target.is_flux() { flux(x) } else { x * 100.0 }
    };
    let unit = match (target.is_flux(), system) {
        (false, _) => "%",
        (true, System::Us) => "lb/1000 ft2/24 h",
        (true, _) => "g/m2/day",
    };
    let series = outcomes
        .iter()
        .take(MOST_LINES)
        .enumerate()
        .map(|(i, o)| Series {
            name: o.name.clone(),
            points: o
                .records
                .iter()
                .filter(|r| r.readings[k].is_finite())
                .map(|r| (r.day, scale(r.readings[k])))
                .collect(),
            emphasis: i == 0,
            band: (i == 0 && k == 0)
                .then(|| band(o, &scale, scale(target.limit())))
                .flatten(),
            ..Series::default()
        })
        .collect();
    let x_marks = needed_by(job).map(|(x, label)| Mark { x, label });
    let limit = scale(target.limit());
    // Above four times the limit a flux tells nothing that the installer waits for.
    let y_range = target.is_flux().then_some((0.0, 4.0 * limit));
    LineChart {
        title: finding(outcomes),
        subtitle: format!("{}, {unit}: {}", capital(test_name(target)), job.name),
        series,
        limits: vec![Limit {
            value: limit,
            label: format!("limit {limit:.3} {unit}").replace(".000", ""),
        }],
        x_marks: x_marks.into_iter().collect(),
        band_label: "shaded: eight in ten chances for the first".into(),
        y_range,
        x_axis: XAxis::Dates {
            start: job.date(job.drying_starts),
        },
        footer: footer(),
        ..LineChart::default()
    }
}

/// Where the readings of eight samples in ten lie, down to the limit.
fn band(o: &Outcome, scale: &dyn Fn(f64) -> f64, limit: f64) -> Option<Vec<(f64, f64, f64)>> {
    let odds = o.odds.as_ref()?;
    let all = odds.course();
    let open = all.iter().filter(|(_, [.., high])| scale(*high) > limit);
    Some(
        open.map(|(day, [low, _, high])| (*day, scale(*low).max(limit), scale(*high)))
            .collect(),
    )
}

/// The finding, for titles.
fn finding(outcomes: &[Outcome]) -> String {
    let reached: Vec<&Outcome> = outcomes
        .iter()
        .filter(|o| o.days_to_target.is_some())
        .collect();
    match reached.as_slice() {
        [] if !outcomes.iter().any(Outcome::computed) => "No setup could be computed".into(),
        [] => "No setup gets this floor dry".into(),
        [only] if outcomes.len() > 1 => format!("Only \"{}\" gets this floor dry", only.name),
        [only] => format!(
            "Dry after {:.0} days",
            only.days_to_target.unwrap_or_default()
        ),
        [best, .., last] => {
            let gain =
                last.days_to_target.unwrap_or_default() - best.days_to_target.unwrap_or_default();
            format!(
                "{} is dry {gain:.0} days sooner than {}",
                best.name, last.name
            )
        }
    }
}

/// The end of the day on which the floor is needed \[days of drying\].
fn needed_by(job: &Job) -> Option<(f64, String)> {
    Some((days_allowed(job)?, format!("needed by {}", job.needed_by?)))
}

/// (b) Days by setup.
fn bars(job: &Job, outcomes: &[Outcome]) -> BarChart {
    let limit = needed_by(job).map(|(value, label)| Limit { value, label });
    BarChart {
        title: finding(outcomes),
        subtitle: format!("Days of drying until every target is met: {}", job.name),
        bars: outcomes
            .iter()
            .map(|o| Bar {
                name: o.name.clone(),
                value: o.days_to_target,
                value_label: o.days_to_target.map_or_else(
                    || {
                        if o.computed() {
                            "never in the time looked at"
                        } else {
                            "not computed"
                        }
                        .into()
                    },
                    |d| format!("{d:.0} days"),
                ),
                note: o.odds.as_ref().map_or_else(
                    || {
                        o.date.map_or_else(
                            || shown(o, format!("held by the {}", o.limited_by.word())),
                            |d| format!("{d}, held by the {}", o.limited_by.word()),
                        )
                    },
                    |odds| format!("eight in ten: {}", range(odds)),
                ),
                meets: o.meets_needed_by.unwrap_or(true),
                never: o.days_to_target.is_none(),
            })
            .collect(),
        limit,
        words: BarWords {
            meets: "in time".into(),
            misses: "too late".into(),
            never: "never".into(),
        },
        footer: footer(),
    }
}

/// (c) Profiles of the best setup: first, last and up to four between, evenly in time.
fn profiles(job: &Job, best: &Outcome) -> ProfileChart {
    const CURVES: usize = 6;
    let n = best.profiles.len();
    let end = best.profiles.last().map_or(0.0, |(d, _)| *d);
    let mut chosen: Vec<usize> = (0..CURVES)
        .filter_map(|k| {
            let wanted = end * k as f64 / (CURVES - 1) as f64;
            (0..n).min_by(|a, b| {
                let distance = |i: &usize| (best.profiles[*i].0 - wanted).abs();
                distance(a).total_cmp(&distance(b))
            })
        })
        .collect();
    chosen.dedup();
    let (limit, share) = job
        .targets
        .iter()
        .find_map(|t| match t {
            Target::HumidityAtDepth { limit, depth_share } => Some((
                Some(Limit {
                    value: limit * 100.0,
                    label: format!("limit {:.0} %", limit * 100.0),
                }),
                *depth_share,
            )),
            _ => None,
        })
        .unwrap_or((None, None));
    let share = share.unwrap_or(if job.slab.dries_from_two_sides() {
        crate::moisture_tests::PROBE_TWO_SIDES
    } else {
        crate::moisture_tests::PROBE_ONE_SIDE
    });
    ProfileChart {
        title: "The face dries first; the depth decides".into(),
        subtitle: format!(
            "Relative humidity through the slab, with setup \"{}\"",
            best.name
        ),
        x_label: "Relative humidity, %".into(),
        curves: chosen
            .iter()
            .map(|&i| {
                let (day, points) = &best.profiles[i];
                ProfileCurve {
                    name: format!("day {day:.0}"),
                    points: points.iter().map(|(x, h)| (x * 1e3, h * 100.0)).collect(),
                    emphasis: Some(&i) == chosen.last(),
                }
            })
            .collect(),
        limit,
        test_depth: Some(Limit {
            value: share * job.slab.thickness * 1e3,
            label: format!("test depth, {:.0} %", share * 100.0),
        }),
        x_range: None,
        footer: footer(),
    }
}

/// Middle, lowest, mean and highest value of each day of drying.
fn by_day(outcome: &Outcome, value: &dyn Fn(&Record) -> f64) -> Vec<(f64, f64, f64, f64)> {
    outcome
        .records
        .chunk_by(|a, b| a.day.floor() == b.day.floor())
        .map(|day| {
            let values = || day.iter().map(value);
            (
                day[0].day.floor() + 0.5,
                values().fold(f64::INFINITY, f64::min),
                values().sum::<f64>() / day.len() as f64,
                values().fold(f64::NEG_INFINITY, f64::max),
            )
        })
        .collect()
}

/// (d) Room, dew point and face, with the condensation margin.
fn room(job: &Job, best: &Outcome, system: System) -> LineChart {
    let t = |celsius: f64| match system {
        System::Us => fahrenheit(celsius),
        _ => celsius,
    };
    let unit = if system == System::Us { "degF" } else { "degC" };
    let margin = if system == System::Us {
        "dew point + 5 degF margin"
    } else {
        "dew point + 3 K margin"
    };
    let line = |name: &str, emphasis: bool, value: &dyn Fn(&Record) -> f64| {
        let days = by_day(best, &|r| t(value(r)));
        Series {
            name: name.into(),
            points: days.iter().map(|d| (d.0, d.2)).collect(),
            band: emphasis.then(|| days.iter().map(|d| (d.0, d.1, d.3)).collect()),
            emphasis,
            ..Series::default()
        }
    };
    let wet = best.hours.near_dew_point;
    LineChart {
        title: if wet < 1.0 {
            "The slab stays clear of the dew point".into()
        } else {
            format!("The slab is within 3 K (5 degF) of the dew point for {wet:.0} h")
        },
        subtitle: format!("Daily means, {unit}, with setup \"{}\"", best.name),
        band_label: "shaded: lowest to highest of the day".into(),
        series: vec![
            line("room air", false, &|r| r.air_temperature),
            line("slab face", true, &|r| r.face_temperature),
            line(margin, false, &|r| r.dew_point + DEW_POINT_MARGIN),
            line("dew point", false, &|r| r.dew_point),
        ],
        x_axis: XAxis::Dates {
            start: job.date(job.drying_starts),
        },
        footer: vec![
            "Coat only while the face is above the margin (ISO 8502-4) and the product sheet's window is met.".into(),
            ESTIMATE.into(),
        ],
        ..LineChart::default()
    }
}
