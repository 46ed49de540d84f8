//! `coatday report`: one HTML file and one PDF for people who wait for the floor.

use super::arguments::{Samples, setup_of};
use super::forecast::{WANTED, WORLDS};
use super::printer::Printer;
use super::{Ending, charts, files, logbook};
use crate::delay::{actions, explain};
use crate::evaluate::odds::{add_odds, sampling_accuracy};
use crate::evaluate::size::size;
use crate::evaluate::{Accuracy, advice, assumptions, compare, wetting_costs};
use crate::job::{Job, seconds_between};
use crate::moisture_log::forecast::forecast;
use crate::moisture_log::{Judged, Reading};
use crate::moisture_log::{floor_tests, judge};
use crate::preparation::coating::ENOUGH_RUNS;
use crate::preparation::{Prepared, sample_day};
use crate::results::compared::Worth;
use crate::results::report::{Odds, Parts, document};
use crate::results::{Block, Figure, plain};
use crate::results::foretold;
use crate::results::prepared;
use crate::results::size as sized;
use crate::units::System;
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

pub(super) fn run(arguments: &ReportArguments, printer: &Printer) -> Ending {
    match write(arguments, printer) {
        Ok(ending) => ending,
        Err((ending, fault)) => {
            printer.fault(&fault);
            ending
        }
    }
}

fn write(arguments: &ReportArguments, printer: &Printer) -> Result<Ending, (Ending, String)> {
    let bad = |fault: String| (Ending::Fault, fault);
    let files::Ready {
        scenario,
        job,
        prepared: mut found,
        work,
        mut notices,
    } = files::ready(&arguments.scenario).map_err(bad)?;
    let work = work.as_ref();
    charts::folder(&arguments.out).map_err(bad)?;
    let made = arguments
        .date
        .unwrap_or_else(|| jiff::ZonedDateTime::now().date());
    let asked = arguments.log.as_deref();
    let (_, log) = logbook::log(&arguments.scenario, asked, scenario.slab.placed).map_err(bad)?;
    if let Some(faults) = log.as_ref().and_then(|log| log.faults.as_ref()) {
        return Err(bad(faults.to_string()));
    }
    let now = made.at(23, 59, 59, 0);
    let judged = log
        .as_ref()
        .map(|log| judge(&log.readings, &scenario, now))
        .unwrap_or_default();
    let tests = floor_tests(&judged, &scenario);

    let (place, setup) = setup_of(&job, arguments.setup.as_deref()).map_err(bad)?;
    let mut outcomes = compare(&job, Accuracy::default());
    if arguments.odds.samples > 0 {
        let (samples, seed) = (arguments.odds.samples, arguments.odds.seed);
        add_odds(&job, &mut outcomes, samples, seed, sampling_accuracy());
    }
    if let Some(found) = &mut found
        && arguments.odds.samples as usize >= ENOUGH_RUNS
        && work.is_some()
    {
        let Samples { samples, seed } = arguments.odds;
        found.odds = sample_day(found, &job, samples, seed);
    }
    let mut odds = outcomes
        .iter()
        .find(|o| o.name == setup)
        .and_then(|o| Odds::of(&job, o));
    let foretold = foretell(arguments, &job, (place, &setup), &judged, now);
    if let (Some(odds), Some((sentence, _))) = (&mut odds, &foretold) {
        // With readings the odds are those that the readings leave.
        odds.blocks.insert(
            0,
            Block::Text(format!("Without the readings: {}", odds.sentence)),
        );
        odds.sentence = format!(
            "{sentence} This takes the readings in; the date above is what the scenario says without them."
        );
    }
    let notes = advice(&job, &outcomes);
    let days = outcomes
        .iter()
        .find(|o| o.name == setup)
        .and_then(|o| o.days_to_target);
    // With work on the floor the calendar moves along with every change: see `prep`.
    let worth = days
        .filter(|_| work.is_none())
        .map_or_else(Worth::default, |days| {
            let accuracy = Accuracy::default();
            Worth {
                wettings: wetting_costs(&scenario, &job.weather, &setup, days, accuracy),
                assumptions: assumptions(&scenario, &job.weather, &setup, days, accuracy),
            }
        });
    let (explanation, unexplained) = match explain(&scenario, &job.weather, &setup, work) {
        Ok(explanation) => (Some(explanation), None),
        // A report without a promise to be late against is still a report.
        Err(fault) => (None, Some(fault.to_string())),
    };
    let list = actions(&scenario, &job.weather, &setup, work, Some(made)).unwrap_or_else(|fault| {
        notices.push(format!(
            "What would buy days back could not be computed: {fault}."
        ));
        Vec::new()
    });
    let file = document(&Parts {
        scenario: &scenario,
        job: &job,
        outcomes: &outcomes,
        advice: &notes,
        worth: &worth,
        setup: &setup,
        explanation: explanation.as_ref(),
        unexplained,
        actions: &list,
        odds,
        gear: gear(&job, &setup, printer.system),
        readings: log
            .is_some()
            .then_some((judged.as_slice(), tests.as_slice())),
        forecast: foretold.map(|(_, blocks)| blocks).unwrap_or_default(),
        prep: found
            .as_ref()
            .map(|found| prep(found, work.map(|_| &job), printer.system))
            .unwrap_or_default(),
        notices: &notices,
        made: Some(made),
        system: printer.system,
    });
    let paper = match arguments.paper {
        PaperName::Letter => Paper::Letter,
        PaperName::A4 => Paper::A4,
    };
    let printed = pdf(&file, paper).map_err(|fault| bad(fault.to_string()))?;
    let stem = files::chart_stem(&arguments.scenario);
    for (end, bytes) in [("html", html(&file).into_bytes()), ("pdf", printed)] {
        let path = arguments.out.join(format!("{stem}-report.{end}"));
        files::write(&path, &bytes, files::Existing::Replace).map_err(bad)?;
        printer.note(&format!("Report: {}", files::shown(&path)));
    }
    printer.data(&format!(
        "{}\n{}",
        file.first.date,
        plain(&file.first.meaning)
    ));
    Ok(Ending::Good)
}

/// Load, size and power of one setup.
fn gear(job: &Job, setup: &str, system: System) -> Vec<Block> {
    let mut one = job.clone();
    one.setups.retain(|s| s.name == setup);
    let Ok(checked) = size(&one, Accuracy::default()) else {
        return Vec::new();
    };
    let blocks = |s| sized::blocks(&one, s, 0, system);
    checked.iter().flat_map(blocks).collect()
}

/// The preparation of the floor; `job` where its drying is computed.
fn prep(found: &Prepared, job: Option<&Job>, system: System) -> Vec<Block> {
    let mut blocks = vec![Block::Text(prepared::headline(found, job))];
    let holds = prepared::holds(found);
    if !holds.is_empty() {
        blocks.push(Block::List(holds));
    }
    blocks.push(Block::Table(prepared::findings_by_kind(found)));
    if !found.choices.is_empty() {
        blocks.push(Block::Table(prepared::methods(found)));
    }
    blocks.push(Block::Table(prepared::calendar(found)));
    blocks.push(Block::Table(prepared::shopping(found, system)));
    blocks.push(Block::Table(prepared::checklist(found)));
    blocks.extend(found.cautions.iter().map(|c| Block::caution(c.clone())));
    blocks
}

/// The odds that readings leave, in a sentence, and the section about them; none without readings that inform.
fn foretell(
    arguments: &ReportArguments,
    job: &Job,
    (place, setup): (usize, &str),
    judged: &[Judged],
    now: DateTime,
) -> Option<(String, Vec<Block>)> {
    let readings: Vec<Reading> = judged
        .iter()
        .filter(|j| j.informs() && j.reading.time <= now && j.reading.seconds > job.drying_starts)
        .map(|j| j.reading.clone())
        .collect();
    if readings.is_empty() || arguments.odds.samples == 0 {
        return None;
    }
    let seed = arguments.odds.seed;
    let found = forecast(job, place, &readings, WORLDS, seed, sampling_accuracy());
    let seconds = seconds_between(job.placed, now.date()) + f64::from(now.hour()) * 3600.0;
    let wanted = f64::from(WANTED) / 100.0;
    let lines = foretold::sentences(job, setup, &found, &readings, wanted, seconds);
    let first = lines.first()?.clone();
    let mut blocks = vec![
        Block::List(lines),
        Block::Table(foretold::table(job, &found)),
    ];
    let drawn = foretold::charts(job, &found, &readings);
    for pair in drawn.chunks_exact(2) {
        if let [(name, wide), (_, narrow)] = pair {
            let figure = Figure::drawn(name, wide.clone(), narrow.clone());
            blocks.push(Block::Figure(figure));
        }
    }
    Some((first, blocks))
}
