//! Faults and notices of weather readers, with their place.

use std::fmt;

use super::LIMITS;
use crate::units::format::Said;

/// Where in a source something is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Position {
    /// Line, counted from 1.
    pub line: Option<usize>,
    /// Column (comma-separated field), counted from 1.
    pub column: Option<usize>,
    /// Name of the field.
    pub field: Option<String>,
}

impl Position {
    pub(super) fn line(line: usize) -> Self {
        Self {
            line: Some(line),
            ..Self::default()
        }
    }

    pub(super) fn field(line: usize, column: usize, field: &str) -> Self {
        Self {
            line: Some(line),
            column: Some(column),
            field: Some(field.to_owned()),
        }
    }

    pub(super) fn named(field: &str) -> Self {
        Self {
            field: Some(field.to_owned()),
            ..Self::default()
        }
    }
}

impl fmt::Display for Position {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(f, ", line {line}")?;
        }
        if let Some(column) = self.column {
            write!(f, ", column {column}")?;
        }
        match &self.field {
            Some(field) if self.column.is_some() => write!(f, " ({field})"),
            Some(field) => write!(f, ", {field}"),
            None => Ok(()),
        }
    }
}

/// Something that stops the weather from being used: what is wrong, where, and what to do about it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{source_name}{position}: {message}")]
pub struct WeatherFault {
    /// Display name of the source.
    pub source_name: String,
    /// Where in the source.
    pub position: Position,
    /// Complete sentences: what is wrong and what to do next.
    pub message: String,
}

impl WeatherFault {
    pub(super) fn of(name: &str, message: impl Into<String>) -> Self {
        Self::at(name, Position::default(), message)
    }

    pub(super) fn at(name: &str, position: Position, message: impl Into<String>) -> Self {
        Self {
            source_name: name.to_owned(),
            position,
            message: message.into(),
        }
    }
}

/// Something the user should know about the weather although it can be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// Display name of the source.
    pub source_name: String,
    /// First place in the source.
    pub position: Position,
    /// Number of hours concerned; 0 if the notice is not about hours.
    pub hours: usize,
    /// Complete sentences: what was found and what was done about it.
    pub message: Said,
}

impl Notice {
    /// The notice with its place.
    #[must_use]
    pub fn said(&self) -> Said {
        let (name, position) = (&self.source_name, &self.position);
        Said::new(|system| format!("{name}{position}: {}", self.message.of(system)))
    }
}

/// Collects faults up to a limit, then only counts them, so that hopeless input costs little.
pub(super) struct Faults<'a> {
    name: &'a str,
    list: Vec<WeatherFault>,
    more: usize,
}

impl<'a> Faults<'a> {
    pub(super) fn new(name: &'a str) -> Self {
        Self {
            name,
            list: Vec::new(),
            more: 0,
        }
    }

    /// The message is only built if it will be shown.
    pub(super) fn add(
        &mut self,
        position: impl FnOnce() -> Position,
        message: impl FnOnce() -> String,
    ) {
        if self.list.len() < LIMITS.most_faults {
            self.list
                .push(WeatherFault::at(self.name, position(), message()));
        } else {
            self.more += 1;
        }
    }

    pub(super) fn none(&self) -> bool {
        self.list.is_empty()
    }

    /// The list; if faults were left out its last entry says how many.
    pub(super) fn into_list(mut self) -> Vec<WeatherFault> {
        if self.more > 0 {
            self.list.push(WeatherFault::of(
                self.name,
                format!(
                    "There are {} more faults like these. Correct those listed here, then try again.",
                    self.more
                ),
            ));
        }
        self.list
    }
}

/// Collects notices, one per subject, counting the hours each concerns.
pub(super) struct Notices<'a> {
    name: &'a str,
    list: Vec<Notice>,
}

impl<'a> Notices<'a> {
    pub(super) fn new(name: &'a str) -> Self {
        Self {
            name,
            list: Vec::new(),
        }
    }

    pub(super) fn add(&mut self, position: Position, hours: usize, message: impl Into<Said>) {
        self.list.push(Notice {
            source_name: self.name.to_owned(),
            position,
            hours,
            message: message.into(),
        });
    }

    pub(super) fn into_list(self) -> Vec<Notice> {
        self.list
    }
}
