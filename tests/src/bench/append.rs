//! A durable append of one entry into a job of 5,000, next to a bare insert of the same bytes with the same pragmas.

use super::{Spread, scene};
use crate::entries::{new_job, reading};
use anyhow::Result;
use rusqlite::Connection;
use serde::Serialize;
use std::path::Path;
use std::time::{Duration, Instant};
use turnwise_core::journal::Journal;

const ENTRIES: usize = 5_000;
const TIMES: usize = 2_000;

/// What was measured.
#[derive(Debug, Serialize)]
pub struct Append {
    /// How many entries the job held at first.
    pub entries: usize,
    /// From the entry to the acknowledgement.
    pub append: Spread,
    /// The bare insert.
    pub bare_insert: Spread,
    /// Median by median. The aim is 1.5 at most.
    pub ratio: f64,
}

/// Measures. The two take turns, and take turns at being first, so that whatever else the machine does meets both.
///
/// # Errors
/// Where the disk or the journal fails.
pub fn append() -> Result<Append> {
    let dir = tempfile::tempdir()?;
    let job = new_job();
    let mut mirror = scene::crew(job, ENTRIES)?;
    let mut store = scene::store(&dir.path().join("data"))?;
    scene::give(&mirror, &mut store)?;
    let bare = bare(&dir.path().join("bare.db"))?;
    let mut insert = bare.prepare("INSERT INTO row (bytes) VALUES (?1)")?;
    fill(&bare, &mirror)?;

    let (mut appends, mut inserts) = (Vec::new(), Vec::new());
    for number in 0..TIMES {
        let entry = reading(&format!("{}.{}", 50 + number % 40, number % 10));
        // The same entry as a change, from a journal in memory: what the bare insert keeps.
        let bytes = mirror.append(&entry)?.bytes;
        for first in [true, false] {
            if first == (number % 2 == 0) {
                appends.push(timed(|| Ok(store.append(job, &entry).map(drop)?))?);
            } else {
                inserts.push(timed(|| Ok(insert.execute([&bytes]).map(drop)?))?);
            }
        }
    }
    let (append, bare_insert) = (Spread::of(appends), Spread::of(inserts));
    Ok(Append {
        entries: ENTRIES,
        append,
        bare_insert,
        ratio: append.p50_us / bare_insert.p50_us,
    })
}

fn timed(work: impl FnOnce() -> Result<()>) -> Result<Duration> {
    let start = Instant::now();
    work()?;
    Ok(start.elapsed())
}

/// A database with one table of nothing but bytes, kept as the store keeps its own.
fn bare(path: &Path) -> Result<Connection> {
    let connection = Connection::open(path)?;
    connection.pragma_update(None, "locking_mode", "EXCLUSIVE")?;
    connection.pragma_update(None, "journal_mode", "WAL")?;
    connection.pragma_update(None, "synchronous", "FULL")?;
    connection.pragma_update(None, "fullfsync", true)?;
    connection.pragma_update(None, "checkpoint_fullfsync", true)?;
    connection.pragma_update(None, "foreign_keys", true)?;
    connection.pragma_update(None, "trusted_schema", false)?;
    connection.pragma_update(None, "cell_size_check", true)?;
    connection.pragma_update(None, "temp_store", "MEMORY")?;
    connection.pragma_update(None, "wal_autocheckpoint", 1_000)?;
    connection.execute_batch("CREATE TABLE row (id INTEGER PRIMARY KEY, bytes BLOB NOT NULL)")?;
    Ok(connection)
}

/// As many rows as the job has entries.
fn fill(bare: &Connection, journal: &Journal) -> Result<()> {
    let bytes = journal.clone().append(&reading("60.0"))?.bytes;
    bare.execute_batch("BEGIN")?;
    for _ in 0..ENTRIES {
        bare.prepare_cached("INSERT INTO row (bytes) VALUES (?1)")?
            .execute([&bytes])?;
    }
    bare.execute_batch("COMMIT")?;
    Ok(())
}
