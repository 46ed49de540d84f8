//! From the scenario to what the season needs: SI numbers, machines, a timeline, hourly weather.

use crate::air::MoistAir;
use crate::column::Skin;
use crate::concrete::{Concrete, Constants, Mix};
use crate::gear::SitePower;
use crate::gear::fuel::Fuel;
use crate::moisture_tests::{Service, Target, Tester};
use crate::room::Room;
use crate::scenario::RatioFrom;
use crate::scenario::coating_window::CoatingWindow;
use crate::scenario::hourly_from;
use crate::scenario::model;
use crate::simulation::{START_AGE, Slab, Underside};
use crate::units::format::Currency;
use crate::units::{DAY, HOUR};
use crate::weather::{
    Hourly, MonthlyHumidity, MonthlyNormals, Notice, ReadResult, monthly_normals, read_epw,
    read_hourly_csv, read_tmy3,
};
use jiff::civil::Date;

pub mod change;
pub(crate) mod gear_dates;
mod inventory;
mod machines;
mod rooms;

pub use inventory::{Inventory, Item};
pub(crate) use machines::rates;

/// Resistance of a steel-trowelled skin to vapour \[m2 s Pa/kg\]. No published value was found. This one is set so that a
/// day-old face of w/c 0.5 loses a fifth less in 72 h, since trade literature reports that trowelling keeps back some
/// 20 % of the water over that time (`ref_trowelled_skin` in `tests/it/concrete.rs`). Liquid water it lets in like a bare face: dry
/// trowelled faces take in some 0.25 to 0.50 mL/(m2 s) after ten minutes (classes of initial surface absorption after BS 1881-208, from
/// memory), more than the bare face here.
pub const TROWELLED_SKIN: f64 = 4.85e8;
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
    /// This lies on the face from now on.
    Skin(Skin),
    /// The scenario's own preparation, which leaves this on the face.
    Prepare(Skin),
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

/// Air of a known state over the slab.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Held {
    /// Its state.
    pub air: MoistAir,
    /// From when on \[s since placing\].
    pub from: f64,
    /// Until when \[s since placing\].
    pub until: f64,
}

/// One setup, ready to run.
#[derive(Clone, Debug)]
pub struct Setup {
    /// Its name.
    pub name: String,
    /// The room with its machines.
    pub room: Room,
}

impl Setup {
    /// Whether the rent of some machine is missing.
    #[must_use]
    pub fn unpriced(&self) -> bool {
        self.room.machines.iter().any(|m| !m.rental.priced())
    }
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
    /// The one currency of the scenario.
    pub currency: Currency,
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

/// How well the inputs are known; how unsure that makes them is for the odds to say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Known {
    /// The water-cement ratio.
    pub water_cement_ratio: RatioFrom,
    /// Slag and fly ash as a share of the cement.
    pub supplementary: f64,
    /// Whether the leakage is given.
    pub leakage: bool,
    /// Whether the air that the slab has lived in is given.
    pub lived_in: bool,
    /// Whether the targets are given; else the coating's limit is an open question.
    pub targets: bool,
    /// The weather.
    pub weather: WeatherVariety,
}

fn known(scenario: &model::Scenario) -> Known {
    Known {
        water_cement_ratio: scenario.slab.ratio_from(),
        supplementary: scenario.slab.supplementary(),
        leakage: scenario.room.air_changes_per_hour.is_some(),
        lived_in: scenario.room.lived_in.is_some(),
        targets: scenario.targets.is_some(),
        weather: match scenario.site.weather {
            model::Weather::Constant(_) => WeatherVariety::Steady,
            model::Weather::Place(_) | model::Weather::ByMonth(_) => WeatherVariety::MonthlyMeans,
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
    pub first_skin: Skin,
    /// What happens to it, in order of time.
    pub events: Vec<Event>,
    /// Air that stood over the slab before drying starts; where two say so, the first counts. Outside of them the weather rules.
    pub held: Vec<Held>,
    /// Start of drying \[s\].
    pub gear_on: f64,
    /// The horizon: the last moment simulated \[s\].
    pub give_up: f64,
    /// Readings count from this time on \[s\]: the concrete is old enough for the coating, wet curing and sheet are off, and work on the
    /// floor is over.
    pub targets_from: f64,
    /// The same whatever its age \[s\].
    pub cured: f64,
    /// How long the run goes on after the targets are met, at least \[s\].
    pub look_on: f64,
    /// The day on which it is needed.
    pub needed_by: Option<Date>,
    /// What the floor must meet.
    pub targets: Vec<Target>,
    /// How that is tested.
    pub tester: Tester,
    /// Prices.
    pub prices: Prices,
    /// The room on the day drying starts, temperature \[degC\]; `None` as the slab has lived in, else as outside.
    pub start_temperature: Option<f64>,
    /// The whole room without the machines of a setup, as it is until drying starts.
    pub room: Room,
    /// Transfer at the upper face over what the evaporation law gives.
    pub surface_transfer_factor: f64,
    /// How well the inputs are known.
    pub known: Known,
    /// What the site has to plug machines into, if the scenario says so.
    pub site_power: Option<SitePower>,
    /// The setups.
    pub setups: Vec<Setup>,
    /// Gear to choose from, if the scenario says so.
    pub inventory: Option<Inventory>,
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
        self.date(self.gear_on + days * DAY)
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
    let days = (scenario.give_up_after().si() / DAY).ceil() as i64 + 1;
    scenario
        .gear_on
        .checked_add(jiff::Span::new().days(days))
        .unwrap_or(scenario.gear_on)
}

/// The outside air of a scenario's season, its times counted from the day of placing, and what should be known about it. `load` gets a weather file named
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
    let site_elevation = scenario.site.elevation.map(|e| e.si());
    let (reading, notices) = match &scenario.site.weather {
        model::Weather::Place(place) => {
            crate::weather::place(place, site_elevation).map_err(sentences)?
        }
        model::Weather::Constant(c) => crate::weather::constant(
            "site.weather.constant",
            c.temperature.si(),
            c.relative_humidity.si(),
            c.wind_speed.map(|v| v.si()),
        )
        .map_err(sentences)?,
        model::Weather::ByMonth(n) => {
            let humidity = match (&n.relative_humidity, &n.dew_point) {
                (_, Some(d)) => MonthlyHumidity::DewPoint(d.map(|t| t.si())),
                (Some(h), None) => MonthlyHumidity::RelativeHumidity(h.map(|x| x.si())),
                (None, None) => {
                    return Err(vec![
                        "site.weather.by_month needs relative_humidity or dew_point.".into(),
                    ]);
                }
            };
            monthly_normals(
                "site.weather.by_month",
                &MonthlyNormals {
                    temperature: n.mean_temperature.map(|t| t.si()),
                    daily_swing: [n.daily_swing().si(); 12],
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
    let start = hourly_from(scenario.slab.placed, scenario.gear_on).at(0, 0, 0, 0);
    let end = weather_end(scenario).at(0, 0, 0, 0);
    let hourly = reading
        .season(start, end, site_elevation)
        .map_err(sentences)?;
    let clock = scenario.slab.placed.at(0, 0, 0, 0);
    Ok((hourly.counted_from(clock), notices))
}

#[allow(clippy::needless_pass_by_value)] // the shape that `map_err` wants
fn sentences(faults: Vec<crate::weather::WeatherFault>) -> Vec<String> {
    faults.iter().map(ToString::to_string).collect()
}

impl Job {
    /// Builds a job. The scenario has been checked; `weather` covers its season.
    #[must_use]
    pub fn of(scenario: &model::Scenario, weather: Hourly) -> Job {
        let placed = scenario.slab.placed;
        let at = |date: Date| seconds_between(placed, date);
        let s = &scenario.slab;
        let mix = mix(s);
        let gear_on = at(scenario.gear_on).max(START_AGE);
        let start = weather.mean(START_AGE, START_AGE + DAY);
        let yearly = weather.overall_mean();
        let pressure = yearly.pressure;
        let concrete = Concrete::new(mix, &Constants::default());
        let ground_temperature = s
            .ground_temperature
            .map_or(yearly.temperature, |t| t.si())
            .max(0.0);
        let slab = Slab {
            area: s.area.si(),
            thickness: s.thickness.si(),
            concrete,
            underside: underside(s),
            ground_temperature,
            start_humidity: concrete.young_humidity(),
            start_temperature: start.temperature.max(10.0),
        };
        let lived_in = scenario.room.lived_in().map(|lived| Held {
            air: MoistAir::from_relative_humidity(
                lived.temperature.si(),
                lived.relative_humidity.si(),
                pressure,
            ),
            from: at(scenario.enclosed()).max(START_AGE),
            until: gear_on,
        });
        let first_years = (weather.since() > 0.0).then(|| Held {
            // Two whole years: no season counts more than another.
            air: weather.mean(weather.since(), gear_on).air(),
            from: START_AGE,
            until: weather.since().min(gear_on),
        });
        let held: Vec<Held> = lived_in.into_iter().chain(first_years).collect();
        let free = held.iter().map(|h| h.until).fold(START_AGE, f64::max);
        let enclosed = at(scenario.enclosed()).max(free);
        let (first_skin, events) = timeline(s, enclosed, at);
        let room = rooms::whole(scenario, pressure, ground_temperature, gear_on, &at);
        let dried = rooms::dried(scenario, &room);
        let setups = scenario
            .setups
            .iter()
            .map(|setup| machines::setup(setup, &dried, gear_on, &at))
            .collect();
        Job {
            name: scenario.name.clone(),
            placed,
            weather,
            slab,
            first_skin,
            events,
            held,
            gear_on,
            give_up: gear_on + scenario.give_up_after().si(),
            targets_from: targets_from(scenario),
            cured: cured(scenario),
            look_on: 0.0,
            needed_by: scenario.needed_by,
            targets: targets(scenario),
            tester: tester(scenario),
            prices: prices(scenario),
            start_temperature: scenario.room.start_temperature.map(|t| t.si()),
            room,
            surface_transfer_factor: 1.0,
            known: known(scenario),
            site_power: scenario.site.power.as_ref().map(rooms::site_power),
            setups,
            inventory: scenario
                .plan
                .as_ref()
                .map(|plan| inventory::inventory(plan, &dried, gear_on, &at)),
        }
    }
}

fn mix(s: &model::Slab) -> Mix {
    Mix {
        water_cement_ratio: s.water_cement_ratio(),
        cement_content: s.cement_content(),
        aggregate: s.aggregate(),
    }
}

fn underside(s: &model::Slab) -> Underside {
    match s.underside() {
        model::Underside::Sealed => Underside::Sealed,
        model::Underside::VapourRetarder(v) => Underside::Retarder {
            resistance: 1.0 / v.permeance().si().max(1e-18),
        },
        model::Underside::BareGround => Underside::BareGround,
        model::Underside::MetalDeck(deck) => {
            let open_share = deck.open_share().si();
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
        model::Underside::OpenAir(below) => Underside::Air {
            temperature: below.temperature.si(),
            relative_humidity: below.relative_humidity.si(),
            open_share: 1.0,
        },
    }
}

fn skin_of(finish: model::Finish) -> Skin {
    match finish {
        model::Finish::SteelTrowelled => Skin::porous(TROWELLED_SKIN),
        model::Finish::Floated | model::Finish::Ground | model::Finish::ShotBlasted => {
            Skin::default()
        }
    }
}

fn timeline(s: &model::Slab, enclosed: f64, at: impl Fn(Date) -> f64) -> (Skin, Vec<Event>) {
    let bare = s
        .surface_resistance
        .map_or_else(|| skin_of(s.finish()), |z| Skin::porous(z.si()));
    let mut events = vec![Event {
        time: enclosed.max(START_AGE),
        action: Action::CloseIn,
    }];
    let mut add = |time: f64, action| {
        events.push(Event {
            time: time.max(START_AGE),
            action,
        });
    };
    let mut skin = bare;
    match &s.curing() {
        model::Curing::None => {}
        model::Curing::Wet(wet) => {
            if wet.lasts.si() > START_AGE {
                add(START_AGE, Action::KeepWet(true));
                add(wet.lasts.si(), Action::KeepWet(false));
            }
        }
        model::Curing::Sheet(sheet) => {
            if sheet.lasts.si() > START_AGE {
                let tight = sheet.resistance.map_or(f64::INFINITY, |z| z.si());
                add(START_AGE, Action::Skin(Skin { tight, ..bare }));
                add(sheet.lasts.si(), Action::Skin(bare));
            }
        }
        model::Curing::CuringCompound(compound) => {
            skin.tight = compound.resistance().si();
        }
    }
    if let Some(prepared) = &s.prepared {
        add(at(prepared.date), Action::Prepare(skin_of(prepared.leaves)));
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

/// What the floor must meet.
pub(crate) fn targets(scenario: &model::Scenario) -> Vec<Target> {
    scenario
        .targets()
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
                layer: t.layer().si(),
            },
            model::Target::PlasticSheet(t) => Target::PlasticSheet {
                exposure: t.lasts().si(),
            },
        })
        .collect()
}

/// Since when the curing keeps a floor no longer from drying \[s\].
fn cured(scenario: &model::Scenario) -> f64 {
    match scenario.slab.curing() {
        model::Curing::None | model::Curing::CuringCompound(_) => 0.0,
        model::Curing::Wet(wet) => wet.lasts.si(),
        model::Curing::Sheet(sheet) => sheet.lasts.si(),
    }
}

/// From when on a floor may pass \[s\]: old enough for its coating, and cured.
fn targets_from(scenario: &model::Scenario) -> f64 {
    let window = CoatingWindow::of(scenario.coating.as_ref());
    window.concrete_age.value.max(cured(scenario))
}

fn tester(scenario: &model::Scenario) -> Tester {
    let service = scenario.service();
    Tester {
        service: Service {
            temperature: service.temperature().si(),
            relative_humidity: service.relative_humidity().si(),
        },
        ..Tester::default()
    }
}

/// The currency of a scenario: that of the first price found, as all are in one.
#[must_use]
pub fn currency(scenario: &model::Scenario) -> Currency {
    let energy = scenario.prices.iter().flat_map(|p| {
        [
            p.electricity.map(|x| x.typed()),
            p.propane.map(|x| x.typed()),
            p.natural_gas.map(|x| x.typed()),
            p.kerosene.map(|x| x.typed()),
            p.diesel.map(|x| x.typed()),
            p.day_of_delay.map(|x| x.typed()),
        ]
    });
    let setups = scenario.setups.iter().flat_map(|setup| &setup.gear);
    let on_hand = scenario.plan.iter().flat_map(|plan| &plan.on_hand);
    let gear = setups
        .chain(on_hand.map(|entry| &entry.gear))
        .flat_map(|gear| {
            let shared = gear.shared();
            let rent = shared.rent.iter().flatten();
            rent.map(|x| Some(x.typed()))
                .chain([shared.delivery.map(|x| x.typed())])
        });
    let plan = scenario.plan.iter().map(|p| p.budget.map(|x| x.typed()));
    let walk = scenario.walk.iter().flat_map(|walk| {
        let labour = walk.labour.map(|x| x.typed());
        let hire = walk
            .hire
            .iter()
            .flatten()
            .flat_map(|hire| hire.rent.iter().map(|x| Some(x.typed())));
        let packs = walk.materials.iter().flatten();
        let packs = packs.map(|pack| pack.price.map(|x| x.typed()));
        std::iter::once(labour).chain(hire).chain(packs)
    });
    let others = scenario.alternatives.iter().flatten();
    let others = others.flat_map(|other| {
        let terms = other.terms();
        [terms.cost, terms.cost_up_to].map(|cost| Some(cost?.typed()))
    });
    let mut all = energy
        .chain(gear)
        .chain(others)
        .chain(plan)
        .chain(walk)
        .flatten();
    all.next()
        .map_or_else(Currency::default, |price| Currency::row(price.currency))
}

fn prices(scenario: &model::Scenario) -> Prices {
    let currency = currency(scenario);
    let Some(p) = &scenario.prices else {
        return Prices {
            currency,
            ..Prices::default()
        };
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
        currency,
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
