//! What is taken where the scenario says nothing, in one place, each with its reason.
//!
//! Values are SI. `coatday check` lists every default that was taken.

mod walk;

pub use walk::{
    CREW, CREW_HOURS, DELAMINATION_DEPTH, Measure, WANTED_PROFILE, WATER_LEFT, WOOD_MOISTURE_LIMIT,
    enclosed,
};

use super::model::{
    Construction, Curing, Finish, HumidityAtDepth, Room, Scenario, Slab, Target, Underside,
    WetCuring,
};
use crate::gear::controls::Hours;
use crate::units::{DAY, Duration, POUND_PER_1000_FT2_DAY, RelativeHumidity};

/// How long to go on looking, s: longer than any plan that is worth making.
pub const GIVE_UP_AFTER: f64 = 365.0 * DAY;
/// Height of the site above the sea, m.
pub const ELEVATION: f64 = 0.0;
/// Wind, m/s: a moderate mean of inland stations (common practice, no published source).
pub const WIND_SPEED: f64 = 3.0;
/// Mean daily swing of outdoor temperature, K (common practice, no published source).
pub const DAILY_SWING: f64 = 10.0;
/// Water-cement ratio of floor concrete (common practice, no published source).
pub const WATER_CEMENT_RATIO: f64 = 0.5;
/// Mixing water, kg/m3: ACI 211.1-91 table 6.3.3, 75 to 100 mm slump and 20 to 25 mm stone, non-air-entrained (from memory), rounded down for a water reducer.
pub const MIXING_WATER: f64 = 185.0;
/// Wet curing, s: seven days, the usual time for ordinary cement (ACI 308, from memory).
pub const WET_CURING: f64 = 7.0 * DAY;
/// Finish of a floor that gets a coating later (common practice, no published source).
pub const FINISH: Finish = Finish::SteelTrowelled;
/// Vapour resistance of a curing compound, m2 s Pa/kg (from memory).
pub const CURING_COMPOUND: f64 = 10e9;
/// Permeance of a vapour retarder, kg/(m2 s Pa): 0.1 perm, the usual class for floors (ASTM E1745, from memory).
pub const RETARDER_PERMEANCE: f64 = 5.72e-12;
/// Open share of a steel deck: unvented.
pub const DECK_OPEN_SHARE: f64 = 0.0;
/// Leakage of a closed, unsealed shell, 1/h: middle of 0.3 to 0.8 (common practice, no published source).
pub const AIR_CHANGES_PER_HOUR: f64 = 0.5;
/// Leakage of a building with parts of its walls missing, of one with sheeted openings, of a closed and of a sealed one, 1/h: within the
/// ranges 5 to 20, 1 to 3, 0.3 to 0.8 and 0.1 to 0.3 (common practice, no published source).
pub const LEAKAGE: [f64; 4] = [10.0, 2.0, 0.5, 0.2];
/// Air between a tent or partition and the rest of the room, volumes of the part per hour: film, taped and weighted down (common
/// practice, no published source).
pub const PART_AIR_CHANGES: f64 = 2.0;
/// U-value of one layer of film indoors, W/(m2 K): 0.13 m2 K/W of air film on either side (EN ISO 6946, from memory), rounded up.
pub const FILM_U_VALUE: f64 = 4.0;
/// Water that the rest of a slab gives while a part is dried, kg/(m2 s): 5 lb/1000 ft2/24 h, a slab that is not dry yet (engineering
/// judgement).
pub const REST_GIVES: f64 = 5.0 * POUND_PER_1000_FT2_DAY;
/// Hours of a working day on site (common practice).
pub const WORKING_HOURS: Hours = Hours {
    from: 7.0,
    until: 16.0,
};
/// Power factor at which generators are rated (common practice, from memory).
pub const GENERATOR_POWER_FACTOR: f64 = 0.8;
/// Mean U-value of an unfinished shell, W/(m2 K) (common practice, no published source).
pub const U_VALUE: f64 = 2.0;
/// Width of a thermostat's band, K (common practice, no published source).
pub const THERMOSTAT_BAND: f64 = 2.0;
/// Width of a humidistat's band (common practice, no published source).
pub const HUMIDISTAT_BAND: f64 = 0.05;
/// Width of a humidistat's band where it holds a dew point, K (common practice, no published source).
pub const DEW_POINT_BAND: f64 = 2.0;
/// Share of the capacity that the first of two stages runs: two machines alike.
pub const FIRST_STAGE_SHARE: f64 = 0.5;
/// Relative humidity at depth that most floor goods ask for (ASTM F710, from memory).
pub const HUMIDITY_LIMIT: f64 = 0.75;
/// Depth of the probe over thickness, drying from one side (ASTM F2170).
pub const DEPTH_FRACTION_ONE_SIDE: f64 = 0.4;
/// Depth of the probe over thickness, drying from both sides (ASTM F2170).
pub const DEPTH_FRACTION_TWO_SIDES: f64 = 0.2;

/// Compressive strength at 28 days, Pa, against water-cement ratio, non-air-entrained (ACI 211.1-91 table 6.3.4(a), from memory).
/// The table is for the mean strength, which lies above the specified one: taking the specified one errs towards more water and slower drying.
const STRENGTH_TABLE: [(f64, f64); 5] = [
    (13.79e6, 0.82),
    (20.68e6, 0.68),
    (27.58e6, 0.57),
    (34.47e6, 0.48),
    (41.37e6, 0.41),
];

fn from_strength(strength: f64) -> f64 {
    let [(weakest, wettest), .., (strongest, driest)] = STRENGTH_TABLE;
    if strength <= weakest {
        return wettest;
    }
    if strength >= strongest {
        return driest;
    }
    STRENGTH_TABLE
        .windows(2)
        .find_map(|pair| match pair {
            [(low, wet), (high, dry)] if (*low..=*high).contains(&strength) => {
                Some(wet + (dry - wet) * (strength - low) / (high - low))
            }
            _ => None,
        })
        .unwrap_or(WATER_CEMENT_RATIO)
}

impl Slab {
    /// Water-cement ratio: given, from the strength, or the default.
    #[must_use]
    pub fn water_cement_ratio_taken(&self) -> f64 {
        self.water_cement_ratio.unwrap_or_else(|| {
            self.strength
                .map_or(WATER_CEMENT_RATIO, |strength| from_strength(strength.si()))
        })
    }

    /// Cement content, kg/m3: given, or what goes with the usual mixing water.
    #[must_use]
    pub fn cement_content_taken(&self) -> f64 {
        self.cement_content.map_or_else(
            || MIXING_WATER / self.water_cement_ratio_taken(),
            crate::units::Density::si,
        )
    }

    /// Curing: given, or wet for the usual time.
    #[must_use]
    pub fn curing_taken(&self) -> Curing {
        self.curing.clone().unwrap_or(Curing::Wet(WetCuring {
            lasts: Duration::from_si(WET_CURING),
        }))
    }

    /// Finish: given or the default.
    #[must_use]
    pub fn finish_taken(&self) -> Finish {
        self.finish.unwrap_or(FINISH)
    }

    /// Underside: given, or sealed.
    #[must_use]
    pub fn underside_taken(&self) -> Underside {
        self.underside.clone().unwrap_or(Underside::Sealed)
    }

    /// Depth of the humidity probe over thickness for this underside.
    #[must_use]
    pub fn depth_fraction_taken(&self) -> f64 {
        if matches!(self.underside, Some(Underside::OpenAir(_))) {
            DEPTH_FRACTION_TWO_SIDES
        } else {
            DEPTH_FRACTION_ONE_SIDE
        }
    }
}

impl Room {
    /// Area of walls and roof, m2: given, or that of a square room of this floor area under its own roof.
    #[must_use]
    pub fn envelope_area_taken(&self, floor_area: f64) -> f64 {
        self.envelope_area.map_or_else(
            || floor_area + 4.0 * floor_area.sqrt() * self.height.si(),
            crate::units::Area::si,
        )
    }

    /// Heat loss without air leakage, W/K.
    #[must_use]
    pub fn heat_loss_taken(&self, floor_area: f64) -> f64 {
        self.heat_loss.map_or_else(
            || {
                self.u_value.map_or(U_VALUE, crate::units::UValue::si)
                    * self.envelope_area_taken(floor_area)
            },
            crate::units::HeatLoss::si,
        )
    }

    /// Air changes per hour with no fan on.
    #[must_use]
    pub fn air_changes_per_hour_taken(&self) -> f64 {
        self.air_changes_per_hour.unwrap_or_else(|| {
            let [open, sheeted, closed, sealed] = LEAKAGE;
            match self.construction {
                None => AIR_CHANGES_PER_HOUR,
                Some(Construction::PartlyOpen) => open,
                Some(Construction::SheetedOpenings) => sheeted,
                Some(Construction::ClosedShell) => closed,
                Some(Construction::SealedShell) => sealed,
            }
        })
    }
}

impl Scenario {
    /// The targets: given, or the usual humidity at depth.
    #[must_use]
    pub fn targets_taken(&self) -> Vec<Target> {
        self.targets.clone().unwrap_or_else(|| {
            vec![Target::RelativeHumidityAtDepth(HumidityAtDepth {
                limit: RelativeHumidity::from_si(HUMIDITY_LIMIT),
                depth_fraction: None,
            })]
        })
    }

    /// How long to go on looking after drying starts, s.
    #[must_use]
    pub fn give_up_after_taken(&self) -> f64 {
        self.give_up_after.map_or(GIVE_UP_AFTER, Duration::si)
    }
}
