//! The hourly series: values and exact means.

use approx::assert_relative_eq;
use coatday::weather::{Hourly, OutsideAir};
use proptest::prelude::*;

use super::{HOUR, moment};

fn outside() -> impl Strategy<Value = OutsideAir> {
    (-30.0..40.0, 0.0..0.03, 6e4..1.05e5, 0.0..20.0, 0.0..0.01).prop_map(
        |(temperature, humidity_ratio, pressure, wind_speed, rain)| OutsideAir {
            temperature,
            humidity_ratio,
            pressure,
            wind_speed,
            rain,
        },
    )
}

proptest! {
    /// The midpoint rule with steps that divide the hour is exact for a piecewise linear series.
    #[test]
    fn analytic_mean_equals_brute_force(
        hours in proptest::collection::vec(outside(), 1..40),
        from in -20_i32..1500,
        steps in 1_i32..1500,
    ) {
        let step = 100.0;
        let series = Hourly::new(moment(2026, 12, 30, 7), hours).unwrap();
        let (a, b) = (f64::from(from) * step, f64::from(from + steps) * step);
        let (low, high) = (a.clamp(0.0, series.duration()), b.clamp(0.0, series.duration()));
        prop_assume!(high > low);
        let n = ((high - low) / step).round();
        let mut sum = [0.0; 5];
        for i in 0..n as i32 {
            let air = series.at(low + (f64::from(i) + 0.5) * step);
            for (s, x) in sum.iter_mut().zip([air.temperature, air.humidity_ratio, air.pressure, air.wind_speed, air.rain]) {
                *s += x / n;
            }
        }
        let mean = series.mean(a, b);
        for (s, x) in sum.iter().zip([mean.temperature, mean.humidity_ratio, mean.pressure, mean.wind_speed, mean.rain]) {
            prop_assert!((s - x).abs() <= 1e-9 * (1.0 + s.abs()), "{s} {x}");
        }
        prop_assert_eq!(series.mean(b, a), mean);
    }

    #[test]
    fn analytic_no_time_makes_the_series_fail(
        hours in proptest::collection::vec(outside(), 1..4), a in any::<f64>(), b in any::<f64>()
    ) {
        let series = Hourly::new(moment(2026, 1, 1, 0), hours).unwrap();
        prop_assert!(series.at(a).temperature.is_finite());
        prop_assert!(series.mean(a, b).pressure.is_finite());
    }
}

#[test]
fn analytic_series_is_linear_between_hours_and_rain_is_constant_within() {
    let air = |temperature: f64, rain| OutsideAir {
        temperature,
        humidity_ratio: 0.01,
        pressure: 1e5,
        wind_speed: 1.0,
        rain,
    };
    let series = Hourly::new(
        moment(2026, 1, 1, 0),
        vec![air(0.0, 1.0), air(10.0, 2.0), air(4.0, 3.0)],
    )
    .unwrap();
    assert_eq!(series.duration(), 2.0 * HOUR);
    assert_relative_eq!(series.at(0.25 * HOUR).temperature, 2.5);
    assert_relative_eq!(series.at(1.5 * HOUR).temperature, 7.0);
    assert_eq!(
        (series.at(0.99 * HOUR).rain, series.at(HOUR).rain),
        (1.0, 2.0)
    );
    // Held at both ends.
    assert_eq!(series.at(-5.0).temperature, 0.0);
    assert_eq!(series.at(1e9).temperature, 4.0);
    assert_relative_eq!(series.mean(-HOUR, HOUR).temperature, 5.0);
    assert_eq!(series.mean(5.0 * HOUR, 6.0 * HOUR).temperature, 4.0);
    assert!(Hourly::new(moment(2026, 1, 1, 0), vec![]).is_err());
    assert!(Hourly::new(moment(2026, 1, 1, 0), vec![air(f64::NAN, 0.0)]).is_err());
}

/// Twenty years on, a step of a millisecond still has all its digits.
#[test]
fn analytic_short_steps_late_in_a_long_series_lose_no_digits() {
    let hours: Vec<_> = (0..175_000)
        .map(|i| OutsideAir {
            temperature: f64::from(i % 7),
            humidity_ratio: 0.01,
            pressure: 1e5 + f64::from(i % 3),
            wind_speed: 0.0,
            rain: 0.0,
        })
        .collect();
    let series = Hourly::new(moment(2026, 1, 1, 0), hours).unwrap();
    let t = 174_003.25 * HOUR;
    let mean = series.mean(t, t + 1e-3);
    let at = series.at(t + 0.5e-3);
    assert_relative_eq!(mean.pressure, at.pressure, max_relative = 1e-12);
    assert_relative_eq!(mean.temperature, at.temperature, max_relative = 1e-9);
    // Across the full hour, and as short as a number can be.
    let t = 174_004.0 * HOUR;
    let mean = series.mean(t - 1e-3, t + 1e-3);
    assert_relative_eq!(mean.pressure, series.at(t).pressure, max_relative = 1e-9);
    assert_relative_eq!(series.mean(0.0, 5e-309).pressure, 1e5, max_relative = 1e-12);
}

#[test]
fn analytic_steady_air_is_the_same_everywhere() {
    let air = OutsideAir {
        temperature: 5.0,
        humidity_ratio: 0.004,
        pressure: 1e5,
        wind_speed: 2.0,
        rain: 0.0,
    };
    let series = Hourly::steady(moment(2026, 1, 1, 0), 5000.0, air).unwrap();
    assert_eq!(series.duration(), 5000.0);
    assert_eq!(series.at(4000.0), air);
    assert_relative_eq!(
        series.mean(10.0, 4999.0).pressure,
        1e5,
        max_relative = 1e-14
    );
    assert!(Hourly::steady(moment(2026, 1, 1, 0), f64::INFINITY, air).is_err());
    assert!(Hourly::steady(moment(2026, 1, 1, 0), f64::NAN, air).is_err());
}
