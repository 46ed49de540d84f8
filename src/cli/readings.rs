//! `coatday readings`: the log of moisture tests, added to, listed and judged.

use super::printer::Printer;
use super::{Ending, files, logbook};
use crate::moisture_log::{
    Addition, Column, Defaults, Entry, floor_tests, judge, parse_moment, read_export, read_log,
    unended, written,
};
use crate::results::readings as shown;
use crate::scenario::{Faults, Scenario};
use jiff::civil::DateTime;
use std::io::BufRead;
use std::path::{Path, PathBuf};

/// Longest line taken from standard input \[bytes\].
const LONGEST_LINE: u64 = 1 << 20;

/// Arguments of `readings`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  coatday readings job.json\n  coatday readings job.json add --place A --method probe --depth \"2 in\" --value \"84 %\" --exposure \"26 h\"\n  coatday readings job.json --from logger.csv --place B --method probe --depth \"50 mm\" --since \"2026-11-20 08:00\"\n\nThe log is a plain CSV, <scenario>-readings.csv beside the scenario, and may be edited by hand. Columns: time, place, method (probe, dish, hood, mass_percent, plastic_sheet), depth, value, standard_deviation, slab_temperature, air_temperature, air_relative_humidity, exposure, conditioned, ground_side, dish_area, concrete, note."
)]
pub(super) struct ReadingsArguments {
    /// The scenario, a JSON file
    scenario: PathBuf,
    /// The log. Default: <scenario>-readings.csv beside the scenario
    #[arg(long, value_name = "FILE", global = true)]
    log: Option<PathBuf>,
    /// Add the rows of a logger's export, a CSV; - takes rows from standard input, each confirmed when it is on the disk
    #[arg(long, value_name = "FILE")]
    from: Option<PathBuf>,
    /// Place of exported rows that have none
    #[arg(long, value_name = "TEXT", requires = "from")]
    place: Option<String>,
    /// Method of exported rows that have none
    #[arg(long, value_name = "WORD", requires = "from")]
    method: Option<String>,
    /// Depth of exported rows that have none, such as "2 in"
    #[arg(long, value_name = "LENGTH", requires = "from")]
    depth: Option<String>,
    /// When the probe was set, such as "2026-11-20 08:00"; its time in the hole counts from then
    #[arg(long, value_name = "TIME", requires = "from")]
    since: Option<String>,
    /// Judge as of this day and time, such as "2026-11-25 07:30". Default: now
    #[arg(long, value_name = "TIME", global = true)]
    at: Option<String>,
    /// Results as one JSON object on standard output
    #[arg(long, global = true)]
    json: bool,
    #[command(subcommand)]
    action: Option<Action>,
}

#[derive(Debug, clap::Subcommand)]
enum Action {
    /// Add one reading to the log; it is confirmed when it is on the disk.
    Add(Box<AddArguments>),
}

/// Arguments of `readings ... add`. What is left out stays empty in the log.
#[derive(Debug, clap::Args)]
struct AddArguments {
    /// Where on the floor, such as "A" or "grid C4"
    #[arg(long, value_name = "TEXT", allow_hyphen_values = true)]
    place: String,
    #[arg(
        long,
        value_name = "WORD",
        help = "probe, dish, hood, mass_percent or plastic_sheet"
    )]
    method: String,
    /// What was read: "84 %", "3.4 lb/1000 ft2/24 h", a dish's gain "1.6 g", a sheet's "dry" or "moist"
    #[arg(long, value_name = "VALUE", allow_hyphen_values = true)]
    value: String,
    /// When it was read, site local standard time, such as "2026-11-20 08:30". Default: now, without summer time
    #[arg(long, value_name = "TIME")]
    time: Option<String>,
    /// Depth below the face, such as "2 in"
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    depth: Option<String>,
    /// Standard deviation of the instrument, such as "2 %", from its sheet or certificate
    #[arg(long, value_name = "VALUE", allow_hyphen_values = true)]
    standard_deviation: Option<String>,
    /// Temperature of the slab, such as "55 degF"
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    slab_temperature: Option<String>,
    /// Temperature of the air
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    air_temperature: Option<String>,
    /// Relative humidity of the air, such as "55 %"
    #[arg(long, value_name = "HUMIDITY", allow_hyphen_values = true)]
    air_relative_humidity: Option<String>,
    /// Time in the hole, under the dome, hood or sheet, such as "26 h"
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    exposure: Option<String>,
    /// Time for which slab and room had been at service conditions before the test, such as "3 days"
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    conditioned: Option<String>,
    /// Side of the square ground for a dish, such as "20 in"
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    ground_side: Option<String>,
    /// Floor under the dome of a dish, such as "0.5 ft2"
    #[arg(long, value_name = "AREA", allow_hyphen_values = true)]
    dish_area: Option<String>,
    #[arg(long, value_name = "WORD", help = "normal_weight or lightweight")]
    concrete: Option<String>,
    /// Anything worth remembering
    #[arg(long, value_name = "TEXT", allow_hyphen_values = true)]
    note: Option<String>,
}

/// The computer's clock without summer time: that of the last time before now when it was not in force.
fn standard_time(now: &jiff::ZonedDateTime) -> DateTime {
    let (zone, moment) = (now.time_zone(), now.timestamp());
    let info = zone.to_offset_info(moment);
    let mut before = zone.preceding(moment);
    let standard = if info.dst().is_dst() {
        before.find(|change| !change.dst().is_dst())
    } else {
        None
    };
    standard
        .map_or(info.offset(), |change| change.offset())
        .to_datetime(moment)
}

/// A moment from an option: day and time, or a day, whose noon is taken; now if it was left out.
pub(super) fn moment(option: &str, text: Option<&str>) -> Result<DateTime, String> {
    let Some(text) = text else {
        let now = standard_time(&jiff::ZonedDateTime::now());
        return Ok(now.date().at(now.hour(), now.minute(), 0, 0));
    };
    parse_moment(text)
        .or_else(|_| parse_moment(&format!("{} 12:00", text.trim())))
        .map_err(|_| {
            format!(
                "--{option}: \"{text}\" is not a day and time. Write it like \"2026-11-20 08:30\"."
            )
        })
}

pub(super) fn run(arguments: &ReadingsArguments, printer: &Printer) -> Ending {
    let now = moment("at", arguments.at.as_deref());
    let scenario = files::scenario(&arguments.scenario);
    let (now, scenario) = match (now, scenario) {
        (Ok(now), Ok(scenario)) => (now, scenario),
        (now, scenario) => {
            for fault in now.err().into_iter().chain(scenario.err()) {
                printer.fault(&fault);
            }
            return Ending::Fault;
        }
    };
    let log = logbook::path(&arguments.scenario, arguments.log.as_deref());
    let done = match (&arguments.action, &arguments.from) {
        (Some(Action::Add(_)), Some(_)) => {
            Err("--from and add are two ways to add readings. Use one at a time.".to_owned())
        }
        (Some(Action::Add(new)), None) => add(new, &log, &scenario, (arguments.json, now), printer),
        (None, Some(from)) => defaults(arguments).and_then(|defaults| {
            if from.as_os_str() == "-" {
                stream(&log, &scenario, &defaults, printer)
            } else {
                import(from, &log, &scenario, &defaults, printer)
            }
        }),
        (None, None) => list(&log, &scenario, (arguments.json, now), printer),
    };
    done.unwrap_or_else(|fault| {
        printer.fault(&fault);
        Ending::Fault
    })
}

fn list(
    path: &Path,
    scenario: &Scenario,
    (json, now): (bool, DateTime),
    printer: &Printer,
) -> Result<Ending, String> {
    let name = files::shown(path);
    let bytes = logbook::read(path)?;
    let missing = bytes.is_none();
    let log = read_log(&name, &bytes.unwrap_or_default(), scenario.slab.placed);
    let judged = judge(&log.readings, scenario, now);
    let tests = floor_tests(&judged, scenario);
    if json {
        let object = shown::json(scenario, now, &judged, &tests, log.faults.as_ref());
        printer.data(&format!("{object:#}"));
    } else {
        if judged.is_empty() {
            printer.data("No readings.");
        } else {
            printer.table(&shown::table(&judged, printer.system));
            printer.data("");
        }
        for reason in shown::reasons(&judged) {
            printer.data(&reason);
        }
        for sentence in shown::sentences(&tests, scenario, printer.system) {
            printer.data(&sentence);
        }
        for notice in &log.notices {
            printer.note(notice);
        }
        if missing {
            printer.note(&format!(
                "There is no {name} yet. To add a reading: coatday readings SCENARIO add --help"
            ));
        }
        printer.note("A floor is released by its tests, done and judged as their standards say, and by the person responsible.");
    }
    Ok(match log.faults {
        None => Ending::Good,
        Some(faults) => {
            printer.fault(&faults.to_string());
            Ending::Fault
        }
    })
}

/// Faults of entries, by the option that gave the text.
fn by_option(faults: &Faults) -> String {
    let lines: Vec<String> = faults
        .faults
        .iter()
        .map(|fault| {
            if fault.path.is_empty() {
                format!(
                    "{}:{}:{}: {} {}",
                    faults.file, fault.line, fault.column, fault.message, fault.help
                )
            } else {
                format!(
                    "--{}: {} {}",
                    fault.path.replace('_', "-"),
                    fault.message,
                    fault.help
                )
            }
        })
        .collect();
    format!("{}\nNothing was added.", lines.join("\n"))
}

fn append(path: &Path, scenario: &Scenario, entries: &[Entry]) -> Result<Addition, String> {
    let name = files::shown(path);
    logbook::append(path, &mut |existing| {
        let mut without: Vec<&str> = entries
            .iter()
            .flat_map(|entry| entry.without_place(existing))
            .collect();
        without.sort_unstable();
        without.dedup();
        if !without.is_empty() {
            return Err(format!(
                "{name} has no column for {}. Add it to the line of column names (and an empty field to each row). Nothing was added.",
                without.join(", ")
            ));
        }
        crate::moisture_log::addition(&name, existing, entries, scenario.slab.placed)
            .map_err(|faults| by_option(&faults))
    })
}

fn add(
    new: &AddArguments,
    path: &Path,
    scenario: &Scenario,
    (json, now): (bool, DateTime),
    printer: &Printer,
) -> Result<Ending, String> {
    let time = match &new.time {
        Some(text) => text.clone(),
        None => written(now),
    };
    let given = [
        (Column::Time, Some(&time)),
        (Column::Place, Some(&new.place)),
        (Column::Method, Some(&new.method)),
        (Column::Value, Some(&new.value)),
        (Column::Depth, new.depth.as_ref()),
        (Column::StandardDeviation, new.standard_deviation.as_ref()),
        (Column::SlabTemperature, new.slab_temperature.as_ref()),
        (Column::AirTemperature, new.air_temperature.as_ref()),
        (
            Column::AirRelativeHumidity,
            new.air_relative_humidity.as_ref(),
        ),
        (Column::Exposure, new.exposure.as_ref()),
        (Column::Conditioned, new.conditioned.as_ref()),
        (Column::GroundSide, new.ground_side.as_ref()),
        (Column::DishArea, new.dish_area.as_ref()),
        (Column::Concrete, new.concrete.as_ref()),
        (Column::Note, new.note.as_ref()),
    ];
    let entry = Entry(
        given
            .into_iter()
            .filter_map(|(column, text)| Some((column, text?.clone())))
            .collect(),
    );
    let addition = append(path, scenario, &[entry])?;
    let judged = judge(&addition.readings, scenario, now);
    if json {
        let object = shown::added_json(&files::shown(path), &addition, &judged);
        printer.data(&format!("{object:#}"));
        return Ok(Ending::Good);
    }
    confirm(path, &addition, printer);
    for judged in &judged {
        printer.note(&shown::verdict(judged));
    }
    warn_of_faults(path, scenario, printer)?;
    Ok(Ending::Good)
}

fn confirm(path: &Path, addition: &Addition, printer: &Printer) {
    for reading in &addition.readings {
        printer.data(&format!(
            "Added line {}: {}, {}, {}, {}",
            reading.line,
            written(reading.time),
            reading.place,
            reading.method.word(),
            reading.typed
        ));
    }
    if addition.there_already > 0 && addition.readings.is_empty() {
        printer.data(&format!(
            "There already: {} has {} word for word.",
            files::shown(path),
            if addition.there_already == 1 {
                "this reading".to_owned()
            } else {
                format!("all {} readings", addition.there_already)
            }
        ));
    }
}

/// Lines that cannot be read are said after an append too: they do not stop it.
fn warn_of_faults(path: &Path, scenario: &Scenario, printer: &Printer) -> Result<(), String> {
    let bytes = logbook::read(path)?.unwrap_or_default();
    let log = read_log(&files::shown(path), &bytes, scenario.slab.placed);
    if let Some(faults) = log.faults {
        printer.fault(&format!(
            "The reading is added, but other lines cannot be read:\n{faults}"
        ));
    }
    Ok(())
}

fn defaults(arguments: &ReadingsArguments) -> Result<Defaults, String> {
    let since = arguments
        .since
        .as_deref()
        .map(|text| moment("since", Some(text)))
        .transpose();
    let depth = arguments.depth.as_deref().map_or(Ok(()), |text| {
        text.parse::<crate::units::Length>()
            .map(drop)
            .map_err(|fault| format!("--depth: {} {}", fault.message, fault.help))
    });
    let method = arguments.method.as_deref().map_or(Ok(()), |word| {
        let words = crate::moisture_log::Method::ALL.map(crate::moisture_log::Method::word);
        if words.contains(&word) {
            Ok(())
        } else {
            Err(format!("--method: Write one of {}.", words.join(", ")))
        }
    });
    match (since, depth, method) {
        (Ok(since), Ok(()), Ok(())) => Ok(Defaults {
            place: arguments.place.clone(),
            method: arguments.method.clone(),
            depth: arguments.depth.clone(),
            since,
        }),
        (since, depth, method) => Err([since.err(), depth.err(), method.err()]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join("\n")),
    }
}

/// All good rows of an export in one piece. Faulty ones are said and can be added later: what is there is not added twice.
fn import(
    from: &Path,
    path: &Path,
    scenario: &Scenario,
    defaults: &Defaults,
    printer: &Printer,
) -> Result<Ending, String> {
    let bytes = files::read(from)?;
    let export = read_export(&files::shown(from), &bytes, scenario.slab.placed, defaults);
    for notice in &export.notices {
        printer.note(notice);
    }
    let entries: Vec<Entry> = export.readings.iter().map(Entry::of).collect();
    if !entries.is_empty() {
        let addition = append(path, scenario, &entries)?;
        printer.data(
            &match (addition.readings.first(), addition.readings.last()) {
                (Some(first), Some(last)) => format!(
                    "Added {} readings, lines {} to {} of {}; {} were there already.",
                    addition.readings.len(),
                    first.line,
                    last.line,
                    files::shown(path),
                    addition.there_already
                ),
                _ => format!(
                    "All {} readings were in {} already.",
                    addition.there_already,
                    files::shown(path)
                ),
            },
        );
    }
    Ok(match export.faults {
        None => Ending::Good,
        Some(faults) => {
            printer.fault(&faults.to_string());
            Ending::Fault
        }
    })
}

/// Rows from standard input, each added and confirmed by itself.
fn stream(
    path: &Path,
    scenario: &Scenario,
    defaults: &Defaults,
    printer: &Printer,
) -> Result<Ending, String> {
    const NAME: &str = "standard input";
    let mut input = std::io::stdin().lock();
    let mut header: Option<String> = None;
    let mut ending = Ending::Good;
    let mut number = 0;
    loop {
        let mut line = Vec::new();
        let length = std::io::Read::take(&mut input, LONGEST_LINE)
            .read_until(b'\n', &mut line)
            .map_err(|e| format!("{NAME} cannot be read: {}", files::reason(&e)))?;
        if length == 0 {
            return Ok(ending);
        }
        number += 1;
        let line = String::from_utf8_lossy(&line);
        let whole = line.ends_with('\n');
        let line = line.trim_end_matches(['\r', '\n']);
        if line.trim().is_empty() || line.trim_start().starts_with('#') {
            continue;
        }
        let text = match &header {
            Some(header) => format!("{header}\n{line}\n"),
            None => format!("{line}\n"),
        };
        let row = read_export(NAME, text.as_bytes(), scenario.slab.placed, defaults);
        if let Some(mut faults) = row.faults {
            for fault in &mut faults.faults {
                fault.line = number;
            }
            printer.fault(&faults.to_string());
            if header.is_none() {
                return Ok(Ending::Fault);
            }
            ending = Ending::Fault;
        }
        if header.is_none() {
            for notice in &row.notices {
                printer.note(notice);
            }
            header = Some(line.to_owned());
            continue;
        }
        let entries: Vec<Entry> = row.readings.iter().map(Entry::of).collect();
        if !entries.is_empty() {
            if !whole {
                printer.note(&unended(NAME, number));
            }
            confirm(path, &append(path, scenario, &entries)?, printer);
        }
    }
}
