//! The one place that writes to the terminal: data on standard output; notes, warnings and progress on standard
//! error. A closed pipe ends the output quietly; data that could not be written otherwise are a fault.

use super::{Arguments, Colour, Units};
use crate::results::TextTable;
use crate::units::System;
use crate::writers::WIDTH_WITHOUT_TERMINAL;
use std::cell::Cell;
use std::io::{ErrorKind, IsTerminal, Write};

/// Writes everything that people and programs read.
#[derive(Debug)]
pub(super) struct Printer {
    pub(super) system: System,
    pub(super) verbose: bool,
    quiet: bool,
    styled: bool,
    failed: Cell<bool>,
}

/// The last note under every estimate.
pub(super) const RELEASE: &str = "Estimates: release the floor by its moisture tests, the product's data sheet and the person responsible.";

#[allow(clippy::unused_self)] // one object to print with, whatever it prints
impl Printer {
    pub(super) fn new(arguments: &Arguments) -> Self {
        let styled = match arguments.color {
            Colour::Always => true,
            Colour::Never => false,
            Colour::Auto => {
                std::io::stdout().is_terminal() && std::env::var_os("NO_COLOR").is_none()
            }
        };
        Self {
            system: match arguments.units {
                Units::Us => System::Us,
                Units::Si => System::Si,
            },
            verbose: arguments.verbose,
            quiet: arguments.quiet,
            styled,
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
                    super::files::reason(&error)
                ));
            }
        }
    }

    /// Whether data could not be written.
    pub(super) fn failed(&self) -> bool {
        self.failed.get()
    }

    /// A table, as wide as the terminal.
    pub(super) fn table(&self, table: &TextTable) {
        let width = std::env::var("COLUMNS")
            .ok()
            .and_then(|c| c.parse().ok())
            .or_else(|| comfy_table::Table::new().width())
            .unwrap_or(WIDTH_WITHOUT_TERMINAL);
        self.data(&table.text(width, self.styled));
    }

    /// A note, unless the user wants none.
    pub(super) fn note(&self, text: &str) {
        if !self.quiet {
            Self::error_line(text);
        }
    }

    /// Whether the user wants no notes.
    pub(super) fn is_quiet(&self) -> bool {
        self.quiet
    }

    /// A fault.
    pub(super) fn fault(&self, text: &str) {
        Self::error_line(text.trim_end());
    }

    fn error_line(text: &str) {
        let _ = writeln!(std::io::stderr().lock(), "{text}");
    }
}
