//! Rows of a file, by their numbers.

use std::fmt;

/// Some rows that stand together. A row is counted as a spreadsheet counts: the header is row 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rows {
    /// The first of them.
    pub first: u64,
    /// The last of them.
    pub last: u64,
}

impl Rows {
    /// A single one.
    pub(crate) const fn one(row: u64) -> Self {
        Self { first: row, last: row }
    }
}

impl fmt::Display for Rows {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.first == self.last {
            write!(f, "row {}", self.first)
        } else {
            write!(f, "rows {} to {}", self.first, self.last)
        }
    }
}
