//! One implicit step of the whole chain, its error estimate, and the books.
//!
//! ```text
//! S(y1) = S(y0) + gamma dt F(y1)                              S: stored water and heat of every node
//! S(y2) = S(y0) + (1 - gamma) dt F(y1) + gamma dt F(y2)       gamma = 1 - 1/sqrt(2)
//! ```
//!
//! Second order, L-stable, stiffly accurate, written for the stored quantities, so that what leaves one node
//! enters its neighbour exactly. Both stages are implicit: a jump of the forcing at the start of a step
//! cannot throw the fast air past its new balance, as an explicit first stage would.
//!
//! Newton's method stops early, where what is left is expected to be small: often after one update. The flows at the
//! end of a stage are those of its last linearization (the supply of the air is that at its updated state), so that the books close to rounding whatever is left of the
//! residual, and what a node's state holds beside the books is carried into the next step instead of being lost. The
//! flows at a step's end start the next one. A step thus costs one evaluation of the materials for each iteration and
//! no more.
//!
//! The local error is the difference to the quadrature over the nodes 0, gamma, 1 that integrates a parabola
//! exactly, filtered by the Newton matrix (Shampine 1984) so that stiff parts do not count as error. Its
//! norm is weighted by cell thickness: a thin surface cell counts by the water that it holds.

use super::chain::Column;
use super::node::Node;
use super::supply::{Supply, supply_at, supply_slope};
use super::work::Work;
use crate::units::format::tiny;
use nalgebra::{Matrix2, Vector2};

/// Diagonal coefficient of the method.
const GAMMA: f64 = 1.0 - std::f64::consts::FRAC_1_SQRT_2;
/// Weights of the stages; also the last row of the method (stiffly accurate).
const WEIGHTS: [f64; 2] = [1.0 - GAMMA, GAMMA];
/// A face that swings back by more than the first share of its last change takes the second share of the new one.
const SWING: (f64, f64) = (0.3, 0.5);
/// Newton iterations before a step is called off; a converging stage takes two or three.
const NEWTON_LIMIT: u32 = 8;

/// How much the estimate of Newton's contraction grows with each stage that was accepted on its strength alone, so that it
/// is measured anew before long.
const DOUBT: f64 = 1.1;

/// Rounds of Newton's method for the air alone, halvings of a round's change, and what share of Newton's own may be left after them.
const AIR_ROUNDS: u32 = 12;
const AIR_HALVINGS: i32 = 6;
const AIR_SHARE: f64 = 0.1;

/// A film thinner than this does not count \[kg/m2\], nor a change of humidity smaller than this.
const KINK: f64 = 1e-10;
/// An update of this many tolerances is not judged by that estimate, nor is the estimate made from it.
const FAR: f64 = 20.0;
/// The estimate is never below this: a chance hit of Newton's method must not be believed for good.
const LEAST_CONTRACTION: f64 = 1e-4;

/// What the air's state may hold beside its books, in tolerances, times this is below Newton's share as well: of a share of a
/// tenth, two thirds of a tolerance. [`Column::settle`] can then always move it there.
const BESIDE_THE_BOOKS: f64 = 0.15;

/// Accuracy asked of a step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerance {
    /// Local error of relative humidity per step (thickness-weighted root mean square).
    pub humidity: f64,
    /// Local error of temperature per step \[K\].
    pub temperature: f64,
    /// Newton stops when what is left after an update is expected to be below this share of the local error allowed. It
    /// is not lost: the next step starts from the books and makes up for it.
    pub newton: f64,
}

impl Default for Tolerance {
    /// Against runs with a quarter of the errors and four times the cells the days of the shipped scenarios differ by less than 1 %
    /// (`tests/it/scenarios.rs`).
    fn default() -> Self {
        Self {
            humidity: 2e-4,
            temperature: 0.1,
            newton: 0.1,
        }
    }
}

impl Tolerance {
    /// What Newton's method may leave over, as a tolerance of its own.
    #[must_use]
    pub fn left_over(&self) -> Self {
        Self {
            humidity: self.newton * self.humidity,
            temperature: self.newton * self.temperature,
            newton: 1.0,
        }
    }
}

/// Why a step could not be made.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum ColumnFault {
    /// Newton's method did not settle.
    #[error("the equations did not converge at node {node} within a step of {step} s")]
    NoConvergence {
        /// Node with the largest update.
        node: usize,
        /// Length of the step \[s\].
        step: f64,
    },
    /// Water or heat was lost or made.
    #[error("the books of water and heat stay open by {} of what passed through", tiny(*share))]
    OpenBooks {
        /// Residual over the throughput.
        share: f64,
    },
    /// The steps became so short that the end was out of reach.
    #[error("the steps became too short to get to the end")]
    TooManySteps,
    /// The Newton matrix was singular or held a value that is not finite.
    #[error("the equations became singular within a step of {step} s")]
    Singular {
        /// Length of the step \[s\].
        step: f64,
    },
}

/// An accepted or proposed step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// Length \[s\].
    pub length: f64,
    /// Local error in units of the tolerance; at most 1 is good.
    pub error: f64,
    /// Newton iterations spent.
    pub iterations: u32,
    /// Air temperature \[degC\] and humidity ratio at the two stages, and their weights.
    pub air: [(f64, f64, f64); 2],
    /// Mean water flux into the air from the face \[kg/(m2 s)\] (over the topmost link).
    pub evaporation: f64,
    /// Mean water flux into the column from nodes of given humidity below \[kg/(m2 s)\].
    pub from_below: f64,
}

impl Column {
    /// Tries one step of `length` seconds from the present state. On success the state is the new one only
    /// if the error is within the tolerance; otherwise it is left as it was, and the caller tries again.
    ///
    /// # Errors
    /// [`ColumnFault`] when the equations could not be solved; the state is left as it was.
    pub fn step(
        &mut self,
        supply: &impl Supply,
        length: f64,
        tolerance: &Tolerance,
    ) -> Result<Step, ColumnFault> {
        let mut work = std::mem::take(&mut self.work);
        let result = self.step_with(&mut work, supply, length, tolerance);
        if matches!(result, Err(ColumnFault::NoConvergence { .. })) {
            self.start_faces_from(&work.trial);
        }
        self.work = work;
        result
    }

    /// A face without a film stores nothing, so a shorter step brings it no nearer to its balance: the next try goes on from where this one
    /// came to.
    fn start_faces_from(&mut self, trial: &[Vector2<f64>]) {
        for (i, node) in self.nodes.iter().enumerate() {
            let (old, new) = (self.unknowns[i][0], trial[i][0]);
            if matches!(node, Node::Face) && !self.held[i][0] && old < 1.0 && new < 1.0 {
                self.unknowns[i][0] = new;
                self.fresh = false;
            }
        }
    }

    fn step_with(
        &mut self,
        work: &mut Work,
        supply: &impl Supply,
        dt: f64,
        tolerance: &Tolerance,
    ) -> Result<Step, ColumnFault> {
        for (i, rate) in work.rates.iter_mut().enumerate() {
            *rate = self.ageing_rate(i);
        }
        self.start_fluxes(work, supply);

        // First stage: from the start state.
        work.trial.copy_from_slice(&self.unknowns);
        self.set_ages(work, GAMMA * dt);
        work.base.copy_from_slice(&self.booked);
        let mut iterations = 0;
        self.solve(work, supply, dt, tolerance, &mut iterations)?;
        let first_air = Self::air_of(&work.trial);
        std::mem::swap(&mut work.balance, &mut work.first);

        // Second stage: extrapolated from the first.
        for ((base, booked), flow) in work.base.iter_mut().zip(&self.booked).zip(&work.first.net) {
            *base = booked + flow * (WEIGHTS[0] * dt);
        }
        for ((trial, start), node) in work.trial.iter_mut().zip(&self.unknowns).zip(&self.nodes) {
            if matches!(node, Node::Face) {
                continue;
            }
            let guess = start + (*trial - start) / GAMMA;
            if guess[0] > 0.0 {
                *trial = guess;
            }
        }
        self.set_ages(work, dt);
        self.solve(work, supply, dt, tolerance, &mut iterations)?;

        let error = self.local_error(work, dt, tolerance);
        if !error.is_finite() {
            return Err(ColumnFault::Singular { step: dt });
        }
        let (first, second) = (&work.first, &work.balance);
        let last_air = Self::air_of(&work.trial);
        let step = Step {
            length: dt,
            error,
            iterations,
            air: [
                (first_air.0, first_air.1, WEIGHTS[0]),
                (last_air.0, last_air.1, WEIGHTS[1]),
            ],
            evaporation: WEIGHTS[0] * first.evaporation + WEIGHTS[1] * second.evaporation,
            from_below: WEIGHTS[0] * first.from_below + WEIGHTS[1] * second.from_below,
        };
        if error <= 1.0 {
            self.unknowns.copy_from_slice(&work.trial);
            self.ages.copy_from_slice(&work.trial_ages);
            for i in 0..self.nodes.len() {
                self.remember(i);
            }
            for ((booked, base), flow) in self.booked.iter_mut().zip(&work.base).zip(&second.net) {
                *booked = base + flow * (GAMMA * dt);
            }
            for (last, f) in self.last_fluxes.iter_mut().zip(&work.fluxes) {
                *last = [f.water, f.heat];
            }
            self.fresh = true;
            for k in 0..2 {
                let mut sizes = [0.0; 2];
                for (a, b) in first.external.iter().zip(&second.external) {
                    let inflow = dt * (WEIGHTS[0] * a[k] + WEIGHTS[1] * b[k]);
                    self.books.external[k] += inflow;
                    sizes[usize::from(inflow < 0.0)] += inflow.abs();
                }
                self.books.throughput[k] += sizes[0].max(sizes[1]);
            }
        }
        Ok(step)
    }

    /// Moves the state of every node that stores something to what the books say it holds: the last bit of Newton's method,
    /// for the end of a run. A node for which that is no small move is left as it is, and its books show it.
    pub fn settle(&mut self, tolerance: &Tolerance) {
        /// Rounds of Newton's method for one node: it starts so near that two reach rounding, and one more on each side of the point
        /// where the curves of wetting and drying part.
        const ROUNDS: u32 = 5;
        for i in 0..self.nodes.len() {
            let start = self.unknowns[i];
            for _ in 0..ROUNDS {
                let s = self.state_of(i);
                let left = self.booked[i] - Vector2::new(s.water, s.heat);
                match s.change_for(&left, self.held[i]) {
                    Some(change) => self.unknowns[i] += change,
                    None => break,
                }
            }
            let moved = self.scaled(i, &(self.unknowns[i] - start), tolerance);
            if moved > 1.0 || moved.is_nan() {
                self.unknowns[i] = start;
            }
        }
        self.fresh = false;
    }

    fn ageing_rate(&self, i: usize) -> f64 {
        match self.nodes[i] {
            Node::Cell { material, .. } => {
                self.materials[material].ageing_rate(self.unknowns[i][0], self.unknowns[i][1])
            }
            _ => 0.0,
        }
    }

    /// Ages at a time `dt` into the step. The rate at the start of the step is used throughout: over many steps
    /// the error of that telescopes to one step's change of rate.
    fn set_ages(&self, work: &mut Work, dt: f64) {
        for (i, node) in self.nodes.iter().enumerate() {
            if let Node::Cell { material, .. } = *node {
                let age = self.ages[i] + work.rates[i] * dt;
                work.trial_ages[i] = age;
                work.maturities[i] = self.materials[material].maturity(age);
            }
        }
    }

    fn air_of(unknowns: &[Vector2<f64>]) -> (f64, f64) {
        unknowns.last().map_or((0.0, 0.0), |u| (u[1], u[0]))
    }

    /// Fluxes at the start state into `work.start`. Those of the last step's end still hold, but for the topmost link,
    /// whose film changes with the air, and for what comes from outside.
    fn start_fluxes(&self, work: &mut Work, supply: &impl Supply) {
        let n = self.nodes.len();
        work.trial.copy_from_slice(&self.unknowns);
        if self.fresh && n >= 2 && matches!(self.nodes[n - 1], Node::Air(_)) {
            for (f, last) in work.fluxes.iter_mut().zip(&self.last_fluxes) {
                [f.water, f.heat] = *last;
            }
            for i in n - 2..n {
                self.evaluate_node(work, i);
            }
            self.evaluate_link(work, n - 2);
        } else {
            self.set_ages(work, 0.0);
            self.evaluate(work);
        }
        self.supply_to_air(work, supply, false);
        self.gather(work);
        std::mem::swap(&mut work.balance, &mut work.start);
    }

    /// Newton's method for `S(y) - gamma dt F(y) = base`, from `work.trial` as the first guess. The flows at the
    /// solution, into `work.balance`, are those of the last linearization, carried along the last update: they satisfy
    /// the balance of every node to rounding.
    fn solve(
        &self,
        work: &mut Work,
        supply: &impl Supply,
        dt: f64,
        tolerance: &Tolerance,
        iterations: &mut u32,
    ) -> Result<(), ColumnFault> {
        let n = self.nodes.len();
        let scale = GAMMA * dt;
        let mut worst = 0;
        let mut before: Option<f64> = None;
        work.last_change.fill(0.0);
        for _ in 0..NEWTON_LIMIT {
            *iterations += 1;
            self.evaluate(work);
            self.supply_to_air(work, supply, true);
            self.gather(work);
            for i in 0..n {
                let s = &work.states[i];
                work.right[i] =
                    work.base[i] + work.balance.net[i] * scale - Vector2::new(s.water, s.heat);
            }
            self.assemble(work, scale);
            if work.matrix.factor().is_none() {
                return Err(ColumnFault::Singular { step: dt });
            }
            work.matrix.eliminate(&mut work.right);
            let air_left = self.meet_supply(work, supply, scale, tolerance);
            work.matrix.substitute(&mut work.right);
            let mut size: f64 = 0.0;
            let (mut smooth, mut crossed) = (true, false);
            for i in 0..n {
                let u = &mut work.trial[i];
                let mut change = work.right[i];
                limit(&self.nodes[i], u, &mut change);
                // A face stores nothing: where transport changes steeply, Newton can swing from side to side.
                if matches!(self.nodes[i], Node::Face) {
                    let last = &mut work.last_change[i];
                    if change[0] * *last < 0.0 && change[0].abs() > SWING.0 * last.abs() {
                        change[0] *= SWING.1;
                    }
                    *last = change[0];
                }
                // At a limit, or on a face with a film, Newton's method is not quadratic. Past the onset of the film its
                // linearization holds no more.
                smooth &= change == work.right[i];
                if matches!(self.nodes[i], Node::Face) && !self.held[i][0] {
                    let next = u[0] + work.right[i][0];
                    smooth &= next < 1.0;
                    crossed |= (u[0] < 1.0) != (next < 1.0) && work.right[i][0].abs() > KINK;
                }
                // Nor does a cell's, past the point where its curve of wetting parts from the drying curve.
                if let Some(parting) = work.states[i].parting {
                    let passed = (u[0] <= parting) != (u[0] + change[0] <= parting);
                    smooth &= !passed;
                    crossed |= passed && change[0].abs() > KINK;
                }
                *u += change;
                // Newton's own step, not the limited one: a state held at a limit has not converged.
                let s = self.scaled(i, &work.right[i], tolerance);
                if s > size || s.is_nan() {
                    size = s;
                    worst = i;
                }
            }
            if !size.is_finite() {
                return Err(ColumnFault::Singular { step: dt });
            }
            // Newton's method is quadratic: what is left after an update is in proportion to its square. The factor is
            // measured where there were two updates, and believed for a while where there was one.
            match before {
                Some(before) if smooth && before < FAR => {
                    work.contraction = (size / (before * before)).max(LEAST_CONTRACTION);
                }
                _ => work.contraction *= DOUBT,
            }
            before = smooth.then_some(size);
            let left = if smooth && size < FAR {
                (work.contraction * size * size).min(size)
            } else {
                size
            };
            if left < tolerance.newton && !crossed && air_left < tolerance.newton {
                self.carry_flows(work);
                return Ok(());
            }
        }
        Err(ColumnFault::NoConvergence {
            node: worst,
            step: dt,
        })
    }

    /// Gives the air's part of an update the supply as it is, where its derivatives no longer tell it: machines, controls and condensation are the
    /// one part of the equations that is not smooth, and updates of the whole chain would swing about their kinks from side to side. The other
    /// nodes answer to the air in proportion, so that two equations are left for its change `x`, which cost little to solve:
    ///
    /// ```text
    /// x = x1 + P^-1 scale (s(x) - s1(x))        x1, s1: change and supply by the derivatives;  P: the air's pivot
    /// ```
    ///
    /// Takes the chain as eliminated down to the air. Returns what is left of these equations as a further change, in tolerances. The books take the
    /// supply at the changed state, which is what the surroundings know of the step. A steep supply, such as that of a thermostat, can leave
    /// much more beside the books than it moves the air: [`BESIDE_THE_BOOKS`] holds that too.
    fn meet_supply(
        &self,
        work: &mut Work,
        supply: &impl Supply,
        scale: f64,
        tolerance: &Tolerance,
    ) -> f64 {
        let Some(air) = self.free_air() else {
            return 0.0;
        };
        let (start, linear) = (work.trial[air], work.right[air]);
        let inverse = work.matrix.last_inverse();
        let size = |change: &Vector2<f64>| self.scaled(air, change, tolerance);
        let within = |mut change: Vector2<f64>| {
            limit(&self.nodes[air], &start, &mut change);
            change
        };
        // A held unknown takes whatever comes in.
        let free = Vector2::from(self.held[air].map(|held| f64::from(u8::from(!held)) * scale));
        let at = |change: Vector2<f64>| {
            let inflow = supply_at(supply, &(start + change));
            let beyond = (inflow - work.supply.carried(&change)).component_mul(&free);
            (change, inflow, linear + inverse * beyond - change)
        };
        let mut found = at(within(linear));
        for _ in 0..AIR_ROUNDS {
            let (change, inflow, left) = found;
            let before = size(&left);
            if before < AIR_SHARE * tolerance.newton {
                break;
            }
            let by_change = supply_slope(supply, &(start + change), &inflow);
            let beyond = Matrix2::from_diagonal(&free) * (by_change - work.supply.by_unknowns);
            let slope = Matrix2::identity() - inverse * beyond;
            let Some(newton) = slope.try_inverse().map(|inverse| inverse * left) else {
                break;
            };
            // Across a kink a shorter step can be the better one.
            let better = (0..AIR_HALVINGS)
                .map(|halving| at(within(change + newton * 0.5_f64.powi(halving))))
                .find(|(.., left)| size(left) < before);
            match better {
                Some(better) => found = better,
                None => break,
            }
        }
        let (change, inflow, left) = found;
        work.right[air] = change;
        work.supply.updated = inflow;
        let beside = inverse.try_inverse().map_or(f64::INFINITY, |pivot| {
            let change = work.states[air].change_for(&(pivot * left), self.held[air]);
            change.map_or(0.0, |change| size(&change))
        });
        size(&left).max(beside * BESIDE_THE_BOOKS)
    }

    /// Size of a change of node `i` in units of the tolerance.
    fn scaled(&self, i: usize, change: &Vector2<f64>, tolerance: &Tolerance) -> f64 {
        // A humidity ratio of 0.01 is about 60 % relative humidity at room temperature.
        let moisture = match self.nodes[i] {
            Node::Air(_) => change[0].abs() * 60.0,
            _ => change[0].abs(),
        };
        (moisture / tolerance.humidity).max(change[1].abs() / tolerance.temperature)
    }

    /// Local error in units of the tolerance; the matrix still holds the factors of the last iterate.
    fn local_error(&self, work: &mut Work, dt: f64, tolerance: &Tolerance) -> f64 {
        // Weights at 0, gamma and 1 of the rule that integrates a parabola exactly, less those of the method.
        let w1 = 1.0 / (6.0 * GAMMA * (1.0 - GAMMA));
        let w2 = 0.5 - w1 * GAMMA;
        let difference = [1.0 - w1 - w2, w1 - WEIGHTS[0], w2 - WEIGHTS[1]];
        let (start, first, second) = (&work.start.net, &work.first.net, &work.balance.net);
        for (i, right) in work.right.iter_mut().enumerate() {
            *right =
                (start[i] * difference[0] + first[i] * difference[1] + second[i] * difference[2])
                    * dt;
            for k in 0..2 {
                if self.held[i][k] {
                    right[k] = 0.0;
                }
            }
        }
        work.matrix.solve(&mut work.right);
        let right = &work.right;
        let (mut sum, mut thickness_sum) = (0.0, 0.0);
        for (i, node) in self.nodes.iter().enumerate() {
            // Faces and the air over a drying slab follow the cells; the soil is slow. A film and the air over a sealed face are not
            // judged: their own errors do not reach the slab.
            if let Node::Cell { thickness, .. } = *node {
                let h = right[i][0] / tolerance.humidity;
                let t = right[i][1] / tolerance.temperature;
                sum += thickness * (h * h + t * t);
                thickness_sum += thickness;
            }
        }
        if thickness_sum > 0.0 {
            (sum / thickness_sum).sqrt()
        } else {
            0.0
        }
    }
}

/// Keeps a Newton update inside the range where the equations mean something.
fn limit(node: &Node, u: &Vector2<f64>, change: &mut Vector2<f64>) {
    /// Largest change of relative humidity in one iteration.
    const HUMIDITY: f64 = 0.2;
    /// Largest change of temperature in one iteration \[K\].
    const TEMPERATURE: f64 = 20.0;
    /// Full pores can be under pressure, which shows as a relative humidity above 1.
    const OVERFULL: f64 = 2.0;
    change[1] = change[1].clamp(-TEMPERATURE, TEMPERATURE);
    match node {
        Node::Air(_) => {
            // Never below a tenth of what it was: humidity ratios are positive.
            change[0] = change[0].clamp(-0.9 * u[0], 0.05);
        }
        Node::Face => {
            // The kink at the onset of the film is met exactly.
            let next = u[0] + change[0];
            if (u[0] < 1.0) != (next < 1.0) && (u[0] - 1.0).abs() > 1e-12 {
                change[0] = 1.0 - u[0] + if u[0] < 1.0 { 1e-13 } else { -1e-13 };
            } else if u[0] < 1.0 {
                change[0] = change[0].clamp(-HUMIDITY, HUMIDITY);
            }
            change[0] = change[0].max(-0.9 * u[0]);
        }
        _ => {
            change[0] = change[0]
                .clamp(-HUMIDITY, HUMIDITY)
                .clamp(-0.9 * u[0], OVERFULL.max(u[0]) - u[0]);
        }
    }
}
