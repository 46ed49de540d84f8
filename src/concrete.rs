//! Concrete as a material of the column.
