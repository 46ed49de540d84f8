//! `coatday completions` and `coatday man`, made from the same table as the help.

use super::printer::Printer;
use super::{Arguments, Ending};
use clap::CommandFactory;

pub(super) fn completions(shell: clap_complete::Shell, printer: &Printer) -> Ending {
    let mut text = Vec::new();
    clap_complete::generate(shell, &mut Arguments::command(), "coatday", &mut text);
    printer.data(&String::from_utf8_lossy(&text));
    Ending::Good
}

pub(super) fn man(printer: &Printer) -> Ending {
    let mut text = Vec::new();
    if let Err(error) = clap_mangen::Man::new(Arguments::command()).render(&mut text) {
        printer.fault(&format!("The manual page could not be made: {error}."));
        return Ending::Fault;
    }
    printer.data(&String::from_utf8_lossy(&text));
    Ending::Good
}
