//! What can go wrong with the store, in words for the person who stands there.

use crate::journal::{ActorId, AppendError, JobId, Refusal};
use rusqlite::ErrorCode;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// Why the store could not do what was asked. Each message says what happened, what is safe and what to do.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// Another running program has this folder open.
    #[error(
        "Turnwise is already running with the folder {}. Nothing was touched. Use the one that runs, or close it first.",
        .0.display()
    )]
    AlreadyOpen(PathBuf),
    /// The database was written by a newer version.
    #[error(
        "The jobs were last kept by a newer Turnwise (schema {found}; this one knows {known}). Nothing was touched. Install the newer version again."
    )]
    SchemaNewer {
        /// The schema's number in the file.
        found: u32,
        /// The newest that this program knows.
        known: u32,
    },
    /// No room left.
    #[error(
        "The disk is full, so this was NOT saved. Everything saved before is safe. Make room and do it again; there is no need to restart. ({0})"
    )]
    DiskFull(String),
    /// The folder or file may not be written to.
    #[error(
        "The folder cannot be written to, so nothing was saved. What is in it is untouched. Make it writable, or use another folder. ({0})"
    )]
    ReadOnly(String),
    /// The database file is damaged beyond a single row.
    #[error(
        "The file that holds the jobs is damaged. Nothing was deleted from it: keep the folder. Start with an empty folder and fetch the jobs from the crew mate's tablet or the office. ({0})"
    )]
    Corrupt(String),
    /// The disk did not do as it was told.
    #[error(
        "The disk reported an error, so this was NOT saved. Everything saved before is on it. Do it again; if it happens twice, bring this tablet together with another one and go on with that. ({0})"
    )]
    Io(String),
    /// The job is not on this device.
    #[error("Job {0} is not on this device. Nothing was changed. Fetch it from the office or a crew mate.")]
    UnknownJob(JobId),
    /// The actor id has written here before, which would make two histories look like one.
    #[error(
        "The program started with an identity that has been used before ({}). Nothing was touched. Start it again.",
        crate::record::hex(&.0.0)
    )]
    ActorUsed(ActorId),
    /// The journal does not take the entry.
    #[error("This was NOT saved: {0}. Nothing was changed.")]
    Append(#[from] AppendError),
    /// A statement failed in a way that no disk explains: a mistake in the program.
    #[error(
        "The program made a mistake with its database, so this was NOT saved. Everything saved before is safe. Restart it and report this: {0}"
    )]
    Database(String),
}

impl StoreError {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::AlreadyOpen(_) => "already_open",
            Self::SchemaNewer { .. } => "schema_newer",
            Self::DiskFull(_) => "disk_full",
            Self::ReadOnly(_) => "read_only",
            Self::Corrupt(_) => "corrupt",
            Self::Io(_) => "io",
            Self::UnknownJob(_) => "unknown_job",
            Self::ActorUsed(_) => "actor_used",
            Self::Append(error) => error.code(),
            Self::Database(_) => "database",
        }
    }

    /// What a failed operation on a file or folder means.
    pub(super) fn file(path: &Path, error: &std::io::Error) -> Self {
        let what = format!("{}: {error}", path.display());
        match error.kind() {
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded => Self::DiskFull(what),
            ErrorKind::ReadOnlyFilesystem | ErrorKind::PermissionDenied => Self::ReadOnly(what),
            _ => Self::Io(what),
        }
    }
}

impl From<rusqlite::Error> for StoreError {
    fn from(error: rusqlite::Error) -> Self {
        let what = error.to_string();
        match error.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => Self::DiskFull(what),
            Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => Self::ReadOnly(what),
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => Self::Corrupt(what),
            Some(ErrorCode::SystemIoFailure | ErrorCode::CannotOpen) => Self::Io(what),
            // A column that does not hold what the schema says it must: only damage can do that.
            None if matches!(
                error,
                rusqlite::Error::FromSqlConversionFailure(..) | rusqlite::Error::InvalidColumnType(..)
            ) =>
            {
                Self::Corrupt(what)
            }
            _ => Self::Database(what),
        }
    }
}

/// Why a delivery from outside was not taken in. Nothing of it was kept.
#[derive(Debug, thiserror::Error)]
pub enum IntakeError {
    /// The journal does not let it in. Its sender is to be dropped.
    #[error("what arrived was refused: {0}")]
    Refused(Refusal),
    /// It could not be made durable. The sender is to be told nothing, and keeps it.
    #[error(transparent)]
    Store(#[from] StoreError),
}

impl IntakeError {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Refused(refusal) => refusal.code(),
            Self::Store(error) => error.code(),
        }
    }
}
