//! The echo of the coating's limits.

use super::{Echo, NOT_GIVEN};
use crate::scenario::coating_window::{CoatingWindow, Taken};
use crate::scenario::model::Scenario;
use crate::units::{Duration, RelativeHumidity, Temperature, TemperatureDifference};

impl Echo {
    /// Limits that only the check of the coating day uses are echoed where the scenario speaks of a coating.
    pub(super) fn coating(&mut self, scenario: &Scenario) {
        let Some(coating) = &scenario.coating else {
            return;
        };
        let w = CoatingWindow::of(Some(coating));
        let note = |taken: &Taken| (!taken.given).then_some(NOT_GIVEN);
        let temperature = Temperature::from_si;
        let time = Duration::from_si;
        for (label, taken, shown) in [
            (
                "coating: lowest temperature",
                w.lowest_temperature,
                both!(temperature(w.lowest_temperature.value)),
            ),
            (
                "coating: highest temperature",
                w.highest_temperature,
                both!(temperature(w.highest_temperature.value)),
            ),
            (
                "coating: highest relative humidity",
                w.highest_relative_humidity,
                both!(RelativeHumidity::from_si(w.highest_relative_humidity.value)),
            ),
            (
                "coating: dew-point margin",
                w.dew_point_margin,
                both!(TemperatureDifference::from_si(w.dew_point_margin.value)),
            ),
            (
                "coating: cure time",
                w.cure_time,
                both!(time(w.cure_time.value)),
            ),
            (
                "coating: age of the concrete",
                w.concrete_age,
                both!(time(w.concrete_age.value)),
            ),
            (
                "coating: dry time after wetting",
                w.dry_time_after_wetting,
                both!(time(w.dry_time_after_wetting.value)),
            ),
            (
                "coating: validity of tests",
                w.test_validity,
                both!(time(w.test_validity.value)),
            ),
        ] {
            self.both(label, shown, note(&taken));
        }
        match coating.probe_time_in_hole {
            Some(given) => self.both("coating: probe in the hole", both!(given), None),
            None => self.say(
                "coating: probe in the hole",
                "24 h, 72 h for tests made before 2018",
                Some(NOT_GIVEN),
            ),
        }
    }
}
