//! Pieces that several screens show.

use crate::journal::{EntryId, PersonId};
pub use crate::procedure::Text;
use crate::quantity::Figure;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// What something is called: in the words of a procedure or of a person, or by a code of the screens' own
/// catalogue.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Subject {
    /// Words, in each language.
    Text(Text),
    /// A code.
    Code(String),
}

/// Where an entry is safe, from what others have confirmed that they hold.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Safe {
    /// Durable on this tablet only.
    #[default]
    OnlyHere,
    /// Durable with a crew mate too.
    WithMate,
    /// Durable at the office.
    AtOffice,
}

/// Who said something, when, and where it is safe.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Said {
    /// The entry.
    pub entry: EntryId,
    /// Whose it is.
    pub person: PersonId,
    /// Their name.
    pub by: String,
    /// Who typed it, where that was another.
    pub keyed_by: Option<String>,
    /// Whether it was made on this tablet.
    pub here: bool,
    /// The wall clock where it was made, RFC 3339.
    pub at: String,
    /// Where it is safe.
    pub safe: Safe,
}

/// How far people agree on something.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Agreement {
    /// Nobody ever said.
    #[default]
    Never,
    /// It was said and taken back.
    Unknown,
    /// One value stands.
    Agreed,
    /// Several stand and differ.
    Disagreed,
}

/// What stands, with everybody who says so.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Standing<T> {
    /// How far people agree.
    pub agreement: Agreement,
    /// What stands: one value, or several where people disagree.
    pub values: Vec<SaidValue<T>>,
    /// What a new entry for this carries as `replaces`.
    pub replaces: Vec<EntryId>,
}

/// One value and who says so.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct SaidValue<T> {
    /// The value.
    pub value: T,
    /// Who said it.
    pub said: Said,
}

/// A reading as the screens show it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ReadingView {
    /// Who and when.
    pub said: Said,
    /// The point's id.
    pub point: String,
    /// The point's name.
    pub point_name: Text,
    /// Which hydrant or tap.
    pub place: Option<String>,
    /// As read.
    pub figure: Figure,
    /// What for.
    pub purpose: crate::journal::Purpose,
    /// Whether water moved.
    pub water: crate::journal::Water,
    /// Whether it is older than the last turn of the screw: dimmed, and never drives a move.
    pub older_than_turn: bool,
    /// Whether it is over the zone's limit.
    pub over_limit: bool,
}
