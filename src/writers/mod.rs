//! Writers of results: terminal, JSON, HTML, PDF.

pub mod html;
pub mod json;
pub mod pdf;
pub mod terminal;
