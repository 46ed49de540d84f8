//! Which methods fit, and why not.

use coatday::preparation::methods::{METHODS, facts};
use coatday::scenario::model::Method;
use coatday::units::System;
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

fn said(p: &coatday::preparation::Prepared) -> String {
    let notes = coatday::results::prep::notes(p, p.currency, System::Si);
    crate::plain(notes.join("\n"))
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
        ["vacuum grinding", "shot blasting"],
        "both work through a sealer"
    );
}

/// The etch fits where no dust is allowed, but the repairs make some: said.
#[test]
fn dust_of_repairs() {
    let mut walk = hall(&json!([]));
    walk["site"] = json!({"dust": "none"});
    let notes = |walk: &Value| said(&prepared(walk));
    assert!(!notes(&walk).contains("No dust is allowed"));
    walk["findings"] = json!([{"broken": {"area": "Hall", "size": "1 m2", "depth": "10 mm"}}]);
    assert!(notes(&walk).contains("No dust is allowed here, but squaring patches"));
}

/// Cautions follow the work: old layers that a machine takes off, sanding, brushing, solvents; none where nothing of the kind is done.
#[test]
fn cautions_follow_the_work() {
    let said = |walk: &Value| prepared(walk).cautions.join("\n");
    let mut bare = hall(&json!([]));
    bare["method"] = json!("vacuum_grinding");
    let text = said(&bare);
    assert!(text.contains("silica") && text.contains("Power tools"));
    for absent in ["lead", "Etch", "Strippers", "electricity"] {
        assert!(!text.contains(absent), "{absent}: {text}");
    }
    let mut painted = bare.clone();
    painted["findings"] = json!([{"coating": {"area": "Hall", "size": "20 m2", "state": "paint"}}]);
    let text = said(&painted);
    assert_eq!(text.matches("lead or asbestos").count(), 1, "{text}");
    let mut etched = hall(&json!([]));
    etched["method"] = json!("chemical_etch");
    let text = said(&etched);
    assert!(text.contains("Etch chemicals") && text.contains("electricity"));
    assert!(!text.contains("silica"));
    for substrate in [json!("metal"), json!({"wood": {"moisture_content": "9 %"}})] {
        let text = said(&json!({
            "areas": [{"name": "Ramp", "substrate": substrate, "size": "10 m2"}]
        }));
        for words in ["lead or asbestos", "Power tools", "protect eyes"] {
            assert!(text.contains(words), "{words}: {text}");
        }
        assert_eq!(text.contains("Strippers"), substrate == "metal");
    }
}

/// Nothing fits: the calendar goes on without a profile and says so.
#[test]
fn nothing_fits() {
    let mut walk = hall(&json!([]));
    walk["wanted_profile"] = json!(9);
    let p = prepared(&walk);
    assert!(p.way.method.is_none());
    let notes = said(&p);
    assert!(
        notes.contains("No method gives the wanted profile"),
        "{notes}"
    );
}

/// A method that does not fit is used when it is named, and the table says so.
#[test]
fn named_although_it_does_not_fit() {
    let mut walk = hall(&json!([]));
    walk["wanted_profile"] = json!(3);
    walk["method"] = json!("chemical_etch");
    let p = prepared(&walk);
    assert_eq!(p.way.method.map(|m| m.method), Some(Method::ChemicalEtch));
    let table = coatday::results::prep::methods(&p, p.currency, System::Si).text(140, false);
    assert!(table.contains("NO, but chosen"), "{table}");
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
    // Nothing waits between wet works; the wait until the face is dry comes behind the last of them.
    let mut walk = hall(&json!([
        {"stain": {"area": "Hall", "size": "1 m2", "state": "oil"}},
        {"crack": {"area": "Hall", "length": "3 m", "width": "2 mm", "depth": "20 mm"}}
    ]));
    walk["method"] = json!("chemical_etch");
    walk["wash"] = json!("power_wash");
    let p = prepared(&walk);
    let waits: Vec<f64> = p.way.tasks.steps[..5]
        .iter()
        .map(|s| s.after.iter().map(|(_, wait)| wait / 3600.0).sum())
        .collect();
    let names: Vec<&str> = p.way.tasks.tasks[..5]
        .iter()
        .map(|t| t.name.as_str())
        .collect();
    assert_eq!(
        names,
        [
            "Mask walls and goods",
            "Degrease stains and rinse",
            "Power wash",
            "Etch, neutralize and rinse",
            "Fill cracks"
        ]
    );
    assert_eq!(waits, [0.0, 0.0, 0.0, 0.0, 24.0]);
    let late = |task| place("vacuum_grinding", "wash_last", task);
    assert!(late("Grind with vacuum") < late("Power wash"));
    assert!(late("Power wash") < late("Vacuum"));
}
