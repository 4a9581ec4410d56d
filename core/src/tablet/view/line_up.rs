//! The line-up screen.

use super::shared::{Standing, Text};
use crate::findings::water::WaterAt;
use crate::journal::{AssetId, Position};
use crate::procedure::{Branch, ElementClass, Side, Tap};
use crate::quantity::Figure;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The line-up screen.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct LineUpView {
    /// The elements in the order of the water.
    pub elements: Vec<ElementView>,
    /// The speed controls.
    pub controls: Vec<ControlView>,
    /// Which of the station's pipes the valve in hand stands in.
    pub own: Branch,
    /// Where water stands under pressure, inferred from the line-up on record; nothing of it is measured.
    pub water: Vec<WaterAt>,
}

/// One cock, block valve, vent or bypass.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ElementView {
    /// The asset it belongs to.
    pub asset: AssetId,
    /// Which.
    pub element: String,
    /// What kind of thing it is.
    pub class: ElementClass,
    /// Where it is drawn.
    pub side: Side,
    /// In which pipe.
    pub branch: Branch,
    /// What of the control circuit it joins.
    pub tap: Option<Tap>,
    /// Its name.
    pub name: Text,
    /// How it stands when the valve is in service.
    pub normal: Position,
    /// How it stands.
    pub standing: Standing<Position>,
    /// How it was found.
    pub found: Option<Position>,
    /// Where the water would stand otherwise, if it were opened or shut.
    pub would: Vec<Would>,
}

/// What the inferred water would be if one element stood otherwise.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Would {
    /// How it would stand.
    pub position: Position,
    /// The parts where something else would stand than now.
    pub water: Vec<WaterAt>,
}

/// One speed control.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ControlView {
    /// Which.
    pub control: String,
    /// Its name.
    pub name: Text,
    /// Turns open from seated.
    pub standing: Standing<Figure>,
}
