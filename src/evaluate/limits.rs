//! Limits of the air in which people work, common to the runs and the checks.

/// Air in which people should not work without heat precautions \[degC\] (engineering judgement; codes decide).
pub(super) const HOT: f64 = 35.0;
/// A room this far below its thermostat does not get the heat that was planned \[K\] (engineering judgement: beyond any thermostat's band).
pub(super) const TOO_COLD: f64 = 3.0;
/// Volume shares of carbon dioxide: limit of a day's work (OSHA permissible exposure limit, 5000 ppm) and outside air.
pub const CARBON_DIOXIDE: (f64, f64) = (5000e-6, 420e-6);
