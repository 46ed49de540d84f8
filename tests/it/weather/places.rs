//! Weather of places: the table, who is meant by a name, what is nearest, what is said.

use approx::assert_relative_eq;
use coatday::weather::places::{
    ClimatePlace, DWD_ATTRIBUTION, FARTHEST, WIND_OF_PLACES, distance, find, places,
};
use coatday::weather::{MonthlyHumidity, Notice, place};
use coatday::{Answer, Sampling, System};
use rayon::prelude::*;
use serde_json::{Value, json};

use super::{moment, shown};

fn label(text: &str) -> String {
    find(text)
        .unwrap_or_else(|fault| panic!("{text}: {fault}"))
        .place
        .label()
}

fn refused(text: &str) -> String {
    find(text)
        .map(|found| found.place.label())
        .expect_err(text)
        .to_string()
}

/// Mean temperature of a month of the weather that the program makes, degC.
fn month_mean(town: &str, month: i8) -> f64 {
    let (reading, _) = place(town, None).unwrap_or_else(|faults| panic!("{}", shown(&faults)));
    let start = moment(2026, month, 1, 0);
    let end = start.checked_add(jiff::Span::new().months(1)).unwrap();
    let season = reading.season(start, end, None).unwrap();
    season.mean(0.0, season.duration()).temperature
}

/// Mean temperature of January and July, degF, 1991 to 2020: normals of the national weather services, recalled from memory before the table was
/// looked at, but for Chicago in January and Phoenix, Miami and London in July. London and Tokyo were recalled in degC.
const RECALLED: [(&str, f64, f64); 20] = [
    ("Tulsa, OK", 38.6, 83.1),
    ("Chicago, IL", 25.2, 75.1),
    ("New York, NY", 33.7, 77.5),
    ("Boston, MA", 29.9, 74.1),
    ("Philadelphia, PA", 33.7, 78.7),
    ("Washington, DC", 37.5, 81.0),
    ("Atlanta, GA", 44.8, 80.9),
    ("Miami, FL", 68.6, 84.1),
    ("Houston, TX", 53.8, 85.0),
    ("Dallas, TX", 46.3, 86.5),
    ("Denver, CO", 31.7, 74.9),
    ("Phoenix, AZ", 56.8, 95.5),
    ("Las Vegas, NV", 49.5, 93.5),
    ("Seattle, WA", 42.8, 67.4),
    ("Minneapolis, MN", 16.2, 74.4),
    ("St. Louis, MO", 32.1, 80.0),
    ("New Orleans, LA", 54.3, 83.7),
    ("Salt Lake City, UT", 31.4, 81.2),
    ("London, England", 42.0, 66.3),
    ("Tokyo, Japan", 41.7, 78.3),
];
/// Set before the comparison, K: other years and sometimes another station.
const RECALL_TOLERANCE: f64 = 1.5;

#[test]
fn ref_twenty_places_against_recalled_normals() {
    let mut off = Vec::new();
    println!("place: January and July, degC: here, recalled, difference");
    for (town, january, july) in RECALLED {
        for (month, recalled) in [(1, january), (7, july)] {
            let recalled = (recalled - 32.0) / 1.8;
            let here = month_mean(town, month);
            println!(
                "{town} {month}: {here:.1} {recalled:.1} {:+.1}",
                here - recalled
            );
            if (here - recalled).abs() > RECALL_TOLERANCE {
                off.push((town, month, here, recalled));
            }
        }
    }
    assert!(off.is_empty(), "{off:?}");
}

/// A quarter of a great circle, a degree of latitude, the poles; across the date line; London to Paris is 344 km by any table of distances
/// (from memory).
#[test]
fn analytic_distance_on_the_globe() {
    let quarter = 6_371_009.0 * std::f64::consts::FRAC_PI_2;
    assert_relative_eq!(
        distance((0.0, 0.0), (0.0, 90.0)),
        quarter,
        max_relative = 1e-12
    );
    assert_relative_eq!(
        distance((0.0, 0.0), (90.0, 123.0)),
        quarter,
        max_relative = 1e-12
    );
    assert_relative_eq!(
        distance((10.0, 20.0), (11.0, 20.0)),
        quarter / 90.0,
        max_relative = 1e-9
    );
    assert_relative_eq!(
        distance((60.0, 0.0), (60.0, 1.0)),
        quarter / 180.0,
        max_relative = 1e-4
    );
    assert_relative_eq!(
        distance((0.0, 179.5), (0.0, -179.5)),
        quarter / 90.0,
        max_relative = 1e-9
    );
    assert_relative_eq!(
        distance((-90.0, 5.0), (90.0, 5.0)),
        2.0 * quarter,
        max_relative = 1e-12
    );
    let london_paris = distance((51.5074, -0.1278), (48.8566, 2.3522));
    assert_relative_eq!(london_paris, 344e3, max_relative = 0.005);
}

#[test]
fn analytic_the_nearest_place_is_taken() {
    // Downtown, by signs, by letters, with degree signs, without a comma.
    for text in [
        "36.15, -95.99",
        "36.15,-95.99",
        "36.15 -95.99",
        "36.15 N, 95.99 W",
        "36.15N 95.99W",
        "36.15° N, 95.99° W",
        "+36.15; \u{2212}95.99",
    ] {
        let found = find(text).unwrap_or_else(|fault| panic!("{text}: {fault}"));
        assert_eq!(found.place.label(), "Tulsa, OK", "{text}");
        assert!(found.distance.unwrap() < 15e3, "{text}: {found:?}");
    }
    assert_eq!(label("33.86 S, 151.21 E"), "Sydney, NSW, Australia");
    assert_eq!(label("52.52, 13.40"), "Berlin, Germany");
    // Every place is its own nearest one.
    for one in places() {
        let found = find(&format!("{}, {}", one.latitude, one.longitude)).unwrap();
        assert_eq!(found.place.label(), one.label());
        assert!(found.distance.unwrap() < 1e-3);
    }
    // Nearest of all, by counting out.
    let site = (40.5, -89.0);
    let least = places()
        .iter()
        .map(|p| distance(site, (p.latitude, p.longitude)))
        .fold(f64::INFINITY, f64::min);
    assert_eq!(find("40.5, -89").unwrap().distance, Some(least));
}

#[test]
fn regress_coordinates_that_mean_nothing_are_answered() {
    // A forgotten sign lands in Asia, far from every place.
    let fault = refused("36.15, 95.99");
    assert!(
        fault.contains("too far") && fault.contains("negative"),
        "{fault}"
    );
    assert!(refused("-95.99, 36.15").contains("latitude -95.99 is not between"));
    assert!(refused("36.15, -195.99").contains("longitude -195.99"));
    assert!(refused("36.15").contains("Two numbers"));
    assert!(refused("36.15 E, 95.99 N").contains("latitude, N or S"));
    for text in [
        "36,15, -95,99",
        "36.15, -95.99, 12",
        "1e999, 3",
        "3 x, 4",
        "12 Main Street",
    ] {
        assert!(refused(text).contains("36.15, -95.99"), "{text}");
    }
    // Just within and just beyond the farthest.
    let near = find(&south_of_key_west(0.999 * FARTHEST)).expect("near enough");
    assert_eq!(near.place.label(), "Key West, FL");
    assert!(refused(&south_of_key_west(1.001 * FARTHEST)).contains("too far"));
}

/// A site so many metres south of Key West, which stays the nearest place.
fn south_of_key_west(metres: f64) -> String {
    let keys = find("Key West").unwrap().place;
    let degrees = (metres / 6_371_009.0).to_degrees();
    format!("{}, {}", keys.latitude - degrees, keys.longitude)
}

#[test]
fn regress_names_are_met_however_they_are_written() {
    for (text, wanted) in [
        ("Tulsa, OK", "Tulsa, OK"),
        ("tulsa ok", "Tulsa, OK"),
        ("TULSA,OK.", "Tulsa, OK"),
        ("Tulsa", "Tulsa, OK"),
        ("Tulsa, Oklahoma", "Tulsa, OK"),
        ("Tulsa, OK, USA", "Tulsa, OK"),
        ("Tulsa, Oklahoma, United States", "Tulsa, OK"),
        ("St. Louis, MO", "Saint Louis, MO"),
        ("Saint Louis", "Saint Louis, MO"),
        ("Ft Worth TX", "Fort Worth, TX"),
        ("Coeur dAlene", "Coeur d'Alene, ID"),
        ("Washington, D.C.", "Washington, DC"),
        ("Winston Salem", "Winston-Salem, NC"),
        ("Kansas City", "Kansas City, MO"),
        ("Portland, OR", "Portland, OR"),
        ("Portland, Maine", "Portland, ME"),
        ("Redmond", "Bend (Redmond), OR"),
        ("Port Arthur, TX", "Beaumont (Port Arthur), TX"),
        ("London, England", "London (Heathrow), England, UK"),
        ("London Heathrow", "London (Heathrow), England, UK"),
        ("London, UK", "London (Heathrow), England, UK"),
        ("London, ON", "London, ON, Canada"),
        ("Toronto, Canada", "Toronto, ON, Canada"),
        ("Berlin", "Berlin, Germany"),
        ("berlin, deutschland", "Berlin, Germany"),
        ("Düsseldorf", "Duesseldorf, Germany"),
        ("Zürich", "Zurich, Switzerland"),
        ("Tromsø", "Tromso, Norway"),
        ("Malmö", ""),
        ("Kraków", "Krakow, Poland"),
        ("Singapore", "Singapore"),
    ] {
        if wanted.is_empty() {
            refused(text);
        } else {
            assert_eq!(label(text), wanted, "{text}");
        }
    }
    // As the program writes a place, it reads it.
    for one in places() {
        assert_eq!(label(&one.label()), one.label());
    }
}

#[test]
fn regress_a_wrong_name_is_answered_with_near_ones() {
    for (text, offered) in [
        ("Tulsaa, OK", "Did you mean \"Tulsa, OK\""),
        ("Philadelfia", "Philadelphia, PA"),
        ("Albuqerque NM", "Albuquerque, NM"),
        ("Springfeild, MO", "Did you mean \"Springfield, MO\""),
        // The right name in the wrong state.
        ("Dallas, OK", "Dallas, TX"),
        // A small town: what the state has.
        (
            "Broken Arrow, OK",
            "Places known there: \"Oklahoma City, OK\" or \"Tulsa, OK\"",
        ),
        (
            "Broken Arrow, Oklahoma",
            "\"Oklahoma City, OK\" or \"Tulsa, OK\"",
        ),
        ("Nowhere at all", "latitude and longitude"),
        ("", "latitude and longitude"),
        ("\u{1f600}", "latitude and longitude"),
    ] {
        let fault = refused(text);
        assert!(fault.contains(offered), "{text}: {fault}");
    }
    let fault = refused("Portland");
    assert!(
        fault.contains("\"Portland, ME\" or \"Portland, OR\""),
        "{fault}"
    );
    let fault = refused("Springfield");
    for state in ["IL", "MA", "MO"] {
        assert!(
            fault.contains(&format!("\"Springfield, {state}\"")),
            "{fault}"
        );
    }
    assert!(refused("Sydney").contains("Sydney, NSW, Australia"));
    assert!(refused(&"x".repeat(1000)).contains("too long"));
}

#[test]
fn analytic_the_table_is_sound() {
    let all = places();
    // Every line below the head is a place: none was left out as unreadable.
    let lines = include_str!("../../../src/weather/places.csv").lines();
    let rows = lines.filter(|line| !line.starts_with('#')).count() - 1;
    assert_eq!((all.len(), rows), (532, 532));
    let labels: std::collections::BTreeSet<String> = all.iter().map(ClimatePlace::label).collect();
    assert_eq!(labels.len(), all.len());
    let mut winds = Vec::new();
    for one in all {
        let label = one.label();
        assert!(!one.name.is_empty() && one.country.len() == 3, "{label}");
        let has_regions = matches!(one.country.as_str(), "USA" | "CAN" | "AUS" | "GBR");
        assert_eq!(!one.region.is_empty(), has_regions, "{label}");
        assert!(
            !label.contains(&one.country) || one.country == "USA",
            "{label}"
        );
        assert!((-60.0..=75.0).contains(&one.latitude), "{label}");
        assert!((-180.0..=180.0).contains(&one.longitude), "{label}");
        assert!((-30.0..=3000.0).contains(&one.elevation), "{label}");
        // Standard time within two hours and a half of the sun's.
        assert!(
            (one.time_zone_hours - one.longitude / 15.0).abs() < 2.5,
            "{label}"
        );
        let source = &one.source;
        assert!(
            source.starts_with("CLIMAT") || source.starts_with("TMY3"),
            "{label}"
        );
        let normals = &one.normals;
        let MonthlyHumidity::DewPoint(dew_points) = normals.humidity else {
            panic!("{label}: not a dew point");
        };
        for (mean, dew_point) in normals.temperature.iter().zip(dew_points) {
            assert!((-45.0..=42.0).contains(mean), "{label}: {mean}");
            assert!(
                dew_point <= *mean && dew_point > -50.0,
                "{label}: {dew_point}"
            );
        }
        for swing in normals.daily_swing {
            assert!((1.0..=25.0).contains(&swing), "{label}: {swing}");
        }
        let north = one.latitude > 25.0;
        let [january, july] = [0, 6].map(|month| normals.temperature[month]);
        assert!(!north || july > january + 3.0, "{label}");
        assert!(one.latitude > -25.0 || january > july + 3.0, "{label}");
        assert_eq!(
            normals.wind_speed.is_some(),
            source.contains("TMY3") || source.contains("DWD")
        );
        winds.extend(normals.wind_speed.iter().flatten().copied());
    }
    assert!(winds.iter().all(|wind| (0.5..=12.0).contains(wind)));
    // The wind that is assumed lies a little below the mean of those that are known.
    let mean = winds.iter().sum::<f64>() / winds.len() as f64;
    assert!((mean - 0.5..mean).contains(&WIND_OF_PLACES), "{mean}");
}

/// What the program makes of a row keeps its means; the pressure is that of the place, or of the site where its height is known.
#[test]
fn analytic_a_place_keeps_its_monthly_means() {
    for town in ["Tulsa, OK", "Fairbanks, AK", "Berlin", "Singapore"] {
        let row = &find(town).unwrap().place.normals;
        for month in 1..=12 {
            let wanted = row.temperature[month as usize - 1];
            assert!(
                (month_mean(town, month) - wanted).abs() < 0.1,
                "{town} {month}"
            );
        }
    }
    let pressure = |site: Option<f64>| {
        let (reading, _) = place("Denver, CO", site).unwrap();
        let season = reading.season(moment(2026, 1, 1, 0), moment(2026, 1, 2, 0), site);
        season.unwrap().at(0.0).pressure
    };
    // Standard atmosphere (ISO 2533): 84 556 Pa at 1500 m, 79 495 Pa at 2000 m; Denver's airport lies some 1600 m up.
    assert!(
        (82_000.0..84_556.0).contains(&pressure(None)),
        "{}",
        pressure(None)
    );
    assert_relative_eq!(pressure(Some(2000.0)), 79_495.0, max_relative = 2e-4);
}

fn notes_in_both(text: &str, site: Option<f64>) -> [String; 2] {
    let (_, notices) = place(text, site).unwrap_or_else(|faults| panic!("{}", shown(&faults)));
    let said = |system| {
        let said = |notice: &Notice| notice.said().of(system).to_owned();
        crate::plain(notices.iter().map(said).collect::<Vec<_>>().join("\n"))
    };
    [System::Us, System::Si].map(said)
}

fn notes(text: &str, site: Option<f64>) -> String {
    let [us, _] = notes_in_both(text, site);
    us
}

#[test]
fn regress_what_is_said_of_a_place() {
    let tulsa = notes("Tulsa, OK", None);
    assert!(
        tulsa.starts_with("Weather of Tulsa, OK: These are monthly means."),
        "{tulsa}"
    );
    assert!(
        tulsa.contains("A typical-year file of the place is better"),
        "{tulsa}"
    );
    assert!(
        tulsa.contains(DWD_ATTRIBUTION) && tulsa.contains("public domain"),
        "{tulsa}"
    );
    assert!(
        !tulsa.contains("away") && !tulsa.contains("wind is not known"),
        "{tulsa}"
    );
    // No wind in the table.
    let gander = crate::plain(notes("Gander", None));
    assert!(gander.contains("8 mph is assumed"), "{gander}");
    assert!(
        gander.contains(DWD_ATTRIBUTION) && !gander.contains("TMY3"),
        "{gander}"
    );
    // TMY3 alone.
    let row = places()
        .iter()
        .find(|one| one.source.starts_with("TMY3"))
        .unwrap();
    let alone = notes(&row.label(), None);
    assert!(
        !alone.contains(DWD_ATTRIBUTION) && alone.contains("US Department of Energy"),
        "{alone}"
    );
    // Distance and height. 400 m at the standard lapse rate are 2.6 K, 5 degF.
    let tulsa = find("Tulsa, OK").unwrap().place;
    let site = format!("{}, {}", tulsa.latitude + 0.5, tulsa.longitude);
    let [us, si] = notes_in_both(&site, Some(tulsa.elevation + 400.0));
    for (said, away, height) in [
        (
            us,
            "35 mi from the site",
            "The site is 1,312 ft higher. It is likely 4.7 °F colder.",
        ),
        (
            si,
            "56 km from the site",
            "The site is 400 m higher. It is likely 2.6 K colder.",
        ),
    ] {
        assert!(said.contains(away), "{said}");
        assert!(said.contains(height), "{said}");
        assert!(!said.contains("That is far"), "{said}");
    }
    let lower = notes("Denver", Some(1000.0));
    assert!(
        lower.contains("lower") && lower.contains("warmer"),
        "{lower}"
    );
    let same = notes("Tulsa", Some(tulsa.elevation + 20.0));
    assert!(same.contains("66 ft higher"), "{same}");
    // Half a kelvin at the standard lapse rate, 77 m, is worth a word.
    for (height, is_said) in [(70.0, false), (80.0, true)] {
        let said = notes("Tulsa", Some(tulsa.elevation + height));
        assert_eq!(said.contains("likely"), is_said, "{said}");
    }
    // From 100 km on the distance is called far.
    for (metres, is_far) in [(99e3, false), (101e3, true)] {
        let said = notes(&south_of_key_west(metres), None);
        assert_eq!(said.contains("That is far"), is_far, "{said}");
    }
}

#[test]
fn regress_attribution_stands_beside_the_data() {
    let notice = include_str!("../../../src/weather/places-NOTICE.txt");
    assert!(notice.contains(DWD_ATTRIBUTION) && notice.contains("public domain"));
    let table = include_str!("../../../src/weather/places.csv");
    assert!(table.starts_with('#') && table.lines().next().unwrap().contains("places-NOTICE.txt"));
}

/// A small job in the coldest part of the year, computed at once.
fn job_in(place: &str) -> Value {
    json!({
        "name": "Small",
        "site": { "weather": { "place": place } },
        "slab": { "area": "100 m2", "thickness": "100 mm", "placed": "2026-12-20" },
        "room": { "height": "3 m" },
        "gear_on": "2027-01-10",
        "give_up_after": "10 days",
        "setups": [{ "name": "Nothing", "gear": [] }]
    })
}

fn compared(scenario: &Value) -> Result<Value, String> {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("job.json");
    std::fs::write(&path, scenario.to_string()).expect("written");
    let job = coatday::open(&path).map_err(|fault| fault.to_string())?;
    let none = Sampling {
        samples: 0,
        seed: 1,
    };
    Ok(serde_json::to_value(coatday::compare(&job, none).data()).expect("JSON"))
}

fn runs(one: &ClimatePlace) {
    let label = one.label();
    let found = compared(&job_in(&label)).unwrap_or_else(|fault| panic!("{label}: {fault}"));
    let setup = &found["setups"][0];
    let why = setup["never_reason"].as_str().unwrap_or_default();
    assert!(!why.contains("Not computed"), "{label}: {why}");
    let is_sound = |key: &str| setup[key].as_f64().is_some_and(|error| error.abs() < 1e-6);
    assert!(
        is_sound("water_balance_error") && is_sound("heat_balance_error"),
        "{label}: {setup}"
    );
    let notices = found["notices"].to_string();
    assert!(
        notices.contains(&format!("Weather of {label}")),
        "{label}: {notices}"
    );
}

#[test]
fn regress_compare_runs_in_every_place() {
    assert_eq!(places().len(), 532);
    places().par_iter().for_each(runs);
}

#[test]
fn regress_a_wrong_place_is_a_fault_of_the_scenario() {
    let fault = compared(&job_in("Tulsaa, OK")).expect_err("no such place");
    assert!(fault.contains("site.weather.place"), "{fault}");
    assert!(
        fault.contains("Did you mean \"Tulsa, OK\"") && fault.contains("^^^"),
        "{fault}"
    );
    let mut number = job_in("");
    number["site"]["weather"]["place"] = json!(36.15);
    let fault = compared(&number).expect_err("a number");
    assert!(fault.contains("text is needed"), "{fault}");
}
