//! Charts: plain data in, SVG text and (feature `pictures`) PNG bytes out.
//!
//! plotters draws them: areas (`frame::Sheet`), axes and grid (`frame::axes`), series (`element.rs`), on our canvas as
//! its backend (`backend.rs`). Words are wrapped, packed and put at their lines by us (`measure.rs`, `labels.rs`, `crowd.rs`).
//!
//! A chart is a struct with public fields; [`svg`] draws it, `png` makes pixels of the drawing. Whatever the data
//! (missing or endless values, hostile names, no points at all), drawing neither fails nor leaves the frame.

mod axis;
mod backend;
pub(crate) mod canvas;
mod crowd;
mod element;
mod frame;
mod geometry;
mod heat_map;
pub(crate) mod labels;
mod line_chart;
mod load_chart;
mod marks;
pub(crate) mod measure;
mod plot;
mod profile_chart;
pub mod psychrometric;
#[cfg(feature = "pictures")]
pub(crate) mod raster;
mod row_chart;
pub mod site_plan;
pub(crate) mod style;
mod test_chart;
mod waterfall;
pub mod work_chart;

pub use axis::XAxis;
pub use frame::Size;
pub use heat_map::HeatMap;
pub use line_chart::{Join, LineChart, Series};
pub use load_chart::{Layer, LoadChart};
pub use marks::Mark;
pub use plot::Limit;
pub use profile_chart::{ProfileChart, ProfileCurve};
#[cfg(feature = "pictures")]
pub use raster::{RasterFault, png};
pub use row_chart::{BarLook, Row, RowBar, RowChart};
pub use test_chart::{Band, Expected, Passed, TestChart};
pub use waterfall::{Step, Waterfall};

/// Something that can be drawn.
pub trait Chart {
    /// SVG text of the chart; taller than `size` asks if its labels need the room.
    fn draw(&self, size: Size) -> String;
}

/// SVG text of a chart; see [`Size`] for how width and height are taken.
#[must_use]
pub fn svg(chart: &impl Chart, size: Size) -> String {
    chart.draw(size)
}
