//! The entry: who, where, when and what.

use super::{Body, BootId, DeviceId, EntryId, PersonId};
use serde::{Deserialize, Serialize};

/// One thing that happened on a job.
///
/// The journal holds it as one Automerge change: key = [`Entry::id`], value = [`Told`] as one JSON text.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// The entry's own id.
    pub id: EntryId,
    /// The rest of it.
    pub told: Told,
}

/// All of an entry but its id: what the JSON text in the journal says.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Told {
    /// Whose entry it is: the person who saw it or did it ("called by").
    pub by: PersonId,
    /// Who typed it, where that was another person ("keyed by").
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub keyed_by: Option<PersonId>,
    /// The device it was made on.
    pub device: DeviceId,
    /// The run of the program it was made in.
    pub boot: BootId,
    /// Milliseconds since that boot, from a clock that never jumps.
    pub mono_ms: u64,
    /// The device's wall clock, RFC 3339 with its offset. For people to read; it decides nothing.
    pub at: String,
    /// What happened.
    pub body: Body,
}
