//! What a machine costs to rent.

use coatday::gear::Rental;
use coatday::gear::rental::Rate;
use proptest::prelude::*;

fn terms(rates: &[(usize, f64)]) -> Rental {
    let rate = |&(days, price): &(usize, f64)| Rate { days, price };
    Rental {
        rates: rates.iter().map(rate).collect(),
        ..Rental::default()
    }
}

/// A trade page on how rental houses bill: at $100 a day, $300 a week and $800 for four weeks nine days cost $500, a week and two days,
/// and three weeks cost $800, since three weeks at $300 would be dearer.
#[test]
fn ref_rental_as_billed() {
    let rental = terms(&[(1, 100.0), (7, 300.0), (28, 800.0)]);
    for (days, cost) in [
        (1.0, 100.0),
        (3.0, 300.0),
        (4.0, 300.0),
        (7.0, 300.0),
        (9.0, 500.0),
        (14.0, 600.0),
        (21.0, 800.0),
        (28.0, 800.0),
        (29.0, 900.0),
    ] {
        assert_eq!(rental.rent(days), cost, "{days} days");
    }
}

/// Begun days count whole, a machine that never came costs nothing, and a house may charge a least time.
#[test]
fn analytic_begun_days_and_least_rental() {
    let mut rental = Rental::per_day(60.0);
    for (days, cost) in [
        (-1.0, 0.0),
        (0.0, 0.0),
        (0.1, 60.0),
        (2.0, 120.0),
        (2.1, 180.0),
    ] {
        assert_eq!(rental.rent(days), cost, "{days} days");
    }
    rental.least_days = 7.0;
    for (days, cost) in [(0.0, 0.0), (0.1, 420.0), (7.0, 420.0), (7.1, 480.0)] {
        assert_eq!(rental.rent(days), cost, "{days} days");
    }
    assert_eq!(Rental::default().rent(9.0), 0.0);
    assert_eq!(Rental::per_day(0.0).rent(f64::INFINITY), 0.0);
    assert_eq!(Rental::per_day(1.0).rent(f64::INFINITY), f64::INFINITY);
}

/// The least cost by trying every number of every rate.
fn enumerated(rates: &[(usize, f64)], days: usize) -> f64 {
    let Some(((length, price), others)) = rates.split_first() else {
        return if days == 0 { 0.0 } else { f64::INFINITY };
    };
    (0..=days.div_ceil(*length))
        .map(|number| {
            number as f64 * price + enumerated(others, days.saturating_sub(number * length))
        })
        .fold(f64::INFINITY, f64::min)
}

proptest! {
    /// Never more than days times the day rate, never less for a longer time, and the least of all combinations.
    #[test]
    fn analytic_rent_is_the_cheapest_combination(
        day in 1u32..500, week in 1u32..2000, four_weeks in 1u32..6000, days in 1usize..90,
    ) {
        let rates = [(28, f64::from(four_weeks)), (7, f64::from(week)), (1, f64::from(day))];
        let rental = terms(&rates);
        let cost = rental.rent(days as f64);
        prop_assert!(cost <= days as f64 * f64::from(day));
        prop_assert!(cost <= rental.rent(days as f64 + 1.0));
        prop_assert_eq!(cost, enumerated(&rates, days));
    }
}
