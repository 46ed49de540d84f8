//! `coatday completions` and `coatday man`, made from the same table as the help.

use super::printer::Printer;
use super::{Arguments, Ending};
use clap::CommandFactory;

/// Arguments of `man`.
#[derive(Debug, clap::Args)]
pub(super) struct ManArguments {
    /// The command whose page is wanted. Default: the page of the program
    #[arg(value_parser = command_name)]
    command: Option<String>,
}

fn command_name(text: &str) -> Result<String, String> {
    let mut table = Arguments::command();
    table.build();
    if table.find_subcommand(text).is_some() {
        return Ok(text.to_owned());
    }
    let names: Vec<&str> = table
        .get_subcommands()
        .map(clap::Command::get_name)
        .collect();
    Err(format!("give one of: {}", names.join(", ")))
}

pub(super) fn completions(shell: clap_complete::Shell, printer: &Printer) -> Ending {
    let mut text = Vec::new();
    clap_complete::generate(shell, &mut Arguments::command(), "coatday", &mut text);
    printer.data(&String::from_utf8_lossy(&text));
    Ending::Good
}

pub(super) fn man(arguments: &ManArguments, printer: &Printer) -> Ending {
    let mut table = Arguments::command();
    // Gives the pages of the commands their whole names and the options that all share.
    table.build();
    let page = match &arguments.command {
        Some(name) => table.find_subcommand(name).cloned().unwrap_or(table),
        None => table,
    };
    let mut text = Vec::new();
    if let Err(error) = clap_mangen::Man::new(page).render(&mut text) {
        printer.fault(&format!("The manual page could not be made: {error}."));
        return Ending::Fault;
    }
    printer.data(&String::from_utf8_lossy(&text));
    Ending::Good
}
