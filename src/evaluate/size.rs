//! Checks the dehumidifiers of a setup: the load through time by source against what the machines would give at the
//! room's actual state, how many would fit, and the rules of thumb beside it.
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | g A | evaporation from the slab | kg/s |
//! | O | vapour that outside air brings, leakage included; negative when it carries water off | kg/s |
//! | B | vapour from burners without a flue | kg/s |
//! | S | vapour from other wet materials and from people | kg/s |
//! | K | vapour that settles on the envelope | kg/s |
//! | R | vapour that the dehumidifiers take | kg/s |
//! | C | what they would take in full run at the same state | kg/s |
//!
//! # Equations
//! ```text
//! M dW/dt = g A + O + B + S - K - R        the room's balance, so the load g A + O + B + S - K is R but for what the air stores
//! duty    = R / C                          short-cycling below a third, starved below 5 % of the rating
//! ```
//! The air of a room finds the humidity at which the machines just take what comes. A machine too small therefore shows
//! not as a load above its capacity but as damp air and late drying. So the verdict asks what the user asks: would other
//! numbers of the machine make the floor dry on another day? The smallest number that is as soon as many more, within
//! [`SAME`], fits. The warmth of the machines counts in this, as it does on site.
//!
//! # Valid range
//! That of the machines' data; the hours outside it are counted.
//!
//! # Sources
//! 1. Short-cycling when more than three times the need is installed: common practice, no published source (from memory).
//! 2. Volume rule: ANSI/IICRC S500, simple calculation: room volume over a factor gives the rated removal of refrigerant
//!    machines in pints a day; volume times air changes gives a desiccant's process air. Class 4 is for dense materials of
//!    low evaporation such as concrete; factors from memory: 50 for low-grain machines, none for ordinary ones, 2 air
//!    changes an hour for desiccants.
//! 3. Carbon dioxide: 5000 ppm for a day's work (OSHA permissible exposure limit), 420 ppm outside, combustion: see
//!    `gear::fuel`.
//! 4. Confined space: less than 50 ft3 per 1000 Btu/h of burner input (US fuel gas code, as heater manuals quote it).
//!
//! # Proof of accuracy
//! `tests/it/size.rs`: `analytic_load_balance`, `ref_*`.

mod load;
mod meter;
mod rules;

pub use super::limits::CARBON_DIOXIDE;
pub use load::{LoadStep, SHORT_CYCLING, Stretch};
pub use rules::{
    CONFINED, DESICCANT_AIR_CHANGES, PINT_PER_DAY, TYPICAL_END, VOLUME_FACTOR, VentilationRule,
    VolumeRule,
};

use super::compare::{Accuracy, prepare, run_observed, run_without_film};
use super::outcome::{NotComputed, Outcome};
use super::power::{Power, power};
use crate::air::MoistAir;
use crate::gear::refrigerant::CapacityMap;
use crate::gear::{Machine, Surroundings};
use crate::job::{Job, Setup};
use crate::simulation::{Simulation, SimulationFault};
use crate::units::DAY;
use meter::Meter;
use rayon::prelude::*;
use rules::{ventilation_rule, volume_rule};

/// Two numbers of machines count as equally good within this many days, or this share of the days: finer than a forecast
/// of drying is good for.
pub const SAME: (f64, f64) = (1.0, 0.05);
/// How often the number of machines is doubled in search of one that would be sooner.
const DOUBLINGS: u32 = 3;
/// A week \[s\].
const WEEK: f64 = 7.0 * DAY;
/// State at which desiccants are compared, degC and relative humidity.
const DESICCANT_RATING: (f64, f64) = (20.0, 0.60);
/// One entry of dehumidifiers: what each machine would give.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dehumidifier {
    /// One machine.
    pub machine: Machine,
    /// How many.
    pub count: f64,
    /// Its rating \[kg/s\]: at 26.7 degC and 60 % for refrigerant machines, at 20 degC and 60 % for desiccants.
    pub rated: f64,
    /// What one gives in full run at [`TYPICAL_END`] \[kg/s\].
    pub at_typical_end: f64,
    /// The same by the published map of ordinary machines \[kg/s\], where the machine's own curve is an assumption.
    pub at_typical_end_by_published_map: Option<f64>,
    /// What it finds on site; `None` if the floor is dry before it comes.
    pub on_site: Option<OnSite>,
}

/// One dehumidifier in the room's mean state while it is on site.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnSite {
    /// Mean temperature \[degC\] and relative humidity of the room.
    pub mean_state: (f64, f64),
    /// What one gives in full run at that state \[kg/s\].
    pub gives: f64,
    /// What eight in ten of its rating give there at least and at most \[kg/s\]; `None` for a desiccant.
    pub range: Option<(f64, f64)>,
    /// The same by the map of ordinary machines \[kg/s\], where the machine's own curve is an assumption.
    pub by_published_map: Option<f64>,
    /// Humidity ratio that it takes from its air in one pass at that state \[kg/kg\]: the grain depression.
    pub depression: f64,
}

/// What other numbers of the main machine would do.
#[derive(Clone, Debug, PartialEq)]
pub struct Search {
    /// Which dehumidifier is varied: the one with the most capacity, as index into [`Sized::dehumidifiers`].
    pub main: usize,
    /// The number installed.
    pub installed: f64,
    /// The smallest number that is as soon as many more.
    pub fits: f64,
    /// Whether even more would be sooner.
    pub at_least: bool,
    /// Numbers tried and the days they take; `None` when the target is never met.
    pub tried: Vec<(f64, Option<f64>)>,
}

/// Whether the dehumidifiers are the right size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// There is none.
    NoDehumidifier,
    /// More of them would be sooner.
    TooSmall,
    /// Neither more nor fewer would do better.
    Fits,
    /// Fewer would be as soon.
    MoreThanNeeded,
    /// No number that was tried gets the floor dry: they are not what holds it back.
    NotTheLimit,
    /// The solver gave up on another number of them.
    NotComputed,
}

impl Verdict {
    /// The words used in output.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::NoDehumidifier => "no dehumidifier",
            Self::TooSmall => "too small",
            Self::Fits => "fits",
            Self::MoreThanNeeded => "more than needed",
            Self::NotTheLimit => "not the limit",
            Self::NotComputed => "not computed",
        }
    }
}

/// One setup, checked.
#[derive(Clone, Debug, PartialEq)]
pub struct Sized {
    /// The run with the setup as it is.
    pub outcome: Outcome,
    /// Its dehumidifiers.
    pub dehumidifiers: Vec<Dehumidifier>,
    /// Steps until the target was met, or to the end.
    pub steps: Vec<LoadStep>,
    /// The same by week from the start of drying.
    pub weeks: Vec<Stretch>,
    /// The same by day.
    pub days: Vec<Stretch>,
    /// All of it.
    pub whole: Stretch,
    /// The search for the number that fits; `None` without a dehumidifier or when the solver gave up on a number.
    pub search: Option<Search>,
    /// Why it gave up.
    pub search_fault: Option<SimulationFault>,
    /// The verdict.
    pub verdict: Verdict,
    /// The volume rule; `None` without a dehumidifier.
    pub volume_rule: Option<VolumeRule>,
    /// The ventilation rule; `None` without such burners.
    pub ventilation_rule: Option<VentilationRule>,
    /// Electrical load.
    pub power: Power,
}

impl Sized {
    /// Week with the highest load, or without a dehumidifier that in which the slab gives most; counted from 0.
    #[must_use]
    pub fn peak_week(&self) -> Option<usize> {
        let idle = self.dehumidifiers.is_empty();
        (0..self.weeks.len()).max_by(|a, b| {
            let load = |i: &usize| {
                self.weeks
                    .get(*i)
                    .map_or(0.0, |w| if idle { w.slab } else { w.load() })
            };
            load(a).total_cmp(&load(b))
        })
    }
}

/// The setups of a job, checked; each list in the order of the scenario.
#[derive(Clone, Debug, PartialEq)]
pub struct Checked {
    /// Those computed.
    pub setups: Vec<Sized>,
    /// Those on which the solver gave up.
    pub not_computed: Vec<NotChecked>,
}

/// A setup on which the solver gave up, with what needs no run.
#[derive(Clone, Debug, PartialEq)]
pub struct NotChecked {
    /// Which, and why.
    pub gave_up: NotComputed,
    /// Electrical load.
    pub power: Power,
}

/// Checks every setup of a job.
///
/// # Errors
/// When the solver gives up before drying starts.
pub fn size(job: &Job, accuracy: Accuracy) -> Result<Checked, SimulationFault> {
    let start = prepare(job, accuracy)?;
    let checks: Vec<Result<Sized, SimulationFault>> = job
        .setups
        .par_iter()
        .map(|setup| size_setup(job, setup, &start))
        .collect();
    let (mut setups, mut not_computed) = (Vec::new(), Vec::new());
    for (setup, checked) in job.setups.iter().zip(checks) {
        match checked {
            Ok(sized) => setups.push(sized),
            Err(fault) => not_computed.push(NotChecked {
                gave_up: NotComputed {
                    setup: setup.name.clone(),
                    fault,
                },
                power: power(&setup.room, job.site_power.as_ref()),
            }),
        }
    }
    Ok(Checked {
        setups,
        not_computed,
    })
}

/// Checks one setup from the prepared slab.
///
/// # Errors
/// When the solver gives up on the setup as it is.
pub fn size_setup(job: &Job, setup: &Setup, start: &Simulation) -> Result<Sized, SimulationFault> {
    let mut meter = Meter::new(setup);
    let outcome = run_observed(job, setup, start, &mut |slab, p| meter.read(slab, p))?;
    let end = outcome
        .days_to_target
        .map_or(f64::INFINITY, |d| job.gear_on + d * DAY);
    let mut steps = meter.steps;
    steps.retain(|s| s.time <= end);
    let whole = Stretch::of(steps.iter());
    let dehumidifiers = dehumidifiers(setup, &steps, job);
    let days = outcome.days_to_target;
    let has = !dehumidifiers.is_empty();
    let found = has.then(|| search(job, setup, start, &dehumidifiers, days));
    let (search, search_fault) = match found.transpose() {
        Ok(search) => (search, None),
        Err(fault) => (None, Some(fault)),
    };
    let verdict = match &search {
        None if search_fault.is_some() => Verdict::NotComputed,
        None => Verdict::NoDehumidifier,
        Some(s) if s.tried.iter().all(|(_, days)| days.is_none()) => Verdict::NotTheLimit,
        Some(s) if s.fits > s.installed => Verdict::TooSmall,
        Some(s) if s.fits < s.installed => Verdict::MoreThanNeeded,
        Some(_) => Verdict::Fits,
    };
    Ok(Sized {
        weeks: stretches(&steps, job.gear_on, WEEK),
        days: stretches(&steps, job.gear_on, DAY),
        volume_rule: (!dehumidifiers.is_empty()).then(|| volume_rule(setup)),
        ventilation_rule: ventilation_rule(setup, &outcome),
        power: power(&setup.room, job.site_power.as_ref()),
        dehumidifiers,
        steps,
        whole,
        search,
        search_fault,
        verdict,
        outcome,
    })
}

fn stretches(steps: &[LoadStep], start: f64, length: f64) -> Vec<Stretch> {
    let place = |s: &LoadStep| {
        ((s.time - 0.5 * s.length - start) / length)
            .floor()
            .max(0.0)
    };
    steps
        .chunk_by(|a, b| place(a) == place(b))
        .map(|chunk| Stretch::of(chunk.iter()))
        .collect()
}

fn dehumidifiers(setup: &Setup, steps: &[LoadStep], job: &Job) -> Vec<Dehumidifier> {
    let pressure = setup.room.pressure;
    setup
        .room
        .machines
        .iter()
        .filter(|m| m.machine.dries_air())
        .map(|m| {
            let (from, until) = m.present;
            let on_site = Stretch::of(
                steps
                    .iter()
                    .filter(|s| s.time > from && s.time - s.length < until),
            );
            let outside = job
                .weather
                .mean(from.max(job.gear_on), until.min(job.gear_on + 30.0 * DAY));
            let state = |(t, r)| MoistAir::from_relative_humidity(t, r, pressure);
            let machine = without_control(m.machine);
            let surroundings = |inside: MoistAir| Surroundings {
                inside,
                outside: MoistAir {
                    temperature: outside.temperature,
                    humidity_ratio: outside.humidity_ratio,
                    pressure,
                },
                hour_of_day: 12.0,
                wind_speed: outside.wind_speed,
            };
            let gives = |inside: MoistAir| -machine.effect(&surroundings(inside)).vapour;
            let by_published_map = |inside: MoistAir| match machine {
                Machine::Refrigerant(r) if r.map == CapacityMap::LowGrain => {
                    let mut ordinary = r;
                    ordinary.map = CapacityMap::SixUnits;
                    Some(ordinary.full_removal(&inside))
                }
                _ => None,
            };
            let typical = state(TYPICAL_END);
            let rated = match machine {
                Machine::Refrigerant(r) => r.rated_removal,
                Machine::Desiccant(_) => {
                    let rated = state(DESICCANT_RATING);
                    let effect = machine.effect(&Surroundings {
                        outside: rated,
                        ..surroundings(rated)
                    });
                    -effect.vapour
                }
                _ => 0.0,
            };
            let found = || {
                let mean = MoistAir {
                    temperature: on_site.temperature,
                    humidity_ratio: on_site.humidity_ratio,
                    pressure,
                };
                let outlet = match machine {
                    Machine::Refrigerant(r) => r.outlet(&mean),
                    Machine::Desiccant(d) => d.outlet(&surroundings(mean)),
                    _ => mean,
                };
                OnSite {
                    mean_state: (mean.temperature, mean.relative_humidity()),
                    gives: gives(mean),
                    range: match machine {
                        Machine::Refrigerant(r) => Some(r.removal_range(&mean)),
                        _ => None,
                    },
                    by_published_map: by_published_map(mean),
                    depression: (mean.humidity_ratio - outlet.humidity_ratio).max(0.0),
                }
            };
            Dehumidifier {
                machine: m.machine,
                count: m.count,
                rated,
                at_typical_end: gives(typical),
                at_typical_end_by_published_map: by_published_map(typical),
                on_site: (on_site.length > 0.0).then(found),
            }
        })
        .collect()
}

fn without_control(mut machine: Machine) -> Machine {
    if let Some(control) = machine.control_mut() {
        *control = crate::gear::controls::Control::ALWAYS;
    }
    machine
}

/// Looks for the smallest number of the main machine that is as soon as many more.
fn search(
    job: &Job,
    setup: &Setup,
    start: &Simulation,
    machines: &[Dehumidifier],
    days: Option<f64>,
) -> Result<Search, SimulationFault> {
    let capacity = |i: &usize| {
        machines.get(*i).map_or(0.0, |d| {
            let gives = d.on_site.map_or(0.0, |on_site| on_site.gives);
            d.count * gives.max(1e-3 * d.rated)
        })
    };
    let main = (0..machines.len())
        .max_by(|a, b| capacity(a).total_cmp(&capacity(b)))
        .unwrap_or(0);
    let installed = machines.get(main).map_or(0.0, |d| d.count);
    let mut tried: Vec<(f64, Option<f64>)> = vec![(installed, days)];
    let mut run = |count: f64| -> Result<f64, SimulationFault> {
        if let Some((_, days)) = tried.iter().find(|(c, _)| *c == count) {
            return Ok(days.unwrap_or(f64::INFINITY));
        }
        let outcome = run_without_film(job, &with_count(setup, main, count), start)?;
        tried.push((count, outcome.days_to_target));
        Ok(outcome.days_to_target.unwrap_or(f64::INFINITY))
    };
    let same = |days: f64| days + SAME.0.max(SAME.1 * days);
    let mut most = installed;
    // What is compared with: the largest number tried.
    let mut reference = None;
    for _ in 0..DOUBLINGS {
        let (now, twice) = (run(most)?, run(2.0 * most)?);
        if now <= same(twice) {
            reference = Some(twice);
            break;
        }
        most *= 2.0;
    }
    let at_least = reference.is_none();
    let reference = match reference {
        Some(days) => days,
        None => run(most)?,
    };
    let enough = same(reference);
    // Smallest number in 0..=most that is soon enough; more machines are taken never to be later.
    let (mut low, mut high) = (-1.0, most);
    while high - low > 1.0 {
        let middle = f64::midpoint(low, high).floor().max(low + 1.0);
        if run(middle)? <= enough {
            high = middle;
        } else {
            low = middle;
        }
    }
    tried.sort_by(|a, b| a.0.total_cmp(&b.0));
    Ok(Search {
        main,
        installed,
        fits: high,
        at_least: at_least && high >= most,
        tried,
    })
}

/// The setup with another number of one of its dehumidifiers; none takes the entry out.
fn with_count(setup: &Setup, dehumidifier: usize, count: f64) -> Setup {
    let mut setup = setup.clone();
    let place = setup
        .room
        .machines
        .iter()
        .enumerate()
        .filter(|(_, m)| m.machine.dries_air())
        .nth(dehumidifier)
        .map(|(place, _)| place);
    if let Some(place) = place {
        if count > 0.0 {
            if let Some(m) = setup.room.machines.get_mut(place) {
                m.count = count;
            }
        } else {
            setup.room.machines.remove(place);
        }
    }
    setup
}
