//! What one unit holds of another, each number once in the program. The SI unit of each stands in its comment.
//!
//! Definitions are exact unless a note says otherwise; sources are those of [`super::table`].

/// A minute \[s\].
pub const MINUTE: f64 = 60.0;
/// An hour \[s\].
pub const HOUR: f64 = 3600.0;
/// A day \[s\].
pub const DAY: f64 = 86_400.0;
/// An inch \[m\].
pub const INCH: f64 = 0.0254;
/// A foot \[m\].
pub const FOOT: f64 = 0.3048;
/// A yard \[m\].
pub const YARD: f64 = 0.9144;
/// A mile \[m\].
pub const MILE: f64 = 1609.344;
/// A square foot \[m2\].
pub const FT2: f64 = FOOT * FOOT;
/// A cubic foot \[m3\].
pub const FT3: f64 = FOOT * FOOT * FOOT;
/// A pound \[kg\].
pub const POUND: f64 = 0.453_592_37;
/// Grains in a pound.
pub const GRAINS_PER_POUND: f64 = 7000.0;
/// A US gallon \[m3\].
pub const GALLON: f64 = 3.785_411_784e-3;
/// A litre \[m3\].
pub const LITRE: f64 = 1e-3;
/// A US liquid pint \[m3\].
pub const PINT: f64 = GALLON / 8.0;
/// A US fluid ounce \[m3\].
pub const FLUID_OUNCE: f64 = GALLON / 128.0;
/// A British thermal unit, International Table \[J\].
pub const BTU: f64 = 1_055.055_852_62;
/// A kilowatt hour \[J\].
pub const KWH: f64 = 3.6e6;
/// A pound-force on a square inch \[Pa\].
pub const PSI: f64 = 6_894.757_293_168;
/// A conventional inch of mercury \[Pa\] (source 1).
pub const INHG: f64 = 3_386.389;
/// A conventional millimetre of mercury \[Pa\] (source 1).
pub const MMHG: f64 = 133.322_4;
/// A cubic foot a minute \[m3/s\].
pub const CFM: f64 = FT3 / MINUTE;
/// A degree Fahrenheit of difference \[K\].
pub const RANKINE: f64 = 5.0 / 9.0;
/// A pound from a thousand square feet in a day \[kg/(m2 s)\].
pub const POUND_PER_1000_FT2_DAY: f64 = POUND / (1000.0 * FT2) / DAY;
/// Kilograms of water per cubic metre by which water is counted (source 3).
pub const WATER: f64 = 1000.0;

/// A temperature in degF, from degC.
#[must_use]
pub fn fahrenheit(celsius: f64) -> f64 {
    celsius * 1.8 + 32.0
}

/// A temperature in degC, from degF.
#[must_use]
pub const fn celsius(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) / 1.8
}

/// A difference of temperatures in degF, from K.
#[must_use]
pub fn fahrenheit_difference(kelvin: f64) -> f64 {
    kelvin * 1.8
}
