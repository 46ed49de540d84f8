//! Writers of results: terminal, JSON, HTML, PDF.

pub mod html;
pub mod json;
#[cfg(feature = "command")]
pub mod letter;
#[cfg(feature = "pictures")]
pub mod pdf;
#[cfg(feature = "command")]
pub mod terminal;
