//! What the durability tests share.

use anyhow::{Result, ensure};
use std::path::Path;
use std::process::Command;
use turnwise_core::journal::{EntryId, JobId};
use turnwise_core::store::{JournalStore, Seed, StoreError};
use turnwise_tests::appender;

/// The appender over a folder and a job.
pub fn appender(dir: &Path, job: JobId, options: &[&str]) -> Command {
    let mut command = appender::command(env!("CARGO_BIN_EXE_appender"), dir, job);
    command.args(options);
    command
}

/// Opens a store with a seed of its own.
pub fn open(dir: &Path) -> Result<JournalStore> {
    Ok(JournalStore::open(dir, Seed::draw()?)?)
}

/// Which of these entries the store does not show. A store that does not even know the job has lost them all.
pub fn lost(store: &mut JournalStore, job: JobId, entries: &[EntryId]) -> Result<Vec<EntryId>> {
    if entries.is_empty() {
        return Ok(Vec::new());
    }
    let state = match store.state(job) {
        Ok(state) => state,
        Err(StoreError::UnknownJob(_)) => return Ok(entries.to_vec()),
        Err(error) => return Err(error.into()),
    };
    Ok(entries
        .iter()
        .copied()
        .filter(|id| state.entry(*id).is_none())
        .collect())
}

/// Fails unless the folder opens and its job has every one of these entries.
pub fn nothing_is_lost(dir: &Path, job: JobId, entries: &[EntryId]) -> Result<()> {
    let mut store = open(dir)?;
    let lost = lost(&mut store, job, entries)?;
    ensure!(lost.is_empty(), "acknowledged and lost: {lost:?}");
    store.close()?;
    Ok(())
}
