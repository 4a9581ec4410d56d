//! What the office keeps beside the journals: people, sessions, tokens and the audit trail, in a file of its own.
//!
//! Rows in, rows out; who may do what is decided in `door` and `people`. Times are seconds since 1970, UTC, and come in
//! as arguments.

mod accounts;
mod audit;
mod sessions;
mod tokens;

pub use accounts::{Account, AccountId};
pub use audit::AuditRow;
pub use sessions::Session;
pub use tokens::{ApiToken, ApiTokenId};

use rusqlite::{Connection, Transaction, TransactionBehavior};
use sha2::{Digest, Sha256};
use std::path::Path;
use std::sync::{Mutex, MutexGuard, PoisonError};
use turnwise_core::store::{StoreError, open_beside};

/// The file's name in the office's folder.
pub const REGISTRY_FILE: &str = "office.db";

/// The steps to the newest schema.
const STEPS: &[&str] = &[include_str!("migrations/001_people.sql")];

/// The open file. Calls are short and wait for the disk, so they are made off the server's own threads.
#[derive(Debug)]
pub struct Registry {
    /// None: closed.
    connection: Mutex<Option<Connection>>,
}

impl Registry {
    /// Opens the registry in an office's folder, which the office holds already.
    ///
    /// # Errors
    /// A file of a newer program, or what the disk says.
    pub fn open(dir: &Path) -> Result<Self, StoreError> {
        Ok(Self {
            connection: Mutex::new(Some(open_beside(&dir.join(REGISTRY_FILE), STEPS)?)),
        })
    }

    /// Closes the file, whoever still holds the registry. What is asked after that is refused.
    pub fn close(&self) {
        drop(self.held().take());
    }

    /// A thread that panicked while it held the connection left no half-done work: a transaction that is dropped rolls
    /// back.
    fn held(&self) -> MutexGuard<'_, Option<Connection>> {
        self.connection.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn read<T>(&self, work: impl FnOnce(&Connection) -> rusqlite::Result<T>) -> Result<T, StoreError> {
        match self.held().as_ref() {
            Some(connection) => Ok(work(connection)?),
            None => Err(closed()),
        }
    }

    /// Runs `work` in one transaction and commits it. `Ok` means that the bytes are on the disk.
    fn write<T>(&self, work: impl FnOnce(&Transaction<'_>) -> rusqlite::Result<T>) -> Result<T, StoreError> {
        match self.held().as_mut() {
            Some(connection) => {
                let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
                let done = work(&transaction)?;
                transaction.commit()?;
                Ok(done)
            }
            None => Err(closed()),
        }
    }
}

fn closed() -> StoreError {
    StoreError::Io("the office is closed".to_owned())
}

/// What is kept of a secret: enough to know it again, not enough to use it.
fn hashed(secret: &str) -> [u8; 32] {
    Sha256::digest(secret.as_bytes()).into()
}

#[cfg(test)]
mod tests;
