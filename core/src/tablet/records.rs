//! What the engine says of a record: what a signature would cover, and the files that are handed over.

use super::CommandError;
use super::engine::Engine;
use super::show;
use super::view::{ExportFile, ExportForm, ExportQuery, RecordContent};
use crate::journal::JobId;
use crate::record::content::Document;
use crate::record::table::{Language, csv};

impl Engine {
    /// What the record says that would be signed now, read out of its own bytes.
    pub(super) fn record_content(&mut self, job: JobId) -> Result<RecordContent, CommandError> {
        let record = self.record(job)?;
        let document: Document = serde_json::from_str(&record.text)
            .map_err(|error| CommandError::new("record_json", error.to_string()))?;
        Ok(show::content(&record, &document))
    }

    /// The job as a file for others: the record that was signed last, or as the job stands.
    pub(super) fn export_file(&mut self, query: &ExportQuery) -> Result<ExportFile, CommandError> {
        let at = self.wall();
        let export = self
            .store
            .export(&mut self.shelf, query.job, &at)
            .map_err(|error| CommandError::new(error.code(), error.to_string()))?;
        let failed = |error: crate::record::RecordError| CommandError::new(error.code(), error.to_string());
        let document = export.document().map_err(failed)?;
        let (ending, media, text) = match query.form {
            ExportForm::Json => ("json", "application/json", export.text().map_err(failed)?),
            ExportForm::Csv => (
                "csv",
                "text/csv; charset=utf-8; header=present",
                csv(&document, Language::of(&query.language)),
            ),
        };
        Ok(ExportFile {
            name: format!("{}.{ending}", export.file_stem(&document)),
            media: media.to_owned(),
            text,
        })
    }
}
