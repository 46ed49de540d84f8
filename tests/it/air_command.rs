//! Tests of the commands `air` and `weather`, and of the hours in which outside air helps.

use approx::assert_relative_eq;
use assert_cmd::Command;
use coatday::air::{MoistAir, STANDARD_PRESSURE};
use coatday::gear::Surroundings;
use coatday::gear::exchange::{Direction, ExchangeRule, Flow, OutsideAirExchange};
use coatday::weather::helps::{DRIER_BAND, HelpingHours, heat_to_warm, share_that_helps};
use coatday::weather::{Hourly, OutsideAir};
use proptest::prelude::*;
use serde_json::Value;

fn run(arguments: &[&str]) -> (i32, String, String) {
    let output = Command::cargo_bin("coatday")
        .expect("the program is built")
        .args(arguments)
        .output()
        .expect("the program runs");
    (
        output.status.code().unwrap_or(-1),
        crate::plain(&output.stdout),
        crate::plain(&output.stderr),
    )
}

fn air_json(arguments: &[&str]) -> Value {
    let mut all = vec!["air", "--json"];
    all.extend_from_slice(arguments);
    let (code, out, err) = run(&all);
    assert_eq!(code, 0, "{err}");
    serde_json::from_str(&out).expect("valid JSON")
}

fn number(value: &Value, key: &str) -> f64 {
    value[key]
        .as_f64()
        .unwrap_or_else(|| panic!("{key} in {value}"))
}

#[track_caller]
fn near(found: f64, wanted: f64, tolerance: f64) {
    assert!(
        (found - wanted).abs() <= tolerance,
        "found {found}, wanted {wanted} within {tolerance}"
    );
}

/// Worked examples of the Handbook: Fundamentals of the American society of air-conditioning engineers, chapter
/// Psychrometrics, in its two unit systems (from memory): 100 degF dry bulb and 65 degF wet bulb give 0.00523 lb/lb,
/// 29.80 Btu/lb, 40 degF dew point, 13 %, 14.22 ft3/lb; 40 degC and 20 degC give 6.5 g/kg, 56.7 kJ/kg, 7 degC, 14 %,
/// 0.896 m3/kg. They are read from a chart, hence the tolerances: the last digit given.
#[test]
fn ref_worked_examples_in_both_systems() {
    let us = air_json(&["--dry-bulb", "100 degF", "--wet-bulb", "65 degF"]);
    near(
        number(&us, "humidity_ratio_gr_per_lb") / 7000.0,
        0.005_23,
        1e-4,
    );
    near(number(&us, "enthalpy_btu_per_lb"), 29.80, 0.1);
    near(number(&us, "dew_point_degf"), 40.0, 0.5);
    near(number(&us, "relative_humidity_percent"), 13.0, 0.5);
    near(number(&us, "specific_volume_ft3_per_lb"), 14.22, 0.02);
    let si = air_json(&["--dry-bulb", "40 degC", "--wet-bulb", "20 degC"]);
    near(number(&si, "humidity_ratio_g_per_kg"), 6.5, 0.15);
    near(number(&si, "enthalpy_kj_per_kg"), 56.7, 0.1);
    near(number(&si, "dew_point_degc"), 7.0, 0.5);
    near(number(&si, "relative_humidity_percent"), 14.0, 0.5);
    near(number(&si, "specific_volume_m3_per_kg"), 0.896, 0.001);
}

/// Standard atmosphere of the same handbook's table (from memory): 12.228 psia (24.896 inHg) at 5000 ft; 89.875 kPa at
/// 1000 m.
#[test]
fn ref_pressure_at_elevation() {
    let at = |elevation: &str| {
        air_json(&[
            "--dry-bulb",
            "70 degF",
            "--relative-humidity",
            "50 %",
            "--elevation",
            elevation,
        ])
    };
    near(number(&at("5000 ft"), "pressure_inhg"), 24.896, 0.002);
    near(number(&at("1000 m"), "pressure_pa"), 89_875.0, 5.0);
    // Thin air holds more water per mass of dry air at the same relative humidity.
    assert!(
        number(&at("5000 ft"), "humidity_ratio_g_per_kg")
            > number(&at("0 m"), "humidity_ratio_g_per_kg")
    );
}

/// Every output given back with another gives the same state, in both unit systems.
#[test]
fn analytic_every_output_read_back() {
    let state = air_json(&[
        "--dry-bulb",
        "68 degF",
        "--relative-humidity",
        "40 %",
        "--elevation",
        "2000 ft",
    ]);
    let options = [
        ("--dry-bulb", "dry_bulb_degc", "degC"),
        ("--dry-bulb", "dry_bulb_degf", "degF"),
        ("--wet-bulb", "wet_bulb_degf", "degF"),
        ("--dew-point", "dew_point_degc", "degC"),
        ("--relative-humidity", "relative_humidity_percent", "%"),
        ("--humidity-ratio", "humidity_ratio_g_per_kg", "g/kg"),
        ("--humidity-ratio", "humidity_ratio_gr_per_lb", "gr/lb"),
        ("--enthalpy", "enthalpy_kj_per_kg", "kJ/kg"),
        ("--enthalpy", "enthalpy_btu_per_lb", "Btu/lb"),
    ];
    let mut pairs = 0;
    for (i, one) in options.iter().enumerate() {
        for two in options.iter().skip(i + 1) {
            let names = [one.0, two.0];
            let no_state = [
                ["--wet-bulb", "--enthalpy"],
                ["--dew-point", "--humidity-ratio"],
            ];
            if one.0 == two.0 || no_state.contains(&names) {
                continue;
            }
            let text = |o: &(&str, &str, &str)| format!("{} {}", number(&state, o.1), o.2);
            let again = air_json(&[
                one.0,
                &text(one),
                two.0,
                &text(two),
                "--elevation",
                "2000 ft",
            ]);
            for key in ["dry_bulb_degc", "humidity_ratio_g_per_kg", "wet_bulb_degc"] {
                assert_relative_eq!(
                    number(&again, key),
                    number(&state, key),
                    max_relative = 1e-6
                );
            }
            pairs += 1;
        }
    }
    // 36 pairs of nine, less three of the same quantity and four that fix no state.
    assert_eq!(pairs, 29);
}

#[test]
fn regress_faults_of_air_all_at_once() {
    let (code, out, err) = run(&[
        "air",
        "--dry-bulb",
        "70",
        "--wet-bulb",
        "200 degF",
        "--enthalpy",
        "5 kcal",
        "--elevation",
        "90000 ft",
    ]);
    assert_eq!((code, out.as_str()), (2, ""));
    for part in [
        "--dry-bulb: \"70\" has no unit",
        "--wet-bulb: A wet bulb of 200 °F cannot be computed",
        "--enthalpy: The enthalpy's unit",
        "3 quantities are given",
        "--elevation: This is too high. Did you mean \"90000 mm\"? Write \"16,400 ft\" or less",
    ] {
        assert!(err.contains(part), "no \"{part}\" in: {err}");
    }
    let (code, _, err) = run(&["air", "--dry-bulb", "60 degF", "--wet-bulb", "65 degF"]);
    assert_eq!(code, 2);
    assert!(err.contains("swapped"), "{err}");
    assert_eq!(run(&["air"]).0, 2);
    assert_eq!(
        run(&["air", "--dry-bulb", "-5 degC", "--dew-point", "-9 degC"]).0,
        0
    );
}

fn outside(temperature: f64, relative_humidity: f64) -> OutsideAir {
    OutsideAir {
        temperature,
        humidity_ratio: MoistAir::from_relative_humidity(
            temperature,
            relative_humidity,
            STANDARD_PRESSURE,
        )
        .humidity_ratio,
        pressure: STANDARD_PRESSURE,
        wind_speed: 3.0,
        rain: 0.0,
    }
}

fn january() -> jiff::civil::DateTime {
    jiff::civil::date(2027, 1, 1).at(0, 0, 0, 0)
}

const YEAR: f64 = 365.0 * 86_400.0;

/// Constant outside air: every hour helps or none does, and the sums are products.
#[test]
fn analytic_outside_air_constant() {
    let cold = outside(0.0, 0.9);
    let weather = Hourly::steady(january(), YEAR, cold).expect("a series");
    let hours = HelpingHours::count(&weather, (0.0, YEAR), (20.0, 0.5), 0.0);
    let season = hours.season();
    assert_eq!((season.hours, season.helping_hours), (8760.0, 8760.0));
    assert_eq!(hours.month(1).hours, 28.0 * 24.0);
    assert_eq!(hours.hours_of_day(None, 5, 6).hours, 365.0);
    let room = MoistAir::from_relative_humidity(20.0, 0.5, STANDARD_PRESSURE);
    let drier = room.humidity_ratio - cold.humidity_ratio;
    let dry_air = room.density_of_dry_air() * YEAR;
    assert_relative_eq!(season.water, dry_air * drier, max_relative = 1e-9);
    assert_relative_eq!(
        season.heat,
        dry_air * heat_to_warm(&cold, 20.0),
        max_relative = 1e-9
    );
    let humid = outside(25.0, 0.8);
    let weather = Hourly::steady(january(), YEAR, humid).expect("a series");
    let season = HelpingHours::count(&weather, (0.0, YEAR), (20.0, 0.5), 0.0).season();
    assert_eq!(
        (season.helping_hours, season.water, season.heat),
        (0.0, 0.0, 0.0)
    );
    // Damp cold air (95 %) is drier than the room at 50 %: humidity ratios decide, not relative humidities.
    assert_eq!(
        share_that_helps(room.humidity_ratio, outside(5.0, 0.95).humidity_ratio, 0.0),
        1.0
    );
}

/// Rule of thumb for heating outside air, 0.335 Wh per m3 and K (1.2 kg/m3 times 1006 J/(kg K); general handbooks).
/// Here the air is measured at 20 degC and 50 %, and its vapour is warmed too: 1 % apart.
#[test]
fn ref_heating_outside_air() {
    let cold = outside(0.0, 0.8);
    let room = MoistAir::from_relative_humidity(20.0, 0.5, STANDARD_PRESSURE);
    let per_cubic_metre = room.density_of_dry_air() * heat_to_warm(&cold, 20.0) / 3600.0;
    near(per_cubic_metre / 20.0, 0.335, 0.005);
    assert_eq!(heat_to_warm(&outside(30.0, 0.3), 20.0), 0.0);
}

proptest! {
    /// The exchange that runs "only while it helps" follows the very function by which the hours are counted.
    #[test]
    fn analytic_outside_air_rule_is_the_count(t in -20.0..40.0_f64, r in 0.05..1.0_f64, margin in 0.0..2e-3_f64) {
        let air = outside(t, r);
        let room = MoistAir::from_relative_humidity(20.0, 0.5, STANDARD_PRESSURE);
        let exchange = OutsideAirExchange {
            flow: Flow::Given(1.0),
            direction: Direction::Exhaust,
            power: 0.0,
            rule: ExchangeRule::WhenOutsideDrier { margin },
            supply: coatday::gear::Supply::NONE,
        };
        let duty = exchange.duty(&Surroundings {
            inside: room,
            outside: MoistAir { temperature: t, humidity_ratio: air.humidity_ratio, pressure: STANDARD_PRESSURE },
            hour_of_day: 12.0,
            wind_speed: 3.0,
        });
        let weather = Hourly::steady(january(), 86_400.0, air).expect("a series");
        let day = HelpingHours::count(&weather, (0.0, 86_400.0), (20.0, 0.5), margin).season();
        prop_assert!((day.share() - duty).abs() < 1e-12);
        let drier_by = room.humidity_ratio - air.humidity_ratio;
        if drier_by > margin + DRIER_BAND {
            prop_assert!(duty > 1.0 - 1e-9);
        }
        if drier_by <= margin {
            prop_assert_eq!(duty, 0.0);
        }
    }
}

fn scenario(folder: &std::path::Path) -> String {
    let path = folder.join("floor.json");
    let text = path.to_string_lossy().into_owned();
    let (code, _, err) = run(&[
        "new",
        &text,
        "--placed",
        "2026-09-01",
        "--gear-on",
        "2026-10-01",
    ]);
    assert_eq!(code, 0, "{err}");
    text
}

#[test]
fn regress_weather_command() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = scenario(folder.path());
    let out = folder.path().join("charts");
    let (code, text, err) = run(&["weather", &file, "--json", "--out", &out.to_string_lossy()]);
    assert_eq!(code, 0, "{err}");
    let object: Value = serde_json::from_str(&text).expect("valid JSON");
    assert_eq!(object["schema"], "coatday/weather/1");
    let months = object["months"].as_array().expect("months");
    let hours: f64 = months.iter().map(|m| number(m, "hours")).sum();
    assert_relative_eq!(hours, number(&object["season"], "hours"));
    let by_hour: f64 = months
        .iter()
        .flat_map(|m| m["by_hour_of_day"].as_array().expect("hours"))
        .map(|h| number(h, "hours_outside_drier"))
        .sum();
    assert_relative_eq!(
        by_hour,
        number(&object["season"], "hours_outside_drier"),
        max_relative = 1e-9
    );
    // January of the starter: 30 degF and 72 % against 75 degF and 50 %.
    assert_eq!(months[0]["month"], 1);
    assert_eq!(number(&months[0], "hours_outside_drier"), 744.0);
    for end in ["svg", "png"] {
        let chart = out.join(format!("floor-outside-air.{end}"));
        assert!(chart.exists(), "{}", chart.display());
    }
    let (code, _, err) = run(&[
        "weather",
        &file,
        "--no-charts",
        "--room-temperature",
        "900 degF",
        "--room-humidity",
        "half",
    ]);
    assert_eq!(code, 2);
    assert!(
        err.contains("--room-temperature") && err.contains("--room-humidity"),
        "{err}"
    );
}
