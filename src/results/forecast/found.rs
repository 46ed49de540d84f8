//! A forecast with what it was made from.

use crate::job::Job;
use crate::moisture_log::Reading;
use crate::moisture_log::forecast::{Forecast, Held, NextTest, PlaceForecast, next_tests};
use crate::units::DAY;
use crate::units::format::Said;
use crate::verdict::Verdict;

/// A forecast from readings.
#[derive(Clone, Debug)]
pub struct ForecastFound<'a> {
    /// The job.
    pub job: &'a Job,
    /// The setup on site.
    pub setup: String,
    /// The forecast.
    pub forecast: Forecast,
    /// What may be said of the floor.
    pub verdict: Verdict,
    /// The readings that it was given.
    pub readings: Vec<Reading>,
    /// The chance with which the next test should pass.
    pub wanted: f64,
    /// The present \[s since placing\].
    pub now: f64,
    /// Notes about the weather and the work on the floor.
    pub notices: &'a [Said],
}

impl ForecastFound<'_> {
    /// Days of drying up to now.
    pub(super) fn today(&self) -> f64 {
        ((self.now - self.job.gear_on) / DAY).max(0.0)
    }

    /// The tests of a place that are to come.
    pub(super) fn next_tests(&self, place: &PlaceForecast) -> Vec<NextTest> {
        let read = place.held.iter().filter_map(|held| self.reading(held));
        let days = read.map(|reading| (reading.seconds - self.job.gear_on) / DAY);
        let last = days.fold(None, |last: Option<f64>, day| {
            Some(last.map_or(day, |l| l.max(day)))
        });
        next_tests(self.job, &self.forecast, place, self.today(), last)
    }

    pub(super) fn reading(&self, held: &Held) -> Option<&Reading> {
        self.readings.get(held.reading)
    }
}

/// A place as it is called in a sentence.
pub(super) fn named(place: &PlaceForecast) -> String {
    if place.place.is_empty() {
        "the floor".into()
    } else {
        format!("\"{}\"", place.place)
    }
}

/// What becomes of a range: not every reading narrows it.
pub(super) fn narrow(before: f64, after: f64) -> &'static str {
    if after < before { "narrow" } else { "change" }
}
