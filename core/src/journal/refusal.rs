//! Why a delivery of changes is refused.

use super::ActorId;
use thiserror::Error;

/// Why a whole delivery was refused. Its sender is dropped; nothing of it was taken.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum Refusal {
    /// Over one of the limits of [`limits`](super::limits).
    #[error("{what} is too large: over {limit}")]
    TooLarge {
        /// What is too large.
        what: &'static str,
        /// The limit, in bytes or rows.
        limit: u64,
    },
    /// It cannot be read as changes.
    #[error("the changes cannot be read: {0}")]
    Unreadable(String),
    /// A checksum is not that of the content.
    #[error("a checksum is not that of the content")]
    BadChecksum,
    /// A change takes the place of another's value inside the document. Entries are never overwritten.
    #[error("a change overwrites an earlier one")]
    HasPred,
    /// A change holds more than one operation.
    #[error("a change holds more than one operation")]
    ManyOps,
    /// A writer's number was used for two different changes.
    #[error("change {seq} of writer {} is held here with other content", hex(&actor.0))]
    DuplicateSeq {
        /// The writer.
        actor: ActorId,
        /// The number.
        seq: u64,
    },
    /// A change does not follow from the ancestors that it names: its number is not the next of its writer,
    /// or its operation not the next of the document. No document can hold it.
    #[error("a change does not follow from its ancestors")]
    OutOfSequence,
}

impl Refusal {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::TooLarge { .. } => "too_large",
            Self::Unreadable(_) => "unreadable",
            Self::BadChecksum => "bad_checksum",
            Self::HasPred => "has_pred",
            Self::ManyOps => "many_ops",
            Self::DuplicateSeq { .. } => "duplicate_seq",
            Self::OutOfSequence => "out_of_sequence",
        }
    }

    /// Bytes that end early or say something that no writer would.
    pub(super) fn unreadable(why: &str) -> Self {
        Self::Unreadable(why.to_owned())
    }
}

/// Bytes in hex.
pub(super) fn hex(bytes: &[u8]) -> String {
    use std::fmt::Write as _;
    bytes
        .iter()
        .fold(String::with_capacity(bytes.len() * 2), |mut text, byte| {
            // Writing to a String cannot fail.
            let _ = write!(text, "{byte:02x}");
            text
        })
}
