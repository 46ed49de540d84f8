//! Tests of the `concrete` room.
