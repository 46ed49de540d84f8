//! Fans, controls and outside-air exchange.

use super::{near, refrigerant, room, state};
use coatday::air::{MoistAir, STANDARD_PRESSURE};
use coatday::gear::controls::{
    Control, Hours, Humidistat, HumiditySetpoint, NARROWEST_BAND_TEMPERATURE, SecondStage,
    Thermostat,
};
use coatday::gear::exchange::{DRIER_BAND, Direction, ExchangeRule, Flow, OutsideAirExchange};
use coatday::gear::fan::{Fan, FloorAir, FloorSpeed, Footprint, STILL_AIR};
use coatday::gear::refrigerant::Refrigerant;
use coatday::gear::{Effect, Supply, Surroundings};

// ---- fans ----

fn jet(flow: f64, outlet_area: f64) -> Fan {
    Fan {
        floor_speed: FloorSpeed::Jet { flow, outlet_area },
        power: 235.0,
        supply: Supply::NONE,
        control: Control::ALWAYS,
    }
}

/// A floor broad enough to hold the whole jet has a closed form: with s = sqrt(A0) and k = sqrt(pi / ln 2), the integral of the speed is
/// U0 k (s^2 + 21 s^2 / 8 + 5 s (L - 5 s) / 4).
#[test]
fn analytic_fan_broad_floor() {
    for (flow, area, length) in [(0.38, 0.035, 4.0), (1.42, 0.13, 3.0), (0.47, 0.09, 10.0)] {
        let (speed, side) = (flow / area, f64::sqrt(area));
        let k = (std::f64::consts::PI / std::f64::consts::LN_2).sqrt();
        let integral =
            speed * k * (side * side * (1.0 + 21.0 / 8.0) + 1.25 * side * (length - 5.0 * side));
        let breadth = 2.0 * length;
        let found = jet(flow, area).mean_floor_air_speed(Footprint { length, breadth });
        near(found, integral / (length * breadth), 1e-6);
    }
}

/// Printed means over 2.5 x 2.5, 4 x 4, 6 x 7 and 8 x 10 m of floor, derived from the jet law with the same constants; they guard the
/// quadrature, not the law.
#[test]
fn regress_fan_mean_speeds() {
    let footprints = [(2.5, 2.5), (4.0, 4.0), (6.0, 7.0), (8.0, 10.0)];
    let table = [
        (0.38, 0.035, [1.8, 1.2, 0.7, 0.5]),
        (0.47, 0.09, [1.2, 0.9, 0.5, 0.4]),
        (1.42, 0.13, [2.9, 2.1, 1.3, 0.95]),
    ];
    for (flow, area, means) in table {
        for ((length, breadth), wanted) in footprints.into_iter().zip(means) {
            near(
                jet(flow, area).mean_floor_air_speed(Footprint { length, breadth }),
                wanted,
                0.05,
            );
        }
    }
}

#[test]
fn analytic_fan_floor_air() {
    let fan = jet(0.38, 0.035);
    let surroundings = room(20.0, 0.5);
    assert_eq!(FloorAir::new(&[], 50.0).speed(&surroundings), STILL_AIR);
    assert_eq!(
        FloorAir::new(&[(fan, 0.0)], 50.0).speed(&surroundings),
        STILL_AIR
    );
    let one = fan.mean_floor_air_speed(Footprint::square(16.0));
    near(
        FloorAir::new(&[(fan, 3.0)], 48.0).speed(&surroundings),
        one,
        1e-12,
    );
    // Two kinds, two and one of them: the mean by area.
    let given = Fan {
        floor_speed: FloorSpeed::Given(1.0),
        ..fan
    };
    near(
        FloorAir::new(&[(fan, 2.0), (given, 1.0)], 48.0).speed(&surroundings),
        (2.0 * one + 1.0) / 3.0,
        1e-12,
    );
    let nights = Control {
        hours: Some(Hours {
            from: 20.0,
            until: 6.0,
        }),
        ..Control::ALWAYS
    };
    assert_eq!(
        FloorAir::new(
            &[(
                Fan {
                    control: nights,
                    ..fan
                },
                1.0
            )],
            16.0
        )
        .speed(&surroundings),
        STILL_AIR
    );
    // All power is heat.
    assert_eq!(fan.effect(&surroundings).enthalpy, 235.0);
    // Nonsense does not panic.
    assert_eq!(
        jet(0.0, 0.0).mean_floor_air_speed(Footprint::square(-1.0)),
        STILL_AIR
    );
}

// ---- controls and exchange ----

#[test]
fn analytic_control_bands() {
    let thermostat = Thermostat {
        setpoint: 20.0,
        band: 2.0,
    };
    for (t, duty) in [
        (18.0, 1.0),
        (19.0, 1.0),
        (19.5, 0.75),
        (20.0, 0.5),
        (21.0, 0.0),
        (30.0, 0.0),
    ] {
        near(thermostat.duty(t), duty, 1e-12);
    }
    near(
        Thermostat {
            band: 0.0,
            ..thermostat
        }
        .duty(20.0 + NARROWEST_BAND_TEMPERATURE),
        0.0,
        1e-12,
    );
    let humidistat = Humidistat {
        setpoint: HumiditySetpoint::RelativeHumidity(0.5),
        band: 0.1,
        second_stage: None,
    };
    for (r, duty) in [(0.45, 0.0), (0.5, 0.5), (0.525, 0.75), (0.55, 1.0)] {
        near(humidistat.duty(&room(20.0, r)), duty, 1e-9);
    }
    let staged = Humidistat {
        second_stage: Some(SecondStage {
            offset: 0.1,
            first_share: 0.4,
        }),
        ..humidistat
    };
    for (r, duty) in [(0.45, 0.0), (0.55, 0.4), (0.6, 0.7), (0.65, 1.0)] {
        near(staged.duty(&room(20.0, r)), duty, 1e-9);
    }
    let dew_point = Humidistat {
        setpoint: HumiditySetpoint::DewPoint(8.0),
        band: 2.0,
        second_stage: None,
    };
    for (point, duty) in [(6.5, 0.0), (8.0, 0.5), (8.5, 0.75), (9.5, 1.0)] {
        let inside = MoistAir::from_dew_point(20.0, point, STANDARD_PRESSURE);
        near(
            dew_point.duty(&Surroundings {
                inside,
                ..room(20.0, 0.5)
            }),
            duty,
            1e-9,
        );
    }
    assert_eq!(dew_point.duty(&room(20.0, 0.0)), 0.0);
}

#[test]
fn analytic_control_hours_and_parts() {
    let day = Hours {
        from: 7.0,
        until: 17.0,
    };
    assert!(day.contains(7.0) && day.contains(16.9) && !day.contains(17.0) && !day.contains(3.0));
    let night = Hours {
        from: 20.0,
        until: 6.0,
    };
    assert!(
        night.contains(20.0)
            && night.contains(23.0)
            && night.contains(2.0)
            && !night.contains(6.0)
            && !night.contains(12.0)
    );
    assert!(
        Hours {
            from: 8.0,
            until: 8.0
        }
        .contains(1.0)
    );
    let control = Control {
        hours: Some(night),
        ..Control::thermostat(Thermostat {
            setpoint: 20.0,
            band: 2.0,
        })
    };
    assert_eq!(control.duty(&room(5.0, 0.5)), 0.0);
    near(
        control.duty(&Surroundings {
            hour_of_day: 23.0,
            ..room(19.5, 0.5)
        }),
        0.75,
        1e-12,
    );
    assert_eq!(control.switching_hours(), Some([20.0, 6.0]));
    assert_eq!(Control::ALWAYS.duty(&room(5.0, 0.5)), 1.0);
}

/// Cycling costs run time: at half duty a six-unit machine runs 0.5 / 0.95 of the time (Winkler et al. 2011).
#[test]
fn ref_refrigerant_part_load() {
    let humidistat = Humidistat {
        setpoint: HumiditySetpoint::RelativeHumidity(0.6),
        band: 0.1,
        second_stage: None,
    };
    let full = refrigerant("refrigerant_commercial");
    let half = Refrigerant {
        control: Control::humidistat(humidistat),
        ..full
    }
    .effect(&room(26.7, 0.6));
    near(half.duty, 0.5, 1e-9);
    near(-half.vapour, 0.5 * full.rated_removal, 1e-12);
    near(half.electricity, full.rated_power() * 0.5 / 0.95, 1e-5);
}

#[test]
fn analytic_exchange_rules() {
    let exchange = OutsideAirExchange {
        flow: Flow::Given(0.5),
        direction: Direction::Exhaust,
        power: 100.0,
        rule: ExchangeRule::WhenOutsideDrier { margin: 1e-3 },
        supply: Supply::NONE,
    };
    let with_difference = |difference: f64| {
        let base = room(20.0, 0.5);
        let outside = MoistAir {
            humidity_ratio: base.inside.humidity_ratio - difference,
            ..base.outside
        };
        Surroundings { outside, ..base }
    };
    for (difference, duty) in [
        (-2e-3, 0.0),
        (1e-3, 0.0),
        (1e-3 + 0.5 * DRIER_BAND, 0.5),
        (1e-3 + 2.0 * DRIER_BAND, 1.0),
    ] {
        near(
            exchange.effect(&with_difference(difference)).duty,
            duty,
            1e-9,
        );
    }
    // Damp cold air can be dry air: 5 degC at 80 % against 20 degC at 50 %.
    let effect = exchange.effect(&room(20.0, 0.5));
    near(
        effect.outside_air,
        0.5 * state(20.0, 0.5).density_of_dry_air(),
        1e-12,
    );
    assert_eq!((effect.enthalpy, effect.expelled), (0.0, 100.0));
    let blown_in = OutsideAirExchange {
        direction: Direction::Supply,
        rule: ExchangeRule::Always,
        ..exchange
    };
    let effect = blown_in.effect(&room(20.0, 0.5));
    near(
        effect.outside_air,
        0.5 * state(5.0, 0.8).density_of_dry_air(),
        1e-12,
    );
    assert_eq!((effect.enthalpy, effect.expelled), (100.0, 0.0));
    let hours = OutsideAirExchange {
        rule: ExchangeRule::Hours(Hours {
            from: 0.0,
            until: 6.0,
        }),
        ..exchange
    };
    assert_eq!(hours.effect(&room(20.0, 0.5)), Effect::default());
}
