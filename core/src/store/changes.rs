//! The rows of the journals: changes, the jobs they belong to, and those that were found damaged.

use super::{Store, StoreError};
use crate::journal::{ActorId, ChangeHash, JobId};
use rusqlite::{Connection, named_params};
use uuid::Uuid;

/// One change as it is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChangeRow {
    /// Its hash.
    pub hash: ChangeHash,
    /// Its writer.
    pub actor: ActorId,
    /// Its number among its writer's changes, from 1.
    pub seq: u64,
    /// Its exact bytes.
    pub bytes: Vec<u8>,
}

/// A row that was found not to be what its hash says, as it was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BadChange {
    /// The hash it is filed under.
    pub hash: ChangeHash,
    /// The bytes as they were found.
    pub bytes: Vec<u8>,
    /// What is wrong with it.
    pub reason: String,
}

impl Store {
    /// The jobs of this device, in the order of their ids.
    pub fn jobs(&self) -> Result<Vec<JobId>, StoreError> {
        let mut statement = self.connection.prepare_cached("SELECT id FROM job ORDER BY id")?;
        let jobs = statement
            .query_map([], |row| Ok(JobId(Uuid::from_bytes(row.get(0)?))))?
            .collect::<Result<_, _>>()?;
        Ok(jobs)
    }

    /// Whether the job is on this device.
    pub fn has_job(&self, job: JobId) -> Result<bool, StoreError> {
        let mut statement = self
            .connection
            .prepare_cached("SELECT 1 FROM job WHERE id = ?1")?;
        Ok(statement.exists([job.0.as_bytes()])?)
    }

    /// Keeps changes of a job, all or none. One that is here already stays as it is, unless it was found damaged: then
    /// the same change, arrived whole, takes its place.
    ///
    /// # Errors
    /// What the disk says. Nothing was kept then.
    pub fn keep_changes(&mut self, job: JobId, rows: &[ChangeRow]) -> Result<(), StoreError> {
        self.write(|transaction| {
            transaction
                .prepare_cached("INSERT INTO job (id) VALUES (?1) ON CONFLICT DO NOTHING")?
                .execute([job.0.as_bytes()])?;
            let mut insert = transaction.prepare_cached(
                "INSERT INTO change (job, actor, seq, hash, bytes) VALUES (:job, :actor, :seq, :hash, :bytes)
                 ON CONFLICT DO UPDATE SET bytes = excluded.bytes
                 WHERE EXISTS (
                     SELECT 1 FROM bad_change b
                     WHERE b.job = :job AND b.actor = :actor AND b.seq = :seq AND b.hash = :hash
                 )",
            )?;
            for row in rows {
                insert.execute(named_params! {
                    ":job": job.0.as_bytes(),
                    ":actor": row.actor.0,
                    ":seq": whole(row.seq)?,
                    ":hash": row.hash.0,
                    ":bytes": row.bytes,
                })?;
            }
            Ok(())
        })
    }

    /// Every change of a job as it was kept, damaged ones too.
    pub fn changes(&self, job: JobId) -> Result<Vec<(ChangeHash, Vec<u8>)>, StoreError> {
        let mut statement = self
            .connection
            .prepare_cached("SELECT hash, bytes FROM change WHERE job = ?1")?;
        let rows = statement
            .query_map([job.0.as_bytes()], |row| {
                Ok((ChangeHash(row.get(0)?), row.get::<_, Vec<u8>>(1)?))
            })?
            .collect::<Result<_, _>>()?;
        Ok(rows)
    }

    /// Whether an actor has written anything on this device.
    pub fn actor_has_written(&self, job: JobId, actor: ActorId) -> Result<bool, StoreError> {
        let mut statement = self
            .connection
            .prepare_cached("SELECT 1 FROM change WHERE job = ?1 AND actor = ?2 LIMIT 1")?;
        Ok(statement.exists((job.0.as_bytes(), actor.0))?)
    }

    /// Notes that rows of a job were found damaged, each with its reason. The rows stay where they are.
    ///
    /// # Errors
    /// What the disk says.
    pub fn quarantine(&mut self, job: JobId, bad: &[(ChangeHash, String)]) -> Result<(), StoreError> {
        if self.are_all_noted(job, bad)? {
            return Ok(());
        }
        self.write(|transaction| {
            let mut insert = transaction.prepare_cached(
                "INSERT INTO bad_change (job, actor, seq, hash, bytes, reason)
                 SELECT job, actor, seq, hash, bytes, ?3 FROM change WHERE job = ?1 AND hash = ?2
                 ON CONFLICT DO NOTHING",
            )?;
            for (hash, reason) in bad {
                insert.execute((job.0.as_bytes(), hash.0, reason))?;
            }
            Ok(())
        })
    }

    /// So that opening a job with known damage writes nothing.
    fn are_all_noted(&self, job: JobId, bad: &[(ChangeHash, String)]) -> Result<bool, StoreError> {
        let mut noted = self
            .connection
            .prepare_cached("SELECT 1 FROM bad_change WHERE job = ?1 AND hash = ?2")?;
        for (hash, _) in bad {
            if !noted.exists((job.0.as_bytes(), hash.0))? {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// The rows of a job that were ever found damaged, whether or not they were replaced since.
    pub fn bad_changes(&self, job: JobId) -> Result<Vec<BadChange>, StoreError> {
        let mut statement = self
            .connection
            .prepare_cached("SELECT hash, bytes, reason FROM bad_change WHERE job = ?1")?;
        let rows = statement
            .query_map([job.0.as_bytes()], |row| {
                Ok(BadChange {
                    hash: ChangeHash(row.get(0)?),
                    bytes: row.get(1)?,
                    reason: row.get(2)?,
                })
            })?
            .collect::<Result<_, _>>()?;
        Ok(rows)
    }
}

/// A sequence number as SQLite keeps it.
pub(super) fn whole(seq: u64) -> Result<i64, StoreError> {
    i64::try_from(seq).map_err(|_| StoreError::Database(format!("{seq} is no sequence number")))
}

/// A job's row, for the tables that refer to it.
pub(super) fn job_exists(connection: &Connection, job: JobId) -> Result<(), StoreError> {
    if connection
        .prepare_cached("SELECT 1 FROM job WHERE id = ?1")?
        .exists([job.0.as_bytes()])?
    {
        Ok(())
    } else {
        Err(StoreError::UnknownJob(job))
    }
}
