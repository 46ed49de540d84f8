//! "The same floor, but ...": one difference from a scenario, as data.
//!
//! A [`Case`] is a scenario with one setup in mind; changes make other cases of it, and [`Case::job`] makes the job that is run. Causes of a
//! delay, actions, what a default or a wetting is worth, the work of the calendar and sampled worlds are all changes, so a change means the
//! same wherever it is asked about.

use super::gear_dates;
use super::{Action, Event, Job, seconds_between};
use crate::gear::assumed::AssumedAir;
use crate::gear::{Machine, Rental};
use crate::room::Installed;
use crate::scenario::model::{
    Curing, Finish, Gear, Preparation, Scenario, Underside, WET_CURING, WetCuring, WettingKind,
};
use crate::simulation::START_AGE;
use crate::units::DAY;
use crate::units::{Density, Duration, Length, Temperature, UValue};
use crate::weather::Hourly;
use jiff::civil::Date;

/// What the work of a calendar does to the slab, for one way of doing the work.
#[derive(Clone, Debug, PartialEq)]
pub struct FloorWork {
    /// Events, in order of time.
    pub events: Vec<Event>,
    /// When its first task begins \[s since placing\].
    pub begins: f64,
    /// When all tasks and waits are over \[s since placing\]: readings count from then on.
    pub ready: f64,
    /// Whether the work takes the place of the scenario's own preparation.
    pub replaces: bool,
    /// How long the run goes on after the targets are met \[s\].
    pub watched: f64,
}

impl FloorWork {
    /// Whether some work opens the face.
    #[must_use]
    pub fn opens(&self) -> bool {
        self.events
            .iter()
            .any(|e| matches!(e.action, Action::Skin(_)))
    }

    /// The same work, begun earlier by so long \[s\].
    fn sooner(&self, by: f64) -> Self {
        let event = |event: &Event| Event {
            time: event.time - by,
            ..*event
        };
        Self {
            events: self.events.iter().map(event).collect(),
            begins: self.begins - by,
            ready: self.ready - by,
            ..self.clone()
        }
    }

    fn put_into(&self, job: &mut Job) {
        if self.replaces {
            job.events
                .retain(|e| !matches!(e.action, Action::Prepare(_)));
        }
        job.events.extend(self.events.iter().map(|e| Event {
            time: e.time.max(START_AGE),
            ..*e
        }));
        job.events.sort_by(|a, b| a.time.total_cmp(&b.time));
        job.targets_from = job.targets_from.max(self.ready);
        job.cured = job.cured.max(self.ready);
        job.look_on = self.watched;
    }
}

/// Which of the scenario's wettings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wettings {
    /// Every one.
    All,
    /// Rain.
    Rain,
    /// Washing and rinsing.
    Washing,
    /// From a day on.
    From(Date),
    /// The one at this place of the list.
    One(usize),
}

/// One difference.
#[allow(clippy::large_enum_variant)] // a handful exist at a time
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// Another thickness.
    Thickness(Length),
    /// Another water-cement ratio.
    WaterCementRatio(f64),
    /// Another cement content.
    CementContent(Density),
    /// Another curing.
    Curing(Curing),
    /// Another finish, under whatever lies on it.
    Finish(Finish),
    /// The bare finish: no curing compound, no given resistance, no preparation of the scenario's own.
    BareFace(Finish),
    /// A preparation of the face.
    Prepared(Preparation),
    /// Something else below.
    Underside(Underside),
    /// The same, but over wet ground two open faces mean nothing until the ground is kept out.
    UndersideUnlessOnWetGround(Underside),
    /// Another temperature of the ground.
    GroundTemperature(Temperature),
    /// No water of this kind on the floor.
    Without(Wettings),
    /// Another day of closing in.
    ClosedIn(Date),
    /// Another day on which drying starts; never in an open shell.
    DryingStarts(Date),
    /// Another leakage \[1/h\].
    AirChanges(f64),
    /// Another U-value.
    UValue(UValue),
    /// Other gear.
    Gear(Vec<Gear>),
    /// One more entry of gear.
    MoreGear(Gear),
    /// No machine out of work in between.
    GearNeverDown,
    /// Every machine there from the start.
    GearFromTheStart,
    /// A room at this temperature or warmer \[degC\].
    RoomTemperature(f64),
    /// A room at this relative humidity or drier.
    RoomHumidity(f64),
    /// The work of a calendar on the floor.
    Work(FloorWork),
    /// The work on the floor begun on the day on which the gear goes on, if it begins later.
    WorkAtOnce,
    /// No work on the floor.
    NoWork,
}

/// A scenario with the setup in mind, and what is different from it.
#[derive(Clone, Debug, PartialEq)]
pub struct Case {
    /// The scenario, changes of it included.
    pub scenario: Scenario,
    /// Name of the setup; other setups are not run.
    pub setup: String,
    /// What the work on the floor does to the slab.
    pub work: Option<FloorWork>,
    room_temperature: Option<f64>,
    room_humidity: Option<f64>,
}

impl Case {
    /// The scenario as it is. Its day of closing in is held, so that another first day of gear does not move it.
    #[must_use]
    pub fn of(scenario: &Scenario, setup: &str, work: Option<&FloorWork>) -> Self {
        let mut scenario = scenario.clone();
        scenario.room.enclosed = Some(scenario.enclosed());
        Self {
            scenario,
            setup: setup.to_owned(),
            work: work.cloned(),
            room_temperature: None,
            room_humidity: None,
        }
    }

    /// The gear of the setup.
    #[must_use]
    pub fn gear(&self) -> &[Gear] {
        self.scenario
            .setups
            .iter()
            .find(|s| s.name == self.setup)
            .map_or(&[], |s| s.gear.as_slice())
    }

    fn set_gear(&mut self, gear: Vec<Gear>) {
        let name = &self.setup;
        if let Some(setup) = self.scenario.setups.iter_mut().find(|s| s.name == *name) {
            setup.gear = gear;
        }
    }

    /// The same floor, but with these changes, one after the other.
    #[must_use]
    pub fn with<'a>(&self, changes: impl IntoIterator<Item = &'a Change>) -> Self {
        let mut case = self.clone();
        for change in changes {
            case.take(change);
        }
        case
    }

    fn take(&mut self, change: &Change) {
        let slab = &mut self.scenario.slab;
        let room = &mut self.scenario.room;
        match change {
            Change::Thickness(thickness) => slab.thickness = *thickness,
            Change::WaterCementRatio(ratio) => slab.water_cement_ratio = Some(*ratio),
            Change::CementContent(content) => slab.cement_content = Some(*content),
            Change::Curing(curing) => slab.curing = Some(curing.clone()),
            Change::Finish(finish) => slab.finish = Some(*finish),
            Change::BareFace(finish) => {
                slab.finish = Some(*finish);
                slab.surface_resistance = None;
                slab.prepared = None;
                if matches!(slab.curing, Some(Curing::CuringCompound(_))) {
                    slab.curing = Some(Curing::Wet(WetCuring { lasts: WET_CURING }));
                }
            }
            Change::Prepared(preparation) => slab.prepared = Some(preparation.clone()),
            Change::Underside(underside) => slab.underside = Some(underside.clone()),
            Change::UndersideUnlessOnWetGround(underside) => {
                if slab.underside != Some(Underside::BareGround) {
                    slab.underside = Some(underside.clone());
                }
            }
            Change::GroundTemperature(temperature) => slab.ground_temperature = Some(*temperature),
            Change::Without(which) => {
                let mut place = 0;
                slab.wettings.iter_mut().for_each(|wettings| {
                    wettings.retain(|w| {
                        let this = place;
                        place += 1;
                        let rain = w.kind == WettingKind::Rain;
                        !match which {
                            Wettings::All => true,
                            Wettings::Rain => rain,
                            Wettings::Washing => !rain,
                            Wettings::From(day) => w.date >= *day,
                            Wettings::One(one) => this == *one,
                        }
                    });
                });
            }
            Change::ClosedIn(day) => room.enclosed = Some(*day),
            Change::DryingStarts(day) => self.scenario.gear_on = *day,
            Change::AirChanges(changes) => room.air_changes_per_hour = Some(*changes),
            Change::UValue(value) => room.u_value = Some(*value),
            Change::Gear(gear) => self.set_gear(gear.clone()),
            Change::MoreGear(machine) => {
                let mut gear = self.gear().to_vec();
                gear.push(machine.clone());
                self.set_gear(gear);
            }
            Change::GearNeverDown => self.set_gear(gear_dates::without_gaps(self.gear())),
            Change::GearFromTheStart => self.set_gear(gear_dates::from_the_start(self.gear())),
            Change::RoomTemperature(temperature) => self.room_temperature = Some(*temperature),
            Change::RoomHumidity(humidity) => self.room_humidity = Some(*humidity),
            Change::Work(work) => self.work = Some(work.clone()),
            Change::WorkAtOnce => {
                let s = &self.scenario;
                let on = seconds_between(s.slab.placed, s.gear_on.max(s.enclosed()));
                if let Some(work) = self.work.as_mut()
                    // Whole days: the crew keeps its hours.
                    && let days = ((work.begins - on) / DAY).floor()
                    && days > 0.0
                {
                    *work = work.sooner(days * DAY);
                }
            }
            Change::NoWork => self.work = None,
        }
    }

    /// The job of this case with its one setup, simulated until `end` \[s since placing\]. It ends with the targets: what comes after them is
    /// not simulated.
    #[must_use]
    pub fn job(&self, weather: &Hourly, end: f64) -> Job {
        let mut scenario = self.scenario.clone();
        // Gear cannot start in an open shell.
        scenario.gear_on = scenario.gear_on.max(scenario.enclosed());
        let starts = seconds_between(scenario.slab.placed, scenario.gear_on);
        scenario.give_up_after = Some(Duration::from_si((end - starts).max(DAY)));
        scenario.setups.retain(|s| s.name == self.setup);
        let mut job = Job::of(&scenario, weather.clone());
        if let Some(work) = &self.work {
            work.put_into(&mut job);
            job.look_on = 0.0;
        }
        if self.room_temperature.is_some() || self.room_humidity.is_some() {
            let assumed = Installed {
                machine: Machine::AssumedAir(AssumedAir {
                    temperature: self.room_temperature,
                    relative_humidity: self.room_humidity,
                    area: job.room.area,
                }),
                count: 1.0,
                // From closing-in: before it the slab lies in outside air.
                present: (0.0, f64::INFINITY),
                rental: Rental::per_day(0.0),
            };
            job.room.machines.push(assumed.clone());
            for setup in &mut job.setups {
                setup.room.machines.push(assumed.clone());
            }
        }
        job
    }
}

impl Job {
    /// The same job with the work of a calendar on its floor.
    #[must_use]
    pub fn with_work(&self, work: &FloorWork) -> Self {
        let mut job = self.clone();
        work.put_into(&mut job);
        job
    }
}
