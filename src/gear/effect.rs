//! What a machine does to a room at one moment.
//!
//! # Balance
//! Enthalpies count from dry air and liquid water at 0 degC. For every machine
//! ```text
//! electricity + fuel = enthalpy + expelled
//! ```
//! where `fuel` is gross (its water counted as liquid) and `expelled` is what leaves the building other than with the plain exchange
//! of `outside_air`: warmth of condensate, flue gas, losses of ducts outside, and the moist warm air of a regeneration.
//!
//! # Proof of accuracy
//! `analytic_energy_balance_*` in `tests/it/gear.rs`.

use std::fmt;
use std::ops::{Add, AddAssign, BitOr, BitOrAssign, Mul};

/// What a machine, or several, do to the room's air at one moment.
///
/// Sums add the flows, merge the conditions and keep the greatest duty.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Effect {
    /// Water vapour into the room's air, kg/s; negative when it is removed.
    pub vapour: f64,
    /// Enthalpy into the room's air, W, counted from liquid water and dry air at 0 degC. The plain exchange of `outside_air` for
    /// room air is not in it.
    pub enthalpy: f64,
    /// Dry air drawn in from outside, with as much room air expelled, kg/s.
    pub outside_air: f64,
    /// Electricity, W.
    pub electricity: f64,
    /// Fuel burnt, W gross.
    pub fuel: f64,
    /// Water collected as liquid, kg/s.
    pub condensate: f64,
    /// Carbon dioxide into the room's air, kg/s.
    pub carbon_dioxide: f64,
    /// Energy that leaves the building beside the plain exchange of air, W.
    pub expelled: f64,
    /// Share of full capacity asked by the control, 0 to 1.
    pub duty: f64,
    /// What is worth a warning.
    pub condition: Condition,
}

impl Add for Effect {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            vapour: self.vapour + other.vapour,
            enthalpy: self.enthalpy + other.enthalpy,
            outside_air: self.outside_air + other.outside_air,
            electricity: self.electricity + other.electricity,
            fuel: self.fuel + other.fuel,
            condensate: self.condensate + other.condensate,
            carbon_dioxide: self.carbon_dioxide + other.carbon_dioxide,
            expelled: self.expelled + other.expelled,
            duty: self.duty.max(other.duty),
            condition: self.condition | other.condition,
        }
    }
}

impl AddAssign for Effect {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

/// Several machines alike: the flows times their count; duty and condition stay those of one.
impl Mul<f64> for Effect {
    type Output = Self;

    fn mul(self, count: f64) -> Self {
        Self {
            vapour: self.vapour * count,
            enthalpy: self.enthalpy * count,
            outside_air: self.outside_air * count,
            electricity: self.electricity * count,
            fuel: self.fuel * count,
            condensate: self.condensate * count,
            carbon_dioxide: self.carbon_dioxide * count,
            expelled: self.expelled * count,
            duty: self.duty,
            condition: self.condition,
        }
    }
}

impl std::iter::Sum for Effect {
    fn sum<I: Iterator<Item = Self>>(effects: I) -> Self {
        effects.fold(Self::default(), Add::add)
    }
}

/// Conditions of a machine that are worth a warning; several can hold at once. Merge them with `|`.
#[derive(Clone, Copy, Default, PartialEq, Eq, Hash)]
pub struct Condition(u8);

impl Condition {
    /// Nothing to report.
    pub const NONE: Self = Self(0);
    /// Cold enough for frost on the coil: some capacity goes into defrosting.
    pub const FROSTED: Self = Self(1);
    /// Outside the range in which the machine's data were measured: a refrigerant machine's output is carried there by a model, a desiccant's held on
    /// the safe side of the range's edge.
    pub const OUTSIDE_PUBLISHED_RANGE: Self = Self(1 << 1);
    /// The air is too dry for this machine to take anything worth its power.
    pub const STARVED: Self = Self(1 << 2);
    /// Too cold or too hot for the machine to run in full or at all.
    pub const STOPPED: Self = Self(1 << 3);

    const NAMED: [(Self, &'static str); 4] = [
        (Self::FROSTED, "frosted"),
        (Self::OUTSIDE_PUBLISHED_RANGE, "outside_published_range"),
        (Self::STARVED, "starved"),
        (Self::STOPPED, "stopped"),
    ];

    /// This condition if `holds`, else none.
    #[must_use]
    pub const fn when(self, holds: bool) -> Self {
        if holds { self } else { Self::NONE }
    }

    /// Whether all of `other` holds.
    #[must_use]
    pub const fn contains(self, other: Self) -> bool {
        self.0 & other.0 == other.0
    }

    /// Whether nothing holds.
    #[must_use]
    pub const fn is_none(self) -> bool {
        self.0 == 0
    }

    /// Names of what holds.
    pub fn names(self) -> impl Iterator<Item = &'static str> {
        Self::NAMED
            .into_iter()
            .filter(move |(condition, _)| self.contains(*condition))
            .map(|(_, name)| name)
    }
}

impl BitOr for Condition {
    type Output = Self;

    fn bitor(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }
}

impl BitOrAssign for Condition {
    fn bitor_assign(&mut self, other: Self) {
        *self = *self | other;
    }
}

impl fmt::Debug for Condition {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.debug_set().entries(self.names()).finish()
    }
}
