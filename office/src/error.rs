//! Why the office did not do what it was asked.

use crate::api::ApiError;
use turnwise_core::journal::JobId;
use turnwise_core::procedure::ProcedureError;
use turnwise_core::record::RecordError;
use turnwise_core::store::{ExportError, StoreError};

/// Why the office did not do what it was asked. Nothing of it was kept.
#[derive(Debug, thiserror::Error)]
pub enum OfficeError {
    /// Something in the request does not make sense.
    #[error(transparent)]
    Invalid(#[from] Invalid),
    /// Another job has this number.
    #[error("number: job {0} is already handed out")]
    NumberTaken(String),
    /// There is no such job here.
    #[error("there is no job {0} here")]
    UnknownJob(JobId),
    /// There is no such valve on the job.
    #[error("valve: this job has no such valve")]
    UnknownValve,
    /// One valve stands twice on a job.
    #[error("beside: a valve can be on a job once only")]
    ValveTwice,
    /// The job has no opening yet: its first entries have not arrived.
    #[error("the job's opening has not arrived yet")]
    NotOpened,
    /// Nobody has signed the job's record.
    #[error("nobody has signed the record of this job")]
    NotSigned,
    /// The record that was signed is not the one that these entries make.
    #[error("the record that was signed is not the one that the entries here make")]
    RecordMismatch,
    /// The office could not do its own part: the disk, most likely. The code is the store's.
    #[error("{message}")]
    Unable {
        /// The code.
        code: &'static str,
        /// What happened.
        message: String,
    },
    /// The office is stopping.
    #[error("the office is stopping")]
    Stopping,
}

impl OfficeError {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Invalid(invalid) => invalid.code,
            Self::NumberTaken(_) => "number_taken",
            Self::UnknownJob(_) => "unknown_job",
            Self::UnknownValve => "unknown_valve",
            Self::ValveTwice => "valve_twice",
            Self::NotOpened => "not_opened",
            Self::NotSigned => "not_signed",
            Self::RecordMismatch => "record_mismatch",
            Self::Unable { code, .. } => code,
            Self::Stopping => "stopping",
        }
    }

    /// The same as the page reads it.
    pub fn to_api(&self) -> ApiError {
        ApiError {
            code: self.code().to_owned(),
            message: self.to_string(),
        }
    }
}

/// Something in a request that does not make sense, and where.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{field}: {message}")]
pub struct Invalid {
    /// A stable code.
    pub code: &'static str,
    /// Which field, as it is written in the request: `request.pressure`, `crew.1.name`.
    pub field: String,
    /// What is wrong with it.
    pub message: String,
}

/// What lower parts say is passed on under their own codes.
macro_rules! unable {
    ($($error:ty),*) => {
        $(impl From<$error> for OfficeError {
            fn from(error: $error) -> Self {
                Self::Unable { code: error.code(), message: error.to_string() }
            }
        })*
    };
}

unable!(ProcedureError);

impl From<ExportError> for OfficeError {
    fn from(error: ExportError) -> Self {
        match error {
            ExportError::Store(error) => error.into(),
            ExportError::Record(error) => error.into(),
        }
    }
}

impl From<StoreError> for OfficeError {
    fn from(error: StoreError) -> Self {
        match error {
            StoreError::UnknownJob(job) => Self::UnknownJob(job),
            error => Self::Unable {
                code: error.code(),
                message: error.to_string(),
            },
        }
    }
}

impl From<RecordError> for OfficeError {
    fn from(error: RecordError) -> Self {
        match error {
            RecordError::NotOpened => Self::NotOpened,
            RecordError::Json(_) => Self::Unable {
                code: error.code(),
                message: error.to_string(),
            },
        }
    }
}
