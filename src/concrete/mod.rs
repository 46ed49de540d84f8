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
//! alpha = (1-f) A exp(-(tau/t_e)^beta) + f B (1 - exp(-t_e/t_b))     A, B by wc                     [1][2]
//! dt_e/dt = exp(4000 K (1/293.15 K - 1/T)) / (1 + ((1-h)/0.15)^8)                                   [2][7]
//! w     = C (wc - 0.166 alpha) S(pc)            bound water 0.23 C alpha                            [3]
//! S     = (1 + (pc/a)^(b/(b-1)))^(-1/b)         a, b: published isotherms, interpolated in wc       [4]
//! K     = (K1 S-shape(h) + K2 h^m) f(T)         delta = delta_20 (T/293.15 K)^0.81                  [5][6]
//! on wet ground: K2 gives way to max(0, V k rho_w R_v T0 / g - K1)     k = k0 exp(k1 (wc + 0.36 (alpha_end - alpha) - 0.5))     [10]
//! wetted again: S_w = S_d + k (S - S_d) + (1-k) (1-S_d) c^2       K_w = K + K3 e q c^2 f(T)         [8][9]
//! ```
//! Two thirds of the cement react within a week; the belite, `f` of the clinker, takes months. It binds water while the slab dries,
//! as long as its pores are above some 85 %, and so helps to dry it.
//!
//! Pores remember the lowest degree of saturation `S_d` that they have had. Wetted again, they take the flatter line of slope `k`; near saturation
//! the coarse ones among them fill too (`c` from 0 at 95.8 % relative humidity to 1) and draw in water fast. `e` is the share of them that was
//! emptied, `q` falls with depth: concrete is most open where it was finished. A slab that only dries knows nothing of this.
//!
//! Water that wet ground feeds goes through saturated paste: its permeability `k` \[m/s\] in the share `V` of the volume that is paste. It
//! differs more from mix to mix than what drying slabs show: from 0.40 to 0.60 by a factor of forty. Held to be good to a factor of three, from the
//! second week on.
//!
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
//! 1. De Weerdt et al. 2011, Cement and Concrete Research 41 (measured course of clinker and belite). Mills 1966 (dependence on the
//!    water-cement ratio, as quoted in several public sources).
//! 2. Schindler & Folliard 2005 (form of the fast part); CEB-FIP Model Code 1990 (4000 K).
//! 3. Powers' model: bound water 0.23 g/g; chemical shrinkage 0.064 l/kg (from memory).
//! 4. Baroghel-Bouny et al. 1999, Cement and Concrete Research 29: desorption of a paste with w/c 0.34 and of a
//!    concrete with w/c 0.487 (the latter's constants from memory).
//! 5. Bazant & Najjar 1972, Materials and Structures 5; fib Model Code 2010 section 5.1.13 (S-shape, from memory).
//! 6. EN 15026:2007 (temperature exponent of vapour diffusion in air, from memory).
//! 7. Bazant & Najjar 1972 (form); Snyder & Bentz 2004 (no slower at 90 %).
//! 8. A straight line within the loop between drying and wetting: engineering judgement; its slope from memory, low confidence.
//! 9. Neville 1996 (sorptivity at w/c 0.4 and 0.6, read in a published text); Martys & Ferraris 1996 (by the root of time for hours only,
//!    abstract read).
//! 10. Powers et al. 1954, Powers 1958 (permeability of saturated paste, from memory).
//!
//! Accuracy: `tests/it/concrete.rs` compares drying times with published tables.

mod constants;
mod factor_method;
mod mix;
mod table;
mod tabulated;

pub use constants::{Constants, HydrationConstants, IsothermConstants, TransportConstants};
pub use factor_method::{FactorSlab, factor_method};
pub use mix::{Aggregate, Concrete, Mix, USUAL_MIXING_WATER};
pub use tabulated::Tabulated;
