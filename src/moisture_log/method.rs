//! Moisture tests as the log knows them, and the arithmetic of the dish.
//!
//! What it computes: the emission rate from the gain in mass of a dish of drying salt.
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | `m` | gain in mass of the dish | kg |
//! | `A` | area of floor under the dome | m2 |
//! | `t` | time of exposure | s |
//! | `g` | emission rate | kg/(m2 s) |
//!
//! Equation: `g = m / (A t)`. In the units of the trade `rate = 52.91 gain / (area hours)`, lb/1000 ft2/24 h from grams, square
//! feet and hours, since a gram is 1/453.59237 lb: `24 x 1000 / 453.59237 = 52.91`.
//!
//! Valid range: positive area and time.
//!
//! Sources
//! 1. ASTM F1869, rate of vapour emission by a dish of anhydrous calcium chloride.
//! 2. ASTM F2170, relative humidity in a sleeve at 40 % of the depth (20 % drying from two sides).
//! 3. ASTM D4263, plastic sheet: shows that there is moisture, never how much.
//!
//! Test: `ref_dish_arithmetic` in `tests/it/moisture_log.rs`.

use jiff::civil::DateTime;
use serde::Serialize;

/// How a reading was taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Method {
    /// Relative humidity by a probe in a hole.
    Probe,
    /// Emission rate by a dish of drying salt under a dome.
    Dish,
    /// Equilibrium relative humidity under an insulated hood on the face.
    Hood,
    /// Water per dry mass of a sample.
    MassPercent,
    /// A plastic sheet taped down: moisture under it or none.
    PlasticSheet,
}

impl Method {
    /// Every method.
    pub const ALL: [Self; 5] = [
        Self::Probe,
        Self::Dish,
        Self::Hood,
        Self::MassPercent,
        Self::PlasticSheet,
    ];

    /// The word in the log.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Probe => "probe",
            Self::Dish => "dish",
            Self::Hood => "hood",
            Self::MassPercent => "mass_percent",
            Self::PlasticSheet => "plastic_sheet",
        }
    }

    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Probe => "humidity probe",
            Self::Dish => "dish of drying salt",
            Self::Hood => "humidity under a hood",
            Self::MassPercent => "water by dry mass",
            Self::PlasticSheet => "plastic sheet",
        }
    }

    /// The standard that says how it is done.
    #[must_use]
    pub fn standard(self) -> Option<&'static str> {
        match self {
            Self::Probe => Some("ASTM F2170"),
            Self::Dish => Some("ASTM F1869"),
            Self::PlasticSheet => Some("ASTM D4263"),
            Self::Hood | Self::MassPercent => None,
        }
    }

    /// Unit of [`Reading::value`]; empty where it is 1 for moisture and 0 for none.
    #[must_use]
    pub fn si_unit(self) -> &'static str {
        match self {
            Self::Probe | Self::Hood | Self::MassPercent => "1",
            Self::Dish => "kg/(m2 s)",
            Self::PlasticSheet => "",
        }
    }

    /// What the instrument scatters by, for a reading of this value; none for a test that measures no amount.
    #[must_use]
    pub fn usual_spread(self, value: f64) -> Option<Spread> {
        let deviation = match self {
            Self::Probe => INSTRUMENTS.probe,
            Self::Hood => INSTRUMENTS.hood,
            Self::MassPercent => INSTRUMENTS.mass_percent,
            Self::Dish => (INSTRUMENTS.dish_share * value).max(INSTRUMENTS.dish_least),
            Self::PlasticSheet => return None,
        };
        Some(Spread {
            standard_deviation: deviation,
            source: "common practice, no published source",
        })
    }
}

/// Standard deviations of field instruments (common practice, no published source).
struct Instruments {
    /// Relative humidity: makers state 2 % between calibrations.
    probe: f64,
    /// Relative humidity under a hood: the probe's, and the leakage of the seal.
    hood: f64,
    /// Water per dry mass: scatter between neighbouring samples.
    mass_percent: f64,
    /// Share of the dish's reading.
    dish_share: f64,
    /// The dish resolves no less \[kg/(m2 s)\]: 0.1 lb/1000 ft2/24 h, a twentieth of a gram in three days.
    dish_least: f64,
}

const INSTRUMENTS: Instruments = Instruments {
    probe: 0.02,
    hood: 0.03,
    mass_percent: 0.003,
    dish_share: 0.10,
    dish_least: 5.65e-9,
};

/// Source of a standard deviation that the log gives.
pub(super) const AS_GIVEN: &str = "as given in the log";

/// How far an instrument's readings scatter about the truth.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Spread {
    /// Standard deviation, in the SI unit of the reading.
    pub standard_deviation: f64,
    /// Where the number comes from.
    pub source: &'static str,
}

/// What kind of concrete a test stood on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ConcreteKind {
    /// Normal weight.
    NormalWeight,
    /// Lightweight aggregate.
    Lightweight,
}

impl ConcreteKind {
    /// The word in the log.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::NormalWeight => "normal_weight",
            Self::Lightweight => "lightweight",
        }
    }
}

/// One reading.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Line in the log, from 1.
    pub line: usize,
    /// When it was read, site local standard time.
    pub time: DateTime,
    /// The same, seconds from midnight of the day of placing.
    pub seconds: f64,
    /// Where on the floor.
    pub place: String,
    /// How.
    pub method: Method,
    /// Depth below the face \[m\].
    pub depth: Option<f64>,
    /// The value: relative humidity or mass share 0 to 1, rate \[kg/(m2 s)\]; of a plastic sheet 1 for moisture, 0 for none.
    pub value: f64,
    /// The value as it stands in the log.
    pub typed: String,
    /// How far the instrument scatters; none for a plastic sheet.
    pub spread: Option<Spread>,
    /// Temperature of the slab \[degC\].
    pub slab_temperature: Option<f64>,
    /// Temperature of the air \[degC\].
    pub air_temperature: Option<f64>,
    /// Relative humidity of the air, 0 to 1.
    pub air_relative_humidity: Option<f64>,
    /// Time in the hole, under the dome, hood or sheet \[s\].
    pub exposure: Option<f64>,
    /// Time for which slab and room had been at service conditions before the test \[s\].
    pub conditioned: Option<f64>,
    /// Side of the square that was ground for a dish \[m\].
    pub ground_side: Option<f64>,
    /// Floor under the dome of a dish \[m2\].
    pub dish_area: Option<f64>,
    /// Kind of concrete.
    pub concrete: Option<ConcreteKind>,
    /// Anything worth remembering.
    pub note: String,
}

impl Reading {
    /// The reading as one text without its line: two readings that say the same have the same.
    #[must_use]
    pub fn fingerprint(&self) -> String {
        let off_line = Self {
            line: 0,
            ..self.clone()
        };
        format!("{off_line:?}")
    }

    /// The place as it is compared: capitals and blanks around it do not count.
    #[must_use]
    pub fn place_key(&self) -> String {
        self.place.trim().to_lowercase()
    }
}

/// Emission rate \[kg/(m2 s)\] from the `gain` in mass \[kg\] of a dish over `area` \[m2\] of floor in `exposure` \[s\]; none if
/// area or time are not positive.
#[must_use]
pub fn emission_rate(gain: f64, area: f64, exposure: f64) -> Option<f64> {
    (area > 0.0 && exposure > 0.0 && gain.is_finite()).then(|| gain / (area * exposure))
}
