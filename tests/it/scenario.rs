//! Tests of the `scenario` room.

use coatday::scenario::{Classes, read};
#[test]
fn show() {
    let text = r#"{
  "name": "Hall 2",
  "site": { "weather": { "constant": { "temperature": "15", "relative_humidity": "70 %", "wind_sped": "3 m/s" } } },
  "slab": { "area": 5000, "thickness": "5 parsecs", "placed": "2026-11-31", "curing": "wet", "finish": "trowelled", "water_cement_ratio": 5 },
  "rom": { "height": "4 m" },
  "drying_starts": "2026-12-01",
  "needed_by": "2026-11-20",
  "prices": { "electricity": "0.15 $/kWh", "propane": "2.8 EUR/gal" },
  "setups": [
    { "name": "A", "gear": [ { "heater": { "output": "50", "kind": "electric", "fuel": "propane" } }, { "fann": {} } ] },
    { "name": "a ", "gear": [ { "fan": { "class": "fan_lowprofile", "count": 2.0 } }, { "dehumidifier": {} } ] }
  ]
}"#;
    let classes = Classes {
        fans: &["fan_low_profile", "fan_axial"],
        ..Classes::default()
    };
    println!("{}", read(text, "hall.json", &classes).unwrap_err());
    for t in [
        "",
        "{",
        "[1,",
        "{\"a\":1,}",
        "{\"name\": \"x",
        "{} x",
        "{\"a\": NaN}",
        "{\"a\": 1e400}",
        "{'a':1}",
        "{\"a\":1 // x\n}",
        "[]",
        "null",
    ] {
        println!("--- {t:?}\n{}", read(t, "f.json", &classes).unwrap_err());
    }
}
