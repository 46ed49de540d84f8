//! What came of one setup.

use super::samples::Odds;
use super::under_film::UnderFilm;
use crate::simulation::SimulationFault;
use crate::units::format::{days, fine_percent, percent};
use jiff::civil::Date;

/// What holds the drying back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LimitedBy {
    /// The passage from the face to the air.
    Face,
    /// The way from the depth to the face.
    Depth,
    /// Water that comes from the ground.
    Ground,
}

impl LimitedBy {
    /// The word that programs read.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Face => "face",
            Self::Depth => "depth",
            Self::Ground => "ground",
        }
    }

    /// What people call it.
    #[must_use]
    pub fn slowest_part(self) -> &'static str {
        match self {
            Self::Face => "surface",
            Self::Depth => "slab core",
            Self::Ground => "ground moisture",
        }
    }

    /// That it sets the pace, and what helps: the one place that says so.
    #[must_use]
    pub fn what_helps(self) -> &'static str {
        match self {
            Self::Face => "The surface sets the pace. More air over it or grinding helps.",
            Self::Depth => "The slab core sets the pace. Only warmth and time help.",
            Self::Ground => "Ground moisture sets the pace. No gear stops it.",
        }
    }
}

/// Why a setup does not reach the target in the time given.
#[derive(Clone, Debug, PartialEq)]
pub enum NotDryReason {
    /// Wet ground feeds the slab as fast as it dries.
    WetGround {
        /// Water from the ground over evaporation at the end; above 1 the slab is taking up water.
        share: f64,
    },
    /// The air is as damp as the target.
    HumidAir {
        /// Mean relative humidity of the air, at the temperature of the face, in the last days.
        humidity: f64,
        /// How many days those are: 30, or all if fewer were looked at.
        last_days: f64,
    },
    /// A dehumidifier was frozen up or below its lowest temperature most of the time.
    FrozenMachine {
        /// Share of its time on site.
        share: f64,
    },
    /// Still drying when the time was up.
    OutOfTime {
        /// Days computed.
        days: f64,
        /// Drop of the ruling reading in the last days, as a share of its limit.
        recent_drop: f64,
        /// How many days those are: 30, or all if fewer were looked at.
        last_days: f64,
    },
}

impl NotDryReason {
    /// A plain sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        match self {
            Self::WetGround { share } => format!(
                "Wet ground keeps feeding the slab: {} Plan a mitigation layer rated for it, or another floor.",
                if *share <= 1.0 {
                    format!(
                        "{} of what evaporates comes from the ground.",
                        percent(*share)
                    )
                } else {
                    "more water comes from the ground than evaporates.".into()
                }
            ),
            Self::HumidAir {
                humidity,
                last_days,
            } => format!(
                "The air is too humid: {} at the slab's temperature over the last {}. No slab gets drier than its air. Dry the air or warm the slab.",
                percent(humidity.min(1.0)),
                days(*last_days)
            ),
            Self::FrozenMachine { share } => format!(
                "A dehumidifier is frozen up or too cold to run for {} of its time. Give it warmer air, or use a desiccant.",
                percent(*share)
            ),
            Self::OutOfTime {
                days: all,
                recent_drop,
                last_days,
            } if recent_drop.is_finite() => format!(
                "Not dry within {}. In the last {} the reading {} by {} of its limit.",
                days(*all),
                days(*last_days),
                if *recent_drop < 0.0 { "rose" } else { "fell" },
                fine_percent(recent_drop.abs())
            ),
            Self::OutOfTime {
                days: all,
                last_days,
                ..
            } => format!(
                "Not dry within {}. How fast the reading fell in the last {} is not known.",
                days(*all),
                days(*last_days)
            ),
        }
    }
}

/// Energy used \[J\].
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Energy {
    /// Electricity.
    pub electricity: f64,
    /// Propane, natural gas, kerosene, diesel (gross).
    pub fuels: [f64; 4],
}

impl Energy {
    /// All fuels \[J\].
    #[must_use]
    pub fn fuel(&self) -> f64 {
        self.fuels.iter().sum()
    }
}

/// State at one moment, for charts.
#[derive(Clone, Debug, PartialEq)]
pub struct Record {
    /// Days since drying started.
    pub day: f64,
    /// What the test of each target that is over now has read (relative humidity, or kg/(m2 s)): under service conditions, between
    /// two readings by estimate.
    pub readings: Vec<f64>,
    /// Room temperature \[degC\].
    pub air_temperature: f64,
    /// Relative humidity of the room.
    pub air_humidity: f64,
    /// Dew point of the room \[degC\].
    pub dew_point: f64,
    /// Temperature of the slab's face \[degC\].
    pub face_temperature: f64,
    /// Evaporation \[kg/(m2 s)\].
    pub evaporation: f64,
}

/// Hours counted until the target was met, or to the end.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Hours {
    /// All.
    pub total: f64,
    /// Face closer than 3 K to the air's dew point.
    pub near_dew_point: f64,
    /// Some machine outside the published range of its data.
    pub outside_range: f64,
    /// Some dehumidifier on site.
    pub dehumidifier: f64,
    /// Some dehumidifier frosted up or stopped by cold.
    pub frozen: f64,
    /// Some dehumidifier with air too dry to give it anything.
    pub starved: f64,
    /// The room well below the thermostat of some heater on site.
    pub cold: f64,
    /// Air above 35 degC.
    pub hot: f64,
    /// Carbon dioxide from burners above 5000 ppm if well mixed.
    pub carbon_dioxide: f64,
}

impl Hours {
    /// Share of the dehumidifiers' time on site in which one was frosted up or stopped by cold; zero without any.
    #[must_use]
    pub fn frozen_share(&self) -> f64 {
        self.frozen / self.dehumidifier.max(self.frozen).max(1e-9)
    }

    /// Share of the dehumidifiers' time on site in which one found the air too dry; zero without any.
    #[must_use]
    pub fn starved_share(&self) -> f64 {
        self.starved / self.dehumidifier.max(self.starved).max(1e-9)
    }
}

/// What came of one setup that was computed to its end.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// Name of the setup.
    pub name: String,
    /// Days from the start of drying until every target is met.
    pub days_to_target: Option<f64>,
    /// The day on which that is.
    pub date: Option<Date>,
    /// Why it is never met in the time given.
    pub not_dry: Option<NotDryReason>,
    /// Energy until the reading that shows it, or to the end.
    pub energy: Energy,
    /// Rent, delivery and energy, as far as prices are given.
    pub cost: f64,
    /// Rent and delivery.
    pub rental: f64,
    /// What the days after `needed_by` cost at the price of a day of delay, not in `cost`; `None` without price or date,
    /// or when the target is never met.
    pub delay_cost: Option<f64>,
    /// Whether some price was missing.
    pub cost_incomplete: bool,
    /// Water that left the slab through its face \[kg\].
    pub water_removed: f64,
    /// What held the drying back.
    pub limited_by: LimitedBy,
    /// Share of the humidity difference between depth and air that lies between the face and the air.
    pub face_share: f64,
    /// Residual of the water balance over the throughput.
    pub water_balance_error: f64,
    /// Residual of the heat balance over the throughput.
    pub heat_balance_error: f64,
    /// Hours worth a note.
    pub hours: Hours,
    /// Mean air of the room while some machine was outside the published range of its data: degC and relative humidity; `None` if none was.
    pub air_outside_range: Option<(f64, f64)>,
    /// The odds of the date, where worlds were sampled.
    pub odds: Option<Odds>,
    /// What would come under a film laid on the day the targets are met.
    pub under_film: Option<UnderFilm>,
    /// States for charts.
    pub records: Vec<Record>,
    /// Profiles: days since drying started; depth \[m\] and relative humidity from the top down.
    pub profiles: Vec<(f64, Vec<(f64, f64)>)>,
    /// Steps and Newton iterations.
    pub work: (u64, u64),
}

/// A setup on which the solver gave up: nothing is known of it but why.
#[derive(Clone, Debug, PartialEq)]
pub struct NotComputed {
    /// Name of the setup.
    pub setup: String,
    /// Why.
    pub fault: SimulationFault,
}

impl NotComputed {
    /// A plain sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        format!("Not computed: {}.", self.fault)
    }
}
