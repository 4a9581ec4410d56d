//! Entries that stand for a file: what it is, and how to know it again. A large one's bytes are kept outside the journal.

use super::{AssetId, EntryId};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// A photograph.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct Photo {
    /// SHA-256 of its bytes, in hex.
    pub sha256: String,
    /// How many bytes.
    pub size: u32,
    /// What it shows.
    pub caption: String,
    /// The entry it belongs to, if one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub about: Option<EntryId>,
}

/// A logger's file, and how it is read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
pub struct LoggerFile {
    /// The valve it is about.
    pub asset: AssetId,
    /// Where the logger sat, as the procedure file names the point.
    pub point: String,
    /// The file's own name.
    pub file: String,
    /// SHA-256 of the packed file, in hex.
    pub sha256: String,
    /// How many bytes that has.
    pub size: u32,
    /// How it is read, everything said.
    pub reading: crate::logger::Reading,
    /// What the header calls the column.
    pub name: String,
    /// How many rows were read.
    pub rows: u32,
}

/// A procedure file of an owner's, so that every tablet on the job walks the same steps. It travels in parts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct ProcedureFile {
    /// The procedure's id, as the job's valves name it.
    pub id: String,
    /// The file's name where it came from.
    pub file: String,
    /// SHA-256 of the whole text, in hex.
    pub digest: String,
    /// Which part this is, from 1.
    pub part: u32,
    /// How many parts there are.
    pub parts: u32,
    /// The text of this part.
    pub text: String,
}
