//! What was measured on the floor: the log of moisture tests, judged by their standards, and the forecast sharpened by them.
//!
//! * [`read_log`], [`read_export`]: the log of readings as text to [`Reading`]s, every fault with line and column.
//! * [`addition`]: the bytes that put readings at the end of a log, whatever state its end is in.
//! * `judge`: which readings count as tests by their standard, and why the others do not.
//!
//! No files and no clock here: callers give bytes and the present moment, site local standard time.

mod columns;
pub mod forecast;
mod judge;
mod log;
mod method;
mod parts;
mod row;
mod tests_of_floor;
mod write;

pub use columns::Column;
pub(crate) use judge::end_of_wetting;
pub use judge::{Judged, Shortfall, Status, judge};
pub use log::{Defaults, Log, read_export, read_log, unended};
pub use method::{ConcreteKind, Method, Reading, Spread, emission_rate};
pub use tests_of_floor::{FloorTest, PlaceResult, floor_tests, tests_needed};
pub use write::{Addition, Entry, addition, written};
