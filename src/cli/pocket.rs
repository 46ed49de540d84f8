//! `coatday pocket`: one file for the phone.

use super::arguments::Samples;
use super::ending::{Ending, Fault};
use super::printer::Printer;
use crate::computer::{clock, files, logbook};
use crate::page::pocket::pocket;
use std::path::PathBuf;

/// Arguments of `pocket`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "The file needs no network and no program on the phone but a browser: send it by mail or message. It holds the verdict, the readings to expect, the rules of the coating day with a dew-point calculator, and a form for readings. The readings come back as text: coatday readings job.json --from readings.csv takes each in once."
)]
pub(super) struct PocketArguments {
    /// The scenario, a JSON file. The readings come from the log beside it
    scenario: PathBuf,
    /// The file to write. Default: the scenario's name with -pocket.html, in this folder
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// The day and time that the file is made for, such as "2026-11-25 07:30". Default: now
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    #[command(flatten)]
    odds: Samples,
}

pub(super) fn run(arguments: &PocketArguments, printer: &Printer) -> Result<Ending, Fault> {
    let now = clock::moment("at", arguments.at.as_deref())?;
    let open = logbook::with_readings(files::ready(&arguments.scenario)?, &arguments.scenario)?;
    let usual = || {
        PathBuf::from(format!(
            "{}-pocket.html",
            files::chart_stem(&arguments.scenario)
        ))
    };
    let out = arguments.out.clone().unwrap_or_else(usual);
    let text = pocket(&open, arguments.odds.into(), now, printer.system);
    files::write(&out, text.as_bytes(), files::Existing::Replace)?;
    printer.note(&format!("For the phone: {}", files::shown(&out)));
    Ok(Ending::Good)
}
