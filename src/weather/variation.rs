//! Other seasons that the same place might have had, made from one series.
//!
//! * From a recorded or typical year: whole blocks of days are taken from other times of the same season (a block
//!   bootstrap), so that the hours within a block keep their order and their humidity.
//! * From monthly means: warmer or colder by amounts that go over from block to block, at the same relative humidity.
//!
//! Source of the first: Künsch 1989, The Annals of Statistics 17 (block bootstrap, from memory).

use super::Hourly;
use super::hourly::HOUR;
use crate::air::MoistAir;

const HOURS_PER_DAY: i64 = 24;

impl Hourly {
    /// Blocks of `block` days, each taken from `shifts` days later (or earlier, below zero); the last shift holds for
    /// what is left. A block that would not lie wholly inside the series is taken as it was.
    #[must_use]
    pub fn with_blocks_moved(&self, block: u32, shifts: &[i64]) -> Self {
        let length = block.max(1) as usize * HOURS_PER_DAY as usize;
        self.remade(|index| {
            let which = index / length;
            let first = which * length;
            let last = (first + length).min(self.len()) - 1;
            let shift = shifts.get(which).or(shifts.last()).copied().unwrap_or(0);
            let moved = |index: usize| {
                let from = (index as i64).checked_add(shift.checked_mul(HOURS_PER_DAY)?)?;
                usize::try_from(from).ok().filter(|&i| i < self.len())
            };
            let whole = moved(first).and(moved(last)).and_then(|_| moved(index));
            self.value(whole.unwrap_or(index))
        })
    }

    /// Warmer by an entry of `warmer` \[K\] at the start of every block of `block` days and of what follows the last, in a
    /// straight line from one to the next; the relative humidity stays.
    #[must_use]
    pub fn with_blocks_warmer(&self, block: u32, warmer: &[f64]) -> Self {
        let hours = f64::from(block.max(1)) * HOURS_PER_DAY as f64;
        let of = |i: usize| warmer.get(i).or(warmer.last()).copied().unwrap_or(0.0);
        self.remade(|index| {
            let place = index as f64 / hours;
            let (first, share) = (place.floor() as usize, place.fract());
            let by = of(first) + share * (of(first + 1) - of(first));
            let mut air = self.value(index);
            let humid = MoistAir {
                temperature: air.temperature,
                humidity_ratio: air.humidity_ratio,
                pressure: air.pressure,
            };
            let humidity = humid.relative_humidity().clamp(0.0, 1.0);
            air.temperature += by;
            air.humidity_ratio =
                MoistAir::from_relative_humidity(air.temperature, humidity, air.pressure)
                    .humidity_ratio;
            air
        })
    }

    /// Days in the series, begun ones counted.
    #[must_use]
    pub fn days(&self) -> u32 {
        (self.duration() / HOUR / HOURS_PER_DAY as f64).ceil() as u32
    }
}
