//! What people type for keys, words and days of a scenario, its findings and its log: read as meant, refused where it can mean two things.

use coatday::moisture_log::Defaults;
use coatday::scenario::{aliases, read, read_findings, schema};
use serde_json::{Value, json};

/// A scenario as a program would write it.
fn plain() -> Value {
    json!({
        "name": "Hall",
        "site": { "elevation": "800 ft", "weather": { "constant": { "temperature": "60 degF", "relative_humidity": "70 %" } } },
        "slab": {
            "area": "5000 ft2", "thickness": "5.5 in", "water_cement_ratio": 0.5, "placed": "2026-10-01",
            "finish": "steel_trowelled", "underside": { "vapour_retarder": {} }
        },
        "room": { "height": "216 in" },
        "gear_on": "2026-11-16",
        "needed_by": "2027-03-15",
        "targets": [{ "relative_humidity_at_depth": { "limit": "85 %" } }],
        "setups": [{ "name": "Heat", "gear": [
            { "heater": { "kind": "indirect_fired", "fuel": "propane", "output": "250 kBtu/h", "thermostat": { "setpoint": "70 degF" }, "rent": ["120 $/day"] } },
            { "dehumidifier": { "class": "low_grain_large", "count": 2, "rent": ["1475 $/week", "250 $/day"], "delivery": "90 $" } }
        ] }],
        "walk": {
            "areas": [{ "name": "A", "substrate": "concrete", "size": "5000 ft2" }],
            "method": "vacuum_grinding",
            "labour": "45 $/h",
            "findings": [
                { "broken": { "area": "A", "size": "2 ft2", "depth": "0.5 in" } },
                { "coating": { "area": "A", "size": "100 ft2" } }
            ]
        }
    })
}

/// The same as an installer would type it.
const TYPED: &str = r#"{
    "Name": "Hall",
    "site": { "altitude": "800'", "weather": { "constant": { "temp": "60F", "RH": "70% RH" } } },
    "Slab": {
        "area": "5,000 SF", "thickness": "5-1/2 in", "w/c": 0.5, "poured": "10/1/2026 ",
        "finish": "Steel Troweled", "under slab": { "vapor barrier": {} }
    },
    "room": { "ceiling height": "18'-0\"" },
    "gearOn": "Mon Nov 16, 2026",
    "deadline": "3/15/2027",
    "target": [{ "F2170": { "max": "85%" } }],
    "setups": [{ "name": "Heat", "gear": [
        { "heater": { "kind": "indirect", "fuel": "LP", "output": "250 kBtu/hr", "thermostat": { "set point": "70 °F" }, "rent": "$120/day" } },
        { "LGR": { "type": "Low Grain Large", "qty": 2, "rate": "$1,475 per week, $250/day", "delivery": "$90" } }
    ] }],
    "walk": {
        "areas": [{ "name": "A", "substrate": "concrete", "sq ft": "5,000 sq. ft." }],
        "method": "grinding",
        "labor": "$45/hr",
        "findings": [
            { "spall": { "area": "A", "size": "2 sf", "depth": "1/2\"" } },
            { "paint": { "area": "A", "size": "100 sf" } }
        ]
    }
}"#;

#[test]
fn regress_what_people_type_is_read_as_meant() {
    let meant =
        read(&plain().to_string(), "plain.json").unwrap_or_else(|faults| panic!("{faults}"));
    // The one value that can mean two days is asked about.
    let faults = read(TYPED, "typed.json").unwrap_err();
    assert_eq!(faults.faults.len(), 1, "{faults}");
    let fault = &faults.faults[0];
    assert_eq!(
        (fault.path.as_str(), fault.line, fault.help.as_str()),
        ("slab.placed", 5, "Write \"Oct 1 2026\" or \"10 Jan 2026\".")
    );
    let typed = TYPED.replace("10/1/2026 ", "Oct 1 2026");
    let read = read(&typed, "typed.json").unwrap_or_else(|faults| panic!("{faults}"));
    assert_eq!(read, meant);
    // It is written again in the one spelling.
    let written = serde_json::to_string(&read).unwrap();
    for one in [
        "water_cement_ratio",
        "vapour_retarder",
        "low_grain_large",
        "2026-10-01",
        "relative_humidity_at_depth",
    ] {
        assert!(written.contains(one), "{one}");
    }
}

/// Two spellings of one key in one object: both places are named.
#[test]
fn regress_two_spellings_of_a_key_are_a_fault() {
    let typed = plain()
        .to_string()
        .replace("\"labour\":", "\"labor\": \"50 $/h\",\n\"labour\":");
    let faults = read(&typed, "two.json").unwrap_err();
    let fault = &faults.faults[0];
    assert_eq!(faults.faults.len(), 1, "{faults}");
    assert_eq!(
        (fault.path.as_str(), fault.line, fault.message.as_str()),
        (
            "walk.labour",
            2,
            "\"labour\" is the same key as \"labor\" on line 1."
        )
    );
}

/// A word that is known at its place is never taken for another, and one that could be two is not guessed.
#[test]
fn regress_known_words_stay_what_they_are() {
    let mut with_paint = plain();
    with_paint["walk"]["findings"][1]["coating"]["state"] = json!("paint");
    with_paint["walk"]["crew"] = json!(3);
    with_paint["walk"]["crews"] = json!(2);
    let scenario =
        read(&with_paint.to_string(), "p.json").unwrap_or_else(|faults| panic!("{faults}"));
    let walk = serde_json::to_value(scenario.walk.unwrap()).unwrap();
    assert_eq!(walk["findings"][1]["coating"]["state"], "paint");
    assert_eq!((&walk["crew"], &walk["crews"]), (&json!(3), &json!(2)));
}

/// Every name that an alias stands for is in the schema or is a column or word of the log.
#[test]
fn regress_aliases_lead_somewhere() {
    let schema = schema().to_string();
    let log = [
        "probe",
        "dish",
        "hood",
        "plastic_sheet",
        "moist",
        "time",
        "place",
        "method",
        "value",
        "relative_humidity_percent",
        "emission_rate_g_m2_day",
        "slab_temperature_f",
        "slab_temperature_c",
        "air_temperature_f",
        "air_temperature_c",
        "air_relative_humidity_percent",
    ];
    for (word, names) in aliases() {
        for name in names {
            assert!(
                schema.contains(&format!("\"{name}\"")) || log.contains(name),
                "{word} stands for {name}, which nothing reads"
            );
        }
    }
}

#[test]
fn regress_a_table_of_findings_as_people_type_it() {
    let scenario = read(&plain().to_string(), "plain.json").unwrap();
    let walk = scenario.walk.unwrap();
    let table = "Kind,Area,Length,Width,Depth,SF,Height,Comment\nCracks,A,12'-6\",1/8\",1-1/2 in,,,\nbird bath,A,,,,20 sf,1/2\",by the door\nSpall,A,,,1/2 in,2 sf,,\n";
    let found = read_findings(table.as_bytes(), "f.csv", &walk, 0.14)
        .unwrap_or_else(|faults| panic!("{faults}"));
    assert_eq!(
        serde_json::to_value(found).unwrap(),
        json!([
            { "crack": { "area": "A", "length": "150 in", "width": "0.125 in", "depth": "1.5 in" } },
            { "low_spot": { "area": "A", "size": "20 ft2", "height": "0.5 in", "note": "by the door" } },
            { "broken": { "area": "A", "size": "2 ft2", "depth": "0.5 in" } }
        ])
    );
    // A bare number: with the unit that can be meant.
    let bare =
        read_findings(table.replace("2 sf", "2").as_bytes(), "f.csv", &walk, 0.14).unwrap_err();
    assert_eq!(
        bare.faults[0].help,
        "Write \"2 ft2\" or \"2 m2\". Units: ft2, yd2, m2."
    );
}

#[test]
fn regress_a_log_as_loggers_and_people_write_it() {
    let log = "Date,Location,Test,RH,Temp F,Comments\nNov 20 2026 8:30 am,A,F2170,84.5,70,\n11/21/2026 14:00,A,RH probe,84 %,70F,\n";
    let read = coatday::moisture_log::read_export(
        "log.csv",
        log.as_bytes(),
        jiff::civil::date(2026, 10, 1),
        &Defaults::default(),
    );
    assert!(read.faults.is_none(), "{:?}", read.faults);
    assert_eq!(read.readings.len(), 2);
    let first = &read.readings[0];
    assert_eq!(first.time, jiff::civil::date(2026, 11, 20).at(8, 30, 0, 0));
    assert!((first.value - 0.845).abs() < 1e-12);
    assert!((first.slab_temperature.unwrap() - 21.111).abs() < 1e-3);
    let asked = coatday::moisture_log::read_export(
        "log.csv",
        log.replace("Nov 20 2026", "11/12/2026").as_bytes(),
        jiff::civil::date(2026, 10, 1),
        &Defaults::default(),
    );
    assert_eq!(
        asked.faults.unwrap().faults[0].help,
        "Write \"Nov 12 2026 8:30 am\" or \"11 Dec 2026 8:30 am\"."
    );
}

/// In an earlier version a plan's gear had its delivery beside it: it is read as that of the gear, and said once.
#[test]
fn regress_delivery_beside_the_gear_is_read() {
    let with = |entry: Value| {
        let mut scenario = plain();
        scenario["plan"] = json!({ "on_hand": [entry] });
        scenario.to_string()
    };
    let old =
        with(json!({ "gear": { "fan": { "class": "fan_axial_small" } }, "delivery": "20 $" }));
    let new =
        with(json!({ "gear": { "fan": { "class": "fan_axial_small", "delivery": "20 $" } } }));
    let read = |text: &str| read(text, "a.json").unwrap_or_else(|faults| panic!("{faults}"));
    assert_eq!(read(&old), read(&new));
    assert_eq!(coatday::scenario::old_names(&old).len(), 1);
    assert!(coatday::scenario::old_names(&new).is_empty());
}
