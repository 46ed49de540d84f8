//! The solver: coupled heat and moisture in one dimension, with the room's air as its last node.
//!
//! A [`Column`] is a chain of nodes joined by links, from the ground up to the air. Every node has two
//! unknowns, one for moisture and one for temperature; every link carries water and heat between two
//! neighbours. Because each node sees its two neighbours only, the Jacobian is block tridiagonal with
//! 2 x 2 blocks, and slab, room and gear are solved together: no splitting error, and no step limit from
//! the fast air.
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | `h` | relative humidity of the pores | 0..1 |
//! | `T` | temperature | degC |
//! | `M` | water stored per area of slab, bound water included | kg/m2 |
//! | `E` | enthalpy stored per area of slab (reference: 0 degC, liquid water) | J/m2 |
//! | `g` | water flux, positive toward the air | kg/(m2 s) |
//! | `q` | heat flux, positive toward the air | W/m2 |
//!
//! ```text
//! dM/dt = g_below - g_above                 g = delta (p_below - p_above)/d + K (h_below - h_above)/d
//! dE/dt = q_below - q_above                 q = lambda (T_below - T_above)/d + g_vapour h_v + g_liquid h_l
//! E = rho c T + c_w M T - heat released     h_v = 2501e3 + 1860 T,  h_l = c_w T
//! ```
//!
//! The balance uses the stored water itself, not capacity times dh/dt: the books of water and heat close to rounding, and a
//! state holds what its books say to the Newton tolerance of the last step. The enthalpy carried by moving water is kept, so that heat closes as well; the form printed
//! in EN 15026 leaves that small term out.
//!
//! Space: finite volumes; the liquid flux over a link is the difference of Kirchhoff's potential, the integral of the
//! conductivity, which is exact for a steady flux however far the two states lie apart, and falls without fail as the
//! upper state rises; vapour permeability is the mean of the two ends. For a material without a potential both coefficients are
//! Simpson means over the two states, in four panels at a face.
//! A material may remember the lowest degree of saturation that each cell has had ([`Material::storage_after`], [`Material::wetting`]): cells that
//! only dry know nothing of it. The point where the curves of wetting and drying part is a kink that Newton's method does not take for converged.
//! Time: a two-stage singly diagonally implicit Runge-Kutta method ([`step`]), second order and L-stable,
//! with an error-controlled step.
//!
//! Valid for isothermal and non-isothermal drying and wetting without freezing of the pore water: below 0 degC vapour pressure
//! is that over ice (some 5 % less at -5 degC than over supercooled water), and the heat of freezing is left out.
//!
//! Sources:
//! 1. EN 15026:2007, moisture transfer by numerical simulation (balance equations, from memory).
//! 2. Alexander 1977, "Diagonally implicit Runge-Kutta methods for stiff ODEs", SIAM J. Numer. Anal. 14.
//! 3. Shampine 1984, on filtering the error estimate of stiff methods (from memory).
//!
//! Accuracy is proven in `tests/it/column.rs`: Crank's plane sheet, two exact nonlinear solutions with
//! their order of convergence, HAMSTAD 2 and EN 15026 annex A.

mod block;
mod chain;
mod flow;
mod grid;
mod link;
mod material;
mod node;
pub mod step;
mod supply;
mod system;
mod work;

pub use chain::Column;
pub use grid::{Grid, Refinement};
pub use link::{Link, Skin};
pub use material::{Feeding, Material, Potential, Storage, Transport, Wetting};
pub use node::{AirStore, Node};
pub use step::{ColumnFault, Step, Tolerance};
pub use supply::Supply;
pub use system::NodeEquation;
