//! `coatday today`: may the floor be coated now, rule by rule.

use super::printer::Printer;
use super::readings::moment;
use super::{Ending, files, logbook};
use crate::coating_day::{Conditions, CureHours, Verdict, coating_day, cure_hours};
use crate::moisture_log::{Log, floor_tests, judge};
use crate::results::coating_day as shown;
use crate::scenario::Scenario;
use crate::scenario::coating_window::CoatingWindow;
use crate::units::{Kind, parse, ranges};
use crate::weather::read_hourly_csv;
use jiff::civil::DateTime;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// Arguments of `today`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example: coatday today job.json --air-temperature \"16 degC\" --air-relative-humidity \"71 %\" --slab-temperature \"13 degC\"\n\nLimits of the product go into the scenario's \"coating\": lowest_temperature, highest_temperature, highest_relative_humidity, dew_point_margin, cure_time, concrete_age, dry_time_after_wetting, test_validity, probe_time_in_hole.\n\nExit codes: 0 go; 1 wait or no; 2 a fault in usage, scenario, log or forecast."
)]
pub(super) struct TodayArguments {
    /// The scenario, a JSON file
    scenario: PathBuf,
    /// Temperature of the air over the floor. Default: the latest in the log
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    air_temperature: Option<String>,
    /// Relative humidity of the air over the floor. Default: the latest in the log
    #[arg(long, value_name = "HUMIDITY", allow_hyphen_values = true)]
    air_relative_humidity: Option<String>,
    /// Temperature of the slab's face, at its coldest spot. Default: the latest in the log
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    slab_temperature: Option<String>,
    /// Outside air for the hours of cure: an hourly CSV as for the scenario's weather
    #[arg(long, value_name = "FILE")]
    forecast: Option<PathBuf>,
    /// Heating keeps air and slab at the temperatures of now through the cure
    #[arg(long, requires = "forecast")]
    hold_temperatures: bool,
    /// The log. Default: <scenario>-readings.csv beside the scenario
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    /// Check as of this day and time, such as "2026-11-25 07:30". Default: now
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// Results as one JSON object on standard output
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &TodayArguments, printer: &Printer) -> Ending {
    match check(arguments, printer) {
        Ok(ending) => ending,
        Err(faults) => {
            for fault in faults {
                printer.fault(&fault);
            }
            Ending::Fault
        }
    }
}

fn check(arguments: &TodayArguments, printer: &Printer) -> Result<Ending, Vec<String>> {
    let now = moment("at", arguments.at.as_deref());
    let typed = typed(arguments);
    let scenario = files::scenario(&arguments.scenario);
    let (now, typed, scenario) = match (now, typed, scenario) {
        (Ok(now), Ok(typed), Ok(scenario)) => (now, typed, scenario),
        (now, typed, scenario) => {
            return Err(now
                .err()
                .into_iter()
                .chain(typed.err().unwrap_or_default())
                .chain(scenario.err())
                .collect());
        }
    };
    let asked = arguments.log.as_deref();
    let (path, log) = logbook::log(&arguments.scenario, asked, scenario.slab.placed)
        .map_err(|fault| vec![fault])?;
    let log = log.unwrap_or_default();
    let conditions = conditions(typed, &log, now, &path)?;
    let cure = arguments
        .forecast
        .as_deref()
        .map(|file| {
            let held = arguments.hold_temperatures;
            cure(file, &scenario, &conditions, (now, held), printer)
        })
        .transpose()?;
    let judged = judge(&log.readings, &scenario, now);
    let tests = floor_tests(&judged, &scenario);
    let unread = log.faults.as_ref().map_or(0, |faults| {
        let lines: BTreeSet<usize> = faults.faults.iter().map(|fault| fault.line).collect();
        lines.len()
    });
    let day = coating_day(
        &scenario,
        now,
        &conditions,
        &tests,
        &judged,
        cure.as_ref(),
        unread,
    );
    if arguments.json {
        let object = shown::json(&scenario, now, &conditions, &day, cure.as_ref());
        printer.data(&format!("{object:#}"));
    } else {
        printer.data(&format!("{}\n", shown::headline(&day, now, printer.system)));
        for sentence in shown::conditions(&conditions, &day, printer.system) {
            printer.data(&sentence);
        }
        printer.data("");
        printer.table(&shown::table(&day, printer.system));
        printer.data("");
        for reason in shown::reasons(&day) {
            printer.data(&reason);
        }
        if let Some(cure) = &cure {
            printer.note(&shown::cure(cure));
        }
        for notice in &log.notices {
            printer.note(notice);
        }
        // Said even to those who want no notes: people rely on it.
        printer.data(shown::RELEASE);
    }
    if let Some(faults) = &log.faults {
        return Err(vec![faults.to_string()]);
    }
    Ok(match day.verdict {
        Verdict::Go => Ending::Good,
        Verdict::NotChecked | Verdict::Wait | Verdict::No => Ending::NoneMeets,
    })
}

fn typed(arguments: &TodayArguments) -> Result<[Option<f64>; 3], Vec<String>> {
    let read = |option: &str, kind: Kind, text: &Option<String>, limit: &str| {
        let Some(text) = text else { return Ok(None) };
        let value = parse(kind, text)
            .map(|a| a.si())
            .map_err(|e| format!("--{option}: {} {}", e.message, e.help))?;
        match ranges::find(limit) {
            Some(limit) if !limit.holds(value) => {
                Err(format!("--{option}: The {}", limit.in_words()))
            }
            _ => Ok(Some(value)),
        }
    };
    let all = [
        read(
            "air-temperature",
            Kind::Temperature,
            &arguments.air_temperature,
            "air temperature",
        ),
        read(
            "air-relative-humidity",
            Kind::RelativeHumidity,
            &arguments.air_relative_humidity,
            "relative humidity of air",
        ),
        read(
            "slab-temperature",
            Kind::Temperature,
            &arguments.slab_temperature,
            "air temperature",
        ),
    ];
    let mut faults = Vec::new();
    let values = all.map(|value| match value {
        Ok(value) => value,
        Err(fault) => {
            faults.push(fault);
            None
        }
    });
    if faults.is_empty() {
        Ok(values)
    } else {
        Err(faults)
    }
}

fn conditions(
    typed: [Option<f64>; 3],
    log: &Log,
    now: DateTime,
    path: &Path,
) -> Result<Conditions, Vec<String>> {
    Conditions::fill(typed, &log.readings, now).map_err(|missing| {
        let options: Vec<String> = missing
            .iter()
            .map(|name| format!("--{}", name.replace(' ', "-")))
            .collect();
        log.faults
            .iter()
            .map(ToString::to_string)
            .chain([format!(
                "The {} of now is not known: it is not given, and {} has no reading with it. Give {}.",
                missing.join(", "),
                files::shown(path),
                options.join(", ")
            )])
            .collect()
    })
}

fn cure(
    file: &Path,
    scenario: &Scenario,
    conditions: &Conditions,
    (now, held): (DateTime, bool),
    printer: &Printer,
) -> Result<CureHours, Vec<String>> {
    let name = files::shown(file);
    let bytes = files::read(file).map_err(|fault| vec![format!("--forecast: {fault}")])?;
    let sentences = |faults: Vec<crate::weather::WeatherFault>| {
        faults.iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    let (forecast, notices) = read_hourly_csv(&name, &bytes).map_err(sentences)?;
    for notice in notices {
        printer.note(&notice.to_string());
    }
    let cure_time = CoatingWindow::of(scenario.coating.as_ref()).cure_time.value;
    let end = now
        .checked_add(jiff::SignedDuration::from_secs(cure_time.ceil() as i64))
        .map_err(|e| vec![format!("--at: {e}.")])?;
    if let Some((first, last)) = forecast.dated_span()
        && (now < first || end > last)
    {
        return Err(vec![format!(
            "{name}: the forecast goes from {first} to {last}, but the cure from {now} to {end}. Get a forecast for these hours, or leave out --forecast."
        )]);
    }
    let elevation = scenario.site.elevation.map(|e| e.si());
    let outside = forecast.season(now, end, elevation).map_err(sentences)?;
    Ok(cure_hours(
        &outside,
        cure_time,
        (conditions.slab_temperature.0, conditions.air_temperature.0),
        scenario.slab.thickness.si(),
        held,
    ))
}
