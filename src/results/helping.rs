//! When outside air helps, as table, chart and one versioned JSON object.

use super::{Side, TextTable};
use crate::charts::HeatMap;
use crate::units::{CFM, GRAINS_PER_POUND, HOUR, KWH, System, fahrenheit};
use crate::weather::helps::{HOURS, Helping, HelpingHours, MONTHS};
use serde_json::{Value, json};
use std::fmt::Write as _;

/// The flow that numbers are given for: 1000 m3/h \[m3/s\].
pub const FLOW: f64 = 1000.0 / HOUR;
/// The same in cubic feet per minute.
const FLOW_CFM: f64 = FLOW / CFM;
/// Hours of the day in one column of the table: eight columns fit a terminal.
const BLOCK: usize = 3;
const NAMES: [&str; MONTHS] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

const FULL_NAMES: [&str; MONTHS] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// An exchange of outside air in a setup of the scenario.
#[derive(Clone, Debug, PartialEq)]
pub struct Exchanger {
    /// The setup.
    pub setup: String,
    /// Flow of all its fans and openings \[m3/s\].
    pub flow: f64,
}

/// Outside air through a season against a room.
#[derive(Clone, Debug, PartialEq)]
pub struct HelpingReport {
    /// Name of the scenario.
    pub scenario: String,
    /// First and last day.
    pub span: (jiff::civil::Date, jiff::civil::Date),
    /// Temperature of the room \[degC\].
    pub room_temperature: f64,
    /// Relative humidity of the room.
    pub room_humidity: f64,
    /// Humidity ratio of the room at the season's mean pressure \[kg/kg\].
    pub room_humidity_ratio: f64,
    /// Where the room's air comes from, in words.
    pub room_source: String,
    /// Margin by which outside air must be drier \[kg/kg\].
    pub margin: f64,
    /// The hours.
    pub hours: HelpingHours,
    /// Exchanges of the scenario's setups.
    pub exchangers: Vec<Exchanger>,
    /// Notes about the weather.
    pub notices: Vec<String>,
}

fn us(system: System) -> bool {
    system == System::Us
}

fn temperature(celsius: f64, system: System) -> String {
    if us(system) {
        format!("{:.0} degF", fahrenheit(celsius))
    } else {
        format!("{celsius:.1} degC")
    }
}

/// A humidity ratio as number in gr/lb or g/kg.
fn ratio(value: f64, system: System) -> f64 {
    value * if us(system) { GRAINS_PER_POUND } else { 1000.0 }
}

fn ratio_unit(system: System) -> &'static str {
    if us(system) { "gr/lb" } else { "g/kg" }
}

impl HelpingReport {
    /// What was compared and what came out.
    #[must_use]
    pub fn headline(&self, system: System) -> String {
        let season = self.hours.season();
        let mut text = format!(
            "Outside air is drier than the room in {:.0} of {:.0} hours ({:.0} %) from {} to {}.\nThe room: {}, {:.0} % ({:.1} {}), {}.",
            season.helping_hours,
            season.hours,
            100.0 * season.share(),
            self.span.0,
            self.span.1,
            temperature(self.room_temperature, system),
            100.0 * self.room_humidity,
            ratio(self.room_humidity_ratio, system),
            ratio_unit(system),
            self.room_source,
        );
        if self.margin > 0.0 {
            let _ = write!(
                text,
                " Counted while it is drier by at least {:.1} {}.",
                ratio(self.margin, system),
                ratio_unit(system)
            );
        }
        if let Some(heat) = season.heat_per_water() {
            let _ = write!(
                text,
                "\nAn exchange of 1000 m3/h ({FLOW_CFM:.0} cfm) in just those hours carries off {:.0} kg ({:.0} lb) of water; warming that air takes {:.0} kWh, {:.2} kWh per kg of water.",
                season.water * FLOW,
                season.water * FLOW * 2.204_62,
                season.heat * FLOW / KWH,
                heat / KWH,
            );
        }
        text
    }

    /// What warming the air costs for each exchange in the scenario.
    #[must_use]
    pub fn exchanger_sentences(&self) -> Vec<String> {
        let season = self.hours.season();
        self.exchangers
            .iter()
            .map(|e| {
                format!(
                    "{}: {:.0} m3/h, open in those hours of the whole season, would carry off {:.0} kg of water for {:.0} kWh of heat.",
                    e.setup,
                    e.flow * HOUR,
                    season.water * e.flow,
                    season.heat * e.flow / KWH
                )
            })
            .collect()
    }

    fn months(&self) -> impl Iterator<Item = (usize, Helping)> + '_ {
        (0..MONTHS)
            .map(|m| (m, self.hours.month(m)))
            .filter(|(_, h)| h.hours > 0.0)
    }

    /// By month: hours, dryness, water, heat.
    #[must_use]
    pub fn by_month(&self, system: System) -> TextTable {
        let heads = [
            ("Month".to_owned(), Side::Left),
            ("Outside".into(), Side::Right),
            ("Hours".into(), Side::Right),
            ("drier".into(), Side::Right),
            ("%".into(), Side::Right),
            (format!("by, {}", ratio_unit(system)), Side::Right),
            (
                if us(system) {
                    "lb off, per 1000 m3/h"
                } else {
                    "kg off, per 1000 m3/h"
                }
                .into(),
                Side::Right,
            ),
            ("kWh to warm it".into(), Side::Right),
            ("kWh/kg".into(), Side::Right),
        ];
        let row = |name: &str, h: &Helping| {
            vec![
                name.to_owned(),
                h.temperature()
                    .map_or_else(String::new, |t| temperature(t, system)),
                format!("{:.0}", h.hours),
                format!("{:.0}", h.helping_hours),
                format!("{:.0}", 100.0 * h.share()),
                h.drier_by()
                    .map_or_else(String::new, |d| format!("{:+.1}", ratio(d, system))),
                format!(
                    "{:.0}",
                    h.water * FLOW * if us(system) { 2.204_62 } else { 1.0 }
                ),
                format!("{:.0}", h.heat * FLOW / KWH),
                h.heat_per_water()
                    .map_or_else(|| "-".into(), |q| format!("{:.2}", q / KWH)),
            ]
        };
        let mut rows: Vec<Vec<String>> = self.months().map(|(m, h)| row(NAMES[m], &h)).collect();
        rows.push(row("Season", &self.hours.season()));
        let last = rows.len() - 1;
        TextTable {
            columns: heads.to_vec(),
            rows,
            strong_row: Some(last),
        }
    }

    /// By month and hour of the day: share of hours in which outside air is drier.
    #[must_use]
    pub fn by_hour(&self) -> TextTable {
        let blocks = (0..HOURS).step_by(BLOCK);
        let mut columns = vec![("Drier, % of hours".to_owned(), Side::Left)];
        columns.extend(
            blocks
                .clone()
                .map(|b| (format!("{b:02}-{:02} h", b + BLOCK), Side::Right)),
        );
        let row = |name: &str, month: Option<usize>| {
            let mut cells = vec![name.to_owned()];
            cells.extend(blocks.clone().map(|b| {
                let h = self.hours.hours_of_day(month, b, b + BLOCK);
                format!("{:.0}", 100.0 * h.share())
            }));
            cells
        };
        let mut rows: Vec<Vec<String>> =
            self.months().map(|(m, _)| row(NAMES[m], Some(m))).collect();
        rows.push(row("Season", None));
        let last = rows.len() - 1;
        TextTable {
            columns,
            rows,
            strong_row: Some(last),
        }
    }

    /// Month by hour: mean difference of the humidity ratios.
    #[must_use]
    pub fn heat_map(&self, system: System) -> HeatMap {
        let months: Vec<usize> = self.months().map(|(m, _)| m).collect();
        let season = self.hours.season();
        HeatMap {
            title: self.finding(&season),
            subtitle: format!(
                "{}: humidity ratio of the room ({}, {:.0} %) less that of outside air, {}",
                self.scenario,
                temperature(self.room_temperature, system),
                100.0 * self.room_humidity,
                ratio_unit(system)
            ),
            rows: months.iter().map(|m| NAMES[*m].to_owned()).collect(),
            columns: (0..HOURS).map(|h| h.to_string()).collect(),
            column_label: "Hour of the day".into(),
            values: months
                .iter()
                .map(|m| {
                    (0..HOURS)
                        .map(|h| self.hours.cell(*m, h).drier_by().map(|d| ratio(d, system)))
                        .collect()
                })
                .collect(),
            centre: 0.0,
            decimals: usize::from(!us(system)),
            low_label: "outside air wets".into(),
            high_label: "outside air dries".into(),
            footer: vec![format!(
                "Means by month and hour at the pressure of the site. Warming the air of the drier hours: {:.0} kWh per 1000 m3/h ({FLOW_CFM:.0} cfm).",
                season.heat * FLOW / KWH
            )],
        }
    }

    fn finding(&self, season: &Helping) -> String {
        let shares: Vec<(usize, f64)> = self.months().map(|(m, h)| (m, h.share())).collect();
        let best = shares.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        let worst = shares.iter().min_by(|a, b| a.1.total_cmp(&b.1));
        match (best, worst) {
            (Some(best), Some(worst)) if best.1 - worst.1 > 0.1 => format!(
                "Open up in {} ({:.0} % of hours help), hardly in {} ({:.0} %)",
                FULL_NAMES[best.0],
                100.0 * best.1,
                FULL_NAMES[worst.0],
                100.0 * worst.1
            ),
            _ => format!(
                "Outside air helps in {:.0} % of hours",
                100.0 * season.share()
            ),
        }
    }

    /// All of it: `coatday/weather/1`.
    #[must_use]
    pub fn json(&self) -> Value {
        let sums = |h: &Helping| {
            json!({
                "hours": h.hours,
                "hours_outside_drier": h.helping_hours,
                "mean_outside_temperature_degc": h.temperature(),
                "mean_drier_by_g_per_kg": h.drier_by().map(|d| 1e3 * d),
                "water_carried_off_kg_per_1000_m3_per_h": h.water * FLOW,
                "heat_to_warm_it_kwh_per_1000_m3_per_h": h.heat * FLOW / KWH,
                "heat_kwh_per_kg_of_water": h.heat_per_water().map(|q| q / KWH),
            })
        };
        let season = self.hours.season();
        json!({
            "schema": "coatday/weather/1",
            "scenario": self.scenario,
            "from": self.span.0.to_string(),
            "until": self.span.1.to_string(),
            "room": {
                "temperature_degc": self.room_temperature,
                "relative_humidity_percent": 100.0 * self.room_humidity,
                "humidity_ratio_g_per_kg": 1e3 * self.room_humidity_ratio,
                "source": self.room_source,
            },
            "margin_g_per_kg": 1e3 * self.margin,
            "season": sums(&season),
            "months": self.months().map(|(m, h)| {
                let mut value = sums(&h);
                if let Some(object) = value.as_object_mut() {
                    object.insert("month".into(), json!(m + 1));
                    object.insert("by_hour_of_day".into(), (0..HOURS).map(|hour| {
                        let c = self.hours.cell(m, hour);
                        json!({
                            "hour": hour,
                            "hours": c.hours,
                            "hours_outside_drier": c.helping_hours,
                            "mean_drier_by_g_per_kg": c.drier_by().map(|d| 1e3 * d),
                        })
                    }).collect());
                }
                value
            }).collect::<Vec<_>>(),
            "exchanges": self.exchangers.iter().map(|e| json!({
                "setup": e.setup,
                "flow_m3_per_h": e.flow * HOUR,
                "water_carried_off_kg": season.water * e.flow,
                "heat_to_warm_it_kwh": season.heat * e.flow / KWH,
            })).collect::<Vec<_>>(),
            "notices": self.notices,
        })
    }
}
