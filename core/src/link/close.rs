//! Why a link ended.

use crate::journal::JobId;
use thiserror::Error;

/// What a peer did that this side does not put up with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum Fault {
    /// It did not say hello in time.
    #[error("the peer did not say hello in time")]
    HelloLate,
    /// It said something else before its hello.
    #[error("the peer spoke before saying hello")]
    HelloMissing,
    /// It speaks another version of the protocol.
    #[error("the peer speaks another version of the protocol")]
    ProtocolMismatch,
    /// It says it is this very device.
    #[error("the peer gives this device's own identity")]
    OwnDevice,
    /// It changed its identity while linked.
    #[error("the peer changed its identity while linked")]
    IdentityChanged,
    /// Its key was paired as another device, or as a device of another kind, than it says it is.
    #[error("the peer says it is another device than its key was paired as")]
    DeviceMismatch,
    /// It was not heard for too long.
    #[error("nothing was heard from the peer for too long")]
    Silent,
    /// A frame that is no message.
    #[error("the peer sent a frame that is no message")]
    Garbage,
    /// A frame, a name or a bundle over its cap.
    #[error("the peer sent something over its size cap")]
    TooLong,
    /// More than it may send, or may make this side remember.
    #[error("the peer sent more than it may")]
    TooMuch,
    /// Changes of a job that this side did not ask for, or a confirmation of what was never sent.
    #[error("the peer sent what was not asked for")]
    Unasked,
    /// It asks and does not read.
    #[error("the peer does not read what it is sent")]
    NotReading,
}

impl Fault {
    /// A stable code: also what the peer is told on parting.
    pub fn code(self) -> &'static str {
        match self {
            Self::HelloLate => "hello_late",
            Self::HelloMissing => "hello_missing",
            Self::ProtocolMismatch => "protocol_mismatch",
            Self::OwnDevice => "own_device",
            Self::IdentityChanged => "identity_changed",
            Self::DeviceMismatch => "device_mismatch",
            Self::Silent => "silent",
            Self::Garbage => "garbage",
            Self::TooLong => "too_long",
            Self::TooMuch => "too_much",
            Self::Unasked => "unasked",
            Self::NotReading => "not_reading",
        }
    }
}

/// Why a link ended.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum CloseReason {
    /// This side was asked to end it.
    #[error("the link was ended here")]
    Stopped,
    /// The carriage ended: the socket closed or failed.
    #[error("the connection was lost")]
    Lost,
    /// The peer said it is leaving, and why.
    #[error("the peer left: {code}")]
    PeerLeft {
        /// The peer's code, at most 64 bytes; one this version may not know.
        code: String,
    },
    /// The peer was dropped for what it did.
    #[error(transparent)]
    Faulted(#[from] Fault),
    /// The intake refused what the peer brought; the peer was dropped.
    #[error("changes of job {job} were refused: {code}")]
    Refused {
        /// The job.
        job: JobId,
        /// The intake's code.
        code: &'static str,
    },
    /// This side could not do its own part (a full disk, for one). Not the peer's doing.
    #[error("this side could not go on: {code}")]
    Unable {
        /// The store's code.
        code: &'static str,
    },
}

impl CloseReason {
    /// A stable code. For [`CloseReason::PeerLeft`] it is the same whatever the peer's own code says.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Stopped => "stopped",
            Self::Lost => "lost",
            Self::PeerLeft { .. } => "peer_left",
            Self::Faulted(fault) => fault.code(),
            Self::Refused { code, .. } => code,
            Self::Unable { .. } => "unable",
        }
    }
}
