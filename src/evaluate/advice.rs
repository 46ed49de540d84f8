//! Notes with advice on the outcomes of a comparison, each with what to do about it.

use super::outcome::{LimitedBy, NotComputed, Outcome};
use super::power::power;
use super::size::PINT_PER_DAY;
use crate::air::MoistAir;
use crate::gear::Machine;
use crate::job::{Action, Job, Setup};
use crate::moisture_tests::Target;
use crate::units::format::{both, fixed, percent};
use crate::units::{DAY, Kind, LITRE, WATER};

/// Share of the hours from which something is worth a note.
const WORTH_A_NOTE: f64 = 0.1;
/// Humidities closer than this are the same: no probe tells them apart (ASTM F2170 asks for 2 %).
const SAME_HUMIDITY: f64 = 0.005;

/// A note on one setup.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// The setup.
    pub setup: String,
    /// What to know and what to do.
    pub text: String,
    /// Whether people can come to harm.
    pub caution: bool,
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
            setup: "All setups".into(),
            text: "No published readings settle what the simulated dish should show: its days are good to a third of the reading, and the odds say so. Plan with relative_humidity_at_depth.".into(),
            caution: false,
        });
    }
    if job
        .targets
        .iter()
        .any(|t| matches!(t, Target::MassPercent { .. }))
    {
        notes.push(Advice {
            setup: "All setups".into(),
            text: "The model's concrete holds less water below 80 % RH than a published table: a mass percent limit is met too soon by it. Give a humidity target beside it.".into(),
            caution: false,
        });
    }
    for outcome in outcomes {
        let Some(setup) = job.setups.iter().find(|s| s.name == outcome.name) else {
            continue;
        };
        notes.extend(burners(setup));
        of_setup(setup, outcome, &mut notes);
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
        text: "Burners without a flue give off carbon monoxide, carbon dioxide and water. Ventilate and monitor as local codes and the heater's sheet require; never in the first day after placing.".into(),
        caution: true,
    })
}

fn site_power(job: &Job, setup: &Setup) -> Option<Advice> {
    let site = power(&setup.room, job.site_power.as_ref()).site?;
    (!site.fits()).then(|| Advice {
        setup: setup.name.clone(),
        text: site.sentence(),
        caution: false,
    })
}

/// What comes once the top is sealed, and water that is still to come.
fn after_coating(job: &Job, outcome: &Outcome, notes: &mut Vec<Advice>) {
    let mut add = |text: String| {
        notes.push(Advice {
            setup: outcome.name.clone(),
            text,
            caution: false,
        });
    };
    if let Some(film) = outcome.under_film {
        let limit = job
            .targets
            .iter()
            .filter(|t| t.is_humidity())
            .map(Target::limit)
            .fold(f64::INFINITY, f64::min);
        let peak = 100.0 * film.peak;
        let when = if film.still_rising {
            "and still rises a year after coating".to_owned()
        } else {
            format!("{:.0} days after coating", film.days)
        };
        if film.peak > limit + SAME_HUMIDITY {
            add(format!(
                "Under a tight film the humidity climbs to {peak:.1} % {when}, above the limit of {:.0} % that the test met: wait longer, or take a coating that stands it.",
                100.0 * limit
            ));
        } else if limit.is_infinite() {
            add(format!(
                "Under a tight film the humidity climbs to {peak:.1} % {when}, though the target is met: check it against the product sheet."
            ));
        }
    }
    if let Some(days) = outcome.days_to_target {
        let met = job.gear_on + days * DAY;
        let later = job
            .events
            .iter()
            .find(|e| e.time > met && brings_water(e.action));
        if let Some(event) = later {
            add(format!(
                "Water comes onto the floor on {}, after the target is met: dry and test again before coating.",
                job.date(event.time)
            ));
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

fn of_setup(setup: &Setup, outcome: &Outcome, notes: &mut Vec<Advice>) {
    let h = &outcome.hours;
    let share = |hours: f64| hours / h.total.max(1e-9);
    let mut add = |caution: bool, text: String| {
        notes.push(Advice {
            setup: outcome.name.clone(),
            text,
            caution,
        });
    };
    let has = |kind: fn(&Machine) -> bool| setup.room.machines.iter().any(|m| kind(&m.machine));
    let fans = has(|m| matches!(m, Machine::Fan(_)));
    if h.carbon_dioxide >= 1.0 {
        add(
            true,
            format!(
                "Well-mixed carbon dioxide would pass 5000 ppm (OSHA limit for 8 h) for {:.0} h: far more outside air is needed while people are inside.",
                h.carbon_dioxide
            ),
        );
    }
    if share(h.hot) > 0.0 && h.hot >= 1.0 {
        add(
            true,
            format!(
                "The room is above 35 degC for {:.0} h: heat stress for people, and a risk of cracks from fast drying. Lower the thermostat.",
                h.hot
            ),
        );
    }
    if h.frozen_share() > WORTH_A_NOTE {
        add(
            false,
            format!(
                "A dehumidifier is frosted or too cold to run for {:.0} % of its time on site. Heat the room first, or use a desiccant.",
                100.0 * h.frozen_share()
            ),
        );
    }
    if h.starved_share() > WORTH_A_NOTE {
        add(
            false,
            format!(
                "A dehumidifier finds too little water in the air for {:.0} % of its time on site. A smaller one, or one that comes for the first weeks only, would do.",
                100.0 * h.starved_share()
            ),
        );
    }
    if let Some(air) = outcome.air_outside_range
        && share(h.outside_range) > WORTH_A_NOTE
    {
        for text in outside_range(setup, air, share(h.outside_range)) {
            add(false, text);
        }
    }
    if h.near_dew_point >= 1.0 {
        add(
            false,
            format!(
                "The slab's face is within 3 K (5 degF) of the dew point for {:.0} h: no coating then, and no wet look from mere condensation taken for damp.",
                h.near_dew_point
            ),
        );
    }
    match (outcome.limited_by, fans) {
        (LimitedBy::Depth, true) => add(
            false,
            "The way through the concrete rules here: more air over the face buys little. Fans can go once the face is dry.".into(),
        ),
        (LimitedBy::Face, false) => add(
            false,
            "The face holds the water back: moving air over it, or grinding it open, would help most.".into(),
        ),
        _ => {}
    }
    if let Some(cost) = outcome.delay_cost.filter(|c| *c > 0.0) {
        add(
            false,
            format!(
                "The days after the date needed cost {cost:.0} at the given price of a day of delay; not in the cost."
            ),
        );
    }
    if outcome.cost_incomplete {
        add(
            false,
            "Some prices are not given; the cost counts only those that are.".into(),
        );
    }
}

/// What machines give where no data are published, for a `share` of the time, at the mean air (degC, relative humidity) of that time.
fn outside_range(setup: &Setup, (t, r): (f64, f64), share: f64) -> Vec<String> {
    let inlet = MoistAir::from_relative_humidity(t, r, setup.room.pressure);
    let time = percent(share);
    let mut notes: Vec<String> = Vec::new();
    for installed in &setup.room.machines {
        let note = match &installed.machine {
            Machine::Refrigerant(machine) => {
                if machine.map.is_published(t, r) {
                    continue;
                }
                let (low, high) = machine.removal_range(&inlet);
                format!(
                    "For {time} of the time no data is published for a dehumidifier in air like this room's. One rated {} takes {} at {} and {}, in eight cases of ten.",
                    a_day(machine.rated_removal, machine.rated_removal),
                    a_day(low, high),
                    both(Kind::Temperature, t, (0, 0)),
                    percent(r)
                )
            }
            Machine::Desiccant(_) => format!(
                "For {time} of the time no data is published for a machine in air like this room's. A low output is assumed for the desiccant there."
            ),
            _ => continue,
        };
        if !notes.contains(&note) {
            notes.push(note);
        }
    }
    notes
}

/// A range of water removed, kg/s, in pints and litres a day.
fn a_day(low: f64, high: f64) -> String {
    let range = |unit: f64, digits: usize| {
        let (low, high) = (fixed(low / unit, digits), fixed(high / unit, digits));
        if low == high {
            low
        } else {
            format!("{low} to {high}")
        }
    };
    let litre = LITRE * WATER / DAY;
    format!(
        "{} pints ({} L) a day",
        range(PINT_PER_DAY, 0),
        range(litre, usize::from(high < 10.0 * litre))
    )
}
