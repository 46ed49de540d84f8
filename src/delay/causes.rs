//! The causes that a scenario holds against what was promised: each a change back to the promise.

use super::course::Course;
use super::machines;
use crate::job::TROWELLED_SKIN;
use crate::scenario;
use crate::scenario::model::WET_CURING;
use crate::scenario::model::{
    Curing, Finish, Gear, Scenario, Underside, VapourRetarder, WetCuring, WettingKind,
};
use crate::simulation::DAY;
use crate::units::{Length, RelativeHumidity, Temperature};
use jiff::ToSpan;
use jiff::civil::Date;

/// Good conditions, taken where a scenario has no `promised`: a common floor in a building that is ready for it
/// (common practice, no published source).
#[derive(Clone, Copy, Debug)]
struct GoodConditions {
    /// Thickness \[m\]: 4 in, the thinnest common floor on ground.
    thickness: f64,
    /// Water-cement ratio: as where none is given.
    water_cement_ratio: f64,
    /// Room \[degC\] and its relative humidity: a building in use, as under a film after coating.
    room_temperature: f64,
    room_relative_humidity: f64,
    /// A face that lets vapour pass.
    finish: Finish,
}

const GOOD: GoodConditions = GoodConditions {
    thickness: 0.1016,
    water_cement_ratio: scenario::WATER_CEMENT_RATIO,
    room_temperature: 20.0,
    room_relative_humidity: 0.5,
    finish: Finish::Ground,
};

/// What is taken where a scenario has no `promised`, in words.
#[must_use]
pub fn good_conditions() -> String {
    let (thickness, room) = (
        Length::from_si(GOOD.thickness),
        Temperature::from_si(GOOD.room_temperature),
    );
    format!(
        "{} ({}) of w/c {:.2} with a retarder, {} face, closed in when cured, gear from then on, no water on the floor, a room at {} ({}) or warmer and {:.0} % RH or drier",
        thickness.in_us(),
        thickness.in_si(),
        GOOD.water_cement_ratio,
        GOOD.finish.word(),
        room.in_us(),
        room.in_si(),
        100.0 * GOOD.room_relative_humidity
    )
}

/// What a cause is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CauseKind {
    /// The slab is thicker.
    Thickness,
    /// The mix holds more water.
    WaterCementRatio,
    /// It dries from one face instead of two.
    OneSided,
    /// Ground without a retarder below.
    NoRetarder,
    /// The building was closed in later.
    ClosedInLate,
    /// Rain on the floor.
    Rain,
    /// Washing and rinsing.
    Washing,
    /// What the work on the floor does: water, opened face, waits.
    Work,
    /// Colder room.
    Cold,
    /// Damper room.
    HumidAir,
    /// Trowelled or sealed face.
    Face,
    /// Gear came later.
    GearLate,
    /// Gear was down.
    GearDown,
    /// Less or other gear.
    OtherGear,
}

impl CauseKind {
    /// In the words of a bar.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Thickness => "Slab thickness",
            Self::WaterCementRatio => "Water-cement ratio",
            Self::OneSided => "Drying from one face only",
            Self::NoRetarder => "No vapour retarder",
            Self::ClosedInLate => "Closing-in date",
            Self::Rain => "Rain on the floor",
            Self::Washing => "Washing and rinsing",
            Self::Work => "Work on the floor",
            Self::Cold => "Cold room",
            Self::HumidAir => "Humid air",
            Self::Face => "Trowelled or sealed face",
            Self::GearLate => "Start of the gear",
            Self::GearDown => "Gear down",
            Self::OtherGear => "Other gear than planned",
        }
    }

    /// The key in JSON.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Thickness => "thickness",
            Self::WaterCementRatio => "water_cement_ratio",
            Self::OneSided => "one_sided",
            Self::NoRetarder => "no_vapour_retarder",
            Self::ClosedInLate => "closed_in",
            Self::Rain => "rain",
            Self::Washing => "washing",
            Self::Work => "work_on_the_floor",
            Self::Cold => "cold",
            Self::HumidAir => "humid_air",
            Self::Face => "face",
            Self::GearLate => "gear_start",
            Self::GearDown => "gear_down",
            Self::OtherGear => "other_gear",
        }
    }
}

/// Takes a course back to the promise in one respect.
pub(super) type Back = Box<dyn Fn(&mut Course) + Send + Sync>;

/// One cause.
#[derive(Clone, Debug, PartialEq)]
pub struct Cause {
    /// What it is.
    pub kind: CauseKind,
    /// As it is against what was promised, in US and SI units.
    pub detail: [String; 2],
}

/// When the gear was to start.
#[derive(Clone, Copy)]
enum Start {
    /// As it did.
    AsItIs,
    /// On a day.
    On(Date),
    /// On the day of closing in.
    AtClosingIn,
}

/// What was promised, filled up: every value either promised, or `None` for "as it is".
struct Promise {
    thickness: Option<f64>,
    water_cement_ratio: Option<f64>,
    underside: Option<Underside>,
    finish: Option<Finish>,
    closed_in: Option<Date>,
    drying_starts: Start,
    room_temperature: Option<f64>,
    room_relative_humidity: Option<f64>,
    setup: Option<String>,
}

impl Promise {
    fn of(scenario: &Scenario) -> Self {
        if let Some(p) = &scenario.promised {
            return Self {
                thickness: p.thickness.map(Length::si),
                water_cement_ratio: p.water_cement_ratio,
                underside: p.underside.clone(),
                finish: p.finish,
                closed_in: p.closed_in,
                drying_starts: p.drying_starts.map_or(Start::AsItIs, Start::On),
                room_temperature: p.room_temperature.map(Temperature::si),
                room_relative_humidity: p.room_relative_humidity.map(RelativeHumidity::si),
                setup: p.setup.clone(),
            };
        }
        let slab = &scenario.slab;
        let retarder = matches!(slab.underside(), Underside::BareGround);
        // Closed in when curing is over: a slab under wet cloth loses nothing by an open shell.
        let cured = match slab.curing() {
            Curing::Wet(wet) => wet.lasts.si(),
            Curing::Sheet(sheet) => sheet.lasts.si(),
            Curing::None | Curing::CuringCompound(_) => WET_CURING.si(),
        };
        let ready = slab
            .placed
            .checked_add(((cured / DAY).ceil() as i64).days())
            .ok();
        Self {
            thickness: Some(GOOD.thickness),
            water_cement_ratio: Some(GOOD.water_cement_ratio),
            underside: retarder.then_some(Underside::VapourRetarder(VapourRetarder {
                permeance: None,
            })),
            finish: Some(GOOD.finish),
            closed_in: ready.filter(|ready| closed_in(scenario) > *ready),
            drying_starts: Start::AtClosingIn,
            room_temperature: Some(GOOD.room_temperature),
            room_relative_humidity: Some(GOOD.room_relative_humidity),
            setup: None,
        }
    }
}

/// The day of closing in, taken.
pub(super) fn closed_in(scenario: &Scenario) -> Date {
    scenario.room.closed_in.unwrap_or(scenario.drying_starts)
}

fn both_sides(underside: &Underside) -> bool {
    match underside {
        Underside::OpenAir(_) => true,
        Underside::MetalDeck(deck) => deck.open_share().si() > 0.0,
        Underside::Sealed | Underside::VapourRetarder(_) | Underside::BareGround => false,
    }
}

/// The causes of a course that differ from the promise, each with its way back, in the order in which they are told.
pub(super) fn causes(course: &Course) -> Vec<(Cause, Back)> {
    let s = &course.scenario;
    let promise = Promise::of(s);
    let mut list = List {
        course,
        causes: Vec::new(),
    };
    list.slab(s, &promise);
    list.building(s, &promise);
    list.water(s);
    list.work();
    list.gear(s, promise);
    list.causes
}

struct List<'a> {
    course: &'a Course,
    causes: Vec<(Cause, Back)>,
}

impl List<'_> {
    /// Takes a cause on if going back changes something.
    fn add(
        &mut self,
        kind: CauseKind,
        detail: [String; 2],
        back: impl Fn(&mut Course) + Send + Sync + 'static,
    ) {
        let mut changed = self.course.clone();
        back(&mut changed);
        if changed != *self.course {
            self.take_on(kind, detail, back);
        }
    }

    fn take_on(
        &mut self,
        kind: CauseKind,
        detail: [String; 2],
        back: impl Fn(&mut Course) + Send + Sync + 'static,
    ) {
        self.causes
            .push((Cause { kind, detail }, Box::new(back) as Back));
    }

    fn slab(&mut self, s: &Scenario, promise: &Promise) {
        let slab = &s.slab;
        if let Some(promised) = promise.thickness {
            let is = slab.thickness;
            let was = Length::from_si(promised);
            if (is.si() - promised).abs() > 1e-6 {
                let detail = [
                    format!("{} instead of {}", is.in_us(), was.in_us()),
                    format!("{} instead of {}", is.in_si(), was.in_si()),
                ];
                self.add(CauseKind::Thickness, detail, move |c| {
                    c.scenario.slab.thickness = Length::from_si(promised);
                });
            }
        }
        if let Some(promised) = promise.water_cement_ratio {
            let is = slab.water_cement_ratio();
            if (is - promised).abs() > 1e-9 {
                let detail = plain(&format!("{is:.2} instead of {promised:.2}"));
                self.add(CauseKind::WaterCementRatio, detail, move |c| {
                    c.scenario.slab.water_cement_ratio = Some(promised);
                });
            }
        }
        if let Some(promised) = promise.underside.clone() {
            self.underside(&slab.underside(), promised);
        }
        if let Some(promised) = promise.finish {
            let sealed = matches!(slab.curing(), Curing::CuringCompound(_));
            let is = if sealed {
                "curing compound".to_owned()
            } else if slab.surface_resistance.is_some() {
                "face of given resistance".to_owned()
            } else {
                slab.finish().word().to_owned()
            };
            let is = match &slab.prepared {
                Some(p) => format!("{is}, {} on {}", p.leaves.word(), p.date),
                None => is,
            };
            let open = |finish| finish != Finish::SteelTrowelled;
            let same = open(slab.finish()) == open(promised)
                && slab.surface_resistance.is_none()
                && !sealed
                && slab
                    .prepared
                    .as_ref()
                    .is_none_or(|p| open(p.leaves) == open(promised));
            if !same {
                let detail = plain(&format!("{is}, instead of {}", promised.word()));
                self.add(CauseKind::Face, detail, move |c| {
                    let slab = &mut c.scenario.slab;
                    slab.finish = Some(promised);
                    slab.surface_resistance = None;
                    slab.prepared = None;
                    if matches!(slab.curing, Some(Curing::CuringCompound(_))) {
                        slab.curing = Some(Curing::Wet(WetCuring { lasts: WET_CURING }));
                    }
                });
            }
        }
    }

    /// Two steps lead from two open faces to bare ground: one face closed, then wet ground under it.
    fn underside(&mut self, is: &Underside, promised: Underside) {
        let detail = plain(&format!("{} instead of {}", is.word(), promised.word()));
        let wet = *is == Underside::BareGround && promised != Underside::BareGround;
        let one_sided = both_sides(&promised) && !both_sides(is);
        let tight = Underside::VapourRetarder(VapourRetarder { permeance: None });
        // The way back to a dry underside comes first, and that to two open faces after it.
        if wet {
            let dry = if both_sides(&promised) {
                tight
            } else {
                promised.clone()
            };
            self.add(CauseKind::NoRetarder, detail.clone(), move |c| {
                c.scenario.slab.underside = Some(dry.clone());
            });
        }
        if one_sided {
            self.take_on(CauseKind::OneSided, detail, move |c| {
                // Over wet ground two open faces mean nothing until the ground is kept out.
                if c.scenario.slab.underside != Some(Underside::BareGround) {
                    c.scenario.slab.underside = Some(promised.clone());
                }
            });
        }
    }

    fn building(&mut self, s: &Scenario, promise: &Promise) {
        let is = closed_in(s);
        if let Some(promised) = promise.closed_in.filter(|promised| *promised != is) {
            let detail = plain(&format!("{is} instead of {promised}"));
            self.add(CauseKind::ClosedInLate, detail, move |c| {
                c.scenario.room.closed_in = Some(promised);
            });
        }
        if let Some(promised) = promise.room_temperature {
            let t = Temperature::from_si(promised);
            let detail = [
                format!("below the {} assumed", t.in_us()),
                format!("below the {} assumed", t.in_si()),
            ];
            self.add(CauseKind::Cold, detail, move |c| {
                c.room_temperature = Some(promised);
            });
        }
        if let Some(promised) = promise.room_relative_humidity {
            let detail = plain(&format!("above the {:.0} % assumed", promised * 100.0));
            self.add(CauseKind::HumidAir, detail, move |c| {
                c.room_relative_humidity = Some(promised);
            });
        }
    }

    fn water(&mut self, s: &Scenario) {
        let all = s.slab.wettings.as_deref().unwrap_or_default();
        for (kind, is_rain) in [(CauseKind::Rain, true), (CauseKind::Washing, false)] {
            let times = all
                .iter()
                .filter(|w| (w.kind == WettingKind::Rain) == is_rain)
                .count();
            let detail = plain(&if times == 1 {
                "once".to_owned()
            } else {
                format!("{times} times")
            });
            self.add(kind, detail, move |c| {
                if let Some(wettings) = &mut c.scenario.slab.wettings {
                    wettings.retain(|w| (w.kind == WettingKind::Rain) != is_rain);
                }
            });
        }
    }

    fn work(&mut self) {
        let Some(work) = &self.course.work else {
            return;
        };
        let placed = self.course.scenario.slab.placed;
        let over = placed
            .checked_add(((work.ready / DAY).floor() as i64).days())
            .map_or_else(|_| "late".into(), |day| format!("until {day}"));
        self.add(CauseKind::Work, plain(&over), |c| c.work = None);
    }

    fn gear(&mut self, s: &Scenario, promise: Promise) {
        let gear = self.course.gear();
        let planned = promise
            .setup
            .as_ref()
            .and_then(|name| s.setups.iter().find(|setup| setup.name == *name))
            .map(|setup| setup.gear.clone());
        let down = machines::without_gaps(gear);
        // The first machine on site; one without a day of its own comes with the start.
        let first_day = |m: &Gear| machines::from(m).unwrap_or(s.drying_starts);
        let arrived = gear.iter().map(first_day).min().unwrap_or(s.drying_starts);
        // The last to come for the first time: the return of one that was down is another cause.
        let first_times = gear.iter().filter(|m| !machines::returns(gear, m));
        let complete = first_times.map(first_day).max().unwrap_or(arrived);
        let whole = down.clone();
        self.add(
            CauseKind::GearDown,
            plain("out of work for a time"),
            move |c| {
                c.set_gear(whole.clone());
            },
        );
        let promised = promise.drying_starts;
        let on = move |s: &Scenario| match promised {
            Start::AsItIs => None,
            Start::On(day) => Some(day),
            Start::AtClosingIn => Some(closed_in(s)),
        };
        let first = on(s);
        let is = arrived.max(s.drying_starts);
        let detail = match first {
            Some(first) if first != is => format!("{is} instead of {first}"),
            _ => format!("some of it not before {complete}"),
        };
        self.add(CauseKind::GearLate, plain(&detail), move |c| {
            if let Some(day) = on(&c.scenario) {
                c.scenario.drying_starts = day;
            }
            let gear = machines::from_the_start(c.gear());
            c.set_gear(gear);
        });
        if let Some(planned) = planned {
            let name = promise.setup.unwrap_or_default();
            let detail = plain(&format!("\"{}\" instead of \"{name}\"", self.course.setup));
            self.add(CauseKind::OtherGear, detail, move |c| {
                c.set_gear(planned.clone());
            });
        }
    }
}

fn plain(text: &str) -> [String; 2] {
    [text.to_owned(), text.to_owned()]
}

/// Whether the face of a scenario keeps vapour back on a day.
pub(super) fn face_closed(scenario: &Scenario, day: Date) -> bool {
    let slab = &scenario.slab;
    match &slab.prepared {
        Some(p) if p.date <= day => p.leaves == Finish::SteelTrowelled,
        _ => {
            let bare = slab.surface_resistance.map_or_else(
                || {
                    if slab.finish() == Finish::SteelTrowelled {
                        TROWELLED_SKIN
                    } else {
                        0.0
                    }
                },
                |z| z.si(),
            );
            bare > 0.0 || matches!(slab.curing(), Curing::CuringCompound(_))
        }
    }
}
