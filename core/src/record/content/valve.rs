//! One valve.

use super::{
    CautionLine, FlowLine, LineUpLine, MoveLine, NotDoneLine, ParticularLine, ReadingLine, RequestLine,
    SpeedControlLine, StaticSettingLine, StepLine, ValveFindings,
};
use crate::journal::{AssetId, EntryId};
use crate::procedure::Text;
use crate::quantity::Figure;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One valve: everything about it that a reader looks for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ValveSection {
    /// Which.
    pub id: AssetId,
    /// Its name.
    pub name: String,
    /// The procedure worked by.
    pub procedure: String,
    /// The procedure's name. None: the maker of the record did not have it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub title: Option<Text>,
    /// Nominal size.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<Figure>,
    /// The id of the main point: where the setting shows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub main_point: Option<String>,
    /// What was asked, and its changes, the first to the last.
    pub requests: Vec<RequestLine>,
    /// Its particulars as read, the procedure's first, the others by name. Stroke times are among them.
    pub particulars: Vec<ParticularLine>,
    /// Cocks, block valves, vents: in the order of the water, the chamber's among them.
    pub line_up: Vec<LineUpLine>,
    /// Speed controls.
    pub speed_controls: Vec<SpeedControlLine>,
    /// Every reading: the trace.
    pub readings: Vec<ReadingLine>,
    /// The readings as found, by entry.
    pub as_found: Vec<EntryId>,
    /// The readings as left, by entry.
    pub as_left: Vec<EntryId>,
    /// The readings at low, normal and high flow, by entry.
    pub baseline: Vec<EntryId>,
    /// The readings without flow that show that the valve shuts tight, by entry.
    pub lock_up: Vec<EntryId>,
    /// Every turn of a screw, with the reading that followed.
    pub moves: Vec<MoveLine>,
    /// Settings found with the pilot isolated.
    pub static_settings: Vec<StaticSettingLine>,
    /// What showed that water moved.
    pub flow: Vec<FlowLine>,
    /// The steps in order.
    pub steps: Vec<StepLine>,
    /// What was not done, and why.
    pub not_done: Vec<NotDoneLine>,
    /// What whoever relies on the setting must read.
    pub cautions: Vec<CautionLine>,
    /// What the entries come to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub findings: Option<ValveFindings>,
}

impl ValveSection {
    /// A reading by its entry.
    pub fn reading(&self, entry: EntryId) -> Option<&ReadingLine> {
        self.readings.iter().find(|line| line.said.entry == entry)
    }

    /// The request that stands, if exactly one does.
    pub fn request(&self) -> Option<&RequestLine> {
        let mut stands = self.requests.iter().filter(|line| line.stands);
        match (stands.next(), stands.next()) {
            (Some(one), None) => Some(one),
            _ => None,
        }
    }
}
