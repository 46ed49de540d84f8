//! How long a survey of 5,000 findings takes, from the text of its table to the JSON of takeoff, calendar and checklist, without the
//! drying: `cargo bench --bench survey`. It must answer in under a second.
//!
//! Times are the least of several repetitions: what else the machine does only ever adds.

#![allow(clippy::expect_used)]

use coatday::job::{self, Job};
use coatday::preparation::{Depth, prepare_floor};
use coatday::results::Answer;
use coatday::results::prep::PreparedFloor;
use coatday::scenario::{self, read_findings};
use coatday::units::System;
use coatday::verdict::Floor;
use std::fmt::Write as _;
use std::time::Instant;

/// Findings in the table.
const FINDINGS: usize = 5_000;
/// What it may take at most \[s\].
const LIMIT: f64 = 1.0;

const SCENARIO: &str = r#"{
  "name": "Large hall",
  "site": { "weather": { "constant": { "temperature": "15 degC", "relative_humidity": "50 %" } } },
  "slab": { "area": "20000 m2", "thickness": "180 mm", "placed": "2026-05-04" },
  "room": { "height": "8 m" },
  "gear_on": "2026-09-07",
  "setups": [ { "name": "Nothing", "gear": [] } ],
  "walk": {
    "areas": [
      { "name": "North", "substrate": "concrete", "outline": [
        { "x": "0 m", "y": "0 m" }, { "x": "200 m", "y": "0 m" }, { "x": "200 m", "y": "50 m" }, { "x": "0 m", "y": "50 m" } ] },
      { "name": "South", "substrate": "concrete", "outline": [
        { "x": "0 m", "y": "50 m" }, { "x": "200 m", "y": "50 m" }, { "x": "200 m", "y": "100 m" }, { "x": "0 m", "y": "100 m" } ] }
    ],
    "crews": 4, "crew": 4, "wash": "power_wash", "wanted_profile": 2
  }
}"#;

fn table() -> String {
    let mut text = String::from("kind,area,length,width,depth,size,height,count,state,x,y,note\n");
    for index in 0..FINDINGS {
        // Spread evenly by the golden ratio.
        let share = (index as f64 * 0.618_033_988_75).fract();
        let (x, y) = (200.0 * share, 100.0 * (7.0 * share).fract());
        let area = if y < 50.0 { "North" } else { "South" };
        let _ = match index % 4 {
            0 => writeln!(
                text,
                "crack,{area},{:.2} m,{:.1} mm,25 mm,,,,still,{x:.2} m,{y:.2} m,",
                0.5 + 4.0 * share,
                0.5 + 20.0 * share
            ),
            1 => writeln!(
                text,
                "broken,{area},,,{:.0} mm,{:.2} m2,,2,,{x:.2} m,{y:.2} m,\"at a rack, left\"",
                5.0 + 60.0 * share,
                0.05 + share
            ),
            2 => writeln!(
                text,
                "joint,{area},{:.1} m,6 mm,30 mm,,,,control,{x:.2} m,{y:.2} m,",
                3.0 + 9.0 * share
            ),
            _ => writeln!(
                text,
                "stain,{area},,,,{:.2} m2,,,oil,{x:.2} m,{y:.2} m,",
                0.1 + share
            ),
        };
    }
    text
}

fn main() {
    let text = table();
    let read = scenario::read(SCENARIO, "hall.json").expect("the scenario has no fault");
    let (weather, _) = job::weather(&read, &|_| Err(String::new())).expect("constant weather");
    let job = Job::of(&read, weather);
    let mut best = f64::INFINITY;
    let mut drawn = f64::INFINITY;
    for _ in 0..5 {
        let start = Instant::now();
        let scenario = scenario::read(SCENARIO, "hall.json").expect("the scenario has no fault");
        let walk = scenario.walk.clone().expect("it has a walk");
        let findings = read_findings(
            text.as_bytes(),
            "hall.csv",
            &walk,
            scenario.slab.thickness.si(),
        )
        .unwrap_or_else(|faults| panic!("{faults}"));
        assert_eq!(findings.len(), FINDINGS);
        let prepared = prepare_floor(&scenario, &walk, &findings, Depth::Tasks)
            .expect("the calendar is not too long");
        let verdict = Floor {
            job: &job,
            prepared: Some(&prepared),
        }
        .by_work(&prepared);
        let floor = PreparedFloor {
            name: &scenario.name,
            verdict,
            prepared,
            job: None,
            all_findings: false,
            notices: &[],
        };
        let json = serde_json::to_string(&floor.data()).expect("an object");
        assert!(json.len() > 100 * FINDINGS);
        best = best.min(start.elapsed().as_secs_f64());
        let start = Instant::now();
        let document = floor.document(System::Si);
        let charts: Vec<_> = document.figures().map(|f| (f.wide(), f.narrow())).collect();
        assert_eq!(charts.len(), 2);
        drawn = drawn.min(start.elapsed().as_secs_f64());
    }
    println!(
        "{FINDINGS} findings: {best:.3} s to the result, {drawn:.3} s more to draw plan and calendar (limit {LIMIT} s)"
    );
    assert!(best + drawn < LIMIT, "slower than {LIMIT} s");
}
