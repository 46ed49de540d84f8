//! What follows from other keys where a key is not given. Defaults that stand by themselves stand beside their key.

use super::model::{
    Air, Building, Construction, FloorArea, HumidityAtDepth, LivedIn, Room, Scenario, Slab,
    Substrate, Target, Underside, Walk, WorkingDays,
};
use crate::room::Neighbour;
use crate::units::{Area, Density, Fraction, Length, PSI, Temperature, UValue};
use jiff::{ToSpan, civil::Date};

/// Water-cement ratio of floor concrete (common practice, no published source).
const WATER_CEMENT_RATIO: f64 = 0.5;
/// Mixing water, kg/m3: ACI 211.1-91 table 6.3.3, 75 to 100 mm slump and 20 to 25 mm stone, non-air-entrained (from memory), rounded down for a water reducer.
const MIXING_WATER: f64 = 185.0;
/// Depth of the probe over thickness, drying from one side and from both (ASTM F2170).
const DEPTH_FRACTION_ONE_SIDE: f64 = 0.4;
const DEPTH_FRACTION_TWO_SIDES: f64 = 0.2;

/// Where the water-cement ratio comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RatioFrom {
    /// The scenario gives it, or the water and cement of the ticket.
    Given,
    /// The strength.
    Strength,
    /// Neither is given.
    Default,
}

/// A point of the relation between strength and water-cement ratio.
struct Mixed {
    /// Pa, at 28 days.
    strength: f64,
    ratio: f64,
}

/// Mean compressive strength against water-cement ratio, without entrained air (ACI 211.1-91 table 6.3.4(a), from memory).
#[rustfmt::skip]
const STRENGTHS: [Mixed; 5] = [
    Mixed { strength: 13.79e6, ratio: 0.82 },
    Mixed { strength: 20.68e6, ratio: 0.68 },
    Mixed { strength: 27.58e6, ratio: 0.57 },
    Mixed { strength: 34.47e6, ratio: 0.48 },
    Mixed { strength: 41.37e6, ratio: 0.41 },
];

/// The same with entrained air (same table, from memory).
#[rustfmt::skip]
const STRENGTHS_WITH_AIR: [Mixed; 4] = [
    Mixed { strength: 13.79e6, ratio: 0.74 },
    Mixed { strength: 20.68e6, ratio: 0.59 },
    Mixed { strength: 27.58e6, ratio: 0.48 },
    Mixed { strength: 34.47e6, ratio: 0.40 },
];

/// Mean strength that a mix is designed for where the producer shows no test record \[Pa\], from the specified one (ACI 301 and 318, from memory):
/// 1000 psi more below 3000 psi, 1200 psi more up to 5000 psi, 1.10 times and 700 psi more above.
#[must_use]
pub fn designed_strength(specified: f64) -> f64 {
    let psi = specified / PSI;
    PSI * if psi < 3000.0 {
        psi + 1000.0
    } else if psi <= 5000.0 {
        psi + 1200.0
    } else {
        1.10 * psi + 700.0
    }
}

fn from_strength(specified: f64, air: Air) -> f64 {
    let table: &[Mixed] = match air {
        Air::NotEntrained => &STRENGTHS,
        Air::Entrained => &STRENGTHS_WITH_AIR,
    };
    let [weakest, .., strongest] = table else {
        return WATER_CEMENT_RATIO;
    };
    let strength = designed_strength(specified).clamp(weakest.strength, strongest.strength);
    table
        .windows(2)
        .find_map(|pair| match pair {
            [low, high] if (low.strength..=high.strength).contains(&strength) => Some(
                low.ratio
                    + (high.ratio - low.ratio) * (strength - low.strength)
                        / (high.strength - low.strength),
            ),
            _ => None,
        })
        .unwrap_or(WATER_CEMENT_RATIO)
}

impl Slab {
    /// Where the water-cement ratio comes from.
    #[must_use]
    pub fn ratio_from(&self) -> RatioFrom {
        let ticket = self.mixing_water.is_some() && self.cement_content.is_some();
        match (self.water_cement_ratio, self.strength) {
            (Some(_), _) => RatioFrom::Given,
            (None, _) if ticket => RatioFrom::Given,
            (None, Some(_)) => RatioFrom::Strength,
            (None, None) => RatioFrom::Default,
        }
    }

    /// Water-cement ratio: given, by the ticket, from the strength, or usual.
    #[must_use]
    pub fn water_cement_ratio(&self) -> f64 {
        let ticket = || Some(self.mixing_water?.si() / self.cement_content?.si());
        let strength = || Some(from_strength(self.strength?.si(), self.air()));
        self.water_cement_ratio
            .or_else(ticket)
            .or_else(strength)
            .unwrap_or(WATER_CEMENT_RATIO)
    }

    /// Slag and fly ash as a share of the cement.
    #[must_use]
    pub fn supplementary(&self) -> f64 {
        [self.slag, self.fly_ash]
            .into_iter()
            .flatten()
            .map(Fraction::si)
            .sum()
    }

    /// Cement content, kg/m3: given, or what goes with the usual mixing water.
    #[must_use]
    pub fn cement_content(&self) -> f64 {
        self.cement_content.map_or_else(
            || MIXING_WATER / self.water_cement_ratio(),
            crate::units::Density::si,
        )
    }

    /// Depth of the humidity probe over thickness for this underside.
    #[must_use]
    pub fn depth_fraction(&self) -> f64 {
        if matches!(self.underside, Some(Underside::OpenAir(_))) {
            DEPTH_FRACTION_TWO_SIDES
        } else {
            DEPTH_FRACTION_ONE_SIDE
        }
    }
}

/// Of an older slab the first years are computed under a steady mean climate: what the weather did so long ago is forgotten
/// (`regress_an_old_slab_forgets_its_weather` in `tests/it/old_floors.rs` shows what that leaves out).
const OLD_YEARS: i32 = 10;
/// The last years of an old slab are computed hour by hour: two winters and two summers.
const HOURLY_YEARS: i32 = 2;

/// The first day of which the weather counts hour by hour.
pub(crate) fn hourly_from(placed: Date, gear_on: Date) -> Date {
    let before = |years: i32| gear_on.checked_sub(years.years());
    match (before(OLD_YEARS), before(HOURLY_YEARS)) {
        (Ok(old), Ok(hourly)) if placed < old => hourly,
        _ => placed,
    }
}

impl Construction {
    /// Leakage, 1/h: within the ranges 5 to 20, 1 to 3, 0.3 to 0.8 and 0.1 to 0.3 (common practice, no published source).
    fn air_changes_per_hour(self) -> f64 {
        match self {
            Self::PartlyOpen => 10.0,
            Self::SheetedOpenings => 2.0,
            Self::ClosedShell => 0.5,
            Self::SealedShell => 0.2,
        }
    }
}

/// A heated building, and the storey over a basement \[degC\].
const HEATED: f64 = 20.0;

impl Building {
    /// Air that a slab in it has lived in, \[degC\] and as a fraction. A heated building: the indoor climate of EN 15026 at some 10 °C outside (from
    /// memory). A basement, a cold store: engineering judgement.
    fn climate(self) -> Option<(f64, f64)> {
        match self {
            Self::Shell | Self::Tent => None,
            Self::HeatedBuilding => Some((HEATED, 0.50)),
            Self::Basement => Some((15.0, 0.75)),
            Self::ColdStore => Some((4.0, 0.85)),
        }
    }

    /// U-value of its envelope \[W/(m2 K)\] (common practice, no published source; a tent: two air films, EN ISO 6946, from memory).
    fn u_value(self) -> f64 {
        match self {
            Self::Shell => 2.0,
            Self::Tent => 6.0,
            Self::HeatedBuilding => 0.5,
            Self::Basement => 1.0,
            Self::ColdStore => 0.3,
        }
    }

    /// How far it is built.
    fn construction(self) -> Construction {
        match self {
            Self::Shell => Construction::ClosedShell,
            Self::Tent => Construction::SheetedOpenings,
            Self::HeatedBuilding | Self::Basement | Self::ColdStore => Construction::SealedShell,
        }
    }
}

/// Share of a basement's walls that lie against the ground.
const WALLS_IN_THE_GROUND: f64 = 0.5;

impl Room {
    /// Air that the slab has lived in: given, or usual for the building; `None` where nothing holds it.
    #[must_use]
    pub fn lived_in(&self) -> Option<LivedIn> {
        let usual = || {
            let (temperature, humidity) = self.building().climate()?;
            Some(LivedIn {
                temperature: Temperature::from_si(temperature),
                relative_humidity: Fraction::from_si(humidity),
            })
        };
        self.lived_in.clone().or_else(usual)
    }

    /// U-value of walls and roof: given, or usual for the building.
    #[must_use]
    pub fn u_value(&self) -> UValue {
        self.u_value
            .unwrap_or_else(|| UValue::of(self.building().u_value(), "W/(m2 K)"))
    }

    /// What the building's own heat holds while a job goes on \[degC\]: what it has held before.
    pub(crate) fn own_heat(&self) -> Option<f64> {
        let heated = self.building() == Building::HeatedBuilding;
        let lived_in = self.lived_in().filter(|_| heated)?;
        Some(lived_in.temperature.si())
    }

    /// What of the envelope borders on something other than the outside: of a basement its ceiling and half of its walls.
    pub(crate) fn neighbour(&self, floor_area: f64, ground_temperature: f64) -> Neighbour {
        match self.building() {
            Building::Basement => {
                let walls = (self.envelope_area(floor_area) - floor_area).max(0.0);
                let ground = WALLS_IN_THE_GROUND * walls;
                Neighbour {
                    share: (floor_area + ground) / (floor_area + walls),
                    temperature: (floor_area * HEATED + ground * ground_temperature)
                        / (floor_area + ground),
                }
            }
            _ => Neighbour::default(),
        }
    }

    /// Area of walls and roof, m2: given, or that of a square room of this floor area under its own roof.
    #[must_use]
    pub fn envelope_area(&self, floor_area: f64) -> f64 {
        self.envelope_area.map_or_else(
            || floor_area + 4.0 * floor_area.sqrt() * self.height.si(),
            crate::units::Area::si,
        )
    }

    /// Heat loss without air leakage, W/K.
    #[must_use]
    pub fn heat_loss(&self, floor_area: f64) -> f64 {
        self.heat_loss.map_or_else(
            || self.u_value().si() * self.envelope_area(floor_area),
            crate::units::HeatLoss::si,
        )
    }

    /// Air changes per hour with no fan on.
    #[must_use]
    pub fn air_changes_per_hour(&self) -> f64 {
        self.air_changes_per_hour.unwrap_or_else(|| {
            self.construction
                .unwrap_or(self.building().construction())
                .air_changes_per_hour()
        })
    }
}

impl FloorArea {
    /// Corners, m; empty without an outline.
    #[must_use]
    pub fn corners(&self) -> Vec<(f64, f64)> {
        self.outline
            .iter()
            .flatten()
            .map(|corner| (corner.x.si(), corner.y.si()))
            .collect()
    }

    /// Size, m2: given, or that of the outline.
    #[must_use]
    pub fn size(&self) -> f64 {
        self.size
            .map_or_else(|| enclosed(&self.corners()), crate::units::Area::si)
    }

    /// Length of its edges, m: given, that of the outline, or that of a square.
    #[must_use]
    pub fn perimeter(&self) -> f64 {
        self.perimeter.map_or_else(
            || {
                let corners = self.corners();
                if corners.is_empty() {
                    4.0 * self.size().sqrt()
                } else {
                    around(&corners)
                }
            },
            crate::units::Length::si,
        )
    }

    /// Whether it is a part of the slab.
    #[must_use]
    pub fn is_concrete(&self) -> bool {
        matches!(self.substrate, Substrate::Concrete)
    }
}

/// Area enclosed by corners (the shoelace formula).
#[must_use]
pub(crate) fn enclosed(corners: &[(f64, f64)]) -> f64 {
    let next = corners.iter().cycle().skip(1);
    0.5 * corners
        .iter()
        .zip(next)
        .map(|(a, b)| a.0 * b.1 - b.0 * a.1)
        .sum::<f64>()
        .abs()
}

fn around(corners: &[(f64, f64)]) -> f64 {
    let next = corners.iter().cycle().skip(1);
    corners
        .iter()
        .zip(next)
        .map(|(a, b)| (a.0 - b.0).hypot(a.1 - b.1))
        .sum()
}

impl Walk {
    /// Hours of the day between which people work.
    #[must_use]
    pub fn hours(&self) -> (f64, f64) {
        let time = self.working_time();
        (time.from(), time.to())
    }

    /// Days of the week on which people work.
    #[must_use]
    pub fn days(&self) -> WorkingDays {
        self.working_time().days()
    }
}

impl Scenario {
    /// The first day of the preparation.
    #[must_use]
    pub fn preparation_starts(&self) -> jiff::civil::Date {
        self.walk
            .as_ref()
            .and_then(|walk| walk.preparation_starts)
            .unwrap_or(self.gear_on)
    }

    /// The day the building was enclosed: given, else the day the gear goes on. A building whose climate is known counts as enclosed from the first day.
    #[must_use]
    pub fn enclosed(&self) -> Date {
        let usual = match self.room.lived_in() {
            Some(_) => self.slab.placed,
            None => self.gear_on,
        };
        self.room.enclosed.unwrap_or(usual)
    }

    /// The same with every key filled in that follows from others, rounded for reading.
    pub(crate) fn filled_in(&self) -> Self {
        let mut all = self.clone();
        let ratio = (self.slab.water_cement_ratio() * 1e3).round() / 1e3;
        all.slab.water_cement_ratio.get_or_insert(ratio);
        let cement = Density::from_si(self.slab.cement_content().round());
        all.slab.cement_content.get_or_insert(cement);
        all.room.enclosed.get_or_insert(self.enclosed());
        let changes = self.room.air_changes_per_hour();
        all.room.air_changes_per_hour.get_or_insert(changes);
        let u_value = self.room.u_value();
        all.room.u_value.get_or_insert(u_value);
        let envelope = self.room.envelope_area(self.slab.area.si()).round();
        all.room
            .envelope_area
            .get_or_insert(Area::from_si(envelope));
        let mut targets = self.targets();
        for target in &mut targets {
            if let Target::RelativeHumidityAtDepth(HumidityAtDepth { depth_fraction, .. }) = target
            {
                depth_fraction.get_or_insert(self.slab.depth_fraction());
            }
        }
        all.targets = Some(targets);
        let starts = self.preparation_starts();
        if let Some(walk) = &mut all.walk {
            walk.preparation_starts.get_or_insert(starts);
            for area in &mut walk.areas {
                let round = |number: f64| (number * 10.0).round() / 10.0;
                let (size, perimeter) = (round(area.size()), round(area.perimeter()));
                area.size.get_or_insert(Area::from_si(size));
                area.perimeter.get_or_insert(Length::from_si(perimeter));
            }
        }
        all
    }
}
