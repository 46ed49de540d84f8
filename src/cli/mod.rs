//! Commands, one file each, and the one printer for all output.

mod air;
mod arguments;
mod charts;
mod check;
mod compare;
mod ending;
mod explain;
mod forecast;
mod help;
mod manual;
mod new;
mod plan;
mod pocket;
mod prep;
mod printer;
mod readings;
mod report;
mod schema;
mod serve;
mod size;
mod today;
mod weather;

use crate::computer::files;
use clap::{ArgMatches, CommandFactory, FromArgMatches, Parser, Subcommand};
use ending::{Ending, Fault};
use printer::{Colour, Printer, Units};
use std::path::PathBuf;
use std::process::ExitCode;

/// What the help of the program ends with.
const LAST_WORDS: &str = "First steps: coatday new job.json, fill it in, coatday check job.json, coatday compare job.json.

Results are estimates. Only moisture tests and the person responsible release a floor, never this program. Local codes, product data sheets and licensed trades come first.";

/// Says when a concrete slab will be dry enough to coat, and which drying gear gets it there by the day it is needed.
#[derive(Debug, Parser)]
#[command(
    name = "coatday",
    version,
    max_term_width = 100,
    disable_help_subcommand = true,
    after_help = format!("{}\n\n{LAST_WORDS}", help::listed())
)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
    /// Units of tables, charts and starter scenarios
    #[arg(long, global = true, value_enum, default_value_t)]
    units: Units,
    /// Bold type in the terminal
    #[arg(long, global = true, value_enum, default_value_t)]
    color: Colour,
    /// No notes: only results, cautions and faults
    #[arg(short, long, global = true, conflicts_with = "verbose")]
    quiet: bool,
    /// More about how the result came about
    #[arg(short, long, global = true)]
    verbose: bool,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Write a starter scenario to fill in.
    ///
    /// On a terminal and without options it asks ten questions, writes the scenario and compares its setups at once. "Don't know" is an
    /// answer: the usual value is assumed, and `coatday check` says so. Esc or Ctrl-C leaves nothing behind.
    New(new::NewArguments),
    /// Read a scenario, list every fault with its place, and show how each value was read.
    Check(check::CheckArguments),
    /// Rank the setups of a scenario by days, with date, chance, cost and energy, and charts.
    Compare(compare::CompareArguments),
    /// Find the cheapest gear on hand that makes the date with the wanted chance.
    Plan(plan::PlanArguments),
    /// Say where the days went, against what was promised, and what would buy days back.
    Explain(explain::ExplainArguments),
    /// Write a report for the people who wait for the floor: one HTML file and one PDF.
    Report(report::ReportArguments),
    /// Check whether the dehumidifiers of each setup are big enough for the load.
    Size(size::SizeArguments),
    /// List the moisture readings, say which of them count, and add to them.
    Readings(readings::ReadingsArguments),
    /// Give the date after the moisture readings, its range, and when to test next.
    Forecast(forecast::ForecastArguments),
    /// Say whether to coat now: dew point, air, slab and tests, rule by rule.
    Today(today::TodayArguments),
    /// Go from the walk over the floor to repairs, shopping list, calendar and coating day.
    Prep(prep::PrepArguments),
    /// Show when outside air is drier than the room, by month and hour, and what warming it costs.
    Weather(weather::WeatherArguments),
    /// Compute moist air from any two known quantities, such as the dew point.
    Air(air::AirArguments),
    /// Open the whole job in a browser on this computer: form, answer, walk, readings, today, report.
    Serve(serve::ServeArguments),
    /// Write one HTML file for the phone that works without a network.
    Pocket(pocket::PocketArguments),
    /// Print the JSON Schema of the scenario.
    Schema,
    /// Print completions for a shell.
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
    /// Print the manual page of the program or of one command
    Man(manual::ManArguments),
    /// Print the help of a command or a topic
    Help(help::HelpArguments),
}

/// The table of all commands, with their arguments.
#[must_use]
pub fn table() -> clap::Command {
    Arguments::command()
}

/// Runs the program on the process's arguments.
#[must_use]
pub fn run() -> ExitCode {
    let matches = Arguments::command().try_get_matches();
    let parsed = matches.and_then(|matches| Ok((Arguments::from_arg_matches(&matches)?, matches)));
    let (arguments, matches) = match parsed {
        Ok(both) => both,
        Err(error) => {
            let code = if error.use_stderr() {
                Ending::Fault
            } else {
                Ending::Good
            };
            // A closed pipe is no fault.
            let _ = error.print();
            return code.into();
        }
    };
    let printer = Printer::new(
        arguments.units,
        arguments.color,
        arguments.quiet,
        arguments.verbose,
    );
    tell_old_names(&matches, &printer);
    let ended = match &arguments.command {
        Command::New(a) => new::run(a, &printer),
        Command::Check(a) => check::run(a, &printer),
        Command::Compare(a) => compare::run(a, &printer),
        Command::Plan(a) => plan::run(a, &printer),
        Command::Explain(a) => explain::run(a, &printer),
        Command::Report(a) => report::run(a, &printer),
        Command::Size(a) => size::run(a, &printer),
        Command::Readings(a) => readings::run(a, &printer),
        Command::Forecast(a) => forecast::run(a, &printer),
        Command::Today(a) => today::run(a, &printer),
        Command::Prep(a) => prep::run(a, &printer),
        Command::Weather(a) => weather::run(a, &printer),
        Command::Air(a) => air::run(a, &printer),
        Command::Serve(a) => serve::run(a, &printer),
        Command::Pocket(a) => pocket::run(a, &printer),
        Command::Schema => Ok(schema::run(&printer)),
        Command::Completions { shell } => Ok(manual::completions(table(), *shell, &printer)),
        Command::Man(a) => manual::man(table(), a, &printer),
        Command::Help(a) => help::run(table(), a, &printer),
    };
    let ending = ended.unwrap_or_else(|Fault { text, ending }| {
        printer.fault(&text);
        ending
    });
    if printer.failed() {
        return Ending::Fault.into();
    }
    ending.into()
}

/// Names of an earlier version that stand in the scenario of a command. A pipe is left alone: it can be read only once.
fn tell_old_names(matches: &ArgMatches, printer: &Printer) {
    let path = matches
        .subcommand()
        .and_then(|(_, own)| own.try_get_one::<PathBuf>("scenario").ok().flatten());
    let Some(path) = path.filter(|path| path.is_file()) else {
        return;
    };
    if let Ok(bytes) = files::read(path)
        && let Ok(text) = std::str::from_utf8(&bytes)
    {
        for line in crate::scenario::old_names(text) {
            printer.note(&format!("{}: {line}", files::shown(path)));
        }
    }
}
