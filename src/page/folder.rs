//! The jobs of one folder, by name. Nothing outside of it is read or written, whatever a request or a scenario says.

use super::refusal::Refusal;
use crate::computer::files::{self, Existing};
use crate::scenario::{self, Scenario};
use axum::http::StatusCode;
use serde::Serialize;
use serde_json::json;
use std::path::{Component, Path, PathBuf};
use std::sync::Mutex;

/// Most jobs that are listed.
const MOST: usize = 500;
/// Longest file name of a job \[bytes\].
const LONGEST_NAME: usize = 120;

/// A folder whose scenario files are the jobs.
#[derive(Debug)]
pub(super) struct Folder {
    /// Its path without links.
    path: PathBuf,
    /// Held while a file is compared and written, so that two tabs do not do it at once.
    writing: Mutex<()>,
}

/// A job of the list.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Listed {
    /// Its file.
    file: String,
    /// Its name.
    name: String,
    /// Whether the file has faults.
    faulty: bool,
}

/// Examples that are offered in an empty folder: those that need no other file.
pub(super) const EXAMPLES: [(&str, &str); 6] = [
    (
        "winter_warehouse",
        include_str!("../../scenarios/winter_warehouse.json"),
    ),
    (
        "summer_store",
        include_str!("../../scenarios/summer_store.json"),
    ),
    (
        "two_bay_garage",
        include_str!("../../scenarios/two_bay_garage.json"),
    ),
    (
        "showroom_plan",
        include_str!("../../scenarios/showroom_plan.json"),
    ),
    (
        "wash_first",
        include_str!("../../scenarios/wash_first.json"),
    ),
    (
        "late_floor",
        include_str!("../../scenarios/late_floor.json"),
    ),
];

/// The name of an example as its scenario says it.
pub(super) fn example_name(text: &str) -> String {
    scenario::read(text, "").map_or_else(|_| String::new(), |scenario| scenario.name)
}

impl Folder {
    /// A folder that is there.
    pub(super) fn new(path: &Path) -> Result<Self, String> {
        let fault = |e: &std::io::Error| {
            format!(
                "{} cannot be opened: {}",
                files::shown(path),
                files::reason(e)
            )
        };
        let whole = path.canonicalize().map_err(|e| fault(&e))?;
        std::fs::read_dir(&whole).map_err(|e| fault(&e))?;
        Ok(Self {
            path: whole,
            writing: Mutex::new(()),
        })
    }

    /// Its path in words.
    pub(super) fn shown(&self) -> String {
        files::shown(&self.path)
    }

    /// The scenario files in it, in the order of their names.
    pub(super) fn jobs(&self) -> Vec<Listed> {
        let entries = std::fs::read_dir(&self.path)
            .into_iter()
            .flatten()
            .flatten();
        let mut names: Vec<String> = entries
            .filter_map(|entry| entry.file_name().into_string().ok())
            .filter(|name| self.path_of(name).is_ok_and(|path| is_plain(&path)))
            .take(MOST)
            .collect();
        names.sort();
        let listed = names.into_iter().filter_map(|file| {
            let text = self.read(&file).ok()?;
            let found = scenario::read(&text, &file);
            // A JSON file of something else is no job.
            let other = found.is_err() && !text.contains("\"setups\"");
            (!other).then(|| Listed {
                name: found
                    .as_ref()
                    .map_or_else(|_| file.clone(), |s| s.name.clone()),
                faulty: found.is_err(),
                file,
            })
        });
        listed.collect()
    }

    /// The path of a job's file.
    pub(super) fn path_of(&self, file: &str) -> Result<PathBuf, Refusal> {
        let mut parts = Path::new(file).components();
        let plain = matches!((parts.next(), parts.next()), (Some(Component::Normal(part)), None) if part == file);
        let good = plain
            && file.len() <= LONGEST_NAME
            && file
                .strip_suffix(".json")
                .is_some_and(|stem| !stem.is_empty())
            && !file.starts_with('.')
            && !file.contains(['/', '\\', ':', '\0'])
            && files::tame(file, '\u{fffd}') == file;
        if good {
            Ok(self.path.join(file))
        } else {
            Err(Refusal::told(
                "A job's file has a plain name that ends in .json, such as job.json.",
            ))
        }
    }

    /// The text of a job.
    pub(super) fn read(&self, file: &str) -> Result<String, Refusal> {
        let path = self.path_of(file)?;
        if !is_plain(&path) {
            return Err(Refusal(
                StatusCode::NOT_FOUND,
                format!("There is no job {file} in this folder. Go back to the list."),
            ));
        }
        text_of(&path)
    }

    /// Writes a job's text whole or not at all, unless its file has changed since `base` was read. Gives what stands in the file in that case.
    pub(super) fn save(
        &self,
        file: &str,
        base: Option<&str>,
        text: &str,
    ) -> Result<Option<String>, Refusal> {
        let path = self.path_of(file)?;
        let _turn = self.writing.lock().unwrap_or_else(|held| held.into_inner());
        let there = path.symlink_metadata().is_ok();
        if there && !is_plain(&path) {
            return Err(Refusal::told(format!(
                "{file} is not a plain file. It stays as it is."
            )));
        }
        match (base, there) {
            (Some(base), true) => {
                let now = text_of(&path)?;
                if now != base {
                    return Ok(Some(now));
                }
                files::write(&path, text.as_bytes(), Existing::Replace)?;
            }
            (Some(_), false) => return Ok(Some(String::new())),
            (None, true) => {
                return Err(Refusal(
                    StatusCode::CONFLICT,
                    format!("{file} is there already and stays as it is. Give another name."),
                ));
            }
            (None, false) => files::write(&path, text.as_bytes(), Existing::Keep)?,
        }
        Ok(None)
    }

    /// That a scenario names no file outside of the folder.
    pub(super) fn holds(&self, scenario: &Scenario) -> Result<(), Refusal> {
        let value = serde_json::to_value(scenario).unwrap_or_default();
        let weather = &value["site"]["weather"];
        let kinds = ["hourly_csv", "epw", "tmy3_csv"];
        let named = kinds
            .iter()
            .map(|kind| ("site.weather", &weather[*kind]["file"]))
            .chain([
                ("walk.findings_csv", &value["walk"]["findings_csv"]),
                ("document.logo", &value["document"]["logo"]),
            ]);
        for (key, name) in named {
            if let Some(name) = name.as_str()
                && !self.has(name)
            {
                return Err(Refusal::told(format!(
                    "{key}: the page reads only files in the folder of the job, and there is none named {}. Put the file into the folder.",
                    json!(name)
                )));
            }
        }
        Ok(())
    }

    /// Whether a name leads to a file in the folder or below it.
    fn has(&self, name: &str) -> bool {
        let down = Path::new(name)
            .components()
            .all(|part| matches!(part, Component::Normal(_)));
        let whole = self.path.join(name).canonicalize();
        down && whole.is_ok_and(|whole| whole.starts_with(&self.path) && whole.is_file())
    }
}

/// A file that is no link, pipe or folder.
fn is_plain(path: &Path) -> bool {
    path.symlink_metadata().is_ok_and(|data| data.is_file())
}

fn text_of(path: &Path) -> Result<String, Refusal> {
    let bytes = files::read(path)?;
    String::from_utf8(bytes)
        .map_err(|_| Refusal::told("The file is not UTF-8 text. Save it as UTF-8 in an editor."))
}
