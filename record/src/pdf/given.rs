//! What is given to be printed: an export, taken apart and held against its own signatures.

use super::PdfError;
use crate::verify::{Report, verify};
use turnwise_core::record::content::{Document, EntryLine};
use turnwise_core::record::export::Export;

/// A record, what its signatures are worth, and what came after it.
pub(super) struct Given {
    /// What the record says.
    pub document: Document,
    /// What holds.
    pub report: Report,
    /// The entries that no signature covers.
    pub addendum: Vec<EntryLine>,
    /// The export's exact bytes: what is attached.
    pub attached: Vec<u8>,
}

impl Given {
    /// Reads an export. What does not hold in it is no error: the page says so.
    pub fn read(export: &Export) -> Result<Self, PdfError> {
        let content = |error: &dyn std::fmt::Display| PdfError::Content(error.to_string());
        let attached = export.text().map_err(|error| content(&error))?.into_bytes();
        let report = verify(&attached)?;
        Ok(Self {
            document: export.document().map_err(|error| content(&error))?,
            report,
            addendum: export
                .addendum
                .iter()
                .map(|entry| serde_json::from_value(entry.clone()))
                .collect::<Result<_, _>>()
                .map_err(|error| content(&error))?,
            attached,
        })
    }
}
