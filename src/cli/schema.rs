//! `coatday schema`: the JSON Schema of the scenario.

use super::ending::Ending;
use super::printer::Printer;
use crate::scenario::schema;

pub(super) fn run(printer: &Printer) -> Ending {
    printer.data(&format!("{:#}", schema()));
    Ending::Good
}
