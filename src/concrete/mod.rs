//! Concrete as a material of the column: mix, hydration, storage, transport, heat.
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | `C` | cement content | kg/m3 |
//! | `wc` | water-cement ratio | 1 |
//! | `alpha` | degree of hydration | 1 |
//! | `w` | evaporable water | kg/m3 |
//! | `h` | relative humidity of the pores | 1 |
//! | `S` | degree of saturation of the pores | 1 |
//! | `pc` | capillary pressure, `-rho_w R_v T ln h` | Pa |
//! | `K` | liquid conductivity, driven by `h` | kg/(m s) |
//! | `delta` | vapour permeability, driven by vapour pressure | kg/(m s Pa) |
//!
//! ```text
//! alpha = alpha_u exp(-(tau/t_e)^beta)          alpha_u = 1.031 wc/(0.194 + wc)                     [1][2]
//! w     = C (wc - 0.166 alpha) S(pc)            bound water 0.23 C alpha                            [3]
//! S     = (1 + (pc/a)^(b/(b-1)))^(-1/b)         a, b: published isotherms, interpolated in wc       [4]
//! K     = (K1 S-shape(h) + K2 h^m) f(T)         delta = delta_20 (T/293.15 K)^0.81                  [5][6]
//! ```
//! Water bound by hydration leaves the pores while the pore volume shrinks less (chemical shrinkage), so a
//! sealed slab dries itself: self-desiccation needs no term of its own.
//!
//! Soaked lightweight aggregate adds `A (1 + (pc/p_A)^2)^(-1/2)` to `w`: large pores that give their water to the paste
//! first. `p_A` follows from ASTM C1761 (at least 85 % of the absorbed water is given off at 94 % RH, from memory);
//! no drying time of lightweight concrete was fitted.
//!
//! Valid for normal-weight concrete of Portland cement, water-cement ratio 0.35 to 1.0, 0 to 45 degC.
//!
//! Sources:
//! 1. Mills 1966 (ultimate degree of hydration, as quoted in several public sources).
//! 2. Schindler & Folliard 2005 (form of the hydration curve); CEB-FIP Model Code 1990 (4000 K).
//! 3. Powers' model: bound water 0.23 g/g; chemical shrinkage 0.064 l/kg (from memory).
//! 4. Baroghel-Bouny et al. 1999, Cement and Concrete Research 29: desorption of a paste with w/c 0.34 and of a
//!    concrete with w/c 0.487 (the latter's constants from memory).
//! 5. Bazant & Najjar 1972, Materials and Structures 5; fib Model Code 2010 section 5.1.13 (S-shape, from memory).
//! 6. EN 15026:2007 (temperature exponent of vapour diffusion in air, from memory).
//!
//! Accuracy: `tests/it/concrete.rs` compares drying times with published tables.

mod constants;
mod mix;
mod table;
mod tabulated;

pub use constants::{Constants, HydrationConstants, IsothermConstants, TransportConstants};
pub use mix::{Aggregate, Concrete, Mix, USUAL_MIXING_WATER};
pub use tabulated::Tabulated;
