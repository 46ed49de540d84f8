//! Tests of `units::format`: how numbers, quantities and dates are said.

use coatday::units::format::{
    Shown, both, counted, days, fine_percent, fixed, moment, money_at_least, number, percent,
    signed, signed_days, whole,
};
use coatday::units::{Kind, System};
use jiff::civil::date;

#[test]
fn analytic_nothing_is_minus_nothing() {
    assert_eq!(whole(-0.4), "0");
    assert_eq!(fixed(-0.004, 2), "0.00");
    assert_eq!(fixed(-0.006, 2), "-0.01");
    assert_eq!(number(-0.04, 1), "0");
    assert_eq!(signed(0.04, 1), "0");
    assert_eq!(signed(-0.04, 1), "0");
    assert_eq!(signed(-0.06, 1), "-0.1");
    assert_eq!(signed(3.0, 0), "+3");
}

#[test]
fn analytic_one_is_singular_and_nothing_else() {
    assert_eq!(days(1.0), "1 day");
    assert_eq!(days(0.6), "1 day");
    assert_eq!(days(0.4), "0 days");
    assert_eq!(days(1.6), "2 days");
    assert_eq!(counted(1, "place"), "1 place");
    assert_eq!(counted(0, "place"), "0 places");
    assert_eq!(counted(11, "place"), "11 places");
    assert_eq!(counted(whole(1.0), "circuit"), "1 circuit");
    assert_eq!(signed_days(1.0), "+1.0 day");
    assert_eq!(signed_days(-1.0), "\u{2212}1.0 day");
    assert_eq!(signed_days(-1.1), "\u{2212}1.1 days");
    assert_eq!(signed_days(0.01), "0 days");
}

#[test]
fn analytic_shares_and_money() {
    assert_eq!(percent(0.594), "59 %");
    assert_eq!(fine_percent(0.845), "84.5 %");
    assert_eq!(fine_percent(0.84), "84 %");
    assert_eq!(money_at_least(4530.6, false), "4531");
    assert_eq!(money_at_least(4530.6, true), "4531+");
}

/// Factors of the table of units: 1 kg is 2.2046 lb, 20 degC is 68 degF, a difference of 3 K is 5.4 degF, 1 g/kg is 7 gr/lb.
#[test]
fn analytic_quantities_in_the_units_of_a_system() {
    let us = |kind| Shown::of(kind, System::Us);
    assert_eq!(us(Kind::Mass).fixed_text(100.0, 1), "220.5 lb");
    assert_eq!(us(Kind::Temperature).text(20.0, 1), "68 degF");
    assert_eq!(us(Kind::TemperatureDifference).text(3.0, 1), "5.4 degF");
    assert_eq!(us(Kind::HumidityRatio).fixed_text(1e-3, 1), "7.0 gr/lb");
    assert_eq!(
        Shown::of(Kind::MassFlux, System::Si).text(15e-3 / 86_400.0, 1),
        "15 g/m2/day"
    );
    assert_eq!(
        Shown::named(Kind::Pressure, "kPa").fixed_text(101_325.0, 3),
        "101.325 kPa"
    );
    assert_eq!(both(Kind::Temperature, 20.0, (1, 0)), "20.0 degC (68 degF)");
    // Every kind has a unit in both systems.
    for kind in Kind::ALL {
        for system in [System::Us, System::Si] {
            let shown = Shown::of(kind, system);
            assert!(
                kind.units().any(|unit| unit.name == shown.unit()),
                "{kind:?}"
            );
        }
    }
}

#[test]
fn analytic_moments_keep_their_seconds_only_if_there_are_any() {
    let day = date(2026, 11, 5);
    assert_eq!(moment(day.at(7, 5, 0, 0)), "2026-11-05 07:05");
    assert_eq!(moment(day.at(7, 5, 9, 0)), "2026-11-05 07:05:09");
}
