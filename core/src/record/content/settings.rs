//! What was asked, what was turned, and what came of it.

use super::Said;
use crate::journal::EntryId;
use crate::procedure::Text;
use crate::quantity::Figure;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One request for a valve.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RequestLine {
    /// Who wrote it down, and when.
    pub said: Said,
    /// The outlet pressure to hold.
    pub pressure: Figure,
    /// How far off it may be. None: the default rule.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tolerance: Option<Figure>,
    /// Where the pressure is meant.
    pub datum: String,
    /// Who asked.
    pub asked_by: String,
    /// The highest pressure the zone may see.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub zone_limit: Option<Figure>,
    /// Whether it stands. Those that do not were replaced or taken back.
    pub stands: bool,
}

/// One turn of a screw and the reading that followed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MoveLine {
    /// Who turned, and when.
    pub said: Said,
    /// The screw's id.
    pub screw: String,
    /// Its name.
    pub label: Text,
    /// How far, clockwise positive, as it was said.
    pub turn: Figure,
    /// All turns of this screw up to this one, of those that its writer had seen. Computed.
    pub total: Figure,
    /// The request worked to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub request: Option<EntryId>,
    /// The reading it was planned from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub planned_from: Option<EntryId>,
    /// The first reading of the main point made in knowledge of it and of no later move.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub followed_by: Option<EntryId>,
}

/// The setting found with the pilot isolated, and what the valve then held on line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StaticSettingLine {
    /// The static reading.
    pub read_static: EntryId,
    /// The first flowing reading of the main point after it, before the screw was turned again.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_line: Option<EntryId>,
    /// On line minus static, in the unit of the on-line reading. Computed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub difference: Option<Figure>,
}
