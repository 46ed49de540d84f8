//! Tests of the `gear` room.
