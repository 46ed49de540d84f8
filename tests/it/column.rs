//! Tests of the `column` room.
