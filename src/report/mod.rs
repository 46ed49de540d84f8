//! Charts and tables: plain data in, SVG text, PNG bytes and terminal tables out.
//!
//! A chart is a struct with public fields; [`svg`] draws it, [`png`] makes pixels of the drawing. Whatever the data
//! (missing or endless values, hostile names, no points at all), drawing neither fails nor leaves the frame.

mod axis;
mod bar_chart;
mod canvas;
pub mod coating_day;
pub mod compared;
pub mod document;
pub mod explained;
pub mod foretold;
mod frame;
mod geometry;
mod heat_map;
pub mod helping;
pub mod html;
mod labels;
mod line_chart;
mod load_chart;
mod marks;
mod measure;
pub mod pdf;
pub mod planned;
mod plot;
pub mod prepared;
mod profile_chart;
pub mod psychrometric;
mod raster;
pub mod readings;
pub mod site_plan;
pub mod sized;
mod style;
mod terminal;
mod waterfall;
mod words;
pub mod work_chart;

pub use axis::XAxis;
pub use bar_chart::{Bar, BarChart, BarWords};
pub use frame::Size;
pub use heat_map::HeatMap;
pub use line_chart::{Join, LineChart, Series};
pub use load_chart::{Layer, LoadChart};
pub use plot::{Limit, Mark};
pub use profile_chart::{ProfileChart, ProfileCurve};
pub use raster::{RasterFault, png};
pub use terminal::{Side, TextTable, WIDTH_WITHOUT_TERMINAL};
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
