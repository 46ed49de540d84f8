//! Effects, the catalogue, and what must hold for every machine in every state.

use super::{HOUR, always, desiccant, near, refrigerant, room, state};
use coatday::air::MoistAir;
use coatday::gear::classes::{catalogue, class, class_names};
use coatday::gear::desiccant::Wheel;
use coatday::gear::{Effect, Machine, Supply, Surroundings, pounds_per_hour_from_grain_depression};
use coatday::units::System;
use proptest::prelude::*;

// ---- trade formula, effects, classes ----

/// lb/h = cfm x grain depression x 4.5 / 7000; pints a day = 0.0148 cfm dGr; kg/h = 0.0012 m3/h g/kg (trade formulae; 1 pint of water is 1.043 lb).
#[test]
fn ref_grain_depression() {
    near(
        pounds_per_hour_from_grain_depression(200.0, 35.0),
        4.5,
        1e-12,
    );
    let one = pounds_per_hour_from_grain_depression(1.0, 1.0);
    near(one * 24.0 / 1.0432, 0.0148, 5e-5);
    near(one * 0.453_592 / (1.699_011 / 7.0), 0.0012, 5e-6);
}

#[test]
fn analytic_effect_sums() {
    let one = refrigerant("refrigerant_medium").effect(&room(10.0, 0.8));
    let heater = class("electric_3kw")
        .map(|machine| machine.effect(&room(10.0, 0.8)))
        .expect("electric_3kw is a class");
    let both = one * 2.0 + heater;
    assert_eq!(both.electricity, 2.0 * one.electricity + heater.electricity);
    assert_eq!(both.condition, one.condition);
    assert_eq!([one, one, heater].into_iter().sum::<Effect>(), both);
    assert_eq!(
        one.condition.names().collect::<Vec<_>>(),
        ["frosted", "outside_published_range", "stopped"]
    );
    assert!(heater.condition.is_none());
}

#[test]
fn analytic_supply_current() {
    near(Supply::single_phase(115.0, 1150.0).amperes, 10.0, 1e-12);
    near(Supply::three_phase(400.0, 9000.0).amperes, 12.99, 0.01);
}

/// Rated power of the refrigerant classes: capacity over energy factor stays in the bands derived from public energy data (trailer and low-grain
/// from memory).
#[test]
fn ref_class_refrigerant_power_bands() {
    for (name, low, high) in [
        ("refrigerant_small", 270.0, 330.0),
        ("refrigerant_medium", 430.0, 530.0),
        ("refrigerant_large", 550.0, 690.0),
        ("refrigerant_commercial", 980.0, 1220.0),
        ("low_grain_compact", 535.0, 650.0),
        ("low_grain_medium", 800.0, 980.0),
        ("low_grain_large", 1070.0, 1360.0),
        ("refrigerant_trailer", 5000.0, 8000.0),
    ] {
        let power = refrigerant(name).rated_power();
        assert!((low..=high).contains(&power), "{name}: {power} W");
    }
}

/// Water and power of the desiccant classes at 20 degC and 60 %, room and outside alike (from memory, scaled with 0.75 of the published curve).
#[test]
fn ref_class_desiccants() {
    for (name, kilograms_per_hour, low, high) in [
        ("desiccant_150", 0.85, 1300.0, 1500.0),
        ("desiccant_400", 2.3, 3300.0, 4000.0),
        ("desiccant_1000", 5.8, 8000.0, 9500.0),
        ("desiccant_2000", 11.5, 16_000.0, 19_000.0),
        ("desiccant_4000", 23.0, 32_000.0, 38_000.0),
        ("desiccant_4000_burner", 23.0, 2000.0, 3000.0),
        ("desiccant_8500_burner", 49.0, 8000.0, 11_000.0),
    ] {
        let machine = desiccant(name);
        let effect = machine.effect(&Surroundings {
            outside: state(20.0, 0.6),
            ..room(20.0, 0.6)
        });
        near(
            -effect.vapour * HOUR,
            kilograms_per_hour,
            0.025 * kilograms_per_hour,
        );
        assert!(
            (low..=high).contains(&machine.rated_power),
            "{name}: nameplate {} W",
            machine.rated_power
        );
        assert!(
            effect.electricity <= machine.rated_power,
            "{name}: {} W exceeds its nameplate",
            effect.electricity
        );
    }
    let trailer = desiccant("desiccant_8500_burner").effect(&Surroundings {
        outside: state(20.0, 0.6),
        ..room(20.0, 0.6)
    });
    assert!(
        (78e3..=90e3).contains(&trailer.fuel),
        "{} W of gas",
        trailer.fuel
    );
}

#[test]
fn regress_class_catalogue() {
    let names: Vec<_> = class_names().collect();
    let mut unique = names.clone();
    unique.sort_unstable();
    unique.dedup();
    assert_eq!(unique.len(), names.len());
    for entry in catalogue() {
        assert_eq!(class(entry.name), Some(entry.machine));
        assert!(!entry.source.is_empty() && !entry.label().of(System::Us).is_empty());
        let power = entry.machine.rated_power();
        if power > 0.0 {
            let supply = entry.machine.supply();
            let capacity = if supply.phases == 3 {
                3.0_f64.sqrt()
            } else {
                1.0
            } * supply.volts
                * supply.amperes;
            near(capacity, power, 1e-6 * power);
        }
    }
    assert_eq!(class("no_such_machine"), None);
}

// ---- every machine, every state ----

/// Every class with its own control and without any.
fn all_machines() -> impl Iterator<Item = (&'static str, Machine)> {
    catalogue().flat_map(|entry| {
        [
            (entry.name, entry.machine),
            (entry.name, always(entry.machine)),
        ]
    })
}

fn flows(effect: &Effect) -> [f64; 9] {
    [
        effect.vapour,
        effect.enthalpy,
        effect.outside_air,
        effect.electricity,
        effect.fuel,
        effect.condensate,
        effect.carbon_dioxide,
        effect.expelled,
        effect.duty,
    ]
}

fn any_air() -> impl Strategy<Value = MoistAir> {
    (-40.0..60.0_f64, 0.0..=1.0_f64, 60_000.0..105_000.0_f64)
        .prop_map(|(t, r, p)| MoistAir::from_relative_humidity(t, r, p))
}

proptest! {
    #[test]
    fn analytic_energy_balance_and_finite(inside in any_air(), outside in any_air(), hour_of_day in 0.0..24.0_f64) {
        let surroundings = Surroundings { inside, outside, hour_of_day, wind_speed: 3.0 };
        for (name, machine) in all_machines() {
            let effect = machine.effect(&surroundings);
            prop_assert!(flows(&effect).iter().all(|flow| flow.is_finite()), "{name}: {effect:?}");
            prop_assert!((0.0..=1.0).contains(&effect.duty));
            for flow in [effect.outside_air, effect.electricity, effect.fuel, effect.condensate, effect.carbon_dioxide] {
                prop_assert!(flow >= 0.0, "{name}: {effect:?}");
            }
            let put_in = effect.electricity + effect.fuel;
            prop_assert!((put_in - effect.enthalpy - effect.expelled).abs() <= 1e-9 * (put_in + effect.enthalpy.abs() + 1.0), "{name}: {effect:?}");
            match machine {
                // What leaves is the condensate and nothing else.
                Machine::Refrigerant(_) => prop_assert!((effect.expelled - effect.condensate * 4186.0 * inside.temperature).abs() < 1e-6),
                Machine::Electric(_) | Machine::DirectFired(_) | Machine::MakeUpAir(_) | Machine::Fan(_) => prop_assert_eq!(effect.expelled, 0.0),
                Machine::Desiccant(_) => prop_assert!(effect.vapour <= 0.0),
                Machine::IndirectFired(_) | Machine::OutsideAirExchange(_) => prop_assert!(effect.expelled >= 0.0),
                Machine::AssumedAir(_) => prop_assert!(false, "no class is an assumption"),
            }
        }
    }

    #[test]
    fn analytic_drier_air_gives_no_more_water(t in -40.0..60.0_f64, one in 0.0..=1.0_f64, other in 0.0..=1.0_f64) {
        let (drier, damper) = (room(t, one.min(other)), room(t, one.max(other)));
        for (name, machine) in all_machines().filter(|(_, machine)| matches!(machine, Machine::Refrigerant(_) | Machine::Desiccant(_))) {
            let (less, more) = (-machine.effect(&drier).vapour, -machine.effect(&damper).vapour);
            prop_assert!(less <= more * (1.0 + 1e-12) + 1e-18, "{name} at {t}: {less} from {one} or {other}, {more} from the damper");
        }
    }

    #[test]
    fn analytic_wheel_drier_air_at_any_velocity(t in -10.0..60.0_f64, v in 1.0..4.0_f64, w in 0.0..0.04_f64, less in 0.0..1.0_f64) {
        let (damper, drier) = (Wheel::at(t, w, v), Wheel::at(t, w * less, v));
        prop_assert!(drier.drying <= damper.drying + 1e-15, "{drier:?} {damper:?}");
        prop_assert!(drier.drying <= (w * less - 0.000_857).max(0.0));
    }
}

/// Follows the larger half of the widest change down to rounding: a jump stays, a slope vanishes.
fn assert_continuous(name: &str, from: f64, to: f64, effect_at: impl Fn(f64) -> Effect) {
    const PIECES: u32 = 400;
    let step = (to - from) / f64::from(PIECES);
    let scale: Vec<f64> = (0..=PIECES)
        .map(|i| flows(&effect_at(from + f64::from(i) * step)))
        .fold(vec![1e-9; 9], |scale, flows| {
            scale
                .iter()
                .zip(flows)
                .map(|(s, f)| s.max(f.abs()))
                .collect()
        });
    let change = |a: f64, b: f64| {
        let (a, b) = (flows(&effect_at(a)), flows(&effect_at(b)));
        a.iter()
            .zip(b)
            .zip(&scale)
            .map(|((a, b), s)| (a - b).abs() / s)
            .fold(0.0, f64::max)
    };
    for i in 0..PIECES {
        let (mut low, mut high) = (from + f64::from(i) * step, from + f64::from(i + 1) * step);
        for _ in 0..40 {
            if change(low, high) < 1e-3 {
                break;
            }
            let middle = 0.5 * (low + high);
            if change(low, middle) >= change(middle, high) {
                high = middle;
            } else {
                low = middle;
            }
        }
        assert!(change(low, high) < 1e-3, "{name} jumps at {low}");
    }
}

#[test]
fn analytic_every_machine_is_continuous() {
    for (name, machine) in all_machines() {
        for r in [0.05, 0.3, 0.6, 1.0] {
            assert_continuous(name, -40.0, 60.0, |t| machine.effect(&room(t, r)));
            assert_continuous(name, -40.0, 60.0, |t| {
                machine.effect(&Surroundings {
                    outside: state(t, r),
                    ..room(18.0, 0.5)
                })
            });
        }
        for t in [-5.0, 8.0, 14.0, 20.0, 31.0, 37.5, 45.0] {
            assert_continuous(name, 0.0, 1.0, |r| machine.effect(&room(t, r)));
        }
    }
}
