//! The document.
