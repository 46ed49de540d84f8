//! Which methods fit, and why not.

use coatday::prep::methods::{METHODS, facts};
use coatday::scenario::model::Method;
use serde_json::{Value, json};

use super::{hall, prepared};

/// Names of the methods that fit a hall with these changes.
fn fitting(change: impl Fn(&mut Value)) -> Vec<&'static str> {
    let mut walk = hall(&json!([]));
    change(&mut walk);
    prepared(&walk)
        .choices
        .iter()
        .filter(|c| c.against.is_empty())
        .map(|c| c.facts.name)
        .collect()
}

#[test]
fn what_fits() {
    let (grind, shot, scarify, etch) = (
        "vacuum grinding",
        "shot blasting",
        "scarifying",
        "chemical etch",
    );
    assert_eq!(fitting(|_| {}), [grind, shot, etch]);
    assert_eq!(fitting(|w| w["wanted_profile"] = json!(3)), [grind, shot]);
    assert_eq!(fitting(|w| w["wanted_profile"] = json!(6)), [shot]);
    assert_eq!(
        fitting(|w| {
            w["wanted_profile"] = json!(6);
            w["site"] = json!({"dust": "any"});
        }),
        [shot, scarify]
    );
    assert_eq!(fitting(|w| w["wanted_profile"] = json!(9)), [""; 0]);
    assert_eq!(fitting(|w| w["site"] = json!({"dust": "none"})), [etch]);
    assert_eq!(
        fitting(|w| w["site"] = json!({"ventilation": "poor"})),
        [grind, shot]
    );
    assert_eq!(
        fitting(|w| w["site"] = json!({"water": "not_allowed", "power": "5 kW"})),
        [grind]
    );
    assert_eq!(
        fitting(|w| w["areas"][0]["size"] = json!("10 m2")),
        [grind, etch]
    );
}

/// Shot blasting is not for removing an old coating, and acid reaches no concrete under one.
#[test]
fn old_coatings() {
    let coating =
        |state: &str| json!([{"coating": {"area": "Hall", "size": "20 m2", "state": state}}]);
    assert_eq!(
        fitting(|w| w["findings"] = coating("paint")),
        ["vacuum grinding"]
    );
    assert_eq!(
        fitting(|w| {
            w["findings"] = coating("paint");
            w["old_coating"] = json!("by_stripper");
        }),
        ["vacuum grinding", "shot blasting"]
    );
    assert_eq!(
        fitting(|w| w["findings"] = coating("sealer")),
        ["vacuum grinding"]
    );
}

/// Nothing fits: the calendar goes on without a profile and says so.
#[test]
fn nothing_fits() {
    let mut walk = hall(&json!([]));
    walk["wanted_profile"] = json!(9);
    let p = prepared(&walk);
    assert!(p.way.method.is_none());
    let notes = coatday::report::prepared::notes(&p).join("\n");
    assert!(notes.contains("No method fits"), "{notes}");
}

/// A method that does not fit is used when it is named, and the table says so.
#[test]
fn named_although_it_does_not_fit() {
    let mut walk = hall(&json!([]));
    walk["wanted_profile"] = json!(3);
    walk["method"] = json!("chemical_etch");
    let p = prepared(&walk);
    assert_eq!(p.way.method.map(|m| m.method), Some(Method::ChemicalEtch));
    let table = coatday::report::prepared::methods(&p).text(140, false);
    assert!(table.contains("NO, but named"), "{table}");
}

#[test]
fn every_method_has_its_row() {
    for row in &METHODS {
        assert_eq!(facts(row.method), row);
        assert!(row.profile.0 <= row.profile.1 && row.areas.0 < row.areas.1);
    }
}

/// Etching comes before patches, which acid would attack; machines come after them.
#[test]
fn order_of_the_work() {
    let findings = json!([
        {"broken": {"area": "Hall", "size": "1 m2", "depth": "10 mm"}},
        {"crack": {"area": "Hall", "length": "3 m", "width": "2 mm", "depth": "20 mm"}}
    ]);
    let place = |method: &str, wash: &str, task: &str| {
        let mut walk = hall(&findings);
        walk["method"] = json!(method);
        walk["wash"] = json!("power_wash");
        walk["order"] = json!(wash);
        let p = prepared(&walk);
        let names: Vec<String> = p.way.tasks.tasks.iter().map(|t| t.name.clone()).collect();
        names
            .iter()
            .position(|n| n.starts_with(task))
            .unwrap_or_else(|| panic!("{task}: {names:?}"))
    };
    let etch = |task| place("chemical_etch", "wash_first", task);
    assert!(etch("Power wash") < etch("Etch") && etch("Etch") < etch("Patch, layer 1"));
    let grind = |task| place("vacuum_grinding", "wash_first", task);
    assert!(grind("Power wash") < grind("Patch, layer 1"));
    assert!(grind("Patch, layer 2") < grind("Grind with vacuum"));
    assert!(
        grind("Fill cracks") < grind("Patch, layer 2"),
        "cracks are filled in the wait"
    );
    let late = |task| place("vacuum_grinding", "wash_last", task);
    assert!(late("Grind with vacuum") < late("Power wash"));
    assert!(late("Power wash") < late("Vacuum"));
}
