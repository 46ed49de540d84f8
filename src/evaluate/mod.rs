//! One job to outcomes: setups run side by side, odds, size of dehumidifiers, electrical load, money.

mod advice;
mod alternatives;
mod compare;
mod limits;
pub(crate) mod money;
pub mod odds;
mod other_limits;
mod outcome;
pub mod power;
mod samples;
mod second_opinion;
pub mod size;
mod tracker;
mod under_film;
mod variants;
mod watch;

pub(crate) use compare::apart;
pub(crate) use other_limits::target;

pub use advice::{ALL_SETUPS, Advice, Matter, advice, advice_without_run};
pub use alternatives::{JudgedWay, Way, WayKind, judge_ways};
pub use compare::{
    Accuracy, Compared, DEW_POINT_MARGIN, compare, prepare, prepare_observed, run_for_targets,
    run_observed, run_setup, run_without_film,
};
pub use other_limits::{AtLimit, Expected, OtherLimits, SystemLimit, USUAL_LIMITS, other_limits};
pub use outcome::{Energy, LimitedBy, NotComputed, NotDryReason, Outcome, Record};
pub use second_opinion::handbook_days;
pub use under_film::{UnderFilm, under_film, under_layer};
pub use variants::{Assumption, Instead, Later, WettingCost, assumptions, wetting_costs};
