//! A first scenario from a few answers.

use jiff::ToSpan;
use jiff::civil::Date;
use serde_json::{Map, Value, json};

use super::answers::{Heating, MACHINE_KINDS, Machines, MixAnswer};
use super::model::{Construction, Room, Scenario, Target, Underside};
use crate::units::format::{counted, echoed, short_date};
use crate::units::{Area, HOUR, Length, Power, System};
use crate::weather::places;

/// What `coatday new` takes from its options.
#[derive(Clone, Debug, PartialEq)]
pub struct Answers {
    /// A name for the job.
    pub name: String,
    /// Where it is, as `site.weather.place`; `None` for invented weather.
    pub place: Option<String>,
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

/// The text of a valid scenario: the answers, invented weather unless there is a place, and three setups, with notes on what to change first.
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
    let fan = json!({ "fan": { "class": answers.fan_class, "count": 4, "rent": ["15 $/day"] } });
    let heater = json!({ "heater": {
        "class": answers.heater_class, "thermostat": { "setpoint": pick("75 degF", "24 degC") }, "rent": ["60 $/day"]
    } });
    let dehumidifier = json!({ "dehumidifier": { "class": answers.dehumidifier_class, "count": 2, "rent": ["45 $/day"] } });
    let (site, note) = match &answers.place {
        Some(place) => (
            json!({ "weather": { "place": place } }),
            "Starter: the prices and setups are invented. Put in the gear you have on hand, then your prices.",
        ),
        None => (
            json!({ "elevation": pick("500 ft", "150 m"), "weather": { "by_month": { "mean_temperature": months, "relative_humidity": humidity } } }),
            "Starter: the weather, prices and setups are invented. Put in your weather first, then the gear you have on hand, then your prices.",
        ),
    };
    let mut top: Vec<(&str, Value)> = vec![
        ("name", json!(answers.name)),
        ("note", json!(note)),
        ("site", site),
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
        if is_late(answers.gear_on, needed_by) {
            top.push(("give_up_after", json!(LONG_SEARCH)));
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

/// How long to look where the default search may end before the date.
const LONG_SEARCH: &str = "1825 days";

fn is_late(gear_on: Date, needed_by: Date) -> bool {
    let end = gear_on.checked_add(365.days());
    end.is_ok_and(|end| needed_by > end)
}

/// What the questions of `coatday new` found. `None` is "don't know": its key stays out of the scenario.
#[derive(Clone, Debug, PartialEq)]
pub struct Known {
    /// Where the job is, as `site.weather.place`.
    pub place: String,
    /// Floor area.
    pub area: Area,
    /// Slab thickness.
    pub thickness: Length,
    /// The day of the pour.
    pub placed: Date,
    /// The day drying starts.
    pub gear_on: Date,
    /// The mix.
    pub mix: Option<MixAnswer>,
    /// What is under the slab.
    pub underside: Option<Underside>,
    /// How far the building is closed.
    pub construction: Option<Construction>,
    /// Whether it is heated.
    pub heating: Option<Heating>,
    /// The day on which the floor must be ready.
    pub needed_by: Option<Date>,
    /// The limits of the coating.
    pub targets: Option<Vec<Target>>,
    /// The gear on hand; an empty list is none.
    pub gear: Option<Vec<Machines>>,
    /// Units for what is filled in.
    pub system: System,
}

/// Gear of the example setups where nobody knows what is on hand: so many of a kind.
const EXAMPLE_GEAR: [(u32, &str); 3] = [(1, "electric heater"), (4, "fan"), (2, "dehumidifier")];
/// Heat capacity of air per volume, J/(m3 K), at 20 degC and sea level.
const AIR_HEAT: f64 = 1206.0;
/// The building's own heat is sized to a whole multiple of this, W.
const HEAT_STEP: f64 = 5000.0;

/// The text of a scenario made of what is known, and what was taken that no question asked.
///
/// # Errors
/// A sentence, if what is known makes no scenario.
pub fn written(known: &Known) -> Result<(String, Vec<String>), String> {
    let us = known.system == System::Us;
    let height = if us { "12 ft" } else { "3.6 m" };
    let mut taken = vec![
        format!("clear height {height}"),
        format!(
            "the gear goes on {}",
            short_date(known.gear_on, known.system)
        ),
    ];
    let mut slab = Map::new();
    slab.insert("area".into(), json!(known.area));
    slab.insert("thickness".into(), json!(known.thickness));
    slab.insert("placed".into(), json!(known.placed));
    match known.mix {
        Some(MixAnswer::Ratio(ratio)) => slab.insert("water_cement_ratio".into(), json!(ratio)),
        Some(MixAnswer::Strength(strength)) => slab.insert("strength".into(), json!(strength)),
        None => None,
    };
    if let Some(underside) = &known.underside {
        slab.insert("underside".into(), json!(underside));
    }
    let mut room = json!({ "height": height });
    if let Some(construction) = known.construction {
        room["construction"] = json!(construction);
    }
    let mut always = Vec::new();
    if let Some(Heating::Held(setpoint)) = known.heating {
        let read: Room = serde_json::from_value(room.clone()).map_err(|e| e.to_string())?;
        let heat = Power::from_si(building_heat(known, &read, setpoint.si())?);
        let heat = format!("{} kW", crate::units::format::number(heat.si() / 1e3, 0));
        always.push(json!({ "heater": {
            "kind": "indirect_fired", "fuel": "natural_gas", "output": heat, "thermostat": { "setpoint": setpoint }
        } }));
        taken.push(format!(
            "the building's own gas heat of {heat}, enough for {} in the coldest month",
            echoed(&setpoint.to_string())
        ));
    }
    let mut scenario = json!({
        "name": format!("Floor in {}", known.place),
        "site": { "weather": { "place": known.place } },
        "slab": slab,
        "room": room,
        "gear_on": known.gear_on,
        "setups": setups(known, &always, &mut taken),
    });
    if let Some(needed_by) = known.needed_by {
        scenario["needed_by"] = json!(needed_by);
        if is_late(known.gear_on, needed_by) {
            scenario["give_up_after"] = json!(LONG_SEARCH);
        }
    }
    if let Some(targets) = &known.targets {
        scenario["targets"] = json!(targets);
    }
    scenario["note"] = json!(format!(
        "Written by coatday new. Assumed without asking: {}.",
        taken.join("; ")
    ));
    // The model puts the keys into reading order.
    let scenario: Scenario = serde_json::from_value(scenario).map_err(|e| e.to_string())?;
    let text = serde_json::to_string_pretty(&scenario).map_err(|e| e.to_string())?;
    Ok((text + "\n", taken))
}

/// Heat that holds the building at a temperature in the coldest month of its place, W.
fn building_heat(known: &Known, room: &Room, setpoint: f64) -> Result<f64, String> {
    let place = places::find(&known.place)
        .map_err(|fault| fault.to_string())?
        .place;
    let normals = &place.normals;
    let coldest = normals.temperature.iter().zip(&normals.daily_swing);
    let coldest = coldest
        .map(|(mean, swing)| mean - swing / 2.0)
        .fold(f64::INFINITY, f64::min);
    let area = known.area.si();
    let leakage = room.air_changes_per_hour() / HOUR * area * room.height.si() * AIR_HEAT;
    let loss = (room.heat_loss(area) + leakage) * (setpoint - coldest).max(0.0);
    Ok((loss / HEAT_STEP).ceil().max(1.0) * HEAT_STEP)
}

/// The setups to compare: the room left to itself, the gear on hand, and that gear without its dehumidifiers.
fn setups(known: &Known, always: &[Value], taken: &mut Vec<String>) -> Vec<Value> {
    let heat = if known.system == System::Us {
        "75 degF"
    } else {
        "24 degC"
    };
    let examples = || {
        let named = |name: &str| MACHINE_KINDS.iter().find(|kind| kind.name == name);
        let examples = EXAMPLE_GEAR.iter();
        examples
            .filter_map(|(count, name)| {
                Some(Machines {
                    count: *count,
                    kind: named(name)?,
                })
            })
            .collect()
    };
    let gear = known.gear.clone().unwrap_or_else(examples);
    for machines in &gear {
        let name = machines.kind.class;
        let class = crate::gear::classes::catalogue().find(|class| class.name == name);
        let label = class.map(|class| class.label());
        let size = label.as_ref().map_or(name, |label| label.of(known.system));
        let what = counted(machines.count, machines.kind.name);
        taken.push(match known.gear {
            Some(_) => format!("{what} of this size: {size}"),
            None => format!("{what} as an example: {size}"),
        });
    }
    let machine = |machines: &Machines| {
        let mut keys = json!({ "class": machines.kind.class, "count": machines.count });
        if machines.kind.key == "heater" {
            keys["thermostat"] = json!({ "setpoint": heat });
        }
        let mut entry = Map::new();
        entry.insert(machines.kind.key.into(), keys);
        Value::Object(entry)
    };
    let dries = |machines: &&Machines| matches!(machines.kind.key, "dehumidifier" | "desiccant");
    let setup = |name: &str, gear: Vec<Value>| {
        let gear = [always, &gear].concat();
        json!({ "name": name, "gear": gear })
    };
    let mut setups = vec![setup("No gear", Vec::new())];
    let dry = gear.iter().filter(dries).count();
    if dry > 0 && dry < gear.len() {
        let others = gear.iter().filter(|machines| !dries(machines));
        setups.push(setup(
            "Without dehumidifiers",
            others.map(machine).collect(),
        ));
    }
    if !gear.is_empty() {
        let name = if known.gear.is_some() {
            "Gear on hand"
        } else {
            "Example gear"
        };
        setups.push(setup(name, gear.iter().map(machine).collect()));
    }
    setups
}
