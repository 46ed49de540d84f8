//! Quantities with units in text, and the table of physical limits.
