//! A state of moist air from any two known quantities.
