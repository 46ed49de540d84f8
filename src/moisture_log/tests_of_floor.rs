//! The tests of the whole floor: how many are needed, which places have one, the worst place and the spread between places.
//!
//! Sources
//! 1. ASTM F2170 and F1869: three tests for the first 1000 ft2 and one for each further 1000 ft2 (F1869 from memory).
//! 2. ASTM D4263: one sheet for 500 ft2 (from memory).
//!
//! Test: `ref_number_of_tests` in `tests/it/moisture_log.rs`.

use super::judge::{Judged, limit_for, sheet_target};
use super::method::Method;
use crate::scenario::Scenario;
use jiff::civil::DateTime;
use std::collections::BTreeMap;

/// 1000 ft2 \[m2\].
const THOUSAND_SQUARE_FEET: f64 = 1000.0 * crate::units::FT2;
/// Share by which an area may exceed a whole number for rounding of units.
const ROUNDING: f64 = 1e-9;

/// The latest test of a place that counts.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaceResult {
    /// The place as first written.
    pub place: String,
    /// Line in the log.
    pub line: usize,
    /// When it was read.
    pub time: DateTime,
    /// The value, SI.
    pub value: f64,
    /// Whether it is within the limit; none without a limit.
    pub meets: Option<bool>,
}

/// One method's tests of the floor.
#[derive(Clone, Debug, PartialEq)]
pub struct FloorTest {
    /// The method.
    pub method: Method,
    /// The scenario's limit, SI.
    pub limit: Option<f64>,
    /// Whether a target of the scenario asks for it.
    pub wanted: bool,
    /// Number of places to be tested on this area.
    pub needed: usize,
    /// Readings in the log, counting or not.
    pub readings: usize,
    /// The latest counting reading of each place, worst first.
    pub places: Vec<PlaceResult>,
}

impl FloorTest {
    /// The place with the highest value, which rules.
    #[must_use]
    pub fn worst(&self) -> Option<&PlaceResult> {
        self.places.first()
    }

    /// Highest less lowest value between places.
    #[must_use]
    pub fn spread(&self) -> Option<f64> {
        Some(self.places.first()?.value - self.places.last()?.value)
    }

    /// The oldest of the tests relied on.
    #[must_use]
    pub fn oldest(&self) -> Option<DateTime> {
        self.places.iter().map(|place| place.time).min()
    }

    /// Whether there are as many places as needed.
    #[must_use]
    pub fn enough(&self) -> bool {
        self.places.len() >= self.needed
    }

    /// Whether every place is within the limit; none without places or without a limit.
    #[must_use]
    pub fn meets(&self) -> Option<bool> {
        if self.places.is_empty() {
            return None;
        }
        self.places
            .iter()
            .map(|place| place.meets)
            .try_fold(true, |all, place| place.map(|meets| all && meets))
    }
}

/// Number of places to be tested on a floor of `area` \[m2\]. For a hood and samples as for probes (common practice, no
/// published source).
#[must_use]
pub fn tests_needed(method: Method, area: f64) -> usize {
    let thousands = if area.is_finite() {
        (area / THOUSAND_SQUARE_FEET).max(0.0)
    } else {
        0.0
    };
    let whole = |number: f64| (number * (1.0 - ROUNDING)).ceil() as usize;
    match method {
        Method::PlasticSheet => whole(2.0 * thousands).max(1),
        _ => 3 + whole(thousands).saturating_sub(1),
    }
}

/// The tests of the floor by method: those that the scenario has a limit for, and those that the log has readings of.
#[must_use]
pub fn floor_tests(judged: &[Judged], scenario: &Scenario) -> Vec<FloorTest> {
    let targets = scenario.targets();
    let area = scenario.slab.area.si();
    Method::ALL
        .into_iter()
        .filter_map(|method| {
            let limit = limit_for(method, &targets);
            let of_method: Vec<&Judged> = judged
                .iter()
                .filter(|j| j.reading.method == method)
                .collect();
            let wanted = limit.is_some()
                || (method == Method::PlasticSheet && sheet_target(&targets).is_some());
            if !wanted && of_method.is_empty() {
                return None;
            }
            let mut latest: BTreeMap<String, &Judged> = BTreeMap::new();
            for judged in of_method.iter().filter(|j| j.counts()) {
                let key = judged.reading.place_key();
                if latest
                    .get(&key)
                    .is_none_or(|other| other.reading.time <= judged.reading.time)
                {
                    latest.insert(key, judged);
                }
            }
            let mut places: Vec<PlaceResult> = latest
                .values()
                .map(|judged| PlaceResult {
                    place: judged.reading.place.clone(),
                    line: judged.reading.line,
                    time: judged.reading.time,
                    value: judged.reading.value,
                    meets: judged.meets(),
                })
                .collect();
            places.sort_by(|a, b| b.value.total_cmp(&a.value));
            Some(FloorTest {
                method,
                limit,
                wanted,
                needed: tests_needed(method, area),
                readings: of_method.len(),
                places,
            })
        })
        .collect()
}
