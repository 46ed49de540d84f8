//! Dates, money and people's safety in the runs that are compared.

use super::{floor, job, run, with};
use coatday::evaluate::odds::days_allowed;
use serde_json::{Value, json};

fn first(scenario: &Value) -> Value {
    run("compare", scenario, &["--samples", "0"])["setups"][0].clone()
}

fn days(scenario: &Value) -> f64 {
    first(scenario)["days_to_target"].as_f64().expect("days")
}

fn cautions(setup: &Value) -> Vec<String> {
    let notes = setup["notes"].as_array().expect("notes").iter();
    notes
        .filter(|note| note["caution"] == true)
        .map(|note| note["text"].as_str().expect("a text").to_owned())
        .collect()
}

fn notes(setup: &Value, words: &str) -> usize {
    let notes = setup["notes"].as_array().expect("notes").iter();
    notes
        .filter(|note| {
            note["text"]
                .as_str()
                .is_some_and(|text| text.contains(words))
        })
        .count()
}

/// From the morning of 20 April to the end of 15 May there are 26 days, and a floor is in time on the day itself until its end: the same
/// for the mark on charts, for the verdict and for the money.
#[test]
fn analytic_the_day_needed_counts_to_its_end() {
    assert_eq!(days_allowed(&job(&floor())), Some(26.0));
    let plain = first(&floor());
    let dry: jiff::civil::Date = plain["date"]
        .as_str()
        .expect("a date")
        .parse()
        .expect("a date");
    let days = plain["days_to_target"].as_f64().expect("days");
    let needed = |date: jiff::civil::Date| {
        let scenario = with(&[
            ("/needed_by", json!(date.to_string())),
            ("/prices", json!({ "day_of_delay": "1000 $/day" })),
        ]);
        let setup = first(&scenario);
        let allowed = days_allowed(&job(&scenario)).expect("a date");
        (
            setup["meets_needed_by"].clone(),
            setup["delay_cost"].clone(),
            days <= allowed,
        )
    };
    assert_eq!(needed(dry), (json!(true), json!(0.0), true));
    let yesterday = dry.yesterday().expect("a day");
    assert_eq!(needed(yesterday), (json!(false), json!(1000.0), false));
}

/// Rent is charged for whole days begun.
#[test]
fn analytic_a_day_begun_is_a_day_rented() {
    let fan = json!({ "fan": { "class": "fan_axial_large", "rent": ["10 $/day"] } });
    let setup = first(&with(&[("/setups/0/gear", json!([fan]))]));
    let days = setup["days_to_target"].as_f64().expect("days");
    assert!(days.fract() > 0.0);
    assert_eq!(setup["rental_cost"], json!(10.0 * days.ceil()));
}

/// Gear that is there until a day is there to the end of that day: one day of rent for a machine that comes and goes on it.
#[test]
fn analytic_gear_stays_to_the_end_of_its_last_day() {
    let fan = json!({ "fan": { "class": "fan_axial_large", "rent": ["10 $/day"], "from": "2026-04-21", "until": "2026-04-21" } });
    let setup = first(&with(&[("/setups/0/gear", json!([fan]))]));
    assert_eq!(setup["rental_cost"], json!(10.0));
}

/// A floor with two targets is dry when the later of the two is met, whatever their order.
#[test]
fn analytic_every_target_must_be_met() {
    let depth = json!({ "relative_humidity_at_depth": { "limit": "88 %" } });
    let mean = json!({ "equilibrium_relative_humidity": { "limit": "87 %" } });
    let with_targets = |targets: Value| days(&with(&[("/targets", targets)]));
    let (one, other) = (with_targets(json!([depth])), with_targets(json!([mean])));
    assert!((one - other).abs() > 2.0, "{one} {other}");
    for both in [json!([depth, mean]), json!([mean, depth])] {
        assert!((with_targets(both) - one.max(other)).abs() < 1e-6);
    }
}

/// A target that was met and is missed again, here after rain, is not met: the floor is dry when it is met once more, though the other target
/// is met before that.
#[test]
fn analytic_a_target_missed_again_is_not_met() {
    let depth =
        json!({ "relative_humidity_at_depth": { "limit": "94.5 %", "depth_fraction": 0.9 } });
    let face = json!({ "surface_flux": { "limit": "34 g/m2/day" } });
    // Any slab of its age passes this.
    let easy = json!({ "relative_humidity_at_depth": { "limit": "96 %" } });
    let rain = json!([{ "date": "2026-05-12", "water_depth": "3 mm", "kind": "rain" }]);
    // From 20 April to 12 May.
    let rains = 22.0;
    let wetted = |targets: Value| {
        let changes = [("/targets", targets), ("/slab/wettings", rain.clone())];
        days(&with(&changes))
    };
    assert!(wetted(json!([depth])) < rains);
    let after_rain = wetted(json!([face, easy]));
    assert!(after_rain > rains);
    let both = wetted(json!([depth, face]));
    assert!(both > after_rain + 1.0, "{both} {after_rain}");
}

/// A heated room of this thermostat.
fn heated(setpoint: &str) -> Value {
    let heater = json!({ "heater": { "class": "electric_15kw", "count": 2,
                                     "thermostat": { "setpoint": setpoint, "band": "0.2 K" }, "rent": ["0 $/day"] } });
    first(&with(&[("/setups/0/gear", json!([heater]))]))
}

/// Heat precautions are called for from 35 degC on (engineering judgement, `evaluate::watch`): a room held 1 K below gets none, one held 1 K
/// above gets one.
#[test]
fn regress_heat_is_cautioned_from_35_degrees() {
    let hot = |setpoint: &str| {
        cautions(&heated(setpoint))
            .iter()
            .any(|text| crate::plain(text).contains("35 °C"))
    };
    assert!(!hot("34 degC"));
    assert!(hot("36 degC"));
}

/// OSHA permissible exposure limit: 5000 ppm of carbon dioxide over a day's work (29 CFR 1910.1000, table Z-1, from memory). Propane burns to
/// `3 x 44.010 / 44.096` of its mass in carbon dioxide and gives 50.3 MJ/kg gross (from memory), so a burner of 10 kW without a flue gives 0.59 g/s or
/// 0.325 L/s at 20 degC. In air of 420 ppm outside that makes 5000 ppm with `0.325 / (5000 - 420) ppm = 71 L/s` of fresh air.
#[test]
fn ref_carbon_dioxide_is_cautioned_at_5000_ppm() {
    const POWER: f64 = 10_000.0;
    const VOLUME: f64 = 300.0;
    let mass = POWER / 50.3e6 * 3.0 * 44.010 / 44.096;
    let gas = mass / 44.010e-3 * 8.314 * 293.15 / 101_325.0;
    let at_limit = gas / (5000e-6 - 420e-6) * 3600.0 / VOLUME;
    let warned = |changes: f64| {
        let heater = json!({ "heater": { "kind": "direct_fired", "fuel": "propane", "output": format!("{POWER} W"), "rent": ["0 $/day"] } });
        let setup = first(&with(&[
            (
                "/room",
                json!({ "height": "3 m", "air_changes_per_hour": changes, "heat_loss": "600 W/K" }),
            ),
            ("/setups/0/gear", json!([heater])),
        ]));
        cautions(&setup)
            .iter()
            .any(|text| text.contains("5,000 ppm"))
    };
    // Within a seventh: air expands by a fifteenth on its way in and out.
    assert!(warned(0.87 * at_limit));
    assert!(!warned(1.15 * at_limit));
}

/// ISO 8502-4: a face closer than 3 K to the dew point. Air of 15 degC has its dew point at 12.5 degC when it is at 85 % and at 10.6 degC when it is
/// at 75 % (Magnus' formula).
#[test]
fn ref_three_kelvin_above_the_dew_point() {
    let near = |humidity: &str| {
        let weather = json!({ "constant": { "temperature": "15 degC", "relative_humidity": humidity, "wind_speed": "3 m/s" } });
        let setup = first(&with(&[
            ("/site/weather", weather),
            ("/room/air_changes_per_hour", json!(20.0)),
        ]));
        notes(&setup, "of the dew point")
    };
    assert_eq!(near("85 %"), 1);
    assert_eq!(near("75 %"), 0);
}
