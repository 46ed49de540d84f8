//! The moisture tests as instruments on a simulated slab, and targets made of them.
//!
//! | test | what is read | source |
//! |---|---|---|
//! | humidity probe | relative humidity at 40 % of the thickness drying from one side, 20 % from two | ASTM F2170 |
//! | equilibrium humidity | mean water of the slab, through the desorption isotherm | BRANZ bulletin on moisture under coverings |
//! | dish test | mean flux into a dish over a ground spot in 60 to 72 h | ASTM F1869 |
//! | surface flux | evaporation from the bare face | none needed |
//! | mass percent | evaporable water of the top layer over its dry mass | drying at 105 degC, common practice |
//! | plastic sheet | relative humidity under a tight sheet after 16 h, at the sheet's temperature; water shows at 100 % | ASTM D4263 |
//!
//! **A target is read under service conditions** ([`Tester::read`]): on a copy of the slab that has lain at the temperature
//! and humidity of its use for 48 h. Only the sheet is read on the slab as it lies, since it shows what rises from a slab that
//! is warmer than its air.
//!
//! **A test of the face does not see the depth.** Dry air dries the face first, and what is left at depth comes back under a
//! covering. So no floor passes by any target while its humidity at the standard depth stands more than
//! [`DEPTH_MARGIN`] above the humidity limit ([`depth_limit`]).
//!
//! **A plastic sheet can veto and never passes a floor**: ASTM D4263 shows that water is there, not that it is absent.
//!
//! Accuracy: `tests/it/concrete.rs` (drying times read with these instruments against published tables).

mod evidence;
mod instruments;
mod service;
mod target;

pub use evidence::{DISH_SPREAD, LOWEST_FITTED, beyond_fitted_range, extrapolation};
pub use instruments::{
    PROBE_ONE_SIDE, PROBE_TWO_SIDES, SHEET_EXPOSURE, dish, plastic_sheet, probe_depth,
};
pub use service::{CONDITIONING, Service, Untestable, testable};
pub use target::{
    DEPTH_MARGIN, HUMIDITY_LIMIT, SAMPLE_LAYER, Target, Tester, can_pass, depth_limit,
    humidity_limit,
};
