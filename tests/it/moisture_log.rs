//! Tests of the `site` room: tests' arithmetic, the coating day, the log, and the two commands.

mod commands;
mod crash;
mod judging;
mod log;

use approx::{assert_abs_diff_eq, assert_relative_eq};
use coatday::coating_day::{
    Conditions, Figure, Given, Says, Tested, coating_day, cure_hours, slab_temperature_after,
};
use coatday::moisture_log::{Method, emission_rate, tests_needed};
use coatday::scenario::{Scenario, read};
use coatday::weather::{Hourly, OutsideAir};
use jiff::civil::{DateTime, date};
use serde_json::{Value, json};

/// kg/(m2 s) in lb/1000 ft2/24 h, from the pound and the foot.
const POUND_RATE: f64 = 0.453_592_37 / (92.903_04 * 86_400.0);
const FT2: f64 = 0.092_903_04;
const HOUR: f64 = 3600.0;

/// An invented floor of 100 m2, 100 mm thick, placed on 1 September and closed in on 1 October.
fn floor() -> Value {
    json!({
        "name": "Floor",
        "site": {"weather": {"constant": {"temperature": "15 degC", "relative_humidity": "50 %"}}},
        "slab": {"area": "90 m2", "thickness": "100 mm", "placed": "2026-09-01"},
        "room": {"height": "3 m"},
        "gear_on": "2026-10-01",
        "targets": [{"relative_humidity_at_depth": {"limit": "85 %"}}],
        "setups": [{"name": "Plain", "gear": []}]
    })
}

fn scenario(value: &Value) -> Scenario {
    read(&value.to_string(), "floor.json").unwrap_or_else(|faults| panic!("{faults}"))
}

fn morning() -> DateTime {
    date(2026, 11, 25).at(7, 30, 0, 0)
}

fn typed(air: f64, humidity: f64, slab: f64) -> Conditions {
    Conditions {
        air_temperature: (air, Given::Typed),
        air_relative_humidity: (humidity, Given::Typed),
        slab_temperature: (slab, Given::Typed),
    }
}

/// ASTM F1869: rate = 52.91 x gain in grams / (area in ft2 x hours), lb/1000 ft2/24 h.
#[test]
fn ref_dish_arithmetic() {
    for (grams, square_feet, hours) in [(1.6, 0.5, 66.0), (2.35, 0.4931, 60.0), (0.4, 0.5, 72.0)] {
        let rate = emission_rate(grams * 1e-3, square_feet * FT2, hours * HOUR).unwrap();
        assert_relative_eq!(
            rate / POUND_RATE,
            52.91 * grams / (square_feet * hours),
            max_relative = 1e-4
        );
    }
    assert_eq!(emission_rate(1e-3, 0.0, 60.0), None);
    assert_eq!(emission_rate(1e-3, 0.05, -1.0), None);
}

/// ASTM F2170 and F1869 (the latter from memory): three for the first 1000 ft2, one for each further 1000 ft2 or part of it.
/// ASTM D4263: one for 500 ft2 (from memory).
#[test]
fn ref_number_of_tests() {
    for (square_feet, tests, sheets) in [
        (200.0, 3, 1),
        (1000.0, 3, 2),
        (1001.0, 4, 3),
        (2000.0, 4, 4),
        (5000.0, 7, 10),
        (10_000.0, 12, 20),
    ] {
        let area = square_feet * FT2;
        assert_eq!(tests_needed(Method::Probe, area), tests, "{square_feet}");
        assert_eq!(tests_needed(Method::Dish, area), tests, "{square_feet}");
        assert_eq!(
            tests_needed(Method::PlasticSheet, area),
            sheets,
            "{square_feet}"
        );
    }
}

/// Dew points of moist air at 10 to 30 degC: the table of DIN 4108-3, annex A (from memory), given to 0.1 K.
#[test]
fn ref_published_dew_points() {
    for (air, humidity, dew_point) in [
        (10.0, 0.50, 0.1),
        (10.0, 0.70, 4.8),
        (15.0, 0.60, 7.3),
        (20.0, 0.40, 6.0),
        (20.0, 0.50, 9.3),
        (20.0, 0.60, 12.0),
        (20.0, 0.70, 14.4),
        (20.0, 0.80, 16.4),
        (20.0, 0.90, 18.3),
        (25.0, 0.50, 13.9),
        (25.0, 0.60, 16.7),
        (25.0, 0.80, 21.3),
        (30.0, 0.50, 18.4),
        (30.0, 0.70, 23.9),
    ] {
        // Half of the last digit, and as much again for the other formula of saturation.
        assert_abs_diff_eq!(
            typed(air, humidity, 0.0).dew_point(),
            dew_point,
            epsilon = 0.1
        );
    }
}

/// Air whose vapour saturates at 10 degC has its dew point there: steam tables, 1228.2 Pa at 10 degC, 2339.3 Pa at 20 degC and
/// 3169.9 Pa at 25 degC (IAPWS-IF97, from memory).
#[test]
fn ref_dew_point_from_steam_tables() {
    for (air, saturation) in [(20.0, 2339.3), (25.0, 3169.9)] {
        let dew_point = typed(air, 1228.2 / saturation, 0.0).dew_point();
        assert_abs_diff_eq!(dew_point, 10.0, epsilon = 0.02);
    }
}

/// ISO 8502-4: at least 3 K above the dew point. The dew point of 16 degC and 71 % is near 10.7 degC, so 13 degC is too near
/// and 14 degC is not.
#[test]
fn ref_cold_slab_in_mild_air_says_no() {
    let scenario = scenario(&floor());
    let day = |slab| {
        coating_day(
            &scenario,
            None,
            morning(),
            &typed(16.0, 0.71, slab),
            Tested::default(),
            None,
        )
    };
    let cold = day(13.0);
    let rule = &cold.rules[0];
    assert_eq!(cold.says, Says::No);
    assert_eq!((rule.says, rule.source.as_str()), (Says::No, "ISO 8502-4"));
    assert_eq!(rule.limit, Figure::Difference(3.0));
    assert_abs_diff_eq!(cold.spread, 2.25, epsilon = 0.1);
    assert!(rule.why.contains("too near the dew point"));
    assert_eq!(day(14.0).rules[0].says, Says::Go);
    assert!(day(10.0).rules[0].why.contains("below the dew point"));
}

/// A step of the air: the slab goes there with the time constant thickness x 2.3 MJ/(m3 K) x 0.13 m2 K/W. A steady rise: in the
/// end it lags by that time. Any division of the time gives the same.
#[test]
fn analytic_slab_follows_the_air() {
    let thickness = 0.125;
    let tau = thickness * 2.3e6 * 0.13;
    for hours in [0.5, 4.0, 24.0] {
        let t = hours * HOUR;
        assert_relative_eq!(
            slab_temperature_after(12.0, (20.0, 20.0), t, thickness),
            20.0 - 8.0 * (-t / tau).exp(),
            max_relative = 1e-12
        );
    }
    let slope = 2.0 / HOUR;
    let end = 40.0 * tau;
    assert_relative_eq!(
        slab_temperature_after(5.0, (5.0, 5.0 + slope * end), end, thickness),
        5.0 + slope * (end - tau),
        max_relative = 1e-9
    );
    let half = slab_temperature_after(12.0, (20.0, 25.0), HOUR, thickness);
    assert_relative_eq!(
        slab_temperature_after(half, (25.0, 30.0), HOUR, thickness),
        slab_temperature_after(12.0, (20.0, 30.0), 2.0 * HOUR, thickness),
        max_relative = 1e-12
    );
    assert_eq!(
        slab_temperature_after(12.0, (20.0, 25.0), 0.0, thickness),
        12.0
    );
}

/// Warm, moist air coming over a cold slab: its dew point, held, is reached by the slab's lag; the extremes are those of the
/// closed form at whole hours.
#[test]
fn analytic_hours_of_cure() {
    let (warm, ratio, pressure) = (22.0, 0.010, 101_325.0);
    let air = OutsideAir {
        temperature: warm,
        humidity_ratio: ratio,
        pressure,
        wind_speed: 0.0,
        rain: 0.0,
    };
    let outside = Hourly::steady(morning(), 36.0 * HOUR, air).unwrap();
    let cure = cure_hours(&outside, 24.0 * HOUR, (12.0, 16.0), 0.1, false);
    let state = coatday::air::MoistAir {
        temperature: warm,
        humidity_ratio: ratio,
        pressure,
    };
    // The slab is coldest at once and warms from then on.
    assert_relative_eq!(cure.least_spread, 12.0 - state.dew_point(), epsilon = 1e-9);
    assert_eq!((cure.least_spread_after, cure.hours), (0.0, 24));
    assert_relative_eq!(cure.lowest_temperature, 12.0, epsilon = 1e-12);
    assert_relative_eq!(cure.highest_temperature, warm, epsilon = 1e-12);
    let held = cure_hours(&outside, 24.0 * HOUR, (12.0, 16.0), 0.1, true);
    assert_relative_eq!(held.highest_temperature, 16.0, epsilon = 1e-12);
    assert_relative_eq!(held.least_spread, cure.least_spread, epsilon = 1e-9);
}
