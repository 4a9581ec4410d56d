//! What people disagreed on, how it was settled, and what else was said.

use super::Said;
use crate::journal::{EntryId, History, Register};
use crate::procedure::Text;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One item of the review.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ReviewLine {
    /// What kind, a code.
    pub code: String,
    /// How much it weighs, a code: `missing` work, something to `decide`, or worth to `read`.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub weight: String,
    /// The register, where it is one's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub register: Option<Register>,
    /// What it is about, in words, where there are words for it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub about: Option<Text>,
    /// The entries.
    pub entries: Vec<EntryId>,
    /// How it was settled. None: open.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub settled: Option<SettledLine>,
}

/// By whom and why.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SettledLine {
    /// Who, and when.
    pub said: Said,
    /// Why it is so. Empty: no words settled it but work that came after it.
    pub reason: String,
}

/// Something settled by a named person.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SettlementLine {
    /// Who, and when.
    pub said: Said,
    /// Why it is so.
    pub reason: String,
    /// What kind, a code: `disagreement` for a register, else the review item's.
    pub code: String,
    /// The register, where it is one's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub register: Option<Register>,
    /// What it is about, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub about: Option<Text>,
    /// The entries that stood side by side, with who said each.
    pub sides: Vec<SideLine>,
    /// What was found to be so: the body of an entry.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<crate::journal::Body>")]
    pub found: Option<serde_json::Value>,
}

/// One side of a disagreement.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SideLine {
    /// Who said it, and when.
    pub said: Said,
    /// What they said: the body of the entry.
    #[schemars(with = "crate::journal::Body")]
    pub body: serde_json::Value,
}

/// An entry taken back.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WithdrawnLine {
    /// Who took it back, and when.
    pub said: Said,
    /// The entry.
    pub entry: EntryId,
    /// Why.
    pub reason: String,
}

/// Free words.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct NoteLine {
    /// Who wrote it, and when.
    pub said: Said,
    /// The words.
    pub text: String,
    /// The entry they are about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub about: Option<EntryId>,
}

/// A photograph.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PhotoLine {
    /// Who took it, and when.
    pub said: Said,
    /// SHA-256 of its bytes, hex.
    pub sha256: String,
    /// How many bytes.
    pub size: u32,
    /// What it shows.
    pub caption: String,
    /// The entry it belongs to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub about: Option<EntryId>,
}

/// An earlier visit to a valve.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct HistoryLine {
    /// Who told it, and when.
    pub said: Said,
    /// What is told.
    pub history: History,
}
