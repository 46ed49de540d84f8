//! Tests of the `scenario` room.

use std::time::{Duration, Instant};

use approx::assert_relative_eq;
use coatday::scenario::model::{Curing, Finish, Gear, Target, Underside, Weather};
use coatday::scenario::{Answers, Scenario, read, read_bytes, schema, starter, understood};
use coatday::units::{self, System, ranges};
use jiff::civil::date;
use proptest::prelude::*;
use serde_json::{Value, json};

/// Uses every part of the model at least once; the building is invented.
fn full() -> Value {
    json!({
        "$schema": "scenario.schema.json",
        "name": "Packing hall",
        "note": "Invented.",
        "site": { "elevation": "500 ft", "weather": { "by_month": {
            "mean_temperature": ["-1 degC", "1 degC", "6 degC", "12 degC", "17 degC", "22 degC", "24 degC", "24 degC", "19 degC", "13 degC", "7 degC", "1 degC"],
            "daily_swing": "18 degF",
            "relative_humidity": ["72 %", "69 %", "65 %", "62 %", "66 %", "68 %", "70 %", "72 %", "72 %", "69 %", "71 %", "73 %"],
            "wind_speed": "8 mph"
        } } },
        "slab": {
            "area": "10000 ft2", "thickness": "6 in", "water_cement_ratio": 0.48, "strength": "4000 psi", "air": "not_entrained", "cement_content": "600 lb/yd3", "aggregate": "normal_weight",
            "placed": "2026-10-01", "curing": { "sheet": { "lasts": "7 days", "resistance": "20 GPa s m2/kg" } }, "finish": "steel_trowelled",
            "surface_resistance": "1 GPa s m2/kg", "prepared": { "date": "2026-11-10", "leaves": "shot_blasted" },
            "underside": { "vapour_retarder": { "permeance": "0.1 perm" } }, "ground_temperature": "55 degF",
            "wettings": [
                { "date": "2026-10-20", "water_depth": "6 mm", "kind": "rain" },
                { "date": "2026-10-25", "lasts": "4 h", "kind": "washing" }
            ]
        },
        "room": {
            "height": "20 ft", "building": "shell", "lived_in": { "temperature": "50 degF", "relative_humidity": "70 %" },
            "enclosed": "2026-10-28", "air_changes_per_hour": 0.5, "u_value": "0.2 Btu/(h ft2 degF)",
            "envelope_area": "18000 ft2", "start_temperature": "50 degF"
        },
        "gear_on": "2026-11-02", "needed_by": "2027-01-15", "give_up_after": "300 days",
        "service": { "temperature": "70 degF", "relative_humidity": "45 %" },
        "targets": [
            { "relative_humidity_at_depth": { "limit": "75 %", "depth_fraction": 0.4 } },
            { "equilibrium_relative_humidity": { "limit": "80 %" } },
            { "emission_rate": { "limit": "3 lb/1000 ft2/24 h" } },
            { "surface_flux": { "limit": "15 g/m2/day" } },
            { "mass_percent": { "limit": "4 %", "layer": "20 mm" } },
            { "plastic_sheet": { "lasts": "16 h" } }
        ],
        "coating": {
            "lowest_temperature": "50 degF", "highest_temperature": "30 degC", "highest_relative_humidity": "80 %", "dew_point_margin": "5 degF",
            "cure_time": "36 h", "concrete_age": "30 days", "dry_time_after_wetting": "2 days", "test_validity": "2 weeks", "probe_time_in_hole": "72 h"
        },
        "prices": {
            "electricity": "0.15 $/kWh", "propane": "2.8 $/gal", "natural_gas": "1.2 $/therm", "kerosene": "5 $/gal", "diesel": "4 $/gal",
            "day_of_delay": "900 $/day"
        },
        "setups": [
            { "name": "Nothing", "gear": [] },
            { "name": "Everything", "note": "All kinds.", "gear": [
                { "dehumidifier": { "class": "low_grain_medium", "count": 2, "rent": ["45 $/day"],
                    "humidistat": { "setpoint": "40 %", "band": "5 %" }, "from": "2026-11-03", "until": "2026-12-24" } },
                { "dehumidifier": { "capacity": "130 pint/day", "energy_factor": "2.8 L/kWh", "rating_condition": "80F_60",
                    "air_flow": "300 cfm", "lowest_inlet": "33 degF" } },
                { "desiccant": { "class": "desiccant_1000", "regeneration_air": "outside", "air_flow": "600 cfm", "capacity_factor": "75 %" } },
                { "heater": { "kind": "direct_fired", "fuel": "propane", "output": "150000 Btu/h", "electrical_power": "200 W",
                    "thermostat": { "setpoint": "75 degF", "band": "4 degF" }, "rent": ["60 $/day"] } },
                { "heater": { "class": "indirect_fired_110kw", "efficiency": "82 %", "air_flow": "7000 m3/h" } },
                { "fan": { "class": "fan_axial_large", "count": 6, "rent": ["15 $/day"] } },
                { "fan": { "floor_air_speed": "2 m/s", "power": "1 kW" } },
                { "outside_air": { "air_flow": "2000 cfm", "rule": "only_while_drier", "fan_power": "300 W" } },
                { "outside_air": { "air_changes_per_hour": 2, "rule": { "hours": { "from": 22, "to": 6 } } } },
                { "outside_air": { "class": "outside_air_500", "rule": "always" } }
            ] }
        ]
    })
}

/// As little as can be written.
const SMALL: &str = r#"{
  "name": "Hall",
  "site": { "weather": { "constant": { "temperature": "15 degC", "relative_humidity": "70 %" } } },
  "slab": { "area": "500 m2", "thickness": "150 mm", "placed": "2026-10-01" },
  "room": { "height": "4 m" },
  "gear_on": "2026-11-02",
  "setups": [
    { "name": "Nothing", "gear": [] }
  ]
}"#;

fn faults(text: &str) -> String {
    match read(text, "hall.json") {
        Ok(scenario) => panic!("read without a fault: {scenario:?}"),
        Err(faults) => faults.to_string(),
    }
}

fn good(text: &str) -> Scenario {
    read(text, "hall.json").unwrap_or_else(|faults| panic!("{faults}"))
}

/// The small scenario with one piece of text replaced.
fn with(old: &str, new: &str) -> String {
    assert_eq!(SMALL.matches(old).count(), 1, "{old}");
    SMALL.replace(old, new)
}

#[test]
fn regress_full_scenario_is_read_and_survives_writing() {
    let scenario = good(&full().to_string());
    assert_relative_eq!(scenario.slab.thickness.si(), 0.1524, max_relative = 1e-12);
    assert_eq!(scenario.slab.finish, Some(Finish::SteelTrowelled));
    assert_eq!(scenario.needed_by, Some(date(2027, 1, 15)));
    assert!(matches!(scenario.site.weather, Weather::ByMonth(_)));
    assert!(matches!(
        scenario.slab.underside,
        Some(Underside::VapourRetarder(_))
    ));
    assert!(
        matches!(scenario.setups[1].gear[0], Gear::Dehumidifier(ref machine) if machine.shared.count == Some(2))
    );
    let written = serde_json::to_string_pretty(&scenario).unwrap();
    assert_eq!(good(&written), scenario);
    assert_eq!(
        serde_json::from_str::<Value>(&written).unwrap(),
        full_as_numbers()
    );
}

/// The full scenario as it is written again: `2` air changes come back as `2.0`.
fn full_as_numbers() -> Value {
    let mut value = full();
    value["setups"][1]["gear"][8]["outside_air"]["air_changes_per_hour"] = json!(2.0);
    value["setups"][1]["gear"][8]["outside_air"]["rule"]["hours"] =
        json!({ "from": 22.0, "to": 6.0 });
    value
}

#[test]
fn regress_small_scenario_takes_defaults() {
    let scenario = good(SMALL);
    assert_relative_eq!(scenario.slab.water_cement_ratio(), 0.5);
    assert_relative_eq!(scenario.slab.cement_content(), 370.0);
    assert!(matches!(scenario.slab.curing(), Curing::Wet(wet) if wet.lasts.si() == 604_800.0));
    assert!(
        matches!(scenario.targets().as_slice(), [Target::RelativeHumidityAtDepth(target)] if target.limit.si() == 0.75)
    );
    // Roof 500 m2 and four walls of 22.36 m by 4 m, 2 W/(m2 K).
    assert_relative_eq!(
        scenario.room.heat_loss(500.0),
        2.0 * (500.0 + 16.0 * 500_f64.sqrt()),
        max_relative = 1e-14
    );
    assert!(
        good(&format!("\u{feff}{SMALL}")) == scenario,
        "a byte order mark is passed over"
    );
    assert!(
        good(&with(r#""gear_on""#, r#""needed_by": null, "gear_on""#)) == scenario,
        "null is not given"
    );
}

/// A mix is designed above the specified strength: 1000 psi more below 3000 psi, 1200 psi up to 5000 psi, 1.10 times and 700 psi beyond
/// (ACI 301 and 318 without a test record). The mean strength then gives the ratio (ACI 211.1-91 table 6.3.4(a)): without entrained air
/// 3000 psi 0.68, 4000 psi 0.57, 5000 psi 0.48, 6000 psi 0.41; with it 3000 psi 0.59, 4000 psi 0.48, 5000 psi 0.40. All from memory.
#[test]
fn ref_water_cement_ratio_from_strength() {
    for (strength, air, ratio) in [
        ("2000 psi", "not_entrained", 0.68),
        ("2999.9 psi", "not_entrained", 0.57),
        ("3000 psi", "not_entrained", 0.552),
        ("3800 psi", "not_entrained", 0.48),
        ("4000 psi", "not_entrained", 0.466),
        ("4800 psi", "not_entrained", 0.41),
        ("9000 psi", "not_entrained", 0.41),
        ("2000 psi", "entrained", 0.59),
        ("3000 psi", "entrained", 0.464),
        ("4000 psi", "entrained", 0.40),
    ] {
        let scenario = good(&with(
            r#""thickness""#,
            &format!(r#""strength": "{strength}", "air": "{air}", "thickness""#),
        ));
        assert_relative_eq!(
            scenario.slab.water_cement_ratio(),
            ratio,
            max_relative = 1e-3
        );
    }
    for (specified, designed) in [(2500.0, 3500.0), (5000.0, 6200.0), (6000.0, 7300.0)] {
        let psi = coatday::units::PSI;
        let found = coatday::scenario::designed_strength(specified * psi) / psi;
        assert_relative_eq!(found, designed, max_relative = 1e-12);
    }
}

/// 267 lb of water and 564 lb of cement make 0.473; 32 gal of water weigh 267 lb (8.345 lb a gallon at 4 degC).
#[test]
fn analytic_water_cement_ratio_from_the_ticket() {
    for water in ["267 lb/yd3", "32 gal/yd3"] {
        let slab = good(&with(
            r#""thickness""#,
            &format!(
                r#""mixing_water": "{water}", "cement_content": "564 lb/yd3", "strength": "3000 psi", "thickness""#
            ),
        ))
        .slab;
        assert_relative_eq!(slab.water_cement_ratio(), 0.4734, max_relative = 1e-3);
        assert_eq!(slab.ratio_from(), coatday::scenario::RatioFrom::Given);
    }
    let faults = |keys: &str| {
        let text = with(r#""thickness""#, &format!(r#"{keys}, "thickness""#));
        read(&text, "hall.json").unwrap_err().to_string()
    };
    let alone = faults(r#""mixing_water": "267 lb/yd3""#);
    assert!(alone.contains("says nothing without its cement"), "{alone}");
    let both = faults(
        r#""mixing_water": "267 lb/yd3", "cement_content": "564 lb/yd3", "water_cement_ratio": 0.5"#,
    );
    assert!(
        both.contains("The water-cement ratio is given too"),
        "{both}"
    );
    let wet = faults(r#""mixing_water": "500 lb/yd3", "cement_content": "400 lb/yd3""#);
    assert!(wet.contains("the water-cement ratio is 1.25"), "{wet}");
    let ash = faults(r#""slag": "50 %", "fly_ash": "40 %""#);
    assert!(ash.contains("make 90\u{a0}% of the cement"), "{ash}");
}

#[test]
fn regress_texts_of_faults() {
    for (text, expected) in [
        (
            with("\"150 mm\"", "150"),
            r#"hall.json:4:44: slab.thickness
  "150" has no unit.
  4 |   "slab": { "area": "500 m2", "thickness": 150, "placed": "2026-10-01" },
    |                                            ^^^
  Write "150 mm". Units: in, ft, yd, mm, cm, m, km."#,
        ),
        (
            with("150 mm", "150 m"),
            r#"hall.json:4:44: slab.thickness
  This is too high.
  4 |   "slab": { "area": "500 m2", "thickness": "150 m", "placed": "2026-10-01" },
    |                                            ^^^^^^^
  Write "1.5 m" or less: thinner is a topping, thicker is mass concrete."#,
        ),
        (
            with("\"room\"", "\"rom\""),
            r#"hall.json:5:3: rom
  "rom" is not a key here.
  5 |   "rom": { "height": "4 m" },
    |   ^^^^^
  Did you mean "room"?"#,
        ),
        (
            with("  \"room\": { \"height\": \"4 m\" },\n", ""),
            r#"hall.json:1:1
  "room" is missing. The room above the slab.
  1 | {
    | ^
  Add "room": {"height": "9 m"}."#,
        ),
        (
            with("2026-11-02", "02/11/2026"),
            r#"hall.json:6:14: gear_on
  "02/11/2026" can be two days: month first or day first.
  6 |   "gear_on": "02/11/2026",
    |              ^^^^^^^^^^^^
  Write "Feb 11 2026" or "2 Nov 2026"."#,
        ),
        (
            with("2026-11-02", "2026-09-02"),
            r#"hall.json:6:14: gear_on
  2026-09-02 is before slab.placed, 2026-10-01.
  6 |   "gear_on": "2026-09-02",
    |              ^^^^^^^^^^^^
  Correct one of the two dates."#,
        ),
        (
            with("\"gear_on\"", "\"name\": \"Hall 2\", \"gear_on\""),
            r#"hall.json:6:3: name
  "name" is given twice.
  6 |   "name": "Hall 2", "gear_on": "2026-11-02",
    |   ^^^^^^
  Keep one of them."#,
        ),
        (
            with(
                "\"gear\": []",
                "\"gear\": [{ \"fan\": { \"class\": \"fan_axel_large\" } }]",
            ),
            r#"hall.json:8:55: setups[0].gear[0].fan.class
  There is no class "fan_axel_large".
  8 |     { "name": "Nothing", "gear": [{ "fan": { "class": "fan_axel_large" } }] }
    |                                                       ^^^^^^^^^^^^^^^^
  Did you mean "fan_axial_large"? Write "fan_low_profile", "fan_centrifugal", "fan_axial_small", "fan_axial_large", "fan_drum_small" or "fan_drum_large"."#,
        ),
        (
            with("\"gear\": []", "\"gear\": [{ \"dehumidifier\": {} }]"),
            r#"hall.json:8:53: setups[0].gear[0].dehumidifier
  Without a "class", "capacity" and "energy_factor" must be given.
  8 |     { "name": "Nothing", "gear": [{ "dehumidifier": {} }] }
    |                                                     ^
  Add a "class", or the missing values from the machine's data sheet."#,
        ),
        (
            with("\"placed\"", "\"curing\": \"wet\", \"placed\""),
            r#"hall.json:4:64: slab.curing
  "wet" needs its keys in braces.
  4 |   "slab": { "area": "500 m2", "thickness": "150 mm", "curing": "wet", "placed": "2026-10-01" },
    |                                                                ^^^^^
  Write {"wet": {"lasts": "7 days"}}."#,
        ),
        (
            with("\"placed\"", "\"finish\": \"smooth\", \"placed\""),
            r#"hall.json:4:64: slab.finish
  "smooth" is not a choice here.
  4 |   "slab": { "area": "500 m2", "thickness": "150 mm", "finish": "smooth", "placed": "2026-10-01" },
    |                                                                ^^^^^^^^
  Write one of "floated", "steel_trowelled", "ground", "shot_blasted"."#,
        ),
        (
            with("{ \"name\": \"Nothing\", \"gear\": [] }", ""),
            r#"hall.json:7:13: setups
  This list is empty.
  7 |   "setups": [
    |             ^
  Give at least one entry, or remove the key if it may be left out."#,
        ),
        (
            with(
                "\"gear\": [] }",
                "\"gear\": [] }, { \"name\": \"nothing \", \"gear\": [] }",
            ),
            r#"hall.json:8:50: setups[1].name
  setups[0] has this name too.
  8 |     { "name": "Nothing", "gear": [] }, { "name": "nothing ", "gear": [] }
    |                                                  ^^^^^^^^^^
  Give each setup its own name."#,
        ),
        (
            with(
                "\"setups\"",
                "\"prices\": { \"electricity\": \"0.15 $/kWh\", \"propane\": \"2.8 EUR/gal\" },\n  \"setups\"",
            ),
            r#"hall.json:7:55: prices.propane
  This is in EUR, but prices.electricity is in $.
  7 |   "prices": { "electricity": "0.15 $/kWh", "propane": "2.8 EUR/gal" },
    |                                                       ^^^^^^^^^^^^^
  Give all money in $, or all in EUR."#,
        ),
        (
            with("\"4 m\" }", "\"4 m\", \"enclosed\": \"2026-12-01\" }"),
            r#"hall.json:5:42: room.enclosed
  2026-12-01 is after gear_on, 2026-11-02.
  5 |   "room": { "height": "4 m", "enclosed": "2026-12-01" },
    |                                          ^^^^^^^^^^^^
  Gear cannot dry an open building. Set "gear_on" to "2026-12-01" or later, or enclose the building sooner."#,
        ),
        (
            with("\"setups\"", "\"needed_by\": \"2028-01-01\",\n  \"setups\""),
            r#"hall.json:7:16: needed_by
  The search ends on 2027-11-02, before this date.
  7 |   "needed_by": "2028-01-01",
    |                ^^^^^^^^^^^^
  Raise "give_up_after", for example to "730 days"."#,
        ),
        (
            SMALL[..=SMALL.find("10-01").unwrap() + 4].to_owned(),
            r#"hall.json:4:75
  The file ends before the text from line 4 is closed.
  4 |   "slab": { "area": "500 m2", "thickness": "150 mm", "placed": "2026-10-01
    |                                                                           ^
  Close it, or fetch the whole file again if it was cut short."#,
        ),
        (
            with("\"4 m\" },", "\"4 m\", },"),
            r#"hall.json:5:28
  There is a comma before the closing brace.
  5 |   "room": { "height": "4 m", },
    |                            ^
  Remove the comma."#,
        ),
        (
            format!("{SMALL} x"),
            "hall.json:10:3\n  There is text after the end of the scenario.\n  10 | } x\n     |   ^\n  Remove it, or check for a brace closed too early.",
        ),
        (
            String::new(),
            "hall.json:1:1\n  The file is empty.\n  1 |\n    | ^\n  Write a starter scenario: coatday new job.json",
        ),
    ] {
        assert_eq!(
            faults(&text),
            format!("{expected}\n\n1 fault in hall.json.")
        );
    }
}

#[test]
fn regress_every_fault_at_once_in_the_order_of_the_file() {
    let mut value = full();
    value["site"]["elevation"] = json!("9000 m");
    value["slab"]["area"] = json!("10000 ft3");
    value["slab"]["wettings"][0]["lasts"] = json!("2 h");
    value["room"]["heat_loss"] = json!("500 W/K");
    value["targets"][0] = json!({ "humidity": { "limit": "75 %" } });
    value["setups"][1]["gear"][0]["dehumidifier"]["until"] = json!("2026-11-01");
    value["setups"][1]["gear"][3]["heater"] = json!({ "kind": "direct_fired", "output": "50 kW" });
    value["setups"][1]["gear"][4]["heater"] =
        json!({ "kind": "electric", "output": "50 kW", "fuel": "diesel" });
    value["setups"][1]["gear"][5] = json!({ "fan": {}, "heater": {} });
    value["setups"][1]["gear"][7]["outside_air"]["air_changes_per_hour"] = json!("2");
    value["site"]["weather"]["by_month"]["dew_point"] = json!(["5 degC"]);
    let faults = read(&value.to_string(), "hall.json").unwrap_err();
    let places: Vec<String> = faults
        .faults
        .iter()
        .map(|fault| format!("{}: {}", fault.path, fault.message))
        .collect();
    for expected in [
        "site.elevation: This is too high.",
        "slab.area: \"ft3\" is a unit of volume, but an area is needed here.",
        "slab.wettings[0].lasts: \"water_depth\" and \"lasts\" are both given.",
        "room.u_value: \"u_value\" is given together with \"heat_loss\", which already contains it.",
        "room.envelope_area: \"envelope_area\" is given together with \"heat_loss\", which already contains it.",
        "targets[0].humidity: \"humidity\" is not a choice here.",
        "setups[1].gear[0].dehumidifier.until: 2026-11-01 is before its \"from\", 2026-11-03.",
        "setups[1].gear[3].heater: This heater burns fuel, but \"fuel\" is missing.",
        "setups[1].gear[4].heater.fuel: An electric heater has no \"fuel\".",
        "setups[1].gear[5]: One choice is needed here, but there are 2 keys.",
        "setups[1].gear[7].outside_air.air_changes_per_hour: This is text, but a number is needed here.",
        "setups[1].gear[7].outside_air.air_changes_per_hour: \"air_flow\" and \"air_changes_per_hour\" are both given.",
        "site.weather.by_month.dew_point: This list has 1 entries, but 12 are needed.",
        "site.weather.by_month.dew_point[0]: The dew point lies above the mean temperature of the month.",
    ] {
        assert!(
            places.iter().any(|place| place == expected),
            "missing {expected} in {places:#?}"
        );
    }
    assert!(
        faults
            .faults
            .is_sorted_by_key(|fault| (fault.line, fault.column))
    );
    let shown = serde_json::to_value(&faults).unwrap();
    assert!(shown["faults"][0]["line"].is_u64());
}

#[test]
fn regress_broken_files_end_in_one_fault() {
    let deep = "[".repeat(50_000_000);
    let depth = "[".repeat(1_900_000);
    let objects = "{\"a\":".repeat(300_000);
    let long_line = format!("{{\"name\": \"{}\", }}", "x".repeat(1_000_000));
    for (text, message) in [
        (
            deep.as_str(),
            "The file has 50000000 bytes. A scenario has a few thousand.",
        ),
        (&depth, "Objects and lists are nested more than 32 deep."),
        (&objects, "Objects and lists are nested more than 32 deep."),
        (&long_line, "There is a comma before the closing brace."),
        ("\u{feff}", "The file is empty."),
        ("{\"name\": NaN}", "This word has no quotes."),
        ("{\"name\": 1e400}", "This number is too large."),
        ("{\"name\": 01}", "This is not a number."),
        ("{'name': 1}", "This text is in single quotes."),
        (
            "{\"name\": \"a\tb\"}",
            "There is a control character in the text.",
        ),
        (
            "{\"name\": \"\\ud800\"}",
            "This \\u code is not a character.",
        ),
        ("{\"name\": \"C:\\xyz\"}", "This backslash changes nothing."),
        ("[]", "This is a list, but an object is needed here."),
        ("null", "This is null, but an object is needed here."),
    ] {
        let start = Instant::now();
        let found = read(text, "f.json").unwrap_err();
        assert_eq!(found.faults.len(), 1, "{found}");
        assert_eq!(found.faults[0].message, message);
        assert!(found.to_string().len() < 700, "a long line is cut");
        assert!(start.elapsed() < Duration::from_secs(3));
    }
    let bytes = |bytes: &[u8]| read_bytes(bytes, "f.json").unwrap_err().to_string();
    assert!(
        bytes(b"{\"name\": \"\xe9\"}")
            .contains("f.json:1:11\n  The file is not UTF-8 text: byte 11 cannot be read.")
    );
    assert!(bytes(b"\xff\xfe{\0").contains("The file is written in UTF-16."));
    assert_eq!(read_bytes(SMALL.as_bytes(), "f.json").unwrap(), good(SMALL));
}

/// Comments are passed over, and faults below them keep their place.
#[test]
fn regress_comments_are_read_over() {
    let start =
        "// A \"remark\" { [ on top\n/* and\n another */ {\n  \"name\": /* here */ \"Hall\",";
    let text = SMALL.replacen("{\n  \"name\": \"Hall\",", start, 1);
    assert_eq!(good(&text), good(SMALL));
    let wrong = text.replace("150 mm", "150 m");
    assert!(faults(&wrong).starts_with("hall.json:6:44: slab.thickness\n  This is too high."));
    assert_eq!(
        faults("{ \"name\": \"a\" /* open"),
        "hall.json:1:22\n  The file ends before the comment from line 1 is closed.\n  1 | { \"name\": \"a\" /* open\n    |                      ^\n  Close it, or fetch the whole file again if it was cut short.\n\n1 fault in hall.json."
    );
    for (text, place) in [
        (
            "{\n\"name\": \"a\n}",
            "f.json:2:9\n  This text has no closing quote on its line.",
        ),
        (
            "{\"a\": [1, 2,]}",
            "f.json:1:12\n  There is a comma before the closing bracket.",
        ),
        ("{\"a\": [1 2]}", "f.json:1:9\n  A comma is missing here."),
        ("{\"a\": .5}", "f.json:1:7\n  "),
        ("{\"a\": 5.}", "f.json:1:7\n  This is not a number."),
        (
            "{\"a\" 5}",
            "f.json:1:6\n  A colon is missing between a key and its value.",
        ),
        ("{a: 5}", "f.json:1:2\n  A key is missing here."),
        (
            "{\"a\": [1}",
            "f.json:1:9\n  A comma or \"]\" is missing here.",
        ),
        (
            "{\"a\": 1} {",
            "f.json:1:10\n  There is text after the end of the scenario.",
        ),
        (
            "{\"a\":",
            "f.json:1:6\n  The file ends where a value should be.",
        ),
    ] {
        let found = read(text, "f.json").unwrap_err().to_string();
        assert!(found.starts_with(place), "{text}: {found}");
    }
}

#[test]
fn regress_hostile_files_of_legal_size_are_quick() {
    let setups: Vec<String> = (0..60_000)
        .map(|number| format!("{{\"name\":\"s{number}\",\"gear\":1}}"))
        .collect();
    let many_setups = with("{ \"name\": \"Nothing\", \"gear\": [] }", &setups.join(","));
    let keys: Vec<String> = (0..120_000)
        .map(|number| format!("\"k{number}\":1"))
        .collect();
    let many_keys = format!("{{{}}}", keys.join(","));
    for text in [many_setups, many_keys] {
        let start = Instant::now();
        let found = read(&text, "f.json").unwrap_err();
        assert!(found.faults.len() <= 200 && found.to_string().len() < 40_000);
        assert!(
            start.elapsed() < Duration::from_secs(5),
            "{:?}",
            start.elapsed()
        );
    }
}

/// Calls `visit` with the path and schema of every property, items followed.
fn properties(schema: &Value, visit: &mut dyn FnMut(&str, &Value)) {
    let definitions = schema["$defs"].as_object().into_iter().flatten();
    for (name, part) in definitions
        .map(|(name, part)| (name.as_str(), part))
        .chain([("Scenario", schema)])
    {
        for (key, property) in part["properties"].as_object().into_iter().flatten() {
            visit(&format!("{name}.{key}"), property);
        }
    }
}

#[test]
fn regress_every_number_has_a_limit_and_every_limit_is_used() {
    let schema = schema();
    let mut used = std::collections::BTreeSet::new();
    properties(&schema, &mut |path, property| {
        let text = property.to_string();
        let quantity = schema["$defs"]
            .as_object()
            .unwrap()
            .iter()
            .any(|(name, part)| {
                part.get("x-quantity").is_some() && text.contains(&format!("\"#/$defs/{name}\""))
            });
        let number = ["number", "integer"]
            .iter()
            .any(|kind| text.contains(&format!("\"{kind}\"")));
        if quantity || number {
            let name = property["x-limit"]
                .as_str()
                .unwrap_or_else(|| panic!("{path} has no limit"));
            assert!(
                ranges::find(name).is_some(),
                "{path}: {name} is not in the table"
            );
            used.insert(name.to_owned());
        }
        if !path.ends_with(".heater") {
            assert!(
                property.get("description").is_some() || property.get("$ref").is_some(),
                "{path} is not described"
            );
        }
    });
    for limit in ranges::LIMITS {
        assert!(used.contains(limit.name), "{} is not used", limit.name);
    }
    for part in schema["$defs"].as_object().unwrap().values() {
        assert!(part["type"] != "object" || part["additionalProperties"] == false);
    }
}

#[test]
fn regress_echo_lists_every_default() {
    let lines = understood(&good(SMALL));
    let find = |label: &str| {
        lines
            .iter()
            .find(|line| line.label == label)
            .unwrap_or_else(|| panic!("{label}"))
    };
    let thickness = find("slab: thickness");
    assert_eq!([&*thickness.us, &*thickness.si], ["5.906 in", "150 mm"]);
    assert_eq!(thickness.note, None);
    for (label, si) in [
        ("slab: water-cement ratio", "0.5"),
        ("slab: curing", "wet, lasts 7 days"),
        ("slab: finish", "steel-troweled"),
        ("slab: underside", "sealed"),
        ("room: air changes per hour", "0.5"),
        ("room: U-value of walls and roof", "2 W/(m2 K)"),
        ("give up after", "365 days"),
        ("service: temperature", "22.78 °C"),
        ("service: relative humidity", "50 %"),
        (
            "target: relative humidity at depth",
            "limit 75 %, depth fraction 0.4",
        ),
    ] {
        let line = find(label);
        assert_eq!(line.si, si, "{label}");
        let note = line.note.as_deref().unwrap_or_default();
        assert!(note.starts_with("assumed: "), "{label}");
    }
    let all = understood(&good(&full().to_string()));
    assert!(
        all.iter()
            .filter(|line| !line.label.starts_with(' '))
            .filter_map(|line| line.note.as_deref())
            .all(|note| !note.contains("assumed")),
        "{all:#?}"
    );
    assert!(
        all.iter()
            .any(|line| line.us.contains("capacity 130 pint/day")
                && line.si.contains("capacity 61.51 L/day"))
    );
}

/// A default is shown only where it counts: beside the key that it belongs to, and not where another key takes its place.
#[test]
fn regress_summary_shows_defaults_where_they_count() {
    let gear = r#""gear": [{ "dehumidifier": { "class": "low_grain_medium", "humidistat": { "dew_point": "6 degC" } } },
        { "dehumidifier": { "capacity": "60 L/day", "energy_factor": "2 L/kWh", "humidistat": { "setpoint": "40 %" } } }]"#;
    let text = with("\"gear\": []", gear).replace("\"4 m\"", "\"4 m\", \"heat_loss\": \"500 W/K\"");
    let lines = understood(&good(&text));
    let machines: Vec<&str> = lines
        .iter()
        .filter(|line| line.label == "  dehumidifier")
        .map(|line| line.si.as_str())
        .collect();
    assert_eq!(
        machines,
        [
            "class low-grain dehumidifier, 61\u{a0}L/day, count 1, humidistat (dew point 6 °C, band 2 K)",
            "count 1, capacity 60 L/day, rated at 26.7\u{a0}°C and 60 %, energy factor 2 L/kWh, humidistat (setpoint 40 %, band 5 %)",
        ]
    );
    for (label, there) in [
        ("room: heat loss", true),
        ("room: U-value of walls and roof", false),
        ("room: area of walls and roof", false),
    ] {
        assert_eq!(
            lines.iter().any(|line| line.label == label),
            there,
            "{label}"
        );
    }
}

/// Every default can be read as what its key wants and lies within the key's own limit; what counts in the physics is the same.
#[test]
fn regress_defaults_keep_within_their_limits() {
    let schema = schema();
    let mut seen = 0;
    properties(&schema, &mut |path, property| {
        let (Some(default), Some(limit)) = (
            property.get("default"),
            property["x-limit"].as_str().and_then(ranges::find),
        ) else {
            return;
        };
        let values = match default {
            Value::Array(values) => values.clone(),
            value => vec![value.clone()],
        };
        for value in values {
            let si = match (limit.kind, &value) {
                (Some(kind), Value::String(text)) => units::parse(kind, text).expect(path).si(),
                (None, number) => number.as_f64().expect(path),
                _ => panic!("{path}: {value}"),
            };
            assert!(limit.holds(si), "{path}: {value}");
            seen += 1;
        }
    });
    assert!(seen > 30, "{seen}");
    let small = good(SMALL);
    let default = &schema["properties"]["give_up_after"]["default"];
    assert_eq!(default, &json!(small.give_up_after().to_string()));
}

#[test]
fn regress_starter_is_a_valid_scenario() {
    for system in [System::Us, System::Si] {
        for needed_by in [None, Some(date(2027, 2, 1)), Some(date(2029, 2, 1))] {
            let answers = Answers {
                name: "Hall \"A\"".to_owned(),
                place: None,
                area: "10000 ft2".parse().unwrap(),
                thickness: "6 in".parse().unwrap(),
                height: "20 ft".parse().unwrap(),
                placed: date(2026, 10, 1),
                gear_on: date(2026, 11, 2),
                needed_by,
                dehumidifier_class: "low_grain_medium".to_owned(),
                heater_class: "indirect_fired_110kw".to_owned(),
                fan_class: "fan_axial_large".to_owned(),
                system,
            };
            let scenario = good(&starter(&answers));
            assert_eq!(scenario.name, "Hall \"A\"");
            assert_eq!(scenario.needed_by, needed_by);
            assert_eq!(scenario.slab.area, answers.area);
        }
    }
}

/// What may replace a value of the full scenario.
fn anything() -> impl Strategy<Value = Value> {
    prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<f64>().prop_map(|number| json!(number)),
        (0_u64..5).prop_map(Value::from),
        "\\PC{0,12}".prop_map(Value::from),
        "-?[0-9]{1,4} (mm|in|degF|%|days|\\$/day|kW|L/day|perm)".prop_map(Value::from),
        "(always|none|sealed|wet|fan|heater|ground|2026-1[0-3]-[0-3][0-9])".prop_map(Value::from),
        Just(json!([])),
        Just(json!({})),
        Just(json!({ "class": "fan_axial_large" })),
    ]
}

/// Replaces (or removes, or adds) the `at`-th place of a tree, counting depth first.
fn replace(value: &mut Value, at: &mut usize, new: &Value, how: u8) -> bool {
    if *at == 0 {
        match (how, &mut *value) {
            (0, Value::Object(map)) => {
                map.insert("extra".to_owned(), new.clone());
            }
            (0, Value::Array(items)) => items.push(new.clone()),
            _ => *value = new.clone(),
        }
        return true;
    }
    *at -= 1;
    match value {
        Value::Object(map) => map.values_mut().any(|inner| replace(inner, at, new, how)),
        Value::Array(items) => items.iter_mut().any(|inner| replace(inner, at, new, how)),
        _ => false,
    }
}

/// No fault may come from the types alone: the walk along the schema must have found it with its place.
fn read_is_sound(text: &str) -> Result<(), TestCaseError> {
    match read(text, "f.json") {
        Ok(scenario) => {
            let again = serde_json::to_string(&scenario)
                .map_err(|error| TestCaseError::fail(error.to_string()))?;
            prop_assert_eq!(
                read(&again, "f.json").map_err(|faults| TestCaseError::fail(faults.to_string()))?,
                scenario.clone()
            );
            prop_assert!(!understood(&scenario).is_empty());
        }
        Err(faults) => {
            prop_assert!(!faults.faults.is_empty());
            prop_assert!(
                !faults
                    .to_string()
                    .contains("Compare this key with the schema"),
                "{}",
                faults
            );
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn regress_changed_values_never_panic(at in 0_usize..190, new in anything(), how in 0_u8..3) {
        let mut value = full();
        let mut at = at;
        replace(&mut value, &mut at, &new, how);
        read_is_sound(&value.to_string())?;
    }

    #[test]
    fn regress_changed_bytes_never_panic(cut in 0_usize..6000, from in 0_usize..6000, noise in proptest::collection::vec(any::<u8>(), 0..6)) {
        let mut bytes = serde_json::to_vec_pretty(&full()).unwrap();
        let from = from.min(bytes.len());
        let to = (from + noise.len()).min(bytes.len());
        bytes.splice(from..to, noise);
        bytes.truncate(if cut < 3000 { bytes.len() } else { cut });
        let _ = read_bytes(&bytes, "f.json").map_err(|faults| faults.to_string());
        if let Ok(text) = std::str::from_utf8(&bytes) {
            read_is_sound(text)?;
        }
    }

    #[test]
    fn regress_any_text_never_panics(text in "[\\[\\]{}\",:0-9a-z\\\\ \n\u{e9}\u{1F600}-]{0,60}") {
        read_is_sound(&text)?;
    }

    /// Values drawn from the table of limits are read, and values beyond are refused.
    #[test]
    fn regress_limits_hold(share in 0.0_f64..=1.0) {
        let limit = ranges::find("slab thickness").unwrap();
        let inside = limit.min + share * (limit.max - limit.min);
        good(&with("150 mm", &format!("{inside} mm")));
        let outside = limit.max * (1.001 + share);
        let refused = read(&with("150 mm", &format!("{outside} mm")), "f.json").is_err();
        prop_assert!(refused);
    }
}
