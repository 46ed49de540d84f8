//! The check of dehumidifiers as words, tables, charts and one versioned JSON object.

use super::{Layer, LoadChart, Side, Size, TextTable, XAxis, svg};
use crate::plan::Never;
use crate::plan::size::{
    BREAKER, CARBON_DIOXIDE, DESICCANT_AIR_CHANGES, Dehumidifier, Search, Sized, Stretch,
    TYPICAL_END, VOLUME_FACTOR, Verdict,
};
use crate::scenario::build::Job;
use crate::season::DAY;
use crate::units::System;
use serde_json::{Value, json};
use std::fmt::Write as _;

/// Setups with a chart; more are looked at by nobody.
const MOST_CHARTS: usize = 8;
/// Weeks listed one by one; of a longer run every fourth follows.
const WEEKS_LISTED: usize = 8;
/// Litres in a pint.
const PINT: f64 = 0.473_176_473;
/// Cubic metres an hour in a cubic foot a minute.
const CFM: f64 = 1.699_011;
/// Hours below this are not worth a sentence.
const FEW_HOURS: f64 = 12.0;

fn us(system: System) -> bool {
    system == System::Us
}

/// A rate \[kg/s\] as a number in pint/day or L/day.
fn daily(rate: f64, system: System) -> f64 {
    rate * DAY / if us(system) { PINT } else { 1.0 }
}

fn daily_unit(system: System) -> &'static str {
    if us(system) { "pint/day" } else { "L/day" }
}

/// A rate in both units.
fn rate(value: f64) -> String {
    format!(
        "{:.1} L/day ({:.0} pint/day)",
        value * DAY,
        value * DAY / PINT
    )
}

fn state((t, r): (f64, f64)) -> String {
    format!(
        "{t:.1} degC ({:.0} degF) and {:.0} %",
        t * 1.8 + 32.0,
        100.0 * r
    )
}

fn air_flow(flow: f64) -> String {
    format!("{:.0} m3/h ({:.0} cfm)", flow * 3600.0, flow * 3600.0 / CFM)
}

/// A whole number, never "-0".
fn whole(value: f64) -> String {
    let text = format!("{value:.0}");
    if text == "-0" { "0".into() } else { text }
}

/// A count with its noun.
fn counted(count: f64, noun: &str) -> String {
    format!("{count:.0} {noun}{}", if count == 1.0 { "" } else { "s" })
}

fn number(count: f64) -> String {
    format!("{count:.0}")
}

/// All setups in one table; load and what the machines could take are those of the peak week.
#[must_use]
pub fn table(sized: &[Sized], system: System) -> TextTable {
    let unit = daily_unit(system);
    let heads = [
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
        })
        .collect();
    TextTable {
        columns: heads.to_vec(),
        rows,
        strong_row: None,
    }
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
                    w.temperature * 1.8 + 32.0
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

/// What the check says of one setup, in sentences, one thing each.
#[must_use]
pub fn sentences(s: &Sized) -> Vec<String> {
    let mut out = vec![verdict(s)];
    out.extend(s.dehumidifiers.iter().map(rating));
    if let Some(text) = peak(s) {
        out.push(text);
    }
    out.extend(hours(s));
    out
}

fn days(days: Option<f64>) -> String {
    days.map_or_else(
        || "not in the time looked at".to_owned(),
        |d| format!("after {d:.0} days"),
    )
}

fn verdict(s: &Sized) -> String {
    let Some(f) = &s.search else {
        return match (s.verdict, &s.outcome.never) {
            (Verdict::NotComputed, Some(Never::Solver(fault))) => {
                format!("Not computed: {fault}.")
            }
            _ => "There is no dehumidifier to check; the load is shown without one.".into(),
        };
    };
    let tried = |count: f64| {
        f.tried
            .iter()
            .find(|(c, _)| *c == count)
            .and_then(|(_, days)| *days)
    };
    let (installed, fits) = (number(f.installed), number(f.fits));
    let (now, then) = (days(s.outcome.days_to_target), days(tried(f.fits)));
    let warmth = "The warmth that the machines give off counts in this.";
    match s.verdict {
        Verdict::TooSmall => format!(
            "Too small: with {installed} the floor is dry {now}, with {fits} {then}{}. {warmth}",
            if f.at_least {
                ", and still more would be sooner: look for another kind of machine or more heat"
            } else {
                "; still more would gain less than 5 % or a day"
            }
        ),
        Verdict::Fits => format!(
            "Fits: with {installed} the floor is dry {now}; more would gain less than 5 % or a day, fewer would lose more. {warmth}"
        ),
        Verdict::MoreThanNeeded if f.fits == 0.0 => format!(
            "More than needed: with {installed} the floor is dry {now}, and without any {then}. What drying there is does not come from the dehumidifier. {warmth}"
        ),
        Verdict::MoreThanNeeded => {
            format!("More than needed: {fits} would do ({then}, with {installed} {now}). {warmth}")
        }
        _ => format!(
            "Not the limit: no number from 0 to {} gets this floor dry in the time looked at. {}",
            number(f.tried.last().map_or(f.installed, |t| t.0)),
            s.outcome
                .never
                .as_ref()
                .map_or_else(String::new, Never::sentence)
        )
        .trim_end()
        .to_owned(),
    }
}

fn rating(d: &Dehumidifier) -> String {
    let (at, kind) = match d.machine {
        crate::gear::Machine::Desiccant(_) => ("20 degC (68 degF) and 60 %", "desiccant"),
        _ => ("26.7 degC (80 degF) and 60 %", "dehumidifier"),
    };
    let share = |x: f64| 100.0 * x / d.rated.max(1e-12);
    let mut text = format!(
        "{} rated {} each at {at}. At this room's mean state, {}, one gives {} ({:.0} % of the rating), a grain depression of {:.0} gr/lb ({:.1} g/kg); at {}, where many drying jobs end up, it gives only {} ({:.0} %).",
        counted(d.count, kind),
        rate(d.rated),
        state(d.mean_state),
        rate(d.at_mean_state),
        share(d.at_mean_state),
        d.depression * 7000.0,
        d.depression * 1000.0,
        state(TYPICAL_END),
        rate(d.at_typical_end),
        share(d.at_typical_end),
    );
    if let Some((mean, typical)) = d.by_published_map {
        let _ = write!(
            text,
            " That rests on an assumed curve for low-grain machines, of which no measurements are published; by the published curve of ordinary machines of this rating it would be {} at the room's mean state and {} at the other.",
            rate(mean),
            rate(typical)
        );
    }
    text
}

fn peak(s: &Sized) -> Option<String> {
    let week = s.peak_week()?;
    let w = s.weeks.get(week)?;
    let sources: Vec<String> = [
        ("slab", w.slab),
        ("outside air", w.outside_air),
        ("burners", w.combustion),
        ("settling on the envelope", w.other),
    ]
    .iter()
    .map(|(name, rate)| format!("{name} {}", whole(rate * DAY)))
    .collect();
    let sources = sources.join(", ");
    if s.dehumidifiers.is_empty() {
        return Some(format!(
            "The slab gives most in week {}; water into the air then, L/day: {sources}.",
            week + 1
        ));
    }
    let mut text = format!(
        "Peak in week {}: a load of {} ({sources} L/day)",
        week + 1,
        rate(w.load()),
    );
    if let Some(duty) = w.duty() {
        let _ = write!(
            text,
            "; at the room's state then the dehumidifiers could take {}, so they run {:.0} % of full",
            rate(w.capacity),
            100.0 * duty
        );
    }
    text.push('.');
    if w.outside_air > 0.5 * w.load() && w.outside_air * DAY > 1.0 {
        let _ = write!(
            text,
            " {:.0} % of that load comes in with outside air: closing up saves more than another machine.",
            100.0 * (w.outside_air / w.load()).min(1.0)
        );
    }
    Some(text)
}

fn hours(s: &Sized) -> Vec<String> {
    let w = &s.whole;
    let mut out = Vec::new();
    if !s.dehumidifiers.is_empty() && s.outcome.hours.frozen >= FEW_HOURS {
        out.push(format!(
            "Frosted, or too cold to run in full, for {:.0} of {:.0} h: heat the room first, or use a desiccant.",
            s.outcome.hours.frozen, w.present_hours
        ));
    }
    if w.starved_hours >= FEW_HOURS {
        out.push(format!(
            "Starved for {:.0} of {:.0} h: the air is too dry or cold for the machine to take 5 % of its rating.",
            w.starved_hours, w.present_hours
        ));
    }
    if w.short_cycling_hours >= FEW_HOURS {
        out.push(format!(
            "Short-cycling for {:.0} of {:.0} h: less than a third of full run is asked for (rule of thumb, common practice, no published source).",
            w.short_cycling_hours, w.present_hours
        ));
    }
    if w.outside_range_hours >= FEW_HOURS {
        let ranges: Vec<&str> = s
            .dehumidifiers
            .iter()
            .filter_map(|d| match &d.machine {
                crate::gear::Machine::Refrigerant(r) => Some(r.map.published_range()),
                crate::gear::Machine::Desiccant(d) => Some(d.published_range()),
                _ => None,
            })
            .collect();
        let mut ranges = ranges;
        ranges.dedup();
        out.push(format!(
            "Outside the published range of a machine's data for {:.0} h; its output there is taken on the low side. Range: {}.",
            w.outside_range_hours,
            ranges.join("; ")
        ));
    }
    out
}

/// The rules of thumb, each with its source and why it differs.
#[must_use]
pub fn rules(s: &Sized) -> Vec<String> {
    let mut out = Vec::new();
    if let Some(r) = &s.volume_rule {
        let refrigerant = if r.installed_removal > 0.0 {
            format!(
                "asks for refrigerant machines rated {} in all (installed: {})",
                rate(r.removal),
                rate(r.installed_removal)
            )
        } else {
            format!(
                "asks for {} of desiccant process air (installed: {})",
                air_flow(r.process_air),
                air_flow(r.installed_process_air)
            )
        };
        out.push(format!(
            "Rule of thumb, restoration's volume factor (ANSI/IICRC S500, simple calculation, class 4; factors from memory: ft3 over {VOLUME_FACTOR:.0} in pints a day for low-grain machines, {DESICCANT_AIR_CHANGES:.0} air changes an hour for desiccants{}): {refrigerant}. It differs because it looks at the room's volume and at ratings at 80 degF and 60 %, for buildings soaked for days; a slab gives water as its depth lets it, whatever the volume, and the room is cooler and drier than the rating.",
            if r.ordinary {
                "; it has no factor for ordinary machines in this class, so that of low-grain ones is shown"
            } else {
                ""
            }
        ));
    }
    if let Some(r) = &s.ventilation_rule {
        out.push(format!(
            "Rule of thumb, ventilation for carbon dioxide of burners without a flue ({:.0} ppm, OSHA limit for a day's work, {:.0} ppm outside, complete combustion, well mixed): {:.0} kW of gross input at full fire asks for {} of outside air; leakage, exchanges and make-up air bring at most {}. It differs because it is for people and not for drying: even at that flow the burners' own water holds the room {:.1} g/kg ({:.0} gr/lb) above the outside air.",
            CARBON_DIOXIDE.0 * 1e6,
            CARBON_DIOXIDE.1 * 1e6,
            r.input / 1e3,
            air_flow(r.flow),
            air_flow(r.available),
            1e3 * r.lift,
            7e3 * r.lift
        ));
    }
    out
}

/// Where people can come to harm.
#[must_use]
pub fn cautions(s: &Sized) -> Vec<String> {
    let mut out = Vec::new();
    if let Some(r) = &s.ventilation_rule {
        if r.hours_above > 0.0 {
            out.push(format!(
                "Well-mixed carbon dioxide would pass {:.0} ppm for {:.0} h. Carbon monoxide can kill long before: ventilate and monitor as local codes and the heater's sheet require.",
                CARBON_DIOXIDE.0 * 1e6,
                r.hours_above.ceil()
            ));
        }
        if r.confined {
            out.push(
                "The room has less than 50 ft3 per 1000 Btu/h (4.8 m3 per kW) of burner input: a confined space in the US fuel gas code, as heater manuals quote it. Combustion air must be brought in as the code and the manual say.".into(),
            );
        }
    }
    if s.power.overloads {
        out.push(format!(
            "A plug-in machine draws more than the {:.0} A that a {:.0} A circuit carries for long. Have a licensed electrician provide its circuit.",
            BREAKER.0 * BREAKER.1,
            BREAKER.0
        ));
    }
    out
}

/// Electrical load in a sentence; `None` without any.
#[must_use]
pub fn power(s: &Sized) -> Option<String> {
    let p = &s.power;
    if p.watts <= 0.0 {
        return None;
    }
    let supplies: Vec<String> = p
        .supplies
        .iter()
        .map(|(volts, phases, watts, amperes)| {
            format!(
                "{:.1} kW at {volts:.0} V{}, {amperes:.0} A",
                watts / 1e3,
                if *phases == 3 { " three-phase" } else { "" }
            )
        })
        .collect();
    let mut text = format!(
        "Power with all in full run: {:.1} kW ({}).",
        p.watts / 1e3,
        supplies.join("; ")
    );
    if p.circuits > 0.0 {
        let _ = write!(
            text,
            " The plug-in machines fill {} of {:.0} A at {:.0} % for continuous load.",
            counted(p.circuits, "circuit"),
            BREAKER.0,
            100.0 * BREAKER.1
        );
    }
    text += " Currents are power over voltage; nameplates, local codes and a licensed electrician decide.";
    Some(text)
}

/// Load and capacity through time, for the first setups; file stem and SVG text, wide and narrow.
#[must_use]
pub fn charts(job: &Job, sized: &[Sized], system: System) -> Vec<(String, String)> {
    let mut out = Vec::new();
    for (i, s) in sized.iter().take(MOST_CHARTS).enumerate() {
        let chart = chart(job, s, system);
        let name = format!("load-{}", i + 1);
        out.push((name.clone(), svg(&chart, Size::WIDE)));
        out.push((format!("{name}-narrow"), svg(&chart, Size::NARROW)));
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
        layer("settles on the envelope", &|d| d.other),
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
            "Estimate. A floor is released by its moisture tests, never by this program.".into(),
        ],
        ..LoadChart::default()
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
            "room_mean_temperature_degc": d.mean_state.0,
            "room_mean_relative_humidity_percent": 100.0 * d.mean_state.1,
            "at_room_mean_kg_per_day": d.at_mean_state * DAY,
            "at_20_degc_40_percent_kg_per_day": d.at_typical_end * DAY,
            "by_published_curve_at_room_mean_kg_per_day": d.by_published_map.map(|m| m.0 * DAY),
            "by_published_curve_at_20_degc_40_percent_kg_per_day": d.by_published_map.map(|m| m.1 * DAY),
            "grain_depression_g_per_kg": 1e3 * d.depression,
            "grain_depression_gr_per_lb": 7e3 * d.depression,
        })).collect::<Vec<_>>(),
        "peak_week": s.peak_week().map(|w| w + 1),
        "whole_run": stretch(&s.whole),
        "weeks": s.weeks.iter().map(stretch).collect::<Vec<_>>(),
        "rules_of_thumb": {
            "restoration_volume_factor": s.volume_rule.map(|r| json!({
                "source": "ANSI/IICRC S500, simple calculation, class 4 (factors from memory)",
                "rated_removal_kg_per_day": r.removal * DAY,
                "installed_rated_removal_kg_per_day": r.installed_removal * DAY,
                "desiccant_process_air_m3_per_h": r.process_air * 3600.0,
                "installed_process_air_m3_per_h": r.installed_process_air * 3600.0,
            })),
            "carbon_dioxide_ventilation": s.ventilation_rule.map(|r| json!({
                "source": "5000 ppm (OSHA permissible exposure limit), 420 ppm outside, complete combustion, well mixed",
                "burner_input_kw": r.input / 1e3,
                "outside_air_m3_per_h": r.flow * 3600.0,
                "available_outside_air_m3_per_h": r.available * 3600.0,
                "water_lift_g_per_kg": 1e3 * r.lift,
                "confined": r.confined,
                "hours_above_limit": r.hours_above,
            })),
        },
        "power": {
            "kw": s.power.watts / 1e3,
            "supplies": s.power.supplies.iter().map(|(volts, phases, watts, amperes)| json!({
                "volts": volts, "phases": phases, "kw": watts / 1e3, "amperes_per_phase": amperes,
            })).collect::<Vec<_>>(),
            "circuits_of_20_a": s.power.circuits,
        },
        "notes": sentences(s).into_iter().chain(rules(s)).chain(power(s)).collect::<Vec<_>>(),
        "cautions": cautions(s),
    })
}
