//! Writers of results: terminal tables, HTML, PDF.

pub mod html;
pub mod pdf;
mod terminal;

pub use terminal::WIDTH_WITHOUT_TERMINAL;
