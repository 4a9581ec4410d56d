//! The open database: how it is opened, and the one way to write to it.

use super::{StoreError, lock::Lock, migrate};
use crate::journal::DeviceId;
use rusqlite::{Connection, OpenFlags, OptionalExtension, Transaction, TransactionBehavior};
use std::path::{Path, PathBuf};
use uuid::Uuid;

/// The name of the database in a device's folder.
pub const DATABASE_FILE: &str = "turnwise.db";

/// The write-ahead log is folded into the database after this many pages (of 4,096 bytes), SQLite's own default.
const CHECKPOINT_PAGES: u32 = 1_000;
/// After a large transaction (a photograph) the log is cut back to this many bytes.
const LOG_LIMIT: i64 = 16 * 1024 * 1024;

/// A device's database, open. Rows in, rows out.
///
/// A failed write changes nothing, and the store goes on working: when a full disk has room again, the next write
/// succeeds.
#[derive(Debug)]
pub struct Store {
    pub(super) connection: Connection,
    device: DeviceId,
    dir: PathBuf,
    /// Let go last: fields are dropped in this order.
    _lock: Lock,
}

/// Opens a database file of another kind beside a device's own, kept as durably, and brings it to the newest schema by
/// numbered steps: step `n` of the list leaves it at `user_version` n + 1.
///
/// The folder must be there, and be one that this program holds (see [`Store::open`]): nothing else may have the file
/// open.
///
/// # Errors
/// [`StoreError::SchemaNewer`], or what the disk says.
pub fn open_beside(path: &Path, steps: &[&str]) -> Result<Connection, StoreError> {
    let mut connection = connect(path, Synchronous::Full)?;
    migrate::run_steps(&mut connection, steps)?;
    Ok(connection)
}

/// How hard a commit presses the bytes onto the disk.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Synchronous {
    /// A commit returns when the bytes are on the disk.
    Full,
    /// A commit returns at once. Only for the test that shows that the durability tests can fail.
    #[cfg(feature = "not-durable")]
    Off,
}

impl Store {
    /// Opens the database in a folder, making both where they are missing. A new database takes `new_device` as the id
    /// of this device; an old one keeps its own.
    ///
    /// # Errors
    /// [`StoreError::AlreadyOpen`], [`StoreError::SchemaNewer`], or what the disk says.
    pub fn open(dir: &Path, new_device: DeviceId) -> Result<Self, StoreError> {
        Self::open_with(dir, new_device, Synchronous::Full)
    }

    /// As [`Store::open`], but commits do not wait for the disk: whatever is "saved" may be lost.
    #[cfg(feature = "not-durable")]
    pub fn open_not_durable(dir: &Path, new_device: DeviceId) -> Result<Self, StoreError> {
        Self::open_with(dir, new_device, Synchronous::Off)
    }

    fn open_with(dir: &Path, new_device: DeviceId, synchronous: Synchronous) -> Result<Self, StoreError> {
        make_folder(dir)?;
        let lock = Lock::take(dir)?;
        let mut connection = connect(&dir.join(DATABASE_FILE), synchronous)?;
        migrate::migrate(&mut connection)?;
        let device = device_id(&connection, new_device)?;
        Ok(Self {
            connection,
            device,
            dir: dir.to_owned(),
            _lock: lock,
        })
    }

    /// This device's id, made once with the database.
    pub fn device(&self) -> DeviceId {
        self.device
    }

    /// The folder.
    pub fn dir(&self) -> &Path {
        &self.dir
    }

    /// Folds the write-ahead log into the database and closes it. Dropping the store does the same but cannot say
    /// what went wrong; nothing is lost either way, since the log is as durable as the database.
    ///
    /// # Errors
    /// What the disk says.
    pub fn close(self) -> Result<(), StoreError> {
        self.connection
            .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))?;
        self.connection.close().map_err(|(_, error)| error.into())
    }

    /// Runs `work` in one transaction and commits it. `Ok` means that the bytes are on the disk; on `Err` nothing of it
    /// happened.
    pub(super) fn write<T>(
        &mut self,
        work: impl FnOnce(&Transaction<'_>) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        // Where either fails, dropping the transaction rolls it back.
        let done = work(&transaction)?;
        transaction.commit()?;
        Ok(done)
    }
}

/// Makes the folder, and makes sure that its name will be found after a power cut.
fn make_folder(dir: &Path) -> Result<(), StoreError> {
    if dir.is_dir() {
        return Ok(());
    }
    std::fs::create_dir_all(dir).map_err(|error| StoreError::file(dir, &error))?;
    #[cfg(unix)]
    if let Some(parent) = dir.parent().filter(|parent| !parent.as_os_str().is_empty()) {
        std::fs::File::open(parent)
            .and_then(|parent| parent.sync_all())
            .map_err(|error| StoreError::file(parent, &error))?;
    }
    Ok(())
}

/// Opens the file and says how it is to be kept. Whatever must come first on a connection (the key of an encrypted
/// file) comes first here.
fn connect(path: &Path, synchronous: Synchronous) -> Result<Connection, StoreError> {
    let connection = Connection::open_with_flags(
        path,
        OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE | OpenFlags::SQLITE_OPEN_NO_MUTEX,
    )?;
    // Before the first look at the file: with the lock held for good, the log's index is in memory and not in a
    // mapped file, which on a full disk would end the program by a signal.
    connection.pragma_update(None, "locking_mode", "EXCLUSIVE")?;
    let mode: String = connection.pragma_update_and_check(None, "journal_mode", "WAL", |row| row.get(0))?;
    if mode != "wal" {
        return Err(StoreError::Io(format!(
            "{}: a write-ahead log cannot be kept here ({mode})",
            path.display()
        )));
    }
    let synchronous = match synchronous {
        Synchronous::Full => "FULL",
        #[cfg(feature = "not-durable")]
        Synchronous::Off => "OFF",
    };
    connection.pragma_update(None, "synchronous", synchronous)?;
    // Where the system has a stronger flush than fsync (Apple's), use it. Nothing elsewhere.
    connection.pragma_update(None, "fullfsync", true)?;
    connection.pragma_update(None, "checkpoint_fullfsync", true)?;
    connection.pragma_update(None, "foreign_keys", true)?;
    connection.pragma_update(None, "trusted_schema", false)?;
    connection.pragma_update(None, "cell_size_check", true)?;
    // Nothing is written anywhere but beside the database.
    connection.pragma_update(None, "temp_store", "MEMORY")?;
    connection.pragma_update(None, "wal_autocheckpoint", CHECKPOINT_PAGES)?;
    connection.pragma_update(None, "journal_size_limit", LOG_LIMIT)?;
    Ok(connection)
}

/// The device's id: the one that is kept, or `new` from now on.
fn device_id(connection: &Connection, new: DeviceId) -> Result<DeviceId, StoreError> {
    let kept: Option<[u8; 16]> = connection
        .query_row("SELECT id FROM device", [], |row| row.get(0))
        .optional()?;
    if let Some(id) = kept {
        return Ok(DeviceId(Uuid::from_bytes(id)));
    }
    connection.execute("INSERT INTO device (only, id) VALUES (1, ?1)", [new.0.as_bytes()])?;
    Ok(new)
}
