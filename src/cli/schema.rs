//! `coatday schema`: the JSON Schema of the scenario.

use super::ending::{Ending, Fault};
use super::printer::Printer;
use crate::scenario::schema;

pub(super) fn run(printer: &Printer) -> Result<Ending, Fault> {
    printer.data(&format!("{:#}", schema()));
    Ok(Ending::Good)
}
