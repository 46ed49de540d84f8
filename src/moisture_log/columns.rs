//! The columns of a log, and its line of names.

use super::parts::{Cell, split};
use crate::scenario::{Collector, either, nearest, resolve};
use std::ops::Range;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Column {
    /// Date and time.
    Time,
    /// Where on the floor.
    Place,
    /// How it was read.
    Method,
    /// Depth below the face.
    Depth,
    /// What was read.
    Value,
    /// Standard deviation of the instrument.
    StandardDeviation,
    /// Temperature of the slab.
    SlabTemperature,
    /// Temperature of the air.
    AirTemperature,
    /// Relative humidity of the air.
    AirRelativeHumidity,
    /// Time in the hole, under the dome, hood or sheet.
    Exposure,
    /// Time at service conditions before the test.
    Conditioned,
    /// Side of the square ground for a dish.
    GroundSide,
    /// Floor area under the dome.
    DishArea,
    /// Kind of concrete.
    Concrete,
    /// Anything worth remembering.
    Note,
}

impl Column {
    /// Every column, in the order of a new log. The note stands last.
    pub const ALL: [Self; 15] = [
        Self::Time,
        Self::Place,
        Self::Method,
        Self::Depth,
        Self::Value,
        Self::StandardDeviation,
        Self::SlabTemperature,
        Self::AirTemperature,
        Self::AirRelativeHumidity,
        Self::Exposure,
        Self::Conditioned,
        Self::GroundSide,
        Self::DishArea,
        Self::Concrete,
        Self::Note,
    ];

    /// Its name in the log.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Time => "time",
            Self::Place => "place",
            Self::Method => "method",
            Self::Depth => "depth",
            Self::Value => "value",
            Self::StandardDeviation => "standard_deviation",
            Self::SlabTemperature => "slab_temperature",
            Self::AirTemperature => "air_temperature",
            Self::AirRelativeHumidity => "air_relative_humidity",
            Self::Exposure => "exposure",
            Self::Conditioned => "conditioned",
            Self::GroundSide => "ground_side",
            Self::DishArea => "dish_area",
            Self::Concrete => "concrete",
            Self::Note => "note",
        }
    }
}

/// Names of columns whose plain numbers are in a fixed unit, as loggers write them.
const WITH_UNIT: [(&str, Column, &str); 10] = [
    ("relative_humidity_percent", Column::Value, "%"),
    ("emission_rate_g_m2_day", Column::Value, "g/m2/day"),
    ("depth_mm", Column::Depth, "mm"),
    ("depth_in", Column::Depth, "in"),
    ("slab_temperature_c", Column::SlabTemperature, "degC"),
    ("slab_temperature_f", Column::SlabTemperature, "degF"),
    ("air_temperature_c", Column::AirTemperature, "degC"),
    ("air_temperature_f", Column::AirTemperature, "degF"),
    (
        "air_relative_humidity_percent",
        Column::AirRelativeHumidity,
        "%",
    ),
    ("exposure_h", Column::Exposure, "h"),
];

/// One column of a file.
#[derive(Clone, Copy, Debug)]
pub(super) struct Placed {
    pub(super) column: Column,
    pub(super) index: usize,
    /// Unit of plain numbers.
    pub(super) unit: Option<&'static str>,
}

/// The columns of a file, from its line of names.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    columns: Vec<Placed>,
    /// Fields of a row.
    pub(super) width: usize,
    /// Names that were passed over.
    pub(super) unknown: Vec<String>,
}

/// The line of names of a new log, without its line end.
pub(super) fn standard_header() -> String {
    Column::ALL.map(Column::name).join(",")
}

impl Layout {
    /// That of a new log.
    pub(super) fn standard() -> Self {
        Self {
            columns: Column::ALL
                .iter()
                .enumerate()
                .map(|(index, column)| Placed {
                    column: *column,
                    index,
                    unit: None,
                })
                .collect(),
            width: Column::ALL.len(),
            unknown: Vec::new(),
        }
    }

    pub(super) fn find(&self, column: Column) -> Option<&Placed> {
        self.columns.iter().find(|placed| placed.column == column)
    }

    pub(super) fn at(&self, index: usize) -> Option<&Placed> {
        self.columns.iter().find(|placed| placed.index == index)
    }

    /// Reads the line of names. `needed` columns must be there; unknown ones are faults unless `pass_over`.
    pub(super) fn read(
        line: &str,
        base: usize,
        needed: &[Column],
        pass_over: bool,
        faults: &mut Collector<'_>,
    ) -> Option<Self> {
        let whole = base..base + line.len();
        let cells = match split(line, base) {
            Ok(cells) => cells,
            Err(fault) => {
                faults.add("", &fault.span, fault.message, fault.help);
                return None;
            }
        };
        if let [only] = cells.as_slice()
            && let Some(separator) = only.text.chars().find(|c| [';', '\t', '|'].contains(c))
        {
            faults.add(
                "",
                &whole,
                format!("The columns are separated by {separator:?}."),
                "Separate them by commas, and write numbers with a decimal point.",
            );
            return None;
        }
        let mut layout = Self {
            columns: Vec::new(),
            width: cells.len(),
            unknown: Vec::new(),
        };
        let mut good = true;
        for (index, cell) in cells.iter().enumerate() {
            good &= layout.name(cell, index, pass_over, faults);
        }
        let missing: Vec<&str> = needed
            .iter()
            .filter(|column| layout.find(**column).is_none())
            .map(|column| column.name())
            .collect();
        if !missing.is_empty() {
            faults.add(
                "",
                &whole,
                format!("The line of column names has no {}.", missing.join(", no ")),
                format!("Add it. {}", allowed()),
            );
            good = false;
        }
        good.then_some(layout)
    }

    fn name(
        &mut self,
        cell: &Cell<'_>,
        index: usize,
        pass_over: bool,
        faults: &mut Collector<'_>,
    ) -> bool {
        let plain = cell.text.trim();
        let names = Column::ALL.map(Column::name).into_iter();
        let names: Vec<&str> = names.chain(WITH_UNIT.map(|(name, ..)| name)).collect();
        let found = resolve(plain, &names).and_then(|meant| {
            let with_unit = WITH_UNIT.iter().find(|(name, ..)| *name == meant);
            let plainly = || Column::ALL.iter().find(|column| column.name() == meant);
            with_unit
                .map(|(_, column, unit)| (*column, Some(*unit)))
                .or_else(|| plainly().map(|column| (*column, None)))
        });
        let Some((column, unit)) = found else {
            if pass_over {
                self.unknown.push(cell.text.trim().to_owned());
                return true;
            }
            let near = nearest(plain, Column::ALL.iter().map(|column| column.name()))
                .map(|near| format!("Did you mean \"{near}\"? "))
                .unwrap_or_default();
            faults.add(
                "",
                &cell.span,
                "This is not the name of a column.",
                format!("{near}{}", allowed()),
            );
            return false;
        };
        if let Some(first) = self.find(column) {
            let message = format!(
                "The {} is in column {} already.",
                column.name(),
                first.index + 1
            );
            faults.add("", &cell.span, message, "Leave one of the two out.");
            return false;
        }
        self.columns.push(Placed {
            column,
            index,
            unit,
        });
        true
    }
}

fn allowed() -> String {
    let with_unit: Vec<&str> = WITH_UNIT.iter().map(|(name, ..)| *name).collect();
    format!(
        "Columns: {}. For plain numbers: {}.",
        Column::ALL.map(Column::name).join(", "),
        with_unit.join(", ")
    )
}

/// A fault for a word that is none of these.
pub(super) fn not_one_of(
    path: &str,
    span: &Range<usize>,
    text: &str,
    words: &[&str],
    faults: &mut Collector<'_>,
) {
    let near = nearest(text, words.iter().copied())
        .map(|near| format!("Did you mean \"{near}\"? "))
        .unwrap_or_default();
    faults.add(
        path,
        span,
        format!("\"{}\" is not known here.", super::parts::shown(text)),
        format!("{near}Write {}.", either(words.iter().copied())),
    );
}
