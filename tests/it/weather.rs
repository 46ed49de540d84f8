//! Tests of the `weather` room.
