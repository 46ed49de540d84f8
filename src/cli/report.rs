//! `coatday report`: one HTML file and one PDF for people who wait for the floor, or a letter of one page.

use super::arguments::Samples;
use super::charts;
use super::ending::{Ending, Fault};
use super::printer::Printer;
use crate::computer::{files, logbook};
use crate::facade;
use crate::results::{Document, plain};
use crate::units::System;
use crate::writers::html::html;
use crate::writers::letter::letter;
use crate::writers::pdf::{Paper, pdf};
use clap::ValueEnum;
use jiff::civil::Date;
use std::path::PathBuf;

/// Paper of the PDF.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum PaperName {
    /// 8.5 in x 11 in
    Letter,
    /// 210 mm x 297 mm
    A4,
}

/// Arguments of `report`.
#[derive(Debug, clap::Args)]
pub(super) struct ReportArguments {
    /// The scenario, a JSON file. The readings come from the log beside it
    scenario: PathBuf,
    /// Folder for the two files; made if need be
    #[arg(long, value_name = "FOLDER", default_value = "plots")]
    out: PathBuf,
    /// Paper of the PDF; the HTML file prints on any. Default: letter, or a4 with --units si
    #[arg(long, value_enum)]
    paper: Option<PaperName>,
    /// Write the first page alone as a letter: a PDF, and plain text for an e-mail
    #[arg(long)]
    letter: bool,
    /// Name of the setup that is on site. Default: the first of the scenario
    #[arg(long, value_name = "NAME")]
    setup: Option<String>,
    /// The day of the report, and the first day on which you can still change something. Default: today
    #[arg(long, value_name = "DATE", value_parser = crate::computer::clock::day)]
    date: Option<Date>,
    #[command(flatten)]
    odds: Samples,
    /// The log of readings; otherwise the one beside the scenario
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
}

pub(super) fn run(arguments: &ReportArguments, printer: &Printer) -> Result<Ending, Fault> {
    let ready = files::ready(&arguments.scenario)?;
    charts::folder(&arguments.out)?;
    let made = arguments
        .date
        .unwrap_or_else(|| jiff::ZonedDateTime::now().date());
    let asked = arguments.log.as_deref();
    let placed = ready.scenario.slab.placed;
    let (_, log) = logbook::log(&arguments.scenario, asked, placed)?;
    if let Some(faults) = log.as_ref().and_then(|log| log.faults.as_ref()) {
        return Err(faults.to_string().into());
    }
    let file = facade::report(
        &ready,
        arguments.setup.as_deref(),
        log.as_ref(),
        made,
        arguments.odds.into(),
        printer.system,
    )
    .map_err(|fault| Fault::no_answer(&arguments.scenario, &fault))?;
    write(arguments, &file, printer)?;
    Ok(Ending::Good)
}

fn write(arguments: &ReportArguments, file: &Document, printer: &Printer) -> Result<(), Fault> {
    let paper = match (arguments.paper, printer.system) {
        (Some(PaperName::Letter), _) | (None, System::Us) => Paper::Letter,
        (Some(PaperName::A4) | None, _) => Paper::A4,
    };
    let printed = |file: &Document| pdf(file, paper).map_err(|fault| fault.to_string());
    let files = if arguments.letter {
        let page = file.letter();
        [
            ("letter.pdf", printed(&page)?),
            ("letter.txt", letter(&page).into_bytes()),
        ]
    } else {
        [
            ("report.html", html(file).into_bytes()),
            ("report.pdf", printed(file)?),
        ]
    };
    let stem = files::chart_stem(&arguments.scenario);
    let what = if arguments.letter { "Letter" } else { "Report" };
    for (end, bytes) in files {
        let path = arguments.out.join(format!("{stem}-{end}"));
        files::write(&path, &bytes, files::Existing::Replace)?;
        printer.note(&format!("{what}: {}", files::shown(&path)));
    }
    if let Some(first) = &file.first {
        printer.data(&format!("{}\n{}", first.date, plain(&first.meaning)));
    }
    Ok(())
}
