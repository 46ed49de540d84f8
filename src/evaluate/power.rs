//! The electrical load of a setup, and whether the site can feed it.
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | I | current per phase of a machine in full run | A |
//! | B | rating of a breaker | A |
//!
//! # Equations
//! ```text
//! a circuit carries machines while  sum of I <= 0.80 B        voltage within 10 %, the same number of phases
//! a generator carries machines while  sum of W <= 0.80 of its rating        any voltage
//! ```
//! A machine hangs on one circuit. Machines are placed by falling current, each on the first circuit with room for it (first-fit
//! decreasing), circuits before the generator. This finds a way nearly always; where the sum of the currents leaves little room another
//! arrangement may exist that it does not find.
//!
//! # Valid range
//! Full run of all machines that are on site together. Starting currents of motors, lengths of cords and voltage drop are left out.
//!
//! # Sources
//! 1. Continuous load, of three hours or more, at most 80 % of the breaker: U.S. National Electrical Code 210.20(A) and 215.3 (from
//!    memory).
//! 2. Machines of 115 V on circuits of 120 V and of 230 V on 240 V: nominal and nameplate voltages (ANSI C84.1, from memory).
//! 3. 80 % of a generator's rating for long runs: common practice, no published source.
//!
//! # Proof of accuracy
//! `analytic_power_*` in `tests/it/power.rs`.

use crate::gear::{Machine, SitePower};
use crate::room::{Installed, Room};
use crate::units::format::{Shown, counted, kilowatts, percent, whole};
use crate::units::{Kind, System};
use std::fmt::Write as _;

/// Breaker of a common circuit \[A\] and the share of a breaker for continuous load (source 1).
pub const BREAKER: (f64, f64) = (20.0, 0.80);
/// Share of a generator's rating for long runs (source 3).
pub const GENERATOR_SHARE: f64 = 0.80;
/// Voltages of machine and circuit that go together differ by at most this share (source 2).
const SAME_VOLTAGE: f64 = 0.10;
/// Highest voltage of a common plug-in circuit \[V\].
const HOUSEHOLD: f64 = 130.0;
/// A load that fills a circuit exactly must not fail through rounding.
const ROUNDING: f64 = 1e-9;

/// Machines of one supply together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SupplyLoad {
    /// Voltage \[V\].
    pub volts: f64,
    /// Phases.
    pub phases: u8,
    /// Power \[W\].
    pub watts: f64,
    /// Current per phase if evenly shared \[A\].
    pub amperes: f64,
}

/// The electrical load of the machines that are on site together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Power {
    /// All in full run \[W\].
    pub watts: f64,
    /// The same by supply.
    pub supplies: Vec<SupplyLoad>,
    /// Common circuits that the plug-in machines fill at the continuous share of the breaker.
    pub circuits: f64,
    /// Whether some plug-in machine alone is more than such a circuit carries.
    pub overloads: bool,
    /// Whether the site can feed it; `None` where the scenario does not say what the site has.
    pub site: Option<SiteCheck>,
}

/// Machines set against what the site has.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SiteCheck {
    /// Circuits with what hangs on them, in the order of the scenario; those that stay free too.
    pub circuits: Vec<CircuitLoad>,
    /// The generator's load and what it carries for long \[W\].
    pub generator: Option<(f64, f64)>,
    /// Machines without a place.
    pub left_out: Vec<LeftOut>,
}

/// One circuit with its load.
#[derive(Clone, Debug, PartialEq)]
pub struct CircuitLoad {
    /// Voltage \[V\].
    pub volts: f64,
    /// Phases.
    pub phases: u8,
    /// Breaker \[A\].
    pub breaker: f64,
    /// Current of the machines on it \[A\].
    pub amperes: f64,
    /// Machines on it: index into the room's machines, and how many.
    pub machines: Vec<(usize, f64)>,
}

impl CircuitLoad {
    /// Current that it carries for long \[A\].
    #[must_use]
    pub fn carries(&self) -> f64 {
        BREAKER.1 * self.breaker
    }
}

/// Machines for which there is no place.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftOut {
    /// What they are.
    pub kind: &'static str,
    /// How many of them.
    pub count: f64,
    /// Voltage, phases and current of one \[V, 1, A\].
    pub supply: (f64, u8, f64),
    /// Whether the site has any circuit of that voltage and number of phases.
    pub has_such_circuits: bool,
}

impl SiteCheck {
    /// Whether every machine has a place.
    #[must_use]
    pub fn fits(&self) -> bool {
        self.left_out.is_empty()
    }

    /// In words.
    #[must_use]
    pub fn sentence(&self) -> String {
        if self.fits() {
            let used = self.circuits.iter().filter(|c| c.amperes > 0.0).count();
            let mut text = "Fits the site's power".to_owned();
            if !self.circuits.is_empty() {
                let _ = write!(
                    text,
                    ": {used} of its {} in use, each at {} of its breaker at most",
                    counted(self.circuits.len(), "circuit"),
                    percent(BREAKER.1)
                );
            }
            if let Some((load, carries)) = self.generator {
                let _ = write!(
                    text,
                    "; {} of the {} that the generator can carry for hours",
                    kilowatts(load),
                    kilowatts(carries)
                );
            }
            return text + ".";
        }
        let mut parts = Vec::new();
        for l in &self.left_out {
            let (volts, phases, amperes) = l.supply;
            parts.push(format!(
                "{} of {}{}, {} ({})",
                counted(whole(l.count), l.kind),
                Shown::of(Kind::Voltage, System::Us).text(volts, 0),
                if phases == 3 { " three-phase" } else { "" },
                Shown::of(Kind::Current, System::Us).text(amperes, 1),
                if l.has_such_circuits {
                    "no such circuit has room"
                } else {
                    "the site has no such circuit"
                }
            ));
        }
        format!(
            "DOES NOT FIT the site's power: no place for {}. A breaker carries {} of its rating for hours. Use fewer or smaller machines, or have a licensed electrician bring more power.",
            parts.join(", "),
            percent(BREAKER.1)
        )
    }
}

/// What a machine is, in a word or two.
fn kind(machine: &Machine) -> &'static str {
    match machine {
        Machine::Refrigerant(_) => "dehumidifier",
        Machine::Desiccant(_) => "desiccant",
        Machine::Electric(_) => "electric heater",
        Machine::IndirectFired(_) => "indirect-fired heater",
        Machine::DirectFired(_) => "direct-fired heater",
        Machine::MakeUpAir(_) => "make-up-air heater",
        Machine::Fan(_) => "fan",
        Machine::OutsideAirExchange(_) => "outside-air fan",
        Machine::AssumedAir(_) => "assumption",
    }
}

fn present(room: &Room, time: f64) -> impl Iterator<Item = (usize, &Installed)> {
    room.machines
        .iter()
        .enumerate()
        .filter(move |(_, m)| m.present.0 <= time && time < m.present.1)
}

/// The load of the machines that are on site together, at the time when it is largest; against the site, at the first time at which it
/// does not fit, if there is one.
#[must_use]
pub fn power(room: &Room, site: Option<&SitePower>) -> Power {
    let watts_at = |time: f64| -> f64 {
        present(room, time)
            .map(|(_, m)| m.machine.rated_power() * m.count)
            .sum()
    };
    let starts = || room.machines.iter().map(|m| m.present.0);
    let worst = starts().max_by(|a, b| watts_at(*a).total_cmp(&watts_at(*b)));
    let Some(time) = worst else {
        return Power {
            site: site.map(|site| check(room, site, 0.0)),
            ..Power::default()
        };
    };
    let site = site.map(|site| {
        let at_worst = check(room, site, time);
        starts()
            .map(|time| check(room, site, time))
            .find(|check| !check.fits())
            .unwrap_or(at_worst)
    });
    let mut power = Power {
        watts: watts_at(time),
        site,
        ..Power::default()
    };
    let mut plugs: Vec<(f64, f64)> = Vec::new();
    for (_, m) in present(room, time) {
        let supply = m.machine.supply();
        if supply.volts <= 0.0 {
            continue;
        }
        let (watts, amperes) = (m.machine.rated_power() * m.count, supply.amperes * m.count);
        let alike = |s: &&mut SupplyLoad| s.volts == supply.volts && s.phases == supply.phases;
        match power.supplies.iter_mut().find(alike) {
            Some(s) => {
                s.watts += watts;
                s.amperes += amperes;
            }
            None => power.supplies.push(SupplyLoad {
                volts: supply.volts,
                phases: supply.phases,
                watts,
                amperes,
            }),
        }
        if supply.phases == 1 && supply.volts < HOUSEHOLD {
            plugs.push((supply.amperes, m.count));
        }
    }
    (power.circuits, power.overloads) = common_circuits(plugs);
    power
}

/// Circuits with the common breaker that plug-in machines (current and count) fill, and whether one machine is too much for one.
fn common_circuits(mut plugs: Vec<(f64, f64)>) -> (f64, bool) {
    let carries = BREAKER.0 * BREAKER.1;
    plugs.sort_by(|a, b| b.0.total_cmp(&a.0));
    let (mut circuits, mut overloads, mut left) = (0.0, false, 0.0);
    for (amperes, count) in plugs {
        if amperes > carries {
            overloads = true;
            circuits += count;
            continue;
        }
        if amperes <= 0.0 {
            continue;
        }
        let into_open = ((left + ROUNDING) / amperes).floor().min(count);
        left -= into_open * amperes;
        let rest = count - into_open;
        if rest > 0.0 {
            let per_circuit = ((carries + ROUNDING) / amperes).floor();
            let more = (rest / per_circuit).ceil();
            circuits += more;
            left = carries - (rest - (more - 1.0) * per_circuit) * amperes;
        }
    }
    (circuits, overloads)
}

/// Places the machines present at a time: first-fit decreasing.
fn check(room: &Room, site: &SitePower, time: f64) -> SiteCheck {
    let mut result = SiteCheck {
        circuits: site
            .circuits
            .iter()
            .flat_map(|c| {
                (0..c.count).map(|_| CircuitLoad {
                    volts: c.volts,
                    phases: c.phases,
                    breaker: c.breaker,
                    amperes: 0.0,
                    machines: Vec::new(),
                })
            })
            .collect(),
        generator: site.generator.map(|g| (0.0, GENERATOR_SHARE * g.watts)),
        left_out: Vec::new(),
    };
    let mut machines: Vec<(usize, &Installed)> = present(room, time)
        .filter(|(_, m)| m.machine.volts() > 0.0 && m.machine.amperes() > 0.0)
        .collect();
    machines.sort_by(|a, b| b.1.machine.amperes().total_cmp(&a.1.machine.amperes()));
    for (index, m) in machines {
        let supply = m.machine.supply();
        let watts = m.machine.rated_power();
        let mut left = m.count;
        let mut has_such_circuits = false;
        for circuit in &mut result.circuits {
            let suits = circuit.phases == supply.phases
                && (circuit.volts - supply.volts).abs() <= SAME_VOLTAGE * supply.volts;
            has_such_circuits |= suits;
            if !suits || left < 1.0 {
                continue;
            }
            let free = circuit.carries() - circuit.amperes;
            let placed = (free / supply.amperes + ROUNDING).floor().clamp(0.0, left);
            if placed > 0.0 {
                circuit.amperes += placed * supply.amperes;
                circuit.machines.push((index, placed));
                left -= placed;
            }
        }
        if let Some((load, carries)) = &mut result.generator
            && watts > 0.0
        {
            let placed = ((*carries - *load) / watts + ROUNDING)
                .floor()
                .clamp(0.0, left);
            *load += placed * watts;
            left -= placed;
            has_such_circuits = true;
        }
        if left > 0.0 {
            result.left_out.push(LeftOut {
                kind: kind(&m.machine),
                count: left,
                supply: (supply.volts, supply.phases, supply.amperes),
                has_such_circuits,
            });
        }
    }
    result
}
