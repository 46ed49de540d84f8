//! The check of dehumidifiers in words, one thing in each sentence.

use crate::evaluate::NotDryReason;
use crate::evaluate::power::{BREAKER, Power, SupplyLoad};
use crate::evaluate::size::{
    CARBON_DIOXIDE, DESICCANT_AIR_CHANGES, Dehumidifier, Sized, TYPICAL_END, VOLUME_FACTOR, Verdict,
};
use crate::gear::Machine;
use crate::results::verdict::in_range;
use crate::units::DAY;
use crate::units::format::{
    self, Shown, burner, counted, hours as told_hours, kilowatts, percent, rounded, temperature,
    water_rate, water_rates, whole,
};
use crate::units::{FT3, Kind, System, celsius};
use std::collections::BTreeSet;
use std::fmt::Write as _;

/// Hours below this are not worth a sentence.
const FEW_HOURS: f64 = 12.0;

fn state((t, r): (f64, f64), system: System) -> String {
    format!("{} and {}", temperature(t, system), percent(r))
}

fn air_flow(flow: f64, system: System) -> String {
    let shown = Shown::of(Kind::AirFlow, system);
    format!(
        "{}{}{}",
        rounded(shown.number(flow)),
        format::HOLD,
        shown.unit()
    )
}

/// A difference of humidity ratios.
fn depression(ratio: f64, system: System) -> String {
    let decimals = usize::from(system == System::Si);
    Shown::of(Kind::HumidityRatio, system).text(ratio, decimals)
}

/// What the check says of one setup, in sentences, one thing each.
#[must_use]
pub fn sentences(s: &Sized, system: System) -> Vec<String> {
    let mut out = vec![verdict(s)];
    out.extend(s.dehumidifiers.iter().map(|d| rating(d, system)));
    if let Some(text) = peak(s, system) {
        out.push(text);
    }
    out.extend(hours(s, system));
    out
}

fn days(days: Option<f64>) -> String {
    days.map_or_else(
        || "not within the time simulated".to_owned(),
        |d| format!("after {}", format::days(d)),
    )
}

fn verdict(s: &Sized) -> String {
    if let Some(fault) = &s.search_fault {
        return format!("Whether more or fewer would be better could not be computed: {fault}.");
    }
    let Some(f) = &s.search else {
        return "There is no dehumidifier to check. The load is shown without one.".into();
    };
    let tried = |count: f64| {
        f.tried
            .iter()
            .find(|(c, _)| *c == count)
            .and_then(|(_, days)| *days)
    };
    let (installed, fits) = (whole(f.installed), whole(f.fits));
    let (now, then) = (days(s.outcome.days_to_target), days(tried(f.fits)));
    let warmth = "By single runs, with the warmth that the machines give off.";
    let small = percent(0.05);
    match s.verdict {
        Verdict::TooSmall => format!(
            "Too small: with {installed} the floor is dry {now}, with {fits} {then}. {} {warmth}",
            if f.at_least {
                "Even more would be sooner: look for another kind of machine, or for more heat."
                    .to_owned()
            } else {
                format!("Even more would gain less than {small} or a day.")
            }
        ),
        Verdict::Fits => format!(
            "Fits: with {installed} the floor is dry {now}. More would gain less than {small} or a day, fewer would lose more. {warmth}"
        ),
        Verdict::MoreThanNeeded if f.fits == 0.0 => format!(
            "More than needed: with {installed} the floor is dry {now}, and without any {then}. The dehumidifier does not dry this floor. {warmth}"
        ),
        Verdict::MoreThanNeeded => {
            format!("More than needed: {fits} would do ({then}, with {installed} {now}). {warmth}")
        }
        _ => format!(
            "Not the limit: no number up to {} gets this floor dry in the time simulated. {}",
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

fn rating(d: &Dehumidifier, system: System) -> String {
    let (at, kind) = match d.machine {
        Machine::Desiccant(_) => ((20.0, 0.6), "desiccant"),
        _ => ((celsius(80.0), 0.6), "dehumidifier"),
    };
    let share = |x: f64| percent(x / d.rated.max(1e-12));
    let rate = |x: f64| water_rate(x, system);
    let mut text = format!(
        "{} rated {}{} at {}.",
        counted(whole(d.count), kind),
        rate(d.rated),
        if d.count > 1.0 { " each" } else { "" },
        state(at, system)
    );
    let Some(on_site) = d.on_site else {
        return text + " Not on site before the floor is dry.";
    };
    let _ = write!(
        text,
        " In this room's mean air, {}, one takes {} ({} of the rating) and dries the air by {}. At {}, where many drying jobs end, it takes only {} ({}).",
        state(on_site.mean_state, system),
        rate(on_site.gives),
        share(on_site.gives),
        depression(on_site.depression, system),
        state(TYPICAL_END, system),
        rate(d.at_typical_end),
        share(d.at_typical_end),
    );
    let published = on_site
        .by_published_map
        .zip(d.at_typical_end_by_published_map);
    if let Some((mean, typical)) = published {
        let _ = write!(
            text,
            " No measurements of low-grain machines are published, so this is computed from the rating. An ordinary machine of this rating would take {} in the room and {} at the other.",
            rate(mean),
            rate(typical)
        );
    }
    text
}

fn peak(s: &Sized, system: System) -> Option<String> {
    let week = s.peak_week()?;
    let w = s.weeks.get(week)?;
    let rate = |x: f64| water_rate(x, system);
    let sources: Vec<String> = [
        ("slab", w.slab),
        ("outside air", w.outside_air),
        ("burners", w.combustion),
        ("other materials and people", w.other),
        ("condensing on walls and roof", w.envelope),
    ]
    .iter()
    .map(|(name, amount)| (name, rate(*amount)))
    // Named only where there is any.
    .filter(|(_, rate)| !rate.trim_start_matches('-').starts_with("0\u{a0}"))
    .map(|(name, rate)| format!("{name} {rate}"))
    .collect();
    let sources = sources.join(", ");
    if s.dehumidifiers.is_empty() {
        return Some(format!(
            "The slab gives most in week {}. Water into the air then: {sources}.",
            week + 1
        ));
    }
    let mut text = format!(
        "Peak in week {}: a load of {} ({sources}).",
        week + 1,
        rate(w.load()),
    );
    if let Some(duty) = w.duty() {
        let _ = write!(
            text,
            " The dehumidifiers could take {} in that air, so they run {} of full.",
            rate(w.capacity),
            percent(duty)
        );
    }
    if w.outside_air > 0.5 * w.load() && w.outside_air * DAY > 1.0 {
        let _ = write!(
            text,
            " {} of that load comes in with outside air: closing up saves more than another machine.",
            percent((w.outside_air / w.load()).min(1.0))
        );
    }
    Some(text)
}

fn hours(s: &Sized, system: System) -> Vec<String> {
    let w = &s.whole;
    let of_all = |some: f64| format!("{} of {}", whole(some), told_hours(w.present_hours));
    let mut out = Vec::new();
    if !s.dehumidifiers.is_empty() && s.outcome.hours.frozen >= FEW_HOURS {
        out.push(format!(
            "Frosted, or too cold to run in full, for {}. Give it warmer air, or use a desiccant.",
            of_all(s.outcome.hours.frozen)
        ));
    }
    if w.starved_hours >= FEW_HOURS {
        out.push(format!(
            "Starved for {}: the air is too dry or cold for the machine to take {} of its rating.",
            of_all(w.starved_hours),
            percent(0.05)
        ));
    }
    if w.short_cycling_hours >= FEW_HOURS {
        out.push(format!(
            "Short-cycling for {}: the room asks for less than a third of full run (rule of thumb, common practice, no published source).",
            of_all(w.short_cycling_hours)
        ));
    }
    if w.outside_range_hours >= FEW_HOURS {
        let of_machines = s.dehumidifiers.iter();
        let ranges: BTreeSet<String> = of_machines
            .filter_map(|d| d.machine.published_range(system))
            .collect();
        let ranges: Vec<String> = ranges.into_iter().collect();
        out.push(format!(
            "Outside the published range of a machine's data for {}. {}Published range: {}.",
            told_hours(w.outside_range_hours),
            outside_range(s, system),
            ranges.join("; ")
        ));
    }
    out
}

/// What the dehumidifiers take outside of the published range: of refrigerant ones the range in the mean air of the room.
fn outside_range(s: &Sized, system: System) -> String {
    let ranges: Vec<String> = s
        .dehumidifiers
        .iter()
        .filter_map(|d| match d.on_site?.range {
            Some((low, high)) if low < high => Some(format!(
                "One rated {} takes {} in the room's mean air ({}). ",
                water_rate(d.rated, system),
                water_rates(low, high, system),
                in_range()
            )),
            Some(_) => None,
            None => Some("A low output is assumed there. ".into()),
        })
        .collect();
    ranges.concat()
}

/// The rules of thumb, each with its source and why it differs.
#[must_use]
pub fn rules(s: &Sized, system: System) -> Vec<String> {
    let rate = |x: f64| water_rate(x, system);
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
                air_flow(r.process_air, system),
                air_flow(r.installed_process_air, system)
            )
        };
        out.push(format!(
            "Rule of thumb, restoration's volume factor: it {refrigerant}. It differs because it goes by the room's volume and by ratings at {}, for buildings soaked for days. A slab gives water as its core lets it, whatever the volume, in cooler and drier air. (ANSI/IICRC S500, simple calculation, class 4; from memory: room volume in cubic feet over {VOLUME_FACTOR} for low-grain machines, {DESICCANT_AIR_CHANGES} air changes an hour for desiccants{}.)",
            temperature(celsius(80.0), system),
            if r.ordinary {
                "; it has no factor for ordinary machines in this class, so that of low-grain ones is shown"
            } else {
                ""
            }
        ));
    }
    if let Some(r) = &s.ventilation_rule {
        out.push(format!(
            "Rule of thumb, ventilation for burners without a flue: {} of gross input at full fire asks for {} of outside air. Leakage, exchanges and make-up air bring {} at most. It differs because it is for people, not for drying: even at that flow the burners' own water holds the room {} above the outside air. ({} ppm of carbon dioxide, OSHA limit for a day's work; {} ppm outside, complete combustion, well mixed.)",
            burner(r.input, system),
            air_flow(r.flow, system),
            air_flow(r.available, system),
            depression(r.lift, system),
            whole(CARBON_DIOXIDE.0 * 1e6),
            whole(CARBON_DIOXIDE.1 * 1e6),
        ));
    }
    out
}

/// Where people can come to harm.
#[must_use]
pub fn cautions(s: &Sized, system: System) -> Vec<String> {
    let mut out = Vec::new();
    if let Some(r) = &s.ventilation_rule {
        if r.hours_above > 0.0 {
            out.push(format!(
                "Carbon dioxide would pass {} ppm for {}. Carbon monoxide can kill long before. Ventilate and monitor as local codes and the heater's sheet say.",
                whole(CARBON_DIOXIDE.0 * 1e6),
                told_hours(r.hours_above.ceil())
            ));
        }
        if r.confined {
            let size = if system == System::Si {
                format!("{} per kW", Shown::of(Kind::Volume, system).text(4.8, 1))
            } else {
                format!(
                    "{} per kBtu/h",
                    Shown::of(Kind::Volume, system).text(50.0 * FT3, 0)
                )
            };
            out.push(format!(
                "The room has less than {size} of burner input. The US fuel gas code calls that a confined space, as heater manuals quote it. Bring in combustion air as the code and the manual say."
            ));
        }
    }
    out.extend(overload(&s.power));
    out
}

fn amperes(current: f64) -> String {
    Shown::of(Kind::Current, System::Us).text(current, 0)
}

/// A machine that no usual circuit feeds.
pub(super) fn overload(p: &Power) -> Option<String> {
    p.overloads.then(|| {
        format!(
            "A plug-in machine draws more than the {} that a {} circuit carries for hours. Have a licensed electrician provide its circuit.",
            amperes(BREAKER.0 * BREAKER.1),
            amperes(BREAKER.0)
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
                "{} at {}{}, {}",
                kilowatts(s.watts),
                Shown::of(Kind::Voltage, System::Us).text(s.volts, 0),
                if s.phases == 3 { " three-phase" } else { "" },
                amperes(s.amperes)
            )
        })
        .collect();
    let mut text = format!(
        "Power with all in full run: {} ({}).",
        kilowatts(p.watts),
        supplies.join("; ")
    );
    if let Some(site) = &p.site {
        let _ = write!(text, " {}", site.sentence());
    } else if p.circuits > 0.0 {
        let _ = write!(
            text,
            " The plug-in machines fill {} of {} at {} for continuous load.",
            counted(whole(p.circuits), "circuit"),
            amperes(BREAKER.0),
            percent(BREAKER.1)
        );
    }
    text += " Motors draw more as they start: nameplates, local codes and a licensed electrician decide.";
    Some(text)
}
