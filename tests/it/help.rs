//! `coatday help`, its topics, and README.md: what they show can be typed, and nothing they tell of is missing.

use std::path::{Path, PathBuf};

use coatday::cli;
use coatday::scenario::schema;
use serde_json::Value;

/// Most lines of README.md.
const README_LINES: usize = 250;
/// The width that the texts are written for.
const WIDTH: usize = 80;
/// A narrow terminal.
const NARROW: usize = 60;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).into()
}

fn read(name: &str) -> String {
    std::fs::read_to_string(root().join(name)).unwrap()
}

/// The program's exit code, output and faults.
fn run(width: usize, arguments: &[&str]) -> (i32, String, String) {
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_coatday"))
        .args(arguments)
        .env("COLUMNS", width.to_string())
        .env("NO_COLOR", "1")
        .output()
        .unwrap();
    (
        output.status.code().unwrap(),
        String::from_utf8(output.stdout).unwrap(),
        String::from_utf8(output.stderr).unwrap(),
    )
}

/// What `coatday help` prints about something that it knows.
#[track_caller]
fn shown(width: usize, words: &[&str]) -> String {
    let arguments = [&["help"], words].concat();
    let (code, out, err) = run(width, &arguments);
    assert_eq!((code, err.as_str()), (0, ""), "{words:?}");
    out
}

/// Names of the topics: of the texts in the tree.
fn topics() -> Vec<String> {
    let folder = std::fs::read_dir(root().join("src/cli/help")).unwrap();
    let mut names: Vec<String> = folder
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "txt"))
        .map(|path| path.file_stem().unwrap().to_str().unwrap().to_owned())
        .collect();
    names.sort();
    assert!(names.len() > 10);
    names
}

/// README.md and the texts of the topics, each with its name.
fn texts() -> Vec<(String, String)> {
    let files = topics()
        .into_iter()
        .map(|name| format!("src/cli/help/{name}.txt"));
    files
        .chain(["README.md".to_owned()])
        .map(|name| (name.clone(), read(&name)))
        .collect()
}

fn commands() -> Vec<String> {
    let table = cli::table();
    let names = table.get_subcommands().map(|c| c.get_name().to_owned());
    names.collect()
}

#[test]
fn every_topic_prints_within_its_width() {
    for name in topics() {
        let wide = shown(WIDTH, &[&name]);
        assert!(wide.lines().count() > 5, "{name}: {wide}");
        for line in wide.lines() {
            assert!(line.chars().count() <= WIDTH, "{name}: {line}");
        }
        // Placeholders, fences and pictures are gone.
        for mark in ["{keys}", "{units}", "{README", "```", "!["] {
            assert!(!wide.contains(mark), "{name}: {mark}");
        }
        for line in shown(NARROW, &[&name]).lines() {
            // Commands, outputs and files stay as they are.
            assert!(
                line.starts_with("    ") || line.chars().count() <= NARROW,
                "{name}: {line}"
            );
        }
    }
}

/// One list has every command and every topic, each with what it is about; `all` prints every topic.
#[test]
fn help_lists_commands_and_topics() {
    let list = shown(100, &[]);
    let (_, same, _) = run(100, &["--help"]);
    assert_eq!(list, same);
    let all = shown(WIDTH, &["all"]);
    for name in commands().iter().chain(&topics()) {
        let line = list
            .lines()
            .find(|line| line.starts_with(&format!("  {name} ")));
        let words = line.map_or(0, |line| line.split_whitespace().count());
        assert!(words > 2, "{name}: {line:?}");
    }
    for (name, text) in texts() {
        if name != "README.md" {
            let title = text.lines().next().unwrap().trim_start_matches("# ");
            assert!(list.contains(title), "{name}");
            assert!(all.contains(&title.to_uppercase()), "{name}");
        }
    }
}

/// The help of a command is what the command itself says, also of a command's command.
#[test]
fn help_of_a_command_is_its_own() {
    let usage = |text: &str| {
        let line = text.lines().find(|line| line.starts_with("Usage: "));
        line.map(str::to_owned)
    };
    for name in commands() {
        let (_, own, _) = run(100, &[&name, "--help"]);
        let help = shown(100, &[&name]);
        assert!(usage(&own).is_some());
        assert_eq!(usage(&help), usage(&own), "{name}");
        assert!(help.starts_with(own.trim_end()), "{name}");
    }
    let add = shown(100, &["readings", "add"]);
    assert!(add.contains("--conditioned"), "{add}");
    // An example of a part begins with its key.
    assert!(shown(WIDTH, &["power"]).contains("\n    \"power\": { \"circuits\""));
    // A name of both is both; a command names the topics that go with it.
    assert!(shown(100, &["weather"]).contains("THE WAYS TO GIVE IT"));
    assert!(shown(100, &["prep"]).contains("coatday help walk"));
}

#[test]
fn a_wrong_name_is_answered_with_a_near_one() {
    for (words, answer) in [
        (&["prepp"][..], "coatday help prep"),
        (&["scenari"], "coatday help scenario"),
        (&["scenario", "slabb"], "slab"),
        (&["weather", "slab"], "To see them all: coatday help"),
        (&["readings", "addd"], "To see them all: coatday help"),
        (&["targets", "slab"], "To see them all: coatday help"),
    ] {
        let (code, out, err) = run(100, &[&["help"], words].concat());
        assert_eq!((code, out.as_str()), (2, ""), "{words:?}");
        assert!(err.contains(answer), "{words:?}: {err}");
    }
}

/// Names of keys and the words that they may have.
fn names(schema: &Value, found: &mut Vec<String>) {
    match schema {
        Value::Object(members) => {
            if let Some(Value::Object(properties)) = members.get("properties") {
                found.extend(properties.keys().cloned());
            }
            if let Some(Value::String(word)) = members.get("const") {
                found.push(word.clone());
            }
            if let Some(Value::Array(words)) = members.get("enum") {
                found.extend(words.iter().filter_map(Value::as_str).map(str::to_owned));
            }
            members.values().for_each(|value| names(value, found));
        }
        Value::Array(items) => items.iter().for_each(|item| names(item, found)),
        _ => {}
    }
}

/// Every key of the schema, and every word that a key may have, is found in the topic.
#[test]
fn every_key_of_the_schema_is_told() {
    let text = shown(WIDTH, &["scenario"]);
    let mut found = Vec::new();
    names(&schema(), &mut found);
    assert!(found.len() > 300);
    for name in found {
        // The schema's own place is not for people.
        let told = text.contains(&format!("`{name}`")) || text.contains(&format!("\"{name}\""));
        assert!(told || name == "$schema", "{name}");
    }
    let slab = shown(WIDTH, &["scenario", "slab"]);
    assert!(slab.contains("`water_cement_ratio`") && slab.contains("slab.underside.metal_deck"));
    assert!(!slab.contains("`setups`") && !slab.contains("room.part"));
    // Gear is described under the setups, though it may stand under `plan` too.
    assert!(shown(WIDTH, &["scenario", "setups"]).contains("Keys of setups.gear.dehumidifier"));
}

#[test]
fn readme_is_a_page_and_names_every_command_and_topic() {
    let readme = read("README.md");
    let lines = readme.lines().count();
    assert!(lines <= README_LINES, "{lines} lines");
    let table = |of: &str| {
        let rows = readme.lines().filter(|line| line.starts_with('|'));
        rows.filter(|row| row.contains(of)).count()
    };
    for name in commands() {
        assert!(table(&format!("`coatday {name}")) > 0, "coatday {name}");
    }
    for name in topics() {
        assert_eq!(table(&format!("`coatday help {name}`")).min(1), 1, "{name}");
    }
    // The cautions stay on the page and are a topic too.
    let safety = shown(WIDTH, &["safety"]);
    for caution in [
        "carbon monoxide",
        "silica dust",
        "young slab",
        "licensed trades",
    ] {
        assert!(
            readme.contains(caution) && safety.contains(caution),
            "{caution}"
        );
    }
    for text in ["LICENSE-MIT", "LICENSE-APACHE", "NOTICES.md"] {
        assert!(
            readme.contains(text) && root().join(text).is_file(),
            "{text}"
        );
    }
}

/// Words of a command line, with quotation marks as a shell reads them.
fn split(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut word: Option<String> = None;
    let mut quoted = false;
    for c in line.chars() {
        match c {
            '"' => {
                quoted = !quoted;
                word.get_or_insert_default();
            }
            ' ' if !quoted => words.extend(word.take()),
            _ => word.get_or_insert_default().push(c),
        }
    }
    words.extend(word);
    words
}

/// The command lines of a text: indented, or between backticks.
fn command_lines(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut prose = String::new();
    let mut fenced = false;
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        if line.starts_with("```") {
            fenced = !fenced;
        } else if !fenced && line.starts_with("    ") {
            let mut whole = line.trim().to_owned();
            while let Some(start) = whole.strip_suffix('\\') {
                whole = format!("{} {}", start.trim_end(), lines.next().unwrap().trim());
            }
            found.push(whole);
        } else if !fenced {
            prose += line;
            prose.push('\n');
        }
    }
    let spans = prose.split('`').skip(1).step_by(2);
    found.extend(spans.map(|span| span.split_whitespace().collect::<Vec<_>>().join(" ")));
    found
        .into_iter()
        .filter_map(|line| {
            let cargo = "cargo run --release -- ";
            let line = line.replacen(cargo, "coatday ", 1);
            line.starts_with("coatday ").then_some(line)
        })
        .collect()
}

/// Every command line that README and the topics show is one that the program takes; every topic that they send people to is there.
#[test]
fn every_command_line_that_is_shown_parses() {
    let mut count = 0;
    for (name, text) in texts() {
        for line in command_lines(&text) {
            count += 1;
            let words = split(&line);
            let parsed = cli::table().try_get_matches_from(&words);
            match &words[1..] {
                [command] => assert!(commands().contains(command), "{name}: {line}"),
                [help, rest @ ..] if help == "help" => {
                    let rest: Vec<&str> = rest.iter().map(String::as_str).collect();
                    let shown_there = rest != ["TOPIC"];
                    if shown_there {
                        shown(WIDTH, &rest);
                    }
                }
                _ => {
                    if let Err(fault) = parsed {
                        panic!("{name}: {line}\n{fault}");
                    }
                }
            }
        }
    }
    assert!(count > 80, "{count}");
}

/// The JSON examples of a text, each with the place in a scenario that it is for.
fn examples(text: &str) -> Vec<(String, String)> {
    let blocks = text.split("```json").skip(1);
    blocks
        .map(|block| {
            let (place, rest) = block.split_once('\n').unwrap();
            let example = rest.split("```").next().unwrap();
            (place.trim().to_owned(), example.to_owned())
        })
        .collect()
}

/// A job with a walk whose third finding is a crack that moves.
fn job_with_a_walk() -> Value {
    let mut job: Value = serde_json::from_str(&read("scenarios/grind_or_etch.json")).unwrap();
    let crack = |state: &str| serde_json::json!({"crack": {"area": "Shop", "length": "12 ft", "width": "1/8 in", "depth": "1 in", "state": state}});
    let walk = job["walk"].as_object_mut().unwrap();
    walk.remove("findings_csv");
    walk.insert(
        "findings".into(),
        serde_json::json!([crack("still"), crack("still"), crack("moving")]),
    );
    job
}

/// Every JSON example is a scenario without a fault, or a part of one.
#[test]
fn every_example_is_a_sound_scenario() {
    let folder = tempfile::tempdir().unwrap();
    let csv = read("scenarios/findings/shop_floor.csv");
    std::fs::write(folder.path().join("shop_floor.csv"), csv).unwrap();
    let mut whole = 0;
    let mut parts = 0;
    for (name, text) in texts() {
        for (place, example) in examples(&text) {
            let example: Value = serde_json::from_str(&example)
                .unwrap_or_else(|fault| panic!("{name} {place}: {fault}"));
            let job = if place.is_empty() {
                whole += 1;
                example
            } else {
                parts += 1;
                let mut job = job_with_a_walk();
                if !place.starts_with("/walk") {
                    job.as_object_mut().unwrap().remove("walk");
                }
                let (parent, key) = place.rsplit_once('/').unwrap();
                let parent = job.pointer_mut(parent);
                parent.unwrap_or_else(|| panic!("{name} {place}"))[key] = example;
                job
            };
            let file = folder.path().join("job.json");
            std::fs::write(&file, job.to_string()).unwrap();
            coatday::check(&file).unwrap_or_else(|f| panic!("{name} {place}: {f}"));
            // Tasks and holds are known only once the walk is prepared.
            coatday::open(&file).unwrap_or_else(|f| panic!("{name} {place}: {f}"));
        }
    }
    assert!(whole >= 1 && parts >= 10, "{whole} {parts}");
}
