//! Why a file is not read.

use super::{MAX_BYTES, MAX_PACKED, MAX_ROWS};

/// Why a file is not read. Nothing of it is kept then.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LoggerError {
    /// Nothing in it.
    #[error("the file is empty")]
    Empty,
    /// Larger than [`MAX_BYTES`], or than [`MAX_PACKED`] once packed.
    #[error("the file has more than {MAX_BYTES} bytes, or {MAX_PACKED} once packed")]
    TooLarge,
    /// More than [`MAX_ROWS`].
    #[error("the file has more than {MAX_ROWS} rows")]
    TooManyRows,
    /// No row begins with a time and holds a number.
    #[error("no row holds a time and a number")]
    NoData,
    /// The column asked for does not exist or holds no numbers.
    #[error("there is no such column of numbers")]
    NoColumn,
    /// The header names no unit for the column and nobody said it.
    #[error("the unit of the column is not known")]
    NoUnit,
    /// Day and month could change places in every row, and nobody said which comes first.
    #[error("day and month cannot be told apart")]
    AmbiguousDate,
    /// More than one row in ten cannot be read.
    #[error("{bad} of {rows} rows cannot be read, the first in line {line}")]
    BadRows {
        /// How many.
        bad: usize,
        /// Of how many.
        rows: usize,
        /// The line of the first, from 1.
        line: u64,
    },
    /// What was kept does not unpack.
    #[error("the packed file is damaged")]
    Damaged,
}

impl LoggerError {
    /// The stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Empty => "empty",
            Self::TooLarge => "too_large",
            Self::TooManyRows => "too_many_rows",
            Self::NoData => "no_data",
            Self::NoColumn => "no_column",
            Self::NoUnit => "no_unit",
            Self::AmbiguousDate => "ambiguous_date",
            Self::BadRows { .. } => "bad_rows",
            Self::Damaged => "damaged",
        }
    }
}
