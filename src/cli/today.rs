//! `coatday today`: may the floor be coated now, rule by rule.

use super::arguments::quantity;
use super::ending::{Ending, Fault, Gathered};
use super::printer::Printer;
use crate::coating_day::{Conditions, CureHours, Says, cure_hours};
use crate::computer::clock::moment;
use crate::computer::{files, logbook};
use crate::facade::{self, Sampling};
use crate::moisture_log::Log;
use crate::scenario::Scenario;
use crate::scenario::coating_window::CoatingWindow;
use crate::units::format;
use crate::units::{Kind, System};
use crate::weather::{WeatherFault, read_hourly_csv};
use jiff::civil::DateTime;
use std::path::{Path, PathBuf};

/// Arguments of `today`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example: coatday today job.json --air-temperature \"61 F\" --air-relative-humidity \"71 %\" --slab-temperature \"55 F\"\n\nThe product's limits go under \"coating\" in the scenario: lowest_temperature, highest_temperature, highest_relative_humidity, dew_point_margin, cure_time, concrete_age, dry_time_after_wetting, test_validity, probe_time_in_hole.\n\nExit codes: 0 go; 1 wait or no; 2 a fault in usage, scenario, log or forecast."
)]
pub(super) struct TodayArguments {
    /// The scenario, a JSON file; - is standard input
    scenario: PathBuf,
    /// Temperature of the air over the floor. Default: the latest in the log
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    air_temperature: Option<String>,
    /// Relative humidity of the air over the floor. Default: the latest in the log
    #[arg(long, value_name = "HUMIDITY", allow_hyphen_values = true)]
    air_relative_humidity: Option<String>,
    /// Temperature of the slab's surface, at its coldest spot. Default: the latest in the log
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    slab_temperature: Option<String>,
    /// Outside air for the hours of cure: an hourly CSV, as for the scenario's weather
    #[arg(long, value_name = "FILE")]
    forecast: Option<PathBuf>,
    /// Heating keeps air and slab at the temperatures of now through the cure
    #[arg(long, requires = "forecast")]
    hold_temperatures: bool,
    /// The log. Default: the scenario's name with -readings.csv, beside it
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    /// Check as of this day and time, such as "2026-11-25 07:30". Default: now
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// Only the check. It is quicker, because it does not compute when the floor is dry
    #[arg(long)]
    no_date: bool,
    /// Results as one JSON object on standard output
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &TodayArguments, printer: &Printer) -> Result<Ending, Fault> {
    let mut faults = Gathered::default();
    let now = faults.take(moment("at", arguments.at.as_deref()));
    let typed = typed(arguments, &mut faults);
    let scenario = faults.take(files::scenario(&arguments.scenario));
    let (Some(now), Some(typed), Some(scenario)) = (now, typed, scenario) else {
        return Err(faults.fault());
    };
    let open = if arguments.no_date {
        files::without_drying(&arguments.scenario, scenario)?
    } else {
        files::ready(&arguments.scenario)?
    };
    let scenario = &open.scenario;
    let asked = arguments.log.as_deref();
    let (path, log) = logbook::log(&arguments.scenario, asked, scenario.slab.placed)?;
    let log = log.unwrap_or_default();
    let conditions = conditions(typed, &log, now, &path, printer)?;
    let cure = match &arguments.forecast {
        Some(file) => {
            let held = arguments.hold_temperatures;
            Some(cure(file, scenario, &conditions, (now, held), printer)?)
        }
        None => None,
    };
    let date = (!arguments.no_date).then(Sampling::default);
    let found = facade::today(&open, &log, now, conditions, cure, date);
    printer.answer(&found, arguments.json)?;
    if let Some(faults) = &log.faults {
        return Err(faults.to_string().into());
    }
    Ok(match found.day.says {
        Says::Go => Ending::Good,
        Says::NotChecked | Says::Wait | Says::No => Ending::NoneMeets,
    })
}

/// Temperature and relative humidity of the air, temperature of the slab, as far as they were typed; none if one is at fault.
fn typed(arguments: &TodayArguments, faults: &mut Gathered) -> Option<[Option<f64>; 3]> {
    let mut read = |option: &str, kind: Kind, text: &Option<String>, range: &str| {
        let value = text
            .as_ref()
            .map(|text| quantity(option, kind, text, Some(range)));
        faults.take(value.transpose())
    };
    let a = arguments;
    let (degrees, humid) = ("air temperature", "relative humidity of air");
    let air = read(
        "air-temperature",
        Kind::Temperature,
        &a.air_temperature,
        degrees,
    );
    let humidity = read(
        "air-relative-humidity",
        Kind::RelativeHumidity,
        &a.air_relative_humidity,
        humid,
    );
    let slab = read(
        "slab-temperature",
        Kind::Temperature,
        &a.slab_temperature,
        degrees,
    );
    Some([air?, humidity?, slab?])
}

fn conditions(
    typed: [Option<f64>; 3],
    log: &Log,
    now: DateTime,
    path: &Path,
    printer: &Printer,
) -> Result<Conditions, Fault> {
    Conditions::fill(typed, &log.readings, now).map_err(|missing| {
        let options: Vec<String> = missing
            .iter()
            .map(|name| {
                let value = if name.ends_with("humidity") {
                    "71 %"
                } else {
                    match printer.system {
                        System::Si => "16 C",
                        _ => "61 F",
                    }
                };
                format!("--{} \"{value}\"", name.replace(' ', "-"))
            })
            .collect();
        let mut faults = Gathered::default();
        if let Some(unread) = &log.faults {
            faults.add(unread.to_string());
        }
        let missing: Vec<String> = missing.iter().map(ToString::to_string).collect();
        faults.add(format!(
            "Not given, and not in {}: {}. Add {}.",
            files::shown(path),
            format::listed(&missing),
            options.join(" ")
        ));
        faults.fault()
    })
}

fn cure(
    file: &Path,
    scenario: &Scenario,
    conditions: &Conditions,
    (now, held): (DateTime, bool),
    printer: &Printer,
) -> Result<CureHours, Fault> {
    let name = files::shown(file);
    let bytes = files::read(file).map_err(|fault| format!("--forecast: {fault}"))?;
    let all = |faults: Vec<WeatherFault>| {
        let faults: Vec<String> = faults.iter().map(ToString::to_string).collect();
        faults.join("\n")
    };
    let (forecast, notices) = read_hourly_csv(&name, &bytes).map_err(all)?;
    for notice in notices {
        printer.note(notice.said().of(printer.system));
    }
    let cure_time = CoatingWindow::of(scenario.coating.as_ref()).cure_time.value;
    let end = now
        .checked_add(jiff::SignedDuration::from_secs(cure_time.ceil() as i64))
        .map_err(|e| format!("--at: {e}."))?;
    if let Some((first, last)) = forecast.dated_span()
        && (now < first || end > last)
    {
        let [first, last, now, end] =
            [first, last, now, end].map(|at| format::moment(at, printer.system));
        return Err(format!(
            "{name}: the forecast goes from {first} to {last}, but the coating cures from {now} to {end}. Get a forecast for those hours, or leave out --forecast."
        )
        .into());
    }
    let elevation = scenario.site.elevation.map(|e| e.si());
    let outside = forecast.season(now, end, elevation).map_err(all)?;
    Ok(cure_hours(
        &outside,
        cure_time,
        (conditions.slab_temperature.0, conditions.air_temperature.0),
        scenario.slab.thickness.si(),
        held,
    ))
}
