//! Tests of the `scenario` room.
