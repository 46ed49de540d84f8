//! How a command ends: the exit code, and what is said where it gives no result.

use crate::facade::NoAnswer;
use crate::open::{OpenFault, shown};
use crate::verdict::{State, Verdict};
use std::path::Path;
use std::process::ExitCode;

/// What a run came to, as the exit code says it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ending {
    /// A setup meets the target, or the command did what was asked.
    Good,
    /// It ran, and no setup meets the target.
    NoneMeets,
    /// Usage or scenario fault.
    Fault,
    /// The solver gave up.
    GaveUp,
}

impl Ending {
    /// Of a command that is about one floor.
    pub(super) fn of(verdict: &Verdict) -> Self {
        if verdict.makes_it() && !verdict.on_hold() {
            Self::Good
        } else if verdict.state == State::NotComputed {
            Self::GaveUp
        } else {
            Self::NoneMeets
        }
    }
}

impl From<Ending> for ExitCode {
    fn from(ending: Ending) -> Self {
        ExitCode::from(match ending {
            Ending::Good => 0,
            Ending::NoneMeets => 1,
            Ending::Fault => 2,
            Ending::GaveUp => 3,
        })
    }
}

/// Why a command stopped: what is said, and how it ends.
#[derive(Debug)]
pub(super) struct Fault {
    pub(super) text: String,
    pub(super) ending: Ending,
}

impl Fault {
    /// The solver gave up.
    pub(super) fn gave_up(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            ending: Ending::GaveUp,
        }
    }

    /// Why a question about a scenario has no answer.
    pub(super) fn no_answer(scenario: &Path, fault: &NoAnswer) -> Self {
        let text = fault.to_string();
        match fault {
            NoAnswer::Missing(_) => format!("{}: {text}", shown(scenario)).into(),
            NoAnswer::NoSetup { .. } => format!("--setup: {text}").into(),
            NoAnswer::NeverDry(_) => Self::none_meets(text),
            NoAnswer::NotComputed(_) => Self::gave_up(text),
        }
    }

    /// Nothing meets what was asked.
    pub(super) fn none_meets(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            ending: Ending::NoneMeets,
        }
    }
}

/// Why a file gives no job.
impl From<OpenFault> for Fault {
    fn from(fault: OpenFault) -> Self {
        fault.to_string().into()
    }
}

/// Usage or scenario.
impl From<String> for Fault {
    fn from(text: String) -> Self {
        Self {
            text,
            ending: Ending::Fault,
        }
    }
}

/// Faults of usage and scenario, gathered so that all are said at once.
#[derive(Debug, Default)]
pub(super) struct Gathered(Vec<String>);

impl Gathered {
    /// The value, or none with its fault kept.
    pub(super) fn take<T>(&mut self, result: Result<T, String>) -> Option<T> {
        result.map_err(|fault| self.0.push(fault)).ok()
    }

    /// Keeps a fault.
    pub(super) fn add(&mut self, fault: String) {
        self.0.push(fault);
    }

    /// All that was found.
    pub(super) fn fault(self) -> Fault {
        self.0.join("\n").into()
    }

    /// Nothing, or all that was found.
    pub(super) fn none(self) -> Result<(), Fault> {
        if self.0.is_empty() {
            Ok(())
        } else {
            Err(self.fault())
        }
    }
}
