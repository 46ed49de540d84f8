//! How long seasons take: `cargo bench`.
//!
//! (a) one season of 120 days on an hourly typical year, slab, room and gear coupled, at default accuracy; what comes under a
//! film in the year after, which `compare` computes once for each setup and no sample does, is timed by itself;
//! (b) 8 setups x 128 samples of it on all cores;
//! (c) cost against cells, days and samples, which must grow linearly.
//!
//! Times are the least of several repetitions: what else the machine does only ever adds.

#![allow(clippy::expect_used)]

use coatday::evaluate::odds::{Draw, odds, sampling_accuracy};
use coatday::evaluate::{Accuracy, prepare, run_without_film, under_film};
use coatday::job::{self, Job};
use coatday::moisture_tests::Target;
use coatday::scenario;
use coatday::simulation::Resolution;
use coatday::units::DAY;
use std::hint::black_box;
use std::path::Path;
use std::time::Instant;

/// Length of the season \[days\].
const SEASON: f64 = 120.0;
/// What (a) and (b) may take at most \[s\].
const SEASON_LIMIT: f64 = 15e-3;
const SAMPLES_LIMIT: f64 = 10.0;
/// Seed of the samples.
const SEED: u32 = 1;

/// A shipped job on a public typical year, with a target that no slab reaches, so that every run lasts the season.
fn job(days: f64) -> Job {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let read = |file: &str| std::fs::read(folder.join(file)).map_err(|e| e.to_string());
    let bytes = read("direct_or_indirect.json").expect("the scenario is shipped");
    let scenario =
        scenario::read_bytes(&bytes, "direct_or_indirect").expect("the scenario has no fault");
    let (weather, _) = job::weather(&scenario, &read).expect("the weather is shipped");
    let mut job = Job::of(&scenario, weather);
    job.targets = vec![Target::HumidityAtDepth {
        limit: 0.01,
        depth_share: None,
    }];
    job.give_up = job.gear_on + days * DAY;
    job
}

fn least(repetitions: usize, mut work: impl FnMut()) -> f64 {
    (0..repetitions)
        .map(|_| {
            let start = Instant::now();
            work();
            start.elapsed().as_secs_f64()
        })
        .fold(f64::INFINITY, f64::min)
}

fn verdict(time: f64, limit: f64) -> &'static str {
    if time <= limit { "kept" } else { "MISSED" }
}

fn main() {
    // `cargo test --benches` runs this too: then once through is enough.
    let quick = !std::env::args().any(|a| a == "--bench");
    let repetitions = if quick { 1 } else { 20 };
    let job = job(SEASON);
    let start = prepare(&job, Accuracy::default()).expect("the slab cures");

    println!("(a) one season of {SEASON} days on an hourly typical year, one core");
    let mut worst: f64 = 0.0;
    for setup in &job.setups {
        let mut work = (0, 0);
        let time = least(repetitions, || {
            let outcome = run_without_film(&job, setup, &start);
            work = outcome.expect("the season is computed").work;
        });
        let (steps, iterations) = (work.0 - start.work().0, work.1 - start.work().1);
        println!(
            "    {:36} {:7.2} ms   {steps} steps, {iterations} Newton iterations",
            setup.name,
            1e3 * time
        );
        worst = worst.max(time);
    }
    let film = least(repetitions, || {
        let _ = black_box(under_film(&start));
    });
    println!(
        "    {:36} {:7.2} ms",
        "the year under a film after it",
        1e3 * film
    );
    println!(
        "    at most {:.0} ms: {}",
        1e3 * SEASON_LIMIT,
        verdict(worst, SEASON_LIMIT)
    );

    let (setups, samples) = if quick { (2, 2) } else { (8, 128) };
    println!(
        "(b) {setups} setups x {samples} samples of it, each sample with its own curing, on {} threads",
        rayon::current_num_threads()
    );
    let mut several = job.clone();
    several.setups = job.setups.iter().cycle().take(setups).cloned().collect();
    let time = least(1, || {
        black_box(odds(
            &several,
            &Draw::first(&several, samples, SEED),
            sampling_accuracy(),
        ));
    });
    println!(
        "    {time:.2} s; at most {SAMPLES_LIMIT} s on 2 cores: {}",
        verdict(time, SAMPLES_LIMIT)
    );

    println!(
        "(c) cost against size; the columns beside the time are constant where cost grows linearly"
    );
    let Some(setup) = job.setups.last() else {
        return;
    };
    for cells in [12, 24, 48, 96, 192] {
        let accuracy = Accuracy {
            resolution: Resolution {
                cells,
                first: Resolution::default().first * 24.0 / cells as f64,
            },
            ..Accuracy::default()
        };
        let start = prepare(&job, accuracy).expect("the slab cures");
        let mut iterations = 0;
        let time = least(repetitions.min(5), || {
            let outcome = run_without_film(&job, setup, &start);
            let outcome = outcome.expect("the season is computed");
            iterations = outcome.work.1 - start.work().1;
        });
        println!(
            "    {cells:5} cells   {:8.2} ms   {:8.2} us a cell   {:8.2} ns a cell and iteration, {iterations} iterations",
            1e3 * time,
            1e6 * time / cells as f64,
            1e9 * time / (cells as f64 * iterations as f64)
        );
    }
    for days in [30.0, 60.0, 120.0, 240.0] {
        let job = self::job(days);
        let time = least(repetitions.min(5), || {
            let outcome = run_without_film(&job, setup, &start);
            black_box(outcome.expect("the season is computed"));
        });
        println!(
            "    {days:5} days    {:8.2} ms   {:8.2} us a day",
            1e3 * time,
            1e6 * time / days
        );
    }
    several.setups.truncate(1);
    for samples in if quick { [1, 2, 3, 4] } else { [8, 16, 32, 64] } {
        let time = least(repetitions.min(2), || {
            black_box(odds(
                &several,
                &Draw::first(&several, samples, SEED),
                sampling_accuracy(),
            ));
        });
        println!(
            "    {samples:5} samples {:8.2} ms   {:8.2} ms a sample",
            1e3 * time,
            1e3 * time / f64::from(samples)
        );
    }
}
