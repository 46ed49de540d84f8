//! Tests of the `cli` room: what a person or a program sees of the commands.
//!
//! Exact texts guard against change and were read by people before they were put here. Nothing here checks physics.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use tempfile::TempDir;

/// The longest any bad input may take.
const PATIENCE: Duration = Duration::from_secs(20);

/// A folder of its own with the program run in it.
struct Place(TempDir);

/// What a run gave.
struct Ran {
    code: i32,
    out: String,
    err: String,
}

impl Place {
    fn new() -> Self {
        Self(TempDir::new().unwrap())
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn write(&self, name: &str, text: impl AsRef<[u8]>) {
        fs::write(self.path(name), text).unwrap();
    }

    fn scenario(&self, name: &str, scenario: &Value) {
        self.write(name, serde_json::to_string_pretty(scenario).unwrap());
    }

    fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_coatday"));
        command
            .args(arguments)
            .current_dir(self.0.path())
            .env("COLUMNS", "1000")
            .env("NO_COLOR", "1");
        command
    }

    fn run(&self, arguments: &[&str]) -> Ran {
        let started = Instant::now();
        let output = assert_cmd::Command::from_std(self.command(arguments))
            .timeout(PATIENCE)
            .output()
            .unwrap();
        assert!(started.elapsed() < PATIENCE, "{arguments:?} hangs");
        let ran = Ran {
            code: output.status.code().unwrap_or(-1),
            out: crate::plain(&output.stdout),
            err: crate::plain(&output.stderr),
        };
        assert!(
            (0..=3).contains(&ran.code) && !ran.err.contains("panicked"),
            "{arguments:?}: {} {}",
            ran.code,
            ran.err
        );
        ran
    }

    /// A run that must end as a fault, with nothing on standard output.
    fn fault(&self, arguments: &[&str]) -> String {
        let ran = self.run(arguments);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{}", ran.err);
        ran.err
    }

    fn compare_json(&self, name: &str) -> (i32, Value) {
        let ran = self.run(&["compare", name, "--json", "--no-charts"]);
        assert_eq!(ran.err, "", "notes of a JSON run stand in the JSON");
        (ran.code, serde_json::from_str(&ran.out).unwrap())
    }

    fn files(&self, folder: &str) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(self.path(folder))
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }
}

/// A small job that is computed at once: constant weather, twenty days.
fn quick() -> Value {
    json!({
        "name": "Quick",
        "site": {"weather": {"constant": {"temperature": "15 degC", "relative_humidity": "50 %", "wind_speed": "3 m/s"}}},
        "slab": {"area": "100 m2", "thickness": "100 mm", "placed": "2026-09-01"},
        "room": {"height": "3 m"},
        "gear_on": "2026-10-01",
        "give_up_after": "20 days",
        "targets": [{"relative_humidity_at_depth": {"limit": "95 %"}}],
        "setups": [{"name": "Plain", "gear": []}]
    })
}

/// The job with one value changed.
fn with(pointer: &str, value: Value) -> Value {
    let mut scenario = quick();
    put(&mut scenario, pointer, value);
    scenario
}

fn put(scenario: &mut Value, pointer: &str, value: Value) {
    let (parent, key) = pointer.rsplit_once('/').unwrap();
    let parent = scenario.pointer_mut(parent).unwrap();
    if let Ok(index) = key.parse::<usize>() {
        parent[index] = value;
    } else {
        parent[key] = value;
    }
}

/// A scenario may come down a pipe: its answer and its faults are those of the file.
#[test]
fn a_scenario_comes_from_standard_input() {
    let place = Place::new();
    place.scenario("quick.json", &quick());
    let piped = |text: &str, arguments: &[&str]| {
        let output = assert_cmd::Command::from_std(place.command(arguments))
            .write_stdin(text)
            .timeout(PATIENCE)
            .output()
            .unwrap();
        let said = (crate::plain(&output.stdout), crate::plain(&output.stderr));
        (output.status.code(), said)
    };
    let text = fs::read_to_string(place.path("quick.json")).unwrap();
    let of = |name| ["compare", name, "--json", "--no-charts", "--samples", "0"];
    let (code, (out, err)) = piped(&text, &of("-"));
    let file = place.run(&of("quick.json"));
    assert_eq!((code, out, err), (Some(file.code), file.out, String::new()));
    let reading = [
        "readings", "-", "add", "--place", "A", "--method", "probe", "--depth", "2 in", "--value",
        "84 %",
    ];
    let (code, (_, err)) = piped(&text, &reading);
    assert!(
        code == Some(0) && place.path("scenario-readings.csv").exists(),
        "{err}"
    );
    fs::remove_file(place.path("scenario-readings.csv")).unwrap();
    let (code, (_, err)) = piped("{", &["check", "-"]);
    assert!(code == Some(2) && err.starts_with("-:1:"), "{err}");
    let (code, _) = piped(
        &text,
        &["compare", "-", "--samples", "0", "--out", "charts"],
    );
    assert_eq!(code, Some(file.code));
    let names = place.files("charts");
    assert!(
        !names.is_empty() && names.iter().all(|name| name.starts_with("scenario-")),
        "{names:?}"
    );
}

/// The heat that outside air takes is that of the months in which it may be let in: with a day to keep less than without one.
#[test]
fn the_heat_of_the_outside_air_is_that_of_the_drying() {
    let heat = |needed_by: Option<&str>| {
        let place = Place::new();
        let mut job = quick();
        job["give_up_after"] = json!("300 days");
        job["site"]["weather"]["constant"]["temperature"] = json!("2 degC");
        if let Some(day) = needed_by {
            job["needed_by"] = json!(day);
        }
        place.scenario("job.json", &job);
        assert_eq!(
            place
                .run(&["weather", "job.json", "--out", "charts", "--units", "si"])
                .code,
            0
        );
        let name = place
            .files("charts")
            .into_iter()
            .find(|name| name.ends_with("-outside-air.svg"));
        let chart = fs::read_to_string(place.path("charts").join(name.expect("a chart"))).unwrap();
        let chart = crate::plain(chart);
        let said = chart.split("these months takes").nth(1).expect("the heat");
        let number: String = said
            .chars()
            .take_while(|c| *c != 'k')
            .filter(|c| c.is_ascii_digit() || *c == '.')
            .collect();
        number.parse::<f64>().expect("a number")
    };
    // October and November of the ten months from October to July.
    let (short, long) = (heat(Some("2026-11-20")), heat(None));
    assert!((short / long - 61.0 / 300.0).abs() < 0.02, "{short} {long}");
}

/// Too few cases for a range are told, whichever command is asked for them.
#[test]
fn too_few_samples_are_told() {
    let place = Place::new();
    place.scenario("job.json", &quick());
    for command in ["compare", "explain"] {
        let said = |samples: &str| {
            place
                .run(&[command, "job.json", "--no-charts", "--samples", samples])
                .err
        };
        assert!(
            said("4").contains("--samples 4 is too few for a range"),
            "{command}"
        );
        for enough in ["0", "10"] {
            assert!(
                !said(enough).contains("too few for a range"),
                "{command} {enough}"
            );
        }
    }
}

/// Charts of a load are drawn for the first eight setups, which is said, and for none without a day of drying.
#[test]
fn load_charts_are_few_and_have_days() {
    let place = Place::new();
    let mut job = quick();
    job["targets"] = json!([{"relative_humidity_at_depth": {"limit": "60 %"}}]);
    let setup = |k: usize| json!({ "name": format!("Setup {k}"), "gear": [] });
    job["setups"] = (1..=9).map(setup).collect();
    place.scenario("nine.json", &job);
    job["setups"] = (1..=8).map(setup).collect();
    place.scenario("eight.json", &job);
    job["targets"] = json!([{"relative_humidity_at_depth": {"limit": "99 %"}}]);
    place.scenario("dry.json", &job);
    let loads = |name: &str| {
        let ran = place.run(&["size", &format!("{name}.json"), "-v", "--out", name]);
        let of = |what: &str| {
            place
                .files(name)
                .iter()
                .filter(|file| file.contains(what))
                .count()
        };
        (
            ran.out.contains("Charts of the first 8 setups only."),
            of("-load-") / 4,
            of("-path-") / 4,
        )
    };
    assert_eq!(loads("nine"), (true, 8, 8));
    assert_eq!(loads("eight"), (false, 8, 8));
    // No folder is made where nothing is drawn.
    fs::create_dir_all(place.path("dry")).unwrap();
    assert_eq!(loads("dry"), (false, 0, 0));
}

/// A letter has room for three cautions, and says how many more there are.
#[test]
fn a_letter_counts_the_cautions_that_it_leaves_out() {
    let place = Place::new();
    let job = concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios/grind_or_etch.json");
    let asked = [
        "report",
        job,
        "--letter",
        "--samples",
        "0",
        "--date",
        "2026-11-16",
        "--out",
        "letter",
    ];
    place.run(&asked);
    let letter = fs::read_to_string(place.path("letter").join("grind_or_etch-letter.txt")).unwrap();
    let safety = letter.split("Safety:").nth(1).expect("cautions");
    let safety = safety.split("\n\n").next().unwrap_or_default();
    assert_eq!(safety.matches("\n- ").count(), 4, "{safety}");
    assert!(
        safety.trim_end().ends_with("more. See \"Cautions\"."),
        "{safety}"
    );
}

/// A pipe in place of a log has no other end to wait for: it is refused before it is opened.
#[cfg(unix)]
#[test]
fn a_pipe_is_no_log() {
    let place = Place::new();
    place.scenario("quick.json", &quick());
    let made = Command::new("mkfifo").arg(place.path("log.csv")).status();
    assert!(made.is_ok_and(|status| status.success()));
    for more in [
        &[][..],
        &[
            "add", "--place", "A", "--method", "probe", "--depth", "2 in", "--value", "84 %",
        ],
    ] {
        let mut arguments = vec!["readings", "quick.json", "--log", "log.csv"];
        arguments.extend(more);
        let said = place.fault(&arguments);
        assert!(said.contains("log.csv is not a file"), "{said}");
    }
}

fn without_trailing_blanks(text: &str) -> String {
    text.lines()
        .map(|line| line.trim_end().to_owned() + "\n")
        .collect()
}

#[test]
fn regress_help_of_the_program() {
    let ran = Place::new().run(&["--help"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    insta::assert_snapshot!(without_trailing_blanks(&ran.out), @r#"
    Says when a concrete slab will be dry enough to coat, and which drying gear gets it there by the day
    it is needed

    Usage: coatday [OPTIONS] <COMMAND>

    Commands:
      new          Write a starter scenario to fill in
      check        Read a scenario, list every fault with its place, and show how each value was read
      compare      Rank the setups of a scenario by days, with date, chance, cost and energy, and charts
      plan         Find the cheapest gear on hand that makes the date with the wanted chance
      explain      Say where the days went, against what was promised, and what would buy days back
      report       Write a report for the people who wait for the floor: one HTML file and one PDF
      size         Check whether the dehumidifiers of each setup are big enough for the load
      readings     List the moisture readings, say which of them count, and add to them
      forecast     Give the date after the moisture readings, its range, and when to test next
      today        Say whether to coat now: dew point, air, slab and tests, rule by rule
      prep         Go from the walk over the floor to repairs, shopping list, calendar and coating day
      weather      Show when outside air is drier than the room, by month and hour, and what warming it
                   costs
      air          Compute moist air from any two known quantities, such as the dew point
      serve        Open the whole job in a browser on this computer: form, answer, walk, readings,
                   today, report
      pocket       Write one HTML file for the phone that works without a network
      schema       Print the JSON Schema of the scenario
      completions  Print completions for a shell
      man          Print the manual page of the program or of one command
      help         Print the help of a command or a topic

    Options:
          --units <UNITS>
              Units of tables, charts and starter scenarios

              Possible values:
              - us: Inches, °F, pounds
              - si: Millimeters, °C, kilograms

              [default: us]

          --color <COLOR>
              Bold type in the terminal

              Possible values:
              - auto:   In a terminal, unless `NO_COLOR` is set
              - always: Always
              - never:  Never

              [default: auto]

      -q, --quiet
              No notes: only results, cautions and faults

      -v, --verbose
              More about how the result came about

      -h, --help
              Print help (see a summary with '-h')

      -V, --version
              Print version

    Topics (coatday help TOPIC):
      scenario    The file that describes a job, with every key
      units       Quantities and dates: how they are written
      targets     When a floor counts as dry: targets, air, rain, washing
      weather     Outside air: the ways to give it
      gear        Machines, openings and the room: how they are described
      power       Site power: do the machines fit the circuits
      verdict     How to read the answer: columns, date, late, holds
      odds        Odds: how sure a date is
      plan        The cheapest gear that makes the date
      decide      Dry, seal or wait: what else makes the date
      walk        The walk over the floor, the work and the coating day
      readings    The log of moisture tests
      today       The coating day: go, wait or no
      explain     Where the days go, and what buys them back
      report      The report for the people who wait
      json        Results for other programs
      exit-codes  Exit codes for scripts
      trust       How it is checked, with figures
      limits      What is not supported, and what is left out
      safety      Cautions, to read before the work
      all         All of them

    First steps: coatday new job.json, fill it in, coatday check job.json, coatday compare job.json.

    Results are estimates. Only moisture tests and the person responsible release a floor, never this
    program. Local codes, product data sheets and licensed trades come first.
    "#);
}

#[test]
fn regress_help_of_compare() {
    let ran = Place::new().run(&["compare", "--help"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    insta::assert_snapshot!(without_trailing_blanks(&ran.out), @r#"
    Rank the setups of a scenario by days, with date, chance, cost and energy, and charts

    Usage: coatday compare [OPTIONS] <SCENARIO>

    Arguments:
      <SCENARIO>
              The scenario, a JSON file; - is standard input

    Options:
          --samples <N>
              Simulated cases behind the range and the chance; 0 for none

              [default: 32]

          --seed <N>
              Seed of the random draws: the same seed gives the same answer

              [default: 1]

          --json
              Results as one JSON object on standard output

          --out <FOLDER>
              Folder for the charts (SVG and PNG); made if need be

              [default: plots]

          --no-charts
              No charts

          --units <UNITS>
              Units of tables, charts and starter scenarios

              Possible values:
              - us: Inches, °F, pounds
              - si: Millimeters, °C, kilograms

              [default: us]

          --color <COLOR>
              Bold type in the terminal

              Possible values:
              - auto:   In a terminal, unless `NO_COLOR` is set
              - always: Always
              - never:  Never

              [default: auto]

      -q, --quiet
              No notes: only results, cautions and faults

      -v, --verbose
              More about how the result came about

      -h, --help
              Print help (see a summary with '-h')
    "#);
}

#[test]
fn usage_faults_end_in_two_on_standard_error() {
    let place = Place::new();
    for arguments in [
        &[][..],
        &["chek"],
        &["check"],
        &["compare", "a.json", "--out", "x", "--no-charts"],
        &["compare", "a.json", "--units", "imperial"],
        &["check", "a.json", "--quiet", "--verbose"],
        &["completions"],
        &["completions", "dos"],
        &["man", "chek"],
        &["new", "a.json", "--area", "5 kg"],
        &["new", "a.json", "--area", "-5"],
        &["new", "a.json", "--placed", "5.10.2026"],
        &["new", "a.json", "--placed", "2026-02-30"],
    ] {
        assert!(place.fault(arguments).len() > 20, "{arguments:?}");
    }
    assert_eq!(place.files(".").len(), 0);
}

#[test]
fn all_faults_at_once_each_with_its_place() {
    let place = Place::new();
    place.write(
        "job.json",
        r#"{
  "name": "Three faults",
  "site": { "weather": { "constant": { "temperature": "59 degF", "relative_humidity": "50 %" } } },
  "slab": { "area": "1000 lb", "thickness": "-5 in", "placed": "2026-09-01" },
  "room": { "hight": "12 ft" },
  "gear_on": "2026-10-01",
  "setups": []
}
"#,
    );
    insta::assert_snapshot!(place.fault(&["check", "job.json"]), @r#"
    job.json:4:21: slab.area
      "lb" is a unit of mass, but an area is needed here.
      4 |   "slab": { "area": "1000 lb", "thickness": "-5 in", "placed": "2026-09-01" },
        |                     ^^^^^^^^^
      Write an area as text with its unit, for example "5000 ft2" or "450 m2". Units: ft2, yd2, m2.

    job.json:4:45: slab.thickness
      This is too low.
      4 |   "slab": { "area": "1000 lb", "thickness": "-5 in", "placed": "2026-09-01" },
        |                                             ^^^^^^^
      Write "0.788 in" or more: thinner is a topping, thicker is mass concrete.

    job.json:5:13: room.hight
      "hight" is not a key here.
      5 |   "room": { "hight": "12 ft" },
        |             ^^^^^^^
      Did you mean "height"?

    job.json:7:13: setups
      This list is empty.
      7 |   "setups": []
        |             ^^
      Give at least one entry, or remove the key if it may be left out.

    4 faults in job.json.
    "#);
    assert_eq!(
        place.fault(&["check", "job.json"]),
        place.fault(&["compare", "job.json"])
    );
    assert_eq!(
        place.files("."),
        ["job.json"],
        "no folder for charts is made"
    );
}

#[test]
fn a_file_cut_short_says_where() {
    let place = Place::new();
    place.write("job.json", "{\n  \"name\": \"Cut\",\n  \"site\": {");
    insta::assert_snapshot!(place.fault(&["check", "job.json"]), @r#"
    job.json:3:12
      The file ends before the "{" from line 3 is closed.
      3 |   "site": {
        |            ^
      Close it, or fetch the whole file again if it was cut short.

    1 fault in job.json.
    "#);
}

#[test]
fn files_that_cannot_be_read_say_what_to_do() {
    let place = Place::new();
    fs::create_dir(place.path("folder.json")).unwrap();
    place.scenario(
        "job.json",
        &with("/site/weather", json!({"hourly_csv": {"file": "none.csv"}})),
    );
    let all = [
        place.fault(&["check", "none.json"]),
        place.fault(&["compare", "none.json"]),
        place.fault(&["check", "folder.json"]),
        place.fault(&["check", "job.json/x.json"]),
        place.fault(&["compare", "job.json"]),
    ];
    insta::assert_snapshot!(all.concat(), @r#"
    none.json cannot be read: there is no such file or folder. Check the name and the folder. To start a scenario: coatday new none.json
    none.json cannot be read: there is no such file or folder. Check the name and the folder. To start a scenario: coatday new none.json
    folder.json cannot be read: it is a folder. Name a file.
    job.json/x.json cannot be read: a part of its path is a file, not a folder. Check the path.
    job.json: site.weather: none.csv cannot be read: there is no such file or folder. Check the name and the folder. A weather file must lie beside the scenario.
    "#);
}

#[test]
fn weather_that_ends_too_early_says_so() {
    let place = Place::new();
    let rows: Vec<String> = (0..48)
        .map(|h| format!("2026-09-{:02} {:02}:00,15,8", 1 + h / 24, h % 24))
        .collect();
    place.write(
        "two_days.csv",
        format!("time,temperature_c,dew_point_c\n{}\n", rows.join("\n")),
    );
    place.scenario(
        "job.json",
        &with(
            "/site/weather",
            json!({"hourly_csv": {"file": "two_days.csv"}}),
        ),
    );
    insta::assert_snapshot!(place.fault(&["compare", "job.json"]), @"two_days.csv: The weather ends on 2026-09-02T23:00:00 but the season needs it until 2026-10-22T00:00:00. Add the rows after, end the season earlier, or use a typical year or monthly normals.");
}

#[test]
fn hostile_files_end_in_a_fault() {
    let place = Place::new();
    let mut utf16 = vec![0xff, 0xfe];
    utf16.extend("{}".encode_utf16().flat_map(u16::to_le_bytes));
    for (name, bytes) in [
        ("empty", Vec::new()),
        ("zeros", vec![0; 10_000]),
        ("bytes", (0..=255).cycle().take(100_000).collect()),
        ("utf16", utf16),
        ("null", b"null".to_vec()),
        ("list", b"[]".to_vec()),
        ("object", b"{}".to_vec()),
        ("deep", vec![b'['; 1_900_000]),
        ("deeper", b"{\"a\":".repeat(300_000)),
        ("brackets", vec![b'['; 50_000_000]),
        ("beyond", vec![b' '; 64 * 1024 * 1024 + 1]),
        ("huge number", br#"{"name": 1e999}"#.to_vec()),
        ("not a number", br#"{"name": NaN}"#.to_vec()),
    ] {
        place.write("job.json", &bytes);
        let err = place.fault(&["check", "job.json"]);
        assert!(err.starts_with("job.json"), "{name}: {err}");
        assert!(err.len() < 20_000, "{name}: {} bytes of faults", err.len());
    }
}

#[cfg(target_os = "linux")]
#[test]
fn an_endless_device_ends_in_a_fault() {
    let place = Place::new();
    assert!(place.fault(&["check", "/dev/zero"]).contains("64 MB"));
    place.scenario(
        "job.json",
        &with("/site/weather", json!({"epw": {"file": "/dev/zero"}})),
    );
    assert!(place.fault(&["check", "job.json"]).contains("64 MB"));
}

#[test]
fn exit_codes_say_whether_a_setup_makes_it() {
    let place = Place::new();
    place.scenario("dry.json", &quick());
    assert_eq!(place.compare_json("dry.json").0, 0);

    place.scenario(
        "wet.json",
        &with("/targets/0/relative_humidity_at_depth/limit", json!("40 %")),
    );
    assert_eq!(place.compare_json("wet.json").0, 1);

    // Dry, but not in time.
    let mut late = with("/targets/0/relative_humidity_at_depth/limit", json!("91 %"));
    late["needed_by"] = json!("2026-10-02");
    place.scenario("late.json", &late);
    let (code, object) = place.compare_json("late.json");
    assert!(object["setups"][0]["days_to_target"].as_f64().unwrap() > 2.0);
    assert_eq!(object["setups"][0]["meets_needed_by"], json!(false));
    assert_eq!(code, 1);
}

/// Every value that is there has this type.
fn typed(object: &Value, key: &str, types: &[&str]) {
    let value = object.get(key).unwrap_or_else(|| panic!("no {key}"));
    let name = match value {
        Value::Null => "null",
        Value::Bool(_) => "bool",
        Value::Number(n) => {
            assert!(n.as_f64().unwrap().is_finite(), "{key}");
            "number"
        }
        Value::String(_) => "text",
        Value::Array(_) => "list",
        Value::Object(_) => "object",
    };
    assert!(types.contains(&name), "{key} is {name}");
}

#[test]
fn json_of_compare_keeps_its_keys_and_types() {
    let place = Place::new();
    let mut scenario = with("/targets/0/relative_humidity_at_depth/limit", json!("91 %"));
    scenario["needed_by"] = json!("2026-10-20");
    scenario["setups"] = json!([
        {"name": "Plain", "gear": []},
        {"name": "Heat \"and\" fans 😀", "gear": [
            {"heater": {"class": "direct_fired_30kw", "thermostat": {"setpoint": "24 degC"}, "rent": ["60 $/day"]}},
            {"fan": {"class": "fan_axial_large", "rent": ["15 $/day"]}}
        ]},
    ]);
    place.scenario("job.json", &scenario);
    let (code, object) = place.compare_json("job.json");
    // Most cases are late: it ran, and none makes the date with the wanted chance.
    assert_eq!(code, 1);
    assert_eq!(object["verdict"]["on_hold"], false);
    assert_eq!(object["schema"], "coatday/compare/1");
    assert_eq!(object["scenario"], "Quick");
    assert_eq!(object["drying_starts"], "2026-10-01");
    assert_eq!(object["needed_by"], "2026-10-20");
    typed(&object, "notices", &["list"]);
    let setups = object["setups"].as_array().unwrap();
    let names: Vec<&str> = setups.iter().map(|s| s["name"].as_str().unwrap()).collect();
    assert_eq!(names.len(), 2);
    assert!(names.contains(&"Plain") && names.contains(&"Heat \"and\" fans 😀"));
    for setup in setups {
        for key in ["name", "limited_by"] {
            typed(setup, key, &["text"]);
        }
        for key in ["date", "never_reason"] {
            typed(setup, key, &["text", "null"]);
        }
        typed(setup, "days_to_target", &["number", "null"]);
        typed(setup, "meets_needed_by", &["bool", "null"]);
        typed(setup, "cost_incomplete", &["bool"]);
        typed(setup, "final_readings", &["list"]);
        typed(setup, "notes", &["list"]);
        for key in [
            "energy_kwh",
            "fuel_kwh",
            "cost",
            "rental_cost",
            "water_removed_kg",
            "face_share",
            "water_balance_error",
            "heat_balance_error",
        ] {
            typed(setup, key, &["number"]);
        }
        // A day and a date, or a reason: never both, never neither.
        let reached = setup["days_to_target"].is_number();
        assert_eq!(reached, setup["date"].is_string());
        assert_eq!(reached, setup["never_reason"].is_null());
        for error in ["water_balance_error", "heat_balance_error"] {
            assert!(setup[error].as_f64().unwrap().abs() < 1e-6, "{error}");
        }
    }
}

#[test]
fn results_go_to_standard_output_and_notes_to_standard_error() {
    let place = Place::new();
    let mut scenario = quick();
    scenario["setups"] =
        json!([{"name": "Burner", "gear": [{"heater": {"class": "direct_fired_30kw"}}]}]);
    place.scenario("job.json", &scenario);

    let loud = place.run(&["compare", "job.json", "--no-charts"]);
    assert!(
        loud.out
            .starts_with("No drying needed: a test now should read"),
        "{}",
        loud.out
    );
    assert!(!loud.out.contains("CAUTION") && !loud.out.contains("Estimates"));
    assert!(loud.err.contains("CAUTION, Burner:") && loud.err.contains("Estimates:"));

    let quiet = place.run(&["compare", "job.json", "--no-charts", "--quiet"]);
    assert_eq!(quiet.out, loud.out);
    assert!(
        quiet.err.contains("CAUTION, Burner:"),
        "people can come to harm"
    );
    assert!(!quiet.err.contains("Estimates:"));

    let check = place.run(&["check", "job.json", "--quiet"]);
    assert_eq!((check.code, check.err.as_str()), (0, ""));
    assert!(check.out.contains("slab: thickness"));
    let object: Value =
        serde_json::from_str(&place.run(&["check", "job.json", "--json"]).out).unwrap();
    assert_eq!(object["schema"], "coatday/check/1");
    typed(&object, "understood", &["list"]);
}

#[test]
fn new_then_check_then_compare() {
    let place = Place::new();
    for (name, units) in [("us.json", "us"), ("si.json", "si")] {
        let new = place.run(&[
            "new",
            name,
            "--units",
            units,
            "--name",
            "Hall \"B\" 😀",
            "--area",
            "1500 ft2",
            "--thickness",
            "90 mm",
            "--height",
            "4 m",
            "--placed",
            "2026-09-01",
            "--gear-on",
            "2026-10-01",
            "--needed-by",
            "2026-12-24",
        ]);
        assert_eq!((new.code, new.out.as_str()), (0, ""));
        assert_eq!(
            new.err,
            format!("Wrote {name}. Fill in what you know, then run: coatday check {name}\n")
        );
        let text = fs::read_to_string(place.path(name)).unwrap();
        for typed in ["\"1500 ft2\"", "\"90 mm\"", "\"4 m\""] {
            assert!(
                text.contains(typed),
                "units stay as they were typed: {text}"
            );
        }
        assert_eq!(place.run(&["check", name]).code, 0);
        let (code, object) = place.compare_json(name);
        assert!(code < 2);
        assert_eq!(object["setups"].as_array().unwrap().len(), 3);
    }
}

#[test]
fn new_never_replaces_a_file() {
    let place = Place::new();
    place.write("job.json", "mine");
    assert_eq!(
        place.fault(&["new", "job.json"]),
        "job.json is there already and stays as it is. Give another name.\n"
    );
    assert_eq!(fs::read_to_string(place.path("job.json")).unwrap(), "mine");

    place.fault(&["new", "."]);
    place.fault(&["new", "no_folder/job.json"]);
    assert_eq!(place.files("."), ["job.json"]);
}

#[cfg(unix)]
#[test]
fn new_never_writes_through_a_link() {
    let place = Place::new();
    std::os::unix::fs::symlink("nowhere", place.path("link.json")).unwrap();
    place.fault(&["new", "link.json"]);
    assert!(!place.path("nowhere").exists());
    assert_eq!(place.files("."), ["link.json"]);
}

#[test]
fn new_writes_nothing_that_check_would_refuse() {
    let place = Place::new();
    let err = place.fault(&[
        "new",
        "job.json",
        "--name",
        "a\tb",
        "--area=-5 m2",
        "--height",
        "200 m",
        "--placed",
        "2027-05-05",
        "--gear-on",
        "2027-01-01",
        "--needed-by",
        "2026-01-01",
    ]);
    insta::assert_snapshot!(err, @r#"
    name: This name contains control characters. Write it on one line without tabs.
    slab.area: This is too low. Write "1 m2" or more: less is a sample, more is several buildings.
    room.height: This is too high. Did you mean "200 in"? Write "60 m" or less: people have to work in the room.
    gear_on: 2027-01-01 is before slab.placed, 2027-05-05. Correct one of the two dates.
    needed_by: 2026-01-01 is before gear_on, 2027-01-01. Correct one of the two dates.
    Nothing was written.
    "#);
    assert_eq!(place.files(".").len(), 0);
}

#[test]
fn completions_manual_and_schema_are_there() {
    let place = Place::new();
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let ran = place.run(&["completions", shell]);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""));
        assert!(
            ran.out.contains("coatday") && ran.out.contains("compare"),
            "{shell}"
        );
    }
    let page = place.run(&["man"]);
    assert_eq!((page.code, page.err.as_str()), (0, ""));
    assert!(page.out.contains(".TH coatday 1"));
    // Every page the first one points to can be had.
    let commands: Vec<&str> = page
        .out
        .lines()
        .filter_map(|line| line.strip_prefix("coatday\\-")?.strip_suffix("(1)"))
        .collect();
    assert!(commands.len() >= 6, "{commands:?}");
    for command in commands {
        let ran = place.run(&["man", command]);
        assert_eq!(ran.code, 0);
        assert!(
            ran.out.contains(&format!(".TH coatday-{command} 1")),
            "{}",
            ran.out
        );
    }
    let schema: Value = serde_json::from_str(&place.run(&["schema"]).out).unwrap();
    for key in ["name", "site", "slab", "room", "gear_on", "setups"] {
        assert!(schema["properties"][key].is_object(), "{key}");
    }
}

/// Charts are whole: SVG to its end tag, PNG to its end mark.
fn whole(path: &Path) -> bool {
    let bytes = fs::read(path).unwrap();
    match path.extension().and_then(|e| e.to_str()) {
        Some("svg") => String::from_utf8(bytes).is_ok_and(|t| t.trim_end().ends_with("</svg>")),
        Some("png") => {
            bytes.starts_with(b"\x89PNG\r\n\x1a\n") && bytes.ends_with(b"IEND\xae\x42\x60\x82")
        }
        _ => false,
    }
}

#[test]
fn chart_names_come_from_the_scenario_and_fit_any_disk() {
    let long = format!("{}.json", "é".repeat(125));
    for (file, stem) in [
        ("job.json", "job"),
        ("plain", "plain"),
        ("two.dots.json", "two.dots"),
        (".json", "json"),
        ("...", ".."),
        ("a \"b\" 'c' 😀.json", "a \"b\" 'c' 😀"),
        ("tab\tline\nbell\u{7}\u{1b}[31m.json", "tab-line-bell--[31m"),
        ("turn\u{202e}ed.json", "turn-ed"),
        ("-.json", "-"),
        (long.as_str(), &"é".repeat(80)),
    ] {
        let place = Place::new();
        place.scenario(file, &quick());
        let ran = place.run(&["compare", "--out", "charts/of/it", "--", file]);
        assert_eq!(ran.code, 0, "{file:?}: {}", ran.err);
        assert!(!ran.err.chars().any(|c| c.is_control() && c != '\n'));
        let names = place.files("charts/of/it");
        assert!(names.len() >= 8, "{names:?}");
        let stem = stem.trim_start_matches('.');
        let stem = if stem.is_empty() { "scenario" } else { stem };
        for name in &names {
            assert!(name.starts_with(&format!("{stem}-")), "{file:?}: {name:?}");
            assert!(whole(&place.path("charts/of/it").join(name)), "{name}");
        }
        // A second run puts new charts in their place and leaves nothing beside them.
        assert_eq!(
            place
                .run(&["compare", "--out", "charts/of/it", "--", file])
                .code,
            0
        );
        assert_eq!(place.files("charts/of/it"), names);
    }
}

#[test]
fn a_folder_that_cannot_take_charts_is_said_before_the_run() {
    let place = Place::new();
    place.scenario("job.json", &quick());
    place.write("file", "mine");
    for out in ["file", "file/x", "job.json"] {
        let err = place.fault(&["compare", "job.json", "--out", out]);
        assert!(
            err.starts_with(&format!("{out}: charts cannot be written here: "))
                && err.ends_with("Give a folder with --out.\n"),
            "{err}"
        );
    }
    assert_eq!(fs::read_to_string(place.path("file")).unwrap(), "mine");
}

#[cfg(unix)]
#[test]
fn a_closed_folder_is_said_before_the_run() {
    let place = Place::new();
    place.scenario("job.json", &quick());
    fs::create_dir(place.path("closed")).unwrap();
    let closed: fs::Permissions = std::os::unix::fs::PermissionsExt::from_mode(0o555);
    fs::set_permissions(place.path("closed"), closed).unwrap();
    // The administrator may write anywhere, so there is nothing to see then.
    if fs::write(place.path("closed/probe"), "").is_err() {
        let err = place.fault(&["compare", "job.json", "--out", "closed"]);
        assert!(err.contains("you have no permission for it"), "{err}");
    }
}

#[test]
fn a_reader_that_goes_away_is_no_fault() {
    let place = Place::new();
    place.scenario("job.json", &quick());
    for (arguments, code) in [
        (&["compare", "job.json", "--no-charts", "--quiet"][..], 0),
        (&["check", "job.json", "--quiet"], 0),
        (&["schema"], 0),
        (&["completions", "bash"], 0),
        (&["man"], 0),
        (&["--help"], 0),
    ] {
        let mut child = place
            .command(arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        let err = crate::plain(&output.stderr);
        assert_eq!(
            (output.status.code(), err.as_str()),
            (Some(code), ""),
            "{arguments:?}"
        );
    }
}

#[cfg(target_os = "linux")]
#[test]
fn results_that_cannot_be_written_are_a_fault() {
    let place = Place::new();
    place.scenario("job.json", &quick());
    for arguments in [
        &["schema"][..],
        &["compare", "job.json", "--json", "--no-charts"],
    ] {
        let full = fs::OpenOptions::new()
            .write(true)
            .open("/dev/full")
            .unwrap();
        let output = place.command(arguments).stdout(full).output().unwrap();
        assert_eq!(output.status.code(), Some(2));
        assert_eq!(
            crate::plain(&output.stderr),
            "Standard output cannot be written: the disk is full. Make room, or use another disk.\n"
        );
    }
}

#[test]
fn killed_runs_leave_no_half_written_charts() {
    let place = Place::new();
    place.scenario("job.json", &quick());
    for milliseconds in [5, 20, 40, 60, 80, 110, 150, 200, 300, 400] {
        let mut child = place
            .command(&["compare", "job.json", "--out", "charts"])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_millis(milliseconds));
        child.kill().unwrap();
        child.wait().unwrap();
        if !place.path("charts").exists() {
            continue;
        }
        for name in place
            .files("charts")
            .iter()
            .filter(|n| n.starts_with("job-"))
        {
            assert!(whole(&place.path("charts").join(name)), "{name}");
        }
    }
}

/// What a killed run left behind goes with the next run; what another run may still be writing stays.
#[test]
fn the_next_run_tidies_up_after_a_killed_one() {
    let place = Place::new();
    place.scenario("job.json", &quick());
    let folder = place.path("charts");
    fs::create_dir(&folder).unwrap();
    let hour_ago = std::time::SystemTime::now() - Duration::from_hours(1);
    for (name, old) in [
        (".coatday-unfinished-a1", true),
        (".coatday-unfinished-b2", false),
        (".somebody-else", true),
    ] {
        let file = fs::File::create(folder.join(name)).unwrap();
        if old {
            file.set_modified(hour_ago).unwrap();
        }
    }
    let status = place
        .command(&["compare", "job.json", "--out", "charts"])
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .unwrap();
    assert!(status.code().is_some_and(|code| code < 2));
    assert!(!folder.join(".coatday-unfinished-a1").exists());
    assert!(folder.join(".coatday-unfinished-b2").exists());
    assert!(folder.join(".somebody-else").exists());
}

#[test]
fn either_end_of_a_limit_is_computed() {
    let place = Place::new();
    let gear = json!([
        {"heater": {"class": "electric_9kw", "thermostat": {"setpoint": "24 degC"}}},
        {"fan": {"class": "fan_axial_large", "count": 4}},
        {"dehumidifier": {"class": "low_grain_medium", "count": 2}}
    ]);
    let constant = |key: &str| format!("/site/weather/constant/{key}");
    for (pointer, ends) in [
        ("/slab/area", [json!("1 m2"), json!("200000 m2")]),
        ("/slab/thickness", [json!("20 mm"), json!("1500 mm")]),
        ("/slab/water_cement_ratio", [json!(0.35), json!(1.0)]),
        (
            "/slab/surface_resistance",
            [json!("0 GPa s m2/kg"), json!("1000 GPa s m2/kg")],
        ),
        (
            "/slab/curing",
            [
                json!({"wet": {"lasts": "0 days"}}),
                json!({"wet": {"lasts": "90 days"}}),
            ],
        ),
        ("/room/height", [json!("1.5 m"), json!("60 m")]),
        ("/room/air_changes_per_hour", [json!(0), json!(60)]),
        ("/room/heat_loss", [json!("0 W/K"), json!("1e7 W/K")]),
        (
            "/room/start_temperature",
            [json!("-40 degC"), json!("60 degC")],
        ),
        ("/site/elevation", [json!("-430 m"), json!("5000 m")]),
        (
            &constant("temperature"),
            [json!("-40 degC"), json!("60 degC")],
        ),
        (
            &constant("relative_humidity"),
            [json!("1 %"), json!("100 %")],
        ),
        (&constant("wind_speed"), [json!("0 m/s"), json!("40 m/s")]),
        ("/give_up_after", [json!("1 day"), json!("1825 days")]),
    ] {
        for end in ends {
            let mut scenario = with(pointer, end.clone());
            scenario["setups"][0]["gear"] = gear.clone();
            place.scenario("job.json", &scenario);
            let (code, object) = place.compare_json("job.json");
            assert!(code < 2, "{pointer} {end}");
            let setup = &object["setups"][0];
            for error in ["water_balance_error", "heat_balance_error"] {
                assert!(
                    setup[error].as_f64().unwrap().abs() < 1e-6,
                    "{pointer} {end}: {error}"
                );
            }
        }
    }
}
