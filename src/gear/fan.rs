//! Air movers: how fast the air is over the floor, and the heat they leave.
//!
//! Computes the mean air speed over the rectangle of floor that one fan serves, and over a floor that several share.
//!
//! # Symbols
//! | symbol | meaning | unit |
//! |---|---|---|
//! | `U_0` | speed at the outlet, flow over area | m/s |
//! | `A_0` | outlet area | m2 |
//! | x, z | distance from the outlet along the jet, and sideways from its axis | m |
//! | `U_m` | speed on the axis | m/s |
//! | b | half width: where the speed is half of that on the axis | m |
//! | L, B | length of the footprint along the jet, and its breadth | m |
//!
//! # Equations
//! ```text
//! U_m(x)  = min( U_0, 5 U_0 sqrt(A_0) / x )
//! U(x,z)  = U_m exp( -ln 2 (z / b)^2 ),      b = max( x / 4, sqrt(A_0) / 2 )
//! mean    = 1 / (L B)  integral over 0..L, -B/2..B/2 of U        (fan in the middle of one edge, blowing along the floor)
//! ```
//! The vapour transfer to the air is linear in the speed, so the mean speed gives the mean transfer.
//!
//! # Valid range
//! Open floor, jet along the floor, x up to some 30 `sqrt(A_0)`. Furniture, walls in the way and the room's own circulation are left
//! out. No footprint is stiller than [`STILL_AIR`]. Expect errors of tens of per cent: fans differ more than the law does. A slab
//! that dries from inside gains little once the air moves at all.
//!
//! # Sources
//! 1. Decay of a free or attached jet as `K sqrt(A_0) / x` with K about 5: American Society of Heating, Refrigerating and
//!    Air-Conditioning Engineers, Handbook: Fundamentals, chapter Space Air Diffusion (from memory).
//! 2. Linear growth of the three-dimensional wall jet: B. G. Newman, R. P. Patel, S. B. Savage, H. K. Tjio, Three-dimensional wall
//!    jet originating from a circular orifice, Aeronautical Quarterly 23 (1972) 188-200; lateral rate 0.25 to 0.3: B. E. Launder,
//!    W. Rodi, The turbulent wall jet, Progress in Aerospace Sciences 19 (1981) (from memory).
//! 3. Still air 0.05 to 0.15 m/s: from memory.
//!
//! # Proof of accuracy
//! `analytic_fan_*` and `regress_fan_mean_speeds` in `tests/it/gear.rs`.

use super::controls::Control;
use super::effect::Effect;
use super::{Supply, Surroundings};

/// Air speed over a floor without fans, m/s (source 3: the middle of 0.05 to 0.15).
pub const STILL_AIR: f64 = 0.1;

/// `K` of the decay along the axis (source 1).
const AXIAL_DECAY: f64 = 5.0;
/// Growth of the half width per distance (source 2).
const LATERAL_GROWTH: f64 = 0.25;
/// Half width at the outlet over the side of a square outlet.
const OUTLET_HALF_WIDTH: f64 = 0.5;
/// Sideways, the integral stops at this many half widths: beyond them lies 1e-10 of the flow.
const LATERAL_REACH: f64 = 5.5;
/// Intervals of Simpson's rule per smooth piece: enough for eight digits.
const INTERVALS: u32 = 64;

/// Rectangle of floor that one fan serves, with the fan in the middle of one side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Footprint {
    /// Along the jet, m.
    pub length: f64,
    /// Across the jet, m.
    pub breadth: f64,
}

impl Footprint {
    /// A square of this area, m2.
    #[must_use]
    pub fn square(area: f64) -> Self {
        let side = area.max(0.0).sqrt();
        Self {
            length: side,
            breadth: side,
        }
    }
}

/// How the air speed over the floor is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FloorSpeed {
    /// From the jet law.
    Jet {
        /// True flow, m3/s. Free-air claims of catalogues are often far above it.
        flow: f64,
        /// Area of the outlet, m2.
        outlet_area: f64,
    },
    /// Given outright, m/s: a measured mean over the floor it serves.
    Given(f64),
}

/// A fan that stands in the room. All its power becomes heat in the room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fan {
    /// How the air speed over the floor is known.
    pub floor_speed: FloorSpeed,
    /// Power in full run, W.
    pub power: f64,
    /// Electrical supply.
    pub supply: Supply,
    /// When it runs.
    pub control: Control,
}

/// Simpson's rule over one smooth piece.
fn simpson(from: f64, to: f64, integrand: impl Fn(f64) -> f64) -> f64 {
    let step = (to - from) / f64::from(INTERVALS);
    let inner: f64 = (1..INTERVALS)
        .map(|i| if i % 2 == 1 { 4.0 } else { 2.0 } * integrand(from + f64::from(i) * step))
        .sum();
    (integrand(from) + inner + integrand(to)) * step / 3.0
}

/// Integral of the speed across the jet at one distance, over `half_breadth` on each side, m2/s.
fn across(axis_speed: f64, half_width: f64, half_breadth: f64) -> f64 {
    let reach = (half_breadth / half_width).min(LATERAL_REACH);
    let profile = simpson(0.0, reach, |s| (-std::f64::consts::LN_2 * s * s).exp());
    2.0 * axis_speed * half_width * profile
}

fn jet_mean(flow: f64, outlet_area: f64, footprint: Footprint) -> f64 {
    let Footprint { length, breadth } = footprint;
    let sensible = [flow, outlet_area, length, breadth]
        .iter()
        .all(|value| value.is_finite() && *value > 0.0);
    if !sensible {
        return STILL_AIR;
    }
    let outlet_speed = flow / outlet_area;
    let side = outlet_area.sqrt();
    let speed_across = |x: f64| {
        let axis_speed = outlet_speed * (AXIAL_DECAY * side / x.max(f64::MIN_POSITIVE)).min(1.0);
        across(
            axis_speed,
            (LATERAL_GROWTH * x).max(OUTLET_HALF_WIDTH * side),
            0.5 * breadth,
        )
    };
    // The integrand has a kink where the jet starts to widen and one where its core ends.
    let mut edges = [
        0.0,
        OUTLET_HALF_WIDTH * side / LATERAL_GROWTH,
        AXIAL_DECAY * side,
        length,
    ];
    for edge in &mut edges {
        *edge = edge.min(length);
    }
    let total: f64 = edges
        .windows(2)
        .map(|piece| simpson(piece[0], piece[1], speed_across))
        .sum();
    (total / (length * breadth)).max(STILL_AIR)
}

impl Fan {
    /// Mean air speed over the floor this fan serves in full run, m/s, never below [`STILL_AIR`].
    ///
    /// Integrates the jet: some 10 000 exponentials. Call it when a setup is built, not at every step; [`FloorAir`] keeps it.
    #[must_use]
    pub fn mean_floor_air_speed(&self, footprint: Footprint) -> f64 {
        match self.floor_speed {
            FloorSpeed::Given(speed) => speed.max(STILL_AIR),
            FloorSpeed::Jet { flow, outlet_area } => jet_mean(flow, outlet_area, footprint),
        }
    }

    /// What the machine does: heat only. The air it moves counts through [`FloorAir`].
    #[must_use]
    pub fn effect(&self, surroundings: &Surroundings) -> Effect {
        let duty = self.control.duty(surroundings);
        let electricity = duty * self.power;
        Effect {
            enthalpy: electricity,
            electricity,
            duty,
            ..Effect::default()
        }
    }
}

/// Air speed over a floor that fans share, with the integrals done once.
///
/// Every fan serves an equal square share of the floor; overlaps are not counted, which is on the safe side.
#[derive(Clone, Debug, PartialEq)]
pub struct FloorAir {
    served: Vec<Served>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Served {
    control: Control,
    share: f64,
    speed: f64,
}

impl FloorAir {
    /// A floor of `area` m2 with `fans` and how many there are of each. Without fans the air is still.
    #[must_use]
    pub fn new(fans: &[(Fan, f64)], area: f64) -> Self {
        let count: f64 = fans.iter().map(|(_, count)| count.max(0.0)).sum();
        if count <= 0.0 {
            return Self { served: Vec::new() };
        }
        let footprint = Footprint::square(area / count);
        let served = fans
            .iter()
            .map(|(fan, of_this)| Served {
                control: fan.control,
                share: of_this.max(0.0) / count,
                speed: fan.mean_floor_air_speed(footprint),
            })
            .collect();
        Self { served }
    }

    /// Mean air speed over the floor, m/s. Cheap and free of allocation.
    #[must_use]
    pub fn speed(&self, surroundings: &Surroundings) -> f64 {
        STILL_AIR
            + self
                .served
                .iter()
                .map(|fan| fan.share * fan.control.duty(surroundings) * (fan.speed - STILL_AIR))
                .sum::<f64>()
    }
}
