//! What was read, and what showed that water moved.

use super::Said;
use crate::journal::{EntryId, FlowProof, Purpose, Water};
use crate::procedure::Text;
use crate::quantity::Figure;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A figure read off a gauge.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ReadingLine {
    /// Who read it, and when.
    pub said: Said,
    /// The point's id in the procedure.
    pub point: String,
    /// Its name.
    pub label: Text,
    /// Which hydrant or tap, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// What was read, as it was read.
    pub figure: Figure,
    /// The gauge's serial.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gauge: Option<String>,
    /// What for.
    pub purpose: Purpose,
    /// Whether water moved.
    pub water: Water,
    /// The request worked to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub request: Option<EntryId>,
    /// How far each screw had been turned since as found, of all that the reader had seen. Computed.
    pub turned: Vec<TurnedLine>,
    /// Standard uncertainty of the figure by its gauge. Computed; none where nothing is known of the gauge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub uncertainty: Option<UncertaintyLine>,
}

/// How far a screw had been turned since as found.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TurnedLine {
    /// The screw's id.
    pub screw: String,
    /// Turns, clockwise positive. Computed.
    pub turns: Figure,
}

/// What a gauge allows a reading to be off.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct UncertaintyLine {
    /// Standard uncertainty.
    pub standard: Figure,
    /// What it rests on, a code: `gauge` or `assumed`.
    pub basis: String,
    /// What is wrong with the gauge, codes.
    pub problems: Vec<String>,
}

/// What shows that water moved, or that it stopped.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FlowLine {
    /// Who saw it, and when.
    pub said: Said,
    /// What was seen.
    pub how: FlowProof,
    /// How much, as it was read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flow: Option<Figure>,
    /// Where.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
}
