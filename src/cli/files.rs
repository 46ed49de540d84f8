//! Reading scenarios with their weather, and writing files whole or not at all.

use crate::evaluate::Accuracy;
use crate::gear::classes;
use crate::job::{self, Job};
use crate::preparation::{Depth, OnTheSlab, Prepared, prepare_floor, work_on_the_slab};
use crate::scenario::model::{Finding, Walk};
use crate::scenario::{self, Classes, Faults, Scenario};
use std::io::{ErrorKind, Read, Write};
use std::path::{Path, PathBuf};

/// Files above this are not read: no scenario and no year of hourly weather comes near it \[bytes\].
pub(super) const LARGEST: u64 = 64 * 1024 * 1024;
/// Start of the names of files that are being written. A run that is killed while it writes leaves one behind.
const UNFINISHED: &str = ".coatday-unfinished-";
/// A file of such a name that has not been touched for this long belongs to no run any more: writing one takes a moment \[s\].
const ABANDONED: u64 = 600;
/// Longest stem of a chart's file name \[bytes\]: with the longest ending it stays below the 255 of common file systems.
const LONGEST_STEM: usize = 160;

/// A path in words: what would move the cursor or turn the line around is replaced.
pub(super) fn shown(path: &Path) -> String {
    tame(&path.to_string_lossy(), '\u{fffd}')
}

/// Control characters, line separators and marks of writing direction replaced.
fn tame(text: &str, by: char) -> String {
    let wild = |c: char| {
        c.is_control()
            || matches!(c, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
    };
    text.chars().map(|c| if wild(c) { by } else { c }).collect()
}

/// The stem of chart files, from the scenario's file name: fit for any file system and never hidden.
pub(super) fn chart_stem(scenario: &Path) -> String {
    let name = scenario.file_stem().unwrap_or_default().to_string_lossy();
    let name = tame(&name, '-').replace('\u{fffd}', "-");
    let mut stem = name.trim().trim_start_matches('.').to_owned();
    while stem.len() > LONGEST_STEM {
        stem.pop();
    }
    if stem.is_empty() {
        stem.push_str("scenario");
    }
    stem
}

/// Why a file could not be used, as the end of a sentence and what to do.
pub(super) fn reason(error: &std::io::Error) -> String {
    let (why, help) = match error.kind() {
        ErrorKind::NotFound => (
            "there is no such file or folder",
            "Check the name and the folder.",
        ),
        ErrorKind::PermissionDenied => (
            "permission is refused",
            "Change the permissions or take another place.",
        ),
        ErrorKind::IsADirectory => ("it is a folder", "Name a file."),
        ErrorKind::NotADirectory => (
            "a part of its path is a file, not a folder",
            "Check the path.",
        ),
        ErrorKind::AlreadyExists => (
            "something of this name is there already",
            "Give another name.",
        ),
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => {
            ("the disk is full", "Make room or take another disk.")
        }
        ErrorKind::ReadOnlyFilesystem => ("the disk is read-only", "Take another place."),
        ErrorKind::InvalidFilename | ErrorKind::InvalidInput => (
            "this name is not possible here",
            "Give a shorter, plainer name.",
        ),
        _ => return format!("{error}. Try again, or take another place."),
    };
    format!("{why}. {help}")
}

/// Reads a file of reasonable size. Size is counted while reading: devices and pipes tell none beforehand.
pub(super) fn read(path: &Path) -> Result<Vec<u8>, String> {
    let fail = |e: std::io::Error| format!("{} cannot be read: {}", shown(path), reason(&e));
    let mut bytes = Vec::new();
    std::fs::File::open(path)
        .and_then(|file| file.take(LARGEST + 1).read_to_end(&mut bytes))
        .map_err(fail)?;
    if bytes.len() as u64 > LARGEST {
        return Err(format!(
            "{} is larger than 64 MB, more than any scenario or year of weather. Check that this is the right file.",
            shown(path)
        ));
    }
    Ok(bytes)
}

/// A scenario from its text, or all that is wrong with it.
pub(super) fn parse(bytes: &[u8], display_name: &str) -> Result<Scenario, Faults> {
    let starting = |heads: &[&str]| -> Vec<&'static str> {
        classes::class_names()
            .filter(|n| heads.iter().any(|h| n.starts_with(h)))
            .collect()
    };
    let dehumidifiers = starting(&["refrigerant", "low_grain"]);
    let desiccants = starting(&["desiccant"]);
    let heaters = starting(&["electric", "direct_fired", "indirect_fired", "make_up_air"]);
    let fans = starting(&["fan"]);
    let outside_air = starting(&["outside_air", "openings"]);
    let known = Classes {
        dehumidifiers: &dehumidifiers,
        desiccants: &desiccants,
        heaters: &heaters,
        fans: &fans,
        outside_air: &outside_air,
    };
    scenario::read_bytes(bytes, display_name, &known)
}

/// A scenario from its file, or all that is wrong with it.
pub(super) fn scenario(path: &Path) -> Result<Scenario, String> {
    let bytes = read(path).map_err(|fault| {
        if path.try_exists().unwrap_or(true) {
            fault
        } else {
            format!("{fault} To start a scenario: coatday new {}", shown(path))
        }
    })?;
    parse(&bytes, &shown(path)).map_err(|f| f.to_string())
}

/// A job with its weather, and notes about the weather.
pub(super) fn job(path: &Path, scenario: &Scenario) -> Result<(Job, Vec<String>), String> {
    let folder = path.parent().map(Path::to_path_buf).unwrap_or_default();
    let load = |name: &str| {
        read(&folder.join(name)).map_err(|fault| {
            format!(
                "{}: site.weather: {fault} A weather file is looked for beside the scenario.",
                shown(path)
            )
        })
    };
    let (weather, notices) = job::weather(scenario, &load).map_err(|faults| faults.join("\n"))?;
    let notices = notices.iter().map(ToString::to_string).collect();
    Ok((job::job(scenario, weather), notices))
}

/// The findings of the walk's table, which lies beside the scenario; none if there is no table.
fn findings(path: &Path, scenario: &Scenario, walk: &Walk) -> Result<Vec<Finding>, String> {
    let Some(name) = &walk.findings_csv else {
        return Ok(Vec::new());
    };
    let table = path.parent().map(Path::to_path_buf).unwrap_or_default();
    let table = table.join(name);
    let bytes = read(&table).map_err(|fault| {
        format!(
            "{}: walk.findings_csv: {fault} The table is looked for beside the scenario.",
            shown(path)
        )
    })?;
    let thickness = scenario.slab.thickness.si();
    scenario::read_findings(&bytes, &shown(&table), walk, thickness).map_err(|f| f.to_string())
}

/// The walk over a floor, prepared: with the drying of a job where there is one and some area is of concrete.
pub(super) fn prepared(
    path: &Path,
    scenario: &Scenario,
    walk: &Walk,
    job: Option<&Job>,
) -> Result<Prepared, String> {
    let table = findings(path, scenario, walk)?;
    let depth = match job.filter(|_| has_concrete(walk)) {
        Some(job) => Depth::Drying(job, Accuracy::default()),
        None => Depth::Tasks,
    };
    prepare_floor(scenario, walk, &table, depth)
        .map_err(|fault| format!("{}: {fault}", shown(path)))
}

/// Whether some area is of concrete, whose drying is simulated.
pub(super) fn has_concrete(walk: &Walk) -> bool {
    walk.areas.iter().any(|area| area.is_concrete())
}

/// A scenario that is ready to run.
pub(super) struct Ready {
    pub(super) scenario: Scenario,
    /// With the work on the floor in it.
    pub(super) job: Job,
    /// The walk over the floor, prepared; `None` without a walk.
    pub(super) prepared: Option<Prepared>,
    /// What its calendar does to the slab; `None` where no concrete is walked over.
    pub(super) work: Option<OnTheSlab>,
    pub(super) notices: Vec<String>,
}

/// A scenario and its job. Where the scenario has a walk over concrete its work is in the job: wet tasks wet the slab, and tasks that
/// open its face open it, on the days of the calendar that `coatday prep` shows.
pub(super) fn ready(path: &Path) -> Result<Ready, String> {
    let scenario = scenario(path)?;
    let (job, mut notices) = job(path, &scenario)?;
    let Some(walk) = &scenario.walk else {
        return Ok(Ready {
            scenario,
            job,
            prepared: None,
            work: None,
            notices,
        });
    };
    let prepared = prepared(path, &scenario, walk, Some(&job))?;
    let work = has_concrete(walk).then(|| work_on_the_slab(&prepared, &scenario, walk));
    let job = match &work {
        Some(work) => {
            notices.push(
                "The work on the floor is in the drying: see its calendar with coatday prep."
                    .into(),
            );
            work.in_job(&job)
        }
        None => job,
    };
    Ok(Ready {
        prepared: Some(prepared),
        scenario,
        job,
        work,
        notices,
    })
}

/// What to do if a file of the name is there already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Existing {
    /// Put the new one in its place.
    Replace,
    /// Leave it, which is a fault.
    Keep,
}

/// Takes away what killed runs left in a folder. What cannot be looked at or removed stays: it is in nobody's way.
pub(super) fn tidy(folder: &Path) {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return;
    };
    for entry in entries.flatten() {
        let ours = entry
            .file_name()
            .to_str()
            .is_some_and(|name| name.starts_with(UNFINISHED));
        let abandoned = || {
            let metadata = entry.metadata().ok()?;
            let age = metadata.modified().ok()?.elapsed().ok()?;
            Some(metadata.is_file() && age.as_secs() > ABANDONED)
        };
        if ours && abandoned() == Some(true) {
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

/// Writes a file through a neighbour of its own, so that it is there whole or not at all.
pub(super) fn write(path: &Path, bytes: &[u8], existing: Existing) -> Result<(), String> {
    let folder = match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p.to_path_buf(),
        _ => PathBuf::from("."),
    };
    let fail = |e: std::io::Error| format!("{} cannot be written: {}", shown(path), reason(&e));
    let mut file = tempfile::Builder::new()
        .prefix(UNFINISHED)
        .tempfile_in(&folder)
        .map_err(fail)?;
    file.write_all(bytes).map_err(fail)?;
    file.as_file().sync_all().map_err(fail)?;
    readable_by_all(file.path()).map_err(fail)?;
    match existing {
        Existing::Replace => file.persist(path),
        Existing::Keep => file.persist_noclobber(path),
    }
    .map_err(|e| fail(e.error))?;
    Ok(())
}

/// A temporary file is for its owner alone; what is handed on is for all to read.
#[cfg(unix)]
fn readable_by_all(path: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    std::fs::set_permissions(path, std::fs::Permissions::from_mode(0o644))
}

/// Elsewhere a file takes the permissions of its folder.
#[cfg(not(unix))]
fn readable_by_all(_: &Path) -> std::io::Result<()> {
    Ok(())
}
