//! Quantities with units in text, and the table of physical limits.
//!
//! A user writes `"5 in"` or `"125 mm"`; the core sees metres. Each kind of quantity is a type of its own, so that a temperature
//! difference cannot be taken for a temperature. What was typed is kept: printing loses nothing.
//!
//! ```
//! use coatday::units::{Length, Temperature};
//! let thickness: Length = "5 in".parse()?;
//! assert_eq!(thickness.in_si(), "127 mm");
//! let room: Temperature = "73 °F".parse()?;
//! assert!((room.si() - 22.78).abs() < 0.01);
//! assert!("5".parse::<Length>().is_err());
//! # Ok::<(), coatday::units::UnitFault>(())
//! ```

pub mod dates;
mod factors;
pub mod format;
mod number;
mod parse;
mod quantity;
pub mod ranges;
mod spelling;
pub mod table;

pub use factors::*;
pub use parse::{Amount, UnitFault, allowed, bare_number, parse, parse_fitting};
pub use quantity::*;
pub use table::{Kind, System, Unit};
