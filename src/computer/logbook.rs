//! The file of the log: read whole, added to at its end and nowhere else.
//!
//! An append holds a lock, writes its lines in one piece at the end and is confirmed only when the disk has them: the file is
//! flushed, and for a new file its folder too. A new log is made beside its place and moved there, so that it is there with its
//! first reading or not at all. A crash can leave at most one line without its end, which was not confirmed; the next append
//! leaves it as it is and starts on a line of its own.

use super::{clock, files};
use crate::moisture_log::{Addition, Entry, Log, addition, read_log};
use crate::open::{OpenJob, STANDARD_INPUT};
use crate::scenario::Faults;
use jiff::civil::Date;
use std::fs::{File, Metadata, OpenOptions, TryLockError};
use std::io::{ErrorKind, Read, Write};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// How long to wait for another process that is adding to the log.
const PATIENCE: Duration = Duration::from_secs(10);
/// Time between two tries.
const PAUSE: Duration = Duration::from_millis(5);
/// Times that a log may be put in place of another while this one is being opened.
const MOST_TURNS: usize = 20;

/// The log that belongs to a scenario.
pub(crate) fn path(scenario: &Path, given: Option<&Path>) -> PathBuf {
    given.map_or_else(
        || {
            let mut name = if scenario == Path::new(STANDARD_INPUT) {
                files::FROM_STANDARD_INPUT.into()
            } else {
                scenario.file_stem().unwrap_or_default().to_owned()
            };
            name.push("-readings.csv");
            scenario.with_file_name(name)
        },
        Path::to_path_buf,
    )
}

/// The log beside a scenario, if there is one, or the one that was asked for, which must be there then; with its path.
pub(crate) fn log(
    scenario: &Path,
    given: Option<&Path>,
    placed: Date,
) -> Result<(PathBuf, Option<Log>), String> {
    let path = path(scenario, given);
    let bytes = read(&path)?;
    if bytes.is_none() && given.is_some() {
        return Err(format!(
            "{}: there is no such log. Check the name, or leave out --log.",
            files::shown(&path)
        ));
    }
    let log = bytes.map(|bytes| read_log(&files::shown(&path), &bytes, placed));
    Ok((path, log))
}

/// A job with the readings of the log beside its scenario, up to now. Lines that cannot be read are told and not used.
pub(crate) fn with_readings(mut open: OpenJob, scenario: &Path) -> Result<OpenJob, String> {
    let (_, log) = log(scenario, None, open.scenario.slab.placed)?;
    let Some(log) = log else {
        return Ok(open);
    };
    if let Some(faults) = &log.faults {
        let not_used = "The dates leave these lines out.";
        open.notices.push(format!("{faults} {not_used}").into());
    }
    Ok(open.with_readings(&log, clock::now()))
}

/// The bytes of a log; none if there is no such file.
pub(crate) fn read(path: &Path) -> Result<Option<Vec<u8>>, String> {
    regular_if_there(path)?;
    let mut file = match File::open(path) {
        Ok(file) => file,
        // A name that is too long for the disk is that of no file.
        Err(e) if matches!(e.kind(), ErrorKind::NotFound | ErrorKind::InvalidFilename) => {
            return Ok(None);
        }
        Err(e) => return Err(cannot("read", path, &e)),
    };
    regular(file.metadata(), path)?;
    // A log on a disk without locks is read as it is: at worst the line being added is missing its end.
    let _ = locked(path, || file.try_lock_shared());
    contents(&mut file, path).map(Some)
}

/// Adds to a log what `make` says for its present bytes. Returns when the disk has it.
fn append(
    path: &Path,
    make: &mut dyn FnMut(&[u8]) -> Result<Addition, String>,
) -> Result<Addition, String> {
    for _ in 0..MOST_TURNS {
        regular_if_there(path)?;
        let opened = OpenOptions::new().read(true).append(true).open(path);
        let mut file = match opened {
            Ok(file) => file,
            Err(e) if e.kind() == ErrorKind::NotFound => match first(path, make)? {
                Some(addition) => return Ok(addition),
                None => continue,
            },
            Err(e) => return Err(cannot("written", path, &e)),
        };
        regular(file.metadata(), path)?;
        locked(path, || file.try_lock())?;
        // Someone may have put another file in its place before the lock was had.
        if !still_there(&file, path) {
            continue;
        }
        let bytes = contents(&mut file, path)?;
        let addition = make(&bytes)?;
        if addition.bytes.is_empty() {
            return Ok(addition);
        }
        let written = file
            .write_all(&addition.bytes)
            .and_then(|()| file.sync_all());
        if let Err(e) = written {
            // Nothing half written stays behind, if the disk allows that much.
            let _ = file.set_len(bytes.len() as u64);
            let _ = file.sync_all();
            return Err(cannot("written", path, &e));
        }
        return Ok(addition);
    }
    Err(format!(
        "{}: another program keeps replacing this file. Close it there and try again.",
        files::shown(path)
    ))
}

/// Adds entries to a log, all or none. `by_place` says what is wrong with them.
pub(crate) fn add(
    path: &Path,
    entries: &[Entry],
    placed: Date,
    by_place: &dyn Fn(&Faults) -> String,
) -> Result<Addition, String> {
    let name = files::shown(path);
    append(path, &mut |existing| {
        let mut without: Vec<&str> = entries
            .iter()
            .flat_map(|entry| entry.without_place(existing))
            .collect();
        without.sort_unstable();
        without.dedup();
        if !without.is_empty() {
            return Err(format!(
                "{name} has no column for {}. Add its name to the line of column names, and a comma to each row. Nothing was added.",
                without.join(", ")
            ));
        }
        addition(&name, existing, entries, placed).map_err(|faults| by_place(&faults))
    })
}

/// Makes a new log with its first readings; none if meanwhile there is one.
fn first(
    path: &Path,
    make: &mut dyn FnMut(&[u8]) -> Result<Addition, String>,
) -> Result<Option<Addition>, String> {
    let addition = make(&[])?;
    if addition.bytes.is_empty() {
        return Ok(Some(addition));
    }
    if let Err(fault) = files::write(path, &addition.bytes, files::Existing::Keep) {
        return if std::fs::metadata(path).is_ok() {
            Ok(None)
        } else {
            Err(fault)
        };
    }
    let folder = match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    };
    flush_folder(folder).map_err(|e| cannot("flushed to disk", folder, &e))?;
    Ok(Some(addition))
}

/// Whether an open file is the one that its path leads to.
#[cfg(unix)]
fn still_there(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    match (file.metadata(), std::fs::metadata(path)) {
        (Ok(a), Ok(b)) => (a.dev(), a.ino()) == (b.dev(), b.ino()),
        _ => false,
    }
}

/// Elsewhere two files are told apart by when they were made and how long they are.
#[cfg(not(unix))]
fn still_there(file: &File, path: &Path) -> bool {
    match (file.metadata(), std::fs::metadata(path)) {
        (Ok(a), Ok(b)) => (a.created().ok(), a.len()) == (b.created().ok(), b.len()),
        _ => false,
    }
}

/// Puts the entry of a new file on the disk.
#[cfg(unix)]
fn flush_folder(folder: &Path) -> std::io::Result<()> {
    File::open(folder)?.sync_all()
}

/// Elsewhere a folder cannot be opened; its entries are written with the file.
#[cfg(not(unix))]
fn flush_folder(_: &Path) -> std::io::Result<()> {
    Ok(())
}

fn cannot(what: &str, path: &Path, error: &std::io::Error) -> String {
    format!(
        "{} cannot be {what}: {}",
        files::shown(path),
        files::reason(error)
    )
}

/// Refuses what is no plain file. Before a path is opened, too: opening a pipe waits for its other end.
fn regular(data: std::io::Result<Metadata>, path: &Path) -> Result<(), String> {
    match data {
        Ok(data) if data.is_file() => Ok(()),
        Ok(_) => Err(format!(
            "{} is not a file. Name a file for the log.",
            files::shown(path)
        )),
        Err(e) => Err(cannot("read", path, &e)),
    }
}

/// The same of a path, if there is anything at it.
fn regular_if_there(path: &Path) -> Result<(), String> {
    match path.metadata() {
        Ok(data) => regular(Ok(data), path),
        Err(_) => Ok(()),
    }
}

fn contents(file: &mut File, path: &Path) -> Result<Vec<u8>, String> {
    let mut bytes = Vec::new();
    file.take(files::LARGEST + 1)
        .read_to_end(&mut bytes)
        .map_err(|e| cannot("read", path, &e))?;
    if bytes.len() as u64 > files::LARGEST {
        return Err(format!(
            "{} is larger than 64 MB. No log of readings is. Start a new one.",
            files::shown(path)
        ));
    }
    Ok(bytes)
}

/// Waits for a lock.
fn locked(path: &Path, mut lock: impl FnMut() -> Result<(), TryLockError>) -> Result<(), String> {
    let until = Instant::now() + PATIENCE;
    loop {
        match lock() {
            Ok(()) => return Ok(()),
            Err(TryLockError::WouldBlock) if Instant::now() < until => std::thread::sleep(PAUSE),
            Err(TryLockError::WouldBlock) => {
                return Err(format!(
                    "{}: another program has kept this file locked for {} s. Try again, or end the other program.",
                    files::shown(path),
                    PATIENCE.as_secs()
                ));
            }
            Err(TryLockError::Error(e)) => {
                return Err(format!(
                    "{}: the file cannot be locked, so two programs could write over each other: {e}. Keep the log on a local disk.",
                    files::shown(path)
                ));
            }
        }
    }
}
