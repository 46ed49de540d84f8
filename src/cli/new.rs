//! `coatday new`: a starter scenario.

use super::printer::Printer;
use super::{Ending, files};
use crate::scenario::{Answers, starter};
use crate::units::{Area, Kind, Length, parse};
use jiff::ToSpan;
use jiff::civil::Date;
use std::path::PathBuf;

/// Arguments of `new`.
#[derive(Debug, clap::Args)]
pub(super) struct NewArguments {
    /// The file to write; must not exist yet.
    file: PathBuf,
    /// Name of the job.
    #[arg(long, default_value = "My floor")]
    name: String,
    /// Floor area, such as "2000 ft2" or "190 m2".
    #[arg(long, default_value = "2000 ft2", value_parser = area)]
    area: Area,
    /// Slab thickness, such as "5 in" or "130 mm".
    #[arg(long, default_value = "5 in", value_parser = length)]
    thickness: Length,
    /// Clear height of the room.
    #[arg(long, default_value = "12 ft", value_parser = length)]
    height: Length,
    /// The day the concrete was placed, such as 2026-10-05. Default: 28 days before drying starts.
    #[arg(long)]
    placed: Option<Date>,
    /// The day drying starts. Default: today.
    #[arg(long)]
    drying_starts: Option<Date>,
    /// The day the floor must be ready to coat.
    #[arg(long)]
    needed_by: Option<Date>,
}

fn area(text: &str) -> Result<Area, String> {
    parse(Kind::Area, text)
        .map(|a| Area::from_si(a.si()))
        .map_err(|e| e.to_string())
}

fn length(text: &str) -> Result<Length, String> {
    parse(Kind::Length, text)
        .map(|a| Length::from_si(a.si()))
        .map_err(|e| e.to_string())
}

pub(super) fn run(arguments: &NewArguments, printer: &Printer) -> Ending {
    if arguments.file.exists() {
        printer.fault(&format!(
            "{}: exists already and is left as it is. Give another name.",
            arguments.file.display()
        ));
        return Ending::Fault;
    }
    let drying_starts = arguments
        .drying_starts
        .unwrap_or_else(|| jiff::ZonedDateTime::now().date());
    let placed = arguments.placed.unwrap_or_else(|| {
        drying_starts
            .checked_sub(28.days())
            .unwrap_or(drying_starts)
    });
    let text = starter(&Answers {
        name: arguments.name.clone(),
        area: arguments.area,
        thickness: arguments.thickness,
        height: arguments.height,
        placed,
        drying_starts,
        needed_by: arguments.needed_by,
        dehumidifier_class: "low_grain_medium".into(),
        heater_class: "electric_9kw".into(),
        fan_class: "fan_axial_large".into(),
        system: printer.system,
    });
    if let Err(fault) = files::write(&arguments.file, text.as_bytes()) {
        printer.fault(&fault);
        return Ending::Fault;
    }
    printer.note(&format!(
        "Wrote {0}. Fill in what you know, then run: coatday check {0}",
        arguments.file.display()
    ));
    Ending::Good
}
