//! What each command found, in words, tables, charts and JSON; [`document`] is what a report says.

pub mod coating_day;
pub mod compared;
pub mod document;
pub mod explained;
pub mod foretold;
pub mod helping;
pub mod planned;
pub mod prepared;
pub mod readings;
pub mod sized;
mod table;
mod words;

pub use table::{Side, TextTable};
