//! The whole of it: one way of doing the work is chosen, the others are reckoned beside it.

use crate::units::{HOUR, WATER};
use rayon::prelude::*;

use super::calendar::{self, CalendarFault, DAY, Schedule, WorkingTime};
use super::checklist::{self, Check};
use super::coating::{CoatingDay, NoDay, Question, coating_day};
use super::drying::{self, Run};
use super::methods::{self, Facts, METHODS};
use super::progress::{self, Done, PrepareFault};
use super::repairs::{Judged, judge};
use super::survey::Survey;
use super::takeoff::{self, Line};
use super::tasks::{self, Tasks};
use crate::evaluate::{self, Accuracy, NotComputed};
use crate::gear::Rental;
use crate::job::change::FloorWork;
use crate::job::{Job, rates, seconds_between};
use crate::scenario::coating_window::CoatingWindow;
use crate::scenario::model::{
    Dust, Finding, Hire, Order, Scenario, SiteWork, Walk, Wash, WorkingDays,
};

/// How far to go.
#[derive(Clone, Copy, Debug)]
pub enum Depth<'a> {
    /// Tasks alone: no drying is claimed.
    Tasks,
    /// With the drying of a job, computed this finely.
    Drying(&'a Job, Accuracy),
}

/// What a hired machine costs.
fn rental(hire: &Hire) -> Rental {
    Rental {
        rates: rates(hire.rent.iter()),
        ..Rental::default()
    }
}

/// One way of doing the work, with its calendar and what it takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// How concrete gets its profile; `None` without concrete or when nothing fits.
    pub method: Option<&'static Facts>,
    /// Order of washing and opening the face.
    pub order: Order,
    /// Tasks.
    pub tasks: Tasks,
    /// Their times.
    pub schedule: Schedule,
    /// Shopping list.
    pub shopping: Vec<Line>,
    /// Labour \[person-seconds\].
    pub labour: f64,
    /// What the labour costs; `None` without a price.
    pub wages: Option<f64>,
    /// Days on which the machines of the method are on hire.
    pub hire_days: i64,
    /// What that costs; `None` without a price.
    pub hire: Option<f64>,
    /// Cost of packs, labour and hire as far as prices are given.
    pub cost: f64,
    /// Whether some price was missing.
    pub cost_incomplete: bool,
}

/// A setup with its coating day.
#[derive(Clone, Debug, PartialEq)]
pub struct SetupDay {
    /// What the simulation says.
    pub run: Run,
    /// The coating day.
    pub day: Result<CoatingDay, NoDay>,
}

impl SetupDay {
    /// Since when the floor is dry on the coating day; without one, when it is dry first \[s since placing\].
    #[must_use]
    pub fn dry_from(&self) -> Option<f64> {
        let on_the_day = self.day.as_ref().ok().and_then(|day| day.dry_from);
        on_the_day.or(self.run.dry_from())
    }
}

/// One method beside the others.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// What it is.
    pub facts: &'static Facts,
    /// Why it does not fit; empty when it does.
    pub against: Vec<String>,
    /// The way of doing the work with it; `None` where it does not fit and was not asked for.
    pub way: Option<Way>,
    /// Its coating day with the setup that is best for it; `None` where no way was reckoned.
    pub day: Option<Result<CoatingDay, NoDay>>,
    /// That setup; `None` where no drying is claimed.
    pub setup: Option<String>,
    /// Days by which the floor is dry later than with a method that neither wets it nor opens its face; negative for sooner. `None`
    /// where no drying is claimed or it does not get dry.
    pub added_drying: Option<f64>,
}

/// The other order of washing and opening the face.
#[derive(Clone, Debug, PartialEq)]
pub struct OtherOrder {
    /// Which.
    pub order: Order,
    /// Its coating day.
    pub day: Result<CoatingDay, NoDay>,
    /// When its floor is dry \[s\].
    pub dry_from: Option<f64>,
    /// Its cost.
    pub cost: f64,
}

/// All that came of a walk.
#[derive(Clone, Debug, PartialEq)]
pub struct Prepared {
    /// The walk in numbers.
    pub survey: Survey,
    /// Repairs, rules and holds.
    pub judged: Judged,
    /// The way that is taken.
    pub way: Way,
    /// All methods; empty without concrete.
    pub choices: Vec<Choice>,
    /// Whether the method was named in the scenario.
    pub method_named: bool,
    /// Setups with their coating days, best first; empty where no drying is claimed.
    pub setups: Vec<SetupDay>,
    /// Setups on which the solver gave up.
    pub not_computed: Vec<NotComputed>,
    /// The coating day of the best setup, or by tasks alone.
    pub day: Result<CoatingDay, NoDay>,
    /// The other order, where there is one.
    pub other: Option<OtherOrder>,
    /// Ready-to-coat checklist.
    pub checklist: Vec<Check>,
    /// The currency of the scenario.
    pub currency: crate::units::format::Currency,
    /// Cautions.
    pub cautions: Vec<String>,
    /// How much dust the site allows.
    pub dust_allowed: Dust,
    /// What the coating asks of its day.
    pub window: CoatingWindow,
    /// When people work.
    pub working_time: WorkingTime,
    /// Start of the preparation \[s since midnight of the day of placing\].
    pub start: f64,
    /// Day of placing, day 0.
    pub placed: jiff::civil::Date,
}

impl Prepared {
    /// The date of a day's number.
    #[must_use]
    pub fn date(&self, day: i64) -> jiff::civil::Date {
        let days = day.clamp(-100_000, 100_000);
        self.placed
            .checked_add(jiff::Span::new().days(days))
            .unwrap_or(self.placed)
    }

    /// The date on which a moment falls \[s\].
    #[must_use]
    pub fn date_of(&self, time: f64) -> jiff::civil::Date {
        self.date((time / DAY).floor() as i64)
    }

    /// Every setup in the order in which it is shown: those computed, then the others.
    pub fn all(&self) -> impl Iterator<Item = Result<&SetupDay, &NotComputed>> {
        let computed = self.setups.iter().map(Ok);
        computed.chain(self.not_computed.iter().map(Err))
    }

    /// Whether drying is part of it.
    #[must_use]
    pub fn claims_drying(&self) -> bool {
        !self.setups.is_empty() || !self.not_computed.is_empty()
    }
}

/// When people work, on the clock of a scenario.
#[must_use]
pub fn working_time(scenario: &Scenario, walk: &Walk) -> WorkingTime {
    let (from, to) = walk.hours();
    let weekdays = match walk.days() {
        WorkingDays::MondayToFriday => [true, true, true, true, true, false, false],
        WorkingDays::MondayToSaturday => [true, true, true, true, true, true, false],
        WorkingDays::EveryDay => [true; 7],
    };
    let placed = scenario.slab.placed;
    let days_off = walk
        .working_time
        .iter()
        .flat_map(|t| t.days_off.iter().flatten())
        .map(|date| (seconds_between(placed, *date) / DAY).round() as i64)
        .collect();
    WorkingTime {
        from: from * HOUR,
        to: to * HOUR,
        weekdays,
        first_weekday: placed.weekday().to_monday_zero_offset() as usize,
        days_off,
    }
}

/// The setups with one way of doing the work.
#[derive(Default)]
struct BySetup {
    /// Best coating day first, then the cheaper.
    setups: Vec<SetupDay>,
    /// Those on which the solver gave up.
    not_computed: Vec<NotComputed>,
}

impl BySetup {
    /// The coating day with the best of them.
    fn day(&self) -> Option<Result<CoatingDay, NoDay>> {
        let gave_up = self.not_computed.first().map(|_| Err(NoDay::NotComputed));
        self.setups.first().map(|best| best.day.clone()).or(gave_up)
    }
}

/// Everything that does not change from way to way.
struct Setting<'a> {
    scenario: &'a Scenario,
    walk: &'a Walk,
    survey: Survey,
    judged: Judged,
    window: CoatingWindow,
    time: WorkingTime,
    start: f64,
    done: Vec<Done>,
    depth: Depth<'a>,
}

/// From a walk to the coating day. `table` holds the findings of its table.
///
/// # Errors
/// When the calendar would be too long, or when tasks are ticked off or holds lifted that this floor does not have.
pub fn prepare_floor(
    scenario: &Scenario,
    walk: &Walk,
    table: &[Finding],
    depth: Depth<'_>,
) -> Result<Prepared, PrepareFault> {
    let survey = Survey::new(walk, table);
    let judged = judge(&survey, walk);
    let done = progress::ticked(walk, &survey, scenario.slab.placed);
    let unknown = progress::unknown_holds(walk, &judged, &survey);
    let planned = seconds_between(scenario.slab.placed, scenario.preparation_starts());
    // Work that is done before the day that was planned starts the calendar on its own day.
    let start = done
        .iter()
        .map(|one| (one.finished / DAY).floor() * DAY)
        .fold(planned, f64::min);
    let setting = Setting {
        scenario,
        walk,
        window: CoatingWindow::of(scenario.coating.as_ref()),
        time: working_time(scenario, walk),
        start,
        done,
        survey,
        judged,
        depth,
    };
    let order = walk.order.unwrap_or(Order::WashFirst);
    if setting.survey.concrete() <= 0.0 {
        let way = setting.way(None, order)?;
        progress::all_known(&setting.done, &setting.survey, &[&way.tasks], unknown)?;
        let day = setting.by_tasks(&way);
        return Ok(setting.finish(way, Vec::new(), BySetup::default(), day, None));
    }
    let against =
        |facts: &Facts| methods::against(facts, &setting.survey, &setting.judged.repairs, walk);
    let mut choices = Vec::new();
    for facts in &METHODS {
        let against = against(facts);
        let wanted = against.is_empty() || walk.method == Some(facts.method);
        choices.push(Choice {
            facts,
            way: if wanted {
                Some(setting.way(Some(facts), order)?)
            } else {
                None
            },
            against,
            day: None,
            setup: None,
            added_drying: None,
        });
    }
    let mut ways: Vec<&Tasks> = choices
        .iter()
        .filter(|c| walk.method.is_none_or(|named| named == c.facts.method))
        .filter_map(|c| Some(&c.way.as_ref()?.tasks))
        .collect();
    let bare = if ways.is_empty() {
        Some(setting.way(None, order)?)
    } else {
        None
    };
    ways.extend(bare.as_ref().map(|way| &way.tasks));
    progress::all_known(&setting.done, &setting.survey, &ways, unknown)?;
    for choice in &mut choices {
        let way = choice.way.take();
        let alien = way.as_ref().map_or(Vec::new(), |way| {
            progress::not_of(&setting.done, &way.tasks)
        });
        if alien.is_empty() {
            choice.way = way;
        } else {
            let why = format!(
                "The floor is prepared another way: {} is done.",
                alien.join(", ")
            );
            choice.against.push(why);
        }
    }
    let first = choices
        .iter()
        .position(|c| walk.method == Some(c.facts.method))
        .or_else(|| choices.iter().position(|c| c.way.is_some()));
    let Some(first) = first else {
        let way = setting.way(None, order)?;
        let day = setting.by_tasks(&way);
        return Ok(setting.finish(way, choices, BySetup::default(), day, None));
    };
    let Depth::Drying(job, accuracy) = setting.depth else {
        for choice in &mut choices {
            choice.day = choice.way.as_ref().map(|way| setting.by_tasks(way));
        }
        let chosen = setting.best(&choices, first);
        let (way, day) = taken(&choices, chosen, &setting, order)?;
        let other = setting.other(&way, None)?;
        return Ok(setting.finish(way, choices, BySetup::default(), day, other));
    };
    let found: Vec<Option<(BySetup, Option<f64>)>> = choices
        .par_iter()
        .map(|choice| {
            let way = choice.way.as_ref()?;
            Some(setting.by_setup(job, accuracy, way, choice.facts.work))
        })
        .collect();
    for (choice, found) in choices.iter_mut().zip(&found) {
        if let Some((found, added)) = found {
            choice.day = found.day();
            choice.setup = found
                .setups
                .first()
                .map(|best| best.run.outcome.name.clone());
            choice.added_drying = *added;
        }
    }
    let chosen = setting.best(&choices, first);
    let (way, day) = taken(&choices, chosen, &setting, order)?;
    let found = found.into_iter().nth(chosen).flatten();
    let found = found.map_or_else(BySetup::default, |(found, _)| found);
    let other = setting.other(&way, found.setups.first())?;
    Ok(setting.finish(way, choices, found, day, other))
}

/// Days from the first to the last on which what a method needs is used.
fn hire_days(facts: &Facts, tasks: &Tasks, schedule: &Schedule) -> i64 {
    let used = || {
        tasks
            .tasks
            .iter()
            .zip(&schedule.slots)
            .filter(|(task, _)| [facts.work, SiteWork::EdgeGrinding].contains(&task.work))
            .map(|(_, slot)| slot)
    };
    let first = used().map(|s| s.start).fold(f64::INFINITY, f64::min);
    let last = used().map(|s| s.end).fold(f64::NEG_INFINITY, f64::max);
    if first > last {
        return 0;
    }
    (last / DAY).floor() as i64 - (first / DAY).floor() as i64 + 1
}

/// The job with the one setup that turned out best.
fn only(job: &Job, best: Option<&SetupDay>) -> Job {
    let mut job = job.clone();
    job.setups
        .retain(|setup| best.is_some_and(|best| best.run.outcome.name == setup.name));
    job
}

fn taken(
    choices: &[Choice],
    chosen: usize,
    setting: &Setting<'_>,
    order: Order,
) -> Result<(Way, Result<CoatingDay, NoDay>), CalendarFault> {
    let choice = choices.get(chosen);
    let way = match choice.and_then(|c| c.way.clone()) {
        Some(way) => way,
        None => setting.way(None, order)?,
    };
    let day = choice
        .and_then(|c| c.day.clone())
        .unwrap_or(Err(NoDay::NotDry));
    Ok((way, day))
}

/// What the calendar of a way does to the slab. `without` leaves out what this work does.
fn way_on_the_slab(
    scenario: &Scenario,
    walk: &Walk,
    survey: &Survey,
    start: f64,
    way: &Way,
    without: Option<SiteWork>,
) -> FloorWork {
    // A preparation that the scenario gives for a day from the start on is the one that the calendar now times.
    let own = scenario
        .slab
        .prepared
        .as_ref()
        .is_some_and(|p| seconds_between(scenario.slab.placed, p.date) >= start);
    drying::on_the_slab(
        survey,
        &way.tasks,
        &way.schedule,
        walk.water_left().si() * WATER,
        without,
        own,
    )
}

/// What the calendar of a prepared floor does to the slab, for whoever computes its drying further.
#[must_use]
pub fn work_on_the_slab(prepared: &Prepared, scenario: &Scenario, walk: &Walk) -> FloorWork {
    let Prepared {
        survey, start, way, ..
    } = prepared;
    way_on_the_slab(scenario, walk, survey, *start, way, None)
}

impl Setting<'_> {
    fn way(&self, method: Option<&'static Facts>, order: Order) -> Result<Way, CalendarFault> {
        let repairs = &self.judged.repairs;
        let mut tasks = tasks::tasks(
            &self.survey,
            repairs,
            method,
            order,
            self.walk,
            self.window.dry_time_after_wetting.value,
        );
        progress::put_in(&self.done, &mut tasks);
        let schedule = calendar::schedule(&tasks.steps, &self.time, self.start)?;
        let shopping = takeoff::shopping(&self.survey, repairs, method, self.walk);
        let labour: f64 = tasks.tasks.iter().map(|t| t.labour).sum();
        // The price per hour is kept as money per second.
        let wages = self.walk.labour.map(|price| price.si() * labour);
        let packs: f64 = shopping.iter().filter_map(|line| line.cost).sum();
        let price = method.and_then(|facts| {
            let mut prices = self.walk.hire.iter().flatten();
            prices.find(|hire| hire.method == facts.method)
        });
        // Handwork hires nothing, unless a price says so.
        let hires = |facts: &&Facts| facts.power.is_some() || price.is_some();
        let hire_days = method
            .filter(hires)
            .map_or(0, |facts| hire_days(facts, &tasks, &schedule));
        let hire = match price {
            Some(hire) => Some(rental(hire).rent(hire_days as f64)),
            None => (hire_days == 0).then_some(0.0),
        };
        Ok(Way {
            method,
            order,
            cost: packs + wages.unwrap_or(0.0) + hire.unwrap_or(0.0),
            cost_incomplete: wages.is_none()
                || hire.is_none()
                || shopping.iter().any(|line| line.cost.is_none()),
            wages,
            hire_days,
            hire,
            tasks,
            schedule,
            shopping,
            labour,
        })
    }

    fn question(&self, way: &Way) -> Question<'static> {
        Question {
            ready: way.schedule.ready,
            old_enough: (self.survey.concrete() > 0.0).then_some(self.window.concrete_age.value),
            dry: None,
            days: None,
        }
    }

    /// The coating day by tasks alone.
    fn by_tasks(&self, way: &Way) -> Result<CoatingDay, NoDay> {
        coating_day(&self.question(way), &self.time)
    }

    fn by_run(&self, way: &Way, run: &Run) -> Result<CoatingDay, NoDay> {
        if let Depth::Drying(job, _) = self.depth
            && run.dry.is_empty()
            && way.schedule.ready >= job.give_up
        {
            return Err(NoDay::WorkBeyond);
        }
        let question = Question {
            dry: Some(&run.dry),
            days: Some((&run.days, &self.window)),
            ..self.question(way)
        };
        coating_day(&question, &self.time)
    }

    /// Every setup of a job with the calendar of a way in it; `without` leaves out what this work does to the slab.
    fn runs(
        &self,
        job: &Job,
        way: &Way,
        without: Option<SiteWork>,
        accuracy: Accuracy,
    ) -> Vec<Result<Run, NotComputed>> {
        let cure = self.window.cure_time.value;
        let work = way_on_the_slab(
            self.scenario,
            self.walk,
            &self.survey,
            self.start,
            way,
            without,
        );
        let mut job = job.with_work(&work);
        // What keeps everybody waiting once the floor is dry and ready must not use up the days that are looked at.
        let too_young = (self.window.concrete_age.value - way.schedule.ready).max(0.0);
        job.look_on += cure + too_young + self.time.days_off.len() as f64 * DAY;
        drying::run_all(&job, &self.time, cure, accuracy)
    }

    fn setups(&self, job: &Job, accuracy: Accuracy, way: &Way) -> BySetup {
        let (runs, not_computed) = evaluate::apart(self.runs(job, way, None, accuracy));
        let mut setups: Vec<SetupDay> = runs
            .into_iter()
            .map(|run| SetupDay {
                day: self.by_run(way, &run),
                run,
            })
            .collect();
        let key = |s: &SetupDay| s.day.as_ref().map_or(i64::MAX, |d| d.day);
        setups.sort_by(|a, b| {
            key(a)
                .cmp(&key(b))
                .then(a.run.outcome.cost.total_cmp(&b.run.outcome.cost))
        });
        BySetup {
            setups,
            not_computed,
        }
    }

    /// The setups with one way, and the drying that its method adds with the best of them.
    fn by_setup(
        &self,
        job: &Job,
        accuracy: Accuracy,
        way: &Way,
        work: SiteWork,
    ) -> (BySetup, Option<f64>) {
        let found = self.setups(job, accuracy, way);
        let best = found.setups.first();
        let without = self
            .runs(&only(job, best), way, Some(work), accuracy)
            .pop()
            .and_then(|run| run.ok()?.dry_from());
        let added = best
            .and_then(|best| best.run.dry_from())
            .zip(without)
            .map(|(with, without)| (with - without) / DAY);
        (found, added)
    }

    /// The way to take: the named one, else that with the earliest coating day, then the cheapest.
    fn best(&self, choices: &[Choice], first: usize) -> usize {
        if self.walk.method.is_some() {
            return first;
        }
        let key = |choice: &Choice| {
            choice.way.as_ref().map(|way| {
                let day = match &choice.day {
                    Some(Ok(day)) => day.day,
                    _ => i64::MAX,
                };
                (day, way.cost, way.schedule.ready)
            })
        };
        choices
            .iter()
            .enumerate()
            .filter_map(|(index, choice)| Some((index, key(choice)?)))
            .min_by(|(_, a), (_, b)| {
                a.0.cmp(&b.0)
                    .then(a.1.total_cmp(&b.1))
                    .then(a.2.total_cmp(&b.2))
            })
            .map_or(first, |(index, _)| index)
    }

    /// What the other order would come to, where the floor is both washed and opened dry. `best` is the setup that it dries with.
    fn other(
        &self,
        way: &Way,
        best: Option<&SetupDay>,
    ) -> Result<Option<OtherOrder>, CalendarFault> {
        let opened_dry = way.method.is_some_and(|facts| !facts.wets);
        // Once one of the two is done the order is no longer open.
        let begun = way
            .tasks
            .tasks
            .iter()
            .zip(&way.tasks.steps)
            .any(|(task, step)| {
                step.finished.is_some()
                    && (task.work == SiteWork::PowerWashing
                        || task.effect.is_some_and(|e| e.opens()))
            });
        if begun || !opened_dry || self.walk.wash != Some(Wash::PowerWash) {
            return Ok(None);
        }
        let order = match way.order {
            Order::WashFirst => Order::WashLast,
            Order::WashLast => Order::WashFirst,
        };
        let other = self.way(way.method, order)?;
        let (day, dry_from) = match self.depth {
            Depth::Tasks => (self.by_tasks(&other), None),
            Depth::Drying(job, accuracy) => {
                match self.runs(&only(job, best), &other, None, accuracy).pop() {
                    Some(Ok(run)) => (self.by_run(&other, &run), run.dry_from()),
                    // With no setup computed none is tried.
                    Some(Err(_)) | None => (Err(NoDay::NotComputed), None),
                }
            }
        };
        Ok(Some(OtherOrder {
            order,
            day,
            dry_from,
            cost: other.cost,
        }))
    }

    fn finish(
        self,
        way: Way,
        choices: Vec<Choice>,
        found: BySetup,
        day: Result<CoatingDay, NoDay>,
        other: Option<OtherOrder>,
    ) -> Prepared {
        let method = way.method.map(|facts| facts.method);
        Prepared {
            checklist: checklist::checklist(&self.survey, method, &self.window),
            currency: crate::job::currency(self.scenario),
            cautions: checklist::cautions(&way.tasks, &self.judged.repairs),
            dust_allowed: methods::dust_allowed(self.walk),
            method_named: self.walk.method.is_some(),
            survey: self.survey,
            judged: self.judged,
            way,
            choices,
            setups: found.setups,
            not_computed: found.not_computed,
            day,
            other,
            window: self.window,
            working_time: self.time,
            start: self.start,
            placed: self.scenario.slab.placed,
        }
    }
}
