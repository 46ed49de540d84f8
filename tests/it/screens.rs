//! The first screen of every command at 60, 80 and 120 columns in both unit systems: no line is longer than the screen, no word is broken,
//! no number has more than three decimals, no unit is of the other system.

use coatday::units::System;
use coatday::{Answer, Document, OpenJob, Sampling, read_log};
use jiff::civil::date;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

const WIDTHS: [u16; 3] = [60, 80, 120];
const SYSTEMS: [(System, &str); 2] = [(System::Us, "us"), (System::Si, "si")];
/// Few cases: the words are looked at, not the odds.
const FEW: Sampling = Sampling {
    samples: 12,
    seed: 1,
};
const LOG: &str = "\
time,place,method,depth,value,standard_deviation,slab_temperature,air_temperature,air_relative_humidity,exposure,conditioned,ground_side,dish_area,concrete,note
2026-11-06 10:00,Bay 1,probe,40 mm,92.6 %,,66 degF,68 degF,45 %,26 h,3 days,,,,
2026-11-06 10:20,Office,probe,40 mm,94.1 %,,66 degF,68 degF,45 %,26 h,3 days,,,,
2026-11-06 10:40,Bay 3,probe,2 mm,60 %,,66 degF,68 degF,45 %,2 h,3 days,,,,
";

/// A job that is computed quickly: steady weather, prices, gear to choose from, rain, a promise, a walk.
fn job() -> Value {
    json!({
        "name": "Parts store",
        "site": { "weather": { "constant": { "temperature": "10 degC", "relative_humidity": "70 %", "wind_speed": "3 m/s" } } },
        "slab": { "area": "100 m2", "thickness": "110 mm", "water_cement_ratio": 0.5, "placed": "2026-10-05",
                  "finish": "steel_trowelled", "underside": "sealed",
                  "wettings": [ { "date": "2026-10-14", "kind": "rain", "lasts": "1 day" } ] },
        "room": { "height": "4 m" },
        "gear_on": "2026-10-19",
        "needed_by": "2026-12-20",
        "give_up_after": "120 days",
        "targets": [ { "relative_humidity_at_depth": { "limit": "90 %" } } ],
        "promised": { "name": "as bid", "thickness": "100 mm", "finish": "ground" },
        "prices": { "electricity": "0.15 $/kWh", "propane": "2.6 $/gal", "day_of_delay": "900 $/day" },
        "plan": { "on_hand": [
            { "gear": { "fan": { "class": "fan_axial_small", "count": 2, "rent": ["10 $/day"], "delivery": "20 $" } } },
            { "gear": { "heater": { "class": "electric_15kw", "thermostat": { "setpoint": "20 degC" }, "rent": ["60 $/day"] } } }
        ] },
        "setups": [
            { "name": "Propane heat and one dehumidifier", "gear": [
                { "heater": { "class": "indirect_fired_50kw", "fuel": "propane", "thermostat": { "setpoint": "22 degC" }, "rent": ["85 $/day"] } },
                { "dehumidifier": { "class": "low_grain_large", "rent": ["55 $/day"] } } ] },
            { "name": "Direct-fired heat, fans", "gear": [
                { "heater": { "class": "direct_fired_60kw", "fuel": "propane", "thermostat": { "setpoint": "20 degC" }, "rent": ["45 $/day"] } },
                { "fan": { "class": "fan_axial_small", "count": 4 } } ] },
            { "name": "Nothing", "gear": [] }
        ]
    })
}

struct Place {
    folder: TempDir,
}

impl Place {
    fn new() -> Self {
        let folder = TempDir::new().expect("a folder");
        let text = serde_json::to_string_pretty(&job()).expect("json");
        std::fs::write(folder.path().join("job.json"), text).expect("written");
        std::fs::write(folder.path().join("job-readings.csv"), LOG).expect("written");
        Self { folder }
    }

    fn open(&self) -> OpenJob {
        coatday::open(self.folder.path().join("job.json")).expect("a sound job")
    }

    /// What a quick command prints at a width: the result, then cautions and notes.
    fn run(&self, arguments: &[&str], width: u16, system: &str) -> String {
        let output = Command::new(env!("CARGO_BIN_EXE_coatday"))
            .args(arguments)
            .args(["--units", system])
            .current_dir(self.folder.path())
            .env("COLUMNS", width.to_string())
            .env("NO_COLOR", "1")
            .output()
            .expect("runs");
        let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).expect("text");
        format!("{}{}", text(&output.stdout), text(&output.stderr))
    }
}

/// What a document shows at a width without `-v`.
fn screen(document: &Document, width: u16) -> String {
    let lines = document.lines(width, false);
    let mut out = lines.result + "\n";
    for line in lines.cautions.iter().chain(&lines.notes) {
        out += line;
        out.push('\n');
    }
    out
}

/// The words of a text without the marks behind them.
fn words(text: &str) -> BTreeSet<String> {
    let bare = |word: &str| word.trim_end_matches([':', '.', ';', ',']).to_owned();
    text.split([' ', '\n'])
        .map(bare)
        .filter(|word| !word.is_empty() && !word.starts_with('─'))
        .collect()
}

/// What holds of every screen.
fn holds(name: &str, system: System, width: u16, text: &str, wide: &str) {
    let place = format!("{name}, {system:?}, {width} columns");
    for line in text.lines() {
        let length = textwrap_width(line);
        assert!(length <= usize::from(width), "{place}: {length}: {line}");
    }
    let known = words(&format!("{wide} A wider screen also shows"));
    let broken: Vec<String> = words(text).difference(&known).cloned().collect();
    assert!(broken.is_empty(), "{place}: {broken:?}\n{text}");
    // The number of a regulation is not a quantity.
    let quantities = text.replace("1926.1153", "");
    let digits = quantities.split(|c: char| !c.is_ascii_digit() && c != '.');
    for number in digits {
        let decimals = number.split_once('.').map_or(0, |(_, after)| after.len());
        // A value that was given in the other system is shown to four figures.
        let figures = number.trim_start_matches(['0', '.']).len();
        assert!(decimals <= 3 || figures <= 4, "{place}: {number}");
    }
    for never in [
        "degF",
        "degC",
        " 1 days",
        "\u{a0}1\u{a0}days",
        "NaN",
        "inf",
        "-0 ",
    ] {
        let found = text.lines().find(|line| line.contains(never));
        assert!(found.is_none(), "{place}: {never}: {found:?}");
    }
    let text = crate::plain(text);
    let foreign: &[&str] = match system {
        System::Si => &[
            "°F", " lb", " gal", " ft", "pint", "Btu", " therm ", " therms", "gr/lb", "cfm",
            " in (",
        ],
        _ => &[
            "°C", " kg", " m2", " mm", "L/day", "g/kg", "m3/h", " K ", "kWh/kg",
        ],
    };
    for unit in foreign {
        let found = text
            .find(unit)
            .map(|at| text[..at].chars().rev().take(60).collect::<String>());
        let found = found.map(|before| before.chars().rev().collect::<String>());
        assert!(found.is_none(), "{place}: {unit}: behind {found:?}");
    }
}

/// Columns that a line takes.
fn textwrap_width(line: &str) -> usize {
    line.chars().count()
}

/// All screens of a command in one text, each held against what holds of every screen.
fn all(name: &str, show: impl Fn(System, &str, u16) -> String) -> String {
    let mut out = String::new();
    for (system, word) in SYSTEMS {
        let wide = show(system, word, 2000);
        for width in WIDTHS {
            let text = show(system, word, width);
            holds(name, system, width, &text, &wide);
            out += &format!("==== {word}, {width} columns\n{}\n", crate::plain(&text));
        }
    }
    out
}

fn answers(name: &str, answer: &impl Answer) -> String {
    all(name, |system, _, width| {
        screen(&answer.document(system), width)
    })
}

#[test]
fn regress_screens_of_compare() {
    let open = Place::new().open();
    let found = coatday::compare(&open, FEW);
    insta::assert_snapshot!("compare", answers("compare", &found));
}

#[test]
fn regress_screens_of_plan() {
    let open = Place::new().open();
    let found = coatday::plan(&open, FEW).expect("a plan");
    insta::assert_snapshot!("plan", answers("plan", &found));
}

#[test]
fn regress_screens_of_size() {
    let open = Place::new().open();
    let found = coatday::size(&open).expect("sizes");
    insta::assert_snapshot!("size", answers("size", &found));
}

#[test]
fn regress_screens_of_explain() {
    let open = Place::new().open();
    let found = coatday::explain(&open, None, None, FEW).expect("causes");
    insta::assert_snapshot!("explain", answers("explain", &found));
}

#[test]
fn regress_screens_of_forecast() {
    let open = Place::new().open();
    let log = read_log("log.csv", LOG.as_bytes(), open.scenario.slab.placed);
    let now = date(2026, 11, 7).at(12, 0, 0, 0);
    let open = open.with_readings(&log, now);
    let found = coatday::forecast(&open, None, &log, now, 0.7, FEW).expect("a forecast");
    insta::assert_snapshot!("forecast", answers("forecast", &found));
}

#[test]
fn regress_screens_of_the_report() {
    let open = Place::new().open();
    let made = date(2026, 11, 7);
    let document =
        |system| coatday::report(&open, None, None, made, FEW, system).expect("a report");
    let both = [document(System::Us), document(System::Si)];
    let text = all("report", |system, _, width| {
        screen(&both[usize::from(system == System::Si)], width)
    });
    insta::assert_snapshot!("report", text);
}

#[test]
fn regress_screens_of_prep() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/grind_or_etch.json");
    let open = coatday::open(path).expect("a sound job");
    let found = coatday::prep(&open, FEW).expect("prepared");
    insta::assert_snapshot!("prep", answers("prep", &found));
}

#[test]
fn regress_screens_of_quick_commands() {
    let place = Place::new();
    for (name, arguments) in [
        ("check", &["check", "job.json"][..]),
        (
            "readings",
            &["readings", "job.json", "--at", "2026-11-07 12:00"],
        ),
        (
            "today",
            &[
                "today",
                "job.json",
                "--at",
                "2026-11-07 12:00",
                "--air-temperature",
                "61 F",
                "--air-relative-humidity",
                "71 %",
                "--slab-temperature",
                "55 F",
            ],
        ),
        ("weather", &["weather", "job.json", "--no-charts"]),
        (
            "air",
            &["air", "--dry-bulb", "70 F", "--relative-humidity", "50 %"],
        ),
    ] {
        let text = all(name, |_, word, width| place.run(arguments, width, word));
        insta::assert_snapshot!(name, text);
    }
}

/// The first screen of the main job: finding, table and the notes that matter most.
#[test]
fn regress_the_first_screen_of_compare_has_25_lines() {
    for scenario in [
        "winter_warehouse",
        "summer_store",
        "late_floor",
        "bare_ground",
    ] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR"));
        let open = coatday::open(path.join(format!("scenarios/{scenario}.json"))).expect("sound");
        let found = coatday::compare(&open, FEW);
        for (system, _) in SYSTEMS {
            let text = screen(&found.document(system), 80);
            let lines = text.lines().count();
            assert!(lines <= 25, "{scenario}: {lines} lines\n{text}");
            let wide = screen(&found.document(system), 2000);
            for width in WIDTHS {
                let text = screen(&found.document(system), width);
                holds(scenario, system, width, &text, &wide);
            }
        }
    }
}

fn wild(text: &str) -> Vec<char> {
    let wild = |c: &char| {
        (c.is_control() && *c != '\n')
            || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
    };
    text.chars().filter(wild).collect()
}

/// Nothing that turns the line around gets through a name: it is shown escaped.
#[test]
fn regress_names_cannot_turn_the_line_around() {
    let mut job = job();
    job["setups"][0]["name"] = json!("Heat\u{202e}\u{2066}x");
    let place = Place::new();
    let text = serde_json::to_string_pretty(&job).expect("json");
    std::fs::write(place.folder.path().join("job.json"), text).expect("written");
    let open = place.open();
    let none = Sampling {
        samples: 0,
        seed: 1,
    };
    let found = coatday::compare(&open, none);
    let text = screen(&found.document(System::Us), 80);
    assert_eq!(wild(&text), [], "{text}");
    assert!(text.contains("Heat\\u{202e}"), "{text}");
}

/// A name with control characters is refused, and the refusal does not print them.
#[test]
fn regress_names_cannot_move_the_cursor() {
    let mut job = job();
    job["name"] = json!("A\u{202e}gnp\u{1b}[2J");
    let place = Place::new();
    let text = serde_json::to_string_pretty(&job).expect("json");
    std::fs::write(place.folder.path().join("job.json"), text).expect("written");
    let text = place.run(&["check", "job.json"], 80, "us");
    assert!(text.contains("control characters"), "{text}");
    assert_eq!(wild(&text), [], "{text}");
}
