//! A first scenario from a few answers.

use jiff::ToSpan;
use jiff::civil::Date;
use serde_json::{Value, json};

use crate::units::{Area, Length, System};

/// What `coatday new` asks.
#[derive(Clone, Debug, PartialEq)]
pub struct Answers {
    /// A name for the job.
    pub name: String,
    /// Floor area.
    pub area: Area,
    /// Slab thickness.
    pub thickness: Length,
    /// Clear height of the room.
    pub height: Length,
    /// The day the concrete was placed.
    pub placed: Date,
    /// The day drying starts.
    pub gear_on: Date,
    /// The day the floor must be ready to coat, if there is one.
    pub needed_by: Option<Date>,
    /// A refrigerant class for the example setup.
    pub dehumidifier_class: String,
    /// A heater class for the example setup.
    pub heater_class: String,
    /// A fan class for the example setup.
    pub fan_class: String,
    /// Units for what the starter fills in.
    pub system: System,
}

/// The text of a valid scenario: the answers, invented weather and three setups, with notes on what to change first.
///
/// Keys stand in reading order. The text passes [`super::read`] if the answers are within the limits and the classes are known.
#[must_use]
pub fn starter(answers: &Answers) -> String {
    let us = answers.system == System::Us;
    let pick = |in_us: &'static str, in_si: &'static str| if us { in_us } else { in_si };
    let months: Vec<&str> = if us {
        vec![
            "30 degF", "33 degF", "42 degF", "53 degF", "63 degF", "72 degF", "76 degF", "75 degF",
            "67 degF", "55 degF", "44 degF", "34 degF",
        ]
    } else {
        vec![
            "-1 degC", "1 degC", "6 degC", "12 degC", "17 degC", "22 degC", "24 degC", "24 degC",
            "19 degC", "13 degC", "7 degC", "1 degC",
        ]
    };
    let humidity = [
        "72 %", "69 %", "65 %", "62 %", "66 %", "68 %", "70 %", "72 %", "72 %", "69 %", "71 %",
        "73 %",
    ];
    let fan =
        json!({ "fan": { "class": answers.fan_class, "count": 4, "price_per_day": "15 $/day" } });
    let heater = json!({ "heater": {
        "class": answers.heater_class, "thermostat": { "setpoint": pick("75 degF", "24 degC") }, "price_per_day": "60 $/day"
    } });
    let dehumidifier = json!({ "dehumidifier": { "class": answers.dehumidifier_class, "count": 2, "price_per_day": "45 $/day" } });
    let mut top: Vec<(&str, Value)> = vec![
        ("name", json!(answers.name)),
        (
            "note",
            json!(
                "Starter: the weather, prices and setups are invented. Replace the weather first, then the gear by what is on hand, then the prices."
            ),
        ),
        (
            "site",
            json!({ "elevation": pick("500 ft", "150 m"), "weather": { "by_month": { "mean_temperature": months, "relative_humidity": humidity } } }),
        ),
        (
            "slab",
            json!({
                "area": answers.area, "thickness": answers.thickness, "placed": answers.placed, "water_cement_ratio": 0.5,
                "curing": { "wet": { "lasts": "7 days" } }, "finish": "steel_trowelled", "underside": { "vapour_retarder": {} }
            }),
        ),
        (
            "room",
            json!({ "height": answers.height, "air_changes_per_hour": 0.5 }),
        ),
        ("gear_on", json!(answers.gear_on)),
    ];
    if let Some(needed_by) = answers.needed_by {
        top.push(("needed_by", json!(needed_by)));
        // The default search may end before a late date.
        if answers
            .gear_on
            .checked_add(365.days())
            .is_ok_and(|end| needed_by > end)
        {
            top.push(("give_up_after", json!("1825 days")));
        }
    }
    top.push((
        "targets",
        json!([{ "relative_humidity_at_depth": { "limit": "85 %" } }]),
    ));
    top.push(("prices", json!({ "electricity": "0.15 $/kWh", "propane": pick("2.8 $/gal", "0.1 $/kWh"), "day_of_delay": "500 $/day" })));
    top.push((
        "setups",
        json!([
            { "name": "Nothing", "note": "The room left to itself, to compare with.", "gear": [] },
            { "name": "Heat and fans", "gear": [heater, fan] },
            { "name": "Heat, fans and dehumidifiers", "gear": [heater, fan, dehumidifier] }
        ]),
    ));
    let body: Vec<String> = top
        .into_iter()
        .map(|(key, value)| {
            let text = format!("{value:#}").replace('\n', "\n  ");
            format!("  {}: {text}", json!(key))
        })
        .collect();
    format!("{{\n{}\n}}\n", body.join(",\n"))
}
