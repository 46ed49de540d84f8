//! A run whose books do not close is not believed.

use super::{floor, job};
use coatday::column::{ColumnFault, Tolerance};
use coatday::evaluate::odds::sampling_accuracy;
use coatday::evaluate::{Accuracy, compare, prepare, run_observed};
use coatday::simulation::Climate;
use coatday::units::DAY;
use serde_json::json;
use std::ops::ControlFlow;

/// A solver that is content with anything leaves states that do not hold what the books say. Such a stretch is a fault, whose share is what is
/// open, and no figure of such a run is shown.
#[test]
fn analytic_open_books_are_a_fault() {
    const CLOSED: f64 = 1e-6;
    let careless = Accuracy {
        tolerance: Tolerance {
            humidity: 1e9,
            temperature: 1e9,
            newton: 1.0,
        },
        longest_step: 20.0 * DAY,
        ..Accuracy::default()
    };
    let job = job(&floor());
    let room = &job.setups[0].room;
    let mut start = prepare(&job, Accuracy::default()).expect("a slab");
    start.set_tolerance(careless.tolerance);
    start.set_longest_step(careless.longest_step);
    let mut open = 0;
    // From mild air to air that is hot and wet or bone-dry, which asks more of a step than one update of Newton's method gives.
    let airs = [(15.0, 0.005), (60.0, 0.0), (60.0, 0.1)];
    let stretches = airs
        .into_iter()
        .flat_map(|air| [0.1, 1.0, 5.0, 20.0, 40.0].map(|days| (air, days)));
    for ((temperature, humidity_ratio), days) in stretches {
        let mut slab = start.clone();
        slab.enter_room(room, temperature, humidity_ratio);
        let end = slab.time() + days * DAY;
        let climate = Climate::Room(room, &job.weather);
        let ran = slab.advance(end, climate, &mut |_, _| ControlFlow::Continue(()));
        let (water, heat) = slab.balance_errors();
        let share = water.max(heat);
        match ran.map_err(|fault| fault.fault) {
            Err(fault) => {
                assert_eq!(fault, ColumnFault::OpenBooks { share });
                assert!(share > CLOSED);
                open += 1;
            }
            Ok(_) => assert!(share <= CLOSED, "{days} days: {share}"),
        }
    }
    assert!(open > 0);
    let compared = compare(&job, careless);
    assert_eq!(compared.outcomes, []);
    assert_eq!(compared.not_computed.len(), job.setups.len());
}

/// Controls, burners and condensation have kinks. The air meets them within a step, so that a winter with a thermostat and outside air let in
/// takes hardly more steps than it has days.
#[test]
fn analytic_steps_of_a_day_cross_the_kinks_of_controls() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let open = coatday::open(folder.join("winter_warehouse.json")).expect("a shipped job");
    let job = &open.job;
    let start = prepare(job, sampling_accuracy()).expect("a slab");
    let setup = job.setups.iter().find(|s| s.name == "Heat, outside air");
    let setup = setup.expect("the setup");
    let mut steps = 0_u32;
    let found = run_observed(job, setup, &start, &mut |_, _| steps += 1).expect("a season");
    let days = found.days_to_target.expect("dry");
    assert!(
        f64::from(steps) < 1.2 * days + 20.0,
        "{steps} steps for {days} days"
    );
}

/// Ten thousand of the largest machines in a closet: the solver says so at once and does not creep on.
#[test]
fn analytic_a_run_that_hardly_gets_on_is_called_off() {
    let machine = json!({ "desiccant": { "class": "desiccant_8500_burner", "count": 1000 } });
    let scenario = json!({
        "name": "Closet",
        "site": { "weather": { "constant": { "temperature": "15 degC", "relative_humidity": "50 %" } } },
        "slab": { "area": "1 m2", "thickness": "100 mm", "placed": "2026-09-01" },
        "room": { "height": "3 m" },
        "gear_on": "2026-09-29",
        "give_up_after": "120 days",
        "targets": [{ "relative_humidity_at_depth": { "limit": "85 %" } }],
        "setups": [{ "name": "Huge", "gear": vec![machine; 10] }]
    });
    let job = job(&scenario);
    let start = prepare(&job, Accuracy::default()).expect("a slab");
    let mut steps = 0_u32;
    let ran = run_observed(&job, &job.setups[0], &start, &mut |_, _| steps += 1);
    assert_eq!(ran.expect_err("a fault").fault, ColumnFault::TooManySteps);
    assert!(steps <= 500, "{steps}");
}
