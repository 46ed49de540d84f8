//! The evidence of a verdict: runs, sampled cases, readings and the walk, brought to the same day.

use super::{Counts, Evidence, Hold, Next, Reading, Ready, Run, Spread, Verdict, verdict};
use crate::evaluate::odds::{Odds, SHARES};
use crate::evaluate::{NotComputed, NotDryReason, Outcome};
use crate::job::Job;
use crate::moisture_log::forecast::{Forecast, weighted_quantile};
use crate::preparation::Prepared;
use crate::preparation::coating::{self, NoDay, Question};
use crate::preparation::repairs;
use crate::scenario::model::USUAL_CONFIDENCE;
use crate::units::DAY;
use jiff::civil::Date;

pub use crate::evaluate::odds::ENOUGH_CASES;

/// Targets met within this time of the first moment at which they count were met before \[s\].
const AT_ONCE: f64 = 1.0;

/// A floor: its job, and its walk where there is one.
#[derive(Clone, Copy, Debug)]
pub struct Floor<'a> {
    /// The job, with the work of the walk in it.
    pub job: &'a Job,
    /// The walk, prepared.
    pub prepared: Option<&'a Prepared>,
}

impl Floor<'_> {
    /// The verdict on a setup that was run. With readings, `read` is the forecast that they leave of this setup; where the
    /// outcome's own cases are those that the readings leave, `conditioned` says so.
    #[must_use]
    pub fn of_setup(
        &self,
        outcome: &Outcome,
        read: Option<&Forecast>,
        conditioned: bool,
    ) -> Verdict {
        let odds = outcome.odds.as_ref();
        let odds = odds.filter(|odds| odds.samples.len() >= ENOUGH_CASES);
        let sampled = odds.map(|odds| self.spread_of_odds(&outcome.name, odds));
        let read = read.and_then(|forecast| self.spread_of_forecast(&outcome.name, forecast));
        let (sampled, read) = match (sampled, read) {
            (sampled, None) if conditioned => (None, sampled),
            other => other,
        };
        let mut said = self.said(Evidence {
            run: self.run(outcome),
            sampled,
            read,
            held_by: self.held_by(outcome),
            ..self.blank(&outcome.name)
        });
        // Other gear is no advice where the ground keeps the slab wet.
        let wet_ground = matches!(outcome.not_dry, Some(NotDryReason::WetGround { .. }));
        if wet_ground && said.next == Next::ChangeThePlan {
            said.next = Next::StopGroundMoisture;
        }
        said
    }

    /// The verdict by the work on the floor alone, where no drying is computed; on the first setup that gave up, where all did.
    #[must_use]
    pub fn by_work(&self, prepared: &Prepared) -> Verdict {
        if let ([], [gave_up, ..]) = (&prepared.setups[..], &prepared.not_computed[..]) {
            return self.not_computed(gave_up);
        }
        let run = match &prepared.day {
            Ok(day) => Run::Ready(self.morning(prepared, day.day)),
            Err(why) => Run::NotReady {
                why: why.words().to_owned(),
            },
        };
        self.said(Evidence {
            run,
            counts: Counts::WorkAlone,
            ..self.blank("By the work alone")
        })
    }

    /// The verdict on a setup that could not be computed.
    #[must_use]
    pub fn not_computed(&self, gave_up: &NotComputed) -> Verdict {
        verdict(Evidence {
            run: Run::NotComputed {
                fault: gave_up.fault.to_string(),
            },
            ..self.blank(&gave_up.setup)
        })
    }

    /// The verdict, without a day where no method can prepare the floor.
    fn said(&self, evidence: Evidence) -> Verdict {
        match self.prepared.and_then(Prepared::why_without_profile) {
            Some(why) => verdict(Evidence {
                run: Run::NotReady { why },
                sampled: None,
                read: None,
                ..evidence
            }),
            None => verdict(evidence),
        }
    }

    fn blank(&self, setup: &str) -> Evidence {
        let job = self.job;
        Evidence {
            setup: setup.to_owned(),
            run: Run::NotReady { why: String::new() },
            sampled: None,
            read: None,
            counts: match self.prepared {
                Some(_) => Counts::DryingAndWork,
                None => Counts::Drying,
            },
            holds: self.prepared.map(holds).unwrap_or_default(),
            needed_by: job.needed_by,
            wanted: wanted(job),
            horizon: job.date(job.give_up),
            held_by: None,
        }
    }

    /// When the floor is ready if its slab is dry after so many days of drying.
    #[must_use]
    pub fn ready(&self, setup: &str, dry: f64) -> Option<Ready> {
        let job = self.job;
        let Some(prepared) = self.prepared else {
            let date = job.date_after(dry);
            return Some(Ready { days: dry, date });
        };
        let dry = [(job.gear_on + dry * DAY, f64::INFINITY)];
        let by_work = Question {
            ready: prepared.way.schedule.ready,
            old_enough: (prepared.survey.concrete() > 0.0)
                .then_some(prepared.window.concrete_age.value),
            dry: Some(&dry),
            days: None,
        };
        let mut setups = prepared.setups.iter();
        let run = setups.find(|s| s.run.outcome.name == setup);
        // The air is that of the one run, as far as it was followed. A case without a day in that time has one by work and drying alone,
        // unless the one run itself has none for its air.
        let found = match run {
            Some(run) => {
                let question = Question {
                    days: Some((&run.run.days, &prepared.window)),
                    ..by_work
                };
                let found = coating::coating_day(&question, &prepared.working_time);
                match (found, &run.day) {
                    (Err(_), Ok(_) | Err(NoDay::NotDry)) => {
                        coating::coating_day(&by_work, &prepared.working_time)
                    }
                    (found, _) => found,
                }
            }
            None => coating::coating_day(&by_work, &prepared.working_time),
        };
        found.ok().map(|found| self.morning(prepared, found.day))
    }

    /// The morning of a working day.
    fn morning(&self, prepared: &Prepared, day: i64) -> Ready {
        let opens = day as f64 * DAY + prepared.working_time.from;
        Ready {
            days: ((opens - self.job.gear_on) / DAY).max(0.0),
            date: prepared.date(day),
        }
    }

    fn run(&self, outcome: &Outcome) -> Run {
        let job = self.job;
        let mut setups = self.prepared.iter().flat_map(|p| &p.setups);
        let setup = setups.find(|s| s.run.outcome.name == outcome.name);
        let Some(days) = outcome.days_to_target else {
            let by_work = setup.and_then(|s| s.day.as_ref().err());
            let by_work = by_work.filter(|why| **why != NoDay::NotDry);
            let why = match by_work {
                Some(why) => Some(why.words().to_owned()),
                None => outcome.not_dry.as_ref().map(|why| why.sentence()),
            };
            return Run::NotReady {
                why: why.unwrap_or_default(),
            };
        };
        let (ready, why) = match setup {
            Some(setup) => match (&setup.day, self.prepared) {
                (Ok(day), Some(prepared)) => (Some(self.morning(prepared, day.day)), None),
                (Err(why), _) => (None, Some(why.words().to_owned())),
                (Ok(_), None) => (None, None),
            },
            None => (self.ready(&outcome.name, days), None),
        };
        let counted_from = job.targets_from.max(job.gear_on);
        if job.gear_on + days * DAY <= counted_from + AT_ONCE {
            return Run::AlreadyDry {
                reading: nearest(job, outcome),
                ready,
                why,
            };
        }
        match ready {
            Some(ready) => Run::Ready(ready),
            None => Run::NotReady {
                why: why.unwrap_or_default(),
            },
        }
    }

    fn held_by(&self, outcome: &Outcome) -> Option<String> {
        let setups = self.prepared.iter().flat_map(|p| &p.setups);
        let setup = setups
            .filter(|s| s.run.outcome.name == outcome.name)
            .find_map(|s| s.day.as_ref().ok());
        if let Some(day) = setup.filter(|day| day.held_by != coating::HeldBy::Drying) {
            return Some(format!("What sets the date: {}.", day.held_by.words()));
        }
        // Nothing keeps a floor that is dry from the start.
        outcome.days_to_target.filter(|days| *days > 0.0)?;
        Some(outcome.limited_by.what_helps().to_owned())
    }

    fn spread(&self, setup: &str, quantiles: [Option<f64>; 3], cases: &[(f64, f64)]) -> Spread {
        let total: f64 = cases.iter().map(|(_, weight)| weight).sum();
        let share = |good: &dyn Fn(Ready) -> bool| {
            let ready = |days: f64| self.ready(setup, days).is_some_and(good);
            let good = cases
                .iter()
                .filter(|(days, _)| days.is_finite() && ready(*days));
            // Not `sum`, which makes minus zero of nothing.
            good.fold(0.0, |sum, (_, weight)| sum + weight) / total.max(f64::MIN_POSITIVE)
        };
        let by = self.job.needed_by;
        Spread {
            ready: quantiles.map(|days| self.ready(setup, days?)),
            get_there: share(&|_| true),
            in_time: by.map(|by: Date| share(&|ready| ready.date <= by)),
            cases: cases.len(),
        }
    }

    fn spread_of_odds(&self, setup: &str, odds: &Odds) -> Spread {
        let cases: Vec<(f64, f64)> = odds.samples.iter().map(|s| (s.days, 1.0)).collect();
        self.spread(setup, SHARES.map(|share| odds.days(share)), &cases)
    }

    /// Of the place that is dry last.
    fn spread_of_forecast(&self, setup: &str, forecast: &Forecast) -> Option<Spread> {
        let worst = forecast.places.first()?;
        let days = forecast.worlds.iter().map(|world| world.days);
        let cases: Vec<(f64, f64)> = days.zip(worst.weights.iter().copied()).collect();
        let quantile = |share| weighted_quantile(&cases, share).filter(|d| d.is_finite());
        Some(self.spread(setup, SHARES.map(quantile), &cases))
    }
}

/// Wanted chance of making the day.
fn wanted(job: &Job) -> f64 {
    let inventory = job.inventory.as_ref();
    inventory.map_or(USUAL_CONFIDENCE, |inventory| inventory.confidence)
}

/// What stops a floor that was walked over.
fn holds(prepared: &Prepared) -> Vec<Hold> {
    prepared.judged.holds.iter().map(Hold::from).collect()
}

impl From<&repairs::Hold> for Hold {
    fn from(hold: &repairs::Hold) -> Self {
        Self {
            what: hold.what(),
            lifted_by: hold.rule.lifted_by().unwrap_or_default(),
        }
    }
}

/// The reading nearest to its limit when the targets count first.
fn nearest(job: &Job, outcome: &Outcome) -> Option<Reading> {
    let counted_from = (job.targets_from - job.gear_on).max(0.0) / DAY;
    let mut records = outcome.records.iter();
    let record = records.find(|record| record.day + AT_ONCE / DAY >= counted_from);
    let readings = job.targets.iter().enumerate().map(|(k, target)| Reading {
        target: *target,
        value: record
            .and_then(|record| record.readings.get(k).copied())
            .filter(|value| value.is_finite()),
    });
    let share = |r: &Reading| r.value.map_or(f64::NEG_INFINITY, |v| v / r.target.limit());
    readings.max_by(|a, b| share(a).total_cmp(&share(b)))
}
