//! Malformed surveys: all faults with their places, nothing lost.

use coatday::results::Answer;
use coatday::results::prep::PreparedFloor;
use coatday::scenario::{self, read_findings};
use coatday::units::System;
use serde_json::{Value, json};

use super::{faults, hall, prepared, read, with_walk};

/// The table of a hall, read; the faults as line, column, message.
fn table(text: &str) -> Result<usize, Vec<(usize, usize, String)>> {
    let scenario = read(&with_walk(&hall(&json!([]))));
    let walk = scenario.walk.unwrap();
    read_findings(text.as_bytes(), "findings.csv", &walk, 0.15)
        .map(|found| found.len())
        .map_err(|faults| {
            faults
                .faults
                .iter()
                .map(|f| (f.line, f.column, f.message.clone()))
                .collect()
        })
}

#[track_caller]
fn has(faults: &[(String, String)], path: &str, part: &str) {
    assert!(
        faults.iter().any(|(p, m)| p == path && m.contains(part)),
        "{path}, {part}: {faults:#?}"
    );
}

#[test]
fn every_fault_of_a_bad_walk_at_once() {
    let found = faults(&json!({
        "areas": [
            {"name": "Hall", "substrate": "concrete", "size": "60 m2"},
            {"name": "Bridge", "substrate": "glass", "size": "10 m2"},
            {"name": "hall", "substrate": "metal"},
            {"name": "Bow", "substrate": {"wood": {"moisture_content": "9 %"}}, "outline": [
                {"x": "0 m", "y": "0 m"}, {"x": "2 m", "y": "2 m"}, {"x": "2 m", "y": "0 m"}, {"x": "0 m", "y": "2 m"}
            ]}
        ],
        "findings": [
            {"crack": {"area": "Hall", "length": "3 m", "width": "2 mm", "depth": "-20 mm"}},
            {"crack": {"area": "Hall", "length": "90 m", "width": "0.9 m", "depth": "20 mm"}},
            {"crack": {"area": "Hall", "length": "1 mm", "width": "2 mm", "depth": "20 mm"}},
            {"crack": {"area": "Hall", "length": "3 m", "width": "2 mm", "depth": "200 mm"}},
            {"crack": {"area": "Hal", "length": "3 m", "width": "2 mm", "depth": "20 mm"}},
            {"stain": {"area": "Hall", "size": "70 m2"}},
            {"rust": {"area": "Hall", "size": "1 m2"}},
            {"joint": {"area": "Hall", "length": "3 m", "width": "2 mm", "depth": "20 mm", "x": "1 m"}},
            {"hole": {"area": "Hall"}}
        ],
        "working_time": {"from": 16, "to": 8},
        "site": {"water": "not_allowed"},
        "wash": "power_wash",
        "materials": [{"material": "tape", "volume": "1 L"}, {"material": "tape", "length": "50 m"}],
        "work_rates": [{"work": "patching", "area": "2 m2"}],
        "wanted_profile": 12
    }));
    has(
        &found,
        "walk.areas[1].substrate",
        "\"glass\" is not a choice here",
    );
    has(&found, "walk.areas[2].name", "has this name too");
    has(
        &found,
        "walk.areas[2]",
        "\"size\" or \"outline\" is missing",
    );
    has(&found, "walk.areas[3].outline", "crosses itself");
    has(&found, "walk.findings[0].crack.depth", "too low");
    has(
        &found,
        "walk.findings[1].crack.width",
        "too wide for its area",
    );
    has(
        &found,
        "walk.findings[2].crack.width",
        "wider than it is long",
    );
    has(
        &found,
        "walk.findings[3].crack.depth",
        "deeper than the slab",
    );
    has(
        &found,
        "walk.findings[4].crack.area",
        "There is no area \"Hal\"",
    );
    has(
        &found,
        "walk.findings[5].stain.size",
        "larger than its area",
    );
    has(&found, "walk.findings[6].rust.area", "is not metal");
    has(&found, "walk.findings[7].joint.x", "without \"y\"");
    has(
        &found,
        "walk.findings[8].hole",
        "\"hole\" is not a choice here",
    );
    has(&found, "walk.working_time", "not after it begins");
    has(&found, "walk.wash", "needs water");
    has(&found, "walk.materials[0].volume", "not counted by volume");
    has(&found, "walk.materials[1].material", "is for \"tape\" too");
    has(&found, "walk.work_rates[0].area", "not counted by area");
    has(&found, "walk.work_rates[0]", "\"volume\" is missing");
    has(&found, "walk.wanted_profile", "too high");
    assert_eq!(found.len(), 20, "{found:#?}");
}

#[test]
fn areas_larger_than_the_slab() {
    let found = faults(&json!({
        "areas": [
            {"name": "One", "substrate": "concrete", "size": "80 m2"},
            {"name": "Two", "substrate": "concrete", "size": "80 m2"},
            {"name": "Three", "substrate": "metal", "size": "80 m2"}
        ]
    }));
    assert_eq!(found.len(), 1);
    has(&found, "walk.areas[1]", "add up to 160\u{a0}m2");
}

#[test]
fn a_table_of_findings() {
    let text = "\u{feff}Kind,Area,Length,Width,Depth,State,Note\r\n\
                # typed on site\r\n\
                crack,Hall,12 ft,1/8 in,1 in,still,\"by the door, \"\"left\"\"\"\r\n\
                \r\n\
                Joint,Hall,5 m,1/4\",25 mm,,\r\n,,,,,,\r\n";
    assert_eq!(table(text), Ok(2));
    let semicolons = "kind;area;length;width;depth\ncrack;Hall;12 ft;1/8 in;1 in\n";
    assert_eq!(table(semicolons), Ok(1));
    let tabs = "kind\tarea\tsize\tcount\tdepth\nbroken\tHall\t0.1 m2\t3\t20 mm\n";
    assert_eq!(table(tabs), Ok(1));
}

#[test]
fn every_fault_of_a_bad_table_at_once() {
    let text = "kind,area,length,width,depth,size\n\
                crack,Hall,3 m,2 mm,-20 mm,\n\
                crack,Hall,3 m 2 mm,20 mm\n\
                crack,Hall,190 m,0.9 m,20 mm,\n\
                crack,Yard,3 m,2 mm,20 mm,\n\
                dent,Hall,,,,1 m2\n\
                stain,Hall,1 m,,,1 m2\n\
                crack,Hall,3 m,2,20 mm,\n\
                crack,Hall,3 m,2 mm,20 mm,,,\n\
                ,Hall,3 m,2 mm,20 mm,\n\
                stain,Hall,,,,\"1 m2\n";
    let found = table(text).unwrap_err();
    let expected = [
        (2, 21, "too low"),
        (3, 21, "4 cells, but the first line names 6 columns"),
        (4, 18, "too wide for its area"),
        (5, 7, "There is no area \"Yard\""),
        (6, 1, "\"dent\" is not a choice here"),
        (7, 12, "\"length\" is not a key here"),
        (8, 16, "has no unit"),
        (9, 28, "8 cells, but the first line names only 6 columns"),
        (10, 1, "has no \"kind\""),
        (11, 15, "not closed on its line"),
    ];
    for (line, column, part) in expected {
        assert!(
            found
                .iter()
                .any(|(l, c, m)| (*l, *c) == (line, column) && m.contains(part)),
            "{line}:{column} {part}: {found:#?}"
        );
    }
}

#[test]
fn bad_heads_and_bytes() {
    let one = |text: &str| table(text).unwrap_err();
    assert!(one("")[0].2.contains("empty"));
    assert!(
        one("kind,area,lenght\n")[0]
            .2
            .contains("\"lenght\" is not a column")
    );
    assert!(one("kind,kind,area\n")[0].2.contains("twice"));
    assert!(
        one("length\n")
            .iter()
            .any(|f| f.2.contains("\"kind\" is missing"))
    );
    let scenario = read(&with_walk(&hall(&json!([]))));
    let walk = scenario.walk.unwrap();
    let faults = read_findings(&[b'k', 0xff], "t.csv", &walk, 0.1).unwrap_err();
    assert!(faults.to_string().contains("not UTF-8"));
    let large = vec![b'a'; 3_000_000];
    assert!(read_findings(&large, "t.csv", &walk, 0.1).is_err());
}

/// Every finding comes out with its number, in the order given, those of the table last.
#[test]
fn nothing_is_lost() {
    let mut list: Vec<Value> = Vec::new();
    for index in 0..300 {
        list.push(match index % 3 {
            0 => json!({"crack": {"area": "Hall", "length": "1 m", "width": "1 mm", "depth": "10 mm"}}),
            1 => json!({"note": {"area": "Hall", "note": format!("remark {index}")}}),
            _ => json!({"damp": {"area": "Hall"}}),
        });
    }
    let walk = hall(&json!(list));
    let scenario = read(&with_walk(&walk));
    let walk = scenario.walk.clone().unwrap();
    let table = read_findings(
        b"kind,area,size\nstain,Hall,2 m2\nstain,Hall,3 m2\n",
        "t.csv",
        &walk,
        0.15,
    )
    .unwrap();
    let p = coatday::preparation::prepare_floor(
        &scenario,
        &walk,
        &table,
        coatday::preparation::Depth::Tasks,
    )
    .unwrap();
    assert_eq!(p.survey.findings.len(), 302);
    for (index, finding) in p.survey.findings.iter().enumerate() {
        assert_eq!(finding.number, index + 1);
    }
    assert_eq!(p.survey.findings[1].note.as_deref(), Some("remark 1"));
    assert_eq!(p.survey.findings[301].what.kind(), "stain");
    super::near(p.judged.repairs[0].crack_length, 100.0);
    super::near(p.judged.repairs[0].degrease, 5.0);
    let weather = coatday::job::weather(&scenario, &|_| Err(String::new())).expect("weather");
    let job = coatday::job::Job::of(&scenario, weather.0);
    let floor = coatday::verdict::Floor {
        job: &job,
        prepared: Some(&p),
    };
    let verdict = floor.by_work(&p);
    let floor = PreparedFloor {
        name: "Hall",
        verdict,
        prepared: p,
        job: None,
        all_findings: false,
        notices: &[],
    };
    let object = serde_json::to_value(floor.data()).expect("an object");
    assert_eq!(object["findings"].as_array().unwrap().len(), 302);
}

/// What holds the coating, with the numbers of the findings.
#[test]
fn holds() {
    let p = prepared(&json!({
        "areas": [
            {"name": "Hall", "substrate": "concrete", "size": "90 m2"},
            {"name": "Ramp", "substrate": "metal", "size": "6 m2"},
            {"name": "Wet deck", "substrate": {"wood": {"moisture_content": "19 %"}}, "size": "6 m2"},
            {"name": "Deck", "substrate": {"wood": {}}, "size": "6 m2"}
        ],
        "findings": [
            {"crack": {"area": "Hall", "length": "1 m", "width": "1 mm", "depth": "10 mm", "state": "moving"}},
            {"crack": {"area": "Hall", "length": "1 m", "width": "1 mm", "depth": "10 mm", "state": "structural"}},
            {"damp": {"area": "Hall", "state": "salts"}},
            {"rust": {"area": "Ramp", "size": "1 m2", "state": "through"}},
            {"crack": {"area": "Ramp", "length": "1 m", "width": "1 mm", "depth": "3 mm"}},
            {"crack": {"area": "Hall", "length": "1 m", "width": "1 mm", "depth": "10 mm"}}
        ]
    }));
    let found: Vec<(String, Vec<usize>, Vec<String>)> = p
        .judged
        .holds
        .iter()
        .map(|h| (format!("{:?}", h.rule), h.findings.clone(), h.areas.clone()))
        .collect();
    let hold = |rule: &str, findings: &[usize], area: &str| {
        assert!(
            found.contains(&(rule.into(), findings.to_vec(), vec![area.into()])),
            "{rule}: {found:#?}"
        );
    };
    hold("MovingCrack", &[1], "Hall");
    hold("StructuralCrack", &[2], "Hall");
    hold("Damp", &[3], "Hall");
    hold("MetalFailing", &[4, 5], "Ramp");
    hold("WoodMoisture", &[], "Wet deck");
    hold("WoodNotMeasured", &[], "Deck");
    assert_eq!(found.len(), 6);
    // Only the still crack is filled.
    super::near(p.judged.repairs[0].crack_length, 1.0);
}

#[test]
fn every_rule_that_is_used_has_a_source() {
    use coatday::preparation::rules::RuleId;
    let p = prepared(&hall(&json!([
        {"crack": {"area": "Hall", "length": "1 m", "width": "1 mm", "depth": "10 mm"}},
        {"low_spot": {"area": "Hall", "size": "1 m2", "height": "10 mm"}},
        {"coating": {"area": "Hall", "size": "1 m2", "state": "sealer"}}
    ])));
    assert!(p.judged.rules.len() >= 5);
    for id in p.judged.rules.keys() {
        let rule = id.rule();
        for system in [System::Us, System::Si] {
            let said = rule.said();
            let said = said.of(system);
            assert!(said.ends_with('.') && !said.contains(['{', '|']), "{said}");
        }
        assert!(!rule.source.is_empty());
    }
    assert_eq!(RuleId::DewPoint.rule().source, "ISO 8502-4");
}

/// A quote that is forgotten in the middle ends with its line: the faults after it are told too.
#[test]
fn an_open_quote_takes_no_other_line() {
    let found = table(
        "kind,area,length,width,depth,size\n\
        stain,Hall,,,,1 m2\n\
        stain,\"Hall,,,,1 m2\n\
        stain,Yard,,,,1 m2\n\
        stain,Hall,,,,-1 m2\n",
    )
    .unwrap_err();
    let places: Vec<(usize, usize)> = found.iter().map(|(l, c, _)| (*l, *c)).collect();
    for place in [(3, 7), (4, 7), (5, 15)] {
        assert!(places.contains(&place), "{place:?}: {found:#?}");
    }
    assert!(found.iter().any(|f| f.2.contains("not closed on its line")));
}

/// What is understood says every default, and the walk survives being written and read again.
#[test]
fn echo_and_round_trip() {
    let scenario = read(&with_walk(&hall(&json!([]))));
    let lines = scenario::understood(&scenario);
    for label in [
        "walk: area: Hall",
        "walk: surface profile wanted (CSP)",
        "walk: working time: from",
        "walk: people in a crew",
        "walk: water left by washing",
        "walk: labor",
    ] {
        assert!(lines.iter().any(|l| l.label == label), "{label}");
    }
    let again = read(&serde_json::to_value(&scenario).unwrap());
    assert_eq!(again, scenario);
}
