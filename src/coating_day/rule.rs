//! One rule of the coating day: its limit, its value, its source and what it says.

use crate::units::format::Said;
use jiff::civil::Date;

/// Where most rules come from.
pub(super) const COMMON: &str = "common practice, no published source";

/// What a rule says, from the mildest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Says {
    /// It could not be looked at; the reason says why.
    NotChecked,
    /// It allows to coat.
    Go,
    /// Not now: time, weather, a repeated test may change it.
    Wait,
    /// No, as things are.
    No,
}

/// A value or limit of a rule, SI.
#[derive(Clone, Debug, PartialEq)]
pub enum Figure {
    /// None.
    Nothing,
    /// degC.
    Temperature(f64),
    /// From, to, degC.
    TemperatureRange(f64, f64),
    /// K.
    Difference(f64),
    /// 0 to 1.
    Humidity(f64),
    /// Mass of water over dry mass, 0 to 1.
    MoistureContent(f64),
    /// kg/(m2 s).
    Rate(f64),
    /// s.
    Time(f64),
    /// A day.
    Day(Date),
    /// In words.
    Words(String),
}

/// What a rule looks at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// What was found on the walk, and the work that followed.
    Work,
    /// Air, slab and tests.
    Day,
}

/// One rule.
#[derive(Clone, Debug, PartialEq)]
pub struct Rule {
    /// What it looks at.
    pub name: String,
    /// What it looks at: the work on the floor comes first in every answer.
    pub about: About,
    /// What it says.
    pub says: Says,
    /// The value.
    pub value: Figure,
    /// The limit.
    pub limit: Figure,
    /// Whether the value must be at most, rather than at least, the limit.
    pub at_most: bool,
    /// Where the limit comes from.
    pub source: String,
    /// What the first line says of it where it stands against coating; empty where name, value and limit say it.
    pub short: Said,
    /// A complete sentence where it says anything but go, or something is to be known.
    pub why: Said,
}
