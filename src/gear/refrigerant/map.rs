//! What a refrigerant dehumidifier gives and draws: published surfaces inside of their range, the coil model outside. Symbols, equations,
//! sources and tests stand in `gear::refrigerant`.

use super::super::coil::{Coil, CoilState, CoilTable, Design};
use crate::units::format::{Shown, percent};
use crate::units::{Kind, System};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// Coefficients of a surface in temperature (degC) and relative humidity (percent).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surface {
    constant: f64,
    t: f64,
    t2: f64,
    r: f64,
    r2: f64,
    tr: f64,
}

impl Surface {
    /// Raw value at `temperature` degC and `relative_humidity` 0 to 1, as published: neither normalised nor limited.
    #[must_use]
    pub fn value(&self, temperature: f64, relative_humidity: f64) -> f64 {
        let r = PERCENT * relative_humidity;
        self.constant
            + temperature * (self.t + self.t2 * temperature + self.tr * r)
            + r * (self.r + self.r2 * r)
    }
}

const PERCENT: f64 = 100.0;

const SIX_UNITS_REMOVAL: Surface = Surface {
    constant: -1.162_525_707,
    t: 0.022_714_69,
    t2: -0.000_113_208,
    r: 0.021_110_538,
    r2: -0.000_069_303_4,
    tr: 0.000_378_843,
};
const SIX_UNITS_ENERGY_FACTOR: Surface = Surface {
    constant: -1.902_154_518,
    t: 0.063_466_565,
    t2: -0.000_622_839,
    r: 0.039_540_407,
    r2: -0.000_125_637,
    tr: -0.000_176_722,
};
const OLDER_UNIT_REMOVAL: Surface = Surface {
    constant: -2.724_878_664_080,
    t: 0.100_711_983_591,
    t2: -0.000_990_538_285,
    r: 0.050_053_043_874,
    r2: -0.000_203_629_282,
    tr: -0.000_341_750_531,
};
const OLDER_UNIT_ENERGY_FACTOR: Surface = Surface {
    constant: -2.388_319_068_955,
    t: 0.093_047_739_452,
    t2: -0.001_369_700_327,
    r: 0.066_533_716_758,
    r2: -0.000_343_198_063,
    tr: -0.000_562_490_295,
};

/// Point at which a capacity is rated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rating {
    /// Temperature at the inlet, degC.
    pub temperature: f64,
    /// Relative humidity at the inlet, 0 to 1.
    pub relative_humidity: f64,
}

impl Rating {
    /// 80 degF and 60 %, as in AHAM DH-1: the point to which the surfaces are normalised.
    pub const AT_80F_60: Self = Self {
        temperature: 26.7,
        relative_humidity: 0.60,
    };
    /// 65 degF and 60 %, the U.S. test of portable units since 2019.
    pub const AT_65F_60: Self = Self {
        temperature: 18.33,
        relative_humidity: 0.60,
    };
    /// 30 degC and 80 %, a common catalogue point that flatters a machine.
    pub const AT_30C_80: Self = Self {
        temperature: 30.0,
        relative_humidity: 0.80,
    };
    /// 27 degC and 60 %, a common catalogue point.
    pub const AT_27C_60: Self = Self {
        temperature: 27.0,
        relative_humidity: 0.60,
    };
}

/// Range of the laboratory data: temperatures in degC, relative humidity 0 to 1 (source 2).
struct Range {
    coldest: f64,
    hottest: f64,
    driest: f64,
    dampest: f64,
}

const RANGE: Range = Range {
    coldest: 21.0,
    hottest: 32.22,
    driest: 0.40,
    dampest: 0.80,
};

impl Range {
    fn nearest(&self, temperature: f64, relative_humidity: f64) -> (f64, f64) {
        (
            temperature.clamp(self.coldest, self.hottest),
            relative_humidity.clamp(self.driest, self.dampest),
        )
    }

    fn holds(&self, temperature: f64, relative_humidity: f64) -> bool {
        let (t, r) = self.nearest(temperature, relative_humidity);
        (t - temperature).abs() <= ROUNDING && (r - relative_humidity).abs() <= ROUNDING
    }
}

/// Reading the range's edge at exactly its printed value must not raise the flag through rounding.
const ROUNDING: f64 = 1e-9;

/// How unsure an output is over the [`way`] that it is carried, ordinary machines: one standard deviation (see the head of `gear::refrigerant`).
pub const SPREAD: f64 = 0.62;
/// The same for low-grain machines, carried all the way from their rating point.
pub const SPREAD_LOW_GRAIN: f64 = 0.20;
/// The spread times the deviations is held to this, so that damper air never gives less.
const WIDEST: f64 = 1.0;

/// The way that an output is carried, as a length: near the logarithm of `carried` (the output over that from where it is carried) while
/// that is small, and never above two, so that an output fades out without a jump.
#[must_use]
pub fn way(carried: f64) -> f64 {
    let share = if carried < 1.0 {
        carried
    } else {
        1.0 / carried
    };
    2.0 * (1.0 - share.max(0.0).sqrt())
}

/// Water and electricity of a machine in full run over those at 26.7 degC and 60 %.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Performance {
    /// Water removed.
    pub removal: f64,
    /// Electricity.
    pub power: f64,
}

impl Performance {
    const RATED: Self = Self {
        removal: 1.0,
        power: 1.0,
    };

    /// Water per electricity.
    #[must_use]
    pub fn energy_factor(&self) -> f64 {
        self.removal / self.power
    }
}

/// Coils of machines, sized at the point to which the surfaces are normalised.
static SIX_UNITS: LazyLock<CoilTable> = LazyLock::new(|| sized(Design::SIX_UNITS));
static LOW_GRAIN: LazyLock<CoilTable> = LazyLock::new(|| sized(Design::LOW_GRAIN));

/// What the low-grain table gives at the rating point: one but for what a straight line leaves between nodes.
static LOW_GRAIN_RATED: LazyLock<Performance> = LazyLock::new(|| {
    let (coil, rating) = (LOW_GRAIN.coil(), Rating::AT_80F_60);
    let state = LOW_GRAIN.state(rating.temperature, rating.relative_humidity);
    Performance {
        removal: coil.removal(&state) * coil.frost_share(&state),
        power: coil.power(&state),
    }
});

fn sized(design: Design) -> CoilTable {
    let rating = Rating::AT_80F_60;
    CoilTable::new(Coil::new(
        design,
        rating.temperature,
        rating.relative_humidity,
    ))
}

/// Which laboratory map describes the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum CapacityMap {
    /// Fit over six tested units (source 1). The default choice.
    SixUnits,
    /// One older unit (source 2).
    OlderUnit,
    /// The six units' coil behind a heat exchanger: an assumption for machines with precooling (source 4).
    LowGrain,
}

impl CapacityMap {
    /// Raw published surface of water removal; `None` where none is published.
    #[must_use]
    pub fn removal_surface(self) -> Option<&'static Surface> {
        match self {
            Self::SixUnits => Some(&SIX_UNITS_REMOVAL),
            Self::OlderUnit => Some(&OLDER_UNIT_REMOVAL),
            Self::LowGrain => None,
        }
    }

    /// Raw published surface of the energy factor; `None` where none is published.
    #[must_use]
    pub fn energy_factor_surface(self) -> Option<&'static Surface> {
        match self {
            Self::SixUnits => Some(&SIX_UNITS_ENERGY_FACTOR),
            Self::OlderUnit => Some(&OLDER_UNIT_ENERGY_FACTOR),
            Self::LowGrain => None,
        }
    }

    /// The published surfaces at `temperature` degC and `relative_humidity` 0 to 1, wherever that is, over their value at the rating
    /// point; `None` where none are published.
    #[must_use]
    pub fn by_surfaces(self, temperature: f64, relative_humidity: f64) -> Option<Performance> {
        let rating = Rating::AT_80F_60;
        let relative = |surface: &Surface| {
            surface.value(temperature, relative_humidity)
                / surface.value(rating.temperature, rating.relative_humidity)
        };
        let removal = relative(self.removal_surface()?);
        Some(Performance {
            removal,
            power: removal / relative(self.energy_factor_surface()?),
        })
    }

    fn coil(self) -> &'static CoilTable {
        match self {
            Self::SixUnits | Self::OlderUnit => &SIX_UNITS,
            Self::LowGrain => &LOW_GRAIN,
        }
    }

    /// Whether data are published for this map at `temperature` degC and `relative_humidity` 0 to 1.
    #[must_use]
    pub fn is_published(self, temperature: f64, relative_humidity: f64) -> bool {
        self != Self::LowGrain && RANGE.holds(temperature, relative_humidity)
    }

    fn spread(self) -> f64 {
        match self {
            Self::SixUnits | Self::OlderUnit => SPREAD,
            Self::LowGrain => SPREAD_LOW_GRAIN,
        }
    }

    /// Water and electricity in full run at `temperature` degC and `relative_humidity` 0 to 1, where frost leaves the share `unfrosted` by the
    /// inlet's temperature, `deviation` standard deviations from the middle of what is known.
    #[must_use]
    pub fn performance(
        self,
        temperature: f64,
        relative_humidity: f64,
        unfrosted: f64,
        deviation: f64,
    ) -> Performance {
        let table = self.coil();
        let coil = table.coil();
        let output = |state: &CoilState, unfrosted: f64| Performance {
            removal: coil.removal(state) * coil.frost_share(state).min(unfrosted),
            power: coil.power(state),
        };
        // What is known nearest, by the published surfaces and by the coil: at the edge of the range or, without surfaces, at the rating point.
        let (t, r) = RANGE.nearest(temperature, relative_humidity);
        let (known, there) = match self.by_surfaces(t, r) {
            Some(known) if (t, r) == (temperature, relative_humidity) => return known,
            // No inlet of the range is cold enough for frost by itself.
            Some(known) => (known, output(&table.state(t, r), 1.0)),
            None => (Performance::RATED, *LOW_GRAIN_RATED),
        };
        let here = output(&table.state(temperature, relative_humidity), unfrosted);
        let mut carried = here.removal / there.removal;
        if deviation != 0.0 {
            let spread = (self.spread() * deviation).clamp(-WIDEST, WIDEST);
            carried *= (spread * way(carried)).exp();
        }
        Performance {
            removal: known.removal * carried,
            power: known.power * here.power / there.power,
        }
    }

    /// Part-load fraction at a part-load ratio (duty) 0 to 1: run time is ratio over fraction.
    #[must_use]
    pub fn part_load_fraction(self, part_load_ratio: f64) -> f64 {
        match self {
            Self::SixUnits | Self::LowGrain => 0.90 + 0.10 * part_load_ratio,
            Self::OlderUnit => 0.95 + 0.05 * part_load_ratio,
        }
    }

    /// The range of the data, for warnings.
    #[must_use]
    pub fn published_range(self, system: System) -> String {
        let range = || {
            let degrees = Shown::of(Kind::Temperature, system).between(21.0, 32.2, 0);
            format!("{degrees} and 40 to {} relative humidity", percent(0.8))
        };
        match self {
            Self::SixUnits => format!(
                "{} (stated for an older unit; the six-unit fit came without a range)",
                range()
            ),
            Self::OlderUnit => range(),
            Self::LowGrain => {
                "none for low-grain machines, whose output is computed from their rating".into()
            }
        }
    }
}
