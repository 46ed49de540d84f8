//! The electrical supply a machine needs.
//!
//! Computes nothing but the current of a load with unity power factor:
//! ```text
//! I = P / U  (one phase)        I = P / (sqrt(3) U)  (three phases, U between phases)
//! ```
//! with P in W, U in V and I in A. Motors draw some per cent more; the nameplate decides. Source: elementary circuit theory. The test is
//! `analytic_supply_current` in `tests/it/gear.rs`.

/// The electrical supply a machine needs in full run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Supply {
    /// Voltage, V; between phases if there are three.
    pub volts: f64,
    /// Current per phase, A.
    pub amperes: f64,
    /// Phases, 1 or 3.
    pub phases: u8,
}

impl Supply {
    /// No plug.
    pub const NONE: Self = Self {
        volts: 0.0,
        amperes: 0.0,
        phases: 1,
    };

    /// One phase at `volts` V, with the current of `power` W at unity power factor.
    #[must_use]
    pub fn single_phase(volts: f64, power: f64) -> Self {
        Self {
            volts,
            amperes: power / volts,
            phases: 1,
        }
    }

    /// The same voltage and phases with the current of `power` W at unity power factor.
    #[must_use]
    pub fn with_power(self, power: f64) -> Self {
        if self.volts <= 0.0 {
            Self::NONE
        } else if self.phases == 3 {
            Self::three_phase(self.volts, power)
        } else {
            Self::single_phase(self.volts, power)
        }
    }

    /// Three phases at `volts` V between them, with the current of `power` W at unity power factor.
    #[must_use]
    pub fn three_phase(volts: f64, power: f64) -> Self {
        Self {
            volts,
            amperes: power / (3.0_f64.sqrt() * volts),
            phases: 3,
        }
    }
}

/// Circuits of one kind that a site has.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Circuit {
    /// Voltage, V; between phases if there are three.
    pub volts: f64,
    /// Rating of the breaker, A.
    pub breaker: f64,
    /// Phases, 1 or 3.
    pub phases: u8,
    /// How many.
    pub count: u32,
}

/// A generator that feeds machines of any voltage through its own panel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Generator {
    /// Power that it is rated for, W.
    pub watts: f64,
}

/// What a site has to plug machines into.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SitePower {
    /// Circuits.
    pub circuits: Vec<Circuit>,
    /// A generator.
    pub generator: Option<Generator>,
}
