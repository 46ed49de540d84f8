//! When outside air is drier than the room, by month and hour of the day, and what warming it costs.

use super::record::kwh;
use super::{Answer, Block, Columns, Document, TextTable, or_dash, record};
use crate::air::MoistAir;
use crate::charts::HeatMap;
use crate::gear::Machine;
use crate::gear::controls::Thermostat;
use crate::gear::exchange::{Flow, OutsideAirExchange};
use crate::job::Job;
use crate::units::format::{
    HOLD, MONTHS_OF_THE_YEAR, Said, Shown, all_said, date, dates_between, fixed, heat, heat_in,
    held, hours, percent, rounded, signed, water, whole,
};
use crate::units::{CFM, Kind, System};
use crate::weather::helps::{HOURS, Helping, HelpingHours, MONTHS};
use jiff::civil::Date;
use std::fmt::Write as _;

/// The flow that numbers are given for: 1000 m3/h \[m3/s\].
pub const FLOW: f64 = 1000.0 / crate::units::HOUR;
/// Hours of the day in one column of the table: eight columns fit a terminal.
const BLOCK: usize = 3;
/// Room temperature where the scenario has no heater: a usual working temperature \[degC\].
const USUAL_TEMPERATURE: f64 = 20.0;
/// Months differ where their shares of helping hours differ by more than this.
const WORTH_NAMING: f64 = 0.1;
const ESTIMATES: &str = "Estimates. Opening up can let in rain, frost, dust and strangers. Air with a dew point above the slab's temperature wets the slab.";

/// What outside air is compared with, SI.
#[derive(Clone, Copy, Debug)]
pub struct Wanted {
    /// Temperature of the room \[degC\]; otherwise the scenario's thermostat, or a usual one.
    pub temperature: Option<f64>,
    /// Relative humidity of the room.
    pub humidity: f64,
    /// Margin by which outside air must be drier \[kg/kg\].
    pub margin: f64,
}

/// An exchange of outside air in a setup of the scenario.
#[derive(Clone, Debug, PartialEq)]
pub struct Exchange {
    /// The setup.
    pub setup: String,
    /// Flow of all its fans and openings \[m3/s\].
    pub flow: f64,
}

/// Outside air through a season against a room.
#[derive(Clone, Debug)]
pub struct SeasonOfAir {
    /// Name of the scenario.
    pub scenario: String,
    /// First and last day.
    pub span: (Date, Date),
    /// First and last day of the drying: up to the day the floor is needed, where one is given.
    pub drying: (Date, Date),
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
    pub exchanges: Vec<Exchange>,
    /// Notes about the weather.
    pub notices: Vec<Said>,
}

impl SeasonOfAir {
    /// The season of a job.
    #[must_use]
    pub fn of(job: &Job, wanted: Wanted, notices: Vec<Said>) -> Self {
        let (temperature, source) = match (wanted.temperature, highest_thermostat(job)) {
            (Some(t), _) => (t, "as given"),
            (None, Some(t)) => (t, "the temperature is that of the thermostat"),
            (None, None) => (USUAL_TEMPERATURE, "the temperature is assumed"),
        };
        let span = (job.gear_on, job.give_up);
        let pressure = job.weather.mean(span.0, span.1).pressure;
        let room = (temperature, wanted.humidity);
        Self {
            scenario: job.name.clone(),
            span: (job.date(span.0), job.date(span.1)),
            drying: (
                job.date(span.0),
                job.needed_by
                    .filter(|by| *by >= job.date(span.0))
                    .map_or(job.date(span.1), |by| by.min(job.date(span.1))),
            ),
            room_temperature: temperature,
            room_humidity: wanted.humidity,
            room_humidity_ratio: MoistAir::from_relative_humidity(room.0, room.1, pressure)
                .humidity_ratio,
            room_source: format!("{source}, the humidity is as given or assumed"),
            margin: wanted.margin,
            hours: HelpingHours::count(&job.weather, span, room, wanted.margin),
            exchanges: exchanges(job),
            notices,
        }
    }

    /// Months with any hour in the season, from 0 for January.
    fn months(&self) -> impl Iterator<Item = (usize, Helping)> + '_ {
        (0..MONTHS)
            .map(|m| (m, self.hours.month(m)))
            .filter(|(_, h)| h.hours > 0.0)
    }
}

/// Whether some day of a month, from 0 for January, lies between two days.
fn touches(month: usize, (from, until): (Date, Date)) -> bool {
    let count = |day: Date| i32::from(day.year()) * 12 + i32::from(day.month()) - 1;
    let (first, last) = (count(from), count(until));
    let months = i32::try_from(MONTHS).unwrap_or(12);
    (first..=last.min(first + months - 1)).any(|m| m.rem_euclid(months) as usize == month)
}

fn highest_thermostat(job: &Job) -> Option<f64> {
    let machines = job.setups.iter().flat_map(|s| &s.room.machines);
    machines
        .filter_map(|m| {
            let mut machine = m.machine;
            let control = machine.control_mut()?;
            control
                .thermostat
                .map(|Thermostat { setpoint, .. }| setpoint)
        })
        .max_by(f64::total_cmp)
}

fn exchanges(job: &Job) -> Vec<Exchange> {
    // Openings breathe with wind and warmth: their flow is that of the season's mean wind and temperature.
    let mean = job.weather.mean(job.gear_on, job.give_up);
    let flow = |e: OutsideAirExchange| match e.flow {
        Flow::Given(flow) => flow,
        Flow::Opening(opening) => {
            opening.flow(USUAL_TEMPERATURE, mean.temperature, mean.wind_speed)
        }
    };
    job.setups
        .iter()
        .map(|s| Exchange {
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

record! {
    /// Outside air through a season: `coatday/weather/1`.
    WeatherData(a: &SeasonOfAir) where [season = a.hours.season()] {
        schema: &'static str = "coatday/weather/1",
        scenario: String = a.scenario.clone(),
        from: Date = a.span.0,
        until: Date = a.span.1,
        room: RoomData = RoomData::of(a),
        margin_g_per_kg: f64 = 1e3 * a.margin,
        season: HoursData = HoursData::of(&season),
        months: Vec<MonthData> = a.months().map(|(m, h)| MonthData::of(a, m, &h)).collect(),
        exchanges: Vec<ExchangeData> = a.exchanges.iter().map(|e| ExchangeData::of(e, &season)).collect(),
        notices: Vec<String> = all_said(&a.notices, System::Si),
    }

    /// The room that outside air is compared with.
    RoomData(a: &SeasonOfAir) {
        temperature_degc: f64 = a.room_temperature,
        relative_humidity_percent: f64 = 100.0 * a.room_humidity,
        humidity_ratio_g_per_kg: f64 = 1e3 * a.room_humidity_ratio,
        source: String = a.room_source.clone(),
    }

    /// Sums over some hours.
    HoursData(h: &Helping) {
        hours: f64 = h.hours,
        hours_outside_drier: f64 = h.helping_hours,
        mean_outside_temperature_degc: Option<f64> = h.temperature(),
        mean_drier_by_g_per_kg: Option<f64> = h.drier_by().map(|d| 1e3 * d),
        water_carried_off_kg_per_1000_m3_per_h: f64 = h.water * FLOW,
        heat_to_warm_it_kwh_per_1000_m3_per_h: f64 = kwh(h.heat * FLOW),
        heat_kwh_per_kg_of_water: Option<f64> = h.heat_per_water().map(kwh),
    }

    /// A month of the season.
    MonthData(a: &SeasonOfAir, m: usize, h: &Helping) {
        month: usize = m + 1,
        #[serde(flatten)]
        sums: HoursData = HoursData::of(h),
        by_hour_of_day: Vec<HourOfDayData> = (0..HOURS).map(|hour| HourOfDayData::of(hour, &a.hours.cell(m, hour))).collect(),
    }

    /// One hour of the day through a month.
    HourOfDayData(of_day: usize, h: &Helping) {
        hour: usize = of_day,
        hours: f64 = h.hours,
        hours_outside_drier: f64 = h.helping_hours,
        mean_drier_by_g_per_kg: Option<f64> = h.drier_by().map(|d| 1e3 * d),
    }

    /// What an exchange of the scenario does in a season.
    ExchangeData(e: &Exchange, season: &Helping) {
        setup: String = e.setup.clone(),
        flow_m3_per_h: f64 = e.flow * crate::units::HOUR,
        water_carried_off_kg: f64 = season.water * e.flow,
        heat_to_warm_it_kwh: f64 = kwh(season.heat * e.flow),
    }
}

/// How the numbers of a system are shown.
#[derive(Clone, Copy)]
struct Look {
    temperature: Shown,
    degrees: usize,
    ratio: Shown,
    mass: Shown,
}

impl Look {
    fn of(system: System) -> Self {
        Self {
            temperature: Shown::of(Kind::Temperature, system),
            degrees: usize::from(system == System::Si),
            ratio: Shown::of(Kind::HumidityRatio, system),
            mass: Shown::of(Kind::Mass, system),
        }
    }

    fn temperature(&self, celsius: f64) -> String {
        self.temperature.fixed_text(celsius, self.degrees)
    }
}

/// The flow that figures are told for: 1000 m3/h, in the US 1000 cfm \[m3/s\].
fn told_for(system: System) -> f64 {
    if system == System::Si {
        FLOW
    } else {
        1000.0 * CFM
    }
}

fn flow_text(flow: f64, system: System) -> String {
    let shown = Shown::of(Kind::AirFlow, system);
    format!("{}{HOLD}{}", rounded(shown.number(flow)), shown.unit())
}

/// Heat over water carried off: "1.2 kBtu/lb", "0.8 kWh/kg".
fn heat_per_water(joules_per_kilogram: f64, system: System) -> (String, String) {
    let (number, unit) = heat_in(joules_per_kilogram, system);
    let mass = Shown::of(Kind::Mass, system);
    let number = number / mass.number(1.0);
    (fixed(number, 2), format!("{unit}/{}", mass.unit()))
}

/// What was compared and what came out.
fn headline(a: &SeasonOfAir, system: System) -> Vec<String> {
    let look = Look::of(system);
    let season = a.hours.season();
    let mut out = vec![format!(
        "Outside air is drier than the room in {} of {} hours ({}) from {} to {}.",
        whole(season.helping_hours),
        whole(season.hours),
        percent(season.share()),
        date(a.span.0, system),
        date(a.span.1, system),
    )];
    let mut room = format!(
        "The room: {}, {} ({}), {}.",
        look.temperature(a.room_temperature),
        percent(a.room_humidity),
        look.ratio.fixed_text(a.room_humidity_ratio, 1),
        a.room_source,
    );
    if a.margin > 0.0 {
        let margin = look.ratio.fixed_text(a.margin, 1);
        let _ = write!(room, " Counted while it is drier by at least {margin}.");
    }
    out.push(room);
    if let Some(per_water) = season.heat_per_water() {
        let flow = told_for(system);
        let (number, unit) = heat_per_water(per_water, system);
        out.push(format!(
            "An exchange of {} in just those hours carries off {} of water. Warming that air takes {} ({number}{HOLD}{unit} of water).",
            flow_text(flow, system),
            water(season.water * flow, system),
            heat(season.heat * flow, system),
        ));
    }
    out
}

/// What warming the air costs for each exchange in the scenario.
fn of_exchange(e: &Exchange, season: &Helping, system: System) -> String {
    format!(
        "{}: {}, open in just those hours of the season, would carry off {} of water for {} of heat.",
        e.setup,
        flow_text(e.flow, system),
        water(season.water * e.flow, system),
        heat(season.heat * e.flow, system)
    )
}

/// By month: hours, dryness, water, heat.
fn by_month(a: &SeasonOfAir, system: System) -> TextTable {
    let look = Look::of(system);
    let months = a.months().map(|(m, h)| (short(m), h));
    let difference = |d: f64| signed(look.ratio.number(d), 1);
    let flow = told_for(system);
    let per = flow_text(flow, system);
    let heat_unit = heat_in(0.0, system).1;
    Columns::new()
        .left("Month", |(name, _): &(&str, Helping)| (*name).to_owned())
        .right("Outside", |(_, h)| {
            h.temperature()
                .map_or_else(String::new, |t| look.temperature(t))
        })
        .right("Hours", |(_, h)| whole(h.hours))
        .rank(5)
        .right("Hours drier", |(_, h)| whole(h.helping_hours))
        .right("Share", |(_, h)| percent(h.share()))
        .right(format!("Drier by, {}", look.ratio.unit()), |(_, h)| {
            h.drier_by().map_or_else(String::new, difference)
        })
        .rank(4)
        .right(
            format!("Water off, {} per {per}", look.mass.unit()),
            |(_, h)| rounded(look.mass.number(h.water * flow)),
        )
        .rank(2)
        .right(format!("Heat to warm it, {heat_unit}"), |(_, h)| {
            rounded(heat_in(h.heat * flow, system).0)
        })
        .rank(2)
        .right(
            format!("Heat, {}", heat_per_water(0.0, system).1),
            |(_, h)| or_dash(h.heat_per_water().map(|q| heat_per_water(q, system).0)),
        )
        .rank(3)
        .rows(months.chain([("Season", a.hours.season())]))
        .with_sum()
}

/// By month and hour of the day: share of hours in which outside air is drier.
fn by_hour(a: &SeasonOfAir) -> TextTable {
    let share = |month: Option<usize>, block: usize| {
        let hours = a.hours.hours_of_day(month, block, block + BLOCK);
        percent(hours.share())
    };
    let mut columns = Columns::new().left(
        "Share of hours drier",
        |(name, _): &(&str, Option<usize>)| (*name).to_owned(),
    );
    for block in (0..HOURS).step_by(BLOCK) {
        let head = held(&format!("{block} to {}", hours((block + BLOCK) as f64)));
        columns = columns
            .right(head, move |(_, month)| share(*month, block))
            // A narrow screen shows every other block.
            .rank(u8::from(block / BLOCK % 2 == 1));
    }
    let months = a.months().map(|(m, _)| (short(m), Some(m)));
    columns.rows(months.chain([("Season", None)])).with_sum()
}

fn short(month: usize) -> &'static str {
    MONTHS_OF_THE_YEAR[month].get(..3).unwrap_or_default()
}

/// Month by hour: mean difference of the humidity ratios.
fn heat_map(a: &SeasonOfAir, system: System) -> HeatMap {
    let look = Look::of(system);
    let months: Vec<usize> = a.months().map(|(m, _)| m).collect();
    let drying = a.months().filter(|(m, _)| touches(*m, a.drying));
    let heat_needed: f64 = drying.map(|(_, h)| h.heat).sum();
    let outside = months.iter().any(|m| !touches(*m, a.drying));
    let not_now = outside.then(|| {
        format!(
            "Grey: months outside of {}, from the start of the gear to the day the floor is needed.",
            dates_between(a.drying.0, a.drying.1, system)
        )
    });
    let drier = |m: usize, h: usize| a.hours.cell(m, h).drier_by().map(|d| look.ratio.number(d));
    HeatMap {
        title: finding(a),
        subtitle: format!(
            "{}: humidity ratio of the room ({}, {}) less that of outside air, {}",
            a.scenario,
            look.temperature(a.room_temperature),
            percent(a.room_humidity),
            look.ratio.unit()
        ),
        rows: months.iter().map(|m| short(*m).to_owned()).collect(),
        columns: (0..HOURS).map(|h| h.to_string()).collect(),
        column_label: "Hour of the day".into(),
        muted: months.iter().map(|m| !touches(*m, a.drying)).collect(),
        values: months
            .iter()
            .map(|m| (0..HOURS).map(|h| drier(*m, h)).collect())
            .collect(),
        centre: 0.0,
        decimals: usize::from(system == System::Si),
        low_label: "outside air wets".into(),
        high_label: "outside air dries".into(),
        footer: not_now
            .into_iter()
            .chain([format!(
            "Means by month and hour at the pressure of the site. Warming the air of the drier hours in these months takes {} per {}.",
            heat(heat_needed * told_for(system), system),
            flow_text(told_for(system), system)
        )])
            .collect(),
    }
}

/// What to do in the months of the drying.
fn finding(a: &SeasonOfAir) -> String {
    let months: Vec<(usize, Helping)> = a.months().filter(|(m, _)| touches(*m, a.drying)).collect();
    let share = |one: &&(usize, Helping)| one.1.share();
    let best = months.iter().max_by(|a, b| share(a).total_cmp(&share(b)));
    let worst = months.iter().min_by(|a, b| share(a).total_cmp(&share(b)));
    match (best, worst) {
        (Some(best), Some(worst)) if best.1.share() - worst.1.share() > WORTH_NAMING => format!(
            "Open up in {} ({} of hours help), least in {} ({})",
            MONTHS_OF_THE_YEAR[best.0],
            percent(best.1.share()),
            MONTHS_OF_THE_YEAR[worst.0],
            percent(worst.1.share())
        ),
        _ => {
            let sum =
                |value: fn(&Helping) -> f64| months.iter().map(|(_, h)| value(h)).sum::<f64>();
            let helping = sum(|h| h.helping_hours) / sum(|h| h.hours).max(1.0);
            format!(
                "Outside air helps in {} of the hours of the drying",
                percent(helping)
            )
        }
    }
}

impl Answer for SeasonOfAir {
    type Data = WeatherData;

    fn data(&self) -> WeatherData {
        WeatherData::of(self)
    }

    fn document(&self, system: System) -> Document {
        let season = self.hours.season();
        let mut notes: Vec<String> = self
            .exchanges
            .iter()
            .map(|e| of_exchange(e, &season, system))
            .collect();
        notes.extend(all_said(&self.notices, system));
        notes.push(ESTIMATES.into());
        Document::new(
            &self.scenario,
            vec![
                Block::List(headline(self, system)),
                Block::Table(by_month(self, system)),
                Block::Table(by_hour(self)),
                Block::figure("outside-air", heat_map(self, system)),
                Block::Notes(notes),
            ],
        )
    }
}
