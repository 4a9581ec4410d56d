//! Where a device keeps what it has: one SQLite file, and the journals that are open over it.
//!
//! [`Store`] knows rows and nothing of what they mean; [`JournalStore`] keeps journals over it. Whatever either
//! of them answers with `Ok` after a write is on the disk: the commit has returned with `synchronous=FULL`.
//! One program has a folder open at a time, and one thread has the store.

mod blobs;
mod certificates;
mod changes;
mod database;
mod device_key;
mod error;
mod exports;
mod folder;
mod journal_store;
mod lock;
mod migrate;
mod open_journals;
mod peers;
mod photographs;
mod pins;
mod seed;
mod settings;
mod signed;

pub use blobs::{ContentHash, NotAContentHash};
pub use changes::BadChange;
pub use database::{DATABASE_FILE, Store, open_beside};
pub use error::{IntakeError, StoreError};
pub use exports::ExportError;
pub use folder::procedure_files;
pub use journal_store::JournalStore;
pub use peers::Peer;
pub use pins::{LinkIdentity, PIN_ADDRESSES, Pin};
pub use seed::{KeySeed, Seed};
pub use signed::SignedRecord;

#[cfg(test)]
mod tests;
