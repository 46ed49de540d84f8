//! The causes that a scenario holds against what was promised: each a change back to the promise.

use crate::job::TROWELLED_SKIN;
use crate::job::change::{Case, Change, Wettings};
use crate::job::gear_dates;
use crate::scenario::model::{
    Curing, Finish, Gear, Scenario, Underside, VapourRetarder, WettingKind,
};
use crate::units::DAY;
use crate::units::format::Shown;
use crate::units::format::{Said, capital, dates_between, fixed, percent, short_date, temperature};
use crate::units::{Kind, Length, RelativeHumidity, System, Temperature};
use jiff::ToSpan;
use jiff::civil::Date;

/// What a delay is held against where a scenario has no `promised`, in words.
#[must_use]
pub fn good_conditions(scenario: &Scenario, system: System) -> String {
    let use_of = scenario.service.clone().unwrap_or_default();
    format!(
        "this slab and these dates, no water on the floor, gear that is never down, and a room that is kept at {} or warmer and {} relative humidity or drier",
        temperature(use_of.temperature().si(), system),
        percent(use_of.relative_humidity().si())
    )
}

/// A thickness.
fn length(metres: f64, system: System) -> String {
    let decimals = if system == System::Si { 0 } else { 2 };
    Shown::of(Kind::Length, system).text(metres, decimals)
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
    /// What the work on the floor does: water, opened face, its own days and waits.
    Work,
    /// The work on the floor begins late.
    WorkLate,
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
            Self::OneSided => "Drying from one side only",
            Self::NoRetarder => "No vapor retarder",
            Self::ClosedInLate => "Date enclosed",
            Self::Rain => "Rain on the floor",
            Self::Washing => "Washing and rinsing",
            Self::Work => "Work on the floor",
            Self::WorkLate => "Start of the work on the floor",
            Self::Cold => "Cold room",
            Self::HumidAir => "Humid air",
            Self::Face => "Troweled or sealed surface",
            Self::GearLate => "Gear start",
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
            Self::WorkLate => "work_start",
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
    /// As it is against what was promised.
    pub detail: Said,
}

/// When the gear was to start.
#[derive(Clone, Copy)]
enum Start {
    /// As it did.
    AsItIs,
    /// On a day.
    On(Date),
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
        // Nobody promised another slab or other dates: only the air is held against the floor, and what befell it.
        let use_of = scenario.service.clone().unwrap_or_default();
        Self {
            thickness: None,
            water_cement_ratio: None,
            underside: None,
            finish: None,
            enclosed: None,
            gear_on: Start::AsItIs,
            room_temperature: Some(use_of.temperature().si()),
            room_relative_humidity: Some(use_of.relative_humidity().si()),
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
    fn add(&mut self, kind: CauseKind, detail: impl Into<Said>, back: Change) {
        self.add_all(kind, detail.into(), vec![back]);
    }

    fn add_all(&mut self, kind: CauseKind, detail: Said, back: Vec<Change>) {
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
                let detail = Said::new(|system| {
                    format!(
                        "{} instead of {}",
                        length(is.si(), system),
                        length(promised, system)
                    )
                });
                self.add(CauseKind::Thickness, detail, Change::Thickness(was));
            }
        }
        if let Some(promised) = promise.water_cement_ratio {
            let is = slab.water_cement_ratio();
            if (is - promised).abs() > 1e-9 {
                let detail = format!("{} instead of {}", fixed(is, 2), fixed(promised, 2));
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
                "surface with the resistance given".to_owned()
            } else {
                slab.finish().word().to_owned()
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
                let detail = Said::new(|system| {
                    let then = slab.prepared.as_ref().map(|p| {
                        let day = short_date(p.date, system);
                        format!(", {} on {day}", p.leaves.word())
                    });
                    let then = then.unwrap_or_default();
                    format!("{is}{then}, instead of {}", promised.word())
                });
                self.add(CauseKind::Face, detail, Change::BareFace(promised));
            }
        }
    }

    /// Two steps lead from two open faces to bare ground: one face closed, then wet ground under it.
    fn underside(&mut self, is: &Underside, promised: Underside) {
        let detail = Said::from(format!("{} instead of {}", is.word(), promised.word()));
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
        let is = s.enclosed();
        if let Some(promised) = promise.enclosed.filter(|promised| *promised != is) {
            let detail = instead_of(is, promised);
            self.add(CauseKind::ClosedInLate, detail, Change::ClosedIn(promised));
        }
        if let Some(promised) = promise.room_temperature {
            let t = promised;
            let detail =
                Said::new(|system| format!("colder than the {} assumed", temperature(t, system)));
            self.add(CauseKind::Cold, detail, Change::RoomTemperature(promised));
        }
        if let Some(promised) = promise.room_relative_humidity {
            let detail = format!("damper than the {} assumed", percent(promised));
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
            let detail = match times {
                1 => "once".to_owned(),
                times => format!("{times} times"),
            };
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
        let told = |word: &'static str, time: f64| {
            let day = placed.checked_add(((time / DAY).floor() as i64).days());
            day.map_or_else(
                |_| Said::from("late"),
                |day| Said::new(|system| format!("{word} {}", short_date(day, system))),
            )
        };
        let (begins, ready) = (work.begins, work.ready);
        self.add(
            CauseKind::WorkLate,
            told("not before", begins),
            Change::WorkAtOnce,
        );
        self.add(CauseKind::Work, told("until", ready), Change::NoWork);
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
        self.add(CauseKind::GearDown, down(gear), Change::GearNeverDown);
        let first = match promise.gear_on {
            Start::AsItIs => None,
            Start::On(day) => Some(day),
        };
        let is = arrived.max(s.gear_on);
        let detail = match first {
            Some(first) if first != is => instead_of(is, first),
            _ => {
                Said::new(|system| format!("some of it only from {}", short_date(complete, system)))
            }
        };
        let start = match promise.gear_on {
            Start::AsItIs => None,
            Start::On(day) => Some(Change::DryingStarts(day)),
        };
        self.add_all(
            CauseKind::GearLate,
            detail,
            start
                .into_iter()
                .chain([Change::GearFromTheStart])
                .collect(),
        );
        if let Some(planned) = planned {
            let name = promise.setup.unwrap_or_default();
            let detail = format!("\"{}\" instead of \"{name}\"", self.case.setup);
            self.add(CauseKind::OtherGear, detail, Change::Gear(planned));
        }
    }
}

fn instead_of(is: Date, was: Date) -> Said {
    Said::new(|system| {
        let (is, was) = (short_date(is, system), short_date(was, system));
        format!("{is} instead of {was}")
    })
}

/// Which gear was down, and when: "heater down Nov 9 to Nov 24".
fn down(gear: &[Gear]) -> Said {
    let spells = gear.iter().filter(|m| gear_dates::returns(gear, m));
    let spells = spells.filter_map(|machine| {
        let back = gear_dates::from(machine)?;
        let left = gear.iter().filter(|m| gear_dates::alike(m, machine));
        let left = left
            .filter_map(gear_dates::until)
            .filter(|left| *left < back);
        let spell = (left.max()?.tomorrow().ok()?, back.yesterday().ok()?);
        Some((gear_dates::word(machine), spell))
    });
    let spells: Vec<(&str, (Date, Date))> = spells.collect();
    Said::new(|system| {
        let told = spells.iter().map(|(word, (first, last))| {
            format!("{word} down {}", dates_between(*first, *last, system))
        });
        let told: Vec<String> = told.collect();
        if told.is_empty() {
            "for a time".to_owned()
        } else {
            capital(&told.join(", "))
        }
    })
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
