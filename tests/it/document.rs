//! The report: what its first page says, hostile names, HTML that asks for nothing, PDF with selectable text and its own type.

use coatday::charts::{Chart, Mark, Size, Step, Waterfall, XAxis, svg};
use coatday::delay::{Action, actions, explain};
use coatday::evaluate::odds::{Draw, Odds, Sample, add_odds, sampling_accuracy};
use coatday::evaluate::{Accuracy, Outcome, advice, compare};
use coatday::job::{self, Job};
use coatday::moisture_log::forecast::{Forecast, Held, PlaceForecast, Range};
use coatday::moisture_log::{Method, Reading};
use coatday::results::compare::{Comparison, Worth, headline};
use coatday::results::decide::Decisions;
use coatday::results::explain::{self as told, Explained};
use coatday::results::forecast::ForecastFound;
use coatday::results::report::{Report, document};
use coatday::results::{Answer, Block, Document, FirstPage, Part, Section, Side, TextTable};
use coatday::scenario::{Scenario, read};
use coatday::units::System;
use coatday::units::format::{day_and_month, short_date, signed_days};
use coatday::verdict::{Floor, Verdict};
use coatday::writers::html::html;
use coatday::writers::pdf::{Paper, pdf};
use coatday::{OpenJob, Sampling};
use jiff::civil::date;
use resvg::usvg::roxmltree;
use serde_json::{Value, json};

/// Quotation marks, brackets, entities, emoji, Hebrew and Arabic, marks that turn text around, accents in a pile.
const HOSTILE: [&str; 6] = [
    "\"Hall\" <b>7</b> & 'yard' </svg><script>alert(1)</script>",
    "url(#fill-rising-d55e00-ffffff) id=fill- {}",
    "Halle 🏗️🧑‍🏭 ①",
    "מחסן צפון (3) ومستودع",
    "\u{202e}drawkcab\u{2066}open",
    "A\u{301}\u{302}\u{303}\u{304}\u{305}\u{306}ccents",
];

fn scenario(name: &str, setups: [&str; 2]) -> Scenario {
    let value = json!({
        "name": name,
        "site": { "weather": { "constant": { "temperature": "10 degC", "relative_humidity": "70 %" } } },
        "slab": { "area": "100 m2", "thickness": "110 mm", "water_cement_ratio": 0.5, "placed": "2026-10-05",
                  "finish": "steel_trowelled", "underside": "sealed",
                  "wettings": [ { "date": "2026-10-14", "kind": "rain", "lasts": "1 day" } ] },
        "room": { "height": "4 m" },
        "gear_on": "2026-10-19",
        "needed_by": "2026-11-20",
        "targets": [ { "relative_humidity_at_depth": { "limit": "90 %" } } ],
        "promised": { "name": "as bid", "thickness": "100 mm", "finish": "ground" },
        "setups": [
            { "name": setups[0], "gear": [ { "heater": { "class": "electric_15kw", "thermostat": { "setpoint": "20 degC" } } } ] },
            { "name": setups[1], "gear": [] }
        ]
    });
    read(&value.to_string(), "job").expect("a sound scenario")
}

/// What may be said of each outcome.
fn verdicts(job: &Job, outcomes: &[Outcome]) -> Vec<Verdict> {
    let floor = Floor {
        job,
        prepared: None,
    };
    let said = outcomes.iter().map(|o| floor.of_setup(o, None, false));
    said.collect()
}

/// The document about the second setup, which is not the best.
fn made(s: Scenario, change: impl Fn(&mut Scenario)) -> Document {
    made_in(s, 0, change)
}

/// The same with so many sampled worlds.
fn made_in(mut s: Scenario, worlds: u32, change: impl Fn(&mut Scenario)) -> Document {
    change(&mut s);
    let weather = job::weather(&s, &|_| Err(String::new()))
        .expect("weather")
        .0;
    let job = Job::of(&s, weather);
    let mut compared = compare(&job, Accuracy::default());
    if worlds > 0 {
        let draws = Draw::first(&job, worlds, 1);
        add_odds(&job, &mut compared.outcomes, &draws, sampling_accuracy());
    }
    let verdicts = verdicts(&job, &compared.outcomes);
    let verdict = verdicts.iter().find(|v| v.setup == s.setups[1].name);
    let verdict = verdict.expect("a verdict").clone();
    let setup = s.setups[1].name.clone();
    let explanation = explain(&s, &job.weather, &setup, None).expect("an explanation");
    let list: Vec<Action> = actions(&s, &job.weather, &setup, None, None).expect("actions");
    document(&Report {
        scenario: &s,
        setup,
        comparison: Comparison {
            job: &job,
            advice: advice(&job, &compared.outcomes),
            compared,
            verdicts,
            worth: Worth::default(),
            decisions: Decisions::default(),
            notices: &[],
        },
        explanation: Some(explanation),
        unexplained: None,
        actions: list,
        sized: None,
        readings: None,
        forecast: None,
        prepared: None,
        verdict,
        logo: None,
        made: date(2026, 10, 1),
        system: System::Us,
    })
}

/// Chromium's parser forgives; a strict one does not. Void elements are closed for it.
fn strict(page: &str) -> String {
    let mut text = page.replace("<!DOCTYPE html>", "");
    for tag in ["<meta ", "<link "] {
        let mut out = String::new();
        let mut rest = text.as_str();
        while let Some(at) = rest.find(tag) {
            let end = rest[at..].find('>').expect("an end") + at;
            out.push_str(&rest[..end]);
            out.push('/');
            rest = &rest[end..];
        }
        out.push_str(rest);
        text = out;
    }
    text
}

fn text_of(page: &str) -> String {
    let text = strict(page);
    let tree = roxmltree::Document::parse(&text).expect("well-formed HTML");
    tree.descendants()
        .filter(|n| n.is_text() && n.parent().is_none_or(|p| !p.has_tag_name("style")))
        .filter_map(|n| n.text())
        .collect::<Vec<_>>()
        .join(" ")
}

#[test]
fn the_first_page_says_date_odds_cause_and_what_to_do() {
    let d = made_in(scenario("Store", ["Heat", "Nothing"]), 12, |_| {});
    let first = d.first.as_ref().expect("a first page");
    assert!(
        first.date.contains("202") && first.date.contains(','),
        "{}",
        first.date
    );
    let said = crate::plain(&first.meaning);
    assert!(
        said.contains("for Fri Nov 20, 2026: ") && said.contains("80 % chance: "),
        "{said}"
    );
    assert!(said.contains("12 simulated cases"), "{said}");
    let part = |name: &str| {
        let part = first.parts.iter().find(|part| part.name == name);
        crate::plain(part.unwrap_or_else(|| panic!("{name}")).lines.join(" "))
    };
    let cause = part("Why");
    assert!(
        cause.contains("Main cause: troweled or sealed surface"),
        "{cause}"
    );
    let decision = part("Your decision");
    assert!(
        decision.starts_with("Approve by Mon Oct 19, 2026: ") && decision.contains("Gains "),
        "{decision}"
    );
    assert!(first.chart.is_some());
    let headings: Vec<&str> = d.sections.iter().map(|s| s.heading.as_str()).collect();
    assert_eq!(
        headings,
        [
            "Where the days go",
            "What would buy days back",
            "The setups compared",
            "How the slab dries",
            "Tests of the floor",
            "What the date rests on",
            "Cautions",
            "What this forecast cannot know"
        ]
    );
    let text = text_of(&html(&d));
    let sentences = first.parts.iter().flat_map(|part| &part.lines);
    for part in [&first.date, &first.meaning].into_iter().chain(sentences) {
        let words: String = part
            .chars()
            .filter(|c| !"\u{2068}\u{2069}".contains(*c))
            .collect();
        let shown: String = text
            .chars()
            .filter(|c| !"\u{2068}\u{2069}".contains(*c))
            .collect();
        assert!(shown.contains(&words), "{part}");
    }
}

#[test]
fn the_page_asks_no_address_and_runs_nothing() {
    let page = html(&made(scenario("Store", ["Heat", "Nothing"]), |_| {}));
    let text = strict(&page);
    let tree = roxmltree::Document::parse(&text).expect("well-formed HTML");
    for node in tree.descendants().filter(roxmltree::Node::is_element) {
        assert!(
            !["script", "img", "iframe", "object", "embed", "image", "use"]
                .contains(&node.tag_name().name())
        );
        for attribute in node.attributes() {
            let (name, value) = (attribute.name(), attribute.value());
            assert!(!name.starts_with("on"), "{name}");
            assert!(!["src", "srcset", "action", "background"].contains(&name));
            assert!(name != "href" || value == "data:,");
            assert!(!value.contains("//"), "{name}={value}");
        }
    }
    let style = tree
        .descendants()
        .find(|n| n.has_tag_name("style"))
        .and_then(|n| n.text())
        .expect("a style");
    assert!(!style.contains("url(") && !style.contains("@import") && !style.contains("http"));
}

#[test]
fn textures_have_names_of_their_own() {
    let page = html(&made(scenario("Store", ["Heat", "Nothing"]), |_| {}));
    let text = strict(&page);
    let tree = roxmltree::Document::parse(&text).expect("well-formed HTML");
    let mut names: Vec<&str> = tree
        .descendants()
        .filter_map(|n| n.attribute("id"))
        .collect();
    let count = names.len();
    assert!(count > 0);
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), count);
    for node in tree.descendants() {
        if let Some(name) = node.attribute("fill").and_then(|f| f.strip_prefix("url(#")) {
            assert!(names.contains(&name.trim_end_matches(')')), "{name}");
        }
    }
}

#[test]
fn hostile_names_break_neither_page_nor_pdf() {
    for (place, name) in HOSTILE.iter().enumerate() {
        let other = HOSTILE[(place + 1) % HOSTILE.len()];
        let d = made(scenario("Store", ["Heat", "Nothing"]), |s| {
            s.name = (*name).to_owned();
            s.setups[0].name = other.to_owned();
            s.setups[1].name = format!("{name} 2");
        });
        let page = html(&d);
        let text = text_of(&page);
        assert!(!page.contains("<script") && !page.contains("<b>7"));
        assert!(!text.contains('\u{202e}') && !text.contains('\u{2066}'));
        let opened = text.matches('\u{2068}').count();
        assert_eq!(opened, text.matches('\u{2069}').count());
        for paper in [Paper::Letter, Paper::A4] {
            let file = pdf(&d, paper).expect("a PDF");
            assert!(
                file.starts_with(b"%PDF-") && file.len() < 1_000_000,
                "{}",
                file.len()
            );
        }
    }
}

#[test]
fn names_of_300_characters_are_wrapped_or_cut() {
    let long = "Extraordinarily".repeat(20);
    let d = made(scenario("Store", ["Heat", "Nothing"]), |s| {
        s.name.clone_from(&long);
        s.setups[1].name = format!("{long} 2");
    });
    assert!(text_of(&html(&d)).contains(&long));
    let file = pdf(&d, Paper::A4).expect("a PDF");
    assert!(file.len() < 1_000_000);
}

#[test]
fn analytic_the_pdf_embeds_its_type_and_has_the_size_of_the_paper() {
    let d = made(scenario("Store", ["Heat", "Nothing"]), |_| {});
    for (paper, points) in [(Paper::Letter, "612 792"), (Paper::A4, "595.28 841.89")] {
        let file = pdf(&d, paper).expect("a PDF");
        let text = String::from_utf8_lossy(&file);
        assert!(text.contains("/FontFile"), "no embedded type");
        assert!(text.contains("/ToUnicode"), "text cannot be selected");
        assert!(text.contains(&format!("/MediaBox[0 0 {points}]")), "paper");
        let pages = text.split("/Count ").nth(1).map(|rest| {
            let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
            digits.parse::<u32>().expect("a number of pages")
        });
        assert!(pages.is_some_and(|pages| pages >= 3), "{pages:?}");
        assert_eq!(file, pdf(&d, paper).expect("the same again"));
    }
}

/// A chart that draws nothing.
struct Broken;

impl Chart for Broken {
    fn draw(&self, _: Size) -> String {
        String::new()
    }
}

#[test]
fn parts_that_are_not_there_are_left_out() {
    let bare = Document {
        first: Some(FirstPage::default()),
        ..Document::default()
    };
    let empty = text_of(&html(&bare));
    assert!(!empty.contains(':'), "a name without its text: {empty}");
    assert!(pdf(&bare, Paper::Letter).is_ok());
    let odd = Document {
        sections: vec![Section {
            heading: "Odd".into(),
            blocks: vec![
                Block::Table(TextTable::default()),
                Block::Text(String::new()),
                Block::List(Vec::new()),
                Block::Table(TextTable {
                    columns: vec![("x".into(), Side::Right); 30],
                    rows: vec![vec!["word ".repeat(400)], Vec::new()],
                    strong_row: Some(7),
                    ..TextTable::default()
                }),
            ],
        }],
        ..Document::default()
    };
    assert!(pdf(&odd, Paper::A4).is_ok());
    text_of(&html(&odd));
    let broken = Document {
        sections: vec![Section {
            heading: String::new(),
            blocks: vec![Block::figure("broken", Broken)],
        }],
        ..Document::default()
    };
    assert!(
        pdf(&broken, Paper::A4)
            .expect_err("no drawing")
            .to_string()
            .contains("HTML")
    );
}

fn waterfall(name: &str) -> Waterfall {
    let step = |name: &str, days: f64, together: bool| Step {
        name: name.into(),
        note: format!("{name} instead of something else"),
        days,
        label: signed_days(days),
        together,
    };
    Waterfall {
        title: format!("40 days late, 25 of them by {name}"),
        subtitle: name.into(),
        first: ("As bid".into(), "2026-11-02".into()),
        steps: vec![
            step(name, 25.0, false),
            step("Rain", 18.0, false),
            step("Warmth", -6.5, false),
            step("Not a number", f64::NAN, false),
            step("Together", 3.5, true),
        ],
        last: ("As it is".into(), "2026-12-12".into()),
        x_axis: XAxis::Dates {
            start: date(2026, 11, 2),
            system: System::Si,
        },
        mark: Some(Mark {
            x: 12.0,
            label: "needed by 2026-11-14".into(),
        }),
        open_end: true,
        footer: vec!["An estimate.".into()],
    }
}

/// Fill, left, top, right and bottom.
type Corners = (String, f64, f64, f64, f64);

/// Size of a drawing, and its bars and patches behind words.
fn boxes(drawing: &str) -> (f64, f64, Vec<Corners>) {
    let tree = roxmltree::Document::parse(drawing).expect("SVG");
    let root = tree.root_element();
    let number = |node: &roxmltree::Node, name: &str| {
        node.attribute(name).and_then(|v| v.parse::<f64>().ok())
    };
    let mut found = Vec::new();
    for node in tree.descendants().filter(|n| n.has_tag_name("rect")) {
        if let (Some(x), Some(y), Some(w), Some(h)) = (
            number(&node, "x"),
            number(&node, "y"),
            number(&node, "width"),
            number(&node, "height"),
        ) {
            found.push((
                node.attribute("fill").unwrap_or_default().to_owned(),
                x,
                y,
                x + w,
                y + h,
            ));
        }
    }
    (
        number(&root, "width").expect("wide"),
        number(&root, "height").expect("high"),
        found,
    )
}

#[test]
fn waterfall_stays_in_its_frame_whatever_the_names() {
    let long = "Extraordinarily".repeat(20);
    for name in HOSTILE.iter().copied().chain([long.as_str(), ""]) {
        for width in [240, 380, 560, 760, 1400] {
            let drawing = svg(&waterfall(name), Size { width, height: 300 });
            let (w, h, found) = boxes(&drawing);
            assert_eq!(w, f64::from(width));
            for (fill, left, top, right, bottom) in found {
                assert!(
                    left >= 0.0 && top >= 0.0 && right <= w && bottom <= h,
                    "{name} {width} {fill}"
                );
            }
            coatday::charts::png(&drawing, 1.0).expect("a picture");
        }
    }
    let empty = svg(&Waterfall::default(), Size::NARROW);
    coatday::charts::png(&empty, 1.0).expect("a picture");
}

/// Each bar starts where the one before ended, and the last ends on the last day.
#[test]
fn analytic_waterfall_bars_join() {
    let mut chart = waterfall("Thickness");
    chart.mark = None;
    chart.steps.retain(|s| s.days.is_finite());
    let drawing = svg(&chart, Size::WIDE);
    let (_, _, found) = boxes(&drawing);
    let bars: Vec<_> = found
        .iter()
        .filter(|(fill, ..)| fill == "#d55e00" || fill.starts_with("url("))
        .filter(|(_, _, top, _, bottom)| bottom - top > 12.0)
        .collect();
    assert_eq!(bars.len(), 4);
    let scale = (bars[0].3 - bars[0].1) / 25.0;
    assert!((bars[1].1 - bars[0].3).abs() < 0.02);
    assert!((bars[1].3 - bars[1].1 - 18.0 * scale).abs() < 0.05);
    // Won days go back from where the lost ones ended.
    assert!((bars[2].3 - bars[1].3).abs() < 0.02);
    assert!((bars[3].1 - bars[2].1).abs() < 0.02);
}

#[test]
fn explanation_as_json_holds_everything() {
    let s = scenario("Store", ["Heat", "Nothing"]);
    let weather = job::weather(&s, &|_| Err(String::new()))
        .expect("weather")
        .0;
    let e = explain(&s, &weather, "Nothing", None).expect("an explanation");
    let list = actions(&s, &weather, "Nothing", None, None).expect("actions");
    let found = Explained {
        scenario: &s,
        explanation: e,
        actions: list,
        verdict: None,
        from: s.gear_on,
        notices: &[],
    };
    let object: Value = serde_json::to_value(found.data()).expect("an object");
    assert_eq!(object["schema"], "coatday/explain/1");
    let shares: f64 = object["causes"]
        .as_array()
        .expect("causes")
        .iter()
        .filter_map(|c| c["share_days"].as_f64())
        .sum();
    assert!((shares - object["delay_days"].as_f64().expect("a delay")).abs() < 1e-9);
    assert_eq!(object["causes"].as_array().map(Vec::len), Some(3));
    assert!(object["actions"].as_array().is_some_and(|a| !a.is_empty()));
    let table = told::table(&found.explanation, System::Si);
    assert!(table.rows[0].len() == table.columns.len());
    assert!(crate::plain(table.text(100, false)).contains("110 mm instead of 100 mm"));
}

/// The job of a scenario with constant weather.
fn job_of(s: &Scenario) -> coatday::job::Job {
    let weather = job::weather(s, &|_| Err(String::new())).expect("weather");
    Job::of(s, weather.0)
}

/// A reading of the floor, ten days after the gear goes on.
fn reading(method: Method, value: f64, typed: &str) -> Reading {
    Reading {
        line: 2,
        time: date(2026, 10, 29).at(8, 0, 0, 0),
        seconds: 24.0 * 86_400.0,
        place: "A".into(),
        method,
        depth: None,
        value,
        typed: typed.into(),
        spread: None,
        slab_temperature: None,
        air_temperature: None,
        air_relative_humidity: None,
        exposure: None,
        conditioned: None,
        ground_side: None,
        dish_area: None,
        concrete: None,
        note: String::new(),
    }
}

/// What a forecast says of one place whose middle date was at so many days before and after its one reading.
fn foretold(readings: &[Reading], before: Option<f64>, after: Option<f64>) -> Document {
    let s = scenario("Store", ["Heat", "Nothing"]);
    let job = job_of(&s);
    let range = |middle: Option<f64>, at: f64| Range {
        at,
        days: [Some(5.0), middle, middle.map(|m| m + 20.0)],
        in_time: Some(0.5),
    };
    let held = |reading: usize| Held {
        reading,
        expected: 0.9,
        off: 0.0,
        outlier: false,
    };
    let forecast = Forecast {
        worlds: Vec::new(),
        places: vec![PlaceForecast {
            place: "A".into(),
            history: vec![
                range(before, job.gear_on),
                range(after, job.gear_on + 864_000.0),
            ],
            weights: Vec::new(),
            effective: 100.0,
            held: (0..readings.len()).map(held).collect(),
            moved: Vec::new(),
            beyond_model: false,
        }],
        failed: 0,
    };
    let first = compare(&job, Accuracy::default()).outcomes.remove(0);
    let verdict = verdicts(&job, &[first]).remove(0);
    let found = ForecastFound {
        job: &job,
        setup: "Heat".into(),
        forecast,
        verdict,
        readings: readings.to_vec(),
        wanted: 0.7,
        now: job.gear_on,
        notices: &[],
    };
    found.document(System::Us)
}

/// A dish gives grams, not a humidity: it has no place on an axis of relative humidity, where it stood at 0 %.
#[test]
fn analytic_only_humidities_are_drawn_on_an_axis_of_humidity() {
    let words = |readings: &[Reading]| {
        let document = foretold(readings, Some(20.0), Some(21.0));
        let chart = document.figures().find(|f| f.name == "forecast-moisture");
        let drawing = chart.expect("a chart").wide();
        let tree = roxmltree::Document::parse(&drawing).expect("SVG");
        let texts: Vec<&str> = tree.descendants().filter_map(|n| n.text()).collect();
        crate::plain(texts.join(" "))
    };
    let probe = reading(Method::Probe, 0.9, "90 %");
    let dish = reading(Method::Dish, 1.7e-7, "3 lb/1000 ft2/24 h");
    let no_points = "readings (no values)";
    let not_drawn = "Not drawn: 1 reading of tests in another unit.";
    let alone = words(std::slice::from_ref(&probe));
    assert!(
        !alone.contains("Not drawn") && !alone.contains(no_points),
        "{alone}"
    );
    let both = words(&[probe, dish.clone()]);
    assert!(
        both.contains(not_drawn) && !both.contains(no_points),
        "{both}"
    );
    let dish = words(&[dish]);
    assert!(
        dish.contains(not_drawn) && dish.contains(no_points),
        "{dish}"
    );
}

/// What the last reading did to the date, told for each of the ways in which the time simulated can end before it.
#[test]
fn analytic_a_date_beyond_the_time_looked_at_is_told_as_it_is() {
    let said = |before: Option<f64>, after: Option<f64>| {
        let document = foretold(&[reading(Method::Probe, 0.9, "90 %")], before, after);
        let list = document.blocks().find_map(|block| match block {
            Block::List(items) => Some(items.clone()),
            _ => None,
        });
        let list = list.expect("sentences");
        let found = list.into_iter().find(|s| s.starts_with("The last reading"));
        let found = found.expect("a sentence");
        found
            .split(" The reading of")
            .next()
            .expect("the first")
            .replace('\u{a0}', " ")
    };
    assert_eq!(
        said(Some(20.0), Some(21.0)),
        "The last reading moved the date 1 day later, from Nov 8, 2026 to Nov 9, 2026."
    );
    assert_eq!(
        said(Some(20.0), Some(20.2)),
        "The last reading left the date where it was."
    );
    assert_eq!(
        said(None, Some(20.0)),
        "The last reading moved the date from after Oct 19, 2027, the last day simulated, to Nov 8, 2026."
    );
    assert_eq!(
        said(Some(20.0), None),
        "The last reading moved the date from Nov 8, 2026 to after Oct 19, 2027, the last day simulated."
    );
    assert_eq!(
        said(None, None),
        "The last reading left the date beyond Oct 19, 2027, the last day simulated."
    );
}

/// Cautions never hide among notes, and details are kept for those who ask.
#[test]
fn analytic_each_kind_of_block_goes_to_its_place() {
    let table = TextTable {
        columns: vec![("Setup".into(), Side::Left), ("Days".into(), Side::Right)],
        rows: vec![vec!["Heat".into(), "9".into()]],
        ..TextTable::default()
    };
    let blocks = vec![
        Block::text("The finding."),
        Block::List(vec!["one".into(), "two".into()]),
        Block::Table(table),
        Block::caution("It burns."),
        Block::Caution {
            about: Some("Heat".into()),
            text: "It smokes.".into(),
        },
        Block::note("An estimate."),
        Block::Details(vec!["7 steps".into()]),
        Block::Notes(Vec::new()),
    ];
    let document = Document::new("Store", blocks).with("Nothing under it", Vec::new());
    let lines = document.lines(80, false);
    let result = "The finding.\n\none\ntwo\n\n Setup   Days\n─────── ──────\n Heat       9";
    assert_eq!(lines.result, result);
    assert_eq!(
        lines.cautions,
        ["CAUTION: It burns.", "CAUTION, Heat: It smokes."]
    );
    assert_eq!(lines.notes, ["An estimate."]);
    assert_eq!(lines.details, ["7 steps"]);
    let page = html(&document);
    assert!(page.contains("CAUTION, Heat: It smokes.") && page.contains("An estimate."));
    assert!(!page.contains("7 steps") && !page.contains("Nothing under it"));
}

/// Nineteen worlds: the second, the tenth and the eighteenth stand for 10, 50 and 90 %. What lies after the last day simulated is never
/// given a date.
#[test]
fn analytic_chances_are_told_as_far_as_they_reach() {
    let mut s = scenario("Store", ["Heat", "Nothing"]);
    s.needed_by = Some(date(2026, 11, 20));
    let job = job_of(&s);
    let first = compare(&job, Accuracy::default()).outcomes.remove(0);
    let told = |dry: usize| {
        let days = |world: usize| {
            if world < dry {
                10.0 + world as f64
            } else {
                f64::INFINITY
            }
        };
        let sample = |world: usize| Sample {
            days: days(world),
            cost: 0.0,
            course: Vec::new(),
        };
        let mut outcome = first.clone();
        outcome.odds = Some(Odds {
            samples: (0..19).map(sample).collect(),
            failed: 0,
            in_time: Some(dry as f64 / 19.0),
        });
        crate::plain(headline(&verdicts(&job, &[outcome]), System::Si))
    };
    let day = |days: f64| crate::plain(short_date(job.date_after(days), System::Si));
    let month = |days: f64| crate::plain(day_and_month(job.date_after(days), System::Si));
    let (early, middle, late) = (day(11.0), day(19.0), month(27.0));
    let start = format!("Heat: dry on {middle}, after 19 days, the middle of 19 simulated cases.");
    assert_eq!(
        told(19),
        format!(
            "{start} 80 % chance: {} to {late}. In time for 20 Nov 2026: 100 % chance.",
            month(11.0)
        )
    );
    assert_eq!(
        told(13),
        format!(
            "{start} 80 % chance: {early} to after 19 Oct 2027. May be late for 20 Nov 2026: 68 % chance to make it."
        )
    );
    assert_eq!(
        told(6),
        "Heat: probably not dry by 19 Oct 2027. 32 % of the cases get there. The slab core sets the pace. Only warmth and time help. May be late for 20 Nov 2026: 32 % chance to make it."
    );
    assert_eq!(
        told(0),
        "Heat: not dry by 19 Oct 2027 in any of 19 simulated cases. The slab core sets the pace. Only warmth and time help. Late for 20 Nov 2026: 0 % chance to make it."
    );
}

/// Pages of a PDF as text with single blanks.
fn pages(file: &[u8]) -> Vec<String> {
    let pages = pdf_extract::extract_text_from_mem_by_pages(file).expect("text");
    let single = |page: String| page.split_whitespace().collect::<Vec<_>>().join(" ");
    pages.into_iter().map(single).collect()
}

/// Letters and digits alone: a PDF may join letters and break lines anywhere.
fn bare(text: &str) -> String {
    let text = text.replace('\u{fb02}', "fl").replace('\u{fb01}', "fi");
    let text = text.replace('\u{fb00}', "ff").replace('\u{fb03}', "ffi");
    text.chars().filter(|c| c.is_alphanumeric()).collect()
}

const NONE: Sampling = Sampling {
    samples: 0,
    seed: 1,
};

/// A job from the text of its scenario, with a file beside it.
fn beside(
    value: &Value,
    file: Option<(&str, &[u8])>,
) -> (tempfile::TempDir, Result<OpenJob, String>) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("job.json");
    std::fs::write(&path, value.to_string()).expect("written");
    if let Some((name, bytes)) = file {
        std::fs::write(folder.path().join(name), bytes).expect("written");
    }
    let open = coatday::check(&path).map_err(|fault| fault.to_string());
    let open = open.and_then(|_| coatday::open(&path).map_err(|fault| fault.to_string()));
    (folder, open)
}

fn shipped(name: &str) -> Value {
    let text = std::fs::read_to_string(format!("scenarios/{name}.json")).expect("a scenario");
    serde_json::from_str(&text).expect("JSON")
}

/// What a general contractor must find stands on the first page, and the report has seven pages at most, in both systems.
#[test]
fn the_report_has_seven_pages_and_its_first_says_what_to_decide() {
    for name in ["late_floor", "winter_warehouse", "grind_or_etch"] {
        let open = coatday::open(format!("scenarios/{name}.json")).expect("a job");
        let log = (name == "late_floor").then(|| {
            let text = std::fs::read("scenarios/late_floor-readings.csv").expect("a log");
            coatday::read_log("log.csv", &text, open.scenario.slab.placed)
        });
        for (system, paper) in [(System::Us, Paper::Letter), (System::Si, Paper::A4)] {
            let made = open.scenario.gear_on;
            let made = if log.is_some() {
                date(2026, 11, 16)
            } else {
                made
            };
            let sampling = match log {
                Some(_) => Sampling::default(),
                None => NONE,
            };
            let report = coatday::report(&open, None, log.as_ref(), made, sampling, system);
            let report = report.expect("a report");
            let pages = pages(&pdf(&report, paper).expect("a PDF"));
            assert!(pages.len() <= 7, "{name}: {} pages", pages.len());
            let first = report.first.as_ref().expect("a first page");
            let shown = bare(&pages[0]);
            for part in &first.parts {
                for line in part.lines.iter().chain([&first.meaning, &first.release]) {
                    assert!(shown.contains(&bare(line)), "{name}: {line}\n{}", pages[0]);
                }
            }
            for name in ["Why", "What we need from you", "Your decision", "Next test"] {
                assert!(first.parts.iter().any(|part| part.name == name), "{name}");
            }
            // The letter says the same on one page and in lines for an e-mail.
            let letter = report.letter();
            assert_eq!(self::pages(&pdf(&letter, paper).expect("a PDF")).len(), 1);
            let text = coatday::writers::letter::letter(&letter);
            assert!(
                text.lines().all(|line| line.chars().count() <= 72),
                "{text}"
            );
            for line in first.parts.iter().flat_map(|part| &part.lines) {
                assert!(bare(&text).contains(&bare(line)), "{line}\n{text}");
            }
        }
    }
}

/// A hold comes before the date, on the page and in the letter.
#[test]
fn a_hold_comes_first() {
    let mut value = shipped("late_floor");
    value["walk"] = json!({
        "areas": [ { "name": "Hall", "substrate": "concrete", "size": "100 m2" } ],
        "findings": [ { "crack": { "area": "Hall", "length": "3 m", "width": "2 mm", "depth": "20 mm", "state": "moving" } } ],
        "method": "vacuum_grinding"
    });
    let (_folder, open) = beside(&value, None);
    let open = open.expect("a job");
    let report = coatday::report(&open, None, None, date(2026, 11, 16), NONE, System::Us);
    let report = report.expect("a report");
    let first = report.first.as_ref().expect("a first page");
    assert_eq!(first.date, "On hold");
    assert_eq!(first.parts[0].name, "Clear this first");
    assert!(
        first.parts[0].lines[0].starts_with("HOLD, "),
        "{:?}",
        first.parts[0]
    );
    let page = pages(&pdf(&report, Paper::Letter).expect("a PDF")).swap_remove(0);
    let letter = coatday::writers::letter::letter(&report);
    for text in [page, letter].map(|text| bare(&text)) {
        let hold = text.find("ClearthisfirstHOLD").expect("the hold");
        for later in ["Yourdecision", "WhyIttakes", "Whatweneed"] {
            assert!(text.find(later).is_none_or(|at| hold < at), "{text}");
        }
        assert!(text.contains("Whatweneed") && text.contains("Yourdecision"));
    }
}

/// Hostile text in the head breaks nothing, and the letter stays one page.
#[test]
fn the_head_is_shown_as_text() {
    let long = "Extraordinarily long ".repeat(12);
    let mut value = shipped("winter_warehouse");
    value["document"] = json!({ "company": "A", "address": "B", "prepared_by": "C",
        "prepared_for": "D", "job_address": "E" });
    value["setups"] = json!([ { "name": "Nothing", "gear": [] } ]);
    let (_folder, open) = beside(&value, None);
    let open = open.expect("a job");
    let report = coatday::report(&open, None, None, date(2026, 11, 16), NONE, System::Us);
    let mut report = report.expect("a report").letter();
    let head = &mut report.first.as_mut().expect("a first page").head;
    let given = [
        &mut head.company,
        &mut head.address,
        &mut head.prepared_by,
        &mut head.prepared_for,
        &mut head.job_address,
    ];
    assert_eq!(
        given.map(|text| text.take().unwrap_or_default()).concat(),
        "ABCDE"
    );
    for text in HOSTILE.iter().copied().chain([long.as_str()]) {
        let head = &mut report.first.as_mut().expect("a first page").head;
        head.company = Some(text.to_owned());
        head.address = Some(text.to_owned());
        head.prepared_by = Some(text.to_owned());
        head.prepared_for = Some(text.to_owned());
        head.job_address = Some(text.to_owned());
        let page = html(&report);
        let shown = text_of(&page);
        assert!(!page.contains("<script") && !page.contains("<b>7"));
        let letter = coatday::writers::letter::letter(&report);
        for c in ['\u{202e}', '\u{2066}', '\u{7}'] {
            assert!(!shown.contains(c) && !letter.contains(c), "{text}");
        }
        let file = pdf(&report, Paper::Letter).expect("a PDF");
        assert_eq!(pages(&file).len(), 1, "{text}");
    }
}

/// More than a page holds at the usual size is set smaller.
#[test]
fn a_full_first_page_stays_one_page() {
    let part = |n: usize| Part {
        name: "Why",
        lines: vec!["One line of a few words.".to_owned(); n],
    };
    let full = Document {
        first: Some(FirstPage {
            date: "No date".into(),
            parts: vec![part(8), part(8), part(8), part(8), part(8), part(6)],
            ..FirstPage::default()
        }),
        ..Document::default()
    };
    for paper in [Paper::Letter, Paper::A4] {
        assert_eq!(pages(&pdf(&full, paper).expect("a PDF")).len(), 1);
    }
}

/// A chart that does not fit goes to the next page, and what follows it fills this one.
#[test]
fn what_follows_a_chart_fills_the_page() {
    let lines = vec!["A line.".to_owned(); 30];
    let document = Document::new(
        "Store",
        vec![
            Block::List(lines),
            Block::figure("delay", waterfall("Thickness")),
            Block::text("After the chart."),
        ],
    );
    let pages = pages(&pdf(&document, Paper::Letter).expect("a PDF"));
    assert_eq!(pages.len(), 2);
    assert!(bare(&pages[0]).contains("Afterthechart"), "{}", pages[0]);
    assert!(bare(&pages[1]).contains("40dayslate"), "{}", pages[1]);
}

/// A logo is shown, or its fault says where it is and what to do.
#[test]
fn a_logo_is_shown_or_told_as_a_fault() {
    let svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"40\" height=\"20\"><rect width=\"40\" height=\"20\" fill=\"#123456\"/></svg>";
    let png = coatday::charts::png(svg, 1.0).expect("a picture");
    let mut value = shipped("winter_warehouse");
    value["setups"] = json!([ { "name": "Nothing", "gear": [] } ]);
    value["document"] = json!({ "logo": "logo.img" });
    for bytes in [png.as_slice(), svg.as_bytes()] {
        let (_folder, open) = beside(&value, Some(("logo.img", bytes)));
        let report = coatday::report(
            &open.expect("a job"),
            None,
            None,
            date(2026, 11, 16),
            NONE,
            System::Us,
        );
        let report = report.expect("a report");
        let page = html(&report);
        assert!(page.contains("<img alt=\"\" src=\"data:image/"), "no logo");
        assert!(text_of(&page).contains("Warehouse"));
        assert!(pdf(&report, Paper::Letter).is_ok());
    }
    let mut wide = png.clone();
    wide[16..20].copy_from_slice(&5000_u32.to_be_bytes());
    let large = vec![b' '; 1024 * 1024 + 1];
    let empty = svg.replace("#123456", "none");
    let cases: [(Option<&[u8]>, &str); 6] = [
        (None, "there is no such file or folder"),
        (Some(b"GIF89a"), "is no PNG, JPEG or SVG picture"),
        (Some(&png[..40]), "is broken or empty"),
        (Some(empty.as_bytes()), "is broken or empty"),
        (Some(&wide), "more than 4,000 pixels"),
        (Some(&large), "larger than 1 MB"),
    ];
    for (bytes, wanted) in cases {
        let file = bytes.map(|bytes| ("logo.img", bytes));
        let (_folder, open) = beside(&value, file);
        let fault = open.expect_err("a fault");
        assert!(fault.contains("job.json: document.logo: "), "{fault}");
        assert!(
            fault.contains("logo.img") && fault.contains(wanted),
            "{fault}"
        );
    }
}

/// The units decide the paper, unless it is named; a letter is a PDF and a text.
#[test]
fn the_letter_is_a_pdf_and_a_text_on_the_paper_of_the_units() {
    let folder = tempfile::tempdir().expect("a folder");
    for (more, points) in [
        (&["--units", "us"][..], "612 792"),
        (&["--units", "si"], "595.28 841.89"),
        (&["--units", "si", "--paper", "letter"], "612 792"),
    ] {
        let output = assert_cmd::Command::cargo_bin("coatday")
            .expect("the program")
            .args([
                "report",
                "scenarios/summer_store.json",
                "--letter",
                "--samples",
                "0",
            ])
            .args(["--date", "2027-06-01", "--out"])
            .arg(folder.path())
            .args(more)
            .output()
            .expect("a run");
        assert!(output.status.success(), "{output:?}");
        let read = |name: &str| std::fs::read(folder.path().join(name)).expect(name);
        let file = read("summer_store-letter.pdf");
        let paper = format!("/MediaBox[0 0 {points}]");
        assert!(String::from_utf8_lossy(&file).contains(&paper), "{more:?}");
        let text = String::from_utf8(read("summer_store-letter.txt")).expect("text");
        assert!(
            text.starts_with("Job: Shop floor, humid summer\n"),
            "{text}"
        );
    }
    assert!(!folder.path().join("summer_store-report.html").exists());
}
