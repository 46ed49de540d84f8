//! What is not known for sure, and how unsure it is.
//!
//! | input | distribution | source |
//! |---|---|---|
//! | permeability of the concrete | log-normal, [`PERMEABILITY`] | scatter of this model about the published drying times where it only predicts them: each table from a fit to the others (`examples/fit_concrete.rs leave` prints it) |
//! | the same, for a thick slab that dries from one face | wider by `ONE_FACE` at 180 mm and above, by none up to 125 mm | the handbook's four rows of one face, predicted, lie so much farther off |
//! | the same, for a slab on wet ground | wider by `WET_GROUND` | see there |
//! | the same, for a target beyond the fitted range | wider by [`extrapolation`] | spread of published forms of the permeability that fit the same rows |
//! | the same, for concrete with slag or fly ash | wider by `SUPPLEMENTARY` times their share | see there |
//! | what a dish reads | log-normal, [`DISH_SPREAD`]; only for `emission_rate` | see there |
//! | thickness | normal, 5 mm: nineteen in twenty within 3/8 in | tolerance of slabs on ground (ACI 117, from memory) |
//! | content of cement at a water-cement ratio | log-normal, 0.05: nineteen in twenty within 10 % | usual mixes (common practice, no published source) |
//! | water-cement ratio | normal; 0.02 given, 0.04 from the strength, 0.05 not given | batch tolerances of ready-mixed concrete (ASTM C94, from memory), common practice for the others |
//! | leakage of the room | log-normal; 0.3 given, 0.5 not given | range 0.3 to 0.8 per hour of unsealed shells (common practice, no published source) |
//! | transfer at the face | log-normal, 0.20: nine in ten within 40 % | scatter of evaporation about the nomograph (ACI 305R and Uno 1998) |
//! | output of refrigerant dehumidifiers outside of their published range | log-normal, wider the further from the range's edge (`SPREAD` there); low-grain machines from their rating (`SPREAD_LOW_GRAIN`) | scatter of published pairs of ratings and of other models (`gear::refrigerant`) |
//! | humidity one day after placing | uniform, within 0.009 of the single run's, up to 0.998 | dissolved alkalis and early hydration (no published source) |
//! | air that an old floor or one in a building of known climate has lived in | humidity normal, 0.05 given, 0.10 usual for the building or the weather; temperature normal, 2 K | buildings of one kind differ so much (engineering judgement) |
//! | outside air, from monthly means | season 1.2 K and weeks 2.5 K warmer or colder, normal, at the same relative humidity | spread of monthly and weekly means of mid-latitude stations (from memory) |
//! | outside air, from a year's file | weeks taken from up to three weeks before or after: still the same season, as much warmer or colder as one of monthly means | block bootstrap; the reach is a judgement (no published source) |
//! | outside air, constant | as given | a laboratory |

use super::super::compare::Accuracy;
use crate::air::MoistAir;
use crate::concrete::{Concrete, Constants, Mix};
use crate::gear::Machine;
use crate::job::{Job, WeatherVariety};
use crate::moisture_tests::{DISH_SPREAD, extrapolation};
use crate::scenario::RatioFrom;
use crate::simulation::Underside;
use crate::units::DAY;
use sobol_burley::sample;
use statrs::distribution::{ContinuousCDF, Normal};

/// Standard deviation of the logarithm of the permeability.
pub const PERMEABILITY: f64 = 0.25;
/// More of it for a thick slab that dries from one face: the predicted rows lie off by 0.34, of which [`PERMEABILITY`] is a part. All are slower
/// than the handbook, which is recalled and mostly calculated, while floors are reported that took longer: the middle is left where it is.
const ONE_FACE: f64 = 0.23;
/// Thicknesses between which that comes in \[m\]: up to the first drying times were measured, the second is that of the rows.
const THICK: (f64, f64) = (0.125, 0.18);
/// More of it for a slab on wet ground: at w/c 0.40 and 0.50 one of 4 in. gets to 3 lb in contact with water (Brewer 1965, from memory), here to 2.5
/// and 5. Together with [`PERMEABILITY`] that is their root mean square.
const WET_GROUND: f64 = 0.3;
/// More of it for each part of the cement that is slag or fly ash: the published drying times to which the model is fitted are of Portland cement.
/// Such mixes have finer pores and bind water more slowly; with half of the cement replaced a factor of 1.6 either way is allowed for
/// (engineering judgement, no published source).
const SUPPLEMENTARY: f64 = 1.0;
/// Standard deviation of the thickness \[m\].
const THICKNESS: f64 = 0.005;
/// No slab is sampled thinner than this share of what is given.
const THINNEST: f64 = 0.8;
/// Standard deviation of the logarithm of the content of cement.
const CEMENT: f64 = 0.05;
/// Standard deviation of the logarithm of the transfer at the face: 40 % at the 95th percentile.
const SURFACE_TRANSFER: f64 = 0.2046;
/// Standard deviation of the water-cement ratio: given, from the strength, neither given.
const RATIO: [f64; 3] = [0.02, 0.04, 0.05];
/// Standard deviation of the logarithm of the leakage: given, not given.
const LEAKAGE: [f64; 2] = [0.3, 0.5];
/// Standard deviation of the humidity that a slab has lived in: given, not given.
const LIVED_IN_HUMIDITY: [f64; 2] = [0.05, 0.10];
/// Driest and wettest that is sampled (engineering judgement: no building is drier, and fog is no climate).
const LIVED_IN_RANGE: (f64, f64) = (0.1, 0.98);
/// Standard deviation of the temperature that a slab has lived in \[K\].
const LIVED_IN_TEMPERATURE: f64 = 2.0;
/// Half the range of the humidity one day after placing.
const YOUNG_HUMIDITY: f64 = 0.009;
/// No concrete starts wetter.
const WETTEST: f64 = 0.998;
/// Standard deviations of the temperature of a season and of a week \[K\].
const WARMER: (f64, f64) = (1.2, 2.5);
/// A week lies between two draws joined by a straight line, and the mean of two has the spread of one over the root of two:
/// the draws have this many times the spread that the weeks are to have.
const KNOT: f64 = std::f64::consts::SQRT_2;
/// Days in a block of weather.
const BLOCK: u32 = 7;
/// Blocks are taken from so many days earlier or later.
const FARTHEST: f64 = 21.0;
/// Water-cement ratios that the model was fitted for, a little widened.
const RATIOS: (f64, f64) = (0.33, 1.05);

/// Dimensions that single inputs take; the weather's blocks follow.
const SINGLE: u32 = 10;
/// Dimensions behind the weather's, the last of 256 that the generator serves with one seed: humidity and temperature of the air that a slab has
/// lived in. Under two seeds the same dimension falls into the same halves, so that no two inputs may share one.
const LIVED_IN: [u32; 2] = [254, 255];

/// One world that the job may meet. All inputs that are not stated stay as they are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Draw {
    /// Factor on the permeability.
    pub permeability: f64,
    /// Added to the water-cement ratio.
    pub water_cement_ratio: f64,
    /// Added to the thickness \[m\].
    pub thickness: f64,
    /// Factor on the content of cement.
    pub cement_content: f64,
    /// Factor on the leakage.
    pub leakage: f64,
    /// Factor on the transfer at the face.
    pub surface_transfer: f64,
    /// Humidity one day after placing.
    pub young_humidity: f64,
    /// What a dish reads over what the simulated dish reads.
    pub dish: f64,
    /// Season warmer by \[K\]; only with monthly means.
    pub season: f64,
    /// Place of the refrigerant dehumidifiers in the spread of their output, in standard deviations.
    pub dehumidifier: f64,
    /// Added to the humidity and to the temperature \[K\] that the slab has lived in.
    pub lived_in: (f64, f64),
    index: u32,
    seed: u32,
}

/// What the permeability of the job's slab is less sure because of how it lies: thick and drying from one face, or on wet ground.
fn as_it_lies(job: &Job) -> f64 {
    if job.slab.dries_from_two_sides() {
        return 0.0;
    }
    let beyond = (job.slab.thickness - THICK.0) / (THICK.1 - THICK.0);
    let on_wet_ground = match job.slab.underside {
        Underside::BareGround => WET_GROUND,
        _ => 0.0,
    };
    on_wet_ground.hypot(ONE_FACE * beyond.clamp(0.0, 1.0))
}

/// The value in standard deviations at a share of the normal distribution.
fn normal(share: f64) -> f64 {
    // The ends of the open interval: the sequence may give exactly zero.
    let share = share.clamp(1e-7, 1.0 - 1e-7);
    Normal::standard().inverse_cdf(share)
}

/// Place of a sample in one dimension, between 0 and 1: Owen-scrambled Sobol sequence.
fn place(index: u32, dimension: u32, seed: u32) -> f64 {
    f64::from(sample(index, dimension, seed))
}

/// The place for a block of weather. Those of later years take the dimensions of earlier ones with another seed.
fn weather_place(index: u32, block: u32, seed: u32) -> f64 {
    let free = LIVED_IN[0] - SINGLE;
    let seed = seed.wrapping_add((block / free).wrapping_mul(0x9e37_79b9));
    place(index, SINGLE + block % free, seed)
}

impl Draw {
    /// The first so many samples of a seed's sequence for a job.
    #[must_use]
    pub fn first(job: &Job, samples: u32, seed: u32) -> Vec<Self> {
        (0..samples)
            .map(|index| Self::new(job, index, seed))
            .collect()
    }

    /// Sample number `index` of a seed's sequence for a job.
    #[must_use]
    pub fn new(job: &Job, index: u32, seed: u32) -> Self {
        let at = |dimension| place(index, dimension, seed);
        let known = &job.known;
        let ratio = match known.water_cement_ratio {
            RatioFrom::Given => RATIO[0],
            RatioFrom::Strength => RATIO[1],
            RatioFrom::Default => RATIO[2],
        };
        let leakage = LEAKAGE[usize::from(!known.leakage)];
        let beyond = job.targets.iter().map(extrapolation).fold(0.0, f64::max);
        let permeability = PERMEABILITY
            .hypot(beyond)
            .hypot(as_it_lies(job))
            .hypot(SUPPLEMENTARY * known.supplementary);
        Self {
            permeability: (permeability * normal(at(0))).exp(),
            thickness: THICKNESS * normal(at(7)),
            cement_content: (CEMENT * normal(at(8))).exp(),
            water_cement_ratio: ratio * normal(at(1)),
            leakage: (leakage * normal(at(2))).exp(),
            surface_transfer: (SURFACE_TRANSFER * normal(at(3))).exp(),
            young_humidity: YOUNG_HUMIDITY * (2.0 * at(4) - 1.0),
            dish: (DISH_SPREAD * normal(at(9))).exp(),
            season: WARMER.0 * normal(at(5)),
            dehumidifier: normal(at(6)),
            lived_in: (
                LIVED_IN_HUMIDITY[usize::from(!known.lived_in)] * normal(at(LIVED_IN[0])),
                LIVED_IN_TEMPERATURE * normal(at(LIVED_IN[1])),
            ),
            index,
            seed,
        }
    }

    /// The job in this world. Only what a run needs is changed: slab, leakage, dehumidifiers, weather, transfer at the face.
    #[must_use]
    pub fn apply(&self, job: &Job) -> Job {
        let mut world = job.clone();
        // Only the moment of readiness counts here.
        world.look_on = 0.0;
        let mix = job.slab.concrete.mix();
        let ratio = (mix.water_cement_ratio + self.water_cement_ratio).clamp(RATIOS.0, RATIOS.1);
        let mut constants = Constants::default();
        constants.transport.vapour *= self.permeability;
        constants.transport.liquid *= self.permeability;
        constants.transport.capillary *= self.permeability;
        constants.transport.paste *= self.permeability;
        world.slab.concrete = Concrete::new(
            Mix {
                water_cement_ratio: ratio,
                cement_content: mix.cement_content * self.cement_content,
                ..*mix
            },
            &constants,
        );
        let thinnest = THINNEST * job.slab.thickness;
        world.slab.thickness = (job.slab.thickness + self.thickness).max(thinnest);
        let wetter = world.slab.start_humidity + self.young_humidity;
        world.slab.start_humidity = wetter.min(WETTEST);
        world.surface_transfer_factor = self.surface_transfer;
        world.tester.dish_factor = self.dish;
        world.room.air_changes_per_hour *= self.leakage;
        let on_hand = world.inventory.iter_mut().map(|i| &mut i.room);
        for room in world.setups.iter_mut().map(|s| &mut s.room).chain(on_hand) {
            room.air_changes_per_hour *= self.leakage;
            if let Some(rest) = &mut room.rest {
                rest.leakage *= self.leakage;
            }
        }
        let of_setups = world.setups.iter_mut().flat_map(|s| &mut s.room.machines);
        let items = world.inventory.iter_mut().flat_map(|i| &mut i.items);
        for installed in of_setups.chain(items.map(|item| &mut item.machine)) {
            if let Machine::Refrigerant(machine) = &mut installed.machine {
                machine.output_deviation = self.dehumidifier;
            }
        }
        for held in &mut world.held {
            let air = held.air;
            let humidity = air.relative_humidity() + self.lived_in.0;
            held.air = MoistAir::from_relative_humidity(
                air.temperature + self.lived_in.1,
                humidity.clamp(LIVED_IN_RANGE.0, LIVED_IN_RANGE.1),
                air.pressure,
            );
        }
        let blocks = job.weather.days().div_ceil(BLOCK) + 1;
        let block = |k: u32| weather_place(self.index, k, self.seed);
        match job.known.weather {
            WeatherVariety::Steady => {}
            WeatherVariety::MonthlyMeans => {
                let warmer: Vec<f64> = (0..blocks)
                    .map(|k| self.season + KNOT * WARMER.1 * normal(block(k)))
                    .collect();
                world.weather = job.weather.with_blocks_warmer(BLOCK, &warmer);
            }
            WeatherVariety::Recorded => {
                let shifts: Vec<i64> = (0..blocks)
                    .map(|k| (FARTHEST * (2.0 * block(k) - 1.0)).round() as i64)
                    .collect();
                let seasons = vec![self.season; shifts.len()];
                let moved = job.weather.with_blocks_moved(BLOCK, &shifts);
                world.weather = moved.with_blocks_warmer(BLOCK, &seasons);
            }
        }
        world
    }
}

/// Longest step of sampled runs \[s\]: a day, whose outside air enters as its mean. Against steps of an hour, days of the shipped scenarios move by
/// up to 1.8 %, and their cost with them, in a quarter of the time
/// (`sampled_runs_are_as_good_as_their_spread_asks` in `tests/it/scenarios.rs`).
const SAMPLED_STEP: f64 = DAY;

/// How finely sampled runs are computed: their own error stays far below the spread that they show.
#[must_use]
pub fn sampling_accuracy() -> Accuracy {
    Accuracy {
        longest_step: SAMPLED_STEP,
        ..Accuracy::default()
    }
}
