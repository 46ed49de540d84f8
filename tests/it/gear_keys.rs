//! Keys of a scenario that reach the machines and the room: each one arrives, and one without meaning is a fault with its place.

use coatday::evaluate::{Accuracy, compare};
use coatday::gear::Machine;
use coatday::gear::classes::catalogue;
use coatday::gear::controls::{Hours, HumiditySetpoint};
use coatday::gear::desiccant::{AirSource, RegenerationHeat};
use coatday::gear::exchange::{Direction, ExchangeRule, Flow};
use coatday::gear::fan::FloorSpeed;
use coatday::gear::fuel::Fuel;
use coatday::gear::opening::Path;
use coatday::gear::refrigerant::{CapacityMap, Defrost};
use coatday::job::{self, Job};
use coatday::scenario::{self, Scenario};
use coatday::units::{DAY, Kind, System, parse};
use serde_json::{Value, json};

fn text(room: &Value, gear: &Value) -> String {
    let mut all_of_room = json!({"height": "5 m"});
    if let (Some(all), Some(more)) = (all_of_room.as_object_mut(), room.as_object()) {
        all.extend(more.clone());
    }
    json!({
        "name": "Store",
        "site": {"weather": {"constant": {"temperature": "15 degC", "relative_humidity": "50 %"}}},
        "slab": {"area": "400 m2", "thickness": "100 mm", "placed": "2027-06-01"},
        "room": all_of_room,
        "gear_on": "2027-06-15",
        "setups": [{"name": "Only", "gear": gear}]
    })
    .to_string()
}

fn read(text: &str) -> Scenario {
    scenario::read(text, "store").unwrap_or_else(|faults| panic!("{faults}"))
}

fn job(room: &Value, gear: &Value) -> Job {
    let scenario = read(&text(room, gear));
    let (weather, _) = job::weather(&scenario, &|_| Err("no file".into())).expect("weather");
    Job::of(&scenario, weather)
}

fn machine(gear: &Value) -> Machine {
    job(&json!({}), &json!([gear])).setups[0].room.machines[0].machine
}

/// The places of all faults.
fn places(text: &str) -> Vec<String> {
    match scenario::read(text, "store") {
        Ok(_) => Vec::new(),
        Err(faults) => faults.faults.iter().map(|f| f.path.clone()).collect(),
    }
}

fn faults_of(gear: &Value) -> Vec<String> {
    places(&text(&json!({}), &json!([gear])))
}

#[test]
fn analytic_keys_of_dehumidifiers_arrive() {
    let Machine::Refrigerant(m) = machine(&json!({"dehumidifier": {
        "class": "refrigerant_large", "curve": "older_unit", "defrost": "hot_gas", "lowest_inlet": "2 degC", "highest_inlet": "35 degC",
        "hours": {"from": 6, "to": 18},
        "humidistat": {"dew_point": "6 degC", "dew_point_band": "1 K", "second_stage": {"dew_point_above": "3 K", "first_share": "40 %"}}
    }})) else {
        panic!("a refrigerant machine")
    };
    assert_eq!(m.map, CapacityMap::OlderUnit);
    assert_eq!(m.defrost, Defrost::HotGas);
    assert_eq!((m.lowest_inlet, m.highest_inlet), (2.0, 35.0));
    assert_eq!(
        m.control.hours,
        Some(Hours {
            from: 6.0,
            until: 18.0
        })
    );
    let h = m.control.humidistat.expect("a humidistat");
    assert_eq!(h.setpoint, HumiditySetpoint::DewPoint(6.0));
    assert_eq!(h.band, 1.0);
    let stage = h.second_stage.expect("two stages");
    assert_eq!((stage.offset, stage.first_share), (3.0, 0.4));
}

#[test]
fn analytic_keys_of_desiccants_arrive() {
    let Machine::Desiccant(m) = machine(&json!({"desiccant": {
        "class": "desiccant_4000_burner", "fuel": "natural_gas", "efficiency": "75 %", "face_velocity": "3 m/s",
        "process_air": "outside", "regeneration_air": "room", "process_fan_power": "2 kW", "regeneration_fan_power": "900 W",
        "electrical_power": "3.1 kW", "humidistat": {"setpoint": "30 %", "second_stage": {"above": "10 %"}}
    }})) else {
        panic!("a desiccant machine")
    };
    assert_eq!(
        m.regeneration_heat,
        RegenerationHeat::Burner {
            fuel: Fuel::NaturalGas,
            efficiency: 0.75
        }
    );
    assert_eq!(m.face_velocity, 3.0);
    assert_eq!(
        (m.process_air, m.regeneration_air),
        (AirSource::Outside, AirSource::Room)
    );
    assert_eq!(
        (m.process_fan_power, m.regeneration_fan_power, m.rated_power),
        (2000.0, 900.0, 3100.0)
    );
    let stage = m.control.humidistat.and_then(|h| h.second_stage);
    assert!(stage.is_some_and(|s| (s.offset - 0.1).abs() < 1e-12 && s.first_share == 0.5));
}

/// A desiccant's burner is charged at the price of its own fuel.
#[test]
fn analytic_desiccant_fuel_has_its_price() {
    let job = job(
        &json!({}),
        &json!([{"desiccant": {"class": "desiccant_4000_burner", "fuel": "natural_gas"}}]),
    );
    assert_eq!(
        job.setups[0].room.machines[0].machine.fuel(),
        Some(Fuel::NaturalGas)
    );
}

#[test]
fn analytic_keys_of_heaters_fans_and_exchanges_arrive() {
    let Machine::IndirectFired(m) = machine(&json!({"heater": {
        "class": "indirect_fired_50kw", "efficiency": "90 %", "duct_loss": "0 %", "air_flow": "3600 m3/h"
    }})) else {
        panic!("an indirect-fired heater")
    };
    // The output stays 50 kW; the fuel follows.
    assert!((m.fuel_power - 50_000.0 / 0.9).abs() < 1e-6);
    assert_eq!((m.duct_loss, m.outside_air_flow), (0.0, 1.0));
    let Machine::MakeUpAir(m) = machine(&json!({"heater": {
        "class": "make_up_air_100kw", "highest_discharge": "50 degC", "fuel": "natural_gas"
    }})) else {
        panic!("make-up air")
    };
    assert_eq!((m.highest_discharge, m.fuel), (50.0, Fuel::NaturalGas));
    let Machine::Fan(m) = machine(&json!({"fan": {
        "class": "fan_axial_large", "air_flow": "3600 m3/h", "outlet_area": "0.2 m2", "hours": {"from": 20, "to": 5}
    }})) else {
        panic!("a fan")
    };
    assert_eq!(
        m.floor_speed,
        FloorSpeed::Jet {
            flow: 1.0,
            outlet_area: 0.2
        }
    );
    let Machine::OutsideAirExchange(m) = machine(&json!({"outside_air": {
        "class": "outside_air_500", "drier_by": "2 g/kg", "direction": "in"
    }})) else {
        panic!("an exchange")
    };
    assert_eq!(m.rule, ExchangeRule::WhenOutsideDrier { margin: 2e-3 });
    assert_eq!(m.direction, Direction::Supply);
    let Machine::OutsideAirExchange(m) = machine(&json!({"outside_air": {
        "opening": {"area": "4 m2", "height": "3 m", "path": "through"}, "rule": "always"
    }})) else {
        panic!("an opening")
    };
    let Flow::Opening(o) = m.flow else {
        panic!("an opening")
    };
    assert_eq!((o.area, o.height, o.path), (4.0, 3.0, Path::Through));
}

/// A key without meaning for the kind of machine is a fault at its own place, whether the kind is given or follows from the class.
#[test]
fn analytic_keys_without_meaning_are_faults() {
    let at = |key: &str, sub: &str| vec![format!("setups[0].gear[0].{key}.{sub}")];
    for key in [
        "fuel",
        "efficiency",
        "electrical_power",
        "air_flow",
        "duct_loss",
        "highest_discharge",
    ] {
        let value = match key {
            "fuel" => "propane",
            "efficiency" | "duct_loss" => "50 %",
            "electrical_power" => "100 W",
            "air_flow" => "500 m3/h",
            _ => "60 degC",
        };
        for mut heater in [
            json!({"class": "electric_9kw"}),
            json!({"kind": "electric", "output": "9 kW"}),
        ] {
            heater[key] = json!(value);
            assert_eq!(
                faults_of(&json!({"heater": heater})),
                at("heater", key),
                "{key}"
            );
        }
    }
    for (gear, key, sub) in [
        (
            json!({"heater": {"class": "direct_fired_30kw", "efficiency": "80 %"}}),
            "heater",
            "efficiency",
        ),
        (
            json!({"heater": {"class": "direct_fired_30kw", "kind": "electric"}}),
            "heater",
            "kind",
        ),
        (
            json!({"heater": {"class": "make_up_air_100kw", "duct_loss": "8 %"}}),
            "heater",
            "duct_loss",
        ),
        (
            json!({"desiccant": {"class": "desiccant_400", "fuel": "propane"}}),
            "desiccant",
            "fuel",
        ),
        (
            json!({"fan": {"class": "fan_drum_small", "floor_air_speed": "1 m/s", "air_flow": "5000 m3/h"}}),
            "fan",
            "air_flow",
        ),
        (
            json!({"fan": {"class": "fan_drum_small", "hours": {"from": 3, "to": 3}}}),
            "fan",
            "hours",
        ),
        (
            json!({"outside_air": {"class": "outside_air_500", "rule": "always", "drier_by": "1 g/kg"}}),
            "outside_air",
            "drier_by",
        ),
        (
            json!({"outside_air": {"class": "outside_air_500", "opening": {"area": "1 m2", "height": "1 m"}}}),
            "outside_air",
            "class",
        ),
        (
            json!({"outside_air": {"opening": {"area": "1 m2", "height": "1 m"}, "fan_power": "80 W"}}),
            "outside_air",
            "fan_power",
        ),
        (
            json!({"outside_air": {"opening": {"area": "1 m2", "height": "1 m"}, "air_flow": "80 m3/h"}}),
            "outside_air",
            "opening",
        ),
        (
            json!({"dehumidifier": {"class": "low_grain_large", "humidistat": {"setpoint": "40 %", "dew_point": "5 degC"}}}),
            "dehumidifier",
            "humidistat.dew_point",
        ),
        (
            json!({"dehumidifier": {"class": "low_grain_large", "humidistat": {}}}),
            "dehumidifier",
            "humidistat",
        ),
        (
            json!({"dehumidifier": {"class": "low_grain_large", "humidistat": {"dew_point": "5 degC", "band": "5 %"}}}),
            "dehumidifier",
            "humidistat.band",
        ),
        (
            json!({"dehumidifier": {"class": "low_grain_large", "humidistat": {"setpoint": "40 %", "second_stage": {}}}}),
            "dehumidifier",
            "humidistat.second_stage",
        ),
        (
            json!({"fan": {"class": "fan_drum_small", "power": "2 MW"}}),
            "fan",
            "power",
        ),
    ] {
        assert_eq!(faults_of(&gear), at(key, sub), "{gear}");
    }
}

#[test]
fn analytic_room_keys_arrive() {
    let job = job(
        &json!({
            "construction": "sheeted_openings",
            "openings": [{"area": "2 m2", "height": "2 m"}],
            "wet_materials": [
                {"drying": {"note": "plaster", "water": "500 kg", "time_constant": "10 days"}},
                {"steady": {"rate": "20 kg/day", "lasts": "14 days", "from": "2027-06-20"}}
            ],
            "people": [{"count": 3, "work": "heavy", "hours": {"from": 8, "to": 12}, "until": "2027-07-01"}]
        }),
        &json!([{"fan": {"class": "fan_drum_small"}}]),
    );
    let room = &job.setups[0].room;
    assert_eq!(room.air_changes_per_hour, 2.0);
    // What stands open always costs no rent; a fan without a price does not count as free.
    assert_eq!(room.machines.len(), 2);
    assert!(room.machines[0].rental.priced());
    assert_eq!(room.machines[0].rental.rent(9.0), 0.0);
    assert!(!room.machines[1].rental.priced());
    assert!(matches!(
        room.machines[0].machine,
        Machine::OutsideAirExchange(_)
    ));
    assert_eq!(job.room.machines.len(), 1);
    assert_eq!(room.sources.len(), 3);
    assert_eq!(room.sources[1].present, (19.0 * DAY, 33.0 * DAY));
    assert_eq!(room.sources[2].present, (14.0 * DAY, 31.0 * DAY));
}

/// Tent and partition by hand: 100 m2 of 400 m2, 2 m and 5 m high.
#[test]
fn analytic_room_parts() {
    let none = json!([]);
    let base = job(
        &json!({"heat_loss": "800 W/K", "air_changes_per_hour": 0.5}),
        &none,
    );
    assert_eq!(base.setups[0].room.rest, None);
    let tent = job(
        &json!({"heat_loss": "800 W/K", "air_changes_per_hour": 0.5,
            "part": {"tent": {"area": "100 m2", "height": "2 m", "u_value": "5 W/(m2 K)", "air_changes_per_hour": 3, "rest_gives": "0 g/m2/day"}}}),
        &none,
    );
    let room = &tent.setups[0].room;
    let rest = room.rest.expect("a rest");
    assert_eq!(
        (room.area, room.volume, room.heat_loss),
        (100.0, 200.0, 0.0)
    );
    assert_eq!(tent.room.rest, None);
    let close = |a: f64, b: f64| assert!((a - b).abs() < 1e-9 * b.abs().max(1e-9), "{a} {b}");
    close(rest.exchange, 3.0 * 200.0 / 3600.0);
    close(rest.conductance, 5.0 * (100.0 + 4.0 * 10.0 * 2.0));
    close(rest.leakage, 0.5 * 1800.0 / 3600.0);
    close(rest.heat_loss, 800.0);
    close(rest.water, 0.0);
    let partition = job(
        &json!({"heat_loss": "800 W/K", "air_changes_per_hour": 0.5, "part": {"partition": {"area": "100 m2", "length": "12 m"}}}),
        &none,
    );
    let room = &partition.setups[0].room;
    let rest = room.rest.expect("a rest");
    close(room.volume, 500.0);
    close(room.heat_loss, 200.0);
    close(room.air_changes_per_hour, 0.5);
    close(rest.heat_loss, 600.0);
    close(rest.leakage, 0.5 * 1500.0 / 3600.0);
    close(rest.conductance, 4.0 * 12.0 * 5.0);
    // 5 lb/1000 ft2 in 24 h is 24.4 g/m2.
    assert!((rest.water * DAY / 300.0 - 24.4e-3).abs() < 1e-4);
}

#[test]
fn analytic_room_faults_have_their_place() {
    let none = json!([]);
    for (room, place) in [
        (
            json!({"construction": "closed_shell", "air_changes_per_hour": 1}),
            "room.air_changes_per_hour",
        ),
        (
            json!({"part": {"tent": {"area": "400 m2", "height": "2 m"}}}),
            "room.part.tent.area",
        ),
        (
            json!({"part": {"tent": {"area": "100 m2", "height": "6 m"}}}),
            "room.part.tent.height",
        ),
        (
            json!({"part": {"partition": {"area": "100 m2"}}, "openings": [{"area": "2 m2", "height": "2 m"}]}),
            "room.openings",
        ),
        (
            json!({"people": [{"count": 2, "hours": {"from": 7, "to": 7}}]}),
            "room.people[0].hours",
        ),
        (
            json!({"people": [{"count": 2, "until": "2027-06-14"}]}),
            "room.people[0].until",
        ),
        (
            json!({"wet_materials": [{"drying": {"water": "9 kg", "time_constant": "3 days", "from": "2026-01-01"}}]}),
            "room.wet_materials[0].drying.from",
        ),
    ] {
        assert_eq!(
            places(&text(&room, &none)),
            vec![place.to_owned()],
            "{room}"
        );
    }
}

/// Either end of what a room may hold is computed, with books that close.
#[test]
fn analytic_room_extremes_keep_their_books() {
    let heater = json!([{"heater": {"class": "electric_36kw", "count": 2}}]);
    for room in [
        json!({"wet_materials": [{"steady": {"rate": "20000 kg/day"}}, {"drying": {"water": "100000 kg", "time_constant": "1 days"}}]}),
        json!({"people": [{"count": 2000, "work": "heavy"}], "air_changes_per_hour": 0}),
        json!({"openings": [{"area": "500 m2", "height": "60 m", "path": "through"}, {"area": "500 m2", "height": "60 m"}]}),
        json!({"openings": [{"area": "0.01 m2", "height": "0.1 m", "path": "through"}], "air_changes_per_hour": 0}),
        json!({"part": {"tent": {"area": "1 m2", "height": "1.5 m", "air_changes_per_hour": 0}}, "air_changes_per_hour": 0}),
        json!({"part": {"tent": {"area": "399 m2", "height": "5 m", "air_changes_per_hour": 60, "rest_gives": "100 lb/1000 ft2/24 h"}}, "air_changes_per_hour": 0}),
        json!({"part": {"partition": {"area": "1 m2", "length": "1000 m", "rest_gives": "100 lb/1000 ft2/24 h"}}}),
        json!({"part": {"partition": {"area": "200 m2"}}, "construction": "partly_open"}),
    ] {
        let mut job = job(&room, &heater);
        job.give_up = job.gear_on + 10.0 * DAY;
        let compared = compare(&job, Accuracy::default());
        assert_eq!(compared.not_computed, [], "{room}");
        for o in compared.outcomes {
            assert!(
                o.water_balance_error.abs() < 1e-6 && o.heat_balance_error.abs() < 1e-6,
                "{room}: {:e} {:e}",
                o.water_balance_error,
                o.heat_balance_error
            );
        }
    }
}

/// A sentence about the last days names no more days than were looked at.
#[test]
fn analytic_the_last_days_are_those_looked_at() {
    let mut short = job(&json!({}), &json!([]));
    short.give_up = short.gear_on + 12.0 * DAY;
    let mut long = short.clone();
    long.give_up = long.gear_on + 45.0 * DAY;
    for (job, days) in [(short, "last 12 days"), (long, "last 30 days")] {
        let outcomes = compare(&job, Accuracy::default()).outcomes;
        let words = crate::plain(outcomes[0].not_dry.as_ref().expect("not dry").sentence());
        assert!(words.contains(days), "{words}");
    }
}

/// Keys that all machines share stand in an object that is taken in by each: the check of the file still knows all keys of a machine, and
/// no others.
#[test]
fn regress_unknown_keys_of_gear_are_refused_with_their_place() {
    for (kind, class) in [
        ("dehumidifier", "refrigerant_large"),
        ("desiccant", "desiccant_1000"),
        ("heater", "electric_5kw"),
        ("fan", "fan_axial_large"),
        ("outside_air", "outside_air_500"),
    ] {
        let shared = json!({"class": class, "count": 2, "rent": ["10 $/day"], "from": "2027-06-20", "until": "2027-07-20"});
        assert_eq!(faults_of(&json!({kind: shared})), [""; 0], "{kind}");
        let mut more = shared.clone();
        more["colour"] = json!("blue");
        let place = format!("setups[0].gear[0].{kind}.colour");
        assert_eq!(faults_of(&json!({kind: more})), [place]);
        let mut other = shared;
        other["class"] = json!("no_such_thing");
        let place = format!("setups[0].gear[0].{kind}.class");
        assert_eq!(faults_of(&json!({kind: other})), [place]);
    }
}

/// A class of one kind of machine is no class of another, and a clock for outside air is sent to the rule.
#[test]
fn regress_classes_keep_to_their_kind() {
    assert_eq!(
        faults_of(&json!({"fan": {"class": "electric_5kw"}})),
        ["setups[0].gear[0].fan.class"]
    );
    assert_eq!(
        faults_of(
            &json!({"outside_air": {"class": "outside_air_500", "hours": {"from": 7, "to": 18}}})
        ),
        ["setups[0].gear[0].outside_air.hours"]
    );
}

/// A label says the same size in both systems, and that of its machine. The trade's round sizes are up to 3 % off.
#[test]
fn analytic_labels_say_the_size_of_their_machine() {
    for class in catalogue() {
        let label = class.label();
        let size = |system| {
            let label = label.of(system);
            let parts = label.split_once(", ");
            parts.unwrap_or_else(|| panic!("{label}")).1.to_owned()
        };
        let (us, si) = (size(System::Us), size(System::Si));
        let kinds = [Kind::Power, Kind::WaterRate, Kind::AirFlow];
        let read = |text: &str| {
            let read = kinds.into_iter().find_map(|kind| parse(kind, text).ok());
            read.unwrap_or_else(|| panic!("{text}")).si()
        };
        let (us, si) = (read(&us), read(&si));
        let own = match class.machine {
            Machine::Refrigerant(m) => m.rated_removal,
            Machine::Desiccant(m) => m.process_flow,
            Machine::IndirectFired(m) => m.fuel_power * m.efficiency,
            Machine::DirectFired(m) => m.fuel_power,
            Machine::MakeUpAir(m) => m.fuel_power,
            Machine::Electric(m) => m.power,
            Machine::Fan(m) => match m.floor_speed {
                FloorSpeed::Jet { flow, .. } => flow,
                FloorSpeed::Given(_) => panic!("{}", class.name),
            },
            Machine::OutsideAirExchange(m) => match m.flow {
                Flow::Given(flow) => flow,
                Flow::Opening(_) => panic!("{}", class.name),
            },
            Machine::AssumedAir(_) => panic!("{}", class.name),
        };
        assert!((us / si - 1.0).abs() < 0.03, "{label:?}");
        assert!((own / si - 1.0).abs() < 0.005, "{label:?}: {own} {si}");
        // It can be typed back.
        let kind = match class.machine {
            Machine::Refrigerant(_) => "dehumidifier",
            Machine::Desiccant(_) => "desiccant",
            Machine::Fan(_) => "fan",
            Machine::OutsideAirExchange(_) => "outside_air",
            _ => "heater",
        };
        for system in [System::Us, System::Si] {
            let typed = read_of(&json!({ kind: { "class": label.of(system) } }));
            assert_eq!(typed, read_of(&json!({ kind: { "class": class.name } })));
        }
    }
}

fn read_of(gear: &Value) -> Scenario {
    read(&text(&json!({}), &json!([gear])))
}
