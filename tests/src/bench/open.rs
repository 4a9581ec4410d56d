//! Opening a store and a job of 10,000 entries in it, to its first folded state.

use super::{Spread, scene};
use crate::entries::new_job;
use anyhow::{Result, ensure};
use serde::Serialize;
use std::time::Instant;
use turnwise_core::store::DATABASE_FILE;

const ENTRIES: usize = 10_000;
const TIMES: usize = 9;

/// What was measured, each time with a store opened anew (the file is in the system's cache).
#[derive(Debug, Serialize)]
pub struct Open {
    /// How many entries the job holds.
    pub entries: usize,
    /// How large the database is, in bytes.
    pub database_bytes: u64,
    /// Opening the store.
    pub store: Spread,
    /// Reading the job's rows into a journal.
    pub load: Spread,
    /// From there to the folded state.
    pub fold: Spread,
    /// All of it.
    pub total: Spread,
    /// How far each writer has come, without reading the job, in a store opened anew.
    pub clock: Spread,
}

/// Measures.
///
/// # Errors
/// Where the disk or the journal fails.
pub fn open() -> Result<Open> {
    let dir = tempfile::tempdir()?;
    let job = new_job();
    let mut store = scene::store(dir.path())?;
    scene::give(&scene::crew(job, ENTRIES)?, &mut store)?;
    store.close()?;

    let (mut opening, mut loading, mut folding, mut total, mut clock) =
        (Vec::new(), Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for _ in 0..TIMES {
        let start = Instant::now();
        let mut store = scene::store(dir.path())?;
        opening.push(start.elapsed());
        let opened = Instant::now();
        store.heads(job)?;
        loading.push(opened.elapsed());
        let loaded = Instant::now();
        let state = store.state(job)?;
        folding.push(loaded.elapsed());
        total.push(start.elapsed());
        ensure!(state.entries.len() == ENTRIES, "{} entries", state.entries.len());
        store.close()?;

        let mut store = scene::store(dir.path())?;
        let start = Instant::now();
        store.clock(job)?;
        clock.push(start.elapsed());
        store.close()?;
    }
    Ok(Open {
        entries: ENTRIES,
        database_bytes: std::fs::metadata(dir.path().join(DATABASE_FILE))?.len(),
        store: Spread::of(opening),
        load: Spread::of(loading),
        fold: Spread::of(folding),
        total: Spread::of(total),
        clock: Spread::of(clock),
    })
}
