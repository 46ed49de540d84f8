//! Comparing setups.
