//! Arguments that several commands share.

use super::charts;
use super::ending::Fault;
use super::printer::Printer;
use crate::computer::{files, logbook};
use crate::evaluate::odds::{USUAL_SAMPLES, USUAL_SEED};
use crate::facade::Sampling;
use crate::results::{Answer, Document};
use crate::units::{Kind, UnitFault, parse, ranges};
use crate::verdict::ENOUGH_CASES;
use crate::writers::json::json;
use std::path::{Path, PathBuf};

/// Where the results go.
#[derive(Debug, clap::Args)]
pub(super) struct Output {
    /// Results as one JSON object on standard output
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    charts: Charts,
}

/// Where the charts go.
#[derive(Debug, clap::Args)]
struct Charts {
    /// Folder for the charts (SVG and PNG); made if need be
    #[arg(long, value_name = "FOLDER", default_value = "plots")]
    out: PathBuf,
    /// No charts
    #[arg(long, conflicts_with = "out")]
    no_charts: bool,
}

impl Output {
    /// Results for people and no charts.
    pub(super) fn on_the_terminal() -> Self {
        Self {
            json: false,
            charts: Charts {
                out: PathBuf::new(),
                no_charts: true,
            },
        }
    }

    /// The scenario with its job and the readings of the log beside it, and the folder for the charts made.
    pub(super) fn ready(&self, scenario: &Path) -> Result<files::Ready, String> {
        let ready = logbook::with_readings(files::ready(scenario)?, scenario)?;
        self.folder()?;
        Ok(ready)
    }

    /// Makes the folder for the charts. Before a long run, so that a bad folder costs no waiting.
    pub(super) fn folder(&self) -> Result<(), String> {
        if self.charts.no_charts {
            return Ok(());
        }
        charts::folder(&self.charts.out)
    }

    /// Writes what was found: for programs or for people, and its charts, which are named after the scenario's file.
    pub(super) fn write(
        &self,
        scenario: &Path,
        printer: &Printer,
        answer: &impl Answer,
    ) -> Result<(), Fault> {
        let document = answer.document(printer.system);
        if self.json {
            printer.data(&json(&answer.data())?);
        } else {
            printer.document(&document);
        }
        self.draw(scenario, printer, &document)
    }

    fn draw(&self, scenario: &Path, printer: &Printer, document: &Document) -> Result<(), Fault> {
        if self.charts.no_charts {
            return Ok(());
        }
        charts::write(scenario, &self.charts.out, document, printer)?;
        Ok(())
    }
}

/// Most cases that are simulated: more take hours and say no more.
pub(super) const MOST_SAMPLES: u32 = 10_000;

/// Reads a whole number typed as an option.
pub(super) fn whole(least: u32, most: u32) -> impl Fn(&str) -> Result<u32, String> + Clone {
    move |text| {
        let number = text.trim().parse().ok();
        number
            .filter(|number| (least..=most).contains(number))
            .ok_or_else(|| format!("Give a whole number from {least} to {most}."))
    }
}

/// A quantity typed as an option, in SI; within a range of the table of ranges, if one is named.
pub(super) fn quantity(
    option: &str,
    kind: Kind,
    text: &str,
    range: Option<&str>,
) -> Result<f64, String> {
    let said = |fault: UnitFault| format!("--{option}: {} {}", fault.message, fault.help);
    let amount = parse(kind, text).map_err(said)?;
    let value = amount.si();
    match range.and_then(ranges::find) {
        Some(range) if !range.holds(value) => Err(said(range.fault(value, Some(&amount)))),
        _ => Ok(value),
    }
}

/// Simulated cases.
#[derive(Clone, Copy, Debug, clap::Args)]
pub(super) struct Samples {
    /// Simulated cases behind the range and the chance; 0 for none
    #[arg(long, value_name = "N", default_value_t = USUAL_SAMPLES, value_parser = whole(0, MOST_SAMPLES))]
    pub(super) samples: u32,
    /// Seed of the random draws: the same seed gives the same answer
    #[arg(long, value_name = "N", default_value_t = USUAL_SEED, value_parser = whole(0, u32::MAX))]
    pub(super) seed: u32,
}

impl Samples {
    /// Says so where the cases asked for are too few for a range.
    pub(super) fn noted(self, printer: &Printer) -> Self {
        if (1..ENOUGH_CASES as u32).contains(&self.samples) {
            printer.note(&format!(
                "--samples {} is too few for a range. Give {ENOUGH_CASES} or more, or 0 for none.",
                self.samples
            ));
        }
        self
    }
}

impl Default for Samples {
    fn default() -> Self {
        Self {
            samples: USUAL_SAMPLES,
            seed: USUAL_SEED,
        }
    }
}

impl From<Samples> for Sampling {
    fn from(Samples { samples, seed }: Samples) -> Self {
        Self { samples, seed }
    }
}
