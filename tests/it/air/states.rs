//! States from any two known quantities.

use coatday::air::states::{Known, PRESSURES, Quantity, StateFault, TEMPERATURES, from_two};
use coatday::air::{self, MoistAir, STANDARD_PRESSURE};
use coatday::units::System;
use proptest::prelude::*;

fn fault(first: Known, second: Known) -> String {
    from_two(first, second, STANDARD_PRESSURE)
        .unwrap_err()
        .to_string()
        .replace('\u{a0}', " ")
}

#[test]
fn analytic_impossible_pairs_say_why() {
    use Known::{DewPoint, DryBulb, Enthalpy, HumidityRatio, RelativeHumidity, WetBulb};
    assert_eq!(
        fault(DryBulb(20.0), WetBulb(21.0)),
        "The wet bulb (21 °C) is above the dry bulb (20 °C). It can be at most equal. Check whether the two were swapped."
    );
    assert_eq!(
        fault(DewPoint(21.0), DryBulb(20.0)),
        "The dew point (21 °C) is above the dry bulb (20 °C). It can be at most equal. Check whether the two were swapped."
    );
    assert_eq!(
        fault(DewPoint(21.0), HumidityRatio(0.01)),
        "Dew point and humidity ratio say the same thing at a given pressure and leave the temperature open. \
         Give the dry bulb in place of one of them."
    );
    assert_eq!(
        fault(WetBulb(21.0), Enthalpy(60e3)),
        "Wet bulb and enthalpy say nearly the same thing: a small slip in the wet bulb would change the humidity a lot. \
         Give the dry bulb in place of one of them."
    );
    assert_eq!(
        fault(RelativeHumidity(0.0), HumidityRatio(0.0)),
        "Air without vapor has a relative humidity of zero at every temperature. Give the dry bulb in place of one of them."
    );
    assert_eq!(
        fault(RelativeHumidity(0.0), DewPoint(5.0)),
        "A dew point of 5 °C and a relative humidity of 0 % contradict each other: one of them means no vapor at all. \
         Check both values."
    );
    assert_eq!(
        fault(DryBulb(15.0), HumidityRatio(0.020)),
        "A dry bulb of 15 °C and a humidity ratio of 20 g/kg would mean a relative humidity of 185.2 % at 15 °C. \
         It can be at most 100 %, below freezing over ice. Check both values and their units."
    );
    assert_eq!(
        fault(DryBulb(40.0), WetBulb(5.0)),
        "A wet bulb of 5 °C is too low for a dry bulb of 40 °C. Even air without any vapor has 14.59 °C. \
         Check both readings, and that the wick was wet."
    );
    assert_eq!(
        fault(DryBulb(20.0), Enthalpy(10e3)),
        "An enthalpy of 10 kJ/kg is too low for a dry bulb of 20 °C. Even air without any vapor has 20.12 kJ/kg. \
         Check both values and their units."
    );
    assert_eq!(
        fault(WetBulb(10.0), DewPoint(12.0)),
        "A dew point of 12 °C is too high for a wet bulb of 10 °C. It can be at most 10 °C. \
         Check both values."
    );
    assert_eq!(
        fault(DryBulb(99.0), RelativeHumidity(0.5)),
        "A dry bulb of 99 °C cannot be computed. Give one from -40 °C to 60 °C, and check its unit."
    );
    // In the US the same in °F and Btu/lb, whose zero is another.
    let us = from_two(DryBulb(20.0), Enthalpy(10e3), STANDARD_PRESSURE).unwrap_err();
    assert_eq!(
        us.words(System::Us).replace('\u{a0}', " "),
        "An enthalpy of 11.99 Btu/lb is too low for a dry bulb of 68 °F. Even air without any vapor has 16.34 Btu/lb. \
         Check both values and their units."
    );
    assert_eq!(
        fault(DryBulb(f64::NAN), RelativeHumidity(0.5)),
        "The dry bulb is not a finite number. Give it as a plain decimal number."
    );
    assert_eq!(
        fault(DryBulb(9.0), DryBulb(9.0)),
        "Both values are the dry bulb. Give two different quantities."
    );
    assert_eq!(
        fault(WetBulb(50.0), RelativeHumidity(0.1)),
        "No air from -40 °C to 60 °C has both a wet bulb of 50 °C and a relative humidity of 10 %. \
         Check both values and their units."
    );
    assert!(matches!(
        from_two(DryBulb(20.0), RelativeHumidity(0.5), 1013.25),
        Err(StateFault::OutOfRange {
            quantity: Quantity::Pressure,
            ..
        })
    ));
}

/// The reason for which wet bulb with enthalpy is refused: 0.1 K of wet bulb at 20 degC moves W by 3.9 g/kg at a fixed enthalpy.
#[test]
fn analytic_wet_bulb_and_enthalpy_are_nearly_parallel() {
    let wet_enthalpy =
        |wet: f64| air::enthalpy(wet, air::saturation_humidity_ratio(wet, STANDARD_PRESSURE));
    let ratio = |wet: f64, h: f64| {
        air::saturation_humidity_ratio(wet, STANDARD_PRESSURE)
            - (wet_enthalpy(wet) - h) / (air::SPECIFIC_HEAT_WATER * wet)
    };
    let h = wet_enthalpy(20.0) - 400.0;
    let moved = ratio(20.0, h) - ratio(20.1, h);
    assert!((moved - 0.0039).abs() < 0.000_05, "{moved}");
    assert!((wet_enthalpy(20.1) - wet_enthalpy(20.0) - 340.0).abs() < 5.0);
}

fn knowns(state: &MoistAir) -> [Known; 6] {
    [
        Known::DryBulb(state.temperature),
        Known::WetBulb(state.wet_bulb()),
        Known::DewPoint(state.dew_point()),
        Known::RelativeHumidity(state.relative_humidity().min(1.0)),
        Known::HumidityRatio(state.humidity_ratio),
        Known::Enthalpy(state.enthalpy()),
    ]
}

fn any_quantity(value: f64, kind: usize) -> Known {
    match kind {
        0 => Known::DryBulb(value),
        1 => Known::WetBulb(value),
        2 => Known::DewPoint(value),
        3 => Known::RelativeHumidity(value),
        4 => Known::HumidityRatio(value),
        _ => Known::Enthalpy(value),
    }
}

/// Values in range, at its ends, and of every kind of float.
fn any_known() -> impl Strategy<Value = Known> {
    (0..6_usize, prop_oneof![4 => (0.0..=1.0).prop_map(Some), 1 => Just(Some(0.0)), 1 => Just(Some(1.0)), 1 => Just(None)], any::<f64>())
        .prop_map(|(kind, fraction, wild)| {
            let range = any_quantity(0.0, kind).quantity().range();
            let value = fraction.map_or(wild, |f| range.start() + f * (range.end() - range.start()));
            any_quantity(value, kind)
        })
}

/// Values that are likely to make a pair: those of building sites.
fn usual_known() -> impl Strategy<Value = Known> {
    prop_oneof![
        (-20.0..40.0).prop_map(Known::DryBulb),
        (-20.0..30.0).prop_map(Known::WetBulb),
        (-20.0..30.0).prop_map(Known::DewPoint),
        (0.0..=1.0).prop_map(Known::RelativeHumidity),
        (0.0..0.03).prop_map(Known::HumidityRatio),
        (-20e3..100e3).prop_map(Known::Enthalpy),
    ]
}

/// A state that was given must be possible and must have both of the values it was made from.
fn check_answer(first: Known, second: Known, pressure: f64) -> Result<(), TestCaseError> {
    let answer = from_two(first, second, pressure);
    let swapped = from_two(second, first, pressure);
    prop_assert_eq!(answer.is_ok(), swapped.is_ok());
    let state = match answer {
        Ok(state) => state,
        Err(fault) => {
            let text = fault.to_string();
            prop_assert!(
                text.ends_with('.') && !text.contains("NaN") && !text.contains("inf"),
                "{}",
                text
            );
            return Ok(());
        }
    };
    prop_assert_eq!(swapped, Ok(state));
    prop_assert!(TEMPERATURES.contains(&state.temperature));
    prop_assert!(state.humidity_ratio >= 0.0 && state.relative_humidity() <= 1.0 + 1e-8);
    for known in [first, second] {
        let (found, tolerance) = match known {
            Known::DryBulb(_) => (state.temperature, 1e-8),
            // By the equation of the wick, because below 0 degC the same air may also have a wet reading. In K by way of W.
            Known::WetBulb(wet) => {
                let ratio = air::humidity_ratio_from_wet_bulb(state.temperature, wet, pressure);
                prop_assert!(
                    (ratio - state.humidity_ratio).abs() < 2e-9,
                    "{:?} {:?} {:?}",
                    first,
                    second,
                    state
                );
                continue;
            }
            // In terms of vapour pressure, because near dry air a dew point is a logarithm of nothing.
            Known::DewPoint(dew) => {
                let expected = air::saturation_pressure_over_water(dew);
                prop_assert!((state.vapour_pressure() - expected).abs() < 1e-3);
                continue;
            }
            Known::RelativeHumidity(_) => (state.relative_humidity(), 1e-7),
            Known::HumidityRatio(_) => (state.humidity_ratio, 2e-9),
            Known::Enthalpy(_) => (state.enthalpy(), 1e-2),
        };
        prop_assert!(
            (found - known.value()).abs() < tolerance,
            "{:?} {:?} {:?} gives {}",
            first,
            second,
            state,
            found
        );
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn analytic_every_pair_gives_the_state_back(
        t in -39.0..60.0_f64, r in 0.005..=1.0_f64, pressure in *PRESSURES.start()..=*PRESSURES.end()
    ) {
        let state = MoistAir::from_relative_humidity(t, r, pressure);
        let knowns = knowns(&state);
        for (i, first) in knowns.iter().enumerate() {
            for second in &knowns[i + 1..] {
                let answer = from_two(*first, *second, pressure);
                match (first, second) {
                    (Known::DewPoint(_), Known::HumidityRatio(_)) => {
                        let refused = matches!(answer, Err(StateFault::DewPointAndHumidityRatio | StateFault::OutOfRange { .. }));
 prop_assert!(refused);
                    }
                    (Known::WetBulb(_), Known::Enthalpy(_)) => {
                        let refused = matches!(answer, Err(StateFault::WetBulbAndEnthalpy | StateFault::OutOfRange { .. }));
 prop_assert!(refused);
                    }
                    _ if first.check().is_err() || second.check().is_err() => {
                        let refused = matches!(answer, Err(StateFault::OutOfRange { .. }));
                        prop_assert!(refused);
                    }
                    _ => {
                        let found = answer.map_err(|fault| TestCaseError::fail(format!("{first:?} {second:?}: {fault}")))?;
                        prop_assert!((found.temperature - t).abs() < 1e-6, "{:?} {:?}: {:?} for {:?}", first, second, found, state);
                        prop_assert!((found.humidity_ratio - state.humidity_ratio).abs() < 1e-9, "{:?} {:?}", first, second);
                    }
                }
            }
        }
    }

    #[test]
    fn analytic_any_two_values_answer_or_refuse(first in any_known(), second in any_known(), pressure in 40_000.0..120_000.0_f64) {
        check_answer(first, second, pressure)?;
    }

    #[test]
    fn analytic_usual_values_answer_or_refuse(
        first in usual_known(), second in usual_known(), pressure in *PRESSURES.start()..=*PRESSURES.end()
    ) {
        check_answer(first, second, pressure)?;
    }
}
