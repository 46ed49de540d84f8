//! Tests of the `report` room.
