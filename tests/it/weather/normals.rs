//! Constant air and monthly normals.

use std::f64::consts::PI;

use approx::assert_relative_eq;
use coatday::units::System;
use coatday::weather::{MonthlyHumidity, MonthlyNormals, constant, monthly_normals};

use super::{HOUR, faults, moment, ratio, shown, sonntag_over_water};

#[test]
fn ref_constant_air_uses_water_saturation_and_the_pressure_of_the_elevation() {
    let (reading, notices) = constant("site", 12.0, 0.6, None).unwrap();
    assert!(
        notices[0].message.of(System::Si).contains("3\u{a0}m/s"),
        "{notices:?}"
    );
    let season = reading
        .season(moment(2027, 2, 28, 9), moment(2028, 3, 2, 9), Some(1500.0))
        .unwrap();
    let air = season.at(1e6);
    // Standard atmosphere (ISO 2533): 84 556 Pa at 1500 m.
    assert_relative_eq!(air.pressure, 84_556.0, max_relative = 2e-4);
    assert_relative_eq!(
        air.humidity_ratio,
        ratio(0.6 * sonntag_over_water(12.0), 84_556.0),
        max_relative = 1e-3
    );
    assert_eq!(air.wind_speed, 3.0);
    assert_eq!(faults(constant("site", 90.0, 1.2, Some(-1.0))).len(), 3);
}

fn normals(humidity: MonthlyHumidity) -> MonthlyNormals {
    MonthlyNormals {
        temperature: [
            -3.0, -1.0, 4.0, 9.0, 15.0, 19.0, 22.0, 21.0, 16.0, 10.0, 4.0, -1.0,
        ],
        daily_swing: [
            6.0, 7.0, 9.0, 11.0, 12.0, 12.0, 12.5, 12.0, 10.0, 8.0, 6.0, 5.5,
        ],
        humidity,
        wind_speed: Some([4.0, 4.2, 4.1, 3.8, 3.2, 3.0, 2.9, 2.8, 3.0, 3.3, 3.8, 4.0]),
    }
}

const RH: [f64; 12] = [
    0.85, 0.82, 0.74, 0.68, 0.66, 0.67, 0.66, 0.69, 0.76, 0.81, 0.86, 0.87,
];
const DEW: [f64; 12] = [
    -9.0, -8.0, -5.0, -2.0, 4.0, 9.0, 12.0, 11.0, 8.0, 2.0, -2.0, -7.0,
];

/// Temperature and wind are joined by a curve that keeps the monthly means; the daily swing is held through each day, which
/// leaves steps at midnight of at most 0.25 K/day * 0.5 that add up to less than 0.005 K in a month's mean.
#[test]
fn analytic_normals_keep_monthly_means() {
    for humidity in [
        MonthlyHumidity::RelativeHumidity(RH),
        MonthlyHumidity::DewPoint(DEW),
    ] {
        let given = normals(humidity);
        let (reading, _) = monthly_normals("normals", &given).unwrap();
        let start = moment(2026, 1, 1, 0);
        let season = reading
            .season(start, moment(2027, 1, 1, 0), Some(0.0))
            .unwrap();
        for month in 1..=12_i8 {
            let m = usize::try_from(month - 1).unwrap();
            let first = moment(2026, month, 1, 0);
            let days = f64::from(first.days_in_month());
            let from = first.duration_since(start).as_secs_f64();
            let to = from + days * 24.0 * HOUR;
            let mean = season.mean(from, to);
            assert!(
                (mean.temperature - given.temperature[m]).abs() < 0.005,
                "{month} {}",
                mean.temperature
            );
            assert!((mean.wind_speed - given.wind_speed.unwrap()[m]).abs() < 1e-4);
            let hours = (days * 24.0) as i32;
            let (mut phi, mut dew) = (0.0, 0.0);
            for i in 0..hours {
                let air = season.at(from + f64::from(i) * HOUR);
                let e = coatday::air::vapour_pressure(air.humidity_ratio, air.pressure);
                let one = e / coatday::air::saturation_pressure_over_water(air.temperature);
                assert!(one < 1.0 + 1e-9);
                phi += one / f64::from(hours);
                dew += coatday::air::dew_point(e) / f64::from(hours);
            }
            match humidity {
                // Within a day the mean is exact; the drift of temperature from hour to hour moves it a little.
                MonthlyHumidity::RelativeHumidity(given) => {
                    assert!((phi - given[m]).abs() < 0.002, "{month} {phi}");
                }
                // In these normals no hour is colder than the dew point.
                MonthlyHumidity::DewPoint(given) => {
                    assert!((dew - given[m]).abs() < 0.005, "{month} {dew}");
                }
            }
        }
    }
}

#[test]
fn analytic_daily_swing_has_its_extremes_at_five_and_fifteen() {
    let mut given = normals(MonthlyHumidity::RelativeHumidity([0.5; 12]));
    given.temperature = [10.0; 12];
    given.daily_swing = [8.0; 12];
    let (reading, notices) = monthly_normals("normals", &given).unwrap();
    assert!(notices.is_empty(), "{notices:?}");
    let season = reading
        .season(moment(2026, 5, 10, 0), moment(2026, 5, 12, 0), None)
        .unwrap();
    for hour in 0..24 {
        let t = season.at(f64::from(hour) * HOUR).temperature;
        let w = if (5..15).contains(&hour) {
            -(PI * f64::from(hour - 5) / 10.0).cos()
        } else {
            (PI * f64::from((hour + 9) % 24) / 14.0).cos()
        };
        assert_relative_eq!(t, 10.0 + 4.0 * w, epsilon = 1e-9);
    }
    assert_relative_eq!(season.at(5.0 * HOUR).temperature, 6.0, epsilon = 1e-9);
    assert_relative_eq!(season.at(15.0 * HOUR).temperature, 14.0, epsilon = 1e-9);
    assert_relative_eq!(
        season.mean(0.0, 24.0 * HOUR).temperature,
        10.0,
        epsilon = 1e-9
    );
}

#[test]
fn analytic_dew_point_above_the_night_temperature_saturates_with_a_notice() {
    let mut given = normals(MonthlyHumidity::DewPoint([8.0; 12]));
    given.temperature = [10.0; 12];
    given.daily_swing = [8.0; 12];
    let (reading, notices) = monthly_normals("normals", &given).unwrap();
    // Hours with 10 + 4 w < 8, that is w < -1/2: 02 to 08 of each day by the shape above.
    let per_day = (0..24)
        .filter(|hour| {
            let w = if (5..15).contains(hour) {
                -(PI * f64::from(hour - 5) / 10.0).cos()
            } else {
                (PI * f64::from((hour + 9) % 24) / 14.0).cos()
            };
            w < -0.5
        })
        .count();
    assert_eq!(notices[0].hours, 365 * per_day);
    let air = reading
        .season(moment(2026, 5, 10, 5), moment(2026, 5, 12, 0), None)
        .unwrap()
        .at(0.0);
    assert_relative_eq!(
        air.humidity_ratio,
        ratio(sonntag_over_water(6.0), 101_325.0),
        max_relative = 1e-3
    );
}

#[test]
fn regress_normals_faults_name_the_month() {
    let mut given = normals(MonthlyHumidity::RelativeHumidity(RH));
    given.temperature[2] = f64::NAN;
    given.daily_swing[4] = -1.0;
    let list = faults(monthly_normals("normals", &given));
    assert!(
        shown(&list).contains("temperature, month 3"),
        "{}",
        shown(&list)
    );
    assert!(shown(&list).contains("daily swing, month 5"));
    given = normals(MonthlyHumidity::DewPoint([30.0; 12]));
    assert_eq!(faults(monthly_normals("normals", &given)).len(), 12);
    given = normals(MonthlyHumidity::RelativeHumidity([80.0; 12]));
    assert_eq!(faults(monthly_normals("normals", &given)).len(), 12);
}
