//! Hourly outside air from any source.
