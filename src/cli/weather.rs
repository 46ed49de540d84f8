//! `coatday weather`: when outside air helps, through the season of a scenario.

use super::arguments::Output;
use super::printer::Printer;
use super::{Ending, files};
use crate::air::MoistAir;
use crate::charts::{Size, svg};
use crate::gear::Machine;
use crate::gear::controls::Thermostat;
use crate::gear::exchange::{Flow, OutsideAirExchange};
use crate::job::Job;
use crate::results::helping::{Exchanger, HelpingReport};
use crate::units::{Kind, parse, ranges};
use crate::weather::helps::HelpingHours;
use std::path::PathBuf;

/// Room temperature where the scenario has no heater: a usual working temperature \[degC\].
const USUAL_TEMPERATURE: f64 = 20.0;

/// Arguments of `weather`.
#[derive(Debug, clap::Args)]
pub(super) struct WeatherArguments {
    /// The scenario: its place, weather and season
    scenario: PathBuf,
    /// Room temperature to compare with. Default: the highest thermostat of the scenario, else 68 degF
    #[arg(long, allow_hyphen_values = true)]
    room_temperature: Option<String>,
    /// Relative humidity of the room to compare with
    #[arg(long, default_value = "50 %", allow_hyphen_values = true)]
    room_humidity: String,
    /// Count an hour only when outside air is drier by this much, such as "4 gr/lb"
    #[arg(long, default_value = "0 gr/lb", allow_hyphen_values = true)]
    margin: String,
    #[command(flatten)]
    output: Output,
}

pub(super) fn run(arguments: &WeatherArguments, printer: &Printer) -> Ending {
    let options = options(arguments);
    let ready = files::scenario(&arguments.scenario)
        .and_then(|s| files::job(&arguments.scenario, &s))
        .and_then(|ready| {
            arguments.output.charts.folder()?;
            Ok(ready)
        });
    let (options, job, notices) = match (options, ready) {
        (Ok(options), Ok((job, notices))) => (options, job, notices),
        (options, ready) => {
            for fault in options.err().into_iter().chain(ready.err()) {
                printer.fault(&fault);
            }
            return Ending::Fault;
        }
    };
    let report = report(&job, options, notices);
    if arguments.output.json {
        printer.data(&format!("{:#}", report.json()));
    } else {
        printer.data(&format!("{}\n", report.headline(printer.system)));
        printer.table(&report.by_month(printer.system));
        printer.data("");
        printer.table(&report.by_hour());
        for sentence in report.exchanger_sentences() {
            printer.note(&sentence);
        }
        for notice in &report.notices {
            printer.note(notice);
        }
        printer.note(
            "Estimates. Opening up can also let in rain, frost, dust and strangers, and a slab colder than the dew point of the air let in gets wet.",
        );
    }
    let draw = || {
        let map = report.heat_map(printer.system);
        vec![
            ("outside-air".to_owned(), svg(&map, Size::WIDE)),
            ("outside-air-narrow".to_owned(), svg(&map, Size::NARROW)),
        ]
    };
    arguments
        .output
        .charts
        .finish(&arguments.scenario, printer, draw, Ending::Good)
}

/// The room and the margin asked for, SI.
#[derive(Clone, Copy, Debug)]
struct Options {
    temperature: Option<f64>,
    humidity: f64,
    margin: f64,
}

fn options(arguments: &WeatherArguments) -> Result<Options, String> {
    let read = |option: &str, kind: Kind, text: &str, limit: &str| -> Result<f64, String> {
        let value = parse(kind, text)
            .map(|a| a.si())
            .map_err(|e| format!("--{option}: {} {}", e.message, e.help))?;
        match ranges::find(limit) {
            Some(limit) if !limit.holds(value) => {
                Err(format!("--{option}: The {}", limit.in_words()))
            }
            _ => Ok(value),
        }
    };
    let temperature = arguments
        .room_temperature
        .as_ref()
        .map(|text| {
            read(
                "room-temperature",
                Kind::Temperature,
                text,
                "air temperature",
            )
        })
        .transpose();
    let humidity = read(
        "room-humidity",
        Kind::RelativeHumidity,
        &arguments.room_humidity,
        "relative humidity of air",
    );
    let margin = read("margin", Kind::HumidityRatio, &arguments.margin, "").and_then(|m| {
        if (0.0..=0.05).contains(&m) {
            Ok(m)
        } else {
            Err("--margin: Give a margin from 0 to 350 gr/lb (0 to 50 g/kg).".to_owned())
        }
    });
    match (temperature, humidity, margin) {
        (Ok(temperature), Ok(humidity), Ok(margin)) => Ok(Options {
            temperature,
            humidity,
            margin,
        }),
        (t, h, m) => Err([t.err(), h.err(), m.err()]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join("\n")),
    }
}

fn report(job: &Job, options: Options, notices: Vec<String>) -> HelpingReport {
    let thermostat = highest_thermostat(job);
    let (room_temperature, source) = match (options.temperature, thermostat) {
        (Some(t), _) => (t, "as given"),
        (None, Some(t)) => (t, "temperature from the scenario's thermostat"),
        (None, None) => (USUAL_TEMPERATURE, "temperature taken as usual"),
    };
    let span = (job.drying_starts, job.give_up);
    let pressure = job.weather.mean(span.0, span.1).pressure;
    HelpingReport {
        scenario: job.name.clone(),
        span: (job.date(span.0), job.date(span.1)),
        room_temperature,
        room_humidity: options.humidity,
        room_humidity_ratio: MoistAir::from_relative_humidity(
            room_temperature,
            options.humidity,
            pressure,
        )
        .humidity_ratio,
        room_source: format!("{source}, humidity as given or taken"),
        margin: options.margin,
        hours: HelpingHours::count(
            &job.weather,
            span,
            (room_temperature, options.humidity),
            options.margin,
        ),
        exchangers: exchangers(job),
        notices,
    }
}

fn highest_thermostat(job: &Job) -> Option<f64> {
    job.setups
        .iter()
        .flat_map(|s| &s.room.machines)
        .filter_map(|m| {
            let mut machine = m.machine;
            machine
                .control_mut()
                .and_then(|c| c.thermostat)
                .map(|Thermostat { setpoint, .. }| setpoint)
        })
        .max_by(f64::total_cmp)
}

fn exchangers(job: &Job) -> Vec<Exchanger> {
    // Openings breathe with wind and warmth: their flow is that of the season's mean wind and temperature.
    let mean = job.weather.mean(job.drying_starts, job.give_up);
    let flow = |e: OutsideAirExchange| match e.flow {
        Flow::Given(flow) => flow,
        Flow::Opening(opening) => {
            opening.flow(USUAL_TEMPERATURE, mean.temperature, mean.wind_speed)
        }
    };
    job.setups
        .iter()
        .map(|s| Exchanger {
            setup: s.name.clone(),
            flow: s
                .room
                .machines
                .iter()
                .map(|m| match m.machine {
                    Machine::OutsideAirExchange(e) => flow(e) * m.count,
                    _ => 0.0,
                })
                .sum(),
        })
        .filter(|e| e.flow > 0.0)
        .collect()
}
