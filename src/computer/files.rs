//! Writing files whole or not at all.

use crate::open::STANDARD_INPUT;
use crate::scenario::Scenario;
use std::io::Write;
use std::path::{Path, PathBuf};

pub(crate) use crate::open::{
    LARGEST, OpenJob as Ready, has_concrete, job, parse, prepared, read, reason, scenario, shown,
    tame,
};

/// Start of the names of files that are being written. A run that is killed while it writes leaves one behind.
const UNFINISHED: &str = ".coatday-unfinished-";
/// A file of such a name that has not been touched for this long belongs to no run any more: writing one takes a moment \[s\].
const ABANDONED: u64 = 600;
/// Longest stem of a chart's file name \[bytes\]: with the longest ending it stays below the 255 of common file systems.
const LONGEST_STEM: usize = 160;

/// The name of a scenario from standard input, for its charts and its log.
pub(crate) const FROM_STANDARD_INPUT: &str = "scenario";

/// The stem of chart files, from the scenario's file name: fit for any file system and never hidden.
pub(crate) fn chart_stem(scenario: &Path) -> String {
    if scenario == Path::new(STANDARD_INPUT) {
        return FROM_STANDARD_INPUT.into();
    }
    let name = scenario.file_stem().unwrap_or_default().to_string_lossy();
    let name = tame(&name, '-').replace('\u{fffd}', "-");
    let mut stem = name.trim().trim_start_matches('.').to_owned();
    while stem.len() > LONGEST_STEM {
        stem.pop();
    }
    if stem.is_empty() {
        stem.push_str(FROM_STANDARD_INPUT);
    }
    stem
}

/// A scenario that is ready to run.
pub(crate) fn ready(path: &Path) -> Result<Ready, String> {
    crate::open::open(path).map_err(|fault| fault.to_string())
}

/// A scenario whose walk is prepared without its drying.
pub(crate) fn without_drying(path: &Path, scenario: Scenario) -> Result<Ready, String> {
    crate::open::without_drying(path, scenario).map_err(|fault| fault.to_string())
}

/// What to do if a file of the name is there already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Existing {
    /// Put the new one in its place.
    Replace,
    /// Leave it, which is a fault.
    Keep,
}

/// Takes away what killed runs left in a folder. What cannot be looked at or removed stays: it is in nobody's way.
pub(crate) fn tidy(folder: &Path) {
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

/// Whether a file can be made in its folder: a fault if not.
pub(crate) fn writable(path: &Path) -> Result<(), String> {
    neighbour(path).map(|_| ()).map_err(|e| cannot(path, &e))
}

fn cannot(path: &Path, error: &std::io::Error) -> String {
    format!("{} cannot be written: {}", shown(path), reason(error))
}

/// A new file beside a path.
fn neighbour(path: &Path) -> std::io::Result<tempfile::NamedTempFile> {
    let folder = match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p.to_path_buf(),
        _ => PathBuf::from("."),
    };
    tempfile::Builder::new()
        .prefix(UNFINISHED)
        .tempfile_in(&folder)
}

/// Writes a file through a neighbour of its own, so that it is there whole or not at all.
pub(crate) fn write(path: &Path, bytes: &[u8], existing: Existing) -> Result<(), String> {
    let fail = |e: std::io::Error| cannot(path, &e);
    let mut file = neighbour(path).map_err(fail)?;
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
