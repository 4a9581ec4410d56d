//! One item of the review.

use crate::journal::{EntryId, Register};

/// Something that stands between the job and a sound record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Item {
    /// What kind.
    pub code: Code,
    /// The register it is about, where it is one's.
    pub register: Option<Register>,
    /// The entries it is about, in a fixed order.
    pub entries: Vec<EntryId>,
    /// The entry that settled it, if one did.
    pub settled_by: Option<EntryId>,
}

/// The kinds of items.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Code {
    /// Two entries that stand in one register and differ.
    Disagreement,
    /// A register whose entries were taken back: nothing is known.
    UnknownState,
    /// The request that stands is not the one the valve was set to.
    RequestChanged,
    /// An entry of a kind that this version does not know.
    UnknownKind,
    /// Entries that came after the signature.
    LateEntries,
}

impl Code {
    /// The stable code, as views and settlements carry it.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Disagreement => "disagreement",
            Self::UnknownState => "unknown_state",
            Self::RequestChanged => "request_changed",
            Self::UnknownKind => "unknown_kind",
            Self::LateEntries => "late_entries",
        }
    }

    /// Whether a person can settle it with a reason alone, without saying how a register stands. An entry
    /// that nobody here can read is not settled by words: the app has to be updated.
    pub fn settled_by_words(self) -> bool {
        matches!(self, Self::RequestChanged | Self::LateEntries)
    }
}
