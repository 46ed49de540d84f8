//! Every output of a job says the same of the floor: headline, table, titles, the report's first page as HTML and PDF, and the check of the
//! day. Jobs are random: slab, climate, gear, target, day needed, walk and log.

use super::cases::{job, log_of, opened};
use coatday::results::Answer;
use coatday::results::compare::charts::finding;
use coatday::results::verdict::{sentence, title};
use coatday::verdict::{Timing, Verdict};
use coatday::writers::html::html;
use coatday::writers::pdf::{Paper, pdf};
use coatday::{Conditions, Document, Log, OpenJob, Sampling, System};
use jiff::civil::{Date, date};
use serde_json::{Value, json};

/// Few cases: what is said of them is held against itself, not against the truth.
const FEW: Sampling = Sampling {
    samples: 10,
    seed: 1,
};
const MADE: Date = date(2026, 11, 16);

/// Numbers from 0 to 1 without a pattern, the same for the same seed (Steele, Lea & Flood 2014, from memory).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }

    fn one_in(&mut self, n: f64) -> bool {
        self.next() * n < 1.0
    }
}

fn random_job(chance: &mut Chance) -> Value {
    job(|v| {
        let degrees = format!("{:.1} degC", chance.between(4.0, 28.0));
        let humidity = format!("{:.0} %", chance.between(30.0, 85.0));
        v["name"] = json!("Hall");
        v["site"]["weather"]["constant"] =
            json!({ "temperature": degrees, "relative_humidity": humidity });
        v["slab"]["thickness"] = json!(format!("{:.0} mm", chance.between(75.0, 160.0)));
        v["slab"]["water_cement_ratio"] =
            json!((chance.between(0.4, 0.65) * 100.0).round() / 100.0);
        let age = chance.between(30.0, 400.0) as i64;
        let placed = date(2026, 10, 12).saturating_sub(jiff::Span::new().days(age));
        v["slab"]["placed"] = json!(placed.to_string());
        v["give_up_after"] = json!("90 days");
        let limit = format!("{:.0} %", chance.between(75.0, 97.0));
        v["targets"] = json!([{ "relative_humidity_at_depth": { "limit": limit } }]);
        let setpoint = format!("{:.0} degC", chance.between(18.0, 30.0));
        let heat = json!({ "name": "Heat", "gear": [
            { "heater": { "class": "electric_15kw", "thermostat": { "setpoint": setpoint } } } ] });
        let dry = json!({ "name": "Dehumidifier", "gear": [ { "dehumidifier": { "class": "low_grain_large" } } ] });
        v["setups"] = match (chance.next() * 3.0) as u32 {
            0 => json!([heat]),
            1 => json!([dry]),
            _ => json!([dry, heat]),
        };
        if !chance.one_in(4.0) {
            let days = chance.between(5.0, 80.0) as i64;
            let by = date(2026, 10, 12).saturating_add(jiff::Span::new().days(days));
            v["needed_by"] = json!(by.to_string());
        }
        if chance.one_in(2.5) {
            v["walk"] = walk(chance);
        }
        // Promised as it is, there is no delay to split, which saves most of the runs.
        if !chance.one_in(8.0) {
            v["promised"] = json!({ "name": "as bid" });
        }
    })
}

fn walk(chance: &mut Chance) -> Value {
    let state = if chance.one_in(3.0) {
        "moving"
    } else {
        "still"
    };
    let mut areas = vec![json!({ "name": "Hall", "substrate": "concrete", "size": "100 m2" })];
    if chance.one_in(3.0) {
        let moisture = if chance.one_in(2.0) { "19 %" } else { "9 %" };
        areas.push(json!({ "name": "Platform", "size": "12 m2",
            "substrate": { "wood": { "kind": "old_dry_plywood", "moisture_content": moisture } } }));
    }
    json!({
        "areas": areas,
        "findings": [ { "crack": { "area": "Hall", "length": "3 m", "width": "2 mm", "depth": "20 mm", "state": state } } ],
        "method": "vacuum_grinding"
    })
}

/// A log of probes at three places on two days.
fn random_log(open: &OpenJob, chance: &mut Chance) -> Log {
    let depth = open.scenario.slab.thickness.si() * 400.0;
    let mut text = String::from("time,place,method,depth,value,exposure,conditioned\n");
    let first = chance.between(80.0, 97.0);
    for (day, less) in [("2026-11-02", 0.0), ("2026-11-12", 1.0)] {
        for place in ["A", "B", "C"] {
            let value = first - less + chance.between(-0.5, 0.5);
            text += &format!("{day} 09:00,{place},probe,{depth:.0} mm,{value:.1} %,26 h,3 days\n");
        }
    }
    log_of(open, &text)
}

/// Letters and digits alone: a PDF knows no spaces between words, and may join letters.
fn bare(text: &str) -> String {
    let text = text.replace('\u{fb02}', "fl").replace('\u{fb01}', "fi");
    let text = text.replace('\u{fb00}', "ff").replace('\u{fb03}', "ffi");
    text.chars().filter(|c| c.is_alphanumeric()).collect()
}

fn words_of(page: &str) -> String {
    let mut words = String::new();
    let mut inside = false;
    for c in page.chars() {
        match c {
            '<' => inside = true,
            '>' => inside = false,
            c if !inside => words.push(c),
            _ => {}
        }
    }
    let words = words.replace("&apos;", "'").replace("&quot;", "\"");
    words
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&amp;", "&")
}

fn same(what: &str, n: u64, one: &Verdict, other: Option<&Verdict>) {
    assert_eq!(Some(one), other, "job {n}: compare and {what} differ");
}

/// The title of a figure and all other words in it.
fn drawn(document: &Document, name: &str) -> String {
    let figure = document.figures().find(|f| f.name == name);
    let drawing = figure.map(|f| f.wide()).unwrap_or_default();
    bare(&words_of(&drawing))
}

fn agrees(n: u64) {
    let mut chance = Chance(n);
    let alone = opened(&random_job(&mut chance));
    let log = chance.one_in(30.0).then(|| random_log(&alone, &mut chance));
    let now = MADE.at(23, 59, 59, 0);
    let open = match &log {
        Some(log) => alone.clone().with_readings(log, now),
        None => alone.clone(),
    };
    let site = open.job.setups[0].name.clone();
    let compared = coatday::compare(&open, FEW);
    let v = compared
        .verdict(&site)
        .expect("a verdict on the setup on site");
    let said = sentence(v, System::Si);

    let empty = Log::default();
    let read = log.as_ref().unwrap_or(&empty);
    // Both find their verdict in the same way as the check of the day.
    if log.is_some() || n.is_multiple_of(8) {
        let forecast = coatday::forecast(&alone, None, read, now, 0.7, FEW).expect("a forecast");
        same("forecast", n, v, Some(&forecast.verdict));
        if let Ok(explained) = coatday::explain(&open, None, None, FEW) {
            same("explain", n, v, explained.verdict.as_ref());
        }
    }
    let conditions = Conditions::fill([Some(18.0), Some(0.5), Some(17.0)], &[], now);
    let conditions = conditions.expect("all three are given");
    let today = coatday::today(&alone, read, now, conditions, None, Some(FEW));
    same("today", n, v, today.verdict.as_ref());
    assert_eq!(v.on_hold(), !today.day.holds.is_empty(), "job {n}");
    assert!(
        !v.on_hold() || today.data().says == "no",
        "job {n}: a hold is no go"
    );
    if open.scenario.walk.is_some() {
        let prep = coatday::prep(&open, FEW).expect("prepared");
        same(
            "prep",
            n,
            compared.verdict(&prep.verdict.setup).expect("of a setup"),
            Some(&prep.verdict),
        );
        let calendar = drawn(&prep.document(System::Si), "calendar");
        assert!(
            calendar.contains(&bare(&title(&prep.verdict, System::Si))),
            "job {n}"
        );
    }

    // The comparison's own outputs are about its first setup.
    let best = &compared.verdicts[0];
    let document = compared.document(System::Si);
    let data = compared.data();
    assert_eq!(
        data.verdict.as_ref().map(|d| d.sentence.clone()),
        Some(sentence(best, System::Si))
    );
    let against_the_date = finding(&compared.verdicts, System::Si);
    for (name, said) in [
        ("days", against_the_date),
        ("moisture", title(best, System::Si)),
    ] {
        assert!(
            drawn(&document, name).contains(&bare(&said)),
            "job {n}: {name}"
        );
    }
    let table = coatday::results::compare::table(&compared, System::Si);
    let row = table
        .rows
        .iter()
        .find(|row| row[0] == site)
        .expect("a row")
        .join(" ");
    let date = v
        .date()
        .map(|date| coatday::units::format::short_date(date, System::Si));
    assert!(
        date.as_ref().is_none_or(|date| row.contains(date)),
        "job {n}: {row}"
    );
    assert_eq!(
        row.contains("LATE"),
        v.timing == Timing::Late,
        "job {n}: {row}"
    );
    assert_eq!(
        row.contains("yes"),
        v.timing == Timing::InTime,
        "job {n}: {row}"
    );

    let report = coatday::report(&alone, None, log.as_ref(), MADE, FEW, System::Si);
    let report = report.expect("a report");
    let mut pages = vec![("HTML", bare(&words_of(&html(&report))))];
    if n.is_multiple_of(3) {
        let printed = pdf(&report, Paper::A4).expect("a PDF");
        let printed = pdf_extract::extract_text_from_mem(&printed).expect("text");
        pages.push(("PDF", bare(&printed)));
    }
    for (what, text) in &pages {
        assert!(
            text.contains(&bare(&said)),
            "job {n}: {what}: {said}\n{text}"
        );
        let held = text.contains("OnholdONHOLD");
        assert_eq!(held, v.on_hold(), "job {n}: {what}");
        if v.needed_by.is_none() {
            assert!(
                !text.contains("Latefor") && !text.contains("late for"),
                "job {n}: {what}"
            );
        }
    }
}

#[test]
fn analytic_every_output_says_the_same() {
    (0..6).for_each(agrees);
}

/// Runs for minutes: `cargo test -- --ignored`.
#[test]
#[ignore = "three hundred jobs take minutes"]
fn analytic_every_output_of_300_jobs_says_the_same() {
    (6..306).for_each(agrees);
}
