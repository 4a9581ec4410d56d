//! Who was there, who stands by what, and who signed.

use super::Said;
use crate::journal::{DeviceId, Duty, EntryId, PersonId, Role};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One person of the crew.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CrewLine {
    /// Who.
    pub person: PersonId,
    /// The name.
    pub name: String,
    /// What they may, by the office. None: no grant names them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub role: Option<Role>,
    /// What they did, sorted, each once: every duty that they had at any time.
    pub duties: Vec<Duty>,
    /// How they joined and changed duty.
    pub said: Vec<DutyLine>,
}

/// A change of somebody's duties.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DutyLine {
    /// Who said so.
    pub said: Said,
    /// The duties from then on. Empty: they left.
    pub duties: Vec<Duty>,
}

/// Two devices' clocks compared.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ClockLine {
    /// Who measured.
    pub said: Said,
    /// The other device.
    pub with: DeviceId,
    /// The other clock minus ours, milliseconds, decimal.
    pub offset_ms: String,
}

/// Whose initials stand for what.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct InitialsLine {
    /// Who.
    pub person: PersonId,
    /// The name.
    pub name: String,
    /// How many entries are theirs.
    pub entries: u32,
    /// Those of them that their initials cover.
    pub initialled: Vec<EntryId>,
    /// Those that they do not.
    pub open: Vec<EntryId>,
    /// When they gave initials.
    pub said: Vec<Said>,
}

/// An earlier signature.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SignatureLine {
    /// Who signed, and when.
    pub said: Said,
    /// The revision signed.
    pub revision: u32,
    /// SHA-256 of the record signed, hex.
    pub digest: String,
    /// The heads that it was made of, hex.
    pub heads: Vec<String>,
    /// The signer's public key (Ed25519), hex. None: signed by name only, before keys were used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub key: Option<String>,
    /// The time that the signature covers, RFC 3339.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub signed_at: Option<String>,
    /// The signature, hex.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub signature: Option<String>,
    /// Why the job was opened again after it.
    pub re_opened: Vec<ReOpenedLine>,
}

/// A signed job opened again.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ReOpenedLine {
    /// By whom, and when.
    pub said: Said,
    /// Why.
    pub reason: String,
}

/// Entries that came after an earlier signature, or that its signer had not seen.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LateLine {
    /// The signature's entry.
    pub sign_off: EntryId,
    /// Its revision.
    pub revision: u32,
    /// The entries, but for initials, signatures and re-openings.
    pub entries: Vec<EntryId>,
}
