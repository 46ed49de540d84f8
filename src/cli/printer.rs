//! The one place that writes to the terminal: data on standard output; notes, warnings and progress on standard
//! error. A closed pipe ends the output quietly; data that could not be written otherwise are a fault.

use super::ending::Fault;
use crate::results::{Answer, Document};
use crate::units::System;
use crate::writers::json::json;
use crate::writers::terminal::{WIDTH_WITHOUT_TERMINAL, wrap, wrap_fault};
use clap::ValueEnum;
use indicatif::{ProgressBar, ProgressStyle};
use std::cell::Cell;
use std::io::{ErrorKind, IsTerminal, Write};

/// Units of what people read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum Units {
    /// Inches, °F, pounds.
    #[default]
    Us,
    /// Millimeters, °C, kilograms.
    Si,
}

/// When to use bold type and colour in the terminal.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum Colour {
    /// In a terminal, unless `NO_COLOR` is set.
    #[default]
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

/// The width that the user wants.
fn columns() -> Option<u16> {
    std::env::var("COLUMNS").ok()?.parse().ok()
}

fn terminal_width() -> u16 {
    u16::try_from(textwrap::termwidth()).unwrap_or(u16::MAX)
}

/// Writes everything that people and programs read.
#[derive(Debug)]
pub(super) struct Printer {
    pub(super) system: System,
    pub(super) verbose: bool,
    quiet: bool,
    pub(super) styled: bool,
    failed: Cell<bool>,
}

#[allow(clippy::unused_self)] // one object to print with, whatever it prints
impl Printer {
    pub(super) fn new(units: Units, colour: Colour, quiet: bool, verbose: bool) -> Self {
        Self {
            system: match units {
                Units::Us => System::Us,
                Units::Si => System::Si,
            },
            verbose,
            quiet,
            styled: match colour {
                Colour::Always => true,
                Colour::Never => false,
                Colour::Auto => {
                    std::io::stdout().is_terminal() && std::env::var_os("NO_COLOR").is_none()
                }
            },
            failed: Cell::new(false),
        }
    }

    /// Data.
    pub(super) fn data(&self, text: &str) {
        let mut out = std::io::stdout().lock();
        let written = writeln!(out, "{}", text.trim_end_matches('\n')).and_then(|()| out.flush());
        if let Err(error) = written {
            // A reader that has closed the pipe has read enough.
            if error.kind() != ErrorKind::BrokenPipe && !self.failed.replace(true) {
                self.fault(&format!(
                    "Standard output cannot be written: {}",
                    crate::computer::files::reason(&error)
                ));
            }
        }
    }

    /// Whether data could not be written.
    pub(super) fn failed(&self) -> bool {
        self.failed.get()
    }

    /// What a command found: for programs if they ask, else for people. Cautions stand in the JSON too, so that nothing else is said then.
    pub(super) fn answer(&self, answer: &impl Answer, as_json: bool) -> Result<(), Fault> {
        if as_json {
            self.data(&json(&answer.data())?);
        } else {
            self.document(&answer.document(self.system));
        }
        Ok(())
    }

    /// A document: the result on standard output; cautions, which nobody can switch off, and notes on standard error.
    pub(super) fn document(&self, document: &Document) {
        let lines = document.lines(self.width(), self.styled);
        let mut before = std::io::stdout().is_terminal() && std::io::stderr().is_terminal();
        if lines.result.is_empty() {
            before = false;
        } else {
            self.data(&lines.result);
        }
        let mut notes = if self.quiet { Vec::new() } else { lines.notes };
        let details = if self.verbose {
            lines.details
        } else {
            if !self.quiet {
                notes.splice(0..0, lines.hints);
            }
            Vec::new()
        };
        // A blank line between groups that are read one after the other.
        for group in [lines.cautions, notes, details] {
            if group.is_empty() {
                continue;
            }
            if before {
                Self::error_line("");
            }
            before = true;
            Self::error_line(&group.join("\n"));
        }
    }

    /// Characters in a line of the terminal.
    pub(super) fn width(&self) -> u16 {
        let screen = std::io::stdout().is_terminal();
        columns()
            .or_else(|| screen.then(terminal_width))
            .unwrap_or(WIDTH_WITHOUT_TERMINAL)
    }

    /// A note, unless the user wants none.
    pub(super) fn note(&self, text: &str) {
        if !self.quiet {
            Self::error_line(&wrap(text, self.width()));
        }
    }

    /// A bar for the progress of a long run, on a terminal of a user who wants notes.
    pub(super) fn progress(&self) -> ProgressBar {
        if self.quiet || !std::io::stderr().is_terminal() {
            return ProgressBar::hidden();
        }
        let style = ProgressStyle::with_template("{wide_bar} {percent} %  {msg}");
        ProgressBar::new(0).with_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()))
    }

    /// A fault. Only a screen needs short lines: what reads a pipe wants each fault whole.
    pub(super) fn fault(&self, text: &str) {
        let screen = std::io::stderr().is_terminal();
        let width = columns().or_else(|| screen.then(terminal_width));
        match width {
            Some(width) => Self::error_line(&wrap_fault(text.trim_end(), width)),
            None => Self::error_line(text.trim_end()),
        }
    }

    fn error_line(text: &str) {
        let _ = writeln!(std::io::stderr().lock(), "{text}");
    }
}
