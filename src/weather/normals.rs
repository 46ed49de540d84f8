//! Weather from a few numbers: constant air, and monthly normals with a daily swing.
//!
//! What it computes: hourly temperature, vapour pressure and wind of a typical year from monthly means.
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | `M_m`, `h_m` | mean and length of month `m` | any, h |
//! | `L`, `R` | value of the smooth curve at the beginning and end of a month | any |
//! | `u` | part of the month gone by | 1 |
//! | `s` | daily swing, highest less lowest temperature of a day | K |
//! | `w(c)` | shape of the day over clock time `c`, -1 to 1 | 1 |
//! | `phi`, `e`, `e_w` | relative humidity, vapour pressure, saturation over water | 1, Pa, Pa |
//!
//! Equations:
//! * Within a month `f(u) = L (1 - u)(1 - 3u) + R u (3u - 2) + 6 M u (1 - u)`, whose mean is `M` for any `L` and `R`. Equal
//!   slopes where months meet give `b_{m-1}/h_{m-1} + 2 b_m (1/h_{m-1} + 1/h_m) + b_{m+1}/h_m = 3 (M_{m-1}/h_{m-1} + M_m/h_m)`
//!   for the twelve border values `b`: a mean-preserving quadratic spline around the year.
//! * `t = f_t + s/2 w(c)`, with two half cosines: `w` rises from -1 at 5 h to 1 at 15 h and falls back until 5 h. Each half
//!   has mean zero, so the day keeps its mean. `s` is held through a day.
//! * Dew point given: `e = e_w(min(t_d, t))`. Relative humidity given: the vapour pressure of a day hardly moves while its
//!   temperature swings, so `e` solves `mean over 24 h of min(1, e/e_w(t)) = phi`: the mean relative humidity is kept.
//!
//! Valid range: temperatures -70 to 70 degC. Humidities that change abruptly from month to month can drive the smooth curve
//! beyond its range; it is then held at the limit, with a notice, and that month's mean is not kept exactly.
//!
//! Sources: derived here. Coldest near sunrise and warmest about 15 h local time: common practice, no published source.
//!
//! Proof of accuracy: `analytic_normals_keep_monthly_means` in `tests/it/weather/normals.rs`.

use nalgebra::{SMatrix, SVector};

use super::fault::{Faults, Notices, Position};
use super::raw::Sample;
use super::reading::{DAY_HOURS, ReadResult, Reading, Record, YEAR_HOURS};
use super::text::Quantity;
use super::{ASSUMED, LIMITS, wind_is_assumed};
use crate::air;

const MONTHS: usize = 12;
const DAYS_IN_MONTH: [usize; MONTHS] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
/// Clock hours of the lowest and the highest temperature.
const COLDEST_HOUR: usize = 5;
const WARMEST_HOUR: usize = 15;

/// Humidity of monthly normals.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum MonthlyHumidity {
    /// Mean relative humidity over water, 0 to 1.
    RelativeHumidity([f64; 12]),
    /// Mean dew point over water, degC. It holds all day, except that in hours colder than it the air is saturated.
    DewPoint([f64; 12]),
}

/// Monthly climate normals, January to December.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MonthlyNormals {
    /// Mean temperature, degC.
    pub temperature: [f64; 12],
    /// Mean daily swing (highest less lowest temperature of a day), K.
    pub daily_swing: [f64; 12],
    /// Mean humidity.
    pub humidity: MonthlyHumidity,
    /// Mean wind speed, m/s.
    pub wind_speed: Option<[f64; 12]>,
}

/// Outside air that is the same all the time, at standard pressure and without rain.
///
/// `temperature` degC, `relative_humidity` 0 to 1 over water, `wind_speed` m/s.
///
/// # Errors
/// A fault for each value out of range.
pub fn constant(
    name: &str,
    temperature: f64,
    relative_humidity: f64,
    wind_speed: Option<f64>,
) -> ReadResult {
    let mut faults = Faults::new(name);
    let mut notices = Notices::new(name);
    within(temperature, Quantity::Temperature, None, &mut faults);
    within(
        relative_humidity,
        Quantity::RelativeHumidity,
        None,
        &mut faults,
    );
    if let Some(wind_speed) = wind_speed {
        within(wind_speed, Quantity::WindSpeed, None, &mut faults);
    } else {
        notices.add(
            Position::named(Quantity::WindSpeed.name()),
            0,
            wind_is_assumed(),
        );
    }
    if !faults.none() {
        return Err(faults.into_list());
    }
    let sample = Sample {
        temperature,
        vapour_pressure: relative_humidity * air::saturation_pressure_over_water(temperature),
        pressure: None,
        wind_speed: wind_speed.unwrap_or(ASSUMED.wind_speed),
        rain: 0.0,
    };
    Ok((
        Reading::new(name, None, Record::Constant(sample)),
        notices.into_list(),
    ))
}

/// A typical year from monthly normals, at standard pressure and without rain.
///
/// # Errors
/// A fault for each value out of range, with its month.
pub fn monthly_normals(name: &str, normals: &MonthlyNormals) -> ReadResult {
    let mut faults = Faults::new(name);
    let mut notices = Notices::new(name);
    check(normals, &mut faults);
    if !faults.none() {
        return Err(faults.into_list());
    }
    let humidity = match &normals.humidity {
        MonthlyHumidity::RelativeHumidity(means) | MonthlyHumidity::DewPoint(means) => means,
    };
    let wind_means = normals.wind_speed.unwrap_or([ASSUMED.wind_speed; MONTHS]);
    if normals.wind_speed.is_none() {
        notices.add(
            Position::named(Quantity::WindSpeed.name()),
            0,
            wind_is_assumed(),
        );
    }
    let curves = [
        &normals.temperature,
        &normals.daily_swing,
        humidity,
        &wind_means,
    ]
    .map(curve);
    let [
        Some(temperature),
        Some(mut swing),
        Some(mut humidity),
        Some(mut wind),
    ] = curves
    else {
        faults.add(Position::default, || {
            "The monthly values cannot be joined. Check them.".to_owned()
        });
        return Err(faults.into_list());
    };
    let unbounded = f64::INFINITY;
    hold(&mut swing, (0.0, unbounded), "daily swing", &mut notices);
    hold(
        &mut wind,
        (0.0, unbounded),
        Quantity::WindSpeed.name(),
        &mut notices,
    );
    let is_dew_point = matches!(normals.humidity, MonthlyHumidity::DewPoint(_));
    if !is_dew_point {
        hold(
            &mut humidity,
            (0.0, 1.0),
            Quantity::RelativeHumidity.name(),
            &mut notices,
        );
    }

    let shape = day_shape();
    let mut saturated = 0;
    let mut year = Vec::with_capacity(YEAR_HOURS);
    for (i, ((mean, humidity), wind_speed)) in
        temperature.iter().zip(&humidity).zip(&wind).enumerate()
    {
        let half_swing = swing
            .get(i - i % DAY_HOURS + DAY_HOURS / 2)
            .copied()
            .unwrap_or_default()
            / 2.0;
        let temperature = mean + half_swing * shape.get(i % DAY_HOURS).copied().unwrap_or_default();
        let saturation = air::saturation_pressure_over_water(temperature);
        let vapour_pressure = if is_dew_point {
            saturated += usize::from(*humidity > temperature);
            air::saturation_pressure_over_water(humidity.min(temperature))
        } else {
            let through_the_day =
                shape.map(|w| air::saturation_pressure_over_water(mean + half_swing * w));
            vapour_pressure_of_day(*humidity, through_the_day).min(saturation)
        };
        year.push(Some(Sample {
            temperature,
            vapour_pressure,
            pressure: None,
            wind_speed: *wind_speed,
            rain: 0.0,
        }));
    }
    let (low, high) = Quantity::Temperature.range();
    let wildest = year
        .iter()
        .flatten()
        .map(|sample| sample.temperature)
        .find(|t| !(low..=high).contains(t));
    if let Some(t) = wildest {
        faults.add(
            || Position::named(Quantity::Temperature.name()),
            || {
                format!(
                    "Joined smoothly, the monthly temperatures and daily swings reach {t:.0} degC, outside {low} to {high} degC. \
                     Check for a month that differs too much from the next."
                )
            },
        );
        return Err(faults.into_list());
    }
    if saturated > 0 {
        notices.add(
            Position::named(Quantity::DewPoint.name()),
            saturated,
            format!("In {saturated} h of the year the air is colder than the dew point given. It counts as saturated then."),
        );
    }
    Ok((
        Reading::new(name, None, Record::TypicalYear(year)),
        notices.into_list(),
    ))
}

fn check(normals: &MonthlyNormals, faults: &mut Faults<'_>) {
    let all = |means: &[f64; MONTHS], quantity, faults: &mut Faults<'_>| {
        for (i, mean) in means.iter().enumerate() {
            within(*mean, quantity, Some(i + 1), faults);
        }
    };
    all(&normals.temperature, Quantity::Temperature, faults);
    let most = LIMITS.most_daily_swing;
    for (i, swing) in normals.daily_swing.iter().enumerate() {
        if !(0.0..=most).contains(swing) {
            faults.add(
                || Position::named(&format!("daily swing, month {}", i + 1)),
                || format!("{swing} K is outside 0 to {most} K. Give the mean difference between the highest and the lowest temperature of a day."),
            );
        }
    }
    match &normals.humidity {
        MonthlyHumidity::RelativeHumidity(means) => {
            for (i, mean) in means.iter().enumerate() {
                within(*mean, Quantity::RelativeHumidity, Some(i + 1), faults);
            }
        }
        MonthlyHumidity::DewPoint(means) => {
            all(means, Quantity::DewPoint, faults);
            for (i, (dew_point, temperature)) in means.iter().zip(&normals.temperature).enumerate()
            {
                if dew_point > temperature {
                    faults.add(
                        || Position::named(&format!("dew point, month {}", i + 1)),
                        || format!("The mean dew point {dew_point} degC is above the mean temperature {temperature} degC. Check both."),
                    );
                }
            }
        }
    }
    if let Some(wind) = &normals.wind_speed {
        all(wind, Quantity::WindSpeed, faults);
    }
}

/// A fault unless the value is in the range of its quantity (relative humidity at most 1).
fn within(value: f64, quantity: Quantity, month: Option<usize>, faults: &mut Faults<'_>) {
    let (low, high) = quantity.range();
    let high = if quantity == Quantity::RelativeHumidity {
        1.0
    } else {
        high
    };
    if !(low..=high).contains(&value) {
        let field = month.map_or_else(
            || quantity.name().to_owned(),
            |month| format!("{}, month {month}", quantity.name()),
        );
        let unit = match quantity {
            Quantity::Temperature | Quantity::DewPoint => " degC",
            Quantity::WindSpeed => " m/s",
            _ => "",
        };
        faults.add(
            || Position::named(&field),
            || {
                format!(
                    "{value}{unit} is outside {low} to {high}{unit}. Give a value in that range."
                )
            },
        );
    }
}

/// Smooth hourly curve through the year, index 0 at the turn of the year, which keeps the monthly means.
fn curve(means: &[f64; MONTHS]) -> Option<Vec<f64>> {
    let length = DAYS_IN_MONTH.map(|days| (days * DAY_HOURS) as f64);
    let mut matrix = SMatrix::<f64, MONTHS, MONTHS>::zeros();
    let mut right = SVector::<f64, MONTHS>::zeros();
    for m in 0..MONTHS {
        let before = (m + MONTHS - 1) % MONTHS;
        let after = (m + 1) % MONTHS;
        let (a, b) = (1.0 / length[before], 1.0 / length[m]);
        matrix[(m, before)] += a;
        matrix[(m, m)] += 2.0 * (a + b);
        matrix[(m, after)] += b;
        right[m] = 3.0 * (means[before] * a + means[m] * b);
    }
    let border = matrix.lu().solve(&right)?;
    let mut out = Vec::with_capacity(YEAR_HOURS);
    for (m, days) in DAYS_IN_MONTH.iter().enumerate() {
        let hours = days * DAY_HOURS;
        let (left, next, mean) = (border[m], border[(m + 1) % MONTHS], means[m]);
        out.extend((0..hours).map(|hour| {
            let u = hour as f64 / hours as f64;
            left * (1.0 - u) * (1.0 - 3.0 * u)
                + next * u * (3.0 * u - 2.0)
                + 6.0 * mean * u * (1.0 - u)
        }));
    }
    Some(out)
}

/// Holds a curve within limits, with a notice if it left them.
fn hold(curve: &mut [f64], (low, high): (f64, f64), what: &str, notices: &mut Notices<'_>) {
    let mut hours = 0;
    for value in curve.iter_mut() {
        let held = value.clamp(low, high);
        // Rounding of the border values is not worth a word.
        hours += usize::from((held - *value).abs() > LIMITS.rounding);
        *value = held;
    }
    if hours > 0 {
        notices.add(
            Position::named(what),
            hours,
            format!(
                "The monthly values change so fast that the smooth curve through them is impossible in {hours} h. \
                 It stays at the limit there, so the monthly means are slightly off."
            ),
        );
    }
}

/// Shape of the day by clock hour.
fn day_shape() -> [f64; DAY_HOURS] {
    use std::f64::consts::PI;
    let rise = (WARMEST_HOUR - COLDEST_HOUR) as f64;
    let fall = DAY_HOURS as f64 - rise;
    std::array::from_fn(|hour| {
        if (COLDEST_HOUR..WARMEST_HOUR).contains(&hour) {
            -(PI * (hour - COLDEST_HOUR) as f64 / rise).cos()
        } else {
            let since_warmest = (hour + DAY_HOURS - WARMEST_HOUR) % DAY_HOURS;
            (PI * since_warmest as f64 / fall).cos()
        }
    })
}

/// Vapour pressure with which the relative humidity over the day, at most 1 in each hour, has the given mean.
fn vapour_pressure_of_day(mean: f64, mut saturation: [f64; DAY_HOURS]) -> f64 {
    // The mean is piecewise linear in the vapour pressure, with a corner at each hour's saturation. Going up through the
    // corners, the first piece whose solution lies before its next corner holds it.
    saturation.sort_by(f64::total_cmp);
    let target = mean * DAY_HOURS as f64;
    let mut slope: f64 = saturation.iter().map(|e| 1.0 / e).sum();
    for (capped, corner) in saturation.iter().enumerate() {
        let solution = (target - capped as f64) / slope;
        if solution <= *corner {
            return solution.max(0.0);
        }
        slope -= 1.0 / corner;
    }
    saturation.last().copied().unwrap_or_default()
}
