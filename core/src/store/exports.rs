//! Exports of a job: the record that was signed, byte for byte, or the job as it stands.

use super::{ContentHash, JournalStore, StoreError};
use crate::journal::{ActorId, Body, ChangeHash, JobId, JobState, SignOff};
use crate::procedure::Shelf;
use crate::record::content::Document;
use crate::record::export::{Export, SignedText, export};
use crate::record::signature::bytes_of_hex;
use crate::record::{Record, RecordError, document, record};
use std::collections::BTreeMap;

/// Why a job could not be exported.
#[derive(Debug, thiserror::Error)]
pub enum ExportError {
    /// The store could not be read, or a remade record not be kept.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// There is nothing to make a record of.
    #[error(transparent)]
    Record(#[from] RecordError),
}

impl ExportError {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Store(error) => error.code(),
            Self::Record(error) => error.code(),
        }
    }
}

impl JournalStore {
    /// A job for others to read, sealed by this device at a time of its clock: the record that was signed last, with its
    /// signatures and what came after; or where nobody signed, or the record that was signed cannot be made again from
    /// what is here, the job as it stands, without a signature.
    ///
    /// # Errors
    /// [`ExportError`].
    pub fn export(&mut self, procedures: &mut Shelf, job: JobId, at: &str) -> Result<Export, ExportError> {
        let state = self.state(job)?;
        let now = self.document(procedures, job, &state)?;
        let newest = state
            .live()
            .rev()
            .find_map(|folded| match &folded.entry.told.body {
                Body::SignOff(sign_off) => Some(sign_off.clone()),
                _ => None,
            });
        let signed = match &newest {
            Some(sign_off) => self.signed_text(procedures, job, sign_off)?,
            None => None,
        };
        let signed = newest.as_ref().zip(signed.as_deref());
        let mut export = export(
            &state,
            &now,
            signed.map(|(sign_off, text)| SignedText {
                text,
                digest: &sign_off.digest,
            }),
        )?;
        for signature in &mut export.signatures {
            if let Some(key) = &signature.key {
                signature.certificate = self.store().certificate(key)?;
            }
        }
        let device = self.device().to_string();
        export.seal(&self.device_key()?, &device, at)?;
        Ok(export)
    }

    /// The record as it was when a signature was made, made again. None: the signature does not say of what it was made.
    ///
    /// # Errors
    /// [`ExportError`].
    pub fn record_at(
        &mut self,
        procedures: &mut Shelf,
        job: JobId,
        sign_off: &SignOff,
    ) -> Result<Option<Record>, ExportError> {
        let clock: Option<BTreeMap<ActorId, u64>> = sign_off
            .clock
            .iter()
            .map(|(actor, seq)| Some((ActorId(bytes_of_hex(actor)?), *seq)))
            .collect();
        let heads: Option<Vec<ChangeHash>> = sign_off
            .heads
            .iter()
            .map(|head| bytes_of_hex(head).map(ChangeHash))
            .collect();
        let (Some(clock), Some(heads)) = (clock, heads) else {
            return Ok(None);
        };
        let then = self.state_at(job, &clock)?;
        Ok(Some(record(&then, &procedures.of_job(&then), &clock, &heads)?))
    }

    fn document(
        &mut self,
        procedures: &mut Shelf,
        job: JobId,
        state: &JobState,
    ) -> Result<Document, ExportError> {
        let clock = self.clock(job)?;
        let clock = clock
            .into_iter()
            .map(|(actor, reach)| (actor, reach.seq))
            .collect();
        Ok(document(
            state,
            &procedures.of_job(state),
            &clock,
            &self.heads(job)?,
        )?)
    }

    /// The bytes that a signature covers: as they are kept, else made again and kept from now on. None where what is
    /// here does not make them.
    fn signed_text(
        &mut self,
        procedures: &mut Shelf,
        job: JobId,
        sign_off: &SignOff,
    ) -> Result<Option<String>, ExportError> {
        let Ok(digest) = sign_off.digest.parse::<ContentHash>() else {
            return Ok(None);
        };
        if let Some(kept) = self.store().signed_record(digest)? {
            return Ok(String::from_utf8(kept.bytes).ok());
        }
        let Some(made) = self.record_at(procedures, job, sign_off)? else {
            return Ok(None);
        };
        if made.digest != sign_off.digest {
            return Ok(None);
        }
        self.store_mut()
            .keep_signed_record(job, sign_off.revision, made.text.as_bytes())?;
        Ok(Some(made.text))
    }
}
