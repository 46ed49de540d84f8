//! `coatday completions` and `coatday man`, made from the same table as the help.

use super::Arguments;
use super::ending::{Ending, Fault};
use super::printer::Printer;
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

pub(super) fn completions(shell: clap_complete::Shell, printer: &Printer) -> Result<Ending, Fault> {
    let mut text = Vec::new();
    clap_complete::generate(shell, &mut Arguments::command(), "coatday", &mut text);
    printer.data(&String::from_utf8_lossy(&text));
    Ok(Ending::Good)
}

pub(super) fn man(arguments: &ManArguments, printer: &Printer) -> Result<Ending, Fault> {
    let mut table = Arguments::command();
    // Gives the pages of the commands their whole names and the options that all share.
    table.build();
    let page = match &arguments.command {
        Some(name) => table.find_subcommand(name).cloned().unwrap_or(table),
        None => table,
    };
    let mut text = Vec::new();
    clap_mangen::Man::new(page)
        .render(&mut text)
        .map_err(|error| format!("The manual page could not be made: {error}."))?;
    printer.data(&String::from_utf8_lossy(&text));
    Ok(Ending::Good)
}
