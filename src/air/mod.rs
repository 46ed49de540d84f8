//! Moist air: pure functions of state.
