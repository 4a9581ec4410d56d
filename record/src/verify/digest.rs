//! Whether a record is the one that was signed.

use super::attachment::AttachmentError;
use crate::strict::{DUPLICATE, NUMBER, Strict};
use serde_json::Value;
use turnwise_core::record::{FORMAT, VERSION, digest};

/// Why a record is not the one that was signed, or cannot be told to be.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
pub enum VerifyError {
    /// Not JSON at all.
    #[error("this is not JSON: {0}")]
    NotJson(String),
    /// A name stands twice in one object, so that two readers may see two records.
    #[error("{0}")]
    DuplicateName(String),
    /// A number that two readers may take for different ones.
    #[error("{0}")]
    Number(String),
    /// A record in which something is not what it should be: a number where text belongs, a name missing.
    #[error("this is not the form of a record: {0}")]
    OtherForm(String),
    /// A PDF from which no record can be taken.
    #[error(transparent)]
    Attachment(#[from] AttachmentError),
    /// JSON, but not a record.
    #[error("this is not a record of this product")]
    NotARecord,
    /// A record of another version of the format.
    #[error("this is a record of version {0}, which this program does not know")]
    OtherVersion(String),
    /// A record with another content than the one that was signed.
    #[error("the record was changed: its digest is {found}, and {signed} was signed")]
    Differs {
        /// The digest of what is here.
        found: String,
        /// The digest that was signed.
        signed: String,
    },
}

impl VerifyError {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::NotJson(_) => "not_json",
            Self::DuplicateName(_) => "duplicate_name",
            Self::Number(_) => "bad_number",
            Self::OtherForm(_) => "other_form",
            Self::Attachment(error) => error.code(),
            Self::NotARecord => "not_a_record",
            Self::OtherVersion(_) => "other_version",
            Self::Differs { .. } => "record_differs",
        }
    }
}

/// The digest of a record however it is spelled: SHA-256 of its canonical JSON (RFC 8785), in hex.
///
/// Indenting a record or reordering its names leaves the digest as it is; any other change does not.
pub fn digest_of(bytes: &[u8]) -> Result<String, VerifyError> {
    let whole = strict(bytes)?;
    if whole.get("format").and_then(|format| format.as_str()) != Some(FORMAT) {
        return Err(VerifyError::NotARecord);
    }
    match whole.get("version").and_then(|version| version.as_str()) {
        Some(VERSION) => {}
        Some(other) => return Err(VerifyError::OtherVersion(other.to_owned())),
        None => return Err(VerifyError::NotARecord),
    }
    canonical_digest(&whole)
}

/// JSON read without leniency.
pub(super) fn strict(bytes: &[u8]) -> Result<Value, VerifyError> {
    let Strict(whole) = serde_json::from_slice(bytes).map_err(|error| {
        let words = error.to_string();
        if words.starts_with(DUPLICATE) {
            VerifyError::DuplicateName(words)
        } else if words.starts_with(NUMBER) {
            VerifyError::Number(words)
        } else {
            VerifyError::NotJson(words)
        }
    })?;
    Ok(whole)
}

/// SHA-256 of the canonical JSON of a value, in hex.
pub(super) fn canonical_digest(whole: &Value) -> Result<String, VerifyError> {
    let canonical =
        serde_json_canonicalizer::to_vec(whole).map_err(|error| VerifyError::NotJson(error.to_string()))?;
    Ok(digest(&canonical))
}

/// Whether these bytes are, in whatever spelling, the record whose digest was signed.
pub fn verify_digest(bytes: &[u8], signed: &str) -> Result<(), VerifyError> {
    let found = digest_of(bytes)?;
    if found.eq_ignore_ascii_case(signed) {
        Ok(())
    } else {
        Err(VerifyError::Differs {
            found,
            signed: signed.to_owned(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use turnwise_core::record::Record;

    fn a_record() -> Record {
        let text = r#"{"entries":[{"at":"2026-05-04T09:12:03+02:00","figure":{"digits":"55.0","unit":"psi"}}],"format":"turnwise-record","version":"2"}"#;
        Record {
            text: text.to_owned(),
            digest: digest(text.as_bytes()),
            entries: 1,
        }
    }

    #[test]
    fn the_readable_spelling_has_the_signed_digest() {
        let record = a_record();
        let pretty = crate::pretty(&record).unwrap();
        assert_ne!(pretty, record.text);
        assert_eq!(verify_digest(pretty.as_bytes(), &record.digest), Ok(()));
        assert_eq!(
            verify_digest(record.text.as_bytes(), &record.digest.to_uppercase()),
            Ok(())
        );
    }

    #[test]
    fn digits_stay_as_they_were_typed() {
        assert!(
            crate::pretty(&a_record())
                .unwrap()
                .contains("\"digits\": \"55.0\"")
        );
    }

    #[test]
    fn names_in_another_order_are_the_same_record() {
        let record = a_record();
        let reordered = r#"{"version":"2","format":"turnwise-record","entries":[{"figure":{"unit":"psi","digits":"55.0"},"at":"2026-05-04T09:12:03+02:00"}]}"#;
        assert_eq!(verify_digest(reordered.as_bytes(), &record.digest), Ok(()));
    }

    #[test]
    fn whatever_byte_of_its_text_changes_the_record_is_not_the_signed_one() {
        let record = a_record();
        for at in 0..record.text.len() {
            let mut bytes = record.text.clone().into_bytes();
            bytes[at] ^= 1;
            assert!(
                verify_digest(&bytes, &record.digest).is_err(),
                "the change of byte {at} was not seen: {}",
                String::from_utf8_lossy(&bytes)
            );
        }
    }

    #[test]
    fn a_name_that_stands_twice_is_refused() {
        let twice = r#"{"format":"turnwise-record","version":"2","entries":[{"at":"a","at":"b"}]}"#;
        assert_eq!(digest_of(twice.as_bytes()).unwrap_err().code(), "duplicate_name");
    }

    #[test]
    fn something_else_is_said_to_be_something_else() {
        let code = |text: &str| digest_of(text.as_bytes()).unwrap_err().code();
        assert_eq!(code("[1, 2"), "not_json");
        assert_eq!(code("[1, 2]"), "not_a_record");
        assert_eq!(code(r#"{"format":"turnwise-record"}"#), "not_a_record");
        assert_eq!(
            code(r#"{"format":"turnwise-record","version":"9"}"#),
            "other_version"
        );
    }
}
