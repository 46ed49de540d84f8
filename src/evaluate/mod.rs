//! One job to outcomes: setups run side by side, odds, size of dehumidifiers, electrical load, money.

mod advice;
mod compare;
mod limits;
pub(crate) mod money;
pub mod odds;
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

pub use advice::{ALL_SETUPS, Advice, Matter, advice, advice_without_run};
pub use compare::{
    Accuracy, Compared, DEW_POINT_MARGIN, compare, prepare, run_observed, run_setup,
    run_without_film,
};
pub use outcome::{Energy, LimitedBy, NotComputed, NotDryReason, Outcome, Record};
pub use second_opinion::handbook_days;
pub use under_film::{UnderFilm, under_film};
pub use variants::{Assumption, Instead, Later, WettingCost, assumptions, wetting_costs};
