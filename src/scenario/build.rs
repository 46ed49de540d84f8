//! From the scenario to what the season needs: SI numbers, machines, a timeline, hourly weather.

use super::{defaults, model};
use crate::concrete::{Aggregate, Concrete, Constants, Mix};
use crate::floor_tests::{SAMPLE_LAYER, SHEET_EXPOSURE, Target};
use crate::gear::controls::{Control, Hours, Humidistat, HumiditySetpoint, Thermostat};
use crate::gear::exchange::ExchangeRule;
use crate::gear::fan::FloorSpeed;
use crate::gear::fuel::Fuel;
use crate::gear::refrigerant::Rating;
use crate::gear::{Machine, classes, desiccant};
use crate::room::{Installed, Room};
use crate::season::{DAY, HOUR, START_AGE, Slab, Underside};
use crate::weather::{
    Hourly, MonthlyHumidity, MonthlyNormals, Notice, ReadResult, monthly_normals, read_epw,
    read_hourly_csv, read_tmy3,
};
use jiff::civil::Date;

/// Resistance of a steel-trowelled skin to vapour \[m2 s Pa/kg\]. No published value was found. This one is set so that a
/// day-old face of w/c 0.5 loses a fifth less in 72 h, since trade literature reports that trowelling keeps back some
/// 20 % of the water over that time (`ref_trowelled_skin` in `tests/it/concrete.rs`).
pub const TROWELLED_SKIN: f64 = 5.2e8;
/// Time over which a depth of water comes onto the floor \[s\].
const WETTING_TIME: f64 = 4.0 * HOUR;
/// Water \[kg/m3\].
const WATER_DENSITY: f64 = 1000.0;
/// Hour of the day at which a wetting starts.
const WETTING_HOUR: f64 = 8.0;

/// Something that happens to the slab at a time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Action {
    /// The face is kept wet, or no longer.
    KeepWet(bool),
    /// The face's skin has this resistance from now on \[m2 s Pa/kg\].
    Skin(f64),
    /// Water falls on the face at this rate \[kg/(m2 s)\]; zero ends it.
    Water(f64),
    /// The building is closed.
    CloseIn,
}

/// An action with its time \[s since placing\].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Event {
    /// Seconds since midnight of the day of placing.
    pub time: f64,
    /// What happens.
    pub action: Action,
}

/// What a machine costs while it is on site.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rental {
    /// Money per day for all of its count.
    pub per_day: f64,
    /// Time on site \[s since placing\].
    pub present: (f64, f64),
    /// The fuel that it burns.
    pub fuel: Option<Fuel>,
}

/// One setup, ready to run.
#[derive(Clone, Debug)]
pub struct Setup {
    /// Its name.
    pub name: String,
    /// The room with its machines.
    pub room: Room,
    /// Rentals, one for each entry of the room's machines.
    pub rentals: Vec<Rental>,
    /// Whether a price per day was missing for some machine.
    pub unpriced: bool,
}

/// Prices of energy \[money/J\] and of delay \[money/day\]; `None` where not given.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Prices {
    /// Electricity.
    pub electricity: Option<f64>,
    /// Propane, natural gas, kerosene, diesel.
    pub fuels: [Option<f64>; 4],
    /// A day of delay.
    pub day_of_delay: Option<f64>,
}

/// What kind of weather a job has, and so what other weather it might meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WeatherVariety {
    /// The same air all the time.
    Steady,
    /// Made from monthly means.
    MonthlyMeans,
    /// A recorded or typical year.
    Recorded,
}

/// How well the inputs are known; sources in [`crate::plan`]'s table of sampled inputs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Known {
    /// Standard deviation of the water-cement ratio.
    pub water_cement_ratio: f64,
    /// Standard deviation of the logarithm of the leakage.
    pub leakage: f64,
    /// The weather.
    pub weather: WeatherVariety,
}

fn known(scenario: &model::Scenario) -> Known {
    Known {
        water_cement_ratio: match (&scenario.slab.water_cement_ratio, &scenario.slab.strength) {
            (Some(_), _) => 0.02,
            (None, Some(_)) => 0.04,
            (None, None) => 0.05,
        },
        leakage: if scenario.room.air_changes_per_hour.is_some() {
            0.3
        } else {
            0.5
        },
        weather: match scenario.site.weather {
            model::Weather::Constant(_) => WeatherVariety::Steady,
            model::Weather::MonthlyNormals(_) => WeatherVariety::MonthlyMeans,
            model::Weather::HourlyCsv(_) | model::Weather::Epw(_) | model::Weather::Tmy3Csv(_) => {
                WeatherVariety::Recorded
            }
        },
    }
}

/// A scenario, ready to run.
#[derive(Clone, Debug)]
pub struct Job {
    /// Name of the scenario.
    pub name: String,
    /// Day of placing; the clock starts at its midnight.
    pub placed: Date,
    /// Outside air.
    pub weather: Hourly,
    /// The slab.
    pub slab: Slab,
    /// Resistance of its face at the start \[m2 s Pa/kg\].
    pub first_skin: f64,
    /// What happens to it, in order of time.
    pub events: Vec<Event>,
    /// Start of drying \[s\].
    pub drying_starts: f64,
    /// End of the look-out \[s\].
    pub give_up: f64,
    /// The day on which it is needed.
    pub needed_by: Option<Date>,
    /// What the floor must meet.
    pub targets: Vec<Target>,
    /// Prices.
    pub prices: Prices,
    /// The room on the day drying starts, temperature \[degC\]; `None` as outside.
    pub start_temperature: Option<f64>,
    /// The room without machines.
    pub room: Room,
    /// Transfer at the upper face over what the evaporation law gives.
    pub film_factor: f64,
    /// How well the inputs are known.
    pub known: Known,
    /// The setups.
    pub setups: Vec<Setup>,
}

impl Job {
    /// The calendar day of a time \[s since placing\], counted as the day on which it falls.
    #[must_use]
    pub fn date(&self, time: f64) -> Date {
        let days = (time / DAY).floor().clamp(0.0, 1e5) as i64;
        self.placed
            .checked_add(jiff::Span::new().days(days))
            .unwrap_or(self.placed)
    }
}

impl Job {
    /// The calendar day on which so many days of drying end.
    #[must_use]
    pub fn date_after(&self, days: f64) -> Date {
        self.date(self.drying_starts + days * DAY)
    }
}

/// Seconds from midnight of `placed` to midnight of `date`.
#[must_use]
pub fn seconds_between(placed: Date, date: Date) -> f64 {
    placed
        .until((jiff::Unit::Day, date))
        .map_or(0.0, |span| f64::from(span.get_days()) * DAY)
}

/// The last day that the weather must reach.
#[must_use]
pub fn weather_end(scenario: &model::Scenario) -> Date {
    let days = (scenario.give_up_after_taken() / DAY).ceil() as i64 + 1;
    scenario
        .drying_starts
        .checked_add(jiff::Span::new().days(days))
        .unwrap_or(scenario.drying_starts)
}

/// The outside air of a scenario's season, and what should be known about it. `load` gets a weather file named
/// in the scenario.
///
/// # Errors
/// Every fault of the weather, in complete sentences.
pub fn weather(
    scenario: &model::Scenario,
    load: &dyn Fn(&str) -> Result<Vec<u8>, String>,
) -> Result<(Hourly, Vec<Notice>), Vec<String>> {
    let named = |file: &model::WeatherFile, read: fn(&str, &[u8]) -> ReadResult| {
        load(&file.file)
            .map_err(|e| vec![e])
            .and_then(|bytes| read(&file.file, &bytes).map_err(sentences))
    };
    let (reading, notices) = match &scenario.site.weather {
        model::Weather::Constant(c) => crate::weather::constant(
            "site.weather.constant",
            c.temperature.si(),
            c.relative_humidity.si(),
            c.wind_speed.map(|v| v.si()),
        )
        .map_err(sentences)?,
        model::Weather::MonthlyNormals(n) => {
            let humidity = match (&n.relative_humidity, &n.dew_point) {
                (_, Some(d)) => MonthlyHumidity::DewPoint(d.map(|t| t.si())),
                (Some(h), None) => MonthlyHumidity::RelativeHumidity(h.map(|x| x.si())),
                (None, None) => {
                    return Err(vec![
                        "site.weather.monthly_normals needs relative_humidity or dew_point.".into(),
                    ]);
                }
            };
            monthly_normals(
                "site.weather.monthly_normals",
                &MonthlyNormals {
                    temperature: n.mean_temperature.map(|t| t.si()),
                    daily_swing: [n.daily_swing.map_or(defaults::DAILY_SWING, |d| d.si()); 12],
                    humidity,
                    wind_speed: n.wind_speed.map(|v| [v.si(); 12]),
                },
            )
            .map_err(sentences)?
        }
        model::Weather::HourlyCsv(file) => named(file, read_hourly_csv)?,
        model::Weather::Epw(file) => named(file, read_epw)?,
        model::Weather::Tmy3Csv(file) => named(file, read_tmy3)?,
    };
    let start = scenario.slab.placed.at(0, 0, 0, 0);
    let end = weather_end(scenario).at(0, 0, 0, 0);
    let hourly = reading
        .season(start, end, scenario.site.elevation.map(|e| e.si()))
        .map_err(sentences)?;
    Ok((hourly, notices))
}

#[allow(clippy::needless_pass_by_value)] // the shape that `map_err` wants
fn sentences(faults: Vec<crate::weather::WeatherFault>) -> Vec<String> {
    faults.iter().map(ToString::to_string).collect()
}

/// Builds a job. The scenario has been checked; `weather` covers its season.
#[must_use]
pub fn job(scenario: &model::Scenario, weather: Hourly) -> Job {
    let placed = scenario.slab.placed;
    let at = |date: Date| seconds_between(placed, date);
    let s = &scenario.slab;
    let mix = mix(s);
    let drying_starts = at(scenario.drying_starts).max(START_AGE);
    let start = weather.mean(START_AGE, START_AGE + DAY);
    let yearly = weather.mean(0.0, weather.duration());
    let pressure = yearly.pressure;
    let concrete = Concrete::new(mix, &Constants::default());
    let slab = Slab {
        area: s.area.si(),
        thickness: s.thickness.si(),
        concrete,
        underside: underside(s),
        ground_temperature: s
            .ground_temperature
            .map_or(yearly.temperature, |t| t.si())
            .max(0.0),
        start_humidity: concrete.young_humidity(),
        start_temperature: start.temperature.max(10.0),
    };
    let closed_in = scenario.room.closed_in.map_or(drying_starts, at);
    let (first_skin, events) = timeline(s, closed_in, at);
    let room = room(scenario, pressure);
    let setups = scenario
        .setups
        .iter()
        .map(|setup| build_setup(setup, &room, drying_starts, &at))
        .collect();
    Job {
        name: scenario.name.clone(),
        placed,
        weather,
        slab,
        first_skin,
        events,
        drying_starts,
        give_up: drying_starts + scenario.give_up_after_taken(),
        needed_by: scenario.needed_by,
        targets: targets(scenario),
        prices: prices(scenario),
        start_temperature: scenario.room.start_temperature.map(|t| t.si()),
        room,
        film_factor: 1.0,
        known: known(scenario),
        setups,
    }
}

fn mix(s: &model::Slab) -> Mix {
    Mix {
        water_cement_ratio: s.water_cement_ratio_taken(),
        cement_content: s.cement_content_taken(),
        aggregate: match s.aggregate {
            None | Some(model::Aggregate::NormalWeight) => Aggregate::NormalWeight,
            Some(model::Aggregate::Lightweight) => Aggregate::Lightweight,
        },
    }
}

fn underside(s: &model::Slab) -> Underside {
    match &s.underside {
        None | Some(model::Underside::Sealed) => Underside::Sealed,
        Some(model::Underside::VapourRetarder(v)) => Underside::Retarder {
            resistance: 1.0
                / v.permeance
                    .map_or(defaults::RETARDER_PERMEANCE, |p| p.si())
                    .max(1e-18),
        },
        Some(model::Underside::BareGround) => Underside::BareGround,
        Some(model::Underside::MetalDeck(deck)) => {
            let open_share = deck
                .open_share
                .map_or(defaults::DECK_OPEN_SHARE, |o| o.si());
            if open_share > 0.0 {
                // Air under a deck in a building: a usual room.
                Underside::Air {
                    temperature: 20.0,
                    relative_humidity: 0.5,
                    open_share,
                }
            } else {
                Underside::Sealed
            }
        }
        Some(model::Underside::OpenAir(below)) => Underside::Air {
            temperature: below.temperature.si(),
            relative_humidity: below.relative_humidity.si(),
            open_share: 1.0,
        },
    }
}

fn skin_of(finish: model::Finish) -> f64 {
    match finish {
        model::Finish::SteelTrowelled => TROWELLED_SKIN,
        model::Finish::Floated | model::Finish::Ground | model::Finish::ShotBlasted => 0.0,
    }
}

fn timeline(s: &model::Slab, closed_in: f64, at: impl Fn(Date) -> f64) -> (f64, Vec<Event>) {
    let bare = s
        .surface_resistance
        .map_or_else(|| skin_of(s.finish_taken()), |z| z.si());
    let mut events = vec![Event {
        time: closed_in.max(START_AGE),
        action: Action::CloseIn,
    }];
    let mut add = |time: f64, action| {
        events.push(Event {
            time: time.max(START_AGE),
            action,
        });
    };
    let mut skin = bare;
    match &s.curing_taken() {
        model::Curing::None => {}
        model::Curing::Wet(wet) => {
            if wet.lasts.si() > START_AGE {
                add(START_AGE, Action::KeepWet(true));
                add(wet.lasts.si(), Action::KeepWet(false));
            }
        }
        model::Curing::Sheet(sheet) => {
            if sheet.lasts.si() > START_AGE {
                let under = sheet.resistance.map_or(f64::INFINITY, |z| z.si());
                add(START_AGE, Action::Skin(under + bare));
                add(sheet.lasts.si(), Action::Skin(bare));
            }
        }
        model::Curing::CuringCompound(compound) => {
            skin = bare
                + compound
                    .resistance
                    .map_or(defaults::CURING_COMPOUND, |z| z.si());
        }
    }
    if let Some(prepared) = &s.prepared {
        add(at(prepared.date), Action::Skin(skin_of(prepared.leaves)));
    }
    for wetting in s.wettings.iter().flatten() {
        let start = at(wetting.date) + WETTING_HOUR * HOUR;
        if let Some(depth) = wetting.water_depth {
            let rate = depth.si() * WATER_DENSITY / WETTING_TIME;
            add(start, Action::Water(rate));
            add(start + WETTING_TIME, Action::Water(0.0));
        }
        if let Some(lasts) = wetting.lasts {
            add(start, Action::KeepWet(true));
            add(start + lasts.si(), Action::KeepWet(false));
        }
    }
    events.sort_by(|a, b| a.time.total_cmp(&b.time));
    (skin, events)
}

fn room(scenario: &model::Scenario, pressure: f64) -> Room {
    let area = scenario.slab.area.si();
    Room {
        area,
        volume: area * scenario.room.height.si(),
        pressure,
        heat_loss: scenario.room.heat_loss_taken(area),
        air_changes_per_hour: scenario.room.air_changes_per_hour_taken(),
        machines: Vec::new(),
    }
}

fn targets(scenario: &model::Scenario) -> Vec<Target> {
    scenario
        .targets_taken()
        .iter()
        .map(|t| match t {
            model::Target::RelativeHumidityAtDepth(t) => Target::HumidityAtDepth {
                limit: t.limit.si(),
                depth_share: t.depth_fraction,
            },
            model::Target::EquilibriumRelativeHumidity(t) => Target::EquilibriumHumidity {
                limit: t.limit.si(),
            },
            model::Target::EmissionRate(t) => Target::EmissionRate {
                limit: t.limit.si(),
            },
            model::Target::SurfaceFlux(t) => Target::SurfaceFlux {
                limit: t.limit.si(),
            },
            model::Target::MassPercent(t) => Target::MassPercent {
                limit: t.limit.si(),
                layer: t.layer.map_or(SAMPLE_LAYER, |l| l.si()),
            },
            model::Target::PlasticSheet(t) => Target::PlasticSheet {
                exposure: t.lasts.map_or(SHEET_EXPOSURE, |d| d.si()),
            },
        })
        .collect()
}

fn prices(scenario: &model::Scenario) -> Prices {
    let Some(p) = &scenario.prices else {
        return Prices::default();
    };
    Prices {
        electricity: p.electricity.map(|x| x.si()),
        fuels: [
            p.propane.map(|x| x.si()),
            p.natural_gas.map(|x| x.si()),
            p.kerosene.map(|x| x.si()),
            p.diesel.map(|x| x.si()),
        ],
        day_of_delay: p.day_of_delay.map(|x| x.si() * DAY),
    }
}

/// Place of a fuel in [`Prices::fuels`].
#[must_use]
pub fn fuel_index(fuel: Fuel) -> usize {
    match fuel {
        Fuel::Propane => 0,
        Fuel::NaturalGas => 1,
        Fuel::Kerosene => 2,
        Fuel::Diesel => 3,
    }
}

fn build_setup(
    setup: &model::Setup,
    room: &Room,
    drying_starts: f64,
    at: &impl Fn(Date) -> f64,
) -> Setup {
    let mut room = room.clone();
    let mut rentals = Vec::new();
    let mut unpriced = false;
    for gear in &setup.gear {
        let (machine, count, price, from, until) = match gear {
            model::Gear::Dehumidifier(d) => {
                (dehumidifier(d), d.count, d.price_per_day, d.from, d.until)
            }
            model::Gear::Desiccant(d) => (wheel(d), d.count, d.price_per_day, d.from, d.until),
            model::Gear::Heater(h) => (heater(h), h.count, h.price_per_day, h.from, h.until),
            model::Gear::Fan(f) => (fan(f), f.count, f.price_per_day, f.from, f.until),
            model::Gear::OutsideAir(o) => {
                let machine = outside_air(o, room.volume);
                (machine, o.count, o.price_per_day, o.from, o.until)
            }
        };
        let Some(machine) = machine else { continue };
        let count = f64::from(count.unwrap_or(1));
        let present = (
            from.map_or(drying_starts, at),
            until.map_or(f64::INFINITY, |d| at(d) + DAY),
        );
        let fuel = match machine {
            Machine::IndirectFired(h) => Some(h.fuel),
            Machine::DirectFired(h) => Some(h.fuel),
            Machine::MakeUpAir(h) => Some(h.fuel),
            _ => None,
        };
        unpriced |= price.is_none();
        rentals.push(Rental {
            per_day: price.map_or(0.0, |p| p.si() * DAY) * count,
            present,
            fuel,
        });
        room.machines.push(Installed {
            machine,
            count,
            present,
        });
    }
    Setup {
        name: setup.name.clone(),
        room,
        rentals,
        unpriced,
    }
}

fn set_humidistat(control: &mut Control, humidistat: Option<&model::Humidistat>) {
    if let Some(h) = humidistat {
        control.humidistat = Some(Humidistat {
            setpoint: HumiditySetpoint::RelativeHumidity(h.setpoint.si()),
            band: h.band.map_or(defaults::HUMIDISTAT_BAND, |b| b.si()),
            second_stage: None,
        });
    }
}

fn dehumidifier(d: &model::Dehumidifier) -> Option<Machine> {
    let name = d.class.as_deref().unwrap_or("low_grain_medium");
    let Some(Machine::Refrigerant(mut m)) = classes::class(name) else {
        return None;
    };
    let rating = match d.rating_condition {
        None | Some(model::RatingCondition::At80F60) => Rating::AT_80F_60,
        Some(model::RatingCondition::At65F60) => Rating::AT_65F_60,
        Some(model::RatingCondition::At27C60) => Rating::AT_27C_60,
        Some(model::RatingCondition::At30C80) => Rating::AT_30C_80,
    };
    if d.capacity.is_some() || d.energy_factor.is_some() {
        let scale = d.capacity.map_or(1.0, |c| c.si() / m.rated_removal);
        let removal = d.capacity.map_or(m.rated_removal, |c| c.si());
        let factor = d.energy_factor.map_or(m.energy_factor, |e| e.si());
        m = m.rated_at(removal, factor, rating);
        m.air_flow *= scale;
    }
    if let Some(flow) = d.air_flow {
        m.air_flow = flow.si();
    }
    if let Some(lowest) = d.lowest_inlet {
        m.lowest_inlet = lowest.si();
    }
    set_humidistat(&mut m.control, d.humidistat.as_ref());
    Some(Machine::Refrigerant(m))
}

fn wheel(d: &model::Desiccant) -> Option<Machine> {
    let Some(Machine::Desiccant(mut m)) = classes::class(&d.class) else {
        return None;
    };
    if let Some(flow) = d.air_flow {
        let scale = flow.si() / m.process_flow;
        m.process_flow = flow.si();
        m.process_fan_power *= scale;
        m.regeneration_fan_power *= scale;
        m.rated_power *= scale;
    }
    if let Some(factor) = d.capacity_factor {
        m.capacity_factor = factor.si();
    }
    match d.regeneration_air {
        Some(model::RegenerationAir::Room) => m.regeneration_air = desiccant::AirSource::Room,
        Some(model::RegenerationAir::Outside) => m.regeneration_air = desiccant::AirSource::Outside,
        None => {}
    }
    set_humidistat(&mut m.control, d.humidistat.as_ref());
    Some(Machine::Desiccant(m))
}

fn heater(h: &model::Heater) -> Option<Machine> {
    let name = match (&h.class, h.kind) {
        (Some(name), _) => name.as_str(),
        (None, Some(model::HeaterKind::Electric) | None) => "electric_5kw",
        (None, Some(model::HeaterKind::IndirectFired)) => "indirect_fired_50kw",
        (None, Some(model::HeaterKind::DirectFired)) => "direct_fired_30kw",
        (None, Some(model::HeaterKind::MakeUpAir)) => "make_up_air_100kw",
    };
    let mut machine = classes::class(name)?;
    let fuel = h.fuel.map(|f| match f {
        model::Fuel::Propane => Fuel::Propane,
        model::Fuel::NaturalGas => Fuel::NaturalGas,
        model::Fuel::Kerosene => Fuel::Kerosene,
        model::Fuel::Diesel => Fuel::Diesel,
    });
    let output = h.output.map(|p| p.si());
    match &mut machine {
        Machine::Electric(m) => m.power = output.unwrap_or(m.power),
        Machine::IndirectFired(m) => {
            m.fuel = fuel.unwrap_or(m.fuel);
            m.efficiency = h.efficiency.map_or(m.efficiency, |e| e.si());
            m.fuel_power = output.map_or(m.fuel_power, |p| p / m.efficiency);
            m.electric_power = h.electrical_power.map_or(m.electric_power, |p| p.si());
        }
        Machine::DirectFired(m) => {
            m.fuel = fuel.unwrap_or(m.fuel);
            m.fuel_power = output.unwrap_or(m.fuel_power);
            m.electric_power = h.electrical_power.map_or(m.electric_power, |p| p.si());
        }
        Machine::MakeUpAir(m) => {
            m.fuel = fuel.unwrap_or(m.fuel);
            m.fuel_power = output.unwrap_or(m.fuel_power);
            m.electric_power = h.electrical_power.map_or(m.electric_power, |p| p.si());
            m.outside_air_flow = h.air_flow.map_or(m.outside_air_flow, |f| f.si());
        }
        _ => return None,
    }
    if let (Some(t), Some(control)) = (&h.thermostat, machine.control_mut()) {
        control.thermostat = Some(Thermostat {
            setpoint: t.setpoint.si(),
            band: t.band.map_or(defaults::THERMOSTAT_BAND, |b| b.si()),
        });
    }
    Some(machine)
}

fn fan(f: &model::Fan) -> Option<Machine> {
    let name = f.class.as_deref().unwrap_or("fan_axial_large");
    let Some(Machine::Fan(mut m)) = classes::class(name) else {
        return None;
    };
    if let Some(speed) = f.floor_air_speed {
        m.floor_speed = FloorSpeed::Given(speed.si());
    }
    m.power = f.power.map_or(m.power, |p| p.si());
    Some(Machine::Fan(m))
}

fn outside_air(o: &model::OutsideAir, volume: f64) -> Option<Machine> {
    let name = o.class.as_deref().unwrap_or("openings_1000");
    let Some(Machine::OutsideAirExchange(mut m)) = classes::class(name) else {
        return None;
    };
    if let Some(flow) = o.air_flow {
        m.flow = flow.si();
    }
    if let Some(changes) = o.air_changes_per_hour {
        // The scenario gives the changes of all of them together.
        m.flow = changes * volume / HOUR / f64::from(o.count.unwrap_or(1).max(1));
    }
    if let Some(power) = o.fan_power {
        m.power = power.si();
    }
    match &o.rule {
        Some(model::ExchangeRule::Always) => m.rule = ExchangeRule::Always,
        Some(model::ExchangeRule::Hours(hours)) => {
            m.rule = ExchangeRule::Hours(Hours {
                from: hours.from,
                until: hours.to,
            });
        }
        Some(model::ExchangeRule::OnlyWhileDrier) => {
            m.rule = ExchangeRule::WhenOutsideDrier { margin: 0.0 };
        }
        None => {}
    }
    Some(Machine::OutsideAirExchange(m))
}
