//! The record as data: everything that is known of a job at one moment, as one canonical JSON text
//! (RFC 8785) and its digest.
//!
//! Figures are strings as they were read. The text is what a lead tech signs; whoever holds the same changes and the
//! same procedures makes the same bytes. [`content`] says what is in it; `make` makes it.

pub mod certificate;
pub mod content;
pub mod export;
mod make;
pub mod signature;
pub mod table;

use crate::journal::{ActorId, ChangeHash, JobState};
use crate::procedure::Procedures;
use content::Document;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;

/// The name of the format, in every record.
pub const FORMAT: &str = "turnwise-record";
/// Its version. A reader refuses one that it does not know.
pub const VERSION: &str = "2";

/// A record and its digest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Record {
    /// The canonical JSON text.
    pub text: String,
    /// SHA-256 of the text, in hex.
    pub digest: String,
    /// How many entries it holds.
    pub entries: u32,
}

/// Why a record could not be made.
#[derive(Debug, thiserror::Error)]
pub enum RecordError {
    /// The job's opening entry is not here.
    #[error("the job's opening has not arrived, so there is nothing to make a record of")]
    NotOpened,
    /// An entry could not be written as JSON.
    #[error("an entry could not be written as JSON: {0}")]
    Json(#[from] serde_json::Error),
}

impl RecordError {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::NotOpened => "not_opened",
            Self::Json(_) => "record_json",
        }
    }
}

/// Makes the record of a folded journal, of which is given how far each writer had come, and its heads.
///
/// # Errors
/// [`RecordError::NotOpened`] where the job's opening is not among the entries.
pub fn record(
    state: &JobState,
    procedures: &Procedures,
    clock: &BTreeMap<ActorId, u64>,
    heads: &[ChangeHash],
) -> Result<Record, RecordError> {
    let document = document(state, procedures, clock, heads)?;
    let text = canonical(&document)?;
    Ok(Record {
        digest: digest(text.as_bytes()),
        text,
        entries: u32::try_from(document.entries.len()).unwrap_or(u32::MAX),
    })
}

/// What the record of a folded journal says.
///
/// # Errors
/// As [`record`].
pub fn document(
    state: &JobState,
    procedures: &Procedures,
    clock: &BTreeMap<ActorId, u64>,
    heads: &[ChangeHash],
) -> Result<Document, RecordError> {
    make::document(state, procedures, clock, heads)
}

/// A document as canonical JSON (RFC 8785).
///
/// # Errors
/// Where something in it has no JSON form.
pub fn canonical(document: &Document) -> Result<String, RecordError> {
    Ok(serde_json_canonicalizer::to_string(document)?)
}

/// SHA-256 in hex: what a signature covers.
pub fn digest(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// Lower-case hex.
pub fn hex(bytes: &[u8]) -> String {
    use std::fmt::Write as _;
    bytes
        .iter()
        .fold(String::with_capacity(bytes.len() * 2), |mut text, byte| {
            // Writing to a String cannot fail.
            let _ = write!(text, "{byte:02x}");
            text
        })
}

#[cfg(test)]
mod tests {
    /// RFC 8785, sections 3.2.2 (the sample) and 3.2.4 (what it comes out as).
    #[test]
    fn the_sample_of_rfc_8785_comes_out() {
        let sample = r#"{
            "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
            "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
            "literals": [null, true, false]
        }"#;
        let value: serde_json::Value = serde_json::from_str(sample).unwrap();
        assert_eq!(
            serde_json_canonicalizer::to_string(&value).unwrap(),
            r#"{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}"#
        );
    }

    /// RFC 8785, section 3.2.3: names are sorted by their UTF-16 code units.
    #[test]
    fn names_are_sorted_as_rfc_8785_sorts_them() {
        let sample = r#"{
            "\u20ac": "Euro Sign", "\r": "Carriage Return", "\ufb33": "Hebrew Letter Dalet With Dagesh", "1": "One",
            "\ud83d\ude00": "Emoji: Grinning Face", "\u0080": "Control",
            "\u00f6": "Latin Small Letter O With Diaeresis"
        }"#;
        let value: serde_json::Value = serde_json::from_str(sample).unwrap();
        let text = serde_json_canonicalizer::to_string(&value).unwrap();
        let mut at = 0;
        for name in ["Carriage", "One", "Control", "Latin", "Euro", "Emoji", "Hebrew"] {
            let found = text.find(name).unwrap();
            assert!(at < found, "{name} comes too early in {text}");
            at = found;
        }
    }
}
