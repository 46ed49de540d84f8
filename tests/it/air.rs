//! Tests of the `air` room.
