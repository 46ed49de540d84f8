//! Concrete with its functions in tables: what a season runs on.
//!
//! | function | variable | why that one |
//! |---|---|---|
//! | degree of hydration | logarithm of the equivalent age | the curve is as smooth at a day as at a year |
//! | degree of saturation | `z = sqrt(-ln h T/T0)`, the root of a scaled capillary pressure | temperature and humidity meet in it; the curve is smooth in it up to full pores |
//! | integral of the liquid conductivity at `T0` | `h` | as defined |
//! | temperature factors of liquid, vapour and hydration | `T` | as defined |
//!
//! Exact functions, symbols and sources: [`super::mix`]. The tables follow them within 1e-6 (the
//! conductivity, as the slope of its integral, within 1e-4), far below what the model itself knows. Valid range: that of the exact functions, which are asked outside of [`TEMPERATURES`].
//!
//! Proof of accuracy: `analytic_tables_follow_the_functions` and `analytic_derivatives` in `tests/it/concrete.rs`.

use super::mix::{Concrete, DRY, FULL, REFERENCE};
use super::table::Table;
use crate::air;
use crate::column::{Feeding, Material, Potential, Storage, Transport, Wetting};

/// Range of the temperature tables \[degC\].
const TEMPERATURES: (f64, f64) = (-40.0, 80.0);
/// Intervals of them: one kelvin each.
const TEMPERATURE_INTERVALS: usize = 120;
/// Largest `z`: dry pores at the hottest.
const LARGEST_ROOT: f64 = 3.5;
/// Intervals in `z`: fine enough that a table's water, read back through the exact inverse, is right to 1e-9.
const ROOT_INTERVALS: usize = 1792;
/// Intervals in `h`: the steepest parts of the conductivity, `h^47` and the flank of the S-shape, want them this fine.
const HUMIDITY_INTERVALS: usize = 1024;

/// Range of the table of hydration: logarithms of an hour and of some three hundred years in seconds.
const LOGARITHMS_OF_AGE: (f64, f64) = (8.0, 23.0);
/// Intervals of it.
const AGE_INTERVALS: usize = 600;

/// Concrete whose functions are tabulated.
#[derive(Clone, Debug)]
pub struct Tabulated {
    concrete: Concrete,
    /// Whether it stands on water.
    fed: bool,
    hydration: Table<1>,
    saturation: Table<1>,
    potential: Table<1>,
    /// Factors of liquid conductivity and of the speed of hydration; vapour permeability.
    temperature: Table<3>,
}

impl Tabulated {
    /// Tables of a concrete's functions; a fraction of a millisecond.
    #[must_use]
    pub fn new(concrete: Concrete) -> Self {
        Self {
            concrete,
            fed: false,
            hydration: Table::new(LOGARITHMS_OF_AGE, AGE_INTERVALS, |x| {
                [concrete.hydration_at_logarithm(x)]
            }),
            saturation: Table::new((0.0, LARGEST_ROOT), ROOT_INTERVALS, |z| {
                [concrete.saturation_at_root(z)]
            }),
            potential: potential(&concrete),
            temperature: Table::new(TEMPERATURES, TEMPERATURE_INTERVALS, |t| {
                concrete.temperature_factors(t)
            }),
        }
    }

    /// The same concrete on wet ground, whose water it draws up through saturated pores.
    #[must_use]
    pub fn on_water(mut self) -> Self {
        self.fed = true;
        self
    }

    #[inline]
    fn temperature_factors(&self, temperature: f64) -> [(f64, f64); 3] {
        if temperature > TEMPERATURES.0 && temperature < TEMPERATURES.1 {
            self.temperature.at(temperature)
        } else {
            self.concrete.temperature_factors(temperature)
        }
    }
}

impl Tabulated {
    /// Degree of saturation on the drying curve and its derivatives with respect to relative humidity, up to [`FULL`], and
    /// temperature.
    #[inline]
    fn saturation(&self, humidity: f64, temperature: f64) -> (f64, f64, f64) {
        let h = humidity.max(DRY);
        let kelvin = temperature + air::KELVIN_AT_ZERO_CELSIUS;
        let relative = kelvin * (1.0 / REFERENCE);
        let root = (-h.ln() * relative).sqrt().min(LARGEST_ROOT);
        let [(saturation, slope)] = self.saturation.at(root);
        // One division for both: dz/dh = -(T/T0)/(2 z h), dz/dT = z/(2 T).
        let product = root * h;
        let common = 0.5 * slope / (product * kelvin);
        (
            saturation,
            -common * relative * kelvin,
            common * product * root,
        )
    }
}

/// The integral of the conductivity over relative humidity, from 0, by Simpson's rule over each interval.
fn potential(concrete: &Concrete) -> Table<1> {
    let d = 1.0 / HUMIDITY_INTERVALS as f64;
    let at = |place: f64| concrete.conductivity(place * d);
    let mut sum = 0.0;
    let mut before = at(0.0);
    let points: Vec<(f64, f64)> = (0..=HUMIDITY_INTERVALS)
        .map(|i| {
            if i > 0 {
                let now = at(i as f64);
                sum += d / 6.0 * (before + 4.0 * at(i as f64 - 0.5) + now);
                before = now;
            }
            (sum, before)
        })
        .collect();
    Table::through((0.0, 1.0), points.into_iter().map(|point| [point]))
}

impl Material for Tabulated {
    fn maturity(&self, age: f64) -> f64 {
        let logarithm = age.ln();
        if logarithm > LOGARITHMS_OF_AGE.0 && logarithm < LOGARITHMS_OF_AGE.1 {
            let [(hydration, _)] = self.hydration.at(logarithm);
            hydration
        } else {
            self.concrete.maturity(age)
        }
    }

    fn storage(&self, humidity: f64, temperature: f64, hydration: f64) -> Storage {
        if humidity > FULL {
            return self.concrete.storage(humidity, temperature, hydration);
        }
        self.concrete.stored(
            hydration,
            self.saturation(humidity, temperature),
            self.concrete.aggregate_water(humidity, temperature),
        )
    }

    fn storage_after(
        &self,
        humidity: f64,
        temperature: f64,
        hydration: f64,
        driest: f64,
    ) -> Storage {
        if humidity > FULL {
            return self
                .concrete
                .storage_after(humidity, temperature, hydration, driest);
        }
        self.concrete.stored_after(
            hydration,
            (humidity, self.saturation(humidity, temperature)),
            driest,
            self.concrete.aggregate_water(humidity, temperature),
        )
    }

    fn saturation_when_drying(&self, humidity: f64, temperature: f64) -> f64 {
        if humidity > FULL {
            return self.concrete.saturation_when_drying(humidity, temperature);
        }
        self.saturation(humidity, temperature).0
    }

    fn wetting(&self, humidity: f64, temperature: f64, driest: f64) -> Option<Wetting> {
        self.concrete.wetting(humidity, temperature, driest)
    }

    fn feeding(&self, hydration: f64) -> Option<Feeding> {
        self.fed.then(|| self.concrete.feeding(hydration))
    }

    fn transport(&self, humidity: f64, temperature: f64) -> Transport {
        let [(factor, factor_by_temperature), _, (vapour_permeability, _)] =
            self.temperature_factors(temperature);
        let h = humidity.clamp(0.0, 1.0);
        let [(value, slope)] = self.potential.at(h);
        Transport {
            vapour_permeability,
            vapour_permeability_by_humidity: 0.0,
            liquid_conductivity: factor * slope,
            liquid_conductivity_by_humidity: 0.0,
            // Above full pores the conductivity stays.
            potential: Some(Potential {
                value: value + slope * (humidity - h),
                slope,
                factor,
                factor_by_temperature,
            }),
        }
    }

    fn thermal_conductivity(&self, water: f64) -> f64 {
        self.concrete.thermal_conductivity(water)
    }

    fn heat_capacity(&self) -> f64 {
        self.concrete.heat_capacity()
    }

    fn ageing_rate(&self, humidity: f64, temperature: f64) -> f64 {
        let [_, (factor, _), _] = self.temperature_factors(temperature);
        factor * self.concrete.ageing_in_pores(humidity)
    }
}
