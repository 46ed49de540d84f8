//! From the walk over the floor to the coating day: survey, repairs, takeoff, method, tasks, calendar, drying, checklist.
//!
//! Each step is a file by its subject, in that order, and each uses only those before it. Nothing here reads files or the clock.
//! Rules of the trade stand in [`rules`], [`materials`] and [`methods`] as data; none of them overrules a product sheet.

pub mod calendar;
pub mod checklist;
pub mod coating;
pub mod conditions;
pub mod drying;
mod floor;
pub mod materials;
pub mod methods;
pub mod progress;
pub mod repairs;
pub mod rules;
mod standing;
pub mod survey;
pub mod takeoff;
pub mod tasks;

pub use progress::PrepareFault;
pub use standing::with_wet_work;

pub use floor::{
    Choice, Depth, OtherOrder, Prepared, SetupDay, Way, prepare_floor, work_on_the_slab,
    working_time,
};
