//! `coatday completions` and `coatday man`, made from the same table as the help.

use super::ending::{Ending, Fault};
use super::printer::Printer;
use clap::Command;

/// Arguments of `man`.
#[derive(Debug, clap::Args)]
pub(super) struct ManArguments {
    /// The command whose page is wanted. Default: the page of the program
    command: Option<String>,
}

pub(super) fn completions(
    mut table: Command,
    shell: clap_complete::Shell,
    printer: &Printer,
) -> Ending {
    let mut text = Vec::new();
    clap_complete::generate(shell, &mut table, "coatday", &mut text);
    printer.data(&String::from_utf8_lossy(&text));
    Ending::Good
}

pub(super) fn man(
    mut table: Command,
    arguments: &ManArguments,
    printer: &Printer,
) -> Result<Ending, Fault> {
    // Gives the pages of the commands their whole names and the options that all share.
    table.build();
    let page = match &arguments.command {
        None => table,
        Some(name) => table.find_subcommand(name).cloned().ok_or_else(|| {
            let names: Vec<&str> = table.get_subcommands().map(Command::get_name).collect();
            format!(
                "There is no command \"{name}\". Give one of: {}.",
                names.join(", ")
            )
        })?,
    };
    let mut text = Vec::new();
    clap_mangen::Man::new(page)
        .render(&mut text)
        .map_err(|error| format!("The manual page could not be made: {error}."))?;
    printer.data(&String::from_utf8_lossy(&text));
    Ok(Ending::Good)
}
