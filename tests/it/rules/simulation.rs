//! A run whose books do not close is not believed.

use super::{floor, job};
use coatday::column::{ColumnFault, Tolerance};
use coatday::evaluate::{Accuracy, compare, prepare};
use coatday::simulation::Climate;
use coatday::units::DAY;
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
