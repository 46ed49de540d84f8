//! A state of moist air from any two known quantities and the pressure.
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | t, t*, `t_d` | dry bulb, wet bulb, dew point over water | degC |
//! | r | relative humidity, over ice below 0 degC | 0 to 1 |
//! | W | humidity ratio | kg/kg dry air |
//! | h | enthalpy | J/kg dry air |
//! | p, `p_v`, `p_s` | total pressure, vapour pressure, vapour pressure at saturation | Pa |
//!
//! # Equations
//! Those of the room (\[1\] there), solved for whatever is unknown:
//!
//! | pair | how |
//! |---|---|
//! | t with any other | W in closed form |
//! | `t_d` or W, with t* | t in closed form: the equation of the wet bulb is linear in t |
//! | `t_d` or W, with r | `p_s(t) = p_v / r`, t in closed form |
//! | `t_d` or W, with h | t in closed form |
//! | t* with r | t where the vapour pressure by the wet bulb, which falls with t, meets `r p_s(t)`, which rises |
//! | r with h | t where `h(t, W(r, t))`, which rises with t, meets h |
//!
//! Both searches are bracketed and of one sign change, so they end in the only root or in a fault.
//!
//! Two pairs fix no state. Dew point and humidity ratio are the same quantity at a given pressure. Wet bulb and enthalpy are
//! nearly so: along a line of constant wet bulb the enthalpy changes by `c_w t*` per unit of W, so at a wet bulb of 20 degC and
//! sea level a wet bulb read 0.1 K wrong moves the enthalpy by 0.34 kJ/kg and the humidity ratio by 3.9 g/kg, more than a
//! quarter of what saturated air holds. A number that loose is not shown.
//!
//! # Valid range
//! [`TEMPERATURES`] and the other limits below; saturation pressure is within 0.35 % to 50 degC and within 0.4 % at 60 degC.
//!
//! # Sources
//! Those of the room.
//!
//! # Proof of accuracy
//! `analytic_every_pair_gives_the_state_back` and `ref_worked_states` in `tests/it/air.rs`.

use std::fmt;
use std::ops::RangeInclusive;

use crate::units::format::{Shown, capital, number as number_shown, with_unit};
use crate::units::{Kind, RANKINE, System};

use super::mixture::Wick;
use super::root::bracketed_root;
use super::{
    MoistAir, condensation_point, dew_point, enthalpy, humidity_ratio,
    humidity_ratio_from_wet_bulb, saturation_humidity_ratio, saturation_pressure,
    saturation_pressure_over_water, temperature_from_enthalpy, vapour_pressure, wet_bulb,
};

/// Dry bulbs, wet bulbs and dew points that are accepted and given, degC: where the saturation pressure is good to 0.4 %.
pub const TEMPERATURES: RangeInclusive<f64> = -40.0..=60.0;
/// Relative humidities that are accepted, 0 to 1.
pub const RELATIVE_HUMIDITIES: RangeInclusive<f64> = 0.0..=1.0;
/// Humidity ratios that are accepted, kg/kg: from dry air to saturation at 60 degC in thin air.
pub const HUMIDITY_RATIOS: RangeInclusive<f64> = 0.0..=0.45;
/// Enthalpies that are accepted, J/kg: from dry air at -41 degC to saturation at 60 degC in thin air.
pub const ENTHALPIES: RangeInclusive<f64> = -41_000.0..=1_300_000.0;
/// Total pressures that are accepted, Pa: from 5500 m above the sea to 690 m below it.
pub const PRESSURES: RangeInclusive<f64> = 50_000.0..=110_000.0;

/// J/kg in a Btu/lb: exact for the International Table Btu.
pub(crate) const BTU_PER_POUND: f64 = 2326.0;
/// Enthalpies in US units count dry air from 0 degF, those in SI from 0 degC \[J/kg\]; both count liquid water from the
/// freezing point (Handbook: Fundamentals, chapter Psychrometrics, of the American society of air-conditioning engineers).
pub(crate) const ENTHALPY_OF_DRY_AIR_FROM_0_DEGF: f64 =
    super::SPECIFIC_HEAT_DRY_AIR * 32.0 * RANKINE;
/// Values beyond any range by decades are shown as powers of ten.
const LARGEST_IN_PLAIN_DIGITS: f64 = 1e9;
/// Rounding allowed at the two ends, dry air and saturation: on humidity ratios in kg/kg, on temperatures in K.
const ROUNDING: f64 = 1e-9;
/// Dry bulbs are searched to this many K, far below any thermometer.
const TEMPERATURE_TOLERANCE: f64 = 1e-11;

/// The quantities that can be known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Quantity {
    /// Dry bulb.
    DryBulb,
    /// Wet bulb.
    WetBulb,
    /// Dew point over water.
    DewPoint,
    /// Relative humidity.
    RelativeHumidity,
    /// Humidity ratio.
    HumidityRatio,
    /// Enthalpy.
    Enthalpy,
    /// Total pressure.
    Pressure,
}

impl Quantity {
    /// Range that is accepted, in the unit of [`Known`].
    #[must_use]
    pub const fn range(self) -> RangeInclusive<f64> {
        match self {
            Self::DryBulb | Self::WetBulb | Self::DewPoint => TEMPERATURES,
            Self::RelativeHumidity => RELATIVE_HUMIDITIES,
            Self::HumidityRatio => HUMIDITY_RATIOS,
            Self::Enthalpy => ENTHALPIES,
            Self::Pressure => PRESSURES,
        }
    }

    /// Whether `value` is a number within [`range`](Self::range).
    ///
    /// # Errors
    /// A [`StateFault::NotANumber`] or [`StateFault::OutOfRange`].
    pub fn check(self, value: f64) -> Result<(), StateFault> {
        if !value.is_finite() {
            return Err(StateFault::NotANumber { quantity: self });
        }
        if !self.range().contains(&value) {
            return Err(StateFault::OutOfRange {
                quantity: self,
                value,
            });
        }
        Ok(())
    }

    fn article(self) -> &'static str {
        match self {
            Self::Enthalpy => "an",
            _ => "a",
        }
    }

    /// `value` with its unit, as in the sentences of faults.
    fn show(self, value: f64, system: System) -> String {
        // Plain digits of a huge number fill a page, and its percentage may not even be finite.
        if value.abs() > LARGEST_IN_PLAIN_DIGITS {
            return format!("{value:.2e}");
        }
        let (kind, decimals) = match self {
            Self::DryBulb | Self::WetBulb | Self::DewPoint => (Kind::Temperature, 2),
            Self::RelativeHumidity => (Kind::RelativeHumidity, 1),
            Self::HumidityRatio => (Kind::HumidityRatio, 2),
            Self::Pressure => (Kind::Pressure, 1),
            Self::Enthalpy => {
                let (number, unit) = match system {
                    System::Si => (value / 1e3, "kJ/kg"),
                    _ => (
                        (value + ENTHALPY_OF_DRY_AIR_FROM_0_DEGF) / BTU_PER_POUND,
                        "Btu/lb",
                    ),
                };
                return with_unit(&number_shown(number, 2), unit);
            }
        };
        Shown::of(kind, system).text(value, decimals)
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::DryBulb => "dry bulb",
            Self::WetBulb => "wet bulb",
            Self::DewPoint => "dew point",
            Self::RelativeHumidity => "relative humidity",
            Self::HumidityRatio => "humidity ratio",
            Self::Enthalpy => "enthalpy",
            Self::Pressure => "pressure",
        })
    }
}

/// One known quantity of the air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Known {
    /// Dry bulb, degC.
    DryBulb(f64),
    /// Wet bulb, degC; the wick is iced below 0 degC.
    WetBulb(f64),
    /// Dew point over water, degC.
    DewPoint(f64),
    /// Relative humidity, 0 to 1; over ice where the dry bulb is below 0 degC.
    RelativeHumidity(f64),
    /// Humidity ratio, kg/kg dry air.
    HumidityRatio(f64),
    /// Enthalpy, J/kg dry air.
    Enthalpy(f64),
}

impl Known {
    /// Which quantity this is.
    #[must_use]
    pub const fn quantity(self) -> Quantity {
        match self {
            Self::DryBulb(_) => Quantity::DryBulb,
            Self::WetBulb(_) => Quantity::WetBulb,
            Self::DewPoint(_) => Quantity::DewPoint,
            Self::RelativeHumidity(_) => Quantity::RelativeHumidity,
            Self::HumidityRatio(_) => Quantity::HumidityRatio,
            Self::Enthalpy(_) => Quantity::Enthalpy,
        }
    }

    /// Its value, in the unit of its variant.
    #[must_use]
    pub const fn value(self) -> f64 {
        match self {
            Self::DryBulb(value)
            | Self::WetBulb(value)
            | Self::DewPoint(value)
            | Self::RelativeHumidity(value)
            | Self::HumidityRatio(value)
            | Self::Enthalpy(value) => value,
        }
    }

    /// Whether the value is a number in range, so that faults of several inputs can be gathered.
    ///
    /// # Errors
    /// A [`StateFault::NotANumber`] or [`StateFault::OutOfRange`].
    pub fn check(self) -> Result<(), StateFault> {
        self.quantity().check(self.value())
    }
}

impl Known {
    fn words(self, system: System) -> String {
        let quantity = self.quantity();
        let article = quantity.article();
        format!(
            "{article} {quantity} of {}",
            quantity.show(self.value(), system)
        )
    }
}

/// Why two known quantities give no state. Values are in the units of [`Known`].
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum StateFault {
    /// A value is infinite or no number.
    NotANumber {
        /// Which one.
        quantity: Quantity,
    },
    /// A value is outside the range in which this room is accurate.
    OutOfRange {
        /// Which one.
        quantity: Quantity,
        /// The value.
        value: f64,
    },
    /// The same quantity twice.
    SameQuantity {
        /// Which one.
        quantity: Quantity,
    },
    /// Dew point and humidity ratio are the same information.
    DewPointAndHumidityRatio,
    /// Wet bulb and enthalpy are nearly the same information.
    WetBulbAndEnthalpy,
    /// Humidity ratio and relative humidity are both zero.
    DryAtEveryTemperature,
    /// One value says that there is no vapour, the other that there is some.
    VapourOrNone {
        /// One value.
        first: Known,
        /// The other.
        second: Known,
    },
    /// The wet bulb is above the dry bulb.
    WetBulbAboveDryBulb {
        /// Wet bulb, degC.
        wet_bulb: f64,
        /// Dry bulb, degC.
        dry_bulb: f64,
    },
    /// The dew point is above the dry bulb.
    DewPointAboveDryBulb {
        /// Dew point, degC.
        dew_point: f64,
        /// Dry bulb, degC.
        dry_bulb: f64,
    },
    /// More vapour than the wet bulb allows.
    DewPointAboveWetBulb {
        /// The value that gives the vapour.
        other: Known,
        /// Dew point it means, degC.
        dew_point: f64,
        /// Wet bulb, degC.
        wet_bulb: f64,
        /// Highest dew point at that wet bulb, degC (over water, so below 0 degC it is lower than the iced wet bulb).
        highest: f64,
    },
    /// The wet bulb is below that of air without vapour.
    WetBulbTooLow {
        /// Wet bulb, degC.
        wet_bulb: f64,
        /// Dry bulb, degC.
        dry_bulb: f64,
        /// Wet bulb of air without vapour, degC.
        lowest: f64,
    },
    /// The enthalpy is below that of air without vapour.
    EnthalpyTooLow {
        /// Enthalpy, J/kg.
        enthalpy: f64,
        /// Dry bulb, degC.
        dry_bulb: f64,
        /// Enthalpy of air without vapour, J/kg.
        lowest: f64,
    },
    /// The pair means more vapour than the air can hold.
    Supersaturated {
        /// One value.
        first: Known,
        /// The other.
        second: Known,
        /// Dry bulb, degC.
        temperature: f64,
        /// Relative humidity, 1 being saturation.
        relative_humidity: f64,
    },
    /// The pair belongs to no state in range.
    NoState {
        /// One value.
        first: Known,
        /// The other.
        second: Known,
    },
}

impl StateFault {
    /// What is wrong and what to change, as a system says it.
    #[must_use]
    pub fn words(&self, system: System) -> String {
        let degrees = |celsius: f64| Quantity::DryBulb.show(celsius, system);
        let enthalpy = |joules: f64| Quantity::Enthalpy.show(joules, system);
        let known = |known: &Known| known.words(system);
        match self {
            Self::NotANumber { quantity } => {
                format!("The {quantity} is not a finite number. Give it as a plain decimal number.")
            }
            Self::OutOfRange { quantity, value } => format!(
                "{} {quantity} of {} cannot be computed. Give one from {} to {}, and check its unit.",
                capital(quantity.article()),
                quantity.show(*value, system),
                quantity.show(*quantity.range().start(), system),
                quantity.show(*quantity.range().end(), system)
            ),
            Self::SameQuantity { quantity } => {
                format!("Both values are the {quantity}. Give two different quantities.")
            }
            Self::DewPointAndHumidityRatio => {
                "Dew point and humidity ratio say the same thing at a given pressure and leave the temperature open. Give the dry bulb in place of one of them.".into()
            }
            Self::WetBulbAndEnthalpy => {
                "Wet bulb and enthalpy say nearly the same thing: a small slip in the wet bulb would change the humidity a lot. Give the dry bulb in place of one of them.".into()
            }
            Self::DryAtEveryTemperature => {
                "Air without vapor has a relative humidity of zero at every temperature. Give the dry bulb in place of one of them.".into()
            }
            Self::VapourOrNone { first, second } => format!(
                "{} and {} contradict each other: one of them means no vapor at all. Check both values.",
                capital(&known(first)),
                known(second)
            ),
            Self::WetBulbAboveDryBulb { wet_bulb, dry_bulb } => format!(
                "The wet bulb ({}) is above the dry bulb ({}). It can be at most equal. Check whether the two were swapped.",
                degrees(*wet_bulb),
                degrees(*dry_bulb)
            ),
            Self::DewPointAboveDryBulb {
                dew_point,
                dry_bulb,
            } => format!(
                "The dew point ({}) is above the dry bulb ({}). It can be at most equal. Check whether the two were swapped.",
                degrees(*dew_point),
                degrees(*dry_bulb)
            ),
            Self::DewPointAboveWetBulb {
                other: Known::DewPoint(dew_point),
                wet_bulb,
                highest,
                ..
            } => format!(
                "A dew point of {} is too high for a wet bulb of {}. It can be at most {}. Check both values.",
                degrees(*dew_point),
                degrees(*wet_bulb),
                degrees(*highest)
            ),
            Self::DewPointAboveWetBulb {
                other,
                dew_point,
                wet_bulb,
                highest,
            } => format!(
                "{} means a dew point of {}. With a wet bulb of {} it can be at most {}. Check both values.",
                capital(&known(other)),
                degrees(*dew_point),
                degrees(*wet_bulb),
                degrees(*highest)
            ),
            Self::WetBulbTooLow {
                wet_bulb,
                dry_bulb,
                lowest,
            } => format!(
                "A wet bulb of {} is too low for a dry bulb of {}. Even air without any vapor has {}. Check both readings, and that the wick was wet.",
                degrees(*wet_bulb),
                degrees(*dry_bulb),
                degrees(*lowest)
            ),
            Self::EnthalpyTooLow {
                enthalpy: given,
                dry_bulb,
                lowest,
            } => format!(
                "An enthalpy of {} is too low for a dry bulb of {}. Even air without any vapor has {}. Check both values and their units.",
                enthalpy(*given),
                degrees(*dry_bulb),
                enthalpy(*lowest)
            ),
            Self::Supersaturated {
                first,
                second,
                temperature,
                relative_humidity,
            } => format!(
                "{} and {} would mean a relative humidity of {} at {}. It can be at most 100 %, below freezing over ice. Check both values and their units.",
                capital(&known(first)),
                known(second),
                Quantity::RelativeHumidity.show(*relative_humidity, system),
                degrees(*temperature)
            ),
            Self::NoState { first, second } => format!(
                "No air from {} to {} has both {} and {}. Check both values and their units.",
                degrees(*TEMPERATURES.start()),
                degrees(*TEMPERATURES.end()),
                known(first),
                known(second)
            ),
        }
    }
}

/// In SI.
impl fmt::Display for StateFault {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.words(System::Si))
    }
}

impl std::error::Error for StateFault {}

/// State of air from two different known quantities at a total `pressure` Pa; their order does not matter.
///
/// # Errors
/// A [`StateFault`], whose text says what to change, when a value is out of range, when the pair is impossible or
/// when it does not fix the state.
pub fn from_two(first: Known, second: Known, pressure: f64) -> Result<MoistAir, StateFault> {
    first.check()?;
    second.check()?;
    Quantity::Pressure.check(pressure)?;
    let (one, two) = if first.quantity() <= second.quantity() {
        (first, second)
    } else {
        (second, first)
    };
    let pair = Pair { one, two, pressure };
    match (one, two) {
        (Known::DryBulb(t), Known::WetBulb(wet)) => pair.dry_and_wet_bulb(t, wet),
        (Known::DryBulb(t), Known::DewPoint(dew)) => {
            if dew > t {
                return Err(StateFault::DewPointAboveDryBulb {
                    dew_point: dew,
                    dry_bulb: t,
                });
            }
            pair.state(t, pair.ratio_at_dew_point(dew)?)
        }
        (Known::DryBulb(t), Known::RelativeHumidity(r)) => {
            pair.state(t, humidity_ratio(r * saturation_pressure(t), pressure))
        }
        (Known::DryBulb(t), Known::HumidityRatio(ratio)) => pair.state(t, ratio),
        (Known::DryBulb(t), Known::Enthalpy(h)) => pair.dry_bulb_and_enthalpy(t, h),
        (Known::WetBulb(wet), Known::DewPoint(dew)) => {
            pair.wet_bulb_and_ratio(wet, pair.ratio_at_dew_point(dew)?)
        }
        (Known::WetBulb(wet), Known::HumidityRatio(ratio)) => pair.wet_bulb_and_ratio(wet, ratio),
        (Known::WetBulb(wet), Known::RelativeHumidity(r)) => {
            pair.wet_bulb_and_relative_humidity(wet, r)
        }
        (Known::WetBulb(_), Known::Enthalpy(_)) => Err(StateFault::WetBulbAndEnthalpy),
        (Known::DewPoint(dew), Known::RelativeHumidity(r)) => {
            pair.ratio_and_relative_humidity(pair.ratio_at_dew_point(dew)?, r)
        }
        (Known::DewPoint(_), Known::HumidityRatio(_)) => Err(StateFault::DewPointAndHumidityRatio),
        (Known::DewPoint(dew), Known::Enthalpy(h)) => {
            let ratio = pair.ratio_at_dew_point(dew)?;
            pair.state(temperature_from_enthalpy(h, ratio), ratio)
        }
        (Known::RelativeHumidity(r), Known::HumidityRatio(ratio)) => {
            pair.ratio_and_relative_humidity(ratio, r)
        }
        (Known::RelativeHumidity(r), Known::Enthalpy(h)) => {
            pair.relative_humidity_and_enthalpy(r, h)
        }
        (Known::HumidityRatio(ratio), Known::Enthalpy(h)) => {
            pair.state(temperature_from_enthalpy(h, ratio), ratio)
        }
        // The pair is sorted, so what is left is a quantity with itself.
        _ => Err(StateFault::SameQuantity {
            quantity: one.quantity(),
        }),
    }
}

/// Two values, sorted by quantity, and the pressure: what every fault may need to name.
#[derive(Clone, Copy)]
struct Pair {
    one: Known,
    two: Known,
    pressure: f64,
}

impl Pair {
    /// The state, once dry bulb and humidity ratio are found and if it can exist.
    fn state(self, temperature: f64, ratio: f64) -> Result<MoistAir, StateFault> {
        let (low, high) = (*TEMPERATURES.start(), *TEMPERATURES.end());
        if !(temperature >= low - ROUNDING && temperature <= high + ROUNDING && ratio >= -ROUNDING)
        {
            return Err(self.no_state());
        }
        let temperature = temperature.clamp(low, high);
        let most = saturation_humidity_ratio(temperature, self.pressure);
        if ratio > most * (1.0 + ROUNDING) {
            return Err(StateFault::Supersaturated {
                first: self.one,
                second: self.two,
                temperature,
                relative_humidity: vapour_pressure(ratio, self.pressure)
                    / saturation_pressure(temperature),
            });
        }
        Ok(MoistAir {
            temperature,
            humidity_ratio: ratio.clamp(0.0, most),
            pressure: self.pressure,
        })
    }

    fn no_state(self) -> StateFault {
        StateFault::NoState {
            first: self.one,
            second: self.two,
        }
    }

    fn ratio_at_dew_point(self, dew_point: f64) -> Result<f64, StateFault> {
        let ratio = humidity_ratio(saturation_pressure_over_water(dew_point), self.pressure);
        if ratio.is_finite() {
            Ok(ratio)
        } else {
            Err(self.no_state())
        }
    }

    fn dry_and_wet_bulb(self, dry_bulb: f64, wet_bulb_read: f64) -> Result<MoistAir, StateFault> {
        if wet_bulb_read > dry_bulb {
            return Err(StateFault::WetBulbAboveDryBulb {
                wet_bulb: wet_bulb_read,
                dry_bulb,
            });
        }
        let ratio = humidity_ratio_from_wet_bulb(dry_bulb, wet_bulb_read, self.pressure);
        if ratio < -ROUNDING {
            let lowest = wet_bulb(dry_bulb, 0.0, self.pressure);
            return Err(StateFault::WetBulbTooLow {
                wet_bulb: wet_bulb_read,
                dry_bulb,
                lowest,
            });
        }
        self.state(dry_bulb, ratio)
    }

    fn dry_bulb_and_enthalpy(self, dry_bulb: f64, h: f64) -> Result<MoistAir, StateFault> {
        let lowest = enthalpy(dry_bulb, 0.0);
        let per_ratio = enthalpy(dry_bulb, 1.0) - lowest;
        let ratio = (h - lowest) / per_ratio;
        if ratio < -ROUNDING {
            return Err(StateFault::EnthalpyTooLow {
                enthalpy: h,
                dry_bulb,
                lowest,
            });
        }
        self.state(dry_bulb, ratio)
    }

    fn wet_bulb_and_ratio(self, wet_bulb: f64, ratio: f64) -> Result<MoistAir, StateFault> {
        let most = saturation_humidity_ratio(wet_bulb, self.pressure);
        if ratio > most * (1.0 + ROUNDING) {
            return Err(StateFault::DewPointAboveWetBulb {
                other: if self.one.quantity() == Quantity::WetBulb {
                    self.two
                } else {
                    self.one
                },
                dew_point: dew_point(vapour_pressure(ratio, self.pressure)),
                wet_bulb,
                highest: dew_point(saturation_pressure(wet_bulb)),
            });
        }
        self.state(
            Wick::at(wet_bulb).dry_bulb(ratio, wet_bulb, self.pressure),
            ratio,
        )
    }

    fn wet_bulb_and_relative_humidity(self, wet_bulb: f64, r: f64) -> Result<MoistAir, StateFault> {
        let excess = |t: f64| {
            let by_wet_bulb = humidity_ratio_from_wet_bulb(t, wet_bulb, self.pressure);
            vapour_pressure(by_wet_bulb, self.pressure) - r * saturation_pressure(t)
        };
        // Next to saturation rounding can hide the change of sign; there the two bulbs are one.
        let t = if excess(wet_bulb) <= ROUNDING * saturation_pressure(wet_bulb) {
            wet_bulb
        } else {
            bracketed_root(excess, wet_bulb, *TEMPERATURES.end(), TEMPERATURE_TOLERANCE)
                .ok_or(self.no_state())?
        };
        self.state(t, humidity_ratio(r * saturation_pressure(t), self.pressure))
    }

    fn ratio_and_relative_humidity(self, ratio: f64, r: f64) -> Result<MoistAir, StateFault> {
        match (ratio > 0.0, r > 0.0) {
            (true, true) => self.state(
                condensation_point(vapour_pressure(ratio, self.pressure) / r),
                ratio,
            ),
            (false, false) => Err(StateFault::DryAtEveryTemperature),
            _ => Err(StateFault::VapourOrNone {
                first: self.one,
                second: self.two,
            }),
        }
    }

    fn relative_humidity_and_enthalpy(self, r: f64, h: f64) -> Result<MoistAir, StateFault> {
        let ratio = |t: f64| humidity_ratio(r * saturation_pressure(t), self.pressure);
        let t = bracketed_root(
            |t| enthalpy(t, ratio(t)) - h,
            *TEMPERATURES.start(),
            *TEMPERATURES.end(),
            TEMPERATURE_TOLERANCE,
        )
        .ok_or(self.no_state())?;
        self.state(t, ratio(t))
    }
}
