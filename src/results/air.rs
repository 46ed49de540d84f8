//! A state of moist air, in both unit systems.

use super::{Answer, Block, Columns, Document, finite, record};
use crate::air::states::{BTU_PER_POUND, ENTHALPY_OF_DRY_AIR_FROM_0_DEGF, Known};
use crate::air::{self, MoistAir};
use crate::units::format::{HOLD, Shown, fixed, temperature};
use crate::units::{FT3, GRAINS_PER_POUND, Kind, POUND, System, celsius};

/// kg/m3 in a grain per cubic foot.
const GRAIN_PER_CUBIC_FOOT: f64 = POUND / GRAINS_PER_POUND / FT3;
/// m3/kg in a cubic foot per pound.
const CUBIC_FOOT_PER_POUND: f64 = FT3 / POUND;

/// A state and the two quantities that it was found from.
#[derive(Clone, Copy, Debug)]
pub struct AirState {
    /// The state.
    pub state: MoistAir,
    /// What was given.
    pub known: [Known; 2],
}

record! {
    /// A state of moist air: `coatday/air/1`.
    AirData(found: &AirState) where [s = &found.state] {
        schema: &'static str = "coatday/air/1",
        known: Vec<String> = found.known.iter().map(|k| k.quantity().to_string()).collect(),
        dry_bulb_degc: Option<f64> = finite(s.temperature),
        dry_bulb_degf: Option<f64> = fahrenheit(s.temperature),
        wet_bulb_degc: Option<f64> = finite(s.wet_bulb()),
        wet_bulb_degf: Option<f64> = fahrenheit(s.wet_bulb()),
        dew_point_degc: Option<f64> = dew_point(s),
        dew_point_degf: Option<f64> = dew_point(s).and_then(fahrenheit),
        condensation_point_degc: Option<f64> = condensation_point(s),
        condensation_point_degf: Option<f64> = condensation_point(s).and_then(fahrenheit),
        relative_humidity_percent: Option<f64> = finite(100.0 * s.relative_humidity()),
        humidity_ratio_g_per_kg: Option<f64> = finite(1e3 * s.humidity_ratio),
        humidity_ratio_gr_per_lb: Option<f64> = finite(GRAINS_PER_POUND * s.humidity_ratio),
        enthalpy_kj_per_kg: Option<f64> = finite(s.enthalpy() / 1e3),
        enthalpy_btu_per_lb: Option<f64> = finite(us_enthalpy(s)),
        vapour_pressure_pa: Option<f64> = finite(s.vapour_pressure()),
        vapour_pressure_inhg: Option<f64> = inches_of_mercury(s.vapour_pressure()),
        saturation_vapour_pressure_pa: Option<f64> = finite(saturation(s)),
        vapour_pressure_deficit_pa: Option<f64> = finite(saturation(s) - s.vapour_pressure()),
        absolute_humidity_g_per_m3: Option<f64> = finite(1e3 * absolute(s)),
        absolute_humidity_gr_per_ft3: Option<f64> = finite(absolute(s) / GRAIN_PER_CUBIC_FOOT),
        specific_volume_m3_per_kg: Option<f64> = finite(s.specific_volume()),
        specific_volume_ft3_per_lb: Option<f64> = finite(s.specific_volume() / CUBIC_FOOT_PER_POUND),
        pressure_pa: Option<f64> = finite(s.pressure),
        pressure_inhg: Option<f64> = inches_of_mercury(s.pressure),
    }
}

fn fahrenheit(celsius: f64) -> Option<f64> {
    finite(crate::units::fahrenheit(celsius))
}

fn inches_of_mercury(pressure: f64) -> Option<f64> {
    finite(Shown::of(Kind::Pressure, System::Us).number(pressure))
}

fn us_enthalpy(state: &MoistAir) -> f64 {
    (state.enthalpy() + ENTHALPY_OF_DRY_AIR_FROM_0_DEGF) / BTU_PER_POUND
}

fn saturation(state: &MoistAir) -> f64 {
    air::saturation_pressure(state.temperature)
}

fn absolute(state: &MoistAir) -> f64 {
    air::absolute_humidity(state.vapour_pressure(), state.temperature)
}

/// Dry air has neither.
fn dew_point(state: &MoistAir) -> Option<f64> {
    (state.vapour_pressure() > 0.0).then(|| state.dew_point())
}

fn condensation_point(state: &MoistAir) -> Option<f64> {
    (state.vapour_pressure() > 0.0).then(|| state.condensation_point())
}

/// Name, in US units, in SI.
fn rows(s: &MoistAir) -> Vec<[String; 3]> {
    let row = |name: &str, us: String, si: String| [name.to_owned(), us, si];
    let shown = |name: &str, kind: Kind, value: f64, (us, si): (usize, usize)| {
        let text = |system, decimals| Shown::of(kind, system).fixed_text(value, decimals);
        row(name, text(System::Us, us), text(System::Si, si))
    };
    let with =
        |value: f64, decimals: usize, unit: &str| format!("{}{HOLD}{unit}", fixed(value, decimals));
    let temperature = |name: &str, t: f64| shown(name, Kind::Temperature, t, (1, 1));
    let pressure = |name: &str, p: f64| {
        let us = Shown::of(Kind::Pressure, System::Us);
        let si = Shown::named(Kind::Pressure, "kPa");
        row(name, us.fixed_text(p, 3), si.fixed_text(p, 3))
    };
    let mut rows = vec![
        temperature("Dry bulb", s.temperature),
        temperature("Wet bulb", s.wet_bulb()),
    ];
    rows.extend(dew_point(s).map(|t| temperature("Dew point", t)));
    let frost = condensation_point(s).filter(|t| *t < 0.0);
    rows.extend(frost.map(|t| temperature("Frost point", t)));
    let humidity = format!("{}{HOLD}%", fixed(100.0 * s.relative_humidity(), 1));
    let volume = s.specific_volume();
    rows.extend([
        row("Relative humidity", humidity.clone(), humidity),
        shown(
            "Humidity ratio",
            Kind::HumidityRatio,
            s.humidity_ratio,
            (1, 2),
        ),
        row(
            "Enthalpy",
            with(us_enthalpy(s), 2, "Btu/lb"),
            with(s.enthalpy() / 1e3, 2, "kJ/kg"),
        ),
        pressure("Vapor pressure", s.vapour_pressure()),
        pressure("Saturation vapor pressure", saturation(s)),
        pressure(
            "Vapor pressure deficit",
            saturation(s) - s.vapour_pressure(),
        ),
        row(
            "Absolute humidity",
            with(absolute(s) / GRAIN_PER_CUBIC_FOOT, 2, "gr/ft3"),
            with(absolute(s) * 1e3, 2, "g/m3"),
        ),
        row(
            "Specific volume",
            with(volume / CUBIC_FOOT_PER_POUND, 2, "ft3/lb"),
            with(volume, 3, "m3/kg"),
        ),
        pressure("Air pressure", s.pressure),
    ]);
    rows
}

impl Answer for AirState {
    type Data = AirData;

    fn data(&self) -> AirData {
        AirData::of(self)
    }

    fn document(&self, system: System) -> Document {
        let column = if system == System::Si { 2 } else { 1 };
        let zero = if system == System::Si {
            0.0
        } else {
            celsius(0.0)
        };
        let mut notes = vec![format!(
            "Per mass of dry air. The enthalpy counts dry air from {}.",
            temperature(zero, system)
        )];
        if self.state.temperature < 0.0 {
            notes.push(
                "Below freezing the relative humidity is over ice. Weather stations give it over water, which is lower.".into(),
            );
        }
        let table = Columns::new()
            .left("Moist air", |row: &[String; 3]| row[0].clone())
            .right(if system == System::Si { "SI" } else { "US" }, move |row| {
                row[column].clone()
            })
            .rows(rows(&self.state));
        Document::new("Moist air", vec![Block::Table(table), Block::Notes(notes)])
    }
}
