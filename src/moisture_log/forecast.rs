//! The forecast sharpened by readings: which of the sampled worlds the readings agree with.
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | `y_i` | reading | as its method |
//! | `m_ik` | the same test in sampled world `k` | as its method |
//! | `s_i` | standard deviation: instrument and unevenness of the slab | as its method |
//! | `w_k` | weight of world `k` | 1 |
//!
//! ```text
//! z_ik = (y_i - m_ik) / s_i
//! ln w_k = - sum_i (nu + 1)/2 ln(1 + z_ik^2 / nu)        Student's t: one wild reading does not rule
//! n_eff  = 1 / sum_k w_k^2                               below LEAST_EFFECTIVE more worlds are sampled
//! ```
//! This is Bayes' rule by importance sampling from the prior of [`crate::evaluate::odds`]. Each place of the floor is weighted by its own
//! readings, those from before the gear went on among them, and the worst place rules. A world that is dry goes on until the last
//! reading, and a reading that some world cannot show is used in none: what a world does not say must not speak for it.
//!
//! Sources: Kong, Liu & Wong 1994 (effective sample size, from memory); Lange, Little & Taylor 1989 (t errors against
//! outliers, from memory).
//!
//! Accuracy: twin experiments in `tests/it/forecast.rs`.

use super::method::{Method, Reading, Spread};
use crate::evaluate::odds::{Draw, SHARES, days_allowed, quantile};
use crate::evaluate::{Accuracy, prepare_observed, run_observed};
use crate::job::Job;
use crate::moisture_tests::{Service, Target, dish};
use crate::simulation::{Progress, START_AGE, Snapshot};
use crate::units::DAY;
use rayon::prelude::*;

/// Degrees of freedom of the errors: few, so that a reading far off weighs little, and enough to stay near a normal law within
/// two standard deviations (common practice, no published source).
const NU: f64 = 5.0;
/// How far a perfect instrument may lie off the simulated test, beside what varies between the worlds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unexplained {
    /// Relative humidity, between neighbouring holes of one place.
    pub humidity: f64,
    /// Share of a mass percentage.
    pub mass: f64,
    /// Share of a dish's rate.
    pub dish: f64,
}

impl Unexplained {
    /// A real floor (common practice, no published source). The simulated dish was not checked against published dishes.
    pub const FLOOR: Self = Self {
        humidity: 0.01,
        mass: 0.05,
        dish: 0.5,
    };
    /// A floor that is one of the worlds.
    pub const NOTHING: Self = Self {
        humidity: 0.0,
        mass: 0.0,
        dish: 0.0,
    };
}

/// Fewest effective worlds that a range is read from: three of them then lie beyond either end of eight chances in ten (common
/// practice, no published source).
pub const LEAST_EFFECTIVE: f64 = 30.0;
/// Most worlds sampled to get there.
const MOST_WORLDS: u32 = 1024;
/// A reading this many standard deviations from what the other readings make likely is pointed out: of good readings with normal
/// errors it is one in 370 (common practice, no published source).
const OUTLIER: f64 = 3.0;
/// Readings that the nearest world misses by more than this, in the root mean square, are beyond the model: twice what their
/// errors explain (common practice, no published source).
const BEYOND: f64 = 2.0;
/// A world of less weight than this is no truth to look from when a test's worth is computed: all such worlds together
/// hold at most a tenth ([`MOST_WORLDS`] times this).
const NEGLIGIBLE: f64 = 1e-4;

/// One sampled world, run with the setup on site.
#[derive(Clone, Debug)]
pub struct World {
    /// Its inputs.
    pub draw: Draw,
    /// Days until every target is met; infinite when never.
    pub days: f64,
    /// First target's reading at the start of each day of drying.
    pub course: Vec<f64>,
    /// What each reading's test would have shown.
    pub predicted: Vec<f64>,
}

/// One reading held against the forecast.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// Place of the reading in the list given.
    pub reading: usize,
    /// What the forecast expected of it, given all readings of its place.
    pub expected: f64,
    /// How far it lies off, in standard deviations of reading and forecast.
    pub off: f64,
    /// Whether it is pointed out as an outlier.
    pub outlier: bool,
}

/// How far the readings moved one input.
#[derive(Clone, Debug, PartialEq)]
pub struct Moved {
    /// The input, in words.
    pub input: &'static str,
    /// Mean before and after, in the input's own terms (factors as such).
    pub mean: (f64, f64),
    /// The move in standard deviations of the prior.
    pub by: f64,
}

/// The range of days after some readings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Seconds since placing of the last reading used; the start of drying for the prior.
    pub at: f64,
    /// Days at P10, P50, P90; `None` after the last day simulated.
    pub days: [Option<f64>; 3],
    /// Chance of making the date.
    pub in_time: Option<f64>,
}

/// The forecast of one place.
#[derive(Clone, Debug)]
pub struct PlaceForecast {
    /// The place, as first written; empty for the floor without readings.
    pub place: String,
    /// The forecast as it stood after each reading, the prior first.
    pub history: Vec<Range>,
    /// Weights of the worlds, summing to one.
    pub weights: Vec<f64>,
    /// Effective number of worlds.
    pub effective: f64,
    /// Its readings.
    pub held: Vec<Held>,
    /// Which inputs its readings moved, the farthest first.
    pub moved: Vec<Moved>,
    /// Whether no world comes near its readings.
    pub beyond_model: bool,
}

impl PlaceForecast {
    /// The forecast now.
    #[must_use]
    pub fn now(&self) -> Range {
        self.history.last().copied().unwrap_or(Range {
            at: 0.0,
            days: [None; 3],
            in_time: None,
        })
    }
}

/// The forecast of a floor.
#[derive(Clone, Debug)]
pub struct Forecast {
    /// The worlds.
    pub worlds: Vec<World>,
    /// Worst place first.
    pub places: Vec<PlaceForecast>,
    /// Worlds that the solver gave up on.
    pub failed: usize,
}

/// Quantile of weighted values: the first at which the weights add up to the share, with half of each value's own weight on
/// either side and straight lines between. Infinite where it falls among infinite values; `None` without values.
#[must_use]
pub fn weighted_quantile(values: &[(f64, f64)], share: f64) -> Option<f64> {
    let mut sorted: Vec<(f64, f64)> = values.iter().copied().filter(|(_, w)| *w > 0.0).collect();
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let total: f64 = sorted.iter().map(|(_, w)| w).sum();
    let wanted = share * total;
    let mut below = 0.0;
    let mut last: Option<(f64, f64)> = None;
    for (value, weight) in sorted {
        let place = below + 0.5 * weight;
        if place >= wanted {
            return Some(match last {
                Some((at, v)) if place > at && value.is_finite() => {
                    v + (value - v) * ((wanted - at) / (place - at)).clamp(0.0, 1.0)
                }
                _ => value,
            });
        }
        below += weight;
        last = Some((place, value));
    }
    last.map(|(_, value)| value)
}

/// What a reading's test shows on a simulated slab.
fn predict(reading: &Reading, slab: &Snapshot<'_>, service: &Service) -> f64 {
    match reading.method {
        Method::Probe => slab.humidity_at(
            reading
                .depth
                .unwrap_or_else(|| crate::moisture_tests::probe_depth(slab, None)),
        ),
        Method::Hood => slab.equilibrium_humidity(service.temperature),
        Method::MassPercent => {
            slab.mass_share(reading.depth.unwrap_or(crate::moisture_tests::SAMPLE_LAYER))
        }
        Method::Dish => dish(slab).unwrap_or(f64::NAN),
        Method::PlasticSheet => f64::NAN,
    }
}

/// Standard deviation of a reading about the simulated test.
#[must_use]
pub fn deviation(reading: &Reading, unexplained: &Unexplained) -> Option<f64> {
    scatter(reading.method, reading.value, reading.spread?, unexplained)
}

/// The same for a test with this value and this spread of its instrument.
fn scatter(method: Method, value: f64, spread: Spread, unexplained: &Unexplained) -> Option<f64> {
    let uneven = match method {
        Method::Probe | Method::Hood => unexplained.humidity,
        Method::MassPercent => unexplained.mass * value,
        Method::Dish => unexplained.dish * value,
        Method::PlasticSheet => return None,
    };
    let deviation = spread.standard_deviation.hypot(uneven);
    (deviation > 0.0).then_some(deviation)
}

fn world(
    job: &Job,
    setup: usize,
    readings: &[Reading],
    draw: Draw,
    accuracy: Accuracy,
) -> Option<World> {
    let mut world = draw.apply(job);
    // A world that is dry before the last reading goes on, so that each is read off its slab.
    let after_start = readings.iter().map(|r| r.seconds - job.gear_on);
    world.look_on = after_start.fold(world.look_on, f64::max);
    let mut predicted = vec![f64::NAN; readings.len()];
    let mut course = Vec::new();
    let mut last = START_AGE;
    let mut see = |slab: &Snapshot<'_>, _: &Progress| {
        let time = slab.time();
        for (value, reading) in predicted.iter_mut().zip(readings) {
            if reading.seconds > last && reading.seconds <= time {
                *value = predict(reading, slab, &world.tester.service);
            }
        }
        if (time - job.gear_on) / DAY >= course.len() as f64 {
            let target = job.targets.first();
            let lies = target.and_then(|t| t.as_it_lies(slab, &world.tester.service));
            course.push(lies.unwrap_or(f64::NAN));
        }
        last = time;
    };
    let read: Vec<f64> = readings.iter().map(|reading| reading.seconds).collect();
    let start = prepare_observed(&world, accuracy, &read, &mut see).ok()?;
    let setup = world.setups.get(setup)?;
    let outcome = run_observed(&world, setup, &start, &mut see).ok()?;
    Some(World {
        draw,
        days: outcome.days_to_target.unwrap_or(f64::INFINITY),
        course,
        predicted,
    })
}

/// Runs sampled worlds with the setup on site.
#[must_use]
pub fn worlds(
    job: &Job,
    setup: usize,
    readings: &[Reading],
    indices: std::ops::Range<u32>,
    seed: u32,
    accuracy: Accuracy,
) -> Vec<World> {
    indices
        .into_par_iter()
        .filter_map(|index| world(job, setup, readings, Draw::new(job, index, seed), accuracy))
        .collect()
}

/// Logarithm of the likelihood of a reading that lies `z` standard deviations off, but for a constant.
fn likelihood(z: f64) -> f64 {
    -0.5 * (NU + 1.0) * (z * z / NU).ln_1p()
}

/// Whether every world shows the reading with this place in the list.
fn shown_by_all(worlds: &[World], reading: usize) -> bool {
    let shows = |w: &World| w.predicted.get(reading).is_some_and(|p| p.is_finite());
    worlds.iter().all(shows)
}

/// Weights of the worlds after the readings with these places in the list; of readings that some world does not show, none is used.
#[must_use]
pub fn weights(
    worlds: &[World],
    readings: &[Reading],
    used: &[usize],
    unexplained: &Unexplained,
) -> Vec<f64> {
    let used: Vec<(usize, f64, f64)> = used
        .iter()
        .filter(|i| shown_by_all(worlds, **i))
        .filter_map(|&i| {
            let reading = readings.get(i)?;
            Some((i, reading.value, deviation(reading, unexplained)?))
        })
        .collect();
    let logs: Vec<f64> = worlds
        .iter()
        .map(|w| {
            used.iter()
                .map(|&(i, value, deviation)| likelihood((value - w.predicted[i]) / deviation))
                .sum()
        })
        .collect();
    let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let raw: Vec<f64> = logs.iter().map(|l| (l - most).exp()).collect();
    let total: f64 = raw.iter().sum();
    raw.iter().map(|w| w / total).collect()
}

fn effective(weights: &[f64]) -> f64 {
    1.0 / weights.iter().map(|w| w * w).sum::<f64>()
}

/// Range of days before any reading, as the odds count it.
fn prior(job: &Job, worlds: &[World]) -> Range {
    let mut days: Vec<f64> = worlds.iter().map(|w| w.days).collect();
    days.sort_by(f64::total_cmp);
    let even = vec![1.0 / worlds.len().max(1) as f64; worlds.len()];
    Range {
        days: SHARES.map(|share| quantile(&days, share).filter(|d| d.is_finite())),
        ..range(job, worlds, &even, job.gear_on)
    }
}

/// Range of days under weights.
#[must_use]
pub fn range(job: &Job, worlds: &[World], weights: &[f64], at: f64) -> Range {
    let days: Vec<(f64, f64)> = worlds
        .iter()
        .map(|w| w.days)
        .zip(weights.iter().copied())
        .collect();
    Range {
        at,
        days: SHARES.map(|share| weighted_quantile(&days, share).filter(|d| d.is_finite())),
        in_time: days_allowed(job).map(|allowed| {
            let good = days.iter().filter(|(d, _)| *d <= allowed);
            // Not `sum`, which makes minus zero of nothing.
            good.fold(0.0, |sum, (_, w)| sum + w)
        }),
    }
}

fn mean(values: impl Iterator<Item = (f64, f64)> + Clone) -> (f64, f64) {
    let total: f64 = values.clone().map(|(_, w)| w).sum();
    let mean = values.clone().map(|(v, w)| v * w).sum::<f64>() / total;
    let square = values
        .map(|(v, w)| (v - mean) * (v - mean) * w)
        .sum::<f64>()
        / total;
    (mean, square.sqrt())
}

fn moved(worlds: &[World], weights: &[f64]) -> Vec<Moved> {
    type Input = (&'static str, fn(&Draw) -> f64, bool);
    const INPUTS: [Input; 6] = [
        (
            "permeability of the concrete (factor)",
            |d| d.permeability.ln(),
            true,
        ),
        (
            "water-cement ratio (change)",
            |d| d.water_cement_ratio,
            false,
        ),
        ("leakage of the room (factor)", |d| d.leakage.ln(), true),
        (
            "transfer at the face (factor)",
            |d| d.surface_transfer.ln(),
            true,
        ),
        (
            "humidity one day after placing",
            |d| d.young_humidity,
            false,
        ),
        ("warmth of the season (K)", |d| d.season, false),
    ];
    let mut list: Vec<Moved> = INPUTS
        .iter()
        .map(|&(input, value, factor)| {
            let prior = mean(worlds.iter().map(|w| (value(&w.draw), 1.0)));
            let after = mean(
                worlds
                    .iter()
                    .map(|w| value(&w.draw))
                    .zip(weights.iter().copied()),
            );
            let shown = |x: f64| if factor { x.exp() } else { x };
            Moved {
                input,
                mean: (shown(prior.0), shown(after.0)),
                by: (after.0 - prior.0) / prior.1.max(f64::MIN_POSITIVE),
            }
        })
        .collect();
    list.sort_by(|a, b| b.by.abs().total_cmp(&a.by.abs()));
    list
}

fn held(worlds: &[World], readings: &[Reading], used: &[usize]) -> Vec<Held> {
    used.iter()
        .filter_map(|&i| {
            let reading = readings.get(i)?;
            // Judged by the others, so that a wild reading cannot vouch for itself.
            let others: Vec<usize> = used.iter().copied().filter(|k| *k != i).collect();
            let weights = weights(worlds, readings, &others, &Unexplained::FLOOR);
            let predicted = worlds
                .iter()
                .map(|w| w.predicted.get(i).copied().unwrap_or(f64::NAN))
                .zip(weights)
                .filter(|(p, _)| p.is_finite());
            let (expected, spread) = mean(predicted);
            let off =
                (reading.value - expected) / deviation(reading, &Unexplained::FLOOR)?.hypot(spread);
            off.is_finite().then_some(Held {
                reading: i,
                expected,
                off,
                outlier: off.abs() > OUTLIER,
            })
        })
        .collect()
}

/// Whether even the nearest world misses the readings by far.
fn beyond(worlds: &[World], readings: &[Reading], used: &[usize]) -> bool {
    let miss = |w: &World| {
        let squares: Vec<f64> = used
            .iter()
            .filter_map(|&i| {
                let reading = readings.get(i)?;
                let z = (reading.value - *w.predicted.get(i)?)
                    / deviation(reading, &Unexplained::FLOOR)?;
                z.is_finite().then_some(z * z)
            })
            .collect();
        (squares.iter().sum::<f64>() / squares.len().max(1) as f64).sqrt()
    };
    !used.is_empty() && worlds.iter().map(miss).fold(f64::INFINITY, f64::min) > BEYOND
}

/// Forecast of one place from its readings.
fn place(
    job: &Job,
    worlds: &[World],
    readings: &[Reading],
    name: &str,
    mut used: Vec<usize>,
) -> PlaceForecast {
    used.sort_by(|a, b| readings[*a].seconds.total_cmp(&readings[*b].seconds));
    let even = vec![1.0 / worlds.len().max(1) as f64; worlds.len()];
    let mut history = vec![prior(job, worlds)];
    let mut last = even;
    for count in 1..=used.len() {
        last = weights(worlds, readings, &used[..count], &Unexplained::FLOOR);
        history.push(range(job, worlds, &last, readings[used[count - 1]].seconds));
    }
    PlaceForecast {
        place: name.to_owned(),
        history,
        effective: effective(&last),
        held: held(worlds, readings, &used),
        moved: moved(worlds, &last),
        beyond_model: beyond(worlds, readings, &used),
        weights: last,
    }
}

impl Forecast {
    /// Whether some reading of the worst place is in it.
    #[must_use]
    pub fn is_read(&self) -> bool {
        self.places
            .first()
            .is_some_and(|place| !place.held.is_empty())
    }

    /// So many cases of equal weight that stand for the worlds as the readings of the worst place weigh them: one from the middle of each
    /// equal part of the sum of the weights (systematic resampling; Douc, Cappe & Moulines 2005, from memory).
    #[must_use]
    pub fn draws(&self, cases: u32) -> Vec<Draw> {
        let Some(worst) = self.places.first() else {
            return Vec::new();
        };
        let mut worlds = self.worlds.iter().zip(&worst.weights);
        let (mut sum, mut last) = (0.0, None);
        let mut draws = Vec::new();
        for case in 0..cases {
            let wanted = (f64::from(case) + 0.5) / f64::from(cases);
            while sum < wanted {
                let Some((world, weight)) = worlds.next() else {
                    break;
                };
                sum += weight;
                last = Some(world.draw);
            }
            draws.extend(last);
        }
        draws
    }
}

/// The forecast with these readings (those that tell something about the slab; see `Judged::informs`), the setup with this
/// place among the job's being on site. Starts with `samples` worlds and samples more while too few agree with the readings.
#[must_use]
pub fn forecast(
    job: &Job,
    setup: usize,
    readings: &[Reading],
    samples: u32,
    seed: u32,
    accuracy: Accuracy,
) -> Forecast {
    let mut sampled = samples;
    let mut all = worlds(job, setup, readings, 0..samples, seed, accuracy);
    loop {
        let places = by_place(job, &all, readings);
        let few = places
            .iter()
            .any(|p| p.effective < LEAST_EFFECTIVE && !p.beyond_model);
        if !few || sampled >= MOST_WORLDS {
            return Forecast {
                failed: sampled as usize - all.len(),
                worlds: all,
                places,
            };
        }
        let more = sampled.min(MOST_WORLDS - sampled).max(1);
        all.extend(worlds(
            job,
            setup,
            readings,
            sampled..sampled + more,
            seed,
            accuracy,
        ));
        sampled += more;
    }
}

fn by_place(job: &Job, worlds: &[World], readings: &[Reading]) -> Vec<PlaceForecast> {
    let mut groups: Vec<(String, String, Vec<usize>)> = Vec::new();
    for (i, reading) in readings.iter().enumerate() {
        // What some world cannot show is used in none.
        if deviation(reading, &Unexplained::FLOOR).is_none() || !shown_by_all(worlds, i) {
            continue;
        }
        let key = reading.place_key();
        match groups.iter_mut().find(|(k, ..)| *k == key) {
            Some((.., list)) => list.push(i),
            None => groups.push((key, reading.place.trim().to_owned(), vec![i])),
        }
    }
    if groups.is_empty() {
        groups.push((String::new(), String::new(), Vec::new()));
    }
    let mut places: Vec<PlaceForecast> = groups
        .into_iter()
        .map(|(_, name, used)| place(job, worlds, readings, &name, used))
        .collect();
    let middle = |p: &PlaceForecast| p.now().days[1].unwrap_or(f64::INFINITY);
    // Of places that tie, as those do that never get dry, the one that is never dry in most worlds is the worst, then the dampest.
    let mean = |p: &PlaceForecast, of: &dyn Fn(&World) -> Option<f64>| -> f64 {
        let weighted = worlds.iter().zip(&p.weights);
        let known = weighted.filter_map(|(w, weight)| Some((of(w)? * weight, weight)));
        let (sum, weight) = known.fold((0.0, 0.0), |(s, t), (v, w)| (s + v, t + w));
        if weight > 0.0 { sum / weight } else { 0.0 }
    };
    let never = |p: &PlaceForecast| mean(p, &|w| Some(f64::from(u8::from(w.days.is_infinite()))));
    // What one and the same test would read in the worlds of each place.
    let test = places
        .iter()
        .flat_map(|p| p.held.iter().map(|held| held.reading))
        .max();
    let damp = |p: &PlaceForecast| mean(p, &|w| w.predicted.get(test?).copied());
    places.sort_by(|a, b| {
        let worse = |value: &dyn Fn(&PlaceForecast) -> f64| value(b).total_cmp(&value(a));
        // Shares that differ by rounding alone are the same.
        let rounded = |p: &PlaceForecast| (never(p) * 1e6).round();
        worse(&middle)
            .then_with(|| worse(&rounded))
            .then_with(|| worse(&damp))
            .then_with(|| a.place.cmp(&b.place))
    });
    places
}

/// The first whole day of drying on which the targets are met with at least this chance; `None` when not in the time looked
/// at.
#[must_use]
pub fn day_to_test(forecast: &Forecast, place: &PlaceForecast, chance: f64) -> Option<f64> {
    let days: Vec<(f64, f64)> = forecast
        .worlds
        .iter()
        .map(|w| w.days)
        .zip(place.weights.iter().copied())
        .collect();
    let mut sorted = days;
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut sum = 0.0;
    for (day, weight) in sorted {
        sum += weight;
        if sum >= chance {
            return day.is_finite().then(|| day.ceil());
        }
    }
    None
}

/// Days between two tests of a place while its reading is far from the limit and when it is near, and how near that is, as a share of the limit
/// (common practice, no published source).
const EVERY: (f64, f64) = (7.0, 3.0);
const NEAR_THE_LIMIT: f64 = 0.03;
/// Tests that are told ahead.
const TOLD: usize = 4;
/// Standard deviations from the middle to the end of a range that holds eight readings in ten.
const EIGHT_IN_TEN: f64 = 1.2816;

/// A test to come.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NextTest {
    /// Day of drying.
    pub day: f64,
    /// What it is expected to read: lower end, middle and upper end of the 80 % range, the scatter of the test in it.
    pub reading: [f64; 3],
    /// Chance that the floor is dry by then.
    pub dry: f64,
}

/// The next tests of a place by the trade's rhythm, weekly while it is far from its limit and closer near it, until most cases are dry; none
/// where no test reads the first target.
#[must_use]
pub fn next_tests(
    job: &Job,
    forecast: &Forecast,
    place: &PlaceForecast,
    today: f64,
    last: Option<f64>,
) -> Vec<NextTest> {
    let Some((limit, deviation)) = job.targets.first().and_then(|target| {
        let (method, limit) = (read_by(target)?, target.limit());
        let spread = method.usual_spread(limit)?;
        Some((limit, scatter(method, limit, spread, &Unexplained::FLOOR)?))
    }) else {
        return Vec::new();
    };
    let at = |day: f64| {
        let values = forecast.worlds.iter().zip(&place.weights);
        let values = values.filter_map(|(world, weight)| {
            let reading = world.course.get(day as usize).or(world.course.last())?;
            reading.is_finite().then_some((*reading, *weight))
        });
        let values: Vec<(f64, f64)> = values.collect();
        let [low, middle, high] = SHARES.map(|share| weighted_quantile(&values, share));
        let (low, middle, high) = (low?, middle?, high?);
        let scatter = EIGHT_IN_TEN * deviation;
        let dry = forecast.worlds.iter().zip(&place.weights);
        let dry = dry.filter(|(world, _)| world.days <= day);
        Some(NextTest {
            day,
            reading: [
                middle - (middle - low).hypot(scatter),
                middle,
                middle + (high - middle).hypot(scatter),
            ],
            dry: dry.map(|(_, weight)| weight).sum(),
        })
    };
    let every = |reading: f64| {
        if reading <= limit * (1.0 + NEAR_THE_LIMIT) {
            EVERY.1
        } else {
            EVERY.0
        }
    };
    let mut day = today.ceil();
    if let Some(last) = last
        && let Some(then) = at(last.floor())
    {
        day = day.max((last + every(then.reading[1])).floor());
    }
    let mut tests = Vec::new();
    let end = (job.give_up - job.gear_on) / DAY;
    while tests.len() < TOLD && day <= end {
        let Some(test) = at(day) else { break };
        tests.push(test);
        if test.dry >= SHARES[2] {
            break;
        }
        day += every(test.reading[1]);
    }
    tests
}

/// The test on the floor that reads a target; none for the surface flux, which no test reads.
fn read_by(target: &Target) -> Option<Method> {
    match target {
        Target::HumidityAtDepth { .. } => Some(Method::Probe),
        Target::EquilibriumHumidity { .. } => Some(Method::Hood),
        Target::EmissionRate { .. } => Some(Method::Dish),
        Target::MassPercent { .. } => Some(Method::MassPercent),
        Target::PlasticSheet { .. } => Some(Method::PlasticSheet),
        Target::SurfaceFlux { .. } => None,
    }
}

/// What a reading of the first target on a day of drying is worth: the mean width from P10 to P90 \[days\] without it and
/// with it. `None` where a target's course says nothing and where no test reads it.
#[must_use]
pub fn worth_of_test(
    job: &Job,
    forecast: &Forecast,
    place: &PlaceForecast,
    day: f64,
) -> Option<(f64, f64)> {
    let target = job.targets.first()?;
    let (method, limit) = (read_by(target)?, target.limit());
    let spread = method.usual_spread(limit)?;
    let deviation = scatter(method, limit, spread, &Unexplained::FLOOR)?;
    let at = day.max(0.0).floor() as usize;
    let would: Vec<f64> = forecast
        .worlds
        .iter()
        .map(|w| {
            w.course
                .get(at)
                .or(w.course.last())
                .copied()
                .unwrap_or(f64::NAN)
        })
        .collect();
    let width = |weights: &[f64]| -> Option<f64> {
        let [low, _, high] = range(job, &forecast.worlds, weights, 0.0).days;
        Some(high? - low?)
    };
    let now = width(&place.weights)?;
    let (mut sum, mut total) = (0.0, 0.0);
    for (k, truth) in would.iter().enumerate().filter(|(_, r)| r.is_finite()) {
        let weight = *place.weights.get(k)?;
        if weight < NEGLIGIBLE {
            continue;
        }
        let after: Vec<f64> = place
            .weights
            .iter()
            .zip(&would)
            .map(|(w, r)| {
                let z = (truth - r) / deviation;
                if z.is_finite() {
                    w * likelihood(z).exp()
                } else {
                    *w
                }
            })
            .collect();
        if let Some(narrowed) = width(&after) {
            sum += weight * narrowed;
            total += weight;
        }
    }
    (total > 0.0).then(|| (now, sum / total))
}
