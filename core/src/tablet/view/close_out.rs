//! What is missing, what disagrees, who stands by what, and the signature.

use super::{Person, Said, SetAside, Subject, Text, TimelineItem};
use crate::journal::{EntryId, Register};
use crate::quantity::Figure;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The close-out screen.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct CloseOutView {
    /// What is still missing. Empty: it can be signed, as far as work goes.
    pub missing: Vec<Missing>,
    /// What needs a person's decision.
    pub review: Vec<ReviewItem>,
    /// What is worth reading: it keeps nobody from signing.
    pub worth_reading: Vec<ReviewItem>,
    /// What was settled, and how.
    pub settled: Vec<ReviewItem>,
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
    /// Whether the person using this tablet may open the signed job again.
    pub can_re_open: bool,
}

/// One thing that is missing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Missing {
    /// What (a code).
    pub code: String,
    /// In words.
    pub say: Text,
    /// The phase that its step belongs to, if one.
    pub phase: Option<Text>,
    /// The procedure and step it belongs to, if one.
    pub procedure: Option<String>,
    /// The step.
    pub step: Option<String>,
    /// The screen where it is put right (a code).
    pub screen: Option<String>,
    /// What exactly: what was unmet, which stops were gone over.
    pub details: Vec<Text>,
}

/// One item of the review.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ReviewItem {
    /// What kind (a code): `disagreement`, `unknown_state`, `request_changed`, ...
    pub code: String,
    /// What a settlement by words carries as its code.
    pub settles_as: String,
    /// The valve it is about, on a job of several.
    pub valve: Option<String>,
    /// What it is about.
    pub subject: Subject,
    /// What exactly: what was unmet, which stops were gone over.
    pub details: Vec<Subject>,
    /// The register, where it is one's.
    pub register: Option<Register>,
    /// The entries, side by side: the first of them, where there are many.
    pub sides: Vec<ReviewSide>,
    /// How many more there are.
    pub more: u32,
    /// What a settlement carries: the entries it is about.
    pub entries: Vec<EntryId>,
    /// How far readings are apart against what their gauges allow, where that is what it is about: 1 is as far as
    /// both gauges' uncertainties reach.
    pub apart: Option<f64>,
    /// The ways to settle it that are open to the person using this tablet.
    pub ways: Vec<SettleBy>,
    /// Where it is put right, where that is one of the ways.
    pub place: ReviewPlace,
    /// Whether the person using this tablet may settle it.
    pub can_settle: bool,
    /// What settled it, if something did.
    pub settled: Option<ReviewSettled>,
}

/// A way to settle an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum SettleBy {
    /// Say how the register stands.
    Register,
    /// Do the work again, or for the first time.
    Again,
    /// Words, with a name and a reason.
    Words,
    /// Open the signed job again and sign another revision.
    ReOpen,
    /// Update this program.
    Update,
}

/// Where an item is put right.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ReviewPlace {
    /// The screen (a code).
    pub screen: Option<String>,
    /// The procedure of the step.
    pub procedure: Option<String>,
    /// The step.
    pub step: Option<String>,
    /// The code of what is wanted there.
    pub want: Option<String>,
}

/// What settled an item: a person's words, or work that came after it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ReviewSettled {
    /// Who and when.
    pub said: Said,
    /// What was said or done.
    pub item: TimelineItem,
    /// Why, where it was settled by words.
    pub reason: Option<String>,
}

/// One side of an item.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ReviewSide {
    /// Who and when.
    pub said: Said,
    /// What it says.
    pub item: TimelineItem,
    /// What a reading was read on, where it is one.
    pub read_on: Option<ReadOn>,
    /// The entry's body, so that a settlement can take it over.
    pub body: crate::journal::Body,
}

/// The gauge of a reading, and how sure the reading is by it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ReadOn {
    /// The gauge's serial. None: none that is on record; one was assumed.
    pub gauge: Option<String>,
    /// The expanded uncertainty, either way.
    pub give_take: Option<Figure>,
    /// What is wrong with the gauge or not known of it (codes).
    pub problems: Vec<String>,
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
    /// Those that they have not initialled yet: the newest of them, newest first.
    pub open: Vec<TimelineItem>,
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
    /// Those entries: the first of them, where there are many.
    pub late_entries: Vec<TimelineItem>,
    /// Why they were left as an addendum, if they were.
    pub addendum: Option<SaidWhy>,
    /// Why it was opened again, if it was.
    pub re_opened: Option<SaidWhy>,
}

/// A reason, and who gave it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct SaidWhy {
    /// Who and when.
    pub said: Said,
    /// Why.
    pub reason: String,
}
