//! The solver: coupled heat and moisture in one dimension.
