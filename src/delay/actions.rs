//! What would buy days back: each thing that can still be done, simulated by itself.

use super::causes::face_closed;
use super::run::{horizon, run};
use crate::air;
use crate::evaluate::Outcome;
use crate::evaluate::power::power;
use crate::gear::classes::class;
use crate::job::change::{Case, Change, FloorWork, Wettings};
use crate::job::{Job, gear_dates, seconds_between};
use crate::scenario::model::{ExchangeRule, Finish, Gear, Preparation, Scenario, Thermostat};
use crate::units::format::{Said, kilowatts, short_date, temperature};
use crate::units::{DAY, HOUR};
use crate::units::{RANKINE, System, Temperature, celsius};
use crate::weather::Hourly;
use jiff::ToSpan;
use jiff::civil::Date;
use rayon::prelude::*;
use serde_json::json;

/// Days by which closing in and the start of the gear are tried earlier: what a crew can move without another trade.
const EARLIER: i64 = 7;
/// Warmer by this \[K\]: 10 degF.
const WARMER: f64 = 10.0 * RANKINE;
/// A thermostat is not set higher than this \[degC\]: beyond, people cannot work (engineering judgement).
const WARMEST: f64 = 32.0;
/// A room is heated to this \[degC\]: 70 degF (common practice, no published source).
const HEATED: f64 = celsius(70.0);
/// Heat is sized for the coldest mean over so long \[s\] while the floor dries: on colder days the room falls back a little, and the
/// mean of a whole year would leave it cold for weeks (common practice, no published source).
const COLD_SPELL: f64 = 30.0 * DAY;
/// The heater that is tried where there is none.
const HEATER: &str = "electric_15kw";
/// The dehumidifier that is tried where there is none.
const DEHUMIDIFIER: &str = "low_grain_large";

/// What gains less than this \[days\] is not offered: nobody plans with half a day.
const WORTH_DOING: f64 = 0.5;
/// What gains less than this more than the best single thing \[days\] is no combination to offer.
const WORTH_COMBINING: f64 = 2.0;
/// Most actions of a combination, and how many of the best are combined.
const TOGETHER: usize = 3;
const COMBINED: usize = 6;

/// Something that can be done, by itself or with others.
#[derive(Clone, Debug, PartialEq)]
pub struct Action {
    /// What.
    pub name: Said,
    /// How many things it is.
    pub things: usize,
    /// Days gained. Counted from the horizon where the floor is not dry as things are, so
    /// that more may be gained.
    pub days_gained: Option<f64>,
    /// The day on which the floor is then dry; `None` when never in the time simulated.
    pub date: Option<Date>,
    /// Rental and energy more than without it; negative when it saves.
    pub cost: f64,
    /// Whether a price is missing in the cost.
    pub cost_incomplete: bool,
    /// Whether the site's power feeds what is then on site; `None` where the scenario does not say what the site has.
    pub fits_power: Option<bool>,
}

/// An action that can be tried.
#[derive(Clone)]
struct Possible {
    name: Said,
    /// Whether it has a price that is not known.
    unpriced: bool,
    change: Change,
}

/// Every action that the scenario leaves open from a day on and that gains days, most days gained first; behind them the best of the
/// combinations, each computed and not summed.
///
/// # Errors
/// A setup as it is that cannot be computed.
pub fn actions(
    scenario: &Scenario,
    weather: &Hourly,
    setup: &str,
    work: Option<&FloorWork>,
    from: Option<Date>,
) -> Result<Vec<Action>, String> {
    let case = Case::of(scenario, setup, work);
    let end = horizon(scenario);
    let day = from.unwrap_or(scenario.gear_on).max(scenario.gear_on);
    let (job, now) = run(&case, weather, end)?;
    if now.date.is_some_and(|ready| ready < day) {
        return Ok(Vec::new());
    }
    let since_placing =
        |start: f64, outcome: &Outcome| outcome.days_to_target.map(|days| start / DAY + days);
    let before = since_placing(job.gear_on, &now);
    let until = before.map_or(job.give_up, |days| days * DAY);
    let first = seconds_between(job.placed, day);
    let list = open(&case, day, from, heat(&job, weather, first, until));
    let tried = |possible: Vec<Possible>| {
        let changes: Vec<&Change> = possible.iter().map(|p| &p.change).collect();
        let other = case.with(changes.iter().copied());
        // An action that the solver cannot follow is not offered.
        let (changed, outcome) = run(&other, weather, end).ok()?;
        let after = since_placing(changed.gear_on, &outcome);
        let site = changed.setups.first();
        let site = site.and_then(|s| power(&s.room, changed.site_power.as_ref()).site);
        let names: Vec<&Said> = possible.iter().map(|p| &p.name).collect();
        let action = Action {
            name: Said::new(|system| {
                let names: Vec<&str> = names.iter().map(|name| name.of(system)).collect();
                names.join(" + ")
            }),
            things: possible.len(),
            days_gained: after.map(|after| before.unwrap_or(job.give_up / DAY) - after),
            date: outcome.date,
            cost: outcome.cost - now.cost,
            cost_incomplete: possible.iter().any(|p| p.unpriced)
                || outcome.cost_incomplete
                || now.cost_incomplete,
            fits_power: site.map(|site| site.fits()),
        };
        Some((possible, action))
    };
    let gains = |action: &Action| action.days_gained.is_some_and(|days| days >= WORTH_DOING);
    let single: Vec<Vec<Possible>> = list.into_iter().map(|p| vec![p]).collect();
    let mut single: Vec<(Vec<Possible>, Action)> =
        single.into_par_iter().filter_map(tried).collect();
    single.sort_by(|(_, a), (_, b)| best_first(a, b));
    let fed = single
        .iter()
        .filter(|(_, action)| action.fits_power != Some(false));
    let parts: Vec<Possible> = fed.flat_map(|(p, _)| p.clone()).take(COMBINED).collect();
    let together: Vec<(Vec<Possible>, Action)> = combinations(&parts)
        .into_par_iter()
        .filter_map(tried)
        .collect();
    let together = together.into_iter().map(|(_, action)| action);
    let together: Vec<Action> = together
        .filter(|action| action.fits_power != Some(false) && gains(action))
        .collect();
    let most = single.first().and_then(|(_, action)| action.days_gained);
    let adds = |a: &&Action| {
        let more = a.days_gained.unwrap_or(0.0) - most.unwrap_or(0.0);
        more >= WORTH_COMBINING
    };
    let soonest = together.iter().filter(adds);
    let soonest = soonest.min_by(|a, b| best_first(a, b)).cloned();
    // Of those that make the date the cheapest, if that is another.
    let in_time = |a: &&Action| {
        scenario
            .needed_by
            .is_some_and(|by| a.date.is_some_and(|d| d <= by))
    };
    let cheapest = together
        .iter()
        .filter(in_time)
        .filter(|a| !a.cost_incomplete);
    let cheapest = cheapest.min_by(|a, b| a.cost.total_cmp(&b.cost)).cloned();
    let cheapest = cheapest.filter(|action| Some(action) != soonest.as_ref());
    let single = single.into_iter().map(|(_, action)| action);
    Ok(single
        .filter(gains)
        .chain(soonest)
        .chain(cheapest)
        .collect())
}

fn best_first(a: &Action, b: &Action) -> std::cmp::Ordering {
    let key = |x: &Action| x.days_gained.unwrap_or(f64::NEG_INFINITY);
    key(b).total_cmp(&key(a)).then(a.cost.total_cmp(&b.cost))
}

/// Every two and three of these that can be done together: a change of all the gear goes with no second one.
fn combinations(parts: &[Possible]) -> Vec<Vec<Possible>> {
    let sets = 0_u32..1 << parts.len();
    let chosen = |set: u32| {
        let mut chosen: Vec<Possible> = parts
            .iter()
            .enumerate()
            .filter(|(place, _)| set & (1 << place) != 0)
            .map(|(_, part)| part.clone())
            .collect();
        // What changes all the gear comes before what adds to it.
        chosen.sort_by_key(|part| !part.changes_all_gear());
        chosen
    };
    let agree = |set: &Vec<Possible>| {
        let all = set.iter().filter(|part| part.changes_all_gear()).count();
        (2..=TOGETHER).contains(&set.len()) && all <= 1
    };
    sets.map(chosen).filter(agree).collect()
}

impl Possible {
    fn changes_all_gear(&self) -> bool {
        matches!(self.change, Change::Gear(_))
    }
}

/// Heat that holds the room at [`HEATED`] through the coldest spell between two moments \[s since placing\], W.
fn heat(job: &Job, weather: &Hourly, from: f64, until: f64) -> f64 {
    let last = (until - COLD_SPELL).max(from);
    let days = ((last - from) / DAY).ceil().max(0.0) as u32;
    let outside = (0..days)
        .map(|day| from + f64::from(day) * DAY)
        .map(|start| weather.mean(start, start + COLD_SPELL))
        .fold(weather.mean(last, until), |coldest, air| {
            if air.temperature < coldest.temperature {
                air
            } else {
                coldest
            }
        });
    let density = air::density_of_dry_air(
        outside.temperature,
        outside.humidity_ratio,
        outside.pressure,
    );
    let room = &job.room;
    let leaking = room.volume * room.air_changes_per_hour / HOUR * density;
    let beyond = room.neighbour.beyond_envelope(outside.temperature);
    let through_envelope = room.heat_loss * (HEATED - beyond);
    let with_air = leaking * air::SPECIFIC_HEAT_DRY_AIR * (HEATED - outside.temperature);
    (through_envelope + with_air).max(0.0)
}

/// What a thermostat is set to.
fn heated(celsius: f64, system: System) -> String {
    format!("Heat to {}", temperature(celsius, system))
}

/// Every action that the scenario leaves open.
fn open(case: &Case, day: Date, from: Option<Date>, heat: f64) -> Vec<Possible> {
    let s = &case.scenario;
    let gear = case.gear();
    let mut list = Vec::new();
    let mut add = |name: Said, unpriced: bool, change: Change| {
        list.push(Possible {
            name,
            unpriced,
            change,
        });
    };
    for setup in s.setups.iter().filter(|x| x.name != case.setup) {
        let other = switched(gear, &setup.gear, day, s.gear_on);
        add(
            format!("Change to setup \"{}\"", setup.name).into(),
            false,
            Change::Gear(other),
        );
    }
    let gone = |m: &Gear| gear_dates::until(m).is_some_and(|left| left < day);
    for (place, machine) in gear.iter().enumerate() {
        // A machine that was down stands in the list twice, and what is gone for good is past.
        let alike = |other: &Gear| gear_dates::alike(other, machine);
        if gear[..place].iter().any(alike) || gear.iter().filter(|m| alike(m)).all(gone) {
            continue;
        }
        let mut more = machine.clone();
        gear_dates::set_count(&mut more, 1);
        gear_dates::set_from(
            &mut more,
            gear_dates::from(machine).max(later(day, s.gear_on)),
        );
        gear_dates::set_until(&mut more, None);
        let count = gear_dates::count(machine) + 1;
        add(
            format!("One more {} ({count} in all)", gear_dates::word(machine)).into(),
            false,
            Change::MoreGear(more),
        );
        if let Gear::Heater(heater) = machine
            && let Some(thermostat) = &heater.thermostat
            && thermostat.setpoint.si() + WARMER <= WARMEST
        {
            let celsius = thermostat.setpoint.si() + WARMER;
            let warmer = |m: &mut Gear| {
                if let Gear::Heater(h) = m {
                    h.thermostat = Some(Thermostat {
                        setpoint: Temperature::from_si(celsius),
                        band: thermostat.band,
                    });
                }
            };
            let changed = replaced(gear, machine, &warmer, day, s.gear_on);
            let name = Said::new(|system| heated(celsius, system));
            add(name, false, Change::Gear(changed));
        }
        if let Gear::OutsideAir(opening) = machine
            && matches!(
                opening.rule,
                Some(ExchangeRule::Always | ExchangeRule::Hours(_))
            )
        {
            let drier = |m: &mut Gear| {
                if let Gear::OutsideAir(o) = m {
                    o.rule = Some(ExchangeRule::OnlyWhileDrier);
                }
            };
            let changed = replaced(gear, machine, &drier, day, s.gear_on);
            add(
                "Let outside air in only while it is drier".into(),
                false,
                Change::Gear(changed),
            );
        }
    }
    let has = |kind: fn(&Gear) -> bool| gear.iter().any(|m| !gone(m) && kind(m));
    if !has(|g| matches!(g, Gear::Heater(_)))
        && heat > 0.0
        && let Some(each) = class(HEATER).map(|machine| machine.rated_power())
    {
        let count = (heat / each).ceil().clamp(1.0, 100.0) as u32;
        if let Some(heater) = electric(count, later(day, s.gear_on)) {
            add(
                Said::new(|system| {
                    let heated = heated(HEATED, system);
                    let each = kilowatts(each);
                    format!("{heated} with {count} x electric heater, {each}")
                }),
                true,
                Change::MoreGear(heater),
            );
        }
    }
    if !has(|g| matches!(g, Gear::Dehumidifier(_) | Gear::Desiccant(_)))
        && let Some(machine) = large_dehumidifier(later(day, s.gear_on))
    {
        add(
            "Add a large dehumidifier".into(),
            true,
            Change::MoreGear(machine),
        );
    }
    // Where the work on the floor opens the face there is nothing to add.
    if face_closed(s, day) && !case.work.as_ref().is_some_and(FloorWork::opens) {
        add(
            on(day, "Grind the surface open on "),
            true,
            Change::Prepared(Preparation {
                date: day,
                leaves: Finish::Ground,
            }),
        );
    }
    if let Some(first) = from.filter(|first| *first < s.gear_on) {
        earlier(s, first, &mut add);
    }
    let count = s
        .slab
        .wettings
        .iter()
        .flatten()
        .filter(|w| w.date >= day)
        .count();
    if count > 0 {
        add(
            on(day, "Keep water off the floor from "),
            true,
            Change::Without(Wettings::From(day)),
        );
    }
    list
}

/// Enclosing and starting a week earlier, where nothing has started yet and that day is still to come. Gear cannot start in an open shell, so
/// where both fall on one day neither gains anything without the other.
fn earlier(s: &Scenario, first: Date, add: &mut impl FnMut(Said, bool, Change)) {
    let closed = s.enclosed();
    let back = |date: Date| {
        let week = date.checked_sub(EARLIER.days()).ok();
        week.filter(|week| *week >= first)
    };
    if let Some(week) = back(closed).filter(|week| *week > s.slab.placed) {
        add(
            on(week, "Enclose the building a week earlier, on "),
            true,
            Change::ClosedIn(week),
        );
    }
    if let Some(week) = back(s.gear_on).filter(|week| *week > s.slab.placed) {
        add(
            on(week, "Start the gear a week earlier, on "),
            false,
            Change::DryingStarts(week),
        );
    }
}

/// Something done on a day.
fn on(day: Date, what: &str) -> Said {
    Said::new(|system| format!("{what}{}", short_date(day, system)))
}

/// A first day, unless it is the day on which everything starts.
fn later(day: Date, starts: Date) -> Option<Date> {
    (day > starts).then_some(day)
}

/// The old gear to the day before, the new from the day on.
fn switched(old: &[Gear], new: &[Gear], day: Date, starts: Date) -> Vec<Gear> {
    if day <= starts {
        return new.to_vec();
    }
    let Ok(eve) = day.yesterday() else {
        return new.to_vec();
    };
    let leaving = old
        .iter()
        .filter(|m| gear_dates::from(m).is_none_or(|first| first <= eve));
    let coming = new
        .iter()
        .filter(|m| gear_dates::until(m).is_none_or(|last| last >= day));
    leaving
        .map(|machine| {
            let mut machine = machine.clone();
            let last = gear_dates::until(&machine).map_or(eve, |last| last.min(eve));
            gear_dates::set_until(&mut machine, Some(last));
            machine
        })
        .chain(coming.map(|machine| {
            let mut machine = machine.clone();
            let first = gear_dates::from(&machine).map_or(day, |first| first.max(day));
            gear_dates::set_from(&mut machine, Some(first));
            machine
        }))
        .collect()
}

/// The gear with one kind of machine changed from a day on.
fn replaced(
    gear: &[Gear],
    which: &Gear,
    change: &dyn Fn(&mut Gear),
    day: Date,
    starts: Date,
) -> Vec<Gear> {
    gear.iter()
        .flat_map(|machine| {
            if gear_dates::alike(machine, which) {
                let mut changed = machine.clone();
                change(&mut changed);
                switched(std::slice::from_ref(machine), &[changed], day, starts)
            } else {
                vec![machine.clone()]
            }
        })
        .collect()
}

/// Gear written as in a scenario, so that whatever else its kind may hold is left at its default.
fn gear_of(value: serde_json::Value) -> Option<Gear> {
    serde_json::from_value(value).ok()
}

fn electric(count: u32, from: Option<Date>) -> Option<Gear> {
    gear_of(json!({ "heater": {
        "class": HEATER,
        "count": count,
        "thermostat": { "setpoint": format!("{HEATED} degC") },
        "from": from.map(|date| date.to_string()),
    } }))
}

fn large_dehumidifier(from: Option<Date>) -> Option<Gear> {
    gear_of(json!({ "dehumidifier": {
        "class": DEHUMIDIFIER,
        "from": from.map(|date| date.to_string()),
    } }))
}
