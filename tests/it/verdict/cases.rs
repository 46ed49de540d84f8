//! Floors that were told wrongly: late and to spare on one page, in time at 59 %, GO beside a hold.

use coatday::results::Answer;
use coatday::results::verdict::{sentence, title};
use coatday::verdict::{State, Timing};
use coatday::{Log, OpenJob, Sampling, System};
use jiff::civil::date;
use serde_json::{Value, json};

const SAMPLED: Sampling = Sampling {
    samples: 32,
    seed: 1,
};

fn shipped(name: &str) -> OpenJob {
    coatday::open(format!("scenarios/{name}.json")).expect("a shipped scenario")
}

/// A shipped scenario with changes, from a folder of its own.
pub(super) fn changed(name: &str, change: impl Fn(&mut Value)) -> OpenJob {
    let text = std::fs::read_to_string(format!("scenarios/{name}.json")).expect("a scenario");
    let mut value: Value = serde_json::from_str(&text).expect("JSON");
    change(&mut value);
    opened(&value)
}

/// A scenario that needs no other file.
pub(super) fn opened(value: &Value) -> OpenJob {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("job.json");
    std::fs::write(&path, value.to_string()).expect("written");
    coatday::open(&path).unwrap_or_else(|fault| panic!("{fault}\n{value:#}"))
}

/// The report's first page as text.
pub(super) fn first_page(open: &OpenJob, log: Option<&Log>, made: jiff::civil::Date) -> String {
    let page = coatday::report(open, None, log, made, SAMPLED, System::Si).expect("a report");
    let first = page.first.expect("a first page");
    let chart = first.chart.map(|chart| chart.wide()).unwrap_or_default();
    format!(
        "{} {} {chart}",
        crate::plain(first.date),
        crate::plain(first.meaning)
    )
}

/// "4 days to spare" stood above a chart that said "29 days late". Late is now only said against the day needed.
#[test]
fn regress_wash_first_is_not_late_and_early_at_once() {
    let open = shipped("wash_first");
    let page = first_page(&open, None, date(2026, 10, 12));
    let found = coatday::compare(&open, SAMPLED);
    let on_site = &open.job.setups[0].name;
    let v = found.verdicts.iter().find(|v| v.setup == *on_site);
    let v = v.expect("the setup on site");
    assert!(
        page.contains(&crate::plain(sentence(v, System::Si))),
        "{page}"
    );
    assert!(
        !page.contains("to spare") && !page.contains("days late"),
        "{page}"
    );
    assert_eq!(v.timing, Timing::MayBeLate, "{v:?}");
    assert!(page.contains("May be late for 14 Dec 2026"), "{page}");
}

/// A solid bar "in time" stood for odds of 59 %, and a title said how much sooner one late floor was than another.
#[test]
fn regress_59_percent_is_not_in_time() {
    let open = shipped("winter_warehouse");
    let found = coatday::compare(&open, SAMPLED);
    let v = &found.verdicts[0];
    assert!(
        v.chance.is_some_and(|chance| (0.2..0.8).contains(&chance)),
        "{v:?}"
    );
    assert_eq!(v.timing, Timing::MayBeLate);
    assert!(
        title(v, System::Si).contains("may be late for 1\u{a0}Mar\u{a0}2027"),
        "{}",
        title(v, System::Si)
    );
    let document = found.document(System::Si);
    for figure in document
        .figures()
        .filter(|f| f.name == "days" || f.name == "moisture")
    {
        let drawn = figure.wide();
        assert!(!drawn.contains("sooner than"), "{}", figure.name);
        assert!(!drawn.contains(">in time<"), "{}", figure.name);
    }
    assert!(v.chance < Some(0.8) && !v.makes_it());
}

/// After readings far above the forecast the date on the first page moves with them.
#[test]
fn regress_a_garage_shows_the_date_that_its_readings_leave() {
    let open = garage();
    let mut text = String::from("time,place,method,depth,value,exposure,conditioned\n");
    for (day, value) in [
        ("2026-11-09", 94.0),
        ("2026-11-16", 93.5),
        ("2026-11-23", 93.0),
    ] {
        for place in ["A", "B", "C"] {
            text += &format!("{day} 09:00,{place},probe,40 mm,{value} %,26 h,3 days\n");
        }
    }
    let log = log_of(&open, &text);
    assert!(log.readings.len() >= 9, "{:?}", log.faults);
    let made = date(2026, 11, 24);
    let without = first_page(&open, None, made);
    let with = first_page(&open, Some(&log), made);
    let now = made.at(23, 59, 59, 0);
    let forecast = coatday::forecast(&open, None, &log, now, 0.7, SAMPLED).expect("a forecast");
    let v = &forecast.verdict;
    assert!(
        with.contains(&crate::plain(sentence(v, System::Si))),
        "{with}"
    );
    assert!(!with.contains(&without), "the readings moved nothing");
    let read = open.clone().with_readings(&log, now);
    let compared = coatday::compare(&read, SAMPLED);
    assert_eq!(
        Some(v.date()),
        compared
            .verdict(&v.setup)
            .map(coatday::verdict::Verdict::date)
    );
    let alone = coatday::compare(&open, SAMPLED);
    let alone = alone
        .verdict(&v.setup)
        .expect("a verdict")
        .date()
        .expect("a date");
    assert!(
        v.date().is_none_or(|date| date > alone),
        "{:?} {alone}",
        v.date()
    );
}

/// Sentences of their own for a floor that needs no drying, and for one that never dries in any case.
#[test]
fn regress_already_dry_and_never_dry_are_said_so() {
    let dry = opened(&job(|v| {
        v["slab"]["placed"] = json!("2024-05-04");
        v["targets"] = json!([{ "relative_humidity_at_depth": { "limit": "95 %" } }]);
    }));
    let found = coatday::compare(&dry, SAMPLED);
    let v = &found.verdicts[0];
    assert_eq!(v.state, State::AlreadyDry, "{v:?}");
    let said = crate::plain(sentence(v, System::Si));
    assert!(
        said.starts_with("No drying needed: a test now should read") && said.contains("limit 95 %"),
        "{said}"
    );
    assert_eq!(title(v, System::Si), "No drying needed");
    assert!(first_page(&dry, None, date(2026, 10, 12)).starts_with("No drying needed"));

    let wet = opened(&job(|v| {
        v["site"]["weather"]["constant"]["relative_humidity"] = json!("92 %");
        v["targets"] = json!([{ "relative_humidity_at_depth": { "limit": "75 %" } }]);
        v["needed_by"] = json!("2027-03-01");
        v["give_up_after"] = json!("200 days");
    }));
    let found = coatday::compare(&wet, SAMPLED);
    let v = &found.verdicts[0];
    assert_eq!(
        (v.state, v.timing),
        (State::DoesNotGetReady, Timing::Late),
        "{v:?}"
    );
    let said = crate::plain(sentence(v, System::Si));
    assert!(said.contains("in any of 32 simulated cases. "), "{said}");
    let page = first_page(&wet, None, date(2026, 10, 12));
    assert!(
        page.starts_with("No date") && page.contains(&said),
        "{page}"
    );
}

/// A hold stands on the first page, before any date, and in every other output.
#[test]
fn regress_a_hold_stands_before_the_date() {
    let open = changed("wash_first", |v| {
        v["walk"]["findings"].as_array_mut().expect("findings").push(
            json!({ "crack": { "area": "Sales floor", "length": "2 m", "width": "3 mm", "depth": "20 mm", "state": "moving" } }),
        );
    });
    let page = first_page(&open, None, date(2026, 10, 12));
    assert!(
        page.starts_with("On hold ON HOLD: 1 matter must be cleared first."),
        "{page}"
    );
    let found = coatday::compare(&open, SAMPLED);
    let prep = coatday::prep(&open, SAMPLED).expect("prepared");
    for v in [&found.verdicts[0], &prep.verdict] {
        assert!(
            v.on_hold() && title(v, System::Si).starts_with("ON HOLD. "),
            "{v:?}"
        );
        assert!(v.holds[0].lifted_by.contains("engineer"), "{v:?}");
    }
    let words = format!("{:?}", found.document(System::Si).sections);
    assert!(words.contains("Who can lift it: an engineer"), "{words}");
}

/// Where no method can prepare the floor there is no day to coat, whatever the drying: no output gives one, and it is said what stands in the way.
#[test]
fn regress_a_floor_that_nothing_can_prepare_has_no_day() {
    let open = changed("wash_first", |v| {
        let walk = v["walk"].as_object_mut().expect("a walk");
        walk.retain(|key, _| key != "wash" && key != "method");
        walk.insert(
            "site".into(),
            json!({ "dust": "none", "water": "not_allowed" }),
        );
    });
    let found = coatday::compare(&open, SAMPLED);
    let prep = coatday::prep(&open, SAMPLED).expect("prepared");
    for v in found.verdicts.iter().chain([&prep.verdict]) {
        assert_eq!((v.ready, v.chance), (None, None), "{v:?}");
        let reason = v.reason.as_deref().expect("a reason");
        assert!(
            reason.starts_with("No method can give the concrete its profile here")
                && reason.contains("It makes dust, and none is allowed."),
            "{reason}"
        );
    }
}

fn garage() -> OpenJob {
    opened(&job(|v| {
        v["needed_by"] = json!("2026-12-21");
        v["targets"] = json!([{ "relative_humidity_at_depth": { "limit": "90 %" } }]);
    }))
}

/// A small job in air that stays the same.
pub(super) fn job(change: impl FnOnce(&mut Value)) -> Value {
    let mut value = json!({
        "name": "Garage",
        "site": { "weather": { "constant": { "temperature": "18 degC", "relative_humidity": "50 %" } } },
        "slab": { "area": "120 m2", "thickness": "100 mm", "water_cement_ratio": 0.5, "placed": "2026-09-14",
                  "finish": "steel_trowelled", "underside": { "vapour_retarder": {} } },
        "room": { "height": "3 m", "air_changes_per_hour": 0.5 },
        "gear_on": "2026-10-12",
        "targets": [ { "relative_humidity_at_depth": { "limit": "88 %" } } ],
        "setups": [ { "name": "Heat", "gear": [
            { "heater": { "class": "electric_15kw", "thermostat": { "setpoint": "22 degC" } } } ] } ]
    });
    change(&mut value);
    value
}

pub(super) fn log_of(open: &OpenJob, text: &str) -> Log {
    coatday::moisture_log::read_log("log.csv", text.as_bytes(), open.scenario.slab.placed)
}
