//! A delay split fairly over its causes: a pure function of "days with these causes on".
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | n | number of causes | 1 |
//! | S | a set of causes, as bits | - |
//! | f(S) | days with exactly the causes of S on | days |
//! | `φ_i` | share of cause i | days |
//!
//! # Equations
//! ```text
//! φ_i = mean over all n! orders of f(causes up to and with i) - f(causes before i)
//!     = sum over S without i of |S|! (n - |S| - 1)! / n! (f(S + i) - f(S))
//! sum of φ_i = f(all) - f(none)
//! interaction = f(all) - f(none) - sum of (f({i}) - f(none))
//! ```
//! Up to [`EXACT`] causes all 2^n sets are computed. Above, [`PAIRS`] random orders are taken, each with its reverse, which
//! cancels interactions of two causes in the mean; the standard error is that of the means of the pairs. Every order
//! sums to the delay, so the mean does too.
//!
//! # Source
//! L. S. Shapley, A value for n-person games, in Contributions to the Theory of Games II, Princeton 1953 (from memory). Reversed
//! orders as antithetic pairs: common practice in sampling.
//!
//! # Proof of accuracy
//! `analytic_attribution_*` in `tests/it/delay.rs`.

use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// Most causes for which every set is computed: 256 sets.
pub const EXACT: usize = 8;
/// Pairs of orders when there are more causes.
pub const PAIRS: usize = 24;
/// Most causes: sets are bits of a `u32`, and a waterfall of more bars says nothing.
pub const MOST: usize = 24;
/// Start of the random numbers: any number, always the same, so that two runs print the same.
const SEED: u64 = 0x5EED_0F0D_AE5E_ED01;

/// The split of a delay.
#[derive(Clone, Debug, PartialEq)]
pub struct Attribution {
    /// Days with no cause on.
    pub none: f64,
    /// Days with all causes on.
    pub all: f64,
    /// Share of each cause in days; they sum to `all - none`.
    pub shares: Vec<f64>,
    /// Days that each cause adds with no other on.
    pub alone: Vec<f64>,
    /// Days that would be saved by taking each cause away from all.
    pub last: Vec<f64>,
    /// Standard error of each share, if orders were sampled.
    pub standard_errors: Option<Vec<f64>>,
    /// Days of every set that was computed.
    pub computed: BTreeMap<u32, f64>,
}

impl Attribution {
    /// `all - none`.
    #[must_use]
    pub fn delay(&self) -> f64 {
        self.all - self.none
    }

    /// What the causes cost together beyond one by one; negative when they cost less.
    #[must_use]
    pub fn interaction(&self) -> f64 {
        self.delay() - self.alone.iter().sum::<f64>()
    }
}

/// Why nothing was split.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum AttributionFault<E> {
    /// More causes than bits.
    #[error("A delay can be split over at most {MOST} causes, not {0}.")]
    TooMany(usize),
    /// The days of a set could not be had.
    #[error("{0}")]
    Set(E),
}

/// Splits `f(all) - f(none)` over `causes` causes. `f` is asked once for each set that is needed, in parallel.
///
/// # Errors
/// More than [`MOST`] causes, or the first error of `f` in the order of the sets.
pub fn attribute<E: Send>(
    causes: usize,
    f: impl Fn(u32) -> Result<f64, E> + Sync,
) -> Result<Attribution, AttributionFault<E>> {
    if causes > MOST {
        return Err(AttributionFault::TooMany(causes));
    }
    let all: u32 = (1 << causes) - 1;
    let orders = (causes > EXACT).then(|| pairs(causes));
    let wanted: BTreeSet<u32> = match &orders {
        None => (0..=all).collect(),
        Some(orders) => {
            let singles = (0..causes).flat_map(|i| [1 << i, all & !(1 << i)]);
            singles
                .chain(orders.iter().flatten().flat_map(|order| prefixes(order)))
                .collect()
        }
    };
    let days: Vec<Result<(u32, f64), E>> = wanted
        .into_par_iter()
        .map(|set| f(set).map(|days| (set, days)))
        .collect();
    let computed: BTreeMap<u32, f64> = days
        .into_iter()
        .collect::<Result<_, E>>()
        .map_err(AttributionFault::Set)?;
    let at = |set: u32| computed.get(&set).copied().unwrap_or(f64::NAN);
    let (shares, standard_errors) = match &orders {
        None => ((0..causes).map(|i| exact(i, causes, &at)).collect(), None),
        Some(orders) => {
            let (shares, errors) = sampled(causes, orders, &at);
            (shares, Some(errors))
        }
    };
    Ok(Attribution {
        none: at(0),
        all: at(all),
        shares,
        alone: (0..causes).map(|i| at(1 << i) - at(0)).collect(),
        last: (0..causes).map(|i| at(all) - at(all & !(1 << i))).collect(),
        standard_errors,
        computed,
    })
}

/// Share of one cause from all sets.
fn exact(cause: usize, causes: usize, at: &impl Fn(u32) -> f64) -> f64 {
    let bit = 1 << cause;
    let all: u32 = (1 << causes) - 1;
    (0..=all)
        .filter(|set| set & bit == 0)
        .map(|set| weight(set.count_ones() as usize, causes) * (at(set | bit) - at(set)))
        .sum()
}

/// `k! (n - k - 1)! / n!`: 1 over n times the number of sets of k among n - 1.
fn weight(before: usize, causes: usize) -> f64 {
    let mut choices = 1.0;
    for i in 0..before {
        choices *= (causes - 1 - i) as f64 / (i + 1) as f64;
    }
    1.0 / (causes as f64 * choices)
}

/// The sets on the way along an order, from none to all.
fn prefixes(order: &[usize]) -> Vec<u32> {
    let mut set = 0;
    std::iter::once(0)
        .chain(order.iter().map(|cause| {
            set |= 1 << cause;
            set
        }))
        .collect()
}

/// Random orders, each with its reverse.
fn pairs(causes: usize) -> Vec<[Vec<usize>; 2]> {
    let mut state = SEED;
    (0..PAIRS)
        .map(|_| {
            let mut order: Vec<usize> = (0..causes).collect();
            for i in (1..causes).rev() {
                order.swap(i, (next(&mut state) % (i as u64 + 1)) as usize);
            }
            let reverse = order.iter().rev().copied().collect();
            [order, reverse]
        })
        .collect()
}

/// `SplitMix64` (Steele, Lea and Flood 2014, from memory).
fn next(state: &mut u64) -> u64 {
    *state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
    let mut z = *state;
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

fn sampled(
    causes: usize,
    orders: &[[Vec<usize>; 2]],
    at: &impl Fn(u32) -> f64,
) -> (Vec<f64>, Vec<f64>) {
    let gains: Vec<Vec<f64>> = orders
        .iter()
        .map(|pair| {
            let mut mean = vec![0.0; causes];
            for order in pair {
                for (cause, step) in order.iter().zip(prefixes(order).windows(2)) {
                    mean[*cause] += 0.5 * (at(step[1]) - at(step[0]));
                }
            }
            mean
        })
        .collect();
    let n = gains.len() as f64;
    let shares: Vec<f64> = (0..causes)
        .map(|i| gains.iter().map(|g| g[i]).sum::<f64>() / n)
        .collect();
    let errors = (0..causes)
        .map(|i| {
            let squares: f64 = gains.iter().map(|g| (g[i] - shares[i]).powi(2)).sum();
            (squares / (n - 1.0) / n).sqrt()
        })
        .collect();
    (shares, errors)
}
