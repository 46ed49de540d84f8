//! `coatday new`: a starter scenario, from options or by asking.

mod questions;

use super::compare::{self, CompareArguments};
use super::ending::{Ending, Fault};
use super::printer::Printer;
use crate::computer::files;
use crate::scenario::{Answers, answers, starter, written};
use crate::units::{Area, Length, UnitFault};
use jiff::ToSpan;
use jiff::civil::Date;
use std::io::IsTerminal;
use std::path::{Path, PathBuf};
use std::str::FromStr;

/// Arguments of `new`.
#[derive(Debug, clap::Args)]
pub(super) struct NewArguments {
    /// The file to write. It must not exist yet
    file: PathBuf,
    #[command(flatten)]
    options: Options,
}

/// What can be given beforehand. Without any of it a terminal is asked.
#[derive(Debug, Default, PartialEq, clap::Args)]
struct Options {
    /// Name of the job. Default: My floor
    #[arg(long, value_name = "TEXT")]
    name: Option<String>,
    /// Where it is, for the weather: a town such as "Tulsa, OK", or latitude and longitude such as "36.15, -95.99"
    #[arg(long, value_parser = answers::place, allow_hyphen_values = true)]
    place: Option<String>,
    /// Floor area, such as "2000 ft2" or "190 m2". Default: 2000 ft2
    #[arg(long, value_parser = quantity::<Area>, allow_hyphen_values = true)]
    area: Option<Area>,
    /// Slab thickness, such as "5 in" or "130 mm". Default: 5 in
    #[arg(long, value_name = "LENGTH", value_parser = quantity::<Length>, allow_hyphen_values = true)]
    thickness: Option<Length>,
    /// Clear height of the room, such as "12 ft" or "3.6 m". Default: 12 ft
    #[arg(long, value_name = "LENGTH", value_parser = quantity::<Length>, allow_hyphen_values = true)]
    height: Option<Length>,
    /// The day the concrete was placed, such as 2026-10-05. Default: 28 days before the gear goes on
    #[arg(long, value_name = "DATE", value_parser = crate::computer::clock::day)]
    placed: Option<Date>,
    /// The day the gear goes on. Default: today
    #[arg(long, alias = "drying-starts", value_name = "DATE", value_parser = crate::computer::clock::day)]
    gear_on: Option<Date>,
    /// The day the floor must be ready to coat
    #[arg(long, value_name = "DATE", value_parser = crate::computer::clock::day)]
    needed_by: Option<Date>,
}

/// What stands in for sizes that are not given.
const AREA: Area = Area::of(2000.0, "ft2");
const THICKNESS: Length = Length::of(5.0, "in");
const HEIGHT: Length = Length::of(12.0, "ft");

/// A quantity that keeps the unit it was typed in.
fn quantity<Q: FromStr<Err = UnitFault>>(text: &str) -> Result<Q, String> {
    text.parse()
        .map_err(|e: UnitFault| format!("{} {}", e.message, e.help))
}

pub(super) fn run(arguments: &NewArguments, printer: &Printer) -> Result<Ending, Fault> {
    let shown = files::shown(&arguments.file);
    if std::fs::symlink_metadata(&arguments.file).is_ok() {
        return Err(
            format!("{shown} is there already and stays as it is. Give another name.").into(),
        );
    }
    let today = jiff::ZonedDateTime::now().date();
    let can_ask = std::io::stdin().is_terminal() && std::io::stderr().is_terminal();
    if can_ask && arguments.options == Options::default() {
        return asked(&arguments.file, today, printer);
    }
    let options = &arguments.options;
    let gear_on = options.gear_on.unwrap_or(today);
    let placed = options
        .placed
        .unwrap_or_else(|| gear_on.checked_sub(28.days()).unwrap_or(gear_on));
    let text = starter(&Answers {
        name: options.name.clone().unwrap_or_else(|| "My floor".into()),
        place: options.place.clone(),
        area: options.area.unwrap_or(AREA),
        thickness: options.thickness.unwrap_or(THICKNESS),
        height: options.height.unwrap_or(HEIGHT),
        placed,
        gear_on,
        needed_by: options.needed_by,
        dehumidifier_class: "low_grain_medium".into(),
        heater_class: "electric_9kw".into(),
        fan_class: "fan_axial_large".into(),
        system: printer.system,
    });
    write(&arguments.file, &text)?;
    printer.note(&format!(
        "Wrote {shown}. Fill in what you know, then run: coatday check {shown}"
    ));
    Ok(Ending::Good)
}

/// Writes a scenario. What the answers say can be impossible together or beyond a limit: then nothing is written.
fn write(file: &Path, text: &str) -> Result<(), String> {
    files::parse(text.as_bytes(), &files::shown(file)).map_err(|faults| {
        let lines = faults.faults.iter();
        let lines =
            lines.map(|fault| format!("{}: {} {}\n", fault.path, fault.message, fault.help));
        lines.collect::<String>() + "Nothing was written."
    })?;
    files::write(file, text.as_bytes(), files::Existing::Keep)
}

/// Asks, writes the scenario, and compares its setups.
fn asked(file: &Path, today: Date, printer: &Printer) -> Result<Ending, Fault> {
    // A folder that cannot be written to is said before ten questions, not after.
    files::writable(file)?;
    let known = questions::ask(today, printer.system)?;
    let (text, taken) = written(&known)?;
    write(file, &text)?;
    let shown = files::shown(file);
    printer.note(&format!("\nWrote {shown}. Assumed without asking:"));
    for one in taken {
        printer.note(&format!("  {one}"));
    }
    printer.note(&format!(
        "Correct what is wrong in {shown}. To see every other assumption: coatday check {shown}\n"
    ));
    compare::run(&CompareArguments::of(file), printer)
}
