//! Says when a concrete slab will be dry enough to coat, and which gear gets it there.
//!
//! Open a scenario and ask:
//!
//! ```
//! use coatday::{Answer, Sampling};
//!
//! let job = coatday::open("scenarios/winter_warehouse.json")?;
//! let found = coatday::compare(&job, Sampling::default()).data();
//! for setup in &found.setups {
//!     match setup.date {
//!         Some(date) => println!("{}: {date}", setup.name),
//!         None => println!("{}: {}", setup.name, setup.never_reason.as_deref().unwrap_or("-")),
//!     }
//! }
//! # Ok::<(), coatday::OpenFault>(())
//! ```
//!
//! Each function here is one command of `coatday` and gives its figures. An answer has [`Answer::data`], the record that the command
//! prints with `--json`, and [`Answer::document`], what people read; [`writers`] turns that into HTML and, with the feature `pictures`, PDF.
//! Without default features the library needs neither the command's libraries nor those of PDF and PNG.
//!
//! Not supported: the rooms below this face (physics, solver, planning) are public for the project's own tests and benches, hidden here, and
//! change without notice. Nothing here releases a floor: its moisture tests, the product's data sheet and the person responsible do.
//!
//! The rooms below are in the order in which data flows; each uses only rooms above it.

#[doc(hidden)]
pub mod air;
#[doc(hidden)]
pub mod charts;
#[cfg(feature = "command")]
#[doc(hidden)]
pub mod cli;
#[doc(hidden)]
pub mod coating_day;
#[doc(hidden)]
pub mod column;
#[cfg(feature = "page")]
mod computer;
#[doc(hidden)]
pub mod concrete;
#[doc(hidden)]
pub mod delay;
#[doc(hidden)]
pub mod evaluate;
mod facade;
#[doc(hidden)]
pub mod gear;
#[doc(hidden)]
pub mod job;
#[doc(hidden)]
pub mod moisture_log;
#[doc(hidden)]
pub mod moisture_tests;
mod open;
#[cfg(feature = "page")]
#[doc(hidden)]
pub mod page;
#[doc(hidden)]
pub mod preparation;
#[doc(hidden)]
pub mod results;
#[doc(hidden)]
pub mod room;
#[doc(hidden)]
pub mod scenario;
#[doc(hidden)]
pub mod search;
#[doc(hidden)]
pub mod simulation;
#[doc(hidden)]
pub mod units;
#[doc(hidden)]
pub mod verdict;
#[doc(hidden)]
pub mod weather;
pub mod writers;

pub use coating_day::Conditions;
pub use facade::{
    NoAnswer, Sampling, Step, WORTH_TESTING, check, compare, compare_watched, explain, forecast,
    limits, plan, plan_watched, prep, report, size, today,
};
pub use moisture_log::{Log, read_log};
pub use open::{OpenFault, OpenJob, open};
pub use results::{Answer, Document};
pub use units::System;
