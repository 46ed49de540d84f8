//! `coatday new`: a starter scenario.

use super::ending::{Ending, Fault};
use super::files;
use super::printer::Printer;
use crate::scenario::{Answers, starter};
use crate::units::{Area, Length, UnitFault};
use jiff::ToSpan;
use jiff::civil::Date;
use std::path::PathBuf;
use std::str::FromStr;

/// Arguments of `new`.
#[derive(Debug, clap::Args)]
pub(super) struct NewArguments {
    /// The file to write; must not exist yet
    file: PathBuf,
    /// Name of the job
    #[arg(long, value_name = "TEXT", default_value = "My floor")]
    name: String,
    /// Floor area, such as "2000 ft2" or "190 m2"
    #[arg(long, default_value = "2000 ft2", value_parser = quantity::<Area>, allow_hyphen_values = true)]
    area: Area,
    /// Slab thickness, such as "5 in" or "130 mm"
    #[arg(long, value_name = "LENGTH", default_value = "5 in", value_parser = quantity::<Length>, allow_hyphen_values = true)]
    thickness: Length,
    /// Clear height of the room, such as "12 ft" or "3.6 m"
    #[arg(long, value_name = "LENGTH", default_value = "12 ft", value_parser = quantity::<Length>, allow_hyphen_values = true)]
    height: Length,
    /// The day the concrete was placed, such as 2026-10-05. Default: 28 days before drying starts
    #[arg(long, value_name = "DATE", value_parser = super::clock::day)]
    placed: Option<Date>,
    /// The day drying starts. Default: today
    #[arg(long, alias = "drying-starts", value_name = "DATE", value_parser = super::clock::day)]
    gear_on: Option<Date>,
    /// The day the floor must be ready to coat
    #[arg(long, value_name = "DATE", value_parser = super::clock::day)]
    needed_by: Option<Date>,
}

/// A quantity that keeps the unit it was typed in.
fn quantity<Q: FromStr<Err = UnitFault>>(text: &str) -> Result<Q, String> {
    text.parse()
        .map_err(|e: UnitFault| format!("{} {}", e.message, e.help))
}

pub(super) fn run(arguments: &NewArguments, printer: &Printer) -> Result<Ending, Fault> {
    let shown = files::shown(&arguments.file);
    if std::fs::symlink_metadata(&arguments.file).is_ok() {
        return Err(
            format!("{shown} exists already and is left as it is. Give another name.").into(),
        );
    }
    let gear_on = arguments
        .gear_on
        .unwrap_or_else(|| jiff::ZonedDateTime::now().date());
    let placed = arguments
        .placed
        .unwrap_or_else(|| gear_on.checked_sub(28.days()).unwrap_or(gear_on));
    let text = starter(&Answers {
        name: arguments.name.clone(),
        area: arguments.area,
        thickness: arguments.thickness,
        height: arguments.height,
        placed,
        gear_on,
        needed_by: arguments.needed_by,
        dehumidifier_class: "low_grain_medium".into(),
        heater_class: "electric_9kw".into(),
        fan_class: "fan_axial_large".into(),
        system: printer.system,
    });
    // What the answers say can be impossible together or beyond a limit: then nothing is written.
    files::parse(text.as_bytes(), &shown).map_err(|faults| {
        let lines = faults.faults.iter();
        let lines =
            lines.map(|fault| format!("{}: {} {}\n", fault.path, fault.message, fault.help));
        lines.collect::<String>() + "Nothing was written."
    })?;
    files::write(&arguments.file, text.as_bytes(), files::Existing::Keep)?;
    printer.note(&format!(
        "Wrote {shown}. Fill in what you know, then run: coatday check {shown}"
    ));
    Ok(Ending::Good)
}
