//! Reads a run's targets: when a floor may be tested, when it passes, and what its tests read in between.
//!
//! A reading is made on a copy of the slab that is brought to service conditions ([`Tester::read`]), and it is in hand only when
//! the test is over. **A target counts as met from the first reading that passes, if those of the following week pass as well.** The
//! moment is that at which the test is over; a floor that passes at the first moment at which readings count needs no wait.
//!
//! Copies cost time, so one is read only where it may decide something:
//!
//! * The slab is looked at once a day. What a probe would read on the slab as it lies costs nothing; what the
//!   conditioning adds to it changes slowly, and is carried over from the last reading. So a reading far above the limit is known without being made.
//! * Tests of the face have nothing like it. The further above its limit the last reading was, the longer they wait.
//! * When a reading passes, the days back to the last one that failed are halved until two neighbours are found.
//!
//! What is skipped can only make a floor pass later, never sooner: every pass that counts is a reading that was made, or lies
//! between two of them in a week in which the estimate stays clear of the limit.
//!
//! Tests: `tests/it/readings.rs`.

use crate::job::Job;
use crate::moisture_tests::{Target, can_pass, depth_limit, probe_depth, testable};
use crate::simulation::{Simulation, SimulationFault, Snapshot};
use crate::units::DAY;

/// How long a floor must go on passing \[s\] (engineering judgement: one swing of the weather).
const PERSISTS: f64 = 7.0 * DAY;
/// Share of the limit within which an estimate is not trusted. Estimates carried over for some days were
/// within 0.1 % of the reading in the shipped scenarios.
const NEAR: f64 = 0.003;
/// Estimates further above the limit than this share are sure to fail.
const SURE: f64 = 0.03;
/// Longest time without a reading \[days\], within [`NEAR`] of the limit and away from it.
const REFRESH: (f64, f64) = (4.0, 30.0);
/// Days to wait for each unit by which a reading of the face stands above its limit, as a share of it, and most days.
const WAIT: (f64, f64) = (10.0, 14.0);
/// Readings of the face this far below the limit, as a share of it, stand for so many days.
const CLEAR: f64 = 0.1;
const CLEAR_DAYS: f64 = 3.0;

/// What the slab shows at a moment without a test: one value for each target, NaN for tests that take days.
#[derive(Clone, Debug)]
struct Look {
    time: f64,
    lies: Vec<f64>,
}

/// A reading: one value for each target.
#[derive(Clone, Debug)]
struct Reading {
    time: f64,
    lies: Vec<f64>,
    values: Vec<f64>,
}

/// The slab on one day.
struct Day {
    look: Look,
    /// The slab; none where nothing can be tested.
    slab: Option<Simulation>,
    /// Whether a reading would count.
    counts: bool,
    /// Whether it is the first moment at which readings count.
    first: bool,
    /// Whether it passes, where that is known.
    passes: Option<bool>,
}

/// A floor that may be dry.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Met {
    /// When the tests that show it are over \[s\].
    reached: f64,
    /// When they are begun \[s\].
    begun: f64,
}

/// Where the search for the first pass stands.
#[derive(Clone, Copy, Debug, PartialEq)]
enum State {
    /// No reading has passed, or one since has failed.
    Failing,
    /// One passes, and the week after it is not over.
    Holding(Met),
    /// Found.
    Done(Met),
}

/// Follows the targets of one run.
pub(super) struct TargetTracker<'a> {
    job: &'a Job,
    /// What the floor must show.
    asked: &'a [Target],
    /// The same, and the humidity at depth that no floor may exceed.
    targets: Vec<Target>,
    /// From the beginning of the tests to the last reading \[s\].
    takes: f64,
    looks: Vec<Look>,
    readings: Vec<Reading>,
    days: Vec<Day>,
    next_day: f64,
    state: State,
}

/// The worst of some readings, as a share of its limit.
pub(super) fn ruling(readings: impl Iterator<Item = f64>, targets: &[Target]) -> f64 {
    readings
        .zip(targets)
        .map(|(r, t)| r / t.limit())
        .fold(0.0, f64::max)
}

/// What tests begun at a look would read, from the readings around it, which are in order of time.
fn estimate(readings: &[Reading], look: &Look) -> Vec<f64> {
    let after = readings.partition_point(|r| r.time < look.time);
    let (before, next) = (readings[..after].last(), readings.get(after));
    look.lies
        .iter()
        .enumerate()
        .map(|(k, lies)| {
            // What is carried over from reading to reading: a difference or, where nothing is known but readings, a logarithm.
            let carried = |r: &Reading| {
                if lies.is_finite() {
                    r.values[k] - r.lies[k]
                } else {
                    r.values[k].max(f64::MIN_POSITIVE).ln()
                }
            };
            let carried = match (before, next) {
                (Some(a), Some(b)) => {
                    let share = (look.time - a.time) / (b.time - a.time);
                    carried(a) + share * (carried(b) - carried(a))
                }
                (Some(one), None) | (None, Some(one)) => carried(one),
                (None, None) => return f64::INFINITY,
            };
            if lies.is_finite() {
                lies + carried
            } else {
                carried.exp()
            }
        })
        .collect()
}

impl<'a> TargetTracker<'a> {
    /// For a job's slab, which must show what is `asked`.
    pub(super) fn new(job: &'a Job, asked: &'a [Target]) -> Self {
        let mut targets = asked.to_vec();
        targets.push(Target::HumidityAtDepth {
            limit: depth_limit(asked),
            depth_share: None,
        });
        Self {
            job,
            asked,
            takes: targets.iter().map(Target::takes).fold(0.0, f64::max),
            targets,
            looks: Vec::new(),
            readings: Vec::new(),
            days: Vec::new(),
            next_day: f64::NEG_INFINITY,
            state: State::Failing,
        }
    }

    /// Since when it is open whether the floor is dry \[s\].
    pub(super) fn open_since(&self) -> f64 {
        self.days.first().map_or(f64::NEG_INFINITY, |d| d.look.time)
    }

    /// When the targets are met \[s\], once that is sure.
    pub(super) fn reached(&self) -> Option<f64> {
        match self.state {
            State::Done(met) => Some(met.reached),
            State::Failing | State::Holding(_) => None,
        }
    }

    /// The slab on the first day from a moment on, of those since which it is open whether the floor is dry.
    pub(super) fn slab_from(&self, time: f64) -> Option<Simulation> {
        let day = self.days.iter().find(|d| d.look.time >= time)?;
        day.slab.clone()
    }

    fn look(&self, slab: &Snapshot<'_>) -> Look {
        let service = &self.job.tester.service;
        Look {
            time: slab.time(),
            lies: self
                .targets
                .iter()
                .map(|t| t.as_it_lies(slab, service).unwrap_or(f64::NAN))
                .collect(),
        }
    }

    /// Looks at the slab after a step, and once a day decides whether to read it. What is `kept` has a line in [`Self::course`].
    ///
    /// # Errors
    /// When the simulation of a test gives up.
    pub(super) fn see(&mut self, slab: &Snapshot<'_>, kept: bool) -> Result<(), SimulationFault> {
        let due = slab.time() >= self.next_day;
        // Water or ice at any time ends the week in which the floor must pass.
        let tests = testable(slab).is_ok();
        if !(kept || due || !tests) {
            return Ok(());
        }
        let look = self.look(slab);
        if kept {
            self.looks.push(look.clone());
        }
        if due {
            let day = (look.time - self.job.gear_on) / DAY;
            self.next_day = self.job.gear_on + (day.floor() + 1.0) * DAY;
        }
        if due || !tests {
            self.day(slab, look, false)?;
        }
        Ok(())
    }

    /// The first moment at which readings count, with all that happens at it done.
    ///
    /// # Errors
    /// When the simulation of a test gives up.
    pub(super) fn first_moment(&mut self, slab: &Snapshot<'_>) -> Result<(), SimulationFault> {
        let look = self.look(slab);
        self.day(slab, look, true)
    }

    fn day(&mut self, slab: &Snapshot<'_>, look: Look, first: bool) -> Result<(), SimulationFault> {
        let tests = testable(slab).is_ok();
        let counts = tests && (first || look.time > self.job.targets_from);
        let done = matches!(self.state, State::Done(_));
        let fails = !counts || self.sure_to_fail(&look);
        if fails || done {
            self.days.clear();
        }
        let worth = tests && self.worth_reading(&look);
        let slab = (tests && (worth || !done)).then(|| slab.fork());
        self.days.push(Day {
            slab,
            counts,
            first,
            passes: fails.then_some(false),
            look,
        });
        let last = self.days.len() - 1;
        match self.state {
            State::Done(_) => {
                if worth {
                    let _ = self.read(last)?;
                }
            }
            State::Holding(_) if fails => self.state = State::Failing,
            State::Holding(_) => {
                if !self.goes_on(last)? {
                    self.fail(last);
                }
            }
            State::Failing => {
                if worth && self.read(last)? {
                    self.find_first(last)?;
                }
            }
        }
        self.conclude(false);
        Ok(())
    }

    /// Ends the run: a floor that passes in its last days is dry if the tests are over by then.
    ///
    /// # Errors
    /// When the simulation of a test gives up.
    pub(super) fn finish(&mut self) -> Result<(), SimulationFault> {
        if self.state == State::Failing
            && let Some(last) = self.days.len().checked_sub(1)
            && self.days[last].passes.is_none()
            && self.passes(last)?
        {
            self.find_first(last)?;
        }
        self.conclude(true);
        Ok(())
    }

    fn conclude(&mut self, at_the_end: bool) {
        let (State::Holding(met), Some(last)) = (self.state, self.days.last()) else {
            return;
        };
        let now = last.look.time;
        let held = now >= met.begun + PERSISTS;
        if can_pass(self.asked) && (held || at_the_end && met.reached <= self.job.give_up) {
            self.state = State::Done(met);
        }
    }

    fn fail(&mut self, last: usize) {
        self.state = State::Failing;
        self.days.drain(..last);
    }

    /// The worst estimate among targets of which something is known without a test, as a share of its limit.
    fn worst_known(&self, look: &Look) -> f64 {
        let estimates = estimate(&self.readings, look).into_iter();
        let known = estimates
            .zip(&look.lies)
            .map(|(e, lies)| if lies.is_finite() { e } else { 0.0 });
        ruling(known, &self.targets)
    }

    /// The worst of the last reading among the other targets, as a share of its limit.
    fn worst_of_face(&self) -> f64 {
        self.readings.last().map_or(0.0, |last| {
            let face = last
                .values
                .iter()
                .zip(&last.lies)
                .map(|(value, lies)| if lies.is_finite() { 0.0 } else { *value });
            ruling(face, &self.targets)
        })
    }

    fn days_since_reading(&self, time: f64) -> f64 {
        self.readings
            .last()
            .map_or(f64::INFINITY, |r| (time - r.time) / DAY)
    }

    fn sure_to_fail(&self, look: &Look) -> bool {
        !self.readings.is_empty() && self.worst_known(look) > 1.0 + SURE
    }

    fn worth_reading(&self, look: &Look) -> bool {
        let since = self.days_since_reading(look.time);
        let known = self.worst_known(look);
        let face = self.worst_of_face();
        if since > REFRESH.1 {
            return true;
        }
        if let State::Done(_) = self.state {
            // Whether the floor stays dry.
            return (known - 1.0).abs() < NEAR && since >= REFRESH.0
                || face > 1.0 - CLEAR && since >= 1.0;
        }
        let wait = (WAIT.0 * (face - 1.0)).floor().clamp(1.0, WAIT.1);
        known <= 1.0 + NEAR
            && (known <= 1.0 || since >= REFRESH.0)
            && (face <= 1.0 || since >= wait)
    }

    /// Reads a day, and says whether it passes.
    fn read(&mut self, day: usize) -> Result<bool, SimulationFault> {
        let day = &mut self.days[day];
        let Some(slab) = &day.slab else {
            return Ok(false);
        };
        let slab = slab.snapshot();
        let mut values = self.job.tester.read(&self.targets, &slab)?;
        // Nor must the slab stand too high at depth as it lies.
        if let Some(depth) = values.last_mut() {
            *depth = depth.max(slab.humidity_at(probe_depth(&slab, None)));
        }
        let passes = day.counts && ruling(values.iter().copied(), &self.targets) <= 1.0;
        day.passes = Some(passes);
        let reading = Reading {
            time: day.look.time,
            lies: day.look.lies.clone(),
            values,
        };
        let place = self.readings.partition_point(|r| r.time < reading.time);
        self.readings.insert(place, reading);
        Ok(passes)
    }

    /// Whether a day passes.
    fn passes(&mut self, day: usize) -> Result<bool, SimulationFault> {
        match self.days[day].passes {
            Some(known) => Ok(known),
            None => self.read(day),
        }
    }

    /// Whether a day in the week after a pass passes too: by the estimate where it is clear of the limit, else by a reading.
    fn goes_on(&mut self, day: usize) -> Result<bool, SimulationFault> {
        if let Some(known) = self.days[day].passes {
            return Ok(known);
        }
        let look = self.days[day].look.clone();
        let since = self
            .readings
            .iter()
            .map(|r| (r.time - look.time).abs() / DAY)
            .fold(f64::INFINITY, f64::min);
        let known = self.worst_known(&look);
        let face = self.worst_of_face();
        // The older the reading, the wider the berth.
        let clear = known <= 1.0 - NEAR * (since / REFRESH.0).min(1.0)
            && (face == 0.0 || face <= 1.0 - CLEAR && since < CLEAR_DAYS);
        if clear {
            self.days[day].passes = Some(true);
            return Ok(true);
        }
        self.passes(day)
    }

    /// Finds the first pass between the last failure and a day that passes, and goes on from there.
    fn find_first(&mut self, last: usize) -> Result<(), SimulationFault> {
        let mut fails: Option<usize> = self.days[..last]
            .iter()
            .rposition(|d| d.passes == Some(false));
        let mut passes = last;
        let mut stride = 1;
        loop {
            let from = fails.map_or(0, |f| f + 1);
            if passes <= from {
                break;
            }
            let middle = if stride > 0 {
                passes.saturating_sub(stride).max(from)
            } else {
                usize::midpoint(from, passes)
            };
            if self.passes(middle)? {
                passes = middle;
                stride *= 2;
            } else {
                fails = Some(middle);
                stride = 0;
            }
        }
        let begun = self.moment(fails, passes);
        let reached = if self.days[passes].first {
            begun
        } else {
            begun + self.takes
        };
        self.state = State::Holding(Met { reached, begun });
        for day in passes + 1..=last {
            if !self.goes_on(day)? {
                self.fail(day);
                // What comes after this day is another chance, if the last of them passes.
                let last = self.days.len() - 1;
                if last > 0 && self.passes(last)? {
                    return self.find_first(last);
                }
                return Ok(());
            }
        }
        Ok(())
    }

    /// When the limits are crossed between a day that fails and one that passes: on straight lines between their readings.
    fn moment(&self, fails: Option<usize>, passes: usize) -> f64 {
        let day = &self.days[passes];
        let reading = |time: f64| self.readings.iter().find(|r| r.time == time);
        let before = fails.map(|f| &self.days[f]).filter(|d| d.counts);
        let (Some(a), Some(b)) = (
            before.and_then(|d| reading(d.look.time)),
            reading(day.look.time),
        ) else {
            return day.look.time;
        };
        let mut share = 0.0f64;
        for (k, target) in self.targets.iter().enumerate() {
            let (old, new) = (a.values[k], b.values[k]);
            if old > target.limit() && old > new {
                share = share.max((old - target.limit()) / (old - new));
            }
        }
        a.time + share * (b.time - a.time)
    }

    /// The worst of what is asked now, by the estimate, as a share of its limit.
    pub(super) fn ruling(&self) -> f64 {
        self.looks.last().map_or(f64::INFINITY, |look| {
            ruling(estimate(&self.readings, look).into_iter(), self.asked)
        })
    }

    /// What the tests that are over at each look would have read, in the order of the looks: between two readings on the line that the slab
    /// as it lies shows.
    pub(super) fn course(&self) -> Vec<Vec<f64>> {
        let lies_at = |time: f64| -> Option<&Look> {
            let place = self.looks.partition_point(|l| l.time < time);
            self.looks.get(place)
        };
        // Readings by the time at which they are in hand. The first stands for the time before it as well.
        let mut in_hand: Vec<Reading> = self.readings.first().cloned().into_iter().collect();
        in_hand.extend(self.readings.iter().filter_map(|r| {
            let look = lies_at(r.time + self.takes)?;
            Some(Reading {
                time: look.time,
                lies: look.lies.clone(),
                values: r.values.clone(),
            })
        }));
        self.looks
            .iter()
            .map(|look| {
                let mut values = estimate(&in_hand, look);
                values.truncate(self.asked.len());
                values
            })
            .collect()
    }
}
