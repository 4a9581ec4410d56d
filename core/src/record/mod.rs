//! The record as data: everything that is known of a job at one moment, as one canonical JSON text
//! (RFC 8785) and its digest.
//!
//! Figures are strings as they were read. The text is what a lead tech signs; whoever holds the same changes
//! makes the same bytes.

use crate::journal::{ActorId, Body, ChangeHash, Folded, JobState, OFFICE_NAME, PersonId, Register};
use serde::Serialize;
use serde_json::{Map, Value, json};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;

/// The name of the format, in every record.
pub const FORMAT: &str = "turnwise-record";
/// Its version. A reader refuses one that it does not know.
pub const VERSION: &str = "1";

/// A record and its digest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Record {
    /// The canonical JSON text.
    pub text: String,
    /// SHA-256 of the text, in hex.
    pub digest: String,
    /// How many entries it holds.
    pub entries: u32,
}

/// Why a record could not be made.
#[derive(Debug, thiserror::Error)]
pub enum RecordError {
    /// The job's opening entry is not here.
    #[error("the job's opening has not arrived, so there is nothing to make a record of")]
    NotOpened,
    /// An entry could not be written as JSON.
    #[error("an entry could not be written as JSON: {0}")]
    Json(#[from] serde_json::Error),
}

impl RecordError {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::NotOpened => "not_opened",
            Self::Json(_) => "record_json",
        }
    }
}

/// What one entry looks like in the record.
#[derive(Serialize)]
struct RecordEntry<'a> {
    id: String,
    by: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    keyed_by: Option<String>,
    device: String,
    boot: String,
    mono_ms: String,
    at: &'a str,
    change: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    withdrawn_by: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    no_effect: Option<&'a str>,
    body: Value,
}

/// Makes the record of a folded journal, of which is given how far each writer had come, and its heads.
pub fn record(
    state: &JobState,
    clock: &BTreeMap<ActorId, u64>,
    heads: &[ChangeHash],
) -> Result<Record, RecordError> {
    let opening = state.opening().ok_or(RecordError::NotOpened)?;
    let mut people = BTreeMap::new();
    let mut entries = Vec::with_capacity(state.entries.len());
    for folded in &state.entries {
        if folded.entry.told.by == PersonId::office() {
            people
                .entry(PersonId::office().to_string())
                .or_insert_with(|| OFFICE_NAME.to_owned());
        }
        match &folded.entry.told.body {
            Body::PersonJoined(joined) => {
                people.insert(joined.person.to_string(), joined.name.clone());
            }
            Body::Grant(grant) => {
                people
                    .entry(grant.person.to_string())
                    .or_insert_with(|| grant.name.clone());
            }
            _ => {}
        }
        entries.push(serde_json::to_value(entry(folded)?)?);
    }
    let count = u32::try_from(entries.len()).unwrap_or(u32::MAX);
    let quarantine: Vec<_> = state
        .quarantine
        .iter()
        .map(|set_aside| json!({ "change": hex(&set_aside.hash.0), "code": set_aside.code }))
        .collect();
    let whole = json!({
        "format": FORMAT,
        "version": VERSION,
        "job": { "id": state.job.to_string(), "opening": body(&Body::JobOpened(opening.clone()))? },
        "people": people,
        "clock": clock.iter().map(|(actor, reach)| (hex(&actor.0), json!(reach.to_string()))).collect::<Map<_, _>>(),
        "heads": heads.iter().map(|hash| hex(&hash.0)).collect::<Vec<_>>(),
        "entries": entries,
        "standing": standing(state)?,
        "set_aside": quarantine,
    });
    let text = serde_json_canonicalizer::to_string(&whole)?;
    Ok(Record {
        digest: digest(text.as_bytes()),
        text,
        entries: count,
    })
}

/// SHA-256 in hex: what a signature covers.
pub fn digest(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// Lower-case hex.
pub fn hex(bytes: &[u8]) -> String {
    use std::fmt::Write as _;
    bytes
        .iter()
        .fold(String::with_capacity(bytes.len() * 2), |mut text, byte| {
            // Writing to a String cannot fail.
            let _ = write!(text, "{byte:02x}");
            text
        })
}

fn entry(folded: &Folded) -> Result<RecordEntry<'_>, serde_json::Error> {
    let told = &folded.entry.told;
    Ok(RecordEntry {
        id: folded.entry.id.to_string(),
        by: told.by.to_string(),
        keyed_by: told.keyed_by.map(|person| person.to_string()),
        device: told.device.to_string(),
        boot: told.boot.to_string(),
        mono_ms: told.mono_ms.to_string(),
        at: &told.at,
        change: hex(&folded.hash.0),
        withdrawn_by: folded.withdrawn_by.map(|id| id.to_string()),
        no_effect: folded.no_effect,
        body: body(&told.body)?,
    })
}

/// A body as JSON. An unknown kind goes in as the text it came in, so that no number in it is spelled anew.
fn body(body: &Body) -> Result<Value, serde_json::Error> {
    match body {
        Body::Unknown(unknown) => Ok(json!({ "kind": unknown.kind, "raw": unknown.raw })),
        known => serde_json::from_str(&serde_json::to_string(known)?),
    }
}

/// What stands in each register, by the entries that say so.
fn standing(state: &JobState) -> Result<Vec<Value>, serde_json::Error> {
    let ids = |all: &[usize]| {
        all.iter()
            .map(|&at| state.entries[at].entry.id.to_string())
            .collect::<Vec<_>>()
    };
    state
        .registers
        .iter()
        .map(|(register, standing)| {
            Ok(json!({
                "register": serde_json::to_value::<&Register>(register)?,
                "agreement": match (standing.stands.len(), standing.disagree) {
                    (0, _) => "unknown",
                    (_, true) => "disagreed",
                    (_, false) => "agreed",
                },
                "entries": ids(&standing.stands),
            }))
        })
        .collect()
}
