//! The record before it is signed, and the files that it is handed over in.

use super::Text;
use crate::journal::{JobId, Position};
use crate::quantity::Figure;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// What a signature of this record would cover, read back out of the very bytes: first what matters most, then every
/// entry.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct RecordContent {
    /// SHA-256 of those bytes, in hex: what is signed.
    pub digest: String,
    /// The revision that a signature makes.
    pub revision: u32,
    /// The job's number.
    pub number: String,
    /// Whose system, and where.
    pub customer: String,
    /// Where.
    pub site: String,
    /// Each valve.
    pub valves: Vec<ContentValve>,
    /// Disagreements and open items that a person settled: what about, and why it is so.
    pub settled: Vec<ContentWords>,
    /// Every entry, in the order of the record.
    pub lines: Vec<ContentLine>,
}

/// One valve of the record.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ContentValve {
    /// Its name.
    pub name: String,
    /// What was asked. Several, where people disagree.
    pub asked: Vec<Figure>,
    /// The readings as found.
    pub as_found: Vec<ContentReading>,
    /// The readings as left.
    pub as_left: Vec<ContentReading>,
    /// Whether it is left as it was asked for (a code). None: nothing to judge by.
    pub verdict: Option<String>,
    /// How many turns of a screw.
    pub moves: u32,
    /// How everything stands at the end that does not stand as it normally does, or of which nobody knows.
    pub not_normal: Vec<ContentPosition>,
    /// What was marked without something that it needs: the step, and why.
    pub overridden: Vec<ContentWords>,
    /// What was not done, and why.
    pub not_done: Vec<ContentWords>,
    /// What whoever relies on the setting must read.
    pub cautions: Vec<Text>,
}

/// A reading.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ContentReading {
    /// Where.
    pub label: Text,
    /// As read.
    pub figure: Figure,
    /// The gauge's serial.
    pub gauge: Option<String>,
}

/// How a cock or a valve stands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ContentPosition {
    /// Which.
    pub label: Text,
    /// How it stands. Several: people disagree. None: nobody knows.
    pub positions: Vec<Position>,
}

/// Something, and why.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ContentWords {
    /// What.
    pub what: Text,
    /// Why, by whom it was said.
    pub why: String,
}

/// One entry.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ContentLine {
    /// Its place in the record, from 1.
    pub number: u32,
    /// When, RFC 3339.
    pub at: String,
    /// By whom.
    pub by: String,
    /// What kind, in words.
    pub kind: Text,
    /// What about.
    pub what: Text,
    /// Its figure, as read.
    pub figure: Option<Figure>,
    /// What else it says.
    pub says: Text,
    /// Whether it counts: empty, or that it was taken back or has no effect.
    pub state: Text,
}

/// The files that a job is handed over in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum ExportForm {
    /// Everything, with signatures, as JSON.
    Json,
    /// A line an entry, for a sheet program.
    Csv,
}

/// A job, to be handed over as a file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ExportQuery {
    /// The job.
    pub job: JobId,
    /// As which file.
    pub form: ExportForm,
    /// The language of its words: `en` or `es`.
    pub language: String,
}

/// A file to be saved or sent.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ExportFile {
    /// A name for it.
    pub name: String,
    /// Its media type.
    pub media: String,
    /// All of it, UTF-8.
    pub text: String,
}
