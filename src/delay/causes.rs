//! The causes that a scenario holds against what was promised: each a change back to the promise.

use crate::job::TROWELLED_SKIN;
use crate::job::change::{Case, Change, Wettings, enclosed};
use crate::job::gear_dates;
use crate::scenario;
use crate::scenario::model::WET_CURING;
use crate::scenario::model::{
    Curing, Finish, Gear, Scenario, Underside, VapourRetarder, WettingKind,
};
use crate::units::DAY;
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
    enclosed: Option<Date>,
    gear_on: Start,
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
                enclosed: p.enclosed,
                gear_on: p.gear_on.map_or(Start::AsItIs, Start::On),
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
            enclosed: ready.filter(|ready| enclosed(scenario) > *ready),
            gear_on: Start::AtClosingIn,
            room_temperature: Some(GOOD.room_temperature),
            room_relative_humidity: Some(GOOD.room_relative_humidity),
            setup: None,
        }
    }
}

fn both_sides(underside: &Underside) -> bool {
    match underside {
        Underside::OpenAir(_) => true,
        Underside::MetalDeck(deck) => deck.open_share().si() > 0.0,
        Underside::Sealed | Underside::VapourRetarder(_) | Underside::BareGround => false,
    }
}

/// The causes of a case that differ from the promise, each with what takes it back, in the order in which they are told.
pub(super) fn causes(case: &Case) -> Vec<(Cause, Vec<Change>)> {
    let s = &case.scenario;
    let promise = Promise::of(s);
    let mut list = List {
        case,
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
    case: &'a Case,
    causes: Vec<(Cause, Vec<Change>)>,
}

impl List<'_> {
    /// Takes a cause on if taking it back changes something.
    fn add(&mut self, kind: CauseKind, detail: [String; 2], back: Change) {
        self.add_all(kind, detail, vec![back]);
    }

    fn add_all(&mut self, kind: CauseKind, detail: [String; 2], back: Vec<Change>) {
        if self.case.with(&back) != *self.case {
            self.causes.push((Cause { kind, detail }, back));
        }
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
                self.add(CauseKind::Thickness, detail, Change::Thickness(was));
            }
        }
        if let Some(promised) = promise.water_cement_ratio {
            let is = slab.water_cement_ratio();
            if (is - promised).abs() > 1e-9 {
                let detail = plain(&format!("{is:.2} instead of {promised:.2}"));
                self.add(
                    CauseKind::WaterCementRatio,
                    detail,
                    Change::WaterCementRatio(promised),
                );
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
                self.add(CauseKind::Face, detail, Change::BareFace(promised));
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
            self.add(
                CauseKind::NoRetarder,
                detail.clone(),
                Change::Underside(dry),
            );
        }
        if one_sided {
            let open = Change::UndersideUnlessOnWetGround(promised);
            // Taken on even where it changes nothing by itself: the ground must be kept out first.
            let cause = Cause {
                kind: CauseKind::OneSided,
                detail,
            };
            self.causes.push((cause, vec![open]));
        }
    }

    fn building(&mut self, s: &Scenario, promise: &Promise) {
        let is = enclosed(s);
        if let Some(promised) = promise.enclosed.filter(|promised| *promised != is) {
            let detail = plain(&format!("{is} instead of {promised}"));
            self.add(CauseKind::ClosedInLate, detail, Change::ClosedIn(promised));
        }
        if let Some(promised) = promise.room_temperature {
            let t = Temperature::from_si(promised);
            let detail = [
                format!("below the {} assumed", t.in_us()),
                format!("below the {} assumed", t.in_si()),
            ];
            self.add(CauseKind::Cold, detail, Change::RoomTemperature(promised));
        }
        if let Some(promised) = promise.room_relative_humidity {
            let detail = plain(&format!("above the {:.0} % assumed", promised * 100.0));
            self.add(CauseKind::HumidAir, detail, Change::RoomHumidity(promised));
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
            let which = if is_rain {
                Wettings::Rain
            } else {
                Wettings::Washing
            };
            self.add(kind, detail, Change::Without(which));
        }
    }

    fn work(&mut self) {
        let Some(work) = &self.case.work else {
            return;
        };
        let placed = self.case.scenario.slab.placed;
        let over = placed
            .checked_add(((work.ready / DAY).floor() as i64).days())
            .map_or_else(|_| "late".into(), |day| format!("until {day}"));
        self.add(CauseKind::Work, plain(&over), Change::NoWork);
    }

    fn gear(&mut self, s: &Scenario, promise: Promise) {
        let gear = self.case.gear();
        let planned = promise
            .setup
            .as_ref()
            .and_then(|name| s.setups.iter().find(|setup| setup.name == *name))
            .map(|setup| setup.gear.clone());
        // The first machine on site; one without a day of its own comes with the start.
        let first_day = |m: &Gear| gear_dates::from(m).unwrap_or(s.gear_on);
        let arrived = gear.iter().map(first_day).min().unwrap_or(s.gear_on);
        // The last to come for the first time: the return of one that was down is another cause.
        let first_times = gear.iter().filter(|m| !gear_dates::returns(gear, m));
        let complete = first_times.map(first_day).max().unwrap_or(arrived);
        self.add(
            CauseKind::GearDown,
            plain("out of work for a time"),
            Change::GearNeverDown,
        );
        let first = match promise.gear_on {
            Start::AsItIs => None,
            Start::On(day) => Some(day),
            Start::AtClosingIn => Some(enclosed(s)),
        };
        let is = arrived.max(s.gear_on);
        let detail = match first {
            Some(first) if first != is => format!("{is} instead of {first}"),
            _ => format!("some of it not before {complete}"),
        };
        let start = match promise.gear_on {
            Start::AsItIs => None,
            Start::On(day) => Some(Change::DryingStarts(day)),
            Start::AtClosingIn => Some(Change::DryingStartsAtClosingIn),
        };
        self.add_all(
            CauseKind::GearLate,
            plain(&detail),
            start
                .into_iter()
                .chain([Change::GearFromTheStart])
                .collect(),
        );
        if let Some(planned) = planned {
            let name = promise.setup.unwrap_or_default();
            let detail = plain(&format!("\"{}\" instead of \"{name}\"", self.case.setup));
            self.add(CauseKind::OtherGear, detail, Change::Gear(planned));
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
