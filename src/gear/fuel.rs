//! What fuels give when they burn: heat, water and carbon dioxide.
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | `H_s` | gross (higher) heating value: the water is counted as condensed | J/kg |
//! | `H_i` | net (lower) heating value: the water leaves as vapour | J/kg |
//! | w | water formed per mass of fuel | kg/kg |
//! | d | carbon dioxide formed per mass of fuel | kg/kg |
//! | h, c | mass shares of hydrogen and carbon in the fuel | 1 |
//! | V/P | outside air needed per gross power | m3/s per W = m3/J |
//! | `X_max`, `X_out` | volume shares of carbon dioxide in the room (limit) and outside | 1 |
//!
//! # Equations
//! ```text
//! C3H8 + 5 O2 -> 3 CO2 + 4 H2O          CH4 + 2 O2 -> CO2 + 2 H2O
//! w = h M(H2O) / (2 M(H))               d = c M(CO2) / M(C)               any fuel, from its elements
//! water per gross energy = w / H_s      carbon dioxide per gross energy = d / H_s
//! V/P = (d / H_s) / rho(CO2) / (X_max - X_out)                            steady room, well mixed, complete combustion
//! ```
//!
//! # Valid range
//! Complete combustion. Natural gas is taken as methane. Real burners form a little carbon monoxide and nitrogen dioxide too: both
//! can kill or harm long before carbon dioxide does, so the ventilation computed here is a planning figure, not a
//! permit. Local codes, the heater's own instructions and measurement in the room decide.
//!
//! # Sources
//! 1. Molar masses: IUPAC standard atomic weights, rounded (H 1.008, C 12.011, O 15.999).
//! 2. Heating values per kg: common handbook values (from memory).
//! 3. Hydrogen and carbon shares of kerosene and diesel: common handbook values (from memory).
//! 4. Heat per unit sold: U.S. Energy Information Administration, tables of energy conversion (propane 91 333 Btu/gal, natural gas
//!    1030 Btu/ft3, kerosene 135 000 Btu/gal, diesel 137 381 Btu/gal).
//!
//! # Proof of accuracy
//! `analytic_combustion_*` and `ref_carbon_dioxide_ventilation` in `tests/it/gear.rs`.

use crate::units::{BTU, FT3, GALLON, LITRE};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A fuel that heaters burn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Fuel {
    /// Propane.
    Propane,
    /// Natural gas, taken as methane.
    NaturalGas,
    /// Kerosene (No 1 oil).
    Kerosene,
    /// Diesel or No 2 heating oil.
    Diesel,
}

/// The measure in which a fuel is sold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SaleUnit {
    /// Litres of liquid.
    Litre,
    /// Cubic metres of gas.
    CubicMetre,
}

/// What one kilogram of a fuel gives. See the head of this file for the sources.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FuelProperties {
    /// Gross (higher) heating value, J/kg.
    pub gross_heat: f64,
    /// Net (lower) heating value, J/kg.
    pub net_heat: f64,
    /// Water formed, kg per kg of fuel.
    pub water: f64,
    /// Carbon dioxide formed, kg per kg of fuel.
    pub carbon_dioxide: f64,
    /// The measure in which it is sold.
    pub sold_by: SaleUnit,
    /// Gross heat in one such measure, J.
    pub gross_heat_per_unit: f64,
}

const HYDROGEN: f64 = 1.008;
const CARBON: f64 = 12.011;
const OXYGEN: f64 = 15.999;
const WATER: f64 = 2.0 * HYDROGEN + OXYGEN;
const CARBON_DIOXIDE: f64 = CARBON + 2.0 * OXYGEN;
const PROPANE: f64 = 3.0 * CARBON + 8.0 * HYDROGEN;
const METHANE: f64 = CARBON + 4.0 * HYDROGEN;

/// Mass shares of hydrogen and carbon in the two oils (source 3).
const KEROSENE_HYDROGEN: f64 = 0.139;
const KEROSENE_CARBON: f64 = 0.861;
const DIESEL_HYDROGEN: f64 = 0.132;
const DIESEL_CARBON: f64 = 0.865;

const PROPANE_PROPERTIES: FuelProperties = FuelProperties {
    gross_heat: 50.35e6,
    net_heat: 46.35e6,
    water: 4.0 * WATER / PROPANE,
    carbon_dioxide: 3.0 * CARBON_DIOXIDE / PROPANE,
    sold_by: SaleUnit::Litre,
    gross_heat_per_unit: 91_333.0 * BTU / (GALLON / LITRE),
};

const NATURAL_GAS_PROPERTIES: FuelProperties = FuelProperties {
    gross_heat: 55.5e6,
    net_heat: 50.0e6,
    water: 2.0 * WATER / METHANE,
    carbon_dioxide: CARBON_DIOXIDE / METHANE,
    sold_by: SaleUnit::CubicMetre,
    gross_heat_per_unit: 1030.0 * BTU / FT3,
};

const KEROSENE_PROPERTIES: FuelProperties = FuelProperties {
    gross_heat: 46.2e6,
    net_heat: 43.1e6,
    water: KEROSENE_HYDROGEN * WATER / (2.0 * HYDROGEN),
    carbon_dioxide: KEROSENE_CARBON * CARBON_DIOXIDE / CARBON,
    sold_by: SaleUnit::Litre,
    gross_heat_per_unit: 135_000.0 * BTU / (GALLON / LITRE),
};

const DIESEL_PROPERTIES: FuelProperties = FuelProperties {
    gross_heat: 45.5e6,
    net_heat: 42.7e6,
    water: DIESEL_HYDROGEN * WATER / (2.0 * HYDROGEN),
    carbon_dioxide: DIESEL_CARBON * CARBON_DIOXIDE / CARBON,
    sold_by: SaleUnit::Litre,
    gross_heat_per_unit: 137_381.0 * BTU / (GALLON / LITRE),
};

impl Fuel {
    /// Every fuel, in the order of their names in lists.
    pub const ALL: [Self; 4] = [
        Self::Propane,
        Self::NaturalGas,
        Self::Kerosene,
        Self::Diesel,
    ];

    /// The name in scenarios and tables.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Propane => "propane",
            Self::NaturalGas => "natural_gas",
            Self::Kerosene => "kerosene",
            Self::Diesel => "diesel",
        }
    }

    /// The fuel of this name, if there is one.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|fuel| fuel.name() == name)
    }

    /// What one kilogram gives.
    #[must_use]
    pub fn properties(self) -> &'static FuelProperties {
        match self {
            Self::Propane => &PROPANE_PROPERTIES,
            Self::NaturalGas => &NATURAL_GAS_PROPERTIES,
            Self::Kerosene => &KEROSENE_PROPERTIES,
            Self::Diesel => &DIESEL_PROPERTIES,
        }
    }

    /// Water formed per gross energy, kg/J.
    #[must_use]
    pub fn water_per_gross_energy(self) -> f64 {
        self.properties().water / self.properties().gross_heat
    }

    /// Carbon dioxide formed per gross energy, kg/J.
    #[must_use]
    pub fn carbon_dioxide_per_gross_energy(self) -> f64 {
        self.properties().carbon_dioxide / self.properties().gross_heat
    }

    /// Share of the gross heat that warms air when the water stays vapour.
    #[must_use]
    pub fn net_share(self) -> f64 {
        self.properties().net_heat / self.properties().gross_heat
    }

    /// Outside air that holds a room's carbon dioxide at `limit` (volume share, such as 0.005) while this fuel burns inside, with
    /// `outside` (such as 0.00042) in the outside air: m3/s per W of gross power.
    ///
    /// Infinite when the outside air is already at the limit. A calculation for planning only: carbon monoxide and nitrogen
    /// dioxide need measuring, and local codes and the heater's instructions come first.
    #[must_use]
    pub fn carbon_dioxide_ventilation(self, limit: f64, outside: f64) -> f64 {
        let rise = limit - outside;
        if rise <= 0.0 {
            return f64::INFINITY;
        }
        self.carbon_dioxide_per_gross_energy() / DENSITY_OF_CARBON_DIOXIDE / rise
    }
}

/// Density of carbon dioxide at 20 degC and 101 325 Pa, kg/m3: molar mass over the molar volume of an ideal gas.
const DENSITY_OF_CARBON_DIOXIDE: f64 = CARBON_DIOXIDE * 1e-3 * 101_325.0 / (8.314_463 * 293.15);
