//! `coatday new`: what its options write, and its questions on a terminal.

use std::path::Path;
use std::process::Command;

use coatday::System;
use coatday::scenario::answers::{self, Heating, MixAnswer};
use coatday::scenario::model::Target;
use coatday::scenario::{Known, written};
use jiff::civil::{Date, date};
use serde_json::Value;
use tempfile::TempDir;

fn command(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_coatday"));
    command
        .args(arguments)
        .current_dir(folder)
        .env("COLUMNS", "100")
        .env("NO_COLOR", "1");
    command
}

/// What is in a folder, hidden files too.
fn files(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).expect("a folder");
    let names = entries.map(|entry| entry.expect("an entry").file_name());
    names
        .map(|name| name.to_string_lossy().into_owned())
        .collect()
}

fn scenario(folder: &Path) -> Value {
    let text = std::fs::read_to_string(folder.join("job.json")).expect("the file");
    serde_json::from_str(&text).expect("JSON")
}

/// Without a terminal nothing is asked: the example is written as it is.
#[test]
fn regress_from_a_pipe_nothing_is_asked() {
    let folder = TempDir::new().expect("a folder");
    let output = command(folder.path(), &["new", "job.json"])
        .output()
        .expect("a run");
    assert!(output.status.success(), "{output:?}");
    assert!(String::from_utf8_lossy(&output.stderr).starts_with("Wrote job.json. Fill in"));
    let written = scenario(folder.path());
    assert_eq!(written["name"], "My floor");
    assert_eq!(written["slab"]["area"], "2000 ft2");
    assert_eq!(written["slab"]["thickness"], "5 in");
    assert_eq!(written["room"]["height"], "12 ft");
    assert!(written["site"]["weather"].get("by_month").is_some());
    assert_eq!(written["setups"].as_array().expect("setups").len(), 3);
}

#[test]
fn regress_a_place_takes_the_invented_weather_away() {
    let folder = TempDir::new().expect("a folder");
    let output = command(folder.path(), &["new", "job.json", "--place", "tulsa ok"]).output();
    assert!(output.expect("a run").status.success());
    let written = scenario(folder.path());
    assert_eq!(
        written["site"],
        serde_json::json!({ "weather": { "place": "Tulsa, OK" } })
    );
    assert!(
        !written["note"]
            .as_str()
            .expect("a note")
            .contains("weather")
    );
    let output = command(folder.path(), &["new", "other.json", "--place", "Portland"]).output();
    let output = output.expect("a run");
    let said = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(2));
    assert!(
        said.contains("\"Portland, ME\" or \"Portland, OR\""),
        "{said}"
    );
    assert_eq!(files(folder.path()), ["job.json"]);
}

const TODAY: Date = date(2026, 11, 28);

#[test]
fn regress_dont_know_is_no_value() {
    for text in [
        "don't know",
        "Don\u{2019}t know.",
        "DONT KNOW",
        "  i don't know ",
        "not sure",
        "unknown",
        "?",
        "",
    ] {
        assert_eq!(answers::mix(text), Ok(None), "{text}");
        assert_eq!(answers::heating(text), Ok(None), "{text}");
        assert_eq!(answers::needed_by(text, TODAY), Ok(None), "{text}");
        assert_eq!(answers::limits(text), Ok(None), "{text}");
        assert_eq!(answers::gear(text), Ok(None), "{text}");
        // What a job cannot do without is asked until it is there.
        assert!(
            answers::area(text).is_err() && answers::thickness(text).is_err(),
            "{text}"
        );
        assert!(
            answers::poured(text, TODAY).is_err() && answers::place(text).is_err(),
            "{text}"
        );
    }
}

#[test]
fn regress_answers_are_read() {
    assert_eq!(answers::place("tulsa").as_deref(), Ok("Tulsa, OK"));
    assert_eq!(
        answers::place(" 36.15, -95.99 ").as_deref(),
        Ok("36.15, -95.99")
    );
    let inches = |text: &str| answers::thickness(text).map(|t| t.si() / 0.0254);
    assert!((inches("5 1/2 in").expect("inches") - 5.5).abs() < 1e-9);
    for (text, ratio) in [("0.45", 0.45), ("w/c 0.5", 0.5), ("w/cm = .42", 0.42)] {
        assert_eq!(
            answers::mix(text),
            Ok(Some(MixAnswer::Ratio(ratio))),
            "{text}"
        );
    }
    let strength = answers::mix("4000 psi").expect("a strength");
    assert!(matches!(strength, Some(MixAnswer::Strength(s)) if (s.si() - 27.58e6).abs() < 0.01e6));
    assert_eq!(answers::heating("no"), Ok(Some(Heating::None)));
    let held = answers::heating("65 degF").expect("a temperature");
    assert!(matches!(held, Some(Heating::Held(t)) if (t.si() - 18.33).abs() < 0.01));
    assert_eq!(
        answers::needed_by("2027-03-01", TODAY),
        Ok(Some(date(2027, 3, 1)))
    );
    assert_eq!(answers::needed_by("none", TODAY), Ok(None));
    assert_eq!(answers::poured("2026-10-05", TODAY), Ok(date(2026, 10, 5)));
    assert_eq!(answers::poured("1962-10-05", TODAY), Ok(date(1962, 10, 5)));
}

/// What is wrong is answered with what to type.
#[test]
fn regress_wrong_answers_say_what_to_type() {
    let says = |result: Result<String, String>, wanted: &str| {
        let fault = result.expect_err(wanted);
        assert!(fault.contains(wanted), "{fault}");
    };
    let shown = |value: &dyn std::fmt::Debug| format!("{value:?}");
    says(answers::area("2000").map(|a| shown(&a)), "no unit");
    says(
        answers::area("0.1 ft2").map(|a| shown(&a)),
        "Write \"10.8 ft2\" or more",
    );
    says(answers::thickness("5 ft2").map(|a| shown(&a)), "in");
    says(
        answers::poured("2032-01-01", TODAY).map(|a| shown(&a)),
        "too far from today",
    );
    says(
        answers::poured("soon", TODAY).map(|a| shown(&a)),
        "2026-11-02",
    );
    says(
        answers::mix("4000").map(|a| shown(&a)),
        "\"4000 psi\" or \"4000 MPa\"",
    );
    says(answers::mix("0.2").map(|a| shown(&a)), "Write 0.35 or more");
    says(answers::mix("strong").map(|a| shown(&a)), "\"don't know\"");
    says(answers::heating("yes").map(|a| shown(&a)), "65 F");
    says(answers::heating("65").map(|a| shown(&a)), "\"no\"");
    says(
        answers::needed_by("2026-11-28", TODAY).map(|a| shown(&a)),
        "The gear goes on 2026-11-28",
    );
    says(
        answers::needed_by("2060-01-01", TODAY).map(|a| shown(&a)),
        "5 years",
    );
    says(
        answers::limits("85").map(|a| shown(&a)),
        "\"85 %\" for a probe in the slab or \"85 lb\" for a dish",
    );
    says(answers::limits("20 %").map(|a| shown(&a)), "40 %");
    says(
        answers::limits("3 apples").map(|a| shown(&a)),
        "\"85 %\" for a probe",
    );
    says(
        answers::gear("2 heaters").map(|a| shown(&a)),
        "\"electric heater\", \"propane heater\" or \"indirect heater\"",
    );
    says(
        answers::gear("3 dehumidifyers").map(|a| shown(&a)),
        "Did you mean \"dehumidifier\"?",
    );
    says(answers::gear("0 fans").map(|a| shown(&a)), "1 to 1000");
    says(answers::gear("1.5 fans").map(|a| shown(&a)), "1 to 1000");
}

#[test]
fn regress_limits_of_the_coating_are_read() {
    let read = |text: &str| answers::limits(text).expect(text).expect("limits");
    let probe = |target: &Target| match target {
        Target::RelativeHumidityAtDepth(probe) => Some(probe.limit.si()),
        _ => None,
    };
    for text in ["85 %", "85%", "85 % RH", "85 percent"] {
        let targets = read(text);
        assert_eq!(targets.len(), 1, "{text}");
        assert!(
            (probe(&targets[0]).expect("a probe") - 0.85).abs() < 1e-12,
            "{text}"
        );
    }
    // A dish alone passes no floor: the usual limit of a probe comes with it.
    for text in ["3 lb", "3 lbs", "3 lb.", "3 pounds", "3 lb/1000 ft2/24 h"] {
        let targets = read(text);
        assert!(
            matches!(&targets[0], Target::EmissionRate(rate) if rate.limit.to_string() == "3 lb/1000 ft2/24 h"),
            "{text}"
        );
        assert_eq!(
            probe(&targets[1]),
            Some(coatday::moisture_tests::HUMIDITY_LIMIT),
            "{text}"
        );
    }
    let both = read("5 lb and 80 %");
    assert_eq!(both.len(), 2);
    assert!((probe(&both[1]).expect("a probe") - 0.80).abs() < 1e-12);
}

#[test]
fn regress_gear_on_hand_is_read() {
    let read = |text: &str| -> Vec<(u32, &str)> {
        let gear = answers::gear(text).expect(text).expect("gear");
        gear.iter().map(|m| (m.count, m.kind.name)).collect()
    };
    assert_eq!(
        read("4 fans, 2 Dehumidifiers and 1 electric heater"),
        [(4, "fan"), (2, "dehumidifier"), (1, "electric heater")]
    );
    assert_eq!(
        read("a desiccant; six air movers"),
        [(1, "desiccant"), (6, "fan")]
    );
    assert_eq!(
        read("2x torpedo heaters + exhaust fan"),
        [(2, "propane heater"), (1, "exhaust fan")]
    );
    assert_eq!(read("2 indirect-fired heaters"), [(2, "indirect heater")]);
    assert_eq!(read("none"), []);
    // Every kind stands for a class that the catalogue has.
    for kind in answers::MACHINE_KINDS {
        assert!(
            coatday::gear::classes::class(kind.class).is_some(),
            "{kind:?}"
        );
        assert_eq!(read(&format!("3 {}s", kind.name)), [(3, kind.name)]);
    }
}

#[test]
fn regress_days_that_are_taken_have_ends() {
    let day = |text: &str| text.parse::<Date>().expect("a day");
    for (text, is_taken) in [
        ("1900-01-01", true),
        ("1899-12-31", false),
        ("2031-11-28", true),
        ("2031-11-29", false),
    ] {
        let wanted = is_taken.then(|| day(text));
        assert_eq!(answers::poured(text, TODAY).ok(), wanted, "{text}");
    }
    for (text, is_taken) in [
        ("2026-11-28", false),
        ("2026-11-29", true),
        ("2031-11-27", true),
        ("2031-11-28", false),
    ] {
        let wanted = is_taken.then(|| Some(day(text)));
        assert_eq!(answers::needed_by(text, TODAY).ok(), wanted, "{text}");
    }
}

/// The building's own heat by hand. Tulsa's coldest month has a mean of `t` and a daily swing of `s`; 100 m2 of floor, 3.6 m high, have
/// 100 + 4 x 10 x 3.6 = 244 m2 of shell at 2 W/(m2 K) and 360 m3 of air, of which 0.5 an hour leak at 0.335 Wh/(m3 K).
#[test]
fn analytic_the_buildings_own_heat_holds_its_temperature() {
    let normals = &coatday::weather::places::find("Tulsa, OK")
        .expect("a place")
        .place
        .normals;
    let coldest = normals.temperature.iter().zip(normals.daily_swing);
    let coldest = coldest
        .map(|(mean, swing)| mean - swing / 2.0)
        .fold(f64::INFINITY, f64::min);
    let loss = (2.0 * 244.0 + 0.335 * 0.5 * 360.0) * (18.0 - coldest) / 1e3;
    let known = Known {
        place: "Tulsa, OK".into(),
        area: "100 m2".parse().expect("an area"),
        thickness: "125 mm".parse().expect("a length"),
        placed: date(2026, 10, 1),
        gear_on: TODAY,
        mix: None,
        underside: None,
        construction: None,
        heating: Some(Heating::Held("18 degC".parse().expect("a temperature"))),
        needed_by: Some(date(2028, 3, 1)),
        targets: None,
        gear: Some(Vec::new()),
        system: System::Si,
    };
    let (text, taken) = written(&known).expect("a scenario");
    let read = coatday::scenario::read(&text, "job.json").expect("a sound scenario");
    let value: Value = serde_json::from_str(&text).expect("JSON");
    let output = value["setups"][0]["gear"][0]["heater"]["output"]
        .as_str()
        .expect("an output");
    let output: f64 = output.trim_end_matches(" kW").parse().expect("kilowatts");
    assert!(output >= loss && output - 5.0 < loss, "{output} {loss}");
    assert!(
        taken.iter().any(|one| one.contains("gas heat")),
        "{taken:?}"
    );
    // The date lies beyond the usual search, which is made longer.
    assert_eq!(read.give_up_after().to_string(), "1825 days");
    assert_eq!(read.needed_by, known.needed_by);
    // Without heat there is none.
    let cold = Known {
        heating: Some(Heating::None),
        ..known
    };
    let (text, _) = written(&cold).expect("a scenario");
    assert!(!text.contains("heater"), "{text}");
}

/// The questions, on a terminal of its own.
#[cfg(unix)]
mod on_a_terminal {
    use super::{command, files, scenario};
    use rexpect::session::{PtySession, spawn_command};
    use serde_json::json;
    use std::path::Path;
    use tempfile::TempDir;

    /// Guards against a hang, and nothing else.
    const PATIENCE: u64 = 300_000;

    fn started(folder: &Path) -> PtySession {
        let mut command = command(folder, &["new", "job.json"]);
        command.env("TERM", "xterm");
        spawn_command(command, Some(PATIENCE)).expect("a terminal")
    }

    fn answer(terminal: &mut PtySession, question: &str, answer: &str) {
        terminal
            .exp_string(question)
            .unwrap_or_else(|e| panic!("{question}: {e}"));
        terminal.send_line(answer).expect("typed");
    }

    fn until_the_end(terminal: &mut PtySession) -> String {
        terminal.exp_eof().expect("an end")
    }

    /// "Don't know" wherever it is allowed, the defaults elsewhere, and the place.
    #[test]
    fn regress_who_knows_nothing_gets_an_answer() {
        let folder = TempDir::new().expect("a folder");
        let mut terminal = started(folder.path());
        answer(&mut terminal, "Where is the job?", "Tulsa, OK");
        answer(&mut terminal, "How big is the floor?", "");
        answer(&mut terminal, "How thick is the slab?", "");
        answer(&mut terminal, "When was it poured", "");
        answer(&mut terminal, "What mix?", "don't know");
        // Lists are narrowed by what is typed.
        answer(&mut terminal, "What is under the slab?", "don't");
        answer(&mut terminal, "How far along is the building?", "don't");
        answer(&mut terminal, "And is it heated?", "don't know");
        answer(
            &mut terminal,
            "When must the floor be ready to coat?",
            "don't know",
        );
        answer(
            &mut terminal,
            "What is the coating's moisture limit?",
            "don't know",
        );
        answer(&mut terminal, "What gear is on hand?", "don't know");
        terminal.exp_string("Wrote job.json").expect("the file");
        let answer = until_the_end(&mut terminal);
        for part in [
            "No gear",
            "Example gear",
            "Without dehumidifiers",
            "Tulsa, OK",
            "the gear goes on",
        ] {
            assert!(answer.contains(part), "{part}: {answer}");
        }
        assert!(
            !answer.contains("panicked") && !answer.contains("fault in"),
            "{answer}"
        );
        let written = scenario(folder.path());
        // Nothing is invented: what is not known is not there.
        for (section, keys) in [
            (
                "slab",
                &[
                    "water_cement_ratio",
                    "strength",
                    "underside",
                    "curing",
                    "finish",
                ][..],
            ),
            (
                "room",
                &["construction", "air_changes_per_hour", "start_temperature"],
            ),
        ] {
            for key in keys {
                assert!(written[section].get(key).is_none(), "{key}: {written}");
            }
        }
        for key in ["needed_by", "targets", "prices", "service"] {
            assert!(written.get(key).is_none(), "{key}: {written}");
        }
        assert_eq!(
            written["site"],
            json!({ "weather": { "place": "Tulsa, OK" } })
        );
        assert_eq!(files(folder.path()), ["job.json"]);
    }

    /// Wrong answers are asked again; what is known is written.
    #[test]
    fn regress_what_is_known_is_written() {
        let folder = TempDir::new().expect("a folder");
        let mut terminal = started(folder.path());
        answer(&mut terminal, "Where is the job?", "Portland");
        terminal
            .exp_string("More than one place has this name")
            .expect("a fault");
        // What was typed stays there to be put right.
        terminal.send(&"\u{7f}".repeat(8)).expect("typed");
        terminal.send_line("Portland, OR").expect("typed");
        answer(&mut terminal, "How big is the floor?", "1500 ft2");
        answer(&mut terminal, "How thick is the slab?", "5 1/2 in");
        let today = jiff::ZonedDateTime::now().date();
        let poured = today.checked_add(jiff::Span::new().days(3)).expect("a day");
        let cured = today
            .checked_add(jiff::Span::new().days(10))
            .expect("a day");
        answer(&mut terminal, "When was it poured", &poured.to_string());
        answer(&mut terminal, "What mix?", "4000 psi");
        answer(&mut terminal, "What is under the slab?", "vapor");
        answer(&mut terminal, "How far along is the building?", "sheeting");
        answer(&mut terminal, "And is it heated?", "60 degF");
        answer(
            &mut terminal,
            "When must the floor be ready to coat?",
            "none",
        );
        answer(
            &mut terminal,
            "What is the coating's moisture limit?",
            "90 %",
        );
        answer(
            &mut terminal,
            "What gear is on hand?",
            "3 fans, 1 dehumidifier",
        );
        terminal.exp_string("Wrote job.json").expect("the file");
        let told = until_the_end(&mut terminal);
        assert!(
            told.contains("Gear on hand") && told.contains("own gas heat"),
            "{told}"
        );
        let written = scenario(folder.path());
        assert_eq!(written["site"]["weather"]["place"], "Portland, OR");
        assert_eq!(written["slab"]["placed"], poured.to_string());
        // Wet curing, a week by default, is over before the gear goes on.
        assert_eq!(written["gear_on"], cured.to_string());
        assert_eq!(written["slab"]["area"], "1500 ft2");
        assert_eq!(written["slab"]["thickness"], "5.5 in");
        assert_eq!(written["slab"]["strength"], "4000 psi");
        assert_eq!(
            written["slab"]["underside"],
            json!({ "vapour_retarder": {} })
        );
        assert_eq!(written["room"]["construction"], "sheeted_openings");
        assert_eq!(
            written["targets"][0]["relative_humidity_at_depth"]["limit"],
            "90 %"
        );
        let names: Vec<&str> = written["setups"]
            .as_array()
            .expect("setups")
            .iter()
            .filter_map(|s| s["name"].as_str())
            .collect();
        assert_eq!(names, ["No gear", "Without dehumidifiers", "Gear on hand"]);
        // The building's own heat is in every setup.
        for setup in written["setups"].as_array().expect("setups") {
            assert_eq!(
                setup["gear"][0]["heater"]["thermostat"]["setpoint"],
                "60 degF"
            );
        }
    }

    /// Esc in the middle, at a text and at a list, and Ctrl-C: no file, whole or half.
    #[test]
    fn regress_who_stops_leaves_nothing_behind() {
        for (keys, at_a_list) in [
            ("\u{1b}", false),
            ("\u{1b}", true),
            ("\u{3}", false),
            ("\u{3}", true),
        ] {
            let folder = TempDir::new().expect("a folder");
            let mut terminal = started(folder.path());
            answer(&mut terminal, "Where is the job?", "Tulsa, OK");
            answer(&mut terminal, "How big is the floor?", "");
            answer(&mut terminal, "How thick is the slab?", "");
            if at_a_list {
                answer(&mut terminal, "When was it poured", "");
                answer(&mut terminal, "What mix?", "");
                terminal
                    .exp_string("What is under the slab?")
                    .expect("a list");
                terminal.exp_string("Arrow keys").expect("its help");
            } else {
                terminal
                    .exp_string("When was it poured")
                    .expect("a question");
                terminal.exp_string("A day:").expect("its help");
            }
            terminal.send(keys).expect("typed");
            terminal.flush().expect("sent");
            let told = until_the_end(&mut terminal);
            assert!(told.contains("Nothing was written"), "{keys:?}: {told}");
            assert_eq!(files(folder.path()).len(), 0, "{keys:?}");
        }
    }

    /// A name that is taken, or a folder that is not there, is said before the first question.
    #[test]
    fn regress_what_cannot_be_written_is_said_first() {
        let folder = TempDir::new().expect("a folder");
        std::fs::write(folder.path().join("job.json"), "mine").expect("written");
        let told = until_the_end(&mut started(folder.path()));
        assert!(
            told.contains("is there already and stays as it is") && !told.contains("Where"),
            "{told}"
        );
        assert_eq!(
            std::fs::read(folder.path().join("job.json")).expect("read"),
            b"mine"
        );
        let mut command = command(folder.path(), &["new", "no/such/job.json"]);
        command.env("TERM", "xterm");
        let told = until_the_end(&mut spawn_command(command, Some(PATIENCE)).expect("a terminal"));
        assert!(
            told.contains("cannot be written") && !told.contains("Where"),
            "{told}"
        );
    }
}
