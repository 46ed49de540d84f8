//! Tests of the `units` room.
