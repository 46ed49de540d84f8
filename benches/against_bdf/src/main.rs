//! The season's solver beside a general-purpose BDF solver with a sparse LU, on the same semi-discrete system, in the same
//! process: `cargo run --release`.
//!
//! A shipped job dries from one start state in one room. Both solvers see the same materials, links, machines and hourly
//! weather, through `Column::equations`, and read the probe alike at the end of each of their steps. The BDF solver at a
//! tight tolerance gives the refined days to the target. Both are then timed at the loosest setting from which on, setting
//! by setting, the days stay within 0.3 % of that: a loose setting that is right by luck does not count. Ours is timed at
//! its default as well, which is finer for the sake of hours, energy and readings.
//!
//! Unknowns of the BDF solver: humidity (or humidity ratio) and temperature of each node and the age of each cell, scaled
//! to about 1. Faces store nothing and are algebraic equations. Its Jacobian is made of difference quotients, one evaluation
//! for each column (of one colour) and one for the state that all of them share; ours has exact slopes.

use coatday::air::MoistAir;
use coatday::column::{Column, Node, NodeEquation, Tolerance};
use coatday::evaluate::{Accuracy, prepare};
use coatday::job::{self, Job, Setup};
use coatday::room::face_link;
use coatday::scenario;
use coatday::simulation::{Climate, LONGEST_STEP, Simulation};
use coatday::units::{DAY, HOUR};
use diffsol::{FaerSparseLU, FaerSparseMat, OdeBuilder, OdeSolverMethod};
use std::cell::RefCell;
use std::error::Error;
use std::ops::ControlFlow;
use std::path::Path;
use std::time::Instant;

type Fallible<T> = Result<T, Box<dyn Error>>;

/// Error in days to the target that both may make.
const ERROR: f64 = 0.003;
/// Scales of temperature \[K\], humidity ratio and age \[s\].
const TEMPERATURE: f64 = 50.0;
const HUMIDITY_RATIO: f64 = 0.02;
const AGE: f64 = 1e7;
/// Depth of the probe as a share of the thickness, and the humidity wanted there.
const PROBE: (f64, f64) = (0.4, 0.85);
/// Rounds of timing.
const ROUNDS: usize = 8;
/// Longest look-out \[days\].
const LONGEST: f64 = 200.0;

fn job() -> Fallible<Job> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios");
    let read = |file: &str| std::fs::read(folder.join(file)).map_err(|e| e.to_string());
    let name = "direct_or_indirect";
    let bytes = read(&format!("{name}.json"))?;
    let scenario = scenario::read_bytes(&bytes, name).map_err(|e| e.to_string())?;
    let (weather, _) = job::weather(&scenario, &read).map_err(|f| format!("{f:?}"))?;
    Ok(Job::of(&scenario, weather))
}

/// Cubic through the four cell centres nearest to the probe.
fn probe(centres: &[f64], humidity: impl Fn(usize) -> f64, depth: f64) -> f64 {
    let above = centres.iter().position(|&x| x >= depth).unwrap_or(2);
    let first = above.saturating_sub(2).min(centres.len() - 4);
    (first..first + 4)
        .map(|i| {
            let weight: f64 = (first..first + 4)
                .filter(|&j| j != i)
                .map(|j| (depth - centres[j]) / (centres[i] - centres[j]))
                .product();
            weight * humidity(i)
        })
        .sum()
}

/// Days from one reading to the next at which the target was passed.
#[derive(Default)]
struct Crossing {
    last: Option<(f64, f64)>,
    at: Option<f64>,
}

impl Crossing {
    fn see(&mut self, time: f64, reading: f64) -> bool {
        if reading <= PROBE.1 {
            self.at = Some(match self.last {
                Some((t, r)) => t + (time - t) * (r - PROBE.1) / (r - reading),
                None => time,
            });
        }
        self.last = Some((time, reading));
        self.at.is_some()
    }
}

/// How finely ours computes.
#[derive(Clone, Copy)]
struct Setting {
    /// Longest step \[s\].
    longest_step: f64,
    /// Local errors allowed, over the default.
    factor: f64,
}

/// Ours, from loose to tight. The fourth is the default.
const SETTINGS: [Setting; 5] = [
    Setting {
        longest_step: 24.0 * HOUR,
        factor: 4.0,
    },
    Setting {
        longest_step: 12.0 * HOUR,
        factor: 2.0,
    },
    Setting {
        longest_step: 6.0 * HOUR,
        factor: 1.0,
    },
    Setting {
        longest_step: LONGEST_STEP,
        factor: 1.0,
    },
    Setting {
        longest_step: 1.0 * HOUR,
        factor: 0.25,
    },
];
const DEFAULT: usize = 3;

/// Tolerances of the BDF solver, from loose to tight.
const TOLERANCES: [f64; 8] = [1e-2, 3e-3, 1e-3, 3e-4, 1e-4, 3e-5, 1e-5, 1e-6];

impl Setting {
    fn tolerance(self) -> Tolerance {
        let usual = Tolerance::default();
        Tolerance {
            humidity: usual.humidity * self.factor,
            temperature: usual.temperature * self.factor,
            ..usual
        }
    }
}

/// A problem that both solve.
struct Season<'a> {
    job: &'a Job,
    setup: &'a Setup,
    /// The slab in the room at the start of drying.
    start: Simulation,
    /// Cells from the top down: index in the chain, and depth of the centre.
    cells: Vec<usize>,
    centres: Vec<f64>,
}

impl<'a> Season<'a> {
    fn new(job: &'a Job, setup: &'a Setup, accuracy: Accuracy) -> Fallible<Self> {
        let mut start = prepare(job, accuracy)?;
        let outside = job.weather.at(job.gear_on);
        let saturated =
            MoistAir::from_relative_humidity(outside.temperature, 1.0, setup.room.pressure);
        start.enter_room(
            &setup.room,
            outside.temperature,
            outside.humidity_ratio.min(saturated.humidity_ratio),
        );
        let nodes = start.column().nodes();
        let cells = (0..nodes.len())
            .rev()
            .filter(|&i| matches!(nodes[i], Node::Cell { .. }))
            .collect();
        let centres = start.snapshot().profile().map(|(x, ..)| x).collect();
        Ok(Self {
            job,
            setup,
            start,
            cells,
            centres,
        })
    }

    fn depth(&self) -> f64 {
        PROBE.0 * self.job.slab.thickness
    }

    /// Our days, steps and iterations.
    fn ours(&self, setting: Setting) -> Fallible<(f64, String)> {
        let mut simulation = self.start.clone();
        simulation.set_tolerance(setting.tolerance());
        simulation.set_longest_step(setting.longest_step);
        let before = simulation.work();
        let mut crossing = Crossing::default();
        let _ = simulation.advance(
            self.job.gear_on + LONGEST * DAY,
            Climate::Room(&self.setup.room, &self.job.weather),
            &mut |slab, _| {
                let profile: [f64; 64] = {
                    let mut p = [0.0; 64];
                    for (p, (_, h, ..)) in p.iter_mut().zip(slab.profile()) {
                        *p = h;
                    }
                    p
                };
                let reading = probe(&self.centres, |i| profile[i], self.depth());
                if crossing.see(slab.time(), reading) {
                    ControlFlow::Break(())
                } else {
                    ControlFlow::Continue(())
                }
            },
        )?;
        let (steps, iterations) = simulation.work();
        let at = crossing.at.ok_or("the target was not reached")?;
        Ok((
            (at - self.job.gear_on) / DAY,
            format!(
                "{} steps, {} iterations",
                steps - before.0,
                iterations - before.1
            ),
        ))
    }

    /// The days of the BDF solver, and its statistics.
    fn bdf(&self, tolerance: f64) -> Fallible<(f64, String)> {
        let chain = RefCell::new(Chain::new(self));
        let (n, size) = {
            let c = chain.borrow();
            (c.column.nodes().len(), c.size())
        };
        let initial = chain.borrow().initial();
        let algebraic: Vec<bool> = {
            let c = chain.borrow();
            (0..size)
                .map(|k| k < 2 * n && matches!(c.column.nodes()[k / 2], Node::Face))
                .collect()
        };
        let problem = OdeBuilder::<FaerSparseMat<f64>>::new()
            .t0(self.job.gear_on)
            .h0(60.0)
            .rtol(tolerance)
            .atol([tolerance])
            .rhs_implicit(
                |x: &[f64], _p: &[f64], t: f64, y: &mut [f64]| chain.borrow_mut().rates(x, t, y),
                |x: &[f64], _p: &[f64], t: f64, v: &[f64], y: &mut [f64]| {
                    chain.borrow_mut().jacobian_times(x, t, v, y);
                },
            )
            .mass(|v: &[f64], _p: &[f64], _t: f64, beta: f64, y: &mut [f64]| {
                for ((y, v), algebraic) in y.iter_mut().zip(v).zip(&algebraic) {
                    *y = if *algebraic { 0.0 } else { *v } + beta * *y;
                }
            })
            .init(
                |_p: &[f64], _t: f64, y: &mut [f64]| y.copy_from_slice(&initial),
                size,
            )
            .build()?;
        let mut solver = problem.bdf::<FaerSparseLU<f64>>()?;
        let mut crossing = Crossing::default();
        let end = self.job.gear_on + LONGEST * DAY;
        loop {
            solver.step()?;
            let state = solver.state();
            let humidity = |i: usize| state.y[2 * self.cells[i]];
            let time = state.t;
            let reading = probe(&self.centres, humidity, self.depth());
            if crossing.see(time, reading) || time > end {
                break;
            }
        }
        let s = solver.get_statistics();
        let statistics = format!(
            "{} steps, {} iterations, {} factorisations, {} evaluations",
            s.number_of_steps,
            s.number_of_nonlinear_solver_iterations,
            s.number_of_linear_solver_setups,
            chain.borrow().evaluations,
        );
        let at = crossing.at.ok_or("the target was not reached")?;
        Ok(((at - self.job.gear_on) / DAY, statistics))
    }
}

/// The chain as the BDF solver sees it.
struct Chain<'a> {
    season: &'a Season<'a>,
    active: coatday::room::ActiveRoom<'a>,
    column: Column,
    equations: Vec<NodeEquation>,
    unknowns: Vec<(f64, f64)>,
    ages: Vec<f64>,
    moved: Vec<f64>,
    /// The state and time that `rates[0]` belongs to: the columns of a Jacobian share it.
    at: Option<(Vec<f64>, f64)>,
    rates: [Vec<f64>; 2],
    evaluations: usize,
}

impl<'a> Chain<'a> {
    fn new(season: &'a Season<'a>) -> Self {
        let column = season.start.column().clone();
        let n = column.nodes().len();
        let size = 2 * n + season.cells.len();
        Self {
            season,
            active: season.setup.room.at(season.job.gear_on),
            equations: Vec::with_capacity(n),
            unknowns: vec![(0.0, 0.0); n],
            ages: vec![0.0; n],
            moved: vec![0.0; size],
            at: None,
            rates: [vec![0.0; size], vec![0.0; size]],
            column,
            evaluations: 0,
        }
    }

    fn size(&self) -> usize {
        self.moved.len()
    }

    fn scale(&self, i: usize) -> f64 {
        match self.column.nodes()[i] {
            Node::Air(_) => HUMIDITY_RATIO,
            _ => 1.0,
        }
    }

    fn initial(&self) -> Vec<f64> {
        let n = self.column.nodes().len();
        let mut y = Vec::with_capacity(self.size());
        for i in 0..n {
            let (u, t) = self.column.state(i);
            y.extend([u / self.scale(i), t / TEMPERATURE]);
        }
        y.extend(self.season.cells.iter().map(|&i| self.column.age(i) / AGE));
        y
    }

    /// Rates of all unknowns; for faces what flows in, which must be nothing.
    fn rates(&mut self, x: &[f64], time: f64, y: &mut [f64]) {
        self.evaluations += 1;
        let n = self.unknowns.len();
        for i in 0..n {
            self.unknowns[i] = (x[2 * i] * self.scale(i), x[2 * i + 1] * TEMPERATURE);
        }
        for (k, &i) in self.season.cells.iter().enumerate() {
            self.ages[i] = x[2 * n + k] * AGE;
        }
        let outside = self.season.job.weather.at(time);
        // The job's room has no sources that change with the time of day: a moment is as good as a step.
        let room = self.active.during(&outside, time, time);
        let (w, t) = self.unknowns[n - 1];
        self.column
            .set_topmost_link(face_link(room.floor_air_speed(t, w), 1.0));
        let supply = |t: f64, w: f64| room.supply(t, w);
        self.column
            .equations(&self.unknowns, &self.ages, &supply, &mut self.equations);
        for (i, e) in self.equations.iter().enumerate() {
            let f = [0, 1].map(|k| e.inflow[k] - e.by_ageing[k]);
            let rates = if matches!(self.column.nodes()[i], Node::Face) {
                // Scaled to about 1.
                [f[0] * 1e6, f[1] * 0.1]
            } else {
                let [[a, b], [c, d]] = e.storage;
                let determinant = a * d - b * c;
                if determinant == 0.0 {
                    [0.0, f[1] / d]
                } else {
                    [
                        (d * f[0] - b * f[1]) / determinant,
                        (a * f[1] - c * f[0]) / determinant,
                    ]
                }
            };
            y[2 * i] = rates[0] / self.scale(i);
            y[2 * i + 1] = rates[1] / TEMPERATURE;
        }
        for (k, &i) in self.season.cells.iter().enumerate() {
            y[2 * n + k] = self.equations[i].ageing_rate / AGE;
        }
    }

    /// The Jacobian times `v`, by a difference. The solver finds the pattern by not-a-number in `v`.
    fn jacobian_times(&mut self, x: &[f64], time: f64, v: &[f64], y: &mut [f64]) {
        const STEP: f64 = 1e-7;
        let n = self.unknowns.len();
        if v.iter().any(|v| v.is_nan()) {
            y.fill(0.0);
            for (j, _) in v.iter().enumerate().filter(|(_, v)| v.is_nan()) {
                let node = if j < 2 * n {
                    j / 2
                } else {
                    self.season.cells[j - 2 * n]
                };
                for i in node.saturating_sub(1)..(node + 2).min(n) {
                    y[2 * i] = f64::NAN;
                    y[2 * i + 1] = f64::NAN;
                }
                if let Some(k) = self.season.cells.iter().position(|&i| i == node) {
                    y[2 * n + k] = f64::NAN;
                }
            }
            return;
        }
        let mut moved = std::mem::take(&mut self.moved);
        let [mut at, mut by] = std::mem::take(&mut self.rates);
        for ((m, x), v) in moved.iter_mut().zip(x).zip(v) {
            *m = x + STEP * v;
        }
        let known = self
            .at
            .as_ref()
            .is_some_and(|(state, then)| *then == time && state == x);
        if !known {
            self.rates(x, time, &mut at);
            self.at = Some((x.to_vec(), time));
        }
        self.rates(&moved, time, &mut by);
        for ((y, at), by) in y.iter_mut().zip(&at).zip(&by) {
            *y = (by - at) / STEP;
        }
        self.moved = moved;
        self.rates = [at, by];
    }
}

/// Least time of some repetitions \[s\].
fn least(repetitions: usize, mut work: impl FnMut() -> Fallible<()>) -> Fallible<f64> {
    let mut least = f64::INFINITY;
    for _ in 0..repetitions {
        let start = Instant::now();
        work()?;
        least = least.min(start.elapsed().as_secs_f64());
    }
    Ok(least)
}

fn main() -> Fallible<()> {
    let job = job()?;
    for name in [
        "Indirect-fired, two dehumidifiers",
        "Indirect-fired",
        "Direct-fired",
    ] {
        let Some(setup) = job.setups.iter().find(|s| s.name == name) else {
            return Err(format!("no setup {name}").into());
        };
        compare(&job, setup)?;
    }
    Ok(())
}

fn compare(job: &Job, setup: &Setup) -> Fallible<()> {
    let season = Season::new(job, setup, Accuracy::default())?;
    println!("{}, {} cells", setup.name, season.cells.len());
    let (refined, statistics) = season.bdf(1e-7)?;
    println!("  refined (BDF, tolerance 1e-7): {refined:.4} days, {statistics}");

    let mut ours = None;
    for (index, setting) in SETTINGS.into_iter().enumerate().rev() {
        let (days, statistics) = season.ours(setting)?;
        let error = days / refined - 1.0;
        println!(
            "  ours, steps up to {:2.0} h, errors x {:.2}: {days:.4} days, error {:+.3} %, {statistics}",
            setting.longest_step / HOUR,
            setting.factor,
            100.0 * error
        );
        if error.abs() > ERROR {
            break;
        }
        ours = Some(index);
    }
    let ours = ours.ok_or("no setting of ours gets there")?;

    let mut bdf = None;
    for tolerance in TOLERANCES.into_iter().rev() {
        match season.bdf(tolerance) {
            Ok((days, statistics)) => {
                let error = days / refined - 1.0;
                println!(
                    "  BDF, tolerance {tolerance:.0e}: {days:.4} days, error {:+.3} %, {statistics}",
                    100.0 * error
                );
                if error.abs() > ERROR {
                    break;
                }
                bdf = Some(tolerance);
            }
            Err(e) => {
                println!("  BDF, tolerance {tolerance:.0e}: {e}");
                break;
            }
        }
    }
    let tolerance = bdf.ok_or("no tolerance of the BDF solver gets there")?;
    // In turns, so that what else the machine does falls on all alike.
    let mut times = [f64::INFINITY; 3];
    for _ in 0..ROUNDS {
        for (time, setting) in times.iter_mut().zip([DEFAULT, ours]) {
            let now = least(5, || season.ours(SETTINGS[setting]).map(|_| ()))?;
            *time = time.min(now);
        }
        times[2] = times[2].min(least(3, || season.bdf(tolerance).map(|_| ()))?);
    }
    let [usual, loose, general] = times.map(|t| 1e3 * t);
    println!("  BDF at {tolerance:.0e}: {general:.2} ms");
    println!(
        "  ours, default:  {usual:.2} ms, {:.1} times faster",
        general / usual
    );
    println!(
        "  ours, within {:.1} %: {loose:.2} ms, {:.1} times faster",
        100.0 * ERROR,
        general / loose
    );
    Ok(())
}
