//! Notes with advice on the outcomes of a comparison: what was found, the number, and what to do about it.

use super::limits::{HOT, TOO_COLD};
use super::outcome::{LimitedBy, NotComputed, Outcome};
use super::power::power;
use crate::air::MoistAir;
use crate::gear::Machine;
use crate::job::{Action, Job, Setup};
use crate::moisture_tests::Target;
use crate::units::DAY;
use crate::units::format::{
    Currency, Said, date, days, fine_percent, hours, percent, temperature, warmer_by, water_rate,
    water_rates,
};

/// What notes about no single setup are filed under.
pub const ALL_SETUPS: &str = "All setups";
/// Share of the hours from which something is worth a note.
const WORTH_A_NOTE: f64 = 0.1;
/// Humidities closer than this are the same: no probe tells them apart (ASTM F2170 asks for 2 %).
const SAME_HUMIDITY: f64 = 0.005;

/// What a note is about, the weightiest first: screens that show a few show these.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Matter {
    /// People can come to harm.
    Harm,
    /// The site cannot feed the gear.
    Power,
    /// The coating: what it meets once it is on, or water that is still to come.
    Coating,
    /// What the limit or its test is worth.
    Limit,
    /// What is paid, or not counted.
    Money,
    /// How the gear runs.
    Gear,
    /// What would make drying faster.
    Pace,
}

/// A note on one setup.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// The setup.
    pub setup: String,
    /// What to know and what to do.
    pub text: Said,
    /// What it is about.
    pub matter: Matter,
}

impl Advice {
    /// Whether people can come to harm.
    #[must_use]
    pub fn caution(&self) -> bool {
        self.matter == Matter::Harm
    }
}

/// All notes, in the order of the outcomes.
#[must_use]
pub fn advice(job: &Job, outcomes: &[Outcome]) -> Vec<Advice> {
    let mut notes = Vec::new();
    if job
        .targets
        .iter()
        .any(|t| matches!(t, Target::EmissionRate { .. }))
    {
        notes.push(Advice {
            setup: ALL_SETUPS.into(),
            text: "The simulated dish test can be a third off. No published readings settle it, so the range is wider. Plan with relative_humidity_at_depth.".into(),
            matter: Matter::Limit,
        });
    }
    if job
        .targets
        .iter()
        .any(|t| matches!(t, Target::MassPercent { .. }))
    {
        notes.push(Advice {
            setup: ALL_SETUPS.into(),
            text: format!(
                "The simulation meets a mass percent limit too soon. Below {} its concrete holds less water than a published table says. Add a humidity target.",
                percent(0.8)
            )
            .into(),
            matter: Matter::Limit,
        });
    }
    for outcome in outcomes {
        let Some(setup) = job.setups.iter().find(|s| s.name == outcome.name) else {
            continue;
        };
        notes.extend(burners(setup));
        of_setup(setup, outcome, job.prices.currency, &mut notes);
        after_coating(job, outcome, &mut notes);
        notes.extend(site_power(job, setup));
    }
    notes
}

/// What is to be said of setups that were not computed: what their gear alone says.
#[must_use]
pub fn advice_without_run(job: &Job, not_computed: &[NotComputed]) -> Vec<Advice> {
    let setups = not_computed
        .iter()
        .filter_map(|n| job.setups.iter().find(|setup| setup.name == n.setup));
    setups
        .flat_map(|setup| burners(setup).into_iter().chain(site_power(job, setup)))
        .collect()
}

fn burners(setup: &Setup) -> Option<Advice> {
    let unvented = |m: &Machine| matches!(m, Machine::DirectFired(_) | Machine::MakeUpAir(_));
    let mut machines = setup.room.machines.iter();
    machines.any(|m| unvented(&m.machine)).then(|| Advice {
        setup: setup.name.clone(),
        text: "Burners without a flue give off carbon monoxide, which can kill, and water. Ventilate and monitor as local codes and the heater's sheet say. Keep them away from concrete in its first day.".into(),
        matter: Matter::Harm,
    })
}

fn site_power(job: &Job, setup: &Setup) -> Option<Advice> {
    let site = power(&setup.room, job.site_power.as_ref()).site?;
    (!site.fits()).then(|| Advice {
        setup: setup.name.clone(),
        text: site.sentence().into(),
        matter: Matter::Power,
    })
}

/// What comes once the top is sealed, and water that is still to come.
fn after_coating(job: &Job, outcome: &Outcome, notes: &mut Vec<Advice>) {
    let mut add = |text: Said| {
        notes.push(Advice {
            setup: outcome.name.clone(),
            text,
            matter: Matter::Coating,
        });
    };
    if let Some(film) = outcome.under_film {
        let limit = job
            .targets
            .iter()
            .filter(|t| t.is_humidity())
            .map(Target::limit)
            .fold(f64::INFINITY, f64::min);
        let peak = fine_percent(film.peak);
        let when = if film.still_rising {
            "in a year, still rising".to_owned()
        } else {
            format!("in {}", days(film.days))
        };
        if film.peak > limit + SAME_HUMIDITY {
            let limit = fine_percent(limit);
            let text = format!(
                "Under a tight coating the slab climbs to {peak} {when}, over the {limit} limit. Wait longer, or pick one rated for it."
            );
            add(text.into());
        } else if limit.is_infinite() {
            let text = format!(
                "Under a tight coating the slab climbs to {peak} {when}. Check that against the product sheet."
            );
            add(text.into());
        }
    }
    if let Some(days) = outcome.days_to_target {
        let met = job.gear_on + days * DAY;
        let later = job
            .events
            .iter()
            .find(|e| e.time > met && brings_water(e.action));
        if let Some(event) = later {
            let day = job.date(event.time);
            add(Said::new(|system| {
                format!(
                    "Water comes onto the floor on {}, after the target is met. Dry and test again before coating.",
                    date(day, system)
                )
            }));
        }
    }
}

fn brings_water(action: Action) -> bool {
    match action {
        Action::Water(rate) => rate > 0.0,
        Action::KeepWet(wet) => wet,
        Action::Skin(_) | Action::Prepare(_) | Action::CloseIn => false,
    }
}

fn of_setup(setup: &Setup, outcome: &Outcome, currency: Currency, notes: &mut Vec<Advice>) {
    let h = &outcome.hours;
    let share = |hours: f64| hours / h.total.max(1e-9);
    let mut add = |matter: Matter, text: Said| {
        notes.push(Advice {
            setup: outcome.name.clone(),
            text,
            matter,
        });
    };
    let has = |kind: fn(&Machine) -> bool| setup.room.machines.iter().any(|m| kind(&m.machine));
    let fans = has(|m| matches!(m, Machine::Fan(_)));
    if h.carbon_dioxide >= 1.0 {
        let text = format!(
            "Carbon dioxide would pass 5,000 ppm (OSHA limit for 8 h) for {}. People inside need far more outside air.",
            hours(h.carbon_dioxide)
        );
        add(Matter::Harm, text.into());
    }
    if share(h.hot) > 0.0 && h.hot >= 1.0 {
        let text = Said::new(|system| {
            format!(
                "The room is above {} for {}. Heat can harm people, and fast drying can crack the slab. Lower the thermostat.",
                temperature(HOT, system),
                hours(h.hot)
            )
        });
        add(Matter::Harm, text);
    }
    if h.frozen_share() > WORTH_A_NOTE {
        let text = format!(
            "A dehumidifier is frosted or too cold to run for {} of its time on site. Give it warmer air, or use a desiccant.",
            percent(h.frozen_share())
        );
        add(Matter::Gear, text.into());
    }
    if share(h.cold) > WORTH_A_NOTE {
        let text = Said::new(|system| {
            format!(
                "The heat does not hold its thermostat for {}: the room is more than {} too cold. Close the room up, or get more heat.",
                hours(h.cold),
                warmer_by(TOO_COLD, system)
            )
        });
        add(Matter::Gear, text);
    }
    if h.starved_share() > WORTH_A_NOTE {
        let text = format!(
            "A dehumidifier finds too little water in the air for {} of its time on site. A smaller one would do, or one for the first weeks only.",
            percent(h.starved_share())
        );
        add(Matter::Gear, text.into());
    }
    if let Some(air) = outcome.air_outside_range
        && share(h.outside_range) > WORTH_A_NOTE
    {
        for text in outside_range(setup, air, share(h.outside_range)) {
            add(Matter::Gear, text);
        }
    }
    if h.near_dew_point >= 1.0 {
        let text = Said::new(|system| {
            format!(
                "The slab is within {} of the dew point for {}. Do not coat then. A wet surface may only be condensation.",
                warmer_by(super::DEW_POINT_MARGIN, system),
                hours(h.near_dew_point)
            )
        });
        add(Matter::Coating, text);
    }
    match (outcome.limited_by, fans) {
        (LimitedBy::Depth, true) => add(
            Matter::Pace,
            "The slab core sets the pace. More air over the surface buys little: fans can go once the surface is dry.".into(),
        ),
        (LimitedBy::Face, false) => add(
            Matter::Pace,
            "The surface sets the pace. Moving air over it, or grinding it open, would help most.".into(),
        ),
        _ => {}
    }
    if let Some(cost) = outcome.delay_cost.filter(|c| *c > 0.0) {
        let text = format!(
            "Being late costs {} more at your price of a day of delay. The cost shown leaves that out.",
            currency.money(cost)
        );
        add(Matter::Money, text.into());
    }
    if outcome.cost_incomplete {
        add(
            Matter::Money,
            "Some prices are not given. The cost counts only those that are.".into(),
        );
    }
}

/// What machines give where no data are published, for a `share` of the time, at the mean air (degC, relative humidity) of that time.
fn outside_range(setup: &Setup, (t, r): (f64, f64), share: f64) -> Vec<Said> {
    let inlet = MoistAir::from_relative_humidity(t, r, setup.room.pressure);
    let time = percent(share);
    let mut notes: Vec<Said> = Vec::new();
    for installed in &setup.room.machines {
        let note = match &installed.machine {
            Machine::Refrigerant(machine) => {
                if machine.map.is_published(t, r) {
                    continue;
                }
                let (low, high) = machine.removal_range(&inlet);
                Said::new(|system| {
                    format!(
                        "No data is published for a dehumidifier in air like this room's ({} and {}, {time} of the time). One rated {} takes {} there ({} chance).",
                        temperature(t, system),
                        percent(r),
                        water_rate(machine.rated_removal, system),
                        water_rates(low, high, system),
                        percent(0.8)
                    )
                })
            }
            Machine::Desiccant(_) => format!(
                "No data is published for this desiccant in air like this room's ({time} of the time). A low output is assumed there."
            )
            .into(),
            _ => continue,
        };
        if !notes.contains(&note) {
            notes.push(note);
        }
    }
    notes
}
