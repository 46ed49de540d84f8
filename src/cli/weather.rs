//! `coatday weather`: when outside air helps, through the season of a scenario.

use super::arguments::{Output, quantity};
use super::ending::{Ending, Fault, Gathered};
use super::printer::Printer;
use crate::computer::files;
use crate::results::weather::{SeasonOfAir, Wanted};
use crate::units::Kind;
use std::path::PathBuf;

/// Largest margin that makes sense: more than any room's air holds above the outside \[kg/kg\].
const MOST_MARGIN: f64 = 0.05;

/// Arguments of `weather`.
#[derive(Debug, clap::Args)]
pub(super) struct WeatherArguments {
    /// The scenario: its place, weather and season
    scenario: PathBuf,
    /// Room temperature to compare with, such as "68 F". Default: the highest thermostat of the scenario, else 68 °F (20 °C)
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

pub(super) fn run(arguments: &WeatherArguments, printer: &Printer) -> Result<Ending, Fault> {
    let mut faults = Gathered::default();
    let wanted = wanted(arguments, &mut faults);
    let job = files::scenario(&arguments.scenario)
        .and_then(|scenario| files::job(&arguments.scenario, &scenario))
        .and_then(|found| arguments.output.folder().map(|()| found));
    let (Some(wanted), Some((job, notices))) = (wanted, faults.take(job)) else {
        return Err(faults.fault());
    };
    let found = SeasonOfAir::of(&job, wanted, notices);
    arguments
        .output
        .write(&arguments.scenario, printer, &found)?;
    Ok(Ending::Good)
}

/// The room and the margin asked for.
fn wanted(arguments: &WeatherArguments, faults: &mut Gathered) -> Option<Wanted> {
    let read = |text: &String| {
        quantity(
            "room-temperature",
            Kind::Temperature,
            text,
            Some("air temperature"),
        )
    };
    let temperature = arguments.room_temperature.as_ref().map(read).transpose();
    let humidity = quantity(
        "room-humidity",
        Kind::RelativeHumidity,
        &arguments.room_humidity,
        Some("relative humidity of air"),
    );
    let margin = quantity("margin", Kind::HumidityRatio, &arguments.margin, None).and_then(|m| {
        if (0.0..=MOST_MARGIN).contains(&m) {
            Ok(m)
        } else {
            Err(
                "--margin: Give a margin from \"0 gr/lb\" to \"350 gr/lb\", such as \"4 gr/lb\"."
                    .to_owned(),
            )
        }
    });
    let found = (
        faults.take(temperature),
        faults.take(humidity),
        faults.take(margin),
    );
    let (Some(temperature), Some(humidity), Some(margin)) = found else {
        return None;
    };
    Some(Wanted {
        temperature,
        humidity,
        margin,
    })
}
