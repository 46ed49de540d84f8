//! Tests of the `room` room.
