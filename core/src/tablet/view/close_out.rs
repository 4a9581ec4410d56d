//! What is missing, what disagrees, who stands by what, and the signature.

use super::{Person, Said, SetAside, Subject, Text, TimelineItem};
use crate::journal::{EntryId, Register};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The close-out screen.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct CloseOutView {
    /// What is still missing. Empty: it can be signed.
    pub missing: Vec<Missing>,
    /// What needs a person's decision.
    pub review: Vec<ReviewItem>,
    /// What was settled, and how.
    pub settled: Vec<TimelineItem>,
    /// Each person's entries and initials.
    pub initials: Vec<InitialsView>,
    /// Changes that were set aside.
    pub set_aside: Vec<SetAside>,
    /// The record as it would be signed.
    pub record: RecordView,
    /// Whether the person using this tablet may sign now.
    pub can_sign: bool,
    /// Why not (codes).
    pub cannot_sign: Vec<String>,
    /// Signatures so far, oldest first.
    pub signed: Vec<SignedView>,
}

/// One thing that is missing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Missing {
    /// What (a code).
    pub code: String,
    /// In words.
    pub say: Text,
    /// The procedure and step it belongs to, if one.
    pub procedure: Option<String>,
    /// The step.
    pub step: Option<String>,
    /// The screen where it is put right (a code).
    pub screen: Option<String>,
}

/// One thing that needs a person's decision.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ReviewItem {
    /// What kind (a code): `disagreement`, `unknown_state`, `request_changed`, ...
    pub code: String,
    /// What it is about.
    pub subject: Subject,
    /// The register, where it is one's.
    pub register: Option<Register>,
    /// The entries, side by side.
    pub sides: Vec<ReviewSide>,
    /// What a settlement carries: the entries it is about.
    pub entries: Vec<EntryId>,
    /// Whether the person using this tablet may settle it.
    pub can_settle: bool,
}

/// One side of a disagreement.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ReviewSide {
    /// Who and when.
    pub said: Said,
    /// What it says.
    pub item: TimelineItem,
    /// The entry's body, so that a settlement can take it over.
    pub body: crate::journal::Body,
}

/// One person's entries and initials.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct InitialsView {
    /// Who.
    pub person: Person,
    /// How many entries are theirs.
    pub entries: u32,
    /// How many of them they initialled.
    pub initialled: u32,
    /// Who keyed for them, if anybody did.
    pub keyed_by: Vec<String>,
}

/// The record as it would be signed now.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct RecordView {
    /// SHA-256 of its canonical JSON, in hex.
    pub digest: String,
    /// How many entries it holds.
    pub entries: u32,
}

/// One signature.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct SignedView {
    /// Who and when.
    pub said: Said,
    /// Its revision.
    pub revision: u32,
    /// The digest signed.
    pub digest: String,
    /// Entries that came after it.
    pub late: u32,
    /// Why it was opened again, if it was.
    pub re_opened: Option<String>,
}
