//! Which readings count, and what the rules of the coating day say of them.

use super::{floor, morning, scenario, typed};
use coatday::coating_day::{Rule, Says, Tested, coating_day};
use coatday::moisture_log::{Judged, Status, floor_tests, judge, read_log};
use coatday::scenario::Scenario;
use coatday::units::System;
use jiff::civil::date;
use serde_json::{Value, json};

const HEADER: &str = "time,place,method,depth,value,standard_deviation,slab_temperature,air_temperature,air_relative_humidity,exposure,conditioned,ground_side,dish_area,concrete,note";
/// A probe as the standard wants it: 40 % of 100 mm, 24 h in the hole, 48 h at service conditions.
const PROBE: &str = "2026-11-20 08:30,A,probe,40 mm,82 %,,13 degC,18 degC,50 %,24 h,48 h,,,,";
/// A dish as the standard wants it.
const DISH: &str = "2026-11-20 08:30,A,dish,,2.8 lb/1000 ft2/24 h,,13 degC,20 degC,50 %,60 h,48 h,20 in,,normal_weight,";

fn judged(rows: &str, scenario: &Scenario) -> Vec<Judged> {
    let log = read_log(
        "log.csv",
        format!("{HEADER}\n{rows}\n").as_bytes(),
        scenario.slab.placed,
    );
    if let Some(faults) = log.faults {
        panic!("{faults}");
    }
    judge(&log.readings, scenario, morning())
}

/// Why a single row does not count; empty if it does. Whether its value is of use all the same.
fn why(row: &str, scenario: &Scenario) -> (String, bool) {
    let judged = judged(row, scenario).remove(0);
    let text = match &judged.status {
        Status::Counts => String::new(),
        Status::DoesNotCount(all) => all
            .iter()
            .map(|s| crate::plain(s.why.of(System::Si)))
            .collect::<Vec<_>>()
            .join(" "),
    };
    (text, judged.informs())
}

/// Sources beside the rules in `src/site/judge.rs`: ASTM F2170, F1869, D4263.
#[test]
fn regress_each_rule_of_the_standards() {
    let plain = scenario(&floor());
    for row in [
        PROBE.to_owned(),
        DISH.to_owned(),
        DISH.replace("60 h", "72 h"),
        PROBE.replace("40 mm", "43 mm"),
        "2026-11-20 08:30,A,plastic_sheet,,dry,,,,,16 h,,,,,".to_owned(),
        // Without service conditions the air may be at 65 to 85 degF and 40 to 60 %.
        DISH.replace("48 h", ""),
        DISH.replace("48 h", "").replace("20 degC", "65 degF"),
    ] {
        assert_eq!(why(&row, &plain).0, "", "{row}");
    }
    for (row, part, informs) in [
        (
            PROBE.replace("24 h", "23 h"),
            "Only 23 h in the hole. It must be at least 24 h (ASTM F2170)",
            false,
        ),
        (
            PROBE.replace("24 h", ""),
            "The time in the hole is missing",
            false,
        ),
        (
            PROBE.replace("40 mm", "30 mm"),
            "The depth is 30 mm. It must be 40 mm",
            true,
        ),
        (PROBE.replace("40 mm", ""), "The depth is missing", false),
        (
            PROBE.replace("40 mm", "120 mm"),
            "is more than the slab of",
            false,
        ),
        (
            PROBE.replace("48 h", "47 h"),
            "At service conditions for only 47 h. It must be 48 h",
            true,
        ),
        (
            PROBE.replace("11-20", "10-02"),
            "The building was enclosed on 1 Oct 2026, less than 48 h before",
            true,
        ),
        (
            PROBE.replace("11-20", "11-26"),
            "Its time is after 25 Nov 2026",
            false,
        ),
        (
            DISH.replace("60 h", "59 h"),
            "Exposed for 59 h. It must be 60 to 72 h",
            false,
        ),
        (DISH.replace("60 h", "73 h"), "Exposed for 73 h", false),
        (
            DISH.replace("normal_weight", "lightweight"),
            "not for lightweight concrete",
            false,
        ),
        (
            DISH.replace("20 in", "12 in"),
            "Ground over a square of 305 mm",
            false,
        ),
        (
            DISH.replace("48 h", "").replace("20 degC", "64 degF"),
            "outside 18 to 29 °C and 40 to 60 %",
            true,
        ),
        (
            DISH.replace("48 h", "").replace("50 %", "65 %"),
            "outside 18 to 29 °C and 40 to 60 %",
            true,
        ),
        (
            "2026-11-20 08:30,A,plastic_sheet,,dry,,,,,15 h,,,,,".into(),
            "It must be at least 16 h (ASTM D4263)",
            false,
        ),
        (
            "2026-11-20 08:30,A,mass_percent,,4.1 %,,,,,,,,,,".into(),
            "No target",
            true,
        ),
    ] {
        let (text, of_use) = why(&row, &plain);
        assert!(text.contains(part), "{row}: {text}");
        assert_eq!(of_use, informs, "{row}");
    }
    // A sheet shows presence and never an amount.
    assert!(
        !why(
            "2026-11-20 08:30,A,plastic_sheet,,dry,,,,,16 h,,,,,",
            &plain
        )
        .1
    );
    let twice = judged(&format!("{PROBE}\n{PROBE}"), &plain);
    assert!(twice[0].counts() && !twice[1].counts());
}

#[test]
fn regress_rules_that_depend_on_the_floor() {
    // Before the 2018 revision of F2170 the probe stood for 72 h.
    let mut old = floor();
    old["slab"]["placed"] = json!("2016-09-01");
    old["gear_on"] = json!("2016-10-01");
    let old = scenario(&old);
    assert!(
        why(&PROBE.replace("2026", "2016"), &old)
            .0
            .contains("It must be at least 72 h (ASTM F2170 before the 2018 revision)")
    );
    assert_eq!(
        why(&PROBE.replace("2026", "2016").replace("24 h", "72 h"), &old).0,
        ""
    );
    let mut sheet = floor();
    sheet["coating"] = json!({"probe_time_in_hole": "72 h"});
    assert!(
        why(PROBE, &scenario(&sheet))
            .0
            .contains("72 h (the scenario's \"coating\")")
    );
    // From two sides: 20 % of the thickness.
    let mut deck = floor();
    deck["slab"]["underside"] =
        json!({"open_air": {"temperature": "15 degC", "relative_humidity": "60 %"}});
    let deck = scenario(&deck);
    assert!(
        why(PROBE, &deck)
            .0
            .contains("It must be 20 mm (20 % of the thickness")
    );
    assert_eq!(why(&PROBE.replace("40 mm", "20 mm"), &deck).0, "");
    // Lightweight aggregate of the slab; a target in mass per cent; a sheet that a target wants.
    let mut light = floor();
    light["slab"]["aggregate"] = json!("lightweight");
    let dish = DISH.replace("normal_weight", "");
    assert!(
        why(&dish, &scenario(&light))
            .0
            .contains("not for lightweight concrete")
    );
    light["targets"] =
        json!([{"mass_percent": {"limit": "4 %"}}, {"plastic_sheet": {"lasts": "24 h"}}]);
    let light = scenario(&light);
    let of_mass = judged("2026-11-20 08:30,A,mass_percent,,4.1 %,,,,,,,,,,", &light).remove(0);
    assert!(of_mass.counts() && of_mass.meets() == Some(false));
    let sheet = "2026-11-20 08:30,A,plastic_sheet,,dry,,,,,16 h,,,,,";
    assert!(why(sheet, &light).0.contains("It must be at least 24 h"));
    let tests = floor_tests(&judged(&sheet.replace("16 h", "24 h"), &light), &light);
    assert!(
        tests
            .iter()
            .any(|t| t.wanted && t.needed == 2 && t.places.len() == 1)
    );
    // Water on the floor after the reading, but not water that is still to come.
    let mut wet = floor();
    wet["slab"]["wettings"] = json!([{"date": "2026-11-22", "kind": "washing", "lasts": "2 h"}]);
    assert!(
        why(PROBE, &scenario(&wet))
            .0
            .contains("The floor got wet on 22 Nov 2026")
    );
    wet["slab"]["wettings"][0]["date"] = json!("2026-12-22");
    assert_eq!(why(PROBE, &scenario(&wet)).0, "");
    // Water that stands on the floor at the time of the reading, whenever it came; not water that is gone.
    wet["slab"]["wettings"][0] =
        json!({"date": "2026-11-16", "kind": "washing", "lasts": "5 days"});
    let (text, of_use) = why(PROBE, &scenario(&wet));
    assert!(
        text.contains("kept wet from 16 Nov 2026 on, through the time of the reading"),
        "{text}"
    );
    assert!(of_use);
    wet["slab"]["wettings"][0]["lasts"] = json!("4 days");
    assert_eq!(why(PROBE, &scenario(&wet)).0, "");
}

fn rules(value: &Value, rows: &str) -> (Says, Vec<Rule>) {
    let scenario = scenario(value);
    let judged = judged(rows, &scenario);
    let tests = floor_tests(&judged, &scenario);
    let conditions = typed(18.0, 0.50, 16.0);
    let tested = Tested {
        tests: &tests,
        judged: &judged,
        unread_lines: 0,
    };
    let day = coating_day(&scenario, None, morning(), &conditions, tested, None);
    (day.says, day.rules)
}

fn rule<'a>(rules: &'a [Rule], name: &str) -> &'a Rule {
    rules
        .iter()
        .find(|rule| rule.name == name)
        .unwrap_or_else(|| panic!("{name}: {rules:#?}"))
}

fn three() -> String {
    ["A", "B", "C"]
        .map(|place| PROBE.replace(",A,", &format!(",{place},")))
        .join("\n")
}

#[test]
fn regress_tests_of_the_floor_decide() {
    const PROBES: &str = "tests: humidity probe";
    // 90 m2 is less than 1000 ft2: three places.
    let (verdict, all) = rules(&floor(), &three());
    assert_eq!(verdict, Says::Go, "{all:#?}");
    let (verdict, all) = rules(&floor(), PROBE);
    assert_eq!((verdict, rule(&all, PROBES).says), (Says::Wait, Says::Wait));
    assert!(crate::plain(rule(&all, PROBES).why.of(System::Si)).starts_with("1 of the 3 places"));
    // The worst place rules, and a later reading of a place takes the place of an earlier one.
    let (verdict, all) = rules(&floor(), &three().replacen("82 %", "86 %", 1));
    assert_eq!(verdict, Says::No);
    assert_eq!(
        rule(&all, PROBES).why.of(System::Si),
        "Above the limit at A."
    );
    let later = three().replacen("82 %", "86 %", 1) + "\n" + &PROBE.replace("11-20", "11-24");
    assert_eq!(rules(&floor(), &later).0, Says::Go);
    // Old tests.
    let (verdict, all) = rules(&floor(), &three().replace("11-20", "10-20"));
    assert_eq!(verdict, Says::Wait);
    assert!(crate::plain(rule(&all, PROBES).why.of(System::Si)).contains("30 days is the most"));
    let mut patient = floor();
    patient["coating"] = json!({"test_validity": "60 days"});
    assert_eq!(
        rules(&patient, &three().replace("11-20", "10-20")).0,
        Says::Go
    );
    // A sheet grows as old as any other test, and its validity is the window's.
    let mut sheets = floor();
    let with_sheet = json!({"plastic_sheet": {}});
    sheets["targets"].as_array_mut().unwrap().push(with_sheet);
    let sheet = ["A", "B"]
        .map(|place| format!("2026-10-20 08:30,{place},plastic_sheet,,dry,,,,,16 h,,,,,"))
        .join("\n");
    let sheet = format!("{}\n{sheet}", three());
    let (verdict, all) = rules(&sheets, &sheet);
    assert_eq!(verdict, Says::Wait);
    assert!(
        crate::plain(rule(&all, "tests: plastic sheet").why.of(System::Si))
            .contains("30 days is the most")
    );
    assert_eq!(rules(&sheets, &sheet.replace("10-20", "11-20")).0, Says::Go);
    // What no test can show.
    let mut flux = floor();
    flux["targets"] = json!([{"surface_flux": {"limit": "15 g/m2/day"}}]);
    assert_eq!(rule(&rules(&flux, "").1, "surface flux").says, Says::Wait);
}

#[test]
fn regress_age_wetting_and_the_coatings_own_limits() {
    let mut young = floor();
    young["slab"]["placed"] = json!("2026-10-30");
    young["gear_on"] = json!("2026-11-10");
    let (verdict, all) = rules(&young, &three());
    let age = rule(&all, "age of the concrete");
    assert_eq!((verdict, age.says), (Says::Wait, Says::Wait));
    assert_eq!(age.source, "common practice, no published source");
    assert!(
        crate::plain(age.why.of(System::Si)).contains("2 days more"),
        "{:?}",
        age.why
    );
    young["coating"] = json!({"concrete_age": "26 days"});
    assert_eq!(rules(&young, &three()).0, Says::Go);

    let mut wet = floor();
    wet["slab"]["wettings"] =
        json!([{"date": "2026-11-24", "kind": "rain", "water_depth": "2 mm"}]);
    let fresh = three().replace("11-20", "11-25").replace("08:30", "07:00");
    let (_, all) = rules(&wet, &fresh);
    assert_eq!(rule(&all, "time since the last wetting").says, Says::Wait);
    wet["slab"]["wettings"][0]["date"] = json!("2026-11-23");
    assert_eq!(rules(&wet, &fresh).0, Says::Go);
    wet["slab"]["wettings"][0]["date"] = json!("2026-11-26");
    let (_, all) = rules(&wet, &fresh);
    assert_eq!(rule(&all, "no water while it cures").says, Says::Wait);

    for (key, value, name) in [
        ("lowest_temperature", "17 degC", "slab temperature now"),
        ("highest_temperature", "17 degC", "air temperature now"),
        (
            "highest_relative_humidity",
            "45 %",
            "air relative humidity now",
        ),
        ("dew_point_margin", "9 K", "dew-point spread now"),
    ] {
        let mut strict = floor();
        strict["coating"] = json!({ key: value });
        let (verdict, all) = rules(&strict, &three());
        assert_eq!(
            (verdict, rule(&all, name).says),
            (Says::No, Says::No),
            "{key}"
        );
        assert!(rule(&all, name).source.contains("the scenario's"), "{key}");
    }
    // A line that cannot be read may hold anything.
    let scenario = scenario(&floor());
    let tested = Tested {
        unread_lines: 1,
        ..Tested::default()
    };
    let day = coating_day(
        &scenario,
        None,
        date(2026, 11, 25).at(7, 0, 0, 0),
        &typed(18.0, 0.5, 16.0),
        tested,
        None,
    );
    assert_eq!(
        rule(&day.rules, "lines of the log that cannot be read").says,
        Says::Wait
    );
}
