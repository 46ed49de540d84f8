//! One file for the phone: what is known of the floor, the dew point, and a form for readings. It needs no network and no server, so a
//! phone that gets it by mail can use it at the slab for years.
//!
//! The dew point is no formula in the file but a table of this library's own figures for every half degree and every percent, each with
//! the lowest temperature of the slab that keeps the margin. A value between two is taken at the damper and colder side, so the file
//! passes no floor that [`crate::coating_day`] would not.

use super::answer::{headline, shown};
use crate::coating_day::{Conditions, Given};
use crate::facade::{self, Sampling};
use crate::moisture_log::{Column, Method};
use crate::open::OpenJob;
use crate::results::{Answer, Block};
use crate::scenario::coating_window::CoatingWindow;
use crate::units::format::{self, Shown, capital, fine_percent};
use crate::units::{DAY, HOUR, Kind, System, parse};
use crate::writers::html::LOOK;
use jiff::civil::DateTime;
use maud::{DOCTYPE, PreEscaped, html};
use serde_json::{Value, json};

/// Steps of the table in a degree.
const STEPS: i32 = 2;

/// Air temperatures of the table in degrees: from the coldest to the warmest over which floors are coated.
fn span(system: System) -> (i32, i32) {
    match system {
        System::Us | System::Both => (14, 122),
        System::Si => (-10, 50),
    }
}

/// A temperature of the table \[degC\].
fn celsius(steps: i32, system: System) -> f64 {
    let unit = Shown::of(Kind::Temperature, system).unit();
    let text = format!("{} {unit}", f64::from(steps) / f64::from(STEPS));
    parse(Kind::Temperature, &text).map_or(f64::NAN, |amount| amount.si())
}

/// The dew point of air as it is shown, and the lowest slab temperature in steps that is the margin above it.
fn entry(steps: i32, share: f64, margin: f64, system: System) -> (String, i32) {
    let conditions = Conditions {
        air_temperature: (celsius(steps, system), Given::Typed),
        air_relative_humidity: (share, Given::Typed),
        slab_temperature: (celsius(steps, system), Given::Typed),
    };
    let dew_point = conditions.dew_point();
    let shown = Shown::of(Kind::Temperature, system);
    let keeps = |steps: i32| celsius(steps, system) - dew_point >= margin;
    let mut least = (shown.number(dew_point + margin) * f64::from(STEPS)).ceil() as i32;
    // The rounding of the units may have gone one step too far either way.
    while keeps(least - 1) {
        least -= 1;
    }
    while !keeps(least) {
        least += 1;
    }
    // As it is shown everywhere, its unit apart.
    let text = shown.text(dew_point, 1);
    let text = text.trim_end_matches(&shown.unit()).trim_end().to_owned();
    (text, least)
}

/// The table for a system: for each air temperature its dew points and lowest slab temperatures by percent of humidity.
#[must_use]
pub fn table(margin: f64, system: System) -> Value {
    let (from, to) = span(system);
    let rows = (from * STEPS..=to * STEPS).map(|steps| {
        let of = (1..=100).map(|percent| entry(steps, f64::from(percent) / 100.0, margin, system));
        let (dew, least): (Vec<String>, Vec<i32>) = of.unzip();
        json!([dew.join(" "), least])
    });
    json!({ "from": from * STEPS, "steps": STEPS, "rows": rows.collect::<Vec<_>>() })
}

/// JSON that stands in a script element: no text in it can end the element.
fn in_script(value: &Value) -> String {
    value
        .to_string()
        .replace('<', "\\u003c")
        .replace('\u{2028}', "\\u2028")
        .replace('\u{2029}', "\\u2029")
}

/// What the coating asks of the day, a line each.
fn rules(window: &CoatingWindow, system: System) -> Vec<String> {
    // To the tenth: a limit that is rounded could let a floor pass.
    let temperature = |t: f64| format::fine_temperature(t, system);
    let difference = Shown::of(Kind::TemperatureDifference, system);
    let days = |seconds: f64| format::days(seconds / DAY);
    vec![
        format!(
            "Slab and air from {} to {}.",
            temperature(window.lowest_temperature.value),
            temperature(window.highest_temperature.value)
        ),
        format!(
            "Air at most {}.",
            fine_percent(window.highest_relative_humidity.value)
        ),
        format!(
            "Slab at least {} above the dew point.",
            difference.text(window.dew_point_margin.value, 1)
        ),
        format!(
            "All of it for {} of cure.",
            format::hours(window.cure_time.value / HOUR)
        ),
        format!("Concrete at least {} old.", days(window.concrete_age.value)),
        format!(
            "No water on the floor for {} before.",
            days(window.dry_time_after_wetting.value)
        ),
        format!(
            "Moisture tests at most {} old, each within its limit.",
            days(window.test_validity.value)
        ),
    ]
}

/// The columns that the form of the phone has.
const FORM: [Column; 10] = [
    Column::Place,
    Column::Method,
    Column::Value,
    Column::Depth,
    Column::Exposure,
    Column::Time,
    Column::SlabTemperature,
    Column::AirTemperature,
    Column::AirRelativeHumidity,
    Column::Note,
];

/// The file, made at a moment.
#[must_use]
pub fn pocket(open: &OpenJob, sampling: Sampling, made: DateTime, system: System) -> String {
    let found = facade::compare(open, sampling);
    let document = found.document(system);
    let blocks: Vec<Block> = document.blocks().skip(1).cloned().collect();
    let (lists, rest): (Vec<Block>, Vec<Block>) = blocks
        .into_iter()
        .partition(|block| matches!(block, Block::List(_)));
    let (cautions, rest): (Vec<Block>, Vec<Block>) = rest
        .into_iter()
        .partition(|block| matches!(block, Block::Caution { .. }));
    // The last table is that of the readings to expect, with its words before it.
    let expected: Vec<Block> = if found.decisions.limits.readings.is_empty() {
        Vec::new()
    } else {
        let at = rest
            .iter()
            .rposition(|block| matches!(block, Block::DetailTable(_)));
        at.map_or_else(Vec::new, |at| {
            rest.get(at.saturating_sub(1)..=at)
                .unwrap_or_default()
                .to_vec()
        })
    };
    let window = CoatingWindow::of(open.scenario.coating.as_ref());
    let unit = Shown::of(Kind::Temperature, system).unit();
    let humidity = Shown::of(Kind::RelativeHumidity, system).unit();
    let data = json!({
        "job": open.scenario.name,
        "made": made.to_string(),
        "table": table(window.dew_point_margin.value, system),
        "unit": unit,
        "columns": FORM.map(Column::name),
    });
    let title = format!("{}: at the slab", open.scenario.name);
    let field = |column: Column| {
        let name = column.name();
        html! {
            div.field {
                label for=(name) { (capital(&name.replace('_', " "))) }
                @if column == Column::Method {
                    select id=(name) name=(name) { @for method in Method::ALL { option { (method.word()) } } }
                } @else {
                    input id=(name) name=(name) autocomplete="off" spellcheck="false"
                        required[matches!(column, Column::Place | Column::Value)];
                }
            }
        }
    };
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:";
                link rel="icon" href="data:,";
                title { (title) }
                style { (PreEscaped(LOOK)) (PreEscaped(include_str!("web/pocket.css"))) }
            }
            body { main {
                h1 { (title) }
                p.soft { "Made " (format::moment(made, system)) ". It knows nothing newer." }
                (headline_of(&found, system))
                (PreEscaped(shown(&lists)))
                (PreEscaped(shown(&cautions)))
                h2 { "Readings to expect" }
                @if expected.is_empty() { p { "No reading was computed." } }
                (PreEscaped(shown(&expected)))
                h2 { "May it be coated today?" }
                p { "Every one of these must hold. The data sheet comes first." }
                ul { @for rule in rules(&window, system) { li { (rule) } } }
                h3 { "Dew point" }
                form #dew {
                    div.field { label for="dew-air" { "Air temperature, " (unit) } input #dew-air inputmode="decimal" autocomplete="off"; }
                    div.field { label for="dew-humidity" { "Relative humidity of the air, " (humidity) } input #dew-humidity inputmode="decimal" autocomplete="off"; }
                    div.field { label for="dew-slab" { "Slab at its coldest spot, " (unit) } input #dew-slab inputmode="decimal" autocomplete="off"; }
                    p.result #dew-result role="status" { "Type air temperature, humidity and slab temperature." }
                }
                h2 { "Readings" }
                p #kept role="status" {}
                form #reading {
                    @for column in FORM { (field(column)) }
                    p { button type="submit" { "Keep this reading" } }
                    p.result #reading-result role="status" {}
                }
                ol #list {}
                h2 { "Hand the readings over" }
                p { "Send this text. On the computer: coatday readings job.json --from readings.csv. Each reading is taken in once, however often you send it." }
                textarea #csv rows="6" readonly aria-label="All readings as CSV" {}
                p { button #copy type="button" { "Copy the text" } " " a #download download="readings.csv" { "Save it as a file" } }
                p.release { (crate::results::RELEASE) }
                script type="application/json" #data { (PreEscaped(in_script(&data))) }
                script { (PreEscaped(include_str!("web/pocket.js"))) }
            } }
        }
    }
    .into_string()
}

fn headline_of(found: &crate::results::compare::Comparison<'_>, system: System) -> maud::Markup {
    html! { @if let Some(v) = found.verdicts.first() { (headline(v, system)) } }
}
