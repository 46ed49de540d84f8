//! Reading scenarios with their weather, and writing files whole or not at all.

use crate::gear::classes;
use crate::scenario::build::{self, Job};
use crate::scenario::{self, Classes, Scenario};
use std::io::Write;
use std::path::{Path, PathBuf};

/// Files above this are not read: no scenario and no year of hourly weather comes near it \[bytes\].
const LARGEST: u64 = 64 * 1024 * 1024;

/// Reads a file of reasonable size.
pub(super) fn read(path: &Path) -> Result<Vec<u8>, String> {
    let shown = path.display();
    let size = std::fs::metadata(path)
        .map_err(|e| format!("{shown}: cannot be read: {e}."))?
        .len();
    if size > LARGEST {
        return Err(format!(
            "{shown}: is larger than 64 MB, more than any scenario or year of weather."
        ));
    }
    std::fs::read(path).map_err(|e| format!("{shown}: cannot be read: {e}."))
}

/// A scenario from its file, or all that is wrong with it.
pub(super) fn scenario(path: &Path) -> Result<Scenario, String> {
    let bytes = read(path)?;
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
    scenario::read_bytes(&bytes, &path.display().to_string(), &known).map_err(|f| f.to_string())
}

/// A job with its weather, and notes about the weather.
pub(super) fn job(path: &Path, scenario: &Scenario) -> Result<(Job, Vec<String>), String> {
    let folder = path.parent().map(Path::to_path_buf).unwrap_or_default();
    let load = |name: &str| read(&folder.join(name));
    let (weather, notices) = build::weather(scenario, &load).map_err(|faults| faults.join("\n"))?;
    let notices = notices.iter().map(ToString::to_string).collect();
    Ok((build::job(scenario, weather), notices))
}

/// Writes a file through a neighbour of its own, so that it is there whole or not at all.
pub(super) fn write(path: &Path, bytes: &[u8]) -> Result<(), String> {
    let folder = match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p.to_path_buf(),
        _ => PathBuf::from("."),
    };
    let fail = |e: std::io::Error| format!("{}: cannot be written: {e}.", path.display());
    let mut file = tempfile::NamedTempFile::new_in(&folder).map_err(fail)?;
    file.write_all(bytes).map_err(fail)?;
    file.as_file().sync_all().map_err(fail)?;
    let permissions = std::os::unix::fs::PermissionsExt::from_mode(0o644);
    std::fs::set_permissions(file.path(), permissions).map_err(fail)?;
    file.persist(path).map_err(|e| fail(e.error))?;
    Ok(())
}
