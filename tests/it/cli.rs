//! Tests of the `cli` room.
