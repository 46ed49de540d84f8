//! Openings driven by wind and warmth.

use super::near;
use coatday::air::{GAS_CONSTANT_DRY_AIR, KELVIN_AT_ZERO_CELSIUS, MoistAir, STANDARD_PRESSURE};
use coatday::gear::exchange::{Direction, ExchangeRule, Flow, OutsideAirExchange};
use coatday::gear::opening::{Opening, Path};
use coatday::gear::{Supply, Surroundings};

fn through(area: f64, height: f64) -> Opening {
    Opening {
        area,
        height,
        path: Path::Through,
    }
}

/// EN 15242:2007 (from memory): `q = 3.6 x 500 A V^0.5` m3/h with `V = 0.01 + 0.001 v^2 + 0.0035 H dT`. For 1 m2, 1 m, 10 K and 3 m/s
/// V is 0.054 and q 418.3 m3/h.
#[test]
fn ref_opening_on_one_side() {
    let window = Opening {
        area: 1.0,
        height: 1.0,
        path: Path::OneSide,
    };
    near(window.flow(20.0, 10.0, 3.0) * 3600.0, 418.28, 0.01);
    near(window.flow(10.0, 20.0, 3.0) * 3600.0, 418.28, 0.01);
    near(window.flow(20.0, 20.0, 0.0) * 3600.0, 180.0, 1e-9);
}

/// ASHRAE Handbook: Fundamentals, older form for equal openings (from memory): `Q = 9.4 A sqrt(h (t_i - t_o))` in cfm, ft2, ft and degF,
/// with h between inlet and outlet. It stands for one usual indoor temperature, hence 2 %.
#[test]
fn ref_opening_stack_in_trade_units() {
    const FOOT: f64 = 0.3048;
    const CUBIC_FEET_PER_MINUTE: f64 = FOOT * FOOT * FOOT / 60.0;
    for (area, height, difference) in [(10.0, 20.0, 20.0), (40.0, 12.0, 35.0), (5.0, 30.0, 60.0)] {
        let wanted = 9.4 * area * f64::sqrt(height * difference);
        let inside = 26.67;
        let found =
            through(area * FOOT * FOOT, height * FOOT).flow(inside, inside - difference / 1.8, 0.0)
                / CUBIC_FEET_PER_MINUTE;
        near(found / wanted, 1.0, 0.02);
    }
}

/// The neutral level found by halving: the same mass goes in through one orifice and out through the other, with the densities of an
/// ideal gas. The printed form takes one density for both, which at 20 K costs 2 % of the air that comes in.
#[test]
fn analytic_opening_stack_from_pressures() {
    let (inside, outside, height, area) = (20.0, 0.0, 8.0, 2.0);
    let density =
        |t: f64| STANDARD_PRESSURE / (GAS_CONSTANT_DRY_AIR * (t + KELVIN_AT_ZERO_CELSIUS));
    let (light, heavy) = (density(inside), density(outside));
    let all = (heavy - light) * 9.806_65 * height;
    let mass_in = |p: f64| 0.65 * area * (2.0 * heavy * p).sqrt();
    let mass_out = |p: f64| 0.65 * area * (2.0 * light * (all - p)).sqrt();
    let (mut low, mut high) = (0.0, all);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if mass_in(middle) < mass_out(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    let comes_in = mass_in(low) / heavy;
    near(
        through(area, height).flow(inside, outside, 0.0) / comes_in,
        1.0,
        0.02,
    );
}

/// Wind alone: effectiveness 0.3 of a wind at 0.6 of the station's (the two values are the file's; the product is arithmetic).
/// With warmth the squares add.
#[test]
fn analytic_opening_wind_and_stack_add_as_squares() {
    let door = through(2.0, 4.0);
    near(door.flow(20.0, 20.0, 5.0), 0.3 * 0.6 * 5.0 * 2.0, 1e-3);
    let wind = door.flow(20.0, 20.0, 5.0);
    let stack = door.flow(20.0, 5.0, 0.0);
    near(
        door.flow(20.0, 5.0, 5.0),
        (wind * wind + stack * stack).sqrt(),
        1e-3,
    );
    // Still something in a calm without warmth, and no step there.
    let calm = door.flow(20.0, 20.0, 0.0);
    assert!(calm > 0.0 && calm < 0.03);
    assert!((door.flow(20.0 + 1e-9, 20.0, 0.0) - calm).abs() < 1e-6);
}

#[test]
fn analytic_opening_in_an_exchange() {
    let outside = MoistAir::from_relative_humidity(0.0, 0.8, STANDARD_PRESSURE);
    let surroundings = Surroundings {
        inside: MoistAir::from_relative_humidity(20.0, 0.5, STANDARD_PRESSURE),
        outside,
        wind_speed: 4.0,
        hour_of_day: 12.0,
    };
    let opening = through(3.0, 2.5);
    let exchange = OutsideAirExchange {
        flow: Flow::Opening(opening),
        direction: Direction::Exhaust,
        power: 0.0,
        rule: ExchangeRule::Always,
        supply: Supply::NONE,
    };
    let effect = exchange.effect(&surroundings);
    near(
        effect.outside_air,
        opening.flow(20.0, 0.0, 4.0) * outside.density_of_dry_air(),
        1e-12,
    );
    assert_eq!((effect.electricity, effect.enthalpy), (0.0, 0.0));
}
