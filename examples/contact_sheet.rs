//! Every chart of every shipped scenario and of ten stress jobs, wide and narrow, on one HTML page to look at.
//!
//! `cargo run --release --example contact_sheet [FOLDER] [WORD]` writes `contact_sheet.html` and each chart as PNG into
//! the folder (`target/contact_sheet` without one). With a word it draws only the jobs whose names hold it.

use coatday::charts::png;
use coatday::results::weather::{SeasonOfAir, Wanted};
use coatday::units::DAY;
use coatday::{Answer, Document, OpenJob, Sampling, System};
use serde_json::{Value, json};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// Few cases: the page is for the eye, and most jobs are computed several times over.
const SAMPLING: Sampling = Sampling {
    samples: 16,
    seed: 1,
};

/// A job to draw: its name, its scenario, the units of its charts.
struct Job {
    name: String,
    scenario: PathBuf,
    system: System,
}

/// The scenarios that come with the program.
fn shipped(folder: &Path) -> std::io::Result<Vec<Job>> {
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder)?
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|end| end == "json"))
        .collect();
    paths.sort();
    let job = |path: PathBuf| {
        let text = std::fs::read_to_string(&path).unwrap_or_default();
        Job {
            name: path
                .file_stem()
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned(),
            system: if text.contains("degC") {
                System::Si
            } else {
                System::Us
            },
            scenario: path,
        }
    };
    Ok(paths.into_iter().map(job).collect())
}

/// A finding, of one kind after another.
fn finding(index: usize) -> Value {
    let (x, y) = (2 + (index * 7) % 56, 2 + (index * 11) % 36);
    let mut kinds = [
        json!({ "crack": { "length": "6 ft", "width": "1/16 in", "depth": "1 in" } }),
        json!({ "joint": { "length": "12 ft", "width": "1/4 in", "depth": "1 in" } }),
        json!({ "broken": { "size": "2 ft2", "depth": "1/2 in" } }),
        json!({ "stain": { "size": "4 ft2", "state": "oil" } }),
        json!({ "high_spot": { "size": "3 ft2", "height": "1/4 in" } }),
        json!({ "low_spot": { "size": "5 ft2", "height": "3/8 in" } }),
        json!({ "coating": { "size": "9 ft2", "state": "paint" } }),
        json!({ "note": { "note": "Lift in use until noon." } }),
    ];
    let count = kinds.len();
    let mut finding = kinds[index % count].take();
    for inner in finding
        .as_object_mut()
        .into_iter()
        .flat_map(|all| all.values_mut())
    {
        inner["area"] = json!("Shop");
        inner["x"] = json!(format!("{x} ft"));
        inner["y"] = json!(format!("{y} ft"));
    }
    finding
}

/// Jobs made hard for the charts, each of a shipped scenario with some keys changed.
fn stress(scenarios: &Path, folder: &Path) -> Result<Vec<Job>, Box<dyn std::error::Error>> {
    type Change = Box<dyn Fn(&mut Value)>;
    let rename = |names: Vec<String>| -> Change {
        Box::new(move |v| {
            let setups = v["setups"].as_array_mut().into_iter().flatten();
            for (setup, name) in setups.zip(&names) {
                setup["name"] = json!(name);
            }
        })
    };
    let long = "Heat with two dehumidifiers, fans on the floor and doors open by night";
    let foreign = [
        "除湿機と暖房と換気を組み合わせた乾燥",
        "🔥💨 heat 除湿",
        "Сушка",
        "مروحة ومزيل رطوبة",
        "e\u{301}tuve",
        "乾燥",
    ];
    let jobs: Vec<(&str, &str, System, Change)> = vec![
        (
            "one setup",
            "winter_warehouse",
            System::Us,
            Box::new(|v| {
                v["setups"] = json!([v["setups"][2].clone()]);
            }),
        ),
        (
            "twelve setups",
            "winter_warehouse",
            System::Us,
            Box::new(|v| {
                let setups = v["setups"].as_array().cloned().unwrap_or_default();
                let again = setups.iter().map(|setup| {
                    let mut setup = setup.clone();
                    setup["name"] = json!(format!(
                        "{} again",
                        setup["name"].as_str().unwrap_or_default()
                    ));
                    setup
                });
                v["setups"] = json!(setups.iter().cloned().chain(again).collect::<Vec<_>>());
            }),
        ),
        (
            "long names",
            "winter_warehouse",
            System::Us,
            rename((1..=6).map(|n| format!("{n} {long}")).collect()),
        ),
        (
            "foreign names",
            "winter_warehouse",
            System::Us,
            rename(foreign.map(str::to_owned).into()),
        ),
        (
            "never dry",
            "bare_ground",
            System::Si,
            Box::new(|v| {
                v["targets"] = json!([{ "relative_humidity_at_depth": { "limit": "60 %" } }]);
            }),
        ),
        (
            "dry on day 0",
            "winter_warehouse",
            System::Us,
            Box::new(|v| {
                v["targets"] = json!([{ "relative_humidity_at_depth": { "limit": "99 %" } }]);
            }),
        ),
        (
            "no date",
            "winter_warehouse",
            System::Us,
            Box::new(|v| {
                if let Some(keys) = v.as_object_mut() {
                    keys.remove("needed_by");
                }
            }),
        ),
        (
            "two targets",
            "summer_store",
            System::Us,
            Box::new(|v| {
                v["targets"] = json!([
                    { "relative_humidity_at_depth": { "limit": "85 %" } },
                    { "emission_rate": { "limit": "3 lb/1000 ft2/24 h" } }
                ]);
            }),
        ),
        (
            "eighty findings",
            "grind_or_etch",
            System::Us,
            Box::new(|v| {
                if let Some(walk) = v["walk"].as_object_mut() {
                    walk.remove("findings_csv");
                    walk.insert("findings".into(), (0..80).map(finding).collect());
                }
            }),
        ),
        ("SI", "winter_warehouse", System::Si, Box::new(|_| ())),
    ];
    let mut out = Vec::new();
    for (name, of, system, change) in jobs {
        let text = std::fs::read_to_string(scenarios.join(format!("{of}.json")))?;
        let mut value: Value = serde_json::from_str(&text)?;
        change(&mut value);
        let scenario = folder.join(format!("{}.json", name.replace(' ', "_")));
        std::fs::write(&scenario, serde_json::to_string_pretty(&value)?)?;
        out.push(Job {
            name: format!("stress: {name}"),
            scenario,
            system,
        });
    }
    Ok(out)
}

type Said = Result<Document, String>;

/// The forecast on the day after the last reading of the log beside a scenario; nothing without a log.
fn forecast(open: &OpenJob, job: &Job) -> Option<Said> {
    let stem = job.scenario.file_stem()?.to_string_lossy().into_owned();
    let path = job.scenario.with_file_name(format!("{stem}-readings.csv"));
    let bytes = std::fs::read(path).ok()?;
    let log = coatday::read_log(&stem, &bytes, open.job.placed);
    let last = log.readings.iter().map(|r| r.seconds).fold(0.0, f64::max);
    let now = open.job.date(last + DAY).at(0, 0, 0, 0);
    let found = coatday::forecast(open, None, &log, now, coatday::WORTH_TESTING, SAMPLING);
    Some(
        found
            .map(|found| found.document(job.system))
            .map_err(|fault| fault.to_string()),
    )
}

/// What the commands that draw have to say of a job; a command that has no answer is named with its reason.
fn documents(open: &OpenJob, job: &Job) -> Vec<(&'static str, Said)> {
    let system = job.system;
    let wanted = Wanted {
        temperature: None,
        humidity: 0.5,
        margin: 0.0,
    };
    let air = SeasonOfAir::of(&open.job, wanted, Vec::new());
    let mut size = coatday::size(open);
    if let Ok(check) = &mut size {
        check.paths = true;
    }
    let setup = None;
    let said = |fault: coatday::NoAnswer| fault.to_string();
    let mut said_by = vec![
        (
            "compare",
            Ok(coatday::compare(open, SAMPLING).document(system)),
        ),
        ("weather", Ok(air.document(system))),
        (
            "size",
            size.map(|found| found.document(system)).map_err(said),
        ),
        (
            "plan",
            coatday::plan(open, SAMPLING)
                .map(|found| found.document(system))
                .map_err(said),
        ),
        (
            "explain",
            coatday::explain(open, setup, None, SAMPLING)
                .map(|found| found.document(system))
                .map_err(said),
        ),
        (
            "prep",
            coatday::prep(open, SAMPLING)
                .map(|found| found.document(system))
                .map_err(said),
        ),
    ];
    said_by.extend(forecast(open, job).map(|said| ("forecast", said)));
    said_by
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let folder = PathBuf::from(
        arguments
            .next()
            .unwrap_or_else(|| "target/contact_sheet".into()),
    );
    let only = arguments.next().unwrap_or_default();
    std::fs::create_dir_all(&folder)?;
    let scenarios = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let mut jobs = shipped(&scenarios)?;
    let work = folder.join("scenarios");
    std::fs::create_dir_all(&work)?;
    for files in ["findings", "weather"] {
        let to = work.join(files);
        std::fs::create_dir_all(&to)?;
        for entry in std::fs::read_dir(scenarios.join(files))? {
            let entry = entry?;
            std::fs::copy(entry.path(), to.join(entry.file_name()))?;
        }
    }
    jobs.extend(stress(&scenarios, &work)?);
    let mut page = String::from(
        "<!doctype html><meta charset=\"utf-8\"><title>Contact sheet</title>\
         <style>body{font-family:sans-serif;margin:1rem}figure{display:inline-block;vertical-align:top;margin:.5rem;\
         border:1px solid #ccc}</style>\n",
    );
    for job in jobs.iter().filter(|job| job.name.contains(&only)) {
        eprintln!("{}", job.name);
        let _ = writeln!(page, "<h1>{}</h1>", job.name);
        let open = match coatday::open(&job.scenario) {
            Ok(open) => open,
            Err(fault) => {
                let _ = writeln!(page, "<pre>{fault}</pre>");
                eprintln!("{fault}");
                continue;
            }
        };
        for (command, document) in documents(&open, job) {
            let document = match document {
                Ok(document) => document,
                Err(fault) => {
                    let _ = writeln!(page, "<p>{command}: {fault}</p>");
                    continue;
                }
            };
            for figure in document.figures() {
                let _ = writeln!(page, "<h2>{command}: {}</h2>", figure.name);
                for (layout, svg) in [("wide", figure.wide()), ("narrow", figure.narrow())] {
                    let _ = writeln!(page, "<figure>{svg}</figure>");
                    let stem = job.name.replace([' ', ':'], "_");
                    let file = format!("{stem}-{command}-{}-{layout}.png", figure.name);
                    std::fs::write(folder.join(file), png(&svg, 1.0)?)?;
                }
            }
        }
    }
    let file = folder.join("contact_sheet.html");
    std::fs::write(&file, page)?;
    println!("{}", file.display());
    Ok(())
}
