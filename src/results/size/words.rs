//! The check of dehumidifiers in words, one thing in each sentence.

use crate::evaluate::NotDryReason;
use crate::evaluate::power::{BREAKER, Power, SupplyLoad};
use crate::evaluate::size::{
    CARBON_DIOXIDE, DESICCANT_AIR_CHANGES, Dehumidifier, Sized, TYPICAL_END, VOLUME_FACTOR, Verdict,
};
use crate::gear::Machine;
use crate::units::DAY;
use crate::units::format::{self, both, counted, fixed, percent, whole};
use crate::units::{GRAINS_PER_POUND, Kind};
use std::collections::BTreeSet;
use std::fmt::Write as _;

/// Hours below this are not worth a sentence.
const FEW_HOURS: f64 = 12.0;

/// A power in kW, to the tenth.
pub(super) fn kilowatts(watts: f64) -> String {
    fixed(watts / 1e3, 1)
}

/// A rate in both units.
fn rate(value: f64) -> String {
    both(Kind::WaterRate, value, (1, 0))
}

fn state((t, r): (f64, f64)) -> String {
    format!("{} and {}", both(Kind::Temperature, t, (1, 0)), percent(r))
}

fn air_flow(flow: f64) -> String {
    both(Kind::AirFlow, flow, (0, 0))
}

/// What the check says of one setup, in sentences, one thing each.
#[must_use]
pub fn sentences(s: &Sized) -> Vec<String> {
    let mut out = vec![verdict(s)];
    out.extend(s.dehumidifiers.iter().map(rating));
    if let Some(text) = peak(s) {
        out.push(text);
    }
    out.extend(hours(s));
    out
}

fn days(days: Option<f64>) -> String {
    days.map_or_else(
        || "not in the time simulated".to_owned(),
        |d| format!("after {}", format::days(d)),
    )
}

fn verdict(s: &Sized) -> String {
    if let Some(fault) = &s.search_fault {
        return format!("Whether another number of them would be sooner is not computed: {fault}.");
    }
    let Some(f) = &s.search else {
        return "There is no dehumidifier to check; the load is shown without one.".into();
    };
    let tried = |count: f64| {
        f.tried
            .iter()
            .find(|(c, _)| *c == count)
            .and_then(|(_, days)| *days)
    };
    let (installed, fits) = (whole(f.installed), whole(f.fits));
    let (now, then) = (days(s.outcome.days_to_target), days(tried(f.fits)));
    let warmth = "The warmth that the machines give off counts in this.";
    match s.verdict {
        Verdict::TooSmall => format!(
            "Too small: with {installed} the floor is dry {now}, with {fits} {then}{}. {warmth}",
            if f.at_least {
                ", and still more would be sooner: look for another kind of machine or more heat"
            } else {
                "; still more would gain less than 5 % or a day"
            }
        ),
        Verdict::Fits => format!(
            "Fits: with {installed} the floor is dry {now}; more would gain less than 5 % or a day, fewer would lose more. {warmth}"
        ),
        Verdict::MoreThanNeeded if f.fits == 0.0 => format!(
            "More than needed: with {installed} the floor is dry {now}, and without any {then}. What drying there is does not come from the dehumidifier. {warmth}"
        ),
        Verdict::MoreThanNeeded => {
            format!("More than needed: {fits} would do ({then}, with {installed} {now}). {warmth}")
        }
        _ => format!(
            "Not the limit: no number from 0 to {} gets this floor dry in the time simulated. {}",
            whole(f.tried.last().map_or(f.installed, |t| t.0)),
            s.outcome
                .not_dry
                .as_ref()
                .map_or_else(String::new, NotDryReason::sentence)
        )
        .trim_end()
        .to_owned(),
    }
}

fn rating(d: &Dehumidifier) -> String {
    let (at, kind) = match d.machine {
        Machine::Desiccant(_) => ("20 degC (68 degF) and 60 %", "desiccant"),
        _ => ("26.7 degC (80 degF) and 60 %", "dehumidifier"),
    };
    let share = |x: f64| percent(x / d.rated.max(1e-12));
    let mut text = format!(
        "{} rated {} each at {at}. ",
        counted(whole(d.count), kind),
        rate(d.rated)
    );
    let Some(on_site) = d.on_site else {
        return text + "Not on site before the floor is dry.";
    };
    let _ = write!(
        text,
        "At this room's mean state, {}, one gives {} ({} of the rating), a grain depression of {} gr/lb ({} g/kg); at {}, where many drying jobs end up, it gives only {} ({}).",
        state(on_site.mean_state),
        rate(on_site.gives),
        share(on_site.gives),
        whole(on_site.depression * GRAINS_PER_POUND),
        fixed(on_site.depression * 1000.0, 1),
        state(TYPICAL_END),
        rate(d.at_typical_end),
        share(d.at_typical_end),
    );
    let published = on_site
        .by_published_map
        .zip(d.at_typical_end_by_published_map);
    if let Some((mean, typical)) = published {
        let _ = write!(
            text,
            " That is computed from the rating, as no measurements of low-grain machines are published; an ordinary machine of this rating would give {} at the room's mean state and {} at the other.",
            rate(mean),
            rate(typical)
        );
    }
    text
}

fn peak(s: &Sized) -> Option<String> {
    let week = s.peak_week()?;
    let w = s.weeks.get(week)?;
    let sources: Vec<String> = [
        ("slab", w.slab),
        ("outside air", w.outside_air),
        ("burners", w.combustion),
        ("other materials and people", w.other),
        ("settling on the envelope", w.envelope),
    ]
    .iter()
    // Named only where there are any.
    .filter(|(name, rate)| !name.starts_with("other") || *rate > 0.0)
    .map(|(name, rate)| format!("{name} {}", whole(rate * DAY)))
    .collect();
    let sources = sources.join(", ");
    if s.dehumidifiers.is_empty() {
        return Some(format!(
            "The slab gives most in week {}; water into the air then, L/day: {sources}.",
            week + 1
        ));
    }
    let mut text = format!(
        "Peak in week {}: a load of {} ({sources} L/day)",
        week + 1,
        rate(w.load()),
    );
    if let Some(duty) = w.duty() {
        let _ = write!(
            text,
            "; at the room's state then the dehumidifiers could take {}, so they run {} of full",
            rate(w.capacity),
            percent(duty)
        );
    }
    text.push('.');
    if w.outside_air > 0.5 * w.load() && w.outside_air * DAY > 1.0 {
        let _ = write!(
            text,
            " {} of that load comes in with outside air: closing up saves more than another machine.",
            percent((w.outside_air / w.load()).min(1.0))
        );
    }
    Some(text)
}

fn hours(s: &Sized) -> Vec<String> {
    let w = &s.whole;
    let mut out = Vec::new();
    if !s.dehumidifiers.is_empty() && s.outcome.hours.frozen >= FEW_HOURS {
        out.push(format!(
            "Frosted, or too cold to run in full, for {} of {} h: heat the room first, or use a desiccant.",
            whole(s.outcome.hours.frozen),
            whole(w.present_hours)
        ));
    }
    if w.starved_hours >= FEW_HOURS {
        out.push(format!(
            "Starved for {} of {} h: the air is too dry or cold for the machine to take 5 % of its rating.",
            whole(w.starved_hours),
            whole(w.present_hours)
        ));
    }
    if w.short_cycling_hours >= FEW_HOURS {
        out.push(format!(
            "Short-cycling for {} of {} h: less than a third of full run is asked for (rule of thumb, common practice, no published source).",
            whole(w.short_cycling_hours),
            whole(w.present_hours)
        ));
    }
    if w.outside_range_hours >= FEW_HOURS {
        let of_machines = s.dehumidifiers.iter();
        let ranges: BTreeSet<&str> = of_machines
            .filter_map(|d| d.machine.published_range())
            .collect();
        let ranges: Vec<&str> = ranges.into_iter().collect();
        out.push(format!(
            "Outside the published range of a machine's data for {} h{}. Range: {}.",
            whole(w.outside_range_hours),
            outside_range(s),
            ranges.join("; ")
        ));
    }
    out
}

/// What the dehumidifiers give outside of the published range: of refrigerant ones the range at the mean state of the room.
fn outside_range(s: &Sized) -> String {
    let ranges: Vec<String> = s
        .dehumidifiers
        .iter()
        .filter_map(|d| match d.on_site?.range {
            Some((low, high)) if low < high => Some(format!(
                "; one rated {} gives {} to {} at the room's mean state in eight cases of ten",
                rate(d.rated),
                rate(low),
                rate(high)
            )),
            Some(_) => None,
            None => Some("; a low output is assumed there".into()),
        })
        .collect();
    ranges.concat()
}

/// The rules of thumb, each with its source and why it differs.
#[must_use]
pub fn rules(s: &Sized) -> Vec<String> {
    let mut out = Vec::new();
    if let Some(r) = &s.volume_rule {
        let refrigerant = if r.installed_removal > 0.0 {
            format!(
                "asks for refrigerant machines rated {} in all (installed: {})",
                rate(r.removal),
                rate(r.installed_removal)
            )
        } else {
            format!(
                "asks for {} of desiccant process air (installed: {})",
                air_flow(r.process_air),
                air_flow(r.installed_process_air)
            )
        };
        out.push(format!(
            "Rule of thumb, restoration's volume factor (ANSI/IICRC S500, simple calculation, class 4; factors from memory: ft3 over {VOLUME_FACTOR} in pints a day for low-grain machines, {DESICCANT_AIR_CHANGES} air changes an hour for desiccants{}): {refrigerant}. It differs because it looks at the room's volume and at ratings at 80 degF and 60 %, for buildings soaked for days; a slab gives water as its depth lets it, whatever the volume, and the room is cooler and drier than the rating.",
            if r.ordinary {
                "; it has no factor for ordinary machines in this class, so that of low-grain ones is shown"
            } else {
                ""
            }
        ));
    }
    if let Some(r) = &s.ventilation_rule {
        out.push(format!(
            "Rule of thumb, ventilation for carbon dioxide of burners without a flue ({} ppm, OSHA limit for a day's work, {} ppm outside, complete combustion, well mixed): {} kW of gross input at full fire asks for {} of outside air; leakage, exchanges and make-up air bring at most {}. It differs because it is for people and not for drying: even at that flow the burners' own water holds the room {} g/kg ({} gr/lb) above the outside air.",
            whole(CARBON_DIOXIDE.0 * 1e6),
            whole(CARBON_DIOXIDE.1 * 1e6),
            whole(r.input / 1e3),
            air_flow(r.flow),
            air_flow(r.available),
            fixed(1e3 * r.lift, 1),
            whole(7e3 * r.lift)
        ));
    }
    out
}

/// Where people can come to harm.
#[must_use]
pub fn cautions(s: &Sized) -> Vec<String> {
    let mut out = Vec::new();
    if let Some(r) = &s.ventilation_rule {
        if r.hours_above > 0.0 {
            out.push(format!(
                "Well-mixed carbon dioxide would pass {} ppm for {} h. Carbon monoxide can kill long before: ventilate and monitor as local codes and the heater's sheet require.",
                whole(CARBON_DIOXIDE.0 * 1e6),
                whole(r.hours_above.ceil())
            ));
        }
        if r.confined {
            out.push(
                "The room has less than 50 ft3 per 1000 Btu/h (4.8 m3 per kW) of burner input: a confined space in the US fuel gas code, as heater manuals quote it. Combustion air must be brought in as the code and the manual say.".into(),
            );
        }
    }
    out.extend(overload(&s.power));
    out
}

/// A machine that no usual circuit feeds.
pub(super) fn overload(p: &Power) -> Option<String> {
    p.overloads.then(|| {
        format!(
            "A plug-in machine draws more than the {} A that a {} A circuit carries for long. Have a licensed electrician provide its circuit.",
            whole(BREAKER.0 * BREAKER.1),
            whole(BREAKER.0)
        )
    })
}

/// Electrical load in a sentence; `None` without any.
#[must_use]
pub fn power(p: &Power) -> Option<String> {
    if p.watts <= 0.0 {
        return None;
    }
    let supplies: Vec<String> = p
        .supplies
        .iter()
        .map(|s: &SupplyLoad| {
            format!(
                "{} kW at {} V{}, {} A",
                kilowatts(s.watts),
                whole(s.volts),
                if s.phases == 3 { " three-phase" } else { "" },
                whole(s.amperes)
            )
        })
        .collect();
    let mut text = format!(
        "Power with all in full run: {} kW ({}).",
        kilowatts(p.watts),
        supplies.join("; ")
    );
    if let Some(site) = &p.site {
        let _ = write!(text, " {}", site.sentence());
    } else if p.circuits > 0.0 {
        let _ = write!(
            text,
            " The plug-in machines fill {} of {} A at {} for continuous load.",
            counted(whole(p.circuits), "circuit"),
            whole(BREAKER.0),
            percent(BREAKER.1)
        );
    }
    text += " Currents are those given, else power over voltage; motors draw more as they start; nameplates, local codes and a licensed electrician decide.";
    Some(text)
}
