//! The air of a room as the last node of the column.
