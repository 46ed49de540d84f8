//! What a machine costs to rent.
//!
//! A rental house charges by the day, the week and four weeks, whichever combination comes out lowest, and by whole days begun. With
//! `c(0) = 0` and rates of price `p_i` for `d_i` days
//!
//! ```text
//! c(n) = min_i ( p_i + c(max(n - d_i, 0)) )
//! ```
//! Source: rental houses' published terms; $100, $300 and $800 make nine days $500 and three weeks $800 (`ref_rental_as_billed`).
//! Hours on a meter, damage waivers and taxes are not counted.

use crate::units::DAY;

/// A price and the time that it pays for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rate {
    /// Whole days that it pays for.
    pub days: usize,
    /// Its price.
    pub price: f64,
}

impl Rate {
    /// A price per time \[money/s\], charged by this time \[s\]; a shorter time than a day is charged by the day.
    #[must_use]
    pub fn new(per_second: f64, charged_by: f64) -> Self {
        let days = (charged_by / DAY).round().max(1.0);
        Self {
            days: days as usize,
            price: per_second * days * DAY,
        }
    }
}

/// The terms on which one machine is rented.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rental {
    /// What is charged; empty where no price is given.
    pub rates: Vec<Rate>,
    /// Fewest days that are charged.
    pub least_days: f64,
    /// Bringing and fetching it, once.
    pub delivery: f64,
}

impl Rental {
    /// So much a day, and nothing else.
    #[must_use]
    pub fn per_day(price: f64) -> Self {
        Self {
            rates: vec![Rate { days: 1, price }],
            ..Self::default()
        }
    }

    /// Whether a price is given.
    #[must_use]
    pub fn priced(&self) -> bool {
        !self.rates.is_empty()
    }

    /// Rent for so many days, begun days counted whole; nothing where no price is given, and nothing for a machine that never came.
    #[must_use]
    pub fn rent(&self, days: f64) -> f64 {
        if days <= 0.0 || self.rates.iter().all(|rate| rate.price == 0.0) {
            return 0.0;
        }
        if days.is_infinite() {
            return f64::INFINITY;
        }
        let days = days.max(self.least_days).ceil() as usize;
        let mut lowest = vec![0.0; days + 1];
        for day in 1..=days {
            let with = |rate: &Rate| {
                let before = lowest.get(day.saturating_sub(rate.days)).copied();
                rate.price + before.unwrap_or(0.0)
            };
            let cheapest = self.rates.iter().map(with).fold(f64::INFINITY, f64::min);
            if let Some(place) = lowest.get_mut(day) {
                *place = cheapest;
            }
        }
        lowest.last().copied().unwrap_or(0.0)
    }
}
