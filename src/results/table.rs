//! A table of text, whoever writes it.

/// Side to which a column is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Side {
    /// Words.
    #[default]
    Left,
    /// Numbers.
    Right,
}

/// A table of text.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TextTable {
    /// Head and side of each column.
    pub columns: Vec<(String, Side)>,
    /// Rows; short ones are filled with blanks, surplus cells are left out.
    pub rows: Vec<Vec<String>>,
    /// Row set in bold where styles are wanted, such as the best setup. Mark it in its words too.
    pub strong_row: Option<usize>,
}
