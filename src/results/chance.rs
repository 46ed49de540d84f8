//! How the chances of a date are said, wherever they are said.

use super::record;
use crate::evaluate::odds::{Odds, SHARES};
use crate::job::Job;
use crate::units::DAY;
use crate::units::format::{date, days, percent};
use jiff::civil::Date;

/// The time simulated, such as "365 days".
pub(super) fn time_looked_at(job: &Job) -> String {
    days((job.give_up - job.drying_starts) / DAY)
}

/// The date after so many days of drying; of days after the last day simulated, that they are.
pub(super) fn date_after(job: &Job, days: Option<f64>) -> String {
    days.map_or_else(
        || format!("after {}", date(job.date(job.give_up))),
        |days| date(job.date_after(days)),
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
}

impl ChanceData {
    pub(super) fn of_odds(job: &Job, odds: &Odds) -> Self {
        let days = SHARES.map(|share| odds.days(share));
        Self::of(job, days, odds.in_time)
    }
}

/// The days at which one, five and nine chances in ten are over.
#[derive(Clone, Copy, Debug)]
pub(super) struct Chance<'a> {
    job: &'a Job,
    /// None after the last day simulated.
    days: [Option<f64>; 3],
    in_time: Option<f64>,
}

impl<'a> Chance<'a> {
    pub(super) fn new(job: &'a Job, days: [Option<f64>; 3], in_time: Option<f64>) -> Self {
        Self { job, days, in_time }
    }

    pub(super) fn of(job: &'a Job, odds: &Odds) -> Self {
        let days = SHARES.map(|share| odds.days(share));
        Self::new(job, days, odds.in_time)
    }

    /// Range and middle, and the chance of the date to keep, if there is one.
    pub(super) fn sentence(&self) -> String {
        let [early, middle, late] = self.days.map(|days| date_after(self.job, days));
        let end = date(self.job.date(self.job.give_up));
        let mut text = match self.days {
            [None, ..] => format!("90 % chance: not dry by {end}."),
            [Some(_), _, None] => format!("80 % chance: {early} to some day after {end}."),
            [Some(_), _, Some(_)] => format!("80 % chance: {early} to {late}."),
        };
        text += &match self.days {
            [None, ..] => String::new(),
            [_, None, _] => format!(" More likely than not it is not dry by {end}."),
            [_, Some(_), _] => format!(" As likely before {middle} as after."),
        };
        if let (Some(by), Some(chance)) = (self.job.needed_by, self.in_time) {
            text += &format!(" Chance by {}: {}.", date(by), percent(chance));
        }
        text
    }
}
