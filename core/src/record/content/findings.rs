//! What the entries of a valve come to. Every figure here was computed, by the program that made the record.

use crate::journal::EntryId;
use crate::procedure::Text;
use crate::quantity::Figure;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What the entries of a valve come to.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ValveFindings {
    /// Whether the valve is left as it was asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub as_left: Option<AsLeftFinding>,
    /// The rate that each screw's moves taught.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rates: Vec<RateFinding>,
    /// How far the outlet sags from low to high flow.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub droop: Option<SpreadFinding>,
    /// How far the outlet differs from one disturbance to the next.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub repeatability: Option<SpreadFinding>,
    /// How far the outlet rises without flow.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lock_up: Option<SpreadFinding>,
    /// Readings close together, compared by what their gauges allow.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub agreements: Vec<AgreementFinding>,
    /// Checks before the work.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub checks: Vec<CheckFinding>,
    /// How this visit compares with earlier ones.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub history: Vec<HistoryFinding>,
}

/// Whether the valve is left as it was asked for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct AsLeftFinding {
    /// A code: `within`, `outside` or `cannot_tell`, by the guard band of the reading's uncertainty.
    pub verdict: String,
    /// The reading judged.
    pub reading: EntryId,
    /// What was asked.
    pub asked: Figure,
    /// How far off it may be.
    pub tolerance: Figure,
    /// Read minus asked.
    pub difference: Figure,
    /// Expanded uncertainty of the reading.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub uncertainty: Option<Figure>,
    /// What weakens the verdict, codes.
    pub warnings: Vec<String>,
}

/// What the moves of a screw taught.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RateFinding {
    /// The screw's id.
    pub screw: String,
    /// Pressure a turn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rate: Option<Figure>,
    /// The interval that holds it: low end.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub low: Option<Figure>,
    /// High end.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub high: Option<Figure>,
    /// The printed rate.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub printed: Option<Figure>,
    /// Turns lost when the direction reverses.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dead_band: Option<Figure>,
    /// How many moves it rests on.
    pub moves: u32,
    /// The learned line: points of turns and pressure, to draw it through.
    pub line: Vec<LinePoint>,
    /// Warnings, codes.
    pub warnings: Vec<String>,
}

/// A point of a drawn line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LinePoint {
    /// Turns since as found.
    pub turns: Figure,
    /// Pressure.
    pub pressure: Figure,
}

/// A figure that comes from several readings, with its verdict.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SpreadFinding {
    /// A code of the verdict: `measured` or `too_few` for droop and repeatability; for lock-up `holds`, `climbs`, `falls`
    /// or `one_reading`.
    pub verdict: String,
    /// How much.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub figure: Option<Figure>,
    /// Expanded uncertainty of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub uncertainty: Option<Figure>,
    /// The readings it rests on.
    pub readings: Vec<EntryId>,
    /// Warnings, codes.
    pub warnings: Vec<String>,
}

/// Two readings of one thing, compared.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct AgreementFinding {
    /// The one.
    pub a: EntryId,
    /// The other.
    pub b: EntryId,
    /// Normalised error, two decimals.
    pub en: String,
    /// Whether the gauges allow the difference.
    pub agree: bool,
}

/// A check before the work.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CheckFinding {
    /// Which check, a code.
    pub code: String,
    /// How it came out, a code.
    pub verdict: String,
    /// In words, where there are words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub say: Option<Text>,
    /// The figure compared.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub figure: Option<Figure>,
    /// The limit in force.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limit: Option<Figure>,
    /// Where the rule comes from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
    /// Whether the owner changed the limit.
    pub changed_by_owner: bool,
}

/// A figure of this visit beside the same of an earlier one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct HistoryFinding {
    /// What is compared, a code: `as_left`, `learned_rate`, `static_difference`, ...
    pub code: String,
    /// The earlier visit's entry.
    pub earlier: EntryId,
    /// The figure then.
    pub then: Figure,
    /// The figure now.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub now: Option<Figure>,
    /// How it came out, a code.
    pub verdict: String,
}
