//! A slab on its way through the season.

use super::START_AGE;
use super::slab::{Layout, Resolution, Slab};
use crate::air::MoistAir;
use crate::column::{AirStore, Column, ColumnFault, Link, Node, Skin, Tolerance};
use crate::gear::fan::STILL_AIR;
use crate::room::{Room, face_link};
use crate::units::format::{fixed, with_unit};
use crate::units::{DAY, HOUR};
use crate::weather::{Hourly, OutsideAir};
use std::ops::ControlFlow;

/// Longest step while the surroundings change by the hour \[s\]. The outside air enters as its mean over the
/// step, so that nothing of it is lost; the slab's depth does not feel single hours. Against steps of an hour the days of the shipped
/// scenarios move by 0.1 % at most, but by a day where a daily swing crosses the limit (`tests/it/scenarios.rs`).
pub const LONGEST_STEP: f64 = 4.0 * HOUR;
/// First step after an abrupt change \[s\].
const FIRST_STEP: f64 = 60.0;
/// Share of the length that the error allows which the next step takes, and bounds of its change: the usual ones of step-size control.
const CAUTION: f64 = 0.9;
const CHANGE: (f64, f64) = (0.2, 2.5);
/// A step that does not converge is tried again at this share of its length.
const RETRY: f64 = 0.25;
/// A step below this means that the solver has given up \[s\].
const SHORTEST_STEP: f64 = 1e-3;
/// Residual of a balance, as a share of the throughput, above which a run is not believed.
const BOOKS_CLOSE: f64 = 1e-6;
/// Newton's share of the local error at the end of a stretch, where the books are checked: what is stored is read off
/// the state there, which must therefore hold what the books say even where next to nothing has passed through.
const NEWTON_AT_THE_END: f64 = 1e-6;
/// Steps tried before a run is called off: three times what twenty years at the longest step take.
const MOST_TRIES: u64 = 200_000;
/// Tries over which the steps must be this long on average \[s\], accepted or not; a run that gets on more slowly is called off. An abrupt change
/// costs some thirty short steps.
const GETS_ON: (u64, f64) = (500, 30.0);
/// Air speed over a slab in an open shell as a share of the weather station's wind (engineering judgement).
const SHELTER: f64 = 0.3;

/// Unknown of a face that is kept wet: covered by a film, which the books leave out \[1\].
const WET_FACE: f64 = 1.05;

/// What the slab's upper face meets.
#[derive(Clone, Copy, Debug)]
pub enum Climate<'a> {
    /// Air of a given state and speed over the face.
    Given {
        /// The air.
        air: MoistAir,
        /// Its speed \[m/s\].
        air_speed: f64,
    },
    /// Outside air in an open shell: roofed, not closed.
    OpenShell(&'a Hourly),
    /// A closed room with its machines.
    Room(&'a Room, &'a Hourly),
}

/// Why a season could not be computed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error(
    "{} after placing {fault}; look for extreme values: machines far too big for the room, a very small room, a very thin slab",
    with_unit(&fixed(*days, 2), "days")
)]
pub struct SimulationFault {
    /// Days since placing.
    pub days: f64,
    /// What the solver says.
    pub fault: ColumnFault,
}

/// What happened in one accepted step.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Progress {
    /// Length of the step \[s\].
    pub length: f64,
    /// Mean evaporation from the upper face \[kg/(m2 s)\].
    pub evaporation: f64,
    /// Mean flux from the ground into the slab \[kg/(m2 s)\].
    pub from_ground: f64,
    /// Outside air during the step.
    pub outside: Option<OutsideAir>,
    /// Exchanges of the room's air during the step (mean over the stages); zero without a room.
    pub exchange: crate::room::Exchange,
    /// Air speed over the floor \[m/s\].
    pub air_speed: f64,
}

/// Read access to the state, for tests of the floor and records.
#[derive(Clone, Copy, Debug)]
pub struct Snapshot<'a> {
    simulation: &'a Simulation,
}

/// A slab with its surroundings at a moment.
#[derive(Clone, Debug)]
pub struct Simulation {
    column: Column,
    layout: Layout,
    thickness: f64,
    two_sided: bool,
    /// Whether the upper face is kept wet.
    kept_wet: bool,
    concrete: crate::concrete::Concrete,
    time: f64,
    next_step: f64,
    tolerance: Tolerance,
    /// Transfer at the upper face over what the evaporation law gives.
    surface_transfer_factor: f64,
    longest_step: f64,
    newton_iterations: u64,
    steps: u64,
    tries: u64,
    /// Tries and time when it was last looked whether the run gets on.
    checked: (u64, f64),
}

impl Simulation {
    /// A slab one day after placing. `skin` lies on its face.
    #[must_use]
    pub fn new(
        slab: &Slab,
        store: AirStore,
        skin: Skin,
        resolution: Resolution,
        tolerance: Tolerance,
    ) -> Self {
        let (column, layout) = slab.column(resolution, store, skin);
        Self {
            column,
            layout,
            thickness: slab.thickness,
            two_sided: slab.dries_from_two_sides(),
            kept_wet: false,
            concrete: slab.concrete,
            time: START_AGE,
            next_step: FIRST_STEP,
            tolerance,
            surface_transfer_factor: 1.0,
            longest_step: LONGEST_STEP,
            newton_iterations: 0,
            steps: 0,
            tries: 0,
            checked: (0, START_AGE),
        }
    }

    /// Seconds since placing.
    #[must_use]
    pub fn time(&self) -> f64 {
        self.time
    }

    /// Steps and Newton iterations spent so far.
    #[must_use]
    pub fn work(&self) -> (u64, u64) {
        (self.steps, self.newton_iterations)
    }

    /// The chain of nodes that is solved, for other solvers (see [`Column::equations`]).
    #[must_use]
    pub fn column(&self) -> &Column {
        &self.column
    }

    /// Residuals of the water and heat balance as shares of the throughput since the last of [`Self::enter_room`],
    /// [`Self::keep_wet`] and [`Self::hold_air`], or since the start.
    #[must_use]
    pub fn balance_errors(&self) -> (f64, f64) {
        self.column.balance_errors()
    }

    /// What lies on the upper face from now on.
    pub fn set_skin(&mut self, on_face: Skin) {
        let index = self.layout.face - 1;
        let before = self.snapshot().skin();
        if let Link::Body { skin, .. } = &mut self.column.links_mut()[index] {
            *skin = on_face;
        }
        if on_face.porous + on_face.tight < before.porous + before.tight && !self.kept_wet {
            // A face that was dry under its skin must find its new balance at once. From the wet side Newton's method does.
            let below = self.column.humidity(self.layout.face - 1);
            self.column.start_from(self.layout.face, below);
        }
        self.next_step = FIRST_STEP;
    }

    /// Keeps the upper face wet, or lets go of it.
    pub fn keep_wet(&mut self, wet: bool) {
        let face = self.layout.face;
        self.kept_wet = wet;
        if wet {
            self.column.hold(face, Some(WET_FACE), None);
        } else {
            // What covered the face while it was kept wet is taken away.
            let (_, temperature) = self.column.state(face);
            self.column.hold(face, None, None);
            self.column.set(face, 1.0, temperature);
        }
        self.next_step = FIRST_STEP;
    }

    /// Free water that falls on the face from now on \[kg/(m2 s)\], at a temperature \[degC\].
    pub fn set_rain(&mut self, rate: f64, temperature: f64) {
        self.column.rain = rate;
        self.column.rain_temperature = temperature;
        self.next_step = FIRST_STEP;
    }

    /// Lets the air follow the room from now on; it starts at the given state. The balance starts anew.
    pub fn enter_room(&mut self, room: &Room, temperature: f64, humidity_ratio: f64) {
        let air = self.layout.air;
        self.column.set_node(air, Node::Air(room.store()));
        self.column.hold(air, None, None);
        self.column.set(air, humidity_ratio, temperature);
        self.next_step = FIRST_STEP;
    }

    /// Gives the air a state again (a dish over a spot, a laboratory); [`Self::advance`] drives it.
    pub fn hold_air(&mut self) {
        let (w, t) = self.column.state(self.layout.air);
        self.column.hold(self.layout.air, Some(w), Some(t));
        self.next_step = FIRST_STEP;
    }

    /// Transfer of vapour and heat at the upper face from now on, over what the evaporation law gives.
    pub fn set_surface_transfer_factor(&mut self, factor: f64) {
        self.surface_transfer_factor = factor;
    }

    /// Accuracy asked of the steps from now on.
    pub fn set_tolerance(&mut self, tolerance: Tolerance) {
        self.tolerance = tolerance;
    }

    /// Longest step while the surroundings change by the hour \[s\]; [`LONGEST_STEP`] unless this says otherwise. The outside
    /// air enters as its mean over the step: longer steps are for a first look at the days, shorter ones for a refined run.
    pub fn set_longest_step(&mut self, longest: f64) {
        self.longest_step = longest;
        self.next_step = self.next_step.min(longest);
    }

    /// A view of the present state.
    #[must_use]
    pub fn snapshot(&self) -> Snapshot<'_> {
        Snapshot { simulation: self }
    }

    /// Carries the slab to a time \[s since placing\]. `observe` sees every accepted step and may end the run.
    ///
    /// # Errors
    /// [`SimulationFault`] when the solver gives up, the state being that of the last good step, or when the balance of
    /// water or heat does not close.
    pub fn advance(
        &mut self,
        until: f64,
        climate: Climate<'_>,
        observe: &mut dyn FnMut(&Snapshot<'_>, &Progress) -> ControlFlow<()>,
    ) -> Result<ControlFlow<()>, SimulationFault> {
        let ending = self.walk(until, climate, observe)?;
        if ending.is_break() {
            // Newton's method was not told that this step would be the last.
            self.column.settle(&self.tolerance);
        }
        let (mut water, mut heat) = self.column.balance_errors();
        if water.max(heat) > BOOKS_CLOSE {
            // Where little passed through, what Newton's method has left over may be too large a share of it. Only as much as it
            // usually leaves is put right, however careless the solver was told to be.
            self.column.settle(&Tolerance::default().left_over());
            (water, heat) = self.column.balance_errors();
        }
        let share = water.max(heat);
        if share > BOOKS_CLOSE || water.is_nan() || heat.is_nan() {
            return Err(self.fault(ColumnFault::OpenBooks { share }));
        }
        Ok(ending)
    }

    fn walk(
        &mut self,
        until: f64,
        climate: Climate<'_>,
        observe: &mut dyn FnMut(&Snapshot<'_>, &Progress) -> ControlFlow<()>,
    ) -> Result<ControlFlow<()>, SimulationFault> {
        let active = match climate {
            Climate::Room(room, _) => Some(room.at(self.time)),
            _ => None,
        };
        while self.time < until - SHORTEST_STEP {
            let length = self.next_step.min(until - self.time);
            self.tries += 1;
            let since = self.tries - self.checked.0;
            let stuck = since >= GETS_ON.0 && self.time - self.checked.1 < GETS_ON.1 * since as f64;
            if stuck || self.tries > MOST_TRIES {
                return Err(self.fault(ColumnFault::TooManySteps));
            }
            if since >= GETS_ON.0 {
                self.checked = (self.tries, self.time);
            }
            let (temperature, humidity_ratio) = {
                let (w, t) = self.column.state(self.layout.air);
                (t, w)
            };
            let outside = match climate {
                Climate::Given { .. } => None,
                Climate::OpenShell(weather) | Climate::Room(_, weather) => {
                    Some(weather.mean(self.time, self.time + length))
                }
            };
            let room = match (&active, &outside) {
                (Some(room), Some(o)) => Some(room.during(o, self.time, self.time + length)),
                _ => None,
            };
            let air_speed = match (climate, &room, &outside) {
                (Climate::Given { air, air_speed }, ..) => {
                    self.column
                        .drive(self.layout.air, air.humidity_ratio, air.temperature);
                    air_speed
                }
                (_, Some(room), _) => room.floor_air_speed(temperature, humidity_ratio),
                (_, _, Some(o)) => {
                    self.column
                        .drive(self.layout.air, o.humidity_ratio, o.temperature);
                    STILL_AIR + SHELTER * o.wind_speed
                }
                _ => STILL_AIR,
            };
            self.column
                .set_topmost_link(face_link(air_speed, self.surface_transfer_factor));

            let supply = |t: f64, w: f64| room.map_or([0.0, 0.0], |room| room.supply(t, w));
            let mut tolerance = self.tolerance;
            if self.time + length >= until - SHORTEST_STEP {
                tolerance.newton = tolerance.newton.min(NEWTON_AT_THE_END);
            }
            match self.column.step(&supply, length, &tolerance) {
                Ok(step) => {
                    self.newton_iterations += u64::from(step.iterations);
                    let factor =
                        (CAUTION * step.error.max(1e-6).powf(-1.0 / 3.0)).clamp(CHANGE.0, CHANGE.1);
                    let longest = if outside.is_some() {
                        self.longest_step
                    } else {
                        self.longest_step.max(DAY)
                    };
                    // A step that an end cut short says nothing against the length that it was cut from.
                    let cut = step.error <= 1.0 && length < self.next_step;
                    let least = if cut { self.next_step } else { 0.0 };
                    self.next_step = (length * factor).max(least).min(longest);
                    if step.error > 1.0 {
                        if length < SHORTEST_STEP {
                            return Err(self.fault(ColumnFault::TooManySteps));
                        }
                        continue;
                    }
                    self.steps += 1;
                    self.time += length;
                    let mut progress = Progress {
                        length,
                        evaporation: step.evaporation,
                        from_ground: step.from_below,
                        outside,
                        air_speed,
                        ..Progress::default()
                    };
                    if let Some(room) = &room {
                        for (t, w, weight) in step.air {
                            progress.exchange += room.exchange(t, w) * weight;
                        }
                    }
                    if observe(&self.snapshot(), &progress).is_break() {
                        return Ok(ControlFlow::Break(()));
                    }
                }
                Err(fault) => {
                    self.next_step = RETRY * length;
                    if self.next_step < SHORTEST_STEP {
                        return Err(self.fault(fault));
                    }
                }
            }
        }
        Ok(ControlFlow::Continue(()))
    }

    fn fault(&self, fault: ColumnFault) -> SimulationFault {
        SimulationFault {
            days: self.time / DAY,
            fault,
        }
    }
}

impl Snapshot<'_> {
    /// Seconds since placing.
    #[must_use]
    pub fn time(&self) -> f64 {
        self.simulation.time
    }

    /// Thickness of the slab \[m\].
    #[must_use]
    pub fn thickness(&self) -> f64 {
        self.simulation.thickness
    }

    /// Whether both faces dry.
    #[must_use]
    pub fn dries_from_two_sides(&self) -> bool {
        self.simulation.two_sided
    }

    /// Profile through the slab: depth below the upper face \[m\], relative humidity, temperature \[degC\],
    /// evaporable water \[kg/m3\] and cell thickness \[m\], from the top down.
    pub fn profile(&self) -> impl Iterator<Item = (f64, f64, f64, f64, f64)> + '_ {
        let s = self.simulation;
        let mut depth = 0.0;
        self.cells().map(move |i| {
            let thickness = cell_thickness(&s.column, i);
            depth += thickness;
            (
                depth - 0.5 * thickness,
                s.column.humidity(i),
                s.column.state(i).1,
                s.column.water(i).unwrap_or(0.0),
                thickness,
            )
        })
    }

    /// Relative humidity at a depth below the upper face \[m\]: the cubic through the centres of the two cells above and
    /// the two below, held between the nearest two.
    #[must_use]
    pub fn humidity_at(&self, depth: f64) -> f64 {
        let mut points = [(0.0, 0.0); 4];
        let mut count = 0;
        let mut below = 0;
        for point in self.centres() {
            if count < points.len() {
                count += 1;
            } else {
                points.rotate_left(1);
            }
            if let Some(last) = points.get_mut(count - 1) {
                *last = point;
            }
            if point.0 >= depth {
                below += 1;
                if below == 2 {
                    break;
                }
            }
        }
        between(&points[..count], depth)
    }

    /// Temperature \[degC\] at a depth below the upper face \[m\]: that of the cell in which it lies.
    #[must_use]
    pub fn temperature_at(&self, depth: f64) -> f64 {
        let s = self.simulation;
        let mut bottom = 0.0;
        for i in self.cells() {
            bottom += cell_thickness(&s.column, i);
            if bottom >= depth {
                return s.column.state(i).1;
            }
        }
        s.column.state(s.layout.first_cell).1
    }

    /// Temperature of the coldest part of the slab \[degC\].
    #[must_use]
    pub fn coldest(&self) -> f64 {
        self.cells()
            .map(|i| self.simulation.column.state(i).1)
            .fold(self.face().1, f64::min)
    }

    /// Places of the cells in the chain, from the top down.
    fn cells(&self) -> impl Iterator<Item = usize> + use<> {
        let layout = self.simulation.layout;
        (layout.first_cell..layout.first_cell + layout.cells).rev()
    }

    /// Whether the upper face is kept wet: by curing, washing or etching.
    #[must_use]
    pub fn is_kept_wet(&self) -> bool {
        self.simulation.kept_wet
    }

    /// What lies on the upper face.
    #[must_use]
    pub fn skin(&self) -> Skin {
        match self.simulation.column.links()[self.simulation.layout.face - 1] {
            Link::Body { skin, .. } => skin,
            _ => Skin::default(),
        }
    }

    /// Pressure of the air over the slab \[Pa\].
    #[must_use]
    pub fn air_pressure(&self) -> f64 {
        match self.simulation.column.nodes()[self.simulation.layout.air] {
            Node::Air(store) => store.pressure,
            _ => crate::air::STANDARD_PRESSURE,
        }
    }

    /// Depth of each cell's centre below the upper face \[m\] and its relative humidity, from the top down.
    fn centres(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        let s = self.simulation;
        let mut depth = 0.0;
        self.cells().map(move |i| {
            let thickness = cell_thickness(&s.column, i);
            depth += thickness;
            (depth - 0.5 * thickness, s.column.humidity(i))
        })
    }

    /// Mean evaporable water \[kg/m3\].
    #[must_use]
    pub fn mean_water(&self) -> f64 {
        self.profile().map(|(.., w, t)| w * t).sum::<f64>() / self.simulation.thickness
    }

    /// Relative humidity to which the slab would even out if it were sealed now at a temperature \[degC\]: the
    /// mean of the water, through the isotherm.
    #[must_use]
    pub fn equilibrium_humidity(&self, temperature: f64) -> f64 {
        let s = self.simulation;
        let held = |humidity: f64| -> f64 {
            let in_cell = |i| {
                let water = s.column.water_at(i, humidity, temperature).unwrap_or(0.0);
                water * cell_thickness(&s.column, i)
            };
            self.cells().map(in_cell).sum()
        };
        let water = self.mean_water() * self.thickness();
        // Each cell wets or dries along its own curve: their sum has no inverse in closed form. To a millionth of a percent.
        let (mut dry, mut wet) = (0.0, 1.0);
        for _ in 0..27 {
            let middle = f64::midpoint(dry, wet);
            if held(middle) < water {
                dry = middle;
            } else {
                wet = middle;
            }
        }
        f64::midpoint(dry, wet)
    }

    /// Evaporable water over dry mass in a top layer of a thickness \[m\].
    #[must_use]
    pub fn mass_share(&self, layer: f64) -> f64 {
        let (mut water, mut depth, mut left) = (0.0, 0.0, layer.min(self.thickness()));
        for (.., w, thickness) in self.profile() {
            let part = thickness.min(left);
            water += w * part;
            depth += part;
            left -= part;
        }
        water / depth.max(f64::MIN_POSITIVE) / self.simulation.concrete.dry_density()
    }

    /// Air temperature \[degC\] and humidity ratio.
    #[must_use]
    pub fn air(&self) -> (f64, f64) {
        let (w, t) = self.simulation.column.state(self.simulation.layout.air);
        (t, w)
    }

    /// Relative humidity and temperature \[degC\] of the upper face.
    #[must_use]
    pub fn face(&self) -> (f64, f64) {
        let i = self.simulation.layout.face;
        (
            self.simulation.column.humidity(i),
            self.simulation.column.state(i).1,
        )
    }

    /// Free water on the upper face \[kg/m2\].
    #[must_use]
    pub fn free_water(&self) -> f64 {
        self.simulation
            .column
            .free_water(self.simulation.layout.face)
    }

    /// A copy of the slab to experiment on.
    #[must_use]
    pub fn fork(&self) -> Simulation {
        self.simulation.clone()
    }
}

/// Thickness of the cell at a place in the chain \[m\].
fn cell_thickness(column: &Column, place: usize) -> f64 {
    match column.nodes()[place] {
        Node::Cell { thickness, .. } => thickness,
        _ => 0.0,
    }
}

/// Lagrange's polynomial through points in order of their abscissa, held between the ordinates of the two nearest.
fn between(points: &[(f64, f64)], x: f64) -> f64 {
    let (Some(first), Some(last)) = (points.first(), points.last()) else {
        return 0.0;
    };
    if x <= first.0 || x >= last.0 {
        return if x <= first.0 { first.1 } else { last.1 };
    }
    let mut sum = 0.0;
    for (i, (xi, yi)) in points.iter().enumerate() {
        let mut weight = 1.0;
        for (j, (xj, _)) in points.iter().enumerate() {
            if i != j {
                weight *= (x - xj) / (xi - xj);
            }
        }
        sum += weight * yi;
    }
    let pair = points.windows(2).find(|pair| pair[1].0 >= x);
    match pair {
        Some(&[(_, a), (_, b)]) => sum.clamp(a.min(b), a.max(b)),
        _ => sum,
    }
}
