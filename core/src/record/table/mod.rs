//! The record as one table: a line an entry, in the order of the record, for a sheet program.

mod csv;
mod lines;
mod words;

pub use csv::csv;
pub use lines::{Line, lines};

/// The languages that a table's words come in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Language {
    /// English.
    #[default]
    English,
    /// Spanish.
    Spanish,
}

impl Language {
    /// A language by its code; English for one that is not known.
    pub fn of(code: &str) -> Self {
        if code == "es" {
            Self::Spanish
        } else {
            Self::English
        }
    }

    fn pick(self, text: &crate::procedure::Text) -> &str {
        match self {
            Self::English => &text.en,
            Self::Spanish => &text.es,
        }
    }
}
