//! The check of dehumidifiers as words, tables, charts and one versioned JSON object.

mod words;

pub use words::{cautions, power, rules, sentences};

use super::words::{ESTIMATE, whole};
use super::{Side, TextTable};
use crate::charts::psychrometric::PsychrometricChart;
use crate::charts::{Layer, LoadChart, Size, XAxis, svg};
use crate::evaluate::power::SiteCheck;
use crate::evaluate::size::{Search, Sized, Stretch, Verdict};
use crate::job::Job;
use crate::simulation::DAY;
use crate::units::{HOUR, PINT, System, WATER, fahrenheit};
use serde_json::{Value, json};

/// Setups with a chart; more are looked at by nobody.
const MOST_CHARTS: usize = 8;
/// Weeks listed one by one; of a longer run every fourth follows.
const WEEKS_LISTED: usize = 8;
fn us(system: System) -> bool {
    system == System::Us
}

/// A rate \[kg/s\] as a number in pint/day or L/day.
fn daily(rate: f64, system: System) -> f64 {
    rate * DAY / if us(system) { PINT * WATER } else { 1.0 }
}

fn daily_unit(system: System) -> &'static str {
    if us(system) { "pint/day" } else { "L/day" }
}

fn number(count: f64) -> String {
    format!("{count:.0}")
}

/// All setups in one table; load and what the machines could take are those of the peak week.
#[must_use]
pub fn table(sized: &[Sized], system: System) -> TextTable {
    let unit = daily_unit(system);
    let mut heads = vec![
        ("Setup".to_owned(), Side::Left),
        ("Days".into(), Side::Right),
        ("Verdict".into(), Side::Left),
        ("Has".into(), Side::Right),
        ("Fits".into(), Side::Right),
        (format!("Load, {unit}"), Side::Right),
        ("Could take".into(), Side::Right),
        ("Duty, %".into(), Side::Right),
        ("Starved, h".into(), Side::Right),
        ("Cycling, h".into(), Side::Right),
        ("kW".into(), Side::Right),
    ];
    if sized.iter().any(|s| s.power.site.is_some()) {
        heads.push(("Power fits".into(), Side::Left));
    }
    let rows = sized
        .iter()
        .map(|s| {
            let peak = s.peak_week().and_then(|w| s.weeks.get(w));
            let has = !s.dehumidifiers.is_empty();
            let some = |text: String| if has { text } else { "-".to_owned() };
            vec![
                s.outcome.name.clone(),
                s.outcome
                    .days_to_target
                    .map_or_else(|| "never".into(), |d| format!("{d:.0}")),
                some(s.verdict.words().to_owned()),
                some(number(s.search.as_ref().map_or_else(
                    || s.dehumidifiers.iter().map(|d| d.count).sum(),
                    |f| f.installed,
                ))),
                fitting(s),
                some(peak.map_or_else(|| "-".into(), |p| whole(daily(p.load(), system)))),
                some(peak.map_or_else(
                    || "-".into(),
                    |p| format!("{:.0}", daily(p.capacity, system)),
                )),
                some(
                    s.whole
                        .duty()
                        .map_or_else(|| "-".into(), |d| format!("{:.0}", 100.0 * d)),
                ),
                some(format!("{:.0}", s.whole.starved_hours)),
                some(format!("{:.0}", s.whole.short_cycling_hours)),
                format!("{:.1}", s.power.watts / 1e3),
            ]
            .into_iter()
            .chain(
                s.power
                    .site
                    .as_ref()
                    .map(|site| if site.fits() { "yes" } else { "NO" }.to_owned()),
            )
            .collect()
        })
        .collect();
    let (heads, rows) = without_idle(heads, rows);
    TextTable {
        columns: heads,
        rows,
        strong_row: None,
    }
}

/// Without the columns of hours that are nought for all setups: a narrow terminal needs the room for the names.
fn without_idle(
    heads: Vec<(String, Side)>,
    rows: Vec<Vec<String>>,
) -> (Vec<(String, Side)>, Vec<Vec<String>>) {
    let idle: Vec<bool> = heads
        .iter()
        .enumerate()
        .map(|(place, (head, _))| {
            head.ends_with(", h")
                && rows
                    .iter()
                    .all(|row| row.get(place).is_none_or(|cell| cell == "-" || cell == "0"))
        })
        .collect();
    let kept = |place: usize| !idle.get(place).copied().unwrap_or(false);
    let keep = |row: Vec<String>| {
        row.into_iter()
            .enumerate()
            .filter_map(|(place, cell)| kept(place).then_some(cell))
            .collect()
    };
    (
        heads
            .into_iter()
            .enumerate()
            .filter_map(|(place, head)| kept(place).then_some(head))
            .collect(),
        rows.into_iter().map(keep).collect(),
    )
}

fn fitting(s: &Sized) -> String {
    match (&s.search, s.verdict) {
        (
            Some(Search { fits, at_least, .. }),
            Verdict::TooSmall | Verdict::Fits | Verdict::MoreThanNeeded,
        ) => format!("{}{fits:.0}", if *at_least { "over " } else { "" }),
        _ => "-".into(),
    }
}

/// Week by week: load by source, what the machines could take, the room.
#[must_use]
pub fn weeks(s: &Sized, system: System) -> TextTable {
    let unit = daily_unit(system);
    let heads = [
        (format!("Week, {unit}"), Side::Left),
        ("Slab".into(), Side::Right),
        ("Outside air".into(), Side::Right),
        ("Burners".into(), Side::Right),
        ("Other".into(), Side::Right),
        ("Envelope".into(), Side::Right),
        ("Load".into(), Side::Right),
        ("Could take".into(), Side::Right),
        ("Duty, %".into(), Side::Right),
        (if us(system) { "degF" } else { "degC" }.into(), Side::Right),
        ("RH, %".into(), Side::Right),
    ];
    let row = |name: String, w: &Stretch| {
        let cell = |rate: f64| whole(daily(rate, system));
        vec![
            name,
            cell(w.slab),
            cell(w.outside_air),
            cell(w.combustion),
            cell(w.other),
            cell(w.envelope),
            cell(w.load()),
            if s.dehumidifiers.is_empty() {
                "-".into()
            } else {
                cell(w.capacity)
            },
            w.duty()
                .map_or_else(|| "-".into(), |d| format!("{:.0}", 100.0 * d)),
            format!(
                "{:.0}",
                if us(system) {
                    fahrenheit(w.temperature)
                } else {
                    w.temperature
                }
            ),
            format!("{:.0}", 100.0 * w.relative_humidity),
        ]
    };
    let last = s.weeks.len().saturating_sub(1);
    let mut rows: Vec<Vec<String>> = s
        .weeks
        .iter()
        .enumerate()
        .filter(|(i, _)| *i < WEEKS_LISTED || i % 4 == 3 || *i == last)
        .map(|(i, w)| row((i + 1).to_string(), w))
        .collect();
    rows.push(row("All".into(), &s.whole));
    let all = rows.len() - 1;
    TextTable {
        columns: heads.to_vec(),
        rows,
        strong_row: Some(all),
    }
}

/// Load and capacity through time and the path of the room's air, for the first setups; file stem and SVG text, wide and narrow.
#[must_use]
pub fn charts(job: &Job, sized: &[Sized], system: System) -> Vec<(String, String)> {
    let mut out = Vec::new();
    for (i, s) in sized.iter().take(MOST_CHARTS).enumerate() {
        let chart = chart(job, s, system);
        let name = format!("load-{}", i + 1);
        out.push((name.clone(), svg(&chart, Size::WIDE)));
        out.push((format!("{name}-narrow"), svg(&chart, Size::NARROW)));
        let path = path(job, s, system);
        let name = format!("path-{}", i + 1);
        out.push((name.clone(), svg(&path, Size::WIDE)));
        out.push((format!("{name}-narrow"), svg(&path, Size::NARROW)));
    }
    out
}

/// Load by source and capacity of one setup, by day.
#[must_use]
pub fn chart(job: &Job, s: &Sized, system: System) -> LoadChart {
    let unit = daily_unit(system);
    let layer = |name: &str, value: &dyn Fn(&Stretch) -> f64| {
        let values: Vec<f64> = s.days.iter().map(|d| daily(value(d), system)).collect();
        let most = values.iter().fold(0.0, |m: f64, v| m.max(v.abs()));
        (most > 0.05).then(|| Layer {
            name: name.into(),
            values,
        })
    };
    let layers = [
        layer("slab", &|d| d.slab),
        layer("outside air", &|d| d.outside_air),
        layer("burners", &|d| d.combustion),
        layer("other materials, people", &|d| d.other),
        layer("settles on the envelope", &|d| d.envelope),
    ];
    LoadChart {
        title: title(s, system),
        subtitle: format!("Water in the room's air with {}, {unit}", s.outcome.name),
        y_label: format!("Water, {unit}"),
        x_axis: XAxis::Dates {
            start: job.date(job.drying_starts),
        },
        x: (0..s.days.len()).map(|d| d as f64).collect(),
        layers: layers.into_iter().flatten().collect(),
        capacity: (!s.dehumidifiers.is_empty()).then(|| Layer {
            name: "dehumidifiers could take".into(),
            values: s.days.iter().map(|d| daily(d.capacity, system)).collect(),
        }),
        steps: true,
        footer: vec![
            "Below zero: water carried off by outside air or settling on the envelope. Capacity at the room's state of the day.".into(),
            ESTIMATE.into(),
        ],
        ..LoadChart::default()
    }
}

/// The path of the room's air through the job, by day.
#[must_use]
pub fn path(job: &Job, s: &Sized, system: System) -> PsychrometricChart {
    let path: Vec<(f64, f64, f64)> = s
        .days
        .iter()
        .enumerate()
        .map(|(day, d)| (day as f64, d.temperature, d.humidity_ratio))
        .collect();
    let humidity = |d: Option<&Stretch>| d.map_or(0.0, |d| 100.0 * d.relative_humidity);
    PsychrometricChart {
        title: format!(
            "The room goes from {:.0} % to {:.0} %",
            humidity(s.days.first()),
            humidity(s.days.last())
        ),
        subtitle: format!("Room air with {}, means of each day", s.outcome.name),
        system,
        pressure: job
            .setups
            .iter()
            .find(|setup| setup.name == s.outcome.name)
            .map_or(crate::air::STANDARD_PRESSURE, |setup| setup.room.pressure),
        path,
        footer: vec![
            "Curves: relative humidity at the pressure of the site. Straight across is warming; down is drying of the air.".into(),
            ESTIMATE.into(),
        ],
    }
}

fn title(s: &Sized, system: System) -> String {
    let peak = s.peak_week().and_then(|w| s.weeks.get(w));
    let slab = peak.map_or(0.0, |p| daily(p.slab, system));
    match (s.verdict, &s.search) {
        (Verdict::TooSmall, Some(f)) => {
            format!("Too small: {:.0} would fit, not {:.0}", f.fits, f.installed)
        }
        (Verdict::MoreThanNeeded, Some(f)) if f.fits == 0.0 => {
            "The dehumidifier is not needed here".into()
        }
        (Verdict::MoreThanNeeded, Some(f)) => format!(
            "More than needed: {:.0} would do instead of {:.0}",
            f.fits, f.installed
        ),
        (Verdict::Fits, Some(f)) => format!("{:.0} fits the load", f.installed),
        (Verdict::NotTheLimit, _) => "Dehumidifiers are not what holds this floor back".into(),
        _ if s.whole.combustion > s.whole.slab && s.whole.slab > 0.0 => format!(
            "Burners bring {:.0} times the water that the slab gives",
            s.whole.combustion / s.whole.slab
        ),
        _ => format!(
            "No dehumidifier: the slab gives at most {slab:.0} {} in a week's mean",
            daily_unit(system)
        ),
    }
}

/// The check as JSON: `coatday/size/1`. Not a number and infinity never occur.
#[must_use]
pub fn json(job: &Job, sized: &[Sized], notices: &[String]) -> Value {
    json!({
        "schema": "coatday/size/1",
        "scenario": job.name,
        "drying_starts": job.date(job.drying_starts).to_string(),
        "notices": notices,
        "setups": sized.iter().map(setup).collect::<Vec<_>>(),
    })
}

fn stretch(w: &Stretch) -> Value {
    json!({
        "days": w.length / DAY,
        "load_kg_per_day": w.load() * DAY,
        "from_slab_kg_per_day": w.slab * DAY,
        "by_outside_air_kg_per_day": w.outside_air * DAY,
        "from_burners_kg_per_day": w.combustion * DAY,
        "other_kg_per_day": w.other * DAY,
        "settles_on_envelope_kg_per_day": w.envelope * DAY,
        "removed_kg_per_day": w.removed * DAY,
        "capacity_kg_per_day": w.capacity * DAY,
        "duty_percent": w.duty().map(|d| 100.0 * d),
        "room_temperature_degc": w.temperature,
        "room_relative_humidity_percent": 100.0 * w.relative_humidity,
        "hours_on_site": w.present_hours,
        "hours_starved": w.starved_hours,
        "hours_short_cycling": w.short_cycling_hours,
        "hours_outside_published_range": w.outside_range_hours,
    })
}

fn setup(s: &Sized) -> Value {
    json!({
        "name": s.outcome.name,
        "verdict": s.verdict.words(),
        "days_to_target": s.outcome.days_to_target,
        "installed": s.search.as_ref().map(|f| f.installed),
        "fits": s.search.as_ref().filter(|_| s.verdict != Verdict::NotTheLimit).map(|f| f.fits),
        "fits_is_at_least": s.search.as_ref().map(|f| f.at_least),
        "tried": s.search.as_ref().map(|f| f.tried.iter()
            .map(|(count, days)| json!({"count": count, "days_to_target": days}))
            .collect::<Vec<_>>()),
        "dehumidifiers": s.dehumidifiers.iter().map(|d| json!({
            "count": d.count,
            "rated_kg_per_day": d.rated * DAY,
            "room_mean_temperature_degc": d.on_site.map(|o| o.mean_state.0),
            "room_mean_relative_humidity_percent": d.on_site.map(|o| 100.0 * o.mean_state.1),
            "at_room_mean_kg_per_day": d.on_site.map(|o| o.gives * DAY),
            "at_20_degc_40_percent_kg_per_day": d.at_typical_end * DAY,
            "by_published_curve_at_room_mean_kg_per_day": d.on_site.and_then(|o| o.by_published_map).map(|m| m * DAY),
            "by_published_curve_at_20_degc_40_percent_kg_per_day": d.at_typical_end_by_published_map.map(|m| m * DAY),
            "grain_depression_g_per_kg": d.on_site.map(|o| 1e3 * o.depression),
            "grain_depression_gr_per_lb": d.on_site.map(|o| 7e3 * o.depression),
        })).collect::<Vec<_>>(),
        "peak_week": s.peak_week().map(|w| w + 1),
        "whole_run": stretch(&s.whole),
        "weeks": s.weeks.iter().map(stretch).collect::<Vec<_>>(),
        "rules_of_thumb": {
            "restoration_volume_factor": s.volume_rule.map(|r| json!({
                "source": "ANSI/IICRC S500, simple calculation, class 4 (factors from memory)",
                "rated_removal_kg_per_day": r.removal * DAY,
                "installed_rated_removal_kg_per_day": r.installed_removal * DAY,
                "desiccant_process_air_m3_per_h": r.process_air * HOUR,
                "installed_process_air_m3_per_h": r.installed_process_air * HOUR,
            })),
            "carbon_dioxide_ventilation": s.ventilation_rule.map(|r| json!({
                "source": "5000 ppm (OSHA permissible exposure limit), 420 ppm outside, complete combustion, well mixed",
                "burner_input_kw": r.input / 1e3,
                "outside_air_m3_per_h": r.flow * HOUR,
                "available_outside_air_m3_per_h": r.available * HOUR,
                "water_lift_g_per_kg": 1e3 * r.lift,
                "confined": r.confined,
                "hours_above_limit": r.hours_above,
            })),
        },
        "power": {
            "kw": s.power.watts / 1e3,
            "supplies": s.power.supplies.iter().map(|l| json!({
                "volts": l.volts, "phases": l.phases, "kw": l.watts / 1e3, "amperes_per_phase": l.amperes,
            })).collect::<Vec<_>>(),
            "fits_site": s.power.site.as_ref().map(SiteCheck::fits),
            "site_circuits": s.power.site.as_ref().map(|site| site.circuits.iter().map(|c| json!({
                "volts": c.volts, "phases": c.phases, "breaker_amperes": c.breaker,
                "amperes": c.amperes, "carries_amperes": c.carries(),
            })).collect::<Vec<_>>()),
            "without_a_place": s.power.site.as_ref().map(|site| site.left_out.iter().map(|l| json!({
                "kind": l.kind, "count": l.count, "volts": l.supply.0, "phases": l.supply.1, "amperes": l.supply.2,
            })).collect::<Vec<_>>()),
            "circuits_of_20_a": s.power.circuits,
        },
        "notes": sentences(s).into_iter().chain(rules(s)).chain(power(s)).collect::<Vec<_>>(),
        "cautions": cautions(s),
    })
}
