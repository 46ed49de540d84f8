//! `coatday help`: how a command is called, or what is to be known about a topic.

mod keys;
mod page;
mod topics;

use super::ending::{Ending, Fault};
use super::printer::Printer;
use crate::scenario::nearest;
use clap::Command;
use topics::{TOPICS, Topic};

pub(super) use topics::listed;

/// Every topic.
const ALL: &str = "all";

/// Arguments of `help`.
#[derive(Debug, clap::Args)]
pub(super) struct HelpArguments {
    /// A command, a topic or `all`. Behind `scenario` may stand one part of the file, such as `slab`
    #[arg(value_name = "TOPIC")]
    words: Vec<String>,
}

pub(super) fn run(
    mut table: Command,
    arguments: &HelpArguments,
    printer: &Printer,
) -> Result<Ending, Fault> {
    // Gives the commands their whole names and the options that all share.
    table.build();
    let words: Vec<&str> = arguments.words.iter().map(String::as_str).collect();
    let shown = |text: &str| page::lines(text, printer.width().into(), printer.styled);
    let text = match words[..] {
        [] => usage(&mut table, printer.styled),
        [ALL] => {
            let pages: Vec<String> = TOPICS.iter().map(|t| shown(&t.page())).collect();
            pages.join("\n\n")
        }
        [name, ref more @ ..] => {
            let command = command(&mut table, &words).map(|c| usage(c, printer.styled));
            let topic = match (topics::named(name), more) {
                (Some(topic), []) => Some(shown(&topic.page())),
                (Some(topic), [part]) => part_of(topic, part)?.map(|text| shown(&text)),
                _ => None,
            };
            let more = topics::of_command(name).map(|line| shown(&line));
            match (command, topic) {
                (None, None) => return Err(unknown(&table, &words)),
                (command, topic) => {
                    let pages = [command, topic, more].into_iter().flatten();
                    let pages: Vec<String> = pages.map(|p| p.trim_end().to_owned()).collect();
                    pages.join("\n\n")
                }
            }
        }
    };
    printer.data(&text);
    Ok(Ending::Good)
}

/// The command of that name, or a command of it.
fn command<'a>(table: &'a mut Command, names: &[&str]) -> Option<&'a mut Command> {
    let mut found = table;
    for name in names {
        found = found.find_subcommand_mut(name)?;
    }
    Some(found)
}

fn usage(command: &mut Command, styled: bool) -> String {
    let help = command.render_long_help();
    if styled {
        help.ansi().to_string()
    } else {
        help.to_string()
    }
}

/// One part of a topic; only the scenario has parts.
fn part_of(topic: &Topic, part: &str) -> Result<Option<String>, Fault> {
    if topic.name != topics::WITH_PARTS {
        return Ok(None);
    }
    keys::part(part)
        .map(Some)
        .map_err(|message| Fault::from(format!("coatday help {} {part}: {message}", topic.name)))
}

fn unknown(table: &Command, words: &[&str]) -> Fault {
    let names = || {
        let commands = table.get_subcommands().map(Command::get_name);
        commands.chain(TOPICS.iter().map(|t| t.name)).chain([ALL])
    };
    let near = nearest(words[0], names())
        .map(|name| format!(" Did you mean: coatday help {name}"))
        .unwrap_or_default();
    format!(
        "There is no command or topic \"{}\".{near}\nTo see them all: coatday help",
        words.join(" ")
    )
    .into()
}
