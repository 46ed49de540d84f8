//! `coatday report`: one HTML file and one PDF for people who wait for the floor.

use super::arguments::{Samples, setup_of};
use super::compare::worth;
use super::ending::{Ending, Fault};
use super::forecast::{WANTED, WORLDS, seconds};
use super::printer::Printer;
use super::{charts, files, logbook};
use crate::delay::{actions, explain};
use crate::evaluate::odds::{add_odds, sampling_accuracy};
use crate::evaluate::size::{Sized, size};
use crate::evaluate::{Accuracy, advice, compare};
use crate::job::Job;
use crate::moisture_log::forecast::forecast;
use crate::moisture_log::{Judged, Reading, floor_tests, judge};
use crate::preparation::coating::ENOUGH_RUNS;
use crate::preparation::sample_day;
use crate::results::compare::Comparison;
use crate::results::forecast::ForecastFound;
use crate::results::report::{Report, document};
use crate::results::{Document, plain};
use crate::writers::html::html;
use crate::writers::pdf::{Paper, pdf};
use clap::ValueEnum;
use jiff::civil::{Date, DateTime};
use std::path::PathBuf;

/// Paper of the PDF.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
enum PaperName {
    /// 8.5 in x 11 in
    #[default]
    Letter,
    /// 210 mm x 297 mm
    A4,
}

/// Arguments of `report`.
#[derive(Debug, clap::Args)]
pub(super) struct ReportArguments {
    /// The scenario, a JSON file; readings are taken from the log beside it
    scenario: PathBuf,
    /// Folder for the two files; made if need be
    #[arg(long, value_name = "FOLDER", default_value = "plots")]
    out: PathBuf,
    /// Paper of the PDF; the HTML file prints on any
    #[arg(long, value_enum, default_value_t)]
    paper: PaperName,
    /// Name of the setup that is on site. Default: the first of the scenario
    #[arg(long, value_name = "NAME")]
    setup: Option<String>,
    /// The day it is made, which also is the first on which something can be changed; otherwise today
    #[arg(long, value_name = "DATE")]
    date: Option<Date>,
    #[command(flatten)]
    odds: Samples,
    /// The log of readings; otherwise the one beside the scenario
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
}

pub(super) fn run(arguments: &ReportArguments, printer: &Printer) -> Result<Ending, Fault> {
    let files::Ready {
        scenario,
        job,
        mut prepared,
        work,
        mut notices,
    } = files::ready(&arguments.scenario)?;
    let work = work.as_ref();
    charts::folder(&arguments.out)?;
    let made = arguments
        .date
        .unwrap_or_else(|| jiff::ZonedDateTime::now().date());
    let now = made.at(23, 59, 59, 0);
    let asked = arguments.log.as_deref();
    let (_, log) = logbook::log(&arguments.scenario, asked, scenario.slab.placed)?;
    if let Some(faults) = log.as_ref().and_then(|log| log.faults.as_ref()) {
        return Err(faults.to_string().into());
    }
    let judged = log.as_ref().map(|log| judge(&log.readings, &scenario, now));
    let judged = judged.unwrap_or_default();
    let tests = floor_tests(&judged, &scenario);
    let (place, setup) = setup_of(&job, arguments.setup.as_deref())?;

    let mut outcomes = compare(&job, Accuracy::default());
    let Samples { samples, seed } = arguments.odds;
    if samples > 0 {
        add_odds(&job, &mut outcomes, samples, seed, sampling_accuracy());
    }
    if let Some(prepared) = &mut prepared
        && samples as usize >= ENOUGH_RUNS
        && work.is_some()
    {
        prepared.odds = sample_day(prepared, &job, samples, seed);
    }
    let readings = after_the_start(&job, &judged, now);
    let sharpened = (samples > 0 && !readings.is_empty())
        .then(|| forecast(&job, place, &readings, WORLDS, seed, sampling_accuracy()));
    // A report without a promise to be late against is still a report.
    let (explanation, unexplained) = match explain(&scenario, &job.weather, &setup, work) {
        Ok(explanation) => (Some(explanation), None),
        Err(fault) => (None, Some(fault.to_string())),
    };
    let list = actions(&scenario, &job.weather, &setup, work, Some(made)).unwrap_or_else(|fault| {
        notices.push(format!(
            "What would buy days back could not be computed: {fault}."
        ));
        Vec::new()
    });
    let file = document(&Report {
        scenario: &scenario,
        setup: &setup,
        comparison: Comparison {
            job: &job,
            outcomes: &outcomes,
            advice: &advice(&job, &outcomes),
            worth: &worth(&scenario, &job, &outcomes, work.is_some(), Some(&setup)),
            notices: &notices,
        },
        explanation: explanation.as_ref(),
        unexplained,
        actions: &list,
        sized: sized(&job, &setup).as_ref(),
        readings: log.as_ref().map(|_| (judged.as_slice(), tests.as_slice())),
        forecast: sharpened.as_ref().map(|forecast| ForecastFound {
            job: &job,
            setup: &setup,
            forecast,
            readings: &readings,
            wanted: f64::from(WANTED) / 100.0,
            now: seconds(job.placed, now),
            before: 0,
            notices: &notices,
        }),
        prepared: prepared.as_ref(),
        dries: work.is_some(),
        made,
        system: printer.system,
    });
    write(arguments, &file, printer)?;
    Ok(Ending::Good)
}

/// Readings that inform a forecast, which begins with the drying.
fn after_the_start(job: &Job, judged: &[Judged], now: DateTime) -> Vec<Reading> {
    let informing = judged
        .iter()
        .filter(|j| j.informs() && j.reading.time <= now);
    let readings = informing.map(|j| &j.reading);
    readings
        .filter(|r| r.seconds > job.drying_starts)
        .cloned()
        .collect()
}

/// The gear of one setup, checked.
fn sized(job: &Job, setup: &str) -> Option<Sized> {
    let mut one = job.clone();
    one.setups.retain(|s| s.name == setup);
    size(&one, Accuracy::default()).ok()?.pop()
}

fn write(arguments: &ReportArguments, file: &Document, printer: &Printer) -> Result<(), Fault> {
    let paper = match arguments.paper {
        PaperName::Letter => Paper::Letter,
        PaperName::A4 => Paper::A4,
    };
    let printed = pdf(file, paper).map_err(|fault| fault.to_string())?;
    let stem = files::chart_stem(&arguments.scenario);
    for (end, bytes) in [("html", html(file).into_bytes()), ("pdf", printed)] {
        let path = arguments.out.join(format!("{stem}-report.{end}"));
        files::write(&path, &bytes, files::Existing::Replace)?;
        printer.note(&format!("Report: {}", files::shown(&path)));
    }
    if let Some(first) = &file.first {
        printer.data(&format!("{}\n{}", first.date, plain(&first.meaning)));
    }
    Ok(())
}
