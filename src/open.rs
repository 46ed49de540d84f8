//! From a file to a job that every caller computes alike: scenario, weather, the walk with its findings, and the work on the floor in the
//! drying.
//!
//! [`open`] does all that stands between a file and [`OpenJob`]; commands and programs that use the library call it and nothing else, so they
//! cannot come to other answers.

use crate::evaluate::Accuracy;
use crate::job::change::FloorWork;
use crate::job::{self, Job};
use crate::moisture_log::{Judged, Log, Reading, judge};
use crate::preparation::{Depth, PrepareFault, Prepared, prepare_floor, work_on_the_slab};
use crate::results::Logo;
use crate::scenario::model::{Finding, Walk};
use crate::scenario::{self, Faults, Scenario};
use crate::units::format::{Said, is_wild};
use crate::weather::Notice;
use jiff::civil::DateTime;
use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// Files above this are not read: no scenario and no year of hourly weather comes near it \[bytes\].
pub(crate) const LARGEST: u64 = 64 * 1024 * 1024;
/// A path in words: what would move the cursor or turn the line around is replaced.
pub(crate) fn shown(path: &Path) -> String {
    tame(&path.to_string_lossy(), '\u{fffd}')
}

/// Control characters, line separators and marks of writing direction replaced.
pub(crate) fn tame(text: &str, by: char) -> String {
    text.chars()
        .map(|c| if is_wild(c) { by } else { c })
        .collect()
}

/// Why a file could not be used, as the end of a sentence and what to do.
pub(crate) fn reason(error: &std::io::Error) -> String {
    let (why, help) = match error.kind() {
        ErrorKind::NotFound => (
            "there is no such file or folder",
            "Check the name and the folder.",
        ),
        ErrorKind::PermissionDenied => (
            "you have no permission for it",
            "Change the permissions, or use another folder.",
        ),
        ErrorKind::IsADirectory => ("it is a folder", "Name a file."),
        ErrorKind::NotADirectory => (
            "a part of its path is a file, not a folder",
            "Check the path.",
        ),
        ErrorKind::AlreadyExists => ("there is a file of this name already", "Give another name."),
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => {
            ("the disk is full", "Make room, or use another disk.")
        }
        ErrorKind::ReadOnlyFilesystem => ("the disk is read-only", "Use another folder."),
        ErrorKind::InvalidFilename | ErrorKind::InvalidInput => (
            "this disk does not take such a name",
            "Give a shorter, plainer name.",
        ),
        _ => return format!("{error}. Try again, or use another folder."),
    };
    format!("{why}. {help}")
}

/// The path of a scenario that stands for standard input.
pub(crate) const STANDARD_INPUT: &str = "-";

/// Reads a file of reasonable size. Size is counted while reading: devices and pipes tell none beforehand.
pub(crate) fn read(path: &Path) -> Result<Vec<u8>, String> {
    whole(path, std::fs::File::open(path))
}

/// The text of a scenario: that of its file, or standard input.
fn text_of(path: &Path) -> Result<Vec<u8>, String> {
    // Standard input can be read once, and what is read of it serves every later call.
    static GIVEN: OnceLock<Result<Vec<u8>, String>> = OnceLock::new();
    if path == Path::new(STANDARD_INPUT) {
        let given = GIVEN.get_or_init(|| whole(path, Ok(std::io::stdin().lock())));
        return given.clone();
    }
    read(path)
}

/// All bytes of something that was opened.
fn whole(path: &Path, opened: std::io::Result<impl Read>) -> Result<Vec<u8>, String> {
    let mut bytes = Vec::new();
    opened
        .and_then(|file| file.take(LARGEST + 1).read_to_end(&mut bytes))
        .map_err(|e| format!("{} cannot be read: {}", shown(path), reason(&e)))?;
    if bytes.len() as u64 > LARGEST {
        return Err(format!(
            "{} is larger than 64 MB. No scenario and no year of weather is. Check that this is the right file.",
            shown(path)
        ));
    }
    Ok(bytes)
}

/// A scenario from its text, or all that is wrong with it.
pub(crate) fn parse(bytes: &[u8], display_name: &str) -> Result<Scenario, Faults> {
    scenario::read_bytes(bytes, display_name)
}

/// A job from a text that is not in its file yet; other files are looked for beside that file.
pub(crate) fn open_text(path: &Path, text: &str) -> Result<OpenJob, OpenFault> {
    let scenario = parse(text.as_bytes(), &shown(path));
    let scenario = scenario.map_err(|faults| OpenFault(faults.to_string()))?;
    with_work(path, scenario).map_err(OpenFault)
}

/// A scenario from its file, or all that is wrong with it.
pub(crate) fn scenario(path: &Path) -> Result<Scenario, String> {
    let bytes = text_of(path).map_err(|fault| {
        if path.try_exists().unwrap_or(true) {
            fault
        } else {
            format!("{fault} To start a scenario: coatday new {}", shown(path))
        }
    })?;
    parse(&bytes, &shown(path)).map_err(|f| f.to_string())
}

/// A job with its weather, and notes about the weather.
pub(crate) fn job(path: &Path, scenario: &Scenario) -> Result<(Job, Vec<Said>), String> {
    let folder = path.parent().map(Path::to_path_buf).unwrap_or_default();
    let load = |name: &str| {
        read(&folder.join(name)).map_err(|fault| {
            format!(
                "{}: site.weather: {fault} A weather file must lie beside the scenario.",
                shown(path)
            )
        })
    };
    let (weather, notices) = job::weather(scenario, &load).map_err(|faults| faults.join("\n"))?;
    let notices = notices.iter().map(Notice::said).collect();
    Ok((Job::of(scenario, weather), notices))
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
            "{}: walk.findings_csv: {fault} The table must lie beside the scenario.",
            shown(path)
        )
    })?;
    let thickness = scenario.slab.thickness.si();
    scenario::read_findings(&bytes, &shown(&table), walk, thickness).map_err(|f| f.to_string())
}

/// The walk over a floor, prepared: with the drying of a job where there is one and some area is of concrete.
pub(crate) fn prepared(
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
    prepare_floor(scenario, walk, &table, depth).map_err(|fault| match fault {
        PrepareFault::Unknown(unknown) => {
            // The text is read again for the places: what was understood of it has none.
            let text = text_of(path).unwrap_or_default();
            let text = String::from_utf8_lossy(&text);
            scenario::placed_faults(&text, &shown(path), &unknown).to_string()
        }
        fault @ PrepareFault::Calendar(_) => format!("{}: {fault}", shown(path)),
    })
}

/// The logo, which lies beside the scenario; none if none is named.
fn logo(path: &Path, scenario: &Scenario) -> Result<Option<Logo>, String> {
    let named = scenario.document.as_ref().and_then(|d| d.logo.as_ref());
    let Some(name) = named else {
        return Ok(None);
    };
    let file = path.parent().map(Path::to_path_buf).unwrap_or_default();
    let file = file.join(name);
    let fault = |text: String| format!("document.logo: {text}");
    let bytes = read(&file)
        .map_err(|text| fault(format!("{text} The logo must lie beside the scenario.")))?;
    let logo = Logo::new(&bytes);
    let logo = logo.map_err(|why| fault(format!("{} {why}", shown(&file))))?;
    Ok(Some(logo))
}

/// Whether some area is of concrete, whose drying is simulated.
pub(crate) fn has_concrete(walk: &Walk) -> bool {
    walk.areas.iter().any(|area| area.is_concrete())
}

/// A scenario that is ready to run.
#[derive(Clone, Debug)]
pub struct OpenJob {
    /// What the user wrote.
    pub scenario: Scenario,
    /// What is computed, with the work on the floor in it.
    pub job: Job,
    /// The walk over the floor, prepared; `None` without a walk.
    pub prepared: Option<Prepared>,
    /// What its calendar does to the slab; `None` where no concrete is walked over.
    pub work: Option<FloorWork>,
    /// What should be known about the weather, and that the work is in the drying.
    pub notices: Vec<Said>,
    /// Readings of the floor, which sharpen every date; none until [`Self::with_readings`].
    pub readings: Vec<Reading>,
    /// Its file.
    path: PathBuf,
}

impl OpenJob {
    /// With the readings of a log up to a moment, as far as they tell something of the floor.
    #[must_use]
    pub fn with_readings(mut self, log: &Log, now: DateTime) -> Self {
        self.readings = informing(judge(&log.readings, &self.scenario, now), now);
        self
    }

    /// The logo for the report; none if none is named.
    pub(crate) fn logo(&self) -> Result<Option<Logo>, String> {
        logo(&self.path, &self.scenario)
    }

    /// The notices about the weather alone: the last of the others says that the work is in the drying.
    pub(crate) fn weather_notices(&self) -> &[Said] {
        let about_work = usize::from(self.work.is_some());
        &self.notices[..self.notices.len().saturating_sub(about_work)]
    }
}

/// The readings that tell something of the floor up to a moment.
pub(crate) fn informing(judged: Vec<Judged>, now: DateTime) -> Vec<Reading> {
    let informing = judged.into_iter();
    informing
        .filter(|j| j.informs() && j.reading.time <= now)
        .map(|j| j.reading)
        .collect()
}

/// Why a file gives no job: every fault with its place, a line each, ready to print.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct OpenFault(String);

/// Opens a scenario file. Where the scenario has a walk over concrete its work is in the job: wet tasks wet the slab, and tasks that open its
/// face open it, on the days of the calendar that `coatday prep` shows.
///
/// # Errors
/// Every fault of the scenario, or of the weather and findings that it names.
pub fn open(path: impl AsRef<Path>) -> Result<OpenJob, OpenFault> {
    ready(path.as_ref()).map_err(OpenFault)
}

/// A scenario that is ready to run, or every fault of the files that it names: of its weather and of its findings in one answer. What only
/// the drying of its walk can show comes last.
pub(crate) fn checked(path: &Path) -> Result<OpenJob, OpenFault> {
    let scenario = scenario(path).map_err(OpenFault)?;
    let weather = job(path, &scenario).err();
    let walk = scenario.walk.as_ref();
    let floor = walk.and_then(|walk| prepared(path, &scenario, walk, None).err());
    let logo = logo(path, &scenario).err();
    let logo = logo.map(|fault| format!("{}: {fault}", shown(path)));
    let faults: Vec<String> = weather.into_iter().chain(floor).chain(logo).collect();
    if faults.is_empty() {
        open(path)
    } else {
        Err(OpenFault(faults.join("\n\n")))
    }
}

/// A job whose walk is prepared as tasks alone: nothing of its drying is computed.
pub(crate) fn without_drying(path: &Path, scenario: Scenario) -> Result<OpenJob, OpenFault> {
    let (job, notices) = job(path, &scenario).map_err(OpenFault)?;
    let walk = scenario.walk.as_ref();
    let prepared = walk.map(|walk| prepared(path, &scenario, walk, None));
    Ok(OpenJob {
        prepared: prepared.transpose().map_err(OpenFault)?,
        scenario,
        job,
        work: None,
        notices,
        readings: Vec::new(),
        path: path.to_owned(),
    })
}

fn ready(path: &Path) -> Result<OpenJob, String> {
    with_work(path, scenario(path)?)
}

/// The job of a scenario with the work of its walk.
fn with_work(path: &Path, scenario: Scenario) -> Result<OpenJob, String> {
    let (job, mut notices) = job(path, &scenario)?;
    let Some(walk) = &scenario.walk else {
        return Ok(OpenJob {
            scenario,
            job,
            prepared: None,
            work: None,
            notices,
            readings: Vec::new(),
            path: path.to_owned(),
        });
    };
    let prepared = prepared(path, &scenario, walk, Some(&job))?;
    let work = has_concrete(walk).then(|| work_on_the_slab(&prepared, &scenario, walk));
    let job = match &work {
        Some(work) => {
            notices
                .push("The date counts the prep work. To see its calendar: coatday prep.".into());
            job.with_work(work)
        }
        None => job,
    };
    Ok(OpenJob {
        prepared: Some(prepared),
        scenario,
        job,
        work,
        notices,
        readings: Vec::new(),
        path: path.to_owned(),
    })
}
