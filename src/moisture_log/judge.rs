//! Which readings count as tests by their standard, and why the others do not.
//!
//! Sources
//! 1. ASTM F2170: probe at 40 % of the depth (20 % drying from two sides), 24 h in the hole before reading (72 h before the 2018
//!    revision), slab and room at service conditions for 48 h.
//! 2. ASTM F1869: dish exposed for 60 to 72 h; slab and room at service conditions for 48 h, otherwise at 65 to 85 degF and 40 to
//!    60 %; concrete ground over 20 x 20 in.; not for lightweight concrete.
//! 3. ASTM D4263: plastic sheet for at least 16 h; shows presence only.
//! 4. Hood: British practice, at least 72 h until the reading stands still (from memory).
//!
//! A reading that does not count as a test may still tell something about the slab: a shortfall says whether it spoils the value.
//!
//! Test: `regress_each_rule_of_the_standards` in `tests/it/moisture_log.rs`.

use super::method::{ConcreteKind, Method, Reading};
use super::parts::{hours, length};
use crate::job::seconds_between;
use crate::scenario::Scenario;
use crate::scenario::model::{Aggregate, Target, Wetting};
use crate::units::Kind;
use crate::units::format::{Said, Shown, fine_temperature, moment, percent, short_date, whole};
use crate::units::{DAY, HOUR, INCH, celsius};
use jiff::civil::{Date, DateTime, date};
use std::collections::BTreeMap;

/// The standards' numbers.
struct Standards {
    /// Time in the hole since the 2018 revision of F2170, and before it \[s\].
    in_hole: (f64, f64),
    /// First day of that revision's year.
    revised: Date,
    /// Exposure of a dish \[s\].
    dish: (f64, f64),
    /// Least exposure of a plastic sheet \[s\].
    sheet: f64,
    /// Least time of a hood \[s\].
    hood: f64,
    /// Service conditions before the test \[s\].
    conditioned: f64,
    /// Air for a dish where there are no service conditions \[degC\], 0 to 1: 65 to 85 degF, 40 to 60 %.
    air: ((f64, f64), (f64, f64)),
    /// Side of the ground square \[m\].
    ground_side: f64,
    /// Depth of a probe off the standard's, as a share of it and at least \[m\] (common practice, no published source).
    depth: (f64, f64),
    /// Lengths and times may be off by this share: rounding when written down.
    rounding: f64,
}

const STANDARDS: Standards = Standards {
    in_hole: (24.0 * HOUR, 72.0 * HOUR),
    revised: date(2018, 1, 1),
    dish: (60.0 * HOUR, 72.0 * HOUR),
    sheet: 16.0 * HOUR,
    hood: 72.0 * HOUR,
    conditioned: 48.0 * HOUR,
    air: ((celsius(65.0), celsius(85.0)), (0.40, 0.60)),
    ground_side: 20.0 * INCH,
    depth: (0.10, 0.003),
    rounding: 0.005,
};

/// One reason why a reading does not count.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shortfall {
    /// A complete sentence.
    pub why: Said,
    /// Whether the value itself cannot be trusted, so that it says nothing about the slab either.
    pub spoils_value: bool,
}

/// Whether a reading counts as a test.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Status {
    /// It does.
    Counts,
    /// It does not, for these reasons; never empty.
    DoesNotCount(Vec<Shortfall>),
}

/// A reading held against its standard.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// The reading.
    pub reading: Reading,
    /// Whether it counts.
    pub status: Status,
    /// What the standard asks and the log does not say; for people to make sure of.
    pub not_stated: Vec<&'static str>,
    /// The scenario's strictest limit for this method, SI.
    pub limit: Option<f64>,
}

impl Judged {
    /// Whether it counts as a test.
    #[must_use]
    pub fn counts(&self) -> bool {
        self.status == Status::Counts
    }

    /// Whether the value tells something about the slab, counted as a test or not.
    #[must_use]
    pub fn informs(&self) -> bool {
        self.reading.spread.is_some()
            && match &self.status {
                Status::Counts => true,
                Status::DoesNotCount(shortfalls) => shortfalls.iter().all(|s| !s.spoils_value),
            }
    }

    /// Whether the value is within the limit; a plastic sheet meets its test when it stays dry. None without a limit.
    #[must_use]
    pub fn meets(&self) -> Option<bool> {
        match self.reading.method {
            Method::PlasticSheet => Some(self.reading.value == 0.0),
            _ => self.limit.map(|limit| self.reading.value <= limit),
        }
    }
}

/// The scenario's strictest limit for a method, SI.
#[must_use]
pub(super) fn limit_for(method: Method, targets: &[Target]) -> Option<f64> {
    targets
        .iter()
        .filter_map(|target| match (method, target) {
            (Method::Probe, Target::RelativeHumidityAtDepth(t)) => Some(t.limit.si()),
            (Method::Hood, Target::EquilibriumRelativeHumidity(t)) => Some(t.limit.si()),
            (Method::Dish, Target::EmissionRate(t)) => Some(t.limit.si()),
            (Method::MassPercent, Target::MassPercent(t)) => Some(t.limit.si()),
            _ => None,
        })
        .min_by(f64::total_cmp)
}

/// Time for which a target wants a plastic sheet to lie \[s\]; none if no target wants one.
pub(super) fn sheet_target(targets: &[Target]) -> Option<f64> {
    targets
        .iter()
        .filter_map(|target| match target {
            Target::PlasticSheet(t) => Some(t.lasts.map_or(STANDARDS.sheet, |time| time.si())),
            _ => None,
        })
        .max_by(f64::total_cmp)
}

/// Holds every reading against its standard, as of `now`.
#[must_use]
pub fn judge(readings: &[Reading], scenario: &Scenario, now: DateTime) -> Vec<Judged> {
    let targets = scenario.targets();
    let mut first: BTreeMap<String, usize> = BTreeMap::new();
    readings
        .iter()
        .map(|reading| {
            let mut case = Case {
                reading,
                scenario,
                today: now.date(),
                shortfalls: Vec::new(),
                not_stated: Vec::new(),
            };
            if reading.time > now {
                let why = Said::new(|system| {
                    format!(
                        "Its time is after {}, which is still to come.",
                        moment(now, system)
                    )
                });
                case.fails(why, true);
            }
            let line = *first.entry(same(reading)).or_insert(reading.line);
            if line != reading.line {
                let why = format!("Line {line} has the same reading already.");
                case.fails(why, true);
            }
            case.judge(&targets);
            Judged {
                reading: reading.clone(),
                status: if case.shortfalls.is_empty() {
                    Status::Counts
                } else {
                    Status::DoesNotCount(case.shortfalls)
                },
                not_stated: case.not_stated,
                limit: limit_for(reading.method, &targets),
            }
        })
        .collect()
}

/// When the water of a wetting is gone from the scenario's point of view: the end of its day, or of the last day on which the floor
/// is kept wet.
pub(crate) fn end_of_wetting(wetting: &Wetting) -> DateTime {
    let days = wetting
        .lasts
        .map_or(1.0, |lasts| (lasts.si() / DAY).ceil().clamp(1.0, 1e4));
    let start = wetting.date.at(0, 0, 0, 0);
    start
        .checked_add(jiff::Span::new().days(days as i64))
        .unwrap_or(start)
}

/// What makes two lines the same reading, whatever their notes say.
fn same(reading: &Reading) -> String {
    format!(
        "{} {} {:?} {:?} {:?}",
        reading.time,
        reading.place_key(),
        reading.method,
        reading.depth,
        reading.value
    )
}

/// One reading under judgement.
struct Case<'a> {
    reading: &'a Reading,
    scenario: &'a Scenario,
    today: Date,
    shortfalls: Vec<Shortfall>,
    not_stated: Vec<&'static str>,
}

impl Case<'_> {
    fn fails(&mut self, why: impl Into<Said>, spoils_value: bool) {
        self.shortfalls.push(Shortfall {
            why: why.into(),
            spoils_value,
        });
    }

    fn judge(&mut self, targets: &[Target]) {
        match self.reading.method {
            Method::Probe => {
                self.depth(targets);
                self.in_hole();
                self.conditions();
            }
            Method::Dish => {
                self.dish_exposure();
                self.dish_concrete();
                self.ground();
                self.conditions();
            }
            Method::Hood => {
                self.at_least(
                    STANDARDS.hood,
                    "under the hood",
                    "common practice (from memory)",
                );
                self.conditions();
            }
            Method::PlasticSheet => {
                let asked = sheet_target(targets).unwrap_or(STANDARDS.sheet);
                self.at_least(asked.max(STANDARDS.sheet), "under the sheet", "ASTM D4263");
            }
            Method::MassPercent => {
                if limit_for(Method::MassPercent, targets).is_none() {
                    self.fails(
                        "No target of the scenario is in water by dry mass. It is kept for comparison.",
                        false,
                    );
                }
            }
        }
        self.wetted();
    }

    fn depth(&mut self, targets: &[Target]) {
        let thickness = self.scenario.slab.thickness.si();
        let standard = self.scenario.slab.depth_fraction();
        let Some(depth) = self.reading.depth else {
            let why = Said::new(|system| {
                format!(
                    "The depth is missing. It must be {} ({} of the thickness, ASTM F2170).",
                    length(standard * thickness, system),
                    percent(standard)
                )
            });
            return self.fails(why, true);
        };
        if depth >= thickness {
            let why = Said::new(|system| {
                format!(
                    "The depth, {}, is more than the slab of {} has.",
                    length(depth, system),
                    length(thickness, system)
                )
            });
            return self.fails(why, true);
        }
        let wanted = targets
            .iter()
            .filter_map(|target| match target {
                Target::RelativeHumidityAtDepth(t) => Some(t.depth_fraction.unwrap_or(standard)),
                _ => None,
            })
            .chain([standard])
            .map(|share| share * thickness)
            .min_by(|a, b| (a - depth).abs().total_cmp(&(b - depth).abs()))
            .unwrap_or(standard * thickness);
        let (share, least) = STANDARDS.depth;
        if (depth - wanted).abs() > (share * wanted).max(least) {
            let why = Said::new(|system| {
                format!(
                    "The depth is {}. It must be {} ({} of the thickness, ASTM F2170).",
                    length(depth, system),
                    length(wanted, system),
                    percent(wanted / thickness)
                )
            });
            // The slab at another depth is known all the same.
            self.fails(why, false);
        }
    }

    fn in_hole(&mut self) {
        let (now, before) = STANDARDS.in_hole;
        let given = self
            .scenario
            .coating
            .as_ref()
            .and_then(|c| c.probe_time_in_hole)
            .map(|time| time.si());
        let (asked, source) = match given {
            Some(time) => (time, "the scenario's \"coating\""),
            None if self.reading.time.date() < STANDARDS.revised => {
                (before, "ASTM F2170 before the 2018 revision")
            }
            None => (now, "ASTM F2170"),
        };
        self.at_least(asked, "in the hole", source);
    }

    fn at_least(&mut self, asked: f64, place: &str, source: &str) {
        match self.reading.exposure {
            None => {
                let why = format!(
                    "The time {place} is missing. It must be at least {} ({source}).",
                    hours(asked)
                );
                self.fails(why, true);
            }
            Some(time) if time < asked * (1.0 - STANDARDS.rounding) => {
                let why = format!(
                    "Only {} {place}. It must be at least {} ({source}).",
                    hours(time),
                    hours(asked)
                );
                self.fails(why, true);
            }
            Some(_) => {}
        }
    }

    fn dish_exposure(&mut self) {
        let (least, most) = STANDARDS.dish;
        let (from, to) = (whole(least / HOUR), hours(most));
        let asked = format!("It must be {from} to {to} (ASTM F1869)");
        match self.reading.exposure {
            None => self.fails(format!("The time of exposure is missing. {asked}."), true),
            Some(time)
                if time < least * (1.0 - STANDARDS.rounding)
                    || time > most * (1.0 + STANDARDS.rounding) =>
            {
                self.fails(format!("Exposed for {}. {asked}.", hours(time)), true);
            }
            Some(_) => {}
        }
    }

    fn dish_concrete(&mut self) {
        let slab = self
            .scenario
            .slab
            .aggregate
            .map(|aggregate| match aggregate {
                Aggregate::NormalWeight => ConcreteKind::NormalWeight,
                Aggregate::Lightweight => ConcreteKind::Lightweight,
            });
        match self.reading.concrete.or(slab) {
            Some(ConcreteKind::Lightweight) => self.fails(
                "The dish is not for lightweight concrete (ASTM F1869).",
                true,
            ),
            Some(ConcreteKind::NormalWeight) => {}
            None => self.not_stated.push("concrete of normal weight"),
        }
    }

    fn ground(&mut self) {
        match self.reading.ground_side {
            Some(side) if side < STANDARDS.ground_side * (1.0 - STANDARDS.rounding) => {
                let why = Said::new(|system| {
                    format!(
                        "Ground over a square of {}. Its side must be {} (ASTM F1869).",
                        length(side, system),
                        length(STANDARDS.ground_side, system)
                    )
                });
                self.fails(why, true);
            }
            Some(_) => {}
            None => self
                .not_stated
                .push("ground over a {20 x 20 in|51 x 51 cm} square"),
        }
    }

    /// Slab and room at service conditions for 48 h before the test.
    fn conditions(&mut self) {
        let asked = STANDARDS.conditioned;
        let standard = self.reading.method.standard().unwrap_or("common practice");
        // A dish is exposed at these conditions throughout; a probe is read at their end.
        let begun = match self.reading.method {
            Method::Dish => self.reading.seconds - self.reading.exposure.unwrap_or(0.0),
            _ => self.reading.seconds,
        };
        let closed = self.scenario.enclosed();
        if begun < seconds_between(self.scenario.slab.placed, closed) + asked {
            let why = Said::new(|system| {
                format!(
                    "The building was enclosed on {}, less than {} before. That is too short for service conditions ({standard}).",
                    short_date(closed, system),
                    hours(asked)
                )
            });
            return self.fails(why, false);
        }
        match self.reading.conditioned {
            Some(time) if time < asked * (1.0 - STANDARDS.rounding) => {
                let why = format!(
                    "At service conditions for only {}. It must be {} ({standard}).",
                    hours(time),
                    hours(asked)
                );
                self.fails(why, false);
            }
            Some(_) => {}
            None if self.reading.method == Method::Dish && self.air_is_outside() => {
                let (t, h) = (
                    self.reading.air_temperature,
                    self.reading.air_relative_humidity,
                );
                let why = Said::new(|system| {
                    let air = [t.map(|t| fine_temperature(t, system)), h.map(percent)];
                    let ((coldest, warmest), (driest, wettest)) = STANDARDS.air;
                    format!(
                        "The air, {}, is outside {} and {} to {}, and the log has no {} at service conditions (ASTM F1869).",
                        air.into_iter().flatten().collect::<Vec<_>>().join(", "),
                        Shown::of(Kind::Temperature, system).between(coldest, warmest, 0),
                        whole(100.0 * driest),
                        percent(wettest),
                        hours(asked)
                    )
                });
                self.fails(why, false);
            }
            None => self.not_stated.push("48 h at service conditions"),
        }
    }

    fn air_is_outside(&self) -> bool {
        let ((coldest, warmest), (driest, wettest)) = STANDARDS.air;
        let outside = |value: Option<f64>, low: f64, high: f64| {
            // Within the share of the span that rounding when written down may take: 0.06 K and 0.1 % RH.
            let rounding = STANDARDS.rounding * (high - low);
            value.is_some_and(|v| v < low - rounding || v > high + rounding)
        };
        outside(self.reading.air_temperature, coldest, warmest)
            || outside(self.reading.air_relative_humidity, driest, wettest)
    }

    /// Water that came onto the floor after the reading, or on its day, when nobody knows which came first, and water that stood on
    /// it at the time.
    fn wetted(&mut self) {
        let first = self
            .scenario
            .slab
            .wettings
            .iter()
            .flatten()
            .filter(|w| w.date <= self.today && end_of_wetting(w) > self.reading.time)
            .map(|wetting| wetting.date)
            .min();
        if let Some(date) = first {
            let still = date < self.reading.time.date();
            let why = Said::new(|system| {
                let date = short_date(date, system);
                if still {
                    format!(
                        "The floor was kept wet from {date} on, through the time of the reading."
                    )
                } else {
                    format!("The floor got wet on {date}, after the reading or on its day.")
                }
            });
            self.fails(why, false);
        }
    }
}
