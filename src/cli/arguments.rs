//! Arguments that several commands share.

use super::printer::Printer;
use super::{Ending, charts, files};
use crate::evaluate::odds::{USUAL_SAMPLES, USUAL_SEED};
use crate::job::Job;
use std::path::{Path, PathBuf};

/// Where the results go.
#[derive(Debug, clap::Args)]
pub(super) struct Output {
    /// Results as one JSON object on standard output
    #[arg(long)]
    pub(super) json: bool,
    #[command(flatten)]
    pub(super) charts: Charts,
}

/// Where the charts go.
#[derive(Debug, clap::Args)]
pub(super) struct Charts {
    /// Folder for the charts (SVG and PNG); made if need be
    #[arg(long, value_name = "FOLDER", default_value = "plots")]
    out: PathBuf,
    /// No charts
    #[arg(long, conflicts_with = "out")]
    no_charts: bool,
}

impl Charts {
    /// Whether charts are wanted.
    pub(super) fn wanted(&self) -> bool {
        !self.no_charts
    }

    /// Makes the folder. Before a long run, so that a bad folder costs no waiting.
    pub(super) fn folder(&self) -> Result<(), String> {
        if self.wanted() {
            charts::folder(&self.out)?;
        }
        Ok(())
    }

    /// Writes what `draw` gives (name and SVG text), named after the scenario's file.
    pub(super) fn write(
        &self,
        scenario: &Path,
        printer: &Printer,
        draw: impl FnOnce() -> Vec<(String, String)>,
    ) -> Result<(), String> {
        if self.wanted() {
            charts::write(scenario, &self.out, draw(), printer)?;
        }
        Ok(())
    }
}

impl Charts {
    /// [`Self::write`] at the end of a command, which ends as given unless the charts cannot be written.
    pub(super) fn finish(
        &self,
        scenario: &Path,
        printer: &Printer,
        draw: impl FnOnce() -> Vec<(String, String)>,
        ending: Ending,
    ) -> Ending {
        match self.write(scenario, printer, draw) {
            Ok(()) => ending,
            Err(fault) => {
                printer.fault(&fault);
                Ending::Fault
            }
        }
    }
}

impl Output {
    /// The scenario with its job, and the folder for the charts made.
    pub(super) fn ready(&self, scenario: &Path) -> Result<files::Ready, String> {
        let ready = files::ready(scenario)?;
        self.charts.folder()?;
        Ok(ready)
    }
}

/// Place and name of the setup that was asked for, or of the first: the one on site.
pub(super) fn setup_of(job: &Job, asked: Option<&str>) -> Result<(usize, String), String> {
    let mut setups = job.setups.iter().map(|s| s.name.as_str()).enumerate();
    setups
        .find(|(_, name)| asked.is_none_or(|asked| asked == *name))
        .map(|(place, name)| (place, name.to_owned()))
        .ok_or_else(|| {
            let known: Vec<&str> = job.setups.iter().map(|s| s.name.as_str()).collect();
            format!(
                "--setup: the scenario has no setup \"{}\". It has: {}.",
                asked.unwrap_or_default(),
                known.join("; ")
            )
        })
}

/// Sampled worlds.
#[derive(Clone, Copy, Debug, clap::Args)]
pub(super) struct Samples {
    /// Worlds to sample for the odds of the date; 0 for none
    #[arg(long, value_name = "N", default_value_t = USUAL_SAMPLES, value_parser = clap::value_parser!(u32).range(0..=10_000))]
    pub(super) samples: u32,
    /// Seed of the samples: the same seed gives the same odds
    #[arg(long, value_name = "N", default_value_t = USUAL_SEED)]
    pub(super) seed: u32,
}
