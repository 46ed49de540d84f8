//! Other seasons made from one series.

use approx::assert_relative_eq;
use coatday::air::MoistAir;
use coatday::weather::{Hourly, OutsideAir};

use super::{HOUR, moment};

/// Every hour with a temperature of its own: its number.
fn numbered(days: usize) -> Hourly {
    let hours = (0..=days * 24)
        .map(|i| OutsideAir {
            temperature: i as f64 / 100.0,
            humidity_ratio: 0.004,
            pressure: 101_325.0,
            wind_speed: 0.0,
            rain: 0.0,
        })
        .collect();
    Hourly::new(moment(2026, 4, 1, 0), hours).expect("a series")
}

/// A block comes whole from another time, or stays whole where it would lie outside the series, be it by a single day.
#[test]
fn analytic_blocks_are_moved_whole() {
    const BLOCK: usize = 7;
    let series = numbered(6 * BLOCK);
    // The second block would begin before the series, the fifth end a day after it.
    let shifts = [5, -8, 20, -14, 8, 0];
    let moved = series.with_blocks_moved(BLOCK as u32, &shifts);
    let stays = [false, true, false, false, true, false];
    for (block, (shift, stays)) in shifts.iter().zip(stays).enumerate() {
        for hour in 0..BLOCK * 24 {
            let index = block * BLOCK * 24 + hour;
            let from = if stays {
                index as i64
            } else {
                index as i64 + shift * 24
            };
            assert_relative_eq!(
                moved.at(index as f64 * HOUR).temperature,
                from as f64 / 100.0,
                epsilon = 1e-9
            );
        }
    }
}

/// Warmer by what stands at the start of each block, in straight lines, at the same relative humidity.
#[test]
fn analytic_warmer_at_the_same_humidity() {
    let series = numbered(21);
    let warmer = [2.0, -4.0, 1.0, 0.0];
    let changed = series.with_blocks_warmer(7, &warmer);
    let humidity = |air: OutsideAir| {
        MoistAir {
            temperature: air.temperature,
            humidity_ratio: air.humidity_ratio,
            pressure: air.pressure,
        }
        .relative_humidity()
    };
    for hour in 0..=21 * 24 {
        let time = f64::from(hour) * HOUR;
        let (before, after) = (series.at(time), changed.at(time));
        let week = f64::from(hour) / 168.0;
        let first = week.floor() as usize;
        let next = warmer.get(first + 1).copied().unwrap_or(0.0);
        let by = warmer[first] + week.fract() * (next - warmer[first]);
        assert_relative_eq!(after.temperature, before.temperature + by, epsilon = 1e-9);
        assert_relative_eq!(
            humidity(after),
            humidity(before).min(1.0),
            max_relative = 1e-9
        );
    }
}
