//! What is there: the chamber, the line-up, particulars, gauges.

use super::{Agreement, Said};
use crate::journal::{Asset, AssetId, EntryId, Level, ParticularValue, Position};
use crate::procedure::{ElementClass, Side, Text};
use crate::quantity::Figure;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The chamber or pump room.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StationSection {
    /// Which, and its name.
    pub asset: Asset,
    /// Its particulars, by name.
    pub particulars: Vec<ParticularLine>,
}

/// One particular of a valve or of the chamber: everything that stands of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ParticularLine {
    /// Its name.
    pub name: String,
    /// Its name in words.
    pub label: Text,
    /// Whether one value stands.
    pub agreement: Agreement,
    /// The values that stand: one, unless people disagree.
    pub values: Vec<ParticularSaid>,
    /// Values that were replaced, the oldest first.
    pub earlier: Vec<ParticularSaid>,
}

/// A value of a particular.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ParticularSaid {
    /// Who read it, and when.
    pub said: Said,
    /// What it is.
    pub value: ParticularValue,
    /// The value in words, where it is one of the procedure's choices.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub label: Option<Text>,
}

/// One cock, block valve, vent, bypass or outlet.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LineUpLine {
    /// The valve or the chamber it belongs to.
    pub asset: AssetId,
    /// Its id in the procedure.
    pub element: String,
    /// Its name.
    pub label: Text,
    /// What kind of thing it is.
    pub class: ElementClass,
    /// Where it is drawn.
    pub side: Side,
    /// How it stands in normal service.
    pub normal: Position,
    /// Whether another position may be agreed on.
    pub agreed: bool,
    /// How it was found: the first that anybody said of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub found: Option<PositionSaid>,
    /// Whether one state stands at the end. None: nobody ever said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub agreement: Option<Agreement>,
    /// The states that stand at the end: one, unless people disagree.
    pub last: Vec<PositionSaid>,
    /// Every state on record, the first to the last.
    pub story: Vec<PositionSaid>,
}

/// How an element stood.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PositionSaid {
    /// Who saw it or moved it, and when.
    pub said: Said,
    /// How it stood.
    pub position: Position,
    /// Turns counted while moving it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub counted: Option<Figure>,
}

/// One speed control.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SpeedControlLine {
    /// Its id in the procedure.
    pub control: String,
    /// Its name.
    pub label: Text,
    /// As found: the first that anybody said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub found: Option<OpenSaid>,
    /// As left: what stands, one unless people disagree.
    pub last: Vec<OpenSaid>,
    /// Everything on record, the first to the last.
    pub story: Vec<OpenSaid>,
}

/// How far a speed control was open.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct OpenSaid {
    /// Who, and when.
    pub said: Said,
    /// Turns open from seated.
    pub open: Figure,
}

/// A gauge.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct GaugeLine {
    /// Its serial.
    pub serial: String,
    /// Whether people agree on what is said of it.
    pub agreement: Agreement,
    /// What stands of it: one, unless people disagree.
    pub values: Vec<GaugeSaid>,
    /// What was said of it before and replaced.
    pub earlier: Vec<GaugeSaid>,
    /// The readings that name it.
    pub readings: Vec<EntryId>,
}

/// What somebody said of a gauge.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct GaugeSaid {
    /// Who, and when.
    pub said: Said,
    /// The gauge.
    pub gauge: crate::journal::Gauge,
}

/// One test of the air.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct AtmosphereLine {
    /// Who tested, and when.
    pub said: Said,
    /// Where in the chamber.
    pub level: Level,
    /// Oxygen.
    pub oxygen: Figure,
    /// Flammable gas.
    pub flammable: Figure,
    /// Carbon monoxide.
    pub carbon_monoxide: Figure,
    /// Hydrogen sulphide.
    pub hydrogen_sulphide: Figure,
    /// Serial of the meter.
    pub meter: String,
    /// Whether it was bump tested that day.
    pub bump_tested: bool,
}
