//! Where the days go: a delay split over its causes, and what would buy days back.
//!
//! * [`attribute`]: the fair split of any function of a set of causes.
//! * [`explain`]: the causes of one scenario against what was promised, each switched on and off in the simulation.
//! * `actions`: things that can still be done, each simulated, with days gained and cost.
//!
//! What a day is: the course of a setup's moisture is computed to the moment its targets are met; `f` is that moment in days since the
//! concrete was placed, so an earlier closing-in or start counts like any other cause.

mod actions;
mod attribution;
mod causes;
mod explanation;
mod run;

pub use actions::{Action, actions};
pub use attribution::{Attribution, AttributionFault, EXACT, MOST, PAIRS, attribute};
pub use causes::{Cause, CauseKind, good_conditions};
pub use explanation::{ExplainFault, Explanation, explain};
