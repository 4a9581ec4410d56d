//! A record spelled for the eye.

use crate::strict::Strict;
use turnwise_core::record::Record;

/// Why a record could not be written.
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// It is not the JSON that a record is.
    #[error("the record is not JSON: {0}")]
    Json(#[from] serde_json::Error),
}

impl WriteError {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Json(_) => "record_json",
        }
    }
}

/// A record as indented JSON: the same content as its canonical bytes, in lines that a person can read. Its
/// digest is still the canonical one, see [`crate::verify_digest`].
pub fn pretty(record: &Record) -> Result<String, WriteError> {
    let Strict(whole) = serde_json::from_str(&record.text)?;
    let mut text = serde_json::to_string_pretty(&whole)?;
    text.push('\n');
    Ok(text)
}
