//! One program at a time: a lock on a file beside the database.

use super::StoreError;
use std::fs::{File, OpenOptions, TryLockError};
use std::path::Path;

/// The name of the lock file. It stays when the program ends; what counts is the lock, which the system lets
/// go of however the program ends.
const LOCK_FILE: &str = "turnwise.lock";

/// The lock, held for as long as this value lives.
#[derive(Debug)]
pub(super) struct Lock {
    _file: File,
}

impl Lock {
    /// Takes the lock on a folder.
    ///
    /// # Errors
    /// [`StoreError::AlreadyOpen`] when somebody holds it, even this same program.
    pub(super) fn take(dir: &Path) -> Result<Self, StoreError> {
        let path = dir.join(LOCK_FILE);
        let file = OpenOptions::new()
            .create(true)
            .truncate(false)
            .read(true)
            .write(true)
            .open(&path)
            .map_err(|error| StoreError::file(&path, &error))?;
        match file.try_lock() {
            Ok(()) => Ok(Self { _file: file }),
            Err(TryLockError::WouldBlock) => Err(StoreError::AlreadyOpen(dir.to_owned())),
            Err(TryLockError::Error(error)) => Err(StoreError::file(&path, &error)),
        }
    }
}
