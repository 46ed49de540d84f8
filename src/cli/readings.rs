//! `coatday readings`: the log of moisture tests, added to, listed and judged.

use super::ending::{Ending, Fault, Gathered};
use super::printer::Printer;
use crate::computer::clock::moment;
use crate::computer::{files, logbook};
use crate::moisture_log::{
    Addition, Column, Defaults, Entry, Method, floor_tests, judge, read_export, read_log, unended,
    written,
};
use crate::preparation::with_wet_work;
use crate::results::readings::{Added, Readings, confirmed, imported};
use crate::scenario::{Faults, Scenario};
use crate::units::Length;
use jiff::civil::DateTime;
use std::io::BufRead;
use std::path::{Path, PathBuf};

/// Longest line taken from standard input \[bytes\].
const LONGEST_LINE: u64 = 1 << 20;

/// Arguments of `readings`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  coatday readings job.json\n  coatday readings job.json add --place A --method probe --depth \"2 in\" --value \"84 %\" --exposure \"26 h\"\n  coatday readings job.json --from logger.csv --place B --method probe --depth \"50 mm\" --since \"2026-11-20 08:00\"\n\nThe log is a plain CSV, <scenario>-readings.csv beside the scenario. You may edit it by hand. Columns: time, place, method (probe, dish, hood, mass_percent, plastic_sheet), depth, value, standard_deviation, slab_temperature, air_temperature, air_relative_humidity, exposure, conditioned, ground_side, dish_area, concrete, note."
)]
pub(super) struct ReadingsArguments {
    /// The scenario, a JSON file
    scenario: PathBuf,
    /// The log. Default: the scenario's name with -readings.csv, beside it
    #[arg(long, value_name = "FILE", global = true)]
    log: Option<PathBuf>,
    /// Add the rows of a logger's export, a CSV. With - it reads rows from standard input and confirms each once it is on the disk
    #[arg(long, value_name = "FILE")]
    from: Option<PathBuf>,
    /// Place for rows of the export that have none
    #[arg(long, value_name = "TEXT", requires = "from")]
    place: Option<String>,
    /// Method for rows of the export that have none
    #[arg(long, value_name = "WORD", requires = "from")]
    method: Option<String>,
    /// Depth for rows of the export that have none, such as "2 in"
    #[arg(long, value_name = "LENGTH", requires = "from")]
    depth: Option<String>,
    /// When the probe was set, such as "2026-11-20 08:00". Its time in the hole counts from then
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
    /// Add one reading to the log. It is confirmed once it is on the disk.
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
    /// When it was read, site local standard time, such as "2026-11-20 08:30". Default: now, without daylight saving time
    #[arg(long, value_name = "TIME")]
    time: Option<String>,
    /// Depth below the surface, such as "2 in"
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
    /// How long slab and room were at service conditions before the test, such as "3 days"
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

pub(super) fn run(arguments: &ReadingsArguments, printer: &Printer) -> Result<Ending, Fault> {
    let mut faults = Gathered::default();
    let now = faults.take(moment("at", arguments.at.as_deref()));
    let scenario = faults.take(files::scenario(&arguments.scenario));
    let (Some(now), Some(scenario)) = (now, scenario) else {
        return Err(faults.fault());
    };
    // Wet work that is ticked off makes older tests count no more, as for `coatday today`.
    let walk = scenario.walk.as_ref();
    let prepared = walk
        .map(|walk| files::prepared(&arguments.scenario, &scenario, walk, None))
        .transpose()?;
    let book = Book {
        path: logbook::path(&arguments.scenario, arguments.log.as_deref()),
        wetted: with_wet_work(&scenario, prepared.as_ref(), now),
        scenario,
        printer,
    };
    match (&arguments.action, &arguments.from) {
        (Some(Action::Add(_)), Some(_)) => {
            Err("--from and add both add readings. Use one at a time.".to_owned())?
        }
        (Some(Action::Add(new)), None) => book.add(new, now, arguments.json),
        (None, Some(from)) if from.as_os_str() == "-" => book.stream(&defaults(arguments)?),
        (None, Some(from)) => book.import(from, &defaults(arguments)?),
        (None, None) => book.list(now, arguments.json),
    }
}

/// A log with what is needed to read and write it.
struct Book<'a> {
    path: PathBuf,
    scenario: Scenario,
    /// The scenario with the wet work that is done.
    wetted: Scenario,
    printer: &'a Printer,
}

/// Good, unless some lines could not be read.
fn unless(faults: Option<Faults>) -> Result<Ending, Fault> {
    faults.map_or(Ok(Ending::Good), |faults| Err(faults.to_string().into()))
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

fn defaults(arguments: &ReadingsArguments) -> Result<Defaults, Fault> {
    let mut faults = Gathered::default();
    let since = arguments.since.as_deref();
    let since = faults.take(since.map(|text| moment("since", Some(text))).transpose());
    if let Some(Err(fault)) = arguments.depth.as_deref().map(str::parse::<Length>) {
        faults.add(format!("--depth: {} {}", fault.message, fault.help));
    }
    let words = Method::ALL.map(Method::word);
    if let Some(word) = arguments.method.as_deref()
        && !words.contains(&word)
    {
        faults.add(format!("--method: Write one of {}.", words.join(", ")));
    }
    faults.none()?;
    Ok(Defaults {
        place: arguments.place.clone(),
        method: arguments.method.clone(),
        depth: arguments.depth.clone(),
        since: since.flatten(),
    })
}

impl Book<'_> {
    fn name(&self) -> String {
        files::shown(&self.path)
    }

    fn list(&self, now: DateTime, as_json: bool) -> Result<Ending, Fault> {
        let name = self.name();
        let bytes = logbook::read(&self.path)?;
        let missing = bytes.is_none().then_some(name.as_str());
        let log = read_log(&name, &bytes.unwrap_or_default(), self.scenario.slab.placed);
        let judged = judge(&log.readings, &self.wetted, now);
        let found = Readings {
            scenario: &self.scenario,
            now,
            log: &log,
            judged: &judged,
            tests: &floor_tests(&judged, &self.scenario),
            missing,
        };
        self.printer.answer(&found, as_json)?;
        unless(log.faults)
    }

    fn append(&self, entries: &[Entry]) -> Result<Addition, Fault> {
        let placed = self.scenario.slab.placed;
        Ok(logbook::add(&self.path, entries, placed, &by_option)?)
    }

    fn add(&self, new: &AddArguments, now: DateTime, as_json: bool) -> Result<Ending, Fault> {
        let addition = self.append(&[entry(new, now)])?;
        let found = Added {
            log: &self.name(),
            judged: &judge(&addition.readings, &self.wetted, now),
            addition: &addition,
        };
        self.printer.answer(&found, as_json)?;
        if as_json {
            return Ok(Ending::Good);
        }
        // Lines that cannot be read are said after an addition too: they do not stop it.
        let bytes = logbook::read(&self.path)?.unwrap_or_default();
        let log = read_log(&self.name(), &bytes, self.scenario.slab.placed);
        if let Some(faults) = log.faults {
            self.printer.fault(&format!(
                "The reading was added, but other lines cannot be read:\n{faults}"
            ));
        }
        Ok(Ending::Good)
    }

    /// All good rows of an export in one piece. Faulty ones are said and can be added later: what is there is not added twice.
    fn import(&self, from: &Path, defaults: &Defaults) -> Result<Ending, Fault> {
        let bytes = files::read(from)?;
        let placed = self.scenario.slab.placed;
        let export = read_export(&files::shown(from), &bytes, placed, defaults);
        for notice in &export.notices {
            self.printer.note(notice);
        }
        let entries: Vec<Entry> = export.readings.iter().map(Entry::of).collect();
        if !entries.is_empty() {
            let addition = self.append(&entries)?;
            self.printer.data(&imported(&self.name(), &addition));
        }
        unless(export.faults)
    }

    /// Rows from standard input, each added and confirmed by itself.
    fn stream(&self, defaults: &Defaults) -> Result<Ending, Fault> {
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
            let row = read_export(NAME, text.as_bytes(), self.scenario.slab.placed, defaults);
            if let Some(mut faults) = row.faults {
                for fault in &mut faults.faults {
                    fault.line = number;
                }
                if header.is_none() {
                    return Err(faults.to_string().into());
                }
                self.printer.fault(&faults.to_string());
                ending = Ending::Fault;
            }
            if header.is_none() {
                for notice in &row.notices {
                    self.printer.note(notice);
                }
                header = Some(line.to_owned());
                continue;
            }
            let entries: Vec<Entry> = row.readings.iter().map(Entry::of).collect();
            if !entries.is_empty() {
                if !whole {
                    self.printer.note(&unended(NAME, number));
                }
                let addition = self.append(&entries)?;
                let lines = confirmed(&self.name(), &addition, self.printer.system);
                self.printer.data(&lines.join("\n"));
            }
        }
    }
}

/// The entry of an addition, with the time of now where none is given.
fn entry(new: &AddArguments, now: DateTime) -> Entry {
    let time = new.time.clone().unwrap_or_else(|| written(now));
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
    let given = given.into_iter();
    Entry(
        given
            .filter_map(|(column, text)| Some((column, text?.clone())))
            .collect(),
    )
}
