//! Records as they were signed: exact bytes, never folded again.

use super::{ContentHash, Store, StoreError, changes::job_exists};
use crate::journal::JobId;
use rusqlite::{OptionalExtension, Row};
use uuid::Uuid;

/// A record as it was signed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SignedRecord {
    /// The job.
    pub job: JobId,
    /// 1 for the first, one more at each signing again. Two people apart can sign the same.
    pub revision: u32,
    /// SHA-256 of the bytes: what the signature covers.
    pub digest: ContentHash,
    /// The bytes that were shown and signed.
    pub bytes: Vec<u8>,
}

impl Store {
    /// Keeps the exact bytes of a signed record and answers their digest. Keeping the same twice is keeping it once.
    ///
    /// # Errors
    /// [`StoreError::UnknownJob`], or what the disk says.
    pub fn keep_signed_record(
        &mut self,
        job: JobId,
        revision: u32,
        bytes: &[u8],
    ) -> Result<ContentHash, StoreError> {
        let digest = ContentHash::of(bytes);
        self.write(|transaction| {
            job_exists(transaction, job)?;
            transaction
                .prepare_cached(
                    "INSERT INTO signed_record (job, revision, digest, bytes) VALUES (?1, ?2, ?3, ?4)
                     ON CONFLICT DO NOTHING",
                )?
                .execute((job.0.as_bytes(), revision, digest.0, bytes))?;
            Ok(())
        })?;
        Ok(digest)
    }

    /// The signed record with this digest, or none where it is not here.
    ///
    /// # Errors
    /// [`StoreError::Corrupt`] where the bytes are no longer those that were signed.
    pub fn signed_record(&self, digest: ContentHash) -> Result<Option<SignedRecord>, StoreError> {
        self.connection
            .prepare_cached("SELECT job, revision, digest, bytes FROM signed_record WHERE digest = ?1")?
            .query_row([digest.0], read)
            .optional()?
            .map(whole)
            .transpose()
    }

    /// The signed records of a job, by revision.
    ///
    /// # Errors
    /// [`StoreError::Corrupt`] where the bytes of one are no longer those that were signed.
    pub fn signed_records(&self, job: JobId) -> Result<Vec<SignedRecord>, StoreError> {
        self.connection
            .prepare_cached(
                "SELECT job, revision, digest, bytes FROM signed_record WHERE job = ?1 ORDER BY revision, digest",
            )?
            .query_map([job.0.as_bytes()], read)?
            .map(|record| whole(record?))
            .collect()
    }
}

fn read(row: &Row<'_>) -> rusqlite::Result<SignedRecord> {
    Ok(SignedRecord {
        job: JobId(Uuid::from_bytes(row.get(0)?)),
        revision: row.get(1)?,
        digest: ContentHash(row.get(2)?),
        bytes: row.get(3)?,
    })
}

fn whole(record: SignedRecord) -> Result<SignedRecord, StoreError> {
    if ContentHash::of(&record.bytes) == record.digest {
        Ok(record)
    } else {
        Err(StoreError::Corrupt(format!(
            "the bytes of signed record {} have changed",
            record.digest
        )))
    }
}
