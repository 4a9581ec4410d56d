//! The rows of the journals: changes, the jobs they belong to, and those that were found damaged.

use super::{Store, StoreError};
use crate::journal::{ActorId, BootId, ChangeHash, ChangeRow, Clock, JobId, Reach};
use rusqlite::{Connection, OptionalExtension, named_params};
use uuid::Uuid;

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
    /// the same change, arrived whole, takes its place. `gaps`: whether the job's journal then lacks something. `own`: the writer's id of this
    /// program, where it is used for the first time.
    ///
    /// # Errors
    /// What the disk says. Nothing was kept then.
    pub(super) fn keep_changes(
        &mut self,
        job: JobId,
        rows: &[ChangeRow],
        gaps: bool,
        own: Option<(ActorId, BootId)>,
    ) -> Result<(), StoreError> {
        self.write(|transaction| {
            if let Some((actor, boot)) = own {
                use_actor(transaction, actor, boot)?;
            }
            transaction
                .prepare_cached(
                    "INSERT INTO job (id, gaps) VALUES (?1, ?2)
                     ON CONFLICT DO UPDATE SET gaps = excluded.gaps WHERE gaps <> excluded.gaps",
                )?
                .execute((job.0.as_bytes(), gaps))?;
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

    /// How far each writer of a job has come, or none where only the journal itself can say: some change waits for
    /// another or is damaged. Empty for a job that is not here.
    pub(super) fn clock(&self, job: JobId) -> Result<Option<Clock>, StoreError> {
        let gaps: Option<bool> = self
            .connection
            .prepare_cached("SELECT gaps FROM job WHERE id = ?1")?
            .query_row([job.0.as_bytes()], |row| row.get(0))
            .optional()?;
        if gaps == Some(true) {
            return Ok(None);
        }
        let mut next = self
            .connection
            .prepare_cached("SELECT min(actor) FROM change WHERE job = ?1 AND actor > ?2")?;
        let mut newest = self.connection.prepare_cached(
            "SELECT seq, hash FROM change WHERE job = ?1 AND actor = ?2 ORDER BY seq DESC LIMIT 1",
        )?;
        let mut clock = Clock::new();
        let mut after = Vec::new();
        while let Some(actor) = next.query_row((job.0.as_bytes(), &after), |row| {
            row.get::<_, Option<[u8; 16]>>(0)
        })? {
            let reach = newest.query_row((job.0.as_bytes(), actor), |row| {
                Ok(Reach {
                    seq: row.get::<_, i64>(0)?.unsigned_abs(),
                    hash: ChangeHash(row.get(1)?),
                })
            })?;
            clock.insert(ActorId(actor), reach);
            after = actor.to_vec();
        }
        Ok(Some(clock))
    }

    /// Whether a program on this device has written under this id before.
    pub(super) fn has_used(&self, actor: ActorId) -> Result<bool, StoreError> {
        Ok(self
            .connection
            .prepare_cached("SELECT 1 FROM own_actor WHERE actor = ?1")?
            .exists([actor.0])?)
    }

    /// Notes which rows of a job were found damaged, each with its reason, and whether the job's journal lacks
    /// something. The rows stay where they are. What is noted already is not written again.
    ///
    /// # Errors
    /// What the disk says.
    pub(super) fn note_damage(
        &mut self,
        job: JobId,
        bad: &[(ChangeHash, String)],
        gaps: bool,
    ) -> Result<(), StoreError> {
        if self.is_noted(job, bad, gaps)? {
            return Ok(());
        }
        self.write(|transaction| {
            transaction
                .prepare_cached("UPDATE job SET gaps = ?2 WHERE id = ?1")?
                .execute((job.0.as_bytes(), gaps))?;
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

    fn is_noted(&self, job: JobId, bad: &[(ChangeHash, String)], gaps: bool) -> Result<bool, StoreError> {
        let flag = self
            .connection
            .prepare_cached("SELECT 1 FROM job WHERE id = ?1 AND gaps = ?2")?
            .exists((job.0.as_bytes(), gaps))?;
        let mut noted = self
            .connection
            .prepare_cached("SELECT 1 FROM bad_change WHERE job = ?1 AND hash = ?2")?;
        for (hash, _) in bad {
            if !noted.exists((job.0.as_bytes(), hash.0))? {
                return Ok(false);
            }
        }
        Ok(flag)
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

fn use_actor(connection: &Connection, actor: ActorId, boot: BootId) -> Result<(), StoreError> {
    let inserted = connection
        .prepare_cached("INSERT INTO own_actor (actor, boot) VALUES (?1, ?2) ON CONFLICT DO NOTHING")?
        .execute((actor.0, boot.0.as_bytes()))?;
    if inserted == 1 {
        Ok(())
    } else {
        Err(StoreError::ActorUsed(actor))
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
