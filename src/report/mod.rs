//! Charts and tables.
