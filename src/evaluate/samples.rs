//! What sampled runs say: quantiles, range of days, share in time.

/// Shares at the ends and in the middle of the range shown.
pub const SHARES: [f64; 3] = [0.1, 0.5, 0.9];

/// One sampled run of one setup.
#[derive(Clone, Debug, PartialEq)]
pub struct Sample {
    /// Days until every target is met; infinite when never in the time simulated.
    pub days: f64,
    /// Rental and energy, as far as priced.
    pub cost: f64,
    /// First target's reading at the start of each day of drying.
    pub course: Vec<f64>,
}

/// What a setup's samples say.
#[derive(Clone, Debug, PartialEq)]
pub struct Odds {
    /// In the order of the sequence; those that the solver gave up on are left out.
    pub samples: Vec<Sample>,
    /// Samples that the solver gave up on.
    pub failed: usize,
    /// Share of samples in time; `None` without a date to keep.
    pub in_time: Option<f64>,
}

/// Quantile of values sorted in rising order: linear between the order statistics at `(n + 1) p` (Hyndman & Fan 1996, type
/// 6), so that a new value falls below it with probability `p` whatever the number of samples. Infinite where it falls
/// among infinite values; `None` without values.
#[must_use]
pub fn quantile(sorted: &[f64], share: f64) -> Option<f64> {
    let last = sorted.len().checked_sub(1)?;
    let place = (share * (last + 2) as f64 - 1.0).clamp(0.0, last as f64);
    let (low, part) = (place.floor() as usize, place.fract());
    let (a, b) = (*sorted.get(low)?, *sorted.get((low + 1).min(last))?);
    // Two infinite neighbours have no difference.
    Some(if part == 0.0 || a == b {
        a
    } else {
        a + part * (b - a)
    })
}

impl Odds {
    /// Days at a share of the samples; `None` when that lies after the last day simulated.
    #[must_use]
    pub fn days(&self, share: f64) -> Option<f64> {
        let mut days: Vec<f64> = self.samples.iter().map(|s| s.days).collect();
        days.sort_by(f64::total_cmp);
        quantile(&days, share).filter(|d| d.is_finite())
    }

    /// Share of samples that are dry within so many days; zero without samples.
    #[must_use]
    pub fn within(&self, days: f64) -> f64 {
        let good = self.samples.iter().filter(|s| s.days <= days).count();
        good as f64 / self.samples.len().max(1) as f64
    }

    /// Mean cost.
    #[must_use]
    pub fn mean_cost(&self) -> f64 {
        let sum: f64 = self.samples.iter().map(|s| s.cost).sum();
        sum / self.samples.len().max(1) as f64
    }

    /// Readings of the first target by day: day, then the readings at [`SHARES`]. A sample that is done keeps its last
    /// reading, at the limit.
    #[must_use]
    pub fn course(&self) -> Vec<(f64, [f64; 3])> {
        let longest = self.samples.iter().map(|s| s.course.len()).max();
        let mut out = Vec::new();
        for day in 0..longest.unwrap_or(0) {
            let mut readings: Vec<f64> = self
                .samples
                .iter()
                .filter_map(|s| s.course.get(day).or(s.course.last()).copied())
                .filter(|r| r.is_finite())
                .collect();
            readings.sort_by(f64::total_cmp);
            let at = |share| quantile(&readings, share);
            if let (Some(a), Some(b), Some(c)) = (at(SHARES[0]), at(SHARES[1]), at(SHARES[2])) {
                out.push((day as f64, [a, b, c]));
            }
        }
        out
    }
}
