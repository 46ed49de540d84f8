//! How the chances of a date are said, wherever they are said.

use super::record;
use crate::evaluate::odds::{Odds, SHARES};
use crate::job::Job;
use crate::units::System;
use crate::units::format::short_date;
use jiff::civil::Date;

/// The date after so many days of drying; of days after the last day simulated, that they are.
pub(super) fn date_after(job: &Job, days: Option<f64>, system: System) -> String {
    days.map_or_else(
        || format!("after {}", short_date(job.date(job.give_up), system)),
        |days| short_date(job.date_after(days), system),
    )
}

record! {
    /// The days and dates at which one, five and nine chances in ten are over, and the chance of the date to keep.
    ChanceData(job: &Job, days: [Option<f64>; 3], in_time: Option<f64>) where [
        date = |days: Option<f64>| days.map(|d| job.date_after(d)),
    ] {
        days_p10: Option<f64> = days[0],
        days_p50: Option<f64> = days[1],
        days_p90: Option<f64> = days[2],
        date_p10: Option<Date> = date(days[0]),
        date_p50: Option<Date> = date(days[1]),
        date_p90: Option<Date> = date(days[2]),
        chance_in_time: Option<f64> = in_time,
    }

    /// The odds of its date.
    OddsData(job: &Job, odds: &Odds) {
        samples: usize = odds.samples.len(),
        not_computed: usize = odds.failed,
        #[serde(flatten)]
        chance: ChanceData = ChanceData::of_odds(job, odds),
        mean_cost: f64 = odds.mean_cost(),
    }
}

impl ChanceData {
    pub(super) fn of_odds(job: &Job, odds: &Odds) -> Self {
        let days = SHARES.map(|share| odds.days(share));
        Self::of(job, days, odds.in_time)
    }
}
