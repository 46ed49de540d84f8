//! May this floor be coated now: each rule with its limit, its value and its source.
//!
//! What it computes: the distance of the slab's face above the dew point of the air, and what all rules together say.
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | `t` | temperature of the air | degC |
//! | `phi` | relative humidity of the air | 0 to 1 |
//! | `t_s` | temperature of the slab's face | degC |
//! | `t_d` | dew point of the air, `e_w(t_d) = phi e_w(t)` (frost point below 0 degC) | degC |
//!
//! Equation: `spread = t_s - t_d`, to be at least 3 K.
//!
//! Valid range: that of the saturation pressure, see the room `air`.
//!
//! Sources
//! 1. ISO 8502-4: margin of 3 K above the dew point.
//! 2. The other limits: see [`CoatingWindow`]; those of a product stand on its data sheet.
//!
//! Tests: `ref_published_dew_points`, `ref_cold_slab_in_mild_air_says_no` in `tests/it/moisture_log.rs`.
//!
//! What it says is advice. The release stays with the tests, the product's data sheet and the person responsible.

use super::cure::CureHours;
use super::rule::{About, COMMON, Figure, Rule, Says};
use super::walk;
use crate::air::{MoistAir, STANDARD_PRESSURE};
use crate::moisture_log::FloorTest;
use crate::moisture_log::{Judged, end_of_wetting};
use crate::moisture_log::{Method, Reading};
use crate::preparation::Prepared;
use crate::preparation::repairs::Hold;
use crate::scenario::Scenario;
use crate::scenario::coating_window::CoatingWindow;
use crate::scenario::model::Target;
use crate::units::format::{self, Said, short_date};
use crate::units::{DAY, HOUR};
use jiff::civil::DateTime;

/// Oldest measurement of air and slab that still says how it is now \[s\]: morning air changes within hours (common practice, no
/// published source).
const MEASURED_WITHIN: f64 = 2.0 * HOUR;

/// Where a measurement comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Given {
    /// Typed in now.
    Typed,
    /// The latest reading of the log that has it.
    Log {
        /// Its line.
        line: usize,
        /// When it was read.
        time: DateTime,
    },
}

/// Air and slab now.
#[derive(Clone, Debug, PartialEq)]
pub struct Conditions {
    /// Temperature of the air \[degC\].
    pub air_temperature: (f64, Given),
    /// Relative humidity of the air, 0 to 1.
    pub air_relative_humidity: (f64, Given),
    /// Temperature of the slab's face \[degC\].
    pub slab_temperature: (f64, Given),
}

impl Conditions {
    /// What was typed in (air temperature, air relative humidity, slab temperature), filled up from the latest readings of the log
    /// up to `now`.
    ///
    /// # Errors
    /// The names of what neither gives.
    pub fn fill(
        typed: [Option<f64>; 3],
        readings: &[Reading],
        now: DateTime,
    ) -> Result<Self, Vec<&'static str>> {
        type Pick = fn(&Reading) -> Option<f64>;
        let parts: [(&'static str, Pick); 3] = [
            ("air temperature", |r| r.air_temperature),
            ("air relative humidity", |r| r.air_relative_humidity),
            ("slab temperature", |r| r.slab_temperature),
        ];
        let found = parts.map(|(_, pick)| {
            readings
                .iter()
                .filter(|reading| reading.time <= now)
                .filter_map(|reading| pick(reading).map(|value| (value, reading)))
                .max_by_key(|(_, reading)| reading.time)
                .map(|(value, reading)| {
                    let given = Given::Log {
                        line: reading.line,
                        time: reading.time,
                    };
                    (value, given)
                })
        });
        let mut all = found
            .into_iter()
            .zip(typed)
            .map(|(logged, typed)| typed.map(|value| (value, Given::Typed)).or(logged));
        match (
            all.next().flatten(),
            all.next().flatten(),
            all.next().flatten(),
        ) {
            (Some(air_temperature), Some(air_relative_humidity), Some(slab_temperature)) => {
                Ok(Self {
                    air_temperature,
                    air_relative_humidity,
                    slab_temperature,
                })
            }
            (a, h, s) => Err(parts
                .iter()
                .zip([a.is_none(), h.is_none(), s.is_none()])
                .filter(|(_, missing)| *missing)
                .map(|((name, _), _)| *name)
                .collect()),
        }
    }

    /// Temperature at which dew, or frost, forms from the air \[degC\].
    #[must_use]
    pub fn dew_point(&self) -> f64 {
        MoistAir::from_relative_humidity(
            self.air_temperature.0,
            self.air_relative_humidity.0,
            STANDARD_PRESSURE,
        )
        .condensation_point()
    }

    fn oldest(&self) -> Option<DateTime> {
        [
            &self.air_temperature.1,
            &self.air_relative_humidity.1,
            &self.slab_temperature.1,
        ]
        .into_iter()
        .filter_map(|given| match given {
            Given::Typed => None,
            Given::Log { time, .. } => Some(*time),
        })
        .min()
    }
}

/// What the log says of the floor.
#[derive(Clone, Copy, Debug, Default)]
pub struct Tested<'a> {
    /// Its tests, method by method.
    pub tests: &'a [FloorTest],
    /// All readings, held against their standards.
    pub judged: &'a [Judged],
    /// How many of its lines could not be read.
    pub unread_lines: usize,
}

/// The check of the coating day.
#[derive(Clone, Debug, PartialEq)]
pub struct CoatingDay {
    /// What the strictest of the rules says.
    pub says: Says,
    /// What stops the floor until somebody lifts it.
    pub holds: Vec<Hold>,
    /// Dew point of the air \[degC\].
    pub dew_point: f64,
    /// Slab less dew point \[K\].
    pub spread: f64,
    /// The rules.
    pub rules: Vec<Rule>,
}

/// Holds the floor against every rule. `prepared` is the walk of the scenario, `tested` the log, `cure` the hours of cure if there is a
/// forecast.
#[must_use]
pub fn coating_day(
    scenario: &Scenario,
    prepared: Option<&Prepared>,
    now: DateTime,
    conditions: &Conditions,
    tested: Tested<'_>,
    cure: Option<&CureHours>,
) -> CoatingDay {
    let mut check = Check {
        scenario,
        now,
        window: CoatingWindow::of(scenario.coating.as_ref()),
        rules: walk::rules(scenario, prepared, now),
    };
    let dew_point = conditions.dew_point();
    let spread = conditions.slab_temperature.0 - dew_point;
    check.now(conditions, spread);
    check.through_cure(cure);
    check.age();
    check.wettings();
    check.tests(tested.tests, tested.judged);
    if tested.unread_lines > 0 {
        let why = "This check leaves them out. Correct them and check again.";
        check.rule(
            "lines of the log that cannot be read",
            (
                Figure::Words(tested.unread_lines.to_string()),
                Figure::Words("0".into()),
                true,
            ),
            "the log",
            Some((Says::Wait, why.into())),
        );
    }
    let says = check.rules.iter().map(|rule| rule.says).max();
    CoatingDay {
        says: says.unwrap_or(Says::NotChecked),
        holds: prepared.map_or_else(Vec::new, |p| p.judged.holds_on(now.date())),
        dew_point,
        spread,
        rules: check.rules,
    }
}

struct Check<'a> {
    scenario: &'a Scenario,
    now: DateTime,
    window: CoatingWindow,
    rules: Vec<Rule>,
}

impl Check<'_> {
    fn rule(
        &mut self,
        name: impl Into<String>,
        (value, limit, at_most): (Figure, Figure, bool),
        source: &str,
        broken: Option<(Says, Said)>,
    ) {
        let (says, why) = broken.unwrap_or((Says::Go, Said::default()));
        self.rules.push(Rule {
            name: name.into(),
            about: About::Day,
            says,
            value,
            limit,
            at_most,
            source: source.to_owned(),
            short: Said::default(),
            why,
        });
    }

    fn now(&mut self, conditions: &Conditions, spread: f64) {
        let w = self.window;
        let margin = w.dew_point_margin;
        self.rule(
            "dew-point spread now",
            (
                Figure::Difference(spread),
                Figure::Difference(margin.value),
                false,
            ),
            margin.source,
            (spread < margin.value).then(|| {
                let why = if spread <= 0.0 {
                    "The slab is below the dew point. Its surface is wet or about to be. Warm the slab or dry the air."
                } else {
                    "The slab is too near the dew point. Water would settle under the coating. Warm the slab or dry the air."
                };
                (Says::No, why.into())
            }),
        );
        let range = (w.lowest_temperature.value, w.highest_temperature.value);
        let source = w.temperature_source();
        for (name, value) in [
            ("slab temperature now", conditions.slab_temperature.0),
            ("air temperature now", conditions.air_temperature.0),
        ] {
            let why = if value < range.0 {
                "It is too cold for the resin to set. Heat."
            } else {
                "It is too warm to lay the resin. Heat less, or wait for a cooler hour."
            };
            self.rule(
                name,
                (
                    Figure::Temperature(value),
                    Figure::TemperatureRange(range.0, range.1),
                    false,
                ),
                source,
                (!(range.0..=range.1).contains(&value)).then(|| (Says::No, why.into())),
            );
        }
        let most = w.highest_relative_humidity;
        let humidity = conditions.air_relative_humidity.0;
        self.rule(
            "air relative humidity now",
            (
                Figure::Humidity(humidity),
                Figure::Humidity(most.value),
                true,
            ),
            most.source,
            (humidity > most.value)
                .then(|| (Says::No, "The air is too damp. Dry it, or wait.".into())),
        );
        let age = conditions
            .oldest()
            .map_or(0.0, |time| self.now.duration_since(time).as_secs_f64());
        self.rule(
            "age of these measurements",
            (Figure::Time(age), Figure::Time(MEASURED_WITHIN), true),
            COMMON,
            (age > MEASURED_WITHIN).then(|| {
                let why = "The log's latest values are too old. Measure slab and air again.";
                (Says::Wait, why.into())
            }),
        );
    }

    fn through_cure(&mut self, cure: Option<&CureHours>) {
        let w = self.window;
        let names = [
            "dew-point spread through the cure",
            "temperature through the cure",
            "air relative humidity through the cure",
        ];
        let range = (w.lowest_temperature.value, w.highest_temperature.value);
        let Some(cure) = cure else {
            let limits = [
                Figure::Difference(w.dew_point_margin.value),
                Figure::TemperatureRange(range.0, range.1),
                Figure::Humidity(w.highest_relative_humidity.value),
            ];
            let sources = [
                w.dew_point_margin.source,
                w.temperature_source(),
                w.highest_relative_humidity.source,
            ];
            for (index, ((name, limit), source)) in
                names.into_iter().zip(limits).zip(sources).enumerate()
            {
                let why = "There is no forecast. Give one with --forecast, or watch slab and air until the coating has set.";
                self.rule(
                    name,
                    (Figure::Nothing, limit, index == 2),
                    source,
                    Some((Says::NotChecked, why.into())),
                );
            }
            return;
        };
        let [spread_name, temperature_name, humidity_name] = names;
        let margin = w.dew_point_margin;
        self.rule(
            spread_name,
            (
                Figure::Difference(cure.least_spread),
                Figure::Difference(margin.value),
                false,
            ),
            margin.source,
            (cure.least_spread < margin.value).then(|| {
                let hours = cure.least_spread_after / HOUR;
                let why = format!(
                    "By the forecast the slab gets too near the dew point. It is nearest {} from now.",
                    format::hours(hours)
                );
                (Says::Wait, why.into())
            }),
        );
        // The end that is farther out, or the nearer to its limit, stands for both.
        let worst = if cure.lowest_temperature - range.0 < range.1 - cure.highest_temperature {
            cure.lowest_temperature
        } else {
            cure.highest_temperature
        };
        self.rule(
            temperature_name,
            (
                Figure::Temperature(worst),
                Figure::TemperatureRange(range.0, range.1),
                false,
            ),
            w.temperature_source(),
            (!(range.0..=range.1).contains(&worst)).then(|| {
                let why =
                    "By the forecast slab or air get too cold or too warm before the coating has set.";
                (Says::Wait, why.into())
            }),
        );
        let most = w.highest_relative_humidity;
        self.rule(
            humidity_name,
            (
                Figure::Humidity(cure.highest_relative_humidity),
                Figure::Humidity(most.value),
                true,
            ),
            most.source,
            (cure.highest_relative_humidity > most.value).then(|| {
                let why = "By the forecast the air gets too damp before the coating has set.";
                (Says::Wait, why.into())
            }),
        );
    }

    fn age(&mut self) {
        let least = self.window.concrete_age;
        let age = self
            .now
            .duration_since(self.scenario.slab.placed.at(0, 0, 0, 0))
            .as_secs_f64();
        self.rule(
            "age of the concrete",
            (Figure::Time(age), Figure::Time(least.value), false),
            least.source,
            (age < least.value).then(|| {
                let days = ((least.value - age) / DAY).ceil();
                let why = format!("The concrete is too young for {} more.", format::days(days));
                (Says::Wait, why.into())
            }),
        );
    }

    fn wettings(&mut self) {
        let least = self.window.dry_time_after_wetting;
        let cure = self.window.cure_time;
        let wettings = self.scenario.slab.wettings.as_deref().unwrap_or_default();
        let today = self.now.date();
        let last = wettings
            .iter()
            .filter(|wetting| wetting.date <= today)
            .map(end_of_wetting)
            .max();
        match last {
            None => self.rule(
                "time since the last wetting",
                (
                    Figure::Words("none known".into()),
                    Figure::Time(least.value),
                    false,
                ),
                least.source,
                None,
            ),
            Some(end) => {
                let dry = self.now.duration_since(end).as_secs_f64();
                let why = "The floor got wet not long ago. Let the surface dry, and test again.";
                self.rule(
                    "time since the last wetting",
                    (Figure::Time(dry.max(0.0)), Figure::Time(least.value), false),
                    least.source,
                    (dry < least.value).then(|| (Says::Wait, why.into())),
                );
            }
        }
        let ready = self
            .now
            .checked_add(jiff::Span::new().seconds(cure.value as i64));
        let next = wettings
            .iter()
            .map(|wetting| wetting.date)
            .filter(|date| *date > today && ready.as_ref().is_ok_and(|end| *date <= end.date()))
            .min();
        if let Some(date) = next {
            let why = Said::new(|system| {
                let date = short_date(date, system);
                format!(
                    "The floor is to get wet on {date}, before the coating has set. Move that day."
                )
            });
            self.rule(
                "no water while it cures",
                (Figure::Day(date), Figure::Time(cure.value), false),
                cure.source,
                Some((Says::Wait, why)),
            );
        }
    }

    fn tests(&mut self, tests: &[FloorTest], judged: &[Judged]) {
        let source = if self.scenario.targets.is_some() {
            "the scenario's targets"
        } else {
            "usual limit, ASTM F710 (from memory)"
        };
        for test in tests {
            match (test.method, test.limit) {
                (Method::PlasticSheet, _) => self.sheet(test),
                (_, Some(limit)) => self.test(test, limit, source, judged),
                _ => {}
            }
        }
        let flux = self.scenario.targets().into_iter().find_map(|t| match t {
            Target::SurfaceFlux(t) => Some(t.limit.si()),
            _ => None,
        });
        if let Some(limit) = flux {
            let why = "No test on the floor reads the surface flux. Give a target that can be tested, or go by the product's sheet.";
            self.rule(
                "surface flux",
                (Figure::Nothing, Figure::Rate(limit), true),
                source,
                Some((Says::Wait, why.into())),
            );
        }
    }

    fn test(&mut self, test: &FloorTest, limit: f64, source: &str, judged: &[Judged]) {
        let figure = |value: f64| match test.method {
            Method::Dish => Figure::Rate(value),
            _ => Figure::Humidity(value),
        };
        let value = test.worst().map_or(Figure::Nothing, |w| figure(w.value));
        let failing: Vec<&str> = test
            .places
            .iter()
            .filter(|place| place.meets == Some(false))
            .map(|place| place.place.as_str())
            .collect();
        let standard = test.method.standard().unwrap_or(COMMON);
        let broken = if !failing.is_empty() {
            let why = format!("Above the limit at {}.", failing.join(", "));
            Some((Says::No, why.into()))
        } else if !test.enough() {
            let others = judged
                .iter()
                .filter(|j| j.reading.method == test.method && !j.counts())
                .count();
            let others = match others {
                0 => String::new(),
                1 => " 1 reading does not count.".to_owned(),
                others => format!(" {} do not count.", format::counted(others, "reading")),
            };
            let why = format!(
                "{} of the {} needed on this area ({standard}) have a test that counts.{others} See: coatday readings.",
                test.places.len(),
                format::counted(test.needed, "place")
            );
            Some((Says::Wait, why.into()))
        } else {
            self.too_old(test)
        };
        self.rule(
            format!("tests: {}", test.method.name()),
            (value, figure(limit), true),
            source,
            broken,
        );
    }

    fn sheet(&mut self, test: &FloorTest) {
        let moist = test.places.iter().any(|place| place.value > 0.0);
        let why =
            "There is moisture under a sheet. Find out how much with a test that measures it.";
        let shows = if test.places.is_empty() {
            Figure::Nothing
        } else {
            Figure::Words(if moist { "moist" } else { "dry" }.to_owned())
        };
        self.rule(
            "tests: plastic sheet",
            (shows, Figure::Words("dry".into()), true),
            "ASTM D4263",
            if moist {
                Some((Says::Wait, why.into()))
            } else if test.wanted && !test.enough() {
                let why = format!(
                    "{} of the {} needed on this area (ASTM D4263) have a sheet that counts. See: coatday readings.",
                    test.places.len(),
                    format::counted(test.needed, "place")
                );
                Some((Says::Wait, why.into()))
            } else if test.places.is_empty() {
                let why = "No sheet in the log counts. None is needed where other tests decide.";
                Some((Says::NotChecked, why.into()))
            } else {
                self.too_old(test)
            },
        );
    }

    /// A test says how the floor was on its day, and no longer than the window lets it stand.
    fn too_old(&self, test: &FloorTest) -> Option<(Says, Said)> {
        let validity = self.window.test_validity;
        let age = self.now.duration_since(test.oldest()?).as_secs_f64();
        (age > validity.value).then(|| {
            let why = format!(
                "The oldest test is {} old, and {} is the most ({}). Test again.",
                format::days(age / DAY),
                format::days(validity.value / DAY),
                validity.source
            );
            (Says::Wait, why.into())
        })
    }
}
